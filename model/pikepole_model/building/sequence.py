"""The order of the work: which groups of pieces go up in which stage."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace

from pikepole_model.building.kinds import Kind
from pikepole_model.building.laps import OVER_RIBS
from pikepole_model.scene.foundation import Pad
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.types import ROUND


@dataclass(frozen=True, slots=True)
class Note:
    """A sentence that is told where a stage puts up what it speaks of.

    Attributes:
        text: It.
        of: The kinds that it speaks of.
    """

    text: str
    of: tuple[Kind, ...]


@dataclass(frozen=True, slots=True)
class Step:
    """A stage before it has parts.

    Attributes:
        name: What the builder calls it.
        groups: The groups of pieces it puts in place.
        notes: What to know before starting it.
        more: The same of some kinds alone.
    """

    name: str
    groups: tuple[str, ...]
    notes: str = ""
    more: tuple[Note, ...] = ()

    def told(self, kinds: Collection[Kind]) -> str:
        """What to know before some kinds are put up."""
        more = [note.text for note in self.more if not set(note.of).isdisjoint(kinds)]
        return " ".join(text for text in (self.notes, *more) if text)


STANDING, FOUNDATION = "Standing already", "Foundation"
BEAMS_AND_POSTS = "Beams and posts"
DOORS, LOFT_DECK, LOFT_LADDER = "Doors", "Loft deck", "Loft ladder"
HOUSE_WRAP, TRIMS, UNDERLAYMENT = "House wrap", "Trim", "Roof underlayment"
PANELS, ROOF_TRIM = "Roof panels", "Roof trim"
UNDER_STRIP = "Tuck it up under the strip that hangs from behind a ledger."
ELSEWHERE = "This is at the place that the building is moved to."
BUILT_BESIDE = 'Build beside it: the building is moved onto it when "{}" is done.'
DRILLED = "No bolts are cast in: holes are drilled at the dots once the concrete is hard."
CAPS = "Scribe each cap round the posts as they stand; prime its notches and seal it there."
_WALLS = ("front", "back", "left", "right")
_EAVES = ("eave metal", "roof underlayment")
# From then on nothing is worked on from above beside the floor frame.
WALLS_STAND = tuple(f"{wall} wall" for wall in _WALLS)

SEALED = Note("Sealant in every side lap.", (Kind.PANEL,))
UNDER_ENDS = Note("A closure strip under each panel's lower end.", (Kind.PANEL,))
OVER_ENDS = Note("A closure strip between ribs and each cap or flashing over them.", OVER_RIBS)

CURES = Note("Concrete cures before it is loaded.", (Kind.SLAB, Kind.FOOTING))
IN_SEALANT = Note(
    "Two beads of sealant between lengths of a cap or flashing where they lap.", OVER_RIBS
)

DRIP_EDGES = Step("Drip edges", _EAVES, "On the sheets, at the eaves.")

# Nothing is fixed to what is not there yet. Footings are dug and poured with the foundation, so
# that the concrete is hard when the posts come.
SEQUENCE = (
    Step(STANDING, ("existing",), "Kept as it is; built round."),
    Step(
        FOUNDATION,
        ("foundation", "bay footings", "footings", "bay ground"),
        "Set out square and level.",
        (CURES,),
    ),
    Step(
        "Floor frame",
        ("floor frame", "ground anchors"),
        "Check the diagonals before the blocking goes in.",
    ),
    Step(
        "Floor deck",
        ("floor deck",),
        "Ends of sheets and boards on joists.",
        (
            Note(
                "A nail's thickness between ends of sheets and between square edges; tongues all "
                "the way in.",
                (Kind.FLOOR_SHEET,),
            ),
            Note("A pencil's thickness between boards.", (Kind.FLOOR_BOARD,)),
        ),
    ),
    Step("Back wall", ("back wall",), "Brace it before letting go."),
    Step("Front wall", ("front wall",), "Brace it before letting go."),
    Step("Left wall", ("left wall",), "Brace it before letting go."),
    Step("Right wall", ("right wall",), "Plumb all four corners, then nail the corners off."),
    Step(
        "Wall sheathing",
        tuple(f"{wall} wall sheathing" for wall in _WALLS),
        "Keep the temporary braces until the sheets are nailed off.",
    ),
    Step(
        "Wall girts",
        tuple(f"{wall} wall girts" for wall in _WALLS),
        "Level, their joints over studs or posts; keep the temporary braces.",
    ),
    Step(
        BEAMS_AND_POSTS,
        (
            *(f"{side} ledger wrap" for side in ("front", "back")),
            *(f"{side} bay posts" for side in ("left", "right", "front", "back")),
            "posts",
            *(f"{line} beam" for line in ("front", "back", "ridge", "clerestory")),
            *(f"inner {row} beam" for row in range(1, 5)),
            *(f"{side} purlin beam" for side in ("front", "back")),
            *(f"{side} lean-to beam" for side in ("front", "back")),
            "knee braces",
        ),
        more=(
            Note("Brace each post both ways before a beam goes on it.", (Kind.POST,)),
            Note("Behind a ledger, wrap first.", (Kind.LEDGER,)),
        ),
    ),
    Step(
        "Clerestory",
        ("clerestory wall", "clerestory wall sheathing", "clerestory ledger wrap"),
        "Brace it back to the walls before letting go. Wrap it before the lower rafters.",
    ),
    Step(
        "Loft frame",
        ("loft frame",),
        "Brace the walls plumb first; doubled joists and headers before the joists between.",
    ),
    Step(LOFT_DECK, ("loft deck",)),
    Step(
        LOFT_LADDER,
        ("loft ladder",),
        "Rail the opening for good, or hang a hatch over it: no guard is laid out (IRC R312.1.1).",
    ),
    Step("Rafters", ("rafters",), "Fall protection where the rules ask for it."),
    Step("Rake overhangs", ("rake overhangs",)),
    Step(
        "Roof edges",
        ("roof edges",),
        more=(Note("Soffits before the sheets, while the tails are open.", (Kind.SOFFIT,)),),
    ),
    Step("Roof deck", ("roof deck",), "No sheets on the roof in wind."),
    Step(
        UNDERLAYMENT,
        _EAVES,
        more=(
            Note("Drip edges at the eaves first.", (Kind.DRIP_EDGE,)),
            Note("Courses from the low edge up.", (Kind.UNDERLAYMENT,)),
        ),
    ),
    Step(
        PANELS,
        ("roof panels", "knee flashing"),
        "The first panel square to the eave; all others follow.",
    ),
    Step(ROOF_TRIM, ("roof metal",)),
    Step("Base flashing", ("base flashing",), "Level: the siding starts from it."),
    Step(
        HOUSE_WRAP,
        tuple(f"{wall} wall wrap" for wall in (*_WALLS, "clerestory")),
        "From the low edge up, each course over the one below, and over the metal's upper legs.",
    ),
    Step(
        "Windows and door frames",
        ("windows", "door frames"),
        "Membrane on the sills first.",
        (
            Note(
                "Each pane on two blocks, in sealant all round. End the outer stop at its foot "
                "short of both corners: water runs out there.",
                (Kind.PANE,),
            ),
            Note(
                "Mesh last, from inside (IRC R806.1).",
                (Kind.VENT_MESH,),
            ),
        ),
    ),
    Step(
        "Head flashing",
        ("head flashing",),
        "Slit the wrap and lift it. Sealant behind the metal's upper leg, then the wrap over it.",
    ),
    Step(
        "Siding",
        tuple(f"{wall} wall cladding" for wall in (*_WALLS, "clerestory")),
        "Prime the backs and the cut ends before a board goes up.",
        (
            Note(
                "Where upright boards end on others, the flashing between them goes under the "
                "wrap.",
                (Kind.JOINT_FLASHING,),
            ),
        ),
    ),
    Step(
        "Wall slats",
        tuple(f"{wall} wall slats" for wall in _WALLS),
        "A block as thick as the gap keeps them apart.",
    ),
    Step(TRIMS, ("trims",)),
    Step(
        "Wall lining",
        tuple(f"{wall} wall lining" for wall in (*_WALLS, "clerestory")),
        "Once the roof keeps the rain out.",
    ),
    Step(DOORS, ("door stops", "door tracks"), "Every leaf clear of its frame all round."),
    Step(
        "Steps and ramps",
        ("steps",),
        more=(
            Note("Gravel first.", (Kind.GRAVEL,)),
            Note("A ramp's foot is made up last.", (Kind.RAMP_BOARD,)),
        ),
    ),
)

# No guard is laid out on a loft; IRC R312.1.1 asks for one where a floor that people walk on lies
# more than 30 in over the next (from memory).
RAIL_OPENING = "Cover the opening, or rail it, until the ladder stands."
RAIL_HOLE = "Cover the opening, or rail it."
RAIL_EDGE = "Rail its open edge: no guard is laid out (IRC R312.1.1)."

# Over a loft these are set from its deck.
OVER_LOFT = Step(
    "Ridge and purlins",
    ("ridge beam", "front purlin beam", "back purlin beam", "knee braces"),
    "Set from the loft's deck, its opening covered; brace each before it is let go.",
)
FIRST_FOUNDATION = Step(
    "First foundation",
    ("first foundation", "skids and girders"),
    "Set out square and level, where there is room to work. It is moved from here.",
)
HELD_DOWN = Step(
    "Anchors",
    ("anchors",),
    "The holes are drilled already: set the angles over them, the rods in adhesive. Nuts when that "
    "is hard.",
)
ANCHORS_FIRST = "Ground anchors are driven first, before joists are in the way."
ASK_BELOW = "Ask what lies buried before an anchor is driven."
# Driven only where the building stays.
IN_PLACE = Step(
    "Ground anchors",
    ("ground anchors",),
    f"As soon as it stands there, before wind comes. {ASK_BELOW}",
)
# Cast before, their posts would stand where the walls may not come to stand: common practice, no
# source.
BESIDE = Step(
    "Bay footings",
    ("bay footings", "bay ground"),
    "Set out from the walls as they stand now, level and along them.",
    (CURES,),
)
CLOSED_GAPS = "closed gaps"
GAPS = Step(
    "Gaps closed",
    (CLOSED_GAPS,),
    "Brace the walls, cut them free of what stood there, and take that away. Then close each gap: "
    "rim, studs nailed to those beside them all the way up, upper plate in one length over it.",
)


def steps_of(scene: Scene) -> tuple[Step, ...]:
    """The order of a scene's work: its own where it sets one, or the usual."""
    own = tuple(Step(stage.name, stage.groups, stage.notes) for stage in scene.stage)
    order = (step for first in _sequence(scene) for step in _over_loft(first, scene))
    usual = (step for first in order for step in _with_move(first, scene))
    return own or tuple(_with_notes(_with_doors(step, scene), scene) for step in usual)


