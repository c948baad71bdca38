"""What lies on the frame, from above or from each side, every piece with its number.

covers(parts) -> what there is to be drawn, in the order of the work
covering(building) -> a sheet for each
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from pikepole_export.derive.views.faces import faces_towards
from pikepole_export.derive.views.side import ABOVE, SIDES, Side
from pikepole_export.derive.views.visible import edges_seen
from pikepole_export.write.drawings.drafting import MARGIN_MM, PAPER, View
from pikepole_export.write.drawings.svg import Point, Size
from pikepole_export.write.drawings.title import BLOCK_MM
from pikepole_export.write.plans.dimensions import chain
from pikepole_export.write.plans.drawn import draw_lines
from pikepole_export.write.plans.elevations import box_of
from pikepole_export.write.plans.numbers import (
    areas_seen,
    legend,
    lettered,
    number_pieces,
    stem_of,
)
from pikepole_export.write.plans.sheet import SCALES, Layer, PlanSheet, new_sheet
from pikepole_export.write.plans.words import member_words
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import FLOORING, Kind, of
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.placement import Points
from pikepole_model.scene.types import Wall

# Round each view, mm of paper: its heading and letters over it, its width under it.
GAP_MM, HEAD_MM, FOOT_MM = 14.0, 10.0, 12.0
HEADING_MM = 3.0
SIDING = of(Family.SIDING, Family.UPRIGHTS, Family.BATTENS, Family.CORNER_BOARDS)
METAL = {Kind.JOINT_FLASHING}
_ENDS: tuple[tuple[Wall, Wall], ...] = (("left", "right"), ("front", "back"))


@dataclass(frozen=True, slots=True)
class Cover:
    """What one sheet shows.

    Attributes:
        file: Of the sheet, without its ending: "wall-sheets".
        name: "Wall sheets".
        views: What is drawn, each with its heading and the side that it is seen from.
    """

    file: str
    name: str
    views: tuple[tuple[str, Side, list[Part]], ...]

    @property
    def parts(self) -> list[Part]:
        """All that is drawn on it."""
        return [part for _, _, own in self.views for part in own]


def covers(parts: Sequence[Part]) -> Iterator[Cover]:
    """What lies on floors, walls and roofs in pieces that have to be told apart.

    Args:
        parts: Of a building as it stands in the end.
    """
    middle = np.mean([np.mean(part.bounds_mm, axis=0) for part in parts], axis=0)
    for file, name, kinds, is_wall in (
        ("floor-sheets", "Floor, from above", FLOORING, False),
        ("loft-sheets", "Loft floor, from above", {Kind.LOFT_SHEET}, False),
        ("wall-sheets", "Wall sheets, from outside", {Kind.WALL_SHEET}, True),
        ("roof-sheets", "Roof sheets, from above", {Kind.ROOF_SHEET}, False),
        ("roof-panels", "Roof panels, from above", {Kind.PANEL}, False),
        ("siding", "Siding, from outside", SIDING | METAL, True),
    ):
        own = [part for part in parts if part.kind in kinds]
        if len(own) < 2:
            continue
        if not is_wall:
            yield Cover(file, name, (("", ABOVE, own),))
            continue
        walls: dict[Wall, list[Part]] = {wall: [] for wall in SIDES}
        for part in own:
            walls[_facing(part, middle)].append(part)
        views = ((wall.capitalize(), SIDES[wall], some) for wall, some in walls.items() if some)
        yield Cover(file, name, tuple(views))


def _facing(part: Part, middle: Points) -> Wall:
    """The side that a piece lies on: it is thin across that, or goes by its wall's name."""
    for wall in SIDES:
        if part.group.startswith(f"{wall} wall"):
            return wall
    low, high = (np.array(end) for end in part.bounds_mm)
    across = int(np.argmin((high - low)[:2]))
    beyond = bool(((low + high) / 2 > middle)[across])
    return _ENDS[across][beyond]


def covering(building: Building) -> Iterator[PlanSheet]:
    """A sheet for each cover."""
    for cover in covers(building.parts):
        yield _sheet(building, cover)


def _sheet(building: Building, cover: Cover) -> PlanSheet:
    """Its views in rows, as large as there is room for."""
    units = building.scene.units
    count = Counter(map(_name, cover.parts))
    usual = max(count, key=lambda name: count[name])
    letters = lettered(name for name in count if name != usual)
    notes = [
        f"a number alone is that of a {usual}",
        *([f"before a number: {legend(letters)}"] if letters else []),
        *(
            member_words(cover.parts, kind, units)
            for kind in dict.fromkeys(p.kind for p in cover.parts)
        ),
    ]
    boxes = [box_of(own, side) for _, side, own in cover.views]
    sizes = [(box[2] - box[0], box[3] - box[1]) for box in boxes]
    width, height = PAPER[units]
    room = (width - 2 * MARGIN_MM - 2 * GAP_MM, height - 2 * MARGIN_MM - BLOCK_MM)
    scale, corners, filled = _packed(sizes, SCALES[units], room)
    whole = (0.0, 0.0, filled[0] * scale, filled[1] * scale)
    sheet, view = new_sheet(
        building, cover.file, cover.name, notes, whole, (GAP_MM, 0.0, GAP_MM, 0.0), (scale,)
    )
    left, top = view.at((0.0, whole[3]))
    for (heading, side, own), box, size, (x, y) in zip(
        cover.views, boxes, sizes, corners, strict=True
    ):
        place = (left + x, top + y + HEAD_MM)
        origin = (place[0] - box[0] / scale, place[1] + (box[1] + size[1]) / scale)
        here = View(scale, origin)
        draw_lines(sheet, here, edges_seen(faces_towards(own, side)), Layer.VISIBLE, "narrow")
        if heading:
            with sheet.on(Layer.NOTES):
                sheet.text(heading, (place[0], place[1] - HEAD_MM / 3), HEADING_MM, bold=True)
        chain(sheet, here, box, [box[0], box[2]], "below")
        number_pieces(sheet, here, areas_seen(own, side), lambda part: letters.get(_name(part), ""))
    return sheet


def _name(part: Part) -> str:
    """What it is called without its number and its wall."""
    return stem_of(part).removeprefix(f"{' '.join(part.group.split()[:2])} ")


def _packed(
    sizes: Sequence[Size], scales: Sequence[int], room: Size
) -> tuple[int, list[Point], Size]:
    """Views in rows from the top, at the largest scale that there is room for.

    Args:
        sizes: Of the views, mm of the real thing.
        scales: To choose from, the largest first.
        room: On the sheet, mm.

    Returns:
        The scale, the upper left corner of each view, and what they fill, mm of paper.
    """
    for scale in scales:
        corners: list[Point] = []
        x = y = row = filled = 0.0
        for wide, high in sizes:
            if corners and x + wide / scale > room[0]:
                x, y, row = 0.0, y + row, 0.0
            corners.append((x, y))
            filled = max(filled, x + wide / scale)
            x += wide / scale + GAP_MM
            row = max(row, high / scale + HEAD_MM + FOOT_MM)
        if (y + row <= room[1] and filled <= room[0]) or scale == scales[-1]:
            return scale, corners, (filled, y + row)
    raise ValueError("no scale to choose from")
