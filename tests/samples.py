"""A building of seventeen pieces, small enough to work out by hand.

Two footings with anchor bolts under a sill, a floor frame with a sheet that has an opening, and a
short wall with one sloping rafter. Unequal sizes throughout, so that a swapped axis shows. The two
plates of the wall are one shape in two materials.

    plan (mm)                            back wall, seen from the right
      y
    800 +-----------------+ back rim           / rafter 3:12, seat cut on the top plate
        |   :         :   |                 _-/
        |   : +--+    :   |              _-  [=] top plate 934.15 to 972.25
        |   : |  |    :   |            -      |  stud
        |   : +--+    :   |                   |
      0 +-----------------+ front rim        [=] bottom plate from 296.05
        0    581        1200  x
"""

from __future__ import annotations

from math import atan, cos, pi, sin
from pathlib import Path
from typing import Literal

from pikepole_export.files.whole import put
from pikepole_export.write.models.assembly import assembly_of
from pikepole_export.write.models.step import step_bytes
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part, Stage
from pikepole_model.geometry.placement import Placement, Vector
from pikepole_model.geometry.shape import Circle, Prism, Shape, rectangle
from pikepole_model.scene.schema import Roof, Scene, Store
from pikepole_model.scene.ties import Ties
from pikepole_model.stock.materials import Material

# Round densities, not published ones, so that a mass is checked in the head.
_ROUND = "round number for the tests"
SPRUCE = Material("spruce-pine-fir", (400.0, 450.0, 500.0), _ROUND)
TREATED = Material("southern pine, treated", (600.0, 800.0, 1000.0), _ROUND, treated=True)
PLYWOOD = Material("plywood", (550.0, 560.0, 570.0), _ROUND, made="plywood")
CONCRETE = Material("concrete", (2300.0, 2350.0, 2400.0), _ROUND)
STEEL = Material("steel", (7850.0, 7850.0, 7850.0), _ROUND)

# 2x4 and 2x6 at dressed size: 1-1/2 x 3-1/2 and 1-1/2 x 5-1/2 in (PS 20).
BREADTH, DEPTH_4, DEPTH_6 = 38.1, 88.9, 139.7

SLOPE = atan(3 / 12)
SEAT = DEPTH_4 * 2 / 3  # level: no more than a sixth of the rafter is cut (IRC R802.7.1)
HEEL = SEAT * 3 / 12  # plumb
NOTCH_AT = 700.0  # along the rafter's lower edge
BOLT_RADIUS, BOLT_LENGTH, BOLT_EMBEDMENT = 6.35, 248.0, 178.0

_BLOCK = Prism(rectangle(0, 0, 300, 250), 300.0)
_HOLE = Prism(Circle(0, 0, BOLT_RADIUS), BOLT_EMBEDMENT)
FOOTING = Shape(_BLOCK, ((_HOLE, Placement((150, 90, 300 - BOLT_EMBEDMENT))),))
BOLT = Shape(Prism(Circle(0, 0, BOLT_RADIUS), BOLT_LENGTH, length_along="n"))
SILL = Shape(
    Prism(
        rectangle(0, 0, 1200, DEPTH_6),
        BREADTH,
        holes=(Circle(150, 90, BOLT_RADIUS), Circle(1050, 90, BOLT_RADIUS)),
    )
)
RIM = Shape(Prism(rectangle(0, 0, 1200, DEPTH_6), BREADTH))
JOIST = Shape(Prism(rectangle(0, 0, 800 - 2 * BREADTH, DEPTH_6), BREADTH))
SHEET = Shape(Prism(rectangle(0, 0, 1200, 800), 18.25, holes=(rectangle(700, 300, 850, 520),)))
PLATE = Shape(Prism(rectangle(0, 0, 1200, DEPTH_4), BREADTH))
STUD = Shape(Prism(rectangle(0, 0, 600, BREADTH), DEPTH_4))
RAFTER = Shape(
    Prism(
        (
            (0, 0),
            (NOTCH_AT, 0),
            (NOTCH_AT + HEEL * sin(SLOPE), HEEL * cos(SLOPE)),
            (NOTCH_AT + SEAT / cos(SLOPE), 0),
            (1100, 0),
            (1100, DEPTH_4),
            (0, DEPTH_4),
        ),
        BREADTH,
    )
)

