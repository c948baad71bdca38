"""Carrying beams: pieces of the move, on forks or on pipes, under the frame.

beams_on_forks(...), beams_on_pipes(...) -> CarryingBeam
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pikepole_export.derive.inventory.mass import MM3_PER_M3, Mass
from pikepole_export.derive.lifting.hands import TEAM, Lifter, guideline_kg, lifter_of, team_factor
from pikepole_export.derive.moving.bending import LineLoad, bent
from pikepole_export.derive.moving.carried import Carried
from pikepole_export.derive.moving.design_values import BendingValue, Jerked, bending_value
from pikepole_model.building.part import Building
from pikepole_model.scene.moving import CarryingBeams
from pikepole_model.units import STANDARD_GRAVITY_M_S2

BEAMS = 2

# Hands that take a beam off trestles or a tailgate, about as high as an elbow, close to the body.
_HANDS_MM, _REACH_MM = 900.0, 300.0


@dataclass(frozen=True, slots=True)
class CarryingBeam(Jerked):
    """One of the two beams; the other is like it.

    Attributes:
        section: Catalogue name.
        length_mm: Of each.
        breadth_mm: Level.
        depth_mm: Upright.
        mass: Of each.
        at_mm: Middles of both, from the left end of the floor on the side that is worked from.
        people: Who carry one by the HSE guideline, from hip height; None where three are too few.
        stress_n_mm2: Bending stress at rest, of the one that has more.
        impact: Factor on it for jerks.
        value: What its wood is reckoned to bear; None where no value is known.
    """

    section: str
    length_mm: float
    breadth_mm: float
    depth_mm: float
    mass: Mass
    at_mm: tuple[float, float]
    people: int | None
    stress_n_mm2: float
    impact: float
    value: BendingValue | None


def beams_on_forks(
    building: Building,
    beams: CarryingBeams,
    frame: Carried,
    *,
    at_mm: tuple[float, float],
    begins_mm: float,
    fork_mm: float,
) -> CarryingBeam:
    """Beams that lie on forks and stand out past the tips, with what lies on them there.

    Args:
        building: For its wood.
        beams: As the scene gives them.
        frame: What lies on them.
        at_mm: Their middles, from the left end of the floor.
        begins_mm: Fork face, into the building in the side's frame.
        fork_mm: Length of the forks.
    """
    tips_mm = begins_mm + fork_mm
    own_n_mm = _n_per_mm(building, beams) * max(0.0, beams.length - fork_mm) ** 2 / 2
    past = [one for one in frame.members if one.at_mm > tips_mm]
    left = math.fsum(one.bending.left_n * (one.at_mm - tips_mm) for one in past)
    right = math.fsum(one.bending.right_n * (one.at_mm - tips_mm) for one in past)
    return _beam(building, beams, frame, at_mm, max(left, right, 0.0) + own_n_mm)


def beams_on_pipes(
    building: Building,
    beams: CarryingBeams,
    frame: Carried,
    *,
    at_mm: tuple[float, float],
    begins_mm: float,
    supports_mm: tuple[float, float],
) -> CarryingBeam:
    """Runners that only the outermost two of the pipes under them bear.

    Args:
        building: For its wood.
        beams: As the scene gives them.
        frame: What lies on them.
        at_mm: Their middles, from the left end of the floor.
        begins_mm: Where they begin, into the building in the side's frame.
        supports_mm: Both pipes, in the same frame.
    """
    own = LineLoad(
        begins_mm,
        begins_mm + beams.length,
        _n_per_mm(building, beams) / STANDARD_GRAVITY_M_S2 * beams.length,
    )
    sides: list[float] = []
    for which in ("left_n", "right_n"):
        loads = [
            LineLoad(one.at_mm, one.at_mm, getattr(one.bending, which) / STANDARD_GRAVITY_M_S2)
            for one in frame.members
        ]
        found = bent([*loads, own], left_mm=supports_mm[0], right_mm=supports_mm[1])
        sides.append(found.most_n_mm)
    return _beam(building, beams, frame, at_mm, max(sides))


def beam_mass(building: Building, beams: CarryingBeams) -> Mass:
    """What one of them weighs."""
    stock, wood = building.scene.lumber_stock(beams.section), building.scene.wood(beams.treated)
    volume_m3 = stock.breadth_mm * stock.depth_mm * beams.length / MM3_PER_M3
    return Mass(*(volume_m3 * density for density in wood.density_kg_m3))


def _n_per_mm(building: Building, beams: CarryingBeams) -> float:
    return beam_mass(building, beams).high_kg * STANDARD_GRAVITY_M_S2 / beams.length


def _beam(
    building: Building,
    beams: CarryingBeams,
    frame: Carried,
    at_mm: tuple[float, float],
    moment_n_mm: float,
) -> CarryingBeam:
    scene = building.scene
    stock, mass = scene.lumber_stock(beams.section), beam_mass(building, beams)
    return CarryingBeam(
        section=beams.section,
        length_mm=beams.length,
        breadth_mm=stock.breadth_mm,
        depth_mm=stock.depth_mm,
        mass=mass,
        at_mm=at_mm,
        people=_people(mass.high_kg, lifter_of(scene.crew)),
        stress_n_mm2=moment_n_mm / (stock.breadth_mm * stock.depth_mm**2 / 6),
        impact=frame.impact.factor,
        value=bending_value(
            scene.lumber.treated_species if beams.treated else scene.lumber.species,
            breadth_mm=stock.breadth_mm,
            depth_mm=stock.depth_mm,
            treated=beams.treated,
        ),
    )


def _people(mass_kg: float, lifter: Lifter) -> int | None:
    figure_kg = guideline_kg(lifter, _HANDS_MM, _HANDS_MM, _REACH_MM)
    return next(
        (team for team in TEAM if mass_kg <= team * figure_kg * float(team_factor(team))), None
    )
