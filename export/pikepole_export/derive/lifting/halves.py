"""A long wall as two frames, each framed and raised by itself and nailed to the other on the deck.

halves_of(name, frame, along) -> tuple[Load, Load] | None
plates_sawn(halves) -> the plates that are cut for them

+---------+--|--+---------+       Its plates are cut over the full stud nearest to where it
|    |    |  |  |    |    |       balances, or over one nearby where more of them end already;
|    |    |  |  |    |    |       the second half has a stud of its own there, one more than
+---------+--|--+---------+       the wall has, unless all plates end there. The upper top plate
half 1  cut  half 2               comes later, in one piece, and laps the joint.

A plate over anchor bolts is sawn only where either end that this makes has a bolt near enough.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np
from shapely import Polygon, box

from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.lifting.loads import Load, load_of
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part
from pikepole_model.geometry.placement import Points, Vector
from pikepole_model.geometry.shape import Circle, Prism, Shape
from pikepole_model.plan.anchor_bolts import (
    DIAMETERS_FROM_END,
    DRILLED_OVER_MM,
    FARTHEST_FROM_END_MM,
)

# A wall no longer than a sheet goes up whole: common practice, no source.
SHORT_MM = 2440.0

# The upper plate laps the joint of the lower ones by 24 in. Source: IRC 2021 R602.3.2, from memory.
LAP_MM = 609.6

# One half may be longer than the other by twice this part of the wall's length, where fewer plates
# are sawn for it: common practice, no source.
OFF_BALANCE = 0.15

# What runs steeper than this along a wall is no plate: the cosine of its slope.
LEAST_LEAN = 0.5

UP: Vector = (0.0, 0.0, 1.0)


def halves_of(name: str, frame: Sequence[Part], along: Vector) -> tuple[Load, Load] | None:
    """Both halves of a wall without its headers and upper plates; None where it is not parted.

    Args:
        name: Of the wall.
        frame: Its pieces but for these.
        along: The way of its length, a level unit vector.
    """
    way = np.array(along)
    middles = {part.name: float(np.array(part.centre_mm) @ way) for part in frame}
    spans = [part.vertices_mm @ way for part in frame]
    first, last = min(float(s.min()) for s in spans), max(float(s.max()) for s in spans)
    studs = [
        part
        for part in frame
        if part.kind is Kind.STUD and first + LAP_MM < middles[part.name] < last - LAP_MM
        if all(_is_bolted_beside(plate, part, way) for plate in frame)
    ]
    if last - first <= SHORT_MM or not studs:
        return None
    masses = [part_mass(part).likely_kg for part in frame]
    balance_mm = float(np.average([middles[part.name] for part in frame], weights=masses))

    def rank(stud: Part) -> tuple[bool, int, float]:
        off_mm = abs(middles[stud.name] - balance_mm)
        is_near = off_mm <= OFF_BALANCE * (last - first)
        return not is_near, _sawn_over(stud, spans, way) if is_near else 0, off_mm

    joint = min(studs, key=rank)
    cut_mm, on_stud_mm = middles[joint.name], _on_stud_mm(joint, way)
    one: list[Part] = [joint]
    other: list[Part] = []
    is_parted = False
    for part, span in zip(frame, spans, strict=True):
        if part is joint:
            continue
        if float(span.max()) <= cut_mm + on_stud_mm or float(span.min()) >= cut_mm - on_stud_mm:
            (one if middles[part.name] < cut_mm else other).append(part)
        else:
            pieces = _parted(part, float(way @ np.array(part.placement.u)), cut_mm, along)
            if pieces is None:
                return None
            one.append(pieces[0])
            other.append(pieces[1])
            is_parted = True
    if is_parted:
        other.append(joint)
    return (
        load_of(f"{name} half 1", one, (along, UP)),
        load_of(f"{name} half 2", other, (along, UP)),
    )


def _on_stud_mm(stud: Part, way: Points) -> float:
    """How near to a stud's middle a plate ends that is not sawn there, mm."""
    return float(np.ptp(stud.vertices_mm @ way)) / 2 + 1.0


def _sawn_over(stud: Part, spans: Iterable[Points], way: Points) -> int:
    """How many pieces, each told by where its corners are along the wall, run on over a stud."""
    middle, near_mm = float(np.array(stud.centre_mm) @ way), _on_stud_mm(stud, way)
    return sum(span.min() < middle - near_mm and span.max() > middle + near_mm for span in spans)


def _is_bolted_beside(plate: Part, stud: Part, way: Points) -> bool:
    """Whether both ends of a plate that is sawn over a stud are held by bolts of their own.

    True of what is not sawn there, or lies over no bolts. Source: IRC R403.1.6, from a plate's end
    12 in at most and 7 diameters at least.
    """
    body = plate.shape.body
    if plate.kind is not Kind.BOTTOM_PLATE or not isinstance(body, Prism):
        return True
    bolts = [hole for hole in body.holes if isinstance(hole, Circle)]
    if not bolts or not _sawn_over(stud, [plate.vertices_mm @ way], way):
        return True
    cut_mm = float(np.array(stud.centre_mm) @ way)
    off_mm = [
        (
            float(np.array(plate.placement.point(bolt.u, bolt.v)) @ way) - cut_mm,
            2 * bolt.radius - DRILLED_OVER_MM,
        )
        for bolt in bolts
    ]
    return all(
        any(DIAMETERS_FROM_END * wide <= side * off <= FARTHEST_FROM_END_MM for off, wide in off_mm)
        for side in (-1, 1)
    )


def plates_sawn(halves: Sequence[Load]) -> dict[str, tuple[float, float]]:
    """The plates that the cut list has in one piece, each with its lengths in two halves, mm."""
    if len(halves) != 2:
        return {}
    one, other = (
        {part.name.rpartition(" half ")[0]: part.length_mm for part in half.parts}
        for half in halves
    )
    return {name: (one[name], other[name]) for name in one if name and name in other}


def _parted(part: Part, lean: float, cut_mm: float, along: Vector) -> tuple[Part, Part] | None:
    """A plate cut square where a plane across the wall meets its edge, bolt holes left out.

    None where it is no straight piece that runs along the wall.
    """
    body = part.shape.body
    if not isinstance(body, Prism) or not isinstance(body.outline, tuple):
        return None
    if body.length_along != "u" or abs(lean) < LEAST_LEAN:
        return None
    outline = Polygon(body.outline)
    low_u, low_v, high_u, high_v = outline.bounds
    origin_mm = float(np.array(part.placement.origin) @ np.array(along))
    cut_u = (cut_mm - origin_mm) / lean
    pieces: list[Part] = []
    for number, (start, end) in enumerate(((low_u, cut_u), (cut_u, high_u)), start=1):
        clipped = outline.intersection(box(start, low_v, end, high_v))
        if not isinstance(clipped, Polygon) or clipped.is_empty:
            return None
        corners = tuple((float(u), float(v)) for u, v in clipped.exterior.coords[:-1])
        shape = Shape(replace(body, outline=corners, holes=()))
        pieces.append(replace(part, name=f"{part.name} half {number}", shape=shape))
    return (pieces[0], pieces[1]) if lean > 0 else (pieces[1], pieces[0])
