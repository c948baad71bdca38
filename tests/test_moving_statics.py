"""What bears a building that is moved, against statics worked out by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blocks import joined, lumber
from conftest import SCENES
from draws import draws
from pikepole_export.derive.moving.bending import bend_members
from pikepole_export.derive.moving.carried import (
    ON_JACKS,
    ON_MACHINE,
    ON_ROAD,
    carried,
    value_of,
)
from pikepole_export.derive.moving.design_values import wood_values
from pikepole_export.derive.moving.plan import MovePlan, plan_moves
from pikepole_export.derive.moving.structure import SIDES, moved_after
from pikepole_export.derive.moving.tipping import members_within
from pikepole_export.derive.moving.trailer import tongue_share
from pikepole_export.derive.strength.lever import shares_of
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.reading.file import load_scene
from pikepole_model.scene.crew import Crew, Jack
from pikepole_model.scene.moving import Move, Trailer
from pikepole_model.scene.own_stock import Stock
from pikepole_model.scene.schema import Store
from pikepole_model.scene.timber import Moisture, Timber

GRAVITY = 9.80665  # 3rd CGPM, 1901
PSI = 0.45359237 * GRAVITY / 25.4**2  # N/mm2
LOW, LIKELY, HIGH = 400.0, 450.0, 500.0  # kg/m3 of the sticks

# Three skids 4 m long, 100 broad and 200 deep, at 0, 1000 and 2000 from the front: 40 kg each wet.
SKIDS = tuple(
    lumber(f"skid {k}", Kind.SKID, (0, y, 0), (4000, y + 100, 200))
    for k, y in ((1, 0.0), (2, 1000.0), (3, 2000.0))
)
SKID_KG = 4.0 * 0.1 * 0.2 * HIGH


def standing(*more: Part, crew: Crew | None = None, **words: Any) -> Building:
    """The skids with what stands on them, and a move; metric."""
    building = joined((*SKIDS, *more), [])
    move = Move.model_validate({"after": "Blocks", "fork": "2.5 m", **words})
    update: dict[str, Any] = {
        "move": move,
        "crew": crew or Crew(),
        "lumber": Timber(),
        "stock": Stock(),
        "moisture": Moisture(),
        "building": Store.model_construct(length=4000.0, depth=2100.0),
    }
    scene = building.scene.model_copy(update=update)
    return replace(building, scene=scene)


def plan_of(building: Building) -> MovePlan:
    plan = plan_moves(building).plan
    assert plan
    return plan


# The lever rule


@pytest.mark.parametrize(
    ("low", "high", "shares"),
    [
        # In one place between two: the nearer has more.
        (250, 250, [0.75, 0.25, 0.0]),
        # Even from the first to the last: as simple spans, 1/4, 1/2 and 1/4.
        (0, 2000, [0.25, 0.5, 0.25]),
        # Over the middle one alone.
        (1000, 1000, [0.0, 1.0, 0.0]),
        # A lever past the last: 500 out on a span of 1000 puts 1-1/2 on it and draws up 1/2.
        (2500, 2500, [0.0, -0.5, 1.5]),
        # Even from 0 to 500, its middle 250 from the first.
        (0, 500, [0.75, 0.25, 0.0]),
    ],
)
def test_members_share_by_the_lever_rule(low: float, high: float, shares: list[float]) -> None:
    assert shares_of([0, 1000, 2000], low, high) == pytest.approx(shares)


@draws(40)
@given(
    st.lists(st.integers(0, 100), min_size=2, max_size=6, unique=True),
    st.floats(-50, 150),
    st.floats(0, 120),
)
def test_shares_have_the_sum_and_the_moment(places: list[int], low: float, long: float) -> None:
    at = sorted(float(place) for place in places)
    shares = shares_of(at, low, low + long)
    assert sum(shares) == pytest.approx(1)
    moment = sum(share * place for share, place in zip(shares, at, strict=True))
    assert moment == pytest.approx(low + long / 2, abs=1e-6)


# Bending by statics, not by stiffness


def test_the_member_that_is_loaded_bends_and_not_the_one_beside_it() -> None:
    # 500 kg over skid 2 alone, spread over its length, beside its own 40: w = 540 g / 4000 N/mm on
    # supports 800 in from the ends. Hogging w a2 / 2, sagging w s2 / 8 less that, s = 2400. The
    # stack is as broad as the skid, 50 to each side of its middle: of each half 25 / 1000 goes by
    # the lever to the next skid, 500 / 2 x 0.025.
    aside = 500 / 2 * 0.025
    stack = lumber("stack", Kind.STUD, (0, 1000, 200), (4000, 1100, 2700))
    moved = moved_after(standing(stack), standing(stack).stages[0])
    assert moved.mass.high_kg == pytest.approx(3 * SKID_KG + 500)
    rows = list(
        bend_members(
            moved.parts,
            SIDES["front"],
            [(skid, None) for skid in SKIDS],
            supports_mm=(800, 3200),
            bearing_mm=100,
            impact=1.0,
        )
    )
    carried_kg = (SKID_KG + aside, SKID_KG + 500 - 2 * aside, SKID_KG + aside)
    for row, mass_kg in zip(rows, carried_kg, strict=True):
        w = mass_kg * GRAVITY / 4000
        hogging = w * 800**2 / 2
        sagging = w * 2400**2 / 8 - hogging
        assert row.carries.high_kg == pytest.approx(mass_kg)
        assert row.bending.hogging_n_mm == pytest.approx(hogging)
        assert row.bending.sagging_n_mm == pytest.approx(sagging)
        assert row.stress_n_mm2 == pytest.approx(max(hogging, sagging) / (100 * 200**2 / 6))


def test_two_members_that_bear_have_what_moments_say() -> None:
    # Balanced 950 of 1000 mm from the first to the second: 5 % and 95 %, the third one hanging out.
    moved = moved_after(standing(), standing().stages[0])
    heavy = lumber("rack", Kind.STUD, (0, 1425, 200), (4000, 1475, 700))
    parts = (*moved.parts, heavy)
    rows = list(
        bend_members(
            parts,
            SIDES["front"],
            [(skid, None) for skid in SKIDS[:2]],
            supports_mm=(800, 3200),
            bearing_mm=100,
            impact=1.0,
        )
    )
    # Moments about skid 1, whose middle is at 50: 40 x 1000 + 40 x 2000 + 50 x 1400.
    second = (SKID_KG * 3000 + 50 * 1400) / 1000
    assert rows[1].carries.high_kg == pytest.approx(second)
    assert rows[0].carries.high_kg == pytest.approx(3 * SKID_KG + 50 - second)


def test_reference_values_are_those_of_the_supplement() -> None:
    # NDS Supplement 2015, No. 2: Table 4B southern pine 2x6 1000, 2x8 925, 2x10 800, 2x12 750;
    # Table 4A Fb CF: spruce-pine-fir 2x6 875 x 1.3, hem-fir 2x10 850 x 1.1 (a published example:
    # Missouri S&T problem 4.30, 850 x 1.15 x 1.1 x 1.15 = 1,237 psi, with snow and repetition),
    # douglas fir-larch 2x8 900 x 1.2; Table 4D 6x6 posts southern pine 850, spruce-pine-fir 500.
    inches = [
        ("southern pine", 3.5, 5.5, 1000),
        ("southern pine", 1.5, 7.25, 925),
        ("southern pine", 1.5, 9.25, 800),
        ("southern pine", 3.5, 11.25, 750),
        ("southern pine", 5.5, 5.5, 850),
        ("spruce-pine-fir", 1.5, 5.5, 875 * 1.3),
        ("spruce-pine-fir", 5.5, 5.5, 500),
        ("hem-fir", 1.5, 9.25, 1237 / 1.15 / 1.15),
        ("douglas fir-larch", 1.5, 7.25, 900 * 1.2),
        # 6x12 is a beam: more than 2 in deeper than it is thick.
        ("douglas fir-larch", 5.5, 11.5, 875),
    ]
    for species, breadth, depth, psi in inches:
        value = wood_values(
            species,
            "No. 2",
            breadth_mm=breadth * 25.4,
            depth_mm=depth * 25.4,
            treated=False,
            wet=False,
        )
        assert value
        assert value.bending.value_n_mm2 == pytest.approx(psi * PSI, rel=1e-3)
    # Wet 0.85 where it is over 1150 psi, incised 0.80: SPF 2x4 875 x 1.5 = 1312.5. Southern pine
    # 4x6 is at 1000, and not incised.
    wet = wood_values(
        "spruce-pine-fir", "No. 2", breadth_mm=38.1, depth_mm=88.9, treated=True, wet=True
    )
    assert wet
    assert wet.bending.value_n_mm2 == pytest.approx(1312.5 * 0.85 * 0.80 * PSI)
    southern = wood_values(
        "southern pine", "No. 2", breadth_mm=88.9, depth_mm=139.7, treated=True, wet=True
    )
    assert southern
    assert southern.bending.value_n_mm2 == pytest.approx(1000 * PSI)
    oak = wood_values(
        "mixed oak", "No. 2", breadth_mm=88.9, depth_mm=139.7, treated=False, wet=False
    )
    assert oak is None


@pytest.mark.parametrize(("grade", "psi"), [("No. 1", 1350), ("No. 2", 1000), ("No. 3", 575)])
def test_skids_are_of_the_grade_that_the_scene_gives(grade: str, psi: float) -> None:
    # NDS Supplement Table 4B, southern pine 5-1/2 in deep; under 1150 psi not less for being wet,
    # over it 0.85.
    scene = load_scene(SCENES["honey-house"])
    lumber = scene.lumber.model_copy(update={"treated_grade": grade})
    building = build(scene.model_copy(update={"lumber": lumber}))
    skid = next(part for part in building.parts if part.kind is Kind.SKID)
    value = value_of(building, skid)
    assert value
    wet = 0.85 if psi > 1150 else 1.0
    assert value.bending.value_n_mm2 == pytest.approx(psi * wet * PSI, rel=1e-3)


def test_jerks_are_counted_by_published_factors() -> None:
    # 1.4 for lifts by mobile machines (guidance for precast concrete), 20 % of light machinery
    # (ASCE 7-16 4.6.3), 33 % of road vehicles (AASHTO LRFD 3.6.2): all by analogy.
    assert (ON_MACHINE.factor, ON_JACKS.factor, ON_ROAD.factor) == (1.4, 1.2, 1.33)


# Tipping


def on_lines(fork_mm: float, building: Building | None = None) -> Any:
    building = building or standing()
    moved = moved_after(building, building.stages[0])
    return carried(
        building,
        moved,
        SIDES["front"],
        lines_mm=(1000, 3000),
        begins_mm=0.0,
        reach_mm=fork_mm,
        tips_mm=fork_mm,
        bearing_mm=100,
        impact=ON_MACHINE,
    )


@pytest.mark.parametrize(
    ("fork_mm", "bear", "far_mm"),
    [
        # The skids balance at 1050. All of a skid's breadth is over the forks, or it does not bear.
        (2100, 3, 2050 - 1050),
        (2099, 2, 1050 - 1050),
        (1100, 2, 1050 - 1050),
        (1099, 1, 50 - 1050),
        (99, 0, 0 - 1050),
    ],
)
def test_margins_are_taken_from_what_really_bears(fork_mm: float, bear: int, far_mm: float) -> None:
    found = on_lines(fork_mm)
    assert len(found.members) == bear
    assert found.unsupported == tuple(skid.name for skid in SKIDS[bear:])
    assert found.margins.far.least_mm == pytest.approx(far_mm)
    assert (found.margins.left.least_mm, found.margins.right.least_mm) == (1000, 1000)
    # Balanced 100 over the ground: 1.5 x 10 % of that is asked for.
    assert found.margins.height_mm == pytest.approx(100)
    assert found.margins.asked_mm == pytest.approx(15)
    assert found.margins.tips_at_deg(found.margins.left) == pytest.approx(
        math.degrees(math.atan(1000 / 100))
    )


def test_wet_skids_under_a_dry_load_move_the_balance() -> None:
    # A load at 1950 to 2050 that weighs 40 kg however wet it is: dry, likely and wet, the skids
    # weigh 32, 36 and 40. Moments: (3 m x 1050 + 40 x 2000) / (3 m + 40).
    dry = lumber("load", Kind.STUD, (0, 1950, 200), (4000, 2050, 400))
    dry = replace(dry, material=replace(dry.material, density_kg_m3=(500.0, 500.0, 500.0)))
    margins = on_lines(2100, standing(dry)).margins
    for mass_kg, found in (
        (32, margins.far.low_mm),
        (36, margins.far.likely_mm),
        (40, margins.far.high_mm),
    ):
        balance = (3 * mass_kg * 1050 + 40 * 2000) / (3 * mass_kg + 40)
        assert found == pytest.approx(2050 - balance)
    assert margins.far.least_mm == margins.far.low_mm


@draws(25)
@given(st.integers(0, 2500), st.integers(0, 500))
def test_a_longer_fork_never_supports_fewer(fork_mm: int, more_mm: int) -> None:
    shorter, longer = on_lines(fork_mm), on_lines(fork_mm + more_mm)
    assert len(longer.members) >= len(shorter.members)
    assert longer.margins.far.least_mm >= shorter.margins.far.least_mm


@draws(40)
@given(
    st.lists(st.floats(0, 5000), min_size=1, max_size=6),
    st.floats(0, 5000),
    st.floats(0, 2000),
    st.floats(0, 2000),
)
def test_more_margin_never_needs_fewer(
    places: list[float], centre: float, margin: float, more: float
) -> None:
    less = members_within(sorted(places), centre_mm=centre, margin_mm=margin)
    most = members_within(sorted(places), centre_mm=centre, margin_mm=margin + more)
    assert most is None or (less is not None and most >= less)


# Carrying beams


def test_carrying_beams_bend_at_the_tips_of_the_forks() -> None:
    # Forks 1500 long, 2000 apart about the middle; beams of 2200 mm, 89 x 140 mm. Each skid's 40 kg
    # lie half on each: skid 3 at 2050 is 550 past the tips. The beam weighs 0.0889 x 0.1397 x 2.2
    # m3 of spruce at 19 %: what is past the tips, 700 mm, bends it by w 700^2 / 2.
    beams = {"section": "4x6", "length": "2200 mm"}
    plan = plan_of(standing(beams=beams, fork="1500 mm", fork_spacing="2 m"))
    assert plan.on_forks
    beam = plan.on_forks.beam
    assert beam
    assert len(plan.on_forks.frame.members) == 3
    per_mm = beam.mass.high_kg * GRAVITY / 2200
    moment = SKID_KG * GRAVITY / 2 * 550 + per_mm * 700**2 / 2
    assert beam.stress_n_mm2 == pytest.approx(moment / (88.9 * 139.7**2 / 6))
    # 62.4 x 0.42 / (1 + 0.009 x 0.42 x 19) x 1.19 lb/ft3 (NDS Supplement 3.1.3).
    density = 62.4 * 0.42 / (1 + 0.009 * 0.42 * 19) * 1.19 * 0.45359237 / 0.3048**3
    assert beam.mass.high_kg == pytest.approx(0.0889 * 0.1397 * 2.2 * density)
    assert beam.mass.low_kg < beam.mass.likely_kg < beam.mass.high_kg
    # They lie on the forks, about the balance at 2000, and the building tips over the tips.
    assert beam.at_mm == pytest.approx((1000, 3000))
    assert plan.on_forks.frame.margins.far.least_mm == pytest.approx(1500 - 1050)
    # The truck lifts them too: (120 x 1050 + 2 m x 1100) / (120 + 2 m).
    lifts = plan.on_forks.lifts
    assert lifts.mass_kg == pytest.approx(3 * SKID_KG + 2 * beam.mass.high_kg)
    assert lifts.moment_kg_mm == pytest.approx(3 * SKID_KG * 1050 + 2 * beam.mass.high_kg * 1100)


# Jacks


def test_corners_of_a_jacked_building_by_moments() -> None:
    # Jacks 800 in from the ends of the outer skids, so at 800 and 3200 along, and 50 and 2050 in.
    # 120 kg of skids stand evenly on all four; a block of 60 kg at (1400, 550): along 3/4 to the
    # left, in 3/4 to the front.
    block = lumber("block", Kind.STUD, (1300, 400, 200), (1500, 700, 2200))
    plan = plan_of(standing(block, way="jacks"))
    loads = {one.name: one.mass for one in plan.on_jacks.corners}
    assert plan.on_jacks.inset_mm == pytest.approx(800)
    for name, share in (
        ("front left", 9 / 16),
        ("back left", 3 / 16),
        ("front right", 3 / 16),
        ("back right", 1 / 16),
    ):
        assert loads[name].high_kg == pytest.approx(30 + 60 * share)
        assert loads[name].low_kg == pytest.approx((30 + 60 * share) * LOW / HIGH)
        assert loads[name].likely_kg == pytest.approx((30 + 60 * share) * LIKELY / HIGH)
    assert plan.on_jacks.end_kg == pytest.approx(60 + 60 * 3 / 4)


def test_a_jacked_building_goes_up_stroke_by_stroke_and_down_again() -> None:
    # 300 mm by a jack of 120 with cribbing of 90: 90, 180, 270, 300: four settings, three layers.
    jack = Jack.model_validate(
        {"kind": "jack", "rating": "2 t", "stroke": "120 mm", "layer": "90 mm"}
    )
    plan = plan_of(standing(crew=Crew(gear=(jack,)), way="jacks", height="300 mm"))
    cribs = plan.on_jacks.cribs
    assert cribs
    assert (cribs.settings, cribs.layers) == (4, 3)
    assert cribs.heights_mm == pytest.approx((90, 180, 270, 300))
    told = " ".join(one.text for one in plan.conduct.down)
    assert "300 mm in 4 strokes at each corner" in told
    assert [one.name for one in plan.on_jacks.corners][:2] == ["front left", "back left"]


def test_it_goes_up_by_what_goes_under_it() -> None:
    # Skids on the ground: 2-1/2 in of fork and a 4x6 on edge, 1-1/2 in of plank and a pipe of 60,
    # a deck at 500; and an inch to draw it out.
    beams = {"section": "4x6", "length": "2200 mm"}
    pipes = {"count": 8, "diameter": "60 mm", "length": "4 m", "rating": "2 t"}
    ways: list[tuple[dict[str, Any], float]] = [
        ({"way": "forks"}, 63.5 + 25.4),
        ({"way": "forks", "beams": beams, "fork": "2 m"}, 63.5 + 139.7 + 25.4),
        ({"way": "rollers", "side": "left", "pipes": pipes}, 38.1 + 60 + 25.4),
        ({"way": "trailer", "trailer": TRAILER}, 500 + 25.4),
        ({"way": "jacks", "height": "250 mm"}, 250),
    ]
    for words, rise_mm in ways:
        assert plan_of(standing(**words)).on_jacks.rise_mm == pytest.approx(rise_mm)


# Pipes and a trailer

TRAILER = {
    "deck_length": "4 m",
    "deck_width": "2.2 m",
    "deck_height": "500 mm",
    "hitch": "1500 mm",
    "axle": "2500 mm",
    "rating": "2 t",
    "tongue_rating": "100 kg",
}


def test_skids_on_the_outermost_two_pipes() -> None:
    # Eight pipes, two ahead: six under 4000 mm, 667 apart and in from the ends. A skid of 40 kg on
    # two of them: w (L/2 - a) between, 0.0981 N/mm.
    pipes = {"count": 8, "diameter": "60 mm", "length": "4 m", "rating": "2 t"}
    found = plan_of(standing(way="rollers", side="left", pipes=pipes)).on_pipes
    assert found
    a = 4000 / 6
    assert (found.under, found.spacing_mm) == (6, pytest.approx(a))
    w = SKID_KG * GRAVITY / 4000
    sagging = w * (4000 - 2 * a) ** 2 / 8 - w * a**2 / 2
    for one in found.frame.members:
        assert one.bending.sagging_n_mm == pytest.approx(sagging)
    # Where it rocks over one pipe that has all of it, and light machinery's 20 %.
    assert found.pipe_kg == pytest.approx(3 * SKID_KG * 1.2)


def test_the_tongue_has_its_share_by_moments_about_the_axles() -> None:
    # Hitch 1500 and axles 2500 from the deck's front: 4000 from one to the other. 12 % on the
    # tongue: the balance 480 in front of the axles, at 2020 of the deck.
    found = plan_of(standing(way="trailer", trailer=TRAILER)).on_trailer
    assert found
    assert found.centre_mm == pytest.approx(2020)
    assert found.begins_mm == pytest.approx(2020 - 1050)
    assert found.tongue.high_kg == pytest.approx(3 * SKID_KG * 0.12)
    assert found.tongue.low_kg <= found.tongue.likely_kg <= found.tongue.high_kg
    assert found.axles.high_kg == pytest.approx(3 * SKID_KG * 0.88)
    trailer = Trailer.model_validate(TRAILER)
    assert tongue_share(trailer, 2500) == 0
    assert tongue_share(trailer, -1500) == 1
    # Skids across the deck bear at its edges, 900 in from their ends: hogging w a2 / 2.
    w = SKID_KG * GRAVITY / 4000
    assert found.frame.members[0].bending.hogging_n_mm == pytest.approx(w * 900**2 / 2)


# Low, likely and high


@draws(12)
@given(st.integers(0, 3000), st.integers(0, 1800), st.integers(100, 900))
def test_low_is_no_more_than_likely_and_likely_than_high(x: int, y: int, size: int) -> None:
    block = lumber("block", Kind.STUD, (x, y, 200), (x + size + 100, y + size / 10, 600))
    plan = plan_of(standing(block, way="trailer", trailer=TRAILER))
    assert plan.on_trailer
    masses = [one.mass for one in plan.on_jacks.corners if one.mass.low_kg > 0]
    masses += [plan.on_trailer.tongue, plan.on_trailer.axles, plan.row.mass]
    for mass in masses:
        assert mass.low_kg <= mass.likely_kg <= mass.high_kg
    total = sum(one.mass.high_kg for one in plan.on_jacks.corners)
    assert total == pytest.approx(plan.row.mass.high_kg)
