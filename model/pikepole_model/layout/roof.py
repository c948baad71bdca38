"""The roof: rafters, ridge and ties, lookouts with blocks, fly rafters, sheets.

Rafters are drawn from the end of the building in the plane (h, z): h is the level distance down
the slope, z the height. In that plane every slope falls from left to right.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely
from shapely import Polygon as Area
from shapely import box
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, Source, block, profile, sheeting, timber
from pikepole_model.geometry.outline import largest, ring
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Polygon, rectangle
from pikepole_model.geometry.spacing import TOLERANCE_MM, overlap, sheet_rows, splice
from pikepole_model.plan.cross_section import Meets
from pikepole_model.plan.faces import roof_plane, roof_size, roof_u
from pikepole_model.plan.gussets import gusset_outlines
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.roof_section import across, label
from pikepole_model.plan.slope import Slope, at
from pikepole_model.plan.tails import level_tailed
from pikepole_model.plan.ties import tie_low_mm, tie_starts
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.types import Wall

RAFTERS = "rafters"
RAKES = "rake overhangs"
DECK = "roof deck"

# Lookouts may stand this share of their spacing farther apart, before one more is set.
LOOKOUT_SLACK = 0.01

# A lookout keeps this far from the end of the tails and from the blocks at the bearings.
CLEAR_MM = 20.0

# Shorter blocks split at their nails: lookouts leave room for longer ones, between each other and
# under a ridge or a knee. 3 in, common practice, no source.
LEAST_BLOCK_MM = 76.2


def stick(slope: Slope, depth: float, down: float = 0.0) -> Area:
    """A rafter before its birdsmouths: from end to end, in (h, z), mm.

    Args:
        slope: The plane it lies in.
        depth: Of the rafter, mm.
        down: How far its top lies under the roof's plane, square to it, mm.
    """
    top, bottom = down, down + depth
    return Area(
        [
            slope.corner(slope.upper, top),
            slope.corner(slope.upper, bottom),
            slope.corner(slope.lower, bottom),
            slope.corner(slope.lower, top),
        ]
    )


def seated(slope: Slope, rafter: Area, *, at_end: bool = False) -> Polygon:
    """A rafter less what it sits on: a level seat and a plumb heel at each bearing.

    Args:
        slope: The plane it lies in.
        rafter: Its outline in (h, z), mm.
        at_end: Whether it is an end rafter.
    """
    left: BaseGeometry = rafter
    for bearing in slope.bearings:
        if bearing.level_at_ends or not at_end:
            left = left.difference(box(bearing.h[0], 0.0, bearing.h[1], bearing.top_mm))
    return ring(largest(left))


def _rafter(
    slope: Slope, kind: Kind, group: str, source: Source, outline: Polygon, x: float
) -> Piece:
    assert source.section_mm
    return _plumb(slope, kind, group, source, outline, x, source.section_mm[0])


def _plumb(
    slope: Slope,
    kind: Kind,
    group: str,
    source: Source,
    outline: Polygon,
    x: float,
    breadth: float,
) -> Piece:
    """A piece whose outline is drawn in a plane across the roof, from x on."""
    return profile(
        label(slope, kind),
        kind,
        group,
        source,
        outline,
        across(slope, x, breadth),
        breadth,
        grain_rad=-slope.slope_rad,
    )


def set_rafters(roof: RoofPlan) -> list[Piece]:
    """The ridge, rafters, ties and gussets."""
    return [
        *_ridge_board(roof),
        *(piece for slope in roof.all_slopes for piece in _rafters(roof.datums.scene, slope)),
        *_ties(roof),
        *_gussets(roof),
    ]


def _rafters(scene: Scene, slope: Slope) -> Iterator[Piece]:
    common = timber(scene, slope.rafter)
    end = Source(slope.end_rafter, common.material, (slope.breadth_mm, slope.end_rafter_mm))
    whole = level_tailed(scene, slope, stick(slope, slope.rafter_mm))
    outline = seated(slope, whole)
    end_whole = stick(slope, slope.end_rafter_mm, slope.lookout_mm)
    end_outline = seated(slope, level_tailed(scene, slope, end_whole), at_end=True)
    half = slope.breadth_mm / 2
    for centre in slope.centres_mm:
        if slope.is_end(centre):
            yield _rafter(slope, Kind.END_RAFTER, RAFTERS, end, end_outline, centre - half)
        else:
            yield _rafter(slope, Kind.RAFTER, RAFTERS, common, outline, centre - half)


def _ridge_board(roof: RoofPlan) -> Iterator[Piece]:
    """The board the rafters' plumb cuts are nailed to, its top corners in the roof's planes."""
    board, ridge = roof.ridge_board, roof.ridge
    if not board or not ridge:
        return
    scene, slope = roof.datums.scene, roof.slopes[0]
    start, end = slope.ends_x
    longest = scene.lumber_stock(board.board).longest_whole_mm(end - start)
    for x0, x1 in splice(start, end, longest, slope.centres_mm):
        yield block(
            "ridge board",
            Kind.RIDGE_BOARD,
            RAFTERS,
            timber(scene, board.board),
            (x0, ridge.span_y[0], ridge.low_mm),
            (x1, ridge.span_y[1], ridge.top_mm),
            "x",
        )


def tie_outlines(roof: RoofPlan) -> list[tuple[tuple[float, float], Polygon]]:
    """From and to in X, and outline of each rafter tie seen from the right end, in (y, z), mm.

    Its ends are cut to the tops of the rafters it lies beside: end rafters lie under lookouts.
    """
    board, slope = roof.ridge_board, roof.slopes[0]
    if not board:
        return []
    datums, low = roof.datums, tie_low_mm(roof)
    deep = datums.depth_mm
    stock = datums.scene.lumber_stock(board.tie)
    stick = box(0.0, low, deep, low + stock.depth_mm)
    ties: list[tuple[tuple[float, float], Polygon]] = []
    for centre, start in tie_starts(roof).items():
        if start is None:
            continue
        under = slope.lookout_mm if slope.is_end(centre) else 0.0
        line = reversed(roof.line_under(under))
        under = Area([(0.0, 0.0), (deep, 0.0), *line])
        ties.append(((start, start + stock.breadth_mm), ring(under.intersection(stick))))
    return ties


def _ties(roof: RoofPlan) -> Iterator[Piece]:
    for (x0, x1), outline in tie_outlines(roof):
        assert roof.ridge_board
        source = timber(roof.datums.scene, roof.ridge_board.tie)
        place = Placement((x0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
        yield profile("rafter tie", Kind.TIE, RAFTERS, source, outline, place, x1 - x0)


def _gussets(roof: RoofPlan) -> Iterator[Piece]:
    knee = roof.datums.scene.roof.knee
    for (x0, x1), outline in gusset_outlines(roof):
        assert knee
        assert knee.gusset
        source = sheeting(roof.datums.scene, knee.gusset)
        place = Placement((x0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
        yield profile("gusset", Kind.GUSSET, RAFTERS, source, outline, place, x1 - x0)


def extend_rakes(roof: RoofPlan) -> list[Piece]:
    """Lookouts laid flat over the end rafters, the fly rafters they carry, and blocks between."""
    return [
        piece
        for slope in roof.all_slopes
        if slope.lookout_mm
        for piece in (*_rakes(roof.datums.scene, slope), *_lookout_blocks(roof, slope))
    ]


def _rakes(scene: Scene, slope: Slope) -> Iterator[Piece]:
    roof = scene.roof
    lookout = timber(scene, roof.lookout)
    fly = timber(scene, roof.fly_rafter or slope.end_rafter)
    assert lookout.section_mm
    assert fly.section_mm
    thickness, width = lookout.section_mm
    fly_breadth, fly_depth = fly.section_mm
    outline = ring(level_tailed(scene, slope, stick(slope, fly_depth)))
    centres, half = slope.centres_mm, slope.breadth_mm / 2
    start, end = slope.ends_x
    left = (start - slope.overhangs_mm[0], centres[1] - half)
    right = (centres[-2] + half, end + slope.overhangs_mm[1])
    for x in (left[0], right[1] - fly_breadth):
        yield _rafter(slope, Kind.FLY_RAFTER, RAKES, fly, outline, x)
    plane = roof_plane(slope)
    below = plane.at_depth(-thickness)
    for x0, x1 in ((left[0] + fly_breadth, left[1]), (right[0], right[1] - fly_breadth)):
        u0, u1 = sorted((roof_u(slope, x0), roof_u(slope, x1)))
        for v in lookout_places(slope, width, roof.lookout_spacing):
            yield profile(
                label(slope, Kind.LOOKOUT),
                Kind.LOOKOUT,
                RAKES,
                lookout,
                rectangle(u0, v - width / 2, u1, v + width / 2),
                below,
                thickness,
            )


def _lookout_blocks(roof: RoofPlan, slope: Slope) -> Iterator[Piece]:
    """Blocks on the end rafters between the lookouts, where a wall under them is closed.

    Without them that wall would be open to rain, birds and bees, as high as the lookouts are thick.
    """
    scene = roof.datums.scene
    source = timber(scene, scene.roof.lookout)
    assert source.section_mm
    thick, width = source.section_mm
    low, cos = slope.sheeted_h[1], math.cos(slope.slope_rad)
    middles = [low / cos - v for v in lookout_places(slope, width, scene.roof.lookout_spacing)]
    through = [
        Area([at(slope, d + across, n) for across, n in rectangle(-half, -deep, half, deep)])
        for d, half, deep in ((d, width / 2, 2 * thick) for d in middles)
    ]
    between_them = stick(slope, thick).difference(shapely.union_all(through))
    over_walls = [
        ring(part)
        for part in shapely.get_parts(between_them)
        if overlap((part.bounds[0], part.bounds[2]), slope.over_store_h)
    ]
    breadth, (start, end) = min(slope.breadth_mm, width), slope.ends_x
    ends: tuple[tuple[Wall, float], ...] = (("left", start), ("right", end - breadth))
    for wall, x in ends:
        closes = scene.is_closed(wall) and not roof.datums.bay_at(wall)
        for outline in over_walls if closes else ():
            yield _plumb(slope, Kind.LOOKOUT_BLOCK, RAKES, source, outline, x, breadth)


def lookout_places(slope: Slope, width: float, spacing: float) -> list[float]:
    """Middles of the lookouts up the slope from the sheets' lower edge, clear of the blocks, mm.

    None where a slope is too short for one.

    Args:
        slope: The plane they lie in.
        width: Of a lookout, mm.
        spacing: Greatest distance between two, centre to centre, mm.
    """
    cos = math.cos(slope.slope_rad)
    low, total = slope.sheeted_h[1], (slope.sheeted_h[1] - slope.upper.h) / cos
    first_tail = (low - slope.lower.h) / cos
    # A block reaches across its breadth on the level, and a plumb face leans against a lookout.
    lean = slope.lookout_mm * math.tan(slope.slope_rad)
    above, below = (
        CLEAR_MM if end.meets == Meets.FREE else LEAST_BLOCK_MM
        for end in (slope.upper, slope.lower)
    )
    first, last = first_tail + width / 2 + below, total - width / 2 - above - lean
    count = max(1, math.ceil((last - first) / spacing - LOOKOUT_SLACK))
    taken = [
        ((low - h1) / cos - CLEAR_MM - lean, (low - h0) / cos + CLEAR_MM + lean)
        for h0, h1 in (slope.block_h(bearing) for bearing in slope.bearings)
    ]
    free, start = list[tuple[float, float]](), first
    for under, over in sorted(taken):
        free.append((start, min(last, under - width / 2)))
        start = max(start, over + width / 2)
    free = [(a, b) for a, b in (*free, (start, last)) if b > a - TOLERANCE_MM]
    places: list[float] = []
    for k in range(count + 1 if free else 0):
        on = first + (last - first) * k / count
        place = min((min(max(on, a), b) for a, b in free), key=lambda v, on=on: abs(v - on))
        if not places or place - places[-1] >= width + LEAST_BLOCK_MM:
            places.append(place)
    return places


def deck_roof(roof: RoofPlan) -> list[Piece]:
    """Roof sheets across the rafters in staggered rows from the low edge, ends on rafters."""
    return [piece for slope in roof.all_slopes for piece in _deck(roof.datums.scene, slope)]


def _deck(scene: Scene, slope: Slope) -> Iterator[Piece]:
    stock = scene.sheet_stock(scene.roof.sheet)
    supports = sorted(roof_u(slope, x) for x in slope.sheet_supports_x)
    area = (0.0, 0.0, *roof_size(slope))
    for sheet in sheet_rows(area, stock.length_mm, stock.width_mm, supports):
        yield profile(
            label(slope, Kind.ROOF_SHEET),
            Kind.ROOF_SHEET,
            DECK,
            sheeting(scene, scene.roof.sheet),
            rectangle(*sheet),
            roof_plane(slope),
            stock.thickness_mm,
        )
