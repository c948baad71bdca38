"""A folder holds one building's files, all old or all new, and nothing of the user's is lost."""

from __future__ import annotations

import hashlib
import json
import os
import random
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from pikepole_export.files import folder as folders
from pikepole_export.files import swapping
from pikepole_export.files.folder import RECORD, UNFINISHED, Placed, prepare, read_record
from pikepole_model.errors import OutputError

OLD = {"parts.csv": "old parts", "drawings/a.svg": "old a", "drawings/b.svg": "old b"}
NEW = {"parts.csv": "new parts", "drawings/b.svg": "new b", "drawings/c.svg": "new c"}


def write(
    folder: Path, files: dict[str, str], scene_id: str = "one", output: str = "all"
) -> Placed:
    """What a command does with its files."""
    with prepare(folder, scene_id) as staging:
        for name, text in files.items():
            path = staging.path / name
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, encoding="utf-8")
            staging.add(output, [path])
        return staging.put_in_place()


def contents(folder: Path) -> dict[str, str]:
    """Every file, the record apart."""
    return {
        path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8")
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != RECORD
    }


def _never(*_: Path) -> bool:
    return False


def _always(*_: Path) -> bool:
    return True


@pytest.fixture(params=["exchanged", "renamed twice", "file by file", "prepared inside"])
def out(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder to write into, by each way of putting files in place."""
    if request.param == "renamed twice":
        monkeypatch.setattr(swapping, "_exchange", _never)
    if request.param == "file by file":
        monkeypatch.setattr(folders, "can_change_places", _never)
    if request.param == "prepared inside":
        monkeypatch.setattr(os.path, "ismount", _always)
    return tmp_path / "out"


def test_a_second_set_takes_the_place_of_the_first(out: Path) -> None:
    write(out, OLD)
    assert contents(out) == OLD
    placed = write(out, NEW)
    assert contents(out) == NEW
    assert placed.files == tuple(NEW)
    assert not placed.set_aside
    assert [path.name for path in out.parent.iterdir()] == ["out"]


def test_what_the_user_put_there_stays(out: Path) -> None:
    write(out, OLD)
    mine = {"notes.txt": "mine", "drawings/my-plan.svg": "mine too", "photos/1/a.txt": "a photo"}
    for name, text in mine.items():
        (out / name).parent.mkdir(parents=True, exist_ok=True)
        (out / name).write_text(text, encoding="utf-8")
    (out / "link").symlink_to("notes.txt")
    write(out, NEW)
    assert {**contents(out)} == {**NEW, **mine, "link": "mine"}
    assert (out / "link").is_symlink()


def test_what_the_user_changed_is_set_aside_and_named(out: Path) -> None:
    write(out, OLD)
    (out / "parts.csv").write_text("with my prices", encoding="utf-8")
    (out / "drawings/a.svg").write_text("with my marks", encoding="utf-8")
    placed = write(out, NEW)
    assert placed.set_aside == ("parts.csv",)
    kept = {"set-aside/parts.csv": "with my prices", "drawings/a.svg": "with my marks"}
    assert contents(out) == {**NEW, **kept}


def test_what_is_set_aside_is_never_written_over(out: Path) -> None:
    for turn in ("first", "second"):
        write(out, OLD)
        (out / "parts.csv").write_text(turn, encoding="utf-8")
    write(out, OLD)
    aside = {name: text for name, text in contents(out).items() if name not in OLD}
    assert aside == {"set-aside/parts.csv": "first", "set-aside-2/parts.csv": "second"}


def test_other_outputs_of_the_same_scene_stay(out: Path) -> None:
    write(out, {"lifts.csv": "lifts"}, output="lifts")
    placed = write(out, {"buy.csv": "to buy"}, output="buy")
    assert contents(out) == {"lifts.csv": "lifts", "buy.csv": "to buy"}
    assert not placed.set_aside
    assert set(read_record(out).files) == {"lifts", "buy"}


def test_other_outputs_of_another_scene_are_set_aside_and_named(out: Path) -> None:
    write(out, {"lifts.csv": "lifts", "lifts/01.png": "a card"}, output="lifts")
    placed = write(out, {"buy.csv": "to buy"}, output="buy", scene_id="another")
    assert set(placed.set_aside) == {"lifts.csv", "lifts/01.png"}
    assert placed.aside == "set-aside"
    assert contents(out) == {
        "buy.csv": "to buy",
        "set-aside/lifts.csv": "lifts",
        "set-aside/lifts/01.png": "a card",
    }
    assert set(read_record(out).files) == {"buy"}


def test_a_record_of_somebody_else_takes_nothing_away(out: Path) -> None:
    out.mkdir()
    (out / "drawings").mkdir()
    (out / "drawings/my-plan.svg").write_text("mine", encoding="utf-8")
    outside = out.parent / "outside.txt"
    outside.write_text("not here", encoding="utf-8")
    hash_of_outside = hashlib.sha256(b"not here").hexdigest()
    here = {"drawings/my-plan.svg": "0" * 64}
    there = (
        {name: hash_of_outside} for name in ("../outside.txt", str(outside), "a/../../outside.txt")
    )
    for files in (here, *there, {"..": "0" * 64}, {"": "0" * 64}, [], None):
        text = json.dumps({"scene_id": "one", "files": {"all": files}})
        (out / RECORD).write_text(text, encoding="utf-8")
        write(out, NEW)
        mine = {name: text for name, text in contents(out).items() if name not in NEW}
        assert mine == {"drawings/my-plan.svg": "mine"}
        assert outside.read_text(encoding="utf-8") == "not here"


def test_what_only_bears_the_name_of_the_record_is_set_aside(out: Path) -> None:
    out.mkdir()
    (out / RECORD).write_text("my own list", encoding="utf-8")
    placed = write(out, NEW)
    assert placed.set_aside == (RECORD,)
    assert (out / "set-aside" / RECORD).read_text(encoding="utf-8") == "my own list"
    (out / RECORD).rename(out.parent / "elsewhere")
    (out / RECORD).symlink_to("../elsewhere")
    assert write(out, NEW).set_aside == (RECORD,)
    assert (out / "set-aside-2" / RECORD).is_symlink()
    (out / RECORD).unlink()
    os.mkfifo(out / RECORD)  # nobody ever writes into it
    assert write(out, NEW).set_aside == (RECORD,)
    assert set(read_record(out).files["all"]) == set(NEW)


def test_what_lies_behind_a_link_is_not_taken_away(out: Path) -> None:
    write(out, {"lifts/01.png": "a card"}, output="lifts")
    (out / "lifts").rename(out.parent / "away")
    (out / "lifts").symlink_to("../away")
    for scene_id in ("one", "another"):
        write(out, {"lifts.csv": "none"}, output="lifts", scene_id=scene_id)
        assert (out.parent / "away/01.png").read_text(encoding="utf-8") == "a card"
        assert (out / "lifts").is_symlink()


def test_what_was_begun_and_not_added_is_not_put_in_place(out: Path) -> None:
    write(out, {"cuts.csv": "old"}, output="cuts")
    with prepare(out, "one") as staging:
        (staging.path / "half").mkdir()
        for name in ("cuts.csv", "half/a.svg", "parts.csv"):
            (staging.path / name).write_text("new", encoding="utf-8")
        staging.add("parts", [staging.path / "parts.csv"])
        staging.put_in_place()
    assert contents(out) == {"cuts.csv": "old", "parts.csv": "new"}
    assert not (out / "half").exists()


def test_what_a_killed_one_of_the_same_number_left_is_cleared_up(out: Path) -> None:
    # In a container numbers of processes begin anew.
    for left in (out.parent / f".out.pikepole-{os.getpid()}", out / f".pikepole-{os.getpid()}"):
        (left / "files").mkdir(parents=True)
    write(out, NEW)
    assert [path.name for path in out.parent.iterdir()] == ["out"]
    assert not list(out.glob(".*"))


@pytest.mark.parametrize("plan", [None, "{", '{"place": ["../outside.txt"]}'])
def test_changes_that_cannot_be_read_are_named(tmp_path: Path, plan: str | None) -> None:
    (tmp_path / UNFINISHED).mkdir()
    if plan is not None:
        (tmp_path / UNFINISHED / "plan.json").write_text(plan, encoding="utf-8")
    with pytest.raises(OutputError, match=f"{UNFINISHED}: cannot be made use of; move it away"):
        write(tmp_path, NEW)
    assert [path.name for path in tmp_path.iterdir()] == [UNFINISHED]


@pytest.mark.parametrize("stands", ["folder", "file", "link"])
def test_what_is_in_the_way_is_named_and_nothing_changes(out: Path, stands: str) -> None:
    write(out, {"parts.csv": "old"})
    away = out.parent / "elsewhere"
    away.mkdir()
    match stands:
        case "folder":
            name, files = "buy.csv", {"buy.csv": "new"}
            (out / name).mkdir()
        case "file":
            name, files = "drawings", NEW
            (out / name).write_text("a file", encoding="utf-8")
        case _:
            name, files = "drawings", NEW
            (out / name).symlink_to(away)
    before = sorted(out.rglob("*"))
    with pytest.raises(OutputError, match=f"{name}: is (a|no) folder; move it away"):
        write(out, files)
    assert sorted(out.rglob("*")) == before
    assert (out / "parts.csv").read_text(encoding="utf-8") == "old"
    assert not list(away.iterdir())


def test_a_block_that_fails_leaves_the_old_set(out: Path) -> None:
    write(out, OLD)

    def interrupted() -> None:
        with prepare(out, "one") as staging:
            (staging.path / "parts.csv").write_text("half", encoding="utf-8")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        interrupted()
    assert contents(out) == OLD
    assert [path.name for path in out.parent.iterdir()] == ["out"]


def test_where_the_system_refuses_the_old_set_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    write(tmp_path / "out", OLD)
    for module, name in ((os, "link"), (folders, "change_places")):
        (tmp_path / "out/mine.txt").write_text("mine", encoding="utf-8")
        with monkeypatch.context() as patch:
            patch.setattr(module, name, refuse)
            with pytest.raises(OutputError, match="no space left on device"):
                write(tmp_path / "out", NEW)
        assert contents(tmp_path / "out") == {**OLD, "mine.txt": "mine"}


def test_a_folder_somebody_works_in_stays_the_same_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(tmp_path, OLD)
    monkeypatch.chdir(tmp_path)
    before = tmp_path.stat().st_ino
    write(Path(), NEW)
    assert tmp_path.stat().st_ino == before
    assert contents(tmp_path) == NEW


def test_a_link_to_a_folder_stays_a_link(out: Path) -> None:
    real = out.parent / "real"
    real.mkdir(mode=0o750)
    out.symlink_to(real)
    write(out, OLD)
    write(out, NEW)
    assert out.is_symlink()
    assert contents(real) == NEW
    assert real.stat().st_mode & 0o777 == 0o750


def _stopped(at: int) -> Callable[..., Path]:
    """A rename that stops the work at a certain call, as a kill would."""
    count = 0
    replace = Path.replace

    def stopped(self: Path, target: Path) -> Path:
        nonlocal count
        count += 1
        if count == at:
            raise KeyboardInterrupt
        return replace(self, target)

    return stopped


@pytest.mark.parametrize("at", range(1, 7))
def test_what_was_cut_off_file_by_file_is_finished_by_the_next_command(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at: int
) -> None:
    monkeypatch.setattr(folders, "can_change_places", _never)
    out = tmp_path / "out"
    write(out, OLD)
    (out / "parts.csv").write_text("mine", encoding="utf-8")
    with monkeypatch.context() as patch:
        patch.setattr(Path, "replace", _stopped(at))
        with pytest.raises(KeyboardInterrupt):
            write(out, NEW)
    if (out / UNFINISHED).exists():
        with prepare(out, "one"):
            pass
        assert contents(out) == {**NEW, "set-aside/parts.csv": "mine"}
    else:
        assert contents(out) == {**OLD, "parts.csv": "mine"}
    write(out, NEW)
    assert {name: text for name, text in contents(out).items() if name in NEW} == NEW


def test_what_the_system_stops_half_way_is_known_and_finished_by_the_next_command(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    replace = Path.replace

    def refuse(self: Path, target: Path) -> Path:
        if UNFINISHED in self.parts:
            raise OSError(28, "No space left on device")
        return replace(self, target)

    monkeypatch.setattr(folders, "can_change_places", _never)
    out = tmp_path / "out"
    write(out, {"parts.csv": "old"})
    with prepare(out, "one") as staging:
        (staging.path / "parts.csv").write_text("new", encoding="utf-8")
        staging.add("all", [staging.path / "parts.csv"])
        assert not staging.is_unfinished
        with monkeypatch.context() as patch:
            patch.setattr(Path, "replace", refuse)
            with pytest.raises(OutputError, match="no space left on device"):
                staging.put_in_place()
        assert staging.is_unfinished
    with prepare(out, "one") as staging:
        assert not staging.is_unfinished
    assert contents(out) == {"parts.csv": "new"}


def test_a_disk_that_is_full_by_then_stops_no_change(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # What was begun and could not be made goes first; then all is moved, and nothing is written.
    rename, write_bytes = Path.rename, Path.write_bytes
    is_full = False

    def begin(self: Path, target: Path) -> Path:
        nonlocal is_full
        is_full = target.name == UNFINISHED
        assert not is_full or not (self / "files" / "lifts").exists()
        return rename(self, target)

    def refuse(self: Path, data: bytes) -> int:
        if is_full:
            raise OSError(28, "No space left on device")
        return write_bytes(self, data)

    monkeypatch.setattr(folders, "can_change_places", _never)
    monkeypatch.setattr(Path, "rename", begin)
    monkeypatch.setattr(Path, "write_bytes", refuse)
    out = tmp_path / "out"
    with prepare(out, "one") as staging:
        (staging.path / "parts.csv").write_text("new", encoding="utf-8")
        (staging.path / "lifts").mkdir()
        (staging.path / "lifts" / "1.png").write_text("half", encoding="utf-8")
        staging.add("all", [staging.path / "parts.csv"])
        staging.put_in_place()
    assert is_full
    assert contents(out) == {"parts.csv": "new"}
    assert read_record(out).unchanged(out) == {"parts.csv": "all"}


CHILD = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from test_folder import write
print("ready", flush=True)
number = 0
while True:
    number += 1
    files = {f"{number}/{n}.txt": str(number) for n in range(8)}
    write(Path(sys.argv[2]), files | {"number": str(number)})
"""


@pytest.mark.skipif(sys.platform == "win32", reason="kills as POSIX has them")
def test_killed_at_any_moment_the_folder_is_one_set(tmp_path: Path) -> None:
    draw = random.Random(7)
    out = tmp_path / "out"
    for _ in range(12):
        with subprocess.Popen(
            [sys.executable, "-c", CHILD, str(Path(__file__).parent), str(out)],
            stdout=subprocess.PIPE,
        ) as child:
            assert child.stdout is not None
            child.stdout.readline()
            time.sleep(draw.uniform(0.01, 0.3))
            child.kill()
        if not (out / "number").exists():
            continue  # killed before the first set was there
        number = (out / "number").read_text(encoding="utf-8")
        expected = {f"{number}/{n}.txt": number for n in range(8)} | {"number": number}
        assert contents(out) == expected
        record = json.loads((out / RECORD).read_bytes())
        assert set(record["files"]["all"]) == set(expected)
    write(out, NEW)
    assert contents(out) == NEW
    assert [path.name for path in tmp_path.iterdir()] == ["out"]
