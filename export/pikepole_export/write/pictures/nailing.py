"""What a stage is nailed with: those joints first, and all of them, that carry its pieces.

nailing(building, stage) -> what is said, or None
nailing_plate(what is said, size) -> the same as a flat drawing

All of it is read off the list of fasteners; joints that are nailed alike share a line. What is sold
singly stands with what is not drawn.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TypeAlias, TypedDict

from pikepole_export.derive.buying.fasteners import BRIGHT, Fastener, fasteners
from pikepole_export.derive.buying.schedule import fixed
from pikepole_export.derive.buying.wording import in_words
from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.lifting.sawn import put_up
from pikepole_export.graphics.lettering import feet_kept, wrapped
from pikepole_export.write.pictures.column import Line, fitting
from pikepole_export.write.pictures.plate import (
    LINE_PX,
    QUIET,
    TEXT_PX,
    Plate,
    blank,
    wide_px,
    write,
)
from pikepole_model.building.fastenings import Bought, load_fastenings
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Stage
from pikepole_model.scene.buying import Words as English

ENOUGH = 6  # joints, where fewer carry; all of them stand in the list
EDGE_PX = 22
ROW_PX = 22
# Where there is too little room for what decides, joints run on after the fastener that they take,
# in smaller letters: printed 10 in wide they are of 8 points, as in tables of the book.
SMALL_PX, SMALL_ROW_PX = 18, 20
BETWEEN = "\N{MIDDLE DOT}"  # joints that run on
NO_SOURCE = "no source"


# Words in a row, each with its place along it, px, and whether they stand out.
_Row: TypeAlias = list[tuple[float, str, bool]]


class NailedLine(TypedDict):
    """A fastener, which stands out, or below it joints that take it, and how many they are.

    The higher its rank, the less a line decides.
    """

    text: str
    bold: bool
    joints: int
    rank: int


class Nailing(TypedDict):
    """What is said of a stage: a heading, its lines, and how many of joints are enough of it."""

    head: str
    lines: list[NailedLine]
    enough: int


def nailing(building: Building, stage: Stage) -> Nailing | None:
    """Which fasteners go where, and how many at a time; None where it takes none.

    Args:
        building: That it belongs to.
        stage: The stage.
    """
    bought = load_fastenings(building.scene.units).bought
    boxed = [
        row
        for row in fasteners(building, put_up(building))
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
    count = max(ENOUGH, sum(rows[0].carries for rows in told))
    lines = list(_lines(told, bought, building.scene.english))
    return {
        "head": "Nailing" if all(bought[row.sort].nail_mm for row in boxed) else "Fastening",
        "lines": lines,
        "enough": sum(line["rank"] < count for line in lines if not line["bold"]),
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
    joints: Sequence[Sequence[Fastener]], bought: Mapping[str, Bought], english: English
) -> Iterator[NailedLine]:
    """Each fastener, and below it the joints that take it; those that decide most come first."""

    def printed(text: str) -> str:
        return feet_kept(in_words(text, english))

    found: dict[str, list[tuple[int, Sequence[Fastener]]]] = defaultdict(list)
    for rank, rows in enumerate(joints):
        found[rows[0].fastener].append((rank, rows))
    for name, own in found.items():
        coats = {_coat(rows) for _, rows in own}
        of_all = f", {coats.pop()}" if len(coats) == 1 else ""
        size = bought[own[0][1][0].sort].size
        text = f"{name} {size}".rstrip() + of_all.rstrip(", ")
        yield {"text": printed(text), "bold": True, "joints": 0, "rank": -1}
        alike: dict[tuple[str, str], list[tuple[int, str]]] = defaultdict(list)
        for rank, rows in own:
            alike[rows[0].brief, "" if of_all else _coat(rows)].append((rank, rows[0].joint))
        for how, ranked in alike.items():
            text = f"{'; '.join(joint for _, joint in ranked)}: {', '.join(filter(None, how))}"
            yield {
                "text": printed(text),
                "bold": False,
                "joints": len(ranked),
                "rank": ranked[0][0],
            }


def _coat(rows: Sequence[Fastener]) -> str:
    """What those of one joint are coated with; none need be where they are bright."""
    coats = {row.finish for row in rows} - {BRIGHT}
    some = any(row.finish == BRIGHT for row in rows)
    return " or ".join(sorted(coats)) + (" in treated wood" if coats and some else "")


def nailing_plate(said: Nailing, size: tuple[int, int]) -> Plate:
    """What is said of a stage, where it stands beside the views or below them.

    Args:
        said: By `nailing`.
        size: Width and height, px.
    """
    room, left_px = size[0] - EDGE_PX * 2, size[1] - EDGE_PX // 2 - LINE_PX
    rows, joints = _set(said, _listed, room, left_px // ROW_PX)
    high, row_px = TEXT_PX, ROW_PX
    if joints < said["enough"]:
        rows, _ = _set(said, _run_in, room, left_px // SMALL_ROW_PX)
        high, row_px = SMALL_PX, SMALL_ROW_PX
    plate = blank(size)
    write(plate, (EDGE_PX, LINE_PX), said["head"], ink=QUIET)
    for number, row in enumerate(rows, 1):
        for x, text, bold in row:
            at = EDGE_PX + x, LINE_PX + row_px * number
            write(plate, at, text, bold=bold, high=high)
    return plate


def _set(
    said: Nailing, way: Callable[[Sequence[Line], float], list[_Row]], room: float, most: int
) -> tuple[list[_Row], int]:
    """What is said in so many rows at most, and how many of its lines tell joints."""
    told, joints = fitting(said, lambda lines: len(way(lines, room)) <= most)
    return way(told, room), joints


def _listed(lines: Sequence[Line], room: float) -> list[_Row]:
    """A line below the other, joints set in below what is driven there."""
    return [
        [(0.0 if bold else EDGE_PX, text, bold)]
        for words, bold in lines
        for text in wrapped(words, room - EDGE_PX, lambda own, bold=bold: wide_px(own, bold))
    ]


def _run_in(lines: Sequence[Line], room: float) -> list[_Row]:
    """One after the other, in as few rows as that takes."""
    rows: list[_Row] = [[]]
    x, joint_before = 0.0, False
    for words, bold in lines:
        between = [BETWEEN] if joint_before else []
        joint_before = not bold
        for word, strong in [
            *((dot, False) for dot in between),
            *((w, bold) for w in words.split(" ")),
        ]:
            if x + wide_px(word, strong, SMALL_PX) > room:
                rows.append([])
                x = 0.0
            rows[-1].append((x, word, strong))
            x += wide_px(f"{word} ", strong, SMALL_PX)
    return rows
