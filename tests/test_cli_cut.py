"""`pikepole cut` as a builder meets it."""

from __future__ import annotations

import csv
import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from command import BAD_INPUT, DONE, Answer, pikepole
from conftest import SCENES
from pikepole_export.cli.cut_words import sheets_list
from pikepole_export.files.folder import RECORD
from planned import built, refuse_to_plan, sheets_once

PLAIN = SCENES["plain"]


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> tuple[Answer, Path]:
    """What is cut for the smallest scene, and the folder that it is written to."""
    folder = tmp_path_factory.mktemp("cut") / "made" / "on the way"
    return pikepole("cut", PLAIN, "-o", folder), folder


def test_what_to_buy_and_what_to_cut_is_listed(plan: tuple[Answer, Path]) -> None:
    answer, folder = plan
    assert answer.code == DONE, answer.err
    words = " ".join(answer.out.split())
    written = json.loads((folder / "cuts.json").read_text(encoding="utf-8"))
    for board in written["boards"]:
        for piece in board["pieces"]:
            # Those that are cut alike stand together: "floor joist 2 to 10".
            assert re.sub(r" \d+$", "", piece["part"]) in words
    sheets = json.loads((folder / "sheets.json").read_text(encoding="utf-8"))
    for sheet in sheets["sheets"]:
        for piece in sheet["pieces"]:
            assert piece["part"] in words
    assert "4x6, southern pine, treated: 2 of 8' 0\" for 2 pieces; 16.0 ft" in words
    assert '1/8"' in words  # the kerf
    assert answer.err == ""


def test_it_is_said_how_good_a_plan_is(plan: tuple[Answer, Path]) -> None:
    answer, folder = plan
    told = " ".join(answer.out.split())
    written = json.loads((folder / "cuts.json").read_text(encoding="utf-8"))["sections"]
    written += json.loads((folder / "sheets.json").read_text(encoding="utf-8"))["stocks"]
    count = sum(total["proven"] for total in written)
    assert "no plan can be better, but where it is said by how much" in told
    assert told.count("above the least") == len(written) - count
    assert count > 0


def test_a_proof_is_looked_for_where_it_is_asked_for(
    plan: tuple[Answer, Path], tmp_path: Path
) -> None:
    # A plan that mixes stages is the cheapest there is: only that can be proved to be. Where
    # pre-cut studs are bought, 92-5/8 in long, they are chosen before all else, which none covers.
    scene = tmp_path / "scene.toml"
    text = PLAIN.read_text(encoding="utf-8")
    scene.write_text(f"{text}\n[cutting]\nmix = true\n", encoding="utf-8")
    answer = pikepole("cut", scene, "--prove", "-o", tmp_path / "out")
    assert answer.code == DONE, answer.err
    for name, rows in (("cuts", "sections"), ("sheets", "stocks")):
        quick, proven = (
            json.loads((folder / f"{name}.json").read_text(encoding="utf-8"))[rows]
            for folder in (plan[1], tmp_path / "out")
        )
        assert all(row["proven"] for row in proven if not _has_studs(row))
        key = "bought_mm" if name == "cuts" else "bought_mm2"
        assert [one[key] <= other[key] for one, other in zip(proven, quick, strict=True)]


def _has_studs(row: dict[str, Any]) -> bool:
    return any(line.get("length_mm") == pytest.approx(92.625 * 25.4) for line in row.get("buy", ()))


def test_what_is_written_is_named(plan: tuple[Answer, Path]) -> None:
    answer, folder = plan
    files = {f"{name}.{end}" for name in ("cuts", "stops", "sheets") for end in ("csv", "json")}
    assert {path.name for path in folder.iterdir()} == {*files, "drawings", RECORD}
    assert list((folder / "drawings").glob("*.svg"))
    assert all(name in answer.out for name in files)


