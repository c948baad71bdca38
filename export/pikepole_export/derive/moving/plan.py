"""A building moved whole to its bed: after which stage, by what, and what that asks for.

plan_moves(building) -> Moving     the table for every stage; the plan where the scene has a move
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from pikepole_export.derive.inventory.mass import Mass
from pikepole_export.derive.lifting.validation import LiftError
from pikepole_export.derive.moving.floor_bending import FrameBending, frame_bending
from pikepole_export.derive.moving.preparations import (
    Preparation,
    carry_across,
    preparations,
    standing_through,
)
from pikepole_export.derive.moving.rollers import OnRollers, on_rollers
from pikepole_export.derive.moving.structure import (
    SIDES,
    MovedStructure,
    SideAxes,
    SideName,
    Tie,
    first_stage,
    moved_after,
)
from pikepole_export.derive.moving.truck import (
    STANDARDS_MM,
    Forks,
    most_at_kg,
    on_plate,
    place_forks,
    rating_needed_kg,
)
from pikepole_model.building.part import Building
from pikepole_model.building.sequence import steps_of
from pikepole_model.geometry.placement import Vector
from pikepole_model.scene.crew import Move, Telehandler
from pikepole_model.units import Units, format_length, format_mass, plural

# Where a scene does not say: most have their widest doorway, and the way to them, there.
DEFAULT_SIDE: SideName = "front"


@dataclass(frozen=True, slots=True)
class MoveRow:
    """The building as it would be moved after a stage.

    Attributes:
        stage: The stage's number.
        name: Its name.
        mass: Of what is moved.
        centre_of_gravity_mm: Of the likely masses, building frame, mm.
        size_mm: Of what is moved: along X, along Y and up.
        load_centre_mm: From the fork face to the centre of gravity; the face stands against
            whatever sticks out furthest on that side, at any height.
        load_moment_kg_mm: High mass times load centre, kg mm.
        standard_mm: Load centre that the rating is stated at: the telehandler's, or the usual one
            where the scene's units are used.
        rating_needed_kg: At that load centre, for the high mass.
        fork_mm: Length of the scene's forks; None where the scene does not move it on forks.
        truck_rating_kg: Of the scene's telehandler; None likewise, or where it has none.
        ties: What in the ground has to be undone from it first.
        why_not: What speaks against it, in plain clauses; empty where nothing is found.
    """

    stage: int
    name: str
    mass: Mass
    centre_of_gravity_mm: Vector
    size_mm: Vector
    load_centre_mm: float
    load_moment_kg_mm: float
    standard_mm: float
    rating_needed_kg: float
    fork_mm: float | None
    truck_rating_kg: float | None
    ties: tuple[Tie, ...]
    why_not: tuple[str, ...]

    @property
    def feasible(self) -> bool:
        """Whether nothing is found that speaks against moving it then, strength aside."""
        return not self.why_not

    def rating_at_kg(self, standard_mm: float) -> float:
        """The rating that it asks for where that is stated at another load centre."""
        return rating_needed_kg(
            mass_kg=self.mass.high_kg,
            load_centre_mm=self.load_centre_mm,
            standard_mm=standard_mm,
        )


@dataclass(frozen=True, slots=True)
class TruckByFigures:
    """The scene's telehandler against what the building asks for.

    Attributes:
        rating_kg: Its rating.
        standard_mm: Load centre of that rating.
        most_kg: What the same load moment allows at the building's load centre.
        left_over_kg: That less the high mass; below zero where it is too little.
    """

    rating_kg: float
    standard_mm: float
    most_kg: float
    left_over_kg: float

    @property
    def covers(self) -> bool:
        """Whether the rating covers the building by figures; the data plate still decides."""
        return self.left_over_kg >= 0


@dataclass(frozen=True, slots=True)
class OnForks:
    """The building on the forks of a truck.

    Attributes:
        side: That the forks come in at.
        forks: Where they go, from the left end of the floor on that side, seen from outside.
        spacing_mm: From middle to middle.
        fork_mm: Their length.
        keeps_off_mm: What sticks out on that side keeps the fork face so far from the floor.
        past_centre_mm: How far the tips reach past the centre of gravity.
        truck: The scene's telehandler against it; None where it has none.
        frame: The floor frame across the forks.
    """

    side: SideName
    forks: Forks
    spacing_mm: float
    fork_mm: float
    keeps_off_mm: float
    past_centre_mm: float
    truck: TruckByFigures | None
    frame: FrameBending


@dataclass(frozen=True, slots=True)
class MovePlan:
    """The move that the scene asks for.

    Attributes:
        row: The building by then.
        way: On what.
        on_forks: None on rollers, and where forks do not reach past the centre of gravity.
        on_rollers: The same by rollers and winch, also where the scene has forks.
        first: What to do before.
    """

    row: MoveRow
    way: Literal["forks", "rollers"]
    on_forks: OnForks | None
    on_rollers: OnRollers
    first: tuple[Preparation, ...]


@dataclass(frozen=True, slots=True)
class Moves:
    """A building's move.

    Attributes:
        table: It after each stage, from the one that completes the floor frame; empty on a slab.
        plan: For the scene's own move; None where it has none.
    """

    table: tuple[MoveRow, ...]
    plan: MovePlan | None


def plan_moves(building: Building) -> Moves:
    """After which stage a building can be moved, and how the scene's own move goes.

    Without a move in the scene the table is for forks that come in at the front, however long.

    Raises:
        LiftError: the move is after a stage that there is not, or that leaves no floor frame to
            move by, or its forks are wider apart than the floor.
    """
    move = building.scene.move
    first = first_stage(building)
    stages = [one for one in building.stages if first and one.number >= first.number]
    table = tuple(_row(building, moved_after(building, one), move) for one in stages)
    return Moves(table, _plan(building, move) if move else None)


def _plan(building: Building, move: Move) -> MovePlan:
    # A step that has nothing to put up here is done when the one before it is.
    names = [step.name for step in steps_of(building.scene)]
    done = names[: names.index(move.after) + 1] if move.after in names else [move.after]
    stage = next((one for one in reversed(building.stages) if one.name in done), None)
    if stage is None:
        raise LiftError("move.after", move.after, "is no stage of the work", "take the name of one")
    moved, side = moved_after(building, stage), SIDES[move.side]
    row = _row(building, moved, move)
    on_forks = _on_forks(building, moved, move) if _reaches(row) else None
    first = preparations(building, moved, side=side, on_rollers=move.way == "rollers")
    if on_forks and not on_forks.frame.members:
        first = (*first, carry_across())
    return MovePlan(
        row=row,
        way=move.way,
        on_forks=on_forks,
        on_rollers=on_rollers(building, moved.mass.high_kg, move),
        first=first,
    )


def _truck(building: Building) -> Telehandler | None:
    """The scene's telehandler of the greatest load moment."""
    trucks = [gear for gear in building.scene.crew.gear if isinstance(gear, Telehandler)]
    return max(trucks, key=lambda one: one.rating * one.load_centre, default=None)


