"""One piece as it is spoken of on a terminal: what does it weigh, and how does it get up there?"""

from __future__ import annotations

from math import isfinite

from pikepole_export.cli.lift_words import HEIGHTS, by_people, cautions_list, lifts_list, others
from pikepole_export.cli.words import mass_text, table, wrapped
from pikepole_export.derive.buying.wording import in_words
from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.lifting.bracing import Bracing
from pikepole_export.derive.lifting.cautions import bracing_text, cautions_of, force_as_mass
from pikepole_export.derive.lifting.items import LEAST_KG
from pikepole_export.derive.lifting.lift import Ends, Lift, ends
from pikepole_export.derive.lifting.machines import Machine
from pikepole_export.derive.lifting.methods import Method
from pikepole_export.derive.lifting.plan import LiftPlan, people_at_likely, single_lift
from pikepole_export.derive.lifting.sentences import asked_text, done_text, load_text, step_text
from pikepole_model.building.part import Building, Part
from pikepole_model.scene.crew import Crew
from pikepole_model.stock.catalogue import nearest_names
from pikepole_model.units import (
    Units,
    format_height,
    format_length,
    format_mass,
    headcount,
    plural,
)

# What goes for every lift, and stands at the head of the whole plan at length.
SHORTLY = (
    "Masses are from a model: wet wood is heavier. Backs get hurt under a guideline too. Never "
    "stand under a load, brace before letting go, stop in wind; local rules and plates come first.",
)


def about(building: Building, plan: LiftPlan, name: str) -> list[str] | None:
    """All that is known of what has this name; None where nothing has.

    A lift of its own is answered as it is planned. Of a piece that goes up as part of a wall or a
    beam, or as one of many alike, the answer is about that piece alone.

    Args:
        building: What is built.
        plan: Its lift plan.
        name: Of a lift, a part, a kind or a group, however it is spelt large or small.
    """
    wanted = name.strip().casefold()
    units = building.scene.units
    lift = next((one for one in plan.lifts if one.item.name.casefold() == wanted), None)
    if lift is not None:
        return [*_lift(building, plan, lift), *_part_of(plan, lift)]
    part = next((one for one in building.handled if one.name.casefold() == wanted), None)
    if part is not None:
        return _part(building, plan, part)
    group = [lift for lift in plan.lifts if wanted in _groups(lift)]
    if group:
        head = f"{name.strip()}: {plural(len(group), 'kind')} of lift; ask for one by its name."
        return [*wrapped(head), "", *lifts_list(group, plan.crew, units)]
    return None


def close_to(building: Building, name: str) -> str:
    """Names that look like one that there is not."""
    groups = {part.group for part in building.handled}
    names = dict.fromkeys([*sorted(groups), *(part.name for part in building.handled)])
    return f"the nearest are {nearest_names(name, names)}"


def _groups(lift: Lift) -> set[str]:
    parts = lift.item.whole.parts
    return {lift.item.kind.casefold(), *(part.group.casefold() for part in parts)}


def _part(building: Building, plan: LiftPlan, part: Part) -> list[str]:
    """A piece that is no lift of its own name."""
    belongs = _belongs(plan, part)
    alone = single_lift(building, part)
    if alone is None:
        mass = mass_text(part_mass(part), building.scene.units)
        least = format_mass(LEAST_KG, building.scene.units)
        text = (
            f"{part.name}: weighs {mass}. Nobody lifts it whole: it is made or rolled out where it "
            f"is, or weighs less than {least}."
        )
        return [*wrapped(text), *belongs]
    return [*_lift(building, plan, alone), *belongs]


def _belongs(plan: LiftPlan, part: Part) -> list[str]:
    lines: list[str] = []
    for lift in plan.lifts:
        item = lift.item
        if part.name in item.same:
            text = f"It is one of the {item.times} of lift {lift.number}, {item.name}."
        elif part.name in {one.name for one in item.whole.parts}:
            text = (
                f"It is a piece of {item.name}, lift {lift.number}, which the plan raises "
                f"{_how(lift)}; the numbers above are for this piece alone."
            )
        else:
            continue
        lines += ["", *wrapped(text)]
    return lines


