"""Bent metal along the roof's edges and on the walls: girths, laps, and what lies over what."""

from __future__ import annotations

import itertools
from math import atan2, cos, hypot, pi, sin, sqrt, tan
from typing import Any

import pytest
import shapely

import clad as lime_store
from clad import face_of
from conftest import SCENES
from measuring import CUT_MM, INCH, box_of, of_kind
from pikepole_export.derive.measures.bends import LIES, bends, bent_mm
from pikepole_model.build import build
from pikepole_model.building.contact import find_contacts
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.fit import check
from pikepole_model.plan.cross_section import Meets
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.slope import Slope
from pikepole_model.reading.file import check_scene, load_scene
from pikepole_model.scene.envelope import Boards
from pikepole_model.scene.foundation import Pad
from pikepole_model.stock.catalogue import load_catalogue
from pikepole_model.stock.sheet_metal import bent, girth_mm, lengths
from roofs import FORMS, along, form, span

# 29 ga galvanised, 0.0172 in (galvanised sheet gauge); 10 ft lengths lapped 2 in: common practice,
# no source.
STEEL, LENGTH, LAP = 0.0172 * INCH, 120 * INCH, 2 * INCH
# What lies over the ribs laps 6 in, in sealant: trade practice, no source.
LAPS: dict[Kind, float] = dict.fromkeys(
    (Kind.RIDGE_CAP, Kind.PEAK_CAP, Kind.KNEE_FLASHING, Kind.WALL_FLASHING), 6 * INCH
)
METAL = (
    Kind.DRIP_EDGE,
    Kind.RAKE_TRIM,
    Kind.RIDGE_CAP,
    Kind.PEAK_CAP,
    Kind.WALL_FLASHING,
)


def slopes(building: Building) -> list[Slope]:
    return list(RoofPlan(Datums(building.scene)).all_slopes)


def of_slope(building: Building, kind: Kind, slope: Slope) -> list[Part]:
    start = f"{slope.prefix}{kind}"
    return [part for part in of_kind(building, kind) if part.name.startswith(start)]


def girth(flats: list[float], bends_deg: list[float], ply: int = 0) -> float:
    """Length of the middle line of a bent sheet: a bend away from the metal makes it longer.

    The middle of a sheet `ply` thicknesses out lies (ply + 1/2) t off the line it is drawn by, and
    mitred there it is 2 (ply + 1/2) t tan(bend / 2) longer at each bend.
    """
    return sum(flats) + sum((2 * ply + 1) * STEEL * tan(b / 2 * pi / 180) for b in bends_deg)


@pytest.mark.parametrize("name", FORMS)
def test_drip_edges_by_closed_form(name: str) -> None:
    # 2-1/2 in on the sheets, down over the fascia to the foot of the rake trims' legs, 2-1/2 in
    # square under the sheets' underside, 1/4 in across and down: a kick of 45 degrees back.
    building = form(name)
    for slope in slopes(building):
        parts = of_slope(building, Kind.DRIP_EDGE, slope)
        assert bool(parts) == (slope.lower.meets == Meets.FREE)
        turn = 90 - slope.slope_rad * 180 / pi
        leg = (7 / 16 * INCH + 2.5 * INCH) / cos(slope.slope_rad)
        for ply, part in zip(itertools.cycle((0, 1)), parts, strict=False):
            wide = girth([2.5 * INCH, leg, 0.25 * sqrt(2) * INCH], [turn, -45], ply)
            assert part.volume_mm3 == pytest.approx(wide * STEEL * part.length_mm, rel=1e-5)


@pytest.mark.parametrize("name", FORMS)
def test_drip_edges_end_in_line_with_the_rake_trims(name: str) -> None:
    # At the corner both legs end on one line down the slope, but for the thickness of what laps:
    # common practice, no source.
    building = form(name)
    for slope in slopes(building):
        # Square to the slope, the sheets' upper edge is farther out than their lower one.
        low = slope.sheeted_h[1] + 7 / 16 * INCH * sin(slope.slope_rad)
        for drip in of_slope(building, Kind.DRIP_EDGE, slope):
            points = drip.vertices_mm
            out = (points[:, 1] - slope.start_y) * slope.way - low
            foot = along(drip, slope)[abs(out) < 3 * STEEL][:, 2].min()
            trims = of_slope(building, Kind.RAKE_TRIM, slope)
            assert trims
            for trim in trims:
                assert span(trim, slope, 2)[0] == pytest.approx(foot, abs=3 * STEEL)


@pytest.mark.parametrize("name", FORMS)
def test_caps_by_closed_form(name: str) -> None:
    building = form(name)
    meeting = [slope for slope in slopes(building) if slope.upper.meets == Meets.RIDGE]
    both = sum(slope.slope_rad for slope in meeting)
    for ply, part in zip(itertools.cycle((0, 1)), of_kind(building, Kind.RIDGE_CAP), strict=False):
        # Two flats that reach 6 in past the panels' ends, which stop 1 in short of the sheets.
        flats: list[float] = []
        for slope in meeting:
            top = span(part, slope, 2)[1] - (ply + 1) * STEEL
            high = slope.sheeted_h[0] / cos(slope.slope_rad) + 7 * INCH
            flats.append(high + top * tan(both / 2))
        wide = girth(flats, [both * 180 / pi], ply)
        assert part.volume_mm3 == pytest.approx(wide * STEEL * part.length_mm, rel=1e-4)
    slope = slopes(building)[0]
    pitch = slope.slope_rad * 180 / pi
    for ply, part in zip(itertools.cycle((0, 1)), of_kind(building, Kind.PEAK_CAP), strict=False):
        # 2-1/2 in down the fascia from the roof's plane, up to the ribs, and 6 in down the slope.
        top = span(part, slope, 2)[1] - (ply + 1) * STEEL
        up = 2.5 * INCH + top / cos(slope.slope_rad)
        over = 6 * INCH + top * tan(slope.slope_rad)
        wide = girth([up, over], [90 + pitch], ply)
        assert part.volume_mm3 == pytest.approx(wide * STEEL * part.length_mm, rel=1e-4)


