"""Which rule is asked first: the one that found something last.

A scene that is looked for a mend is changed a little time and again, and what was wrong with it is
mostly wrong still.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import TypeAlias

from pikepole_model.errors import Problem

# What is wrong by one rule, which holds whatever the others find.
Rule: TypeAlias = Callable[[], Iterable[Problem]]


class Turns:
    """Asks rules of one scene after another; of the first one in the order that they are given."""

    def __init__(self) -> None:
        self._first = ""

    def ask(self, rules: Mapping[str, Rule]) -> Iterator[Problem]:
        """What is wrong by each of the rules, looked for as it is asked for."""
        for name in sorted(rules, key=lambda name: name != self._first):
            for problem in rules[name]():
                self._first = name
                yield problem
