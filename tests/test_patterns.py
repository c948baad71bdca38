"""What a pattern says, against the carpenter's arithmetic: parts add up, angles go with a roof."""

from __future__ import annotations

from dataclasses import replace
from math import atan, degrees, hypot, pi, radians, tan
from xml.etree import ElementTree

import pytest

from pikepole_export.derive.measures.templates import Template, templates
from pikepole_export.write.drawings.cut_words import feature_words, notes
from pikepole_export.write.drawings.details import details_of
from pikepole_export.write.drawings.patterns import pattern_items
from pikepole_export.write.drawings.square import setting, step_words
from pikepole_export.write.drawings.tiles import tiles
from pikepole_model.building.kinds import Kind
from pikepole_model.geometry.placement import Placement
from pikepole_model.units import Units, format_length
from shaped import FOOT, INCH, only, rafter, stick

SVG = "{http://www.w3.org/2000/svg}"


def _texts(data: bytes) -> list[str]:
    every = ElementTree.fromstring(data).iter(f"{SVG}text")
    return [text.text or "" for text in every if text.get("class") != "halo"]


def _drawn(template: Template) -> bytes:
    ((item, _),) = pattern_items({"drawn": template}, "imperial")
    return item.draw().to_bytes()


def _inches(inches: float) -> str:
    # A half of a sixteenth is a half, whatever binary makes of it.
    return format_length(round(inches * INCH, 6), "imperial")


def _stud(long_in: float, rise: float, units: Units = "imperial") -> Template:
    """A 2x4 that stands under a slope."""
    short_in = long_in - 1.5 * rise / 12
    corners = ((0.0, 0.0), (1.5, 0.0), (1.5, short_in), (0.0, long_in))
    outline = tuple((u * INCH, v * INCH) for u, v in corners)
    section = (1.5 * INCH, 3.5 * INCH)
    piece = stick(Kind.STUD, outline, section, grain_rad=pi / 2, thickness=3.5 * INCH)
    (template,) = templates(only(piece, units=units))
    return template


def _post(depth_in: float, long_in: float) -> Template:
    """A 6x6 of 8 ft with a notch in its head."""
    corners = (
        (0.0, 0.0),
        (5.5, 0.0),
        (5.5, 96.0),
        (depth_in, 96.0),
        (depth_in, 96 - long_in),
        (0.0, 96 - long_in),
    )
    outline = tuple((u * INCH, v * INCH) for u, v in corners)
    section = (5.5 * INCH, 5.5 * INCH)
    piece = stick(Kind.POST, outline, section, grain_rad=pi / 2, thickness=5.5 * INCH)
    (template,) = templates(only(piece))
    return template


@pytest.mark.parametrize("rise", [3, 5, 8])
def test_rafter_figures_by_formula(rise: int) -> None:
    # Run r over cos for the edge, d tan more from long point to long point, d over cos for the
    # plumb cut; heel s tan, and d over cos less that over it; heel lines at h over cos.
    run, deep, heel_at, seat = 9 * 12.0, 7.25, 16.0, 3.5
    tan, cos = rise / 12, 12 / hypot(12, rise)
    piece = rafter(rise, run * INCH, deep * INCH, seats=[(heel_at * INCH, seat * INCH)])
    (template,) = templates(only(piece))
    texts = _texts(_drawn(template))
    for inches in (
        run / cos,
        heel_at / cos,
        deep / cos,
        seat,
        seat * tan,
        deep / cos - seat * tan,
    ):
        assert _inches(inches) in texts
    angle = degrees(atan(tan))
    assert f"plumb cut {rise}:12, {angle:.1f}° off square" in texts
    assert f"seat: level cut {rise}:12, {angle:.1f}° off the edge" in texts
    said = notes(template, "imperial", alone=True)
    # On a framing square with the rise on the tongue, tan of the blade to the edge is rise / 12.
    assert f"hold {rise} on the tongue and 12 on the blade" in said
    assert "the plumb cut along the tongue, the level cut along the blade" in said


@pytest.mark.parametrize("long_in", [19.22, 87.31, 95.437])
@pytest.mark.parametrize("rise", [2.5, 3, 6])
def test_raked_stud_reads_its_long_and_its_short_edge(long_in: float, rise: float) -> None:
    template = _stud(long_in, rise)
    said = notes(template, "imperial", alone=True)
    assert said.startswith('Seen on the narrow edge, 1-1/2" wide. Square: foot.')
    long, short = _inches(long_in), _inches(long_in - 1.5 * rise / 12)
    assert f"{long} along the long edge, {short} along the short edge." in said
    words = feature_words(template, template.features[-1], "imperial")
    angle = f"{degrees(atan(rise / 12)):.1f}°"
    assert words[1:] == [
        f"or saw tilted {angle} with the piece flat on its wide face",
        "long point on the uphill side",
    ]
    texts = _texts(_drawn(template))
    assert f"from stock {long} or longer" in texts
    # Square over to the wide faces the two lengths are two square lines.
    assert f"square line at {long} on the face with the long point" in " ".join(texts)
    assert f"square line at {short} on the other face, dashed" in " ".join(texts)
    assert "Marks along the long edge, from the foot" in texts