def test_girth_of_a_right_angle() -> None:
    # 60 + 40 mm of flat and half a thickness more each at the bend.
    line = [(0.0, 0.0), (60.0, 0.0), (60.0, -40.0)]
    assert girth_mm(line, 0.5) == pytest.approx(60 + 40 + 0.5)
    outline = bent(line, 0.5, 1)
    assert len(outline) == 6
    assert max(u for u, _ in outline) == pytest.approx(61.0)


@pytest.mark.parametrize(
    ("run_ft", "count"),
    # Two lengths cover 20 ft less 2 in, three 30 ft less 4 in.
    [(9.9, 1), (10.0, 1), (10.1, 2), (19.8, 2), (19.9, 3), (29.6, 3), (29.7, 4)],
)
def test_lengths_lap(run_ft: float, count: int) -> None:
    flat = load_catalogue().find_flat("flat steel 29 ga")
    assert (flat.length_mm, flat.lap_mm) == pytest.approx((LENGTH, LAP))
    runs = lengths(0.0, run_ft * 12 * INCH, flat)
    assert len(runs) == count
    assert (runs[0][0], runs[-1][1]) == pytest.approx((0.0, run_ft * 12 * INCH))
    assert max(b - a for a, b in runs) <= LENGTH + CUT_MM
    if count > 1:
        # No piece of a foot or two at an end that all see: common practice, no source.
        assert runs[-1][1] - runs[-1][0] >= LENGTH / 3 - CUT_MM
    for (_, a), (b, _) in itertools.pairwise(runs):
        assert a - b == pytest.approx(LAP)


def test_a_short_last_length_is_shared_with_the_one_before_it() -> None:
    flat = load_catalogue().find_flat("flat steel 29 ga")
    # 21 ft: two of 10 ft cover 19 ft 10 in, and a third 1 ft 4 in long would be left. The last two
    # cover 11 ft 2 in with their lap, and are 5 ft 8 in each.
    runs = lengths(0.0, 21 * 12 * INCH, flat)
    sizes = [b - a for a, b in runs]
    assert sizes == pytest.approx([LENGTH, 68 * INCH, 68 * INCH])
    # 24 ft: 4 ft 4 in is left, over a third of 10 ft.
    sizes = [b - a for a, b in lengths(0.0, 24 * 12 * INCH, flat)]
    assert sizes == pytest.approx([LENGTH, LENGTH, 52 * INCH])


@pytest.mark.parametrize("name", FORMS)
def test_laps_on_the_roof(name: str) -> None:
    building = form(name)
    for kind in METAL:
        parts = of_kind(building, kind)
        touching = {(c.a, c.b): c for c in find_contacts(parts)}
        axis = 1 if kind == Kind.RAKE_TRIM else 0
        for slope in slopes(building):
            own = of_slope(building, kind, slope) if kind != Kind.RIDGE_CAP else parts
            for one, other in itertools.pairwise(own):
                if axis and abs(box_of(one).low[0] - box_of(other).low[0]) > 10 * INCH:
                    continue  # the other rake
                (_, b), (c, _) = sorted((span(one, slope, axis), span(other, slope, axis)))
                assert b - c == pytest.approx(LAPS.get(kind, LAP), abs=CUT_MM)
                contact = touching[parts.index(one), parts.index(other)]
                assert contact.gap_mm < CUT_MM
                assert contact.penetration_mm < CUT_MM


@pytest.mark.parametrize("name", FORMS)
def test_what_lies_over_what(name: str) -> None:
    building = form(name)
    sheet = building.scene.sheet_stock(building.scene.roof.sheet).thickness_mm
    for slope in slopes(building):
        drips = of_slope(building, Kind.DRIP_EDGE, slope)
        felts = of_slope(building, Kind.UNDERLAYMENT, slope)
        panels = of_slope(building, Kind.PANEL, slope)
        trims = of_slope(building, Kind.RAKE_TRIM, slope)
        # On the sheets the drip edge, over it the underlayment, then the steel.
        if slope.lower.meets == Meets.FREE:
            assert span(drips[0], slope, 2)[1] == pytest.approx(sheet + STEEL, abs=CUT_MM)
        under = min(span(part, slope, 2)[0] for part in felts)
        over = max(span(part, slope, 2)[1] for part in felts)
        assert all(under >= span(part, slope, 2)[1] - CUT_MM for part in drips)
        assert min(span(part, slope, 2)[0] for part in panels) >= over - CUT_MM
        # The rake trims on the ribs, out to the barge boards' faces and 2-1/2 in down over them.
        ribs = max(span(part, slope, 2)[1] for part in panels)
        for part in trims:
            low, high = span(part, slope, 2)
            assert ribs + STEEL - CUT_MM <= high <= ribs + 2 * STEEL + CUT_MM
            assert low == pytest.approx(-2.5 * INCH, abs=CUT_MM)
        left, right = slope.sheeted_x
        assert min(box_of(part).low[0] for part in trims) == pytest.approx(left, abs=3 * STEEL)
        assert max(box_of(part).high[0] for part in trims) == pytest.approx(right, abs=3 * STEEL)
        # Caps and wall flashings over the trims, and over the panels' upper ends by 6 in.
        for kind in (Kind.RIDGE_CAP, Kind.PEAK_CAP, Kind.WALL_FLASHING):
            caps = of_kind(building, kind) if kind == Kind.RIDGE_CAP else []
            caps = caps or of_slope(building, kind, slope)
            if slope.upper.meets != Meets.RIDGE and kind == Kind.RIDGE_CAP:
                continue
            for part in caps:
                assert span(part, slope, 2)[1] > ribs + 2 * STEEL
                ends = [span(panel, slope, 1)[0] for panel in panels]
                assert span(part, slope, 1)[1] == pytest.approx(ends[0] + 6 * INCH, abs=CUT_MM)