def _standard_mm(building: Building) -> float:
    truck = _truck(building)
    return truck.load_centre if truck else STANDARDS_MM[building.scene.units]


def _row(building: Building, moved: MovedStructure, move: Move | None) -> MoveRow:
    side = SIDES[move.side if move else DEFAULT_SIDE]
    on_forks = move is not None and move.way == "forks"
    truck = _truck(building) if on_forks else None
    load_centre_mm = side.place(moved.centre_mm)[1] - side.span_into(moved.parts)[0]
    standard_mm = _standard_mm(building)
    row = MoveRow(
        stage=moved.stage.number,
        name=moved.stage.name,
        mass=moved.mass,
        centre_of_gravity_mm=moved.centre_mm,
        size_mm=moved.size_mm,
        load_centre_mm=load_centre_mm,
        load_moment_kg_mm=moved.mass.high_kg * load_centre_mm,
        standard_mm=standard_mm,
        rating_needed_kg=rating_needed_kg(
            mass_kg=moved.mass.high_kg, load_centre_mm=load_centre_mm, standard_mm=standard_mm
        ),
        fork_mm=move.fork if move and on_forks else None,
        truck_rating_kg=truck.rating if truck else None,
        ties=moved.ties,
        why_not=_tied(building, moved) + _beside_floor(moved, side),
    )
    return replace(row, why_not=(*row.why_not, *_beyond(row, building.scene.units)))


