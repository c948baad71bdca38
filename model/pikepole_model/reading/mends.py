"""Mends that only trying can find: each is written into the scene and checked before it is offered.

with_mends(problems, table, scene, check) -> the problems, each with a mend that works
"""

from __future__ import annotations

import copy
import itertools
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from enum import Enum
from typing import Any, TypeAlias, assert_never

from pikepole_model.errors import KeyPath, Problem, Try, either, key_text, leave_out
from pikepole_model.reading.candidates import Change, changes_at, main_sizes
from pikepole_model.reading.fewest import fewest, things_of
from pikepole_model.scene.schema import Scene

# All that is wrong with a table, found as it is asked for; None where it cannot be read at all.
Check: TypeAlias = Callable[[dict[str, Any]], Iterable[Problem] | None]

# The key, and what is wrong there.
_Fault: TypeAlias = tuple[KeyPath, str]

# Changes that go together.
_Way: TypeAlias = tuple[Change, ...]

# How far from what is there a mend is looked for, in steps; and between two of these for a nearer.
_FAR = (*range(1, 9), 10, 12, 14, 16, 20, 24, 32, 48, 64, 96, 144, 216, 324)

# Ways out that are offered; and tries for one problem and for one report, so that a hopeless scene
# is answered soon.
_MOST_WAYS = 2
_MOST_TRIES, _MOST_IN_ALL = 150, 600

# The same where several keys are changed together, and how many keys are at most.
_PAIRED = (1, 2, 4, 8, 16, 32, 64, 96, 144, 216)
_MOST_TOGETHER = 4

# Whole feet, or 300 mm, that the building may be larger or smaller by.
_WHOLE = (1, 2, 3, 4, 6, 8)


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
    for problem in problems:
        trial.look(problem)
    tried = [trial.mended(problem) if problem.tries else problem for problem in problems]
    if any(problem.mend for problem in tried):
        mend = "put the others right first, then check again"
        return [replace(problem, mend=problem.mend or mend) for problem in tried]
    return [
        replace(after, mend=trial.last_resort(before))
        for before, after in zip(problems, tried, strict=True)
    ]


