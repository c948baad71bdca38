"""How far lengths of bent metal lap, by what they are."""

from __future__ import annotations

from pikepole_model.building.kinds import Kind
from pikepole_model.stock.metric import usual_mm
from pikepole_model.stock.rows import Flat
from pikepole_model.units import INCH_MM, Units

# What comes down over the ribs at the upper end of a slope.
OVER_RIBS = (Kind.RIDGE_CAP, Kind.PEAK_CAP, Kind.KNEE_FLASHING, Kind.WALL_FLASHING)

# Lengths of that lap 6 in, in sealant, as wind drives rain in along them: trade practice, no
# source. All others lap as flat steel does: a drip edge 2 in (IRC R905.2.8.5).
LAP_OVER_RIBS_MM = 6 * INCH_MM


def end_lap_mm(kind: Kind, flat: Flat, units: Units) -> float:
    """How far a length laps the one before it, mm."""
    return usual_mm(LAP_OVER_RIBS_MM, units) if kind in OVER_RIBS else flat.lap_mm
