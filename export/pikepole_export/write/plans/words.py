"""What plans say of members: sizes and spacing read off the parts, slopes, heights."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Iterable

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
    """The usual distance from middle to middle of parallel sticks; None where there is none."""
    rows: dict[tuple[str, int], list[float]] = {}
    for part in parts:
        # Both level axes lie across a stud: its neighbours stand along one of them.
        for axis in (axis for axis in (0, 1) if abs(way_of(part)[axis]) < ACROSS):
            rows.setdefault((part.group, axis), []).append(part.centre_mm[axis])
    gaps: Counter[int] = Counter()
    for row in rows.values():
        places = sorted({round(at) for at in row})
        gaps.update(b - a for a, b in itertools.pairwise(places) if b - a > 100)
    if not gaps:
        return None
    gap, count = max(gaps.items(), key=lambda one: (one[1], one[0]))
    near = [other for other in gaps if abs(other - gap) <= 1]
    exact = sum(other * gaps[other] for other in near) / sum(gaps[other] for other in near)
    return exact if count >= _OFTEN else None


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
