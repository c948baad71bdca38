"""The open bays: beams in the wall lines that run on over posts, and what the posts stand on."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

from pikepole_model.levels import Levels
from pikepole_model.part import Kind
from pikepole_model.piece import Piece, block, bulk, let_in, profile, sheeting, timber
from pikepole_model.placement import Placement
from pikepole_model.scene import Bay, Beam
from pikepole_model.shape import Circle, rectangle
from pikepole_model.spacing import joints_of, sheet_edges, splice
from pikepole_model.wall_plan import WallPlan

GROUND = "bay footings"

# Post bases and caps bent from 3 mm plate, the post held 1 in off the concrete so that its end
# grain dries, the stem cast 7 in deep: common practice, no source.
PLATE_MM = 3.0
STANDOFF_MM = 25.4
BASE_LEG_MM = 75.0
STEM_MM = 180.0
CAP_LEG_MM = 75.0


@dataclass(frozen=True, slots=True)
class WallLine:
    """The line of a front or back beam.

    Attributes:
        name: "front" or "back".
        outer: Y of the framing's outer face, mm.
        inwards: +1 where the building lies at greater Y, -1 where it lies at smaller.
        low: Underside of the beam above ground, mm.
    """

    name: str
    outer: float
    inwards: int
    low: float

    def y(self, depth: float) -> float:
        """Y of a depth behind the outer face, mm."""
        return self.outer + self.inwards * depth

    def span(self, near: float, far: float) -> tuple[float, float]:
        """Low and high Y between two depths behind the outer face, mm."""
        low, high = sorted((self.y(near), self.y(far)))
        return low, high


def wall_lines(levels: Levels) -> tuple[WallLine, WallLine]:
    """The front and the back wall line."""
    depth = levels.depth_mm
    return (
        WallLine("front", 0.0, 1, levels.plate_top_mm(0.0)),
        WallLine("back", depth, -1, levels.plate_top_mm(depth)),
    )


def post_centres(levels: Levels, bay: Bay) -> list[float]:
    """X of the posts of one wall line, evenly spaced, the last flush with the bay's end, mm."""
    breadth = levels.scene.lumber_stock(bay.post).breadth_mm
    from_store = [bay.length * (k + 1) / bay.posts for k in range(bay.posts)]
    from_store[-1] -= breadth / 2
    if bay.end == "right":
        return [levels.length_mm + x for x in from_store]
    return [-x for x in from_store]


def set_footings(levels: Levels, bay: Bay) -> list[Piece]:
    """A round concrete footing and a cast-in post base under every post."""
    pieces: list[Piece] = []
    for line in wall_lines(levels):
        for x in post_centres(levels, bay):
            base = _post_base(levels, bay, line, x)
            footing = bay.footing
            y = line.y(levels.scene.lumber_stock(bay.post).depth_mm / 2)
            concrete = profile(
                f"{bay.end} bay footing",
                Kind.FOOTING,
                GROUND,
                bulk(levels.scene, "concrete"),
                Circle(0.0, 0.0, footing.diameter / 2),
                Placement((x, y, -footing.depth)),
                footing.depth + footing.above_ground,
                length_along="n",
            )
            pieces += [let_in(concrete, base), base]
    return pieces


def _post_base(levels: Levels, bay: Bay, line: WallLine, x: float) -> Piece:
    """A standoff tube with two legs up the post's faces and a stem down into the footing.

    Drawn from the left end: u along Y, v up; extruded along X.
    """
    post = levels.scene.lumber_stock(bay.post)
    t, wide, stem = PLATE_MM, post.depth_mm, PLATE_MM
    top = STANDOFF_MM + BASE_LEG_MM
    outline = (
        (wide / 2 - stem, -STEM_MM),
        (wide / 2 + stem, -STEM_MM),
        (wide / 2 + stem, 0.0),
        (wide + t, 0.0),
        (wide + t, top),
        (wide, top),
        (wide, STANDOFF_MM),
        (0.0, STANDOFF_MM),
        (0.0, top),
        (-t, top),
        (-t, 0.0),
        (wide / 2 - stem, 0.0),
    )
    low_y = line.span(0.0, wide)[0]
    place = Placement(
        (x - post.breadth_mm / 2, low_y, bay.footing.above_ground),
        (0.0, 1.0, 0.0),
        (0.0, 0.0, 1.0),
    )
    return profile(
        f"{bay.end} bay post base",
        Kind.POST_BASE,
        GROUND,
        bulk(levels.scene, "steel", f"post base for {bay.post}"),
        outline,
        place,
        post.breadth_mm,
        holes=[rectangle(0.0, t, wide, STANDOFF_MM - t)],
        length_along="n",
    )


def stand_posts(levels: Levels, bay: Bay) -> list[Piece]:
    """The posts of one bay, notched for the beam or topped with a steel cap."""
    return [
        piece
        for line in wall_lines(levels)
        for x in post_centres(levels, bay)
        for piece in _post(levels, bay, line, x)
    ]


