"""What the drawing of each shaped piece is called.

pattern_names(building) -> {"rafter 4": "rafter-1"}
numbered(kinds) -> ("rafter-1", "rafter-2", "post-1")
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from pikepole_export.derive.templates import templates
from pikepole_export.write._captions import slug
from pikepole_model.part import Building


def numbered(kinds: Iterable[str]) -> Iterator[str]:
    """The name of a drawing of each of these kinds in turn, those of one kind counted from 1."""
    numbers: Counter[str] = Counter()
    for kind in kinds:
        numbers[kind] += 1
        yield f"{slug(kind)}-{numbers[kind]}"


def pattern_names(building: Building) -> dict[str, str]:
    """The drawing that each shaped piece of lumber is marked out by, by the piece's name."""
    found = templates(building)
    names = numbered(template.kind for template in found)
    return {
        part: name for template, name in zip(found, names, strict=True) for part in template.names
    }
