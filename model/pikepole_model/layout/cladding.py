"""What goes with any cladding: what brings the wall into one plane, corner and joint boards."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely
from shapely import Polygon as Area
from shapely import box
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, Source, profile, sheeting, timber
from pikepole_model.geometry.courses import stretches
from pikepole_model.geometry.outline import cut_out, grown
from pikepole_model.geometry.shape import Loop, Polygon
from pikepole_model.geometry.spacing import SHEET_GAP_MM, TOLERANCE_MM, anywhere, splice
from pikepole_model.plan.clad_face import clad_mm
from pikepole_model.plan.cladding import CladdingPlan
from pikepole_model.plan.corners import BEHIND_MM, Corner
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.framed import Rect
from pikepole_model.plan.heads import head_slots
from pikepole_model.plan.wall_sheets import LEAST_STRIP_MM
from pikepole_model.plan.windows_doors import batten_stops
from pikepole_model.scene.walls import SheetedWall


def fur_out(plan: CladdingPlan) -> list[Piece]:
    """Strips of the wall's sheet on the beams and end rafters that lie on the walls.

    The sheets end at the plates, under those; with a strip as thick as the sheets on their faces,
    what covers the wall lies in one plane up to the rafters.
    """
    return [piece for face in plan.faces for piece in _strips(plan, face)]


def _strips(plan: CladdingPlan, face: WallFace) -> Iterator[Piece]:
    wall, name, half = face.plan, plan.scene.walls.sheet, SHEET_GAP_MM / 2
    if not isinstance(wall.kind, SheetedWall) or wall.open_part:
        return
    below = [(u, height + half) for u, height in wall.top_line]
    sheets = Area([(0.0, face.foot_mm), (wall.length_mm, face.foot_mm), *reversed(below)])
    bare = shapely.intersection(face.area.difference(sheets), plan.reached(face))
    for rake in wall.rakes:
        u0, u1 = rake.start[0], rake.end[0]
        # A strip's plumb ends lean out past its middle.
        ends = wall.roof.slopes[0].end_rafter_mm * abs(math.tan(rake.rad))
        longest = (plan.scene.sheet_stock(name).length_mm - ends) * math.cos(rake.rad)
        for start, end in splice(u0, u1, longest, anywhere(u0, u1), least=LEAST_STRIP_MM):
            piece = shapely.intersection(bare, box(start, face.foot_mm, end, bare.bounds[3]))
            for outline, holes in cut_out(piece, []):
                yield profile(
                    f"{wall.name} beam sheet strip"
                    if wall.runs_through
                    else f"{wall.name} rake sheet strip",
                    Kind.WALL_SHEET,
                    f"{wall.name} beam" if wall.runs_through else "rafters",
                    sheeting(plan.scene, name),
                    outline,
                    wall.place,
                    face.sheet_mm,
                    grain_rad=rake.rad,
                    holes=holes,
                )


def board_corners(plan: CladdingPlan) -> list[Piece]:
    """The corner boards: over upright boards, which they hold as battens do; beside level ones."""
    return [
        piece
        for face in plan.faces
        for corner, area in plan.corner_boards(face)
        for piece in _at_corner(plan, face, corner, area)
    ]


def _at_corner(
    plan: CladdingPlan, face: WallFace, corner: Corner, area: BaseGeometry
) -> Iterator[Piece]:
    if corner.boards:
        stock, n = corner.boards.stock, corner.board_n(face)
        # It is notched round casings and tracks that start lower than its own face, and open for
        # the flashings over them; their dams end where boards that it lies on do.
        outer = n + corner.boards.thickness_mm - TOLERANCE_MM
        stops = [stop for stop in batten_stops(face.plan) if clad_mm(face, stop) < outer]
        slots = head_slots(face, dammed=n <= BEHIND_MM + TOLERANCE_MM)
        stops += [slot.bounds for slot in slots]
        yield from _upright(plan, face, Kind.CORNER_BOARD, stock, area, n, stops)


def board_joints(plan: CladdingPlan) -> list[Piece]:
    """The boards that part two claddings side by side: on the wrap, as corner boards are."""
    return [
        piece
        for face in plan.faces
        for stock, area in plan.joint_boards(face)
        for piece in _upright(plan, face, Kind.JOINT_BOARD, stock, area, BEHIND_MM)
    ]


def _upright(
    plan: CladdingPlan,
    face: WallFace,
    kind: Kind,
    stock: str,
    area: BaseGeometry,
    n: float,
    stops: Sequence[Rect] = (),
) -> Iterator[Piece]:
    """A board up a wall, n off its sheathing, in lengths that butt."""
    board = plan.scene.lumber_stock(stock)
    u0, low, u1, high = area.bounds
    for v0, v1 in stretches(low, high, board.longest_mm, 0.0):
        length = shapely.intersection(area, box(u0, v0, u1, v1))
        yield from upright(
            face,
            kind,
            timber(plan.scene, stock),
            length,
            n,
            board.breadth_mm,
            [*(box(*stop) for stop in stops), *plan.standing(face)],
        )


def upright(
    face: WallFace,
    kind: Kind,
    source: Source,
    area: BaseGeometry,
    n: float,
    thick: float,
    openings: Sequence[BaseGeometry] = (),
) -> Iterator[Piece]:
    """The pieces of one upright board that are left over, under and beside openings.

    Args:
        face: The wall it is on.
        kind: What it is.
        source: What it is made from.
        area: What it covers, in (u, v), mm.
        n: Its back, mm out from the sheathing.
        thick: How thick, mm.
        openings: What is left open, mm.
    """
    for outline, inner in round_openings(area, openings):
        yield profile(
            f"{face.plan.group} {kind}",
            kind,
            f"{face.plan.group} cladding",
            source,
            outline,
            face.place.at_depth(n),
            thick,
            grain_rad=math.pi / 2,
            holes=inner,
        )


def round_openings(
    area: BaseGeometry, openings: Sequence[BaseGeometry]
) -> list[tuple[Polygon, list[Loop]]]:
    """Outer outline and inner loops of what openings leave of an area, mm."""
    holes = [grown(hole, area.bounds) for hole in openings if hole.intersects(area)]
    return cut_out(area, holes)
