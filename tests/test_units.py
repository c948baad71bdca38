"""Lengths, slopes and masses between text and numbers."""

from __future__ import annotations

from fractions import Fraction
from math import atan, degrees

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pikepole_model.units import (
    LB_FT3_IN_KG_M3,
    Rounding,
    Units,
    format_length,
    format_mass,
    format_number,
    headcount,
    in_units,
    parse_length,
    parse_load,
    parse_mass,
    parse_slope,
    parse_speed,
    parse_spread,
    parse_volume,
    plural,
    unit_symbol,
)


# 1 in = 25.4 mm and 1 ft = 304.8 mm exactly (international yard and pound agreement, 1959).
@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("12 ft 6-1/2 in", 3822.7),  # 150.5 x 25.4
        ("12' 6 1/2\"", 3822.7),
        ("12\u2032 6 1/2\u2033", 3822.7),
        ("12\u20196 1/2\u201d", 3822.7),
        ("12'-6-1/2\"", 3822.7),
        ("7.25 in", 184.15),
        ("1/2 in", 12.7),
        ("23/32 in", 18.25625),  # 0.71875 x 25.4
        ("12 ft", 3657.6),
        ("1 foot 1 inch", 330.2),
        ("2 feet 2 inches", 660.4),
        (" 8  ft ", 2438.4),
        ("2400 mm", 2400.0),
        ("240 cm", 2400.0),
        ("3.8 m", 3800.0),
        (".5 m", 500.0),
        ("0 in", 0.0),
        ("-16 in", -406.4),
        ("-1 m", -1000.0),
    ],
)
def test_lengths_are_read_exactly(text: str, length_mm: float) -> None:
    assert parse_length(text) == length_mm


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "12",
        "3.5",
        "1/2",
        "12 ft 6",
        "6 in 12 ft",
        "ft",
        "1 ft 2 ft",
        "1/0 in",
        "1 ft 1/0 in",
        "1/2/3 in",
        "twelve feet",
        "12 yd",
        "1e3 mm",
        "1,5 m",
        "12 ft -",
        "- 6 in -",
        "--6 in",
        "1 m 20 cm",
        "3:12",
        "nan mm",
        "inf in",
        "٣ m",
        "9" * 5000 + " mm",
    ],
)
def test_text_that_is_no_length_is_refused_with_how_to_write_one(text: str) -> None:
    with pytest.raises(ValueError, match="write a length with its unit, such as") as refused:
        parse_length(text)
    assert "12 ft 6-1/2 in" in str(refused.value)


# tan of the angle is rise over run; framing tables give 3:12 as 14.04 deg.
@pytest.mark.parametrize(
    ("text", "slope_deg"),
    [
        ("3:12", degrees(atan(0.25))),
        ("3 : 12", degrees(atan(0.25))),
        ("12:12", 45.0),
        ("1:1.7320508075688772", 30.0),
        ("14 deg", 14.0),
        ("14.5°", 14.5),
        ("0:12", 0.0),
        ("-3:12", -degrees(atan(0.25))),
    ],
)
def test_slopes_are_read(text: str, slope_deg: float) -> None:
    assert parse_slope(text) == pytest.approx(slope_deg, abs=1e-12)


@pytest.mark.parametrize("text", ["", "3", "3/12", "3:0", "0:0", "14", "14 %", "deg", "3:12:1"])
def test_text_that_is_no_slope_is_refused_with_how_to_write_one(text: str) -> None:
    with pytest.raises(ValueError, match='"3:12", or as an angle, "14 deg"'):
        parse_slope(text)


# 1 lb = 0.45359237 kg exactly (international yard and pound agreement, 1959); 1 t = 1000 kg
# (BIPM, The International System of Units, 8th ed., Table 6).
@pytest.mark.parametrize(
    ("text", "mass_kg"),
    [
        ("250 kg", 250.0),
        ("1.5 t", 1500.0),
        ("2000 lb", 907.18474),
        ("2000 lbs", 907.18474),
        (" .5lb ", 0.226796185),
        ("0 kg", 0.0),
        ("-100 lb", -45.359237),
    ],
)
def test_masses_are_read_exactly(text: str, mass_kg: float) -> None:
    assert parse_mass(text) == mass_kg


@pytest.mark.parametrize(
    "text",
    [
        *("", " ", "250", "kg", "1/2 t", "2 ton", "2 tons", "1,5 t", "1e3 kg", "nan kg", "inf lb"),
        *("250 g", "3 ft", "--1 kg", "250 kg 3 lb", "\u0663 kg", "9" * 5000 + " kg"),
    ],
)
def test_text_that_is_no_mass_is_refused_with_how_to_write_one(text: str) -> None:
    with pytest.raises(ValueError, match='write a mass with its unit, such as "250 kg" or'):
        parse_mass(text)


