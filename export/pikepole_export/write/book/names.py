"""Many names in few words.

runs(names) -> "bay 1 to 2 post 1 to 3", "rafter 4"
listed(names) -> "block 2, 4 to 7", "sill"
sided(names) -> "front, back, left wall cladding"
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from pikepole_export.derive.cutting.marks import together


def runs(names: Iterable[str]) -> list[str]:
    """Names with their numbers drawn together, the last one and then the first one inside."""
    alike: dict[tuple[str, str], list[int]] = {}
    for name in together(names):
        found = re.fullmatch(r"(.*?) (\d+)( (?!to \d+$)\D.*)", name)
        start, end = (found[1], found[3]) if found else (name, "")
        numbers = alike.setdefault((start, end), [])
        if found:
            numbers.append(int(found[2]))
    return [
        f"{one}{end}"
        for (start, end), numbers in alike.items()
        for one in together(f"{start} {number}" for number in sorted(numbers)) or [start]
    ]


def listed(names: Iterable[str]) -> list[str]:
    """The same with all numbers after what they share."""
    numbers: dict[str, list[str]] = {}
    for name in runs(names):
        found = re.fullmatch(r"(.*?) (\d+(?: to \d+)?)", name)
        stem, own = (found[1], [found[2]]) if found else (name, [])
        numbers.setdefault(stem, []).extend(own)
    return [f"{stem} {', '.join(own)}".rstrip() for stem, own in numbers.items()]


def sided(names: Iterable[str]) -> list[str]:
    """Names that differ in their first word alone, these one after the other."""
    firsts: dict[str, list[str]] = {}
    for name in names:
        first, _, rest = name.partition(" ")
        firsts.setdefault(rest, []).append(first)
    return [f"{', '.join(own)} {rest}".rstrip() for rest, own in firsts.items()]
