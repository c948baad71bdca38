"""Roofs of every form with everything on them, and a tape measure laid along their slopes."""

from __future__ import annotations

import copy
import json
from functools import cache
from math import cos, sin
from typing import Any

import numpy as np

from measuring import corners
from pikepole_model.build import build
from pikepole_model.building.part import Building, Part
from pikepole_model.building.piece import Piece
from pikepole_model.geometry.placement import Points
from pikepole_model.plan.slope import Slope
from pikepole_model.reading.file import check_scene

Table = dict[str, Any]

SOFFIT = "11 mm plywood 1220x2440"

# The least that makes each form of roof, in unequal sizes.
FORMS: dict[str, Table] = {
    "monopitch": {
        "building": {"length": "11 ft", "depth": "7 ft"},
        "foundation": {"kind": "skids"},
        "floor": {},
        "roof": {"slope": "3:12", "eave_overhang": "9 in", "high_overhang": "14 in"},
    },
    "ridge board": {
        "building": {"length": "16 ft", "depth": "10 ft"},
        "foundation": {"kind": "skids"},
        "floor": {},
        "roof": {"slope": "8:12", "ridge": {"kind": "board"}},
    },
    "ridge beam over an end bay": {
        "building": {"length": "12 ft", "depth": "9 ft"},
        "foundation": {"kind": "pad", "edge_depth": "18 in"},
        "walls": {"low_height": "8 ft"},
        "bay": [{"side": "right", "reach": "5 ft", "post": "6x8"}],
        "beam": {"ply": "2x10"},
        "roof": {"slope": "6:12", "ridge": {"kind": "beam"}},
    },
    "saltbox": {
        "building": {"length": "13 ft", "depth": "11 ft"},
        "foundation": {"kind": "skids"},
        "floor": {},
        "roof": {
            "slope": "9:12",
            "back_slope": "5:12",
            "ridge": {"kind": "beam", "from_front": "4 ft"},
        },
    },
    "gambrel": {
        "building": {"length": "10 ft", "depth": "12 ft"},
        "foundation": {"kind": "pad", "edge_depth": "18 in"},
        "roof": {
            "slope": "4:12",
            "ridge": {"kind": "beam"},
            "knee": {"slope": "10:12", "from_wall": "28 in"},
        },
    },
    "rafters run on over a bay": {
        "building": {"length": "14 ft", "depth": "8 ft"},
        "foundation": {"kind": "skids"},
        "floor": {},
        "walls": {"low_height": "8 ft 6 in"},
        "bay": [{"side": "back", "reach": "5 ft"}, {"side": "left", "reach": "6 ft"}],
        "roof": {"slope": "3:12"},
    },
    "ledger": {
        "building": {"length": "14 ft", "depth": "10 ft"},
        "foundation": {"kind": "skids"},
        "floor": {},
        "walls": {"low_height": "10 ft"},
        "bay": [
            {
                "side": "back",
                "reach": "6 ft",
                "roof": "ledger",
                "slope": "3:12",
                "ledger_height": "8 ft 3 in",
                "post": "4x4",
                "seat": "cap",
            }
        ],
        "roof": {"slope": "6:12", "ridge": {"kind": "board"}},
    },
}


def form(name: str, **tables: Table | list[Table]) -> Building:
    """A form of roof with more said in some of its tables, or other lists of tables."""
    table = copy.deepcopy(FORMS[name])
    for key, more in {"edges": {}, "roofing": {}, **tables}.items():
        table[key] = more if isinstance(more, list) else {**table.get(key, {}), **more}
    return _built(json.dumps({"title": name, **table}))


@cache
def _built(text: str) -> Building:
    scene, problems = check_scene(json.loads(text))
    assert scene is not None
    assert not problems, problems
    return build(scene)


def along(part: Part | Piece, slope: Slope) -> Points:
    """(n, 3) float: a part's corners as (x, d down the slope, n square to it), mm."""
    points = corners(part)
    h, z = (points[:, 1] - slope.start_y) * slope.way, points[:, 2] - slope.start_mm
    s, c = sin(slope.slope_rad), cos(slope.slope_rad)
    return np.stack([points[:, 0], h * c - z * s, h * s + z * c], axis=1)


def span(part: Part | Piece, slope: Slope, axis: int) -> tuple[float, float]:
    """From and to of a part along X (0), down the slope (1) or square to it (2), mm."""
    values = along(part, slope)[:, axis]
    return float(values.min()), float(values.max())
