"""The drawings, read back by an XML parser: to scale, legible, complete."""

from __future__ import annotations

import re
from dataclasses import replace
from importlib.util import find_spec
from itertools import combinations, pairwise
from math import dist, pi
from pathlib import Path
from xml.etree import ElementTree

import pytest
import shapely
from PIL import ImageFont
from shapely import Polygon, affinity

from conftest import SCENES
from pikepole_export.derive.cutting.marks import together
from pikepole_export.derive.measures.families import families
from pikepole_export.derive.measures.templates import Template, templates
from pikepole_export.graphics.lettering import spread
from pikepole_export.write.drawings.board_pages import BoardPage, board_pages
from pikepole_export.write.drawings.board_rows import Bar, BoardRow, SectionRows
from pikepole_export.write.drawings.cells import arranged, shared_page, shared_stem
from pikepole_export.write.drawings.cut_plans import (
    CutPlan,
    Placed,
    SawCut,
    foot_words,
    sheet_item,
)
from pikepole_export.write.drawings.index import index_pages
from pikepole_export.write.drawings.pattern_names import named_shapes
from pikepole_export.write.drawings.shaped import write_templates
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.building.piece import Piece
from pikepole_model.errors import OutputError
from pikepole_model.reading.file import load_scene
from pikepole_model.units import Units, format_length
from shaped import INCH, only, rafter, stick

SVG = "{http://www.w3.org/2000/svg}"
# ISO 216 A4, and the North American letter of 8-1/2 x 11 in (ANSI/ASME Y14.1), mm.
PAPERS: dict[Units, set[tuple[float, float]]] = {
    "metric": {(297.0, 210.0), (210.0, 297.0)},
    "imperial": {(279.4, 215.9), (215.9, 279.4)},
}
# Coordinates are written to a thousandth of a millimetre.
WRITTEN_MM = 1.5e-3

Points = list[tuple[float, float]]


class Read:
    """A drawing as its file says it is."""

    def __init__(self, data: bytes | ElementTree.Element) -> None:
        self.root = ElementTree.fromstring(data) if isinstance(data, bytes) else data
        every = list(self.root.iter(f"{SVG}text"))
        self.ink = [text for text in every if text.get("class") != "halo"]
        self.halos = [text for text in every if text.get("class") == "halo"]
        self.texts = [text.text or "" for text in self.ink]

    @property
    def size(self) -> tuple[float, float]:
        sides = [self.root.attrib[side] for side in ("width", "height")]
        assert all(side.endswith("mm") for side in sides)
        width, height = (float(side.removesuffix("mm")) for side in sides)
        # One unit of the drawing is one millimetre on paper.
        box = [float(number) for number in self.root.attrib["viewBox"].split()]
        assert box == [0, 0, width, height]
        return width, height

    def shapes(self, style: str, tag: str = "polygon") -> list[Points]:
        return [
            [tuple(float(n) for n in pair.split(",")) for pair in shape.attrib["points"].split()]  # type: ignore[misc]
            for shape in self.root.iter(f"{SVG}{tag}")
            if shape.attrib["class"] == style
        ]

    @property
    def page(self) -> str:
        """What a browser is told of the paper."""
        return "".join(style.text or "" for style in self.root.iter(f"{SVG}style"))

    @property
    def cells(self) -> dict[str, Read]:
        """The drawings that share the page, by their names."""
        return {group[0].text or "": Read(group) for group in self.root.iter(f"{SVG}g")}

    @property
    def scale(self) -> int:
        scales = [re.fullmatch(r"(?:Scale )?1:(\d+)\b.*", text) for text in self.texts]
        (found,) = filter(None, scales)
        return int(found[1])

    def boxes(self) -> list[tuple[str, Polygon]]:
        """The box round the ink of each line of lettering, by the typeface's own file."""
        found: list[tuple[str, Polygon]] = []
        for text in self.ink:
            words, size = text.text or "", float(text.attrib["font-size"])
            bold = text.attrib.get("font-weight") == "bold"
            left, top, right, bottom = (n * size / 100 for n in _ink(words, bold))
            x, y = float(text.attrib["x"]), float(text.attrib["y"])
            width = float(text.attrib["textLength"])
            x -= {"start": 0.0, "middle": width / 2, "end": width}[text.attrib["text-anchor"]]
            box = shapely.box(x + left, y + top, x + right, y + bottom)
            turn = re.findall(r"-?[\d.]+", text.attrib.get("transform", ""))
            if turn:
                angle, u, v = (float(n) for n in turn)
                box = affinity.rotate(box, angle, origin=(u, v))
            found.append((words, box))
        return found


