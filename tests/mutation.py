"""How many small faults put into the code the tests find.

    python tests/mutation.py [PLACE ...] [--per-module N] [--seed S]

PLACE is a folder or module under derive/: lifting, lifting/holds.py. One operator, comparison,
number, bound or rounding is changed at a time, and the test files that call the function it is in
are run until one fails. A fault that none finds survives: a test is missing, or it makes no
difference, which mutation-survivors.toml then gives the reason for; those count neither way. Exit
code 1 where fewer than nine in ten of the others are found, where one survives without a reason,
or where a reason is for a fault that can no longer be made or that a test finds.

A fault goes by its module, function and text: it is in the sample or not, whatever changes beside
it. Of ready-made runners mutmut 3.8 changes no decorated function and no table, which half of the
numbers here stand in, and cosmic-ray 8.7 starts a process for each fault, which takes longer than
the tests. Here libraries are imported and scenes laid out once, and each fault forks from there.
"""

from __future__ import annotations

import argparse
import cProfile
import gc
import hashlib
import importlib
import os
import resource
import sys
import tomllib
import types
from collections.abc import Iterable, Sequence
from functools import cache
from importlib.machinery import SourceFileLoader
from pathlib import Path
from typing import Any

import pytest
from rich.console import Console
from rich.progress import track

from mutants import DERIVE, Mutant, mutants

TESTS = Path(__file__).parent
SURVIVORS = TESTS / "mutation-survivors.toml"
LEAST_FOUND = 0.9
MOST_CPU_S = 240  # a fault that makes a test run on is found
# Test files that come into question for a folder, without "test_". Not buy_list and its like: they
# plan boards for so long that a fault would take minutes.
FILES = {
    "inventory": "weights areas counts_by_hand tables existing",
    "lifting": "lift_* niosh hands",
    "moving": "moving moving_floor lift_truck",
    "buying": (
        "fasteners bolts touching bearing hangers siding_nails ground coverings roofing doors"
        " areas tables"
    ),
    "cutting": (
        "cut_lengths cut_proofs cuts marks longest_board bars guillotine nesting* sheets_plan"
    ),
}


def drawn(where: Sequence[str], per_module: int, seed: int) -> list[Mutant]:
    """So many faults of each module: those whose names have the least digests."""

    def luck(mutant: Mutant) -> bytes:
        return hashlib.sha256(f"{seed} {mutant.name}".encode()).digest()

    paths = [DERIVE / place for place in where]
    modules = [one for path in paths for one in (sorted(path.rglob("*.py")) or [path])]
    return [one for path in modules for one in sorted(mutants(path), key=luck)[:per_module]]


def warm() -> None:
    """Imports what takes long and lays out every scene, once."""
    # The same draws for every fault. What starts threads would wait for them after a fork.
    os.environ |= {"CI": "1", "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
    for name in ("highspy", "shapely", "trimesh", "manifold3d", "hypothesis"):
        importlib.import_module(name)
    importlib.import_module("cadquery").Shape._bool_op.__defaults__ = (False,)
    making: Any = importlib.import_module("pikepole_model.build")
    making.build = cache(making.build)
    scenes, reading = map(importlib.import_module, ("conftest", "pikepole_model.reading.file"))
    for path in (scenes.SCENES | scenes.FORMS).values():
        making.build(reading.load_scene(path))
    # What is changed, and whatever has it, is imported anew after a fork.
    for name, module in list(sys.modules.items()):
        place = str(getattr(module, "__file__", ""))
        if name != "__main__" and place.startswith((str(TESTS), str(DERIVE.parent))):
            del sys.modules[name]
    gc.freeze()


def begin(files: Iterable[str], mutant: Mutant | None = None, calls: int | None = None) -> int:
    """Starts a process that runs test files, and writes the names of what they call."""
    child = os.fork()
    if child:
        return child
    code = 1
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 1)
        os.dup2(nowhere, 2)
        resource.setrlimit(resource.RLIMIT_CPU, (MOST_CPU_S, MOST_CPU_S))
        get_code = SourceFileLoader.get_code

        def changed(self: SourceFileLoader, fullname: str) -> types.CodeType | None:
            if mutant and Path(self.path) == DERIVE / mutant.module:
                return mutant.code
            return get_code(self, fullname)

        SourceFileLoader.get_code = changed
        early = "ignore::pytest.PytestAssertRewriteWarning"  # of what is imported already
        options = ["-x", "-q", "-p", "no:cacheprovider", "-W", early, *files]
        if calls is None:
            code = int(pytest.main(options))
        else:
            profile = cProfile.Profile(builtins=False)
            code = int(profile.runcall(pytest.main, options))
            codes = [entry.code for entry in profile.getstats()]
            called = {
                f"{one.co_filename} {one.co_name}" for one in codes if not isinstance(one, str)
            }
            os.write(
                calls, "\n".join(one for one in called if one.startswith(str(DERIVE))).encode()
            )
    finally:
        os._exit(code)


