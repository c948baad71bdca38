"""Rafter ties: what keeps rafters that lean on each other from pushing the walls apart."""

from __future__ import annotations

import math
from collections.abc import Iterable

from pikepole_model.geometry.spacing import overlap
from pikepole_model.plan.beside import Stretch, starts_beside
from pikepole_model.plan.corners import BEHIND_MM, facing_mm
from pikepole_model.plan.faces import CLEAR_OF_RAFTERS_MM
from pikepole_model.plan.facings import thickest_mm
from pikepole_model.plan.loft import loft_plan
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.wall_metal import CLEAR_MM, flat_of, legs_mm
from pikepole_model.plan.walls import plan_walls
from pikepole_model.plan.windows_doors import (
    WHEEL_RADIUS_MM,
    cased_runs,
    fitted_openings,
)
from pikepole_model.scene.types import Wall, neighbours


def tie_low_mm(roof: RoofPlan) -> float:
    """Underside of the ties above ground: over the higher wall's plates."""
    board = roof.ridge_board
    assert board
    plates = max(roof.plate_top_mm("front"), roof.plate_top_mm("back"))
    return plates + roof.datums.beam_depth_mm + board.tie_height


def tie_starts(roof: RoofPlan) -> dict[float, float | None]:
    """Left face of the tie beside each pair of rafters, by the pair's centre, mm; None: no room.

    Beside an end pair over a bay, inside. Never where lookouts butt on the pair, or an end wall
    under the roof stands, with all that is fixed to its outside. A pair on an end wall has none:
    the wall's own plates hold it. Nor has one that a loft's joist holds.
    """
    board = roof.ridge_board
    if not board:
        return {}
    datums, slope = roof.datums, roof.slopes[0]
    half = slope.breadth_mm / 2
    tie = datums.scene.lumber_stock(board.tie).breadth_mm
    wall, length = datums.wall_mm, datums.length_mm
    taken = [(centre - half, centre + half) for centre in slope.centres_mm]
    if not datums.scene.posts:
        out = _out_mm(roof, "left"), _out_mm(roof, "right")
        taken += [(-out[0], wall), (length - wall, length + out[1])]
    first, *commons, last = slope.centres_mm
    ends: tuple[tuple[float, Wall], ...] = ((first, "left"), (last, "right"))
    in_the_open = [x for x, end in ends if datums.is_open_at(end)]
    commons = [x for x in commons if x not in slope.line.on_walls]
    loft = loft_plan(roof)
    if loft and loft.is_beside_rafters:
        taken += [(x, x + loft.stock.breadth_mm) for x in loft.joists_x]
        commons = [x for x in commons if not (loft.ties_rafters and x in loft.beside)]
    # The end pairs have no choice, nor has the last other one where lookouts butt on it.
    pairs = [*in_the_open, *commons[-1:], *commons[:-1]]
    shut = [first - half, last + half]
    if slope.lookout_mm:
        shut += [slope.centres_mm[1] - half, slope.centres_mm[-2] + half]
    return starts_beside(pairs, half, tie, taken, shut)


def ties_over_mm(roof: RoofPlan, spans: Iterable[Stretch]) -> float:
    """Underside above ground of the ties that cross one of some stretches of X, mm; inf: none."""
    board, spans = roof.ridge_board, list(spans)
    thick = roof.datums.scene.lumber_stock(board.tie).breadth_mm if board else 0.0
    starts = (start for start in tie_starts(roof).values() if start is not None)
    crosses = any(overlap((x, x + thick), span) for x in starts for span in spans)
    return tie_low_mm(roof) if crosses else math.inf


def _out_mm(roof: RoofPlan, wall: Wall) -> float:
    """How far all that is fixed to an end wall at the height of the ties reaches out of it, mm.

    From the framing's outer face: sheets, wrap, cladding, that of the walls beside it with their
    corner boards, casings with the metal over their heads, sliding doors' tracks.
    """
    scene, low = roof.datums.scene, tie_low_mm(roof) - roof.datums.floor_mm
    sheet = roof.datums.cover_mm(wall)
    tables = [table for table in scene.cladding if wall in table.walls]
    facing = BEHIND_MM + max((facing_mm(scene, table) for table in tables), default=0.0)
    out = [BEHIND_MM] if scene.wrap else []
    if tables:
        out.append(thickest_mm(scene, tables))
    for table in scene.cladding:
        if not set(table.walls).isdisjoint(neighbours(wall)):
            corner = scene.lumber_stock(table.corner).breadth_mm if table.corner else 0.0
            out.append(facing + corner)
    (plan,) = (plan for plan in plan_walls(roof) if plan.name == wall)
    for run in cased_runs(plan):
        if run.outer[3] > low:
            metal = CLEAR_MM + legs_mm(scene) if flat_of(scene) else 0.0
            out.append(facing + scene.lumber_stock(run.trim.board).breadth_mm + metal)
    for fitted in fitted_openings(plan):
        if fitted.track and fitted.rail_v[1] + 2 * WHEEL_RADIUS_MM > low:
            out.append(facing + fitted.track_out_mm)
    return sheet + max((one + CLEAR_OF_RAFTERS_MM for one in out), default=0.0)
