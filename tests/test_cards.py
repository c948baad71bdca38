"""Lift cards: whole files, words that have room, and numbers that are the plan's."""

from __future__ import annotations

import math
import re
import subprocess
import sys
import tempfile
from dataclasses import replace
from functools import cache
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from card_layout import inside, labels_have_room, marks_are_in_the_picture, words_have_room
from carded_pages import NAMES, built, pages
from pikepole_export.derive.lifting.cautions import cautions_of
from pikepole_export.derive.lifting.items import Handling
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.machine_kinds import MachineKind, MachineTeam
from pikepole_export.derive.lifting.machines import Machine
from pikepole_export.derive.lifting.plan import LiftPlan
from pikepole_export.write.cards import files as cards
from pikepole_export.write.cards.files import (
    begin_cards,
    card_name,
    carded,
    open_cards,
    start_cards,
)
from pikepole_export.write.cards.labels import ON_SYMBOL, Box, Label, Obstacle, place_labels
from pikepole_export.write.cards.marks import Symbol
from pikepole_export.write.cards.scene import card_scene
from pikepole_export.write.cards.solids import bar, person, platform, trestle
from pikepole_export.write.cards.texts import text_layout
from pikepole_export.write.cards.words import card_words
from pikepole_model.building.part import Building
from pikepole_model.errors import OutputError

CAUTIONS = (
    "One person gives the word, and all lift, walk and set down on it.",
    "Put it down in wind above 11 mph: broadside to a gust of 18 mph it takes all the push of "
    "those who hold it. Published for such work: 23 mph (gusts 35 mph), as quoted.",
    "People stand 6 ft up: rails, or a harness.",
)


def cautions(lift: Lift) -> tuple[str, ...]:
    return CAUTIONS if lift.people > 1 else CAUTIONS[:1]


@cache
def few() -> tuple[Building, LiftPlan]:
    """Three lifts: by a machine, by hands on platforms, over an eave."""
    building, plan = built("honey-house")
    wanted = {"right bay post 1", "front beam", "roof sheet 2"}
    return building, replace(
        plan, lifts=tuple(lift for lift in plan.lifts if lift.item.name in wanted)
    )


def only_few(_: LiftPlan) -> tuple[Lift, ...]:
    return few()[1].lifts


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("cards")
    # The whole plan says what stands; only a few of its cards are drawn.
    building, plan = built("honey-house")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(cards, "carded", only_few)
        drawing = start_cards(building, plan, None, cautions)
    with drawing:
        names = drawing.finish(folder)
    assert names == [f"lifts/{card_name(lift)}" for lift in few()[1].lifts]
    return folder / "lifts"


def pixels(path: Path) -> NDArray[np.int64]:
    with Image.open(path) as image:
        assert image.size == (1600, 1200)
        assert image.mode == "RGB"
        return np.asarray(image).astype(int)


def test_every_card_is_whole_and_shows_the_load_twice(folder: Path) -> None:
    paths = sorted(folder.iterdir())
    assert len(paths) == 3
    for path in paths:
        image = pixels(path)
        red, green, blue = image[..., 0], image[..., 1], image[..., 2]
        # In place full orange, at the start pale; nothing else on a card has such a colour.
        full = (red - blue > 90) & (red > 120) & (green < 130)
        pale = (red - blue > 40) & (green > 150)
        assert full.sum() > 400
        assert pale.sum() > 400
        # Arrows are blue, and there is ink.
        assert ((blue - red > 60) & (blue > 90)).sum() > 200
        assert (image.max(axis=2) < 60).sum() > 4000


def test_the_same_plan_gives_the_same_bytes(folder: Path, tmp_path: Path) -> None:
    building, plan = built("honey-house")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(cards, "carded", only_few)
        drawing = start_cards(building, plan, None, cautions)
    with drawing:
        again = drawing.finish(tmp_path)
    assert again
    for name in again:
        assert (tmp_path / name).read_bytes() == (folder.parent / name).read_bytes()


@pytest.mark.parametrize("children", [2, 3])
def test_children_that_share_the_cards_draw_the_same(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, children: int
) -> None:
    building, plan = built("honey-house")
    monkeypatch.setattr(cards, "carded", only_few)
    with open_cards(children) as drawing:
        begin_cards(drawing, building, plan, None, cautions)
        again = drawing.finish(tmp_path)
    assert len(again) == 3
    for name in again:
        assert (tmp_path / name).read_bytes() == (folder.parent / name).read_bytes()


