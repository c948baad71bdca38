"""The book for the site: handbook.pdf.

write_book(building, told, folder) -> path
book_of(building, told, folder)() -> bytes
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from pikepole_export.files.whole import put
from pikepole_export.write.book.blocks import Chapter
from pikepole_export.write.book.front import (
    TRUE_SIZE,
    before_chapter,
    calendar_chapter,
    contents_chapter,
    front_chapter,
)
from pikepole_export.write.book.lists import (
    buying_chapter,
    checks_chapter,
    drawings_chapter,
    index_chapter,
)
from pikepole_export.write.book.setting import set_book
from pikepole_export.write.book.stages import move_chapter, stage_chapter
from pikepole_export.write.book.told import SHEETS, Told
from pikepole_model.building.part import Building

NAME = "handbook.pdf"


def write_book(building: Building, told: Told, folder: Path) -> Path:
    """Write the book of a building.

    Args:
        building: What it is about.
        told: What other outputs know of it.
        folder: Where to, with the pictures and drawings in it.

    Raises:
        OutputError: the book could not be set, or the file not be written whole.
    """
    return put(folder / NAME, book_of(building, told, folder)())


def book_of(building: Building, told: Told, folder: Path) -> Callable[[], bytes]:
    """The book, ready to be set: that takes seconds, only reads, and can go on beside other work.

    Args:
        building: What it is about.
        told: What other outputs know of it.
        folder: With the pictures and drawings in it.

    Returns:
        Gives the file; raises OutputError where it cannot be set.
    """
    scene = building.scene
    chapters = tuple(_chapters(building, told, folder))
    return partial(set_book, chapters, scene.title, scene.units, folder)


def _chapters(building: Building, told: Told, folder: Path) -> Iterator[Chapter]:
    units, title = building.scene.units, building.scene.title
    yield front_chapter(building, told)
    yield contents_chapter()
    yield before_chapter(told.plan, told)
    if told.plan:
        yield calendar_chapter(told.plan, moves=told.move is not None)
    if told.sheets:
        words = f"As it is to be built, to its scale. {TRUE_SIZE}"
        yield drawings_chapter(
            "Plans, elevations and sections",
            SHEETS,
            words,
            told.sheets,
            folder,
            title,
            told.framed,
        )
    for stage in building.stages:
        yield stage_chapter(building, stage, told)
        if told.move and told.move.row.stage == stage.number:
            yield move_chapter(told.move, told, units)
    if told.buying:
        yield buying_chapter(told.buying, building, told)
    cut_by = {drawing for drawing, _ in told.marks.values()}
    cutting = [one for one in told.drawings if one.stem in cut_by]
    patterns = [one for one in told.drawings if one.stem not in cut_by]
    if cutting:
        yield drawings_chapter(
            "Boards and sheets to cut", "cutting", told.general[2], cutting, folder, title
        )
    if patterns:
        yield drawings_chapter(
            "Patterns and profiles", "patterns", TRUE_SIZE, patterns, folder, title
        )
    if told.strength:
        yield checks_chapter(told.strength, units)
    yield index_chapter(building, told)
