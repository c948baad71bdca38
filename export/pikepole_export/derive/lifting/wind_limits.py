"""The wind in which a lift is put down, by what is in the hands or hangs from a hook.

    wind_of(item, method, machine, people, lifter) -> WindLimit

A sheet is carried with its edge to the wind, and laid flat. A stick, a beam and a wall that is
tilted up cannot be turned out of it. What those who hold it can push is HSE's figure to start or
stop a load: a gust is as short.
"""

from __future__ import annotations

from typing import assert_never

from pikepole_export.derive.lifting.hands import Lifter, push_guideline, team_factor
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.machine_kinds import MachineKind
from pikepole_export.derive.lifting.machines import Machine
from pikepole_export.derive.lifting.methods import Method
from pikepole_export.derive.lifting.wind import (
    FLAT_PLATE_DRAG,
    LONG_PLATE_DRAG,
    Attitude,
    WindLimit,
    Work,
    edge_drag,
    wind_limit,
)


def wind_of(
    item: Item, method: Method, machine: Machine | None, people: int, lifter: Lifter
) -> WindLimit:
    """When it is put down: by the rule, or by what the people can push against.

    Args:
        item: What is raised.
        method: How, where hands do.
        machine: What lifts it instead.
        people: Who hold it, or its tag line.
        lifter: HSE's column.
    """
    push_n = push_guideline(lifter).start_n * people * float(team_factor(people))
    hangs = machine is not None and _hangs(machine.kind)
    load = item.whole if machine is not None else method.load
    area_mm2, face_drag = _face(item, load)
    work = Work.CRANE if hangs else _work(item, load)
    attitude, drag = Attitude.FACE_ON, face_drag
    if item.handling.is_panel and not hangs:
        length, _, thickness = load.size_mm
        attitude = Attitude.EDGE_ON
        drag = edge_drag(area_mm2=area_mm2, edge_mm2=length * thickness)
    return wind_limit(
        work, attitude, area_mm2=area_mm2, push_n=push_n, drag=drag, face_drag=face_drag
    )


def _hangs(kind: MachineKind) -> bool:
    """Whether the load is up in the air, on a hook or on forks."""
    match kind:
        case MachineKind.CHAIN_HOIST | MachineKind.TELEHANDLER | MachineKind.HIRED:
            return True
        case MachineKind.WALL_JACK | MachineKind.JACK:
            return False
        case MachineKind.MATERIAL_LIFT | MachineKind.TWO_WHEEL_TRUCK:
            return False
        case _:
            assert_never(kind)


def _work(item: Item, load: Load) -> Work:
    match item.handling:
        case Handling.STICK | Handling.POST | Handling.BEAM:
            return Work.STICK
        case Handling.SHEET | Handling.LOFT_SHEET | Handling.UNIT:
            # No roof is over a loft yet, and half of a sheet comes up over its joists.
            return Work.SHEET
        case Handling.ROOF_SHEET:
            return Work.ROOFING_SHEET
        case Handling.WALL:
            return Work.WALL if item.is_frame(load) else Work.STICK
        case _:
            assert_never(item.handling)


def _face(item: Item, load: Load) -> tuple[float, float]:
    """Area of the face of a load, mm2, and its drag."""
    length, width, thickness = load.size_mm
    if item.handling.is_panel:
        return length * width, FLAT_PLATE_DRAG
    if item.is_frame(load):
        # Wind goes between the studs of a bare frame: all its pieces are as deep as it is thick.
        return sum(part.volume_mm3 for part in load.parts) / thickness, LONG_PLATE_DRAG
    return length * width, LONG_PLATE_DRAG
