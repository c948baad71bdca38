"""What of a building is still to be built.

remaining(building) -> Building           without what is done
done_stages(building) -> frozenset[int]   numbers of the stages that are done
stage_number(building, name) -> int | None
"""

from __future__ import annotations

from dataclasses import replace

from pikepole_model.building.part import Building
from pikepole_model.building.sequence import done_by


def stage_number(building: Building, name: str) -> int | None:
    """The number of a stage by its name or number; None where the building has no such stage."""
    return next(
        (one.number for one in building.stages if name in (one.name, str(one.number))), None
    )


def done_stages(building: Building) -> frozenset[int]:
    """Numbers of the stages that are built; one with nothing to put up has none."""
    done = building.scene.done
    numbers = {stage_number(building, name) for name in done.stages}
    if done.up_to:
        names = [stage.name for stage in building.stages]
        last = done_by(building.scene, done.up_to, names) or done.up_to
        until = stage_number(building, last) or 0
        numbers |= {stage.number for stage in building.stages if stage.number <= until}
    return frozenset(number for number in numbers if number is not None)


def remaining(building: Building) -> Building:
    """The building without what is done: its parts, the joints between them, its stages."""
    done = done_stages(building)
    if not done:
        return building
    parts = tuple(part for part in building.parts if part.stage not in done)
    names = {part.name for part in parts}
    return replace(
        building,
        parts=parts,
        joints=tuple(one for one in building.joints if one.a in names and one.b in names),
        stages=tuple(stage for stage in building.stages if stage.number not in done),
        temporary=tuple(part for part in building.temporary if part.stage not in done),
        before=None,
        taken=(),
    )
