"""Bought leaves of steel: as large as their opening leaves, as heavy as the scene says."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from measuring import CUT_MM, INCH, box_of, of_kind
from pikepole_export.derive.buying.fasteners import fasteners
from pikepole_export.derive.buying.pieces_bought import pieces_bought
from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.lifting.items import BuiltUp, items
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import check
from pikepole_model.reading.file import check_scene


def depot(**door: Any) -> Building:
    """A tram depot with a doorway of 5 ft by 6 ft 8 in."""
    scene, problems = check_scene(
        {
            "title": "Depot",
            "building": {"length": "14 ft", "depth": "9 ft"},
            "foundation": {"kind": "pad"},
            "walls": {"low_height": "8 ft"},
            "opening": [
                {
                    "name": "tram door",
                    "kind": "door",
                    "wall": "front",
                    "from_left": "2 ft",
                    "width": "5 ft",
                    "height": "6 ft 8 in",
                    "steps": {"kind": "none"},
                    "door": {"kind": "steel", "mass_kg": 41, **door},
                }
            ],
            "roof": {"slope": "2:12"},
        }
    )
    assert scene
    assert problems == []
    return build(scene)


def test_a_pair_of_bought_leaves() -> None:
    building = depot(leaves=2)
    leaves = of_kind(building, Kind.STEEL_LEAF)
    # 5 ft less two frame boards of 3/4 in on 1.3 mm of membrane and tape, 1/8 in at either jamb and
    # 3/16 in between, halved; 6 ft 8 in less a tape of 0.3 mm and a board, 1/8 in at the head and
    # 1/4 in over a threshold of 3/4 in on 1 mm; 1-3/4 in thick.
    wide = (60 - 1.5 - 0.25 - 0.1875) / 2 * INCH - 1.3
    high = (80 - 0.75 - 0.125 - 0.25 - 0.75) * INCH - 1.3
    assert len(leaves) == 2
    for leaf in leaves:
        box = box_of(leaf)
        size = [b - a for a, b in zip(box.low, box.high, strict=True)]
        assert size == pytest.approx([wide, 1.75 * INCH, high], abs=CUT_MM)
        mass = part_mass(leaf)
        assert (mass.low_kg, mass.likely_kg, mass.high_kg) == pytest.approx((41, 41, 41))
    counted = Counter(part.kind for part in building.parts)
    # Three hinges a leaf; on the left one what covers the gap; nothing of a made leaf.
    assert counted[Kind.HINGE] == 6
    assert counted[Kind.ASTRAGAL] == 1
    made = {Kind.DOOR_SHEET, Kind.DOOR_BOARD, Kind.LEDGE, Kind.STILE, Kind.DOOR_RAIL, Kind.BRACE}
    assert not made & counted.keys()


@pytest.mark.parametrize("door", [{}, {"leaves": 2}, {"track": {}}])
def test_every_bought_leaf_fits_and_is_held(door: dict[str, Any]) -> None:
    building = depot(**door)
    assert [finding.text for finding in check(building)] == []
    assert fasteners(building)


def test_a_bought_leaf_is_bought_once_by_its_size() -> None:
    found = [one for one in pieces_bought(depot(leaves=2), (), ()) if one.item == "steel leaf"]
    assert [(one.ordered, one.unit) for one in found] == [(2, "piece")]
    assert "41.0 kg" in found[0].how or "90.4 lb" in found[0].how


def test_a_bought_leaf_is_lifted_with_what_is_on_it() -> None:
    lifted = [item for item in items(depot()) if item.kind is BuiltUp.DOOR_LEAF]
    assert len(lifted) == 1
    assert lifted[0].whole.mass.likely_kg > 41


def test_a_leaf_that_nobody_makes_is_refused() -> None:
    table = {
        "title": "Depot",
        "building": {"length": "14 ft", "depth": "9 ft"},
        "foundation": {"kind": "pad"},
        "opening": [
            {
                "name": "hatch",
                "kind": "door",
                "wall": "front",
                "at": "middle",
                "width": "20 in",
                "height": "5 ft",
                "door": {"kind": "steel", "mass_kg": 20, "leaves": 2},
            }
        ],
        "roof": {"slope": "2:12"},
    }
    (problem,) = check_scene(table)[1]
    assert problem.key == "opening[1].door"
    assert "nobody makes one narrower than 1' 0\"" in problem.wrong
    assert "give opening[1].width" in problem.mend
