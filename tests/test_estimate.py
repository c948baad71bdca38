"""The honey house's list against an estimate by hand, from the sizes in its scene alone.

Store 14 x 9 ft, bay 8 ft beside it, roof 3:12 down from the front to the back (1.031 ft of rafter
to the foot), 1 ft past all round: 24 ft long, 11 ft deep on the level. Plates stand 7 ft over the
floor at the back and 26-1/8 in more at the front, 9 ft less a plate's width away: 9 ft 2-1/8 in.
Nails go by IRC R602.3(1), R803.2.3 and R905 (from memory); what is sold in which size is common
practice, no source. Lengths are in feet where no inches are said.
"""

from __future__ import annotations

import math

import pytest

from pikepole_export.derive.buying.fasteners import fasteners
from pikepole_export.derive.buying.purchase import Purchase
from pikepole_model.building.kinds import Kind
from test_buy_list import shipped

FOOT = 304.8
ESTIMATE = 0.05  # an estimator rounds to the half foot and takes middles of slopes
WASTE = 0.15  # of boards, spare left out: what a cut plan of few lengths leaves at most

# Feet of each section that the pieces are long together; treated ones apart.
FEET: dict[tuple[str, bool], float] = {
    # Three skids.
    ("4x6", True): 3 * 14,
    # Two beams of the store and the bay, 22 ft, of two plies. Rafters every 16 in from 0 to 264 in
    # and one over the right wall, 168 in: 19, of which both ends are 2x6; 11.34 and a plumb
    # tail's 7-1/4 in x 3/12: 11.49. Blocks between them on both bearings, 18 gaps of which two are
    # halves, 1-1/4 less a little. Header over 64 in and two jacks; four 2x8 round it, ripped for
    # a frame, 9.
    ("2x8", False): 2 * 2 * 22 + 17 * 11.49 + 2 * (16 * 1.2 + 2 * 0.55) + 2 * 67 / 12 + 9,
    # Ends and fly rafters, a plumb end less deep: 11.45. Headers over 34-1/2, 24, 24, 36 and 30 in
    # and two jacks, of two plies. A track twice as long as a leaf that laps 2 in at both sides.
    ("2x6", False): 4 * 11.45
    + 2 * (34.5 + 24 + 24 + 36 + 30 + 5 * 3) / 12
    + 2 * (34.5 + 2 * 2) / 12,
    # Fascias along 24 ft, barge boards up 11.34 and the fascias' thickness on both sides.
    ("1x8", False): 2 * 24 + 2 * 11.6,
    # Two boards at each corner: 8 ft at the back, 10 ft 2 in in front, from below the floor frame.
    # Round each opening outside, its width and height and a little over; a strip as high as the
    # leaf at both sides of the door that slides.
    ("1x4", False): 4 * (8.1 + 10.1)
    + (2 * 6.9 + 3.4)
    + (2 * 6.7 + 5.9)
    + 2 * (2 * (2 + 2.5) + 1)
    + 2 * (3 + 2)
    + 2 * (2.5 + 2.5)
    + 2
    + 2 * 6.8,
    # A batten over each gap, every 16-3/16 in, on walls of 14 x 9.7 and 14 x 7.6 and twice 9 x 8.6
    # less 78 of openings: 318 ft2.
    ("1x3", False): (14 * 9.7 + 14 * 7.6 + 2 * 9 * 8.6 - 78) / (16.2 / 12) + 6.5,
    # A beam on each fork.
    ("4x8", False): 2 * 9.5,
}


def bought(item: str) -> Purchase:
    (one,) = (one for one in shipped("honey-house")[1].purchases if one.item == item)
    return one


def test_footings() -> None:
    """Two, 12 in across, 2 ft deep and 3 in over the ground, 10 % more concrete.

    pi / 4 x 2.25 ft x 2 = 3.534 ft3, and a tenth 3.888; a bag of 60 lb gives 0.45 ft3 (0.15 each
    20 lb): 8.64, 9 bags. A tube of 4 ft gives one of 2.25 ft: 2 tubes. A base to each post: 2.
    """
    assert bought("concrete mix, 60 lb bag").ordered == math.ceil(
        math.pi / 4 * 2.25 * 2 * 1.1 / 0.45
    )
    assert bought("form tube 12 in x 4 ft").ordered == 2
    assert bought("post base for 6x6").ordered == 2


