"""What the pictures of a card show, step by step: the load, who stands where and on what."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np
import pytest

from carded_pages import NAMES, built, pages
from pikepole_export.derive.lifting.falls import FallGuard, fall_protection
from pikepole_export.derive.lifting.hand_tasks import Rest
from pikepole_export.derive.lifting.items import Handling
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.plan import lift_plan
from pikepole_export.derive.lifting.sentences import platform_text
from pikepole_export.derive.lifting.techniques import Technique
from pikepole_export.write.cards.files import card_name
from pikepole_export.write.cards.marks import Symbol
from pikepole_export.write.cards.page import NUMBER_PX, Page, page_layout
from pikepole_export.write.cards.scene import CardScene, card_scene
from pikepole_export.write.cards.texts import text_layout
from pikepole_export.write.cards.words import CardWords, card_words, height
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building


@pytest.mark.parametrize("name", NAMES)
def test_every_step_of_the_list_has_its_picture_with_its_number(name: str) -> None:
    building, _ = built(name)
    for lift, scene, page in pages(name):
        assert len(page.panels) == len(scene.panels)
        if lift.machine:
            assert [panel.head for panel in scene.panels] == [()]
            continue
        steps = next(block for block in card_words(building, lift, ()).blocks if block.numbered)
        assert len(page.panels) == len(steps.items)
        for number, panel in enumerate(page.panels, start=1):
            # A large number in the upper left corner, read back from what is written there.
            large = [text for text in page.texts if text.size == NUMBER_PX]
            own = [text for text in large if text.box.within(panel.view)]
            assert [text.text for text in own] == [str(number)], card_name(lift)


@pytest.mark.parametrize("name", NAMES)
def test_a_step_begins_where_the_one_before_it_ends(name: str) -> None:
    for lift, scene, _ in pages(name):
        for panel, then in pairwise(scene.panels):
            assert panel.loads[1] == pytest.approx(then.loads[0]), card_name(lift)
        load = lift.item.whole if lift.machine else lift.chosen.load
        *_, last = scene.panels
        if lift.item.handling != Handling.ROOF_SHEET:
            assert last.loads[1] == pytest.approx(load.vertices_mm), card_name(lift)


@pytest.mark.parametrize("name", NAMES)
def test_centres_of_gravity_are_where_the_plan_has_them(name: str) -> None:
    for lift, scene, _ in pages(name):
        load = lift.item.whole if lift.machine else lift.chosen.load
        for panel in scene.panels:
            for mark in panel.marks:
                if mark.symbol != Symbol.CENTRE:
                    continue
                # As far from every vertex as in its place, before the step or after it.
                away = np.linalg.norm(load.vertices_mm - load.centre_mm, axis=1)
                assert any(
                    np.allclose(np.linalg.norm(points - mark.at, axis=1), away)
                    for points in panel.loads
                ), card_name(lift)


@pytest.mark.parametrize("name", NAMES)
def test_as_many_people_at_every_step_as_the_plan_says(name: str) -> None:
    for lift, scene, _ in pages(name):
        for panel in scene.panels:
            assert len(panel.people) == lift.people, card_name(lift)


@pytest.mark.parametrize("name", NAMES)
def test_nobody_stands_shoulder_to_shoulder(name: str) -> None:
    # Shoulders are about 0.5 m broad: 95 in 100 men's are less than 0.54 m, ISO 7250-3 tables,
    # from memory.
    for lift, scene, _ in pages(name):
        for panel in scene.panels:
            for a, b in combinations(panel.people, 2):
                assert math.dist(a, b) > 500.0, card_name(lift)


@pytest.mark.parametrize("name", NAMES)
def test_people_stand_where_the_plan_says_and_hands_are_at_its_heights(name: str) -> None:
    for lift, scene, _ in pages(name):
        if lift.machine:
            continue
        for assessed, panel in zip(lift.chosen.assessments, scene.panels, strict=True):
            task = assessed.task
            inside = [mark for mark in panel.marks if mark.lines == ("one inside",)]
            floors = panel.people[: len(panel.people) - len(inside), 2]
            assert floors == pytest.approx(task.floor_mm), card_name(lift)
            hands = np.array([mark.at for mark in panel.marks if mark.symbol == Symbol.HAND])
            assert len(hands) == lift.people
            if lift.item.handling in (Handling.STICK, Handling.BEAM):
                # Half-way between the outer ones, a hand's breadth more or less; an end on its
                # seat is held further in, lower by as much as the piece slopes down to the other.
                # What is let down in its place at a slope is planned for the higher hands.
                middle = (hands[:, 2].min() + hands[:, 2].max()) / 2
                if task.onto is Rest.PLACE:
                    middle = hands[:, 2].max()
                slopes = float(np.ptp(panel.loads[1][:, 2])) if task.onto is Rest.SEAT else 0.0
                off = middle - (task.floor_mm + task.to_mm)
                assert -100.0 - 0.2 * slopes <= off <= 100.0, card_name(lift)


def written_on(page: Page, number: int) -> str:
    """All that is written within one picture of a card."""
    view = page.panels[number].view
    return "\n".join(text.text for text in page.texts if text.box.within(view)).replace(
        "\u00a0", " "
    )


@pytest.mark.parametrize("name", NAMES)
def test_every_platform_and_rest_of_a_step_is_drawn_at_its_height_and_named(name: str) -> None:
    building, _ = built(name)
    units = building.scene.units
    seen = 0
    for lift, scene, page in pages(name):
        if lift.machine:
            continue
        steps = [assessed.task for assessed in lift.chosen.assessments]
        for number, (task, panel) in enumerate(zip(steps, scene.panels, strict=True)):
            said = written_on(page, number)
            floors = [task] if task.floor_mm > task.base_mm else []
            if task.onto in (Rest.PLATFORM, Rest.BLOCK):
                floors.append(steps[number + 1])
                if task.onto is Rest.BLOCK:
                    assert "block " in said, card_name(lift)
            for one in floors:
                seen += 1
                called = platform_text(one.floor_mm - one.base_mm, units).replace("\u00a0", " ")
                assert called in said, card_name(lift)
                # Its boards' upper side is that high over what it stands on.
                tops = panel.after.points[:, 2]
                assert np.isclose(tops, one.floor_mm).sum() >= 4, card_name(lift)
                if one.floor_mm >= 6 * 304.8:
                    # Rails from 6 ft: 29 CFR 1926.501(b)(1); 42 in high: 1926.502(b)(1).
                    assert np.isclose(tops, one.floor_mm + 42 * 25.4).any(), card_name(lift)
    assert seen


def drawn_by(technique: Technique) -> list[tuple[Lift, CardScene, Page]]:
    """Cards of the canoe store's lifts by a technique that its plan looks at."""
    building, plan = built("canoe-store")
    found: list[tuple[Lift, CardScene, Page]] = []
    for lift in plan.lifts:
        for method in lift.methods:
            if method.technique is technique and method.people:
                one = replace(lift, chosen=method, people=method.people)
                scene = card_scene(building, plan, one)
                found.append((one, scene, page_layout(scene, text_layout(words_of(one)))))
    return found


