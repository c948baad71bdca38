"""How long a build takes, against what importing its libraries alone takes on the same machine.

    python tests/bench/speed.py [whole_runs] [checks] [strength] [growth] [memory]

Prints each figure and its share of its limit when it is known, and where the time goes; all of it,
in about ten minutes, where none is named. Exit code 1 when one is over.
Leave the machine alone meanwhile: what else runs on it is measured too.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console
from rich.table import Table

SCENES = Path(__file__).parents[2] / "scenes"
SCENE = SCENES / "honey-house.toml"
RUNS = 3  # the best of so many: nothing makes a program faster than it is
LONGER = 10

MOST_WITHOUT_PICTURES = 1.6  # floors
MOST_WITH_PICTURES = 3.0  # floors
MOST_IN_ALL = 7.0  # floors: lifts, cards, plans, drawings and the book as well
MOST_TO_BUY_AND_CUT = 2.5  # floors: these outputs alone, every plan and every drawing
MOST_TO_BUY = 2.0  # floors: the list alone, on the terminal
MOST_TO_LIFT = 1.3  # floors: the plan alone, on the terminal
MOST_FOR_CARDS = 1.5  # floors more, with every card
MOST_TO_CHECK = 2.0  # seconds for 1,000 parts, every pair of them looked at
MOST_FOR_STRENGTH = 0.5  # seconds, of a building that is laid out
MOST_FOR_TEN_TIMES_AS_LONG = 6.0  # times the original
MOST_MEMORY_MIB = 1.8 * 1024  # the book holds every picture and drawing at once

FLOOR = "import cadquery, trimesh, pyvista"
WITHOUT_PICTURES = "tables,step,stl,glb"
WITH_PICTURES = f"{WITHOUT_PICTURES},pictures"
TO_BUY_AND_CUT = "buy,cuts,drawings"

# Times each step of a build after all that it imports has been imported.
STEPS = """
import json, sys, time
from pathlib import Path
import cadquery, manifold3d, shapely, trimesh.exchange.gltf, OCP.STEPCAFControl
from pikepole_export.cli.outputs import begun, build_files
from pikepole_export.cli.words import Output
from pikepole_export.cli.work import lay_out
from pikepole_model.reading.file import load_scene

scene, folder, only = Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3].split(",")
marks = [("Reading the scene", time.perf_counter())]
step = lambda what: marks.append((what, time.perf_counter()))
outputs = [output for output in Output if output in only]
with begun(outputs) as beside:
    building, contacts = lay_out(scene, load_scene(scene), step)
    build_files(building, contacts, folder, outputs, step, beside)
step("")
print(json.dumps([(what, after - at) for (what, at), (_, after) in zip(marks, marks[1:])]))
"""

# Parts, and seconds to check them.
CHECKS = """
import json, sys, time
from pathlib import Path
import cadquery, manifold3d, shapely
from pikepole_model.build import build
from pikepole_model.checks.fit import check
from pikepole_model.reading.file import load_scene

building = build(load_scene(Path(sys.argv[1])))
start = time.perf_counter()
check(building)
print(json.dumps([len(building.parts), time.perf_counter() - start]))
"""


# Seconds to hold its members against the rules.
STRENGTH = """
import sys, time
from pathlib import Path
import cadquery, manifold3d, shapely
from pikepole_export.derive.strengths import every_strength
from pikepole_model.build import build
from pikepole_model.reading.file import load_scene

