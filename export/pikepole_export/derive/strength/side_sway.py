"""What keeps open bays and buildings on posts from leaning where no knee braces stand in the way.

side_sway_checks(paths) -> checks

A bay beside a closed store leans along the wall that it is on: the sheets of its roof carry the
wind to that wall, as a diaphragm that is held there alone. Away from the wall beams or rafters tie
it to the store. Posts are hinged at foot and beam.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pikepole_export.derive.strength import wind
from pikepole_export.derive.strength.check import Check, Measured, Number, Rule
from pikepole_export.derive.strength.combinations import WIND_ALONE
from pikepole_export.derive.strength.frame import Member
from pikepole_export.derive.strength.members import Found
from pikepole_export.derive.strength.paths import Paths
from pikepole_export.derive.strength.pushes import WAYS
from pikepole_export.derive.strength.roofs import KN_M2, RAFTERS
from pikepole_export.derive.strength.sway import BRACES
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part
from pikepole_model.scene.posts import Bay
from pikepole_model.units import FOOT_MM, INCH_MM, POUND_FORCE_N

_PLF = POUND_FORCE_N / FOOT_MM
# Roof sheets nailed at 6 in, without blocks at their edges, however they lie, from so thick on:
# 8d, framing 2x. Source: APA E30V, Table 38.
_DIAPHRAGMS = (
    (15 / 32 * INCH_MM, 190 * _PLF),
    (7 / 16 * INCH_MM, 170 * _PLF),
    (3 / 8 * INCH_MM, 160 * _PLF),
)
_SLACK_MM = 0.6  # a sheet by the millimetre is so much thinner
# A diaphragm held along one side reaches no farther out than this many times its width. Source:
# SDPWS 2015 4.2.5.2, open front (from memory).
_FARTHEST = 1.5
_BY_SHEETS = "v x W, roof sheets as a diaphragm held at the store, unblocked (APA E30V Table 38)"
_TOO_FAR = "its roof's sheets reach out more than 1.5 W, farther than a diaphragm held there counts"
_BY_NOTHING = "no knee braces stand that way, and no sheeted roof ties it to a closed store"


@dataclass(frozen=True, slots=True)
class _Roof:
    """A free roof and the beams under it, as wind that goes one way sees it.

    Attributes:
        area_mm2: Of that.
        width_mm: As wide as it is the way of the wind, beside what it is fixed to.
        reach_mm: Out from that; 0 where it is fixed to nothing.
        sheets: Over it.
    """

    area_mm2: float
    width_mm: float = 0.0
    reach_mm: float = 0.0
    sheets: tuple[Part, ...] = ()


def side_sway_checks(paths: Paths) -> Iterator[Found]:
    """Every bay along its wall, and a building on posts each way without braces."""
    building = paths.members.building
    braces = [part for part in building.parts if part.kind in BRACES]
    for bay in building.scene.bay:
        # Along its beam a bay at the front or the back may have knee braces.
        along = 0 if bay.side in ("front", "back") else 1
        name = f"{bay.side} bay"
        if along == 1 or not any(part.label.startswith(name) for part in braces):
            yield Found(name, name, _leans(paths, name, _beside_store(paths, bay), along))
    if building.scene.posts:
        frees = paths.members.of(*RAFTERS, Kind.BEAM)
        for along in (1,) if braces else (0, 1):
            roof = _Roof(float(_seen(frees, along).area))
            yield Found(f"posts {WAYS[along]}", "posts", _leans(paths, "posts", roof, along))


def _seen(members: Sequence[Member], along: int) -> BaseGeometry:
    """Their outline, seen along X or Y."""
    points = np.concatenate([part.vertices_mm for one in members for part in one.wooden])
    return shapely.MultiPoint(points[:, [1 - along, 2]]).convex_hull


def _beside_store(paths: Paths, bay: Bay) -> _Roof:
    """The roof of a bay as wind along its wall sees it."""
    members, store = paths.members, paths.members.building.scene.building
    out = 0 if bay.side in ("left", "right") else 1
    face = 0.0 if bay.side in ("left", "front") else (store.length, store.depth)[out]
    sign = -1 if bay.side in ("left", "front") else 1

    def is_out(point: Sequence[float]) -> bool:
        return sign * (point[out] - face) > 0

    def reaches_out(member: Member) -> bool:
        return any(is_out(member.point(at)) for at in (0.0, member.length_mm))

    rafters = [one for one in members.of(*RAFTERS) if reaches_out(one)]
    beams = [one for one in members.of(Kind.BEAM) if reaches_out(one)]
    # Both may go on over the store, where its walls are pushed: no further in than its face.
    seen = _seen((*rafters, *beams), 1 - out)
    left, low, right, high = seen.bounds
    outside = (left, low, face, high) if sign < 0 else (face, low, right, high)
    points = np.concatenate([part.vertices_mm for one in rafters for part in one.wooden])
    wide = float(np.ptp(points[:, 1 - out]))
    return _Roof(
        float(shapely.intersection(seen, shapely.box(*outside)).area),
        min(wide, (store.depth, store.length)[out]),
        bay.reach,
        tuple(
            part
            for part in members.parts.values()
            if part.kind is Kind.ROOF_SHEET and is_out(part.centre_mm)
        ),
    )


def _leans(paths: Paths, name: str, roof: _Roof, along: int) -> Check:
    """Wind on it as on a wall, by its roof into the store, or by nothing."""
    pressure = wind.wall_push(paths.climate.open_q)
    push_n = pressure * KN_M2 * roof.area_mm2
    thick_mm = min((min(sheet.across_mm) for sheet in roof.sheets), default=0.0)
    v = next((v for least, v in _DIAPHRAGMS if thick_mm >= least - _SLACK_MM), 0.0)
    too_far = roof.reach_mm > _FARTHEST * roof.width_mm
    holds = v > 0 and not too_far
    return Check(
        member=name,
        rule=Rule.SWAY,
        combination=WIND_ALONE,
        demand=0.6 * push_n,
        capacity=v * roof.width_mm if holds else 0.0,
        measured=Measured.FORCE,
        formula="0.6 H",
        numbers=(
            Number("H", push_n, Measured.FORCE),
            Number("wall pressure", pressure, Measured.LOAD),
            Number("its area", roof.area_mm2, Measured.FACE),
            *(
                (
                    Number("v", v, Measured.LINE),
                    Number("W", roof.width_mm, Measured.LENGTH),
                    Number("reach, at most 1.5 W", roof.reach_mm, Measured.LENGTH),
                    Number("sheets, thick", thick_mm, Measured.LENGTH),
                )
                if roof.sheets
                else ()
            ),
        ),
        clause="ASCE 7-16 27.1.5, as on a wall; SDPWS 4.2.5.2",
        limit=_BY_SHEETS if holds else _TOO_FAR if v > 0 else _BY_NOTHING,
        place=WAYS[along],
    )
