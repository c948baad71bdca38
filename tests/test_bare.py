"""What a scene leaves to the weather is told by `check` and among what is not ordered.

IRC R903.1, R905.2.8.5, R703.1.1 and R703.2, from memory: a roof deck is covered and has drip edges,
walls have a covering, and behind it what keeps water off their sheets.
"""

from __future__ import annotations

import pytest

from clad import Table, clad
from command import DONE, pikepole
from pikepole_export.derive.buying.sundries import choices
from pikepole_model.checks.bare import left_bare
from planned import FORMS, built

# A store of walls of sheets under a roof of sheets, its tables on top of these.
BOARDS: Table = {"kind": "boards"}


@pytest.mark.parametrize(
    ("cladding", "tables", "missing"),
    [
        ([], {}, ["[roofing]", "[edges]", "[[cladding]]", "[wrap]"]),
        ([BOARDS], {"roofing": {}, "edges": {}}, ["[wrap]"]),
        ([BOARDS], {"roofing": {}, "edges": {"metal": "none"}, "wrap": {}}, ["edges.metal"]),
        ([BOARDS], {"roofing": {"panel": "none"}, "edges": {}, "wrap": {}}, ["roofing.panel"]),
        ([BOARDS], {"roofing": {}, "edges": {}, "wrap": {}}, []),
    ],
)
def test_each_layer_that_is_missing(
    cladding: list[Table], tables: Table, missing: list[str]
) -> None:
    assert [one.mend for one in left_bare(clad(*cladding, **tables))] == [
        f"give {key}" for key in missing
    ]


def test_slats_want_no_layers() -> None:
    # Kindling is stored behind slats that let air through: nothing but its roof is meant to be dry.
    store = built("kindling-store")
    assert {one.where for one in left_bare(store)} == {"roof sheets", "edges of the roof"}
    told = {one.item: one for one in choices(store)}
    assert told["roofing"].buy is None
    assert {"roofing", "drip edges and trims"} <= set(told)


def test_openings_that_nothing_is_fitted_into() -> None:
    # The comb store's vent is fitted, its door is not; the lambing shed's is, and so is its window.
    told = [one.layer for one in left_bare(built("comb-store")) if one.source == "IRC R703.4"]
    assert told == ['door or window: "honey door"']
    assert left_bare(built("lambing-shed")) == ()


def test_it_is_no_finding() -> None:
    answer = pikepole("check", FORMS["kindling-store"])
    assert answer.code == DONE
    assert "  - Roof sheets have no roofing (IRC R903.1): give [roofing].\n" in answer.out
