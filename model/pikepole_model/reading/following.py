"""Changes that make others necessary, followed to their end.

followed(trial, problem, changes) -> the changes with those that they make necessary
"""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.errors import Problem
from pikepole_model.reading.candidates import Change
from pikepole_model.reading.told import told_ways
from pikepole_model.reading.trial import Trial, Way, fault_of

# How many keys are changed together at most.
_MOST_TOGETHER = 4


def followed(trial: Trial, problem: Problem, changes: list[Change]) -> list[Change]:
    """Changes with those that they make necessary; none where no end of these was found."""
    new = trial.brought_up(problem, changes)
    while new:
        if len(changes) >= _MOST_TOGETHER or fault_of(problem) in new:
            return []
        changed = {change.path for change in changes}
        for way in _ways_of(trial, next(iter(new.values()))):
            if any(change.path in changed for change in way):
                continue
            after = trial.brought_up(problem, [*changes, *way])
            if after.keys() < new.keys():
                changes, new = [*changes, *way], after
                break
        else:
            return []
    return changes


def _ways_of(trial: Trial, problem: Problem) -> Iterator[Way]:
    """What may mend a problem: as its rule says, or else the keys that it names."""
    yield from (way for one in told_ways(problem) for way in one.ways or ())
    yield from ((change,) for one in problem.tries for change in trial.paired(one))
