"""The volume of each kind of piece against its closed form, written out from the scene's sizes."""

from __future__ import annotations

from math import cos, pi, radians, sin, tan

import pytest

from measuring import INCH, of_group, of_kind
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part

# Recipes are rounded to a millionth of a millimetre.
REL = 1e-7

# Dressed sizes, inches: PS 20, American Softwood Lumber Standard.
BREADTH = 1.5
DEPTH = {"2x4": 3.5, "2x6": 5.5, "2x8": 7.25, "2x10": 9.25, "4x6": 5.5, "6x6": 5.5}

# The lopsided hut, inches.
LENGTH, DEEP, BAY = 120.0, 72.0, 36.0
EAVE, HIGH, RAKE = 10.0, 6.0, 8.0
SLOPE = radians(9.4623222)  # 2 in 12
TAN = 2 / 12
COS = 12 / (144 + 4) ** 0.5
SIN = 2 / (144 + 4) ** 0.5
WALL = 3.5
BEARING = 3.5  # 1-1/2 + 1/2 + 1-1/2
LOW_PLATE = 84.0  # over the floor
BEAM_TOP = LOW_PLATE + 5.5
FLOOR = 5.5 + 5.5 + 23 / 32  # skid, joist, deck: over the ground


def close(part: Part, inches3: float) -> None:
    assert part.volume_mm3 / INCH**3 == pytest.approx(inches3, rel=REL), part.name


def one(building: Building, name: str) -> Part:
    return next(part for part in building.parts if part.name == name)


def test_slope() -> None:
    assert tan(SLOPE) == pytest.approx(TAN)
    assert (cos(SLOPE), sin(SLOPE)) == pytest.approx((COS, SIN))


def test_common_rafter(lopsided: Building) -> None:
    # A parallelogram as long on the level as the roof, d/cos high, less two birdsmouths: right
    # triangles with a level seat s and a plumb heel s tan.
    run = DEEP + EAVE + HIGH
    area = run * DEPTH["2x8"] / COS - 2 * BEARING * BEARING * TAN / 2
    for rafter in of_kind(lopsided, Kind.RAFTER):
        close(rafter, area * BREADTH)


def end_seat() -> float:
    # The 2x6 under the flat 2x4 lookouts lies 7-1/4 - 1-1/2 - 5-1/2 = 1/4 in higher, square to the
    # roof, than the rafters' undersides: its seat is 1/4 / sin shorter.
    return BEARING - 0.25 / SIN


def test_end_rafter(lopsided: Building) -> None:
    run, seat = DEEP + EAVE + HIGH, end_seat()
    area = run * DEPTH["2x6"] / COS - 2 * seat * seat * TAN / 2
    for rafter in of_kind(lopsided, Kind.END_RAFTER):
        close(rafter, area * BREADTH)


def test_fly_rafter(lopsided: Building) -> None:
    for rafter in of_kind(lopsided, Kind.FLY_RAFTER):
        close(rafter, (DEEP + EAVE + HIGH) * DEPTH["2x6"] / COS * BREADTH)


def test_lookouts(lopsided: Building) -> None:
    # From the fly rafter's inner face over the end rafter to the near face of the next rafter: the
    # first in from the ends stand at -12 and at 108.
    lengths = {
        (-12 - BREADTH / 2) - (-BAY - RAKE + BREADTH),
        (LENGTH + RAKE - BREADTH) - (108 + BREADTH / 2),
    }
    for lookout in of_kind(lopsided, Kind.LOOKOUT):
        assert min(
            abs(lookout.volume_mm3 / INCH**3 - length * 1.5 * 3.5) for length in lengths
        ) == pytest.approx(0, abs=1e-4)


def test_ripped_rafter_blocks(lopsided: Building) -> None:
    # Across its 1-1/2 in a block rises to the roof's plane: its mean height is that over its
    # middle. The roof lies d/cos over the underside, which crosses the bearing at the seat's upper
    # end, so at a level distance x down the slope from there it is d/cos - x tan over the bearing.
    # Both stand flush outside: the low wall's on the downhill edge, the high one's on the uphill
    # edge, where a 2x8 is cut off square as deep as it is, 7-1/4 in, and bevelled under that.
    low = 7.25 / COS - (BEARING - BREADTH / 2) * TAN
    gone = max(0.0, 7.25 / COS - 7.25)
    high = 7.25 - max(0.0, BREADTH - gone / TAN) ** 2 * TAN / 2 / BREADTH
    gaps = {
        (-12 - BREADTH / 2) - (-BAY + BREADTH),
        (0 - (-12 + BREADTH / 2)),
        (12 - BREADTH / 2) - BREADTH,
        24 - BREADTH,
        (LENGTH - BREADTH) - (108 + BREADTH / 2),
    }
    for block in of_kind(lopsided, Kind.RAFTER_BLOCK):
        volume = block.volume_mm3 / INCH**3
        assert any(
            volume == pytest.approx(gap * BREADTH * height, rel=REL)
            for gap in gaps
            for height in (low, high)
        ), block.name


