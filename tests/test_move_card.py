"""The card of a move: a picture of every step, the plan's numbers, what carries it in place."""

from __future__ import annotations

import json
import re
from dataclasses import astuple, replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from PIL import Image

from card_layout import (
    labels_have_room,
    labels_keep_off_arrows,
    marks_are_in_the_picture,
    words_have_room,
)
from card_numbers import numbers_of, printed, unrecorded
from carded_pages import SCENES, built
from pikepole_export.derive.moving.plan import MovePlan, plan_moves
from pikepole_export.derive.moving.preparations import Step
from pikepole_export.write.cards import files as cards
from pikepole_export.write.cards.files import MOVE, start_cards
from pikepole_export.write.cards.marks import Mark, Symbol
from pikepole_export.write.cards.move_braces import bracing
from pikepole_export.write.cards.move_gear import carriers, corners, jacking
from pikepole_export.write.cards.move_scene import move_scene
from pikepole_export.write.cards.move_site import move_site
from pikepole_export.write.cards.move_words import move_words
from pikepole_export.write.cards.page import Page, page_layout
from pikepole_export.write.cards.scene import CardScene
from pikepole_export.write.cards.texts import text_layout
from pikepole_export.write.tables.csv_json import write_table
from pikepole_export.write.tables.lifting import moves_table
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.reading.file import load_scene
from pikepole_model.scene.moving import Move

IN = 25.4
FORMS = Path(__file__).parent / "scenes"
TRAILER = {
    "deck_length": "16 ft",
    "deck_width": "9 ft 2 in",
    "deck_height": "24 in",
    "hitch": "4 ft",
    "axle": "9 ft",
    "rating": "9000 lb",
    "tongue_rating": "1200 lb",
}
MOVES: dict[str, dict[str, Any]] = {
    "jacks": {"after": "Siding", "way": "jacks", "height": "12 in"},
    "trailer": {"after": "Wall sheathing", "way": "trailer", "side": "left", "trailer": TRAILER},
    "bare": {"after": "Right wall", "way": "forks", "side": "back", "fork": "7 ft"},
    "metric": {"after": "Wall sheathing", "way": "forks", "fork": "2400 mm", "rise": "3 deg"},
}
SCENE_FILES = {
    "forks": SCENES / "honey-house.toml",
    "on beams": FORMS / "forms" / "press-house.toml",
    "rollers": FORMS / "forms" / "wood-lean-to.toml",
}
CASES = (*SCENE_FILES, *MOVES)


@cache
def moved(case: str) -> tuple[Building, MovePlan]:
    if case in SCENE_FILES:
        building = build(load_scene(SCENE_FILES[case]))
    else:
        building, _ = built("garden-classroom" if case == "metric" else "honey-house")
        move = Move.model_validate(MOVES[case])
        scene = building.scene.model_copy(update={"move": move})
        building = replace(building, scene=scene)
    plan = plan_moves(building).plan
    assert plan
    return building, plan


@cache
def laid_out(case: str) -> tuple[CardScene, Page]:
    building, plan = moved(case)
    scene = move_scene(building, plan)
    return scene, page_layout(scene, text_layout(move_words(building, plan)))


def marks_of(case: str, step: Step) -> tuple[Mark, ...]:
    _, plan = moved(case)
    scene, _ = laid_out(case)
    return scene.panels[list(plan.steps).index(step)].marks


@pytest.mark.parametrize("case", CASES)
def test_nothing_runs_off_the_card_or_lies_on_anything_else(case: str) -> None:
    _, page = laid_out(case)
    words_have_room(page, case, least_px=21)
    labels_have_room(page, case)
    labels_keep_off_arrows(page, case)
    marks_are_in_the_picture(page, case)


@pytest.mark.parametrize("case", CASES)
def test_every_step_that_is_listed_has_its_picture(case: str) -> None:
    building, plan = moved(case)
    scene, page = laid_out(case)
    words = move_words(building, plan)
    (steps,) = (block for block in words.blocks if block.numbered)
    assert len(steps.items) == len(scene.panels) == len(page.panels) == len(plan.steps)
    assert [panel.head[0] for panel in scene.panels] == [
        str(number) for number in range(1, len(steps.items) + 1)
    ]
    # On jacks alone it goes nowhere.
    nowhere = {Step.ON, Step.WAY} if plan.way == "jacks" else set[Step]()
    assert set(plan.steps) == set(Step) - nowhere


