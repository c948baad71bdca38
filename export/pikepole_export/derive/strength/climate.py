"""What the scene's site brings: even loads on roofs and floors, and what was taken for granted.

climate_of(building) -> Climate
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from pikepole_export.derive.buying.wording import in_words
from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.strength import snow, wind
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind, of
from pikepole_model.building.part import Building, Part
from pikepole_model.scene.site import Site
from pikepole_model.stock.design_values import ALLOWED
from pikepole_model.units import (
    STANDARD_GRAVITY_M_S2,
    Units,
    format_number,
)

# What a roof's members carry beside themselves.
COVERING = of(
    *(Family.UNDERLAYMENT, Family.PANELS, Family.ROOF_METAL, Family.EDGE_BOARDS, Family.SOFFITS)
) | {Kind.ROOF_SHEET, Kind.RAFTER_BLOCK}
FLOOR_COVERING = frozenset({Kind.FLOOR_SHEET, Kind.FLOOR_BOARD, Kind.FLOOR_BLOCK})
LOFT_COVERING = frozenset({Kind.LOFT_SHEET, Kind.LOFT_BLOCK})
WALLS = of(
    *(Family.WALL_FRAME, Family.SLATS, Family.WRAP, Family.WALL_METAL, Family.WINDOW_UNITS),
    *(Family.SIDING, Family.UPRIGHTS, Family.BATTENS, Family.CORNER_BOARDS, Family.PANES),
    *(Family.CASING, Family.FRAME_BOARDS, Family.LEAF_FACE, Family.LEAF_FRAME),
) | {Kind.WALL_SHEET, Kind.LINING}

IMPORTANCE = {"I": 0.8, "II": 1.0}  # Is. Source: ASCE 7-16 Table 1.5-2


@dataclass(frozen=True, slots=True)
class Climate:
    """The loads of a site on a building, kN/m2.

    Attributes:
        site: As the scene says.
        flat_snow: pf.
        thermal: Ct.
        importance: Is.
        open_q: Velocity pressure for free roofs at the roof's top.
        part_q: And for components and cladding.
        top_mm: How high the building is, h.
        height_per_length: That by its shorter side.
        on_rafters: What lies on the rafters, on the slope, each kind of it.
        on_joists: What lies on the joists.
        on_loft: What lies on the loft's joists.
        loft_live: Of the loft.
        wall_n_mm: What walls weigh for each mm of their plates, with all that is on them, N/mm.
    """

    site: Site
    flat_snow: float
    thermal: float
    importance: float
    open_q: float
    part_q: float
    top_mm: float
    height_per_length: float
    on_rafters: Mapping[Kind, float]
    on_joists: Mapping[Kind, float]
    on_loft: Mapping[Kind, float]
    loft_live: float
    wall_n_mm: float

    @property
    def roof_dead(self) -> float:
        """Of all that lies on the rafters, on the slope."""
        return sum(self.on_rafters.values())

    @property
    def floor_dead(self) -> float:
        """Of all that lies on the joists."""
        return sum(self.on_joists.values())

    @property
    def loft_dead(self) -> float:
        """Of all that lies on the loft's joists."""
        return sum(self.on_loft.values())

    def even_snow(self, slope_deg: float) -> float:
        """The even load on a slope, on the level; the least where it is flat enough for that."""
        cs = snow.slope_factor(slope_deg, thermal=self.thermal, slippery=False)
        least = 0.0
        if slope_deg < snow.LOW_SLOPE_DEG:
            least = snow.low_slope_least(self.site.ground_snow, importance=self.importance)
        return max(cs * self.flat_snow, least)


def climate_of(building: Building) -> Climate:
    """The loads of its site on what stands in the end."""
    scene, parts = building.scene, building.finished.parts
    site = scene.site
    thermal = snow.HEATED if site.heated else snow.UNHEATED
    importance = IMPORTANCE[site.risk]
    top_mm = max(part.bounds_mm[1][2] for part in parts)
    return Climate(
        site=site,
        flat_snow=snow.flat_roof(
            site.ground_snow,
            exposure=snow.EXPOSURE[site.terrain][site.roof_exposure],
            thermal=thermal,
            importance=importance,
        ),
        thermal=thermal,
        importance=importance,
        open_q=wind.velocity_pressure(site.wind, wind.exposure_factor(site.terrain, top_mm)),
        part_q=wind.velocity_pressure(site.wind, wind.part_exposure(site.terrain, top_mm)),
        top_mm=top_mm,
        height_per_length=top_mm / min(scene.building.length, scene.building.depth),
        on_rafters=_spread(parts, COVERING, {Kind.ROOF_SHEET}),
        on_joists=_spread(parts, FLOOR_COVERING, {Kind.FLOOR_SHEET, Kind.FLOOR_BOARD}),
        on_loft=_spread(parts, LOFT_COVERING, {Kind.LOFT_SHEET}),
        loft_live=scene.loft.live_load if scene.loft else 0.0,
        wall_n_mm=_per_length(parts),
    )


