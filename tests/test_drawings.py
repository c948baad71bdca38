"""The drawings, read back by an XML parser: to scale, legible, complete."""

from __future__ import annotations

import re
from itertools import pairwise
from math import dist, pi
from pathlib import Path

import pytest
import shapely

from pikepole_export.derive.measures.families import families
from pikepole_export.derive.measures.templates import Template, templates
from pikepole_export.write.drawings.cells import Item, packed, room_of, shared_stem
from pikepole_export.write.drawings.pattern_names import named_shapes
from pikepole_export.write.drawings.shaped import shaped_pages, write_templates
from pikepole_export.write.drawings.svg import Sheet
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.building.piece import Piece
from pikepole_model.errors import OutputError
from pikepole_model.units import format_length
from reading import WRITTEN_MM, Read, check_sheet, extent
from shaped import INCH, only, rafter, stick


@pytest.fixture(params=["honey_house", "tool_store", "potting_lean_to", "boat_rack"])
def drawn(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Building, list[Path]]:
    """Buildings of every kind of roof, their drawings written."""
    building: Building = request.getfixturevalue(request.param)
    return building, write_templates(shaped_pages(building), tmp_path)


def test_every_drawing_is_whole_and_legible(drawn: tuple[Building, list[Path]]) -> None:
    building, paths = drawn
    assert paths
    assert len(set(paths)) == len(paths)
    for path in paths:
        assert path.parent.name == "drawings"
        assert re.fullmatch(r"[a-z0-9-]+\.svg", path.name)
        check_sheet(Read(path.read_bytes()), building.scene.units)


def test_pieces_are_drawn_to_scale(drawn: tuple[Building, list[Path]]) -> None:
    building, paths = drawn
    cells = {k: v for path in paths for k, v in Read(path.read_bytes()).cells.items()}
    every = [(name, one) for name, one in named_shapes(building) if isinstance(one, Template)]
    made = 0
    for own in families(every):
        read = cells[shared_stem(list(own))]
        template = max(own.values(), key=lambda one: one.length_mm)
        (outline,) = read.shapes("piece")
        long, deep = extent(outline)
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
            extent(bar)[0] * 2 * read.scale == pytest.approx(mm, abs=2 * WRITTEN_MM * read.scale)
            for mm in lengths
        )
        found += 1
    assert found


def test_same_building_gives_the_same_bytes(tool_store: Building, tmp_path: Path) -> None:
    first = write_templates(shaped_pages(tool_store), tmp_path / "a")
    second = write_templates(shaped_pages(tool_store), tmp_path / "b")
    assert [path.name for path in first] == [path.name for path in second]
    assert [path.read_bytes() for path in first] == [path.read_bytes() for path in second]


def _drawings(building: Building, folder: Path) -> dict[str, Read]:
    """Every drawing by its name: those that share a page, and those that have one."""
    reads = {
        path.stem: Read(path.read_bytes())
        for path in write_templates(shaped_pages(building), folder)
    }
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
    assert "square line at a on the face with the long point" in " ".join(read.texts)
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
    assert words.count("seat: level cut 1000 mm/m, 45.0° off the edge") == 2
    assert words.count("heel: plumb cut 1000 mm/m, 45.0° off square") == 2
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
        check_sheet(read, "imperial")
        # Both bars are as long as they say, so that a ruler can tell what the printer did.
        *level, upright = (extent(bar) for bar in read.shapes("fill"))
        bars = [bar[0] * 2 for bar in level]
        assert bars == pytest.approx([3 * INCH, 100.0], abs=2 * WRITTEN_MM)
        assert upright[1] * 2 == pytest.approx(2 * INCH, abs=2 * WRITTEN_MM)
        assert any("Measure this before cutting" in words for words in read.texts)
        assert {'3"', "100 mm"} <= set(read.texts)
        # Two short lines that cross: the marks to lay over each other.
        lines = [line for line in read.shapes("narrow", "polyline") if len(line) == 2]
        level = [line for line in lines if extent(line) == pytest.approx((8.0, 0.0))]
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
    wide, high = (side * read.scale for side in extent(metal))
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
    assert ["falls outwards" in words for words in (head, base, cap)] == [True, True, False]
    # What is said of the bends is what is drawn at them.
    for name in ("head-flashing-1", "base-flashing-1"):
        drawn = [text for text in found[name].texts if re.fullmatch(r"\d+°", text)]
        said = re.findall(r"\d+°", " ".join(set(found[name].texts) - set(drawn)))
        assert len(said) == 2
        assert sorted(drawn) == sorted(said)
    # What goes for all of them stands once, at the foot of each page.
    pages = [Read(path.read_bytes()) for path in (tmp_path / "drawings").glob("bent-metal-*.svg")]
    assert pages
    assert all("Edges are raw" in " ".join(page.texts) for page in pages)