def words_of(lift: Lift) -> CardWords:
    return card_words(built("canoe-store")[0], lift, ())


def test_both_cribs_are_drawn_under_the_beam_at_every_step() -> None:
    cards = drawn_by(Technique.ROCKED)
    assert cards
    for lift, scene, page in cards:
        rocking = lift.chosen.rocking
        assert rocking
        for number, panel in enumerate(scene.panels):
            assert "two cribs" in written_on(page, number), card_name(lift)
            # Their timbers' corners, taken along the beam from where it balances.
            load = lift.chosen.load
            middle = (np.array(load.ends_mm[1]) - load.ends_mm[0]) / load.size_mm[0]
            along = (panel.after.points - load.centre_mm) @ middle
            for side in (-1, 1):
                edge = side * (rocking.apart_mm + rocking.base_mm) / 2
                assert np.isclose(along, edge, atol=2.0).sum() >= 4, card_name(lift)


def test_every_ledge_is_drawn_at_its_height_and_the_one_in_use_named() -> None:
    cards = drawn_by(Technique.LEDGES)
    assert cards
    for lift, scene, page in cards:
        tasks = [assessed.task for assessed in lift.chosen.assessments]
        tops = {task.floor_mm + task.to_mm for task in tasks if task.onto is Rest.LEDGE}
        assert tops
        for number, (task, panel) in enumerate(zip(tasks, scene.panels, strict=True)):
            for top in tops:
                assert np.isclose(panel.after.points[:, 2], top).sum() >= 4, card_name(lift)
            if task.onto is Rest.LEDGE:
                tall = height(task.to_mm, "imperial").replace("\u00a0", " ")
                assert f"ledge {tall}" in written_on(page, number), card_name(lift)


