"""Every kind of piece: what it is called on site, the family it belongs to, and its row.

    Kind        the table: one line for each kind
    of(...)     the kinds of some families

A line without its family or its row is refused when this is imported. What the columns mean, and
the rows that are named here, is in `kind_rows`.
"""

from __future__ import annotations

from enum import StrEnum, unique
from typing import Self

from pikepole_model.building.kind_rows import (
    BASE,
    BEAM_BOARD,
    BED,
    BLOCK,
    BOARD,
    BOLT,
    BOUGHT_LEAF,
    CAP,
    CAST,
    CAST_FLAT,
    FELT_COURSE,
    FELT_STRIP,
    FITTING,
    FOLDED,
    GLASS,
    GROUND_METAL,
    GUSSET_SHEET,
    IRON,
    LEAF_BOARD,
    LEAF_FITTING,
    LEAF_SHEET,
    LOFT_DECK_SHEET,
    MEMBRANE,
    MESH_PIECE,
    PACKING,
    ROOFING_PANEL,
    ROOFING_SHEET,
    SCREEN_STRIP,
    SCRIBED,
    SHEET,
    SPACER_IN_BEAM,
    SPACER_IN_WALL,
    STANDING_BOARD,
    STANDING_WALL_BOARD,
    STAYING_BOARD,
    THERE,
    TIE_METAL,
    TRIM,
    TURNED_END,
    WALL_BOARD,
    WINDOW,
    WRAP_COURSE,
    WRAP_CUT,
    WRAP_STRIP,
    Family,
    Row,
)


