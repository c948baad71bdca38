"""A small store with bare sheathing to cover, and a tape measure in the plane of its walls."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from measuring import corners
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import Problem
from pikepole_model.geometry.placement import Placement
from pikepole_model.reading.file import check_scene
from strategies import scene_of

Table: TypeAlias = dict[str, Any]

INCH = 25.4
FOOT = 12 * INCH

# 7/16 in sheets; metal, wrap, membrane and tapes lie on them, what covers those starts 4 mm out.
SHEET_MM = 7 / 16 * INCH
WRAP_MM = 4.0

# Dressed 1 x 4 is 3/4 x 3-1/2 in (PS 20).
ONE_BY, FOUR = 0.75 * INCH, 3.5 * INCH

# The walls' own frames: left corner of the framing, along the wall, up; seen from outside.
LENGTH_MM, DEPTH_MM = 12 * FOOT, 8 * FOOT
FRAMES = {
    "front": Placement((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)),
    "right": Placement((LENGTH_MM, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "back": Placement((LENGTH_MM, DEPTH_MM, 0.0), (-1.0, 0.0, 0.0), (0.0, 0.0, 1.0)),
    "left": Placement((0.0, DEPTH_MM, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0)),
}


def table_of(*cladding: Table, **tables: object) -> Table:
    """A store 12 ft by 8 ft, low at the front, as its file holds it."""
    return {
        "title": "Lime store",
        "building": {"length": "12 ft", "depth": "8 ft"},
        "foundation": {"kind": "pad", "above_ground": "8 in", "edge_depth": "20 in"},
        "walls": {"low_height": "7 ft"},
        "roof": {"slope": "3:12", "falls": "front"},
        "cladding": list(cladding),
        **tables,
    }


def clad(*cladding: Table, **tables: object) -> Building:
    """The store with some cladding."""
    return build(scene_of(table_of(*cladding, **tables)))


def problems(*cladding: Table, **tables: object) -> list[Problem]:
    """What is found wrong with it."""
    return check_scene(table_of(*cladding, **tables))[1]


def window(wall: str, from_left: str, sill: str, height: str) -> Table:
    """A window 3 ft wide."""
    return {
        "name": f"{wall} window",
        "kind": "window",
        "wall": wall,
        "from_left": from_left,
        "width": "3 ft",
        "height": height,
        "sill": sill,
    }


def on_wall(building: Building, wall: str, *kinds: Kind) -> list[Part]:
    """The parts of some kinds in one wall's wrap or cladding, from left to right, low to high."""
    groups = (f"{wall} wall cladding", f"{wall} wall wrap")
    parts = [p for p in building.parts if p.group in groups and p.kind in kinds]
    return sorted(parts, key=lambda part: spans(part, wall))


Spans: TypeAlias = tuple[tuple[float, float], tuple[float, float], tuple[float, float]]


def spans(part: Part, wall: str) -> Spans:
    """From and to along a wall, up, and out from its framing, mm."""
    place = FRAMES[wall]
    points = corners(part) - np.array(place.origin)
    u, v, n = (points @ np.array(axis) for axis in (place.u, place.v, place.n))
    return (
        (float(u.min()), float(u.max())),
        (float(v.min()), float(v.max())),
        (float(n.min()), float(n.max())),
    )


def face_of(part: Part, wall: str) -> BaseGeometry:
    """The part's outward faces in the wall's plane (along, up), mm."""
    place = FRAMES[wall]
    facets = corners(part)[part.shape.mesh.triangles]
    normals = np.cross(facets[:, 1] - facets[:, 0], facets[:, 2] - facets[:, 0])
    out = normals @ np.array(place.n) > 0.999 * np.linalg.norm(normals, axis=1)
    plane = np.array([place.u, place.v]).T
    return shapely.union_all(shapely.polygons((facets[out] - np.array(place.origin)) @ plane))
