"""Mends that only trying can find: each is written into the scene and checked before it is offered.

with_mends(problems, table, scene, check) -> the problems, each with a mend that works
"""

from __future__ import annotations

import copy
import itertools
import math
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from enum import Enum
from typing import Any, TypeAlias, assert_never

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from pikepole_model.errors import KeyPath, Problem, Try, either, key_text, leave_out
from pikepole_model.reading.words import choices, limits_of, marks
from pikepole_model.scene.quantity import Measure, Measured, StockName
from pikepole_model.scene.schema import Scene
from pikepole_model.units import INCH_MM, Units, format_length

# All that is wrong with a table, or None where it cannot be read at all.
Check: TypeAlias = Callable[[dict[str, Any]], list[Problem] | None]

# A value as it stands in a scene file, and as a mend names it.
Candidate: TypeAlias = tuple[object, str]

# How far from what is there a mend is looked for, in steps; and between two of these for a nearer.
_FAR = (*range(1, 9), 10, 12, 14, 16, 20, 24, 32, 48, 64, 96, 144, 216, 324)

# One step of a measure, imperial and metric: a length in mm, a slope in its own writing.
_STEPS: dict[Measured, dict[Units, float]] = {
    "length": {"imperial": INCH_MM, "metric": 25.0},
    "slope": {"imperial": 0.25, "metric": 0.5},
}

# Ways out that are offered; and tries for one problem and for one report, so that a hopeless scene
# is answered soon.
_MOST_WAYS = 2
_MOST_TRIES, _MOST_IN_ALL = 150, 450

# The same where two keys are changed together.
_PAIRED = (1, 2, 4, 8, 16, 32, 64)

# What a length in steps is off by for being read.
_NOISE = 1e-6

_SIDEWAYS = {"less": (-1,), "more": (1,), "other": (1, -1), "without": ()}


def with_mends(
    problems: list[Problem], table: dict[str, Any], scene: Scene, check: Check
) -> list[Problem]:
    """Problems with the mends that were found by trying.

    Args:
        problems: All that is wrong with the scene.
        table: The scene as it was written.
        scene: What was read from it.
        check: Finds what is wrong with a table.
    """
    trial = _Trial(problems, table, scene, check)
    tried = [trial.mended(problem) if problem.tries else problem for problem in problems]
    if any(problem.mend for problem in tried):
        mend = "put the others right first, then check again"
        return [replace(problem, mend=problem.mend or mend) for problem in tried]
    return [
        replace(after, mend=trial.last_resort(before))
        for before, after in zip(problems, tried, strict=True)
    ]


@dataclass(frozen=True, slots=True)
class _Change:
    """Another value at a key.

    Attributes:
        path: The key.
        value: As it stands in the file; None to leave the key out.
        text: As a mend names it.
        steps: How far it is from what was there, signed, where it is a number.
    """

    path: KeyPath
    value: object
    text: str
    steps: int = 0

    def mend(self, wrong: KeyPath) -> str:
        """The mend that asks for it; names the key where another one is wrong."""
        if self.value is None:
            return leave_out(self.path)
        return (
            f"give {self.text}" if self.path == wrong else f"give {key_text(self.path)} {self.text}"
        )


class Lenience(Enum):
    """What a mend has to put right, and may bring up."""

    KEY = "all that is wrong at its key, and nothing new"
    FAULT = "what it is for, and nothing new"
    OTHER = "what it is for, and something else in its place"


