"""The faces that the envelope is fixed to: the roof sheets' planes and the sheathed walls."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

import shapely
from shapely import Polygon as Area
from shapely import box
from shapely.geometry.base import BaseGeometry

from pikepole_model.geometry.placement import Placement, Vector
from pikepole_model.geometry.spacing import without
from pikepole_model.plan.cross_section import Meets
from pikepole_model.plan.drip_edge import LEG_MM
from pikepole_model.plan.framed import Framed
from pikepole_model.plan.roof import RoofPlan, lowest_mm
from pikepole_model.plan.roof_cover import RoofCover
from pikepole_model.plan.slope import Slope
from pikepole_model.plan.wall import WallPlan
from pikepole_model.plan.wall_cover import cover_foot_mm
from pikepole_model.scene.walls import BracedWall, SheetedWall

# Boards and sheets on a wall stop this far under the rafters or lookouts that pass over them.
CLEAR_OF_RAFTERS_MM = 3.0

# Siding ends this far over a roof that meets the wall: 2 in, common practice, no source.
OVER_ROOF_MM = 50.8

# Further out past its corner than any cladding reaches, and further in than any corner board.
PAST_MM = 300.0


def roof_plane(slope: Slope) -> Placement:
    """The plane the roof sheets lie on: u along X, v up the slope from their low edge, n out."""
    cos, sin = math.cos(slope.slope_rad), math.sin(slope.slope_rad)
    start, end = slope.sheeted_x
    up: Vector = (0.0, -slope.way * cos, sin)
    along: Vector = (-float(slope.way), 0.0, 0.0)
    h = slope.sheeted_h[1]
    return Placement((end if slope.way > 0 else start, slope.y_of(h), slope.roof_mm(h)), along, up)


def roof_u(slope: Slope, x: float) -> float:
    """An X in the roof plane's u, mm."""
    plane = roof_plane(slope)
    return (x - plane.origin[0]) * plane.u[0]


def roof_size(slope: Slope) -> tuple[float, float]:
    """Size of the sheeted plane along u and up v, mm."""
    (start, end), (high, low) = slope.sheeted_x, slope.sheeted_h
    return end - start, (low - high) / math.cos(slope.slope_rad)


