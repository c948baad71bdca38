"""Posts that knee braces hold upright, against statics by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from conftest import FORMS
from measuring import INCH
from pikepole_export.derive.strength.check import Check, Rule
from pikepole_export.derive.strength.descent import paths_of
from pikepole_export.derive.strength.plan import strength_of
from pikepole_export.derive.strength.sway import Sway, sways_of
from pikepole_model.build import build
from pikepole_model.building.part import Building
from pikepole_model.reading.file import load_scene
from pikepole_model.units import POUND_FORCE_N


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
