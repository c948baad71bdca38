"""What leads up to doors, and what one steps on: floors too high, no rail, steep ramps, sills."""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import Finding, key_text, more
from pikepole_model.geometry.spacing import TOLERANCE_MM, without
from pikepole_model.scene.openings import Opening
from pikepole_model.scene.steps import MOST_RISE_MM, STEEPEST_DEG, Ramp, Steps
from pikepole_model.scene.types import AnyWall
from pikepole_model.units import format_length

# Between a threshold and what carries it lies a membrane, no thicker than this; what it touches by
# less than that in plan stands beside it.
_THICKEST_MM, _ASIDE_MM = 6.0, 1.0

# A flight of so many rises has a handrail. Source: IRC R311.7.8, for houses (from memory).
RAILED_RISES = 4


def door_findings(building: Building) -> Iterator[Finding]:
    """Doors that nothing leads up to, and what leads up to them too steeply or without a rail."""
    for number, opening in enumerate(building.scene.opening, start=1):
        key, says = f"opening[{number}].steps", opening.steps
        if isinstance(says, Steps | Ramp) and says.width:
            yield from _too_narrow(building, opening, says.width, f"{key}.width")
        if opening.kind == "door" and says is None:
            yield from _too_high(building, opening, f"{key}.kind")
        elif isinstance(says, Steps):
            yield from _without_a_rail(building, opening, f"{key}.kind")
        elif isinstance(says, Ramp) and says.slope > STEEPEST_DEG + 1e-6:
            text = (
                f'makes the ramp to "{opening.name}" steeper than 1:8, the most there is (IRC '
                "R311.8.1, for houses)"
            )
            yield Finding("other", text, (), key=f"{key}.slope", mend='give at most "1:8"')
        yield from _on_too_little(building, opening, number - 1)


def _on_too_little(building: Building, opening: Opening, k: int) -> Iterator[Finding]:
    """Thresholds that hang out over what carries them by more than they lie on it.

    Who steps on the nose tips or splits such a board. Common practice, no source.
    """
    bare: dict[str, float] = {}
    for part in _thresholds(building, opening):
        low, high = part.bounds_mm
        axis = 0 if high[0] - low[0] < high[1] - low[1] else 1
        wide = low[axis], high[axis]
        over = sum(end - start for start, end in without(wide, _under(building, part, axis)))
        if over > (wide[1] - wide[0]) / 2 + TOLERANCE_MM:
            bare[part.name] = wide[1] - wide[0] - over
    if bare:
        units, lies = building.scene.units, min(bare.values())
        text = (
            f"is a board of which {format_length(lies, units)} lies on the floor at "
            f'"{opening.name}", less than half: it splits under who steps on its nose'
        )
        path = ("opening", k, "door", "threshold")
        yield Finding("other", text, tuple(bare), key=key_text(path), tries=(more(*path),))


def _thresholds(building: Building, opening: Opening) -> tuple[Part, ...]:
    labels = {f"{one.name} {Kind.THRESHOLD}" for one in opening.row()}
    return tuple(part for part in building.parts if part.label in labels)


def _under(building: Building, threshold: Part, axis: int) -> list[tuple[float, float]]:
    """From and to along an axis of all that a threshold lies on, through its membrane, mm."""
    foot = threshold.bounds_mm[0][2]
    inner = shapely.box(*threshold.bounds_mm[0][:2], *threshold.bounds_mm[1][:2]).buffer(-_ASIDE_MM)
    return [
        (low[axis], high[axis])
        for part in building.parts
        if part.kind.family is not Family.MEMBRANES
        for low, high in (part.bounds_mm,)
        if -_ASIDE_MM < foot - high[2] < _THICKEST_MM
        and inner.intersects(shapely.box(*low[:2], *high[:2]))
    ]


def _too_narrow(building: Building, opening: Opening, wide: float, key: str) -> Iterator[Finding]:
    """Steps or a ramp narrower than the door that they lead up to. Source: IRC R311.3."""
    if wide < opening.width - TOLERANCE_MM:
        units = building.scene.units
        text = (
            f'is {format_length(wide, units)}, and "{opening.name}" is wider: a landing is as wide '
            "as its door (IRC R311.3, for houses)"
        )
        mend = f"give at least {format_length(opening.width, units, 'up')}"
        yield Finding("other", text, (), key=key, mend=mend)


def step_up_mm(building: Building, wall: AnyWall, thresholds: tuple[Part, ...] = ()) -> float:
    """From the ground or a bay's slab before a wall up to the floor, mm.

    Args:
        building: The building.
        wall: The wall.
        thresholds: What lies on the floor there, and is stepped on.
    """
    floor = ground = 0.0
    for part in building.parts:
        if part.kind == Kind.BOTTOM_PLATE and part.group == f"{wall} wall":
            floor = part.bounds_mm[0][2]
        elif part.kind == Kind.SLAB and part.name.startswith(f"{wall} bay"):
            ground = part.bounds_mm[1][2]
    return max([floor, *(part.bounds_mm[1][2] for part in thresholds)]) - ground


def _too_high(building: Building, opening: Opening, key: str) -> Iterator[Finding]:
    """A door to which one steps up higher than a rise may be, from the ground or a bay's slab.

    Up to the top of its threshold, where it has one (IRC R311.3.1).
    """
    units, thresholds = building.scene.units, _thresholds(building, opening)
    high = step_up_mm(building, opening.wall, thresholds)
    what = "threshold of" if thresholds else "floor at"
    if high > MOST_RISE_MM + TOLERANCE_MM:
        up, most = format_length(high, units), format_length(MOST_RISE_MM, units, "down")
        text = (
            f'is not given, and the {what} "{opening.name}" is {up} up: more than {most} is no '
            'step (IRC R311.3.2, for houses; "none" says that something else leads up)'
        )
        yield Finding("other", text, (), key=key, mend='give "steps" or "ramp"')


def _without_a_rail(building: Building, opening: Opening, key: str) -> Iterator[Finding]:
    for one in opening.row():
        label = f"{one.name} {Kind.STEP_TREAD}"
        treads = tuple(part for part in building.parts if part.label == label)
        rises = 1 + len({round(part.bounds_mm[1][2]) for part in treads})
        if rises >= RAILED_RISES:
            text = (
                f'leads up to "{one.name}" in {rises} rises, and from {RAILED_RISES} on a flight '
                "has a handrail (IRC R311.7.8, for houses), which is not laid out"
            )
            names = tuple(part.name for part in treads)
            yield Finding("other", text, names, key=key, mend='give "ramp" or "none"')
            return
