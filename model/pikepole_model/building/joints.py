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
from pikepole_model.building.part import Joint, Kind, Part

BEARS_ON = "bears on"  # held down by weight alone
CAST_IN = "cast in"
BOLTED = "bolted"
SEATED = "seated"  # in a metal cap, fixed through its flanges
NAILED = "nailed"
NAILED_BETWEEN = "nailed between the boards"  # through their gap, into the sheets
STAPLED = "stapled"
SCREWED = "screwed"
HELD = "held"  # between stops
STUCK = "stuck"

GRAVEL = frozenset({Kind.GRAVEL})
CONCRETE = frozenset({Kind.SLAB, Kind.FOOTING, Kind.PIER})
BOLTS = frozenset({Kind.ANCHOR_BOLT, Kind.WASHER, Kind.NUT})
POST_METAL = frozenset({Kind.POST_BASE, Kind.POST_CAP})
POST = frozenset({Kind.POST})
BEAMS = frozenset({Kind.BEAM, Kind.BEAM_SPACER, Kind.LEDGER})
FLOOR_FRAME = frozenset(
    {Kind.SKID, Kind.GIRDER, Kind.RIM, Kind.FLOOR_HEADER, Kind.JOIST, Kind.FLOOR_BLOCK}
)
WALL_FRAME = frozenset(
    {
        Kind.BOTTOM_PLATE,
        Kind.TOP_PLATE,
        Kind.STUD,
        Kind.CORNER_STUD,
        Kind.KING,
        Kind.JACK,
        Kind.HEADER,
        Kind.HEADER_SPACER,
        Kind.HEAD_PLATE,
        Kind.HEADER_PACKING,
        Kind.SILL,
        Kind.CRIPPLE,
        Kind.WALL_BLOCK,
        Kind.POST_STUD,
    }
)
ROOF_FRAME = frozenset(
    {
        Kind.RAFTER,
        Kind.END_RAFTER,
        Kind.FLY_RAFTER,
        Kind.RIDGE_BOARD,
        Kind.TIE,
        Kind.LOOKOUT,
        Kind.RAFTER_BLOCK,
    }
)
EDGE_BOARDS = frozenset({Kind.FASCIA, Kind.BARGE})
SOFFIT = frozenset({Kind.SOFFIT})
UNDERLAYMENT = frozenset({Kind.UNDERLAYMENT, Kind.RIDGE_STRIP})
PANELS = frozenset({Kind.PANEL})
ROOF_METAL = frozenset(
    {Kind.DRIP_EDGE, Kind.RAKE_TRIM, Kind.RIDGE_CAP, Kind.PEAK_CAP, Kind.WALL_FLASHING}
)
FLASHING_CORNERS = frozenset({Kind.FLASHING_CORNER})
WALL_METAL = frozenset({Kind.BASE_FLASHING, Kind.HEAD_FLASHING, Kind.JOINT_FLASHING})
SHEETS = frozenset({Kind.FLOOR_SHEET, Kind.WALL_SHEET, Kind.ROOF_SHEET})
BOTTOM_PLATE = frozenset({Kind.BOTTOM_PLATE})
LUMBER = FLOOR_FRAME | WALL_FRAME | ROOF_FRAME | BEAMS | POST
WRAP = frozenset({Kind.WRAP, Kind.LEDGER_WRAP})
UPRIGHTS = frozenset({Kind.UPRIGHT_BOARD, Kind.STRIP})
CORNER_BOARDS = frozenset({Kind.CORNER_BOARD})
SIDING = UPRIGHTS | CORNER_BOARDS | frozenset({Kind.SIDING, Kind.JOINT_BOARD})
BATTENS = frozenset({Kind.BATTEN})
CLADDING = SIDING | BATTENS
LEAF = frozenset(
    {
        Kind.DOOR_SHEET,
        Kind.DOOR_BOARD,
        Kind.LEDGE,
        Kind.BRACE,
        Kind.STILE,
        Kind.DOOR_RAIL,
        Kind.ASTRAGAL,
    }
)
HANGER = frozenset({Kind.HANGER, Kind.WHEEL})
TRACK = frozenset({Kind.TRACK_SPACER, Kind.TRACK, Kind.TRACK_STOP})
STOPS = frozenset({Kind.GLAZING_STOP, Kind.DOOR_STOP})
FRAME_BOARD = frozenset({Kind.FRAME_BOARD})
PANE = frozenset({Kind.PANE})
UNIT = frozenset({Kind.WINDOW_UNIT, Kind.PACKER})
CASING = frozenset({Kind.CASING, Kind.TRACK_BOARD})
HINGES = frozenset({Kind.HINGE})
GUIDES = frozenset({Kind.GUIDE})
MEMBRANES = frozenset({Kind.SILL_MEMBRANE})
ANY = frozenset(Kind)
EXISTING = frozenset({Kind.EXISTING})


@dataclass(frozen=True, slots=True)
class Rule:
    """A fixing for every pair of one of `these` with one of `those`; None for no joint."""

    these: frozenset[Kind]
    those: frozenset[Kind]
    fixing: str | None


