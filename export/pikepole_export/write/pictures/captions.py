"""What is written beside each picture: what a stage adds, its mass and its heaviest lift."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import TypedDict

from pikepole_export.derive.buying.purchase import Purchase, Supplier
from pikepole_export.derive.buying.supplies import bought_by_amount
from pikepole_export.derive.inventory.mass import NOTHING, Mass, part_mass
from pikepole_export.derive.inventory.summary import size_above_ground_mm
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.measures.bracing import bracing_words
from pikepole_export.derive.measures.edges_told import edge_words
from pikepole_export.derive.measures.leaf_drops import leaf_drops
from pikepole_export.derive.measures.notes import notes_of
from pikepole_export.derive.measures.ties_told import tie_words
from pikepole_export.derive.strength.leaning import leaning_words
from pikepole_export.files.whole import slug
from pikepole_export.graphics.lettering import feet_kept
from pikepole_export.write.pictures.block import Block, mass_text
from pikepole_export.write.pictures.pieces import piece_lines
from pikepole_export.write.pictures.rafter_cuts import rafter_cuts
from pikepole_export.write.pictures.raising import raising
from pikepole_export.write.pictures.undrawn import undrawn
from pikepole_model.building.kind_rows import Counted
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part, Stage
from pikepole_model.building.sequence import OVER_ENDS, UNDER_ENDS
from pikepole_model.units import (
    FOOT_MM,
    INCH_MM,
    Units,
    format_length,
    listed,
    plural,
)

GRID: dict[Units, tuple[float, str]] = {
    "metric": (1000.0, "1 m"),
    "imperial": (4 * FOOT_MM, "4 ft"),
}

# Materials that the ground is made up with.
STONE = ("gravel", "concrete")

CUTS = (
    "Cuts: along the top edge from its upper end; angles off square; birdsmouths seat x heel, at "
    "the heel line"
)


# What says where things go, in the order of the work.
SET_OUT = (edge_words, tie_words)


class PieceLine(TypedDict):
    """Pieces in one line, and the numbers that they have in the building.

    The line of what weighs most has the lowest rank.
    """

    text: str
    parts: list[int]
    rank: int


class Caption(TypedDict):
    """What is written beside one picture, and the file it goes to."""

    file: str
    over: str
    name: str
    notes: str
    pieces: list[PieceLine]
    blocks: list[Block]
    under: str


def captions(building: Building, heaviest: Mapping[int, Lift]) -> list[Caption]:
    """One for each stage, then the finished building's.

    Args:
        building: What is drawn.
        heaviest: The heaviest lift of each stage that has one, by its number.
    """
    units: Units = building.scene.units
    title = building.scene.title
    count = len(building.stages)
    numbers = {part.name: number for number, part in enumerate(building.parts)}
    besides, sawn, leaning = undrawn(building), rafter_cuts(building), leaning_words(building)
    # What comes by the load or the bag and becomes pieces.
    bulk = [
        one for one in bought_by_amount(building) if one.supplier is Supplier.GROUND and one.parts
    ]
    written: list[Caption] = []
    for stage in building.stages:
        lift = heaviest.get(stage.number)
        written.append(
            {
                "file": f"{stage.number:02}-{slug(stage.name)}.png",
                "over": f"{title}, stage {stage.number} of {count}",
                "name": f"{stage.number}  {stage.name}",
                "notes": _notes(building, stage),
                "pieces": _pieces(stage, building, numbers),
                "blocks": [
                    *_told("Bracing", tuple(_bracing(building, stage, leaning))),
                    *_told("Take care", tuple(_swings(building, stage))),
                    *_told(
                        "Set out",
                        [feet_kept(told) for words in SET_OUT for told in words(building, stage)],
                    ),
                    *_told(CUTS, sawn.get(stage.number, ())),
                    _totals(stage.parts, "added", units, tuple(_to_order(bulk, stage.number))),
                    *(raising(lift, building) if lift else ()),
                    *_told("Not drawn", besides.get(stage.number, ())),
                ],
                "under": _under(stage.parts, units),
            }
        )
    standing = building.finished.parts
    written.append(
        {
            "file": "finished.png",
            "over": plural(count, "stage"),
            "name": title,
            "notes": "",
            "pieces": [],
            "blocks": [_size(standing, units), _totals(standing, "in all", units)],
            "under": _under(standing, units),
        }
    )
    return written


def _pieces(stage: Stage, building: Building, numbers: Mapping[str, int]) -> list[PieceLine]:
    lines = [*piece_lines(stage.parts, building.scene)]
    heaviest = sorted(lines, key=lambda line: -_together(line.parts).likely_kg)
    return [
        {
            "text": line.text,
            "parts": [numbers[part.name] for part in line.parts],
            "rank": heaviest.index(line),
        }
        for line in lines
    ]


def _under(parts: Sequence[Part], units: Units) -> str:
    """The grid's size, and whether any was weighed."""
    grid = f"Ground grid {GRID[units][1]}"
    return f"{grid}; some of it weighed" if any(part.material.weighed for part in parts) else grid


