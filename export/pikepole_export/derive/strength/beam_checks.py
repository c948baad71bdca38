"""A beam under all its loads: bending, shear, bearing, deflection.

beam_checks(beam) -> checks         the worst of each, over every combination
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

import numpy as np

from pikepole_export.derive.strength import nds
from pikepole_export.derive.strength.beam import Sag
from pikepole_export.derive.strength.cases import Beam, Case, Support
from pikepole_export.derive.strength.check import Check, Measured, Number, Rule
from pikepole_export.derive.strength.column import least_modulus
from pikepole_export.derive.strength.combinations import Combination, Load
from pikepole_export.derive.strength.section import Section


class _Asked(NamedTuple):
    """What is asked under one combination; the check of it is made where it is the worst.

    Attributes:
        rule: What is looked at.
        demand: In the rule's unit.
        capacity: What it is held against.
        check: All of it.
    """

    rule: Rule
    demand: float
    capacity: float
    check: Callable[[], Check]


def beam_checks(beam: Beam) -> list[Check]:
    """The worst of each rule, in the order of `Rule`."""
    worst: dict[Rule, tuple[float, _Asked]] = {}
    for one in _every(beam):
        ratio = one.demand / one.capacity
        if one.rule not in worst or ratio > worst[one.rule][0] * (1 + 1e-9):
            worst[one.rule] = ratio, one
    return [worst[rule][1].check() for rule in Rule if rule in worst]


def _every(beam: Beam) -> Iterator[_Asked]:
    together, alone = beam.cases
    for case in together:
        yield from _bending(beam, case)
        yield _shear(beam, case)
        yield from _notched_shear(beam, case)
        yield from _bearing(beam, case)
        # Wind is no part of it. Source: IBC Table 1604.3, D + L.
        if beam.sags.total is not None and _weighs(case.combination):
            yield from _sags(beam, case, Rule.TOTAL_SAG, beam.sags.total)
    for case in alone:
        yield from _sags(beam, case, Rule.LIVE_SAG, beam.sags.live)


def _weighs(combination: Combination) -> bool:
    return all(load not in (Load.WIND, Load.UPLIFT) for load, _ in combination.shares)


def _bending(beam: Beam, case: Case) -> Iterator[_Asked]:
    peaks, section = case.peaks, beam.section
    cases = (
        (peaks.sagging_n_mm, peaks.sagging_at_mm, beam.unbraced_mm),
        (peaks.hogging_n_mm, peaks.hogging_at_mm, beam.unbraced_below_mm),
    )
    for moment, at_mm, unbraced_mm in cases:
        if moment:
            yield _bent(beam, case, moment, at_mm, unbraced_mm, section)
    for splice in beam.splices:
        moment = abs(float(case.moments_n_mm[np.searchsorted(beam.spots_mm, splice.at_mm)]))
        left = Section(section.breadth_mm, section.depth_mm, splice.plies_left)
        yield _bent(beam, case, moment, splice.at_mm, beam.unbraced_mm, left)


def _bent(
    beam: Beam,
    case: Case,
    moment_n_mm: float,
    at_mm: float,
    unbraced_mm: float,
    section: Section,
) -> _Asked:
    may = nds.bending(beam.lumber, case.combination.duration, unbraced_mm=unbraced_mm)
    demand = moment_n_mm / section.modulus_mm3

    def check() -> Check:
        return Check(
            member=beam.name,
            rule=Rule.BENDING,
            combination=case.combination,
            demand=demand,
            capacity=may.value_n_mm2,
            measured=Measured.STRESS,
            formula="fb = M / S",
            numbers=(
                Number("M", moment_n_mm, Measured.MOMENT),
                Number("S", section.modulus_mm3, Measured.MODULUS),
                *([least_modulus(beam.lumber, case.combination.duration)] if unbraced_mm else []),
            ),
            clause="NDS 3.3",
            value=may,
            at_mm=at_mm,
            place=_jointed(beam, section, at_mm),
        )

    return _Asked(Rule.BENDING, demand, may.value_n_mm2, check)


def _jointed(beam: Beam, section: Section, at_mm: float) -> str:
    """Where some of its plies meet, by what is under them there; empty where all go on."""
    if section.plies == beam.section.plies:
        return ""
    under = min(beam.supports, key=lambda one: abs(one.at_mm - at_mm))
    are = "is" if section.plies == 1 else "are"
    whole = f"only {section.plies} of {beam.section.plies} plies {are} in one piece"
    return f"at {under.name}, where {whole}"


def _shear(beam: Beam, case: Case) -> _Asked:
    """Loads nearer to a support than the depth are left out. Source: NDS 3.4.3.1."""
    peaks = case.peaks
    force, at_mm, place = peaks.shear_n, peaks.shear_at_mm, "at a support"
    if len(beam.clear):
        sizes = case.shears_n[beam.clear]
        # The first of equals.
        most = int(beam.clear[(sizes >= sizes.max() * (1 - 1e-9)).argmax()])
        force, at_mm = float(case.shears_n[most]), float(beam.spots_mm[most])
        place = "its depth from supports"
    may = nds.shear(beam.lumber, case.combination.duration)
    area = beam.section.area_mm2
    demand = 1.5 * force / area

    def check() -> Check:
        return Check(
            member=beam.name,
            rule=Rule.SHEAR,
            combination=case.combination,
            demand=demand,
            capacity=may.value_n_mm2,
            measured=Measured.STRESS,
            formula="fv = 3 V / 2 A",
            numbers=(Number("V", force, Measured.FORCE), Number("A", area, Measured.AREA)),
            clause="NDS 3.4.2, 3.4.3.1",
            value=may,
            at_mm=at_mm,
            place=place,
        )

    return _Asked(Rule.SHEAR, demand, may.value_n_mm2, check)


def _notched_shear(beam: Beam, case: Case) -> Iterator[_Asked]:
    """At an end that is cut away over its bearing."""
    last = len(beam.supports) - 1
    for number, (support, force) in enumerate(zip(beam.supports, case.reactions_n, strict=True)):
        at_end = number in (0, last) and support.from_end_mm <= beam.section.depth_mm
        # What is drawn up does not split from the corner of its notch.
        if support.notch_mm and at_end and force > 0:
            yield _notched(beam, case, support, force)


def _notched(beam: Beam, case: Case, support: Support, force: float) -> _Asked:
    """V / (2/3 b dn) (d / dn)^2 against Fv'. Source: NDS 3.4.3.2, equation 3.4-3."""
    section = beam.section
    left = section.depth_mm - support.notch_mm
    area = section.breadth_mm * section.plies * left
    may = nds.shear(beam.lumber, case.combination.duration)
    demand = 1.5 * force / area * (section.depth_mm / left) ** 2

    def check() -> Check:
        return Check(
            member=beam.name,
            rule=Rule.NOTCH,
            combination=case.combination,
            demand=demand,
            capacity=may.value_n_mm2,
            measured=Measured.STRESS,
            formula="fv = 3 V / 2 b dn (d / dn)^2",
            numbers=(
                Number("V", force, Measured.FORCE),
                Number("d", section.depth_mm, Measured.LENGTH),
                Number("dn", left, Measured.LENGTH),
                Number("b", section.breadth_mm * section.plies, Measured.LENGTH),
            ),
            clause="NDS 3.4.3.2",
            value=may,
            at_mm=support.at_mm,
            place=f"on {support.name}",
        )

    return _Asked(Rule.NOTCH, demand, may.value_n_mm2, check)


