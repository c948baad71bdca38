"""Rolls, tape, bent metal, sealant and paint, against sums written out from the sizes."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clad import FOOT, INCH, ONE_BY, WRAP_MM, clad, window
from measuring import of_kind
from pikepole_export.derive.buying.amounts import Amount
from pikepole_export.derive.buying.coverings import (
    coverings,
    rolls_unbroken,
    rolls_whole,
    seams_mm,
    trims,
)
from pikepole_export.derive.buying.paint import paints
from pikepole_export.derive.buying.pieces_bought import pieces_bought
from pikepole_export.derive.buying.supplies import supplies
from pikepole_export.derive.inventory.areas import WALLS, surfaces
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.stock.rows import Roll

# 75 ft by 9 in, lapped 4 in.
MEMBRANE = Roll("membrane", 9 * INCH, 75 * FOOT, 4 * INCH, 4 * INCH, 1.0, 1.1, (), "made up")
GALLON_MM3 = 231 * INCH**3


@pytest.fixture(scope="module")
def wrapped() -> Building:
    """12 by 8 ft, walls 7 ft at the front, in house wrap 3 ft wide, with one window."""
    return clad(
        {"kind": "boards"},
        edges={},
        wrap={"roll": "house wrap 3 ft"},
        opening=[window("front", "4 ft", "3 ft", "2 ft")],
    )


def found(rows: tuple[Amount, ...], item: str) -> list[Amount]:
    return [row for row in rows if row.item.startswith(item)]


def only(rows: tuple[Amount, ...], item: str) -> Amount:
    (row,) = [row for row in rows if row.item == item]
    return row


# n rolls of 75 ft that lap 4 in hold 75 n - (n - 1) / 3 ft: 75, 149-2/3, 224-1/3.
@pytest.mark.parametrize(
    ("feet", "waste", "rolls"),
    [(10, 0.0, 1), (75, 0.0, 1), (75.1, 0.0, 2), (149.6, 0.0, 2), (149.7, 0.0, 3), (72, 0.05, 2)],
)
def test_rolls_that_go_on_from_one_another(feet: float, waste: float, rolls: int) -> None:
    assert rolls_unbroken(feet * FOOT, MEMBRANE, waste) == rolls


# From 75 ft: 2 pieces of 30 ft leave 15; three of 25 ft nothing, with waste two; 80 ft takes two.
@pytest.mark.parametrize(
    ("feet", "waste", "rolls"),
    [
        ([], 0.0, 0),
        ([30, 30], 0.0, 1),
        ([30, 30, 30], 0.0, 2),
        ([25, 25, 25], 0.0, 1),
        ([25, 25, 25], 0.01, 2),
        ([80], 0.0, 2),
    ],
)
def test_rolls_of_whole_pieces(feet: list[float], waste: float, rolls: int) -> None:
    assert rolls_whole([length * FOOT for length in feet], MEMBRANE, waste) == rolls


@given(st.lists(st.floats(0.1, 74), max_size=20), st.floats(0, 0.5), st.floats(0, 0.5))
def test_more_waste_never_takes_fewer_rolls(feet: list[float], one: float, other: float) -> None:
    pieces = [length * FOOT for length in feet]
    less, more = sorted((one, other))
    counts = [rolls_whole(pieces, MEMBRANE, waste) for waste in (less, more)]
    assert counts[0] <= counts[1]
    assert counts[0] * MEMBRANE.length_mm >= sum(pieces) * (1 - 1e-9)
    total = sum(pieces)
    assert rolls_unbroken(total, MEMBRANE, less) <= rolls_unbroken(total, MEMBRANE, more)
    rolls = rolls_unbroken(total, MEMBRANE, less)
    held_mm = rolls * MEMBRANE.length_mm - (rolls - 1) * MEMBRANE.end_lap_mm
    assert held_mm >= total * (1 + less) * (1 - 1e-6)


def test_wrap_by_hand(wrapped: Building) -> None:
    """Sheathing round the building, each course of each wall turned 6 in on to the next.

    Front and back 12 ft, sides 8 ft, and 7/16 in more at each end. The front is 7 ft high: 3 ft,
    then 2-1/2 ft a course. Left and right end in a slope, where the top courses are shorter.
    """
    row = only(coverings(wrapped, roll_waste=0.0), "house wrap 3 ft")
    turned = 0.5 * FOOT
    front = 12 * FOOT + 2 * 7 / 16 * INCH
    pieces = [p for p in of_kind(wrapped, Kind.WRAP) if p.group == "front wall wrap"]
    run = [p.length_mm for p in pieces]
    assert len(run) == 6  # three courses, and three ends of the left wall's
    assert sorted(run)[:3] == pytest.approx([turned] * 3, abs=0.1)
    assert sorted(run)[3:] == pytest.approx([front] * 3, abs=0.1)
    total = sum(part.length_mm for part in of_kind(wrapped, Kind.WRAP))
    assert row.net == pytest.approx(total / (100 * FOOT))
    # 100 ft rolls that lap 6 in: two hold 199-1/2 ft.
    assert 100 * FOOT < total <= 199.5 * FOOT
    assert row.buy == 2
    (order,) = (one for one in supplies(wrapped) if one.item == "house wrap 3 ft")
    assert order.sold_by["area"] == pytest.approx(order.ordered * 100 * 3 * FOOT**2)


def test_seams_of_a_wall(wrapped: Building) -> None:
    """Front: three courses make two seams of its length, and each a seam of its height at one end.

    Laps lie from 2-1/2 to 3 ft and from 5 to 5-1/2 ft up; the window stands between them, from 3
    to 5 ft.
    """
    pieces = [p for p in of_kind(wrapped, Kind.WRAP) if p.group == "front wall wrap"]
    seams = seams_mm(pieces, WALLS["front"][1])
    length = 12 * FOOT + 2 * 7 / 16 * INCH
    low = min(p.bounds_mm[0][2] for p in pieces)
    # At its end each course's own seam is as high as the course: 6 in lap there, of which what is
    # beside the tail over the corner ends lower, and the rest goes on up past the tail.
    left = min(p.bounds_mm[0][0] for p in pieces)
    corners = [(x, z) for p in pieces for x, _, z in p.vertices_mm.tolist()]
    beside, past = max(z for x, z in corners if x < left + 1.0), max(z for _, z in corners)
    share = (min(x for x, z in corners if z > past - 1.0) - left) / (0.5 * FOOT)
    assert 0.0 < share < 0.5
    high = share * beside + (1.0 - share) * past
    ends = (high - low) + 2 * 0.5 * FOOT
    assert seams == pytest.approx(2 * length + ends, abs=1.0)
    assert seams_mm(pieces[:1], WALLS["front"][1]) == 0
    tape = only(coverings(wrapped, roll_waste=0.0), "seam tape")
    assert tape.net is not None
    # All four walls, in rolls of 50 m: common practice, no source.
    walls = ("front", "back", "left", "right")
    total = sum(
        seams_mm(
            [p for p in of_kind(wrapped, Kind.WRAP) if p.group == f"{w} wall wrap"], WALLS[w][1]
        )
        for w in walls
    )
    assert tape.net == pytest.approx(total / 50_000)
    assert tape.buy == -(-total // 50_000)


def test_underlayment(honey_house: Building) -> None:
    """Courses of the roof's width, from felt of 36 in by 72 ft that laps 4 in at its ends."""
    row = only(coverings(honey_house, roll_waste=0.0), "No. 30 felt")
    courses = of_kind(honey_house, Kind.UNDERLAYMENT)
    (width,) = {round(course.length_mm, 3) for course in courses}
    total = len(courses) * width
    assert row.net == pytest.approx(total / (72 * FOOT))
    assert row.buy == next(n for n in range(1, 99) if n * 72 * FOOT - (n - 1) * 4 * INCH >= total)
    # A low slope takes a starter of 19 in, then courses of 36 in, each 17 in farther up, until two
    # layers lie up to the top: IRC Table R905.1.1(2).
    last_mm = courses[-1].shape.size_mm[1]
    ups_mm = [17 * INCH * number for number in range(len(courses) - 1)]
    high_mm = ups_mm[-1] + last_mm
    widths_mm = 19 * INCH + sum(min(36 * INCH, high_mm - up) for up in ups_mm)
    assert 2 * INCH < last_mm <= 19 * INCH
    felt_mm = honey_house.scene.catalogue.find_roll("No. 30 felt").thickness_mm
    laid_mm2 = sum(course.volume_mm3 for course in courses) / felt_mm
    assert laid_mm2 == pytest.approx(width * widths_mm)


