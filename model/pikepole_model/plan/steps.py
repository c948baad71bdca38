r"""The way up to a door: where steps or a ramp go, and what they are cut to.

In the plane (h, z): h is the level distance out from the wall, z the height over what they stand
on. They stand by themselves on gravel, a little out from the wall, and are held by nothing:

     door |
    ______|  ___
    floor | |___| tread
    frame | |_   \___
          | leg|  \__|_          rises are equal, from the ground to the threshold
    ______|_|__|___\___\_____
                    stringer
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import assert_never

from shapely import Polygon as Area
from shapely import box, union_all
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from pikepole_model.geometry.outline import largest, ring
from pikepole_model.geometry.shape import Polygon, rectangle
from pikepole_model.geometry.spacing import CLEAR_OF_MM, TOLERANCE_MM, evenly
from pikepole_model.plan.beams import BeamLine
from pikepole_model.plan.beside import Stretch
from pikepole_model.plan.cladding import thickest_mm
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.framed import Framed, Rect
from pikepole_model.plan.way_ground import ground_mm
from pikepole_model.plan.windows_doors import FittedOpening, fitted_openings
from pikepole_model.scene.foundation import Pad, Piers
from pikepole_model.scene.steps import LEAST_WIDE_MM, NoSteps, Ramp, Steps
from pikepole_model.stock.metric import usual
from pikepole_model.stock.rows import Lumber

# Out from what covers the wall: 1/2 in, so that it dries. Common practice, no source.
OFF_WALL_MM = 12.7

# Between two boards, and behind the first of a tread: 1/4 in, common practice, no source.
GAP_MM = 6.35

# The shallowest tread: 10 in. Source: IRC R311.7.5.2, for houses (from memory).
LEAST_TREAD_MM = 254.0

# What is left of a stringer behind its notches: 5 in of one that spans. Stringers and the joists of
# a ramp stand this far apart at most: 16 in. Source: AWC DCA 6 (from memory).
LEAST_THROAT_MM = 127.0
APART_MM = 406.4
STRINGERS = ("2x6", "2x8", "2x10", "2x12")

# What stands under a head that nothing else carries, and what a raised landing lies on: common
# practice, no source.
LEG, JOIST = "2x4", "2x6"

# A joist bears on 1-1/2 in of wood, and so it does not hang on the nails of the leg beside it:
# source IRC R502.6, R507.6.1 (from memory). Where it is nearer to the ground than that, the ground
# is under it soon: common practice, no source.
LEAST_UNDER_MM = 38.1

# A landing before a door is 36 in deep; none is needed before two rises that the door does not
# swing over. Source: IRC R311.3, R311.3.2, for houses (from memory). It is as deep as a leaf over
# it is wide, so that who opens it need not step down: common practice, no source.
LANDING_MM = 914.4

# What is left of a stringer or joist where it passes over a slab: 3-1/2 in, as of a 2x4; and no
# more than 16 in of it reach out over that past its legs. Common practice, no source.
LEAST_OVER_MM, MOST_OVER_MM = 88.9, 406.4

# The gravel reaches this far past them: 4 in, assumed.
MARGIN_MM = 101.6


@dataclass(frozen=True)
class WayUpPlan:
    """What the steps and the ramp of one door have in common.

    Attributes:
        face: The wall that the door is in.
        framed: The door.
        says: What the scene says of them.
        stands_mm: What they stand on, above finished ground: a slab there, or 0.
    """

    face: WallFace
    framed: Framed
    says: Steps | Ramp
    stands_mm: float

    @property
    def datums(self) -> Datums:
        """Heights and widths of the building."""
        return self.face.plan.datums

    @property
    def name(self) -> str:
        """What the names of their pieces begin with."""
        return self.framed.opening.name

    @cached_property
    def fitted(self) -> FittedOpening | None:
        """The door with what is fitted into it; None where nothing is."""
        all_ = fitted_openings(self.face.plan)
        return next((fitted for fitted in all_ if fitted.framed is self.framed), None)

    @cached_property
    def board(self) -> Lumber:
        """What the treads, or the boards of a ramp, are cut from."""
        return self.datums.scene.lumber_stock(self.says.board)

    @property
    def rise_mm(self) -> float:
        """From what they stand on up to the floor."""
        return self.datums.floor_mm - self.stands_mm

    @cached_property
    def u(self) -> Stretch:
        """From and to along the wall, mm: before the middle of the door."""
        left, _, right, _ = self.framed.rough
        wide = self.says.width or max(right - left, LEAST_WIDE_MM)
        middle = (left + right) / 2
        return (middle - wide / 2, middle + wide / 2)

    @cached_property
    def leaf_landing_mm(self) -> float:
        """Depth of the landing that a leaf swings over, mm; 0 where none swings."""
        door, (left, _, right, _) = self.framed.opening.door, self.framed.rough
        if door is None or door.track:
            return 0.0
        return max(LANDING_MM, (right - left) / door.leaves)

    def boards_of(self, deep_mm: float) -> int:
        """How many boards side by side, with gaps between them, are so deep at least."""
        return math.ceil((deep_mm - TOLERANCE_MM) / (self.board.depth_mm + GAP_MM))

    @cached_property
    def past_cover_mm(self) -> float:
        """Past what covers the wall, mm from the sheathing."""
        scene = self.datums.scene
        cover = thickest_mm(scene, scene.cladding) if self.face.is_closed else 0.0
        return cover + OFF_WALL_MM

    @cached_property
    def past_slab_mm(self) -> float:
        """Past that and a slab, mm from the sheathing."""
        pad = self.datums.scene.foundation
        slab = pad.margin - self.face.sheet_mm if isinstance(pad, Pad) else 0.0
        return max(self.past_cover_mm, slab + OFF_WALL_MM)

    @cached_property
    def past_wall_mm(self) -> float:
        """The same, and past the gravel that a slab stands on over the ground."""
        pad = self.datums.scene.foundation
        if not isinstance(pad, Pad) or pad.above_ground <= pad.deep_mm:
            return self.past_slab_mm
        beside = pad.margin + pad.gravel_margin - self.face.sheet_mm
        return max(self.past_cover_mm, beside + OFF_WALL_MM)

    @cached_property
    def start_mm(self) -> float:
        """Where their boards would begin if no slab reached out, mm from the sheathing."""
        return self.past_cover_mm

    @property
    def head_z(self) -> float:
        """Top of the boards at the wall, mm."""
        raise NotImplementedError

    @cached_property
    def passed_over_mm(self) -> float | None:
        """Height of what reaches out there that they pass over: a slab, or gravel under it.

        None where nothing does, or too little is left of a stringer or joist over it.
        """
        pad, out = self.datums.scene.foundation, self.past_wall_mm - self.start_mm
        if not isinstance(pad, Pad) or not TOLERANCE_MM < out <= MOST_OVER_MM:
            return None
        is_slab = self.past_slab_mm > self.start_mm + TOLERANCE_MM
        top = pad.above_ground - (0.0 if is_slab else pad.deep_mm) - self.stands_mm
        left = self.head_z - self.board.breadth_mm - top - OFF_WALL_MM
        return top if left >= LEAST_OVER_MM else None

    @cached_property
    def out_mm(self) -> float:
        """Where h is 0, mm from the sheathing: not past a slab that they pass over.

        So no foot and no wheel drops in between.
        """
        passes = self.passed_over_mm is not None
        return self.start_mm if passes else max(self.past_wall_mm, self.start_mm)

    @cached_property
    def clear_of_blocks(self) -> tuple[float, float]:
        """How far out, and up, they are cut clear of pier blocks that stand out from the wall."""
        piers, datums = self.datums.scene.foundation, self.datums
        if not isinstance(piers, Piers):
            return (0.0, 0.0)
        half = piers.block_bottom / 2
        girder = datums.scene.lumber_stock(piers.girder).breadth_mm
        place, (u0, u1) = self.face.place, self.u
        outs = [0.0]
        for front in datums.bearer_fronts_mm(piers):
            for x in datums.pier_x_mm(piers):
                dx, dy = x - place.origin[0], front + girder / 2 - place.origin[1]
                along = dx * place.u[0] + dy * place.u[1]
                if u0 - CLEAR_OF_MM < along + half and u1 + CLEAR_OF_MM > along - half:
                    outs.append(dx * place.n[0] + dy * place.n[1] + half - self.out_mm)
        if max(outs) <= 0.0:
            return (0.0, 0.0)
        up = piers.block_height + CLEAR_OF_MM - self.stands_mm
        return (max(outs) + CLEAR_OF_MM, up)

    @cached_property
    def pier(self) -> tuple[float, float]:
        """The same of all that stands there: a slab too."""
        if self.passed_over_mm is None:
            return self.clear_of_blocks
        return (self.past_wall_mm - self.out_mm, self.passed_over_mm + OFF_WALL_MM)

    def clear_of_piers(self, area: BaseGeometry) -> Polygon:
        """The outline of what is left of a stringer or joist beside pier blocks."""
        out, up = self.pier
        return ring(largest(area.difference(box(-1.0, -1.0, out, up))) if out else area)

    def members_u(self, thick_mm: float) -> list[float]:
        """Left edges of the stringers or joists along the wall, mm."""
        left, right = self.u
        return evenly(left, right - thick_mm, APART_MM)

    def on_ground(self, long_mm: float, margin_mm: float = 0.0) -> Rect:
        """What they cover seen from above, (x0, y0, x1, y1), mm.

        Args:
            long_mm: How far they reach out.
            margin_mm: What is added past them, but not at the wall.
        """
        (u0, u1), n = self.u, self.out_mm
        ends = (
            self.face.place.point(u0 - margin_mm, 0.0, n),
            self.face.place.point(u1 + margin_mm, 0.0, n + long_mm + margin_mm),
        )
        (x0, x1), (y0, y1) = (sorted(pair) for pair in list(zip(*ends, strict=True))[:2])
        return (x0, y0, x1, y1)


@dataclass(frozen=True)
class StepsPlan(WayUpPlan):
    """The steps up to one door."""

    says: Steps

    @property
    def rise_mm(self) -> float:
        """Up to the threshold where there is one: it is stepped on. Source: IRC R311.3.1."""
        return super().rise_mm + (self.fitted.threshold_mm if self.fitted else 0.0)

    @cached_property
    def risers(self) -> int:
        """How many rises there are, the last one up to the floor or the threshold on it."""
        return max(1, math.ceil((self.rise_mm - TOLERANCE_MM) / self.says.rise))

    @property
    def riser_mm(self) -> float:
        """Each of them."""
        return self.rise_mm / self.risers

    @cached_property
    def boards(self) -> int:
        """How many make a tread."""
        return self.boards_of(LEAST_TREAD_MM)

    @property
    def run_mm(self) -> float:
        """Depth of a tread, from nosing to nosing."""
        return self.boards * (self.board.depth_mm + GAP_MM)

    @cached_property
    def landing_boards(self) -> int:
        """How many make the uppermost tread: a landing, where the code asks for one.

        None is asked for before a door that does not swing over two rises.
        """
        if self.risers <= 2 and not self.leaf_landing_mm:
            return self.boards
        return self.boards_of(max(LANDING_MM, self.leaf_landing_mm))

    @property
    def landing_mm(self) -> float:
        """Depth of the uppermost tread."""
        return self.landing_boards * (self.board.depth_mm + GAP_MM)

    @property
    def head_z(self) -> float:
        """Top of the uppermost tread."""
        return self.rise_mm - self.riser_mm

    @property
    def is_raised(self) -> bool:
        """Whether the landing stands on joists of its own, and a flight begins at its edge."""
        return self.landing_boards > self.boards and self.risers > 2

    @property
    def head(self) -> tuple[float, float]:
        """Where the flight begins and from what height it goes down: the floor, or a landing."""
        return (self.landing_mm, self.tops_mm[0]) if self.is_raised else (0.0, self.rise_mm)

    @property
    def flight_rises(self) -> int:
        """How many rises the flight has, the one up to what it leads to among them."""
        return self.risers - 1 if self.is_raised else self.risers

    @cached_property
    def tops_mm(self) -> tuple[float, ...]:
        """Top of each tread, from the floor down."""
        return tuple(self.rise_mm - k * self.riser_mm for k in range(1, self.risers))

    @cached_property
    def treads(self) -> tuple[tuple[float, float, int], ...]:
        """Where each tread begins, its top and how many boards it has, from the floor down."""
        starts = [0.0, *(self.landing_mm + k * self.run_mm for k in range(self.risers - 2))]
        counts = [self.landing_boards, *(self.boards for _ in starts[1:])]
        return tuple(zip(starts, self.tops_mm, counts, strict=True))

    @property
    def long_mm(self) -> float:
        """How far they reach out."""
        return self.landing_mm + (self.risers - 2) * self.run_mm

    @property
    def fall_rad(self) -> float:
        """Slope of the stringers' board; a single tread lies on level ones."""
        return math.atan2(self.riser_mm, self.run_mm) if self.flight_rises > 2 else 0.0

    def least_mm(self) -> float:
        """Depth of board from which on enough is left of a stringer, mm."""
        if self.flight_rises <= 2:
            return self.riser_mm - self.board.breadth_mm
        return LEAST_THROAT_MM + self.riser_mm * math.cos(self.fall_rad)

    @cached_property
    def stringer(self) -> str:
        """What the stringers are cut from."""
        least, scene = self.least_mm() - TOLERANCE_MM, self.datums.scene
        stringers = [usual(name, scene.units) for name in STRINGERS]
        enough = (name for name in stringers if scene.lumber_stock(name).depth_mm >= least)
        return self.says.stringer or next(enough, stringers[-1])

    @property
    def leg_stock(self) -> str:
        """What stands under their head is cut from this."""
        return usual(LEG, self.datums.scene.units)

    @property
    def joist_stock(self) -> str:
        """What a raised landing's joists are cut from."""
        return usual(JOIST, self.datums.scene.units)

    def low_z(self, h: float) -> float:
        """The lower edge of a stringer's board before its foot is cut, mm."""
        if self.flight_rises <= 2:
            return 0.0
        depth = self.datums.scene.lumber_stock(self.stringer).depth_mm / math.cos(self.fall_rad)
        start, top = self.head
        return top - self.board.breadth_mm - self.riser_mm * (h - start) / self.run_mm - depth

    @cached_property
    def outline(self) -> Polygon:
        """A stringer from its side, in (h, z), mm."""
        (start, high), thick, long = self.head, self.board.breadth_mm, self.long_mm
        own = [one for one in self.treads if one[0] > start - TOLERANCE_MM]
        ends_h = [*(h for h, _, _ in own[1:]), long]
        treads = union_all(
            [box(h, 0.0, end, top - thick) for (h, top, _), end in zip(own, ends_h, strict=True)]
        )
        ends = [(h, self.low_z(h)) for h in (start, long)]
        board = Area([*ends, (long, high), (start, high)])
        return self.clear_of_piers(treads.intersection(board))

    @property
    def leg(self) -> tuple[float, float] | None:
        """Where the leg beside a stringer's head begins, and its height, mm; None without."""
        out = max(self.pier[0], self.head[0])
        if self.low_z(out) <= TOLERANCE_MM:
            return None
        top = next(top for h, top, _ in self.treads if h > self.head[0] - TOLERANCE_MM)
        return (out, top - self.board.breadth_mm)

    @cached_property
    def landing(self) -> tuple[Polygon, list[Polygon]] | None:
        """A joist of a raised landing from its side, and its legs, in (h, z), mm; or None."""
        if not self.is_raised:
            return None
        scene, top = self.datums.scene, self.tops_mm[0] - self.board.breadth_mm
        low = max(0.0, top - scene.lumber_stock(self.joist_stock).depth_mm)
        wide = scene.lumber_stock(self.leg_stock).depth_mm
        legs = [rectangle(h, 0.0, h + wide, top) for h in (self.pier[0], self.landing_mm - wide)]
        return self.clear_of_piers(box(0.0, low, self.landing_mm, top)), legs


