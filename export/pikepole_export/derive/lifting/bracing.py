"""What holds a wall or a post once it stands, until the rest of the building does.

    landings(building, items) -> dict[str, float]   the heaviest end that is set on each part
    brace_lumber(building) -> Lumber | None                         the board a brace is
    braces(item, lands, on_frame, lumber) -> Bracing | None
    wind_moment_n_mm, lean_moment_n_mm              what would throw it over, about its foot
    braces_needed(...) -> number
    brace(...) -> BraceForces

Source of the formulas: equilibrium of moments about the foot, any textbook of statics.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from pikepole_export.derive.lifting.brace_places import (
    SPACING_MM,
    BracePlace,
    Spreader,
    Tape,
    brace_place,
    largest_share,
    places_along,
    spreaders,
    tape_of,
    too_far_apart,
)
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.validation import below_90, positive
from pikepole_export.derive.lifting.wind import FLAT_PLATE_DRAG, Work, pressure_pa, stop_speed
from pikepole_export.derive.strength import nds
from pikepole_export.derive.strength.column import slenderness
from pikepole_export.derive.strength.nds import Adjusted, Duration, Lumber
from pikepole_export.derive.strength.section import Section
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.stock.design_values import load_design_values
from pikepole_model.units import FOOT_MM, INCH_MM, POUND_FORCE_N, Units

# A wall is braced at both ends, and between them.
END_BRACES = 2

# The angle braces stand at, where they are fixed, and how far out of plumb the wall may stand:
# common practice, no source.
BRACE_DEG = 45.0
FIXED_AT = 2 / 3  # of its height
LEAN_DEG = 2.0

# A board that is pushed may be 75 times as long as thick while building. Source: NDS 2018, 3.7.1.4.
# A 2x4 is 38.1 mm thick, what is sold in millimetres is 38.
SLENDEREST = 75.0
LONGEST_MM = SLENDEREST * 38.0

# What braces are: by this name in the catalogue, for people who count in inches or millimetres.
BRACE_STOCK: dict[Units, str] = {"imperial": "2x4", "metric": "CLS 38x89"}
# As yards have most of; what the frame is graded is no matter. Common practice, no source.
BRACE_GRADE = "No. 2"
_MOST_MORE = 8  # braces of a wall over those that the spacing asks for
NAIL: dict[Units, str] = {
    "imperial": "16d common nail",
    "metric": "round wire nail 4.5 x 100 mm",  # no thinner
}

# At each end two 16d common nails at least: common practice, no source. Each holds 120 lb sideways
# in spruce-pine-fir 1-1/2 in thick, nothing added for short loads. Source: NDS 2018, table 12N.
LEAST_NAILS = 2
NAIL_N = 120 * POUND_FORCE_N

# A wooden stake so thick, so deep in undisturbed loam and slanted away from the pull, and what it
# holds. Source: US Navy, Steelworker (NAVEDTRA 14251), single picket holdfast, 5 ft long.
STAKE_THICK_MM = 3 * INCH_MM
STAKE_DEEP_MM = 3 * FOOT_MM
STAKE_N = 700 * POUND_FORCE_N

# What is set down on something shoves it sideways by a quarter of its weight: common practice, no
# source; and who guides it there by 50 lb: ASCE 37-14, 4.4.1, from memory. They push at one time or
# the other.
SHOVE_SHARE = 0.25
PERSON_N = 50 * POUND_FORCE_N


@dataclass(frozen=True, slots=True)
class BraceForces:
    """In the brace that takes most.

    Attributes:
        horizontal_n: Level force where it is fixed, N.
        brace_n: Along it, pushed or pulled, N.
        vertical_n: Up or down where it is fixed, N: its foot must be held down against it.
    """

    horizontal_n: float
    brace_n: float
    vertical_n: float


@dataclass(frozen=True, slots=True)
class Bracing:
    """What holds a standing wall or post.

    Attributes:
        braces: How many of what stands by itself, a wall or the half of one that takes most; a
            post has one each way that it can fall, square to each other.
        places: Where those of a wall are, of both halves where it goes up so; none for a post.
        spreaders: Boards across the feet of its doorways while it is tilted up.
        fixed_at_mm: Height of their upper ends over its foot, mm.
        length_mm: Of each 2x4, from where it is fixed to where its foot is held, mm.
        nails: 16d common nails at each of its ends.
        shove_n: Level at its top, from what is set on it or from who guides that, N.
        horizontal_n: Level force at the one that takes most, in the wind at which raising stops, N.
        brace_n: Along that brace, pushed or pulled, N.
        vertical_n: Up or down where it is fixed, N: its foot must be held down against it.
        wind_m_s: The wind that they hold by their nails, with the shove, m/s.
        stakes: At each foot where it stands on the ground; none on a floor frame.
        stake_n: What one of them holds, N.
        stake_thick_mm: How thick it is.
        stake_deep_mm: How deep it is in the ground.
    """

    braces: int
    places: tuple[BracePlace, ...]
    spreaders: tuple[Spreader, ...]
    fixed_at_mm: float
    length_mm: float
    nails: int
    shove_n: float
    horizontal_n: float
    brace_n: float
    vertical_n: float
    wind_m_s: float
    stakes: int
    stake_n: float = STAKE_N
    stake_thick_mm: float = STAKE_THICK_MM
    stake_deep_mm: float = STAKE_DEEP_MM

    @property
    def count(self) -> int:
        """How many there are in all: of a post one each way, of a wall those of both halves."""
        return len(self.places) or 2


def landings(building: Building, items: Iterable[Item]) -> dict[str, float]:
    """For each part of a wall or a post, the heaviest end of a piece that is set on it, N."""
    every = tuple(items)
    upright = {name for item in every if item.handling.stands_up for name in item.names}
    found: dict[str, float] = defaultdict(float)
    for item in every:
        if item.is_slim and not item.inside_of:
            end_n = item.whole.weight_n * max(item.whole.end_shares)
            on = {mate for name in item.names for mate in building.mates[name]}
            for mate in on & upright:
                found[mate] = max(found[mate], end_n)
    return dict(found)


def brace_lumber(building: Building) -> Lumber | None:
    """What braces are of: the frame's species in the usual grade; None without design values."""
    scene = building.scene
    stock = scene.catalogue.find_lumber(BRACE_STOCK[scene.units])
    wood = load_design_values().find(
        scene.lumber.species,
        BRACE_GRADE,
        breadth_mm=stock.breadth_mm,
        depth_mm=stock.depth_mm,
        strength=scene.catalogue.strength_of(stock.name),
    )
    return Lumber(wood, Section(stock.breadth_mm, stock.depth_mm)) if wood else None


