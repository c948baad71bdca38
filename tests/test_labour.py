"""Working hours against the published rates, worked by hand."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from blocks import joined
from fodder import read, refused
from lifted import block
from pikepole_export.derive.lifting.labour import part_hours
from pikepole_model.building.kinds import Kind
from pikepole_model.building.labour import board_feet, load_rates

README = Path(__file__).parents[1] / "scenes" / "README.md"
IN, FT = 25.4, 304.8


@pytest.mark.parametrize(
    ("section_in", "feet", "board"),
    [
        # American Softwood Lumber Standard PS 20: dressed 1-1/2 by 3-1/2 is sold as 2 by 4.
        ((1.5, 3.5), 8, 16 / 3),
        ((1.5, 5.5), 12, 12),
        ((0.75, 5.5), 12, 6),
        ((5.5, 5.5), 10, 30),
        ((1.5, 11.25), 10, 20),
        # 38 by 89 mm is the same 2 by 4.
        ((38 / IN, 89 / IN), 8, 16 / 3),
    ],
)
def test_board_feet_are_those_it_is_sold_as(
    section_in: tuple[float, float], feet: float, board: float
) -> None:
    breadth, depth = section_in
    assert board_feet((breadth * IN, depth * IN), feet * FT) == pytest.approx(board)


def hours_of(kind: Kind, size_in: tuple[float, float, float], **scene: Any) -> tuple[float, float]:
    length, width, thickness = (side * IN for side in size_in)
    part = block("piece", (length, width, thickness), 10, kind=kind)
    building = joined([part], [])
    building = replace(building, scene=building.scene.model_copy(update=scene))
    hours = part_hours(building)["piece"]
    return hours.low, hours.high


def test_a_stud_and_a_sheet_take_what_the_textbook_says() -> None:
    # Estimating in Building Construction, Fig. 13.55: walls 18 to 30 h for 1,000 board feet;
    # plywood on walls 1.2 to 2.5 h for 100 ft2. A 2x4 of 8 ft has 5.33 board feet, a 4x8 sheet 32
    # ft2.
    assert hours_of(Kind.STUD, (96, 3.5, 1.5)) == pytest.approx((0.096, 0.160))
    assert hours_of(Kind.WALL_SHEET, (96, 48, 7 / 16)) == pytest.approx((0.384, 0.80))
    # The same: roofs 1.4 to 2.8, floors 1.0 to 2.0; sills 2.0 to 4.5 h for 100 ft.
    assert hours_of(Kind.ROOF_SHEET, (96, 48, 7 / 16)) == pytest.approx((0.448, 0.896))
    assert hours_of(Kind.FLOOR_SHEET, (96, 48, 0.75)) == pytest.approx((0.32, 0.64))
    assert hours_of(Kind.SKID, (192, 5.5, 3.5)) == pytest.approx((0.32, 0.72))


def test_the_scene_gives_its_own_rate() -> None:
    scene = read(rate=[{"work": "wall frame", "low": 30, "high": 60}])
    assert hours_of(Kind.STUD, (96, 3.5, 1.5), rate=scene.rate) == pytest.approx((0.16, 0.32))


def test_joints_count_with_what_was_there_before() -> None:
    one, two = (block(f"ledge {n}", (600, 90, 20), 3, kind=Kind.LEDGE) for n in (1, 2))
    building = joined([one, two], [(one.name, two.name)])
    rate = next(rate for rate in load_rates() if Kind.LEDGE in rate.kinds)
    hours = part_hours(building)
    assert (hours["ledge 1"].high, hours["ledge 2"].high) == (0, rate.high_h)


def test_every_kind_has_one_rate_with_its_source() -> None:
    rates = load_rates()
    for kind in Kind:
        (rate,) = (rate for rate in rates if kind in rate.kinds)
        assert rate.source
        assert 0 <= rate.low_h <= rate.high_h


def test_the_page_of_scenes_has_the_rates() -> None:
    rows = re.findall(
        r'^\| "(.+)" \| (.+?) \| (\S+) to (\S+) \| (.+) \|$',
        README.read_text(encoding="utf-8"),
        re.M,
    )
    assert rows == [
        (rate.name, rate.per, f"{rate.low_h:g}", f"{rate.high_h:g}", rate.source)
        for rate in load_rates()
        if rate.high_h
    ]


def test_what_is_no_work_is_refused_with_the_nearest_names() -> None:
    problem = refused(rate=[{"work": "wall frames", "low": 1, "high": 2}])
    assert problem.key == "rate[1].work"
    assert '"wall frame"' in problem.mend


def test_a_rate_twice_and_a_rate_out_of_order_are_refused() -> None:
    rate = {"work": "gravel", "low": 1, "high": 2}
    assert refused(rate=[rate, rate]).key == "rate[2].work"
    problem = refused(rate=[{**rate, "low": 3}])
    assert (problem.key, "at most 2" in problem.mend) == ("rate[1]", True)