@pytest.mark.parametrize("case", CASES)
def test_every_number_on_the_card_is_in_the_record_of_the_move(case: str, tmp_path: Path) -> None:
    building, _ = moved(case)
    write_table(moves_table(plan_moves(building), (), building.scene.units), tmp_path)
    record = json.loads((tmp_path / "moves.json").read_text(encoding="utf-8"))["plan"]
    _, page = laid_out(case)
    heads = {str(number) for number in range(1, len(page.panels) + 1)}
    text = " ".join(one.text for one in page.texts if one.text not in heads)
    text = text.replace("\u00a0", " ")
    # Problems are the plan's own sentences; names of pieces hold numbers that count them.
    text = re.sub(r"And \d+ more: see the check", "", text)
    for problem in record["problems"]:
        for words in (problem["key"], problem["value"], problem["wrong"], problem["mend"]):
            text = text.replace(words, "")
    # The numbers of the corners say in which order they go up.
    text = re.sub(r"\b[1-4]: ", "", text)
    text = re.sub(r"(\d)-(\d+(?:\.\d)? (lb|kg))", r"\1 \3 \2", text)
    # A load centre as plates give it.
    text = re.sub(r"(lb|kg) at (\d+) in\b", r'\1 at \2"', text)
    seen = printed(text, "lb" if building.scene.units == "imperial" else "kg")
    assert len(seen) > 15
    assert unrecorded(seen, numbers_of(record), up=True) == []


@pytest.mark.parametrize("case", CASES)
def test_the_card_defers_and_promises_nothing(case: str) -> None:
    building, plan = moved(case)
    words = move_words(building, plan)
    said = " ".join((words.verdict, *words.cautions, *words.always))
    said += " ".join(item for block in words.blocks for item in block.items)
    assert not re.search(r"\b(safe|safely|ok)\b", said, re.IGNORECASE)
    assert "licensed rigger" in said
    assert "Local rules" in said
    assert ("plate" in said) == (plan.way == "forks")
    assert words.verdict.startswith("It cannot be moved so") == bool(plan.problems)


def test_beams_on_the_forks_lie_right_under_the_skids_where_the_plan_has_them() -> None:
    building, plan = moved("forks")
    site = move_site(building, plan)
    points = np.concatenate([solid.points for solid in carriers(site, 0.0).solids])
    # Forks 2-1/2 in thick by default on the ground, a 4x8 on edge, 7-1/4 in dressed: PS 20.
    top = (2.5 + 7.25) * IN
    skids = [part for part in site.moved.parts if part.name.startswith("skid")]
    lows = {round(part.bounds_mm[0][2] + site.gear_mm, 3) for part in skids}
    assert lows == {round(top, 3)}
    on_forks = plan.on_forks
    assert on_forks
    upper = points[np.isclose(points[:, 2], top)]
    across = sorted({round(float(x), 1) for x in upper[:, 0]})
    middles = [(across[0] + across[1]) / 2, (across[2] + across[3]) / 2]
    # 3-1/2 in broad, at the plan's places from the left end of the floor, which is at X 0.
    assert across[1] - across[0] == pytest.approx(3.5 * IN, abs=0.2)
    assert middles == pytest.approx([on_forks.forks.left_mm, on_forks.forks.right_mm], abs=0.2)
    # 9 ft 6 in long from the fork face.
    assert float(np.ptp(upper[:, 1])) == pytest.approx(9.5 * 12 * IN)


@pytest.mark.parametrize("case", CASES)
def test_jacks_stand_under_the_outer_bearers_as_far_in_as_the_plan_says(case: str) -> None:
    building, plan = moved(case)
    site = move_site(building, plan)
    bearers = site.moved.bearers
    low, high = (
        pick(part.bounds_mm[end][0] for part in bearers) for pick, end in ((min, 0), (max, 1))
    )
    inset = plan.on_jacks.inset_mm
    tops = corners(site, plan.on_jacks.rise_mm)
    assert tops[:, 0] == pytest.approx([low + inset] * 2 + [high - inset] * 2)
    for top in tops:
        assert any(
            part.bounds_mm[0][1] < top[1] < part.bounds_mm[1][1]
            and top[2] == pytest.approx(part.bounds_mm[0][2] + plan.on_jacks.rise_mm)
            for part in bearers
        )
    if not plan.on_jacks.rise_mm:
        return
    # Cribs reach up to the bearers and stand on what these lay on.
    points = np.concatenate([solid.points for solid in jacking(site)])
    assert float(points[:, 2].max()) == pytest.approx(float(tops[0, 2]))
    assert float(np.ptp(points[:, 2])) == pytest.approx(plan.on_jacks.rise_mm)


def test_a_brace_across_a_doorway_lies_where_no_stud_stands() -> None:
    building, plan = moved("forks")
    site = move_site(building, plan)
    solids, marks = bracing(site)
    assert [mark.lines[0] for mark in marks] == ["brace", "tie tops across"]
    # The hive doorway, 5 ft 4 in wide, is in the right end wall: along Y.
    across = np.concatenate([solid.points for solid in solids[:2]])
    low, high = (pick(axis=0) for pick in (across.min, across.max))
    assert high[1] - low[1] == pytest.approx(64 * IN, abs=90.0)
    studs = [
        part
        for part in site.moved.parts
        if part.group == "right wall" and part.kind in (Kind.STUD, Kind.KING, Kind.JACK)
    ]
    assert studs
    for stud in studs:
        assert stud.centre_mm[1] < low[1] + 45.0 or stud.centre_mm[1] > high[1] - 45.0
    outside = max(part.bounds_mm[1][0] for part in studs)
    assert low[0] > outside - 90.0


