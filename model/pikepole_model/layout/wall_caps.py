"""The cap of a half wall: a board over its framing and over all that covers it on both sides.

Seen from the end, the outside at the right, and from above:

         ____                         +-------------------+-------------+
        |    `---.__                  |       +---+       |   +---+     |
        |_ ________ `|                |       | # |       |   | # |     |    # posts
         ' |      | '  kerfs          |       +---+       |   +---+     |
           | wall |                   +-------------------+-------------+

It is notched round what stands there. Where it would close round something, two lengths meet.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import shapely
from shapely import Polygon as Area
from shapely import box
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import CLADDING, SLATS, Kind, of
from pikepole_model.building.piece import Piece, let_in, profile, timber
from pikepole_model.geometry.least import BATTEN
from pikepole_model.geometry.outline import NO_AREA_MM2, past_edges, ring
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.spacing import splice
from pikepole_model.layout.gap_jambs import gap_jamb
from pikepole_model.layout.room import taken_between
from pikepole_model.layout.trims import GROUP
from pikepole_model.plan.faces import PAST_MM, WallFace
from pikepole_model.plan.sills import KERF_BACK_MM, KERF_MM, SILLS
from pikepole_model.stock.metric import usual
from pikepole_model.stock.rows import Lumber

# It passes what it covers by 3/4 in on both sides, and falls 1 in 12 outward, about 5 degrees.
# Common practice, no source.
PAST_COVER_MM = 19.05
FALL = 1 / 12

# Farther than any wall reaches.
_FAR_MM = 1e6

# What ends so little under a half wall's top ends there: boards are cut clear of flashings.
_AT_TOP_MM = 6.35

# A saw cut is carried on past the board's faces: two faces in one plane leave films behind.
_THROUGH_MM = 1.0

_COVERS = CLADDING | SLATS | of(Family.SHEETS, Family.WRAP) | {Kind.TOP_PLATE, Kind.JOINT_BOARD}


def cap_walls(faces: Sequence[WallFace], laid: Sequence[Piece]) -> list[Piece]:
    """The caps of every half wall: front and back walls' take the corners.

    Args:
        faces: The walls.
        laid: All that stands when they are put on.
    """
    caps: list[Piece] = []
    for face in sorted(faces, key=lambda face: not face.plan.runs_through):
        part = face.plan.open_part
        if part and face.plan.datums.scene.walls.is_capped(face.plan.name):
            caps += _Cap(face, part.from_mm, (*laid, *caps)).boards()
    return caps


@dataclass(frozen=True)
class _Cap:
    """The cap of one half wall; areas are in (u, n) of its face, mm.

    Attributes:
        face: The wall.
        foot: Its underside: the half wall's top above the floor, mm.
        laid: All that stands there.
    """

    face: WallFace
    foot: float
    laid: Sequence[Piece]

    def boards(self) -> Iterator[Piece]:
        """Its lengths, from left to right."""
        if self._covered.is_empty:  # where nothing stands yet
            return
        plan, (inner, outer) = self.face.plan, self._across
        studs = [upright.centre for upright in plan.uprights]
        stand = [area for _, area in self._standing]
        # Over the jambs of a gap, and past them.
        jambs = [gap_jamb(self.face, one).breadth_mm + PAST_COVER_MM for one in plan.openings]
        gaps = [
            box(one.u[0] + over, inner, one.u[1] - over, outer)
            for one, over in zip(plan.openings, jambs, strict=True)
        ]
        free = _sound(self._whole.difference(shapely.union_all([*stand, *gaps])))
        for part in sorted(shapely.get_parts(free), key=lambda part: part.bounds):
            start, _, end, _ = part.bounds
            closed = [Area(hole).centroid.x for hole in part.interiors]
            lengths = [
                part.intersection(box(u0, inner, u1, outer))
                for near, far in itertools.pairwise([start, *sorted(closed), end])
                for u0, u1 in splice(near, far, self._stock.longest_mm, studs)
            ]
            yield from map(self._board, self._nailed(lengths))

    def _nailed(self, lengths: Sequence[BaseGeometry]) -> Iterator[BaseGeometry]:
        """Those that lie on plates; where posts take a corner, with what is outside of these there.

         __
        |  +----+---------    # the wall's end post and the corner's: plates start past both
        |  |####| plate
        |  +----+---------
        |_________________    outside
        """
        bare = [one for one in lengths if one.intersection(self._plates).area <= NO_AREA_MM2]
        framing = box(0.0, -_FAR_MM, self.face.plan.length_mm, -self.face.sheet_mm)
        outside = self._covered.difference(framing).buffer(PAST_COVER_MM, join_style="mitre")
        arms = [one.intersection(outside).difference(framing) for one in bare]
        for one in lengths:
            if one in bare:
                continue
            whole = shapely.union_all([one, *(arm for arm in arms if arm.touches(one))])
            start, _, end, _ = whole.bounds
            fits = isinstance(whole, Area) and end - start <= self._stock.longest_mm
            yield whole if fits else one

    def _board(self, area: BaseGeometry) -> Piece:
        """One length: its section along the wall, less what is notched out of it."""
        face, source = self.face, timber(self.face.plan.datums.scene, self._stock.name)
        name = f"{face.plan.group} cap"
        u0, n0, u1, n1 = area.bounds
        section = ring(self._section.intersection(box(n0, -PAST_MM, n1, PAST_MM)))
        # n outwards and v up make the plane; what is extruded from it runs to the left.
        end = Placement(face.place.point(u1, self.foot), face.place.n, face.place.v)
        piece = profile(name, Kind.WALL_CAP, GROUP, source, section, end, u1 - u0, length_along="n")
        # u and then inwards make a plane that looks up.
        inwards = (-face.place.n[0], -face.place.n[1], -face.place.n[2])
        under = Placement(face.place.point(0.0, self.foot - _THROUGH_MM), face.place.u, inwards)
        for waste in shapely.get_parts(box(u0, n0, u1, n1).difference(area)):
            if waste.area > NO_AREA_MM2:
                notch = past_edges(waste, (u0, n0, u1, n1), _THROUGH_MM)
                outline = tuple((u, -n) for u, n in ring(notch))
                deep = self._stock.breadth_mm + 2 * _THROUGH_MM
                cut = profile(name, Kind.WALL_CAP, GROUP, source, outline, under, deep)
                piece = let_in(piece, cut)
        return piece

    @cached_property
    def _section(self) -> Area:
        """Its end section in (n, height over its underside), mm, kerfs taken out."""
        thick, (inner, outer) = self._stock.breadth_mm, self._across
        low = thick - FALL * (outer - inner)
        whole = Area(((inner, 0.0), (outer, 0.0), (outer, low), (inner, thick)))
        wide, deep = KERF_MM
        kerfs = [
            box(n, -_THROUGH_MM, n + wide, deep)
            for n in (inner + KERF_BACK_MM, outer - KERF_BACK_MM - wide)
        ]
        return Area(ring(whole.difference(shapely.union_all(kerfs))))

    @cached_property
    def _choice(self) -> list[Lumber]:
        """What it may be ripped from."""
        scene = self.face.plan.datums.scene
        return [scene.lumber_stock(usual(name, scene.units)) for name in SILLS]

    @cached_property
    def _stock(self) -> Lumber:
        """The narrowest of them that is wide enough."""
        _, inner, _, outer = self._covered.bounds
        wide = outer - inner + 2 * PAST_COVER_MM
        return next((one for one in self._choice if one.depth_mm >= wide), self._choice[-1])

    @cached_property
    def _standing(self) -> list[tuple[Piece, BaseGeometry]]:
        """What rises past its underside, with what that takes there."""
        thick = max(stock.breadth_mm for stock in self._choice)
        return list(taken_between(self.laid, self.face.place, (self.foot, self.foot + thick)))

    @cached_property
    def _ending(self) -> list[tuple[Piece, BaseGeometry]]:
        """What ends under it."""
        under = (self.foot - _AT_TOP_MM, self.foot)
        rises = {id(piece) for piece, _ in self._standing}
        found = taken_between(self.laid, self.face.place, under)
        return [(piece, area) for piece, area in found if id(piece) not in rises]

    @cached_property
    def _plates(self) -> BaseGeometry:
        """The plates it is nailed to."""
        group = self.face.plan.group
        own = [a for one, a in self._ending if one.kind is Kind.TOP_PLATE and one.group == group]
        return shapely.union_all(own)

    @cached_property
    def _covered(self) -> BaseGeometry:
        """What the half wall takes with all that covers it, out round its corners."""
        plan = self.face.plan
        inside = plan.datums.wall_mm + plan.datums.lining_mm(plan.name) + self.face.sheet_mm
        near = box(-PAST_MM, -inside, plan.length_mm + PAST_MM, PAST_MM)
        covers = [area for piece, area in self._ending if piece.kind in _COVERS]
        return shapely.union_all(covers).intersection(near)

    @property
    def _whole(self) -> BaseGeometry:
        """The cap as one board: its edges straight, past the framing and past what covers it."""
        sheet, (inner, outer) = -self.face.sheet_mm, self._across
        both = (
            box(-_FAR_MM, -_FAR_MM, _FAR_MM, sheet - _THROUGH_MM),
            box(-_FAR_MM, sheet, _FAR_MM, _FAR_MM),
        )
        sides = [self._covered.intersection(side) for side in both]
        past = [
            box(*side.bounds).buffer(PAST_COVER_MM, join_style="mitre")
            for side in sides
            if side.area > NO_AREA_MM2
        ]
        return shapely.union_all(past).intersection(box(-_FAR_MM, inner, _FAR_MM, outer))

    @property
    def _across(self) -> tuple[float, float]:
        """Its edges; as near to the inside as the widest stock reaches."""
        _, inner, _, outer = self._covered.bounds
        outer += PAST_COVER_MM
        return (max(inner - PAST_COVER_MM, outer - self._stock.depth_mm), outer)


def _sound(area: BaseGeometry) -> BaseGeometry:
    """An area less the arms of it that would split as they are nailed."""
    half = BATTEN.width / 2
    return area.buffer(-half, join_style="mitre").buffer(half, join_style="mitre")
