"""Details, cut through the pieces of the model where a joint decides.

    cuts_of(building, stage) -> where they are cut
    detail(building, stage, cut, size) -> a flat drawing

What is cut is what stands after the stage. Each layer is named, those of the stage itself in bold.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from pikepole_export.derive.buying.fasteners import fasteners
from pikepole_export.derive.lifting.sawn import put_up
from pikepole_export.derive.measures.projection import way_of
from pikepole_export.graphics.colours import part_colour
from pikepole_export.graphics.lettering import spread, wrapped
from pikepole_export.write.pictures.plate import (
    LINE_PX,
    PX_PER_MM,
    QUIET,
    Plate,
    blank,
    draw_area,
    draw_line,
    wide_px,
    write,
)
from pikepole_model.building.kind_rows import Appearance, Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part, Stage
from pikepole_model.geometry.placement import Points
from pikepole_model.units import Units, format_length

SCALE, SMALLER = 5, 10
SAID: dict[Units, str] = {
    "imperial": "1:{} at 10 in wide",
    "metric": "1:{} at 254 mm wide",
}
EDGE_PX = 22
NAMES_PX = 210  # the room for names, on the right
MORE_NAMES_PX = 264  # of a smaller drawing
NAME_GAP_PX = 8
LEAST_MM2 = 30.0  # of a piece in the cut, to be named
# Sheet metal is drawn heavier than it is, as is usual where its thickness to scale would be that of
# a line: so wide where nothing lies on it, and so wide between other layers. What is drawn over the
# first keeps its own edges, so that the order of the layers is seen.
METAL, SHEET_MM = {Appearance.STEEL, Appearance.GALVANISED}, 1.5
SHEET_PX, BETWEEN_PX = 4.0, 2.0
# The plane stands off faces that lie in it.
OFF_MM = 0.137
DETAIL_HIGH_PX = 340  # what is left under the words of a detail
ASIDE = 0.4  # of the breadth of a rafter, from its middle, a plane may go along it
REACH_MM = 200.0  # round its middle
EDGE_MM = 400.0  # round the middle of an eave, what it has to show
AROUND_MM = 8.0  # what has to be shown keeps off the edges of a drawing
INWARD_MM = 60.0  # how far inside an edge the middle of its detail lies

SEATS = {Kind.TOP_PLATE, Kind.BEAM, Kind.LEDGER}
RIDGES = {Kind.RIDGE_BOARD, Kind.BEAM}
X, Y, Z = np.eye(3)


@dataclass(frozen=True, slots=True)
class Cut:
    """Where a detail is cut.

    Attributes:
        title: What it shows.
        at_mm: Its middle, in the building's frame.
        right: Unit vector to the right, in the plane.
        up: Unit vector up, in the plane.
        scale: How many times smaller than the real thing it is drawn.
        note: What else there is to say of it.
        names_px: The room for names, on the right.
        shows: (n, 2) float: what the drawing must take in, mm from its middle; it is moved for
            that, and drawn smaller where that is too little. None where the middle is enough.
    """

    title: str
    at_mm: Points
    right: Points
    up: Points
    scale: int = SCALE
    note: str = ""
    names_px: int = NAMES_PX
    shows: Points | None = None


def cuts_of(building: Building, stage: Stage) -> list[Cut]:
    """Where a stage is cut open: none where no joint decides.

    Args:
        building: That it belongs to.
        stage: The stage.
    """
    found = (
        *_rafter_seats(building, stage),
        _eave(building, stage),
        _wall_flashing(building, stage),
        _sill(building, stage),
        _corner(building, stage),
        _ground_anchor(building, stage),
    )
    return [cut for cut in found if cut]


def _rafter_seats(building: Building, stage: Stage) -> Iterator[Cut]:
    """A rafter's lowest seat, and its highest where that is at a ridge."""
    rafters = {part.name: part for part in stage.parts if part.kind is Kind.RAFTER}
    parts = {part.name: part for part in building.parts}
    seats: dict[str, list[tuple[float, Points, Part]]] = {}
    for joint in building.joints:
        for name, other in ((joint.a, joint.b), (joint.b, joint.a)):
            if name in rafters and parts[other].kind in SEATS | RIDGES:
                seats.setdefault(name, []).append(
                    (joint.at_mm[2], np.array(joint.at_mm), parts[other])
                )
    if not seats:
        return
    # One from the middle of the roof, as common as any.
    name = sorted(seats, key=list(rafters).index)[len(seats) // 2]
    rafter, own = rafters[name], sorted(seats[name], key=lambda seat: seat[0])
    low, high = own[0], own[-1]
    if low[2].kind in SEATS:
        yield _across(rafter, f"Rafter on its {low[2].kind.removesuffix(' ply')}", low[1])
    if high[2].kind in RIDGES and high[0] > low[0] + 1.0:
        yield _across(rafter, f"Rafter at the {_ridge(high[2])}", high[1])


def _ridge(part: Part) -> str:
    return part.kind if part.kind is Kind.RIDGE_BOARD else part.group


def _across(stick: Part, title: str, at_mm: Points) -> Cut:
    """A cut along the middle of a stick that slopes or lies, at a place of it."""
    along = X if abs(way_of(stick)[0]) > abs(way_of(stick)[1]) else Y
    across = np.abs(np.cross(along, Z))
    middle = np.array(stick.centre_mm) @ across + OFF_MM
    return Cut(title, at_mm * (1 - across) + middle * across, along, Z)


def _eave(building: Building, stage: Stage) -> Cut | None:
    """The lowest edge of the roof when its panels lie, or its underlayment where it has none."""
    kinds = {part.kind for part in building.parts}
    last = Kind.PANEL if Kind.PANEL in kinds else Kind.UNDERLAYMENT
    if all(part.kind is not last for part in stage.parts):
        return None
    standing = (*building.stands(stage.number), *stage.parts)
    edges = [part for part in standing if part.kind is Kind.DRIP_EDGE]
    rafters = [part for part in standing if part.kind is Kind.RAFTER]
    if not edges or not rafters:
        return None
    edge = min(edges, key=lambda part: part.bounds_mm[0][2])
    centre = np.array(edge.centre_mm)
    near = min(rafters, key=lambda part: float(np.linalg.norm(np.array(part.centre_mm) - centre)))
    inward = np.sign(np.array(near.centre_mm) - centre) * [1, 1, 0]
    cut = _across(near, "Eave", centre)
    cut = replace(cut, at_mm=cut.at_mm + inward * np.abs(cut.right) * INWARD_MM)
    return replace(cut, shows=_outer_end(standing, cut, -float(inward @ cut.right), last))


def _outer_end(standing: Sequence[Part], cut: Cut, out: float, last: Kind) -> Points:
    """The end of what covers a roof, with the fascia and the metal under it, in a cut.

    Args:
        standing: What may be cut.
        cut: Where.
        out: Which way is out: 1 to the right, -1 to the left.
        last: What covers the roof.
    """
    reach = shapely.box(-EDGE_MM, -EDGE_MM, EDGE_MM, EDGE_MM)
    found: list[Points] = []
    for part in standing:
        if part.kind in (last, Kind.FASCIA, Kind.DRIP_EDGE):
            for area in _section(part, cut, reach):
                points = shapely.get_coordinates(area)
                far = points[:, 0] * out
                found.append(points[far > far.max() - 1.0] if part.kind is last else points)
    return np.concatenate(found)


def _fitted(cut: Cut, size: tuple[int, int]) -> Cut:
    """The same so that all that it has to show is in it, in the larger scale if that will do."""
    if cut.shows is None:
        return cut
    low, high = cut.shows.min(axis=0), cut.shows.max(axis=0)
    half = _half_mm(cut, size) - AROUND_MM
    if (high - low > 2 * half).any():
        cut = replace(cut, scale=SMALLER, names_px=MORE_NAMES_PX)
        half = _half_mm(cut, size) - AROUND_MM
    # As little as it takes.
    by_mm = np.clip(0.0, high - half, np.maximum(high - half, low + half))
    right, up = by_mm.tolist()
    return replace(cut, at_mm=cut.at_mm + cut.right * right + cut.up * up)


def _half_mm(cut: Cut, size: tuple[int, int]) -> Points:
    """(2,) float: from the middle of a detail to its right and its upper edge, mm."""
    return np.array(_room(cut, size)[2:]) / 2 / (PX_PER_MM / cut.scale)


def _room(cut: Cut, size: tuple[int, int]) -> tuple[list[str], float, float, float]:
    """The rows of a detail's note, how far down its drawing begins, how wide and tall it is, px."""
    notes = wrapped(cut.note, size[0] - 2 * EDGE_PX, wide_px) if cut.note else []
    top = EDGE_PX // 2 + (2 + len(notes)) * LINE_PX + LINE_PX // 2
    return notes, top, size[0] - 2 * EDGE_PX - cut.names_px, size[1] - top - EDGE_PX


def _wall_flashing(building: Building, stage: Stage) -> Cut | None:
    """Where a lower roof meets a wall: from the flashing's top down to the foot of its ledger.

    It is cut along a rafter, where no rib of the panels hides what lies under them.
    """
    flashing = next((part for part in stage.parts if part.kind is Kind.WALL_FLASHING), None)
    standing = building.stands(stage.number)
    rafters = [part for part in standing if part.kind is Kind.RAFTER]
    if flashing is None or not rafters:
        return None
    centre = np.array(flashing.centre_mm)

    def off(part: Part) -> float:
        return float(np.abs(_ends(part) - centre).max(axis=1).min())

    near = min(rafters, key=off)
    low, high = (np.array(end) for end in flashing.bounds_mm)
    there = {part.name: part for part in standing}
    ledgers = [one for one in map(there.get, building.mates[near.name]) if one and _bears(one)]
    foot = min((part.bounds_mm[0][2] for part in ledgers), default=low[2])
    at = np.array([*centre[:2], (foot + high[2]) / 2])
    fits = (high[2] - foot) * PX_PER_MM / SCALE < DETAIL_HIGH_PX
    middle = _across(near, "Roof against the wall", at)
    middle = middle if fits else replace(middle, scale=SMALLER, names_px=MORE_NAMES_PX)
    panels = [part for part in standing if part.kind is Kind.PANEL]
    aside = np.cross(middle.right, Z) * min(near.across_mm) * ASIDE
    cuts = [replace(middle, at_mm=middle.at_mm + aside * way) for way in (0, 1, -1)]
    return min(cuts, key=lambda cut: _rides_mm(panels, cut))


def _bears(part: Part) -> bool:
    return part.kind.family is Family.LEDGERS


def _rides_mm(panels: Sequence[Part], cut: Cut) -> float:
    """How high panels lie in a cut, over its middle: higher where it goes along a rib."""
    frame = shapely.box(-REACH_MM, -REACH_MM, REACH_MM, REACH_MM)
    return max(
        (area.centroid.y for part in panels for area in _section(part, cut, frame)), default=0
    )


def _ends(part: Part) -> Points:
    """(2, 3) float: the ends of a stick, mm."""
    half = np.array(way_of(part)) * part.length_mm / 2
    return np.stack([part.centre_mm + half, part.centre_mm - half])


def _sill(building: Building, stage: Stage) -> Cut | None:
    """The foot of a window, or else of a door, through its middle; outside on the left."""
    sills = [part for part in stage.parts if part.kind is Kind.SILL_MEMBRANE]
    if not sills:
        return None
    windows = tuple(one.name for one in building.scene.opening if one.kind == "window")
    sill = next((part for part in sills if part.name.startswith(windows)), sills[0])
    of = "Window" if sill.name.startswith(windows) else "Door"
    size = np.ptp(sill.vertices_mm, axis=0)
    across = X if size[0] < size[1] else Y
    low, high = (end([p.centre_mm for p in building.parts], axis=0) for end in (np.min, np.max))
    inward = np.sign((low + high) / 2 - sill.centre_mm) @ across * across
    along = np.abs(np.cross(across, Z))
    at = np.array(sill.centre_mm) + along * (size @ along / 8 + OFF_MM)
    return Cut(f"{of} sill, outside on the left", at, inward, Z)


def _corner(building: Building, stage: Stage) -> Cut | None:
    """A corner of the walls from above: the front left one where it has boards."""
    boards = [part for part in stage.parts if part.kind is Kind.CORNER_BOARD]
    if not boards:
        return None
    walls = [part for part in building.parts if part.kind.family is Family.WALL_FRAME]
    middle = np.ptp([end for part in walls for end in part.bounds_mm], axis=0) / 2
    middle += np.min([part.bounds_mm[0] for part in walls], axis=0)
    first = min(boards, key=lambda part: part.centre_mm[0] + part.centre_mm[1])
    low, high = (np.array(end) for end in first.bounds_mm)
    right, back = ((low + high) / 2 > middle).tolist()[:2]
    edge, inward = np.where([right, back, False], high, low), np.where([right, back, False], -1, 1)
    inside = edge + INWARD_MM * inward
    at = np.array([*inside[:2], (low + high)[2] / 2 + OFF_MM])
    where = f"{('Front', 'Back')[back]} {('left', 'right')[right]}"
    return Cut(f"{where} corner from above", at, X, Y)


def _ground_anchor(building: Building, stage: Stage) -> Cut | None:
    """The head of a ground anchor on what it holds."""
    bar = next((part for part in stage.parts if part.kind is Kind.GROUND_ANCHOR), None)
    if bar is None:
        return None
    low, high = (np.array(end) for end in bar.bounds_mm)
    middle = np.mean([part.centre_mm for part in building.parts], axis=0)
    inward = np.sign((middle - bar.centre_mm) @ Y) * Y
    at = (low + high) / 2 * (X + Y) + high * Z + OFF_MM * X + INWARD_MM * inward
    units = building.scene.units
    long, deep = (format_length(mm, units) for mm in (bar.length_mm, -float(low[2])))
    said = [f"Bar {long} long, {deep} of it in the ground"]
    said += [
        f"{one.joint.capitalize()}: {one.counted}, {one.fastener}"
        for one in fasteners(building, put_up(building))
        if one.stage == stage.number
        and one.joint.startswith((f"{bar.kind} to", f"{Kind.ANCHOR_BLOCK} to"))
    ]
    note = ". ".join(said) + "."
    return Cut("Ground anchor, outside on the left", at, inward, Z, SMALLER, note)


def detail(building: Building, stage: Stage, cut: Cut, size: tuple[int, int]) -> Plate:
    """A detail with its layers named.

    Args:
        building: That is cut.
        stage: What stands after it is shown.
        cut: Where.
        size: Width and height of the drawing, px.
    """
    plate, cut = blank(size), _fitted(cut, size)
    scale = PX_PER_MM / cut.scale
    notes, top, wide, tall = _room(cut, size)
    write(plate, (EDGE_PX, EDGE_PX // 2 + LINE_PX), cut.title, bold=True)
    for row, words in enumerate([SAID[building.scene.units].format(cut.scale), *notes], start=2):
        write(plate, (EDGE_PX, EDGE_PX // 2 + row * LINE_PX), words, ink=QUIET)
    half = _half_mm(cut, size)
    frame = shapely.box(*-half, *half)

    def at(points: Points) -> list[tuple[float, float]]:
        middle = (EDGE_PX + wide / 2, top + tall / 2)
        return [(middle[0] + u * scale, middle[1] - v * scale) for u, v in points.tolist()]

    named: dict[tuple[Kind, str], tuple[shapely.Polygon, bool]] = {}
    new = {part.name for part in stage.parts}
    standing = (*building.stands(stage.number), *stage.parts)
    cuts = [(part, area) for part in standing for area in _section(part, cut, frame)]
    metal = [(part, area) for part, area in cuts if _is_sheet_metal(part, area)]

    def draw(part: Part, area: shapely.Polygon, edge: float) -> None:
        loops = [shapely.get_coordinates(ring) for ring in (area.exterior, *area.interiors)]
        red, green, blue = (round(255 * share) for share in part_colour(part))
        draw_area(plate, [at(loop) for loop in loops], (red, green, blue), edge)

    for own, edge in ((metal, SHEET_PX), (cuts, 1.0), (metal, BETWEEN_PX)):
        for part, area in own:
            draw(part, area, edge)
    for part, area in cuts:
        known = named.get((part.kind, part.stock))
        if area.area > LEAST_MM2 and (known is None or area.area > known[0].area):
            named[part.kind, part.stock] = area, part.name in new
    _name(plate, named, at, (top, cut.names_px))
    return plate


def _is_sheet_metal(part: Part, area: shapely.Polygon) -> bool:
    """Whether what is cut is metal, and no thicker than a sheet."""
    return part.kind.row.look in METAL and 2 * area.area / area.length < SHEET_MM


def _name(
    plate: Plate,
    named: dict[tuple[Kind, str], tuple[shapely.Polygon, bool]],
    at: Callable[[Points], list[tuple[float, float]]],
    room: tuple[float, float],
) -> None:
    """Names one below the other on the right, each with a line to its piece.

    From so far down, px, and so wide.
    """
    top, wide = room
    left, bottom = plate["size"][0] - EDGE_PX - wide + 14, plate["size"][1] - EDGE_PX
    top += LINE_PX / 2
    told: list[tuple[tuple[float, float], list[str], bool]] = []
    for (kind, stock), (area, is_new) in named.items():
        (spot,) = at(shapely.get_coordinates(area.representative_point()))
        name = stock if kind in stock else kind if stock in kind else f"{kind}, {stock}"
        lines = wrapped(name, wide - 14, lambda words: wide_px(words, bold=True))
        told.append((spot, lines, is_new))
    # From the top down; of two at one height the one that lies farther left passes over the other.
    told.sort(key=lambda one: (one[0][1], one[0][0]))
    most = int((bottom - top) / LINE_PX)
    while sum(len(lines) for _, lines, _ in told) > most:
        told.remove(min(told, key=lambda one: one[2]))
    rows = [one for one in told for _ in one[1]]
    if not rows:
        return
    places = spread([spot[1] for spot, _, _ in rows], LINE_PX, top, bottom)
    number = 0
    for spot, lines, is_new in told:
        first = places[number]
        draw_line(plate, spot, (left - 14, first), (left - 4, first), ink=QUIET)
        for line in lines:
            write(plate, (left, places[number]), line, "lm", bold=is_new)
            number += 1


def _section(part: Part, cut: Cut, frame: shapely.Polygon) -> Iterator[shapely.Polygon]:
    """What a plane cuts of a piece, as far as it is in the frame: mm from the middle of the cut."""
    axes = np.array([cut.right, cut.up, np.cross(cut.right, cut.up)])
    low, high = (np.array(end) for end in part.bounds_mm)
    # Far from the frame, or on one side of the plane: most pieces are.
    off = np.abs(axes @ ((low + high) / 2 - cut.at_mm)) - np.abs(axes) @ (high - low) / 2
    if (off > [frame.bounds[2], frame.bounds[3], 0.0]).any():
        return
    flat, height = np.split((part.vertices_mm - cut.at_mm) @ axes.T, [2], axis=1)
    height = height[:, 0]
    lines: list[shapely.LineString] = []
    for triangle in part.shape.mesh.triangles:
        over = height[triangle] > 0
        if over.all() or not over.any():
            continue
        ends: list[Points] = []
        for a, b in zip(triangle, np.roll(triangle, -1), strict=True):
            if (height[a] > 0) != (height[b] > 0):
                share = height[a] / (height[a] - height[b])
                ends.append(flat[a] + share * (flat[b] - flat[a]))
        lines.append(shapely.LineString(np.round(ends, 4)))
    rings = shapely.polygonize(shapely.get_parts(shapely.union_all(lines)))
    area: shapely.Geometry = shapely.Polygon()
    for ring in shapely.get_parts(rings):
        area = shapely.symmetric_difference(area, shapely.Polygon(ring.exterior))
    for piece in shapely.get_parts(shapely.intersection(area, frame)):
        if isinstance(piece, shapely.Polygon) and piece.area > 0:
            yield piece
