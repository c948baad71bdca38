"""The chapters of a book as PDF.

set_book(chapters, title, units, folder) -> bytes
page_size(drawing) -> (wide, high), mm
title_of(drawing, job) -> what it shows
"""

from __future__ import annotations

import html
import json
import re
from collections.abc import Sequence
from importlib.resources import files
from pathlib import Path
from typing import Any

from pikepole_export.graphics.lettering import fonts_folder
from pikepole_export.write.book.blocks import Chapter, Table, as_data, printable
from pikepole_export.write.book.widths import widths_mm
from pikepole_model.errors import OutputError
from pikepole_model.units import Units

# Letter (ANSI/ASME Y14.1) and A4 (ISO 216).
PAPER_MM: dict[Units, tuple[float, float]] = {"imperial": (215.9, 279.4), "metric": (210.0, 297.0)}
LEFT_MM, RIGHT_MM, GUTTER_MM = 20.0, 13.0, 6.0  # beside a page, and between strips of a table
_MOST_IN_FOOT = 60  # letters of a title at the foot of a page
_SIZE = re.compile(rb'<svg\b[^>]*?\bwidth="([\d.]+)mm"[^>]*?\bheight="([\d.]+)mm"')

_TITLE = re.compile(r"<title>(.*?)</title>", re.DOTALL)


def set_book(chapters: Sequence[Chapter], title: str, units: Units, folder: Path) -> bytes:
    """A book as PDF; the same chapters give the same bytes.

    Args:
        chapters: In order.
        title: Of the book.
        units: They decide the paper.
        folder: Where its pictures and drawings are.

    Raises:
        OutputError: it cannot be set; says why.
    """
    import typst

    short = title if len(title) <= _MOST_IN_FOOT else f"{title[:_MOST_IN_FOOT].rstrip()}..."
    book = {
        "title": printable(title),
        "short": printable(short),
        "paper_mm": PAPER_MM[units],
        "left_mm": LEFT_MM,
        "right_mm": RIGHT_MM,
        "gutter_mm": GUTTER_MM,
        "chapters": _data(chapters, PAPER_MM[units][0] - LEFT_MM - RIGHT_MM),
    }
    layout = files("pikepole_export.write.book").joinpath("layout.typ").read_bytes()
    try:
        compiler = typst.Compiler(
            layout,
            root=folder,
            font_paths=typst.Fonts(include_system_fonts=False, font_paths=[fonts_folder()]),
            sys_inputs={"book": json.dumps(book, ensure_ascii=False)},
        )
        pdf = compiler.compile(pdf_tags=False)
    except typst.TypstError as error:
        raise OutputError(f"handbook.pdf: cannot be set: {error.message}") from error
    assert isinstance(pdf, bytes)
    return pdf


def _data(chapters: Sequence[Chapter], room_mm: float) -> list[dict[str, Any]]:
    """Chapters as the layout takes them, each table with the widths of its columns."""
    found = [as_data(one) for one in chapters]
    for chapter, data in zip(chapters, found, strict=True):
        for block, own in zip(chapter.blocks, data["blocks"], strict=True):
            if isinstance(block, Table):
                strip_mm = (room_mm - GUTTER_MM * (block.folded - 1)) / block.folded
                own["widths_mm"] = widths_mm(block, strip_mm)
    return found


def page_size(drawing: Path) -> tuple[float, float]:
    """Width and height of a drawing as it says them itself, mm.

    Raises:
        OutputError: it does not.
    """
    with drawing.open("rb") as file:
        found = _SIZE.search(file.read(1000))
    if found is None:
        raise OutputError(f"{drawing}: says no size in mm, so it cannot be set true to size")
    return float(found[1]), float(found[2])


def title_of(drawing: Path, job: str) -> str:
    """What a drawing says that it shows; its file's name where it says nothing.

    Args:
        drawing: An SVG file.
        job: Whose it is, which is left out.
    """
    with drawing.open("rb") as file:
        found = _TITLE.search(file.read(4000).decode("utf-8", "ignore"))
    return html.unescape(found[1]).removesuffix(f", {job}") if found else drawing.stem
