"""Whatever one output of a build comes to, the others are written and complete."""

from __future__ import annotations

import json
import os
import time
from dataclasses import dataclass
from fnmatch import fnmatch
from importlib import import_module
from pathlib import Path

import pytest

from command import DONE, NOT_MADE, Answer, everything, pikepole, written
from conftest import SCENES
from fuzzing import BUILDS
from pikepole_export.files.folder import RECORD
from pikepole_export.graphics import child as child_module
from pikepole_export.write.cards import files as cards_module
from pikepole_export.write.pictures import stages as pictures_module
from pikepole_export.write.pictures import strength as strength_module

PLAIN = SCENES["plain"]
DRAWN = f"{BUILDS},drawings"
ALL = f"{DRAWN},plans,spreadsheet,page,3mf,ifc"


@dataclass(frozen=True)
class Broken:
    """A function that fails.

    Attributes:
        module: Below pikepole_export; where it is looked up.
        name: Of the function.
        told: What the message calls what is missing.
        missing: The files that it costs, as patterns.
        only: What is built.
    """

    module: str
    name: str
    told: str
    missing: tuple[str, ...]
    only: str = BUILDS


_OUTPUTS, _TABLES = "cli.outputs", "write.tables"
BROKEN = (
    Broken(_OUTPUTS, "findings", "checks", ("summary.*",)),
    Broken(_OUTPUTS, "part_rows", "parts", ("parts.*", "counts.*", "weights.*", "summary.*")),
    Broken(_OUTPUTS, "weights", "weights", ("weights.*", "summary.*")),
    Broken(_OUTPUTS, "summary", "summary", ("summary.*",)),
    Broken(_OUTPUTS, "write_summary", "summary", ("summary.*",)),
    Broken(_OUTPUTS, "parts_table", "parts", ("parts.*",)),
    Broken(_OUTPUTS, "counts_table", "counts", ("counts.*",)),
    Broken(_OUTPUTS, "weights_table", "weights", ("weights.*",)),
    Broken(_OUTPUTS, "areas_table", "areas", ("areas.*",)),
    Broken(_OUTPUTS, "fasteners_table", "fasteners", ("fasteners.*",)),
    Broken(_OUTPUTS, "boxes_table", "boxes", ("boxes.*",)),
    Broken(_OUTPUTS, "list_fasteners", "fasteners", ("fasteners.*", "boxes.*")),
    Broken(_OUTPUTS, "every_strength", "checks of strength", ("checks.*",)),
    Broken(_OUTPUTS, "checks_table", "checks of strength", ("checks.*",)),
    Broken("write.models.kernel", "step_bytes", "STEP file", ("building.step",)),
    Broken(_OUTPUTS, "write_stl", "STL file", ("building.stl",)),
    Broken(_OUTPUTS, "write_glb", "GLB file", ("building.glb",)),
    Broken(_OUTPUTS, "list_to_buy", "buying list", ("buy.*",)),
    Broken(
        _OUTPUTS,
        "plan_cuts",
        "buying list, cut plan and drawings of boards and sheets",
        (
            "buy.*",
            "cuts.*",
            "stops.*",
            "sheets.*",
            "drawings/boards-*",
            "drawings/sheets-*",
            "drawings/index-*",
        ),
        DRAWN,
    ),
    Broken(f"{_TABLES}.buying", "buy_table", "buying list", ("buy.*",)),
    Broken(f"{_TABLES}.cutting", "cuts_table", "cut plan", ("cuts.*", "stops.*", "sheets.*")),
    Broken(f"{_TABLES}.sheets", "sheets_table", "cut plan", ("cuts.*", "stops.*", "sheets.*")),
    Broken("write.drawings.shaped", "write_templates", "drawings", ("drawings/*",), DRAWN),
    Broken("write.drawings.cutting", "write_cut_drawings", "drawings", ("drawings/*",), DRAWN),
    # Braces are bought as the lift plan says.
    Broken(
        "derive.lifting.plan", "lift_plan", "lift plan and cards", ("lift*", "moves.*", "buy.*")
    ),
    Broken("derive.moving.plan", "plan_moves", "plan of the move", ("moves.*",)),
    Broken(f"{_TABLES}.lifting", "lift_tables", "lift plan", ("lift*", "moves.*")),
    Broken(f"{_TABLES}.lifting", "moves_table", "lift plan", ("lift*", "moves.*")),
    Broken("write.plans.files", "floor_plan", "plans", ("plans/*",), "stl,plans"),
    # Half of the files are there by then.
    Broken("write.plans.files", "framing", "plans", ("plans/*",), "stl,plans"),
    Broken("write.plans.files", "dxf_bytes", "plans", ("plans/*",), "stl,plans"),
    Broken(
        f"{_TABLES}.spreadsheet",
        "write_spreadsheet",
        "spreadsheet",
        ("lists.xlsx",),
        "tables,spreadsheet",
    ),
    Broken("write.page.page", "write_page", "page", ("building.html",), "stl,page"),
    Broken("cli.page", "told", "page", ("building.html",), "stl,page"),
    Broken(_OUTPUTS, "write_3mf", "3MF file", ("building.3mf",), "stl,3mf"),
    Broken(_OUTPUTS, "write_ifc", "IFC file", ("building.ifc",), "stl,ifc"),
)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """All that is written when nothing fails."""
    folder = tmp_path_factory.mktemp("whole")
    assert pikepole("build", PLAIN, "-o", folder, "--only", ALL).code == DONE
    return everything(folder)