@pytest.mark.parametrize("name", NAMES)
def test_what_lies_under_a_walls_top_plate_is_named(name: str) -> None:
    for lift, _, page in pages(name):
        if lift.machine or lift.item.handling != Handling.WALL:
            continue
        for number, assessed in enumerate(lift.chosen.assessments):
            if assessed.task.onto is Rest.TRESTLES:
                assert "trestle " in written_on(page, number), card_name(lift)


@pytest.mark.parametrize("name", NAMES)
def test_who_is_high_at_an_edge_is_tied_to_an_anchor(name: str) -> None:
    for lift, _, page in pages(name):
        fall = fall_protection(lift, "imperial")
        said = "\n".join(text.text for text in page.texts if text.box.within(page.view))
        is_tied = fall is not None and fall.guard is FallGuard.HARNESS
        assert ("harness and anchor" in said) == is_tied, card_name(lift)


@pytest.mark.parametrize("name", NAMES)
def test_who_pushes_over_the_eave_stands_outside_it_and_has_hands_on_the_sheet(name: str) -> None:
    seen = 0
    for lift, scene, _ in pages(name):
        if lift.item.handling != Handling.ROOF_SHEET:
            continue
        seen += 1
        *_, last = scene.panels
        sheet = last.loads[-1]
        hands = [mark.at for mark in last.marks if mark.symbol == Symbol.HAND]
        feet = last.people
        for hand, foot in zip(hands, feet, strict=True):
            assert (sheet.min(axis=0) - 1e-6 <= hand).all()
            assert (hand <= sheet.max(axis=0) + 1e-6).all()
            assert hand[2] == pytest.approx(sheet[:, 2].min())
            # Further out than any of it, on the side of its low edge.
            out = (foot - hand) * [1, 1, 0] / np.linalg.norm((foot - hand)[:2])
            assert float((sheet @ out).max()) < float(foot @ out)
            assert float(hand @ out) == pytest.approx(float((sheet @ out).max()))
    assert seen


def test_a_loft_sheet_goes_up_inside_and_is_laid_by_those_on_the_joists(
    comb_store: Building,
) -> None:
    plan = lift_plan(comb_store)
    by_hand = [
        lift
        for lift in plan.lifts
        if lift.item.handling == Handling.LOFT_SHEET and lift.machine is None
    ]
    assert by_hand
    floor = [part.vertices_mm for part in comb_store.parts if part.kind is Kind.FLOOR_SHEET]
    low, high = np.concatenate(floor).min(axis=0), np.concatenate(floor).max(axis=0)
    for lift in by_hand:
        *below, last = card_scene(comb_store, plan, lift).panels
        for panel in below:
            inside = (low < panel.people) & (panel.people < high)
            assert inside[:, :2].all(), card_name(lift)
        for foot in last.people:
            assert foot[2] == pytest.approx(lift.item.pass_height_mm)
        assert last.loads[-1] == pytest.approx(lift.chosen.load.vertices_mm)
