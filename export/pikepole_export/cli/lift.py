"""`pikepole lift`: what each lift weighs, who and what it takes, and when helpers come."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import nullcontext
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pikepole_export.cli.words import ExitCode, Output, complain, refuse, say, wrapped
from pikepole_export.cli.work import SceneFile, lay_out, read, steps
from pikepole_export.cli.writing import Attempts, folder_option, placed_list, tell_missing, writing

if TYPE_CHECKING:
    from pikepole_export.derive.lifting.plan import LiftPlan
    from pikepole_export.derive.moving.plan import Moves
    from pikepole_export.graphics.child import Pictures
    from pikepole_model.building.part import Building


DRAWERS = 2  # processes that share the cards: more wait for memory


class By(StrEnum):
    """How the plan is sorted."""

    ORDER = "order"
    WEIGHT = "weight"


def lift_command(
    scene: SceneFile,
    part: Annotated[
        str | None,
        typer.Option(
            "--part",
            metavar="NAME",
            help='Only this piece, beam, wall, header or door leaf: "front beam".',
        ),
    ] = None,
    by: Annotated[
        By, typer.Option("--by", help="In order of building, or the heaviest first.")
    ] = By.ORDER,
    folder: Annotated[
        Path | None,
        folder_option("Also write tables and cards there."),
    ] = None,
) -> None:
    """Plan every lift: what it weighs, who and what it takes, and when helpers come.

    Who is there and what gear is at hand stands under [crew] in the scene, how the building is
    moved under [move]. Ends with exit code 0 when all is done, 2 when the scene file, the name or
    the folder is wrong, and 3 when a file could not be written.
    """
    checked = read(scene)
    from pikepole_export.derive.lifting.plan import lift_plan
    from pikepole_export.derive.lifting.validation import LiftError
    from pikepole_export.derive.moving.plan import plan_moves

    with _drawing() if folder else nullcontext() as drawing:
        with steps(2) as step:
            building, _ = lay_out(scene, checked, step)
            step("Planning every lift")
            plan = lift_plan(building)
            try:
                moves = plan_moves(building)
            except LiftError as error:
                refuse(error)
                raise typer.Exit(ExitCode.BAD_INPUT) from None
        said = _about(building, plan, part) if part else _whole(building, plan, moves, by)
        written: list[str] = []
        missing: Sequence[str] = ()
        if folder and drawing:
            written, missing = _written(building, plan, moves, folder, drawing)
    say([*said, *written])
    tell_missing(missing)


def _drawing() -> Pictures:
    """What the cards will be drawn with; it loads while the building is laid out."""
    from pikepole_export.write.cards.files import open_cards

    return open_cards(DRAWERS)


def _whole(building: Building, plan: LiftPlan, moves: Moves, by: By) -> list[str]:
    from pikepole_export.cli.carrying_words import carrying_block
    from pikepole_export.cli.lift_words import by_order, by_weight, calendar, opening
    from pikepole_export.cli.move_words import moves_table

    units = building.scene.units
    body = by_order(plan, units) if by == By.ORDER else by_weight(plan, units)
    carried = carrying_block(plan.carried, building.scene.delivery, units)
    moved = moves_table(building, moves) if building.scene.move is not None else ()
    return [*opening(building, plan), *body, *carried, *calendar(plan, units), *moved]


def _about(building: Building, plan: LiftPlan, name: str) -> list[str]:
    """What is said of one piece; ends the command where nothing is called that."""
    from pikepole_export.cli.part_words import about, close_to

    answer = about(building, plan, name)
    if answer is None:
        complain(wrapped(f"--part {name}: nothing is called that; {close_to(building, name)}"))
        raise typer.Exit(ExitCode.BAD_INPUT)
    return answer


def _written(
    building: Building, plan: LiftPlan, moves: Moves, folder: Path, drawing: Pictures
) -> tuple[list[str], Sequence[str]]:
    """What was written, and what could not be."""
    from pikepole_export.derive.lifting.cautions import cautions_of
    from pikepole_export.write.cards.files import begin_cards
    from pikepole_export.write.tables.csv_json import write_table
    from pikepole_export.write.tables.lifting import lift_tables, moves_table

    scene, units = building.scene, building.scene.units

    def write_tables() -> Iterable[Path]:
        moved = moves_table(moves, plan.cautions, units, scene.english)
        for table in (*lift_tables(plan, units), moved):
            yield from write_table(table, here)

    def begin() -> bool:
        begin_cards(drawing, building, plan, moves.plan, lambda lift: cautions_of(lift, units))
        return True

    def finish() -> list[Path]:
        return [here / name for name in drawing.finish(here)]

    with writing(folder, scene) as staging:
        attempt, here = Attempts(staging), staging.path
        begun = attempt(Output.CARDS.called, begin)
        lifts = attempt(Output.LIFTS.called, lambda: list(write_tables()))
        staging.add(Output.LIFTS, lifts or ())
        cards = attempt(Output.CARDS.called, finish) if begun else ()
        staging.add(Output.CARDS, cards or ())
        return placed_list(staging.put_in_place(), folder), attempt.missing
