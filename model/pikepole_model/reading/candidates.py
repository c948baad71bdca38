"""What else may stand at a key of a scene: the next steps of a size, other words, other stock.

changes_at(scene, one, far) -> what may stand at a key, the nearest first
main_sizes(scene, far) -> other sizes of the whole building, the nearest first
plain_sizes(scene) -> the sizes of a plain store
steps_of(field, now, units) -> the size or count so many steps away
measure_of(scene, path) -> how what stands at a key is measured
item_of(scene, path, table) -> one more item of the list at a key
named(field, one, now, scene) -> words, stock, true or false
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, TypeAlias, get_args

from pydantic import BaseModel, TypeAdapter
from pydantic.fields import FieldInfo

from pikepole_model.errors import KeyPath, Try, key_text, leave_out
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

# The sizes of a building that all else follows from, and what they are usually whole numbers of.
_MAIN = (
    ("building", "length"),
    ("building", "depth"),
    ("walls", "low_height"),
    ("walls", "high_height"),
    ("posts", "low_height"),
    ("posts", "high_height"),
)
# A store that stands nearly whatever it is made of.
_PLAIN: dict[KeyPath, tuple[str, str]] = {
    ("building", "length"): ("12' 0\"", "3600 mm"),
    ("building", "depth"): ("8' 0\"", "2400 mm"),
    ("walls", "low_height"): ("7' 0\"", "2100 mm"),
    ("walls", "high_height"): ("9' 0\"", "2700 mm"),
    ("posts", "low_height"): ("7' 0\"", "2100 mm"),
    ("posts", "high_height"): ("9' 0\"", "2700 mm"),
    ("roof", "slope"): ("3:12", "14 deg"),
}
_WHOLE_MM: dict[Units, float] = {"imperial": 12 * INCH_MM, "metric": 300.0}

_SIDEWAYS = {"less": (-1,), "more": (1,), "other": (1, -1), "without": ()}

# What a length in steps is off by for being read.
_NOISE = 1e-6

# The value so many steps away from what is there: None past the key's limits.
Steps: TypeAlias = Callable[[int], Candidate | None]


@dataclass(frozen=True, slots=True)
class Change:
    """Another value at a key.

    Attributes:
        path: The key.
        value: As it stands in the file; None to leave the key out; a table for one more item of the
            list there.
        text: As a mend names it.
        steps: How far it is from what was there, signed, where it is a number.
    """

    path: KeyPath
    value: object
    text: str
    steps: int = 0

    @property
    def takes_item_out(self) -> bool:
        """Whether those after it in a list move up."""
        *_, last = self.path
        return self.value is None and isinstance(last, int)

    def mend(self, wrong: KeyPath) -> str:
        """The mend that asks for it; names the key where another one is wrong."""
        if self.value is None:
            return leave_out(self.path)
        return (
            f"give {self.text}" if self.path == wrong else f"give {key_text(self.path)} {self.text}"
        )


def changes_at(scene: Scene, one: Try, far: Iterable[int]) -> Iterator[Change]:
    """What may stand at a key, the nearest first.

    Args:
        scene: The scene.
        one: The key, and where to look.
        far: How many steps away, where it holds a size or a count, the nearest first.
    """
    found = _field(scene, one.path)
    if found is None:
        return
    field, now = found
    if one.towards == "without":
        if now is not None:
            yield Change(one.path, None, "")
        return
    grid = steps_of(field, one.start if now is None else now, scene.units)
    if grid is None:
        for value, text in named(field, one, now, scene):
            yield Change(one.path, value, text)
        return
    for steps, side in itertools.product(far, _SIDEWAYS[one.towards]):
        if candidate := grid(side * steps):
            yield Change(one.path, *candidate, side * steps)


def main_sizes(scene: Scene, far: Iterable[int]) -> Iterator[Change]:
    """Other sizes of the whole building in whole feet, or in steps of 300 mm, the nearest first.

    Args:
        scene: The scene.
        far: How many of these away, on either side.
    """
    grids = [
        (path, grid)
        for path in _MAIN
        if (found := _field(scene, path))
        and (grid := steps_of(*found, scene.units, _WHOLE_MM[scene.units]))
    ]
    for steps, (path, grid), side in itertools.product(far, grids, (1, -1)):
        if candidate := grid(side * steps):
            yield Change(path, *candidate, side * steps)


def plain_sizes(scene: Scene) -> Iterator[Change]:
    """The sizes of a plain store, which takes neither long boards nor a low roof."""
    for path, (imperial, metric) in _PLAIN.items():
        if (found := _field(scene, path)) and found[1] is not None:
            text = metric if scene.units == "metric" else imperial
            yield Change(path, text, text, 1)


def _field(scene: Scene, path: KeyPath) -> tuple[FieldInfo, Any] | None:
    """What is known of a key and what stands there; None where the scene has no such table."""
    parent: Any = scene
    for step in path[:-1]:
        parent = parent[step] if isinstance(step, int) else getattr(parent, step, None)
    key = path[-1]
    if isinstance(key, int) or not isinstance(parent, BaseModel):
        return None
    field = type(parent).model_fields.get(key)
    return field and (field, getattr(parent, key))


def measure_of(scene: Scene, path: KeyPath) -> Measure | None:
    """How what stands at a key is measured; None where it is no measure or no key."""
    found = _field(scene, path)
    return found and _measure(found[0])


def item_of(scene: Scene, path: KeyPath, table: dict[str, Any]) -> Any:
    """One more item of the list at a key, read from its table."""
    found = _field(scene, path)
    assert found
    item, *_ = get_args(found[0].annotation)
    return TypeAdapter(item).validate_python(table, context={"units": scene.units})


def _measure(field: FieldInfo) -> Measure | None:
    return next((mark for mark in marks(field) if isinstance(mark, Measure)), None)


def steps_of(field: FieldInfo, now: Any, units: Units, step: float | None = None) -> Steps | None:
    """The steps of a key that holds a length, a slope or a count; None for any other.

    Args:
        field: What is known of the key.
        now: What stands there.
        units: The scene's.
        step: One step of a measure, in its own unit; the usual one without.
    """
    measure = _measure(field)
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
    step = step or _STEPS[measure.what][units]
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
    sizes: dict[str, tuple[float, float, float]]
    if lumber:
        # What is graded for strength may carry: no common board takes its place.
        carries = now in catalogue.lumber and catalogue.lumber[now].is_stamped
        rows = (row for row in catalogue.lumber.values() if not carries or row.is_stamped)
        sizes = {row.name: (row.breadth_mm, row.depth_mm, row.longest_mm) for row in rows}
    else:
        sizes = {
            row.name: (row.thickness_mm, row.width_mm, row.length_mm)
            for row in catalogue.sheets.values()
        }
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