def _files_of(outputs: str, whole: dict[str, bytes]) -> dict[str, bytes]:
    """Those of some outputs, with the summary and the record."""
    record = json.loads(whole[RECORD])["files"]
    names = {name for output in (*outputs.split(","), "summary") for name in record[output]}
    return {name: data for name, data in whole.items() if name in names | {RECORD}}


def _write_back(files: dict[str, bytes], folder: Path) -> None:
    for name, data in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)


@pytest.mark.parametrize("broken", BROKEN, ids=lambda broken: f"{broken.module}.{broken.name}")
def test_what_fails_costs_only_itself(
    broken: Broken, whole: dict[str, bytes], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise RuntimeError("out of order")

    monkeypatch.setattr(import_module(f"pikepole_export.{broken.module}"), broken.name, fails)
    whole = _files_of(broken.only, whole)
    _write_back(whole, tmp_path / "there")
    lost = {name for name in whole if any(fnmatch(name, one) for one in broken.missing)}
    assert lost
    for place in ("new", "there"):
        answer = pikepole("build", PLAIN, "-o", tmp_path / place, "--only", broken.only)
        assert answer.code == NOT_MADE, answer.err
        said = " ".join(answer.err.split())
        assert f"Not made: {broken.told}: RuntimeError: out of order." in said
        assert "All else that was asked for is written and complete" in said
        there = written(tmp_path / place)
        # What an earlier build of the same scene made of it is as good as new.
        kept = set(there) & lost if place == "there" else set[str]()
        assert set(there) | {RECORD} == set(whole) - lost | kept
        changed = {name for name in there if there[name] != whole[name]}
        assert changed == {"summary.json"} - lost


# Programs in place of those that draw; each leaves its process number.
_DRAWERS = {
    "killed": "os.kill(os.getpid(), 9)",
    "leaving": "sys.exit('no such extension: EGL')",
    "hanging": "time.sleep(600)",
    "cheating": "pass",
}


def _build_with(
    drawer: str, only: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> tuple[Answer, Path, list[int]]:
    """A build whose pictures are drawn by one of these, and its cards by one that leaves."""
    for name, does in _DRAWERS.items():
        text = (
            "import os, sys, time\nfrom pathlib import Path\ndef draw(names, job):\n"
            f"    Path({str(tmp_path)!r}, f'{{os.getpid()}}.pid').touch()\n    {does}\n"
        )
        (tmp_path / f"{name}.py").write_text(text, encoding="utf-8")
    (tmp_path / "jobs").mkdir()
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "jobs"))
    monkeypatch.setattr(pictures_module, "CHILD", drawer)
    monkeypatch.setattr(cards_module, "CHILD", "leaving")
    monkeypatch.setattr(strength_module, "CHILD", drawer)
    folder = tmp_path / "out"
    answer = pikepole("build", PLAIN, "-o", folder, "--only", only)
    return answer, folder, [int(path.stem) for path in tmp_path.glob("*.pid")]


