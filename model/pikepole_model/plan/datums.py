"""The heights and widths everything is laid out to, worked out once from the scene."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import assert_never

from pikepole_model.building.sequence import CLOSED_GAPS, Step, steps_of
from pikepole_model.geometry.placement import Placement, Vector
from pikepole_model.geometry.spacing import CLEAR_OF_MM, TOLERANCE_MM, evenly
from pikepole_model.scene.envelope import (
    FLOOR_OVER_GROUND_MM,
    LEAST_OVER_GROUND_MM,
    METRIC_OVER_GROUND_MM,
)
from pikepole_model.scene.foundation import Pad, Piers, Skids
from pikepole_model.scene.posts import Bay
from pikepole_model.scene.schema import Beam, BuiltUp, Scene
from pikepole_model.scene.types import AnyWall, Eave, Wall
from pikepole_model.scene.walls import BracedWall, OpenWall, SheetedWall, SlattedWall
from pikepole_model.scene.work import Existing
from pikepole_model.stock.rows import Lumber, Sheet

# Post bases and caps are bent from 3 mm plate: common practice, no source.
PLATE_MM = 3.0


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Something in the way of the floor: its faces, its top and its underside, mm."""

    x0: float
    y0: float
    x1: float
    y1: float
    top: float
    low: float = 0.0

    def meets(self, other: Obstacle) -> bool:
        """Whether the two take up some of the same floor."""
        return (
            self.x0 < other.x1 and other.x0 < self.x1 and self.y0 < other.y1 and other.y0 < self.y1
        )

    def joined(self, other: Obstacle) -> Obstacle:
        """One that takes up the room of both."""
        return Obstacle(
            min(self.x0, other.x0),
            min(self.y0, other.y0),
            max(self.x1, other.x1),
            max(self.y1, other.y1),
            max(self.top, other.top),
            min(self.low, other.low),
        )

    def cleared(self) -> Obstacle:
        """The room it is given."""
        c = CLEAR_OF_MM
        return Obstacle(
            self.x0 - c, self.y0 - c, self.x1 + c, self.y1 + c, self.top + c, self.low - c
        )


def support_mm(foundation: Skids | Piers | Pad | None) -> float:
    """The top of what skids and girders lie on, over the ground, mm."""
    match foundation:
        case Skids() | None:
            return 0.0
        case Piers():
            return foundation.block_height
        case Pad():
            return foundation.above_ground
        case _:
            assert_never(foundation)


