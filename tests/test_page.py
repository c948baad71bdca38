"""building.html, read as a file and used in a real browser."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import replace
from html.parser import HTMLParser
from math import hypot
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from playwright.sync_api import Browser

from browsing import DESK, PHONE, Opened, browser, opened
from command import DONE, NOT_MADE, pikepole, written
from conftest import SCENES
from pikepole_export.derive.buying.fasteners import fasteners
from pikepole_export.derive.inventory.described import described
from pikepole_export.graphics.colours import LOOKS, part_look
from pikepole_export.write.page import page as page_module
from pikepole_export.write.page.page import Told, write_page
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part, Stage
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Prism, Shape, rectangle
from pikepole_model.reading.file import load_scene
from pikepole_model.scene.schema import Scene
from pikepole_model.units import Units, format_length
from samples import SPRUCE, sample_building

__all__ = ["browser"]  # a fixture, found by its name

CAUTIONS = ("Weigh it.", "Stand clear.")
SOURCE = Path(page_module.__file__).parent / "source"
LENGTH, DEEP, HIGH = 3000.0, 500.0, 700.0


class Read(HTMLParser):
    """The elements of a page, each with the text in it."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[tuple[str, str | None, str]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs).get("id"), ""))

    def handle_data(self, data: str) -> None:
        if self.found:
            tag, name, text = self.found[-1]
            self.found[-1] = tag, name, text + data

    def text(self, name: str) -> str:
        return next(text for _, one, text in self.found if one == name)


def page_of(building: Building, folder: Path, **more: Any) -> Path:
    return write_page(building, Told(CAUTIONS, **more), folder)


def model_in(path: Path) -> dict[str, Any]:
    return json.loads(Read(path.read_text(encoding="utf-8")).text("model"))


def unpacked(model: dict[str, Any], name: str, kind: str, columns: int) -> NDArray[Any]:
    import base64

    return np.frombuffer(base64.b64decode(model["solids"][name]), kind).reshape(-1, columns)


def block(units: Units = "imperial") -> Building:
    """One block on the ground: every corner of it is one of its picture."""
    shape = Shape(Prism(rectangle(0, 0, LENGTH, DEEP), HIGH))
    place = Placement((0.0, 0.0, 0.0))
    part = Part("block", Kind.BEAM, "beam", 1, "beam", SPRUCE, (DEEP, HIGH), shape, place)
    scene = Scene.model_construct(title="Block", units=units)
    return Building(scene, (part,), (), (Stage(1, "Block", (part,)),))


def test_every_piece_lies_where_it_is(tmp_path: Path) -> None:
    building = sample_building()
    model = model_in(page_of(building, tmp_path))
    vertices = unpacked(model, "vertices", "<f4", 3)
    starts = np.cumsum([0, *unpacked(model, "sizes", "<u4", 4)[:, 0]])
    frames = unpacked(model, "places", "<f4", 9).reshape(-1, 3, 3).astype(float)
    standing = unpacked(model, "standing", "<u4", 5)
    assert len(standing) == len(building.parts) == 17
    for (origin, u, v), (piece, shape, look, first, last) in zip(frames, standing, strict=True):
        part = building.parts[piece]
        own = vertices[starts[shape] : starts[shape + 1]]
        points = origin + own @ np.array([u, v, np.cross(u, v)])
        np.testing.assert_allclose(points, part.vertices_mm, atol=1e-3)
        assert (first, last) == (part.stage - 1, 2)
        colour = [round(255 * value) for value in part_look(part).colour]
        assert model["looks"][look] == colour
        assert LOOKS[look] == part_look(part)


def test_shapes_are_there_once(tmp_path: Path) -> None:
    once, ten = (
        page_of(sample_building(repeat=copies), tmp_path).stat().st_size for copies in (1, 10)
    )
    model = model_in(tmp_path / "building.html")
    assert len(unpacked(model, "sizes", "<u4", 4)) == 9
    assert ten - once < 9 * 17 * 700  # what is said of each of the pieces that came along


