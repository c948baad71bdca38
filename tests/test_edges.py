"""Fascias, barge boards and soffits, measured on the parts."""

from __future__ import annotations

import itertools
from math import cos, tan

import pytest

from measuring import CUT_MM, INCH, box_of, of_kind
from pikepole_model.build import build
from pikepole_model.building.contact import find_contacts
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.practice import practice_findings
from pikepole_model.plan.cross_section import Meets
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.slope import Slope
from pikepole_model.scene.schema import Scene
from roofs import FORMS, SOFFIT, along, form, span
from strategies import scene_of

# 1x8: 3/4 x 7-1/4 in (PS 20).
THICK, WIDE = 0.75 * INCH, 7.25 * INCH


def slopes(building: Building) -> list[Slope]:
    return list(RoofPlan(Datums(building.scene)).all_slopes)


def of_slope(building: Building, kind: Kind, slope: Slope) -> list[Part]:
    start = f"{slope.prefix}{kind}"
    return [part for part in of_kind(building, kind) if part.name.startswith(start)]


@pytest.mark.parametrize("name", FORMS)
def test_fascias_close_the_tails(name: str) -> None:
    building = form(name)
    for slope in slopes(building):
        fascias = of_slope(building, Kind.FASCIA, slope)
        ends = [end for end in (slope.lower, slope.upper) if end.meets == Meets.FREE]
        assert len(fascias) >= len(ends)
        for end in ends:
            sign = 1 if end is slope.lower else -1
            face = slope.y_of(end.h)
            own = [f for f in fascias if abs(slope.h_of(box_of(f).low[1]) - end.h) < 2 * THICK]
            assert own
            for part in own:
                box = box_of(part)
                # Upright, 3/4 in out from the tails' plumb cut, 7-1/4 in wide at its longer side.
                out = slope.way * sign * THICK
                assert sorted((face, face + out)) == pytest.approx(
                    [box.low[1], box.high[1]], abs=CUT_MM
                )
                assert box.high[2] - box.low[2] == pytest.approx(WIDE, abs=CUT_MM)
                # Its top is ripped to the roof's slope and lies under the sheets.
                assert span(part, slope, 2)[1] == pytest.approx(0.0, abs=CUT_MM)
                top = along(part, slope)[:, 2] > -CUT_MM
                assert top.sum() == 4
            # From barge board to barge board.
            left, right = slope.sheeted_x
            assert min(box_of(p).low[0] for p in own) == pytest.approx(left + THICK, abs=CUT_MM)
            assert max(box_of(p).high[0] for p in own) == pytest.approx(right - THICK, abs=CUT_MM)


def test_a_long_fascia_is_spliced_over_a_rafter() -> None:
    # 14 ft of store, 6 ft of bay, a foot of overhang at each end: 22 ft, and 1x8 comes 16 ft long,
    # trimmed by half an inch at each end.
    building = form("rafters run on over a bay")
    (slope,) = slopes(building)
    longest = building.scene.lumber_stock("1x8").longest_mm
    assert longest == pytest.approx((16 * 12 - 1) * INCH)
    fascias = of_kind(building, Kind.FASCIA)
    assert len(fascias) == 4
    assert max(part.length_mm for part in fascias) <= longest
    for part in fascias:
        ends = {round(box_of(part).low[0], 3), round(box_of(part).high[0], 3)}
        joints = ends - {round(x, 3) for x in (slope.sheeted_x[0] + THICK,)}
        joints -= {round(slope.sheeted_x[1] - THICK, 3)}
        (joint,) = joints
        assert min(abs(joint - x) for x in slope.centres_mm) < 0.01


def test_square_tails_have_square_fascias() -> None:
    building = form("monopitch", roof={**FORMS["monopitch"]["roof"], "tail": "square"})
    (slope,) = slopes(building)
    for part in of_kind(building, Kind.FASCIA):
        assert span(part, slope, 2) == pytest.approx((-WIDE, 0.0), abs=CUT_MM)
        low, high = span(part, slope, 1)
        assert high - low == pytest.approx(THICK, abs=CUT_MM)


