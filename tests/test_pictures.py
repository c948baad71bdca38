from __future__ import annotations

import math
import os
import signal
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from shapely import MultiPoint, Polygon, box

from pikepole_export.files.whole import distinct_slugs, slug
from pikepole_export.graphics.camera import camera_axes, camera_axes_behind
from pikepole_export.graphics.child import Pictures
from pikepole_export.graphics.figure import FIGURE_HALF_WIDTH_MM, figure_at
from pikepole_export.write.pictures import band as _band
from pikepole_export.write.pictures import sheet as _sheet
from pikepole_export.write.pictures import stages as pictures
from pikepole_export.write.pictures.captions import captions
from pikepole_export.write.pictures.stages import start_pictures, write_pictures
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part, Stage
from pikepole_model.errors import OutputError
from pikepole_model.geometry.placement import Placement, Points
from pikepole_model.geometry.shape import Prism, Shape, rectangle
from pikepole_model.scene.schema import Bay, Scene
from pikepole_model.stock.materials import Material
from samples import CONCRETE, PLYWOOD, SPRUCE, STEEL, sample_building

NAMES = [
    "stages/01-foundation.png",
    "stages/02-floor.png",
    "stages/03-back-wall-and-rafter.png",
    "stages/finished.png",
    "stages/finished-behind.png",
]
DRAWING = slice(0, 1000 - _sheet.BAND_PX)  # rows above the caption


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pictures")
    assert write_pictures(sample_building(), folder) == NAMES
    return folder


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


def figure_box(building: Building, axes: Points | None = None) -> tuple[int, int, int, int]:
    """The figure on the picture, without its label: left, top, right, bottom, px."""
    points = np.concatenate([part.vertices_mm for part in building.parts])
    sheet = _sheet.fit(points, camera_axes(building) if axes is None else axes, 2)
    x, y = sheet.place(np.array([[*sheet.figure_mm, 0.0]]))[0, :2]
    half = FIGURE_HALF_WIDTH_MM * sheet.scale
    tall = 1750 * sheet.axes[1, 2] * sheet.scale
    bottom = DRAWING.stop - y
    return int(x - half), int(bottom - tall) - 5, int(x + half), int(bottom) + 8


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
    return Building(Scene.model_construct(title="Blocks", units=units), parts, (), stages)


def test_every_picture_has_its_size(folder: Path) -> None:
    for name in NAMES:
        with Image.open(folder / name) as image:
            assert image.size == (1600, 1000)
    assert sorted(path.name for path in (folder / "stages").iterdir()) == sorted(
        Path(name).name for name in NAMES
    )