def _ink(words: str, bold: bool) -> tuple[float, float, float, float]:
    spec = find_spec("matplotlib")
    assert spec
    assert spec.origin
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    path = Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf" / name
    left, top, right, bottom = ImageFont.truetype(path, 100).getbbox(words, anchor="ls")
    return left, top, right, bottom


def _check_sheet(read: Read, units: Units) -> None:
    """Right paper, everything on it, no lettering over other lettering, nothing over the ink."""
    assert read.size in PAPERS[units]
    width, height = read.size
    # CSS Paged Media: the page box is the sheet, so that nothing is scaled to a margin.
    assert read.page == f"@page {{ size: {width:g}mm {height:g}mm; margin: 0 }}"
    paper = shapely.box(8, 8, width - 8, height - 8)
    boxes = read.boxes()
    for words, box in boxes:
        assert paper.contains(box), f"{words} runs off the sheet"
    for (one, a), (other, b) in combinations(boxes, 2):
        assert not a.intersects(b), f"{one} over {other}"
    # What comes later is painted over what came before: SVG 2, chapter 3, rendering model.
    every = list(read.root.iter(f"{SVG}text"))
    assert every[::2] == read.halos
    assert every[1::2] == read.ink
    assert [text.text for text in read.halos] == [text.text for text in read.ink]
    assert not any("stroke" in text.attrib for text in read.ink)


def _extent(points: Points) -> tuple[float, float]:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return max(xs) - min(xs), max(ys) - min(ys)


@pytest.fixture(params=["honey_house", "tool_store", "potting_lean_to", "boat_rack"])
def drawn(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Building, list[Path]]:
    """Buildings of every kind of roof, their drawings written."""
    building: Building = request.getfixturevalue(request.param)
    return building, write_templates(building, tmp_path)


def test_every_drawing_is_whole_and_legible(drawn: tuple[Building, list[Path]]) -> None:
    building, paths = drawn
    assert paths
    assert len(set(paths)) == len(paths)
    for path in paths:
        assert path.parent.name == "drawings"
        assert re.fullmatch(r"[a-z0-9-]+\.svg", path.name)
        _check_sheet(Read(path.read_bytes()), building.scene.units)


def test_pieces_are_drawn_to_scale(drawn: tuple[Building, list[Path]]) -> None:
    building, paths = drawn
    cells = {k: v for path in paths for k, v in Read(path.read_bytes()).cells.items()}
    every = [(name, one) for name, one in named_shapes(building) if isinstance(one, Template)]
    made = 0
    for own in families(every):
        read = cells[shared_stem(list(own))]
        template = max(own.values(), key=lambda one: one.length_mm)
        (outline,) = read.shapes("piece")
        long, deep = _extent(outline)
        near = WRITTEN_MM * read.scale
        assert long * read.scale == pytest.approx(template.length_mm, abs=near)
        assert deep * read.scale == pytest.approx(template.depth_mm, abs=near)
        # Each side too, so that no corner is out of place.
        corners = template.outline
        for (a, b), (c, d) in zip(
            pairwise([*outline, outline[0]]), pairwise([*corners, corners[0]]), strict=True
        ):
            assert dist(a, b) * read.scale == pytest.approx(dist(c, d), abs=near)
        assert f"Make {sum(len(one.names) for one in own.values())}" in read.texts
        assert set(own) <= set(read.texts)  # what the cut plan calls them
        made += len(own)
    assert made == len(templates(building))


