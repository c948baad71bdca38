"""Bad scene files: one report with everything wrong in it, in a builder's words."""

from __future__ import annotations

import copy
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from pikepole_model.errors import Problem, SceneError
from pikepole_model.reading.file import check_scene, load_scene

# A potter's glaze shed: 12 x 8 ft, falling to the back, a door in the low back wall.
SHED = """
title = "Glaze shed"

[building]
length = "12 ft"
depth = "8 ft"

[foundation]
kind = "skids"

[floor]
joist = "2x6"

[walls]
stud = "2x4"
low_height = "7 ft 6 in"

[[opening]]
name = "kiln door"
kind = "door"
wall = "back"
from_left = "2 ft"
width = "3 ft"
height = "6 ft 8 in"

[[opening]]
name = "bench window"
kind = "window"
wall = "front"
from_left = "2 ft"
width = "3 ft"
height = "2 ft"
sill = "4 ft"

[[opening]]
name = "shelf window"
kind = "window"
wall = "front"
from_left = "7 ft"
width = "2 ft"
height = "2 ft"
sill = "4 ft"

[roof]
slope = "2:12"
rafter = "2x8"
"""

BAY = """
[[bay]]
side = "right"
reach = "8 ft"
"""

# What a validator says and a builder should not have to read.
JARGON = re.compile(
    r"input|valid(ator|ation)|string|boolean|integer|float|dict|tuple|pydantic|http|None|"
    r"Traceback|extra_|type=|NaN",
)


def report(folder: Path, text: str) -> tuple[Problem, ...]:
    """The problems of a scene file with this text, after checking that they read well."""
    path = folder / "shed.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(SceneError) as refused:
        load_scene(path)
    lines = str(refused.value).splitlines()
    assert len(lines) == len(refused.value.problems) == len(set(lines))
    for line, problem in zip(lines, refused.value.problems, strict=True):
        assert line.startswith(f"{path}: {problem.key}")
        assert problem.wrong
        assert problem.mend
        assert not JARGON.search(problem.wrong + problem.mend), line
    return refused.value.problems


def edited(old: str, new: str, text: str = SHED) -> str:
    """The shed with one thing changed."""
    assert text.count(old) == 1, old
    return text.replace(old, new)


def only(folder: Path, text: str) -> Problem:
    """The one problem of a scene."""
    problems = report(folder, text)
    assert len(problems) == 1, problems
    return problems[0]


def test_the_shed_itself_is_fine(tmp_path: Path) -> None:
    path = tmp_path / "shed.toml"
    path.write_text(SHED, encoding="utf-8")
    assert load_scene(path).title == "Glaze shed"


# --- the file ---


def test_broken_toml_names_line_and_column(tmp_path: Path) -> None:
    # Line 5 of the text, and the first thing wrong stands where a value should begin.
    problem = only(tmp_path, edited('length = "12 ft"', "length = 12 ft"))
    assert problem.key == "line 5, column 13"
    assert problem.value == "length = 12 ft"


def test_inch_marks_inside_quotes_are_explained(tmp_path: Path) -> None:
    problem = only(tmp_path, edited('depth = "8 ft"', 'depth = "8\' 6""'))
    assert problem.key.startswith("line 6, column ")
    assert "write in for inches" in problem.mend


def test_toml_that_stops_in_the_middle(tmp_path: Path) -> None:
    problem = only(tmp_path, 'title = "Glaze shed"\n[building')
    assert problem.key == "line 2, column 10"


@pytest.mark.parametrize("text", ["", "\n\n", "# nothing but a remark\n"])
def test_an_empty_file(tmp_path: Path, text: str) -> None:
    assert only(tmp_path, text).wrong == "this file is empty"


def test_a_file_that_is_not_utf8(tmp_path: Path) -> None:
    path = tmp_path / "shed.toml"
    path.write_bytes(SHED.replace("Glaze", "Gl\u00e4ze").encode("latin-1"))
    with pytest.raises(SceneError) as refused:
        load_scene(path)
    (problem,) = refused.value.problems
    assert (problem.key, problem.value) == ("line 2", "byte 0xe4")
    assert "UTF-8" in problem.wrong


