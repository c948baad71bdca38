"""An opening in a wall's framing: what is left open, and the sticks that stand round it."""

from __future__ import annotations

from dataclasses import dataclass

from pikepole_model.building.kinds import Kind
from pikepole_model.scene.openings import Opening

Rect = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Upright:
    """One standing member in a wall.

    Attributes:
        kind: Stud, corner stud, king, jack or cripple.
        label: Its name without a number.
        u: From and to along the wall, mm.
        v: Foot and head, mm above the floor; a head of None is cut to the plates.
        n: From and to across the wall, mm; 0 is the framing's outer face, inwards negative.
    """

    kind: Kind
    label: str
    u: tuple[float, float]
    v: tuple[float, float | None]
    n: tuple[float, float]

    @property
    def centre(self) -> float:
        """Middle of it along the wall, mm."""
        return (self.u[0] + self.u[1]) / 2


@dataclass(frozen=True)
class Framed:
    """An opening with the sticks round it.

    Attributes:
        opening: What the scene says of this one: of a row, its own name.
        table: Which of the scene's [[opening]] tables it stands in, from 0.
        left: Left corner of the wall to the rough opening, mm.
        jacks: Jack studs on each side.
        header: Stock of the header plies; None where a beam on the wall does a header's work.
        header_mm: Depth of the header, or of the flat head plate in place of one; 0 where the
            head is the plates' underside.
        breadth_mm: Thickness of a stud.
    """

    opening: Opening
    table: int
    left: float
    jacks: int
    header: str | None
    header_mm: float
    breadth_mm: float

    @property
    def u(self) -> tuple[float, float]:
        """Rough opening along the wall, mm."""
        return (self.left, self.left + self.opening.width)

    @property
    def sill(self) -> float:
        """Bottom of the rough opening above the floor, mm; 0 for a door."""
        return self.opening.sill or 0.0

    @property
    def head(self) -> float:
        """Top of the rough opening above the floor, mm: the underside of what is over it."""
        return self.sill + self.opening.height

    @property
    def header_top(self) -> float:
        """Top of the header above the floor, mm."""
        return self.head + self.header_mm

    @property
    def rough(self) -> Rect:
        """The rough opening: (u0, v0, u1, v1), mm."""
        return (self.u[0], self.sill, self.u[1], self.head)

    @property
    def header_u(self) -> tuple[float, float]:
        """The header, over its jacks, mm along the wall."""
        rest = self.jacks * self.breadth_mm
        return (self.u[0] - rest, self.u[1] + rest)

    @property
    def outer_u(self) -> tuple[float, float]:
        """The opening with its jacks and kings, mm along the wall."""
        return (self.header_u[0] - self.breadth_mm, self.header_u[1] + self.breadth_mm)
