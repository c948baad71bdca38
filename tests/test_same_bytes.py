"""The same scene gives the same bytes, wherever, whenever and under whatever load it is built."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Generator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from command import DONE, everything
from conftest import SCENES
from fuzzing import BUILDS
from pikepole_export.cli.words import Output

PLAIN = SCENES["plain"]
LOCALES = ("de_DE", "tr_TR")  # a decimal comma; an i whose capital has a dot


@dataclass(frozen=True)
class Circumstances:
    """How one build differs from another that must not show.

    Attributes:
        folder: Where it is started, and its output's folder in there.
        environment: Beside what there is.
        before: A command in front of it.
        umask: What rights files do not get.
        load: How many other processes want a processor core.
    """

    folder: str
    environment: dict[str, str] = field(default_factory=dict[str, str])
    before: tuple[str, ...] = ()
    umask: int = 0o022
    load: int = 0


HERE = Circumstances("here/out", {"PYTHONHASHSEED": "1"})
# Hashes of text differ between processes, and with them the order of sets: also of small ones
# with these.
ELSEWHERE = Circumstances(
    "else where/蜂の家", {"PYTHONHASHSEED": "4", "TZ": "Pacific/Kiritimati"}, umask=0o077
)
OTHERS = (
    Circumstances("c/out", {"LC_ALL": "C", "PYTHONHASHSEED": "3", "TZ": "America/St_Johns"}),
    *(Circumstances(f"{name}/out", {"LC_ALL": f"{name}.utf8"}) for name in LOCALES),
    Circumstances("one core/out", before=("taskset", "--cpu-list", "0")),
    Circumstances("load/out", load=2 * (os.cpu_count() or 1)),
)


@contextmanager
def _load(count: int) -> Generator[None]:
    """So many processes that do nothing else than to keep a core busy."""
    with ExitStack() as stack:
        for _ in range(count):
            busy = subprocess.Popen([sys.executable, "-c", "while True: pass"])
            stack.callback(busy.wait)
            stack.callback(busy.kill)
        yield


def _built(how: Circumstances, home: Path, *only: str) -> dict[str, bytes]:
    """All files of a build, by a process that goes by its locale, as some libraries make it."""
    (home / "sitecustomize.py").write_text(
        "import locale\nlocale.setlocale(locale.LC_ALL, '')\n", encoding="utf-8"
    )
    start, _, name = how.folder.partition("/")
    (home / start).mkdir()
    path = os.pathsep.join([str(home), os.environ.get("PYTHONPATH", "")])
    with _load(how.load):
        run = subprocess.run(
            [
                *how.before,
                sys.executable,
                "-m",
                "pikepole_export",
                "build",
                PLAIN,
                "-o",
                name,
                *only,
            ],
            cwd=home / start,
            env={**os.environ, "PYTHONPATH": path, "LOCPATH": str(home), **how.environment},
            umask=how.umask,
            capture_output=True,
            text=True,
            check=False,
        )
    assert run.returncode == DONE, run.stderr
    return everything(home / how.folder)


def test_two_builds_give_the_same_bytes(tmp_path: Path) -> None:
    only = ("--only", f"{BUILDS},spreadsheet,drawings,plans,page,3mf")
    first, second = (_built(how, tmp_path, *only) for how in (HERE, ELSEWHERE))
    assert {name.rpartition(".")[2] for name in first} == {
        "csv",
        "json",
        "step",
        "stl",
        "glb",
        "svg",
        "dxf",
        "xlsx",
        "html",
        "3mf",
    }
    assert first == second


@pytest.mark.long
def test_builds_with_pictures_give_the_same_bytes(tmp_path: Path) -> None:
    for name in LOCALES:  # Debian's package "locales" has what they are made from
        where = str(tmp_path / f"{name}.utf8")
        subprocess.run(["localedef", "-i", name, "-f", "UTF-8", where], check=True)
    only = ("--only", ",".join(Output))
    first = _built(HERE, tmp_path, *only)
    assert any(name.startswith("stages/") for name in first)
    assert any(name.startswith("lifts/") for name in first)
    for how in (ELSEWHERE, *OTHERS):
        files = _built(how, tmp_path, *only)
        assert {name for name in files if files[name] != first[name]} == set(), how
        assert set(files) == set(first), how
