"""The building jacked up at its corners, cribbed, and set down again.

on_jacks(building, moved, move) -> OnJacks
rise_mm(building, moved, move) -> mm            how high it has to go for its way
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pikepole_export.derive.inventory.mass import NOTHING, Mass, part_mass
from pikepole_export.derive.lifting.gear import MOST_CRIB_SLENDERNESS, Cribbing, cribbing
from pikepole_export.derive.lifting.statics import weight_n
from pikepole_export.derive.moving.bending import MemberBending, bend_members
from pikepole_export.derive.moving.carried import (
    ON_JACKS,
    Carried,
    lying_along,
    past_value,
    value_of,
)
from pikepole_export.derive.moving.design_values import Stress
from pikepole_export.derive.moving.structure import SIDES, MovedStructure, SideAxes
from pikepole_export.derive.strength.lever import shares_of
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.scene.crew import Jack
from pikepole_model.scene.moving import Move
from pikepole_model.units import INCH_MM, Units

# To slip forks, pipes or a deck in and draw them out again. Common practice, no source.
ROOM_MM = 1 * INCH_MM

# Between a jack and the frame goes a block as broad as a layer of cribbing is high; this where the
# crew has no jack: a 4x4 as dressed.
HEAD_MM = 3.5 * INCH_MM

# Of a bearer's length, where the jacks stand: near where an even beam bends least, 0.207 of its
# length; to so much, mm, as nobody sets a jack finer. Source: statics.
INSET_SHARE = 0.2
SET_TO_MM: dict[Units, float] = {"imperial": INCH_MM, "metric": 10.0}

# Bearers run along the front.
AXES = SIDES["front"]


@dataclass(frozen=True, slots=True)
class CornerLoad:
    """What one of the four jacks has.

    Attributes:
        name: "front left", as seen from the front.
        mass: On it, while it stands level on all four.
    """

    name: str
    mass: Mass


@dataclass(frozen=True, slots=True)
class OnJacks:
    """The building on jacks under its outer bearers, one end after the other.

    Attributes:
        inset_mm: Where the jacks stand, in from the ends of the bearers.
        corners: In the order in which they are raised: one end, then the other.
        end_kg: On both corners of the heavier end, high mass: one jack may get it all where the
            building rocks.
        rise_mm: How high it goes; 0 where its way asks for no jacking.
        rating_kg: Of the crew's jack; None where it has none.
        stroke_mm: What one setting of it lifts; None likewise.
        crib_mm: Width of a crib.
        cribs: Settings and layers; None where nothing is raised, or the jack or crib does not do.
        frame: The outer bearers on the jacks.
        joists: Across these, with what else of the floor hangs on them.
    """

    inset_mm: float
    corners: tuple[CornerLoad, ...]
    end_kg: float
    rise_mm: float
    rating_kg: float | None
    stroke_mm: float | None
    crib_mm: float
    cribs: Cribbing | None
    frame: Carried
    joists: tuple[MemberBending, ...]

    @property
    def members(self) -> tuple[MemberBending, ...]:
        """All that is bent."""
        return (*self.frame.members, *self.joists)

    def past(self, *stresses: Stress) -> tuple[MemberBending, ...]:
        """Bearers and joists that are stressed past their value so, the worst first."""
        return past_value(self.members, *stresses)


def jack_of(building: Building) -> tuple[int, Jack] | None:
    """The crew's strongest jack and its place among the gear, from 0; None where there is none."""
    jacks = [
        (place, one) for place, one in enumerate(building.scene.crew.gear) if isinstance(one, Jack)
    ]
    return max(jacks, key=lambda row: row[1].rating, default=None)


def goes_under_mm(building: Building, move: Move) -> float:
    """How thick what carries it is, from the ground or the forks' underside up, mm."""
    beams = move.beams
    beams_mm = building.scene.lumber_stock(beams.section).depth_mm if beams else 0.0
    return move.lies_at_mm + beams_mm


def lay_at_mm(moved: MovedStructure, move: Move) -> float:
    """How high over the ground, before the move, that lies which is carried, mm."""
    crossed = moved.crossing(SIDES[move.side]) if move.way == "forks" else moved.bearers
    return min((part.bounds_mm[0][2] for part in crossed), default=0.0)


