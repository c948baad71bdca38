"""Drawings to stand beside the saw: pages of boards, stage by stage, and every sheet.

    cut_pages(boards, sheets, building) -> CutPages
    CutPages.marks -> {"joist 5": ("boards-02-...", "2x4 board 3, b")}
    write_cut_drawings(pages, scene, folder) -> list[Path]
    write_index(pages, patterns, scene, folder) -> list[Path]

Boards and sheets that are cut alike are drawn once, and the drawing names the pieces of each.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from pikepole_export.derive.cutting.cuts import SectionPlan
from pikepole_export.derive.cutting.marks import letter
from pikepole_export.derive.cutting.sheets import StockPlan
from pikepole_export.files.whole import make_folder, put
from pikepole_export.write.drawings.board_pages import BoardPage, board_pages
from pikepole_export.write.drawings.board_rows import stage_rows
from pikepole_export.write.drawings.cells import Place, arranged, shared_page
from pikepole_export.write.drawings.cut_plans import CutPlan, foot_words, sheet_item
from pikepole_export.write.drawings.index import INDEX, index_pages
from pikepole_export.write.drawings.nested import caution_of, sheet_layout, sheet_notes
from pikepole_export.write.drawings.pattern_names import pattern_names
from pikepole_model.building.part import Building
from pikepole_model.scene.schema import Scene

FOLDER = "drawings"


@dataclass(frozen=True, slots=True)
class SheetPage:
    """A page of sheets.

    Attributes:
        plans: What it shows.
        places: Where.
    """

    plans: tuple[CutPlan, ...]
    places: Sequence[Place]


@dataclass(frozen=True)
class CutPages:
    """What is drawn of boards and sheets, by the names of the drawings.

    Attributes:
        boards: Pages of boards.
        sheets: Pages of sheets.
    """

    boards: Mapping[str, BoardPage]
    sheets: Mapping[str, SheetPage]

    @cached_property
    def marks(self) -> dict[str, tuple[str, str]]:
        """For each piece by its name the drawing that it is on, and what it is called there."""
        marks = {
            name: (stem, mark)
            for stem, page in self.boards.items()
            for name, mark in page.marks.items()
        }
        return marks | {
            name: (stem, f"{label}, {letter(k)}")
            for stem, page in self.sheets.items()
            for one in page.plans
            for label, names in zip(one.alike, one.names, strict=True)
            for k, name in enumerate(names, start=1)
        }


def cut_pages(
    boards: Sequence[SectionPlan], sheets: Sequence[StockPlan], building: Building
) -> CutPages:
    """Arrange what comes out of every board and every sheet on pages.

    Args:
        boards: A plan for each section and material.
        sheets: A plan for each stock.
        building: For its stages, its shaped pieces, its units and its saw.
    """
    return CutPages(
        dict(_board_pages(boards, building)),
        dict(_sheet_pages(sheets, building)),
    )


def write_cut_drawings(pages: CutPages, scene: Scene, folder: Path) -> list[Path]:
    """Draw what comes out of every board and every sheet.

    Args:
        pages: Where it is drawn.
        scene: For its units.
        folder: Where its output goes; the drawings come into a folder inside.

    Raises:
        OutputError: a file could not be written whole.
    """
    drawn = {stem: page.data for stem, page in pages.boards.items()}
    for k, (stem, page) in enumerate(pages.sheets.items(), start=1):
        stocks = ", ".join(dict.fromkeys(plan.stock for plan in page.plans))
        heading = f"Sheets, page {k} of {len(pages.sheets)}: {stocks}"
        foot = foot_words(page.plans, scene.units)
        drawn[stem] = shared_page(page.places, heading, foot, scene.units).to_bytes()
    if not drawn:
        return []
    place = make_folder(folder / FOLDER)
    return [put(place / f"{stem}.svg", data) for stem, data in drawn.items()]


def write_index(
    pages: CutPages, patterns: Mapping[str, tuple[str, str]], scene: Scene, folder: Path
) -> list[Path]:
    """Write on which page each piece is, and by which pattern it is shaped.

    Args:
        pages: Of boards and sheets.
        patterns: For each shaped piece its page of patterns and its pattern there.
        scene: Whose pieces they are.
        folder: Where its output goes; the drawings come into a folder inside.

    Raises:
        OutputError: a file could not be written whole.
    """
    made = index_pages(
        {name: stem for name, (stem, _) in pages.marks.items()},
        {name: f"{pattern} on {stem}" for name, (stem, pattern) in patterns.items()},
        scene,
    )
    place = make_folder(folder / FOLDER)
    return [put(place / f"{INDEX}-{k}.svg", data) for k, data in enumerate(made, start=1)]


def _board_pages(
    plans: Sequence[SectionPlan], building: Building
) -> Iterator[tuple[str, BoardPage]]:
    """Every page of boards, under its name."""
    scene = building.scene
    names = {stage.number: f"Stage {stage.number}, {stage.name}" for stage in building.stages}
    rows = stage_rows(plans, scene, pattern_names(building))
    pages = board_pages({names[stage]: some for stage, some in rows.items()}, scene)
    for k, page in enumerate(pages, start=1):
        yield f"boards-{k}", page


def _sheet_pages(
    sheets: Sequence[StockPlan], building: Building
) -> Iterator[tuple[str, SheetPage]]:
    """Every page of sheets, under its name."""
    scene, shaped = building.scene, pattern_names(building)
    # What is sawn, and what is scored.
    alike: dict[bool, list[CutPlan]] = {}
    for plan in (plan for stock in sheets for plan in _sheets(stock, scene, shaped)):
        alike.setdefault(plan.kerf_mm > 0.0, []).append(plan)
    pages: list[SheetPage] = []
    for plans in alike.values():
        items = {sheet_item(plan, scene.units): plan for plan in plans}
        pages += (
            SheetPage(tuple(items[place.item] for place in places), places)
            for places in arranged(items, scene.units)
        )
    for k, page in enumerate(pages, start=1):
        yield f"sheets-{k}", page


def _sheets(plan: StockPlan, scene: Scene, shaped: Mapping[str, str]) -> Iterator[CutPlan]:
    """The sheets of a stock, each layout once, under the number of its first sheet."""
    alike: dict[tuple[object, ...], list[int]] = {}
    for number, sheet in enumerate(plan.plan.sheets, start=1):
        work = tuple(
            (p.x_mm, p.y_mm, p.width_mm, p.length_mm, shaped.get(p.piece.name))
            for p in sheet.placed
        )
        alike.setdefault((sheet.stock, work), []).append(number)
    for numbers in alike.values():
        sheets = [plan.plan.sheets[number - 1] for number in numbers]
        placed, cuts = sheet_layout(sheets[0], plan.kerf_mm, scene.units, shaped)
        yield CutPlan(
            stock=plan.called,
            thickness_mm=plan.stock.thickness_mm,
            alike=tuple(f"sheet {number}" for number in numbers),
            names=tuple(tuple(one.piece.name for one in sheet.placed) for sheet in sheets),
            size_mm=(sheets[0].stock.length_mm, sheets[0].stock.width_mm),
            kerf_mm=plan.kerf_mm,
            placed=placed,
            cuts=cuts,
            notes=tuple(sheet_notes(sheets[0], plan, scene.units)),
            caution=caution_of(plan),
            grain_along=None if plan.is_pane else True,
        )
