"""`pikepole cut`: which boards and sheets to buy, and what is cut from each."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pikepole_export.cli.words import ExitCode, plural, refuse, say, wrapped
from pikepole_export.cli.work import LAY_OUT_STEPS, SceneFile, lay_out, read, steps
from pikepole_model.errors import OutputError

if TYPE_CHECKING:
    from pikepole_export.derive.cutting.cuts import SectionPlan
    from pikepole_export.derive.cutting.sheets import StockPlan
    from pikepole_model.part import Building
    from pikepole_model.scene.schema import Scene


def cut_command(
    scene: SceneFile,
    folder: Annotated[
        Path | None,
        typer.Option("-o", "--output", metavar="DIR", help="Also write tables and drawings there."),
    ] = None,
) -> None:
    """Plan what to buy and how to cut it: every board and every sheet.

    The plan is the cheapest where the scene gives prices, else the one that buys the least. What
    the saw takes, and how many seconds to look for each plan, stands under [cutting] in the scene.
    Ends with exit code 0 when all is done, 2 when the scene file or the folder is wrong or a piece
    cannot be cut, and 3 when a file could not be written.
    """
    checked = read(scene)
    from pikepole_export.derive.cutting.cuts import cut_plans
    from pikepole_export.derive.cutting.lengths import CutPlanError
    from pikepole_export.derive.cutting.sheets import sheet_plans

    with steps(LAY_OUT_STEPS + 2) as step:
        building, _ = lay_out(scene, checked, step)
        try:
            step("Planning the boards")
            boards = cut_plans(building)
            step("Planning the sheets")
            sheets = sheet_plans(building)
        except CutPlanError as error:
            refuse(error)
            raise typer.Exit(ExitCode.BAD_INPUT) from None
    _say(boards, sheets, building.scene)
    if folder is not None:
        _write(building, boards, sheets, folder)


def _say(boards: tuple[SectionPlan, ...], sheets: tuple[StockPlan, ...], scene: Scene) -> None:
    from pikepole_export.cli.cut_words import boards_list, opening, sheets_list

    say([*opening(scene), *boards_list(boards, scene), *sheets_list(sheets, scene)])


def _write(
    building: Building,
    boards: tuple[SectionPlan, ...],
    sheets: tuple[StockPlan, ...],
    folder: Path,
) -> None:
    from pikepole_export.files import make_folder
    from pikepole_export.write.cut_drawings import write_cut_drawings
    from pikepole_export.write.cut_tables import write_cuts, write_sheets
    from pikepole_export.write.drawings import write_templates

    scene = building.scene
    try:
        make_folder(folder)
    except OutputError as error:
        refuse(error)
        raise typer.Exit(ExitCode.BAD_INPUT) from None
    files = (*write_cuts(boards, scene, folder), *write_sheets(sheets, scene, folder))
    drawings = (
        *write_templates(building, folder),
        *write_cut_drawings(boards, sheets, scene, folder),
    )
    names = ", ".join(file.name for file in files)
    say(["", *wrapped(f"Written to {folder}: {names}, and {plural(len(drawings), 'drawing')}")])
