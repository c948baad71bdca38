"""Plain blocks to lift, whose mass and middle are known by heart, and what a lift asks for."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin
from typing import Any

from pikepole_export.derive.lifting.hand_lift import Grade
from pikepole_export.derive.lifting.hands import Lifter
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.lift import Help, Lift
from pikepole_export.derive.lifting.loads import load_of
from pikepole_export.derive.lifting.mends import A_LITTLE
from pikepole_export.derive.lifting.methods import Split, methods
from pikepole_export.derive.lifting.rests import HandSetup
from pikepole_export.derive.lifting.techniques import Rig
from pikepole_export.derive.lifting.wind_limits import wind_of
from pikepole_export.derive.lifting.work_surface import level_surface
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part
from pikepole_model.geometry.placement import Placement, Vector
from pikepole_model.geometry.shape import Prism, Shape, rectangle
from pikepole_model.stock.materials import Material

GRAVITY = 9.80665  # 3rd CGPM, 1901


def block(
    name: str,
    size_mm: Vector,
    mass_kg: float,
    *,
    kind: Kind = Kind.RAFTER,
    stage: int = 1,
    group: str = "blocks",
    at_mm: Vector = (0.0, 0.0, 0.0),
    slope_deg: float = 0.0,
    flat: bool = False,
) -> Part:
    """A block of one mass, wet or dry.

    Its length runs along Y and rises at the slope; its width stands square to that, its thickness
    lies along X. Flat, its width lies along X instead.
    """
    length, width, thickness = size_mm
    density = mass_kg / (length * width * thickness / 1e9)
    a = radians(slope_deg)
    u: Vector = (0.0, cos(a), sin(a))
    v: Vector = (-1.0, 0.0, 0.0) if flat else (0.0, -sin(a), cos(a))
    material = Material("block", (density, density, density), "round number for the tests")
    shape = Shape(Prism(rectangle(0, 0, length, width), thickness))
    return Part(name, kind, group, stage, "block", material, None, shape, Placement(at_mm, u, v))


def item_of(
    *parts: Part,
    handling: Handling = Handling.STICK,
    pieces: bool = False,
    same: tuple[str, ...] = (),
    floor_mm: float = 0.0,
    pass_height_mm: float | None = None,
    inside_of: str = "",
) -> Item:
    """These parts as one item to raise."""
    whole = load_of(parts[0].name, parts)
    return Item(
        name=whole.name,
        kind=parts[0].kind,
        handling=handling,
        stage=parts[0].stage,
        whole=whole,
        pieces=tuple(load_of(part.name, [part]) for part in parts) if pieces else (),
        lightened=(),
        same=same or (whole.name,),
        work_surface=level_surface(floor_mm),
        floor_mm=floor_mm,
        pass_height_mm=whole.low_mm if pass_height_mm is None else pass_height_mm,
        inside_of=inside_of,
    )


def lift_of(item: Item, **changes: Any) -> Lift:
    """This item as one person raises it off trestles, by the first method that there is."""
    found = methods(item, HandSetup((750.0,), (), Lifter.MAN))
    plain = Lift(
        number=1,
        stage_name=f"stage {item.stage}",
        item=item,
        methods=found,
        chosen=found[0],
        help=Help.ALONE,
        grade=Grade.WITHIN,
        mends=(),
        people=1,
        crew=1,
        machine=None,
        unfit=(),
        platform_mm=None,
        step_mm=None,
        wind=wind_of(item, found[0], None, 1, Lifter.MAN),
        bracing=None,
    )
    return replace(plain, **changes)


def rank(lift: Lift) -> float:
    """The place of a lift's way in the order in which ways are looked for, from 1."""
    if lift.chosen.split is Split.PIECES and not (lift.is_above or lift.help > Help.HELPER):
        return 3.5
    if lift.is_above:
        from_what_is_there = lift.help < Help.PLATFORM
        return 2 if from_what_is_there and lift.chosen.hardest.used <= A_LITTLE else 7
    match lift.help:
        case Help.ALONE | Help.HELPER:
            return 1 if lift.chosen.technique.rig is Rig.NONE else 5
        case Help.GEAR:
            return 6 if lift.machine and lift.machine.has_driver else 3
        case Help.PLATFORM:
            return 4 if lift.chosen.technique.rig is Rig.NONE else 5
        case Help.HIRE:
            return 8


def plain_of(lift: Lift) -> list[int]:
    """By how many it can be raised within the guidelines, with nothing to put up.

    A wall not piece by piece, which is the last of its ways.
    """
    return [
        method.people
        for method in lift.methods
        if method.people is not None
        and method.technique.rig is Rig.NONE
        and method.split is not Split.PIECES
    ]
