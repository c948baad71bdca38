"""What is written on a lift card: every number is one of the plan's, rounded for people.

card_words(building, lift, cautions) -> CardWords
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from pikepole_export.derive.buying.wording import in_words
from pikepole_export.derive.inventory.mass import Mass
from pikepole_export.derive.lifting.cautions import (
    bracing_text,
    force_as_mass,
)
from pikepole_export.derive.lifting.falls import FALL_MM, SCAFFOLD_FALL_MM
from pikepole_export.derive.lifting.hand_tasks import TaskAssessment
from pikepole_export.derive.lifting.items import BuiltUp, Handling, Item
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.machines import Machine
from pikepole_export.derive.lifting.methods import LoadGroup, Method, Split, load_groups, loads_of
from pikepole_export.derive.lifting.sentences import step_text
from pikepole_export.derive.lifting.techniques import Technique
from pikepole_model.building.part import Building
from pikepole_model.units import (
    FOOT_MM,
    Rounding,
    Units,
    format_height,
    format_length,
    format_mass,
    plural,
    unit_symbol,
)

MOST_KINDS = 3  # of pieces that are told one by one

JOINT = "\u00a0"  # a space at which no line ends

# A number and the unit after it.
_UNIT = re.compile(r"(\d'?) (?=[a-z]|\d+(-\d+/\d+)?\")")


@dataclass(frozen=True, slots=True)
class Block:
    """A heading and what is said below it.

    Attributes:
        head: The heading.
        items: Each a paragraph; those of a list begin with their number.
        numbered: Whether they are a list.
    """

    head: str
    items: tuple[str, ...]
    numbered: bool = False


@dataclass(frozen=True, slots=True)
class CardWords:
    """All that is written on a card, but for the labels in its picture.

    Attributes:
        over: The building and the stage.
        name: Number and name of the lift, and how often it comes.
        verdict: In one line.
        blocks: What stands beside the picture.
        cautions: What to take care of at this lift.
        always: What goes for every lift by hand, or by a machine.
    """

    over: str
    name: str
    verdict: str
    blocks: tuple[Block, ...]
    cautions: tuple[str, ...]
    always: tuple[str, ...]


def card_words(building: Building, lift: Lift, cautions: Sequence[str]) -> CardWords:
    """The words of a lift's card.

    Args:
        building: For its title, units and stages.
        lift: Any of its lift plan.
        cautions: One sentence or so each.
    """
    units: Units = building.scene.units
    item = lift.item
    blocks = [_weight(lift, units)]
    if lift.machine:
        blocks.append(_by_machine(lift.machine, lift.people, units))
    else:
        blocks.append(_by_hand(lift, units))
        others = _others(lift)
        if others:
            blocks.append(Block("Other ways by hand", others))
    if lift.bracing:
        head = "Before letting go"
        blocks.append(Block(head, (bracing_text(lift.bracing, lift.braced_until, units),)))
    return CardWords(
        over=f"{building.scene.title}, stage {item.stage}: {lift.stage_name}",
        name=f"{lift.number}  {_begun(item.name)}",
        verdict=_begun(lift.headline(units)),
        blocks=tuple(blocks),
        cautions=tuple(unbroken(in_words(one, building.scene.english)) for one in cautions),
        always=_always(building, lift),
    )


def _always(building: Building, lift: Lift) -> tuple[str, ...]:
    """What goes for every lift like this one, in few words."""
    units: Units = building.scene.units
    edge, scaffold = (
        f"{height_mm / FOOT_MM:.0f}{JOINT}ft"
        if units == "imperial"
        else f"{height_mm / 1000:.2f}{JOINT}m"
        for height_mm in (FALL_MM, SCAFFOLD_FALL_MM)
    )
    plate = " and the machine's plate" if lift.machine else ""
    rigger = ("Before the lift ask a licensed rigger or engineer.",) if lift.machine else ()
    who = building.scene.crew.guideline
    hardest = lift.chosen.hardest
    return (
        f"\u201c{_limit(hardest, units)}\u201d: guideline for {who} used to lifting, together, "
        "on firm level ground. Backs get hurt under it too.",
        "From a model: wet wood is heavier. Never stand under a load. Brace before letting go.",
        f"Fall protection from {edge}, on a scaffold from {scaffold}. Local rules{plate} count "
        "before this card.",
        *rigger,
    )


def _begun(text: str) -> str:
    """As a sentence begins."""
    return f"{text[:1].upper()}{text[1:]}"


def force(force_n: float, units: Units) -> str:
    """A force for people, on one line."""
    return kept(force_as_mass(force_n, units))


def height(height_mm: float, units: Units) -> str:
    """A height to the nearest inch or centimetre: hands are no nearer than that."""
    return kept(format_height(height_mm, units))


def mass(mass_kg: float, units: Units, rounded: Rounding = "nearest") -> str:
    """A mass for people, on one line.

    Args:
        mass_kg: In kg.
        units: It is given in.
        rounded: To which side.
    """
    return kept(format_mass(mass_kg, units, rounded))


def unbroken(text: str) -> str:
    """A text that never breaks between a number and its unit."""
    return _UNIT.sub(rf"\1{JOINT}", text)


def kept(text: str) -> str:
    """A number and its unit, that are not parted at the end of a line."""
    return text.replace(" ", JOINT)


def on_one(assessed: TaskAssessment, units: Units) -> str:
    """What the one who carries most has of a task."""
    return force(assessed.task.force_n * assessed.largest_share, units)


def _range(of: Mass, units: Units) -> str:
    low, high = mass(of.low_kg, units), mass(of.high_kg, units)
    if low == high:
        return high
    return f"{low} to {high}, likely {mass(of.likely_kg, units)}"


def _size(size_mm: Sequence[float], units: Units) -> str:
    return f"{JOINT}x ".join(kept(format_length(side, units)) for side in size_mm)


def _weight(lift: Lift, units: Units) -> Block:
    whole, method = lift.item.whole, lift.chosen
    lines = [_range(whole.mass, units), _size(whole.size_mm, units)]
    alike = load_groups(lift.item, method.split)
    if alike and not lift.machine:
        name = method.load.name.removeprefix(f"{lift.item.name} ")
        drawn = f"; drawn: {name}" if _is_one_of_several(lift.item, method.split) else ""
        lines.append(f"Goes up as {_several(alike, units)}{drawn}")
    head = "Weighs in all" if alike else "Weighs"
    times = lift.item.times
    return Block(f"{head}, the heaviest of {times}" if times > 1 else head, tuple(lines))


def _is_one_of_several(item: Item, split: Split) -> bool:
    """Whether a card has to say which load it draws: not of one frame, nor of equals."""
    loads = loads_of(item, split)
    frames = sum(len(load.parts) > 1 for load in loads)
    sizes = {tuple(round(side, 1) for side in load.size_mm) for load in loads}
    return frames != 1 and len(sizes) > 1


def _several(groups: Sequence[LoadGroup], units: Units) -> str:
    """How many of what, and how heavy the heaviest is; what comes after a frame is said in one."""
    frames = [one for one in groups if one.kind is BuiltUp.FRAME]
    later = [one for one in groups if one.kind is not BuiltUp.FRAME]
    if not frames and len(later) > MOST_KINDS:
        return _alike("piece", later, units)
    if not frames or len(later) < 2:
        return ", ".join(_alike(one.kind, [one], units) for one in groups)
    first = ", ".join(_alike(one.kind, [one], units) for one in frames)
    return f"{first}, then {_alike('piece', later, units)}"


def _alike(name: str, groups: Sequence[LoadGroup], units: Units) -> str:
    count, most_kg = sum(one.count for one in groups), max(one.mass.high_kg for one in groups)
    several = plural(count, name).replace(" ", JOINT, 1)
    return f"{several} of {'up to ' if count > 1 else ''}{mass(most_kg, units)}"


def _by_hand(lift: Lift, units: Units) -> Block:
    method = lift.chosen
    hardest = method.hardest if len(method.assessments) > 1 else None
    steps = [
        _step(number, method, units)
        + (" (hardest)" if one is hardest else "")
        + _then(number, method)
        for number, one in enumerate(method.assessments)
    ]
    return Block(f"{_people(lift.people)}: {method.doing}", tuple(steps), numbered=True)


def _step(number: int, method: Method, units: Units) -> str:
    assessed = method.assessments[number]
    what = _begun(step_text(method, number, units, is_listed=True))
    symbol = f"{JOINT}{unit_symbol('mass', units)}"
    said = force(assessed.task.force_n, units)
    if assessed.guideline_kg > 0:
        said = said.removesuffix(symbol)  # said once, after the limit
    return f"{what}: {said} {_limit(assessed, units)}, {_hands(assessed, units)}"


def _limit(assessed: TaskAssessment, units: Units) -> str:
    """The guideline of a task, and whose it is."""
    if assessed.guideline_kg <= 0:
        return f"higher than {assessed.source} rates any hands"
    return f"of {mass(assessed.guideline_kg, units, 'down')} ({assessed.source})"


def _hands(assessed: TaskAssessment, units: Units) -> str:
    """From where to where they go."""
    start, end = height(assessed.task.from_mm, units), height(assessed.task.to_mm, units)
    if assessed.task.pushed or start == end:
        return f"hands at {end}"
    return f"hands {start.removesuffix(f'{JOINT}mm')} to {end}"


def _then(number: int, method: Method) -> str:
    """What comes between the first end and the second, where ends are raised."""
    one, *after = (assessed.task for assessed in method.assessments[number:])
    is_raised = one.to_mm > one.from_mm and method.technique is Technique.ONE_END
    if not after or after[0].at_mm == one.at_mm or not is_raised:
        return ""
    return ". Nail or tie it there"


def _people(people: int) -> str:
    return "1 person" if people == 1 else f"{people} people"


def _by_machine(machine: Machine, people: int, units: Units) -> Block:
    each = " each" if machine.count > 1 else ""
    lines = [
        _begun(machine.worked_by(people)),
        f"Has to hold {mass(machine.needed_kg, units)}{each}",
    ]
    if machine.rating_kg is not None:
        lines[-1] += f"; rated {mass(machine.rating_kg, units, 'down')}{each}"
    if machine.sling:
        sling = machine.sling
        tension = force(sling.tension_n, units)
        lines.append(
            f"Sling of 1 leg, straight up: {tension}"
            if sling.legs == 1
            else f"Sling of {sling.legs} legs at {sling.angle_deg:.0f}\u00b0 from level: {tension} "
            "in each"
        )
        lines.append(f"Hook {height(machine.reach_mm, units)} above the ground")
    elif machine.kind.has_forks:
        lines.append(f"On its forks; its top ends {height(machine.reach_mm, units)} above ground")
    if machine.cribbing:
        crib = machine.cribbing
        times = "1 setting" if crib.settings == 1 else f"{crib.settings} settings"
        layers = "1 layer" if crib.layers == 1 else f"{crib.layers} layers"
        lines.append(f"{times} of the jack at an end, onto {layers} of cribbing")
    if machine.here_kg is not None and machine.approach is not None:
        here = mass(machine.here_kg, units, "down")
        lines.append(
            f"Holds about {here} at {height(machine.approach.out_mm, units)} out: its load chart "
            "decides"
        )
    return Block(_begun(machine.phrase), tuple(lines))


def _others(lift: Lift) -> tuple[str, ...]:
    """Other methods by hand that are within the guideline for somebody.

    Those of a wall are said where the plan is listed: its card is full.
    """
    if lift.item.handling == Handling.WALL:
        return ()
    return tuple(
        f"{_begun(method.doing)}: {_people(method.people)}"
        for method in lift.methods
        if method.people and method.how != lift.chosen.how
    )
