"""handbook.pdf, read and rasterised by other libraries than wrote it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
import pytest
from numpy.typing import NDArray
from PIL import Image
from pypdf import PageObject, PdfReader
from pypdf.generic import ArrayObject

from command import DONE, NOT_MADE, pikepole, written
from conftest import SCENES
from pikepole_export.graphics import child as child_module
from pikepole_export.graphics.page import WIDTH_MM
from pikepole_export.write.book.blocks import Cell, Chapter, Column, Plate, Table, Words, printable
from pikepole_export.write.book.book import NAME, write_book
from pikepole_export.write.book.names import listed, runs
from pikepole_export.write.book.setting import set_book
from pikepole_export.write.book.told import Told
from pikepole_export.write.pictures import stages as pictures_module
from pikepole_model.build import build
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import OutputError
from pikepole_model.reading.file import load_scene
from pikepole_model.scene.schema import Scene
from pikepole_model.units import Units
from samples import sample_building

PLAIN = SCENES["plain"]
GENERAL = ("Weigh it.", "Ask first.", "Guard on.")
POINTS_TO_MM = 25.4 / 72
LETTER_MM, A4_MM = (215.9, 279.4), (210.0, 297.0)  # ANSI/ASME Y14.1 size A, ISO 216
TIMES = 3  # as fine as the 72 points of an inch
DPI = 72 * TIMES


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("book")
    answer = pikepole("build", PLAIN, "-o", folder, "--only", "drawings,plans,handbook")
    assert answer.code == DONE, answer.err
    return folder


@pytest.fixture(scope="module")
def book(folder: Path) -> PdfReader:
    return PdfReader(folder / NAME)


@pytest.fixture(scope="module")
def texts(book: PdfReader) -> list[str]:
    return [text_of(page) for page in book.pages]


@pytest.fixture(scope="module")
def plain() -> Building:
    return build(load_scene(PLAIN))


def text_of(page: PageObject) -> str:
    """The words of a page, single spaces between."""
    return " ".join(page.extract_text().replace("\u200b", "").split())


def size_mm(page: PageObject) -> tuple[float, float]:
    wide, high = (float(side) * POINTS_TO_MM for side in page.mediabox[2:])
    return round(wide, 1), round(high, 1)


def links(book: PdfReader, page: PageObject) -> Iterator[tuple[float, int]]:
    """How high each link of a page stands on it, points, and the number of the page it goes to."""
    numbers = {one.indirect_reference: number for number, one in enumerate(book.pages, start=1)}
    for annotation in page.get("/Annots", ArrayObject()):
        link: Any = annotation.get_object()
        if link["/Subtype"] == "/Link":
            target = link.get("/Dest") or link["/A"]["/D"]
            if isinstance(target, str):
                target = book.named_destinations[target].dest_array
            yield float(link["/Rect"][1]), numbers[target[0]]


def is_named(name: str, text: str) -> bool:
    """Whether a name stands in a text, by itself or in a run: "rafter 4" in "rafter 1 to 17"."""
    numbers = [int(one) for one in re.findall(r" (\d+)\b", name)]
    pattern = re.sub(r" (\d+)\b", r" (\\d+)(?: to (\\d+))?", re.escape(name).replace("\\ ", " "))
    for found in re.finditer(rf"(?<![\w-]){pattern}(?!\w)", text):
        runs = zip(found.groups()[::2], found.groups()[1::2], numbers, strict=True)
        if all(int(low) <= number <= int(high or low) for low, high, number in runs):
            return True
    return False


def raster(path: Path, number: int) -> NDArray[np.uint8]:
    """(h, w) grey: a page as it is printed, DPI dots to the inch."""
    with pypdfium2.PdfDocument(path) as document:
        bitmap = document[number - 1].render(scale=TIMES, grayscale=True)
        return np.array(bitmap.to_numpy()).reshape(bitmap.height, bitmap.width)


def mm(dots: float) -> float:
    return dots * 25.4 / DPI


def test_every_page_is_of_the_paper_or_of_its_drawing(
    book: PdfReader, folder: Path, plain: Building
) -> None:
    files = [path for name in ("drawings", "plans") for path in (folder / name).glob("*.svg")]
    # The book has an index of its own.
    drawings = [path for path in files if not path.stem.startswith("index-")]
    assert len(drawings) > 20
    sizes = [size_mm(page) for page in book.pages]
    upright = [size for size in sizes if size == LETTER_MM]
    lying = [size for size in sizes if size == LETTER_MM[::-1]]
    assert len(upright) + len(lying) == len(sizes)
    own = [tuple(map(float, re.findall(r'="([\d.]+)mm"', one.read_text()))) for one in drawings]
    assert len(lying) == own.count(LETTER_MM[::-1]) + len(plain.stages)  # a picture for each


def test_every_page_bears_its_number(texts: list[str]) -> None:
    for number, text in enumerate(texts, start=1):
        assert re.search(rf"(^| ){number} of {len(texts)}$|(^| ){number}$", text), text[-80:]


def test_contents_lead_to_the_chapters(book: PdfReader, texts: list[str], plain: Building) -> None:
    chapters = [f"{stage.number} {stage.name}" for stage in plain.stages]
    chapters += ["Before you begin", "The work in days", "What to buy", "Boards and sheets to cut"]
    chapters += ["How it compares with rules of strength", "Index: from part to page"]
    went = [number for _, number in links(book, book.pages[1])]
    for chapter in chapters:
        entry = re.search(rf"{re.escape(chapter)} (?:\. ?)+(\d+)", texts[1])
        assert entry, chapter
        number = int(entry[1])
        assert chapter in texts[number - 1]
        # What stands before the stages, and lists, go on where the chapter before them ends.
        if chapter.split(" ")[0] not in ("Before", "The", "Boards", "Index:"):
            assert texts[number - 1].startswith(chapter)
        assert number in went


def test_what_to_buy_is_said_as_at_the_counter(texts: list[str]) -> None:
    page = next(text for text in texts if text.startswith("What to buy"))
    assert re.search(r"\d+ pcs 2x4 x ", page)
    assert "Lumber yard" in page


def test_index_leads_from_every_piece_to_pages_that_name_it(
    book: PdfReader, texts: list[str], plain: Building
) -> None:
    first = next(k for k, text in enumerate(texts) if "Index: from part to page Piece" in text)
    index = " ".join(texts[first:])
    for part in plain.parts:
        assert is_named(part.name, index), part.name
    # The link in the second column of a line leads to the pieces of its stage.
    stud = next(part for part in plain.parts if part.name == "front wall stud 1")
    # On the page where the index begins, checks of strength may name the same stud.
    number = next(
        int(match[1])
        for page in book.pages[first:]
        for line in page.extract_text().splitlines()
        if (match := re.match(r"front wall stud 1(?: to \d+)? (\d+)", line))
    )
    assert "front wall stud 1" in texts[number - 1]
    before = [k for k, text in enumerate(texts[:number]) if re.match(rf"{stud.stage} ", text)]
    assert before
    for page in book.pages[first:]:
        assert all(0 < number <= len(texts) for _, number in links(book, page))


def test_a_stage_has_its_pieces_fasteners_lifts_and_boxes(
    texts: list[str], plain: Building
) -> None:
    starts = [
        next(k for k, text in enumerate(texts) if text.startswith(f"{stage.number} {stage.name}"))
        for stage in plain.stages
    ]
    assert starts == sorted(starts)
    for stage, start, end in zip(plain.stages, starts, [*starts[1:], len(texts)], strict=True):
        chapter = " ".join(texts[start:end])
        for head in ("People, gear and hours", "Pieces to lay out", "every lift: page", "To tick"):
            assert head in chapter, (stage.name, head)
        for part in stage.parts:
            assert part.name.rstrip(" 0123456789") in chapter


def test_a_stage_and_the_framing_that_it_builds_lead_to_each_other(
    book: PdfReader, texts: list[str], plain: Building
) -> None:
    starts = {
        stage.name: k
        for stage in plain.stages
        for k, text in enumerate(texts)
        if re.match(rf"{stage.number} {re.escape(stage.name)} \W*•", text)
    }
    for stage, sheet in (("Front wall", "front-wall-framing"), ("Rafters", "roof-framing")):
        number = next(one.number for one in plain.stages if one.name == stage)
        leads = re.search(rf"{sheet.replace('-', ' ')}: page (\d+)", texts[starts[stage]])
        assert leads, stage
        drawn = int(leads[1])
        assert drawn in [to for _, to in links(book, book.pages[starts[stage]])]
        assert f"Built in stage {number}, page" in texts[drawn - 1]
        # Back to where its chapter begins, at its picture.
        back = [to for _, to in links(book, book.pages[drawn - 1])]
        assert any(texts[to - 1].startswith(f"{number} {stage}") for to in back)


def test_no_page_has_boxes_to_tick_alone(texts: list[str]) -> None:
    signed = [text for text in texts if "Done on" in text]
    assert signed
    for text in signed:
        assert "People, gear and hours" in text or "Down" in text


def test_lifts_lead_to_their_cards_and_pieces_to_their_drawings(
    book: PdfReader, texts: list[str]
) -> None:
    cards = [
        (k, int(page)) for k, t in enumerate(texts) for page in re.findall(r"card: p\. (\d+)", t)
    ]
    assert cards
    for k, number in cards:
        assert number in [one for _, one in links(book, book.pages[k])]
        assert any(
            image.image and image.image.size == (1600, 1200)
            for image in book.pages[number - 1].images
        )
    patterns = [
        (k, name, int(page))
        for k, text in enumerate(texts)
        for name, page in re.findall(r"by ([a-z-]+-\d+), p\. (\d+)", text)
    ]
    assert len(patterns) > 3
    for k, name, number in patterns:
        assert number in [one for _, one in links(book, book.pages[k])]
        assert name in texts[number - 1]


def test_bars_are_as_long_on_paper_as_they_say(
    folder: Path, book: PdfReader, texts: list[str]
) -> None:
    found = 0
    for number, text in enumerate(texts, start=1):
        # Each is written twice, white under black.
        cells = re.findall(r"1:(\d+)1:\1 (\d+) ft", text)
        if not cells or found >= 4:
            continue
        ink = raster(folder / NAME, number) < 100
        thick = np.logical_and.reduce([np.roll(ink, k, axis=0) for k in range(10)])
        longest = max(
            (
                len(run)
                for row in thick
                for run in "".join(".#"[int(dot)] for dot in row).split(".")
            ),
        )
        # Half of a bar is filled: so many feet, by the scale; the longest of the page's.
        expected_mm = max(float(feet) * 304.8 / float(scale) / 2 for scale, feet in cells)
        assert mm(longest) == pytest.approx(expected_mm, abs=0.3), text[:80]
        found += 1
    assert found == 4


def test_a_picture_is_as_wide_on_paper_as_its_scales_go_by(tmp_path: Path) -> None:
    Image.new("L", (1600, 1200)).save(tmp_path / "black.png")
    chapter = Chapter("Stage", "stage", (Plate("black.png", WIDTH_MM), Words("Below.")))
    papers: dict[Units, tuple[float, float]] = {"imperial": LETTER_MM, "metric": A4_MM}
    for units, size in papers.items():
        path = tmp_path / f"{units}.pdf"
        path.write_bytes(set_book([chapter], "T", units, tmp_path))
        first, second = PdfReader(path).pages
        assert (size_mm(first), size_mm(second)) == (size[::-1], size)
        rows, columns = np.nonzero(raster(path, 1) < 50)
        across = [columns[rows == row] for row in np.unique(rows)]
        wide = max(mm(float(np.ptp(one)) + 1) for one in across)
        assert wide == pytest.approx(10 * 25.4, abs=0.3)  # "on a page printed 10 in wide"
        high = sum(len(one) > DPI for one in across)
        assert mm(high) == pytest.approx(7.5 * 25.4, abs=0.3)


def test_numbers_in_names_are_drawn_together() -> None:
    posts = [f"bay {bay} post {post}" for bay in (1, 2, 4) for post in (1, 2)]
    names = [*posts, "window 1 sill", "window 2 sill", "block 2", "block 4", "block 5", "bed"]
    inside = ["bay 1 to 2 post 1 to 2", "bay 4 post 1 to 2", "window 1 to 2 sill"]
    assert runs(names) == [*inside, "block 2", "block 4 to 5", "bed"]
    assert listed(names) == [*inside, "block 2, 4 to 5", "bed"]


def _svg(path: Path, wide_mm: float, high_mm: float) -> Path:
    size = f'width="{wide_mm}mm" height="{high_mm}mm" viewBox="0 0 {wide_mm} {high_mm}"'
    inside = '<rect x="30" y="30" width="100" height="100"/>'
    path.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{inside}</svg>')
    return path


def test_plans_come_before_the_stages_true_to_size(tmp_path: Path) -> None:
    # ANSI/ASME Y14.1 size B, and ISO 216 A3.
    sizes = {"plan": (431.8, 279.4), "elevation": (420.0, 297.0)}
    sheets = [_svg(tmp_path / f"{name}.svg", *size) for name, size in sizes.items()]
    path = write_book(sample_building(), Told(GENERAL, sheets=sheets), tmp_path)
    pages = PdfReader(path).pages
    words = [text_of(page) for page in pages]
    first = next(k for k, text in enumerate(words) if "As it is to be built, to its scale" in text)
    # After the title page, and contents, what goes for all and this list on the next.
    assert "plan 3 elevation 4" in words[first]
    assert [size_mm(page) for page in pages[2:4]] == list(sizes.values())
    assert words[4].startswith("1 Foundation")
    for number in (3, 4):
        rows, columns = np.nonzero(raster(path, number)[: round(140 / 25.4 * DPI)] < 50)
        assert mm(float(np.ptp(rows)) + 1) == pytest.approx(100, abs=0.2)
        assert mm(float(np.ptp(columns)) + 1) == pytest.approx(100, abs=0.2)


def test_a_drawing_that_says_no_size_is_refused(tmp_path: Path) -> None:
    drawing = tmp_path / "plan.svg"
    drawing.write_text('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1"/>')
    with pytest.raises(OutputError, match=r"plan\.svg: says no size in mm"):
        write_book(sample_building(), Told(GENERAL, sheets=[drawing]), tmp_path)


def test_heads_stand_over_a_table_on_each_page_that_it_runs_over(tmp_path: Path) -> None:
    columns = (Column("Piece of wood", wraps=True), Column("Number", right=True))
    rows = tuple((Cell(f"stick {k}"), Cell(str(k))) for k in range(300))
    data = set_book([Chapter("Sticks", "sticks", (Table(columns, rows),))], "T", "metric", tmp_path)
    (tmp_path / "t.pdf").write_bytes(data)
    pages = PdfReader(tmp_path / "t.pdf").pages
    assert len(pages) > 3
    assert all(size_mm(page) == A4_MM for page in pages)
    for page in pages:
        assert "Piece of wood Number" in text_of(page)


NASTY = (
    "<b>bold</b> & \"quoted\" 'single' `back`",
    '#pagebreak() #image("x.png") $x^2$ *strong* _emph_ @ref <label> // no comment',
    "=1+1",
    "= Heading",
    "two\nlines\r\u2028\u0000",
    "x" * 10_000,
    "蜂の家 \u202ebackwards",
)


def _nasty() -> Building:
    """A building whose names are meant to do harm."""
    plain = sample_building()
    names = dict(zip((part.name for part in plain.parts), NASTY, strict=False))

    def renamed(part: Part) -> Part:
        return replace(part, name=names.get(part.name, part.name), stock=NASTY[1])

    stages = tuple(
        replace(stage, name=name, notes=name, parts=tuple(map(renamed, stage.parts)))
        for stage, name in zip(plain.stages, NASTY[3:6], strict=True)
    )
    scene = Scene.model_construct(title=NASTY[1], units="imperial")
    parts = tuple(part for stage in stages for part in stage.parts)
    return Building(scene, parts, (), stages)


def test_no_text_of_a_scene_is_read_as_markup_or_leaves_the_page(tmp_path: Path) -> None:
    path = write_book(_nasty(), Told(GENERAL), tmp_path)
    pages = PdfReader(path).pages
    text = " ".join(map(text_of, pages))
    for name in NASTY[:4]:
        assert name in text, name
    assert "two lines" in text
    assert "x" * 10_000 in "".join(page.extract_text() for page in pages).translate(
        {ord(c): None for c in " \n\u200b"}
    )
    for number in range(1, len(pages) + 1):
        ink = raster(path, number) < 200
        rim = round(8 / 25.4 * DPI)
        assert not ink[:, -rim:].any(), number
        assert not ink[:, :rim].any(), number
        assert not ink[-rim:].any(), number


def test_what_a_page_cannot_hold_is_mended() -> None:
    assert printable("a\n\t b\u0000\u202e") == "a b\ufffd\ufffd"
    assert printable("7' 8-5/8\" and 12 ft") == "7'\u00a08-5/8\" and 12\u00a0ft"
    assert printable("y" * 25).split("\u200b") == ["y" * 12, "y" * 12, "y"]
    assert printable("y" * 24) == "y" * 24


def test_same_building_same_bytes_and_no_time_in_them(folder: Path, tmp_path: Path) -> None:
    first = write_book(sample_building(), Told(GENERAL), tmp_path).read_bytes()
    assert write_book(sample_building(), Told(GENERAL), tmp_path).read_bytes() == first
    about = PdfReader(folder / NAME).metadata
    assert about is not None
    assert about.title == "Bee feed box"
    assert about.creation_date is None
    assert about.modification_date is None


def test_a_book_that_cannot_be_set_costs_only_itself(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise RuntimeError("out of order")

    monkeypatch.setattr("pikepole_export.write.book.book.set_book", fails)
    monkeypatch.setattr(pictures_module, "CHILD", "no such program")
    monkeypatch.setattr(child_module, "PATIENCE_S", 60.0)
    answer = pikepole("build", PLAIN, "-o", tmp_path, "--only", "stl,handbook")
    assert answer.code == NOT_MADE
    assert "Not made: handbook: RuntimeError: out of order." in " ".join(answer.err.split())
    assert set(written(tmp_path)) == {"building.stl", "summary.json"}


def test_a_book_is_made_without_what_could_not_be(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise RuntimeError("out of order")

    monkeypatch.setattr(pictures_module, "CHILD", "no such program")
    for function in ("findings", "plan_cuts", "every_strength", "list_fasteners", "plan_lifts"):
        monkeypatch.setattr(f"pikepole_export.cli.outputs.{function}", fails)
    answer = pikepole("build", PLAIN, "-o", tmp_path, "--only", "handbook")
    assert answer.code == NOT_MADE
    assert answer.err.count("Not made:") == 6  # the pictures too
    assert set(written(tmp_path)) == {NAME}
    text = " ".join(text_of(page) for page in PdfReader(tmp_path / NAME).pages)
    assert "Pieces to lay out" in text
    assert "What to buy" not in text
