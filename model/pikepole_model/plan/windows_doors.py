"""What is fitted into a wall's openings, in its own plane: frames, leaves, tracks, casings.

u along the wall and v above the floor, as in the wall's plan; how deep it all lies is said where
the pieces are laid out.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from typing import assert_never

from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.framed import Framed, Rect
from pikepole_model.plan.wall import WallPlan
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.windows_doors import (
    BETWEEN,
    Door,
    FramedDoor,
    LedgedDoor,
    SteelDoor,
    Track,
    Trim,
    UnitWindow,
)
from pikepole_model.stock.metric import usual

# What a frame is ripped from, the narrowest that is wide enough; all are equally thick.
FRAMES = ("1x6", "1x8", "1x10", "1x12")

# A leaf stands clear of its frame by 1/8 in, of its threshold by 1/4 in or of the bare floor by
# 1/2 in, and of the other leaf of a pair by 3/16 in: common practice, no source.
LEAF_GAP_MM = 3.175
OVER_THRESHOLD_MM = 6.35
FLOOR_GAP_MM = 12.7
MEETING_GAP_MM = 4.7625

# Casing laps the frame of a bought window by 1/2 in: common practice, no source.
LAP_ON_UNIT_MM = 12.7

# A sill made on site is ripped from 1-1/2 in thick at its back: common practice, no source.
SILL_MM = 38.1

# Flat T-hinges: 1-1/2 x 4 in on the casing or, without one, on the edge of the frame and what is
# beside it. Common practice, no source.
HINGE_MM = (38.1, 101.6)

# A flat track of 1/4 x 1-1/2 in, 1/2 in over the leaf, on which wheels of 2 in run: common
# practice, no source.
RAIL_MM = (6.35, 38.1)
RAIL_OVER_LEAF_MM = 12.7
WHEEL_RADIUS_MM = 25.4
SPACER_RADIUS_MM = 12.7  # round ones, between track and board
WHEEL_MM = 19.05

# A sliding leaf runs this clear of the board behind its track: 1/4 in, common practice, no source.
RUNNING_GAP_MM = 6.35

# Thickness of the straps on its face, from which it hangs: 1/4 in, common practice, no source.
HANGER_MM = 6.35

# What covers the joint of a pair of leaves: common practice, no source.
ASTRAGAL = "1x3"

# The floor guide: an iron of 1/8 x 3 in, 3/16 in clear of the leaf all round, up before it by
# 1-1/2 in. Common practice, no source.
GUIDE_MM = (3.175, 76.2)
GUIDE_GAP_MM = 4.7625
GUIDE_UP_MM = 38.1


@dataclass(frozen=True, slots=True)
class Sliding:
    """What one leaf slides on, in the wall's plane, mm.

    Attributes:
        track_u: From and to of its track along the wall: so long that the leaf clears the opening,
            and stays in its floor guide.
        board: The board on the wall's face behind it, from the head of the clear opening up.
        guide: The floor guide where the open leaf still reaches, round its lower edge.
    """

    track_u: tuple[float, float]
    board: Rect
    guide: Rect


@dataclass(frozen=True)
class FittedOpening:
    """One opening and what goes into it."""

    scene: Scene
    framed: Framed

    @property
    def door(self) -> Door | None:
        """What its door is made of, where it has one."""
        return self.framed.opening.door

    @property
    def track(self) -> Track | None:
        """What its door slides on, where it does."""
        return self.door.track if self.door else None

    @property
    def frames(self) -> tuple[str, ...]:
        """Stock that the boards that line it may be of; none where it is bare or takes a unit."""
        inside = self.door or self.framed.opening.window
        if inside is None or isinstance(inside, UnitWindow):
            return ()
        if inside.frame:
            return (inside.frame,)
        return tuple(usual(name, self.scene.units) for name in FRAMES)

    @property
    def membrane(self) -> str | None:
        """The roll of the membrane on its rough sill, or under its threshold."""
        inside = self.door or self.framed.opening.window
        if not inside or (self.door and not self.door.threshold):
            return None
        return inside.membrane

    @property
    def tape(self) -> str | None:
        """The roll of the tape at its jambs and over its head."""
        inside = self.door or self.framed.opening.window
        return inside.tape if inside else None

    @cached_property
    def membrane_mm(self) -> float:
        """Thickness of that membrane; 0 without."""
        return self.scene.catalogue.find_roll(self.membrane).thickness_mm if self.membrane else 0.0

    @cached_property
    def tape_mm(self) -> float:
        """Thickness of that tape; 0 without."""
        return self.scene.catalogue.find_roll(self.tape).thickness_mm if self.tape else 0.0

    @property
    def lined(self) -> Rect:
        """What membrane and tape leave of its rough opening, mm."""
        u0, v0, u1, v1 = self.framed.rough
        side = self.membrane_mm + self.tape_mm
        return (u0 + side, v0 + self.membrane_mm, u1 - side, v1 - self.tape_mm)

    @cached_property
    def clear(self) -> Rect:
        """What is left open inside its frame boards, mm; the rough opening where it has none.

        A door's down to the floor, a window's to the high back edge of its sill.
        """
        if not self.frames:
            return self.framed.rough
        u0, v0, u1, v1 = self.lined
        board = self.scene.lumber_stock(self.frames[0]).breadth_mm
        foot = self.framed.rough[1] if self.door else v0 + SILL_MM
        return (u0 + board, foot, u1 - board, v1 - board)

    @cached_property
    def threshold_mm(self) -> float:
        """Top of its threshold above the floor; 0 without."""
        if not self.door or not self.door.threshold:
            return 0.0
        return self.membrane_mm + self.scene.lumber_stock(self.door.threshold).breadth_mm

    @cached_property
    def cased(self) -> Rect:
        """The inner edge of its casing, mm: under a bought window, or the nose of a sill.

        Common practice, no source: what runs out at a bought window's foot is not dammed there.
        """
        window = self.framed.opening.window
        if not isinstance(window, UnitWindow):
            u0, v0, u1, v1 = self.clear
            return (u0, self.lined[1] if window else v0, u1, v1)
        u0, v0, u1, v1 = self.framed.rough
        lap = window.clearance + LAP_ON_UNIT_MM
        return (u0 + lap, v0 + window.clearance, u1 - lap, v1 - lap)

    @cached_property
    def leaves(self) -> tuple[Rect, ...]:
        """Each leaf of its door, closed, the left or the lower one first, mm."""
        if not self.door:
            return ()
        low = FLOOR_GAP_MM
        if self.threshold_mm and not self.track:
            low = self.threshold_mm + OVER_THRESHOLD_MM
        if self.track:
            u0, _, u1, v1 = self.framed.rough
            lap = self.track.lap
            left, right, high = u0 - lap, u1 + lap, v1 + lap
        else:
            u0, _, u1, v1 = self.clear
            left, right, high = u0 + LEAF_GAP_MM, u1 - LEAF_GAP_MM, v1 - LEAF_GAP_MM
        half = MEETING_GAP_MM / 2
        if (cut := self.door.cut_mm) is not None:
            return ((left, low, right, cut - half), (left, cut + half, right, high))
        if self.door.leaves == 1:
            return ((left, low, right, high),)
        middle = (left + right) / 2
        return ((left, low, middle - half, high), (middle + half, low, right, high))

    @cached_property
    def slides(self) -> tuple[Sliding, ...]:
        """What each leaf of a sliding door runs on; each of a pair to its own side."""
        if not self.track:
            return ()
        if len(self.leaves) == 1:
            return (self._sliding(self.leaves[0], to_left=self.track.to == "left"),)
        left, right = self.leaves
        return self._sliding(left, to_left=True), self._sliding(right, to_left=False)

    def _sliding(self, leaf: Rect, *, to_left: bool) -> Sliding:
        assert self.track
        (left, _, right, _), (u0, _, u1, _) = leaf, self.clear
        more = (right - u0 if to_left else u1 - left) + GUIDE_GAP_MM
        track = (left - more, right) if to_left else (left, right + more)
        low = self.cased[3]
        high = low + self.scene.lumber_stock(self.track.board).depth_mm
        foot = FLOOR_GAP_MM - GUIDE_GAP_MM - GUIDE_MM[0]
        start = u0 - GUIDE_GAP_MM - GUIDE_MM[1] if to_left else u1 + GUIDE_GAP_MM
        guide = (start, foot, start + GUIDE_MM[1], foot + GUIDE_UP_MM)
        return Sliding(track, (track[0], low, track[1], high), guide)

    @cached_property
    def strip_mm(self) -> float:
        """Thickness of a second casing board behind a sliding leaf, out to where it runs.

        None where the board behind the track is no thicker than the casing and another one.
        """
        trim = self.framed.opening.trim
        if not self.track or not trim:
            return 0.0
        thick = self.scene.lumber_stock(trim.board).breadth_mm
        room = self.scene.lumber_stock(self.track.board).breadth_mm - thick
        return thick if thick < room + TOLERANCE_MM else 0.0

    @cached_property
    def leaf_out_mm(self) -> float:
        """How far a sliding leaf stands out from the face that its track's board is on."""
        assert self.door
        assert self.track
        face, stick = leaf_layers(self.scene, self.door)
        behind = self.scene.lumber_stock(stick).breadth_mm if stick else 0.0
        board = self.scene.lumber_stock(self.track.board).breadth_mm
        return board + RUNNING_GAP_MM + face + behind

    @property
    def track_out_mm(self) -> float:
        """The same with hangers on it, and with the astragal over a pair."""
        astragal = self.scene.lumber_stock(ASTRAGAL).breadth_mm if len(self.leaves) > 1 else 0.0
        return self.leaf_out_mm + max(HANGER_MM, astragal)

    @cached_property
    def rail_v(self) -> tuple[float, float]:
        """Underside and top of its track, mm above the floor."""
        low = self.leaves[0][3] + RAIL_OVER_LEAF_MM
        return (low, low + RAIL_MM[1])


