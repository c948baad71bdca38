"""`pikepole buy`: what to order, from whom, for which stage, and what it costs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pikepole_export.cli.words import ExitCode, refuse, say, wrapped
from pikepole_export.cli.work import LAY_OUT_STEPS, SceneFile, lay_out, read, steps
from pikepole_model.errors import OutputError

if TYPE_CHECKING:
    from pikepole_export.derive.buying import BuyList
    from pikepole_model.part import Building


def buy_command(
    scene: SceneFile,
    folder: Annotated[
        Path | None,
        typer.Option("-o", "--output", metavar="DIR", help="Also write the list there."),
    ] = None,
) -> None:
    """List what to buy: from whom, for which stage of the work, with how much waste.

    Prices stand under [[price]] in the scene; without them the list has an empty price column for a
    supplier to fill in. Boards and sheets are those of the plan that `pikepole cut` shows. Ends
    with exit code 0 when all is done, 2 when the scene file or the folder is wrong or a piece
    cannot be cut, and 3 when a file could not be written.
    """
    checked = read(scene)
    from pikepole_export.derive.buying import buy_list
    from pikepole_export.derive.cutting.cuts import cut_plans
    from pikepole_export.derive.cutting.lengths import CutPlanError
    from pikepole_export.derive.cutting.sheets import sheet_plans

    with steps(LAY_OUT_STEPS + 3) as step:
        building, _ = lay_out(scene, checked, step)
        try:
            step("Planning the boards")
            boards = cut_plans(building)
            step("Planning the sheets")
            sheets = sheet_plans(building)
        except CutPlanError as error:
            refuse(error)
            raise typer.Exit(ExitCode.BAD_INPUT) from None
        step("Counting what else there is")
        buying = buy_list(building, boards, sheets)
    _say(building, buying)
    if folder is not None:
        _write(building, buying, folder)


def _say(building: Building, buying: BuyList) -> None:
    from pikepole_export.cli.buy_words import beside, opening, purchases_list, stages_list

    say(
        [
            *opening(building, buying),
            *purchases_list(building, buying),
            *stages_list(buying),
            *beside(buying),
        ]
    )


def _write(building: Building, buying: BuyList, folder: Path) -> None:
    from pikepole_export.files import make_folder
    from pikepole_export.write.buy_tables import write_buy

    try:
        make_folder(folder)
    except OutputError as error:
        refuse(error)
        raise typer.Exit(ExitCode.BAD_INPUT) from None
    names = ", ".join(file.name for file in write_buy(buying, building, folder))
    say(["", *wrapped(f"Written to {folder}: {names}")])
