"""How long a build takes, against what importing its libraries alone takes on the same machine.

    python tests/bench/speed.py

Prints each figure as a share of its limit, and where the time goes. Exit code 1 when one is over.
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
from pikepole_export.cli.outputs import build_files
from pikepole_export.cli.words import Output
from pikepole_export.cli.work import lay_out
from pikepole_model.reading.file import load_scene

scene, folder, only = Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3].split(",")
marks = [("Reading the scene", time.perf_counter())]
step = lambda what: marks.append((what, time.perf_counter()))
building, contacts = lay_out(scene, load_scene(scene), step)
build_files(building, contacts, folder, [output for output in Output if output in only], step)
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
from pikepole_export.derive.strength.plan import strength_of
from pikepole_model.build import build
from pikepole_model.reading.file import load_scene

building = build(load_scene(Path(sys.argv[1])))
start = time.perf_counter()
strength_of(building)
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


def main() -> int:
    console = Console()
    with tempfile.TemporaryDirectory() as scratch:
        out = Path(scratch) / "out"
        out.mkdir()
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
        steps = step_times(SCENE, out, WITHOUT_PICTURES)
        longer = step_times(longer_scene(Path(scratch)), out, WITHOUT_PICTURES)
        figures = [
            Figure("all but pictures", plain / floor, MOST_WITHOUT_PICTURES, "floors"),
            Figure("with pictures", full / floor, MOST_WITH_PICTURES, "floors"),
            Figure("everything", everything / floor, MOST_IN_ALL, "floors"),
            Figure("buying, cutting, drawings", cut / floor, MOST_TO_BUY_AND_CUT, "floors"),
            Figure("the buying list alone", buy / floor, MOST_TO_BUY, "floors"),
            Figure("the lift plan alone", lifts / floor, MOST_TO_LIFT, "floors"),
            Figure("its cards, more", (cards - lifts) / floor, MOST_FOR_CARDS, "floors"),
            *(
                Figure(f"checks, {name}", took, MOST_TO_CHECK, "s for 1,000 parts")
                for name, took in check_times()
            ),
            Figure(
                "checks of strength",
                min(float(python("-c", STRENGTH, str(SCENE))) for _ in range(RUNS)),
                MOST_FOR_STRENGTH,
                "s",
            ),
            Figure(
                f"{LONGER} times as long",
                sum(longer.values()) / sum(steps.values()),
                MOST_FOR_TEN_TIMES_AS_LONG,
                "times",
            ),
        ]
        if sys.platform == "linux":
            memory = peak_memory_mib(out)
            figures.append(Figure("peak memory", memory, MOST_MEMORY_MIB, "MiB"))
        with_pictures = step_times(SCENE, out, WITH_PICTURES)
        to_cut = step_times(SCENE, out, TO_BUY_AND_CUT)

    console.print(f"floor: {floor:.2f} s to import cadquery, trimesh and pyvista")
    console.print(
        f"all but pictures: {plain:.2f} s; with pictures: {full:.2f} s; "
        f"everything: {everything:.2f} s; buying, cutting, drawings: {cut:.2f} s; "
        f"the buying list alone: {buy:.2f} s; the lift plan alone: {lifts:.2f} s; "
        f"with its cards: {cards:.2f} s"
    )
    table = Table("figure", "measured", "limit", "share of limit")
    for figure in figures:
        share = figure.measured / figure.limit
        table.add_row(
            figure.name,
            f"{figure.measured:.2f} {figure.unit}",
            f"{figure.limit:.2f} {figure.unit}",
            f"{share:.0%}" + (" OVER" if share > 1 else ""),
        )
    console.print(table)
    columns = {
        "s": steps,
        f"{LONGER} times as long, s": longer,
        "with pictures, s": with_pictures,
        "buying, cutting, drawings, s": to_cut,
    }
    where = Table("step, imports taken off", *columns)
    for what in dict.fromkeys(what for times in columns.values() for what in times):
        took = (f"{times[what]:.2f}" if what in times else "" for times in columns.values())
        where.add_row(what, *took)
    where.add_row("in all", *(f"{sum(times.values()):.2f}" for times in columns.values()))
    console.print(where)
    return int(any(figure.measured > figure.limit for figure in figures))


if __name__ == "__main__":
    sys.exit(main())
