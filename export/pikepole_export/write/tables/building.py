"""Tables: CSV for people, in the scene's units; JSON for programs, in mm, mm2, mm3 and kg.

    parts_table(rows, units, words)         parts
    counts_table(rows, units)               counts
    weights_table(weights, units, words)    weights
    areas_table(rows, units)                areas
    fasteners_table(rows, scene)            fasteners
    boxes_table(rows, scene)                boxes
    write_summary(summary, files, folder)   summary.json

CSV: UTF-8, comma, one header row with the unit of every number in
it, lines ended as RFC 4180 asks, which every spreadsheet reads. A blank means: does not apply. A
table of which a building has nothing is a header alone in CSV and an empty list in JSON.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

from pikepole_export.derive.buying.fasteners import Box, Fastener
from pikepole_export.derive.buying.wording import in_words
from pikepole_export.derive.inventory.areas import Surface
from pikepole_export.derive.inventory.counts import Count
from pikepole_export.derive.inventory.parts import PartRow
from pikepole_export.derive.inventory.summary import Summary
from pikepole_export.derive.inventory.weights import Weights
from pikepole_export.files.whole import put
from pikepole_export.write.tables.columns import (
    CENTRE,
    MASS,
    Column,
    cells,
    heads,
    lines,
    masses,
    record,
    rounded,
)
from pikepole_export.write.tables.csv_json import Table, in_json, plain_table
from pikepole_model.scene.buying import Words
from pikepole_model.scene.schema import Scene
from pikepole_model.units import Units

_Coated = TypeVar("_Coated", Fastener, Box)

# A matrix turns lengths of many metres: one more digit than a micrometre in a kilometre.
_MATRIX_DECIMALS = 10

_PARTS = (
    Column("name"),
    Column("kind"),
    Column("group"),
    Column("stage"),
    Column("stock", to="people"),
    Column("material"),
    Column("section", "length", ("breadth", "depth")),
    Column("length", "length", tape=True),
    Column("sheet", "length", ("width", "thickness"), to="people"),
    Column("shape"),
    Column("volume", "volume"),
    MASS,
    CENTRE,
)
_COUNTS = (
    Column("kind"),
    Column("stock"),
    Column("material", to="people"),
    Column("pieces"),
    Column("distinct shapes"),
    Column("total length", "run"),
    Column("total area", "area"),
    MASS,
)
_WEIGHTS = (
    Column("name"),
    Column("parts"),
    MASS,
    CENTRE,
    Column("parts weighed"),
    Column("weighed"),
)
_AREAS = (
    Column("name"),
    Column("side"),
    Column("of"),
    Column("area", "area"),
    Column("primer area", "area"),
)
_FASTENERS = (
    Column("fastener"),
    Column("finish"),
    Column("joint"),
    Column("where"),
    Column("stage"),
    Column("counted"),
    Column("driven"),
    Column("joints"),
    Column("pieces"),
    Column("source"),
)
_BOXES = (
    Column("fastener"),
    Column("finish"),
    Column("pieces"),
    Column("waste percent"),
    Column("to buy"),
    Column("box pieces"),
    Column("boxes"),
)


def parts_table(rows: Sequence[PartRow], units: Units, words: Words | None = None) -> Table:
    """The list of parts. Placements are for programs, in JSON only.

    Args:
        rows: What is listed.
        units: Of the CSV.
        words: Whose words stand over its columns.
    """
    programs = [
        {
            **record(_PARTS, row),
            "placement": [
                [rounded(number, _MATRIX_DECIMALS) for number in line]
                for line in row.placement.matrix.tolist()
            ],
        }
        for row in rows
    ]
    return Table("parts", {"parts": lines(_PARTS, rows, units, words)}, programs)


def counts_table(rows: Sequence[Count], units: Units) -> Table:
    """How many of what. In JSON there is either a length or an area.

    Args:
        rows: What is listed.
        units: Of the CSV.
    """
    programs = [
        {key: value for key, value in record(_COUNTS, row).items() if value is not None}
        for row in rows
    ]
    return Table("counts", {"counts": lines(_COUNTS, rows, units)}, programs)


def weights_table(weights: Weights, units: Units, words: Words | None = None) -> Table:
    """Weights added up. In CSV the first column says what a line is a total of.

    Args:
        weights: What is listed.
        units: Of the CSV.
        words: Whose words stand over its columns.
    """
    totals = [
        ("building", weights.building),
        *(("kind", weight) for weight in weights.kinds),
        *(("group", weight) for weight in weights.groups),
        *((f"stage {number}", weight) for number, weight in weights.stages),
    ]
    people = [
        ["total of", *heads(_WEIGHTS, units, words)],
        *([what, *cells(_WEIGHTS, weight, units)] for what, weight in totals),
    ]
    programs = {
        "building": record(_WEIGHTS, weights.building),
        "kinds": [record(_WEIGHTS, weight) for weight in weights.kinds],
        "groups": [record(_WEIGHTS, weight) for weight in weights.groups],
        "stages": [
            {"number": number, **record(_WEIGHTS, weight)} for number, weight in weights.stages
        ],
    }
    return Table("weights", {"weights": people}, programs)


def areas_table(rows: Sequence[Surface], units: Units) -> Table:
    """What there is to paint and to prime.

    Args:
        rows: What is listed.
        units: Of the CSV.
    """
    return plain_table("areas", _AREAS, rows, units)


def fasteners_table(rows: Sequence[Fastener], scene: Scene) -> Table:
    """Fasteners by where they go.

    Args:
        rows: What is listed.
        scene: For its units and its words.
    """
    return plain_table("fasteners", _FASTENERS, _in_words(rows, scene), scene.units)


def boxes_table(rows: Sequence[Box], scene: Scene) -> Table:
    """Fasteners as they are bought.

    Args:
        rows: What is listed.
        scene: For its units and its words.
    """
    return plain_table("boxes", _BOXES, _in_words(rows, scene), scene.units)


def _in_words(rows: Iterable[_Coated], scene: Scene) -> list[_Coated]:
    """What they are coated with, in the words of the scene."""
    return [replace(row, finish=in_words(row.finish, scene.english)) for row in rows]


def write_summary(summary: Summary, files: Iterable[str], folder: Path) -> Path:
    """The building on one page, for programs.

    Args:
        summary: What to write.
        files: What else was written, as paths from the folder.
        folder: Where to write it.

    Returns:
        The path of summary.json, which lists itself last.
    """
    name = "summary.json"
    programs = {
        "title": summary.title,
        "units": summary.units,
        "parts": summary.parts,
        "shapes": summary.shapes,
        "mass_kg": masses(summary.mass),
        "balance_mm": _point(summary.centre_of_gravity_mm),
        "size_mm": _point(summary.size_mm),
        "heaviest_part": {"name": summary.heaviest_part, "mass_kg": masses(summary.heaviest_mass)},
        "loft": summary.loft
        and {
            "live_load_kn_m2": rounded(summary.loft.live_load_kn_m2),
            "floor_area_mm2": rounded(summary.loft.floor_mm2),
        },
        "stages": [
            {
                "number": stage.number,
                "name": stage.name,
                "parts": stage.parts,
                "mass_kg": masses(stage.mass),
                "running_mass_kg": masses(stage.running_mass),
                "balance_mm": _point(stage.centre_of_gravity_mm),
            }
            for stage in summary.stages
        ],
        "findings": {
            "overlaps": summary.findings.overlaps,
            "loose": summary.findings.loose,
            "other": summary.findings.other,
        },
        "weighed": list(summary.weighed),
        "files": [*files, name],
    }
    return put(folder / name, in_json(programs))


def _point(values_mm: Sequence[float]) -> list[float]:
    return [rounded(value) for value in values_mm]
