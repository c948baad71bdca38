"""What closes the base flashing at the corners of the building, measured and worked by hand.

Common practice, no source, in all: 2 in of flashing up behind the cladding, which ends 1/4 in over
the flange; a drip leg 1/4 in clear of the cladding's face and 3/8 in down; 2 in of lap.
"""

from __future__ import annotations

from math import hypot

import pytest

from clad import DEPTH_MM, INCH, LENGTH_MM, ONE_BY, SHEET_MM, WRAP_MM, Table, clad
from measuring import CUT_MM, box_of, of_kind
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.fit import check

LEVEL: Table = {"kind": "boards", "board": "1x8"}
STRIPS: Table = {"kind": "battens", "sheet": "19/32 plywood"}
AROUND: Table = {"edges": {}, "wrap": {}}

# 29 ga galvanised, 0.0172 in; lengths lapped 2 in.
STEEL, LAP = 0.0172 * INCH, 2 * INCH
OPEN, CLEAR, DRIP = INCH / 4, INCH / 4, 3 / 8 * INCH
# A flange falls 3/16 in from the sheathing to its edge: common practice, no source.
RISE = 3 / 16 * INCH
PLY = 19 / 32 * INCH
# The store stands on a pad 8 in high.
FOOT_MM = 8 * INCH


def over(out: float) -> float:
    """How much higher the edge of a flange is for each thickness it lies out, and out, mm/mm."""
    return hypot(1, RISE / out) - RISE / out


def flashings(building: Building, wall: str) -> list[Part]:
    return [p for p in of_kind(building, Kind.BASE_FLASHING) if p.name.startswith(wall)]


def corner(building: Building, left: str, right: str) -> Part:
    (part,) = [
        part
        for part in of_kind(building, Kind.FLASHING_CORNER)
        if part.name.startswith(f"{left} and {right}")
    ]
    return part


def test_each_corner_has_a_piece_one_thickness_out_over_both_runs() -> None:
    building = clad(LEVEL, **AROUND)
    assert len(of_kind(building, Kind.FLASHING_CORNER)) == 4
    part = corner(building, "right", "back")
    box = box_of(part)
    # Right and back walls meet at the store's far right corner. The right wall is 8 ft long, one
    # length, and the back wall starts there: both runs lie on the line itself, the piece on them.
    x, y = LENGTH_MM + SHEET_MM, DEPTH_MM + SHEET_MM
    out = WRAP_MM + ONE_BY + CLEAR + 2 * STEEL
    assert box.high[0] == pytest.approx(x + out, abs=CUT_MM)
    assert box.high[1] == pytest.approx(y + out, abs=CUT_MM)
    assert box.low[0] == pytest.approx(x - LAP, abs=CUT_MM)
    assert box.low[1] == pytest.approx(y - LAP, abs=CUT_MM)
    assert box.low[2] == pytest.approx(FOOT_MM - OPEN - DRIP, abs=CUT_MM)
    # It starts two thicknesses out from the corner of the sheathing, over the runs' line, which
    # falls 3/16 in over their flange; its edge is two thicknesses over theirs, square to the slope,
    # and two out, where that is lower.
    flange = WRAP_MM + ONE_BY + CLEAR
    top = RISE * (1 - 2 * STEEL / flange) + 2 * STEEL * over(flange)
    assert box.high[2] == pytest.approx(FOOT_MM - OPEN + top, abs=CUT_MM)
    assert check(building) == ()


