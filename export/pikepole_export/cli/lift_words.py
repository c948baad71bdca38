"""The lift plan as it is said on a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby

from pikepole_export.cli.words import plural, wrapped
from pikepole_export.derive.lifting.cautions import cautions
from pikepole_export.derive.lifting.days import Call
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.moving import MoveRow, Moving, OnForks
from pikepole_export.derive.lifting.plan import LiftPlan, StageHelp
from pikepole_export.derive.lifting.rollers import OnRollers
from pikepole_model.part import Building
from pikepole_model.scene.crew import Crew
from pikepole_model.units import Units, format_height, format_length, format_mass, format_whole

_NAME = 30  # columns of a name; longer ones push the rest on


def opening(building: Building, plan: LiftPlan) -> list[str]:
    """What is planned, for whom, and what to bear in mind."""
    pieces = sum(lift.thing.times for lift in plan.lifts)
    head = (
        f"{building.scene.title}: {plural(len(plan.lifts), 'kind')} of lift, {pieces:,} in all. "
        "Every mass is the high one."
    )
    return [
        *wrapped(head),
        *wrapped(f"Crew: {_crew(plan.crew)}."),
        "",
        *cautions_list(cautions(plan.crew)),
    ]


def cautions_list(texts: Iterable[str]) -> list[str]:
    """Cautions, each with a mark before it."""
    return [line for text in texts for line in wrapped(text, indent="  ", first="! ")]


def by_order(plan: LiftPlan, units: Units) -> list[str]:
    """Stage by stage, with what each asks for and the order that is proposed."""
    lifts = {lift.number: lift for lift in plan.lifts}
    lines: list[str] = []
    for stage in plan.stages:
        lines += ["", f"{stage.number}. {stage.name}: {stage.help.called}"]
        for number in sorted(stage.lifts):
            lines += _line(lifts[number], units)
        lines += _order(stage)
    return lines


def by_weight(plan: LiftPlan, units: Units) -> list[str]:
    """The heaviest first."""
    heaviest = sorted(plan.lifts, key=lambda lift: -lift.thing.whole.mass.high_kg)
    lines = [line for lift in heaviest for line in _line(lift, units)]
    return ["", *lines]


def lifts_list(lifts: Iterable[Lift], units: Units) -> list[str]:
    """Some of the lifts, a line each."""
    return [line for lift in lifts for line in _line(lift, units)]


def helpers(plan: LiftPlan) -> list[str]:
    """On which days helpers are there, and for which lifts."""
    if not plan.days.calls:
        return ["", "No lift asks for a helper."]
    lines = ["", f"Helpers come on {plural(plan.days.helper_days, 'day')}:"]
    names = {lift.number: lift.thing.name for lift in plan.lifts}
    for number, call in enumerate(plan.days.calls, start=1):
        lines += wrapped(_call(call, names), indent="     ", first=f"  {number}. ")
    return lines


def moves_table(building: Building, moves: Moving) -> list[str]:
    """After which stage the building can be moved, and what to do first."""
    units = building.scene.units
    lines = ["", "Move after which stage", ""]
    if not moves.table:
        return [*lines[:2], *wrapped("On a slab: it is not moved.", first="  ")]
    lines.append(
        f"  {'stage':{_NAME}} {'high mass':>10}  {'load centre':>12}  {'rating needed':>13}"
    )
    for why_not, rows in groupby(moves.table, key=lambda row: row.why_not):
        same = list(rows)
        lines += [_move(row, units) for row in same]
        after = same[0].name if len(same) == 1 else f"{same[0].name} to {same[-1].name}"
        for why in why_not:
            lines += wrapped(f"not after {after}: {why}", indent="       ", first="     ")
    standard = format_length(moves.table[0].standard_mm, units)
    lines += ["", *wrapped(f"Ratings are at a load centre of {standard}, for the high mass.")]
    plan = moves.plan
    if plan is None:
        return lines
    lines += ["", f"The scene moves it after {plan.row.name}, on {plan.way}. First:"]
    for number, first in enumerate(plan.first, start=1):
        lines += wrapped(first.text, indent="     ", first=f"  {number}. ")
    if plan.on_forks is not None:
        lines += ["", *_forks(plan.on_forks, units)]
    return [*lines, "", *_rollers(plan.on_rollers, units)]


def _move(row: MoveRow, units: Units) -> str:
    return (
        f"  {f'{row.stage}. {row.name}':{_NAME}} "
        f"{format_mass(row.mass.high_kg, units, 'up'):>10}  "
        f"{format_height(row.load_centre_mm, units):>12}  "
        f"{format_mass(row.rating_needed_kg, units, 'up'):>13}"
    )


def _forks(on_forks: OnForks, units: Units) -> list[str]:
    forks = on_forks.forks
    left, right, past = (
        format_height(mm, units) for mm in (forks.left_mm, forks.right_mm, on_forks.past_centre_mm)
    )
    texts = [
        f"Forks in at the {on_forks.side}, {left} and {right} from its left end as seen from "
        f"there. The left one carries {forks.left_share:.0%} and the right one "
        f"{forks.right_share:.0%}; their tips reach {past} past the centre of gravity.",
    ]
    if on_forks.truck is not None:
        truck = on_forks.truck
        over = "more" if truck.covers else "less"
        texts.append(
            f"The truck's rating of {format_mass(truck.rating_kg, units, 'down')} comes to "
            f"{format_mass(truck.most_kg, units, 'down')} at this load centre, "
            f"{format_mass(abs(truck.left_over_kg), units, 'down')} {over} than the building."
        )
    for member in on_forks.frame.members:
        stress = format_whole(member.stress_n_mm2, "stress", units)
        texts.append(f"{member.name}: bent across the forks with {stress}.")
    return [
        line
        for text in (*texts, on_forks.frame.says, forks.plate)
        for line in wrapped(text, indent="  ", first="  ")
    ]


def _rollers(rollers: OnRollers, units: Units) -> list[str]:
    pulls = ", ".join(
        f"{format_whole(one.line_n, 'force', units)} at friction {one.friction:.2f}"
        for one in rollers.pulls
    )
    text = f"On rollers, up {rollers.rise_deg:.1f} deg, the line has to pull {pulls}"
    if rollers.holding_line_n > 0:
        text += f"; to hold it, {format_whole(rollers.holding_line_n, 'force', units)}"
    return wrapped(f"{text}.", indent="  ", first="  ")


def _crew(crew: Crew) -> str:
    there = "one person" if crew.people == 1 else f"{crew.people} people"
    gear = ", ".join(one.kind for one in crew.gear) or "no gear"
    helpers = plural(crew.helpers, "helper") if crew.helpers else "no helper"
    return f"{there}, {helpers} to call, {gear}; figures for {crew.guideline}"


def _line(lift: Lift, units: Units) -> list[str]:
    thing = lift.thing
    name = f"{thing.times} x {thing.name}" if thing.times > 1 else thing.name
    mass = format_mass(thing.whole.mass.high_kg, units, "up")
    begins = f"  {lift.number:>3}  {name:{_NAME}} {mass:>8}  "
    return wrapped(f"{lift.help.called}: {how(lift)}", indent=" " * len(begins), first=begins)


def how(lift: Lift) -> str:
    """Who and what: "3 people, ply by ply, one end at a time"."""
    who = "one person" if lift.people == 1 else f"{lift.people} people"
    if lift.machine is not None:
        return f"{lift.machine.called}, {who} to guide it"
    way = f"{who}, {lift.chosen.name}"
    return f"{way}, from a higher platform" if lift.platform_mm is not None else way


def _order(stage: StageHelp) -> list[str]:
    if list(stage.lifts) == sorted(stage.lifts):
        return []
    return wrapped(
        f"for the fewest helper days: {_numbers(stage.lifts)}", indent=" " * 9, first="       "
    )


def _call(call: Call, names: dict[int, str]) -> str:
    lifts = ", ".join(f"{number} {names[number]}" for number in call.lifts)
    stages = f"stage{'' if len(call.stages) == 1 else 's'} {_numbers(call.stages)}"
    return (
        f"{stages}: {plural(call.helpers, 'helper')} for {plural(call.days, 'day')}, about "
        f"{call.hours:.1f} h of lifting: {lifts}"
    )


def _numbers(numbers: Sequence[int]) -> str:
    return ", ".join(map(str, numbers))