def test_a_missing_file(tmp_path: Path) -> None:
    with pytest.raises(SceneError, match=r"gone\.toml: there is no such file"):
        load_scene(tmp_path / "gone.toml")


def test_a_folder(tmp_path: Path) -> None:
    with pytest.raises(SceneError, match="this is a folder"):
        load_scene(tmp_path)


def test_a_file_from_another_system_is_read(tmp_path: Path) -> None:
    path = tmp_path / "shed.toml"
    path.write_bytes(b"\xef\xbb\xbf" + SHED.replace("\n", "\r\n").encode())
    assert load_scene(path).title == "Glaze shed"


def test_brackets_without_end(tmp_path: Path) -> None:
    assert "bracket" in only(tmp_path, "a = " + "[" * 100_000).wrong


# --- single values ---


@pytest.mark.parametrize(
    ("old", "new", "key", "value", "says"),
    [
        # unknown keys, with the nearest known one
        ('stud = "2x4"', 'stood = "2x4"', "walls.stood", '"2x4"', "stud"),
        ('title = "Glaze shed"', 'title = "a"\nunit = "metric"', "unit", '"metric"', "units"),
        ('sill = "4 ft"\n\n[roof]', 'cill = "4 ft"\n\n[roof]', "opening[3].cill", '"4 ft"', "sill"),
        ("[floor]", "[flor]", "flor", "a table", "floor"),
        # wrong types
        ('title = "Glaze shed"', "title = 3", "title", "3", "quotes"),
        ('joist = "2x6"', "treated = 1", "floor.treated", "1", "true or false"),
        ('joist = "2x6"', 'treated = "yes"', "floor.treated", '"yes"', "true or false"),
        (
            'joist = "2x6"',
            'blocking_rows = "1"',
            "floor.blocking_rows",
            '"1"',
            "at least 0 and at most 10",
        ),
        ('joist = "2x6"', "blocking_rows = 1.5", "floor.blocking_rows", "1.5", "whole number"),
        ('joist = "2x6"', "blocking_rows = true", "floor.blocking_rows", "true", "whole number"),
        ('joist = "2x6"', "spacing = true", "floor.spacing", "true", "with its unit"),
        ('joist = "2x6"', "spacing = []", "floor.spacing", "a list", "with its unit"),
        ('joist = "2x6"', "joist = 26", "floor.joist", "26", "quotes"),
        (
            'kind = "skids"',
            'kind = "stilts"',
            "foundation.kind",
            '"stilts"',
            '"skids", "piers" or "pad"',
        ),
        ('kind = "skids"', "", "foundation.kind", "", '"skids", "piers" or "pad"'),
        ('title = "Glaze shed"', 'title = "a"\nlumber = 3', "lumber", "3", "[lumber]"),
        # a bare number, a slope without its unit
        ('length = "12 ft"', "length = 12", "building.length", "12", '"12 in" or "12 mm"'),
        ('length = "12 ft"', 'length = "12"', "building.length", '"12"', "with its unit"),
        ('slope = "2:12"', "slope = 2", "roof.slope", "2", '"2:12" or'),
        ('slope = "2:12"', 'slope = "2 in"', "roof.slope", '"2 in"', '"3:12"'),
        # negative, zero, not a number, infinite, out of range
        ('length = "12 ft"', 'length = "-12 ft"', "building.length", '"-12 ft"', "is negative"),
        ('length = "12 ft"', 'length = "0 ft"', "building.length", '"0 ft"', "is zero"),
        ('length = "12 ft"', "length = nan", "building.length", "nan", "with its unit"),
        ('length = "12 ft"', "length = inf", "building.length", "inf", "with its unit"),
        ('length = "12 ft"', "length = -inf", "building.length", "-inf", "with its unit"),
        ('length = "12 ft"', 'length = "101 m"', "building.length", '"101 m"', "too large"),
        ('joist = "2x6"', 'spacing = "49 mm"', "floor.spacing", '"49 mm"', "too small"),
        (
            'slope = "2:12"',
            'slope = "0 deg"',
            "roof.slope",
            '"0 deg"',
            "at least 1 deg and at most 60 deg",
        ),
        ('slope = "2:12"', 'slope = "-2:12"', "roof.slope", '"-2:12"', "is negative"),
        (
            'slope = "2:12"',
            'slope = "61 deg"',
            "roof.slope",
            '"61 deg"',
            "at least 1 deg and at most 60 deg",
        ),
        ('kind = "skids"', 'kind = "skids"\ncount = -3', "foundation.count", "-3", "is negative"),
        ('kind = "skids"', 'kind = "skids"\ncount = 0', "foundation.count", "0", "is zero"),
        (
            'kind = "skids"',
            'kind = "skids"\ncount = 1',
            "foundation.count",
            "1",
            "at least 2 and at most 20",
        ),
        # names
        ('title = "Glaze shed"', 'title = ""', "title", '""', "is empty"),
        ('title = "Glaze shed"', 'title = "a\\nb"', "title", '"a\\nb"', "one line"),
        ('stud = "2x4"', 'stud = "2x5"', "walls.stud", '"2x5"', '"2x4"'),
        ('stud = "2x4"', 'sheet = "7/16 osb"', "walls.sheet", '"7/16 osb"', '"7/16 OSB"'),
        ("[floor]", '[lumber]\nspecies = "sprce"\n[floor]', "lumber.species", '"sprce"', "spruce"),
        # left out
        ('depth = "8 ft"', "", "building.depth", "", 'depth = "9 ft"'),
        ('slope = "2:12"', "", "roof.slope", "", 'slope = "3:12"'),
        (
            'wall = "back"',
            "",
            "opening[1].wall",
            "",
            '"front", "back", "left", "right" or "clerestory"',
        ),
    ],
)
def test_one_bad_value(tmp_path: Path, old: str, new: str, key: str, value: str, says: str) -> None:
    problems = {problem.key: problem for problem in report(tmp_path, edited(old, new))}
    assert key in problems
    problem = problems[key]
    assert problem.value == value
    assert says in problem.wrong + problem.mend