def ways_up(
    faces: Iterable[WallFace], lines: Iterable[BeamLine]
) -> Iterator[tuple[WallFace, Framed, Steps | Ramp, float]]:
    """Every door that steps or a ramp lead up to.

    Yields:
        Its wall, the door, what the scene says, and the height of what they stand on, mm.
    """
    grounds = list(lines)
    for face in faces:
        for framed in face.openings:
            says = framed.opening.steps
            match says:
                case Steps() | Ramp():
                    yield face, framed, says, ground_mm(face, framed, grounds)
                case NoSteps() | None:
                    pass
                case _:
                    assert_never(says)


def under_leg(leg: Polygon, carried: Iterable[Polygon]) -> Polygon | None:
    """What stands under a stringer or joist beside a leg, as wide as that, in (h, z), mm.

    Args:
        leg: The one beside it.
        carried: The stringer, or each length of the joist.

    Returns:
        Its outline, cut off along their undersides; None where too little is left.
    """
    whole = Area(leg)
    h0, _, h1, top = whole.bounds
    for one in carried:
        over = Area(one).intersection(box(h0, 0.0, h1, top))
        if over.area:
            whole = whole.difference(union_all([over, translate(over, yoff=top)]).convex_hull)
    least = box(h0, 0.0, h1, LEAST_UNDER_MM)
    return ring(largest(whole)) if whole.covers(least.buffer(-TOLERANCE_MM)) else None