class Lenience(Enum):
    """What a mend has to put right, and may bring up."""

    NONE = "all that is wrong at its key, and nothing new"
    KEY = "all that is wrong at its key, and something new where something was wrong before"
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
        # By what was changed: all that is wrong with the scene then, as far as it was asked for.
        self.tried: dict[tuple[tuple[KeyPath, str], ...], Iterator[Problem] | None] = {}
        # What is told twice is mended once.
        self.found: dict[_Fault, tuple[Problem, list[_Way]]] = {}

    def look(self, problem: Problem) -> None:
        """Find what mends a problem, naming no key in vain; it may be nothing."""
        ways: list[_Way] = []
        if not problem.tries or _fault(problem) in self.found:
            return
        # What comes up new may hide what a change should mend.
        for lenience in (Lenience.NONE, Lenience.KEY):
            ways = ways or self._ways(problem, lenience)
        if not ways and not problem.mend:
            ways = self._both(problem)
        self.found[_fault(problem)] = (problem, ways)

    def mended(self, problem: Problem) -> Problem:
        """The problem with the mend that was found; none where none was."""
        _, ways = self.found[_fault(problem)]
        texts = (
            ", and ".join(change.mend(problem.path) for change in self._agreed(problem, way))
            for way in ways
        )
        return replace(problem, mend=either(problem.mend, *texts), tries=())

    def _agreed(self, problem: Problem, way: _Way) -> _Way:
        """A way; or that of another problem with other values at the same keys, if it mends both.

        Else a report would ask for two values of one key.
        """
        self.lenience = Lenience.KEY
        keys = [change.path for change in way]
        for another, ways in self.found.values():
            for other in ways:
                at_these = other != way and [change.path for change in other] == keys
                if at_these and self._holds(problem, *other) and not self._holds(another, *way):
                    return other
        return way

    def _ways(self, problem: Problem, lenience: Lenience) -> list[_Way]:
        """The mends at one key each, as many as are offered."""
        self.lenience = lenience
        self.left = min(_MOST_TRIES, self.left_in_all)
        ways: list[_Way] = []
        for one in problem.tries:
            # What the rule itself has worked out is not told twice.
            told = key_text(one.path) in problem.mend.split()
            if not told and len(ways) < _MOST_WAYS and (change := self._nearest(problem, one)):
                ways.append((change,))
        return ways

    def last_resort(self, problem: Problem) -> str:
        """The mend that takes out an opening or another item, changes more, or brings up something.

        With each of them items of lists, or keys at which something is wrong, or faults, grow fewer
        and nothing before these grows: no mends that are followed go round in a circle. Where not
        even that helps, it says where to look.
        """
        keys = [problem.path, *(one.path for one in problem.tries)]
        inside = dict.fromkeys(key[:end] for key in keys for end in range(len(key), 0, -1))
        items = [path for path in inside if isinstance(path[-1], int)]
        keys_of_items = [path for path in inside if path not in items and path[:2] in items]
        ways: tuple[tuple[Lenience, Callable[[], str]], ...] = (
            (Lenience.FAULT, lambda: self._first(problem)),
            (Lenience.FAULT, lambda: self._without(problem, keys_of_items)),
            # What changes much, or costs an item: the person chooses.
            (
                Lenience.FAULT,
                lambda: either(self._together(problem), self._without(problem, items)),
            ),
            (Lenience.FAULT, lambda: self._first_whole_size(problem)),
            (Lenience.FAULT, lambda: self._fewest_out(problem, keys)),
            (Lenience.KEY, lambda: self._without(problem, inside)),
            # Without an item less is left to be wrong, whatever comes up.
            (Lenience.OTHER, lambda: self._without(problem, items)),
        )
        for lenience, way in ways:
            self.left, self.lenience = _MOST_TRIES, lenience
            if mend := way():
                return mend
        among = ", ".join(dict.fromkeys(map(key_text, keys)))
        return f"no one value mends it; change several of {among}"

    def _first(self, problem: Problem) -> str:
        """The first change of one value that will do."""
        found = filter(None, (self._nearest(problem, one) for one in problem.tries))
        return next((change.mend(problem.path) for change in found), "")

    def _first_whole_size(self, problem: Problem) -> str:
        """The first other size of the whole building that will do."""
        found = (one for one in main_sizes(self.scene, _WHOLE) if self._holds(problem, one))
        return next((change.mend(problem.path) for change in found), "")

    def _fewest_out(self, problem: Problem, near: list[KeyPath]) -> str:
        """The mend that leaves out the fewest things, beside another size where it takes that."""
        things = things_of(self.scene, near, keys=True)
        given = [path for path in things if _there(self.table, path)]
        for first in ((), *((one,) for one in main_sizes(self.scene, _WHOLE))):

            def holds(paths: Sequence[KeyPath], first: _Way = first) -> bool:
                return self._holds(problem, *first, *(Change(path, None, "") for path in paths))

            if out := fewest(given, holds):
                told = (one.mend(problem.path) for one in first)
                return ", and ".join((*told, *map(leave_out, out)))
        return ""

    def _without(self, problem: Problem, paths: Iterable[KeyPath]) -> str:
        """The mend that leaves out the first of these that will do."""
        for path in paths:
            if _there(self.table, path) and self._holds(problem, Change(path, None, "")):
                return leave_out(path)
        return ""

    def _both(self, problem: Problem) -> list[_Way]:
        """The mend at two keys at once; none where nothing was found."""
        for one, two in itertools.combinations(problem.tries, 2):
            for first in self._changes(one, _PAIRED):
                for second in self._changes(two, _PAIRED):
                    if self._holds(problem, first, second):
                        return [(first, second)]
        return []

    def _together(self, problem: Problem) -> str:
        """The mend at several keys, each of which puts right what those before it bring up."""
        for one in problem.tries:
            for change in self._changes(one, _PAIRED):
                if changes := self._followed(problem, [change]):
                    return ", and ".join(each.mend(problem.path) for each in changes)
        return ""

    def _followed(self, problem: Problem, changes: list[Change]) -> list[Change]:
        """Changes with those that they make necessary; none where no end of these was found."""
        new = self._brought_up(problem, changes)
        while new:
            if len(changes) == _MOST_TOGETHER or _fault(problem) in new:
                return []
            changed = {change.path for change in changes}
            tries = [one for one in next(iter(new.values())).tries if one.path not in changed]
            for change in (change for one in tries for change in self._changes(one, _PAIRED)):
                after = self._brought_up(problem, [*changes, change])
                if after.keys() < new.keys():
                    changes, new = [*changes, change], after
                    break
            else:
                return []
        return changes

    def _brought_up(self, problem: Problem, changes: Sequence[Change]) -> dict[_Fault, Problem]:
        """What is wrong with the scene so changed that was not, or is meant to be mended."""
        expected, problems = self._after(problem, changes)
        found = {_fault(one): one for one in problems}
        return {fault: one for fault, one in found.items() if fault not in expected}

    def _changes(self, one: Try, far: tuple[int, ...]) -> Iterator[Change]:
        return changes_at(self.scene, one, far)

    def _nearest(self, problem: Problem, one: Try) -> Change | None:
        """The change at one key that mends what is wrong, as small a one as was found."""
        near = 0
        for change in self._changes(one, _FAR):
            if self._holds(problem, change):
                return self._nearer(problem, one, near, change)
            near = change.steps
        return None

    def _nearer(self, problem: Problem, one: Try, near: int, best: Change) -> Change:
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

    def _holds(self, problem: Problem, *changes: Change) -> bool:
        """Whether changes mend what is wrong and break nothing else."""
        expected, problems = self._after(problem, changes)
        # What is found first decides: no more is looked for.
        after = map(_fault, problems)
        match self.lenience:
            case Lenience.NONE:
                return all(one in expected and one[0] != problem.path for one in after)
            case Lenience.KEY:
                keys = {path for path, _ in expected} - {problem.path}
                return all(path in keys for path, _ in after)
            case Lenience.FAULT:
                return all(fault in expected for fault in after)
            case Lenience.OTHER:
                found: set[_Fault] = set()
                for path, what in after:
                    found.add((path, what))
                    if what == _fault(problem)[1] or len(found) > len(self.before):
                        return False
                return True
            case _:
                assert_never(self.lenience)

    def _after(
        self, problem: Problem, changes: Sequence[Change]
    ) -> tuple[set[_Fault], Iterable[Problem]]:
        """What may be wrong with the scene so changed, and what is.

        Where no more may be tried or it cannot be read, the problem is still there.
        """
        expected = self.before - {_fault(problem)}
        for change in changes:
            if change.takes_item_out:
                expected = {(_moved_up(path, change.path), what) for path, what in expected}
        tried = tuple((change.path, change.text) for change in changes)
        if tried not in self.tried:
            if self.left <= 0:
                return expected, [problem]
            self.left -= 1
            self.left_in_all -= 1
            self.tried[tried] = self._checked(changes)
        if (problems := self.tried[tried]) is None:
            return expected, [problem]
        problems, self.tried[tried] = itertools.tee(problems)
        return expected, problems

    def _checked(self, changes: Sequence[Change]) -> Iterator[Problem] | None:
        """What is wrong with the scene so changed; None where it cannot be read."""
        table = copy.deepcopy(self.table)
        for change in changes:
            inside: Any = table
            for step in change.path[:-1]:
                inside = inside[step] if isinstance(step, int) else inside.setdefault(step, {})
            last = change.path[-1]
            if change.value is not None:
                inside[last] = change.value
            elif change.takes_item_out:
                del inside[last]
            else:
                inside.pop(last, None)
        problems = self.check(table)
        return None if problems is None else iter(problems)


def _fault(problem: Problem) -> _Fault:
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
