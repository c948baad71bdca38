"""The numbers that a card prints, and those of the record that it is held against."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

# A number with its unit, as a card prints it.
PRINTED = re.compile(
    r"""(?P<feet>\d+)'\ (?P<inches>\d+)(-(?P<over>\d+)/(?P<under>\d+))?"
      | (?P<inch>\d+)(-(?P<o2>\d+)/(?P<u2>\d+))?" | (?P<o3>\d+)/(?P<u3>\d+)"
      | (?P<number>\d+(\.\d+)?)\ ?(?P<unit>lb|kg|mph|km/h|deg|\u00b0|ft|mm|m\b)?""",
    re.VERBOSE,
)
# What a record's key ends with, by the unit that is printed, and how many of it are one. Exact:
# international yard and pound agreement, 1959; 9.80665 m/s2, 3rd CGPM, 1901.
FORMS = {
    "lb": (("_kg", 0.45359237), ("_n", 0.45359237 * 9.80665)),
    "kg": (("_kg", 1.0), ("_n", 9.80665)),
    "mph": (("_m_s", 0.44704),),
    "km/h": (("_m_s", 1 / 3.6),),
    "deg": (("_deg", 1.0),),
    "\u00b0": (("_deg", 1.0),),
    "ft": (("_mm", 304.8),),
    "in": (("_mm", 25.4),),
    "mm": (("_mm", 1.0),),
    "m": (("_mm", 1000.0),),
    "": (("", 1.0),),
}


def numbers_of(record: Any, key: str = "") -> list[tuple[str, float]]:
    """Every number of a record, with the key that says what it is."""
    if isinstance(record, bool) or record is None or isinstance(record, str):
        return []
    if isinstance(record, (int, float)):
        return [(key, float(record))]
    if isinstance(record, list):
        return [found for one in record for found in numbers_of(one, key)]
    unit = re.search(r"_(kg|n|mm|deg|m_s)$", key)
    return [
        found for name, one in record.items() for found in numbers_of(one, key if unit else name)
    ]


def printed(text: str, mass_unit: str) -> list[tuple[str, str, float, float]]:
    """Every number of a text: as printed, its unit, its value, and a unit of its last digit."""
    # Low and likely masses have their unit after the high one.
    text = re.sub(r"([\d.]+) (low|likely)", rf"\1 {mass_unit}", text)
    text = re.sub(r"([\d.]+) of ([\d.]+ (lb|kg))", rf"\1 {mass_unit} of \2", text)
    text = re.sub(r"(\d+) to (\d+ mm)", r"\1 mm to \2", text)
    found: list[tuple[str, str, float, float]] = []
    for match in PRINTED.finditer(text):
        part = {name: value for name, value in match.groupdict().items() if value is not None}
        if "number" in part:
            decimals = len(part["number"].partition(".")[2])
            value, unit = float(part["number"]), part.get("unit", "")
            # Heights are printed to a centimetre.
            step = 10.0 if unit == "mm" and value % 10 == 0 else 10.0**-decimals
        else:
            over = part.get("over") or part.get("o2") or part.get("o3") or "0"
            under = part.get("under") or part.get("u2") or part.get("u3") or "1"
            value = int(part.get("feet", 0)) * 12 + int(part.get("inches") or part.get("inch", 0))
            value += int(over) / int(under)
            unit, step = "in", 1.0 if over == "0" else 1 / 16
        found.append((match.group(), unit, value, step))
    return found


def unrecorded(
    seen: Sequence[tuple[str, str, float, float]],
    kept: Sequence[tuple[str, float]],
    *,
    up: bool = False,
) -> list[str]:
    """What is printed and is no number of a record, rounded to the nearest or down.

    Args:
        seen: As `printed` gives them.
        kept: As `numbers_of` gives them.
        up: Rounded up will do as well: clearances and ratings are.
    """
    lost: list[str] = []
    for shown, unit, value, step in seen:
        spread = [
            number / size - value
            for suffix, size in FORMS[unit]
            for key, number in kept
            if (key.endswith(suffix) if suffix else not re.search(r"_(kg|n|mm|deg)$", key))
        ]
        least = -step if up else -step / 2
        if not any(least - 1e-6 <= off < step + 1e-6 for off in spread):
            lost.append(shown)
    return lost
