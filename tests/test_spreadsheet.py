"""lists.xlsx, read by another library than wrote it, beside the CSV tables of the same build."""

from __future__ import annotations

import csv
import shutil
import subprocess
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from command import DONE, NOT_MADE, pikepole, written
from conftest import SCENES
from pikepole_export.write.tables.csv_json import Table
from pikepole_export.write.tables.spreadsheet import write_spreadsheet

FORMULAS = ("=1+1", "+1", "-1", "@SUM(A1)", "\t=1", '=HYPERLINK("x")', "http://x.org", "{=1}", "12")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("spreadsheet")
    only = "tables,buy,cuts,lifts,spreadsheet"
    answer = pikepole("build", SCENES["plain"], "-o", folder, "--only", only)
    assert answer.code == DONE, answer.err
    return folder


def sheets(path: Path) -> dict[str, Worksheet]:
    book = load_workbook(path)
    return {name: book[name] for name in book.sheetnames}


def values(sheet: Worksheet) -> list[list[Any]]:
    return [[cell.value for cell in row] for row in sheet.iter_rows()]


def lists(path: Path) -> Iterator[list[list[str]]]:
    """The lists of a CSV table, which an empty line parts."""
    found: list[list[str]] = []
    for line in csv.reader(path.read_text(encoding="utf-8").splitlines()):
        if line:
            found.append(line)
        else:
            yield found
            found = []
    yield found


def test_every_table_is_a_sheet_with_the_same_cells(folder: Path) -> None:
    read = sheets(folder / "lists.xlsx")
    tables = [one for path in folder.glob("*.csv") for one in lists(path)]
    assert len(read) == len(tables) == 14
    heads = {tuple(map(str, values(sheet)[0])): values(sheet) for sheet in read.values()}
    for head, *body in tables:
        _, *rows = heads[tuple(head)]
        assert len(rows) == len(body)
        for row, line in zip(rows, body, strict=True):
            for value, text in zip(row, line, strict=True):
                if isinstance(value, str):
                    assert value == text
                elif value is None:
                    assert text == ""
                else:
                    assert value == float(text)


def test_numbers_are_numbers_and_names_are_text(folder: Path) -> None:
    head, *rows = values(sheets(folder / "lists.xlsx")["parts"])
    for row in rows:
        cells = dict(zip(head, row, strict=True))
        assert isinstance(cells["name"], str)
        assert isinstance(cells["length (ft and in)"], str)
        assert isinstance(cells["length (in)"], int | float)
        assert isinstance(cells["mass likely (lb)"], int | float)


def test_the_header_stays_in_sight_and_columns_are_as_wide_as_their_text(folder: Path) -> None:
    for sheet in sheets(folder / "lists.xlsx").values():
        assert sheet.freeze_panes == "A2"
        # Neighbours that are as wide as one another are said once.
        widths = {
            number: one.width
            for one in sheet.column_dimensions.values()
            for number in range(one.min or 1, (one.max or 1) + 1)
        }
        for number, column in enumerate(sheet.iter_cols(), start=1):
            longest = max(len(str(cell.value or "")) for cell in column)
            width = widths[number]
            # In letters of the usual font, of which many are narrower than a figure.
            assert width >= min(0.8 * longest, 50), (sheet.title, column[0].value)


def test_no_text_is_a_formula_a_link_or_a_number(tmp_path: Path) -> None:
    table = Table("names", {"names": [["name", "length"], *([one, 1.5] for one in FORMULAS)]})
    read = sheets(write_spreadsheet([table], "metric", tmp_path))["names"]
    for text, (name, length) in zip(FORMULAS, list(read.iter_rows())[1:], strict=True):
        assert (name.data_type, name.value, name.hyperlink) == ("s", text, None)
        assert (length.data_type, length.value) == ("n", 1.5)


def test_a_text_too_long_for_a_cell_says_where_the_rest_is(tmp_path: Path) -> None:
    table = Table("cuts", {"boards to cut": [["cut"], ["stud; " * 10_000]]})
    read = sheets(write_spreadsheet([table], "metric", tmp_path))["boards to cut"]
    text = str(read["A2"].value)
    assert len(text) == 32_767
    assert text.endswith(" ... the rest is in cuts.csv")


def test_same_lists_same_bytes_and_no_time_in_them(folder: Path, tmp_path: Path) -> None:
    table = Table("names", {"names": [["name"], ["stud"]]})
    first = write_spreadsheet([table], "metric", tmp_path).read_bytes()
    assert write_spreadsheet([table], "metric", tmp_path).read_bytes() == first
    about = load_workbook(folder / "lists.xlsx").properties
    assert about.created == about.modified == datetime(2000, 1, 1)


def test_a_table_that_cannot_be_made_is_the_only_one_missing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise RuntimeError("out of order")

    monkeypatch.setattr("pikepole_export.cli.outputs.weights_table", fails)
    answer = pikepole("build", SCENES["plain"], "-o", tmp_path, "--only", "tables,spreadsheet")
    assert answer.code == NOT_MADE
    assert answer.err.count("Not made:") == 1
    assert "weights: RuntimeError: out of order" in " ".join(answer.err.split())
    assert "weights.csv" not in written(tmp_path)
    read = sheets(tmp_path / "lists.xlsx")
    assert "weights" not in read
    assert {"parts", "counts", "buy", "boards to cut", "lifts", "moves"} < set(read)


# As values, not as shown, every sheet into a file of its own: LibreOffice's help, "Filter Options
# for CSV".
_AS_VALUES = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1"


@pytest.mark.skipif(not shutil.which("soffice"), reason="LibreOffice is not there")
def test_libreoffice_reads_the_same(folder: Path, tmp_path: Path) -> None:
    own = f"-env:UserInstallation=file://{tmp_path}/settings"
    book = folder / "lists.xlsx"
    words = ("soffice", own, "--headless", "--convert-to", _AS_VALUES, "--outdir", tmp_path, book)
    subprocess.run(words, check=True, capture_output=True, timeout=300)
    for name, sheet in sheets(book).items():
        text = (tmp_path / f"lists-{name}.csv").read_text(encoding="utf-8")
        read = list(csv.reader(text.splitlines()))
        for line, row in zip(read, values(sheet), strict=True):
            for said, value in zip(line, row, strict=True):
                if isinstance(value, int | float):
                    assert float(said) == pytest.approx(value, rel=1e-12)
                else:
                    assert said == (value or "")
