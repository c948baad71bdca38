"""What is marked out on a piece, against the framing square and plane geometry."""

from __future__ import annotations

from math import atan, degrees, pi

import pytest

from pikepole_export.derive.measures.bends import bends
from pikepole_export.derive.measures.templates import Template, templates
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.building.piece import Piece, Source, profile
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Prism
from pikepole_model.stock.materials import Material
from pikepole_model.stock.sheet_metal import bent
from pikepole_model.units import Units
from roofs import form as roof_form
from shaped import FOOT, INCH, UPRIGHT, only, rafter, sloped, stick

# Outlines are rounded to a millionth of a millimetre; a plumb line carries that on over a depth.
DRAWN_MM = 1e-4
STEEL = Material("steel", (7850.0, 7850.0, 7850.0), "round number for the tests")


def _one(building: Building) -> Template:
    (template,) = templates(building)
    return template


# Length of common rafter per foot of run, in: first line of the table on a framing square, printed
# to a hundredth.
@pytest.mark.parametrize(
    ("rise", "printed_in"),
    [
        (2, 12.17),
        (4, 12.65),
        (5, 13.00),
        (6, 13.42),
        (7, 13.89),
        (9, 15.00),
        (10, 15.62),
        (12, 16.97),
        (13, 17.69),
        (16, 20.00),
        (18, 21.63),
    ],
)
def test_rafter_is_as_long_as_the_framing_square_says(rise: int, printed_in: float) -> None:
    template = _one(only(rafter(rise, FOOT, 5.5 * INCH)))
    assert template.marks_mm[-1] / INCH == pytest.approx(printed_in, abs=0.005)
    for feature in template.features:
        (cut,) = feature.cuts
        assert cut.name == "plumb cut"
        # The square is set to the roof's own rise; past 45 degrees it is read the other way round.
        expected = rise if rise <= 12 else 12 * 12 / rise
        assert cut.rise == pytest.approx(expected, abs=1e-6)
        assert cut.off == ("square" if rise <= 12 else "edge")


# NAVEDTRA 14044, Builder, figure 2-17: 7 in rise, span 16 ft: 8 x 13.89 in, 111-1/8 in.
# Griffith, Carpentry, page 21: span 25 ft at 6 in rise: 12.5 x 13.42 in, 167.75 in.
# Both multiply the rounded table value, which is off by up to 0.005 in for each foot of run.
@pytest.mark.parametrize(
    ("rise", "run_ft", "length_in"), [(7, 8, 111.125), (6, 12.5, 167.75)], ids=["Navy", "Griffith"]
)
def test_rafter_of_a_handbook(rise: int, run_ft: float, length_in: float) -> None:
    template = _one(only(rafter(rise, run_ft * FOOT, 5.5 * INCH)))
    assert template.marks_mm[-1] / INCH == pytest.approx(length_in, abs=0.005 * run_ft)


def test_plumb_cuts_make_the_stock_longer_than_the_edge() -> None:
    # 3:12 over 12 ft of run in 2x8: 12 x sqrt(144 + 9) in along the edge, and d tan more.
    template = _one(only(rafter(3, 12 * FOOT, 7.25 * INCH)))
    edge_in = 12 * 153**0.5
    assert template.marks_mm == pytest.approx((0.0, edge_in * INCH), abs=DRAWN_MM)
    assert template.length_mm / INCH == pytest.approx(edge_in + 7.25 * 3 / 12, abs=1e-5)
    assert template.depth_mm / INCH == pytest.approx(7.25, abs=1e-6)


