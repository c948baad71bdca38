"""What mends a scene where no small change does: from what costs least on.

last_resort(trial, problem) -> the mend, or where to look
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Sequence

from pikepole_model.errors import KeyPath, Problem, change_several, either, in_turn, leave_out
from pikepole_model.reading.candidates import Change, main_sizes, plain_sizes
from pikepole_model.reading.fewest import fewest, things_of
from pikepole_model.reading.following import followed
from pikepole_model.reading.told import told_ways
from pikepole_model.reading.trial import Lenience, Trial, Way

# Tries for each way of one problem; and for a report with what was tried before, a hundredth of a
# second each for a plain store, three for a large one: a minute at most.
_MOST_TRIES, _MOST_IN_ALL = 150, 2_000

# And for the fewest things to leave out, which begins with other sizes of the whole building.
_MOST_FOR_FEWEST = 400

# Whole feet, or 300 mm, that the building may be larger or smaller by; where other things go, too.
_WHOLE = (1, 2, 3, 4, 6, 8)
_FARTHER = (*_WHOLE, 12, 16, 24, 32)


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
    return problem.mend or change_several(keys)


def _first(trial: Trial, problem: Problem) -> str:
    """The first change of one value that will do."""
    found = filter(None, (trial.nearest(problem, one) for one in problem.tries))
    return next((change.mend(problem.path) for change in found), "")


def _together(trial: Trial, problem: Problem) -> str:
    """The mend at several keys, each of which puts right what those before it bring up."""
    told = (way for one in told_ways(problem) for way in one.ways or ())
    tried = ((change,) for one in problem.tries for change in trial.paired(one))
    found = (followed(trial, problem, [*way]) for way in itertools.chain(told, tried))
    changes = next(filter(None, found), [])
    return ", and ".join(each.mend(problem.path) for each in changes)


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
    """The mend that leaves out the fewest things, beside another size where it takes that.

    At the very end stands a plain store, with which nothing is wrong.
    """
    trial.left = min(_MOST_FOR_FEWEST, _MOST_IN_ALL - trial.spent)
    things = things_of(trial.scene, near, keys=True)
    given = [path for path in things if trial.gives(path)]
    sizes = ((one,) for one in main_sizes(trial.scene, _FARTHER))
    for first in ((), *sizes, tuple(plain_sizes(trial.scene))):

        def holds(paths: Sequence[KeyPath], first: Way = first) -> bool:
            return trial.holds(problem, *first, *(Change(path, None, "") for path in paths))

        alone = bool(first) and holds(())
        if (out := () if alone else fewest(given, holds)) or alone:
            told = (one.mend(problem.path) for one in first)
            return ", and ".join((*told, *map(leave_out, out)))
    return ""
