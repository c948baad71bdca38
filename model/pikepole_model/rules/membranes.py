"""The layers round a window or door must fit behind the cladding."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.errors import Problem
from pikepole_model.plan.corners import BEHIND_MM
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.membranes import sealed
from pikepole_model.rules.ruler import Ruler


def membrane_problems(face: WallFace, ruler: Ruler) -> Iterator[Problem]:
    """Membrane, tapes and wrap over each other that are thicker than the room for them."""
    for one in sealed(face):
        thick = one.out_mm
        if thick <= BEHIND_MM or not one.is_lapped:
            continue
        fitted = one.fitted
        path = ("opening", fitted.framed.table, "door" if fitted.door else "window")
        over, membrane = thick - BEHIND_MM, fitted.membrane_mm
        key = "membrane" if membrane > over else "tape"
        yield Problem.at(
            (*path, key),
            f"makes metal, wrap, membrane and tapes {ruler.at(thick)} thick, and there is "
            f"{ruler.at(BEHIND_MM)} for them behind the cladding",
            f'give one at least {ruler.at(over)} thinner, or "none"',
        )
