"""Walls that are put up piece by piece: their studs stand on a plate that is nailed down already.

in_place_walls(lifts) -> their names
as_nailed(rows, walls, units) -> rows of the list of fasteners
in_place_nails(building, lifts) -> Iterator[Purchase]

Nothing can be driven up through such a plate into the end of a stud, so that the studs are
toe-nailed: four 8d in place of two 16d, two from each side. Source: IRC 2021 Table R602.3(1) item
17, IBC Table 2304.10.1, stud to plate.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace

from pikepole_export.derive.buying.fasteners import Fastener, fasteners
from pikepole_export.derive.buying.purchase import Purchase
from pikepole_export.derive.lifting.items import Handling
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.nails_bought import nails_bought
from pikepole_model.building.fastenings import load_fastenings
from pikepole_model.building.part import Building
from pikepole_model.building.remaining import done_stages
from pikepole_model.units import Units

JOINT = "stud to bottom plate"
TOE_NAILS, NAIL = 4, "8d common nail"


def in_place_walls(lifts: Iterable[Lift]) -> frozenset[str]:
    """The walls that are put up piece by piece."""
    return frozenset(lift.item.name for lift in lifts if _is_in_place(lift))


def as_nailed(rows: Iterable[Fastener], walls: Collection[str], units: Units) -> Iterator[Fastener]:
    """Rows of the list of fasteners as they are driven where some walls go up piece by piece.

    Args:
        rows: Of the list.
        walls: Those that do.
        units: Of the scene.
    """
    nail, half = _nail(units), TOE_NAILS // 2
    for row in rows:
        if row.joint == JOINT and row.where in walls:
            brief = f"{TOE_NAILS} toe-nailed, {half} each side"
            pieces = TOE_NAILS * row.joints
            row = replace(row, fastener=nail, sort=nail, brief=brief, pieces=pieces)
        yield row


def in_place_nails(building: Building, lifts: Iterable[Lift]) -> Iterator[Purchase]:
    """The nails for that, beside those that the joints take."""
    done = done_stages(building)
    of_finish: dict[str, dict[int, float]] = {}
    for lift in lifts:
        for row in _ends(building, lift) if lift.item.stage not in done else ():
            use = of_finish.setdefault(row.finish, {})
            use[row.stage] = use.get(row.stage, 0.0) + TOE_NAILS * row.joints
    where, nail = "walls put up piece by piece", _nail(building.scene.units)
    for finish, use in of_finish.items():
        how = f"{TOE_NAILS} at the foot of each stud"
        yield nails_bought(building, nail, use, where, how, finish)


def _is_in_place(lift: Lift) -> bool:
    return lift.item.handling is Handling.WALL and lift.in_pieces


def _ends(building: Building, lift: Lift) -> list[Fastener]:
    """The list's rows of feet of studs where a wall is put up piece by piece; else none."""
    if not _is_in_place(lift):
        return []
    return [row for row in fasteners(building) if (row.joint, row.where) == (JOINT, lift.item.name)]


def _nail(units: Units) -> str:
    names = load_fastenings().metric_names if units == "metric" else {}
    return names.get(NAIL, NAIL)