@unique
class Kind(StrEnum):
    """What a piece is called on site, its family and its row."""

    _value_: str
    family: Family
    row: Row

    def __new__(cls, text: str, family: Family, row: Row) -> Self:
        """A line of the table.

        Args:
            text: What it is called on site.
            family: What it is built in with.
            row: How it is counted, bought, raised, drawn and so on.
        """
        kind = str.__new__(cls, text)
        kind._value_ = text
        kind.family = family
        kind.row = row
        return kind

    EXISTING = "existing", Family.EXISTING, THERE
    GRAVEL = "gravel bed", Family.GRAVEL, BED
    SLAB = "slab", Family.CONCRETE, CAST_FLAT
    FOOTING = "footing", Family.CONCRETE, CAST
    RAMP_TOE = "ramp toe", Family.CONCRETE, CAST
    ANCHOR_BOLT = "anchor bolt", Family.BOLTS, BOLT
    WASHER = "bolt washer", Family.BOLTS, BOLT
    NUT = "bolt nut", Family.BOLTS, BOLT
    DRILLED_ANCHOR = "drilled anchor", Family.BOLTS, BOLT
    GROUND_ANCHOR = "ground anchor", Family.TIES, GROUND_METAL
    ANCHOR_BLOCK = "anchor block", Family.TIES, STAYING_BOARD
    ANCHOR_ANGLE = "anchor angle", Family.ANGLES, CAP
    PIER = "pier block", Family.CONCRETE, BLOCK
    SKID = "skid", Family.FLOOR_FRAME, BOARD
    GIRDER = "girder", Family.FLOOR_FRAME, BOARD
    RIM = "rim joist", Family.FLOOR_FRAME, BOARD
    FLOOR_LEDGER = "floor ledger", Family.FLOOR_FRAME, BOARD
    JOIST = "floor joist", Family.FLOOR_FRAME, BOARD
    FLOOR_HEADER = "floor header", Family.FLOOR_FRAME, BOARD
    FLOOR_BLOCK = "floor block", Family.FLOOR_FRAME, BOARD
    FLOOR_SHEET = "floor sheet", Family.SHEETS, SHEET
    FLOOR_BOARD = "floor board", Family.DECKING, BOARD
    BOTTOM_PLATE = "bottom plate", Family.WALL_FRAME, WALL_BOARD
    TOP_PLATE = "top plate", Family.WALL_FRAME, WALL_BOARD
    STUD = "stud", Family.WALL_FRAME, WALL_BOARD
    CORNER_STUD = "corner stud", Family.WALL_FRAME, WALL_BOARD
    KING = "king stud", Family.WALL_FRAME, WALL_BOARD
    JACK = "jack stud", Family.WALL_FRAME, WALL_BOARD
    WALL_POST = "wall post", Family.WALL_FRAME, STANDING_WALL_BOARD
    LET_IN_BRACE = "let-in brace", Family.WALL_FRAME, WALL_BOARD
    HEADER = "header ply", Family.WALL_FRAME, WALL_BOARD
    HEADER_SPACER = "header spacer", Family.WALL_FRAME, SPACER_IN_WALL
    HEAD_PLATE = "head plate", Family.WALL_FRAME, WALL_BOARD
    HEADER_PACKING = "header packing", Family.WALL_FRAME, WALL_BOARD
    SILL = "rough sill", Family.WALL_FRAME, WALL_BOARD
    CRIPPLE = "cripple stud", Family.WALL_FRAME, WALL_BOARD
    WALL_BLOCK = "sheet-edge block", Family.WALL_FRAME, WALL_BOARD
    NAILING_BLOCK = "nailing block", Family.WALL_FRAME, WALL_BOARD
    GIRT = "girt", Family.WALL_FRAME, WALL_BOARD
    WALL_SHEET = "wall sheet", Family.SHEETS, SHEET
    WALL_SLAT = "wall slat", Family.SLATS, BOARD
    UPRIGHT_SLAT = "upright slat", Family.SLATS, BOARD
    LINING = "lining sheet", Family.SHEETS, SHEET
    POST_BASE = "post base", Family.POST_METAL, BASE
    POST = "post", Family.POSTS, STANDING_BOARD
    POST_CAP = "post cap", Family.POST_METAL, CAP
    POST_STUD = "post stud", Family.WALL_FRAME, WALL_BOARD
    LEDGER = "ledger", Family.LEDGERS, BOARD
    BEAM = "beam ply", Family.BEAMS, BEAM_BOARD
    BEAM_SPACER = "beam spacer", Family.BEAMS, SPACER_IN_BEAM
    KNEE_BRACE = "knee brace", Family.KNEE_BRACES, BOARD
    BOLTED_BRACE = "bolted knee brace", Family.KNEE_BRACES, BOARD
    LOFT_LEDGER = "loft ledger", Family.LOFT_FRAME, BOARD
    LOFT_JOIST = "loft joist", Family.LOFT_FRAME, BOARD
    LOFT_HEADER = "loft header", Family.LOFT_FRAME, BOARD
    LOFT_BLOCK = "loft block", Family.LOFT_FRAME, BOARD
    LOFT_SHEET = "loft sheet", Family.SHEETS, LOFT_DECK_SHEET
    LADDER_RAIL = "ladder rail", Family.LADDERS, BOARD
    LADDER_TREAD = "ladder tread", Family.LADDERS, BOARD
    LADDER_CLEAT = "ladder cleat", Family.LADDERS, BOARD
    GRAB_RAIL = "grab rail", Family.LADDERS, BOARD
    RAFTER = "rafter", Family.ROOF_FRAME, BOARD
    END_RAFTER = "end rafter", Family.ROOF_FRAME, BOARD
    FLY_RAFTER = "fly rafter", Family.ROOF_FRAME, BOARD
    RIDGE_BOARD = "ridge board", Family.ROOF_FRAME, BOARD
    TIE = "rafter tie", Family.ROOF_FRAME, BOARD
    GUSSET = "gusset", Family.ROOF_FRAME, GUSSET_SHEET
    TIE_DOWN = "rafter tie-down", Family.TIES, TIE_METAL
    FLOOR_TIE = "floor tie", Family.TIES, TIE_METAL
    RIDGE_STRAP = "ridge strap", Family.TIES, TIE_METAL
    STRAP = "strap", Family.TIES, TIE_METAL
    LOOKOUT = "lookout", Family.ROOF_FRAME, BOARD
    LOOKOUT_BLOCK = "lookout block", Family.ROOF_FRAME, BOARD
    RAFTER_BLOCK = "rafter block", Family.ROOF_FRAME, BOARD
    VENT_SCREEN = "vent screen", Family.SCREENS, SCREEN_STRIP
    FASCIA = "fascia", Family.EDGE_BOARDS, BOARD
    BARGE = "barge board", Family.EDGE_BOARDS, BOARD
    SOFFIT = "soffit sheet", Family.SOFFITS, SHEET
    ROOF_SHEET = "roof sheet", Family.SHEETS, ROOFING_SHEET
    UNDERLAYMENT = "roof underlayment", Family.UNDERLAYMENT, FELT_COURSE
    RIDGE_STRIP = "ridge underlayment", Family.UNDERLAYMENT, FELT_STRIP
    PANEL = "roof panel", Family.PANELS, ROOFING_PANEL
    DRIP_EDGE = "drip edge", Family.ROOF_METAL, TRIM
    RAKE_TRIM = "rake trim", Family.ROOF_METAL, TRIM
    RIDGE_CAP = "ridge cap", Family.ROOF_METAL, TRIM
    PEAK_CAP = "peak cap", Family.ROOF_METAL, TRIM
    KNEE_FLASHING = "knee flashing", Family.ROOF_METAL, TRIM
    WALL_FLASHING = "wall flashing", Family.ROOF_METAL, TRIM
    BASE_FLASHING = "base flashing", Family.WALL_METAL, TRIM
    FLASHING_CORNER = "flashing corner", Family.FLASHING_CORNERS, FOLDED
    HEAD_FLASHING = "head flashing", Family.WALL_METAL, TRIM
    END_DAM = "end dam", Family.FLASHING_CORNERS, TURNED_END
    JOINT_FLASHING = "joint flashing", Family.WALL_METAL, TRIM
    LEDGER_WRAP = "ledger wrap", Family.WRAP, WRAP_STRIP
    WRAP = "house wrap", Family.WRAP, WRAP_COURSE
    SIDING = "siding board", Family.SIDING, SCRIBED
    UPRIGHT_BOARD = "upright board", Family.UPRIGHTS, SCRIBED
    STRIP = "siding strip", Family.UPRIGHTS, SHEET
    BATTEN = "batten", Family.BATTENS, BOARD
    BATTEN_STRIP = "batten strip", Family.BATTENS, SHEET
    CORNER_BOARD = "corner board", Family.CORNER_BOARDS, BOARD
    JOINT_BOARD = "joint board", Family.SIDING, BOARD
    EAVE_BOARD = "eave board", Family.SIDING, SCRIBED
    SILL_MEMBRANE = "sill membrane", Family.MEMBRANES, MEMBRANE
    JAMB_TAPE = "jamb tape", Family.MEMBRANES, MEMBRANE
    HEAD_TAPE = "head tape", Family.MEMBRANES, MEMBRANE
    WRAP_FLAP = "wrap flap", Family.WRAP, WRAP_CUT
    WINDOW_UNIT = "window unit", Family.WINDOW_UNITS, WINDOW
    PACKER = "packer", Family.WINDOW_UNITS, PACKING
    FRAME_BOARD = "frame board", Family.FRAME_BOARDS, BOARD
    THRESHOLD = "threshold", Family.FRAME_BOARDS, BOARD
    GLAZING_STOP = "glazing stop", Family.STOPS, BOARD
    SLAT = "vent slat", Family.STOPS, BOARD
    VENT_MESH = "vent mesh", Family.SCREENS, MESH_PIECE
    PANE = "pane", Family.PANES, GLASS
    CASING = "casing", Family.CASING, BOARD
    DOOR_STOP = "door stop", Family.STOPS, BOARD
    DOOR_SHEET = "door sheet", Family.LEAF_FACE, LEAF_SHEET
    DOOR_BOARD = "door board", Family.LEAF_FACE, LEAF_BOARD
    STEEL_LEAF = "steel leaf", Family.LEAF_FACE, BOUGHT_LEAF
    LEDGE = "door ledge", Family.LEAF_FRAME, LEAF_BOARD
    BRACE = "door brace", Family.LEAF_FRAME, LEAF_BOARD
    STILE = "door stile", Family.LEAF_FRAME, LEAF_BOARD
    DOOR_RAIL = "door rail", Family.LEAF_FRAME, LEAF_BOARD
    ASTRAGAL = "astragal", Family.LEAF_FRAME, LEAF_BOARD
    HINGE = "hinge", Family.HINGES, LEAF_FITTING
    LATCH = "door latch", Family.LEAF_HARDWARE, LEAF_FITTING
    PULL = "door pull", Family.LEAF_HARDWARE, LEAF_FITTING
    DOOR_BOLT = "door bolt", Family.LEAF_HARDWARE, LEAF_FITTING
    WALL_CAP = "wall cap", Family.CASING, BOARD
    TRACK_BOARD = "track board", Family.CASING, BOARD
    TRACK_SPACER = "track spacer", Family.TRACK, IRON
    TRACK = "door track", Family.TRACK, FITTING
    TRACK_STOP = "track stop", Family.TRACK, IRON
    HANGER = "door hanger", Family.HANGERS, LEAF_FITTING
    WHEEL = "hanger wheel", Family.HANGERS, LEAF_FITTING
    GUIDE = "floor guide", Family.GUIDES, FITTING
    STRINGER = "stringer", Family.STEPS, STAYING_BOARD
    SUPPORT_LEG = "support leg", Family.STEPS, STAYING_BOARD
    BEARING_LEG = "bearing leg", Family.STEPS, STAYING_BOARD
    STEP_TREAD = "step tread", Family.STEPS, STAYING_BOARD
    RAMP_JOIST = "ramp joist", Family.STEPS, STAYING_BOARD
    RAMP_BOARD = "ramp board", Family.STEPS, STAYING_BOARD
    CARRYING_BEAM = "carrying beam", Family.TEMPORARY, BOARD
    RAMP_PLANK = "ramp plank", Family.TEMPORARY, BOARD


def of(*families: Family) -> frozenset[Kind]:
    """The kinds of some families."""
    return frozenset(kind for kind in Kind if kind.family in families)


CLADDING = of(Family.SIDING, Family.UPRIGHTS, Family.CORNER_BOARDS, Family.BATTENS)
SLATS = of(Family.SLATS)
LEAF = of(Family.LEAF_FACE, Family.LEAF_FRAME)
# What lies on a framed floor; and what people stand on once it is there.
FLOORING = frozenset({Kind.FLOOR_SHEET, Kind.FLOOR_BOARD})
DECK = FLOORING | {Kind.SLAB}
# What holds wood to concrete: bought by its length.
ANCHORS = frozenset({Kind.ANCHOR_BOLT, Kind.DRILLED_ANCHOR})
