"""Tables: CSV for people, in the scene's units; JSON for programs, in mm, mm2, mm3 and kg.

    write_parts(rows, units, folder)        parts.csv, parts.json
    write_counts(rows, units, folder)       counts.csv, counts.json
    write_weights(weights, units, folder)   weights.csv, weights.json
    write_summary(summary, files, folder)   summary.json

Each returns the paths it wrote. CSV: UTF-8, comma, one header row with the unit of every number in
it, lines ended as RFC 4180 asks, which every spreadsheet reads. A blank means: does not apply.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any, TypeAlias

from pikepole_export.derive.counts import Count
from pikepole_export.derive.mass import Mass
from pikepole_export.derive.parts import PartRow
from pikepole_export.derive.summary import Summary
from pikepole_export.derive.weights import Weight, Weights
from pikepole_export.files import put
from pikepole_model.units import Quantity, Units, format_length, in_units, unit_symbol

# Far below what anybody measures or weighs, far above the noise of the arithmetic.
_DECIMALS = 6
# A matrix turns lengths of many metres: one more digit than a micrometre in a kilometre.
_MATRIX_DECIMALS = 10
# For people: a sixteenth is 0.0625 in, a letter weighs 0.02 kg.
_PEOPLE_DECIMALS: Mapping[Quantity, int] = {
    "length": 2,
    "run": 2,
    "area": 2,
    "volume": 4,
    "mass": 2,
}

Cell: TypeAlias = str | int | float
Row: TypeAlias = dict[str, Cell]


def write_parts(rows: Sequence[PartRow], units: Units, folder: Path) -> tuple[Path, Path]:
    """The list of parts. Placements are for programs, in JSON only."""
    people = [
        {
            "name": row.name,
            "kind": row.kind,
            "group": row.group,
            "stage": row.stage,
            "stock": row.stock,
            "material": row.material,
            **_number("breadth", row.section_mm and row.section_mm[0], "length", units),
            **_number("depth", row.section_mm and row.section_mm[1], "length", units),
            **_length("length", row.length_mm, units),
            **_number("width", row.sheet_mm and row.sheet_mm[0], "length", units),
            **_number("thickness", row.sheet_mm and row.sheet_mm[1], "length", units),
            "shape": row.shape,
            **_number("volume", row.volume_mm3, "volume", units),
            **_masses(row.mass, units),
            **_point(row.centre_of_gravity_mm, units),
        }
        for row in rows
    ]
    programs = [
        {
            "name": row.name,
            "kind": row.kind,
            "group": row.group,
            "stage": row.stage,
            "material": row.material,
            "section_mm": _rounded(row.section_mm) if row.section_mm else None,
            "length_mm": _round(row.length_mm),
            "shape": row.shape,
            "volume_mm3": _round(row.volume_mm3),
            "mass_kg": _mass(row.mass),
            "centre_of_gravity_mm": _rounded(row.centre_of_gravity_mm),
            "placement": [
                _rounded(line, _MATRIX_DECIMALS) for line in row.placement.matrix.tolist()
            ],
        }
        for row in rows
    ]
    return _both("parts", people, programs, folder)


def write_counts(rows: Sequence[Count], units: Units, folder: Path) -> tuple[Path, Path]:
    """How many of what."""
    people = [
        {
            "kind": row.kind,
            "stock": row.stock,
            "material": row.material,
            "pieces": row.pieces,
            "distinct shapes": row.distinct_shapes,
            **_number("total length", row.total_length_mm, "run", units),
            **_number("total area", row.total_area_mm2, "area", units),
            **_masses(row.mass, units),
        }
        for row in rows
    ]
    programs = [
        {
            "kind": row.kind,
            "stock": row.stock,
            "pieces": row.pieces,
            "distinct_shapes": row.distinct_shapes,
            **(
                {"total_length_mm": _round(row.total_length_mm)}
                if row.total_length_mm is not None
                else {"total_area_mm2": _round(row.total_area_mm2 or 0.0)}
            ),
            "mass_kg": _mass(row.mass),
        }
        for row in rows
    ]
    return _both("counts", people, programs, folder)


def write_weights(weights: Weights, units: Units, folder: Path) -> tuple[Path, Path]:
    """Weights added up. In CSV the first column says what a line is a total of."""
    totals = [
        ("building", weights.building),
        *(("kind", weight) for weight in weights.kinds),
        *(("group", weight) for weight in weights.groups),
        *((f"stage {number}", weight) for number, weight in weights.stages),
    ]
    people = [
        {
            "total of": what,
            "name": weight.name,
            "parts": weight.parts,
            **_masses(weight.mass, units),
            **_point(weight.centre_of_gravity_mm, units),
        }
        for what, weight in totals
    ]
    programs = {
        "building": _weight(weights.building),
        "kinds": [_weight(weight) for weight in weights.kinds],
        "groups": [_weight(weight) for weight in weights.groups],
        "stages": [{"number": number, **_weight(weight)} for number, weight in weights.stages],
    }
    return _both("weights", people, programs, folder)


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
        "mass_kg": _mass(summary.mass),
        "centre_of_gravity_mm": _rounded(summary.centre_of_gravity_mm),
        "size_mm": _rounded(summary.size_mm),
        "heaviest_part": {"name": summary.heaviest_part, "mass_kg": _mass(summary.heaviest_mass)},
        "stages": [
            {
                "number": stage.number,
                "name": stage.name,
                "parts": stage.parts,
                "mass_kg": _mass(stage.mass),
                "running_mass_kg": _mass(stage.running_mass),
                "centre_of_gravity_mm": _rounded(stage.centre_of_gravity_mm),
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


def _both(name: str, people: Sequence[Row], programs: Any, folder: Path) -> tuple[Path, Path]:
    return (
        put(folder / f"{name}.csv", _csv(people)),
        put(folder / f"{name}.json", _json(programs)),
    )


def _csv(rows: Sequence[Row]) -> bytes:
    text = io.StringIO(newline="")
    table = csv.DictWriter(text, list(rows[0]))
    table.writeheader()
    table.writerows(rows)
    return text.getvalue().encode()


def _json(data: Any) -> bytes:
    """Indented JSON in UTF-8; a list of records takes a line for each, so that they can be read."""
    if isinstance(data, list):
        lines = ",\n".join(json.dumps(record, ensure_ascii=False) for record in data)  # pyright: ignore[reportUnknownVariableType]
        return f"[\n{lines}\n]\n".encode()
    return (json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False) + "\n").encode()


def _number(name: str, value: float | None, quantity: Quantity, units: Units) -> Row:
    """One column headed with its unit; blank where there is no value."""
    head = f"{name} ({unit_symbol(quantity, units)})"
    if value is None:
        return {head: ""}
    return {head: _round(in_units(value, quantity, units), _PEOPLE_DECIMALS[quantity])}


def _length(name: str, length_mm: float, units: Units) -> Row:
    """A length as it is read off a tape, and as a number to reckon with."""
    number = _number(name, length_mm, "length", units)
    if units == "metric":
        return number
    return {f"{name} (ft and in)": format_length(length_mm, units), **number}


def _masses(mass: Mass, units: Units) -> Row:
    return {
        **_number("mass low", mass.low_kg, "mass", units),
        **_number("mass likely", mass.likely_kg, "mass", units),
        **_number("mass high", mass.high_kg, "mass", units),
    }


def _point(point_mm: Sequence[float], units: Units) -> Row:
    cells: Row = {}
    for axis, value in zip("xyz", point_mm, strict=True):
        cells |= _number(f"centre of gravity {axis}", value, "length", units)
    return cells


def _weight(weight: Weight) -> dict[str, Any]:
    return {
        "name": weight.name,
        "parts": weight.parts,
        "mass_kg": _mass(weight.mass),
        "centre_of_gravity_mm": _rounded(weight.centre_of_gravity_mm),
    }


def _mass(mass: Mass) -> dict[str, float]:
    return {
        "low": _round(mass.low_kg),
        "likely": _round(mass.likely_kg),
        "high": _round(mass.high_kg),
    }


def _rounded(values: Sequence[float], decimals: int = _DECIMALS) -> list[float]:
    return [_round(value, decimals) for value in values]


def _round(value: float, decimals: int = _DECIMALS) -> float:
    return round(float(value), decimals) + 0.0  # no minus zero