@pytest.mark.parametrize("name", FORMS)
def test_drip_edges_as_the_code_asks(name: str) -> None:
    # IRC R905.2.8.5: at least 2 in back on the sheets, 1/4 in below them.
    building = form(name)
    for slope in slopes(building):
        low = slope.sheeted_h[1] / cos(slope.slope_rad)
        foot = slope.roof_mm(slope.sheeted_h[1])
        for part in of_slope(building, Kind.DRIP_EDGE, slope):
            assert low - span(part, slope, 1)[0] >= 2 * INCH
            assert foot - box_of(part).low[2] >= 0.25 * INCH


def test_rake_trims_meet_plumb_at_the_ridge() -> None:
    building = form("ridge board")
    middle = building.scene.building.depth / 2
    slope = slopes(building)[0]
    for part in of_kind(building, Kind.RAKE_TRIM):
        y = part.vertices_mm[:, 1] - middle
        assert (y > -CUT_MM).all() or (y < CUT_MM).all()
    tops = [
        p
        for p in of_kind(building, Kind.RAKE_TRIM)
        if abs(p.vertices_mm[:, 1] - middle).min() < CUT_MM
    ]
    assert len(tops) == 4
    # The plumb cut of the leg: 2-1/2 in under the roof's plane to the top, over its own slant.
    for part in tops:
        cut = part.vertices_mm[abs(part.vertices_mm[:, 1] - middle) < CUT_MM]
        deep = span(part, slope, 2)[1] + 2.5 * INCH if "front" in part.name else None
        if deep:
            assert cut[:, 2].max() - cut[:, 2].min() == pytest.approx(
                deep / cos(slope.slope_rad), abs=CUT_MM
            )


@pytest.mark.parametrize("slope", ["3:12", "8:12"])
def test_rake_trims_end_plumb_at_a_wall(slope: str) -> None:
    # Cut square on 8:12, a leg of 2-1/2 in would lean 2-1/2 sin = 1.39 in up the slope.
    bay = {**FORMS["ledger"]["bay"][0], "slope": slope, "ledger_height": "8 ft"}
    building = form("ledger", bay=[bay], edges={"barge": "none"})
    assert check(building) == ()
    sheet = building.scene.sheet_stock(building.scene.walls.sheet).thickness_mm
    wall = building.scene.building.depth + sheet
    trims = [p for p in of_kind(building, Kind.RAKE_TRIM) if "lean-to" in p.name]
    assert len(trims) == 2
    for part in trims:
        assert box_of(part).low[1] == pytest.approx(wall, abs=CUT_MM)


@pytest.mark.parametrize("name", FORMS)
def test_cladding_ends_under_the_legs_of_rake_trims(name: str) -> None:
    # With no overhang and no barge board, a leg of 2-1/2 in lies on the end rafter.
    roof = {**FORMS[name]["roof"], "rake_overhang": "0 in"}
    building = form(
        name, roof=roof, edges={"barge": "none"}, wrap={}, cladding=[{"kind": "boards"}]
    )
    assert check(building) == ()
    (slope,) = slopes(building)[:1]
    own = [
        p for p in of_kind(building, Kind.SIDING) if p.name.startswith(("left wall", "right wall"))
    ]
    under = [p for p in own if span(p, slope, 1)[1] <= slope.sheeted_h[1] / cos(slope.slope_rad)]
    assert under
    tops = [span(part, slope, 2)[1] for part in under]
    assert max(tops) <= -2.5 * INCH + CUT_MM


def test_a_lean_to_is_flashed_up_the_wall() -> None:
    building = form("ledger")
    sheet = building.scene.sheet_stock(building.scene.walls.sheet).thickness_mm
    wall = building.scene.building.depth + sheet
    for part in of_kind(building, Kind.WALL_FLASHING):
        box = box_of(part)
        on_wall = part.vertices_mm[part.vertices_mm[:, 1] < wall + 3 * STEEL]
        assert box.low[1] >= wall - CUT_MM
        # 5 in up from the bend: common practice, no source.
        bend = max(z for y, z in part.vertices_mm[:, 1:] if y > wall + INCH)
        assert on_wall[:, 2].max() - bend >= 5 * INCH


# A wall with a window and a door that have casing, on level boards of 3/4 in over the sheathing.
WALL: dict[str, Any] = {
    "wrap": {},
    "walls": {"braced_elsewhere": ["front"]},
    "cladding": [{"kind": "boards"}],
    "opening": [
        {
            "name": "hatch",
            "kind": "window",
            "wall": "front",
            "from_left": "2 ft",
            "width": "3 ft",
            "height": "2 ft",
            "sill": "3 ft",
            "window": {"kind": "unit", "glazing": "double glazed"},
            "trim": {},
        },
        {
            "name": "way in",
            "kind": "door",
            "wall": "front",
            "from_left": "7 ft",
            "width": "32 in",
            "height": "80 in",
            "steps": {"kind": "none"},
            "door": {"kind": "ledged"},
            "trim": {},
        },
    ],
}


# A wall's flashing falls 3/16 in from the sheathing to its edge, and hangs 3/8 in down: common
# practice, no source.
RISE, DRIP = 3 / 16 * INCH, 3 / 8 * INCH


