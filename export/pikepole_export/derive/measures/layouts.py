"""What is laid out with a tape: a wall seen from outside, or a frame from above.

    layout_of(building, stage) -> what a stage lays out, or None
    wall_layout(parts, everything), frame_layout(parts) -> the same of some pieces

Marks run from one end, as they are read off one tape: to the near edge of a member that is nailed
on, to the middle of a footing. In every wall it is hooked on the end of the plate that is laid out.
From above it is hooked on the building's own lines, the outer faces of its walls' frame, whatever
is laid out. Beside them stand the sides of what is laid out and, where it is square, both
diagonals.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TypeAlias

import numpy as np
import shapely

from pikepole_export.derive.measures.layout_words import (
    from_where,
    higher,
    plates_begin,
    studs_differ,
)
from pikepole_export.derive.measures.projection import way_of
from pikepole_model.building.kind_rows import Assembly, Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part, Stage
from pikepole_model.building.sequence import CLOSED_GAPS
from pikepole_model.geometry.placement import Points

SAME_MM = 1.0  # marks nearer than this are one
ENDS_MM = 60.0  # what begins so near the end of a frame is an end of it
ACROSS = 0.01  # the cosine of what lies across a tape

# Kings and jacks follow from the edge of their opening.
STUDS = {Kind.STUD, Kind.CORNER_STUD, Kind.POST_STUD, Kind.WALL_POST}
BLOCKS = {Kind.WALL_BLOCK, Kind.NAILING_BLOCK, Kind.FLOOR_BLOCK, Kind.LOFT_BLOCK}
FEET = {Kind.BOTTOM_PLATE, Kind.WALL_POST}
ROOF_FRAME = {Kind.RAFTER, Kind.END_RAFTER}
LOFT_FRAME = {Kind.LOFT_JOIST, Kind.LOFT_HEADER, Kind.LOFT_LEDGER}
FLOOR_FRAME = {Kind.RIM, Kind.JOIST, Kind.FLOOR_HEADER, Kind.FLOOR_LEDGER}
RUNNERS = {Kind.SKID, Kind.GIRDER}
BEDS = {Kind.SLAB, Kind.GRAVEL}
ANCHORS = {Kind.ANCHOR_BOLT, Kind.DRILLED_ANCHOR, Kind.GROUND_ANCHOR}
POINTS = {Kind.FOOTING, Kind.PIER}
STANDING = {Kind.EXISTING}
SHOWN = {Family.FLOOR_FRAME, Family.LOFT_FRAME, Family.GRAVEL}


# Left, low, right and high, mm.
Box: TypeAlias = tuple[float, float, float, float]
# The ends of a straight line, mm.
Ends: TypeAlias = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Mark:
    """Where something is along a tape.

    Attributes:
        at: Along the tape, mm in the plane.
        reach: Where it is across the tape: from there its line runs to the edge.
        bold: Whether it stands out: the edge of an opening.
    """

    at: float
    reach: float
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Layout:
    """What is laid out, in a plane of its own, mm.

    Attributes:
        title: What it is, and from where it is seen.
        note: How the marks are read.
        areas: Outlines of the pieces from the farthest to the nearest, each with its piece.
        box: What is measured over all.
        zero: Where the tapes start: the one along the low side, the one up the right side.
        lines: Lines that a tape starts at and no piece has its edge on.
        below: Marks along the low side, from the left end.
        beside: Marks up the right side, from the low end.
        rows: The same of rows of blocks: in a wall their undersides, else their front edges.
        from_above: Whether it is seen from above, and not a wall from outside.
        ends: Of those beside those of what stands at the left end alone, for up the left side.
        dots: What is too small to be seen: anchors; or where braces are nailed.
        crossed: Openings.
        squares: What is set square by two diagonals, each by its name.
    """

    title: str
    note: str
    areas: tuple[tuple[Points, Part], ...]
    box: Box
    zero: tuple[float, float]
    lines: tuple[Ends, ...]
    below: tuple[Mark, ...]
    beside: tuple[Mark, ...]
    rows: tuple[Mark, ...]
    from_above: bool
    ends: tuple[Mark, ...]
    dots: tuple[tuple[float, float], ...]
    crossed: tuple[Box, ...]
    squares: tuple[tuple[str, Box], ...]

    @property
    def rows_alone(self) -> tuple[Mark, ...]:
        """The rows of blocks that no mark beside tells already."""
        edges = [mark.at for mark in self.beside]
        return tuple(row for row in self.rows if all(abs(row.at - at) > SAME_MM for at in edges))


def layout_of(building: Building, stage: Stage) -> Layout | None:
    """What a stage lays out; None where it lays out nothing.

    Args:
        building: That it belongs to.
        stage: The stage.
    """
    # What closes gaps lies here and there between what was laid out before.
    parts = [part for part in stage.parts if part.group != CLOSED_GAPS]
    kinds = {part.kind for part in parts}
    with_these: set[Kind] = set()
    if kinds & ANCHORS and not kinds & (RUNNERS | BEDS | POINTS):
        # By themselves they are measured along what they hold.
        with_these = RUNNERS | {Kind.SLAB}
    elif Kind.SLAB in kinds:
        # Their holes are drilled before the building comes onto it.
        with_these = {Kind.DRILLED_ANCHOR}
    held = (part for part in building.finished.parts if part.kind in with_these)
    return _wall(building, stage) or frame_layout((*parts, *held), plan_mm(building))


def plan_mm(building: Building) -> tuple[float, float]:
    """How long and how deep a building is over its walls' frame, from 0, mm."""
    size = building.scene.building
    return size.length, size.depth


