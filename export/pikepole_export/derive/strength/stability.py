"""The building as a whole, empty, in wind: whether it slides, tips or lifts off what it stands on.

And likewise its floor on skids or girders, about their own edge and with wind as high over it.

stability_checks(paths, woods) -> checks

Of a building on skids, on girders, or with its walls on a slab. Wind pushes on walls and the rise
of the roof as on a wall, and draws at the roof; dead load is the least that the pieces weigh. What
posts and footings of a bay hold is not counted.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.strength.anchors import sills_of, under_washer
from pikepole_export.derive.strength.bays import WAYS
from pikepole_export.derive.strength.beam import Force
from pikepole_export.derive.strength.check import Basis, Check, Measured, Number, Rating, Rule
from pikepole_export.derive.strength.climate import COVERING, FLOOR_COVERING, WALLS
from pikepole_export.derive.strength.combinations import LIFTED, Load
from pikepole_export.derive.strength.frame import UPRIGHT
from pikepole_export.derive.strength.members import Found, Woods
from pikepole_export.derive.strength.paths import ITSELF, Paths
from pikepole_export.derive.strength.pushes import STOOD_ON, Push, pushes_of
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind, of
from pikepole_model.units import STANDARD_GRAVITY_M_S2

# Of what stands on gravel, as of a footing there. Source: IBC Table 1806.2. Timber on concrete:
# the least that was tested, 0.7, halved (Pallett et al. 2002, HSE RR071).
FRICTION = 0.35
_ANCHORS = frozenset({Kind.GROUND_ANCHOR, Kind.DRILLED_ANCHOR})
# What most of its weight is.
_WEIGHED = of(Family.FLOOR_FRAME, Family.ROOF_FRAME) | WALLS | COVERING | FLOOR_COVERING


@dataclass(frozen=True, slots=True)
class _Stand:
    """What the building stands with on the ground or on its slab.

    Attributes:
        points_mm: (n, 2) places, on the level.
        dead_n: (n,) what presses there, the least of it.
        lift_n: (n,) what wind draws up there.
        anchors_mm: (m, 2) places of anchors.
        each_n: What each of them holds; 0 where the scene does not say.
        held_by: That in words.
        key: Of the scene, that says so.
        slides: Whether nothing but friction and these anchors keeps it from sliding.
        names: (n,) what presses there.
        called: What is drawn up: "whole building".
        counted: What those that hold it are called.
    """

    points_mm: np.ndarray
    dead_n: np.ndarray
    lift_n: np.ndarray
    anchors_mm: np.ndarray
    each_n: float
    held_by: str
    key: str
    slides: bool
    names: tuple[str, ...]
    called: str = "whole building"
    counted: str = "anchors"

    @property
    def basis(self) -> Basis:
        """Of each piece that it stands with what presses there and is drawn up."""
        found: dict[Load, list[Force]] = {Load.DEAD: [], Load.LIFT: []}
        for load, forces_n in ((Load.DEAD, self.dead_n), (Load.LIFT, -self.lift_n)):
            together: dict[str, float] = {}
            for name, force in zip(self.names, forces_n.tolist(), strict=True):
                together[name] = together.get(name, 0.0) + force
            found[load] = [Force(0, 0, force, name) for name, force in together.items()]
        return Basis(found)

    @property
    def numbers(self) -> tuple[Number, ...]:
        """That go into its formulas."""
        return (
            Number("D", float(self.dead_n.sum()), Measured.FORCE),
            Number("Wm", float(self.lift_n.sum()), Measured.FORCE),
            Number(self.counted, len(self.anchors_mm), Measured.COUNT),
            Number("each", self.each_n, Measured.FORCE),
        )

    def rating(self, left: float, counted: float) -> Rating | None:
        """What each anchor must be rated for: what is left to all of them over what they count."""
        return Rating(self.key, left / counted) if self.key and counted > 0 else None


def stability_checks(paths: Paths, woods: Woods) -> Iterator[Found]:
    """Lifting, and sliding and tipping each way."""
    for stand in (_on_bearers(paths) or _on_slab(paths, woods), _floor_on_bearers(paths)):
        if stand is None:
            continue
        checks = [*_lifting(stand)]
        for axis, push in enumerate(pushes_of(paths)):
            # Walls on a slab are looked at one by one.
            checks += [_sliding(stand, push, WAYS[axis])] if stand.slides else []
            checks.append(_tipping(stand, push, axis))
        for check in checks:
            found = replace(check, basis=stand.basis)
            yield Found(f"{check.member} {check.place}", check.member, found)


def _on_bearers(paths: Paths) -> _Stand | None:
    return _standing_on(
        paths,
        steel=_ANCHORS,
        rating_kg=paths.members.building.scene.ties.anchor_rating,
        held_by="its maker's rating for soil or concrete",
        key="ties.anchor_rating",
        slides=True,
    )


def _floor_on_bearers(paths: Paths) -> _Stand | None:
    """What lies on skids or girders, without them: toe-nails keep it from sliding, ties hold it."""
    stand = _standing_on(
        paths,
        steel=frozenset({Kind.FLOOR_TIE}),
        rating_kg=paths.members.building.scene.ties.floor_rating,
        held_by="its maker's rating, the nails beside it not counted",
        key="ties.floor_rating",
        slides=False,
        besides=ITSELF,
    )
    return stand and replace(stand, called="floor on its skids or girders", counted="ties")


def _standing_on(
    paths: Paths,
    *,
    steel: frozenset[Kind],
    rating_kg: float | None,
    held_by: str,
    key: str,
    slides: bool,
    besides: str = "",
) -> _Stand | None:
    """What skids or girders bear, and what steel holds it down there.

    Args:
        paths: Of every load.
        steel: The kinds of that.
        rating_kg: Of each piece of it.
        held_by: Where that comes from.
        key: Of the scene, that says so.
        slides: Whether nothing but friction and that steel keeps it from sliding.
        besides: What is left out of what presses there.
    """
    members = paths.members
    rows: list[tuple[float, float, float, float]] = []
    names: list[str] = []
    for member in members.of(*STOOD_ON):
        loads = paths.loads(member)
        for load, column in ((Load.DEAD, 2), (Load.LIFT, 3)):
            for one in loads.get(load, ()):
                if one.by == besides:
                    continue
                place = member.point((one.from_mm + one.to_mm) / 2)
                row = [*place, 0.0, 0.0]
                row[column] = one.force_n
                rows.append((row[0], row[1], row[2], row[3]))
                names.append(member.name)
    if not rows:
        return None
    x, y, dead, lift = np.array(rows).T
    return _Stand(
        np.stack([x, y], axis=1),
        dead * _least(paths),
        -lift,
        _places([part.centre_mm for part in members.building.parts if part.kind in steel]),
        (rating_kg or 0.0) * STANDARD_GRAVITY_M_S2,
        held_by,
        key,
        slides=slides,
        names=tuple(names),
    )


def _on_slab(paths: Paths, woods: Woods) -> _Stand | None:
    sills = sills_of(paths)
    if not sills:
        return None
    groups = {sill.group for sill in sills}
    feet = [
        (part.centre_mm[:2], paths.carried(part), part.group)
        for part in paths.members.parts.values()
        if part.kind in UPRIGHT and (part.group in groups or part.kind is Kind.WALL_POST)
    ]
    weakest = min(under_washer(paths, woods, sill.plate)[0] for sill in sills)
    return _Stand(
        np.array([place for place, *_ in feet]),
        np.array([loads.get(Load.DEAD, 0.0) for _, loads, _ in feet]) * _least(paths),
        -np.array([loads.get(Load.LIFT, 0.0) for _, loads, _ in feet]),
        _places([washer.centre_mm for sill in sills for washer in sill.washers]),
        weakest,
        "A Fc-perp' under a bolt's washer (NDS 3.10.2); its hold in the pad is not looked at",
        "",
        slides=False,
        names=tuple(name for *_, name in feet),
    )


def _places(points: list[tuple[float, float, float]]) -> np.ndarray:
    return np.array([point[:2] for point in points]).reshape(-1, 2)


def _least(paths: Paths) -> float:
    """The least that its pieces weigh, as a share of what they are likely to."""
    parts = paths.members.building.parts
    masses = [part_mass(part) for part in parts if part.kind in _WEIGHED]
    return sum(mass.low_kg for mass in masses) / sum(mass.likely_kg for mass in masses)


def _lifting(stand: _Stand) -> Iterator[Check]:
    """What its weight does not hold down is left to anchors."""
    lift_n, dead_n = float(stand.lift_n.sum()), float(stand.dead_n.sum())
    if lift_n <= dead_n:
        return
    drawn_n = 0.6 * (lift_n - dead_n)
    yield Check(
        member=stand.called,
        rule=Rule.UPLIFT,
        combination=LIFTED,
        demand=drawn_n,
        capacity=len(stand.anchors_mm) * stand.each_n,
        measured=Measured.FORCE,
        formula="0.6 Wm - 0.6 D",
        numbers=stand.numbers,
        clause="ASCE 7-16 27.3.1, C2.4.1",
        limit=f"{stand.counted} x each; each by {stand.held_by}",
        key=stand.key,
        rating=stand.rating(drawn_n, len(stand.anchors_mm)),
    )


def _sliding(stand: _Stand, push: Push, way: str) -> Check:
    """Against friction under what is left of its weight, and anchors that do not hold it down."""
    left_n = 0.6 * float(stand.dead_n.sum() - stand.lift_n.sum())
    rubs_n = FRICTION * left_n if left_n > 0 else left_n
    count = len(stand.anchors_mm)
    return Check(
        member=stand.called,
        rule=Rule.SLIDING,
        combination=LIFTED,
        demand=0.6 * push.force_n,
        capacity=max(0.0, rubs_n + count * stand.each_n),
        measured=Measured.FORCE,
        formula="0.6 H",
        numbers=(*push.numbers, *stand.numbers),
        clause="ASCE 7-16 27.3.1, C2.4.1; IBC Table 1806.2",
        limit=(
            f"{FRICTION:g} x (0.6 D - 0.6 Wm) + anchors x each; where Wm is more than D, anchors "
            f"less that; each by {stand.held_by}"
        ),
        key=stand.key,
        rating=stand.rating(0.6 * push.force_n - rubs_n, count),
        place=way,
    )


def _tipping(stand: _Stand, push: Push, axis: int) -> Check:
    """About the edge that it stands on, the worse of both."""
    at, anchors = stand.points_mm[:, axis], stand.anchors_mm[:, axis]

    def about(edge: float, sign: int) -> tuple[float, float, float]:
        arms, holds = sign * (at - edge), np.maximum(sign * (anchors - edge), 0.0)
        lifted, dead = (float((force * arms).sum()) for force in (stand.lift_n, stand.dead_n))
        return lifted, dead, float(holds.sum())

    def sides(lifted: float, dead: float, holds: float) -> tuple[float, float]:
        tips = 0.6 * (push.force_n * push.height_mm + lifted)
        return tips, 0.6 * dead + holds * stand.each_n

    def ratio(found: tuple[float, float, float]) -> float:
        tips, rights = sides(*found)
        return tips / rights if rights else math.inf

    edges = about(float(at.min()), 1), about(float(at.max()), -1)
    worst = max(edges, key=ratio)
    tips, rights = sides(*worst)
    lifted, dead, holds = worst
    # Those that do for one edge may be too weak for the other.
    ratings = [stand.rating(sides(*one)[0] - 0.6 * one[1], one[2]) for one in edges]
    rated = [one for one in ratings if one]
    return Check(
        member=stand.called,
        rule=Rule.TIPPING,
        combination=LIFTED,
        demand=tips,
        capacity=rights,
        measured=Measured.MOMENT,
        formula="0.6 (H h + Mw)",
        numbers=(
            *push.numbers,
            Number("h", push.height_mm, Measured.LENGTH),
            *stand.numbers,
            Number("Mw, Wm by its arms", lifted, Measured.MOMENT),
            Number("Md, D by its arms", dead, Measured.MOMENT),
            Number(f"Ma, {stand.counted} by theirs", holds * stand.each_n, Measured.MOMENT),
        ),
        clause="ASCE 7-16 27.3.1, C2.4.1",
        limit=(
            f"0.6 Md + Ma, about the edge that it stands on; each of the {stand.counted} by "
            f"{stand.held_by}"
        ),
        key=stand.key,
        rating=max(rated, key=lambda one: one.least_n) if len(rated) == len(edges) else None,
        place=WAYS[axis],
    )