@pytest.mark.parametrize(
    ("drawer", "why"),
    [
        ("killed", "drawing was killed"),
        ("leaving", "drawing stopped (no such extension: EGL)"),
        ("hanging", "no answer in"),
        ("cheating", "01-foundation.png did not come out whole"),
    ],
)
def test_one_that_draws_no_picture_costs_only_pictures(
    drawer: str, why: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(child_module, "PATIENCE_S", 10.0 if drawer == "hanging" else 600.0)
    answer, folder, drew = _build_with(drawer, "stl,pictures,cards", tmp_path, monkeypatch)
    assert answer.code == NOT_MADE
    said = " ".join(answer.err.split())
    assert f"Not made: pictures: no picture was written: {why}" in said
    # Cards have their turn, whatever became of the pictures.
    assert "Not made: lift cards: no picture was written: drawing stopped (no such ext" in said
    assert set(written(folder)) == {"building.stl", "summary.json"}
    # Two share the pictures; cards have one more where one of these has died.
    assert len(drew) == (2 if drawer == "cheating" else 3)
    assert not list((tmp_path / "jobs").iterdir())
    for process in drew:
        _wait_for_end_of(process)


def test_a_frame_that_cannot_be_drawn_costs_only_its_picture(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    answer, folder, drew = _build_with("leaving", "calculations", tmp_path, monkeypatch)
    assert answer.code == NOT_MADE
    said = " ".join(answer.err.split())
    assert "Not made: picture: no picture was written: drawing stopped (no such ext" in said
    assert set(written(folder)) == {"calculations.html", "summary.json"}
    assert len(drew) == 1


def _wait_for_end_of(process: int) -> None:
    deadline = time.monotonic() + 30
    while time.monotonic() < deadline:
        try:
            os.kill(process, 0)
        except ProcessLookupError:
            return
        time.sleep(0.02)
    raise AssertionError(f"process {process} lives on")


@pytest.mark.parametrize(
    ("command", "module", "name", "told", "lost", "kept"),
    [
        (
            "cut",
            "write.drawings.shaped",
            "write_templates",
            "drawings",
            "drawings/*",
            "cuts.csv",
        ),
        (
            "cut",
            f"{_TABLES}.cutting",
            "cuts_table",
            "cut plan",
            "cuts.*",
            "drawings/patterns-1.svg",
        ),
        ("lift", "write.cards.files", "begin_cards", "lift cards", "lifts/*", "lifts.csv"),
    ],
)
def test_what_fails_in_a_command_costs_only_itself(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    command: str,
    module: str,
    name: str,
    told: str,
    lost: str,
    kept: str,
) -> None:
    def fails(*_: object) -> None:
        raise RuntimeError("out of order")

    monkeypatch.setattr(import_module(f"pikepole_export.{module}"), name, fails)
    answer = pikepole(command, PLAIN, "-o", tmp_path)
    assert answer.code == NOT_MADE, answer.err
    assert f"Not made: {told}: RuntimeError: out of order." in " ".join(answer.err.split())
    assert answer.out
    there = written(tmp_path)
    assert kept in there
    assert not [one for one in there if fnmatch(one, lost)]
