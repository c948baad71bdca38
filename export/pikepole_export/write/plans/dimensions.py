"""Dimensions round a drawing: chains from mark to mark, heights and tape marks, none on another.

Chains lie in rows round what is drawn, the nearest first. Source: ISO 129-1:2018 for how they are
lettered: over the line, to be read from below or from the right.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from typing import Literal, TypeAlias

import numpy as np
import shapely

from pikepole_export.derive.views.faces import as_array
from pikepole_export.graphics.lettering import spread
from pikepole_export.write.drawings.drafting import View
from pikepole_export.write.drawings.svg import DOWN, UP, Anchor, Point, box_of, width_of
from pikepole_export.write.plans.sheet import Box, Layer, Measure, PlanSheet
from pikepole_model.units import format_length

At: TypeAlias = Literal["below", "above", "left", "right"]

TEXT_MM = 2.4
FIRST_MM, ROW_MM = 7.0, 6.5  # from what is drawn to the first chain, and from one to the next
SAME_MM = 1.0  # marks of the model nearer than this are one
# Base lines that lettering may stand on, from its dimension line: over it if it can.
OFF_MM = (-0.7, -3.7, 2.9, 5.9, -6.7, 8.9)


def chain(
    sheet: PlanSheet,
    view: View,
    box: Box,
    marks: Iterable[float],
    at: At,
    row: int = 0,
    start_mm: float = 0.0,
) -> None:
    """Distances from mark to mark along one side of what is drawn.

    Args:
        sheet: Where they go.
        view: How the model falls on it.
        box: What the chain stays clear of, mm of the model.
        marks: Along the side, mm of the model.
        at: The side.
        row: Its place outwards, from 0.
        start_mm: How far outwards the lines to it begin, mm on the sheet, to pass what is there.
    """
    level, low, high = at in ("below", "above"), (box[0], box[1]), (box[2], box[3])
    away = 1.0 if at in ("below", "right") else -1.0
    edge = {"below": low[1], "above": high[1], "left": low[0], "right": high[0]}[at]
    corner = view.at((0.0, edge) if level else (edge, 0.0))
    line = corner[1 if level else 0] + away * (FIRST_MM + ROW_MM * row)
    for one, other in itertools.pairwise(distinct(marks)):
        # As on any metric drawing, without the unit: the notes say it.
        words = format_length(other - one, sheet.units).removesuffix(" mm")
        ends = (view.at((m, edge) if level else (edge, m)) for m in (one, other))
        off = away * start_mm
        a, b = ((x, y + off) if level else (x + off, y) for x, y in ends)
        middle = (a[0] + b[0]) / 2 if level else (a[1] + b[1]) / 2
        # What has no room between its marks stands a line farther off, on either side.
        tight = width_of(words, TEXT_MM) > math.dist(a, b) - 1.0
        lines = [line + off for off in OFF_MM[tight:]]
        spots = [(middle, own) if level else (own, middle) for own in lines]
        angle = 0.0 if level else -90.0
        spot = next((at for at in spots if is_free(sheet, words, at, angle)), spots[-1])
        sheet.measure(Measure(a, b, line, level, words, spot, TEXT_MM))


def levels(
    sheet: PlanSheet,
    view: View,
    edge_mm: float,
    heights: Sequence[tuple[float, str]],
    at: Literal["left", "right"] = "right",
) -> None:
    """Heights beside what is drawn, each with its words on a line of its own.

    Args:
        sheet: Where they go.
        view: How the model falls on it.
        edge_mm: The side of what is drawn, mm of the model.
        heights: Of each, mm of the model, with what it is.
        at: Which side that is.
    """
    kept = sorted(heights, key=lambda one: -one[0])
    ys = [view.at((0.0, height))[1] for height, _ in kept]
    top, bottom = 14.0, sheet.size[1] - 46.0
    placed = spread(ys, TEXT_MM + 1.2, top, bottom) if ys else []
    x, way = view.at((edge_mm, 0.0))[0], 1.0 if at == "right" else -1.0
    anchor: Anchor = "start" if at == "right" else "end"
    for (_, words), y, place in zip(kept, ys, placed, strict=True):
        bend = x + way * 5.0
        with sheet.on(Layer.DIMENSIONS):
            sheet.line([(x + way * 1.5, y), (bend, y), (bend + way * 3.0, place)])
            spot = (bend + way * 3.8, place + TEXT_MM * (UP - DOWN) / 2)
            sheet.text(words, spot, TEXT_MM, anchor=anchor)


def distinct(marks: Iterable[float]) -> list[float]:
    """Marks in order, those nearer than SAME_MM once."""
    kept: list[float] = []
    for mark in sorted(marks):
        if not kept or mark - kept[-1] > SAME_MM:
            kept.append(mark)
    return kept


def is_free(
    sheet: PlanSheet, words: str, at: Point, angle_deg: float = 0.0, size: float = TEXT_MM
) -> bool:
    """Whether lettering with its middle at a place runs into none that is there, nor into a ring.

    Args:
        sheet: Where it would go.
        words: One line.
        at: Middle of its base line, mm.
        angle_deg: Turned clockwise.
        size: Of the letters, mm.
    """
    box = box_of(words, at, size, anchor="middle", angle_deg=angle_deg)
    rings = [
        (x - ring.radius, y - ring.radius, x + ring.radius, y + ring.radius)
        for ring in sheet.rings
        for x, y in [ring.centre]
    ]
    there = np.vstack([shapely.bounds(as_array(sheet.boxes)), np.reshape(rings, (-1, 4))])
    left, low, right, high = box.bounds
    meet = (there[:, :2] < (right, high)) & (there[:, 2:] > (left, low))
    return not bool(meet.all(axis=1).any())
