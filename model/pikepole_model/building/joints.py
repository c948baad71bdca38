"""How pieces that touch are held together, by what they are.

Fixings follow common practice for light timber framing (no source for the table as a whole). What
merely lies side by side, such as two sheets with a gap between them, makes no joint: neither
carries the other.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache

from pikepole_model.building.contact import Contact
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Joint, Part
from pikepole_model.errors import LayoutError

BEARS_ON = "bears on"  # held down by weight alone
CAST_IN = "cast in"
DRILLED_IN = "drilled in"
DRIVEN_IN = "driven in"
BOLTED = "bolted"
SEATED = "seated"  # in a metal cap, fixed through its flanges
NAILED = "nailed"
NAILED_BETWEEN = "nailed between the boards"  # through their gap, into the sheets
STAPLED = "stapled"
SCREWED = "screwed"
HELD = "held"  # between stops
STUCK = "stuck"

# What may be nailed to what without a rule of its own.
LUMBER = (
    Family.FLOOR_FRAME,
    Family.WALL_FRAME,
    Family.LOFT_FRAME,
    Family.ROOF_FRAME,
    Family.BEAMS,
    Family.LEDGERS,
    Family.POSTS,
)
BEAMS = (Family.BEAMS, Family.LEDGERS)
LEAF = (Family.LEAF_FACE, Family.LEAF_FRAME)
SIDING = (Family.SIDING, Family.UPRIGHTS, Family.CORNER_BOARDS)
# What casing and irons are fixed to outside: what covers a wall, or its bare studs.
OUTSIDE = (*SIDING, Family.SHEETS, Family.SLATS, Family.WALL_FRAME)
ANY = tuple(Family)


@dataclass(frozen=True, slots=True)
class Rule:
    """A fixing for every pair of one of `these` with one of `those`; None for no joint."""

    these: tuple[Family | Kind, ...]
    those: tuple[Family | Kind, ...]
    fixing: str | None

    def fits(self, one: Kind, other: Kind) -> bool:
        """Whether it is a rule for these two, this way round."""
        return (one in self.these or one.family in self.these) and (
            other in self.those or other.family in self.those
        )


# The first that fits a pair, either way round, decides.
RULES = (
    # What the building is moved by lies apart from it.
    Rule((Family.TEMPORARY,), ANY, None),
    # What is there already is built round, and nothing but a floor's ledger fixed to it.
    Rule((Family.EXISTING,), (Kind.FLOOR_LEDGER,), BOLTED),
    Rule((Family.EXISTING,), ANY, None),
    # A gusset holds the two rafters it lies on, and the blocks end on it.
    Rule((Kind.GUSSET,), (Kind.RAFTER, Kind.END_RAFTER, Kind.RAFTER_BLOCK), NAILED),
    Rule((Kind.GUSSET,), ANY, None),
    # Bent steel is nailed to what it ties, and to nothing else that it lies beside.
    Rule(
        (Kind.TIE_DOWN,),
        (Kind.RAFTER, Kind.END_RAFTER, Kind.BEAM, Family.LEDGERS, Kind.TOP_PLATE),
        NAILED,
    ),
    Rule((Kind.FLOOR_TIE,), (Kind.JOIST, Kind.SKID, Kind.GIRDER), NAILED),
    Rule((Kind.RIDGE_STRAP,), (Kind.RAFTER, Kind.END_RAFTER), NAILED),
    Rule((Kind.STRAP,), (Kind.BEAM, Family.WALL_FRAME, Kind.RIM, Kind.JOIST), NAILED),
    Rule((Kind.GROUND_ANCHOR,), (Family.GRAVEL,), DRIVEN_IN),
    Rule((Kind.GROUND_ANCHOR,), (Kind.ANCHOR_BLOCK, Kind.SKID, Kind.GIRDER), SCREWED),
    Rule((Kind.ANCHOR_BLOCK,), (Kind.SKID, Kind.GIRDER), SCREWED),
    Rule((Family.TIES,), ANY, None),
    Rule((Kind.BOLTED_BRACE,), (Family.POSTS, Family.BEAMS), BOLTED),
    Rule((Kind.KNEE_BRACE,), (Family.POSTS, Family.BEAMS), NAILED),
    Rule((Family.KNEE_BRACES,), ANY, None),
    Rule((Family.GRAVEL,), (Kind.GROUND_ANCHOR,), DRIVEN_IN),
    Rule(
        (Family.GRAVEL,),
        (Family.CONCRETE, Family.FLOOR_FRAME, Family.POSTS, Family.STEPS),
        BEARS_ON,
    ),
    Rule((Family.GRAVEL,), ANY, None),
    Rule((Family.CONCRETE,), (Kind.ANCHOR_BOLT, Kind.POST_BASE), CAST_IN),
    Rule((Family.CONCRETE,), (Kind.DRILLED_ANCHOR,), DRILLED_IN),
    Rule((Family.ANGLES,), (Family.CONCRETE,), BEARS_ON),
    Rule((Family.ANGLES,), (Family.BOLTS,), BOLTED),
    Rule((Family.ANGLES,), (Family.FLOOR_FRAME,), SCREWED),
    Rule((Family.ANGLES,), ANY, None),
    Rule(
        (Family.CONCRETE,),
        (
            *(Family.CONCRETE, Family.FLOOR_FRAME, Kind.BOTTOM_PLATE, Kind.WALL_POST),
            *(Family.POSTS, Kind.LADDER_RAIL, Family.STEPS),
        ),
        BEARS_ON,
    ),
    Rule((Family.CONCRETE,), ANY, None),
    Rule(
        (Family.BOLTS,),
        (Family.BOLTS, Kind.BOTTOM_PLATE, Family.FLOOR_FRAME, Family.POST_METAL),
        BOLTED,
    ),
    Rule((Family.BOLTS,), ANY, None),
    # Steps and ramps stand by themselves before the wall.
    Rule((Family.STEPS,), (Family.STEPS,), NAILED),
    Rule((Family.STEPS,), ANY, None),
    Rule((Family.POST_METAL,), (Family.POSTS,), BOLTED),
    Rule((Kind.POST_CAP,), BEAMS, SEATED),
    Rule((Family.POST_METAL,), ANY, None),
    Rule((Family.POSTS,), BEAMS, BOLTED),
    # Nailed down with the roof sheets' edges on them.
    Rule((Family.EDGE_BOARDS,), (Family.ROOF_FRAME, Family.EDGE_BOARDS, Kind.ROOF_SHEET), NAILED),
    Rule((Family.SOFFITS,), (Family.ROOF_FRAME, Family.EDGE_BOARDS), NAILED),
    Rule((Family.UNDERLAYMENT,), (Family.UNDERLAYMENT, Kind.ROOF_SHEET), NAILED),
    # Through the underlayment into the sheets; in the side laps, one panel to the next.
    Rule((Family.PANELS,), (Family.PANELS, Kind.ROOF_SHEET), SCREWED),
    Rule((Family.ROOF_METAL,), (Family.PANELS,), SCREWED),
    # Its leg ends under the tails, fascias and barge boards of the roof above.
    Rule((Kind.WALL_FLASHING,), (Family.EDGE_BOARDS, Family.ROOF_FRAME), None),
    Rule((Family.ROOF_METAL,), (Family.EDGE_BOARDS, Family.ROOF_FRAME, Family.SHEETS), NAILED),
    # In sealant, on the ends of what it laps.
    Rule((Kind.FLASHING_CORNER,), (Kind.BASE_FLASHING,), STUCK),
    Rule((Kind.END_DAM,), (Kind.HEAD_FLASHING, Kind.JOINT_FLASHING), STUCK),
    Rule((Family.FLASHING_CORNERS,), ANY, None),
    Rule((Family.WALL_METAL,), (Kind.WALL_SHEET, Family.WALL_FRAME, Family.FLOOR_FRAME), NAILED),
    Rule(
        (
            Family.EDGE_BOARDS,
            Family.SOFFITS,
            Family.UNDERLAYMENT,
            Family.PANELS,
            Family.ROOF_METAL,
            Family.WALL_METAL,
        ),
        ANY,
        None,
    ),
    # Doors first: a leaf is held by its hinges or hangers alone, however close it stands to its
    # frame.
    Rule((Family.HINGES,), (*LEAF, Family.CASING, Family.FRAME_BOARDS), SCREWED),
    Rule((Family.LEAF_HARDWARE,), LEAF, SCREWED),
    Rule((Family.LEAF_HARDWARE,), ANY, None),
    Rule((Kind.HANGER,), (*LEAF, Family.HANGERS), BOLTED),
    Rule((Kind.WHEEL,), (Kind.TRACK,), BEARS_ON),
    Rule((Family.LEAF_FACE,), (Family.LEAF_FACE,), None),
    Rule((Kind.STEEL_LEAF,), (Kind.ASTRAGAL,), SCREWED),
    Rule(LEAF, LEAF, NAILED),
    Rule((*LEAF, Family.HANGERS, Family.HINGES), ANY, None),
    Rule((Family.TRACK,), (Family.TRACK, Kind.TRACK_BOARD), BOLTED),
    Rule((Family.TRACK,), ANY, None),
    Rule((Family.PANES,), (Family.STOPS,), HELD),
    Rule((Family.PANES,), ANY, None),
    # Through the jambs, so that nothing goes through the membrane under it.
    Rule((Kind.THRESHOLD,), (Kind.FRAME_BOARD,), SCREWED),
    Rule((Kind.THRESHOLD,), ANY, None),
    Rule((Family.STOPS,), (Family.FRAME_BOARDS,), NAILED),
    Rule((Family.STOPS,), ANY, None),
    Rule((Family.WINDOW_UNITS,), (Family.WINDOW_UNITS,), SCREWED),
    Rule((Family.WINDOW_UNITS,), (Family.WALL_FRAME,), SCREWED),
    Rule((Family.WINDOW_UNITS,), ANY, None),
    Rule((Kind.HEAD_TAPE,), (Kind.WRAP_FLAP,), STUCK),
    Rule(
        (Family.MEMBRANES,),
        (Family.MEMBRANES, Family.WALL_FRAME, Kind.WALL_SHEET, Family.FLOOR_FRAME),
        STUCK,
    ),
    Rule((Family.MEMBRANES,), (Kind.FLOOR_SHEET, Family.DECKING, Kind.SLAB, Kind.WRAP), STUCK),
    Rule((Family.MEMBRANES,), ANY, None),
    # On bare studs they come down before the floor's edge.
    Rule((Kind.FLOOR_SHEET, Family.DECKING), (Family.CASING, Family.GUIDES), None),
    Rule((Family.GUIDES,), (Family.CASING, Family.FRAME_BOARDS, *OUTSIDE), SCREWED),
    Rule((Family.GUIDES,), ANY, None),
    # A cap is nailed down into the plate under it, and to nothing that it is notched round.
    Rule((Kind.WALL_CAP,), (Kind.TOP_PLATE,), NAILED),
    Rule((Kind.WALL_CAP,), ANY, None),
    # A corner board is notched round casing, or lapped by it.
    Rule((Family.CASING,), (Family.CORNER_BOARDS,), None),
    # Casing is nailed through the cladding and the sheets into what stands behind.
    Rule((Family.CASING,), (Family.CASING, Family.FRAME_BOARDS, *OUTSIDE), NAILED),
    Rule((Family.CASING,), ANY, None),
    # On the edges of a vent's frame; eave vents' screens on the blocks under them.
    Rule((Kind.VENT_MESH,), (Kind.FRAME_BOARD,), STAPLED),
    Rule((Kind.VENT_SCREEN,), (Kind.RAFTER_BLOCK,), STAPLED),
    Rule((Family.SCREENS,), ANY, None),
    Rule((Family.FRAME_BOARDS,), (Family.FRAME_BOARDS, Family.WALL_FRAME), NAILED),
    Rule((Family.FRAME_BOARDS,), ANY, None),
    # Cut out of the wrap, and taped down on it again.
    Rule((Kind.WRAP_FLAP,), (Kind.WRAP,), STUCK),
    Rule((Kind.WRAP_FLAP,), ANY, None),
    Rule((Family.WRAP,), (Kind.WALL_SHEET, Family.WALL_FRAME), STAPLED),
    Rule((Family.WRAP,), ANY, None),
    # One row of nails up the middle of a board leaves its edges free; the batten's nails pass
    # between two boards into what is behind them, so that it holds both and splits neither. Where
    # no sheets are behind them, the lowest boards lie on the edge of the floor.
    Rule(SIDING, (Kind.WALL_SHEET, Family.WALL_FRAME, Kind.RIM, Kind.JOIST), NAILED),
    Rule((Family.CORNER_BOARDS,), (Family.CORNER_BOARDS, Family.UPRIGHTS), NAILED),
    Rule((Family.BATTENS,), (Family.UPRIGHTS,), NAILED_BETWEEN),
    Rule((*SIDING, Family.BATTENS), ANY, None),
    # Slats are nailed to what stands and to plates; the brace behind them to the same, before.
    Rule((Family.SLATS,), (Kind.LET_IN_BRACE,), None),
    Rule((Family.SLATS,), (Family.WALL_FRAME,), NAILED),
    Rule((Family.SLATS,), ANY, None),
    Rule((Family.SHEETS, Family.DECKING), (Family.SHEETS, Family.DECKING), None),
    # A ladder is held at its head and its foot, and by nothing that it passes.
    Rule((Family.LADDERS,), (Family.LADDERS,), NAILED),
    Rule((Kind.GRAB_RAIL,), (Family.LOFT_FRAME,), SCREWED),
    Rule((Kind.LADDER_RAIL,), (Family.LOFT_FRAME, Kind.FLOOR_SHEET, Family.DECKING), NAILED),
    Rule((Family.LADDERS,), ANY, None),
    Rule((Kind.LOFT_SHEET,), (Family.LOFT_FRAME,), NAILED),
    Rule((Kind.LOFT_SHEET,), ANY, None),
    Rule(
        (Kind.FLOOR_SHEET, Family.DECKING),
        (Family.FLOOR_FRAME, Kind.BOTTOM_PLATE, Kind.WALL_POST),
        NAILED,
    ),
    Rule((Kind.FLOOR_SHEET, Family.DECKING), ANY, None),
    Rule((Kind.ROOF_SHEET,), (Family.ROOF_FRAME,), NAILED),
    Rule((Kind.ROOF_SHEET,), ANY, None),
    # Rafters run out over the wall's sheets; only the one in the wall's plane is sheeted over.
    Rule((Kind.WALL_SHEET,), (Kind.RAFTER, Kind.FLY_RAFTER, Kind.LOOKOUT), None),
    Rule((Kind.WALL_SHEET,), LUMBER, NAILED),
    Rule((Kind.LINING,), (Family.WALL_FRAME,), NAILED),
    Rule((Kind.LINING,), ANY, None),
    # A let-in brace is nailed to what stands and to plates, and to nothing that it passes.
    Rule((Kind.GIRT, Kind.NAILING_BLOCK), (Kind.LET_IN_BRACE,), None),
    Rule(LUMBER, LUMBER, NAILED),
)


@cache
def fixing(one: Kind, other: Kind) -> str | None:
    """How two kinds of piece that touch are held together; None where they make no joint.

    Raises:
        LayoutError: no rule is for these two.
    """
    for rule in RULES:
        if rule.fits(one, other) or rule.fits(other, one):
            return rule.fixing
    raise LayoutError(f"no rule of building/joints.py says how {one} and {other} are held together")


def find_joints(parts: Sequence[Part], contacts: Iterable[Contact]) -> tuple[Joint, ...]:
    """The joints of a building.

    Args:
        parts: Its parts in the order they are placed within their stage.
        contacts: Which of them touch, by index into `parts`.

    Returns:
        A joint for each contact whose kinds are fixed to one another, in the contacts' order;
        the part of the earlier stage first.
    """
    joints: list[Joint] = []
    for contact in contacts:
        pair = sorted((parts[contact.a], parts[contact.b]), key=lambda part: part.stage)
        held = fixing(pair[0].kind, pair[1].kind)
        if held is not None:
            joints.append(Joint(pair[0].name, pair[1].name, held, contact.at_mm))
    return tuple(joints)