def _wall(building: Building, stage: Stage) -> Layout | None:
    """A framed wall from outside; of several, the one with the most pieces."""
    groups: dict[str, list[Part]] = {}
    for part in stage.parts:
        if part.kind.row.assembly is Assembly.WALL:
            groups.setdefault(part.group, []).append(part)
    framed = [
        own
        for own in groups.values()
        for kinds in ({part.kind for part in own},)
        if Kind.TOP_PLATE in kinds and kinds & FEET
    ]
    if not framed:
        return None
    own = max(framed, key=len)
    layout = wall_layout(own, building.built.parts)
    if layout is None:
        return None
    plates = [box_of(one) for one, part in layout.areas if part.kind is Kind.TOP_PLATE]
    studs = [
        box
        for one, part in layout.areas
        for box in (box_of(one),)
        if part.kind is Kind.STUD and box[1] < layout.zero[1] + ENDS_MM
    ]
    units, spacing_mm = building.scene.units, building.scene.walls.spacing
    begin = plates_begin(plates, layout.zero[0], units)
    note = layout.note + studs_differ(studs, spacing_mm, units) + begin + higher(building, own)
    return replace(layout, note=note)


def wall_layout(parts: Sequence[Part], everything: Sequence[Part]) -> Layout | None:
    """A framed wall from outside; None of pieces here and there, that close gaps in several.

    Args:
        parts: Its pieces.
        everything: All of the building, which says where outside is.
    """
    if any(part.group == CLOSED_GAPS for part in parts):
        return None
    right, out = seen_from_outside(parts, everything)
    run_mm = np.ptp(np.concatenate([part.vertices_mm for part in parts]) @ right)
    # An open side stands on its posts.
    lower = [part for part in parts if part.kind is Kind.BOTTOM_PLATE]
    feet = lower or [part for part in parts if part.kind is Kind.WALL_POST]
    upper = [part for part in parts if part.kind is Kind.TOP_PLATE]
    # Top plates go on over a doorway, however wide it is; what a wall is framed round parts them.
    if not feet or sum(part.length_mm for part in upper) < run_mm / 2:
        return None
    flat = _flat(parts, np.array([right, [0.0, 0.0, 1.0]]))
    boxes = _boxes(flat)
    left, low, end, top = around(boxes.values())
    # Top plates that lap a corner, or lie over a post, are no end to hook a tape on.
    hooked, _, last, _ = around(boxes[part.name] for part in feet)
    kinds = {part.name: part.kind for part in parts}
    plates = [box for name, box in boxes.items() if kinds[name] is Kind.TOP_PLATE]
    thick = min(part.across_mm[0] for part in feet)
    standing = [
        Mark(box[0], low)
        for name, box in boxes.items()
        if kinds[name] in STUDS and box[1] < low + 2 * thick
    ]
    openings = tuple(_openings(boxes, kinds, low))
    sides = [Mark(edge, low, True) for hole in openings for edge in (hole[0], hole[2])]
    corners = np.concatenate(list(flat.values()))
    # A raked wall is set out by both its ends and its peak.
    tops = [Mark(top, float(corners[corners[:, 1] > top - SAME_MM, 0].max()))]
    for edge in (end, left):
        at = float(corners[abs(corners[:, 0] - edge) < SAME_MM, 1].max())
        if all(abs(at - mark.at) > SAME_MM for mark in tops):
            tops.append(Mark(at, edge))
    heights = [Mark(edge, hole[2]) for hole in openings for edge in (hole[1], hole[3])]
    box = (left, low, end, top)
    # Its plates are level, and no longer than thick.
    is_square = all(plate[3] - plate[1] < 2 * thick for plate in plates)
    return Layout(
        title=f"{parts[0].group[:1].upper()}{parts[0].group[1:]} from outside",
        note="From the bottom plate's left end: studs' left edges, both of openings; heights from "
        "the floor."
        if lower
        else "From the first post's left edge to that of each; heights from their feet.",
        areas=_areas(parts, flat, lambda part: float(part.vertices_mm.mean(axis=0) @ out)),
        box=box,
        zero=(hooked, low),
        lines=(),
        below=_distinct([*sides, *standing]),
        beside=_distinct([*(one for one in heights if one.at > low + SAME_MM), *tops]),
        rows=_distinct(
            Mark(box[1], box[2]) for name, box in boxes.items() if kinds[name] in BLOCKS
        ),
        from_above=False,
        ends=(),
        dots=(),
        crossed=openings,
        squares=(("wall", (hooked, low, last, top)),) if is_square else (),
    )