def callers(folders: Iterable[str]) -> dict[str, list[str]]:
    """The test files that call each function, the quickest first; what fails as it is ends it."""
    found: dict[str, list[tuple[float, str]]] = {}
    globs = [f"test_{stem}.py" for folder in folders for stem in FILES[folder].split()]
    for path in sorted({str(path) for glob in globs for path in TESTS.glob(glob)}):
        out, into = os.pipe()
        child = begin([path], calls=into)
        os.close(into)
        with os.fdopen(out, encoding="utf-8") as lines:
            called = lines.read().splitlines()
        _, status, used = os.wait4(child, 0)
        if status:
            sys.exit(f"{path} fails as it is")
        for name in called:
            found.setdefault(name, []).append((used.ru_utime, path))
    return {name: [path for _, path in sorted(rows)] for name, rows in found.items()}


def stale(reasons: Iterable[str], where: Sequence[str]) -> list[str]:
    """Faults in these places that have a reason, but that can no longer be made."""
    modules = {name: name.split(" ")[0] for name in reasons}
    paths = [DERIVE / module for module in set(modules.values())]
    made = {fault.name for path in paths if path.exists() for fault in mutants(path)}
    return [
        name
        for name, module in modules.items()
        if name not in made and any(Path(module).is_relative_to(place) for place in where)
    ]


def main() -> int:
    """Draws, runs, and says what survived and how many were found."""
    parser = argparse.ArgumentParser()
    parser.add_argument("places", nargs="*", metavar="PLACE", default=list(FILES))
    parser.add_argument("--per-module", type=int, default=5)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    reasons = tomllib.loads(SURVIVORS.read_text(encoding="utf-8"))
    sample = drawn(asked.places, asked.per_module, asked.seed)
    unfounded = stale(reasons, asked.places)
    warm()
    files = callers({mutant.module.split("/")[0] for mutant in sample})
    found, listed = 0, 0
    say = Console(soft_wrap=True, markup=False, highlight=False)
    for mutant in track(sample, console=say):
        tests = files.get(f"{DERIVE / mutant.module} {mutant.scope.split('.')[-1]}")
        if tests and os.waitpid(begin(tests, mutant), 0)[1]:
            found += 1
            if mutant.name in reasons:
                unfounded.append(mutant.name)
        elif mutant.name in reasons:
            listed += 1
        else:
            say.print(f"survived: {mutant.name}")
    for name in unfounded:
        say.print(f"has a reason, but is found or can no longer be made: {name}")
    share = found / ((len(sample) - listed) or 1)
    say.print(
        f"{found} of {len(sample) - listed} found, {share:.1%}; {listed} more make no difference"
    )
    return 0 if share >= LEAST_FOUND and found + listed == len(sample) and not unfounded else 1


if __name__ == "__main__":
    sys.exit(main())