def _how(lift: Lift) -> str:
    """How the plan raises it: "by hand: one end, then the other"."""
    if lift.machine is not None:
        return f"by machine, with {lift.machine.phrase}"
    return f"by hand: {lift.chosen.doing}"


def _part_of(plan: LiftPlan, lift: Lift) -> list[str]:
    item = lift.item
    if not item.inside_of:
        return []
    wall = next((one for one in plan.lifts if one.item.name == item.inside_of), None)
    number = f", lift {wall.number}" if wall else ""
    return ["", *wrapped(f"It is a piece of {item.inside_of}{number}.")]


def _lift(building: Building, plan: LiftPlan, lift: Lift) -> list[str]:
    units, item, load = building.scene.units, lift.item, lift.item.whole
    times = f", {item.times} alike" if item.times > 1 else ""
    number = f", lift {lift.number}" if lift.number else ""
    high = format_mass(load.mass.high_kg, units)
    length, width, thickness = (format_length(size, units) for size in load.size_mm)
    balance = format_length(load.centre_in_box_mm[0], units)
    rows = [
        ("Weighs", mass_text(load.mass, units)),
        ("Planned with", f"{high}, the most that it may weigh"),
        ("Size", f"{length} x {width} x {thickness}"),
        ("Balances at", f"{balance} from one end"),
        ("Starts", _heights(ends(item, load, lift.rest_height_mm), units)),
        ("Asks for", f"{asked_text(lift, units)}: {done_text(lift, units)}"),
        ("Verdict", lift.verdict(units)),
        ("By hand", _by_hand(lift, plan.crew, people_at_likely(building, lift), units)),
    ]
    if lift.others:
        ways = others(lift, plan.crew, units)
        rows.append(("Or", "; ".join(ways).removeprefix("or ")))
    if lift.unfit:
        rows.append(("Not used", "; ".join(lift.unfit)))
    lines = [
        *wrapped(f"{item.name}: {item.kind}{times}; stage {item.stage}, {lift.stage_name}{number}"),
        *_wrapped_table(rows),
        "",
        *wrapped(f"Ways by hand, each with the fewest people that it takes. {HEIGHTS}"),
    ]
    for method in lift.methods_considered:
        lines += _method(method, units, method == lift.chosen, lift.machine is None)
    if lift.machine is not None:
        lines += ["", *_machine(lift.machine, units)]
    if lift.bracing is not None:
        lines += ["", *_bracing(lift, lift.bracing, units)]
    cautions = (in_words(one, building.scene.english) for one in cautions_of(lift, units))
    told = [*cautions, *SHORTLY]
    return [*lines, "", *cautions_list(told)]


def _by_hand(lift: Lift, crew: Crew, likely: int | None, units: Units) -> str:
    """Who raises it at its likely weight, and why a machine is asked for where they would do."""
    with_what = ", with what is at hand" if lift.platform_mm else ""
    said = f"at its likely weight{with_what}: {by_people(likely, lift.chosen.hands)}"
    if lift.machine is None or likely is None or likely > crew.people + crew.helpers:
        return said
    planned = format_mass(lift.item.whole.mass.high_kg, units)
    nobody = by_people(None, lift.chosen.hands)
    return f"{said}; at the {planned} planned for: {nobody}, so a machine"


def _wrapped_table(rows: list[tuple[str, str]]) -> list[str]:
    width = max(len(name) for name, _ in rows)
    return [
        line
        for row, (_, text) in zip(table(rows), rows, strict=True)
        for line in wrapped(text, indent=" " * (width + 4), first=row[: width + 4])
    ]


def _heights(heights: Ends, units: Units) -> str:
    """Where its ends are before and after, above the ground."""
    start, end = (
        [format_height(end_mm, units) for end_mm in pair]
        for pair in (heights.start_mm, heights.end_mm)
    )
    return f"{_pair(start)} above the ground; ends at {_pair(end)}"


