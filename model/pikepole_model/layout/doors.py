"""Doors: leaves as they are put together, what they hang or slide on, and what they close against.

Leaves stand closed. A hinged leaf's outer face is flush with its casing, so that flat hinges lie on
both; a sliding leaf hangs before the casing from wheels on a flat track.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import LeafRecord
from pikepole_model.building.piece import Piece, Source, bulk, profile, timber
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Circle, Loop
from pikepole_model.geometry.spacing import evenly, splice
from pikepole_model.layout.hardware import HANGER_DOWN_MM, fit_hardware
from pikepole_model.layout.joinery import board, outlined, stop_round
from pikepole_model.layout.leaf import Leaf, build_leaf
from pikepole_model.plan.clad_face import clad_at_mm
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.framed import Rect
from pikepole_model.plan.windows_doors import (
    ASTRAGAL,
    GUIDE_GAP_MM,
    GUIDE_MM,
    HANGER_MM,
    HINGE_MM,
    RAIL_MM,
    SPACER_RADIUS_MM,
    WHEEL_MM,
    WHEEL_RADIUS_MM,
    FittedOpening,
    Sliding,
    fitted_openings,
)
from pikepole_model.scene.windows_doors import Door, Track
from pikepole_model.stock.metric import usual_mm

STOPS = "door stops"
TRACKS = "door tracks"

# A hinge's strap: 1/8 x 1-1/2 x 8 in on the leaf, or a third of a narrow one. Common practice, no
# source.
STRAP_MM = 3.175
STRAP_LENGTH_MM = 203.2
STRAP_WIDE_MM = 38.1

# Hangers' straps: 1-1/2 in wide, 2 in in from the leaf's edge. Common practice, no source.
HANGER_IN_MM = 50.8

# Blocks of 3/4 in on the ends of the track.
BLOCK_MM = 19.05

# An astragal is rebated by 1/4 in over the second leaf for a seal: common practice, no source.
REBATE_MM = 6.35


def hang_doors(face: WallFace) -> list[Piece]:
    """Every door of one wall, from left to right."""
    return [
        piece
        for fitted in fitted_openings(face.plan)
        if fitted.door
        for piece in _Door(face, fitted, fitted.door).pieces()
    ]


@dataclass(frozen=True)
class _Door:
    """One door in a wall."""

    face: WallFace
    fitted: FittedOpening
    door: Door

    @property
    def name(self) -> str:
        return self.fitted.framed.opening.name

    @cached_property
    def steel(self) -> Source:
        return bulk(self.fitted.scene, "steel")

    @cached_property
    def clad(self) -> float:
        """Outer face of the cladding beside it, mm from the sheathing."""
        return clad_at_mm(self.face, self.fitted)

    @cached_property
    def trimmed(self) -> float:
        """Outer face of its casing, or of its frame's edge where it has none, mm."""
        trim = self.fitted.framed.opening.trim
        scene = self.fitted.scene
        return self.clad + (scene.lumber_stock(trim.board).breadth_mm if trim else 0.0)

    @cached_property
    def leaves(self) -> tuple[Leaf, ...]:
        """Its leaves as they are to be built."""
        fitted, door, rects = self.fitted, self.door, self.fitted.leaves
        scene, outer, held_back = fitted.scene, self.trimmed, 0.0
        if door.track:
            outer = self.clad + fitted.leaf_out_mm
        else:
            held_back = scene.lumber_stock(door.stop).breadth_mm
        if door.leaves == 1:
            both = (held_back, held_back)
            halves = [f"{self.name} {half} leaf" for half in ("lower", "upper")]
            names = halves if door.cut_mm is not None else [self.name]
            return tuple(
                Leaf(name, scene, door, rect, outer, door.hinges, both)
                for name, rect in zip(names, rects, strict=True)
            )
        left, right = rects
        return (
            Leaf(f"{self.name} left leaf", scene, door, left, outer, "left", (held_back, 0.0)),
            Leaf(f"{self.name} right leaf", scene, door, right, outer, "right", (0.0, held_back)),
        )

    def pieces(self) -> Iterator[Piece]:
        """Stops or track first, then each leaf with what it hangs from."""
        if not self.door.track:
            yield from self._stops()
        for k, leaf in enumerate(self.leaves):
            for piece in self._leaf(k, leaf):
                yield replace(piece, record=LeafRecord(leaf.name))
        if self.door.cut_mm is not None:
            yield replace(self._astragal_across(), record=LeafRecord(self.leaves[1].name))
        elif len(self.leaves) == 2:
            yield replace(self._astragal(), record=LeafRecord(self.leaves[0].name))

    def _leaf(self, k: int, leaf: Leaf) -> Iterator[Piece]:
        if self.door.track:
            yield from self._track(self.door.track, self.fitted.slides[k], leaf)
        yield from build_leaf(self.face, leaf, self.name)
        yield from self._hangers(leaf) if self.door.track else self._hinges(leaf)
        yield from fit_hardware(self.face, self.fitted, self.leaves, k, self.steel)

    def _stops(self) -> Iterator[Piece]:
        stop = timber(self.fitted.scene, self.door.stop)
        assert stop.section_mm
        outer = self.leaves[0].seat_n
        u0, v0, u1, v1 = self.fitted.clear
        yield from stop_round(
            self.face,
            f"{self.name} stop",
            Kind.DOOR_STOP,
            STOPS,
            stop,
            (u0, v0 + self.fitted.threshold_mm, u1, v1),
            (outer - stop.section_mm[1], outer),
        )

    def _hinges(self, leaf: Leaf) -> Iterator[Piece]:
        """A flat T-hinge at each ledge or rail, screwed to casing and leaf."""
        u0, _, u1, _ = leaf.rect
        reach = min(usual_mm(STRAP_LENGTH_MM, self.fitted.scene.units), (u1 - u0) / 3)
        plate, half, strap = HINGE_MM[0], HINGE_MM[1] / 2, STRAP_WIDE_MM / 2
        knuckle, way = (u0, 1) if leaf.hinges == "left" else (u1, -1)
        jamb = self.fitted.clear[0 if leaf.hinges == "left" else 2]
        clear = half
        if self.door.cut_mm is not None:
            clear += self.fitted.scene.lumber_stock(ASTRAGAL).depth_mm / 2
        low, high = leaf.rect[1] + clear, leaf.rect[3] - clear
        for v in (min(max(v, low), high) for v in leaf.cross_v):
            outline = [
                (jamb - way * plate, v - half),
                (jamb, v - half),
                (jamb, v - strap),
                (knuckle + way * reach, v - strap),
                (knuckle + way * reach, v + strap),
                (jamb, v + strap),
                (jamb, v + half),
                (jamb - way * plate, v + half),
            ]
            yield outlined(
                self.face,
                f"{leaf.name} hinge",
                Kind.HINGE,
                self.name,
                self.steel,
                tuple(outline),
                (leaf.outer_n, leaf.outer_n + STRAP_MM),
            )

    def _astragal(self) -> Piece:
        """On the left leaf's edge, over the gap; drawn as its end section, u along the wall."""
        left, right = self.leaves
        source = timber(self.fitted.scene, ASTRAGAL)
        assert source.section_mm
        thick, wide = source.section_mm
        (_, v0, edge, v1), step = left.rect, right.rect[0]
        u0 = (edge + step - wide) / 2
        # Seen from above the wall's outside is down: u and n make the plane, up is its back.
        n, face = left.outer_n, self.face
        section = (
            (u0, n),
            (edge, n),
            (edge, n + REBATE_MM),
            (u0 + wide, n + REBATE_MM),
            (u0 + wide, n + thick),
            (u0, n + thick),
        )
        place = Placement(face.place.point(0.0, v1, 0.0), face.place.u, face.place.n)
        return self._astragal_piece(source, section, place, v1 - v0)

    def _astragal_across(self) -> Piece:
        """On the upper half's lower edge, over the gap; drawn as its end section, n and v."""
        lower, upper = self.leaves
        source = timber(self.fitted.scene, ASTRAGAL)
        assert source.section_mm
        thick, wide = source.section_mm
        (u0, edge, u1, _), step, n = upper.rect, lower.rect[3], upper.outer_n
        v0 = (edge + step - wide) / 2
        section = (
            (n + REBATE_MM, v0),
            (n + thick, v0),
            (n + thick, v0 + wide),
            (n, v0 + wide),
            (n, edge),
            (n + REBATE_MM, edge),
        )
        # n outwards and v up make the plane; what is extruded from it runs to the left.
        place = Placement(self.face.place.point(u1, 0.0), self.face.place.n, self.face.place.v)
        return self._astragal_piece(source, section, place, u1 - u0)

    def _astragal_piece(
        self, source: Source, section: Loop, place: Placement, long: float
    ) -> Piece:
        return profile(
            f"{self.name} astragal",
            Kind.ASTRAGAL,
            self.name,
            source,
            section,
            place,
            long,
            length_along="n",
        )

    def _track(self, track: Track, slides: Sliding, leaf: Leaf) -> Iterator[Piece]:
        """Board, spacers, track, end blocks and floor guide, all outside of the cladding."""
        fitted, face = self.fitted, self.face
        source = timber(fitted.scene, track.board)
        assert source.section_mm
        u0, v0, u1, v1 = slides.board
        board_n = (self.clad, self.clad + source.section_mm[0])
        studs = face.plan.full_height_centres()
        longest = fitted.scene.lumber_stock(track.board).longest_mm
        for start, end in splice(u0, u1, longest, studs):
            yield board(
                face,
                f"{self.name} track board",
                Kind.TRACK_BOARD,
                TRACKS,
                source,
                (start, v0, end, v1),
                board_n,
            )
        low, high = fitted.rail_v
        middle = leaf.outer_n - WHEEL_MM / 2
        rail_n = (middle - RAIL_MM[0] / 2, middle + RAIL_MM[0] / 2)
        ends = (u0 + SPACER_RADIUS_MM, u1 - SPACER_RADIUS_MM)
        # To studs, and between these to the header over the opening.
        marks = [ends[0], *(u for u in studs if ends[0] <= u <= ends[1]), ends[1]]
        header, spacing = fitted.framed.header_u, fitted.scene.walls.spacing
        at = [u for a, b in itertools.pairwise(marks) for u in evenly(a, b, spacing)]
        at = [u for u in dict.fromkeys(at) if u in studs or header[0] <= u <= header[1]]
        for u in at:
            spacer = Circle(u, (low + high) / 2, SPACER_RADIUS_MM)
            yield self._iron("track spacer", Kind.TRACK_SPACER, spacer, (board_n[1], rail_n[0]))
        yield board(
            face, f"{self.name} track", Kind.TRACK, TRACKS, self.steel, (u0, low, u1, high), rail_n
        )
        for left in (u0, u1 - BLOCK_MM):
            rect = (left, high, left + BLOCK_MM, high + 2 * BLOCK_MM)
            yield board(
                face, f"{self.name} track stop", Kind.TRACK_STOP, TRACKS, self.steel, rect, rail_n
            )
        yield self._guide(slides, leaf)

    def _iron(self, what: str, kind: Kind, loop: Circle, n: tuple[float, float]) -> Piece:
        group = TRACKS if kind == Kind.TRACK_SPACER else self.name
        return outlined(self.face, f"{self.name} {what}", kind, group, self.steel, loop, n)

    def _guide(self, slides: Sliding, leaf: Leaf) -> Piece:
        """A bent iron on the casing where the open leaf still reaches, round its lower edge."""
        (_, foot, end, up), t = slides.guide, GUIDE_MM[0]
        back, front = self.trimmed + self.fitted.strip_mm, leaf.outer_n + GUIDE_GAP_MM
        section = (
            (back, foot),
            (front + t, foot),
            (front + t, up),
            (front, up),
            (front, foot + t),
            (back + t, foot + t),
            (back + t, up),
            (back, up),
        )
        # n outwards and v up make the plane; what is extruded from it runs to the left.
        place = Placement(self.face.place.point(end, 0.0), self.face.place.n, self.face.place.v)
        return profile(
            f"{self.name} floor guide",
            Kind.GUIDE,
            TRACKS,
            self.steel,
            section,
            place,
            GUIDE_MM[1],
            length_along="n",
        )

    def _hangers(self, leaf: Leaf) -> Iterator[Piece]:
        """Two straps on the leaf's face, each with a wheel behind it on the track."""
        u0, _, u1, top = leaf.rect
        axle = self.fitted.rail_v[1] + WHEEL_RADIUS_MM
        for u in (u0 + HANGER_IN_MM, u1 - HANGER_IN_MM):
            half = STRAP_WIDE_MM / 2
            rect: Rect = (u - half, top - HANGER_DOWN_MM, u + half, axle + half)
            n = leaf.outer_n
            yield board(
                self.face,
                f"{self.name} hanger",
                Kind.HANGER,
                self.name,
                self.steel,
                rect,
                (n, n + HANGER_MM),
            )
            wheel = Circle(u, axle, WHEEL_RADIUS_MM)
            yield self._iron("hanger wheel", Kind.WHEEL, wheel, (n - WHEEL_MM, n))
