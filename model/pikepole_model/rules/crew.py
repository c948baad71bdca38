"""What must hold for the move of a building: a stage that there is, forks that go under it."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.rules.faults import Fault, Ruler
from pikepole_model.scene.crew import Move
from pikepole_model.scene.schema import Scene
from pikepole_model.sequence import steps_of
from pikepole_model.stock.catalogue import nearest_names


def move_faults(scene: Scene, move: Move) -> Iterator[Fault]:
    """What is wrong with a move of what a scene builds."""
    stages = [step.name for step in steps_of(scene)]
    if move.after not in stages:
        yield Fault(
            ("move", "after"),
            "the work has no such stage",
            f"take one of {nearest_names(move.after, stages)}",
        )
    store = scene.building
    across = store.length if move.side in ("front", "back") else store.depth
    if move.way == "forks" and move.fork_spacing > across:
        ruler = Ruler(scene.units)
        yield Fault(
            ("move", "fork_spacing"),
            f"sets the forks {ruler.at(move.fork_spacing)} apart, and the building's "
            f"{move.side} is {ruler.at(across)} long",
            f"give {ruler.at_most(across)}, or come from another side",
        )