def test_the_piece_is_sheet_of_one_thickness() -> None:
    """Volume: flange and two legs, each its area times the thickness, and no edge counted twice."""
    building = clad({**LEVEL, "walls": ["front", "back"]}, {**STRIPS, "walls": ["left", "right"]})
    assert not of_kind(building, Kind.FLASHING_CORNER)  # no metal in this scene
    building = clad(
        {**LEVEL, "walls": ["front", "back"]}, {**STRIPS, "walls": ["left", "right"]}, **AROUND
    )
    part = corner(building, "right", "back")
    outs = (WRAP_MM + PLY + CLEAR, WRAP_MM + ONE_BY + CLEAR)  # of the right wall, of the back
    start = 2 * STEEL / min(outs)

    def skin(plies: int) -> float:
        """Area of one face, plies thicknesses out: two trapezoids that meet at the hip, two legs.

        Along each wall it goes from where it starts to its edge, sloping; edge and inner edge are
        as long as LAP and what is past the corner.
        """
        (u0, v0), (u1, v1) = (
            tuple(out * at + plies * STEEL for out in outs) for at in (start, 1.0)
        )
        fall = RISE * (1 - start)
        flange = (LAP + (u0 + u1) / 2) * hypot(v1 - v0, fall)
        flange += (LAP + (v0 + v1) / 2) * hypot(u1 - u0, fall)
        return flange + (2 * LAP + u1 + v1) * (DRIP + plies * STEEL * over(max(outs)))

    # Between its two faces, 1 and 2 thicknesses out. On the steeper slope it is drawn 2 % thicker,
    # so that both meet at the hip: (over(30) + tan) cos = 1.02.
    volume = (skin(1) + skin(2)) / 2 * STEEL
    assert volume - CUT_MM <= part.volume_mm3 <= 1.01 * volume
    assert check(building) == ()


def test_it_lies_over_a_second_length_that_is_itself_one_thickness_out() -> None:
    """12 ft of front wall take two lengths of 10 ft, so that the second lies one thickness out."""
    building = clad(LEVEL, **AROUND)
    runs = sorted(flashings(building, "front"), key=lambda part: box_of(part).low[0])
    assert len(runs) == 2
    second, part = box_of(runs[1]), box_of(corner(building, "front", "right"))
    assert second.low[1] == pytest.approx(
        -SHEET_MM - WRAP_MM - ONE_BY - CLEAR - 2 * STEEL, abs=CUT_MM
    )
    assert part.low[1] == pytest.approx(second.low[1] - STEEL, abs=CUT_MM)
    flange = WRAP_MM + ONE_BY + CLEAR
    top = RISE * (1 - 2 * STEEL / flange) + 3 * STEEL * over(flange)
    assert part.high[2] == pytest.approx(FOOT_MM - OPEN + top, abs=CUT_MM)
    # 2 in over the end of each.
    assert second.high[0] - part.low[0] == pytest.approx(LAP, abs=CUT_MM)


def test_corner_pieces_are_bedded_on_both_runs_with_the_base_flashing() -> None:
    building = clad(LEVEL, **AROUND)
    kinds = {part.name: part.kind for part in building.parts}
    for part in of_kind(building, Kind.FLASHING_CORNER):
        held = [joint for joint in building.joints if part.name in (joint.a, joint.b)]
        others = [joint.b if joint.a == part.name else joint.a for joint in held]
        assert {kinds[name] for name in others} == {Kind.BASE_FLASHING}
        assert {name.split()[0] for name in others} == set(part.name.split()[0:3:2])
        assert {joint.fixing for joint in held} == {"stuck"}
        assert {part.stage} == {run.stage for run in of_kind(building, Kind.BASE_FLASHING)}


@pytest.mark.parametrize(
    ("tables", "count"),
    [
        ([{**LEVEL, "walls": ["front"]}], 0),  # nothing to meet
        ([{**LEVEL, "walls": ["front", "right"]}], 1),
        ([{**LEVEL, "walls": ["front", "back"]}, {**LEVEL, "walls": ["left"]}], 2),
        # Not level with each other: 10 in over the ground on one wall, on the pad's edge on three.
        (
            [
                {**LEVEL, "walls": ["front"], "above_ground": "10 in"},
                {**LEVEL, "walls": ["right", "back", "left"]},
            ],
            2,
        ),
        # The right wall's boards start 1 ft in from the front.
        (
            [
                {**LEVEL, "walls": ["front", "back", "left"]},
                {**LEVEL, "walls": ["right"], "from_left": "1 ft"},
            ],
            3,
        ),
    ],
)
def test_only_runs_that_meet_level_at_a_corner_are_closed(tables: list[Table], count: int) -> None:
    building = clad(*tables, **AROUND)
    assert len(of_kind(building, Kind.FLASHING_CORNER)) == count
    assert [finding.text for finding in check(building)] == []
