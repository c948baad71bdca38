"""The four walls as drawn on the floor: where each upright stands and how high it reaches.

Every wall is seen from outside: u runs from its left corner to its right one, v up from the floor,
n outwards from the framing's outer face. Framing, sheathing and beams all read the plan, so that a
joint falls on a stud that is really there.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from pikepole_model.building.kinds import Kind
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.spacing import LEAST_STICK_MM, TOLERANCE_MM, on_centre, overlap
from pikepole_model.plan import standing
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.framed import (
    Framed,
    Pocket,
    Rake,
    Upright,
    apart,
    beside_posts,
    corner_studs,
    up_to_board,
    within,
)
from pikepole_model.plan.headers import WIDE_FROM_MM, usual_header
from pikepole_model.plan.open_wall import OpenPart, open_part
from pikepole_model.plan.roof import LevelMember, RoofPlan
from pikepole_model.plan.slope import Slope
from pikepole_model.plan.standing import Standing
from pikepole_model.scene.openings import NO_HEADER, Opening
from pikepole_model.scene.schema import RidgeBoard
from pikepole_model.scene.types import AnyWall, Wall, neighbours
from pikepole_model.scene.walls import WallKind

# Where less is left over a header than 3 in, nobody cuts cripple studs for it: it is packed solid
# up to the plates. Less than 1/4 in is left to shims. Common practice, no source.
LEAST_CRIPPLE_MM = 76.2
LEAST_PACKING_MM = 6.35


@dataclass(frozen=True)
class WallPlan:
    """One wall.

    Attributes:
        name: "front", "back", "left", "right" or "clerestory".
        roof: The roof it carries or rises to.
        place: Its frame: origin at the left corner on the floor, outer face of the framing.
        length_mm: Corner to corner over the framing.
        framed: Where its own framing starts and ends, mm along u: a side wall stands between the
            front and back walls.
        faces: The side of the building that it faces.
        slopes_over: The slopes that may reach over it.
        level_mm: Top of its plates above the floor; None where they rise to the end rafters.
        foot_mm: Underside of its bottom plate above the floor.
        joints_of: Finds where a wall's sheets meet, mm along u; None while it does.
    """

    name: AnyWall
    roof: RoofPlan
    place: Placement
    length_mm: float
    framed: tuple[float, float]
    faces: Wall
    slopes_over: tuple[Slope, ...]
    level_mm: float | None = None
    foot_mm: float = 0.0
    joints_of: Callable[[WallPlan], frozenset[float]] | None = None

    @cached_property
    def joints_u(self) -> frozenset[float] | None:
        """Where its sheets meet, mm along u; None while that is chosen."""
        return self.joints_of(replace(self, joints_of=None)) if self.joints_of else None

    @property
    def group(self) -> str:
        """What its pieces belong to."""
        return f"{self.name} wall"

    @property
    def beside(self) -> tuple[Wall, Wall]:
        """The walls at its left and its right end, seen from outside."""
        return neighbours(self.faces)

    @property
    def runs_through(self) -> bool:
        """Whether it takes the corners."""
        return self.framed[0] == 0.0

    @property
    def datums(self) -> Datums:
        """The heights it is built to."""
        return self.roof.datums

    @property
    def kind(self) -> WallKind:
        """What covers its studs, or stands in their place."""
        return self.datums.scene.walls.kind_of(self.name)

    @cached_property
    def open_part(self) -> OpenPart | None:
        """What is open of it, under a header on posts."""
        carries = self.carries_rafters
        gaps = (
            (left, left + opening.width)
            for opening in self.datums.scene.opening
            if opening.wall == self.name
            for left in opening.lefts_mm(self.length_mm)
        )
        return open_part(self.datums, self.name, self.framed, gaps, under_rafters=carries)

    @cached_property
    def top_line(self) -> tuple[tuple[float, float], ...]:
        """Top of its plates: (u, height above the floor) of each corner of the line, mm."""
        if self.level_mm is not None:
            return ((0.0, self.level_mm), (self.length_mm, self.level_mm))
        # A roof that ends over this wall rests on it with its end rafter; one that runs on over a
        # bay has a common rafter there.
        slope = self.roof.slopes[0]
        at_end = slope.lookout_mm + slope.end_rafter_mm
        under = slope.rafter_mm if self.datums.bay_at(self.name) else at_end
        line, ridge = self.line_under(under), self.roof.ridge
        if ridge and isinstance(self.datums.scene.roof.ridge, RidgeBoard):
            low, high = sorted(map(self.from_layout, ridge.span_y))
            return up_to_board(line, low, high)
        return tuple(line)

    @cached_property
    def rakes(self) -> tuple[Rake, ...]:
        """Its top line's straight lengths from left to right."""
        pairs = itertools.pairwise(self.top_line)  # where it steps up there is none
        return tuple(Rake(*ends) for ends in pairs if not ends[1][0] - ends[0][0] <= TOLERANCE_MM)

    def line_under(self, square: float) -> list[tuple[float, float]]:
        """A side wall's line some way under the rafters' tops, (u, height above the floor), mm.

        Args:
            square: How far under them, square to the slopes, mm.
        """
        line = self.roof.line_under(square)
        line = [(self.from_layout(y), z - self.datums.floor_mm) for y, z in line]
        return line if line[0][0] < line[-1][0] else line[::-1]

    def rake_at(self, u: float) -> Rake:
        """The straight length of its top line over u."""
        return next((rake for rake in self.rakes if u <= rake.end[0]), self.rakes[-1])

    def top(self, u: float) -> float:
        """Top of its plates above the floor at u, mm."""
        return self.rake_at(u).at(u)

    def stud_head(self, u: float) -> float:
        """Underside of its plates above the floor at u, mm."""
        return self._head(self.rake_at(u), u)

    def _head(self, rake: Rake, u: float) -> float:
        return rake.at(u) - 2 * rake.plumb(self.datums.breadth_mm)

    def head_line(self, u0: float, u1: float, under_mm: float = 0.0) -> list[tuple[float, float]]:
        """The underside of its plates over a stretch: (u, height above the floor), mm.

        Where plates of unequal slopes meet, the steeper reach lower.

        Args:
            u0: From, mm.
            u1: To, mm.
            under_mm: How far under them, square to them.
        """
        line: list[tuple[float, float]] = []
        for rake in self.rakes:
            # The outer ones are drawn on past the wall.
            ends = (
                u0 if rake is self.rakes[0] else max(u0, rake.start[0]),
                u1 if rake is self.rakes[-1] else min(u1, rake.end[0]),
            )
            if ends[1] - ends[0] <= TOLERANCE_MM:
                continue
            for u in ends:
                point = (u, self._head(rake, u) - rake.plumb(under_mm))
                if not line or math.dist(line[-1], point) > TOLERANCE_MM:
                    line.append(point)
        return line

    @cached_property
    def pockets(self) -> tuple[Pocket, ...]:
        """Where what runs level under the roof comes through this wall, from left to right."""
        if self.runs_through:
            return ()
        found = [self._pocket(one) for one in self.roof.level_members]
        return tuple(sorted(found, key=lambda pocket: pocket.u))

    def _pocket(self, member: LevelMember) -> Pocket:
        breadth, floor = self.datums.breadth_mm, self.datums.floor_mm
        u0, u1 = sorted(self.from_layout(y) for y in member.span_y)
        count = max(1, math.floor((u1 - u0 + TOLERANCE_MM) / breadth))
        start = (u0 + u1 - count * breadth) / 2
        post = tuple((start + k * breadth, start + (k + 1) * breadth) for k in range(count))
        # The plates may peak a little over a beam that the rafters are notched on.
        peaks = [v for u, v in self.top_line if u0 < u < u1]
        top = max([member.up_to_mm - floor, *peaks])
        return Pocket(member.name, (u0, u1), member.low_mm - floor, top, post)

    def lowest_head(self, u0: float, u1: float) -> float:
        """The lower of the plates' undersides at two places, mm above the floor."""
        return min(self.stud_head(u0), self.stud_head(u1))

    @cached_property
    def through(self) -> tuple[tuple[float, float, float, float], ...]:
        """Where beams run out through this wall over a bay: (u0, v0, u1, v1), mm."""
        datums = self.datums
        if not datums.bay_at(self.name) or self.runs_through:
            return ()
        beams: list[tuple[float, float, float, float]] = []
        if datums.beam:
            width = datums.bearing_mm
            for u0, u1 in ((0.0, width), (self.length_mm - width, self.length_mm)):
                y = self.place.point(u0, 0.0)[1]
                seat = self.roof.plate_top_near_mm(y) - datums.floor_mm
                beams.append((u0, seat, u1, seat + datums.beam_depth_mm))
        beams += [(p.u[0], p.seat, p.u[1], p.top) for p in self.pockets]
        return tuple(beams)

    @property
    def _posts(self) -> list[tuple[float, float]]:
        """From and to of each stud of the posts under what runs level, mm along u."""
        return [u for pocket in self.pockets for u in pocket.post]

    def from_layout(self, mark: float) -> float:
        """A distance from where the tape hooks on as u, or a u as that distance, mm.

        Studs and sheets are measured from the store's left end and from its front, as joists and
        rafters are, so that all stand over one another. Seen from outside, that is the right corner
        of the back and the left wall.
        """
        return self.length_mm - mark if sum(self.place.u) < 0 else mark

    @cached_property
    def parted_by(self) -> tuple[Standing, ...]:
        """What is there already in its studs, from left to right: it is framed round that."""
        top = max(height for _, height in self.top_line)
        v = (self.foot_mm, top)
        return standing.standing_in(self.datums, self.place, self.group, self.framed, v)

    @cached_property
    def lengths(self) -> tuple[tuple[float, float], ...]:
        """From and to of each length that is framed by itself, between what is there, mm."""
        return standing.lengths_between(self.framed, self.parted_by)

    @cached_property
    def layout(self) -> tuple[tuple[float, float], ...]:
        """From and to of the studs on centre between the end studs, before openings, mm along u.

        And of one between two beams that come through the wall with none between them, which would
        leave nothing under the plates there; and of one under the upper plates beside a clerestory.
        """
        breadth = self.datums.breadth_mm
        spacing = self.datums.scene.walls.spacing
        centres = sorted(
            self.from_layout(mark) for mark in on_centre(0.0, self.length_mm, spacing, breadth)
        )
        studs = [
            (centre - breadth / 2, centre + breadth / 2)
            for centre in centres
            if any(
                centre - start >= breadth * 1.5 - TOLERANCE_MM
                and end - centre >= breadth * 1.5 - TOLERANCE_MM
                for start, end in self.lengths
            )
        ]
        for one, other in itertools.pairwise(self.pockets):
            gap = (one.taken_u[1], other.taken_u[0])
            if gap[1] - gap[0] >= breadth and not any(within(stud, gap) for stud in studs):
                middle = sum(gap) / 2
                studs.append((middle - breadth / 2, middle + breadth / 2))
        if self.roof.strip_beam:
            studs = beside_posts(studs, self.pockets, self.top, breadth)
        return tuple(sorted(studs))

    @cached_property
    def corner_u(self) -> tuple[tuple[float, float], ...]:
        """From and to of the corner studs of a wall that runs through, mm along u."""
        if not self.runs_through or self.open_part:
            return ()
        size = (self.datums.breadth_mm, self.datums.wall_mm)
        return corner_studs(self.layout, self.lengths, self.length_mm, *size)

    @cached_property
    def clear_u(self) -> tuple[float, float]:
        """Where openings with their kings may stand: between the corner studs, mm along u."""
        if self.corner_u:
            left, right = self.corner_u
            return (left[1], right[0])
        breadth = self.datums.breadth_mm
        return (self.lengths[0][0] + breadth, self.lengths[-1][1] - breadth)

    @cached_property
    def openings(self) -> tuple[Framed, ...]:
        """Its openings from left to right."""
        framed = [
            one
            for table, opening in enumerate(self.datums.scene.opening)
            if opening.wall == self.name
            for one in self._framed(table, opening)
        ]
        return tuple(sorted(framed, key=lambda framed: framed.u))

    def _framed(self, table: int, opening: Opening) -> Iterator[Framed]:
        scene, breadth = self.datums.scene, self.datums.breadth_mm
        lefts, width = opening.lefts_mm(self.length_mm), opening.width
        name = opening.header or usual_header(
            self.datums, width, under_rafters=self.carries_rafters
        )
        header = None if name == NO_HEADER else name
        jacks = opening.jacks or (2 if width > WIDE_FROM_MM else 1)
        for one, left in zip(opening.row(), lefts, strict=True):
            if self.open_part:
                gate = one.model_copy(update={"kings": 0})
                yield Framed(gate, table, left, (left, left + width), 0.0, 0, None, 0.0, breadth)
                continue
            under, gap = (left, left + width), 0.0
            if opening.one_header:
                under, gap = (lefts[0], lefts[-1] + width), opening.step_mm - width
            if header:
                over = (jacks, header, scene.lumber_stock(header).depth_mm)
            else:
                head = (opening.sill or 0.0) + opening.height
                at_plates = abs(head - self.lowest_head(*under)) <= TOLERANCE_MM
                over = (0, None, 0.0 if at_plates else breadth)
            yield Framed(one, table, left, under, gap, *over, breadth)

    @property
    def carries_rafters(self) -> bool:
        """Whether its headers carry the roof: rafters lie on its plates."""
        return self.runs_through and self.datums.beam is None

    @cached_property
    def uprights(self) -> tuple[Upright, ...]:
        """Every standing member, from left to right."""
        stand = self._stand()
        if self.open_part:
            stand = self.open_part.uprights(self.group, self.layout, self.datums)
        return tuple(sorted(stand, key=lambda upright: (upright.u, upright.v[0])))

    @property
    def plate_runs(self) -> list[tuple[float, float]]:
        """From and to of its bottom plates: not across doorways, nor an open side, mm along u."""
        if self.open_part:
            return self.open_part.between if self.open_part.from_mm else []
        doors = [framed.u for framed in self.openings if framed.opening.kind == "door"]
        return standing.plates_between(self.framed, self.parted_by, doors, self.datums.breadth_mm)

    def full_height_centres(self) -> list[float]:
        """Middles of the studs, kings and posts that carry the plates, mm along u."""
        bearing = (Kind.STUD, Kind.KING, Kind.WALL_POST)
        return [
            upright.centre
            for upright in self.uprights
            if upright.kind in bearing and upright.v[1] is None
        ]

    def marks_over(self, framed: Framed) -> list[tuple[float, float]]:
        """From and to of what the layout has over a header, or of its middle, mm along u."""
        taken = [pocket.taken_u for pocket in self.pockets]
        over = [u for u in self._apart(framed.header_u) if not any(overlap(u, t) for t in taken)]
        if over or any(within(post, framed.header_u) for post in self._posts):
            return over
        middle, half = sum(framed.header_u) / 2, self.datums.breadth_mm / 2
        return [(middle - half, middle + half)]

    def _apart(self, span: tuple[float, float]) -> list[tuple[float, float]]:
        return apart(self.layout, span, self.joints_u, self.datums.breadth_mm)

    def cripple_over(self, framed: Framed, u: tuple[float, float]) -> bool:
        """Whether the gap over a header is high enough to cut a cripple for."""
        return self.lowest_head(*u) - framed.header_top >= LEAST_STICK_MM

    def marks_under(self, framed: Framed) -> list[tuple[float, float]]:
        """From and to of the cripples under a sill, mm along u: none for a gap too low."""
        breadth, (left, right) = self.datums.breadth_mm, framed.u
        if framed.sill - self.foot_mm - 2 * breadth < LEAST_STICK_MM:
            return []
        inner = (left + breadth, right - breadth)
        return [(left, inner[0]), (inner[1], right), *self._apart(inner)]

    def is_packed(self, framed: Framed) -> bool:
        """Whether what is over an opening is packed out solid up to the plates."""
        if any(overlap(framed.header_u, post) for post in self._posts):
            return False
        rooms = [height - framed.header_top for _, height in self.head_line(*framed.header_u)]
        return min(rooms) >= LEAST_PACKING_MM and max(rooms) < LEAST_CRIPPLE_MM - TOLERANCE_MM

    def _stand(self) -> Iterator[Upright]:
        breadth, across = self.datums.breadth_mm, (-self.datums.wall_mm, 0.0)
        foot = self.foot_mm + breadth
        plates = standing.plates_between(self.framed, self.parted_by, (), breadth)
        for u in standing.end_studs(self.lengths, breadth):
            on_plate = any(overlap(u, plate) for plate in plates)
            low, stock = (foot, None) if on_plate else (self.foot_mm, self.datums.scene.walls.stud)
            yield Upright(Kind.STUD, f"{self.group} stud", u, (low, None), across, stock)
        for u in self.corner_u:
            if u[0] < u[1]:
                inner = (across[0], across[0] + breadth)
                label = f"{self.group} corner stud"
                yield Upright(Kind.CORNER_STUD, label, u, (foot, None), inner)
        taken = [framed.outer_u for framed in self.openings]
        taken += [pocket.taken_u for pocket in self.pockets]
        for pocket, u in ((one, u) for one in self.pockets for u in one.post):
            on_header = [f for f in self.openings if within(u, f.header_u)]
            stands_on = on_header[0].header_top if on_header else foot
            label = f"{self.group} {pocket.name} post stud"
            # A ridge board may lie above the plates; the stud under it then reaches those.
            top = None
            if pocket.seat < max(head for _, head in self.head_line(*u)):
                top = min(pocket.seat, self.lowest_head(*u))
            yield Upright(Kind.POST_STUD, label, u, (stands_on, top), across)
        for u in self.layout:
            if all(
                u[1] <= from_u + TOLERANCE_MM or u[0] >= to_u - TOLERANCE_MM
                for from_u, to_u in taken
            ):
                yield Upright(Kind.STUD, f"{self.group} stud", u, (foot, None), across)
        for framed in self.openings:
            yield from self._round(framed, foot, across)

    def _round(
        self,
        framed: Framed,
        foot: float,
        across: tuple[float, float],
    ) -> Iterator[Upright]:
        breadth, name = self.datums.breadth_mm, framed.opening.name
        for u in framed.jacks_u(self.layout):
            yield Upright(Kind.JACK, f"{name} jack stud", u, (foot, framed.head), across)
        for u in framed.kings_u:
            yield Upright(Kind.KING, f"{name} king stud", u, (foot, None), across)
        is_open = framed.is_first and not self.is_packed(framed)
        for u in self.marks_over(framed) if is_open else []:
            if self.cripple_over(framed, u):
                v = (framed.header_top, None)
                yield Upright(Kind.CRIPPLE, f"{name} cripple stud", u, v, across)
        for u in self.marks_under(framed):
            v = (foot, framed.sill - breadth)
            yield Upright(Kind.CRIPPLE, f"{name} cripple stud", u, v, across)
