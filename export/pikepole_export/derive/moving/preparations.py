"""What has to be braced, emptied, taken out and undone before a building is moved.

preparations(building, moved, ...) -> tuple[Preparation, ...]
standing_through(building, moved) -> names
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import assert_never

from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.moving.structure import SIDES, MovedStructure, SideAxes
from pikepole_export.derive.moving.truck import on_plate
from pikepole_model.building.kind_rows import Appearance, Family, Handled
from pikepole_model.building.kinds import FLOORING, LEAF, Kind, of
from pikepole_model.building.part import Building, Part
from pikepole_model.scene.foundation import Pad
from pikepole_model.scene.moving import Move, Way
from pikepole_model.scene.openings import Opening
from pikepole_model.units import Units, format_length, format_mass, plural

PRACTICE = "common practice, no source"
FROM_MODEL = "the model's joints and places"

_UNTIL: Mapping[Way, str] = {
    "forks": " until the forks go under",
    "rollers": " until the rollers go under",
    "jacks": "",
    "trailer": " until the trailer goes under",
}

# What keeps the rain off, so that things are kept below it.
ROOFS = of(Family.PANELS) | {Kind.ROOF_SHEET}

# A wider doorway leaves the wall's foot without a plate for so long that the frame racks there.
# Source: common practice, no source.
WIDE_DOORWAY_MM = 1200.0


class Step(StrEnum):
    """When something of a move is done."""

    FIRST = "first"
    UP = "up"
    ON = "on what carries it"
    WAY = "the way there"
    DOWN = "down"
    TIED = "tied"


@dataclass(frozen=True, slots=True)
class Preparation:
    """Something to do before the move, or in it.

    Attributes:
        text: What, in a sentence.
        names: Of the pieces, walls or openings that it is about.
        source: Where the advice comes from.
        count: A number of pieces or joints in the sentence; None where there is none.
        size_mm: A size in it, mm.
        mass_kg: A mass in it, kg, high.
        step: When.
        short: The same in few words, for the card; empty where another says it there.
    """

    text: str
    names: tuple[str, ...]
    source: str
    count: int | None = None
    size_mm: float | None = None
    mass_kg: float | None = None
    step: Step = Step.FIRST
    short: str = ""


def practice(
    step: Step, text: str, short: str = "", *, size_mm: float | None = None
) -> Preparation:
    """Something that is common practice, and about nothing of the model in particular."""
    return Preparation(text, (), PRACTICE, size_mm=size_mm, step=step, short=short)


def standing_through(building: Building, moved: MovedStructure) -> tuple[str, ...]:
    """What stands up through the floor or among what is moved, so that it cannot be drawn off."""
    floor = building.scene.floor
    through = tuple(thing.name for thing in floor.through) if floor else ()
    low_mm = min(part.bounds_mm[0][2] for part in moved.floor)
    existing = tuple(
        part.name
        for part in moved.staying
        if part.kind.row.handled is Handled.THERE
        and part.bounds_mm[1][2] > low_mm
        and all(_meets(part, moved.parts, axis) for axis in (0, 1))
    )
    return (*through, *existing)


def _meets(part: Part, parts: Sequence[Part], axis: int) -> bool:
    low, high = (corner[axis] for corner in part.bounds_mm)
    lows, highs = ([one.bounds_mm[end][axis] for one in parts] for end in (0, 1))
    return high > min(lows) and low < max(highs)


def preparations(
    building: Building, moved: MovedStructure, move: Move, rated: tuple[float, float]
) -> tuple[Preparation, ...]:
    """What to do first, each only where the building has it by then.

    Args:
        building: All of it.
        moved: What is moved of it.
        move: How it goes.
        rated: What a truck has to be rated for, kg, at which load centre, mm.
    """
    return (
        *_book(move, rated, building.scene.units),
        *_drill(building),
        *_undo(building, moved),
        *_ground(building, moved, SIDES[move.side], move.way),
        *_brace(building, moved),
        *_fill(building, moved),
        *_empty(moved),
    )


def _book(move: Move, rated: tuple[float, float], units: Units) -> Iterator[Preparation]:
    rated_kg = None
    match move.way:
        case "forks":
            rated_kg, at_mm = rated
            fork, apart = (format_length(mm, units) for mm in (move.fork, move.fork_spacing))
            short = (
                f"a truck rated {format_mass(rated_kg, units, 'up')} at {on_plate(at_mm)}, forks "
                f"{fork} long, {apart} apart, and its driver"
            )
            what = (
                f"a truck with its driver, rated at least {format_mass(rated_kg, units, 'up')} at "
                f"{on_plate(at_mm)}, with forks {fork} long, their middles {apart} apart,"
            )
        case "trailer":
            what = "the trailer, with a driver and what draws it,"
            short = "the trailer, a driver and what draws it"
        case "rollers" | "jacks":
            return
        case _:
            assert_never(move.way)
    yield Preparation(
        f"Book {what} for the day of the move: the visits of helpers and machines leave it out.",
        (),
        PRACTICE,
        mass_kg=rated_kg,
        short=f"Book {short}.",
    )


def _undo(building: Building, moved: MovedStructure) -> Iterator[Preparation]:
    for tie in moved.ties:
        holders = plural(len(tie.holders), tie.kind)
        joints = plural(tie.joints, "joint")
        yield Preparation(
            f"Prop {', '.join(tie.held)}, then undo {joints} with {holders} in the ground.",
            tie.holders,
            FROM_MODEL,
            count=tie.joints,
            short=f"Prop {', '.join(tie.held)}, undo {joints} with {holders}.",
        )
    through = standing_through(building, moved)
    if through:
        yield Preparation(
            f"Take away what stands up through the floor, or lift clear of it: "
            f"{', '.join(through)}.",
            through,
            FROM_MODEL,
            short=f"Take away {', '.join(through)}.",
        )
    if moved.ties:
        for bay in building.scene.bay:
            out_mm = _out_mm(moved, SIDES[bay.side])
            yield Preparation(
                f"Brace the {bay.side} bay's roof to the walls: without its posts it stands out "
                f"{format_length(out_mm, building.scene.units, 'up')} past the floor.",
                (f"{bay.side} bay",),
                PRACTICE,
                size_mm=out_mm,
                short=f"Brace the {bay.side} bay's roof to the walls.",
            )


def _out_mm(moved: MovedStructure, side: SideAxes) -> float:
    """How far anything that is moved stands out past the floor frame on a side, mm."""
    return side.span_into(moved.floor)[0] - side.span_into(moved.parts)[0]


def _ground(
    building: Building, moved: MovedStructure, side: SideAxes, way: Way
) -> Iterator[Preparation]:
    gravel = {part.name for part in moved.staying if part.kind.family is Family.GRAVEL}
    touching = {
        name
        for joint in building.joints
        for name, other in ((joint.a, joint.b), (joint.b, joint.a))
        if other in gravel
    }
    lying = tuple(part.name for part in moved.floor if part.name in touching)
    if lying:
        yield Preparation(
            f"Jack it up and crib it{_UNTIL[way]}: {plural(len(lying), 'member')} of its floor "
            f"{'lies' if len(lying) == 1 else 'lie'} on the gravel.",
            lying,
            FROM_MODEL,
            count=len(lying),
        )
    skids = [part for part in moved.floor if part.kind in (Kind.SKID, Kind.GIRDER)]
    across = tuple(part.name for part in skids if _runs_across(part, side))
    if skids and way == "forks":
        yield _room(building, skids, is_across=bool(across))
    if way == "rollers" and across:
        yield Preparation(
            f"Put runners along the way under the {plural(len(across), skids[0].kind.value)}, "
            "which lie across it.",
            across,
            FROM_MODEL,
            count=len(across),
            step=Step.ON,
            short="Runners along the way, under the frame.",
        )


def _room(building: Building, skids: Sequence[Part], *, is_across: bool) -> Preparation:
    """How high the frame has to stand for the forks."""
    low_mm, high_mm = (skids[0].bounds_mm[end][2] for end in (0, 1))
    names = tuple(part.name for part in skids)
    kinds = plural(len(skids), skids[0].kind.value)
    high = format_length(high_mm - low_mm, building.scene.units)
    if is_across:
        text = (
            f"The forks go under the {kinds}, {high} high, which lie across them: raise it until "
            "they do, with room to draw them out again."
        )
    else:
        text = (
            f"Choose forks, with their room to be drawn out, that go in between the {kinds}: the "
            f"rest of the frame is {high} over what these lie on."
        )
    short = "" if is_across else f"Forks go in between the {kinds}: {high} high there."
    return Preparation(
        text, names, FROM_MODEL, count=len(skids), size_mm=high_mm - low_mm, short=short
    )


def _drill(building: Building) -> Iterator[Preparation]:
    """Holes in the pad, while a drill gets at them."""
    anchors = tuple(part.name for part in building.parts if part.kind is Kind.DRILLED_ANCHOR)
    pad = building.scene.foundation
    if anchors and isinstance(pad, Pad):
        holes = plural(len(anchors), "hole")
        deep = format_length(pad.bolt_embedment, building.scene.units)
        yield Preparation(
            f"Set out, drill and blow out {holes} in the slab, {deep} deep, and plug them: once it "
            "stands there, no drill gets in beside the skids or girders.",
            anchors,
            FROM_MODEL,
            count=len(anchors),
            size_mm=pad.bolt_embedment,
            short=f"Drill the slab's {holes} for anchors, and plug them.",
        )


def _runs_across(part: Part, side: SideAxes) -> bool:
    along, into = side.span_along([part]), side.span_into([part])
    return along[1] - along[0] > into[1] - into[0]


def wide_doorways(building: Building, moved: MovedStructure) -> tuple[Opening, ...]:
    """Doorways in walls that go along, so wide that the frame racks there."""
    walls = _walls(moved)
    return tuple(
        opening
        for table in building.scene.opening
        for opening in table.row()
        if opening.kind == "door"
        and opening.width > WIDE_DOORWAY_MM
        and f"{opening.wall} wall" in walls
    )


def _walls(moved: MovedStructure) -> tuple[str, ...]:
    groups = {part.group for part in moved.parts}
    return tuple(f"{side} wall" for side in SIDES if f"{side} wall" in groups)


def bare_walls(moved: MovedStructure) -> tuple[str, ...]:
    """Walls that go along without sheets, as their groups are called."""
    groups = {part.group for part in moved.parts}
    return tuple(wall for wall in _walls(moved) if f"{wall} sheathing" not in groups)


def walls_to_tie(moved: MovedStructure) -> tuple[str, ...]:
    """Walls whose tops no rafters hold, as their groups are called."""
    has_roof = any(part.kind.family is Family.ROOF_FRAME for part in moved.parts)
    return () if has_roof else _walls(moved)


def panes(moved: MovedStructure) -> tuple[Part, ...]:
    """Glass that goes along."""
    return tuple(part for part in moved.parts if part.kind.row.look is Appearance.GLASS)


def _brace(building: Building, moved: MovedStructure) -> Iterator[Preparation]:
    walls, units = _walls(moved), building.scene.units
    if not walls:
        return
    for opening in wide_doorways(building, moved):
        wide = format_length(opening.width, units)
        yield Preparation(
            f"Nail a brace across {opening.name}, {wide} wide, at its foot and crosswise.",
            (opening.name,),
            PRACTICE,
            size_mm=opening.width,
            short=f"Brace {opening.name}, {wide} wide, at its foot and crosswise.",
        )
    bare = bare_walls(moved)
    if bare:
        yield Preparation(
            f"Nail diagonal braces on what has no sheets: {', '.join(bare)}.",
            bare,
            PRACTICE,
            short="Diagonal braces on walls without sheets.",
        )
    tied = walls_to_tie(moved)
    if tied:
        yield Preparation(
            f"Tie the wall tops across to each other, as no rafters hold them: {', '.join(tied)}.",
            tied,
            PRACTICE,
            short="Tie the wall tops across.",
        )
    yield Preparation(
        "Keep every temporary wall brace until it stands on its bed, level.",
        walls,
        PRACTICE,
        short="Keep every wall brace.",
    )


def _fill(building: Building, moved: MovedStructure) -> Iterator[Preparation]:
    glass = panes(moved)
    if glass:
        mass_kg = sum(part_mass(part).high_kg for part in glass)
        called = " and ".join(
            plural(sum(part.kind == kind for part in glass), kind.value)
            for kind in Kind
            if any(part.kind == kind for part in glass)
        )
        yield Preparation(
            f"Take out {called}, {format_mass(mass_kg, building.scene.units, 'up')}, or board them "
            "over.",
            tuple(part.name for part in glass),
            PRACTICE,
            count=len(glass),
            mass_kg=mass_kg,
            short=f"Take out {called}, or board them over.",
        )
    tracked = {part.group for part in moved.parts if part.kind == Kind.HANGER}
    leaves = dict.fromkeys(part.group for part in moved.parts if part.kind in LEAF)
    hinged = tuple(group for group in leaves if group not in tracked)
    hung = tuple(group for group in leaves if group in tracked)
    if hinged:
        yield Preparation(
            f"Fix the door leaves shut or take them off: {', '.join(hinged)}.",
            hinged,
            PRACTICE,
            short="Fix door leaves shut, or take them off.",
        )
    if hung:
        yield Preparation(
            f"Take the door leaves off their tracks: {', '.join(hung)}.",
            hung,
            PRACTICE,
            short="Take hung door leaves off their tracks.",
        )


def _empty(moved: MovedStructure) -> Iterator[Preparation]:
    """A bare platform has nothing kept in it, and no wires lead there."""
    kinds = {part.kind for part in moved.parts}
    if kinds.isdisjoint(FLOORING):
        return
    if kinds.isdisjoint(ROOFS):
        yield Preparation(
            "Take off its floor what lies there: that is not in these weights.",
            (),
            PRACTICE,
            short="Take off its floor what lies there.",
        )
        return
    yield Preparation(
        "Empty it: what is kept inside is not in these weights.",
        (),
        PRACTICE,
        short="Empty it.",
    )
    yield Preparation(
        "Disconnect wires, ground wires, pipes and drains: this plan knows of none.",
        (),
        PRACTICE,
        short="Disconnect wires, pipes and drains.",
    )
