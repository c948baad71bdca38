"""Findings with mends that were tried: the scene is changed, laid out anew and looked at again.

with_tried_mends(found, building) -> the findings, each with a mend that works
"""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Any, TypeAlias

from pikepole_model.build import build_with_contacts, walls_alone
from pikepole_model.building.part import Building
from pikepole_model.checks.entry import entry_findings
from pikepole_model.checks.fit import FAULT, check
from pikepole_model.checks.fragile import fragile_findings
from pikepole_model.checks.panels import panel_findings
from pikepole_model.checks.practice import practice_findings
from pikepole_model.errors import Finding, KeyPath, Problem, Try, change_several
from pikepole_model.plan.as_measured import stands
from pikepole_model.reading.candidates import (
    Change,
    changes_at,
    item_of,
    main_sizes,
    measure_of,
    plain_sizes,
)
from pikepole_model.reading.fewest import fewest, things_of
from pikepole_model.reading.file import unfit
from pikepole_model.reading.told import told_ways
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.types import Section

# How far from what is there a mend is looked for, in steps of a length, and in whole feet or 300 mm
# of the building.
_FAR = (1, 2, 3, 4, 5, 6, 7, 8, 10, 12, 16, 20, 24)
_WHOLE = (1, 2, 3, 4)

# How often walls are laid out, a third of a second each, for one finding and for all, and at last
# where no one key mends any: two minutes at most. A whole building counts as so many more.
_MOST_TRIES, _MOST_IN_ALL, _MOST_AT_LAST = 60, 240, 120
_WHOLE_BUILDING = 5

# What is told of a fault of the program before the mend that goes round it.
UNTIL = "until that is mended, "

# Changes that go together.
_Way: TypeAlias = tuple[Change, ...]


def with_tried_mends(found: Iterable[Finding], building: Building) -> tuple[Finding, ...]:
    """Findings with the mends that were found by trying; of those with tries, their own mends too.

    Each leaves fewer keys at which anything is found, and none that was not among them: no mends
    that are followed one after another go round in a circle.

    Args:
        found: What was found in the building.
        building: The building.
    """
    found = tuple(found)
    trial = _Trial((*found, *entry_findings(building.fitted)), building.scene)
    mends = {one: trial.mend(one) for one in found if one.tries}
    if not any(mend for one, mend in mends.items() if not _is_missing(one)):
        last = ((one, trial.last_resort(one)) for one, mend in mends.items() if not mend)
        mends |= dict(itertools.islice(((one, mend) for one, mend in last if mend), 1))
    hopeless = "put the others right first, then check again" if any(mends.values()) else ""

    def told(one: Finding) -> Finding:
        way = mends[one]
        if one.is_fault:
            parts = (FAULT, f"{UNTIL}{way}" if way else hopeless)
            mend = "; ".join(filter(None, parts))
        else:
            mend = way or hopeless or change_several(key.path for key in one.tries)
        return replace(one, mend=mend, tries=())

    return tuple(told(one) if one.tries else one for one in found)