def done_by(scene: Scene, after: str, names: Sequence[str]) -> str | None:
    """The last of some stages that is done when another one is; None where none is.

    A step that has nothing to put up is done when the one before it is.

    Args:
        scene: Whose order of work counts.
        after: Name of the stage, whether it has something to put up or not.
        names: Of the stages that have, in order.
    """
    steps = [step.name for step in steps_of(scene)]
    done = steps[: steps.index(after) + 1] if after in steps else [after]
    return next((name for name in reversed(names) if name in done), None)


def comes_after(scene: Scene, group: str, others: Collection[str]) -> bool:
    """Whether a group of pieces goes up in a later stage than some of others."""
    steps = steps_of(scene)
    own = next((k for k, step in enumerate(steps) if group in step.groups), 0)
    return any(not set(others).isdisjoint(step.groups) for step in steps[:own])


def _sequence(scene: Scene) -> list[Step]:
    """The order of work: where no underlayment comes over them, drip edges are a step alone."""
    covered = scene.roofing and scene.roofing.underlayment
    alone = scene.edges and scene.edges.metal and not covered
    return [DRIP_EDGES if step.name == UNDERLAYMENT and alone else step for step in SEQUENCE]


def _over_loft(step: Step, scene: Scene) -> Iterator[Step]:
    """Where there is a loft, what lies over it comes after it."""
    if scene.loft and not set(OVER_LOFT.groups).isdisjoint(step.groups):
        rest = tuple(group for group in step.groups if group not in OVER_LOFT.groups)
        step = replace(step, groups=rest)
    yield step
    if scene.loft and step.name == LOFT_LADDER:
        yield OVER_LOFT


