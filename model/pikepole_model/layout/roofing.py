r"""Ribbed steel panels, one length from eave to peak, side by side from one end of the roof.

A panel is drawn as it is cut across its ribs. Its last rib is lapped by the first rib of the next,
which is as much wider as the steel is thick:

       ___       over      ____
     _/ _ \____________..._/ __ \___
    |__/ \_                 /  \
    first panel             last rib under the next panel's first
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

from shapely import LineString, box

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import PanelRecord
from pikepole_model.building.piece import Piece, Source, profile
from pikepole_model.geometry.outline import largest, ring
from pikepole_model.geometry.shape import Polygon
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.roof_cover import FOOT_MM, RoofCover
from pikepole_model.plan.roof_section import along, label
from pikepole_model.stock.materials import by_area_material
from pikepole_model.stock.rows import Panel

PANELS = "roof panels"


def panel_roof(roof: RoofPlan) -> list[Piece]:
    """The panels of every slope."""
    return [piece for slope in roof.all_slopes for piece in _panels(RoofCover(roof, slope))]


def _panels(cover: RoofCover) -> list[Piece]:
    panel, roofing = cover.panel, cover.scene.roofing
    if not panel or not roofing:
        return []
    slope = cover.slope
    d0, d1 = cover.panels
    start, end = slope.sheeted_x
    left = roofing.start == "left"
    place = along(slope, start if left else end, 1 if left else -1, cover.panels)
    pieces: list[Piece] = []
    for first, following in pairwise([*cover.first_ribs(), math.inf]):
        laps, is_last = bool(pieces), following == math.inf
        outline = panel_outline(
            panel,
            first,
            round(min(panel.cover_mm, following - first) / panel.pitch_mm),
            cover.panel_mm,
            cover.width_mm,
            laps=laps,
            turned_up=cover.turned_up and is_last,
        )
        piece = profile(
            label(slope, Kind.PANEL),
            Kind.PANEL,
            PANELS,
            Source(panel.name, by_area_material(panel)),
            outline,
            place,
            d1 - d0,
            length_along="n",
        )
        ribs = tuple(
            r for r in cover.screwed_ribs() if first - TOLERANCE_MM <= r < following - TOLERANCE_MM
        )
        record = PanelRecord(slope.name, slope.slope_rad, ribs, laps)
        pieces.append(replace(piece, record=record))
    return pieces


def panel_outline(
    panel: Panel, first: float, gaps: int, n: float, end: float, *, laps: bool, turned_up: bool
) -> Polygon:
    """A panel cut across its ribs, in (w, n), mm.

    Args:
        panel: What it is.
        first: Middle of its first rib.
        gaps: How many ribs it has past that: fewer where it is ripped beside another than its own
            first.
        n: Underside of its flats.
        end: Where it is ripped, if it reaches so far.
        laps: Whether its first rib lies over the last rib of another panel.
        turned_up: Whether its ripped edge is bent up as high as its ribs.
    """
    height, top, bottom = panel.rib_mm
    thick = panel.thickness_mm
    flat = n + thick / 2

    def rib(middle: float) -> list[tuple[float, float]]:
        return [
            (middle - bottom / 2, flat),
            (middle - top / 2, flat + height),
            (middle + top / 2, flat + height),
            (middle + bottom / 2, flat),
        ]

    others = [rib(first + k * panel.pitch_mm) for k in range(1, gaps + 1)]
    if laps:
        over = LineString(rib(first)).offset_curve(thick, join_style="mitre")
        (w0, n0), top_left, top_right, (w1, n1) = over.coords
        # Its free edge ends just clear of the flat below; on the other side it comes down to its
        # own flat in the line of the leg.
        lean = (top_left[0] - w0) / (top_left[1] - n0)
        edge, foot = flat + 2 * thick, flat - n1
        start = [(w0 + lean * (edge - n0), edge), top_left, top_right, (w1 - lean * foot, flat)]
    else:
        start = [(first - bottom / 2 - FOOT_MM, flat), *rib(first)]
    middle = LineString([*start, *(point for other in others for point in other)])
    steel = middle.buffer(thick / 2, cap_style="flat", join_style="mitre")
    left = steel.intersection(box(first - panel.cover_mm, 0.0, end, n + 2 * height))
    if turned_up:
        left = left.union(box(end - thick, n, end, n + height + thick))
    return ring(largest(left))
