"""Membrane, tapes and wrap round an opening, layer over layer, in the wall's plane and out from it.

What runs down the wall runs over each layer on to the next: IRC R703.4 asks for that, and ASTM
E2112 for the order, after the wrap is on (both from memory): membrane on the sill and down over the
wrap, tape at the jambs over it, tape over the head on theirs, and over that the flap of wrap that
was cut and lifted for it.

        +-------------------+      the flap hangs from here over the head tape
        | +---------------+ |
        | |  head tape    | |
        +-+-+-----------+-+-+
          | |           | |        jamb tape, turned in on the studs
          | |           | |
        +-+-+-----------+-+-+
        |  sill membrane    |      turned up at the jambs, and down over the wrap
        +-------------------+
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import shapely
from shapely import box
from shapely.geometry.base import BaseGeometry

from pikepole_model.geometry.spacing import TOLERANCE_MM, overlap
from pikepole_model.plan.clad_face import clad_mm
from pikepole_model.plan.cladding import tables_on, v_of
from pikepole_model.plan.faces import WallFace, lean_to, leg_up_wall
from pikepole_model.plan.framed import Rect
from pikepole_model.plan.heads import heads
from pikepole_model.plan.standing import standing_at
from pikepole_model.plan.wall_metal import JAMB_TAPE_MM, RISE_MM, legs_mm
from pikepole_model.plan.windows_doors import FittedOpening, batten_stops, fitted_openings
from pikepole_model.scene.foundation import Pad
from pikepole_model.stock.sheet_metal import DAM_MM

# The membrane turns up at the jambs by 6 in, or half of a low opening, and down over the wrap by 2;
# the jamb tape ends 1/2 in over its lower edge. Common practice, no source.
UP_MM = 152.4
DOWN_MM = 50.8
SHORT_MM = 12.7

# Head tape and membrane reach 3 in past the opening where there is room, jamb tape two thirds of
# that; head tape 2 in up, jamb tape 1 in up behind it. The flap hangs 1/2 in over the tape's edge.
# Common practice, no source.
PAST_MM = 76.2
JAMB_SHARE = JAMB_TAPE_MM / PAST_MM
HEAD_UP_MM = 50.8
JAMB_UP_MM = 25.4
OVER_TAPE_MM = 12.7

# With less room than this beside or over an opening no tape sticks: 1/2 in. Assumed.
LEAST_MM = 12.7

# Layers that the wrap may have where lengths and courses lap.
WRAP_LAYERS = 4

# Tapes end this clear of what is in their way, mm.
CLEAR_MM = 1.0


@dataclass(frozen=True)
class Sealed:
    """One opening and what keeps water out round it.

    Attributes:
        face: The wall.
        fitted: The opening.
    """

    face: WallFace
    fitted: FittedOpening

    @property
    def is_lapped(self) -> bool:
        """Whether anything comes out on the wall's face: only where something covers it there."""
        return clad_mm(self.face, self.fitted.framed.rough) > 0

    @property
    def wall_n(self) -> float:
        """The framing's inner face, mm from the sheathing's outer one."""
        return -self.face.sheet_mm - self.face.plan.datums.wall_mm

    @property
    def is_on_slab(self) -> bool:
        """Whether the floor at it is a slab, with nothing of the wall below it."""
        return self.fitted.framed.sill <= self.face.foot_mm

    @cached_property
    def levels(self) -> tuple[float, float, float, float]:
        """Backs of sill membrane, jamb tape, head tape and flap, mm from the sheathing."""
        sill, tape = self.fitted.membrane_mm, self.fitted.tape_mm
        first = _over_wrap_mm(self.face)
        return (first, first + sill, first + sill + tape, first + sill + 2 * tape)

    @property
    def out_mm(self) -> float:
        """How far all of it lies out from the sheathing, mm."""
        wrap = self.fitted.scene.wrap
        flap = self.fitted.scene.roll_stock(wrap.roll).thickness_mm if wrap else 0.0
        return self.levels[3] + flap

    @cached_property
    def turned_down(self) -> tuple[float, float]:
        """Where the membrane turns down, mm from the sheathing, and how far down it goes.

        On a slab over its edge, or not where that is wider than the wall. Under a window without
        casing in a bare wall over the wall's face: what runs off the sill does not run in behind
        that. Under casing the face is all there is.
        """
        pad, sheet = self.face.plan.datums.scene.foundation, self.face.sheet_mm
        if self.is_on_slab and self.is_lapped:
            wider = isinstance(pad, Pad) and pad.margin
            return (0.0, 0.0) if wider else (-sheet, DOWN_MM)
        framed = self.fitted.framed
        down = framed.sill - self.face.foot_mm
        if self.is_lapped:
            return self.levels[0], min(DOWN_MM, down)
        is_bare = not self.fitted.door and not framed.opening.trim
        if not is_bare or not self.face.sheet_mm:
            return 0.0, 0.0
        left, _, right, _ = framed.rough
        under = box(left, framed.sill - DOWN_MM, right, framed.sill)
        # Over the leg of a lower roof's flashing, so that what it sheds runs down on that.
        is_over = leg_up_wall(self.face).intersection(under).area > 0
        return legs_mm(self.fitted.scene) if is_over else 0.0, min(DOWN_MM, down)

    @property
    def turned_down_rect(self) -> Rect:
        """Where membrane lies under the opening, with room beside it, mm."""
        (left, right), sill = self.past_u, self.fitted.framed.sill
        return (left - CLEAR_MM, sill - self.turned_down[1], right + CLEAR_MM, sill)

    @cached_property
    def _room(self) -> BaseGeometry:
        """Where tape may lie on the wall, mm."""
        plan = self.face.plan
        area = self.face.area.difference(lean_to(self.face, 0.0, CLEAR_MM))
        for one in standing_at(plan.datums, plan.place, f"{plan.group} wrap"):
            if overlap(one.n, (0.0, self.face.sheet_mm + self.levels[3])):
                area = area.difference(box(one.u[0], one.v[0], one.u[1], one.v[1]))
        return area

    @property
    def _is_by_foot(self) -> bool:
        """Whether cladding ends beside it, on a flashing that runs up to its casing or hinges."""
        face, low = self.face, self.fitted.framed.sill - 2 * DOWN_MM
        tables = tables_on(face.plan.datums.scene, face)
        return any(t.above is None and v_of(t, face)[0] > low for t in tables)

    @cached_property
    def past_u(self) -> tuple[float, float]:
        """How far head tape and membrane reach, left and right, mm along the wall."""
        u0, v0, u1, v1 = self.fitted.framed.rough
        low = max(v0 - self.turned_down[1], self.face.foot_mm)
        left, right = u0 - PAST_MM, u1 + PAST_MM
        for other in self.face.openings:
            if other is self.fitted.framed or not overlap(
                (other.sill - 2 * PAST_MM, other.head + 2 * PAST_MM), (v0, v1)
            ):
                continue
            if other.u[1] <= u0:
                left = max(left, (other.u[1] + u0) / 2 + CLEAR_MM)
            elif other.u[0] >= u1:
                right = min(right, (other.u[0] + u1) / 2 - CLEAR_MM)
        if not self.is_lapped:  # on the face that its neighbours' casings lie on
            for rect in batten_stops(self.face.plan):
                if overlap((rect[1], rect[3]), (low, v1)):
                    left = max(left, rect[2] + CLEAR_MM) if rect[2] <= u0 else left
                    right = min(right, rect[0] - CLEAR_MM) if rect[0] >= u1 else right
        if self._is_by_foot:
            for rect in batten_stops(self.face.plan):
                if rect[0] <= u0 and rect[2] >= u1:
                    left, right = max(left, rect[0] + CLEAR_MM), min(right, rect[2] - CLEAR_MM)
        beside = [box(left, low, u0, v1), box(u1, low, right, v1)]
        for k, strip in enumerate(beside):
            taken = strip.difference(self._room).bounds
            if taken[0] == taken[0]:  # of nothing they are not numbers
                left = max(left, taken[2] + CLEAR_MM) if k == 0 else left
                right = min(right, taken[0] - CLEAR_MM) if k else right
        return min(left, u0 - CLEAR_MM), max(right, u1 + CLEAR_MM)

    @cached_property
    def legs_mm(self) -> tuple[float, float]:
        """Width of the left and right jamb tape on the wall's face, mm; 0 without room."""
        (left, right), (u0, _, u1, _) = self.past_u, self.fitted.framed.rough
        legs = (u0 - left, right - u1)
        a, b = (JAMB_SHARE * leg if leg >= LEAST_MM else 0.0 for leg in legs)
        return (a, b) if self.fitted.tape and self.is_lapped else (0.0, 0.0)

    @cached_property
    def _metal(self) -> list[Rect]:
        """Heads that a flashing lies over where tape would lie over the opening, mm."""
        return [h.outer for h in heads(self.face) if overlap((h.outer[0], h.outer[2]), self.past_u)]

    @cached_property
    def head_foot(self) -> float:
        """Where head tape and flap begin, mm above the floor: at the rough head.

        Where a flashing lies over the frame itself, clear of its flange and dams, on its leg.
        """
        head = self.fitted.framed.head
        own = any(abs(rect[3] - head) < TOLERANCE_MM for rect in self._metal)
        return head + RISE_MM + DAM_MM + CLEAR_MM if own else head

    @cached_property
    def head_v(self) -> tuple[float, float]:
        """Top of the head tape and of the flap over it, mm above the floor.

        The rough head twice where there is no room: under a roof or a head flashing.
        """
        head = self.fitted.framed.head
        (left, right), foot = self.past_u, self.head_foot
        over = [rect[3] - CLEAR_MM for rect in self._metal if rect[3] > head + TOLERANCE_MM]
        top = min([foot + HEAD_UP_MM + OVER_TAPE_MM, *over])
        taken = box(left, foot, right, top).difference(self._room).bounds
        if taken[0] == taken[0]:
            top = min(top, taken[1] - CLEAR_MM)
        if not self.fitted.tape or not self.is_lapped or top - foot < LEAST_MM + OVER_TAPE_MM / 2:
            return head, head
        return max(top - OVER_TAPE_MM, (top + foot) / 2), top

    @property
    def taped(self) -> BaseGeometry:
        """What jamb tapes, head tape and flap cover beside and over the opening, mm."""
        (u0, v0, u1, v1), (left, right) = self.fitted.framed.rough, self.legs_mm
        beside = box(u0 - left, v0 - self.turned_down[1], u1 + right, v1)
        return beside.union(self.flap) if self.head_v[1] > v1 else beside

    @property
    def flap(self) -> BaseGeometry:
        """What is cut and lifted of the wrap, mm."""
        (left, right), (_, top) = self.past_u, self.head_v
        return box(left, self.head_foot, right, top)


def sealed(face: WallFace) -> Iterator[Sealed]:
    """The openings of a wall that something is fitted into, from left to right."""
    for fitted in fitted_openings(face.plan):
        if fitted.membrane or fitted.tape:
            yield Sealed(face, fitted)


def flaps(face: WallFace) -> list[BaseGeometry]:
    """What is cut and lifted of a wall's wrap over its openings, mm."""
    found = [one.flap for one in sealed(face) if one.head_v[1] > one.fitted.framed.head]
    return [flap for flap in found if not shapely.is_empty(flap)]


def _over_wrap_mm(face: WallFace) -> float:
    """Outer face of the wrap, laps and all, mm from the sheathing."""
    scene = face.plan.datums.scene
    metal = legs_mm(scene)
    if not scene.wrap:
        return metal
    ledger = face.plan.datums.ledger_wrap_mm if face.ledger_slope else 0.0
    return metal + ledger + WRAP_LAYERS * scene.roll_stock(scene.wrap.roll).thickness_mm
