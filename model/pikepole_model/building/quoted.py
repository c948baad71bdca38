"""What a source says in inches, pennies and pounds, said in millimetres, newtons and kilopascals.

cited(text, units) -> str       in the units of the scene
in_millimetres(text) -> str     "2-16d common at 6 in" -> "2 nails 4.1 x 89 mm at 152 mm"
"""

from __future__ import annotations

import re

from pikepole_model.units import FOOT_MM, INCH_MM, POUND_FORCE_N, Units, parse_length

# Common nails: diameter and length, in. Source: ASTM F1667, from memory.
_COMMON_IN = {"6": (0.113, 2.0), "8": (0.131, 2.5), "10": (0.148, 3.0), "16": (0.162, 3.5)}

_NAILS = re.compile(r"\b(?:(\d+)-)?(\d+)d\b(?: common)?")
_LENGTH = re.compile(r"\b(\d+-\d+/\d+|\d+/\d+|\d+) (in|ft)\b")
_AMOUNT = re.compile(r"\b(\d+) (psf|ft2|lb)\b")
_SI: dict[str, tuple[float, str]] = {
    "psf": (POUND_FORCE_N / FOOT_MM**2 * 1000, ".2f} kN/m2"),
    "ft2": (FOOT_MM**2 / 1e6, ".3g} m2"),
    "lb": (POUND_FORCE_N, ".0f} N"),  # of force: what a source asks a fixing to hold
}
_BOARD = re.compile(r"\b1x6\b")
_BOARD_MM = "19 x 140 mm"  # PS 20


def cited(text: str, units: Units) -> str:
    """A citation as it is printed: as it stands in a scene in inches."""
    return in_millimetres(text) if units == "metric" else text


def in_millimetres(text: str) -> str:
    """A citation for people who read millimetres: lengths to a whole one, nails by their size.

    Loads in kN/m2, areas in m2, pounds as newtons.
    """

    def nails(found: re.Match[str]) -> str:
        thick, long = (INCH_MM * size for size in _COMMON_IN[found[2]])
        count = f"{found[1]} nails" if found[1] else "nails"
        return f"{count} {thick:.1f} x {long:.0f} mm"

    def amount(found: re.Match[str]) -> str:
        unit, written = _SI[found[2]]
        return f"{{:{written}".format(int(found[1]) * unit)

    text = _AMOUNT.sub(amount, text)
    text = _BOARD.sub(_BOARD_MM, _NAILS.sub(nails, text))
    return _LENGTH.sub(lambda found: f"{parse_length(found[0]):.0f} mm", text)
