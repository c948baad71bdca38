"""What the lifting rules refuse to compute with.

at_least(place, value, least, mend) -> None, or LiftError
need(true, place, value, wrong, mend)  the same for anything that has to be true
positive(name=size)                    the same for sizes that are more than nothing
"""

from __future__ import annotations

from math import inf, isfinite

from pikepole_model.errors import PikepoleError, Problem


class LiftError(PikepoleError, ValueError):
    """A lift is described by something that no lift can have.

    Attributes:
        problem: Which quantity, its value, what is wrong with it and how to mend it.
    """

    def __init__(self, place: str, value: object, wrong: str, mend: str) -> None:
        self.problem = Problem(place, str(value), wrong, mend)
        super().__init__(str(self.problem))


def at_least(place: str, value: float, least: float, mend: str) -> None:
    """Refuse what is not a number, is infinite, or is less than `least`.

    Raises:
        LiftError: `value` is one of these.
    """
    if not isfinite(value):
        raise LiftError(place, value, "is not a finite number", mend)
    if value < least:
        raise LiftError(place, value, f"is less than {least:g}", mend)


def need(true: bool, place: str, value: object, wrong: str, mend: str) -> None:
    """Refuse what cannot be computed, or must not be done.

    Raises:
        LiftError: it is not true.
    """
    if not true:
        raise LiftError(place, value, wrong, mend)


def positive(**sizes: float) -> None:
    """Refuse sizes, by name, that are not finite and above zero.

    Raises:
        LiftError: one is not; names it.
    """
    for place, value in sizes.items():
        need(0 < value < inf, place, value, "expected more than 0", "give its size")
