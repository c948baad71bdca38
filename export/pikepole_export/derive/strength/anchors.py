"""Walls on a pad: what their anchor bolts hold along the plates, and drawn up under washers.

sills_of(paths) -> sills                    each wall whose plates are bolted to concrete
under_washer(paths, woods, plate)           what one bolt holds before its washer sinks in
anchor_checks(paths, woods) -> checks       wind along each wall and on it, its bolts in shear

Source: NDS 2018 12.3.1 with the concrete as main member, as Table 12E is worked out; what holds a
bolt in the concrete is not looked at.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from pikepole_export.derive.strength import dowels, nds
from pikepole_export.derive.strength.bays import WAYS
from pikepole_export.derive.strength.check import Check, Measured, Number, Rule
from pikepole_export.derive.strength.combinations import WIND_ALONE
from pikepole_export.derive.strength.fixings import yielding
from pikepole_export.derive.strength.members import Found, Woods
from pikepole_export.derive.strength.nds import Duration
from pikepole_export.derive.strength.paths import Paths
from pikepole_export.derive.strength.pushes import pushes_of
from pikepole_export.derive.strength.roofs import KN_M2
from pikepole_export.derive.strength.section import Section
from pikepole_export.derive.strength.wind import WINDWARD_SHARE
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part
from pikepole_model.plan.anchor_bolts import washer_mm
from pikepole_model.scene.foundation import Pad


@dataclass(frozen=True, slots=True)
class Sill:
    """A wall's plates on concrete.

    Attributes:
        group: The wall.
        plate: One of its bottom plates.
        washers: Of its anchor bolts.
        axis: That it stands along: 0 for X.
    """

    group: str
    plate: Part
    washers: tuple[Part, ...]
    axis: int

    @property
    def place_mm(self) -> float:
        """Where it stands, across itself."""
        return self.plate.centre_mm[1 - self.axis]


def sills_of(paths: Paths) -> list[Sill]:
    """Every wall whose plates are bolted to a pad."""
    plates: dict[str, Part] = {}
    washers: defaultdict[str, list[Part]] = defaultdict(list)
    for part in paths.members.parts.values():
        if part.kind is Kind.BOTTOM_PLATE:
            longest = plates.setdefault(part.group, part)
            plates[part.group] = max(longest, part, key=lambda one: one.length_mm)
        elif part.kind is Kind.WASHER:
            washers[part.group].append(part)
    found: list[Sill] = []
    for group, plate in plates.items():
        if washers[group]:
            (x0, y0, _), (x1, y1, _) = plate.bounds_mm
            axis = 0 if x1 - x0 >= y1 - y0 else 1
            found.append(Sill(group, plate, tuple(washers[group]), axis))
    return found


def pad_of(paths: Paths) -> Pad:
    """The pad that walls are bolted to.

    Raises:
        AssertionError: they stand on none.
    """
    foundation = paths.members.building.scene.foundation
    assert isinstance(foundation, Pad), "anchor bolts without a pad"
    return foundation


def under_washer(paths: Paths, woods: Woods, plate: Part) -> tuple[float, tuple[Number, ...]]:
    """What one bolt holds before its washer sinks into the plate, N, and where that comes from."""
    low, high = sorted(plate.section_mm or (0.0, 0.0))
    lumber = woods.lumber(plate, Section(high, low))
    side_mm = washer_mm(high)
    may = nds.bearing(lumber, length_mm=side_mm).value_n_mm2 if lumber else 0.0
    area_mm2 = side_mm**2 - math.pi * pad_of(paths).bolt_diameter ** 2 / 4
    numbers = (Number("A", area_mm2, Measured.AREA), Number("Fc-perp'", may, Measured.STRESS))
    return area_mm2 * may, numbers


def anchor_checks(paths: Paths, woods: Woods) -> Iterator[Found]:
    """Wind along each wall on a pad, and on it; friction is not counted.

    What pushes above half the walls' height comes by way of the roof to the walls that go its way;
    what pushes below, on the windward wall alone, straight to that wall's plates.
    """
    sills = sills_of(paths)
    if not sills:
        return
    for axis, push in enumerate(pushes_of(paths)):
        along = [sill for sill in sills if sill.axis == axis]
        for sill in sills:
            goes = sill.axis == axis
            area = push.upper_mm2 if goes else push.store_mm2 - push.upper_mm2
            share = 1 / len(along) if goes else WINDWARD_SHARE
            places = [one.place_mm for one in along]
            bays_n = push.from_bays_n(sill.place_mm, places) if goes else 0.0
            upper = Number("its area", area, Measured.FACE)
            force = Number("H", push.pressure * KN_M2 * area, Measured.FORCE)
            pressure = Number("wall pressure", push.pressure, Measured.LOAD)
            split = (
                Number("walls that way", len(along), Measured.COUNT)
                if goes
                else Number("windward", WINDWARD_SHARE, Measured.NUMBER)
            )
            leaning = (
                [Number("B, of bays that lean on it", bays_n, Measured.FORCE)] if bays_n else []
            )
            split_up = "H / walls that way" + (" + B" if bays_n else "")
            check = _held(
                paths,
                woods,
                sill,
                demand=0.6 * (force.value * share + bays_n),
                formula=f"0.6 ({split_up}), H above half their height"
                if goes
                else "0.6 H windward, H below half their height",
                numbers=(force, pressure, upper, split, *leaning),
                across=not goes,
                place=WAYS[axis],
            )
            label = f"{sill.group} bolts {'along' if goes else 'across'}"
            yield Found(label, sill.group, check)


def _held(
    paths: Paths,
    woods: Woods,
    sill: Sill,
    *,
    demand: float,
    formula: str,
    numbers: tuple[Number, ...],
    across: bool,
    place: str,
) -> Check:
    count, treated = len(sill.washers), sill.plate.material.treated
    z, bolt = _shear(paths, woods, sill.plate, across=across)
    wet, wind = dowels.WET if treated else 1.0, Duration.WIND.value
    return Check(
        member=sill.group,
        rule=Rule.SLIDING,
        combination=WIND_ALONE,
        demand=demand,
        capacity=count * z * wind * wet,
        measured=Measured.FORCE,
        formula=formula,
        numbers=(*numbers, Number("n", count, Measured.COUNT), *bolt),
        clause="ASCE 7-16 27.3.1; NDS 12.3.1, Table 12E, Table 11.3.3",
        limit=f"anchor bolts, n Z x CD {wind:g}" + (f" x CM {wet:g}" if treated else ""),
        place=f"{place}, {'across' if across else 'along'} its plates",
    )


def _shear(
    paths: Paths, woods: Woods, plate: Part, *, across: bool
) -> tuple[float, tuple[Number, ...]]:
    """Z of one bolt along or across the plate's grain, N, and where it comes from."""
    pad = pad_of(paths)
    bolt = dowels.bolt(pad.bolt_diameter)
    side = dowels.wood(woods.gravity(plate), bolt, thick_mm=min(plate.across_mm), across=across)
    main = dowels.concrete(pad.bolt_embedment)
    return yielding(bolt, side=side, main=main)
