"""How long a bolt through a post, its beam or its metal must be.

    bolt_for(one, building) -> Bolt

A bolt is as long as what it goes through is thick together, and 1-1/4 in for its two washers, its
nut and the thread that shows: common practice for 1/2 in, no source. Bolts come in steps of 1/2 in,
or of 10 mm: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pikepole_export.derive.buying.amounts import whole
from pikepole_export.derive.buying.schedule import Fixed
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.units import INCH_MM, Units, format_length

# Washers, nut and thread together, and the steps that bolts come in: see above.
BEYOND_MM = 1.25 * INCH_MM
STEP_MM: dict[Units, float] = {"imperial": INCH_MM / 2, "metric": 10.0}

# What stands this little over the seat of a notch is the seat itself, mm.
_OVER_SEAT_MM = 1.0

# Metal over the wood between its legs by no more than this has no legs there, mm.
_TRUE_MM = 0.05


@dataclass(frozen=True, slots=True)
class Bolt:
    """A bolt by its length.

    Attributes:
        through_mm: Thickness of all that it goes through, mm.
        length_mm: Under its head, mm.
    """

    through_mm: float
    length_mm: float

    def length_text(self, units: Units) -> str:
        """Its length for people, in inches even beyond a foot."""
        if units == "metric":
            return format_length(self.length_mm, units)
        inches, half = divmod(round(self.length_mm / STEP_MM[units]), 2)
        return f"{inches}{'-1/2' if half else ''} in"

    def text(self, units: Units) -> str:
        """How its length comes about."""
        thick, more = (format_length(mm, units) for mm in (self.through_mm, BEYOND_MM))
        return (
            f"through {thick}, and {more} for washers, nut and thread, up to a whole "
            f"{format_length(STEP_MM[units], units)}"
        )


def bolt_for(one: Fixed, building: Building) -> Bolt:
    """The bolt that holds a post and its beam, either and their metal, or a brace on either.

    Args:
        one: What is fixed at one time.
        building: Where it is.
    """
    pieces = (one.part, *one.others)
    metal = [piece for piece in pieces if piece.kind.family is Family.POST_METAL]
    wood = [piece for piece in pieces if piece.kind.family is not Family.POST_METAL]
    if one.part.kind is Kind.BOLTED_BRACE:
        through_mm = _brace_mm(one.part, one.others, building)
    elif metal:
        through_mm = _between_legs_mm(metal[0], wood)
    else:
        through_mm = _post_and_beam_mm(one.part, one.others, building)
    step_mm = STEP_MM[building.scene.units]
    return Bolt(through_mm, step_mm * whole((through_mm + BEYOND_MM) / step_mm))


def _between_legs_mm(metal: Part, wood: Sequence[Part]) -> float:
    """A base or a cap from leg to leg, over all: across the wood that stands between them.

    Along the beam it is as long as the post, or goes on past it.
    """
    low, high = metal.bounds_mm
    over_mm: dict[float, float] = {}
    for axis in (0, 1):
        wide_mm = high[axis] - low[axis]
        over_mm[wide_mm - _length(_reach(wood, axis))] = wide_mm
    return over_mm[min(over for over in over_mm if over > _TRUE_MM)]


def _brace_mm(brace: Part, touched: Sequence[Part], building: Building) -> float:
    """A brace and the post, or all plies of the beam, that it lies on."""
    groups = {part.group for part in touched}
    beam = [part for part in building.parts if part.kind.family is Family.BEAMS]
    behind = [part for part in beam if part.group in groups] or touched
    across = min((0, 1), key=lambda axis: _length(_reach([brace], axis)))
    return _length(_reach([brace, *behind], across))


def _post_and_beam_mm(post: Part, touched: Sequence[Part], building: Building) -> float:
    """A beam and what is left of the post beside it, across the beam."""
    groups = {part.group for part in touched}
    mates = building.mates[post.name]
    beam = [
        part
        for part in building.parts
        if part.name in mates and part.kind.family is Family.BEAMS and part.group in groups
    ] or list(touched)
    along = max((0, 1), key=lambda axis: _length(_reach(beam, axis)))
    across = 1 - along
    start, end = _reach(beam, across)
    seat_mm = min(part.bounds_mm[0][2] for part in beam)
    beside = post.vertices_mm[post.vertices_mm[:, 2] > seat_mm + _OVER_SEAT_MM][:, across].tolist()
    return max([end, *beside]) - min([start, *beside])


def _reach(parts: Iterable[Part], axis: int) -> tuple[float, float]:
    """From where to where some pieces go along an axis of the building, mm."""
    bounds = [part.bounds_mm for part in parts]
    return min(low[axis] for low, _ in bounds), max(high[axis] for _, high in bounds)


def _length(reach: tuple[float, float]) -> float:
    return reach[1] - reach[0]
