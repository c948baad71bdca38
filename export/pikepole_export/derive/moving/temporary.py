"""What stands or hangs for a while: walls on their braces, and the building on its way.

temporary_checks(building) -> checks

The forces are those of the lift plan and of the move; they are held against the same values as the
building that stands.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pikepole_export.derive.lifting.bracing import (
    BRACE_DEG,
    NAIL_N,
    SLENDEREST,
    Bracing,
    brace_lumber,
    braces,
    landings,
    pressed_along,
)
from pikepole_export.derive.lifting.items import items
from pikepole_export.derive.lifting.validation import LiftError
from pikepole_export.derive.lifting.wind import Work, stop_speed
from pikepole_export.derive.moving.beams import CarryingBeam
from pikepole_export.derive.moving.bending import MemberBending
from pikepole_export.derive.moving.carried import Impact
from pikepole_export.derive.moving.design_values import Stress, Stressed
from pikepole_export.derive.moving.plan import MovePlan, plan_own_move
from pikepole_export.derive.strength.check import Check, Measured, Number, Rule
from pikepole_export.derive.strength.column import least_modulus, slenderness
from pikepole_export.derive.strength.members import Found
from pikepole_export.derive.strength.nds import Duration, Lumber
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.part import Building
from pikepole_model.units import format_number

_RULES = {
    Stress.BENDING: (Rule.BENDING, "fb = {} M / S", "NDS 3.3"),
    Stress.SHEAR: (Rule.SHEAR, "fv = {} 3 V / 2 A", "NDS 3.4.2"),
    Stress.BEARING: (Rule.BEARING, "fc-perp = {} R / A", "NDS 3.10.2"),
}


def temporary_checks(building: Building) -> Iterator[Found]:
    """Every check of braces while it goes up, and of the floor frame on the scene's own move."""
    yield from _braced(building)
    try:
        plan = plan_own_move(building)
    except LiftError:  # a finding says why
        return
    if plan is not None:
        yield from _moved(building, plan)


def _braced(building: Building) -> Iterator[Found]:
    found = items(building)
    on_frame = any(part.kind.family is Family.FLOOR_FRAME for part in building.parts)
    lands = landings(building, found)
    lumber = brace_lumber(building)
    units = building.scene.units
    speed = format_number(stop_speed(Work.WALL).speed_m_s, "speed", units)
    for item in found:
        held = braces(item, lands, on_frame=on_frame, lumber=lumber)
        if held is None:
            continue
        place = f"braced, before the rest holds it, in wind of {speed}"
        for name in item.same:
            for check in _brace(f"braces of {name}", place, held, lumber):
                yield Found(f"braces of {item.name}", name, check)


def _brace(name: str, place: str, held: Bracing, lumber: Lumber | None) -> Iterator[Check]:
    shared = (
        Number("F", held.horizontal_n, Measured.FORCE),
        Number("braces", held.braces, Measured.COUNT),
        Number("its upper end", held.fixed_at_mm, Measured.LENGTH),
        Number("shove in F", held.shove_n, Measured.FORCE),
    )
    formula = f"F / cos {BRACE_DEG:g}, F of wind on all of it, of lean and shove about its foot"
    force = Number("P", held.brace_n, Measured.FORCE)
    yield Check(
        member=name,
        rule=Rule.JOINT,
        combination=None,
        demand=held.brace_n,
        capacity=held.nails * NAIL_N,
        measured=Measured.FORCE,
        formula=formula,
        numbers=(
            *shared,
            Number("n", held.nails, Measured.COUNT),
            Number("each", NAIL_N, Measured.FORCE),
        ),
        clause="NDS Table 12N",
        limit="n x each, of the lift plan's nails at each end; nothing added for short loads",
        place=place,
    )
    if held.stakes:
        yield Check(
            member=name,
            rule=Rule.TENSION,
            combination=None,
            demand=held.brace_n,
            capacity=held.stakes * held.stake_n,
            measured=Measured.FORCE,
            formula=formula,
            numbers=(
                *shared,
                Number("n", held.stakes, Measured.COUNT),
                Number("each", held.stake_n, Measured.FORCE),
            ),
            clause="NAVEDTRA 14251, single picket",
            limit="n x each stake at its foot, in undisturbed loam",
            place=place,
        )
    if lumber is None:
        return
    may = pressed_along(lumber, held.length_mm)
    area = Number("A", lumber.section.area_mm2, Measured.AREA)
    yield Check(
        member=name,
        rule=Rule.COMPRESSION,
        combination=None,
        demand=held.brace_n / area.value,
        capacity=may.value_n_mm2,
        measured=Measured.STRESS,
        formula="fc = P / A",
        numbers=(force, area, least_modulus(lumber, Duration.WIND), *shared),
        clause="NDS 3.6.3, 3.7.1",
        value=may,
        place=place,
    )
    yield Check(
        member=name,
        rule=Rule.SLENDERNESS,
        combination=None,
        demand=slenderness(lumber.section, unbraced_mm=(0.0, held.length_mm)),
        capacity=SLENDEREST,
        measured=Measured.NUMBER,
        formula="le / d, Ke 1",
        numbers=(Number("le", held.length_mm, Measured.LENGTH),),
        clause="NDS 3.7.1.4",
        limit="the most while building",
        place=place,
    )


