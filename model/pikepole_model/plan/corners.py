"""The corners of the building, where the cladding of two walls meets.

One seen from above, the front wall's outside at the bottom and the left wall's at the left:

    |   |##          ##  boards or strips, the front wall's running out under its corner board
    | l |##
    +---+###########
    |   f   |            f  laps the edge of l, which is ripped narrower by its thickness, so that
    +-------+               both look equally wide
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal, TypeAlias

from pikepole_model.geometry.spacing import SHEET_GAP_MM, TOLERANCE_MM
from pikepole_model.plan.faces import WallFace
from pikepole_model.scene.envelope import Battens, Boards
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.rows import Lumber

# Flashings' legs, the wrap with its laps over them, and membrane and tapes over that lie within
# this of the sheathing; what covers them starts here.
BEHIND_MM = 4.0

End: TypeAlias = Literal["left", "right"]  # of a wall, seen from outside
ENDS: tuple[End, End] = ("left", "right")


@dataclass(frozen=True, slots=True)
class CornerBoards:
    """The pair of boards at one corner: what they are cut from, and the width of each, mm."""

    stock: str
    thickness_mm: float
    lapping_mm: float
    lapped_mm: float


@dataclass(frozen=True)
class Corner:
    """A stretch of a corner of the building between two heights, with what meets there.

    Attributes:
        through: The front or back wall's face.
        through_end: Which end of it.
        side: The side wall's face.
        side_end: Which end of it: the one that its cladding runs out to there.
        side_u: Where on it the through wall's framing has its outer face, mm.
        v: From and to above the floor, mm.
        front: The through wall's cladding there, if any.
        beside: The side wall's, if any.
    """

    through: WallFace
    through_end: End
    side: WallFace
    side_end: End
    side_u: float
    v: tuple[float, float]
    front: Battens | Boards | None
    beside: Battens | Boards | None

    @cached_property
    def boards(self) -> CornerBoards | None:
        """Its corner boards: the through wall's cladding says, or else the side wall's."""
        table = self.front or self.beside
        if table is None or table.corner is None:
            return None
        stock = self.through.plan.datums.scene.lumber_stock(table.corner)
        return CornerBoards(
            table.corner, stock.breadth_mm, stock.depth_mm, stock.depth_mm - stock.breadth_mm
        )

    def base_mm(self, table: Battens | Boards | None) -> float:
        """How far off what covers the studs a corner board lies, if anything does there, mm.

        Over upright boards, beside level ones.
        """
        if table is None or (isinstance(table, Boards) and self.boards):
            return BEHIND_MM
        return BEHIND_MM + facing_mm(self.through.plan.datums.scene, table)

    def reach_mm(self, face: WallFace) -> float:
        """How far one wall's cladding runs out past the corner of the framing, mm."""
        takes_it = face is self.through
        table = self.front if takes_it else self.beside
        out = self.base_mm(self.beside) if takes_it else 0.0
        if isinstance(table, Boards) and self.boards:
            return self.board_u(face)[1] - SHEET_GAP_MM
        return self._sheet_mm(face) + out

    def board_u(self, face: WallFace) -> tuple[float, float]:
        """Outer and inner edge of a wall's corner board, mm out past the corner of the framing."""
        assert self.boards
        sheet, boards = self._sheet_mm(face), self.boards
        if face is self.through:
            outer = sheet + self.base_mm(self.beside) + boards.thickness_mm
            return outer, outer - boards.lapping_mm
        outer = sheet + self.base_mm(self.front)
        return outer, outer - boards.lapped_mm

    def _sheet_mm(self, face: WallFace) -> float:
        """Thickness of the other wall's sheathing, whose face a wall's cladding runs out to, mm."""
        return self._cover_mm(self.side if face is self.through else self.through)

    def _cover_mm(self, face: WallFace) -> float:
        """Thickness of what covers a wall's framing there, mm."""
        other = self.side if face is self.through else self.through
        return face.cover_mm(sum(self.v) / 2, other)

    def board_n(self, face: WallFace) -> float:
        """The back of a wall's corner board, mm out from its sheathing's outer face.

        Over a half wall it lies on the posts, and closes the edges of what covers the other wall.
        """
        table = self.front if face is self.through else self.beside
        return self.base_mm(table) + self._cover_mm(face) - face.sheet_mm

    @property
    def is_step(self) -> bool:
        """Whether it is where a clerestory steps up, and not at an end of the side wall."""
        return abs(self.side_u - past(self.side, self.side_end, 0.0)) > TOLERANCE_MM

    def past(self, face: WallFace, out: float) -> float:
        """The u on a face that lies some way out past the corner of the framing, mm."""
        if face is self.through:
            return past(face, self.through_end, out)
        return self.side_u + (-out if self.side_end == "left" else out)

    def end_of(self, face: WallFace) -> End:
        """Which end of a face it is at."""
        return self.through_end if face is self.through else self.side_end


def facing_mm(scene: Scene, table: Battens | Boards) -> float:
    """Thickness of a cladding's boards or strips, battens not counted, mm."""
    if isinstance(table, Battens) and table.sheet:
        return scene.sheet_stock(table.sheet).thickness_mm
    if isinstance(table, Boards):
        return milled(scene, table).breadth_mm
    return scene.lumber_stock(table.board).breadth_mm


def milled(scene: Scene, table: Boards) -> Lumber:
    """What level boards are cut from, as thick as it is planed to."""
    stock = scene.lumber_stock(table.board)
    return replace(stock, breadth_mm=table.planed or stock.breadth_mm)


def past(face: WallFace, end: End, out: float) -> float:
    """The u that lies some way out past one end of the framing, mm.

    Args:
        face: The wall.
        end: Which end of it.
        out: How far out, mm; negative inside.
    """
    return -out if end == "left" else face.plan.length_mm + out