def seen_from_outside(parts: Sequence[Part], everything: Sequence[Part]) -> tuple[Points, Points]:
    """Unit vectors to the right and out of a wall, as it is seen from outside."""
    low, high, lowest, highest = (
        end(np.concatenate([part.vertices_mm for part in own])[:, :2], axis=0)
        for own in (parts, everything)
        for end in (np.min, np.max)
    )
    off = low + high - lowest - highest
    along_x = high[0] - low[0] > high[1] - low[1]
    if along_x:
        out = np.array([0.0, math.copysign(1.0, off[1]), 0.0])
    else:
        out = np.array([math.copysign(1.0, off[0]), 0.0, 0.0])
    return np.array([-out[1], out[0], 0.0]), out


def _openings(boxes: Mapping[str, Box], kinds: Mapping[str, Kind], low: float) -> Iterator[Box]:
    """The holes between jacks, kings or posts, over a sill or where a bottom plate is cut out.

    A sill is that of a window, or the cap of a half wall.

    Each reaches up to the lowest that lies over it: a header, or under a long beam a head plate or
    the top plates.
    """

    def of(*wanted: Kind) -> list[Box]:
        return sorted(box for name, box in boxes.items() if kinds[name] in wanted)

    over = of(Kind.HEADER, Kind.HEAD_PLATE, Kind.TOP_PLATE)
    beside = of(Kind.JACK, Kind.KING, Kind.WALL_POST)
    below = [(left, high, right) for left, _, right, high in of(Kind.SILL, Kind.TOP_PLATE)]
    below += [(a[2], low, b[0]) for a, b in pairwise(of(Kind.BOTTOM_PLATE))]
    for left, foot, right in below:
        heads = [box[1] for box in over if box[0] < (left + right) / 2 < box[2] and box[1] > foot]
        framed = any(abs(box[2] - left) < SAME_MM for box in beside) and any(
            abs(box[0] - right) < SAME_MM for box in beside
        )
        if heads and framed and right - left > SAME_MM:
            yield left, foot, right, min(heads)


