"""A loft: ledgers, joists and headers, sheets over them, and the ladder up to it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from shapely import box

from pikepole_model.building.decks import is_tongued
from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, Source, block, profile, sheeting, timber
from pikepole_model.geometry.outline import cut_out
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.spacing import sheet_rows, splice
from pikepole_model.plan.ladder import LadderPlan
from pikepole_model.plan.loft import LoftPlan
from pikepole_model.plan.wall import WallPlan

FRAME = "loft frame"
DECK = "loft deck"
LADDER = "loft ladder"


def frame_loft(loft: LoftPlan, walls: Iterable[WallPlan]) -> list[Piece]:
    """Ledgers on the studs, joists, and what frames the opening."""
    return [
        *(piece for wall in walls if wall.runs_through for piece in _ledger(loft, wall)),
        *_joists(loft),
        *_headers(loft),
        *_blocks(loft),
    ]


def _joist_timber(loft: LoftPlan) -> Source:
    return timber(loft.datums.scene, loft.loft.joist)


def _ledger(loft: LoftPlan, wall: WallPlan) -> Iterator[Piece]:
    """A ledger on a wall's inner face, spliced on studs."""
    if wall.name not in ("front", "back") or loft.is_on_plates(wall.name):
        return
    scene, datums = loft.datums.scene, loft.datums
    stock = scene.lumber_stock(loft.loft.ledger)
    studs = sorted(wall.place.point(u, 0.0)[0] for u in wall.full_height_centres())
    y0 = datums.wall_mm
    if wall.name == "back":
        y0 = datums.depth_mm - datums.wall_mm - stock.breadth_mm
    longest = stock.longest_of_mm(loft.x[1] - loft.x[0])
    for x0, x1 in splice(*loft.x, longest, studs):
        yield block(
            f"{wall.name} {Kind.LOFT_LEDGER}",
            Kind.LOFT_LEDGER,
            FRAME,
            timber(scene, loft.loft.ledger),
            (x0, y0, loft.low_mm - stock.depth_mm),
            (x1, y0 + stock.breadth_mm, loft.low_mm),
            "x",
        )


def _joists(loft: LoftPlan) -> Iterator[Piece]:
    for joist in loft.joists:
        x0, x1 = joist.x
        yield profile(
            str(Kind.LOFT_JOIST),
            Kind.LOFT_JOIST,
            FRAME,
            _joist_timber(loft),
            joist.outline,
            Placement((x0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
            x1 - x0,
        )


def _level(loft: LoftPlan, kind: Kind, x: tuple[float, float], y: tuple[float, float]) -> Piece:
    """A piece as deep as the joists, across them or along."""
    return block(
        str(kind),
        kind,
        FRAME,
        _joist_timber(loft),
        (x[0], y[0], loft.low_mm),
        (x[1], y[1], loft.joists_top_mm),
        "x" if x[1] - x[0] > y[1] - y[0] else "y",
    )


def _headers(loft: LoftPlan) -> Iterator[Piece]:
    """Headers before and behind the opening, and joists under its sides where none is near."""
    if not loft.loft.opening:
        return
    thick, (y0, y1) = loft.stock.breadth_mm, loft.opening_y
    for k in range(loft.header_plies):
        for front in (y0 - (k + 1) * thick, y1 + k * thick):
            yield _level(loft, Kind.LOFT_HEADER, loft.headers_x, (front, front + thick))
    for x in loft.sides_x:
        yield _level(loft, Kind.LOFT_JOIST, x, (y0, y1))


def _blocks(loft: LoftPlan) -> Iterator[Piece]:
    """Full-depth blocks: on a ledger, where they keep the joists upright, and under bare edges.

    Source: IRC R502.7.
    """
    for x, front in (*loft.blocks, *loft.edge_blocks):
        yield _level(loft, Kind.LOFT_BLOCK, x, (front, front + loft.stock.breadth_mm))


def deck_loft(loft: LoftPlan) -> Iterator[Piece]:
    """Sheets across the joists in staggered rows from the front, the opening cut out."""
    scene = loft.datums.scene
    stock = scene.sheet_stock(loft.loft.sheet)
    holes = [box(loft.opening_x[0], loft.opening_y[0], loft.opening_x[1], loft.opening_y[1])]
    place = Placement((0.0, 0.0, loft.joists_top_mm))
    area = (loft.x[0], loft.sheeted_y[0], loft.x[1], loft.sheeted_y[1])
    supports = [start + loft.stock.breadth_mm / 2 for start in loft.starts_x]
    tongued = is_tongued(scene, Kind.LOFT_SHEET)
    across = stock.row_mm(tongued=tongued)
    for sheet in sheet_rows(area, stock.length_mm, across, supports, tongued=tongued):
        for outline, inner in cut_out(box(*sheet), holes if loft.loft.opening else []):
            yield profile(
                str(Kind.LOFT_SHEET),
                Kind.LOFT_SHEET,
                DECK,
                sheeting(scene, loft.loft.sheet),
                outline,
                place,
                stock.thickness_mm,
                holes=inner,
            )


def make_ladder(plan: LadderPlan) -> Iterator[Piece]:
    """Rails from floor to loft, treads on cleats between them, and rails to hold on to above."""
    scene, ladder = plan.loft.datums.scene, plan.ladder
    (_, inner), (outer, _) = plan.rails_x
    for x0, x1 in plan.rails_x:
        # With h against Y, u x v points to smaller X: start at the far face.
        place = Placement(
            (x0 if plan.way > 0 else x1, plan.y_of(0.0), 0.0),
            (0.0, float(plan.way), 0.0),
            (0.0, 0.0, 1.0),
        )
        yield profile(
            str(Kind.LADDER_RAIL),
            Kind.LADDER_RAIL,
            LADDER,
            timber(scene, ladder.rail),
            plan.rail_outline,
            place,
            x1 - x0,
            grain_rad=math.pi - math.radians(ladder.slope),
        )
    thick, wide = plan.tread.breadth_mm, plan.tread.depth_mm
    cleat = scene.lumber_stock(ladder.cleat)
    for top in plan.treads_top_mm:
        tread = (top - thick, top)
        yield _level_in(plan, Kind.LADDER_TREAD, ladder.tread, (inner, outer), tread, wide)
        under = (top - thick - cleat.depth_mm, top - thick)
        size = min(wide, plan.rail_h_mm)
        for x in ((inner, inner + cleat.breadth_mm), (outer - cleat.breadth_mm, outer)):
            yield _level_in(plan, Kind.LADDER_CLEAT, ladder.cleat, x, under, size)
    if plan.grab and ladder.grab:
        low, high = plan.grab_z(plan.grab)
        y0, y1 = sorted((plan.y_of(0.0), plan.y_of(plan.grab.depth_mm)))
        source = timber(scene, ladder.grab)
        for x0, x1 in plan.grabs_x(plan.grab):
            corners = (x0, y0, low), (x1, y1, high)
            yield block(str(Kind.GRAB_RAIL), Kind.GRAB_RAIL, LADDER, source, *corners, "z")


def _level_in(
    plan: LadderPlan,
    kind: Kind,
    stock: str,
    x: tuple[float, float],
    z: tuple[float, float],
    size: float,
) -> Piece:
    """Something level between the rails or on them, its middle in the middle of their depth."""
    y0, y1 = sorted(plan.y_of(h) for h in plan.level_h(sum(z) / 2, size))
    return block(
        str(kind),
        kind,
        LADDER,
        timber(plan.loft.datums.scene, stock),
        (x[0], y0, z[0]),
        (x[1], y1, z[1]),
        "x" if kind is Kind.LADDER_TREAD else "y",
    )
