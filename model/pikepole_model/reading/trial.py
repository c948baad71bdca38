"""A scene tried with other values: whether changes mend what is wrong with it.

Trial(problems, table, scene, check) -> holds(problem, *changes), nearest(problem, one)
"""

from __future__ import annotations

import copy
import itertools
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from enum import Enum
from typing import Any, TypeAlias, assert_never

from pikepole_model.errors import KeyPath, Problem, Try, key_text
from pikepole_model.reading.candidates import Change, changes_at
from pikepole_model.scene.schema import Scene

# All that is wrong with a table, found as it is asked for; None where it cannot be read at all.
Check: TypeAlias = Callable[[dict[str, Any]], Iterable[Problem] | None]

# Changes that go together.
Way: TypeAlias = tuple[Change, ...]

# The key, and what is wrong there.
Fault: TypeAlias = tuple[KeyPath, str]

# How far from what is there a mend is looked for, in steps; and between two of these for a nearer.
_FAR = (*range(1, 9), 10, 12, 14, 16, 20, 24, 32, 48, 64, 96, 144, 216, 324)

# The same where several keys are changed together.
_PAIRED = (1, 2, 4, 8, 16, 32, 64, 96, 144, 216)


class Lenience(Enum):
    """What a mend has to put right, and may bring up."""

    NONE = "all that is wrong at its key, and nothing new"
    KEY = "all that is wrong at its key, and something new where something was wrong before"
    FAULT = "what it is for, and nothing new"
    OTHER = "what it is for, and in its place something that its rule mends at another key"


class Trial:
    """Tries values in one scene, as often as is `left` to be `spent`."""

    def __init__(
        self, problems: Iterable[Problem], table: dict[str, Any], scene: Scene, check: Check
    ) -> None:
        self.before = set(map(fault_of, problems))
        self.table, self.scene, self._check = table, scene, check
        self.left, self.spent, self.lenience = 0, 0, Lenience.KEY
        # By what was changed: all that is wrong with the scene then, as far as it was asked for.
        self._tried: dict[tuple[tuple[KeyPath, str], ...], Iterator[Problem] | None] = {}

    def gives(self, path: KeyPath) -> bool:
        """Whether the scene file has something at a path."""
        table: Any = self.table
        for step in path:
            within = len(table) if isinstance(step, int) else step in table
            if not within or (isinstance(step, int) and step >= within):
                return False
            table = table[step]
        return True

    def paired(self, one: Try) -> Iterator[Change]:
        """What may stand at a key where others are changed too."""
        return changes_at(self.scene, one, _PAIRED)

    def nearest(self, problem: Problem, one: Try) -> Change | None:
        """The change at one key that mends what is wrong, as small a one as was found."""
        near = {True: 0, False: 0}  # what does not mend it, up and down
        for change in changes_at(self.scene, one, _FAR):
            side = change.steps > 0
            if self.holds(problem, change):
                return self._nearer(problem, one, near[side], change)
            near[side] = change.steps
        return None

    def _nearer(self, problem: Problem, one: Try, near: int, best: Change) -> Change:
        """Halve the way from what does not mend it to what does."""
        while abs(best.steps - near) > 1:
            middle = (near + best.steps) // 2
            change = next(iter(changes_at(self.scene, _facing(one, middle), (abs(middle),))), None)
            if change and self.holds(problem, change):
                best = change
            else:
                near = middle
        return best

    def holds(self, problem: Problem, *changes: Change) -> bool:
        """Whether changes mend what is wrong and break nothing else."""
        expected, problems = self._after(problem, changes)
        # What is found first decides: no more is looked for.
        after = map(fault_of, problems)
        match self.lenience:
            case Lenience.NONE:
                return all(one in expected and one[0] != problem.path for one in after)
            case Lenience.KEY:
                keys = {path for path, _ in expected} - {problem.path}
                return all(path in keys for path, _ in after)
            case Lenience.FAULT:
                return all(fault in expected for fault in after)
            case Lenience.OTHER:
                return self._in_its_place(problem, changes, expected, problems)
            case _:
                assert_never(self.lenience)

    def begins_table(self, *changes: Change) -> bool:
        """Whether tried changes begin a table that needs more keys, which are asked for then."""
        begun = any(not self.gives(change.path[:-1]) for change in changes)
        return begun and self._tried.get(_as_told(changes), ()) is None

    def _in_its_place(
        self,
        problem: Problem,
        changes: Sequence[Change],
        expected: set[Fault],
        problems: Iterable[Problem],
    ) -> bool:
        """Whether what comes up has a mend of its rule's own, at a key that was not changed."""
        changed = {key_text(change.path) for change in changes}
        found: set[Fault] = set()
        for one in problems:
            key, wrong = fault_of(one)
            found.add((key, wrong))
            keys = {one.key, *one.mend.replace(",", "").split()}
            is_lasting = (key, wrong) not in expected and (not one.mend or changed & keys)
            if is_lasting or wrong == fault_of(problem)[1] or len(found) > len(self.before):
                return False
        return True

    def brought_up(self, problem: Problem, changes: Sequence[Change]) -> dict[Fault, Problem]:
        """What is wrong with the scene so changed that was not, or is meant to be mended."""
        expected, problems = self._after(problem, changes)
        found = {fault_of(one): one for one in problems}
        return {fault: one for fault, one in found.items() if fault not in expected}

    def _after(
        self, problem: Problem, changes: Sequence[Change]
    ) -> tuple[set[Fault], Iterable[Problem]]:
        """What may be wrong with the scene so changed, and what is.

        Where no more may be tried or it cannot be read, the problem is still there.
        """
        expected = self.before - {fault_of(problem)}
        for change in changes:
            if change.takes_item_out:
                expected = {(_moved_up(path, change.path), what) for path, what in expected}
        tried = _as_told(changes)
        if tried not in self._tried:
            if self.left <= 0:
                return expected, [problem]
            self.left -= 1
            self.spent += 1
            self._tried[tried] = self._checked(changes)
        if (problems := self._tried[tried]) is None:
            return expected, [problem]
        problems, self._tried[tried] = itertools.tee(problems)
        return expected, problems

    def _checked(self, changes: Sequence[Change]) -> Iterator[Problem] | None:
        """What is wrong with the scene so changed; None where it cannot be read."""
        table = self.table
        try:
            for change in changes:
                table = _changed(table, change.path, change)
        except (AttributeError, LookupError, TypeError):
            return None  # a mend that names what is not there
        problems = self._check(table)
        return None if problems is None else _as_far_as_asked(problems)