def test_scale_bars_are_as_long_as_they_say(drawn: tuple[Building, list[Path]]) -> None:
    units_mm = {" ft": 304.8, '"': 25.4, " mm": 1.0}
    found = 0
    for read in (one for p in drawn[1] for one in Read(p.read_bytes()).cells.values()):
        # The bar's first half is filled; of bent metal and arrows other things are, too.
        bars = [one for one in read.shapes("fill") if len(one) == 4]
        bar = max(bars, key=lambda one: max(y for _, y in one))
        words = [re.fullmatch(r"(\d+)( ft|\"| mm)", text) for text in read.texts]
        lengths = [int(one[1]) * units_mm[one[2]] for one in words if one]
        assert any(
            _extent(bar)[0] * 2 * read.scale == pytest.approx(mm, abs=2 * WRITTEN_MM * read.scale)
            for mm in lengths
        )
        found += 1
    assert found


def test_same_building_gives_the_same_bytes(tool_store: Building, tmp_path: Path) -> None:
    first = write_templates(tool_store, tmp_path / "a")
    second = write_templates(tool_store, tmp_path / "b")
    assert [path.name for path in first] == [path.name for path in second]
    assert [path.read_bytes() for path in first] == [path.read_bytes() for path in second]


def _drawings(building: Building, folder: Path) -> dict[str, Read]:
    """Every drawing by its name: those that share a page, and those that have one."""
    reads = {path.stem: Read(path.read_bytes()) for path in write_templates(building, folder)}
    return {
        name: one
        for stem, page in reads.items()
        for name, one in (page.cells or {stem: page}).items()
    }


def test_raked_studs_share_a_drawing_and_a_table(tmp_path: Path) -> None:
    # 2x4 under 3:12: the short edge is 1-1/2 x 3/12 in, 3/8 in, less than the long one.
    def stud(long_in: float, drop_in: float = 0.375) -> Piece:
        corners = ((0.0, 0.0), (1.5, 0.0), (1.5, long_in - drop_in), (0.0, long_in))
        outline = tuple((u * INCH, v * INCH) for u, v in corners)
        section = (1.5 * INCH, 3.5 * INCH)
        return stick(Kind.STUD, outline, section, grain_rad=pi / 2, thickness=3.5 * INCH)

    # Eight lengths, two of one; one under 6:12 is drawn for itself.
    longs = [80.0 + 4.0625 * k for k in range(8)]
    pieces = [*map(stud, longs), stud(longs[2]), stud(longs[0], 0.75)]
    found = _drawings(only(*pieces), tmp_path)
    assert set(found) == {"stud-1-and-7-more", "stud-9"}
    read = found["stud-1-and-7-more"]
    assert "Make 9" in read.texts
    # A line of the table: the lettering on one base line, from left to right.
    rows: dict[str, list[str]] = {}
    for text in sorted(read.ink, key=lambda text: float(text.attrib["x"])):
        rows.setdefault(text.attrib["y"], []).append(text.text or "")
    table = [row for row in rows.values() if row[0].startswith("stud-") and len(row) == 5]
    expected = [
        [f"stud-{k}", "1", _inches(long), _inches(long - 0.375), f"stud {k}"]
        for k, long in enumerate(longs, start=1)
    ]
    expected[2][1], expected[2][4] = "2", "stud 3; stud 9"
    assert table == expected
    assert ["pattern", "make", "a", "b", "pieces"] in rows.values()
    # The drawing bears the letters: marks along the long edge, and the short edge under it.
    assert read.texts.count("a") == read.texts.count("b") == 2
    assert "square line at a on the face with the long point" in read.texts
    assert {'3/8"', "0"} <= set(read.texts)


def _inches(inches: float) -> str:
    return format_length(inches * INCH, "imperial")


