"""Where a load waits before it is lifted, as a rigid motion out of its place.

    footprint_of(building, standing) -> Footprint   what it has to stay clear of
    start_pose(item, load, footprint, rest_height_mm) -> Pose
    tilted_pose(load, footprint, angle_deg) -> Pose     a wall or post on its way up
    eave_pose(item, load, footprint) -> Pose           a roof sheet as it passes the eave
    leaning_pose(item, load, footprint, foot_mm) -> Pose   before that

         . . . . . . . . . .
         .  in its place   .          outward is away from the middle of the deck, square to the
         . . . . . . . . . .          piece: there it waits, clear of everything that stands.
                 |
                 | outward, CLEAR_MM
                 v
         +-----------------+
         |  at the start   |
         +-----------------+

Sticks and what lies flat in its place wait level on trestles; sheets and units that stand in their
place wait on edge; what is slid over an edge leans there; walls lie inward on the deck, and posts
outward from their foot.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pikepole_export.derive.lifting.items import Edge, Handling, Item
from pikepole_export.derive.lifting.loads import Load
from pikepole_model.building.kinds import DECK
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.placement import Points

# Room to walk round what waits: common practice, no source.
CLEAR_MM = 1200.0

# What lies higher at the start than in its place is let down: it is carried there from further out,
# and stays clear of its place for whoever looks on. Common practice, no source.
LET_DOWN_MM = 1500.0

# What stands on edge is leant a little, so that it does not fall: common practice, no source.
LEANT_DEG = 10.0

# The foot of what leans at an edge stands this far out from it: common practice, no source.
FOOT_OUT_MM = 1000.0

# It keeps so far from the walls where it leans inside, for those who stand at it. Assumed.
INSIDE_MM = 900.0

# The sine of a slope that is none, but for a float's last digits.
LEVEL = 1e-6

UP: Points = np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True, slots=True)
class Footprint:
    """What a waiting load has to stay clear of.

    Attributes:
        low_mm: (2,) float: least X and Y of all that stands.
        high_mm: (2,) float: greatest X and Y.
        middle_mm: (2,) float: middle of the deck, or of all that stands where there is none.
    """

    low_mm: Points
    high_mm: Points
    middle_mm: Points


@dataclass(frozen=True, slots=True)
class Pose:
    """A rigid motion of the building's frame: turned, then moved.

    Attributes:
        turn: (3, 3) float: a rotation.
        shift_mm: (3,) float.
        outward: (3,) float: level unit vector from the place to where people come from.
    """

    turn: Points
    shift_mm: Points
    outward: Points

    def apply(self, points: Points) -> Points:
        """(n, 3) points of the load in its place, mm, as (n, 3) points where it waits."""
        return points @ self.turn.T + self.shift_mm


def footprint_of(building: Building, standing: Sequence[Part]) -> Footprint:
    """What stands, seen from above.

    Args:
        building: Where the middle of the deck is looked up.
        standing: At least one part, what is lifted included.
    """
    flat = np.concatenate([part.vertices_mm[:, :2] for part in standing])
    low, high = flat.min(axis=0), flat.max(axis=0)
    decks = [part for part in building.parts if part.kind in DECK]
    deck = np.concatenate([part.vertices_mm[:, :2] for part in decks]) if decks else flat
    return Footprint(low, high, (deck.min(axis=0) + deck.max(axis=0)) / 2)


def start_pose(item: Item, load: Load, footprint: Footprint, rest_height_mm: float) -> Pose:
    """Where a load waits.

    Args:
        item: What it is, or is a piece of.
        load: What is lifted at once.
        footprint: What it stays clear of.
        rest_height_mm: Height on which loads wait, of trestles or bearers, above the floor.
    """
    match item.handling:
        case Handling.WALL if item.is_frame(load):
            return tilted_pose(load, footprint, 0.0)
        case Handling.POST:
            rise = (item.floor_mm + rest_height_mm - load.low_mm) / load.size_mm[0]
            rise_deg = math.degrees(math.asin(min(max(rise, 0.0), 0.9)))
            return tilted_pose(load, footprint, rise_deg, inward=False)
        case Handling.ROOF_SHEET | Handling.LOFT_SHEET:
            return leaning_pose(item, load, footprint, item.floor_mm)
        case Handling.SHEET | Handling.UNIT if load.is_on_edge:
            return _on_edge(item, load, footprint)
        case Handling.STICK | Handling.BEAM | Handling.SHEET | Handling.UNIT | Handling.WALL:
            return _level(item, load, footprint, rest_height_mm)


def in_place(load: Load, footprint: Footprint) -> Pose:
    """No motion at all: a load in its place."""
    return Pose(np.eye(3), np.zeros(3), outward_of(load, footprint))


def eave_pose(item: Item, load: Load, footprint: Footprint) -> Pose:
    """A roof sheet on its way up the slope, its lower edge at the eave.

    Args:
        item: Tells how high the eave is.
        load: As it lies in its place.
        footprint: Tells which way is outward where it lies level.
    """
    normal, outward = _down_the_slope(load, footprint)
    steep = math.hypot(normal[0], normal[1])
    back = (load.low_mm - item.pass_height_mm) / steep if steep > LEVEL else 0.0
    downward = outward * float(normal[2]) - UP * steep
    return Pose(np.eye(3), downward * max(back, 0.0), outward)


def leaning_pose(item: Item, load: Load, footprint: Footprint, foot_mm: float) -> Pose:
    """A sheet on its end, its foot out from the edge, its head at the edge if it reaches it.

    Args:
        item: Tells how high the edge is.
        load: As it lies in its place.
        footprint: What it stays clear of, or inside of.
        foot_mm: Height of its foot above ground, from the floor up to the edge: nearer to the edge
            the higher it is.
    """
    normal, outward = _down_the_slope(load, footprint)
    edge = _outside(footprint, outward)
    if item.handling.over is Edge.JOIST:
        outward = _to_the_middle(load, footprint)
        beside = float((load.vertices_mm @ outward).max())
        edge = min(beside, _outside(footprint, outward) - INSIDE_MM - FOOT_OUT_MM)
    # Its length up the slope: the way of the slope is square to the level one.
    upslope = np.cross(normal, np.cross(outward, normal))
    upslope = -upslope / np.linalg.norm(upslope)
    u = np.array(load.box.u)
    u = u if u @ upslope >= 0 else -u
    in_plane = between(u, upslope)
    height = item.pass_height_mm - item.floor_mm
    steep = math.degrees(math.atan2(height, FOOT_OUT_MM))
    left = max(item.pass_height_mm - foot_mm, 0.0) / height if height > 0 else 1.0
    reaches = load.size_mm[0] >= math.hypot(height, FOOT_OUT_MM) * left
    steep_deg = steep if reaches else 90.0 - LEANT_DEG
    angle = math.radians(steep_deg)
    leans = -math.cos(angle) * outward + math.sin(angle) * UP
    turn = between(upslope, leans) @ in_plane
    turned = load.vertices_mm @ turn.T
    foot_out = edge + FOOT_OUT_MM * left
    pose = _put(load, turn, outward, 0.0, foot_mm)
    ahead = foot_out - float((turned @ outward).max()) - float(pose.shift_mm @ outward)
    return Pose(turn, pose.shift_mm + ahead * outward, outward)


def tilted_pose(load: Load, footprint: Footprint, angle_deg: float, *, inward: bool = True) -> Pose:
    """A wall or a post, turned about the lower edge that it is raised on.

    Args:
        load: As it stands in its place.
        footprint: Tells which way is outward.
        angle_deg: From level, 0 to 90.
        inward: A wall lies on the deck; a post lies outside.
    """
    outward = outward_of(load, footprint)
    falls = -outward if inward else outward
    points = load.vertices_mm
    edge = falls * float((points @ falls).max()) + UP * load.low_mm
    turn = _rotation(np.cross(UP, falls), 90.0 - angle_deg)
    return Pose(turn, edge - turn @ edge, outward)


def hoisted_pose(load: Load, footprint: Footprint, rest_height_mm: float) -> Pose:
    """A post that is pulled up by its head: its head under the hook, its foot away from its place.

    Args:
        load: As it stands in its place.
        footprint: Tells which way is outward.
        rest_height_mm: Height over the ground on which its head waits.
    """
    rise = min(max((rest_height_mm - load.low_mm) / load.size_mm[0], 0.0), 0.9)
    lies = tilted_pose(load, footprint, math.degrees(math.asin(rise)))
    out = load.size_mm[0] * math.sqrt(1 - rise**2)
    return Pose(lies.turn, lies.shift_mm + lies.outward * out, lies.outward)


def truck_pose(load: Load, footprint: Footprint, way: tuple[float, float], low_mm: float) -> Pose:
    """Level across the way of a truck, outside all that stands: the truck stops behind it.

    Args:
        load: As it is in its place.
        footprint: What it stays clear of.
        way: Level unit vector from its place to the truck.
        low_mm: Height of its underside above ground where it waits.
    """
    outward = np.array([*way, 0.0])
    turn = between(np.array(load.box.u), np.cross(outward, UP))
    return _put(load, turn, outward, _outside(footprint, outward) + CLEAR_MM, low_mm)


def outward_of(load: Load, footprint: Footprint) -> Points:
    """(3,) float: the level way out from the middle of the deck, square to a load.

    A wall, a sheet or a stick is left across its length; a post to the nearest side.
    """
    along = _along(load)
    away = np.array(load.centre_mm[:2]) - footprint.middle_mm
    if along is None:
        centre = np.array(load.centre_mm[:2])
        room = np.concatenate([centre - footprint.low_mm, footprint.high_mm - centre])
        # The front and back before the ends, where it is all one.
        side = int(np.argmin(np.round(room[[1, 3, 0, 2]] / CLEAR_MM * 2)))
        ways = ((0.0, -1.0), (0.0, 1.0), (-1.0, 0.0), (1.0, 0.0))
        return np.array([*ways[side], 0.0])
    across = np.array([-along[1], along[0], 0.0])
    out = float(away @ across[:2])
    # Over the middle of the deck: to the front or the left, as well as any other way.
    if abs(out) < 1.0:
        out = -float(across[1] + across[0])
    return across if out > 0 else -across


def level_along(load: Load, pose: Pose) -> Points:
    """(3,) float: the level way of a load's longest level side, as it is turned in a pose."""
    axes = [pose.turn @ np.array(way) for way in (load.box.u, load.box.v, load.box.n)]
    lengths = [
        size * float(np.linalg.norm(axis[:2]))
        for size, axis in zip(load.size_mm, axes, strict=True)
    ]
    along = axes[int(np.argmax(lengths))] * [1.0, 1.0, 0.0]
    along = along / np.linalg.norm(along)
    # Square to the way out, so that people stand beside it and not before each other.
    across = np.cross(UP, pose.outward)
    return across if abs(float(along @ across)) < 0.5 else along


