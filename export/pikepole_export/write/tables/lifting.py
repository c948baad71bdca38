"""The lift plan and the moves as tables.

    lift_tables(plan, units)               lifts, lift-cautions
    moves_table(moving, cautions, units, words)   moves

In JSON stands every number that led to a verdict; in CSV one row a lift, or a stage, with what a
builder wants. The cautions of both are a table beside them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass
from math import isfinite
from typing import Any, cast

from pikepole_export.derive.inventory.mass import Mass
from pikepole_export.derive.lifting.cautions import cautions_of
from pikepole_export.derive.lifting.lift import Lift, ends
from pikepole_export.derive.lifting.plan import LiftPlan
from pikepole_export.derive.lifting.records import lift_records
from pikepole_export.derive.lifting.sentences import asked_text, done_text, step_text
from pikepole_export.derive.moving.plan import MoveRow, Moves
from pikepole_export.write.tables.columns import (
    CENTRE,
    MASS,
    Column,
    key_of,
    lines,
    masses,
    rounded,
)
from pikepole_export.write.tables.csv_json import Table
from pikepole_model.geometry.placement import Vector
from pikepole_model.scene.buying import Words
from pikepole_model.units import Units, headcount

CAUTIONS = "lift-cautions"

_LIFTS = (
    Column("lift"),
    Column("stage"),
    Column("stage name"),
    Column("name"),
    Column("times"),
    Column("kind"),
    Column("asks for"),
    Column("people"),
    Column("grade"),
    Column("verdict"),
    Column("what is done"),
    Column("loads"),
    MASS,
    Column("size", "length", ("length", "width", "thickness")),
    Column("start", "length", ("first end at start", "second end at start")),
    Column("end", "length", ("first end in place", "second end in place")),
    Column("floor", "length"),
    Column("hardest step"),
    Column("load", "mass", ("step load",)),
    Column("guideline", "mass", ("step guideline",)),
    Column("percent of guideline"),
    Column("guideline of"),
    Column("tilt peak", "force"),
    Column("tilt peak at", "angle"),
    Column("machine"),
    Column("needed", "mass"),
    Column("rating", "mass"),
    Column("reach above ground", "length"),
    Column("sling leg", "force"),
    Column("platform to bring", "length"),
    Column("stop wind", "speed"),
    Column("cautions"),
)
_MOVES = (
    Column("stage"),
    Column("name"),
    MASS,
    CENTRE,
    Column("size", "length", ("size x", "size y", "size z")),
    Column("load centre", "length"),
    Column("needed", "mass", ("rating needed",)),
    Column("standard", "length", ("at load centre",)),
    Column("rating", "mass", ("rating of the truck",)),
    Column("why not"),
)


@dataclass(frozen=True, slots=True)
class _Lift:
    """A lift as a line for people."""

    lift: int
    stage: int
    stage_name: str
    name: str
    times: int
    kind: str
    asks_for: str
    people: int
    grade: str
    verdict: str
    what_is_done: str
    loads: int
    mass: Mass
    size_mm: Vector
    start_mm: tuple[float, float]
    end_mm: tuple[float, float]
    floor_mm: float
    hardest_step: str
    load: float
    guideline: float
    percent_of_guideline: int | None
    guideline_of: str
    tilt_peak_n: float | None
    tilt_peak_at_deg: float | None
    machine: str | None
    needed: float | None
    rating: float | None
    reach_above_ground_mm: float | None
    sling_leg_n: float | None
    platform_to_bring_mm: float | None
    stop_wind_m_s: float
    cautions: str


@dataclass(frozen=True, slots=True)
class _Move:
    """A stage as a line for people."""

    stage: int
    name: str
    mass: Mass
    centre_of_gravity_mm: Vector
    size_mm: Vector
    load_centre_mm: float
    needed: float
    standard_mm: float
    rating: float | None
    why_not: str


def lift_tables(plan: LiftPlan, units: Units) -> tuple[Table, Table]:
    """Every lift, who and what it takes, and when helpers come; what to bear in mind with all.

    Args:
        plan: Every lift.
        units: Of the CSV.
    """
    people = lines(_LIFTS, [_lift(lift, units) for lift in plan.lifts], units)
    beside = [["caution"], *([caution] for caution in plan.cautions)]
    return (
        Table("lifts", {"lifts": people}, plain(lift_records(plan, units))),
        Table(CAUTIONS, {CAUTIONS: beside}),
    )


def moves_table(
    moving: Moves, cautions: Sequence[str], units: Units, words: Words | None = None
) -> Table:
    """The building moved whole, stage by stage; the scene's own move in JSON only.

    Args:
        moving: Stage by stage.
        cautions: What to bear in mind, the same as with every lift.
        units: Of the CSV.
        words: Whose words stand over its columns.
    """
    people = lines(_MOVES, [_move(row) for row in moving.table], units, words)
    programs = {
        "cautions": list(cautions),
        "table": [{**plain(row), "feasible": row.feasible} for row in moving.table],
        "plan": plain(moving.plan),
    }
    return Table("moves", {"moves": people}, programs)


def plain(value: Any) -> Any:
    """Rows as JSON knows them: a frozen row becomes a record, what has no bound None."""
    if isinstance(value, Mass):
        return masses(value)
    if isinstance(value, float):
        return rounded(value) if isfinite(value) else None
    if is_dataclass(value):
        names = [field.name for field in fields(value)]
        return {_key(name, getattr(value, name)): plain(getattr(value, name)) for name in names}
    if isinstance(value, Mapping):
        return {key_of(key): plain(one) for key, one in cast("Mapping[str, Any]", value).items()}
    if isinstance(value, tuple | list):
        return [plain(one) for one in cast("Sequence[Any]", value)]
    return value


def _key(name: str, value: object) -> str:
    return key_of(f"{name}_kg" if isinstance(value, Mass) else name)


def _lift(lift: Lift, units: Units) -> _Lift:
    item, method, machine = lift.item, lift.chosen, lift.machine
    heights, task = ends(item, item.whole, lift.rest_height_mm), method.hardest
    return _Lift(
        lift=lift.number,
        stage=item.stage,
        stage_name=lift.stage_name,
        name=item.name,
        times=item.times,
        kind=item.kind,
        asks_for=asked_text(lift, units),
        people=lift.people,
        grade=lift.grade.name.lower().replace("_", " "),
        verdict=lift.verdict(units),
        what_is_done=done_text(lift, units),
        loads=lift.loads,
        mass=item.whole.mass,
        size_mm=item.whole.size_mm,
        start_mm=heights.start_mm,
        end_mm=heights.end_mm,
        floor_mm=item.floor_mm,
        hardest_step=step_text(method, method.assessments.index(task), units),
        load=task.task.mass_kg,
        guideline=task.guideline_kg,
        percent_of_guideline=round(task.used * 100) if isfinite(task.used) else None,
        guideline_of=f"{task.source} for {headcount(task.people)}",
        tilt_peak_n=method.tilt.peak_n if method.tilt else None,
        tilt_peak_at_deg=method.tilt.peak_deg if method.tilt else None,
        machine=machine.kind if machine else None,
        needed=machine.needed_kg if machine else None,
        rating=machine.rating_kg if machine else None,
        reach_above_ground_mm=machine.reach_mm if machine else None,
        sling_leg_n=machine.sling.tension_n if machine and machine.sling else None,
        platform_to_bring_mm=lift.platform_mm,
        stop_wind_m_s=lift.wind.stop_m_s,
        cautions=" ".join(cautions_of(lift, units)),
    )


def _move(row: MoveRow) -> _Move:
    return _Move(
        stage=row.stage,
        name=row.name,
        mass=row.mass,
        centre_of_gravity_mm=row.centre_of_gravity_mm,
        size_mm=row.size_mm,
        load_centre_mm=row.load_centre_mm,
        needed=row.rating_needed_kg,
        standard_mm=row.standard_mm,
        rating=row.truck_rating_kg,
        why_not="; ".join(row.why_not),
    )
