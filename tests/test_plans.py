"""The plans, read back: dimensions by a DXF program, lettering as it comes out of the SVG."""

from __future__ import annotations

import io
from functools import cache
from math import cos, radians, sin
from pathlib import Path
from typing import cast
from xml.etree import ElementTree

import ezdxf
import numpy as np
import pytest
import shapely
from ezdxf.document import Drawing
from ezdxf.entities.dimension import Dimension
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from conftest import FORMS, SCENES
from pikepole_export.derive.measures.openings import openings_of
from pikepole_export.graphics.lettering import font_of
from pikepole_export.write.plans.dxf import dxf_bytes
from pikepole_export.write.plans.files import plan_sheets
from pikepole_export.write.plans.sheet import Layer, PlanSheet, Ring, Stroke, Words
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.reading.file import load_scene
from pikepole_model.units import format_length, parse_length
from reading import PAPERS

ROOT = Path(__file__).parents[1]
SVG = "{http://www.w3.org/2000/svg}"
INCH = 25.4
# A monopitch with a bay, a gable on a slab, one in millimetres, a gambrel, and posts alone.
NAMES = ("honey-house", "canoe-store", "garden-classroom", "egg-store", "cart-shelter")
# And what else is in the folder of scenes: framed round old posts and moved, and with a loft.
OTHERS = {name: ROOT / "scenes" / f"{name}.toml" for name in ("press-house", "seed-barn")}
PX_MM = 12  # of lettering as it is rasterised
ELEVATIONS = {f"elevation-{wall}" for wall in ("front", "back", "left", "right")}


@cache
def built(name: str) -> Building:
    return build(load_scene((SCENES | FORMS | OTHERS)[name]))


@cache
def sheets(name: str) -> dict[str, PlanSheet]:
    return {sheet.name: sheet for sheet in plan_sheets(built(name))}


@cache
def read(name: str, sheet: str) -> Drawing:
    return ezdxf.read(io.StringIO(dxf_bytes(sheets(name)[sheet]).decode()))  # pyright: ignore[reportPrivateImportUsage]


def unit_mm(drawing: Drawing) -> float:
    """How many mm one unit of a drawing has: $INSUNITS of the DXF reference, 1 in and 4 mm."""
    return {1: INCH, 4: 1.0}[drawing.units]


def measured_mm(drawing: Drawing) -> list[tuple[str, float]]:
    """What each dimension says, and what its points measure."""
    found: list[tuple[str, float]] = []
    for one in drawing.modelspace().query("DIMENSION"):
        assert isinstance(one, Dimension)
        found.append((one.dxf.text, float(cast(float, one.get_measurement())) * unit_mm(drawing)))
    return found


@pytest.mark.parametrize("name", NAMES)
def test_a_building_has_every_sheet_on_its_paper(name: str) -> None:
    found = sheets(name)
    walls = {f"{wall}-wall-framing" for wall in ("front", "back", "left", "right")}
    wanted = {
        "structure",
        "site-plan",
        "floor-plan",
        "section-cross",
        "section-long",
        "foundation",
        *ELEVATIONS,
    }
    assert wanted <= found.keys()
    if name != "cart-shelter":
        assert "roof-framing" in found
        assert len(walls & found.keys()) >= 3
    if name == "honey-house":  # whose right wall is mostly doorway
        assert walls <= found.keys()
    for sheet in found.values():
        assert sheet.size in PAPERS[built(name).scene.units]
    words = [
        [one.words for one in sheet.marks if isinstance(one, Words)] for sheet in found.values()
    ]
    for number, said in enumerate(words, start=1):
        assert f"Sheet {number} of {len(found)}" in said


@pytest.mark.parametrize("name", NAMES)
def test_the_files_are_sound_and_their_dimensions_true(name: str) -> None:
    units = built(name).scene.units
    # What is printed is rounded: to a sixteenth of an inch, or to a millimetre.
    half_mm = INCH / 32 if units == "imperial" else 0.5
    for sheet in sheets(name):
        drawing = read(name, sheet)
        assert not drawing.audit().errors, sheet
        assert {layer.dxf.name for layer in drawing.layers} >= {layer.value for layer in Layer}
        dimensions = measured_mm(drawing)
        assert dimensions or sheet == "structure", sheet  # words alone
        for words, mm in dimensions:
            said = parse_length(words if units == "imperial" else f"{words} mm")
            assert said == pytest.approx(mm, abs=half_mm + 1e-6), sheet