def _pair(heights: list[str]) -> str:
    return heights[0] if heights[0] == heights[1] else " and ".join(heights)


def _method(method: Method, units: Units, is_nearest: bool, by_hand: bool) -> list[str]:
    """The method that is taken, or came nearest, task by task; of another what is hardest in it."""
    mark = "  <- the plan" if is_nearest and by_hand else ""
    who = by_people(method.people, method.hands)
    if mark and method.people is None:
        who = f"{headcount(method.hands)}, above the guideline"
    lines = ["", *wrapped(f"{method.doing}: {who}{mark}", indent="    ", first="  ")]
    if method.loads > 1:
        mass = format_mass(method.load.mass.high_kg, units)
        text = (
            f"{method.loads} loads, one after the other; the hardest is {method.load.name}, {mass}"
        )
        lines += wrapped(text, indent="      ", first="    ")
    if method.tilt is not None:
        start, peak = (
            force_as_mass(force_n, units)
            for force_n in (method.tilt.vertical_n, method.tilt.peak_n)
        )
        text = (
            f"at its top {start} straight up to start, at most {peak} square to it, at "
            f"{method.tilt.peak_deg:.0f} deg"
        )
        lines += wrapped(text, indent="      ", first="    ")
    if not is_nearest and len(method.assessments) > 1:
        number = method.assessments.index(method.hardest)
        text = f"the hardest of {len(method.assessments)} steps: {_task(method, number, units)}"
        return [*lines, *wrapped(text, indent="      ", first="    - ")]
    for number in range(len(method.assessments)):
        lines += wrapped(_task(method, number, units), indent="      ", first="    - ")
    return lines


def _task(method: Method, number: int, units: Units) -> str:
    """A step with its force, where the hands are, and the guideline for those who do it."""
    one, what = method.assessments[number], step_text(method, number, units)
    task = one.task
    who = by_people(one.people)
    from_, to = format_height(task.from_mm, units), format_height(task.to_mm, units)
    moves = f"hands at {from_}" if task.pushed or from_ == to else f"hands {from_} to {to}"
    feet = f", feet {format_height(task.floor_mm, units)} above the ground" if task.floor_mm else ""
    said = f"{what}: {load_text(one, units)}"
    share = f" ({one.used:.0%}, {one.source} for {who})" if isfinite(one.used) else ""
    return f"{said}{share}; {moves} above the feet{feet}"


def _machine(machine: Machine, units: Units) -> list[str]:
    each = ", each" if machine.count > 1 else ""
    rated = (
        f"; its plate says {format_mass(machine.rating_kg, units, 'down')}"
        if machine.rating_kg is not None
        else ""
    )
    text = (
        f"By machine: {machine.phrase} has to hold {format_mass(machine.needed_kg, units)}{each} "
        f"and to reach {format_height(machine.reach_mm, units)} above the ground{rated}"
    )
    lines = wrapped(text, indent="    ", first="  ")
    if machine.here_kg is not None and machine.approach is not None:
        text = (
            f"{format_height(machine.approach.out_mm, units)} out it holds about "
            f"{format_mass(machine.here_kg, units, 'down')}: its own load chart decides"
        )
        lines += wrapped(text, indent="    ")
    if machine.cribbing is not None:
        crib = machine.cribbing
        text = f"{plural(crib.layers, 'layer')} of cribbing, the jack set {crib.settings} times"
        lines += wrapped(text, indent="    ")
    if machine.sling is not None:
        sling = machine.sling
        text = (
            f"{plural(sling.legs, 'sling leg')} at {sling.angle_deg:.0f} deg from the horizontal: "
            f"{force_as_mass(sling.tension_n, units)} in each"
        )
        lines += wrapped(text, indent="    ")
    return lines


def _bracing(lift: Lift, bracing: Bracing, units: Units) -> list[str]:
    told = bracing_text(bracing, lift.braced_until, units)
    text = f"Once it stands: {told}"
    return wrapped(text, indent="    ", first="  ")
