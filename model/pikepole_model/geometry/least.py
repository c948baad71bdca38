"""What a hand would break: how narrow and how short a piece may be, by what it is made of.

All are common practice, no source: what is narrower breaks as it is carried or splits as it is
nailed. The layout divides elsewhere rather than make such a piece.
"""

from __future__ import annotations

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Least:
    """The least of a piece, mm.

    Attributes:
        width: Across it, of an arm beside an opening, and of a neck.
        length: Along it.
        share: Of narrow stock's width that is as good.
    """

    width: float
    length: float
    share: float


# 2 in: of OSB, plywood and wallboard, and of strips ripped from them.
SHEET = Least(width=50.8, length=50.8, share=1 / 2)
# 1-1/4 in and 3 in: siding, upright or level.
BOARD = Least(width=31.75, length=76.2, share=1 / 4)
# 1 in, with a nail in its middle.
BATTEN = Least(width=25.4, length=76.2, share=1 / 3)
# 2-3/4 in, half of a 1x6: it stands free.
SLAT = Least(width=69.85, length=76.2, share=1 / 2)


def of_width(least: Least, width: float) -> Least:
    """The least of stock of some width, mm: of narrow stock its share is enough."""
    return replace(least, width=min(least.width, width * least.share))