def test_rafter_says_what_a_carpenter_marks(tmp_path: Path) -> None:
    # 4:12 in 2x6, run 96 in, heels 20 and 80 in down the level, 3-1/2 in seats; the figures are
    # sqrt(160) / 12 times those, and 4.631 in plumb over the heel, to a sixteenth.
    piece = rafter(4, 96 * INCH, 5.5 * INCH, seats=[(h * INCH, 3.5 * INCH) for h in (20, 80)])
    read = _drawings(only(piece, piece), tmp_path)["rafter-1"]
    expected = [
        "0",
        "1' 9-1/16\"",  # 21.08
        "7' 0-5/16\"",  # 84.33
        "8' 5-3/16\"",  # 101.19
        "8' 7\"",  # with d tan, 1.83 in: 103.02, long point to long point
        '3-1/2"',  # seat
        '1-3/16"',  # heel, 1.167
        '4-5/8"',  # 4.631
        'depth square to the edge 1-1/8"',  # 1.107
        "seat: level cut 4:12, 18.4° off the edge",
        "heel: plumb cut 4:12, 18.4° off square",
        "B: birdsmouth, 2 places",
        "Make 2",
        "rafter 1 to 2",
    ]
    for words in expected:
        assert words in read.texts, words
    (page,) = (tmp_path / "drawings").glob("patterns-*.svg")
    assert "never from the piece before" in " ".join(Read(page.read_bytes()).texts)


def test_metric_rafter_is_in_millimetres(tmp_path: Path) -> None:
    piece = rafter(12, 1000, 140, seats=[(450, 40), (800, 60)])
    read = _drawings(only(piece, units="metric"), tmp_path)["rafter-1"]
    # 1000 and 800 by the root of 2.
    assert {"1414 mm", "1131 mm", "60 mm"} <= set(read.texts)
    # A square set alike marks both: the seat from the edge, the heel across.
    words = " ".join(read.texts)
    assert words.count("seat: level cut 12:12, 45.0° off the edge") == 2
    assert words.count("heel: plumb cut 12:12, 45.0° off square") == 2
    assert not any('"' in words for words in read.texts)


@pytest.mark.parametrize("deep_in", [5.5, 11.25])
def test_full_size_birdsmouth_joins_up(deep_in: float, tmp_path: Path) -> None:
    seat, rise = 88.9, 6
    piece = rafter(rise, 96 * INCH, deep_in * INCH, seats=[(60 * INCH, seat)])
    found = _drawings(only(piece), tmp_path)
    names = [name for name in found if "full-size" in name]
    assert len(names) == (1 if deep_in < 9 else 2)
    seen: list[shapely.LineString] = []
    shift = (0.0, 0.0)
    before: list[tuple[float, float]] = []
    for name in names:
        read = found[name]
        _check_sheet(read, "imperial")
        # Both bars are as long as they say, so that a ruler can tell what the printer did.
        *level, upright = (_extent(bar) for bar in read.shapes("fill"))
        bars = [bar[0] * 2 for bar in level]
        assert bars == pytest.approx([3 * INCH, 100.0], abs=2 * WRITTEN_MM)
        assert upright[1] * 2 == pytest.approx(2 * INCH, abs=2 * WRITTEN_MM)
        assert any("Measure this before cutting" in words for words in read.texts)
        assert {'3"', "100 mm"} <= set(read.texts)
        # Two short lines that cross: the marks to lay over each other.
        lines = [line for line in read.shapes("narrow", "polyline") if len(line) == 2]
        level = [line for line in lines if _extent(line) == pytest.approx((8.0, 0.0))]
        marks = sorted(((a + b) / 2, y) for (a, y), (b, _) in level)
        if before:
            upper = sorted(marks, key=lambda at: at[1])[: len(before)]
            shift = (before[0][0] - upper[0][0], before[0][1] - upper[0][1])
            moved = [(x + shift[0], y + shift[1]) for x, y in upper]
            for at, mark in zip(moved, before, strict=True):
                assert at == pytest.approx(mark, abs=WRITTEN_MM)
        before = marks
        for line in read.shapes("wide", "polyline"):
            seen.append(shapely.LineString([(x + shift[0], y + shift[1]) for x, y in line]))
    # Laid over each other the sheets hold every edge once: measure the seat and the heel on it.
    whole = shapely.line_merge(shapely.union_all(seen, grid_size=0.002))
    sides = [
        shapely.LineString(side)
        for part in shapely.get_parts(whole)
        for side in pairwise(shapely.simplify(part, 0.01).coords)
    ]
    lengths = [side.length for side in sides]
    assert min(abs(length - seat) for length in lengths) < 0.01
    assert min(abs(length - seat * rise / 12) for length in lengths) < 0.01
    # And the rafter's depth between its edges.
    edges = [
        line.coords[0][1] for line in sides if abs(line.coords[0][1] - line.coords[1][1]) < 1e-6
    ]
    assert max(edges) - min(edges) == pytest.approx(deep_in * INCH, abs=0.01)