def test_what_stands_in_each_stage_of_a_building_that_is_moved(tmp_path: Path) -> None:
    building = build(load_scene(SCENES["honey-house"].with_name("press-house.toml")))
    assert building.before is not None
    model = model_in(page_of(building, tmp_path))
    standing = unpacked(model, "standing", "<u4", 5)
    for number, stage in enumerate(building.stages):
        there = [building.parts[row[0]].name for row in standing if row[3] <= number <= row[4]]
        expected = [part.name for part in (*building.stands(stage.number), *stage.parts)]
        assert sorted(there) == sorted(expected), stage.name


NASTY = (
    '</script><script>alert("x")</script>',
    "<!--put script--><!-- <img src=x onerror=alert(1)>",
    "\"'`&amp;&lt; ${alert(1)}",
    "two\nlines\r\u2028\u0000",
    "x" * 10_000,
    "蜂の家 ‮backwards",
)


@pytest.fixture(scope="module")
def nasty(tmp_path_factory: pytest.TempPathFactory) -> tuple[Building, Path]:
    """A building whose names are meant to do harm, and its page."""
    plain = sample_building()
    names = dict(zip((part.name for part in plain.parts), NASTY, strict=False))

    def renamed(part: Part) -> Part:
        return replace(part, name=names.get(part.name, part.name), stock=NASTY[0])

    stages = tuple(
        replace(stage, name=NASTY[1], parts=tuple(map(renamed, stage.parts)))
        for stage in plain.stages
    )
    scene = Scene.model_construct(title=NASTY[0], units="imperial")
    building = Building(scene, tuple(map(renamed, plain.parts)), (), stages)
    told = {"lifts": {NASTY[0]: [NASTY[1]]}, "marks": {NASTY[0]: NASTY[2]}}
    return building, page_of(building, tmp_path_factory.mktemp("nasty"), **told)


def test_no_text_of_a_scene_becomes_part_of_the_page(
    nasty: tuple[Building, Path], tmp_path: Path
) -> None:
    building, path = nasty
    plain = Read(page_of(sample_building(), tmp_path).read_text(encoding="utf-8"))
    read = Read(path.read_text(encoding="utf-8"))
    assert [one[:2] for one in read.found] == [one[:2] for one in plain.found]
    model = json.loads(read.text("model"))
    assert [piece["name"] for piece in model["pieces"]] == [part.name for part in building.parts]
    assert read.text("drawings") == plain.text("drawings")


def test_same_scene_same_bytes(tmp_path: Path) -> None:
    drawings = {"a": b"<svg/>", "b": b"<svg></svg>"}
    first = page_of(sample_building(), tmp_path, drawings=drawings).read_bytes()
    assert page_of(sample_building(), tmp_path, drawings=drawings).read_bytes() == first


def test_lengths_are_those_of_the_model() -> None:
    node = shutil.which("node")
    if node is None:
        if os.environ.get("CI"):
            pytest.fail("node is missing")
        pytest.skip("needs node")
    # Each mark of a tape to 40 ft, with noise and nearly half a mark to either side of it.
    off_mm = (0.0, 1e-4, -1e-4, 0.79, -0.79)
    lengths = [abs(25.4 * mark / 16 + off) for mark in range(0, 7681, 3) for off in off_mm]
    lengths += [mark + off for mark in range(0, 9000, 7) for off in (0.0, 0.49, 0.51)]
    script = (
        f"import {{ lengthText }} from {json.dumps((SOURCE / 'length.js').as_uri())};"
        "import { readFileSync } from 'node:fs';"
        "const lengths = JSON.parse(readFileSync(0));"
        "const of = (units) => lengths.map((mm) => lengthText(mm, units));"
        "console.log(JSON.stringify([of('imperial'), of('metric')]));"
    )
    run = subprocess.run(
        [node, "--input-type=module", "-e", script],
        check=True,
        input=json.dumps(lengths),
        capture_output=True,
        encoding="utf-8",
    )
    imperial, metric = json.loads(run.stdout)
    assert imperial == [format_length(mm, "imperial") for mm in lengths]
    assert metric == [format_length(mm, "metric") for mm in lengths]


