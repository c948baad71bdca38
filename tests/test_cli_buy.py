"""`pikepole buy` as a builder meets it."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from command import BAD_INPUT, DONE, FINDINGS, Answer, pikepole
from conftest import SCENES
from pikepole_export.files.folder import RECORD

LOPSIDED = SCENES["lopsided"]


@pytest.fixture(scope="module")
def priced(tmp_path_factory: pytest.TempPathFactory) -> tuple[Answer, Path]:
    """The list of a hut with a few prices, and the folder that it is written to."""
    folder = tmp_path_factory.mktemp("buy")
    scene = folder / "hut.toml"
    prices = """
        [[price]]
        item = "7/16 OSB"
        price = 15.5

        [[price]]
        item = "brick"
        price = 1
    """
    # What stands before the first table of a scene is its own.
    text = LOPSIDED.read_text(encoding="utf-8").replace(
        "[building]", 'currency = "NZD"\n[building]'
    )
    scene.write_text(text + prices, encoding="utf-8")
    out = folder / "made" / "on the way"
    return pikepole("buy", scene, "-o", out), out


def _words(text: str) -> str:
    """Without the breaks of lines."""
    return " ".join(text.split())


def test_every_row_is_listed_under_its_supplier(priced: tuple[Answer, Path]) -> None:
    answer, folder = priced
    assert answer.code == FINDINGS, answer.err  # a brick is priced and not bought
    assert answer.err == ""  # no progress bar where there is no terminal
    data = json.loads((folder / "buy.json").read_text(encoding="utf-8"))
    heads = [one["supplier"].upper() for one in data["suppliers"]]
    places = [answer.out.index(f"\n{head}") for head in heads]
    assert places == sorted(places)
    for one in data["purchases"]:
        assert f"for stage {one['delivery_stage']}, {one['delivery']}" in answer.out
        # A long name goes on under its first line, with the numbers between.
        assert one["asked_for"].partition(",")[0].partition(" with ")[0] in _words(answer.out)


def test_totals_and_waste_are_told(priced: tuple[Answer, Path]) -> None:
    answer, folder = priced
    data = json.loads((folder / "buy.json").read_text(encoding="utf-8"))
    said = _words(answer.out)
    (sheets,) = (one for one in data["purchases"] if one["item"] == "7/16 OSB")
    assert data["total"] == pytest.approx(15.5 * sheets["ordered"])
    assert f"{data['total']:,.2f} NZD so far; {data['rows_without_price']} items unpriced" in said
    assert f"{data['waste_percent']:.1f}%, {data['waste_cost']:,.2f} NZD, is waste" in said
    for stage in data["stages"]:
        if stage["cost"]:
            assert f"{stage['number']} {stage['name']} {stage['cost']:,.2f} NZD" in said


def test_a_price_that_fits_nothing_is_told(priced: tuple[Answer, Path]) -> None:
    said = _words(priced[0].out)
    assert 'What fits nothing in the list 1. price[2]: "brick" fits nothing' in said
    assert said.index("What fits nothing") < said.index("LUMBER YARD")


def test_what_fits_nothing_is_found_before_anything_is_planned(
    priced: tuple[Answer, Path],
) -> None:
    _, folder = priced
    answer = pikepole("check", folder.parents[1] / "hut.toml")
    assert answer.code == FINDINGS
    assert '1. price[2]: "brick" fits nothing' in _words(answer.out)


def test_bright_fasteners_in_treated_timber_are_told(tmp_path: Path) -> None:
    scene = tmp_path / "bright.toml"
    text = SCENES["plain"].read_text(encoding="utf-8")
    scene.write_text(f'{text}\n[fasteners]\nfinish = "bright"\n', encoding="utf-8")
    answer = pikepole("buy", scene)
    assert answer.code == FINDINGS, answer.err
    assert 'Against common practice 1. fasteners.finish: is "bright"' in _words(answer.out)


def test_the_page_fits_its_columns(priced: tuple[Answer, Path]) -> None:
    *page, written = priced[0].out.splitlines()
    assert max(map(len, page)) < 80
    assert "buy.json" in written


def test_what_is_written_opens_in_a_spreadsheet(priced: tuple[Answer, Path]) -> None:
    _, folder = priced
    assert {path.name for path in folder.iterdir()} == {"buy.csv", "buy.json", RECORD}
    with (folder / "buy.csv").open(encoding="utf-8", newline="") as file:
        head, *rows = csv.reader(file, strict=True)
    assert "total (NZD)" in head
    assert {len(line) for line in rows} == {len(head)}


def test_without_prices_no_money_is_told() -> None:
    answer = pikepole("buy", LOPSIDED)
    assert answer.code == DONE, answer.err
    assert "No prices yet." in _words(answer.out)
    assert "Cost by stage" not in answer.out


def test_bad_input(tmp_path: Path) -> None:
    assert pikepole("buy", tmp_path / "nowhere.toml").code == BAD_INPUT
    file = tmp_path / "taken"
    file.write_text("", encoding="utf-8")
    assert pikepole("buy", LOPSIDED, "-o", file).code == BAD_INPUT
