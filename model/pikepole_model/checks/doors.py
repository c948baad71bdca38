"""What leads up to doors: floors too high to step up to, flights without a rail, steep ramps."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.errors import Finding
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.beams import plan_beams
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.faces import wall_faces
from pikepole_model.plan.ramp import plan_ways_up
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.steps import StepsPlan, ground_mm
from pikepole_model.plan.walls import plan_walls
from pikepole_model.scene.steps import MOST_RISE_MM, STEEPEST_DEG, Ramp
from pikepole_model.units import format_length

# A flight of so many rises has a handrail. Source: IRC R311.7.8, for houses (from memory).
RAILED_RISES = 4


def door_findings(building: Building) -> Iterator[Finding]:
    """Doors that nothing leads up to, and what leads up to them too steeply or without a rail."""
    scene = building.scene
    if not any(opening.kind == "door" for opening in scene.opening):
        return
    roof = RoofPlan(Datums(scene))
    plans = plan_walls(roof)
    faces, lines = wall_faces(plans), plan_beams(roof, plans)
    most = format_length(MOST_RISE_MM, scene.units, "down")
    for face in faces:
        for framed in face.openings:
            opening = framed.opening
            up = face.plan.datums.floor_mm - ground_mm(face, framed, lines)
            if opening.kind == "window" or opening.steps or up <= MOST_RISE_MM + TOLERANCE_MM:
                continue
            text = (
                f'is not given, and the floor at "{opening.name}" is '
                f"{format_length(up, scene.units)} up: more than {most} is no step (IRC R311.3.2, "
                'for houses; "none" says that something else leads up)'
            )
            key = f"opening[{framed.table + 1}].steps.kind"
            yield Finding("other", text, (), key=key, mend='give "steps" or "ramp"')
    yield from _steep_ramps(building)
    stringers = {part.label: part.name for part in building.parts if part.kind == Kind.STRINGER}
    for way in plan_ways_up(faces, lines):
        if isinstance(way, StepsPlan) and way.risers >= RAILED_RISES:
            text = (
                f'leads up to "{way.name}" in {way.risers} rises, and from {RAILED_RISES} on a '
                "flight has a handrail (IRC R311.7.8, for houses), which is not laid out"
            )
            names = (stringers[f"{way.name} {Kind.STRINGER}"],)
            key, mend = f"opening[{way.framed.table + 1}].steps.kind", 'give "ramp" or "none"'
            yield Finding("other", text, names, key=key, mend=mend)


def _steep_ramps(building: Building) -> Iterator[Finding]:
    for number, opening in enumerate(building.scene.opening, start=1):
        says = opening.steps
        if isinstance(says, Ramp) and says.slope > STEEPEST_DEG + 1e-6:
            text = (
                f'makes the ramp to "{opening.name}" steeper than 1:8, the most there is (IRC '
                "R311.8.1, for houses)"
            )
            key = f"opening[{number}].steps.slope"
            yield Finding("other", text, (), key=key, mend='give at most "1:8"')