def frame_layout(parts: Sequence[Part], size_mm: tuple[float, float]) -> Layout | None:
    """A roof's, a loft's, a floor's frame or a foundation from above, the first that is there.

    Args:
        parts: That are laid out, and others.
        size_mm: How long and how deep the building is over its walls' frame.
    """
    kinds = {part.kind for part in parts}
    for title, marked in (
        ("Standing already, from above", STANDING),
        ("Rafters from above", ROOF_FRAME),
        ("Loft frame from above", LOFT_FRAME),
        ("Floor frame from above", FLOOR_FRAME),
        ("Foundation from above", RUNNERS | BEDS | POINTS | ANCHORS),
    ):
        if kinds & marked - {Kind.GRAVEL}:
            return _from_above(parts, title, marked, size_mm)
    return None


def _from_above(
    parts: Sequence[Part], title: str, marked: Set[Kind], size_mm: tuple[float, float]
) -> Layout:
    """Pieces from above, front below: marks for those that lie across a tape."""
    shown = [part for part in parts if part.kind in marked or part.kind.family in SHOWN]
    flat = _flat(shown, np.eye(3)[:2])
    boxes = _boxes(flat)
    points = POINTS | ANCHORS
    spots = [part for part in shown if part.kind in points]
    lying = [part for part in shown if part.kind in marked - points - {Kind.GRAVEL}]
    box = around(boxes[part.name] for part in lying or spots)
    if not lying:
        box = around((x, y, x, y) for x, y in map(spot, spots))
    beds = [part for part in lying if part.kind in BEDS]
    sticks = [part for part in lying if part not in beds]
    middle, is_there = bool(spots), marked == STANDING
    tapes: list[tuple[Mark, ...]] = []
    lines: list[Ends] = []
    for axis in (0, 1):
        reach = 1 + axis  # the low side, or the right one
        marks = [
            Mark((own[axis] + own[axis + 2]) / 2 if middle else own[axis], own[reach])
            for part in sticks
            if abs(way_of(part)[axis]) < ACROSS
            for own in (boxes[part.name],)
            # A rim is an end of the frame itself.
            if axis == 0 or middle or is_there or SAME_MM < own[1] < box[3] - ENDS_MM
        ]
        marks += [Mark(at[axis], at[1 - axis]) for at in map(spot, spots)]
        edges = [boxes[part.name][side] for part in lying for side in (axis, axis + 2)]
        # What stands already is built round: the lines say where.
        if marks and (is_there or all(abs(edge) > SAME_MM for edge in edges)):
            lines.append(((0.0, 0.0), (0.0, size_mm[1]) if axis == 0 else (size_mm[0], 0.0)))
            marks.append(Mark(0.0, lines[-1][axis][1 - axis]))
        # The lines are found from the edges of the beds.
        marks += [
            Mark(own[axis], own[reach])
            for own in (boxes[part.name] for part in beds)
            if abs(own[axis]) > SAME_MM
        ]
        tapes.append(_distinct(marks))
    below, beside = tapes
    rows = _distinct(
        Mark(own[1], own[2])
        for part in shown
        if part.kind in BLOCKS and abs(way_of(part)[1]) < ACROSS
        for own in (boxes[part.name],)
    )
    # Of slabs beside each other each has its own forms, set out and squared by themselves.
    squares = [(part.label, boxes[part.name]) for part in beds]
    if sticks or not beds:
        squares.append(("frame", around(boxes[part.name] for part in sticks) if sticks else box))
    # Footings in one line have nothing to be square to.
    squares = [(n, own) for n, own in squares if min(own[2] - own[0], own[3] - own[1]) > SAME_MM]
    starts = [line[1][0] == 0.0 for line in lines]
    if is_there:
        box = around([box, (0.0, 0.0, *size_mm)])
        lines += [((x, y), size_mm) for x, y in ((size_mm[0], 0.0), (0.0, size_mm[1]))]
    minus = min((mark.at for mark in (*below, *beside)), default=0.0) < -SAME_MM
    return Layout(
        title=title,
        note=from_where(
            (bool(below), bool(beside or rows)),
            starts,
            middle=middle,
            slabs=len(beds) > 1,
            minus=minus,
        ),
        areas=_areas(shown, flat, lambda part: part.bounds_mm[1][2]),
        box=box,
        zero=(0.0, 0.0),
        lines=tuple(lines),
        below=below,
        beside=beside,
        rows=rows,
        from_above=True,
        ends=tuple(_at_left_end(beside, spots, box)),
        dots=tuple(spot(part) for part in spots if part.kind in ANCHORS),
        crossed=(),
        squares=() if is_there or marked & ROOF_FRAME else tuple(squares),
    )


