"""The bottom plate of a wall: its lengths, and the anchor bolts that hold each to a pad."""

from __future__ import annotations

from dataclasses import dataclass

from pikepole_model.geometry.spacing import TOLERANCE_MM, overlap, splice
from pikepole_model.plan.anchor_bolts import (
    DIAMETERS_FROM_END,
    FARTHEST_FROM_END_MM,
    WASHER_MM,
    bolt_places,
)
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.wall import WallPlan
from pikepole_model.scene.schema import Pad


@dataclass(frozen=True, slots=True)
class BottomPlate:
    """One length of bottom plate.

    Attributes:
        u: From and to along the wall, mm.
        bolts: Where anchor bolts hold it to a pad, mm along u; none on a deck.
    """

    u: tuple[float, float]
    bolts: tuple[float, ...]


def bolts_inwards_mm(datums: Datums) -> float:
    """How far anchor bolts stand in from the framing's outer face, mm.

    In the middle of the plate; nearer to its outer edge where that brings their washers past the
    corner studs, which lie flat on its inner one, and keeps to its middle third (IRC R403.1.6).
    """
    middle = datums.wall_mm / 2
    past = min(middle, datums.wall_mm - datums.breadth_mm - WASHER_MM / 2)
    return past if middle - past <= datums.wall_mm / 6 else middle


def bottom_plates(plan: WallPlan) -> tuple[BottomPlate, ...]:
    """The lengths of a wall's bottom plate, left out at doorways.

    On a pad two lengths meet where both can be bolted beside the joint, if they can anywhere.
    """
    scene, pad = plan.datums.scene, plan.datums.scene.foundation
    longest = scene.lumber_stock(scene.walls.stud).longest_mm
    doors = [framed.u for framed in plan.openings if framed.opening.kind == "door"]
    starts = [plan.framed[0], *(door[1] for door in doors)]
    stops = [*(door[0] for door in doors), plan.framed[1]]
    inwards = bolts_inwards_mm(plan.datums)
    washers = (-inwards - WASHER_MM / 2, -inwards + WASHER_MM / 2)
    taken = [upright.u for upright in plan.uprights if overlap(upright.n, washers)]

    def places(u: tuple[float, float]) -> tuple[float, ...]:
        if not isinstance(pad, Pad):
            return ()
        return tuple(bolt_places(u, pad.bolt_spacing, pad.bolt_diameter, taken))

    plates: list[BottomPlate] = []
    for start, stop in zip(starts, stops, strict=True):
        joints = plan.full_height_centres()
        if isinstance(pad, Pad):
            held = [
                joint
                for joint in joints
                if all(
                    is_held(BottomPlate(u, places(u)), pad.bolt_diameter)
                    for u in ((start, joint), (joint, stop))
                )
            ]
            joints = held or joints
        plates += (BottomPlate(u, places(u)) for u in splice(start, stop, longest, joints))
    return tuple(plates)


def is_held(plate: BottomPlate, diameter_mm: float) -> bool:
    """Whether a length of plate has two bolts, the end ones where the rule has them.

    Source: IRC R403.1.6.
    """
    if len(plate.bolts) < 2:
        return False
    ends = (plate.bolts[0] - plate.u[0], plate.u[1] - plate.bolts[-1])
    return (
        min(ends) >= DIAMETERS_FROM_END * diameter_mm - TOLERANCE_MM
        and max(ends) <= FARTHEST_FROM_END_MM + TOLERANCE_MM
    )
