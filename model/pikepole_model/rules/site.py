"""What must hold on the lot: no wall nearer to its line than the setback."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.errors import Problem, either, leave_out
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.rules.ruler import Ruler
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.types import ROUND


def site_problems(scene: Scene) -> Iterator[Problem]:
    """Walls that stand nearer to a line of the lot than the rules of the place allow."""
    ruler, site = Ruler(scene.units), scene.site
    for wall in ROUND:
        there, least = site.lot.at(wall), site.setback.at(wall)
        if there is not None and least is not None and there < least - TOLERANCE_MM:
            yield Problem.at(
                ("site", "lot", wall),
                f"is less than the setback of {ruler.at(least)}",
                either(f"give {ruler.at_least(least)}", leave_out(("site", "setback", wall))),
            )
