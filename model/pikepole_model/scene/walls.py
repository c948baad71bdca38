"""What a person writes about each wall: what covers its studs, or what stands in their place."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import Field

from pikepole_model.scene.quantity import Measure
from pikepole_model.scene.types import (
    Height,
    LumberName,
    LumberNameOrNone,
    Section,
    SheetNameOrNone,
    Spacing,
)

# Upright boards are nailed to something level at most 24 in apart. Source: IRC R703.5.1 (from
# memory); WWPA, Natural Wood Siding.
MOST_NAILED_APART_MM = 609.6


class Header(Section):
    """What carries the roof over the open part of a wall."""

    header: LumberName | None = None  # of its plies; None: as over an opening
    post: LumberName | None = None  # None: the thickest square one that the wall has room for
    posts: Annotated[int, Field(ge=2, le=40)] | None = None  # those at both ends counted


class OpenWall(Header):
    """No wall: posts and a header on them; [walls.front] and so on of kind "open"."""

    kind: Literal["open"]


class Framed(Header):
    """What every wall of studs says: how high it is, and what covers its inside."""

    height: Height | None = None  # top of floor to top of a half wall, open above; None: whole
    lining: SheetNameOrNone = None  # sheets on the inside
    cap: bool = True  # a board over a half wall and all that covers it


class SheetedWall(Framed):
    """Studs with sheets on the outside; of kind "sheets"."""

    kind: Literal["sheets"]


class BracedWall(Framed):
    """Studs without sheets, held by let-in braces; of kind "braces"."""

    kind: Literal["braces"]
    brace: LumberNameOrNone = "1x4"  # IRC Table R602.10.4, method LIB; None: bare studs


class SlattedWall(Framed):
    """Studs with boards that stand apart, level or upright on girts; of kind "slats"."""

    kind: Literal["slats"]
    board: LumberName = "1x6"
    # Between two boards: wet ones that stand nearer swell shut; common practice, no source.
    gap: Annotated[float, Measure("length", 6.0, 300.0)] = 25.4
    brace: LumberNameOrNone = "1x4"  # let in behind the boards, as in a wall of kind "braces"
    girts: Literal["between", "over"] | None = None  # what upright slats are nailed to
    girt: LumberName = "2x4"  # its wide face out
    girt_spacing: Spacing = MOST_NAILED_APART_MM


WallKind: TypeAlias = Annotated[
    SheetedWall | BracedWall | SlattedWall | OpenWall, Field(discriminator="kind")
]
