"""One plane of the roof: what its rafters rest on, where they stand and where they end.

upper end       bearing                  bearing   lower end
__                                        z
|  ``--..__                                |
|__        ``--..__                        |__ h: level distance down the slope
0  |  |            ``--.|  |``--..__            from its starting line
|  |                 |  |        ``|
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum, auto
from functools import cached_property
from typing import Literal

from pikepole_model.geometry.spacing import LEAST_STICK_MM, TOLERANCE_MM, on_centre
from pikepole_model.plan.cross_section import Meets
from pikepole_model.scene.schema import Tail
from pikepole_model.scene.types import Eave


class Support(Enum):
    """What rafters sit on."""

    WALL = auto()  # its plates, or the beam on them
    RIDGE = auto()
    KNEE = auto()  # the purlin under it
    STRIP = auto()  # the plates of a clerestory's strip
    STRIP_BEAM = auto()  # the beam under that, in front of it
    LEAN_TO = auto()  # the beam out at a lean-to
    INNER = auto()  # the beam on a row of inner posts
    LEDGER = auto()


@dataclass(frozen=True, slots=True)
class Bearing:
    """Something level that rafters sit on.

    Attributes:
        on: What it is.
        h: Its upper and lower edge down the slope, mm.
        seat_mm: Level seat of a common rafter on it.
        top_mm: Its height above ground.
        level_at_ends: Whether an end rafter finds it level too. Where side walls lap their raking
            plates over the corners it does not, and lies on those.
        outer_up: Whether its outer face is the upper one, as a high wall's is.
    """

    on: Support
    h: tuple[float, float]
    seat_mm: float
    top_mm: float
    level_at_ends: bool
    outer_up: bool = False


@dataclass(frozen=True, slots=True)
class RafterEnd:
    """Where a slope's rafters end.

    Attributes:
        h: Of the corner of their top edge, mm.
        cut: How they are cut there; a mitre halves the angle to the slope that they meet.
        meets: What is there.
        edge_mm: Thickness of the fascia across them, over which the roof sheets reach.
        lean: How much farther down the slope that mitre is for each mm of depth, square to the
            slope: nothing between equal slopes.
    """

    h: float
    cut: Tail | Literal["mitre"]
    meets: Meets
    edge_mm: float = 0.0
    lean: float = 0.0


@dataclass(frozen=True, slots=True)
class RafterLine:
    """How rafters stand along X.

    Attributes:
        ends: Outer faces of the end rafters, mm.
        spacing: Centre to centre, mm.
        breadth_mm: Thickness of a rafter.
        on_walls: Centres of the rafters that lie on an end wall under a roof that runs on.
        clear: How far from each end a common rafter stands at least, mm: the plates of a wall there
            carry the end rafter only, and lookouts reach in as far as they stand out.
    """

    ends: tuple[float, float]
    spacing: float
    breadth_mm: float
    on_walls: tuple[float, ...] = ()
    clear: tuple[float, float] = (0.0, 0.0)

    def centres(self) -> tuple[float, ...]:
        """X of every rafter's centre, from the left end, the end rafters first and last."""
        (start, end), half = self.ends, self.breadth_mm / 2
        first, last = start + self.clear[0] + half, end - self.clear[1] - half
        between = on_centre(start, end, self.spacing, self.breadth_mm)[1:-1]
        placed = list(self.on_walls)
        # Those that stay where the tape puts them come first; one that is moved in from an end, or
        # stands beside one on a wall, and leaves no hand's room there is not needed.
        least = min(self.breadth_mm + LEAST_STICK_MM, self.spacing) - TOLERANCE_MM
        for x in sorted(
            {min(max(x, first), last) for x in between}, key=lambda x: x not in between
        ):
            if all(abs(x - other) >= least for other in placed):
                placed.append(x)
        return (start + half, *sorted(placed), end - half)


