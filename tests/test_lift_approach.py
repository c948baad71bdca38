"""From which side a truck sets a piece, and what shuts it out, by plane geometry."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from lifted import block, item_of, lift_of
from pikepole_export.derive.lifting.access import after_the_truck
from pikepole_export.derive.lifting.approach import Approach, approach, in_the_way, site_of
from pikepole_export.derive.lifting.items import Handling, items
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.loads import load_of
from pikepole_export.derive.lifting.machines import machines
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part, Stage
from pikepole_model.reading.file import load_scene
from pikepole_model.scene.crew import Crew
from pikepole_model.scene.schema import Scene

# A beam along Y at X = 0, 4 m long, its underside 2.4 m up; 90 mm thick.
BEAM = block("beam", (4000, 200, 90), 100, kind=Kind.BEAM, stage=2, at_mm=(0, 0, 2400))


def among(*parts: Part) -> Building:
    stages = tuple(
        Stage(number, f"stage {number}", tuple(p for p in (*parts, BEAM) if p.stage == number))
        for number in (1, 2)
    )
    return Building(Scene.model_construct(), (*parts, BEAM), (), stages)


def come(*parts: Part) -> Approach | None:
    return approach(site_of(among(*parts), 2), load_of("beam", [BEAM]))


def box(name: str, x_mm: float, low_mm: float, high_mm: float) -> Part:
    """4 m along Y and 90 thick, from one height to another."""
    size = (4000, high_mm - low_mm, 90)
    return block(name, size, 10, at_mm=(x_mm, 0, low_mm))


def test_on_open_ground_it_comes_from_where_it_reaches_least() -> None:
    # Broadside: 45 mm to the beam's side, 1200 to walk, 200 for the beam that waits, 500 behind it.
    found = come()
    assert found
    assert found.side in ("left", "right")
    assert found.out_mm == pytest.approx(45 + 1200 + 200 + 500)


def test_it_does_not_come_through_what_is_higher_than_the_place() -> None:
    # A wall 1 m to the left, 3 m high: from the right, where nothing stands.
    assert come(box("wall", -1000, 0, 3000)) == come(box("fence", -1000, 0, 3000))
    found = come(box("wall", -1000, 0, 3000))
    assert found
    assert found.side == "right"
    site = site_of(among(box("wall", -1000, 0, 3000)), 2)
    assert in_the_way(site, load_of("beam", [BEAM]), "left") == ("wall",)
    assert in_the_way(site, load_of("beam", [BEAM]), "right") == ()


def test_it_comes_over_what_is_lower_and_reaches_further_for_it() -> None:
    # A low wall 2 m to each side: its front stays outside it. The far edge is at x = -2090 and at
    # 2000, as thick things here lie from their place towards -X; the beam's middle is at -45.
    found = come(box("low", -2000, 0, 1000), box("low 2", 2090, 0, 1000))
    assert found
    # By the ends of the beam there is nothing, 2000 mm from its middle.
    assert found.side in ("front", "back")
    assert found.out_mm == pytest.approx(2000 + 1200 + 200 + 500)


def test_a_roof_over_the_way_shuts_it_out() -> None:
    roof = block("roof", (9000, 9000, 40), 100, at_mm=(4500, -2500, 3500), flat=True)
    assert come(roof) is None


def test_where_a_truck_comes_from_at_a_building_with_a_lean_to() -> None:
    # The lean-to is at the back: the beams come from their own sides, the boot door stands under
    # its roof, and the garden door under the rake. The ledger comes in two
    # lengths; the one at the right end is nearer to a truck there than behind the lean-to.
    building = build(load_scene(Path(__file__).parents[1] / "scenes" / "garden-classroom.toml"))
    found = {
        item.name: approach(site_of(building, item.stage), item.whole)
        for item in items(building)
        if item.name.rstrip(" 12").endswith(("beam", "ledger", " door"))
    }
    sides = {name: way and way.side for name, way in found.items()}
    assert sides == {
        "front beam": "front",
        "back beam": "back",
        "back lean-to beam": "back",
        "back lean-to ledger 1": "back",
        "back lean-to ledger 2": "right",
        "boot door": None,
        "garden door": None,
    }


def by_truck(number: int, part: Part) -> Lift:
    item = item_of(part, handling=Handling.BEAM)
    truck = {"kind": "telehandler", "rating": "2500 kg", "reach": "6 m"}
    machine = machines(item, Crew.model_validate({"gear": [truck]}))[0]
    assert machine.approach
    # From the left, whichever is nearer.
    left = replace(machine, approach=replace(machine.approach, side="left"))
    return lift_of(item, number=number, machine=left)


def test_what_would_shut_the_way_goes_up_after_the_lift_by_truck() -> None:
    # Both come from the left: the outer beam, 3 m up, is in the way of the inner, whose place is
    # 2.4 m up; the inner is in nobody's.
    inner, outer = by_truck(1, BEAM), by_truck(2, replace(box("outer", -3000, 2900, 3100), stage=2))
    assert after_the_truck([inner, outer], {1: set(), 2: set()}) == {1: set(), 2: {1}}
    # Where the inner hangs on the outer it has to come later all the same.
    assert after_the_truck([inner, outer], {1: {2}, 2: set()}) == {1: set(), 2: set()}