def pressed_along(lumber: Lumber, length_mm: float) -> Adjusted:
    """Fc' of a brace that nothing holds between its ends, in wind. Source: NDS 3.6.3, 3.7.1."""
    slender = slenderness(lumber.section, unbraced_mm=(0.0, length_mm))
    return nds.compression(lumber, Duration.WIND, slenderness=slender)


def braces(
    item: Item,
    lands: Mapping[str, float],
    *,
    on_frame: bool,
    lumber: Lumber | None = None,
    tape: Tape | None = None,
) -> Bracing | None:
    """The braces of a wall or a post, in the wind at which raising stops; None for anything else.

    The whole face is taken to catch the wind, as it does once it is sheathed; the shove at its top
    comes at one brace alone. A wall has more of them than its spacing asks for where they would
    buckle, and where its studs would leave them too far apart.

    Args:
        item: What stands.
        lands: Weight of the heaviest end that is set on each of its parts, N, as `landings` gives.
        on_frame: Whether walls and their posts stand on a framed floor, which their braces are
            nailed to.
        lumber: What the braces are of; None where no design values are known of it.
        tape: Along what a wall's measures are told, and all that stands by itself of it; without it
            along what stands.
    """
    if item.handling not in (Handling.WALL, Handling.POST):
        return None
    whole = item.whole
    height = whole.top_mm - whole.low_mm
    is_wall = item.handling == Handling.WALL
    on_floor = is_wall or whole.parts[0].kind is Kind.WALL_POST
    length = whole.size_mm[0] if is_wall else whole.size_mm[1]
    steep = math.radians(BRACE_DEG)
    fixed_mm = min(FIXED_AT * height, LONGEST_MM * math.sin(steep))
    stop_m_s = stop_speed(Work.WALL).speed_m_s
    wind = wind_moment_n_mm(
        pressure_pa=pressure_pa(stop_m_s) * FLAT_PLATE_DRAG, length_mm=length, height_mm=height
    )
    lean = lean_moment_n_mm(
        whole.weight_n, along_mm=whole.centre_mm[2] - whole.low_mm, lean_deg=LEAN_DEG
    )
    lands_n = max((lands.get(name, 0.0) for name in item.names), default=0.0)
    shove_n = max(PERSON_N, SHOVE_SHARE * lands_n)

    def share(places_mm: Sequence[float]) -> float:
        even = _share(len(places_mm) or 1)
        return max(even, largest_share(places_mm, length)) if places_mm else even

    def shove(places_mm: Sequence[float]) -> float:
        return shove_n * height / share(places_mm)  # all of it at one brace

    def worked(places_mm: Sequence[float]) -> BraceForces:
        moment = wind + lean + shove(places_mm)
        return brace(moment, fixed_at_mm=fixed_mm, angle_deg=BRACE_DEG, share=share(places_mm))

    length_each_mm = fixed_mm / math.sin(steep)
    chosen: tuple[float, ...] = ()
    tape = tape or tape_of(whole, [whole])
    if is_wall:
        bears_n = math.inf
        if lumber:
            bears_n = pressed_along(lumber, length_each_mm).value_n_mm2 * lumber.section.area_mm2
        least = braces_needed(length_mm=length, spacing_mm=SPACING_MM)
        tried = [
            places_along(whole, count, fixed_mm) for count in range(least, least + _MOST_MORE + 1)
        ]
        near = [one for one in tried if not too_far_apart(whole, one, fixed_mm)] or tried
        chosen = next((one for one in near if worked(one).brace_n <= bears_n), near[0])
    most = worked(chosen)
    nails = max(LEAST_NAILS, math.ceil(most.brace_n / NAIL_N - 1e-9))
    held = nails * NAIL_N * math.cos(steep) * fixed_mm / share(chosen)
    return Bracing(
        braces=len(chosen) or 1,
        places=tuple(
            sorted(
                (
                    brace_place(frame, at_mm, fixed_mm, tape)
                    for frame in (tape.frames if is_wall else ())
                    for at_mm in places_along(frame, len(chosen), fixed_mm)
                ),
                key=lambda place: place.tape_mm,
            )
        ),
        spreaders=spreaders(tape) if is_wall else (),
        fixed_at_mm=fixed_mm,
        length_mm=length_each_mm,
        nails=nails,
        shove_n=shove_n,
        horizontal_n=most.horizontal_n,
        brace_n=most.brace_n,
        vertical_n=most.vertical_n,
        stakes=0 if on_floor and on_frame else math.ceil(most.brace_n / STAKE_N - 1e-9),
        wind_m_s=stop_m_s * math.sqrt((held - lean - shove(chosen)) / wind),
    )


