"""The sheets on a wall, outside and inside, as courses on paper: where their level joints fall."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from pikepole_model.building.kinds import Kind
from pikepole_model.geometry.spacing import TOLERANCE_MM, overlap
from pikepole_model.plan.standing import Standing, standing_at
from pikepole_model.plan.wall import WallPlan
from pikepole_model.plan.wall_cover import cover_foot_mm, cover_top, lining_top
from pikepole_model.scene.walls import SheetedWall
from pikepole_model.stock.rows import Sheet


@dataclass(frozen=True)
class SheetLayer:
    """Sheets on one side of a wall's studs.

    Attributes:
        plan: The wall.
        what: What a sheet is called.
        kind: What it is.
        group: What it belongs to.
        stock: What it is cut from.
        u: From and to along the wall, mm.
        foot: Their bottom above the floor, mm.
        top_line: Their top, (u, height above the floor), mm.
        n: Their back, mm out from the framing's outer face.
        block_n: The back of the blocks behind their level joints, mm out from there.
    """

    plan: WallPlan
    what: str
    kind: Kind
    group: str
    stock: Sheet
    u: tuple[float, float]
    foot: float
    top_line: list[tuple[float, float]]
    n: float
    block_n: float

    @property
    def cut_round(self) -> list[Standing]:
        """What is there already where they come."""
        plan, n = self.plan, (self.n, self.n + self.stock.thickness_mm)
        there = standing_at(plan.datums, plan.place, self.group)
        return [one for one in there if overlap(one.n, n)]

    @cached_property
    def courses(self) -> list[float]:
        """Level edges of the sheets from the foot up, the last above the highest point, mm."""
        edges = [self.foot]
        highest = max(top for _, top in self.top_line)
        while edges[-1] < highest - TOLERANCE_MM:
            edges.append(edges[-1] + self.stock.length_mm)
        return edges


def sheet_layers(plan: WallPlan) -> Iterator[SheetLayer]:
    """The sheets that a wall has, outside and inside."""
    for layer in (outside_sheets(plan), inside_sheets(plan)):
        if layer:
            yield layer


def outside_sheets(plan: WallPlan) -> SheetLayer | None:
    """Corner to corner and from the floor frame's underside to the plates; None on bare studs."""
    if not isinstance(plan.kind, SheetedWall):
        return None
    datums = plan.datums
    return SheetLayer(
        plan,
        f"{plan.group} sheet",
        Kind.WALL_SHEET,
        f"{plan.group} sheathing",
        datums.scene.sheet_stock(datums.scene.walls.sheet),
        (0.0, plan.length_mm),
        cover_foot_mm(plan),
        cover_top(plan),
        0.0,
        -datums.breadth_mm,
    )


def inside_sheets(plan: WallPlan) -> SheetLayer | None:
    """From the floor up and between those of its neighbours; None where nothing lines the inside.

    A front or back wall's reach from side wall to side wall.
    """
    datums, lining = plan.datums, plan.datums.lining(plan.name)
    if lining is None:
        return None
    beside = [0.0 if plan.runs_through else datums.lining_mm(w) for w in plan.beside]
    return SheetLayer(
        plan,
        f"{plan.group} {Kind.LINING}",
        Kind.LINING,
        f"{plan.group} lining",
        lining,
        (datums.wall_mm + beside[0], plan.length_mm - datums.wall_mm - beside[1]),
        0.0,
        lining_top(plan),
        -datums.wall_mm - lining.thickness_mm,
        -datums.wall_mm,
    )
