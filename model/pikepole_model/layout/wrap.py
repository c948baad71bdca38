"""House wrap: courses round the walls from the low edge up, each lapping the one below.

Drawn flat, wall by wall. Where it is double it is drawn in layers, so that nothing is in the same
place twice: every other course one thickness further out, a lap two. All of it lies out over the
legs of the flashings, which are on the sheathing, so that what runs down it drips off them.
"""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely import box
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, Source, profile
from pikepole_model.geometry.courses import stretches
from pikepole_model.geometry.outline import cut_out
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.cladding import CladdingPlan
from pikepole_model.plan.corners import BEHIND_MM, ENDS, past
from pikepole_model.plan.faces import PAST_MM, WallFace
from pikepole_model.plan.ledger_wrap import CLEAR_OF_LEDGER_MM, ledger_wrap_foot_mm
from pikepole_model.plan.membranes import flaps
from pikepole_model.plan.roof_cover import RoofCover
from pikepole_model.plan.wall_legs import slits
from pikepole_model.plan.wall_metal import legs_mm
from pikepole_model.scene.envelope import Wrap
from pikepole_model.stock.rows import Roll
from pikepole_model.stock.sheet_metal import bent


def wrap_walls(plan: CladdingPlan, wrap: Wrap) -> list[Piece]:
    """The house wrap of the walls, in the order it goes on: course by course round them.

    It is unrolled to the right as one sees it from outside, and each wall's turns its end on to
    the next wall.
    """
    roll = plan.scene.roll_stock(wrap.roll)
    faces = [face for face in plan.round if face.is_closed]
    return [piece for face in faces for piece in _wrap_wall(plan, face, wrap, roll)]


def wrap_ledgers(plan: CladdingPlan, wrap: Wrap) -> list[Piece]:
    """What is put up before a ledger: from under the roof's flashing down behind it.

    Below the ledger it comes out over the wall's wrap, whose edge is tucked under it. A roll's
    length butts on the next one here: a lap would lift the ledger.
    """
    roll = plan.scene.roll_stock(wrap.roll)
    source = Source(wrap.roll, plan.scene.roll_material(wrap.roll))
    return [piece for face in plan.faces for piece in _behind_ledger(face, source, roll)]


def _behind_ledger(face: WallFace, source: Source, roll: Roll) -> Iterator[Piece]:
    slope = face.ledger_slope
    if not slope:
        return
    name = f"{face.plan.name} {Kind.LEDGER_WRAP}"
    high = RoofCover(face.roof, slope).up_wall[1] - face.plan.datums.floor_mm
    high = min(high, face.area.bounds[3])
    foot, out = face.ledger_mm[0] - CLEAR_OF_LEDGER_MM, BEHIND_MM - roll.thickness_mm
    line = ((0.0, high), (0.0, foot), (out, foot), (out, ledger_wrap_foot_mm(face, roll)))
    left, right = face.corners_at(high)
    if face.foot_mm > 0:  # a clerestory's, down to its foot and between the end walls' sheets
        line, left, right = ((0.0, high), (0.0, face.foot_mm)), 0.0, face.plan.length_mm
    for u0, u1 in stretches(left, right, roll.length_mm, 0.0):
        yield profile(
            name,
            Kind.LEDGER_WRAP,
            name,
            source,
            bent(line, roll.thickness_mm),
            Placement(face.place.point(u1, 0.0), face.place.n, face.place.v),
            u1 - u0,
            length_along="n",
        )


def _wrap_wall(plan: CladdingPlan, face: WallFace, wrap: Wrap, roll: Roll) -> Iterator[Piece]:
    source = Source(wrap.roll, plan.scene.roll_material(wrap.roll))
    whole = _covered(plan, face)
    open_ = [*plan.bare(face), *slits(plan, face), *flaps(face)]
    left, low, right, high = whole.bounds
    under = legs_mm(plan.scene) + (face.plan.datums.ledger_wrap_mm if face.ledger_slope else 0.0)
    before = plan.before(face)
    for k, (v0, v1) in enumerate(courses(low, high, roll)):
        runs = [("", u0, u1) for u0, u1 in _lengths(left, right, roll)]
        layers = [(n % 2, run) for n, run in enumerate(runs)]
        if before and before.is_closed:
            layers.append((1, (f" from the {before.plan.name}", left, left + roll.end_lap_mm)))
        for layer, (where, u0, u1) in layers:
            n = under + (2 * layer + k % 2) * roll.thickness_mm
            place = face.place.at_depth(n)
            course = shapely.intersection(whole, box(u0, v0, u1, v1))
            for outline, holes in cut_out(course, open_):  # type: ignore[arg-type]
                yield profile(
                    f"{face.plan.group} house wrap{where}",
                    Kind.WRAP,
                    f"{face.plan.group} wrap",
                    source,
                    outline,
                    place,
                    roll.thickness_mm,
                    holes=holes,
                )


def courses(low: float, high: float, roll: Roll) -> list[tuple[float, float]]:
    """From and to of each course, from the low edge up, mm.

    Args:
        low: Foot of what is covered, mm.
        high: Its top, mm.
        roll: The wrap: its width and how far courses lap.
    """
    found = [(low, low + roll.width_mm)]
    while found[-1][1] < high - TOLERANCE_MM:
        start = found[-1][1] - roll.lap_mm
        found.append((start, start + roll.width_mm))
    return found


def _lengths(left: float, right: float, roll: Roll) -> list[tuple[float, float]]:
    """From and to of each length of a course, a roll long at most, mm."""
    found = [(left, min(right, left + roll.length_mm))]
    while found[-1][1] < right - TOLERANCE_MM:
        start = found[-1][1] - roll.end_lap_mm
        found.append((start, min(right, start + roll.length_mm)))
    return found


def _covered(plan: CladdingPlan, face: WallFace) -> BaseGeometry:
    """What cladding may cover, out to the face of the neighbours' sheathing, mm.

    Between the tails it goes on up to the plates. Over a half wall there is none.
    """
    area, (left, right) = plan.reached(face).difference(plan.past_steps(face)), face.corners_u
    _, low, _, high = area.bounds
    area = shapely.intersection(area, box(left, low, right, high))
    for end, name in zip(ENDS, face.plan.beside, strict=True):
        over = plan.face(name).over_half(face)
        if over:
            edges = sorted((past(face, end, 0.0), past(face, end, PAST_MM)))
            area = area.difference(box(edges[0], over[0], edges[1], high))
    return shapely.union_all([area, *plan.eaves(face)])