@dataclass(frozen=True)
class Slope:
    """One plane of the roof.

    Attributes:
        prefix: What tells its pieces from those of other slopes; "" where there are no others.
        falls: The side of the building that it falls to.
        slope_rad: From the level.
        start_y: Y where h is 0, mm.
        start_mm: Height of the rafters' top edge at h = 0.
        rafter_mm: Depth of its common rafters.
        rafter: Stock of its common rafters.
        end_rafter: Stock of its end rafters.
        end_rafter_mm: Depth of its end rafters.
        lookout_mm: Thickness of the lookouts that pass over the end rafters; 0 without.
        upper: Its rafters' upper end.
        lower: Their lower end.
        bearings: What they sit on, from the top down.
        overhangs_mm: How far the fly rafters stand past its end rafters' outer faces, left and
            right; 0 where there are none.
        barge_mm: Thickness of the barge boards outside those, over which the roof sheets reach.
        line: How its rafters stand along X.
    """

    prefix: str
    falls: Eave
    slope_rad: float
    start_y: float
    start_mm: float
    rafter: str
    rafter_mm: float
    end_rafter: str
    end_rafter_mm: float
    lookout_mm: float
    upper: RafterEnd
    lower: RafterEnd
    bearings: tuple[Bearing, ...]
    overhangs_mm: tuple[float, float]
    barge_mm: float
    line: RafterLine

    @property
    def name(self) -> str:
        """What it is called: "roof", "front roof", "back lean-to roof"."""
        return f"{self.prefix}roof"

    @property
    def way(self) -> int:
        """+1 where Y grows down the slope, -1 where it shrinks."""
        return 1 if self.falls == "back" else -1

    @property
    def breadth_mm(self) -> float:
        """Thickness of a rafter."""
        return self.line.breadth_mm

    @cached_property
    def centres_mm(self) -> tuple[float, ...]:
        """X of every rafter's centre, the end rafters first and last."""
        return self.line.centres()

    def is_end(self, centre: float) -> bool:
        """Whether the rafter at an X is an end rafter."""
        return centre in (self.centres_mm[0], self.centres_mm[-1])

    @property
    def sheet_supports_x(self) -> tuple[float, ...]:
        """X of the rafters that sheets can break on: not those that lookouts pass over."""
        return self.centres_mm[1:-1] if self.lookout_mm else self.centres_mm

    @property
    def ends_x(self) -> tuple[float, float]:
        """X of the outer faces of the two end rafters, mm."""
        return self.line.ends

    @property
    def sheeted_h(self) -> tuple[float, float]:
        """From and to of the roof sheets down the slope, fascias covered, mm."""

        def out(end: RafterEnd) -> float:
            return end.edge_mm * (math.cos(self.slope_rad) if end.cut == "square" else 1.0)

        return (self.upper.h - out(self.upper), self.lower.h + out(self.lower))

    @property
    def sheeted_x(self) -> tuple[float, float]:
        """From and to of the roof sheets along X, barge boards covered, mm."""
        (start, end), (left, right) = self.ends_x, self.overhangs_mm
        return (start - left - self.barge_mm, end + right + self.barge_mm)

    @property
    def over_store_h(self) -> tuple[float, float]:
        """From and to of what lies over the store down the slope, without overhangs, mm."""
        walls = [bearing.h[1] for bearing in self.bearings if bearing.on == Support.WALL]
        return (0.0, max(walls, default=self.lower.h))

    def block_h(self, bearing: Bearing) -> tuple[float, float]:
        """From and to of a block over a bearing, mm: flush outside, for sheets to be nailed to.

        Where no face looks out it stands at the lower edge. A purlin's may lie out past the knee.
        """
        if bearing.outer_up:
            return bearing.h[0], bearing.h[0] + self.breadth_mm
        h1 = min(bearing.h[1], self.lower.h)
        return h1 - self.breadth_mm, h1

    def y_of(self, h: float) -> float:
        """Y at h, mm."""
        return self.start_y + self.way * h

    def h_of(self, y: float) -> float:
        """Level distance down the slope of a Y, mm."""
        return (y - self.start_y) * self.way

    def roof_mm(self, h: float) -> float:
        """Height of the rafters' top edge, where the roof sheets lie, at h."""
        return self.start_mm - math.tan(self.slope_rad) * h

    def below_mm(self, h: float, square: float) -> float:
        """Height at h of a line some distance under the rafters' top edge, square to it, mm."""
        return self.roof_mm(h) - square / math.cos(self.slope_rad)

    def rafter_underside_mm(self, h: float) -> float:
        """Height of the common rafters' straight underside at h."""
        return self.below_mm(h, self.rafter_mm)

    def end_rafter_underside_mm(self, h: float) -> float:
        """Height of the end rafters' straight underside at h: the top line of an end wall."""
        return self.below_mm(h, self.lookout_mm + self.end_rafter_mm)

    def underside_mm(self, h: float) -> float:
        """Height at h of the lowest rafter there, common or end."""
        return min(self.rafter_underside_mm(h), self.end_rafter_underside_mm(h))

    def corner(self, end: RafterEnd, square: float) -> tuple[float, float]:
        """A corner of what is cut off at an end as the rafters are, in (h, z), mm.

        Args:
            end: The end.
            square: How far under the rafters' top edge, square to it, mm.
        """
        # A square cut starts at the roof's plane and goes straight across; a plumb one goes down.
        leans = {"square": -math.sin(self.slope_rad), "plumb": 0.0, "mitre": end.lean}
        h = end.h + leans[end.cut] * square
        return (h, self.below_mm(h, square))

    def fascia_foot_mm(self, end: RafterEnd, down: int, width: float) -> float:
        """Height of the lowest edge of a fascia, upright or square to the slope as its end is cut.

        Args:
            end: The end it lies across.
            down: +1 at the lower end, -1 at the upper.
            width: Of the board, mm.
        """
        sin, cos = math.sin(self.slope_rad), math.cos(self.slope_rad)
        if end.cut == "square":
            d = end.h / cos + max(down, 0) * end.edge_mm
            return self.start_mm - d * sin - width * cos
        return max(self.roof_mm(end.h), self.roof_mm(end.h + down * end.edge_mm)) - width

    def covers(self, y: float) -> bool:
        """Whether the slope's rafters reach over a Y, with the foot of a mitre that leans out."""
        low = self.upper.h + min(0.0, self.upper.lean * self.rafter_mm)
        return low - TOLERANCE_MM <= self.h_of(y) <= self.lower.h + TOLERANCE_MM


