"""The command line as a user meets it: what it writes, what it says, how it ends."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

import pikepole_model.build as build_module
from command import BAD_INPUT, DONE, FINDINGS, NOT_MADE, Answer, pikepole, written
from conftest import SCENES
from pikepole_export.cli.words import Output
from pikepole_export.write.cards import files as cards_module
from pikepole_export.write.pictures import stages as pictures_module
from pikepole_model.building.contact import Contact, find_contacts
from pikepole_model.building.part import Building
from pikepole_model.scene.schema import Scene

README = Path(__file__).parents[1] / "README.md"
HONEY_HOUSE = SCENES["honey-house"]
LOPSIDED = SCENES["lopsided"]

TABLES = {
    f"{table}.{ending}"
    for table in ("parts", "counts", "weights", "areas", "fasteners", "boxes", "checks")
    for ending in ("csv", "json")
}
LIFTS = {"lifts.csv", "lifts.json", "moves.csv", "moves.json", "lift-cautions.csv"}
BOUGHT = {"buy.csv", "buy.json"}
CUT = {"cuts.csv", "cuts.json", "stops.csv", "stops.json", "sheets.csv", "sheets.json"}
SHARED = {"building.step", "building.stl", "building.glb"}
OPENED = {"handbook.pdf", "building.html", "lists.xlsx"}


def listed(folder: Path) -> list[str]:
    return json.loads((folder / "summary.json").read_text(encoding="utf-8"))["files"]


@pytest.fixture(scope="session")
def honey_house_run(tmp_path_factory: pytest.TempPathFactory) -> tuple[Answer, Path]:
    """The command of the README, run once for all tests that look at what it did."""
    folder = tmp_path_factory.mktemp("build") / "made" / "on the way"
    return pikepole("build", HONEY_HOUSE, "-o", folder), folder


@pytest.fixture
def broken(honey_house: Building, monkeypatch: pytest.MonkeyPatch) -> str:
    """Makes every build come out with one stud half a metre too high; returns the stud's name."""
    stud = next(part for part in honey_house.parts if part.name.startswith("front wall stud"))
    x, y, z = stud.placement.origin
    raised = replace(stud, placement=replace(stud.placement, origin=(x, y, z + 500.0)))

    def swap(parts: tuple[object, ...]) -> tuple[object, ...]:
        return tuple(raised if part is stud else part for part in parts)

    building = replace(
        honey_house,
        parts=swap(honey_house.parts),
        stages=tuple(replace(stage, parts=swap(stage.parts)) for stage in honey_house.stages),
    )

    def build(_: Scene) -> tuple[Building, tuple[Contact, ...]]:
        return building, find_contacts(building.parts)

    monkeypatch.setattr(build_module, "build_with_contacts", build)
    return stud.name


def test_build_writes_what_the_summary_lists(honey_house_run: tuple[Answer, Path]) -> None:
    answer, folder = honey_house_run
    assert answer.code == DONE, answer.err
    files = listed(folder)
    assert set(files) == set(written(folder))
    assert len(files) == len(set(files))
    loose = {file for file in files if "/" not in file}
    assert loose == {*TABLES, *BOUGHT, *CUT, *LIFTS, *SHARED, *OPENED, "summary.json"}
    # Drawings, plans and cards are in the book.
    assert {file.partition("/")[0] for file in set(files) - loose} == {"stages"}
    assert files[-1] == "summary.json"


def test_build_writes_a_picture_for_each_stage(honey_house_run: tuple[Answer, Path]) -> None:
    _, folder = honey_house_run
    stages = json.loads((folder / "summary.json").read_text(encoding="utf-8"))["stages"]
    *pictures, finished = sorted(path.name for path in (folder / "stages").iterdir())
    of_stages = [name for name in pictures if not name.endswith("-move.png")]
    assert [name[:2] for name in of_stages] == [f"{stage['number']:02}" for stage in stages]
    assert len(pictures) == len(of_stages) + 1  # its scene has a move
    assert finished == "finished.png"


def test_summary_has_the_keys_that_programs_read(honey_house_run: tuple[Answer, Path]) -> None:
    summary = json.loads((honey_house_run[1] / "summary.json").read_text(encoding="utf-8"))
    assert set(summary) == {
        "title",
        "units",
        "parts",
        "shapes",
        "mass_kg",
        "balance_mm",
        "size_mm",
        "heaviest_part",
        "loft",
        "stages",
        "weighed",
        "findings",
        "files",
    }
    assert summary["findings"] == {"overlaps": 0, "loose": 0, "other": 0}
    assert set(summary["heaviest_part"]) == {"name", "mass_kg"}


