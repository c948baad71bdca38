"""The roof's cross-section: its planes from the front to the back, and how high they lie.

    z          ridge
    |          .--..             Each plane runs down from its upper line, or from the high wall's
    |        .'     ``--..       outer face, to its lower line, or to the low wall's outer face.
    |      .'             ``--..
    |   front               back
    +-------------------------------- y

Under a clerestory they lie at two heights, with a strip of wall between them:

    z      overhang
    |        ``--..__              The upper plane runs down from the strip's framing, the lower one
    |         |      ``--..__      from what covers that, on a beam that stands out under it.
    |   .--'' |               ``
    +-------------------------------- y

Slopes, rakes of the walls, the ridge and the heights of the plates all follow from these planes.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from enum import Enum, auto
from functools import cached_property

from pikepole_model.plan.datums import Datums
from pikepole_model.plan.seats import Seats, end_rafter, lookout_mm
from pikepole_model.scene.schema import Clerestory, Knee, RidgeBeam
from pikepole_model.scene.types import FLATTEST_DEG, STEEPEST_DEG, Eave

# A slope that breaks into one less steeper than this is no knee that could be framed. Assumed.
LEAST_BREAK_DEG = 5.0

# Halving the range of slopes so often leaves less of it than a float can tell.
_HALVINGS = 50


class Meets(Enum):
    """What a plane of the roof ends at."""

    FREE = auto()  # an eave, or the high edge of a monopitch
    RIDGE = auto()
    KNEE = auto()  # where a slope breaks into a steeper one
    WALL = auto()  # of the store or a clerestory, which a lower roof comes up against
    STRIP = auto()  # of wall under the upper roof of a clerestory, which reaches out over it


@dataclass(frozen=True, slots=True)
class Plane:
    """One plane of the roof in section.

    Attributes:
        name: What tells it from the others; "" where there are none.
        falls: The side of the building that it falls to.
        slope_rad: From the level.
        start_y: Y of its upper line, or of the high wall's outer face, mm.
        run_mm: Level, from there to its lower line or the low wall's outer face.
        upper: What it meets at its upper line.
        lower: What it meets at its lower line.
        drop_mm: How far its upper line lies under the roof's highest.
    """

    name: str
    falls: Eave
    slope_rad: float
    start_y: float
    run_mm: float
    upper: Meets
    lower: Meets = Meets.FREE
    drop_mm: float = 0.0

    @property
    def way(self) -> int:
        """+1 where Y grows down the slope, -1 where it shrinks."""
        return 1 if self.falls == "back" else -1

    def meets_to(self, side: Eave) -> Meets:
        """What it meets at its end to one side."""
        return self.lower if self.falls == side else self.upper

    def walls(self, width: float) -> list[tuple[Eave, float]]:
        """The walls its rafters lie on, each with its bearing's lower edge down the slope, mm.

        Args:
            width: Of what they sit on, mm.
        """
        behind: Eave = "front" if self.falls == "back" else "back"
        walls: list[tuple[Eave, float]] = []
        if self.upper == Meets.FREE:
            walls.append((behind, width))
        if self.lower == Meets.FREE:
            walls.append((self.falls, self.run_mm))
        return walls


@dataclass(frozen=True, slots=True)
class RoofLine:
    """A line along the building in which two planes meet.

    Attributes:
        front: The one before it.
        back: The one behind it.
    """

    front: Plane
    back: Plane

    @property
    def y(self) -> float:
        """Where it is, mm."""
        return (self.front if self.front.falls == "front" else self.back).start_y

    @property
    def is_ridge(self) -> bool:
        """Whether the roof falls both ways from it."""
        return self.front.falls != self.back.falls

    @property
    def lean(self) -> float:
        """How far behind it the two meet for each mm that both are moved down square to themselves.

        The cut between rafters of the same depth follows it: plumb between equal slopes.
        """
        front, back = (-plane.way * plane.slope_rad for plane in (self.front, self.back))
        return math.sin((front + back) / 2) / math.cos((front - back) / 2)


@dataclass(frozen=True, slots=True)
class Strip:
    """The strip of wall between the two planes of a clerestory.

    Attributes:
        lower: The plane that comes up against it.
        upper: The plane over it.
        width_mm: Thickness of its framing.
        beam_mm: Thickness of the beam under it, whose inner face lies in its own.
    """

    lower: Plane
    upper: Plane
    width_mm: float
    beam_mm: float

    @property
    def y(self) -> float:
        """Its framing's outer face, mm."""
        return self.upper.start_y

    @property
    def shoulder_mm(self) -> float:
        """How much of the beam is left under the lower plane's rafters, level."""
        covered = abs(self.upper.start_y - self.lower.start_y)
        return self.beam_mm - self.width_mm - covered


