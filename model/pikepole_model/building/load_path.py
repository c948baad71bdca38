"""Which steel ties, and by which joints, hold one piece to another: what a load path goes through.

ties_between(building) -> {(rafter, beam): [tie, ...]}      names, each pair once
"""

from __future__ import annotations

import itertools

from pikepole_model.building.kind_rows import Family
from pikepole_model.building.part import Building, Part

_METAL = (Family.TIES, Family.POST_METAL, Family.ANGLES)


def ties_between(building: Building) -> dict[tuple[str, str], list[Part]]:
    """The steel that each pair of pieces is tied by, in order of building.

    A pair is named as its pieces are built. What fastens each is the joint of steel and piece: its
    fasteners are in the list by that.
    """
    order = {part.name: number for number, part in enumerate(building.parts)}
    ties: dict[tuple[str, str], list[Part]] = {}
    for part in building.parts:
        if part.kind.family not in _METAL:
            continue
        held = sorted(building.mates[part.name], key=order.__getitem__)
        for pair in itertools.combinations(held, 2):
            ties.setdefault(pair, []).append(part)
    return ties