@pytest.mark.parametrize("name", NAMES)
def test_the_width_of_every_opening_stands_on_plan_and_elevation(name: str) -> None:
    # The sizes that the scene asks for.
    scene = built(name).scene
    plan = [mm for _, mm in measured_mm(read(name, "floor-plan"))]
    for opening in openings_of(built(name).finished):
        wanted = next(
            one
            for table in scene.opening
            for one in table.row()
            if one.name == opening.name and one.wall in (opening.wall, "clerestory")
        )
        side = [mm for _, mm in measured_mm(read(name, f"elevation-{opening.wall}"))]
        for found in (plan, side):
            assert any(mm == pytest.approx(wanted.width, abs=1e-6) for mm in found), opening


def test_the_honey_house_is_as_wide_and_as_high_as_its_scene_has_it() -> None:
    # From the scene: 14 ft by 9 ft over the framing.
    plan = [mm for _, mm in measured_mm(read("honey-house", "floor-plan"))]
    assert any(mm == pytest.approx(14 * 12 * INCH) for mm in plan)
    assert any(mm == pytest.approx(9 * 12 * INCH) for mm in plan)
    # Over finished ground to its highest point, counted on its parts.
    parts = built("honey-house").finished.parts
    high = max(part.bounds_mm[1][2] for part in parts)
    heights = [mm for _, mm in measured_mm(read("honey-house", "elevation-front"))]
    floor = openings_of(built("honey-house").finished)[0].floor_mm
    assert any(mm == pytest.approx(floor) for mm in heights)
    chain = [mm for mm in heights if mm < high]
    assert any(
        sum(chain[k : k + n]) == pytest.approx(high) for k in range(len(chain)) for n in (3, 4)
    )


@pytest.mark.parametrize("name", ["honey-house", "canoe-store"])
def test_anchors_stand_on_the_foundation_plan_with_their_measures(name: str) -> None:
    parts, units = built(name).finished.parts, built(name).scene.units
    anchors = [one for one in parts if one.kind in (Kind.GROUND_ANCHOR, Kind.ANCHOR_BOLT)]
    assert len(anchors) >= 6
    held = [one.bounds_mm for one in parts if one.kind in (Kind.SKID, Kind.SLAB)]
    left, front = (min(low[axis] for low, _ in held) for axis in (0, 1))
    said = {one.words for one in sheets(name)["foundation"].marks if isinstance(one, Words)}
    for anchor in anchors:
        top = anchor.vertices_mm[:, 2].max()
        ends = [corner for corner in anchor.vertices_mm if corner[2] > top - 1e-6]
        x, y, _ = (np.min(ends, axis=0) + np.max(ends, axis=0)) / 2
        for mm in (x - left, y - front):
            # Marks nearer than 1 mm are one.
            near = {format_length(mm + off, units) for off in (-1.0, 0.0, 1.0)}
            assert near & said, (anchor.name, mm)


def test_a_section_has_heights_of_what_it_shows() -> None:
    # Its roof falls to the back: along its middle, seen from the front, the high side is cut away.
    said = {
        sheet: " ".join(
            one.words for one in sheets("honey-house")[sheet].marks if isinstance(one, Words)
        )
        for sheet in ("section-cross", "section-long")
    }
    for words in ("top of front plates", "highest point"):
        assert words in said["section-cross"]
        assert words not in said["section-long"]
    for words in ("top of back plates", "top of floor", "finished ground"):
        assert all(words in own for own in said.values())


def test_what_carries_stands_in_words() -> None:
    said = " ".join(
        one.words for one in sheets("honey-house")["structure"].marks if isinstance(one, Words)
    )
    # As the scene has it, and nails as IBC Table 2304.10.1 has them: of panels 6 in and 12 in.
    for words in (
        "spruce-pine-fir, No. 2",
        "stud 2x4 at 1' 4\" o.c.",
        "rafter 2x8 at 1' 4\" o.c.",
        "wall sheet 7/16 OSB",
        "roof slope 3:12",
        "A hive doorway, 5' 4\": 2 x 2x8",
        "footing round, 1' 0\" across, 2' 3\" high",
        'wall sheet to frame: 8d common nail, every 6" at edges, 1\' 0" between',
        # The front wall between its openings: 14 in, a door of 34-1/2 in, and so on to 14 ft.
        "front wall, 14' 0\": 1' 2\" (",
    ):
        assert words in said, words


