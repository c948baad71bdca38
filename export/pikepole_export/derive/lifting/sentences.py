"""What is done in a lift, as a builder says it: which end, how high, onto what, and how hard it is.

    asked_text(lift, units) -> "2 helpers"
    gear_text(lift, units) -> "the chain hoist"
    done_text(lift, units) -> "3 people tilt it up; 41.3 lb, guideline 53.1 lb"
    way_text(method, units) -> "lift the right end to 8 ft, then the left end to 6 ft"
    step_text(method, number, units) -> "on the 3 ft platform, lift the right end onto its seat"
    load_text(assessed, units) -> "31.2 lb, guideline 34.0 lb"
    limited_text(assessed) -> "hands are below mid-shin, where the figures are least"
    platform_text(height_mm, units) -> "3 ft platform"

Heights are above the ground, those of a platform above what it stands on. What is done is told to
whoever does it, so that "3 people" can stand before it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import assert_never

from pikepole_export.derive.lifting.falls import seats_mm
from pikepole_export.derive.lifting.hand_lift import Guideline
from pikepole_export.derive.lifting.hand_tasks import HandTask, Rest, TaskAssessment
from pikepole_export.derive.lifting.hands import Zone
from pikepole_export.derive.lifting.items import Handling
from pikepole_export.derive.lifting.lift import Help, Lift
from pikepole_export.derive.lifting.loads import end_name
from pikepole_export.derive.lifting.machines import Machine
from pikepole_export.derive.lifting.methods import Method, Split
from pikepole_export.derive.lifting.rests import LEAST_STEP_MM
from pikepole_export.derive.lifting.techniques import Technique
from pikepole_model.units import (
    FOOT_MM,
    Units,
    format_height,
    format_length,
    format_mass,
    headcount,
    plural,
)

# What ends lower lies on the ground, and its height is not told.
NEAR_GROUND_MM = 50.0


def asked_text(lift: Lift, units: Units) -> str:
    """What a lift asks for beyond one's own hands: "alone", "2 helpers", "the chain hoist".

    Args:
        lift: As it is planned.
        units: What heights are given in.
    """
    helpers = plural(lift.helpers, "helper") if lift.helpers else ""
    match lift.help:
        case Help.ALONE:
            return "alone" if lift.people == 1 else "your crew"
        case Help.HELPER:
            return helpers
        case Help.GEAR | Help.HIRE | Help.PLATFORM:
            bring = "" if lift.help is Help.GEAR else "bring "
            return ", ".join(filter(None, (f"{bring}{gear_text(lift, units)}", helpers)))
        case _:
            assert_never(lift.help)


def gear_text(lift: Lift, units: Units) -> str:
    """What a lift takes beyond hands and what people stand on already: "a 4 ft platform"."""
    if lift.machine is not None:
        driver = " with its driver" if lift.machine.has_driver else ""
        return f"{lift.machine.phrase}{driver}"
    heights = [mm for mm in (lift.step_mm, lift.platform_mm) if mm is not None]
    text = platforms_text(heights, units)
    # Eight, eleven and eighteen, as they are said.
    article = "an" if text.startswith(("8", "11 ", "18 ")) else "a"
    return f"{article} {text}" if len(heights) == 1 else text


def done_text(lift: Lift, units: Units) -> str:
    """Who does what, how high, and how hard it is: "3 people tilt it up; 41.3 lb, ..."."""
    if lift.machine is not None:
        by_hand = min((one.people for one in lift.methods if one.people), default=None)
        is_told = lift.item.handling is Handling.WALL  # by its other ways
        or_else = f"; by hand it takes {headcount(by_hand)}" if by_hand and not is_told else ""
        high_mm = seats_mm(lift, units)
        on = "" if high_mm is None else f", on platforms {format_height(high_mm, units)} high"
        return f"{lift.machine.worked_by(lift.people)}{on}; {_held(lift.machine, units)}{or_else}"
    who = f"{lift.people} people " if lift.people > 1 else ""
    hardest = lift.chosen.hardest
    if lift.is_above and hardest.used <= 1:
        return f"{who}{way_text(lift.chosen, units)}; it sags in one person's hands"
    return f"{who}{way_text(lift.chosen, units)}; {load_text(hardest, units)}"


# What takes most off the weight that NIOSH starts from, by its multipliers: HM, VM, DM, AM, FM, CM.
_TAKEN_BY = (
    "how far from the body it is held",
    "how high or low it is held",
    "how far it is raised",
    "the twist",
    "how often it is done",
    "how it is gripped",
)


def limited_text(assessed: TaskAssessment) -> str:
    """Why a guideline gives no more: "hands are below mid-shin, where the figures are least"."""
    hand = assessed.hand
    if hand is None:
        return ""
    if assessed.source is Guideline.NIOSH:
        worst = min((hand.niosh.origin, hand.niosh.destination), key=lambda end: end.rwl)
        least = min(range(len(_TAKEN_BY)), key=lambda which: worst.multipliers[which])
        return f"most is taken off for {_TAKEN_BY[least]}"
    places = {
        Zone.BELOW_MID_LOWER_LEG: "below mid-shin",
        Zone.ABOVE_SHOULDER: "over the shoulder",
    }
    where = " and ".join(place for zone, place in places.items() if zone in hand.zones)
    return f"hands are {where}, where the figures are least" if where else ""


def _held(machine: Machine, units: Units) -> str:
    """What a machine has to hold, beside what its plate says."""
    needed = format_mass(machine.needed_kg, units, "up")
    several = machine.count > 1
    held = f"each has to hold {needed}" if several else f"it has to hold {needed}"
    if machine.rating_kg is None:
        return held
    plate = "the plates say" if several else "its plate says"
    return f"{held}, {plate} {format_mass(machine.rating_kg, units, 'down')}"


def step_text(method: Method, number: int, units: Units, *, is_listed: bool = False) -> str:
    """What is done in one step of a method.

    Args:
        method: Any.
        number: Of the step, from 0.
        units: What heights are given in.
        is_listed: Whether it stands below the step before, which has named the platform already.
    """
    tasks = [one.task for one in method.assessments]
    task, after = tasks[number], tasks[number + 1] if number + 1 < len(tasks) else None
    stands = f"on the {platform_of(task, units)}, " if task.is_on_platform else ""
    if is_listed and number and tasks[number - 1].onto in (Rest.PLATFORM, Rest.BLOCK):
        stands = "on that platform, "
    where = "" if task.onto is None else f" {_where(task.onto, after, units)}"
    done = _action(task)
    if is_listed and method.technique is Technique.LEDGES:
        done = done.removeprefix("lift ")  # which stands over the list
    return f"{stands}{done}{where}"


def way_text(method: Method, units: Units) -> str:
    """The whole of a method in few words; of several loads, of the one that asks for most.

    Args:
        method: Any.
        units: What heights are given in.
    """
    up = f"to {format_height(_end_mm(method.assessments[-1].task), units)}"
    match method.technique:
        case Technique.CARRIED | Technique.SLID:
            done = _hand_over_hand(method, units)
        case Technique.ONE_END:
            done = _end_by_end(method, units)
        case Technique.TILTED:
            done = f"tilt it up, its top to {format_height(method.load.top_mm, units)}"
        case Technique.LEDGES:
            done = f"lift it ledge by ledge {up}"
        case Technique.ROCKED:
            done = f"rock it up on two cribs {up}"
        case _:
            assert_never(method.technique)
    match method.split:
        case Split.WHOLE:
            return done
        case Split.LIGHTENED | Split.HALVES:
            return f"{done}, {method.split.value}"
        case Split.PLIES:
            return f"{done}, one ply at a time"
        case Split.PIECES:
            pieces = plural(method.loads, "piece")
            return f"raise {pieces} one by one, the hardest {method.load.name}: {done}"
        case _:
            assert_never(method.split)


def load_text(assessed: TaskAssessment, units: Units) -> str:
    """What a step takes beside the guideline for those who do it: all of them together."""
    load = format_mass(assessed.task.mass_kg, units)
    if assessed.guideline_kg <= 0:
        return f"{load}, with the hands higher than {assessed.source} rates"
    limit = format_mass(assessed.guideline_kg, units, "down")
    return f"{load}, {'guideline' if assessed.within else 'above the guideline of'} {limit}"


def platform_text(height_mm: float, units: Units) -> str:
    """A platform by its height, in whole feet where that is what it has: "3 ft platform"."""
    feet = round(height_mm / FOOT_MM)
    if units == "imperial" and abs(height_mm - feet * FOOT_MM) < LEAST_STEP_MM:
        return f"{feet} ft platform"
    return f"{format_length(height_mm, units)} platform"


def platforms_text(heights_mm: Iterable[float], units: Units) -> str:
    """Platforms by their heights: "3 ft platform", "3 ft and 6 ft platforms"."""
    names = [platform_text(mm, units) for mm in sorted(heights_mm)]
    sizes = " and ".join(dict.fromkeys(name.removesuffix(" platform") for name in names))
    return f"{sizes} {'platforms' if len(names) > 1 else 'platform'}"


def platform_of(task: HandTask, units: Units) -> str:
    """The one that people stand on for a task, by its height over what it stands on."""
    return platform_text(task.floor_mm - task.base_mm, units)


def _where(rest: Rest, after: HandTask | None, units: Units) -> str:
    """Where it comes to lie, by the task that takes it up from there."""
    match rest:
        case Rest.PLATFORM if after is not None:
            return f"onto the {platform_of(after, units)}"
        case Rest.BLOCK if after is not None:
            block = format_height(after.from_mm, units)
            return f"onto a {block} block on the {platform_of(after, units)}"
        case Rest.PLACE | Rest.SEAT | Rest.PLATFORM | Rest.BLOCK | Rest.TRESTLES:
            return rest.value
        case Rest.LEDGE | Rest.CRIBS:
            return rest.value
        case _:
            assert_never(rest)


def _hand_over_hand(method: Method, units: Units) -> str:
    """From the pile to its place: "pick it up and carry it to its place, hands 5 ft up"."""
    tasks = [one.task for one in method.assessments]
    done = dict.fromkeys(
        f"{task.action} {Rest.PLACE.value}" if task.onto is Rest.PLACE else _action(task)
        for task in tasks
        if task.onto in (None, Rest.PLACE)
    )
    *first, last = done
    said = f"{', '.join(first)} and {last}" if first else last
    high = format_height(_end_mm(tasks[-1]), units)
    return f"{said}{_platforms(tasks, units)}, hands at {high}"


def _end_by_end(method: Method, units: Units) -> str:
    """Its ends in their order and how high they go: "lift the right end to 8 ft, then ..."."""
    tasks = [one.task for one in method.assessments]
    said: list[str] = []
    highs: list[str] = []
    for _, same in groupby(tasks, key=lambda task: task.at_mm):
        last = list(same)[-1]
        end_mm = _end_mm(last)
        highs.append(f" to {format_height(end_mm, units)}" if end_mm >= NEAR_GROUND_MM else "")
        said.append(f"the {end_name(method.load, last.at_mm[0])}" if said else _action(last))
    if len(set(highs)) == 1:
        highs[1:] = [""] * len(highs[1:])
    ends = ", then ".join(f"{end}{high}" for end, high in zip(said, highs, strict=True))
    return f"{ends}{_platforms(tasks, units)}"


def _platforms(tasks: Sequence[HandTask], units: Units) -> str:
    """The platforms that it goes up by: ", using the 3 ft and 6 ft platforms"."""
    heights = {task.floor_mm - task.base_mm for task in tasks if task.is_on_platform}
    return f", using the {platforms_text(heights, units)}" if heights else ""


def _action(task: HandTask) -> str:
    return f"{task.action} by a strap" if task.strap_mm else task.action


def _end_mm(task: HandTask) -> float:
    """How high what is held ends above the ground, in the hands or in a strap below them."""
    return task.floor_mm + task.to_mm - task.strap_mm
