"""What a piece is made of, and what that weighs."""

from __future__ import annotations

from dataclasses import dataclass

from pikepole_model.stock.rows import Bulk, Flat, Made, Pane, Panel, Range, Roll, Sheet, Species
from pikepole_model.units import LB_FT3_IN_KG_M3

# Wood takes up water and swells only until its cell walls are full.
# Source: USDA Wood Handbook (FPL-GTR-282) ch. 4, fibre saturation about 30 %.
FIBRE_SATURATION_PERCENT = 30.0

# Assumed: the printed weights of panels are those of a dry store, 10 % moisture.
PANEL_MOISTURE_PERCENT = 10.0


@dataclass(frozen=True, slots=True)
class Material:
    """What a piece is made of, as far as its weight and its fasteners go.

    Attributes:
        name: "spruce-pine-fir", "southern pine, treated", "concrete".
        density_kg_m3: Density low, likely and high, kg/m3, at the scene's moisture.
        source: Where the density comes from.
        treated: Whether it is wood with preservative in it, which eats bare steel.
        weighed: What the scale said of it, and what that comes to, for people; empty where nobody
            weighed any.
        made: What a sheet of wood is made of; None of all else.
    """

    name: str
    density_kg_m3: tuple[float, float, float]
    source: str
    treated: bool = False
    weighed: str = ""
    made: Made | None = None

    @property
    def told(self) -> str:
        """Its name, and whether it was weighed."""
        return f"{self.name}, weighed" if self.weighed else self.name


# Untreated boards whose species nobody named: what the yard has.
BOARD = "board"


def wood_density_kg_m3(specific_gravity: float, moisture_percent: float) -> float:
    """Density of wood with the water that is in it, kg/m3.

    62.4 x G / (1 + 0.009 G MC) x (1 + MC / 100) lb/ft3, where the first bracket is the swelling
    of the wood and the second the weight of the water. Wood stops swelling at fibre saturation,
    so the swelling counts at most 30 % while the weight counts all of the water: without that
    limit, freshly treated timber at 100 % would come out some 20 % lighter than it is sold.

    Args:
        specific_gravity: Oven-dry weight over oven-dry volume.
        moisture_percent: Weight of water over oven-dry weight, percent.

    Source: NDS Supplement section 3.1.3 (number from memory); the limit from the USDA Wood
        Handbook ch. 4.
    """
    swelling_percent = min(moisture_percent, FIBRE_SATURATION_PERCENT)
    dry_lb_ft3 = 62.4 * specific_gravity / (1 + 0.009 * specific_gravity * swelling_percent)
    return dry_lb_ft3 * (1 + moisture_percent / 100) * LB_FT3_IN_KG_M3


def wood_moisture_percent(specific_gravity: float, density_kg_m3: float) -> float:
    """The moisture at which wood has a density, percent: `wood_density_kg_m3` turned round.

    Args:
        specific_gravity: Oven-dry weight over oven-dry volume.
        density_kg_m3: With the water that is in it; under that of dry wood there is none, and the
            moisture negative.
    """
    soaked = wood_density_kg_m3(specific_gravity, FIBRE_SATURATION_PERCENT)
    if density_kg_m3 > soaked:
        return 100 * (density_kg_m3 / soaked * (1 + FIBRE_SATURATION_PERCENT / 100) - 1)
    ratio = density_kg_m3 / wood_density_kg_m3(specific_gravity, 0.0)
    return (ratio - 1) / (0.01 - 0.009 * specific_gravity * ratio)


def panel_moisture_percent(sheet: Sheet, density_kg_m3: float) -> float:
    """The moisture at which a sheet has a density, percent: `sheet_material` turned round."""
    return 100 * (density_kg_m3 / sheet.density_kg_m3 * (1 + PANEL_MOISTURE_PERCENT / 100) - 1)


def wood(species: Species, moisture_percent: Range, *, treated: bool) -> Material:
    """Lumber of a species as a material, at moisture low, likely and high, percent.

    Args:
        species: The species.
        moisture_percent: Water over dry wood by mass: low, likely and high, from 0.
        treated: Whether with preservative, which is not weighed.
    """
    low, likely, high = (
        wood_density_kg_m3(species.specific_gravity, moisture) for moisture in moisture_percent
    )
    name = f"{species.name}, treated" if treated else species.name
    source = f"{species.source}; weight at moisture by NDS Supplement 3.1.3"
    return Material(name, (low, likely, high), source, treated)


def sheet_material(sheet: Sheet, moisture_percent: Range) -> Material:
    """A sheet as a material, its printed weight taken to moisture low, likely and high, percent.

    Assumes that a sheet is printed at 10 % moisture and keeps its size, and that a treated one was
    dried again, as its order asks.
    """
    low, likely, high = (
        sheet.density_kg_m3 * (1 + moisture / 100) / (1 + PANEL_MOISTURE_PERCENT / 100)
        for moisture in moisture_percent
    )
    return Material(sheet.name, (low, likely, high), sheet.source, sheet.treated, made=sheet.made)


def bulk_material(bulk: Bulk) -> Material:
    """Concrete, gravel or steel as a material."""
    return Material(bulk.name, bulk.density_kg_m3, bulk.source)


def by_area_material(row: Roll | Panel | Flat) -> Material:
    """What is sold by the square metre, as a material of the thickness that it is drawn with."""
    density_kg_m3 = row.mass_kg_m2 / (row.thickness_mm / 1000)
    return Material(row.name, (density_kg_m3, density_kg_m3, density_kg_m3), row.source)


def pane_material(pane: Pane) -> Material:
    """A pane as a material."""
    density_kg_m3 = pane.density_kg_m3
    return Material(pane.name, (density_kg_m3, density_kg_m3, density_kg_m3), pane.source)
