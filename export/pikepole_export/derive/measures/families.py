"""Patterns that differ in nothing but how long the piece is between its ends.

families(patterns) -> one family after the other, in order of their first pattern
flat_families(pieces) -> likewise of flat pieces, that differ in nothing but where their marks are

Raked studs of one wall, battens or strips under a rake: they share a drawing, and their lengths a
table.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeAlias

from pikepole_export.derive.measures.outlines import Outline
from pikepole_export.derive.measures.templates import Template

# Patterns by the names that they go by.
Family: TypeAlias = dict[str, Template]
FlatFamily: TypeAlias = dict[str, Outline]

# Far under what is printed, far over what outlines are rounded to.
_SAME_MM, _SAME_DEG = 0.01, 0.01
# A table of fewer takes more of a page than their drawings.
_LEAST_FLAT = 5


def families(patterns: Iterable[tuple[str, Template]]) -> list[Family]:
    """Patterns by families; one whose shape is not told by its ends alone is its own.

    Args:
        patterns: Each after its name, in order.
    """
    found: list[Family] = []
    for name, template in patterns:
        own = next((one for one in found if _alike(next(iter(one.values())), template)), None)
        if own is None:
            found.append({name: template})
        else:
            own[name] = template
    return found


def _alike(one: Template, other: Template) -> bool:
    """Whether two pieces that are cut at their ends alone are alike but for their length."""
    return (
        _of(one) == _of(other)
        and _by_ends(one)
        and _by_ends(other)
        and all(
            far == other_far and abs(u - a) < _SAME_MM and abs(v - b) < _SAME_MM
            for (far, u, v), (other_far, a, b) in zip(_corners(one), _corners(other), strict=True)
        )
    )


def _of(template: Template) -> tuple[object, ...]:
    notched = any(one.notches for one in template.features)
    return (
        *(template.stock, template.material, template.section_mm, template.lies),
        *(template.sides.left, template.sides.right, len(template.outline)),
        # Which edge is the outer one is said where a notch is cut into it.
        template.sides if notched else None,
    )


def _by_ends(template: Template) -> bool:
    ends = all(one.place.endswith("end") for one in template.features)
    return ends and template.lies != "ripped"


def _corners(template: Template) -> list[tuple[bool, float, float]]:
    """Each corner: whether it is of the right end, how far from that end, how high, mm."""
    long = template.length_mm
    corners = [(u > long / 2, u - long * (u > long / 2), v) for u, v in template.outline]
    first = min(range(len(corners)), key=lambda k: (corners[k][0], round(corners[k][2]), k))
    return [*corners[first:], *corners[:first]]


def flat_families(pieces: Iterable[tuple[str, Outline]]) -> list[FlatFamily]:
    """Flat pieces by families; where few are alike each is its own.

    Args:
        pieces: Each after its name, in order.
    """
    found: dict[tuple[object, ...], FlatFamily] = {}
    for name, outline in pieces:
        found.setdefault(_flat_key(outline), {})[name] = outline
    return [
        family
        for own in found.values()
        for family in ([own] if len(own) >= _LEAST_FLAT else ({n: o} for n, o in own.items()))
    ]


def _flat_key(outline: Outline) -> tuple[object, ...]:
    """What is alike where two pieces look the same but for their marks."""
    xs, ys = outline.marks_mm
    loops = [[(xs.index(x), ys.index(y)) for x, y in loop] for loop in outline.loops]
    return (
        *(outline.kind, outline.stock, outline.material),
        *(outline.seen, outline.up, outline.along, outline.folds),
        tuple(tuple(_from_first(loop)) for loop in loops),
        tuple(sorted(round(cut.angle_deg / _SAME_DEG) for cut in outline.slopes)),
    )


def _from_first(loop: list[tuple[int, int]]) -> list[tuple[int, int]]:
    first = loop.index(min(loop))
    return [*loop[first:], *loop[:first]]