# 1 yd = 914.4 mm and 1 ft = 304.8 mm exactly; 1 l is a cubic decimetre.
@pytest.mark.parametrize(
    ("text", "volume_mm3"),
    [
        ("1 yd3", 764554857.984),
        ("27 ft3", 764554857.984),
        ("0.75 m3", 0.75e9),
        (" 40 l ", 40e6),
        ("0 m3", 0.0),
        ("-2m3", -2e9),
    ],
)
def test_volumes_are_read_exactly(text: str, volume_mm3: float) -> None:
    assert parse_volume(text) == volume_mm3


@pytest.mark.parametrize(
    "text", ["", "1", "yd3", "1 yd", "1 m", "1 M3", "1 m3 2 l", "1/2 yd3", "1e3 l", "9" * 70 + " l"]
)
def test_text_that_is_no_volume_is_refused_with_how_to_write_one(text: str) -> None:
    with pytest.raises(ValueError, match='write a volume with its unit, such as "1 yd3" or'):
        parse_volume(text)


def test_spread_rates_are_read() -> None:
    assert parse_spread("9 m2/l") == 9
    assert parse_spread("-9.5m2/l") == -9.5
    # 1 ft2 = 0.09290304 m2 and 1 US gallon = 231 in3 = 3.785411784 l exactly.
    assert parse_spread("350 ft2/gal") == pytest.approx(350 * 0.09290304 / 3.785411784, rel=1e-15)
    assert in_units(parse_spread("350 ft2/gal"), "spread", "imperial") == pytest.approx(350)
    assert unit_symbol("spread", "imperial") == "ft2/gal"
    assert unit_symbol("spread", "metric") == "m2/l"


def test_loads_on_an_area_are_read() -> None:
    assert parse_load("1.5 kN/m2") == parse_load("1.5 kPa") == 1.5
    assert parse_load("-2kPa") == -2
    # One pound-force per square foot is 47.88026 Pa (NIST SP 811, appendix B.8).
    assert parse_load("30 psf") == pytest.approx(30 * 0.04788026, rel=1e-6)
    assert in_units(parse_load("30 psf"), "load", "imperial") == pytest.approx(30)
    assert unit_symbol("load", "metric") == "kN/m2"


def test_speeds_are_read() -> None:
    # A mile is 1609.344 m (international yard and pound agreement, 1959).
    assert parse_speed("115 mph") == pytest.approx(115 * 1609.344 / 3600)
    assert parse_speed("180 km/h") == parse_speed("50 m/s") == 50
    assert in_units(50, "speed", "metric") == pytest.approx(180)


@pytest.mark.parametrize("text", ["115", "mph", "115 miles", "50 m", "9e1 mph"])
def test_text_that_is_no_speed_is_refused_with_how_to_write_one(text: str) -> None:
    with pytest.raises(ValueError, match='write a speed with its unit, such as "115 mph"'):
        parse_speed(text)


@pytest.mark.parametrize("text", ["30", "30 lb", "psf", "1.5 kN", "2 t/m2"])
def test_text_that_is_no_load_is_refused_with_how_to_write_one(text: str) -> None:
    with pytest.raises(ValueError, match='write a load on an area with its unit, such as "30 psf"'):
        parse_load(text)


@pytest.mark.parametrize("text", ["", "350", "350 ft2", "350 gal/ft2", "9 m2 / l", "1e2 m2/l"])
def test_text_that_is_no_spread_rate_is_refused_with_how_to_write_one(text: str) -> None:
    with pytest.raises(ValueError, match='write a spread rate with its unit, such as "350 ft2'):
        parse_spread(text)


@pytest.mark.parametrize(
    ("length_mm", "units", "text"),
    [
        (2146.3, "imperial", "7' 0-1/2\""),  # 84.5 in
        (2133.6, "imperial", "7' 0\""),
        (139.7, "imperial", '5-1/2"'),
        (12.7, "imperial", '1/2"'),
        (0.0, "imperial", '0"'),
        (11.1125, "imperial", '7/16"'),
        (25.4 / 32, "imperial", '1/16"'),  # half a sixteenth goes up
        (25.4 / 33, "imperial", '0"'),
        (304.8 - 0.1, "imperial", "1' 0\""),  # carries into the feet
        (-139.7, "imperial", '-5-1/2"'),
        (2133.6, "metric", "2134 mm"),
        (0.5, "metric", "1 mm"),
        (-0.2, "metric", "0 mm"),
    ],
)
def test_lengths_for_people(length_mm: float, units: Units, text: str) -> None:
    assert format_length(length_mm, units) == text


@pytest.mark.parametrize(
    ("mass_kg", "units", "text"),
    [
        # 1 lb = 0.45359237 kg exactly.
        (0.45359237, "imperial", "1.0 lb"),
        (45.359237, "imperial", "100 lb"),
        (45.3, "imperial", "99.9 lb"),
        (12.34, "metric", "12.3 kg"),
        (0.25, "metric", "0.3 kg"),
        (1234.5, "metric", "1235 kg"),
        (0.0, "metric", "0.0 kg"),
    ],
)
def test_masses_for_people(mass_kg: float, units: Units, text: str) -> None:
    assert format_mass(mass_kg, units) == text