def test_build_says_where_how_many_how_heavy(honey_house_run: tuple[Answer, Path]) -> None:
    answer, folder = honey_house_run
    summary = json.loads((folder / "summary.json").read_text(encoding="utf-8"))
    assert f"{len(summary['files'])} in {folder}" in answer.out
    _, *first = answer.out.splitlines()[:4]
    opened = ("handbook.pdf", "building.html", "lists.xlsx")
    assert all(line.endswith(str(folder / name)) for line, name in zip(first, opened, strict=True))
    assert f"{summary['parts']}, " in answer.out
    assert summary["heaviest_part"]["name"] in answer.out
    # 1 lb is 0.45359237 kg by definition; the scene is in feet and pounds.
    assert f"{summary['mass_kg']['likely'] / 0.45359237:.0f} lb likely" in answer.out
    assert "no fault found in" in answer.out
    assert "wet wood is heavier" in answer.out
    assert "weigh a piece when in doubt" in answer.out
    assert answer.err == ""  # no progress bar where there is no terminal


@pytest.mark.usefixtures("anew")
def test_second_build_replaces_files_and_gives_the_same_bytes(
    honey_house_run: tuple[Answer, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = written(honey_house_run[1])
    folder = tmp_path / "Imkerhäuschen, 2. Entwurf" / "für Jörg"
    shutil.copytree(honey_house_run[1], folder)
    mine = {"stages/98-mine.png", "drawings/2x4-board-999.svg", "drawings/mine.svg"}
    for name in mine:
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_bytes(b"the user's own")
    (folder / "building.stl").write_bytes(b"changed by the user")
    # What a record says that was never written takes nothing away.
    summary = json.loads((folder / "summary.json").read_text(encoding="utf-8"))
    summary["files"] += [*mine, "../98-mine.png"]
    (folder / "summary.json").write_text(json.dumps(summary), encoding="utf-8")

    monkeypatch.chdir(tmp_path)
    answer = pikepole("build", HONEY_HOUSE, "-o", folder.relative_to(tmp_path))

    assert answer.code == DONE, answer.err
    second = written(folder)
    assert {second.pop(name) for name in mine} == {b"the user's own"}
    assert second.pop("set-aside/building.stl") == b"changed by the user"
    assert json.loads(second.pop("set-aside/summary.json")) == summary
    assert second == first


@pytest.mark.parametrize(
    ("words", "files"),
    [
        (["tables"], TABLES),
        (["buy"], BOUGHT),
        (["cuts"], CUT),
        (["lifts"], LIFTS),
        (["stl,glb"], {"building.stl", "building.glb"}),
        (["step", "--only", "stl"], {"building.step", "building.stl"}),
    ],
    ids=["one", "buy", "cuts", "lifts", "with a comma", "twice"],
)
def test_only_what_is_asked_for_is_written(
    words: list[str], files: set[str], tmp_path: Path
) -> None:
    answer = pikepole("build", LOPSIDED, "-o", tmp_path, "--only", *words)
    assert answer.code == DONE, answer.err
    assert set(written(tmp_path)) == {*files, "summary.json"} == set(listed(tmp_path))


def test_unknown_output_lists_those_there_are(tmp_path: Path) -> None:
    answer = pikepole("build", LOPSIDED, "-o", tmp_path / "out", "--only", "tables,stp")
    assert answer.code == BAD_INPUT
    assert "'stp'" in answer.err
    assert ", ".join(Output) in " ".join(answer.err.split())
    assert not (tmp_path / "out").exists()


def test_the_move_stands_among_the_stages(honey_house_run: tuple[Answer, Path]) -> None:
    # The scene moves its building after "Wall sheathing".
    folder = honey_house_run[1] / "stages"
    names = sorted(path.name for path in folder.iterdir())
    (place,) = (k for k, name in enumerate(names) if name.endswith("-move.png"))
    assert names[place - 1].partition("-")[2] == "wall-sheathing.png"
    number = int(names[place - 1][:2])
    assert [int(names[k][:2]) for k in (place, place + 1)] == [number, number + 1]


def test_pages_name_every_output_and_every_file(honey_house_run: tuple[Answer, Path]) -> None:
    readme = README.read_text(encoding="utf-8")
    (row,) = (line for line in readme.splitlines() if line.startswith("| `pikepole build "))
    assert [name for name in Output if f"`{name}`" not in row] == []
    page = README.with_name("scenes").joinpath("OUTPUT.md").read_text(encoding="utf-8")
    folders = {f"{name.partition('/')[0]}/" for name in listed(honey_house_run[1]) if "/" in name}
    files = {name for name in listed(honey_house_run[1]) if "/" not in name}
    assert [name for name in sorted(folders | files) if f"`{name}" not in page] == []
    asked_for = [output for output in Output if output.is_asked_for]
    assert [name for name in asked_for if f" | `{name}` | " not in page] == []


def test_findings_are_named_and_everything_is_written(broken: str, tmp_path: Path) -> None:
    answer = pikepole("build", HONEY_HOUSE, "-o", tmp_path, "--only", "tables,step")
    assert answer.code == FINDINGS
    assert broken in answer.out
    assert set(written(tmp_path)) == {*TABLES, "building.step", "summary.json"}
    found = json.loads((tmp_path / "summary.json").read_text(encoding="utf-8"))["findings"]
    assert sum(found.values()) > 0
    assert f"{sum(found.values())} finding" in answer.out


def test_check_names_what_it_finds(broken: str) -> None:
    answer = pikepole("check", HONEY_HOUSE)
    assert answer.code == FINDINGS
    assert broken in answer.out
    assert "no fault" not in answer.out


def test_check_that_finds_nothing_says_what_it_looked_at(honey_house: Building) -> None:
    answer = pikepole("check", HONEY_HOUSE)
    assert answer.code == DONE
    assert "no fault found in the layout" in answer.out
    said = " ".join(answer.out.split())
    assert f"{len(honey_house.parts)} parts and {len(honey_house.joints):,} joints" in said
    assert "Taken for granted: - The roof is partly exposed to wind" in said
    assert "licensed engineer" in said
    # A model cannot say that a building is safe.
    assert not {"ok", "okay", "safe", "sound"} & set(said.lower().replace(".", " ").split())


def test_check_says_at_the_top_how_many_are_over_their_rule() -> None:
    answer = pikepole("check", Path(__file__).parent / "scenes" / "forms" / "lambing-shed.toml")
    assert answer.code == DONE
    head, _, rest = " ".join(answer.out.split()).partition(" Strength, apart")
    over = re.search(r"\. Strength: (\d+) of \d+ checks are over their rule, the worst ", head)
    assert over
    assert "no fault found in the layout" in head
    assert int(over[1]) == rest.count(": over this rule")


def test_every_problem_of_a_scene_is_in_one_report_of_80_columns(tmp_path: Path) -> None:
    scene = tmp_path / "shed plan.toml"
    text = HONEY_HOUSE.read_text(encoding="utf-8")
    for right, wrong in (('length = "14 ft"', "length = 14"), ('joist = "2x6"', 'joist = "2x5"')):
        assert text.count(right) == 1
        text = text.replace(right, wrong)
    scene.write_text(text, encoding="utf-8")

    answer = pikepole("build", scene, "-o", tmp_path / "out")

    assert answer.code == BAD_INPUT
    assert answer.out == ""
    assert answer.err.count(str(scene)) == 1
    assert "2 things to put right" in answer.err
    lines = answer.err.splitlines()
    for place in ("building.length = 14", 'floor.joist = "2x5"'):
        at = next(number for number, line in enumerate(lines) if line.strip() == place)
        assert lines[at + 1].strip().startswith("wrong: ")
        assert any(line.strip().startswith("mend: ") for line in lines[at + 2 : at + 5])
    assert all(len(line) <= 80 for line in lines if str(scene) not in line)
    assert "Traceback" not in answer.err
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("command", ["build", "check", "lift", "view"])
@pytest.mark.parametrize("what", ["missing", "folder", "empty", "not UTF-8", "not TOML"])
def test_what_is_no_scene_is_refused(command: str, what: str, tmp_path: Path) -> None:
    scene = tmp_path / "scene.toml"
    if what == "folder":
        scene.mkdir()
    elif what != "missing":
        content = {"empty": b"", "not UTF-8": b'title = "\xff"', "not TOML": b"title = Shed"}
        scene.write_bytes(content[what])
    out = tmp_path / "out"
    answer = pikepole(command, scene, *(("-o", out) if command == "build" else ()))
    assert answer.code == BAD_INPUT
    assert answer.out == ""
    assert str(scene) in answer.err
    assert "Traceback" not in answer.err
    assert not out.exists()


@pytest.mark.usefixtures("anew")
def test_too_large_a_building_is_reported_under_the_file_it_came_from(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(build_module, "MOST_PARTS", 20)
    answer = pikepole("build", LOPSIDED, "-o", tmp_path / "out")
    assert answer.code == BAD_INPUT
    assert answer.err.startswith(f"{LOPSIDED}: ")
    assert "more than 20 parts" in answer.err
    assert not (tmp_path / "out").exists()


def test_folder_that_may_not_be_written_into_is_an_error(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> bool:
        return False

    monkeypatch.setattr(os, "access", refuse)  # the administrator may write everywhere
    answer = pikepole("build", LOPSIDED, "-o", tmp_path)
    assert answer.code == BAD_INPUT
    assert str(tmp_path) in answer.err
    assert written(tmp_path) == {}


def test_everything_else_is_complete_when_drawing_dies(
    honey_house_run: tuple[Answer, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # What the graphics library does where it finds nothing to draw with.
    (tmp_path / "dying.py").write_text(
        "import os, signal\nos.kill(os.getpid(), signal.SIGSEGV)\n", encoding="utf-8"
    )
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    monkeypatch.setattr(pictures_module, "CHILD", "dying")
    monkeypatch.setattr(cards_module, "CHILD", "dying")
    folder = tmp_path / "out"

    answer = pikepole("build", HONEY_HOUSE, "-o", folder)

    assert answer.code == NOT_MADE
    said = " ".join(answer.err.split())
    assert "no picture was written" in said
    assert "libegl1" in said
    assert "All else that was asked for is written and complete" in said
    assert "Traceback" not in answer.err
    there, whole = written(folder), written(honey_house_run[1])
    pictures = {name for name in whole if name.endswith(".png")}
    assert pictures
    assert set(there) == set(listed(folder)) == set(whole) - pictures
    for name in set(there) - {"summary.json", "handbook.pdf"}:  # a book without pictures
        assert there[name] == whole[name]


def test_a_folder_in_the_way_is_named_and_nothing_is_changed(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    (folder / "parts.csv").mkdir(parents=True)
    (folder / "parts.csv/mine.txt").write_text("mine", encoding="utf-8")
    answer = pikepole("build", LOPSIDED, "-o", folder, "--only", "tables,stl")
    assert answer.code == NOT_MADE
    assert "parts.csv: is a folder; move it away" in " ".join(answer.err.split())
    assert written(folder) == {"parts.csv/mine.txt": b"mine"}
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_what_belongs_to_another_scene_is_named_and_set_aside(tmp_path: Path) -> None:
    assert pikepole("build", LOPSIDED, "-o", tmp_path, "--only", "tables,stl").code == DONE
    tables = {name: data for name, data in written(tmp_path).items() if name in TABLES}
    answer = pikepole("build", SCENES["plain"], "-o", tmp_path, "--only", "stl")
    assert answer.code == DONE
    assert "belong to another scene" in " ".join(answer.out.split())
    assert "parts.csv" in answer.out
    there = written(tmp_path)
    assert {f"set-aside/{name}": data for name, data in tables.items()} == {
        name: data for name, data in there.items() if name.startswith("set-aside/")
    }
    assert set(listed(tmp_path)) == {"building.stl", "summary.json"}


@pytest.mark.parametrize("command", ["build", "buy", "cut", "lift"])
def test_no_folder_is_no_name(command: str) -> None:
    answer = pikepole(command, LOPSIDED, "-o", "")
    assert answer.code == BAD_INPUT
    assert "name a folder" in answer.err


def test_missing_graphics_library_is_said_in_one_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The loader's own message where Debian's libgl1 is not installed.
    (tmp_path / "cadquery.py").write_text(
        "raise ImportError('libGL.so.1: cannot open shared object file: No such file')\n",
        encoding="utf-8",
    )
    monkeypatch.setenv("PYTHONPATH", str(tmp_path), prepend=os.pathsep)
    run = subprocess.run(
        [sys.executable, "-m", "pikepole_export", "check", LOPSIDED],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert run.returncode == NOT_MADE
    assert run.stdout == ""
    assert "libGL.so.1" in run.stderr
    assert "libgl1 libegl1" in " ".join(run.stderr.split())
    assert "Traceback" not in run.stderr


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere there is always a display")
def test_view_without_a_display_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("DISPLAY", raising=False)
    answer = pikepole("view", LOPSIDED)
    assert answer.code == NOT_MADE
    assert "no display" in " ".join(answer.err.split())
    assert "Traceback" not in answer.err


def test_help_speaks_of_building() -> None:
    answer = pikepole("--help")
    assert answer.code == DONE
    for word in ("build", "check", "lift", "view", "scene", "stud", "rafter"):
        assert word in answer.out
    assert all(len(line) <= 80 for line in answer.out.splitlines())


def test_version_is_that_of_the_package() -> None:
    project = (Path(__file__).parents[1] / "pyproject.toml").read_text(encoding="utf-8")
    number = project.partition('\nversion = "')[2].partition('"')[0]
    answer = pikepole("--version")
    assert answer == Answer(DONE, f"pikepole {number}\n", "")
