"""Slings, jacks on cribbing, rollers and winch.

    sling(...) -> Sling                     equal legs under one hook
    cribbing(...) -> Cribbing               settings and heights of a jack between cribs
    pull(...) -> Pull                       up or down a slope, with part lines

Every sling angle is from the HORIZONTAL. Charts that give it from the vertical, or to the hook,
show the same numbers at 90 degrees less the angle.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pikepole_export.derive.lifting.validation import at_least, below_90, positive, require

# Least angle of a sling leg from the horizontal. Source: ASME B30.9 and B30.26.
LEAST_ANGLE_DEG = 30.0

# However many legs, a rigid load can hang on two of them while the others only balance it.
# Source: US Navy, Equipment Operator (NAVEDTRA 14080 and 14081), bridle hitch.
SHARING_LEGS = 2
MOST_LEGS = 4

# Height of a box crib by its least width: stable up to 3 to 1. Source: FEMA, US&R Structure
# Specialist field guide.
MOST_CRIB_SLENDERNESS = 3.0

# Under this share of a layer a rise is a whole number of layers.
WHOLE = 1e-9


@dataclass(frozen=True, slots=True)
class Sling:
    """Equal legs under one hook.

    Attributes:
        legs: How many are hooked on.
        sharing_legs: How many are counted on to carry.
        angle_deg: Of each leg from the HORIZONTAL, deg.
        factor: Tension in a leg over the weight it carries, 1 / sin(angle).
        tension_n: In each leg that carries, N.
    """

    legs: int
    sharing_legs: int
    angle_deg: float
    factor: float
    tension_n: float


@dataclass(frozen=True, slots=True)
class Cribbing:
    """A load brought to a height by a jack or lever, crib by crib.

    Attributes:
        layers: Whole layers of cribbing under it at the end.
        shim_mm: What shims and wedges make up over these, mm.
        settings: How often the jack or lever is set and worked.
        strokes: Strokes of the jack or lever in all.
        heights_mm: The load's height over its start after each setting, mm.
    """

    layers: int
    shim_mm: float
    settings: int
    strokes: int
    heights_mm: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Pull:
    """What moves or holds a load on a slope.

    Attributes:
        force_n: Along the slope, N; below zero where the load runs away and must be held back.
        line_n: In the line at the winch, N, to pull or to hold.
    """

    force_n: float
    line_n: float


def sling_factor(angle_deg: float) -> float:
    """Tension in a leg over the weight that it carries: 1 / sin(angle).

    Args:
        angle_deg: From the HORIZONTAL, 30 to 90.

    Raises:
        LiftError: the angle is outside these.
    """
    require(
        # An angle computed from lengths may miss 30 or 90 by the float's last digits.
        LEAST_ANGLE_DEG - 1e-9 <= angle_deg <= 90 + 1e-9,
        "sling angle_deg",
        angle_deg,
        f"expected {LEAST_ANGLE_DEG:g} to 90 from the horizontal (ASME B30.9)",
        "use longer legs or a spreader",
    )
    return 1 / math.sin(math.radians(angle_deg))


def sling(weight_n: float, *, legs: int, angle_deg: float) -> Sling:
    """Tension in each of several equal legs that hold a load level under its hook.

    Args:
        weight_n: Of the load, N.
        legs: 1 to 4; a single one hangs plumb.
        angle_deg: Of each from the HORIZONTAL, 30 to 90.

    Raises:
        LiftError: a number or angle is outside these.
    """
    require(1 <= legs <= MOST_LEGS, "legs", legs, f"expected 1 to {MOST_LEGS}", "hook on that many")
    sharing = min(legs, SHARING_LEGS)
    factor = sling_factor(angle_deg)
    require(
        legs > 1 or angle_deg > 90 - 1e-9,
        "angle_deg",
        angle_deg,
        "a single leg hangs plumb, at 90",
        "use two legs",
    )
    return Sling(legs, sharing, angle_deg, factor, weight_n / sharing * factor)


def cribbing(
    *, rise_mm: float, layer_mm: float, base_mm: float, lift_mm: float, stroke_mm: float
) -> Cribbing:
    """Raise a load by setting a jack or lever again and again, cribbing up under it as it goes.

    Each setting lifts as many whole layers as the jack allows; the crib follows, so that the load
    never has further to fall than one layer. Wedges under it all the time are not counted.

    Args:
        rise_mm: From where the load and the crib start to where the load goes, mm.
        layer_mm: Thickness of a layer of cribbing.
        base_mm: Least width of the crib.
        lift_mm: What one setting of the jack or lever lifts.
        stroke_mm: What one stroke of its handle lifts.

    Raises:
        LiftError: a size is not above zero, one setting does not make room for a layer, or the
            crib would be higher than three times its width.
    """
    positive(
        rise_mm=rise_mm, layer_mm=layer_mm, base_mm=base_mm, lift_mm=lift_mm, stroke_mm=stroke_mm
    )
    require(
        rise_mm <= MOST_CRIB_SLENDERNESS * base_mm,
        "rise_mm",
        rise_mm,
        f"a crib {base_mm:g} mm wide goes up to {MOST_CRIB_SLENDERNESS:g} times that",
        "build it wider",
    )
    per_setting = math.floor(lift_mm / layer_mm + WHOLE)
    require(
        per_setting >= 1,
        "lift_mm",
        lift_mm,
        f"makes no room for a layer of {layer_mm:g} mm",
        "use thinner cribbing",
    )
    layers = math.floor(rise_mm / layer_mm + WHOLE)
    shim_mm = max(0.0, rise_mm - layers * layer_mm)
    # What is left over, layers and shims together, is less than one setting lifts.
    step_mm = per_setting * layer_mm
    tops_mm = [number * step_mm for number in range(1, layers // per_setting + 1)]
    if not tops_mm or rise_mm - tops_mm[-1] > WHOLE * layer_mm:
        tops_mm.append(rise_mm)
    steps_mm = [top - low for low, top in zip([0.0, *tops_mm], tops_mm, strict=False)]
    strokes = sum(math.ceil(step / stroke_mm - WHOLE) for step in steps_mm)
    return Cribbing(layers, shim_mm, len(tops_mm), strokes, tuple(tops_mm))


def pull(
    weight_n: float,
    *,
    slope_deg: float,
    friction: float,
    parts: int = 1,
    efficiency: float = 1.0,
) -> Pull:
    """Draw a load along a slope: W (sin a + mu cos a).

    Args:
        weight_n: Of the load, N.
        slope_deg: Of the way, deg; below zero downhill.
        friction: Of sliding, or of the rollers, as a share of what presses on the way.
        parts: Part lines that draw at the load.
        efficiency: Of all the blocks together, above 0 up to 1. It helps where the load is held
            back, but is not counted on there.

    Raises:
        LiftError: a value is outside these.
    """
    below_90("slope_deg", slope_deg, signed=True)
    at_least("friction", friction, 0.0, "give the coefficient of friction")
    require(
        parts >= 1, "parts", parts, "expected at least 1", "count the lines that draw at the load"
    )
    require(
        0 < efficiency <= 1,
        "efficiency",
        efficiency,
        "expected above 0 up to 1",
        "give 1 for blocks without loss",
    )
    slope = math.radians(slope_deg)
    force_n = weight_n * (math.sin(slope) + friction * math.cos(slope))
    line_n = abs(force_n) / parts / (efficiency if force_n > 0 else 1)
    return Pull(force_n, line_n)
