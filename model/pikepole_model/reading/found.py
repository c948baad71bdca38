"""Findings with mends that were tried: the scene is changed, laid out anew and looked at again.

with_tried_mends(found, building) -> the findings, each with a mend that works
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from functools import partial
from typing import Any, TypeAlias

from pikepole_model.build import build, walls_alone
from pikepole_model.building.part import Building
from pikepole_model.checks.fragile import fragile_findings
from pikepole_model.checks.practice import practice_findings
from pikepole_model.errors import Finding, KeyPath, SceneError, Try, key_text
from pikepole_model.reading.candidates import Change, changes_at
from pikepole_model.reading.file import unfit
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.types import Section
from pikepole_model.units import parse_length

# How far from what is there a mend is looked for, in steps of a length; and how many scenes are
# laid out for one finding and for all. The first key that mends is told: each takes long to try.
_FAR = (1, 2, 3, 4, 5, 6, 7, 8, 10, 12, 16, 20, 24)
_MOST_TRIES, _MOST_IN_ALL = 60, 240

# Changes that go together.
_Way: TypeAlias = tuple[Change, ...]


def with_tried_mends(found: Iterable[Finding], building: Building) -> tuple[Finding, ...]:
    """Findings with the mends that were found by trying.

    Args:
        found: What was found in the building.
        building: The building.
    """
    found = tuple(found)
    trial = _Trial({one.key for one in found}, building.fitted.scene)
    return tuple(
        replace(one, mend=trial.mend(one), tries=()) if one.tries else one for one in found
    )


class _Trial:
    """Tries values in one scene, up to a number of times."""

    def __init__(self, before: set[str], scene: Scene) -> None:
        self.before, self.scene = before, scene
        self.left, self.left_in_all = 0, _MOST_IN_ALL

    def mend(self, one: Finding) -> str:
        """The first way that mends a finding; where none was found, what to look at."""
        self.left = min(_MOST_TRIES, self.left_in_all)
        self.left_in_all -= self.left
        wrong = one.tries[0].path
        near = (self._nearest(one, key) for key in one.tries)
        way = next(filter(None, near), None)
        self.left_in_all += self.left
        if not way:
            items = dict.fromkeys(key.path[:2] for key in one.tries if len(key.path) > 2)
            self.left = len(items)
            outs = ((Change(path, None, ""),) for path in items)
            way = next(filter(partial(self._mends, one), outs), None)
        keys = ", ".join(key_text(key.path) for key in one.tries)
        return _told(way, wrong) if way else f"no one value mends it; change several of {keys}"

    def _nearest(self, one: Finding, key: Try) -> _Way | None:
        """The smallest change at a key that mends a finding, on either side."""
        found = sorted(changes_at(self.scene, key, _FAR), key=lambda change: abs(change.steps))
        ways = ((*_instead(self.scene, change), change) for change in found)
        return next((way for way in ways if self._mends(one, way)), None)

    def _mends(self, one: Finding, way: _Way) -> bool:
        """Whether the scene so changed goes together, and has less to find."""
        if self.left <= 0:
            return False
        self.left -= 1
        scene = self.scene
        for change in way:
            scene = _changed(scene, change.path, _value(change))
        if next(iter(unfit(scene)), None):
            return False
        may = self.before - {one.key}
        looks: tuple[Callable[[], Iterable[Finding]], ...] = (
            lambda: fragile_findings(walls_alone(scene)),
            lambda: practice_findings(build(scene).fitted),
        )
        try:
            return all(after.key in may for look in looks for after in look())
        except SceneError:  # of more parts than a building may have
            return False


def _instead(scene: Scene, change: Change) -> Iterator[Change]:
    """What is left out where a change says the same another way: the place in its wall."""
    match change.path:
        case ("opening", int(k), "from_left") if scene.opening[k].at:
            yield Change(("opening", k, "at"), None, "")
        case _:
            pass


def _told(way: _Way, wrong: KeyPath) -> str:
    return ", and ".join(change.mend(wrong) for change in way)


def _value(change: Change) -> object:
    is_length = isinstance(change.value, str) and change.steps  # else it is stock, or a word
    return parse_length(str(change.value)) if is_length else change.value


def _changed(table: Any, path: KeyPath, value: object) -> Any:
    """A scene, a table or a list of it with another value at a key; None leaves an item out."""
    first, *rest = path
    if isinstance(first, int):
        new = (_changed(table[first], tuple(rest), value),) if rest else ()
        return (*table[:first], *new, *table[first + 1 :])
    assert isinstance(table, Section)
    inner = _changed(getattr(table, first), tuple(rest), value) if rest else value
    return table.model_copy(update={first: inner})