@pytest.mark.parametrize("tail", ["plumb", "square"])
@pytest.mark.parametrize("name", FORMS)
def test_barge_boards_cover_the_fascias_ends(name: str, tail: str) -> None:
    building = form(name, roof={**FORMS[name]["roof"], "tail": tail})
    for slope in slopes(building):
        barges = of_slope(building, Kind.BARGE, slope)
        assert len(barges) >= 2
        left, right = slope.sheeted_x
        for part in barges:
            box = box_of(part)
            assert box.high[0] - box.low[0] == pytest.approx(THICK, abs=CUT_MM)
            assert min(abs(box.low[0] - left), abs(box.high[0] - right)) < CUT_MM
            assert span(part, slope, 2)[1] == pytest.approx(0.0, abs=CUT_MM)
        # As far down the slope as the fascia's face and the sheets.
        top = [p for b in barges for p in along(b, slope).tolist() if p[2] > -CUT_MM]
        h0, h1 = slope.sheeted_h
        assert max(d for _, d, _ in top) == pytest.approx(h1 / cos(slope.slope_rad), abs=CUT_MM)
        # Up to the ridge where two meet; there the sheets stop at the ridge board.
        ridge = building.scene.roof.ridge is not None
        assert min(d for _, d, _ in top) == pytest.approx(
            0.0 if ridge else h0 / cos(slope.slope_rad), abs=CUT_MM
        )


def test_barge_boards_meet_plumb_at_the_ridge() -> None:
    building = form("ridge board")
    barges = of_kind(building, Kind.BARGE)
    # Level distance from the ridge: nothing past it, and a whole plumb edge in it.
    deep = WIDE / cos(slopes(building)[0].slope_rad)
    middle = building.scene.building.depth / 2
    for part in barges:
        points = part.vertices_mm[abs(part.vertices_mm[:, 1] - middle) < CUT_MM]
        assert points[:, 2].max() - points[:, 2].min() == pytest.approx(deep, abs=CUT_MM)
        y = part.vertices_mm[:, 1] - middle
        assert (y > -CUT_MM).all() or (y < CUT_MM).all()


@pytest.mark.parametrize("name", FORMS)
def test_the_boards_meet_and_share_no_place(name: str) -> None:
    building = form(name)
    boards = of_kind(building, Kind.FASCIA, Kind.BARGE)
    contacts = find_contacts(boards)
    assert all(contact.penetration_mm < CUT_MM for contact in contacts)
    for k, part in enumerate(boards):
        if part.kind == Kind.FASCIA:
            touched = {boards[c.b if c.a == k else c.a].kind for c in contacts if k in (c.a, c.b)}
            assert Kind.BARGE in touched


@pytest.mark.parametrize("name", ["monopitch", "ridge beam over an end bay", "ledger"])
def test_soffits_lie_under_the_tails_from_wall_to_fascia(name: str) -> None:
    building = form(name, edges={"soffit": SOFFIT})
    thick = 11.0
    sheet = building.scene.sheet_stock(building.scene.walls.sheet).thickness_mm
    for slope in slopes(building):
        soffits = of_slope(building, Kind.SOFFIT, slope)
        assert soffits
        for part in soffits:
            assert span(part, slope, 2) == pytest.approx(
                (-slope.rafter_mm - thick, -slope.rafter_mm), abs=CUT_MM
            )
            hs = [slope.h_of(float(y)) for y in part.vertices_mm[:, 1]]
            inner, outer = (
                (slope.bearings[-1].h[1] + sheet, slope.lower.h)
                if max(hs) > slope.bearings[-1].h[1]
                else (slope.upper.h, slope.bearings[0].h[0] - sheet)
            )
            # Between the plumb faces of wall and fascia, clear of both by less than its own lean.
            lean = thick * tan(slope.slope_rad) + CUT_MM
            assert inner - CUT_MM <= min(hs) <= inner + lean
            assert outer - lean <= max(hs) <= outer + CUT_MM
        edges = sorted((box_of(part).low[0], box_of(part).high[0]) for part in soffits)
        for (_, a), (b, _) in itertools.pairwise(edges):
            if b > a:
                assert b - a == pytest.approx(3.175, abs=CUT_MM)


def test_without_an_overhang_a_fascia_stays_over_the_wall() -> None:
    roof = {"slope": "3:12", "eave_overhang": "0 in", "high_overhang": "0 in"}
    building = form("monopitch", roof=roof)
    tops = [box_of(part).high[2] for part in of_kind(building, Kind.WALL_SHEET)]
    low, high = sorted(box_of(part).low[2] for part in of_kind(building, Kind.FASCIA))
    assert low >= RoofPlan(Datums(building.scene)).plate_top_mm("back") - CUT_MM
    assert high >= max(tops) - CUT_MM


def eaves(fascia: str | None, rafter: str, **roof: str) -> Scene:
    """A store with rafters of one section and a fascia of another, or of none that is named."""
    return scene_of(
        {
            "title": "Onion store",
            "building": {"length": "10 ft", "depth": "8 ft"},
            "foundation": {"kind": "pad"},
            "roof": {"slope": "3:12", "rafter": rafter, **roof},
            "edges": {"fascia": fascia} if fascia else {},
        }
    )


