"""The checks of walls: full-height studs beside openings, and how long a wall is sheeted and whole.

wall_checks(paths) -> checks
braced_lengths(building) -> of each sheeted wall what it is asked and what it has

Prescriptive rules of the IRC for one storey under a roof, no calculation: continuous sheathing
(CS-WSP) on all of a wall, above and below its openings too.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from pikepole_export.derive.strength.check import Check, Measured, Number, Rule
from pikepole_export.derive.strength.descent import paths_of
from pikepole_export.derive.strength.frame import Member
from pikepole_export.derive.strength.members import Found
from pikepole_export.derive.strength.paths import Paths
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.panels import Line, braced_lines
from pikepole_model.scene.openings import Opening
from pikepole_model.units import FOOT_MM, MPH_M_S

# Braced length, ft, by wind, mph, and distance between braced lines, ft: exposure B, 30 ft of roof
# height, 10 ft walls, two lines. Source: IRC 2018 Table R602.10.3(1), CS-WSP (120 mph as read, the
# others from memory).
_SPACING_FT = (10.0, 20.0, 40.0, 60.0)
_BRACED_FT = {
    110.0: (2.0, 3.0),
    115.0: (2.0, 3.5),
    120.0: (2.0, 3.5, 6.5, 9.5),
}
MOST_MPH = 120.0
# Factors on it. Source: IRC 2018 Table R602.10.3(2), one storey (from memory but for the heights).
_EXPOSURE = {"B": 1.0, "C": 1.2, "D": 1.5}
_WALL_FT = ((8.0, 9.0, 10.0, 11.0, 12.0), (0.90, 0.95, 1.00, 1.05, 1.10))
_NO_GYPSUM = 1.40  # on the inside of the sheets
_ROOF_FT = ((5.0, 10.0, 15.0, 20.0), (0.70, 1.00, 1.30, 1.60))


def wall_checks(paths: Paths) -> Iterator[Found]:
    """Every check of every wall that is sheeted, and of every opening."""
    members = paths.members
    plates: dict[str, list[Part]] = {}
    for part in members.parts.values():
        if part.kind is Kind.TOP_PLATE:
            plates.setdefault(part.group, []).append(part)
    headers = members.of(Kind.HEADER)
    for header in headers:
        for check in _kings(paths, header):
            yield Found(header.name, header.name, check)
    if members.building.scene.site.wind > MOST_MPH * MPH_M_S * 1.005:
        return
    for line, openings in braced_lines(members.building):
        yield Found(line.group, line.group, _braced(paths, line, openings, plates))


def braced_lengths(building: Building) -> dict[str, tuple[float, float]]:
    """For each wall that sheets alone hold square: asked by the table, and there, mm."""
    found = (one.check for one in wall_checks(paths_of(building.fitted)))
    return {one.member: (one.demand, one.capacity) for one in found if one.rule is Rule.BRACED}


def _kings(paths: Paths, header: Member) -> Iterator[Check]:
    """Full-height studs at each end, half as many as the opening displaces."""
    members, held = paths.members, paths.held(header)
    waiting = [part for _, part in members.touching(header) if part.kind is Kind.KING]
    places: dict[str, float] = {}
    while waiting:  # and those that are nailed to them
        king = waiting.pop()
        places[king.name] = header.at(king.centre_mm)
        beside = (one for one in members.mates(king) if one.label == king.label)
        waiting += [one for one in beside if one.name not in places]
    if not places or len(held) < 2:
        return
    half = header.length_mm / 2
    count = min(sum(at < half for at in places.values()), sum(at > half for at in places.values()))
    clear_mm = held[-1].bearing.from_mm - held[0].bearing.to_mm
    spacing_mm = paths.members.building.scene.walls.spacing
    yield Check(
        member=header.name,
        rule=Rule.KINGS,
        combination=None,
        demand=math.floor(clear_mm / spacing_mm + 1e-6) / 2,
        capacity=float(count),
        measured=Measured.COUNT,
        formula="half of the studs that it displaces",
        numbers=(
            Number("l", clear_mm, Measured.LENGTH),
            Number("stud spacing", spacing_mm, Measured.LENGTH),
        ),
        clause="IRC R602.7.5 (table from memory)",
        limit="full-height studs at the end that has fewer",
    )


def _braced(
    paths: Paths, line: Line, openings: Sequence[Opening], plates: dict[str, list[Part]]
) -> Check:
    members = paths.members
    low, high = _box(plates[line.group])
    axis = 0 if line.name in ("front", "back") else 1
    uprights = [
        part
        for part in members.parts.values()
        if part.group == line.group and part.kind is Kind.STUD
    ]
    height_mm = float(np.mean([part.length_mm for part in uprights])) if uprights else 8 * FOOT_MM
    middle = (low[1 - axis] + high[1 - axis]) / 2
    spacing_mm = max(abs(_middle(parts, 1 - axis) - middle) for parts in plates.values())
    sheets = [part for part in members.parts.values() if part.kind is Kind.ROOF_SHEET]
    roof_low, roof_high = _box(sheets)
    site = members.building.scene.site
    basic = table_ft(site.wind / MPH_M_S, spacing_mm / FOOT_MM) * FOOT_MM
    factors = {
        "exposure": _EXPOSURE[site.terrain],
        "wall height": float(np.interp(height_mm / FOOT_MM, *_WALL_FT)),
        "roof height": float(np.interp((roof_high[2] - roof_low[2]) / FOOT_MM, *_ROOF_FT)),
        "no gypsum board inside": _NO_GYPSUM,
    }
    whole = line.long_enough(openings)
    return Check(
        member=line.group,
        rule=Rule.BRACED,
        combination=None,
        demand=basic * math.prod(factors.values()),
        capacity=sum(whole),
        measured=Measured.LENGTH,
        formula="table length x " + " x ".join(factors),
        numbers=(
            Number("table length", basic, Measured.LENGTH),
            Number("by V, mph", site.wind / MPH_M_S, Measured.NUMBER),
            Number("and to the wall opposite", spacing_mm, Measured.LENGTH),
            *(Number(name, value, Measured.NUMBER) for name, value in factors.items()),
        ),
        clause="IRC Tables R602.10.3(1) and (2), R602.10.5, continuous sheathing, roof only",
        limit=f"whole pieces of sheeted wall that are long enough, {len(whole)} of them",
    )


def table_ft(mph: float, spacing_ft: float) -> float:
    """Braced length of the table, ft, by wind, and how far apart braced lines are.

    By the next wind of the table up; between its distances by a straight line.
    """
    row = next(lengths for wind, lengths in _BRACED_FT.items() if mph <= wind + 0.5)
    if spacing_ft > _SPACING_FT[len(row) - 1]:
        row = _BRACED_FT[MOST_MPH]
    spacing_ft = min(max(spacing_ft, _SPACING_FT[0]), _SPACING_FT[-1])
    return float(np.interp(spacing_ft, _SPACING_FT[: len(row)], row))


def _box(parts: list[Part]) -> tuple[list[float], list[float]]:
    lows, highs = zip(*(part.bounds_mm for part in parts), strict=True)
    return np.min(lows, axis=0).tolist(), np.max(highs, axis=0).tolist()


def _middle(parts: list[Part], axis: int) -> float:
    low, high = _box(parts)
    return (low[axis] + high[axis]) / 2
