"""Every joint by the fastening schedule: which row holds it, and how many fasteners that takes.

    fixed(building) -> tuple[Fixed, ...]     what is fixed at one time, in order of building

Nails in a row stand at both ends of what touches and between them no farther apart than the
schedule says. Nails of a sheet start half a space from the end of each member, as the members that
cross it have their own: a 4 by 8 ft sheet with all edges nailed at 6 in takes 288 / 6 = 48 there.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import assert_never

from pikepole_export.derive.buying.touching import Touching, touches
from pikepole_model.building.fastenings import (
    ByHole,
    ByRib,
    Each,
    Fastening,
    InRows,
    OnGrid,
    OnSheet,
    load_fastenings,
)
from pikepole_model.building.joints import (
    BOLTED,
    NAILED,
    NAILED_BETWEEN,
    SCREWED,
    SEATED,
    STAPLED,
)
from pikepole_model.building.part import Building, Joint, PanelRecord, Part
from pikepole_model.errors import LayoutError
from pikepole_model.geometry.shape import Prism
from pikepole_model.geometry.spacing import TOLERANCE_MM

# What bears, is cast in, stuck or held by stops needs no fastener.
NEED_FASTENERS = frozenset({BOLTED, NAILED, NAILED_BETWEEN, SCREWED, SEATED, STAPLED})

# Wood bears on wood over this length at least, mm. Source: IRC R502.6.
LEAST_BEARING_MM = 38.1

# Solids are cut this truly, mm.
_TRUE_MM = 0.05

# Rows of screws in a panel: as far apart at most, and an end row this far in from the panel's end.
# Source: common practice, no source.
SCREW_ROWS_MM, SCREWED_IN_MM = 609.6, 50.8


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


@lru_cache(2)  # asked for by the list, by the checks of strength and by prices
def fixed(building: Building) -> tuple[Fixed, ...]:
    """All that is fixed; every joint that needs a fastener is in it once.

    Raises:
        LayoutError: the schedule has no row for a joint.
    """
    bodies = _bodies(building)
    together: dict[object, tuple[Fastening, list[Joint], list[Touching]]] = {}
    for touch in touches(building):
        if touch.joint.fixing not in NEED_FASTENERS:
            continue
        row, seen = _row_for(touch.a, touch.b, building)
        _, joints, pieces = together.setdefault(_at_a_time(row, seen, bodies), (row, [], []))
        joints.append(touch.joint)
        pieces.append(seen)
    studs_mm = building.scene.walls.spacing
    order = {part.name: number for number, part in enumerate(building.parts)}
    found = (
        Fixed(
            seen[0].part,
            row,
            tuple(joints),
            tuple(one.other for one in seen),
            _pieces(row, seen, studs_mm),
        )
        for row, joints, seen in together.values()
    )
    return tuple(sorted(found, key=lambda one: order[one.part.name]))


def in_a_row(length_mm: float, spacing_mm: float) -> int:
    """How many stand in a row from end to end, no farther apart than the spacing; two at least."""
    return max(1, math.ceil((length_mm - TOLERANCE_MM) / spacing_mm)) + 1


def in_a_sheet(length_mm: float, spacing_mm: float) -> int:
    """How many hold a sheet to a member, half a space in from its ends; one at least."""
    return max(1, math.ceil((length_mm - TOLERANCE_MM) / spacing_mm))


def _row_for(a: Touching, b: Touching, building: Building) -> tuple[Fastening, Touching]:
    pair = (a.part.kind.value, b.part.kind.value, a.way.value, b.way.value)
    schedule = load_fastenings(building.scene.units).schedule
    number, turned = _row_number(*pair, on_hanger=True)
    if number is not None and schedule[number].on_hanger:
        seen = b if turned else a
        number, turned = _row_number(
            *pair, on_hanger=_needs_hanger(seen.part, seen.other, building)
        )
    if number is None:
        raise LayoutError(
            f"{a.part.name} and {b.part.name}: the fastening schedule (data/fasteners.toml) has no "
            f"row for {a.part.kind} on {b.part.kind}, {a.way}"
        )
    return schedule[number], b if turned else a


@cache
def _row_number(
    one: str, other: str, way: str, back: str, *, on_hanger: bool
) -> tuple[int | None, bool]:
    """The first row that fits a joint seen from either side, and whether from the other's."""
    for number, row in enumerate(load_fastenings().schedule):
        if row.fits(one, other, way, on_hanger=on_hanger):
            return number, False
        if row.fits(other, one, back, on_hanger=on_hanger):
            return number, True
    return None, False