def stepped(up: float, out: float) -> tuple[list[float], list[float]]:
    """Flats and bends of a flashing on a wall: so far up from its edge, and so far out, mm."""
    turn = 90 - atan2(RISE, out) * 180 / pi
    return [up - RISE, hypot(out, RISE), DRIP], [-turn, turn]


def clad(name: str) -> Building:
    return form(name, **WALL)


def test_wall_flashings_by_closed_form() -> None:
    building = clad("monopitch")
    heads = of_kind(building, Kind.HEAD_FLASHING)
    assert len(heads) == 2
    # 2 in up, out over 4 mm of metal, wrap and tape, 3/4 in of board, 3/4 in of casing and 1/4 in
    # past them, 3/8 in down; the first bend turns back over the metal.
    for part in heads:
        wide = girth(*stepped(2 * INCH, 4.0 + 1.75 * INCH))
        assert part.volume_mm3 == pytest.approx(wide * STEEL * part.length_mm, rel=1e-5)
    # The foot: 2-1/4 in up from 1/4 in under the boards, out over one board.
    for part in of_kind(building, Kind.BASE_FLASHING):
        wide = stepped(2.25 * INCH, 4.0 + INCH)
        plies = [girth(*wide, ply) * STEEL * part.length_mm for ply in (0, 1)]
        assert min(abs(part.volume_mm3 / volume - 1) for volume in plies) < 1e-5


def test_head_flashings_lie_on_the_casing_and_behind_the_cladding() -> None:
    building = form("monopitch", **{**WALL, "cladding": [{"kind": "battens"}]})
    face = -building.scene.sheet_stock(building.scene.walls.sheet).thickness_mm
    heads = sorted(of_kind(building, Kind.HEAD_FLASHING), key=lambda part: box_of(part).low[0])
    casings = [part for part in of_kind(building, Kind.CASING) if "head" in part.name]
    casings.sort(key=lambda part: box_of(part).low[0])
    boards = of_kind(building, Kind.UPRIGHT_BOARD)
    for flashing, casing in zip(heads, casings, strict=True):
        box, under = box_of(flashing), box_of(casing)
        # 1/2 in past the casing at both ends: common practice, no source.
        past = (under.low[0] - INCH / 2, under.high[0] + INCH / 2)
        assert (box.low[0], box.high[0]) == pytest.approx(past)
        assert box.low[2] + 0.375 * INCH == pytest.approx(under.high[2], abs=CUT_MM)
        assert box.low[1] < under.low[1] - 0.2 * INCH
        assert box.high[1] == pytest.approx(face, abs=CUT_MM)
        over = [
            other
            for other in map(box_of, boards)
            if other.low[0] < box.high[0] - 1.0
            and other.high[0] > box.low[0] + 1.0
            and other.low[2] >= under.high[2]
        ]
        # The cladding over it starts 1/4 in up, in front of the leg.
        assert min(other.low[2] for other in over) == pytest.approx(
            under.high[2] + 0.25 * INCH, abs=CUT_MM
        )
        assert all(other.high[1] < face - 2 * STEEL for other in over)


def test_head_flashings_are_dammed_at_both_ends() -> None:
    building = form("monopitch", **WALL)
    face = -building.scene.sheet_stock(building.scene.walls.sheet).thickness_mm
    heads, dams = of_kind(building, Kind.HEAD_FLASHING), of_kind(building, Kind.END_DAM)
    assert len(dams) == 2 * len(heads) == 4
    ends = sorted(x for part in heads for x in (box_of(part).low[0], box_of(part).high[0] - STEEL))
    assert sorted(box_of(dam).low[0] for dam in dams) == pytest.approx(ends, abs=CUT_MM)
    for dam in dams:
        box, head = box_of(dam), box_of(heads[0])
        # 1/2 in over where the flange meets the sheathing, out to the boards' face, over the wrap.
        assert box.high[1] < face - 4 * 0.2 - 2 * STEEL
        assert face - box.low[1] == pytest.approx(4.0 + 0.75 * INCH, abs=CUT_MM)
        edges = [box_of(part).low[2] + DRIP for part in heads]
        assert min(abs(box.high[2] - edge - RISE - INCH / 2) for edge in edges) < CUT_MM
        assert box.high[0] - box.low[0] == pytest.approx(STEEL, abs=CUT_MM)
        assert head.low[1] < box.low[1]


@pytest.mark.parametrize(("apart_in", "count"), [(8.0, 1), (9.0, 2)])
def test_one_flashing_lies_over_heads_close_beside_one_another(apart_in: float, count: int) -> None:
    # Casing of 3-1/2 in laps boards of 3/4 in in membrane and tape of 1.3 mm: it reaches 2.7 in
    # past a window, its flashing 1/2 in more. Of windows 8 in apart they end 1.6 in from one
    # another, of those 9 in apart 2.6 in. Within 2 in they are one: common practice, no source.
    row = {**WALL["opening"][0], "width": "2 ft", "count": 2, "apart": f"{apart_in} in"}
    row["window"] = {"kind": "fixed light"}
    building = form("monopitch", **{**WALL, "opening": [row]})
    assert check(building) == ()
    past = (3.5 - 0.75 + 0.5) * INCH - 1.3
    heads = of_kind(building, Kind.HEAD_FLASHING)
    length = 24 * INCH + 2 * past if count == 2 else (48 + apart_in) * INCH + 2 * past
    assert [part.length_mm for part in heads] == pytest.approx([length] * count, abs=CUT_MM)
    ends = sorted(x for part in heads for x in (box_of(part).low[0], box_of(part).high[0] - STEEL))
    dams = sorted(box_of(dam).low[0] for dam in of_kind(building, Kind.END_DAM))
    assert dams == pytest.approx(ends, abs=CUT_MM)


