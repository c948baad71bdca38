"""Sheathed walls that openings leave too little of to hold the building square.

panel_findings(building) -> Iterator[Finding]
sheeted_lines(building) -> Iterator[(Line, openings)]      every wall sheathed all over
braced_lines(building) -> Iterator[(Line, openings)]       those that nothing else holds square
least_panel_mm(height_mm, opening_mm) -> float

The rule is one for houses, for walls sheathed all over, of up to 12 ft.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.errors import Finding
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.openings import Opening
from pikepole_model.scene.types import ROUND, Wall
from pikepole_model.scene.walls import SheetedWall
from pikepole_model.units import FOOT_MM, INCH_MM, format_length

# Least length of a panel, in, in walls 8, 9, 10, 11 and 12 ft high, beside an opening so high, in.
# Source: IRC 2018 Table R602.10.5, method CS-WSP; between heights of walls interpolated as its note
# allows (from memory).
HEIGHTS_FT = (8, 9, 10, 11, 12)
PANELS_IN: dict[int, tuple[float, ...]] = {
    64: (24, 27, 30, 33, 36),
    68: (26, 27, 30, 33, 36),
    72: (27, 27, 30, 33, 36),
    76: (30, 29, 30, 33, 36),
    80: (32, 30, 30, 33, 36),
    84: (35, 32, 32, 33, 36),
    88: (38, 35, 33, 33, 36),
    92: (43, 37, 35, 35, 36),
    96: (48, 41, 38, 36, 36),
}

# A line of up to 16 ft takes two panels, or one of 48 in; a longer one two. Source: IRC 2018
# R602.10.2.3 (from memory).
SHORT_LINE_MM = 16 * FOOT_MM
ALONE_MM = 48 * INCH_MM

# A mend makes no opening narrower than this: 2 ft, common practice, no source.
LEAST_OPENING_MM = 609.6


@dataclass(frozen=True, slots=True)
class Line:
    """A sheathed wall.

    Attributes:
        name: Which.
        long_mm: Corner to corner.
        heights_mm: Its least and its greatest, from the floor to the top of its plates.
    """

    name: Wall
    long_mm: float
    heights_mm: tuple[float, float]

    @property
    def group(self) -> str:
        """What its pieces belong to."""
        return f"{self.name} wall"

    def stretches(self, openings: Sequence[Opening]) -> list[tuple[float, float, float]]:
        """What openings leave from floor to plates: from, to, and the least it should be long, mm.

        From the wall's left end, seen from outside.
        """
        found = sorted(
            (left, left + opening.width, opening.height)
            for opening in openings
            for left in opening.lefts_mm(self.long_mm)
        )
        edges = [(-math.inf, 0.0, 0.0), *found, (self.long_mm, math.inf, 0.0)]
        return [
            (end, start, max(least_panel_mm(high, max(one, other)) for high in self.heights_mm))
            for (_, end, one), (start, _, other) in itertools.pairwise(edges)
        ]

    def panels(self, openings: Sequence[Opening]) -> list[tuple[float, float]]:
        """How long these are, and should be at least, mm."""
        return [(end - start, least) for start, end, least in self.stretches(openings)]

    def whole(self, openings: Sequence[Opening]) -> list[tuple[float, float]]:
        """From where to where those go that are as long as they should be, mm."""
        return [
            (start, end)
            for start, end, least in self.stretches(openings)
            if end - start >= least - TOLERANCE_MM
        ]

    def long_enough(self, openings: Sequence[Opening]) -> list[float]:
        """The lengths of these, mm."""
        return [end - start for start, end in self.whole(openings)]

    def is_braced(self, openings: Sequence[Opening]) -> bool:
        """Whether enough of what openings leave is long enough."""
        enough = self.long_enough(openings)
        # A long stretch holds as many panels as it has lengths of one that stands alone.
        count = sum(max(1, int((long + TOLERANCE_MM) // ALONE_MM)) for long in enough)
        is_short = self.long_mm <= SHORT_LINE_MM + TOLERANCE_MM
        alone = is_short and max(enough, default=0.0) >= ALONE_MM - TOLERANCE_MM
        return alone or count >= 2


def least_panel_mm(height_mm: float, opening_mm: float) -> float:
    """The least length of a panel beside an opening, mm.

    Args:
        height_mm: Of the wall; under 8 ft as 8 ft, over 12 ft as 12 ft.
        opening_mm: Of the higher of the two openings beside it; 0 at a corner.
    """
    row = next((in_ for in_ in PANELS_IN if opening_mm <= in_ * INCH_MM + TOLERANCE_MM), 96)
    feet = min(max(height_mm / FOOT_MM, HEIGHTS_FT[0]), HEIGHTS_FT[-1])
    low = min(int(feet) - HEIGHTS_FT[0], len(HEIGHTS_FT) - 2)
    least = PANELS_IN[row]
    share = feet - HEIGHTS_FT[low]
    return INCH_MM * (least[low] + share * (least[low + 1] - least[low]))


def sheeted_lines(building: Building) -> Iterator[tuple[Line, list[Opening]]]:
    """The walls that are sheathed from floor to roof, each with its openings."""
    scene = building.scene
    if scene.posts:
        return
    for name in ROUND:
        kind = scene.walls.kind_of(name)
        if isinstance(kind, SheetedWall) and not kind.height:
            line = _line(building, name)
            if line:
                yield line, [one for one in scene.opening if one.wall == name]


def braced_lines(building: Building) -> Iterator[tuple[Line, list[Opening]]]:
    """Those of them that nothing else holds square."""
    elsewhere = building.scene.walls.braced_elsewhere
    return (one for one in sheeted_lines(building) if one[0].name not in elsewhere)


def panel_findings(building: Building) -> Iterator[Finding]:
    """Sheathed walls without panels enough, but for those that the scene says are braced otherwise.

    Source: IRC 2018 R602.10 (from memory).
    """
    units = building.scene.units
    for line, openings in braced_lines(building):
        name = line.name
        if not openings or line.is_braced(openings):
            continue
        long, least = max(line.panels(openings), key=lambda panel: panel[0] - panel[1])
        is_short = line.long_mm <= SHORT_LINE_MM + TOLERANCE_MM
        alone = f", or {format_length(ALONE_MM, units)} in one," if is_short else ""
        names = tuple(
            part.name for part in building.parts if part.group == f"{line.group} sheathing"
        )
        text = (
            f"does not name the {name} wall, and its openings leave no two panels that hold it "
            f"square: {format_length(long, units, 'down')} of sheathing from floor to plates, and "
            f"{format_length(least, units, 'up')} twice{alone} are asked for by the rule for "
            "houses (IRC R602.10.5); a portal frame, or a wall inside, is braced elsewhere"
        )
        yield Finding(
            "other",
            text,
            names,
            key="walls.braced_elsewhere",
            mend=_mend(building, line, openings),
        )


def _line(building: Building, name: Wall) -> Line | None:
    """A wall by its plates; None where none of them stand."""
    scene = building.scene
    plates = {
        kind: [
            part.vertices_mm[:, 2]
            for part in building.parts
            if part.kind == kind and part.label.startswith(f"{name} wall ")
        ]
        for kind in (Kind.BOTTOM_PLATE, Kind.TOP_PLATE)
    }
    if not all(plates.values()):
        return None
    floor = min(float(z.min()) for z in plates[Kind.BOTTOM_PLATE])
    low = min(float(z.min()) for z in plates[Kind.TOP_PLATE])
    high = max(float(z.max()) for z in plates[Kind.TOP_PLATE])
    long = scene.building.length if name in ("front", "back") else scene.building.depth
    # Two plates lie on one another at the lower end.
    thick = 2 * scene.lumber_stock(scene.walls.stud).breadth_mm
    return Line(name, long, (low + thick - floor, high - floor))


def _mend(building: Building, line: Line, openings: Sequence[Opening]) -> str:
    """An opening that is narrow enough, where one is; or that something else braces the wall."""
    scene = building.scene
    named = ", ".join(f'"{name}"' for name in (*scene.walls.braced_elsewhere, line.name))
    elsewhere = f"give [{named}]"
    for opening in sorted(openings, key=lambda one: -one.width):
        rest = [one for one in openings if one is not opening]
        width = math.floor(opening.width / INCH_MM) * INCH_MM
        while width >= LEAST_OPENING_MM:
            narrow = opening.model_copy(update={"width": width})
            if line.is_braced([*rest, narrow]):
                number = scene.opening.index(opening) + 1
                given = format_length(width, scene.units, "down")
                return f"give opening[{number}].width {given}, or {elsewhere}"
            width -= INCH_MM
    return elsewhere