def test_a_left_out_table(tmp_path: Path) -> None:
    problem = only(tmp_path, SHED[: SHED.index("[roof]")])
    assert (problem.key, problem.mend) == ("roof", "add the table [roof]")


def test_one_table_where_several_may_stand(tmp_path: Path) -> None:
    problem = only(tmp_path, SHED + BAY.replace("[[bay]]", "[bay]"))
    assert (problem.key, problem.value) == ("bay", "a table")
    assert "[[bay]]" in problem.mend


def test_moisture_out_of_order(tmp_path: Path) -> None:
    problem = only(tmp_path, SHED + "[moisture.treated]\nlow = 30\nlikely = 20\nhigh = 90\n")
    assert problem.key == "moisture.treated"
    assert "low at most likely" in problem.mend


@pytest.mark.parametrize(
    ("low", "key_says"), [("nan", "can be used"), ("-1", "negative"), ("251", "too large")]
)
def test_moisture_out_of_range(tmp_path: Path, low: str, key_says: str) -> None:
    problem = only(tmp_path, SHED + f"[moisture.treated]\nlow = {low}\nlikely = 20\nhigh = 90\n")
    assert problem.key == "moisture.treated.low"
    assert key_says in problem.wrong
    assert problem.mend == "give at least 0 and at most 250"


def test_limits_are_given_in_the_scenes_units(tmp_path: Path) -> None:
    imperial = edited('joist = "2x6"', 'spacing = "1 in"')
    assert 'at least 2" and at most ' in only(tmp_path, imperial).mend
    metric = imperial.replace("title", 'units = "metric"\ntitle', 1)
    assert only(tmp_path, metric).mend == "give at least 50 mm and at most 3000 mm"


# --- what does not go together ---


def test_a_floor_belongs_on_skids_only(tmp_path: Path) -> None:
    problem = only(tmp_path, edited('[floor]\njoist = "2x6"\n', ""))
    assert (problem.key, problem.value) == ("floor", "")
    on_pad = edited('kind = "skids"', 'kind = "pad"\nedge_depth = "12 in"')
    problem = only(tmp_path, on_pad)
    assert problem.key == "floor"
    assert problem.mend == "leave out floor"


