"""Rafter ties: what keeps rafters that lean on each other from pushing the walls apart."""

from __future__ import annotations

from pikepole_model.plan.roof import RoofPlan
from pikepole_model.spacing import CLOSE_MM


def tie_low_mm(roof: RoofPlan) -> float:
    """Underside of the ties above ground."""
    board = roof.ridge_board
    assert board
    return roof.plate_top_mm("front") + roof.levels.beam_depth_mm + board.tie_height


def tie_starts(roof: RoofPlan) -> list[float | None]:
    """Left face of the tie beside each pair of common rafters, mm; None where there is no room.

    On the right of each pair, or else on its left; never where lookouts butt on the pair, or an end
    wall under the roof stands. A pair on an end wall has none: the wall's own plates hold it.
    """
    board = roof.ridge_board
    if not board:
        return []
    levels, slope = roof.levels, roof.slopes[0]
    half = slope.breadth_mm / 2
    tie = levels.scene.lumber_stock(board.tie).breadth_mm
    wall, sheet = levels.wall_mm, levels.scene.sheet_stock(levels.scene.walls.sheet).thickness_mm
    taken = [(-sheet, wall), (levels.length_mm - wall, levels.length_mm + sheet)]
    taken += [(centre - half, centre + half) for centre in slope.centres_mm]
    commons = [x for x in slope.centres_mm[1:-1] if x not in slope.line.on_walls]
    starts: dict[float, float | None] = {}
    # The last pair has no choice where lookouts butt on it, so it comes first.
    for centre in [*commons[-1:], *commons[:-1]]:
        sides = [centre + half, centre - half - tie]
        if slope.lookout_mm and centre == slope.centres_mm[-2]:
            sides.remove(centre + half)
        if slope.lookout_mm and centre == slope.centres_mm[1]:
            sides.remove(centre - half - tie)
        free = [
            start
            for start in sides
            if all(start + tie <= a + CLOSE_MM or start >= b - CLOSE_MM for a, b in taken)
        ]
        starts[centre] = free[0] if free else None
        taken += [(start, start + tie) for start in free[:1]]
    return [starts[centre] for centre in commons]
