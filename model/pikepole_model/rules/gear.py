"""What must hold for gear that lifts: a reach above where pieces wait."""

from __future__ import annotations

from collections.abc import Iterator
from typing import assert_never

from pikepole_model.errors import Problem
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.rules.ruler import Ruler
from pikepole_model.scene.crew import (
    ChainHoist,
    HandTruck,
    Jack,
    MaterialLift,
    Platform,
    Telehandler,
    Trestles,
    WallJack,
    Winch,
)
from pikepole_model.scene.schema import Scene

# What lifts no higher over the trestles has no use: common practice, no source.
LEAST_RISE_MM = 300.0


def gear_problems(scene: Scene) -> Iterator[Problem]:
    """Gear that reaches no higher than the trestles off which pieces are lifted."""
    ruler = Ruler(scene.units)
    rests = [gear.height for gear in scene.crew.gear if isinstance(gear, Trestles)]
    for number, gear in enumerate(scene.crew.gear):
        match gear:
            case WallJack() | ChainHoist() | Telehandler() | MaterialLift():
                if rests and gear.reach < max(rests) + LEAST_RISE_MM - TOLERANCE_MM:
                    yield Problem.at(
                        ("crew", "gear", number, "reach"),
                        f"lifts nothing off the trestles, {ruler.at(max(rests))} high",
                        f"give {ruler.at_least(max(rests) + LEAST_RISE_MM)}, or lower trestles",
                    )
            case Trestles() | Platform() | HandTruck() | Jack() | Winch():
                pass
            case _:
                assert_never(gear)
