"""What is written on a lift card: every number is one of the plan's, rounded for people.

card_words(building, lift, cautions) -> CardWords
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pikepole_export.derive.lifting.holds import Held
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.machines import Machine
from pikepole_export.derive.lifting.statics import GRAVITY_M_S2, WallRaise
from pikepole_export.derive.lifting.ways import Way
from pikepole_export.derive.lifting.wind import MPH_M_S
from pikepole_export.derive.mass import Mass
from pikepole_model.part import Building
from pikepole_model.units import INCH_MM, Rounding, Units, format_length, format_mass, unit_symbol

# On every card, in few words.
ALWAYS = (
    "The figures come from a model: wet timber is heavier, weigh a piece when in doubt.",
    "Stop in wind.",
    "Never stand under a load.",
    "Brace before letting go.",
    "Use fall protection from the height that your rules name.",
    "Local rules and the plate on the gear count before this card.",
    "The guidelines for hands are a filter, no limit.",
    "Before a lift by machine ask a licensed rigger or engineer.",
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
        always: What goes for every lift.
    """

    over: str
    name: str
    verdict: str
    blocks: tuple[Block, ...]
    cautions: tuple[str, ...]
    always: tuple[str, ...] = ALWAYS


def card_words(building: Building, lift: Lift, cautions: Sequence[str]) -> CardWords:
    """The words of a lift's card.

    Args:
        building: For its title, units and stages.
        lift: Any of its lift plan.
        cautions: One sentence or so each.
    """
    units: Units = building.scene.units
    thing = lift.thing
    times = f" ({thing.times} times)" if thing.times > 1 else ""
    blocks = [_weight(lift, units)]
    if lift.machine:
        blocks += [_by_machine(lift.machine, units), _not_by_hand(lift, units)]
    else:
        blocks.append(_by_hand(lift, units))
    if lift.chosen.tilt and not lift.machine:
        blocks.append(_tilting(lift.chosen.tilt, units))
    if lift.bracing:
        brace = lift.bracing
        lines = f"{brace.braces} braces" if brace.braces > 1 else "a brace each way"
        blocks.append(
            Block(
                "Once it stands",
                (
                    f"Before letting go: {lines}, up to {force(brace.brace_n, units)} along one, "
                    f"{force(brace.vertical_n, units)} up or down at its foot",
                ),
            )
        )
    others = [way for way in lift.ways if way.name != lift.chosen.name]
    if others:
        blocks.append(Block("Other ways looked at", tuple(_in_a_line(way) for way in others)))
    if lift.wind:
        blocks.append(
            Block("Wind", (f"Do not start, and put it down, at {wind(lift.wind.stop_m_s, units)}",))
        )
    return CardWords(
        over=f"{building.scene.title}, stage {thing.stage}: {lift.stage_name}",
        name=f"{lift.number}  {thing.name[:1].upper()}{thing.name[1:]}{times}",
        verdict=f"{lift.verdict[:1].upper()}{lift.verdict[1:]}",
        blocks=tuple(blocks),
        cautions=tuple(cautions),
    )


def force(force_n: float, units: Units) -> str:
    """A force for people: as the mass whose weight it is, and in newtons where those are known."""
    felt = mass(force_n / GRAVITY_M_S2, units)
    return felt if units == "imperial" else f"{force_n:.0f}{JOINT}N ({felt})"


def height(height_mm: float, units: Units) -> str:
    """A height to the nearest inch or centimetre: hands are no nearer than that."""
    step = INCH_MM if units == "imperial" else 10.0
    return _kept(format_length(math.floor(height_mm / step + 0.5) * step, units))


def wind(speed_m_s: float, units: Units) -> str:
    """A wind speed, rounded down."""
    if units == "imperial":
        return f"{math.floor(speed_m_s / MPH_M_S + 1e-9)} mph of mean wind"
    return f"{math.floor(speed_m_s * 10 + 1e-9) / 10:.1f} m/s of mean wind"


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
    whole, load = lift.thing.whole, lift.chosen.load
    lines = [_range(whole.mass, units), _size(whole.size_mm, units)]
    if load.name != whole.name and not lift.machine:
        lines.append(
            f"Goes up as {lift.chosen.loads} loads; {load.name} asks for most: "
            f"{_range(load.mass, units)}"
        )
    return Block("Weighs", tuple(lines))