def test_joint_flashings_are_dammed_where_they_end_at_casings() -> None:
    # Strips of the honey house's front end on others beside casings that come up past there: beside
    # the door and the first window, between both windows, and beside the last; at corner boards the
    # flashing runs out. Common practice, no source: 1/2 in high.
    building = build(load_scene(SCENES["honey-house"]))
    casings = [box_of(part) for part in of_kind(building, Kind.CASING)]
    runs = [part for part in of_kind(building, Kind.JOINT_FLASHING) if "front" in part.name]
    dams = [box_of(part) for part in of_kind(building, Kind.END_DAM)]
    ends = 0
    for run in map(box_of, runs):
        edge = run.low[2] + DRIP
        for x in (run.low[0], run.high[0]):
            beside = [
                casing
                for casing in casings
                if casing.low[2] < edge < casing.high[2]
                and min(abs(casing.low[0] - x), abs(casing.high[0] - x)) < 4.0
            ]
            there = [dam for dam in dams if dam.low[0] - CUT_MM <= x <= dam.high[0] + CUT_MM]
            there = [dam for dam in there if abs(dam.high[2] - edge - RISE - INCH / 2) < CUT_MM]
            assert len(there) == (1 if beside else 0)
            ends += len(there)
    assert ends == 2 + 2 + 2


@pytest.mark.parametrize("leaves", [1, 2])
def test_a_track_board_sheds_water_by_one_flashing(leaves: int) -> None:
    sliding = {**WALL["opening"][1], "door": {"kind": "framed", "track": {}, "leaves": leaves}}
    sliding |= {"width": "28 in", "from_left": "4 ft" if leaves == 1 else "5 ft"}
    building = form("monopitch", **{**WALL, "opening": [sliding]})
    assert check(building) == ()
    boards = [box_of(part) for part in of_kind(building, Kind.TRACK_BOARD)]
    heads = sorted((box_of(p) for p in of_kind(building, Kind.HEAD_FLASHING)), key=lambda b: b.low)
    assert heads[0].low[0] == pytest.approx(min(b.low[0] for b in boards) - INCH / 2, abs=CUT_MM)
    assert heads[-1].high[0] == pytest.approx(max(b.high[0] for b in boards) + INCH / 2, abs=CUT_MM)
    face = -building.scene.sheet_stock(building.scene.walls.sheet).thickness_mm
    for head in heads:
        # From the sheathing behind the boards over it, out 1/4 in past the track's board of 2x6.
        assert head.high[1] == pytest.approx(face, abs=CUT_MM)
        out = 4.0 + 0.75 * INCH + 1.5 * INCH + INCH / 4
        assert face - head.low[1] == pytest.approx(out, abs=2 * STEEL + CUT_MM)
        assert head.high[2] == pytest.approx(boards[0].high[2] + 2 * INCH, abs=CUT_MM)


def test_cladding_that_changes_up_a_wall_is_flashed_between() -> None:
    level = {"kind": "boards", "board": "1x8", "below": "3 ft"}
    strips = {"kind": "battens", "sheet": "19/32 plywood", "above": "3 ft"}
    for lower, upper, out in (
        (level, strips, 4.0 + 0.75 * INCH),
        # Over the battens of 3/4 in on the strips, and 1/4 in clear.
        (
            {**strips, "above": None, "below": "3 ft"},
            {**level, "below": None, "above": "3 ft"},
            4.0 + 19 / 32 * INCH + INCH,
        ),
    ):
        tables = [{k: v for k, v in one.items() if v} for one in (lower, upper)]
        building = lime_store.clad(*tables, wrap={}, edges={})
        assert check(building) == ()
        for wall in ("front", "back", "left", "right"):
            own = [p for p in of_kind(building, Kind.JOINT_FLASHING) if p.name.startswith(wall)]
            assert own
            for ply, part in enumerate(own):
                wide = girth(*stepped(2 * INCH, out), ply % 2)
                assert part.volume_mm3 == pytest.approx(wide * STEEL * part.length_mm, rel=1e-5)
                # Its edge 3 ft over the slab, which is 8 in over the ground.
                edge = box_of(part).low[2] + DRIP
                assert edge == pytest.approx(44 * INCH, abs=CUT_MM)


def test_base_flashings_run_round_the_building_under_the_cladding() -> None:
    building = clad("monopitch")
    sheet = building.scene.sheet_stock(building.scene.walls.sheet).thickness_mm
    low = min(box_of(part).low[2] for part in of_kind(building, Kind.SIDING))
    for wall, axis, long in (
        ("front", 0, building.scene.building.length),
        ("back", 0, building.scene.building.length),
        ("left", 1, building.scene.building.depth),
        ("right", 1, building.scene.building.depth),
    ):
        parts = [p for p in of_kind(building, Kind.BASE_FLASHING) if p.name.startswith(wall)]
        boxes = sorted((box_of(p) for p in parts), key=lambda box: box.low[axis])
        assert boxes[0].low[axis] == pytest.approx(-sheet, abs=CUT_MM)
        assert boxes[-1].high[axis] == pytest.approx(long + sheet, abs=CUT_MM)
        for one, other in itertools.pairwise(boxes):
            assert one.high[axis] - other.low[axis] == pytest.approx(LAP, abs=CUT_MM)
        for box in boxes:
            # The flange 1/4 in under the boards, the drip leg 3/8 in on.
            assert box.low[2] == pytest.approx(low - 0.625 * INCH, abs=2 * STEEL)


