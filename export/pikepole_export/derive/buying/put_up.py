"""What of the nailing follows from how and when walls are put up, and not from what touches.

    PutUp: walls put up piece by piece, plates sawn on the deck
    is_toe_nailed(one, put_up, building) -> no nail can be driven through the plate
    laps(building, put_up) -> Iterator[Lap]     ends of top plates under one that runs on over them

A stud is end-nailed while its plate can be got at from the other side: not where the bottom plate
is nailed down, nor where something lies on the top plate before the stud comes.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from pikepole_export.derive.buying.schedule import Fixed, fixed
from pikepole_model.building.fastenings import Fastening, load_fastenings
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.spacing import TOLERANCE_MM

STUD_ON_PLATE, STUD_UNDER_PLATE = "stud to bottom plate", "stud to top plate"
# What is told apart from studs of the same stage that are end-nailed.
TOE_NAILED = {STUD_UNDER_PLATE: "stud to top plate that is covered"}


@dataclass(frozen=True, slots=True)
class PutUp:
    """How the walls of a building are put up, as far as it decides what they are nailed with.

    Attributes:
        in_place: Walls put up piece by piece, on a plate that is nailed down already.
        sawn: Plates that the cut list has in one piece and that are sawn in two on the deck.
    """

    in_place: frozenset[str] = frozenset()
    sawn: frozenset[str] = frozenset()


# Whole walls, and no plate sawn.
AS_DRAWN = PutUp()


@dataclass(frozen=True, slots=True)
class Lap:
    """A top plate that ends where the one along it runs on, and the row that holds such a joint."""

    plate: Part
    row: Fastening
    stage: int


def is_toe_nailed(one: Fixed, put_up: PutUp, building: Building) -> bool:
    """Whether the end of a stud can be nailed from the stud's side of its plate alone.

    Args:
        one: What is fixed at one time.
        put_up: How the walls are put up.
        building: When each of its pieces comes.
    """
    if one.row.name == STUD_ON_PLATE:
        is_late = all(one.part.stage > plate.stage for plate in one.others)
        return is_late or one.part.group in put_up.in_place
    if one.row.name == STUD_UNDER_PLATE:
        return any(_is_covered(plate, one.part, building) for plate in one.others)
    return False


def _is_covered(plate: Part, stud: Part, building: Building) -> bool:
    """Whether something lies on a plate, over a stud, before that stud is put in."""
    mates = building.mates[plate.name]
    return any(
        part.stage < stud.stage
        and part.bounds_mm[0][2] > plate.bounds_mm[0][2] + TOLERANCE_MM
        and all(
            part.bounds_mm[0][axis] < stud.bounds_mm[1][axis] - TOLERANCE_MM
            and part.bounds_mm[1][axis] > stud.bounds_mm[0][axis] + TOLERANCE_MM
            for axis in (0, 1)
        )
        for part in building.parts
        if part.name in mates and part.name != stud.name
    )


def laps(building: Building, put_up: PutUp) -> Iterator[Lap]:
    """Joints of a double top plate of which no two plates touch: sawn, or a gap that is lapped.

    Args:
        building: The building.
        put_up: Which of its plates are sawn.
    """
    along, butt = (_row(building, way) for way in ("along", "butt"))
    lapping: dict[str, list[Part]] = defaultdict(list)
    meeting: set[frozenset[str]] = set()
    for one in fixed(building):
        for other in one.others:
            if one.row is along:
                lapping[one.part.name].append(other)
                lapping[other.name].append(one.part)
            elif one.row is butt:
                meeting.add(frozenset((one.part.name, other.name)))
    parts = {part.name: part for part in building.parts}
    for name, others in lapping.items():
        plate, last = parts[name], max(part.stage for part in others)
        if name in put_up.sawn:
            yield Lap(plate, butt, max(plate.stage, last))
        in_order = sorted(others, key=lambda part: part.bounds_mm[0])
        for one, other in pairwise(in_order):
            if frozenset((one.name, other.name)) not in meeting:
                yield Lap(one, butt, max(plate.stage, one.stage, other.stage))


def _row(building: Building, way: str) -> Fastening:
    """What holds two top plates that lie so."""
    plate = Kind.TOP_PLATE.value
    schedule = load_fastenings(building.scene.units).schedule
    return next(row for row in schedule if row.fits(plate, plate, way))