def test_membrane_is_as_long_as_the_sill_and_its_ends(honey_house: Building) -> None:
    """Rough openings and 6 in up at each end, under four windows and two doors."""
    row = only(coverings(honey_house), "flashing membrane 9 in")
    windows, doors = 24 + 24 + 36 + 30, 64 + 34.5
    lengths = (windows + doors + 6 * 2 * 6) * INCH
    assert row.net is not None
    assert row.net * 75 * FOOT == pytest.approx(lengths, rel=1e-6)
    assert row.buy == 1


def test_bent_metal(honey_house: Building) -> None:
    drawn = [p for p in honey_house.parts if p.stock == "flat steel 29 ga"]
    corners = [p for p in drawn if p.kind == Kind.FLASHING_CORNER]
    bent = trims(honey_house)
    assert {trim.stock for trim in bent} == {"flat steel 29 ga"}
    assert sorted(p.name for trim in bent for p in trim.parts) == sorted(
        p.name for p in drawn if p.kind not in (Kind.FLASHING_CORNER, Kind.END_DAM)
    )
    # One profile of each kind, though lengths that lap others are bent a thickness wider; over
    # heads two, one wider by what a track's board is thicker than casing.
    assert len({trim.kind for trim in bent}) + 1 == len(bent)
    singly = [one for one in pieces_bought(honey_house, (), ()) if one.item == "flashing corner"]
    assert sum(one.ordered for one in singly) == len(corners)