def test_sills_belong_to_windows(tmp_path: Path) -> None:
    problem = only(tmp_path, edited('sill = "4 ft"\n\n[roof]', "\n[roof]"))
    assert (problem.key, problem.value) == ("opening[3].sill", "")
    problem = only(tmp_path, edited('height = "6 ft 8 in"', 'height = "6 ft"\nsill = "8 in"'))
    assert (problem.key, problem.value) == ("opening[1].sill", '"8 in"')


def test_two_openings_of_one_name(tmp_path: Path) -> None:
    problem = only(tmp_path, edited('name = "shelf window"', 'name = "bench window"'))
    assert problem.key == "opening[3].name"


def test_two_bays_at_one_end(tmp_path: Path) -> None:
    problem = only(tmp_path, SHED + BAY + BAY)
    assert (problem.key, problem.value) == ("bay[2].side", '"right"')


def test_a_beam_without_a_bay(tmp_path: Path) -> None:
    assert only(tmp_path, SHED + '[beam]\nply = "2x8"\n').key == "beam"


def test_two_wall_heights(tmp_path: Path) -> None:
    problem = only(tmp_path, edited('stud = "2x4"', 'high_height = "9 ft"'))
    assert problem.key == "walls"
    assert problem.mend == "leave out walls.low_height, or leave out walls.high_height"


def test_own_stock_under_a_name_that_is_taken(tmp_path: Path) -> None:
    own = '[[stock.species]]\nname = "southern pine"\nspecific_gravity = 0.6\n'
    assert only(tmp_path, SHED + own).key == "stock.species[1].name"
    twice = '[[stock.sheet]]\nname = "b"\nthickness = "12 mm"\nwidth = "1 m"\nlength = "2 m"\n'
    twice += "density_kg_m3 = 600\n"
    problem = only(tmp_path, SHED + twice + twice)
    assert problem.key == "stock.sheet[2].name"
    assert problem.wrong == "is in this scene twice, first at stock.sheet[1]"


def test_own_pane_with_one_side_of_its_sheet_or_a_name_that_is_taken(tmp_path: Path) -> None:
    own = '[[stock.pane]]\nname = "{}"\nthickness = "4 mm"\ndensity_kg_m3 = 2500\n'
    assert only(tmp_path, SHED + own.format("4 mm glass")).key == "stock.pane[1].name"
    problem = only(tmp_path, SHED + own.format("float") + 'width = "1 m"\n')
    assert problem.key == "stock.pane[1]"
    assert "one side" in problem.wrong
    swapped = own.format("float") + 'width = "2 m"\nlength = "1 m"\n'
    assert "out of order" in only(tmp_path, SHED + swapped).wrong


def test_own_lumber_with_its_sizes_swapped(tmp_path: Path) -> None:
    own = '[[stock.lumber]]\nname = "b"\nbreadth = "5 in"\ndepth = "2 in"\nlengths = ["8 ft"]\n'
    assert only(tmp_path, SHED + own).key == "stock.lumber[1]"


def test_overlapping_openings(tmp_path: Path) -> None:
    # bench window ends at 2 ft + 3 ft = 60 in. One jack and one king on each side of both are
    # 4 x 1-1/2 = 6 in, so the next can start at 66 in.
    fits = edited('from_left = "7 ft"', 'from_left = "66 in"')
    path = tmp_path / "shed.toml"
    path.write_text(fits, encoding="utf-8")
    load_scene(path)
    problem = only(tmp_path, edited('from_left = "7 ft"', 'from_left = "65-15/16 in"'))
    assert (problem.key, problem.value) == ("opening[3].from_left", '"65-15/16 in"')
    assert "bench window" in problem.wrong
    assert "at least 5' 6\"" in problem.mend


def test_an_opening_in_the_corner(tmp_path: Path) -> None:
    problem = only(tmp_path, edited('from_left = "7 ft"', 'from_left = "9 ft 6 in"'))
    assert problem.key == "opening[3].from_left"
    assert "corner" in problem.wrong