def test_what_strength_counts_on_is_asked_for() -> None:
    """The scene has 800 lb for an anchor, 700 for a base, 450 for a floor tie; none at rafters."""
    asked = [one.asked for one in shipped("honey-house")[1].purchases]
    (anchor,) = (text for text in asked if text.startswith("ground anchor"))
    (base,) = (text for text in asked if text.startswith("post base"))
    (tie,) = (text for text in asked if text.startswith("floor tie"))
    assert ", rated 800 lb or more in your soil, " in anchor
    assert ", rated 700 lb or more against uplift, " in base
    assert ", rated 450 lb or more against uplift, " in tie
    assert sum("rated" in text for text in asked) == 3


def test_deck() -> None:
    """14 x 9 ft. Two rows of sheets of 47-1/2 in take 28 ft of them: four; 13 in are left to cover.

    With tongue and groove a sheet gives one strip, the other has lost the edge that meets the row
    before: 8 and 6 ft take one each, 6 sheets, 192 ft2 for 126.
    """
    deck = bought("23/32 treated plywood")
    assert deck.ordered == 6
    assert deck.used == pytest.approx(126 / 32, rel=0.01)


def test_roof_panels() -> None:
    """14 ft, a bay of 8 ft and 1 ft past both ends are 24 ft: eight panels that cover 3 ft.

    9 ft and 1 ft past both walls, at 3:12: 11 x sqrt(1 + 1 / 16) = 11.34 ft, and 1-1/2 in past the
    drip edge and the fascia's thickness: 11-1/2 to 11-3/4 ft each.
    """
    (panel,) = (one for one in shipped("honey-house")[1].purchases if one.item == "roof panel")
    assert panel.ordered == 8
    assert 11.5 < panel.size_mm[0] / 304.8 < 11.75


def test_gravel() -> None:
    """Under the store 16 x 11 ft x 4 in are 58.7 ft3; under steps and ramp a few more.

    The ramp's landing is 3 ft deep, as its leaves swing over it, and 1 ft up at 1 in 8 is 8 ft: a
    bed of 11 ft, 6 ft wide, is 22 ft3. A fifth more is delivered than lies there, a tenth more is
    bought: 58.7 x 1.32 / 27 = 2.87 yd3 under the store, 80.7 x 1.32 / 27 = 3.95 yd3 with the ramp,
    and a little for the steps: by the half yard, 4 to 5.
    """
    gravel = bought("gravel")
    assert gravel.quantity in (4.0, 4.5, 5.0)
    assert gravel.quantity >= 58.7 * 1.32 / 27


def test_skids_and_posts() -> None:
    """Three skids of 14 ft, as they come.

    Posts: the back one stands from 3 in over the ground to the beam, over 7 ft; the front one 9 ft
    deep at 3:12 stands 2 ft 3 in higher: two boards of 6x6, of 10 and 12 ft or less.
    """
    skids = bought("4x6")
    assert (skids.ordered, round(skids.size_mm[0] / 304.8)) == (3, 14)
    posts = [one for one in shipped("honey-house")[1].purchases if one.item == "6x6"]
    assert sum(one.ordered for one in posts) <= 2
    assert all(8 <= one.size_mm[0] / 304.8 <= 20 for one in posts)


def test_boards() -> None:
    """Pieces as long as the estimate, and boards for them with a cut plan's waste and the spare."""
    building, buying = shipped("honey-house")
    for (section, treated), feet in FEET.items():
        parts = [
            part
            for part in building.handled
            if part.section_mm and (part.stock, part.material.treated) == (section, treated)
        ]
        used = sum(part.length_mm for part in parts) / FOOT
        assert used == pytest.approx(feet, rel=ESTIMATE), section
        rows = [
            one
            for one in buying.purchases
            if (one.item, one.treated) == (section, treated) and one.used
        ]
        boards = sum((one.ordered - one.spare) * one.size_mm[0] for one in rows) / FOOT
        assert feet * (1 - ESTIMATE) <= boards <= feet * (1 + ESTIMATE + WASTE), section
        # Five in a hundred to the nearest board.
        count = sum(one.ordered - one.spare for one in rows)
        assert sum(one.spare for one in rows) == math.floor(count * 0.05 + 0.5)


