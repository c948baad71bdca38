"""A building moved whole to its bed: after which stage, by what, and what that asks for.

plan_moves(building) -> Moves       the table for every stage; the plan where the scene has a move
move_findings(building)             what speaks against the scene's own move
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import assert_never

from pikepole_export.derive.buying.wording import in_words
from pikepole_export.derive.inventory.mass import Mass
from pikepole_export.derive.lifting.validation import LiftError
from pikepole_export.derive.moving.against import (
    Asked,
    fork_problems,
    jack_problems,
    pipe_problems,
    too_short,
    trailer_problems,
)
from pikepole_export.derive.moving.beams import BEAMS, beam_mass
from pikepole_export.derive.moving.conduct import Conduct, conduct
from pikepole_export.derive.moving.forks import OnForks, on_forks, on_truck, truck_of
from pikepole_export.derive.moving.jacks import OnJacks, on_jacks
from pikepole_export.derive.moving.preparations import (
    Preparation,
    Step,
    preparations,
    standing_through,
)
from pikepole_export.derive.moving.ramp import OnRamp, on_ramp, ramp_problems
from pikepole_export.derive.moving.rollers import OnPipes, OnRollers, on_pipes, on_rollers
from pikepole_export.derive.moving.structure import (
    SIDES,
    MovedStructure,
    SideAxes,
    SideName,
    Tie,
    first_stage,
    moved_after,
)
from pikepole_export.derive.moving.tipping import move_wind
from pikepole_export.derive.moving.trailer import OnTrailer, on_trailer
from pikepole_export.derive.moving.truck import on_plate, rating_needed_kg
from pikepole_export.derive.moving.winch import winch_problems
from pikepole_model.building.part import Building
from pikepole_model.building.sequence import done_by
from pikepole_model.errors import Finding, Problem
from pikepole_model.geometry.placement import Vector
from pikepole_model.scene.moving import Move, Way
from pikepole_model.units import format_length, format_mass, plural

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
        lifted_kg: High mass of it, and of the carrying beams that the scene has on its forks.
        load_centre_mm: From the fork face to the centre of gravity of all that; the face stands
            against whatever sticks out furthest on that side, at any height.
        load_moment_kg_mm: That mass times load centre, kg mm.
        standard_mm: Load centre that the rating is stated at: the telehandler's, or the usual one
            where the scene's units are used.
        rating_needed_kg: At that load centre.
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
    lifted_kg: float
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
            mass_kg=self.lifted_kg,
            load_centre_mm=self.load_centre_mm,
            standard_mm=standard_mm,
        )


@dataclass(frozen=True, slots=True)
class MovePlan:
    """The move that the scene asks for.

    Attributes:
        row: The building by then.
        way: On what.
        on_jacks: How it is raised, corner by corner, and what each corner has.
        on_forks: None by another way, and where forks do not reach past the centre of gravity.
        on_rollers: The winch's pull, also where the scene has another way.
        on_pipes: None where the scene has no pipes.
        on_ramp: None where it has no ramp.
        on_trailer: None where it has no trailer.
        problems: What speaks against it, with mends.
        first: What to do before.
        conduct: The way there, the setting down and what ties it then.
    """

    row: MoveRow
    way: Way
    on_jacks: OnJacks
    on_forks: OnForks | None
    on_rollers: OnRollers
    on_pipes: OnPipes | None
    on_ramp: OnRamp | None
    on_trailer: OnTrailer | None
    problems: tuple[Problem, ...]
    first: tuple[Preparation, ...]
    conduct: Conduct

    @property
    def steps(self) -> Mapping[Step, tuple[str, ...]]:
        """What is done when, in few words; the steps that this move has, in their order."""
        does = self.conduct
        every = (*self.first, *does.raising, *does.there, *does.down)
        said = {step: tuple(o.short for o in every if o.step is step and o.short) for step in Step}
        return {step: texts for step, texts in said.items() if texts}


@dataclass(frozen=True, slots=True)
class Moves:
    """A building's move.

    Attributes:
        table: It after each stage, from the one that completes the floor frame to the last where it
            is built; empty where its walls stand on a slab.
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
    stages = [one for one in building.built.stages if first and one.number >= first.number]
    table = tuple(_row(building, moved_after(building, one), move) for one in stages)
    return Moves(table, plan_own_move(building))


@lru_cache(2)  # asked for by the checks of strength, by findings and by the plan itself
def plan_own_move(building: Building) -> MovePlan | None:
    """The scene's own move; None where it has none.

    Raises:
        LiftError: as `plan_moves`.
    """
    move = building.scene.move
    return _plan(building, move) if move else None


def move_findings(building: Building) -> tuple[Finding, ...]:
    """What speaks against the scene's own move, or keeps it from being planned at all."""
    try:
        plan = plan_own_move(building)
        problems = plan.problems if plan else ()
    except LiftError as error:
        problems = (error.problem,)
    return tuple(
        Finding("other", f"{one.value} {one.wrong}".strip(), (), key=one.key, mend=one.mend)
        for one in problems
    )