def test_girth_of_a_base_flashing(wrapped: Building) -> None:
    """Its middle line, bent once each way, so that the metal's thickness cancels out.

    2 in up behind the boards from 1/4 in below them, less its fall of 3/16 in; out over the layers
    behind them, a 3/4 in board and 1/4 in, and down that; a drip leg of 3/8 in: 2-1/16 + 1.17 + 3/8
    in, 3-5/8 in in sixteenths.
    """
    out = WRAP_MM + ONE_BY + INCH / 4
    girth_mm = (2.25 - 3 / 16) * INCH + hypot(out, 3 / 16 * INCH) + 3 / 8 * INCH
    assert girth_mm == pytest.approx(3.625 * INCH, abs=INCH / 32)
    (trim,) = [trim for trim in trims(wrapped) if trim.kind == Kind.BASE_FLASHING]
    assert trim.girth_mm == pytest.approx(3.625 * INCH)
    # Round the building, 7/16 in sheets included, 10 ft lengths lapped 2 in: the sides of 12 ft in
    # two lengths each.
    run = 2 * (12 + 8) * FOOT + 8 * 7 / 16 * INCH + 2 * 2 * INCH
    assert sum(part.length_mm for part in trim.parts) == pytest.approx(run, abs=8 * 3)


def test_sealant(honey_house: Building) -> None:
    """Eight panels have seven side laps; a 1/4 in bead of 300 ml is 300 000 / (pi/4 6.35^2) mm."""
    assert honey_house.scene.roofing
    assert honey_house.scene.roofing.sealed
    row = only(coverings(honey_house, roll_waste=0.0), "sealant, 300 ml cartridge")
    panels = of_kind(honey_house, Kind.PANEL)
    bead_mm = 300_000 / (pi / 4 * (INCH / 4) ** 2)
    laps_mm = (len(panels) - 1) * panels[0].length_mm
    assert row.net == pytest.approx(laps_mm / bead_mm)
    assert row.buy == -(-laps_mm // bead_mm)


def test_no_sealant_unless_the_laps_are_sealed(honey_house: Building) -> None:
    scene = honey_house.scene
    assert scene.roofing
    dry = scene.model_copy(update={"roofing": scene.roofing.model_copy(update={"sealed": False})})
    assert not found(coverings(replace(honey_house, scene=dry)), "sealant")


PANEL = "ribbed steel 9 in 29 ga"


def test_closures_by_hand(honey_house: Building) -> None:
    """14 ft, 8 ft of bay, a foot and a board of 3/4 in at both ends: 24 ft 1-1/2 in of roof.

    Panels cover 3 ft from rib to rib, and the ribs at both ends what is left of it: eight. One
    slope: a strip under the lower end of each, and one over its upper end under the peak cap; 10 %
    more than eight is nine (common practice, no source).
    """
    assert len(of_kind(honey_house, Kind.PANEL)) == 8
    for side in ("under", "over"):
        row = only(coverings(honey_house, run_waste=0.1), f"closure strip {side} {PANEL}")
        assert (row.net, row.buy) == (8, 9)
    scene = honey_house.scene
    assert scene.roofing
    bare = scene.roofing.model_copy(update={"closures": False})
    without = replace(honey_house, scene=scene.model_copy(update={"roofing": bare}))
    assert not found(coverings(without), "closure")
    no_caps = [part for part in honey_house.parts if part.kind != Kind.PEAK_CAP]
    uncapped = replace(honey_house, parts=tuple(no_caps))
    assert not found(coverings(uncapped), "closure strip over")
    assert found(coverings(uncapped), "closure strip under")


def test_paint_by_hand() -> None:
    """Bare sheets outside, 2 coats at 350 ft2 to the US gallon of 231 in3, in whole quarts."""
    building = clad()
    spread_m2_l = 350 * FOOT**2 / GALLON_MM3
    rows = paints(building, coats=2, primer_coats=1, spread_m2_l=spread_m2_l, waste=0.1)
    ft2 = sum(s.area_mm2 for s in surfaces(building) if s.side == "outside") / FOOT**2
    # Front 7 ft high, back 2 ft more at 3:12 over 8 ft; 12 ft long; two sides of 8 ft between.
    assert ft2 == pytest.approx(12 * 7 + 12 * 9 + 2 * 8 * 8, rel=0.02)
    for item, coats in (("paint", 2), ("primer", 1)):
        (row,) = [row for row in rows if (row.item, row.where) == (item, "walls outside")]
        gallons = ft2 * coats / 350
        assert row.net == pytest.approx(gallons * GALLON_MM3)
        quarts = -(-gallons * 1.1 * 4 // 1)
        assert row.buy == pytest.approx(quarts * GALLON_MM3 / 4)
        assert row.unit == "mm3"


def test_cladding_takes_more_primer_than_paint(wrapped: Building) -> None:
    rows = paints(wrapped, coats=1, primer_coats=1)
    primer, paint = (
        next(r.net for r in rows if (r.item, r.where) == (item, "walls outside"))
        for item in ("primer", "paint")
    )
    assert primer is not None
    assert paint is not None
    assert primer > 2 * paint


def test_no_coats_no_paint(wrapped: Building) -> None:
    assert {row.item for row in paints(wrapped, primer_coats=0)} == {"paint"}
    assert paints(wrapped, coats=0, primer_coats=0) == ()


def test_more_waste_is_never_less_to_buy(building: Building) -> None:
    tight = coverings(building, roll_waste=0.0, paint_waste=0.0)
    loose = coverings(building, roll_waste=0.31, paint_waste=0.31)
    assert [row.item for row in tight] == [row.item for row in loose]
    for less, more in zip(tight, loose, strict=True):
        assert less.net is not None
        assert less.buy is not None
        assert more.buy is not None
        assert 0 <= less.net <= less.buy * (1 + 1e-9)
        assert less.buy <= more.buy


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        ({"roll_waste": -0.1}, r"waste\.rolls = -0\.1"),
        ({"paint_waste": float("nan")}, r"paint\.waste = nan"),
        ({"spread_m2_l": 0.0}, r"paint\.spread = 0\.0"),
        ({"coats": -1}, r"paint\.coats = -1"),
        ({"bead_mm": 0.0}, r"sealant\.bead = 0\.0"),
    ],
)
def test_bad_input_is_refused(honey_house: Building, asked: dict[str, float], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        coverings(honey_house, **asked)  # type: ignore[arg-type]
