"""A page to quote on goes out, is filled in, and comes back as prices, or is refused by line."""

from __future__ import annotations

import csv
from functools import cache
from itertools import groupby
from pathlib import Path

import pytest
from openpyxl import load_workbook

from command import BAD_INPUT, DONE, pikepole
from conftest import SCENES
from pikepole_export.cli.quotes import read_quote
from pikepole_export.derive.buying.order import BuyList
from pikepole_export.derive.buying.purchase import Supplier
from pikepole_export.derive.buying.quote import (
    QuoteError,
    QuoteLine,
    check_quote,
    quote_rows,
    quoted,
)
from pikepole_model.building.part import Building
from test_buy_list import shipped

PLAIN = SCENES["plain"]


@cache
def asked() -> tuple[Building, BuyList, list[QuoteLine]]:
    """The honey house's page for the lumber yard, as it comes back with nothing filled in."""
    building, buying = shipped("honey-house")
    rows = quote_rows(buying, Supplier.LUMBER, building.scene)
    return building, buying, [QuoteLine(n, str(r.item), r.order, "") for n, r in enumerate(rows, 2)]


def filled(price: str, at: int = 0) -> list[QuoteLine]:
    lines = [*asked()[2]]
    lines[at] = QuoteLine(lines[at].line, lines[at].item, lines[at].order, price)
    return lines


def test_a_page_has_every_row_of_its_supplier_and_no_other() -> None:
    building, buying, _ = asked()
    found: list[int] = []
    for supplier in Supplier:
        rows = quote_rows(buying, supplier, building.scene)
        assert all(buying.purchases[row.item - 1].supplier == supplier for row in rows)
        assert all(row.quantity and row.order and row.each for row in rows)
        found += [row.item for row in rows]
    assert sorted(found) == list(range(1, len(buying.purchases) + 1))


def test_sizes_of_one_thing_stand_together_on_a_page() -> None:
    building, buying, _ = asked()
    rows = quote_rows(buying, Supplier.LUMBER, building.scene)
    own = [buying.purchases[row.item - 1] for row in rows]
    things = [thing for thing, _ in groupby((one.item, one.made_of) for one in own)]
    assert len(things) == len(set(things))
    for _, some in groupby(own, key=lambda one: (one.item, one.made_of)):
        sizes = [one.size_mm for one in some]
        assert sizes == sorted(sizes)


@pytest.mark.parametrize(
    ("text", "price"),
    [("3.65", 3.65), ("3,65", 3.65), ("1,250.00", 1250.0), ("1.250,50", 1250.5), ("$ 12", 12.0)],
)
def test_a_price_goes_before_that_of_the_scene(text: str, price: float) -> None:
    building, buying, lines = asked()
    prices = check_quote(filled(text), buying, building.scene)
    number = int(lines[0].item)
    assert prices == {number: price}
    now = quoted(buying, building, prices)
    one, before = now.purchases[number - 1], buying.purchases[number - 1]
    assert one.unit_price == pytest.approx(price)
    assert one.total == pytest.approx(price * one.quantity)
    assert now.total == pytest.approx((buying.total or 0) - (before.total or 0) + (one.total or 0))
    # Stages share what is paid, each rounded to the hundredth.
    shares = sum(stage.cost or 0.0 for stage in now.stages)
    assert shares == pytest.approx(now.total, abs=0.01 * len(now.stages))


def test_rows_without_a_price_stay_as_they_are() -> None:
    building, buying, lines = asked()
    assert check_quote(lines, buying, building.scene) == {}
    assert quoted(buying, building, {}) == buying


@pytest.mark.parametrize(
    ("line", "place", "wrong"),
    [
        (QuoteLine(7, "999", "2x4", "1"), "line 7, item", "is no row of the list"),
        (QuoteLine(7, "x", "2x4", "1"), "line 7, item", "is no row of the list"),
        (QuoteLine(7, "2", "brick", "1"), "line 7, order", "is not what row 2 of the list asks"),
    ],
)
def test_other_rows_are_refused(line: QuoteLine, place: str, wrong: str) -> None:
    building, buying, _ = asked()
    with pytest.raises(QuoteError) as refused:
        check_quote([line], buying, building.scene)
    (problem,) = refused.value.problems
    assert problem.key == place
    assert problem.wrong.startswith(wrong)
    assert problem.mend


@pytest.mark.parametrize("price", ["-1", "nan", "on request", "1e99"])
def test_what_is_no_price_is_refused_by_line(price: str) -> None:
    building, buying, _ = asked()
    with pytest.raises(QuoteError, match=r"line 4, price = .*: is no price; give what one pc"):
        check_quote(filled(price, at=2), buying, building.scene)


def test_a_row_that_is_there_twice_is_refused() -> None:
    building, buying, _ = asked()
    with pytest.raises(QuoteError, match="is there twice"):
        check_quote([filled("1")[0], filled("2")[0]], buying, building.scene)


def test_out_and_back_by_both_kinds_of_file(tmp_path: Path) -> None:
    answer = pikepole("buy", PLAIN, "--for", "Lumber yard", "-o", tmp_path / "out")
    assert answer.code == DONE, answer.err
    assert "to the lumber yard, prices please" in answer.out
    assert "HARDWARE STORE" not in answer.out
    page = tmp_path / "out" / "quote-lumber-yard.csv"
    with page.open(encoding="utf-8", newline="") as file:
        head, *rows = csv.reader(file, strict=True)
    assert head == ["item", "quantity", "order", "each", "price each"]
    assert all(row[-1] == "" for row in rows)
    # A spreadsheet that writes commas in numbers writes semicolons between them.
    back = tmp_path / "back.csv"
    with back.open("w", encoding="utf-8-sig", newline="") as file:
        csv.writer(file, delimiter=";").writerows([head, *([*row[:-1], "2,50"] for row in rows)])
    book = load_workbook(page.with_suffix(".xlsx"))
    sheet = book.worksheets[0]
    for number in range(2, sheet.max_row + 1):
        sheet.cell(number, 5, 2.5)
    book.save(tmp_path / "back.xlsx")
    by_csv, by_book = read_quote(back), read_quote(tmp_path / "back.xlsx")
    assert [(one.item, one.order) for one in by_csv] == [(one.item, one.order) for one in by_book]
    assert {one.price for one in by_csv} == {"2,50"}
    assert {one.price for one in by_book} == {"2.5"}
    told = [pikepole("buy", PLAIN, "--prices", tmp_path / f"back.{end}") for end in ("csv", "xlsx")]
    assert [one.code for one in told] == [DONE, DONE]
    assert told[0].out == told[1].out
    assert "so far" in told[0].out


@pytest.mark.parametrize(
    ("name", "text", "wrong"),
    [
        ("quote.pdf", "item", "is no quote"),
        ("quote.xlsx", "item", "cannot be read"),
        ("quote.csv", "a,b\n1,2\n", "has no line of heads"),
        ("quote.csv", "", "has no line of heads"),
    ],
)
def test_what_is_no_quote_is_refused(tmp_path: Path, name: str, text: str, wrong: str) -> None:
    file = tmp_path / name
    file.write_text(text, encoding="utf-8")
    with pytest.raises(QuoteError, match=wrong):
        read_quote(file)
    with pytest.raises(QuoteError, match="cannot be read"):
        read_quote(tmp_path / "nowhere.csv")


def test_an_unknown_supplier_is_told_who_there_is() -> None:
    answer = pikepole("buy", PLAIN, "--for", "bakery")
    assert answer.code == BAD_INPUT
    assert '"lumber yard"' in " ".join(answer.err.split())