def test_bend_says_legs_girth_and_lengths(honey_house: Building, tmp_path: Path) -> None:
    found = _drawings(honey_house, tmp_path)
    read = found["rake-trim-1"]
    trims = [part for part in honey_house.parts if part.kind == Kind.RAKE_TRIM]
    assert f"Make {len(trims)}" in read.texts
    assert {"leg", "lies", "girth", "pieces", "length", "90°"} <= set(read.texts)
    (metal,) = (shape for shape in read.shapes("fill") if len(shape) == 6)
    wide, high = (side * read.scale for side in _extent(metal))
    size = trims[0].shape.size_mm
    assert sorted((wide, high)) == pytest.approx(sorted(size[:2]), abs=WRITTEN_MM * read.scale)


def test_flashings_say_how_they_fall_and_lap(honey_house: Building, tmp_path: Path) -> None:
    found = _drawings(honey_house, tmp_path)
    head, base, cap = (
        " ".join(found[f"{name}-1"].texts)
        for name in ("head-flashing", "base-flashing", "peak-cap")
    )
    # One piece over each casing, runs at the foot: 2 in of the catalogue's flat steel.
    assert 'laps the other by 2"' in base
    assert "laps" not in head
    assert "Turn the shelf up at both ends" in head
    assert "what is turned up is in the lengths" in head
    assert ["fall outwards" in words for words in (head, base, cap)] == [True, True, False]
    assert all("Edges are raw" in words for words in (head, base, cap))


def test_nothing_shaped_writes_nothing(tmp_path: Path) -> None:
    plain = stick(Kind.STUD, ((0, 0), (2000, 0), (2000, 89), (0, 89)), (38.0, 89.0))
    assert write_templates(only(plain), tmp_path) == []
    assert list(tmp_path.iterdir()) == []


def test_file_in_the_way_of_the_folder_is_named(tmp_path: Path) -> None:
    (tmp_path / "drawings").write_text("not a folder", encoding="utf-8")
    with pytest.raises(OutputError, match="drawings is a file"):
        write_templates(only(rafter(4, 1000, 140)), tmp_path)


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
    _check_sheet(read, "metric")
    assert {"Stage 4, Back wall", "2x4, spruce", "3 to 4, 7"} <= set(read.texts)
    assert {"3 of 2440 mm", "1600 mm", "500 mm", "keep 334 mm"} <= set(read.texts)
    assert "Stop at 1600 mm: 3; 500 mm: 3." in read.texts
    said = " ".join(read.texts).replace("\N{NO-BREAK SPACE}", " ")
    assert "a: 1600 mm front wall stud 1 to 2, back wall stud 5; b: 500 mm door cripple" in said
    assert page.marks["door cripple 4"] == "2x4 board 7, b"
    found = re.search(r"Scale 1:(\d+)", said)
    assert found
    scale = int(found[1])
    first, second = (_extent(piece)[0] * scale for piece in read.shapes("piece"))
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
        _check_sheet(read, scene.units)
    said = " ".join(words for read in reads for words in read.texts)
    said = said.replace("\N{NO-BREAK SPACE}", " ")
    assert "stud 1 to 11: boards-05-wall-1" in said
    assert "stud 12: boards-05-wall-1, stud-1" in said
    assert all(f"wall {w} plate 59" in said for w in range(9))