def between(start: Points, end: Points) -> Points:
    """(3, 3) float: the least turn that brings one unit vector to another."""
    axis = np.cross(start, end)
    sine, cosine = float(np.linalg.norm(axis)), float(start @ end)
    if sine < 1e-12:
        return np.eye(3)
    return _rotation(axis / sine, math.degrees(math.atan2(sine, cosine)))


def _along(load: Load) -> Points | None:
    """(3,) float: the level way of its length; None where it is a post, as broad as it is deep."""
    u, v = np.array(load.box.u), np.array(load.box.v)
    if load.is_upright:
        _, width, thickness = load.size_mm
        if width < 2 * thickness:
            return None
        level = v
    else:
        level = u
    level = level * [1.0, 1.0, 0.0]
    return level / np.linalg.norm(level)


def _level(item: Item, load: Load, footprint: Footprint, rest_height_mm: float) -> Pose:
    """Level on trestles, parallel to its place, outside all that stands."""
    outward = outward_of(load, footprint)
    u = np.array(load.box.u)
    level = np.cross(outward, UP) if load.is_upright else _level_of(u)
    turn = between(u, level)
    lifted = item.floor_mm + rest_height_mm
    clear = CLEAR_MM + (LET_DOWN_MM if load.low_mm < lifted else 0.0)
    return _put(load, turn, outward, _outside(footprint, outward) + clear, lifted)


