"""Doors that swing out over a step down say so on the page of their stage.

IRC R311.3.1, for houses, from memory: a landing is no more than 1-1/2 in below the threshold of a
door that swings over it.
"""

from __future__ import annotations

from typing import Any

import pytest

from conftest import FORMS
from filled import table_of
from measuring import INCH
from pikepole_export.derive.measures.leaf_drops import leaf_drops
from pikepole_export.write.pictures.captions import captions
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.reading.file import check_scene, load_scene
from pikepole_model.units import format_length


def store(steps: dict[str, Any], **door: object) -> Building:
    """A store on skids with a door 36 in wide in its front."""
    opening = {
        "name": "side door",
        "kind": "door",
        "wall": "front",
        "from_left": "4 ft",
        "width": "36 in",
        "height": "80 in",
        "steps": steps,
        "door": {"kind": "ledged", **door},
    }
    scene, problems = check_scene(
        table_of(
            opening,
            building={"length": "12 ft", "depth": "10 ft"},
            walls={"low_height": "8 ft"},
            roof={"slope": "6:12", "rafter": "2x6", "ridge": {"kind": "beam"}},
        )
    )
    assert not problems
    assert scene
    return build(scene)


def told(building: Building) -> dict[str, list[str]]:
    return {
        caption["name"].split("  ")[-1]: block["plain"]
        for caption in captions(building, {})
        for block in caption["blocks"]
        if block["head"] == "Take care"
    }


def test_a_leaf_over_steps_is_told_with_its_drop_where_it_is_hung() -> None:
    building = store({"kind": "steps"})
    (threshold,) = (part for part in building.parts if part.kind is Kind.THRESHOLD)
    treads = [part for part in building.parts if part.kind is Kind.STEP_TREAD]
    drop = threshold.bounds_mm[1][2] - max(part.bounds_mm[1][2] for part in treads)
    assert drop > 1.5 * INCH
    ((stage, (line,)),) = told(building).items()
    assert stage == "Doors"
    assert line.startswith(
        f"side door swings out over a step down of {format_length(drop, 'imperial')}:"
    )
    assert "landing" in line


@pytest.mark.parametrize(
    ("steps", "door"),
    [
        ({"kind": "ramp"}, {}),  # its head is level with the floor
        ({"kind": "steps"}, {"track": {}}),  # slides
    ],
)
def test_no_leaf_is_told_that_swings_over_no_step(
    steps: dict[str, Any], door: dict[str, Any]
) -> None:
    assert told(store(steps, **door)) == {}


def test_without_steps_it_is_the_way_down_to_the_ground() -> None:
    building = store({"kind": "none"})
    (threshold,) = (part for part in building.parts if part.kind is Kind.THRESHOLD)
    drops = leaf_drops(building, {"side door"})
    assert drops == {"side door": pytest.approx(threshold.bounds_mm[1][2])}


def test_doors_over_equal_steps_are_told_in_one_line() -> None:
    # The scene: two doors in walls of one floor, each with steps of equal rises.
    building = build(load_scene(FORMS["garden-classroom"]))
    ((line,),) = told(building).values()
    assert line.startswith("garden door and boot door swing out over")
