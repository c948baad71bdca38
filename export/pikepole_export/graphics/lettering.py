"""The typeface of pictures, cards and drawings, and words of it that keep to their room."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache, lru_cache
from importlib.util import find_spec
from pathlib import Path
from typing import TypeAlias

from PIL import ImageFont

NO_BREAK = "\N{NO-BREAK SPACE}"

Width: TypeAlias = Callable[[str], float]  # how wide words come out, in the unit of the room


def fonts_folder() -> Path:
    """Where DejaVu Sans is, which pyvista's own plotting library brings along everywhere."""
    spec = find_spec("matplotlib")
    assert spec is not None
    assert spec.origin is not None
    return Path(spec.origin).parent / "mpl-data/fonts/ttf"


@cache
def font_of(size: int, bold: bool = False) -> ImageFont.FreeTypeFont:
    """The typeface in a size."""
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    return ImageFont.truetype(fonts_folder() / name, size)


@lru_cache(maxsize=2**16)
def width_px(words: str, size: int, bold: bool = False) -> float:
    """How wide words come out; the same are measured for one card after another."""
    return font_of(size, bold).getlength(words)


def feet_kept(words: str) -> str:
    """Words in which feet and the inches after them stay on one line."""
    return words.replace("' ", f"'{NO_BREAK}")


def wrapped(words: str, room: float, width: Width) -> list[str]:
    """Words in lines no wider than a room; a word that is wider has a line to itself.

    What is joined by NO_BREAK stays on one line, and comes out with spaces.

    Args:
        words: What is to be wrapped.
        room: In the unit of `width`.
        width: Measures words.
    """
    rest = [word.replace(NO_BREAK, " ") for word in words.split(" ") if word]
    lines: list[str] = []
    while rest:
        count = _on_a_line(rest, room, width)
        lines.append(" ".join(rest[:count]))
        del rest[:count]
    return lines


def _on_a_line(words: Sequence[str], room: float, width: Width) -> int:
    """How many words go on a line, one at least; tried from a guess on, as measuring is slow."""

    def fits(count: int) -> bool:
        return count == 1 or width(" ".join(words[:count])) <= room

    letters = room / width("n")
    count, taken = 1, len(words[0])
    while count < len(words) and taken + 1 + len(words[count]) <= letters:
        taken += 1 + len(words[count])
        count += 1
    while not fits(count):
        count -= 1
    while count < len(words) and fits(count + 1):
        count += 1
    return count


def shortened(words: str, room: float, width: Width) -> str:
    """Words, cut short with an ellipsis where they are wider than a room.

    Args:
        words: One line.
        room: In the unit of `width`.
        width: Measures words.
    """
    if width(words) <= room:
        return words
    while words and width(f"{words}...") > room:
        words = words[:-1]
    return f"{words.rstrip()}..."


def spread(xs: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Places in order, at least a gap apart, as near to those asked for as that allows.

    Neighbours that are too near are pooled and share the room about their middle.

    Args:
        xs: Places, rising.
        gap: The least between two.
        low: No place is below this.
        high: No place is above this.
    """
    pools: list[list[float]] = []
    for x in xs:
        pools.append([x])
        while len(pools) > 1 and _start(pools[-1], gap) < _start(pools[-2], gap) + gap * len(
            pools[-2]
        ):
            last = pools.pop()
            pools[-1] += last
    places = [_start(pool, gap) + gap * k for pool in pools for k in range(len(pool))]
    shift = max(0.0, low + gap / 2 - places[0]) - max(0.0, places[-1] - high + gap / 2)
    return [place + shift for place in places]


def _start(pool: Sequence[float], gap: float) -> float:
    return sum(pool) / len(pool) - gap * (len(pool) - 1) / 2
