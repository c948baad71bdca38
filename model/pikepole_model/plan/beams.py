"""The level lines that carry the roof where no wall does: beams, and the posts under them."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

from pikepole_model.geometry.plies import LEAST_PLY_MM, staggered
from pikepole_model.geometry.spacing import TOLERANCE_MM, evenly, joints_of, parted
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.seats import LEAST_BEARING_MM
from pikepole_model.plan.slope import Support
from pikepole_model.plan.wall import WallPlan
from pikepole_model.scene.posts import (
    POSTS_APART_MM,
    Bay,
    InnerPosts,
    OnFootings,
    OnPosts,
    Posts,
)
from pikepole_model.scene.schema import BuiltUp
from pikepole_model.scene.types import Eave

# The stem of a post base is cast this deep into its footing: 7 in, common practice, no source.
STEM_MM = 180.0

# What holds a beam to its post reaches up this share of its depth, where the rafters leave it room:
# enough for two bolts, and clear of the heels above. Common practice, no source.
UP_THE_BEAM = 0.7
CLEAR_OF_RAFTERS_MM = 3.0

# Where plies meet over a post, its cap holds either length by bolts of its own: of 1/2 in, 7 times
# as far from the end of softwood (NDS Table 12.5.1A, tension, full value), 3/4 in from that of the
# steel (AISC 360 Table J3.4). Both from memory.
BOLT_MM = 12.7
FROM_PLYS_END_MM = 7 * BOLT_MM
FROM_CAPS_END_MM = 19.05


@dataclass(frozen=True, slots=True)
class Post:
    """One post of a beam line.

    Attributes:
        x: Its centre, mm.
        name: What the names of its pieces begin with: "left bay", "front".
        group: What it is raised with: "left bay posts", "posts".
        footings: What the concrete under it is counted with: "bay footings", "footings".
        says: What the scene says of it: its bay, the posts in place of the walls, or those inside.
        concrete_mm: Foot and top of its footing, mm above ground.
        base_mm: What its base stands on, mm above ground: the footing, or the slab over it.
    """

    x: float
    name: str
    group: str
    footings: str
    says: OnFootings
    concrete_mm: tuple[float, float]
    base_mm: float


@dataclass(frozen=True)
class BeamLine:
    """A beam along X.

    Attributes:
        name: "front", "back", "ridge", "back lean-to".
        roof: The roof it carries.
        beam: What it is built up from.
        outer: Y of its outer face, mm; its posts' outer faces lie there too.
        inwards: +1 where the building lies at greater Y, -1 where it lies at smaller.
        top_mm: Its top above ground.
        x: Its two ends, mm.
        posts: What it stands on past the walls.
        on_walls: X of everything else it stands on, mm.
        plates: From and to along X of the walls' plates under it, mm.
    """

    name: str
    roof: RoofPlan
    beam: BuiltUp
    outer: float
    inwards: int
    top_mm: float
    x: tuple[float, float]
    posts: tuple[Post, ...]
    on_walls: tuple[float, ...]
    plates: tuple[tuple[float, float], ...]

    @property
    def width_mm(self) -> float:
        """Thickness over plies and spacers."""
        return self.roof.datums.width_of(self.beam)

    @property
    def depth_mm(self) -> float:
        """Depth of a ply."""
        return self.roof.datums.scene.lumber_stock(self.beam.ply).depth_mm

    @property
    def low_mm(self) -> float:
        """Its underside above ground."""
        return self.top_mm - self.depth_mm

    @property
    def supports(self) -> list[float]:
        """X of everything it stands on, mm."""
        return sorted([*self.on_walls, *(post.x for post in self.posts)])

    @property
    def joints(self) -> list[float]:
        """X where two lengths of a ply may meet, mm: over supports, and both on enough wood.

        Each end lies on 1-1/2 in (IRC R502.6), and joints on posts alone (IRC R507.5.2).
        """
        scene = self.roof.datums.scene
        halves = [
            (post.x, scene.lumber_stock(post.says.post).breadth_mm / 2) for post in self.posts
        ]
        bears = [*self.plates, *((x - half, x + half) for x, half in halves)]
        least = LEAST_BEARING_MM - TOLERANCE_MM
        return [
            x for x in self.supports if any(low + least <= x <= high - least for low, high in bears)
        ]

    @property
    def inner_joints(self) -> list[float]:
        """Those of the joints that leave no splinter at an end, mm."""
        start, end = self.x
        return [x for x in self.joints if start + LEAST_PLY_MM <= x <= end - LEAST_PLY_MM]

    @property
    def longest_mm(self) -> float:
        """The longest length of a ply: where no joint may lie, all of a board, untrimmed.

        Where posts carry joints, plies are of shorter lengths: those are lighter to raise.
        """
        stock = self.roof.datums.scene.lumber_stock(self.beam.ply)
        start, end = self.x
        return stock.longest_mm if self.inner_joints else stock.longest_whole_mm(end - start)

    @cached_property
    def plies(self) -> list[list[tuple[float, float]]]:
        """From and to of each length of every ply, the outer one first, mm."""
        return staggered(*self.x, self.longest_mm, self.joints, self.beam.plies)

    def cap_mm(self, post: Post) -> float:
        """How long a post's cap is along the beam, mm: as the post, and more where plies meet."""
        broad = self.roof.datums.scene.lumber_stock(post.says.post).breadth_mm
        joined = any(
            abs(joint - post.x) < TOLERANCE_MM for runs in self.plies for joint in joints_of(runs)
        )
        return max(broad, 2 * (FROM_PLYS_END_MM + FROM_CAPS_END_MM)) if joined else broad

    def y(self, depth: float) -> float:
        """Y of a depth behind the outer face, mm."""
        return self.outer + self.inwards * depth

    def span(self, near: float, far: float) -> tuple[float, float]:
        """Low and high Y between two depths behind the outer face, mm."""
        low, high = sorted((self.y(near), self.y(far)))
        return low, high

    def middle_y(self, post: Post) -> float:
        """Y of a post's middle, and of its footing's, mm."""
        return self.y(self.roof.datums.scene.lumber_stock(post.says.post).depth_mm / 2)

    def footing_from_above(self, post: Post, clear_mm: float) -> tuple[float, float, float, float]:
        """A square round a post's footing: low X and Y, high X and Y, mm.

        Args:
            post: Which.
            clear_mm: What it keeps clear of the footing.
        """
        x, y, out = post.x, self.middle_y(post), post.says.footing.diameter / 2 + clear_mm
        return (x - out, y - out, x + out, y + out)

    @property
    def soffit_mm(self) -> float:
        """How far a soffit reaches down from the rafters' undersides, mm; 0 without one."""
        scene = self.roof.datums.scene
        if not scene.edges or not scene.edges.soffit:
            return 0.0
        steepest = max(slope.slope_rad for slope in self.roof.all_slopes)
        return scene.sheet_stock(scene.edges.soffit).thickness_mm / math.cos(steepest)

    def up_the_beam_mm(self, *reaches: float, under_mm: float = 0.0) -> float:
        """How far up the beam a post's tongue or cap can stand, under the rafters, mm.

        Args:
            reaches: How far in from the outer face it stands, mm, negative for a leg outside it;
                the rafters may come down over any of these.
            under_mm: What lies under the rafters there, mm.
        """
        lowest = min(self.roof.lowest_rafter_mm(self.y(reach)) for reach in reaches)
        return min(
            UP_THE_BEAM * self.depth_mm, lowest - under_mm - CLEAR_OF_RAFTERS_MM - self.low_mm
        )


