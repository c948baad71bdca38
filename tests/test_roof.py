"""The roof's spacing, overhangs, lookouts and deck, measured on the parts."""

from __future__ import annotations

import itertools
from collections import defaultdict
from math import cos, radians, sin, tan

import pytest
from hypothesis import given

from draws import draws
from measuring import CUT_MM, GAP_MM, INCH, box_of, corners, gaps, of_kind
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.placement import Points
from pikepole_model.geometry.spacing import laid_apart, row_joints, sheet_edges, sheet_rows
from pikepole_model.scene.schema import Scene
from strategies import scenes

RAFTERS = (Kind.RAFTER, Kind.END_RAFTER)


def x_span(part: Part) -> tuple[float, float]:
    box = box_of(part)
    return box.low[0], box.high[0]


def roof_ends(scene: Scene) -> tuple[float, float]:
    bays = {bay.side: bay.reach for bay in scene.bay}
    return -bays.get("left", 0.0), scene.building.length + bays.get("right", 0.0)


def up_slope(part: Part, slope: float, falls: str) -> tuple[float, float]:
    """From and to along the slope, uphill, mm."""
    points = corners(part)
    y = points[:, 1] if falls == "front" else -points[:, 1]
    along = y * cos(slope) + points[:, 2] * sin(slope)
    return float(along.min()), float(along.max())


def off_slope(part: Part, slope: float, falls: str) -> tuple[float, float]:
    """From and to square to the roof, outwards, mm."""
    points = corners(part)
    y = points[:, 1] if falls == "front" else -points[:, 1]
    out = points[:, 2] * cos(slope) - y * sin(slope)
    return float(out.min()), float(out.max())


def test_rafters_on_centre(building: Building) -> None:
    # The first flush with the roof's end, the next with its centre one spacing from it, and so on:
    # no two farther apart than the spacing (common practice, no source). A wall under a roof that
    # runs on has a rafter of its own, flush with its outer face. The last but one stands as far in
    # from the roof's end as the lookouts on it reach out, and clear of a wall's plates there.
    scene = building.scene
    start, end = roof_ends(scene)
    spans = sorted(x_span(part) for part in of_kind(building, *RAFTERS))
    centres = [(a + b) / 2 for a, b in spans]
    assert spans[0][0] == pytest.approx(start, abs=CUT_MM)
    assert spans[-1][1] == pytest.approx(end, abs=CUT_MM)
    assert max(gaps(centres)) <= scene.roof.spacing + CUT_MM
    extra = [centre for centre in centres[1:-1] if (centre - start) % scene.roof.spacing > CUT_MM]
    extra = [c for c in extra if scene.roof.spacing - (c - start) % scene.roof.spacing > CUT_MM]
    breadth = scene.lumber_stock(scene.roof.rafter).breadth_mm
    walls = {"left": breadth / 2, "right": scene.building.length - breadth / 2}
    in_from_ends = {
        min(c - breadth / 2 - start, end - c - breadth / 2) for c in (centres[1], centres[-2])
    }
    assert min(in_from_ends) >= scene.roof.rake_overhang - CUT_MM
    for centre in extra:
        set_in = min(centre - start, end - centre) - breadth / 2
        own = [abs(centre - walls[bay.side]) < CUT_MM for bay in scene.bay]
        assert any(own) or set_in in (
            pytest.approx(scene.roof.rake_overhang, abs=CUT_MM),
            pytest.approx(scene.lumber_stock(scene.walls.stud).depth_mm, abs=CUT_MM),
        )
    for bay in scene.bay:
        assert any(abs(centre - walls[bay.side]) < CUT_MM for centre in centres)