def _post(levels: Levels, bay: Bay, line: WallLine, x: float) -> Iterator[Piece]:
    """Drawn from the end: u along Y from the outer face inwards, v up; extruded along X."""
    scene = levels.scene
    post = scene.lumber_stock(bay.post)
    group = f"{bay.end} bay posts"
    foot = bay.footing.above_ground + STANDOFF_MM
    wide, seat = post.depth_mm, line.low
    inwards = (0.0, float(line.inwards), 0.0)
    # Extruding along u x v = +-X, so start at the face that leaves the post centred on x.
    place = Placement(
        (x - line.inwards * post.breadth_mm / 2, line.outer, 0.0), inwards, (0.0, 0.0, 1.0)
    )
    if bay.seat == "notch":
        tongue = seat + levels.up_the_beam_mm(wide)
        beam = levels.bearing_mm
        outline = (
            (0.0, foot),
            (wide, foot),
            (wide, tongue),
            (beam, tongue),
            (beam, seat),
            (0.0, seat),
        )
    else:
        outline = rectangle(0.0, foot, wide, seat - PLATE_MM)
        yield _post_cap(levels, bay, group, place, wide, seat)
    yield profile(
        f"{bay.end} bay post",
        Kind.POST,
        group,
        timber(scene, bay.post, treated=True),
        outline,
        place,
        post.breadth_mm,
        grain_rad=math.pi / 2,
    )


def _post_cap(
    levels: Levels, bay: Bay, group: str, place: Placement, wide: float, seat: float
) -> Piece:
    """A plate between post and beam with legs down the post and up the beam."""
    t, low = PLATE_MM, seat - PLATE_MM - CAP_LEG_MM
    high = seat + min(CAP_LEG_MM, levels.up_the_beam_mm(wide + t))
    outline = (
        (-t, low),
        (0.0, low),
        (0.0, seat - t),
        (wide, seat - t),
        (wide, low),
        (wide + t, low),
        (wide + t, high),
        (wide, high),
        (wide, seat),
        (0.0, seat),
        (0.0, high),
        (-t, high),
    )
    return profile(
        f"{bay.end} bay post cap",
        Kind.POST_CAP,
        group,
        bulk(levels.scene, "steel", f"post cap for {bay.post}"),
        outline,
        place,
        levels.scene.lumber_stock(bay.post).breadth_mm,
        length_along="n",
    )


def lay_beams(levels: Levels, beam: Beam, plans: tuple[WallPlan, ...]) -> list[Piece]:
    """The front and back beams, over the walls and on over the bays, built up from plies.

    Each ply meets its next length over a stud of the wall or over a post; neighbouring plies do
    not meet at the same support where the supports leave a choice. Spacers carry nothing and may
    end anywhere.
    """
    return [piece for line in wall_lines(levels) for piece in _beam(levels, beam, line, plans)]


def beam_supports(levels: Levels, plans: tuple[WallPlan, ...], name: str) -> list[float]:
    """X of everything that carries a beam of a wall line: studs and posts, mm."""
    plan = next(plan for plan in plans if plan.name == name)
    studs = [plan.place.point(u, 0.0)[0] for u in plan.full_height_centres()]
    posts = [x for bay in levels.scene.bay for x in post_centres(levels, bay)]
    return sorted([*studs, *posts])


def _beam(
    levels: Levels, beam: Beam, line: WallLine, plans: tuple[WallPlan, ...]
) -> Iterator[Piece]:
    scene = levels.scene
    stock = scene.lumber_stock(beam.ply)
    plies, group = timber(scene, beam.ply), f"{line.name} beam"
    low, high = line.low, line.low + stock.depth_mm
    left, right = levels.roof_ends_mm
    supports = beam_supports(levels, plans, line.name)
    near = 0.0
    earlier: list[float] = []
    for k in range(beam.plies):
        if k and beam.spacer:
            sheet = scene.sheet_stock(beam.spacer)
            y = line.span(near, near + sheet.thickness_mm)
            for x0, x1 in itertools.pairwise(sheet_edges(left, right, sheet.length_mm, ())):
                yield block(
                    f"{group} spacer",
                    Kind.BEAM_SPACER,
                    group,
                    sheeting(scene, beam.spacer),
                    (x0, y[0], low),
                    (x1, y[1], high),
                    "x",
                )
            near += sheet.thickness_mm
        y = line.span(near, near + stock.breadth_mm)
        runs = splice(left, right, stock.longest_mm, supports, earlier)
        earlier = joints_of(runs)
        for x0, x1 in runs:
            yield block(
                f"{group} ply", Kind.BEAM, group, plies, (x0, y[0], low), (x1, y[1], high), "x"
            )
        near += stock.breadth_mm
