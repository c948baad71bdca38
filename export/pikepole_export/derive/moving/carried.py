"""How the floor frame lies on what carries it: forks, beams, pipes, a deck.

carried(...) -> Carried                 on two lines that run away from the side
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from pikepole_export.derive.moving.bending import MemberBending, bend_members
from pikepole_export.derive.moving.design_values import Stress, WoodValues, wood_values
from pikepole_export.derive.moving.structure import MovedStructure, SideAxes
from pikepole_export.derive.moving.tipping import Margins, margins_of, members_within
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.spacing import TOLERANCE_MM

# Wood that holds more is wet in service. Source: NDS 4.1.4.
WET_PERCENT = 19.0


@dataclass(frozen=True, slots=True)
class Impact:
    """What jerks add to a weight at rest.

    Attributes:
        factor: On the weight.
        source: Where it comes from.
    """

    factor: float
    source: str


ON_MACHINE = Impact(
    1.4, "lifting factor for precast concrete by a mobile machine (trade guidance), by analogy"
)
ON_JACKS = Impact(
    1.2, "impact of light machinery, ASCE 7-16 4.6.3 (clause from memory), by analogy"
)
ON_ROAD = Impact(
    1.33, "dynamic allowance of road vehicles, AASHTO LRFD 3.6.2 (from memory), by analogy"
)


@dataclass(frozen=True, slots=True)
class Reach:
    """How far lines have to reach for a member that should bear on them.

    Attributes:
        middle_mm: Of the member, from where the lines begin, mm.
        needed_mm: Its far face, likewise.
    """

    middle_mm: float
    needed_mm: float


@dataclass(frozen=True, slots=True)
class Carried:
    """The frame on two lines.

    Attributes:
        members: Those that bear, from the near side on.
        unsupported: Names of those that should bear and do not.
        reaches: Of all that should bear, from the near side on; empty where the bearers lie along.
        margins: Against tipping.
        impact: On stresses and loads.
    """

    members: tuple[MemberBending, ...]
    unsupported: tuple[str, ...]
    reaches: tuple[Reach, ...]
    margins: Margins
    impact: Impact

    @property
    def needed_mm(self) -> float:
        """How far the lines have to reach for all of them, mm."""
        return max((one.needed_mm for one in self.reaches), default=0.0)

    def needed_for_mm(self, centre_mm: float) -> float | None:
        """How far they have to reach for the margin that is asked for; None where none does.

        Args:
            centre_mm: The centre of gravity, from where the lines begin.
        """
        count = members_within(
            [one.middle_mm for one in self.reaches],
            centre_mm=centre_mm,
            margin_mm=self.margins.asked_mm,
        )
        return self.reaches[count - 1].needed_mm if count else None

    def past(self, *stresses: Stress) -> tuple[MemberBending, ...]:
        """Members that are stressed past their value so, the worst first."""
        return past_value(self.members, *stresses)


def past_value(members: Iterable[MemberBending], *stresses: Stress) -> tuple[MemberBending, ...]:
    """Those that are past their value in any of some stresses, the worst first."""

    def share(one: MemberBending) -> float:
        return max(one.share_of_value(stress) for stress in stresses)

    return tuple(sorted((one for one in members if share(one) > 1), key=share, reverse=True))


def value_of(building: Building, part: Part) -> WoodValues | None:
    """The values of a member of the frame as it lies: upright as it is."""
    breadth, depth = sorted(part.across_mm)
    return section_value(building, breadth, depth, treated=part.material.treated, stock=part.stock)


def section_value(
    building: Building, breadth_mm: float, depth_mm: float, *, treated: bool, stock: str
) -> WoodValues | None:
    """The values of a section on edge of the scene's wood, cut from some stock."""
    lumber, moisture = building.scene.lumber, building.scene.moisture
    water = moisture.treated if treated else moisture.untreated
    return wood_values(
        lumber.treated_species if treated else lumber.species,
        lumber.treated_grade if treated else lumber.grade,
        breadth_mm=breadth_mm,
        depth_mm=depth_mm,
        treated=treated,
        wet=water.likely > WET_PERCENT,
        strength=building.scene.catalogue.strength_of(stock),
    )


