"""Layouts as work at the saw: numbered cuts, the panels they make, and where each piece lies.

The sheet is panel 1. Every cut parts one panel, from edge to edge, into a first panel at its
near corner and, behind the blade, a second; both get the next numbers. Where less than half a mark
is left behind the blade there is no second panel: it is dust.

What is wider than its piece by less than half a mark is not cut at all: nobody sees it. What is
wider by no more than the blade is shaved: no saw takes off its own width along an edge, or less, in
a straight line; so it is planed, or left where there is room, and the panel keeps its number.

A panel whose pieces a later stage needs is not cut before that.

    at_the_saw(...) -> SawWork
    in_stages(layout, sides, pieces, stage_of) -> the same, what is needed first at the near corner
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush
from typing import Generic, Literal, TypeAlias, TypeVar

from pikepole_export.derive.cutting.rectangles import (
    Layout,
    Leaf,
    Rectangles,
    Sides,
    Split,
    cut_panel,
    leaves,
)

Piece = TypeVar("Piece")
Side: TypeAlias = Literal["width", "length"]

# A layout, the number of its panel, where that lies, its sides, and the pieces of the layout.
_Waiting: TypeAlias = tuple[Layout, int, Sides, Sides, Sequence[Piece]]
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
        stage: Number of the stage of the work that needs it.
    """

    number: int
    panel: int
    divides: Side
    at_mm: float
    first: int
    second: int | None
    stage: int = 0


@dataclass(frozen=True, slots=True)
class Shaving:
    """What comes off the far edge of a panel, no more than the blade is wide.

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
    pieces: Sequence[Piece],
    mark_mm: float = 0.0,
    stage_of: Callable[[Piece], int] = lambda _: 0,
) -> SawWork[Piece]:
    """The cuts of a layout, stage by stage: a panel is cut up in full before the one behind it.

    Args:
        layout: Tidied.
        rectangles: Sides of the pieces and of the sheet, a kerf added.
        kerf: Steps.
        step_mm: What a step is, mm.
        pieces: One for each leaf of the layout, in their order.
        mark_mm: From mark to mark on the tape; 0 where nothing is too little to be cut.
        stage_of: Number of the stage that needs a piece.
    """
    work: SawWork[Piece] = SawWork()
    panels, pushed = 1, 0
    unseen = mark_mm / 2 / step_mm
    # Of panels that wait, the one for the earliest stage, and of these the last one made.
    waiting: list[tuple[int, int, _Waiting[Piece]]] = []

    def wait(*panel: *_Waiting[Piece]) -> None:
        nonlocal pushed
        pushed -= 1
        heappush(waiting, (min(map(stage_of, panel[-1]), default=-1), pushed, panel))

    wait(layout, 1, (0, 0), rectangles.sheet, pieces)
    while waiting:
        stage, _, (layout, panel, corner, sides, some) = heappop(waiting)
        width_mm, length_mm = (_mm(side - kerf, step_mm) for side in sides)
        x_mm, y_mm = (_mm(place, step_mm) for place in corner)
        if layout is None:
            work.offcuts.append(Offcut(panel, x_mm, y_mm, width_mm, length_mm))
            continue
        if isinstance(layout, Split):
            axis, at, parts = layout.axis, layout.at, (layout.first, layout.second)
        else:
            needs = _needs(layout, rectangles)
            if sides == needs:
                (piece,) = some
                work.placed.append(
                    Placed(piece, panel, x_mm, y_mm, width_mm, length_mm, layout.turned)
                )
                continue
            # The shorter cut last: more of what is trimmed off stays in one panel.
            spare = sides[0] - needs[0], sides[1] - needs[1]
            axis = int(spare[1] * sides[0] > spare[0] * sides[1])
            at, parts = needs[axis], (layout, None)
        near_sides, far_sides = cut_panel(sides, axis, at)
        off = sides[axis] - at
        # What the tape cannot tell from the kerf, as a gap of 1/8 in from 3 mm, is no cut either.
        if off <= kerf + unseen:
            if off and off >= unseen:
                left_mm, off_mm = _mm(at - kerf, step_mm), _mm(off, step_mm)
                work.shavings.append(Shaving(panel, _SIDES[axis], left_mm, off_mm))
            wait(parts[0], panel, corner, near_sides, some)
            continue
        first = panels + 1
        second = first + 1 if parts[1] or off - kerf > unseen else None
        panels = second or first
        work.cuts.append(
            SawCut(
                number=len(work.cuts) + 1,
                panel=panel,
                divides=_SIDES[axis],
                at_mm=_mm(at - kerf, step_mm),
                first=first,
                second=second,
                stage=stage,
            )
        )
        many = sum(1 for _ in leaves(parts[0]))
        if second:
            far = (corner[0] + at, corner[1]) if axis == 0 else (corner[0], corner[1] + at)
            wait(parts[1], second, far, far_sides, some[many:])
        wait(parts[0], first, corner, near_sides, some[:many])
    return work


def in_stages(
    layout: Layout, sides: Sides, pieces: Sequence[Piece], stage_of: Callable[[Piece], int]
) -> tuple[Layout, list[Piece]]:
    """A layout whose parts lie in the order of the stages, so that later ones stay in one panel.

    Args:
        layout: Tidied.
        sides: Of its panel, a kerf added.
        pieces: One for each leaf of the layout, in their order.
        stage_of: Number of the stage that needs a piece.

    Returns:
        The layout, and its pieces in the order that they have then.
    """
    if not isinstance(layout, Split):
        return layout, [*pieces]
    axis, rest, waiting = layout.axis, layout, [*pieces]
    parts: list[tuple[int, Layout, list[Piece]]] = []
    left = sides[axis]
    while isinstance(rest, Split) and rest.axis == axis:
        many = sum(1 for _ in leaves(rest.first))
        near, _ = cut_panel(sides, axis, rest.at)
        parts.append((rest.at, *in_stages(rest.first, near, waiting[:many], stage_of)))
        left, rest, waiting = left - rest.at, rest.second, waiting[many:]
    if rest:
        near, _ = cut_panel(sides, axis, left)
        parts.append((left, *in_stages(rest, near, waiting, stage_of)))
    parts.sort(key=lambda part: min(map(stage_of, part[2])))
    made = parts[-1][1] if rest else Split(axis, parts[-1][0], parts[-1][1], None)
    for at, part, _ in reversed(parts[:-1]):
        made = Split(axis, at, part, made)
    return made, [piece for *_, some in parts for piece in some]


def _needs(leaf: Leaf, rectangles: Rectangles) -> Sides:
    """Sides of a piece as it lies."""
    width, length = rectangles.sides[leaf.size]
    return (length, width) if leaf.turned else (width, length)


def _mm(count: int, step_mm: float) -> float:
    return round(count * step_mm, 6)