@pytest.mark.parametrize(("over", "hangs"), [(1.0, 1.0), (2.5, 0.0)])
def test_the_flashing_at_a_foot_covers_what_is_bare_of_the_sheets_below(
    over: float, hangs: float
) -> None:
    # 5/8 in below the foot of boards, and further down as far as they begin over the sheets: down
    # over the joint of plate and slab, up to 2 in. Common practice, no source.
    building = clad("ridge beam over an end bay")
    scene = building.scene
    assert isinstance(scene.foundation, Pad)
    height = scene.foundation.above_ground + over * INCH
    boards = tuple(one.model_copy(update={"above_ground": height}) for one in scene.cladding)
    building = build(scene.model_copy(update={"cladding": boards}))
    foot = min(box_of(part).low[2] for part in of_kind(building, Kind.SIDING))
    assert foot == pytest.approx(height)
    for kind in (Kind.BASE_FLASHING, Kind.FLASHING_CORNER):
        for part in of_kind(building, kind):
            low = foot - (0.625 + hangs) * INCH
            assert box_of(part).low[2] == pytest.approx(low, abs=2 * STEEL)


def test_no_base_flashing_across_a_doorway_on_a_pad() -> None:
    building = clad("ridge beam over an end bay")
    way_in = building.scene.opening[1]
    assert way_in.from_left
    for part in of_kind(building, Kind.BASE_FLASHING):
        box = box_of(part)
        if part.name.startswith("front"):
            left, right = way_in.from_left, way_in.from_left + way_in.width
            assert box.high[0] <= left + CUT_MM or box.low[0] >= right - CUT_MM


@pytest.mark.parametrize("name", ["monopitch", "ridge beam over an end bay", "ledger"])
def test_clad_walls_with_flashings_are_clean(name: str) -> None:
    assert check(clad(name)) == ()


def test_a_lean_to_under_a_high_wall_is_flashed_behind_its_cladding() -> None:
    bay = {**FORMS["ledger"]["bay"][0], "ledger_height": "7 ft 6 in"}
    building = form(
        "ledger",
        **{key: WALL[key] for key in ("wrap", "cladding")},
        walls={"low_height": "13 ft"},
        bay=[bay],
    )
    assert check(building) == ()
    boards = [p for p in of_kind(building, Kind.SIDING) if p.name.startswith("back")]
    sheet = building.scene.sheet_stock(building.scene.walls.sheet).thickness_mm
    wall = building.scene.building.depth + sheet
    for part in of_kind(building, Kind.WALL_FLASHING):
        box = box_of(part)
        over = [b for b in map(box_of, boards) if b.high[2] > box.high[2]]
        # Its leg ends higher than the lowest board over the roof begins, and behind it.
        foot = min(b.low[2] for b in over)
        assert foot < box.high[2] - INCH
        assert min(b.low[1] for b in over) > wall + 2 * STEEL - CUT_MM


@pytest.mark.parametrize("fascia", ["1x6", "2x10"])
def test_a_lower_roof_passes_under_the_fascia_with_its_steel(fascia: str) -> None:
    def tables(ledger_mm: float) -> dict[str, Any]:
        bay = {**FORMS["ledger"]["bay"][0], "ledger_height": f"{ledger_mm:.3f} mm"}
        return {"bay": [bay], "edges": {"fascia": fascia}}

    low = 96 * INCH
    building = form("ledger", **tables(low))
    deep, lower = building.scene.building.depth, slopes(building)[-1]

    def over_lower(*kinds: Kind) -> list[float]:
        """Heights over a plane as steep as the lower roof, of corners past the wall."""
        return [
            z + tan(lower.slope_rad) * (y - deep)
            for part in of_kind(building, *kinds)
            for _, y, z in part.vertices_mm.tolist()
            if part.name.startswith("back") and y > deep + 6 * INCH
            if ("lean-to" in part.name) == (kinds[0] == Kind.RAKE_TRIM)
        ]

    ends = (Kind.FASCIA, Kind.RAFTER, Kind.END_RAFTER)
    room = min(over_lower(*ends)) - max(over_lower(Kind.RAKE_TRIM))
    assert room > INCH
    # A 1x6 is narrower than the rafters are deep, which is a finding of its own.
    found = check(form("ledger", **tables(low + room - 2 * STEEL)))
    assert [one.key for one in found] == ["edges.fascia"] * (fascia == "1x6")
    table = {"title": "ledger", **FORMS["ledger"], **tables(low + room + 2 * STEEL)}
    problems = check_scene({**table, "roofing": {}})[1]
    assert [problem.key for problem in problems] == ["bay[1].ledger_height"]


@pytest.mark.parametrize("profile", ["shiplap", "square"])
@pytest.mark.parametrize("more", [0.0, 0.4, 0.8, 1.2, 1.6, 2.0, 2.4, 2.8])
def test_boards_come_down_to_a_head_flashing(profile: str, more: float) -> None:
    # 1/4 in over the flange, or up to 3/8 in where what is left of a board would be under 1/8 in:
    # common practice, no source; and the joint itself where the boards do not lap.
    hatch = {**WALL["opening"][0], "height": f"{24 + more} in"}
    boards = {"kind": "boards", "board": "1x4", "profile": profile, "above_ground": "7 in"}
    building = form("monopitch", **{**WALL, "cladding": [boards], "opening": [hatch]})
    (head,) = of_kind(building, Kind.HEAD_FLASHING)
    flange = box_of(head).low[2] + 0.375 * INCH
    # Square edges before wrap are a finding of their own.
    found = [one.key for one in check(building)]
    assert found == ["cladding[1].profile"] * (profile == "square")
    siding = [p for p in of_kind(building, Kind.SIDING) if p.name.startswith("front")]
    seen = shapely.union_all([face_of(part, "front") for part in siding])
    middle = (box_of(head).low[0] + box_of(head).high[0]) / 2
    up = shapely.LineString([(middle, flange + 0.01), (middle, flange + 6 * INCH)])
    gap = shapely.intersection(seen, up).bounds[1] - flange
    table = building.scene.cladding[0]
    assert isinstance(table, Boards)
    joint = table.reveal if profile == "square" else 0.0
    assert 0.25 * INCH - CUT_MM <= gap <= 0.375 * INCH + joint + CUT_MM


