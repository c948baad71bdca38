"""How the marks of a layout are read, in words."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.units import Units, format_length

SAME_MM = 1.0  # heights nearer than this are one
NEAR_MM = 300.0  # plates that begin so near the end of the lowest one begin there


def higher(building: Building, own: Sequence[Part]) -> str:
    """Why a raked wall is a little higher than the one across: a shallower rafter lies on it."""
    parts, group = building.finished.parts, own[0].group
    across = {"left wall": "right wall", "right wall": "left wall"}.get(group)
    plates = [part for part in parts if part.kind is Kind.TOP_PLATE]
    tops = [
        max((part.bounds_mm[1][2] for part in plates if part.group == wall), default=0.0)
        for wall in (group, across)
    ]
    rafters = [
        {part.across_mm[1] for part in parts if part.kind is kind}
        for kind in (Kind.RAFTER, Kind.END_RAFTER)
    ]
    if min(tops) == 0.0 or not all(rafters) or min(rafters[1]) >= min(rafters[0]) - SAME_MM:
        return ""
    over = tops[0] - tops[1]
    if not SAME_MM < over < min(rafters[0]):
        return ""
    high = format_length(over, building.scene.units)
    return f" Its plates are {high} over the {across}'s: a shallower rafter lies on them."


def plates_begin(
    plates: Sequence[tuple[float, float, float, float]], zero_mm: float, units: Units
) -> str:
    """Where the top plates begin that do not begin over the end of the bottom one.

    Args:
        plates: Left, low, right and high of each length of them, mm.
        zero_mm: Where the bottom one begins.
        units: Of the tape.
    """
    first = sorted((low, left) for left, low, _, _ in plates if abs(left - zero_mm) < NEAR_MM)
    begin: dict[str, list[str]] = {}
    for name, (_, left) in zip(("lower", "upper"), first, strict=False):
        far_mm = left - zero_mm
        if abs(far_mm) > SAME_MM:
            way = "left" if far_mm < 0 else "right"
            words = f"{format_length(abs(far_mm), units)} further {way}"
            begin.setdefault(words, []).append(name)
    return "".join(
        f" Its top plates begin {words}."
        if len(names) == len(first) > 1
        else f" Its {names[0]} top plate begins {words}."
        for words, names in begin.items()
    )


def plates_run(
    plates: Sequence[tuple[str, float, float]], zero_mm: float, units: Units
) -> Iterator[str]:
    """From where to where the lengths of a wall's top plates run, where that is not plain.

    Args:
        plates: Of each length the row that it lies in, "lower top plate", its left and its right
            end, mm.
        zero_mm: Where the tape starts.
        units: Of the tape.
    """
    rows: dict[str, list[tuple[float, float]]] = {}
    for row, left, right in plates:
        rows.setdefault(row, []).append((left - zero_mm, right - zero_mm))
    for row, lengths in rows.items():
        if len(lengths) == 1 and abs(lengths[0][0]) < SAME_MM:
            continue
        ends = (
            f"{format_length(left, units)} to {format_length(right, units)}"
            for left, right in sorted(lengths)
        )
        yield f"{row} {', '.join(ends)}"


def studs_differ(
    studs: Sequence[tuple[float, float, float, float]], spacing_mm: float, units: Units
) -> str:
    """By how much studs get longer from one to the next, where that is the same along a wall.

    Args:
        studs: Left, low, right and high of each that stands on the bottom plate, mm.
        spacing_mm: From one to the next.
        units: Of the tape.
    """
    standing = sorted((left, high - low) for left, low, _, high in studs)
    steps = {
        format_length(abs(after - before), units)
        for (left, before), (right, after) in pairwise(standing)
        if abs(right - left - spacing_mm) < SAME_MM and abs(after - before) > SAME_MM
    }
    if len(steps) != 1:
        return ""
    apart = format_length(spacing_mm, units)
    return f" Studs {apart} apart differ by {steps.pop()}."


def from_where(
    told: tuple[bool, bool],
    drawn: Sequence[bool],
    *,
    middle: bool,
    slabs: bool,
    minus: bool,
) -> str:
    """How the marks of a plan are read.

    Args:
        told: Whether there are marks from the left end, and from the front.
        drawn: For each line that is drawn to start at, whether it is the left one.
        middle: Whether they are at the middle of each piece.
        slabs: Whether slabs lie beside each other, which are found from their edges.
        minus: Whether any lies before the line that it is measured from.
    """
    below, beside = told
    dashed = "of the walls' frame (dashed)"
    if len(drawn) > 1:
        start = f"the left and front faces {dashed}"
    else:
        left = f"the left face {dashed}" if True in drawn else "the left end"
        front = f"the front face {dashed}" if False in drawn else "the front"
        start = " and ".join([*([left] if below else []), *([front] if beside else [])])
    edge = "near edge" if below and beside else "left edge" if below else "front edge"
    return (
        f"From {start}, to the {'middle' if middle else edge} of each"
        f"{'; of a slab to its near edge' if middle and slabs else ''}"
        f"{'; minus is outwards' if minus else ''}."
    )


def diagonals(
    squares: Sequence[tuple[str, tuple[float, float, float, float]]], units: Units
) -> Iterator[tuple[str, str]]:
    """What is set square by its two diagonals, and these; nothing before them of one alone.

    Args:
        squares: Each with its name: left, low, right and high, mm.
        units: Of the tape.
    """
    for name, (left, low, right, high) in squares:
        read = format_length(math.hypot(right - left, high - low), units)
        yield f"{name}: " if len(squares) > 1 else "", f"both diagonals {read}"
