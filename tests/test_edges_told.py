"""Where sheets begin and how far panels reach is told beside the picture of their stage."""

from __future__ import annotations

from pathlib import Path

import pytest

from pikepole_export.derive.measures.edges_told import edge_words
from pikepole_export.write.pictures.captions import captions
from pikepole_export.write.pictures.pieces import piece_lines
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.reading.file import load_scene
from pikepole_model.units import format_length
from planned import built


def told(building: Building, name: str) -> list[str]:
    (stage,) = (one for one in building.stages if one.name == name)
    return edge_words(building, stage)


def ends_mm(building: Building, kind: Kind, end: int, axis: int) -> list[float]:
    """Where pieces of a kind begin (0) or end (1) along an axis."""
    return [part.bounds_mm[end][axis] for part in building.finished.parts if part.kind is kind]


def test_wall_sheets_begin_below_the_bottom_plate(honey_house: Building) -> None:
    # Its sheets cover the floor's edge; strips over beams and rakes are put on later, higher up.
    low = min(ends_mm(honey_house, Kind.WALL_SHEET, 0, 2))
    down = format_length(min(ends_mm(honey_house, Kind.BOTTOM_PLATE, 0, 2)) - low, "imperial")
    assert told(honey_house, "Wall sheathing") == [
        f"sheets begin {down} below the bottom plate's underside"
    ]
    assert told(honey_house, "Rafters") == []


def test_on_a_slab_they_begin_level_with_it() -> None:
    assert told(built("canoe-store"), "Wall sheathing") == [
        "sheets begin level with the bottom plate's underside"
    ]


@pytest.mark.parametrize(("name", "start"), [("honey-house", "left"), ("canoe-store", "right")])
def test_panels_reach_past_the_fascia(name: str, start: str) -> None:
    # The roofs fall to the back, where both are farthest out.
    building = built(name)
    ends = [max(ends_mm(building, kind, 1, 1)) for kind in (Kind.PANEL, Kind.FASCIA)]
    far = format_length(ends[0] - ends[1], "imperial")
    assert told(building, "Roof panels") == [
        f"first panel at the {start} end",
        f"panels reach {far} past the fascia at the eave, measured level",
    ]


def test_panels_over_a_knee_are_not_told_as_of_an_eave() -> None:
    # What laps goes on after what it laps: a knee's flashing over lower panels, under upper ones.
    _, order, line = told(built("comb-store"), "Roof panels")
    assert order == "lower panels, then knee flashings, then upper panels"
    assert "past the fascia" in line


@pytest.mark.parametrize(
    ("name", "stage", "edges"),
    [
        # 23/32 in plywood comes with tongue and groove, 47-1/2 in to the row; 15/32 in does not.
        ("honey-house", "Floor deck", "tongue-and-groove"),
        ("seed-barn", "Loft deck", "square"),
    ],
)
def test_long_edges_of_a_floor_are_told(name: str, stage: str, edges: str) -> None:
    building = build(load_scene(Path(__file__).parents[1] / "scenes" / f"{name}.toml"))
    (found,) = (one for one in building.stages if one.name == stage)
    (line,) = piece_lines(found.parts, building.scene)
    assert line.text.endswith(f", {edges} edges")


def test_it_stands_on_the_page(honey_house: Building) -> None:
    said = {one["name"].split("  ")[-1]: one["blocks"] for one in captions(honey_house, {})}
    for name in ("Wall sheathing", "Roof panels"):
        (block,) = (block for block in said[name] if block["head"] == "Set out")
        assert block["plain"] == told(honey_house, name)