@pytest.mark.parametrize(
    ("mass_kg", "rounded", "text"),
    [
        (12.31, "up", "12.4 kg"),
        (12.39, "down", "12.3 kg"),
        (123.1, "up", "124 kg"),
        (123.9, "down", "123 kg"),
        (99.96, "up", "100 kg"),
        (99.96, "down", "99.9 kg"),
        (123.45, "nearest", "123 kg"),  # nearer to 123, though 123.5 would be a tenth's rounding
    ],
)
def test_limits_of_mass_are_rounded_to_their_side(
    mass_kg: float, rounded: Rounding, text: str
) -> None:
    assert format_mass(mass_kg, "metric", rounded) == text


def test_volumes_and_spread_rates_for_people() -> None:
    # 1 yd3 is 27 ft3.
    assert format_number(764554857.984, "volume", "imperial") == "27.0 ft3"
    assert format_number(2.46e9, "volume", "metric") == "2.5 m3"
    assert format_number(2.41e9, "volume", "metric", "up") == "2.5 m3"
    assert format_number(8.57, "spread", "metric", "down") == "8.5 m2/l"


def test_columns_carry_their_unit() -> None:
    # 1 ft = 304.8 mm, so 1 ft2 = 92903.04 mm2 and 1 ft3 = 28316846.592 mm3.
    assert in_units(254.0, "length", "imperial") == pytest.approx(10.0)
    assert in_units(304.8, "run", "imperial") == pytest.approx(1.0)
    assert in_units(92903.04, "area", "imperial") == pytest.approx(1.0)
    assert in_units(28316846.592, "volume", "imperial") == pytest.approx(1.0)
    assert in_units(0.45359237, "mass", "imperial") == pytest.approx(1.0)
    assert in_units(1500.0, "run", "metric") == pytest.approx(1.5)
    assert in_units(1e9, "volume", "metric") == pytest.approx(1.0)
    assert [unit_symbol(q, "imperial") for q in ("length", "run", "area", "volume", "mass")] == [
        "in",
        "ft",
        "ft2",
        "ft3",
        "lb",
    ]
    assert [unit_symbol(q, "metric") for q in ("length", "run", "area", "volume", "mass")] == [
        "mm",
        "m",
        "m2",
        "m3",
        "kg",
    ]


def test_pounds_per_cubic_foot() -> None:
    # 0.45359237 kg in (0.3048 m)3, both exact: 16.01846337396 kg/m3 (NIST SP 811, Table B.8).
    assert pytest.approx(16.01846337396, rel=1e-12) == LB_FT3_IN_KG_M3


@given(st.integers(0, 500), st.integers(0, 11), st.integers(0, 63))
def test_feet_inches_and_fractions_are_exact(feet: int, inches: int, parts: int) -> None:
    exact = (12 * feet + inches + Fraction(parts, 64)) * Fraction(254, 10)
    assert parse_length(f"{feet} ft {inches}-{parts}/64 in") == float(exact)
    assert parse_length(f"{feet}' {inches} {parts}/64\"") == float(exact)


@given(st.integers(0, 200_000))
def test_a_printed_sixteenth_reads_back_as_itself(sixteenths: int) -> None:
    length_mm = float(Fraction(sixteenths, 16) * Fraction(254, 10))
    assert parse_length(format_length(length_mm, "imperial")) == length_mm


@given(
    st.floats(0, 1e5, allow_nan=False),
    st.sampled_from(["imperial", "metric"]),
    st.sampled_from(["nearest", "up", "down"]),
)
def test_a_printed_length_is_within_its_rounding(
    length_mm: float, units: Units, rounded: Rounding
) -> None:
    step = 25.4 / 16 if units == "imperial" else 1.0
    error = parse_length(format_length(length_mm, units, rounded)) - length_mm
    noise = 1e-5  # a limit that is whole to a millionth of a step stays where it is
    low, high = {"nearest": (-0.5, 0.5), "up": (0.0, 1.0), "down": (-1.0, 0.0)}[rounded]
    assert low * step - noise <= error <= high * step + noise


@given(st.text(max_size=80))
def test_any_text_is_read_or_refused(text: str) -> None:
    for parse in (parse_length, parse_slope, parse_mass, parse_volume, parse_spread):
        try:
            number = parse(text)
        except ValueError as refused:
            assert "write a" in str(refused)  # noqa: PT017
        else:
            assert number == number  # not NaN


@pytest.mark.parametrize(
    ("count", "noun", "text"),
    [
        (1, "part", "1 part"),
        (0, "part", "0 parts"),
        (1407, "joint", "1,407 joints"),
        (2, "ply", "2 plies"),
        (2, "day", "2 days"),
        (2, "door latch", "2 door latches"),
    ],
)
def test_nouns_are_counted_as_english_does(count: int, noun: str, text: str) -> None:
    assert plural(count, noun) == text


def test_people_are_counted_as_english_does() -> None:
    assert (headcount(1), headcount(2)) == ("one person", "2 people")
