"""The whole roof as drawn from the end: its slopes, and the level lines that carry them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from pikepole_model.plan.cross_section import CrossSection, Meets, Plane, RoofLine, cross_section
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.seats import LEAST_BEARING_MM, widest_seat_mm
from pikepole_model.plan.slope import Bearing, RafterEnd, RafterLine, Slope, Support
from pikepole_model.scene.posts import Bay
from pikepole_model.scene.schema import RidgeBeam, RidgeBoard
from pikepole_model.scene.types import AnyWall, Eave

# A plate that is cut to lap a corner keeps at least this share of its thickness there: common
# practice, no source.
LEAST_LAP = 0.5


@dataclass(frozen=True, slots=True)
class LevelMember:
    """A beam or board that runs level under the roof from end wall to end wall.

    Attributes:
        name: "ridge", "front purlin", "back purlin" or "clerestory".
        y: Its middle, mm.
        width_mm: Thickness.
        low_mm: Underside above ground.
        top_mm: Top above ground.
        up_to_mm: Top of what stands on it, from end to end, or its own.
    """

    name: str
    y: float
    width_mm: float
    low_mm: float
    top_mm: float
    up_to_mm: float

    @property
    def span_y(self) -> tuple[float, float]:
        """Its faces, mm."""
        return (self.y - self.width_mm / 2, self.y + self.width_mm / 2)


@dataclass(frozen=True)
class RoofPlan:
    """All slopes of one scene's roof, and the heights of the walls that carry them.

    Heights are above finished ground, mm.
    """

    datums: Datums

    @cached_property
    def section(self) -> CrossSection:
        """The planes it all follows from."""
        return cross_section(self.datums)

    @cached_property
    def _rafter_mm(self) -> float:
        return self.datums.scene.lumber_stock(self.datums.scene.roof.rafter).depth_mm

    def plate_top_mm(self, wall: Eave) -> float:
        """Top of the front or back wall's plates, or of the posts there."""
        return self.section.plate_top_mm(wall)

    def plate_top_near_mm(self, y: float) -> float:
        """Top of the plates of the front or back wall, whichever a Y is nearer to."""
        return self.plate_top_mm("front" if y < self.datums.depth_mm / 2 else "back")

    @cached_property
    def ridge_beam(self) -> RidgeBeam | None:
        """The beam under the ridge, if one carries it."""
        ridge = self.datums.scene.roof.ridge
        return ridge if isinstance(ridge, RidgeBeam) else None

    @cached_property
    def ridge_board(self) -> RidgeBoard | None:
        """The board between the rafters' upper ends, if they lean on each other."""
        ridge = self.datums.scene.roof.ridge
        return ridge if isinstance(ridge, RidgeBoard) else None

    @cached_property
    def ridge(self) -> LevelMember | None:
        """Where the ridge's beam or board lies."""
        scene = self.datums.scene
        line = next((one for one in self.section.lines if one.is_ridge), None)
        if line and self.ridge_beam:
            width, depth = (
                self.datums.width_of(self.ridge_beam),
                scene.lumber_stock(self.ridge_beam.ply).depth_mm,
            )
            top = min(self._on_ridge_mm(plane, line) for plane in (line.front, line.back))
            y = line.y + line.lean * self._rafter_mm
            return LevelMember("ridge", y, width, top - depth, top, top)
        if line and self.ridge_board:
            board = scene.lumber_stock(self.ridge_board.board)
            steep = max(math.tan(plane.slope_rad) for plane in (line.front, line.back))
            top = self.section.highest_mm - steep * board.breadth_mm / 2
            low = top - board.depth_mm
            return LevelMember("ridge", line.y, board.breadth_mm, low, top, top)
        return None

    @property
    def level_members(self) -> tuple[LevelMember, ...]:
        """All that runs level under the roof from end wall to end wall."""
        there = (self.ridge, self.strip_beam)
        return (*(one for one in there if one), *self.purlins)

    @cached_property
    def strip_beam(self) -> LevelMember | None:
        """The beam under the strip of a clerestory, its inner face in the strip's."""
        strip, scene = self.section.strip, self.datums.scene
        if not strip or not scene.roof.clerestory:
            return None
        depth = scene.lumber_stock(scene.roof.clerestory.ply).depth_mm
        shoulder, lower = strip.shoulder_mm, strip.lower
        top = self.section.bearing_top_mm(lower, shoulder, shoulder)
        inner = strip.y + strip.upper.way * strip.width_mm
        y = inner - strip.upper.way * strip.beam_mm / 2
        up_to = self.section.bearing_top_mm(strip.upper, strip.width_mm, strip.width_mm)
        return LevelMember("clerestory", y, strip.beam_mm, top - depth, top, up_to)

    @cached_property
    def purlins(self) -> tuple[LevelMember, ...]:
        """The beams under the knees, from the front to the back."""
        return tuple(self._purlin(line) for line in self.section.lines if not line.is_ridge)

    def _purlin(self, line: RoofLine) -> LevelMember:
        """The beam that the rafters of both slopes rest on where they meet.

        Under the mitre between them: its top is as high as the least bearing of the upper ones asks
        for, and reaches as far out past the mitre as that of the lower ones.
        """
        knee, section = self.datums.scene.roof.knee, self.section
        assert knee
        upper, lower = sorted((line.front, line.back), key=lambda plane: plane.slope_rad)
        seats, slope = section.seats(upper), upper.slope_rad
        shallowest = min(seats.rafter_mm, seats.lookout_mm + seats.end_rafter_mm)
        # How far in from the knee the mitre is for each mm that it is lower.
        inwards = -lower.way * line.lean
        leans = inwards / (1 / math.cos(slope) - math.tan(slope) * inwards)
        under = (shallowest / math.sin(slope) - LEAST_BEARING_MM) / (1 / math.tan(slope) + leans)
        width, out = self.datums.width_of(knee), leans * under - LEAST_BEARING_MM
        top = section.highest_mm - lower.drop_mm - under
        deep = self.datums.scene.lumber_stock(knee.ply).depth_mm
        y = line.y - lower.way * (out + width / 2)
        return LevelMember(f"{lower.falls} purlin", y, width, top - deep, top, top)

    def _on_ridge_mm(self, plane: Plane, line: RoofLine) -> float:
        """Top of a ridge beam on which a plane's rafters have as wide a seat as they can."""
        assert self.ridge_beam
        half = self.datums.width_of(self.ridge_beam) / 2
        seat = self.section.seats(plane).common_mm(half)
        # The beam stands under the line in which the rafters' undersides meet.
        edge = plane.way * line.lean * self._rafter_mm + half
        return self.section.underside_mm(plane) - math.tan(plane.slope_rad) * (edge - seat)

    @cached_property
    def slopes(self) -> tuple[Slope, ...]:
        """The slopes that the store's end walls rise to, from the front to the back."""
        return tuple(self._slope(plane) for plane in self.section.planes)

    @property
    def all_slopes(self) -> tuple[Slope, ...]:
        """Every slope, the roofs on ledgers among them."""
        return (*self.slopes, *self.ledger_slopes)

    def _slope(self, plane: Plane) -> Slope:
        roof = self.datums.scene.roof
        end_rafter, end_rafter_mm = self.section.end_rafter
        seats = self.section.seats(plane)
        return Slope(
            prefix=f"{plane.name} " if plane.name else "",
            falls=plane.falls,
            slope_rad=plane.slope_rad,
            start_y=plane.start_y,
            start_mm=self.section.highest_mm - plane.drop_mm,
            rafter=roof.rafter,
            rafter_mm=seats.rafter_mm,
            end_rafter=end_rafter,
            end_rafter_mm=end_rafter_mm,
            lookout_mm=seats.lookout_mm,
            upper=self._upper_end(plane),
            lower=self._lower_end(plane),
            bearings=tuple(sorted(self._bearings(plane), key=lambda bearing: bearing.h)),
            overhangs_mm=(roof.rake_overhang, roof.rake_overhang),
            barge_mm=self._barge_mm,
            line=self._line,
        )

    def _upper_end(self, plane: Plane) -> RafterEnd:
        roof, tail = self.datums.scene.roof, self.datums.scene.roof.tail
        if plane.upper == Meets.FREE:
            run_on = self.datums.runs_on(plane.walls(0.0)[0][0])
            over = roof.high_overhang + (run_on.reach if run_on else 0.0)
            return RafterEnd(-over, tail, Meets.FREE, self._fascia_mm)
        if plane.upper == Meets.STRIP:
            return RafterEnd(-roof.high_overhang, tail, Meets.FREE, self._fascia_mm)
        if plane.upper == Meets.WALL:
            return RafterEnd(0.0, "plumb", Meets.WALL)
        lean = plane.way * self.section.line_at(plane.start_y).lean
        if self.ridge_board and plane.upper == Meets.RIDGE:
            half = self.datums.scene.lumber_stock(self.ridge_board.board).breadth_mm / 2
            return RafterEnd(half, "plumb", Meets.RIDGE, lean=lean)
        return RafterEnd(0.0, "mitre", plane.upper, lean=lean)

    def _lower_end(self, plane: Plane) -> RafterEnd:
        if plane.lower == Meets.KNEE:
            knee_y = plane.start_y + plane.way * plane.run_mm
            lean = plane.way * self.section.line_at(knee_y).lean
            return RafterEnd(plane.run_mm, "mitre", Meets.KNEE, lean=lean)
        roof, run_on = self.datums.scene.roof, self.datums.runs_on(plane.falls)
        over = roof.eave_overhang + (run_on.reach if run_on else 0.0)
        return RafterEnd(plane.run_mm + over, roof.tail, Meets.FREE, self._fascia_mm)

    def _bearings(self, plane: Plane) -> Iterator[Bearing]:
        """What a plane's rafters sit on."""
        datums, seats = self.datums, self.section.seats(plane)
        under, tan = self.section.underside_mm(plane), math.tan(plane.slope_rad)

        def bear(
            on: Support, edge: float, wide: float, *, level: bool, outer_up: bool = False
        ) -> Bearing:
            top, seat = self.section.bearing_top_mm(plane, edge, wide), seats.common_mm(wide)
            return Bearing(on, (edge - wide, edge), seat, top, level, outer_up)

        if plane.upper == Meets.RIDGE and self.ridge_beam and self.ridge:
            half = self.ridge.width_mm / 2
            edge = plane.way * (self.ridge.y - plane.start_y) + half
            # Between unequal slopes the flatter one is seated only as far as the beam is high.
            seat = min(seats.common_mm(half), edge - (under - self.ridge.top_mm) / tan)
            yield Bearing(Support.RIDGE, (edge - half, edge), seat, self.ridge.top_mm, True)
        if Meets.KNEE in (plane.upper, plane.lower):
            purlin = self.purlins[0 if plane.falls == "front" else -1]
            h0, h1 = sorted((y - plane.start_y) * plane.way for y in purlin.span_y)
            yield Bearing(Support.KNEE, (h0, h1), LEAST_BEARING_MM, purlin.top_mm, True)
        if strip := self.section.strip:
            over = plane.upper == Meets.STRIP
            on, wide = (
                (Support.STRIP, strip.width_mm) if over else (Support.STRIP_BEAM, strip.shoulder_mm)
            )
            yield bear(on, wide, wide, level=True, outer_up=over)
        for y in datums.scene.posts.rows if datums.scene.posts else ():
            middle = plane.way * (y - plane.start_y)
            if 0.0 < middle < plane.run_mm:
                edge = middle + datums.bearing_mm / 2
                yield bear(Support.INNER, edge, datums.bearing_mm, level=True)
        walls = plane.walls(datums.bearing_mm)
        for wall, edge in walls:
            run_on, on_low = datums.runs_on(wall), wall == plane.falls
            out = datums.lean_to_mm
            if run_on and not on_low:
                yield bear(Support.LEAN_TO, out - run_on.reach, out, level=True)
            level = not self.plates_lap
            yield bear(Support.WALL, edge, datums.bearing_mm, level=level, outer_up=not on_low)
            if run_on and on_low:
                yield bear(Support.LEAN_TO, edge + run_on.reach, out, level=True)

    @property
    def _fascia_mm(self) -> float:
        """Thickness of the fascia; 0 without."""
        fascia = self.datums.scene.fascia
        return fascia.breadth_mm if fascia else 0.0

    @property
    def _barge_mm(self) -> float:
        """Thickness of the barge boards; 0 without."""
        stock = self.datums.scene.barge
        return stock.breadth_mm if stock else 0.0

    @cached_property
    def ledger_slopes(self) -> tuple[Slope, ...]:
        """The lower roofs that hang on a ledger along an eave wall."""
        return tuple(
            self._ledger_slope(bay, bay.side)
            for bay in self.datums.scene.bay
            if (bay.side == "front" or bay.side == "back") and bay.roof == "ledger"
        )

    def _ledger_slope(self, bay: Bay, falls: Eave) -> Slope:
        datums, roof = self.datums, self.datums.scene.roof
        out = datums.cover_mm(falls) + datums.ledger_wrap_mm
        ledger = datums.scene.lumber_stock(bay.ledger)
        rafter = datums.scene.lumber_stock(roof.rafter)
        slope = math.radians(roof.slope if bay.slope is None else bay.slope)
        tan, cos = math.tan(slope), math.cos(slope)

        def seat(wide: float) -> float:
            return widest_seat_mm(slope, wide, rafter.depth_mm)

        ledger_top = datums.floor_mm + (bay.ledger_height or 0.0)
        on_ledger = seat(ledger.breadth_mm)
        start = ledger_top + tan * (ledger.breadth_mm - on_ledger) + rafter.depth_mm / cos
        width, edge = datums.lean_to_mm, bay.reach - out
        on_beam = seat(width)
        beam_top = start - rafter.depth_mm / cos - tan * (edge - on_beam)
        return Slope(
            prefix=f"{falls} lean-to ",
            falls=falls,
            slope_rad=slope,
            start_y=-out if falls == "front" else datums.depth_mm + out,
            start_mm=start,
            rafter=roof.rafter,
            rafter_mm=rafter.depth_mm,
            end_rafter=roof.rafter,
            end_rafter_mm=rafter.depth_mm,
            lookout_mm=0.0,
            upper=RafterEnd(0.0, "plumb", Meets.WALL),
            lower=RafterEnd(edge + roof.eave_overhang, roof.tail, Meets.FREE, self._fascia_mm),
            bearings=(
                Bearing(Support.LEDGER, (0.0, ledger.breadth_mm), on_ledger, ledger_top, True),
                Bearing(Support.LEAN_TO, (edge - width, edge), on_beam, beam_top, True),
            ),
            overhangs_mm=(0.0, 0.0),
            barge_mm=self._barge_mm,
            line=RafterLine((0.0, datums.length_mm), roof.spacing, rafter.breadth_mm),
        )

    @cached_property
    def plates_lap(self) -> bool:
        """Whether the side walls' upper plates run out over the corners.

        Not where a beam lies there; nor on a steep roof, where the raking plate would be cut
        through by its own seat: there the plates butt, and what ties the corner is put on them.
        """
        width, cut = self.datums.bearing_mm, list[float]()
        for plane in (plane for plane in self.section.planes if plane.walls(width)):
            seats = self.section.seats(plane)
            seat = seats.at_end_mm(seats.common_mm(width))
            cut.append(seat * math.tan(plane.slope_rad))
        breadth = self.datums.breadth_mm
        return self.datums.beam is None and breadth - max(cut) >= LEAST_LAP * breadth

    @property
    def _line(self) -> RafterLine:
        """The main roof's rafters; a wall under a roof that runs on over a bay gets its own."""
        datums, roof = self.datums, self.datums.scene.roof
        breadth = datums.scene.lumber_stock(roof.rafter).breadth_mm
        bays = datums.bay_at("left"), datums.bay_at("right")
        over = (breadth / 2, datums.length_mm - breadth / 2)
        return RafterLine(
            datums.roof_ends_mm,
            roof.spacing,
            breadth,
            tuple(x for x, bay in zip(over, bays, strict=True) if bay),
            (
                max(roof.rake_overhang, 0.0 if bays[0] else datums.wall_mm),
                max(roof.rake_overhang, 0.0 if bays[1] else datums.wall_mm),
            ),
        )

    def wall_under(self, slope: Slope, end: RafterEnd) -> AnyWall:
        """The wall at a free end of a slope's rafters, or that they come up against."""
        if end is slope.lower or slope not in self.slopes:
            return slope.falls
        if self.section.strip:
            return "clerestory"
        return "back" if slope.falls == "front" else "front"

    def top_at_wall_mm(self, slope: Slope) -> float:
        """Top of the plates, or the beam on them, of the wall that a slope comes up against."""
        if slope in self.slopes:
            assert self.strip_beam
            return self.strip_beam.up_to_mm
        return self.plate_top_mm(slope.falls) + self.datums.beam_depth_mm

    def beside(self, slope: Slope, end: RafterEnd) -> Slope | None:
        """The slope that one meets at an end of its rafters, if it meets any."""
        if end.meets not in (Meets.RIDGE, Meets.KNEE):
            return None
        to_back = (end is slope.upper) == (slope.falls == "front")
        return self.slopes[self.slopes.index(slope) + (1 if to_back else -1)]

    def lowest_rafter_mm(self, y: float) -> float:
        """Height at a Y of the lowest rafter of any slope over it."""
        return lowest_mm(self.all_slopes, y)

    def line_under(self, square: float) -> list[tuple[float, float]]:
        """The slopes moved down square to themselves, as drawn from the right end, mm.

        Args:
            square: How far under the rafters' top edges.

        Returns:
            (y, height above ground) of each corner, from the front to the back wall's outer face.
        """
        strip = self.section.strip
        deep = self.datums.depth_mm
        # One that is not in the building is refused; its line is drawn all the same.
        steps = (min(max(strip.y, 1.0), deep - 1.0),) if strip else ()
        bounds = (0.0, *steps, deep)
        line: list[tuple[float, float]] = []
        for k, (y0, y1) in enumerate(itertools.pairwise(bounds)):
            over = (self.slopes[k],) if strip else self.slopes
            # A slope too short to be built can have its upper corner before its lower one.
            meet = sorted(one.y + one.lean * square for one in self.section.lines)
            line += [
                (y, min(slope.below_mm(slope.h_of(y), square) for slope in over))
                for y in (y0, *(y for y in meet if y0 < y < y1), y1)
            ]
        return line


def lowest_mm(slopes: tuple[Slope, ...], y: float) -> float:
    """Height at a Y of the lowest rafter of some slopes over it, mm; infinite where none is."""
    over = [slope.underside_mm(slope.h_of(y)) for slope in slopes if slope.covers(y)]
    return min(over, default=math.inf)
