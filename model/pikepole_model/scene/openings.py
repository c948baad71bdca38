"""What a person writes about a door, a window or a row of them: its place, size and framing."""

from __future__ import annotations

import math
from typing import Annotated, Literal

from pydantic import Field

from pikepole_model.scene.steps import StepsKind
from pikepole_model.scene.types import NONE, AnyWall, ChosenLumberName, Length, Name, Section
from pikepole_model.scene.windows_doors import Door, Trim, Window

# In place of a header's section: the beam on the wall carries the roof past the opening.
NO_HEADER = NONE


class Opening(Section):
    """A door or window, or a row of equal ones; [[opening]]."""

    name: Name
    kind: Literal["door", "window"]
    wall: AnyWall
    # One of three says where it is: from a corner of the wall, seen from outside, to the rough
    # opening, the nearest of a row; or in the middle between the corners.
    from_left: Length | None = None
    from_right: Length | None = None
    at: Literal["middle"] | None = None
    width: Length  # rough opening
    height: Length  # rough opening
    sill: Length | None = None  # windows only: top of floor to bottom of rough opening
    header: ChosenLumberName = None  # walls.header
    jacks: Annotated[int, Field(ge=1, le=4)] | None = None  # each side
    kings: Annotated[int, Field(ge=1, le=4)] = 1  # each side
    count: Annotated[int, Field(ge=1, le=40)] = 1  # this many side by side
    apart: Length | None = None  # from one rough opening of a row to the next; or every
    every: Length | None = None  # from the middle of one of a row to the middle of the next
    one_header: bool = False  # over all of a row, on studs between two of it
    window: Window | None = None  # left open without
    door: Door | None = None  # left open without
    trim: Trim | None = None
    steps: StepsKind | None = None  # doors only: what leads up to it

    @property
    def places(self) -> tuple[str, ...]:
        """The keys that say where it is: one, in a scene that is fit for use."""
        places = {"from_left": self.from_left, "from_right": self.from_right, "at": self.at}
        return tuple(key for key, value in places.items() if value is not None)

    @property
    def distances(self) -> tuple[str, ...]:
        """The keys that say how far its row is spaced: one for a row, in a scene fit for use."""
        distances = {"apart": self.apart, "every": self.every}
        return tuple(key for key, value in distances.items() if value is not None)

    @property
    def step_mm(self) -> float:
        """From the left of one of a row to the left of the next; not-a-number where unsaid."""
        if self.apart is not None:
            return self.width + self.apart
        return math.nan if self.every is None else self.every

    def row(self) -> tuple[Opening, ...]:
        """Each opening of the row by its own name; itself where it stands alone."""
        if self.count == 1:
            return (self,)
        names = (f"{self.name} {k + 1}" for k in range(self.count))
        return tuple(self.model_copy(update={"name": name}) for name in names)

    def lefts_mm(self, wall_mm: float) -> tuple[float, ...]:
        """Left corner of its wall, seen from outside, to each rough opening of the row.

        Args:
            wall_mm: Length of the wall, corner to corner.

        Returns:
            Not-a-number where the scene does not say it; by the first key where two say it.
        """
        steps = [k * self.step_mm if k else 0.0 for k in range(self.count)]
        over = wall_mm - steps[-1] - self.width
        if self.from_left is not None:
            first = self.from_left
        elif self.from_right is not None:
            first = over - self.from_right
        else:
            first = math.nan if self.at is None else over / 2
        return tuple(first + step for step in steps)
