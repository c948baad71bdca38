"""Metal trims as whoever bends them needs them: legs, angles, girth, and how many of each length.

    bends(building) -> tuple[Bend, ...]     in order of building
    bent_mm(part, units) -> float           how long one is ordered

Lengths that lap lie a thickness or two further out, and are the same bend: nobody sets a brake
finer than that.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from pikepole_model.building.kind_rows import Drawn
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import LayoutError
from pikepole_model.geometry.shape import Polygon, Prism
from pikepole_model.stock.sheet_metal import DAM_MM, PLIES
from pikepole_model.units import MARK_MM, Units

# Bent along their whole length from flat metal, and where each leg lies: from the steeper of two,
# from the longer end of three.
_ON_WALL = "on the wall sheets, behind wrap and cladding"
LIES: dict[Kind, tuple[str, ...]] = {
    Kind.DRIP_EDGE: (
        "on the roof sheets, under the underlayment",
        "down over the fascia",
        "out from the fascia",
    ),
    Kind.RAKE_TRIM: ("down over the barge board", "on the roof panels"),
    Kind.RIDGE_CAP: ("on the roof panels", "on the roof panels"),
    Kind.PEAK_CAP: ("down over the fascia or the rafters' ends", "on the roof panels"),
    Kind.KNEE_FLASHING: ("on the roof panels", "on the roof sheets, under the underlayment"),
    Kind.WALL_FLASHING: ("up the wall", "on the roof panels"),
    Kind.BASE_FLASHING: (_ON_WALL, "shelf, under the foot of the cladding", "drip leg"),
    Kind.HEAD_FLASHING: (
        _ON_WALL,
        "shelf, over casing or track board, ends turned up",
        "drip leg",
    ),
    Kind.JOINT_FLASHING: (_ON_WALL, "shelf, over the cladding below", "drip leg"),
}

# Angles within this are set alike.
ALIKE_DEG = 0.1


@dataclass(frozen=True)
class Bend:
    """One distinct profile.

    Attributes:
        kind: What it is.
        names: The parts that are bent to it.
        stock: What it is bent from.
        material: What that is made of.
        thickness_mm: Of the metal, mm.
        weather: The line of the face that looks up and out, mm, u to the right and v up.
        back: The line of the other face, corner by corner.
        lies: Where each leg lies on the building.
        lengths: Each length that is ordered, mm, and how many.
        trimmed: How many are cut to fit at one end when they are put up.
    """

    kind: Kind
    names: tuple[str, ...]
    stock: str
    material: str
    thickness_mm: float
    weather: Polygon
    back: Polygon
    lies: tuple[str, ...]
    lengths: tuple[tuple[float, int], ...]
    trimmed: int

    @cached_property
    def legs_mm(self) -> tuple[float, ...]:
        """Each leg on the weather face, mm."""
        return _legs(self.weather)

    def girth_mm(self, units: Units) -> float:
        """Width of the flat strip, mm: the legs as they are printed, so that they add up to it.

        Bends are taken as sharp. A right angle round the weather face makes it one thickness more
        than the middle of the metal, which is less than a brake is set to.
        """
        return sum(_on_tape_mm(leg, units) for leg in self.legs_mm)

    @cached_property
    def angles_deg(self) -> tuple[float, ...]:
        """Between each leg and the next on the other face, 0 to 360."""
        angles: list[float] = []
        side = _side(self.weather, self.back)
        for a, b, c in zip(self.weather, self.weather[1:], self.weather[2:], strict=False):
            back = math.atan2(a[1] - b[1], a[0] - b[0])
            on = math.atan2(c[1] - b[1], c[0] - b[0])
            angles.append(math.degrees((back - on) * side) % 360)
        return tuple(angles)


def bends(building: Building) -> tuple[Bend, ...]:
    """One for each distinct profile of bent metal."""
    alike: list[tuple[Bend, list[Part]]] = []
    for part in building.parts:
        if part.kind.row.drawn is not Drawn.BEND:
            continue
        bend = _bend(part)
        parts = next((parts for other, parts in alike if _same(bend, other)), None)
        if parts is None:
            alike.append((bend, [part]))
        else:
            parts.append(part)
    return tuple(_with(bend, parts, building.scene.units) for bend, parts in alike)


def bent_mm(part: Part, units: Units) -> float:
    """How long a bent piece is ordered: as a tape shows it, with ends that are turned up."""
    ends_mm = 2 * DAM_MM if part.kind is Kind.HEAD_FLASHING else 0.0
    return _on_tape_mm(part.length_mm + ends_mm, units)


def _on_tape_mm(length_mm: float, units: Units) -> float:
    """A length to the nearest mark of a tape, mm, halves up, as it is printed."""
    step = Fraction(str(MARK_MM[units]))
    return float(math.floor(Fraction(str(length_mm)) / step + Fraction(1, 2)) * step)


def _with(bend: Bend, parts: Sequence[Part], units: Units) -> Bend:
    lengths: dict[float, int] = {}
    for part in parts:
        long_mm = bent_mm(part, units)
        lengths[long_mm] = lengths.get(long_mm, 0) + 1
    return Bend(
        bend.kind,
        tuple(part.name for part in parts),
        bend.stock,
        bend.material,
        bend.thickness_mm,
        bend.weather,
        bend.back,
        bend.lies,
        tuple(sorted(lengths.items(), reverse=True)),
        sum(bool(part.shape.cuts) for part in parts),
    )


def _bend(part: Part) -> Bend:
    body = part.shape.body
    assert isinstance(body, Prism)
    assert isinstance(body.outline, tuple)
    place = part.placement
    # Seen with what is up in the building above: from its other end, if need be.
    up = place.v[2] >= 0
    outline = body.outline if up else tuple((a, -b) for a, b in body.outline)
    v = place.v if up else (-place.v[0], -place.v[1], -place.v[2])
    half = len(outline) // 2
    ends = [math.dist(outline[k - 1], outline[k]) for k in range(len(outline))]
    start = min(range(half), key=lambda k: ends[k] + ends[k + half])
    around = (*outline[start:], *outline[:start])
    faces = (around[:half], tuple(reversed(around[half:])))
    weather, back = sorted(faces, key=lambda face: -_looks_up(face, faces, place.u[2], v[2]))
    if weather[0][0] > weather[-1][0]:
        weather, back = weather[::-1], back[::-1]
    return Bend(
        kind=part.kind,
        names=(),
        stock=part.stock,
        material=part.material.name,
        thickness_mm=ends[start],
        weather=weather,
        back=back,
        lies=_lies(part.kind, weather, place.u[2], v[2]),
        lengths=(),
        trimmed=0,
    )


def _lies(kind: Kind, face: Polygon, u_up: float, v_up: float) -> tuple[str, ...]:
    """Where each leg lies, in the order of the face's line."""
    if kind not in LIES:
        raise LayoutError(f"derive/measures/bends.py does not say where the legs of a {kind} lie")
    if len(face) == 3:
        first, last = (
            abs((c - a) * u_up + (d - b) * v_up) / math.dist((a, b), (c, d))
            for (a, b), (c, d) in pairwise(face)
        )
    else:
        first, *_, last = _legs(face)
    return LIES[kind] if first >= last else LIES[kind][::-1]