# What a line stands on in walls, and the plates there, as in `BeamLine`.
_OnWalls: TypeAlias = tuple[tuple[float, ...], tuple[tuple[float, float], ...]]
_ON_NONE: _OnWalls = ((), ())


def plan_beams(roof: RoofPlan, plans: tuple[WallPlan, ...]) -> tuple[BeamLine, ...]:
    """Every beam of a scene: over the front and the back, at the ridge, out at the lean-tos."""
    datums = roof.datums
    lines: list[BeamLine] = []
    if datums.beam:
        eaves: tuple[tuple[Eave, float, int], ...] = (
            ("front", 0.0, 1),
            ("back", datums.depth_mm, -1),
        )
        for name, outer, inwards in eaves:
            studs = [
                plan.place.point(u, 0.0)[0]
                for plan in plans
                if plan.name == name
                for u in plan.full_height_centres()
            ]
            top = roof.plate_top_mm(name) + datums.beam_depth_mm
            plates = ((0.0, datums.length_mm),) if plans else ()
            stand = tuple(studs), plates
            lines.append(_under_roof(roof, name, datums.beam, outer, inwards, top, stand))
    wall, length = datums.wall_mm, datums.length_mm
    on_ends: _OnWalls = ((wall / 2, length - wall / 2), ((0.0, wall), (length - wall, length)))
    ends = on_ends if plans else _ON_NONE
    if roof.ridge and roof.ridge_beam:
        outer, top = roof.ridge.span_y[0], roof.ridge.top_mm
        inner = _posts_inside(roof, roof.ridge_beam.posts) if roof.ridge_beam.posts else ()
        lines.append(_under_roof(roof, "ridge", roof.ridge_beam, outer, 1, top, ends, inner))
    clerestory = datums.scene.roof.clerestory
    if roof.strip_beam and clerestory:
        outer, top = roof.strip_beam.span_y[0], roof.strip_beam.top_mm
        lines.append(_under_roof(roof, "clerestory", clerestory, outer, 1, top, ends))
    knee = datums.scene.roof.knee
    for purlin in roof.purlins:
        assert knee
        to_back = purlin.y < datums.depth_mm / 2
        outer = purlin.span_y[0 if to_back else 1]
        inwards, top = 1 if to_back else -1, purlin.top_mm
        lines.append(_under_roof(roof, purlin.name, knee, outer, inwards, top, ends))
    for slope in roof.all_slopes:
        for bearing in slope.bearings:
            edges = (slope.y_of(bearing.h[0]), slope.y_of(bearing.h[1]))
            if bearing.on == Support.INNER and datums.beam:
                inner = sum(line.name.startswith("inner") for line in lines) + 1
                name, top = f"inner {inner}", bearing.top_mm
                lines.append(_under_roof(roof, name, datums.beam, min(edges), 1, top, _ON_NONE))
            if bearing.on != Support.LEAN_TO:
                continue
            outward = sum(edges) - datums.depth_mm
            side = "back" if outward > 0 else "front"
            bay = datums.bay_at(side)
            assert bay
            assert datums.scene.beam
            lines.append(
                BeamLine(
                    f"{side} lean-to",
                    roof,
                    datums.scene.beam,
                    max(edges) if outward > 0 else min(edges),
                    -1 if outward > 0 else 1,
                    bearing.top_mm,
                    slope.ends_x,
                    _posts_along(roof, bay, slope.ends_x),
                    *_ON_NONE,
                )
            )
    return tuple(lines)