def _with_move(step: Step, scene: Scene) -> Iterator[Step]:
    """What is built elsewhere stands on something there first, and is held down once it is moved.

    Its own foundation is made meanwhile, so that the concrete is hard when it comes; footings of
    its bays are set out from its walls, once these stand there.
    """
    if scene.move and scene.move.built_on and "foundation" in step.groups:
        yield FIRST_FOUNDATION
    anchors = IN_PLACE.groups[0]
    if step.name == FOUNDATION and _comes_before_posts(scene):
        rest = tuple(group for group in step.groups if group not in BESIDE.groups)
        step = replace(step, groups=rest)
    if scene.move and anchors in step.groups:
        rest = tuple(group for group in step.groups if group != anchors)
        step = replace(step, groups=rest)
    elif anchors in step.groups and scene.bearers and scene.ties.ground != "none":
        step = replace(step, notes=f"{ANCHORS_FIRST} {ASK_BELOW} {step.notes}")
    yield step
    if scene.move and scene.move.after == step.name:
        yield HELD_DOWN
        yield IN_PLACE
        if _comes_before_posts(scene):
            yield BESIDE
    if step.name == _freed_after(scene):
        yield GAPS


def _comes_before_posts(scene: Scene) -> bool:
    """Whether a building is moved onto its place, and only then its bays' posts are put up."""
    names = [step.name for step in _sequence(scene)]
    if scene.move is None or scene.move.after not in names:
        return False
    return names.index(scene.move.after) < names.index(BEAMS_AND_POSTS)


