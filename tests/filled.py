"""A small store with openings to fill, and a tape measure in the plane of its walls."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np

from measuring import corners
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.faces import WallFace, wall_faces
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.walls import plan_walls
from pikepole_model.reading.file import check_scene
from strategies import scene_of

Table: TypeAlias = dict[str, Any]
Bounds: TypeAlias = tuple[tuple[float, float], tuple[float, float], tuple[float, float]]

INCH = 25.4

# Dressed 1 x 4 is 3/4 x 3-1/2 in, 1 x 2 is 3/4 x 1-1/2 in, 2 x 6 is 1-1/2 x 5-1/2 in (PS 20).
ONE_BY = 0.75 * INCH
FOUR = 3.5 * INCH
SIX = 5.5 * INCH

# NDS Supplement 3.1.3 (from memory) for spruce-pine-fir, specific gravity 0.42, at 15 %:
# 62.4 G / (1 + 0.009 G MC) (1 + MC / 100) lb/ft3.
LB_KG, FT_M = 0.45359237, 0.3048
WOOD_KG_M3 = 62.4 * 0.42 / (1 + 0.009 * 0.42 * 15) * 1.15 * LB_KG / FT_M**3

# 1/2 in plywood weighs 1.5 lb/ft2 (APA panel weight table), taken as printed at 10 % moisture; the
# scenes' sheets are at 15 %.
PLYWOOD_KG_M2 = 1.5 * LB_KG / FT_M**2 * 1.15 / 1.10


def table_of(*openings: Table, **tables: object) -> Table:
    """A store 16 ft by 10 ft with some openings, as its file holds it."""
    return {
        "title": "Seedling store",
        "building": {"length": "16 ft", "depth": "10 ft"},
        "foundation": {"kind": "skids"},
        "floor": {},
        "roof": {"slope": "2:12"},
        "opening": list(openings),
        **tables,
    }


def store(*openings: Table, **tables: object) -> Building:
    """The same, built."""
    return build(scene_of(table_of(*openings, **tables)))


def window(**keys: object) -> Table:
    """A window of 30 by 36 in in the front wall."""
    return {
        "name": "window",
        "kind": "window",
        "wall": "front",
        "from_left": "3 ft",
        "width": "30 in",
        "height": "36 in",
        "sill": "3 ft",
        **keys,
    }


def door(**keys: object) -> Table:
    """A door of 36 by 78 in in the front wall."""
    return {
        "name": "gate",
        "kind": "door",
        "wall": "front",
        "from_left": "5 ft",
        "width": "36 in",
        "height": "78 in",
        "steps": {"kind": "none"},
        **keys,
    }


def problems_of(table: Table) -> list[tuple[str, str]]:
    """Key and clause of everything that is wrong with a table."""
    return [(problem.key, problem.wrong) for problem in check_scene(table)[1]]


def face_of(building: Building, wall: str) -> WallFace:
    """One wall of a building."""
    faces = wall_faces(plan_walls(RoofPlan(Datums(building.scene))))
    return next(face for face in faces if face.plan.name == wall)


def in_face(face: WallFace, part: Part) -> Bounds:
    """How far a part reaches along u, v and n of a wall, n from the sheathing's face, mm."""
    place = face.place
    points = corners(part) - np.array(place.origin)
    ends = [points @ np.array(axis) for axis in (place.u, place.v, place.n)]
    a, b, c = ((float(end.min()), float(end.max())) for end in ends)
    return a, b, c


def named(building: Building, text: str, *kinds: Kind) -> list[Part]:
    """The parts whose name starts with a text, of some kinds."""
    return [part for part in building.parts if part.name.startswith(text) and part.kind in kinds]


def mass_kg(parts: list[Part]) -> float:
    """Likely mass."""
    return sum(part.volume_mm3 * 1e-9 * part.material.density_kg_m3[1] for part in parts)
