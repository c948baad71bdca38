"""Headers over openings and over open sides, and what packs them out."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, Source, profile, sheeting, timber
from pikepole_model.geometry.shape import rectangle
from pikepole_model.geometry.spacing import TOLERANCE_MM, anywhere, joints_of, sheet_edges, splice
from pikepole_model.plan.framed import Framed
from pikepole_model.plan.headers import plies_of
from pikepole_model.plan.wall import WallPlan

# Plates that end this near to the others are driven tight, mm.
FLUSH_MM = 0.5


def over_opening(plan: WallPlan, framed: Framed) -> Iterator[Piece]:
    """What lies over an opening or over a row of them, up to the plates where it is packed out."""
    datums = plan.datums
    table = datums.scene.opening[framed.table]
    name = table.name if table.one_header else framed.opening.name
    u0, u1 = framed.header_u
    sheet = datums.scene.sheet_stock(datums.scene.walls.header_spacer)
    n = 0.0
    for kind, source, thickness in _over(plan, framed):
        spacer = kind == Kind.HEADER_SPACER
        # A ply spans in one piece; a spacer carries nothing and ends where its sheet does.
        ends = sheet_edges(u0, u1, sheet.length_mm, ()) if spacer else [u0, u1]
        n -= thickness
        for start, end in itertools.pairwise(ends):
            yield profile(
                f"{name} {kind}",
                kind,
                plan.group,
                source,
                rectangle(start, framed.head, end, framed.head + framed.header_mm),
                plan.place.at_depth(n),
                thickness,
            )
    if not plan.open_part and plan.is_packed(framed):
        yield from _packing(plan, framed, name)


def over_posts(plan: WallPlan) -> Iterator[Piece]:
    """The header under the plates of an open side, and the cap plates of a half wall."""
    part, datums = plan.open_part, plan.datums
    if part is None:
        return
    stock, sheet = (
        datums.scene.lumber_stock(part.header),
        datums.scene.sheet_stock(datums.scene.walls.header_spacer),
    )
    start, end = plan.framed
    posts, n, below = plan.full_height_centres(), 0.0, list[float]()
    rad = max(abs(rake.rad) for rake in plan.rakes)

    def longest(length: float) -> float:
        """What plumb ends, which lean out past the middle, leave of a length along the wall."""
        return length * math.cos(rad) - stock.depth_mm * math.sin(rad)

    for kind, source, thickness in _plies(plan, part.header):
        n -= thickness
        if kind == Kind.HEADER_SPACER:
            edges = sheet_edges(start, end, longest(sheet.length_mm), ())
            runs = list(itertools.pairwise(edges))
        else:
            # Their lengths meet over posts.
            runs = splice(start, end, longest(stock.longest_mm), posts, below)
            below = joints_of(runs)
        for u0, u1 in runs:
            foot, head = plan.head_line(u0, u1, part.header_mm), plan.head_line(u0, u1)
            yield profile(
                f"{plan.group} {kind}",
                kind,
                plan.group,
                source,
                (*foot, *reversed(head)),
                plan.place.at_depth(n),
                thickness,
                grain_rad=plan.rake_at(u0).rad,
            )
    for u0, u1 in part.between if part.from_mm else ():
        yield profile(
            f"{plan.group} cap plate",
            Kind.TOP_PLATE,
            plan.group,
            studs_of(plan),
            rectangle(u0, part.from_mm - datums.breadth_mm, u1, part.from_mm),
            plan.place.at_depth(-datums.wall_mm),
            datums.wall_mm,
        )


def _packing(plan: WallPlan, framed: Framed, name: str) -> Iterator[Piece]:
    """What fills the little that is left between a header and the plates.

    Studs laid flat where that comes out even, or else on edge, ripped to fit, in both faces.
    """
    breadth, wall = plan.datums.breadth_mm, plan.datums.wall_mm
    u0, u1 = framed.header_u
    foot = framed.head + framed.header_mm
    rooms = [height - foot for _, height in plan.head_line(u0, u1)]
    count = round(max(rooms) / breadth)
    flat = all(abs(room - count * breadth) <= FLUSH_MM for room in rooms)
    layers = (
        [(foot + k * breadth, -wall, wall) for k in range(count)]
        if flat
        else [(foot, n, breadth) for n in (-breadth, -wall)]
    )
    longest = plan.datums.scene.lumber_stock(plan.datums.scene.walls.stud).longest_of_mm(u1 - u0)
    for (low, n, thick), (start, end) in itertools.product(
        layers, splice(u0, u1, longest, anywhere(u0, u1))
    ):
        # The uppermost is planed where that is a hair too high.
        top = low + breadth if flat else math.inf
        heads = [(u, min(top, head)) for u, head in plan.head_line(start, end)]
        yield profile(
            f"{name} {Kind.HEADER_PACKING}",
            Kind.HEADER_PACKING,
            plan.group,
            studs_of(plan),
            ((start, low), (end, low), *reversed(heads)),
            plan.place.at_depth(n),
            thick,
        )


def _over(plan: WallPlan, framed: Framed) -> list[tuple[Kind, Source, float]]:
    """What lies over an opening, from the outer face in, each with its thickness, mm.

    Under a beam that carries the roof past the opening, one stud laid flat, or nothing.
    """
    if framed.header is not None:
        return _plies(plan, framed.header)
    return [(Kind.HEAD_PLATE, studs_of(plan), plan.datums.wall_mm)] if framed.header_mm else []


def _plies(plan: WallPlan, header: str) -> list[tuple[Kind, Source, float]]:
    """A built-up header, from the outer face in: its plies and spacers with their thickness, mm.

    As many plies as the wall is thick enough for, with a sheet spacer in each joint where the wall
    leaves room for it: 1-1/2 + 1/2 + 1-1/2 in make the 3-1/2 in of a stud.
    """
    datums, scene = plan.datums, plan.datums.scene
    ply = scene.lumber_stock(header).breadth_mm
    spacer = scene.sheet_stock(scene.walls.header_spacer).thickness_mm
    plies = plies_of(datums, header)
    room = datums.wall_mm - plies * ply
    spaced = plies > 1 and (plies - 1) * spacer <= room + TOLERANCE_MM
    layers: list[tuple[Kind, Source, float]] = []
    for k in range(plies):
        if k and spaced:
            sheet = sheeting(scene, scene.walls.header_spacer)
            layers.append((Kind.HEADER_SPACER, sheet, spacer))
        layers.append((Kind.HEADER, timber(scene, header), ply))
    return layers


def studs_of(plan: WallPlan) -> Source:
    """The studs of a wall."""
    return timber(plan.datums.scene, plan.datums.scene.walls.stud)