def _bearing(beam: Beam, case: Case) -> Iterator[_Asked]:
    for support, force in zip(beam.supports, case.reactions_n, strict=True):
        if support.length_mm > 1 and force > 0:
            yield _pressed(beam, case, support, force)


def _pressed(beam: Beam, case: Case, support: Support, force: float) -> _Asked:
    area = beam.section.breadth_mm * beam.section.plies * support.length_mm
    may = nds.bearing(beam.lumber, length_mm=support.length_mm, from_end_mm=support.from_end_mm)

    def check() -> Check:
        return Check(
            member=beam.name,
            rule=Rule.BEARING,
            combination=case.combination,
            demand=force / area,
            capacity=may.value_n_mm2,
            measured=Measured.STRESS,
            formula="fc-perp = R / A",
            numbers=(Number("R", force, Measured.FORCE), Number("A", area, Measured.AREA)),
            clause="NDS 3.10.2",
            value=may,
            at_mm=support.at_mm,
            place=f"on {support.name}",
        )

    return _Asked(Rule.BEARING, force / area, may.value_n_mm2, check)


def _sags(beam: Beam, case: Case, rule: Rule, parts: float) -> Iterator[_Asked]:
    for sag in case.sags:
        if not sag.overhangs or sag.length_mm >= beam.section.depth_mm:
            yield _sagged(beam, case, sag, rule, parts)


def _sagged(beam: Beam, case: Case, sag: Sag, rule: Rule, parts: float) -> _Asked:
    # Twice the length of what hangs out. Source: IBC Table 1604.3, note on cantilevers.
    times = 2 if sag.overhangs else 1
    capacity = times * sag.length_mm / parts

    def check() -> Check:
        stiff = nds.modulus(beam.lumber)
        return Check(
            member=beam.name,
            rule=rule,
            combination=case.combination,
            demand=sag.deflection_mm,
            capacity=capacity,
            measured=Measured.LENGTH,
            formula="analysis of the whole beam",
            numbers=(
                Number("E'", stiff.value_n_mm2, Measured.STRESS),
                Number("I", beam.section.inertia_mm4, Measured.INERTIA),
                Number("L", sag.length_mm, Measured.LENGTH),
            ),
            clause=beam.sags.clause,
            limit=f"{'2 L' if times == 2 else 'L'} / {parts:g}",
            value=stiff,
            at_mm=sag.at_mm,
            place="overhang" if sag.overhangs else "",
        )

    return _Asked(rule, sag.deflection_mm, capacity, check)