def test_an_opening_wider_than_its_wall(tmp_path: Path) -> None:
    problems = report(
        tmp_path, edited('width = "3 ft"\nheight = "6', 'width = "13 ft"\nheight = "6')
    )
    assert ("opening[1].width", '"13 ft"') in {(p.key, p.value) for p in problems}


def test_an_opening_taller_than_its_wall(tmp_path: Path) -> None:
    # 7 ft 6 in less two plates of 1-1/2 in and a 5-1/2 in header leaves 81-1/2 in.
    problems = report(tmp_path, edited('height = "6 ft 8 in"', 'height = "8 ft"'))
    assert (problems[0].key, problems[0].value) == ("opening[1].height", '"8 ft"')
    assert "at most 6' 9-1/2\"" in problems[0].mend


def test_a_window_whose_header_does_not_fit_under_the_plate(tmp_path: Path) -> None:
    # The front wall is the high one: 90 in and 2/12 of the 92-1/2 in between the bearings, that is
    # 105.42 in, less plates of 3 in: 102.42. The window ends at 100 in, so 2.42 in are left for
    # the header's 5-1/2 in.
    problem = only(
        tmp_path,
        edited(
            'height = "2 ft"\nsill = "4 ft"\n\n[roof]', 'height = "52 in"\nsill = "4 ft"\n\n[roof]'
        ),
    )
    assert (problem.key, problem.value) == ("opening[3].height", '"52 in"')
    assert 'leaves 2-7/16"' in problem.wrong
    # 102.42 - 5.5 - 48 = 48.92 in, to the sixteenth below.
    assert "at most 4' 0-7/8\"" in problem.mend


def test_an_opening_in_a_raked_wall_counts_at_its_lower_end(tmp_path: Path) -> None:
    # The left wall seen from outside has the low back corner at its left.
    side = SHED.replace('wall = "back"\nfrom_left = "2 ft"', 'wall = "left"\nfrom_left = "{}"')
    tall = side.replace('height = "6 ft 8 in"', 'height = "7 ft 2 in"')
    path = tmp_path / "shed.toml"
    path.write_text(tall.format("4 ft 3 in"), encoding="utf-8")
    load_scene(path)
    problem = only(tmp_path, tall.format("9 in"))
    assert problem.key == "opening[1].height"
    assert "at its lower end" in problem.wrong


def test_a_sill_on_the_bottom_plate(tmp_path: Path) -> None:
    problem = only(tmp_path, edited('sill = "4 ft"\n\n[roof]', 'sill = "2 in"\n\n[roof]'))
    assert problem.key == "opening[3].sill"
    assert 'at least 3"' in problem.mend  # two plates of 1-1/2 in


def test_a_beam_longer_than_any_stock(tmp_path: Path) -> None:
    long = SHED + BAY.replace("8 ft", "25 ft")
    problem = only(tmp_path, long)
    assert (problem.key, problem.value) == ("beam.ply", '"2x8" by default')
    # 20 ft, half an inch off each end.
    assert "19' 11\"" in problem.wrong
    path = tmp_path / "shed.toml"
    path.write_text(long + "posts = 2\n", encoding="utf-8")
    load_scene(path)


def test_a_beam_thicker_than_its_wall(tmp_path: Path) -> None:
    # 3 x 1-1/2 + 2 x 1/2 = 5-1/2 in on a 3-1/2 in wall.
    problems = report(tmp_path, SHED + BAY + "[beam]\nplies = 3\n")
    assert (problems[0].key, problems[0].value) == ("beam.plies", "3")
    assert 'makes the beam 5-1/2" thick' in problems[0].wrong


def test_a_post_thinner_than_its_beam(tmp_path: Path) -> None:
    beam = "[beam]\nplies = 3\n"
    text = edited('stud = "2x4"', 'stud = "2x6"') + BAY
    problem = only(tmp_path, text + 'post = "4x4"\nseat = "cap"\n' + beam)
    assert (problem.key, problem.value) == ("bay[1].post", '"4x4"')
    # A notch for 5-1/2 in leaves nothing of a 6x6.
    problem = only(tmp_path, text + 'post = "6x6"\n' + beam)
    assert problem.key == "bay[1].post"
    assert "notched" in problem.wrong


