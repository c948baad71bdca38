"""What holds the pieces together: how many fasteners go where, and how many boxes that takes.

    fasteners(building, put_up) -> tuple[Fastener, ...]     in order of the work
    boxes(rows, waste_percent) -> tuple[Box, ...]   what is bought, in the same order

Post bases and caps are in the list too, as what they are coated with is decided by the same rule:
what touches treated timber is hot-dip galvanised or stainless (IRC R317.3; ASTM A153, connectors
ASTM A653 G185). What is rained on is treated alike; the rest is bright.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import assert_never

from pikepole_export.derive.buying.bolts import bolt_for
from pikepole_export.derive.buying.put_up import AS_DRAWN, TOE_NAILED, PutUp, is_toe_nailed, laps
from pikepole_export.derive.buying.schedule import SCREW_ROWS_MM, Fixed, fixed, screw_rows
from pikepole_model.building.fastenings import (
    ByHole,
    ByRib,
    Count,
    Each,
    Fastening,
    InRows,
    OnGrid,
    OnSheet,
    Pack,
    load_fastenings,
)
from pikepole_model.building.kind_rows import Bought, Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, PanelRecord, Part
from pikepole_model.building.quoted import in_millimetres
from pikepole_model.building.remaining import done_stages
from pikepole_model.units import Units, format_length

BRIGHT = "bright"

# Four toe-nails at the end of a stud in place of two through its plate. Source: as named.
TOE_NAILS, TOE_NAIL = 4, "8d common nail"
TOE_SOURCE = (
    "IBC Table 2304.10.1, IRC 2021 Table R602.3(1) item 17, stud to plate: 4-8d common, toenail"
)


@dataclass(frozen=True, slots=True)
class Fastener:
    """Fasteners of one kind in one place.

    Attributes:
        fastener: What they are.
        finish: What they are coated with.
        joint: What they join.
        where: What they go into: a group of pieces, or a roof panel.
        stage: Number of the stage that needs them.
        counted: How they were counted.
        joints: How many places, pieces or joints are fixed so.
        pieces: How many.
        source: Where the count comes from.
        sort: What the catalogue calls them: a bolt without its length.
        driven: How nails go in, and of toe-nails how many from which side; empty for no matter.
        brief: How many at a time and how they are driven, where there is little room.
        carries: Whether loads come down by it, or it holds the building square.
    """

    fastener: str
    finish: str
    joint: str
    where: str
    stage: int
    counted: str
    joints: int
    pieces: int
    source: str
    sort: str
    driven: str
    brief: str
    carries: bool

    @property
    def how(self) -> str:
        """How they were counted and how they go in."""
        return ", ".join(filter(None, (self.counted, self.driven)))


@dataclass(frozen=True, slots=True)
class Box:
    """A fastener as it is bought.

    Attributes:
        fastener: What it is.
        finish: What it is coated with.
        pieces: How many go into the building.
        waste_percent: What is added to that.
        to_buy: How many are needed with it.
        box_pieces: How many are in a box; 1 for what is sold singly.
        boxes: How many boxes.
        box_kg: What a box weighs, kg; None for what is sold by number.
        sort: What the catalogue calls it.
        size: Its length and thickness as a shop has them; empty where its name says enough.
    """

    fastener: str
    finish: str
    pieces: int
    waste_percent: float
    to_buy: int
    box_pieces: int
    boxes: int
    box_kg: float | None
    sort: str
    size: str


@dataclass(frozen=True, slots=True)
class _Line:
    """What one row of the table is about: rows that agree in all of this are one."""

    stage: int
    fastener: str
    finish: str
    joint: str
    where: str
    counted: str
    source: str
    sort: str
    driven: str
    brief: str
    carries: bool


@lru_cache(maxsize=4)  # lists, pictures and sheets of one building ask for them
def fasteners(building: Building, put_up: PutUp = AS_DRAWN) -> tuple[Fastener, ...]:
    """The fasteners of a building by stage, joint and group; roofing screws by panel.

    What is built takes none any more.

    Args:
        building: The building.
        put_up: How its walls are put up.
    """
    done = done_stages(building)
    counts: dict[_Line, list[int]] = {}
    for line, pieces in (
        *_scheduled(building, put_up),
        *_lapped(building, put_up),
        *_connectors(building),
    ):
        counts.setdefault(line, []).append(pieces)
    return tuple(
        Fastener(
            line.fastener,
            line.finish,
            line.joint,
            line.where,
            line.stage,
            line.counted,
            len(pieces),
            sum(pieces),
            line.source,
            line.sort,
            line.driven,
            line.brief,
            line.carries,
        )
        for line, pieces in sorted(counts.items(), key=lambda item: item[0].stage)
        if line.stage not in done
    )


def boxes(rows: Sequence[Fastener], waste_percent: float) -> tuple[Box, ...]:
    """What is bought: rows of the same fastener and finish together, in order of first need.

    Args:
        rows: Fasteners of a building.
        waste_percent: Lost or bent of what comes in boxes; nothing is added to what is sold singly.
    """
    pieces: dict[tuple[str, str, str], int] = {}
    for row in rows:
        key = row.fastener, row.finish, row.sort
        pieces[key] = pieces.get(key, 0) + row.pieces
    bought = load_fastenings().bought
    found: list[Box] = []
    for (fastener, finish, sort), count in pieces.items():
        sold = bought.get(sort)
        in_boxes = sold is not None and sold.packs[0].pieces > 1
        lost_percent = waste_percent if in_boxes else 0.0
        to_buy = math.ceil(count * (100 + lost_percent) / 100 - 1e-9)
        pack = sold.pack_for(to_buy) if sold else Pack(1)
        found.append(
            Box(
                fastener,
                finish,
                count,
                lost_percent,
                to_buy,
                pack.pieces,
                math.ceil(to_buy / pack.pieces),
                pack.mass_kg,
                sort,
                sold.size if sold else "",
            )
        )
    return tuple(found)


def finish_of(asked: str, parts: Sequence[Part], *, outside: bool) -> str:
    """What a fastener is coated with, as the scene asks or as none need be.

    Args:
        asked: What the scene asks for where it matters.
        parts: What it goes through.
        outside: Whether it is rained on.
    """
    return asked if outside or any(part.material.treated for part in parts) else BRIGHT


def _scheduled(building: Building, put_up: PutUp) -> Iterator[tuple[_Line, int]]:
    units, asked = building.scene.units, building.scene.fasteners.finish
    fastenings = load_fastenings(units)
    parts = {part.name: part for part in building.parts}

    def behind(one: Fixed) -> list[Part]:
        if not one.row.through:
            return []
        return [parts[name] for other in one.others for name in building.mates[other.name]]

    for one in fixed(building):
        row = one.row
        if row.fastener is None or row.count is None:
            continue
        fastener, counted = row.fastener, _counted(one, row.count, building)
        if one.part.kind.row.bought is Bought.BOLT:
            fastener = bought_as(one.part)
        by_length = fastenings.bought[row.fastener].by_length
        if by_length:
            bolt = bolt_for(one, building)
            fastener = by_length.format(bolt.length_text(units))
            counted = f"{counted}, {bolt.text(units)}"
        line = _Line(
            _needed_at(one),
            fastener,
            finish_of(asked, [one.part, *one.others, *behind(one)], outside=row.outside),
            row.name,
            one.part.name if isinstance(row.count, ByRib) else one.part.group,
            counted,
            row.source,
            row.fastener,
            _driven(one, row.count),
            _brief(one, row.count, building),
            row.carries,
        )
        if isinstance(row.count, ByHole):
            hanger = f"joist hanger for {one.part.stock}"
            yield replace(line, fastener=hanger, sort=hanger, counted="one at each joint"), 1
            line = replace(line, source=fastenings.holes_source)
        if is_toe_nailed(one, put_up, building):
            yield _toe_nailed(line, units), TOE_NAILS
        else:
            yield line, one.pieces


def _lapped(building: Building, put_up: PutUp) -> Iterator[tuple[_Line, int]]:
    """Nails on each side of where a top plate ends under one that runs on, as at a splice."""
    asked = building.scene.fasteners.finish
    for lap in laps(building, put_up):
        row = lap.row
        assert row.fastener is not None
        assert isinstance(row.count, Each)
        line = _Line(
            lap.stage,
            row.fastener,
            finish_of(asked, [lap.plate], outside=row.outside),
            row.name,
            lap.plate.group,
            _each(row, row.count.number),
            row.source,
            row.fastener,
            f"{row.driven}-nailed",
            row.told,
            row.carries,
        )
        yield line, row.count.number


def bought_as(part: Part) -> str:
    """What a piece that is drawn is called among the fasteners; empty where it is none."""
    match part.kind.row.bought:
        case Bought.CONNECTOR:
            return part.stock
        case Bought.BOLT:
            return f"{part.stock} with nut and washer"
        case _:
            return ""


def _toe_nailed(line: _Line, units: Units) -> _Line:
    nail, source = TOE_NAIL, TOE_SOURCE
    driven = f"toe-nailed, {TOE_NAILS // 2} each side"
    if units == "metric":
        nail, source = load_fastenings().metric_names[nail], in_millimetres(source)
    return replace(
        line,
        fastener=nail,
        sort=nail,
        joint=TOE_NAILED.get(line.joint, line.joint),
        counted=f"{TOE_NAILS} at each place",
        driven=driven,
        brief=f"{TOE_NAILS} {driven}",
        source=source,
    )


def _needed_at(one: Fixed) -> int:
    """The stage that fixes it, or that casts it in before the plate it holds is there."""
    if one.part.kind == Kind.ANCHOR_BOLT:
        return one.part.stage
    return max(part.stage for part in (one.part, *one.others))


# What a connector is fixed to.
_CARRIES: dict[Family | Kind, str] = {
    Family.POST_METAL: "post",
    Family.ANGLES: "drilled anchor",
    Kind.TIE_DOWN: "rafter and bearing",
    Kind.FLOOR_TIE: "joist and skid or girder",
    Kind.RIDGE_STRAP: "pair of rafters that is strapped",
    Kind.STRAP: "stud or post that is strapped",
    Kind.GROUND_ANCHOR: "place along a skid or girder",
}


def _connectors(building: Building) -> Iterator[tuple[_Line, int]]:
    parts = {part.name: part for part in building.parts}
    asked = building.scene.fasteners.finish
    for part in building.parts:
        if part.kind.row.bought is not Bought.CONNECTOR:
            continue
        touched = [parts[name] for name in sorted(building.mates[part.name])]
        carries = _CARRIES.get(part.kind) or _CARRIES[part.kind.family]
        line = _Line(
            part.stage,
            part.stock,
            finish_of(asked, touched, outside=True),
            f"{part.kind} on {carries}",
            part.group,
            f"one on each {carries}",
            "as drawn",
            part.stock,
            driven="",
            brief="1",
            carries=True,
        )
        yield line, 1


def _counted(one: Fixed, count: Count, building: Building) -> str:
    """How a row of the schedule counts, for people."""
    units = building.scene.units
    match count:
        case Each(number):
            return _each(one.row, number)
        case InRows(spacing_mm):
            apart_mm = building.scene.walls.spacing if spacing_mm is None else spacing_mm
            return (
                f"every {format_length(apart_mm, units)} from end to end{_rows(one, count, units)}"
            )
        case OnSheet(edge_mm, field_mm):
            return (
                f"every {format_length(edge_mm, units)} at edges, "
                f"{format_length(field_mm, units)} between"
            )
        case OnGrid(side_mm):
            return f"one for each square of {format_length(side_mm, units)}"
        case ByRib():
            assert isinstance(one.part.record, PanelRecord)
            return (
                f"ribs {len(one.part.record.ribs_mm)}, "
                f"rows {len(screw_rows(one.part.length_mm))}; "
                "two screws at each rib in the end rows, one in the rows between"
            )
        case ByHole():
            return f"every hole of the hanger, {one.pieces} reckoned: read it off the one you buy"
        case _:
            assert_never(count)


def _each(row: Fastening, number: int) -> str:
    at = {"joint": "at each joint", "place": "at each place", "piece": "for each"}
    each = f"{number} to each length" if row.each_length else f"{number}"
    return f"{each} {at[row.per]}"


def _rows(one: Fixed, count: InRows, units: Units) -> str:
    """How many rows, and on what where narrow pieces have fewer than wide ones."""
    across_mm = one.part.across_mm[1]
    number = count.rows_on(across_mm)
    rows = f", {number} rows" if number > 1 else ""
    if count.wide_mm is None:
        return rows
    wide = format_length(count.wide_mm, units)
    return (
        f"{rows}, {wide} wide and over"
        if across_mm >= count.wide_mm
        else f"{rows}, under {wide} wide"
    )


def _driven(one: Fixed, count: Count) -> str:
    """How nails go in, and of toe-nails how many from which side.

    Half from each, of an odd number one more from one side. Source: IRC Table R602.3(1) item 6, of
    a rafter's three; of all others common practice, no source.
    """
    row = one.row
    if row.driven != "toe" or not isinstance(count, Each):
        return f"{row.driven}-nailed" if row.driven else ""
    number = count.number // row.ends
    fewer = number // 2
    even = number == 2 * fewer
    sides = f"{fewer} each side" if even else f"{number - fewer} one side, {fewer} the other"
    return f"toe-nailed{' at each end' if row.ends > 1 else ''}, {sides}"


def _brief(one: Fixed, count: Count, building: Building) -> str:
    """The same where there is little room, and how they are driven."""
    driven = _driven(one, count)
    if one.row.told:
        return one.row.told
    match count:
        case Each(number):
            if driven:
                return f"{number // one.row.ends} {driven}"
            return _counted(one, count, building)
        case ByRib():
            apart = format_length(SCREW_ROWS_MM, building.scene.units, "down")
            told = f"rows {apart} apart at most, 2 at a rib in the end rows, 1 between"
        case ByHole():
            told = "every hole of the hanger"
        case InRows() | OnSheet() | OnGrid():
            told = _counted(one, count, building).replace(" from end to end", "")
        case _:
            assert_never(count)
    return ", ".join(filter(None, (told, driven)))
