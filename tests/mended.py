"""A mend as it is printed, read by a program: which key takes which value."""

from __future__ import annotations

import copy
import json
import re
import tomllib
from typing import Any

# As in `give at least X and at most Y`, `give some.key X`, `leave out some.key`, `add the table
# [[key]] with name = "X", width = "Y"`.
_GIVE = re.compile(r"give (?:(?P<key>[a-z_]+(?:\[\d+\])?(?:\.[a-z_]+(?:\[\d+\])?)+) )?(?P<what>.+)")
_TABLE = re.compile(r"add the table \[\[([a-z_.]+)\]\] with (.+)")
_LIMIT = re.compile(r"at (?:most|least) (.+?)(?: and at most (.+))?")


def ways(mend: str, key: str) -> list[tuple[str, Any]]:
    """Each way that a mend names, as a key and its value.

    None leaves the key out; a table is one more item of the list there.
    """
    found: list[tuple[str, Any]] = []
    for way in re.split(r", or (?=give|leave|add)", mend):
        if table := _TABLE.fullmatch(way):
            found.append((table[1], tomllib.loads(f"one = {{ {table[2]} }}")["one"]))
        elif way.startswith("add the table "):
            continue  # what goes into it is the person's own
        elif way.startswith("leave out "):
            found.append((way.removeprefix("leave out "), None))
        elif example := re.fullmatch(r"add it, such as \w+ = (\S.*?)(?: or .+)?", way):
            found.append((key, json.loads(example[1])))
        elif give := _GIVE.fullmatch(way):
            where, what = give["key"] or key, give["what"]
            if limit := _LIMIT.fullmatch(what):
                found += [(where, _value(text)) for text in limit.groups() if text]
            else:
                found += [(where, _value(text)) for text in _listed(what)]
        else:
            raise AssertionError(f"no mend that could be followed: {way}")
    return found


def _listed(what: str) -> list[str]:
    if what.startswith("["):
        return [what]
    return re.split(r", | or ", what)


def _value(text: str) -> Any:
    if re.fullmatch(r'-?\d+|true|false|".*[^\d ]"|"[^"]*"|\[.*\]', text):
        return json.loads(text)
    return text


def follow(scene: dict[str, Any], key: str, value: Any) -> dict[str, Any]:
    """The scene with a value at a key as the report names it, or without it for None.

    With a table it has one more item in the list at the key.
    """
    scene = copy.deepcopy(scene)
    *steps, last = [
        int(step) - 1 if step.isdigit() else step for step in re.findall(r"[a-z_]+|\d+", key)
    ]
    inside: Any = scene
    for step in steps:
        inside = inside[step] if isinstance(step, int) else inside.setdefault(step, {})
    if value is None:
        del inside[last]
    elif isinstance(value, dict):
        inside.setdefault(last, []).append(value)
    else:
        inside[last] = value
    return scene
