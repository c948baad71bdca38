"""What the page shows together and lets a reader take away: one layer for each kind of work."""

from __future__ import annotations

from enum import StrEnum
from typing import assert_never

from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind


class Shown(StrEnum):
    """A layer, as it is called beside its box to tick."""

    FRAME = "Frame"
    SHEATHING = "Sheathing"
    ROOF = "Roof"
    SIDING = "Siding"
    OPENINGS = "Doors and windows"
    METAL = "Metal"
    GROUND = "Ground"


def shown(kind: Kind) -> Shown:
    """The layer of a kind of piece."""
    match kind.family:
        case (
            Family.EXISTING
            | Family.POSTS
            | Family.BEAMS
            | Family.KNEE_BRACES
            | Family.LEDGERS
            | Family.FLOOR_FRAME
            | Family.WALL_FRAME
            | Family.LOFT_FRAME
            | Family.LADDERS
            | Family.ROOF_FRAME
            | Family.STEPS
            | Family.TEMPORARY
        ):
            return Shown.FRAME
        case Family.SHEETS | Family.DECKING | Family.MEMBRANES:
            return Shown.SHEATHING
        case Family.UNDERLAYMENT | Family.PANELS | Family.EDGE_BOARDS | Family.SOFFITS:
            return Shown.ROOF
        case (
            Family.SIDING
            | Family.UPRIGHTS
            | Family.CORNER_BOARDS
            | Family.BATTENS
            | Family.SLATS
            | Family.SCREENS
            | Family.CASING
            | Family.WRAP  # it hides the sheathing as boards do
        ):
            return Shown.SIDING
        case (
            Family.WINDOW_UNITS
            | Family.FRAME_BOARDS
            | Family.STOPS
            | Family.PANES
            | Family.LEAF_FACE
            | Family.LEAF_FRAME
            | Family.HINGES
            | Family.LEAF_HARDWARE
            | Family.HANGERS
            | Family.TRACK
            | Family.GUIDES
        ):
            return Shown.OPENINGS
        case (
            Family.BOLTS
            | Family.ANGLES
            | Family.POST_METAL
            | Family.TIES
            | Family.ROOF_METAL
            | Family.WALL_METAL
            | Family.FLASHING_CORNERS
        ):
            return Shown.METAL
        case Family.GRAVEL | Family.CONCRETE:
            return Shown.GROUND
        case _:
            assert_never(kind.family)
