"""What a person measured of what stands already."""

from __future__ import annotations

from typing import Literal, TypeAlias

from pikepole_model.scene.types import Length, Name, Section

What: TypeAlias = Literal["span", "front height", "back height", "ridge height", "diagonals"]
# At the left and the right end of the building, mm.
Ends: TypeAlias = tuple[float, float]


class Measured(Section):
    """One thing that was measured at both ends of the building; [[measured]]."""

    # Stage after which: what was put up until then is cut and stays, what comes later is worked out
    # for what stands.
    after: Name
    # "span": front wall's top to back wall's, over their outer faces. Heights: of a wall's top, or
    # the ridge's, over the floor. "diagonals": of the floor, or over the walls' tops.
    what: What
    left: Length  # at the left end; the diagonal from the front left corner
    right: Length | None = None  # at the right end; as at the left without

    @property
    def at_ends(self) -> Ends:
        """At the left and the right end, mm."""
        return (self.left, self.left if self.right is None else self.right)

    def shear_mm(self, length_mm: float) -> float:
        """By its two diagonals, how far right of the front the back stands, mm.

        The difference of their squares is four times the length times that.
        """
        left, right = self.at_ends
        return (left - right) * (left + right) / (4 * length_mm)
