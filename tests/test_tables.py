from __future__ import annotations

import csv
import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pikepole_export.derive.inventory.counts import counts
from pikepole_export.derive.inventory.parts import part_rows
from pikepole_export.derive.inventory.summary import summary
from pikepole_export.derive.inventory.weights import weights
from pikepole_export.write.tables.building import (
    counts_table,
    parts_table,
    weights_table,
    write_summary,
)
from pikepole_export.write.tables.csv_json import write_table
from pikepole_model.errors import Finding
from pikepole_model.units import Units
from samples import HIGH_MM, LOW_MM, SHAPES, expected_volume_mm3, sample_building

# International yard and pound agreement, 1959: exact.
INCH_MM, POUND_KG = 25.4, 0.45359237
# Half of the last digit that a table for people shows.
HALF_CENT = 0.005001
# JSON is rounded to a millionth.
MILLIONTH = 1e-6


def write_tables(folder: Path, units: Units) -> Path:
    building = sample_building(units)
    rows = part_rows(building)
    total = weights(building, rows)
    findings = (Finding("loose", "a block floats", ("block 1",)),)
    words = "American" if units == "imperial" else "British"
    write_table(parts_table(rows, units, words), folder)
    write_table(counts_table(counts(rows), units), folder)
    write_table(weights_table(total, units, words), folder)
    write_summary(summary(building, rows, total, findings), ["parts.csv", "parts.json"], folder)
    return folder


