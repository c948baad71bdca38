"""What stands already has its place and size; frames have diagonals and heights of blocks."""

from __future__ import annotations

import math
import re
from functools import cache
from pathlib import Path

import pytest
import shapely

from pikepole_export.derive.measures.layouts import layout_of
from pikepole_export.write.drawings.svg import box_of
from pikepole_export.write.pictures.pieces import piece_lines
from pikepole_export.write.plans.framing import framing
from pikepole_export.write.plans.sheet import Layer, Measure, PlanSheet, Words
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.reading.file import load_scene
from pikepole_model.units import format_length

INCH = 25.4
SCENES = Path(__file__).parents[1] / "scenes"


@cache
def built(name: str) -> Building:
    return build(load_scene(SCENES / f"{name}.toml"))


@cache
def sheets(name: str) -> dict[str, PlanSheet]:
    return {sheet.name: sheet for sheet in framing(built(name))}


def said(sheet: PlanSheet) -> list[str]:
    return [one.words for one in sheet.marks if isinstance(one, Words | Measure)]


def noted(sheet: PlanSheet) -> str:
    """Its words as they are read on, whatever lines they break into."""
    return " ".join(said(sheet)).replace("\u00a0", " ")


def test_posts_that_are_taken_out_later_stand_on_a_sheet() -> None:
    # The scene: posts of 3-1/2 in and 9 ft, in the corners and the lines of the walls.
    sheet = sheets("press-house")["standing-already"]
    assert said(sheet).count("A") == 6
    assert {'0"', "2' 8\"", "7' 8\"", "15' 0-1/2\"", "9' 10-1/2\""} <= set(said(sheet))
    assert 'A 3-1/2" x 3-1/2" x 9\' 0" high' in noted(sheet)
    assert "the left and front faces of the walls' frame (dashed), to the near edge" in noted(sheet)


def test_posts_inside_are_measured_from_the_walls_lines() -> None:
    # The scene: two posts of 100 mm, 2.4 m from the front, in a frame of 6 by 3.6 m.
    drawn = layout_of(built("garden-classroom"), built("garden-classroom").stages[0])
    assert drawn
    assert [mark.at for mark in drawn.below] == pytest.approx([0.0, 1840.0, 4250.0])
    assert [mark.at for mark in drawn.beside] == pytest.approx([0.0, 2400.0])
    assert drawn.box == pytest.approx((0.0, 0.0, 6000.0, 3600.0))
    assert len(drawn.lines) == 4
    assert drawn.squares == ()


def test_what_stands_already_is_told_with_its_size() -> None:
    press = built("press-house")
    (line,) = piece_lines(press.stages[0].parts, press.scene)
    text = line.text.replace("\u00a0", " ")
    assert text == '6 pieces there already, 3-1/2" x 3-1/2" x 9\' 0" high'


def test_a_floor_and_a_slab_have_their_diagonals_on_the_plan() -> None:
    # By Pythagoras: a floor of 14 by 9 ft, a slab of 20 by 12 ft.
    for name, sheet, long, deep in (
        ("honey-house", "floor-framing", 168, 108),
        ("canoe-store", "foundation", 240, 144),
    ):
        diagonal = format_length(math.hypot(long, deep) * INCH, "imperial")
        assert f"both diagonals {diagonal}" in noted(sheets(name)[sheet])


def test_rows_of_blocks_have_their_heights_on_a_wall() -> None:
    own = [part for part in built("honey-house").parts if part.group == "left wall"]
    floor = min(part.bounds_mm[0][2] for part in own)
    feet = {
        round(part.bounds_mm[0][2] - floor)
        for part in own
        if part.kind in (Kind.NAILING_BLOCK, Kind.WALL_BLOCK)
    }
    told = [w for w in said(sheets("honey-house")["left-wall-framing"]) if "under blocks" in w]
    assert len(told) == len(feet) > 1
    for foot in feet:
        near = {f"under blocks {format_length(foot + off, 'imperial')}" for off in (-0.5, 0, 0.5)}
        assert near & set(told)


def test_blocks_round_a_post_have_their_place_on_the_floor() -> None:
    # Posts of 100 mm stand 2.4 m from the front: a block of 45 mm before each, one behind it. The
    # block behind the joint of the back rim stands two breadths before the floor's end at 3.6 m.
    told = [
        w for w in said(sheets("garden-classroom")["floor-framing"]) if re.match(r"blocks \d", w)
    ]
    places = (int(w.removeprefix("blocks ").removesuffix(" mm")) for w in told)
    fronts = sorted(place for place in places if place != 3600 - 2 * 45)
    assert [front for front in fronts if front > 2000] == [
        front for front in fronts if 2300 <= front + 45 <= 2400 or 2500 <= front <= 2600
    ]
    assert len([front for front in fronts if front > 2000]) == 2


@pytest.mark.parametrize(
    ("name", "told"), [("canoe-store", "1' 4\" o.c."), ("garden-classroom", "400 mm o.c.")]
)
def test_studs_are_told_as_they_are_laid_out_whatever_openings_leave(name: str, told: str) -> None:
    # From the scenes: 16 in, 400 mm. In front four openings leave studs 5 ft 4, 8 and 4 ft apart,
    # and 1.2 and 2 m.
    assert f"at {told}" in noted(sheets(name)["front-wall-framing"])


def test_every_bed_has_its_size_on_the_foundation_plan() -> None:
    building = built("honey-house")
    notes = noted(sheets("honey-house")["foundation"])
    beds = [part for part in building.parts if part.kind is Kind.GRAVEL]
    assert len(beds) > 2
    for bed in beds:
        (x0, y0, _), (x1, y1, _) = bed.bounds_mm
        size = " x ".join(format_length(mm, "imperial") for mm in (x1 - x0, y1 - y0))
        assert size in notes


@pytest.mark.parametrize("name", ["press-house", "garden-classroom", "honey-house"])
def test_no_line_of_the_overall_size_runs_through_the_tape(name: str) -> None:
    # Common practice, no source: a line is broken where lettering stands on it.
    for sheet in sheets(name).values():
        tape = [
            box_of(one.words, one.at, one.size, anchor=one.anchor, angle_deg=one.angle_deg)
            for one in sheet.marks
            if isinstance(one, Words) and one.angle_deg and one.layer is Layer.DIMENSIONS
        ]
        below = [m for m in sheet.marks if isinstance(m, Measure) and m.level and m.line > m.a[1]]
        lines = [
            shapely.LineString([(x, y), (x, one.line)]) for one in below for x, y in (one.a, one.b)
        ]
        assert tape
        assert lines
        crossed = [line for line in lines for box in tape if line.intersection(box).length > 0.5]
        assert crossed == [], sheet.name
