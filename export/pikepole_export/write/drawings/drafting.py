"""Drawing to scale: views, dimension lines, running dimensions, the title block.

Dimension lines end in oblique strokes, their lettering stands over them and reads from below or
from the right; running dimensions start from a circle. Source: ISO 129-1:2018, 5.7.2 and 5.7.3
for the lettering, the rest of it from memory; scales of ISO 5455:1979, an inch to the foot (1:12),
and some between.
Lettering is put where it runs into no other and, if there is room, into no wood.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Geometry, LineString

from pikepole_export.graphics.lettering import spread
from pikepole_export.write.drawings.svg import DOWN, UP, Point, Sheet, Size, boxes_at, width_of
from pikepole_model.units import Units

SCALES = (1, 2, 3, 4, 5, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100, 200)

PAPER: dict[Units, Size] = {"imperial": (279.4, 215.9), "metric": (297.0, 210.0)}
PAPER_NAMES: dict[Units, str] = {"imperial": "letter", "metric": "A4"}
# Printers leave about this much white: common practice, no source.
MARGIN_MM = 10.0

TEXT_MM = 3.0
LEVEL_MM = 5.0  # from a dimension line to the next
GAP_MM = 1.2  # between what is drawn and an extension line, and round lettering
STROKE_MM = 1.1
ROOM_MM = 0.4  # left round lettering
_LEVELS = 9


@dataclass(frozen=True, slots=True)
class View:
    """Where a drawing in mm of the real thing comes on the sheet.

    Attributes:
        scale: How many times smaller it is drawn.
        origin: Where its (0, 0) is on the sheet, mm.
    """

    scale: float
    origin: Point

    def at(self, point: Point) -> Point:
        """A point of the real thing on the sheet; v runs up there and y down."""
        return (
            self.origin[0] + point[0] / self.scale,
            self.origin[1] - point[1] / self.scale,
        )

    def all(self, points: Iterable[Point]) -> list[Point]:
        """Several of them."""
        return [self.at(point) for point in points]


def scale_to_fit(size: Size, room: Size) -> int:
    """The largest scale at which something, mm, has room on the sheet, mm."""
    needed = max(size[0] / room[0], size[1] / room[1])
    return next((scale for scale in SCALES if scale >= needed), math.ceil(needed))


@dataclass
class Draft:
    """A sheet on which dimensions find their own place.

    Attributes:
        sheet: What is drawn on.
        within: The room it has, mm: left, top, right, bottom.
        wood: Lines that lettering keeps clear of where it can.
    """

    sheet: Sheet
    within: tuple[float, float, float, float]
    wood: list[LineString] = field(default_factory=list[LineString])

    def draw(self, view: View, outline: Sequence[Point], name: str = "") -> None:
        """A whole piece, and keep lettering off its edges.

        Args:
            view: How the piece falls on the sheet.
            outline: Its corners, mm.
            name: For programs that read the drawing.
        """
        points = view.all(outline)
        self.sheet.area(points, "piece", name)
        self.keep_off([*points, points[0]])

    def keep_off(self, points: Sequence[Point]) -> None:
        """Let later lettering keep clear of a line that is drawn."""
        self.wood.append(LineString(points))

    def dimension(
        self,
        a: Point,
        b: Point,
        away: Point,
        words: str,
        *,
        start_mm: float = LEVEL_MM,
        either_side: bool = False,
    ) -> None:
        """The distance from a to b, its line on the side of `away`, as near as there is room.

        Args:
            a: One end on the sheet, mm.
            b: The other.
            away: A direction on the sheet that leads to the side the line is on.
            words: The measure.
            start_mm: How far off it is at least.
            either_side: Whether it may as well be on the other side.
        """
        length = math.dist(a, b)
        along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
        side = 1.0 if along[0] * away[1] - along[1] * away[0] > 0 else -1.0
        normal = (-along[1] * side, along[0] * side)
        angle = _readable(math.degrees(math.atan2(along[1], along[0])))
        over = (math.sin(math.radians(angle)) * 0.9, -math.cos(math.radians(angle)) * 0.9)
        half, out = width_of(words, TEXT_MM) / 2, STROKE_MM + 0.8

        def on(offset: float, mid: float) -> Point:
            """A place along the dimension line, from a's end."""
            return (
                a[0] + along[0] * mid + normal[0] * offset,
                a[1] + along[1] * mid + normal[1] * offset,
            )

        def written(offset: float, mid: float) -> Point:
            x, y = on(offset, mid)
            return (x + over[0], y + over[1])

        def reach(offset: float, mid: float) -> list[Point]:
            """The line, on under its lettering where that stands beside it."""
            return [
                on(offset, min(-STROKE_MM, mid - half)),
                on(offset, max(length + STROKE_MM, mid + half)),
            ]

        def extensions(offset: float) -> list[list[Point]]:
            """From what is measured to a little over the dimension line, at either end."""
            return [_extension(a, on(offset, 0.0)), _extension(b, on(offset, length))]

        def cost(place: tuple[float, float]) -> float:
            lines = shapely.linestrings([reach(*place), *extensions(place[0])])
            struck = _count(lines, self.sheet.boxes).sum()
            (crossed,) = _count(lines[:1], self.wood)
            (in_the_way,) = self._in_the_way(words, [written(*place)], angle)
            return 50 * struck + crossed + in_the_way

        inside = 2 * half < length - 1
        middles = [length / 2] if inside else [length + out + half, -out - half]
        sides = (1, -1) if either_side else (1,)
        offsets = [start_mm + LEVEL_MM * k / 2 for k in range(2 * _LEVELS)]
        places = ((side * o, mid) for o in offsets for side in sides for mid in middles)
        best = _cheapest(places, cost)
        self._measure_line(reach(*best))
        for mid, extension in zip((0.0, length), extensions(best[0]), strict=True):
            self._measure_line(extension)
            self._stroke(on(best[0], mid), along)
        self.sheet.text(words, written(*best), TEXT_MM, anchor="middle", angle_deg=angle)

    def running(
        self,
        marks: Sequence[tuple[Point, str]],
        level: float,
        *,
        up: bool,
        start: float | None = None,
    ) -> None:
        """Running dimensions along a level edge, from a circle where they start.

        Args:
            marks: Where each is on the edge, on the sheet, and what it reads, from left to right.
            level: y of the dimension line, mm.
            up: Whether the lettering stands over it.
            start: x of where they start; None for the first mark.
        """
        way = -1 if up else 1
        needed = TEXT_MM * (UP + DOWN) + 0.4
        xs = spread([point[0] for point, _ in marks], needed, self.within[0], self.within[2])
        zero = marks[0][0][0] if start is None else start
        self._measure_line([(marks[0][0][0], level), (marks[-1][0][0], level)])
        self.sheet.circle((zero, level), 0.9)
        for (point, words), x in zip(marks, xs, strict=True):
            foot = (point[0], point[1] + way * GAP_MM)
            bend = (point[0], level + way * 1.5)
            top = (x, level + way * (1.5 if abs(x - point[0]) < 0.05 else 4.0))
            line = [foot, bend, top]
            self.sheet.line(line)
            self.keep_off(line)
            if point[0] != zero:
                self._stroke((point[0], level), (1.0, 0.0))
            at = (x + TEXT_MM * (UP - DOWN) / 2, top[1] + way * 0.8)
            self.sheet.text(words, at, TEXT_MM, anchor="start" if up else "end", angle_deg=-90)

    def note(self, words: str, places: Sequence[Point], *, bold: bool = False) -> Point:
        """Lettering round the place of these where it is least in the way; returns that.

        Args:
            words: One line.
            places: Middles to choose from, on the sheet, mm.
            bold: Whether it is.
        """
        best = places[int(np.argmin(self._in_the_way(words, places, 0.0)))]
        self.sheet.text(words, best, TEXT_MM, anchor="middle", bold=bold)
        return best

    def break_line(self, top: Point, bottom: Point) -> None:
        """Where a piece runs on: a narrow line with a zigzag."""
        x, (y0, y1) = top[0], (top[1] - 2.0, bottom[1] + 2.0)
        mid = (y0 + y1) / 2
        zigzag = [(x, mid - 1.6), (x - 1.4, mid - 0.6), (x + 1.4, mid + 0.6), (x, mid + 1.6)]
        self.sheet.line([(x, y0), *zigzag, (x, y1)])
        self.keep_off([(x, y0), *zigzag, (x, y1)])

    def is_crossed(self, boxes: Sequence[Geometry]) -> bool:
        """Whether a line that lettering keeps clear of runs through any of these, mm."""
        return bool(boxes and _count(np.array(boxes, dtype=object), self.wood).any())

    def _in_the_way(self, words: str, places: Sequence[Point], angle: float) -> NDArray[np.float64]:
        """How bad lettering would be at each place: over other, off the sheet, over wood or a line.

        Args:
            words: One line.
            places: Middles to choose from, on the sheet, mm.
            angle: Turned clockwise, deg.

        Returns:
            (n,) float, the less the better.
        """
        half, over, under = width_of(words, TEXT_MM) / 2, UP * TEXT_MM, DOWN * TEXT_MM
        boxes, roomy = (
            boxes_at(places, (-half - room, -over - room, half + room, under + room), angle)
            for room in (0.0, ROOM_MM)
        )
        struck = _count(roomy, self.sheet.boxes)
        off = ~shapely.contains(shapely.box(*self.within), boxes)
        return 1000.0 * struck + 100.0 * off + _count(roomy, self.wood)

    def _measure_line(self, points: Sequence[Point]) -> None:
        self.sheet.line(points)
        self.keep_off(points)

    def _stroke(self, at: Point, along: Point) -> None:
        cos = math.sqrt(0.5)
        dx = (along[0] * cos + along[1] * cos) * STROKE_MM
        dy = (along[1] * cos - along[0] * cos) * STROKE_MM
        self.sheet.line([(at[0] - dx, at[1] - dy), (at[0] + dx, at[1] + dy)], "wide")


