"""Lines that are seen and faces that are cut, from the model onto a sheet."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from pikepole_export.write.drawings.drafting import View
from pikepole_export.write.drawings.svg import Point, Style
from pikepole_export.write.plans.sheet import Hatch, Hatching, Layer, PlanSheet
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.part import Part

FINE_MM = 0.5  # of paper: what is thinner is filled
# Between two lines of a hatching, mm of paper, and how they lean.
_HATCHED: dict[Hatching, tuple[float, tuple[float, ...]]] = {
    "wood": (1.0, (45.0,)),
    "concrete": (1.4, (45.0, 135.0)),
    "ground": (2.0, (135.0,)),
}
_OF: dict[Family, Hatching] = {Family.CONCRETE: "concrete", Family.GRAVEL: "ground"}


def draw_lines(
    sheet: PlanSheet,
    view: View,
    lines: BaseGeometry | NDArray[np.object_],
    layer: Layer,
    style: Style,
) -> None:
    """Lines of the model, those that go on in one another as one.

    Args:
        sheet: Where they go.
        view: How the model falls on it.
        lines: In mm of the model.
        layer: Of theirs.
        style: How they are drawn.
    """
    merged = shapely.line_merge(shapely.union_all(lines, grid_size=1e-3))
    with sheet.on(layer):
        for part in shapely.get_parts(merged):
            if isinstance(part, shapely.LineString) and not part.is_empty:
                corners = shapely.get_coordinates(shapely.simplify(part, 0.01))
                sheet.line(view.all([(x, y) for x, y in corners.tolist()]), style)


def draw_cuts(sheet: PlanSheet, view: View, cuts: Sequence[tuple[Part, BaseGeometry]]) -> None:
    """Cut faces, hatched by what they are, and their outlines."""
    for part, area in cuts:
        hatching = _OF.get(part.kind.family, "wood")
        for one in shapely.get_parts(area):
            if not isinstance(one, shapely.Polygon):
                continue
            flat = shapely.transform(one, lambda at: np.array(view.all(at.tolist())))
            assert isinstance(flat, shapely.Polygon)
            fine = shapely.is_empty(shapely.buffer(flat, -FINE_MM / 2))
            lines = [] if fine else _hatched(flat, hatching)
            with sheet.on(Layer.HATCH):
                sheet.hatch(Hatch(flat, hatching, bool(fine)), lines)
            if not fine:
                with sheet.on(Layer.CUT):
                    for ring in (flat.exterior, *flat.interiors):
                        sheet.line(
                            [(x, y) for x, y in shapely.get_coordinates(ring).tolist()], "cut"
                        )


def _hatched(area: shapely.Polygon, hatching: Hatching) -> list[list[Point]]:
    """Lines of a hatching over an area, mm of paper, in step with those of all others."""
    step, angles = _HATCHED[hatching]
    found: list[list[Point]] = []
    low, far = np.array(area.bounds[:2]), np.array(area.bounds[2:])
    for angle in angles:
        along = np.array([np.cos(np.radians(angle)), -np.sin(np.radians(angle))])
        across = np.array([-along[1], along[0]])
        corners = np.array([low, (far[0], low[1]), far, (low[0], far[1])])
        first, last = (corners @ across).min(), (corners @ across).max()
        start, end = (corners @ along).min() - 1, (corners @ along).max() + 1
        offsets = np.arange(np.ceil(first / step), np.floor(last / step) + 1) * step
        ends = (
            np.stack(
                [across * offset + along * k for offset in offsets for k in (start, end)]
            ).reshape(-1, 2, 2)
            if len(offsets)
            else np.empty((0, 2, 2))
        )
        for line in shapely.get_parts(shapely.intersection(shapely.linestrings(ends), area)):
            if isinstance(line, shapely.LineString) and line.length > 0.05:
                found.append([(x, y) for x, y in shapely.get_coordinates(line).tolist()])
    return found
