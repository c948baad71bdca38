"""What of a built-up beam can be lifted as one, and what carries it where two such lengths meet.

lengths_of(parts) -> list[list[Part]]           from end to end
splices_of(building, lengths) -> list[Splice]   one between every two of them

     x            x                     A beam is one piece where at every section a ply
+---------+----------------+            runs through: past the joints of the others by the
+-----------------+--------+            lap at least. Where all plies end at one place it
|<- length 1 ->|                        goes up in two lengths.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.placement import Vector

# So far a ply runs past the joint of another to carry it while it is lifted: 24 in, as joints of
# top plates are offset (IRC 2021 R602.3.2, from memory), taken for plies too.
LAP_MM = 609.6

# What an end lies on at least: 1-1/2 in on wood. Source: IRC 2021 R502.6 (from memory).
LEAST_BEARING_MM = 38.1

# Two cuts that differ by less are one; and what touches is no further apart.
SAME_MM = 1.0


@dataclass(frozen=True, slots=True)
class Splice:
    """Where two lengths of a beam meet.

    Attributes:
        at_mm: Middle of the underside there, building frame.
        on: Names of what both ends lie on; empty where nothing carries one of them.
        bearing_mm: What the end that has less of it lies on, along the beam.
    """

    at_mm: Vector
    on: tuple[str, ...]
    bearing_mm: float

    @property
    def needs_prop(self) -> bool:
        """Whether it has to be propped until both lengths are joined."""
        return not self.on or self.bearing_mm < LEAST_BEARING_MM - SAME_MM


def lengths_of(parts: Sequence[Part]) -> list[list[Part]]:
    """The pieces of one beam, sorted into what hangs together when it is lifted.

    Args:
        parts: Plies, and the strips between them, which carry nothing across a joint.
    """
    plies = _plies(parts)
    spans = {part.name: _span([part], plies[0]) for part in parts}
    runs = [spans[ply.name] for ply in plies]
    first, last = _span(plies, plies[0])
    cuts = sorted({high for _, high in runs if high < last - SAME_MM})
    apart = [
        cut
        for cut in cuts
        if not any(
            low <= max(cut - LAP_MM, first) + SAME_MM and high >= min(cut + LAP_MM, last) - SAME_MM
            for low, high in runs
        )
    ]
    found: dict[int, list[Part]] = {}
    for part in parts:
        middle = sum(spans[part.name]) / 2
        found.setdefault(sum(cut < middle for cut in apart), []).append(part)
    return [found[number] for number in sorted(found)]


def splices_of(building: Building, lengths: Sequence[Sequence[Part]]) -> list[Splice]:
    """Where one length after the other meets the next, and what they both lie on there.

    Args:
        building: Whose joints say what a ply lies on or is bolted to.
        lengths: Of one beam, from end to end.
    """
    by_name = {part.name: part for part in building.parts}
    return [_splice(building, by_name, one, other) for one, other in pairwise(lengths)]


def _splice(
    building: Building, by_name: dict[str, Part], one: Sequence[Part], other: Sequence[Part]
) -> Splice:
    way = _plies(one)[0]
    spans = [_span(_plies(length), way) for length in (one, other)]
    end = spans[0][1]
    low_mm = min(part.bounds_mm[0][2] for part in (*one, *other))
    one_on, other_on = (
        {
            name: _on_it(span, _span([by_name[name]], way), end)
            for name in sorted({mate for part in length for mate in building.mates[part.name]})
            if _carries(by_name[name], low_mm)
        }
        for length, span in zip((one, other), spans, strict=True)
    )
    on = tuple(name for name in one_on if min(one_on[name], other_on.get(name, 0.0)) > 0)
    least = min((min(one_on[name], other_on[name]) for name in on), default=0.0)
    axis = np.array(way.placement.u)
    middle = np.array(way.centre_mm)
    x, y, _ = (middle + axis * (end - float(middle @ axis))).tolist()
    return Splice((x, y, low_mm), on, least)


def _carries(part: Part, low_mm: float) -> bool:
    """Whether a beam lies on it, or is bolted to it where it stands beside it."""
    return part.kind is Kind.POST or abs(part.bounds_mm[1][2] - low_mm) < SAME_MM


def _on_it(span: tuple[float, float], under: tuple[float, float], end: float) -> float:
    """How much of a length lies on something: nothing where that is not under its end."""
    if not under[0] - SAME_MM <= end <= under[1] + SAME_MM:
        return 0.0
    return max(0.0, min(span[1], under[1]) - max(span[0], under[0]))


def _plies(parts: Sequence[Part]) -> list[Part]:
    return [part for part in parts if part.kind is not Kind.BEAM_SPACER]


def _span(parts: Sequence[Part], way: Part) -> tuple[float, float]:
    """Where pieces begin and end along the length of one, mm."""
    along = np.concatenate([part.vertices_mm for part in parts]) @ np.array(way.placement.u)
    return float(along.min()), float(along.max())
