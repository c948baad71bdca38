"""Bent metal along the roof's edges: drip edges, rake trims, caps, and flashings up a wall."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, Source, let_in, profile
from pikepole_model.plan.cross_section import Meets
from pikepole_model.plan.drip_edge import LEG_MM
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.roof_cover import CAP_FLANGE_MM, RAKE_FLANGE_MM, RoofCover
from pikepole_model.plan.roof_section import across, along, label
from pikepole_model.plan.slope import apex, at, down_mm, over
from pikepole_model.stock.materials import by_area_material
from pikepole_model.stock.rows import Flat
from pikepole_model.stock.sheet_metal import PLIES, Line, bent, lengths

EAVES = "eave metal"
METAL = "roof metal"
KNEES = "knee flashing"

# Rake trims under a knee start this clear of the legs of those over it: 1/8 in, common practice, no
# source.
CLEAR_OF_LEG_MM = 3.175


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


def _along_x(cover: RoofCover, name: str, kind: Kind, group: str, line: Line) -> Iterator[Piece]:
    """Lengths of a profile in (h, z) from rake to rake, on a wall between its corners."""
    flat, slope = cover.metal, cover.slope
    if not flat:
        return
    start, end = slope.sheeted_x
    if kind == Kind.WALL_FLASHING:
        datums = cover.roof.datums
        start = max(start, -datums.cover_mm("left"))
        end = min(end, datums.length_mm + datums.cover_mm("right"))
    for number, (x0, x1) in enumerate(lengths(start, end, flat)):
        yield profile(
            name,
            kind,
            group,
            bent_from(flat),
            bent(line, flat.thickness_mm, number % PLIES),
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
        low, high = cover.up_wall
        line = ((0.0, high), (0.0, low), toe)
        kind = Kind.WALL_FLASHING
    elif slope.upper.cut == "square":
        d = cover.sheeted[0]
        line = (at(slope, d, -LEG_MM), at(slope, d, n), toe)
        kind = Kind.PEAK_CAP
    else:
        h = slope.sheeted_h[0]
        corner = (h, slope.roof_mm(h) + n / math.cos(slope.slope_rad))
        line = ((h, slope.roof_mm(h) - LEG_MM), corner, toe)
        kind = Kind.PEAK_CAP
    yield from _along_x(cover, label(slope, kind), kind, METAL, line)


def _rake_trims(cover: RoofCover) -> Iterator[Piece]:
    """Over the panels' outer ribs, or an edge turned up like one, and down over the barge boards.

    Mitred at a ridge, and cut plumb at a wall: cut square, a leg on a steep slope would lean into
    it. Under a knee they start clear of those that come out over it.
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
        h, z = at(other.slope, _trimmed_to(other), -LEG_MM)
        foot = down_mm(slope, (slope.h_of(other.slope.y_of(h)), z))
        bend = down_mm(slope, cover.knee_line[1])
        high = max(foot + CLEAR_OF_LEG_MM, bend)
    elif other:
        # Where one slope's layers are thicker, both end under the cap's bend.
        bend = apex(slope, other.slope, (cover.cap_mm, other.cap_mm))[0]
        high = (bend + slope.upper.lean * cover.cap_mm) / cos
    for x, outward in ((start, -1), (end, 1)):
        line = ((-RAKE_FLANGE_MM, n), (0.0, n), (0.0, -LEG_MM))
        runs = lengths(-low, -(high - spare), flat)
        for number, (a, b) in enumerate(runs):
            d0, d1 = -b, -a
            trim = profile(
                label(slope, Kind.RAKE_TRIM),
                Kind.RAKE_TRIM,
                METAL,
                bent_from(flat),
                bent(line, flat.thickness_mm, number % PLIES),
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
