"""What a scene in millimetres takes in place of what one in feet and inches does.

usual(name, units) -> str       the catalogue's name of it, from `data/metric.toml`
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from types import MappingProxyType

from pikepole_model.units import Units


def usual(name: str, units: Units) -> str:
    """What is taken of one sort where nobody says, by the units of the scene.

    Args:
        name: What it is in feet and inches; one without a metric counterpart stays.
        units: Of the scene.
    """
    return metric_names().get(name, name) if units == "metric" else name


@cache
def metric_names() -> Mapping[str, str]:
    """Metric rows of the catalogue by those that they stand for."""
    text = resources.files("pikepole_model").joinpath("data", "metric.toml").read_text("utf-8")
    tables = tomllib.loads(text).values()
    return MappingProxyType({ours: metric for table in tables for ours, metric in table.items()})