def fault_of(problem: Problem) -> Fault:
    """The key, and what is wrong there, whichever piece and whatever size it is."""
    return problem.path, re.sub(r'".*?"|\d', "", problem.wrong)


def _as_told(changes: Iterable[Change]) -> tuple[tuple[KeyPath, str], ...]:
    return tuple((change.path, change.text) for change in changes)


def _changed(table: Any, path: Sequence[str | int], change: Change) -> Any:
    """A scene's table, or one in it, with a change made; what is not on its path is shared."""
    first, *rest = path
    new = copy.copy(table)
    if rest:
        inner = table[first] if isinstance(first, int) else table.get(first, {})
        new[first] = _changed(inner, rest, change)
    elif isinstance(change.value, dict):
        new[first] = [*new.get(first, ()), change.value]
    elif change.value is not None:
        new[first] = change.value
    elif change.takes_item_out:
        del new[first]
    else:
        new.pop(first, None)
    return new


def _as_far_as_asked(problems: Iterable[Problem]) -> Iterator[Problem]:
    """Problems; where a rule cannot look at what is tried, that is one."""
    try:
        yield from problems
    except Exception as error:  # whatever it is: other values are tried
        yield Problem("", "", f"cannot be looked at: {type(error).__name__}", "")


def _moved_up(path: KeyPath, gone: KeyPath) -> KeyPath:
    """Where a key stands when an item of a list before it is gone."""
    *above, at = gone
    here = path[len(above)] if path[: len(above)] == tuple(above) and len(path) > len(above) else at
    if isinstance(at, int) and isinstance(here, int) and here > at:
        return (*above, here - 1, *path[len(gone) :])
    return path


def _facing(one: Try, steps: int) -> Try:
    return replace(one, towards="more" if steps > 0 else "less")
