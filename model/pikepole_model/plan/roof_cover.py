"""What lies on a slope's sheets, layer by layer.

Everything is measured along the slope (d, down from its starting line) and square to it (n, out
from the rafters' top). Each layer lies on the one before it at its true thickness:

    cap_mm    ridge or peak cap, flashing under a wall or a knee, over
    rake_mm   rake trim, on
    ribs      of the panels, whose flats lie at
    panel_mm  on
    strip_mm  a strip of underlayment over the ridge, on
    felt_mm   courses of underlayment, over
    drip_mm   drip edge, on
    the roof sheets
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from functools import cached_property

from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.cross_section import Meets
from pikepole_model.plan.drip_edge import DRIP_FLANGE_MM, drip_line
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.slope import Slope, apex, at, down_mm, over
from pikepole_model.plan.tails import level_cut
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.rows import Flat, Panel, Roll
from pikepole_model.stock.sheet_metal import PLIES

# Steeper than this, underlayment is laid in one layer; up to it in two, each course lapping the one
# below by half its width and an inch: IRC Table R905.1.1(2) (a 36 in roll laps 19 in).
ONE_LAYER_FROM = 4 / 12
MORE_THAN_HALF_MM = 25.4

# Panels stop this far short of the ridge or of a wall: 1 in, common practice, no source.
SHORT_OF_RIDGE_MM = 25.4

# A flashing where a roof meets a wall reaches 5 in up that, or 1 in where the wall ends before:
# common practice, no source.
UP_WALL_MM = 127.0
LEAST_UP_WALL_MM = 25.4

# Caps, and flashings at a wall or a knee, reach 6 in down the slope: common practice, no source.
CAP_FLANGE_MM = 152.4

# Rake trims reach 3 in in over the panels: common practice, no source.
RAKE_FLANGE_MM = 76.2

# The first panel's edge is bent down this far outside its first rib, mm.
FOOT_MM = 6.0

# What would be left to cover of a slope by one more panel is waste when it is narrower, mm.
LEAST_PANEL_MM = 20.0

# A last panel with a single rib, or ripped narrower than 4 in past it, bends in the hand and is
# hardly held: common practice, no source.
LEAST_RIPPED_MM = 101.6


@dataclass(frozen=True)
class RoofCover:
    """The layers on one slope.

    Attributes:
        roof: The roof it is part of.
        slope: The slope.
    """

    roof: RoofPlan
    slope: Slope

    @property
    def scene(self) -> Scene:
        """The scene it is of."""
        return self.roof.datums.scene

    @cached_property
    def metal(self) -> Flat | None:
        """What its edges are bent from."""
        edges = self.scene.edges
        return self.scene.catalogue.find_flat(edges.metal) if edges and edges.metal else None

    @cached_property
    def roll(self) -> Roll | None:
        """Its underlayment."""
        name = self.scene.roofing.underlayment if self.scene.roofing else None
        return self.scene.catalogue.find_roll(name) if name else None

    @cached_property
    def panel(self) -> Panel | None:
        """Its ribbed steel."""
        name = self.scene.roofing.panel if self.scene.roofing else None
        return self.scene.catalogue.find_panel(name) if name else None

    @cached_property
    def sheeted(self) -> tuple[float, float]:
        """From and to of the roof sheets in d, mm."""
        high, low = self.slope.sheeted_h
        cos = math.cos(self.slope.slope_rad)
        return high / cos, low / cos

    @cached_property
    def drip_mm(self) -> float:
        """Top of the roof sheets."""
        return self.scene.sheet_stock(self.scene.roof.sheet).thickness_mm

    @property
    def drip_line(self) -> tuple[tuple[float, float], ...]:
        """Where a drip edge lies in (h, z), from up on the sheets to its foot, mm."""
        return drip_line(self.scene, self.slope)

    @property
    def _low_edge(self) -> tuple[float, float]:
        """How far down the slope what covers it reaches, and the lowest of that there, (h, z), mm.

        Sheets and panels, and the leg of a drip edge.
        """
        d = self.panels[1] if self.panel else self.sheeted[1]
        places = [at(self.slope, d, self.rake_mm), at(self.slope, self.sheeted[1], 0.0)]
        if self.panel:
            places.append(at(self.slope, d, self.panel_mm))
        if self.metal and not self.below:
            places += self.drip_line
        return max(h for h, _ in places), min(z for _, z in places)

    @property
    def _metal_mm(self) -> float:
        return PLIES * self.metal.thickness_mm if self.metal else 0.0

    @property
    def felt_mm(self) -> float:
        """Underside of the underlayment."""
        return self.drip_mm + self._metal_mm

    @cached_property
    def lap_mm(self) -> float:
        """How far each course of underlayment laps the one below it; 0 without."""
        if not self.roll:
            return 0.0
        if math.tan(self.slope.slope_rad) >= ONE_LAYER_FROM - 1e-9:
            return self.roll.lap_mm
        return self.roll.width_mm / 2 + MORE_THAN_HALF_MM

    @property
    def is_doubled(self) -> bool:
        """Whether the underlayment lies in two layers."""
        return self.roll is not None and self.lap_mm > self.roll.width_mm / 2

    @property
    def course_mm(self) -> float:
        """Thickness of one course: two layers where a roll is too short and laps its next."""
        if not self.roll:
            return 0.0
        start, end = self.slope.sheeted_x
        return self.roll.thickness_mm * (1 if end - start <= self.roll.length_mm else PLIES)

    @property
    def lean(self) -> float:
        """Rise of each course of underlayment down the slope, over the head of the one below."""
        return self.course_mm / (self.roll.width_mm - self.lap_mm) if self.roll else 0.0

    @property
    def strip_mm(self) -> float:
        """Top of the courses of underlayment."""
        return self.felt_mm + (
            self.lean * self.roll.width_mm + self.course_mm if self.roll else 0.0
        )

    @property
    def panel_mm(self) -> float:
        """Underside of the panels' flats."""
        return self.strip_mm + (self.course_mm if any(self.strips) else 0.0)

    @property
    def strips(self) -> tuple[bool, bool]:
        """Whether a strip of underlayment lies over its upper end, and over its lower one.

        Over a ridge, and over a knee without metal.
        """
        ends = (self.slope.upper, self.slope.lower)
        upper, lower = (
            end.meets == Meets.RIDGE or (end.meets == Meets.KNEE and not self.metal) for end in ends
        )
        return upper, lower

    @property
    def rake_mm(self) -> float:
        """Top of the ribs, where one panel laps the next."""
        if not self.panel:
            return self.panel_mm
        return self.panel_mm + self.panel.rib_mm[0] + 2 * self.panel.thickness_mm

    @property
    def cap_mm(self) -> float:
        """Top of the rake trims."""
        return self.rake_mm + self._metal_mm

    @property
    def up_wall(self) -> tuple[float, float]:
        """From and to of a flashing's leg up the wall that the slope's upper end meets, mm.

        The wrap behind a ledger goes as far up, with a flashing or without.
        """
        low = self.slope.start_mm + self.cap_mm / math.cos(self.slope.slope_rad)
        top = self.roof.top_at_wall_mm(self.slope)
        over = (s for s in self.roof.slopes if s is not self.slope)
        top = min(top, *(RoofCover(self.roof, s).at_wall_mm(self) for s in over))
        return low, low + min(UP_WALL_MM, max(self._least_leg_mm, top - low))

    @property
    def _least_leg_mm(self) -> float:
        return LEAST_UP_WALL_MM if self.metal else 0.0

    def lowest_mm(self, h0: float, h1: float) -> float:
        """The lowest of what hangs over a stretch of the slope: rafters, soffit, fascia, its edge.

        Args:
            h0: Where the stretch starts, level distance down the slope, mm.
            h1: Where it ends, mm.

        Returns:
            Height above ground, mm; infinite past the slope's ends.
        """
        slope, deep = self.slope, self._deep_mm
        # The foot of a square cut lies farther up the slope than its top.
        sin = math.sin(slope.slope_rad)
        upper, lower = (
            end.h - (deep * sin if end.cut == "square" else 0.0)
            for end in (slope.upper, slope.lower)
        )
        low, high = max(h0, upper), min(h1, slope.lower.h)
        feet: list[float] = []
        if low <= high + TOLERANCE_MM:
            _, level = level_cut(self.scene, slope) or (math.inf, -math.inf)
            for h in (low, min(max(lower, low), high), high):
                past = (h - lower) / sin if slope.lower.cut == "square" else 0.0
                feet.append(max(level, slope.below_mm(h, deep - max(past, 0.0))))
        return min([*feet, self.ends_mm(h0, h1)])

    def ends_mm(self, h0: float, h1: float) -> float:
        """The lowest of what lies across the rafters' ends over a stretch: fascia, and its edge.

        Args:
            h0: Where the stretch starts, level distance down the slope, mm.
            h1: Where it ends, mm.

        Returns:
            Height above ground, mm; infinite where nothing does.
        """
        slope = self.slope
        feet: list[float] = []
        sin = math.sin(slope.slope_rad)
        if self.scene.fascia:
            width = self.scene.fascia.depth_mm
            for end, down in ((slope.upper, -1), (slope.lower, 1)):
                a, b = sorted((end.h, end.h + down * end.edge_mm))
                # Square to the slope, its foot leans back under the tails.
                back = width * sin if end.cut == "square" else 0.0
                if end.edge_mm and a - back < h1 and b > h0:
                    feet.append(slope.fascia_foot_mm(end, down, width))
        far, foot = self._low_edge
        if slope.lower.h < h1 and h0 < far:
            feet.append(foot)
        return min(feet, default=math.inf)

    @property
    def _deep_mm(self) -> float:
        """Depth of rafters, or of end rafters with lookouts, and of a soffit under them."""
        slope, edges = self.slope, self.scene.edges
        soffit = self.scene.sheet_stock(edges.soffit).thickness_mm if edges and edges.soffit else 0
        return max(slope.rafter_mm, slope.lookout_mm + slope.end_rafter_mm) + soffit

    def barge_foot_mm(self, h0: float, h1: float) -> float:
        """The lowest of barge boards that lie on the end rafters over a stretch, mm above ground.

        They reach past the rafters over the fascias' ends; infinite where the rakes stand out.
        """
        slope, barge = self.slope, self.scene.barge
        low = max(h0, slope.upper.h - slope.upper.edge_mm)
        high = min(h1, slope.lower.h + slope.lower.edge_mm)
        if not barge or any(slope.overhangs_mm) or low > high:
            return math.inf
        width = min(barge.depth_mm, slope.end_rafter_mm)
        return min(slope.below_mm(h, width) for h in (low, high))

    def room_over_mm(self, below: RoofCover) -> float:
        """Least room between what hangs from this slope and what covers one that passes under it.

        Both are plane, so that it is least at the ends of what they share, or where tails are cut
        off level.
        """
        slope, lower = self.slope, below.slope
        thick = below.cap_mm / math.cos(lower.slope_rad)
        ends = [lower.start_y, lower.y_of(lower.sheeted_h[1])]
        stretches = [(h, h) for h in map(slope.h_of, ends)]
        fascia = self.scene.fascia
        deep = max(self._deep_mm, fascia.depth_mm if fascia else 0.0)
        for end, down in ((slope.upper, -1), (slope.lower, 1)):
            back = deep * math.sin(slope.slope_rad) if end.cut == "square" else 0.0
            far = self._low_edge[0] if down > 0 else end.h - end.edge_mm
            stretches.append((end.h - back, far))
        if cut := level_cut(self.scene, slope):
            stretches.append((cut[0], cut[0]))
        room = math.inf
        for h0, h1 in map(sorted, stretches):
            under = [lower.h_of(slope.y_of(h)) for h in (h0, h1) if lower.covers(slope.y_of(h))]
            top = max((lower.roof_mm(h) + thick for h in under), default=-math.inf)
            room = min(room, self.hangs_mm(h0, h1) - top)
        return min(room, self.at_wall_mm(below) - lower.start_mm - thick - below._least_leg_mm)

    def at_wall_mm(self, below: RoofCover) -> float:
        """The lowest of what hangs from this slope at the wall that a lower one meets, mm."""
        lower = below.slope
        ys = (lower.start_y, lower.y_of(below._metal_mm))
        h0, h1 = sorted(map(self.slope.h_of, ys))
        return self.hangs_mm(h0, h1)

    def hangs_mm(self, h0: float, h1: float) -> float:
        """The lowest of what hangs over a stretch, barge boards counted, mm."""
        return min(self.lowest_mm(h0, h1), self.barge_foot_mm(h0, h1))

    @cached_property
    def above(self) -> RoofCover | None:
        """What covers the slope that this one meets at its upper end, if it meets any."""
        slope = self.roof.beside(self.slope, self.slope.upper)
        return RoofCover(self.roof, slope) if slope else None

    @cached_property
    def below(self) -> RoofCover | None:
        """What covers the slope under this one's knee, if it has one."""
        slope = self.roof.beside(self.slope, self.slope.lower)
        return RoofCover(self.roof, slope) if slope else None

    @property
    def felt_to(self) -> float:
        """How far up the slope from its low edge the underlayment goes, mm.

        Up to the upper edge of the sheets, or to the flashing that comes out over it at a knee.
        """
        high, low = self.sheeted
        if self.above and self.metal and self.slope.upper.meets == Meets.KNEE:
            flange = apex(self.slope, self.above.slope, (self.strip_mm, self.drip_mm))
            high = max(high, down_mm(self.slope, flange))
        return low - high

    @property
    def knee_line(self) -> tuple[tuple[float, float], ...]:
        """Where a flashing over the knee lies in (h, z), mm.

        From up on the sheets of the slope above, under its underlayment, out over the ribs of this
        one and down on them.
        """
        assert self.above
        d = (self.panels[0] + CAP_FLANGE_MM, self.above.sheeted[1] - DRIP_FLANGE_MM)
        return over(self.slope, self.above.slope, d, (self.cap_mm, self.above.drip_mm))

    @cached_property
    def panels(self) -> tuple[float, float]:
        """From and to of the panels in d, mm.

        Past the drip edge, or the bend of the flashing over a knee; and short of ridge or wall, or
        of what comes out over them from above a knee.
        """
        slope, (high, low) = self.slope, self.sheeted
        roofing = self.scene.roofing
        if slope.upper.meets != Meets.FREE:
            high += SHORT_OF_RIDGE_MM
        if slope.upper.meets == Meets.KNEE and self.above:
            ribs = apex(slope, self.above.slope, (self.rake_mm, self.drip_mm))
            high = max(high, down_mm(slope, ribs))
        if self.below and self.metal:
            bend = apex(slope, self.below.slope, (self.drip_mm, self.below.cap_mm))
            low = down_mm(slope, bend)
        return high, low + self._metal_mm + (roofing.overhang if roofing else 0.0)

    @property
    def width_mm(self) -> float:
        """Of the sheeted slope along X, mm."""
        start, end = self.slope.sheeted_x
        return end - start

    def first_ribs(self) -> list[float]:
        """Middle of each panel's first rib, from the end where the first panel is set, mm.

        Where only a single rib or a strip would be left of the last panel, the first one is ripped
        just beside one of its ribs, so that the two are about as wide, and all ribs stay where they
        are. Common practice, no source.
        """
        panel = self.panel
        if not panel:
            return []
        half = panel.rib_mm[2] / 2
        first = FOOT_MM + half
        more = (self.width_mm - LEAST_PANEL_MM - half - first) / panel.cover_mm
        firsts = [first + k * panel.cover_mm for k in range(max(1, math.ceil(more)))]
        left, second = self.width_mm - firsts[-1], panel.pitch_mm + panel.rib_mm[1] / 2
        if len(firsts) == 1 or left >= max(second, LEAST_RIPPED_MM) - TOLERANCE_MM:
            return firsts
        cut = min(
            (k * panel.pitch_mm for k in range(panel.gaps)),
            key=lambda cut: abs(panel.cover_mm - cut - (left + cut)),
        )
        return [first, *(one - cut for one in firsts[1:])]

    def ribs(self) -> list[float]:
        """Middle of each whole rib, from the end where the first panel is set, mm."""
        panel = self.panel
        if not panel:
            return []
        firsts = self.first_ribs()
        last = self.width_mm - panel.rib_mm[1] / 2 + TOLERANCE_MM
        every = [firsts[0] + k * panel.pitch_mm for k in range(panel.gaps * len(firsts) + 1)]
        return [rib for rib in every if rib <= last]

    def screwed_ribs(self) -> list[float]:
        """The ribs that are screwed down: of each panel its first and one in so many, and the last.

        From the end where the first panel is set, mm.
        """
        panel, ribs = self.panel, self.ribs()
        if not panel:
            return []
        screwed: list[float] = []
        for first, following in itertools.pairwise([*self.first_ribs(), math.inf]):
            own = [r for r in ribs[:-1] if first - TOLERANCE_MM <= r < following - TOLERANCE_MM]
            screwed += own[:: panel.screwed]
        return [*screwed, ribs[-1]]

    @property
    def turned_up(self) -> bool:
        """Whether the last panel's ripped edge is turned up to carry a rake trim.

        It is where no rib lies under the trim, which would sag on to the flat.
        """
        ribs = self.ribs()
        return bool(ribs) and self.width_mm - ribs[-1] > RAKE_FLANGE_MM
