"""What a stage is nailed with: a line for each joint, those that carry its pieces first.

nailing(building, stage) -> what is said, or None
nailing_plate(what is said, size) -> the same as a flat drawing

All of it is read off the list of fasteners. What is sold singly stands with what is not drawn.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import TypedDict

from pikepole_export.derive.buying.fasteners import BRIGHT, Fastener, fasteners
from pikepole_export.derive.buying.schedule import fixed
from pikepole_export.derive.buying.wording import in_words
from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.graphics.lettering import NO_BREAK, wrapped
from pikepole_export.write.pictures.column import fitting
from pikepole_export.write.pictures.plate import LINE_PX, QUIET, Plate, blank, wide_px, write
from pikepole_model.building.fastenings import Bought, load_fastenings
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Stage

MOST = 6  # joints; all of them stand in the list
EDGE_PX = 22
NO_SOURCE = "no source"


class NailedLine(TypedDict):
    """A fastener, which stands out, or below it a joint that takes it."""

    text: str
    bold: bool


class Nailing(TypedDict):
    """What is said of a stage: a heading, its lines, and how many joints are left out."""

    head: str
    lines: list[NailedLine]
    more: int


def nailing(building: Building, stage: Stage) -> Nailing | None:
    """Which fasteners go where, and how many at a time; None where it takes none.

    Args:
        building: That it belongs to.
        stage: The stage.
    """
    bought = load_fastenings(building.scene.units).bought
    boxed = [
        row
        for row in fasteners(building)
        if row.stage == stage.number and row.sort in bought and bought[row.sort].packs[0].pieces > 1
    ]
    if not boxed:
        return None
    joints: dict[tuple[str, str, str], list[Fastener]] = defaultdict(list)
    for row in boxed:
        joints[row.fastener, row.joint, row.brief].append(row)
    main = _main_joints(building, stage)
    # What carries; of that what holds the stage's main pieces; of that what a published schedule
    # asks for; and of that what takes most.
    told = sorted(
        joints.values(),
        key=lambda rows: (
            not rows[0].carries,
            rows[0].joint not in main,
            NO_SOURCE in rows[0].source,
            -sum(row.pieces for row in rows),
        ),
    )
    return {
        "head": "Nailing" if all(bought[row.sort].nail_mm for row in boxed) else "Fastening",
        "lines": [
            {
                "text": in_words(text, building.scene.english).replace("' ", f"'{NO_BREAK}"),
                "bold": bold,
            }
            for text, bold in _lines(told[:MOST], bought)
        ],
        "more": len(told[MOST:]),
    }


def _main_joints(building: Building, stage: Stage) -> set[str]:
    """The joints that hold most of the kind of piece that weighs most of all that is put up."""
    weighs: dict[Kind, float] = defaultdict(float)
    for part in stage.parts:
        weighs[part.kind] += part_mass(part).likely_kg
    kind = max(weighs, key=lambda one: weighs[one])
    pieces = {part.name for part in stage.parts if part.kind is kind}
    held: dict[str, set[str]] = defaultdict(set)
    for one in fixed(building):
        held[one.row.name] |= pieces.intersection(part.name for part in (one.part, *one.others))
    return {joint for joint, own in held.items() if len(own) * 2 > len(pieces)}


def _lines(
    joints: Sequence[Sequence[Fastener]], bought: Mapping[str, Bought]
) -> Iterator[tuple[str, bool]]:
    """Each fastener, and below it the joints that take it."""
    found: dict[str, list[Sequence[Fastener]]] = defaultdict(list)
    for rows in joints:
        found[rows[0].fastener].append(rows)
    for name, own in found.items():
        coats = {_coat(rows) for rows in own}
        of_all = f", {coats.pop()}" if len(coats) == 1 else ""
        yield f"{name} {bought[own[0][0].sort].size}".rstrip() + of_all.rstrip(", "), True
        for rows in own:
            coat = "" if of_all else _coat(rows)
            yield ", ".join(filter(None, (f"{rows[0].joint}: {rows[0].brief}", coat))), False


def _coat(rows: Sequence[Fastener]) -> str:
    """What those of one joint are coated with; none need be where they are bright."""
    coats = {row.finish for row in rows} - {BRIGHT}
    some = any(row.finish == BRIGHT for row in rows)
    return " or ".join(sorted(coats)) + (" in treated wood" if coats and some else "")


def nailing_plate(said: Nailing, size: tuple[int, int]) -> Plate:
    """What is said of a stage, where it stands beside the views.

    Args:
        said: By `nailing`.
        size: Width and height, px.
    """
    room, high = size[0] - EDGE_PX * 3, size[1] - EDGE_PX // 2

    def rows(words: str, bold: bool) -> list[str]:
        return wrapped(words, room, lambda text: wide_px(text, bold))

    def count(words: str, bold: bool) -> int:
        return len(rows(words, bold))

    plate = blank(size)
    y = LINE_PX
    write(plate, (EDGE_PX, y), said["head"], ink=QUIET)
    for words, bold in fitting(said, count, (high - y) // LINE_PX):
        for text in rows(words, bold):
            y += LINE_PX
            # Joints are set in below what is driven there.
            write(plate, (EDGE_PX if bold else 2 * EDGE_PX, y), text, bold=bold)
    return plate
