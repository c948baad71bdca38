"""The checks of what stands on the ground: footings, piers and skids, and what holds posts down.

ground_checks(paths) -> checks
"""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.strength.check import Check, Measured, Number, Rule
from pikepole_export.derive.strength.combinations import UPLIFT, Combination, Load, acting
from pikepole_export.derive.strength.members import Found
from pikepole_export.derive.strength.paths import Loads, Paths
from pikepole_export.derive.strength.roofs import KN_M2
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part
from pikepole_model.units import INCH_MM, STANDARD_GRAVITY_M_S2

_LEAST_DEPTH_MM = 12 * INCH_MM  # below undisturbed ground. Source: IRC R403.1.4


def ground_checks(paths: Paths) -> Iterator[Found]:
    """Every check of what stands on the ground."""
    for part in paths.members.parts.values():
        if part.kind is Kind.POST and paths.carried(part):
            footing = _footing_of(paths, part)
            if footing is not None:
                for check in _footing(paths, part, footing):
                    yield Found(part.label or part.name, part.name, check)
        elif part.kind is Kind.PIER and paths.carried(part):
            low, high = part.bounds_mm
            area_mm2 = (high[0] - low[0]) * (high[1] - low[1])
            check = _soil(paths, part, paths.carried(part), area_mm2, weight_n=_weight(part))
            yield Found(part.label, part.name, check)
    for skid in paths.members.of(Kind.SKID):
        carried = {
            load: sum(one.force_n for one in forces) for load, forces in paths.loads(skid).items()
        }
        area_mm2 = skid.length_mm * skid.section.breadth_mm
        yield Found(skid.first.label, skid.name, _soil(paths, skid.first, carried, area_mm2))


def _footing_of(paths: Paths, post: Part) -> Part | None:
    """What a post stands on, through its base; None where that is a slab or nothing known."""
    found = paths.members.mates(post)
    bases = [one for one in found if one.kind is Kind.POST_BASE]
    found += [mate for base in bases for mate in paths.members.mates(base)]
    return next((one for one in found if one.kind in (Kind.FOOTING, Kind.PIER)), None)


def _footing(paths: Paths, post: Part, footing: Part) -> Iterator[Check]:
    low, high = footing.bounds_mm
    weight = _weight(footing) + _weight(post)
    carried = paths.carried(post)
    area_mm2 = footing.volume_mm3 / (high[2] - low[2])
    yield _soil(paths, post, carried, area_mm2, weight_n=weight)
    frost = paths.climate.site.frost
    if frost is not None:
        yield Check(
            member=post.name,
            rule=Rule.DEPTH,
            combination=None,
            demand=max(frost, _LEAST_DEPTH_MM),
            capacity=max(0.0, -low[2]),
            measured=Measured.LENGTH,
            formula="depth of frost given, 12 in at least",
            numbers=(),
            clause="IRC R403.1.4",
            limit="its footing's foot below the ground",
        )
    net = -UPLIFT.of(carried)
    if net > 0:
        yield Check(
            member=post.name,
            rule=Rule.UPLIFT,
            combination=UPLIFT,
            demand=net,
            capacity=0.6 * weight,
            measured=Measured.FORCE,
            formula="0.6 Wu - 0.6 D",
            numbers=(
                Number("Wu", -carried.get(Load.UPLIFT, 0.0), Measured.FORCE),
                Number("D", carried.get(Load.DEAD, 0.0), Measured.FORCE),
                Number("G", weight, Measured.FORCE),
            ),
            clause="ASCE 7-16 C2.4.1",
            limit="0.6 G, of footing and post; the soil about them is not counted",
        )


def _soil(
    paths: Paths, part: Part, carried: Loads, area_mm2: float, *, weight_n: float = 0.0
) -> Check:
    """Of what is carried; with a weight that is not in that, its own."""
    dead_n = carried.get(Load.DEAD, 0.0) + weight_n

    def pressed(combination: Combination) -> float:
        return combination.of({**carried, Load.DEAD: dead_n})

    worst = max(acting(frozenset(carried)), key=pressed)
    return Check(
        member=part.name,
        rule=Rule.SOIL,
        combination=worst,
        demand=pressed(worst) / area_mm2 / KN_M2,
        capacity=paths.climate.site.soil,
        measured=Measured.LOAD,
        formula="P / A, P " + ("with its own weight G" if weight_n else "with its own weight in D"),
        numbers=(
            Number("P", pressed(worst), Measured.FORCE),
            *(
                Number(load.value, carried.get(load, 0.0), Measured.FORCE)
                for load, _ in worst.shares
            ),
            *([Number("G", weight_n, Measured.FORCE)] if weight_n else []),
            Number("A", area_mm2, Measured.AREA),
        ),
        clause="IRC R401.4.1",
        limit="bearing of the soil, given or assumed",
    )


def _weight(part: Part) -> float:
    return part_mass(part).likely_kg * STANDARD_GRAVITY_M_S2