def _share(braces: int) -> float:
    """What the one that takes most has of a load all along, where they stand evenly."""
    return 1.0 if braces == 1 else 1 / max(END_BRACES, braces - 1)


def wind_moment_n_mm(*, pressure_pa: float, length_mm: float, height_mm: float) -> float:
    """Overturning moment about the foot of what stands in an even wind, N mm: p L H x H / 2.

    Args:
        pressure_pa: On the face, drag included, Pa.
        length_mm: Of the face; of a post its width.
        height_mm: Of the face.
    """
    return pressure_pa * 1e-6 * length_mm * height_mm**2 / 2


def lean_moment_n_mm(weight_n: float, *, along_mm: float, lean_deg: float) -> float:
    """Overturning moment about the foot of what stands out of plumb, N mm.

    Args:
        weight_n: Its weight, N.
        along_mm: Centre of gravity over the foot, along the piece, mm.
        lean_deg: Out of plumb.
    """
    return weight_n * along_mm * math.sin(math.radians(lean_deg))


def braces_needed(*, length_mm: float, spacing_mm: float) -> int:
    """Braces for a wall: one at each end and more between, none further apart than the spacing.

    Source: common practice, no source.

    Raises:
        LiftError: a length is not above zero.
    """
    positive(length_mm=length_mm, spacing_mm=spacing_mm)
    # A wall a whole number of spacings long needs no brace more for the float's last digit.
    return max(END_BRACES, math.ceil(length_mm / spacing_mm - 1e-9) + 1)


def brace(
    moment_n_mm: float, *, fixed_at_mm: float, angle_deg: float, share: float = 1.0
) -> BraceForces:
    """The force in the brace that takes most.

    The foot is taken as a hinge: its nails, and the weight on the plate's breadth, are not counted
    on.

    Args:
        moment_n_mm: About the foot, of the whole wall or post, N mm.
        fixed_at_mm: Height of the brace's upper end over the foot.
        angle_deg: Of the brace from level, 0 to less than 90.
        share: What it has of all that; a post's brace all of it, in each direction that it can
            fall.

    Raises:
        LiftError: a height, angle or number is outside these.
    """
    positive(fixed_at_mm=fixed_at_mm)
    below_90("angle_deg", angle_deg)
    positive(share=share)
    horizontal_n = moment_n_mm / fixed_at_mm * share
    angle = math.radians(angle_deg)
    return BraceForces(horizontal_n, horizontal_n / math.cos(angle), horizontal_n * math.tan(angle))
