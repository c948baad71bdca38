from __future__ import annotations

import json
import math
import os
import re
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from shapely import MultiPoint, Polygon, box

from conftest import FORMS
from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.plan import lift_plan
from pikepole_export.files.whole import slug
from pikepole_export.graphics.camera import camera_axes, camera_axes_behind
from pikepole_export.graphics.child import Pictures
from pikepole_export.graphics.drawer import page_file
from pikepole_export.graphics.figure import figure_at
from pikepole_export.graphics.lettering import NO_BREAK, font_of
from pikepole_export.write.pictures import column as _column
from pikepole_export.write.pictures import sheet as _sheet
from pikepole_export.write.pictures import stages as pictures
from pikepole_export.write.pictures.captions import Caption, PieceLine, captions
from pikepole_export.write.pictures.stages import (
    drawers,
    heaviest_of,
    start_pictures,
    write_job,
    write_page,
    write_pictures,
)
from pikepole_model.build import build
from pikepole_model.building.kind_rows import Handled
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part, Stage
from pikepole_model.errors import OutputError
from pikepole_model.geometry.placement import Placement, Points
from pikepole_model.geometry.shape import Prism, Shape, rectangle
from pikepole_model.reading.file import load_scene
from pikepole_model.scene.foundation import Pad
from pikepole_model.scene.schema import Bay, Roof, Scene, Store
from pikepole_model.stock.materials import Material
from pikepole_model.units import format_length, format_mass
from samples import CONCRETE, PLYWOOD, SPRUCE, STEEL, sample_building

NAMES = [
    "stages/01-foundation.png",
    "stages/02-floor.png",
    "stages/03-back-wall-and-rafter.png",
    "stages/finished.png",
]
# Rows and columns of the view from the front, and of the one from behind.
DRAWING = slice(0, _sheet.MAIN[3]), slice(0, _sheet.MAIN[2])
BEHIND = (
    slice(_sheet.MAIN[3], _sheet.MAIN[3] + _sheet.SECOND_PX[1]),
    slice(0, _sheet.SECOND_PX[0]),
)
UNDER = BEHIND[0], slice(0, _sheet.MAIN[2])  # all that stands below the view from the front
TEXT = slice(_sheet.MAIN[2], None)  # columns of the words
HEAVIEST = "Heaviest lift"


def drawn(building: Building, folder: Path) -> list[str]:
    """Its pictures, no lift told of."""
    return write_pictures(building, tuple, folder)


def job_of(building: Building, folder: Path) -> tuple[dict[str, NDArray[Any]], dict[str, Any]]:
    """What the child is given."""
    shared, told = write_job(building, folder), captions(building, {})
    for page, caption, stage in zip(shared, told, (*building.stages, None), strict=True):
        write_page(building, stage, page | {"caption": caption}, folder)
    words, *pages = (
        json.loads((folder / name).read_text(encoding="utf-8"))
        for name in ("words.json", *(page_file(caption["file"]) for caption in told))
    )
    words["pages"] = pages
    with np.load(folder / "arrays.npz") as stored:
        return dict(stored), words


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pictures")
    assert drawn(sample_building(), folder) == NAMES
    return folder


@pytest.mark.parametrize("children", [2, 3])
def test_children_that_share_the_pictures_draw_the_same(
    folder: Path, tmp_path: Path, children: int
) -> None:
    with start_pictures(sample_building(), tuple, drawers(children=children)) as shared:
        assert shared.finish(tmp_path) == NAMES
    for name in NAMES:
        assert (tmp_path / name).read_bytes() == (folder / name).read_bytes()


@pytest.fixture
def jobs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where temporary folders are made, to see that none is left."""
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(jobs))
    return jobs


def pixels(path: Path) -> NDArray[np.int64]:
    with Image.open(path) as image:
        assert image.mode == "RGB"
        return np.asarray(image).astype(int)


def coloured(image: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Where there is wood: paper, ground, text, lines, concrete and figure are all nearly grey."""
    return np.ptp(image, axis=2) > 30


def figure_box(folder: Path, building: Building, view: str) -> tuple[int, int, int, int]:
    """The figure in a view, without its label: left, top, right, bottom, px of the view."""
    arrays, words = job_of(building, folder)
    points, axes = arrays[f"{view}_figure_points"], arrays[f"{view}_axes"]
    placed = points @ axes[:2].T * arrays[f"{view}_scale"] + arrays[f"{view}_shift"]
    (left, low), (right, high) = placed.min(axis=0), placed.max(axis=0)
    height = words["views"][view]["size"][1]
    return int(left) - 1, int(height - high) - 1, int(right) + 2, int(height - low) + 2


def one_part(name: str, stage: int, material: Material, kind: Kind, *sides: float) -> Part:
    """A block from one corner (x, y, z) to the other, mm."""
    x0, y0, z0, x1, y1, z1 = sides
    shape = Shape(Prism(rectangle(0, 0, x1 - x0, y1 - y0), z1 - z0))
    place = Placement((x0, y0, z0))
    return Part(name, kind, "test", stage, "stock", material, None, shape, place)


def building_of(*parts: Part, units: str = "metric") -> Building:
    numbers = sorted({part.stage for part in parts})
    stages = tuple(
        Stage(n, f"Step {n}", tuple(part for part in parts if part.stage == n)) for n in numbers
    )
    size = Store.model_construct(length=4000.0, depth=3000.0)
    roof = Roof.model_validate({"slope": "3:12"})
    scene = Scene.model_construct(title="Blocks", units=units, building=size, roof=roof)
    return Building(scene, parts, (), stages)


def test_every_picture_has_its_size(folder: Path) -> None:
    for name in NAMES:
        with Image.open(folder / name) as image:
            assert image.size == (1600, 1200)
    assert sorted(path.name for path in (folder / "stages").iterdir()) == sorted(
        Path(name).name for name in NAMES
    )


