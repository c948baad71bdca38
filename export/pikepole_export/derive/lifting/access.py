"""Lifts in an order that leaves a truck its way.

after_the_truck(lifts, needs) -> dict[int, set[int]]
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from pikepole_export.derive.lifting.approach import in_the_way, site_of_parts
from pikepole_export.derive.lifting.lift import Lift


def after_the_truck(lifts: Sequence[Lift], needs: Mapping[int, set[int]]) -> dict[int, set[int]]:
    """For each lift those of its stage by truck whose way it would shut.

    Args:
        lifts: Of a building.
        needs: For each of them those that have to be done before it; what has to be there for a
            lift by truck itself is never put after it.
    """
    found: dict[int, set[int]] = {lift.number: set() for lift in lifts}
    for lift in lifts:
        if lift.machine is None or lift.machine.approach is None:
            continue
        first = _all_before(lift.number, needs)
        for other in lifts:
            shuts = (
                other.item.stage == lift.item.stage
                and other.number not in first
                and in_the_way(
                    site_of_parts(other.item.whole.parts),
                    lift.item.whole,
                    lift.machine.approach.side,
                )
            )
            if shuts and other is not lift:
                found[other.number].add(lift.number)
    return found


def _all_before(number: int, needs: Mapping[int, set[int]]) -> set[int]:
    found, ahead = set[int](), [number]
    while ahead:
        new = needs[ahead.pop()] - found
        found |= new
        ahead += new
    return found
