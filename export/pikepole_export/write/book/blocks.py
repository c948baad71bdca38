"""What a book is made of, as the layout takes it.

Chapter(title, label, blocks)
as_data(chapters) -> plain lists and dicts

Text goes into a Cell as it is in the scene; what would break the page is mended here, once.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, fields, is_dataclass
from typing import Any, TypeAlias, cast

# A number and the unit after it stay on one line, and so do the sides of a size.
_PARTED = re.compile(
    r"(?<=\d') (?=\d)|(?<=\d) (?=(?:ft|mm|m|lb|kg|lbf|N|psi|mph|km/h|h|deg)\b)"
    r"|(?<=[\dm\"']) (?=x \d)|(?<= x) (?=\d)"
)
_KEPT = "\u00a0"
# Nor is a unit broken at its stroke: N/mm2, km/h.
_STROKE = re.compile(r"(?<=[Nmg])/(?=(?:mm|m|h)\d?\b)")
_JOINED = "/\u2060"
_SPACES = re.compile(r"[^\S\u00a0]+")
# A word as long as this may be broken after so many letters, in a narrow column.
_LONG_WORD = re.compile(r"\S{25,}")
_SYLLABLE = re.compile(r"\S{12}(?=\S)")
MAY_BREAK = "\u200b"
_UNREADABLE = "\ufffd"


@dataclass(frozen=True, slots=True)
class Cell:
    """Words, in a table or by themselves.

    Attributes:
        text: What is said.
        to: The label that it leads to; empty where it leads nowhere.
        pages: Labels whose pages stand behind it, each with its link.
        box: Whether a box to tick stands before it.
        bold: Whether it stands out.
    """

    text: str = ""
    to: str = ""
    pages: tuple[str, ...] = ()
    box: bool = False
    bold: bool = False


TICK = Cell(box=True)


@dataclass(frozen=True, slots=True)
class Head:
    """A heading below that of the chapter."""

    text: str
    label: str = ""
    level: int = 2


@dataclass(frozen=True, slots=True)
class Words:
    """A paragraph."""

    text: str


@dataclass(frozen=True, slots=True)
class Points:
    """A list.

    Attributes:
        items: What is in it.
        boxes: Whether there are boxes to tick.
        signed: Whether it is on one page, with a line to sign under it.
    """

    items: tuple[Cell, ...]
    boxes: bool = False
    signed: bool = False


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table.

    Attributes:
        head: What stands over it, on each page that the table runs over.
        wraps: Whether what is in it may be wrapped; else it is as wide as that.
        right: Whether it is set to the right, as numbers are.
    """

    head: str
    wraps: bool = False
    right: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells under their heads.

    Attributes:
        columns: What stands over them.
        rows: A cell for each column.
        folded: Into how many strips beside each other, each with its heads.
    """

    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    folded: int = 1


@dataclass(frozen=True, slots=True)
class Pairs:
    """Things that are said, each after what it is about."""

    rows: tuple[tuple[Cell, Cell], ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture, so wide as a share of the page, from 0 to 1; by its path from the folder."""

    file: str
    share: float = 1.0
    label: str = ""


@dataclass(frozen=True, slots=True)
class Plate:
    """A picture on a page of its own, before all else of its chapter, as wide as it is meant."""

    file: str
    wide_mm: float


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing at true size on a page of its own.

    Attributes:
        file: Its path from the folder.
        label: By which others lead to it.
        wide_mm: Of its page.
        high_mm: Of its page.
        back: What leads to the stages that build it.
    """

    file: str
    label: str
    wide_mm: float
    high_mm: float
    back: tuple[Cell, ...] = ()


@dataclass(frozen=True, slots=True)
class Contents:
    """Every chapter with its page."""


Block: TypeAlias = Head | Words | Points | Table | Pairs | Picture | Plate | Drawing | Contents


@dataclass(frozen=True, slots=True)
class Chapter:
    """A chapter.

    Attributes:
        title: What it is called.
        label: By which others lead to it.
        blocks: What is in it.
        listed: Whether it is one of the table of contents.
        runs_on: Whether it begins on the page on which the one before ends, if there is room.
    """

    title: str
    label: str
    blocks: tuple[Block, ...]
    listed: bool = True
    runs_on: bool = False


# What is printed; all other text names a file or a label.
_PRINTED = {"text", "title", "head"}


def as_data(value: Any, name: str = "") -> Any:
    """Chapters and what is in them as JSON knows them; a block says what it is."""
    if isinstance(value, str):
        return printable(value) if name in _PRINTED else value
    if is_dataclass(value):
        own = {one.name: as_data(getattr(value, one.name), one.name) for one in fields(value)}
        return {"is": type(value).__name__.lower(), **own}
    if isinstance(value, tuple | list):
        return [as_data(one) for one in cast("Sequence[Any]", value)]
    return value


def printable(text: str) -> str:
    """Text that a page can hold: one line of it, no word wider than a column."""
    one_line = _SPACES.sub(" ", text).strip()
    plain = "".join(
        _UNREADABLE if unicodedata.category(letter) in ("Cc", "Cf", "Cs") else letter
        for letter in one_line
    )
    kept = _STROKE.sub(_JOINED, _PARTED.sub(_KEPT, plain))
    return _LONG_WORD.sub(lambda word: _SYLLABLE.sub(rf"\g<0>{MAY_BREAK}", word[0]), kept)
