"""What mends a scene where no small change does: from what costs least on.

last_resort(trial, problem) -> the mend, or where to look
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from pikepole_model.errors import KeyPath, Problem, change_several, either, in_turn, leave_out
from pikepole_model.reading.candidates import Change, main_sizes
from pikepole_model.reading.fewest import fewest, things_of
from pikepole_model.reading.trial import Lenience, Trial, Way, fault_of

# Tries for each way of one problem; and for a report with what was tried before, a hundredth of a
# second each for a plain store, three for a large one: a minute at most.
_MOST_TRIES, _MOST_IN_ALL = 150, 2_000

# How many keys are changed together at most.
_MOST_TOGETHER = 4

# Whole feet, or 300 mm, that the building may be larger or smaller by.
_WHOLE = (1, 2, 3, 4, 6, 8)


def last_resort(trial: Trial, problem: Problem) -> str:
    """The mend that takes out an opening or another item, changes more, or brings up something.

    With each of them faults grow fewer, or the keys that have any, and none comes up anew: mends
    that are followed go round in no circle. Only where nothing else helps one fault comes in
    another's place, which its own rule has a mend for at another key. Where not even that helps, it
    says where to look.
    """
    keys = [problem.path, *(one.path for one in problem.tries)]
    inside = in_turn(keys)
    items = [path for path in inside if isinstance(path[-1], int)]
    keys_of_items = [path for path in inside if path not in items and path[:2] in items]
    ways: tuple[tuple[Lenience, Callable[[], str]], ...] = (
        (Lenience.FAULT, lambda: _first(trial, problem)),
        (Lenience.FAULT, lambda: _without(trial, problem, keys_of_items)),
        # What changes much, or costs an item: the person chooses.
        (
            Lenience.FAULT,
            lambda: either(_together(trial, problem), _without(trial, problem, items)),
        ),
        (Lenience.FAULT, lambda: _first_whole_size(trial, problem)),
        (Lenience.FAULT, lambda: _fewest_out(trial, problem, keys)),
        (Lenience.KEY, lambda: _without(trial, problem, inside)),
        (Lenience.OTHER, lambda: _without(trial, problem, items)),
        (Lenience.OTHER, lambda: _first(trial, problem)),
    )
    for lenience, way in ways:
        trial.left, trial.lenience = min(_MOST_TRIES, _MOST_IN_ALL - trial.spent), lenience
        if mend := way():
            return mend
    return change_several(keys)


def _first(trial: Trial, problem: Problem) -> str:
    """The first change of one value that will do."""
    found = filter(None, (trial.nearest(problem, one) for one in problem.tries))
    return next((change.mend(problem.path) for change in found), "")


def _together(trial: Trial, problem: Problem) -> str:
    """The mend at several keys, each of which puts right what those before it bring up."""
    for one in problem.tries:
        for change in trial.paired(one):
            if changes := _followed(trial, problem, [change]):
                return ", and ".join(each.mend(problem.path) for each in changes)
    return ""


def _followed(trial: Trial, problem: Problem, changes: list[Change]) -> list[Change]:
    """Changes with those that they make necessary; none where no end of these was found."""
    new = trial.brought_up(problem, changes)
    while new:
        if len(changes) == _MOST_TOGETHER or fault_of(problem) in new:
            return []
        changed = {change.path for change in changes}
        tries = [one for one in next(iter(new.values())).tries if one.path not in changed]
        for change in (change for one in tries for change in trial.paired(one)):
            after = trial.brought_up(problem, [*changes, change])
            if after.keys() < new.keys():
                changes, new = [*changes, change], after
                break
        else:
            return []
    return changes


def _without(trial: Trial, problem: Problem, paths: Iterable[KeyPath]) -> str:
    """The mend that leaves out the first of these that will do."""
    for path in paths:
        if trial.gives(path) and trial.holds(problem, Change(path, None, "")):
            return leave_out(path)
    return ""


def _first_whole_size(trial: Trial, problem: Problem) -> str:
    """The first other size of the whole building that will do."""
    found = (one for one in main_sizes(trial.scene, _WHOLE) if trial.holds(problem, one))
    return next((change.mend(problem.path) for change in found), "")


def _fewest_out(trial: Trial, problem: Problem, near: list[KeyPath]) -> str:
    """The mend that leaves out the fewest things, beside another size where it takes that."""
    things = things_of(trial.scene, near, keys=True)
    given = [path for path in things if trial.gives(path)]
    for first in ((), *((one,) for one in main_sizes(trial.scene, _WHOLE))):

        def holds(paths: Sequence[KeyPath], first: Way = first) -> bool:
            return trial.holds(problem, *first, *(Change(path, None, "") for path in paths))

        if out := fewest(given, holds):
            told = (one.mend(problem.path) for one in first)
            return ", and ".join((*told, *map(leave_out, out)))
    return ""
