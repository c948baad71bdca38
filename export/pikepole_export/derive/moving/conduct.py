"""How the move goes: what stays clear, the way there, the setting down and what ties it then.

conduct(building, moved, move, jacks) -> Conduct
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pikepole_export.derive.moving.jacks import OnJacks, goes_under_mm, lay_at_mm, rise_mm
from pikepole_export.derive.moving.preparations import (
    FROM_MODEL,
    PRACTICE,
    Preparation,
    Step,
    practice,
)
from pikepole_export.derive.moving.structure import SIDES, MovedStructure
from pikepole_export.derive.moving.tipping import MoveWind
from pikepole_export.derive.moving.way_there import (
    CARRY_MM,
    FROM_WIRES_MM,
    gate_mm,
    on_the_way,
)
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.scene.moving import Move
from pikepole_model.units import INCH_MM, format_length, format_mass, plural

# Both corners of an end within this of each other while it is jacked. Source: 29 CFR 1926.705(g),
# for lift-slabs; here by analogy.
LEVEL_MM = 0.5 * INCH_MM


# Pieces in a layer of a box crib, and how many cribs there are.
IN_LAYER, CORNERS = 2, 4


@dataclass(frozen=True, slots=True)
class Conduct:
    """The move itself.

    Attributes:
        wide_mm: Across the way.
        high_mm: From the ground to its top while it is carried.
        up_mm: How much higher it is carried than it stood.
        gate_mm: How wide the way has to be.
        from_wires_mm: How far it stays from power lines.
        carry_mm: The forks over the ground; 0 by another way.
        stop_wind_m_s: Mean wind in which it is set down; None where nothing that carries it is
            known.
        tips_in_m_s: The gust that could tip it then; None likewise.
        raising: How it goes up.
        there: The way there.
        down: The setting down, and what ties it then.
    """

    wide_mm: float
    high_mm: float
    up_mm: float
    gate_mm: float
    from_wires_mm: float
    carry_mm: float
    stop_wind_m_s: float | None
    tips_in_m_s: float | None
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
    up_mm = _up_mm(building, moved, move)
    wide_mm, high_mm = right - left, moved.size_mm[2] + moved.underside_mm + up_mm
    return Conduct(
        wide_mm=wide_mm,
        high_mm=high_mm,
        up_mm=up_mm,
        gate_mm=gate_mm(wide_mm),
        from_wires_mm=FROM_WIRES_MM,
        carry_mm=CARRY_MM if move.way == "forks" else 0.0,
        stop_wind_m_s=wind.stop_m_s if wind else None,
        tips_in_m_s=wind.tips_at_m_s if wind else None,
        raising=tuple(_raising(building, move, jacks)),
        there=tuple(on_the_way(building, move, wide_mm, high_mm, wind)),
        down=tuple(_down(building, moved, move, jacks)),
    )


def _up_mm(building: Building, moved: MovedStructure, move: Move) -> float:
    """How much higher than before the move it is on the way, mm."""
    if move.way == "jacks":
        return rise_mm(building, moved, move)
    low_mm = CARRY_MM if move.way == "forks" else 0.0
    return low_mm + goes_under_mm(building, move) - lay_at_mm(moved, move)


def _raising(building: Building, move: Move, jacks: OnJacks) -> Iterator[Preparation]:
    if jacks.rise_mm <= 0:
        yield practice(
            Step.UP, "It needs no jacking: what carries it goes under as it stands.", "No jacking."
        )
        return
    units = building.scene.units
    inset, crib = (format_length(mm, units) for mm in (jacks.inset_mm, move.crib))
    yield Preparation(
        f"Set a jack under each outer bearer, {inset} in from its ends, and a crib {crib} wide "
        "outside it, clear of what goes under. Where it lies too low for the jack, dig a pit for "
        "that or bar the end up first. Wood between jack and frame.",
        (),
        FROM_MODEL,
        size_mm=jacks.inset_mm,
        step=Step.UP,
        short=f"Jacks {inset} in from the ends of the outer bearers, wood between; cribs {crib} "
        "wide.",
    )
    order = ", ".join(one.name for one in jacks.corners)
    level = format_length(LEVEL_MM, units)
    yield practice(
        Step.UP,
        f"Go round {level} at a time: {order}. Chock the other end while one goes up, and never "
        "have one end higher than the other by more than a layer of cribbing.",
        f"Go round {level} at a time, by the numbers; chock the other end.",
    )
    yield Preparation(
        "Shim as you go, and crib at every layer. Keep the two corners of an end within "
        f"{level} of each other. Nobody reaches or goes under what stands on jacks alone.",
        (),
        "29 CFR 1926.305 and 1926.705(g), by analogy",
        size_mm=LEVEL_MM,
        step=Step.UP,
        short="Shim, and crib at every layer. Nobody under it on jacks alone.",
    )
    if hanging := jacks.frame.unsupported:
        names = ", ".join(hanging)
        yield Preparation(
            f"No jack stands under {names}, the rest of the floor alone carries it: set a crib "
            "under both its ends too, layer by layer.",
            hanging,
            FROM_MODEL,
            step=Step.UP,
            short=f"Cribs under both ends of {names} too: no jack stands there.",
        )
    if jacks.cribs is not None:
        settings = plural(jacks.cribs.settings, "stroke")
        high = format_length(jacks.rise_mm, units)
        yield Preparation(
            f"Go up {high} in {settings} at each corner, on {plural(jacks.cribs.layers, 'layer')} "
            f"of cribbing: {CORNERS * IN_LAYER * jacks.cribs.layers} pieces, "
            f"{crib} long, for the four corners.",
            (),
            FROM_MODEL,
            count=CORNERS * IN_LAYER * jacks.cribs.layers,
            size_mm=jacks.rise_mm,
            step=Step.UP,
            short=f"Up {high} in {settings}, on {plural(jacks.cribs.layers, 'layer')}.",
        )
    else:
        rating = format_mass(jacks.end_kg, units, "up")
        yield Preparation(
            f"Bring jacks that are rated {rating} each.",
            (),
            PRACTICE,
            mass_kg=jacks.end_kg,
            step=Step.UP,
            short=f"Bring jacks rated {rating} each.",
        )


def _down(
    building: Building, moved: MovedStructure, move: Move, jacks: OnJacks
) -> Iterator[Preparation]:
    units = building.scene.units
    yield practice(
        Step.DOWN,
        "Have the bed level and marked at its four corners before it comes.",
        "Bed level, its four corners marked.",
    )
    if building.before:
        yield from _onto_pad(building)
    footings = [part for part in beds(building, moved) if part.kind is Kind.FOOTING]
    if footings:
        top = format_length(max(part.bounds_mm[1][2] for part in footings), units)
        several = plural(len(footings), "footing")
        yield Preparation(
            f"Mark {several} beside it, which stand up {top}: no wheel "
            "and nothing that is carried goes over them.",
            tuple(part.name for part in footings),
            FROM_MODEL,
            count=len(footings),
            step=Step.DOWN,
            short=f"No wheel over the {several}.",
        )
    if jacks.cribs is not None:
        down, settings = (
            format_length(jacks.rise_mm, units),
            plural(jacks.cribs.settings, "stroke"),
        )
        yield Preparation(
            f"Take it on four cribs, draw out what carried it, and bring it down {down} in "
            f"{settings} at each corner, in the same order, a layer of cribbing out at each.",
            (),
            FROM_MODEL,
            count=jacks.cribs.settings,
            size_mm=jacks.rise_mm,
            step=Step.DOWN,
            short=f"On four cribs; draw out what carried it; down {down} in {settings}, a layer "
            "out at each.",
        )
    elif jacks.rise_mm > 0:
        yield practice(
            Step.DOWN,
            "Take it on four cribs, draw out what carried it, and jack it down evenly.",
            "On four cribs; draw out what carried it; jack it down evenly.",
        )
    else:
        yield practice(
            Step.DOWN,
            "Set it down slowly, and draw out level what carried it.",
            "Down slowly; draw out level what carried it.",
        )
    yield practice(
        Step.DOWN,
        "Level it, and shim or pack gravel until every bearer lies on all its length.",
        "Level it; every bearer bears all along.",
    )
    yield _tie(building, moved)
    yield practice(Step.TIED, "Take the temporary braces off last.", "Temporary braces off last.")


def beds(building: Building, moved: MovedStructure) -> tuple[Part, ...]:
    """What stays where it comes to stand, as far as that is there by then."""
    if building.before is None:
        return moved.staying
    return tuple(
        part
        for part in building.finished.parts
        if part.kind.row.stays and part.stage <= moved.stage.number
    )


def _onto_pad(building: Building) -> Iterator[Preparation]:
    """The slab that it comes onto."""
    slabs = [part for part in building.finished.parts if part.kind is Kind.SLAB]
    top_mm = max((part.bounds_mm[1][2] for part in slabs), default=0.0)
    if top_mm > 0:
        top = format_length(top_mm, building.scene.units)
        yield Preparation(
            f"The slab stands {top} out of the ground: raise the building over its edge before it "
            "comes there, and keep wheels off the slab until the concrete is hard.",
            tuple(part.name for part in slabs),
            FROM_MODEL,
            size_mm=top_mm,
            step=Step.DOWN,
            short=f"Over the slab's edge, {top} high.",
        )


def _tie(building: Building, moved: MovedStructure) -> Preparation:
    """What holds it down once it is there."""
    driven = [part for part in building.parts if part.kind is Kind.GROUND_ANCHOR]
    if driven:
        several = plural(len(driven), "ground anchor")
        return Preparation(
            f"As soon as it stands drive {several} beside the outer skids or girders, as deep as "
            "their maker says for the soil, and screw them on. Until then nothing but its weight "
            "holds it.",
            tuple(part.name for part in driven),
            FROM_MODEL,
            count=len(driven),
            step=Step.TIED,
            short=f"At once: {several}, screws into the wood.",
        )
    anchors = [part for part in building.parts if part.kind is Kind.DRILLED_ANCHOR]
    if anchors:
        several = plural(len(anchors), "drilled anchor")
        return Preparation(
            f"As soon as it stands set the rods of {several} through the angles in adhesive, in "
            "holes that were drilled before it came, and screw the angles to the wood; tighten the "
            "nuts when the adhesive is hard. Until then nothing but its weight holds it.",
            tuple(part.name for part in anchors),
            FROM_MODEL,
            count=len(anchors),
            step=Step.TIED,
            short=f"At once: {several} in their holes, screws into the wood.",
        )
    girders = any(part.kind is Kind.GIRDER for part in moved.floor)
    to = "its piers, or to ground anchors" if girders else "ground anchors"
    return practice(
        Step.TIED,
        f"Tie it down at once: its four corners to {to}, as your code asks for wind. Until "
        "then nothing but its weight holds it.",
        f"At once, four corners to {to}, as your code asks for wind.",
    )
