"""One comparison of what is asked of a member with what it is reckoned to bear."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from pikepole_export.derive.strength.beam import Force
from pikepole_export.derive.strength.combinations import Combination, Load
from pikepole_export.derive.strength.nds import Adjusted, Lumber


class Rule(Enum):
    """What is looked at, as it is called in lists."""

    BENDING = "bending"
    SHEAR = "shear"
    NOTCH = "shear at a notched end"
    BEARING = "bearing across the grain"
    LIVE_SAG = "deflection, live or snow"
    TOTAL_SAG = "deflection, all but wind"
    COMPRESSION = "compression along the grain"
    TENSION = "tension along the grain"
    COMBINED = "compression and bending"
    SLENDERNESS = "slenderness"
    JOINT = "force at a joint"
    UPLIFT = "uplift"
    WALL_END = "pull at the end of a braced wall"
    SWAY = "leaning where nothing is braced"
    SLIDING = "sliding"
    TIPPING = "tipping over"
    BEARING_LENGTH = "length of bearing"
    OVERHANG = "length past its last bearing"
    KINGS = "full-height studs beside an opening"
    BRACED = "braced length of a wall"
    SOIL = "bearing of the soil"
    DEPTH = "depth in the ground"


class Measured(Enum):
    """What a number measures; in the program's unit of it."""

    STRESS = "stress"  # N/mm2
    LENGTH = "length"  # mm
    AREA = "area"  # mm2
    FACE = "face"  # mm2 of a wall or a roof
    MODULUS = "modulus"  # mm3
    INERTIA = "inertia"  # mm4
    FORCE = "force"  # N
    MOMENT = "moment"  # N mm
    LOAD = "load"  # kN/m2
    LINE = "line"  # N/mm
    NUMBER = "number"  # of no unit
    COUNT = "count"  # of pieces


@dataclass(frozen=True, slots=True)
class Number:
    """A number that goes into a formula, by its symbol there."""

    symbol: str
    value: float
    measured: Measured


@dataclass(frozen=True, slots=True)
class Rating:
    """What bought steel is rated for by its maker, which a scene may give.

    Attributes:
        key: Of the scene, that gives it: "ties.base_rating".
        least_n: What one of them must be rated for to keep the rule, N.
    """

    key: str
    least_n: float


@dataclass(frozen=True, slots=True)
class Basis:
    """What moments, shear and reactions of a member come from.

    Attributes:
        loads: On it by what brings them, N: of what lies square to it along its length, of what
            stands in one place on its top, of a wall or a building what stands in it.
        lumber: Its wood and section; None of what is no member.
        length_mm: From end to end; of what stands its height; 0 of what is no member.
        supports: Where it lies, from its first end, mm, and on what; none of what stands.
        hinges_mm: Where all its plies are jointed, and where it leaves a wall.
        strip_mm: How wide a strip of roof or floor it carries; 0 where others bring it all.
        slope_deg: From the level.
    """

    loads: Mapping[Load, Sequence[Force]]
    lumber: Lumber | None = None
    length_mm: float = 0.0
    supports: tuple[tuple[float, str], ...] = ()
    hinges_mm: tuple[float, ...] = ()
    strip_mm: float = 0.0
    slope_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Worked:
    """A load as it is worked out, kN/m2.

    Attributes:
        name: What it is.
        load: How much.
        formula: How it comes about.
        numbers: What goes into that.
        clause: Where it stands.
    """

    name: str
    load: float
    formula: str
    numbers: tuple[Number, ...]
    clause: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """What is asked of a member, and what it is reckoned to bear.

    Attributes:
        member: Name of the part, the worst of its sort.
        rule: What is looked at.
        combination: The loads that ask most of it; None where none is asked.
        demand: In the unit of `measured`.
        capacity: What it is held against, in the same.
        measured: What both are.
        formula: How the demand comes about.
        numbers: What goes into that, and into the limit.
        limit: How the capacity comes about where no design value is behind it.
        key: Of the scene, that says what is held against; empty where none does.
        rating: Of bought steel, that would do; None where none is there to count.
        value: The design value behind it, with every factor.
        clause: Where the rule stands.
        at_mm: Where along the member, from its first end; None where that says nothing.
        place: The same in words.
        of: How many of its sort there are, of which it is the worst.
        sort: What is like it: "rafter".
        basis: What the member is reckoned with; None where all stands in the numbers.
        piece: Where the member is no piece and none of a beam's plies: the piece to look at.
    """

    member: str
    rule: Rule
    combination: Combination | None
    demand: float
    capacity: float
    measured: Measured
    formula: str
    numbers: tuple[Number, ...]
    clause: str
    limit: str = ""
    key: str = ""
    rating: Rating | None = None
    value: Adjusted | None = None
    at_mm: float | None = None
    place: str = ""
    of: int = 1
    sort: str = ""
    basis: Basis | None = None
    piece: str = ""

    @property
    def ratio(self) -> float:
        """Demand over capacity; above 1 it is over the rule. Infinite for no capacity at all."""
        if self.capacity > 0:
            return self.demand / self.capacity
        return math.inf if self.demand > 0 else 0.0

    @property
    def is_worked(self) -> bool:
        """Whether loads ask for it, or it is over: not a size that is just kept."""
        return self.combination is not None or self.is_over

    @property
    def is_over(self) -> bool:
        """Whether it is over its rule, by more than shapes are rounded by."""
        return self.ratio > 1 + 1e-6