def _plan(building: Building, move: Move) -> MovePlan:
    done = done_by(building.scene, move.after, [one.name for one in building.stages])
    stage = next((one for one in building.stages if one.name == done), None)
    if stage is None:
        raise LiftError("move.after", move.after, "is no stage of the work", "take the name of one")
    moved = moved_after(building, stage)
    row, asked = _row(building, moved, move), Asked(building, moved, move)
    jacks = on_jacks(building, moved, move)
    forks = on_forks(building, moved, move) if move.way == "forks" else None
    pipes = move.pipes and on_pipes(building, moved, move, move.pipes)
    rolls_kg = moved.mass.high_kg + (
        BEAMS * beam_mass(building, move.beams).high_kg if move.beams else 0.0
    )
    rollers = on_rollers(building, rolls_kg, move)
    ramp = move.ramp and on_ramp(building, rolls_kg, move.ramp)
    trailer = move.trailer and on_trailer(building, moved, move, move.trailer)
    problems = [
        *(
            asked.at(
                ("move", "after"), f'"{move.after}"', f"is no time to move it: {why}", _EARLIER
            )
            for why in _in_itself(building, moved, SIDES[move.side])
        ),
        *_by_way(asked, forks, rollers, pipes, ramp, trailer),
        *jack_problems(asked, jacks),
    ]
    on = forks or pipes or trailer
    wind = on and move_wind(on.frame.margins.tips_in_m_s)
    return MovePlan(
        row=row,
        way=move.way,
        on_jacks=jacks,
        on_forks=forks,
        on_rollers=rollers,
        on_pipes=pipes,
        on_ramp=ramp,
        on_trailer=trailer,
        problems=tuple(problems),
        first=preparations(building, moved, move, (row.rating_needed_kg, row.standard_mm)),
        conduct=conduct(building, moved, move, jacks, wind),
    )


_EARLIER = "undo that first, or move it after an earlier stage"


def _by_way(
    asked: Asked,
    forks: OnForks | None,
    rollers: OnRollers,
    pipes: OnPipes | None,
    ramp: OnRamp | None,
    trailer: OnTrailer | None,
) -> Iterator[Problem]:
    move = asked.move
    match move.way:
        case "forks":
            yield from fork_problems(asked, forks) if forks else too_short(asked)
        case "rollers":
            yield from winch_problems(asked, rollers)
            if ramp is not None and move.ramp:
                yield from ramp_problems(asked, ramp, move.ramp, rolls_kg=rollers.mass_kg)
            if pipes is not None and move.pipes:
                yield from pipe_problems(asked, pipes, move.pipes)
        case "trailer":
            if trailer is not None and move.trailer:
                yield from trailer_problems(asked, trailer, move.trailer)
        case "jacks":
            pass
        case _:
            assert_never(move.way)


def _row(building: Building, moved: MovedStructure, move: Move | None) -> MoveRow:
    side = move.side if move else DEFAULT_SIDE
    by_forks = move is not None and move.way == "forks"
    truck = truck_of(building) if by_forks else None
    lifts = on_truck(building, moved, side, move)
    reaches = not by_forks or move is None or move.fork > lifts.load_centre_mm
    units, why_not = building.scene.units, [*_in_itself(building, moved, SIDES[side])]
    if move is not None and not reaches:
        why_not.append(
            f"forks of {format_length(move.fork, units)} do not reach past its centre of gravity, "
            f"{format_length(lifts.load_centre_mm, units)} in"
        )
    if truck is not None and truck.rating < lifts.rating_needed_kg:
        why_not.append(
            f"the telehandler is rated {format_mass(truck.rating, units, 'down')} at "
            f"{on_plate(lifts.standard_mm)}, less than it asks for"
        )
    return MoveRow(
        stage=moved.stage.number,
        name=moved.stage.name,
        mass=moved.mass,
        centre_of_gravity_mm=moved.centre_mm,
        size_mm=moved.size_mm,
        lifted_kg=lifts.mass_kg,
        load_centre_mm=lifts.load_centre_mm,
        load_moment_kg_mm=lifts.moment_kg_mm,
        standard_mm=lifts.standard_mm,
        rating_needed_kg=lifts.rating_needed_kg,
        fork_mm=move.fork if move and by_forks else None,
        truck_rating_kg=truck.rating if truck else None,
        ties=moved.ties,
        why_not=tuple(in_words(one, building.scene.english) for one in why_not),
    )


def _in_itself(building: Building, moved: MovedStructure, side: SideAxes) -> tuple[str, ...]:
    """What speaks against moving it then, whatever the gear."""
    return _tied(building, moved) + _in_pieces(moved) + _beside_floor(moved, side)


def _in_pieces(moved: MovedStructure) -> tuple[str, ...]:
    """Girders that only hold together over what they stand on."""
    pieces = [part for part in moved.bearers if not moved.runs_through(part, SIDES["front"])]
    if not pieces:
        return ()
    return (f"its {pieces[0].kind.value}s are in pieces, that hold together over their piers only",)


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
