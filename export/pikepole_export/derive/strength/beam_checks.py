"""A beam under all its loads: bending, shear, bearing, deflection, uplift.

beam_checks(member) -> checks       the worst of each, over every combination
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from pikepole_export.derive.strength import nds
from pikepole_export.derive.strength.beam import Analysis, Force, analyse
from pikepole_export.derive.strength.check import Check, Measured, Rule, limit_of
from pikepole_export.derive.strength.combinations import Combination, Load, acting
from pikepole_export.derive.strength.nds import Lumber
from pikepole_export.derive.strength.section import Section
from pikepole_model.units import INCH_MM, POUND_FORCE_N, PSI_N_MM2

VARIABLE = (Load.LIVE, Load.ROOF_LIVE, Load.SNOW, Load.UNEVEN_SNOW)


@dataclass(frozen=True, slots=True)
class Support:
    """What bears a beam in one place.

    Attributes:
        at_mm: Its middle, from the beam's first end.
        length_mm: How much of the beam's length lies on it.
        name: Of the part that bears it.
        from_end_mm: From the bearing to the beam's nearer end; 0 at the end.
    """

    at_mm: float
    length_mm: float
    name: str
    from_end_mm: float = 0.0


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


@dataclass(frozen=True, slots=True)
class Beam:
    """A beam as it is reckoned.

    Attributes:
        name: The worst of its like.
        like: How many it stands for.
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
    like: int
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

    def under(self, combination: Combination) -> Analysis:
        """It under some loads."""
        loads = [
            one.times(factor)
            for load, factor in combination.shares
            for one in self.loads.get(load, ())
            if one.force_n
        ]
        stiffness = nds.modulus(self.lumber).value_n_mm2 * self.section.inertia_mm4
        return analyse(
            loads or [Force(0.0, self.length_mm, 0.0)],
            length_mm=self.length_mm,
            supports_mm=[one.at_mm for one in self.supports],
            stiffness_n_mm2=stiffness,
            hinges_mm=self.hinges_mm,
        )

    @property
    def combinations(self) -> tuple[Combination, ...]:
        """All that are to be looked at."""
        there = {load for load, rows in self.loads.items() if any(one.force_n for one in rows)}
        return acting(frozenset(there))


def reactions(beam: Beam) -> dict[Load, tuple[float, ...]]:
    """What each of its supports bears of each load, N, up above zero."""
    return {
        load: beam.under(Combination(((load, 1.0),), "")).reactions_n
        for load, rows in beam.loads.items()
        if any(one.force_n for one in rows)
    }


def beam_checks(beam: Beam) -> list[Check]:
    """The worst of each rule, in the order of `Rule`."""
    worst: dict[Rule, Check] = {}
    for one in _every(beam):
        if one.rule not in worst or one.ratio > worst[one.rule].ratio * (1 + 1e-9):
            worst[one.rule] = one
    return [worst[rule] for rule in Rule if rule in worst]


def _every(beam: Beam) -> Iterator[Check]:
    for combination in beam.combinations:
        found = beam.under(combination)
        yield from _bending(beam, combination, found)
        yield _shear(beam, combination, found)
        yield from _bearing(beam, combination, found)
        if beam.sags.total is not None and combination.name[0] == "D":
            yield from _sags(beam, combination, found, Rule.TOTAL_SAG, beam.sags.total)
    for load in VARIABLE:
        if any(one.force_n for one in beam.loads.get(load, ())):
            alone = Combination(((load, 1.0),), "")
            yield from _sags(beam, alone, beam.under(alone), Rule.LIVE_SAG, beam.sags.live)


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
    where = f", {section.plies} of {beam.section.plies} plies" if jointed else ""
    return Check(
        beam.name,
        beam.like,
        Rule.BENDING,
        combination.name,
        moment_n_mm / section.modulus_mm3,
        may.value_n_mm2,
        Measured.STRESS,
        at_mm,
        f"fb = M / S = {moment_n_mm / POUND_FORCE_N / INCH_MM:,.0f} in lb / "
        f"{section.modulus_mm3 / INCH_MM**3:.4g} in3{where}",
        limit_of(may),
        f"NDS 3.3; {combination.clause}",
        may.reference_n_mm2,
        may.factors,
    )


