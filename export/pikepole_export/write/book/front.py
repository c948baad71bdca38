"""What stands before the stages: the building in a few figures, and what goes for all of them.

front_chapter(building, told) -> Chapter
before_chapter(building, plan, told) -> Chapter
calendar_chapter(plan, units) -> Chapter
"""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_export.derive.inventory.summary import Summary, size_above_ground_mm
from pikepole_export.derive.lifting.labour import hours_text, total
from pikepole_export.derive.lifting.plan import LiftPlan
from pikepole_export.derive.lifting.schedule import days_text, visit_text, when_text
from pikepole_export.write.book.blocks import (
    TICK,
    Block,
    Cell,
    Chapter,
    Column,
    Contents,
    Head,
    Pairs,
    Picture,
    Points,
    Table,
    Words,
)
from pikepole_export.write.book.told import BUYING, CALENDAR, CAUTIONS, MOVE, Told, stage_label
from pikepole_model.building.part import Building
from pikepole_model.units import Units, format_height, format_mass, headcount, plural

_DAYS = (
    Column(""),
    Column("Stage", wraps=True),
    Column("Days", wraps=True),
    Column("Hours of one person", wraps=True),
    Column("Asks for", wraps=True),
    Column("Page", right=True),
)
TRUE_SIZE = (
    "Print at 100 %, not fitted to the page: then drawings are true to their scale and full-size "
    "patterns can be laid on the wood. Hold a rule to a scale bar before you trust a print."
)


def front_chapter(building: Building, told: Told) -> Chapter:
    """The title page: the building as it will stand, and its key figures."""
    blocks: list[Block] = [Picture(file) for file in told.finished[:1]]
    blocks += [
        Pairs(tuple(_figures(building, told))),
        Words(TRUE_SIZE),
        Words(told.general[0]),
    ]
    return Chapter(building.scene.title, "front", tuple(blocks), listed=False)


def contents_chapter() -> Chapter:
    """Where everything is."""
    return Chapter("Contents", "contents", (Contents(),), listed=False)


def _figures(building: Building, told: Told) -> Iterator[tuple[Cell, Cell]]:
    units: Units = building.scene.units
    long, deep, high = (
        format_height(mm, units) for mm in size_above_ground_mm(building.finished.parts)
    )
    yield Cell("Over all"), Cell(f"{long} long, {deep} deep, {high} high above the ground")
    if told.summary:
        yield from _masses(told.summary, units)
    yield Cell("Work"), Cell(", ".join(_work(building, told)))
    if told.plan and told.plan.lifts:
        heaviest = max(told.plan.lifts, key=lambda lift: lift.chosen.load.mass.high_kg)
        weighs = format_mass(heaviest.chosen.load.mass.high_kg, units)
        text = f"{heaviest.chosen.load.name}, up to {weighs}"
        yield Cell("Heaviest lift"), Cell(text)
    if told.buying:
        things = plural(len(told.buying.purchases), "thing")
        yield Cell("To buy"), Cell(f"{things}{_cost(told)}: page", pages=(BUYING,))
    if told.strength:
        over = sum(check.is_over for check in told.strength.checks)
        count = plural(len(told.strength.checks), "check")
        yield Cell("Strength"), Cell(f"{over} of {count} over their rule: page", pages=("checks",))


def _masses(short: Summary, units: Units) -> Iterator[tuple[Cell, Cell]]:
    low, likely, high = (
        format_mass(kg, units)
        for kg in (short.mass.low_kg, short.mass.likely_kg, short.mass.high_kg)
    )
    there = format_mass(short.made_in_place.likely_kg, units)
    yield (
        Cell("Weighs"),
        Cell(f"{likely} likely ({low} to {high}), {there} of it gravel and cast concrete"),
    )
    yield Cell("Pieces"), Cell(f"{short.parts:,}, {short.shapes:,} of them different")


def _work(building: Building, told: Told) -> Iterator[str]:
    yield plural(len(building.stages), "stage")
    if told.plan:
        days = told.plan.calendar
        yield f"{plural(days.days, 'day')} for {headcount(told.plan.crew.people)}"
        hours = hours_text(total(stage.hours for stage in days.stages))
        if hours:
            yield f"{hours} of one person's work"
        if days.helper_days:
            yield f"helpers for {days_text(days.helper_days)}"
        if days.machine_days:
            yield f"a machine for {plural(days.machine_days, 'day')}"


def _cost(told: Told) -> str:
    buying = told.buying
    if buying is None or buying.total is None:
        return ""
    unpriced = f", {buying.unpriced} of them unpriced" if buying.unpriced else ""
    return f"{unpriced}, {buying.total:,.2f} {buying.currency}".rstrip()


def before_chapter(plan: LiftPlan | None, told: Told) -> Chapter:
    """What goes for every stage, and what the checks found."""
    blocks: list[Block] = []
    if told.findings:
        blocks += [
            Head("Found in the model, to be settled before anything is cut"),
            Points(tuple(Cell(str(one)) for one in told.findings), boxes=True),
        ]
    said = (*told.general[:1], *(plan.cautions if plan else ()), told.general[2])
    blocks += [Head("With every lift, and at the saw"), Points(tuple(map(Cell, said)))]
    blocks += [Head("Printing"), Words(TRUE_SIZE)]
    return Chapter("Before you begin", CAUTIONS, tuple(blocks), runs_on=True)


def calendar_chapter(plan: LiftPlan, *, moves: bool) -> Chapter:
    """The work in days: each stage, and when others come.

    Args:
        plan: How it is lifted.
        moves: Whether the move has a chapter.
    """
    days, crew = plan.calendar, plan.crew
    asked = {stage.number: stage.mark for stage in plan.stages}
    rows = [
        (
            TICK,
            Cell(f"{stage.number}  {stage.name}", to=stage_label(stage.number)),
            Cell(when_text(stage)),
            Cell(hours_text(stage.hours)),
            Cell(asked.get(stage.number, "")),
            Cell(pages=(stage_label(stage.number),)),
        )
        for stage in days.stages
    ]
    if moves and days.move_day is not None:
        before = sum(stage.last_day < days.move_day for stage in days.stages)
        move = Cell("The move", to=MOVE)
        when = Cell(f"day {days.move_day}")
        rows.insert(before, (TICK, move, when, Cell(), Cell(), Cell(pages=(MOVE,))))
    hours = f"{crew.hours_per_day:g} h"
    blocks: list[Block] = [
        Words(
            f"{plural(days.days, 'day')} of {hours} for {headcount(crew.people)}, counting the "
            "most hours that the work may take."
        ),
        Table(_DAYS, tuple(rows)),
    ]
    names = {lift.number: lift.item.name for lift in plan.lifts}
    if days.visits:
        visits = tuple(Cell(visit_text(visit, names).capitalize()) for visit in days.visits)
        blocks += [Head("When others come"), Points(visits, boxes=True)]
    return Chapter("The work in days", CALENDAR, tuple(blocks), runs_on=True)