SIZES_X = (0.0, 1200 / 2 - BREADTH / 2, 1200 - BREADTH)  # joists and studs: ends and middle
SILL_Z = 100.0
JOIST_Z = SILL_Z + BREADTH
SHEET_Z = JOIST_Z + DEPTH_6
PLATE_Z = SHEET_Z + 18.25
STUD_Z = PLATE_Z + BREADTH
TOP_Z = STUD_Z + 600
WALL_Y = 800 - DEPTH_4

X: Vector = (1.0, 0.0, 0.0)
Y: Vector = (0.0, 1.0, 0.0)
Z: Vector = (0.0, 0.0, 1.0)
UP_SLOPE: Vector = (0.0, cos(SLOPE), sin(SLOPE))
OFF_SLOPE: Vector = (0.0, -sin(SLOPE), cos(SLOPE))

# Closed formulas, mm3, by part name without its number.
BOLT_AREA = pi * BOLT_RADIUS**2
VOLUME_MM3 = {
    "footing": 300 * 250 * 300 - BOLT_AREA * BOLT_EMBEDMENT,
    "anchor bolt": BOLT_AREA * BOLT_LENGTH,
    "sill": (1200 * DEPTH_6 - 2 * BOLT_AREA) * BREADTH,
    "front rim": 1200 * DEPTH_6 * BREADTH,
    "back rim": 1200 * DEPTH_6 * BREADTH,
    "floor joist": (800 - 2 * BREADTH) * DEPTH_6 * BREADTH,
    "floor sheet": (1200 * 800 - 150 * 220) * 18.25,
    "back wall bottom plate": 1200 * DEPTH_4 * BREADTH,
    "back wall stud": 600 * DEPTH_4 * BREADTH,
    "back wall top plate": 1200 * DEPTH_4 * BREADTH,
    "rafter": (1100 * DEPTH_4 - SEAT * HEEL / 2) * BREADTH,
}
SHAPES = 9
LOOKS = 10  # the plate in two materials
# Lower left front corner: footings. Top: the upper corner of the rafter's high end.
LOW_MM: Vector = (0.0, 0.0, -200.0)
HIGH_MM: Vector = (
    1200.0,
    WALL_Y + (1100 - NOTCH_AT) * cos(SLOPE),
    TOP_Z + BREADTH - HEEL + (1100 - NOTCH_AT) * sin(SLOPE) + DEPTH_4 * cos(SLOPE),
)


def expected_volume_mm3(name: str) -> float:
    """The closed formula for a part of the sample."""
    return VOLUME_MM3[name.rstrip(" 0123456789")]


def sample_building(
    units: Literal["imperial", "metric"] = "imperial", *, repeat: int = 1
) -> Building:
    """The sample, standing `repeat` times in a row along X, two metres apart."""
    stages = tuple(
        Stage(
            number,
            name,
            tuple(part for copy in range(repeat) for part in _stage_parts(number, copy)),
        )
        for number, name in ((1, "Foundation"), (2, "Floor"), (3, "Back wall and rafter"))
    )
    parts = tuple(part for stage in stages for part in stage.parts)
    # Nothing under test reads more of a scene than its title, units, size, ties and roof.
    scene = Scene.model_construct(
        title="Hive stand",
        units=units,
        building=Store.model_construct(length=1000.0, depth=1000.0),
        roof=Roof.model_validate({"slope": "3:12"}),
        ties=Ties(rafters="none"),
    )
    return Building(scene, parts, (), stages)


def _stage_parts(stage: int, copy: int) -> tuple[Part, ...]:
    return (_foundation, _floor, _wall)[stage - 1](copy)


