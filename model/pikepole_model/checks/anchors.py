"""Anchors that nobody can drive, or stand in their holes, where they are drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import FLOORING, Kind, of
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import Finding, and_more
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.anchor_bolts import FINGERS_MM
from pikepole_model.scene.foundation import Pad, Piers, Skids
from pikepole_model.units import FOOT_MM, INCH_MM, format_length

# Half the head of a sledge, and how high over a bar it is swung. Common practice, no source.
SLEDGE_MM, SWUNG_MM = 1.5 * INCH_MM, 4 * FOOT_MM
_FLOOR = of(Family.FLOOR_FRAME) | FLOORING


def anchor_findings(building: Building) -> Iterator[Finding]:
    """Bars under what stands when they are driven, and rods longer than the room over their holes.

    Common practice, no source: a bar is driven from above; a rod in adhesive is let into its hole
    upright, by fingers round it, under the frame that stands there then.
    """
    pad = building.scene.foundation
    bars = [part for part in building.parts if part.kind is Kind.GROUND_ANCHOR]
    under = tuple(
        bar.name
        for bar in bars
        if _free_over(building, bar, bar.bounds_mm[1][2], SLEDGE_MM, 0.0) < SWUNG_MM
    )
    if under:
        text = (
            f"puts {and_more(under)} under what stands when it is driven, where no sledge gets at "
            "it; without anchors, hold it down as your code asks"
        )
        mend = 'give "none"'
        if isinstance(pad, Skids | Piers) and pad.inset:
            mend = f'give foundation.inset "0 in", or {mend}'
        yield Finding("other", text, under, key="ties.ground", mend=mend)
    if not isinstance(pad, Pad):
        return
    rods = [part for part in building.parts if part.kind is Kind.DRILLED_ANCHOR]
    beside = FINGERS_MM - TOLERANCE_MM
    over = {
        rod.name: rod.length_mm - _free_over(building, rod, pad.above_ground, beside, beside)
        for rod in rods
    }
    long = tuple(name for name, past in over.items() if past > TOLERANCE_MM)
    if long:
        units = building.scene.units
        most = format_length(pad.bolt_embedment - max(over.values()), units, "down")
        text = f"makes {and_more(long)} longer than the room between the pad and the frame over it"
        mend = f"give at most {most}"
        yield Finding("other", text, long, key="foundation.bolt_embedment", mend=mend)


def _free_over(
    building: Building, anchor: Part, from_mm: float, round_mm: float, floor_mm: float
) -> float:
    """Height free over a place of an anchor when it comes, mm.

    Beside a floor frame, before walls stand on it, a bar is driven home with a drift.

    Args:
        building: The building.
        anchor: The bar or the rod.
        from_mm: Height that it is free from.
        round_mm: How far round its middle nothing stands.
        floor_mm: The same of the floor and its frame.
    """
    x, y, _ = anchor.centre_mm
    free = math.inf
    for part in building.parts:
        (x0, y0, z0), (x1, y1, _) = part.bounds_mm
        near = floor_mm if part.kind in _FLOOR else round_mm
        is_near = x0 - near < x < x1 + near and y0 - near < y < y1 + near
        if part.stage < anchor.stage and is_near and z0 > from_mm - TOLERANCE_MM:
            free = min(free, z0 - from_mm)
    return free
