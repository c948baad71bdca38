"""Mends that only trying can find: each is written into the scene and checked before it is offered.

with_mends(problems, table, scene, check) -> the problems, each with a mend that works
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from pikepole_model.errors import Problem, either, key_text, one_of
from pikepole_model.reading.last_resorts import last_resort
from pikepole_model.reading.told import told_ways
from pikepole_model.reading.trial import Check, Fault, Lenience, Trial, Way, fault_of
from pikepole_model.scene.schema import Scene

# Ways out that are offered; and tries for one problem and for one report, so that a hopeless scene
# is answered soon.
_MOST_WAYS = 2
_MOST_TRIES, _MOST_IN_ALL = 150, 600

# Tries for one mend that a rule has worked out, and past it where it names a limit.
_MOST_OF_ONE = 20


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
    trial = Trial(problems, table, scene, check)
    told, problems = problems, [_proven(trial, problem) for problem in problems]
    search = _Search(trial)
    for problem in problems:
        search.look(problem)
    # Two keys at once are asked for only where no one key mends anything.
    if not any(problem.mend for problem in problems) and not search.has_found:
        for problem in problems:
            search.look_at_pairs(problem)
    tried = [search.mended(problem) if problem.tries else problem for problem in problems]
    if any(problem.mend for problem in tried):
        mend = "put the others right first, then check again"
        return [replace(problem, mend=problem.mend or mend) for problem in tried]
    return [
        replace(after, mend=last_resort(trial, before))
        for before, after in zip(told, tried, strict=True)
    ]


def _proven(trial: Trial, problem: Problem) -> Problem:
    """A problem with those of its rule's own mends that mend it; none where none does."""
    mends: list[str] = []
    for told in told_ways(problem):
        trial.left = min(_MOST_OF_ONE, _MOST_IN_ALL - trial.spent)
        if trial.left <= 0:
            mends.append(told.text)
            continue
        good = [way for way in told.ways or () if _does(trial, problem, way)]
        if told.ways is None or len(good) == len(told.ways):
            mends.append(told.text)
        elif good:
            mends += _texts(problem, good)
        elif told.further and (change := trial.nearest(problem, told.further)):
            side = "most" if told.further.towards == "less" else "least"
            mends.append(replace(change, text=f"at {side} {change.text}").mend(problem.path))
    return replace(problem, mend=either(*mends))


def _does(trial: Trial, problem: Problem, way: Way) -> bool:
    """Whether a way mends a problem, and with it faults grow fewer or the keys that have any.

    A table that it begins is taken for good: what else belongs there is asked for next.
    """

    def holds(lenience: Lenience) -> bool:
        trial.lenience = lenience
        return trial.holds(problem, *way)

    return holds(Lenience.KEY) or holds(Lenience.FAULT) or trial.begins_table(*way)


def _texts(problem: Problem, ways: Sequence[Way]) -> list[str]:
    """The mends of some ways, as one where they are values of one key."""
    first, *_ = ways[0]
    if all(len(way) == 1 and way[0].path == first.path for way in ways):
        values = one_of(way[0].text for way in ways)
        return [replace(first, text=values).mend(problem.path)]
    return [_text(problem, way) for way in ways]


def _text(problem: Problem, way: Way) -> str:
    return ", and ".join(change.mend(problem.path) for change in way)


class _Search:
    """Looks for mends at one key or two, up to a number of tries."""

    def __init__(self, trial: Trial) -> None:
        self.trial = trial
        # What is told twice is mended once.
        self.found: dict[Fault, tuple[Problem, list[Way]]] = {}

    def look(self, problem: Problem) -> None:
        """Find what mends a problem, naming no key in vain; it may be nothing."""
        ways: list[Way] = []
        if not problem.tries or fault_of(problem) in self.found:
            return
        # What comes up new may hide what a change should mend.
        for lenience in (Lenience.NONE, Lenience.KEY):
            ways = ways or self._ways(problem, lenience)
        self.found[fault_of(problem)] = (problem, ways)

    @property
    def has_found(self) -> bool:
        """Whether anything is mended."""
        return any(ways for _, ways in self.found.values())

    def look_at_pairs(self, problem: Problem) -> None:
        """Find two keys that mend a problem together, with as many tries again."""
        self.trial.lenience = Lenience.KEY
        self.trial.left = min(_MOST_TRIES, _MOST_IN_ALL - self.trial.spent)
        self.found[fault_of(problem)] = (problem, self._both(problem))

    def mended(self, problem: Problem) -> Problem:
        """The problem with the mend that was found; none where none was."""
        _, ways = self.found[fault_of(problem)]
        texts = (_text(problem, self._agreed(problem, way)) for way in ways)
        return replace(problem, mend=either(problem.mend, *texts), tries=())

    def _agreed(self, problem: Problem, way: Way) -> Way:
        """A way; or that of another problem with other values at the same keys, if it mends both.

        Else a report would ask for two values of one key.
        """
        self.trial.lenience = Lenience.KEY
        keys = [change.path for change in way]
        for another, ways in self.found.values():
            for other in ways:
                if other == way or [change.path for change in other] != keys:
                    continue
                if self.trial.holds(problem, *other) and not self.trial.holds(another, *way):
                    return other
        return way

    def _ways(self, problem: Problem, lenience: Lenience) -> list[Way]:
        """The mends at one key each, as many as are offered."""
        self.trial.lenience = lenience
        self.trial.left = min(_MOST_TRIES, _MOST_IN_ALL - self.trial.spent)
        ways: list[Way] = []
        for one in problem.tries:
            # What the rule itself has worked out is not told twice.
            told = key_text(one.path) in problem.mend.split()
            if not told and len(ways) < _MOST_WAYS and (change := self.trial.nearest(problem, one)):
                ways.append((change,))
        return ways

    def _both(self, problem: Problem) -> list[Way]:
        """The mend at two keys at once; none where nothing was found."""
        for one, two in itertools.combinations(problem.tries, 2):
            for first in self.trial.paired(one):
                for second in self.trial.paired(two):
                    if self.trial.holds(problem, first, second):
                        return [(first, second)]
        return []