def _freed_after(scene: Scene) -> str | None:
    """The usual stage after which nothing is left of what is taken away or moved off."""
    moved = scene.move.after if scene.move and scene.move.built_on else None
    ends = {one.until or moved for one in scene.existing}
    return next((step.name for step in reversed(_sequence(scene)) if step.name in ends), None)


def _with_notes(step: Step, scene: Scene) -> Step:
    """What a stage says besides of what this scene has."""
    if step.name == STANDING and (ends := {one.until: None for one in scene.existing if one.until}):
        gone = " and ".join(f'"{name}"' for name in ends)
        some = "it " if all(one.until for one in scene.existing) else "some of it "
        return replace(step, notes=f"Build round it; {some}comes out when {gone} is done.")
    if step.name == FOUNDATION and scene.move:
        where = ELSEWHERE if scene.move.built_on else BUILT_BESIDE.format(scene.move.after)
        onto_pad = scene.move.built_on and isinstance(scene.foundation, Pad)
        drilled = DRILLED if onto_pad else ""
        return replace(step, notes=" ".join(filter(None, (step.notes, where, drilled))))
    if step.name == HOUSE_WRAP and any(bay.roof == "ledger" for bay in scene.bay):
        return replace(step, notes=f"{step.notes} {UNDER_STRIP}")
    if step.name == TRIMS and any(scene.walls.is_capped(wall) for wall in ROUND):
        return replace(step, notes=CAPS)
    if scene.roofing and step.name in (PANELS, ROOF_TRIM):
        ends = (UNDER_ENDS, OVER_ENDS) if scene.roofing.closures else ()
        sealed = (*((SEALED,) * scene.roofing.sealed), IN_SEALANT)
        return replace(step, more=(*step.more, *sealed, *ends))
    if step.name == LOFT_DECK and scene.loft:
        opening, reach = scene.loft.opening, scene.loft.reach
        parted = reach is not None and reach < scene.building.length
        rails = [RAIL_OPENING if opening.ladder else RAIL_HOLE] if opening else []
        rails += [RAIL_EDGE] if parted else []
        return replace(step, notes=" ".join(rails))
    return step


def _with_doors(step: Step, scene: Scene) -> Step:
    """Each door is a group under its own name, so that it can be weighed alone."""
    if step.name != DOORS:
        return step
    names = [one.name for opening in scene.opening if opening.door for one in opening.row()]
    return Step(step.name, (*step.groups, *names), step.notes)
