"""Flat pieces against the plane geometry of their openings and rakes, and against their solids."""

from __future__ import annotations

import re
from collections import Counter
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import pytest

from pikepole_export.derive.cutting.sheets import sheet_of
from pikepole_export.derive.inventory.areas import WALLS
from pikepole_export.derive.measures.outlines import Outline, outlines
from pikepole_export.write.drawings.shaped import shaped_pages, write_templates
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.building.piece import Piece, Source, profile
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Polygon
from pikepole_model.reading.file import load_scene
from pikepole_model.stock.materials import Material
from shaped import INCH, only

BOARD = Material("board", (600.0, 600.0, 600.0), "round number for the tests")
SCENES = Path(__file__).parents[1] / "scenes"


@pytest.fixture(params=("honey-house", "canoe-store", "garden-classroom"))
def scene(request: pytest.FixtureRequest) -> Building:
    """The three scenes that are shown."""
    return _built(request.param)


@cache
def _built(name: str) -> Building:
    return build(load_scene(SCENES / f"{name}.toml"))


SVG = "{http://www.w3.org/2000/svg}"


def _texts(drawing: ElementTree.Element) -> list[str]:
    """What is written on a drawing."""
    every = drawing.iter(f"{SVG}text")
    return [text.text or "" for text in every if text.get("class") != "halo"]


