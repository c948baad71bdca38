"""`pikepole buy`: what to order, from whom, for which stage, and what it costs."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pikepole_export.cli.planning import PLAN_STEPS, Prove, lay_out_and_plan, list_to_buy
from pikepole_export.cli.words import ExitCode, Output, complain, refuse, say, wrapped
from pikepole_export.cli.work import SceneFile, read, steps
from pikepole_export.cli.writing import folder_option, placed_list, writing
from pikepole_model.errors import any_of

if TYPE_CHECKING:
    from pikepole_export.derive.buying.order import BuyList
    from pikepole_export.derive.buying.purchase import Supplier
    from pikepole_model.building.part import Building
    from pikepole_model.errors import Finding


def buy_command(
    scene: SceneFile,
    folder: Annotated[
        Path | None,
        folder_option("Also write the list there."),
    ] = None,
    prove: Prove = False,
    seller: Annotated[
        str | None,
        typer.Option(
            "--for",
            metavar="SUPPLIER",
            help='One supplier\'s page to quote on: "lumber yard". With -o also as CSV and .xlsx.',
        ),
    ] = None,
    quotes: Annotated[
        list[Path] | None,
        typer.Option(
            "--prices",
            metavar="FILE",
            help="Prices that a supplier filled in, .csv or .xlsx; give it again for each.",
        ),
    ] = None,
) -> None:
    """List what to buy: from whom, for which stage of the work, with how much waste.

    Prices stand under [[price]] in the scene or come with --prices. Boards and sheets are those of
    the plan that `pikepole cut` shows. Ends with exit code 0 when all is done, 1 when a price fits
    nothing or the materials go against common practice (the list is made all the same), 2 when the
    scene file, the folder or a quote is wrong or a piece cannot be cut, and 3 when a plan or a file
    could not be made.
    """
    checked = read(scene)
    from pikepole_model.checks.practice import practice_findings
    from pikepole_model.reading.found import with_tried_mends

    with steps(PLAN_STEPS + 2) as step:
        building, plans = lay_out_and_plan(scene, checked, step, prove=prove)
        step("Counting what else there is")
        buying = list_to_buy(building, plans)
    buying = _with_quotes(building, buying, quotes or [])
    supplier = _supplier(building, buying, seller)
    practice = with_tried_mends(practice_findings(building), building)
    written = _written(building, buying, folder, supplier) if folder else []
    if supplier:
        _say_page(building, buying, supplier)
    else:
        _say(building, buying, practice)
    say(written)
    if practice or buying.findings:
        raise typer.Exit(ExitCode.FINDINGS)


def _with_quotes(building: Building, buying: BuyList, files: Sequence[Path]) -> BuyList:
    """The list with the prices of quotes; ends the command where one does not belong to it."""
    from pikepole_export.cli.quotes import read_quote
    from pikepole_export.derive.buying.quote import QuoteError, check_quote, quoted

    for file in files:
        try:
            prices = check_quote(read_quote(file), buying, building.scene)
        except QuoteError as error:
            refuse(error)
            raise typer.Exit(ExitCode.BAD_INPUT) from None
        buying = quoted(buying, building, prices)
    return buying


def _supplier(building: Building, buying: BuyList, name: str | None) -> Supplier | None:
    """The supplier of that name; ends the command where nothing is bought from one."""
    from pikepole_export.derive.buying.quote import suppliers_of
    from pikepole_export.derive.buying.wording import in_words

    if name is None:
        return None
    found = {in_words(one.value, building.scene.english): one for one in suppliers_of(buying)}
    known = {**{one.value: one for one in found.values()}, **found}
    if (supplier := known.get(name.strip().casefold())) is None:
        complain(wrapped(f'--for "{name}": nothing is bought there; give {any_of(found)}'))
        raise typer.Exit(ExitCode.BAD_INPUT)
    return supplier


def _say_page(building: Building, buying: BuyList, supplier: Supplier) -> None:
    from pikepole_export.cli.buy_words import quote_page

    say(quote_page(building, buying, supplier))


def _say(building: Building, buying: BuyList, practice: Sequence[Finding]) -> None:
    from pikepole_export.cli.buy_words import beside, found, opening, purchases_list, stages_list

    say(
        [
            *opening(building, buying),
            *found(buying, practice),
            *purchases_list(building, buying),
            *stages_list(buying),
            *beside(buying, building.scene.units),
        ]
    )


def _written(
    building: Building, buying: BuyList, folder: Path, supplier: Supplier | None
) -> list[str]:
    from pikepole_export.derive.buying.wording import in_words
    from pikepole_export.write.tables.buying import buy_table, quote_table
    from pikepole_export.write.tables.csv_json import write_table
    from pikepole_export.write.tables.spreadsheet import write_spreadsheet

    scene = building.scene
    with writing(folder, scene) as staging:
        files = [*write_table(buy_table(buying, building), staging.path)]
        if supplier:
            name = f"quote-{in_words(supplier.value, scene.english).replace(' ', '-')}"
            page = quote_table(buying, supplier, scene, name)
            files += write_table(page, staging.path)
            files.append(write_spreadsheet([page], scene.units, staging.path, f"{page.name}.xlsx"))
        staging.add(Output.BUY, files)
        return placed_list(staging.put_in_place(), folder)