def test_overhangs(building: Building) -> None:
    # Level distances from the walls' framing and from the roof's ends, as the scene has them.
    scene = building.scene
    roof, deep = scene.roof, scene.building.depth
    near, far = roof.high_overhang, roof.eave_overhang
    if roof.falls == "front":
        near, far = far, near
    sheets = [box_of(part) for part in of_kind(building, Kind.ROOF_SHEET)]
    # The sheets reach over fascia and barge boards, where there are any.
    boards = of_kind(building, Kind.FASCIA)
    fascia = scene.lumber_stock(boards[0].stock).breadth_mm if boards else 0.0
    barge = scene.barge.breadth_mm if scene.barge else 0.0
    near, far = near + fascia, far + fascia
    # A sheet's edge is square to the roof: its upper face leans downhill by t sin.
    lean = scene.sheet_stock(roof.sheet).thickness_mm * sin(radians(roof.slope))
    if roof.falls == "back":
        far += lean
    else:
        near += lean
    assert min(box.low[1] for box in sheets) == pytest.approx(-near, abs=CUT_MM)
    assert max(box.high[1] for box in sheets) == pytest.approx(deep + far, abs=CUT_MM)
    start, end = roof_ends(scene)
    assert min(box.low[0] for box in sheets) == pytest.approx(
        start - roof.rake_overhang - barge, abs=CUT_MM
    )
    assert max(box.high[0] for box in sheets) == pytest.approx(
        end + roof.rake_overhang + barge, abs=CUT_MM
    )
    for rafter in of_kind(building, Kind.RAFTER):
        # The tails' upper corners end there too, plumb or square.
        points = corners(rafter)
        tops = points[off_slope_of(points, roof.slope, roof.falls) > -CUT_MM]
        top_y = sorted((float(tops[:, 1].min()), float(tops[:, 1].max())))
        overhangs = (roof.high_overhang, roof.eave_overhang)
        if roof.falls == "front":
            overhangs = overhangs[::-1]
        assert top_y == pytest.approx([-overhangs[0], deep + overhangs[1]], abs=CUT_MM)


def off_slope_of(points: Points, slope_deg: float, falls: str) -> Points:
    """How far points lie over the highest of them, square to the roof, mm."""
    y = points[:, 1] if falls == "front" else -points[:, 1]
    out = points[:, 2] * cos(radians(slope_deg)) - y * sin(radians(slope_deg))
    return out - out.max()


def check_deck(building: Building) -> None:
    scene = building.scene
    slope, falls = radians(scene.roof.slope), scene.roof.falls
    stock = scene.sheet_stock(scene.roof.sheet)
    # Under lookouts the end rafters lie too low to carry a joint.
    carrying = {*RAFTERS, Kind.FLY_RAFTER}
    if of_kind(building, Kind.LOOKOUT):
        carrying.remove(Kind.END_RAFTER)
    members = [x_span(p) for p in of_kind(building, *carrying)]
    rows: dict[int, list[Part]] = defaultdict(list)
    for sheet in of_kind(building, Kind.ROOF_SHEET):
        rows[round(up_slope(sheet, slope, falls)[0])].append(sheet)
    joints: list[list[float]] = []
    ordered = [rows[key] for key in sorted(rows)]
    for row in ordered:
        spans = sorted(x_span(sheet) for sheet in row)
        low, high = up_slope(row[0], slope, falls)
        assert high - low <= stock.width_mm + CUT_MM
        assert all(b - a <= stock.length_mm + CUT_MM for a, b in spans)
        joints.append([])
        for left, right in itertools.pairwise(spans):
            # 1/8 in between ends (APA builder tip), and both ends on one rafter.
            assert right[0] - left[1] == pytest.approx(GAP_MM, abs=CUT_MM)
            assert any(a < left[1] and right[0] < b for a, b in members), left
            joints[-1].append((left[1] + right[0]) / 2)
    for lower, upper in itertools.pairwise(ordered):
        gap = up_slope(upper[0], slope, falls)[0] - up_slope(lower[0], slope, falls)[1]
        assert gap == pytest.approx(GAP_MM, abs=CUT_MM)
    long = max(x_span(sheet)[1] for sheet in ordered[0])
    long -= min(x_span(sheet)[0] for sheet in ordered[0])
    for lower, upper in itertools.pairwise(joints):
        # Staggered: no end joint lies over another of the row before (common practice, no source),
        # except on a roof that is too short for it, little longer than one sheet.
        for a, b in itertools.product(lower, upper):
            assert abs(a - b) > 6 * INCH or long < 1.5 * stock.length_mm


def test_deck(building: Building) -> None:
    check_deck(building)


def test_deck_lies_on_the_rafters(building: Building) -> None:
    scene = building.scene
    slope, falls = radians(scene.roof.slope), scene.roof.falls
    thick = scene.sheet_stock(scene.roof.sheet).thickness_mm
    tops = {
        round(off_slope(part, slope, falls)[1], 3)
        for part in of_kind(building, Kind.RAFTER, Kind.FLY_RAFTER, Kind.LOOKOUT)
    }
    assert len(tops) == 1
    for sheet in of_kind(building, Kind.ROOF_SHEET):
        low, high = off_slope(sheet, slope, falls)
        assert {round(low, 3)} == tops
        assert high - low == pytest.approx(thick, abs=CUT_MM)


