"""What machines and braces have to hold, and how high a hook has to reach, by statics."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from lifted import GRAVITY, block, item_of
from pikepole_export.derive.lifting.bracing import braces
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.machines import Machine, machines
from pikepole_export.derive.moving.plan import plan_moves
from pikepole_model.building.part import Building
from pikepole_model.scene.crew import Crew


def first(item: Item, **gear: Any) -> Machine:
    """What lifts it first where the crew has one piece of gear."""
    return machines(item, Crew.model_validate({"gear": [gear]}))[0]


def uneven(**words: Any) -> Item:
    """2 m of 60 kg and 1 m of 60 kg end to end.

    Its middle is (60 x 1 + 60 x 2.5) / 120 = 1.75 m from the lighter end of its 3 m.
    """
    near = block("skid", (2000, 140, 90), 60, at_mm=(0, 0, 400))
    far = block("skid 2", (1000, 140, 90), 60, at_mm=(0, 2000, 400))
    return item_of(near, far, **words)


def test_a_jack_is_rated_for_the_heavier_end() -> None:
    # Moments about the lighter end: 120 kg x 1.75 / 3 = 70 kg at the other. Half would be 60.
    jack = {"kind": "jack", "stroke": "100 mm"}
    found = first(uneven(), rating="71 kg", **jack)
    assert found.kind == "jack"
    assert found.needed_kg == pytest.approx(70)
    assert first(uneven(), rating="69 kg", **jack).kind == "lifting machine"


@pytest.mark.parametrize(("reach", "does"), [("2.71 m", True), ("2.69 m", False)])
def test_a_hoist_reaches_over_the_choker_on_what_stands(reach: str, does: bool) -> None:
    # A post of 2.4 m hangs plumb from a choker round its head, which takes 300 mm up to the hook:
    # common practice, no source.
    post = block("post", (2400, 90, 90), 100, slope_deg=90)
    stands = item_of(post, handling=Handling.POST)
    found = first(stands, kind="chain hoist", rating="200 kg", reach=reach)
    assert (found.kind == "chain hoist") is does
    assert found.reach_mm == pytest.approx(2700)
    assert found.sling
    # One leg, plumb: all of the weight (statics).
    assert (found.sling.legs, found.sling.angle_deg) == (1, 90)
    assert found.sling.tension_n == pytest.approx(100 * 9.80665)


@pytest.mark.parametrize(("rating", "does"), [("100 kg", True), ("99.9 kg", False)])
def test_a_plate_is_good_for_the_load_that_it_says(rating: str, does: bool) -> None:
    beam = item_of(block("beam", (4000, 200, 90), 100, at_mm=(0, 0, 2000)), handling=Handling.BEAM)
    found = first(beam, kind="chain hoist", rating=rating, reach="6 m")
    assert found.at_hand is does
    assert found.phrase == ("the chain hoist" if does else "a lifting machine")


def test_two_wall_jacks_share_a_wall() -> None:
    # A wall of 160 kg tilts about its foot by half its weight at its head (moments); each of two
    # takes a quarter: 40 kg.
    slab = block("wall", (2400, 2900, 89), 160, slope_deg=90)
    found = first(
        item_of(slab, handling=Handling.WALL),
        kind="wall jack",
        rating="50 kg",
        reach="3 m",
        count=2,
    )
    assert found.phrase == "the 2 wall jacks"
    assert found.needed_kg == pytest.approx(40, rel=0.05)  # its thickness shifts it a little
    # On a pole along the chord of the top's way: W/2 cos a tan(a/2), greatest where cos a is
    # 0.618, 1 / the golden ratio: 0.3003 of W/2 (statics). Thickness takes a little off.
    thin = block("wall", (2400, 2900, 1), 160, slope_deg=90)
    found = first(
        item_of(thin, handling=Handling.WALL), kind="wall jack", rating="50 kg", reach="3 m"
    )
    assert found.foot_n == pytest.approx(0.3003 * 80 * GRAVITY, rel=2e-3)


def test_a_single_leg_holds_a_beam_by_a_choker_too() -> None:
    beam = item_of(block("beam", (4000, 200, 90), 100, at_mm=(0, 0, 2000)), handling=Handling.BEAM)
    found = first(beam, kind="chain hoist", rating="200 kg", reach="6 m", sling_legs=1)
    assert found.reach_mm == pytest.approx(2200 + 300)


def test_a_wall_on_a_deck_is_braced_like_one_on_the_ground() -> None:
    # Wind on its face and its own lean turn it about its foot, wherever that is (statics).
    low, high = (
        braces(
            item_of(
                block("wall", (2400, 2900, 89), 160, slope_deg=90, at_mm=(0, 0, z)),
                handling=Handling.WALL,
            ),
            {},
            on_frame=True,
        )
        for z in (0.0, 3000.0)
    )
    assert low
    assert high
    assert high.horizontal_n == pytest.approx(low.horizontal_n)


@pytest.mark.parametrize(("long_mm", "count"), [(2300, 2), (2900, 3), (4700, 3), (4900, 4)])
def test_braces_stand_at_both_ends_and_no_further_apart_than_8_ft(long_mm: int, count: int) -> None:
    # 2.4 m: common practice, no source.
    slab = block("wall", (2300, long_mm, 89), 160, slope_deg=90)
    found = braces(item_of(slab, handling=Handling.WALL), {}, on_frame=True)
    assert found
    assert found.braces == count


def test_what_is_moved_is_as_large_as_the_box_round_it(honey_house: Building) -> None:
    # Seen from above: its roof hangs out to all sides, below zero too; posts and footings stay.
    last = plan_moves(honey_house).table[-1]
    stays = {"gravel bed", "footing", "post base", "post cap", "post", "ground anchor"}
    stays |= {"stringer", "support leg", "step tread", "ramp joist", "ramp board"}
    spans = [part.bounds_mm for part in honey_house.parts if part.kind.value not in stays]
    low = np.min([span[0] for span in spans], axis=0)
    high = np.max([span[1] for span in spans], axis=0)
    assert (low[:2] < 0).all()
    assert last.size_mm[:2] == pytest.approx((high - low)[:2])
