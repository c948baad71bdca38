"""`pikepole cut`: which boards and sheets to buy, and what is cut from each."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from pikepole_export.cli.planning import (
    PLAN_STEPS,
    CutPlans,
    Prove,
    lay_out_and_plan,
    plan_tables,
    write_drawings,
)
from pikepole_export.cli.words import Output, say
from pikepole_export.cli.work import SceneFile, read, steps
from pikepole_export.cli.writing import Attempts, folder_option, placed_list, tell_missing, writing

if TYPE_CHECKING:
    from pikepole_model.building.part import Building


def cut_command(
    scene: SceneFile,
    folder: Annotated[
        Path | None,
        folder_option("Also write tables and drawings there."),
    ] = None,
    prove: Prove = False,
) -> None:
    """Plan what to buy and how to cut it: every board and every sheet.

    The plan is the cheapest found where the scene gives prices, else the one that buys the least,
    and says how much better one can be. What the saw takes stands under [cutting] in the scene.
    Ends with exit code 0 when all is done, 2 when the scene file or the folder is wrong or a piece
    cannot be cut, and 3 when a plan or a file could not be made.
    """
    checked = read(scene)
    with steps(PLAN_STEPS + 1) as step:
        building, plans = lay_out_and_plan(scene, checked, step, prove=prove)
    written, missing = _written(building, plans, folder) if folder else ([], [])
    _say(plans, building)
    say(written)
    tell_missing(missing)


def _say(plans: CutPlans, building: Building) -> None:
    from pikepole_export.cli.as_measured_words import as_measured
    from pikepole_export.cli.cut_words import boards_list, opening, sheets_list

    say(
        [
            *opening(building),
            *as_measured(building),
            *boards_list(plans.boards, building),
            *sheets_list(plans.sheets, building),
        ]
    )


def _written(building: Building, plans: CutPlans, folder: Path) -> tuple[list[str], Sequence[str]]:
    """What was written, and what could not be."""
    from pikepole_export.write.tables.csv_json import write_table

    def tables() -> list[Path]:
        made = plan_tables(plans, building)
        return [path for table in made for path in write_table(table, here)]

    with writing(folder, building.scene) as staging:
        attempt, here = Attempts(staging), staging.path
        for output, work in (
            (Output.CUTS, tables),
            (Output.DRAWINGS, lambda: write_drawings(building, plans, here).files),
        ):
            staging.add(output, attempt(output.called, work) or ())
        return placed_list(staging.put_in_place(), folder), attempt.missing
