"""A mend as it is told, read back: which keys take which values, so that it can be tried.

told_ways(problem) -> the ways out that its mend names
"""

from __future__ import annotations

import itertools
import json
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass

from pikepole_model.errors import NOT_YET, KeyPath, Problem, Try
from pikepole_model.reading.candidates import Change

# As in `give at least X and at most Y`, `give some.key X`, `leave out some.key`, `add the table
# [[key]] with name = "X", width = "Y"`.
_GIVE = re.compile(r"give (?:(?P<key>[a-z_]+(?:\[\d+\])?(?:\.[a-z_]+(?:\[\d+\])?)+) )?(?P<what>.+)")
_LIMIT = re.compile(r"at (?P<side>most|least) (?P<one>.+?)(?: and at most (?P<most>.+))?")
_SUCH_AS = re.compile(r"add it, such as \w+ = (\S.*?)(?: or .+)?")
_TABLE = re.compile(r"add the table \[\[(?P<key>[a-z_.]+)\]\] with (?P<keys>.+)")
_JSON = re.compile(r'-?\d+|true|false|".*[^\d ]"|"[^"]*"|\[.*\]')


@dataclass(frozen=True, slots=True)
class Told:
    """One way out, as it is told.

    Attributes:
        text: What is told.
        ways: The changes of each of the values that it names; None where it says something else
            than what to give and what to leave out.
        further: The key to look at past a limit that does not do.
    """

    text: str
    ways: tuple[tuple[Change, ...], ...] | None
    further: Try | None = None


def told_ways(problem: Problem) -> Iterator[Told]:
    """The ways out that a mend names, which is empty where only trying can tell."""
    for text in re.split(r", or (?=give|leave|add)", problem.mend) if problem.mend else ():
        steps = [_step(step, problem.path) for step in re.split(r", and (?=give|leave)", text)]
        known = [step for step in steps if step is not None]
        if len(known) < len(steps):
            yield Told(text, None)
        else:
            further = _further(text, problem.path) if len(steps) == 1 else None
            yield Told(text, tuple(itertools.product(*known)), further)


def path_of(key: str) -> KeyPath:
    """The path of a key as people read it, whose items count from 1."""
    steps = re.findall(r"[a-z_]+|\d+", key)
    return tuple(int(step) - 1 if step.isdigit() else step for step in steps)


def _step(text: str, wrong: KeyPath) -> list[Change] | None:
    """What one step of a mend may change; None where it says something else."""
    if text.startswith("leave out "):
        return [Change(path_of(text.removeprefix("leave out ")), None, "")]
    if table := _TABLE.fullmatch(text):
        keys = tomllib.loads(f"one = {{ {table['keys']} }}")
        return [Change(path_of(table["key"]), keys["one"], text)]
    if example := _SUCH_AS.fullmatch(text):
        return [_change(wrong, example[1])]
    give = _GIVE.fullmatch(text)
    if give is None or ", or " in text or NOT_YET in text:
        return None
    path, what = path_of(give["key"]) if give["key"] else wrong, give["what"]
    if limit := _LIMIT.fullmatch(what):
        return [_change(path, value) for value in (limit["one"], limit["most"]) if value]
    if what.startswith("["):
        values = [what]
    else:
        values = re.findall(r'"[^"]*"', what) if what[0] == '"' else re.split(r", | or ", what)
    return [_change(path, value) for value in values]


def _further(text: str, wrong: KeyPath) -> Try | None:
    """Past the limit that a mend names: smaller still than the most, larger than the least."""
    give = _GIVE.fullmatch(text)
    limit = _LIMIT.fullmatch(give["what"]) if give else None
    if not give or not limit or limit["most"]:
        return None
    path = path_of(give["key"]) if give["key"] else wrong
    return Try(path, "less" if limit["side"] == "most" else "more")


def _change(path: KeyPath, text: str) -> Change:
    try:
        return Change(path, json.loads(text) if _JSON.fullmatch(text) else text, text)
    except ValueError:  # a name with a backslash in it
        return Change(path, text, text)
