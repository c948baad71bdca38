"""What else may stand at a key of a scene: the next steps of a size, other words, other stock.

steps_of(field, now, units) -> the size or count so many steps away
named(field, one, now, scene) -> words, stock, true or false
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from typing import Any, TypeAlias

from pydantic.fields import FieldInfo

from pikepole_model.errors import Try
from pikepole_model.reading.words import choices, limits_of, marks
from pikepole_model.scene.quantity import Measure, Measured, StockName
from pikepole_model.scene.schema import Scene
from pikepole_model.units import INCH_MM, Units, format_length

# A value as it stands in a scene file, and as a mend names it.
Candidate: TypeAlias = tuple[object, str]

# One step of a measure, imperial and metric: a length in mm, a slope in its own writing.
_STEPS: dict[Measured, dict[Units, float]] = {
    "length": {"imperial": INCH_MM, "metric": 25.0},
    "slope": {"imperial": 0.25, "metric": 0.5},
}

# What a length in steps is off by for being read.
_NOISE = 1e-6

# The value so many steps away from what is there: None past the key's limits.
Steps: TypeAlias = Callable[[int], Candidate | None]


def steps_of(field: FieldInfo, now: Any, units: Units) -> Steps | None:
    """The steps of a key that holds a length, a slope or a count; None for any other."""
    measure = next((mark for mark in marks(field) if isinstance(mark, Measure)), None)
    if measure is None:
        limits = limits_of(field)
        if limits is None or isinstance(now, float):
            return None
        start = int(limits[0]) - 1 if now is None else now

        def count(steps: int) -> Candidate | None:
            value = start + steps
            return (value, str(value)) if limits[0] <= value <= limits[1] else None

        return count
    if measure.what not in _STEPS or now is None or not math.isfinite(now):
        return None
    step = _STEPS[measure.what][units]
    as_rise = measure.what == "slope" and units == "imperial"
    at = (12 * math.tan(math.radians(now)) if as_rise else now) / step

    def size(steps: int) -> Candidate | None:
        # The first line of the grid on that side is at most one step away.
        value = step * ((math.floor(at + _NOISE) if steps > 0 else math.ceil(at - _NOISE)) + steps)
        if as_rise:
            text, value = f"{value:g}:12", math.degrees(math.atan(value / 12))
        elif measure.what == "slope":
            text = f"{value:g} deg"
        else:
            text = format_length(value, units)
        return (text, text) if measure.low <= value <= measure.high else None

    return size


def named(field: FieldInfo, one: Try, now: Any, scene: Scene) -> Iterator[Candidate]:
    """What else may stand at a key that holds a word, a name of stock, or true or false."""
    if isinstance(now, bool):
        yield not now, "false" if now else "true"
        return
    stock = next((mark for mark in marks(field) if isinstance(mark, StockName)), None)
    names: Iterable[str] = choices(field.annotation)
    if stock and stock.kind in ("lumber", "sheet") and isinstance(now, str):
        names = _near_in_size(now, one, scene, stock.kind == "lumber")
    for name in names:
        if name != now:
            yield name, f'"{name}"'


def _near_in_size(now: str, one: Try, scene: Scene, lumber: bool) -> Iterator[str]:
    """Stock of the same sort, the nearest in size first."""
    catalogue = scene.catalogue
    sizes: dict[str, tuple[float, ...]] = (
        {
            name: (row.breadth_mm, row.depth_mm, row.longest_mm)
            for name, row in catalogue.lumber.items()
        }
        if lumber
        else {
            name: (row.thickness_mm, row.width_mm, row.length_mm)
            for name, row in catalogue.sheets.items()
        }
    )
    if now not in sizes:
        return
    own = sizes[now]
    sort = now.rpartition(" ")[0]
    found: list[tuple[float, str]] = []
    for name, size in sizes.items():
        apart = [a - b for a, b in zip(size, own, strict=True)]
        larger, smaller = max(apart[:2]) > 0, min(apart[:2]) < 0
        along = {"more": larger or apart[2] > 0, "less": smaller, "other": True}[one.towards]
        if name.rpartition(" ")[0] == sort and along and name != now:
            found.append((sum(abs(x) for x in apart[:2]), name))
    yield from (name for _, name in sorted(found)[:12])
