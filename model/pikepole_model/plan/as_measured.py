"""What stands, where it was measured: the plan that the rest of the building is laid out to.

    stands(scene) -> tuple[Stand, ...]       what is known after each stage that was measured after
    planned_mm(roof, what) -> float | None   what the tape would read if all stood as planned

The walls' tops and the ridge are moved to where they are, and the slopes between them follow: under
a roof with a ridge the front one stays where the ridge was not measured. Between its ends a
building is taken to be straight.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal, TypeVar, assert_never

from pikepole_model.building.sequence import steps_of
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.scene.measured import Ends, Measured, What
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.types import FLATTEST_DEG, STEEPEST_DEG, Section
from pikepole_model.units import MARK_MM

# A slope is looked for so far from the planned one, degrees.
_FAR_DEG = 10.0
# Halving that so often leaves less than a float can tell.
_HALVINGS = 50
# A ridge beam lies as high as both slopes need it: taken in turns so often, both are found.
_TURNS = 5
# Rises are the same within this, mm.
_SAME_MM = 1e-9

Table = TypeVar("Table", bound=Section)


def planned_mm(roof: RoofPlan, what: What) -> float | None:
    """What a scene has for something that can be measured, mm; None where it has no such thing."""
    datums = roof.datums
    match what:
        case "span":
            return datums.depth_mm
        case "front height":
            return roof.plate_top_mm("front") - datums.floor_mm
        case "back height":
            return roof.plate_top_mm("back") - datums.floor_mm
        case "ridge height":
            return roof.ridge.top_mm - datums.floor_mm if roof.ridge else None
        case "diagonals":
            return math.hypot(datums.length_mm, datums.depth_mm)
        case _:
            assert_never(what)


@dataclass(frozen=True, slots=True)
class Stand:
    """What is known of a building after a stage.

    Attributes:
        scene: As it is planned.
        built: Groups of pieces that are cut and stay.
        off_mm: How far what was measured is off the plan at the left and the right end.
    """

    scene: Scene
    built: frozenset[str]
    off_mm: dict[What, Ends] = field(hash=False)

    @property
    def most_mm(self) -> float:
        """The most that anything is off, where all that is off adds up."""
        return sum(max(map(abs, ends)) for ends in self.off_mm.values())

    @property
    def twist_mm(self) -> float:
        """How much more one end is off than the other, at most."""
        return max((abs(right - left) for left, right in self.off_mm.values()), default=0.0)

    @property
    def places(self) -> tuple[float, ...]:
        """Where along the building it is laid out beside its middle, from 0 at the left end to 1.

        Nowhere is then more than a mark of the tape from one of them.
        """
        count = math.ceil(self.twist_mm / MARK_MM[self.scene.units])
        return tuple(k / count for k in range(count + 1) if 2 * k != count) if count else ()

    def at(self, place: float) -> Scene:
        """The scene of a building that stands all along as this one does at a place."""

        def off(what: What) -> float:
            left, right = self.off_mm.get(what, (0.0, 0.0))
            return left + (right - left) * place

        ridge = off("ridge height") if "ridge height" in self.off_mm else None
        return _standing(self.scene, off("span"), off("front height"), off("back height"), ridge)


def stands(scene: Scene) -> tuple[Stand, ...]:
    """What is known after each stage after which something was measured, in order of the work.

    None where nothing was, or all stands as planned to the mark on a tape.
    """
    if not scene.measured:
        return ()
    roof, steps = RoofPlan(Datums(scene)), steps_of(scene)
    names = [step.name for step in steps]
    found: list[Stand] = []
    off_mm: dict[What, Ends] = {}
    for number, name in enumerate(names, start=1):
        # What is out of square has walls as high and as far apart.
        told = [one for one in scene.measured if one.after == name and one.what != "diagonals"]
        off_mm = {**off_mm, **{one.what: _off(one, roof) for one in told}}
        if told and (found or any(off for ends in off_mm.values() for off in ends)):
            groups = frozenset(group for step in steps[:number] for group in step.groups)
            found.append(Stand(scene, groups, off_mm))
    return tuple(found)


def _off(one: Measured, roof: RoofPlan) -> Ends:
    """How far off the plan something is; not at all where a tape reads the same."""
    planned = planned_mm(roof, one.what)
    assert planned is not None
    left, right = (told - planned for told in one.at_ends)
    mark = MARK_MM[roof.datums.scene.units] / 2 + 1e-6
    return (0.0 if abs(left) <= mark else left, 0.0 if abs(right) <= mark else right)


def _standing(scene: Scene, span: float, front: float, back: float, ridge: float | None) -> Scene:
    """The scene of a building of other measures, each so much more than planned, mm."""
    if not (span or front or back or ridge):
        return scene
    planned = RoofPlan(Datums(scene))
    roof, floor_mm = scene.roof, planned.datums.floor_mm
    tops = (planned.plate_top_mm("front") + front, planned.plate_top_mm("back") + back)
    moved = scene.model_copy(
        update={
            "building": _with(scene.building, depth=scene.building.depth + span),
            "posts" if scene.posts else "walls": _with(
                scene.heights, low_height=min(tops) - floor_mm, high_height=None
            ),
            # What follows from the slope in front, or from both heights, does so no more.
            "roof": _with(
                roof,
                back_slope=math.degrees(planned.section.back_rad) if roof.ridge else None,
                clerestory=roof.clerestory
                and _with(roof.clerestory, slope=roof.clerestory.slope or roof.slope),
            ),
            "bay": tuple(
                _with(bay, slope=bay.slope or roof.slope) if bay.roof == "ledger" else bay
                for bay in scene.bay
            ),
            "measured": (),
        }
    )
    back_key = "back_slope" if roof.ridge else "slope"
    for _ in range(1 if ridge is None else _TURNS):
        if ridge is not None and planned.ridge:
            over_front = planned.ridge.top_mm + ridge - tops[0]
            moved = _tilted(moved, "slope", over_front, _ridge_over_front_mm)
        moved = _tilted(moved, back_key, tops[0] - tops[1], _front_over_back_mm)
    return moved


def _ridge_over_front_mm(roof: RoofPlan) -> float:
    assert roof.ridge
    return roof.ridge.top_mm - roof.plate_top_mm("front")


def _front_over_back_mm(roof: RoofPlan) -> float:
    return roof.plate_top_mm("front") - roof.plate_top_mm("back")


def _tilted(
    scene: Scene,
    key: Literal["slope", "back_slope"],
    wanted_mm: float,
    rise_mm: Callable[[RoofPlan], float],
) -> Scene:
    """The scene with the slope that makes a rise what it is; the nearest, where none does."""

    def with_slope(slope_deg: float) -> Scene:
        return scene.model_copy(update={"roof": _with(scene.roof, **{key: slope_deg})})

    def over_mm(slope_deg: float) -> float:
        return rise_mm(RoofPlan(Datums(with_slope(slope_deg)))) - wanted_mm

    now = scene.roof.slope if key == "slope" else scene.roof.back_slope
    assert now is not None
    if abs(over_mm(now)) < _SAME_MM:
        return scene
    low, high = max(FLATTEST_DEG, now - _FAR_DEG), min(STEEPEST_DEG, now + _FAR_DEG)
    rises = over_mm(high) > over_mm(low)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if (over_mm(middle) < 0) == rises:
            low = middle
        else:
            high = middle
    return with_slope((low + high) / 2)


def _with(table: Table, **values: object) -> Table:
    """A table of a scene with other values."""
    return table.model_copy(update=values)
