"""What a table of cladding says, in numbers: where it goes on a wall, how thick and how wide."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shapely import Polygon as Area
from shapely import box

from pikepole_model.geometry.courses import stretches
from pikepole_model.plan.corners import BEHIND_MM, facing_mm
from pikepole_model.plan.faces import WallFace, round_lean_to
from pikepole_model.plan.wall_metal import OPEN_MM, flat_of
from pikepole_model.plan.windows_doors import batten_stops
from pikepole_model.scene.envelope import Battens, Boards
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.rows import Sheet
from pikepole_model.units import MARK_MM

# Higher than any wall.
_OVER_ALL_MM = 100_000.0


def tables_on(scene: Scene, face: WallFace) -> list[Battens | Boards]:
    """The cladding on one wall, as the scene lists it: none on slats, nor on an open side."""
    return [t for t in scene.cladding if face.is_closed and face.plan.faces in t.walls]


def thickest_mm(scene: Scene, tables: Iterable[Battens | Boards]) -> float:
    """How far the thickest of some cladding stands out from the sheathing, mm.

    Its battens and corner boards counted; without any, what there is room for behind cladding.
    """
    room = scene.lumber_stock("1x2").breadth_mm
    return BEHIND_MM + max(
        (facing_mm(scene, table) + max(room, *_over_mm(scene, table)) for table in tables),
        default=0.0,
    )


def _over_mm(scene: Scene, table: Battens | Boards) -> tuple[float, float]:
    """Thickness of the corner boards and battens that lie over a cladding, 0 for none, mm."""
    corner = scene.lumber_stock(table.corner).breadth_mm if table.corner else 0.0
    return corner, batten_size(scene, table).thickness if isinstance(table, Battens) else 0.0


def longest_mm(scene: Scene, table: Battens) -> float:
    """How long the boards or strips of a cladding can be had, mm."""
    if table.sheet:
        return scene.sheet_stock(table.sheet).length_mm
    return scene.lumber_stock(table.board).longest_mm


def storeys(
    face: WallFace, table: Battens, v: tuple[float, float], gap: float
) -> list[tuple[float, float]]:
    """From and to of upright boards over one another, where they are shorter than the wall, mm.

    Over a lower roof that meets the wall they begin anew.

    Args:
        face: The wall.
        table: What the scene says of them.
        v: From and to of what they cover above the floor, mm.
        gap: Between two, mm.
    """
    longest = longest_mm(face.plan.datums.scene, table)
    stops = [(v0, v1) for _, v0, _, v1 in batten_stops(face.plan)]
    parts = round_lean_to(face, v)
    return [run for part in parts for run in stretches(*part, longest, gap, stops)]


def on_others(runs: Sequence[tuple[float, float]]) -> list[float]:
    """Tops of those of some upright boards that others stand on, mm."""
    return [top for (_, top), (foot, _) in itertools.pairwise(runs) if foot - top <= OPEN_MM]


def strip_mm(scene: Scene, table: Battens, sheet: Sheet, strips: int) -> float:
    """Width of each of some equal strips ripped from a sheet: less than its share, by the kerfs.

    As wide as a tape shows, so that all of them are set to one mark; what is over stays on the
    sheet.

    Args:
        scene: For its saw and its tape.
        table: The cladding they are for.
        sheet: The sheet.
        strips: How many, from 1.
    """
    kerf = scene.cutting.kerf if table.kerf is None else table.kerf
    mark = MARK_MM[scene.units]
    share = (sheet.width_mm - (strips - 1) * kerf) / strips
    # What floats lose is no mark.
    return math.floor(share / mark + 1e-6) * mark


@dataclass(frozen=True, slots=True)
class BattenSize:
    """Width, thickness and greatest length of a cladding's battens, mm."""

    width: float
    thickness: float
    longest: float


def batten_size(scene: Scene, table: Battens) -> BattenSize:
    """What the battens of a cladding are cut to: a section, or strips of a sheet."""
    if table.batten_sheet is None:
        stock = scene.lumber_stock(table.batten)
        return BattenSize(stock.depth_mm, stock.breadth_mm, stock.longest_mm)
    sheet = scene.sheet_stock(table.batten_sheet)
    width = strip_mm(scene, table, sheet, table.batten_strips)
    return BattenSize(width, sheet.thickness_mm, sheet.length_mm)


def u_of(table: Battens | Boards, face: WallFace) -> tuple[float, float]:
    """From and to along the wall's framing, mm."""
    end = face.plan.length_mm
    return (table.from_left, min(end, table.from_left + table.width) if table.width else end)


def v_of(table: Battens | Boards, face: WallFace) -> tuple[float, float]:
    """From and to above the floor, mm; the upper end above any wall where the scene gives none."""
    datums = face.plan.datums
    low = max(face.foot_mm, table.above_ground - datums.floor_mm)
    if table.above is not None:
        # Over other cladding it leaves room for a flashing, as over a casing.
        low = max(low, table.above + (OPEN_MM if flat_of(datums.scene) else 0.0))
    return (low, _OVER_ALL_MM if table.below is None else table.below)


def claims(table: Battens | Boards, face: WallFace) -> Area:
    """All of a wall that a table's cladding could cover, mm."""
    (u0, u1), (v0, v1) = u_of(table, face), v_of(table, face)
    return box(u0, v0, u1, v1)
