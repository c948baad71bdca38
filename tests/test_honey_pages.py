"""The drawings of the honey house: how few pages, and all on them that was to be found before."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from pathlib import Path

import pytest
import shapely

from pikepole_export.derive.measures.families import families
from pikepole_export.derive.measures.outlines import Outline
from pikepole_export.derive.measures.templates import Template
from pikepole_export.write.drawings.board_rows import stage_rows
from pikepole_export.write.drawings.cutting import cut_pages, write_cut_drawings, write_index
from pikepole_export.write.drawings.index import COLUMNS, INDENT_MM
from pikepole_export.write.drawings.pattern_names import named_shapes, pattern_names
from pikepole_export.write.drawings.shaped import pattern_pages, shaped_pages, write_templates
from pikepole_model.building.part import Building
from pikepole_model.units import format_length
from planned import boards_once, built, sheets_once
from reading import Read, check_sheet

SCENE = "honey-house"


@pytest.fixture(scope="module")
def building() -> Building:
    return built(SCENE)


@pytest.fixture(scope="module")
def pages(building: Building, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Read]:
    """Every page by its name."""
    folder = tmp_path_factory.mktemp("pages")
    boards, sheets = boards_once(building), sheets_once(building)
    shaped, cut = shaped_pages(building), cut_pages(boards, sheets, building)
    files: list[Path] = [
        *write_templates(shaped, folder),
        *write_cut_drawings(cut, building.scene, folder),
        *write_index(cut, pattern_pages(shaped, building), building.scene, folder),
    ]
    return {path.stem: Read(path.read_bytes()) for path in files}


def test_nothing_runs_into_anything_else(building: Building, pages: dict[str, Read]) -> None:
    for read in pages.values():
        check_sheet(read, building.scene.units)


def test_there_are_few_pages(building: Building, pages: dict[str, Read]) -> None:
    found = Counter(re.sub(r"(-birdsmouth.*)?-\d+$", "", name) for name in pages)
    shapes = list(named_shapes(building))
    sticks = families([(n, one) for n, one in shapes if isinstance(one, Template)])
    flat = [one for _, one in shapes if isinstance(one, Outline)]
    rows = stage_rows(boards_once(building), building.scene, {}).values()
    boards = sum(len(section.rows) for sections in rows for section in sections)
    sheets = sum(len(plan.plan.sheets) for plan in sheets_once(building))
    # Sixteen boards to a page, less five for what headings and long lists of names take.
    assert found["boards"] <= boards / 11 + 1
    # A sheet of 4 x 8 ft is 61 mm long at 1:40, its list under it 30 mm high: six to a page of
    # 259 x 177 mm, two where it takes many cuts, so three and more on an average.
    assert found["sheets"] <= sheets / 3
    # Four short sticks to a page, three long ones; two thirds for a rafter, all for a long table.
    assert found["patterns"] <= len(sticks) / 2
    # At 1:40 four whole sheets stand beside each other, at 1:25 five strips of a third of a sheet.
    assert found["flat-pieces"] <= len(flat) / 5
    # Two to four profiles to a page.
    assert found["bent-metal"] <= 2
    assert found["index"] <= 2  # four columns of 53 lines each
    # With a page to each of them these were 190; one more than before level joints of the end walls
    # were lowered, which cuts more sheets in two.
    assert sum(found.values()) <= 54


def test_no_line_runs_through_what_is_said_of_a_detail(pages: dict[str, Read]) -> None:
    for page in _in_order(pages, "patterns"):
        read = pages[page]
        said = [box for words, box in read.boxes() if re.match(r"[A-D]: |bevel |plumb cut", words)]
        assert said
        lines = read.shapes("narrow", "polyline")
        drawn = [shapely.LineString(line) for line in lines if len(line) == 2]
        assert not any(box.intersects(line) for box in said for line in drawn), page


def test_every_length_is_on_the_page_that_the_index_names(
    building: Building, pages: dict[str, Read]
) -> None:
    stems = {
        pattern: stem for stem, pattern in pattern_pages(shaped_pages(building), building).values()
    }
    units = building.scene.units
    for name, shape in named_shapes(building):
        read = pages[stems[name]]
        said = " ".join(read.texts)
        assert name in said
        if isinstance(shape, Template) and shape.lies != "ripped":
            lengths = [shape.top_edge, shape.lower_edge]
            figures = [format_length(round(b - a, 6), units) for a, b in lengths if b > a]
        elif isinstance(shape, Outline):
            figures = [format_length(mm, units) for marks in shape.marks_mm for mm in marks[1:]]
        else:
            continue
        for words in figures:
            assert words in said, (name, words)


def _in_order(pages: Mapping[str, Read], family: str) -> list[str]:
    own = [name for name in pages if name.startswith(f"{family}-")]
    return sorted(own, key=lambda name: int(name.removeprefix(f"{family}-")))


def test_every_shaped_piece_is_once_in_the_index(
    building: Building, pages: dict[str, Read]
) -> None:
    entries: list[str] = []
    ink = [text for name in _in_order(pages, "index") for text in pages[name].ink[1:]]
    places = Counter(float(text.attrib["x"]) for text in ink)
    # Of its columns; what stands under a name, and lines that go on, stand further in.
    starts = sorted(x for x in places if x - INDENT_MM not in places)
    assert len(starts) == COLUMNS
    head = ""
    for text in ink:
        words, x = text.text or "", float(text.attrib["x"])
        depth = round((x - max(start for start in starts if start <= x)) / INDENT_MM)
        if text.attrib.get("font-weight") == "bold":
            head = f"{words} "
            continue
        if depth == 0:
            head = ""
        if depth == bool(head):
            entries.append(f"{head}{words}")
        else:
            entries[-1] += f" {words}"
    marks = cut_pages(boards_once(building), sheets_once(building), building).marks
    patterns = pattern_pages(shaped_pages(building), building)
    told: dict[str, list[str]] = {}
    for entry in entries:
        names, _, drawn = entry.replace("\N{NO-BREAK SPACE}", " ").rpartition(": ")
        for name in _expanded(names):
            told.setdefault(name, []).append(drawn)
    assert set(told) == {*marks, *patterns}
    for part, pattern in pattern_names(building).items():
        (drawn,) = told[part]
        assert f"{pattern} on {patterns[part][0]}" in drawn
        if part in marks:
            assert drawn.startswith(marks[part][0])


def _expanded(names: str) -> list[str]:
    """ "stud 1 to 3, 5": each by its name."""
    found: list[str] = []
    stem = ""
    for part in names.split(", "):
        one = f"{stem} {part}" if part[0].isdigit() else part
        stem = re.sub(r"( \d+)?( to \d+)?$", "", one)
        run = re.fullmatch(r"(.*) (\d+) to (\d+)", one)
        if run:
            found += [f"{run[1]} {n}" for n in range(int(run[2]), int(run[3]) + 1)]
        else:
            found.append(one)
    return found
