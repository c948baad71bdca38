"""What is written on the card of a move: every number is one of the plan's, rounded for people.

move_words(building, plan) -> CardWords
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import assert_never

from pikepole_export.derive.inventory.mass import Mass
from pikepole_export.derive.moving.plan import MovePlan
from pikepole_export.derive.moving.preparations import Step
from pikepole_export.derive.moving.truck import on_plate
from pikepole_export.derive.moving.way_there import clear
from pikepole_export.write.cards.words import JOINT, Block, CardWords, height, kept, mass, unbroken
from pikepole_model.building.part import Building
from pikepole_model.scene.moving import Way
from pikepole_model.units import Units, format_length

ON: Mapping[Way, str] = {
    "forks": "forks",
    "rollers": "rollers",
    "jacks": "jacks",
    "trailer": "a trailer",
}

LEVEL_DEG = 0.05  # a lower rise is not told
MOST_PROBLEMS = 2  # that are told


def move_words(building: Building, plan: MovePlan) -> CardWords:
    """The words of the card.

    Args:
        building: For its title and units.
        plan: Of the move that its scene has.
    """
    units: Units = building.scene.units
    blocks = [Block("Weighs", (_weighs(plan, units),))]
    if plan.problems:
        blocks.insert(0, Block("It cannot be moved so", tuple(_against(plan))))
    steps = tuple(f"{_HEADS[step]}: {' '.join(said)}" for step, said in plan.steps.items())
    blocks.append(Block("Step by step", tuple(unbroken(step) for step in steps), numbered=True))
    return CardWords(
        over=building.scene.title,
        name=f"Move on {ON[plan.way]}, after stage {plan.row.stage}: {plan.row.name}",
        verdict="It cannot be moved so: see beside" if plan.problems else _asks(plan, units),
        blocks=tuple(blocks),
        cautions=tuple(_cautions(plan, units)),
        always=(
            "From a model: wet wood is heavier. Nobody under it, in its path or where it would "
            "fall.",
            "Ask a licensed rigger or engineer first. Local rules"
            f"{' and the plate on the machine' if plan.way == 'forks' else ''} count before this "
            "card.",
        ),
    )


def _against(plan: MovePlan) -> Iterator[str]:
    """The first of what speaks against it; how each is mended is told by the check."""
    for one in plan.problems[:MOST_PROBLEMS]:
        yield unbroken(" ".join(filter(None, (one.key, one.value, one.wrong))) + ".")
    more = len(plan.problems) - MOST_PROBLEMS
    yield f"And {more} more: see the check." if more > 0 else "The check tells how to mend it."


_HEADS: Mapping[Step, str] = {
    Step.FIRST: "First",
    Step.UP: "Up",
    Step.ON: "On",
    Step.WAY: "There",
    Step.DOWN: "Down",
    Step.TIED: "Tied",
}


def _asks(plan: MovePlan, units: Units) -> str:
    """What the move asks for, in a line."""
    match plan.way:
        case "forks":
            row = plan.row
            rated = mass(row.rating_needed_kg, units, "up")
            return (
                f"Lifts up to {mass(row.lifted_kg, units)}, {long(row.load_centre_mm, units)} from "
                f"the fork face: a truck rated {rated} at {on_plate(row.standard_mm)}"
            )
        case "rollers":
            rollers = plan.on_rollers
            winch, strap, anchor = (
                mass(kg, units, "up")
                for kg in (rollers.winch_kg, rollers.strap_kg, rollers.anchor_kg)
            )
            yours = ""
            if rollers.winch_rating_kg is not None:
                yours = f" (yours: {mass(rollers.winch_rating_kg, units, 'down')})"
            held = f"a strap for {strap}, an anchor for {anchor}"
            return f"Asks for a winch rated {winch}{yours}, {held}"
        case "trailer":
            on = plan.on_trailer
            assert on
            deck, tongue = (mass(kg, units) for kg in (plan.row.mass.high_kg, on.tongue.high_kg))
            rated = [mass(kg, units, "down") for kg in (on.rating_kg, on.tongue_rating_kg)]
            return (
                f"Up to {deck} on the deck (rated {rated[0]}), {tongue} of it on the tongue "
                f"(rated {rated[1]})"
            )
        case "jacks":
            end = mass(plan.on_jacks.end_kg, units, "up")
            return f"Asks for jacks rated {end} each: where it rocks, one has its end"
        case _:
            assert_never(plan.way)


def _weighs(plan: MovePlan, units: Units) -> str:
    dry, likely, wet = (
        mass(kg, units)
        for kg in (plan.row.mass.low_kg, plan.row.mass.likely_kg, plan.row.mass.high_kg)
    )
    return f"{dry} dry, {likely} likely, {wet} wet"


def _cautions(plan: MovePlan, units: Units) -> Iterator[str]:
    jacks = plan.on_jacks
    if jacks.rise_mm > 0:
        has = "you have none"
        if jacks.rating_kg is not None:
            has = f"yours is rated {mass(jacks.rating_kg, units, 'down')}"
        end = mass(jacks.end_kg, units, "up")
        yield f"Where it rocks, one jack has up to {end}; {has}."
    if plan.on_rollers.rise_deg >= LEVEL_DEG:
        yield f"The way rises {plan.on_rollers.rise_deg:.1f}{JOINT}deg."
    if plan.way == "forks" and plan.on_forks is not None:
        yield plan.on_forks.forks.plate


def long(length_mm: float, units: Units) -> str:
    """A length to the nearest inch or centimetre, on one line; a short one as it is."""
    return height(length_mm, units) if length_mm > 600.0 else kept(format_length(length_mm, units))


def clearance(length_mm: float, units: Units) -> str:
    """A clearance, up to a whole inch or centimetre, on one line."""
    return kept(clear(length_mm, units))


def corner_load(load: Mass, units: Units) -> str:
    """What is on a corner, dry to wet."""
    low, high = (mass(kg, units) for kg in (load.low_kg, load.high_kg))
    return f"{low.split(JOINT)[0]}-{high}"


def lifted(plan: MovePlan, units: Units) -> str:
    """What is lifted or drawn, as wet as may be."""
    match plan.way:
        case "forks":
            return f"lifts {mass(plan.row.lifted_kg, units)}"
        case "rollers":
            return f"draws {mass(plan.on_rollers.mass_kg, units)}"
        case "trailer" | "jacks":
            return f"weighs {mass(plan.row.mass.high_kg, units)}"
        case _:
            assert_never(plan.way)
