"""Where the edges of what covers a frame are, from what stands there before: lines of a stage.

edge_words(building, stage) -> what is said
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from pikepole_export.derive.measures.projection import way_of
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part, Stage
from pikepole_model.geometry.placement import Points
from pikepole_model.scene.schema import Scene
from pikepole_model.units import Units, format_length

SAME_MM = 1.0
NEAR_MM = 300.0  # an edge this far off is that of another roof
SLANT = 0.01  # the cosine of what stands upright
SHEATHING = " sheathing"  # of the group of a wall's sheets, after the wall's own name


def edge_words(building: Building, stage: Stage) -> list[str]:
    """How far below its plate a wall's first sheets begin; where panels begin, and how far out.

    Args:
        building: That it belongs to.
        stage: The stage.
    """
    names, parts = {part.name for part in stage.parts}, building.finished.parts
    own = [part for part in parts if part.name in names]
    units = building.scene.units
    return [
        *_sheets(own, parts, units),
        *_order(own, building.scene),
        *_panels(own, parts, units),
    ]


def _sheets(own: Sequence[Part], parts: Sequence[Part], units: Units) -> Iterator[str]:
    """Of each wall's sheets the lowest edge; walls that are alike together."""
    walls: dict[str, list[str]] = {}
    for group in dict.fromkeys(part.group for part in own if part.kind is Kind.WALL_SHEET):
        wall = group.removesuffix(SHEATHING)
        feet = [p.bounds_mm[0][2] for p in parts if p.kind is Kind.BOTTOM_PLATE and p.group == wall]
        lows = [part.bounds_mm[0][2] for part in own if part.group == group]
        if not feet or not group.endswith(SHEATHING):
            continue
        down_mm = min(feet) - min(lows)
        far = format_length(abs(down_mm), units)
        where = "level with" if abs(down_mm) < SAME_MM else f"{far} {_side(down_mm)}"
        walls.setdefault(where, []).append(wall)
    for where, alike in walls.items():
        which = f", {' and '.join(alike)}" if len(walls) > 1 else ""
        yield f"sheets begin {where} the bottom plate's underside{which}"


def _side(down_mm: float) -> str:
    return "below" if down_mm > 0 else "above"


def _order(own: Sequence[Part], scene: Scene) -> Iterator[str]:
    """From which end panels are set, and over a knee in which order."""
    if scene.roofing is None or not any(part.kind is Kind.PANEL for part in own):
        return
    yield f"first panel at the {scene.roofing.start} end"
    if any(part.kind is Kind.KNEE_FLASHING for part in own):
        yield "lower panels, then knee flashings, then upper panels"


def _panels(own: Sequence[Part], parts: Sequence[Part], units: Units) -> Iterator[str]:
    """How far the lower ends of panels reach past a fascia, or where none is past the sheets."""
    fascias = [part for part in parts if part.kind is Kind.FASCIA]
    others = fascias or [part for part in parts if part.kind is Kind.ROOF_SHEET]
    panels = (part for part in own if part.kind is Kind.PANEL)
    # Panels over a knee end over none of them.
    reaches = (_reach_mm(panel, others) for panel in panels)
    ends = list(dict.fromkeys(format_length(mm, units) for mm in sorted(filter(None, reaches))))
    if ends:
        far = ends[0] if len(ends) == 1 else f"{ends[0]} to {ends[-1]}"
        name = "fascia" if fascias else "roof sheets"
        yield f"panels reach {far} past the {name} at the eave, measured level"


def _reach_mm(panel: Part, others: Sequence[Part]) -> float | None:
    """How far level a panel's lower end is out past what lies under it; None past nothing near."""
    corners, way = panel.vertices_mm, way_of(panel)
    out = -np.sign(way[2]) * np.array([*way[:2], 0.0])
    if np.linalg.norm(out) < SLANT:
        return None
    out /= np.linalg.norm(out)
    along = np.array([-out[1], out[0], 0.0])
    foot = corners[corners[:, 2] < corners[:, 2].min() + SAME_MM].mean(axis=0)
    end = float((corners @ out).max())
    found = [
        end - float((part.vertices_mm @ out).max())
        for part in others
        if _meet(part.vertices_mm, foot, along)
    ]
    near = [mm for mm in found if SAME_MM < mm < NEAR_MM]
    return min(near) if near else None


def _meet(corners: Points, foot: Points, along: Points) -> bool:
    """Whether a piece lies under the end of a panel: beside it neither way, and as high."""
    run = corners @ along
    middle = float(foot @ along)
    return bool(
        run.min() < middle < run.max()
        and corners[:, 2].min() - NEAR_MM < foot[2] < corners[:, 2].max() + NEAR_MM
    )
