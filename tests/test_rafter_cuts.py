"""How rafters are cut is told on the pages of their stages, as their drawings have it."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from pikepole_export.graphics.lettering import NO_BREAK
from pikepole_export.write.pictures.captions import captions
from pikepole_export.write.pictures.rafter_cuts import rafter_cuts
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.reading.file import load_scene
from pikepole_model.units import format_length

SCENES = Path(__file__).parents[1] / "scenes"


def told(building: Building, name: str) -> list[str]:
    (stage,) = (one for one in building.stages if one.name == name)
    return [line.replace(NO_BREAK, " ") for line in rafter_cuts(building)[stage.number]]


def test_a_rafter_is_told_with_its_top_edge_its_plumb_cut_and_its_birdsmouths(
    honey_house: Building,
) -> None:
    # From the scene: 3:12 over a run of 11 ft with its overhangs. The top edge is the run over the
    # cosine, between plumb cuts that are off square by the slope (Steel Square Handbook, from
    # memory). A birdsmouth with a seat of 3-1/2 in has a heel of 3-1/2 x 3/12 in.
    slope = math.atan2(3, 12)
    top = format_length(11 * 12 * 25.4 / math.cos(slope), "imperial")
    heel = format_length(3.5 * 3 / 12 * 25.4, "imperial")
    # Both heels face down the slope: on the inside of the high wall, 12 + 3-1/2 in level from the
    # upper end, and on the outside of the low one, 9 ft of building from the high one's outside.
    first, last = (
        format_length(level * 25.4 / math.cos(slope), "imperial")
        for level in (12 + 3.5, 12 + 9 * 12)
    )
    line, *_ = told(honey_house, "Rafters")
    assert line == (
        f"17 rafters, 2x8: {top}; plumb {math.degrees(slope):.1f}°; "
        f'birdsmouths 3-1/2" x {heel} at {first} and {last}'
    )


def test_mouths_of_two_sizes_are_each_told_with_their_place() -> None:
    # From the scene: 6:12 from the middle of a ridge beam of three plies of 1-1/2 in, which both
    # slopes share: a seat of half of it at the upper end, and one of 3-1/2 in over the wall, with
    # its heel on the outside, half of 12 ft from the middle.
    line, *_ = told(build(load_scene(SCENES / "canoe-store.toml")), "Rafters")
    slope = math.atan2(6, 12)
    mouths = [
        tuple(format_length(inch * 25.4, "imperial") for inch in (seat, seat * 6 / 12, at))
        for seat, at in ((2.25, 2.25 / math.cos(slope)), (3.5, 6 * 12 / math.cos(slope)))
    ]
    assert line.endswith("birdsmouths " + ", ".join("{} x {} at {}".format(*m) for m in mouths))


def test_a_fly_rafter_has_no_birdsmouth(honey_house: Building) -> None:
    (line,) = told(honey_house, "Rake overhangs")
    assert line.startswith("2 fly rafters, 2x6: ")
    assert "birdsmouth" not in line


def test_rafters_that_meet_at_a_knee_are_told_with_both_their_cuts() -> None:
    # From the scene: 18:12 below the knee and 6:12 above. Plumb cuts are off square by the slope,
    # the cut at the knee halves the angle between them.
    low, high = (math.degrees(math.atan2(rise, 12)) for rise in (18, 6))
    lines = told(build(load_scene(SCENES / "seed-barn.toml")), "Rafters")
    for plumb in (low, high):
        assert sum(f"plumb {plumb:.1f}°" in line for line in lines) == 2
    assert all(f"bevel {(low - high) / 2:.1f}°" in line for line in lines)


@pytest.mark.parametrize(
    "name", ["canoe-store", "garden-classroom", "honey-house", "press-house", "seed-barn"]
)
def test_every_rafter_of_a_page_is_counted_once(name: str) -> None:
    building = build(load_scene(SCENES / f"{name}.toml"))
    kinds = (Kind.RAFTER, Kind.END_RAFTER, Kind.FLY_RAFTER)
    seen = 0
    for caption, stage in zip(captions(building, {}), building.stages, strict=False):
        lines = [
            line
            for block in caption["blocks"]
            if block["head"].startswith("Cuts")
            for line in block["plain"]
        ]
        rafters = [part for part in stage.parts if part.kind in kinds]
        assert sum(int(line.split()[0]) for line in lines) == len(rafters)
        seen += len(rafters)
    assert seen > 10