# The wrap laps over a flashing's leg by 2 in: common practice, no source.
WRAP_LAP, COURSE_LAP = 2 * INCH, 6 * INCH


def wrap_of(building: Building, wall: str) -> list[Part]:
    return [part for part in of_kind(building, Kind.WRAP) if part.name.startswith(wall)]


def with_a_ledger() -> Building:
    bay = {**FORMS["ledger"]["bay"][0], "ledger_height": "7 ft 6 in"}
    walls = {key: WALL[key] for key in ("wrap", "cladding")}
    return form("ledger", **walls, walls={"low_height": "13 ft"}, bay=[bay])


def test_wrap_laps_over_the_legs_of_flashings() -> None:
    building = clad("monopitch")
    face = -building.scene.sheet_stock(building.scene.walls.sheet).thickness_mm
    wrap = wrap_of(building, "front")
    # In front of all metal that lies on the sheathing, two thick at its laps.
    assert max(box_of(part).high[1] for part in wrap) <= face - 2 * STEEL + CUT_MM
    white = shapely.union_all([face_of(part, "front") for part in wrap])
    feet = [p for p in of_kind(building, Kind.BASE_FLASHING) if p.name.startswith("front")]
    heads = of_kind(building, Kind.HEAD_FLASHING)
    assert len(feet) >= 1
    assert len(heads) == 2
    for part in feet:
        box = box_of(part)
        leg = shapely.box(box.low[0], box.high[2] - WRAP_LAP + CUT_MM, box.high[0], box.high[2])
        assert white.intersection(leg).area == pytest.approx(leg.area, rel=1e-6)
        # It ends over the flange, 1/4 in under the boards.
        under = shapely.box(box.low[0], box.low[2] - 100.0, box.high[0], box.high[2] - 2.1 * INCH)
        assert white.intersection(under).area == pytest.approx(0.0, abs=1e-3)
    for part in heads:
        # All of the leg but the slit that the flange comes out by, a quarter of its fall lower.
        box = box_of(part)
        leg = shapely.box(box.low[0], box.high[2] - 2 * INCH, box.high[0], box.high[2])
        slit = (2 * STEEL + RISE / 4) * (box.high[0] - box.low[0])
        assert leg.area - white.intersection(leg).area == pytest.approx(slit, rel=1e-6)


def test_wrap_laps_over_a_flashing_up_the_wall() -> None:
    building = with_a_ledger()
    tops = [box_of(part).high[2] for part in of_kind(building, Kind.WALL_FLASHING)]
    over = [box_of(part) for part in wrap_of(building, "back")]
    foot = min(box.low[2] for box in over if box.high[2] > max(tops))
    assert min(tops) - foot >= WRAP_LAP
    out = building.scene.building.depth
    out += building.scene.sheet_stock(building.scene.walls.sheet).thickness_mm
    assert min(box.low[1] for box in over) >= out + 2 * STEEL - CUT_MM


def test_wrap_behind_a_ledger_sheds_over_the_wrap_below_it() -> None:
    building = with_a_ledger()
    assert check(building) == ()
    (strip,) = of_kind(building, Kind.LEDGER_WRAP)
    ledgers = of_kind(building, Kind.LEDGER)
    face = building.scene.building.depth
    face += building.scene.sheet_stock(building.scene.walls.sheet).thickness_mm
    # House wrap is drawn 0.2 mm thick, and is all that is between ledger and sheathing.
    assert min(box_of(part).low[1] for part in ledgers) == pytest.approx(face + 0.2, abs=CUT_MM)
    assert all(strip.stage <= part.stage for part in ledgers)
    box, foot = box_of(strip), min(box_of(part).low[2] for part in ledgers)
    assert box.low[1] == pytest.approx(face, abs=CUT_MM)
    # Up to the top of the leg of the flashing, which the wrap above laps over.
    tops = [box_of(part).high[2] for part in of_kind(building, Kind.WALL_FLASHING)]
    assert box.high[2] == pytest.approx(max(tops), abs=CUT_MM)
    # In front of the wrap there, which ends just under the ledger, as far down as its courses lap.
    below = [other for other in map(box_of, wrap_of(building, "back")) if other.high[2] < foot]
    assert max(other.high[2] for other in below) == pytest.approx(foot, abs=4.0)
    assert max(other.high[2] for other in below) - box.low[2] == pytest.approx(
        COURSE_LAP, abs=CUT_MM
    )
    assert max(other.high[1] for other in below) <= box.high[1] - 0.2 + CUT_MM
    (wrapping,) = [stage for stage in building.stages if stage.name == "House wrap"]
    assert "under the strip" in wrapping.notes


@pytest.mark.parametrize("under_in", [3.0, 5.0, 7.0, 9.0])
def test_wrap_behind_a_ledger_laps_over_a_head_under_it(under_in: float) -> None:
    """IRC R703.2: an upper layer laps the lower one by 2 in at least (of felt; from memory).

    The underside of the ledger, a 2x8, is 82-3/4 in up.
    """
    bay = {**FORMS["ledger"]["bay"][0], "ledger_height": "7 ft 6 in"}
    light = lime_store.window("back", "2 ft", "2 ft", f"{82.75 - under_in - 24} in")
    light |= {"window": {"kind": "fixed light", "pane": "4 mm glass"}, "trim": {"board": "1x4"}}
    building = form(
        "ledger",
        **{key: WALL[key] for key in ("wrap", "cladding")},
        walls={"low_height": "13 ft"},
        bay=[bay],
        opening=[light],
    )
    assert check(building) == ()
    (strip,) = of_kind(building, Kind.LEDGER_WRAP)
    foot = min(box_of(part).low[2] for part in of_kind(building, Kind.LEDGER))
    below = [other for other in map(box_of, wrap_of(building, "back")) if other.high[2] < foot]
    lap = max(other.high[2] for other in below) - box_of(strip).low[2]
    assert 2 * INCH - CUT_MM <= lap <= COURSE_LAP + CUT_MM


