"""Where a building stands: north, the lines of its lot, and the plan that shows them."""

from __future__ import annotations

import io
import math
from pathlib import Path

import ezdxf
import pytest
from ezdxf.entities.dimension import Dimension

from conftest import FORMS, SCENES
from pikepole_export.write.plans.dxf import dxf_bytes
from pikepole_export.write.plans.sheet import PlanSheet, Ring, Words
from pikepole_export.write.plans.site_plan import NORTH_MM, site_plan
from pikepole_model.build import build
from pikepole_model.errors import SceneError
from pikepole_model.reading.file import load_scene
from pikepole_model.units import parse_bearing, parse_length

FOOT = 304.8


def changed(tmp_path: Path, right: str, wrong: str) -> Path:
    """The honey house with one line changed."""
    text = SCENES["honey-house"].read_text(encoding="utf-8")
    assert text.count(right) == 1
    path = tmp_path / "scene.toml"
    path.write_text(text.replace(right, wrong), encoding="utf-8")
    return path


def drawn(name: str) -> PlanSheet:
    return site_plan(build(load_scene((SCENES | FORMS)[name])).finished)


@pytest.mark.parametrize(
    ("text", "bearing"),
    [
        # As on a compass card that lies with its north towards the back: clockwise from above.
        ("back", 0.0),
        ("right", 90.0),
        ("front", 180.0),
        ("left", 270.0),
        ("217.5 deg", 217.5),
    ],
)
def test_a_bearing_goes_round_as_a_clock_does(text: str, bearing: float) -> None:
    assert parse_bearing(text) == bearing


@pytest.mark.parametrize("value", ['"up"', '"400 deg"', '"-1 deg"', "30"])
def test_a_bearing_that_is_none_is_refused(value: str, tmp_path: Path) -> None:
    scene = changed(tmp_path, 'north = "back"', f"north = {value}")
    with pytest.raises(SceneError) as refused:
        load_scene(scene)
    (problem,) = refused.value.problems
    assert problem.key == "site.north"
    assert "deg" in problem.mend


def test_a_wall_nearer_to_its_line_than_the_setback_is_refused(tmp_path: Path) -> None:
    scene = changed(tmp_path, 'left = "17 ft 6 in"', 'left = "9 ft 11 in"')
    with pytest.raises(SceneError) as refused:
        load_scene(scene)
    (problem,) = refused.value.problems
    assert problem.key == "site.lot.left"
    assert "10' 0\"" in problem.wrong
    assert problem.mend == "give at least 10' 0\", or leave out site.setback.left"


def test_the_plan_measures_what_the_scene_gives() -> None:
    drawing = ezdxf.read(io.StringIO(dxf_bytes(drawn("honey-house")).decode()))  # pyright: ignore[reportPrivateImportUsage]
    said: list[float] = []
    for one in drawing.modelspace().query("DIMENSION"):
        assert isinstance(one, Dimension)
        said.append(parse_length(one.dxf.text))
        assert said[-1] == pytest.approx(float(str(one.get_measurement())) * 25.4, abs=25.4 / 32)
    # From the scene: across 17 ft 6 in, the store and its bay, and 54 ft; from the back 28 ft, the
    # store's 9 ft, and 62 ft.
    across, along = said[:3], said[3:]
    assert (across[0], across[2]) == pytest.approx((17.5 * FOOT, 54 * FOOT))
    assert sorted(along) == pytest.approx([9 * FOOT, 28 * FOOT, 62 * FOOT])
    words = [one.words for one in drawn("honey-house").marks if isinstance(one, Words)]
    assert "left 17' 6\", setback 10' 0\"" in words
    assert not any("____" in one for one in words if "lot line" in one)


def test_what_is_not_given_is_left_blank() -> None:
    sheet = drawn("garden-classroom")
    words = [one.words for one in sheet.marks if isinstance(one, Words)]
    blank = [one.partition(" lot line")[0] for one in words if "lot line, ____" in one]
    assert blank == ["front", "right"]


@pytest.mark.parametrize(("name", "north_deg"), [("honey-house", 0.0), ("garden-classroom", 217.5)])
def test_north_is_where_the_scene_has_it(name: str, north_deg: float) -> None:
    sheet = drawn(name)
    (ring,) = (one for one in sheet.marks if isinstance(one, Ring) and one.radius == NORTH_MM)
    (letter,) = (one for one in sheet.marks if isinstance(one, Words) and one.words == "N")
    # From the middle of the ring to that of the letter, whose capitals are about 0.76 high.
    x, y = letter.at[0] - ring.centre[0], letter.at[1] - 0.38 * letter.size - ring.centre[1]
    assert math.degrees(math.atan2(x, -y)) % 360 == pytest.approx(north_deg, abs=1.0)
