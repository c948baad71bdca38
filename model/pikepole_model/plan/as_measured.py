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
from typing import assert_never

from pikepole_model.building.sequence import steps_of
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.scene.measured import Ends, Measured, What
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.types import FLATTEST_DEG, STEEPEST_DEG
from pikepole_model.units import MARK_MM

# A slope is looked for so far from the planned one, degrees.
_FAR_DEG = 10.0
# Halving that so often leaves less than a float can tell.
_HALVINGS = 60


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
        """Where along the building it is laid out, from 0 at the left end to 1.

        Nowhere is then more than a mark of the tape from one of them. The middle comes first.
        """
        count = math.ceil(self.twist_mm / MARK_MM[self.scene.units])
        return (0.5, *(k / count for k in range(count + 1) if 2 * k != count)) if count else (0.5,)

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
        told = [one for one in scene.measured if one.after == name]
        off_mm = {**off_mm, **{one.what: _off(one, roof) for one in told}}
        if told and any(off for ends in off_mm.values() for off in ends):
            groups = frozenset(group for step in steps[:number] for group in step.groups)
            found.append(Stand(scene, groups, off_mm))
    return tuple(found)


def _off(one: Measured, roof: RoofPlan) -> Ends:
    """How far off the plan something is; not at all where a tape reads the same."""
    planned = planned_mm(roof, one.what)
    assert planned is not None
    if one.what == "diagonals":
        return (0.0, 0.0)  # what is out of square has walls as high and as far apart
    left, right = (told - planned for told in one.at_ends)
    mark = MARK_MM[roof.datums.scene.units] / 2 + 1e-6
    return (0.0 if abs(left) <= mark else left, 0.0 if abs(right) <= mark else right)


def _standing(scene: Scene, span: float, front: float, back: float, ridge: float | None) -> Scene:
    """The scene of a building of other measures, each so much more than planned, mm."""
    if not (span or front or back or ridge):
        return scene
    planned = RoofPlan(Datums(scene))
    floor, section = planned.datums.floor_mm, planned.section
    tops = (planned.plate_top_mm("front") + front, planned.plate_top_mm("back") + back)
    heights = {"low_height": min(tops) - floor, "high_height": None}
    roof = scene.roof.model_copy(
        update={
            "back_slope": math.degrees(section.back_rad) if scene.roof.ridge else None,
            "clerestory": scene.roof.clerestory
            and scene.roof.clerestory.model_copy(
                update={"slope": scene.roof.clerestory.slope or scene.roof.slope}
            ),
        }
    )
    bays = tuple(
        bay.model_copy(update={"slope": bay.slope or scene.roof.slope})
        if bay.roof == "ledger"
        else bay
        for bay in scene.bay
    )
    table = "posts" if scene.posts else "walls"
    depth = scene.building.depth + span
    changed = scene.model_copy(
        update={
            "building": scene.building.model_copy(update={"depth": depth}),
            table: scene.heights.model_copy(update=heights),
            "roof": roof,
            "bay": bays,
            "measured": (),
        }
    )

    def tilted(scene: Scene, key: str, slope: float) -> Scene:
        return scene.model_copy(update={"roof": scene.roof.model_copy(update={key: slope})})

    def solved(scene: Scene, key: str, wanted: float, of: Callable[[RoofPlan], float]) -> Scene:
        """The scene with the slope that makes something as high as it is."""

        def over(slope: float) -> float:
            return of(RoofPlan(Datums(tilted(scene, key, slope)))) - wanted

        now = getattr(scene.roof, key)
        if abs(over(now)) < 1e-9:
            return scene
        low, high = max(FLATTEST_DEG, now - _FAR_DEG), min(STEEPEST_DEG, now + _FAR_DEG)
        rises = over(high) > over(low)
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            if (over(middle) < 0) == rises:
                low = middle
            else:
                high = middle
        return tilted(scene, key, (low + high) / 2)

    if ridge is not None:
        over_front = section.highest_mm + ridge - tops[0]
        changed = solved(
            changed,
            "slope",
            over_front,
            lambda roof: roof.section.highest_mm - roof.plate_top_mm("front"),
        )
    return solved(
        changed,
        "back_slope" if scene.roof.ridge else "slope",
        tops[0] - tops[1],
        lambda roof: roof.plate_top_mm("front") - roof.plate_top_mm("back"),
    )
