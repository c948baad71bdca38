"""A building's strength, all together: checks, what was taken for granted, what was not looked at.

strength_of(building) -> Strength
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from pikepole_export.derive.strength.anchors import anchor_checks
from pikepole_export.derive.strength.check import Check, Rating, Rule, Worked
from pikepole_export.derive.strength.climate import Assumed, assumptions
from pikepole_export.derive.strength.descent import paths_of
from pikepole_export.derive.strength.fixings import Joints
from pikepole_export.derive.strength.ground import ground_checks
from pikepole_export.derive.strength.hold_downs import hold_down_checks
from pikepole_export.derive.strength.holding import holding_checks
from pikepole_export.derive.strength.members import Found, Woods, basis_of, lying_checks
from pikepole_export.derive.strength.paths import Paths
from pikepole_export.derive.strength.posts import post_checks
from pikepole_export.derive.strength.side_sway import side_sway_checks
from pikepole_export.derive.strength.stability import stability_checks
from pikepole_export.derive.strength.standing import standing_checks
from pikepole_export.derive.strength.sway import brace_checks
from pikepole_export.derive.strength.ties import tie_checks
from pikepole_export.derive.strength.walls import MOST_MPH, wall_checks
from pikepole_export.derive.strength.worked_loads import worked_loads
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.units import MPH_M_S, Units

# In no check, whatever the scene.
NOT_LOOKED_AT = (
    "Fastenings, but those of rafter ties and where wind draws at rafters, walls and posts.",
    "Straps, angles and hangers.",
    "What holds anchors and bolts in concrete or soil.",
    "Sliding and tipping of what stands on posts alone.",
    "Walls as bracing but by their length and the pull at their ends, where they are sheeted.",
    "What ties a bay to its store along beams and rafters.",
    "Plates, sills, ledgers, rims, sheets, boards, stairs and ladders.",
    "Holes, and notches but those of rafters at their ends.",
    "Snow that slides; what is stored or hung; earthquakes.",
    "Walls that people or machines hold until they are braced, but by the lift plan.",
    "Slabs, skids as beams on their beds; the soil itself, and frost where it is not given.",
)
DEFERS = (
    "This is arithmetic on a model, by rules named with it. Your building department's figures "
    "and rules come first; have a licensed engineer look at what carries people or snow."
)


@dataclass(frozen=True, slots=True)
class Strength:
    """What was found of a building's strength.

    Attributes:
        checks: The worst of every rule for each sort of member, the worst first.
        assumed: What was taken for granted.
        left_out: What was not looked at, each a sentence.
        loads: Where the site's loads come from.
        ratios: The highest ratio of each piece that loads work on, by its name.
    """

    checks: tuple[Check, ...]
    assumed: tuple[Assumed, ...]
    left_out: tuple[str, ...]
    loads: tuple[Worked, ...]
    ratios: Mapping[str, float]


def strength_of(building: Building, units: Units | None = None) -> Strength:
    """All checks of what stands in the end."""
    building = building.fitted
    paths, woods = paths_of(building), Woods(building)
    ratios: dict[str, float] = {}
    pieces = {part.name: (part,) for part in paths.members.parts.values()}
    pieces |= {member.name: member.wooden for member in paths.members.every}
    every = list(_all(paths, woods))
    for found in every:
        for part in pieces.get(found.member, ()) if found.check.is_worked else ():
            ratios[part.name] = max(found.check.ratio, ratios.get(part.name, 0.0))
    return Strength(
        tuple(_with_bases(worst_of(every), every, paths, woods)),
        tuple(assumptions(building, units or building.scene.units)),
        (*_unknown(paths, woods), *NOT_LOOKED_AT),
        tuple(worked_loads(paths)),
        ratios,
    )


def _with_bases(
    checks: Iterable[Check], every: Iterable[Found], paths: Paths, woods: Woods
) -> Iterator[Check]:
    """Each with what its member is checked with, also where another of its sort had it."""
    bases = {one.check.member: one.check.basis for one in every if one.check.basis}
    lying = {member.name: member for member in paths.members.every}
    for check in checks:
        basis = check.basis or bases.get(check.member)
        if basis is None and check.member in lying:
            basis = basis_of(paths, lying[check.member], woods)
        yield replace(check, basis=basis)


def worst_of(every: Iterable[Found]) -> list[Check]:
    """The worst of every rule for each sort of member, the worst first.

    Its rating is what does for all of the sort.
    """
    worst: dict[tuple[str, Rule], Check] = {}
    ratings: dict[tuple[str, Rule], list[Rating]] = {}
    counts: dict[tuple[str, Rule], set[str]] = {}
    for found in every:
        check, key = found.check, (found.label, found.check.rule)
        counts.setdefault(key, set()).add(found.member)
        ratings.setdefault(key, []).extend([check.rating] if check.rating else [])
        if key not in worst or _is_worse(check, worst[key]):
            worst[key] = check
    checks = [
        replace(
            check,
            of=len(counts[key]),
            sort=key[0],
            rating=check.rating and max(ratings[key], key=lambda one: one.least_n),
        )
        for key, check in worst.items()
    ]
    return sorted(checks, key=lambda one: -one.ratio)


def _is_worse(one: Check, other: Check) -> bool:
    """By more than rounding; of two that nothing counts for, what is asked more of."""
    if math.isinf(one.ratio) and math.isinf(other.ratio):
        return one.demand > other.demand * (1 + 1e-9)
    return one.ratio > other.ratio * (1 + 1e-9)


def _all(paths: Paths, woods: Woods) -> Iterator[Found]:
    yield from lying_checks(paths, woods)
    yield from standing_checks(paths, woods)
    yield from wall_checks(paths)
    joints = Joints(paths.members.building)
    yield from tie_checks(paths, woods, joints)
    yield from holding_checks(paths, woods, joints)
    yield from hold_down_checks(paths, woods, joints)
    yield from post_checks(paths, woods, joints)
    yield from brace_checks(paths, woods, joints)
    yield from side_sway_checks(paths)
    yield from anchor_checks(paths, woods)
    yield from stability_checks(paths, woods)
    yield from ground_checks(paths)


def _unknown(paths: Paths, woods: Woods) -> Iterator[str]:
    building = paths.members.building
    for name, reason in paths.lost.items():
        yield f"{name}: {reason}."
    for wall in building.scene.walls.braced_elsewhere:
        yield f"The {wall} wall as bracing: the scene says that something else holds it square."
    slanted = (part.group for part in building.parts if part.kind is Kind.LET_IN_BRACE)
    for group in dict.fromkeys(slanted):
        yield (
            f"The {group} as bracing: let-in braces count with gypsum board alone (IRC R602.10.4)."
        )
    if building.scene.site.wind > MOST_MPH * MPH_M_S * 1.005:
        yield f"Braced length of walls: the table ends at {MOST_MPH:g} mph of wind."
    species = dict.fromkeys(
        member.first.material.name
        for member in paths.members.every
        if woods.lumber(member.first, member.section) is None
    )
    for name in species:
        yield f"All of {name}: no design values are known for its species and grade."