def test_footings_in_the_gravel_or_in_each_other(tmp_path: Path) -> None:
    # 8 ft / 5 = 19.2 in to the first post, less half a footing of 12 in: 13.2 in, clear of the
    # gravel's 12 in; with six posts 10 in, not clear.
    text = SHED + BAY
    path = tmp_path / "shed.toml"
    path.write_text(text + "posts = 5\n", encoding="utf-8")
    load_scene(path)
    problem = only(tmp_path, text + "posts = 6\n")
    assert (problem.key, problem.value) == ("bay[1].posts", "6")
    assert "gravel" in problem.wrong
    # Footings of 18 in, posts 19.2 in apart but the last, half a post less: 16.45 in.
    wide = text + 'posts = 5\n[bay.footing]\ndiameter = "18 in"\n'
    problems = report(tmp_path, wide)
    assert {problem.key for problem in problems} == {"bay[1].posts"}
    assert "into each other" in problems[-1].wrong


def test_a_sill_on_the_anchor_bolts(tmp_path: Path) -> None:
    pad = edited('kind = "skids"', 'kind = "pad"\nedge_depth = "1 ft"')
    pad = pad.replace('[floor]\njoist = "2x6"\n', "")
    problem = only(tmp_path, edited('sill = "4 ft"\n\n[roof]', 'sill = "4 in"\n\n[roof]', pad))
    assert problem.key == "opening[3].sill"
    # Two plates of 1-1/2 in, a washer of 1/4 in, a nut and threads of 1/2 in each.
    assert 'at least 4-1/4"' in problem.mend


def test_more_parts_than_can_be_handled(tmp_path: Path) -> None:
    from pikepole_model.build import MOST_PARTS, build

    assert MOST_PARTS == 20_000
    # Over 99 m joists every 110 mm, ten rows of blocks of 91 mm between them: 11 x 900; boards of
    # 63.5 mm, 1400 with as many battens on two walls, each in two lengths: 11,200.
    text = edited('joist = "2x6"', 'joist = "1x6"\nspacing = "110 mm"\nblocking_rows = 10')
    text = edited("[roof]", '[roof]\nspacing = "4 in"', text)
    text += '\n[[cladding]]\nkind = "battens"\nboard = "1x3"\nbatten = "1x2"\n'
    path = tmp_path / "shed.toml"
    path.write_text(edited('length = "12 ft"', 'length = "99 m"', text), encoding="utf-8")
    scene = load_scene(path)
    with pytest.raises(SceneError, match="more than 20,000 parts") as refused:
        build(scene)
    assert refused.value.problems[0].key == "building"


def test_a_rafter_longer_than_any_stock(tmp_path: Path) -> None:
    # 18 ft and two overhangs of 1 ft are 20 ft level, and more along the slope. Joists span it all
    # the same: 18 ft less two rims.
    problem = only(
        tmp_path, edited('depth = "8 ft"', 'depth = "18 ft"').replace("7 ft 6", "7 ft 8")
    )
    assert (problem.key, problem.value) == ("roof.rafter", '"2x8"')
    # 240 in / cos 9.4623 deg + 7.25 in x 2/12 = 244.52 in
    assert "20' 4-1/2\"" in problem.wrong


def test_a_joist_a_stud_and_a_post_longer_than_any_stock(tmp_path: Path) -> None:
    problems = report(tmp_path, edited('depth = "8 ft"', 'depth = "25 ft"'))
    assert {"floor.joist", "roof.rafter"} <= {problem.key for problem in problems}
    problems = report(tmp_path, edited('low_height = "7 ft 6 in"', 'low_height = "25 ft"') + BAY)
    assert {"walls.low_height", "bay[1].post"} <= {problem.key for problem in problems}


def test_stud_spacing_wider_than_the_wall(tmp_path: Path) -> None:
    wide = edited('stud = "2x4"', 'spacing = "9 ft"')
    problem = only(tmp_path, wide)
    assert (problem.key, problem.value) == ("walls.spacing", '"9 ft"')
    # No wider than a sheet, either: at 8 ft sheets of 4 ft would have no stud to break on.
    assert problem.mend == "give at most 4' 0\""


