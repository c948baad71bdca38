"""Layouts as work at the saw: numbered cuts, the panels they make, and where each piece lies.

The sheet is panel 1. Every cut parts one panel, from edge to edge, into a first panel at its
near corner and, behind the blade, a second; both get the next numbers. Where less than half a mark
is left behind the blade there is no second panel: it is dust.

What is wider than its piece by less than half a mark is not cut at all: nobody sees it. What is
wider by less than the blade is shaved: no saw takes off part of its own width in a straight line,
so it is planed, or left where there is room, and the panel keeps its number.

    at_the_saw(...) -> SawWork
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Generic, Literal, TypeAlias, TypeVar

from pikepole_export.derive.cutting.rectangles import (
    Layout,
    Leaf,
    Rectangles,
    Sides,
    Split,
    cut_panel,
)

Piece = TypeVar("Piece")
Side: TypeAlias = Literal["width", "length"]

_SIDES: tuple[Side, Side] = ("width", "length")


@dataclass(frozen=True, slots=True)
class SawCut:
    """One cut through a panel.

    Attributes:
        number: When it is made, from 1.
        panel: Which panel it parts.
        divides: Which side of the panel it divides: the one along the sheet's width or its length.
        at_mm: How much of that side the first panel gets; the blade runs beyond it.
        first: Number of the first panel.
        second: Number of the second panel, or None where nothing is left.
    """

    number: int
    panel: int
    divides: Side
    at_mm: float
    first: int
    second: int | None


@dataclass(frozen=True, slots=True)
class Shaving:
    """What comes off the far edge of a panel, less than the blade is wide.

    Attributes:
        panel: Which panel, before it is cut further.
        divides: Which side of the panel it shortens, as for a cut.
        at_mm: How much of that side is left.
        off_mm: How much comes off.
    """

    panel: int
    divides: Side
    at_mm: float
    off_mm: float


@dataclass(frozen=True, slots=True)
class Placed(Generic[Piece]):
    """A piece on its sheet.

    Attributes:
        piece: Which.
        panel: The panel that it is.
        x_mm: Along the sheet's width, of its near corner.
        y_mm: Along the sheet's length.
        width_mm: Of the piece as it lies, along the sheet's width.
        length_mm: Along the sheet's length.
        turned: Whether its own width lies along the sheet's length.
    """

    piece: Piece
    panel: int
    x_mm: float
    y_mm: float
    width_mm: float
    length_mm: float
    turned: bool


@dataclass(frozen=True, slots=True)
class Offcut:
    """What is left of a sheet, in one panel; sides as for a placed piece."""

    panel: int
    x_mm: float
    y_mm: float
    width_mm: float
    length_mm: float


@dataclass(slots=True)
class SawWork(Generic[Piece]):
    """What is done to one sheet, in order."""

    cuts: list[SawCut] = field(default_factory=list[SawCut])
    placed: list[Placed[Piece]] = field(default_factory=list[Placed[Piece]])
    offcuts: list[Offcut] = field(default_factory=list[Offcut])
    shavings: list[Shaving] = field(default_factory=list[Shaving])


def at_the_saw(
    layout: Layout,
    rectangles: Rectangles,
    kerf: int,
    step_mm: float,
    take: Callable[[int], Piece],
    mark_mm: float = 0.0,
) -> SawWork[Piece]:
    """The cuts of a layout: a panel is cut up in full before the one behind it.

    Args:
        layout: Tidied.
        rectangles: Sides of the pieces and of the sheet, a kerf added.
        kerf: Steps.
        step_mm: What a step is, mm.
        take: Gives the next piece of a size.
        mark_mm: From mark to mark on the tape; 0 where nothing is too little to be cut.
    """
    work: SawWork[Piece] = SawWork()
    panels = 1
    unseen = mark_mm / 2 / step_mm

    def cut(panel: int, axis: int, at: int, sides: Sides, behind: Layout) -> tuple[int, int | None]:
        nonlocal panels
        first = panels + 1
        rest = sides[axis] - at - kerf
        second = first + 1 if behind or rest > unseen else None
        panels = second or first
        work.cuts.append(
            SawCut(
                number=len(work.cuts) + 1,
                panel=panel,
                divides=_SIDES[axis],
                at_mm=_mm(at - kerf, step_mm),
                first=first,
                second=second,
            )
        )
        return first, second

    def saw(layout: Layout, panel: int, corner: Sides, sides: Sides) -> None:
        width_mm, length_mm = (_mm(side - kerf, step_mm) for side in sides)
        x_mm, y_mm = (_mm(place, step_mm) for place in corner)
        if layout is None:
            work.offcuts.append(Offcut(panel, x_mm, y_mm, width_mm, length_mm))
            return
        if isinstance(layout, Split):
            axis, at, parts = layout.axis, layout.at, (layout.first, layout.second)
        else:
            needs = _needs(layout, rectangles)
            if sides == needs:
                work.placed.append(
                    Placed(take(layout.size), panel, x_mm, y_mm, width_mm, length_mm, layout.turned)
                )
                return
            # The shorter cut last: more of what is trimmed off stays in one panel.
            spare = sides[0] - needs[0], sides[1] - needs[1]
            axis = int(spare[1] * sides[0] > spare[0] * sides[1])
            at, parts = needs[axis], (layout, None)
        near_sides, far_sides = cut_panel(sides, axis, at)
        off = sides[axis] - at
        if not off or off < kerf or off < unseen:
            if off and off >= unseen:
                left_mm, off_mm = _mm(at - kerf, step_mm), _mm(off, step_mm)
                work.shavings.append(Shaving(panel, _SIDES[axis], left_mm, off_mm))
            saw(parts[0], panel, corner, near_sides)
            return
        first, second = cut(panel, axis, at, sides, parts[1])
        far = (corner[0] + at, corner[1]) if axis == 0 else (corner[0], corner[1] + at)
        saw(parts[0], first, corner, near_sides)
        if second:
            saw(parts[1], second, far, far_sides)

    saw(layout, 1, (0, 0), rectangles.sheet)
    return work


def _needs(leaf: Leaf, rectangles: Rectangles) -> Sides:
    """Sides of a piece as it lies."""
    width, length = rectangles.sides[leaf.size]
    return (length, width) if leaf.turned else (width, length)


def _mm(count: int, step_mm: float) -> float:
    return round(count * step_mm, 6)
