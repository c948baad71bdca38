"""Rafter ties: what keeps rafters that lean on each other from pushing the walls apart."""

from __future__ import annotations

from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.roof import RoofPlan


def tie_low_mm(roof: RoofPlan) -> float:
    """Underside of the ties above ground."""
    board = roof.ridge_board
    assert board
    return roof.plate_top_mm("front") + roof.datums.beam_depth_mm + board.tie_height


def tie_starts(roof: RoofPlan) -> dict[float, float | None]:
    """Left face of the tie beside each pair of rafters, by the pair's centre, mm; None: no room.

    On the right of each pair, or else on its left; beside an end pair over a bay, inside. Never
    where lookouts butt on the pair, or an end wall under the roof stands. A pair on an end wall has
    none: the wall's own plates hold it.
    """
    board = roof.ridge_board
    if not board:
        return {}
    datums, slope = roof.datums, roof.slopes[0]
    half = slope.breadth_mm / 2
    tie = datums.scene.lumber_stock(board.tie).breadth_mm
    wall, sheet = datums.wall_mm, datums.scene.sheet_stock(datums.scene.walls.sheet).thickness_mm
    taken = [(-sheet, wall), (datums.length_mm - wall, datums.length_mm + sheet)]
    taken += [(centre - half, centre + half) for centre in slope.centres_mm]
    first, *commons, last = slope.centres_mm
    bays = (datums.bay_at("left"), datums.bay_at("right"))
    in_the_open = [x for x, bay in zip((first, last), bays, strict=True) if bay]
    commons = [x for x in commons if x not in slope.line.on_walls]
    starts: dict[float, float | None] = {}
    # The end pairs have no choice, nor has the last other one where lookouts butt on it.
    for centre in [*in_the_open, *commons[-1:], *commons[:-1]]:
        sides = [centre + half, centre - half - tie]
        if centre == last or (slope.lookout_mm and centre == slope.centres_mm[-2]):
            sides.remove(centre + half)
        if centre == first or (slope.lookout_mm and centre == slope.centres_mm[1]):
            sides.remove(centre - half - tie)
        free = [
            start
            for start in sides
            if all(start + tie <= a + TOLERANCE_MM or start >= b - TOLERANCE_MM for a, b in taken)
        ]
        starts[centre] = free[0] if free else None
        taken += [(start, start + tie) for start in free[:1]]
    return dict(sorted(starts.items()))
