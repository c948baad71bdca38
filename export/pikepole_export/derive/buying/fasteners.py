"""What holds the pieces together: how many fasteners go where, and how many boxes that takes.

    fasteners(building) -> tuple[Fastener, ...]     in order of the work
    boxes(rows, waste_percent) -> tuple[Box, ...]   what is bought, in the same order

Post bases and caps are in the list too, as what they are coated with is decided by the same rule:
what touches treated timber is hot-dip galvanised or stainless (IRC R317.3; ASTM A153, connectors
ASTM A653 G185). What is rained on is treated alike; the rest is bright.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from pikepole_export.derive.buying.bolts import bolt_for
from pikepole_export.derive.buying.schedule import Fixed, fixed
from pikepole_export.derive.buying.screws import panel_screws
from pikepole_model.building.fastenings import load_fastenings
from pikepole_model.building.kind_rows import Bought
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.units import Units, format_length

BRIGHT = "bright"


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


def fasteners(building: Building) -> tuple[Fastener, ...]:
    """The fasteners of a building by stage, joint and group; roofing screws by panel."""
    counts: dict[_Line, list[int]] = {}
    for line, pieces in (*_scheduled(building), *_connectors(building)):
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
        )
        for line, pieces in sorted(counts.items(), key=lambda item: item[0].stage)
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
        box_pieces = sold.box_pieces if sold else 1
        lost_percent = waste_percent if box_pieces > 1 else 0.0
        to_buy = math.ceil(count * (100 + lost_percent) / 100 - 1e-9)
        found.append(
            Box(
                fastener,
                finish,
                count,
                lost_percent,
                to_buy,
                box_pieces,
                math.ceil(to_buy / box_pieces),
                sold.box_kg if sold else None,
                sort,
            )
        )
    return tuple(found)


def finish_of(asked: str, parts: Sequence[Part], *, outside: bool) -> str:
    """What a fastener through these pieces is coated with, as the scene asks or as none need be."""
    return asked if outside or any(part.material.treated for part in parts) else BRIGHT


def _scheduled(building: Building) -> Iterator[tuple[_Line, int]]:
    units = building.scene.units
    asked = building.scene.fasteners.finish
    panels = {panel.name: panel for panel in panel_screws(building)}
    parts = {part.name: part for part in building.parts}

    def behind(one: Fixed) -> list[Part]:
        if not one.row.through:
            return []
        return [parts[name] for other in one.others for name in building.mates[other.name]]

    for one in fixed(building):
        row = one.row
        if row.fastener is None:
            continue
        panel = panels.get(one.part.name) if row.ribs else None
        if panel:
            counted = (
                f"ribs {len(panel.ribs_mm)}, rows {len(panel.rows_mm)}; "
                "two screws at each rib in the end rows, one in the rows between"
            )
        else:
            counted = _counted(one, building.scene.walls.spacing, units)
        pieces = [one.part, *one.others]
        fastener, bolt = _bought(one), bolt_for(one, building)
        if bolt:
            fastener = bolt.name(fastener, units)
            counted = f"{counted}, {bolt.text(units)}"
        line = _Line(
            _needed_at(one),
            fastener,
            finish_of(asked, [*pieces, *behind(one)], outside=row.outside),
            row.name,
            panel.name if panel else one.part.group,
            counted,
            row.source,
            row.fastener,
        )
        if row.hanger:
            hanger = f"joist hanger for {one.part.stock}"
            yield replace(line, fastener=hanger, sort=hanger, counted="one at each joint"), 1
            line = replace(line, source=load_fastenings().holes_source)
        yield line, one.pieces


def _needed_at(one: Fixed) -> int:
    """The stage that fixes it, or that casts it in before the plate it holds is there."""
    if one.part.kind == Kind.ANCHOR_BOLT:
        return one.part.stage
    return max(part.stage for part in (one.part, *one.others))


def _bought(one: Fixed) -> str:
    """What the fastener is called; an anchor bolt goes by the size that the scene gives."""
    if one.part.kind == Kind.ANCHOR_BOLT:
        return f"{one.part.stock} with nut and washer"
    return one.row.fastener or ""


def _connectors(building: Building) -> Iterator[tuple[_Line, int]]:
    parts = {part.name: part for part in building.parts}
    asked = building.scene.fasteners.finish
    for part in building.parts:
        if part.kind.row.bought is not Bought.CONNECTOR:
            continue
        touched = [parts[name] for name in sorted(building.mates[part.name])]
        line = _Line(
            part.stage,
            part.stock,
            finish_of(asked, touched, outside=True),
            f"{part.kind} on post",
            part.group,
            "one on each post",
            "as drawn",
            part.stock,
        )
        yield line, 1


def _counted(one: Fixed, studs_mm: float, units: Units) -> str:
    """How a row of the schedule counts, for people."""
    row = one.row
    if row.hanger:
        return f"every hole of the hanger, {one.pieces} reckoned: read it off the one you buy"
    if row.each is not None:
        at = {"joint": "at each joint", "place": "at each place", "piece": "for each"}[row.per]
        return f"{row.each} {at}"
    if row.spacing_mm is not None:
        spacing_mm = studs_mm if math.isnan(row.spacing_mm) else row.spacing_mm
        number = row.rows_on(one.part.across_mm[1])
        rows = f", {number} rows" if number > 1 else ""
        return f"every {format_length(spacing_mm, units)} from end to end{rows}"
    if row.edge_mm is not None and row.field_mm is not None:
        return (
            f"every {format_length(row.edge_mm, units)} at edges, "
            f"{format_length(row.field_mm, units)} between"
        )
    side = format_length(row.grid_mm or 0.0, units)
    return f"one for each square of {side}"