@dataclass(frozen=True)
class WallFace:
    """One wall from outside, sheathed: what wrap and cladding cover.

    Attributes:
        plan: The wall.
        is_whole: Whether a half wall is looked at as if it were not open above.
    """

    plan: WallPlan
    is_whole: bool = False

    @property
    def roof(self) -> RoofPlan:
        """The roof over it."""
        return self.plan.roof

    @cached_property
    def sheet_mm(self) -> float:
        """Thickness of the sheathing, or of what covers the studs in its place."""
        return self.plan.datums.cover_mm(self.plan.name)

    @cached_property
    def place(self) -> Placement:
        """Its plane: u and v as in the wall's plan, n = 0 at the sheathing's outer face."""
        plan = self.plan
        return plan.place.at_depth(self.sheet_mm)

    @property
    def is_closed(self) -> bool:
        """Whether wrap and cladding go on it: not on slats, nor where nothing is."""
        return isinstance(self.plan.kind, SheetedWall | BracedWall)

    @property
    def foot_mm(self) -> float:
        """Bottom of the sheathing above the floor, mm; negative over a deck floor."""
        return cover_foot_mm(self.plan)

    @cached_property
    def corners_u(self) -> tuple[float, float]:
        """From and to along the wall, out to the sheathing of its neighbours, mm."""
        left, right = (self.plan.datums.cover_mm(wall) for wall in self.plan.beside)
        return (-left, self.plan.length_mm + right)

    def corners_at(self, v: float) -> tuple[float, float]:
        """The same at a height above the floor: a half wall beside it has no sheathing over it."""
        datums = self.plan.datums
        left, right = (datums.cover_at_mm(wall, datums.floor_mm + v) for wall in self.plan.beside)
        return (-left, self.plan.length_mm + right)

    @property
    def half_mm(self) -> float | None:
        """Top of a half wall above the floor, mm; None of any other."""
        part = self.plan.open_part
        return part.from_mm if part and part.from_mm else None

    def over_half(self, beside: WallFace) -> tuple[float, float] | None:
        """From and to over a half wall where another one that meets it goes on, mm; None nowhere.

        Args:
            beside: That wall.
        """
        top = math.inf if beside.half_mm is None else beside.half_mm
        return None if self.half_mm is None or top <= self.half_mm else (self.half_mm, top)

    def cover_mm(self, v: float, beside: WallFace) -> float:
        """Thickness of what covers the framing where another wall meets it, mm.

        Over a half wall there is nothing, where a higher one beside it rises past it.

        Args:
            v: At which height above the floor, mm.
            beside: That wall.
        """
        over = self.over_half(beside)
        return 0.0 if over and over[0] < v < over[1] else self.sheet_mm

    @property
    def u(self) -> tuple[float, float]:
        """From and to of what is covered along the wall, mm.

        A front or back wall takes the corners: its cladding covers the side walls' sheet edges.
        """
        return self.corners_u if self.plan.runs_through else (0.0, self.plan.length_mm)

    @cached_property
    def area(self) -> BaseGeometry:
        """What is covered, in (u, v), openings not taken out, mm.

        Up to the beam or the rafters' tails on a front or back wall; on an end wall up over the
        end rafter to the lookouts, or to the plates where the roof runs on; less the beams that
        come out through it. Bare studs are covered up to their plates.
        """
        plan, datums = self.plan, self.plan.datums
        top = [(u, v - CLEAR_OF_RAFTERS_MM) for u, v in self._top_line()]
        area: BaseGeometry = area_under(top, self.foot_mm)
        for u0, v0, u1, v1 in plan.through:
            area = area.difference(box(u0, v0, u1, v1 + datums.beam_depth_mm))
        return area

    def _top_line(self) -> list[tuple[float, float]]:
        plan, roof, datums = self.plan, self.plan.roof, self.plan.datums
        left, right = self.u
        if self.half_mm is not None and not self.is_whole:
            top = self.half_mm + CLEAR_OF_RAFTERS_MM
            return [(left, top), (right, top)]
        if plan.runs_through:
            y = self.place.origin[1]
            tails = lowest_mm(plan.slopes_over, y) - datums.floor_mm
            beam = datums.beam_depth_mm if self.sheet_mm else 0.0
            top = min(plan.top(0.0) + beam, tails)
            return [(left, top), (right, top)]
        if datums.bay_at(plan.name) or not self.sheet_mm:
            return list(plan.top_line)
        # Over the end rafter, whose outer face is the framing's.
        return plan.line_under(roof.slopes[0].lookout_mm)

    @property
    def ledger_slope(self) -> Slope | None:
        """The lower roof that hangs on this wall, if one does."""
        roof = self.roof
        met = (slope for slope in roof.all_slopes if slope.upper.meets == Meets.WALL)
        return next((s for s in met if roof.wall_under(s, s.upper) == self.plan.name), None)

    @property
    def ledger_mm(self) -> tuple[float, float]:
        """Underside and top above the floor of that roof's ledger, mm.

        A clerestory stands on what carries it, and covers none of that.
        """
        datums, slope, bay = (
            self.plan.datums,
            self.ledger_slope,
            self.plan.datums.bay_at(self.plan.name),
        )
        assert slope
        top = slope.bearings[0].top_mm - datums.floor_mm
        return top - (datums.scene.lumber_stock(bay.ledger).depth_mm if bay else 0.0), top

    @property
    def openings(self) -> tuple[Framed, ...]:
        """Its openings from left to right."""
        return self.plan.openings


def wall_faces(plans: tuple[WallPlan, ...]) -> tuple[WallFace, ...]:
    """The four sheathed walls: front, back, left, right."""
    return tuple(WallFace(plan) for plan in plans)


def clear_of_roofs(face: WallFace, out_mm: float) -> BaseGeometry:
    """Where something may stand out from a wall, in (u, v), mm.

    Not under what rafters, fascias and soffits bring down before it, nor where barge boards or
    rake trims lie on an end wall, nor where a lower roof meets it.

    Args:
        face: The wall.
        out_mm: How far it stands out from the sheathing.
    """
    area = face.area
    u0, low, u1, high = area.bounds
    if face.plan.runs_through:
        hangs = [cover.hangs_mm(*h) for cover, h in _over(face, out_mm)]
        high = min(high, _clear_mm(face, hangs))
        area = shapely.intersection(area, box(u0, low, u1, high))
    if rake := _rake(face):
        line = [(u, top - CLEAR_OF_RAFTERS_MM) for u, top in rake]
        area = area.intersection(area_under(line, low))
    return area.difference(kept_bare(face))