@pytest.mark.parametrize(("depth_in", "thin"), [(3.5, False), (4.0, False), (4.5, True)])
def test_post_says_what_its_notch_takes_and_leaves(depth_in: float, thin: bool) -> None:
    template = _post(depth_in, 5.0625)
    words = feature_words(template, template.features[-1], "imperial")
    left = _inches(5.5 - depth_in)
    assert words == [f'notch {_inches(depth_in)} deep x 5-1/16" long, leaves {left}']
    said = notes(template, "imperial", alone=True)
    assert "an overcut weakens" in said
    assert ("thin and may split" in said) == thin
    texts = _texts(_drawn(template))
    assert {_inches(depth_in), left, '5-1/16"', _inches(96 - 5.0625)} <= set(texts)


def test_fresh_cuts_of_treated_timber_are_treated() -> None:
    # IRC R317.1.1 and AWPA M4: field cuts of preservative-treated wood are treated.
    template = _post(3.5, 5.0)
    assert "preservative" not in notes(template, "imperial", alone=True)
    assert "Brush preservative" in notes(replace(template, treated=True), "imperial", alone=True)


def _sixteenths(words: str) -> float:
    """A printed length of inches alone."""
    whole, _, part = words.removesuffix('"').rpartition("-")
    top, _, under = part.partition("/")
    inches = int(whole or 0) if under else int(part)
    return 16 * inches + (16 * int(top) / int(under) if under else 0)


@pytest.mark.parametrize("rabbet_in", [1.34375, 1.37, 1.28125])
def test_parts_of_a_rabbeted_strip_add_up(rabbet_in: float) -> None:
    # Widths that fall on or between the marks of a ruler.
    corners = (
        (0.0, 0.0),
        (2.5 - rabbet_in, 0.0),
        (2.5 - rabbet_in, 0.25),
        (2.5, 0.25),
        (2.5, 0.75),
        (0.0, 0.75),
    )
    outline = tuple((u * INCH, v * INCH) for u, v in corners)
    flat = Placement((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0))
    section = (0.75 * INCH, 2.5 * INCH)
    piece = stick(
        Kind.ASTRAGAL, outline, section, thickness=80 * INCH, place=flat, length_along="n"
    )
    (template,) = templates(only(piece))
    (line,) = feature_words(template, template.features[-1], "imperial")
    rabbet = line.split()[1]
    assert line == f'rabbet {rabbet} x 1/4"'
    # It is rounded itself, halves up; what it leaves is the rest.
    assert rabbet == _inches(rabbet_in)
    texts = _texts(_drawn(template))
    assert "make 1, 6' 8\" long" in texts
    rest = format_length((40 - _sixteenths(rabbet)) / 16 * INCH, "imperial")
    assert {rabbet, rest, '2-1/2"', '1/4"', '1/2"', '3/4"'} <= set(texts)


@pytest.mark.parametrize(
    ("degrees_", "printed", "metric", "held"),
    # tan 14 and tan 10 times 12 are 2.992 and 2.116: to a sixteenth 3 and 2-1/8.
    # To the metre they rise 249.3 and 176.3 mm; with 400 mm on the blade, 99.7 and 70.5.
    [
        (14.0, "3:12", "249 mm/m", "100 mm"),
        (10.0, "2-1/8:12", "176 mm/m", "71 mm"),
        (26.565, "6:12", "500 mm/m", "200 mm"),
    ],
)
def test_slope_in_degrees_is_set_on_a_square(
    degrees_: float, printed: str, metric: str, held: str
) -> None:
    (template,) = templates(only(rafter(12 * _tan(degrees_), 2000, 140), units="metric"))
    cut = template.features[0].cuts[0]
    assert setting(cut, "imperial") == printed
    assert setting(cut, "metric") == metric
    said = f"Roofing square: hold {held} on the tongue and 400 mm on the blade"
    assert said in notes(template, "metric", alone=True)
    assert cut.angle_deg == pytest.approx(degrees_, abs=1e-3)


