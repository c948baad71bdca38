"""Flat straps: across pairs of rafters under the ridge board, and down the walls.

Where sheets run over plates and studs they tie these; straps do where none do: from a beam that
lies on a wall to the studs under it, from the plates over a header to the posts of an open side and
from these to the floor frame, and where studs have no sheets.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, block, bulk
from pikepole_model.geometry.placement import Vector
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.layout.roof import RAFTERS
from pikepole_model.layout.room import Room
from pikepole_model.plan.beams import BeamLine
from pikepole_model.plan.cross_section import Meets
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.slope import Slope
from pikepole_model.plan.wall import WallPlan
from pikepole_model.scene.walls import SheetedWall
from pikepole_model.stock.metric import usual_mm
from pikepole_model.units import FOOT_MM, INCH_MM, Units, format_length

_EAVES = ("front", "back")

# 1-1/4 in wide, of 20 ga steel, and no farther apart than 4 ft (IRC R802.4.6, ridge straps; down a
# wall by analogy). Thickness: Manufacturers' Standard Gauge with the galvanised sheet gauge's zinc.
WIDE_MM = 1.25 * INCH_MM
THICK_MM = 0.0396 * INCH_MM
APART_MM = 4 * FOOT_MM

# It laps what it holds by this much: room for four nails in two rows, common practice, no source.
LAP_MM = 4 * INCH_MM

# The end of a strap stays this far from the top edge of a rafter: common practice, no source.
_IN_MM = INCH_MM / 2


def spread(places: Sequence[float], most: float = APART_MM) -> list[float]:
    """The first and last of some places, and as few between as lie no farther apart than allowed.

    Args:
        places: In rising order, mm.
        most: Greatest distance between two, mm, where the places are not farther apart.
    """
    chosen = list(places[:1])
    for place, after in itertools.pairwise((*places[1:], math.inf)):
        if after - chosen[-1] > most + TOLERANCE_MM:
            chosen.append(place)
    return chosen


def strap_ridge(roof: RoofPlan, room: Room) -> list[Piece]:
    """Straps under the ridge board, on a face of pairs of rafters that lean on it."""
    ridge, scene = roof.ridge, roof.datums.scene
    if scene.ties.ridge == "none" or not roof.ridge_board or not ridge:
        return []
    pair = [slope for slope in roof.slopes if slope.upper.meets is Meets.RIDGE]
    ends = sorted(_strap_end(slope, ridge.low_mm) for slope in pair)
    straps: list[Piece] = []
    for x in spread(_free_pairs(roof, pair[0])):
        half = pair[0].breadth_mm / 2
        for face in (x + half, x - half - THICK_MM):
            low: Vector = (face, ends[0], ridge.low_mm - WIDE_MM)
            high: Vector = (face + THICK_MM, ends[-1], ridge.low_mm)
            if room.is_free(low, high):
                room.take(low, high)
                straps.append(
                    block(
                        "ridge strap",
                        Kind.RIDGE_STRAP,
                        RAFTERS,
                        bulk(
                            scene, "steel", _called("ridge strap", ends[-1] - ends[0], scene.units)
                        ),
                        low,
                        high,
                        "y",
                    )
                )
                break
    return straps


def _free_pairs(roof: RoofPlan, slope: Slope) -> list[float]:
    """Centres of the pairs of rafters that do not lie on the plates of an end wall, mm."""
    datums = roof.datums
    if datums.scene.posts:
        return list(slope.centres_mm)
    wall, length = datums.wall_mm, datums.length_mm
    return [x for x in slope.centres_mm if not (0 <= x <= wall or length - wall <= x <= length)]


def _strap_end(slope: Slope, top_mm: float) -> float:
    """Y of the end of a strap whose upper edge runs level at a height, inside a slope's rafters."""
    rise = slope.start_mm - slope.lookout_mm - _IN_MM - top_mm
    return slope.y_of(rise / (slope.roof_mm(0.0) - slope.roof_mm(1.0)))


def strap_walls(plans: Sequence[WallPlan], lines: Sequence[BeamLine], room: Room) -> list[Piece]:
    """Straps down the front and the back wall, where no sheet ties what stands on another."""
    return [
        _strap(plan, corners, room)
        for plan in plans
        if plan.datums.scene.ties.walls == "straps" and plan.name in _EAVES
        for low, high in _spans(plan, any(line.name == plan.name for line in lines))
        for corners in _places(plan, low, high, room)
    ]


def _spans(plan: WallPlan, under_beam: bool) -> Iterator[tuple[float, float]]:
    """From and to of each row of straps above the floor, mm."""
    datums, part = plan.datums, plan.open_part
    lap = usual_mm(LAP_MM, datums.scene.units)
    is_sheeted = isinstance(plan.kind, SheetedWall) and not part
    if under_beam or not is_sheeted:
        over = plan.top(0.0) - 2 * datums.breadth_mm - (part.header_mm if part else 0.0)
        yield over - lap, plan.top(0.0) + (lap if under_beam else 0.0)
    if part and datums.scene.floor:
        yield -datums.deck_mm - lap, lap
    elif not part and not is_sheeted:
        yield plan.foot_mm, plan.foot_mm + datums.breadth_mm + lap


def _places(plan: WallPlan, low: float, high: float, room: Room) -> list[tuple[Vector, Vector]]:
    """Low and high corner of each strap of a row: outside on an open side, where all is flush."""
    outside = [0.0] if plan.open_part else []
    free: dict[float, tuple[Vector, Vector]] = {}
    for u in sorted(plan.full_height_centres()):
        for n in (*outside, -plan.datums.wall_mm - THICK_MM):
            ends = (
                plan.place.point(u - WIDE_MM / 2, low, n),
                plan.place.point(u + WIDE_MM / 2, high, n + THICK_MM),
            )
            (x0, x1), (y0, y1), (z0, z1) = (sorted(pair) for pair in zip(*ends, strict=True))
            if room.is_free((x0, y0, z0), (x1, y1, z1)):
                free.setdefault(u, ((x0, y0, z0), (x1, y1, z1)))
    return [free[u] for u in spread(list(free))]


def _strap(plan: WallPlan, corners: tuple[Vector, Vector], room: Room) -> Piece:
    low, high = corners
    room.take(low, high)
    scene = plan.datums.scene
    source = bulk(scene, "steel", _called("strap", high[2] - low[2], scene.units))
    return block(f"{plan.group} strap", Kind.STRAP, RAFTERS, source, low, high, "z")


def _called(what: str, long_mm: float, units: Units) -> str:
    """What a strap is ordered as."""
    if units == "metric":
        return f"{what} {WIDE_MM:.0f} x {THICK_MM:.0f} mm, {long_mm:.0f} mm"
    long = format_length(long_mm, "imperial").replace('"', " in").replace("'", " ft")
    return f"{what} 1-1/4 in, 20 ga, {long}"
