"""The lift plan as it is said on a terminal."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from pikepole_export.cli.words import wrapped
from pikepole_export.derive.lifting.falls import seats_mm
from pikepole_export.derive.lifting.hand_tasks import MOST_PEOPLE
from pikepole_export.derive.lifting.labour import hours_text
from pikepole_export.derive.lifting.left_out import LeftOut, why_text
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.methods import Split
from pikepole_export.derive.lifting.plan import LiftPlan, StageHelp
from pikepole_export.derive.lifting.schedule import days_text, numbers_text, visit_text, when_text
from pikepole_export.derive.lifting.sentences import (
    asked_text,
    done_text,
    gear_text,
    limited_text,
    platforms_text,
    step_text,
)
from pikepole_model.building.part import Building
from pikepole_model.scene.crew import Crew, MaterialLift, Platform, WallJack
from pikepole_model.units import (
    Units,
    format_height,
    format_mass,
    headcount,
    plural,
)

# Said once, where heights are.
HEIGHTS = "Heights are above the ground; those of platforms and trestles, above what they stand on."

_NAME = 30  # columns of a name; longer ones push the rest on


def opening(building: Building, plan: LiftPlan) -> list[str]:
    """What is planned, for whom, what they cannot do, and what to bear in mind."""
    pieces = sum(lift.item.times for lift in plan.lifts)
    head = (
        f"{building.scene.title}: {plural(pieces, 'lift')} of {plural(len(plan.lifts), 'kind')}, "
        f"every piece taken as heavy as it may be. {HEIGHTS}"
    )
    return [
        *wrapped(head),
        *wrapped(_crew(plan.crew, building.scene.units)),
        *_above(plan, building.scene.units),
        *_beyond(plan, building.scene.units),
        "",
        *cautions_list(plan.cautions),
    ]


def _above(plan: LiftPlan, units: Units) -> list[str]:
    """What people lift although a guideline is passed, by how much, and what brings it within."""
    above = [lift for lift in plan.lifts if lift.is_above]
    if not above:
        return []
    lines = ["", "Above the guideline, and what brings it within:"]
    for lift in above:
        step = step_text(lift.chosen, lift.chosen.assessments.index(lift.chosen.hardest), units)
        text = f"{lift.number} {lift.item.name}, {step}: {lift.verdict(units)}"
        why = limited_text(lift.chosen.hardest)
        lines += wrapped("; ".join(filter(None, (text, why))), indent="    ", first="  ")
    return lines


def _beyond(plan: LiftPlan, units: Units) -> list[str]:
    """What cannot be done with who and what is at hand, and what would do."""
    if not plan.beyond:
        return []
    brought = {lift.number: gear_text(lift, units) for lift in plan.beyond}
    lines = ["", "What this crew cannot do with what it has:"]
    for gear in dict.fromkeys(brought.values()):
        same = [lift for lift in plan.beyond if brought[lift.number] == gear]
        lines += wrapped(f"bring {gear}: {_names(same)}", indent="    ", first="  ")
    return lines


def cautions_list(texts: Iterable[str]) -> list[str]:
    """Cautions, each with a mark before it."""
    return [line for text in texts for line in wrapped(text, indent="  ", first="! ")]


def by_order(plan: LiftPlan, units: Units) -> list[str]:
    """Stage by stage, with what each asks for and the order that is proposed."""
    lifts = {lift.number: lift for lift in plan.lifts}
    lines: list[str] = []
    for stage in plan.stages:
        lines += ["", f"{stage.number}. {stage.name}: {stage.mark}"]
        for number in sorted(stage.lifts):
            lines += _line(lifts[number], plan.crew, units)
        lines += _order(stage)
    return [*lines, *_left_out(plan.left_out, units)]


def by_weight(plan: LiftPlan, units: Units) -> list[str]:
    """The heaviest first."""
    heaviest = sorted(plan.lifts, key=lambda lift: -lift.item.whole.mass.high_kg)
    lines = [line for lift in heaviest for line in _line(lift, plan.crew, units)]
    return ["", *lines]


def lifts_list(lifts: Iterable[Lift], crew: Crew, units: Units) -> list[str]:
    """Some of the lifts, a line each.

    Args:
        lifts: In the order in which they are said.
        crew: Who is there.
        units: Of the scene.
    """
    return [line for lift in lifts for line in _line(lift, crew, units)]


def _left_out(rows: Sequence[LeftOut], units: Units) -> list[str]:
    """What is not planned, reason by reason, and the rolls that it comes off."""
    if not rows:
        return []
    lines = ["", "No lift is planned for these:"]
    for why in dict.fromkeys(row.why for row in rows):
        names = ", ".join(f"{row.stage}. {row.name}" for row in rows if row.why == why)
        lines += wrapped(f"{names}: {why_text(why, units)}", indent="    ", first="  ")
    rolls = dict.fromkeys(roll for row in rows for roll in row.rolls)
    if rolls:
        full = ", ".join(f"{roll.name} {format_mass(roll.mass_kg, units)}" for roll in rolls)
        lines += wrapped(f"full rolls to carry up: {full}", "    ", "  ")
    return lines


def calendar(plan: LiftPlan, units: Units) -> list[str]:
    """On which days what is done, and on which helpers and hired machines are there."""
    days, crew = plan.calendar, plan.crew
    head = (
        f"Calendar: {plural(days.days, 'day')} of {crew.hours_per_day:g} h for "
        f"{headcount(crew.people)}, counting the most hours that the work may take. Hours are "
        "those of one person."
    )
    lines = ["", *wrapped(head), ""]
    for stage, after in zip(days.stages, (*days.stages[1:], None), strict=True):
        name = f"{stage.number}. {stage.name}"
        lines.append(
            f"  {name:{_NAME}} {when_text(stage):15} {hours_text(stage.hours):>16}".rstrip()
        )
        is_last = after is None or after.first_day > (days.move_day or 0)
        if days.move_day == stage.last_day + 1 and is_last:
            lines.append(f"  {'':{_NAME}} day {days.move_day}: the move")
    return [*lines, "", *_visits(plan), *_brought(plan, units)]


def _visits(plan: LiftPlan) -> list[str]:
    """When somebody comes, and for which lifts."""
    days = plan.calendar
    if not days.visits:
        return ["No helper is called: your crew does every lift."]
    hired = plural(days.machine_days, "day")
    if not days.helper_days:
        lines = [f"A machine comes for {hired}:"]
    else:
        and_hired = f", a machine for {hired}" if days.machine_days else ""
        times = plural(len(days.visits), "time")
        lines = [
            f"Call others {times}: helpers for {days_text(days.helper_days)} in all{and_hired}:"
        ]
    names = {lift.number: lift.item.name for lift in plan.lifts}
    for number, visit in enumerate(days.visits, start=1):
        lines += wrapped(visit_text(visit, names), indent="     ", first=f"  {number}. ")
    return lines


def _brought(plan: LiftPlan, units: Units) -> list[str]:
    """What has to be there for some lifts and comes without a driver, and on which days."""
    days = {stage.number: stage for stage in plan.calendar.stages}
    lines: list[str] = []
    found = [
        (gear_text(lift, units), lift)
        for lift in plan.beyond
        if lift.machine is None or not lift.machine.has_driver
    ]
    found += [
        (f"platforms {format_height(high_mm, units)} high for those who set it", lift)
        for lift in plan.lifts
        if (high_mm := seats_mm(lift, units)) is not None
    ]
    for gear in dict.fromkeys(gear for gear, _ in found):
        same = [lift for of_it, lift in found if of_it == gear]
        by_stage = groupby(same, key=lambda lift: lift.item.stage)
        told = "; ".join(
            f"{when_text(days[stage])} for {_names(lifts)}" for stage, lifts in by_stage
        )
        lines += wrapped(f"{gear}: {told}", indent="    ", first="  ")
    return ["", "Bring what is not there, and comes without a driver:", *lines] if lines else []


def _names(lifts: Iterable[Lift]) -> str:
    """Lifts by number and name: "8 front wall, 33 roof sheet 4"."""
    return ", ".join(f"{lift.number} {lift.item.name}" for lift in lifts)


def _crew(crew: Crew, units: Units) -> str:
    """Who is there, and with what: "Crew: one person, 2 helpers to call. Gear: trestles, ..."."""
    helpers = plural(crew.helpers, "helper") if crew.helpers else "no helper"
    return (
        f"Crew: {headcount(crew.people)}, {helpers} to call. Gear: "
        f"{', '.join(_gear(crew, units)) or 'none'}. Guideline figures for {crew.guideline}."
    )


def _gear(crew: Crew, units: Units) -> Iterator[str]:
    """What is at hand, how many of a kind: "trestles", "2 wall jacks"."""
    counts: Counter[str] = Counter()
    for one in crew.gear:
        counts[one.kind] += one.count if isinstance(one, WallJack | MaterialLift) else 1
    heights = [one.height for one in crew.gear if isinstance(one, Platform)]
    for kind, count in counts.items():
        match kind:
            case "trestles":
                yield kind
            case "platform":
                yield f"{'a ' if count == 1 else ''}{platforms_text(heights, units)}"
            case _:
                yield plural(count, kind) if count > 1 else f"a {kind}"


def _line(lift: Lift, crew: Crew, units: Units) -> list[str]:
    """What it is and what it asks for; below that, what is done and how hard it is."""
    item = lift.item
    name = f"{item.times} x {item.name}" if item.times > 1 else item.name
    mass = format_mass(item.whole.mass.high_kg, units)
    begins = f"  {lift.number:>3}  {name:{_NAME}} {mass:>8}  "
    done = "; ".join((*_done(lift, crew, units), *others(lift, crew, units)))
    return [
        *wrapped(asked_text(lift, units), indent=" " * len(begins), first=begins),
        *wrapped(done, indent=" " * 7),
    ]


def _done(lift: Lift, crew: Crew, units: Units) -> Iterator[str]:
    """What is done; of a wall that goes up piece by piece, how long that takes too."""
    yield done_text(lift, units)
    if lift.chosen.split is Split.PIECES and lift.machine is None:
        yield _hours(lift, crew)


def _hours(lift: Lift, crew: Crew) -> str:
    return f"about {lift.loads * crew.minutes_per_lift / 60:.1f} h in all"


def others(lift: Lift, crew: Crew, units: Units) -> Iterator[str]:
    """Other ways to raise a wall: "or 1 helper: 2 people tilt it up, its top to"."""
    if lift.chosen.split is Split.PIECES and lift.machine is None and not lift.others:
        yield (
            f"too heavy to tilt up, whole or in halves, even for {headcount(MOST_PEOPLE)}, the "
            "most that the guideline has figures for"
        )
    for other in lift.others:
        done = done_text(other, units)
        if other.chosen.split is Split.PIECES:
            done = f"raise {plural(other.loads, 'piece')} one by one, {_hours(other, crew)}"
        yield f"or {asked_text(other, units)}: {done}"


def by_people(people: int | None, most: int = MOST_PEOPLE) -> str:
    """Who raises it by hand: "one person", "2 people", "too heavy for 3 people"."""
    return f"too heavy for {headcount(most)}" if people is None else headcount(people)


def _order(stage: StageHelp) -> list[str]:
    if list(stage.lifts) == sorted(stage.lifts):
        return []
    turns = [
        f"{numbers_text(list(row))} {'with them' if called else 'without them'}"
        for called, row in groupby(stage.lifts, key=lambda number: number in stage.in_visits)
    ]
    return wrapped(
        f"so that others come the fewest times: {', then '.join(turns)}",
        indent=" " * 9,
        first=" " * 7,
    )