def _bodies(building: Building) -> dict[str, str]:
    """What of a group hangs together by its own joints, as plies and spacers do: its first part.

    A lean-to's ledger and its beam are of one group, and each a body of its own.
    """
    groups = {part.name: part.group for part in building.parts}
    bodies: dict[str, str] = {}
    for part in building.parts:
        reached = [part.name]
        while reached:
            name = reached.pop()
            if name not in bodies:
                bodies[name] = part.name
                reached += [mate for mate in building.mates[name] if groups.get(mate) == part.group]
    return bodies


def _at_a_time(row: Fastening, seen: Touching, bodies: dict[str, str]) -> object:
    """What joints must share to be fixed by the same fasteners."""
    match row.per:
        case "piece":
            return id(row), seen.part.name
        case "place":
            return id(row), seen.part.name, bodies[seen.other.name]
        case "joint":
            return id(row), seen.part.name, seen.other.name
        case _:
            assert_never(row.per)


def _pieces(row: Fastening, seen: list[Touching], studs_mm: float) -> int:
    part = seen[0].part
    match row.count:
        case None:
            return 0
        case Each(number):
            return number * (_end_to_end(seen) if row.each_length else 1)
        case InRows(spacing_mm):
            length_mm = part.length_mm if row.per == "piece" else seen[0].length_mm
            in_one = in_a_row(length_mm, studs_mm if spacing_mm is None else spacing_mm)
            return row.count.rows_on(part.across_mm[1]) * in_one
        case OnSheet(edge_mm, field_mm):
            return sum(
                in_a_sheet(one.length_mm, edge_mm if one.at_edge else field_mm) for one in seen
            )
        case OnGrid(side_mm):
            return math.ceil(_area_mm2(part) / side_mm**2 - 1e-9)
        case ByRib():
            return panel_screws(part)
        case ByHole():
            return load_fastenings().holes_for(part.across_mm[1])
        case _:
            assert_never(row.count)


def _end_to_end(seen: Sequence[Touching]) -> int:
    """How many lengths of a line meet on a piece: of the plies side by side, the one with most."""
    lines: Counter[tuple[float, ...]] = Counter()
    for one in seen:
        low, high = one.other.bounds_mm
        along = max(range(3), key=lambda axis: high[axis] - low[axis])
        lines[tuple(round(low[axis], 1) for axis in range(3) if axis != along)] += 1
    return max(lines.values())


def panel_screws(panel: Part) -> int:
    """How many screws hold a roof panel, by rib and row.

    Post-frame practice, no code behind it: rows at both ends and every 24 in up the slope between;
    in the end rows a screw at each side of every rib, in the others one beside each rib. The rib
    that two panels share is screwed once, through both.
    """
    assert isinstance(panel.record, PanelRecord)
    return len(panel.record.ribs_mm) * (2 * 2 + len(screw_rows(panel.length_mm)) - 2)


def screw_rows(length_mm: float) -> tuple[float, ...]:
    """Where the rows lie along a panel, evenly and at most 24 in apart, mm from its low end."""
    between = length_mm - 2 * SCREWED_IN_MM
    count = max(1, math.ceil((between - TOLERANCE_MM) / SCREW_ROWS_MM))
    return tuple(SCREWED_IN_MM + between * k / count for k in range(count + 1))


def _area_mm2(part: Part) -> float:
    """One side of a piece that is much thinner than it is wide, mm2: laid flat where it is bent."""
    body = part.shape.body
    if not isinstance(body, Prism):
        return part.volume_mm3 / min(part.shape.size_mm)
    # A bent profile is as thick as the strip that has its area within an outline as long.
    section = part.shape.area
    half = section.length / 2
    strip_mm = (half - math.sqrt(max(0.0, half**2 - 4 * section.area))) / 2
    return part.volume_mm3 / min(body.thickness, strip_mm)


def _needs_hanger(part: Part, other: Part, building: Building) -> bool:
    """Whether nothing lies under a level piece where its end meets the side of another.

    Args:
        part: The piece, along the building or square to it.
        other: What its end meets.
        building: What may lie under it.
    """
    low, high = part.bounds_mm
    along = 0 if high[0] - low[0] > high[1] - low[1] else 1
    across = 1 - along
    if part.centre_mm[along] > other.centre_mm[along]:
        start, end = low[along], low[along] + LEAST_BEARING_MM
    else:
        start, end = high[along] - LEAST_BEARING_MM, high[along]
    mates = building.mates[part.name]
    for under in (one for one in building.parts if one.name in mates and one.name != other.name):
        least, most = under.bounds_mm
        carries = (
            abs(most[2] - low[2]) < _TRUE_MM
            and least[along] < start + _TRUE_MM
            and most[along] > end - _TRUE_MM
            and least[across] < high[across]
            and most[across] > low[across]
        )
        if carries:
            return False
    return True