def test_a_slope_that_drops_the_eave_below_the_door_head(tmp_path: Path) -> None:
    # The 2x6 end rafters lie 7-1/4 - 1-1/2 - 5-1/2 = 1/4 in higher than the 2x8s, under the
    # lookouts. A quarter of 5-1/2 in notched leaves 1-3/8 + 1/4 = 1-5/8 in for the 2x8s: a seat of
    # 1-5/8 in over the sine. With an overhang of 12 in the tail's underside is (1-5/8 / sin s + 12)
    # tan s below the low bearing at 90 in, less what is cut off level of its spike, 7-1/4 in times
    # 1 / cos s - 1. The door's head is at 80 in, so 12 tan s - 5-5/8 / cos s stays below 2-3/4 in:
    # 10.1:12.
    path = tmp_path / "shed.toml"
    path.write_text(edited('slope = "2:12"', 'slope = "10:12"'), encoding="utf-8")
    load_scene(path)
    problem = only(tmp_path, edited('slope = "2:12"', 'slope = "10.2:12"'))
    assert (problem.key, problem.value) == ("roof.slope", '"10.2:12"')
    assert "kiln door" in problem.wrong
    assert "give roof.eave_overhang at most 11-" in problem.mend


def test_walls_too_low_to_frame(tmp_path: Path) -> None:
    low = edited('low_height = "7 ft 6 in"', 'high_height = "7 ft"')
    problems = report(tmp_path, edited('slope = "2:12"', 'slope = "10:12"', low))
    assert "walls.high_height" in {problem.key for problem in problems}


def test_a_rafter_without_a_seat(tmp_path: Path) -> None:
    # A quarter of 3-1/2 in over sin 45 deg is 1.24 in of seat; IRC R802.6 asks for 1-1/2.
    steep = edited('slope = "2:12"\nrafter = "2x8"', 'slope = "45 deg"\nrafter = "2x4"')
    problems = {problem.key: problem for problem in report(tmp_path, steep)}
    assert '1-1/4"' in problems["roof.rafter"].wrong


def test_an_anchor_bolt_through_a_thin_pad(tmp_path: Path) -> None:
    pad = edited('kind = "skids"', 'kind = "pad"\nedge_depth = "4 in"')
    problem = only(tmp_path, pad.replace('[floor]\njoist = "2x6"\n', ""))
    assert (problem.key, problem.value) == ("foundation.bolt_embedment", '7" by default')
    assert problem.mend == "give foundation.edge_depth at least 1' 6\""  # 12 in in the ground


def test_something_through_the_edge_of_the_floor(tmp_path: Path) -> None:
    pipe = '[[floor.through]]\nname = "pipe"\nx = "11 ft"\ny = "2 ft"\nwidth = "18 in"\n'
    problem = only(tmp_path, SHED + pipe + 'depth = "4 in"\n')
    assert problem.key == "floor.through[1].x"
    # 12 ft less 18 in, less the end joist's 1-1/2 in and 6 mm of room: 124.26 in; in whole inches.
    assert problem.mend.split(", or ")[0] == "give 10' 4\""


def test_more_skids_than_there_is_room_for(tmp_path: Path) -> None:
    skids = edited('kind = "skids"', 'kind = "skids"\ncount = 20\ninset = "2 ft"')
    assert only(tmp_path, skids).key == "foundation.count"


# --- one report ---


def test_one_report_has_everything(tmp_path: Path) -> None:
    text = SHED
    for old, new in (
        ('title = "Glaze shed"', "colour = 3"),
        ('stud = "2x4"', 'sheet = "cardboard"\nspacing = 16'),
        ('wall = "back"', 'wall = "beck"'),
        ('from_left = "7 ft"', 'from_left = "5 ft"'),
        ('joist = "2x6"', 'spacing = "13 ft"'),
        ('slope = "2:12"', 'slope = "2:12"\neave_overhang = 1'),
    ):
        text = edited(old, new, text)
    keys = [problem.key for problem in report(tmp_path, text)]
    assert sorted(keys) == [
        "colour",
        "floor.spacing",  # wider than the floor
        "opening[1].wall",
        "opening[3].from_left",  # overlaps: its number is the file's, though the first is bad
        "roof.eave_overhang",
        "title",
        "walls.sheet",
        "walls.spacing",
    ]


