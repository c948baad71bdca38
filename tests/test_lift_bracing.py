"""What braces hold until the building does: wind, lean and what is set down on them, by moments.

A nail: 120 lb sideways for 16d common in spruce-pine-fir 1-1/2 in thick (NDS 2018, table 12N). A
person pushes 50 lb (ASCE 37-14, 4.4.1, from memory). A 2x4 is pushed up to 75 times its thickness
long while building (NDS 2018, 3.7.1.4). A quarter of what lands shoves sideways, and the places of
braces: common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from conftest import SCENES
from lifted import GRAVITY, block, item_of
from pikepole_export.derive.lifting.bracing import (
    Bracing,
    brace,
    brace_lumber,
    braces,
    landings,
    wind_moment_n_mm,
)
from pikepole_export.derive.lifting.items import Handling, Item, items
from pikepole_export.derive.lifting.loads import load_of
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Joint, Part, Stage
from pikepole_model.reading.file import load_scene
from pikepole_model.scene.schema import Scene

FOOT_MM, POUND_N, MPH = 304.8, 4.4482216, 0.44704
NAIL_N, PERSON_N = 120 * POUND_N, 50 * POUND_N


def wall(long_mm: float = 4800.0, high_mm: float = 2400.0, mass_kg: float = 100.0) -> Item:
    slab = block("wall", (high_mm, long_mm, 89), mass_kg, slope_deg=90)
    # As walls are: the length along the plate, however high.
    whole = load_of("wall", [slab], ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0)))
    return replace(item_of(slab, handling=Handling.WALL), whole=whole)


def post(high_mm: float = 2400.0) -> Item:
    return item_of(
        block("post", (high_mm, 140, 140), 50, slope_deg=90, kind=Kind.POST), handling=Handling.POST
    )


def braced(item: Item, lands_n: float = 0.0, *, on_frame: bool = True) -> Bracing:
    found = braces(item, {item.name: lands_n}, on_frame=on_frame)
    assert found
    return found


def test_a_wall_in_a_wind_worked_by_hand() -> None:
    # 8 by 16 ft in 20 mph, drag 1.3: 0.00256 x 400 = 1.024 psf (ASCE 7), 170 lb at 4 ft; at braces
    # fixed 6 ft up 114 lb, and along them at 45 deg 161 lb in all (statics).
    pressure_pa = 0.00256 * 20**2 * 47.88026 * 1.3
    moment = wind_moment_n_mm(
        pressure_pa=pressure_pa, length_mm=16 * FOOT_MM, height_mm=8 * FOOT_MM
    )
    assert moment / (4 * FOOT_MM) / POUND_N == pytest.approx(170, abs=1)
    held = brace(moment, fixed_at_mm=6 * FOOT_MM, angle_deg=45)
    assert held.horizontal_n / POUND_N == pytest.approx(114, abs=1)
    assert held.brace_n / POUND_N == pytest.approx(161, abs=1)


def test_a_brace_holds_the_wind_the_lean_and_the_shove() -> None:
    # 25 mph at which raising stops: 0.613 V2 x 1.2 Pa on 4.8 x 2.4 m at half its height; 100 kg
    # leaning 2 deg; three braces, the middle one with half of that and all of the shove, two thirds
    # of the way up.
    wind = 0.613 * (25 * MPH) ** 2 * 1.2 * 4.8 * 2.4 * 1.2
    lean = 100 * GRAVITY * 1.2 * sin(radians(2))
    level_n = (wind + lean) / 2 / 1.6 + PERSON_N * 2.4 / 1.6
    found = braced(wall())
    assert (found.braces, found.fixed_at_mm) == (3, pytest.approx(1600))
    assert found.horizontal_n == pytest.approx(level_n, rel=1e-3)
    assert found.brace_n == pytest.approx(level_n * sqrt(2), rel=1e-3)
    assert found.length_mm == pytest.approx(1600 * sqrt(2))


def test_a_wall_has_so_many_braces_that_none_buckles() -> None:
    # A 2x4 of spruce-pine-fir No. 2, 75 times as long as thick: Fc 1150 psi x CD 1.6 x CF 1.15,
    # Emin 510,000 psi (NDS Supplement, table 4A); CP by NDS 3.7.1, Ke 1, c 0.8.
    crushed, critical = 1150 * 1.6 * 1.15, 0.822 * 510_000 / (75 * 38 / 38.1) ** 2
    ratio = critical / crushed
    stable = (1 + ratio) / 1.6
    bears_n = crushed * (stable - sqrt(stable**2 - ratio / 0.8)) * 1.5 * 3.5 * POUND_N
    lumber = brace_lumber(build(load_scene(SCENES["plain"])))
    gable = wall(4700.0, 4100.0, 180.0)
    few, enough = braced(gable), braces(gable, {}, on_frame=True, lumber=lumber)
    assert enough
    assert few.braces == 3
    assert few.brace_n > bears_n
    # Four share wind and lean by three spaces where three shared them by two; one is shoved alone.
    shove = PERSON_N * 4100 / few.fixed_at_mm
    four_n = ((few.horizontal_n - shove) * 2 / 3 + shove) * sqrt(2)
    assert four_n < bears_n
    assert enough.braces == 4
    assert enough.brace_n == pytest.approx(four_n)


def test_what_lands_on_a_post_shoves_it_by_a_quarter_of_its_weight() -> None:
    # More than a person does: 2000 N / 4 at the head, two thirds up by moments 1.5 times that.
    light, heavy = braced(post()), braced(post(), 2000.0)
    assert (light.shove_n, heavy.shove_n) == (pytest.approx(PERSON_N), pytest.approx(500))
    more_n = heavy.horizontal_n - light.horizontal_n
    assert more_n == pytest.approx((500 - PERSON_N) * 1.5)
    # One along each way that it can fall takes what one person shoves, at the least.
    assert light.brace_n >= PERSON_N * 1.5 * sqrt(2)


@given(st.floats(1200, 12000), st.floats(1800, 3600), st.floats(30, 400), st.floats(0, 5000))
def test_nails_hold_what_comes_along_a_brace(
    long_mm: float, high_mm: float, mass_kg: float, lands_n: float
) -> None:
    found = braced(wall(long_mm, high_mm, mass_kg), lands_n)
    assert found.nails >= 2
    assert found.nails * NAIL_N >= found.brace_n * (1 - 1e-6)
    # No less than the wind at which raising stops.
    assert found.wind_m_s >= 25 * MPH * (1 - 1e-6)
    # At both ends and 8 ft apart at the most.
    first, *_, last = (place.tape_mm for place in found.places)
    assert (first, last) == pytest.approx((150, long_mm - 150))
    assert last - first <= (found.braces - 1) * 2400 + 1e-6
    assert found.length_mm <= 75 * 38 + 1e-6
    assert found.fixed_at_mm == pytest.approx(found.length_mm * cos(radians(45)))


def test_a_foot_on_the_ground_has_stakes_enough() -> None:
    # A wooden picket 3 in thick, 3 ft into firm loam, stands a pull of 700 lb (NAVEDTRA 14251).
    # A shove at the head is 1.5 times that two thirds up, and along 45 deg sqrt(2) times that.
    assert braced(wall(), on_frame=True).stakes == 0
    assert braced(wall(), on_frame=False).stakes == 1
    light = braced(post())
    alone_n = light.brace_n - light.shove_n * 1.5 * sqrt(2)  # of wind and lean
    shove_n = (700 * POUND_N - alone_n) / 1.5 / sqrt(2)
    for lands_n, stakes in ((0.0, 1), (4 * shove_n * 0.99, 1), (4 * shove_n * 1.01, 2)):
        assert braced(post(), lands_n).stakes == stakes


def test_the_wind_that_braces_hold_is_the_one_that_fills_their_nails() -> None:
    # Two nails, 240 lb along: 170 lb level at 1.6 m. Off that the shove and the lean; what is left
    # goes with the square of the wind.
    found = braced(wall())
    assert found.nails == 2
    lean = 100 * GRAVITY * 1.2 * sin(radians(2)) / 2
    spare = 2 * NAIL_N / sqrt(2) * 1.6 - lean - PERSON_N * 2.4
    wind = 0.613 * found.wind_m_s**2 * 1.2 * 4.8 * 2.4 * 1.2 / 2
    assert wind == pytest.approx(spare, rel=1e-3)


def test_the_heaviest_end_that_is_set_on_a_post_counts() -> None:
    # A beam of 60 kg on two posts: half on each; a rafter lies on the beam alone.
    beam = block("beam ply", (4000, 184, 76), 60, kind=Kind.BEAM, at_mm=(0, 0, 2400))
    parts: tuple[Part, ...] = (
        *(
            block(f"post {n}", (2400, 89, 89), 12, kind=Kind.POST, slope_deg=90, at_mm=(0, y, 0))
            for n, y in ((1, 89.0), (2, 4000.0))
        ),
        beam,
        block("rafter", (3000, 140, 38), 9, at_mm=(0, 0, 2584)),
    )
    joints = tuple(
        Joint(a, b, "nailed", (0.0, 0.0, 0.0))
        for a, b in (("post 1", "beam ply"), ("post 2", "beam ply"), ("beam ply", "rafter"))
    )
    building = Building(Scene.model_construct(), parts, joints, (Stage(1, "posts", parts),))
    assert landings(building, items(building)) == {
        "post 1": pytest.approx(30 * GRAVITY),
        "post 2": pytest.approx(30 * GRAVITY),
    }