@pytest.mark.parametrize("falls", ["back", "front"])
def test_birdsmouth_by_plane_geometry(falls: str) -> None:
    # 4:12, 3-1/2 in seat in 2x6: heel s r / 12, depth s sin, left over it d / cos - s tan.
    rise, seat, deep, run = 4, 3.5, 5.5, 96.0
    heels = (20.0, 80.0)
    piece = rafter(
        rise,
        run * INCH,
        deep * INCH,
        seats=[(heel * INCH, seat * INCH) for heel in heels],
        falls="front" if falls == "front" else "back",
    )
    template = _one(only(piece))
    hyp = (144 + rise**2) ** 0.5
    mouths = [feature.birdsmouth for feature in template.features if feature.birdsmouth]
    assert len(mouths) == 2
    for mouth, heel in zip(mouths, heels, strict=True):
        assert mouth.seat_mm / INCH == pytest.approx(seat, abs=1e-6)
        assert mouth.heel_mm / INCH == pytest.approx(seat * rise / 12, abs=1e-6)
        assert mouth.depth_mm / INCH == pytest.approx(seat * rise / hyp, abs=1e-6)
        left = deep * hyp / 12 - seat * rise / 12
        assert mouth.above_mm / INCH == pytest.approx(left, abs=1e-5)
        assert mouth.mark_mm == pytest.approx(sloped(heel * INCH, rise), abs=DRAWN_MM)
    # The worked figures: 1.167 in, 1.107 in and 4.631 in.
    assert mouths[0].heel_mm / INCH == pytest.approx(1.167, abs=5e-4)
    assert mouths[0].depth_mm / INCH == pytest.approx(1.107, abs=5e-4)
    assert mouths[0].above_mm / INCH == pytest.approx(4.631, abs=5e-4)
    marks = [0.0, *(sloped(h * INCH, rise) for h in (*heels, run))]
    assert template.marks_mm == pytest.approx(marks, abs=DRAWN_MM)


def test_rafter_of_a_building_by_its_walls() -> None:
    # 7 ft deep, 2x4 plates, 3:12, tails 14 in over the high wall and 9 in over the low one: the
    # heels are at the inner face of the high wall and at the outer face of the low one.
    building = roof_form("monopitch")
    template = next(t for t in templates(building) if t.kind == "rafter")
    over_in = [0.0, 14 + 3.5, 14 + 84, 14 + 84 + 9]
    marks = [h * INCH * 153**0.5 / 12 for h in over_in]
    assert template.marks_mm == pytest.approx(marks, abs=DRAWN_MM)
    mouths = [feature.birdsmouth for feature in template.features if feature.birdsmouth]
    assert [m.seat_mm / INCH for m in mouths] == pytest.approx([3.5, 3.5], abs=1e-5)
    assert [m.heel_mm / INCH for m in mouths] == pytest.approx([0.875, 0.875], abs=1e-5)
    upper, *_, lower = template.features
    assert (upper.place, lower.place) == ("left end", "right end")
    for feature in (upper, lower):
        assert feature.cuts[0].rise == pytest.approx(3.0, abs=1e-5)
        assert feature.cuts[0].angle_deg == pytest.approx(degrees(atan(0.25)), abs=1e-5)


def test_raked_studs_of_both_hands_are_one_piece_of_work() -> None:
    # 2x4 under 3:12: long point 80 in, bevel 1-1/2 in wide, so short point 80 - 1.5 x 3 / 12.
    def stud(long: float, short: float) -> tuple[tuple[float, float], ...]:
        return ((0, 0), (1.5 * INCH, 0), (1.5 * INCH, short * INCH), (0, long * INCH))

    left = stick(Kind.STUD, stud(80, 79.625), (38.1, 88.9), grain_rad=pi / 2, thickness=88.9)
    right = stick(Kind.STUD, stud(79.625, 80), (38.1, 88.9), grain_rad=pi / 2, thickness=88.9)
    template = _one(only(left, right))
    assert template.names == ("stud 1", "stud 2")
    assert template.lies == "upright"
    foot, head = template.features
    assert foot.is_plain
    assert foot.span == (0.0, 0.0)
    assert head.cuts[0].name == "bevel cut"
    assert head.cuts[0].rise == pytest.approx(3.0, abs=1e-5)
    # Marked along its long edge.
    assert template.marks_mm == pytest.approx((0.0, 80 * INCH), abs=DRAWN_MM)
    assert template.lower_edge == pytest.approx((0.0, 79.625 * INCH), abs=DRAWN_MM)


def test_notched_post() -> None:
    # 6x6, 96 in to the beam's seat; a tongue of 2-1/2 in goes 9 in up behind the beam.
    outline = tuple(
        (u * INCH, v * INCH) for u, v in ((0, 0), (5.5, 0), (5.5, 105), (3, 105), (3, 96), (0, 96))
    )
    post = stick(Kind.POST, outline, (139.7, 139.7), grain_rad=pi / 2, thickness=139.7)
    template = _one(only(post))
    foot, head = template.features
    assert foot.is_plain
    measures = [(cut.name, cut.length_mm / INCH) for cut in head.cuts]
    assert measures == [
        ("square cut", pytest.approx(3)),
        ("cut along the grain", pytest.approx(9)),
        ("square cut", pytest.approx(2.5)),
    ]
    assert template.marks_mm[-1] == pytest.approx(105 * INCH, abs=DRAWN_MM)
    assert template.lower_edge[1] == pytest.approx(96 * INCH, abs=DRAWN_MM)


