"""Whatever stands in a scene file: it is done, or refused with a place and a mend, in bounds."""

from __future__ import annotations

import gc
import re
import resource
import signal
import time
import traceback
import unicodedata
from pathlib import Path

import pytest

from command import BAD_INPUT, DONE, FINDINGS, Answer, pikepole
from fuzzing import Fuzzed, fuzzed
from pikepole_model.errors import SceneError
from pikepole_model.reading.file import load_scene

FEW, MANY, AT_ONCE = 20, 2000, 100
MOST_S = 30.0  # of this process, whatever else the machine does
MOST_MIB = 600.0  # over what it had before
# Of a file as a whole: nothing in it can be pointed at.
WHOLE_FILE = ("this file is empty", "this file is larger than")
_PLACE = re.compile(r"line \d+|[a-z_]+(\[\d+\])?(\.[\w-]+(\[\d+\])?)*")
_TURNING = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"


class _TooLongError(Exception):
    pass


def _stop(*_: object) -> None:
    raise _TooLongError


def _peak_mib() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def _faults(one: Fuzzed, folder: Path) -> list[str]:
    """What went wrong with one try."""
    folder.mkdir()
    scene, out = folder / "scene.toml", folder / "out"
    scene.write_bytes(one.data)
    before = _peak_mib()
    old = signal.signal(signal.SIGPROF, _stop)
    signal.setitimer(signal.ITIMER_PROF, MOST_S)
    try:
        answer = pikepole(*one.words, scene, *(("-o", out) if one.writes else ()))
    except Exception:
        return [traceback.format_exc(limit=-4)]
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, old)
        gc.collect()
    found = [f"memory grew by {_peak_mib() - before:.0f} MiB"] * (_peak_mib() - before > MOST_MIB)
    if answer.code not in (DONE, FINDINGS, BAD_INPUT):
        found.append(f"ended with {answer.code}: {answer.err}")
    if answer.code == BAD_INPUT:
        found += _of_refusal(answer, scene)
    there = {path.name for path in folder.iterdir()}
    if there != {"scene.toml"} | ({"out"} if one.writes and answer.code != BAD_INPUT else set()):
        found.append(f"left {there}")
    if any(
        (unicodedata.category(letter) == "Cc" and letter != "\n") or letter in _TURNING
        for letter in answer.out + answer.err
    ):
        found.append("control characters reached the terminal")
    return found


def _of_refusal(answer: Answer, scene: Path) -> list[str]:
    head, *problems = answer.err.split("\n\n")
    found = [f"said {answer.out[:200]!r} though it refused"] if answer.out else []
    if not head.startswith(f"{scene}: ") or not problems:
        return [*found, f"no report: {answer.err[:500]}"]
    for problem in problems:
        place, wrong = problem.split("wrong: ", 1)
        is_placed = _PLACE.match(place.strip()) or wrong.startswith(WHOLE_FILE)
        if not is_placed or not re.search(r"\n    mend:  \S", problem):
            found.append(f"no place or no mend: {problem[:500]}")
    return found


def _all_faults(seeds: range, folder: Path) -> str:
    said: list[str] = []
    for seed in seeds:
        one = fuzzed(seed)
        said += [f"{one.about}: {fault}" for fault in _faults(one, folder / str(seed))]
    return "\n".join(said)


def test_a_spoilt_scene_is_done_or_refused(tmp_path: Path) -> None:
    assert not _all_faults(range(FEW), tmp_path)


@pytest.mark.long
@pytest.mark.parametrize("first", range(FEW, MANY, AT_ONCE))
def test_many_spoilt_scenes_are_done_or_refused(first: int, tmp_path: Path) -> None:
    assert not _all_faults(range(first, min(first + AT_ONCE, MANY)), tmp_path)


@pytest.mark.parametrize(
    ("text", "place", "wrong"),
    [
        ("#" * 1_000_001, "", "this file is larger than 1,000,000 bytes"),
        ("x." * 50_000 + "x = 1", "line 1", "keys with dots are nested too deeply"),
        ("\n[x" + ".x" * 3000 + "]", "line 2", "keys with dots are nested too deeply"),
        ("y = 1\nx = " + "[" * 900_000, "line 2", "brackets are nested too deeply"),
        ("x = " + "{ a = " * 200 + "1" + " }" * 200, "x.a.a.a", "brackets are nested too deeply"),
        ("x = " + "[" * 200 + "]" * 200, "x[1][1][1]", "brackets are nested too deeply"),
        ("y = 1\nx = " + "9" * 5000, "line 2", "a number has too many digits"),
        ("[x]\ny = [0, 0x" + "f" * 9000 + "]", "x.y[2]", "a number has too many digits"),
    ],
)
def test_what_is_too_large_or_too_deep_is_refused_at_once(
    text: str, place: str, wrong: str, tmp_path: Path
) -> None:
    scene = tmp_path / "scene.toml"
    scene.write_text(text, encoding="utf-8")
    before = time.process_time()
    with pytest.raises(SceneError) as refused:
        load_scene(scene)
    assert time.process_time() - before < 5.0
    (problem,) = refused.value.problems
    assert (problem.key, problem.wrong) == (place, wrong)
    assert problem.mend