def test_lookouts(building: Building) -> None:
    # Flat, over the end rafter, from the fly rafter to the side of the next rafter in; near the
    # spacing asked for, the first and last near the roof's edges.
    scene = building.scene
    slope, falls = radians(scene.roof.slope), scene.roof.falls
    lookouts = of_kind(building, Kind.LOOKOUT)
    if not scene.roof.rake_overhang:
        assert not lookouts
        assert not of_kind(building, Kind.FLY_RAFTER)
        return
    breadth, width = (
        scene.lumber_stock(scene.roof.lookout).breadth_mm,
        scene.lumber_stock(scene.roof.lookout).depth_mm,
    )
    spans = sorted(x_span(part) for part in of_kind(building, *RAFTERS))
    fly = sorted(x_span(part) for part in of_kind(building, Kind.FLY_RAFTER))
    assert len(fly) == 2
    reach = ((fly[0][1], spans[1][0]), (spans[-2][1], fly[1][0]))
    for x0, x1 in reach:
        side = [p for p in lookouts if x_span(p) == pytest.approx((x0, x1), abs=CUT_MM)]
        assert len(side) == len(lookouts) / 2
        for part in side:
            low, high = off_slope(part, slope, falls)
            assert high - low == pytest.approx(breadth, abs=CUT_MM)
        along = sorted(up_slope(part, slope, falls) for part in side)
        middles = [(a + b) / 2 for a, b in along]
        # Stepping aside for a block costs less than a lookout's width and the block's.
        assert max(gaps(middles)) <= scene.roof.lookout_spacing + width + 2.5 * INCH
        sheets = [up_slope(p, slope, falls) for p in of_kind(building, Kind.ROOF_SHEET)]
        whole = (min(a for a, _ in sheets), max(b for _, b in sheets))
        assert along[0][0] - whole[0] < 4 * INCH
        assert whole[1] - along[-1][1] < 4 * INCH


def test_end_rafters_carry_the_lookouts(building: Building) -> None:
    scene = building.scene
    slope, falls = radians(scene.roof.slope), scene.roof.falls
    lookouts = of_kind(building, Kind.LOOKOUT)
    for end in of_kind(building, Kind.END_RAFTER):
        top = off_slope(end, slope, falls)[1]
        if lookouts:
            under = {round(off_slope(part, slope, falls)[0], 3) for part in lookouts}
            assert under == {round(top, 3)}
        else:
            deck = off_slope(of_kind(building, Kind.ROOF_SHEET)[0], slope, falls)[0]
            assert top == pytest.approx(deck, abs=CUT_MM)


def test_blocks_fill_the_bays_at_both_bearings(building: Building) -> None:
    spans = sorted(x_span(part) for part in of_kind(building, *RAFTERS))
    clear = [(a[1], b[0]) for a, b in itertools.pairwise(spans) if b[0] - a[1] >= INCH]
    blocks = sorted(x_span(part) for part in of_kind(building, Kind.RAFTER_BLOCK))
    assert blocks == [pytest.approx(pair, abs=CUT_MM) for pair in sorted(clear * 2)]


def test_no_rafter_block_is_a_splinter(form: Building) -> None:
    # Common practice, no source: under 4 in along the grain a block splits at its toe-nails, so a
    # narrow gap over a wall is closed with upright grain, and what need not be closed has no block
    # under 3-1/2 in.
    for part in of_kind(form, Kind.RAFTER_BLOCK):
        box = box_of(part)
        wide, high = box.high[0] - box.low[0], box.high[2] - box.low[2]
        # Where something is let into its foot, it is longer before that is sawn out.
        along = high if wide < 4 * INCH - CUT_MM else wide
        assert part.length_mm >= max(along, 4 * INCH) - CUT_MM
        assert wide > 3.5 * INCH - CUT_MM or part.length_mm >= high - CUT_MM


def test_falls(building: Building) -> None:
    # The roof falls to the side that the scene says, at its slope.
    roof = building.scene.roof
    for part in of_kind(building, Kind.RAFTER):
        box = box_of(part)
        points = corners(part)
        low_y = float(points[points[:, 2].argmin(), 1])
        towards_back = low_y > (box.low[1] + box.high[1]) / 2
        assert towards_back == (roof.falls == "back")
        # The top edge: highest point above the level run's end.
        top = points[points[:, 2].argmax()]
        assert (
            float(top[2]) - float(points[:, 2].min())
            >= (box.high[1] - box.low[1]) * tan(radians(roof.slope)) - CUT_MM
        )


@draws(4)
@given(scenes())
def test_deck_of_any_roof(scene: Scene) -> None:
    check_deck(build(scene))


