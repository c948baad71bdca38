"""Whether there is a way into a store that is closed all round."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from pikepole_model.building.part import Building
from pikepole_model.checks.doors import RAILED_RISES, step_up_mm
from pikepole_model.errors import Finding, either, more
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.openings import Opening
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.steps import MOST_RISE_MM
from pikepole_model.scene.types import ROUND, AnyWall
from pikepole_model.scene.walls import BracedWall, OpenWall
from pikepole_model.units import INCH_MM, Units

# What a person gets through: 20 in wide, 24 in high and over no more than 44 in. Source: IRC
# R310.2, of openings to get out by (from memory).
LEAST_WIDE_MM, LEAST_HIGH_MM, MOST_OVER_MM = 20 * INCH_MM, 24 * INCH_MM, 44 * INCH_MM

# Width and height of doors that are tried: 3 ft by 6 ft 8 in is usual, lower and narrower ones are
# for small stores. Common practice, no source.
_SIZES: dict[Units, tuple[tuple[str, str], ...]] = {
    "imperial": (("36 in", "80 in"), ("30 in", "72 in"), ("30 in", "60 in"), ("22 in", "48 in")),
    "metric": (
        ("900 mm", "2000 mm"),
        ("750 mm", "1800 mm"),
        ("750 mm", "1500 mm"),
        ("550 mm", "1200 mm"),
    ),
}
_PLACES: dict[Units, tuple[str, ...]] = {
    "imperial": ('at = "middle"', 'from_left = "12 in"'),
    "metric": ('at = "middle"', 'from_left = "300 mm"'),
}


def entry_findings(building: Building) -> Iterator[Finding]:
    """A room with walls all round, in none of which is a door, or what else one gets in by.

    Common practice, no source.
    """
    scene = building.scene
    if scene.posts or any(_is_open(scene, wall) for wall in ROUND):
        return
    if any(_lets_in(opening) for opening in scene.opening if opening.wall in ROUND):
        return
    text = "leaves no way into the room: there is no door or doorway in its walls, nor an open side"
    yield Finding("other", text, (), key="opening", mend=_doors(building), tries=(more("opening"),))


def _is_open(scene: Scene, wall: AnyWall) -> bool:
    """Whether one gets in through or over a wall itself: an open, a low or a bare one."""
    kind = scene.walls.kind_of(wall)
    if isinstance(kind, OpenWall) or (kind.height is not None and kind.height <= MOST_OVER_MM):
        return True
    is_clad = any(wall in table.walls for table in scene.cladding)
    return isinstance(kind, BracedWall) and not is_clad


def _lets_in(opening: Opening) -> bool:
    """Whether a person gets in by it: a door, a doorway, or a large opening without a window."""
    return (
        opening.window is None
        and opening.width >= LEAST_WIDE_MM
        and opening.height >= LEAST_HIGH_MM
        and (opening.sill or 0.0) <= MOST_OVER_MM
    )


def _doors(building: Building) -> str:
    """Doorways to try one after another, with steps where the floor is too high to step up to."""
    units, ways = building.scene.units, []
    for (wide, high), wall, place in itertools.product(_SIZES[units], ROUND, _PLACES[units]):
        rises = math.ceil(step_up_mm(building, wall) / MOST_RISE_MM - TOLERANCE_MM)
        keys = ['name = "door"', 'kind = "door"', f'wall = "{wall}"', place]
        keys += [f'width = "{wide}"', f'height = "{high}"']
        if rises > 1:
            # What takes a handrail is not laid out: something else leads up.
            keys.append(f'steps = {{ kind = "{"none" if rises >= RAILED_RISES else "steps"}" }}')
        ways.append(f"add the table [[opening]] with {', '.join(keys)}")
    return either(*ways, 'add the table [[opening]] of kind "door"')