def _sheet(
    outline: Polygon,
    *,
    x: float = 0.0,
    y: float = 0.0,
    holes: tuple[Polygon, ...] = (),
) -> Piece:
    """A sheet in a wall that runs from front to back: drawn with y to the right and z up."""
    place = Placement((x, y, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    source = Source("board", BOARD)
    return profile("wall sheet", Kind.WALL_SHEET, "wall", source, outline, place, 10.0, holes=holes)


# Two whole sheets keep the middle of the building between its walls.
_BOTH_WALLS = (
    _sheet(((0, 0), (1000, 0), (1000, 2000), (0, 2000)), x=0.0),
    _sheet(((0, 0), (1000, 0), (1000, 2000), (0, 2000)), x=4000.0),
)


def test_marks_of_a_sheet_with_a_window(tmp_path: Path) -> None:
    # Front wall, sheets of 4 x 8 ft upright from the left corner with 1/8 in between them. Windows
    # of 24 x 30 in, 96-3/4 and 129-1/2 in from the left, 48 in over the floor; the floor is
    # 5-1/2 in of skid, 5-1/2 in of joist and 23/32 in of plywood over the ground, and the sheet,
    # not treated, ends 6 in over that (IRC R317.1). A joint at 96 in would leave an arm of 11/16 in
    # beside the first window. The studs stand every 16 in: one at 80 in leaves it whole, and the
    # next joint, no more than 48 in on, is on the king stud of the second, 3/4 + 1-1/2 in before
    # it, at 127-1/4 in. The sheet starts on the middle of the one stud and stops 1/8 in short of
    # that of the other; the wall is higher than a sheet, so that it is a whole one high.
    honey_house = _built("honey-house")
    left, foot = 80, 5.5 + 5.5 + 23 / 32 - 6
    across = [0, 96.75 - left, 120.75 - left, 127.25 - 1 / 8 - left]
    up = [0, 48 + foot, 78 + foot, 96]
    (outline,) = (o for o in outlines(honey_house) if "front wall sheet 5" in o.names)
    xs, ys = outline.marks_mm
    assert [x / INCH for x in xs] == pytest.approx(across, abs=1e-6)
    assert [y / INCH for y in ys] == pytest.approx(up, abs=1e-6)
    ((hole),) = outline.holes
    wide, high = (max(p[k] for p in hole) - min(p[k] for p in hole) for k in (0, 1))
    assert (wide / INCH, high / INCH) == pytest.approx((24, 30))
    texts = _drawn(honey_house, tmp_path)["wall-sheet-3"]
    # 53.71875 in and 83.71875 in lie half way between two sixteenths: away from zero.
    expected = [
        "1' 4-3/4\"",
        "3' 4-3/4\"",
        "3' 11-1/8\"",
        "4' 5-3/4\"",
        "6' 11-3/4\"",
        "8' 0\"",
        "blank 3' 11-1/8\" x 8' 0\"",
        "up",
        "Make 1",
        "front wall sheet 5",
    ]
    for words in expected:
        assert words in texts, words
    assert texts.count("0") == 2


def _drawn(building: Building, folder: Path) -> dict[str, list[str]]:
    """The lettering of each piece's own drawing, by its name."""
    roots = [
        ElementTree.parse(path).getroot()
        for path in write_templates(shaped_pages(building), folder)
    ]
    return {group[0].text or "": _texts(group) for root in roots for group in root.iter(f"{SVG}g")}


def test_a_rake_is_told_off_the_bottom_edge_and_a_steep_cut_off_the_left() -> None:
    # 3 in 12: 300 up over 1200; then 5 in 12 off plumb: 500 across over 1200 up.
    raked = _sheet(((0, 0), (1200, 0), (1200, 500), (0, 800)))
    leaning = _sheet(((0, 0), (1200, 0), (1700, 1200), (0, 1200)))
    (one,), (other,) = (o.slopes for o in outlines(only(*_BOTH_WALLS, raked, leaning)))
    assert (one.off, other.off) == ("edge", "square")
    assert (one.rise, other.rise) == pytest.approx((3, 5))
    # Arc tangents of 1/4 and 5/12.
    assert (one.angle_deg, other.angle_deg) == pytest.approx((14.0362, 22.6199), abs=1e-4)


def test_a_face_is_seen_from_outside_its_own_wall() -> None:
    # High in front (y = 0). Outside the left wall the front is on the right hand, outside the
    # right wall on the left: mirror images, and so two drawings.
    raked: Polygon = ((0, 0), (1000, 0), (1000, 500), (0, 800))
    pieces = [*_BOTH_WALLS, _sheet(raked), _sheet(raked, x=4000.0), _sheet(raked, y=1000.0)]
    left, right = outlines(only(*pieces))
    assert left.corners == ((0, 0), (1000, 0), (1000, 800), (0, 500))
    assert right.corners == ((0, 0), (1000, 0), (1000, 500), (0, 800))
    assert left.names == ("wall sheet 3", "wall sheet 5")
    assert right.names == ("wall sheet 4",)
    assert {left.seen, right.seen} == {"from outside"}


def test_a_rectangle_with_noise_in_its_last_decimal_is_a_rectangle() -> None:
    noisy = _sheet(((0, 0), (1000, 0), (1000.000001, 500), (0, 500)))
    assert outlines(only(*_BOTH_WALLS, noisy)) == ()


def test_corners_that_differ_by_noise_share_a_mark() -> None:
    low: Polygon = ((0, 0), (900, 0), (900, 300), (1000, 300), (1000, 800), (0, 800))
    hole: Polygon = ((200, 299.999999), (400, 299.999999), (400, 600), (200, 600))
    one, other = _sheet(low, holes=(hole,)), _sheet(low, y=2000.0, holes=(hole,))
    (outline,) = outlines(only(*_BOTH_WALLS, one, other))
    assert len(outline.names) == 2
    assert outline.marks_mm[1] == pytest.approx((0, 300, 600, 800), abs=1e-5)


def test_a_deeper_slot_is_another_drawing() -> None:
    # 1/4 in wide slots, 2 mm apart in depth only.
    def slotted(deep: float) -> Piece:
        slot = ((1000, 500), (1000 - deep, 500), (1000 - deep, 506.35), (1000, 506.35))
        return _sheet(((0, 0), (1000, 0), *slot, (1000, 800), (0, 800)))

    found = outlines(only(*_BOTH_WALLS, slotted(40.0), slotted(42.0)))
    assert [outline.marks_mm[0][1] for outline in found] == pytest.approx([40, 42])


@pytest.mark.parametrize(("notch", "detail"), [(10.0, True), (400.0, False)])
def test_what_is_too_small_to_be_seen_has_a_detail(
    notch: float, detail: bool, tmp_path: Path
) -> None:
    corner = ((2000, 2400 - notch), (2000 - notch, 2400 - notch), (2000 - notch, 2400))
    piece = _sheet(((0, 0), (2000, 0), *corner, (0, 2400)))
    (texts,) = _drawn(only(*_BOTH_WALLS, piece), tmp_path).values()
    # Three times 10 mm have room on 26 mm at 1:2, not at 1:1.
    assert ("A, 1:2" in texts) == detail


def test_every_sheet_that_is_no_rectangle_is_on_one_drawing(
    scene: Building, tmp_path: Path
) -> None:
    # Less than the box round it by the kernel's volume: something is cut out of its blank.
    cut_out = [
        part.name
        for part in scene.parts
        if sheet_of(scene.scene, part) and _blank_mm2(part) - _face_mm2(part) > 1.0
    ]
    found = [outline for outline in outlines(scene) if not outline.folds]
    assert Counter(name for outline in found for name in outline.names) == Counter(cut_out)
    kinds = {re.sub(" ", "-", outline.kind) for outline in found}
    made = 0
    for stem, texts in _drawn(scene, tmp_path).items():
        if re.sub(r"-\d+(-and-\d+-more)?$", "", stem) in kinds:
            (count,) = (words for words in texts if re.fullmatch(r"Make \d+", words))
            made += int(count.removeprefix("Make "))
    assert made == len(cut_out)


def _blank_mm2(part: Part) -> float:
    return part.shape.size_mm[0] * part.shape.size_mm[1]


def _face_mm2(part: Part) -> float:
    return part.volume_mm3 / part.shape.size_mm[2]


def test_outlines_agree_with_the_solids(scene: Building) -> None:
    parts = {part.name: part for part in scene.parts}
    for outline in outlines(scene):
        for name in outline.names if not outline.folds else ():
            part = parts[name]
            assert outline.area.area == pytest.approx(_face_mm2(part), abs=1.0)
            assert sorted(outline.size_mm) == pytest.approx(
                sorted(part.shape.size_mm[:2]), abs=0.01
            )
            if outline.up == "up":
                _check_seen(outline, part, WALLS[name.split()[0]][1], (0.0, 0.0, 1.0))
            elif outline.up == "to the back":
                _check_seen(outline, part, (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


def _check_seen(
    outline: Outline,
    part: Part,
    right: tuple[float, float, float],
    up: tuple[float, float, float],
) -> None:
    """The solid's centre lies as far right and up in its box as the outline's in the blank."""
    middle = outline.area.centroid
    for way, seen in ((right, middle.x), (up, middle.y)):
        low = min(part.vertices_mm @ way)
        centre = sum(a * b for a, b in zip(part.centre_mm, way, strict=True))
        assert centre - low == pytest.approx(seen, abs=0.05)


def test_flashing_corner_laid_flat_is_as_much_metal_as_the_folded_one(scene: Building) -> None:
    corners = {p.name: p for p in scene.parts if p.kind == Kind.FLASHING_CORNER}
    found = [outline for outline in outlines(scene) if outline.folds]
    assert Counter(name for o in found for name in o.names) == Counter(corners.keys())
    for outline in found:
        stock = scene.scene.catalogue.find_flat(outline.stock)
        solid_mm2 = corners[outline.names[0]].volume_mm3 / stock.thickness_mm
        folds_mm = sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in outline.folds)
        # Sharp folds count the corner of the metal twice, on each face: a thickness along each.
        over = outline.area.area - solid_mm2
        assert 0 <= over <= 2 * stock.thickness_mm * folds_mm
        # It reaches as far along each wall as lengths lap, from the inner corner of the L, which is
        # two thicknesses off the sheathing and up to three over the runs that it lies on.
        (_, _, x, far), (_, _, y, up) = outline.marks_mm
        for along in (far - x, up - y):
            assert 0 < along - stock.lap_mm <= 5 * stock.thickness_mm
