from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TypeAlias

import pytest

from pikepole_export.derive.inventory.counts import counts
from pikepole_export.derive.inventory.parts import part_rows
from pikepole_export.derive.inventory.summary import summary
from pikepole_export.derive.inventory.weights import weights
from pikepole_export.files.whole import make_folder, put, whole
from pikepole_export.write.models.gltf import write_glb
from pikepole_export.write.models.stl import write_stl
from pikepole_export.write.tables.building import (
    counts_table,
    parts_table,
    weights_table,
    write_summary,
)
from pikepole_export.write.tables.csv_json import write_table
from pikepole_model.building.part import Building
from pikepole_model.errors import OutputError
from samples import sample_building, write_step

OLD = b"what was there before"


def write_everything(folder: Path) -> None:
    building = sample_building()
    rows = part_rows(building)
    total = weights(building, rows)
    write_table(parts_table(rows, "imperial"), folder)
    write_table(counts_table(counts(rows), "imperial"), folder)
    write_table(weights_table(total, "imperial"), folder)
    write_summary(summary(building, rows, total, ()), ["parts.csv"], folder)
    write_step(building, folder / "building.step")
    write_stl(building, folder / "building.stl")
    write_glb(building, folder / "building.glb")


def write_tables(building: Building, path: Path) -> Path:
    return write_table(parts_table(part_rows(building), "metric"), path.parent)[0]


Writer: TypeAlias = Callable[[Building, Path], Path]
WRITERS: tuple[Writer, ...] = (write_step, write_stl, write_glb, write_tables)


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def refuse(*_: object, **__: object) -> None:
    raise OSError(28, "No space left on device")


def test_same_building_gives_same_bytes(tmp_path: Path) -> None:
    # The second time in one process the CAD kernel's counters have moved on; in another process
    # strings hash differently and everything lies elsewhere in memory.
    first, second, other = (make_folder(tmp_path / name) for name in ("first", "second", "other"))
    write_everything(first)
    write_everything(second)
    code = (
        "import sys; from pathlib import Path; sys.path.insert(0, sys.argv[1]); "
        "from test_files import write_everything; write_everything(Path(sys.argv[2]))"
    )
    subprocess.run(
        [sys.executable, "-c", code, str(Path(__file__).parent), str(other)],
        check=True,
        env={**os.environ, "PYTHONHASHSEED": "12345"},
    )
    assert len(contents(first)) == 10
    assert contents(first) == contents(second)
    assert contents(first) == contents(other)


def test_put_writes_and_replaces(tmp_path: Path) -> None:
    path = tmp_path / "table.csv"
    path.write_bytes(OLD)
    assert put(path, b"new") == path
    assert contents(tmp_path) == {"table.csv": b"new"}


def library_writes(path: Path, data: bytes | None) -> None:
    with whole(path, begins=b"HEAD", ends=b"TAIL") as aside:
        assert aside.suffix == path.suffix  # libraries choose the format by it
        if data is not None:
            aside.write_bytes(data)


@pytest.mark.parametrize(
    "data",
    [b"HEAD and no end", b"no head and TAIL", b"", None],
    ids=["cut short", "another format", "empty", "nothing"],
)
def test_a_file_that_is_not_whole_is_refused(tmp_path: Path, data: bytes | None) -> None:
    path = tmp_path / "building.step"
    path.write_bytes(OLD)
    with pytest.raises(OutputError, match=r"building\.step"):
        library_writes(path, data)
    assert contents(tmp_path) == {"building.step": OLD}


def test_white_space_may_follow_the_end(tmp_path: Path) -> None:
    library_writes(tmp_path / "a.step", b"HEAD, TAIL\r\n")
    assert contents(tmp_path) == {"a.step": b"HEAD, TAIL\r\n"}


def fail_half_way(path: Path) -> None:
    with whole(path) as aside:
        aside.write_bytes(b"half a picture")
        raise ZeroDivisionError


def test_an_error_of_the_writer_passes_and_leaves_nothing(tmp_path: Path) -> None:
    path = tmp_path / "picture.png"
    path.write_bytes(OLD)
    with pytest.raises(ZeroDivisionError):
        fail_half_way(path)
    assert contents(tmp_path) == {"picture.png": OLD}


@pytest.mark.parametrize("step", ["write_bytes", "replace"])
@pytest.mark.parametrize("write", WRITERS)
def test_a_failed_write_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, write: Writer, step: str
) -> None:
    path = tmp_path / "parts.csv"
    path.write_bytes(OLD)
    with monkeypatch.context() as patch:
        patch.setattr(Path, step, refuse)
        with pytest.raises(OutputError, match="no space left on device"):
            write(sample_building(), path)
    assert contents(tmp_path) == {"parts.csv": OLD}


@pytest.mark.parametrize("write", WRITERS)
def test_a_missing_folder_is_an_error(tmp_path: Path, write: Writer) -> None:
    with pytest.raises(OutputError, match="no folder"):
        write(sample_building(), tmp_path / "nowhere" / "parts.csv")
    assert contents(tmp_path) == {}


def test_a_folder_in_the_way_of_a_file(tmp_path: Path) -> None:
    (tmp_path / "parts.csv").mkdir()
    with pytest.raises(OutputError, match="is a folder"):
        put(tmp_path / "parts.csv", b"rows")


def test_make_folder_makes_parents_and_keeps_what_is_there(tmp_path: Path) -> None:
    folder = tmp_path / "out" / "honey house"
    assert make_folder(folder) == folder
    (folder / "kept").write_bytes(OLD)
    make_folder(folder)
    assert contents(folder) == {"kept": OLD}


@pytest.mark.parametrize("below", [".", "stages", "stages/more"])
def test_a_file_in_the_way_of_a_folder(tmp_path: Path, below: str) -> None:
    file = tmp_path / "out"
    file.write_bytes(OLD)
    with pytest.raises(OutputError, match="out is a file"):
        make_folder(file / below)
    assert file.read_bytes() == OLD


def test_a_folder_that_cannot_be_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "mkdir", refuse)
    with pytest.raises(OutputError, match=r"cannot be made \(no space left on device\)"):
        make_folder(tmp_path / "out")
