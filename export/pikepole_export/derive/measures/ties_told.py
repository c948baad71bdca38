"""Where straps and rafter tie-downs go.

tie_words(building, stage) -> what is said
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from pikepole_export.derive.measures.layouts import ROOF_FRAME, seen_from_outside, wall_layout
from pikepole_export.derive.measures.openings import floor_called, floor_top_mm
from pikepole_export.derive.measures.projection import way_of
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part, Stage
from pikepole_model.units import Units, format_length, listed

ALONG = 0.99  # the cosine of what lies along something
BEARINGS = {Kind.BEAM, Kind.TOP_PLATE, Kind.LEDGER}


def tie_words(building: Building, stage: Stage) -> list[str]:
    """Which rafters have a tie-down on what, and where along each wall and how high straps are.

    Args:
        building: That it belongs to.
        stage: The stage.
    """
    names, finished = {part.name for part in stage.parts}, building.finished
    own = [part for part in finished.parts if part.name in names]
    return [
        *_tie_downs([part for part in own if part.kind is Kind.TIE_DOWN], building),
        *_straps([part for part in own if part.kind is Kind.STRAP], finished),
    ]


def _tie_downs(ties: Sequence[Part], building: Building) -> Iterator[str]:
    """On what each rafter that lies there is tied down, and on what only some are."""
    parts = {part.name: part for part in building.parts}
    tied: dict[str, set[str]] = defaultdict(set)
    for tie in ties:
        mates = [parts[name] for name in building.mates[tie.name]]
        rafters = {part.name for part in mates if part.kind in ROOF_FRAME}
        for bearing in {_bearing(part) for part in mates if part.kind in BEARINGS}:
            tied[bearing] |= rafters
    lie: dict[str, set[str]] = defaultdict(set)
    for part in building.parts:
        if part.kind in BEARINGS and _bearing(part) in tied:
            lie[_bearing(part)] |= {
                name for name in building.mates[part.name] if parts[name].kind in ROOF_FRAME
            }
    alike: dict[str, list[str]] = defaultdict(list)
    for bearing, rafters in sorted(tied.items()):
        alike[_which(lie[bearing] - rafters, len(rafters), parts, building)].append(bearing)
    for which, bearings in alike.items():
        yield f"rafter tie-downs on the {listed(bearings)}: one at {which}"


def _which(free: set[str], tied: int, parts: Mapping[str, Part], building: Building) -> str:
    """Which rafters are tied down, told by those that lie there and are not."""
    if not free:
        return "each rafter"
    along = all(
        any(_runs_along(parts[name], parts[mate]) for mate in building.mates[name]) for name in free
    )
    if along:
        return f"each rafter but the {len(free)} along raked plates"
    return f"{tied} of {tied + len(free)} rafters"


def _runs_along(rafter: Part, plate: Part) -> bool:
    if plate.kind is not Kind.TOP_PLATE:
        return False
    return abs(float(np.dot(way_of(rafter), way_of(plate)))) > ALONG


def _bearing(part: Part) -> str:
    """What rafters lie on: "back beam", "front wall"."""
    return part.label if part.kind is Kind.LEDGER else part.group


def _straps(straps: Sequence[Part], building: Building) -> Iterator[str]:
    """Their middles along each wall, by the tape that its studs are laid out with, and ends."""
    units: Units = building.scene.units
    walls: dict[str, list[Part]] = defaultdict(list)
    for strap in straps:
        walls[strap.label.removesuffix(" strap")].append(strap)
    for wall, own in walls.items():
        frame = [part for part in building.parts if part.group == wall]
        layout = wall_layout(frame, building.parts)
        right, out = seen_from_outside(frame, building.parts)
        ends = np.concatenate([part.vertices_mm for part in frame]) @ right
        start = layout.zero[0] if layout else float(ends.min())
        outwards = np.mean([np.array(strap.centre_mm) for strap in own], axis=0) @ out
        plates = [part for part in frame if part.kind is Kind.TOP_PLATE]
        middle = np.mean([np.array(part.centre_mm) for part in plates], axis=0) @ out
        face = "outer" if outwards > middle else "inner"
        floor_mm, over = floor_top_mm(building), floor_called(building)
        at: dict[str, list[float]] = defaultdict(list)
        for strap in own:
            foot, top = (strap.bounds_mm[end][2] - floor_mm for end in (0, 1))
            high = f"to {format_length(top, units)} over the {over}"
            below = " below" if foot < 0 else ""
            between = f"from {format_length(abs(foot), units)}{below} {high}"
            at[between].append(float(np.array(strap.centre_mm) @ right) - start)
        for between, middles in at.items():
            told = ", ".join(_along(mm, units) for mm in sorted(middles))
            yield (
                f"{wall} straps, {face} face, {between}, middles from the left end seen from "
                f"outside: {told}"
            )


def _along(mm: float, units: Units) -> str:
    """A mark on a tape, or how far before its start."""
    return f"{format_length(abs(mm), units)}{' before it' if mm < 0 else ''}"
