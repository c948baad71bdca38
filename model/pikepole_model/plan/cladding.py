"""Which cladding covers what of each wall: its edges, the corners, and what is left open."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import shapely
from shapely import LineString, box
from shapely import Polygon as Area
from shapely.geometry.base import BaseGeometry

from pikepole_model.plan.corners import BEHIND_MM, Corner, End, facing_mm, past
from pikepole_model.plan.faces import CLEAR_OF_RAFTERS_MM, WallFace
from pikepole_model.plan.filling import cut_back
from pikepole_model.plan.roof_cover import LEG_MM
from pikepole_model.plan.wall_metal import head_slots
from pikepole_model.scene.cladding import Battens, Boards
from pikepole_model.scene.schema import Scene
from pikepole_model.spacing import CLOSE_MM, SHEET_GAP_MM
from pikepole_model.stock.rows import Sheet

# Siding ends this far over a roof that meets the wall: 2 in, common practice, no source.
OVER_ROOF_MM = 50.8

# The end of a wall's walk round the building: its right end meets the next wall's left end.
ROUND = ("front", "right", "back", "left")

# Further out past its corner than any cladding reaches, and further in than any corner board.
_PAST_MM = 300.0

# Higher than any wall.
_OVER_ALL_MM = 100_000.0


@dataclass(frozen=True)
class Patch:
    """One table's cladding on one wall.

    Attributes:
        face: The wall.
        table: What the scene says.
        area: What it covers in the face's (u, v), openings not taken out, mm.
        taken: What corner boards, casings and a sliding door's track leave no room for battens.
        open: What is left open, mm.
    """

    face: WallFace
    table: Battens | Boards
    area: BaseGeometry
    taken: BaseGeometry
    open: tuple[BaseGeometry, ...]

    @property
    def group(self) -> str:
        """What its pieces belong to."""
        return f"{self.face.plan.group} cladding"


@dataclass(frozen=True)
class CladdingPlan:
    """All cladding of a scene.

    Attributes:
        scene: The scene.
        faces: Its four walls.
    """

    scene: Scene
    faces: tuple[WallFace, ...]

    def face(self, name: str) -> WallFace:
        """The face of one wall."""
        return next(face for face in self.faces if face.plan.name == name)

    def tables(self, face: WallFace) -> list[Battens | Boards]:
        """The cladding on one wall, as the scene lists it."""
        return [table for table in self.scene.cladding if face.plan.name in table.walls]

    @cached_property
    def out_mm(self) -> float:
        """How far the thickest cladding stands out from the sheathing, mm."""
        return BEHIND_MM + max(
            (
                facing_mm(self.scene, table)
                + max(
                    self.scene.lumber_stock(stock).breadth_mm
                    for stock in (table.corner, getattr(table, "batten", table.corner), "1x2")
                    if stock
                )
                for table in self.scene.cladding
            ),
            default=0.0,
        )

    @cached_property
    def corners(self) -> tuple[Corner, ...]:
        """Every stretch of the four corners at which some cladding ends."""
        return tuple(
            corner
            for left, right in zip(ROUND, (*ROUND[1:], ROUND[0]), strict=True)
            for corner in self._corners(self.face(left), self.face(right))
        )

    def _corners(self, left: WallFace, right: WallFace) -> Iterator[Corner]:
        """The corner that is one wall's right end and the next one's left end."""
        first, second = (
            [t for t in self.tables(face) if _touches(t, face, end)]
            for face, end in ((left, "right"), (right, "left"))
        )
        heights = {
            h for face, ts in ((left, first), (right, second)) for t in ts for h in v_of(t, face)
        }
        for low, high in itertools.pairwise(sorted(heights)):
            here = [
                next(
                    (t for t in ts if v_of(t, face)[0] < (low + high) / 2 < v_of(t, face)[1]), None
                )
                for face, ts in ((left, first), (right, second))
            ]
            if here[0] is None and here[1] is None:
                continue
            if left.plan.runs_through:
                yield Corner(left, "right", right, "left", (low, high), here[0], here[1])
            else:
                yield Corner(right, "left", left, "right", (low, high), here[1], here[0])

    @cached_property
    def patches(self) -> tuple[Patch, ...]:
        """Every table's area on every wall it names."""
        return tuple(
            Patch(face, table, area, self._taken(face), self.open(face))
            for face in self.faces
            for table in self.tables(face)
            if not (area := self._covered(face, table)).is_empty
        )

    def _covered(self, face: WallFace, table: Battens | Boards) -> BaseGeometry:
        (low, high), (start, end) = v_of(table, face), u_of(table, face)
        inner = [start, end]
        shapes: list[BaseGeometry] = []
        for k, name in enumerate(("left", "right")):
            if not _touches(table, face, name):
                continue
            inner[k] = (_PAST_MM, face.plan.length_mm - _PAST_MM)[k]
            for corner in self.corners:
                if face not in (corner.through, corner.side) or corner.end_of(face) != name:
                    continue
                if table is (corner.front if face is corner.through else corner.beside):
                    u = past(face, name, corner.reach_mm(face))
                    shapes.append(box(min(u, inner[k]), corner.v[0], max(u, inner[k]), corner.v[1]))
        shapes.append(box(inner[0], low, inner[1], high))
        return shapely.intersection(self.reached(face), shapely.union_all(shapes))

    def _taken(self, face: WallFace) -> BaseGeometry:
        corners = [area for _, area in self.corner_boards(face)]
        return shapely.union_all([*corners, *(box(*rect) for rect in cut_back(face.plan))])

    def corner_boards(self, face: WallFace) -> list[tuple[Corner, BaseGeometry]]:
        """The corner boards on one face: what each covers, mm."""
        found: list[tuple[Corner, BaseGeometry]] = []
        for corner in self.corners:
            if corner.boards and face in (corner.through, corner.side):
                u = sorted(past(face, corner.end_of(face), out) for out in corner.board_u(face))
                whole = box(u[0], corner.v[0], u[1], corner.v[1])
                for area in shapely.get_parts(shapely.intersection(whole, self.reached(face))):
                    found.append((corner, area))
        return found

    def wall(self, face: WallFace) -> BaseGeometry:
        """What cladding may cover of one wall between the framing's corners, mm.

        Where rafters run out over a wall, they come down in front of it: what stands out from the
        sheathing ends lower than the sheathing.
        """
        return self._walls[face.plan.name]

    @cached_property
    def _walls(self) -> dict[str, BaseGeometry]:
        walls: dict[str, BaseGeometry] = {}
        for face in self.faces:
            _, low, _, high = face.area.bounds
            if face.plan.runs_through:
                high = min([high, *self._tails(face)])
            whole = shapely.intersection(face.area, box(0.0, low, face.plan.length_mm, high))
            if rake := self._rake(face):
                line = [(u, top - CLEAR_OF_RAFTERS_MM) for u, top in rake]
                ends = [(0.0, low), (face.plan.length_mm, low)]
                whole = whole.intersection(Area([*ends, *reversed(line)]))
            roof = lean_to(face, OVER_ROOF_MM, CLEAR_OF_RAFTERS_MM)
            walls[face.plan.name] = whole.difference(roof)
        return walls

    def _rake(self, face: WallFace) -> list[tuple[float, float]]:
        """The foot of what lies on the end rafters over an end wall, (u, height over the floor), mm.

        Only where the roof has no overhang there: barge boards, else the legs of the rake trims.
        """
        plan, edges = face.plan, self.scene.edges
        if plan.runs_through or self.scene.roof.rake_overhang or not edges:
            return []
        if edges.barge:
            return list(plan.top_line)
        if not edges.metal:
            return []
        line: list[tuple[float, float]] = []
        for u, _ in plan.top_line:
            y = plan.place.point(u, 0.0)[1]
            feet = [slope.below_mm(slope.h_of(y), LEG_MM) for slope in face.roof.slopes]
            line.append((u, min(feet) - plan.levels.floor_mm))
        return line

    def _tails(self, face: WallFace) -> Iterator[float]:
        """Heights above the floor under what comes down over a front or back wall's cladding."""
        floor = face.plan.levels.floor_mm
        edges, sheet_mm = self.scene.edges, face.sheet_mm
        soffit = edges.soffit if edges else None
        soffit_mm = self.scene.sheet_stock(soffit).thickness_mm if soffit else 0.0
        for slope in face.roof.slopes:
            for n in (0.0, self.out_mm):
                y = face.place.point(0.0, 0.0, n)[1]
                if slope.covers(y):
                    under = slope.underside_mm(slope.h_of(y)) - floor
                    yield under - soffit_mm / math.cos(slope.slope_rad) - CLEAR_OF_RAFTERS_MM
            for end in (slope.upper, slope.lower):
                # A short overhang brings the fascia down in front of the wall.
                h = slope.h_of(face.plan.place.origin[1])
                if (
                    edges
                    and edges.fascia
                    and end.edge_mm
                    and abs(end.h - h) < sheet_mm + self.out_mm
                ):
                    width = self.scene.lumber_stock(edges.fascia).depth_mm
                    foot = min(slope.below_mm(end.h + out, width) for out in (0.0, end.edge_mm))
                    yield foot - floor - CLEAR_OF_RAFTERS_MM

    def reached(self, face: WallFace) -> BaseGeometry:
        """What cladding may cover, out past the corners to where other cladding stops it, mm.

        Past its corner a wall's cladding reaches no higher than the front or back wall's: the
        rafters' tails, soffits and fascias start there.
        """
        return self._reaches[face.plan.name]

    @cached_property
    def _reaches(self) -> dict[str, BaseGeometry]:
        reaches: dict[str, BaseGeometry] = {}
        for k, name in enumerate(ROUND):
            face, wall = self.face(name), self.wall(self.face(name))
            pieces = [wall]
            for end, other, other_end in (
                ("left", self.face(ROUND[k - 1]), "right"),
                ("right", self.face(ROUND[(k + 1) % 4]), "left"),
            ):
                heights = heights_at(wall, face, end)
                if not face.plan.runs_through:
                    heights = _common(heights, heights_at(self.wall(other), other, other_end))
                edge, far = past(face, end, 0.0), past(face, end, _PAST_MM)
                pieces += [box(min(edge, far), v0, max(edge, far), v1) for v0, v1 in heights]
            reaches[name] = shapely.union_all(pieces)
        return reaches

    def open(self, face: WallFace) -> tuple[BaseGeometry, ...]:
        """What no cladding covers of one wall: openings, slots over heads, what stands there."""
        rough = [box(f.u[0], f.sill, f.u[1], f.head) for f in face.openings]
        return (*rough, *head_slots(face), *self._standing(face))

    def _standing(self, face: WallFace) -> Iterator[BaseGeometry]:
        """Posts that were there before, as far as they stand in the way."""
        for post in self.scene.existing:
            corners = [
                (x - face.place.origin[0], y - face.place.origin[1])
                for x in (post.x, post.x + post.width)
                for y in (post.y, post.y + post.depth)
            ]
            us = [dx * face.place.u[0] + dy * face.place.u[1] for dx, dy in corners]
            ns = [dx * face.place.n[0] + dy * face.place.n[1] for dx, dy in corners]
            if min(ns) < self.out_mm and max(ns) > 0.0:
                gap = SHEET_GAP_MM
                top = post.height - face.place.origin[2]
                yield box(min(us) - gap, face.foot_mm - 1.0, max(us) + gap, top + gap)


