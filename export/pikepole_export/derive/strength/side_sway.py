"""What keeps open bays and buildings on posts from leaning where no knee braces stand in the way.

side_sway_checks(paths) -> checks

Away from the wall beams or rafters tie a bay to the store. Posts are hinged at foot and beam.
"""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_export.derive.strength import wind
from pikepole_export.derive.strength.bays import BRACES, WAYS, FreeRoof, bays_of, seen_along
from pikepole_export.derive.strength.check import Check, Measured, Number, Rule
from pikepole_export.derive.strength.combinations import WIND_ALONE
from pikepole_export.derive.strength.members import Found
from pikepole_export.derive.strength.paths import Paths
from pikepole_export.derive.strength.roofs import RAFTERS
from pikepole_model.building.kinds import Kind

_BY_SHEETS = "v x W, roof sheets as a diaphragm held at the store, unblocked (APA E30V Table 38)"
_TOO_FAR = (
    "its roof's sheets reach out more than 1.5 times their width (1.5 W), farther than a diaphragm "
    "held there counts"
)
_BY_NOTHING = "no knee braces stand that way, and no sheeted roof ties it to a closed store"


def side_sway_checks(paths: Paths) -> Iterator[Found]:
    """Every bay along its wall, and a building on posts each way without braces."""
    building = paths.members.building
    for roof in bays_of(paths):
        yield Found(roof.name, roof.name, _leans(roof))
    if building.scene.posts:
        braced = any(part.kind in BRACES for part in building.parts)
        frees = paths.members.of(*RAFTERS, Kind.BEAM)
        for along in (1,) if braced else (0, 1):
            area_mm2 = float(seen_along(frees, along).area)
            roof = FreeRoof("posts", along, area_mm2, wind.wall_push(paths.climate.open_q))
            yield Found(f"posts {WAYS[along]}", "posts", _leans(roof))


def _leans(roof: FreeRoof) -> Check:
    """Wind on it as on a wall, by its roof into the store, or by nothing."""
    v = roof.shear_n_mm
    return Check(
        member=roof.name,
        rule=Rule.SWAY,
        combination=WIND_ALONE,
        demand=0.6 * roof.push_n,
        capacity=v * roof.width_mm if roof.is_held else 0.0,
        measured=Measured.FORCE,
        formula="0.6 H",
        numbers=(
            Number("H", roof.push_n, Measured.FORCE),
            Number("wall pressure", roof.pressure, Measured.LOAD),
            Number("its area", roof.area_mm2, Measured.FACE),
            *(
                (
                    Number("v", v, Measured.LINE),
                    Number("W", roof.width_mm, Measured.LENGTH),
                    Number("reach, at most 1.5 W", roof.reach_mm, Measured.LENGTH),
                    Number("sheets, thick", roof.thick_mm, Measured.LENGTH),
                )
                if roof.sheets
                else ()
            ),
        ),
        clause="ASCE 7-16 27.1.5, as on a wall; SDPWS 4.2.5.2",
        limit=_BY_SHEETS if roof.is_held else _TOO_FAR if v > 0 else _BY_NOTHING,
        place=WAYS[roof.along],
    )
