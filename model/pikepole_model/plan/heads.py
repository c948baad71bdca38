"""Heads of openings in a wall that take a flashing: what it lies over, and what it leaves open."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from shapely import Polygon as Area
from shapely import box
from shapely.geometry.base import BaseGeometry

from pikepole_model.geometry.spacing import TOLERANCE_MM, overlap
from pikepole_model.plan.clad_face import clad_mm
from pikepole_model.plan.faces import CLEAR_OF_RAFTERS_MM, WallFace, clear_of_roofs, lean_to
from pikepole_model.plan.facings import batten_size, tables_on
from pikepole_model.plan.framed import Framed, Rect
from pikepole_model.plan.wall_metal import (
    CLEAR_MM,
    DRIP_MM,
    JAMB_TAPE_MM,
    NOTCH_MM,
    OPEN_MM,
    RISE_MM,
    UP_MM,
    flat_of,
)
from pikepole_model.plan.windows_doors import (
    SPACER_RADIUS_MM,
    cased_runs,
    fitted_openings,
    on_cladding,
)
from pikepole_model.scene.envelope import Battens
from pikepole_model.stock.sheet_metal import DAM_MM

# A flashing passes casing, frame or track board by 1/2 in at both ends, and is dammed there 1/2 in
# high. Common practice, no source.
PAST_HEAD_MM = 12.7

# Heads of one height and depth whose flashings would end within 2 in of one another have one over
# both, dammed at its outer ends alone: common practice, no source.
ACROSS_MM = 50.8

# Less of a leg than this on the sheathing takes no nail: 3/4 in, common practice, no source.
LEAST_NAILED_MM = 19.05


@dataclass(frozen=True, slots=True)
class Head:
    """What a flashing lies over: a casing, a bare frame, or the board behind a track.

    Attributes:
        outer: (u0, v0, u1, v1) of it, as far along the wall as the flashing runs, mm.
        clad_mm: How far out of the sheathing the cladding's face lies behind all that goes with it.
        thick_mm: How far it stands out from that face.
        drip_mm: How far the drip leg hangs down.
    """

    outer: Rect
    clad_mm: float
    thick_mm: float
    drip_mm: float


def heads(face: WallFace) -> list[Head]:
    """Casings, frames without one, and track boards with a flashing over their heads.

    Neighbours at one height share one. Not close under a ledger, whose roof keeps the rain off, so
    that the wrap behind that hangs far enough down; nor on slats; nor where the wall or its
    sheathing, which a beam lies over, ends too soon over them.
    """
    flat = flat_of(face.plan.datums.scene)
    if not flat or not face.is_closed:
        return []
    under = CLEAR_OF_RAFTERS_MM + RISE_MM + DAM_MM
    bare = clear_of_roofs(face, flat.thickness_mm).difference(lean_to(face, 0.0, under))
    sheathed = face.plan.top(0.0) if face.plan.runs_through else math.inf
    places = [*_cased(face), *_uncased(face), *_tracks(face)]
    found: list[Head] = []
    for rect, clad, thick, drip in places:
        others = [other for other, *_ in places if other is not rect]
        others += map(_bare, face.openings)
        longer = _run_past(rect, others)
        outer = longer if bare.covers(leg_over(longer)) else rect
        if bare.covers(leg_over(outer)) and rect[3] + LEAST_NAILED_MM <= sheathed:
            found.append(Head(outer, max(clad_mm(face, one) for one in clad), thick, drip))
    return _across(face, found, bare)


def _across(face: WallFace, found: list[Head], bare: BaseGeometry) -> list[Head]:
    """The same, neighbours that one flashing lies over as one, from left to right.

    Its drip leg passes before the battens between them, or it ends beside these.
    """
    joined, battens = list[Head](), _battens_mm(face)
    for head in sorted(found, key=lambda head: head.outer):
        last = joined.pop() if joined else None
        one = _as_one(last, head) if last and head.thick_mm + CLEAR_MM > battens else None
        joined += [one] if one and bare.covers(leg_over(one.outer)) else filter(None, (last, head))
    return joined


def _as_one(left: Head, right: Head) -> Head | None:
    """Two heads beside one another that one bent piece lies over, as one; None where none does."""
    (u0, v0, end, top), (start, low, u1, high) = left.outer, right.outer
    pairs = (
        (top, high),
        (left.clad_mm, right.clad_mm),
        (left.thick_mm, right.thick_mm),
        (left.drip_mm, right.drip_mm),
    )
    if start > end + ACROSS_MM or any(abs(a - b) > TOLERANCE_MM for a, b in pairs):
        return None
    return replace(left, outer=(u0, min(v0, low), u1, top))


def _cased(face: WallFace) -> Iterator[tuple[Rect, tuple[Rect, ...], float, float]]:
    """Casings that are no sliding door's: outer edge, the same, thickness, drip leg, mm."""
    for run in cased_runs(face.plan):
        if not any(fitted.track for fitted in run.openings):
            thick = run.openings[0].scene.lumber_stock(run.trim.board).breadth_mm
            yield run.outer, (run.outer,), thick, DRIP_MM