def test_to_print_there_are_twice_the_pixels_of_the_same_page(folder: Path, tmp_path: Path) -> None:
    with start_pictures(sample_building(), tuple, drawers(large=True)) as pictures:
        assert pictures.finish(tmp_path) == NAMES
    for name in NAMES:
        with Image.open(tmp_path / name) as large:
            assert large.size == (3200, 2400)
            halved = np.asarray(large.convert("RGB").reduce(2)).astype(int)
        # The views are the very ones that are brought to size otherwise; words are set larger.
        same = np.abs(halved - pixels(folder / name)).max(axis=2) < 3
        assert same[DRAWING].mean() > 0.99
        assert same.mean() > 0.97


def test_the_same_building_gives_the_same_bytes_whatever_folder_it_is_run_in(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # A file there may have the name of a module that drawing needs.
    (tmp_path / "json.py").write_text("raise SystemExit('the wrong json')", encoding="utf-8")
    (tmp_path / "numpy.py").write_text("raise SystemExit('the wrong numpy')", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert drawn(sample_building(), tmp_path / "out") == NAMES
    for name in NAMES:
        assert (tmp_path / "out" / name).read_bytes() == (folder / name).read_bytes()


def test_what_a_stage_adds_is_drawn_true_to_the_figures_scale(folder: Path, tmp_path: Path) -> None:
    # Parallel lines of sight, 30 degrees above the ground: an upright length shows as its cosine, a
    # level area as its sine. The sheet's top is 1200 x 800 mm less an opening of 150 x 220 mm; the
    # figure is 1750 mm tall, and its toes reach 118 mm towards the eye.
    image = pixels(folder / NAMES[1])[DRAWING]
    _, words = job_of(sample_building(), tmp_path)
    left, top, right, bottom = figure_box(tmp_path, sample_building(), words["pages"][1]["main"])
    rows = np.flatnonzero((image[top:bottom, left:right].max(axis=2) < 150).any(axis=1))
    tall_px = rows[-1] - rows[0] + 1
    sine, cosine = math.sin(math.radians(30)), math.cos(math.radians(30))
    scale = tall_px / (1750 * cosine + 118 * sine)
    expected = (1200 * 800 - 150 * 220) * sine * scale**2
    plywood = np.array([0.80, 0.62, 0.45]) * 255
    shown = (np.abs(image - plywood).max(axis=2) < 8).sum()
    # Lines take some of it; the figure is measured to a pixel in three hundred.
    assert shown == pytest.approx(expected, rel=0.06)


def test_nothing_is_cut_off(folder: Path) -> None:
    for name in NAMES:
        image = pixels(folder / name)
        # Wood, and anything grey but the pale ground: lines, concrete, the figure and its label.
        for view in (DRAWING, UNDER):
            rows, columns = np.nonzero(coloured(image[view]) | (image[view].max(axis=2) < 200))
            assert len(rows) > 5_000
            assert rows.min() >= (0 if view is UNDER else 10)  # what it is, is said on its edge
            assert rows.max() < image[view].shape[0] - 10
            assert columns.min() >= 10
            assert columns.max() < image[view].shape[1] - 10
        # The words keep their margins.
        column = image[:, TEXT].max(axis=2) < 200
        assert column.any()
        assert not column[:20].any()
        assert not column[-20:].any()
        assert not column[:, :10].any()
        assert not column[:, -20:].any()


def test_the_figure_stands_clear_and_is_the_same_in_every_picture_of_a_fit(
    folder: Path, tmp_path: Path
) -> None:
    _, words = job_of(sample_building(), tmp_path)
    seen: dict[str, NDArray[np.int64]] = {}
    for page, name in zip(words["pages"], NAMES, strict=True):
        # What is laid out with a tape may stand in the place of the view from behind.
        behind = [] if page["layout"] else [(page["second"], BEHIND)]
        for view, where in ((page["main"], DRAWING), *behind):
            left, top, right, bottom = figure_box(tmp_path, sample_building(), view)
            crop = pixels(folder / name)[where][top:bottom, left:right]
            assert (crop == seen.setdefault(view, crop)).all()
            assert not coloured(crop).any()
            assert (crop.max(axis=2) < 150).mean() > 0.2
    assert len(seen) >= 2


def test_the_large_view_is_from_where_what_is_added_is_seen(tmp_path: Path) -> None:
    # Seen 30 degrees from above, a wall of 2.4 m hides what lies within 2.4 / tan 30 = 4.1 m of it.
    wall = one_part("wall", 1, CONCRETE, Kind.SLAB, 0, 0, 0, 4000, 200, 2400)
    before = one_part("step before it", 2, SPRUCE, Kind.POST, 1500, -500, 0, 2300, -100, 200)
    behind = one_part("step behind it", 3, SPRUCE, Kind.POST, 1500, 300, 0, 2300, 700, 200)
    _, ahead, turned, _ = drawn(building_of(wall, before, behind), tmp_path)
    for name in (ahead, turned):
        assert coloured(pixels(tmp_path / name)[DRAWING]).sum() > 1_000
    assert not coloured(pixels(tmp_path / turned)[BEHIND]).any()


@pytest.mark.parametrize("behind", [False, True])
@pytest.mark.parametrize("end", ["left", "right"])
@pytest.mark.parametrize(
    "size",
    [
        (500, 300, 400),
        (4200, 2700, 3300),
        (45000, 3000, 3500),
        (3000, 9000, 2500),
        (2000, 2500, 9000),
    ],
)
def test_any_building_fits_beside_its_figure(
    size: tuple[float, float, float], end: str, behind: bool
) -> None:
    other = "right" if end == "left" else "left"
    bays = (
        Bay.model_construct(side=other, reach=900.0),
        Bay.model_construct(side=end, reach=950.0),
    )
    scene = Scene.model_construct(title="", units="metric", bay=bays)
    axes = (camera_axes_behind if behind else camera_axes)(Building(scene, (), (), ()))
    corners: Points = np.array(
        [[x, y, z] for x in (0, size[0]) for y in (0, size[1]) for z in (-300, size[2])],
        dtype=float,
    )
    room = _sheet.SECOND_PX if behind else _sheet.MAIN[2:]
    sheet = _sheet.fit(corners, axes, 2, room)
    inside = (np.array(room) - 10).tolist()
    shown = sheet.place(corners)[:, :2]
    assert (shown >= 10).all()
    assert (shown <= inside).all()

    vertices, triangles, _ = figure_at(*sheet.figure_mm, sheet.axes)
    assert vertices[:, 2].min() == 0
    assert vertices[:, 2].max() == 1750
    assert len(triangles) > 0
    figure = sheet.place(vertices)[:, :2]
    assert (figure >= 10).all()
    assert (figure <= inside).all()
    x, y = sheet.label_px
    assert y < figure[:, 1].min()
    label = box(x - 55, y - 2 * 28, x + 55, y)
    assert label.bounds[1] >= 10
    hull = MultiPoint(shown).convex_hull
    beside = MultiPoint(figure).convex_hull.union(label)
    assert hull.distance(beside) > 5
    # The words lie on the ground, each on its own side, clear of all else and of each other.
    lying = [Polygon(sheet.place(word.corners_mm)[:, :2]) for word in sheet.words]
    above = MultiPoint(sheet.place(corners[corners[:, 2] > -1])[:, :2]).convex_hull
    for number, word in enumerate(sheet.words):
        assert (word.corners_mm[:, 2] == 0).all()
        (x, y), out = word.corners_mm[:, :2].mean(axis=0), word.text
        assert (y < 0) == (out == "FRONT")
        assert (y > size[1]) == (out == "BACK")
        assert (x < 0) == (out == "LEFT")
        assert (x > size[0]) == (out == "RIGHT")
        assert not lying[number].intersects(above)
        assert lying[number].distance(beside) > 3
        assert not any(lying[number].intersects(other) for other in lying[:number])
        assert (np.array(lying[number].exterior.coords) >= 10).all()
        assert (np.array(lying[number].exterior.coords) <= inside).all()
    # The two sides that face the eye are named.
    facing = {
        "BACK" if behind else "FRONT",
        ({"left": "right", "right": "left"} if behind else {"left": "left", "right": "right"})[
            end
        ].upper(),
    }
    assert facing <= {word.text for word in sheet.words}
    # The front and the end with the longer bay face the eye; the opposite corner the one behind.
    corner, along, back = sheet.place(np.array([[0.0, 0, 0], [size[0], 0, 0], [0, size[1], 0]]))
    assert (corner[2] > along[2]) == ((end == "left") != behind)
    assert (corner[2] > back[2]) != behind


def test_what_is_hidden_is_shown_from_behind_and_not_through(tmp_path: Path) -> None:
    # The sheet stands 100 mm behind a block that is far larger than it every way.
    front = one_part("block", 1, SPRUCE, Kind.STUD, 0, 0, 0, 4000, 300, 3000)
    hidden = one_part("sheet", 2, PLYWOOD, Kind.WALL_SHEET, 1500, 400, 700, 2300, 410, 1100)
    drawn(building_of(front, hidden), tmp_path)
    one, two, finished = (
        pixels(tmp_path / f"stages/{name}.png") for name in ("01-step-1", "02-step-2", "finished")
    )
    # From the front it is hidden, as in life, and nothing of it lies on what hides it.
    assert (finished[DRAWING] == one[DRAWING]).all()
    # So its own page shows it large from behind, and small from the front.
    assert not coloured(two[BEHIND]).any()
    plywood, large = np.array([0.80, 0.62, 0.45]) * 255, two[DRAWING]
    shown = np.abs(large / np.maximum(large[..., :1], 1) - plywood / plywood[0]) < 0.02
    assert shown.all(axis=2).sum() > 500


def closed_box(kind: Kind, high: float) -> list[Part]:
    """Six boards that close a box of 2 m by 2 m, and a sheet in it, all of one stage."""
    corners = [
        (0, 0, 0, 2000, 100, high),
        (0, 1900, 0, 2000, 2000, high),
        (0, 100, 0, 100, 1900, high),
        (1900, 100, 0, 2000, 1900, high),
        (100, 100, high - 100, 1900, 1900, high),
        (100, 100, 0, 1900, 1900, 100),
    ]
    boards = [one_part(f"board {n}", 1, SPRUCE, kind, *own) for n, own in enumerate(corners)]
    return [*boards, one_part("sheet", 1, PLYWOOD, Kind.WALL_SHEET, 500, 500, 500, 1500, 1500, 518)]


def test_what_nothing_shows_otherwise_is_shown_without_what_hides_it(tmp_path: Path) -> None:
    *sides, sheet = closed_box(Kind.STUD, 2000)
    building = building_of(*sides, replace(sheet, stage=2))
    with start_pictures(building, tuple, drawers()) as pictures:
        unseen = unseen_on(pictures, pictures.finish(tmp_path))
    # The boards of the box hide nothing of each other: all are seen.
    assert unseen == {"01-step-1.png": [], "02-step-2.png": [], "finished.png": []}
    plywood = np.array([0.80, 0.62, 0.45]) * 255
    two = pixels(tmp_path / "stages/02-step-2.png")[:, : _sheet.MAIN[2]]
    shown = np.abs(two - plywood).max(axis=2) < 8
    assert not shown[DRAWING].any()
    assert shown.sum() > 500


@pytest.mark.parametrize("small", [True, False])
def test_nothing_is_drawn_over_the_words_above_a_view(small: bool, tmp_path: Path) -> None:
    # A tall box from behind, with a cleat on its back, and what is in it; where its boards are rims
    # they are set out, and both views stand smaller beside that.
    kind, high = Kind.RIM if small else Kind.STUD, 6000.0
    cleat = one_part("cleat", 1, SPRUCE, kind, 900, 2000, 3000, 1100, 2100, 3200)
    drawn(building_of(*closed_box(kind, high), cleat), tmp_path)
    one = pixels(tmp_path / "stages/01-step-1.png")
    # Letters are no higher than their size, and as much as a fifth of it hangs below their line.
    said = round(1.2 * _column.BODY_PX)
    for left, top, wide, high_px in (_sheet.BESIDE if small else _sheet.SLOTS)[:2]:
        view = coloured(one[top : top + high_px, left : left + wide])
        assert view.any()
        assert not view[:said].any()


def test_what_covers_an_edge_hides_it_on_a_face_seen_almost_edge_on(tmp_path: Path) -> None:
    # Boards that fall away from an eye at 30 degrees with 30 of their own, and paper on them, 1 mm
    # thick, that reaches past them every way: nothing of the boards' edges is seen through it.
    slope = math.radians(30.0)
    roof = Placement((0.0, 0.0, 3000.0), v=(0.0, math.cos(slope), -math.sin(slope)))

    def lying(name: str, stage: int, kind: Kind, *sides: float) -> Part:
        part = one_part(name, stage, PLYWOOD, kind, *sides)
        return replace(part, placement=replace(roof, origin=roof.point(*sides[:3])))

    boards = [
        lying(f"board {n}", 1, Kind.ROOF_SHEET, 1200 * n, 0, 0, 1200 * n + 1200, 2400, 18)
        for n in range(8)
    ]
    paper = lying("paper", 2, Kind.UNDERLAYMENT, -100, -100, 18, 9700, 2500, 19)
    paper = replace(paper, stock="No. 30 felt")
    building = building_of(*boards, paper)
    drawn(building, tmp_path)
    points = np.concatenate([part.vertices_mm for part in building.parts])
    sheet = _sheet.fit(points, camera_axes(building), 1, _sheet.MAIN[2:])
    corners = roof.apply(
        np.array([[-100.0, -100, 19], [9700, -100, 19], [9700, 2500, 19], [-100, 2500, 19]])
    )
    # Inside its own edges.
    face = Polygon(sheet.place(corners)[:, :2] * [1, -1] + [0, _sheet.MAIN[3]]).buffer(-3)
    mask = Image.new("1", (1600, 1200))
    ImageDraw.Draw(mask).polygon([(x, y) for x, y in face.exterior.coords], fill=1)
    seen = pixels(tmp_path / "stages/02-step-2.png")[np.asarray(mask)]
    assert len(seen) > 15_000
    assert (seen == commonest(seen)).all()


def test_what_lies_flush_with_the_ground_is_seen_whole_from_both_sides(tmp_path: Path) -> None:
    bed = one_part("bed", 1, PLYWOOD, Kind.WALL_SHEET, 0, 0, -100, 5000, 3000, 0)
    other = one_part("post", 2, SPRUCE, Kind.POST, 0, 0, 0, 100, 100, 2000)
    building = building_of(bed, other)
    drawn(building, tmp_path)
    points = np.concatenate([part.vertices_mm for part in building.parts])
    for where, axes, room in (
        (DRAWING, camera_axes(building), _sheet.MAIN[2:]),
        (BEHIND, camera_axes_behind(building), _sheet.SECOND_PX),
    ):
        sheet = _sheet.fit(points, axes, 1, room)
        # The middle of its top, which the post hides from neither side.
        x, y, _ = sheet.place(np.array([[2500.0, 1500.0, 0.0]]))[0]
        row, column = int(room[1] - y), int(x)
        finished = pixels(tmp_path / "stages/finished.png")[where]
        seen = finished[row - 10 : row + 10, column - 30 : column + 30]
        # The colour of plywood, lit from above.
        assert np.abs(seen - np.array([0.80, 0.62, 0.45]) * 255).max() < 8


def commonest(colours: NDArray[np.int64]) -> NDArray[np.int64]:
    """The colour that most of (n, 3) pixels have."""
    kinds, counts = np.unique(colours, axis=0, return_counts=True)
    return kinds[counts.argmax()]


def lightness(image: NDArray[np.int64]) -> NDArray[np.float64]:
    """CIE L* of sRGB. Source: IEC 61966-2-1 and CIE 15."""
    value = image / 255
    linear = np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)
    y = linear @ [0.2126, 0.7152, 0.0722]
    return np.where(y > (6 / 29) ** 3, 116 * np.cbrt(y) - 16, (29 / 3) ** 3 * y)


def test_added_and_standing_stay_apart_in_grey(tmp_path: Path) -> None:
    # The lightest wood is the hardest case: its broad faces, first when added and then standing.
    lumber = one_part("post", 1, SPRUCE, Kind.STUD, 0, 0, 0, 3000, 1500, 2000)
    other = one_part("sheet", 2, PLYWOOD, Kind.WALL_SHEET, 3050, 0, 0, 3250, 1500, 20)
    drawn(building_of(lumber, other), tmp_path)
    first, second = (pixels(tmp_path / f"stages/0{n}-step-{n}.png")[DRAWING] for n in (1, 2))
    faces = coloured(first)
    added, standing = lightness(first[faces]), lightness(second[faces])
    # Steps of ten are what the colours themselves keep between materials.
    assert np.median(standing - added) >= 10
    assert (standing - added > 5).mean() > 0.99
    # Edges: drawn as dark as text when added, no darker than a mid grey when standing.
    assert lightness(first).min() < 25
    lines = lightness(first) < 25
    assert lines.sum() > 1000
    assert lightness(second[lines]).min() > 60


def test_the_smallest_text_prints_at_nine_points() -> None:
    # A page printed 10 in wide, on letter paper lying with half an inch of margin; 72 points to
    # the inch.
    for size in (_column.BODY_PX, _column.BOLD_PX, _column.NAME_PX):
        assert size / 1600 * 10 * 72 >= 9


@pytest.mark.parametrize("kinds", [1, 8, 60])
def test_the_longest_words_keep_to_their_column(kinds: int) -> None:
    words = "Wheel house of the upper mill, with coal store and a lean-to on the weather side " * 9
    lines = ["123' 11\" deep over everything", "dry 1,234,567 lb", words]
    block = {"head": "1,234,567 pieces in all", "bold": lines[:1], "plain": lines[1:]}
    caption = {
        "over": words,
        "name": words,
        "notes": words,
        "pieces": [{"text": words[: 20 + 7 * n], "parts": [n], "rank": n} for n in range(kinds)],
        "blocks": [block, block],
        "under": words,
    }
    page = Image.new("RGB", (1600, 1200), "white")
    frame = (_sheet.MAIN[2], 0, 1600 - _sheet.MAIN[2], 1200)
    _column.Column(ImageDraw.Draw(page), frame, 1).caption(caption, frozenset(range(1, kinds)))
    ink = np.asarray(page).max(axis=2) < 200
    assert not ink[:, : frame[0] + 10].any()
    assert not ink[:, -20:].any()
    assert not ink[-10:].any()
    assert ink.any()


def words_of(building: Building, lifts: Mapping[int, Lift] | None = None) -> list[Caption]:
    return captions(building, lifts or {})


def test_captions_say_what_is_added_and_what_stands() -> None:
    # Densities are round numbers for the tests, low, likely and high, kg/m3: gravel 1500, spruce
    # 400, 450, 500, steel 7850.
    gravel = Material("gravel", (1500.0, 1500.0, 1500.0), "round number for the tests")
    parts = (
        one_part("old post", 1, SPRUCE, Kind.EXISTING, 0, 0, 0, 100, 100, 2000),
        one_part("bed", 2, gravel, Kind.GRAVEL, 0, 0, -200, 4000, 2500, 0),
        one_part("post", 3, SPRUCE, Kind.POST, 0, 200, 0, 200, 400, 2504),
        one_part("plate", 4, STEEL, Kind.POST_BASE, 0, 500, 0, 200, 600, 10),
    )
    already, bed, post, plate, finished = words_of(building_of(*parts))
    assert already["under"] == "Ground grid 1 m"
    assert already["blocks"] == [
        {"head": "1 piece", "bold": ["already there"], "plain": ["weight not counted"]}
    ]
    # 4 x 2.5 x 0.2 m = 2 m3 of gravel, known to one figure only; it settles by a fifth, and a tenth
    # is wasted: 2.64, in halves 3. 0.2 x 0.2 x 2.504 m = 0.10016 m3
    # of wood; 0.2 x 0.1 x 0.01 m = 0.0002 m3 of steel, 1.57 kg.
    assert bed["blocks"] == [
        {
            "head": "1 piece added",
            "bold": ["3,000 kg"],
            "plain": ["3,000 kg of it gravel", "order gravel 3 m3"],
        }
    ]
    assert post["blocks"] == [
        {"head": "1 piece added", "bold": ["45.1 kg"], "plain": ["dry 40.1 kg, wet 50.1 kg"]}
    ]
    assert plate["blocks"] == [{"head": "1 piece added", "bold": ["1.6 kg"], "plain": []}]
    # 2504 mm is 2.50 m to the centimetre; the bed lies in the ground, and what was there already is
    # not built: the post and the plate are from 0 to 200 mm along and from 200 to 600 mm deep.
    size, in_all = finished["blocks"]
    assert size["bold"] == ["0.20 m long", "0.40 m deep", "2.50 m high"]
    assert in_all == {
        "head": "4 pieces in all",
        "bold": ["3,047 kg"],
        "plain": ["dry 3,042 kg, wet 3,052 kg", "3,000 kg of it gravel"],
    }


def test_captions_in_feet_and_pounds() -> None:
    # 1 m3 of spruce at 450 kg/m3 is 450 / 0.45359237 = 992.08 lb; 2 m3 of concrete at 2350 kg/m3
    # are 10,361.7 lb, and 2 / 0.9144 ^ 3 = 2.616 yd3, with a tenth more 2.88, in quarters 3. 4000
    # mm are 157.48 in, 13 ft 1 in; 2500 mm 98.43 in, 8 ft 2 in.
    cast = one_part("pad", 1, CONCRETE, Kind.SLAB, 0, 0, -200, 4000, 2500, 0)
    wood = one_part("block", 2, SPRUCE, Kind.POST, 0, 0, 0, 1000, 1000, 1000)
    pad, block, finished = words_of(building_of(cast, wood, units="imperial"))
    assert pad["under"] == "Ground grid 4 ft"
    assert pad["blocks"][0]["plain"][-2:] == ["10,362 lb of it concrete", "order concrete 3 yd3"]
    assert block["blocks"][0]["bold"] == ["992 lb"]
    assert finished["blocks"][0]["bold"] == ["13' 1\" long", "8' 2\" deep", "3' 3\" high"]


def test_concrete_counts_where_it_was_cast_elsewhere() -> None:
    # 0.5 m3 of concrete at 2350 kg/m3 set as a block, 1 m3 cast: 3,525 kg. Only what is cast is
    # ordered as concrete, with a tenth more, in quarters: 1.25 m3.
    block = one_part("block", 1, CONCRETE, Kind.PIER, 0, 0, 0, 1000, 1000, 500)
    cast = one_part("pad", 1, CONCRETE, Kind.SLAB, 2000, 0, 0, 3000, 1000, 1000)
    stage, _ = words_of(building_of(block, cast))
    assert stage["blocks"][0]["plain"][-2:] == ["3,525 kg of it concrete", "order concrete 1.25 m3"]


def plain(line: PieceLine) -> str:
    return line["text"].replace(NO_BREAK, " ")


def test_the_size_over_all_is_not_that_of_the_gravel_round_it() -> None:
    # From the scene: 8 ft by 6 ft without overhangs; sheets 7/16 in thick are outside of that, and
    # the gravel, flush with the ground, reaches 12 in farther.
    building = build(load_scene(Path(__file__).parent / "scenes" / "plain.toml"))
    over_all = captions(building, {})[-1]["blocks"][0]
    assert over_all["bold"][:2] == ["8' 1\" long", "6' 1\" deep"]


def test_pieces_are_told_in_one_line_each(honey_house: Building) -> None:
    # Counted by hand from the scene: joists from front to back between two rims of 1-1/2 in, so
    # 9 ft less 3 in, every 16 in from the left end; skids of 14 ft under it.
    told = {caption["name"].split("  ")[1]: caption for caption in words_of(honey_house)[:-1]}
    lines = [plain(line) for line in told["Floor frame"]["pieces"]]
    assert lines[0] == "2 rim joists, 2x6, 14' 0\""
    assert lines[1] == '12 floor joists, 2x6, 8\' 9", every 16"'
    assert told["Foundation"]["pieces"][1]["text"].startswith("3 skids, 4x6, ")
    # From the scene: 12 in across, 2 ft in the ground and 3 in over it.
    footings = [text for text in map(plain, told["Bay footings"]["pieces"]) if "footing" in text]
    assert footings == [
        "2 footings, concrete, round, 1' 0\" across, 2' 3\" high, 2' 0\" of it in the ground"
    ]
    # The kings of two windows, 2 ft wide and 8-3/4 in apart, and of a door: no spacing.
    kings = [line["text"] for line in told["Front wall"]["pieces"] if "king" in line["text"]]
    assert kings
    assert not any("every" in text for text in kings)


def test_a_spacing_is_told_where_pieces_stand_so() -> None:
    building = build(load_scene(FORMS["egg-store"]))
    lines = [plain(one) for caption in words_of(building) for one in caption["pieces"]]
    # Boards of 9-1/4 in and gaps of 1/2 in on two walls, of 5-15/16 in less half a kerf of 3 mm on
    # the others: a batten over each gap. What stands in another wall is not the next.
    spaced = {text.split(",")[1]: text.split(", ")[-1] for text in lines if "batten" in text}
    assert spaced == {" 5/8 plywood": 'every 9-3/4"', " larch plank": 'every 6-7/16"'}
    # Cripples follow from where their openings are.
    assert not any("every" in text for text in lines if "cripple" in text)


def test_what_is_ripped_out_of_its_stock_is_told_apart() -> None:
    building = build(load_scene(FORMS["canoe-store"]))
    lines = [plain(one) for caption in words_of(building) for one in caption["pieces"]]
    # At a corner one 1x4 lies over the edge of the other, 3/4 in thick, which lacks so much.
    ripped, whole = sorted(text for text in lines if "corner board" in text)
    assert whole.startswith("4 corner boards, 1x4, ")
    assert ripped.startswith('4 corner boards, 1x4 ripped to 2-3/4", ')
    # Between lookouts of 2x4 on the flat lie blocks as high as these, 1-1/2 in.
    assert any(text.startswith('10 lookout blocks, 2x4 ripped to 1-1/2", ') for text in lines)
    # Blocks between rafters have a sloped top, by their drawing; boards that end a wall are as wide
    # as what is left of it.
    blocks = [part for part in building.parts if part.kind is Kind.RAFTER_BLOCK]
    assert min(part.across_mm[1] for part in blocks) < 7.25 * 25.4 - 3.0
    assert not any("ripped" in text for text in lines if "rafter block" in text)
    assert not any("ripped" in text for text in lines if "siding board" in text)


def test_a_stud_that_fills_a_gap_is_thinner_than_its_stock() -> None:
    building = build(load_scene(FORMS["press-house"]))
    told = {caption["name"].split("  ")[1]: caption for caption in words_of(building)[:-1]}
    # Where a post of 3-1/2 in was, 6 mm clear of the wall on one side at four corners, on both in
    # two walls: two studs of 1-1/2 in and one that fills what is left, 18.7 mm or 24.7.
    assert format_length(3.5 * 25.4 + 6 - 2 * 38.1, "imperial") == '3/4"'
    assert format_length(3.5 * 25.4 + 12 - 2 * 38.1, "imperial") == '1"'
    lines = [plain(one) for one in told["Gaps closed"]["pieces"]]
    assert any(text.startswith('4 studs, 2x4 ripped to 3/4" thick, ') for text in lines)
    assert any(text.startswith('2 studs, 2x4 ripped to 1" thick, ') for text in lines)
    assert any(text.startswith("12 studs, 2x4, ") for text in lines)


def test_every_piece_is_in_one_line_and_its_sizes_are_its_own(building: Building) -> None:
    units = building.scene.units
    for caption, stage in zip(words_of(building), building.stages, strict=False):
        numbers = [n for line in caption["pieces"] for n in line["parts"]]
        assert sorted(building.parts[n].name for n in numbers) == sorted(
            p.name for p in stage.parts
        )
        for line in caption["pieces"]:
            own = [building.parts[n] for n in line["parts"]]
            assert line["text"].startswith(f"{len(own)} ")
            tape = {
                format_length(mm, units) for part in own for mm in (part.length_mm, *part.across_mm)
            }
            pad = building.scene.foundation
            if own[0].kind is Kind.SLAB and isinstance(pad, Pad):
                # It is poured to the scene's own sizes.
                poured = (pad.thickness, pad.deep_mm, pad.edge_width, pad.above_ground)
                tape |= {format_length(mm, units) for mm in poured}
            if own[0].kind is Kind.FOOTING:
                tape |= {format_length(-part.bounds_mm[0][2], units) for part in own}
            sizes = line["text"].replace(NO_BREAK, " ").split(", every ")[0]
            for size in re.findall(r"(?:\d+' )?\d+(?:-\d+/\d+|/\d+)?\"|\d+ mm", sizes):
                # A stock is called by its own sizes.
                assert size in tape or size in own[0].stock


def test_the_heaviest_lift_is_that_of_the_lift_plan(honey_house: Building) -> None:
    plan = lift_plan(honey_house)
    told = words_of(honey_house, heaviest_of(plan.lifts))
    for caption, stage in zip(told, honey_house.stages, strict=False):
        # What it is moved with is no piece of the stage.
        raised = [
            lift
            for lift in plan.lifts
            if lift.item.stage == stage.number
            and not any(part.kind is Kind.CARRYING_BEAM for part in lift.item.whole.parts)
        ]
        told_of = [block for block in caption["blocks"] if block["head"] == HEAVIEST]
        if not raised:
            assert told_of == []
            continue
        most = max(lift.chosen.load.mass.high_kg for lift in raised)
        (block,) = told_of
        assert block["bold"][0].removeprefix("up to ") == format_mass(most, "imperial")


def test_beside_the_heaviest_lift_it_says_how_a_wall_goes_up(honey_house: Building) -> None:
    told = {
        caption["name"].split("  ")[1]: block["plain"]
        for caption in words_of(honey_house, heaviest_of(lift_plan(honey_house).lifts))[3:7]
        for block in caption["blocks"]
        if block["head"] == HEAVIEST
    }
    # Its plates run through, 14 ft in one piece: they are sawn where the halves meet.
    (bottom,) = [
        part
        for part in honey_house.parts
        if part.kind is Kind.BOTTOM_PLATE and part.group == "back wall"
    ]
    assert bottom.length_mm == pytest.approx(14 * 12 * 25.4)
    assert told["Back wall"][0].startswith("back wall half ")
    assert told["Back wall"][-3].startswith(
        "the wall goes up in 2 halves: bottom plate and lower top plate sawn "
    )
    assert told["Back wall"][-2] == "at the cut a stud in each half: one more than is listed"
    # From the scene: one person and two helpers. All of the wall at its wettest.
    own = [part for part in honey_house.parts if part.stage == 5 and part.group == "front wall"]
    whole = format_mass(sum(part_mass(part).high_kg for part in own), "imperial")
    assert told["Front wall"][-1] == (
        f"piece by piece: whole it is up to {whole}, too heavy to tilt up for 3 people"
    )
    # From the scene: a wall with a wide doorway, raised without what is over it.
    assert told["Right wall"][0] == "right wall without headers and upper plates"
    assert told["Right wall"][-1] == "tilted up"


# A piece may be seen on the page as less than a dot of two pixels; what is spread or cast in the
# ground is seen where it meets the surface.
SPECK_PX = 4.0


def unseen_on(pictures: Pictures, names: list[str]) -> dict[str, list[int]]:
    """For each picture the numbers of the added parts that no view of it shows."""
    files = [Path(name).name for name in names]
    return {
        file: json.loads((pictures.job / f"{file}.json").read_text(encoding="utf-8"))
        for file in files
    }


def every_piece_is_seen(building: Building, folder: Path) -> None:
    with start_pictures(building, tuple, drawers()) as pictures:
        unseen = unseen_on(pictures, pictures.finish(folder))
        with np.load(pictures.job / "arrays.npz") as stored:
            scale = max(float(stored[key]) for key in stored if key.endswith("_scale"))
    for name, numbers in unseen.items():
        for part in (building.parts[number] for number in numbers):
            speck = part.across_mm[1] * scale < SPECK_PX
            assert speck or part.kind.row.handled is Handled.IN_PLACE, (name, part.name)


def test_every_piece_is_seen_in_a_picture_of_its_stage(
    honey_house: Building, tmp_path: Path
) -> None:
    every_piece_is_seen(honey_house, tmp_path)


@pytest.mark.long
def test_so_it_is_in_every_scene(building: Building, tmp_path: Path) -> None:
    every_piece_is_seen(building, tmp_path)


@pytest.mark.long
def test_so_it_is_in_every_form(form: Building, tmp_path: Path) -> None:
    every_piece_is_seen(form, tmp_path)


def test_letters_of_every_script_stay_in_file_names() -> None:
    assert slug("Größe / Dach & Wände") == "größe-dach-wände"
    assert slug("брус А") == "брус-а"
    assert slug("屋根") == "屋根"
    assert slug("a\u202eb\x1b[31m=1+1") == "a-b-31m-1-1"
    assert slug("//") == "unnamed"
    assert len(slug("long " * 2000).encode()) < 60


def test_letters_of_other_languages_are_in_the_typeface() -> None:
    def drawn(letter: str) -> bytes:
        image = Image.new("L", (60, 60))
        font = font_of(40)
        ImageDraw.Draw(image).text((5, 5), letter, fill=255, font=font)
        return image.tobytes()

    for letter in "éßøłčЖΩ":
        assert drawn(letter) != drawn("\ufffe")  # the box for a letter that is not there


@pytest.fixture
def child(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A program that runs in place of the one that draws."""
    program = tmp_path / "stand_in_for_drawing.py"
    monkeypatch.setattr(pictures, "CHILD", program.stem)
    monkeypatch.setenv("PYTHONPATH", str(tmp_path), prepend=os.pathsep)
    return program


DRAW = "import os, sys, time\nfrom PIL import Image\ndef draw(names, job):\n    "
BLANK = (
    f"{DRAW}for name in names:\n"
    "        if name != 'ready':\n"
    "            Image.new('RGB', (1600, {high})).save(job / 'drawn' / name)\n"
)
BROKEN = {
    "crash": f"{DRAW}os.kill(os.getpid(), 11)",
    "exit": f"{DRAW}print('cannot draw here', file=sys.stderr); sys.exit(3)",
    "nothing": f"{DRAW}pass",
    "cut short": BLANK.format(high=1200)
    + "    path = next((job / 'drawn').iterdir())\n    path.write_bytes(path.read_bytes()[:-5])\n",
    "small": BLANK.format(high=1199),
}


@pytest.mark.parametrize("way", BROKEN)
@pytest.mark.skipif(sys.platform == "win32", reason="signals end a process elsewhere")
def test_a_broken_drawing_leaves_no_picture(
    way: str, child: Path, jobs: Path, tmp_path: Path
) -> None:
    child.write_text(BROKEN[way], encoding="utf-8")
    with pytest.raises(OutputError) as caught:
        drawn(sample_building(), tmp_path / "out")
    message = str(caught.value)
    assert message.startswith("no picture was written: ")
    assert "\n" not in message
    if way in ("crash", "exit"):
        assert "libegl1" in message
        assert "libgl1" in message
    if way == "exit":
        assert "cannot draw here" in message
    assert not (tmp_path / "out").exists()
    assert list(jobs.iterdir()) == []


@pytest.mark.skipif(sys.platform == "win32", reason="signals end a process elsewhere")
def test_a_child_killed_on_the_way_leaves_no_picture(jobs: Path, tmp_path: Path) -> None:
    with start_pictures(sample_building(), tuple, drawers()) as drawing:
        (pid,) = drawing.child_pids
        os.kill(pid, signal.SIGKILL)
        with pytest.raises(OutputError, match="no picture was written: drawing was killed"):
            drawing.finish(tmp_path / "out")
    assert not (tmp_path / "out").exists()
    assert list(jobs.iterdir()) == []


HANDED = "drawing.hand('1')\ndrawing.hand('2')\n"


@pytest.mark.parametrize(
    ("handed", "said"),
    [("", "here"), (HANDED, "begun"), (HANDED + "drawing.complete()\n", "begun")],
)
@pytest.mark.skipif(sys.platform == "win32", reason="signals end a process elsewhere")
def test_a_killed_command_takes_its_children_along(
    child: Path, jobs: Path, handed: str, said: str
) -> None:
    child.write_text(
        f"{DRAW}(job / f'here {{os.getpid()}}').touch()\n    for name in names:\n"
        "        (job / f'begun {name}').touch()\n"
        "    time.sleep(100)\n",
        encoding="utf-8",
    )
    command = (
        "import tempfile, time\n"
        "from pikepole_export.graphics.child import Pictures\n"
        f"tempfile.tempdir = {str(jobs)!r}\n"
        f"drawing = Pictures({child.stem!r}, 'x', (1, 1), children=2)\n"
        f"{handed}"
        "time.sleep(100)\n"
    )
    with subprocess.Popen([sys.executable, "-c", command]) as parent:
        while len([*jobs.glob(f"*/{said} *")]) < 2:
            assert parent.poll() is None
            time.sleep(0.02)
        parent.kill()
    # The last that a child does before it ends is to clear up.
    ends = time.monotonic() + 60
    while [*jobs.iterdir()] and time.monotonic() < ends:
        time.sleep(0.02)
    assert not [*jobs.iterdir()]


def test_pictures_that_come_after_others_wait_for_them(
    child: Path, jobs: Path, tmp_path: Path
) -> None:
    # It is done once all has been handed over, and not before.
    now = "    (job / {!r}).write_text(f'{{time.monotonic():020.6f}}')\n"
    child.write_text(BLANK.format(high=1200) + now.format("drawn-at"), encoding="utf-8")
    child.with_name("listening.py").write_text(
        f"{DRAW}assert list(names) == ['one.png']\n"
        f"{now.format('heard')}    Image.new('RGB', (1, 1)).save(job / 'drawn/one.png')\n",
        encoding="utf-8",
    )
    with (
        start_pictures(sample_building(), tuple, drawers()) as first,
        Pictures("listening", "second", (1, 1), after=first) as second,
    ):
        second.hand("one.png")
        second.complete()
        # The child that draws the first is told of it then.
        assert second.child_pids == first.child_pids
        assert first.finish(tmp_path)
        assert second.finish(tmp_path) == ["second/one.png"]
        assert (second.job / "heard").read_text() > (first.job / "drawn-at").read_text()
    assert list(jobs.iterdir()) == []


def test_those_that_wait_are_given_up_with_the_rest(jobs: Path) -> None:
    first = start_pictures(sample_building(), tuple, drawers())
    second = Pictures("this", "second", (1, 1), after=first)
    second.complete()
    with pytest.raises(KeyError), first, second:
        raise KeyError
    for pid in second.child_pids:
        with pytest.raises(ProcessLookupError):
            os.kill(pid, 0)
    assert list(jobs.iterdir()) == []


def test_leaving_early_ends_the_child_and_clears_up(jobs: Path) -> None:
    with pytest.raises(KeyError), start_pictures(sample_building(), tuple, drawers()):
        raise KeyError
    assert list(jobs.iterdir()) == []


def test_reading_the_module_loads_neither_kernel_nor_graphics() -> None:
    code = (
        "import sys, pikepole_export.write.pictures.stages, pikepole_export.write.pictures.render\n"
        "print([name for name in ('cadquery', 'OCP', 'pyvista', 'vtk', 'vtkmodules') "
        "if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_child_needs_neither_kernel_nor_model() -> None:
    code = (
        "import sys, pikepole_export.write.pictures.render\n"
        "print([name for name in sys.modules if name.startswith('pikepole_model')])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