def leaf_layers(scene: Scene, door: Door) -> tuple[float, str | None]:
    """Thickness of a leaf's face, mm, and the stock of the sticks behind it, if it is made."""
    match door:
        case LedgedDoor(boards=str() as boards):
            return scene.lumber_stock(boards).breadth_mm, door.ledge
        case LedgedDoor():
            return scene.sheet_stock(door.sheet).thickness_mm, door.ledge
        case FramedDoor():
            return scene.sheet_stock(door.sheet).thickness_mm, door.stile
        case SteelDoor():
            return door.thickness, None
        case _:
            assert_never(door)


class Casing(StrEnum):
    """Where a casing board goes."""

    SIDE = "side casing"
    MIDDLE = "middle casing"  # between two openings of a row
    HEAD = "head casing"
    SILL = "sill casing"


@dataclass(frozen=True)
class CasedRun:
    """Openings side by side that share their casing, from left to right: often only one.

    Attributes:
        openings: The openings.
        trim: What the scene says of the casing.
        board_mm: Width of a casing board.
    """

    openings: tuple[FittedOpening, ...]
    trim: Trim
    board_mm: float

    @cached_property
    def outer(self) -> Rect:
        """Outer edge of the casing, mm; a door's goes down to the floor."""
        (u0, v0, _, v1), (_, _, u1, _) = self.openings[0].cased, self.openings[-1].cased
        w = self.board_mm
        low = v0 - w if self._has_sill else 0.0
        return (u0 - w, low, u1 + w, v1 if self._has_track else v1 + w)

    @property
    def boards(self) -> list[tuple[Casing, str, Rect]]:
        """Each casing board: where it goes, its stock, and its (u0, v0, u1, v1), mm.

        Head and foot run across, the uprights stand between them; one board covers what is
        between two openings of a row. Over a sliding door the track's board is the head. A foot
        that sheds water itself lies between the uprights.
        """
        (u0, low, u1, high), (_, v0, _, v1) = self.outer, self.openings[0].cased
        inner = [f.cased for f in self.openings]
        edges = [u0, *(u for rect in inner for u in (rect[0], rect[2])), u1]
        board, between = self.trim.board, self.between
        boards: list[tuple[Casing, str, Rect]] = []
        for k, (a, b) in enumerate(zip(edges[::2], edges[1::2], strict=True)):
            outermost = k in (0, len(inner))
            what = Casing.SIDE if outermost else Casing.MIDDLE
            foot = low if self.sheds else v0
            boards.append((what, board if outermost else between, (a, foot, b, v1)))
        if not self._has_track:
            boards.append((Casing.HEAD, board, (u0, v1, u1, high)))
        if self.sheds:
            boards += [(Casing.SILL, board, (a, low, b, v0)) for a, _, b, _ in inner]
        elif self._has_sill:
            boards.append((Casing.SILL, board, (u0, low, u1, v0)))
        return boards

    @property
    def sheds(self) -> bool:
        """Whether its foot is under no sill's nose, so that its own upper edge falls outward."""
        return self._has_sill and not self.openings[0].frames

    @property
    def between(self) -> str:
        """Section of the board between two."""
        return self.trim.between or usual(BETWEEN, self.openings[0].scene.units)

    @property
    def _has_sill(self) -> bool:
        return self.openings[0].framed.opening.kind == "window"

    @property
    def _has_track(self) -> bool:
        return self.openings[0].track is not None