@pytest.mark.parametrize("name", NAMES)
def test_walls_beams_posts_and_what_takes_more_than_one_have_cards(name: str) -> None:
    _, plan = built(name)
    alone = {lift.number for lift in plan.lifts if lift.people == 1 and lift.machine is None}
    walls = [lift for lift in plan.lifts if lift.item.handling == Handling.WALL]
    assert alone
    assert len(walls) == 4
    shown = carded(plan)
    long = {
        lift.number
        for lift in plan.lifts
        if lift.item.handling in (Handling.BEAM, Handling.POST) and not lift.item.inside_of
    }
    assert {lift.number for lift in shown} == {
        lift.number for lift in plan.lifts if lift.number not in alone - long or lift in walls
    }
    names = [card_name(lift) for lift in shown]
    assert len(set(names)) == len(names)
    for lift, file in zip(shown, names, strict=True):
        assert re.fullmatch(rf"{lift.number:02}-[a-z0-9-]+\.png", file)


@pytest.mark.parametrize("name", NAMES)
def test_every_word_has_its_own_room(name: str) -> None:
    for lift, _, page in pages(name):
        words_have_room(page, card_name(lift), least_px=24)


@pytest.mark.parametrize("name", NAMES)
def test_labels_lie_in_the_picture_and_on_nothing_but_it(name: str) -> None:
    for lift, _, page in pages(name):
        labels_have_room(page, card_name(lift))


@pytest.mark.parametrize("name", NAMES)
def test_every_mark_is_in_the_picture(name: str) -> None:
    for lift, _, page in pages(name):
        marks_are_in_the_picture(page, card_name(lift))


def test_long_names_are_cut_and_long_cautions_set_smaller() -> None:
    building, plan = built("honey-house")
    lift = next(lift for lift in plan.lifts if lift.item.name == "front beam")
    long = "the quite unusually long beam over the bay on the side of the orchard " * 3
    lift = replace(lift, item=replace(lift.item, name=long), stage_name=long)
    words = card_words(building, lift, CAUTIONS * 2)
    layout = text_layout(words)
    assert any(text.text.endswith("...") for text in layout.texts)
    for text in layout.texts:
        assert inside(text.box)
    for a, b in combinations(layout.texts, 2):
        assert a.box.grown(-2.0).overlap(b.box.grown(-2.0)) == 0
    # Nothing of the cautions is left out.
    said = " ".join(text.text for text in layout.texts)
    for caution in (*CAUTIONS, *words.always):
        for word in caution.split():
            assert word in said


@pytest.mark.parametrize("name", NAMES)
def test_the_words_are_the_plans(name: str) -> None:
    building, plan = built(name)
    units = building.scene.units
    for lift in carded(plan):
        words = card_words(building, lift, ())
        assert words.name.startswith(f"{lift.number}  ")
        assert words.verdict.lower() == lift.headline(units).lower()
        said = " ".join(item for block in words.blocks for item in block.items)
        said = said.replace("\u00a0", " ")
        high = lift.item.whole.mass.high_kg
        # One pound is 0.45359237 kg (international yard and pound agreement, 1959).
        number = high / 0.45359237 if units == "imperial" else high
        text = f"{number + 1e-9:.0f}" if number >= 100 else f"{number + 1e-9:.1f}"
        low = lift.item.whole.mass.low_kg
        before = "" if f"{low:.3f}" == f"{high:.3f}" else " to "
        assert f"{before}{text} {'lb' if units == 'imperial' else 'kg'}" in said
        if lift.machine is None:
            steps = next(block for block in words.blocks if block.numbered)
            assert len(steps.items) == len(lift.chosen.assessments)


@pytest.mark.parametrize("name", NAMES)
def test_a_sling_hangs_from_the_hook_over_the_centre_of_gravity(name: str) -> None:
    seen = 0
    for lift, scene, _ in pages(name):
        if lift.machine is None or lift.machine.sling is None:
            continue
        seen += 1
        (panel,) = scene.panels
        legs = [mark for mark in panel.marks if mark.symbol == Symbol.SLING]
        assert len(legs) == lift.machine.sling.legs
        for leg in legs:
            assert leg.to is not None
            x, y, z = leg.to
            centres = [mark.at for mark in panel.marks if mark.symbol == Symbol.CENTRE]
            tops = [load[:, 2].max() for load in panel.loads]
            # Over where it is highest, at the start or in its place.
            assert any((x, y) == pytest.approx(centre[:2]) for centre in centres)
            placed = lift.item.whole.centre_mm
            assert ((x, y) == pytest.approx(placed[:2])) == (tops[1] >= tops[0])
            assert z == pytest.approx(lift.machine.reach_mm)
            if len(legs) > 1 and lift.item.whole.low_mm > lift.item.whole.top_mm - 400:
                level = math.dist(leg.at[:2], (x, y))
                angle = math.degrees(math.atan2(z - leg.at[2], level))
                assert angle == pytest.approx(lift.machine.sling.angle_deg, abs=3.0)
    assert seen


