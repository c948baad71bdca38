"""Text with a unit into mm, degrees, kg, mm3, m2/l, kN/m2, and numbers into what people read.

Used at the edges only: scene and catalogue files on the way in, tables and messages on the way
out. In between everything is millimetres, kilograms and degrees.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Literal, TypeAlias

Units: TypeAlias = Literal["imperial", "metric"]
Rounding: TypeAlias = Literal["nearest", "up", "down"]
Quantity: TypeAlias = Literal[
    "length", "run", "area", "volume", "mass", "force", "stress", "load", "speed", "angle", "spread"
]

# All exact by definition: international yard and pound agreement, 1959.
INCH_MM = 25.4
FOOT_MM = 304.8
POUND_KG = 0.45359237
LB_FT3_IN_KG_M3 = POUND_KG / 0.3048**3
# Standard gravity. Source: 3rd General Conference on Weights and Measures, 1901; ISO 80000-3.
STANDARD_GRAVITY_M_S2 = 9.80665
POUND_FORCE_N = POUND_KG * STANDARD_GRAVITY_M_S2
MPH_M_S = 0.44704  # 1609.344 m in 3600 s
PSF_IN_KG_M2 = POUND_KG / 0.3048**2
PSI_N_MM2 = POUND_FORCE_N / INCH_MM**2
GALLON_L = 3.785411784  # of 231 cubic inches, as the United States use it
FT2_GAL_IN_M2_L = 0.3048**2 / GALLON_L

# From mark to mark on a tape: the finest length that is printed for people.
MARK_MM: dict[Units, float] = {"imperial": INCH_MM / 16, "metric": 1.0}

# What a table column holds in each system: its unit, and how many of it make one of ours
# (mm, mm, mm2, mm3, kg, N, N/mm2, kN/m2, m/s, deg, m2/l). A "run" is a length too long to be read
# in inches or millimetres; a "load" lies on an area; a "spread" is the area that a measure of paint
# covers.
_COLUMNS: dict[Units, dict[Quantity, tuple[str, float]]] = {
    "imperial": {
        "length": ("in", 1 / INCH_MM),
        "run": ("ft", 1 / FOOT_MM),
        "area": ("ft2", 1 / FOOT_MM**2),
        "volume": ("ft3", 1 / FOOT_MM**3),
        "mass": ("lb", 1 / POUND_KG),
        "force": ("lbf", 1 / POUND_FORCE_N),
        "stress": ("psi", 1 / PSI_N_MM2),
        "load": ("psf", 0.3048**2 * 1000 / POUND_FORCE_N),
        "speed": ("mph", 1 / MPH_M_S),
        "angle": ("deg", 1.0),
        "spread": ("ft2/gal", 1 / FT2_GAL_IN_M2_L),
    },
    "metric": {
        "length": ("mm", 1.0),
        "run": ("m", 1e-3),
        "area": ("m2", 1e-6),
        "volume": ("m3", 1e-9),
        "mass": ("kg", 1.0),
        "force": ("N", 1.0),
        "stress": ("N/mm2", 1.0),
        "load": ("kN/m2", 1.0),
        "speed": ("km/h", 3.6),
        "angle": ("deg", 1.0),
        "spread": ("m2/l", 1.0),
    },
}

HOW_TO_WRITE_A_LENGTH = 'write a length with its unit, such as "12 ft 6-1/2 in" or "2400 mm"'
HOW_TO_WRITE_A_SLOPE = 'write a slope as rise to run, "3:12", or as an angle, "14 deg"'
HOW_TO_WRITE_A_BEARING = (
    'write the side that looks north, "back", or how far it lies round from the back, "30 deg"'
)
HOW_TO_WRITE_A_MASS = 'write a mass with its unit, such as "250 kg" or "2000 lb"'
HOW_TO_WRITE_A_VOLUME = 'write a volume with its unit, such as "1 yd3" or "0.75 m3"'
HOW_TO_WRITE_A_SPREAD = 'write a spread rate with its unit, such as "350 ft2/gal" or "9 m2/l"'
HOW_TO_WRITE_A_SPEED = 'write a speed with its unit, such as "115 mph" or "185 km/h"'
HOW_TO_WRITE_A_LOAD = 'write a load on an area with its unit, such as "30 psf" or "1.5 kN/m2"'

_LONGEST_TEXT = 60
# Typeset quotes and primes, as copied from a document: ' and "
_PRIMES = str.maketrans("\u2032\u2018\u2019\u2033\u201c\u201d", "'''\"\"\"")
_DECIMAL = r"(?:\d+(?:\.\d+)?|\.\d+)"
# 6, 6.5, 1/2, 6-1/2, 6 1/2
_MIXED = rf"(?:(?:\d+(?:\s*-\s*|\s+))?\d+/\d+|{_DECIMAL})"
_FOOT = r"(?:ft|foot|feet|')"
_INCH = r"(?:inches|inch|in|\")"
_IMPERIAL = re.compile(
    rf"(?P<sign>-?)\s*(?:(?P<feet>{_MIXED})\s*{_FOOT})?"
    rf"(?P<gap>\s*-?\s*)(?:(?P<inches>{_MIXED})\s*{_INCH})?",
    re.ASCII,
)
_METRIC = re.compile(rf"(?P<sign>-?)\s*(?P<number>{_DECIMAL})\s*(?P<unit>mm|cm|m)", re.ASCII)
_RATIO = re.compile(rf"(?P<sign>-?)(?P<rise>{_DECIMAL})\s*:\s*(?P<run>{_DECIMAL})", re.ASCII)
_ANGLE = re.compile(rf"(?P<sign>-?)(?P<degrees>{_DECIMAL})\s*(?:deg|degrees|°)", re.ASCII)
_SIDES_DEG = {"back": 0.0, "right": 90.0, "front": 180.0, "left": 270.0}
_METRIC_MM = {"mm": 1, "cm": 10, "m": 1000}
_WITH_UNIT = re.compile(rf"(?P<sign>-?)\s*(?P<number>{_DECIMAL})\s*(?P<unit>[a-z].*)", re.ASCII)
_POUND = Fraction(str(POUND_KG))
_MASS_KG = {"kg": Fraction(1), "t": Fraction(1000), "lb": _POUND, "lbs": _POUND}
_FOOT_MM = Fraction(str(FOOT_MM))
_VOLUME_MM3 = {
    "m3": Fraction(10**9),
    "l": Fraction(10**6),
    "ft3": _FOOT_MM**3,
    "yd3": (3 * _FOOT_MM) ** 3,
}
_SPREAD_M2_L = {
    "m2/l": Fraction(1),
    "ft2/gal": (_FOOT_MM / 1000) ** 2 / Fraction(str(GALLON_L)),
}
_SPEED_M_S = {"m/s": Fraction(1), "km/h": Fraction(5, 18), "mph": Fraction(str(MPH_M_S))}
_LOAD_KN_M2 = {
    "kN/m2": Fraction(1),
    "kPa": Fraction(1),
    "psf": _POUND * Fraction(str(STANDARD_GRAVITY_M_S2)) / (_FOOT_MM / 1000) ** 2 / 1000,
}


# A report tries thousands of scenes, with the same few lengths in all of them.
@lru_cache(maxsize=4096)
def parse_length(text: str) -> float:
    """A length as people write it, in mm.

    Inches are turned into mm as exact fractions, so that "1/2 in" is 12.7 and nothing near it. A
    leading minus is read, so that a caller can say that a length is negative.

    Args:
        text: "12 ft 6-1/2 in", `12' 6 1/2"`, "7.25 in", "2400 mm", "240 cm" or "3.8 m".

    Returns:
        The length, mm.

    Raises:
        ValueError: the text is no length with a unit; says how to write one.
    """
    cleaned = _cleaned(text)
    metric = _METRIC.fullmatch(cleaned)
    if metric:
        exact = Fraction(metric["number"]) * _METRIC_MM[metric["unit"]]
        return float(-exact if metric["sign"] else exact)
    imperial = _IMPERIAL.fullmatch(cleaned)
    if imperial is None or not (imperial["feet"] or imperial["inches"]):
        raise ValueError(HOW_TO_WRITE_A_LENGTH)
    both = imperial["feet"] and imperial["inches"]
    if "-" in imperial["gap"] and not both:
        raise ValueError(HOW_TO_WRITE_A_LENGTH)
    inches = 12 * _mixed(imperial["feet"]) + _mixed(imperial["inches"])
    exact = inches * Fraction(254, 10)
    return float(-exact if imperial["sign"] else exact)


def parse_slope(text: str) -> float:
    """A roof slope as people write it, in degrees from level.

    Args:
        text: Rise to run, "3:12", or an angle, "14 deg".

    Returns:
        The slope, degrees.

    Raises:
        ValueError: the text is neither; says how to write one.
    """
    cleaned = _cleaned(text, HOW_TO_WRITE_A_SLOPE)
    if ratio := _RATIO.fullmatch(cleaned):
        rise, run = float(ratio["rise"]), float(ratio["run"])
        if run == 0:
            raise ValueError(f"a run of zero is no slope; {HOW_TO_WRITE_A_SLOPE}")
        slope_deg = math.degrees(math.atan2(rise, run))
        return -slope_deg if ratio["sign"] else slope_deg
    if angle := _ANGLE.fullmatch(cleaned):
        return float(angle["sign"] + angle["degrees"])
    raise ValueError(HOW_TO_WRITE_A_SLOPE)


def parse_bearing(text: str) -> float:
    """Where north is, in degrees round from straight out of the back, as a clock goes from above.

    Args:
        text: The side that looks there, "front", "back", "left" or "right", or an angle, "30 deg".

    Returns:
        The bearing, degrees.

    Raises:
        ValueError: the text is neither; says how to write one.
    """
    cleaned = _cleaned(text, HOW_TO_WRITE_A_BEARING)
    if cleaned in _SIDES_DEG:
        return _SIDES_DEG[cleaned]
    if angle := _ANGLE.fullmatch(cleaned):
        return float(angle["sign"] + angle["degrees"])
    raise ValueError(HOW_TO_WRITE_A_BEARING)


def parse_mass(text: str) -> float:
    """A mass as people write it, in kg.

    A leading minus is read, so that a caller can say that a mass is negative. No ton is read: it
    is 2000 lb to one builder and 2240 to another.

    Args:
        text: "250 kg", "1.5 t" of 1000 kg each, "2000 lb" or "2000 lbs".

    Returns:
        The mass, kg.

    Raises:
        ValueError: the text is no mass with a unit; says how to write one.
    """
    return _with_unit(text, _MASS_KG, HOW_TO_WRITE_A_MASS)


def parse_volume(text: str) -> float:
    """A volume as people write it, in mm3.

    A leading minus is read, so that a caller can say that a volume is negative.

    Args:
        text: "1 yd3", "27 ft3", "0.75 m3" or "40 l".

    Returns:
        The volume, mm3.

    Raises:
        ValueError: the text is no volume with a unit; says how to write one.
    """
    return _with_unit(text, _VOLUME_MM3, HOW_TO_WRITE_A_VOLUME)


def parse_spread(text: str) -> float:
    """The area that a measure of paint covers, as its can says, in m2/l.

    A leading minus is read, so that a caller can say that a spread rate is negative.

    Args:
        text: "350 ft2/gal", of a gallon of 231 cubic inches, or "9 m2/l".

    Returns:
        The spread rate of one coat, m2/l.

    Raises:
        ValueError: the text is no spread rate with a unit; says how to write one.
    """
    return _with_unit(text, _SPREAD_M2_L, HOW_TO_WRITE_A_SPREAD)


def parse_speed(text: str) -> float:
    """A speed as people write it, in m/s.

    A leading minus is read, so that a caller can say that a speed is negative.

    Args:
        text: "115 mph", "185 km/h" or "51 m/s".

    Returns:
        The speed, m/s.

    Raises:
        ValueError: the text is no speed with a unit; says how to write one.
    """
    return _with_unit(text, _SPEED_M_S, HOW_TO_WRITE_A_SPEED)


def parse_load(text: str) -> float:
    """A load on an area as people write it, in kN/m2.

    A leading minus is read, so that a caller can say that a load is negative.

    Args:
        text: "30 psf", "1.5 kN/m2" or "1.5 kPa".

    Returns:
        The load, kN/m2.

    Raises:
        ValueError: the text is no load with a unit; says how to write one.
    """
    return _with_unit(text, _LOAD_KN_M2, HOW_TO_WRITE_A_LOAD)


@lru_cache(maxsize=4096)  # fractions are slow, and equal pieces many
def format_length(length_mm: float, units: Units, rounded: Rounding = "nearest") -> str:
    """A length for people.

    Args:
        length_mm: The length, mm.
        units: Imperial for feet and inches to a sixteenth, `7' 0-1/2"`, below a foot inches alone;
            metric for whole mm, "2134 mm".
        rounded: To the nearest, halves away from zero; or a limit, away from zero ("up") or
            towards it ("down"), so that what is printed is itself within the limit.
    """
    sign = "-" if length_mm < 0 else ""
    # As it prints, so that a half is a half and not the float beside it.
    exact = Fraction(str(abs(length_mm)))
    if units == "metric":
        whole_mm = _whole(exact, rounded)
        return f"{sign if whole_mm else ''}{whole_mm} mm"
    sixteenths = _whole(exact / Fraction(254, 10) * 16, rounded)
    feet, rest = divmod(sixteenths, 12 * 16)
    inches, rest = divmod(rest, 16)
    fraction = Fraction(rest, 16)
    if rest:
        inch_text = f'{inches}-{fraction}"' if inches or feet else f'{fraction}"'
    else:
        inch_text = f'{inches}"'
    return (sign if sixteenths else "") + (f"{feet}' {inch_text}" if feet else inch_text)


def format_height(height_mm: float, units: Units) -> str:
    """How high something is, to those who only have to reach it: to an inch, or to a centimetre."""
    step_mm = INCH_MM if units == "imperial" else 10.0
    return format_length(round(height_mm / step_mm) * step_mm, units)


def format_mass(mass_kg: float, units: Units, rounded: Rounding = "nearest") -> str:
    """A mass for people, "41.3 lb"; see `format_number`.

    Args:
        mass_kg: In kg.
        units: It is given in.
        rounded: To which side.
    """
    return format_number(mass_kg, "mass", units, rounded)


def format_number(
    value: float, quantity: Quantity, units: Units, rounded: Rounding = "nearest"
) -> str:
    """A number of ours in `unit_symbol`, "41.3 lb": to a tenth below 100, to a whole above.

    Args:
        value: In the units named at `_COLUMNS`.
        quantity: What it is.
        units: The system it is given in.
        rounded: As in `format_length`.
    """
    exact = Fraction(str(abs(in_units(value, quantity, units))))
    tenths = _whole(exact * 10, rounded)
    text = f"{tenths // 10}.{tenths % 10}" if tenths < 1000 else f"{_whole(exact, rounded)}"
    return f"{'-' if value < 0 and tenths else ''}{text} {unit_symbol(quantity, units)}"


def format_whole(value: float, quantity: Quantity, units: Units) -> str:
    """A number of ours in whole units of `unit_symbol`: "38 lbf", "25 mph", "41 km/h".

    Args:
        value: In the program's unit of the quantity.
        quantity: What it measures.
        units: It is given in.
    """
    number = round(in_units(value, quantity, units))
    return f"{number} {unit_symbol(quantity, units)}"


def plural(count: int, noun: str) -> str:
    """A count with its noun: "1 part", "1,407 joints", "2 plies", "3 latches"."""
    if count != 1:
        more = "es" if re.search("(?:s|x|ch|sh)$", noun) else "s"
        noun = f"{noun[:-1]}ies" if re.search("[^aeiou]y$", noun) else f"{noun}{more}"
    return f"{count:,} {noun}"


def listed(words: Sequence[str]) -> str:
    """Several in a sentence: "a", "a and b", "a, b and c"."""
    return " and ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))


def headcount(people: int) -> str:
    """How many they are: "one person", "2 people"."""
    return "one person" if people == 1 else f"{people} people"


def unit_symbol(quantity: Quantity, units: Units) -> str:
    """The unit that a table column of this quantity is headed with: "in", "lb", "m2"."""
    return _COLUMNS[units][quantity][0]


def in_units(value: float, quantity: Quantity, units: Units) -> float:
    """A number in our units, those named at `_COLUMNS`, in those of `unit_symbol`, not rounded.

    Args:
        value: In the units named at `_COLUMNS`.
        quantity: What it is.
        units: The system it is given in.
    """
    return value * _COLUMNS[units][quantity][1]


def _cleaned(text: str, how: str = HOW_TO_WRITE_A_LENGTH) -> str:
    if len(text) > _LONGEST_TEXT:
        raise ValueError(how)
    return text.translate(_PRIMES).strip()


def _with_unit(text: str, sizes: Mapping[str, Fraction], how: str) -> float:
    """A number and one of the units that `sizes` has, which says how many of ours it holds."""
    found = _WITH_UNIT.fullmatch(_cleaned(text, how))
    if found is None or found["unit"] not in sizes:
        raise ValueError(how)
    exact = Fraction(found["number"]) * sizes[found["unit"]]
    return float(-exact if found["sign"] else exact)


def _mixed(text: str | None) -> Fraction:
    """A whole number, decimal, fraction or both together: "6", "6.5", "1/2", "6-1/2"."""
    if not text:
        return Fraction(0)
    try:
        return sum((Fraction(piece) for piece in re.split(r"[\s-]+", text)), Fraction(0))
    except ZeroDivisionError:
        raise ValueError(f"a fraction over zero is no number; {HOW_TO_WRITE_A_LENGTH}") from None


def _whole(exact: Fraction, rounded: Rounding = "nearest") -> int:
    if rounded == "nearest":
        return math.floor(exact + Fraction(1, 2))
    # A limit that is whole but for the noise of a sine stays where it is.
    close = round(exact)
    if abs(exact - close) < Fraction(1, 10**6):
        return close
    return math.ceil(exact) if rounded == "up" else math.floor(exact)
