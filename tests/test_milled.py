"""Shiplap milled from rough boards, and battens ripped from sheets: counted, weighed, bought."""

from __future__ import annotations

import itertools

import pytest

from clad import INCH, clad, on_wall, problems, spans
from measuring import CUT_MM
from mended import ways
from pikepole_export.derive.inventory.mass import part_mass
from pikepole_model.building.kinds import Kind
from pikepole_model.checks.fit import check
from test_buy_list import listed
from test_cladding import RIPPED

# A rough board of 1 by 8 in, planed to 7/8 in, with rabbets of 1/2 in.
ROUGH = {
    "kind": "boards",
    "walls": ["front"],
    "board": "rough 1x8",
    "planed": "7/8 in",
    "lap": "1/2 in",
    "reveal": "1/8 in",
}


def test_a_course_is_the_rough_width_less_its_lap_and_with_its_reveal() -> None:
    building = clad(ROUGH)
    assert not check(building)
    boards = on_wall(building, "front", Kind.SIDING)
    feet = sorted({round(spans(part, "front")[1][0], 4) for part in boards})
    # 8 in less 1/2 in behind the next board, and 1/8 in left open: 7-5/8 in.
    steps = [b - a for a, b in itertools.pairwise(feet)]
    assert steps == pytest.approx([7.625 * INCH] * len(steps), abs=1e-3)
    for part in boards:
        n0, n1 = spans(part, "front")[2]
        assert n1 - n0 == pytest.approx(7 / 8 * INCH, abs=CUT_MM)
    # The lowest board, whole: 8 x 7/8 in less two rabbets of 1/2 in by half of 7/8 in.
    whole = min(boards, key=lambda part: spans(part, "front")[1][0])
    section = (8 * 7 / 8 - 2 * 1 / 2 * 7 / 16) * INCH**2
    assert whole.volume_mm3 == pytest.approx(section * whole.length_mm, rel=1e-6)
    # Spruce-pine-fir, G 0.42, at 15 % (NDS Supplement 3.1.3).
    density = 62.4 * 0.42 / (1 + 0.009 * 0.42 * 15) * 1.15 * 0.45359237 / (12 * INCH) ** 3
    assert part_mass(whole).likely_kg == pytest.approx(density * whole.volume_mm3, rel=0.002)


def test_rough_boards_are_bought_for_it() -> None:
    building = clad(ROUGH)
    _, order = listed(building.scene)
    rows = [row for row in order.purchases if row.item == "rough 1x8"]
    long = sum(part.length_mm for part in on_wall(building, "front", Kind.SIDING))
    assert sum(row.sold_by["length"] for row in rows) >= long


def test_a_board_planed_to_more_than_it_is_thick_is_refused() -> None:
    (problem,) = problems({**ROUGH, "planed": "1-1/8 in"})
    assert problem.key == "cladding[1].planed"
    for _, value in ways(problem.mend, problem.key):
        table = {**ROUGH, "planed": value}
        if value is None:
            del table["planed"]
        assert not problems(table)


def test_battens_ripped_from_a_sheet_cover_every_gap() -> None:
    # 48 in in sixteen with fifteen kerfs of 1/8 in between: 2-113/128 in each, 2-7/8 in as a tape
    # shows, 5/8 in thick, over each of the gaps between boards of 9-1/4 in.
    wide = (2 + 7 / 8) * INCH
    building = clad({**RIPPED, "walls": ["back"]})
    boards = sorted(spans(p, "back")[0] for p in on_wall(building, "back", Kind.UPRIGHT_BOARD))
    strips = on_wall(building, "back", Kind.BATTEN_STRIP)
    # A wall over 9 ft high takes two lengths of an 8 ft sheet over each gap.
    battens = sorted({tuple(round(u, 5) for u in spans(p, "back")[0]) for p in strips})
    assert len(strips) == 2 * len(battens)
    assert len(battens) == len(boards) - 1
    for (_, left), (right, _), (u0, u1) in zip(boards, boards[1:], battens, strict=False):
        assert u1 - u0 == pytest.approx(wide, abs=CUT_MM)
        assert (u0 + u1) / 2 == pytest.approx((left + right) / 2, abs=CUT_MM)
    (thick,) = {round(min(p.shape.size_mm), 3) for p in strips}
    assert thick == pytest.approx(5 / 8 * INCH, abs=CUT_MM)
    assert not on_wall(building, "back", Kind.BATTEN)
    assert not check(building)
