"""Where the loads come from, as a sheet has them: of the site, and on roofs by their slope.

worked_loads(paths) -> rows
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from pikepole_export.derive.strength import snow, wind
from pikepole_export.derive.strength.check import Measured, Number, Worked
from pikepole_export.derive.strength.climate import Climate
from pikepole_export.derive.strength.live import roof_live
from pikepole_export.derive.strength.paths import Paths
from pikepole_export.derive.strength.roofs import NEARER, RAFTERS, free_wind, is_free, is_gable
from pikepole_model.units import MPH_M_S


def worked_loads(paths: Paths) -> Iterator[Worked]:
    """Every load of the site, in the order they are looked for."""
    climate = paths.climate
    yield from _of_site(climate)
    seen: dict[tuple[float, bool, bool], None] = {}
    for member in paths.members.of(*RAFTERS):
        free, gable = is_free(paths.members, member), is_gable(paths.members, member)
        seen.setdefault((round(member.slope_deg, 2), free, gable))
    for slope_deg in dict.fromkeys(slope for slope, *_ in seen):
        yield from _weighing(climate, slope_deg)
    for slope_deg, free, gable in seen:
        yield from (_free if free else _closed)(climate, slope_deg, gable=gable)
    if any(not free for _, free, _ in seen):
        yield from _of_whole(climate)


def _number(symbol: str, value: float) -> Number:
    return Number(symbol, value, Measured.NUMBER)


def _weighing(climate: Climate, slope_deg: float) -> Iterator[Worked]:
    """Snow and live load on a slope, on the level."""
    on = f"on a roof of {slope_deg:.1f} degrees, on the level"
    cs = snow.slope_factor(slope_deg, thermal=climate.thermal, slippery=False)
    least = ", pm = Is pg, of pg 20 psf at most, at least" if slope_deg < snow.LOW_SLOPE_DEG else ""
    yield Worked(
        f"snow {on}",
        climate.even_snow(slope_deg),
        f"ps = Cs pf{least}",
        (_number("Cs", cs), Number("pf", climate.flat_snow, Measured.LOAD)),
        "ASCE 7-16 7.4, 7.3.4" if least else "ASCE 7-16 7.4",
    )
    yield Worked(
        f"live load {on}",
        roof_live(slope_deg, 0.0),
        "Lr = 20 R1 R2, 12 psf at least; R1 1 up to 200 ft2 for a member, R2 1.2 - 0.05 F",
        (_number("F, in a foot", 12 * math.tan(math.radians(slope_deg))),),
        "ASCE 7-16 4.8.2",
    )


def _closed(climate: Climate, slope_deg: float, *, gable: bool) -> Iterator[Worked]:
    q = climate.part_q
    both = wind.roof_coefficients(slope_deg, gable=gable, edge=True)
    pressures = wind.roof_pressure(q, slope_deg, gable=gable, edge=True)
    figure = "30.3-2" if gable else "30.3-5"
    for way, sign, gcp, pressure in zip(("onto", "off"), "+-", both, pressures, strict=True):
        yield Worked(
            f"wind {way} rafters over the store, {slope_deg:.1f} degrees",
            abs(pressure),
            f"p = qh (GCp {sign} GCpi), 16 psf at least",
            (
                Number("qh", q, Measured.LOAD),
                _number("GCp", gcp),
                _number("GCpi", wind.ENCLOSED),
            ),
            f"ASCE 7-16 Figure {figure}, along edges, 10 ft2",
        )


def _free(climate: Climate, slope_deg: float, *, gable: bool) -> Iterator[Worked]:
    q = climate.open_q
    figure = "27.3-5" if gable else "27.3-4"
    half = "of the worse half" if gable else f"{NEARER:g} of the worse half, the rest of the other"
    for way, pressure in zip(
        ("onto", "off"), free_wind(climate, slope_deg, gable=gable), strict=True
    ):
        yield Worked(
            f"wind {way} rafters over a bay, {slope_deg:.1f} degrees",
            abs(pressure),
            f"p = qh G CN; CN {half}",
            (
                Number("qh", q, Measured.LOAD),
                _number("G", wind.GUST),
                _number("CN", pressure / (q * wind.GUST)),
            ),
            f"ASCE 7-16 Figures {figure}, 27.3-7, clear wind flow",
        )


def _of_whole(climate: Climate) -> Iterator[Worked]:
    q, gust = climate.open_q, _number("G", wind.GUST)
    yield Worked(
        "wind along the building or across it, on all of its walls",
        wind.wall_push(q),
        "p = qh G (Cp windward + Cp leeward), 16 psf at least",
        (Number("qh", q, Measured.LOAD), gust, _number("both Cp", wind.WALLS_CP)),
        "ASCE 7-16 27.3.1, 27.1.5",
    )
    yield Worked(
        "wind off the roof of the store as a whole",
        -wind.roof_lift(q, climate.height_per_length),
        "p = qh (G Cp - GCpi); Cp by h / L",
        (
            Number("qh", q, Measured.LOAD),
            gust,
            _number("Cp", wind.roof_lift_cp(climate.height_per_length)),
            _number("GCpi", wind.ENCLOSED),
            _number("h / L", climate.height_per_length),
        ),
        "ASCE 7-16 Figure 27.3-1",
    )


def _of_site(climate: Climate) -> Iterator[Worked]:
    site = climate.site

    exposure = snow.EXPOSURE[site.terrain][site.roof_exposure]
    ground = Number("pg", site.ground_snow, Measured.LOAD)
    factors = (_number("Ce", exposure), _number("Ct", climate.thermal))
    yield Worked(
        "snow on a flat roof",
        climate.flat_snow,
        "pf = 0.7 Ce Ct Is pg",
        (*factors, _number("Is", climate.importance), ground),
        "ASCE 7-16 7.3",
    )
    for name, q in (
        ("wind on the whole and on free roofs", climate.open_q),
        ("wind on walls, studs and rafters", climate.part_q),
    ):
        mph = site.wind / MPH_M_S
        ratio = q / wind.velocity_pressure(site.wind, 1.0)
        yield Worked(
            name,
            q,
            "qh = 0.00256 Kh Kd V^2, psf with V in mph",
            (_number("Kh", ratio), _number("Kd", wind.DIRECTIONALITY), _number("V", mph)),
            "ASCE 7-16 26.10",
        )
    for name, load in (
        ("what lies on the rafters, on the slope", climate.roof_dead),
        ("what lies on the floor's joists", climate.floor_dead),
        ("what lies on the loft's joists", climate.loft_dead),
    ):
        if load:
            yield Worked(name, load, "weight of the pieces over their area", (), "the model")
    for name, load in (
        ("live load of the floor", site.floor_live if climate.floor_dead else 0.0),
        ("live load of the loft", climate.loft_live),
    ):
        if load:
            yield Worked(name, load, "as the scene gives it", (), "IRC Table R301.5")
