"""The building as a whole, empty, in wind: whether it slides, tips or lifts off what it stands on.

stability_checks(paths) -> checks

Of a building on skids, girders or a framed floor on a slab. Wind pushes on walls and the rise of
the roof as on a wall, and draws at the roof; dead load is the least that the pieces weigh. What
posts and footings of a bay hold is not counted.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.strength import wind
from pikepole_export.derive.strength.check import Check, Measured, Number, Rule
from pikepole_export.derive.strength.climate import COVERING, FLOOR_COVERING, WALLS
from pikepole_export.derive.strength.combinations import LIFTED, Load
from pikepole_export.derive.strength.frame import UPRIGHT
from pikepole_export.derive.strength.members import Found
from pikepole_export.derive.strength.paths import Paths
from pikepole_export.derive.strength.roofs import KN_M2, RAFTERS, is_free
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind, of
from pikepole_model.units import STANDARD_GRAVITY_M_S2

# Of what stands on gravel, as of a footing there. Source: IBC Table 1806.2. Timber on concrete:
# the least that was tested, 0.7, halved (Pallett et al. 2002, HSE RR071).
FRICTION = 0.35
_ANCHORS = frozenset({Kind.GROUND_ANCHOR, Kind.DRILLED_ANCHOR})
# What most of its weight is.
_WEIGHED = of(Family.FLOOR_FRAME, Family.ROOF_FRAME) | WALLS | COVERING | FLOOR_COVERING
_STOOD_ON = (Kind.SKID, Kind.GIRDER)
_WAYS = ("along the building", "across the building")


@dataclass(frozen=True, slots=True)
class _Stand:
    """What the building stands with on the ground.

    Attributes:
        points_mm: (n, 2) places, on the level.
        dead_n: (n,) what presses there, the least of it.
        lift_n: (n,) what wind draws up there.
        anchors_mm: (m, 2) places of anchors.
        rated_n: What each of them is rated for; 0 where the scene does not say.
    """

    points_mm: np.ndarray
    dead_n: np.ndarray
    lift_n: np.ndarray
    anchors_mm: np.ndarray
    rated_n: float


def stability_checks(paths: Paths) -> Iterator[Found]:
    """Lifting, and sliding and tipping each way."""
    stand = _stand(paths)
    if stand is None:
        return
    for check in (*_lifting(stand), *_each_way(paths, stand)):
        yield Found(f"{check.member} {check.place}", check.member, check)


def _stand(paths: Paths) -> _Stand | None:
    members = paths.members
    rows: list[tuple[float, float, float, float]] = []
    for member in members.of(*_STOOD_ON):
        loads = paths.loads(member)
        for load, column in ((Load.DEAD, 2), (Load.LIFT, 3)):
            for one in loads.get(load, ()):
                place = member.point((one.from_mm + one.to_mm) / 2)
                row = [*place, 0.0, 0.0]
                row[column] = one.force_n
                rows.append((row[0], row[1], row[2], row[3]))
    if not rows:
        return None
    parts = members.building.parts
    anchors = [part.centre_mm[:2] for part in parts if part.kind in _ANCHORS]
    masses = [part_mass(part) for part in parts if part.kind in _WEIGHED]
    least = sum(mass.low_kg for mass in masses) / sum(mass.likely_kg for mass in masses)
    x, y, dead, lift = np.array(rows).T
    rating_kg = members.building.scene.ties.anchor_rating or 0.0
    return _Stand(
        np.stack([x, y], axis=1),
        dead * least,
        -lift,
        np.array(anchors).reshape(-1, 2),
        rating_kg * STANDARD_GRAVITY_M_S2,
    )


def _numbers(stand: _Stand) -> tuple[Number, ...]:
    return (
        Number("D", float(stand.dead_n.sum()), Measured.FORCE),
        Number("Wm", float(stand.lift_n.sum()), Measured.FORCE),
        Number("anchors", len(stand.anchors_mm), Measured.NUMBER),
        Number("rating", stand.rated_n, Measured.FORCE),
    )


def _lifting(stand: _Stand) -> Iterator[Check]:
    """What its weight does not hold down is left to anchors."""
    lift_n, dead_n = float(stand.lift_n.sum()), float(stand.dead_n.sum())
    if lift_n <= dead_n:
        return
    yield Check(
        member="whole building",
        rule=Rule.UPLIFT,
        combination=LIFTED,
        demand=0.6 * (lift_n - dead_n),
        capacity=len(stand.anchors_mm) * stand.rated_n,
        measured=Measured.FORCE,
        formula="0.6 Wm - 0.6 D",
        numbers=_numbers(stand),
        clause="ASCE 7-16 27.3.1, C2.4.1",
        limit="anchors x ties.anchor_rating",
    )


def _each_way(paths: Paths, stand: _Stand) -> Iterator[Check]:
    points = _outline(paths)
    ground_mm = float(points[:, 2].min())
    for axis, way in enumerate(_WAYS):
        seen = shapely.MultiPoint(points[:, [1 - axis, 2]]).convex_hull
        height_mm = seen.centroid.y - ground_mm
        pressure = wind.wall_push(paths.climate.open_q)
        push_n = pressure * KN_M2 * seen.area
        shared = (
            Number("H", push_n, Measured.FORCE),
            Number("wall pressure", pressure, Measured.LOAD),
        )
        yield _sliding(stand, push_n, way, shared)
        yield _tipping(stand, push_n, height_mm, axis, shared)


def _outline(paths: Paths) -> np.ndarray:
    """(n, 3) corners of the enclosed part: its frame from the ground to the roof, mm."""
    members = paths.members
    kinds = UPRIGHT | {Kind.TOP_PLATE, Kind.BOTTOM_PLATE, Kind.RIM, *_STOOD_ON}
    parts = [part for part in members.parts.values() if part.kind in kinds]
    parts += [one.first for one in members.of(*RAFTERS) if not is_free(members, one)]
    return np.concatenate([part.vertices_mm for part in parts])


def _sliding(stand: _Stand, push_n: float, way: str, shared: tuple[Number, ...]) -> Check:
    """Against friction under what is left of its weight, and anchors that do not hold it down."""
    left_n = 0.6 * float(stand.dead_n.sum() - stand.lift_n.sum())
    held_n = len(stand.anchors_mm) * stand.rated_n + min(left_n, 0.0)
    return Check(
        member="whole building",
        rule=Rule.SLIDING,
        combination=LIFTED,
        demand=0.6 * push_n,
        capacity=max(0.0, FRICTION * max(left_n, 0.0) + held_n),
        measured=Measured.FORCE,
        formula="0.6 H",
        numbers=(*shared, *_numbers(stand)),
        clause="ASCE 7-16 27.3.1, C2.4.1; IBC Table 1806.2",
        limit=f"{FRICTION:g} x (0.6 D - 0.6 Wm) + anchors x ties.anchor_rating",
        place=way,
    )


def _tipping(
    stand: _Stand, push_n: float, height_mm: float, axis: int, shared: tuple[Number, ...]
) -> Check:
    """About the edge that it stands on, the worse of both."""
    at, anchors = stand.points_mm[:, axis], stand.anchors_mm[:, axis]
    found: list[tuple[float, float]] = []
    for edge, sign in ((float(at.min()), 1), (float(at.max()), -1)):
        arms = sign * (at - edge)
        tips = 0.6 * (push_n * height_mm + float((stand.lift_n * arms).sum()))
        rights = 0.6 * float((stand.dead_n * arms).sum())
        rights += stand.rated_n * float(np.maximum(sign * (anchors - edge), 0.0).sum())
        found.append((tips, rights))
    tips, rights = max(found, key=lambda pair: pair[0] / pair[1])
    return Check(
        member="whole building",
        rule=Rule.TIPPING,
        combination=LIFTED,
        demand=tips,
        capacity=rights,
        measured=Measured.MOMENT,
        formula="0.6 (H h + sum of Wm by its arms)",
        numbers=(*shared, Number("h", height_mm, Measured.LENGTH), *_numbers(stand)),
        clause="ASCE 7-16 27.3.1, C2.4.1",
        limit="0.6 D by its arms about the edge that it stands on, anchors by theirs",
        place=_WAYS[axis],
    )
