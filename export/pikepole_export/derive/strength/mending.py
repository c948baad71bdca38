"""The least change that brings each member back within its rules, tried through the model.

mended(text, step) -> Mended        a scene's text with the changes in it

The hardest worked goes first. Of each key that may help the smallest value that does is looked
for; of these the change that adds the least weight is kept. A change that puts anything else over
its rule, or that the scene's own rules refuse, is none.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from dataclasses import dataclass

from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.strength.check import Check, Rating, Rule
from pikepole_export.derive.strength.mend_ways import Change, ways_for
from pikepole_export.derive.strength.plan import Strength, strength_of
from pikepole_model.build import build
from pikepole_model.building.part import Building
from pikepole_model.errors import SceneError
from pikepole_model.reading.edits import with_value
from pikepole_model.reading.file import check_scene


@dataclass(frozen=True, slots=True)
class Mend:
    """A change, and what it was made for.

    Attributes:
        check: As it was over its rule.
        change: What mends it.
        more_kg: What the building weighs more, likely; below zero where it weighs less.
    """

    check: Check
    change: Change
    more_kg: float


@dataclass(frozen=True, slots=True)
class Mended:
    """What came of it.

    Attributes:
        text: The scene with every change.
        mends: What was changed, in order.
        left: What no one change mends.
    """

    text: str
    mends: tuple[Mend, ...]
    left: tuple[Check, ...]

    @property
    def to_buy(self) -> dict[Rating, list[Check]]:
        """What of the rest steel mends that is bought for it, by the rating that does for all."""
        keys = dict.fromkeys(check.rating.key for check in self.left if check.rating)
        found: dict[Rating, list[Check]] = {}
        for key in keys:
            checks = [one for one in self.left if one.rating and one.rating.key == key]
            most_n = max(one.rating.least_n for one in checks if one.rating)
            found[Rating(key, most_n)] = checks
        return found

    @property
    def unmended(self) -> tuple[Check, ...]:
        """What nothing mends that a scene says in one place."""
        return tuple(one for one in self.left if one.rating is None)


@dataclass(frozen=True)
class _Tried:
    """A scene as it stands."""

    text: str
    building: Building
    strength: Strength

    @property
    def over(self) -> dict[tuple[str, Rule], Check]:
        """What is over its rule, the worst first."""
        return {(one.sort, one.rule): one for one in self.strength.checks if one.is_over}

    @property
    def mass_kg(self) -> float:
        """What it weighs, likely."""
        return sum(part_mass(part).likely_kg for part in self.building.finished.parts)


def mended(text: str, step: Callable[[str], None] = lambda _: None) -> Mended:
    """The scene of a text, with all that can be mended by one change each.

    Args:
        text: TOML of a scene that is fit for use.
        step: Told what is being tried.
    """
    now = _tried(text)
    assert now, "the scene is not fit for use"
    mends: list[Mend] = []
    left: dict[tuple[str, Rule], Check] = {}
    while waiting := [key for key in now.over if key not in left]:
        key = waiting[0]
        check = now.over[key]
        step(f"Mending {check.member}")
        found = [one for way in ways_for(now.building, check) if (one := _first(now, way, key))]
        if not found:
            left[key] = check
            continue
        before_kg = now.mass_kg
        change, now = min(found, key=lambda one: one[1].mass_kg)
        mends.append(Mend(check, change, now.mass_kg - before_kg))
    return Mended(now.text, tuple(mends), tuple(left[key] for key in now.over))


def _first(now: _Tried, way: list[Change], key: tuple[str, Rule]) -> tuple[Change, _Tried] | None:
    """The first change of a row that mends something, and the scene with it."""
    for change in way:
        tried = _tried(with_value(now.text, change.path, change.value))
        if tried and key not in tried.over and tried.over.keys() <= now.over.keys():
            return change, tried
    return None


def _tried(text: str) -> _Tried | None:
    """The building of a text; None where its scene is refused."""
    try:
        scene, problems = check_scene(tomllib.loads(text))
        if scene is None or problems:
            return None
        building = build(scene)
    except (tomllib.TOMLDecodeError, SceneError):
        return None
    return _Tried(text, building, strength_of(building))
