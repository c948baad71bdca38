"""What is written on a lift card: every number is one of the plan's, rounded for people.

card_words(building, lift, cautions) -> CardWords
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pikepole_export.derive.lifting.cautions import (
    FALL_MM,
    SCAFFOLD_FALL_MM,
    felt,
)
from pikepole_export.derive.lifting.holds import Held
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.machines import Machine
from pikepole_export.derive.lifting.records import Alike, goes_up_as
from pikepole_export.derive.lifting.statics import WallRaise
from pikepole_export.derive.lifting.ways import Way
from pikepole_export.derive.mass import Mass
from pikepole_model.part import Building
from pikepole_model.units import (
    FOOT_MM,
    Rounding,
    Units,
    format_height,
    format_length,
    format_mass,
    unit_symbol,
)

JOINT = "\u00a0"  # a space at which no line ends


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
    thing = lift.thing
    times = f" (heaviest of {thing.times})" if thing.times > 1 else ""
    blocks = [_weight(lift, units)]
    if lift.machine:
        blocks += [_by_machine(lift.machine, units), _not_by_hand(lift, units)]
    else:
        blocks.append(_by_hand(lift, units))
        others = [way for way in lift.ways if way.name != lift.chosen.name]
        if others:
            blocks.append(Block("Looked at too", tuple(_in_a_line(way) for way in others)))
    if lift.chosen.tilt and not lift.machine:
        blocks.append(_tilting(lift.chosen.tilt, units))
    if lift.bracing:
        brace = lift.bracing
        lines = f"{brace.braces} braces" if brace.braces > 1 else "a brace each way"
        pull, foot = force(brace.brace_n, units), force(brace.vertical_n, units)
        said = f"{lines} before letting go: {pull} along one, {foot} up or down at its foot"
        blocks.append(Block("Once it stands", (said,)))
    return CardWords(
        over=f"{building.scene.title}, stage {thing.stage}: {lift.stage_name}",
        name=f"{lift.number}  {_begun(thing.name)}{times}",
        verdict=_begun(lift.verdict),
        blocks=tuple(blocks),
        cautions=tuple(cautions),
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
    rigger = ("Before it, ask a licensed rigger or engineer.",) if lift.machine else ()
    who = building.scene.crew.guideline
    return (
        f'"Of" with a guideline\'s name: what these people together may lift here by it, for '
        f"{who} with practice on firm level ground. A filter, no limit; rounded down.",
        "The figures come from a model: wet timber is heavier, weigh a piece when in doubt.",
        "Stop in wind. Never stand under a load. Brace before letting go.",
        f"Fall protection from {edge}, on a scaffold from {scaffold}, or lower by your rules.",
        f"Local rules{plate} count before this card.",
        *rigger,
    )


def _begun(text: str) -> str:
    """As a sentence begins."""
    return f"{text[:1].upper()}{text[1:]}"


def force(force_n: float, units: Units) -> str:
    """A force for people, on one line."""
    return _kept(felt(force_n, units))


def height(height_mm: float, units: Units) -> str:
    """A height to the nearest inch or centimetre: hands are no nearer than that."""
    return _kept(format_height(height_mm, units))


def mass(mass_kg: float, units: Units, rounded: Rounding = "nearest") -> str:
    """A mass for people, on one line."""
    return _kept(format_mass(mass_kg, units, rounded))


def _kept(text: str) -> str:
    """A number and its unit, that are not parted at the end of a line."""
    return text.replace(" ", JOINT)


def on_one(held: Held, units: Units) -> str:
    """What the one who carries most has of a hold."""
    return force(held.hold.force_n * held.largest_share, units)


def _range(of: Mass, units: Units) -> str:
    symbol = f"{JOINT}{unit_symbol('mass', units)}"
    low, likely = (mass(value, units).removesuffix(symbol) for value in (of.low_kg, of.likely_kg))
    return f"{low} low, {likely} likely, {mass(of.high_kg, units)} high"


def _size(size_mm: Sequence[float], units: Units) -> str:
    return f"{JOINT}x ".join(_kept(format_length(side, units)) for side in size_mm)


def _weight(lift: Lift, units: Units) -> Block:
    whole, way = lift.thing.whole, lift.chosen
    lines = [_range(whole.mass, units), _size(whole.size_mm, units)]
    alike = goes_up_as(lift.thing, way)
    if alike and not lift.machine:
        several = ", ".join(_alike(one, units) for one in alike)
        lines.append(f"Goes up as {several}; drawn is {way.load.name}, the steps go for each")
    return Block("Weighs in all" if alike else "Weighs", tuple(lines))


def _alike(alike: Alike, units: Units) -> str:
    """How many of what, and how heavy the heaviest is."""
    kind = alike.kind if alike.count == 1 else f"{alike.kind}s".replace("plys", "plies")
    most = "up to " if alike.count > 1 else ""
    return f"{alike.count}{JOINT}{kind} of {most}{mass(alike.mass.high_kg, units)}"


def _by_hand(lift: Lift, units: Units) -> Block:
    way = lift.chosen
    steps = [
        f"{_step(held, way, units)}{_then(number, way, units)}"
        for number, held in enumerate(way.holds)
    ]
    return Block(f"{_begun(way.name)}; {_people(lift.people)}", tuple(steps), numbered=True)


def _step(held: Held, way: Way, units: Units) -> str:
    hold = held.hold
    if held.guideline_kg > 0:
        limit = f"of {mass(held.guideline_kg, units, 'down')} ({held.source})"
    else:
        limit = f"higher than {held.source} rates any hands"
    start, end = height(hold.from_mm, units), height(hold.to_mm, units)
    at = f"hands at {end}" if hold.pushed or start == end else f"hands {start} to {end}"
    hardest = " (hardest)" if held is way.hardest and len(way.holds) > 1 else ""
    stood = f", standing on {platform_words(held, units)}" if has_platform(held) else ""
    said = force(hold.force_n, units)
    if held.guideline_kg > 0 and units == "imperial":
        said = said.removesuffix(f"{JOINT}lb")  # said once, after the limit
    return f"{_begun(hold.what)}: {said} {limit}, {at}{stood}{hardest}"


def _then(number: int, way: Way, units: Units) -> str:
    """What comes between a hold and the next one: where it rests, and how it is held there."""
    if number + 1 == len(way.holds):
        return ""
    held, after = way.holds[number], way.holds[number + 1]
    if after.hold.at_mm == held.hold.at_mm:
        is_higher = after.hold.floor_mm > held.hold.floor_mm
        return f"; rests on {platform_words(after, units)}" if is_higher else ""
    is_raised = held.hold.to_mm > held.hold.from_mm and "one end at a time" in way.name
    return ". Tie or nail it there before the other end is raised" if is_raised else ""


def has_platform(held: Held) -> bool:
    """Whether people stand on one for a hold."""
    return held.hold.floor_mm - held.hold.base_mm > 1.0


def platform_words(held: Held, units: Units) -> str:
    """The platform of a hold and, where that is no ground, what it stands on."""
    hold = held.hold
    on = " on the deck" if hold.base_mm > 1.0 else ""
    return f"platform {height(hold.floor_mm - hold.base_mm, units)}{on}"


def _people(people: int) -> str:
    return "1 person" if people == 1 else f"{people} people"


def _tilting(tilt: WallRaise, units: Units) -> Block:
    """The force square to what is tilted up, all the way."""
    start, peak = force(tilt.start_n, units), force(tilt.peak_n, units)
    if start == peak:
        return Block("As it goes up", (f"Heaviest at the start: {peak}",))
    at = f"{tilt.peak_deg:.0f}\u00b0 from level"
    return Block("As it goes up", (f"{start} at the start, most at {at}: {peak}",))


def _by_machine(machine: Machine, units: Units) -> Block:
    each = " each" if machine.count > 1 else ""
    lines = [f"Has to hold {mass(machine.needed_kg, units)}{each}"]
    if machine.rating_kg is not None:
        lines[0] += f"; rated {mass(machine.rating_kg, units, 'down')}{each}"
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
    elif machine.kind not in ("jack", "wall jack"):
        lines.append(f"It lies on the forks, raised to {height(machine.reach_mm, units)}")
    if machine.cribbing:
        crib = machine.cribbing
        times = "1 setting" if crib.settings == 1 else f"{crib.settings} settings"
        layers = "1 layer" if crib.layers == 1 else f"{crib.layers} layers"
        lines.append(f"{times} of the jack at an end, onto {layers} of cribbing")
    guides = "1 person guides it" if machine.people == 1 else f"{machine.people} people guide it"
    lines.append(guides)
    return Block(_begun(machine.called), tuple(lines))


def _not_by_hand(lift: Lift, units: Units) -> Block:
    way = lift.chosen
    reason = "past the guideline" if way.people is None else "more people than can be called"
    who = f"{_begun(way.name)}, {_people(way.hardest.people)}"
    most = _step(way.hardest, way, units).removesuffix(" (hardest)")
    return Block("By hand it would be", (f"{who}: {reason}. {most}",))


def _in_a_line(way: Way) -> str:
    if way.people is None:
        return f"{_begun(way.name)}: past the guideline for {_people(way.hardest.people)}"
    return f"{_begun(way.name)}: {_people(way.people)}"
