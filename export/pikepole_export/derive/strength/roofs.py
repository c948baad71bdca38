"""What lies on roof members: their shares of the roof, and its loads square to them.

strips(members) -> widths           what of a plane each member carries, mm
roof_loads(member, ...) -> loads
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from pikepole_export.derive.strength import snow, wind
from pikepole_export.derive.strength.beam import Force
from pikepole_export.derive.strength.climate import Climate
from pikepole_export.derive.strength.combinations import Load
from pikepole_export.derive.strength.frame import Member, Members
from pikepole_export.derive.strength.live import roof_live
from pikepole_model.building.kinds import Kind

RAFTERS = (Kind.RAFTER, Kind.END_RAFTER, Kind.FLY_RAFTER)
# Rafters so near to one plane carry it together: an end rafter lies lower by its lookouts, mm.
_IN_PLANE_MM = 100.0
KN_M2 = 1e-3  # N/mm2
_OVER_WALL_MM = 150.0  # a wall is no thicker
# Of the worse half of a free roof that is reckoned all along.
NEARER = 0.75
_STEPS = 6  # that a wedge of drifted snow is taken as
_ROOF = "roof"


def strips(members: Iterable[Member]) -> dict[str, float]:
    """For each of some members that lie side by side in planes, half way to its neighbours, mm.

    Beside the outermost goes as far as its own outer face. Members are side by side where they
    are parallel, in one plane, and one passes the other's middle.
    """
    planes: defaultdict[tuple[float, float, float], list[tuple[float, Member]]]
    planes = defaultdict(list)
    for member in members:
        way, top_mm = _plane(member)
        planes[way].append((top_mm, member))
    rows: list[list[Member]] = []
    for plane in planes.values():
        before = -math.inf
        for top_mm, member in sorted(plane, key=lambda one: one[0]):
            if top_mm - before > _IN_PLANE_MM:
                rows.append([])
            rows[-1].append(member)
            before = top_mm
    widths: dict[str, float] = {}
    for row in rows:
        for member in row:
            middle = member.point(member.length_mm / 2)
            beside = [
                _aside(other)
                for other in row
                if -1 < other.at(middle) < other.length_mm + 1 and other is not member
            ]
            here = _aside(member)
            half = member.section.breadth_mm / 2
            left = [here - at for at in beside if at < here - 1]
            right = [at - here for at in beside if at > here + 1]
            widths[member.name] = (min(left) / 2 if left else half) + (
                min(right) / 2 if right else half
            )
    return widths


def _aside(member: Member) -> float:
    """How far to the left of the origin its line passes, seen along it, the same way for all."""
    x, y = member.way
    return -y * member.origin[0] + x * member.origin[1]


def _plane(member: Member) -> tuple[tuple[float, float, float], float]:
    """The plane of its upper edge: direction and rise, and how high it passes the origin, mm."""
    x, y = member.way
    x, y = round(x, 3) + 0.0, round(y, 3) + 0.0
    vertices = member.first.vertices_mm
    run = vertices[:, 0] * x + vertices[:, 1] * y
    low, high = int(run.argmin()), int(run.argmax())
    ends = [vertices[abs(run - run[at]) < 1.0][:, 2].max() for at in (low, high)]
    rise = math.tan(math.radians(member.slope_deg)) * (1 if ends[1] >= ends[0] else -1)
    return (x, y, round(rise, 3)), float((vertices[:, 2] - rise * run).max())


def downhill(member: Member) -> tuple[float, float]:
    """The way down on the level; (0, 0) of what is level."""
    if member.slope_deg < 0.1:
        return 0.0, 0.0
    x, y = member.way
    rise = _plane(member)[0][2]
    return (-x, -y) if rise > 0 else (x, y)


def is_free(members: Members, member: Member) -> bool:
    """Whether it is over an open bay: its middle is not over the store."""
    scene = members.building.scene
    if scene.posts is not None:
        return True
    x, y = member.point(member.length_mm / 2)
    store = scene.building
    return not (-600 <= x <= store.length + 600 and -600 <= y <= store.depth + 600)


def roof_loads(
    members: Members,
    member: Member,
    width_mm: float,
    climate: Climate,
    *,
    past_mm: Sequence[tuple[float, float]] = (),
) -> dict[Load, list[Force]]:
    """What a strip of roof puts on a member, square to it, by what brings it, N.

    Args:
        members: Its building's.
        member: A rafter of some kind.
        width_mm: Of its strip.
        climate: Of the site.
        past_mm: From where to where it hangs out past the walls.
    """
    slope = member.slope_deg
    level = math.cos(math.radians(slope))
    length = member.length_mm

    def on_slope(load: float) -> list[Force]:
        return [Force(0, length, load * KN_M2 * width_mm * length, _ROOF)]

    def on_level(load: float) -> list[Force]:
        """Of a load on the level, the share square to the member."""
        return on_slope(load * level**2)

    even = climate.even_snow(slope)
    found = {
        Load.DEAD: on_slope(climate.roof_dead * level),
        Load.ROOF_LIVE: on_level(roof_live(slope, width_mm * length * level)),
        Load.SNOW: on_level(even),
    }
    gable, uneven = is_gable(members, member), unbalanced_on(members, member, climate)
    if uneven:
        # Past 20 ft the surcharge is taken over all of the slope.
        leeward = uneven.leeward + uneven.surcharge
        ahead = downhill(member) == member.way
        found[Load.UNEVEN_SNOW] = on_level(leeward if ahead else uneven.windward)
        found[Load.UNEVEN_BACK] = on_level(uneven.windward if ahead else leeward)
    drifted = [
        Force(one.from_mm, one.to_mm, one.force_n * width_mm, one.by)
        for one in _drifted(members, member, climate)
    ]
    for load in (Load.UNEVEN_SNOW, Load.UNEVEN_BACK) if drifted else ():
        found[load] = [*on_level(even), *drifted]
    if is_free(members, member):
        onto, off = free_wind(climate, slope, gable=gable)
        lift = off
    else:
        onto, off = wind.roof_pressure(climate.part_q, slope, gable=gable, edge=True)
        lift = wind.roof_lift(climate.open_q, climate.height_per_length)
    found[Load.WIND] = on_slope(onto)
    found[Load.UPLIFT] = on_slope(off)
    if not is_free(members, member):
        under = wind.overhang_lift(climate.part_q)
        found[Load.UPLIFT] += [
            Force(low, high, under * KN_M2 * width_mm * (high - low), "under the overhang")
            for low, high in past_mm
        ]
    found[Load.LIFT] = on_slope(lift)
    return {load: forces for load, forces in found.items() if any(one.force_n for one in forces)}


def free_wind(climate: Climate, slope_deg: float, *, gable: bool) -> tuple[float, float]:
    """Onto a free roof, and off it as a negative number, as a member is reckoned with it, kN/m2.

    Over a whole roof so much all along as gives the support nearer to the worse half what that half
    and the other give it; on one side of a ridge the worse half. Of all cases the one that does
    most to that support, which is not always the one that does most to the roof.
    """
    near = 1.0 if gable else NEARER
    cases = wind.free_roof(climate.open_q, slope_deg, pitched=gable)
    onto = max(near * max(case) + (1 - near) * min(case) for case in cases)
    return onto, min(near * min(case) + (1 - near) * max(case) for case in cases)


def is_gable(members: Members, member: Member) -> bool:
    """Whether a rafter is on one side of a ridge or of a knee, and not on a ledger."""
    roof = members.building.scene.roof
    return not _leans(members, member) and (roof.ridge is not None or roof.knee is not None)


def _leans(members: Members, member: Member) -> bool:
    """Whether it hangs on a ledger: a roof against a higher wall."""
    return any(part.kind is Kind.LEDGER for part in members.mates(member.first))


def run_mm(member: Member) -> float:
    """How far it goes on the level, mm."""
    return member.length_mm / member.steepness


def unbalanced_on(members: Members, member: Member, climate: Climate) -> snow.Unbalanced | None:
    """What the wind blows over its ridge; None where it has none or its slope is none for that."""
    if not is_gable(members, member) or downhill(member) == (0.0, 0.0):
        return None
    return snow.unbalanced_gable(
        climate.site.ground_snow,
        climate.even_snow(member.slope_deg),
        importance=climate.importance,
        slope_deg=member.slope_deg,
        run_mm=run_mm(member),
    )


@dataclass(frozen=True, slots=True)
class Step:
    """A lower roof at the wall of a higher one, mm.

    Attributes:
        upper_mm: How long the higher roof is, the longer way.
        lower_mm: How far the lower one goes out from the wall.
        high_mm: From the lower roof up to the higher one.
    """

    upper_mm: float
    lower_mm: float
    high_mm: float


def step_over(members: Members, member: Member) -> Step | None:
    """What is above a rafter at its ledger; None where that is no higher."""
    if not _leans(members, member):
        return None
    at_wall = member.point(member.length_mm if _wall_is_last(member) else 0.0)
    high_mm = _roof_above(members, at_wall) - member.first.bounds_mm[1][2]
    store = members.building.scene.building
    step = Step(max(store.length, store.depth), run_mm(member), high_mm)
    return step if high_mm > 0 else None


def drift_under(step: Step, slope_deg: float, climate: Climate) -> snow.Drift | None:
    """What drifts against the wall onto the lower roof."""
    return snow.step_drift(
        climate.site.ground_snow,
        climate.even_snow(slope_deg),
        upper_mm=step.upper_mm,
        lower_mm=step.lower_mm,
        step_mm=step.high_mm,
    )


def _wall_is_last(member: Member) -> bool:
    return downhill(member) != member.along


def _drifted(members: Members, member: Member, climate: Climate) -> list[Force]:
    """What drifts onto a roof against a wall, square to it, for each mm of its strip.

    A wedge, in steps, as high as the eave above lets it be.
    """
    step = step_over(members, member)
    drift = drift_under(step, member.slope_deg, climate) if step else None
    if drift is None:
        return []
    level = 1 / member.steepness
    wedge_mm = min(drift.width_mm * member.steepness, member.length_mm)
    found: list[Force] = []
    for k in range(_STEPS):
        near, far = k * wedge_mm / _STEPS, (k + 1) * wedge_mm / _STEPS
        load = drift.peak * (1 - (near + far) / 2 * level / drift.width_mm)
        ends = (near, far)
        if _wall_is_last(member):
            ends = (member.length_mm - far, member.length_mm - near)
        found.append(Force(*ends, load * KN_M2 * level**2 * (far - near), "drift"))
    return found


def _roof_above(members: Members, point: tuple[float, float]) -> float:
    """How high the main roof's rafters rest over the wall nearest to a point, mm."""
    corners = [
        rafter.first.vertices_mm
        for rafter in members.of(Kind.RAFTER)
        if not _leans(members, rafter)
    ]
    if not corners:
        return 0.0
    every = np.concatenate(corners)
    away = np.hypot(every[:, 0] - point[0], every[:, 1] - point[1])
    return float(every[away < away.min() + _OVER_WALL_MM][:, 2].min())