def _foundation(copy: int) -> tuple[Part, ...]:
    parts = [
        _part(f"footing {i}", Kind.FOOTING, 1, CONCRETE, FOOTING, (x, 0, -200), X, Y, copy)
        for i, x in ((1, 0.0), (2, 900.0))
    ]
    foot = SILL_Z - BOLT_EMBEDMENT
    parts += [
        _part(f"anchor bolt {i}", Kind.ANCHOR_BOLT, 1, STEEL, BOLT, (x, 90, foot), X, Y, copy)
        for i, x in ((1, 150.0), (2, 1050.0))
    ]
    parts.append(_part("sill", Kind.BOTTOM_PLATE, 1, TREATED, SILL, (0, 0, SILL_Z), X, Y, copy))
    return tuple(parts)


def _floor(copy: int) -> tuple[Part, ...]:
    parts = [
        _part(f"{side} rim", Kind.RIM, 2, TREATED, RIM, (0, y, JOIST_Z), X, Z, copy)
        for side, y in (("front", BREADTH), ("back", 800.0))
    ]
    parts += [
        _part(f"floor joist {i}", Kind.JOIST, 2, TREATED, JOIST, (x, BREADTH, JOIST_Z), Y, Z, copy)
        for i, x in enumerate(SIZES_X, 1)
    ]
    parts.append(
        _part("floor sheet 1", Kind.FLOOR_SHEET, 2, PLYWOOD, SHEET, (0, 0, SHEET_Z), X, Y, copy)
    )
    return tuple(parts)


def _wall(copy: int) -> tuple[Part, ...]:
    wall = "back wall"
    low = (0.0, WALL_Y, PLATE_Z)
    high = (0.0, WALL_Y, TOP_Z)
    notch = Placement((SIZES_X[1], WALL_Y, TOP_Z + BREADTH - HEEL), UP_SLOPE, OFF_SLOPE)
    parts = [_part(f"{wall} bottom plate", Kind.BOTTOM_PLATE, 3, TREATED, PLATE, low, X, Y, copy)]
    parts += [
        _part(f"{wall} stud {i}", Kind.STUD, 3, SPRUCE, STUD, (x, WALL_Y, STUD_Z), Z, X, copy)
        for i, x in enumerate(SIZES_X, 1)
    ]
    parts.append(_part(f"{wall} top plate", Kind.TOP_PLATE, 3, SPRUCE, PLATE, high, X, Y, copy))
    end = notch.point(-NOTCH_AT, 0)
    parts.append(_part("rafter 1", Kind.RAFTER, 3, SPRUCE, RAFTER, end, UP_SLOPE, OFF_SLOPE, copy))
    return tuple(parts)


_GROUPS = {
    Kind.FOOTING: "foundation",
    Kind.ANCHOR_BOLT: "foundation",
    Kind.RIM: "floor frame",
    Kind.JOIST: "floor frame",
    Kind.FLOOR_SHEET: "floor sheets",
    Kind.STUD: "back wall",
    Kind.TOP_PLATE: "back wall",
    Kind.RAFTER: "roof",
}
_STOCKS = {FOOTING: "footing", BOLT: "1/2 anchor bolt", SHEET: "23/32 plywood"}


def _part(
    name: str,
    kind: Kind,
    stage: int,
    material: Material,
    shape: Shape,
    origin: Vector,
    u: Vector,
    v: Vector,
    copy: int,
) -> Part:
    six = shape in (SILL, RIM, JOIST)
    stock = _STOCKS.get(shape) or ("2x6" if six else "2x4")
    section = None if shape in _STOCKS else (BREADTH, DEPTH_6 if six else DEPTH_4)
    group = _GROUPS.get(kind) or ("foundation" if stage == 1 else "back wall")
    if copy:
        name = f"stand {copy + 1} {name}"
    place = Placement((origin[0] + 2000.0 * copy, origin[1], origin[2]), u, v)
    return Part(name, kind, group, stage, stock, material, section, shape, place)


def write_step(building: Building, path: Path) -> Path:
    """The building as a STEP file, made in this process."""
    return put(path, step_bytes(assembly_of(building)))
