"""Where the joists of a framed floor stand."""

from __future__ import annotations

from pikepole_model.geometry.spacing import TOLERANCE_MM, on_centre, overlap
from pikepole_model.plan.datums import Datums
from pikepole_model.scene.schema import Floor, RidgeBeam


def joist_centres(datums: Datums, floor: Floor) -> list[float]:
    """X of each joist's centre, on centre from the left end, mm.

    And of one at each side of what stands in the line of a rim, for the rim to end on.
    """
    breadth = datums.scene.lumber_stock(floor.joist).breadth_mm
    centres = _usual_centres(datums, floor)
    rims = (0.0, breadth), (datums.depth_mm - breadth, datums.depth_mm)
    there = [one for one in datums.obstacles if one.low < datums.floor_mm]
    for one in (one.cleared() for one in there if one.meets(datums.floor)):
        if not any(overlap((one.y0, one.y1), rim) for rim in rims):
            continue
        for x in (one.x0 - breadth / 2, one.x1 + breadth / 2):
            on_floor = breadth / 2 < x < datums.length_mm - breadth / 2
            if on_floor and all(abs(x - centre) >= breadth for centre in centres):
                centres.append(x)
            elif on_floor:
                # One that would stand in its place stands there instead, but for the ends.
                near = min(centres[1:-1], key=lambda centre: abs(x - centre))
                if abs(near - x) < breadth:
                    centres[centres.index(near)] = x
    return sorted(centres)


def _usual_centres(datums: Datums, floor: Floor) -> list[float]:
    """The same where nothing stands in the way.

    The end joists are double under a bare floor, where the side walls' plates lie on nothing else,
    and under a side wall whose posts carry a beam (IRC R502.4, joists under a bearing wall).
    """
    breadth, end = datums.scene.lumber_stock(floor.joist).breadth_mm, datums.length_mm
    centres = on_centre(0.0, end, floor.spacing, breadth)
    roof = datums.scene.roof
    if datums.deck_mm and not (isinstance(roof.ridge, RidgeBeam) or roof.knee or roof.clerestory):
        return centres
    first, *inner, last = centres
    doubles = (first + breadth, last - breadth)
    clear = (doubles[0] + breadth - TOLERANCE_MM, doubles[1] - breadth + TOLERANCE_MM)
    return [first, doubles[0], *(x for x in inner if clear[0] <= x <= clear[1]), doubles[1], last]
