"""The table of fasteners, read back, against counts by hand."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from clad import clad
from pikepole_export.derive.fasteners import fasteners
from pikepole_export.write.tables import write_fasteners
from pikepole_model.units import Units
from roofs import form

COLUMNS = ["fastener", "joint", "where", "counted", "pieces"]

# A monopitch 11 x 7 ft at 3:12 with overhangs of 9, 14 and, at each side, 10 in.
#
# Ribs: 132 + 2 x 10 in and the barge boards make some 153 in. Ribs 9 in apart from 1 in on:
# seventeen, the last at 145 in. A panel covers four of them: four panels have four, a fifth one.
# Rows: (84 + 9 + 14) in / cos 14.04 deg = 110.3 in, and fascias and an overhang of 1-1/2 in make
# some 113 in, 109 in between the end rows: five spaces of 24 in at most, six rows.
# A rib takes two screws in each of the two end rows, one in each of the four between: post-frame
# practice, no source.
RIBS = [4, 4, 4, 4, 1]
PIECES = [ribs * (2 + 1 + 1 + 1 + 1 + 2) for ribs in RIBS]
OVERHANGS = {"eave_overhang": "9 in", "high_overhang": "14 in", "rake_overhang": "10 in"}


@pytest.mark.parametrize("units", ["imperial", "metric"])
def test_roofing_screws_by_panel(units: Units, tmp_path: Path) -> None:
    building = form("monopitch", roof={"slope": "3:12", **OVERHANGS})
    people, programs = write_fasteners(fasteners(building), units, tmp_path)
    rows = json.loads(programs.read_text(encoding="utf-8"))
    assert [list(row) for row in rows] == [COLUMNS] * 5
    assert [row["where"] for row in rows] == [f"roof panel {number}" for number in range(1, 6)]
    assert [row["pieces"] for row in rows] == PIECES == [32, 32, 32, 32, 8]
    assert {(row["fastener"], row["joint"]) for row in rows} == {
        ("roofing screw with washer", "roof panel to roof sheet")
    }
    for row, ribs in zip(rows, RIBS, strict=True):
        assert row["counted"].startswith(f"ribs {ribs}, rows 6; ")
    with people.open(encoding="utf-8", newline="") as file:
        lines = list(csv.reader(file, strict=True))
    assert lines == [COLUMNS, *([str(cell) for cell in row.values()] for row in rows)]


def test_without_steel_the_table_is_there_and_empty(tmp_path: Path) -> None:
    people, programs = write_fasteners(fasteners(clad()), "imperial", tmp_path)
    assert people.read_bytes() == b"fastener,joint,where,counted,pieces\r\n"
    assert json.loads(programs.read_bytes()) == []
