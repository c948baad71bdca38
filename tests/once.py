"""What many tests ask of the same building, worked out once for all of them.

Tests look at one building from many sides, and each command lays it out anew. What a scene's
building is, what touches what in it and how it is lifted follows from the scene alone: here the
functions of the program that work it out remember what they found.

work_out_once()
forget() -> all is worked out again from here on
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache

import pikepole_export.derive.lifting.plan as plan_module
import pikepole_model.build as build_module
import pikepole_model.checks.fit as fit_module
import pikepole_model.checks.practice as practice_module
from pikepole_model.building.contact import Contact, find_contacts
from pikepole_model.building.part import Part

KEPT = 64  # buildings at a time: they take some megabytes each


@lru_cache(KEPT)
def _touching(parts: tuple[Part, ...]) -> tuple[Contact, ...]:
    return find_contacts(parts)


def _touching_once(parts: Sequence[Part]) -> tuple[Contact, ...]:
    return _touching(tuple(parts))


_build = lru_cache(KEPT)(build_module.build_with_contacts)
_lift_plan = lru_cache(KEPT)(plan_module.lift_plan)
_practice = lru_cache(KEPT)(practice_module.practice_findings)


@cache
def work_out_once() -> None:
    """Put the functions that remember in the place of those that do not."""
    build_module.build_with_contacts = _build
    build_module.find_contacts = fit_module.find_contacts = _touching_once
    plan_module.lift_plan = _lift_plan
    practice_module.practice_findings = fit_module.practice_findings = _practice


def forget() -> None:
    """Work everything out again: for a second time that is held against the first."""
    for once in (_touching, _build, _lift_plan, _practice):
        once.cache_clear()
