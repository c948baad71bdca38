"""What must hold for a crew: gear that reaches above where pieces wait, rates for work there is."""

from __future__ import annotations

from collections.abc import Iterator
from typing import assert_never

from pikepole_model.building.labour import load_rates
from pikepole_model.errors import Problem, leave_out
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.rules.ruler import Ruler
from pikepole_model.scene.crew import (
    ChainHoist,
    Jack,
    MaterialLift,
    Platform,
    Telehandler,
    Trestles,
    TwoWheelTruck,
    WallJack,
    Winch,
)
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.catalogue import nearest_names

# What lifts no higher over the trestles has no use: common practice, no source.
LEAST_RISE_MM = 300.0


def crew_problems(scene: Scene) -> Iterator[Problem]:
    """What is wrong with a crew's gear and rates."""
    yield from _gear_problems(scene)
    yield from _rate_problems(scene)


def _gear_problems(scene: Scene) -> Iterator[Problem]:
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
            case Trestles() | Platform() | TwoWheelTruck() | Jack() | Winch():
                pass
            case _:
                assert_never(gear)


def _rate_problems(scene: Scene) -> Iterator[Problem]:
    """Rates for work that there is none of, or given twice."""
    names, seen = [rate.name for rate in load_rates()], set[str]()
    for k, rate in enumerate(scene.rate):
        if rate.work not in names:
            mend = f"give {nearest_names(rate.work, names)}"
            yield Problem.at(("rate", k, "work"), "there is no rate for such work", mend)
        elif rate.work in seen:
            yield Problem.at(("rate", k, "work"), "is given twice", leave_out(("rate", k)))
        seen.add(rate.work)
