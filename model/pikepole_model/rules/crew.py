"""What must hold for a crew: rates for work that there is."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.building.labour import load_rates
from pikepole_model.errors import Problem, leave_out
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.catalogue import nearest_names


def rate_problems(scene: Scene) -> Iterator[Problem]:
    """Rates for work that there is none of, or given twice."""
    names, seen = [rate.name for rate in load_rates()], set[str]()
    for k, rate in enumerate(scene.rate):
        if rate.work not in names:
            mend = f"give {nearest_names(rate.work, names)}"
            yield Problem.at(("rate", k, "work"), "there is no rate for such work", mend)
        elif rate.work in seen:
            yield Problem.at(("rate", k, "work"), "is given twice", leave_out(("rate", k)))
        seen.add(rate.work)
