"""Bent steel that holds each rafter down on what it sits on.

Seen from above, where a rafter crosses the inner face of a plate or a beam, and from the end:

            | rafter |                              rafter __..--|
            |        |_ <- leg on its side          __..--    |  |
    ========|========|=|=======  face           ---|----------|--|  <- seat
    ------------------------- <- leg on that face  |  plate   |__|  <- foot of the legs

Both legs are as long as the tie is high; each is nailed where there is wood behind it.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, bulk, profile
from pikepole_model.geometry.placement import Placement, Vector
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.layout.roof import RAFTERS
from pikepole_model.layout.room import Room
from pikepole_model.layout.straps import strap_ridge, strap_walls
from pikepole_model.plan.beams import BeamLine
from pikepole_model.plan.cross_section import Meets
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.roof_section import label
from pikepole_model.plan.slope import Bearing, Slope, Support
from pikepole_model.plan.wall import WallPlan
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.metric import usual_mm
from pikepole_model.stock.sheet_metal import bent
from pikepole_model.units import INCH_MM, Units, format_length

# Of 18 ga galvanised steel (Manufacturers' Standard Gauge with the galvanised sheet gauge's zinc),
# each leg 1-1/2 in wide; 3 in down the plates or the beam, or 1-3/8 in down the upper plate alone
# over what lines the wall; and 2 in up the rafter's side: common practice, no source.
THICK_MM = 0.0516 * INCH_MM
LEG_MM = 1.5 * INCH_MM
DOWN_MM = (3 * INCH_MM, 1.375 * INCH_MM)
UP_MM = 2 * INCH_MM

# It ends at a mark of the tape, and so much under the roof sheets at least.
_STEP_MM: dict[Units, float] = {"imperial": INCH_MM / 4, "metric": 5.0}
_UNDER_SHEETS_MM = INCH_MM / 4

# Rests that run out past the end walls, or stand apart from them.
_OUTSIDE = (Support.LEAN_TO, Support.INNER, Support.LEDGER)


def tie(
    roof: RoofPlan, plans: Sequence[WallPlan], lines: Sequence[BeamLine], room: Room
) -> list[Piece]:
    """All steel that ties: rafters down, across the ridge, and down the walls."""
    return [
        *tie_rafters_down(roof, room),
        *strap_ridge(roof, room),
        *strap_walls(plans, lines, room),
    ]


def tie_rafters_down(roof: RoofPlan, room: Room) -> list[Piece]:
    """A tie at every bearing of every rafter that is not nailed down along an end wall's plates.

    Args:
        roof: Its plan.
        room: What is there already, or comes later.
    """
    if roof.datums.scene.ties.rafters == "none":
        return []
    return [
        tie
        for slope in roof.all_slopes
        for bearing in slope.bearings
        for x in slope.centres_mm
        if not lies_along_wall(roof, slope, bearing, x)
        for tie in _tie_at(roof, room, slope, bearing, x)
    ]


def lies_along_wall(roof: RoofPlan, slope: Slope, bearing: Bearing, x: float) -> bool:
    """Whether the rafter at x lies along the plates of an end wall, where it is on a bearing."""
    datums = roof.datums
    if datums.scene.posts or slope not in roof.slopes or bearing.on in _OUTSIDE:
        return False
    wall, length = datums.wall_mm, datums.length_mm
    return 0.0 <= x <= wall or length - wall <= x <= length


def _tie_at(
    roof: RoofPlan, room: Room, slope: Slope, bearing: Bearing, x: float
) -> Iterator[Piece]:
    """The tie that there is room for: rather long than short, and rather inside than outside."""
    faces, at_knee = [(bearing.h[0], -1), (bearing.h[1], 1)], bearing.on is Support.KNEE
    # On a ridge or a purlin only one of them is beside this slope's rafter.
    if bearing.on is Support.RIDGE or (at_knee and slope.upper.meets is Meets.KNEE):
        faces = faces[1:]
    elif at_knee:
        faces = faces[:1]
    middle = roof.datums.depth_mm / 2
    faces.sort(
        key=lambda face: (
            (slope.y_of(face[0] + face[1]) - slope.y_of(face[0])) * (slope.y_of(face[0]) - middle)
        )
    )
    sides = (1, -1) if x < roof.datums.length_mm / 2 else (-1, 1)
    units = roof.datums.scene.units
    for down in (usual_mm(mm, units) for mm in DOWN_MM):
        for (h, way), side in itertools.product(faces, sides):
            up = _up_mm(slope, bearing, x, (h, h + way * LEG_MM), down, units)
            if up is None:
                continue
            low, high = bearing.top_mm - down, bearing.top_mm + up
            heel = (x + side * slope.breadth_mm / 2, slope.y_of(h))
            out = slope.way * way
            legs = legs_of(heel, (side, out), (low, high))
            if all(room.is_free(*leg) for leg in legs):
                for leg in legs:
                    room.take(*leg)
                yield bent_tie(
                    roof.datums.scene,
                    (label(slope, Kind.TIE_DOWN), Kind.TIE_DOWN, RAFTERS),
                    heel,
                    (side, out),
                    (low, high),
                )
                return


def _up_mm(
    slope: Slope,
    bearing: Bearing,
    x: float,
    span: tuple[float, float],
    down: float,
    units: Units,
) -> float | None:
    """How far over the seat a tie reaches so that it laps its rafter; None where it would pass it.

    Args:
        slope: The rafter's.
        bearing: What it sits on.
        x: The rafter's middle, mm.
        span: From and to of the leg on its side, down the slope, mm.
        down: How far under the seat the tie reaches, mm.
        units: Of the tape whose marks it ends at.
    """
    under = slope.end_rafter_underside_mm if slope.is_end(x) else slope.rafter_underside_mm
    most = min(slope.roof_mm(h) for h in span) - slope.lookout_mm - _UNDER_SHEETS_MM
    past, step = usual_mm(UP_MM, units), _STEP_MM[units]
    least = max(-down, *(under(h) - bearing.top_mm for h in span)) + past
    for up in (max(past, least), max(0.0, least)):
        marked = math.ceil(up / step - TOLERANCE_MM) * step
        if bearing.top_mm + marked <= most:
            return marked
    return None


def legs_of(
    heel: tuple[float, float], ways: tuple[int, int], z: tuple[float, float]
) -> list[tuple[Vector, Vector]]:
    """Low and high corner of both legs of a tie, mm.

    Args:
        heel: X and Y of the corner between what it ties.
        ways: Which way along X and along Y its legs stand out from there, 1 or -1.
        z: From and to.
    """
    side, out = ways
    return [
        _between(heel, (side * du, out * dv), *z)
        for du, dv in ((LEG_MM, THICK_MM), (THICK_MM, LEG_MM))
    ]


def _between(
    heel: tuple[float, float], along: tuple[float, float], low: float, high: float
) -> tuple[Vector, Vector]:
    """Low and high corner of a leg from the heel of a tie, mm."""
    (x0, x1), (y0, y1) = (sorted((a, a + d)) for a, d in zip(heel, along, strict=True))
    return (x0, y0, low), (x1, y1, high)


def bent_tie(
    scene: Scene,
    called: tuple[str, Kind, str],
    heel: tuple[float, float],
    ways: tuple[int, int],
    z: tuple[float, float],
) -> Piece:
    """Drawn from above or from below: u along one leg, v along the other.

    Args:
        scene: Of the building.
        called: Its label, its kind and its group.
        heel: X and Y of the corner between what it ties, mm.
        ways: Which way along X and along Y its legs stand out from there, 1 or -1.
        z: From and to, mm.
    """
    (name, kind, group), (side, out) = called, ways
    line = ((0.0, LEG_MM), (0.0, 0.0), (LEG_MM, 0.0))
    tall = z[1] - z[0]
    made = f"{THICK_MM:.1f} mm, {tall:.0f} mm"
    if scene.units == "imperial":
        high = format_length(tall, "imperial").replace('"', " in")
        made = f"18 ga, {high}"
    return profile(
        name,
        kind,
        group,
        bulk(scene, "steel", f"{kind} {made} high"),
        bent(line, THICK_MM),
        Placement(
            (*heel, z[0] if side * out > 0 else z[1]),
            (float(side), 0.0, 0.0),
            (0.0, float(out), 0.0),
        ),
        tall,
        length_along="n",
    )