def _shear(beam: Beam, combination: Combination, found: Analysis) -> Check:
    depth = beam.section.depth_mm
    supports = np.array([one.at_mm for one in beam.supports])
    # Loads nearer to a support than the depth are left out: NDS 3.4.3.1.
    spots = np.concatenate([found.forces.places_mm, supports - depth, supports + depth])
    away = np.abs(spots[:, None] - supports).min(axis=1) >= depth - 1e-6
    inside = (spots >= 0) & (spots <= beam.length_mm)
    spots = spots[away & inside]
    force, at_mm, how = found.peaks.shear_n, found.peaks.shear_at_mm, "at a support"
    if len(spots):
        both = [np.abs(found.forces.shear(spots, after=side)) for side in (True, False)]
        sizes = np.maximum(*both)
        # Right at a free end nothing is left of the shear but rounding.
        most = int(sizes.argmax())
        force, at_mm, how = float(sizes[most]), float(spots[most]), "the depth from a support"
    may = nds.shear(beam.lumber, combination.duration)
    area = beam.section.area_mm2
    return Check(
        beam.name,
        beam.like,
        Rule.SHEAR,
        combination.name,
        1.5 * force / area,
        may.value_n_mm2,
        Measured.STRESS,
        at_mm,
        f"fv = 3 V / 2 A = 1.5 x {force / POUND_FORCE_N:,.0f} lb / "
        f"{area / INCH_MM**2:.4g} in2, {how}",
        limit_of(may),
        f"NDS 3.4.2, 3.4.3.1; {combination.clause}",
        may.reference_n_mm2,
        may.factors,
    )


def _bearing(beam: Beam, combination: Combination, found: Analysis) -> Iterator[Check]:
    section = beam.section
    for support, force in zip(beam.supports, found.reactions_n, strict=True):
        if support.length_mm <= 0 or force <= 0:
            continue
        area = section.breadth_mm * section.plies * support.length_mm
        may = nds.bearing(beam.lumber, length_mm=support.length_mm, from_end_mm=support.from_end_mm)
        yield Check(
            beam.name,
            beam.like,
            Rule.BEARING,
            combination.name,
            force / area,
            may.value_n_mm2,
            Measured.STRESS,
            support.at_mm,
            f"fc-perp = R / A = {force / POUND_FORCE_N:,.0f} lb / {area / INCH_MM**2:.4g} in2, "
            f"on {support.name}",
            limit_of(may),
            f"NDS 3.10.2; {combination.clause}",
            may.reference_n_mm2,
            may.factors,
        )


def _sags(
    beam: Beam, combination: Combination, found: Analysis, rule: Rule, parts: float
) -> Iterator[Check]:
    stiff = nds.modulus(beam.lumber)
    for sag in found.sags:
        # Twice the length of what hangs out. Source: IBC Table 1604.3, note on cantilevers.
        span = sag.length_mm * (2 if sag.overhangs else 1)
        yield Check(
            beam.name,
            beam.like,
            rule,
            combination.name,
            sag.deflection_mm,
            span / parts,
            Measured.LENGTH,
            sag.at_mm,
            f"E' = {stiff.value_n_mm2 / PSI_N_MM2 / 1e6:.3g} million psi, "
            f"I = {beam.section.inertia_mm4 / INCH_MM**4:.4g} in4, beam analysis",
            f"{'2 L' if sag.overhangs else 'L'} / {parts:g} of {span / INCH_MM:.4g} in",
            beam.sags.clause,
            stiff.reference_n_mm2,
            stiff.factors,
        )