def _reaches(row: MoveRow) -> bool:
    """Whether the building goes on forks that reach past its centre of gravity."""
    return row.fork_mm is not None and row.fork_mm > row.load_centre_mm


def _beyond(row: MoveRow, units: Units) -> Iterator[str]:
    """What is too much for the scene's forks and truck."""
    if row.fork_mm is not None and not _reaches(row):
        yield (
            f"forks of {format_length(row.fork_mm, units)} do not reach past its centre of gravity"
        )
    if row.truck_rating_kg is not None and row.truck_rating_kg < row.rating_needed_kg:
        yield (
            f"the telehandler is rated {format_mass(row.truck_rating_kg, units, 'down')} at "
            f"{on_plate(row.standard_mm)}, less than it asks for"
        )


def _tied(building: Building, moved: MovedStructure) -> tuple[str, ...]:
    ties = tuple(
        f"{plural(len(tie.holders), tie.kind)} in the ground "
        f"{'holds' if len(tie.holders) == 1 else 'hold'} {', '.join(tie.held)}"
        for tie in moved.ties
    )
    through = standing_through(building, moved)
    return (*ties, f"{', '.join(through)} in its way") if through else ties


def _beside_floor(moved: MovedStructure, side: SideAxes) -> tuple[str, ...]:
    """Where what hangs out draws the centre of gravity off the floor."""
    along, into = side.place(moved.centre_mm)
    spans = side.span_along(moved.floor), side.span_into(moved.floor)
    on_it = all(low < at < high for at, (low, high) in zip((along, into), spans, strict=True))
    return () if on_it else ("its centre of gravity is not over the floor",)


def _on_forks(building: Building, moved: MovedStructure, move: Move) -> OnForks:
    side = SIDES[move.side]
    along_mm, into_mm = side.place(moved.centre_mm)
    left_mm, right_mm = side.span_along(moved.floor)
    face_mm = side.span_into(moved.parts)[0]
    mass_kg, load_centre_mm = moved.mass.high_kg, into_mm - face_mm
    forks = place_forks(
        mass_kg=mass_kg,
        width_mm=right_mm - left_mm,
        across_mm=along_mm - left_mm,
        load_centre_mm=load_centre_mm,
        spread_mm=move.fork_spacing,
        fork_mm=move.fork,
        standard_mm=_standard_mm(building),
    )
    return OnForks(
        side=move.side,
        forks=forks,
        spacing_mm=move.fork_spacing,
        fork_mm=move.fork,
        keeps_off_mm=side.span_into(moved.floor)[0] - face_mm,
        past_centre_mm=move.fork - load_centre_mm,
        truck=_by_figures(_truck(building), mass_kg, load_centre_mm),
        frame=frame_bending(
            moved,
            side,
            left_mm=forks.left_mm,
            right_mm=forks.right_mm,
            face_mm=face_mm,
            fork_mm=move.fork,
        ),
    )


def _by_figures(
    truck: Telehandler | None, mass_kg: float, load_centre_mm: float
) -> TruckByFigures | None:
    if truck is None:
        return None
    most_kg = most_at_kg(
        rated_kg=truck.rating, standard_mm=truck.load_centre, load_centre_mm=load_centre_mm
    )
    return TruckByFigures(truck.rating, truck.load_centre, most_kg, most_kg - mass_kg)
