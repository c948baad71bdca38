"""What cannot be cut as asked: every problem of a plan's input at once."""

from __future__ import annotations

from collections.abc import Sequence

from pikepole_model.errors import PikepoleError, Problem


class CutPlanError(PikepoleError, ValueError):
    """Pieces cannot be cut as asked. Carries every problem found, not only the first."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(map(str, problems)))


class Faults:
    """Problems found so far."""

    def __init__(self) -> None:
        self._found: list[Problem] = []

    def unless(self, right: bool, key: str, value: object, wrong: str, mend: str) -> None:
        """Takes down what is not right.

        Args:
            right: Whether it is as it should be.
            key: Where it is.
            value: What stands there.
            wrong: What is wrong, in one clause.
            mend: How to put it right, in one clause.
        """
        if not right:
            self._found.append(Problem(key, str(value), wrong, mend))

    def each_once(self, what: str, names: Sequence[str]) -> None:
        """Takes down names that stand for more than one."""
        for name in dict.fromkeys(n for n in names if names.count(n) > 1):
            mend = f"give every {what} a name of its own"
            self.unless(False, what, name, f"the name stands for {names.count(name)}", mend)

    def refuse(self) -> None:
        """Ends the plan where there are any.

        Raises:
            CutPlanError: Names them all.
        """
        if self._found:
            raise CutPlanError(self._found)