def strip_mm(sheet: Sheet, strips: int, kerf: float) -> float:
    """Width of each of some equal strips ripped from a sheet: less than its share, by the kerfs."""
    return (sheet.width_mm - (strips - 1) * kerf) / strips


def u_of(table: Battens | Boards, face: WallFace) -> tuple[float, float]:
    """From and to along the wall's framing, mm."""
    end = face.plan.length_mm
    return (table.from_left, min(end, table.from_left + table.width) if table.width else end)


def v_of(table: Battens | Boards, face: WallFace) -> tuple[float, float]:
    """From and to above the floor, mm; the upper end above any wall where the scene gives none."""
    levels = face.plan.levels
    low = max(face.foot_mm, table.above_ground - levels.floor_mm)
    if table.above is not None:
        low = max(low, table.above)
    return (low, _OVER_ALL_MM if table.below is None else table.below)


def heights_at(area: BaseGeometry, face: WallFace, end: End) -> list[tuple[float, float]]:
    """From and to of what an area covers just inside one end of the framing, mm."""
    u, (_, low, _, high) = past(face, end, -1e-6), area.bounds
    line = shapely.intersection(area, LineString([(u, low - 1.0), (u, high + 1.0)]))
    parts = [part.bounds for part in shapely.get_parts(line) if part.length > CLOSE_MM]
    return sorted((v0, v1) for _, v0, _, v1 in parts)