# The first that fits a pair, either way round, decides.
RULES = (
    # What stands there already is built round, not fixed to.
    Rule(EXISTING, ANY, None),
    Rule(GRAVEL, CONCRETE | FLOOR_FRAME | POST, BEARS_ON),
    Rule(GRAVEL, ANY, None),
    Rule(CONCRETE, frozenset({Kind.ANCHOR_BOLT, Kind.POST_BASE}), CAST_IN),
    Rule(CONCRETE, CONCRETE | FLOOR_FRAME | BOTTOM_PLATE | POST, BEARS_ON),
    Rule(CONCRETE, ANY, None),
    Rule(BOLTS, BOLTS | BOTTOM_PLATE | FLOOR_FRAME | POST_METAL, BOLTED),
    Rule(BOLTS, ANY, None),
    Rule(POST_METAL, POST, BOLTED),
    Rule(frozenset({Kind.POST_CAP}), BEAMS, SEATED),
    Rule(POST_METAL, ANY, None),
    Rule(POST, BEAMS, BOLTED),
    # Nailed down with the roof sheets' edges on them.
    Rule(EDGE_BOARDS, ROOF_FRAME | EDGE_BOARDS | frozenset({Kind.ROOF_SHEET}), NAILED),
    Rule(SOFFIT, ROOF_FRAME | EDGE_BOARDS, NAILED),
    Rule(UNDERLAYMENT, UNDERLAYMENT | frozenset({Kind.ROOF_SHEET}), NAILED),
    # Through the underlayment into the sheets; in the side laps, one panel to the next.
    Rule(PANELS, PANELS | frozenset({Kind.ROOF_SHEET}), SCREWED),
    Rule(ROOF_METAL, PANELS, SCREWED),
    Rule(ROOF_METAL, EDGE_BOARDS | ROOF_FRAME | SHEETS, NAILED),
    # In sealant, on the ends of what it laps.
    Rule(FLASHING_CORNERS, frozenset({Kind.BASE_FLASHING}), STUCK),
    Rule(FLASHING_CORNERS, ANY, None),
    Rule(WALL_METAL, frozenset({Kind.WALL_SHEET}), NAILED),
    Rule(EDGE_BOARDS | SOFFIT | UNDERLAYMENT | PANELS | ROOF_METAL | WALL_METAL, ANY, None),
    # Doors first: a leaf is held by its hinges or hangers alone, however close it stands to its
    # frame.
    Rule(HINGES, LEAF | CASING | FRAME_BOARD, SCREWED),
    Rule(frozenset({Kind.HANGER}), LEAF | HANGER, BOLTED),
    Rule(frozenset({Kind.WHEEL}), frozenset({Kind.TRACK}), BEARS_ON),
    Rule(
        frozenset({Kind.DOOR_SHEET, Kind.DOOR_BOARD}),
        frozenset({Kind.DOOR_SHEET, Kind.DOOR_BOARD}),
        None,
    ),
    Rule(LEAF, LEAF, NAILED),
    Rule(LEAF | HANGER | HINGES, ANY, None),
    Rule(TRACK, TRACK | frozenset({Kind.TRACK_BOARD}), BOLTED),
    Rule(TRACK, ANY, None),
    Rule(PANE, STOPS, HELD),
    Rule(PANE, ANY, None),
    Rule(STOPS, FRAME_BOARD, NAILED),
    Rule(STOPS, ANY, None),
    Rule(UNIT, UNIT, SCREWED),
    Rule(UNIT, WALL_FRAME, SCREWED),
    Rule(UNIT, ANY, None),
    Rule(MEMBRANES, WALL_FRAME, STUCK),
    Rule(MEMBRANES, ANY, None),
    Rule(GUIDES, CASING | FRAME_BOARD | SIDING | SHEETS, SCREWED),
    Rule(GUIDES, ANY, None),
    # Casing is nailed through the cladding and the sheets into what stands behind.
    Rule(CASING, CASING | FRAME_BOARD | SIDING | SHEETS, NAILED),
    Rule(CASING, ANY, None),
    Rule(FRAME_BOARD, FRAME_BOARD | WALL_FRAME, NAILED),
    Rule(FRAME_BOARD, ANY, None),
    Rule(WRAP, frozenset({Kind.WALL_SHEET}), STAPLED),
    Rule(WRAP, ANY, None),
    # One row of nails up the middle of a board leaves its edges free; the batten's nails pass
    # between two boards into what is behind them, so that it holds both and splits neither.
    Rule(SIDING, frozenset({Kind.WALL_SHEET}), NAILED),
    Rule(CORNER_BOARDS, CORNER_BOARDS | UPRIGHTS, NAILED),
    Rule(BATTENS, UPRIGHTS, NAILED_BETWEEN),
    Rule(SIDING | BATTENS, ANY, None),
    Rule(SHEETS, SHEETS, None),
    Rule(frozenset({Kind.FLOOR_SHEET}), FLOOR_FRAME | BOTTOM_PLATE, NAILED),
    Rule(frozenset({Kind.FLOOR_SHEET}), ANY, None),
    Rule(frozenset({Kind.ROOF_SHEET}), ROOF_FRAME, NAILED),
    Rule(frozenset({Kind.ROOF_SHEET}), ANY, None),
    # Rafters run out over the wall's sheets; only the one in the wall's plane is sheeted over.
    Rule(
        frozenset({Kind.WALL_SHEET}),
        frozenset({Kind.RAFTER, Kind.FLY_RAFTER, Kind.LOOKOUT}),
        None,
    ),
    Rule(frozenset({Kind.WALL_SHEET}), LUMBER, NAILED),
    Rule(LUMBER, LUMBER, NAILED),
)


@cache
def fixing(one: Kind, other: Kind) -> str | None:
    """How two kinds of piece that touch are held together; None where they make no joint."""
    for rule in RULES:
        if (one in rule.these and other in rule.those) or (
            other in rule.these and one in rule.those
        ):
            return rule.fixing
    return None


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
