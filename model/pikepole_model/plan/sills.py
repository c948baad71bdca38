"""Sills of windows and thresholds of doors on paper: boards between the jambs that slope outward.

Drawn as their end section, n out of the wall to the right:

      ____                                    ____
     |    `--..__      stops, pane           /    |`--.._     leaf
     |___________`.    casing under it      |___________`.
                 ^ kerf                                  ^ kerf
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from pikepole_model.geometry.shape import Polygon
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.clad_face import clad_at_mm
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.windows_doors import RUNNING_GAP_MM, FittedOpening, leaf_layers
from pikepole_model.stock.metric import usual

# They fall 1 in 8 outward, and pass the casing or the bare frame by 3/4 in. Common practice, no
# source.
FALL = 1 / 8
NOSE_MM = 19.05

# A kerf of 1/8 x 3/16 in, 3/8 in back from the nose, that water drips off at: common practice, no
# source.
KERF_MM = (3.175, 4.7625)
KERF_BACK_MM = 9.525

# What is ripped to a window's sill, the narrowest that is wide enough.
SILLS = ("2x6", "2x8", "2x10", "2x12")

# A threshold's inner edge is bevelled for wheels and feet: 1/4 in, common practice, no source.
BEVEL_MM = 6.35

# A sliding leaf passes the nose of its threshold by 1/2 in: common practice, no source.
CLEAR_OF_NOSE_MM = 12.7


def lined_n(face: WallFace, fitted: FittedOpening) -> tuple[float, float]:
    """From and to of the boards that line an opening, mm: inner face of the wall to the cladding's.

    Casing then lies flat on the boards' edges and on the cladding.
    """
    return (-face.sheet_mm - face.plan.datums.wall_mm, clad_at_mm(face, fitted))


def frame_stock(face: WallFace, fitted: FittedOpening) -> str | None:
    """What its frame boards are ripped from; None where it has none."""
    inner, outer = lined_n(face, fitted)
    return _wide_enough(fitted, fitted.frames, outer - inner) if fitted.frames else None


def _wide_enough(fitted: FittedOpening, names: Sequence[str], wide_mm: float) -> str:
    """The first stock so wide, or the last."""
    stock = fitted.scene.lumber_stock
    return next(
        (name for name in names if stock(name).depth_mm > wide_mm - TOLERANCE_MM), names[-1]
    )


@dataclass(frozen=True)
class Sill:
    """One of either in its wall.

    Attributes:
        face: The wall.
        fitted: Its opening.
    """

    face: WallFace
    fitted: FittedOpening

    @cached_property
    def nose_n(self) -> float:
        """Its outer edge, mm from the sheathing."""
        face, fitted = self.face, self.fitted
        clad, trim = clad_at_mm(face, fitted), fitted.framed.opening.trim
        casing = fitted.scene.lumber_stock(trim.board).breadth_mm if trim else 0.0
        nose = clad + casing + NOSE_MM
        if track := fitted.track:
            behind = fitted.scene.lumber_stock(track.board).breadth_mm + RUNNING_GAP_MM
            nose = min(nose, clad + behind - CLEAR_OF_NOSE_MM)
        return nose

    @property
    def _choice(self) -> list[str]:
        """What a window's may be ripped from."""
        return [usual(name, self.fitted.scene.units) for name in SILLS]

    @cached_property
    def stock(self) -> str:
        """What it is ripped from."""
        if self.fitted.door:
            return self.fitted.door.threshold or ""
        deep = self.nose_n - lined_n(self.face, self.fitted)[0]
        return _wide_enough(self.fitted, self._choice, deep)

    @cached_property
    def back_n(self) -> float:
        """Its inner edge: the wall's inner face, or as far as its stock reaches, mm."""
        wide = self.fitted.scene.lumber_stock(self.stock).depth_mm
        inner = lined_n(self.face, self.fitted)[0]
        # The membrane turns up behind it.
        return max(inner + self.fitted.membrane_mm, self.nose_n - wide)

    @cached_property
    def foot_v(self) -> float:
        """Its underside, mm above the floor."""
        return self.fitted.lined[1]

    @cached_property
    def top_v(self) -> float:
        """Its top where it is highest, mm above the floor."""
        return self.fitted.threshold_mm if self.fitted.door else self.fitted.clear[1]

    @cached_property
    def falls_from_n(self) -> float:
        """Where its top begins to fall: at its back, or under the leaf's inner face, mm."""
        door = self.fitted.door
        if not door:
            return self.back_n
        if door.track:
            return min(0.0, self.nose_n - NOSE_MM)
        face_mm, stick = leaf_layers(self.fitted.scene, door)
        behind = self.fitted.scene.lumber_stock(stick).breadth_mm if stick else 0.0
        return self.nose_n - NOSE_MM - face_mm - behind

    def at(self, n: float) -> float:
        """Its top at a distance out from the sheathing, mm above the floor."""
        return self.top_v - FALL * max(n - self.falls_from_n, 0.0)

    @property
    def section(self) -> Polygon:
        """Its end section in n and v, mm."""
        foot, nose, back = self.foot_v, self.nose_n, self.back_n
        wide, deep = KERF_MM
        kerf = nose - KERF_BACK_MM
        under = ((back, foot), (kerf - wide, foot), (kerf - wide, foot + deep))
        front = ((kerf, foot + deep), (kerf, foot), (nose, foot), (nose, self.at(nose)))
        if not self.fitted.door:
            return (*under, *front, (back, self.top_v))
        flat = max(self.falls_from_n, back + 2 * BEVEL_MM)
        over = ((flat, self.top_v), (back + BEVEL_MM, self.top_v), (back, self.top_v - BEVEL_MM))
        return (*under, *front, *over)
