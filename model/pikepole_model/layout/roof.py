"""The roof: rafters, the end rafters with lookouts and fly rafters, blocking, sheets.

Rafters are drawn from the end of the building in the plane (h, z): h is the level distance from
the high wall's outer face, z the height. In that plane the roof falls from left to right.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

import shapely
from shapely import Polygon as Area
from shapely import box

from pikepole_model.levels import Levels
from pikepole_model.outline import ring
from pikepole_model.part import Kind
from pikepole_model.piece import Piece, Source, profile, sheeting, timber
from pikepole_model.placement import Placement, Vector
from pikepole_model.shape import Polygon, rectangle
from pikepole_model.spacing import CLOSE_MM, LEAST_STICK_MM, sheet_rows

RAFTERS = "rafters"
RAKES = "rake overhangs"
DECK = "roof deck"

# A lookout keeps this far from the end of the tails and from the blocks at the bearings.
CLEAR_MM = 20.0


def stick(levels: Levels, depth: float, down: float = 0.0) -> Area:
    """A rafter before its birdsmouths: from tail to tail, in (h, z), mm.

    Args:
        levels: The roof's plane and overhangs.
        depth: Of the rafter, mm.
        down: How far its top lies under the roof's plane, square to it, mm.
    """
    roof, slope = levels.scene.roof, levels.slope_rad
    sin, cos = math.sin(slope), math.cos(slope)
    ends = (-roof.high_overhang, levels.depth_mm + roof.eave_overhang)
    # A square cut starts at the roof's plane and goes straight across; a plumb one goes down.
    lean = (0.0, -1.0 / cos) if roof.tail == "plumb" else (-sin, -cos)
    top, bottom = down, down + depth
    corner = [
        [(h + lean[0] * d, levels.roof_mm(h) + lean[1] * d) for h in ends] for d in (top, bottom)
    ]
    return Area([corner[0][0], corner[1][0], corner[1][1], corner[0][1]])


def seated(levels: Levels, rafter: Area) -> Polygon:
    """A rafter less what it sits on: a level seat and a plumb heel at each bearing."""
    width, depth = levels.bearing_mm, levels.depth_mm
    high = box(0.0, 0.0, width, levels.high_bearing_mm)
    low = box(depth - width, 0.0, depth, levels.low_bearing_mm)
    parts = shapely.get_parts(rafter.difference(high).difference(low))
    return ring(max(parts, key=lambda part: part.area))


def _cross(levels: Levels, x: float) -> Placement:
    """The plane (h, z) at the left face of something: extruding goes towards greater X."""
    if levels.scene.roof.falls == "back":
        return Placement((x, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    return Placement((x, levels.depth_mm, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0))


def _rafter(
    levels: Levels, kind: Kind, group: str, source: Source, outline: Polygon, x0: float
) -> Piece:
    assert source.section_mm
    breadth = source.section_mm[0]
    # With the roof falling to the front, u x v points to smaller X: start at the far face.
    x = x0 if levels.scene.roof.falls == "back" else x0 + breadth
    return profile(
        str(kind),
        kind,
        group,
        source,
        outline,
        _cross(levels, x),
        breadth,
        grain_rad=-levels.slope_rad,
    )


def set_rafters(levels: Levels) -> list[Piece]:
    """Common rafters, end rafters, and the blocks between them over the bearings."""
    roof = levels.scene.roof
    common = timber(levels.scene, roof.rafter)
    end = timber(levels.scene, levels.end_rafter or roof.rafter)
    common_outline = seated(levels, stick(levels, levels.rafter_mm))
    end_stick = stick(levels, levels.end_rafter_mm, levels.lookout_mm)
    # On an end wall whose plates lap the corners the end rafter lies on the sloping plate all the
    # way and needs no seat; on beams and on level plates it sits like the others.
    end_outline = ring(end_stick) if levels.plates_lap else seated(levels, end_stick)
    centres = levels.rafter_centres_mm
    pieces: list[Piece] = []
    for centre in centres:
        ends = centre in (centres[0], centres[-1])
        source, outline = (end, end_outline) if ends else (common, common_outline)
        kind = Kind.END_RAFTER if ends else Kind.RAFTER
        assert source.section_mm
        x0 = centre - source.section_mm[0] / 2
        pieces.append(_rafter(levels, kind, RAFTERS, source, outline, x0))
    return [*pieces, *_blocks(levels)]


def _block_h(levels: Levels, breadth: float) -> tuple[tuple[float, float, float], ...]:
    """(from, to, seat) of the bearing blocks: high wall's inner edge, low wall's outer edge."""
    b, d = levels.bearing_mm, levels.depth_mm
    return (
        (b - breadth, b, levels.high_bearing_mm),
        (d - breadth, d, levels.low_bearing_mm),
    )


def _blocks(levels: Levels) -> Iterator[Piece]:
    """Blocks that stop the rafters rolling, ripped to the roof's slope along their top."""
    roof = levels.scene.roof
    stock = levels.scene.lumber_stock(roof.rafter)
    source, breadth = timber(levels.scene, roof.rafter), stock.breadth_mm
    for h0, h1, seat in _block_h(levels, breadth):
        under_roof = Area(
            [(h0, seat), (h1, seat), (h1, levels.roof_mm(h1)), (h0, levels.roof_mm(h0))]
        )
        section = ring(under_roof.intersection(box(h0, seat, h1, seat + stock.depth_mm)))
        centres = levels.rafter_centres_mm
        for left, right in itertools.pairwise(centres):
            x0, x1 = left + breadth / 2, right - breadth / 2
            if x1 - x0 < LEAST_STICK_MM:
                continue
            x = x0 if roof.falls == "back" else x1
            yield profile(
                str(Kind.RAFTER_BLOCK),
                Kind.RAFTER_BLOCK,
                RAFTERS,
                source,
                section,
                _cross(levels, x),
                x1 - x0,
                length_along="n",
            )