@pytest.fixture(scope="module")
def imperial(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_tables(tmp_path_factory.mktemp("imperial"), "imperial")


@pytest.fixture(scope="module")
def metric(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_tables(tmp_path_factory.mktemp("metric"), "metric")


def read_json(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


def read_csv(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def test_part_rows_for_programs(imperial: Path) -> None:
    building = sample_building()
    rows = read_json(imperial / "parts.json")
    assert len(rows) == 17
    for part, row in zip(building.parts, rows, strict=True):
        assert list(row) == [
            "name",
            "kind",
            "group",
            "stage",
            "material",
            "section_mm",
            "length_mm",
            "shape",
            "volume_mm3",
            "mass_kg",
            "balance_mm",
            "placement",
        ]
        assert row["name"] == part.name
        volume_mm3 = expected_volume_mm3(part.name)
        assert row["volume_mm3"] == pytest.approx(volume_mm3, abs=MILLIONTH)
        assert list(row["mass_kg"]) == ["low", "likely", "high"]
        masses_kg = [volume_mm3 * density / 1e9 for density in part.material.density_kg_m3]
        assert list(row["mass_kg"].values()) == pytest.approx(masses_kg, abs=MILLIONTH)
    assert len({row["shape"] for row in rows}) == SHAPES


def test_a_placement_puts_the_shape_where_the_part_is(imperial: Path) -> None:
    # Row major, columns the local axes and the origin: p = M (x, y, z, 1).
    building = sample_building()
    for part, row in zip(building.parts, read_json(imperial / "parts.json"), strict=True):
        matrix = np.array(row["placement"])
        assert matrix.shape == (4, 4)
        assert matrix[3].tolist() == [0.0, 0.0, 0.0, 1.0]
        assert np.linalg.det(matrix[:3, :3]) == pytest.approx(1.0, abs=1e-9)  # no mirror image
        local = np.c_[part.shape.mesh.vertices, np.ones(len(part.shape.mesh.vertices))]
        np.testing.assert_allclose((local @ matrix.T)[:, :3], part.vertices_mm, atol=1e-5)
        centre = matrix @ [*part.shape.centroid_mm, 1.0]
        assert row["balance_mm"] == pytest.approx(centre[:3].tolist(), abs=1e-5)


def test_known_rows(imperial: Path) -> None:
    rows = {row["name"]: row for row in read_json(imperial / "parts.json")}
    stud = rows["back wall stud 2"]
    assert (stud["kind"], stud["group"], stud["stage"]) == ("stud", "back wall", 3)
    assert stud["material"] == "spruce-pine-fir"
    assert (stud["section_mm"], stud["length_mm"]) == ([38.1, 88.9], 600.0)
    # Middle of a box from (580.95, 711.1, 334.15), 38.1 x 88.9 x 600.
    assert stud["balance_mm"] == pytest.approx([600.0, 755.55, 634.15], abs=MILLIONTH)
    assert rows["footing 1"]["section_mm"] is None


def test_parts_for_people_in_inches_and_pounds(imperial: Path) -> None:
    table = read_csv(imperial / "parts.csv")
    assert list(table[0]) == [
        "name",
        "kind",
        "group",
        "stage",
        "stock",
        "material",
        "breadth (in)",
        "depth (in)",
        "length (ft and in)",
        "length (in)",
        "width (in)",
        "thickness (in)",
        "shape",
        "volume (ft3)",
        "mass low (lb)",
        "mass likely (lb)",
        "mass high (lb)",
        "center of gravity x (in)",
        "center of gravity y (in)",
        "center of gravity z (in)",
    ]
    for line, row in zip(table, read_json(imperial / "parts.json"), strict=True):
        assert line["name"] == row["name"]
        length_in = row["length_mm"] / INCH_MM
        assert float(line["length (in)"]) == pytest.approx(length_in, abs=HALF_CENT)
        for bound in ("low", "likely", "high"):
            mass_lb = row["mass_kg"][bound] / POUND_KG
            assert float(line[f"mass {bound} (lb)"]) == pytest.approx(mass_lb, abs=HALF_CENT)
        for axis, value in zip("xyz", row["balance_mm"], strict=True):
            cell = float(line[f"center of gravity {axis} (in)"])
            assert cell == pytest.approx(value / INCH_MM, abs=HALF_CENT)
    stud = next(line for line in table if line["name"] == "back wall stud 1")
    # 600 mm is 23.622 in: 1 ft 11 in and 9.95 sixteenths.
    assert stud["length (ft and in)"] == "1' 11-5/8\""
    assert (stud["breadth (in)"], stud["depth (in)"]) == ("1.5", "3.5")
    footing = table[0]
    assert (footing["breadth (in)"], footing["depth (in)"]) == ("", "")


def test_parts_for_people_in_millimetres_and_kilograms(metric: Path) -> None:
    table = read_csv(metric / "parts.csv")
    assert "length (mm)" in table[0]
    assert not [head for head in table[0] if "(in)" in head or "(lb)" in head]
    for line, row in zip(table, read_json(metric / "parts.json"), strict=True):
        assert float(line["length (mm)"]) == pytest.approx(row["length_mm"], abs=HALF_CENT)
        likely_kg = row["mass_kg"]["likely"]
        assert float(line["mass likely (kg)"]) == pytest.approx(likely_kg, abs=HALF_CENT)


def test_programs_read_the_same_in_either_units(imperial: Path, metric: Path) -> None:
    for name in ("parts.json", "counts.json", "weights.json"):
        assert (imperial / name).read_bytes() == (metric / name).read_bytes()
    one, other = (read_json(folder / "summary.json") for folder in (imperial, metric))
    assert (one.pop("units"), other.pop("units")) == ("imperial", "metric")
    assert one == other


def test_counts(imperial: Path, metric: Path) -> None:
    rows = {(row["kind"], row["stock"]): row for row in read_json(imperial / "counts.json")}
    stud, sheet = rows["stud", "2x4"], rows["floor sheet", "23/32 plywood"]
    assert list(stud) == [
        "kind",
        "stock",
        "pieces",
        "distinct_shapes",
        "total_length_mm",
        "mass_kg",
    ]
    assert list(sheet) == [
        "kind",
        "stock",
        "pieces",
        "distinct_shapes",
        "total_area_mm2",
        "mass_kg",
    ]
    assert (stud["pieces"], stud["distinct_shapes"], stud["total_length_mm"]) == (3, 1, 1800.0)
    assert sheet["total_area_mm2"] == pytest.approx(1200 * 800 - 150 * 220, abs=MILLIONTH)
    feet = {(line["kind"], line["stock"]): line for line in read_csv(imperial / "counts.csv")}
    # 1800 mm is 5.906 ft, 0.927 m2 is 9.978 ft2.
    assert feet["stud", "2x4"]["total length (ft)"] == "5.91"
    assert feet["stud", "2x4"]["total area (ft2)"] == ""
    assert feet["floor sheet", "23/32 plywood"]["total area (ft2)"] == "9.98"
    metres = {(line["kind"], line["stock"]): line for line in read_csv(metric / "counts.csv")}
    assert metres["stud", "2x4"]["total length (m)"] == "1.8"
    assert metres["floor sheet", "23/32 plywood"]["total area (m2)"] == "0.93"


def test_weights(imperial: Path) -> None:
    total = read_json(imperial / "weights.json")
    parts = read_json(imperial / "parts.json")
    assert list(total) == ["building", "kinds", "groups", "stages"]
    assert [stage["number"] for stage in total["stages"]] == [1, 2, 3]
    for key, field in (("kinds", "kind"), ("groups", "group")):
        for weight in total[key]:
            members = [row for row in parts if row[field] == weight["name"]]
            assert weight["parts"] == len(members)
            likely_kg = sum(row["mass_kg"]["likely"] for row in members)
            assert weight["mass_kg"]["likely"] == pytest.approx(likely_kg, abs=17 * MILLIONTH)
            x_mm = (
                sum(row["mass_kg"]["likely"] * row["balance_mm"][0] for row in members) / likely_kg
            )
            assert weight["balance_mm"][0] == pytest.approx(x_mm, abs=1e-3)
    table = read_csv(imperial / "weights.csv")
    assert [line["total of"] for line in table if line["total of"].startswith("stage")] == [
        "stage 1",
        "stage 2",
        "stage 3",
    ]
    whole_lb = total["building"]["mass_kg"]["high"] / POUND_KG
    assert float(table[0]["mass high (lb)"]) == pytest.approx(whole_lb, abs=HALF_CENT)


def test_summary(imperial: Path) -> None:
    page = read_json(imperial / "summary.json")
    assert list(page) == [
        "title",
        "units",
        "parts",
        "shapes",
        "mass_kg",
        "balance_mm",
        "size_mm",
        "heaviest_part",
        "loft",
        "stages",
        "findings",
        "weighed",
        "files",
    ]
    assert (page["title"], page["parts"], page["shapes"]) == ("Hive stand", 17, SHAPES)
    sides = [high - low for low, high in zip(LOW_MM, HIGH_MM, strict=True)]
    assert page["size_mm"] == pytest.approx(sides, abs=MILLIONTH)
    assert list(page["heaviest_part"]) == ["name", "mass_kg"]
    assert [list(stage) for stage in page["stages"]] == 3 * [
        ["number", "name", "parts", "mass_kg", "running_mass_kg", "balance_mm"]
    ]
    assert page["stages"][-1]["running_mass_kg"] == page["mass_kg"]
    assert page["stages"][-1]["balance_mm"] == page["balance_mm"]
    assert page["findings"] == {"overlaps": 0, "loose": 1, "other": 0}
    assert page["files"] == ["parts.csv", "parts.json", "summary.json"]


def test_csv_is_what_spreadsheets_read(imperial: Path) -> None:
    # RFC 4180: lines end in CR LF, a field with a quote in it is quoted and the quote doubled.
    data = (imperial / "parts.csv").read_bytes()
    assert data.count(b"\r\n") == data.count(b"\n") == 18
    assert b',"1\' 11-5/8""",' in data
    assert not data.startswith(b"\xef\xbb\xbf")


def test_names_may_hold_any_letter(tmp_path: Path) -> None:
    row = replace(part_rows(sample_building())[0], name='Tür "zum Hof", links')
    people, programs = write_table(parts_table([row], "metric"), tmp_path)
    assert read_csv(people)[0]["name"] == row.name
    assert read_json(programs)[0]["name"] == row.name


def test_keys_are_spelled_alike_in_both_countries(tmp_path: Path) -> None:
    folder = write_tables(tmp_path, "imperial")
    for path in folder.glob("*.json"):
        keys = re.findall(r'"(\w+)": ', path.read_text(encoding="utf-8"))
        assert keys
        assert not [key for key in keys if re.search("cent(re|er)|colou?r|gr[ea]y|galvani", key)]
