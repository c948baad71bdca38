"""What a scene in millimetres takes in place of what one in feet and inches does.

usual(name, units) -> str               the catalogue's name of it, from `data/metric.toml`
usual_mm(length_mm, units) -> float     a length that nobody gives
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from types import MappingProxyType

from pikepole_model.units import Units, parse_length

_LENGTHS = "lengths"


def usual(name: str, units: Units) -> str:
    """What is taken of one sort where nobody says, by the units of the scene.

    Args:
        name: What it is in feet and inches; one without a metric counterpart stays.
        units: Of the scene.
    """
    return metric_names().get(name, name) if units == "metric" else name


def usual_mm(length_mm: float, units: Units) -> float:
    """A length that is taken where nobody says, by the units of the scene, mm.

    Args:
        length_mm: What it is in feet and inches; one without a metric counterpart stays.
        units: Of the scene.
    """
    return _lengths().get(round(length_mm, 4), length_mm) if units == "metric" else length_mm


@cache
def metric_names() -> Mapping[str, str]:
    """Metric rows of the catalogue by those that they stand for."""
    rows = (row for name, table in _tables().items() if name != _LENGTHS for row in table.items())
    return MappingProxyType(dict(rows))


@cache
def metric_lengths() -> Mapping[str, str]:
    """Metric lengths by those in feet and inches that they stand for, as text."""
    return MappingProxyType(_tables()[_LENGTHS])


@cache
def _lengths() -> Mapping[float, float]:
    pairs = metric_lengths().items()
    return {round(parse_length(ours), 4): parse_length(metric) for ours, metric in pairs}


@cache
def _tables() -> dict[str, dict[str, str]]:
    text = resources.files("pikepole_model").joinpath("data", "metric.toml").read_text("utf-8")
    return tomllib.loads(text)