def _uncased(face: WallFace) -> Iterator[tuple[Rect, tuple[Rect, ...], float, float]]:
    """Frames and units flush with the cladding, with no casing: the same, past battens beside them.

    What runs down the cladding would run in behind their heads: IRC R703.4 (from memory).
    """
    for fitted in fitted_openings(face.plan):
        opening, rough = fitted.framed.opening, fitted.framed.rough
        if opening.trim or fitted.track or not (opening.window or opening.door):
            continue
        if clad_mm(face, rough) > 0.0:
            yield rough, (rough,), _battens_mm(face), DRIP_MM


def _battens_mm(face: WallFace) -> float:
    """Thickness of the thickest battens on a wall; 0 without."""
    scene = face.plan.datums.scene
    tables = [table for table in tables_on(scene, face) if isinstance(table, Battens)]
    return max((batten_size(scene, table).thickness for table in tables), default=0.0)


def _tracks(face: WallFace) -> Iterator[tuple[Rect, tuple[Rect, ...], float, float]]:
    """Track boards, those that butt as one, where a drip leg has room over the track's spacers.

    Each lies as far out as the casing of its door.
    """
    for fitted in fitted_openings(face.plan):
        if not fitted.track:
            continue
        stock = fitted.scene.lumber_stock(fitted.track.board)
        boards = [one.board for one in fitted.slides]
        u0, u1 = min(board[0] for board in boards), max(board[2] for board in boards)
        low, top = boards[0][1], boards[0][3]
        room = top - sum(fitted.rail_v) / 2 - SPACER_RADIUS_MM - TOLERANCE_MM
        if room > CLEAR_MM / 2:
            clad = on_cladding(face.plan, fitted)
            yield (u0, low, u1, top), clad, stock.breadth_mm, min(DRIP_MM, room)


def _bare(framed: Framed) -> Rect:
    """An opening with the tape beside it, where no casing lies over that, mm."""
    u0, v0, u1, v1 = framed.rough
    past = 0.0 if framed.opening.trim else JAMB_TAPE_MM
    return (u0 - past, v0, u1 + past, v1)


def _run_past(rect: Rect, others: list[Rect]) -> Rect:
    """A head as far along the wall as its flashing may run: half way to what is beside it, mm."""
    u0, v0, u1, v1 = rect
    left = right = PAST_HEAD_MM
    for a, low, b, high in others:
        if not overlap((low, high + UP_MM), (v1 - DRIP_MM, v1 + UP_MM)):
            continue
        # Tape beside it may reach in under this head.
        if b <= u0 + JAMB_TAPE_MM:
            left = min(left, (u0 - b) / 2 - 1.0)
        elif a >= u1 - JAMB_TAPE_MM:
            right = min(right, (a - u1) / 2 - 1.0)
    return (u0 - max(left, 0.0), v0, u1 + max(right, 0.0), v1)


def head_slots(face: WallFace, *, dammed: bool = True) -> list[Area]:
    """What the cladding leaves open over those heads, and for their dams where these are, mm."""
    slots: list[Area] = []
    for u0, _, u1, v1 in (head.outer for head in heads(face)):
        slots.append(box(u0, v1, u1, v1 + OPEN_MM))
        for u in (u0, u1 - NOTCH_MM) if dammed else ():
            slots.append(box(u, v1, u + NOTCH_MM, v1 + RISE_MM + DAM_MM))
    return slots


def leg_over(rect: Rect) -> Area:
    """What the leg of a flashing over a casing covers of the sheathing, mm."""
    u0, _, u1, v1 = rect
    return box(u0, v1, u1, v1 + UP_MM)