def lean_to(face: WallFace, over: float, under: float) -> BaseGeometry:
    """Where a lower roof hangs on this wall, mm.

    Args:
        face: The wall.
        over: What is added over the roof sheets, mm.
        under: What is added under the ledger, mm.
    """
    levels = face.plan.levels
    pieces: list[BaseGeometry] = []
    for slope in face.roof.ledger_slopes:
        if not slope.name.startswith(face.plan.name):
            continue
        bay = levels.bay_at(face.plan.name)
        assert bay
        low = slope.bearings[0].top_mm - levels.scene.lumber_stock(bay.ledger).depth_mm
        sheet = levels.scene.sheet_stock(levels.scene.roof.sheet).thickness_mm
        # Plumb over the slope, sheets and panels are thicker than square to it.
        top = slope.roof_mm(slope.upper.h) + 2 * sheet
        floor = levels.floor_mm
        pieces.append(
            box(-_PAST_MM, low - floor - under, face.plan.length_mm + _PAST_MM, top - floor + over)
        )
    return shapely.union_all(pieces)


def _touches(table: Battens | Boards, face: WallFace, end: End) -> bool:
    start, stop = u_of(table, face)
    return start <= CLOSE_MM if end == "left" else stop >= face.plan.length_mm - CLOSE_MM


def _common(
    some: list[tuple[float, float]], others: list[tuple[float, float]]
) -> list[tuple[float, float]]:
    pairs = ((max(a, c), min(b, d)) for a, b in some for c, d in others)
    return [(low, high) for low, high in pairs if high - low > CLOSE_MM]


def stretches(low: float, high: float, longest: float, gap: float) -> list[tuple[float, float]]:
    """An upright run cut into stock lengths from its foot up, a gap between them, mm."""
    runs: list[tuple[float, float]] = []
    while high - low > longest + CLOSE_MM:
        runs.append((low, low + longest))
        low += longest + gap
    return [*runs, (low, high)]