@pytest.mark.parametrize(
    ("fascia", "rafter", "mend"),
    [
        # Depths of 1x and 2x 4, 6, 8, 10, 12 are 3-1/2, 5-1/2, 7-1/4, 9-1/4, 11-1/4 in (PS 20): a
        # fascia as wide as the rafters are deep covers them. Common practice, no source.
        ("1x6", "2x8", 'give "1x8"'),
        ("1x8", "2x12", 'give "1x12"'),
        ("2x6", "2x10", 'give "2x10"'),
        ("1x6", "2x6", None),
        ("1x10", "2x8", None),
        ("none", "2x8", None),
    ],
)
def test_a_fascia_narrower_than_the_tails_is_a_finding(
    fascia: str, rafter: str, mend: str | None
) -> None:
    # Under lookouts the end rafters of 2x6 would be too shallow for their birdsmouths.
    found = practice_findings(build(eaves(fascia, rafter, rake_overhang="0 in")))
    assert [(one.key, one.mend) for one in found] == ([("edges.fascia", mend)] if mend else [])
    if mend:
        assert not practice_findings(build(eaves(mend.split('"')[1], rafter)))
    # Without an overhang there are no tails.
    bare = {"eave_overhang": "0 in", "high_overhang": "0 in"}
    assert not practice_findings(build(eaves(fascia, rafter, **bare)))


@pytest.mark.parametrize(
    ("edges", "width"),
    [
        # Tails of 7-1/4 in cut plumb at 6:12 are hypot(12, 6) / 12 times as deep, 8-1/8 in: 7/8 in
        # more than a 1x8 covers, which is cut off level. Over a soffit of 7/16 in, which lies along
        # them, they stay whole; with it they are 8-5/8 in deep, and a 1x10 is 9-1/4 in wide.
        ({"fascia": "1x8"}, 7.25),
        ({"fascia": "1x10"}, 9.25),
        ({"soffit": "7/16 OSB"}, 9.25),
    ],
)
def test_nothing_of_the_tails_hangs_out_under_a_fascia(edges: dict[str, str], width: float) -> None:
    building = form("monopitch", edges=edges, roof={"slope": "6:12", "rafter": "2x8"})
    fascias = of_kind(building, Kind.FASCIA)
    wide = {part.section_mm[1] for part in fascias if part.section_mm}
    assert list(wide) == pytest.approx([width * INCH])
    low = min(box_of(part).low[2] for part in fascias)
    over = of_kind(building, Kind.RAFTER, Kind.SOFFIT)
    # A 1x8 is as wide as a 2x8 is deep.
    assert min(box_of(part).low[2] for part in over) >= low - CUT_MM
    assert not [one for one in practice_findings(building) if one.key == "edges.fascia"]


def test_a_fascia_narrower_than_tails_and_soffit_is_a_finding() -> None:
    edges = {"fascia": "1x8", "soffit": "7/16 OSB"}
    building = form("monopitch", edges=edges, roof={"slope": "6:12", "rafter": "2x8"})
    (found,) = [one for one in practice_findings(building) if one.key == "edges.fascia"]
    assert found.mend == 'give "1x10"'
    assert "with the soffit" in found.text


@pytest.mark.parametrize(
    ("front", "sheet_in"),
    [
        ({"kind": "sheets"}, 7 / 16),  # what the walls' sheets are thick
        ({"kind": "sheets", "height": "4 ft"}, 0),
        ({"kind": "open"}, 0),
    ],
)
def test_a_soffit_reaches_what_is_there_at_its_height(
    front: dict[str, str], sheet_in: float
) -> None:
    # Over a half wall that is the header that the rafters lie on: its face is the wall frame's.
    edges = {"fascia": "1x6", "soffit": "7/16 OSB"}
    roof = {"slope": "4:12", "eave_overhang": "12 in"}
    building = form(
        "monopitch", edges=edges, roof=roof, walls={"low_height": "8 ft", "front": front}
    )
    inner = [
        max(one.bounds_mm[1][1] for one in of_kind(building, Kind.SOFFIT) if one.centre_mm[1] < 0)
    ]
    assert inner == pytest.approx([-sheet_in * INCH], abs=0.1)


@pytest.mark.parametrize(
    ("rafter", "fascia"),
    [("2x4", "1x8"), ("2x8", "1x8"), ("2x10", "1x10"), ("C16 47x195", "1x10"), ("2x12", "1x12")],
)
def test_a_fascia_that_is_not_named_covers_the_tails(rafter: str, fascia: str) -> None:
    # So low that a birdsmouth takes no more than a sixth of a 2x4 (IRC R802.7.1).
    building = build(eaves(None, rafter, rake_overhang="0 in", slope="2:12"))
    assert {part.stock for part in of_kind(building, Kind.FASCIA)} == {fascia}
    assert practice_findings(building) == ()