def test_nothing_shaped_writes_nothing(tmp_path: Path) -> None:
    plain = stick(Kind.STUD, ((0, 0), (2000, 0), (2000, 89), (0, 89)), (38.0, 89.0))
    assert write_templates(shaped_pages(only(plain)), tmp_path) == []
    assert list(tmp_path.iterdir()) == []


def test_file_in_the_way_of_the_folder_is_named(tmp_path: Path) -> None:
    (tmp_path / "drawings").write_text("not a folder", encoding="utf-8")
    with pytest.raises(OutputError, match="drawings is a file"):
        write_templates(shaped_pages(only(rafter(4, 1000, 140))), tmp_path)


def test_many_different_notches_still_go_on_a_sheet(tmp_path: Path) -> None:
    top = [(3600.0, 140.0), (0.0, 140.0)]
    under = [(0.0, 0.0)]
    for k in range(9):
        u, deep = 300.0 + 350.0 * k, 10.0 + 5.0 * k
        under += [(u, 0.0), (u, deep), (u + 60.0, deep), (u + 60.0, 0.0)]
    beam = stick(Kind.BEAM, (*under, (3600.0, 0.0), *top), (38.0, 140.0))
    read = _drawings(only(beam, units="metric"), tmp_path)["beam-ply-1"]
    (outline,) = read.shapes("piece")
    assert extent(outline)[0] * read.scale == pytest.approx(3600, abs=WRITTEN_MM * read.scale)
    assert {"A: notch", "I: notch"} <= set(read.texts)
    (page,) = (tmp_path / "drawings").iterdir()
    check_sheet(Read(page.read_bytes()), "metric")


def test_pages_are_filled_as_far_as_cells_go() -> None:
    """Parts of a page's width: 5/10 + 3/10 + 2/10 and 40 + 35 + 25 hundredths, all as high as it.

    One after the other into the first page that holds them they would take three pages; a cell half
    as high stands on what is left over, and another under it.
    """
    wide, high = room_of("imperial")

    def item(share: float, down: float = 1.0) -> Item:
        size = (wide * share - 0.01, high * down)
        return Item(f"{share} x {down}", size, lambda: Sheet(size, ""))

    full = [item(share) for share in (0.5, 0.4, 0.35, 0.3, 0.25, 0.2)]
    pages = packed(full, "imperial")
    names = [{place.item.name for place in page} for page in pages]
    assert names == [
        {"0.5 x 1.0", "0.3 x 1.0", "0.2 x 1.0"},
        {"0.4 x 1.0", "0.35 x 1.0", "0.25 x 1.0"},
    ]
    low = [item(0.6), item(0.4, 0.5), item(0.3, 0.5)]
    (page,) = packed(low, "imperial")
    corners = {place.item.name: place.at for place in page}
    beside, under = corners["0.4 x 0.5"], corners["0.3 x 0.5"]
    assert beside[0] == under[0] == pytest.approx(corners["0.6 x 1.0"][0] + 0.6 * wide, abs=0.02)
    assert under[1] - beside[1] == pytest.approx(high / 2)
