"""Where a wall has wood behind an upright joint of its sheets.

backed_centres(wall) -> list[float]
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from pikepole_model.building.kinds import Kind
from pikepole_model.geometry.spacing import LEAST_STICK_MM
from pikepole_model.plan.framed import Framed
from pikepole_model.plan.wall import WallPlan


def backed_centres(wall: WallPlan) -> list[float]:
    """Where an upright sheet joint has wood behind it at any height, mm along u."""
    past = (_backed_past(wall, one) for one in ([] if wall.open_part else wall.openings))
    low = [upright.centre for upright in wall.uprights if upright.kind == Kind.STUD]
    full = wall.full_height_centres()
    return sorted({*full, *low, *itertools.chain.from_iterable(past)})


def _backed_past(wall: WallPlan, framed: Framed) -> Iterator[float]:
    """Where a joint may run on over and under an opening, mm along u.

    A cripple stands behind it there, or no gap is left that one would be cut for: under a
    doorway, a sill down on the bottom plate, plates down on a header.
    """
    under = wall.marks_under(framed)
    for u in wall.marks_over(framed):
        # Under a rake, a gap too low for a cripple at one edge can be an open one at the other.
        gap = max(head for _, head in wall.head_line(*u)) - framed.header_top
        is_full = gap < LEAST_STICK_MM or wall.is_packed(framed)
        backed_over = is_full or wall.cripple_over(framed, u)
        centre = (u[0] + u[1]) / 2
        beside = not framed.u[0] < centre < framed.u[1]
        inside = framed.beside_u[0] <= centre <= framed.beside_u[1]
        if inside and backed_over and (beside or not under or u in under):
            yield centre