def at(slope: Slope, d: float, n: float) -> tuple[float, float]:
    """A place on a slope in the plane (h, z), mm.

    Args:
        slope: The plane of the roof.
        d: Down the slope from its starting line, mm.
        n: Out from the rafters' top, square to the slope, mm.
    """
    sin, cos = math.sin(slope.slope_rad), math.cos(slope.slope_rad)
    return (d * cos + n * sin, slope.start_mm - d * sin + n * cos)


def over(
    slope: Slope, other: Slope, d: tuple[float, float], n: tuple[float, float]
) -> tuple[tuple[float, float], ...]:
    """A line over a ridge or a knee from another slope to one, in the (h, z) of the one, mm.

    Args:
        slope: The one.
        other: The one that it meets there.
        d: Where the line ends down the one and the other, from their starting lines, mm.
        n: Over the rafters' tops of the one and the other, mm.
    """
    far, far_z = at(other, d[1], n[1])
    return (
        (slope.h_of(other.y_of(far)), far_z),
        apex(slope, other, n),
        at(slope, d[0], n[0]),
    )


def apex(slope: Slope, other: Slope, n: tuple[float, float]) -> tuple[float, float]:
    """Where a line over one slope meets one over another, in the (h, z) of the one, mm.

    Args:
        slope: The one.
        other: The one that it meets at a ridge or a knee.
        n: Over the rafters' tops of the one and the other, mm.
    """
    top = slope.start_mm + n[0] / math.cos(slope.slope_rad)
    falls, other_falls = math.tan(slope.slope_rad), math.tan(other.slope_rad)
    # The other's height where h is 0, and how it falls along h: on a ridge's far side it rises.
    across = other.h_of(slope.start_y)
    other_top = other.start_mm + n[1] / math.cos(other.slope_rad) - other_falls * across
    h = (top - other_top) / (falls - other_falls * slope.way * other.way)
    return (h, top - falls * h)


def down_mm(slope: Slope, place: tuple[float, float]) -> float:
    """How far down a slope from its starting line a place in its (h, z) is, mm."""
    h, z = place
    return h * math.cos(slope.slope_rad) - (z - slope.start_mm) * math.sin(slope.slope_rad)
