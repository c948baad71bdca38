"""The level lines that carry the roof where no wall does: beams, and the posts under them."""

from __future__ import annotations

from dataclasses import dataclass

from pikepole_model.geometry.spacing import evenly
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.slope import Support
from pikepole_model.plan.wall import WallPlan
from pikepole_model.scene.schema import Bay, BuiltUp
from pikepole_model.scene.types import Eave

# Posts of a lean-to stand at most this far apart where the scene does not say: 8 ft, common
# practice, no source. What a beam can really span depends on its load.
POSTS_APART_MM = 2438.4

# The stem of a post base is cast this deep into its footing: 7 in, common practice, no source.
STEM_MM = 180.0

# What holds a beam to its post reaches up this share of its depth, where the rafters leave it room:
# enough for two bolts, and clear of the heels above. Common practice, no source.
UP_THE_BEAM = 0.7
CLEAR_OF_RAFTERS_MM = 3.0


@dataclass(frozen=True, slots=True)
class Post:
    """One post of a beam line: its centre along X, mm, and the bay it belongs to."""

    x: float
    bay: Bay


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

    def y(self, depth: float) -> float:
        """Y of a depth behind the outer face, mm."""
        return self.outer + self.inwards * depth

    def span(self, near: float, far: float) -> tuple[float, float]:
        """Low and high Y between two depths behind the outer face, mm."""
        low, high = sorted((self.y(near), self.y(far)))
        return low, high

    def up_the_beam_mm(self, *reaches: float) -> float:
        """How far up the beam a post's tongue or cap can stand, under the rafters, mm.

        Args:
            reaches: How far in from the outer face it stands, mm, negative for a leg outside it;
                the rafters may come down over any of these.
        """
        lowest = min(self.roof.lowest_rafter_mm(self.y(reach)) for reach in reaches)
        return min(UP_THE_BEAM * self.depth_mm, lowest - CLEAR_OF_RAFTERS_MM - self.low_mm)


def plan_beams(roof: RoofPlan, plans: tuple[WallPlan, ...]) -> tuple[BeamLine, ...]:
    """Every beam of a scene: on the front and back walls, at the ridge, out at the lean-tos."""
    datums = roof.datums
    lines: list[BeamLine] = []
    end_bays = [bay for bay in datums.scene.bay if bay.side in ("left", "right")]
    if datums.beam:
        eaves: tuple[tuple[Eave, float, int], ...] = (
            ("front", 0.0, 1),
            ("back", datums.depth_mm, -1),
        )
        for name, outer, inwards in eaves:
            plan = next(plan for plan in plans if plan.name == name)
            studs = tuple(plan.place.point(u, 0.0)[0] for u in plan.full_height_centres())
            lines.append(
                BeamLine(
                    name,
                    roof,
                    datums.beam,
                    outer,
                    inwards,
                    roof.plate_top_mm(name) + datums.beam_depth_mm,
                    datums.roof_ends_mm,
                    _posts_out(roof, end_bays),
                    studs,
                )
            )
    if roof.ridge and roof.ridge_beam:
        wall = datums.wall_mm / 2
        lines.append(
            BeamLine(
                "ridge",
                roof,
                roof.ridge_beam,
                roof.ridge.span_y[0],
                1,
                roof.ridge.top_mm,
                datums.roof_ends_mm,
                _posts_out(roof, end_bays),
                (wall, datums.length_mm - wall),
            )
        )
    knee = datums.scene.roof.knee
    for purlin in roof.purlins:
        assert knee
        to_back = purlin.y < datums.depth_mm / 2
        lines.append(
            BeamLine(
                purlin.name,
                roof,
                knee,
                purlin.span_y[0 if to_back else 1],
                1 if to_back else -1,
                purlin.top_mm,
                datums.roof_ends_mm,
                _posts_out(roof, end_bays),
                (datums.wall_mm / 2, datums.length_mm - datums.wall_mm / 2),
            )
        )
    for slope in roof.all_slopes:
        for bearing in slope.bearings:
            if bearing.on != Support.LEAN_TO:
                continue
            edges = (slope.y_of(bearing.h[0]), slope.y_of(bearing.h[1]))
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
                    (),
                )
            )
    return tuple(lines)


def _posts_out(roof: RoofPlan, bays: list[Bay]) -> tuple[Post, ...]:
    """The posts of one line in the bays at the ends, evenly spaced, the last flush with the end."""
    datums = roof.datums
    posts: list[Post] = []
    for bay in bays:
        count = bay.posts or (len(evenly(0.0, bay.reach, bay.every)) - 1 if bay.every else 1)
        half = datums.scene.lumber_stock(bay.post).breadth_mm / 2
        out = [bay.reach * (k + 1) / count for k in range(count)]
        out[-1] -= half
        posts += [Post(datums.length_mm + x if bay.side == "right" else -x, bay) for x in out]
    return tuple(posts)


def _posts_along(roof: RoofPlan, bay: Bay, x: tuple[float, float]) -> tuple[Post, ...]:
    """The posts of a lean-to, evenly spaced, the first and last flush with the beam's ends."""
    half = roof.datums.scene.lumber_stock(bay.post).breadth_mm / 2
    first, last = x[0] + half, x[1] - half
    count = bay.posts or len(evenly(first, last, bay.every or POSTS_APART_MM))
    gaps = max(1, count - 1)
    return tuple(Post(first + (last - first) * k / gaps, bay) for k in range(gaps + 1))
