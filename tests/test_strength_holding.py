"""What holds a building down: joints that wind draws at, and the whole of it."""

from __future__ import annotations

import math

import pytest

from conftest import SCENES
from measuring import INCH, of_kind
from pikepole_export.derive.strength import wind
from pikepole_export.derive.strength.check import Check, Rating, Rule
from pikepole_export.derive.strength.plan import Strength, strength_of
from pikepole_export.derive.strength.words import rating_text
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.reading.file import load_scene
from pikepole_model.scene.site import Site
from pikepole_model.scene.ties import Ties
from pikepole_model.units import POUND_FORCE_N, STANDARD_GRAVITY_M_S2

PSF_KN_M2 = POUND_FORCE_N / (12 * INCH) ** 2 * 1000
WHOLE, ACROSS = "whole building", "across the building"


def of(strength: Strength, member: str, rule: Rule, place: str = "") -> Check:
    found = (one for one in strength.checks if (one.member, one.rule) == (member, rule))
    return next(one for one in found if place in one.place)


def numbers(check: Check) -> dict[str, float]:
    return {one.symbol: one.value for one in check.numbers}


def rated(name: str, **ties: str) -> Strength:
    scene = load_scene(SCENES[name])
    return strength_of(
        build(scene.model_copy(update={"ties": Ties.model_validate(ties), "site": Site()}))
    )


def nail_in_rim_lb() -> float:
    """What an 8d common nail of 7/16 in OSB holds in a treated rim of southern pine, in wind, lb.

    NDS 12.3.1: Fe 4650 and 5526 psi, mode IIIs, 2.0625 in deep of which the rim takes 1.5; wet in
    use 0.7, wind 1.6.
    """
    re = 5526 / 4650
    stiff = 2 * 100e3 * (2 + re) * 0.131**2 / (3 * 5526 * (7 / 16) ** 2)
    k3 = -1 + math.sqrt(2 * (1 + re) / re + stiff)
    return k3 * 0.131 * 7 / 16 * 5526 / ((2 + re) * 2.2) * 1.6 * 0.7


def test_wind_on_walls_and_roof_of_the_whole() -> None:
    # Published example of an L-shaped building, ASCE 7-16 in SI: qh 1271.2 Pa; leeward wall of Cp
    # -0.5, -540.3 Pa; roof along the ridge, 0 to h, of Cp -0.9, -972.5 Pa. Windward, Cp 0.8 of qh.
    q = 1.2712
    assert wind.wall_push(q) == pytest.approx(0.5403 * 1.3 / 0.5, abs=2e-4)
    assert wind.roof_lift(q, 0.4) + 0.18 * q == pytest.approx(-0.9725, abs=1e-4)
    # ASCE 7-16 27.1.5: no less than 16 psf on walls. Figure 27.3-1: -1.3 from h/L 1.0 on.
    assert wind.wall_push(0.1) == pytest.approx(16 * PSF_KN_M2, rel=1e-3)
    assert wind.roof_lift(q, 1.2) == pytest.approx(q * (0.85 * -1.3 - 0.18))


def test_a_small_shed_by_hand() -> None:
    # 8 by 6 ft, its walls 7 ft 6 in and 1 ft higher in front with a roof of 2:12; on skids of 3-1/2
    # and a floor of 5-1/2 + 23/32 in. 115 mph, exposure C at under 15 ft: 0.00256 x 0.849 x 0.85 x
    # 115^2 = 24.4 psf, x 0.85 x 1.3 = 27.0 psf.
    found = rated("plain")
    slides = of(found, WHOLE, Rule.SLIDING, ACROSS)
    of_it = numbers(slides)
    pressure = 0.00256 * 0.849 * 0.85 * 115**2 * 0.85 * 1.3
    assert of_it["wall pressure"] / PSF_KN_M2 == pytest.approx(pressure, rel=2e-3)
    left = 0.6 * (of_it["D"] - of_it["Wm"])
    assert slides.capacity == pytest.approx(max(0.0, 0.35 * left))
    tips = of(found, WHOLE, Rule.TIPPING, ACROSS)
    # Nothing but its own weight keeps it from tipping: by half its depth at most.
    assert tips.capacity <= 0.6 * of_it["D"] * 72 * INCH / 2