def carried(
    building: Building,
    moved: MovedStructure,
    side: SideAxes,
    *,
    lines_mm: tuple[float, float],
    begins_mm: float,
    reach_mm: float,
    tips_mm: float,
    bearing_mm: float,
    impact: Impact,
) -> Carried:
    """Lay the frame on two lines that run away from a side.

    A member bears where all of its breadth is over the lines and it lies across both.

    Args:
        building: For its wood and the rise of its way.
        moved: What is moved.
        side: How the side lies.
        lines_mm: Both lines along the side, in its frame.
        begins_mm: Where they begin, into the building in its frame.
        reach_mm: Their length.
        tips_mm: How much of that stands by itself: forks under longer beams, mm.
        bearing_mm: How broad each is, where a member lies on it.
        impact: Factor for jerks.
    """
    left, right = lines_mm

    def bears(part: Part) -> bool:
        near, far = side.span_into([part])
        start, end = side.span_along([part])
        over = near >= begins_mm - TOLERANCE_MM
        over = over and far <= begins_mm + reach_mm + TOLERANCE_MM
        return over and start <= left + TOLERANCE_MM and end >= right - TOLERANCE_MM

    crossing = moved.crossing(side)
    bearing = [part for part in crossing if bears(part)]
    members = tuple(_bent(building, moved.parts, side, bearing, lines_mm, bearing_mm, impact))
    near, far = (members[0].at_mm, members[-1].at_mm) if members else (begins_mm, begins_mm)
    rise = building.scene.move.steepest_deg if building.scene.move else 0.0
    return Carried(
        members=members,
        unsupported=tuple(part.name for part in crossing if part not in bearing),
        reaches=tuple(_reach(side, part, begins_mm) for part in crossing),
        margins=margins_of(
            moved,
            side,
            into_mm=(near, min(far, begins_mm + tips_mm)),
            along_mm=lines_mm,
            rise_deg=rise,
        ),
        impact=impact,
    )


def lying_along(
    building: Building,
    moved: MovedStructure,
    axes: SideAxes,
    bearing: Sequence[Part],
    *,
    supports_mm: tuple[float, float],
    bearing_mm: float,
    impact: Impact,
) -> Carried:
    """Lay bearers on two places of their own length: jacks, pipes, the ends of a deck.

    Args:
        building: For its wood and the rise of its way.
        moved: What is moved.
        axes: The bearers run along these.
        bearing: Those that bear.
        supports_mm: Both places along them, in the building's frame.
        bearing_mm: How much of a bearer's length lies on each.
        impact: Factor for jerks.
    """
    members = tuple(_bent(building, moved.parts, axes, bearing, supports_mm, bearing_mm, impact))
    places = [one.at_mm for one in members] or [0.0]
    rise = building.scene.move.steepest_deg if building.scene.move else 0.0
    return Carried(
        members=members,
        unsupported=tuple(part.name for part in moved.bearers if part not in bearing),
        reaches=(),
        margins=margins_of(
            moved,
            axes,
            into_mm=(min(places), max(places)),
            along_mm=supports_mm,
            rise_deg=rise,
        ),
        impact=impact,
    )


def _reach(side: SideAxes, part: Part, begins_mm: float) -> Reach:
    near, far = side.span_into([part])
    return Reach((near + far) / 2 - begins_mm, far - begins_mm)


def _bent(
    building: Building,
    parts: Sequence[Part],
    axes: SideAxes,
    bearing: Iterable[Part],
    supports_mm: tuple[float, float],
    bearing_mm: float,
    impact: Impact,
) -> Iterator[MemberBending]:
    members = [(part, value_of(building, part)) for part in bearing]
    if members:
        yield from bend_members(
            parts,
            axes,
            members,
            supports_mm=supports_mm,
            bearing_mm=bearing_mm,
            impact=impact.factor,
        )


# What changes with how far the supports are apart; how it is crushed goes by how broad they are.
BY_SPAN = Stress.BENDING, Stress.SHEAR


def least_that_bears(
    at: Callable[[float], Carried], *, from_mm: float, to_mm: float, step_mm: float
) -> float | None:
    """The least spacing, in steps, at which no member is bent or sheared past its value.

    None where none is tried that does.

    Args:
        at: The frame at a spacing, mm.
        from_mm: The first that is tried.
        to_mm: The last.
        step_mm: Between two.
    """
    steps = max(0, math.floor((to_mm - from_mm) / step_mm))
    spacings = (from_mm + step_mm * number for number in range(steps + 1))
    return next((spacing for spacing in spacings if not at(spacing).past(*BY_SPAN)), None)
