"""What people lift with by hand, and on what a load rests on its way up.

HandSetup                                           trestles, platforms, blocks
risen(task, setup, is_panel) -> Options             by way of platforms
standing(task, platforms_mm) -> Options             the same from every floor there is
strapped(task) -> HandTask                          by a strap under the end
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from pikepole_export.derive.lifting import niosh
from pikepole_export.derive.lifting.hand_tasks import (
    HIGHEST_HANDS_MM,
    KNUCKLE_HEIGHT_MM,
    HandTask,
    Options,
    Rest,
)
from pikepole_export.derive.lifting.hands import Lifter
from pikepole_model.units import FOOT_MM, Units

# Without trestles, loads lie on bearers: common practice, no source.
BEARERS_MM = 100.0

# Heights that scaffolds and step-ups are set to: common practice, no source.
PLATFORM_STEPS_MM: Mapping[Units, float] = {"imperial": FOOT_MM, "metric": 300.0}

# From the hands down to what hangs in a strap: common practice, no source.
STRAP_MM = 400.0

# On its way up a load is rested on so many platforms at the most.
MOST_RESTS = 2

# Two floors that differ by less are one: heights are sums, and sums are rounded.
LEAST_STEP_MM = 1.0


@dataclass(frozen=True, slots=True)
class HandSetup:
    """What people lift with when they lift by hand.

    Attributes:
        rest_heights_mm: Heights on which loads can wait: of bearers, of the trestles at hand.
        platforms_mm: Heights of the platforms at hand, lowest first.
        lifter: The column of HSE's figures.
        blocks_mm: Heights of the blocks or trestles that can stand on a platform.
    """

    rest_heights_mm: tuple[float, ...]
    platforms_mm: tuple[float, ...]
    lifter: Lifter
    blocks_mm: tuple[float, ...] = ()


def risen(task: HandTask, setup: HandSetup, *, is_panel: bool, rests: int = MOST_RESTS) -> Options:
    """A task in one go from where people stand, or by way of platforms, one above the other.

    A stick rests there on bearers, or higher on a block or trestle; what is wide stands on the
    platform and is taken up by its edges. Where the hands would end higher than anybody is rated
    for, the task stays in the list: nobody is within the guideline then.
    """
    found = [[task]]
    if rests == 0:
        return found
    for platform in setup.platforms_mm:
        step = platform - (task.floor_mm - task.base_mm)
        if step < LEAST_STEP_MM:
            continue
        blocks = () if is_panel else setup.blocks_mm
        for rest, on_mm in ((Rest.PLATFORM, BEARERS_MM), *((Rest.BLOCK, mm) for mm in blocks)):
            if step + on_mm >= task.to_mm or step + on_mm > HIGHEST_HANDS_MM:
                continue
            taken_up_mm = KNUCKLE_HEIGHT_MM if is_panel else on_mm
            then = replace(
                task,
                from_mm=taken_up_mm,
                to_mm=max(task.to_mm - step, taken_up_mm),
                floor_mm=task.floor_mm + step,
            )
            onto = replace(task, onto=rest, to_mm=step + on_mm)
            further = risen(then, setup, is_panel=is_panel, rests=rests - 1)
            found += [[onto, *row] for row in further]
    return found


def standing(task: HandTask, platforms_mm: Sequence[float]) -> Options:
    """A task by people who stand on its floor, or on any platform under where hands hold."""
    from_floor = [[task]]
    from_platforms = [
        [
            replace(
                task,
                from_mm=task.from_mm - platform,
                to_mm=task.to_mm - platform,
                floor_mm=task.floor_mm + platform,
            )
        ]
        for platform in platforms_mm
        if platform <= min(task.from_mm, task.to_mm)
    ]
    return from_floor + from_platforms


def strapped(task: HandTask) -> HandTask:
    """The same by a strap under the end, which keeps hands and backs up."""
    return replace(
        task,
        strap_mm=STRAP_MM,
        from_mm=task.from_mm + STRAP_MM,
        to_mm=task.to_mm + STRAP_MM,
        coupling=niosh.Coupling.GOOD,
    )