def test_studs_and_plates() -> None:
    """Studs on centre from the left end or the front, less what openings with their studs take.

    back    16 ... 160: 10 and 2 ends; 63 to 105 in of the window take 64, 80, 96: 9; corners 2,
            kings 2, jacks 2; under its sill 2 ends, 80 and 96; over its header 80 and 96
    front   10 and 2 ends; the door's 11 to 51-1/2 take 16, 32, 48; the windows' 93-3/4 to 123-3/4
            and 126-1/2 to 156-1/2 take 96, 112, 128 and 144: 5; corners 2, kings 6, jacks 6; under
            the sills 2 x 3; over the headers 16 and 32 at the door, 96 and 112, 144; 48 is too near
            to the door's other king at 50 for a nailer
    left    between the others: 16 ... 96 and 2 ends: 8; 36 to 72 take 48 and 64: 6; kings 2, jacks
            2; under the sill 4, over the header 2
    right   8; two kings a side, 17-1/2 to 90-1/2 take 32, 48, 64, 80: 4; kings 4, jacks 2; over
            the header 4

    Plates: three round but at the doors, 46 ft less the corners' twice 7 in, slopes on two of the
    three at the sides. With half a board and more for each of 46 that stand from plate to plate.
    """
    building, buying = shipped("honey-house")
    counted = {
        kind: sum(part.kind is kind for part in building.parts)
        for kind in (Kind.STUD, Kind.CORNER_STUD, Kind.KING, Kind.JACK, Kind.CRIPPLE)
    }
    assert counted == {
        Kind.STUD: 9 + 5 + 6 + 4,
        Kind.CORNER_STUD: 2 + 2,
        Kind.KING: 2 + 6 + 2 + 4,
        Kind.JACK: 2 + 6 + 2 + 2,
        Kind.CRIPPLE: (4 + 2) + (6 + 5) + (4 + 2) + 4,
    }
    plates = [p for p in building.parts if p.kind in (Kind.BOTTOM_PLATE, Kind.TOP_PLATE)]
    feet = 3 * 14 + 3 * 14 - 2.9 + 2 * 8.42 * (1 + 2 * 1.031) + 2 * 0.3 - 5.33
    assert sum(part.length_mm for part in plates) / FOOT == pytest.approx(feet, rel=ESTIMATE)
    # A 2x4 of 16 ft gives two studs of the back wall, any other board one that stands.
    standing = 24 + 4 + 14
    boards = sum(
        one.ordered - one.spare for one in buying.purchases if one.item == "2x4" and one.used
    )
    assert boards >= standing / 2 + feet / 16


def test_floor_frame() -> None:
    """Joists every 16 in along 168 and one at the end: 12. A block in each gap, two rims of 14."""
    building, _ = shipped("honey-house")
    kinds = [part.kind for part in building.parts]
    assert kinds.count(Kind.JOIST) == math.floor(168 / 16) + 1 + 1
    assert kinds.count(Kind.FLOOR_BLOCK) == 11
    assert kinds.count(Kind.RIM) == 2
    joists = [part for part in building.parts if part.kind is Kind.JOIST]
    assert all(part.length_mm == pytest.approx((9 - 3 / 12) * FOOT) for part in joists)


