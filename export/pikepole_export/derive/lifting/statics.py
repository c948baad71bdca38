"""Forces on a piece that is held, raised at one end or tilted up.

    weight_n(mass_kg) -> N
    reactions(...) -> Reactions             two supports, level
    lower_share(...) -> share               two grips on the underside, inclined
    one_end_lift(...) -> OneEndLift         one end raised, the other a pivot
    push_n(...), raise_wall(...)            a wall tilted up about its plate
    jacked_foot_n(...) -> N                 what thrusts its foot outward on wall jacks
    lever_post_n(...) -> N                  a post that breaks at its knee, pushed straight

A piece lies along a line: "along" is measured on it from the named point, "above" square to it,
upwards while the piece lies flat. Everything is rigid and moved slowly; nothing is added for jerks.
Source of every formula here: equilibrium of forces and moments, any textbook of statics.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeAlias

from pikepole_export.derive.lifting.validation import at_least, below_90, positive, require
from pikepole_model.units import STANDARD_GRAVITY_M_S2

# Along the piece and above its line, mm.
Point: TypeAlias = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Reactions:
    """What two supports carry.

    Attributes:
        left_n: Upwards on the piece at the left support, N; below zero where it must hold down.
        right_n: The same at the right.
    """

    left_n: float
    right_n: float


@dataclass(frozen=True, slots=True)
class OneEndLift:
    """The vertical force at the end that is raised.

    Attributes:
        start_n: At the start, N.
        end_n: At the end, N; below zero where the piece has tipped over and is held back.
        peak_n: The greatest on the way, N.
        peak_deg: Where that is, angle of the piece from level, deg.
    """

    start_n: float
    end_n: float
    peak_n: float
    peak_deg: float


@dataclass(frozen=True, slots=True)
class RaiseSample:
    """A moment of raising a wall.

    Attributes:
        angle_deg: The wall's angle from level, deg.
        grip_mm: How far from the plate the hands are, along the wall, mm.
        force_n: Square to the wall, N; below zero where the wall is held back.
    """

    angle_deg: float
    grip_mm: float
    force_n: float

    @property
    def level_n(self) -> float:
        """The part of it that pushes on a level, N."""
        return self.force_n * math.sin(math.radians(self.angle_deg))


@dataclass(frozen=True, slots=True)
class WallRaise:
    """A wall tilted up about its plate, by hands at its top edge and then on its studs.

    Attributes:
        start_n: Square to the wall at its top edge, at the start, N.
        vertical_n: The same, if people lift straight up, N.
        handover_deg: Where the top edge passes out of reach, deg; None where it never does.
        peak_n: The greatest force square to the wall, N.
        peak_deg: Where that is, deg.
        balance_deg: Where the weight stands over the plate, deg: past it the wall goes by itself.
            Above 90 where it still leans back when it stands.
        hold_back_n: To be held back at reach height when it stands plumb, N.
        foot_n: The most that the stop at its foot holds, level, N.
        samples: From the start to plumb, in order of angle; the peak and the handover among them.
    """

    start_n: float
    vertical_n: float
    handover_deg: float | None
    peak_n: float
    peak_deg: float
    balance_deg: float
    hold_back_n: float
    foot_n: float
    samples: tuple[RaiseSample, ...]


def weight_n(mass_kg: float) -> float:
    """The weight of a mass, N.

    Raises:
        LiftError: the mass is below zero or no number.
    """
    at_least("mass_kg", mass_kg, 0.0, "give a mass in kg")
    return mass_kg * STANDARD_GRAVITY_M_S2


def reactions(weight_n: float, *, centre_mm: float, left_mm: float, right_mm: float) -> Reactions:
    """What two supports of a level piece carry, wherever its weight acts.

    Args:
        weight_n: Its weight, N.
        centre_mm: Centre of gravity, mm from any point of the piece.
        left_mm: The left support, mm from the same point.
        right_mm: The right support.

    Returns:
        Both; one is below zero where the centre lies outside the supports.

    Raises:
        LiftError: the right support is not to the right of the left one.
    """
    span_mm = right_mm - left_mm
    require(
        span_mm > 0,
        "right_mm",
        right_mm,
        f"not to the right of the left support at {left_mm:g}",
        "put it beyond",
    )
    right_n = weight_n * (centre_mm - left_mm) / span_mm
    return Reactions(weight_n - right_n, right_n)


def lower_share(*, angle_deg: float, span_mm: float, centre_mm: Point) -> float:
    """Share of the weight on the lower of two grips on the underside of an inclined piece.

    Moments about the upper grip of two vertical forces: 1 - x/L + (h/L) tan(angle); for a uniform
    piece held at its bottom corners 1/2 + depth/(2 L) tan(angle). The deeper and the steeper, the
    more falls to the lower person.

    Args:
        angle_deg: Of the piece from level, 0 up to but not including 90.
        span_mm: Between the grips, along the piece, L.
        centre_mm: Centre of gravity from the lower grip, along x and above h.

    Returns:
        The share; above 1 where the upper grip has to hold down. The upper carries the rest.

    Raises:
        LiftError: the angle or the span is outside these.
    """
    below_90("angle_deg", angle_deg)
    positive(span_mm=span_mm)
    along_mm, above_mm = centre_mm
    return 1 - along_mm / span_mm + above_mm / span_mm * math.tan(math.radians(angle_deg))


def tilt_deg(*, rise_mm: float, length_mm: float) -> float:
    """Angle from level of a piece whose ends differ in height, deg.

    Args:
        rise_mm: The raised end's height over the other's, mm; below zero where it is lower.
        length_mm: Between the ends, along the piece.

    Raises:
        LiftError: the piece is too short to reach.
    """
    require(
        abs(rise_mm) < length_mm,
        "rise_mm",
        rise_mm,
        f"a piece {length_mm:g} mm long does not reach",
        "lift it in other steps",
    )
    return math.degrees(math.asin(rise_mm / length_mm))


def one_end_lift(
    weight_n: float, *, centre_mm: Point, grip_mm: Point, start_deg: float, end_deg: float
) -> OneEndLift:
    """Raise one end while the other turns on the ground, or on the seat that it lies on already.

    The vertical force is W (x - h tan a) / (g - k tan a): it only ever grows or only ever falls
    on the way, so that its peak is at the start or at the end. A uniform piece on one line with
    its grip asks for half its weight throughout.

    Args:
        weight_n: Its weight, N.
        centre_mm: Centre of gravity from the pivot, along x and above h, mm.
        grip_mm: Where it is held, from the pivot, along g and above k, mm.
        start_deg: Angle from level at the start, deg; below zero where the raised end hangs lower.
        end_deg: Angle at the end.

    Raises:
        LiftError: an angle is not between -90 and 90, or the grip stands over the pivot.
    """

    def force_n(angle_deg: float) -> float:
        below_90("angle_deg", angle_deg, signed=True)
        arm_mm = _arm_mm(grip_mm, angle_deg)
        require(arm_mm > 0, "grip_mm", grip_mm, "over the pivot or behind it", "grip further out")
        return weight_n * _arm_mm(centre_mm, angle_deg) / arm_mm

    start_n, end_n = force_n(start_deg), force_n(end_deg)
    if start_n >= end_n:
        return OneEndLift(start_n, end_n, start_n, start_deg)
    return OneEndLift(start_n, end_n, end_n, end_deg)


def push_n(weight_n: float, *, centre_mm: Point, grip_mm: float, angle_deg: float) -> float:
    """Force square to a wall that holds it at an angle, the least that any direction asks for, N.

    Args:
        weight_n: Its weight, N.
        centre_mm: Centre of gravity from the plate's edge that it turns on, along and above, mm.
        grip_mm: The hands' distance from that edge, along the wall.
        angle_deg: Of the wall from level, 0 to 90.

    Raises:
        LiftError: the hands are at the plate.
    """
    positive(grip_mm=grip_mm)
    return weight_n * _arm_mm(centre_mm, angle_deg) / grip_mm


def jacked_foot_n(weight_n: float, *, height_mm: float, centre_mm: Point) -> float:
    """The most that a wall on pole jacks thrusts its foot one way, and the poles' the other, N.

    A pole stands where the top edge lies and leans as the jack climbs it: it lies on the chord of
    the edge's way, a/2 from plumb, h cos(a/2) from the plate. Along it acts
    P = W (x cos a - t sin a) / (h cos(a/2)), most at the start, and on a level P sin(a/2).

    Args:
        weight_n: Of the wall, N.
        height_mm: From the plate to the top edge, h.
        centre_mm: Centre of gravity, along the wall x and above the edge that it turns on t.

    Raises:
        LiftError: a size is not above zero.
    """
    positive(weight_n=weight_n, height_mm=height_mm)

    def level_n(angle_deg: int) -> float:
        half = math.tan(math.radians(angle_deg / 2))
        return weight_n * _arm_mm(centre_mm, angle_deg) / height_mm * half

    return max(level_n(angle_deg) for angle_deg in range(91))


def lever_post_n(load_n: float, *, height_mm: float, lift_mm: float) -> float:
    """Level push at the knee of a lever post that begins to press a load up, N.

    Two studs end to end, together as long as the height and the lift, are bent at the joint in
    their middle and pushed straight: each leans by acos(height / length), and along both the load
    presses. The joint stands under 2 P tan(lean), most at the start and nothing once it is
    straight. A third stud nailed to one of them is the handle; what it saves is not counted.
    Source of the post: a trade article (Pro Remodeler, July 2020).

    Args:
        load_n: What it presses up, N.
        height_mm: From its foot to what it presses, at the start.
        lift_mm: How much longer the two studs are.

    Raises:
        LiftError: a length is not above zero.
    """
    positive(height_mm=height_mm, lift_mm=lift_mm)
    length_mm = height_mm + lift_mm
    return 2 * load_n * math.sqrt(length_mm**2 - height_mm**2) / height_mm


def raise_wall(
    weight_n: float,
    *,
    height_mm: float,
    centre_mm: Point,
    reach_mm: float,
    start_deg: float = 0.0,
    step_deg: float = 5.0,
) -> WallRaise:
    """Tilt a wall up about its plate.

    Hands stay at the top edge as long as they reach it, then push on the studs at reach height, at
    reach / sin(angle) from the plate, which comes nearer as the wall rises. On the studs the force
    is W / (2 reach) x (x sin 2a + t cos 2a - t), greatest where tan 2a = x / t.

    Args:
        weight_n: Its weight, N.
        height_mm: From the plate's bottom to the top edge, mm.
        centre_mm: Centre of gravity, along the wall and above the edge that it turns on, mm.
        reach_mm: How high the hands push, mm over the plate.
        start_deg: Angle from level where it starts, 0 to less than 90.
        step_deg: Between samples.

    Raises:
        LiftError: a size is not above zero, the centre is not within the wall, or an angle is
            outside these.
    """
    along_mm, above_mm = centre_mm
    positive(weight_n=weight_n, height_mm=height_mm, reach_mm=reach_mm, step_deg=step_deg)
    require(
        0 < along_mm <= height_mm,
        "centre_mm",
        centre_mm,
        f"not within the wall's {height_mm:g} mm",
        "measure it from the plate",
    )
    below_90("start_deg", start_deg)

    def sample(angle_deg: float) -> RaiseSample:
        grip_mm = _grip_mm(angle_deg, height_mm, reach_mm)
        force_n = push_n(weight_n, centre_mm=centre_mm, grip_mm=grip_mm, angle_deg=angle_deg)
        return RaiseSample(angle_deg, grip_mm, force_n)

    handover_deg = None
    turns_deg = [start_deg, 90.0, math.degrees(math.atan2(-above_mm, along_mm))]
    if height_mm > reach_mm:
        handover_deg = max(start_deg, math.degrees(math.asin(reach_mm / height_mm)))
        turns_deg += [handover_deg, math.degrees(math.atan2(along_mm, above_mm) / 2)]
    # Between these the force only grows or only falls.
    turning = [sample(angle_deg) for angle_deg in turns_deg if start_deg <= angle_deg <= 90]
    peak = max(turning, key=lambda row: row.force_n)
    steps = math.ceil((90 - start_deg) / step_deg)
    even = [sample(start_deg + number * step_deg) for number in range(steps)]
    start, end = sample(start_deg), sample(90.0)
    return WallRaise(
        start_n=start.force_n,
        vertical_n=start.force_n / math.cos(math.radians(start_deg)) * start.grip_mm / height_mm,
        handover_deg=handover_deg,
        peak_n=peak.force_n,
        peak_deg=peak.angle_deg,
        balance_deg=math.degrees(math.atan2(along_mm, above_mm)),
        hold_back_n=max(0.0, -end.force_n),
        foot_n=max(abs(row.level_n) for row in (*even, *turning)),
        samples=tuple(sorted({*even, *turning}, key=lambda row: row.angle_deg)),
    )


def _arm_mm(point_mm: Point, angle_deg: float) -> float:
    """Level distance of a point from the pivot when its piece has turned."""
    angle = math.radians(angle_deg)
    return point_mm[0] * math.cos(angle) - point_mm[1] * math.sin(angle)


def _grip_mm(angle_deg: float, height_mm: float, reach_mm: float) -> float:
    """Where hands at reach height, or below it at the top edge, hold a wall."""
    rise = math.sin(math.radians(angle_deg))
    return height_mm if height_mm * rise <= reach_mm else reach_mm / rise