def test_anchors_count_by_their_rating_alone() -> None:
    without, rates = rated("honey-house"), rated("honey-house", anchor_rating="500 lb")
    for rule in (Rule.SLIDING, Rule.TIPPING):
        one, other = (of(one, WHOLE, rule, ACROSS) for one in (without, rates))
        assert one.demand == pytest.approx(other.demand)
        assert one.ratio > other.ratio
    each = 500 * 0.45359237 * STANDARD_GRAVITY_M_S2
    slides, slid = (of(one, WHOLE, Rule.SLIDING, ACROSS) for one in (without, rates))
    left = 0.6 * (numbers(slid)["D"] - numbers(slid)["Wm"])
    expected = 6 * each + (0.35 * left if left > 0 else left)
    assert slid.capacity == pytest.approx(expected)
    assert slides.capacity == pytest.approx(max(0.0, 0.35 * left))


def test_the_rating_that_bought_steel_must_have() -> None:
    # By hand, from the numbers of each check: what friction, weight and nails leave, over the
    # anchors; all of it for one base and one hold-down. Told in steps of 50 lb, rounded up.
    found = rated("honey-house")
    slides = of(found, WHOLE, Rule.SLIDING, ACROSS)
    of_it = numbers(slides)
    left = 0.6 * (of_it["D"] - of_it["Wm"])
    each = (0.6 * of_it["H"] - (0.35 * left if left > 0 else left)) / of_it["anchors"]
    assert slides.rating
    assert slides.rating.least_n == pytest.approx(each)
    told = f'ties.anchor_rating = "{50 * math.ceil(each / POUND_FORCE_N / 50)} lb"'
    assert rating_text(slides.rating, "imperial") == told
    base = next(one for one in found.checks if one.rating and "base" in one.rating.key)
    assert base.rating == Rating("ties.base_rating", base.demand)
    # Given as told, nothing that such steel holds is over its rule; with 50 lb less something is.
    keys = {one.rating.key for one in found.checks if one.is_over and one.rating}
    assert keys >= {"ties.anchor_rating", "ties.base_rating", "ties.hold_down_rating"}
    least = {
        key.partition(".")[2]: 50 * math.ceil(max(rates) / POUND_FORCE_N / 50)
        for key in keys
        if (rates := [c.rating.least_n for c in found.checks if c.rating and c.rating.key == key])
    }
    as_told = rated("honey-house", **{key: f"{lb} lb" for key, lb in least.items()})
    assert not [one for one in as_told.checks if one.is_over and one.rating]
    for key, lb in least.items():
        less = rated("honey-house", **{key: f"{lb - 50} lb"}) if lb > 50 else found
        rows = [one.rating for one in less.checks if one.is_over and one.rating]
        assert any(one.key == f"ties.{key}" for one in rows), key


def test_a_floor_on_skids_is_held_by_its_ties_alone() -> None:
    # Without what the skids weigh, against the same wind as the whole: ASCE 7-16 27.3.1, C2.4.1.
    # A tie counts by its rating, as far from the edge that the floor tips over as it is.
    lies = "floor on its skids or girders"
    without, rates = rated("honey-house"), rated("honey-house", floor_rating="450 lb")
    whole = of(without, WHOLE, Rule.TIPPING, ACROSS)
    bare, tied = (of(one, lies, Rule.TIPPING, ACROSS) for one in (without, rates))
    assert bare.demand == pytest.approx(tied.demand)
    assert numbers(bare)["D"] < numbers(whole)["D"]
    assert bare.is_over
    each = 450 * 0.45359237 * STANDARD_GRAVITY_M_S2
    house = build(load_scene(SCENES["honey-house"]))
    floor = [part.centre_mm[1] for part in of_kind(house, Kind.FLOOR_TIE)]
    skids = [part.centre_mm[1] for part in of_kind(house, Kind.SKID)]
    arms = (
        sum(max(0.0, y - min(skids)) for y in floor),
        sum(max(0.0, max(skids) - y) for y in floor),
    )
    added = tied.capacity - 0.6 * numbers(tied)["Md, D by its arms"]
    assert any(added == pytest.approx(each * arm) for arm in arms)


