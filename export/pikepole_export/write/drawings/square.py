"""How a framing square is set to a cut, and stepped along a rafter.

setting(cut, units) -> str                   "3:12", or "250 mm/m"
square_words(template, units) -> sentences   how it is held
step_words(template, units) -> sentences     how often it is stepped from the upper end
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import atan, cos, radians, tan

from pikepole_export.derive.measures.features import Cut
from pikepole_export.derive.measures.templates import Template, printed
from pikepole_model.units import INCH_MM, MARK_MM, Units, format_length

# What is held on the blade: a foot, or as many millimetres as a metric square's tongue is long, so
# that what goes on the tongue finds room at 45 degrees. Common practice, no source.
BLADE_MM: dict[Units, float] = {"imperial": 12 * INCH_MM, "metric": 400.0}

# What the tool is called where it is used.
SQUARE: dict[Units, str] = {"imperial": "Framing square", "metric": "Roofing square"}

_ORDINALS = ("first", "second", "third", "fourth", "fifth")


def setting(cut: Cut, units: Units) -> str:
    """A cut's angle as a framing square is set to it, "3:12"; in mm to the metre."""
    if units == "metric":
        return f"{1000 * tan(radians(cut.angle_deg)):.0f} mm/m"
    return f"{_tongue(cut, units)}:{_blade(units)}"


def _tongue(cut: Cut, units: Units) -> str:
    marks = round(BLADE_MM[units] * tan(radians(cut.angle_deg)) / MARK_MM[units])
    if units == "metric":
        return f"{marks} mm"
    whole, sixteenths = divmod(marks, 16)
    return "-".join(str(n) for n in (whole, Fraction(sixteenths, 16)) if n) or "0"


def _blade(units: Units) -> str:
    return "12" if units == "imperial" else f"{BLADE_MM[units]:g} mm"


def square_words(template: Template, units: Units) -> Iterator[str]:
    """How a framing square is held; a ripped piece is set at the saw instead.

    With the rise on the tongue and the run on the blade at the edge, the tongue lies off square to
    it and the blade off the edge itself, both by the slope.
    """
    if not template.slants or template.lies == "ripped":
        return
    rises = {setting(cut, units): _tongue(cut, units) for cut in template.slants}
    held = [f"{tongue} for {told}" for told, tongue in rises.items()]
    rise = " or ".join(held if len(held) > 1 else rises.values())
    yield f"{SQUARE[units]}: hold {rise} on the tongue and {_blade(units)} on the blade;"
    square, edge = (
        " and ".join(dict.fromkeys(cut.name for cut in template.slants if cut.off == off))
        for off in ("square", "edge")
    )
    legs = [
        f"the {name} along the {leg}" for name, leg in ((square, "tongue"), (edge, "blade")) if name
    ]
    yield f"mark {', '.join(legs)}."


def step_words(template: Template, units: Units) -> Iterator[str]:
    """How often a square is stepped along a sloping piece from its upper end to each plumb line.

    What is over is measured along the blade. On slopes over 45 degrees the blade stands plumb.
    """
    plumb = [
        cut for feature in template.features for cut in feature.cuts if cut.name == "plumb cut"
    ]
    if template.lies != "sloping" or not plumb:
        return
    tongue = printed(BLADE_MM[units] * tan(radians(plumb[0].angle_deg)), units)
    along = cos(atan(tongue / BLADE_MM[units]))
    mouths = [feature.birdsmouth for feature in template.features if feature.birdsmouth]
    marks = [
        (f"the {name}heel line", mouth.mark_mm)
        for name, mouth in zip(_of(len(mouths)), mouths, strict=False)
    ]
    if any(cut in plumb for cut in template.features[-1].cuts):
        marks.append(("the lower end", template.top_edge[1] - template.top_edge[0]))
    told = [f"{_steps(mark * along, units)} to {name}" for name, mark in marks]
    if told:
        yield f"Stepped off from the upper end, the rest on the blade: {', '.join(told)}."


def _of(count: int) -> tuple[str, ...]:
    return ("",) if count == 1 else tuple(f"{one} " for one in _ORDINALS)


def _steps(run_mm: float, units: Units) -> str:
    """Whole steps and what is over along the blade: "8 steps and 5-1/2 in"."""
    whole, over_mm = divmod(printed(run_mm, units) + MARK_MM[units] / 100, BLADE_MM[units])
    over = format_length(over_mm, units)
    steps = f"{whole:g} step" + ("" if whole == 1 else "s")
    return steps if over == format_length(0.0, units) else f"{steps} and {over}"