def _moved(building: Building, plan: MovePlan) -> Iterator[Found]:
    jacks = plan.on_jacks
    rows: list[tuple[str, Sequence[MemberBending], Impact, CarryingBeam | None]] = []
    if jacks.rise_mm:
        rows.append(("on jacks", jacks.members, jacks.frame.impact, None))
    for on, word in ((plan.on_forks, "on forks"), (plan.on_pipes, "on pipes")):
        if on is not None:
            rows.append((word, on.frame.members, on.frame.impact, on.beam))
    if plan.on_trailer is not None:
        frame = plan.on_trailer.frame
        rows.append(("on the trailer", frame.members, frame.impact, None))
    labels = {part.name: part.label or part.name for part in building.parts}
    for place, members, impact, beam in rows:
        for one in members:
            for check in _stressed(f"{one.name} {place}", place, one, impact, _numbers_of(one)):
                yield Found(f"{labels.get(one.name, one.name)} {place}", one.name, check)
        if beam is not None:
            name = f"carrying beam {beam.section} {place}"
            for check in _stressed(name, place, beam, impact, {}):
                yield Found(f"carrying beam {place}", name, check)


def _numbers_of(one: MemberBending) -> dict[Stress, tuple[Number, ...]]:
    area = one.breadth_mm * one.depth_mm
    return {
        Stress.BENDING: (
            Number("M", one.bending.most_n_mm, Measured.MOMENT),
            Number("S", area * one.depth_mm / 6, Measured.MODULUS),
        ),
        Stress.SHEAR: (
            Number("V", one.bending.shear_n, Measured.FORCE),
            Number("A", area, Measured.AREA),
        ),
        Stress.BEARING: (
            Number("R", max(one.bending.left_n, one.bending.right_n), Measured.FORCE),
            Number("A", one.breadth_mm * one.bearing_mm, Measured.AREA),
        ),
    }


def _stressed(
    name: str,
    place: str,
    one: Stressed,
    impact: Impact,
    numbers: dict[Stress, tuple[Number, ...]],
) -> Iterator[Check]:
    """What is bent, sheared and crushed, with the factor for jerks; none without a value."""
    for stress, (rule, formula, clause) in _RULES.items() if one.value else ():
        assert one.value
        may = one.value.adjusted(stress)
        rest = one.jerked_n_mm2(stress) / one.impact
        yield Check(
            member=name,
            rule=rule,
            combination=None,
            demand=one.jerked_n_mm2(stress),
            capacity=may.value_n_mm2,
            measured=Measured.STRESS,
            formula=formula.format(f"{one.impact:g} x"),
            numbers=(
                Number("at rest", rest, Measured.STRESS),
                *numbers.get(stress, ()),
                Number("for jerks", one.impact, Measured.NUMBER),
            ),
            clause=f"{clause}; jerks: {impact.source}",
            value=may,
            place=f"{place}, moved",
        )