def test_rafters_are_held_by_nails_or_by_what_a_tie_is_rated_for() -> None:
    # Three 10d toe-nails in SPF hold 139 lb in wind (NDS 12.2.3, 12.5.4); IRC R802.11, exception
    # 1, lets the schedule's alone hold 200 lb. A tie of 450 lb counts alone, not beside them.
    nailed = rated("honey-house")
    rafter = next(
        one for one in nailed.checks if one.rule is Rule.UPLIFT and one.member.startswith("rafter")
    )
    assert rafter.capacity == pytest.approx(200 * POUND_FORCE_N)
    drawn = numbers(rafter)["toe-nails by the NDS"]
    assert drawn / POUND_FORCE_N == pytest.approx(139, abs=0.5)
    tied = rated("honey-house", rafter_rating="450 lb")
    assert of(tied, rafter.member, Rule.UPLIFT).capacity / POUND_FORCE_N == pytest.approx(450)


def test_walls_on_a_floor_are_held_by_their_sheets() -> None:
    # 8d common nails of the sheets in rim and end joists.
    each = nail_in_rim_lb()
    wall = next(
        one
        for one in rated("honey-house").checks
        if one.rule is Rule.UPLIFT and one.member == "back wall"
    )
    held = numbers(wall)["nails of the sheets in the floor frame"] / POUND_FORCE_N
    assert held / each == pytest.approx(round(held / each), abs=0.02)


def ends_of(strength: Strength, wall: str) -> Check:
    return of(strength, wall, Rule.WALL_END)


def test_what_wind_pulls_up_at_the_end_of_a_braced_wall() -> None:
    # SDPWS 4.3.6.1.1: T = v h; a wall 8 ft high and long under 2,500 lb has 312.5 plf (published
    # example), and so 2,500 lb at its ends. Half of what weighs on it restores, x 0.6.
    end = ends_of(rated("honey-house"), "left wall")
    of_it = numbers(end)
    # A window of 2 ft 6 in in the middle of 9 ft; 7 ft high at the back with a beam of 7-1/4 in on
    # that, under a roof of 3:12: in the middle its plates are at 8 ft 8-3/4 in.
    assert of_it["b, of its whole pieces"] == pytest.approx((108 - 30) * INCH)
    assert of_it["h, its mean height"] == pytest.approx((84 + 7.25 + 13.5) * INCH, rel=0.01)
    assert of_it["walls that way"] == 2
    assert of_it["H"] == pytest.approx(of_it["wall pressure"] * 1e-3 * of_it["its area"])
    shear = of_it["H"] / 2 / of_it["b, of its whole pieces"]
    pulled = shear * of_it["h, its mean height"] - (of_it["D"] - of_it["Wm"]) / 2
    assert end.demand == pytest.approx(0.6 * pulled)


def test_nails_that_hold_the_end_of_a_braced_wall() -> None:
    # 24 in of its foot have four nails at 6 in, which take their share of the wind along it too;
    # round the corner the front wall has 14 in beside its door, with two.
    found = rated("honey-house")
    end = ends_of(found, "left wall")
    of_it = numbers(end)
    assert "right end" in end.place
    each, along = nail_in_rim_lb(), 0.6 * of_it["H"] / 2 / of_it["N, along the wall"]
    held = 4 * math.sqrt(each**2 - (along / POUND_FORCE_N) ** 2) + 2 * each
    assert end.capacity / POUND_FORCE_N == pytest.approx(held, rel=1e-3)
    # In 9 ft of foot there are 18 at least.
    assert 18 <= of_it["N, along the wall"] <= 20


def test_a_return_or_a_rated_hold_down_at_the_end_of_a_braced_wall() -> None:
    # IRC R602.10.7 (from memory): a sheeted return of 24 in takes the place of 800 lb; so does a
    # piece of 48 in at the corner, as the back wall of the honey house has beside its window.
    for name, wall in (("plain", "left wall"), ("honey-house", "back wall")):
        assert ends_of(rated(name), wall).capacity == pytest.approx(800 * POUND_FORCE_N)
    # A hold-down counts where these are less than what is pulled, by its rating alone.
    tied = rated("honey-house", hold_down_rating="1500 lb")
    assert ends_of(tied, "left wall").capacity == pytest.approx(1500 * POUND_FORCE_N)
    assert ends_of(tied, "back wall").capacity == pytest.approx(800 * POUND_FORCE_N)


