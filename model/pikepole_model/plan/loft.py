"""A loft: which joists carry it and on what, the opening in it, how far its sheets reach.

Its joists span from the front to the back. At a wall whose plates, or the beam on them, lie as high
as their undersides they lie on those, beside the rafters; at a higher one on a ledger on the studs.

        .'|                 ``--..
      .'  |  sheets                ``-|  the higher wall
    .'====|===========================|
    [-----|---------------------------]  joist
   plates |                         []|  ledger
          |                           |
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import shapely
from shapely import box
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.decks import has_edge_blocks
from pikepole_model.building.kinds import Kind
from pikepole_model.geometry.outline import ring
from pikepole_model.geometry.shape import Polygon
from pikepole_model.geometry.spacing import (
    LEAST_BLOCK_MM,
    LEAST_STICK_MM,
    SHEET_GAP_MM,
    TOLERANCE_MM,
    between,
    on_centre,
    overlap,
    row_joints,
)
from pikepole_model.plan.beside import Stretch, starts_beside
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.faces import area_under
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.scene.loft import Loft
from pikepole_model.scene.types import Eave
from pikepole_model.stock.metric import usual_mm
from pikepole_model.stock.rows import Lumber

# A header longer than this is doubled: 4 ft (IRC R502.10).
ONE_HEADER_UP_TO_MM = 1219.2

_HIGH_MM = 1e6  # over every roof

SPACING_MM = 406.4  # of joists on ledgers: 16 in, common practice, no source


@dataclass(frozen=True, slots=True)
class LoftJoist:
    """A joist, or what an opening leaves of one.

    Attributes:
        x: From and to along the building, mm.
        outline: Seen from the right end, in (y, z), mm.
    """

    x: Stretch
    outline: Polygon

    @property
    def y(self) -> Stretch:
        """From and to from front to back, mm."""
        along = [y for y, _ in self.outline]
        return (min(along), max(along))


@dataclass(frozen=True)
class LoftPlan:
    """The loft of one scene. Heights are above finished ground, mm."""

    roof: RoofPlan
    loft: Loft

    @property
    def datums(self) -> Datums:
        """What it is all measured from."""
        return self.roof.datums

    @cached_property
    def stock(self) -> Lumber:
        """What the joists are cut from."""
        return self.datums.scene.lumber_stock(self.loft.joist)

    @cached_property
    def low_mm(self) -> float:
        """Underside of the joists."""
        if self.loft.height is not None:
            return self.datums.floor_mm + self.loft.height
        return min(self._bearing_mm("front"), self._bearing_mm("back"))

    @property
    def joists_top_mm(self) -> float:
        """Top of the joists, where the sheets lie."""
        return self.low_mm + self.stock.depth_mm

    @cached_property
    def top_mm(self) -> float:
        """Top of its sheets."""
        sheet = self.datums.scene.sheet_stock(self.loft.sheet)
        return self.joists_top_mm + sheet.thickness_mm

    @property
    def lowest_mm(self) -> float:
        """Underside of its ledgers, or of its joists where none lies on one."""
        ledger = self.datums.scene.lumber_stock(self.loft.ledger).depth_mm
        return self.low_mm - (0.0 if self.ties_rafters else ledger)

    def _bearing_mm(self, wall: Eave) -> float:
        """Top of what the rafters sit on at a wall."""
        return self.roof.plate_top_mm(wall) + self.datums.beam_depth_mm

    def is_on_plates(self, wall: Eave) -> bool:
        """Whether the joists lie on a wall's plates, or on the beam on them; else on a ledger."""
        on_top = abs(self.low_mm - self._bearing_mm(wall)) <= TOLERANCE_MM
        return self.loft.height is None and on_top

    @property
    def is_beside_rafters(self) -> bool:
        """Whether the joists lie beside rafters, at one wall or at both."""
        return self.is_on_plates("front") or self.is_on_plates("back")

    @property
    def ties_rafters(self) -> bool:
        """Whether the joists hold the feet of both slopes' rafters together (IRC R802.5.2)."""
        return self.is_on_plates("front") and self.is_on_plates("back")

    @cached_property
    def x(self) -> Stretch:
        """From and to of its floor along the building, mm."""
        low, length = self.datums.wall_mm, self.datums.length_mm
        high, reach = length - low, self.loft.reach
        if reach is None:
            return (low, high)
        return (
            (low, min(reach, high)) if self.loft.end == "left" else (max(length - reach, low), high)
        )

    @property
    def span_y(self) -> Stretch:
        """From and to of the joists before the roof cuts their ends, mm."""
        wall, deep = self.datums.wall_mm, self.datums.depth_mm
        return (
            0.0 if self.is_on_plates("front") else wall,
            deep if self.is_on_plates("back") else deep - wall,
        )

    @cached_property
    def sheeted_y(self) -> Stretch:
        """From and to of the sheets, mm: clear of the walls and of the rafters; nothing: (y, y)."""
        under = self.under_rafters_y
        wall, deep = self.datums.wall_mm, self.datums.depth_mm
        return (
            max(wall, under[0]) + SHEET_GAP_MM,
            min(deep - wall, under[1]) - SHEET_GAP_MM,
        )

    @cached_property
    def under_rafters(self) -> BaseGeometry:
        """What is under the rafters, over all of the depth, in (y, z), mm."""
        line = self.roof.line_under(self.roof.slopes[0].rafter_mm)
        # Of a roof that does not go together the line may cross itself.
        return shapely.make_valid(area_under(line, 0.0))

    @cached_property
    def under_rafters_y(self) -> Stretch:
        """From and to of where the rafters pass over the top of the sheets, mm; nothing: (0, 0)."""
        level = shapely.LineString([(0.0, self.top_mm), (self.datums.depth_mm, self.top_mm)])
        y0, _, y1, _ = shapely.intersection(self.under_rafters, level).bounds
        return (0.0, 0.0) if math.isnan(y0) else (y0, y1)

    def clear_mm(self, y0: float, y1: float, wide: float) -> float:
        """Greatest height under the rafters, over the joists, of something between two Y, mm.

        Args:
            y0: From, mm.
            y1: To, mm.
            wide: How wide it is, mm.
        """
        room = self.under_rafters.intersection(box(y0, self.joists_top_mm, y1, _HIGH_MM))
        top = room.intersection(translate(room, wide)).bounds[3]
        return 0.0 if math.isnan(top) else top - self.joists_top_mm

    def under_beams_mm(self, y0: float, y1: float) -> float:
        """Height over the joists of the lowest beam over a stretch of Y, mm; inf without one."""
        lows = (one.low_mm for one in self.roof.level_members if overlap(one.span_y, (y0, y1)))
        return min(lows, default=math.inf) - self.joists_top_mm

    @cached_property
    def _rafters_x(self) -> list[Stretch]:
        """From and to of the rafters that the joists lie beside, mm along the building."""
        if not self.is_beside_rafters:
            return []
        half = self.roof.slopes[0].breadth_mm / 2
        return [(x - half, x + half) for x in self.roof.slopes[0].centres_mm]

    @cached_property
    def pairs(self) -> tuple[float, ...]:
        """Centres of the rafters, or pairs of them, that a joist belongs beside, mm."""
        line, (x0, x1) = self.roof.slopes[0].line, self.x
        half = line.breadth_mm / 2
        return tuple(
            (a + b) / 2
            for a, b in self._rafters_x
            if a >= x0 - TOLERANCE_MM
            and b <= x1 + TOLERANCE_MM
            and all(abs((a + b) / 2 - on) > half for on in line.on_walls)
        )

    @cached_property
    def _ends_x(self) -> tuple[float, float]:
        """Left faces of the first and last joist, mm: at the edges, or beside a rafter there."""
        (x0, x1), thick = self.x, self.stock.breadth_mm
        for a, b in self._rafters_x:
            x0 = b if overlap((a, b), (x0, x0 + thick)) else x0
        for a, b in reversed(self._rafters_x):
            x1 = a if overlap((a, b), (x1 - thick, x1)) else x1
        return (x0, x1 - thick)

    @cached_property
    def beside(self) -> dict[float, float | None]:
        """Left face of the joist beside each pair by its centre, mm; None: no room for one."""
        thick, half = self.stock.breadth_mm, self.roof.slopes[0].breadth_mm / 2
        ends = [(x, x + thick) for x in self._ends_x]
        held = {
            centre: end[0]
            for centre in self.pairs
            for end in ends
            if min(abs(end[0] - centre - half), abs(centre - half - end[1])) <= TOLERANCE_MM
        }
        others = [centre for centre in self.pairs if centre not in held]
        taken = [*self._rafters_x, *ends]
        return dict(sorted((held | starts_beside(others, half, thick, taken)).items()))

    @cached_property
    def starts_x(self) -> tuple[float, ...]:
        """Left faces of the joists that the floor would have without an opening, mm."""
        thick, (first, last) = self.stock.breadth_mm, self._ends_x
        if self.is_beside_rafters:
            between = [start for start in self.beside.values() if start is not None]
        else:
            spacing = self.loft.spacing or usual_mm(SPACING_MM, self.datums.scene.units)
            centres = on_centre(0.0, self.datums.length_mm, spacing, thick)
            between = [centre - thick / 2 for centre in centres]
        least, most = first + thick - TOLERANCE_MM, last - thick + TOLERANCE_MM
        return (first, *sorted(x for x in between if least <= x <= most), last)

    @cached_property
    def opening_x(self) -> Stretch:
        """From and to of the opening along the building, mm."""
        opening = self.loft.opening
        return (opening.x, opening.x + opening.width) if opening else (0.0, 0.0)

    @cached_property
    def opening_y(self) -> Stretch:
        """From and to of the opening from front to back, mm."""
        opening = self.loft.opening
        return (opening.y, opening.y + opening.depth) if opening else (0.0, 0.0)

    @cached_property
    def cut_x(self) -> tuple[float, ...]:
        """Left faces of the joists that the opening cuts, mm."""
        thick = self.stock.breadth_mm
        return tuple(x for x in self.starts_x if overlap((x, x + thick), self.opening_x))

    @cached_property
    def trimmers_x(self) -> Stretch:
        """Left faces of the whole joists on either side of the opening, mm."""
        thick, (a, b) = self.stock.breadth_mm, self.opening_x
        first, *_, last = whole = self.starts_x
        return (
            max((x for x in whole if x + thick <= a + TOLERANCE_MM), default=first),
            min((x for x in whole if x >= b - TOLERANCE_MM), default=last),
        )

    @cached_property
    def doubles_x(self) -> tuple[float | None, ...]:
        """Left faces of the second joists beside these, mm; None: no room.

        Only where the opening cuts a joist (IRC R502.10).
        """
        if not self.cut_x:
            return ()
        thick, (left, right) = self.stock.breadth_mm, self.trimmers_x
        return (
            self._double(left, (left + thick, left - thick)),
            self._double(right, (right - thick, right + thick)),
        )

    def _double(self, joist: float, sides: tuple[float, float]) -> float | None:
        """Left face of a second joist beside one, on the first of two sides that is free, mm."""
        thick = self.stock.breadth_mm
        taken = [*self._rafters_x, self.opening_x]
        taken += [(x, x + thick) for x in self.starts_x if x != joist]
        for x in sides:
            inside = self.x[0] - TOLERANCE_MM <= x and x + thick <= self.x[1] + TOLERANCE_MM
            if inside and not any(overlap((x, x + thick), one) for one in taken):
                return x
        return None

    @cached_property
    def headers_x(self) -> Stretch:
        """From and to of the headers, between the joists or their doubles, mm."""
        left, right = (
            [x, double] for x, double in itertools.zip_longest(self.trimmers_x, self.doubles_x)
        )
        thick = self.stock.breadth_mm
        return (
            max(x for x in left if x is not None) + thick,
            min(x for x in right if x is not None),
        )

    @property
    def header_plies(self) -> int:
        """How many lie before the opening, and behind it."""
        x0, x1 = self.headers_x
        return 2 if x1 - x0 > ONE_HEADER_UP_TO_MM + TOLERANCE_MM else 1

    @property
    def headed_y(self) -> Stretch:
        """The opening with its headers from front to back, mm."""
        thick, (y0, y1) = self.header_plies * self.stock.breadth_mm, self.opening_y
        return (y0 - thick, y1 + thick)

    @cached_property
    def joists_x(self) -> tuple[float, ...]:
        """Left faces of all joists, mm."""
        return tuple(sorted((*self.starts_x, *(x for x in self.doubles_x if x is not None))))

    @cached_property
    def joists(self) -> tuple[LoftJoist, ...]:
        """All joists and what the opening leaves of them, from left to right."""
        return tuple(joist for x in self.joists_x for joist in self._pieces(x))

    def _pieces(self, start: float) -> Iterator[LoftJoist]:
        (y0, y1), thick = self.span_y, self.stock.breadth_mm
        runs = [(y0, y1)]
        if start in self.cut_x:
            runs = [(y0, self.headed_y[0]), (self.headed_y[1], y1)]
        # Where lookouts pass over the end rafters, nothing stands higher than those.
        slope = self.roof.slopes[0]
        commons = [x for x in slope.centres_mm if not slope.is_end(x)]
        inside = commons and commons[0] < start < commons[-1]
        line = self.roof.line_under(0.0 if inside else slope.lookout_mm)
        room = area_under(line, 0.0)
        for a, b in runs:
            stick = box(a, self.low_mm, b, self.joists_top_mm)
            if b - a >= LEAST_STICK_MM:
                yield LoftJoist((start, start + thick), ring(room.intersection(stick)))

    @cached_property
    def blocks(self) -> tuple[tuple[Stretch, float], ...]:
        """From and to along the building, and front face, of each block on a ledger, mm.

        None where the rafters come down between the joists and hold them upright.
        """
        thick, (y0, y1) = self.stock.breadth_mm, self.span_y
        found: list[tuple[Stretch, float]] = []
        walls: tuple[tuple[Eave, float], ...] = (("front", y0), ("back", y1 - thick))
        for wall, front in walls:
            low = self.roof.lowest_rafter_mm(y0 if wall == "front" else y1)
            if self.is_on_plates(wall) or low < self.joists_top_mm - TOLERANCE_MM:
                continue
            for one, right in itertools.pairwise(self.joists_x):
                left = one + thick
                if right - left >= LEAST_STICK_MM:
                    found.append(((left, right), front))
        return tuple(found)

    @cached_property
    def sides_x(self) -> tuple[Stretch, ...]:
        """From and to of the blocks under the opening's sides where no joist is near, mm."""
        if not self.loft.opening:
            return ()
        thick, (x0, x1), (left, right) = self.stock.breadth_mm, self.opening_x, self.headers_x
        starts = ((x0 - thick, x0 - left), (x1, right - x1))
        return tuple(
            (start, start + thick) for start, room in starts if room >= thick - TOLERANCE_MM
        )

    @cached_property
    def edge_blocks(self) -> tuple[tuple[Stretch, float], ...]:
        """From and to, and front face, of each block under long edges of sheets that meet, mm."""
        scene, thick = self.datums.scene, self.stock.breadth_mm
        if not has_edge_blocks(scene, Kind.LOFT_SHEET):
            return ()
        wide = scene.sheet_stock(self.loft.sheet).width_mm
        return tuple(
            (x, joint - thick / 2)
            for joint in row_joints(*self.sheeted_y, wide)
            for x in self._between_joists((joint - thick / 2, joint + thick / 2))
        )

    def _between_joists(self, y: Stretch) -> Iterator[Stretch]:
        """From and to of the room for blocks between what frames the floor at some Y, mm."""
        stands = [joist.x for joist in self.joists if joist.y[0] <= y[0] and y[1] <= joist.y[1]]
        first, last = stands[0], stands[-1]
        if self.loft.opening and overlap(y, self.headed_y):
            is_beside = self.opening_y[0] <= y[0] and y[1] <= self.opening_y[1]
            stands += [self.opening_x, *self.sides_x] if is_beside else [self.headers_x]
        for x in between(first[1], last[0], stands):
            if x[1] - x[0] >= LEAST_BLOCK_MM:
                yield x


def loft_plan(roof: RoofPlan) -> LoftPlan | None:
    """The loft of a scene, if it has one; none on posts alone."""
    scene = roof.datums.scene
    return LoftPlan(roof, scene.loft) if scene.loft and not scene.posts else None
