"""What a building is braced with before it is moved: doorways, walls without sheets, wall tops.

bracing(site) -> solids, marks
"""

from __future__ import annotations

from pikepole_export.derive.moving.preparations import bare_walls, walls_to_tie, wide_doorways
from pikepole_export.derive.moving.structure import SIDES, SideName
from pikepole_export.write.cards.crew import PIECE
from pikepole_export.write.cards.marks import Mark, Symbol
from pikepole_export.write.cards.move_site import MoveSite, level
from pikepole_export.write.cards.move_words import long
from pikepole_export.write.cards.solids import UP, Solid, bar
from pikepole_model.building.part import Part
from pikepole_model.geometry.placement import Points
from pikepole_model.scene.openings import Opening

BRACE_MM = 90.0
OFF_MM = 30.0  # in front of the sheathing


def bracing(site: MoveSite) -> tuple[list[Solid], list[Mark]]:
    """Braces across doorways and walls without sheets, ties from wall top to wall top.

    Args:
        site: The building where it is built.
    """
    moved = site.moved
    solids: list[Solid] = []
    marks: list[Mark] = []
    for opening in wide_doorways(site.building, moved):
        ring = _in_wall(site, opening)
        solids += [_brace(ring[0], ring[2]), _brace(ring[1], ring[3]), _brace(*ring[:2])]
        said = ("brace", f"{long(opening.width, site.units)} wide")
        marks.append(Mark(Symbol.NOTE, (ring[1] + ring[3]) / 2, None, said))
    for wall in bare_walls(moved):
        foot, head = _across_wall(site, wall)
        solids.append(_brace(foot, head))
        marks.append(Mark(Symbol.NOTE, (foot + head) / 2, None, ("diagonal",)))
    tops = _tops(site) if walls_to_tie(moved) else []
    solids += [_brace(start, end) for start, end in tops]
    for start, end in tops[:1]:
        marks.append(Mark(Symbol.NOTE, (start + end) / 2, None, ("tie tops across",)))
    return solids, marks


def _brace(start: Points, end: Points) -> Solid:
    return bar(start, end, BRACE_MM, PIECE)


def _in_wall(site: MoveSite, opening: Opening) -> list[Points]:
    """Corners of a doorway on the outside of its wall: foot, foot, head, head."""
    assert opening.wall != "clerestory"  # up on its beam no door is
    side = SIDES[opening.wall]
    left, right = side.span_along(site.moved.floor)
    row = next(table for table in site.building.scene.opening if opening in table.row())
    start = left + row.lefts_mm(right - left)[row.row().index(opening)]
    foot = _foot_mm(site, opening.wall)
    out = side.span_into(site.moved.floor)[0] - OFF_MM
    return [
        level(side, along, out) + UP * up
        for along, up in (
            (start, foot + BRACE_MM / 2),
            (start + opening.width, foot + BRACE_MM / 2),
            (start + opening.width, foot + opening.height),
            (start, foot + opening.height),
        )
    ]


def _wall(site: MoveSite, name: str) -> list[Part]:
    return [part for part in site.moved.parts if part.group == name]


def _foot_mm(site: MoveSite, side: SideName) -> float:
    return min(part.bounds_mm[0][2] for part in _wall(site, f"{side} wall"))


def _across_wall(site: MoveSite, name: str) -> tuple[Points, Points]:
    """A brace from a foot to the lower of the tops of a wall without sheets, outside."""
    side_name: SideName = next(one for one in SIDES if f"{one} wall" == name)
    side, wall = SIDES[side_name], _wall(site, name)
    left, right = side.span_along(wall)
    out = side.span_into(wall)[0] - OFF_MM
    foot = _foot_mm(site, side_name)
    ends = (min, max)
    high = min(
        pick(wall, key=lambda part: side.span_along([part])).bounds_mm[1][2] for pick in ends
    )
    return level(side, left, out) + UP * foot, level(side, right, out) + UP * high


def _tops(site: MoveSite) -> list[tuple[Points, Points]]:
    """Two ties from the top of one wall to that of the one across, a third in from each end."""
    for first, last in (("front", "back"), ("left", "right")):
        walls = _wall(site, f"{first} wall"), _wall(site, f"{last} wall")
        if all(walls):
            axes = SIDES["front" if first == "front" else "right"]
            left, right = axes.span_along(walls[0])
            places = (sum(axes.span_into(wall)) / 2 for wall in walls)
            tops = (max(part.bounds_mm[1][2] for part in wall) for wall in walls)
            (near, far), (low, high) = places, tops
            return [
                (
                    level(axes, left + (right - left) * share, near) + UP * low,
                    level(axes, left + (right - left) * share, far) + UP * high,
                )
                for share in (1 / 3, 2 / 3)
            ]
    return []
