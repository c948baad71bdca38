"""The heights and lines everything is laid out to, worked out once from the scene.

high wall                                   low wall
  __                                           z
 |  ``--..__  rafters                          |
 |__        ``--..__                           |__ y or its mirror
 |  |               ``--.|__                     h: level distance from the
 |  |                    |  |                       high wall's outer face
 0  b                  d-b  d
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from pikepole_model.scene import Bay, Beam, Scene, Skids
from pikepole_model.spacing import CLOSE_MM, on_centre

# A rafter rests on at least 1-1/2 in of wood (IRC R802.6), and a notch at its end takes at most a
# quarter of its depth (IRC R802.7.1).
LEAST_BEARING_MM = 38.1
DEEPEST_END_NOTCH = 0.25

# What holds a beam to its post reaches up this share of its depth, where the rafters leave it room:
# enough for two bolts, and clear of the heels above. Common practice, no source.
UP_THE_BEAM = 0.7
CLEAR_OF_RAFTERS_MM = 3.0

# A plate that is cut to lap a corner keeps at least this share of its thickness there: common
# practice, no source.
LEAST_LAP = 0.5


@dataclass(frozen=True)
class Levels:
    """Heights, lines and the roof's plane of one scene.

    All heights are above finished ground, mm. `h` is the level distance from the high wall's outer
    face towards the low wall, mm.
    """

    scene: Scene

    @property
    def length_mm(self) -> float:
        """Length of the enclosed store over its framing."""
        return self.scene.building.length

    @property
    def depth_mm(self) -> float:
        """Depth of the store over its framing, front to back."""
        return self.scene.building.depth

    @property
    def slope_rad(self) -> float:
        """Roof slope from the level."""
        return math.radians(self.scene.roof.slope)

    @cached_property
    def wall_mm(self) -> float:
        """Thickness of the walls' framing."""
        return self.scene.lumber_stock(self.scene.walls.stud).depth_mm

    @cached_property
    def breadth_mm(self) -> float:
        """Thickness of a stud or plate."""
        return self.scene.lumber_stock(self.scene.walls.stud).breadth_mm

    @cached_property
    def skid_mm(self) -> float:
        """Height of the skids; 0 on a pad."""
        foundation = self.scene.foundation
        return (
            self.scene.lumber_stock(foundation.skid).depth_mm
            if isinstance(foundation, Skids)
            else 0.0
        )

    @cached_property
    def joist_mm(self) -> float:
        """Depth of the floor joists; 0 without a deck floor."""
        floor = self.scene.floor
        return self.scene.lumber_stock(floor.joist).depth_mm if floor else 0.0

    @cached_property
    def floor_sheet_mm(self) -> float:
        """Thickness of the floor sheets; 0 without a deck floor."""
        floor = self.scene.floor
        return self.scene.sheet_stock(floor.sheet).thickness_mm if floor else 0.0

    @cached_property
    def floor_mm(self) -> float:
        """Top of the floor the walls stand on."""
        foundation = self.scene.foundation
        if isinstance(foundation, Skids):
            return self.skid_mm + self.joist_mm + self.floor_sheet_mm
        return foundation.above_ground

    @property
    def beam(self) -> Beam | None:
        """The wall-line beams: there where a bay is."""
        return (self.scene.beam or Beam()) if self.scene.bay else None

    @cached_property
    def beam_depth_mm(self) -> float:
        """Depth of the wall-line beams; 0 where the rafters sit on the plates."""
        return self.scene.lumber_stock(self.beam.ply).depth_mm if self.beam else 0.0

    @cached_property
    def bearing_mm(self) -> float:
        """Level width of what the rafters sit on: beam or plates."""
        if not self.beam:
            return self.wall_mm
        ply = self.scene.lumber_stock(self.beam.ply).breadth_mm
        spacer = self.scene.sheet_stock(self.beam.spacer).thickness_mm if self.beam.spacer else 0.0
        return self.beam.plies * ply + (self.beam.plies - 1) * spacer

    @cached_property
    def rafter_mm(self) -> float:
        """Depth of the rafters."""
        return self.scene.lumber_stock(self.scene.roof.rafter).depth_mm

    @cached_property
    def seat_mm(self) -> float:
        """Level seat of the birdsmouths: the full bearing, or what the notches leave of it."""
        end = self.end_rafter
        if end is None:
            return self.widest_seat_mm(self.rafter_mm)
        return self._seat_with(self.scene.lumber_stock(end).depth_mm)

    def widest_seat_mm(self, depth: float) -> float:
        """The widest seat that a rafter of some depth may have, a quarter notched, mm."""
        return min(self.bearing_mm, depth * DEEPEST_END_NOTCH / math.sin(self.slope_rad))

    def _seat_with(self, end_depth: float) -> float:
        """The widest seat with which neither rafters nor end rafters of some depth lose too much.

        A rafter cannot be notched less than its place under the roof asks for, so all of them are
        set a little higher where end rafters under the lookouts would lose more than a quarter.
        """
        own, lifted = self.widest_seat_mm(self.rafter_mm), self._lifted_mm(end_depth)
        if lifted < 0:
            return own
        return min(own, self.widest_seat_mm(end_depth) + lifted / math.sin(self.slope_rad))

    def _lifted_mm(self, end_depth: float) -> float:
        """How far an end rafter's underside lies above the others', square to the roof, mm."""
        return self.rafter_mm - self.lookout_mm - end_depth

    @property
    def rise_mm(self) -> float:
        """How much higher the high wall is than the low one."""
        return math.tan(self.slope_rad) * (self.depth_mm - self.bearing_mm)

    @cached_property
    def low_plate_mm(self) -> float:
        """Top of the low wall's plates."""
        walls = self.scene.walls
        if walls.high_height is not None:
            return self.floor_mm + walls.high_height - self.rise_mm
        return self.floor_mm + (walls.low_height or 0.0)

    @property
    def high_plate_mm(self) -> float:
        """Top of the high wall's plates."""
        return self.low_plate_mm + self.rise_mm

    def plate_top_mm(self, y: float) -> float:
        """Top of the plates of the front or back wall, whichever a Y is nearer to."""
        near_high = self.h_of(y) < self.depth_mm / 2
        return self.high_plate_mm if near_high else self.low_plate_mm

    @property
    def low_bearing_mm(self) -> float:
        """What the rafters sit on at the low wall."""
        return self.low_plate_mm + self.beam_depth_mm

    @property
    def high_bearing_mm(self) -> float:
        """What the rafters sit on at the high wall."""
        return self.high_plate_mm + self.beam_depth_mm

    def rafter_underside_mm(self, h: float) -> float:
        """Height of the common rafters' straight underside at h."""
        crossing = self.depth_mm - self.seat_mm
        return self.low_bearing_mm - math.tan(self.slope_rad) * (h - crossing)

    def roof_mm(self, h: float) -> float:
        """Height of the rafters' top edge, where the roof sheets lie, at h."""
        return self.rafter_underside_mm(h) + self.rafter_mm / math.cos(self.slope_rad)

    @cached_property
    def lookout_mm(self) -> float:
        """Thickness of the flat lookouts over the end rafters; 0 without a rake overhang."""
        roof = self.scene.roof
        return self.scene.lumber_stock(roof.lookout).breadth_mm if roof.rake_overhang else 0.0

    def end_seat_mm(self, end_depth: float) -> float:
        """Level seat of an end rafter of some depth, mm, set down by the lookouts' thickness."""
        return self._seat_with(end_depth) - self._lifted_mm(end_depth) / math.sin(self.slope_rad)

    @cached_property
    def end_rafter(self) -> str | None:
        """Stock of the end rafters.

        With a rake overhang they are shallower than the others, because the lookouts pass over
        them: the deepest section with which both kinds still have a bearing. None when there is no
        such section.
        """
        roof = self.scene.roof
        if roof.end_rafter or not self.lookout_mm:
            return roof.end_rafter or roof.rafter
        rafter = self.scene.lumber_stock(roof.rafter)
        fitting = [
            stock
            for stock in self.scene.catalogue.lumber.values()
            if abs(stock.breadth_mm - rafter.breadth_mm) < CLOSE_MM
            and self._seat_with(stock.depth_mm) >= LEAST_BEARING_MM - CLOSE_MM
            and LEAST_BEARING_MM - CLOSE_MM
            <= self.end_seat_mm(stock.depth_mm)
            <= self.widest_seat_mm(stock.depth_mm) + CLOSE_MM
        ]
        return max(fitting, key=lambda stock: stock.depth_mm).name if fitting else None

    @cached_property
    def end_rafter_mm(self) -> float:
        """Depth of the end rafters."""
        return self.scene.lumber_stock(self.end_rafter or self.scene.roof.rafter).depth_mm

    def end_rafter_underside_mm(self, h: float) -> float:
        """Height of the end rafters' straight underside at h: the top line of an end wall."""
        below = (self.lookout_mm + self.end_rafter_mm) / math.cos(self.slope_rad)
        return self.roof_mm(h) - below

    def up_the_beam_mm(self, reach: float) -> float:
        """How far up the beam a post's tongue or cap can stand, under the rafters, mm.

        Args:
            reach: How far it stands in from the wall line's outer face, mm. The rafters come down
                over it at the high wall.
        """
        under_rafters = min(self.rafter_underside_mm(reach), self.end_rafter_underside_mm(reach))
        room = under_rafters - CLEAR_OF_RAFTERS_MM - self.high_plate_mm
        return min(UP_THE_BEAM * self.beam_depth_mm, room)

    @cached_property
    def plates_lap(self) -> bool:
        """Whether the side walls' upper plates run out over the corners.

        Not where a beam lies there; nor on a steep roof, where the raking plate would be cut
        through by its own seat: there the plates butt, and what ties the corner is put on them.
        """
        seat = self.end_seat_mm(self.end_rafter_mm)
        left = self.breadth_mm - seat * math.tan(self.slope_rad)
        return self.beam is None and left >= LEAST_LAP * self.breadth_mm

    def y_of(self, h: float) -> float:
        """Y of a level distance from the high wall."""
        return h if self.scene.roof.falls == "back" else self.depth_mm - h

    def h_of(self, y: float) -> float:
        """Level distance from the high wall of a Y; its own inverse."""
        return self.y_of(y)

    @property
    def high_wall(self) -> str:
        """Name of the wall the roof rises to."""
        return "front" if self.scene.roof.falls == "back" else "back"

    def bay_at(self, end: str) -> Bay | None:
        """The open bay at the left or right end, if there is one."""
        return next((bay for bay in self.scene.bay if bay.end == end), None)

    @cached_property
    def roof_ends_mm(self) -> tuple[float, float]:
        """X of the outer faces of the two end rafters."""
        left, right = self.bay_at("left"), self.bay_at("right")
        return (
            -left.length if left else 0.0,
            self.length_mm + (right.length if right else 0.0),
        )

    @cached_property
    def rafter_centres_mm(self) -> tuple[float, ...]:
        """X of every rafter's centre, the end rafters first and last.

        Laid out on centre from the left end; where the roof runs on over a bay, the end wall
        under it gets a rafter of its own, flush with the wall's outer face. Where it ends over the
        wall, the wall's plates carry the end rafter only: the next one stands inside them.
        """
        breadth = self.scene.lumber_stock(self.scene.roof.rafter).breadth_mm
        start, end = self.roof_ends_mm
        on_wall = self.wall_mm + breadth / 2
        first = start if self.bay_at("left") else start + on_wall
        last = end if self.bay_at("right") else end - on_wall
        over_walls = [
            centre
            for bay, centre in (
                (self.bay_at("left"), breadth / 2),
                (self.bay_at("right"), self.length_mm - breadth / 2),
            )
            if bay
        ]
        left_end, *between, right_end = on_centre(start, end, self.scene.roof.spacing, breadth)
        inside = {min(max(centre, first), last) for centre in between}
        laid_out = [
            centre
            for centre in (left_end, *inside, right_end)
            if all(abs(centre - other) >= breadth - CLOSE_MM for other in over_walls)
        ]
        return tuple(sorted([*laid_out, *over_walls]))