def _at_left_end(beside: Sequence[Mark], spots: Sequence[Part], box: Box) -> Iterator[Mark]:
    """Marks of what is set out in the left half of a plan, with nothing level with it beyond."""
    for mark in beside:
        level = [x for x, y in map(spot, spots) if abs(y - mark.at) <= SAME_MM]
        if level and max(level) < (box[0] + box[2]) / 2 and mark.reach == min(level):
            yield replace(mark, reach=max(level))


def spot(part: Part) -> tuple[float, float]:
    """Where a footing or an anchor is set out from above, mm: of a bent bolt its upper end."""
    x, y, _ = part.centre_mm
    if part.kind in ANCHORS:
        corners = part.vertices_mm
        end = corners[corners[:, 2] > corners[:, 2].max() - SAME_MM, :2]
        x, y = ((end.min(axis=0) + end.max(axis=0)) / 2).tolist()
    return round(x, 6), round(y, 6)  # halves of a millimetre are halves


def _flat(parts: Iterable[Part], axes: Points) -> dict[str, Points]:
    """The corners of each piece in a plane: (n, 2) float, mm, by its name."""
    return {part.name: part.vertices_mm @ axes.T for part in parts}


def _boxes(flat: Mapping[str, Points]) -> dict[str, Box]:
    boxes: dict[str, Box] = {}
    for name, own in flat.items():
        (left, low), (right, high) = own.min(axis=0).tolist(), own.max(axis=0).tolist()
        boxes[name] = (left, low, right, high)
    return boxes


def around(boxes: Iterable[Box]) -> Box:
    """The box round boxes."""
    lefts, lows, rights, highs = zip(*boxes, strict=True)
    return min(lefts), min(lows), max(rights), max(highs)


def _areas(
    parts: Sequence[Part], flat: Mapping[str, Points], near: Callable[[Part], float]
) -> tuple[tuple[Points, Part], ...]:
    """Outlines from the farthest to the nearest."""
    found: list[tuple[Points, Part]] = []
    for part in sorted(parts, key=near):
        hull = shapely.convex_hull(shapely.MultiPoint(flat[part.name]))
        if isinstance(hull, shapely.Polygon):
            found.append((shapely.get_coordinates(hull.exterior), part))
    return tuple(found)


def _distinct(marks: Iterable[Mark]) -> tuple[Mark, ...]:
    """In order, those that are one as a tape reads them once."""
    found: list[Mark] = []
    for mark in sorted(marks, key=lambda mark: (round(mark.at), not mark.bold, mark.reach)):
        if not found or mark.at - found[-1].at > SAME_MM:
            found.append(mark)
    return tuple(found)


def box_of(outline: Points) -> Box:
    """The box round an outline, (n, 2) float, mm."""
    (left, low), (right, high) = outline.min(axis=0).tolist(), outline.max(axis=0).tolist()
    return left, low, right, high
