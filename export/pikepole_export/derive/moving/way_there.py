"""The way there: how wide and high it has to be, what carries it, and when it is stopped.

on_the_way(building, move, ...) -> Preparation, one after the other
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import assert_never

from pikepole_export.derive.lifting.cautions import stop_wind_text
from pikepole_export.derive.moving.preparations import Preparation, Step, practice
from pikepole_export.derive.moving.tipping import MoveWind
from pikepole_model.building.part import Building
from pikepole_model.scene.moving import Move
from pikepole_model.units import FOOT_MM, INCH_MM, Units, format_length

# Carried so far over the ground: 6 to 10 in on rough ground. Source: training pages of the trade,
# no standard behind them.
CARRY_MM = 8 * INCH_MM

# Room to be had at each side of a gate or a turn: common practice, no source.
BESIDE_MM = 1 * FOOT_MM

# From power lines up to 50 kV. Source: 29 CFR 1926.1408 Table A (from memory), for cranes; here by
# analogy.
FROM_WIRES_MM = 10 * FOOT_MM

# Wider than this a load on the road asks for a permit. Source: 23 CFR 658.15 (from memory).
ROAD_WIDTH_MM = 8.5 * FOOT_MM

# The widest carriage that is usual on a truck, forks from out to out. Common practice, no source.
CARRIAGE_MM = 6 * FOOT_MM


def gate_mm(wide_mm: float) -> float:
    """How wide the way has to be for what is so wide, mm."""
    return wide_mm + 2 * BESIDE_MM


def on_the_way(
    building: Building, move: Move, wide_mm: float, high_mm: float, wind: MoveWind | None
) -> Iterator[Preparation]:
    """What to look at on the way, and how to go; nothing on jacks alone.

    Args:
        building: All of it.
        move: As the scene has it.
        wide_mm: Across the way.
        high_mm: From the ground to its top while it is carried.
        wind: In which it is set down; None where nothing that carries it is known.
    """
    if move.way == "jacks":
        return
    units = building.scene.units
    gate = clear(gate_mm(wide_mm), units)
    yield practice(
        Step.WAY,
        f"Walk the way first. It has to be {gate} wide everywhere, gates and turns too, firm, and "
        "without side slope.",
        f"{gate} wide everywhere, firm, no side slope.",
        size_mm=gate_mm(wide_mm),
    )
    wires = clear(FROM_WIRES_MM, units)
    yield Preparation(
        f"Look up: wires, branches and eaves. It stands {clear(high_mm, units)} high "
        f"on the way; keep {wires} from power lines, more from high voltage.",
        (),
        "29 CFR 1926.1408 Table A (from memory), by analogy",
        size_mm=high_mm,
        step=Step.WAY,
        short="Look up: wires, branches, eaves.",
    )
    match move.way:
        case "forks":
            yield from _on_forks(building, move)
        case "rollers":
            yield from _on_rollers(building, move)
        case "trailer":
            yield from _on_trailer(building, move, wide_mm)
        case _:
            assert_never(move.way)
    yield practice(
        Step.WAY,
        "One spotter gives the signs, in sight of who drives. All others stay clear.",
        "One spotter, in sight of who drives, all others clear.",
    )
    yield practice(
        Step.WAY,
        "Stop wherever anything shifts, cracks or leans.",
        "Stop if it shifts, cracks or leans.",
    )
    # What is out of balance without any wind is told by what speaks against the move.
    if wind is not None and wind.stop_m_s > 0:
        yield _in_wind(wind, units)


def _in_wind(wind: MoveWind, units: Units) -> Preparation:
    mean = stop_wind_text(wind.stop_m_s, units)
    if wind.is_by_rule:
        text = f"Over a mean wind of {mean} do not move it, and set it down."
        short = f"Not over a mean wind of {mean}: set it down."
        return Preparation(text, (), wind.rule.source, step=Step.WAY, short=short)
    gust = stop_wind_text(wind.tips_at_m_s, units)
    return Preparation(
        f"Over a mean wind of {mean} do not move it, and set it down: a gust of {gust} could tip "
        "it where it leans.",
        (),
        "statics, with 0.8 and 0.5 on its walls by ASCE 7-16, figure 27.3-1 (from memory)",
        step=Step.WAY,
        short=f"Not over a mean wind of {mean} (gusts of {gust}): set it down.",
    )


def _on_forks(building: Building, move: Move) -> Iterator[Preparation]:
    units = building.scene.units
    out_mm = move.fork_spacing + move.fork_width
    if out_mm > CARRIAGE_MM:
        out, usual = (format_length(mm, units, "up") for mm in (out_mm, CARRIAGE_MM))
        yield practice(
            Step.FIRST,
            f"Ask for a carriage that takes forks {out} from out to out: few are wider than "
            f"{usual}.",
            f"Ask for a carriage for forks {out} from out to out.",
            size_mm=out_mm,
        )
    if move.beams:
        yield practice(
            Step.ON,
            "Lower the forks to the ground and set the brake before anybody lays a beam on them.",
            "Forks on the ground, brake set.",
        )
        yield practice(
            Step.ON,
            "Lay a carrying beam on edge on each fork, against the face, blocked so that it cannot "
            "roll and strapped to the fork at heel and tip.",
            "A beam on edge on each, blocked, strapped at heel and tip.",
        )
    inch, low = (format_length(mm, units) for mm in (INCH_MM, CARRY_MM))
    yield practice(
        Step.ON,
        f"Lift it by {inch}, stop, and look at every bearer. Shim what does not bear. Where it "
        "leans, set it down and begin again.",
        f"Lift it by {inch}, stop, shim what does not bear.",
        size_mm=INCH_MM,
    )
    on = "beams and carriage" if move.beams else "the carriage"
    yield practice(
        Step.ON,
        f"Strap it back to {on} with two straps, low, round the frame.",
        f"Two straps back to {on}, low.",
    )
    yield practice(
        Step.WAY,
        f"Carry it low, the forks {low} over the ground, tilted back a little, at a walking pace. "
        "Load uphill on a slope (29 CFR 1910.178(n)(7)).",
        f"Forks {low} over the ground, tilted back, walking pace, load uphill.",
        size_mm=CARRY_MM,
    )


def _on_rollers(building: Building, move: Move) -> Iterator[Preparation]:
    pipes, units = move.pipes, building.scene.units
    if pipes:
        under = pipes.count - pipes.ahead
        yield Preparation(
            f"Lay two rows of planks end to end. {under} pipes are under it, "
            f"{pipes.ahead} lie ahead; carry the last one round to the front.",
            (),
            "US Navy, NAVEDTRA 14251: four to six under the load",
            count=pipes.count,
            step=Step.ON,
            short=f"Two rows of planks; {under} pipes under it, {pipes.ahead} ahead.",
        )
    yield practice(
        Step.ON,
        "Nail guides along the planks: a building on rollers walks sideways. Hands off the pipes "
        "while it rolls; knock them straight with a bar.",
        "Guides along the planks. Hands off the pipes: use a bar.",
    )
    if move.ramp:
        props = format_length(move.ramp.span_mm, units, "down")
        yield practice(
            Step.WAY,
            "Fix the ramp's head so that no plank can slide off, and prop its planks every "
            f"{props} on wood on firm ground. Nobody stands below what is drawn up it.",
            f"Ramp: head fixed, propped every {props}. Nobody below it.",
        )
        yield practice(
            Step.WAY,
            "It rocks as its balance passes the ramp's head: stop, and ease it over on wedges.",
            "Ease it over the ramp's head on wedges.",
        )
    yield practice(
        Step.ON,
        "Tie the winch to what is known to hold, low and in line: a driven or buried anchor, a big "
        "tree, a heavy vehicle that is chocked. Pull by hand's breadths first, and look at it.",
        "Winch tied low, in line, to what is known to hold.",
    )
    yield practice(
        Step.WAY,
        "Pull low and straight, and hold it back with a second line on a slope. Wedges go with it "
        "all the way. Nobody stands in the bight or near a tight line.",
        "Pull low and straight; a second line holds it back on a slope. Wedges go with it. Nobody "
        "near a tight line.",
    )


def _on_trailer(building: Building, move: Move, wide_mm: float) -> Iterator[Preparation]:
    units = building.scene.units
    yield practice(
        Step.ON,
        "Chock the wheels, hitch it to the vehicle, and crib the rear end of the deck while the "
        "building comes down on it.",
        "Chock the wheels, hitch it, crib the rear of the deck.",
    )
    yield practice(
        Step.ON,
        "Strap it down with four straps over the frame, not the walls, and chain the bearers "
        "against sliding forward and back. Look at them again after the first hundred yards.",
        "Four straps over the frame, not the walls; chain the bearers both ways.",
    )
    if wide_mm > ROAD_WIDTH_MM:
        yield Preparation(
            f"It is {clear(wide_mm, units)} wide: over "
            f"{format_length(ROAD_WIDTH_MM, units)} a public road asks for a permit.",
            (),
            "23 CFR 658.15 (from memory)",
            size_mm=wide_mm,
            step=Step.WAY,
            short="So wide, a public road asks for a permit.",
        )
    yield practice(
        Step.WAY,
        "Drive at a walking pace off the road, and slowly on it.",
        "Walking pace off the road, slowly on it.",
    )


def clear(length_mm: float, units: Units) -> str:
    """A clearance, up to a whole inch or centimetre."""
    step_mm = INCH_MM if units == "imperial" else 10.0
    return format_length(math.ceil(length_mm / step_mm - 1e-9) * step_mm, units)
