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
from pikepole_export.derive.strength.roofs import (
    NEARER,
    RAFTERS,
    Step,
    drift_under,
    free_wind,
    is_free,
    is_gable,
    run_mm,
    step_over,
    unbalanced_on,
)
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
    yield from _uneven(paths)
    for slope_deg, free, gable in seen:
        yield from (_free if free else _closed)(climate, slope_deg, gable=gable)
    if any(not free for _, free, _ in seen):
        yield _under(climate)
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


def _uneven(paths: Paths) -> Iterator[Worked]:
    """Snow blown over ridges, and drifted against walls; each once."""
    climate = paths.climate
    ridges: dict[tuple[float, float], snow.Unbalanced] = {}
    steps: dict[tuple[float, Step], snow.Drift] = {}
    for member in paths.members.of(*RAFTERS):
        slope_deg = round(member.slope_deg, 2)
        uneven = unbalanced_on(paths.members, member, climate)
        if uneven:
            ridges[slope_deg, round(run_mm(member), 1)] = uneven
        step = step_over(paths.members, member)
        drift = drift_under(step, slope_deg, climate) if step else None
        if step and drift:
            steps[slope_deg, step] = drift
    for (slope_deg, run), uneven in ridges.items():
        yield from _over_ridge(climate, slope_deg, run, uneven)
    for (slope_deg, step), drift in steps.items():
        yield _against_wall(climate, slope_deg, step, drift)


def _over_ridge(
    climate: Climate, slope_deg: float, run: float, uneven: snow.Unbalanced
) -> Iterator[Worked]:
    on = f"blown over the ridge, {slope_deg:.1f} degrees"
    wide = Number("W, eave to ridge", run, Measured.LENGTH)
    ground = Number("pg", climate.site.ground_snow, Measured.LOAD)
    even = Number("ps", climate.even_snow(slope_deg), Measured.LOAD)
    clause = "ASCE 7-16 7.6.1"
    if not uneven.surcharge:
        yield Worked(
            f"snow {on}, on the leeward side; on the other none",
            uneven.leeward,
            "Is pg, for W up to 20 ft",
            (_number("Is", climate.importance), ground, wide),
            clause,
        )
        return
    yield Worked(
        f"snow {on}, on the leeward side",
        uneven.leeward + uneven.surcharge,
        "ps + hd gamma / sqrt(S), hd = 0.43 W^(1/3) (pg + 10)^(1/4) - 1.5, ft and psf; "
        "taken over all of the slope",
        (
            even,
            Number("hd", snow.drift_height(climate.site.ground_snow, run), Measured.LENGTH),
            _density(climate),
            _number("S, run by rise", 1 / math.tan(math.radians(slope_deg))),
            ground,
            wide,
        ),
        clause,
    )
    yield Worked(f"snow {on}, on the windward side", uneven.windward, "0.3 ps", (even,), clause)


def _against_wall(climate: Climate, slope_deg: float, step: Step, drift: snow.Drift) -> Worked:
    return Worked(
        "snow drifted against the wall, right at it, on top of the even load",
        drift.peak,
        "pd = gamma hd, falling to none at w; hd the more of 0.43 lu^(1/3) (pg + 10)^(1/4) - 1.5, "
        "ft and psf, and 0.75 of that with lr for lu, no more than hc; w = 4 hd, with hd over hc "
        "4 hd^2 / hc, 8 hc at most; hc = hs - ps / gamma",
        (
            Number("hd", drift.height_mm, Measured.LENGTH),
            Number("w", drift.width_mm, Measured.LENGTH),
            _density(climate),
            Number("pg", climate.site.ground_snow, Measured.LOAD),
            Number("ps", climate.even_snow(slope_deg), Measured.LOAD),
            Number("lu, of the higher roof", step.upper_mm, Measured.LENGTH),
            Number("lr, of the lower one", step.lower_mm, Measured.LENGTH),
            Number("hs, up to the higher one", step.high_mm, Measured.LENGTH),
        ),
        "ASCE 7-16 7.7.1",
    )


def _density(climate: Climate) -> Number:
    return _number("gamma, pcf", snow.density(climate.site.ground_snow) / snow.PCF_KN_M3)


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


def _under(climate: Climate) -> Worked:
    return Worked(
        "wind up under the overhangs of the store's roof, besides",
        -wind.overhang_lift(climate.part_q),
        "p = qh GCp of the wall below",
        (
            Number("qh", climate.part_q, Measured.LOAD),
            _number("GCp", wind.wall_coefficients(0.0, edge=True)[0]),
        ),
        "ASCE 7-16 30.9, Figure 30.3-1",
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
        least = ", 0.70 at least" if q is climate.part_q and site.terrain == "B" else ""
        yield Worked(
            name,
            q,
            f"qh = 0.00256 Kh Kd V^2, psf with V in mph; Kh of exposure {site.terrain} in h, "
            f"15 ft at least{least}",
            (
                _number("Kh", ratio),
                Number("h", climate.top_mm, Measured.LENGTH),
                _number("Kd", wind.DIRECTIONALITY),
                _number("V", mph),
            ),
            "ASCE 7-16 26.10",
        )
    for name, kinds in (
        ("what lies on the rafters, on the slope", climate.on_rafters),
        ("what lies on the floor's joists", climate.on_joists),
        ("what lies on the loft's joists", climate.on_loft),
    ):
        if kinds:
            yield Worked(
                name,
                sum(kinds.values()),
                "weight of the pieces over the area of their sheets",
                tuple(Number(kind.value, load, Measured.LOAD) for kind, load in kinds.items()),
                "the model",
            )
    for name, load in (
        ("live load of the floor", site.floor_live if climate.floor_dead else 0.0),
        ("live load of the loft", climate.loft_live),
    ):
        if load:
            yield Worked(name, load, "as given or assumed", (), "IRC Table R301.5")
