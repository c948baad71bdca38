"""Bent metal along the roof's edges: drip edges, rake trims, caps, and flashings up a wall."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from pikepole_model.building.kinds import Kind
from pikepole_model.building.laps import end_lap_mm
from pikepole_model.building.piece import Piece, Source, let_in, profile
from pikepole_model.plan.cross_section import Meets
from pikepole_model.plan.drip_edge import LEG_MM
from pikepole_model.plan.facings import thickest_mm
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.roof_cover import CAP_FLANGE_MM, RAKE_FLANGE_MM, RoofCover
from pikepole_model.plan.roof_section import across, along, label
from pikepole_model.plan.slope import apex, at, down_mm, over
from pikepole_model.scene.types import Wall
from pikepole_model.stock.materials import by_area_material
from pikepole_model.stock.rows import Flat
from pikepole_model.stock.sheet_metal import PLIES, Line, bent, lengths

EAVES = "eave metal"
METAL = "roof metal"
KNEES = "knee flashing"

# A cap that comes down at the end of a wall ends this clear of what covers that: 1/8 in, common
# practice, no source.
CLEAR_OF_LEG_MM = 3.175

# What overhangs a wall's end by less is covered by the rake trim: 3 in, as its flange is wide.
LEAST_CAP_MM = 76.2


def bend_edges(roof: RoofPlan) -> list[Piece]:
    """All metal along the edges of all slopes, the drip edges first."""
    covers = [RoofCover(roof, slope) for slope in roof.all_slopes]
    pieces = [piece for cover in covers for piece in _drip_edges(cover)]
    pieces += [piece for cover in covers for piece in _rake_trims(cover)]
    pieces += [piece for cover in covers for piece in _upper_edge(cover)]
    return [*pieces, *(piece for cover in covers for piece in _ridge_cap(cover))]


def bent_from(flat: Flat) -> Source:
    """Bent metal as a source."""
    return Source(flat.name, by_area_material(flat))


def _along_x(
    cover: RoofCover,
    name: str,
    kind: Kind,
    group: str,
    line: Line,
    x: tuple[float, float] | None = None,
    ply: int = 0,
) -> Iterator[Piece]:
    """Lengths of a profile in (h, z) from rake to rake, or from one X to another.

    Args:
        cover: What it is laid on.
        name: Its name without a number.
        kind: What it is.
        group: What it belongs to.
        line: The profile.
        x: From and to, mm.
        ply: Of its first length: what laps it or is lapped by it there has the other one.
    """
    flat, slope = cover.metal, cover.slope
    if not flat:
        return
    lap = end_lap_mm(kind, flat, cover.scene.units)
    for number, (x0, x1) in enumerate(lengths(*(x or slope.sheeted_x), flat, lap)):
        yield profile(
            name,
            kind,
            group,
            bent_from(flat),
            bent(line, flat.thickness_mm, (number + ply) % PLIES),
            across(slope, x0, x1 - x0),
            x1 - x0,
            length_along="n",
        )


def _drip_edges(cover: RoofCover) -> Iterator[Piece]:
    """On the sheets at the lower edge, under the underlayment; down over the fascia."""
    if cover.below:
        return
    yield from _along_x(
        cover, label(cover.slope, Kind.DRIP_EDGE), Kind.DRIP_EDGE, EAVES, cover.drip_line
    )


def _ridge_cap(cover: RoofCover) -> Iterator[Piece]:
    """Over the ribs of both slopes that meet there, once for both."""
    slope, other = cover.slope, cover.above
    if not other or slope.upper.meets != Meets.RIDGE or slope.falls == "back":
        return
    d = (cover.panels[0] + CAP_FLANGE_MM, other.panels[0] + CAP_FLANGE_MM)
    line = over(slope, other.slope, d, (cover.cap_mm, other.cap_mm))
    yield from _along_x(cover, "ridge cap", Kind.RIDGE_CAP, METAL, line)


def _upper_edge(cover: RoofCover) -> Iterator[Piece]:
    """Over the ribs at an upper edge that is no ridge.

    Down over the fascia, up the wall, or under the covering over a knee.
    """
    slope, n = cover.slope, cover.cap_mm
    if slope.upper.meets == Meets.RIDGE:
        return
    if slope.upper.meets == Meets.KNEE:
        kind = Kind.KNEE_FLASHING
        yield from _along_x(cover, f"{slope.falls} {kind}", kind, KNEES, cover.knee_line)
        return
    toe = at(slope, cover.panels[0] + CAP_FLANGE_MM, n)
    if slope.upper.meets == Meets.WALL:
        yield from _at_wall(cover, toe)
        return
    if slope.upper.cut == "square":
        d = cover.sheeted[0]
        line = (at(slope, d, -LEG_MM), at(slope, d, n), toe)
        kind = Kind.PEAK_CAP
    else:
        h = slope.sheeted_h[0]
        corner = (h, slope.roof_mm(h) + n / math.cos(slope.slope_rad))
        line = ((h, slope.roof_mm(h) - LEG_MM), corner, toe)
        kind = Kind.PEAK_CAP
    yield from _along_x(cover, label(slope, kind), kind, METAL, line)


def _at_wall(cover: RoofCover, toe: tuple[float, float]) -> Iterator[Piece]:
    """Up the wall between its corners, and past these down over the ends of what overhangs there.

    What comes down is cut off clear of what covers the walls beside, and laps the flashing.
    """
    slope, flat, kind = cover.slope, cover.metal, Kind.WALL_FLASHING
    if not flat:
        return
    low, high = cover.up_wall
    (start, end), (left, right) = slope.sheeted_x, _corners_x(cover.roof, high)
    line = ((0.0, high), (0.0, low), toe)
    wall = (max(start, left), min(end, right))
    flashings = list(_along_x(cover, label(slope, kind), kind, METAL, line, wall))
    yield from flashings
    barge = cover.scene.barge
    deep = max(slope.end_rafter_mm, barge.depth_mm if barge else 0.0) / math.cos(slope.slope_rad)
    corner = (0.0, slope.start_mm + cover.cap_mm / math.cos(slope.slope_rad))
    line = ((0.0, slope.start_mm - deep), corner, toe)
    kind, lap = Kind.PEAK_CAP, end_lap_mm(Kind.PEAK_CAP, flat, cover.scene.units)
    # Of two flashings the last lies on the one before it.
    ends: tuple[tuple[Wall, tuple[float, float], int], ...] = (
        ("left", (start, left + lap), 1),
        ("right", (right - lap, end), len(flashings) % PLIES),
    )
    for side, x, ply in ends:
        out = -1 if side == "left" else 1
        stop = (left if out < 0 else right) + out * (_clad_mm(cover.roof, side) + CLEAR_OF_LEG_MM)
        if out * ((start if out < 0 else end) - stop) < LEAST_CAP_MM:
            continue
        for cap in _along_x(cover, label(slope, kind), kind, METAL, line, x, ply):
            yield let_in(cap, _before_wall(cover, cap, sorted((stop, x[out < 0] - out)), deep))


def _before_wall(cover: RoofCover, cap: Piece, x: Sequence[float], deep: float) -> Piece:
    """What is cut off the leg of a cap where a wall is behind it, or the leg of its flashing."""
    slope, (x0, x1) = cover.slope, x
    metal = PLIES * (cover.metal.thickness_mm if cover.metal else 0.0)
    low, high = slope.start_mm - 2 * deep, slope.start_mm + 2 * deep
    outline = ((-deep, low), (metal, low), (metal, high), (-deep, high))
    return profile(
        cap.label, cap.kind, cap.group, cap.source, outline, across(slope, x0, x1 - x0), x1 - x0
    )


def _corners_x(roof: RoofPlan, z: float) -> tuple[float, float]:
    """X of the front and the back wall's ends at a height, out over the side walls' sheets, mm."""
    datums = roof.datums
    left, right = (datums.cover_at_mm(wall, z) for wall in ("left", "right"))
    return -left, datums.length_mm + right


def _clad_mm(roof: RoofPlan, side: Wall) -> float:
    """How far what covers a side wall stands out from its sheets, mm."""
    scene = roof.datums.scene
    return thickest_mm(scene, [table for table in scene.cladding if side in table.walls])


def _rake_trims(cover: RoofCover) -> Iterator[Piece]:
    """Over the panels' outer ribs, or an edge turned up like one, and down over the barge boards.

    Mitred at a ridge, and cut plumb at a wall: cut square, a leg on a steep slope would lean into
    it. Under a knee they run up under its flashing, and their legs under those over it.
    """
    flat, slope, other = cover.metal, cover.slope, cover.above
    if not flat:
        return
    n, (start, end) = cover.rake_mm, slope.sheeted_x
    tan, cos = math.tan(slope.slope_rad), math.cos(slope.slope_rad)
    leans = slope.upper.cut != "square" and slope.upper.meets != Meets.KNEE
    # What is not cut square starts farther up than its highest corner needs, so that the cut leaves
    # no sliver of its square end.
    past = tan + slope.upper.lean / cos
    spare = (n + PLIES * flat.thickness_mm) * past + 1.0 if leans else 0.0
    low = _trimmed_to(cover)
    high = cover.sheeted[0] if leans or not cover.panel else cover.panels[0]
    if other and slope.upper.meets == Meets.KNEE:
        high = down_mm(slope, cover.knee_line[1])
    elif other:
        # Where one slope's layers are thicker, both end under the cap's bend.
        bend = apex(slope, other.slope, (cover.cap_mm, other.cap_mm))[0]
        high = (bend + slope.upper.lean * cover.cap_mm) / cos
    for x, outward in ((start, -1), (end, 1)):
        line = ((-RAKE_FLANGE_MM, n), (0.0, n), (0.0, -LEG_MM))
        runs = lengths(-low, -(high - spare), flat)
        # At a knee the last one under it lies inside the first over it.
        first = 1 if cover.below else (len(runs) - 1 if slope.upper.meets == Meets.KNEE else 0)
        for number, (a, b) in enumerate(runs):
            d0, d1 = -b, -a
            trim = profile(
                label(slope, Kind.RAKE_TRIM),
                Kind.RAKE_TRIM,
                METAL,
                bent_from(flat),
                bent(line, flat.thickness_mm, (number + first) % PLIES),
                along(slope, x, outward, (d0, d1)),
                d1 - d0,
                length_along="n",
            )
            if leans and number == len(runs) - 1:
                trim = let_in(trim, _beyond(cover, trim, high * cos))
            yield trim


def _trimmed_to(cover: RoofCover) -> float:
    """How far down a slope its rake trims reach, mm."""
    return cover.panels[1] if cover.panel else cover.sheeted[1]


def _beyond(cover: RoofCover, piece: Piece, h: float) -> Piece:
    """All that lies up the slope from the cut at its upper end, wide enough to cut a piece off."""
    slope, reach = cover.slope, 300.0
    end = replace(slope.upper, h=h, cut="mitre")
    over, under = slope.corner(end, -reach), slope.corner(end, reach)
    x = piece.placement.origin[0] - reach
    return profile(
        piece.label,
        piece.kind,
        piece.group,
        piece.source,
        ((over[0] - reach, over[1]), (under[0] - reach, under[1]), under, over),
        across(slope, x, 2 * reach),
        2 * reach,
    )