def test_sheets() -> None:
    """OSB: roof 24 x 11.34, three rows of three: 9. Walls 14 x 9.7, 14 x 7.6 and twice 9 x 8.6.

    That is 397 ft2, 12.4; openings of 78 ft2 give nothing large back. A fifth over 21.4 at most.
    Siding: 397 less 78 are 319 ft2, 10 sheets; 13 at most, as if nothing were left of openings.
    Plywood of 1/2 in between
    plies, 44 of 7-1/4 in, 13.6 of 5-1/2 in and 5.6 of 7-1/4 in, and two leaves of 2.5 x 6.5: 69
    ft2, 3.
    """
    walls = 14 * 9.7 + 14 * 7.6 + 2 * 9 * 8.6
    osb = 9 + walls / 32
    assert osb <= bought("7/16 OSB").ordered <= osb * 1.2
    assert (walls - 78) / 32 <= bought("19/32 plywood").ordered <= math.ceil(walls / 32)
    plies = (44 * 7.25 + 13.6 * 5.5 + 5.6 * 7.25) / 12 + 2 * 2.5 * 6.5
    assert bought("1/2 plywood").ordered == math.ceil(plies / 32)


def test_rolls() -> None:
    """Felt under 4:12 lies double: a strip of 19 in, then 36 in every 17 in.

    IRC R905.1.1, from memory. 11.34 ft and the fascia's thickness are 137 in: (137 - 36) / 17 = 6
    more after the strip and the first: 8, and one over the peak: 9 of 24 ft 1-1/2 in, 217 ft; a
    tenth more, 239 of 72 ft: 4. Wrap of 9 ft: once round, 46 ft, again above on the front and the
    sides, 32 ft, a tenth more: 86 of 100 ft.
    """
    courses = 1 + 1 + math.ceil((137 - 36) / 17) + 1
    assert bought("No. 30 felt").ordered == math.ceil(courses * 24.125 * 1.1 / 72)
    assert bought("house wrap 9 ft").ordered == math.ceil((46 + 32) * 1.1 / 100)


# By hand, and how many boxes of what they come in with a tenth more.
NAILS: dict[tuple[str, str], tuple[float, int]] = {
    # Three at each of 19 rafters on both bearings.
    ("10d common nail", "bright"): (19 * 2 * 3, 1),
    # Four up, four down at each of 17 rafters (not those over the left and the right wall) on both
    # bearings; ten straps with four in the beam, two in each plate, four in the stud; four and four
    # at five joists on three skids. 1-1/2 x 0.148 in weighs 0.0073 lb: 4.1 lb, so a box of 5 lb.
    ("10d x 1-1/2 in hanger nail", "hot-dip galvanised"): (
        17 * 2 * 8 + 10 * 12 + 5 * 3 * 8,
        1,
    ),
    # Two rims every 6 in, three at each joist on three skids, six and twice two at each block; the
    # deck some 60 a sheet, and the wall sheets' lower edge every 6 in round 46 ft. Five lines of
    # ramp joists, in two lengths each: one end on a leg at the sill, two on that where they meet.
    ("8d common nail", "hot-dip galvanised"): (
        2 * 29 + 12 * 3 * 3 + 11 * (6 + 4) + 126 / 32 * 60 + 92 + 5 * 3 * 2,
        2,
    ),
    # Seven rows over 11.6 ft, two screws at each of four ribs at both ends and one between; the
    # last panel's last rib; the rakes every 2 ft, the peak every foot.
    ("roofing screw with washer", "hot-dip galvanised"): (8 * 4 * 9 + 9 + 2 * 2 * 4 + 27, 2),
    # Two rows, one a foot and one more, in nine courses of 24 ft 1-1/2 in.
    ("cap nail", "hot-dip galvanised"): (9 * 2 * 26, 2),
    # One for each square of 16 in of 397 ft2.
    ("cap staple", "hot-dip galvanised"): (397 / (4 / 3) ** 2, 1),
}


@pytest.mark.parametrize("nail", NAILS)
def test_nails_by_the_schedule(nail: tuple[str, str]) -> None:
    by_hand, boxes = NAILS[nail]
    building, buying = shipped("honey-house")
    rows = [row for row in fasteners(building) if (row.fastener, row.finish) == nail]
    assert sum(row.pieces for row in rows) == pytest.approx(by_hand, rel=ESTIMATE)
    (box,) = (one for one in buying.purchases if (one.item, one.made_of) == nail and one.used)
    assert box.ordered == boxes
