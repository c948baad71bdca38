"""Run the command line as a user does, and see what it says and how it ends."""

from __future__ import annotations

import gc
import io
import signal
import sys
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

import cadquery  # noqa: F401  # pyright: ignore[reportUnusedImport]
import pytest

from pikepole_export.cli import main
from pikepole_export.derive.cutting import cuts, sheets
from pikepole_export.files.folder import RECORD
from planned import boards_once, sheets_once

DONE, FINDINGS, BAD_INPUT, NOT_MADE, INTERRUPTED = 0, 1, 2, 3, 130


@dataclass(frozen=True)
class Answer:
    """How a command ended and what it said."""

    code: int
    out: str
    err: str


def pikepole(*words: str | Path, columns: int = 80) -> Answer:
    """Run the command in this process, which has paid for the CAD kernel already.

    A plan of boards or sheets is made once for all tests.
    """
    out, err = io.StringIO(), io.StringIO()
    interrupts = signal.getsignal(signal.SIGINT)
    with pytest.MonkeyPatch.context() as patch, redirect_stdout(out), redirect_stderr(err):
        patch.setattr(sys, "argv", ["pikepole", *map(str, words)])
        patch.setenv("COLUMNS", str(columns))
        patch.setattr(cuts, "cut_plans", boards_once)
        patch.setattr(sheets, "sheet_plans", sheets_once)
        with pytest.raises(SystemExit) as end:
            main()
    signal.signal(signal.SIGINT, interrupts)
    gc.enable()  # a short run does without
    assert isinstance(end.value.code, int)
    return Answer(end.value.code, out.getvalue(), err.getvalue())


def everything(folder: Path) -> dict[str, bytes]:
    """Every file below a folder by its path."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def written(folder: Path) -> dict[str, bytes]:
    """Every file below a folder but the record of what was written there, by its path."""
    return {name: data for name, data in everything(folder).items() if Path(name).name != RECORD}