def test_ten_boards_to_a_page() -> None:
    pages = [Read(page.data) for page in paged(BOARD, "imperial", 25)]
    assert [len(page.shapes("piece")) for page in pages] == [20, 20, 10]
    for page in pages:
        _check_sheet(page, "imperial")
    assert ["Stage 4, Back wall, going on" in page.texts for page in pages] == [False, True, True]


def test_stages_share_a_page() -> None:
    scene = load_scene(SCENES["plain"])
    section = SectionRows("2x4", "2x4, spruce", "Stop at 1600 mm: 3.", (BOARD,) * 4)
    stages = {f"Stage {n}, Wall": [section] for n in (4, 5, 6)}
    first, second = (Read(page.data) for page in board_pages(stages, scene))
    assert {"Stage 4, Wall", "Stage 5, Wall", "Stage 6, Wall"} <= set(first.texts)
    assert "Stage 6, Wall, going on" in second.texts
    assert (len(first.shapes("piece")), len(second.shapes("piece"))) == (18, 6)  # two of each board
    for read in (first, second):
        _check_sheet(read, "imperial")


def _sheet(plan: CutPlan, units: Units) -> Read:
    """A sheet of a page by itself."""
    (read,) = _page(plan, units).cells.values()
    return read


def _page(plan: CutPlan, units: Units) -> Read:
    (places,) = arranged([sheet_item(plan, "sheet 1", units)], units)
    return Read(shared_page(places, "Sheets", foot_words([plan], units), units).to_bytes())


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_sheet_names_its_pieces_and_numbers_its_cuts(units: Units) -> None:
    read = _sheet(SHEET, units)
    _check_sheet(_page(SHEET, units), units)
    assert any(text.startswith("a: door skin 1") for text in read.texts)
    assert "Grain runs along the length." in foot_words([SHEET], units)
    listed = " ".join(read.texts)
    assert "across, 1500 mm from left edge: a to d" in listed
    assert "along, 60 mm from lower edge: b, c" in listed
    # What is shaved is a line of its own kind, without a number.
    assert len(read.shapes("chain", "polyline")) == 1
    assert "4" not in read.texts
    sizes = [_extent(piece) for piece in read.shapes("piece")]
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
    _check_sheet(Read(page.data), "imperial")


def test_a_list_that_is_too_long_says_where_the_rest_is() -> None:
    placed = tuple(Placed(f"piece {k}", (5.0 * k, 0.0), (2.0, 80.0), "2 mm") for k in range(400))
    plan = replace(SHEET, placed=placed, cuts=(), names=(("piece",),))
    read = _sheet(plan, "metric")
    (last,) = (text for text in read.texts if text.endswith("more: see sheets.csv"))
    listed = [text for text in read.texts if re.fullmatch(r"2 mm piece \d+", text)]
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


def test_many_different_notches_still_go_on_a_sheet(tmp_path: Path) -> None:
    top = [(3600.0, 140.0), (0.0, 140.0)]
    under = [(0.0, 0.0)]
    for k in range(9):
        u, deep = 300.0 + 350.0 * k, 10.0 + 5.0 * k
        under += [(u, 0.0), (u, deep), (u + 60.0, deep), (u + 60.0, 0.0)]
    beam = stick(Kind.BEAM, (*under, (3600.0, 0.0), *top), (38.0, 140.0))
    read = _drawings(only(beam, units="metric"), tmp_path)["beam-ply-1"]
    (outline,) = read.shapes("piece")
    assert _extent(outline)[0] * read.scale == pytest.approx(3600, abs=WRITTEN_MM * read.scale)
    assert {"A: notch", "I: notch"} <= set(read.texts)
    (page,) = (tmp_path / "drawings").iterdir()
    _check_sheet(Read(page.read_bytes()), "metric")