def test_upright_strips_that_end_on_others_are_flashed_between() -> None:
    # Strips of an 8 ft sheet on a back wall of 9 ft.
    strips = {"kind": "battens", "sheet": "19/32 plywood", "batten": "1x3"}
    building = lime_store.clad(strips, wrap={}, edges={})
    assert check(building) == ()
    own = [p for p in of_kind(building, Kind.STRIP) if p.name.startswith("back")]
    foot = min(box_of(p).low[2] for p in own)
    joint = foot + 96 * INCH
    flashings = [p for p in of_kind(building, Kind.JOINT_FLASHING) if p.name.startswith("back")]
    assert len(flashings) >= 1
    out = 4.0 + 19 / 32 * INCH
    for ply, part in enumerate(flashings):
        # Up 2 in behind the upper strip, out over the lower one, 3/8 in down its face.
        wide = girth(*stepped(2 * INCH, out), ply % 2)
        assert part.volume_mm3 == pytest.approx(wide * STEEL * part.length_mm, rel=1e-5)
        assert box_of(part).low[2] + 0.375 * INCH == pytest.approx(joint, abs=CUT_MM)
    # A gap of 1/4 in between the strips, where the metal comes out; battens keep off it.
    over = [box_of(p) for p in own if box_of(p).low[2] > joint]
    assert over
    assert all(box.low[2] == pytest.approx(joint + 0.25 * INCH, abs=CUT_MM) for box in over)
    for box in (box_of(p) for p in of_kind(building, Kind.BATTEN) if p.name.startswith("back")):
        assert box.high[2] < joint - 0.375 * INCH or box.low[2] > joint + 0.2 * INCH
    # From corner board to corner board.
    boards = [p for p in of_kind(building, Kind.CORNER_BOARD) if p.name.startswith("back")]
    inner = sorted(x for p in boards for x in (box_of(p).low[0], box_of(p).high[0]))
    assert min(box_of(p).low[0] for p in flashings) == pytest.approx(inner[1], abs=1.0)
    assert max(box_of(p).high[0] for p in flashings) == pytest.approx(inner[-2], abs=1.0)


def test_no_joint_of_upright_strips_is_bare(honey_house: Building) -> None:
    """IRC R703.4: flashing at a level joint of panel siding (from memory); short runs too."""
    strips = [p for p in of_kind(honey_house, Kind.STRIP) if p.name.startswith("front")]
    foot = min(box_of(p).low[2] for p in strips)
    joint = max(box_of(p).high[2] for p in strips if box_of(p).low[2] < foot + 1.0)
    # Just over the dams, which the strips are notched for.
    band = shapely.box(0.0, joint + INCH, 1e5, joint + INCH + 1.0)
    seen = shapely.union_all([face_of(p, "front").intersection(band) for p in strips])
    assert seen.area > 0
    kinds = (Kind.JOINT_FLASHING, Kind.CORNER_BOARD, Kind.CASING)
    over = [box_of(p) for kind in kinds for p in of_kind(honey_house, kind)]
    over = [box for box in over if box.low[1] < 0.0 and box.low[2] < joint < box.high[2]]
    covered = [shapely.box(box.low[0], 0.0, box.high[0], 1e5) for box in over]
    bare = shapely.get_parts(seen.difference(shapely.union_all(covered)))
    assert all(part.area < 0.125 * INCH for part in bare)


def test_without_metal_strips_have_a_gap_and_battens_run_over_it() -> None:
    # 1/8 in for the water to get out by: common practice, no source.
    strips = {"kind": "battens", "sheet": "19/32 plywood", "batten": "1x3"}
    building = lime_store.clad(strips, wrap={})
    assert not of_kind(building, Kind.JOINT_FLASHING)
    own = [box_of(p) for p in of_kind(building, Kind.STRIP) if p.name.startswith("back")]
    joint = min(box.low[2] for box in own) + 96 * INCH
    assert min(box.low[2] for box in own if box.low[2] > joint) == pytest.approx(
        joint + 0.125 * INCH, abs=CUT_MM
    )
    battens = [box_of(p) for p in of_kind(building, Kind.BATTEN) if p.name.startswith("back")]
    assert any(box.low[2] < joint < box.high[2] for box in battens)


def test_a_bent_piece_is_ordered_with_its_turned_up_ends_to_a_whole_mark(
    honey_house: Building,
) -> None:
    # The list and the drawing have one length: both read it here. Ends of 1/2 in: as drawn.
    pieces = [part for part in honey_house.parts if part.kind in LIES]
    assert pieces
    for part in pieces:
        turned = 2 * 12.7 if part.kind is Kind.HEAD_FLASHING else 0.0
        ordered = bent_mm(part, "imperial")
        sixteenths = ordered / (INCH / 16)
        assert sixteenths == pytest.approx(round(sixteenths))
        # The nearest mark, as in every list.
        assert abs(ordered - part.length_mm - turned) <= INCH / 32 + 0.001
    lengths = {mm for bend in bends(honey_house) for mm, _ in bend.lengths}
    assert lengths == {bent_mm(part, "imperial") for part in pieces}
