"""How let-in braces share a wall."""

from __future__ import annotations

import pytest

from measuring import of_group, of_kind
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.checks.fit import check
from strategies import scene_of


@pytest.mark.parametrize("depth", ["5 ft", "7 ft", "8 ft", "10 ft", "14 ft"])
def test_no_stud_is_let_into_twice(depth: str) -> None:
    # A notch takes a quarter of a stud that carries (IRC R602.6, from memory). That two braces
    # side by side are not let into the same studs is common practice, no source.
    building = build(
        scene_of(
            {
                "title": "Braced end",
                "building": {"length": "12 ft", "depth": depth},
                "foundation": {"kind": "skids"},
                "floor": {},
                "walls": {"low_height": "6 ft 6 in", "right": {"kind": "braces"}},
                "roof": {"slope": "2:12"},
            }
        )
    )
    assert [finding.text for finding in check(building)] == []
    braces = of_kind(building, Kind.LET_IN_BRACE)
    assert braces
    for stud in of_group(building, "right wall"):
        if stud.kind is Kind.STUD:
            (_, low, _), (_, high, _) = stud.bounds_mm
            over = [b for b in braces if b.bounds_mm[0][1] < high and b.bounds_mm[1][1] > low]
            assert len(over) <= 1, stud.name