def test_what_has_no_header_is_under_the_beam() -> None:
    said = [
        one.words for one in sheets("garden-classroom")["structure"].marks if isinstance(one, Words)
    ]
    # From the scene: four windows of 800 mm without a header, doors of 950 and 900 mm with one.
    assert [words for words in said if words.endswith(": under the beam")] == [
        f"{mark} front window {number}, 800 mm: under the beam"
        for number, mark in enumerate("ABCD", 1)
    ]


def inked(text: ElementTree.Element) -> tuple[tuple[slice, slice], NDArray[np.bool_]]:
    """The pixels that one text of a file inks, drawn by itself in the face that it names.

    Rows and columns of the sheet, and which pixels of these.
    """
    look, words = text.attrib, text.text or ""
    size, wide = float(look["font-size"]), float(look["textLength"])
    font = font_of(100, look.get("font-weight") == "bold")
    letters = Image.new("L", (round(font.getlength(words)) + 4, 160))
    ImageDraw.Draw(letters).text((0, 110), words, fill=255, font=font, anchor="ls")
    start = {"start": 0.0, "middle": wide / 2, "end": wide}[look["text-anchor"]]
    turned = look.get("transform", "rotate(0").split("(")[1].split()[0].rstrip(")")
    turn = radians(float(turned))
    x, y = float(look["x"]), float(look["y"])
    reach = wide + 2 * size
    left, top = (round((at - reach) * PX_MM) for at in (x, y))
    side = round(2 * reach * PX_MM)
    k = 100 / size / PX_MM  # from a pixel of the sheet to one of the letters
    a, b = cos(turn) * k, sin(turn) * k
    x, y = x * PX_MM - left, y * PX_MM - top
    # What falls on the sheet's pixel (u, v): the letters' (a u + b v + ..., -b u + a v + ...).
    place = (a, b, start * 100 / size - a * x - b * y, -b, a, 110 + b * x - a * y)
    drawn = letters.transform(
        (side, side), Image.Transform.AFFINE, place, Image.Resampling.BILINEAR
    )
    ink = np.asarray(drawn) > 128
    rows, columns = (np.flatnonzero(ink.any(axis=axis)) for axis in (1, 0))
    assert len(rows), words
    box = (slice(rows[0], rows[-1] + 1), slice(columns[0], columns[-1] + 1))
    there = tuple(
        slice(one.start + off, one.stop + off) for one, off in zip(box, (top, left), strict=True)
    )
    return (there[0], there[1]), ink[box]


@pytest.mark.parametrize("name", NAMES)
def test_no_lettering_runs_into_other(name: str) -> None:
    for sheet in sheets(name).values():
        root = ElementTree.fromstring(sheet.to_bytes())
        width, height = sheet.size
        taken = np.zeros((round(height * PX_MM), round(width * PX_MM)), dtype=bool)
        edge = 10 * PX_MM  # that printers leave white: common practice, no source
        for text in (one for one in root.iter(f"{SVG}text") if one.get("class") != "halo"):
            (rows, columns), ink = inked(text)
            assert edge <= rows.start < rows.stop <= taken.shape[0] - edge, (sheet.name, text.text)
            assert edge <= columns.start < columns.stop <= taken.shape[1] - edge, text.text
            assert not (ink & taken[rows, columns]).any(), (sheet.name, text.text)
            taken[rows, columns] |= ink


@pytest.mark.parametrize("name", [*NAMES, *OTHERS])
def test_every_line_of_lettering_has_its_own_room(name: str) -> None:
    for sheet in sheets(name).values():
        width, height = sheet.size
        frame = shapely.box(10, 10, width - 10, height - 10)
        rings = [one for one in sheet.marks if isinstance(one, Ring) and one.radius > 1.5]
        for number, box in enumerate(sheet.boxes):
            assert frame.contains(box), (sheet.name, number)
            over = [other for other in sheet.boxes[:number] if box.intersection(other).area > 0.01]
            assert not over, (sheet.name, number)
            for ring in rings:
                middle = shapely.Point(ring.centre)
                if not box.contains(middle):  # its own letter
                    assert box.distance(middle) >= ring.radius, (sheet.name, number)


@pytest.mark.parametrize("name", NAMES)
def test_every_sheet_defers_to_the_building_office(name: str) -> None:
    for sheet in sheets(name).values():
        words = " ".join(ElementTree.fromstring(sheet.to_bytes()).itertext())
        assert "Ask your local building office first" in " ".join(words.split())
        assert "Date ___" in words


