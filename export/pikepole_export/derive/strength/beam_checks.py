"""A beam under all its loads: bending, shear, bearing, deflection, uplift.

beam_checks(member) -> checks       the worst of each, over every combination
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from pikepole_export.derive.strength import nds
from pikepole_export.derive.strength.beam import Analysis, Force, analyse, combined, within
from pikepole_export.derive.strength.check import Check, Measured, Number, Rule
from pikepole_export.derive.strength.combinations import SNOWS, Combination, Load, acting
from pikepole_export.derive.strength.nds import Lumber
from pikepole_export.derive.strength.section import Section

VARIABLE = (Load.LIVE, Load.ROOF_LIVE, *SNOWS)


@dataclass(frozen=True, slots=True)
class Support:
    """What bears a beam in one place.

    Attributes:
        at_mm: Its middle, from the beam's first end.
        length_mm: How much of the beam's length lies on it.
        name: Of the part that bears it.
        from_end_mm: From the bearing to the beam's nearer end; 0 at the end.
        notch_mm: How deep the beam is cut away over it, square to it.
    """

    at_mm: float
    length_mm: float
    name: str
    from_end_mm: float = 0.0
    notch_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Splice:
    """Where plies of a built-up beam are jointed, and how many go on there."""

    at_mm: float
    plies_left: int


@dataclass(frozen=True, slots=True)
class Sags:
    """How far it may go down, as so many parts of its span, by R301.7 of the IRC or a table.

    Attributes:
        live: Under live load, roof live load or snow; of twice its length where it hangs out.
        total: Under all; None where nothing is asked.
        clause: Where that stands.
    """

    live: float
    total: float | None
    clause: str


FLOOR = Sags(360, 240, "IBC Table 1604.3, floor members; IRC Table R301.7")
RAFTERS = Sags(180, 120, "IBC Table 1604.3, roof members without a ceiling; IRC Table R301.7")


@dataclass(frozen=True)
class Beam:
    """A beam as it is reckoned.

    Attributes:
        name: The worst of its like.
        lumber: Its wood and section.
        length_mm: From end to end, along it.
        supports: Rising; two at least.
        loads: What lies on it square to it, N, by what brings it.
        sags: How far it may go down.
        unbraced_mm: How far apart its upper edge is held.
        unbraced_below_mm: And its lower edge, where that is pressed.
        hinges_mm: Where all its plies are jointed.
        splices: Where some are.
    """

    name: str
    lumber: Lumber
    length_mm: float
    supports: tuple[Support, ...]
    loads: Mapping[Load, Sequence[Force]]
    sags: Sags
    unbraced_mm: float = 0.0
    unbraced_below_mm: float = 0.0
    hinges_mm: tuple[float, ...] = ()
    splices: tuple[Splice, ...] = ()

    @property
    def section(self) -> Section:
        """As it is bent."""
        return self.lumber.section

    @cached_property
    def alone(self) -> dict[Load, Analysis]:
        """It under each load by itself."""
        return {
            load: self._analysed(forces)
            for load, forces in self.loads.items()
            if any(one.force_n for one in forces)
        }

    def _analysed(self, forces: Sequence[Force]) -> Analysis:
        stiffness = nds.modulus(self.lumber).value_n_mm2 * self.section.inertia_mm4
        return analyse(
            forces,
            length_mm=self.length_mm,
            supports_mm=[one.at_mm for one in self.supports],
            stiffness_n_mm2=stiffness,
            hinges_mm=self.hinges_mm,
        )

    @cached_property
    def live_ways(self) -> tuple[Analysis, ...]:
        """It under live load on all spans, and where there are several on every other one.

        What hangs out less than its depth is no span. Source: ASCE 7-16 4.3.3, partial loading.
        """
        if Load.LIVE not in self.alone:
            return ()
        everywhere = self.alone[Load.LIVE]
        bounds = [0.0, *everywhere.supports_mm, self.length_mm]
        spans = [
            (low, high) for low, high in pairwise(bounds) if high - low > self.section.depth_mm
        ]
        if len(spans) < 2:
            return (everywhere,)
        parts = [within(everywhere.loads, *span, end_mm=self.length_mm) for span in spans]
        halves = ([one for part in parts[first::2] for one in part] for first in (0, 1))
        return (everywhere, *(self._analysed(half) for half in halves if half))

    def under(self, combination: Combination) -> Iterator[Analysis]:
        """It under loads that act together, in every way that live load may lie."""
        fixed = [(f, self.alone[load]) for load, f in combination.shares if load is not Load.LIVE]
        live = [f for load, f in combination.shares if load is Load.LIVE]
        if not live:
            yield combined(fixed)
        for way in self.live_ways if live else ():
            yield combined([*fixed, (live[0], way)])

    @property
    def combinations(self) -> tuple[Combination, ...]:
        """All that are to be looked at."""
        return acting(frozenset(self.alone))


def beam_checks(beam: Beam) -> list[Check]:
    """The worst of each rule, in the order of `Rule`."""
    worst: dict[Rule, Check] = {}
    for one in _every(beam):
        if one.rule not in worst or one.ratio > worst[one.rule].ratio * (1 + 1e-9):
            worst[one.rule] = one
    return [worst[rule] for rule in Rule if rule in worst]


def _every(beam: Beam) -> Iterator[Check]:
    for combination in beam.combinations:
        for found in beam.under(combination):
            yield from _bending(beam, combination, found)
            yield _shear(beam, combination, found)
            yield from _notched_shear(beam, combination, found)
            yield from _bearing(beam, combination, found)
            # Wind is no part of it. Source: IBC Table 1604.3, D + L.
            if beam.sags.total is not None and _weighs(combination):
                yield from _sags(beam, combination, found, Rule.TOTAL_SAG, beam.sags.total)
    for load in VARIABLE:
        if load in beam.alone:
            alone = Combination(((load, 1.0),), "")
            for found in beam.under(alone):
                yield from _sags(beam, alone, found, Rule.LIVE_SAG, beam.sags.live)


def _weighs(combination: Combination) -> bool:
    return all(load not in (Load.WIND, Load.UPLIFT) for load, _ in combination.shares)


def _bending(beam: Beam, combination: Combination, found: Analysis) -> Iterator[Check]:
    peaks = found.peaks
    cases = (
        (peaks.sagging_n_mm, peaks.sagging_at_mm, beam.unbraced_mm),
        (peaks.hogging_n_mm, peaks.hogging_at_mm, beam.unbraced_below_mm),
    )
    for moment, at_mm, unbraced_mm in cases:
        if moment:
            yield _bent(beam, combination, moment, at_mm, unbraced_mm, beam.section)
    for splice in beam.splices:
        moment = abs(float(found.forces.moment(np.array([splice.at_mm]))[0]))
        section = beam.section
        left = Section(section.breadth_mm, section.depth_mm, splice.plies_left)
        yield _bent(beam, combination, moment, splice.at_mm, beam.unbraced_mm, left)


def _bent(
    beam: Beam,
    combination: Combination,
    moment_n_mm: float,
    at_mm: float,
    unbraced_mm: float,
    section: Section,
) -> Check:
    may = nds.bending(beam.lumber, combination.duration, unbraced_mm=unbraced_mm)
    jointed = section.plies < beam.section.plies
    return Check(
        member=beam.name,
        rule=Rule.BENDING,
        combination=combination,
        demand=moment_n_mm / section.modulus_mm3,
        capacity=may.value_n_mm2,
        measured=Measured.STRESS,
        formula="fb = M / S",
        numbers=(
            Number("M", moment_n_mm, Measured.MOMENT),
            Number("S", section.modulus_mm3, Measured.MODULUS),
        ),
        clause="NDS 3.3",
        value=may,
        at_mm=at_mm,
        place=f"where {section.plies} of {beam.section.plies} plies go on" if jointed else "",
    )


def _shear(beam: Beam, combination: Combination, found: Analysis) -> Check:
    depth = beam.section.depth_mm
    supports = np.array([one.at_mm for one in beam.supports])
    # Loads nearer to a support than the depth are left out: NDS 3.4.3.1.
    spots = np.concatenate([found.forces.places_mm, supports - depth, supports + depth])
    away = np.abs(spots[:, None] - supports).min(axis=1) >= depth - 1e-6
    inside = (spots >= 0) & (spots <= beam.length_mm)
    spots = spots[away & inside]
    force, at_mm, place = found.peaks.shear_n, found.peaks.shear_at_mm, "at a support"
    if len(spots):
        both = [np.abs(found.forces.shear(spots, after=side)) for side in (True, False)]
        sizes = np.maximum(*both)
        most = int(sizes.argmax())
        force, at_mm, place = float(sizes[most]), float(spots[most]), "its depth from supports"
    may = nds.shear(beam.lumber, combination.duration)
    area = beam.section.area_mm2
    return Check(
        member=beam.name,
        rule=Rule.SHEAR,
        combination=combination,
        demand=1.5 * force / area,
        capacity=may.value_n_mm2,
        measured=Measured.STRESS,
        formula="fv = 3 V / 2 A",
        numbers=(Number("V", force, Measured.FORCE), Number("A", area, Measured.AREA)),
        clause="NDS 3.4.2, 3.4.3.1",
        value=may,
        at_mm=at_mm,
        place=place,
    )


def _notched_shear(beam: Beam, combination: Combination, found: Analysis) -> Iterator[Check]:
    """At an end that is cut away over its bearing.

    V / (2/3 b dn) (d / dn)^2 against Fv'. Source: NDS 3.4.3.2, equation 3.4-3.
    """
    section = beam.section
    for number, support in enumerate(beam.supports):
        at_end = number in (0, len(beam.supports) - 1) and support.from_end_mm <= section.depth_mm
        force = found.reactions_n[number]
        # What is drawn up does not split from the corner of its notch.
        if not support.notch_mm or not at_end or force <= 0:
            continue
        left = section.depth_mm - support.notch_mm
        area = section.breadth_mm * section.plies * left
        may = nds.shear(beam.lumber, combination.duration)
        yield Check(
            member=beam.name,
            rule=Rule.NOTCH,
            combination=combination,
            demand=1.5 * force / area * (section.depth_mm / left) ** 2,
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


def _bearing(beam: Beam, combination: Combination, found: Analysis) -> Iterator[Check]:
    section = beam.section
    for support, force in zip(beam.supports, found.reactions_n, strict=True):
        if support.length_mm <= 1 or force <= 0:
            continue
        area = section.breadth_mm * section.plies * support.length_mm
        may = nds.bearing(beam.lumber, length_mm=support.length_mm, from_end_mm=support.from_end_mm)
        yield Check(
            member=beam.name,
            rule=Rule.BEARING,
            combination=combination,
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


def _sags(
    beam: Beam, combination: Combination, found: Analysis, rule: Rule, parts: float
) -> Iterator[Check]:
    stiff = nds.modulus(beam.lumber)
    for sag in found.sags:
        if sag.overhangs and sag.length_mm < beam.section.depth_mm:
            continue
        # Twice the length of what hangs out. Source: IBC Table 1604.3, note on cantilevers.
        times = 2 if sag.overhangs else 1
        yield Check(
            member=beam.name,
            rule=rule,
            combination=combination,
            demand=sag.deflection_mm,
            capacity=times * sag.length_mm / parts,
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