def test_bevelled_studs(lopsided: Building) -> None:
    # The left wall's plates follow the rafters' undersides: BEAM_TOP at 3-1/2 in from the back
    # (u = 3.5), 1/6 in higher for each inch to the front. A stud ends two plates under that at its
    # middle, t/cos each measured plumb; it stands on a plate 1-1/2 in thick.
    for part in of_group(lopsided, "left wall"):
        if part.kind != Kind.STUD:
            continue
        u = DEEP - part.centre_mm[1] / INCH
        middle = round(u * 4) / 4  # on a mark or flush with an end: 16, 32 ... 4-1/4, 67-3/4
        head = BEAM_TOP + (middle - BEARING) * TAN - 2 * 1.5 / COS
        close(part, (head - 1.5) * 1.5 * 3.5)


def test_square_cut_studs(lopsided: Building) -> None:
    high = LOW_PLATE + (DEEP - BEARING) * TAN
    for wall, plate in (("back wall", LOW_PLATE), ("front wall", high)):
        for part in of_group(lopsided, wall):
            if part.kind in (Kind.STUD, Kind.CORNER_STUD, Kind.KING):
                close(part, (plate - 3 * 1.5) * 1.5 * 3.5)


def test_raking_top_plates(lopsided: Building) -> None:
    # Between the other walls, plumb-cut: t/cos high, as long on the level as the gap.
    for part in of_group(lopsided, "left wall") + of_group(lopsided, "right wall"):
        if part.kind == Kind.TOP_PLATE:
            close(part, (DEEP - 2 * WALL) * 1.5 / COS * 3.5)


def test_skids(lopsided: Building) -> None:
    # A 4x6 on edge, at each end a 45 degree toe of 1-1/2 in cut off: two triangles of 1.5 x 1.5/2.
    for skid in of_kind(lopsided, Kind.SKID):
        close(skid, (LENGTH * 5.5 - 2 * 1.5 * 1.5 / 2) * 3.5)


def test_notched_post(lopsided: Building) -> None:
    # From 1 in over a footing that stands 3 in out of the ground. The notch is the beam's 3-1/2 in
    # out of 5-1/2, from the plate up; the tongue reaches 0.7 of the beam's 5-1/2 in, but no nearer
    # than 3 mm to a rafter: at the high wall the undersides lie (5-1/2 - 3-1/2) tan and a seat's
    # heel below the beam's top there.
    feet = 3.0 + 1.0
    for part in of_kind(lopsided, Kind.POST):
        front = part.centre_mm[1] < DEEP * INCH / 2
        plate = FLOOR + LOW_PLATE + ((DEEP - BEARING) * TAN if front else 0.0)
        tongue = min(0.7 * 5.5, 5.5 - (5.5 - 3.5 + BEARING) * TAN - 3 / INCH)
        area = (plate + tongue - feet) * 5.5 - tongue * BEARING
        close(part, area * 5.5)


def test_post_base_and_footing(lopsided: Building) -> None:
    # Bent from 3 mm plate, as long as the post is wide. Stem 6 mm by 180; two legs of 3 mm by
    # 25.4 + 75; a tube's top and bottom of 3 mm over the post's 5-1/2 in.
    wide, long = 5.5 * INCH, 5.5 * INCH
    base = (6 * 180 + 2 * 3 * (25.4 + 75) + 2 * 3 * wide) * long
    # A cylinder of 12 in, 24 in deep and 3 in out of the ground, less the stem cast in.
    footing = pi * (6 * INCH) ** 2 * 27 * INCH - 6 * 180 * long
    for part in of_kind(lopsided, Kind.POST_BASE):
        assert part.volume_mm3 == pytest.approx(base, rel=REL)
    for part in of_kind(lopsided, Kind.FOOTING):
        assert part.volume_mm3 == pytest.approx(footing, rel=REL)


