"""Dice that a scene is drawn with: the same seed, the same scene."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Any, TypeAlias

from pikepole_model.units import FOOT_MM, INCH_MM, parse_length

Table: TypeAlias = dict[str, Any]

# People write whole feet, half feet, inches, eighths, and whole 100, 10 or single mm.
IMPERIAL = (FOOT_MM, FOOT_MM, FOOT_MM / 2, INCH_MM, INCH_MM / 8)
METRIC = (100.0, 100.0, 10.0, 1.0)


class Dice(random.Random):
    """Draws lengths as a person writes them, and keys that may be left out."""

    def happens(self, share: float) -> bool:
        """Whether it does, so often of all times."""
        return self.random() < share

    def one(self, *choices: Any) -> Any:
        """One of some."""
        return self.choice(choices)

    def length(self, low_mm: float, high_mm: float) -> str:
        """A length between two, as a person writes it: as round as there is one, more often."""
        steps = [
            step
            for step in (*IMPERIAL, *METRIC)
            if math.ceil(low_mm / step) <= math.floor(high_mm / step)
        ]
        step = self.choice(steps)
        count = self.randint(math.ceil(low_mm / step), math.floor(high_mm / step))
        return written(count * step, metric=step in METRIC)

    def some(self, share: float, **keys: Callable[[], object]) -> Table:
        """These keys with their values, each left out or not."""
        return {key: value() for key, value in keys.items() if self.happens(share)}

    def any_of(self, items: Sequence[str], least: int = 1) -> list[str]:
        """Some of these, in their order."""
        kept = set(self.sample(range(len(items)), self.randint(least, len(items))))
        return [item for k, item in enumerate(items) if k in kept]


def written(length_mm: float, *, metric: bool) -> str:
    """A length as a person writes it: `2400 mm`, `7 ft 6 in`, `3-5/8 in`."""
    if metric:
        return f"{length_mm:g} mm"
    feet, inches = divmod(Fraction(round(length_mm / INCH_MM * 8), 8), 12)
    inches, part = divmod(inches, 1)
    small = "-".join(str(size) for size in (inches, part) if size)
    texts = (f"{feet} ft" if feet else "", f"{small or 0} in" if small or not feet else "")
    return " ".join(filter(None, texts))


def mm(text: str) -> float:
    """A length that was drawn, mm."""
    return parse_length(text)
