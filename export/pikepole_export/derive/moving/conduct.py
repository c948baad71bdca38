"""How the move goes: what stays clear, the way there, the setting down and what ties it then.

conduct(building, moved, move, jacks) -> Conduct
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import assert_never

from pikepole_export.derive.lifting.cautions import stop_wind_text
from pikepole_export.derive.moving.jacks import OnJacks, goes_under_mm, lay_at_mm, rise_mm
from pikepole_export.derive.moving.preparations import FROM_MODEL, PRACTICE, Preparation
from pikepole_export.derive.moving.structure import SIDES, MovedStructure
from pikepole_export.derive.moving.tipping import MoveWind
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.scene.moving import Move
from pikepole_model.units import FOOT_MM, INCH_MM, Units, format_length, format_mass, plural

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

# Both corners of an end within this of each other while it is jacked. Source: 29 CFR 1926.705(g),
# for lift-slabs; here by analogy.
LEVEL_MM = 0.5 * INCH_MM


# Pieces in a layer of a box crib, and how many cribs there are.
IN_LAYER, CORNERS = 2, 4

# The widest carriage that is usual on a truck, forks from out to out. Common practice, no source.
CARRIAGE_MM = 6 * FOOT_MM


@dataclass(frozen=True, slots=True)
class Conduct:
    """The move itself.

    Attributes:
        wide_mm: Across the way.
        high_mm: From the ground to its top while it is carried.
        raising: How it goes up.
        there: The way there.
        down: The setting down, and what ties it then.
    """

    wide_mm: float
    high_mm: float
    raising: tuple[Preparation, ...]
    there: tuple[Preparation, ...]
    down: tuple[Preparation, ...]


def conduct(
    building: Building,
    moved: MovedStructure,
    move: Move,
    jacks: OnJacks,
    wind: MoveWind | None,
) -> Conduct:
    """The order of a move, in short sentences.

    Args:
        building: All of it.
        moved: What is moved of it.
        move: As the scene has it.
        jacks: How it is raised.
        wind: In which it is set down; None where nothing that carries it is known.
    """
    left, right = SIDES[move.side].span_along(moved.parts)
    wide_mm, high_mm = right - left, moved.size_mm[2] + _carried_at_mm(building, moved, move)
    return Conduct(
        wide_mm=wide_mm,
        high_mm=high_mm,
        raising=tuple(_raising(building, move, jacks)),
        there=tuple(_there(building, move, wide_mm, high_mm, wind)),
        down=tuple(_down(building, moved, move, jacks)),
    )


def _carried_at_mm(building: Building, moved: MovedStructure, move: Move) -> float:
    """How high its underside is on the way, mm."""
    if move.way == "jacks":
        return moved.underside_mm + rise_mm(building, moved, move)
    # What hangs lower than what is carried: skids under joists that forks go under.
    hangs_mm = lay_at_mm(moved, move) - moved.underside_mm
    low_mm = CARRY_MM if move.way == "forks" else 0.0
    return low_mm + goes_under_mm(building, move) - hangs_mm


def _clear(length_mm: float, units: Units) -> str:
    """A clearance, up to a whole inch or centimetre."""
    step_mm = INCH_MM if units == "imperial" else 10.0
    return format_length(math.ceil(length_mm / step_mm - 1e-9) * step_mm, units)


def _practice(text: str, *, size_mm: float | None = None, count: int | None = None) -> Preparation:
    return Preparation(text, (), PRACTICE, count=count, size_mm=size_mm)


def _raising(building: Building, move: Move, jacks: OnJacks) -> Iterator[Preparation]:
    if jacks.rise_mm <= 0:
        yield _practice("It needs no jacking: what carries it goes under as it stands.")
        return
    units = building.scene.units
    yield Preparation(
        f"Set a jack under each outer bearer, {format_length(jacks.inset_mm, units)} in from its "
        f"ends, and a crib {format_length(move.crib, units)} wide beside it. Where it lies too low "
        "for the jack, dig a pit for that or bar the end up first. Wood between jack and frame.",
        (),
        FROM_MODEL,
        size_mm=jacks.inset_mm,
    )
    order = ", ".join(one.name for one in jacks.corners)
    level = format_length(LEVEL_MM, units)
    yield _practice(
        f"Go round {level} at a time: {order}. Chock the other end while one goes up, and never "
        "have one end higher than the other by more than a layer of cribbing."
    )
    yield Preparation(
        "Shim as you go, and crib at every layer. Keep the two corners of an end within "
        f"{level} of each other. Nobody reaches or goes under what stands on jacks alone.",
        (),
        "29 CFR 1926.305 and 1926.705(g), by analogy",
        size_mm=LEVEL_MM,
    )
    if jacks.cribs is not None:
        settings = plural(jacks.cribs.settings, "stroke")
        high = format_length(jacks.rise_mm, units)
        yield Preparation(
            f"Go up {high} in {settings} at each corner, on {plural(jacks.cribs.layers, 'layer')} "
            f"of cribbing: {CORNERS * IN_LAYER * jacks.cribs.layers} pieces, "
            f"{format_length(move.crib, units)} long, for the four corners.",
            (),
            FROM_MODEL,
            count=CORNERS * IN_LAYER * jacks.cribs.layers,
            size_mm=jacks.rise_mm,
        )
    else:
        rating = format_mass(jacks.end_kg, units, "up")
        yield Preparation(
            f"Bring jacks that are rated {rating} each.",
            (),
            PRACTICE,
            mass_kg=jacks.end_kg,
        )


def _there(
    building: Building, move: Move, wide_mm: float, high_mm: float, wind: MoveWind | None
) -> Iterator[Preparation]:
    if move.way == "jacks":
        return
    units = building.scene.units
    gate = _clear(wide_mm + 2 * BESIDE_MM, units)
    yield _practice(
        f"Walk the way first. It has to be {gate} wide everywhere, gates and turns too, firm, and "
        "without side slope.",
        size_mm=wide_mm + 2 * BESIDE_MM,
    )
    wires = _clear(FROM_WIRES_MM, units)
    yield Preparation(
        f"Look up: wires, branches and eaves. It stands {_clear(high_mm, units)} high "
        f"on the way; keep {wires} from power lines, more from high voltage.",
        (),
        "29 CFR 1926.1408 Table A (from memory), by analogy",
        size_mm=high_mm,
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
    yield _practice("One spotter gives the signs, in sight of who drives. All others stay clear.")
    yield _practice("Stop wherever anything shifts, cracks or leans.")
    if wind is not None:
        yield _in_wind(wind, units)


def _in_wind(wind: MoveWind, units: Units) -> Preparation:
    mean = stop_wind_text(wind.stop_m_s, units)
    if wind.is_by_rule:
        over = f"Over a mean wind of {mean} do not move it, and set it down."
        return Preparation(over, (), wind.rule.source)
    gust = stop_wind_text(wind.tips_at_m_s, units)
    return Preparation(
        f"Over a mean wind of {mean} do not move it, and set it down: a gust of {gust} could tip "
        "it where it leans.",
        (),
        "statics, with 0.8 and 0.5 on its walls by ASCE 7-16, figure 27.3-1 (from memory)",
    )


def _on_forks(building: Building, move: Move) -> Iterator[Preparation]:
    units = building.scene.units
    out_mm = move.fork_spacing + move.fork_width
    if out_mm > CARRIAGE_MM:
        out, usual = (format_length(mm, units, "up") for mm in (out_mm, CARRIAGE_MM))
        yield _practice(
            f"Ask for a carriage that takes forks {out} from out to out: few are wider than "
            f"{usual}.",
            size_mm=out_mm,
        )
    if move.beams:
        yield _practice(
            "Lower the forks to the ground and set the brake before anybody lays a beam on them."
        )
        yield _practice(
            "Lay a carrying beam on edge on each fork, against the face, blocked so that it cannot "
            "roll and strapped to the fork at heel and tip."
        )
    yield _practice(
        f"Lift it by {format_length(INCH_MM, units)}, stop, and look at every bearer. Shim what "
        "does not bear. Where it leans, set it down and begin again.",
        size_mm=INCH_MM,
    )
    on = "beams and carriage" if move.beams else "the carriage"
    yield _practice(f"Strap it back to {on} with two straps, low, round the frame.")
    yield _practice(
        f"Carry it low, the forks {format_length(CARRY_MM, units)} over the ground, tilted back a "
        "little, at a walking pace. Load uphill on a slope (29 CFR 1910.178(n)(7)).",
        size_mm=CARRY_MM,
    )


def _on_rollers(building: Building, move: Move) -> Iterator[Preparation]:
    pipes, units = move.pipes, building.scene.units
    if pipes:
        yield Preparation(
            f"Lay two rows of planks end to end. {pipes.count - pipes.ahead} pipes are under it, "
            f"{pipes.ahead} lie ahead; carry the last one round to the front.",
            (),
            "US Navy, NAVEDTRA 14251: four to six under the load",
            count=pipes.count,
        )
    yield _practice(
        "Nail guides along the planks: a building on rollers walks sideways. Hands off the pipes "
        "while it rolls; knock them straight with a bar."
    )
    if move.ramp:
        props = format_length(move.ramp.span_mm, units, "down")
        yield _practice(
            "Fix the ramp's head so that no plank can slide off, and prop its planks every "
            f"{props} on wood on firm ground. Nobody stands below what is drawn up it."
        )
        yield _practice(
            "It rocks as its balance passes the ramp's head: stop, and ease it over on wedges."
        )
    yield _practice(
        "Tie the winch to what is known to hold, low and in line: a driven or buried anchor, a big "
        "tree, a heavy vehicle that is chocked. Pull by hand's breadths first, and look at it.",
    )
    yield _practice(
        "Pull low and straight, and hold it back with a second line on a slope. Wedges go with it "
        "all the way. Nobody stands in the bight or near a tight line."
    )


def _on_trailer(building: Building, move: Move, wide_mm: float) -> Iterator[Preparation]:
    units = building.scene.units
    yield _practice(
        "Chock the wheels, hitch it to the vehicle, and crib the rear end of the deck while the "
        "building comes down on it."
    )
    yield _practice(
        "Strap it down with four straps over the frame, not the walls, and chain the bearers "
        "against sliding forward and back. Look at them again after the first hundred yards."
    )
    if wide_mm > ROAD_WIDTH_MM:
        yield Preparation(
            f"It is {_clear(wide_mm, units)} wide: over "
            f"{format_length(ROAD_WIDTH_MM, units)} a public road asks for a permit.",
            (),
            "23 CFR 658.15 (from memory)",
            size_mm=wide_mm,
        )
    yield _practice("Drive at a walking pace off the road, and slowly on it.")


def _down(
    building: Building, moved: MovedStructure, move: Move, jacks: OnJacks
) -> Iterator[Preparation]:
    units = building.scene.units
    yield _practice("Have the bed level and marked at its four corners before it comes.")
    footings = [part for part in moved.staying if part.kind is Kind.FOOTING]
    if footings:
        top = format_length(max(part.bounds_mm[1][2] for part in footings), units)
        yield Preparation(
            f"Mark {plural(len(footings), 'footing')} beside it, which stand up {top}: no wheel "
            "and nothing that is carried goes over them.",
            tuple(part.name for part in footings),
            FROM_MODEL,
            count=len(footings),
        )
    if jacks.cribs is not None:
        yield Preparation(
            f"Take it on four cribs, draw out what carried it, and bring it down "
            f"{format_length(jacks.rise_mm, units)} in {plural(jacks.cribs.settings, 'stroke')} at "
            "each corner, in the same order, a layer of cribbing out at each.",
            (),
            FROM_MODEL,
            count=jacks.cribs.settings,
            size_mm=jacks.rise_mm,
        )
    elif jacks.rise_mm > 0:
        yield _practice("Take it on four cribs, draw out what carried it, and jack it down evenly.")
    else:
        yield _practice("Set it down slowly, and draw out level what carried it.")
    yield _practice("Level it, and shim or pack gravel until every bearer lies on all its length.")
    girders = any(part.kind is Kind.GIRDER for part in moved.floor)
    to = "its piers, or to ground anchors" if girders else "ground anchors"
    yield _practice(
        f"Tie it down the same day: its four corners to {to}, as your code asks for wind. Until "
        "then nothing but its weight holds it."
    )
    yield _practice("Take the temporary braces off last.")
