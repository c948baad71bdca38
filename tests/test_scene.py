"""What a good scene file becomes."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest
from pydantic import ValidationError

from pikepole_model.reading.file import check_scene, load_scene
from pikepole_model.scene.foundation import Pad, Skids
from pikepole_model.scene.schema import Floor, Scene

SCENES = sorted(
    [
        *(Path(__file__).parent.parent / "scenes").glob("**/*.toml"),
        *(Path(__file__).parent / "scenes").glob("*.toml"),
    ]
)

# The least that a file must say.
LEAST: dict[str, Any] = {
    "title": "Seed store",
    "building": {"length": "10 ft", "depth": "2400 mm"},
    "foundation": {"kind": "skids"},
    "floor": {},
    "roof": {"slope": "3:12"},
}


def scene_of(**tables: Any) -> Scene:
    """The least scene with some tables replaced, read as from a file."""
    scene, problems = check_scene(copy.deepcopy(LEAST | tables))
    assert not problems
    assert scene is not None
    return scene


@pytest.mark.parametrize("path", SCENES, ids=lambda path: path.stem)
def test_every_scene_that_ships_reads(path: Path) -> None:
    assert load_scene(path).title


def test_there_are_scenes_to_read() -> None:
    assert {"honey-house", "plain"} <= {path.stem for path in SCENES}


def test_lengths_are_in_mm_and_slopes_in_degrees() -> None:
    scene = scene_of()
    # 10 x 304.8
    assert (scene.building.length, scene.building.depth) == (3048.0, 2400.0)
    # Framing-square tables: 3 in 12 is 14.04 degrees.
    assert scene.roof.slope == pytest.approx(14.04, abs=0.005)


def test_defaults_are_sizes_a_builder_would_name() -> None:
    scene = scene_of()
    assert isinstance(scene.foundation, Skids)
    assert isinstance(scene.floor, Floor)
    # Read as text with units they must come out as the same numbers.
    written = scene_of(
        foundation={
            "kind": "skids",
            "skid": "4x6",
            "count": 3,
            "inset": "0 in",
            "toe": "1-1/2 in",
            "gravel": "4 in",
            "gravel_margin": "1 ft",
        },
        floor={"joist": "2x6", "spacing": "16 in", "treated": True, "blocking_rows": 1},
        walls={"stud": "2x4", "spacing": "16 in", "low_height": "7 ft", "header": "2x6"},
        roof={
            "slope": "3:12",
            "spacing": "16 in",
            "lookout_spacing": "2 ft",
            "eave_overhang": "1 ft",
            "high_overhang": "1 ft",
            "rake_overhang": "1 ft",
        },
    )
    assert written == scene


def test_defaults_of_pad_bay_and_footing() -> None:
    pad = {
        "kind": "pad",
        "thickness": "4 in",
        "above_ground": "6 in",
        "gravel": "4 in",
        "gravel_margin": "6 in",
        "edge_depth": "18 in",
        "edge_width": "12 in",
        "bolt_diameter": "1/2 in",
        "bolt_embedment": "7 in",
        "bolt_spacing": "6 ft",
    }
    footing = {"diameter": "12 in", "depth": "2 ft", "above_ground": "3 in"}
    bay = {"side": "left", "reach": "6 ft"}
    table = {key: value for key, value in LEAST.items() if key != "floor"}
    short, problems = check_scene(
        table | {"foundation": {"kind": "pad", "edge_depth": "1 ft 6 in"}, "bay": [bay]}
    )
    assert not problems
    full, problems = check_scene(table | {"foundation": pad, "bay": [bay | {"footing": footing}]})
    assert not problems
    assert short == full
    assert short is not None
    assert isinstance(short.foundation, Pad)


def test_a_bay_brings_beams_and_none_leaves_the_spacer_out() -> None:
    assert scene_of().beam is None
    bay = [{"side": "right", "reach": "6 ft"}]
    with_bay = scene_of(bay=bay)
    assert with_bay.beam is not None
    assert (with_bay.beam.plies, with_bay.beam.spacer) == (2, "1/2 plywood")
    without = scene_of(bay=bay, beam={"spacer": "none"})
    assert without.beam is not None
    assert without.beam.spacer is None


def test_the_high_wall_can_be_given_instead_of_the_low_one() -> None:
    walls = scene_of(walls={"high_height": "9 ft"}).walls
    assert (walls.low_height, walls.high_height) == (None, 2743.2)
    walls = scene_of().walls
    assert (walls.low_height, walls.high_height) == (2133.6, None)


def test_a_scene_cannot_be_changed() -> None:
    scene = scene_of()
    with pytest.raises(ValidationError):
        scene.title = "other"
    with pytest.raises(ValidationError):
        scene.building.length = 1.0


def test_own_stock_can_be_used_at_once() -> None:
    scene = scene_of(
        stock={
            "lumber": [
                {
                    "name": "barn 2x6",
                    "breadth": "2 in",
                    "depth": "6 in",
                    "lengths": ["16 ft", "12 ft"],
                }
            ],
            "sheet": [
                {
                    "name": "ply",
                    "thickness": "15 mm",
                    "width": "1.2 m",
                    "length": "2.4 m",
                    "density_kg_m3": 500,
                }
            ],
            "species": [{"name": "larch", "specific_gravity": 0.53}],
        },
        lumber={"species": "larch"},
        floor={"joist": "barn 2x6", "sheet": "ply"},
    )
    stock = scene.lumber_stock("barn 2x6")
    assert (stock.breadth_mm, stock.depth_mm) == pytest.approx((50.8, 152.4))
    assert stock.lengths_mm == (3657.6, 4876.8)
    assert scene.sheet_stock("ply").thickness_mm == 15.0
    # NDS Supplement 3.1.3 at the default 15 %: 62.4 x 0.53 / (1 + 0.009 x 0.53 x 15) x 1.15 lb/ft3.
    pounds = 62.4 * 0.53 / (1 + 0.009 * 0.53 * 15) * 1.15
    likely = scene.wood(treated=False).density_kg_m3[1]
    assert likely == pytest.approx(pounds * 0.45359237 / 0.3048**3)


def test_materials_follow_the_scenes_moisture() -> None:
    moisture = {
        "untreated": {"low": 10, "likely": 10, "high": 21},
        "treated": {"low": 30, "likely": 30, "high": 90},
    }
    scene = scene_of(moisture=moisture)
    # Above fibre saturation (30 %) only the water's weight grows.
    low, likely, high = scene.wood(treated=True).density_kg_m3
    assert (low, high / low) == (likely, pytest.approx(1.9 / 1.3))
    assert scene.wood(treated=True).name == "southern pine, treated"
    # Boards of a species of their own go by its weight: eastern white pine, 0.36 (NDS 12.3.3A).
    assert scene.wood(False, "1x6").density_kg_m3 == scene.wood(False).density_kg_m3
    pine = scene_of(moisture=moisture, lumber={"board_species": "eastern white pine"})
    pounds = 62.4 * 0.36 / (1 + 0.009 * 0.36 * 10) * 1.1
    assert pine.wood(False, "1x6").density_kg_m3[1] == pytest.approx(
        pounds * 0.45359237 / 0.3048**3
    )
    assert pine.wood(False, "1x6").name == "eastern white pine"
    assert pine.wood(True, "1x6").name == "southern pine, treated"
    assert pine.wood(False, "2x4").name == "spruce-pine-fir"
    # Panels are taken to be printed at 10 %.
    dry, _, wet = scene.sheet_material("7/16 OSB").density_kg_m3
    assert dry == pytest.approx(scene.sheet_stock("7/16 OSB").density_kg_m3)
    assert wet / dry == pytest.approx(1.1)
    assert scene.bulk_material("gravel").name == "gravel"


def test_names_are_taken_without_the_blanks_round_them() -> None:
    assert scene_of(walls={"stud": " 2x6 "}).walls.stud == "2x6"
