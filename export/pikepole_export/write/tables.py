"""Tables: CSV for people, in the scene's units; JSON for programs, in mm, mm2, mm3 and kg.

    write_parts(rows, units, folder)        parts.csv, parts.json
    write_counts(rows, units, folder)       counts.csv, counts.json
    write_weights(weights, units, folder)   weights.csv, weights.json
    write_areas(rows, units, folder)        areas.csv, areas.json
    write_fasteners(rows, units, folder)    fasteners.csv, fasteners.json
    write_summary(summary, files, folder)   summary.json

Each returns the paths it wrote. CSV: UTF-8, comma, one header row with the unit of every number in
it, lines ended as RFC 4180 asks, which every spreadsheet reads. A blank means: does not apply. A
table of which a building has nothing is a header alone in CSV and an empty list in JSON.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from pikepole_export.derive.areas import Surface
from pikepole_export.derive.counts import Count
from pikepole_export.derive.fasteners import Fastener
from pikepole_export.derive.parts import PartRow
from pikepole_export.derive.summary import Summary
from pikepole_export.derive.weights import Weights
from pikepole_export.files import put
from pikepole_export.write._columns import (
    CENTRE,
    MASS,
    Cell,
    Column,
    cells,
    heads,
    masses,
    record,
    rounded,
)
from pikepole_model.units import Units

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
_WEIGHTS = (Column("name"), Column("parts"), MASS, CENTRE)
_AREAS = (
    Column("name"),
    Column("side"),
    Column("of"),
    Column("area", "area"),
    Column("primer area", "area"),
)
_FASTENERS = (
    Column("fastener"),
    Column("joint"),
    Column("where"),
    Column("counted"),
    Column("pieces"),
)


def write_parts(rows: Sequence[PartRow], units: Units, folder: Path) -> tuple[Path, Path]:
    """The list of parts. Placements are for programs, in JSON only."""
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
    return _both("parts", _lines(_PARTS, rows, units), programs, folder)


def write_counts(rows: Sequence[Count], units: Units, folder: Path) -> tuple[Path, Path]:
    """How many of what. In JSON there is either a length or an area."""
    programs = [
        {key: value for key, value in record(_COUNTS, row).items() if value is not None}
        for row in rows
    ]
    return _both("counts", _lines(_COUNTS, rows, units), programs, folder)


def write_weights(weights: Weights, units: Units, folder: Path) -> tuple[Path, Path]:
    """Weights added up. In CSV the first column says what a line is a total of."""
    totals = [
        ("building", weights.building),
        *(("kind", weight) for weight in weights.kinds),
        *(("group", weight) for weight in weights.groups),
        *((f"stage {number}", weight) for number, weight in weights.stages),
    ]
    people = [
        ["total of", *heads(_WEIGHTS, units)],
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
    return _both("weights", people, programs, folder)


def write_areas(rows: Sequence[Surface], units: Units, folder: Path) -> tuple[Path, Path]:
    """What there is to paint and to prime."""
    return _table("areas", _AREAS, rows, units, folder)


def write_fasteners(rows: Sequence[Fastener], units: Units, folder: Path) -> tuple[Path, Path]:
    """Fasteners by where they go."""
    return _table("fasteners", _FASTENERS, rows, units, folder)


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
        "centre_of_gravity_mm": _point(summary.centre_of_gravity_mm),
        "size_mm": _point(summary.size_mm),
        "heaviest_part": {"name": summary.heaviest_part, "mass_kg": masses(summary.heaviest_mass)},
        "stages": [
            {
                "number": stage.number,
                "name": stage.name,
                "parts": stage.parts,
                "mass_kg": masses(stage.mass),
                "running_mass_kg": masses(stage.running_mass),
                "centre_of_gravity_mm": _point(stage.centre_of_gravity_mm),
            }
            for stage in summary.stages
        ],
        "findings": {
            "overlaps": summary.findings.overlaps,
            "loose": summary.findings.loose,
            "other": summary.findings.other,
        },
        "files": [*files, name],
    }
    return put(folder / name, _json(programs))


def _table(
    name: str, columns: Sequence[Column], rows: Sequence[object], units: Units, folder: Path
) -> tuple[Path, Path]:
    programs = [record(columns, row) for row in rows]
    return _both(name, _lines(columns, rows, units), programs, folder)


def _lines(columns: Sequence[Column], rows: Sequence[object], units: Units) -> list[Sequence[Cell]]:
    return [heads(columns, units), *(cells(columns, row, units) for row in rows)]


def _both(
    name: str, people: Sequence[Sequence[Cell]], programs: Any, folder: Path
) -> tuple[Path, Path]:
    return (
        put(folder / f"{name}.csv", _csv(people)),
        put(folder / f"{name}.json", _json(programs)),
    )


def _csv(lines: Sequence[Sequence[Cell]]) -> bytes:
    text = io.StringIO(newline="")
    csv.writer(text).writerows(lines)
    return text.getvalue().encode()


def _json(data: Any) -> bytes:
    """Indented JSON in UTF-8; a list of records takes a line for each, so that they can be read."""
    if data and isinstance(data, list):
        lines = ",\n".join(json.dumps(record, ensure_ascii=False) for record in data)  # pyright: ignore[reportUnknownVariableType]
        return f"[\n{lines}\n]\n".encode()
    return (json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False) + "\n").encode()


def _point(values_mm: Sequence[float]) -> list[float]:
    return [rounded(value) for value in values_mm]