def rise_mm(building: Building, moved: MovedStructure, move: Move) -> float:
    """How far the frame has to go up until what carries it goes under, mm."""
    if move.way == "jacks":
        return move.height
    return max(0.0, goes_under_mm(building, move) + ROOM_MM - lay_at_mm(moved, move))


def on_jacks(
    building: Building, moved: MovedStructure, move: Move, *, inset_mm: float | None = None
) -> OnJacks:
    """Jack a building up under its outer bearers, four places in all.

    Args:
        building: For its gear and wood.
        moved: What is moved, on two bearers at least.
        move: As the scene has it.
        inset_mm: Where the jacks stand, instead of where the scene says.
    """
    ordered = sorted(moved.bearers, key=lambda part: AXES.span_into([part]))
    outer = (ordered[0], ordered[-1])
    start, end = AXES.span_along(outer)
    if inset_mm is None:
        step = SET_TO_MM[building.scene.units]
        usual = step * round(INSET_SHARE * (end - start) / step)
        inset_mm = usual if move.jack_inset is None else move.jack_inset
    supports = start + inset_mm, end - inset_mm
    middles = [sum(AXES.span_into([part])) / 2 for part in outer]
    corners = _corners(moved.parts, middles, supports)
    found, high_mm = jack_of(building), rise_mm(building, moved, move)
    jack = found[1] if found else None
    ends = [corners[:2], corners[2:]]
    end_kg = max(sum(one.mass.high_kg for one in both) for both in ends)
    head_mm = jack.layer if jack else HEAD_MM
    frame = lying_along(
        building,
        moved,
        AXES,
        outer,
        supports_mm=supports,
        bearing_mm=head_mm,
        impact=ON_JACKS,
    )
    return OnJacks(
        inset_mm=inset_mm,
        corners=tuple(corners),
        end_kg=end_kg,
        rise_mm=high_mm,
        rating_kg=jack.rating if jack else None,
        stroke_mm=jack.stroke if jack else None,
        crib_mm=move.crib,
        cribs=_cribs(high_mm, move.crib, jack),
        frame=replace(
            frame, members=tuple(_rocking(one, weight_n(end_kg)) for one in frame.members)
        ),
        joists=tuple(_joists(building, moved, outer)),
    )


def _rocking(one: MemberBending, end_n: float) -> MemberBending:
    """A bearer where the building rocks: one jack under it has all of its end."""
    return replace(one, bearing_n_mm2=end_n / (one.breadth_mm * one.bearing_mm))


def _cribs(high_mm: float, crib_mm: float, jack: Jack | None) -> Cribbing | None:
    if jack is None or high_mm <= 0:
        return None
    if high_mm > MOST_CRIB_SLENDERNESS * crib_mm or jack.stroke < jack.layer:
        return None
    return cribbing(
        rise_mm=high_mm,
        layer_mm=jack.layer,
        base_mm=crib_mm,
        lift_mm=jack.stroke,
        stroke_mm=jack.stroke,
    )


def _corners(
    parts: Sequence[Part], middles_mm: Sequence[float], supports_mm: tuple[float, float]
) -> list[CornerLoad]:
    """The left end's corners, then the right end's: each part shared out both ways by the lever."""
    names: list[str] = ["front left", "back left", "front right", "back right"]
    found = dict.fromkeys(names, NOTHING)
    for part in parts:
        mass = part_mass(part)
        ways = shares_of(middles_mm, *AXES.span_into([part]))
        ends = shares_of(supports_mm, *AXES.span_along([part]))
        for end, along in zip(("left", "right"), ends, strict=True):
            for way, into in zip(("front", "back"), ways, strict=True):
                found[f"{way} {end}"] += mass.times(along * into)
    return [CornerLoad(name, mass) for name, mass in found.items()]


def _joists(
    building: Building, moved: MovedStructure, outer: tuple[Part, Part]
) -> Sequence[MemberBending]:
    """The joists across both outer bearers, with what these do not carry themselves."""
    axes: SideAxes = SIDES["right"]
    joists = [part for part in moved.crossing(axes) if part.kind is Kind.JOIST]
    if not joists:
        return ()
    members = [(part, value_of(building, part)) for part in joists]
    (front, front_to), (back, back_to) = (axes.span_along([part]) for part in outer)
    return tuple(
        bend_members(
            moved.parts,
            axes,
            members,
            supports_mm=((front + front_to) / 2, (back + back_to) / 2),
            bearing_mm=front_to - front,
            impact=ON_JACKS.factor,
        )
    )