def _under_roof(
    roof: RoofPlan,
    name: str,
    beam: BuiltUp,
    outer: float,
    inwards: int,
    top_mm: float,
    walls: _OnWalls,
    inner: tuple[Post, ...] = (),
) -> BeamLine:
    """A beam under the main roof, from end to end of it."""
    ends, posts = roof.datums.roof_ends_mm, roof.datums.scene.posts
    stand = _posts_from_end_to_end(roof, posts, name) if posts else _posts_out(roof)
    return BeamLine(name, roof, beam, outer, inwards, top_mm, ends, (*stand, *inner), *walls)


def _posts_out(roof: RoofPlan) -> tuple[Post, ...]:
    """The posts of one line in the bays at the ends, evenly spaced, the last flush with the end."""
    datums = roof.datums
    posts: list[Post] = []
    for bay in (bay for bay in datums.scene.bay if bay.side in ("left", "right")):
        count = bay.posts or (len(evenly(0.0, bay.reach, bay.every)) - 1 if bay.every else 1)
        half = datums.scene.lumber_stock(bay.post).breadth_mm / 2
        out = [bay.reach * (k + 1) / count for k in range(count)]
        if bay.widths:
            out = [*itertools.accumulate(bay.widths), bay.reach]
        out[-1] -= half
        posts += [_of_bay(datums.length_mm + x if bay.side == "right" else -x, bay) for x in out]
    return tuple(posts)


def _posts_along(roof: RoofPlan, bay: Bay, x: tuple[float, float]) -> tuple[Post, ...]:
    """The posts of a lean-to, evenly spaced, the first and last flush with the beam's ends."""
    if bay.posts and not bay.widths:
        half = roof.datums.scene.lumber_stock(bay.post).breadth_mm / 2
        places = parted(x[0] + half, x[1] - half, max(1, bay.posts - 1))
    else:
        places = _between(roof, x, bay, bay.every or POSTS_APART_MM)
    return tuple(_of_bay(place, bay) for place in places)


def _posts_inside(roof: RoofPlan, says: InnerPosts) -> tuple[Post, ...]:
    """Posts between the end walls, evenly spaced, each on a footing under the slab."""
    datums, pad = roof.datums, roof.datums.scene.floor_pad
    if not pad:
        return ()
    half = datums.wall_mm / 2
    places = parted(half, datums.length_mm - half, says.count + 1)[1:-1]
    concrete = (-says.footing.depth, pad.above_ground - pad.thickness)
    return tuple(
        Post(x, "ridge", "posts", "footings", says, concrete, datums.floor_mm) for x in places
    )


def _of_bay(x: float, bay: Bay) -> Post:
    return _outside(x, f"{bay.side} bay", f"{bay.side} bay posts", "bay footings", bay)


def _outside(x: float, name: str, group: str, footings: str, says: OnPosts) -> Post:
    top = says.footing.above_ground
    return Post(x, name, group, footings, says, (-says.footing.depth, top), top)


def _posts_from_end_to_end(roof: RoofPlan, posts: Posts, name: str) -> tuple[Post, ...]:
    """The posts of one line in place of walls, evenly spaced and flush with the roof's ends."""
    places = _between(roof, roof.datums.roof_ends_mm, posts, posts.every)
    return tuple(_outside(x, name, "posts", "footings", posts) for x in places)


def _between(roof: RoofPlan, ends: tuple[float, float], says: OnPosts, most: float) -> list[float]:
    """Posts flush with both ends, the inner ones by their bays' widths or evenly."""
    half = roof.datums.scene.lumber_stock(says.post).breadth_mm / 2
    first, last = ends[0] + half, ends[1] - half
    if says.widths:
        return [*itertools.accumulate(says.widths, initial=first), last]
    return evenly(first, last, most)
