"""How often a property is tried: a few times in the plain run, many times in the long one.

draws(few) -> settings of a property test
"""

from __future__ import annotations

from hypothesis import HealthCheck, settings

LONG = "long"  # the profile of hypothesis, and the marker of pytest
TIMES_AS_MANY = 25


def draws(few: int) -> settings:
    """So many draws, the same at every run; `-m long` makes 25 times as many, new at every run."""
    many = TIMES_AS_MANY if settings.get_current_profile_name() == LONG else 1
    return settings(max_examples=few * many)


def register() -> None:
    """What all draws have in common."""
    # Whole buildings are large and slow to draw, and many do not fit.
    slow = HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large
    plain = settings(
        deadline=None, derandomize=True, print_blob=True, suppress_health_check=slow, database=None
    )
    settings.register_profile("plain", plain)
    settings.register_profile(LONG, plain, derandomize=False, max_examples=2_500)
