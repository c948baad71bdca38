"""The number of each piece, written where it is seen.

    lettered(names) -> {name: its letter}
    areas_seen(parts, side) -> what is seen of each
    number_pieces(sheet, view, areas, letters)

A piece goes by the number that its name ends in, behind the letter of what it is.
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Callable, Iterable, Mapping, Sequence

import numpy as np
import shapely
from shapely.algorithms.polylabel import polylabel

from pikepole_export.derive.measures.projection import projection
from pikepole_export.derive.views.faces import as_array
from pikepole_export.derive.views.side import Side
from pikepole_export.write.drawings.drafting import View
from pikepole_export.write.drawings.svg import DOWN, UP, Point, width_of
from pikepole_export.write.plans.dimensions import TEXT_MM, is_free
from pikepole_export.write.plans.sheet import Layer, PlanSheet
from pikepole_model.building.part import Part

FINE_MM = 1.8  # of letters where there is little room
STEPS = 12  # places along a piece that are tried
NEARLY = 0.8  # as wide in its middle as where it is widest
# Where words go that have no room on their piece: so far from it, down or up, then aside.
AWAY_MM = (3.0, 4.5, 6.0, 8.0, 10.0, 13.0)
TURNS = tuple(
    math.radians(deg) for deg in (0, 180, 30, -30, 150, -150, 60, -60, 120, -120, 90, -90)
)
LEAST_MM2 = 0.02  # of paper, to point at


def lettered(names: Iterable[str]) -> dict[str, str]:
    """A letter for each of some names: of the words in it the first that no other has.

    Args:
        names: Without their numbers, in order.
    """
    found: dict[str, str] = {}
    for name in names:
        initials = "".join(word[0] for word in re.split(r"[ -]", name))
        for letter in f"{initials}{name}abcdefghijklmnopqrstuvwxyz".upper():
            if letter.isalpha() and letter not in found.values():
                found[name] = letter
                break
    return found


def stem_of(part: Part) -> str:
    """Its name without the number at its end."""
    return re.sub(r" \d+$", "", part.name)


def areas_seen(parts: Sequence[Part], side: Side) -> list[tuple[Part, shapely.Polygon]]:
    """The largest area of each part that is seen from a side, mm of the view; not of hidden ones.

    Args:
        parts: That are looked at; none runs through another.
        side: From where.
    """
    depths = np.array([side.seen(part.vertices_mm)[:, 2].max() for part in parts])
    areas = as_array([projection(part, side.right, side.up) for part in parts])
    tree = shapely.STRtree(areas)
    found: list[tuple[Part, shapely.Polygon]] = []
    for part, area, depth in zip(parts, areas, depths, strict=True):
        near = tree.query(area)
        seen = shapely.difference(area, shapely.union_all(areas[near[depths[near] > depth]]))
        flat = [one for one in shapely.get_parts(seen) if isinstance(one, shapely.Polygon)]
        if flat:
            found.append((part, max(flat, key=lambda one: one.area)))
    return found


def number_pieces(
    sheet: PlanSheet,
    view: View,
    areas: Iterable[tuple[Part, shapely.Polygon]],
    letter_of: Callable[[Part], str],
) -> None:
    """Write on each piece its letter and number, where it is widest.

    Args:
        sheet: Written on.
        view: How the model falls on it.
        areas: What is seen of each.
        letter_of: The letter of a piece; none where its number will do.
    """
    with sheet.on(Layer.NOTES):
        for part, area in areas:
            number = re.search(r"\d+$", part.name)
            words = f"{letter_of(part)}{number[0] if number else ''}"
            if words and area.area / view.scale**2 >= LEAST_MM2:
                _write(sheet, view, words, area)


def _write(sheet: PlanSheet, view: View, words: str, area: shapely.Polygon) -> None:
    """Words in an area, along it where it is narrower than they are.

    Where others are in the way, they stand near by, with a line to it.
    """
    widest = polylabel(area, 1.0)
    radius, centre = widest.distance(area.boundary), area.centroid
    room = 2 * radius / view.scale
    if not area.contains(centre) or centre.distance(area.boundary) < NEARLY * radius:
        centre = widest
    left, low, right, high = area.bounds
    upright = high - low > right - left and room < width_of(words, TEXT_MM)
    size = min(TEXT_MM, max(FINE_MM, room * 0.9))
    angle, shift = -90.0 if upright else 0.0, size * (UP - DOWN) / 2
    shares = [step / STEPS for step in range(1, STEPS)]
    if upright:
        others = [(centre.x, low + (high - low) * share) for share in shares]
    else:
        others = [(left + (right - left) * share, centre.y) for share in shares]
    inside = [
        view.at(at)
        for at in [(centre.x, centre.y), (widest.x, widest.y), *others]
        if area.contains(shapely.Point(at))
    ]

    def base(at: Point, turned: float) -> Point:
        return (at[0] + shift, at[1]) if turned else (at[0], at[1] + shift)

    for at in inside:
        if is_free(sheet, words, base(at, angle), angle, size):
            sheet.text(words, base(at, angle), size, anchor="middle", angle_deg=angle)
            return
    foot = inside[0]
    for away, turn in itertools.product(AWAY_MM, TURNS):
        at = (foot[0] + away * math.sin(turn), foot[1] + away * math.cos(turn))
        if is_free(sheet, words, base(at, 0.0), 0.0, size):
            sheet.line([foot, at])
            sheet.text(words, base(at, 0.0), size, anchor="middle")
            return


def legend(letters: Mapping[str, str]) -> str:
    """What the letters are: "B batten, C corner board"."""
    return ", ".join(f"{letter} {name}" for name, letter in letters.items())
