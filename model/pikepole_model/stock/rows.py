"""The rows of the catalogue: one thing that can be bought each, with its source."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias, TypeVar

from pikepole_model.errors import CatalogueError
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.units import INCH_MM

Range: TypeAlias = tuple[float, float, float]
STAMPED = "stamped"
# Boards are thinner than 2 in nominal, dressed 1-1/2 in, and dimension lumber begins there. Source:
# PS 20 (from memory); 38 mm is the same in metric sections.
BOARDS_UNDER_MM = 38.0
RollUse: TypeAlias = Literal[
    "house wrap",
    "roof underlayment",
    "flashing membrane",
    "flashing tape",
    "vent screen",
    "vent mesh",
]
# What a sheet of wood is made of.
Made: TypeAlias = Literal["OSB", "plywood", "other"]


@dataclass(frozen=True, slots=True)
class Lumber:
    """A section of sawn lumber at its dressed size.

    Attributes:
        name: "2x4".
        breadth_mm: The smaller side, mm.
        depth_mm: The larger side, mm.
        lengths_mm: Stock lengths, mm, shortest first.
        source: Where the size and the lengths come from.
        trim_mm: What each end of a board loses before it is used, mm.
        usual_mm: The longest that yards stock of any board, and of one for a beam, a rafter or
            another piece that has to be in one length, mm; None where all lengths are stocked.
        studs_mm: Lengths of pre-cut studs, mm: untreated, square at both ends, for studs alone.
        strength: The class of EN 338 that it is sorted into, "C24"; empty for what is graded by the
            scene.
        to_order_mm: Lengths that can be had and that a scene does not ask for, mm.
        grade: What a yard is asked for, STAMPED for the grade of a scene; empty for a scene's own
            section.
    """

    name: str
    breadth_mm: float
    depth_mm: float
    lengths_mm: tuple[float, ...]
    source: str
    trim_mm: float = 0.0
    usual_mm: tuple[float, float] | None = None
    studs_mm: tuple[float, ...] = ()
    grade: str = ""
    strength: str = ""
    to_order_mm: tuple[float, ...] = ()

    @property
    def is_board(self) -> bool:
        """Whether it is graded by its looks, as boards are, and not for what it carries."""
        return self.breadth_mm < BOARDS_UNDER_MM

    @property
    def is_stamped(self) -> bool:
        """Whether it bears the grade of a scene: no board, and sorted into no class of EN 338."""
        return self.grade == STAMPED or not (self.grade or self.is_board)

    @property
    def nominal_mm(self) -> float:
        """Nominal depth, mm: the next whole inch of what PS 20 dresses, else the depth itself.

        Source: PS 20 takes 1/2 or 3/4 in off 2 to 12 in; EN 336 names sections by their size.
        """
        if self.strength or self.is_board:
            return self.depth_mm
        return math.ceil(self.depth_mm / INCH_MM - TOLERANCE_MM) * INCH_MM

    @property
    def longest_mm(self) -> float:
        """The longest piece that a board gives, mm."""
        return self.lengths_mm[-1] - 2 * self.trim_mm

    @property
    def common_mm(self) -> float:
        """The longest board that yards stock of any kind, mm."""
        usual = [mm for mm in self.lengths_mm if not self.usual_mm or mm <= self.usual_mm[0]]
        return max(usual, default=self.lengths_mm[0])

    def longest_of_mm(self, run_mm: float) -> float:
        """The longest piece of a run that may be parted over supports, mm.

        A run as long as a common board is not parted for the ends that the board loses.

        Args:
            run_mm: Its length.
        """
        whole_mm = min(self.common_mm, self.longest_mm)
        return whole_mm if run_mm <= whole_mm else self.common_mm - 2 * self.trim_mm

    def longest_whole_mm(self, run_mm: float) -> float:
        """The longest piece of a run of what is put in as it comes, untrimmed, mm.

        Args:
            run_mm: Its length.
        """
        comes = any(abs(mm - run_mm) < TOLERANCE_MM for mm in self.lengths_mm)
        return run_mm if comes else self.longest_mm

    def as_bought(self, longest_mm: float | None, trim_mm: float) -> Lumber:
        """The section with its ends trimmed, in lengths up to a longest, or the shortest it has.

        Args:
            longest_mm: What a scene says; None for what yards stock.
            trim_mm: What each end loses.
        """
        most = longest_mm or (self.usual_mm[1] if self.usual_mm else math.inf)
        lengths = tuple(mm for mm in self.lengths_mm if mm <= most) or self.lengths_mm[:1]
        studs = tuple(mm for mm in self.studs_mm if mm <= most)
        usual = None if longest_mm else self.usual_mm
        return replace(
            self,
            lengths_mm=lengths,
            trim_mm=trim_mm,
            usual_mm=usual,
            studs_mm=studs,
            to_order_mm=tuple(mm for mm in self.lengths_mm if mm > lengths[-1]),
        )


@dataclass(frozen=True, slots=True)
class Sheet:
    """A panel.

    Attributes:
        name: "7/16 OSB".
        thickness_mm: Thickness, mm.
        width_mm: The shorter side, mm.
        length_mm: The longer side, mm: the way its strength axis runs.
        density_kg_m3: Its printed weight over its thickness, kg/m3.
        source: Where the size and the weight come from.
        bond: The class that a yard is asked for where it is covered, and where it is not; none of
            a pane.
        made: What it is made of.
        cover_mm: What one with tongue and groove covers of its width, mm: its face, less the
            tongue; None where it comes with square edges only.
        treated: Whether it is had with preservative in it.
    """

    name: str
    thickness_mm: float
    width_mm: float
    length_mm: float
    density_kg_m3: float
    source: str
    bond: tuple[str, str] = ("", "")
    made: Made = "other"
    cover_mm: float | None = None
    treated: bool = False

    def row_mm(self, *, tongued: bool) -> float:
        """How wide a row of them lies, mm.

        Args:
            tongued: Whether with tongue and groove.
        """
        return (tongued and self.cover_mm) or self.width_mm


@dataclass(frozen=True, slots=True)
class Species:
    """A species or group of species that lumber is sold as.

    Attributes:
        name: "spruce-pine-fir".
        specific_gravity: Oven-dry weight over oven-dry volume, as a multiple of water.
        source: Where it comes from.
    """

    name: str
    specific_gravity: float
    source: str


@dataclass(frozen=True, slots=True)
class Bulk:
    """What is bought by volume or weight: concrete, gravel, steel.

    Attributes:
        name: "concrete".
        density_kg_m3: Density low, likely and high, kg/m3.
        source: Where it comes from.
    """

    name: str
    density_kg_m3: Range
    source: str


@dataclass(frozen=True, slots=True)
class Roll:
    """What is unrolled over a wall or a roof in courses: house wrap, underlayment.

    Attributes:
        name: "house wrap 9 ft".
        width_mm: Of the roll, mm.
        length_mm: On the roll, mm.
        lap_mm: How far a course laps the one below it, mm.
        end_lap_mm: How far a length laps the one before it, mm.
        thickness_mm: How thick it is drawn, mm.
        mass_kg_m2: Of one layer, kg/m2.
        uses: What it serves as.
        source: Where all of this comes from.
    """

    name: str
    width_mm: float
    length_mm: float
    lap_mm: float
    end_lap_mm: float
    thickness_mm: float
    mass_kg_m2: float
    uses: tuple[RollUse, ...]
    source: str


@dataclass(frozen=True, slots=True)
class Panel:
    """A sheet with trapezoidal ribs that run up the slope, of steel or a composite.

    Attributes:
        name: "ribbed steel 9 in 29 ga".
        cover_mm: From the middle of its first rib to the middle of its last, mm.
        pitch_mm: From rib to rib, mm.
        rib_mm: Height, width at the top, width at the bottom of a rib, mm; of its middle plane.
        thickness_mm: Thickness, mm.
        mass_kg_m2: Of the sheet before it is ribbed, kg/m2.
        source: Where all of this comes from.
        screwed: One rib of so many is screwed down.
    """

    name: str
    cover_mm: float
    pitch_mm: float
    rib_mm: tuple[float, float, float]
    thickness_mm: float
    mass_kg_m2: float
    source: str
    screwed: int = 1

    @property
    def gaps(self) -> int:
        """How many ribs it has past its first."""
        return round(self.cover_mm / self.pitch_mm)


@dataclass(frozen=True, slots=True)
class Flat:
    """Flat steel that edges and flashings are bent from.

    Attributes:
        name: "flat steel 29 ga".
        thickness_mm: Thickness, mm.
        mass_kg_m2: kg/m2.
        length_mm: Length of one bent piece, mm.
        lap_mm: How far a piece laps the one before it, mm.
        source: Where all of this comes from.
    """

    name: str
    thickness_mm: float
    mass_kg_m2: float
    length_mm: float
    lap_mm: float
    source: str


@dataclass(frozen=True, slots=True)
class Pane:
    """A pane that a fixed light is cut from.

    Attributes:
        name: "6 mm polycarbonate".
        thickness_mm: Thickness, mm.
        density_kg_m3: Density, kg/m3.
        source: Where it comes from.
        sheet_mm: Width and length of the sheet it is cut from, mm; None where it is ordered cut to
            size.
        scored: Whether the sheet is scored and snapped, as glass is; else a saw cuts it.
    """

    name: str
    thickness_mm: float
    density_kg_m3: float
    source: str
    sheet_mm: tuple[float, float] | None = None
    scored: bool = False

    @property
    def sheet(self) -> Sheet | None:
        """The sheet it is cut from; None where it is ordered cut to size."""
        if self.sheet_mm is None:
            return None
        return Sheet(self.name, self.thickness_mm, *self.sheet_mm, self.density_kg_m3, self.source)


@dataclass(frozen=True, slots=True)
class Glazed:
    """A sort of bought window.

    Attributes:
        name: "double glazed".
        mass_kg_m2: What a square metre of it weighs with its frame, low, likely and high, kg/m2.
        source: Where it comes from.
    """

    name: str
    mass_kg_m2: Range
    source: str


@dataclass(frozen=True, slots=True)
class Mesh:
    """A sheet of welded wire that lies in a slab.

    Attributes:
        name: "6x6 W1.4 mesh".
        square_mm: From wire to wire, mm.
        wire_mm: Diameter of a wire, mm.
        width_mm: The shorter side of a sheet, mm.
        length_mm: The longer side, mm.
        source: Where all of this comes from.
    """

    name: str
    square_mm: float
    wire_mm: float
    width_mm: float
    length_mm: float
    source: str


@dataclass(frozen=True, slots=True)
class Bar:
    """A steel bar that lies in a slab.

    Attributes:
        name: "No. 4 bar".
        diameter_mm: mm.
        length_mm: Stock length, mm.
        source: Where it comes from.
    """

    name: str
    diameter_mm: float
    length_mm: float
    source: str


AnyRow: TypeAlias = (
    Lumber | Sheet | Species | Bulk | Roll | Panel | Flat | Pane | Glazed | Mesh | Bar
)
Row = TypeVar("Row", Lumber, Sheet, Species, Bulk, Roll, Panel, Flat, Pane, Glazed, Mesh, Bar)


def check_row(row: AnyRow) -> None:
    """Sizes above zero and in order, a name and a source.

    Raises:
        CatalogueError: says what is wrong with which row.
    """
    match row:
        case Lumber():
            numbers = (row.breadth_mm, row.depth_mm, *row.lengths_mm)
            ordered = row.breadth_mm <= row.depth_mm and _rising(row.lengths_mm)
            ordered = ordered and _rising(row.usual_mm or ()) and _rising(row.studs_mm)
        case Sheet():
            cover_mm = row.row_mm(tongued=True)
            numbers = (row.thickness_mm, cover_mm, row.length_mm, row.density_kg_m3)
            ordered = row.thickness_mm < cover_mm <= row.width_mm <= row.length_mm
        case Species():
            numbers, ordered = (row.specific_gravity,), row.specific_gravity < 1.5
        case Bulk():
            numbers, ordered = row.density_kg_m3, _rising(row.density_kg_m3)
        case Roll():
            numbers = (row.lap_mm, row.end_lap_mm, row.thickness_mm, row.mass_kg_m2)
            ordered = row.lap_mm < row.width_mm <= row.length_mm
        case Panel():
            numbers = (*row.rib_mm, row.thickness_mm, row.mass_kg_m2)
            gaps = row.cover_mm / row.pitch_mm
            ordered = row.rib_mm[1] < row.rib_mm[2] < row.pitch_mm <= row.cover_mm
            ordered = ordered and abs(gaps - round(gaps)) * row.pitch_mm < TOLERANCE_MM
        case Flat():
            numbers = (row.thickness_mm, row.mass_kg_m2, row.lap_mm)
            ordered = row.lap_mm < row.length_mm
        case Pane():
            sides = row.sheet_mm or ()
            numbers = (row.thickness_mm, row.density_kg_m3, *sides)
            ordered = _rising(sides)
        case Glazed():
            numbers, ordered = row.mass_kg_m2, _rising(row.mass_kg_m2)
        case Mesh():
            numbers = (row.wire_mm, row.square_mm, row.width_mm, row.length_mm)
            ordered = _rising(numbers)
        case Bar():
            numbers = (row.diameter_mm, row.length_mm)
            ordered = _rising(numbers)
    if not row.name.strip() or not row.source.strip():
        raise CatalogueError(f'the row "{row.name}" lacks its name or its source')
    if not all(math.isfinite(number) and number > 0 for number in numbers):
        raise CatalogueError(f'"{row.name}": every size and weight must be above zero')
    if len(numbers) < 3 and isinstance(row, Lumber):
        raise CatalogueError(f'"{row.name}": at least one stock length is needed')
    if not ordered:
        raise CatalogueError(f'"{row.name}": give the smaller size first')


def _rising(numbers: tuple[float, ...]) -> bool:
    return list(numbers) == sorted(numbers)