def test_rafter_is_stepped_off() -> None:
    # Each step of a square is a foot of run. Source: the step-off method of the US Army's carpentry
    # manual, FM 5-426, from memory: as many full steps as the run has feet, the odd inches along
    # the blade. 8 ft of run to the end, heels 20 and 80 in out.
    piece = rafter(4, 8 * FOOT, 5.5 * INCH, seats=[(h * INCH, 3.5 * INCH) for h in (20, 80)])
    (template,) = templates(only(piece))
    assert list(step_words(template, "imperial")) == [
        'Stepped off from the upper end, the rest on the blade: 1 step and 8" to the first heel '
        'line, 6 steps and 8" to the second heel line, 8 steps to the lower end.'
    ]


def test_rafter_is_stepped_off_in_millimetres() -> None:
    # 1 in 4 is 100 on 400 mm. A run of 2,000 mm is 5 steps, a heel 1,500 mm out 3 and 300 mm.
    piece = rafter(3, 2000.0, 140.0, seats=[(1500.0, 80.0)])
    (template,) = templates(only(piece, units="metric"))
    assert list(step_words(template, "metric")) == [
        "Stepped off from the upper end, the rest on the blade: 3 steps and 300 mm to the heel "
        "line, 5 steps to the lower end."
    ]


def test_steep_rafter_is_stepped_along_its_rise() -> None:
    # 24 in 12 for 30 in: 60 in of rise are 5 steps of 12, with 6 on the tongue.
    (template,) = templates(only(rafter(24, 30 * INCH, 5.5 * INCH)))
    assert "hold 6 on the tongue" in notes(template, "imperial", alone=True)
    assert list(step_words(template, "imperial")) == [
        "Stepped off from the upper end, the rest on the blade: 5 steps to the lower end."
    ]


def _tan(angle_deg: float) -> float:
    return tan(radians(angle_deg))


@pytest.mark.parametrize("slope_deg", [42.4, 46.6])
def test_brace_says_how_far_a_mitre_saw_turns_and_how_far_off_the_edge(slope_deg: float) -> None:
    # Level ends: the slope is what they are off the edge, the rest of a right angle off square.
    up = (800.0, 800.0 * tan(radians(slope_deg)))
    outline = ((0.0, 0.0), (150.0, 0.0), (up[0] + 150.0, up[1]), up)
    wide = 150.0 * up[1] / hypot(*up)
    grain = radians(slope_deg)
    piece = stick(Kind.BRACE, outline, (19.0, wide), grain_rad=grain, thickness=19.0)
    (template,) = templates(only(piece))
    words = feature_words(template, template.features[0], "imperial")
    assert words[0].startswith("level cut ")
    assert words[0].endswith(f", {90 - slope_deg:.1f}° off square on a miter saw")
    assert words[1] == f"{slope_deg:.1f}° off the edge"


def test_two_birdsmouths_are_told_apart_by_the_end_they_are_nearer_to() -> None:
    piece = rafter(4, 8 * FOOT, 5.5 * INCH, seats=[(20 * INCH, 2 * INCH), (80 * INCH, 3.5 * INCH)])
    (template,) = templates(only(piece))
    texts = _texts(_drawn(template))
    assert {"B: upper birdsmouth", "C: lower birdsmouth"} <= set(texts)
    assert "heel line: the mark" in texts


def test_full_size_sheet_says_where_it_goes_and_for_how_many() -> None:
    # 4:12: heels 20 and 80 in down the level are 21.08 and 84.33 in down the edge.
    seats = [(h * INCH, 3.5 * INCH) for h in (20, 80)]
    piece = rafter(4, 8 * FOOT, 5.5 * INCH, seats=seats)
    (template,) = templates(only(piece, piece, piece))
    (detail,) = (d for d in details_of(template) if d.features[0].birdsmouth)
    (sheet,) = tiles(template, detail, "rafter-1, birdsmouth B", "imperial")
    texts = _texts(sheet)
    assert {"top edge", "upper end this way", "For 3 pieces: rafter 1 to 3."} <= set(texts)
    where = "1' 9-1/16\" and 7' 0-5/16\" from the upper end along the top edge."
    assert f"Heel line, dash and dot: {where}" in texts
    assert not any(text.startswith("Also seen") for text in texts)


def test_full_size_sheet_names_the_end_that_is_near() -> None:
    piece = rafter(4, 8 * FOOT, 5.5 * INCH, seats=[(4 * INCH, 3.5 * INCH)])
    (template,) = templates(only(piece))
    (detail,) = (d for d in details_of(template) if d.features[0].birdsmouth)
    (sheet,) = tiles(template, detail, "rafter-1, birdsmouth B", "imperial")
    assert "Also seen: upper end, plumb cut." in _texts(sheet)
