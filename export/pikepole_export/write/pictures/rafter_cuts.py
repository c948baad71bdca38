"""How the rafters of a stage are cut, in a line for each kind: as their drawings have it.

rafter_cuts(building) -> {stage: lines}
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from pikepole_export.derive.measures.features import Feature
from pikepole_export.derive.measures.templates import Template, templates
from pikepole_export.graphics.lettering import NO_BREAK
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.units import Units, format_length, plural

RAFTERS = {Kind.RAFTER, Kind.END_RAFTER, Kind.FLY_RAFTER}
# What is sawn across at an end and set out by its angle; a level one goes with the tail's plumb.
ANGLED = ("plumb cut", "bevel cut")
MOST = 4  # kinds: what few are cut to stands on their drawings


def rafter_cuts(building: Building) -> dict[int, list[str]]:
    """For each stage that puts up rafters: along the top edge, cuts at the ends, birdsmouths.

    Angles are off square; a birdsmouth is told by its seat and its heel, the upper one first, and
    by where the plumb line of its heel crosses the top edge, from that edge's upper end.
    """
    stages = {part.name: part.stage for part in building.parts if part.kind in RAFTERS}
    found: dict[int, list[tuple[int, str]]] = defaultdict(list)
    for template in templates(building):
        counts: dict[int, int] = defaultdict(int)
        for name in template.names:
            if name in stages:
                counts[stages[name]] += 1
        for stage, count in counts.items():
            found[stage].append((count, _line(template, count, building.scene.units)))
    told: dict[int, list[str]] = {}
    for stage, own in found.items():
        own.sort(key=lambda line: -line[0])
        more = len(own[MOST:])
        told[stage] = [
            *(text for _, text in own[:MOST]),
            *([f"and {plural(more, 'more kind')}, on their drawings"] if more else []),
        ]
    return told


def _line(template: Template, count: int, units: Units) -> str:
    """One kind: "17 rafters, 2x8: 11' 4"; plumb 14.0°; birdsmouth 3-1/2" x 7/8" at 1' 4"."""

    def tape(mm: float) -> str:
        return format_length(mm, units).replace(" ", NO_BREAK)

    start, end = template.top_edge
    # Those of one size together.
    mouths: dict[str, list[str]] = defaultdict(list)
    for mouth in (one.birdsmouth for one in template.features if one.birdsmouth):
        size = f"{tape(mouth.seat_mm)}{NO_BREAK}x{NO_BREAK}{tape(mouth.heel_mm)}"
        mouths[size].append(tape(mouth.mark_mm))
    called = "birdsmouth" if sum(map(len, mouths.values())) == 1 else "birdsmouths"
    sizes = (f"{size} at{NO_BREAK}{' and '.join(at)}" for size, at in mouths.items())
    told = (
        tape(end - start),
        *dict.fromkeys(text for one in template.features for text in _angles(one)),
        *([f"{called} {', '.join(sizes)}"] if mouths else []),
    )
    return f"{plural(count, template.kind)}, {template.stock}: {'; '.join(told)}"


def _angles(feature: Feature) -> Iterator[str]:
    """The cuts at an end, off square."""
    for cut in feature.cuts:
        if cut.name in ANGLED and not feature.birdsmouth:
            angle = cut.angle_deg if cut.off == "square" else 90 - cut.angle_deg
            yield f"{cut.name.removesuffix(' cut')}{NO_BREAK}{angle:.1f}°"