def fitted_openings(plan: WallPlan) -> tuple[FittedOpening, ...]:
    """Each opening of a wall with what goes into it, from left to right."""
    return tuple(FittedOpening(plan.datums.scene, framed) for framed in plan.openings)


def cased_runs(plan: WallPlan) -> tuple[CasedRun, ...]:
    """The casings of a wall from left to right.

    Openings of one row whose casings would meet, or for which the scene names one, share a board
    between them.
    """
    runs: list[CasedRun] = []
    for fitted in fitted_openings(plan):
        trim = fitted.framed.opening.trim
        if not trim:
            continue
        width = fitted.scene.lumber_stock(trim.board).depth_mm
        last = runs[-1] if runs else None
        in_row = last and last.openings[-1].framed.table == fitted.framed.table
        if (
            last
            and in_row
            and (
                trim.between
                or fitted.cased[0] - last.openings[-1].cased[2] < 2 * width - TOLERANCE_MM
            )
        ):
            runs[-1] = CasedRun((*last.openings, fitted), trim, width)
        else:
            runs.append(CasedRun((fitted,), trim, width))
    return tuple(runs)


def batten_stops(plan: WallPlan) -> tuple[Rect, ...]:
    """What battens stop at: casings with their openings, hinges on bare frames, tracks' irons, mm.

    Returns:
        (u0, v0, u1, v1) in the wall's plane, casings from left to right, then the others.
    """
    others: list[Rect] = []
    for fitted in fitted_openings(plan):
        if fitted.track:
            others += [rect for one in fitted.slides for rect in (one.board, one.guide)]
        elif rect := past_hinges(fitted):
            others.append(rect)
    return (*(run.outer for run in cased_runs(plan)), *others)


def on_cladding(plan: WallPlan, fitted: FittedOpening) -> tuple[Rect, ...]:
    """What goes round an opening on the face of the cladding, all as far out, mm.

    All the casing that it is in, or its rough edge without any; and boards behind tracks.
    """
    run = next((run for run in cased_runs(plan) if fitted in run.openings), None)
    outer, openings = (run.outer, run.openings) if run else (fitted.framed.rough, (fitted,))
    return (outer, *(slide.board for one in openings for slide in one.slides))


def past_hinges(fitted: FittedOpening) -> Rect | None:
    """An opening with the hinges beside it on its bare frame, mm; None where none are."""
    if not fitted.door or fitted.track or fitted.framed.opening.trim:
        return None
    u0, v0, u1, v1 = fitted.framed.rough
    return (u0 - HINGE_MM[0], v0, u1 + HINGE_MM[0], v1)


def between(run: CasedRun) -> list[float]:
    """The widths that one board covers between two openings of a run, mm."""
    return [b.cased[0] - a.cased[2] for a, b in itertools.pairwise(run.openings)]