@dataclass(frozen=True)
class CrossSection:
    """The planes of one scene's roof, and what they make of its walls' heights.

    Attributes:
        datums: The scene's own heights and widths.
        back_rad: Slope behind a ridge.
    """

    datums: Datums
    back_rad: float

    @cached_property
    def planes(self) -> tuple[Plane, ...]:
        """From the front to the back."""
        datums, roof = self.datums, self.datums.scene.roof
        slope_rad, depth = math.radians(roof.slope), datums.depth_mm
        if roof.clerestory:
            return self._stepped(roof.clerestory, slope_rad)
        if not roof.ridge:
            start_y = 0.0 if roof.falls == "back" else depth
            return (Plane("", roof.falls, slope_rad, start_y, depth, Meets.FREE),)
        y = depth / 2 if roof.ridge.from_front is None else roof.ridge.from_front
        front = _side("front", slope_rad, y, y, roof.knee)
        back = _side("back", self.back_rad, y, depth - y, roof.knee)
        return (*reversed(front), *back)

    def _stepped(self, clerestory: Clerestory, slope_rad: float) -> tuple[Plane, Plane]:
        datums, falls = self.datums, self.datums.scene.roof.falls
        faces: Eave = "front" if falls == "back" else "back"
        depth, out = datums.depth_mm, clerestory.from_wall
        sheet = datums.scene.sheet_stock(datums.scene.walls.sheet)
        covered = sheet.thickness_mm + datums.ledger_wrap_mm
        foot_rad = slope_rad if clerestory.slope is None else math.radians(clerestory.slope)

        def from_eave(run: float) -> float:
            return run if faces == "front" else depth - run

        upper = Plane("upper", falls, slope_rad, from_eave(out), depth - out, Meets.STRIP)
        run, step = out - covered, clerestory.step
        lower = Plane("lower", faces, foot_rad, from_eave(run), run, Meets.WALL, drop_mm=step)
        return (lower, upper) if faces == "front" else (upper, lower)

    @cached_property
    def lines(self) -> tuple[RoofLine, ...]:
        """The lines in which they meet, from the front to the back."""
        return tuple(
            RoofLine(*pair)
            for pair in itertools.pairwise(self.planes)
            if pair[0].meets_to("back") in (Meets.RIDGE, Meets.KNEE)
        )

    @cached_property
    def strip(self) -> Strip | None:
        """The strip of wall over which the roof steps up, if it does."""
        datums, clerestory = self.datums, self.datums.scene.roof.clerestory
        if not clerestory:
            return None
        lower, upper = sorted(self.planes, key=lambda plane: plane.upper == Meets.STRIP)
        return Strip(lower, upper, datums.wall_mm, datums.width_of(clerestory))

    def line_at(self, y: float) -> RoofLine:
        """The line nearest to a Y."""
        return min(self.lines, key=lambda line: abs(line.y - y))

    def widths_mm(self, plane: Plane) -> list[float]:
        """Width of each sort of level bearing under a plane's rafters."""
        datums, ridge = self.datums, self.datums.scene.roof.ridge
        widths = [datums.bearing_mm for _ in plane.walls(0.0)[:1]]
        if plane.upper == Meets.RIDGE and isinstance(ridge, RidgeBeam):
            widths.append(datums.width_of(ridge) / 2)
        if self.strip:
            over = plane.upper == Meets.STRIP
            widths.append(self.strip.width_mm if over else self.strip.shoulder_mm)
        if any(datums.runs_on(wall) for wall, _ in plane.walls(0.0)):
            widths.append(datums.lean_to_mm)
        return widths

    @cached_property
    def end_rafter(self) -> tuple[str, float]:
        """Stock and depth of the end rafters of all planes."""
        bearings = [
            (plane.slope_rad, width) for plane in self.planes for width in self.widths_mm(plane)
        ]
        return end_rafter(self.datums.scene, bearings)

    def seats(self, plane: Plane) -> Seats:
        """How a plane's rafters sit on what is level."""
        scene = self.datums.scene
        return Seats(
            plane.slope_rad,
            scene.lumber_stock(scene.roof.rafter).depth_mm,
            lookout_mm(scene),
            self.end_rafter[1],
        )

    @cached_property
    def _drops_mm(self) -> dict[Eave, float]:
        """How far under the roof's highest line the rafters sit over each wall."""
        width = self.datums.bearing_mm
        drops: dict[Eave, float] = {}
        for plane in self.planes:
            seats = self.seats(plane)
            tan, cos = math.tan(plane.slope_rad), math.cos(plane.slope_rad)
            for wall, edge in plane.walls(width):
                under = seats.rafter_mm / cos + tan * (edge - seats.common_mm(width))
                drops[wall] = plane.drop_mm + under
        return drops

    def plate_top_mm(self, wall: Eave) -> float:
        """Top of the front or back wall's plates, or of the posts there, above ground.

        Where the scene gives both heights, the low wall's is as near to what it says as `back_rad`
        brings it.
        """
        walls, drops = self.datums.scene.heights, self._drops_mm
        if walls.high_height is not None:
            given, over = walls.high_height, min(drops.values())
        else:
            assert walls.low_height is not None
            given, over = walls.low_height, max(drops.values())
        return self.datums.floor_mm + given + over - drops[wall]

    def underside_mm(self, plane: Plane) -> float:
        """Height above ground of the rafters' straight underside at a plane's upper line."""
        highest = self.highest_mm - plane.drop_mm
        return highest - self.seats(plane).rafter_mm / math.cos(plane.slope_rad)

    def bearing_top_mm(self, plane: Plane, edge: float, width: float) -> float:
        """Height above ground of something level that carries a plane's rafters.

        Args:
            plane: The plane.
            edge: Its lower edge, level down the slope, mm.
            width: Of it, mm.
        """
        seat = self.seats(plane).common_mm(width)
        return self.underside_mm(plane) - math.tan(plane.slope_rad) * (edge - seat)

    @property
    def highest_mm(self) -> float:
        """Height above ground of the rafters' top edges at the roof's highest line."""
        return self.plate_top_mm("front") + self.datums.beam_depth_mm + self._drops_mm["front"]