def extend_rakes(levels: Levels) -> list[Piece]:
    """Lookouts laid flat over the end rafters, and the fly rafters they carry."""
    roof = levels.scene.roof
    if not roof.rake_overhang:
        return []
    lookout = timber(levels.scene, roof.lookout)
    fly = timber(levels.scene, roof.fly_rafter or levels.end_rafter or roof.rafter)
    assert lookout.section_mm
    assert fly.section_mm
    thickness, width = lookout.section_mm
    outline = ring(stick(levels, fly.section_mm[1]))
    centres, start = levels.rafter_centres_mm, levels.roof_ends_mm
    half = levels.scene.lumber_stock(roof.rafter).breadth_mm / 2
    left = (start[0] - roof.rake_overhang, centres[1] - half)
    right = (centres[-2] + half, start[1] + roof.rake_overhang)
    fly_breadth = fly.section_mm[0]
    pieces = [
        _rafter(levels, Kind.FLY_RAFTER, RAKES, fly, outline, x0)
        for x0 in (left[0], right[1] - fly_breadth)
    ]
    plane = _roof_plane(levels)
    for x0, x1 in ((left[0] + fly_breadth, left[1]), (right[0], right[1] - fly_breadth)):
        u0, u1 = sorted((_roof_u(levels, x0), _roof_u(levels, x1)))
        below = Placement(plane.point(0.0, 0.0, -thickness), plane.u, plane.v)
        for v in lookout_places(levels, width):
            pieces.append(
                profile(
                    str(Kind.LOOKOUT),
                    Kind.LOOKOUT,
                    RAKES,
                    lookout,
                    rectangle(u0, v - width / 2, u1, v + width / 2),
                    below,
                    thickness,
                )
            )
    return pieces


def lookout_places(levels: Levels, width: float) -> list[float]:
    """Middles of the lookouts up the slope from the low tail's end, clear of the blocks, mm."""
    roof, cos = levels.scene.roof, math.cos(levels.slope_rad)
    low_tail = levels.depth_mm + roof.eave_overhang
    total = (low_tail + roof.high_overhang) / cos
    first, last = width / 2 + CLEAR_MM, total - width / 2 - CLEAR_MM
    count = max(1, math.ceil((last - first) / roof.lookout_spacing - CLOSE_MM))
    breadth = levels.scene.lumber_stock(roof.rafter).breadth_mm
    # A block reaches across its breadth on the level, and a lookout's lower edge leans downhill.
    lean = levels.lookout_mm * math.tan(levels.slope_rad)
    taken = [
        ((low_tail - h1) / cos - CLEAR_MM - lean, (low_tail - h0) / cos + CLEAR_MM + lean)
        for h0, h1, _ in _block_h(levels, breadth)
    ]
    places: list[float] = []
    for k in range(count + 1):
        place = first + (last - first) * k / count
        for low, high in taken:
            if place + width / 2 > low and place - width / 2 < high:
                aside = (low - width / 2, high + width / 2)
                fits = [a for a in aside if first - CLOSE_MM <= a <= last + CLOSE_MM]
                place = min(fits or aside, key=lambda a, p=place: abs(a - p))
        if not places or place - places[-1] >= width:
            places.append(place)
    return places


def _roof_plane(levels: Levels) -> Placement:
    """The plane the roof sheets lie on: v up the slope from the low tail, n out of the roof."""
    slope = levels.slope_rad
    h = levels.depth_mm + levels.scene.roof.eave_overhang
    ends = levels.roof_ends_mm
    overhang = levels.scene.roof.rake_overhang
    up: Vector
    if levels.scene.roof.falls == "back":
        x, along = ends[1] + overhang, (-1.0, 0.0, 0.0)
        up = (0.0, -math.cos(slope), math.sin(slope))
    else:
        x, along = ends[0] - overhang, (1.0, 0.0, 0.0)
        up = (0.0, math.cos(slope), math.sin(slope))
    return Placement((x, levels.y_of(h), levels.roof_mm(h)), along, up)


def _roof_u(levels: Levels, x: float) -> float:
    """An X in the roof plane's u, mm."""
    plane = _roof_plane(levels)
    return (x - plane.origin[0]) * plane.u[0]


def deck_roof(levels: Levels) -> list[Piece]:
    """Roof sheets across the rafters in staggered rows from the low edge, ends on rafters."""
    roof = levels.scene.roof
    stock = levels.scene.sheet_stock(roof.sheet)
    ends, overhang = levels.roof_ends_mm, roof.rake_overhang
    length = ends[1] - ends[0] + 2 * overhang
    cos = math.cos(levels.slope_rad)
    up = (levels.depth_mm + roof.eave_overhang + roof.high_overhang) / cos
    supports = sorted(_roof_u(levels, x) for x in levels.rafter_centres_mm)
    return [
        profile(
            "roof sheet",
            Kind.ROOF_SHEET,
            DECK,
            sheeting(levels.scene, roof.sheet),
            rectangle(*sheet),
            _roof_plane(levels),
            stock.thickness_mm,
        )
        for sheet in sheet_rows((0.0, 0.0, length, up), stock.length_mm, stock.width_mm, supports)
    ]
