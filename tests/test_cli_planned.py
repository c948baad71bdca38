"""What a build writes and says of buying and cutting, on the smallest scene."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from math import fsum, inf
from pathlib import Path
from typing import Any

import pytest

import pikepole_export.cli.outputs as outputs_module
from command import DONE, NOT_MADE, Answer, pikepole, written
from conftest import SCENES
from pikepole_export.cli.cut_words import in_short
from pikepole_export.cli.planning import CutPlans
from pikepole_export.cli.work import Step
from pikepole_export.derive.cutting.solver import Answer as Solved
from pikepole_export.derive.cutting.solver import Programme, SolverError
from pikepole_model.building.part import Building
from pikepole_model.errors import LayoutError
from planned import boards_once, built, refuse_to_plan, sheets_once

PLAIN = SCENES["plain"]
KINDS = "buy,cuts,drawings"
TABLES = [f"{name}.{end}" for name in ("buy", "cuts", "stops", "sheets") for end in ("csv", "json")]


def _read(file: Path) -> Any:
    return json.loads(file.read_text(encoding="utf-8"))


def _changed(folder: Path, *changes: tuple[str, str], more: str = "") -> Path:
    """The scene with some words of its file changed, and more after them."""
    text = PLAIN.read_text(encoding="utf-8")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    scene = folder / "scene.toml"
    scene.write_text(text + more, encoding="utf-8")
    return scene


def _said(answer: Answer, name: str) -> str:
    """What stands beside a name in the last words of a build."""
    (line,) = re.findall(rf"^  {name}  +(.*)$", answer.out, re.MULTILINE)
    return line


@pytest.fixture(scope="module")
def bought(tmp_path_factory: pytest.TempPathFactory) -> tuple[Answer, Path]:
    """The build of what has to do with buying, and its folder."""
    folder = tmp_path_factory.mktemp("bought")
    return pikepole("build", PLAIN, "-o", folder, "--only", KINDS), folder


@pytest.fixture(scope="module")
def priced(tmp_path_factory: pytest.TempPathFactory) -> tuple[Answer, Path]:
    """The same with the price of a skid, and one of something that is not bought."""
    folder = tmp_path_factory.mktemp("priced")
    prices = '\n[[price]]\nitem = "4x6"\ntreated = true\nprice = 3.5\nper = "ft"\n'
    prices += '\n[[price]]\nitem = "brick"\nprice = 1\n'
    scene = _changed(folder, ("\n[building]", '\ncurrency = "NZD"\n[building]'), more=prices)
    return pikepole("build", scene, "-o", folder / "out", "--only", KINDS), folder / "out"


def test_lists_and_drawings_are_listed_in_order(bought: tuple[Answer, Path]) -> None:
    answer, folder = bought
    assert answer.code == DONE, answer.err
    *files, last = _read(folder / "summary.json")["files"]
    assert last == "summary.json"
    assert files[: len(TABLES)] == TABLES
    drawings = files[len(TABLES) :]
    assert all(re.fullmatch(r"drawings/[a-z0-9-]+\.svg", file) for file in drawings)
    # Rafters are marked from a pattern before boards are cut.
    assert drawings.index("drawings/patterns-1.svg") < drawings.index("drawings/boards-1.svg")
    assert set(written(folder)) == {*files, last}
    assert len(files) == len(set(files))


def test_every_command_writes_the_same(bought: tuple[Answer, Path], tmp_path: Path) -> None:
    assert pikepole("buy", PLAIN, "-o", tmp_path).code == DONE
    assert pikepole("cut", PLAIN, "-o", tmp_path).code == DONE
    files = written(bought[1])
    del files["summary.json"]
    assert written(tmp_path) == files


@pytest.mark.parametrize("command", ["build", "cut"])
def test_drawings_that_are_no_more_are_taken_away(command: str, tmp_path: Path) -> None:
    longer = _changed(tmp_path, ('length = "8 ft"', 'length = "16 ft"'))
    assert pikepole("build", longer, "-o", tmp_path, "--only", KINDS).code == DONE
    before = {name for name in written(tmp_path) if name.startswith("drawings/")}
    (tmp_path / "drawings" / "my own.svg").write_text("<svg/>", encoding="utf-8")

    words = ("--only", KINDS) if command == "build" else ()
    assert pikepole(command, PLAIN, "-o", tmp_path, *words).code == DONE

    clean = tmp_path / "clean"
    assert pikepole("cut", PLAIN, "-o", clean).code == DONE
    drawn = {name for name in written(clean) if name.startswith("drawings/")}
    after = {name for name in written(tmp_path) if name.startswith("drawings/")}
    assert before - drawn
    assert after == {*drawn, "drawings/my own.svg"}


def test_only_drawings_are_written_where_nothing_else_is_asked_for(tmp_path: Path) -> None:
    assert pikepole("build", PLAIN, "-o", tmp_path, "--only", "drawings").code == DONE
    names = set(written(tmp_path)) - {"summary.json"}
    assert names
    assert all(name.startswith("drawings/") for name in names)


def test_plans_are_made_once_and_only_where_they_are_asked_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan_cuts, asked = outputs_module.plan_cuts, list[Building]()

    def plan(building: Building, step: Step) -> CutPlans:
        asked.append(building)
        return plan_cuts(building, step)

    monkeypatch.setattr(outputs_module, "plan_cuts", plan)
    assert pikepole("build", PLAIN, "-o", tmp_path, "--only", "tables,lifts,stl").code == DONE
    assert not asked
    assert pikepole("build", PLAIN, "-o", tmp_path, "--only", KINDS).code == DONE
    assert len(asked) == 1


def test_a_piece_longer_than_any_board_stops_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    refuse_to_plan(monkeypatch)
    scene = _changed(tmp_path, ("Bee feed box", "Box of short boards"))
    folder = tmp_path / "out"
    answer = pikepole("build", scene, "-o", folder, "--only", f"tables,{KINDS}")
    assert answer.code == NOT_MADE
    said = " ".join(answer.err.split())
    assert "Not made: buying list, cut plan and drawings of boards and sheets: " in said
    assert "rim joist 1" in said
    assert "longer than any stock" in said
    assert "All else that was asked for is written and complete" in said
    files = _read(folder / "summary.json")["files"]
    assert set(files) == set(written(folder))
    assert "parts.csv" in files
    assert "drawings/patterns-1.svg" in files
    assert not set(TABLES) & set(files)
    assert not [file for file in files if re.match("drawings/(boards|sheets)-", file)]
    assert "To buy" not in answer.out


def test_a_list_that_does_not_balance_stops_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def unbalanced(*_: object) -> None:
        raise LayoutError("rafter 1 is bought 2 times, not 1")

    monkeypatch.setattr(outputs_module, "list_to_buy", unbalanced)
    answer = pikepole("build", PLAIN, "-o", tmp_path, "--only", KINDS)
    assert answer.code == NOT_MADE
    assert "Not made: buying list: rafter 1 is bought 2 times" in " ".join(answer.err.split())
    files = set(written(tmp_path))
    assert {"cuts.csv", "sheets.csv"} < files
    assert "buy.csv" not in files


def test_last_words_say_how_much_there_is_to_buy(bought: tuple[Answer, Path]) -> None:
    answer, folder = bought
    buy = _read(folder / "buy.json")
    things = f"{len(buy['purchases'])} items from {len(buy['suppliers'])} suppliers"
    assert _said(answer, "To buy") == things
    # Without prices there is nothing to say of cost.
    assert not re.search(r"^  (Cost|Prices) ", answer.out, re.MULTILINE)


def test_last_words_say_what_is_left_over(bought: tuple[Answer, Path]) -> None:
    answer, folder = bought
    sections = _read(folder / "cuts.json")["sections"]
    stocks = _read(folder / "sheets.json")["stocks"]
    boards, sheets = (
        1 - fsum(one[f"used_{unit}"] for one in rows) / fsum(one[f"bought_{unit}"] for one in rows)
        for rows, unit in ((sections, "mm"), (stocks, "mm2"))
    )
    assert _said(answer, "Left over").startswith(
        f"{boards:.1%} of the boards' length and {sheets:.1%} of the sheets' area"
    )


def test_last_words_say_what_it_costs(priced: tuple[Answer, Path]) -> None:
    answer, folder = priced
    buy = _read(folder / "buy.json")
    # Two skids of 8 ft, as they come, at 3.50 a foot.
    assert buy["total"] == 56.0
    without = f"{buy['rows_without_price']} items unpriced"
    assert _said(answer, "Cost") == f"56.00 NZD, 0.0% of it waste; {without}"
    assert "fits nothing: nothing in the list is called that" in " ".join(answer.out.split())


@pytest.mark.parametrize(
    ("gap", "told"),
    # Rounded up to a tenth of a percent: a bound that is rounded down is none.
    [(0.0, None), (0.0121, "at most 1.3 %")],
)
def test_how_far_a_plan_may_be_above_the_least_is_told(gap: float, told: str | None) -> None:
    first, *others = boards_once(built("plain"))
    least = [plan for plan in others if plan.plan.gap == 0]
    assert least
    loose = replace(first, plan=replace(first.plan, bound=first.plan.bought_mm / (1 + gap)))
    rows = dict(in_short([loose, *least], ()))
    if told is None:
        assert "Cut plans" not in rows
    else:
        count = f"{len(least)} of {len(least) + 1}"
        assert rows["Cut plans"] == f"{count} cannot be bettered, the rest by {told}"


@pytest.mark.parametrize("search", ["solved", "whole"])
def test_a_solver_without_an_answer_stops_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, search: str
) -> None:
    def gives_up(*_: object, **__: object) -> Solved:
        if search == "whole":
            return Solved(inf, (), (), 0.0)
        raise SolverError("the solver gave no bound: out of breath")

    monkeypatch.setattr(Programme, search, gives_up)
    scene = _changed(tmp_path, ("Bee feed box", f"Box without {search}"))
    answer = pikepole("build", scene, "-o", tmp_path / "out", "--only", f"tables,{KINDS}")
    files = set(written(tmp_path / "out"))
    assert "parts.csv" in files
    if search == "whole":  # the quick plans are there, and how good they are is told
        assert answer.code == DONE, answer.err
        assert set(TABLES) < files
        return
    assert answer.code == NOT_MADE
    assert not set(TABLES) & files
    said = " ".join(answer.err.split())
    assert "Not made: buying list, cut plan and drawings of boards and sheets: " in said
    assert "the solver gave no bound: out of breath" in said
    assert "All else that was asked for is written and complete" in said
    answer = pikepole("cut", scene)
    assert (answer.code, answer.out) == (NOT_MADE, "")
    assert "out of breath" in answer.err


def test_what_is_left_over_of_nothing_is_not_told() -> None:
    assert in_short((), ()) == []
    name, text = in_short((), sheets_once(built("plain")))[0]
    assert name == "Left over"
    assert "sheets" in text
    assert "boards" not in text
