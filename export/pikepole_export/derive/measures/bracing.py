"""What holds a sheathed wall square where its sheets alone are not counted on.

bracing_words(building, groups) -> Iterator[str]

It is told where the wall is framed: a portal frame has a header and posts of its own.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from pikepole_model.building.part import Building
from pikepole_model.checks.panels import sheeted_lines

TOO_LITTLE = "its openings leave too little sheathing to hold it square"
ELSEWHERE = "as the scene says, its sheathing does not hold it square"
WANTED = "settle first on a portal frame (IRC R602.10.6) or a wall inside: not drawn"


def bracing_words(building: Building, groups: Collection[str]) -> Iterator[str]:
    """Of each such wall: why, and what it wants.

    Args:
        building: That it belongs to.
        groups: What pieces belong to that are framed.
    """
    elsewhere = building.scene.walls.braced_elsewhere
    for line, openings in sheeted_lines(building):
        short = bool(openings) and not line.is_braced(openings)
        if line.group in groups and (short or line.name in elsewhere):
            yield f"{line.group}: {TOO_LITTLE if short else ELSEWHERE}"
            yield WANTED
