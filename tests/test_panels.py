"""What openings leave of a sheathed wall, held against the rule for houses.

Figures of IRC 2018 Table R602.10.5, method CS-WSP, and R602.10.2.3 (two panels in a line, or one of
48 in where it is no longer than 16 ft): from memory.
"""

from __future__ import annotations

from typing import Any

import pytest

from filled import table_of
from measuring import INCH
from mended import follow, ways
from pikepole_export.write.pictures.captions import captions
from pikepole_export.write.plans.framing import framing
from pikepole_export.write.plans.sheet import Words
from pikepole_model.build import build
from pikepole_model.building.part import Building
from pikepole_model.checks.panels import least_panel_mm, panel_findings
from pikepole_model.errors import Finding
from pikepole_model.reading.file import check_scene

FT = 12


@pytest.mark.parametrize(
    ("height_ft", "opening_in", "least_in"),
    [
        (8, 64, 24),
        (8, 80, 32),
        (8, 81, 35),  # 84: the next row of the table
        (9, 80, 30),
        (9.5, 64, 28.5),  # between 27 and 30: linear interpolation, note a
        (10, 84, 32),
        (12, 96, 36),
        (7, 0, 24),  # at a corner, and in a lower wall than the table has
    ],
)
def test_least_panel_of_the_table(height_ft: float, opening_in: float, least_in: float) -> None:
    found = least_panel_mm(height_ft * FT * INCH, opening_in * INCH)
    assert found / INCH == pytest.approx(least_in)


def door(width_in: int, from_left_in: int, **keys: object) -> dict[str, Any]:
    place = {"from_left": f"{from_left_in} in", "width": f"{width_in} in"}
    own = {"name": "gate", "kind": "door", "wall": "front", "height": "80 in", **place}
    return {**own, "steps": {"kind": "none"}, **keys}


def table(*openings: dict[str, Any], length: str = "12 ft", **walls: object) -> dict[str, Any]:
    """A gable 8 ft high at its eaves."""
    return table_of(
        *openings,
        building={"length": length, "depth": "10 ft"},
        walls={"low_height": "8 ft", **walls},
        roof={"slope": "6:12", "rafter": "2x6", "ridge": {"kind": "beam"}},
    )


def found(table: dict[str, Any]) -> list[Finding]:
    scene, problems = check_scene(table)
    assert not problems
    assert scene
    return list(panel_findings(build(scene)))


# The front of 12 ft is 144 in long; beside a door 80 in high in a wall of 8 ft a panel is 32 in.
@pytest.mark.parametrize(
    ("width", "left", "is_found"),
    [
        (80, 32, False),  # 32 and 32
        (82, 31, True),  # 31 and 31
        (66, 30, False),  # 30, and 48 in one
        (68, 30, True),  # 30, and 46
    ],
)
def test_two_panels_or_one_of_48_in(width: int, left: int, is_found: bool) -> None:
    findings = found(table(door(width, left, header="2x12")))
    assert len(findings) == is_found
    for one in findings:
        assert "the front wall" in one.text
        assert "R602.10.5" in one.text
        assert "rule for houses" in one.text


def test_a_long_wall_takes_two_panels() -> None:
    # 18 ft, 216 in. Between four windows are 20, 18, 18, 6 and 10 in, and 24 in is the least.
    windows = [
        {
            "name": f"light {k}",
            "kind": "window",
            "wall": "front",
            "from_left": f"{left} in",
            "width": "36 in",
            "height": "30 in",
            "sill": "3 ft",
        }
        for k, left in enumerate((20, 74, 128, 170), start=1)
    ]
    assert len(found(table(*windows, length="18 ft"))) == 1
    # 20, 18, 60 and 10 in: the one of 60 in is alone. 114 in hold two.
    assert len(found(table(windows[0], windows[1], windows[3], length="18 ft"))) == 1
    assert found(table(windows[0], windows[3], length="18 ft")) == []


def test_the_text_names_what_there_is_and_the_mends_work() -> None:
    scene = table(door(82, 31, header="2x12"))
    (one,) = found(scene)
    assert "2' 7\" of sheathing" in one.text
    assert "2' 8\" twice, or 4' 0\" in one" in one.text
    # 113 - 48 in: the door may be 65 in wide where it is; or something else braces the wall.
    told = ways(one.mend, one.key)
    assert told[0] == ("opening[1].width", "5' 5\"")
    assert told[1] == ("walls.braced_elsewhere", ["front"])
    for key, value in told:
        assert found(follow(scene, key, value)) == []


def test_only_whole_sheathed_walls_are_looked_at() -> None:
    wide = door(82, 31, header="2x12")
    assert len(found(table(wide))) == 1
    assert found(table(wide, front={"kind": "braces", "brace": "none"})) == []
    assert found(table(wide, braced_elsewhere=["front"])) == []
    # At the gable's end 20 in are left either side, and the least is that of 8 ft at its eaves.
    assert len(found(table({**wide, "wall": "right", "from_left": "20 in", "width": "80 in"}))) == 1


def test_a_wall_that_wants_more_than_its_sheathing_says_so_where_it_is_framed() -> None:
    # By IRC R602.10.5 31 in either side are too little of a wall of 8 ft beside a door of 80 in,
    # and 32 in are enough.
    def told(table: dict[str, Any]) -> dict[str, list[str]]:
        scene, _ = check_scene(table)
        assert scene
        return {
            caption["name"].split("  ")[-1]: line
            for caption in captions(build(scene), {})
            for block in caption["blocks"]
            if block["head"] == "Bracing"
            for line in [block["plain"]]
        }

    short, enough = door(82, 31, header="2x12"), door(80, 32, header="2x12")
    for scene in (table(short), table(short, braced_elsewhere=["front"])):
        ((name, (why, wanted)),) = told(scene).items()
        assert name == "Front wall"
        assert "front wall: its openings leave too little sheathing" in why
        assert "portal frame" in wanted
        assert "not drawn" in wanted
    assert told(table(enough)) == {}
    # Where the scene alone says so no opening is blamed.
    ((_, (why, _)),) = told(table(enough, braced_elsewhere=["front"])).items()
    assert "as the scene says" in why
    assert "openings" not in why


def test_its_framing_plan_says_so_too(honey_house: Building) -> None:
    said = {
        sheet.name: " ".join(one.words for one in sheet.marks if isinstance(one, Words))
        for sheet in framing(honey_house)
    }
    told = [name for name, words in said.items() if "portal frame" in words]
    assert told == ["right-wall-framing"]  # as the scene has it
