"""Which cladding covers what of each wall: its edges, the corners, and what is left open."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import shapely
from shapely import LineString, box
from shapely import Polygon as Area
from shapely.geometry.base import BaseGeometry

from pikepole_model.geometry.outline import cut_out, grown
from pikepole_model.geometry.spacing import SHEET_GAP_MM, TOLERANCE_MM, overlap
from pikepole_model.plan.corners import ENDS, Corner, End, past
from pikepole_model.plan.faces import (
    PAST_MM,
    WallFace,
    clear_between_tails,
    clear_of_roofs,
    kept_bare,
)
from pikepole_model.plan.facings import claims, tables_on, thickest_mm, u_of, v_of
from pikepole_model.plan.heads import head_slots
from pikepole_model.plan.standing import standing_at
from pikepole_model.plan.wall_cover import tails_mm, tails_u
from pikepole_model.plan.windows_doors import batten_stops
from pikepole_model.scene.envelope import Battens, Boards
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.types import ROUND, AnyWall


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

    def face(self, name: AnyWall) -> WallFace:
        """The face of one wall."""
        return next(face for face in self.faces if face.plan.name == name)

    def tables(self, face: WallFace) -> list[Battens | Boards]:
        """The cladding on one wall, as the scene lists it."""
        return tables_on(self.scene, face)

    @cached_property
    def out_mm(self) -> float:
        """How far the thickest cladding stands out from the sheathing, mm."""
        return thickest_mm(self.scene, self.scene.cladding)

    @cached_property
    def corners(self) -> tuple[Corner, ...]:
        """Every stretch of the four corners at which some cladding ends."""
        regular = (
            corner
            for left, right in zip(ROUND, (*ROUND[1:], ROUND[0]), strict=True)
            for corner in self._corners(self.face(left), self.face(right))
        )
        return (*regular, *(corner for step in self._steps for corner in self._at_step(*step)))

    @cached_property
    def _steps(self) -> tuple[tuple[WallFace, End, WallFace], ...]:
        """Where a clerestory's strip ends over an end wall: its face, which end, and that wall."""
        return tuple(
            (face, end, self.face(name))
            for face in self.faces
            if face.foot_mm > 0
            for end, name in zip(ENDS, face.plan.beside, strict=True)
        )

    def _at_step(self, strip: WallFace, end: End, side: WallFace) -> Iterator[Corner]:
        u, other_end = _step_u(strip, side), ENDS[end == "left"]
        front = next(iter(self.tables(strip)), None)
        at = [t for t in self.tables(side) if u_of(t, side)[0] < u < u_of(t, side)[1]]
        for low, high in self._step_heights(strip, end, side):
            middle = (low + high) / 2
            beside = next((t for t in at if v_of(t, side)[0] < middle < v_of(t, side)[1]), None)
            if front or beside:
                yield Corner(strip, end, side, other_end, u, (low, high), front, beside)

    def _step_heights(self, strip: WallFace, end: End, side: WallFace) -> list[tuple[float, float]]:
        """From and to of what both cover there, over the lower roof, mm."""
        other_end, u = ENDS[end == "left"], _step_u(strip, side)
        inside = u + (1e-6 if other_end == "left" else -1e-6)
        heights = heights_at(self.wall(strip), strip, end)
        return _common(heights, _heights_over(self.wall(side), inside))

    def past_steps(self, face: WallFace) -> BaseGeometry:
        """What of a side wall's cladding runs out past its own framing at a clerestory, mm."""
        found: list[BaseGeometry] = []
        for strip, end, side in self._steps:
            if side is face:
                u = _step_u(strip, side)
                far = u + (-PAST_MM if end == "right" else PAST_MM)
                heights = self._step_heights(strip, end, side)
                found += [_upright_box(u, far, v) for v in heights]
        return shapely.union_all(found)

    @property
    def round(self) -> tuple[WallFace, ...]:
        """The walls in the order that wrap is unrolled round them, and then a clerestory's."""
        walls = tuple(map(self.face, ROUND)) if self.faces else ()
        return (*walls, *(face for face in self.faces if face not in walls))

    def before(self, face: WallFace) -> WallFace | None:
        """The wall whose wrap turns its end on to one."""
        name = face.plan.name
        return None if name == "clerestory" else self.face(ROUND[ROUND.index(name) - 1])

    def _corners(self, left: WallFace, right: WallFace) -> Iterator[Corner]:
        """The corner that is one wall's right end and the next one's left end."""
        second, first = (
            [t for t in self.tables(face) if _touches(t, face, end)]
            for face, end in zip((right, left), ENDS, strict=True)
        )
        heights = {
            h for face, ts in ((left, first), (right, second)) for t in ts for h in v_of(t, face)
        }
        heights |= {face.half_mm for face in (left, right) if face.half_mm is not None}
        for low, high in itertools.pairwise(sorted(heights)):
            here = [
                next((t for t in ts if _covers(t, face, (low + high) / 2)), None)
                for face, ts in ((left, first), (right, second))
            ]
            if here[0] is None and here[1] is None:
                continue
            if left.plan.runs_through:
                yield Corner(left, "right", right, "left", 0.0, (low, high), here[0], here[1])
            else:
                u = left.plan.length_mm
                yield Corner(right, "left", left, "right", u, (low, high), here[1], here[0])

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
        for k, name in enumerate(ENDS):
            if not _touches(table, face, name):
                continue
            inner[k] = (PAST_MM, face.plan.length_mm - PAST_MM)[k]
            for corner in self.corners:
                if face not in (corner.through, corner.side) or corner.end_of(face) != name:
                    continue
                if face is corner.side and corner.is_step:
                    continue
                if table is (corner.front if face is corner.through else corner.beside):
                    u = past(face, name, corner.reach_mm(face))
                    shapes.append(box(min(u, inner[k]), corner.v[0], max(u, inner[k]), corner.v[1]))
        shapes.append(box(inner[0], low, inner[1], high))
        for corner in self.corners:
            if face is corner.side and corner.is_step:
                u = [corner.past(face, out) for out in (PAST_MM, corner.reach_mm(face), -PAST_MM)]
                shapes = [shape.difference(_upright_box(u[0], u[2], corner.v)) for shape in shapes]
                shapes += [_upright_box(u[1], u[2], corner.v)] * (table is corner.beside)
        between = [
            box(u0 - SHEET_GAP_MM, v0, u1 + SHEET_GAP_MM, v1)
            for u0, v0, u1, v1 in (area.bounds for _, area in self.joints(face))
        ]
        covered = shapely.union_all(shapes).difference(shapely.union_all(between))
        return shapely.intersection(self.reached(face), covered)

    def _taken(self, face: WallFace) -> BaseGeometry:
        corners = [area for _, area in self.corner_boards(face)]
        return shapely.union_all([*corners, *(box(*rect) for rect in batten_stops(face.plan))])

    def corner_boards(self, face: WallFace) -> list[tuple[Corner, BaseGeometry]]:
        """The corner boards on one face: what each covers, mm."""
        found: list[tuple[Corner, BaseGeometry]] = []
        for corner in self.corners:
            if corner.boards and face in (corner.through, corner.side):
                u = sorted(corner.past(face, out) for out in corner.board_u(face))
                whole = box(u[0], corner.v[0], u[1], corner.v[1])
                reached = self.reached(face).union(self._over_half(face))
                for area in shapely.get_parts(shapely.intersection(whole, reached)):
                    found.append((corner, area))
        return found

    def joints(self, face: WallFace) -> list[tuple[str, BaseGeometry]]:
        """Where an upright board parts two claddings side by side: its stock, and its place, mm.

        From the lower foot to the top of both, whatever the roof and the openings leave of it: down
        there no strip of the one is left beside it. On the higher foot where that stands over some
        third cladding.

            |====|   |---------   boards stop at it, upright or level, as level ones stop at a
            |====| # |---------   corner board
        """
        places: dict[tuple[str, float], list[BaseGeometry]] = {}
        for left, right in itertools.permutations(self.tables(face), 2):
            u = right.from_left
            if abs(u_of(left, face)[1] - u) > TOLERANCE_MM or not (left.corner and right.corner):
                continue
            (low, high), (foot, top) = v_of(left, face), v_of(right, face)
            (foot, low), high = sorted((low, foot)), min(high, top)
            half = self.scene.lumber_stock(left.corner).depth_mm / 2
            if high - low > TOLERANCE_MM:
                under = box(u - half, foot, u + half, low)
                third = (t for t in self.tables(face) if t not in (left, right))
                if not any(claims(table, face).intersects(under) for table in third):
                    low = foot
                places.setdefault((left.corner, u), []).append(box(u - half, low, u + half, high))
        return [
            (stock, area)
            for (stock, _), boxes in places.items()
            for area in shapely.get_parts(shapely.union_all(boxes))
        ]

    def joint_boards(self, face: WallFace) -> list[tuple[str, BaseGeometry]]:
        """The boards there: stock, and what each covers between roof, casings and openings, mm."""
        stops = [*(box(*rect) for rect in batten_stops(face.plan)), *self.open(face)]
        found: list[tuple[str, BaseGeometry]] = []
        for stock, place in self.joints(face):
            whole = shapely.intersection(self.reached(face), place)
            holes = [grown(stop, whole.bounds) for stop in stops if stop.intersects(whole)]
            found += [
                (stock, Area(outline, [loop for loop in inner if isinstance(loop, tuple)]))
                for outline, inner in cut_out(whole, holes)
            ]
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
            between = box(0.0, low, face.plan.length_mm, high)
            walls[face.plan.name] = shapely.intersection(clear_of_roofs(face, self.out_mm), between)
        return walls

    def eaves(self, face: WallFace) -> tuple[BaseGeometry, ...]:
        """What of a wall is left between the tails over that, up to the plates' top, mm.

        From left to right; none over a soffit, which closes it, nor where nothing comes down.
        """
        plan, edges, wall = face.plan, self.scene.edges, self.wall(face)
        if wall.is_empty or not face.is_closed or math.isinf(tails_mm(plan)):
            return ()
        if edges and edges.soffit:
            return ()
        low, high = wall.bounds[3], min(plan.top(0.0), clear_between_tails(face, self.out_mm))
        ends = [0.0, *itertools.chain.from_iterable(tails_u(plan)), plan.length_mm]
        roof = kept_bare(face)
        rooms = (
            box(u0, low, u1, high).difference(roof)
            for u0, u1 in zip(ends[::2], ends[1::2], strict=True)
            if u1 - u0 > TOLERANCE_MM and high - low > TOLERANCE_MM
        )
        return tuple(room for room in rooms if not room.is_empty)

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
            for end, other_end, step in zip(ENDS, reversed(ENDS), (-1, 1), strict=True):
                other = self.face(ROUND[(k + step) % len(ROUND)])
                heights = heights_at(wall, face, end)
                if not face.plan.runs_through:
                    heights = _common(heights, self._heights(other, other_end, face))
                edge, far = past(face, end, 0.0), past(face, end, PAST_MM)
                pieces += [_upright_box(edge, far, v) for v in heights]
            reaches[name] = shapely.union_all([*pieces, self.past_steps(face)])
        for strip in self.faces:
            if strip.foot_mm > 0:
                pieces = [self.wall(strip)]
                for end in ENDS:
                    edge, far = past(strip, end, 0.0), past(strip, end, PAST_MM)
                    heights = heights_at(self.wall(strip), strip, end)
                    pieces += [_upright_box(edge, far, v) for v in heights]
                reaches[strip.plan.name] = shapely.union_all(pieces)
        return reaches

    def _heights(self, face: WallFace, end: End, beside: WallFace) -> list[tuple[float, float]]:
        """From and to of what corner boards may cover at one end of a wall, mm.

        A half wall's go on over it where the edges of a higher one beside it are to be closed.
        """
        heights, over = heights_at(self.wall(face), face, end), face.over_half(beside)
        if over is None:
            return heights
        return [*heights, *_common(heights_at(self._whole(face), face, end), [over])]

    def _whole(self, face: WallFace) -> BaseGeometry:
        """What cladding could cover of a half wall that went on up to the roof, mm."""
        return clear_of_roofs(replace(face, is_whole=True), self.out_mm)

    def _over_half(self, face: WallFace) -> BaseGeometry:
        """Where corner boards of a half wall may go on over it, mm."""
        if face.half_mm is None:
            return Area()
        k, over = ROUND.index(face.plan.name), (face.half_mm, math.inf)
        pieces: list[BaseGeometry] = []
        for end, other_end, step in zip(ENDS, reversed(ENDS), (-1, 1), strict=True):
            other = self.face(ROUND[(k + step) % len(ROUND)])
            heights = _common(self._heights(face, end, other), [over])
            if not face.plan.runs_through:
                heights = _common(heights, self._heights(other, other_end, face))
            inner, edge, outer = (past(face, end, out) for out in (-PAST_MM, 0.0, PAST_MM))
            for v in heights:
                pieces.append(_upright_box(inner, edge, v).intersection(self._whole(face)))
                pieces.append(_upright_box(edge, outer, v))
        return shapely.union_all(pieces)

    def open(self, face: WallFace) -> tuple[BaseGeometry, ...]:
        """What no cladding covers of one wall: openings, slots over heads, what stands there."""
        return (*self.bare(face), *head_slots(face))

    def bare(self, face: WallFace) -> tuple[BaseGeometry, ...]:
        """What no wrap covers of one wall: openings, what stands there."""
        rough = [box(f.u[0], f.sill, f.u[1], f.head) for f in face.openings]
        return (*rough, *self.standing(face))

    def standing(self, face: WallFace) -> Iterator[BaseGeometry]:
        """What was there before, as far as it stands in the way of wrap and cladding, mm."""
        plan = face.plan
        for one in standing_at(plan.datums, plan.place, f"{plan.group} wrap"):
            if overlap(one.n, (face.sheet_mm, face.sheet_mm + self.out_mm)):
                (u0, u1), (v0, v1) = one.u, one.v
                yield box(u0, max(v0, face.foot_mm - 1.0), u1, v1)