@dataclass(frozen=True)
class Datums:
    """Heights and widths of one scene, mm; heights are above finished ground."""

    scene: Scene

    @property
    def length_mm(self) -> float:
        """Length of the enclosed store over its framing."""
        return self.scene.building.length

    @property
    def depth_mm(self) -> float:
        """Depth of the store over its framing, front to back."""
        return self.scene.building.depth

    @cached_property
    def wall_mm(self) -> float:
        """Thickness of the walls' framing; 0 without walls."""
        scene = self.scene
        return 0.0 if scene.posts else scene.lumber_stock(scene.walls.stud).depth_mm

    def wall_place(self, wall: Wall) -> Placement:
        """A wall's frame: at its left corner, on the floor, in the framing's outer face."""
        length, depth, floor = self.length_mm, self.depth_mm, self.floor_mm
        up: Vector = (0.0, 0.0, 1.0)
        match wall:
            case "front":
                return Placement((0.0, 0.0, floor), (1.0, 0.0, 0.0), up)
            case "right":
                return Placement((length, 0.0, floor), (0.0, 1.0, 0.0), up)
            case "back":
                return Placement((length, depth, floor), (-1.0, 0.0, 0.0), up)
            case "left":
                return Placement((0.0, depth, floor), (0.0, -1.0, 0.0), up)

    def proud_mm(self, wall: AnyWall) -> float:
        """How far a wall's cover, or caps on posts, stand out past what carries the rafters.

        Over a half wall nothing covers that.
        """
        posts = self.scene.posts
        if posts:
            return PLATE_MM if posts.seat == "cap" else 0.0
        return self.cover_at_mm(wall, math.inf)

    @cached_property
    def breadth_mm(self) -> float:
        """Thickness of a stud or plate."""
        return self.scene.lumber_stock(self.scene.walls.stud).breadth_mm

    @cached_property
    def bearer_mm(self) -> float:
        """Top of the skids or girders that the floor frame lies on; 0 where there are none."""
        bearer = self.bearer
        return support_mm(self.scene.foundation) + bearer.depth_mm if bearer else 0.0

    @cached_property
    def bearer(self) -> Lumber | None:
        """The section of the skids or girders; None where walls stand on a pad."""
        bearers = self.scene.bearers
        return self.scene.lumber_stock(bearers.bearer) if bearers else None

    def bearer_fronts_mm(self, bearers: Skids | Piers) -> list[float]:
        """Y of the front faces of skids or girders: evenly spaced between the two insets."""
        wide = self.scene.lumber_stock(bearers.bearer).breadth_mm
        room = self.depth_mm - 2 * bearers.inset - wide
        return [bearers.inset + room * k / (bearers.count - 1) for k in range(bearers.count)]

    @property
    def least_over_ground_mm(self) -> float:
        """How far wood that is not treated stays over finished ground, mm."""
        return METRIC_OVER_GROUND_MM if self.scene.units == "metric" else LEAST_OVER_GROUND_MM

    @property
    def raised_mm(self) -> float:
        """How much higher it stands on what it is built on than in the end."""
        return support_mm(self.scene.built_on) - support_mm(self.scene.foundation)

    def pier_x_mm(self, piers: Piers) -> list[float]:
        """X of the blocks of one row: evenly spaced, the outer ones under the girder's ends."""
        half = piers.block_bottom / 2
        return evenly(half, self.length_mm - half, piers.spacing)

    @cached_property
    def gravel_past_mm(self) -> float:
        """How far the gravel under the store reaches past its framing; 0 without any."""
        foundation = self.scene.foundation
        if foundation is None:
            return 0.0
        if isinstance(foundation, Pad):
            return foundation.margin + foundation.gravel_margin
        if isinstance(foundation, Skids):
            return foundation.gravel_margin
        girder = self.scene.lumber_stock(foundation.girder).breadth_mm
        across = foundation.block_bottom / 2 - foundation.inset - girder / 2
        return foundation.gravel_margin + max(0.0, across)

    @cached_property
    def joist_mm(self) -> float:
        """Depth of the floor joists; 0 without a deck floor."""
        floor = self.scene.floor
        return self.scene.lumber_stock(floor.joist).depth_mm if floor else 0.0

    @property
    def ledger_wrap_mm(self) -> float:
        """How far ledgers stand off the sheathing, by the wrap behind them; 0 without any."""
        wrap = self.scene.wrap
        return self.scene.roll_stock(wrap.roll).thickness_mm if wrap else 0.0

    @cached_property
    def deck_mm(self) -> float:
        """Thickness of the floor's sheets or boards; 0 over bare joists or without a deck floor."""
        floor = self.scene.floor
        if floor and floor.board:
            return self.scene.lumber_stock(floor.board).breadth_mm
        return self.scene.sheet_stock(floor.sheet).thickness_mm if floor and floor.sheet else 0.0

    @property
    def deck_sheet(self) -> Sheet | None:
        """What the floor is sheeted with; near the ground treated, where it is had so."""
        scene, floor = self.scene, self.scene.floor
        if not floor or not floor.sheet:
            return None
        is_near = self.floor_mm - self.deck_mm < FLOOR_OVER_GROUND_MM - TOLERANCE_MM
        treated = scene.catalogue.treated_sheet(floor.sheet) if is_near and floor.treated else None
        return treated or scene.sheet_stock(floor.sheet)

    @property
    def deck_longest_mm(self) -> float:
        """Length of the floor's sheets or boards as they are had; of no end over bare joists."""
        floor = self.scene.floor
        if floor and floor.board:
            return self.scene.lumber_stock(floor.board).longest_mm
        return self.scene.sheet_stock(floor.sheet).length_mm if floor and floor.sheet else math.inf

    def cover_mm(self, wall: AnyWall) -> float:
        """Thickness of what covers the studs of a wall on its outside: sheets, slats or nothing."""
        kind = self.scene.walls.kind_of(wall)
        match kind:
            case SheetedWall():
                return self.scene.sheet_stock(self.scene.walls.sheet).thickness_mm
            case SlattedWall():
                return self.girts_mm(wall) + self.scene.lumber_stock(kind.board).breadth_mm
            case BracedWall() | OpenWall():
                return 0.0
            case _:
                assert_never(kind)

    def cover_at_mm(self, wall: AnyWall, z: float) -> float:
        """The same at a height above ground: over a half wall there is nothing."""
        kind = self.scene.walls.kind_of(wall)
        height = None if isinstance(kind, OpenWall) else kind.height
        is_over = height is not None and z > self.floor_mm + height
        return 0.0 if is_over else self.cover_mm(wall)

    def girts_mm(self, wall: AnyWall) -> float:
        """Thickness of the girts over the studs of a wall, under its slats; 0 without any."""
        kind = self.scene.walls.kind_of(wall)
        if not isinstance(kind, SlattedWall) or kind.girts != "over":
            return 0.0
        return self.scene.lumber_stock(kind.girt).breadth_mm

    def lining(self, wall: AnyWall) -> Sheet | None:
        """The sheets on the inside of a wall, if there are any."""
        kind = self.scene.walls.kind_of(wall)
        lining = None if isinstance(kind, OpenWall) else kind.lining
        return self.scene.sheet_stock(lining) if lining else None

    def lining_mm(self, wall: AnyWall) -> float:
        """Thickness of the sheets on the inside of a wall; 0 without."""
        lining = self.lining(wall)
        return lining.thickness_mm if lining else 0.0

    @cached_property
    def floor_mm(self) -> float:
        """Top of the floor the walls stand on; finished ground without walls."""
        pad = self.scene.floor_pad
        if pad:
            return pad.above_ground
        return self.bearer_mm + self.joist_mm + self.deck_mm

    @property
    def floor(self) -> Obstacle:
        """The floor as something that others may be in the way of."""
        return Obstacle(0.0, 0.0, self.length_mm, self.depth_mm, self.floor_mm)

    @cached_property
    def obstacles(self) -> tuple[Obstacle, ...]:
        """What stands up through the floor, or is there already."""
        return (*self._through, *map(self._existing, self.scene.existing))

    @cached_property
    def staying(self) -> tuple[Obstacle, ...]:
        """What of that is there in the end too."""
        there = (one for one in self.scene.existing if self.is_there(one, CLOSED_GAPS))
        return (*self._through, *map(self._existing, there))

    @cached_property
    def _steps(self) -> tuple[Step, ...]:
        return steps_of(self.scene)

    def is_there(self, one: Existing, group: str) -> bool:
        """Whether something that is there already still is when a group goes up beside it."""
        move, steps = self.scene.move, self._steps
        moved = move.after if move and move.built_on else None
        number = next((k for k, step in enumerate(steps) if group in step.groups), 0)
        return all(number <= k for k, step in enumerate(steps) if step.name in (one.until, moved))

    @property
    def _through(self) -> tuple[Obstacle, ...]:
        things = self.scene.floor.through if self.scene.floor else ()
        return tuple(
            Obstacle(t.x, t.y, t.x + t.width, t.y + t.depth, self.floor_mm) for t in things
        )

    def _existing(self, one: Existing) -> Obstacle:
        return Obstacle(
            one.x,
            one.y,
            one.x + one.width,
            one.y + one.depth,
            one.height - self.raised_mm,
            one.foot - self.raised_mm,
        )

    @property
    def beam(self) -> Beam | None:
        """The beam over the front and the back: on posts, or where a bay or the scene asks."""
        beam = self.scene.beam
        on_posts = self.scene.posts or self.bay_at("left") or self.bay_at("right")
        return beam if beam and (on_posts or beam.on_walls) else None

    @cached_property
    def beam_depth_mm(self) -> float:
        """Depth of the wall-line beams; 0 where the rafters sit on the plates."""
        return self.scene.lumber_stock(self.beam.ply).depth_mm if self.beam else 0.0

    @cached_property
    def bearing_mm(self) -> float:
        """Level width of what the rafters sit on: beam or plates."""
        return self.width_of(self.beam) if self.beam else self.wall_mm

    def width_of(self, beam: BuiltUp) -> float:
        """Thickness of a built-up beam over its plies and spacers."""
        ply = self.scene.lumber_stock(beam.ply).breadth_mm
        spacer = self.scene.sheet_stock(beam.spacer).thickness_mm if beam.spacer else 0.0
        return beam.plies * ply + (beam.plies - 1) * spacer

    def is_open_at(self, end: Wall) -> bool:
        """Whether the roof ends over posts at an end of the building, and over no wall."""
        return self.scene.posts is not None or self.bay_at(end) is not None

    def bay_at(self, side: AnyWall) -> Bay | None:
        """The open bay at one side of the store, if there is one."""
        return next((bay for bay in self.scene.bay if bay.side == side), None)

    def runs_on(self, wall: Eave) -> Bay | None:
        """The lean-to along an eave wall under rafters that run on, if there is one."""
        bay = self.bay_at(wall)
        return bay if bay and bay.roof == "runs on" else None

    @property
    def lean_to_mm(self) -> float:
        """Thickness of the beam out at a lean-to."""
        return self.width_of(self.scene.beam) if self.scene.beam else 0.0

    @cached_property
    def roof_ends_mm(self) -> tuple[float, float]:
        """X of the outer faces of the two end rafters."""
        left, right = self.bay_at("left"), self.bay_at("right")
        return (
            -left.reach if left else 0.0,
            self.length_mm + (right.reach if right else 0.0),
        )