def test_straight_pieces(lopsided: Building) -> None:
    # Length times section.
    lengths = {
        Kind.RIM: {LENGTH},
        Kind.JOIST: {DEEP - 2 * 1.5},
        Kind.BEAM: {LENGTH + BAY},
        Kind.HEADER: {34 + 2 * 1.5, 24 + 2 * 1.5},
        Kind.SILL: {24.0},
        Kind.FLOOR_BLOCK: {16 - 1.5, 16 - 1.5 / 2 - 1.5, 120 - 112 - 1.5 - 1.5 / 2},
    }
    for kind, expected in lengths.items():
        parts = of_kind(lopsided, kind)
        found = {
            round(part.volume_mm3 / INCH**3 / (BREADTH * DEPTH[part.stock]), 6) for part in parts
        }
        assert sorted(found) == pytest.approx(sorted(expected)), kind


def test_wall_sheets_cover_the_walls(lopsided: Building) -> None:
    # The back wall: 120 in long, from 6 in over the ground (IRC R317.1) to the plates, less two
    # upright gaps of 1/8 in over the full height; no opening.
    high = LOW_PLATE + FLOOR - 6
    sheets = [p for p in of_group(lopsided, "back wall sheathing") if p.kind == Kind.WALL_SHEET]
    total = sum(part.volume_mm3 for part in sheets) / INCH**3
    assert total == pytest.approx((LENGTH - 2 / 8) * high * 7 / 16, rel=REL)


def test_sheets_with_openings(lopsided: Building) -> None:
    # The right wall: its top falls from front to back with the end rafter's underside, which
    # crosses the beam's top one end seat in from the back. The mean height is that over the
    # middle, 36 in; less the window's 24 x 20, a level gap over all its length where a second
    # course stands, and an upright one before 48 over the height there (their crossing counted
    # once). That course's joint is lowered by 10 in: 12 in or more are over it at the higher edge
    # of the last sheet too, and it runs from end to end.
    def top(u: float) -> float:
        return BEAM_TOP + (DEEP - end_seat() - u) * TAN

    foot = 6 - FLOOR
    gap = 1 / 8
    whole = (top(DEEP / 2) - foot) * DEEP
    level = gap * DEEP
    upright = gap * (top(48 - gap / 2) - foot - gap)
    area = whole - 24 * 20 - level - upright
    sheets = [p for p in of_group(lopsided, "right wall sheathing") if p.kind == Kind.WALL_SHEET]
    total = sum(part.volume_mm3 for part in sheets) / INCH**3
    assert total == pytest.approx(area * 7 / 16, rel=1e-6)


def test_floor_and_roof_decks(lopsided: Building) -> None:
    # Floor: 120 x 72; rows with tongue and groove meet, an upright gap in each of the two.
    floor = LENGTH * DEEP - DEEP / 8
    total = sum(part.volume_mm3 for part in of_kind(lopsided, Kind.FLOOR_SHEET)) / INCH**3
    assert total == pytest.approx(floor * 23 / 32, rel=REL)
    # Roof: 172 long, (72 + 10 + 6)/cos up; a long gap, one joint in the first row of whole sheets
    # of 48 in and two in the second, behind the gap.
    long, up = LENGTH + BAY + 2 * RAKE, (DEEP + EAVE + HIGH) / COS
    roof = long * up - long / 8 - 48 / 8 - 2 * (up - 48 - 1 / 8) / 8
    total = sum(part.volume_mm3 for part in of_kind(lopsided, Kind.ROOF_SHEET)) / INCH**3
    assert total == pytest.approx(roof * 7 / 16, rel=REL)


def test_slab(tool_store: Building) -> None:
    # A prism less the hollow that the thickened edge stands round, less the bolts cast in. The
    # hollow's sides slope at 45 degrees: a prismatoid, h/6 (A + 4 M + B).
    length, deep = 221 * INCH, 87 * INCH
    edge, thick, width = 18 * INCH, 4 * INCH, 12 * INCH
    rise = edge - thick

    def area(inset: float) -> float:
        return (length - 2 * inset) * (deep - 2 * inset)

    hollow = rise / 6 * (area(width) + 4 * area(width + rise / 2) + area(width + rise))
    bolts = of_kind(tool_store, Kind.ANCHOR_BOLT)
    cast_in = len(bolts) * pi * (INCH / 4) ** 2 * 7 * INCH
    slab = of_kind(tool_store, Kind.SLAB)[0]
    assert slab.volume_mm3 == pytest.approx(length * deep * edge - hollow - cast_in, rel=REL)
    # What fills the hollow is gravel.
    gravel = one(tool_store, "gravel inside the edge")
    assert gravel.volume_mm3 == pytest.approx(hollow, rel=REL)


