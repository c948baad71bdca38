"""Plain solids that a lift card is drawn from: bars, plates, trestles, platforms, pieces, people.

Everything is in the building's frame, mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pikepole_export.derive.lifting.falls import RAIL_MM as RAIL_TOP_MM
from pikepole_export.graphics.colours import Colour
from pikepole_export.graphics.figure import figure_at
from pikepole_export.graphics.meshes import merge
from pikepole_model.building.part import Part
from pikepole_model.geometry.placement import Points

UP: Points = np.array([0.0, 0.0, 1.0])

# What people stand and work on, as it is drawn; not as it is built.
RAIL_MM = 70.0
LEG_MM = 45.0
BOARDS_MM = 45.0
TRESTLE_MM = 700.0
PLATFORM_DEEP_MM = 600.0

# The figure's joints: heights of hip and shoulder, half the shoulders, upper and lower arm.
# Ours, as the figure is.
HIP_MM = 900.0
SHOULDER_MM = 1400.0
SHOULDERS_MM = 190.0
ARM_MM = 360.0
REACHED_MM = 640.0  # from shoulder to hand without stretching
BETWEEN_HANDS_MM = 260.0


@dataclass(frozen=True, slots=True)
class Solid:
    """Triangles and the edges that are drawn, in one colour.

    Attributes:
        points: (n, 3) float, mm.
        triangles: (m, 3) int.
        lines: (2k, 3) float: ends of the edges, mm.
        colours: (m, 3) float, 0 to 1.
    """

    points: Points
    triangles: NDArray[np.int32]
    lines: Points
    colours: Points


def joined(solids: Iterable[Solid]) -> Solid:
    """Several as one."""
    every = list(solids)
    starts = np.cumsum([0] + [len(one.points) for one in every]).tolist()
    triangles = [one.triangles + start for one, start in zip(every, starts, strict=False)]
    return Solid(
        np.concatenate([np.empty((0, 3)), *(one.points for one in every)]),
        np.concatenate([np.empty((0, 3), np.int32), *triangles], dtype=np.int32),
        np.concatenate([np.empty((0, 3)), *(one.lines for one in every)]),
        np.concatenate([np.empty((0, 3)), *(one.colours for one in every)]),
    )


def raised(solid: Solid, by_mm: float) -> Solid:
    """The same higher up."""
    up = UP * by_mm
    return Solid(solid.points + up, solid.triangles, solid.lines + up, solid.colours)


def pieces(parts: Sequence[Part], colours: Points) -> Solid:
    """Parts where they stand.

    Args:
        parts: What is drawn.
        colours: (n, 3) float, one for each of them.
    """
    merged = merge(parts)
    lines = merged.vertices[merged.edges.ravel()]
    return Solid(merged.vertices, merged.triangles, lines, colours[merged.owners])


def bar(start: Points, end: Points, thick_mm: float, colour: Colour, wide: float = 1.0) -> Solid:
    """A square bar between two points, or a broader one.

    Args:
        start: (3,) float: middle of one end, mm.
        end: (3,) float: middle of the other.
        thick_mm: Of its section, upright where it lies.
        colour: Of all of it.
        wide: Its width, by its thickness.
    """
    way = (end - start) / np.linalg.norm(end - start)
    side = np.cross(way, UP)
    if np.linalg.norm(side) < 1e-6:
        side = np.array([1.0, 0.0, 0.0])
    side /= np.linalg.norm(side)
    other = np.cross(side, way)
    half = thick_mm / 2
    ring = [a * side * half * wide + b * other * half for a, b in _RING]
    return _box(np.array([start + at for at in ring] + [end + at for at in ring]), colour)


_RING = ((-1, -1), (1, -1), (1, 1), (-1, 1))
_FACES = ((0, 1, 5, 4), (1, 2, 6, 5), (2, 3, 7, 6), (3, 0, 4, 7), (3, 2, 1, 0), (4, 5, 6, 7))


def _box(corners: Points, colour: Colour) -> Solid:
    """Eight corners: a ring, then the ring opposite."""
    triangles: list[tuple[int, int, int]] = []
    for a, b, c, d in _FACES:
        triangles += [(a, b, c), (a, c, d)]
    faces = np.array(triangles, dtype=np.int32)
    # Outward, whichever way round the ring was given.
    a, b, c = (corners[faces[:, i]] for i in range(3))
    middle = corners.mean(axis=0)
    if float(np.sum(np.cross(b - a, c - a) * ((a + b + c) / 3 - middle))) < 0:
        faces = faces[:, ::-1].copy()
    pairs = [(i, (i + 1) % 4) for i in range(4)] + [(i + 4, (i + 1) % 4 + 4) for i in range(4)]
    pairs += [(i, i + 4) for i in range(4)]
    lines = corners[np.array(pairs).ravel()]
    return Solid(corners, faces, lines, np.tile(colour, (len(faces), 1)))


def trestle(top: Points, across: Points, ground_mm: float, colour: Colour) -> Solid:
    """What one end of a waiting piece lies on.

    Args:
        top: Middle of the upper side of its rail.
        across: Level unit vector along the rail.
        ground_mm: Height of what it stands on.
        colour: Of all of it.
    """
    height = float(top[2]) - ground_mm
    if height < 2 * RAIL_MM:  # bearers
        middle = top - UP * height / 2
        ends = [middle - across * TRESTLE_MM / 2, middle + across * TRESTLE_MM / 2]
        return bar(ends[0], ends[1], height, colour)
    rail = top - UP * RAIL_MM / 2
    solids = [bar(rail - across * TRESTLE_MM / 2, rail + across * TRESTLE_MM / 2, RAIL_MM, colour)]
    aside = np.cross(UP, across)
    for end in (-0.42, 0.42):
        head = rail + across * TRESTLE_MM * end
        for spread in (-0.22, 0.22):
            foot = head * [1.0, 1.0, 0.0] + UP * ground_mm + aside * height * spread
            solids.append(bar(head, foot, LEG_MM, colour))
    return joined(solids)


def platform(
    middle: Points,
    along: Points,
    length_mm: float,
    ground_mm: float,
    colour: Colour,
    open_to: Points | None = None,
) -> Solid:
    """What people stand on: a floor of boards on legs, as high as the plan says.

    Args:
        middle: Of the floor's upper side.
        along: Level unit vector along it.
        length_mm: Along that way.
        ground_mm: Height of what it stands on.
        colour: Of all of it.
        open_to: With guard rails round it, but for the side to which people work; None for none.
    """
    boards = middle - UP * BOARDS_MM / 2
    half = along * length_mm / 2
    wide = PLATFORM_DEEP_MM / BOARDS_MM
    solids = [bar(boards - half, boards + half, BOARDS_MM, colour, wide)]
    across = np.cross(UP, along)
    under = middle - UP * BOARDS_MM
    if float(under[2]) - ground_mm > LEG_MM:
        for end in (-1, 1):
            for side in (-0.46, 0.46):
                head = under + end * (half - along * LEG_MM) + across * PLATFORM_DEEP_MM * side
                solids.append(bar(head, head * [1.0, 1.0, 0.0] + UP * ground_mm, LEG_MM, colour))
        for side in (-0.46, 0.46):
            at = across * PLATFORM_DEEP_MM * side
            low = np.array([0.0, 0.0, (float(under[2]) + ground_mm) / 2 - float(under[2])])
            solids.append(bar(under - half + at + low, under + half + at + low, LEG_MM, colour))
    if open_to is not None:
        solids += _rails(middle, half, across * PLATFORM_DEEP_MM / 2, open_to, colour)
    return joined(solids)


def _rails(
    middle: Points, half: Points, aside: Points, open_to: Points, colour: Colour
) -> list[Solid]:
    """Guard rails on three sides of a platform, each of a top rail and one half-way up."""
    back = aside if float(aside @ open_to) < 0 else -aside
    front = -back * 0.96
    corners = [middle - half + front, middle - half + back, middle + half + back]
    corners.append(middle + half + front)
    found = [bar(corner, corner + UP * RAIL_TOP_MM, LEG_MM, colour) for corner in corners]
    for height in (RAIL_TOP_MM / 2, RAIL_TOP_MM - LEG_MM / 2):
        ring = [corner + UP * height for corner in corners]
        found += [bar(a, b, LEG_MM, colour) for a, b in pairwise(ring)]
    return found


def person(feet: Points, hands: Points, colour: Colour) -> Solid:
    """A person 1.75 m tall who holds something.

    Args:
        feet: Where they stand.
        hands: The middle between their hands.
        colour: Of all of them.

    Returns:
        The figure, bent at the hip as far as the hands are too low to be reached upright.
    """
    facing = (hands - feet) * [1.0, 1.0, 0.0]
    far = float(np.linalg.norm(facing))
    facing = facing / far if far > 1.0 else np.array([0.0, 1.0, 0.0])
    right = np.array([facing[1], -facing[0], 0.0])
    height = float(hands[2] - feet[2])
    bent = math.acos(min(max((height + REACHED_MM - HIP_MM) / (SHOULDER_MM - HIP_MM), 0.0), 1.0))
    # Bent over, the shoulders come forward, so the feet stay back.
    feet = feet - facing * max(0.0, math.sin(bent) * (SHOULDER_MM - HIP_MM) - far * 0.5)
    body, triangles, _ = figure_at(0.0, 0.0, np.array([right]), arms=False)
    upper = np.clip((body[:, 2] - (HIP_MM - 60.0)) / 120.0, 0.0, 1.0) * bent
    ahead, over = body @ facing, body[:, 2] - HIP_MM
    turned_ahead = ahead * np.cos(upper) + over * np.sin(upper)
    turned_over = over * np.cos(upper) - ahead * np.sin(upper)
    body = body + np.outer(turned_ahead - ahead, facing) + np.outer(turned_over - over, UP)
    solids = [Solid(body + feet, triangles, np.empty((0, 3)), np.tile(colour, (len(triangles), 1)))]
    lift = SHOULDER_MM - HIP_MM
    chest = feet + UP * (HIP_MM + lift * math.cos(bent)) + facing * lift * math.sin(bent)
    for side in (-1, 1):
        shoulder = chest + right * SHOULDERS_MM * side
        hand = hands + right * BETWEEN_HANDS_MM / 2 * side
        solids += _arm(shoulder, hand, right * side, colour)
    return joined(solids)


def _arm(shoulder: Points, hand: Points, aside: Points, colour: Colour) -> list[Solid]:
    """Upper and lower arm, the elbow down and out; as far as the arm reaches."""
    reach = hand - shoulder
    length = float(np.linalg.norm(reach))
    if length > 2 * ARM_MM * 0.99:
        reach *= 2 * ARM_MM * 0.99 / length
        length = 2 * ARM_MM * 0.99
        hand = shoulder + reach
    way = reach / length
    bend = -UP + 0.4 * aside
    bend = bend - way * float(bend @ way)
    norm = float(np.linalg.norm(bend))
    bend = bend / norm if norm > 1e-3 else aside
    elbow = (shoulder + hand) / 2 + bend * math.sqrt(ARM_MM**2 - (length / 2) ** 2)
    return [_tube(shoulder, elbow, 50.0, 40.0, colour), _tube(elbow, hand, 40.0, 30.0, colour)]


def _tube(start: Points, end: Points, first_mm: float, last_mm: float, colour: Colour) -> Solid:
    """A round bar that tapers, closed."""
    sides = 12
    way = (end - start) / max(float(np.linalg.norm(end - start)), 1e-6)
    side = np.cross(way, UP if abs(way[2]) < 0.9 else np.array([1.0, 0.0, 0.0]))
    side /= np.linalg.norm(side)
    other = np.cross(way, side)
    angles = np.linspace(0.0, 2 * math.pi, sides, endpoint=False)
    ring = np.outer(np.cos(angles), side) + np.outer(np.sin(angles), other)
    points = np.concatenate([start + ring * first_mm, end + ring * last_mm, [start], [end]])
    triangles: list[tuple[int, int, int]] = []
    for i in range(sides):
        j = (i + 1) % sides
        triangles += [(i, j, sides + j), (i, sides + j, sides + i)]
        triangles += [(j, i, 2 * sides), (sides + i, sides + j, 2 * sides + 1)]
    faces = np.array(triangles, dtype=np.int32)
    return Solid(points, faces, np.empty((0, 3)), np.tile(colour, (len(faces), 1)))


def disc(middle: Points, radius_mm: float, colour: Colour) -> Solid:
    """A flat round patch, seen from above: the shadow under somebody's feet.

    Args:
        middle: (3,) float: its middle, mm.
        radius_mm: Of its rim.
        colour: Of all of it.
    """
    sides = 24
    angles = np.linspace(0.0, 2 * math.pi, sides, endpoint=False)
    rim = middle + radius_mm * np.column_stack([np.cos(angles), np.sin(angles), 0 * angles])
    fan = np.array([(0, i, i + 1) for i in range(1, sides - 1)], dtype=np.int32)
    return Solid(rim, fan, np.empty((0, 3)), np.tile(colour, (len(fan), 1)))
