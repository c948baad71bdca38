"""What must hold for a roof that breaks at a knee: its slopes, its purlins, its gussets."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pikepole_model.errors import Problem, either, leave_out, less, more, other, without
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.cross_section import LEAST_BREAK_DEG, Meets
from pikepole_model.plan.gussets import gusset_starts
from pikepole_model.plan.roof import LevelMember, RoofPlan
from pikepole_model.plan.seats import DEEPEST_END_NOTCH, LEAST_BEARING_MM
from pikepole_model.plan.slope import Slope, Support
from pikepole_model.rules.ridge import on_a_beam
from pikepole_model.rules.ruler import Ruler
from pikepole_model.scene.schema import Knee, RidgeBoard, Scene

_KNEE = ("roof", "knee")

# A slope shorter than this has no room for gussets and for what lies over both its ends: 2 ft.
# Assumed.
LEAST_ALONG_MM = 609.6


def knee_key_problems(scene: Scene) -> Iterator[Problem]:
    """What contradicts itself in what is said of a knee."""
    roof = scene.roof
    if not roof.knee:
        return
    if not roof.ridge:
        yield Problem.at(_KNEE, "belongs to a roof with a ridge", leave_out(_KNEE))
    elif isinstance(roof.ridge, RidgeBoard):
        yield Problem.at(
            ("roof", "ridge", "kind"),
            "lets the rafters over the knees lean on each other, and nothing ties their feet on "
            "the purlins (IRC R802.5.2): a ridge beam carries them",
            either(on_a_beam(roof.ridge), leave_out(_KNEE)),
        )


def knee_problems(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    """What is wrong with the knees."""
    knee = roof.datums.scene.roof.knee
    if not knee or not roof.ridge_beam or not roof.ridge:
        return
    for plane in roof.section.planes:
        steeper = knee.slope - math.degrees(plane.slope_rad)
        if plane.upper == Meets.RIDGE and steeper < LEAST_BREAK_DEG - 1e-9:
            yield Problem.at(
                (*_KNEE, "slope"),
                f"is not {LEAST_BREAK_DEG:g} degrees steeper than the slope over it",
                "",
                *(more(*_KNEE, "slope"), less("roof", "slope"), without("roof", "back_slope")),
                without(*_KNEE),
            )
            return
    yield from _places(roof, knee, roof.ridge, ruler)
    yield from _bearing(roof, knee, ruler)
    ends = sum(roof.datums.roof_ends_mm) + roof.datums.scene.roof.spacing
    if math.isfinite(ends) and None in gusset_starts(roof).values():
        yield Problem.at(
            ("roof", "spacing"),
            "leaves no room for a gusset beside each pair of rafters",
            "",
            *(other("roof", "spacing"), other("building", "length")),
            without(*_KNEE),
        )


def _places(roof: RoofPlan, knee: Knee, ridge: LevelMember, ruler: Ruler) -> Iterator[Problem]:
    """Purlins and their posts clear of walls and ridge, and slopes long enough to cover."""
    datums, stud = roof.datums, roof.datums.breadth_mm
    # How much farther in from the walls the knees may be, at the least and at the most.
    least, most = -math.inf, math.inf
    for wall_y, way in ((0.0, 1), (datums.depth_mm, -1)):
        to_ridge = (ridge.y - wall_y) * way
        most = min(most, to_ridge - knee.from_wall)
    for purlin, lower in zip(roof.purlins, _lower(roof), strict=True):
        upper = roof.beside(lower, lower.upper)
        assert upper
        half = max(purlin.width_mm, stud) / 2
        inside = knee.from_wall - lower.h_of(purlin.y)
        to_ridge = upper.h_of(purlin.y) - max(ridge.width_mm, stud) / 2
        least = max(
            least,
            datums.wall_mm + stud + half - inside,
            LEAST_ALONG_MM * math.cos(lower.slope_rad) - knee.from_wall,
        )
        most = min(
            most, to_ridge - half, upper.lower.h - LEAST_ALONG_MM * math.cos(upper.slope_rad)
        )
    if least > TOLERANCE_MM or most < -TOLERANCE_MM:
        yield Problem.at(
            (*_KNEE, "from_wall"),
            "leaves one of its slopes too short, or brings the purlins or the posts under them "
            "into the walls or the ridge's post",
            ruler.between(knee.from_wall + least, knee.from_wall + most) if roof.purlins else "",
            *(less(*_KNEE, "from_wall"), more(*_KNEE, "from_wall"), more("building", "depth")),
            without(*_KNEE),
        )


def _lower(roof: RoofPlan) -> list[Slope]:
    """The slopes under the knees, from the front to the back."""
    return [slope for slope in roof.slopes if slope.upper.meets == Meets.KNEE]


def _bearing(roof: RoofPlan, knee: Knee, ruler: Ruler) -> Iterator[Problem]:
    """The rafters of both slopes rest on the purlin, and none is notched too deep for it."""
    least = 2 * LEAST_BEARING_MM
    if roof.datums.width_of(knee) < least - TOLERANCE_MM:
        yield Problem.at(
            (*_KNEE, "plies"),
            f"makes the purlins {ruler.at(roof.datums.width_of(knee))} thick, and the rafters of "
            f"both slopes rest on {ruler.at(LEAST_BEARING_MM)} of them at the least (IRC R802.6)",
            "",
            *(more(*_KNEE, "plies"), other(*_KNEE, "ply")),
        )
    for slope in roof.slopes:
        end_mm = slope.end_rafter_mm
        lower = f"makes end rafters, {ruler.at(end_mm)} deep under their lookouts, that are"
        for depth, under, which in (
            (slope.rafter_mm, slope.rafter_mm, "is"),
            (end_mm, slope.lookout_mm + end_mm, lower if slope.lookout_mm else "is"),
        ):
            cut = _notch_mm(slope, under)
            if cut > depth * DEEPEST_END_NOTCH + TOLERANCE_MM:
                yield Problem.at(
                    ("roof", "rafter"),
                    f"{which} notched {ruler.at(cut)} over the purlins, and a quarter of "
                    f"{ruler.at(depth)} is the most (IRC R802.7.1)",
                    "",
                    *(more("roof", "rafter"), less(*_KNEE, "slope"), less("roof", "slope")),
                    *(without("roof", "end_rafter"), less("roof", "rake_overhang")),
                )
                return


def _notch_mm(slope: Slope, under: float) -> float:
    """How deep a purlin comes into a rafter, square to it; 0 where it does not.

    Args:
        slope: The rafter's.
        under: How far its underside lies under the roof's plane, square to it, mm.
    """
    tan, cos = math.tan(slope.slope_rad), math.cos(slope.slope_rad)
    for bearing in slope.bearings:
        if bearing.on != Support.KNEE:
            continue
        # Deepest at the mitre over the knee, and at the purlin's outer edge under it.
        top, end = bearing.top_mm, slope.lower
        if end.meets == Meets.KNEE:
            left = (slope.roof_mm(end.h) - top) / (tan * end.lean + 1 / cos)
        else:
            left = (slope.roof_mm(bearing.h[1]) - top) * cos
        return under - left
    return 0.0
