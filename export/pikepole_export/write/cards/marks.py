"""What is drawn over the picture of a card: forces, hands, slings, sizes, centres of gravity."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # the child that draws needs no model
    from pikepole_model.geometry.placement import Points


class Symbol(StrEnum):
    """What an arrow or a line stands for."""

    LIFT = "lift"
    PUSH = "push"
    WEIGHT = "weight"
    SLING = "sling"
    TAG = "tag"
    HAND = "hand"
    CENTRE = "centre"
    SIZE = "size"
    NOTE = "note"


LINES = (Symbol.SLING, Symbol.TAG, Symbol.SIZE)  # from one place to another


@dataclass(frozen=True, slots=True)
class Mark:
    """Something drawn over the picture.

    Attributes:
        symbol: What it is.
        at: (3,) float: where, mm.
        to: (3,) float: for an arrow a unit vector of its way, for a line its other end; None for
            what is at one place.
        lines: What is written beside it; empty for nothing.
    """

    symbol: Symbol
    at: Points
    to: Points | None = None
    lines: tuple[str, ...] = ()
