"""Where in a scene it is said what a piece is: the key to look at when one is in the way.

key_of(kind) -> "roof.ridge"     a table of the scene file, or a key in it
tables_of(kind, other) -> the tables that those keys are in
"""

from __future__ import annotations

from typing import assert_never

from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind

# Kinds that another table places than the rest of their family.
_OWN = {
    Kind.FOOTING: "bay.footing",
    Kind.SKID: "foundation",
    Kind.GIRDER: "foundation",
    Kind.FLOOR_SHEET: "floor",
    Kind.LOFT_SHEET: "loft",
    Kind.ROOF_SHEET: "roof",
    Kind.RIDGE_BOARD: "roof.ridge",
    Kind.TIE: "roof.ridge",
    Kind.GUSSET: "roof.knee",
    Kind.KING: "opening",
    Kind.JACK: "opening",
    Kind.HEADER: "opening",
    Kind.HEADER_SPACER: "opening",
    Kind.HEADER_PACKING: "opening",
    Kind.HEAD_PLATE: "opening",
    Kind.SILL: "opening",
    Kind.CRIPPLE: "opening",
    Kind.WALL_CAP: "walls",
    Kind.DOOR_STOP: "opening.door",
    Kind.TRACK_BOARD: "opening.door.track",
}


def key_of(kind: Kind) -> str:
    """The table or key of a scene that places a kind of piece, without its number."""
    if kind in _OWN:
        return _OWN[kind]
    match kind.family:
        case Family.EXISTING:
            return "existing"
        case Family.GRAVEL | Family.CONCRETE | Family.BOLTS | Family.ANGLES:
            return "foundation"
        case Family.POST_METAL | Family.POSTS:
            return "bay"
        case Family.BEAMS:
            return "beam"
        case Family.KNEE_BRACES:
            return "bay.brace"
        case Family.LEDGERS:
            return "bay.ledger"
        case Family.FLOOR_FRAME | Family.DECKING:
            return "floor"
        case Family.WALL_FRAME | Family.SHEETS | Family.SLATS:
            return "walls"
        case Family.LOFT_FRAME:
            return "loft"
        case Family.LADDERS:
            return "loft.opening.ladder"
        case Family.TIES:
            return "ties"
        case Family.ROOF_FRAME:
            return "roof"
        case Family.SCREENS:
            return "opening" if kind is Kind.VENT_MESH else "roof.eave"
        case Family.EDGE_BOARDS | Family.SOFFITS:
            return "edges"
        case Family.UNDERLAYMENT | Family.PANELS:
            return "roofing"
        case Family.ROOF_METAL | Family.WALL_METAL | Family.FLASHING_CORNERS:
            return "edges.metal"
        case Family.WRAP:
            return "wrap"
        case Family.SIDING | Family.UPRIGHTS | Family.CORNER_BOARDS | Family.BATTENS:
            return "cladding"
        case (
            Family.MEMBRANES
            | Family.WINDOW_UNITS
            | Family.FRAME_BOARDS
            | Family.STOPS
            | Family.PANES
        ):
            return "opening"
        case Family.CASING:
            return "opening.trim"
        case Family.LEAF_FACE | Family.LEAF_FRAME | Family.HINGES | Family.LEAF_HARDWARE:
            return "opening.door"
        case Family.HANGERS | Family.TRACK | Family.GUIDES:
            return "opening.door.track"
        case Family.STEPS:
            return "opening.steps"
        case Family.TEMPORARY:
            return "move"
        case _:
            assert_never(kind.family)


def tables_of(*kinds: Kind) -> tuple[str, ...]:
    """The tables of a scene that place kinds of pieces."""
    return tuple(dict.fromkeys(key_of(kind).partition(".")[0] for kind in kinds))
