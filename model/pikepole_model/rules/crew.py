"""What must hold for rates and for the move of a building: what they name is there, forks fit."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.building.labour import load_rates
from pikepole_model.building.sequence import steps_of
from pikepole_model.errors import Problem
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.rules.ruler import Ruler
from pikepole_model.scene.crew import Move
from pikepole_model.scene.schema import Pad, Scene
from pikepole_model.stock.catalogue import nearest_names

FLOOR_FRAME = "floor frame"


def rate_problems(scene: Scene) -> Iterator[Problem]:
    """Rates for work that there is none of, or given twice."""
    names, seen = [rate.name for rate in load_rates()], set[str]()
    for k, rate in enumerate(scene.rate):
        if rate.work not in names:
            mend = f"take one of {nearest_names(rate.work, names)}"
            yield Problem.at(("rate", k, "work"), "there is no rate for such work", mend)
        elif rate.work in seen:
            yield Problem.at(("rate", k, "work"), "is given twice", "take one of them out")
        seen.add(rate.work)


def move_problems(scene: Scene, move: Move) -> Iterator[Problem]:
    """What is wrong with a move of what a scene builds."""
    steps = steps_of(scene)
    stages = [step.name for step in steps]
    if isinstance(scene.foundation, Pad):
        yield Problem.at(
            ("move",),
            "moves a store whose walls are framed on its pad",
            "take out [move], or frame a floor on skids or piers",
        )
    framed = next((place for place, step in enumerate(steps) if FLOOR_FRAME in step.groups), 0)
    if move.after in stages[:framed]:
        yield Problem.at(
            ("move", "after"),
            "comes before the floor frame, when nothing stands that could be moved",
            f'take "{stages[framed]}" or a later stage',
        )
    if move.after not in stages:
        yield Problem.at(
            ("move", "after"),
            "the work has no such stage",
            f"take one of {nearest_names(move.after, stages)}",
        )
    store = scene.building
    across = store.length if move.side in ("front", "back") else store.depth
    if move.way == "forks" and move.fork_spacing > across + TOLERANCE_MM:
        ruler = Ruler(scene.units)
        yield Problem.at(
            ("move", "fork_spacing"),
            f"sets the forks {ruler.at(move.fork_spacing)} apart, and the building's "
            f"{move.side} is {ruler.at(across)} long",
            f"give {ruler.at_most(across)}, or come from another side",
        )