def test_what_stands_is_the_stages_before_and_what_is_done_of_this_one() -> None:
    building, plan = built("honey-house")
    for lift in carded(plan):
        scene = card_scene(building, plan, lift)
        assert scene.stages == tuple(f"stage{place}" for place in range(lift.item.stage - 1))
    by_name = {lift.item.name: lift for lift in plan.lifts}
    order = plan.calendar.order[by_name["front beam"].item.stage]
    last = max((by_name["front beam"], by_name["back beam"]), key=lambda o: order.index(o.number))
    posts = by_name["right bay post 1"].item.whole.vertices_mm
    stands = card_scene(building, plan, last).stands.points
    # The post that carries it is there: its highest vertex is one of what stands.
    top = posts[np.argmax(posts[:, 2])]
    assert np.isclose(np.abs(stands - top).max(axis=1).min(), 0.0)


@pytest.mark.parametrize("name", NAMES)
def test_no_card_says_what_does_not_concern_it(name: str) -> None:
    building, plan = built(name)
    for lift in carded(plan):
        words = card_words(building, lift, cautions_of(lift, building.scene.units))
        said = " ".join((*words.always, *words.cautions)).lower()
        for word in ("rigger", "machine", "sling", "hook"):
            if lift.machine is None:
                assert f" {word}" not in said.replace("track hook", ""), card_name(lift)
        assert "wind of" in said
        assert building.scene.crew.guideline in said
        # Heights at which construction asks for it: 29 CFR 1926.501(b)(1), 1926.451(g)(1).
        edge, scaffold = ("6", "10") if building.scene.units == "imperial" else ("1.83", "3.05")
        assert f"from {edge}\u00a0" in said
        assert f"from {scaffold}\u00a0" in said


def test_a_wall_on_jacks_is_braced_as_often_as_the_plan_says() -> None:
    building, plan = built("honey-house")
    lift = next(lift for lift in plan.lifts if lift.item.name == "front wall")
    tilted = next(
        method for method in lift.methods if method.tilt and method.load is lift.item.whole
    )
    team = MachineTeam(at_gear=2, guiding=0, at_seats=0)
    high_mm = lift.item.whole.top_mm
    machine = Machine(MachineKind.WALL_JACK, True, 50.0, 500.0, 2, high_mm, None, team)
    scene = card_scene(building, plan, replace(lift, chosen=tilted, machine=machine))
    assert lift.bracing is not None
    bare = card_scene(building, plan, replace(lift, chosen=tilted, machine=machine, bracing=None))
    # A brace is a bar: eight corners.
    drawn, plain = scene.panels[0].after.points, bare.panels[0].after.points
    assert len(drawn) - len(plain) == 8 * lift.bracing.braces
    assert len(scene.panels[0].people) == 2
    # They stand on the wall's inner side, their feet on the deck.
    braces = np.array([p for p in drawn if not (plain == p).all(1).any()])
    wall = lift.item.whole
    assert braces[:, 1].max() > wall.centre_mm[1] + 1000
    assert braces[:, 2].min() == pytest.approx(wall.low_mm, abs=100.0)


def test_labels_keep_clear_of_each_other_and_of_what_matters() -> None:
    area = Box(0, 0, 600, 400)
    labels = [Label((300.0, 200.0), 120.0, 40.0) for _ in range(5)]
    wall = Obstacle(Box(0, 0, 600, 180), 40.0)
    boxes = place_labels(labels, [wall], area)
    assert len(boxes) == 5
    for box in boxes:
        assert box.within(area)
    for a, b in combinations(boxes, 2):
        assert a.overlap(b) == 0
    assert boxes[0].overlap(wall.box) == 0