def test_anchor_bolt_washer_nut(tool_store: Building) -> None:
    # 1/2 in bolt: 7 in in concrete, a plate of 1-1/2 in, a washer of 1/4 in, a nut as high as the
    # bolt is thick, 6 mm of thread.
    long = 7 * INCH + 1.5 * INCH + INCH / 4 + INCH / 2 + 6
    for part in of_kind(tool_store, Kind.ANCHOR_BOLT):
        assert part.volume_mm3 == pytest.approx(pi * (INCH / 4) ** 2 * long, rel=REL)
    hole = pi * (INCH / 4 + INCH / 32) ** 2
    for part in of_kind(tool_store, Kind.WASHER):
        assert part.volume_mm3 == pytest.approx((9 * INCH**2 - hole) * INCH / 4, rel=REL)
    # A regular hexagon of width w across flats has the area w^2 sqrt(3)/2.
    flats = 0.75 * INCH
    nut = (flats**2 * 3**0.5 / 2 - pi * (INCH / 4) ** 2) * INCH / 2
    for part in of_kind(tool_store, Kind.NUT):
        assert part.volume_mm3 == pytest.approx(nut, rel=REL)


def test_drilled_plates(tool_store: Building) -> None:
    # The bottom plates: as long as the walls between corners and doors, less a hole 1/16 in over
    # the bolt at each bolt.
    runs = 221 + (221 - 78) + 2 * (87 - 2 * 3.5)
    bolts = len(of_kind(tool_store, Kind.ANCHOR_BOLT))
    hole = pi * (9 / 32) ** 2 * 1.5
    plates = of_kind(tool_store, Kind.BOTTOM_PLATE)
    total = sum(part.volume_mm3 for part in plates) / INCH**3
    assert total == pytest.approx(runs * 1.5 * 3.5 - bolts * hole, rel=REL)


def test_lapped_raking_plates(tool_store: Building) -> None:
    # The side walls' upper plates run to the outer faces, t/cos high. At each corner a level seat
    # is cut for the other wall's lower plate, which is t under the line where the rake crosses the
    # plates' height, one end seat s in from the downhill side: a right triangle of base
    # s + t (1/cos - 1)/tan and slope tan.
    slope = radians(14)
    seat = 3.5 - 0.25 / sin(slope)  # the 2x6 end rafter under the lookouts, as on the hut
    base = seat + 1.5 * (1 / cos(slope) - 1) / tan(slope)
    assert base < 3.5
    area = 87 * 1.5 / cos(slope) - 2 * base**2 * tan(slope) / 2
    plates = [
        part
        for wall in ("left wall", "right wall")
        for part in of_group(tool_store, wall)
        if part.kind == Kind.TOP_PLATE and "upper" in part.name
    ]
    assert len(plates) == 2
    for part in plates:
        close(part, area * 3.5)


def test_post_cap(boat_rack: Building) -> None:
    # A plate under the beam and legs of 75 mm down the post and up the beam on both faces, from
    # 3 mm plate: the outer legs run through the plate's thickness. Where plies meet, over the post
    # between the store and the bay's end, plate and upper legs reach past the post: 3-1/2 and
    # 3/4 in on either side of the joint.
    wide = broad = 5.5 * INCH
    for part in of_kind(boat_rack, Kind.POST_CAP):
        is_last = part.centre_mm[0] < -5000
        long = broad if is_last else 2 * (3.5 + 0.75) * INCH
        volume = (3 * wide + 2 * 3 * (3 + 75)) * long + 2 * 3 * 75 * broad
        assert part.volume_mm3 == pytest.approx(volume, rel=REL)


def test_square_post_under_a_cap(boat_rack: Building) -> None:
    # From 75 mm of footing and 1 in of standoff up to the cap's plate, 3 mm under the beam.
    capped = [part for part in of_group(boat_rack, "left bay posts") if part.kind == Kind.POST]
    floor = 5.5 * INCH + 7.25 * INCH + 18
    low = floor + 2200
    # Three plies of 1-1/2 in and two spacers of 12 mm plywood.
    rise = (2900 - 3 * 1.5 * INCH - 2 * 12) * 4 / 12
    for part in capped:
        front = part.centre_mm[1] < 2900 / 2
        high = low + (rise if front else 0.0)
        long = high - 3 - 75 - INCH
        assert part.volume_mm3 == pytest.approx(long * (5.5 * INCH) ** 2, rel=REL)