def test_notch_in_the_middle_is_marked_square_over_its_corners() -> None:
    outline = ((0, 0), (400, 0), (400, 30), (520, 30), (520, 0), (1000, 0), (1000, 140), (0, 140))
    template = _one(only(stick(Kind.BEAM, outline, (38.0, 140.0))))
    assert template.marks_mm == pytest.approx((0, 400, 520, 1000))
    (notch,) = (feature for feature in template.features if feature.place == "lower notch")
    assert [cut.length_mm for cut in notch.cuts] == pytest.approx([30, 120, 30])
    assert notch.birdsmouth is None


def test_ripped_pieces_are_one_section_in_several_lengths() -> None:
    section = ((0, 0), (38.1, 0), (38.1, 167.7), (0, 177.225))
    blocks = [
        stick(Kind.RAFTER_BLOCK, section, (38.1, 184.15), thickness=long, length_along="n")
        for long in (368.3, 349.25, 368.3)
    ]
    template = _one(only(*blocks))
    assert template.lengths == ((349.25, 1), (368.3, 2))
    assert template.lies == "ripped"
    assert template.length_mm == pytest.approx(177.225)
    assert template.depth_mm == pytest.approx(38.1)
    # (177.225 - 167.7) / 38.1 is a quarter.
    assert template.features[-1].cuts[0].rise == pytest.approx(3.0, abs=1e-4)


def test_square_cut_sticks_and_siding_have_no_template() -> None:
    plain = stick(Kind.STUD, ((0, 0), (2000, 0), (2000, 89), (0, 89)), (38.0, 89.0))
    scribed = stick(Kind.SIDING, ((0, 0), (2000, 0), (1900, 89), (0, 89)), (19.0, 89.0))
    assert templates(only(plain, scribed)) == ()


@pytest.mark.parametrize("kind", [Kind.BATTEN, Kind.CORNER_BOARD])
def test_raked_sticks_of_the_cladding_have_a_template(kind: Kind) -> None:
    raked = ((0.0, 0.0), (63.5, 0.0), (63.5, 2000.0), (0.0, 2015.875))
    piece = stick(kind, raked, (19.05, 63.5), grain_rad=pi / 2, thickness=19.05)
    template = _one(only(piece))
    # 63.5 x 3 / 12 is 15.875.
    assert template.features[-1].cuts[0].rise == pytest.approx(3.0, abs=1e-5)
    assert template.seen_on == "wide face"


@pytest.mark.parametrize(
    ("units", "longer_mm", "patterns"),
    [("imperial", 0.2, 1), ("imperial", 1.6, 2), ("metric", 0.4, 1), ("metric", 1.1, 2)],
)
def test_pieces_that_print_alike_share_a_template(
    units: Units, longer_mm: float, patterns: int
) -> None:
    # 488.2 mm is 307.5 sixteenths of an inch and a little, so that 0.2 mm more still makes 308.
    def stud(long_mm: float) -> Piece:
        outline = ((0.0, 0.0), (38.1, 0.0), (38.1, long_mm - 9.525), (0.0, long_mm))
        return stick(Kind.CRIPPLE, outline, (38.1, 88.9), grain_rad=pi / 2, thickness=88.9)

    long_mm = 488.2 if units == "imperial" else 488.525
    found = templates(only(stud(long_mm), stud(long_mm + longer_mm), units=units))
    assert len(found) == patterns
    assert sum(len(template.names) for template in found) == 2


def test_pieces_cut_alike_share_a_template_whatever_they_are_called() -> None:
    def end(kind: Kind, short_mm: float = 2380.0) -> Piece:
        outline = ((0.0, 0.0), (2400.0, 0.0), (short_mm, 38.1), (0.0, 38.1))
        return stick(kind, outline, (38.1, 88.9), grain_rad=pi / 2, thickness=88.9)

    # In order of building; the pattern goes by what most of its pieces are.
    kinds = (Kind.CORNER_STUD, Kind.STUD, Kind.STUD)
    (template,) = templates(only(*map(end, kinds)))
    assert template.kind == Kind.STUD.value
    assert template.names == ("corner stud 1", "stud 2", "stud 3")
    # One cut with another rake is another piece.
    other = templates(only(end(Kind.CORNER_STUD, 2370.0), end(Kind.STUD)))
    assert [one.names for one in other] == [("corner stud 1",), ("stud 2",)]