def test_no_joint_lies_over_one_of_the_row_before() -> None:
    # Members every 500 mm, sheets 2400 mm, a row of 5000 mm: joints at 2000 and 4000. Over a row
    # that has its own at 2000, the first goes to 1500; then 3500 is in reach and clear of 4000.
    members = [500.0 * k for k in range(1, 10)]
    assert sheet_edges(0.0, 5000.0, 2400.0, members) == [0.0, 2000.0, 4000.0, 5000.0]
    over = sheet_edges(0.0, 5000.0, 2400.0, members, None, [0.0, 2000.0, 4000.0, 5000.0])
    assert over == [0.0, 1500.0, 3500.0, 5000.0]
    # Four joints over three: 3400 is all that is left over half a sheet on, and lies over one; a
    # short sheet to 2900 does not.
    members = [900.0, 2400.0, 2900.0, 3400.0]
    over = sheet_edges(0.0, 5000.0, 2400.0, members, 1200.0, [0.0, 2400.0, 3400.0, 5000.0])
    assert over == [0.0, 900.0, 2900.0, 5000.0]
    # Where only one place is in reach, it is taken all the same.
    assert sheet_edges(0.0, 2000.0, 1200.0, [1000.0], None, [1000.0]) == [0.0, 1000.0, 2000.0]


# 3.2 mm between sheets: 1/8 in (APA builder tip).
@pytest.mark.parametrize(("size_mm", "spacing_mm"), [(1200, 600), (1200, 400), (1250, 625)])
def test_sheets_between_joints_on_centre_are_alike(size_mm: float, spacing_mm: float) -> None:
    members = [spacing_mm * k for k in range(1, 14)]
    edges = sheet_edges(0.0, 4.75 * size_mm, size_mm, members)
    sheets = laid_apart(edges)
    # A tape from the start has every joint on a member, and a sheet starting on each.
    assert [a for a, _ in sheets] == [size_mm * k for k in range(5)]
    # Sized for spacing, a sheet is the gap less than the module; what ends the row has no gap.
    assert [b - a for a, b in sheets] == pytest.approx([size_mm - 3.175] * 4 + [size_mm * 3 / 4])


def test_rows_that_no_member_holds_are_whole_sheets_a_gap_apart() -> None:
    # Two rows of 1250 mm and the gap are 2503.175 mm: exactly two whole sheets.
    sheets = sheet_rows((0.0, 0.0, 2500.0, 2503.175), 2500.0, 1250.0, [1250.0])
    rows = {(round(v0, 3), round(v1, 3)) for _, v0, _, v1 in sheets}
    assert rows == {(0.0, 1250.0), (1253.175, 2503.175)}
    assert row_joints(0.0, 1250.0, 1250.0) == []
    # Tongues and grooves close up.
    assert row_joints(0.0, 2500.0, 1250.0, tongued=True) == [1250.0]


def test_no_last_sheet_is_a_strip_where_a_member_divides_better() -> None:
    # 3700 mm on studs every 600, sheets of 1219.2 (4 ft): whole sheets would leave 100 mm. No stud
    # leaves 2 ft on both sides of a joint; that at 3000 leaves 600 and 700.
    studs = [600.0 * k for k in range(1, 7)]
    assert sheet_edges(0.0, 3700.0, 1219.2, studs) == [0.0, 1200.0, 2400.0, 3000.0, 3700.0]
    # Where only the last stud is in reach, that is taken all the same.
    assert sheet_edges(0.0, 1300.0, 1219.2, [1200.0]) == [0.0, 1200.0, 1300.0]


def test_no_row_is_narrower_than_half_a_sheet() -> None:
    # Strips under 24 in want their edges held: APA (from memory). Half a sheet, as it comes off the
    # saw, is 23-1/2 in at least: common practice, no source.
    # 12 ft in rows of 47-1/2 in with tongues: three leave 1-1/2 in, so that the first row is ripped
    # by 22 in and the last is 23-1/2 in wide.
    joints = row_joints(0.0, 144.0 * INCH, 47.5 * INCH, tongued=True)
    assert [joint / INCH for joint in joints] == pytest.approx([25.5, 73.0, 120.5])
    # 104 in of 48 in sheets without: two and their gaps leave 7-3/4 in.
    joints = row_joints(0.0, 104.0 * INCH, 48.0 * INCH)
    assert [joint / INCH for joint in joints] == pytest.approx([48.125, 80.5])
    # A row of 40 in cannot be 47-1/2 in: two share 43 in where no more is there.
    joints = row_joints(0.0, 43.0 * INCH, 40.0 * INCH, tongued=True)
    assert [joint / INCH for joint in joints] == pytest.approx([21.5])
