"""The checks of what stands: studs and posts.

standing_checks(paths, woods) -> checks
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.strength import nds, wind
from pikepole_export.derive.strength.beam import Force
from pikepole_export.derive.strength.check import Basis, Check, Measured, Number, Rule
from pikepole_export.derive.strength.column import interaction, least_modulus, slenderness
from pikepole_export.derive.strength.combinations import Combination, Load, acting
from pikepole_export.derive.strength.frame import UPRIGHT
from pikepole_export.derive.strength.members import Found, Woods
from pikepole_export.derive.strength.nds import Lumber
from pikepole_export.derive.strength.paths import ITSELF, Loads, Paths, Push, summed
from pikepole_export.derive.strength.roofs import KN_M2
from pikepole_export.derive.strength.section import Section
from pikepole_export.derive.strength.sway import Sway, sways_of
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part
from pikepole_model.units import STANDARD_GRAVITY_M_S2

# What holds a stud all along against buckling in the plane of its wall.
_SHEETS = frozenset({Kind.WALL_SHEET, Kind.LINING, Kind.WALL_SLAT, Kind.SIDING})
# What goes from plate to plate and so takes the wind on its wall.
_FULL_HEIGHT = UPRIGHT - {Kind.JACK, Kind.CRIPPLE}


def standing_checks(paths: Paths, woods: Woods) -> Iterator[Found]:
    """Every check of everything that stands."""
    widths = _widths(paths)
    sways = sways_of(paths)
    for part in paths.members.parts.values():
        if part.kind is not Kind.POST and part.kind not in UPRIGHT:
            continue
        carried = paths.carried(part)
        if not carried:
            continue
        assert part.section_mm, f"{part.name} has no section"
        sway = sways.get(part.name)
        section = _section(part, sways=sway is not None)
        studs = part.kind is Kind.STUD
        lumber = woods.lumber(part, section, repetitive=studs)
        if lumber is None:
            continue
        mates = [paths.members.parts[name] for name in paths.members.building.mates[part.name]]
        # Sheets, or studs nailed along it.
        held = any(mate.kind in _SHEETS or mate.kind in UPRIGHT for mate in mates)
        length = part.length_mm
        slender = slenderness(section, unbraced_mm=(length, 0.0 if held else length))
        label = part.label if part.kind is not Kind.STUD else f"{part.group} stud"
        blown = _blown(paths, part, widths.get(part.name, 0.0))
        if sway is not None:
            blown = _swayed(sway)
        pushes = paths.on_part[part.name]
        for check in _column(part, lumber, pushes, slender, blown):
            yield Found(label, part.name, check)
        yield Found(label, part.name, _slender(part, slender))


@dataclass(frozen=True, slots=True)
class _Blown:
    """What wind bends an upright by.

    Attributes:
        moment_n_mm: Mw, the most, of all the wind.
        at_mm: Where, up from its foot.
        formula: How that comes about.
        numbers: What goes into that.
        by: Where it stands.
    """

    moment_n_mm: float
    at_mm: float
    formula: str
    numbers: tuple[Number, ...]
    by: str


def _section(part: Part, *, sways: bool) -> Section:
    """As wind bends it: over its larger side, a post that sways over that along the beam."""
    assert part.section_mm
    low, high = sorted(part.section_mm)
    along_mm = part.bounds_mm[1][0] - part.bounds_mm[0][0]
    flat = sways and abs(along_mm - low) < abs(along_mm - high)
    return Section(high, low) if flat else Section(low, high)


def _blown(paths: Paths, part: Part, wide_mm: float) -> _Blown:
    """By wind on its strip of the wall, from plate to plate."""
    length = part.length_mm
    area_mm2 = length * max(wide_mm, length / 3)
    _, gcp = wind.wall_coefficients(area_mm2, edge=True)
    pressure = -wind.wall_pressure(paths.climate.part_q, area_mm2, edge=True)[1]
    return _Blown(
        pressure * KN_M2 * wide_mm * length**2 / 8,
        length / 2,
        "Mw = p b l^2 / 8, p = qh (GCp - 0.18), 16 psf at least",
        (
            Number("p", pressure, Measured.LOAD),
            Number("qh", paths.climate.part_q, Measured.LOAD),
            Number("GCp, off it", gcp, Measured.NUMBER),
            Number("for the area l x b, b at least l / 3", area_mm2, Measured.FACE),
            Number("b, of its wall", wide_mm, Measured.LENGTH),
            Number("l", length, Measured.LENGTH),
        ),
        "wind by ASCE 7-16 Figure 30.3-1, near a corner",
    )


def _swayed(sway: Sway) -> _Blown:
    """By wind along its beam, where its knee braces meet it."""
    return _Blown(
        sway.moment_n_mm,
        sway.below_mm,
        "Mw = V (h - a)",
        (
            Number("V", sway.push_n, Measured.FORCE),
            Number("h - a, foot to braces", sway.below_mm, Measured.LENGTH),
        ),
        "wind by ASCE 7-16 27.1.5, as on a wall",
    )


def _widths(paths: Paths) -> dict[str, float]:
    """What of its wall each upright takes the wind on: half way to its neighbours, mm."""
    groups: dict[str, list[Part]] = {}
    for part in paths.supports.uprights:
        if part.kind in _FULL_HEIGHT:
            groups.setdefault(part.group, []).append(part)
    found: dict[str, float] = {}
    for parts in groups.values():
        axis = _run(parts)
        rows = _nailed_together(parts, axis)
        centres = [[part.centre_mm[axis] for part in row] for row in rows]
        middles = [(one[-1] + other[0]) / 2 for one, other in pairwise(centres)]
        edges = [centres[0][0], *middles, centres[-1][-1]]
        for row, (low, high) in zip(rows, pairwise(edges), strict=True):
            found |= dict.fromkeys((part.name for part in row), (high - low) / len(row))
    return found


def _nailed_together(parts: list[Part], axis: int) -> list[list[Part]]:
    """The uprights of a wall along it, kings side by side together: what bends one bends both."""
    rows: list[list[Part]] = []
    for part in sorted(parts, key=lambda one: one.centre_mm[axis]):
        last = rows[-1][-1] if rows else part
        touches = part.bounds_mm[0][axis] < last.bounds_mm[1][axis] + 1
        if part is last or part.kind is not last.kind or not touches:
            rows.append([])
        rows[-1].append(part)
    return rows


def _run(parts: list[Part]) -> int:
    """The axis that a wall's uprights stand along."""
    spread = [
        max(part.centre_mm[axis] for part in parts) - min(part.centre_mm[axis] for part in parts)
        for axis in (0, 1)
    ]
    return 0 if spread[0] >= spread[1] else 1


