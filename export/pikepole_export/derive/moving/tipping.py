"""How far a building is from tipping over what it bears on, by its own weight and in wind.

margins_of(...) -> Margins              against tipping every way
members_within(places, ...) -> int      how many members a margin asks for
move_wind(gust_m_s) -> MoveWind         when it is set down
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pikepole_export.derive.lifting.statics import weight_n
from pikepole_export.derive.lifting.wind import (
    GUST_OVER_MEAN,
    PRESSURE_PA_PER_M2_S2,
    StopSpeed,
    Work,
    stop_speed,
)
from pikepole_export.derive.moving.structure import MovedStructure, SideAxes

# The centre of gravity has to stay within what bears even where all of it leans by one in ten, or
# by the rise of the way where that is more, one and a half times over. Source: one in ten is where
# 29 CFR 1910.178(n)(7) begins to ask for care on grades; 1.5 against overturning is that of IBC
# 1807.2.3, from memory, for retaining walls: both by analogy, nothing is written for this.
LEAST_TILT = 0.10
AGAINST_TIPPING = 1.5


# Push on one wall and draw on the other, 0.8 and 0.5. Source: ASCE 7-16, figure 27.3-1, walls (from
# memory).
BOX_DRAG = 1.3

MM2_PER_M2 = 1e6


@dataclass(frozen=True, slots=True)
class Margin:
    """How far the centre of gravity lies within the line that it would tip over.

    Attributes:
        low_mm: Everything as dry as may be, mm; below zero where it is past the line.
        likely_mm: As is likely.
        high_mm: As wet as may be.
    """

    low_mm: float
    likely_mm: float
    high_mm: float

    @property
    def least_mm(self) -> float:
        """The least of the three."""
        return min(self.low_mm, self.likely_mm, self.high_mm)


@dataclass(frozen=True, slots=True)
class Margins:
    """Against tipping every way, from what the frame really bears on.

    Attributes:
        near: Over the member nearest to the side that is worked from.
        far: Over the furthest one that bears, or the tips of the forks, whichever is nearer.
        left: Over the left line, as seen from that side.
        right: Over the right one.
        height_mm: Of the centre of gravity over what it bears on.
        asked_mm: The least that is asked for.
        tips_in_m_s: The gust that tips it, dry, where it leans as far as is asked for.
    """

    near: Margin
    far: Margin
    left: Margin
    right: Margin
    height_mm: float
    asked_mm: float
    tips_in_m_s: float

    @property
    def each(self) -> tuple[tuple[str, Margin], ...]:
        """All four, each with where what bears ends."""
        return (
            ("at the near side", self.near),
            ("at the far side", self.far),
            ("on the left", self.left),
            ("on the right", self.right),
        )

    def tips_at_deg(self, margin: Margin) -> float:
        """How far it may lean that way before it tips, deg."""
        return math.degrees(math.atan2(margin.least_mm, self.height_mm))


@dataclass(frozen=True, slots=True)
class MoveWind:
    """When it is set down.

    Attributes:
        rule: The published speed.
        tips_at_m_s: The gust that tips it.
        stop_m_s: Mean wind at which to stop: the lower of the rule, and the mean wind that has
            such gusts.
    """

    rule: StopSpeed
    tips_at_m_s: float
    stop_m_s: float

    @property
    def is_by_rule(self) -> bool:
        """Whether the published speed is the lower one."""
        return self.stop_m_s == self.rule.speed_m_s


def move_wind(gust_m_s: float) -> MoveWind:
    """When a building is set down that such a gust tips."""
    rule = stop_speed(Work.CRANE)
    return MoveWind(rule, gust_m_s, min(rule.speed_m_s, gust_m_s / GUST_OVER_MEAN))


def tipping_gust_m_s(*, holds_n_mm: float, wide_mm: float, high_mm: float, safety: float) -> float:
    """The gust that tips a box over a line, so many times over; it meets it at half its height.

    Args:
        holds_n_mm: Its weight times how far its centre of gravity lies within the line, N mm; 0
            where it is past it.
        wide_mm: Of the face that the wind meets, whatever openings it has.
        high_mm: Of that face.
        safety: How many times over.
    """
    force_n = max(0.0, holds_n_mm) / safety / (high_mm / 2)
    area_m2 = wide_mm * high_mm / MM2_PER_M2
    return math.sqrt(force_n / (PRESSURE_PA_PER_M2_S2 * BOX_DRAG * area_m2))


def margins_of(
    moved: MovedStructure,
    side: SideAxes,
    *,
    into_mm: tuple[float, float],
    along_mm: tuple[float, float],
    rise_deg: float,
) -> Margins:
    """Margins against tipping over four lines.

    Args:
        moved: What is moved.
        side: In whose frame the lines are.
        into_mm: The near and the far line.
        along_mm: The left and the right one.
        rise_deg: Of the way.
    """
    places = [side.place(centre) for centre in moved.centres_mm]
    height_mm = max(centre[2] for centre in moved.centres_mm) - moved.underside_mm
    tilt = max(LEAST_TILT, math.tan(math.radians(rise_deg)))
    near, far = (
        Margin(*(sign * (into - line) for _, into in places))
        for sign, line in zip((1, -1), into_mm, strict=True)
    )
    left, right = (
        Margin(*(sign * (along - line) for along, _ in places))
        for sign, line in zip((1, -1), along_mm, strict=True)
    )
    gusts = (
        tipping_gust_m_s(
            holds_n_mm=weight_n(moved.mass.low_kg) * (margin.least_mm - tilt * height_mm),
            wide_mm=moved.size_mm[face],
            high_mm=moved.size_mm[2],
            safety=AGAINST_TIPPING,
        )
        for face, both in ((side.along, (near, far)), (side.into, (left, right)))
        for margin in both
    )
    return Margins(
        near=near,
        far=far,
        left=left,
        right=right,
        height_mm=height_mm,
        asked_mm=AGAINST_TIPPING * tilt * height_mm,
        tips_in_m_s=min(gusts),
    )


def members_within(places_mm: Sequence[float], *, centre_mm: float, margin_mm: float) -> int | None:
    """How many members, from the near side on, have to bear for a margin past the centre.

    Args:
        places_mm: Of the members, rising.
        centre_mm: The centre of gravity in the same frame.
        margin_mm: That is wanted.

    Returns:
        At least 1; None where even the last lies too near.
    """
    for number, place in enumerate(places_mm, start=1):
        if place >= centre_mm + margin_mm:
            return number
    return None
