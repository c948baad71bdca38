"""Where straps and rafter tie-downs go is told beside the picture of their stage.

Straps are told by the tape that the wall's studs are laid out with: common practice, no source.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from pikepole_export.derive.measures.ties_told import tie_words
from pikepole_export.graphics.lettering import NO_BREAK
from pikepole_export.write.pictures.captions import captions
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Stage
from pikepole_model.reading.file import load_scene
from pikepole_model.units import parse_length
from planned import built


def stage_of(building: Building, name: str) -> Stage:
    (stage,) = (one for one in building.stages if one.name == name)
    return stage


@pytest.mark.parametrize("name", ["canoe-store", "garden-classroom", "honey-house"])
def test_every_strap_is_told_where_the_tape_finds_it(name: str) -> None:
    building = built(name)
    lines = tie_words(building, stage_of(building, "Rafters"))
    # From outside the front wall's left end is the building's, the back wall's is its right one.
    for wall, sign in (("front wall", 1), ("back wall", -1)):
        told = [
            parse_length(text)
            for line in lines
            if line.startswith(f"{wall} straps, inner face, ")
            for text in line.rpartition(": ")[2].split(", ")
        ]
        plates = [
            part
            for part in building.finished.parts
            if part.kind is Kind.BOTTOM_PLATE and part.group == wall
        ]
        ends = [part.bounds_mm[0 if sign > 0 else 1][0] for part in plates]
        start = min(ends) if sign > 0 else max(ends)
        straps = [
            sign * (part.centre_mm[0] - start)
            for part in building.finished.parts
            if part.kind is Kind.STRAP and part.name.startswith(wall)
        ]
        assert straps
        assert told == pytest.approx(sorted(straps), abs=0.8)


def test_rafters_along_a_raked_plate_have_no_tie_down(honey_house: Building) -> None:
    (line,) = (
        one
        for one in tie_words(honey_house, stage_of(honey_house, "Rafters"))
        if one.startswith("rafter tie-downs")
    )
    # One lies on the plates of the left wall and one on those of the right one.
    assert line == (
        "rafter tie-downs on the back beam and front beam: one at each rafter but the 2 along "
        "raked plates"
    )


@pytest.mark.parametrize("form", ["canoe-store", "press-house", "seed-barn"])
def test_pages_say_it_under_set_out(form: str) -> None:
    building = build(load_scene(Path(__file__).parents[1] / "scenes" / f"{form}.toml"))
    for stage, caption in zip(building.stages, captions(building, {}), strict=False):
        wanted = tie_words(building, stage)
        told = [
            line
            for block in caption["blocks"]
            if block["head"] == "Set out"
            for line in block["plain"]
        ]
        assert set(wanted) <= {line.replace(NO_BREAK, " ") for line in told}
