"""What lies before a door, where steps or a ramp up to it stand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import assert_never

from pikepole_model.plan.bay_ground import bay_grounds
from pikepole_model.plan.beams import BeamLine
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.framed import Framed, Rect
from pikepole_model.scene.foundation import Pad, Piers, Skids
from pikepole_model.scene.steps import LEAST_WIDE_MM


def ground_mm(face: WallFace, framed: Framed, lines: Iterable[BeamLine]) -> float:
    """Height of what lies before a door, mm: a slab in the bay there, or finished ground."""
    left, _, right, _ = framed.rough
    for ground in bay_grounds(face.plan.datums, lines):
        before = max(ground.says.above_ground, 0.0) if ground.says.kind == "slab" else 0.0
        x, y, _ = face.place.point((left + right) / 2, 0.0, LEAST_WIDE_MM)
        if ground.low[0] < x < ground.high[0] and ground.low[1] < y < ground.high[1]:
            return before
    return 0.0


def gravel_there(datums: Datums, depth_mm: float) -> Iterator[Rect]:
    """Where the gravel under the building comes up into the gravel under steps.

    Args:
        datums: Of the building.
        depth_mm: How deep that lies.
    """
    foundation, length, depth = datums.scene.foundation, datums.length_mm, datums.depth_mm
    match foundation:
        case Skids():
            out = foundation.gravel_margin
            yield (-out, -out, length + out, depth + out)
        case Piers():
            yield from _piers(datums, foundation, foundation.gravel_margin)
        case Pad():
            under = foundation.above_ground - foundation.deep_mm
            out = foundation.margin + foundation.gravel_margin
            if -depth_mm < under:
                yield (-out, -out, length + out, depth + out)
        case None:
            return
        case _:
            assert_never(foundation)


def slab_there(datums: Datums) -> Iterator[Rect]:
    """The slab under the building, from above, mm: no gravel is laid under what passes over it."""
    pad = datums.scene.foundation
    if isinstance(pad, Pad):
        out = pad.margin
        yield (-out, -out, datums.length_mm + out, datums.depth_mm + out)


def blocks_there(datums: Datums) -> Iterator[Rect]:
    """Where blocks stand on the gravel under the building, from above, mm."""
    if isinstance(datums.scene.foundation, Piers):
        yield from _piers(datums, datums.scene.foundation, 0.0)


def _piers(datums: Datums, piers: Piers, margin: float) -> Iterator[Rect]:
    half = datums.scene.lumber_stock(piers.girder).breadth_mm / 2
    out = piers.block_bottom / 2 + margin
    for y in datums.bearer_fronts_mm(piers):
        for x in datums.pier_x_mm(piers):
            yield (x - out, y + half - out, x + out, y + half + out)