def test_lettering_in_a_file_is_no_code() -> None:
    scene = built("plain").scene
    shown = scene.model_copy(update={"title": "50 %%d ^J <b> 'x'"})
    named = Building(shown, built("plain").parts, built("plain").joints, built("plain").stages)
    sheet = next(iter(plan_sheets(named)))
    drawing = ezdxf.read(io.StringIO(dxf_bytes(sheet).decode()))  # pyright: ignore[reportPrivateImportUsage]
    words = {one.dxf.text for one in drawing.modelspace().query("TEXT")}
    assert "50 % %d ^ J <b> 'x'" in words
    assert b"50 %%d ^J &lt;b&gt; 'x'" in sheet.to_bytes()


def test_every_piece_that_covers_the_frame_has_its_number_on_a_sheet() -> None:
    parts = built("honey-house").finished.parts
    for sheet, kind in (
        ("floor-sheets", Kind.FLOOR_SHEET),
        ("wall-sheets", Kind.WALL_SHEET),
        ("roof-sheets", Kind.ROOF_SHEET),
        ("roof-panels", Kind.PANEL),
        *((f"{wall}-wall-siding", Kind.STRIP) for wall in ("front", "back", "left", "right")),
    ):
        # "front wall sheet 3": a plain 3; strips over the beams and along the rake have a letter.
        usual = [p.name for p in parts if p.kind is kind and "sheet strip" not in p.name]
        if kind is Kind.STRIP:
            usual = [name for name in usual if name.startswith(sheet.removesuffix("-wall-siding"))]
        wanted = sorted(name.split()[-1] for name in usual)
        said = [one.words for one in sheets("honey-house")[sheet].marks if isinstance(one, Words)]
        assert sorted(filter(str.isdigit, said)) == wanted, sheet


def test_a_number_stands_on_its_piece() -> None:
    # Seven sheets lie on the floor: each is found where its number is.
    sheet = sheets("honey-house")["floor-sheets"]
    numbers = [m for m in sheet.marks if isinstance(m, Words) and m.words.isdigit()]
    floor = {p.name: p for p in built("honey-house").finished.parts if p.kind is Kind.FLOOR_SHEET}
    low = np.min([part.bounds_mm[0] for part in floor.values()], axis=0)
    left = min(
        x
        for one in sheet.marks
        if isinstance(one, Stroke) and one.layer is Layer.VISIBLE
        for x, _ in one.points
    )
    foot = max(
        y
        for one in sheet.marks
        if isinstance(one, Stroke) and one.layer is Layer.VISIBLE
        for _, y in one.points
    )
    for number in numbers:
        x = (number.at[0] - left) * sheet.scale + low[0]
        y = (foot - number.at[1]) * sheet.scale + low[1]
        (x0, y0, _), (x1, y1, _) = floor[f"floor sheet {number.words}"].bounds_mm
        assert x0 < x < x1
        assert y0 < y < y1


def test_an_open_side_has_its_posts_on_a_framing_sheet() -> None:
    # The scene: 10 ft long, its front open on three 4x4s, one at each end and one in the middle.
    sheet = sheets("kindling-store")["front-wall-framing"]
    said = {one.words for one in sheet.marks if isinstance(one, Words)}
    # To their left edges: 0, half of 120 less 3-1/2, and 120 less 3-1/2 in.
    assert {format_length(inch * INCH, "imperial") for inch in (0, 58.25, 116.5)} <= said


def test_the_rises_of_steps_and_the_depth_of_ledges_are_measured() -> None:
    # Of the honey house: the floor is 4 in gravel's top to 5-1/2 skid, 5-1/2 joist and 23/32 sheet
    # over the ground, 11.72 in, and 1 mm and 3/4 in on to the top of the threshold, in two equal
    # rises (IRC R311.7.5.1: 7-3/4 at the most).
    steps = [mm for _, mm in measured_mm(read("honey-house", "steps"))]
    rise = ((5.5 + 5.5 + 23 / 32 + 0.75) * INCH + 1) / 2
    assert sum(mm == pytest.approx(rise, abs=0.1) for mm in steps) == 2
    # Ledges are 1x6, which is dressed to 5-1/2 in (ALSC PS 20).
    doors = [mm for _, mm in measured_mm(read("honey-house", "doors"))]
    assert sum(mm == pytest.approx(5.5 * INCH, abs=0.1) for mm in doors) >= 3