def _spread(
    parts: tuple[Part, ...], carried: frozenset[Kind], sheets: set[Kind]
) -> dict[Kind, float]:
    """The likely weight of some kinds, each spread over the area of the sheets, kN/m2."""
    kilos: dict[Kind, float] = {}
    for part in parts:
        if part.kind in carried:
            kilos[part.kind] = kilos.get(part.kind, 0.0) + part_mass(part).likely_kg
    area_mm2 = sum(
        part.volume_mm3 / min(part.shape.size_mm) for part in parts if part.kind in sheets
    )
    if not area_mm2:
        return {}
    per_kilo = STANDARD_GRAVITY_M_S2 / 1000 / (area_mm2 / 1e6)
    return {kind: mass * per_kilo for kind, mass in kilos.items()}


def _per_length(parts: tuple[Part, ...]) -> float:
    """The likely weight of all walls by the length of their bottom plates, N/mm."""
    kilos = sum(part_mass(part).likely_kg for part in parts if part.kind in WALLS)
    run_mm = sum(part.length_mm for part in parts if part.kind is Kind.BOTTOM_PLATE)
    return kilos * STANDARD_GRAVITY_M_S2 / run_mm if run_mm else 0.0


@dataclass(frozen=True, slots=True)
class Assumed:
    """What was taken for granted.

    Attributes:
        sentence: Without its end.
        mend: What the scene is to say in its place; empty where it has no key for it.
        confirm: What whoever looks it over does.
    """

    sentence: str
    mend: str = ""
    confirm: str = "confirm"

    @property
    def told(self) -> str:
        """For whoever looks it over."""
        return f"{self.sentence}, assumed; {self.confirm}." if self.mend else f"{self.sentence}."

    @property
    def asked(self) -> str:
        """For whoever writes the scene."""
        return f"{self.sentence}: {self.mend}." if self.mend else f"{self.sentence}."


# What some keys of the site come to nothing without.
_CARRIES = {
    "floor_live": frozenset({Kind.JOIST}),
    "soil": frozenset({Kind.PIER, Kind.SKID, Kind.FOOTING}),
}


def counts(building: Building, key: str) -> bool:
    """Whether a key of the site comes to anything in a building."""
    kinds = _CARRIES.get(key)
    return kinds is None or any(part.kind in kinds for part in building.parts)


def assumptions(building: Building, units: Units) -> Iterator[Assumed]:
    """What was taken for granted, because the scene does not say it or whatever it says."""
    site, lumber = building.scene.site, building.scene.lumber

    def load(value: float) -> str:
        return format_number(value, "load", units)

    said = {
        "ground_snow": f"Snow on the ground is {load(site.ground_snow)}",
        "roof_exposure": f"The roof is {EXPOSED[site.roof_exposure]} to wind that blows snow off",
        "heated": "The building is not heated",
        "wind": f"The basic wind speed is {format_number(site.wind, 'speed', units)}",
        "terrain": f"The terrain is of exposure {site.terrain}",
        "risk": f"The building is of risk category {site.risk}",
        "floor_live": f"Live load of the floor is {load(site.floor_live)}",
        "soil": f"The soil bears {load(site.soil)}",
    }
    for key, sentence in said.items():
        if key not in site.model_fields_set and counts(building, key):
            yield Assumed(sentence, f"give site.{key}")
    sections = building.scene.catalogue.lumber
    cut = {(part.stock, part.material.treated) for part in building.handled}
    woods = [(sections[stock], treated) for stock, treated in sorted(cut) if stock in sections]
    stamped = {treated for section, treated in woods if section.is_stamped}
    for key, grade in (("grade", lumber.grade), ("treated_grade", lumber.treated_grade)):
        treated = key == "treated_grade"
        if treated in stamped and key not in lumber.model_fields_set:
            which = "Treated lumber" if treated else "Lumber"
            mend = f"read its stamp and give lumber.{key}"
            yield Assumed(f"{which} is {grade}", mend, "confirm by its stamp")
    yield Assumed(
        in_words(
            "Treated lumber is taken as wet in use, and as incised unless it is southern pine",
            building.scene.english,
        )
    )
    if any(section.strength for section, _ in woods):
        yield Assumed(
            f"C16 and C24 are taken at {ALLOWED} of their characteristic values (EN 338), against "
            "buckling and across the grain at less, so that no duration of load makes more of them "
            "than EN 1995-1-1 allows: read their stamps"
        )
    yield Assumed(
        "Wind on walls and roofs is that along their edges; walls spread no load along them"
    )
    if building.scene.bay or building.scene.posts:
        yield Assumed(
            "Wind on open roofs is that on all of them, not the stronger one at their corners; no "
            "more than half of the space under them is blocked by what stands or is stacked there"
        )
    yield Assumed(
        "Roofing is spread evenly, snow is not taken to slide off it, and supports do not yield"
    )


EXPOSED = {"full": "fully exposed", "partial": "partly exposed", "sheltered": "sheltered"}
