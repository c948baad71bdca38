"""What the lifting rules refuse to compute with.

at_least(place, value, least, mend) -> None, or LiftError
require(true, place, value, wrong, mend)  the same for anything that has to be true
below_90(place, angle_deg)             the same for angles from level
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

    Args:
        place: What the value is: "mass_kg".
        value: In its own unit.
        least: The least that it may be.
        mend: What to do about it: "give a mass in kg".

    Raises:
        LiftError: `value` is one of these.
    """
    if not isfinite(value):
        raise LiftError(place, value, "is not a finite number", mend)
    if value < least:
        raise LiftError(place, value, f"is less than {least:g}", mend)


def require(true: bool, place: str, value: object, wrong: str, mend: str) -> None:
    """Refuse what cannot be computed, or must not be done.

    Args:
        true: What has to hold.
        place: What the value is: "angle_deg".
        value: As it was given.
        wrong: What is wrong with it: "expected 0 to less than 90".
        mend: What to do about it.

    Raises:
        LiftError: it is not true.
    """
    if not true:
        raise LiftError(place, value, wrong, mend)


def below_90(place: str, angle_deg: float, *, signed: bool = False) -> None:
    """Refuse an angle from level that is upright or beyond it, or no number.

    Args:
        place: What the angle is: "slope_deg".
        angle_deg: From level.
        signed: Whether it may go down as far as up.

    Raises:
        LiftError: it is not from 0, or where it is signed from over -90, to less than 90.
    """
    is_allowed = abs(angle_deg) < 90 and (signed or angle_deg >= 0)
    allowed = "more than -90, less than 90" if signed else "0 to less than 90"
    require(is_allowed, place, angle_deg, f"expected {allowed}", "give the angle from level")


def positive(**sizes: float) -> None:
    """Refuse sizes, by name, that are not finite and above zero.

    Raises:
        LiftError: one is not; names it.
    """
    for place, value in sizes.items():
        require(0 < value < inf, place, value, "expected more than 0", "give its size")