class _Trial:
    """Tries values in one scene, up to a number of times."""

    def __init__(
        self, problems: list[Problem], table: dict[str, Any], scene: Scene, check: Check
    ) -> None:
        self.before = set(map(_fault, problems))
        self.table, self.scene, self.check = table, scene, check
        self.left, self.left_in_all = 0, _MOST_IN_ALL
        self.lenience = Lenience.KEY
        # What is told twice is mended once.
        self.found: dict[tuple[KeyPath, str], list[str]] = {}

    def mended(self, problem: Problem) -> Problem:
        """The problem with its mend, which names no key in vain; none where none is found."""
        ways = list(self.found.get(_fault(problem), ()))
        self.left = min(_MOST_TRIES, self.left_in_all)
        self.left_in_all -= self.left
        for one in () if ways else problem.tries:
            if len(ways) < _MOST_WAYS and (change := self._nearest(problem, one)):
                ways.append(change.mend(problem.path))
        if not ways and not problem.mend:
            ways = self._both(problem)
        self.left_in_all += self.left
        self.found[_fault(problem)] = ways
        return replace(problem, mend=either(problem.mend, *ways), tries=())

    def last_resort(self, problem: Problem) -> str:
        """The mend that takes out an opening or another item, or brings up something else.

        Where not even that helps, it says where to look.
        """
        keys = [problem.path, *(one.path for one in problem.tries)]
        inside = dict.fromkeys(key[:end] for key in keys for end in range(len(key), 0, -1))
        items = [path for path in inside if any(isinstance(step, int) for step in path)]
        for lenience in (Lenience.FAULT, Lenience.OTHER):
            self.left, self.lenience = _MOST_TRIES, lenience
            if lenience is Lenience.FAULT and (change := self._first(problem)):
                return change.mend(problem.path)
            # Without an item less is left to be wrong, whatever comes up: no two such mends go
            # round in a circle.
            if out := self._without(problem, items):
                return out
        if change := self._first(problem):
            return change.mend(problem.path)
        self.left, self.lenience = _MOST_TRIES, Lenience.KEY
        among = ", ".join(dict.fromkeys(map(key_text, keys)))
        return self._without(problem, inside) or (
            f"no one value mends it; change several of {among}"
        )

    def _first(self, problem: Problem) -> _Change | None:
        """The first change of one value that will do."""
        return next(filter(None, (self._nearest(problem, one) for one in problem.tries)), None)

    def _without(self, problem: Problem, paths: Iterable[KeyPath]) -> str:
        """The mend that leaves out the first of these that will do."""
        for path in paths:
            if _there(self.table, path) and self._holds(problem, _Change(path, None, "")):
                return leave_out(path)
        return ""

    def _both(self, problem: Problem) -> list[str]:
        """The mend at two keys at once; none where nothing was found."""
        for one, two in itertools.combinations(problem.tries, 2):
            for first in self._changes(one, _PAIRED):
                for second in self._changes(two, _PAIRED):
                    if self._holds(problem, first, second):
                        wrong = problem.path
                        return [f"{first.mend(wrong)}, and {second.mend(wrong)}"]
        return []

    def _field(self, path: KeyPath) -> tuple[FieldInfo, Any] | None:
        """What is known of a key and what stands there; None where the scene has no such table."""
        parent: Any = self.scene
        for step in path[:-1]:
            parent = parent[step] if isinstance(step, int) else getattr(parent, step, None)
        key = path[-1]
        if isinstance(key, int) or not isinstance(parent, BaseModel):
            return None
        field = type(parent).model_fields.get(key)
        return field and (field, getattr(parent, key))

    def _changes(self, one: Try, far: tuple[int, ...]) -> Iterator[_Change]:
        """What may stand at a key, the nearest first in each direction."""
        found = self._field(one.path)
        if found is None:
            return
        field, now = found
        if one.towards == "without":
            if now is not None:
                yield _Change(one.path, None, "")
            return
        grid = _grid(field, one.start if now is None else now, self.scene.units)
        if grid is None:
            for value, text in _named(field, one, now, self.scene):
                yield _Change(one.path, value, text)
            return
        for side in _SIDEWAYS[one.towards]:
            for steps in far:
                if (candidate := grid(side * steps)) is None:
                    break
                yield _Change(one.path, *candidate, side * steps)

    def _nearest(self, problem: Problem, one: Try) -> _Change | None:
        """The change at one key that mends what is wrong, as small a one as was found."""
        near = 0
        for change in self._changes(one, _FAR):
            if self._holds(problem, change):
                return self._nearer(problem, one, near, change)
            near = change.steps
        return None

    def _nearer(self, problem: Problem, one: Try, near: int, best: _Change) -> _Change:
        """Halve the way from what does not mend it to what does."""
        near = near if near * best.steps > 0 else 0
        while abs(best.steps - near) > 1:
            middle = (near + best.steps) // 2
            change = next(iter(self._changes(_facing(one, middle), (abs(middle),))), None)
            if change and self._holds(problem, change):
                best = change
            else:
                near = middle
        return best

    def _holds(self, problem: Problem, *changes: _Change) -> bool:
        """Whether changes mend what is wrong and break nothing else."""
        if self.left <= 0:
            return False
        self.left -= 1
        table = copy.deepcopy(self.table)
        expected = self.before - {_fault(problem)}
        for change in changes:
            inside: Any = table
            for step in change.path[:-1]:
                inside = inside[step] if isinstance(step, int) else inside.setdefault(step, {})
            last = change.path[-1]
            if change.value is not None:
                inside[last] = change.value
            elif isinstance(last, int):
                del inside[last]
                expected = {(_moved_up(path, change.path), what) for path, what in expected}
            else:
                inside.pop(last, None)
        problems = self.check(table)
        if problems is None:
            return False
        after = set(map(_fault, problems))
        match self.lenience:
            case Lenience.KEY:
                keys = {path for path, _ in after}
                return problem.path not in keys and keys <= {path for path, _ in expected}
            case Lenience.FAULT:
                return after <= expected
            case Lenience.OTHER:
                again = _fault(problem)[1] in {what for _, what in after}
                return not again and len(after) <= len(self.before)
            case _:
                assert_never(self.lenience)


def _fault(problem: Problem) -> tuple[KeyPath, str]:
    """The key, and what is wrong there, whichever piece and whatever size it is."""
    return problem.path, re.sub(r'".*?"|\d', "", problem.wrong)


def _there(table: Any, path: KeyPath) -> bool:
    """Whether a scene gives what is at a path."""
    for step in path:
        within = len(table) if isinstance(step, int) else step in table
        if not within or (isinstance(step, int) and step >= within):
            return False
        table = table[step]
    return True


def _moved_up(path: KeyPath, gone: KeyPath) -> KeyPath:
    """Where a key stands when an item of a list before it is gone."""
    *above, at = gone
    here = path[len(above)] if path[: len(above)] == tuple(above) and len(path) > len(above) else at
    if isinstance(at, int) and isinstance(here, int) and here > at:
        return (*above, here - 1, *path[len(gone) :])
    return path


def _facing(one: Try, steps: int) -> Try:
    return replace(one, towards="more" if steps > 0 else "less")


# The value so many steps away from what is there: None past the key's limits.
_Grid: TypeAlias = Callable[[int], Candidate | None]


def _grid(field: FieldInfo, now: Any, units: Units) -> _Grid | None:
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


def _named(field: FieldInfo, one: Try, now: Any, scene: Scene) -> Iterator[Candidate]:
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
