"""Slings, levers, jacks on cribbing, rollers and winch.

    sling(...) -> Sling                     equal legs under one hook
    two_legs(...) -> TwoLegs                two unequal legs, hook over the centre of gravity
    lever_n(...) -> N
    cribbing(...) -> Cribbing               settings and heights of a jack between cribs
    pull(...) -> Pull                       up or down a slope, with part lines

Every sling angle is from the HORIZONTAL. Charts that give it from the vertical, or to the hook,
show the same numbers at 90 degrees less the angle: turn those with `from_vertical_deg`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pikepole_export.derive.lifting.validation import at_least, need, positive

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
class TwoLegs:
    """Two unequal legs under a hook that stands over the centre of gravity.

    Attributes:
        left_deg: Of the left leg from the HORIZONTAL, deg.
        right_deg: Of the right leg.
        left_length_mm: Of the left leg, mm.
        right_length_mm: Of the right leg.
        left_n: Tension in the left leg, N.
        right_n: In the right leg.
    """

    left_deg: float
    right_deg: float
    left_length_mm: float
    right_length_mm: float
    left_n: float
    right_n: float


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


def from_vertical_deg(angle_deg: float) -> float:
    """An angle from the vertical as one from the horizontal, deg."""
    return 90 - angle_deg


def sling_angle_deg(*, leg_mm: float, height_mm: float) -> float:
    """Angle of a leg from the HORIZONTAL, by its length and the hook's height over its anchor.

    Raises:
        LiftError: the leg is shorter than the height.
    """
    need(
        0 < height_mm <= leg_mm,
        "leg_mm",
        leg_mm,
        f"too short for a hook {height_mm:g} mm up",
        "use a longer leg or lower the hook",
    )
    return math.degrees(math.asin(height_mm / leg_mm))


def sling_factor(angle_deg: float) -> float:
    """Tension in a leg over the weight that it carries: 1 / sin(angle).

    Args:
        angle_deg: From the HORIZONTAL, 30 to 90.

    Raises:
        LiftError: the angle is outside these.
    """
    need(
        # An angle computed from lengths may miss 30 or 90 by the float's last digits.
        LEAST_ANGLE_DEG - 1e-9 <= angle_deg <= 90 + 1e-9,
        "sling angle_deg",
        angle_deg,
        f"expected {LEAST_ANGLE_DEG:g} to 90 from the horizontal (ASME B30.9)",
        "use longer legs or a spreader",
    )
    return 1 / math.sin(math.radians(angle_deg))


def sling(
    weight_n: float, *, legs: int, angle_deg: float, sharing_legs: int | None = None
) -> Sling:
    """Tension in each of several equal legs that hold a load level under its hook.

    Args:
        weight_n: Of the load, N.
        legs: 1 to 4; a single one hangs plumb.
        angle_deg: Of each from the HORIZONTAL, 30 to 90.
        sharing_legs: How many are counted on. None for two at most, which holds for any rigid
            load; three or four only where something evens the legs out.

    Raises:
        LiftError: a number or angle is outside these.
    """
    need(1 <= legs <= MOST_LEGS, "legs", legs, f"expected 1 to {MOST_LEGS}", "hook on that many")
    sharing = min(legs, SHARING_LEGS) if sharing_legs is None else sharing_legs
    need(
        1 <= sharing <= legs,
        "sharing_legs",
        sharing,
        f"expected 1 to the {legs} there are",
        "count on fewer",
    )
    factor = sling_factor(angle_deg)
    need(
        legs > 1 or angle_deg > 90 - 1e-9,
        "angle_deg",
        angle_deg,
        "a single leg hangs plumb, at 90",
        "use two legs",
    )
    return Sling(legs, sharing, angle_deg, factor, weight_n / sharing * factor)


def two_legs(weight_n: float, *, left_mm: float, right_mm: float, hook_mm: float) -> TwoLegs:
    """Two legs to a load whose centre of gravity is not in the middle between them.

    The load hangs level when the hook stands over its centre of gravity. Both anchors are at one
    height. Lami: each tension is W cos(other angle) / sin(sum of the angles).

    Args:
        weight_n: Of the load, N.
        left_mm: From the left anchor to the centre of gravity, level.
        right_mm: From there to the right anchor.
        hook_mm: The hook's height over the anchors.

    Raises:
        LiftError: the centre of gravity is not between the anchors, the hook is not above them, or
            a leg is flatter than 30 deg.
    """
    positive(left_mm=left_mm, right_mm=right_mm, hook_mm=hook_mm)
    left, right = math.atan2(hook_mm, left_mm), math.atan2(hook_mm, right_mm)
    sling_factor(math.degrees(min(left, right)))
    both = math.sin(left + right)
    return TwoLegs(
        math.degrees(left),
        math.degrees(right),
        math.hypot(left_mm, hook_mm),
        math.hypot(right_mm, hook_mm),
        weight_n * math.cos(right) / both,
        weight_n * math.cos(left) / both,
    )


def lever_n(load_n: float, *, load_arm_mm: float, effort_arm_mm: float) -> float:
    """Force on the long arm of a lever, square to it, that holds a load on the short one, N.

    Raises:
        LiftError: an arm is not above zero.
    """
    positive(load_arm_mm=load_arm_mm, effort_arm_mm=effort_arm_mm)
    return load_n * load_arm_mm / effort_arm_mm


def lever_rise_mm(*, drop_mm: float, load_arm_mm: float, effort_arm_mm: float) -> float:
    """How far a lever raises the load while its long arm's end comes down by this much, mm."""
    return lever_n(drop_mm, load_arm_mm=load_arm_mm, effort_arm_mm=effort_arm_mm)


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
    need(
        rise_mm <= MOST_CRIB_SLENDERNESS * base_mm,
        "rise_mm",
        rise_mm,
        f"a crib {base_mm:g} mm wide goes up to {MOST_CRIB_SLENDERNESS:g} times that",
        "build it wider",
    )
    per_setting = math.floor(lift_mm / layer_mm + WHOLE)
    need(
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
    need(
        abs(slope_deg) < 90,
        "slope_deg",
        slope_deg,
        "expected more than -90, less than 90",
        "give the slope from level",
    )
    at_least("friction", friction, 0.0, "give the coefficient of friction")
    need(parts >= 1, "parts", parts, "expected at least 1", "count the lines that draw at the load")
    need(
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
