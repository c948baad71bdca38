"""How far up and down the covers of a wall's studs reach: sheets, slats, and what lines the inside.

All are (u, height above the floor) of the wall's plan, mm.
"""

from __future__ import annotations

import math

from pikepole_model.plan.roof import lowest_mm
from pikepole_model.plan.wall import WallPlan

# What covers a wall stops this far below the rafters' undersides where tails run out over it.
CLEAR_OF_TAILS_MM = 3.0

# A sheet laps at least so much of the rim under a wall, 3 in, for two rows of nails: common
# practice, no source.
ON_RIM_MM = 76.2


def cover_top(plan: WallPlan) -> list[tuple[float, float]]:
    """Top of slats outside: the plates, or just under the tails, or a half wall's top."""
    return [(u, min(top, tails_mm(plan))) for u, top in sheet_top(plan)]


def sheet_top(plan: WallPlan) -> list[tuple[float, float]]:
    """Top of the outer sheets, which are nailed to both plates; a half wall's top."""
    part = plan.open_part
    if part:
        return [(0.0, part.from_mm), (plan.length_mm, part.from_mm)]
    return list(plan.top_line)


def tails_mm(plan: WallPlan) -> float:
    """Just under the tails that run out over a wall, above the floor; infinite where none do."""
    datums = plan.datums
    falls_over = any(slope.falls == plan.name for slope in plan.slopes_over)
    if plan.open_part or not plan.runs_through or datums.beam or not falls_over:
        return math.inf
    face = plan.place.point(0.0, 0.0, datums.cover_mm(plan.name))[1]
    return lowest_mm(plan.slopes_over, face) - datums.floor_mm - CLEAR_OF_TAILS_MM


def tails_u(plan: WallPlan) -> list[tuple[float, float]]:
    """From and to of the room of each tail that runs out over a wall, from left to right, mm."""
    place, length = plan.place, plan.length_mm
    found: list[tuple[float, float]] = []
    for slope in plan.slopes_over:
        half = slope.breadth_mm / 2 + CLEAR_OF_TAILS_MM
        for x in slope.centres_mm if slope.falls == plan.name else ():
            u = (x - place.origin[0]) * place.u[0]
            if -half < u < length + half:
                found.append((max(0.0, u - half), min(length, u + half)))
    return sorted(found)


def lining_top(plan: WallPlan) -> list[tuple[float, float]]:
    """Top of what lines the inside: half way up the double plate, or just under the rafters."""
    part = plan.open_part
    if part:
        return [(0.0, part.from_mm), (plan.length_mm, part.from_mm)]
    datums, top = plan.datums, plan.head_line(0.0, plan.length_mm, -plan.datums.breadth_mm)
    if not plan.runs_through:
        return top
    # Inside a high wall they come down past their seats.
    back = datums.wall_mm + datums.lining_mm(plan.name)
    ys = [plan.place.point(0.0, 0.0, -n)[1] for n in (datums.wall_mm, back)]
    rafters = min(lowest_mm(plan.slopes_over, y) for y in ys) - datums.floor_mm - CLEAR_OF_TAILS_MM
    return [(u, min(v, rafters)) for u, v in top]


def cover_foot_mm(plan: WallPlan) -> float:
    """Bottom of the outer sheets: they tie the wall to the rim under it, if there is one.

    Down to its underside, or as near to the ground as wood that is not treated may come.
    """
    datums = plan.datums
    if plan.foot_mm or not datums.joist_mm:
        return plan.foot_mm
    least, rim = datums.least_over_ground_mm - datums.floor_mm, -datums.deck_mm
    return max(rim - datums.joist_mm, min(least, rim - ON_RIM_MM))
