"""`pikepole buy`: what to order, from whom, for which stage, and what it costs."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pikepole_export.cli.planning import PLAN_STEPS, Prove, lay_out_and_plan, list_to_buy
from pikepole_export.cli.words import ExitCode, Output, say
from pikepole_export.cli.work import LAY_OUT_STEPS, SceneFile, read, steps
from pikepole_export.cli.writing import folder_option, placed_list, writing

if TYPE_CHECKING:
    from pikepole_export.derive.buying.order import BuyList
    from pikepole_model.building.part import Building
    from pikepole_model.errors import Finding


def buy_command(
    scene: SceneFile,
    folder: Annotated[
        Path | None,
        folder_option("Also write the list there."),
    ] = None,
    prove: Prove = False,
) -> None:
    """List what to buy: from whom, for which stage of the work, with how much waste.

    Prices stand under [[price]] in the scene; without them the list has an empty price column for a
    supplier to fill in. Boards and sheets are those of the plan that `pikepole cut` shows. Ends
    with exit code 0 when all is done, 1 when a price fits nothing or the materials go against
    common practice (the list is made all the same), 2 when the scene file or the folder is wrong or
    a piece cannot be cut, and 3 when a plan or a file could not be made.
    """
    checked = read(scene)
    from pikepole_model.checks.practice import practice_findings

    with steps(LAY_OUT_STEPS + PLAN_STEPS + 1) as step:
        building, plans = lay_out_and_plan(scene, checked, step, prove=prove)
        step("Counting what else there is")
        buying = list_to_buy(building, plans)
    practice = practice_findings(building)
    written = _written(building, buying, folder) if folder else []
    _say(building, buying, practice)
    say(written)
    if practice or buying.findings:
        raise typer.Exit(ExitCode.FINDINGS)


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


def _written(building: Building, buying: BuyList, folder: Path) -> list[str]:
    from pikepole_export.write.tables.buying import buy_table
    from pikepole_export.write.tables.csv_json import write_table

    with writing(folder, building.scene) as staging:
        staging.add(Output.BUY, write_table(buy_table(buying, building), staging.path))
        return placed_list(staging.put_in_place(), folder)
