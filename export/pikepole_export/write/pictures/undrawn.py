"""What a stage takes that no picture shows: hangers and bolts, what lies in concrete, shims.

undrawn(building) -> {stage: lines}

Nails, staples and screws by the box are left to the list of fasteners; paint and chalk nobody
misses in a picture.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence

from pikepole_export.derive.buying.amounts import Amount, Thing, whole
from pikepole_export.derive.buying.fasteners import bought_as, fasteners
from pikepole_export.derive.buying.purchase import counted
from pikepole_export.derive.buying.slab_joints import control_joints
from pikepole_export.derive.buying.supplies import ordered
from pikepole_export.derive.buying.wording import in_words
from pikepole_export.derive.lifting.sawn import put_up
from pikepole_export.derive.strength.held_down import held_down
from pikepole_export.graphics.lettering import feet_kept
from pikepole_model.building.fastenings import load_fastenings
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.building.remaining import remaining
from pikepole_model.errors import and_more
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.units import Units, format_length, format_mass

UNDRAWN = {
    *(Thing.FORM_BOARDS, Thing.FORM_TUBE, Thing.VAPOUR_RETARDER, Thing.MESH, Thing.BAR),
    *(Thing.SEAM_TAPE, Thing.CLOSURE, Thing.SHIMS, Thing.PRESERVATIVE),
}
# What holds skids and girders down on the ground, or on a pad.
HOLD_BEARERS = frozenset({Kind.GROUND_ANCHOR, Kind.DRILLED_ANCHOR})
# Nobody counts what is torn off a roll or drawn out of a bundle.
UNCOUNTED = {Thing.SEAM_TAPE, Thing.SHIMS, Thing.PRESERVATIVE}


def undrawn(building: Building) -> dict[int, list[str]]:
    """For each stage that takes any: how many of what, and for what."""
    scene = building.scene
    lines: dict[int, list[str]] = defaultdict(list)
    for amount in ordered(remaining(building)):
        if amount.thing in UNDRAWN:
            stages = {part.stage for part in amount.parts}
            for stage in stages:
                # How much of it goes where is not told apart.
                lines[stage].append(_text(amount, scene.units, alone=len(stages) == 1))
    for stage, text in (
        *_control_joints(building),
        *_hold_downs(building),
        *_without_anchors(building),
        *_hung_with(building),
    ):
        lines[stage].append(text)
    for (stage, name, joint), count in _one_by_one(building).items():
        lines[stage].append(f"{count:,} x {name}, {joint}")
    return {
        stage: [in_words(text, scene.english) for text in texts] for stage, texts in lines.items()
    }


def _hold_downs(building: Building) -> Iterator[tuple[int, str]]:
    """What the checks of strength count on at the ends of walls, and nobody can set later."""
    scene, held = building.scene, held_down(building)
    rating_kg = scene.ties.hold_down_rating
    if rating_kg is None or not held:
        return
    places: dict[str, list[str]] = defaultdict(list)
    for wall, beside in held.items():
        axis = 1 if wall in ("left wall", "right wall") else 0
        at = sorted(part.centre_mm[axis] for part in beside)
        start = "from the front" if axis else "from the building's left end"
        places[f"{_listed(at, scene.units)} {start}"].append(wall)
    where = "; ".join(f"{' and '.join(walls)} {place}" for place, walls in places.items())
    rated = f"hold-downs rated {format_mass(rating_kg, scene.units)} or more"
    studs = f"the studs whose middles are at: {where}"
    sheathed = min(part.stage for part in building.parts if part.kind is Kind.WALL_SHEET)
    # On a slab that it is moved to they are drilled in.
    if scene.floor_pad is not None and scene.move is None:
        cast = min(part.stage for part in building.parts if part.kind is Kind.SLAB)
        yield cast, f"rods for {rated}, as their maker asks, off the faces of {studs}"
        yield sheathed, f"{rated}, on their rods, to {studs}"
    else:
        down = "what takes their pull on into the ground is not drawn: ask a licensed engineer"
        yield sheathed, f"{rated}, to {studs}; {down}"


def _control_joints(building: Building) -> Iterator[tuple[int, str]]:
    """Where a slab is cut, so that it cracks there."""
    cuts, units = control_joints(building), building.scene.units
    if not cuts:
        return
    starts = {"x": "from the slab's left edge", "y": "from its front edge"}
    places = (
        f"{_listed([joint.at_mm for joint in cuts if joint.across == across], units)} {start}"
        for across, start in starts.items()
        if any(joint.across == across for joint in cuts)
    )
    deep = format_length(max(joint.depth_mm for joint in cuts), units)
    stage = min(part.stage for part in building.parts if part.kind is Kind.SLAB)
    yield stage, f"control joints, {deep} deep, {', '.join(places)}"


def _without_anchors(building: Building) -> Iterator[tuple[int, str]]:
    """Why the skids or girders between the outer two have none: common practice, no source."""
    stages = [part.stage for part in building.parts if part.kind in HOLD_BEARERS]
    bearers = [part for part in building.parts if part.kind in (Kind.SKID, Kind.GIRDER)]
    fronts = [part.bounds_mm[0][1] for part in bearers]
    between = [
        part.name
        for part, front in zip(bearers, fronts, strict=True)
        if min(fronts) + TOLERANCE_MM < front < max(fronts) - TOLERANCE_MM
    ]
    if stages and between:
        yield (
            min(stages),
            f"no anchors at {and_more(between)}: the joists over it are held at the outer two",
        )


def _hung_with(building: Building) -> Iterator[tuple[int, str]]:
    """What leaves hang by. Common practice, no source."""
    for stage in {part.stage for part in building.parts if part.kind is Kind.HINGE}:
        yield stage, "for hinges: bolts through the leaf, screws through the casing into the stud"


def _listed(lengths_mm: Sequence[float], units: Units) -> str:
    return " and ".join(feet_kept(format_length(mm, units)) for mm in lengths_mm)


def _one_by_one(building: Building) -> Counter[tuple[int, str, str]]:
    """How many fasteners that are sold singly and not drawn, by stage, name and joint."""
    bought = load_fastenings(building.scene.units).bought
    drawn = {bought_as(part) for part in building.parts}
    counts: Counter[tuple[int, str, str]] = Counter()
    for row in fasteners(building, put_up(building)):
        sold = bought.get(row.sort)
        boxed = sold is not None and sold.packs[0].pieces > 1
        if not boxed and row.fastener not in drawn:
            counts[row.stage, row.fastener, row.joint] += row.pieces
    return counts


def _text(amount: Amount, units: Units, *, alone: bool) -> str:
    """What it is, for what, and how much of it where one stage takes it all."""
    name = f"{amount.item}, {amount.where}"
    number = counted(amount, units)
    if number is None or not alone or amount.thing in UNCOUNTED:
        return name
    count, unit = number
    return f"{whole(count):,} x {name}" if unit == "piece" else f"{name}, {count:,.0f} {unit}"
