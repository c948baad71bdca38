"""Every joint by the fastening schedule: which row holds it, and how many fasteners that takes.

    fixed(building) -> tuple[Fixed, ...]     what is fixed at one time, in order of building

Nails in a row stand at both ends of what touches and between them no farther apart than the
schedule says. Nails of a sheet start half a space from the end of each member, as the members that
cross it have their own: a 4 by 8 ft sheet with all edges nailed at 6 in takes 288 / 6 = 48 there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from pikepole_export.derive.buying.hangers import is_hung
from pikepole_export.derive.buying.screws import panel_screws
from pikepole_export.derive.buying.touching import Touching, touches
from pikepole_model.building.fastenings import Fastening, load_fastenings
from pikepole_model.building.joints import (
    BOLTED,
    NAILED,
    NAILED_BETWEEN,
    SCREWED,
    SEATED,
    STAPLED,
)
from pikepole_model.building.part import Building, Joint, Part
from pikepole_model.errors import LayoutError

# What bears, is cast in, stuck or held by stops needs no fastener.
NEED_FASTENERS = frozenset({BOLTED, NAILED, NAILED_BETWEEN, SCREWED, SEATED, STAPLED})

# Lengths this little over a whole number of spaces are noise, mm.
_CLOSE_MM = 0.01


@dataclass(frozen=True, slots=True)
class Fixed:
    """What is fixed at one time: a joint, a piece on all plies of a beam, or a whole batten.

    Attributes:
        part: The piece that is fixed.
        row: The row of the schedule.
        joints: The joints that this holds.
        others: What the piece is fixed to there.
        pieces: How many fasteners; 0 where the row says that none is bought.
    """

    part: Part
    row: Fastening
    joints: tuple[Joint, ...]
    others: tuple[Part, ...]
    pieces: int


def fixed(building: Building) -> tuple[Fixed, ...]:
    """All that is fixed; every joint that needs a fastener is in it once.

    Raises:
        LayoutError: the schedule has no row for a joint.
    """
    together: dict[object, tuple[Fastening, list[Joint], list[Touching]]] = {}
    for touch in touches(building):
        if touch.joint.fixing not in NEED_FASTENERS:
            continue
        row, seen = _row_for(touch.a, touch.b, building)
        _, joints, pieces = together.setdefault(_at_a_time(row, seen), (row, [], []))
        joints.append(touch.joint)
        pieces.append(seen)
    screws = {panel.name: panel.screws for panel in panel_screws(building)}
    studs_mm = building.scene.walls.spacing
    order = {part.name: number for number, part in enumerate(building.parts)}
    found = (
        Fixed(
            seen[0].part,
            row,
            tuple(joints),
            tuple(one.other for one in seen),
            _pieces(row, seen, studs_mm, screws),
        )
        for row, joints, seen in together.values()
    )
    return tuple(sorted(found, key=lambda one: order[one.part.name]))


def in_a_row(length_mm: float, spacing_mm: float) -> int:
    """How many stand in a row from end to end, no farther apart than the spacing; two at least."""
    return max(1, math.ceil((length_mm - _CLOSE_MM) / spacing_mm)) + 1


def in_a_sheet(length_mm: float, spacing_mm: float) -> int:
    """How many hold a sheet to a member, half a space in from its ends; one at least."""
    return max(1, math.ceil((length_mm - _CLOSE_MM) / spacing_mm))


def _row_for(a: Touching, b: Touching, building: Building) -> tuple[Fastening, Touching]:
    pair = (a.part.kind.value, b.part.kind.value, a.way.value, b.way.value)
    schedule = load_fastenings().schedule
    number, turned = _row_number(*pair, hung=True)
    if number is not None and schedule[number].hung:
        seen = b if turned else a
        number, turned = _row_number(*pair, hung=is_hung(seen.part, seen.other, building))
    if number is None:
        raise LayoutError(
            f"{a.part.name} and {b.part.name}: the fastening schedule has no row for "
            f"{a.part.kind} on {b.part.kind}, {a.way}"
        )
    return schedule[number], b if turned else a


@cache
def _row_number(
    one: str, other: str, way: str, back: str, *, hung: bool
) -> tuple[int | None, bool]:
    """The first row that fits a joint seen from either side, and whether from the other's."""
    for number, row in enumerate(load_fastenings().schedule):
        if row.fits(one, other, way, hung=hung):
            return number, False
        if row.fits(other, one, back, hung=hung):
            return number, True
    return None, False


def _at_a_time(row: Fastening, seen: Touching) -> object:
    """What joints must share to be fixed by the same fasteners."""
    match row.per:
        case "piece":
            return id(row), seen.part.name
        case "place":
            return id(row), seen.part.name, seen.other.group
        case _:
            return id(row), seen.part.name, seen.other.name


def _pieces(row: Fastening, seen: list[Touching], studs_mm: float, screws: dict[str, int]) -> int:
    part = seen[0].part
    if row.each is not None:
        return row.each
    if row.hanger:
        return load_fastenings().holes_for(part.across_mm[1])
    if row.ribs:
        return screws[part.name]
    if row.spacing_mm is not None:
        spacing_mm = studs_mm if math.isnan(row.spacing_mm) else row.spacing_mm
        length_mm = part.length_mm if row.per == "piece" else seen[0].length_mm
        return row.rows_on(part.across_mm[1]) * in_a_row(length_mm, spacing_mm)
    if row.edge_mm is not None and row.field_mm is not None:
        return sum(
            in_a_sheet(one.length_mm, row.edge_mm if one.at_edge else row.field_mm) for one in seen
        )
    if row.grid_mm is not None:
        return math.ceil(_area_mm2(part) / row.grid_mm**2 - 1e-9)
    return 0


def _area_mm2(part: Part) -> float:
    """One side of a piece that is much thinner than it is wide, mm2."""
    return part.volume_mm3 / min(part.shape.size_mm)
