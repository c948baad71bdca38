"""The bottom plate of a wall: its lengths, and the anchor bolts that hold each to a pad."""

from __future__ import annotations

from dataclasses import dataclass

from pikepole_model.geometry.spacing import STAGGER_MM, TOLERANCE_MM, overlap, splice
from pikepole_model.plan.anchor_bolts import (
    DIAMETERS_FROM_END,
    FARTHEST_FROM_END_MM,
    ONE_BOLT_UP_TO_MM,
    bolt_places,
    washer_mm,
)
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.wall import WallPlan


@dataclass(frozen=True, slots=True)
class BottomPlate:
    """One length of bottom plate.

    Attributes:
        u: From and to along the wall, mm.
        bolts: Where anchor bolts hold it to a pad, mm along u; none on a deck.
        is_held: Whether the bolts are as many, and those at its ends where, as IRC R403.1.6 asks;
            a deck holds it without.
    """

    u: tuple[float, float]
    bolts: tuple[float, ...]
    is_held: bool


def bolts_inwards_mm(datums: Datums) -> float:
    """How far anchor bolts stand in from the framing's outer face, mm.

    In the middle of the plate; nearer to its outer edge where that brings their washers past the
    corner studs, which lie flat on its inner one, and keeps to its middle third (IRC R403.1.6).
    """
    middle = datums.wall_mm / 2
    past = min(middle, datums.wall_mm - datums.breadth_mm - washer_mm(datums.wall_mm) / 2)
    return past if middle - past <= datums.wall_mm / 6 else middle


def bottom_plates(plan: WallPlan) -> tuple[BottomPlate, ...]:
    """The lengths of a wall's bottom plate, left out at doorways and posts.

    On a pad two lengths meet where both can be bolted beside the joint, if they can anywhere, and
    where two bolts hold each, if that can be.
    """
    scene = plan.datums.scene
    pad = None if plan.foot_mm else scene.floor_pad
    longest = scene.lumber_stock(scene.walls.stud).longest_of_mm(plan.length_mm)
    inwards = bolts_inwards_mm(plan.datums)
    half = washer_mm(plan.datums.wall_mm) / 2
    washers = (-inwards - half, -inwards + half)
    taken = [upright.u for upright in plan.uprights if overlap(upright.n, washers)]

    def plate(u: tuple[float, float]) -> BottomPlate:
        if pad is None:
            return BottomPlate(u, (), is_held=True)
        bolts = tuple(bolt_places(u, pad.bolt_spacing, pad.bolt_diameter, taken))
        return BottomPlate(u, bolts, _is_held(u, bolts, pad.bolt_diameter))

    plates: list[BottomPlate] = []
    for start, stop in plan.plate_runs:
        if stop - start <= longest + TOLERANCE_MM:
            plates.append(plate((start, stop)))
            continue
        joints = plan.full_height_centres()
        beside = {joint: (plate((start, joint)), plate((joint, stop))) for joint in joints}
        held = [joint for joint, two in beside.items() if all(one.is_held for one in two)]
        twice = [joint for joint in held if all(len(one.bolts) > 1 for one in beside[joint])]
        supports = (twice if pad else ()) or held or joints
        plates += map(plate, splice(start, stop, longest, supports, least=STAGGER_MM))
    return tuple(plates)


def _is_held(u: tuple[float, float], bolts: tuple[float, ...], diameter_mm: float) -> bool:
    if len(bolts) < 2 and (not bolts or u[1] - u[0] > ONE_BOLT_UP_TO_MM):
        return False
    ends = (bolts[0] - u[0], u[1] - bolts[-1])
    # A plate that one bolt may hold has it in its middle.
    return min(ends) >= DIAMETERS_FROM_END * diameter_mm - TOLERANCE_MM and (
        len(bolts) == 1 or max(ends) <= FARTHEST_FROM_END_MM + TOLERANCE_MM
    )
