"""A fault of the program's own is told with a mend that goes round it until it is mended.

Such a fault is made here: a step of the layout puts its pieces where they do not belong.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest

from dice import Table
from once import forget
from pikepole_export.derive.findings import findings
from pikepole_model import build as layout
from pikepole_model.build import build_with_contacts
from pikepole_model.building.piece import Piece
from pikepole_model.checks.fit import FAULT
from pikepole_model.errors import Finding, Problem
from pikepole_model.reading import found as found_module
from pikepole_model.reading.file import check_scene
from pikepole_model.reading.found import UNTIL
from strategies import scene_of
from test_close_fits import opening, store
from whole import changes

# A store with boards on one wall and corner boards that someone chose.
STORE = store(
    "12 ft",
    "8 ft",
    "3:12",
    opening=[opening("door", "back", "2 ft", "3 ft", steps={"kind": "none"})],
    cladding=[{"kind": "boards", "corner": "1x6", "walls": ["front"]}],
)


# What each step shifts pieces by: corner boards into the wall, siding away from it.
SHIFTED = {"overlap": ("board_corners", 10.0), "loose": ("lay_boards", -40.0)}


@pytest.fixture(autouse=True)
def _forgotten() -> Iterator[None]:
    """What was laid out before the layout was changed, and while it was, is laid out anew."""
    forget()
    yield
    forget()


def shift(step: str, dy: float, monkeypatch: pytest.MonkeyPatch) -> None:
    """A step of the layout puts its pieces so far back from where they belong, mm."""
    lay_out: Callable[..., Iterator[Piece]] = getattr(layout, step)

    def elsewhere(*given: object) -> Iterator[Piece]:
        for piece in lay_out(*given):
            x, y, z = piece.placement.origin
            yield replace(piece, placement=replace(piece.placement, origin=(x, y + dy, z)))

    monkeypatch.setattr(layout, step, elsewhere)


def faults(table: Table) -> list[Finding]:
    found = findings(*build_with_contacts(scene_of(table)))
    return [one for one in found if one.is_fault]


def test_no_fault_is_there_before() -> None:
    assert not faults(STORE)


@pytest.mark.parametrize("kind", SHIFTED)
def test_a_fault_is_told_with_what_goes_round_it(
    kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    shift(*SHIFTED[kind], monkeypatch)
    found = faults(STORE)
    assert found
    assert {one.kind for one in found} == {kind}
    for one in found:
        assert one.mend.startswith(FAULT)
    told = next(one for one in found if UNTIL in one.mend)
    mended = changes(STORE, Problem(told.key, "", told.text, told.mend))
    assert mended
    for table in mended:
        assert not check_scene(table)[1]
        assert told.key not in {one.key for one in faults(table)}


def test_a_fault_that_nothing_goes_round_names_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    # Every store has rafters, wherever they are put; trying a few values shows as much as many.
    monkeypatch.setattr(found_module, "_MOST_TRIES", 12)
    monkeypatch.setattr(found_module, "_MOST_AT_LAST", 12)
    shift("set_rafters", 10.0, monkeypatch)
    found = faults(STORE)
    assert found
    assert {one.mend for one in found} == {FAULT}
