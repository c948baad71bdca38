"""What the drawing of each shape that is not cut square is called.

named_shapes(building) -> (("rafter-1", a template), ("wall-sheet-1", an outline), ...)
pattern_names(building) -> {"rafter 4": "rafter-1"}
"""

from __future__ import annotations

from collections import Counter
from functools import lru_cache
from typing import TypeAlias

from pikepole_export.derive.measures.bends import Bend, bends
from pikepole_export.derive.measures.outlines import Outline, outlines
from pikepole_export.derive.measures.templates import Template, templates
from pikepole_export.files.whole import slug
from pikepole_model.building.part import Building

Shaped: TypeAlias = Template | Outline | Bend


@lru_cache(2)  # asked for by every family of drawings
def named_shapes(building: Building) -> tuple[tuple[str, Shaped], ...]:
    """Every template, outline and profile under its name, those of one kind counted from 1."""
    numbers: Counter[str] = Counter()
    named: list[tuple[str, Shaped]] = []
    for shape in (*templates(building), *outlines(building), *bends(building)):
        numbers[shape.kind] += 1
        named.append((f"{slug(shape.kind)}-{numbers[shape.kind]}", shape))
    return tuple(named)


def pattern_names(building: Building) -> dict[str, str]:
    """The drawing that each shaped piece is marked out by, by the piece's name."""
    return {part: name for name, shape in named_shapes(building) for part in shape.names}