def test_bolts_count_as_thick_as_they_are_bought() -> None:
    # M12 through a beam into the tongue of its post: mode IV by NDS Table 12.3.1A, across the
    # beam's grain, Kt 1.25, so Rd 3.2 x 1.25; two bolts, wet in use 0.7, wind 1.6.
    beam = next(one for one in rated("boat-rack").checks if "tongue" in one.limit)
    of_it = numbers(beam)
    assert of_it["its D"] == pytest.approx(12.0)
    fem, re = of_it["Fem"], of_it["Fem"] / of_it["Fes"]
    z = 12**2 / 4 * math.sqrt(2 * fem * of_it["Fyb"] / (3 * (1 + re)))
    assert of_it["Z, mode IV"] == pytest.approx(z)
    assert beam.capacity == pytest.approx(2 * z * 1.6 * 0.7)


def test_walls_on_a_slab_are_held_by_their_bolts() -> None:
    # Left and right wall each take half of what pushes on the store above half its walls' height;
    # NDS Table 12E: 680 lb a bolt in southern pine (from memory), x 1.6 for wind x 0.7 for wet.
    found = rated("tool-store")
    wall = of(found, "left wall", Rule.SLIDING, "along its plates")
    of_it = numbers(wall)
    assert wall.demand == pytest.approx(0.6 * of_it["H"] / 2)
    assert of_it["H"] == pytest.approx(of_it["wall pressure"] * 1e-3 * of_it["its area"])
    assert wall.capacity / POUND_FORCE_N == pytest.approx(of_it["n"] * 680 * 1.6 * 0.7, rel=0.01)
    # The front wall takes 0.8 of 0.8 + 0.5 of what pushes below that height, across its plates:
    # 410 lb a bolt.
    front = of(found, "front wall", Rule.SLIDING, "across its plates")
    assert front.demand == pytest.approx(0.6 * numbers(front)["H"] * 0.8 / 1.3)
    held = numbers(front)["n"] * 410 * 1.6 * 0.7
    assert front.capacity / POUND_FORCE_N == pytest.approx(held, rel=0.01)
    whole = numbers(of(found, WHOLE, Rule.TIPPING, ACROSS))["H"]
    assert of_it["H"] + numbers(front)["H"] == pytest.approx(whole)


def test_a_whole_building_on_a_slab_is_held_by_washers() -> None:
    # A washer of 3 in square less the bolt of 1/2 in on southern pine, Fc-perp 565 psi, wet 0.67;
    # Cb (lb + 3/8) / lb is for bearings 3 in and more from an end, which is not counted on.
    found = rated("tool-store")
    tips = of(found, WHOLE, Rule.TIPPING, ACROSS)
    each = 565 * 0.67 * (9 - math.pi / 16)
    assert numbers(tips)["each"] / POUND_FORCE_N == pytest.approx(each, rel=1e-3)
    of_it = numbers(tips)
    moment = of_it["H"] * of_it["h"] + of_it["Mw, Wm by its arms"]
    assert tips.demand == pytest.approx(0.6 * moment)
    rights = 0.6 * of_it["Md, D by its arms"] + of_it["Ma, anchors by theirs"]
    assert tips.capacity == pytest.approx(rights)


def test_caps_and_bases_count_by_their_rating_alone() -> None:
    # What draws at a base is what draws at the beam over it, less the post's own weight.
    def pair(strength: Strength) -> tuple[Check, Check]:
        cap = next(one for one in strength.checks if "cap" in one.place)
        base = next(one for one in strength.checks if one.place.startswith("off "))
        return cap, base

    without, rates = (
        pair(rated("boat-rack", **ties))
        for ties in ({}, {"cap_rating": "700 lb", "base_rating": "800 lb"})
    )
    for one in without:
        assert one.capacity == 0
        assert one.is_over
    for one, pounds in zip(rates, (700, 800), strict=True):
        assert one.capacity / POUND_FORCE_N == pytest.approx(pounds)
    assert [one.demand for one in without] == pytest.approx([one.demand for one in rates])
