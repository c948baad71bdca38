"""Beams on walls and posts, and what the posts stand on."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, block, bulk, let_in, profile, sheeting, timber
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Circle, rectangle
from pikepole_model.geometry.spacing import sheet_edges, splice
from pikepole_model.plan.beams import STEM_MM, BeamLine, Post
from pikepole_model.plan.datums import PLATE_MM
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.slope import Support
from pikepole_model.plan.wall import WallPlan
from pikepole_model.units import format_length

# A post base holds the post 1 in off the concrete, so that its end grain dries: common practice, no
# source.
STANDOFF_MM = 25.4
BASE_LEG_MM = 75.0
CAP_LEG_MM = 75.0


def set_footings(lines: Iterable[BeamLine]) -> list[Piece]:
    """A round concrete footing and a cast-in post base under every post."""
    pieces: list[Piece] = []
    for line in lines:
        scene = line.roof.datums.scene
        for post in line.posts:
            base, (low, high) = _post_base(line, post), post.concrete_mm
            concrete = profile(
                f"{post.name} footing",
                Kind.FOOTING,
                post.footings,
                bulk(scene, "concrete"),
                Circle(0.0, 0.0, post.says.footing.diameter / 2),
                Placement((post.x, line.middle_y(post), low)),
                high - low,
                length_along="n",
            )
            pieces += [let_in(concrete, base), base]
    return pieces


def _post_base(line: BeamLine, post: Post) -> Piece:
    """A standoff tube with two legs up the post's faces and a stem down into the footing.

    Drawn from the left end: u along Y, v up; extruded along X.
    """
    scene = line.roof.datums.scene
    stock = scene.lumber_stock(post.says.post)
    t, wide, stem = PLATE_MM, stock.depth_mm, PLATE_MM
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
        (post.x - stock.breadth_mm / 2, low_y, post.base_mm),
        (0.0, 1.0, 0.0),
        (0.0, 0.0, 1.0),
    )
    return profile(
        f"{post.name} post base",
        Kind.POST_BASE,
        post.footings,
        bulk(scene, "steel", f"post base for {post.says.post}"),
        outline,
        place,
        stock.breadth_mm,
        holes=[rectangle(0.0, t, wide, STANDOFF_MM - t)],
        length_along="n",
    )


def stand_posts(lines: Iterable[BeamLine]) -> list[Piece]:
    """The posts of every line, notched for the beam or topped with a steel cap."""
    return [piece for line in lines for post in line.posts for piece in _post(line, post)]


def _post(line: BeamLine, post: Post) -> Iterator[Piece]:
    """Drawn from the end: u along Y from the outer face inwards, v up; extruded along X."""
    scene = line.roof.datums.scene
    stock = scene.lumber_stock(post.says.post)
    foot = post.base_mm + STANDOFF_MM
    wide, seat = stock.depth_mm, line.low_mm
    inwards = (0.0, float(line.inwards), 0.0)
    # Extruding along u x v = +-X, so start at the face that leaves the post centred on x.
    place = Placement(
        (post.x - line.inwards * stock.breadth_mm / 2, line.outer, 0.0), inwards, (0.0, 0.0, 1.0)
    )
    if post.says.seat == "notch":
        tongue = seat + line.up_the_beam_mm(wide)
        beam = line.width_mm
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
        yield _post_cap(line, post, wide)
    yield profile(
        f"{post.name} post",
        Kind.POST,
        post.group,
        timber(scene, post.says.post, treated=True),
        outline,
        place,
        stock.breadth_mm,
        grain_rad=math.pi / 2,
    )


def _post_cap(line: BeamLine, post: Post, wide: float) -> Piece:
    """A plate between post and beam with legs down the post and up the beam.

    Where plies meet, plate and upper legs reach past the post to the bolts in either length.
    """
    scene, t, seat = line.roof.datums.scene, PLATE_MM, line.low_mm
    low = seat - PLATE_MM - CAP_LEG_MM
    high = seat + min(CAP_LEG_MM, line.up_the_beam_mm(-t, wide + t))
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
    broad, long = scene.lumber_stock(post.says.post).breadth_mm, line.cap_mm(post)
    past = (long - broad) / 2
    along = f", {format_length(long, scene.units)} along the beam" if past else ""
    source = bulk(scene, "steel", f"post cap for {post.says.post}{along}")
    # Extruding along u x v = +-X, as a post is.
    start = (post.x - line.inwards * long / 2, line.outer, 0.0)
    place = Placement(start, (0.0, float(line.inwards), 0.0), (0.0, 0.0, 1.0))
    cap = profile(
        f"{post.name} post cap",
        Kind.POST_CAP,
        post.group,
        source,
        outline,
        place,
        long,
        length_along="n",
    )
    near, far = line.span(-t, wide + t)
    for end in (post.x - long / 2, post.x + broad / 2) if past else ():
        cut = block(
            cap.label,
            cap.kind,
            cap.group,
            source,
            (end, near, low),
            (end + past, far, seat - t),
            "x",
        )
        cap = let_in(cap, cut)
    return cap


def lay_beams(lines: Iterable[BeamLine]) -> list[Piece]:
    """Every beam, built up from plies and spacers.

    Where its plies meet their next lengths is the line's to say. Spacers carry nothing and may end
    anywhere.
    """
    return [piece for line in lines for piece in _beam(line)]


def _beam(line: BeamLine) -> Iterator[Piece]:
    scene, beam = line.roof.datums.scene, line.beam
    stock = scene.lumber_stock(beam.ply)
    plies, group = timber(scene, beam.ply), f"{line.name} beam"
    low, high = line.low_mm, line.top_mm
    left, right = line.x
    near = 0.0
    for k, runs in enumerate(line.plies):
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
        for x0, x1 in runs:
            yield block(
                f"{group} ply", Kind.BEAM, group, plies, (x0, y[0], low), (x1, y[1], high), "x"
            )
        near += stock.breadth_mm


def hang_ledgers(roof: RoofPlan, plans: tuple[WallPlan, ...]) -> list[Piece]:
    """The ledgers along the front or back wall's sheets that carry a lower roof's rafters."""
    datums, pieces = roof.datums, list[Piece]()
    for slope in roof.ledger_slopes:
        bearing = next(b for b in slope.bearings if b.on == Support.LEDGER)
        side = slope.falls
        bay = datums.bay_at(side)
        plan = next(plan for plan in plans if plan.name == side)
        assert bay
        stock = datums.scene.lumber_stock(bay.ledger)
        y0, y1 = sorted(slope.y_of(h) for h in bearing.h)
        studs = [plan.place.point(u, 0.0)[0] for u in plan.full_height_centres()]
        for x0, x1 in splice(0.0, datums.length_mm, stock.longest_of_mm(datums.length_mm), studs):
            pieces.append(
                block(
                    f"{side} lean-to ledger",
                    Kind.LEDGER,
                    f"{side} lean-to beam",
                    timber(datums.scene, bay.ledger),
                    (x0, y0, bearing.top_mm - stock.depth_mm),
                    (x1, y1, bearing.top_mm),
                    "x",
                )
            )
    return pieces
