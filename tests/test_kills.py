"""Commands that are killed, or interrupted, at any moment: all old or all new, nothing lost."""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import pytest

from command import DONE, INTERRUPTED, everything, pikepole
from conftest import SCENES

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="looks into /proc")

OLD_SCENE, SCENE = SCENES["lopsided"], SCENES["plain"]
FEW, MANY = 3, 20  # of each command by each signal
PATIENCE_S = 60
WRITING = {
    "build": ["build"],
    "build only": ["build", "--only", "tables,stl"],
    "buy": ["buy"],
    "cut": ["cut"],
    "lift": ["lift"],
}
# What the user put into the folder, and a file that he changed.
MINE = {"notes.txt": "mine", "my/plans/a.svg": "mine too", "drawings/b.svg": "and this"}
CHANGED = "parts.csv"

_START = """
import sys
from pikepole_export.cli import main
print("started", flush=True)
main()
"""


@dataclass(frozen=True)
class Run:
    """What a command makes of the old folder when nobody stops it.

    Attributes:
        words: The command.
        old: A folder with files of another scene, and of the user's.
        new: What is in it afterwards.
        seconds: From its start to its end, on this machine.
    """

    words: list[str]
    old: Path
    new: dict[str, bytes]
    seconds: float


def _started(words: list[str], home: Path) -> subprocess.Popen[str]:
    """The command, writing into `out` of a folder of its own, in a session of its own."""
    (home / "tmp").mkdir()
    process = subprocess.Popen(
        [sys.executable, "-c", _START, *words, str(SCENE), "-o", str(home / "out")],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "TMPDIR": str(home / "tmp")},
        start_new_session=True,
    )
    assert process.stdout
    assert process.stdout.readline() == "started\n"
    return process


@cache
def _run(name: str) -> Run:
    home = Path(mkdtemp(prefix="pikepole-kills-"))
    old = home / "old"
    assert pikepole("build", OLD_SCENE, "-o", old, "--only", "tables,buy,cuts,drawings").code == 0
    for file, text in MINE.items():
        (old / file).parent.mkdir(parents=True, exist_ok=True)
        (old / file).write_text(text, encoding="utf-8")
    (old / CHANGED).write_text("with my prices", encoding="utf-8")
    shutil.copytree(old, home / "out")
    start = time.monotonic()
    with _started(WRITING[name], home) as process:
        _, said = process.communicate()
    seconds = time.monotonic() - start
    assert process.returncode == DONE, said
    return Run(WRITING[name], old, everything(home / "out"), seconds)


def _alive(session: int) -> list[str]:
    """The processes of a session that still run."""
    found: list[str] = []
    for path in Path("/proc").glob("[0-9]*/stat"):
        try:
            name, _, rest = path.read_text(encoding="utf-8").rpartition(")")
        except OSError:
            continue  # it has just ended
        state, _, _, its_session, *_ = rest.split()
        if int(its_session) == session and state != "Z":
            found.append(name)
    return found


def _try(run: Run, stop: signal.Signals, part: float, home: Path) -> None:
    """Stop a command after a part of its time, and look at what it leaves."""
    home.mkdir()
    out, scratch = home / "out", home / "tmp"
    shutil.copytree(run.old, out)
    with _started(run.words, home) as process:
        time.sleep(max(0.05, part * run.seconds))
        os.killpg(process.pid, stop)  # as a terminal does: to the children too
        _, said = process.communicate(timeout=PATIENCE_S)
    deadline = time.monotonic() + PATIENCE_S
    while _alive(process.pid) and time.monotonic() < deadline:
        time.sleep(0.02)
    assert not _alive(process.pid)
    assert process.returncode in (DONE, INTERRUPTED if stop == signal.SIGINT else -stop), said
    assert "Traceback" not in said
    there = everything(out)
    assert there in (everything(run.old), run.new)
    if process.returncode == DONE:
        assert there == run.new
    if stop == signal.SIGINT:
        assert said == ("" if process.returncode == DONE else "Interrupted.\n")
        assert sorted(path.name for path in home.iterdir()) == ["out", "tmp"]
        assert not list(scratch.iterdir())
    assert pikepole("buy", SCENE, "-o", out).code == DONE
    assert sorted(path.name for path in home.iterdir()) == ["out", "tmp"]
    assert not list(out.glob(".*"))
    after = everything(out)
    for file, text in MINE.items():
        assert after[file] == text.encode()
    assert b"with my prices" in after.values()


def _moments(seed: int, count: int) -> list[float]:
    """Parts of a run: every other one near its end, where files are put in place."""
    draw = random.Random(seed)
    return [draw.uniform(0.8 if number % 2 else 0.0, 1.0) for number in range(count)]


@pytest.mark.parametrize("stop", [signal.SIGKILL, signal.SIGINT])
def test_stopped_a_few_times(stop: signal.Signals, tmp_path: Path) -> None:
    for number, part in enumerate(_moments(stop, FEW)):
        _try(_run("build only"), stop, part, tmp_path / str(number))


@pytest.mark.long
@pytest.mark.parametrize("stop", [signal.SIGKILL, signal.SIGINT])
@pytest.mark.parametrize("name", WRITING)
def test_stopped_many_times(name: str, stop: signal.Signals, tmp_path: Path) -> None:
    for number, part in enumerate(_moments(100 + stop, MANY)):
        _try(_run(name), stop, part, tmp_path / str(number))