def _totals(parts: Sequence[Part], when: str, units: Units, orders: Sequence[str] = ()) -> Block:
    """How many pieces and what they weigh: likely, between what, and how much is stone.

    Args:
        parts: The pieces.
        when: "added", "in all".
        units: Of masses.
        orders: How much is ordered of what they are cast or spread from.
    """
    count = plural(len(parts), "piece")
    if parts and all(part.kind.row.counted is Counted.NOT for part in parts):
        return {"head": count, "bold": ["already there"], "plain": ["weight not counted"]}
    mass = _together(parts)
    return {
        "head": f"{count} {when}",
        "bold": [mass_text(mass.likely_kg, units)],
        "plain": [*_range(mass, units), *_of_stone(parts, units), *orders],
    }


def _range(mass: Mass, units: Units) -> Iterator[str]:
    dry, wet = mass_text(mass.low_kg, units), mass_text(mass.high_kg, units)
    if dry != wet:
        yield f"dry {dry}, wet {wet}"


def _of_stone(parts: Sequence[Part], units: Units) -> Iterator[str]:
    """How much of the mass is gravel and concrete, cast in place or not."""
    of_each = {
        name: [part for part in parts if part.material.name == name]
        for name in STONE
        if any(part.material.name == name for part in parts)
    }
    if of_each:
        mass = _together([part for own in of_each.values() for part in own])
        yield f"{mass_text(mass.likely_kg, units)} of it {' and '.join(of_each)}"


def _to_order(bulk: Sequence[Purchase], stage: int) -> Iterator[str]:
    """Gravel and concrete as the buy list has them, and which stages share an order."""
    for one in bulk:
        if stage in one.stages:
            first = one.stages[0]
            if stage > first:
                yield f"{one.item} from what stage {first} orders"
                continue
            all_of_them = listed([str(number) for number in one.stages])
            shared = f", for stages {all_of_them}" if one.stages[1:] else ""
            much = (
                f"{plural(round(one.quantity), one.pack)} of {one.asked}"
                if one.pack
                else f"{one.item} {one.quantity:g} {one.unit}"
            )
            yield f"order {much}{shared}"


def _notes(building: Building, stage: Stage) -> str:
    """What to know before it, but for the strips that stand with what is not drawn."""
    notes = notes_of(building, stage)
    for note in (UNDER_ENDS, OVER_ENDS):
        notes = notes.replace(note.text, "")
    return " ".join(notes.split())


def _bracing(
    building: Building, stage: Stage, leaning: Mapping[str, Sequence[str]]
) -> Iterator[str]:
    """What walls that are framed want besides their sheathing, and posts besides their beams."""
    yield from bracing_words(building, {part.group for part in stage.parts})
    posts = (part.group for part in stage.parts if part.kind is Kind.POST)
    for group in dict.fromkeys(posts):
        yield from leaning.get(group, ())


def _swings(building: Building, stage: Stage) -> Iterator[str]:
    """Doors that swing out over a step down, those of one height together."""
    alike: dict[str, list[str]] = {}
    drops = leaf_drops(building.finished, {part.group for part in stage.parts})
    for name, drop_mm in drops.items():
        alike.setdefault(format_length(drop_mm, building.scene.units), []).append(name)
    for drop, names in alike.items():
        swing = "swings" if len(names) == 1 else "swing"
        yield (
            f"{' and '.join(names)} {swing} out over a step down of {drop}: stand clear, or build "
            "a landing as wide as the leaf at its sill (IRC R311.3.1)"
        )


def _told(head: str, lines: Sequence[str]) -> Iterator[Block]:
    """What there is to say under a heading, where there is anything."""
    if lines:
        yield {"head": head, "bold": [], "plain": list(lines)}


def _together(parts: Sequence[Part]) -> Mass:
    return sum((part_mass(part) for part in parts), NOTHING)


def _size(parts: Sequence[Part], units: Units) -> Block:
    """How much room the building takes above the ground, over everything."""
    sizes, ways = size_above_ground_mm(parts), ("long", "deep", "high")
    texts = [f"{_over_all(mm, units)} {way}" for mm, way in zip(sizes, ways, strict=True)]
    return {"head": "Over all", "bold": texts, "plain": []}


def _over_all(length_mm: float, units: Units) -> str:
    """To the nearest inch or centimetre: nothing is cut to it."""
    if units == "metric":
        return f"{math.floor(length_mm / 10 + 0.5) / 100:.2f} m"
    return format_length(math.floor(length_mm / INCH_MM + 0.5) * INCH_MM, units)