def _by_hand(lift: Lift, units: Units) -> Block:
    way = lift.chosen
    people = "1 person" if lift.people == 1 else f"{lift.people} people"
    steps = [_step(held, way, units) for held in way.holds]
    return Block(f"{way.name[:1].upper()}{way.name[1:]}; {people}", tuple(steps), numbered=True)


def _step(held: Held, way: Way, units: Units) -> str:
    hold = held.hold
    if held.guideline_kg > 0:
        limit = f"of {mass(held.guideline_kg, units, 'down')} ({held.source})"
    else:
        limit = f"higher than {held.source} rates any hands"
    start, end = height(hold.from_mm, units), height(hold.to_mm, units)
    at = f"hands at {end}" if hold.pushed or start == end else f"hands {start} to {end}"
    hardest = " (hardest)" if held is way.hardest and len(way.holds) > 1 else ""
    floor = hold.floor_mm - hold.base_mm
    stood = f" over {height(floor, units)} platform" if floor > 1.0 else ""
    what = f"{hold.what[:1].upper()}{hold.what[1:]}"
    felt = force(hold.force_n, units)
    if held.guideline_kg > 0 and units == "imperial":
        felt = felt.removesuffix(f"{JOINT}lb")  # said once, after the limit
    return f"{what}: {felt} {limit}, {at}{stood}{hardest}"


def _tilting(tilt: WallRaise, units: Units) -> Block:
    """The force square to what is tilted up, all the way."""
    lines = [
        f"{force(tilt.start_n, units)} square to it at the start, at most "
        f"{force(tilt.peak_n, units)} at {tilt.peak_deg:.0f}\u00b0 from level"
    ]
    if tilt.hold_back_n >= 1.0:
        lines.append(f"Stood up, it is held back with {force(tilt.hold_back_n, units)}")
    return Block("As it goes up", tuple(lines))


def _by_machine(machine: Machine, units: Units) -> Block:
    name = f"{machine.called[:1].upper()}{machine.called[1:]}"
    each = " each" if machine.count > 1 else ""
    lines = [f"Has to hold {mass(machine.needed_kg, units)}{each}"]
    if machine.rating_kg is not None:
        lines[0] += f"; rated {mass(machine.rating_kg, units)}{each}"
    if machine.sling:
        sling = machine.sling
        legs = "1 leg, straight up" if sling.legs == 1 else f"{sling.legs} legs"
        angle = "" if sling.legs == 1 else f" at {sling.angle_deg:.0f}\u00b0 from level"
        each = " in each" if sling.legs > 1 else ""
        lines.append(f"Sling of {legs}{angle}: {force(sling.tension_n, units)}{each}")
        lines.append(f"Hook {height(machine.reach_mm, units)} above the ground")
    if machine.cribbing:
        crib = machine.cribbing
        times = "1 setting" if crib.settings == 1 else f"{crib.settings} settings"
        layers = "1 layer" if crib.layers == 1 else f"{crib.layers} layers"
        lines.append(f"{times} of the jack at an end, onto {layers} of cribbing")
    guides = "1 person guides it" if machine.people == 1 else f"{machine.people} people guide it"
    lines.append(guides)
    return Block(name, tuple(lines))


def _not_by_hand(lift: Lift, units: Units) -> Block:
    way = lift.chosen
    people = "1 person" if way.hardest.people == 1 else f"{way.hardest.people} people"
    most = _step(way.hardest, way, units).removesuffix(" (hardest)")
    who = f"{way.name[:1].upper()}{way.name[1:]}, {people}"
    reason = "past the guideline" if way.people is None else "more people than can be called"
    return Block("By hand it would be", (f"{who}: {reason}. {most}",))


def _in_a_line(way: Way) -> str:
    name = f"{way.name[:1].upper()}{way.name[1:]}"
    if way.people is None:
        return f"{name}: past the guideline for {way.hardest.people} people"
    who = "1 person" if way.people == 1 else f"{way.people} people"
    return f"{name}: {who}"