@pytest.fixture(scope="module")
def written_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page of a whole scene, as the command writes it."""
    folder = tmp_path_factory.mktemp("page")
    answer = pikepole("build", SCENES["plain"], "-o", folder, "--only", "page")
    assert answer.code == DONE, answer.err
    assert set(written(folder)) == {"building.html", "summary.json"}
    return folder / "building.html"


@pytest.fixture(scope="module")
def phone(browser: Browser, written_page: Path) -> Iterator[Opened]:
    """That page on a telephone, used by one test after the other."""
    with opened(browser, written_page, PHONE) as one:
        yield one


def plain(text: str) -> str:
    """A text without what keeps its lines from ending where they should not."""
    return text.replace("\N{NO-BREAK SPACE}", " ")


def rows_shown(one: Opened) -> list[tuple[str, str]]:
    terms, texts = (one.page.locator(f"#piece {tag}").all_inner_texts() for tag in ("dt", "dd"))
    return list(zip(terms, map(plain, texts), strict=True))


def coloured(picture: NDArray[np.uint8]) -> int:
    """How many pixels something is drawn in."""
    return int((picture.min(axis=2) < 250).sum())


def test_the_first_picture_is_the_whole_building(phone: Opened) -> None:
    picture = phone.picture()
    rows, columns = (np.flatnonzero((picture.min(axis=2) < 250).any(axis=way)) for way in (1, 0))
    assert columns[0] > 2
    assert columns[-1] < PHONE.width - 3  # all of it is in sight
    assert rows[0] > 0
    assert rows[-1] < len(picture) - 3
    assert columns[-1] - columns[0] > 0.8 * PHONE.width  # and fills an upright screen


def test_the_slider_takes_the_work_back_and_play_goes_on(phone: Opened) -> None:
    slider, stage = phone.page.locator("#slider"), phone.page.locator("#stage")
    whole = phone.picture()
    building = build(load_scene(SCENES["plain"]))
    count = len(building.stages)
    slider.fill("0")
    assert stage.inner_text() == f"Stage 1 of {count}: {building.stages[0].name}"
    assert coloured(phone.picture()) < 0.8 * coloured(whole)
    phone.press("Play")
    phone.page.wait_for_function("document.getElementById('slider').value > 1")
    phone.press("Stop")
    at = int(slider.input_value())  # a slow machine may have gone on by one more
    assert 2 <= at < count
    assert stage.inner_text() == f"Stage {at + 1} of {count}: {building.stages[at].name}"
    slider.fill(str(count - 1))
    np.testing.assert_array_equal(phone.picture(), whole)


def test_a_layer_is_taken_away_and_comes_back(phone: Opened) -> None:
    whole = phone.picture()
    phone.press("Layers")
    before = phone.picture()
    for name in ("Frame", "Sheathing", "Roof", "Ground"):
        box = phone.page.get_by_label(name, exact=True)
        if box.count():
            box.uncheck()
            assert (phone.picture() != before).any(), name
            box.check()
            np.testing.assert_array_equal(phone.picture(), before)
    phone.press("Layers")
    np.testing.assert_array_equal(phone.picture(), whole)


def touched(one: Opened, *fingers: tuple[tuple[int, int], tuple[int, int]]) -> None:
    """Fingers put down, moved from one place to another, and lifted."""
    session = one.page.context.new_cdp_session(one.page)
    steps = 8
    for step in range(steps + 1):
        points = [
            {"x": a + (c - a) * step / steps, "y": b + (d - b) * step / steps, "id": number}
            for number, ((a, b), (c, d)) in enumerate(fingers)
        ]
        kind = "touchMove" if step else "touchStart"
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    session.detach()


def width_drawn(picture: NDArray[np.uint8]) -> int:
    return int(np.ptp(np.flatnonzero((picture.min(axis=2) < 250).any(axis=0))))


def test_one_finger_turns_two_come_nearer_and_move_it(phone: Opened) -> None:
    first = phone.picture()
    touched(phone, ((100, 300), (260, 300)))
    turned = phone.picture()
    assert (turned != first).any()
    assert phone.page.locator("#piece").is_hidden()  # that was no tap
    phone.press("First view")
    np.testing.assert_array_equal(phone.picture(), first)
    touched(phone, ((290, 300), (220, 300)), ((90, 300), (160, 300)))
    assert width_drawn(phone.picture()) < 0.7 * width_drawn(first)  # pinched together: farther off
    phone.press("First view")
    touched(phone, ((150, 300), (150, 400)), ((250, 300), (250, 400)))
    moved = phone.picture()
    down = [np.flatnonzero((one.min(axis=2) < 250).any(axis=1))[0] for one in (first, moved)]
    assert down[1] > down[0] + 50
    phone.press("First view")
    np.testing.assert_array_equal(phone.picture(), first)


def test_a_piece_that_is_touched_says_what_it_is(phone: Opened) -> None:
    picture = phone.picture()
    rows, columns = np.nonzero(picture.min(axis=2) < 250)
    middle = np.argsort(np.hypot(rows - rows.mean(), columns - columns.mean()))[0]
    phone.page.touchscreen.tap(float(columns[middle]), float(rows[middle]) + 64)
    panel = phone.page.locator("#piece")
    panel.wait_for()
    building = build(load_scene(SCENES["plain"]))
    part = next(one for one in building.parts if one.name == panel.locator("h2").inner_text())
    shown = rows_shown(phone)
    assert [row for row in described(part, "imperial") if row not in shown] == []
    phone.press("Close")
    assert panel.is_hidden()


def test_a_stage_tells_its_note_its_pieces_and_what_holds_them(phone: Opened) -> None:
    building = build(load_scene(SCENES["plain"]))
    place, stage = next((k, one) for k, one in enumerate(building.stages) if one.notes)
    slider = phone.page.locator("#slider")
    slider.fill(str(place))
    phone.press("Stage")
    said = " ".join(phone.page.locator("#asked").inner_text().split())
    assert f"{stage.number} {stage.name}" in said
    assert stage.notes in said
    for one in fasteners(building):
        if one.stage == stage.number:
            assert one.joint in said
    sheet = phone.page.locator("#asked dd button").first.inner_text()
    phone.press(sheet)
    assert sheet in (phone.page.locator("dialog svg title").first.text_content() or "")
    phone.page.locator("dialog").get_by_role("button", name="Close").click()
    phone.press("Stage")
    slider.fill(str(len(building.stages) - 1))


def test_a_piece_is_found_by_its_name_with_its_mark_drawing_and_lift(phone: Opened) -> None:
    phone.press("Find")
    phone.page.get_by_role("searchbox").fill("rafter 2")
    phone.page.keyboard.press("Enter")
    assert phone.page.locator("#piece h2").inner_text() == "rafter 2"
    shown = dict(rows_shown(phone))
    assert "board" in shown["Mark"]
    assert "lb likely (" in shown["Mass"]
    assert "stage" in shown["Belongs to"]
    assert "rafter" in shown["Lift"]
    assert "Never stand under a load" in " ".join(shown["At any lift"].split())
    orange = phone.picture().astype(int)
    assert ((orange[..., 0] > 150) & (orange[..., 1] < 110) & (orange[..., 2] < 60)).any()
    name = phone.page.locator("#piece dd button").first.inner_text()
    assert name.startswith("Patterns, page")
    phone.press(name)
    assert phone.page.locator("dialog svg title").first.text_content()
    assert "Framing square" in (phone.page.locator("dialog svg").text_content() or "")
    phone.page.locator("dialog").get_by_role("button", name="Close").click()
    phone.press("Close")


def test_it_asks_for_nothing_and_says_nothing_to_the_console(
    phone: Opened, written_page: Path
) -> None:
    assert phone.asked == [written_page.as_uri()]
    assert phone.said == []


def _corner(picture: NDArray[np.uint8], side: int) -> tuple[float, float]:
    """A pixel just inside the leftmost (0) or rightmost (-1) corner of what is drawn."""
    seen = picture.min(axis=2) < 250
    column = np.flatnonzero(seen.any(axis=0))[side] + (4 if side == 0 else -4)
    rows = np.flatnonzero(seen[:, column])
    return float(column), float(rows[len(rows) // 2]) + 64


@pytest.mark.parametrize("units", ["imperial", "metric"])
def test_two_corners_are_as_far_apart_as_they_are(
    units: Units, browser: Browser, tmp_path: Path
) -> None:
    with opened(browser, page_of(block(units), tmp_path), DESK) as one:
        picture = one.picture()
        one.press("Measure")
        for side in (0, -1):
            one.page.mouse.click(*_corner(picture, side))
        told = plain(one.page.locator("#measured").inner_text())
        one.page.locator("#over circle.corner").nth(1).wait_for(state="attached")
    # From the left end of the front to the right end of the back, at one height or across both.
    ways = [format_length(mm, units) for mm in (LENGTH, DEEP)]
    expected = [
        f"{format_length(hypot(LENGTH, DEEP, up), units)}: {ways[0]} along the front, "
        f"{ways[1]} front to back, {format_length(up, units)} up."
        for up in (0.0, HIGH)
    ]
    assert told in expected


def test_what_is_cut_open_shows_a_closed_face(browser: Browser, tmp_path: Path) -> None:
    with opened(browser, page_of(block(), tmp_path), DESK) as one:
        one.press("Cut open")
        one.press("Top")
        one.page.locator("#cut input").fill("0")
        closed = one.picture()
        one.page.locator("#cut input").fill("500")
        half = one.picture()
        assert coloured(half) < coloured(closed)
        rows, columns = np.nonzero(half.min(axis=2) < 250)
        at = int(columns.mean())
        # From its far edge down to the near one the face has one tone, with no edge behind it.
        face = half[np.flatnonzero(half[:, at].min(axis=1) < 250)[4], at]
        same = (half == face).all(axis=2)
        assert same[:, at].sum() > 0.25 * (rows.max() - rows.min())
        one.page.mouse.click(at, float(np.flatnonzero(same[:, at])[0]) + 66)
        assert one.page.locator("#piece h2").inner_text() == "block"


def test_harmful_names_are_shown_as_they_are(
    nasty: tuple[Building, Path], browser: Browser
) -> None:
    building, path = nasty
    with opened(browser, path, PHONE) as one:
        one.page.on("dialog", lambda dialog: pytest.fail(dialog.message))
        assert one.page.locator("h1").text_content() == NASTY[0]
        one.press("Find")
        names = one.page.locator("#find div button").all_text_contents()
        assert sorted(names) == sorted(part.name for part in building.parts)
        one.page.locator("#find div button").first.click()
        assert one.page.locator("#piece h2").text_content() == building.parts[0].name
        assert one.page.evaluate("document.documentElement.scrollWidth") == PHONE.width
        assert one.page.locator("#view img, #piece img, main script").count() == 0
        assert one.said == []


def test_drawings_that_cannot_be_made_cost_the_page_only_themselves(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise RuntimeError("out of order")

    monkeypatch.setattr("pikepole_export.cli.outputs.write_drawings", fails)
    answer = pikepole("build", SCENES["lopsided"], "-o", tmp_path, "--only", "drawings,page")
    assert answer.code == NOT_MADE
    assert answer.err.count("Not made:") == 1
    assert set(written(tmp_path)) == {"building.html", "summary.json"}
    model = model_in(tmp_path / "building.html")
    assert all(piece["drawings"] == [] for piece in model["pieces"])
    assert any(piece["lifts"] for piece in model["pieces"])
