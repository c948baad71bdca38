"""What must hold for the foundations: what a building stands on, and what it is moved onto."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from pikepole_model.errors import (
    KeyPath,
    Problem,
    either,
    key_text,
    leave_out,
    less,
    more,
    other,
    without,
)
from pikepole_model.geometry.spacing import CLEAR_OF_MM, TOLERANCE_MM
from pikepole_model.plan.anchor_bolts import LEAST_EMBEDMENT_MM
from pikepole_model.plan.bearers import EDGE_DIAMETERS, deepest_mm, drilled_anchors, edge_mm
from pikepole_model.plan.datums import Datums
from pikepole_model.rules.ruler import Ruler
from pikepole_model.scene.foundation import Pad, Piers, Skids
from pikepole_model.scene.schema import Through
from pikepole_model.scene.work import Existing

# Concrete left under the foot of an anchor bolt: 1 in, common practice, no source.
LEAST_COVER_MM = 25.4


def foundation_problems(datums: Datums, ruler: Ruler) -> Iterator[Problem]:
    """What is wrong with what the building stands on, where it is built and where it stays."""
    pad, bearers = datums.scene.foundation, datums.scene.bearers
    if isinstance(pad, Pad):
        yield from _pad(datums, pad, ruler)
        if pad.margin and datums.scene.move is None:
            yield Problem.at(
                ("foundation", "margin"),
                "is for a building that is moved onto its pad",
                leave_out(("foundation", "margin")),
            )
    if bearers is None:
        return
    path: KeyPath = ("move", "built_on") if isinstance(pad, Pad) else ("foundation",)
    found = [*_bearers(datums, path, bearers, ruler), *_bearers_clear(datums, path, bearers, ruler)]
    yield from found
    if isinstance(pad, Pad) and not found:
        yield from _drilled(datums, bearers, pad, ruler)


def _pad(datums: Datums, pad: Pad, ruler: Ruler) -> Iterator[Problem]:
    deep = pad.deep_mm
    deep_enough = max(pad.bolt_embedment + LEAST_COVER_MM, pad.least_deep_mm)
    if deep < pad.thickness - TOLERANCE_MM:
        yield Problem.at(
            ("foundation", "edge_depth"),
            f"is less than the pad's thickness, {ruler.at(pad.thickness)}",
            either(
                f"give {ruler.at_least(pad.thickness)}", leave_out(("foundation", "edge_depth"))
            ),
        )
    elif (room := deep - LEAST_COVER_MM) < pad.bolt_embedment - TOLERANCE_MM:
        yield Problem.at(
            ("foundation", "bolt_embedment"),
            f"comes out under the pad, which is {ruler.at(deep)} deep at its edge",
            either(
                ruler.between(LEAST_EMBEDMENT_MM, room),
                f"give foundation.edge_depth {ruler.at_least(deep_enough)}",
            ),
        )
    inner = pad.edge_width + deep - pad.thickness
    shorter = min(datums.length_mm, datums.depth_mm)
    if deep > pad.thickness and 2 * inner >= shorter:
        yield Problem.at(
            ("foundation", "edge_width"),
            "leaves nothing between the thickened edges",
            "",
            less("foundation", "edge_width"),
            less("foundation", "edge_depth"),
            without("foundation", "edge_depth"),
        )


def _drilled(datums: Datums, bearers: Skids | Piers, pad: Pad, ruler: Ruler) -> Iterator[Problem]:
    """Anchors beside the skids or girders that find concrete round them and under them."""
    if not math.isfinite(datums.length_mm + datums.depth_mm + bearers.inset + pad.margin):
        return
    nearest = min(edge_mm(datums, pad, one) for one in drilled_anchors(datums, bearers, pad))
    short = EDGE_DIAMETERS * pad.bolt_diameter - nearest
    if short > TOLERANCE_MM:
        yield Problem.at(
            ("foundation", "margin"),
            f"leaves {ruler.at(nearest)} of concrete beside the anchors, and they need "
            f"{EDGE_DIAMETERS} diameters",
            f"give {ruler.at_least(pad.margin + short)}",
            more("move", "built_on", "inset"),
        )
    elif pad.bolt_embedment > (most := deepest_mm(pad, nearest)) + TOLERANCE_MM:
        yield Problem.at(
            ("foundation", "bolt_embedment"),
            "goes deeper than an anchor may be drilled beside the skids or girders",
            f"give {ruler.at_most(most)}",
            more("foundation", "edge_depth"),
        )


def _bearers(
    datums: Datums, path: KeyPath, bearers: Skids | Piers, ruler: Ruler
) -> Iterator[Problem]:
    """Skids or girders that fit side by side, and blocks that fit under them."""
    scene = datums.scene
    on_skids = isinstance(bearers, Skids)
    what = "skids" if on_skids else "girders"
    stock = scene.lumber_stock(bearers.bearer)
    room = datums.depth_mm - 2 * bearers.inset
    if bearers.count * stock.breadth_mm > room + TOLERANCE_MM:
        yield Problem.at(
            (*path, "count"),
            f"is more {what} than fit side by side in {ruler.at(room)}",
            "",
            less(*path, "count"),
            less(*path, "inset"),
        )
    if on_skids and bearers.toe > stock.depth_mm / 2 + TOLERANCE_MM:
        yield Problem.at(
            (*path, "toe"),
            f"is more than half the skid, which is {ruler.at(stock.depth_mm)} high",
            f"give {ruler.at_most(stock.depth_mm / 2)}",
        )
    if isinstance(bearers, Piers):
        yield from _piers(datums, path, bearers, stock.breadth_mm, ruler)


def _piers(
    datums: Datums, path: KeyPath, piers: Piers, girder_mm: float, ruler: Ruler
) -> Iterator[Problem]:
    if not girder_mm <= piers.block_top <= piers.block_bottom:
        yield Problem.at(
            (*path, "block_top"),
            f"does not lie between the girder's {ruler.at(girder_mm)} and the block's bottom, "
            f"{ruler.at(piers.block_bottom)}",
            ruler.between(girder_mm, piers.block_bottom)
            or f"give {key_text((*path, 'block_bottom'))} "
            f"{ruler.at_least(max(girder_mm, piers.block_top))}",
        )
    wide = piers.block_bottom + 2 * piers.gravel_margin
    row = (datums.depth_mm - 2 * piers.inset - girder_mm) / (piers.count - 1)
    if not math.isfinite(datums.length_mm + piers.spacing + piers.block_bottom):
        return
    # Blocks of a row stand closer than asked for where that does not divide the row evenly.
    along = min(b - a for a, b in itertools.pairwise(datums.pier_x_mm(piers)))
    if min(row, along) < wide - TOLERANCE_MM:
        yield Problem.at(
            (*path, "gravel_margin"),
            f"makes each block's gravel {ruler.at(wide)} wide, and the next block is nearer",
            "",
            less(*path, "gravel_margin"),
            less(*path, "count"),
            more(*path, "spacing"),
            less(*path, "block_bottom"),
        )


def _bearers_clear(
    datums: Datums, path: KeyPath, bearers: Skids | Piers, ruler: Ruler
) -> Iterator[Problem]:
    """Nothing comes up through a skid or a girder, or the gravel and blocks under it."""
    scene = datums.scene
    wide = scene.lumber_stock(bearers.bearer).breadth_mm
    middles = [front + wide / 2 for front in datums.bearer_fronts_mm(bearers)]
    reach = wide / 2 if isinstance(bearers, Skids) else bearers.block_bottom / 2
    tables: tuple[tuple[KeyPath, tuple[Existing | Through, ...]], ...] = (
        (("floor", "through"), scene.floor.through if scene.floor else ()),
        (("existing",), scene.existing),
    )
    for table, things in tables:
        for k, thing in enumerate(things):
            if isinstance(thing, Existing) and thing.foot > datums.bearer_mm + datums.raised_mm:
                continue
            for middle in middles:
                low, high = middle - reach - CLEAR_OF_MM, middle + reach + CLEAR_OF_MM
                if thing.y < high and thing.y + thing.depth > low:
                    yield Problem.at(
                        (*table, k, "y"),
                        "stands where a skid or a girder runs, from "
                        f"{ruler.at(low)} to {ruler.at(high)}",
                        "",
                        other(*table, k, "y"),
                        less(*table, k, "depth"),
                        other(*path, "count"),
                        other(*path, "inset"),
                    )
                    break
