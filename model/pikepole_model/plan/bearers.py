"""Skids and girders: their lengths, and where angles and drilled anchors hold them to a pad.

An angle is fixed to the outer face of an outer bearer, where a wrench gets at its anchor; the hole
is drilled before the building comes:

        floor frame
    ____|________
        |_______|
        ||      |  <- skid
        ||      |
    ____|L______|____
    ====#============  <- pad; # is the anchor, through the level leg of the angle

Where the floor reaches out over it, it stands between two joists, so that it is let in upright.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import assert_never

from pikepole_model.geometry.spacing import anywhere, joints_of, overlap, splice
from pikepole_model.plan.anchor_bolts import FINGERS_MM, bolt_places
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.joists import joist_centres
from pikepole_model.scene.foundation import Pad, Piers, Skids
from pikepole_model.units import INCH_MM

# The angle: a length of 3-1/2 x 3-1/2 x 1/4, as long as the washer of an anchor bolt is wide, its
# anchor 2 in from the heel. Common practice, no source.
ANGLE_LEG_MM, ANGLE_MM, ANGLE_LONG_MM = 3.5 * INCH_MM, INCH_MM / 4, 3 * INCH_MM
ANCHOR_OUT_MM = 2 * INCH_MM

# A drilled anchor's least distance from the edge of the concrete, in its diameters, where its maker
# says nothing: torque-controlled. Source: ACI 318-19, table 17.9.2 (from memory).
EDGE_DIAMETERS = 8

# An anchor goes no deeper than this share of the concrete, or to 4 in of its underside. Source: ACI
# 318-19, 17.9.4 (from memory).
DEEPEST_SHARE, LEFT_UNDER_MM = 2 / 3, 4 * INCH_MM


@dataclass(frozen=True, slots=True)
class DrilledAnchor:
    """An anchor and its angle.

    Attributes:
        x: Along the building, mm.
        heel_y: The outer face of the bearer that the angle lies on, mm.
        out: -1 where that looks to the front, 1 to the back.
    """

    x: float
    heel_y: float
    out: int

    @property
    def y(self) -> float:
        """Of the anchor, mm."""
        return self.heel_y + self.out * ANCHOR_OUT_MM


def bearer_runs(
    datums: Datums, bearers: Skids | Piers
) -> Iterator[tuple[float, tuple[float, float]]]:
    """Front face, and from and to, of each length of the skids or girders, row by row, mm."""
    stock, length = datums.scene.lumber_stock(bearers.bearer), datums.length_mm
    match bearers:
        case Skids():
            # The bed carries one anywhere, so only the neighbours' joints decide where it breaks.
            places = anywhere(0.0, length)
        case Piers():
            places = datums.pier_x_mm(bearers)
        case _:
            assert_never(bearers)
    earlier: list[float] = []
    for front in datums.bearer_fronts_mm(bearers):
        runs = splice(0.0, length, stock.longest_whole_mm(length), places, earlier)
        earlier = joints_of(runs)
        for run in runs:
            yield front, run


def drilled_anchors(datums: Datums, bearers: Skids | Piers, pad: Pad) -> list[DrilledAnchor]:
    """Along the outer faces of the outer two bearers, each length as a bottom plate is held."""
    deep = datums.scene.lumber_stock(bearers.bearer).breadth_mm
    toe = bearers.toe if isinstance(bearers, Skids) else 0.0
    runs = list(bearer_runs(datums, bearers))
    first, last = runs[0][0], runs[-1][0]
    return [
        DrilledAnchor(x, heel, out)
        for outer, out in ((first, -1), (last, 1))
        for front, (left, right) in runs
        if front == outer
        for heel in (front + (deep if out > 0 else 0.0),)
        for x in _places(datums, pad, (left, right), toe, heel + out * ANCHOR_OUT_MM)
    ]


def _places(
    datums: Datums, pad: Pad, run: tuple[float, float], toe: float, y: float
) -> list[float]:
    """Where the anchors of one length of a bearer go, mm: clear of joists where that can be."""
    within = (max(run[0], toe), min(run[1], datums.length_mm - toe))
    spacing, diameter = pad.bolt_spacing, pad.bolt_diameter
    clear = bolt_places(within, spacing, diameter, list(_over(datums, y)))
    return clear or bolt_places(within, spacing, diameter, ())


def _over(datums: Datums, y: float) -> Iterator[tuple[float, float]]:
    """From and to along the building of what is over an anchor there: joists, what fills a gap."""
    near, floor = (y - FINGERS_MM, y + FINGERS_MM), datums.scene.floor
    if floor is None or not overlap(near, (0.0, datums.depth_mm)):
        return
    half = datums.scene.lumber_stock(floor.joist).breadth_mm / 2
    yield from ((x - half, x + half) for x in joist_centres(datums, floor))
    for one in datums.obstacles:
        if one.meets(datums.floor) and overlap((one.y0, one.y1), near):
            yield one.x0, one.x1


def edge_mm(datums: Datums, pad: Pad, anchor: DrilledAnchor) -> float:
    """From an anchor to the nearest edge of its pad, mm."""
    x, y = anchor.x, anchor.y
    return pad.margin + min(x, datums.length_mm - x, y, datums.depth_mm - y)


def deepest_mm(pad: Pad, in_mm: float) -> float:
    """How deep an anchor may be drilled so far in from the edge of a pad, mm."""
    thick = max(pad.thickness, min(pad.deep_mm, pad.deep_mm - (in_mm - pad.edge_width)))
    return max(DEEPEST_SHARE * thick, thick - LEFT_UNDER_MM)