def _leaves(table: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    items = table.items() if isinstance(table, dict) else enumerate(table)
    for key, value in items:
        yield (*path, key)
        if isinstance(value, dict | list):
            yield from _leaves(value, (*path, key))


def _full_table() -> dict[str, Any]:
    import tomllib

    text = SHED + BAY + "[bay.footing]\ndiameter = '12 in'\n[beam]\nply = '2x8'\n"
    text += "[[stock.lumber]]\nname = 'b'\nbreadth = '1 in'\ndepth = '2 in'\nlengths = ['8 ft']\n"
    text += "[moisture.treated]\nlow = 20\nlikely = 30\nhigh = 90\n[lumber]\nspecies = 'aspen'\n"
    text += "[[floor.through]]\nname = 'p'\nx = '1 ft'\ny = '1 ft'\nwidth = '4 in'\n"
    text += "depth = '4 in'\n[crew]\npeople = 2\nguideline = 'men'\nhours_per_day = 8\n"
    text += "[[crew.gear]]\nkind = 'winch'\nrating = '2000 lb'\nparts = 2\n"
    text += "[move]\nafter = 'Rafters'\nway = 'rollers'\nfork_spacing = '4 ft'\n"
    return tomllib.loads(text + "rise = '1:20'\nfriction = 0.2\n")


BAD: list[Any] = [
    *(None, -1, 0, 7.5, 10**400, float("nan"), float("inf"), True),
    *("", "{x}", "9 ft", "-1 in", "0:0"),
    *([], {}, [{}], {"a": {}}),
]


@pytest.mark.parametrize("path", list(_leaves(_full_table())), ids=str)
def test_no_value_anywhere_gets_past_the_report(path: tuple[str | int, ...]) -> None:
    # Whatever stands at a key, reading ends in a scene or in problems, never in anything else.
    for bad in BAD:
        table = _full_table()
        inside: Any = table
        for step in path[:-1]:
            inside = inside[step]
        if bad is None:
            del inside[path[-1]]
        else:
            inside[path[-1]] = copy.deepcopy(bad)
        scene, problems = check_scene(table)
        assert scene is not None or problems
        for problem in problems:
            assert not JARGON.search(problem.wrong + problem.mend), problem


def test_reading_a_scene_loads_no_kernel_and_no_renderer(tmp_path: Path) -> None:
    path = tmp_path / "shed.toml"
    path.write_text(SHED, encoding="utf-8")
    program = (
        "import sys, pathlib\n"
        "from pikepole_model.reading.file import load_scene\n"
        f"load_scene(pathlib.Path({str(path)!r}))\n"
        "heavy = {'cadquery', 'OCP', 'vtk', 'vtkmodules', 'pyvista', 'trimesh'}\n"
        "print(sorted(heavy & set(sys.modules)))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize(
    ("asked", "key"),
    [
        ('mesh = "A142 mesh"', "mesh"),
        ("edge_bars = 2", "edge_bars"),
        ("vapour_retarder = true", "vapour_retarder"),
        ('curing = "200 ft2/gal"', "curing"),
        ('[concrete.bars]\nspacing = "1 ft"', "bars"),
    ],
)
def test_what_goes_into_a_slab_needs_a_slab(tmp_path: Path, asked: str, key: str) -> None:
    problem = only(tmp_path, SHED + f"[concrete]\n{asked}\n")
    assert problem.key == f"concrete.{key}"
    assert "slab" in problem.wrong


def test_a_mesh_that_is_not_in_the_catalogue(tmp_path: Path) -> None:
    problem = only(tmp_path, SHED + '[concrete]\nmesh = "A124 mesh"\n')
    assert problem.key == "concrete.mesh"
    assert '"A142 mesh"' in problem.mend
    assert "[[stock.mesh]]" in problem.mend