@pytest.mark.parametrize("out", [True, False])
def test_notches_of_two_posts_face_out_or_in_alike(out: bool) -> None:
    # One stands in front and one behind, 3 m apart; both are notched on the side away from the
    # other, or both towards it.
    def post(at_y: float, to_back: bool) -> Piece:
        outline = ((0, 0), (140, 0), (140, 2000), (50, 2000), (50, 1900), (0, 1900))
        if to_back:
            outline = tuple((140 - u, v) for u, v in reversed(outline))
        place = Placement((0.0, at_y, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
        section = (140.0, 140.0)
        return stick(Kind.POST, outline, section, grain_rad=pi / 2, thickness=140.0, place=place)

    template = _one(only(post(0.0, not out), post(3000.0, out)))
    assert template.sides.lower == ("outer" if out else "inner")


@pytest.mark.parametrize("lower", [True, False])
def test_notch_at_a_head_is_measured_from_its_own_edge(lower: bool) -> None:
    # 2 in thick tongue of a 5-1/2 in post, 5 in long, whichever way the outline goes round.
    outline = [(0.0, 0.0), (90.0, 0.0), (90.0, 3.5), (95.0, 3.5), (95.0, 5.5), (0.0, 5.5)]
    if not lower:
        outline = [(u, 5.5 - v) for u, v in reversed(outline)]
    mm = tuple((u * INCH, v * INCH) for u, v in outline)
    template = _one(only(stick(Kind.BEAM, mm, (139.7, 139.7), thickness=139.7)))
    (notch,) = template.features[-1].notches
    assert notch.side == ("lower" if lower else "upper")
    assert notch.depth_mm == pytest.approx(3.5 * INCH)
    assert notch.length_mm == pytest.approx(5 * INCH)
    assert notch.shoulder_mm == pytest.approx(90 * INCH)


def test_every_shaped_stick_is_in_one_template_of_its_own_area(form: Building) -> None:
    found = templates(form)
    named = [name for template in found for name in template.names]
    assert len(named) == len(set(named))
    parts = {part.name: part for part in form.parts}
    for template in found:
        for name in template.names:
            body = parts[name].shape.body
            assert isinstance(body, Prism)
            assert isinstance(body.outline, tuple)
            # Turned as it may be, it is the same piece to what is printed of its length.
            step_mm = INCH / 16 if form.scene.units == "imperial" else 1.0
            near = 0.01 if len(template.names) == 1 else step_mm * template.depth_mm
            assert _area(template.outline) == pytest.approx(_area(body.outline), abs=near)
    shaped = {part.name for part in form.parts if part.kind in _FRAMING and _is_shaped(part)}
    assert shaped <= set(named)


_FRAMING = {Kind.RAFTER, Kind.END_RAFTER, Kind.FLY_RAFTER, Kind.STUD, Kind.KING, Kind.TOP_PLATE}


def _is_shaped(part: Part) -> bool:
    """Whether the piece is less than the box round it."""
    body = part.shape.body
    assert isinstance(body, Prism)
    assert isinstance(body.outline, tuple)
    wide, deep, _ = part.shape.size_mm
    return wide * deep - _area(body.outline) > 1.0


def _area(outline: tuple[tuple[float, float], ...]) -> float:
    pairs = zip(outline, outline[1:] + outline[:1], strict=True)
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2


def _metal(
    line: tuple[tuple[float, float], ...],
    long: float = 3000.0,
    ply: int = 0,
    kind: Kind = Kind.DRIP_EDGE,
) -> Piece:
    source = Source("flat 1 mm", STEEL)
    outline = bent(line, 1.0, ply)
    return profile("trim", kind, "metal", source, outline, UPRIGHT, long, length_along="n")


def test_girth_of_an_angle_by_hand() -> None:
    # 1 mm metal on a 50 x 80 edge, outside it: 51 and 81 on the weather face.
    (bend,) = bends(only(_metal(((0.0, -50.0), (0.0, 0.0), (80.0, 0.0)))))
    assert sorted(bend.legs_mm) == pytest.approx([51, 81])
    assert bend.girth_mm("metric") == pytest.approx(132)
    assert bend.angles_deg == pytest.approx([90])
    assert bend.thickness_mm == pytest.approx(1)


def test_girth_is_what_the_printed_legs_add_up_to() -> None:
    # Weather legs 96.6 and 160.6 print as 97 and 161 mm: 258, not the 257 that they measure.
    (bend,) = bends(only(_metal(((0.0, -95.6), (0.0, 0.0), (159.6, 0.0)))))
    assert sorted(bend.legs_mm) == pytest.approx([96.6, 160.6])
    assert bend.girth_mm("metric") == 258
    # In sixteenths of an inch, 1.5875 mm: 60.85 and 101.17 of them print as 61 and 101.
    assert bend.girth_mm("imperial") == pytest.approx(162 * 25.4 / 16)


def test_leg_down_an_edge_is_told_from_the_leg_on_the_roof() -> None:
    # Drawn from either end: 60 down over the edge, 80 on the roof.
    for line in (((0.0, -60.0), (0.0, 0.0), (80.0, 0.0)), ((-80.0, 0.0), (0.0, 0.0), (0.0, -60.0))):
        (bend,) = bends(only(_metal(line, kind=Kind.PEAK_CAP)))
        where = {round(leg): lies for leg, lies in zip(bend.legs_mm, bend.lies, strict=True)}
        # Past the ends of a wall that a roof meets it covers rafters' ends.
        down = "down over the fascia or the rafters' ends"
        assert where == {61: down, 81: "on the roof panels"}


def test_girth_of_a_z_by_hand() -> None:
    # Up 60, out 25, down 10: one bend each way, so that what one face gains the other loses.
    (bend,) = bends(only(_metal(((25.0, -10.0), (25.0, 0.0), (0.0, 0.0), (0.0, 60.0)))))
    assert bend.girth_mm("metric") == pytest.approx(95)
    assert sorted(min(angle, 360 - angle) for angle in bend.angles_deg) == pytest.approx([90, 90])
    assert sorted(bend.angles_deg) == pytest.approx([90, 270])


def test_weather_face_is_the_one_that_looks_up() -> None:
    # Flat on a roof and down over its edge, metal over it: the weather face is higher and out.
    (bend,) = bends(only(_metal(((0.0, -50.0), (0.0, 0.0), (80.0, 0.0)))))
    assert max(v for _, v in bend.weather) > max(v for _, v in bend.back)


def test_lapping_lengths_are_one_bend_and_another_angle_is_not() -> None:
    edge = ((0.0, -50.0), (0.0, 0.0), (80.0, 0.0))
    other = ((0.0, -50.0), (0.0, 0.0), (80.0, 8.0))
    pieces = [_metal(edge), _metal(edge, ply=1), _metal(edge, 900.0)]
    first, second = bends(only(*pieces, _metal(other, 900.0)))
    # Up to a sixteenth: 3000 mm are 1889.8 of them, 900 mm 566.9.
    sixteenth = 25.4 / 16
    assert first.lengths == ((1890 * sixteenth, 2), (567 * sixteenth, 1))
    assert second.lengths == ((567 * sixteenth, 1),)


def test_bend_seen_upside_down_is_turned() -> None:
    edge = bent(((0.0, -50.0), (0.0, 0.0), (80.0, 0.0)), 1.0)
    down = Placement((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, -1.0))
    mirrored = tuple((a, -b) for a, b in reversed(edge))
    piece = profile(
        "trim",
        Kind.DRIP_EDGE,
        "metal",
        Source("flat 1 mm", STEEL),
        mirrored,
        down,
        900.0,
        length_along="n",
    )
    (bend,) = bends(only(piece))
    assert max(v for _, v in bend.weather) > max(v for _, v in bend.back)
    assert sorted(bend.legs_mm) == pytest.approx([51, 81])


def test_every_bent_trim_is_in_one_bend(form: Building) -> None:
    named = [name for bend in bends(form) for name in bend.names]
    assert len(named) == len(set(named))
    edges = {part.name for part in form.parts if part.kind in (Kind.DRIP_EDGE, Kind.RAKE_TRIM)}
    assert edges <= set(named)
    for bend in bends(form):
        assert sum(many for _, many in bend.lengths) == len(bend.names)