class _Trial:
    """Tries values in one scene, up to a number of times."""

    def __init__(self, found: Iterable[Finding], scene: Scene) -> None:
        self.before, self.scene = set(map(_what, found)), scene
        self.faults = any(one.is_fault for one in found)
        self.left, self.left_in_all = 0, _MOST_IN_ALL

    def mend(self, one: Finding) -> str:
        """What mends a finding at the keys that it hangs on: nothing where nothing was found."""
        self.left = min(_MOST_TRIES, self.left_in_all)
        self.left_in_all -= self.left
        mend = "" if one.is_fault else self._its_own(one)
        if not mend:
            way = self._without_near(one) if one.is_fault else self._at_one_key(one)
            mend = _told(way, one) if way else ""
        self.left_in_all += self.left
        return mend

    def _its_own(self, one: Finding) -> str:
        """The first of a finding's own mends that does, or that only a person can try."""
        told = told_ways(Problem(one.key, "", one.text, one.mend, one.tries[0].path))
        good = (
            each.text
            for each in told
            if each.ways is None or all(self._mends(one, way) for way in each.ways)
        )
        return next(good, "")

    def last_resort(self, one: Finding) -> str:
        """Another size of the whole building, or the fewest tables and items to leave out.

        At the very end those beside a plain store's sizes.
        """
        self.left = _MOST_AT_LAST
        sizes = ((size,) for size in main_sizes(self.scene, _WHOLE))
        way = next((size for size in sizes if self._mends(one, size)), None)
        for first in ((), tuple(plain_sizes(self.scene))):
            if not way:
                self.left = _MOST_AT_LAST
                way = self._fewest_out(one, first, self._things(one, keys=False))
        return _told(way, one) if way else ""

    def _at_one_key(self, one: Finding) -> _Way | None:
        """The first key that mends a finding, or else the item without which it is not there."""
        near = (self._nearest(one, key) for key in one.tries)
        if way := next(filter(None, near), None):
            return way
        items = dict.fromkeys(key.path[:2] for key in one.tries if len(key.path) > 2)
        self.left = len(items) * (1 + _WHOLE_BUILDING)
        outs = ((Change(path, None, ""),) for path in items)
        return next((out for out in outs if self._mends(one, out)), None)

    def _without_near(self, one: Finding) -> _Way | None:
        """The fewest keys and items to leave out in the tables that a finding hangs on."""
        tables = {key.path[0] for key in one.tries}
        near = [path for path in self._things(one, keys=True) if path[0] in tables]
        return self._fewest_out(one, (), near)

    def _things(self, one: Finding, *, keys: bool) -> list[KeyPath]:
        return things_of(self.scene, [key.path for key in one.tries], keys=keys)

    def _fewest_out(self, one: Finding, first: _Way, things: Sequence[KeyPath]) -> _Way | None:
        """Changes, and the fewest things to leave out beside them."""
        # How walls are divided shows in them alone; other faults show in the whole building.
        tried = self._mends if one.is_fault else self._divides

        def holds(paths: Sequence[KeyPath]) -> bool:
            return tried(one, (*first, *_without(paths)))

        alone = bool(first) and tried(one, first)
        way = (*first, *_without(() if alone else fewest(things, holds)))
        if not alone and way == first:
            return None
        return way if one.is_fault or self._mends(one, way) else None

    def _nearest(self, one: Finding, key: Try) -> _Way | None:
        """The smallest change at a key that mends a finding, on either side."""
        changes = changes_at(self.scene, key, _FAR)
        ways = ((*_instead(self.scene, change), change) for change in changes)
        return next((way for way in ways if self._mends(one, way)), None)

    def _mends(self, one: Finding, way: _Way) -> bool:
        """Whether the scene so changed goes together, and has less to find."""
        if not self._divides(one, way):
            return False
        self.left -= _WHOLE_BUILDING
        return _holds(lambda: self._less(one, self._found(self._with(way))))

    def _divides(self, one: Finding, way: _Way) -> bool:
        """The same as far as its walls show."""
        if self.left <= 0:
            return False
        self.left -= 1

        def divides() -> bool:
            scene = self._with(way)
            if any(True for _ in unfit(scene)):
                return False
            walls = walls_alone(_as_it_stands(scene))
            return self._less(one, (*fragile_findings(walls), *panel_findings(walls)))

        return _holds(divides)

    def _found(self, scene: Scene) -> Iterable[Finding]:
        """What is found in the building of a scene."""
        building, contacts = build_with_contacts(scene)
        entry = entry_findings(building.fitted)
        if not self.faults:
            return (*practice_findings(building.fitted), *entry)
        # That the kernel finds every shape sound would take as long again.
        return (*check(building, contacts, defaultdict(tuple)), *entry)

    def _less(self, one: Finding, found: Iterable[Finding]) -> bool:
        """Whether it is found no longer, and nothing that was not found before."""
        return all(_what(after) in self.before - {_what(one)} for after in found)

    def _with(self, way: _Way) -> Scene:
        scene = self.scene
        for change in way:
            value = _usual(scene, change.path) if change.value is None else _value(scene, change)
            scene = _changed(scene, change.path, value)
        return scene


def _what(one: Finding) -> tuple[bool, str]:
    """What is found, whichever pieces and whatever sizes it is about."""
    return one.is_fault, one.key


def _is_missing(one: Finding) -> bool:
    """Whether something is to be added to a list, which puts nothing else right."""
    return all(key.towards == "more" and len(key.path) == 1 for key in one.tries)


def _holds(tried: Callable[[], bool]) -> bool:
    """Whether something is so; what cannot even be looked at is not."""
    try:
        return tried()
    except Exception:  # whatever it is: other values are tried
        return False


def _as_it_stands(scene: Scene) -> Scene:
    """A scene whose rest is laid out to what stands, where something was measured."""
    known = stands(scene)
    return known[-1].at(0.5) if known else scene


def _without(paths: Iterable[KeyPath]) -> _Way:
    return tuple(Change(path, None, "") for path in paths)


def _instead(scene: Scene, change: Change) -> Iterator[Change]:
    """What is left out where a change says the same another way: the place in its wall."""
    match change.path:
        case ("opening", int(k), "from_left") if scene.opening[k].at:
            yield Change(("opening", k, "at"), None, "")
        case _:
            pass


def _told(way: _Way, one: Finding) -> str:
    return ", and ".join(change.mend(one.tries[0].path) for change in way)


def _value(scene: Scene, change: Change) -> object:
    if isinstance(change.value, dict):
        items: Any = scene
        for step in change.path:
            items = getattr(items, str(step))
        return (*items, item_of(scene, change.path, change.value))
    measure = measure_of(scene, change.path)
    return measure.read(change.value, scene.units) if measure else change.value


def _usual(scene: Scene, path: KeyPath) -> object:
    """What stands at a key that is left out: nothing, or a table as it usually is."""
    *above, last = path
    table: Any = scene
    for step in above:
        table = table[step] if isinstance(step, int) else getattr(table, step)
    if isinstance(last, int):
        return None
    return table.left_out(last, scene.units)


def _changed(table: Any, path: KeyPath, value: object) -> Any:
    """A scene, a table or a list of it with another value at a key; None leaves an item out."""
    first, *rest = path
    if isinstance(first, int):
        new = (_changed(table[first], tuple(rest), value),) if rest else ()
        return (*table[:first], *new, *table[first + 1 :])
    assert isinstance(table, Section)
    inner = _changed(getattr(table, first), tuple(rest), value) if rest else value
    return table.model_copy(update={first: inner})