@pytest.mark.parametrize("case", ["forks", "on beams", "metric", "jacks"])
def test_no_label_hides_what_is_put_on_first(case: str) -> None:
    building, plan = moved(case)
    scene, page = laid_out(case)
    panel = page.panels[list(plan.steps).index(Step.FIRST)]
    boxes = shapely.union_all([shapely.box(*astuple(box)) for box, _, _ in panel.labels])
    solids, _ = bracing(move_site(building, plan))
    assert solids
    for solid in solids:
        flat = solid.points @ scene.axes[:2].T * panel.scale + np.array(panel.shift)
        drawn = np.column_stack([panel.view.left + flat[:, 0], panel.view.bottom - flat[:, 1]])
        brace = shapely.MultiPoint(drawn).convex_hull
        assert shapely.intersection(brace, boxes).area < 0.1 * brace.area


def test_jacks_stand_at_a_whole_inch_or_centimetre() -> None:
    for case, step in (("forks", IN), ("metric", 10.0)):
        _, plan = moved(case)
        assert plan.on_jacks.inset_mm / step == pytest.approx(round(plan.on_jacks.inset_mm / step))
        # An even beam bends least on supports 0.207 of its length in from its ends (statics).
        ends = [part.bounds_mm for part in move_site(*moved(case)).moved.bearers]
        long = max(high[0] for _, high in ends) - min(low[0] for low, _ in ends)
        assert plan.on_jacks.inset_mm == pytest.approx(0.207 * long, abs=0.01 * long + step)


def test_walls_without_sheets_are_braced_each() -> None:
    building, plan = moved("bare")
    _, marks = bracing(move_site(building, plan))
    assert [mark.lines[0] for mark in marks].count("diagonal") == 4


@pytest.mark.parametrize("case", ["forks", "on beams", "rollers", "trailer", "bare", "metric"])
def test_sizes_on_the_way_are_drawn_as_long_as_they_are(case: str) -> None:
    _, plan = moved(case)
    sizes = {
        mark.lines[0].split()[0]: float(np.linalg.norm(mark.to - mark.at))
        for mark in marks_of(case, Step.WAY)
        if mark.symbol is Symbol.SIZE and mark.to is not None
    }
    does = plan.conduct
    assert sizes["wide"] == pytest.approx(does.wide_mm)
    assert sizes["high"] == pytest.approx(does.high_mm)
    # A foot of room at each side: common practice, no source.
    assert sizes["gate"] == pytest.approx(does.wide_mm + 24 * IN)
    scene, _ = laid_out(case)
    panel = scene.panels[list(plan.steps).index(Step.WAY)]
    assert float(panel.around.points[:, 2].max()) == pytest.approx(does.high_mm, abs=1.0)
    # One spotter, beside what is moved and clear of it.
    (feet,) = panel.people
    low, high = (pick(axis=0)[:2] for pick in (panel.around.points.min, panel.around.points.max))
    assert np.any((feet[:2] < low) | (feet[:2] > high))


@pytest.mark.parametrize("case", CASES)
def test_the_centre_of_gravity_is_the_plans(case: str) -> None:
    _, plan = moved(case)
    if plan.way == "jacks":
        return
    (centre,) = (mark.at for mark in marks_of(case, Step.ON) if mark.symbol is Symbol.CENTRE)
    raised = plan.conduct.up_mm - plan.conduct.carry_mm
    x, y, z = plan.row.centre_of_gravity_mm
    assert centre == pytest.approx((x, y, z + raised))


def test_the_card_is_drawn_beside_those_of_the_lifts(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    building, plan = moved("forks")
    _, lifts = built("honey-house")

    def none(_: object) -> list[object]:
        return []

    monkeypatch.setattr(cards, "carded", none)
    with start_cards(building, lifts, plan, lambda _: ()) as drawing:
        assert drawing.finish(tmp_path) == [f"lifts/{MOVE}"]
    with Image.open(tmp_path / "lifts" / MOVE) as image:
        assert image.size == (1600, 1200)
        pixels = np.asarray(image.convert("RGB")).astype(int)
    red, green, blue = pixels[..., 0], pixels[..., 1], pixels[..., 2]
    # As on a lift card: braces and straps are full orange, jacking arrows blue.
    assert ((red - blue > 90) & (red > 120) & (green < 130)).sum() > 400
    assert ((blue - red > 60) & (blue > 90)).sum() > 200