def clear_between_tails(face: WallFace, out_mm: float) -> float:
    """How high something may reach between the tails over a wall, above the floor, mm.

    Under what lies across their ends.

    Args:
        face: The wall.
        out_mm: How far it stands out from the sheathing.
    """
    return _clear_mm(face, [cover.ends_mm(*h) for cover, h in _over(face, out_mm)])


def _over(face: WallFace, out_mm: float) -> Iterator[tuple[RoofCover, tuple[float, float]]]:
    """The slopes over a wall, and from where to where down each what stands out from it is, mm."""
    ys = [face.place.point(0.0, 0.0, n)[1] for n in (0.0, out_mm)]
    for slope in face.plan.slopes_over:
        h0, h1 = sorted(map(slope.h_of, ys))
        yield RoofCover(face.roof, slope), (h0, h1)


def _clear_mm(face: WallFace, hangs: Iterable[float]) -> float:
    """The height above the floor that is clear of what hangs over a wall, above ground, mm."""
    return min(hangs, default=math.inf) - face.plan.datums.floor_mm - CLEAR_OF_RAFTERS_MM


def round_lean_to(face: WallFace, v: tuple[float, float]) -> list[tuple[float, float]]:
    """From and to of what a lower roof that meets a wall leaves of some of its height, mm.

    Args:
        face: The wall.
        v: From and to above the floor, mm.
    """
    bare = kept_bare(face)
    return [v] if bare.is_empty else without(v, [(bare.bounds[1], bare.bounds[3])])


def kept_bare(face: WallFace) -> BaseGeometry:
    """Where boards and sheets keep clear of a lower roof that meets a wall, mm."""
    return lean_to(face, OVER_ROOF_MM, CLEAR_OF_RAFTERS_MM)


def area_under(line: list[tuple[float, float]], foot: float) -> Area:
    """What lies under a line, from its one end to the other and down to a foot, mm.

    A steep roof can bring the line down past the foot, where no wall can be framed: what is under
    it then reaches lower, so that its outline never crosses itself.
    """
    low = min(foot, *(v - 1.0 for _, v in line))
    return Area([(line[0][0], low), (line[-1][0], low), *reversed(line)])


def _rake(face: WallFace) -> list[tuple[float, float]]:
    """The foot of what lies on the end rafters over an end wall, (u, height over the floor), mm.

    Only where the roof has no overhang there: barge boards, else the legs of the rake trims.
    """
    plan = face.plan
    edges, roof = plan.datums.scene.edges, plan.datums.scene.roof
    if plan.runs_through or roof.rake_overhang or not edges:
        return []
    if plan.datums.scene.barge:
        return list(plan.top_line)
    return plan.line_under(LEG_MM) if edges.metal else []


def bare_leg(face: WallFace) -> BaseGeometry:
    """Where the leg of a lower roof's flashing lies bare on this wall's sheets, mm."""
    scene = face.plan.datums.scene
    if not (scene.edges and scene.edges.metal) or scene.wrap or scene.cladding:
        return Area()
    return leg_up_wall(face)


def leg_up_wall(face: WallFace) -> Area:
    """Where the leg of a lower roof's flashing lies on this wall, and the wrap behind it, mm."""
    slope, floor = face.ledger_slope, face.plan.datums.floor_mm
    if not slope:
        return Area()
    low, high = (z - floor for z in RoofCover(face.roof, slope).up_wall)
    return box(-PAST_MM, low, face.plan.length_mm + PAST_MM, high)


def lean_to(face: WallFace, over: float, under: float) -> BaseGeometry:
    """Where a lower roof hangs on this wall, mm.

    Args:
        face: The wall.
        over: What is added over what covers it, mm.
        under: What is added under the ledger, mm.
    """
    slope, floor = face.ledger_slope, face.plan.datums.floor_mm
    if not slope:
        return Area()
    low, top = face.ledger_mm[0], RoofCover(face.roof, slope).up_wall[0] - floor
    return box(-PAST_MM, low - under, face.plan.length_mm + PAST_MM, top + over)