def _side(
    falls: Eave, slope_rad: float, ridge_y: float, run_mm: float, knee: Knee | None
) -> list[Plane]:
    """The planes of one side of a ridge, from the top down.

    Args:
        falls: Which side.
        slope_rad: At the ridge.
        ridge_y: Y of the ridge, mm.
        run_mm: Level, from there to the wall's outer face.
        knee: Where it breaks into a steeper slope, if it does; one that cannot be breaks nothing.
    """
    steeper = knee is not None and math.degrees(slope_rad) + LEAST_BREAK_DEG <= knee.slope + 1e-9
    if knee is None or not steeper or not 0 < knee.from_wall < run_mm:
        return [Plane(falls, falls, slope_rad, ridge_y, run_mm, Meets.RIDGE)]
    run, out = run_mm - knee.from_wall, knee.from_wall
    upper = Plane(f"{falls} upper", falls, slope_rad, ridge_y, run, Meets.RIDGE, Meets.KNEE)
    knee_y, drop = ridge_y + upper.way * run, math.tan(slope_rad) * run
    steep = math.radians(knee.slope)
    below = Plane(f"{falls} lower", falls, steep, knee_y, out, Meets.KNEE, drop_mm=drop)
    return [upper, below]


def cross_section(datums: Datums) -> CrossSection:
    """A scene's cross-section; where it gives two heights of walls, the back slope follows.

    That is then the flattest or the steepest where no slope between makes both heights.
    """
    roof, walls = datums.scene.roof, datums.scene.heights
    back = roof.slope if roof.back_slope is None else roof.back_slope
    if not roof.ridge or walls.low_height is None or walls.high_height is None:
        return CrossSection(datums, math.radians(back))
    lower = (walls.high_height - walls.low_height) * (1 if roof.falls == "back" else -1)
    flat, steep = math.radians(FLATTEST_DEG), math.radians(STEEPEST_DEG)
    for _ in range(_HALVINGS):
        middle = CrossSection(datums, (flat + steep) / 2)
        if middle.plate_top_mm("front") - middle.plate_top_mm("back") < lower:
            flat = middle.back_rad
        else:
            steep = middle.back_rad
    return CrossSection(datums, (flat + steep) / 2)
