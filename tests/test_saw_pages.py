"""Pages for the saw, read back by an XML parser: boards, sheets, the index."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
import shapely

from conftest import SCENES
from pikepole_export.derive.cutting.marks import together
from pikepole_export.graphics.lettering import spread
from pikepole_export.write.drawings.board_pages import BoardPage, board_pages
from pikepole_export.write.drawings.board_rows import Bar, BoardRow, SectionRows
from pikepole_export.write.drawings.cells import arranged, shared_page
from pikepole_export.write.drawings.cut_plans import (
    CutPlan,
    Placed,
    SawCut,
    foot_words,
    sheet_item,
)
from pikepole_export.write.drawings.index import index_pages
from pikepole_model.reading.file import load_scene
from pikepole_model.units import Units
from reading import WRITTEN_MM, Read, check_sheet, extent

KERF = 3.0
BOARD = BoardRow(
    numbers=(3, 4, 7),
    what="3 of 2440 mm",
    length_mm=2440.0,
    bars=(
        Bar(0.0, 1600.0, "1600 mm"),
        Bar(1603.0, 500.0, "500 mm"),
        Bar(2106.0, 334.0, "keep 334 mm", is_left=True),
    ),
    names=(
        ("front wall stud 1", "door cripple 2"),
        ("front wall stud 2", "door cripple 3"),
        ("back wall stud 5", "door cripple 4"),
    ),
    words=(
        "a: 1600 mm front wall stud 1 to 2, back wall stud 5",
        "b: 500 mm door cripple 2 to 4 (rip to 60 mm)",
        "c: keep 334 mm",
    ),
    notes=("Cut to length first.",),
)


def paged(row: BoardRow, units: Units, count: int = 1) -> list[BoardPage]:
    scene = load_scene(SCENES["plain"]).model_copy(update={"units": units, "title": "Feed store"})
    section = SectionRows("2x4", "2x4, spruce", "Stop at 1600 mm: 3; 500 mm: 3.", (row,) * count)
    return board_pages({"Stage 4, Back wall": [section]}, scene)


SHEET = CutPlan(
    stock="9 mm plywood",
    thickness_mm=9.0,
    alike=("sheet 1",),
    names=(("door skin 1", "window spacer 1"),),
    size_mm=(2440.0, 1220.0),
    kerf_mm=KERF,
    placed=(
        Placed("door skin 1", (0.0, 0.0), (1500.0, 700.0), "700 mm x 1500 mm"),
        Placed("window spacer 1", (0.0, 703.0), (1500.0, 60.0), "60 mm x 1500 mm"),
        Placed("off-cut", (0.0, 766.0), (1500.0, 454.0), "454 mm x 1500 mm", is_offcut=True),
        Placed("off-cut", (1503.0, 0.0), (937.0, 1218.0), "1218 mm x 937 mm", is_offcut=True),
    ),
    cuts=(
        SawCut(1, (1501.5, 0.0), (1501.5, 1220.0), "across, 1500 mm from left edge", (1, 2, 3, 4)),
        SawCut(2, (0.0, 701.5), (1500.0, 701.5), "along, 700 mm from lower edge", (1, 2, 3)),
        SawCut(3, (0.0, 764.5), (1500.0, 764.5), "along, 60 mm from lower edge", (2, 3)),
        SawCut(None, (1503.0, 1218.0), (2440.0, 1218.0), ""),
    ),
    grain_along=True,
)


def test_board_can_be_followed_at_the_saw() -> None:
    (page,) = paged(BOARD, "metric")
    read = Read(page.data)
    check_sheet(read, "metric")
    assert {"Stage 4, Back wall", "2x4, spruce", "3 to 4, 7"} <= set(read.texts)
    assert {"3 of 2440 mm", "1600 mm", "500 mm", "keep 334 mm"} <= set(read.texts)
    assert "Stop at 1600 mm: 3; 500 mm: 3." in read.texts
    said = " ".join(read.texts).replace("\N{NO-BREAK SPACE}", " ")
    assert "a: 1600 mm front wall stud 1 to 2, back wall stud 5; b: 500 mm door cripple" in said
    assert page.marks["door cripple 4"] == "2x4 board 7, b"
    found = re.search(r"Scale 1:(\d+)", said)
    assert found
    scale = int(found[1])
    first, second = (extent(piece)[0] * scale for piece in read.shapes("piece"))
    assert (first, second) == pytest.approx((1600, 500), abs=WRITTEN_MM * scale)
    # What the saw takes lies between them.
    (a, b) = read.shapes("piece")
    gap = min(x for x, _ in b) - max(x for x, _ in a)
    assert gap * scale == pytest.approx(KERF, abs=WRITTEN_MM * scale)


def test_every_piece_is_in_the_index() -> None:
    pages = {f"stud {n}": "boards-05-wall-1" for n in range(1, 13)}
    pages |= {f"wall {w} plate {n}": "boards-06-wall-2" for w in range(9) for n in range(1, 60, 2)}
    scene = load_scene(SCENES["plain"])
    reads = [Read(page) for page in index_pages(pages, {"stud 12": "stud-1"}, scene)]
    for read in reads:
        check_sheet(read, scene.units)
    said = " ".join(words for read in reads for words in read.texts)
    said = said.replace("\N{NO-BREAK SPACE}", " ")
    assert "stud 1 to 11: boards-05-wall-1" in said
    assert "stud 12: boards-05-wall-1, stud-1" in said
    assert all(f"wall {w} plate 1, 3, 5" in said for w in range(9))
    assert said.count("57, 59: boards-06-wall-2") == 9


def test_a_page_has_as_many_boards_as_have_room() -> None:
    pages = [Read(page.data) for page in paged(BOARD, "imperial", 25)]
    # Of 180.4 mm the headings take 14.5, or 11 where they go on, each board 10.1: 16 of these.
    assert [len(page.shapes("piece")) for page in pages] == [32, 18]  # two of each board
    for page in pages:
        check_sheet(page, "imperial")
    assert ["Stage 4, Back wall, going on" in page.texts for page in pages] == [False, True]


def test_a_letter_stands_on_its_piece_before_its_length_and_else_over_it() -> None:
    bars = (
        Bar(0.0, 1600.0, "1600 mm"),
        Bar(1603.0, 60.0, "60 mm"),
        Bar(1666.0, 100.0, "100 mm"),
        Bar(1769.0, 5.0, "5 mm left", is_left=True),
    )
    row = replace(BOARD, bars=bars, names=(("a", "b", "c"),) * 3, length_mm=1774.0)
    (page,) = paged(row, "metric")
    read = Read(page.data)
    check_sheet(read, "metric")
    boxes = {words: box for words, box in read.boxes() if words in "abcd"}
    board, *pieces = (
        shapely.box(*shapely.MultiPoint(one).bounds)
        for one in (*read.shapes("void")[:1], *read.shapes("piece"))
    )
    assert pieces[0].contains(boxes["a"])
    # The second has room for its letter alone, the third for its length alone.
    assert pieces[1].contains(boxes["b"])
    assert boxes["c"].bounds[3] < board.bounds[1]
    assert pieces[2].bounds[0] < boxes["c"].centroid.x < pieces[2].bounds[2]
    assert boxes["d"].bounds[0] > board.bounds[2]


def test_stages_share_a_page() -> None:
    scene = load_scene(SCENES["plain"])
    section = SectionRows("2x4", "2x4, spruce", "Stop at 1600 mm: 3.", (BOARD,) * 6)
    stages = {f"Stage {n}, Wall": [section] for n in (4, 5, 6)}
    first, second = (Read(page.data) for page in board_pages(stages, scene))
    assert {"Stage 4, Wall", "Stage 5, Wall", "Stage 6, Wall"} <= set(first.texts)
    assert "Stage 6, Wall, going on" in second.texts
    # Of 180.4 mm three stages with their sections take 3 x (6.5 + 8), each board 10.1: 13 of these.
    assert (len(first.shapes("piece")), len(second.shapes("piece"))) == (26, 10)  # two of each
    for read in (first, second):
        check_sheet(read, "imperial")


def _sheet(plan: CutPlan, units: Units) -> Read:
    """A sheet of a page by itself."""
    (read,) = _page(plan, units).cells.values()
    return read


def _page(plan: CutPlan, units: Units) -> Read:
    (places,) = arranged([sheet_item(plan, units)], units)
    return Read(shared_page(places, "Sheets", foot_words([plan], units), units).to_bytes())


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_sheet_names_its_pieces_and_numbers_its_cuts(units: Units) -> None:
    read = _sheet(SHEET, units)
    check_sheet(_page(SHEET, units), units)
    assert any(text.startswith("a: door skin 1") for text in read.texts)
    assert "Grain runs along the length." in foot_words([SHEET], units)
    listed = " ".join(read.texts)
    assert "across, 1500 mm from left edge: a to d" in listed
    assert "along, 60 mm from lower edge: b, c" in listed
    # What is shaved is a line of its own kind, without a number.
    assert len(read.shapes("chain", "polyline")) == 1
    assert "4" not in read.texts
    sizes = [extent(piece) for piece in read.shapes("piece")]
    expected = [(1500, 700), (1500, 60)]
    for (wide, high), size in zip(sizes, expected, strict=True):
        near = WRITTEN_MM * read.scale
        assert (wide * read.scale, high * read.scale) == pytest.approx(size, abs=near)
    # Each number stands on its own cut: nearer to that line than to any other.
    lines = [shapely.LineString(line) for line in read.shapes("dashed", "polyline")]
    for order, line in enumerate(lines, start=1):
        assert any(words == str(order) and not box.distance(line) for words, box in read.boxes())


def test_busy_board_stays_legible() -> None:
    # Thirty-four pieces 60 mm apart, nearer on the page than their letters are wide.
    bars = tuple(Bar(60.0 * k, 57.0, '2-1/4"') for k in range(34))
    names = (tuple(f"fence picket {k}" for k in range(34)),)
    words = tuple(f'2-1/4" {name}' for name in names[0])
    row = BoardRow((1,), "1 of 16' 0\"", 4880.0, bars, names, words, ())
    (page,) = paged(row, "imperial")
    check_sheet(Read(page.data), "imperial")


def test_a_list_that_is_too_long_says_where_the_rest_is() -> None:
    placed = tuple(Placed(f"piece {k}", (5.0 * k, 0.0), (2.0, 80.0), f"{k} mm") for k in range(400))
    plan = replace(SHEET, placed=placed, cuts=(), names=(("piece",),))
    read = _sheet(plan, "metric")
    (last,) = (text for text in read.texts if text.endswith("more: see sheets.csv"))
    listed = [text for text in read.texts if re.fullmatch(r"\d+ mm piece \d+", text)]
    assert last == f"and {400 - len(listed)} more: see sheets.csv"
    assert len(listed) > 20


def test_lettering_is_spread_about_where_it_belongs() -> None:
    assert spread([10.0, 50.0], 4.0, 0.0, 100.0) == [10.0, 50.0]
    # Two at one place stand half a gap to each side of it.
    assert spread([10.0, 10.0], 4.0, 0.0, 100.0) == [8.0, 12.0]
    # Three that would run into a fourth take it along; their middle stays.
    assert spread([10.0, 10.0, 10.0, 15.0], 4.0, 0.0, 100.0) == pytest.approx(
        [5.25, 9.25, 13.25, 17.25]
    )


def test_numbers_in_a_row_are_drawn_together() -> None:
    names = ["stud 1", "stud 2", "stud 3", "stud 5", "post", "brace 7", "brace 8"]
    assert together(names) == ["stud 1 to 3", "stud 5", "post", "brace 7 to 8"]
