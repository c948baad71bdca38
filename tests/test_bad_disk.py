"""Disks that are full, folders that may not be written into, and what stands where a folder should.

The folder is all old or all new afterwards, and the message says which.
"""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
from collections.abc import Callable, Generator
from contextlib import contextmanager
from pathlib import Path

import pytest

from command import BAD_INPUT, DONE, NOT_MADE, everything, pikepole
from conftest import SCENES
from fuzzing import BUILDS
from pikepole_export.files.folder import RECORD, read_record

PLAIN = SCENES["plain"]
WRITING = {"build": ["build", "--only", BUILDS], "buy": ["buy"], "lift": ["lift"]}


@pytest.fixture(scope="module")
def old(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with files of another scene, and one of the user's."""
    folder = tmp_path_factory.mktemp("disk") / "old"
    assert pikepole("build", SCENES["lopsided"], "-o", folder, "--only", BUILDS).code == DONE
    (folder / "notes.txt").write_text("mine", encoding="utf-8")
    return folder


def _is_one_set(folder: Path, old: Path) -> None:
    """All is as it was, or all that the record names is there, other outputs set aside."""
    there, before = everything(folder), everything(old)
    if there == before:
        return
    record, replaced = read_record(folder), read_record(old)
    assert record.scene_id != replaced.scene_id
    named = {name for files in record.files.values() for name in files}
    assert set(record.unchanged(folder)) == named
    others = [files for output, files in replaced.files.items() if output not in record.files]
    kept = {f"set-aside/{name}": before[name] for files in others for name in files}
    aside = {name: data for name, data in there.items() if name not in named}
    assert aside == {**kept, "notes.txt": b"mine", RECORD: there[RECORD]}


@contextmanager
def _no_file_over(size: int) -> Generator[None]:
    """As a quota would, or a disk that is full; needs no rights."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


@pytest.mark.parametrize("size", [0, 1_000, 30_000, 300_000])
def test_files_that_come_out_too_short_are_not_taken_for_whole(
    old: Path, size: int, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    shutil.copytree(old, out)
    with _no_file_over(size):
        answer = pikepole("build", PLAIN, "-o", out, "--only", BUILDS)
    assert answer.code == NOT_MADE
    assert "file too large" in answer.err or "disk is full" in " ".join(answer.err.split())
    if size == 0:
        assert "is as it was" in " ".join(answer.err.split())
        assert everything(out) == everything(old)
    _is_one_set(out, old)
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize(
    ("words", "into", "code"),
    [
        (["check", str(PLAIN)], "stdout", NOT_MADE),
        (["--help"], "stdout", NOT_MADE),
        (["check", "nowhere.toml"], "stderr", BAD_INPUT),
    ],
)
def test_what_cannot_be_said_is_no_success(words: list[str], into: str, code: int) -> None:
    with Path("/dev/full").open("w") as full:
        run = subprocess.run(
            [sys.executable, "-m", "pikepole_export", *words],
            text=True,
            check=False,
            stdout=full if into == "stdout" else subprocess.PIPE,
            stderr=full if into == "stderr" else subprocess.PIPE,
        )
    assert run.returncode == code
    assert "Traceback" not in (run.stderr or "")
    if into == "stdout":
        assert "no space left on device" in run.stderr


def _file(path: Path) -> None:
    path.write_text("mine", encoding="utf-8")


def _link_to(target: str) -> Callable[[Path], None]:
    def link(path: Path) -> None:
        _file(path.with_name("file"))
        path.symlink_to(target)

    return link


_IN_THE_WAY: dict[str, tuple[Callable[[Path], None], str, str]] = {
    "file": (_file, "out", "out is a file"),
    "below a file": (_file, "out/deeper/down", "out is a file"),
    "link to a file": (_link_to("file"), "out", "out is a link to a file"),
    "link to nothing": (_link_to("nowhere"), "out", "out is a link to nothing"),
    "link to itself": (_link_to("out"), "out", "out is a link to nothing"),
    "below a link to itself": (_link_to("out"), "out/deeper", "too many levels of symbolic links"),
    "pipe": (os.mkfifo, "out", "out is a file"),
    "long name": (_file, "x" * 300, "file name too long"),
}


@pytest.mark.parametrize("what", _IN_THE_WAY)
@pytest.mark.parametrize("command", WRITING)
def test_what_is_no_folder_is_named_and_left_alone(command: str, what: str, tmp_path: Path) -> None:
    make, name, told = _IN_THE_WAY[what]
    make(tmp_path / "out")
    before = sorted(tmp_path.rglob("*"))
    answer = pikepole(*WRITING[command], PLAIN, "-o", tmp_path / name)
    assert answer.code == BAD_INPUT
    assert told in " ".join(answer.err.split())
    assert sorted(tmp_path.rglob("*")) == before
    assert (
        (tmp_path / "out").is_fifo()
        or (tmp_path / "out").is_symlink()
        or (everything(tmp_path) == {"out": b"mine"})
    )


@pytest.mark.parametrize("name", ["x" * 255, "蜂の家 \u202e 🐝", " ", "-o", "a\nb", "b\udcff"])
def test_a_folder_may_have_any_name(name: str, tmp_path: Path) -> None:
    answer = pikepole("buy", PLAIN, f"--output={tmp_path / name}")
    assert answer.code == DONE, answer.err
    assert set(everything(tmp_path / name)) == {"buy.csv", "buy.json", RECORD}
    assert len(list(tmp_path.iterdir())) == 1


# With rights that not everybody has: a disk of its own, and an administrator who has none.


def _run(words: list[str], out: Path, *before: str) -> subprocess.CompletedProcess[str]:
    command = [*before, sys.executable, "-m", "pikepole_export", *words, str(PLAIN), "-o", str(out)]
    return subprocess.run(command, capture_output=True, text=True, check=False)


def _without_rights() -> list[str]:
    rights = "-dac_override,-dac_read_search"
    return ["setpriv", f"--bounding-set={rights}"] if os.geteuid() == 0 else []


@pytest.mark.long
@pytest.mark.parametrize("command", WRITING)
@pytest.mark.parametrize("shut", ["folder", "parent", "parent not to be read", "inside"])
def test_what_may_not_be_written_into(command: str, shut: str, old: Path, tmp_path: Path) -> None:
    out = tmp_path / "parent" / "out"
    shutil.copytree(old, out)
    path = {"folder": out, "inside": out / "drawings"}.get(shut, out.parent)
    path.mkdir(exist_ok=True)
    path.chmod(0o111 if shut.endswith("read") else 0o555)
    answer = _run(WRITING[command], out, *_without_rights())
    path.chmod(0o755)
    assert "Traceback" not in answer.stderr
    if shut == "folder":
        assert answer.returncode == BAD_INPUT
        assert "may not be written into" in " ".join(answer.stderr.split())
        assert everything(out) == everything(old)
    else:
        assert answer.returncode == DONE, answer.stderr
        assert everything(out) != everything(old)
    _is_one_set(out, old)
    assert [one.name for one in out.parent.iterdir()] == ["out"]
    assert not list(out.glob(".*"))


@pytest.mark.long
@pytest.mark.parametrize("command", WRITING)
@pytest.mark.parametrize("size", ["4k", "100k", "800k", "1700k", "2500k", "50m"])
@pytest.mark.parametrize("below", ["out", "."])
def test_a_full_disk(command: str, size: str, below: str, old: Path, tmp_path: Path) -> None:
    disk, kept, home = tmp_path / "disk", tmp_path / "kept", tmp_path / "home"
    disk.mkdir()
    home.mkdir()
    small = old if size == "50m" else home
    (home / "notes.txt").write_text("mine", encoding="utf-8")
    script = (
        f"mount -t tmpfs -o size={size} none {disk} && mkdir -p {disk / below} && "
        f'cp -a {small}/. {disk / below} && {{ "$@"; code=$?; cp -a {disk} {kept}; exit $code; }}'
    )
    answer = _run(WRITING[command], disk / below, "unshare", "-rm", "sh", "-c", script, "sh")
    assert "Traceback" not in answer.stderr
    assert answer.returncode in (DONE, NOT_MADE, BAD_INPUT), answer.stderr
    assert answer.returncode == DONE or "no space left on device" in " ".join(answer.stderr.split())
    assert (answer.returncode == DONE) >= (size == "50m"), answer.stderr
    out = kept / below
    _is_one_set(out, small)
    assert [one.name for one in kept.iterdir()] == ["out"] if below == "out" else True
    assert not list(out.glob(".*"))
