"""The whole roof as drawn from the end: its slopes and the heights of what carries them.

Every bearing is met in one way: the rafter's straight underside crosses the bearing's top one
seat's width before its lower edge, a level seat reaches to that edge and a plumb heel stands on it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.slope import (
    Bearing,
    RafterEnd,
    RafterLine,
    RoofPart,
    Slope,
    Support,
)
from pikepole_model.scene.schema import Bay, RidgeBeam, RidgeBoard
from pikepole_model.scene.types import Eave

# A rafter rests on at least 1-1/2 in (38 mm) of wood (IRC R802.6), and a notch at its end takes at
# most a quarter of its depth (IRC R802.7.1).
LEAST_BEARING_MM = 38.0
DEEPEST_END_NOTCH = 0.25

# A plate that is cut to lap a corner keeps at least this share of its thickness there: common
# practice, no source.
LEAST_LAP = 0.5


@dataclass(frozen=True, slots=True)
class Ridge:
    """The beam or board under the ridge: thickness, underside and top above ground, mm."""

    width_mm: float
    low_mm: float
    top_mm: float


@dataclass(frozen=True)
class RoofPlan:
    """All slopes of one scene's roof, and the heights of the walls that carry them.

    Heights are above finished ground, mm.
    """

    datums: Datums

    @cached_property
    def _slope_rad(self) -> float:
        return math.radians(self.datums.scene.roof.slope)

    @cached_property
    def _rafter_mm(self) -> float:
        return self.datums.scene.lumber_stock(self.datums.scene.roof.rafter).depth_mm

    def seat_mm(self, width: float) -> float:
        """Level seat of the common rafters on a bearing of some width, mm."""
        return self._seat_with(width, self.end_rafter[1])

    def end_seat_mm(self, width: float) -> float:
        """Level seat of the end rafters, set down by the lookouts' thickness, mm."""
        return self.seat_mm(width) - self._lifted_mm(self.end_rafter[1]) / math.sin(self._slope_rad)

    def widest_seat_mm(self, width: float, depth: float) -> float:
        """The widest seat of a rafter of some depth on a bearing, a quarter notched, mm."""
        return min(width, depth * DEEPEST_END_NOTCH / math.sin(self._slope_rad))

    def _seat_with(self, width: float, end_depth: float) -> float:
        """The widest seat with which neither rafters nor end rafters of some depth lose too much.

        A rafter cannot be notched less than its place under the roof asks for, so all of them are
        set a little higher where end rafters under the lookouts would lose more than a quarter.
        """
        own, lifted = self.widest_seat_mm(width, self._rafter_mm), self._lifted_mm(end_depth)
        if lifted < 0:
            return own
        end = self.widest_seat_mm(width, end_depth) + lifted / math.sin(self._slope_rad)
        return min(own, end)

    def _lifted_mm(self, end_depth: float) -> float:
        """How far an end rafter's underside lies above the others', square to the roof, mm."""
        return self._rafter_mm - self._lookout_mm - end_depth

    @property
    def is_gable(self) -> bool:
        """Whether the roof falls both ways from a ridge."""
        return self.datums.scene.roof.ridge is not None

    @property
    def high_wall(self) -> Eave | None:
        """The wall a monopitch roof rises to; None under a gable."""
        if self.is_gable:
            return None
        return "front" if self.datums.scene.roof.falls == "back" else "back"

    @property
    def rise_mm(self) -> float:
        """How much higher one eave wall is than the other."""
        if self.is_gable:
            return 0.0
        return math.tan(self._slope_rad) * (self.datums.depth_mm - self.datums.bearing_mm)

    def plate_top_mm(self, wall: Eave) -> float:
        """Top of the front or back wall's plates."""
        walls, floor = self.datums.scene.walls, self.datums.floor_mm
        high = wall == self.high_wall
        if walls.high_height is not None:
            return floor + walls.high_height - (0.0 if high else self.rise_mm)
        assert walls.low_height is not None
        return floor + walls.low_height + (self.rise_mm if high else 0.0)

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
    def ridge(self) -> Ridge | None:
        """Where the ridge's beam or board lies."""
        if self.ridge_beam:
            width = self.datums.width_of(self.ridge_beam)
            depth = self.datums.scene.lumber_stock(self.ridge_beam.ply).depth_mm
            top = self.slopes[0].bearings[0].top_mm
            return Ridge(width, top - depth, top)
        if self.ridge_board:
            stock = self.datums.scene.lumber_stock(self.ridge_board.board)
            top = self.slopes[0].roof_mm(self.slopes[0].upper.h)
            return Ridge(stock.breadth_mm, top - stock.depth_mm, top)
        return None

    @cached_property
    def slopes(self) -> tuple[Slope, ...]:
        """The slopes that the store's end walls rise to."""
        if self.is_gable:
            return (self._slope("front"), self._slope("back"))
        return (self._slope(self.datums.scene.roof.falls),)

    @property
    def all_slopes(self) -> tuple[Slope, ...]:
        """Every slope, the roofs on ledgers among them."""
        return (*self.slopes, *self.ledger_slopes)

    def _slope(self, falls: Eave) -> Slope:
        datums, roof = self.datums, self.datums.scene.roof
        width = datums.bearing_mm
        eave_h = datums.depth_mm / 2 if self.is_gable else datums.depth_mm
        seat = self.seat_mm(width)
        top = self.plate_top_mm(falls) + datums.beam_depth_mm
        tan, cos = math.tan(self._slope_rad), math.cos(self._slope_rad)
        start = top + tan * (eave_h - seat) + self._rafter_mm / cos
        bearings: list[Bearing] = []

        def bear(on: Support, edge: float, wide: float, *, level: bool) -> None:
            seated = self.seat_mm(wide)
            height = start - self._rafter_mm / cos - tan * (edge - seated)
            bearings.append(Bearing(on, (edge - wide, edge), seated, height, level))

        fascia = self._fascia_mm
        upper, lower = (
            RafterEnd(0.0, "plumb"),
            RafterEnd(eave_h + roof.eave_overhang, roof.tail, fascia),
        )
        level_walls = not self.plates_lap
        if self.is_gable:
            if self.ridge_beam:
                bear(
                    Support.RIDGE,
                    datums.width_of(self.ridge_beam) / 2,
                    datums.width_of(self.ridge_beam) / 2,
                    level=True,
                )
            elif self.ridge_board:
                half = datums.scene.lumber_stock(self.ridge_board.board).breadth_mm / 2
                upper = RafterEnd(half, "plumb")
        else:
            upper = RafterEnd(-roof.high_overhang, roof.tail, fascia)
            run_on = self.runs_on("front" if falls == "back" else "back")
            if run_on:
                upper = RafterEnd(-run_on.reach - roof.high_overhang, roof.tail, fascia)
                out = self._lean_to_mm
                bear(Support.LEAN_TO, out - run_on.reach, out, level=True)
            bear(Support.WALL, width, width, level=level_walls)
        bear(Support.WALL, eave_h, width, level=level_walls)
        run_on = self.runs_on(falls)
        if run_on:
            lower = RafterEnd(eave_h + run_on.reach + roof.eave_overhang, roof.tail, fascia)
            bear(Support.LEAN_TO, eave_h + run_on.reach, self._lean_to_mm, level=True)
        end_rafter, end_rafter_mm = self.end_rafter
        rafter = datums.scene.lumber_stock(roof.rafter)
        return Slope(
            part=RoofPart.GABLE if self.is_gable else RoofPart.MONOPITCH,
            falls=falls,
            slope_rad=self._slope_rad,
            start_y=datums.depth_mm - eave_h if falls == "back" else eave_h,
            start_mm=start,
            rafter=roof.rafter,
            rafter_mm=rafter.depth_mm,
            end_rafter=end_rafter,
            end_rafter_mm=end_rafter_mm,
            lookout_mm=self._lookout_mm,
            upper=upper,
            lower=lower,
            bearings=tuple(bearings),
            overhangs_mm=(roof.rake_overhang, roof.rake_overhang),
            barge_mm=self._barge_mm,
            line=self._line,
        )

    @property
    def _fascia_mm(self) -> float:
        """Thickness of the fascia; 0 without."""
        fascia = self.datums.scene.fascia
        return fascia.breadth_mm if fascia else 0.0

    @property
    def _barge_mm(self) -> float:
        """Thickness of the barge boards; 0 without."""
        edges = self.datums.scene.edges
        stock = edges.barge if edges else None
        return self.datums.scene.lumber_stock(stock).breadth_mm if stock else 0.0

    @property
    def _lean_to_mm(self) -> float:
        """Thickness of the beam out at a lean-to."""
        beam = self.datums.scene.beam
        return self.datums.width_of(beam) if beam else 0.0

    def runs_on(self, wall: Eave) -> Bay | None:
        """The lean-to along an eave wall under rafters that run on, if there is one."""
        bay = self.datums.bay_at(wall)
        return bay if bay and bay.roof == "runs on" else None

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
        sheet = datums.scene.sheet_stock(datums.scene.walls.sheet).thickness_mm
        out = sheet + datums.ledger_wrap_mm
        ledger = datums.scene.lumber_stock(bay.ledger)
        rafter = datums.scene.lumber_stock(roof.rafter)
        slope = math.radians(bay.slope) if bay.slope is not None else self._slope_rad
        tan, cos = math.tan(slope), math.cos(slope)

        def seat(wide: float) -> float:
            return min(wide, rafter.depth_mm * DEEPEST_END_NOTCH / math.sin(slope))

        ledger_top = datums.floor_mm + (bay.ledger_height or 0.0)
        on_ledger = seat(ledger.breadth_mm)
        start = ledger_top + tan * (ledger.breadth_mm - on_ledger) + rafter.depth_mm / cos
        width, edge = self._lean_to_mm, bay.reach - out
        on_beam = seat(width)
        beam_top = start - rafter.depth_mm / cos - tan * (edge - on_beam)
        return Slope(
            part=RoofPart.LEDGER,
            falls=falls,
            slope_rad=slope,
            start_y=-out if falls == "front" else datums.depth_mm + out,
            start_mm=start,
            rafter=roof.rafter,
            rafter_mm=rafter.depth_mm,
            end_rafter=roof.rafter,
            end_rafter_mm=rafter.depth_mm,
            lookout_mm=0.0,
            upper=RafterEnd(0.0, "plumb"),
            lower=RafterEnd(edge + roof.eave_overhang, roof.tail, self._fascia_mm),
            bearings=(
                Bearing(Support.LEDGER, (0.0, ledger.breadth_mm), on_ledger, ledger_top, True),
                Bearing(Support.LEAN_TO, (edge - width, edge), on_beam, beam_top, True),
            ),
            overhangs_mm=(0.0, 0.0),
            barge_mm=self._barge_mm,
            line=RafterLine((0.0, datums.length_mm), roof.spacing, rafter.breadth_mm),
        )

    @cached_property
    def _lookout_mm(self) -> float:
        roof = self.datums.scene.roof
        stock = self.datums.scene.lumber_stock(roof.lookout)
        return stock.breadth_mm if roof.rake_overhang else 0.0

    @cached_property
    def bearing_widths_mm(self) -> tuple[float, ...]:
        """Width of each sort of bearing that the end rafters meet."""
        widths = [self.datums.bearing_mm]
        if self.ridge_beam:
            widths.append(self.datums.width_of(self.ridge_beam) / 2)
        if self.runs_on("front") or self.runs_on("back"):
            widths.append(self._lean_to_mm)
        return tuple(widths)

    @cached_property
    def end_rafter(self) -> tuple[str, float]:
        """Stock and depth of the end rafters.

        With a rake overhang they are shallower than the others, because the lookouts pass over
        them: the deepest section that still has a bearing and fits under the lookouts, or else the
        rafters' own stock ripped down by a lookout's thickness.
        """
        roof, scene = self.datums.scene.roof, self.datums.scene
        if roof.end_rafter or not self._lookout_mm:
            stock = scene.lumber_stock(roof.end_rafter or roof.rafter)
            return stock.name, stock.depth_mm
        rafter = scene.lumber_stock(roof.rafter)
        fitting = [
            stock
            for stock in scene.catalogue.lumber.values()
            if abs(stock.breadth_mm - rafter.breadth_mm) < TOLERANCE_MM
            and all(self._bears(width, stock.depth_mm) for width in self.bearing_widths_mm)
        ]
        if not fitting:
            return rafter.name, rafter.depth_mm - self._lookout_mm
        stock = max(fitting, key=lambda stock: stock.depth_mm)
        return stock.name, stock.depth_mm

    def _bears(self, width: float, end_depth: float) -> bool:
        """Whether common and end rafters both sit on enough, and neither is cut too deep."""
        seat = self._seat_with(width, end_depth)
        end_seat = seat - self._lifted_mm(end_depth) / math.sin(self._slope_rad)
        least = LEAST_BEARING_MM - TOLERANCE_MM
        return (
            seat >= least
            and least <= end_seat <= self.widest_seat_mm(width, end_depth) + TOLERANCE_MM
        )

    @cached_property
    def plates_lap(self) -> bool:
        """Whether the side walls' upper plates run out over the corners.

        Not where a beam lies there; nor on a steep roof, where the raking plate would be cut
        through by its own seat: there the plates butt, and what ties the corner is put on them.
        """
        seat = self.end_seat_mm(self.datums.bearing_mm)
        breadth = self.datums.breadth_mm
        left = breadth - seat * math.tan(self._slope_rad)
        return self.datums.beam is None and left >= LEAST_LAP * breadth

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

    def lowest_rafter_mm(self, y: float) -> float:
        """Height at a Y of the lowest rafter of any slope over it."""
        return _lowest(self.all_slopes, y)

    def lowest_tail_mm(self, y: float) -> float:
        """Height at a Y of the lowest rafter over the store; a roof on a ledger hangs beside it."""
        return _lowest(self.slopes, y)

    def end_wall_top_mm(self, y: float, *, under_common: bool) -> float:
        """Top of an end wall's plates at a Y.

        Args:
            y: Between the front and the back, mm.
            under_common: Whether the roof runs on over a bay there, so that a common rafter lies
                on the wall; else an end rafter.
        """
        return min(
            slope.rafter_underside_mm(slope.h_of(y))
            if under_common
            else slope.end_rafter_underside_mm(slope.h_of(y))
            for slope in self.slopes
        )


def _lowest(slopes: tuple[Slope, ...], y: float) -> float:
    over = [slope.underside_mm(slope.h_of(y)) for slope in slopes if slope.covers(y)]
    return min(over, default=math.inf)