def heights_at(area: BaseGeometry, face: WallFace, end: End) -> list[tuple[float, float]]:
    """From and to of what an area covers just inside one end of the framing, mm.

    Args:
        area: In the face's (u, v), mm.
        face: The wall.
        end: Which end of it.
    """
    return _heights_over(area, past(face, end, -1e-6))


def _heights_over(area: BaseGeometry, u: float) -> list[tuple[float, float]]:
    if area.is_empty:  # of a strip too low for any
        return []
    _, low, _, high = area.bounds
    line = shapely.intersection(area, LineString([(u, low - 1.0), (u, high + 1.0)]))
    parts = [part.bounds for part in shapely.get_parts(line) if part.length > TOLERANCE_MM]
    return sorted((v0, v1) for _, v0, _, v1 in parts)


def _upright_box(u0: float, u1: float, v: tuple[float, float]) -> Area:
    return box(min(u0, u1), v[0], max(u0, u1), v[1])


def _step_u(strip: WallFace, side: WallFace) -> float:
    """Where on an end wall a clerestory's framing has its outer face, mm."""
    return side.plan.from_layout(strip.plan.place.origin[1])


def _covers(table: Battens | Boards, face: WallFace, v: float) -> bool:
    """Whether a table's cladding is on a wall at a height above the floor."""
    low, high = v_of(table, face)
    return low < v < (high if face.half_mm is None else min(high, face.half_mm))


def _touches(table: Battens | Boards, face: WallFace, end: End) -> bool:
    start, stop = u_of(table, face)
    return start <= TOLERANCE_MM if end == "left" else stop >= face.plan.length_mm - TOLERANCE_MM


def _common(
    some: list[tuple[float, float]], others: list[tuple[float, float]]
) -> list[tuple[float, float]]:
    pairs = ((max(a, c), min(b, d)) for a, b in some for c, d in others)
    return [(low, high) for low, high in pairs if high - low > TOLERANCE_MM]
