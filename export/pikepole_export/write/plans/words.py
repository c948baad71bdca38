"""What plans say of members: sizes and spacing read off the parts, slopes, heights."""

from __future__ import annotations

import functools
import itertools
import math
from collections import Counter
from collections.abc import Iterable, Sequence

from pikepole_export.derive.inventory.described import box_words, round_words
from pikepole_export.derive.measures.projection import way_of
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part
from pikepole_model.units import Units, format_length

# Sticks that lie or stand side by side at a spacing.
SPACED = {
    Kind.STUD,
    Kind.JOIST,
    Kind.RAFTER,
    Kind.LOFT_JOIST,
    Kind.TIE,
    Kind.GIRT,
}
RAFTERS = (Kind.RAFTER, Kind.END_RAFTER)
ACROSS = 0.01  # the cosine of what lies across an axis
LEAST_MM = 100.0  # nearer than this they are plies of one
NEAR_MM = 5.0  # what is off by less is whole
LEAST_STUDS_MM = 250.0  # nobody sets studs nearer; 12 in and 300 mm are the nearest usual
_OFTEN = 2  # that a gap has to come to be a spacing


def member_words(parts: Iterable[Part], kind: Kind, units: Units) -> str:
    """A kind of member with its size and how it is spaced: "rafter 2x6 at 610 mm o.c.".

    Args:
        parts: All parts; those of the kind are taken.
        kind: Of the members.
        units: Lengths are given in.
    """
    own = [part for part in parts if part.kind is kind]
    stocks = " and ".join(dict.fromkeys(part.stock for part in own if part.stock not in kind.value))
    gap = spacing_mm(own) if kind in SPACED else None
    spaced = f" at {format_length(gap, units)} o.c." if gap else ""
    return (stocks if kind.value in stocks else f"{kind.value} {stocks}".strip()) + spaced


def block_words(parts: Iterable[Part], kind: Kind, units: Units) -> str:
    """What is cast or spread with all its sizes: "slab 6 m x 3 m x 100 mm high"."""
    own = [part for part in parts if part.kind is kind]
    rounded = dict.fromkeys(round_words(part, units) for part in own)
    return f"{kind.value} {' and '.join(filter(None, rounded)) or box_words(units, *own)}"


def spacing_mm(parts: Iterable[Part]) -> float | None:
    """The usual distance from middle to middle of parallel sticks; None where there is none.

    Of studs it is what they are all laid out by, whatever openings leave of them.
    """
    rows: dict[tuple[str, int, bool], list[float]] = {}
    for part in parts:
        # Both level axes lie across a stud: its neighbours stand along one of them.
        for axis in (axis for axis in (0, 1) if abs(way_of(part)[axis]) < ACROSS):
            ends = part.kind is Kind.STUD
            rows.setdefault((part.group, axis, ends), []).append(part.centre_mm[axis])
    gaps: Counter[int] = Counter()
    laid_out: list[float] = []
    for (_, _, ends), row in rows.items():
        places = sorted({round(at) for at in row})
        # Those at the ends of a wall stand where it ends.
        inner = places[1:-1] if ends else []
        laid_out += [b - a for a, b in itertools.pairwise(inner)]
        gaps.update(b - a for a, b in itertools.pairwise(places) if b - a > LEAST_MM)
    if len(laid_out) >= _OFTEN and (step := _common_mm(laid_out)):
        return step
    if not gaps:
        return None
    gap, count = max(gaps.items(), key=lambda one: (one[1], one[0]))
    near = [other for other in gaps if abs(other - gap) <= 1]
    exact = sum(other * gaps[other] for other in near) / sum(gaps[other] for other in near)
    return exact if count >= _OFTEN else None


def _common_mm(gaps: Sequence[float]) -> float | None:
    """The largest step that all gaps are whole numbers of; None where it is no stud spacing."""
    step = functools.reduce(_common, gaps)
    if step < LEAST_STUDS_MM:
        return None
    return sum(gaps) / sum(round(gap / step) for gap in gaps)


def _common(one: float, other: float) -> float:
    """Euclid's common measure of two lengths; what is off by little is whole."""
    rest = other % one
    return one if min(rest, one - rest) < NEAR_MM else _common(rest, one)


def slopes_of(parts: Iterable[Part]) -> list[tuple[Part, float]]:
    """One rafter of each slope of a roof, with its angle, deg, the steepest first."""
    found: dict[tuple[int, int], tuple[Part, float]] = {}
    for part in parts:
        if part.kind in RAFTERS:
            x, y, z = way_of(part)
            angle = math.degrees(math.atan2(abs(z), math.hypot(x, y)))
            rises = int(math.copysign(1, y * z))
            kept = found.get((round(angle), rises))
            if kept is None or part.bounds_mm[1][2] > kept[0].bounds_mm[1][2]:
                found[round(angle), rises] = part, angle
    return sorted(found.values(), key=lambda one: (-one[1], one[0].name))


def slope_words(angle_deg: float, units: Units) -> str:
    """A slope as builders read it: "3:12", or "14 deg"."""
    if units == "metric":
        return f"{angle_deg:.3g} deg"
    return f"{12 * math.tan(math.radians(angle_deg)):.3g}:12"


def roof_words(parts: Iterable[Part], units: Units) -> list[str]:
    """The slopes of a roof in a note; none without a roof of rafters."""

    def told(angle_deg: float) -> str:
        rise_mm = 1000 * math.tan(math.radians(angle_deg))
        more = f" ({rise_mm:.0f} mm/m)" if units == "metric" else ""
        return f"{slope_words(angle_deg, units)}{more}"

    slopes = dict.fromkeys(told(angle) for _, angle in slopes_of(parts))
    return [f"roof slope {', '.join(slopes)}"] if slopes else []


def height_words(name: str, height_mm: float, units: Units) -> str:
    """A height over finished ground with what it is of."""
    return f"{format_length(height_mm, units)} {name}"
