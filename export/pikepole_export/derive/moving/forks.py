"""A building on the forks of a truck, or on beams that lie on them.

on_forks(building, moved, move, ...) -> OnForks | None
"""

from __future__ import annotations

from dataclasses import dataclass

from pikepole_export.derive.moving.beams import (
    BEAMS,
    CarryingBeam,
    beam_mass,
    beams_on_supports,
    broad_mm,
)
from pikepole_export.derive.moving.carried import ON_MACHINE, Carried, carried
from pikepole_export.derive.moving.structure import SIDES, MovedStructure, SideName
from pikepole_export.derive.moving.truck import (
    STANDARDS_MM,
    Forks,
    most_at_kg,
    place_forks,
    rating_needed_kg,
)
from pikepole_model.building.part import Building
from pikepole_model.scene.crew import Telehandler
from pikepole_model.scene.moving import Move


@dataclass(frozen=True, slots=True)
class OnTruck:
    """All that the truck lifts.

    Attributes:
        mass_kg: The building at its high mass, and the carrying beams.
        load_centre_mm: From the fork face to their centre of gravity; the face stands against
            whatever sticks out furthest on that side, at any height.
        standard_mm: Load centre that the rating is stated at: the telehandler's, or the usual one
            where the scene's units are used.
        rating_needed_kg: At that load centre.
    """

    mass_kg: float
    load_centre_mm: float
    standard_mm: float
    rating_needed_kg: float

    @property
    def moment_kg_mm(self) -> float:
        """Mass times load centre, kg mm."""
        return self.mass_kg * self.load_centre_mm


@dataclass(frozen=True, slots=True)
class TruckByFigures:
    """The scene's telehandler against what the building asks for.

    Attributes:
        rating_kg: Its rating.
        standard_mm: Load centre of that rating.
        most_kg: What the same load moment allows at the building's load centre.
        left_over_kg: That less all that it lifts; below zero where it is too little.
    """

    rating_kg: float
    standard_mm: float
    most_kg: float
    left_over_kg: float

    @property
    def covers(self) -> bool:
        """Whether the rating covers the building by figures; the data plate still decides."""
        return self.left_over_kg >= 0


@dataclass(frozen=True, slots=True)
class OnForks:
    """The building on the forks of a truck.

    Attributes:
        side: That the forks come in at.
        forks: Where they go, from the left end of the floor on that side, seen from outside.
        spacing_mm: From middle to middle.
        fork_mm: Their length.
        keeps_off_mm: What sticks out on that side keeps the fork face so far from the floor.
        past_centre_mm: How far the tips reach past the centre of gravity.
        lifts: All that the truck lifts.
        truck: The scene's telehandler against it; None where it has none.
        frame: The floor frame on the forks, or on the beams on these.
        beam: One of the two beams; None where the frame lies on the forks.
    """

    side: SideName
    forks: Forks
    spacing_mm: float
    fork_mm: float
    keeps_off_mm: float
    past_centre_mm: float
    lifts: OnTruck
    truck: TruckByFigures | None
    frame: Carried
    beam: CarryingBeam | None


def truck_of(building: Building) -> Telehandler | None:
    """The scene's telehandler of the greatest load moment."""
    trucks = [gear for gear in building.scene.crew.gear if isinstance(gear, Telehandler)]
    return max(trucks, key=lambda one: one.rating * one.load_centre, default=None)


def on_truck(
    building: Building, moved: MovedStructure, side: SideName, move: Move | None
) -> OnTruck:
    """What a truck at a side lifts; with the scene's beams where it has some on forks."""
    axes = SIDES[side]
    mass_kg = moved.mass.high_kg
    centre_mm = axes.place(moved.centre_mm)[1] - axes.span_into(moved.parts)[0]
    if move is not None and move.way == "forks" and move.beams:
        beams_kg = BEAMS * beam_mass(building, move.beams).high_kg
        moment = mass_kg * centre_mm + beams_kg * move.beams.length / 2
        mass_kg += beams_kg
        centre_mm = moment / mass_kg
    truck = truck_of(building)
    standard_mm = truck.load_centre if truck else STANDARDS_MM[building.scene.units]
    needed_kg = rating_needed_kg(mass_kg=mass_kg, load_centre_mm=centre_mm, standard_mm=standard_mm)
    return OnTruck(mass_kg, centre_mm, standard_mm, needed_kg)


def on_forks(
    building: Building, moved: MovedStructure, move: Move, *, spacing_mm: float | None = None
) -> OnForks | None:
    """Put a building on forks; None where they do not reach past its centre of gravity.

    Args:
        building: For its gear and wood.
        moved: What is moved.
        move: As the scene has it.
        spacing_mm: Of the forks, instead of the scene's.

    Raises:
        LiftError: the forks are wider apart than the floor.
    """
    side = SIDES[move.side]
    along_mm, into_mm = side.place(moved.centre_mm)
    left_mm, right_mm = side.span_along(moved.floor)
    face_mm = side.span_into(moved.parts)[0]
    lifts = on_truck(building, moved, move.side, move)
    past_mm = move.fork - max(lifts.load_centre_mm, into_mm - face_mm)
    if past_mm <= 0:
        return None
    spread_mm = move.fork_spacing if spacing_mm is None else spacing_mm
    forks = place_forks(
        mass_kg=lifts.mass_kg,
        width_mm=right_mm - left_mm,
        across_mm=along_mm - left_mm,
        load_centre_mm=lifts.load_centre_mm,
        spread_mm=spread_mm,
        fork_mm=move.fork,
        standard_mm=lifts.standard_mm,
    )
    at_mm = forks.left_mm, forks.right_mm
    frame = carried(
        building,
        moved,
        side,
        lines_mm=(left_mm + at_mm[0], left_mm + at_mm[1]),
        begins_mm=face_mm,
        reach_mm=move.beams.length if move.beams else move.fork,
        tips_mm=move.fork,
        bearing_mm=broad_mm(building, move.beams) if move.beams else move.fork_width,
        impact=ON_MACHINE,
    )
    beam = None
    if move.beams:
        beam = beams_on_supports(
            building,
            move.beams,
            frame,
            at_mm=at_mm,
            begins_mm=face_mm,
            supports_mm=(face_mm, face_mm + min(move.fork, move.beams.length)),
            bearing_mm=move.fork_width,
        )
    return OnForks(
        side=move.side,
        forks=forks,
        spacing_mm=spread_mm,
        fork_mm=move.fork,
        keeps_off_mm=side.span_into(moved.floor)[0] - face_mm,
        past_centre_mm=past_mm,
        lifts=lifts,
        truck=_by_figures(truck_of(building), lifts),
        frame=frame,
        beam=beam,
    )


def _by_figures(truck: Telehandler | None, lifts: OnTruck) -> TruckByFigures | None:
    if truck is None:
        return None
    most_kg = most_at_kg(
        rated_kg=truck.rating,
        standard_mm=truck.load_centre,
        load_centre_mm=lifts.load_centre_mm,
    )
    return TruckByFigures(truck.rating, truck.load_centre, most_kg, most_kg - lifts.mass_kg)