building = build(load_scene(Path(sys.argv[1])))
start = time.perf_counter()
every_strength(building)
print(time.perf_counter() - start)
"""


@dataclass(frozen=True)
class Figure:
    """One thing that was measured."""

    name: str
    measured: float
    limit: float
    unit: str


def seconds(*runs: Callable[[], object]) -> list[float]:
    """Wall time of the best of RUNS turns of each, taken in turn: all meet the same weather."""

    def once(run: Callable[[], object]) -> float:
        start = time.perf_counter()
        run()
        return time.perf_counter() - start

    turns = [[once(run) for run in runs] for _ in range(RUNS)]
    return [min(times) for times in zip(*turns, strict=True)]


def python(*words: str) -> str:
    """What a fresh interpreter prints."""
    run = subprocess.run([sys.executable, *words], stdout=subprocess.PIPE, text=True, check=True)
    return run.stdout


def build(folder: Path, *words: str) -> str:
    return python("-m", "pikepole_export", "build", str(SCENE), "-o", str(folder), *words)


def step_times(scene: Path, folder: Path, only: str) -> dict[str, float]:
    """Seconds for each step, imports taken off: those of the run with the least in all."""
    runs = [json.loads(python("-c", STEPS, str(scene), str(folder), only)) for _ in range(RUNS)]
    return dict(min(runs, key=lambda steps: sum(took for _, took in steps)))


def check_times() -> Iterator[tuple[str, float]]:
    """For each scene, seconds that the checks take for 1,000 parts."""
    for scene in sorted(SCENES.glob("*.toml")):
        runs = [json.loads(python("-c", CHECKS, str(scene))) for _ in range(RUNS)]
        yield scene.stem, min(took * 1000 / parts for parts, took in runs)


def longer_scene(folder: Path) -> Path:
    """The same building LONGER times as long, its bay as it was."""
    text = SCENE.read_text(encoding="utf-8")
    length = re.search(r'(\[building\][^\[]*?\nlength\s*=\s*")(\d+)( ft")', text)
    assert length is not None, f"{SCENE}: no length in whole feet under [building]"
    feet = int(length[2]) * LONGER
    path = folder / "longer.toml"
    path.write_text(
        f"{text[: length.start()]}{length[1]}{feet}{length[3]}{text[length.end() :]}",
        encoding="utf-8",
    )
    return path


def peak_memory_mib(folder: Path) -> float:
    """The most that a whole build holds at once, its child process with it.

    Looks at /proc, so on Linux only. What the processes share is counted for each: never too low.
    """
    command = [sys.executable, "-m", "pikepole_export", "build", str(SCENE), "-o", str(folder)]
    with subprocess.Popen(command, stdout=subprocess.DEVNULL) as process:
        ended = threading.Event()
        peak = [0.0]

        def watch() -> None:
            while not ended.wait(0.02):
                peak[0] = max(peak[0], sum(map(_resident_mib, _family(process.pid))))

        watcher = threading.Thread(target=watch)
        watcher.start()
        code = process.wait()
        ended.set()
        watcher.join()
    assert code == 0
    return peak[0]


def _family(pid: int) -> list[int]:
    """A process and all below it."""
    children: list[int] = []
    for task in Path(f"/proc/{pid}/task").glob("*/children"):
        try:
            children += map(int, task.read_text().split())
        except OSError:
            continue  # it has ended meanwhile
    return [pid, *(member for child in children for member in _family(child))]


def _resident_mib(pid: int) -> float:
    try:
        pages = int(Path(f"/proc/{pid}/statm").read_text().split()[1])
    except (OSError, IndexError):
        return 0.0
    return pages * os.sysconf("SC_PAGE_SIZE") / 2**20


def whole_runs(scratch: Path) -> Iterator[Figure]:
    """Whole commands, in floors: what importing the libraries alone takes."""
    out = scratch / "out"
    lift = ("-m", "pikepole_export", "lift", str(SCENE))
    floor, plain, full, everything, cut, buy, lifts, cards = seconds(
        lambda: python("-c", FLOOR),
        lambda: build(out, "--only", WITHOUT_PICTURES),
        lambda: build(out, "--only", WITH_PICTURES),
        lambda: build(out),
        lambda: build(out, "--only", TO_BUY_AND_CUT),
        lambda: python("-m", "pikepole_export", "buy", str(SCENE)),
        lambda: python(*lift),
        lambda: python(*lift, "-o", str(out)),
    )
    Console().print(f"floor: {floor:.2f} s to import cadquery, trimesh and pyvista")
    for name, took, limit in (
        ("all but pictures", plain, MOST_WITHOUT_PICTURES),
        ("with pictures", full, MOST_WITH_PICTURES),
        ("everything", everything, MOST_IN_ALL),
        ("buying, cutting, drawings", cut, MOST_TO_BUY_AND_CUT),
        ("the buying list alone", buy, MOST_TO_BUY),
        ("the lift plan alone", lifts, MOST_TO_LIFT),
        ("its cards, more", cards - lifts, MOST_FOR_CARDS),
    ):
        yield Figure(name, took / floor, limit, "floors")


def checks(scratch: Path) -> Iterator[Figure]:
    """What is looked at for faults, in each scene."""
    for name, took in check_times():
        yield Figure(f"checks, {name}", took, MOST_TO_CHECK, "s for 1,000 parts")


def strength(scratch: Path) -> Iterator[Figure]:
    """What is held against rules of strength."""
    took = min(float(python("-c", STRENGTH, str(SCENE))) for _ in range(RUNS))
    yield Figure("checks of strength", took, MOST_FOR_STRENGTH, "s")


def growth(scratch: Path) -> Iterator[Figure]:
    """A far longer building, and where the time goes."""
    out = scratch / "out"
    columns = {
        "s": step_times(SCENE, out, WITHOUT_PICTURES),
        f"{LONGER} times as long, s": step_times(longer_scene(scratch), out, WITHOUT_PICTURES),
        "with pictures, s": step_times(SCENE, out, WITH_PICTURES),
        "buying, cutting, drawings, s": step_times(SCENE, out, TO_BUY_AND_CUT),
    }
    where = Table("step, imports taken off", *columns)
    for what in dict.fromkeys(what for times in columns.values() for what in times):
        took = (f"{times[what]:.2f}" if what in times else "" for times in columns.values())
        where.add_row(what, *took)
    totals = [sum(times.values()) for times in columns.values()]
    where.add_row("in all", *(f"{total:.2f}" for total in totals))
    Console().print(where)
    short, long = totals[:2]
    yield Figure(f"{LONGER} times as long", long / short, MOST_FOR_TEN_TIMES_AS_LONG, "times")


def memory(scratch: Path) -> Iterator[Figure]:
    """The most that a build of everything holds."""
    if sys.platform == "linux":
        yield Figure("peak memory", peak_memory_mib(scratch / "out"), MOST_MEMORY_MIB, "MiB")


MEASURES = {measure.__name__: measure for measure in (whole_runs, checks, strength, growth, memory)}


def main(names: list[str]) -> int:
    console = Console()
    over = False
    with tempfile.TemporaryDirectory() as scratch:
        (Path(scratch) / "out").mkdir()
        for name in names or MEASURES:
            for figure in MEASURES[name](Path(scratch)):
                share = figure.measured / figure.limit
                over |= share > 1
                console.print(
                    f"{figure.name}: {figure.measured:.2f} of {figure.limit:.2f} {figure.unit}, "
                    f"{share:.0%}" + (" OVER" if share > 1 else "")
                )
    return int(over)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