def _column(
    part: Part, lumber: Lumber, pushes: Sequence[Push], slender: float, blown: _Blown
) -> Iterator[Check]:
    own = part_mass(part).likely_kg * STANDARD_GRAVITY_M_S2
    pushes = [*pushes, Push((0.0, 0.0), {Load.DEAD: own}, ITSELF)]
    carried = summed(pushes)
    there = frozenset(load for load, force in carried.items() if force)
    there |= {Load.WIND, Load.UPLIFT} if blown.moment_n_mm else set()
    worst: dict[Rule, Check] = {}
    for combination in acting(there):
        for check in _pressed(part, lumber, carried, slender, blown, combination):
            if check.rule not in worst or check.ratio > worst[check.rule].ratio:
                worst[check.rule] = check
    by_load = {
        load: [Force(0, 0, push.loads[load], push.by) for push in pushes if push.loads.get(load)]
        for load, force in carried.items()
        if force
    }
    basis = Basis(by_load, lumber, part.length_mm)
    yield from (replace(check, basis=basis) for check in worst.values())


def _pressed(
    part: Part,
    lumber: Lumber,
    carried: Loads,
    slender: float,
    blown: _Blown,
    combination: Combination,
) -> Iterator[Check]:
    section = lumber.section
    force = combination.of(carried)
    gusts = sum(factor for load, factor in combination.shares if load in (Load.WIND, Load.UPLIFT))
    may = nds.compression(lumber, combination.duration, slenderness=slender)
    pressed = max(force, 0.0) / section.area_mm2
    load = Number("P", max(force, 0.0), Measured.FORCE)
    stiff = least_modulus(lumber, combination.duration)
    if force > 0:
        yield Check(
            member=part.name,
            rule=Rule.COMPRESSION,
            combination=combination,
            demand=pressed,
            capacity=may.value_n_mm2,
            measured=Measured.STRESS,
            formula="fc = P / A",
            numbers=(load, Number("A", section.area_mm2, Measured.AREA), stiff),
            clause="NDS 3.6.3, 3.7.1",
            value=may,
        )
    if not (blown.moment_n_mm and gusts):
        return
    bends = nds.bending(lumber, combination.duration)
    moment = gusts * blown.moment_n_mm
    bent = moment / section.modulus_mm3
    critical = nds.critical_n_mm2(lumber, combination.duration, part.length_mm / section.depth_mm)
    share = interaction(
        pressed_n_mm2=pressed,
        may_be_pressed_n_mm2=may.value_n_mm2,
        bent_n_mm2=bent,
        may_be_bent_n_mm2=bends.value_n_mm2,
        critical_n_mm2=critical,
    )
    yield Check(
        member=part.name,
        rule=Rule.COMBINED,
        combination=combination,
        demand=share,
        capacity=1.0,
        measured=Measured.NUMBER,
        formula=f"(fc / Fc')^2 + fb / (Fb' (1 - fc / FcE)), fb = {gusts:g} Mw / S, "
        f"{blown.formula}; FcE = 0.822 Emin' / (l / d)^2",
        numbers=(
            load,
            Number("M", moment, Measured.MOMENT),
            *blown.numbers,
            Number("S", section.modulus_mm3, Measured.MODULUS),
            Number("A", section.area_mm2, Measured.AREA),
            Number("fc", pressed, Measured.STRESS),
            Number("Fc'", may.value_n_mm2, Measured.STRESS),
            Number("fb", bent, Measured.STRESS),
            Number("FcE", critical, Measured.STRESS),
            stiff,
        ),
        clause=f"NDS 3.9.2, {blown.by}",
        value=bends,
        at_mm=blown.at_mm,
    )


def _slender(part: Part, slender: float) -> Check:
    return Check(
        member=part.name,
        rule=Rule.SLENDERNESS,
        combination=None,
        demand=slender,
        capacity=nds.SLENDEREST_COLUMN,
        measured=Measured.NUMBER,
        formula="le / d, Ke 1",
        numbers=(Number("le", part.length_mm, Measured.LENGTH),),
        clause="NDS 3.7.1.4",
        limit="the most for a column",
    )
