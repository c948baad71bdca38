"""A scene file with another value at a key, all else as it was written.

with_value(text, path, value) -> text
"""

from __future__ import annotations

import re

from pikepole_model.errors import KeyPath

_HEADER = re.compile(r"^\s*(\[\[?)\s*([^\]]+?)\s*\]\]?\s*(#.*)?$")


def with_value(text: str, path: KeyPath, value: str) -> str:
    """The text of a scene with a value at a key: in its place, or under its table's header.

    Args:
        text: TOML, as a person wrote it.
        path: Of the key; the numbers of tables that come in lists count from 0.
        value: As TOML has it: `"2x10"`, `3`.

    Returns:
        The same text where the table is written in one line with others.
    """
    *tables, key = path
    lines = text.splitlines(keepends=True)
    header = ".".join(str(step) for step in tables if isinstance(step, str))
    found = _table(lines, tables)
    if found is None:
        in_list = any(isinstance(step, int) for step in tables)
        return text if in_list else f"{text.rstrip()}\n\n[{header}]\n{key} = {value}\n"
    start, end = found
    own = re.compile(rf"^(\s*{re.escape(str(key))}\s*=\s*)([^#\n]*?)(\s*(?:#.*)?)$")
    for number in range(start, end):
        match = own.match(lines[number].rstrip("\n"))
        if match:
            comment = match[3].strip()
            # A comment stays in its column where there is room.
            room = max(2, len(match[2]) + len(match[3]) - len(comment) - len(value))
            lines[number] = f"{match[1]}{value}{' ' * room if comment else ''}{comment}\n"
            return "".join(lines)
    while start < end and not lines[end - 1].strip():
        end -= 1
    # Under the last key of the table's own, before a comment that heads the next.
    while end > start and lines[end - 1].lstrip().startswith("#"):
        end -= 1
    while end > start and not lines[end - 1].strip():
        end -= 1
    lines.insert(end, f"{key} = {value}\n")
    return "".join(lines)


def _table(lines: list[str], tables: list[str | int]) -> tuple[int, int] | None:
    """From and to of a table's own lines, without its header and the tables in it."""
    counts: dict[str, int] = {}
    start = 0 if not tables else None
    for number, line in enumerate(lines):
        match = _HEADER.match(line)
        if not match:
            continue
        if start is not None:
            return start, number
        name = match[2]
        if match[1] == "[[":
            counts[name] = counts.get(name, -1) + 1
        at: list[str | int] = []
        for depth, step in enumerate(name.split("."), start=1):
            at.append(step)
            above = ".".join(name.split(".")[:depth])
            if above in counts:
                at.append(counts[above])
        if at == tables:
            start = number + 1
    return None if start is None else (start, len(lines))
