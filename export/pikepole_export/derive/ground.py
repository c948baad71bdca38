"""What goes into the ground, and what is poured: digging, gravel, concrete, forms, bolts.

    ground(building, bag="80 lb", waste=0.1) -> tuple[Amount, ...]     in order of the work

Volumes are those of the solids. Whether a slab needs mesh, bars or a vapour retarder is for the
local code and the soil to say: they are in the list without an amount to buy unless asked for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

import shapely

from pikepole_export.derive.amounts import (
    PRACTICE,
    Amount,
    check_share,
    courses,
    percent,
    shown,
    whole,
)
from pikepole_export.derive.anchor_bolts import SOURCE as BOLT_RULE
from pikepole_export.derive.anchor_bolts import plate_bolts
from pikepole_export.derive.mass import MADE_IN_PLACE, part_mass
from pikepole_export.derive.shadow import shadow
from pikepole_export.derive.slab_joints import SOURCE as JOINT_RULE
from pikepole_export.derive.slab_joints import control_joints
from pikepole_model.errors import CatalogueError
from pikepole_model.part import Building, Kind, Part
from pikepole_model.scene.schema import Pad
from pikepole_model.shape import Circle, Prism
from pikepole_model.units import (
    FOOT_MM,
    INCH_MM,
    LB_FT3_IN_KG_M3,
    POUND_KG,
    Units,
    format_length,
    format_mass,
    in_units,
)

CONCRETE = (Kind.SLAB, Kind.FOOTING)

# What dug soil fills, loose, for each unit that it filled in the ground; what gravel fills as it
# is delivered for each unit that it fills once compacted.
SOIL_SWELLS = 1.25
GRAVEL_SETTLES = 1.2

# Pre-mixed concrete: 0.15 ft3 from 20 lb, so 0.30, 0.45 and 0.60 ft3 from 40, 60 and 80 lb.
FT3_MM3 = FOOT_MM**3
BAGS_MM3 = {f"{pounds} lb": pounds / 20 * 0.15 * FT3_MM3 for pounds in (40, 50, 60, 80, 90)}
BAG_RULE = "0.15 ft3 for each 20 lb of mix, as printed on bags"

# Ready-mixed concrete is ordered in these steps.
READY_MIX_STEP_MM3: dict[Units, float] = {"imperial": 27 * FT3_MM3 / 4, "metric": 0.25e9}
READY_MIX_STEPS: dict[Units, str] = {"imperial": "1/4 yd3", "metric": "0.25 m3"}

# A sheet of welded wire mesh of 6 in squares; its lap is a square and 2 in.
MESH_MM, MESH_LAP_MM = (5 * FOOT_MM, 10 * FOOT_MM), 8 * INCH_MM

# No. 4 bars, 1/2 in thick, lapped by 40 diameters, with 3 in of concrete beside them.
BAR_MM, BAR_LAP_MM, BAR_COVER_MM = 20 * FOOT_MM, 20 * INCH_MM, 3 * INCH_MM

RETARDER_MM, RETARDER_LAP_MM = 10 * FOOT_MM, 6 * INCH_MM


def ground(
    building: Building,
    *,
    bag: str | None = "80 lb",
    waste: float = 0.1,
    mesh: bool = False,
    edge_bars: int = 0,
    vapour_retarder: bool = False,
) -> tuple[Amount, ...]:
    """Everything to dig, spread, form and pour.

    Args:
        building: The building.
        bag: Which bags of pre-mixed concrete, a name of `BAGS_MM3`; None for ready-mix.
        waste: Share of concrete and of form boards to buy beyond what is drawn, from 0.
        mesh: Whether the slab gets welded wire mesh.
        edge_bars: How many bars run round in the slab's edge, from 0.
        vapour_retarder: Whether there is a vapour retarder under the slab.

    Raises:
        CatalogueError: there is no such bag.
        ValueError: the waste or the number of bars is below 0.
    """
    check_share("concrete.waste", waste)
    if edge_bars < 0:
        raise ValueError(f"concrete.edge_bars = {edge_bars}: give a whole number from 0")
    if bag is not None and bag not in BAGS_MM3:
        raise CatalogueError(
            f'concrete.bag = "{bag}": there is no such bag; take one of {", ".join(BAGS_MM3)}'
        )
    slabs = [part for part in building.parts if part.kind == Kind.SLAB]
    return (
        *_digging(building),
        *_gravel(building),
        *(_retarder(building, slab, vapour_retarder) for slab in slabs),
        *_forms(building, waste),
        *(_mesh(building, slab, mesh) for slab in slabs),
        *(_bars(building, slab, edge_bars) for slab in slabs),
        *_concrete(building, bag, waste),
        *_joints(building),
        *_bolts(building),
        *_piers(building),
    )


def dug_mm3(parts: Iterable[Part]) -> float:
    """The hole that parts in the ground need, its sides upright, mm3.

    Whatever lies above a part is dug away with it, up to the ground; where two stand over one
    another it is dug once, as deep as the deeper.
    """
    found = [(part.bounds_mm[0][2], shadow(part)) for part in parts if part.bounds_mm[0][2] < 0]
    depths = sorted({low for low, _ in found})
    return sum(
        shapely.union_all([covered for bottom, covered in found if bottom <= low]).area
        * (high - low)
        for low, high in pairwise([*depths, 0.0])
    )


def _digging(building: Building) -> Iterator[Amount]:
    units = building.scene.units
    volume = dug_mm3(
        part for part in building.parts if part.kind in MADE_IN_PLACE or part.kind == Kind.PIER
    )
    if not volume:
        return
    yield Amount(
        "excavation",
        "gravel and concrete below the ground",
        "volume",
        volume,
        None,
        "as deep as what stands there, upright sides, each spot dug once; the strip beside the "
        "concrete over the gravel's margin is filled back; room to work in is not in it",
        "the solids of the model",
    )
    yield Amount(
        "soil to move, loose",
        "from the excavation",
        "volume",
        SOIL_SWELLS * volume,
        None,
        f"{shown(volume, 'volume', units)} x {SOIL_SWELLS:g}, as soil swells when it is dug",
        PRACTICE,
    )


def _gravel(building: Building) -> Iterator[Amount]:
    units = building.scene.units
    beds = [part for part in building.parts if part.kind == Kind.GRAVEL]
    names = dict.fromkeys(part.name.rstrip(" 0123456789") for part in beds)
    for name in names:
        parts = [part for part in beds if part.name.rstrip(" 0123456789") == name]
        volume = sum(part.volume_mm3 for part in parts)
        loose = GRAVEL_SETTLES * volume
        likely_kg = sum(part_mass(part).likely_kg for part in parts)
        loose_kg_m3 = parts[0].material.density_kg_m3[0]
        yield Amount(
            "gravel",
            name,
            "volume",
            volume,
            loose,
            f"{shown(volume, 'volume', units)} compacted x {GRAVEL_SETTLES:g} as delivered",
            PRACTICE,
        )
        yield Amount(
            "gravel by weight",
            name,
            "mass",
            likely_kg,
            loose * 1e-9 * loose_kg_m3,
            f"{shown(loose, 'volume', units)} x {_density(loose_kg_m3, units)} loose; instead of "
            "the volume, not beside it",
            parts[0].material.source,
            is_another_way=True,
        )


def _density(density_kg_m3: float, units: Units) -> str:
    """A density for people, "95 lb/ft3"."""
    if units == "imperial":
        return f"{density_kg_m3 / LB_FT3_IN_KG_M3:.0f} lb/ft3"
    return f"{density_kg_m3:.0f} kg/m3"


def _sides_mm(slab: Part) -> tuple[float, float]:
    low, high = slab.bounds_mm
    return high[0] - low[0], high[1] - low[1]


def _retarder(building: Building, slab: Part, asked: bool) -> Amount:
    units, (length, depth) = building.scene.units, _sides_mm(slab)
    long, short = max(length, depth), min(length, depth)
    count = courses(short, RETARDER_MM, RETARDER_LAP_MM)
    how = (
        f"lengths of {format_length(long, units)}, {count} side by side, from a roll "
        f"{format_length(RETARDER_MM, units)} wide, lapped {format_length(RETARDER_LAP_MM, units)}"
    )
    return Amount(
        "vapour retarder, 6 mil",
        slab.name,
        "area",
        length * depth,
        count * long * RETARDER_MM if asked else None,
        how
        if asked
        else "as your code asks: not required under a detached, unheated accessory building; "
        f"{how}",
        "IRC R506.2.3 for thickness, laps and exception; roll: " + PRACTICE,
    )


def _forms(building: Building, waste: float) -> Iterator[Amount]:
    units = building.scene.units
    for slab in (part for part in building.parts if part.kind == Kind.SLAB):
        length, depth = _sides_mm(slab)
        low, high = slab.bounds_mm
        round_mm, height = 2 * (length + depth), high[2] - low[2]
        sum_ = f"2 x ({format_length(length, units)} + {format_length(depth, units)})"
        yield Amount(
            "form boards",
            slab.name,
            "run",
            round_mm,
            round_mm * (1 + waste),
            f"{sum_}, {format_length(height, units)} high from the gravel to the slab's top, "
            f"and {percent(waste)} for corners and cuts; stakes and braces beside",
            PRACTICE,
        )
        yield Amount(
            "form boards by area",
            slab.name,
            "area",
            round_mm * height,
            round_mm * height * (1 + waste),
            f"{sum_} x {format_length(height, units)}, and {percent(waste)}; "
            "instead of the length, not beside it",
            PRACTICE,
            is_another_way=True,
        )
    tubes: dict[float, list[float]] = {}
    for footing in (part for part in building.parts if part.kind == Kind.FOOTING):
        body = footing.shape.body
        if isinstance(body, Prism) and isinstance(body.outline, Circle):
            tubes.setdefault(2 * body.outline.radius, []).append(body.thickness)
    for diameter, heights in tubes.items():
        yield Amount(
            f"form tube {format_length(diameter, units)}",
            "footings",
            "run",
            sum(heights),
            sum(heights) * (1 + waste),
            f"{len(heights)} footings, {shown(sum(heights), 'run', units)} together, "
            f"and {percent(waste)}",
            PRACTICE,
        )


def _mesh(building: Building, slab: Part, asked: bool) -> Amount:
    units, sides = building.scene.units, _sides_mm(slab)
    # Both ways to lay the sheets; fewest are taken.
    count = min(
        courses(sides[0], a, MESH_LAP_MM) * courses(sides[1], b, MESH_LAP_MM)
        for a, b in (MESH_MM, MESH_MM[::-1])
    )
    how = (
        f"{count} sheets of {format_length(MESH_MM[0], units)} x "
        f"{format_length(MESH_MM[1], units)}, lapped {format_length(MESH_LAP_MM, units)}"
    )
    return Amount(
        "welded wire mesh",
        slab.name,
        "area",
        sides[0] * sides[1],
        count * MESH_MM[0] * MESH_MM[1] if asked else None,
        how if asked else f"as your code and your soil ask; {how}",
        f"lap: ACI 318 (from memory), one square and 2 in; sheet: {PRACTICE}",
    )


def _bars(building: Building, slab: Part, count: int) -> Amount:
    units, (length, depth) = building.scene.units, _sides_mm(slab)
    ring = 2 * (length + depth) - 8 * BAR_COVER_MM
    # A closed ring has as many laps as lengths.
    pieces = whole(ring / (BAR_MM - BAR_LAP_MM))
    each = (
        f"a bar round the edge is {shown(ring, 'run', units)} and {pieces} laps of "
        f"{format_length(BAR_LAP_MM, units)}"
    )
    asked = (
        f"{count} x {pieces} lengths of {shown(BAR_MM, 'run', units)}; {each}"
        if count
        else "as your code asks: IRC R403.1.3 asks for one at the top and one at the bottom of a "
        f"thickened edge in seismic design categories D0 to D2; {each}"
    )
    return Amount(
        "No. 4 bar",
        f"edge of the {slab.name}",
        "run",
        count * (ring + pieces * BAR_LAP_MM) if count else None,
        count * pieces * BAR_MM if count else None,
        asked,
        "IRC R403.1.3 (from memory); cover of 3 in: ACI 318 (from memory); lap, length: "
        + PRACTICE,
    )


def _concrete(building: Building, bag: str | None, waste: float) -> Iterator[Amount]:
    units = building.scene.units
    for stage in building.stages:
        cast = [part for part in stage.parts if part.kind in CONCRETE]
        places = [place for part in cast for place in _places(building, part)]
        for where in dict.fromkeys(where for where, _ in places):
            volume = sum(volume for place, volume in places if place == where)
            yield Amount(
                "concrete",
                where,
                "volume",
                volume,
                volume * (1 + waste),
                f"{shown(volume, 'volume', units)} and {percent(waste)}",
                f"waste: {PRACTICE}",
                is_another_way=True,
            )
        if cast:
            yield _order(stage.name, sum(part.volume_mm3 for part in cast), bag, waste, units)


def _places(building: Building, part: Part) -> Iterator[tuple[str, float]]:
    """What a piece of concrete is made of, and the volume of each, mm3."""
    pad = building.scene.foundation
    if part.kind == Kind.SLAB and isinstance(pad, Pad) and (pad.edge_depth or 0) > pad.thickness:
        flat = shadow(part).area * pad.thickness
        yield part.name, flat
        yield f"thickened edge of the {part.name}", part.volume_mm3 - flat
    else:
        yield (part.name if part.kind == Kind.SLAB else "footings"), part.volume_mm3


def _order(stage: str, volume: float, bag: str | None, waste: float, units: Units) -> Amount:
    """What to order for one pour: what is left over of a bag or a load does not keep."""
    needed = volume * (1 + waste)
    sum_ = f"{shown(volume, 'volume', units)} and {percent(waste)} = "
    sum_ += shown(needed, "volume", units)
    if bag is None:
        step = READY_MIX_STEP_MM3[units]
        steps = whole(needed / step)
        # Concrete is ordered in cubic yards where the tables have cubic feet.
        ordered = f"{steps / 4:g} {'yd3' if units == 'imperial' else 'm3'}"
        return Amount(
            "ready-mix concrete",
            stage,
            "volume",
            volume,
            steps * step,
            f"{sum_}, up to a whole {READY_MIX_STEPS[units]}: {ordered}",
            PRACTICE,
        )
    yield_mm3 = BAGS_MM3[bag]
    bags = whole(needed / yield_mm3)
    pounds = float(bag.removesuffix(" lb"))
    return Amount(
        f"concrete mix, {bag} bag",
        stage,
        "count",
        volume / yield_mm3,
        bags,
        f"{sum_}; / {in_units(yield_mm3, 'volume', units):.4g} a bag = {bags}, "
        f"{format_mass(bags * pounds * POUND_KG, units)} to carry and mix",
        BAG_RULE,
    )


def _joints(building: Building) -> Iterator[Amount]:
    units = building.scene.units
    for joint in control_joints(building):
        start, runs = (
            ("left", "front to back") if joint.across == "x" else ("front", "left to right")
        )
        yield Amount(
            "control joint",
            f"{format_length(joint.at_mm, units)} from the {start} edge of the slab",
            "run",
            joint.length_mm,
            None,
            f"cut {format_length(joint.depth_mm, units, 'up')} deep, {runs}, "
            "a quarter of the slab, as soon as the edge of the cut holds",
            JOINT_RULE,
        )


def _bolts(building: Building) -> Iterator[Amount]:
    rows = plate_bolts(building)
    if not rows:
        return
    least = sum(row.least for row in rows)
    units = building.scene.units
    how = (
        f"as drawn in {len(rows)} plates, which need {least} at least; at most 6 ft apart, two to "
        "a plate, not more than 12 in and not less than 7 diameters from its ends"
    )
    for kind in (Kind.ANCHOR_BOLT, Kind.WASHER, Kind.NUT):
        drawn = [part for part in building.parts if part.kind == kind]
        item, told = kind.value, "one to each anchor bolt"
        if kind == Kind.ANCHOR_BOLT:
            thick, long = (
                format_length(size, units) for size in (rows[0].diameter_mm, drawn[0].length_mm)
            )
            item, told = f"{kind.value} {thick} x {long}", how
        yield Amount(item, "bottom plates", "count", len(drawn), len(drawn), told, BOLT_RULE)


def _piers(building: Building) -> Iterator[Amount]:
    piers = [part for part in building.parts if part.kind == Kind.PIER]
    if piers:
        yield Amount(
            piers[0].stock,
            "girders",
            "count",
            len(piers),
            len(piers),
            "as drawn",
            "the solids of the model",
        )