def _looks_up(face: Polygon, faces: tuple[Polygon, Polygon], u_up: float, v_up: float) -> float:
    """How far a face looks up: the level area under its legs, less that over them, mm."""
    other = faces[1] if face is faces[0] else faces[0]
    side = _side(face, other)
    return sum(((b - d) * u_up + (c - a) * v_up) * -side for (a, b), (c, d) in pairwise(face))


def _side(face: Polygon, other: Polygon) -> int:
    """+1 if the metal lies on the left hand of a face's line, -1 if on its right."""
    (a, b), (c, d), (e, f) = face[0], face[1], other[0]
    return 1 if (c - a) * (f - b) - (d - b) * (e - a) > 0 else -1


def _legs(line: Polygon) -> tuple[float, ...]:
    return tuple(math.dist(a, b) for a, b in pairwise(line))


def _same(one: Bend, other: Bend) -> bool:
    named = (one.kind, one.stock) == (other.kind, other.stock)
    if not named or len(one.weather) != len(other.weather):
        return False
    near_mm = PLIES * one.thickness_mm

    def near(legs: Sequence[float], angles: Sequence[float]) -> bool:
        return all(abs(a - b) <= near_mm for a, b in zip(legs, other.legs_mm, strict=True)) and all(
            abs(a - b) <= ALIKE_DEG for a, b in zip(angles, other.angles_deg, strict=True)
        )

    # The same profile seen from its other end is the same profile.
    return near(one.legs_mm, one.angles_deg) or near(one.legs_mm[::-1], one.angles_deg[::-1])