def test_the_same_building_gives_the_same_bytes_whatever_folder_it_is_run_in(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # A file there may have the name of a module that drawing needs.
    (tmp_path / "json.py").write_text("raise SystemExit('the wrong json')", encoding="utf-8")
    (tmp_path / "numpy.py").write_text("raise SystemExit('the wrong numpy')", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert write_pictures(sample_building(), tmp_path / "out") == NAMES
    for name in NAMES:
        assert (tmp_path / "out" / name).read_bytes() == (folder / name).read_bytes()


def test_what_a_stage_adds_is_drawn_true_to_the_figures_scale(folder: Path) -> None:
    # Parallel lines of sight, 30 degrees above the ground: an upright length shows as its cosine, a
    # level area as its sine. The sheet's top is 1200 x 800 mm less an opening of 150 x 220 mm; the
    # figure is 1750 mm tall, and its toes reach 118 mm towards the eye.
    image = pixels(folder / NAMES[1])
    left, top, right, bottom = figure_box(sample_building())
    rows = np.flatnonzero((image[top:bottom, left:right].max(axis=2) < 150).any(axis=1))
    tall_px = rows[-1] - rows[0] + 1
    sine, cosine = math.sin(math.radians(30)), math.cos(math.radians(30))
    scale = tall_px / (1750 * cosine + 118 * sine)
    expected = (1200 * 800 - 150 * 220) * sine * scale**2
    plywood = np.array([0.77, 0.55, 0.34]) * 255
    shown = (np.abs(image - plywood).max(axis=2) < 8).sum()
    # Lines take some of it; the figure is measured to a pixel in three hundred.
    assert shown == pytest.approx(expected, rel=0.06)


def test_nothing_is_cut_off_or_under_the_caption(folder: Path) -> None:
    for name in NAMES:
        image = pixels(folder / name)
        rows, columns = np.nonzero(coloured(image))
        assert len(rows) > 10_000
        assert rows.min() >= 10
        assert rows.max() < DRAWING.stop - 10
        assert columns.min() >= 10
        assert columns.max() < 1600 - 10
        # Nor anything grey but the pale ground: lines, concrete, the figure and its label.
        dark = image[DRAWING].max(axis=2) < 200
        rows, columns = np.nonzero(dark)
        assert rows.min() >= 10
        assert rows.max() < DRAWING.stop - 10
        assert columns.min() >= 10
        assert columns.max() < 1600 - 10
        # The caption's own margins are clean.
        band = image[DRAWING.stop + 4 :].max(axis=2) < 200
        assert not band[-10:].any()
        assert not band[:, :30].any()
        assert not band[:, -30:].any()


def test_the_figure_stands_clear_and_is_the_same_in_every_picture(folder: Path) -> None:
    left, top, right, bottom = figure_box(sample_building())
    *names, behind = NAMES
    crops = [pixels(folder / name)[top:bottom, left:right] for name in names]
    for crop in crops:
        assert (crop == crops[0]).all()
    building = sample_building()
    left, top, right, bottom = figure_box(building, camera_axes_behind(building))
    for crop in (crops[0], pixels(folder / behind)[top:bottom, left:right]):
        assert not coloured(crop).any()
        assert (crop.max(axis=2) < 150).mean() > 0.2


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
    sheet = _sheet.fit(corners, axes, 2)
    shown = sheet.place(corners)[:, :2]
    assert (shown >= 10).all()
    assert (shown <= [1590, DRAWING.stop - 10]).all()

    vertices, triangles, _ = figure_at(*sheet.figure_mm, sheet.axes)
    assert vertices[:, 2].min() == 0
    assert vertices[:, 2].max() == 1750
    assert len(triangles) > 0
    figure = sheet.place(vertices)[:, :2]
    assert (figure >= 10).all()
    assert (figure <= [1590, DRAWING.stop - 10]).all()
    x, y = sheet.label_px
    assert y < figure[:, 1].min()
    label = box(x - 65, y - 2 * 34, x + 65, y)
    assert label.bounds[1] >= 10
    hull = MultiPoint(shown).convex_hull
    assert hull.distance(MultiPoint(figure).convex_hull.union(label)) > 5
    # The front and the end with the longer bay face the eye; the opposite corner the one behind.
    corner, along, back = sheet.place(np.array([[0.0, 0, 0], [size[0], 0, 0], [0, size[1], 0]]))
    assert (corner[2] > along[2]) == ((end == "left") != behind)
    assert (corner[2] > back[2]) != behind


def test_what_is_added_shows_through_what_hides_it(tmp_path: Path) -> None:
    # The sheet stands 100 mm behind a block that is far larger than it every way.
    front = one_part("block", 1, SPRUCE, Kind.STUD, 0, 0, 0, 4000, 300, 3000)
    hidden = one_part("sheet", 2, PLYWOOD, Kind.WALL_SHEET, 1500, 400, 700, 2300, 410, 1100)
    write_pictures(building_of(front, hidden), tmp_path)
    one, two, finished = (
        pixels(tmp_path / f"stages/{name}.png")[DRAWING]
        for name in ("01-step-1", "02-step-2", "finished")
    )
    # In the finished building it is hidden, as in life.
    assert (finished == one).all()
    # 800 x 400 mm against the block's 4000 x 3000: its share of the same face, and its edges.
    face = (one == commonest(one[coloured(one)])).all(axis=2)
    washed_out = commonest(two[face])
    shown = face & (two != washed_out).any(axis=2)
    share = 800 * 400 / (4000 * 3000)
    assert 0.95 * share < shown.sum() / face.sum() < 1.15 * share
    # Common practice, no source: a step of 10 in L* is told apart at once. The edges are, and the
    # faces are not, so that they do not pass for what is in sight.
    darker = lightness(washed_out) - lightness(two[shown])
    assert darker.max() > 10
    assert 1 < np.median(darker) < 10


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
    building = building_of(*boards, paper)
    write_pictures(building, tmp_path)
    points = np.concatenate([part.vertices_mm for part in building.parts])
    sheet = _sheet.fit(points, camera_axes(building), 1)
    corners = roof.apply(
        np.array([[-100.0, -100, 19], [9700, -100, 19], [9700, 2500, 19], [-100, 2500, 19]])
    )
    # Inside its own edges.
    face = Polygon(sheet.place(corners)[:, :2] * [1, -1] + [0, DRAWING.stop]).buffer(-3)
    mask = Image.new("1", (1600, 1000))
    ImageDraw.Draw(mask).polygon([(x, y) for x, y in face.exterior.coords], fill=1)
    seen = pixels(tmp_path / "stages/02-step-2.png")[np.asarray(mask)]
    assert len(seen) > 20_000
    assert (seen == commonest(seen)).all()


def test_what_lies_flush_with_the_ground_is_seen_whole_from_both_sides(tmp_path: Path) -> None:
    bed = one_part("bed", 1, PLYWOOD, Kind.WALL_SHEET, 0, 0, -100, 5000, 3000, 0)
    other = one_part("post", 2, SPRUCE, Kind.POST, 0, 0, 0, 100, 100, 2000)
    building = building_of(bed, other)
    write_pictures(building, tmp_path)
    points = np.concatenate([part.vertices_mm for part in building.parts])
    for name, axes in (
        ("finished", camera_axes(building)),
        ("finished-behind", camera_axes_behind(building)),
    ):
        sheet = _sheet.fit(points, axes, 1)
        # The middle of its top, which the post hides from neither side.
        x, y, _ = sheet.place(np.array([[2500.0, 1500.0, 0.0]]))[0]
        row, column = int(DRAWING.stop - y), int(x)
        seen = pixels(tmp_path / f"stages/{name}.png")[
            row - 15 : row + 15, column - 60 : column + 60
        ]
        # The colour of plywood, lit from above.
        assert np.abs(seen - np.array([0.77, 0.55, 0.34]) * 255).max() < 8


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
    other = one_part("sheet", 2, PLYWOOD, Kind.WALL_SHEET, 3500, 0, 0, 4000, 1500, 20)
    write_pictures(building_of(lumber, other), tmp_path)
    first, second = (pixels(tmp_path / f"stages/0{n}-step-{n}.png") for n in (1, 2))
    faces = coloured(first)
    added, standing = lightness(first[faces]), lightness(second[faces])
    # Steps of ten are what the colours themselves keep between materials.
    assert np.median(standing - added) >= 10
    assert (standing - added > 5).mean() > 0.99
    # Edges: drawn as dark as text when added, no darker than a mid grey when standing.
    assert lightness(first[DRAWING]).min() < 25
    lines = lightness(first[DRAWING]) < 25
    assert lines.sum() > 1000
    assert lightness(second[DRAWING][lines]).min() > 60


def test_the_smallest_text_prints_at_eight_points() -> None:
    # A picture printed 6.5 in wide; 72 points to the inch.
    for size in (_band.SMALL_PX, _band.BODY_PX, _band.NAME_PX):
        assert size / 1600 * 6.5 * 72 >= 8


def test_the_longest_words_keep_to_their_columns() -> None:
    words = "Wheel house of the upper mill, with coal store and a lean-to on the weather side " * 2
    lines = ["123' 11\" deep over everything", "dry 1,234,567 lb", "weight not counted"]
    column = {"head": "1,234,567 parts so far", "bold": lines[:1], "plain": lines[1:]}
    caption = {"over": words, "name": words, "under": words, "columns": [column, column]}
    page = Image.new("RGB", (1600, _sheet.BAND_PX), "white")
    _band.write_caption(ImageDraw.Draw(page), caption, (0, 0, 1600, _sheet.BAND_PX))
    ink = np.asarray(page).max(axis=2) < 200
    ink[:4] = False  # the rule
    first, second = _band.COLUMNS_PX
    for gap in (
        slice(0, 30),
        slice(first - 20, first - 1),
        slice(second - 20, second - 1),
        slice(1565, 1600),
    ):
        assert not ink[:, gap].any()
    assert not ink[-10:].any()


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
    already, bed, post, plate, finished, behind = captions(building_of(*parts))
    there = {"head": "1 part", "bold": ["already there"], "plain": ["weight not counted"]}
    assert already["under"] == "Ground grid 1 m"
    assert already["columns"] == [there, there]
    # 4 x 2.5 x 0.2 m = 2 m3 of gravel, known to one figure only; 0.2 x 0.2 x 2.504 m = 0.10016 m3
    # of wood; 0.2 x 0.1 x 0.01 m = 0.0002 m3 of steel, 1.57 kg.
    assert bed["columns"][0] == {"head": "1 part added", "bold": ["3,000 kg"], "plain": []}
    assert bed["under"] == "Ground grid 1 m; 3,000 kg of it gravel"
    assert post["columns"] == [
        {"head": "1 part added", "bold": ["45.1 kg"], "plain": ["dry 40.1 kg", "wet 50.1 kg"]},
        {
            "head": "3 parts so far",
            "bold": ["3,045 kg"],
            "plain": ["dry 3,040 kg", "wet 3,050 kg"],
        },
    ]
    assert plate["columns"][0] == {"head": "1 part added", "bold": ["1.6 kg"], "plain": []}
    # 2504 mm is 2.50 m to the centimetre; what lies under the ground is not counted in.
    assert finished["columns"][0]["bold"] == ["4.00 m long", "2.50 m deep", "2.50 m high"]
    assert finished["columns"][1]["head"] == "4 parts in all"
    assert (finished["over"], behind["over"]) == ("4 stages", "4 stages, seen from behind")
    assert behind["columns"] == finished["columns"]


def test_captions_in_feet_and_pounds() -> None:
    # 1 m3 of spruce at 450 kg/m3 is 450 / 0.45359237 = 992.08 lb; 2 m3 of concrete at 2350 kg/m3
    # are 10,361.7 lb. 4000 mm are 157.48 in, 13 ft 1 in; 2500 mm 98.43 in, 8 ft 2 in.
    cast = one_part("pad", 1, CONCRETE, Kind.SLAB, 0, 0, -200, 4000, 2500, 0)
    wood = one_part("block", 2, SPRUCE, Kind.POST, 0, 0, 0, 1000, 1000, 1000)
    pad, block, finished, _ = captions(building_of(cast, wood, units="imperial"))
    assert pad["under"] == "Ground grid 4 ft; 10,362 lb of it concrete"
    assert block["columns"][0]["bold"] == ["992 lb"]
    assert finished["columns"][0]["bold"] == ["13' 1\" long", "8' 2\" deep", "3' 3\" high"]


def test_letters_of_every_script_stay_in_file_names() -> None:
    assert slug("Größe / Dach & Wände") == "größe-dach-wände"
    assert slug("брус А") == "брус-а"
    assert slug("屋根") == "屋根"
    assert slug("a\u202eb\x1b[31m=1+1") == "a-b-31m-1-1"
    assert slug("//") == "unnamed"
    assert len(slug("long " * 2000).encode()) < 60


def test_names_that_come_out_alike_are_numbered() -> None:
    names = ["4x4 A", "4x4 a", "4x4/a", "4x6"]
    assert distinct_slugs(names) == ["4x4-a", "4x4-a-2", "4x4-a-3", "4x6"]


def test_letters_of_other_languages_are_in_the_typeface() -> None:
    def drawn(letter: str) -> bytes:
        image = Image.new("L", (60, 60))
        font = _band.font_of(40)
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


BLANK = (
    "import pathlib, sys\n"
    "from PIL import Image\n"
    "job = pathlib.Path(sys.argv[1]); (job / 'drawn').mkdir()\n"
    f"for name in {[Path(name).stem for name in NAMES]}:\n"
    "    Image.new('RGB', (1600, {high})).save(job / 'drawn' / (name + '.png'))\n"
)
BROKEN = {
    "crash": "import os; os.kill(os.getpid(), 11)",
    "exit": "import sys; print('cannot draw here', file=sys.stderr); sys.exit(3)",
    "nothing": "",
    "cut short": (
        "import pathlib, sys\n"
        "from PIL import Image\n"
        "job = pathlib.Path(sys.argv[1]); (job / 'drawn').mkdir()\n"
        f"for name in {[Path(name).stem for name in NAMES]}:\n"
        "    path = job / 'drawn' / f'{name}.png'\n"
        "    Image.new('RGB', (1600, 1000)).save(path)\n"
        "path.write_bytes(path.read_bytes()[:-5])\n"
    ),
    "small": BLANK.format(high=999),
}


@pytest.mark.parametrize("way", BROKEN)
@pytest.mark.skipif(sys.platform == "win32", reason="signals end a process elsewhere")
def test_a_broken_drawing_leaves_no_picture(
    way: str, child: Path, jobs: Path, tmp_path: Path
) -> None:
    child.write_text(BROKEN[way], encoding="utf-8")
    with pytest.raises(OutputError) as caught:
        write_pictures(sample_building(), tmp_path / "out")
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
    with start_pictures(sample_building()) as drawing:
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
        "import os, sys, time\nfrom pathlib import Path\n"
        "from pikepole_export.graphics.job import begin\n"
        "job = Path(sys.argv[1])\n(job / f'here {os.getpid()}').touch()\n"
        "names, _ = begin(job)\nfor name in names:\n"
        "    (job / f'begun {name}').touch()\n"
        "time.sleep(100)\n",
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
    child.write_text(BLANK.format(high=1000), encoding="utf-8")
    with (
        start_pictures(sample_building()) as first,
        Pictures("this", "second", (1, 1), after=first) as second,
    ):
        second.complete()
        assert second.child_pids == []
        assert first.finish(tmp_path)
        assert second.finish(tmp_path) == []
        assert second.child_pids
    assert list(jobs.iterdir()) == []


def test_those_that_wait_are_given_up_with_the_rest(jobs: Path) -> None:
    first = start_pictures(sample_building())
    second = Pictures("this", "second", (1, 1), after=first)
    second.complete()
    with pytest.raises(KeyError), first, second:
        raise KeyError
    assert second.child_pids == []
    assert list(jobs.iterdir()) == []


def test_leaving_early_ends_the_child_and_clears_up(jobs: Path) -> None:
    with pytest.raises(KeyError), start_pictures(sample_building()):
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