def _cheapest(
    places: Iterable[tuple[float, float]], cost: Callable[[tuple[float, float]], float]
) -> tuple[float, float]:
    """The first of those that cost least; none that comes after one that costs nothing is tried."""
    costs: dict[tuple[float, float], float] = {}
    for place in places:
        costs[place] = cost(place)
        if not costs[place]:
            return place
    return min(costs, key=costs.__getitem__)


def _extension(foot: Point, end: Point) -> list[Point]:
    length = math.dist(foot, end)
    along = ((end[0] - foot[0]) / length, (end[1] - foot[1]) / length)
    return [
        (foot[0] + along[0] * GAP_MM, foot[1] + along[1] * GAP_MM),
        (end[0] + along[0] * GAP_MM, end[1] + along[1] * GAP_MM),
    ]


def _count(drawn: NDArray[np.object_], others: Sequence[Geometry]) -> NDArray[np.int_]:
    """How many of the others each of some geometries meets: (n,) int."""
    met = shapely.intersects(drawn[:, None], np.array(others, dtype=object)[None, :])
    return np.count_nonzero(met, axis=1)


def _readable(angle_deg: float) -> float:
    """Turned to be read from below or from the right."""
    while angle_deg > 89.99:
        angle_deg -= 180
    while angle_deg <= -90.01:
        angle_deg += 180
    return angle_deg