def _on_edge(item: Item, load: Load, footprint: Footprint) -> Pose:
    """On its long edge, or a unit on its foot, leant a little towards its place."""
    outward = outward_of(load, footprint)
    turn = np.eye(3)
    if item.handling == Handling.SHEET and load.is_upright:
        turn = _rotation(np.array(load.box.n), 90.0)
    turn = _rotation(np.cross(UP, -outward), LEANT_DEG) @ turn
    beside = float((load.vertices_mm @ outward).max()) + CLEAR_MM
    return _put(load, turn, outward, beside, item.floor_mm)


def _down_the_slope(load: Load, footprint: Footprint) -> tuple[Points, Points]:
    """(3,) float each: the upper side's normal, and the level way to the eave, unit vectors."""
    normal = np.array(load.box.n)
    normal = normal if normal[2] > 0 else -normal
    down = normal * [1.0, 1.0, 0.0]
    steep = float(np.linalg.norm(down))
    return normal, outward_of(load, footprint) if steep < LEVEL else down / steep


def _to_the_middle(load: Load, footprint: Footprint) -> Points:
    """(3,) float: the level way along a sheet that lies, towards the middle of the deck."""
    along = _level_of(np.array(load.box.u))
    away = np.array(load.centre_mm[:2]) - footprint.middle_mm
    return -along if float(away @ along[:2]) > 0 else along


def _put(load: Load, turn: Points, outward: Points, beside: float, lifted_mm: float) -> Pose:
    """Turned about its centre of gravity, then moved outward and down to a height.

    Args:
        load: What is moved.
        turn: (3, 3) float.
        outward: The way it is moved.
        beside: Distance along that way of its near side, mm from the origin.
        lifted_mm: Height of its lowest point.
    """
    centre = np.array(load.centre_mm)
    points = (load.vertices_mm - centre) @ turn.T + centre
    out = beside - float((points @ outward).min())
    up = lifted_mm - float(points[:, 2].min())
    return Pose(turn, centre - turn @ centre + out * outward + up * UP, outward)


def _outside(footprint: Footprint, outward: Points) -> float:
    """How far all that stands reaches along a way, mm from the origin."""
    corners = np.array(
        [(x, y) for x in (footprint.low_mm[0], footprint.high_mm[0]) for y in _ys(footprint)]
    )
    return float((corners @ outward[:2]).max())


def _ys(footprint: Footprint) -> tuple[float, float]:
    return float(footprint.low_mm[1]), float(footprint.high_mm[1])


def _level_of(way: Points) -> Points:
    level = way * [1.0, 1.0, 0.0]
    return level / np.linalg.norm(level)


def _rotation(axis: Points, angle_deg: float) -> Points:
    """(3, 3) float: a turn about a unit vector, counter-clockwise looking against it.

    Source: Rodrigues' formula, any textbook of mechanics.
    """
    x, y, z = axis
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    angle = math.radians(angle_deg)
    return np.eye(3) + math.sin(angle) * cross + (1 - math.cos(angle)) * cross @ cross
