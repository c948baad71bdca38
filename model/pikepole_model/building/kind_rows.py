"""What is said of a kind of piece: its family, and the rows that several kinds share.

`kinds` is the table that gives each kind one of either.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum, StrEnum, auto, unique


@unique
class Family(Enum):
    """What a kind is built in with; its value is what `data/fasteners.toml` calls it."""

    EXISTING = "existing"
    GRAVEL = "gravel"
    CONCRETE = "concrete"
    BOLTS = "bolts"
    ANGLES = "anchor angles"
    POST_METAL = "post metal"
    POSTS = "posts"
    BEAMS = "beam plies"
    KNEE_BRACES = "knee braces"
    LEDGERS = "ledgers"
    TIES = "steel ties"
    FLOOR_FRAME = "floor frame"
    WALL_FRAME = "wall frame"
    LOFT_FRAME = "loft frame"
    LADDERS = "ladders"
    ROOF_FRAME = "roof frame"
    SHEETS = "sheets"
    SLATS = "slats"
    DECKING = "decking"
    SCREENS = "screens"
    EDGE_BOARDS = "edge boards"
    SOFFITS = "soffits"
    UNDERLAYMENT = "underlayment"
    PANELS = "panels"
    ROOF_METAL = "roof metal"
    WALL_METAL = "wall metal"
    FLASHING_CORNERS = "flashing corners"
    WRAP = "wrap"
    SIDING = "siding"
    UPRIGHTS = "boards that stand upright"
    CORNER_BOARDS = "corner boards"
    BATTENS = "battens"
    MEMBRANES = "membranes"
    WINDOW_UNITS = "window units"
    FRAME_BOARDS = "frame boards"
    STOPS = "stops"
    PANES = "panes"
    CASING = "casings"
    LEAF_FACE = "face of a leaf"
    LEAF_FRAME = "frame of a leaf"
    HINGES = "hinges"
    LEAF_HARDWARE = "hardware of a leaf"
    HANGERS = "hangers"
    TRACK = "track"
    GUIDES = "guides"
    STEPS = "steps and ramps"
    TEMPORARY = "temporary members"


class Counted(Enum):
    """What of it is added up beside the number of pieces."""

    LENGTH = auto()  # of the stock it is cut from
    AREA = auto()  # that it covers
    NOT = auto()  # stands there already: nobody counts it, buys it or weighs it


class Bought(StrEnum):
    """How it is bought."""

    NOT = "not"  # stands there already
    CUT_OUT = "cut out"  # of a piece beside it, in which it is bought
    GRAVEL = "gravel"  # by volume, with what is lost as it settles
    CONCRETE = "concrete"  # by the pour
    BOLT = "bolt"  # a set of bolt, washer and nut, with the fasteners
    CONNECTOR = "connector"  # as drawn, with the fasteners
    PLANNED = "planned"  # in boards or sheets, as the cut plan says
    ROLL = "roll"  # in rolls that go on from one to the next
    ROLL_PIECES = "pieces off a roll"  # in rolls, each piece whole
    PANEL = "panel"  # to length
    BENT = "bent"  # bent to length from flat metal
    FOLDED = "folded"  # each folded from a flat blank
    BLOCK = "block"  # each ready cast
    PACKER = "packer"  # each as it comes
    PANE = "pane"  # to size, where it does not come in sheets
    WINDOW = "window"  # each whole, to the size of its opening
    LEAF = "door leaf"  # each whole, to the size of its opening
    IRON = "iron"  # ironmongery as drawn
    FITTING = "fitting"  # ironmongery chosen by the leaf that it carries


class Cut(Enum):
    """What the cut plan cuts it from."""

    NOT = auto()
    BOARD = auto()  # its layout gives it a section
    SHEET = auto()
    PANE = auto()  # a sheet, if it comes in any


class Handled(Enum):
    """How one piece is taken hold of when it is raised by itself, or why none is."""

    STICK = auto()  # long and slim, or small
    POST = auto()  # a stick that is stood up on its foot
    SHEET = auto()  # wide and thin
    ROOFING = auto()  # wide and thin, pushed up over the eave
    LOFT_DECK = auto()  # wide and thin, slid up over a joist from the floor inside
    UNIT = auto()  # whole and delicate
    ROLL = auto()  # never raised: unrolled where it stays
    IN_PLACE = auto()  # never raised: spread or cast where it stays
    THERE = auto()  # never raised: stands there already


class Assembly(Enum):
    """What it is put together into before that is raised, or can be."""

    NONE = auto()
    WALL = auto()
    BEAM = auto()
    LEAF = auto()


class Appearance(Enum):
    """What it looks like in pictures and files."""

    WOOD = auto()  # treated or not, as its material says
    SHEET = auto()
    CONCRETE = auto()
    GRAVEL = auto()
    STEEL = auto()
    GALVANISED = auto()
    FELT = auto()
    WRAP = auto()
    MEMBRANE = auto()
    GLASS = auto()
    THERE = auto()  # there already


class Drawn(Enum):
    """What is drawn to make it by, where it is more than its stock cut square."""

    NOT = auto()  # nothing: bought as it is, or scribed to what is there
    TEMPLATE = auto()  # a pattern to mark lumber from
    OUTLINE = auto()  # a flat piece on its blank
    BEND = auto()  # the profile of bent metal; `derive/measures/bends` says where its legs lie
    FOLD = auto()  # a folded corner, laid flat


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """What a line of the table says about a kind. No field may be left out.

    Attributes:
        counted: What of it is added up.
        bought: How it is bought.
        cut: What it is cut from.
        handled: How one piece is raised.
        assembly: What it is raised as part of.
        look: What it looks like.
        drawn: What is drawn to make it by.
        stays: Whether it stays in the ground when the building is moved.
        may_turn: Whether it may be turned on the sheet it is cut from: no grain shows or carries.
    """

    counted: Counted
    bought: Bought
    cut: Cut
    handled: Handled
    assembly: Assembly
    look: Appearance
    drawn: Drawn
    stays: bool
    may_turn: bool


# What stands there, and what is in the ground.
THERE = Row(
    counted=Counted.NOT,
    bought=Bought.NOT,
    cut=Cut.NOT,
    handled=Handled.THERE,
    assembly=Assembly.NONE,
    look=Appearance.THERE,
    drawn=Drawn.NOT,
    stays=True,
    may_turn=False,
)
CAST = Row(
    counted=Counted.LENGTH,
    bought=Bought.CONCRETE,
    cut=Cut.NOT,
    handled=Handled.IN_PLACE,
    assembly=Assembly.NONE,
    look=Appearance.CONCRETE,
    drawn=Drawn.NOT,
    stays=True,
    may_turn=False,
)
CAST_FLAT = replace(CAST, counted=Counted.AREA)
BED = replace(CAST_FLAT, bought=Bought.GRAVEL, look=Appearance.GRAVEL)
BLOCK = replace(CAST, bought=Bought.BLOCK, handled=Handled.STICK)

# Lumber, by what it is raised as.
BOARD = Row(
    counted=Counted.LENGTH,
    bought=Bought.PLANNED,
    cut=Cut.BOARD,
    handled=Handled.STICK,
    assembly=Assembly.NONE,
    look=Appearance.WOOD,
    drawn=Drawn.TEMPLATE,
    stays=False,
    may_turn=False,
)
STAYING_BOARD = replace(BOARD, stays=True)
STANDING_BOARD = replace(BOARD, handled=Handled.POST)
SCRIBED = replace(BOARD, drawn=Drawn.NOT)
WALL_BOARD = replace(BOARD, assembly=Assembly.WALL)
STANDING_WALL_BOARD = replace(WALL_BOARD, handled=Handled.POST)
BEAM_BOARD = replace(BOARD, assembly=Assembly.BEAM)
LEAF_BOARD = replace(BOARD, assembly=Assembly.LEAF)

# Wood-based sheets.
SHEET = Row(
    counted=Counted.AREA,
    bought=Bought.PLANNED,
    cut=Cut.SHEET,
    handled=Handled.SHEET,
    assembly=Assembly.NONE,
    look=Appearance.SHEET,
    drawn=Drawn.OUTLINE,
    stays=False,
    may_turn=False,
)
ROOFING_SHEET = replace(SHEET, handled=Handled.ROOFING)
LOFT_DECK_SHEET = replace(SHEET, handled=Handled.LOFT_DECK)
LEAF_SHEET = replace(SHEET, assembly=Assembly.LEAF)
GUSSET_SHEET = replace(SHEET, handled=Handled.STICK)
SPACER_IN_WALL = replace(SHEET, handled=Handled.STICK, assembly=Assembly.WALL, may_turn=True)
SPACER_IN_BEAM = replace(SPACER_IN_WALL, assembly=Assembly.BEAM)

# What comes off rolls. A strip is counted by its length, a course by what it covers.
FELT_COURSE = Row(
    counted=Counted.AREA,
    bought=Bought.ROLL,
    cut=Cut.NOT,
    handled=Handled.ROLL,
    assembly=Assembly.NONE,
    look=Appearance.FELT,
    drawn=Drawn.NOT,
    stays=False,
    may_turn=False,
)
FELT_STRIP = replace(FELT_COURSE, counted=Counted.LENGTH)
WRAP_COURSE = replace(FELT_COURSE, look=Appearance.WRAP)
WRAP_STRIP = replace(WRAP_COURSE, counted=Counted.LENGTH)
SCREEN_STRIP = replace(FELT_STRIP, look=Appearance.GALVANISED)
WRAP_CUT = replace(WRAP_STRIP, bought=Bought.CUT_OUT)
MEMBRANE = replace(FELT_COURSE, bought=Bought.ROLL_PIECES, look=Appearance.MEMBRANE)
MESH_PIECE = replace(MEMBRANE, look=Appearance.GALVANISED)

# Metal.
TRIM = Row(
    counted=Counted.LENGTH,
    bought=Bought.BENT,
    cut=Cut.NOT,
    handled=Handled.STICK,
    assembly=Assembly.NONE,
    look=Appearance.GALVANISED,
    drawn=Drawn.BEND,
    stays=False,
    may_turn=False,
)
FOLDED = replace(TRIM, bought=Bought.FOLDED, drawn=Drawn.FOLD)
TURNED_END = replace(TRIM, bought=Bought.CUT_OUT, drawn=Drawn.NOT)
ROOFING_PANEL = replace(TRIM, bought=Bought.PANEL, handled=Handled.ROOFING, drawn=Drawn.NOT)
IRON = replace(TRIM, bought=Bought.IRON, drawn=Drawn.NOT)
FITTING = replace(IRON, bought=Bought.FITTING)
LEAF_FITTING = replace(FITTING, assembly=Assembly.LEAF)
CAP = replace(IRON, bought=Bought.CONNECTOR, look=Appearance.STEEL)
BASE = replace(CAP, stays=True)
BOLT = replace(BASE, bought=Bought.BOLT)
TIE_METAL = replace(CAP, look=Appearance.GALVANISED)
GROUND_METAL = replace(TIE_METAL, stays=True)

# What fills an opening.
WINDOW = Row(
    counted=Counted.AREA,
    bought=Bought.WINDOW,
    cut=Cut.NOT,
    handled=Handled.UNIT,
    assembly=Assembly.NONE,
    look=Appearance.GLASS,
    drawn=Drawn.NOT,
    stays=False,
    may_turn=False,
)
GLASS = replace(WINDOW, bought=Bought.PANE, cut=Cut.PANE, may_turn=True)
BOUGHT_LEAF = replace(
    WINDOW,
    bought=Bought.LEAF,
    handled=Handled.SHEET,
    assembly=Assembly.LEAF,
    look=Appearance.GALVANISED,
)
PACKING = replace(BOARD, bought=Bought.PACKER, cut=Cut.NOT, drawn=Drawn.NOT)
