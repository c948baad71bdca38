"""Posts that knee braces hold upright, against statics by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from conftest import FORMS, SCENES
from measuring import INCH
from pikepole_export.derive.strength.check import Check, Rule
from pikepole_export.derive.strength.descent import paths_of
from pikepole_export.derive.strength.plan import strength_of
from pikepole_export.derive.strength.sway import Sway, sways_of
from pikepole_export.write.pictures.captions import captions
from pikepole_model.build import build
from pikepole_model.building.part import Building
from pikepole_model.reading.file import load_scene
from pikepole_model.units import POUND_FORCE_N

CANOE_STORE = Path(__file__).parents[1] / "scenes" / "canoe-store.toml"


@pytest.fixture(scope="module")
def carport() -> Building:
    return build(load_scene(FORMS["cart-shelter"]))


@pytest.fixture(scope="module")
def post(carport: Building) -> Sway:
    return sways_of(paths_of(carport))["front post 1"]


def numbers(check: Check) -> dict[str, float]:
    return {one.symbol: one.value for one in check.numbers}


def test_a_brace_by_statics(post: Sway) -> None:
    # A post hinged at its foot and 8 ft high, 200 lb at its top, a brace that meets it 2 ft below
    # the beam at 45 degrees: V H / a = 800 lb level, 1,131 lb along it; V (H - a) in the post.
    feet, pressure = 12 * INCH, 1.0
    by_hand = replace(
        post,
        braces=post.braces[:1],
        area_mm2=200 * POUND_FORCE_N / (pressure * 1e-3),
        posts=1,
        pressure=pressure,
        high_mm=8 * feet,
        below_mm=6 * feet,
    )
    assert by_hand.push_n / POUND_FORCE_N == pytest.approx(200)
    assert by_hand.brace_n / POUND_FORCE_N == pytest.approx(1131, abs=0.5)
    assert by_hand.moment_n_mm == pytest.approx(200 * POUND_FORCE_N * 6 * feet)
    # Two share it, one pushed and one pulled; a longer leg takes less.
    both = replace(by_hand, braces=post.braces[:1] * 2)
    assert both.brace_n == pytest.approx(by_hand.brace_n / 2)
    assert replace(by_hand, below_mm=5 * feet).brace_n < by_hand.brace_n


def test_posts_share_the_wind_on_their_roof(carport: Building, post: Sway) -> None:
    # Three rows of three posts; 21 by 15 ft, 4:12 from both sides: seen along the beams a triangle
    # of rafters and beams under it, whose posts and braces are not counted.
    sways = sways_of(paths_of(carport)).values()
    assert len(sways) == 9
    pushes = math.fsum(one.push_n for one in sways)
    assert pushes == pytest.approx(post.pressure * 1e-3 * post.area_mm2)
    rise, depth = 7.5 * 12 * 4 / 12, 15 * 12.0
    assert post.area_mm2 / INCH**2 > rise * depth / 2
    # Those in the middle have a brace to either side.
    assert sorted(len(one.braces) for one in sways) == [1] * 6 + [2] * 3


def test_braces_and_posts_are_listed(carport: Building, post: Sway) -> None:
    checks = strength_of(carport).checks
    brace = [one for one in checks if one.sort == "front knee brace"]
    assert {one.rule for one in brace} == {Rule.COMPRESSION, Rule.JOINT}
    joint = next(one for one in brace if one.rule is Rule.JOINT)
    of_it = numbers(joint)
    per_rise = of_it["h, foot to beam"] / of_it["a, brace to beam"]
    along = of_it["V"] * per_rise / math.cos(math.pi / 4) / of_it["its braces"]
    assert joint.demand == pytest.approx(0.6 * along)
    # One bolt of 1/2 in through 1-1/2 in along the grain into 5-1/2 in across it, wet, in wind.
    assert joint.capacity == pytest.approx(of_it["n Z"] * 1.6 * 0.7)
    bent = next(one for one in checks if one.rule is Rule.COMBINED and one.sort == "front post")
    assert numbers(bent)["M"] == pytest.approx(0.6 * post.moment_n_mm)


def side_sway(building: Building) -> list[Check]:
    return [one for one in strength_of(building).checks if one.rule is Rule.SWAY]


def test_a_bay_leans_on_its_store_by_its_roof() -> None:
    # 8 ft of bay and 12 in over its end, 9 ft deep. Seen from the front a rectangle from the
    # underside of the lower beam, 7-1/4 in high, up over 9 ft and the front overhang of 12 in at
    # 3:12, to the top of rafters of 7-1/4 in, whose seats are let in by 3-1/2 in of that slope.
    found = side_sway(build(load_scene(SCENES["honey-house"])))
    assert [(one.member, one.place) for one in found] == [("right bay", "across the building")]
    of_it = numbers(found[0])
    high = 7.25 + (9 + 1) * 12 * 3 / 12 + 7.25 * math.hypot(1, 3 / 12) - 3.5 * 3 / 12
    assert of_it["its area"] / INCH**2 == pytest.approx(9 * 12 * high, rel=0.01)
    assert found[0].demand == pytest.approx(0.6 * of_it["wall pressure"] * 1e-3 * of_it["its area"])
    # 7/16 in sheets without blocks, however they lie: 170 plf (APA E30V Table 38), over 9 ft.
    assert found[0].capacity / POUND_FORCE_N == pytest.approx(170 * 9)


def test_a_bay_that_reaches_too_far_out_is_held_by_nothing() -> None:
    # 15 ft 6 in beside 10 ft 2 in of store: more than 1.5 times (SDPWS 4.2.5.2, from memory).
    found = side_sway(build(load_scene(FORMS["press-house"])))
    assert [one.capacity for one in found] == [0.0]
    assert found[0].is_over
    assert "1.5 W" in found[0].limit


def bracing(building: Building) -> dict[str, str]:
    """What is told of bracing beside pictures, by the names of their stages."""
    return {
        caption["name"].split("  ")[-1]: " ".join(block["plain"])
        for caption in captions(building, {})
        for block in caption["blocks"]
        if block["head"] == "Bracing"
    }


def test_a_bay_that_leans_says_so_where_its_posts_are_put_up() -> None:
    # As above, of 1.5 times the width (SDPWS 4.2.5.2, from memory); 15 ft out is held.
    press = load_scene(FORMS["press-house"])
    told = bracing(build(press))["Beams and posts"]
    assert told.startswith("right bay: may lean across the building: its roof's sheets reach out")
    assert "licensed engineer" in told
    nearer = tuple(bay.model_copy(update={"reach": 15 * 12 * INCH}) for bay in press.bay)
    assert "Beams and posts" not in bracing(build(press.model_copy(update={"bay": nearer})))


def test_a_carport_says_which_way_no_braces_stand(carport: Building) -> None:
    (told,) = bracing(carport).values()
    assert told.startswith("posts: may lean across the building: no knee braces stand that way")
    assert "along" not in told


def test_nothing_braces_a_carport_across_its_beams(carport: Building) -> None:
    # Seen from the front 21 ft of roof, at least as high as it rises: 7 ft 6 in at 4:12.
    found = side_sway(carport)
    assert [(one.place, one.capacity) for one in found] == [("across the building", 0.0)]
    assert numbers(found[0])["its area"] > 21 * 12 * INCH * 7.5 * 12 * 4 / 12 * INCH


def test_a_carport_without_braces_is_held_neither_way(carport: Building) -> None:
    posts = carport.scene.posts
    assert posts
    bare = carport.scene.model_copy(update={"posts": posts.model_copy(update={"brace": None})})
    assert len(side_sway(build(bare))) == 2


def test_a_bay_hands_its_wind_to_the_walls_of_its_store() -> None:
    # 8 ft of bay and 12 in over its end beside 20 ft of store, whose left and right wall hold both:
    # by the lever rule the near wall has all of the bay's wind and 4.5 / 20 of it more, and the far
    # one none of it.
    checks = strength_of(build(load_scene(CANOE_STORE))).checks
    pulled = {one.member: one for one in checks if one.rule is Rule.WALL_END}
    leans = next(one for one in checks if one.rule is Rule.SWAY)
    bay = numbers(leans)["H"]
    near, far = numbers(pulled["right wall"]), numbers(pulled["left wall"])
    given = near["B, of bays that lean on it"]
    assert given == pytest.approx(bay * (1 + 4.5 / 20), rel=0.01)
    assert not [symbol for symbol in far if symbol.startswith("B,")]
    shear = near["H"] / near["walls that way"] + given
    lever = near["h, its mean height"] / near["b, of its whole pieces"]
    weight = 0.6 * (near["D"] - near["Wm"]) / 2
    assert pulled["right wall"].demand == pytest.approx(0.6 * shear * lever - weight)
    # And the anchor bolts of that wall's plates along it.
    bolts = next(
        one for one in checks if one.member == "right wall" and "along its plates" in one.place
    )
    of_it = numbers(bolts)
    assert of_it["B, of bays that lean on it"] == pytest.approx(given, rel=0.01)
    store = of_it["H"] / of_it["walls that way"]
    assert bolts.demand == pytest.approx(0.6 * (store + of_it["B, of bays that lean on it"]))


def test_a_whole_building_is_pushed_by_its_bays_too() -> None:
    # Of the honey house across: wind on its store and on the roof of its bay.
    checks = strength_of(build(load_scene(SCENES["honey-house"]))).checks
    bay = numbers(next(one for one in checks if one.rule is Rule.SWAY))
    across, along = (
        numbers(next(one for one in checks if one.rule is Rule.SLIDING and way in one.place))
        for way in ("across the building", "along the building")
    )
    assert across["right bay in that"] == pytest.approx(bay["its area"])
    assert "right bay in that" not in along
    assert across["H"] == pytest.approx(across["wall pressure"] * 1e-3 * across["its area"])