def test_a_label_that_finds_no_room_but_on_a_symbol_goes_first() -> None:
    # Half of the picture is a symbol. Beside that two labels of 40 px have room in 100 px, one at
    # the top and one at the bottom; the first by itself lies in the middle, level with its point.
    area, symbol = Box(0, 0, 400, 100), Obstacle(Box(200, 0, 400, 100), ON_SYMBOL)
    labels = [Label((100.0, y), 190.0, 40.0) for y in (30.0, 50.0)]
    (alone,) = place_labels(labels[:1], [symbol], area)
    assert 0.0 < alone.top < 40.0
    boxes = place_labels(labels, [symbol], area)
    assert all(box.overlap(symbol.box) == 0 for box in boxes)
    assert boxes[0].overlap(boxes[1]) == 0


@pytest.mark.parametrize("hands_mm", [100.0, 400.0, 762.0, 1300.0, 1700.0])
def test_a_figure_is_175_tall_or_bends_and_its_feet_are_down(hands_mm: float) -> None:
    feet, hands = np.array([100.0, 200.0, 300.0]), np.array([100.0, 550.0, 300.0 + hands_mm])
    figure = person(feet, hands, (0.3, 0.3, 0.3))
    heights = figure.points[:, 2] - 300.0
    assert heights.min() == pytest.approx(0.0)
    if hands_mm >= 762:
        assert heights.max() == pytest.approx(max(1750.0, hands_mm), abs=40.0)
    else:
        assert heights.max() < 1700.0
    # Some hand comes near what it holds.
    away = np.linalg.norm(figure.points - hands, axis=1).min()
    assert away < 250.0


def test_solids_face_outward() -> None:
    # Gauss: the sum of a . (b x c) / 6 over the triangles is the volume, above zero outward.
    x = np.array([1.0, 0.0, 0.0])
    for solid, volume in (
        (bar(np.zeros(3), np.array([0.0, 300.0, 0.0]), 50.0, (1, 1, 1)), 300 * 50 * 50),
        (bar(np.zeros(3), np.array([0.0, 0.0, 200.0]), 10.0, (1, 1, 1)), 200 * 10 * 10),
    ):
        a, b, c = (solid.points[solid.triangles[:, i]] for i in range(3))
        assert np.sum(a * np.cross(b, c)) / 6 == pytest.approx(volume)
    stand = platform(np.array([0.0, 0.0, 900.0]), x, 1500.0, 0.0, (1, 1, 1))
    assert stand.points[:, 2].max() == pytest.approx(900.0)
    assert stand.points[:, 2].min() >= -40.0
    rest = trestle(np.array([0.0, 0.0, 760.0]), x, 0.0, (1, 1, 1))
    assert rest.points[:, 2].max() == pytest.approx(760.0)


DRAW = "import os\nfrom PIL import Image\ndef draw(names, job):\n    "
BROKEN = {
    "crash": f"{DRAW}os.kill(os.getpid(), 11)",
    "nothing": f"{DRAW}pass",
    "cut short": (
        f"{DRAW}for name in names:\n"
        "        path = job / 'drawn' / name\n"
        "        Image.new('RGB', (1600, 1200)).save(path)\n"
        "    path.write_bytes(path.read_bytes()[:-5])\n"
    ),
}


@pytest.mark.parametrize("fault", BROKEN)
@pytest.mark.skipif(sys.platform == "win32", reason="signals end a process elsewhere")
def test_a_broken_drawing_leaves_the_folder_as_it_was(
    fault: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(jobs))
    program = tmp_path / "stand_in_for_drawing.py"
    program.write_text(BROKEN[fault], encoding="utf-8")
    monkeypatch.setattr(cards, "CHILD", program.stem)
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    kept = tmp_path / "out" / "lifts" / "26-front-beam.png"
    kept.parent.mkdir(parents=True)
    kept.write_bytes(b"before")
    building, plan = built("honey-house")
    with (
        pytest.raises(OutputError, match="no picture was written: "),
        start_cards(building, plan, None, cautions) as drawing,
    ):
        drawing.finish(tmp_path / "out")
    assert kept.read_bytes() == b"before"
    assert [path.name for path in kept.parent.iterdir()] == [kept.name]
    assert list(jobs.iterdir()) == []


def test_leaving_early_ends_the_child_and_clears_up(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    building, plan = built("honey-house")
    with pytest.raises(KeyError), start_cards(building, plan, None, cautions):
        raise KeyError
    assert list(tmp_path.iterdir()) == []


def test_the_child_needs_neither_kernel_nor_model() -> None:
    code = (
        "import sys, pikepole_export.write.cards.render\n"
        "print([name for name in sys.modules if name.startswith(('pikepole_model', 'OCP'))])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