@pytest.mark.parametrize("name", ["cuts", "stops", "sheets"])
def test_csv_is_one_table(plan: tuple[Answer, Path], name: str) -> None:
    _, folder = plan
    with (folder / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        head, *rows = csv.reader(file)
    assert {len(row) for row in rows} == {len(head)}
    assert len(set(head)) == len(head)
    written = json.loads((folder / f"{name}.json").read_text(encoding="utf-8"))
    match name:
        case "cuts":
            # A row for each time that a board is taken in hand: once for each stage that it serves.
            stages = [{piece["stage"] for piece in one["pieces"]} for one in written["boards"]]
            assert len(rows) == sum(map(len, stages))
        case "stops":
            assert len(rows) == len(written)
        case _:
            assert len(rows) == len(written["sheets"])


def test_metric_scene_is_told_in_millimetres(tmp_path: Path) -> None:
    scene = tmp_path / "scene.toml"
    text = PLAIN.read_text(encoding="utf-8")
    text = text.replace('title = "Bee feed box"', 'title = "Bee feed box"\nunits = "metric"')
    scene.write_text(text, encoding="utf-8")
    answer = pikepole("cut", scene)
    assert answer.code == DONE, answer.err
    # A skid of 8 ft, 2438 mm, with both ends trimmed comes out of 2.7 m.
    assert "treated: 2 of 2700 mm for 2 pieces; 5.4 m" in " ".join(answer.out.split())


def test_prices_make_it_money(tmp_path: Path) -> None:
    scene = tmp_path / "scene.toml"
    price = '\n[[price]]\nitem = "4x6"\ntreated = true\nprice = 3\nper = "ft"\n'
    text = PLAIN.read_text(encoding="utf-8").replace("title", 'currency = "USD"\ntitle', 1)
    scene.write_text(text + price, encoding="utf-8")
    answer = pikepole("cut", scene)
    assert answer.code == DONE, answer.err
    # Two skids of 8 ft, as they come, at 3 a foot.
    assert "for 2 pieces; 48.00 USD\n" in answer.out


def test_a_skid_leaves_room_for_trimmed_ends(tmp_path: Path) -> None:
    """24 ft is the longest 4x6 there is: with an inch off each end one of 23 ft 11 in has two."""
    scene = tmp_path / "scene.toml"
    text = PLAIN.read_text(encoding="utf-8").replace('length = "8 ft"', 'length = "23 ft 11 in"')
    scene.write_text(text + '\n[cutting]\nend_trim = "1 in"\n', encoding="utf-8")
    answer = pikepole("cut", scene)
    assert answer.code == DONE, answer.err
    told = " ".join(answer.out.split())
    assert re.search("4x6, southern pine, treated: [^;]+ for 4 pieces;", told)


def test_a_piece_that_cannot_be_cut_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    refuse_to_plan(monkeypatch)
    scene = tmp_path / "scene.toml"
    text = PLAIN.read_text(encoding="utf-8").replace("Bee feed box", "Box of short boards")
    scene.write_text(text, encoding="utf-8")
    answer = pikepole("cut", scene)
    assert answer.code == BAD_INPUT
    assert answer.out == ""
    assert "rim joist 1" in answer.err
    assert "longer than any stock" in " ".join(answer.err.split())


def test_folder_that_is_a_file_is_refused(tmp_path: Path) -> None:
    there = tmp_path / "there"
    there.write_text("", encoding="utf-8")
    answer = pikepole("cut", PLAIN, "-o", there)
    assert answer.code == BAD_INPUT
    assert "there" in answer.err


def test_missing_scene_is_refused() -> None:
    answer = pikepole("cut", "nowhere.toml")
    assert answer.code == BAD_INPUT
    assert "nowhere.toml" in answer.err


def test_nothing_but_the_plan_goes_to_standard_output() -> None:
    """The solver writes past Python, so that only a process of its own shows it."""
    run = subprocess.run(
        [sys.executable, "-m", "pikepole_export", "cut", str(PLAIN)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        env={**os.environ, "COLUMNS": "80"},
        check=False,
    )
    assert run.returncode == DONE, run.stderr
    assert run.stdout.startswith("Bee feed box: boards and sheets.")
    assert "HiGHS" not in run.stdout
    assert run.stderr == ""


def test_pieces_of_a_sheet_that_are_alike_are_told_together() -> None:
    building = built("tool-store")
    plans = sheets_once(building)
    lines = sheets_list(plans, building)
    said = "\n".join(lines[next(k for k, line in enumerate(lines) if line[:5] == "Stage") :])
    sheets = re.findall(r"^    \d+: (.*(?:\n {8}.*)*)", said, re.MULTILINE)
    items = [item for sheet in sheets for item in " ".join(sheet.split()).split("; ")]
    rest = ("keep ", "shave ")
    pieces = [one for one in items if not one.startswith(rest) and not one.endswith(" left")]
    several = [re.search(r"(\d+) at .*: ", one) for one in pieces]
    assert any(several)
    told = sum(int(found[1]) if found else 1 for found in several)
    assert told == sum(plan.pieces for plan in plans)
    again = r"(?:^|; )([^;]* x [^;]* [a-z-]+) \d+; \1 \d+"
    assert not any(re.search(again, " ".join(sheet.split())) for sheet in sheets)
