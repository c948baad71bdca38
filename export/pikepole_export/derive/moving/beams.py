"""Carrying beams: pieces of the move, on forks or on pipes, under the frame.

beams_on_supports(...) -> CarryingBeam
"""

from __future__ import annotations

from dataclasses import dataclass

from pikepole_export.derive.inventory.mass import MM3_PER_M3, Mass
from pikepole_export.derive.moving.bending import LineLoad, MemberBending, bent
from pikepole_export.derive.moving.carried import Carried, section_value
from pikepole_export.derive.moving.design_values import Stressed, WoodValues, shear_stress_n_mm2
from pikepole_model.building.part import Building
from pikepole_model.scene.moving import CarryingBeams
from pikepole_model.units import STANDARD_GRAVITY_M_S2

BEAMS = 2


@dataclass(frozen=True, slots=True)
class CarryingBeam(Stressed):
    """One of the two beams; the other is like it.

    Attributes:
        section: Catalogue name.
        length_mm: Of each.
        breadth_mm: Level.
        depth_mm: Upright.
        mass: Of each.
        at_mm: Middles of both, from the left end of the floor on the side that is worked from.
        stress_n_mm2: Bending stress at rest, of the one that has more.
        shear_n_mm2: Shear stress at rest, likewise.
        bearing_n_mm2: What presses on it at rest from above or below, whichever is more.
        impact: Factor on it for jerks.
        value: What its wood is reckoned to bear; None where no value is known.
    """

    section: str
    length_mm: float
    breadth_mm: float
    depth_mm: float
    mass: Mass
    at_mm: tuple[float, float]
    stress_n_mm2: float
    shear_n_mm2: float
    bearing_n_mm2: float
    impact: float
    value: WoodValues | None


def beams_on_supports(
    building: Building,
    beams: CarryingBeams,
    frame: Carried,
    *,
    at_mm: tuple[float, float],
    begins_mm: float,
    supports_mm: tuple[float, float],
    bearing_mm: float,
) -> CarryingBeam:
    """Beams with what lies on them, on two supports each.

    On forks these are heel and tip, as if a beam touched no more of them than that; on pipes the
    outermost two.

    Args:
        building: For its wood.
        beams: As the scene gives them.
        frame: What lies on them.
        at_mm: Their middles, from the left end of the floor.
        begins_mm: Where they begin, into the building in the side's frame.
        supports_mm: In the same frame.
        bearing_mm: How much of a beam's length lies on each.
    """
    scene, mass = building.scene, beam_mass(building, beams)
    stock = scene.lumber_stock(beams.section)
    breadth, depth = stock.breadth_mm, stock.depth_mm
    own = LineLoad(begins_mm, begins_mm + beams.length, mass.high_kg)
    found = [
        bent(
            [own, *(_stands(one, force_n) for one, force_n in loads)],
            left_mm=supports_mm[0],
            right_mm=supports_mm[1],
        )
        for loads in (
            [(one, one.bending.left_n) for one in frame.members],
            [(one, one.bending.right_n) for one in frame.members],
        )
    ]
    bears_n = max(max(one.left_n, one.right_n) for one in found)
    # What lies on it presses on it as it presses on that.
    pressed = max((one.bearing_n_mm2 for one in frame.members), default=0.0)
    shear_n = max(one.shear_n for one in found)
    return CarryingBeam(
        section=beams.section,
        length_mm=beams.length,
        breadth_mm=breadth,
        depth_mm=depth,
        mass=mass,
        at_mm=at_mm,
        stress_n_mm2=max(one.most_n_mm for one in found) / (breadth * depth**2 / 6),
        shear_n_mm2=shear_stress_n_mm2(shear_n, breadth_mm=breadth, depth_mm=depth),
        bearing_n_mm2=max(pressed, bears_n / (breadth * bearing_mm)),
        impact=frame.impact.factor,
        value=section_value(building, breadth, depth, treated=beams.treated, stock=beams.section),
    )


def _stands(one: MemberBending, force_n: float) -> LineLoad:
    return LineLoad(one.at_mm, one.at_mm, force_n / STANDARD_GRAVITY_M_S2)


def broad_mm(building: Building, beams: CarryingBeams) -> float:
    """How broad one of them is, mm."""
    return building.scene.lumber_stock(beams.section).breadth_mm


def beam_mass(building: Building, beams: CarryingBeams) -> Mass:
    """What one of them weighs."""
    stock, wood = building.scene.lumber_stock(beams.section), building.scene.wood(beams.treated)
    volume_m3 = stock.breadth_mm * stock.depth_mm * beams.length / MM3_PER_M3
    return Mass(*(volume_m3 * density for density in wood.density_kg_m3))
