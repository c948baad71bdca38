"""A tripod: what its legs carry and what turns it over, by statics; who is counted at a machine."""

from __future__ import annotations

from math import inf, sqrt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lifted import block, item_of
from pikepole_export.derive.lifting.approach import OPEN_GROUND
from pikepole_export.derive.lifting.hands import Lifter
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.machine_kinds import MachineKind
from pikepole_export.derive.lifting.machines import Machine, machines, smallest_to_bring, unfit
from pikepole_export.derive.lifting.tripod import (
    LEAST_MARGIN,
    chain_mm,
    farthest_mm,
    margin,
    tripod,
)
from pikepole_model.building.kinds import Kind
from pikepole_model.scene.crew import Crew

FOOT_MM = 304.8


def test_legs_of_12_ft_with_feet_7_ft_apart() -> None:
    # 1000 lb: feet 7 / sqrt 3 = 4.041 ft from the middle, the head sqrt(144 - 16.33) = 11.30 ft up;
    # a leg W L / (3 h) = 354 lb, out at a foot W r / (3 h) = 119 lb (statics).
    head_mm = sqrt(144 - 49 / 3) * FOOT_MM
    found = tripod(1000, head_mm=head_mm, spread=7 / 12)
    assert found.leg_mm == pytest.approx(12 * FOOT_MM)
    assert found.spread_mm == pytest.approx(7 * FOOT_MM)
    assert found.leg_n == pytest.approx(354, abs=0.5)
    assert found.outward_n == pytest.approx(119, abs=0.5)


def test_a_load_dragged_in_from_10_ft_off_upsets_the_tripod() -> None:
    # A head 14 ft up, feet half a leg apart: a foot is 0.3015 of the height from the middle, the
    # line between two feet 0.1508 of it. The chain runs 12 ft down and 10 ft out: it pulls sideways
    # 10 / 12 of what it pulls down, at 14 ft: 0.1508 x 12 / 10 = 0.18 times what it would take.
    stand = tripod(1000, head_mm=14 * FOOT_MM)
    assert stand.foot_mm / stand.head_mm == pytest.approx(0.3015, abs=1e-4)
    held = margin(stand, out_mm=10 * FOOT_MM, chain_mm=12 * FOOT_MM)
    assert held == pytest.approx(0.181, abs=1e-3)
    assert held < 1
    # Twice over it stands while the load is 0.0754 of the chain aside: 10.9 in of 12 ft.
    assert farthest_mm(stand, chain_mm=12 * FOOT_MM) == pytest.approx(10.86 * 25.4, abs=1)


def test_a_plumb_chain_upsets_nothing() -> None:
    assert margin(tripod(1000, head_mm=4000), out_mm=0, chain_mm=1000) == inf


@given(st.floats(2000, 8000), st.floats(0.3, 0.9), st.floats(10, 500))
def test_how_far_how_long_and_the_margin_are_one_relation(
    head_mm: float, spread: float, out_mm: float
) -> None:
    stand = tripod(1000, head_mm=head_mm, spread=spread)
    chain = chain_mm(stand, out_mm=out_mm)
    assert farthest_mm(stand, chain_mm=chain) == pytest.approx(out_mm)
    assert margin(stand, out_mm=out_mm, chain_mm=chain) == pytest.approx(LEAST_MARGIN)


def crew_of(**gear: Any) -> Crew:
    return Crew.model_validate({"people": 4, "helpers": 0, "gear": [gear]})


HOIST: dict[str, Any] = {"kind": "chain hoist", "rating": "500 kg", "reach": "8 m"}
TRUCK: dict[str, Any] = {"kind": "telehandler", "rating": "2500 kg", "reach": "6 m"}


def beam(length_mm: float = 4000.0, mass_kg: float = 120.0) -> Item:
    return item_of(
        block("beam", (length_mm, 200, 90), mass_kg, kind=Kind.BEAM, at_mm=(0, 0, 2400)),
        handling=Handling.BEAM,
    )


def first(item: Item, gear: dict[str, Any]) -> Machine:
    return machines(item, crew_of(**gear))[0]


def test_a_wall_is_never_tilted_up_by_a_hoist_under_a_tripod() -> None:
    # Its top edge comes from as far out as it is high.
    slab = block("wall", (2400, 2900, 89), 160, slope_deg=90)
    wall = item_of(slab, handling=Handling.WALL)
    assert first(wall, HOIST).kind is MachineKind.HIRED


@pytest.mark.parametrize(
    ("gear", "gets"), [(HOIST, (1, 1, 2)), (TRUCK, (0, 1, 2))], ids=["hoist", "truck"]
)
def test_people_at_the_seats_count_beside_who_guides(
    gear: dict[str, Any], gets: tuple[int, int, int]
) -> None:
    found = first(beam(), gear)
    team = found.team
    assert (team.at_gear, team.guiding, team.at_seats) == gets
    assert found.people == sum(gets)


def test_one_is_at_the_foot_of_a_post_that_is_hoisted() -> None:
    post = item_of(block("post", (2400, 90, 90), 60, slope_deg=90), handling=Handling.POST)
    found = first(post, HOIST)
    assert found.team.at_seats == 1
    # It stands under its hook: nothing is swung, and the hook goes no higher than its choker.
    assert found.hook_room_mm == found.reach_mm


# A hoist over 4 m of beam, 90 mm thick: worked beside the tests of the plan, 4646 mm at 2 m; here
# its seat is 400 mm higher.
@pytest.mark.parametrize(("reach", "does"), [("5.05 m", True), ("5.04 m", False)])
def test_a_tripod_is_high_enough_to_swing_a_beam_onto_its_seat(reach: str, does: bool) -> None:
    found = first(beam(), {**HOIST, "reach": reach})
    assert (found.kind is MachineKind.CHAIN_HOIST) is does


def test_a_material_lift_stands_under_each_end_of_what_is_long() -> None:
    # 120 kg: 60 under each end (moments); one takes what is no longer than 2.44 m alone.
    lift = {"kind": "material lift", "rating": "100 kg", "reach": "2.5 m"}
    (why,) = unfit(beam(), crew_of(**lift), OPEN_GROUND, "metric")
    assert "1 where it takes 2, one under each end" in why
    two = first(beam(), {**lift, "count": 2})
    assert (two.kind, two.count) == (MachineKind.MATERIAL_LIFT, 2)
    assert two.needed_kg == pytest.approx(60)
    assert (two.team.at_gear, two.team.at_seats) == (2, 2)
    short = first(beam(2400, 90), lift)
    assert (short.count, short.needed_kg) == (1, pytest.approx(90))
    # Its forks reach the underside, 2400 mm up.
    low = first(beam(2400, 90), {**lift, "reach": "2390 mm"})
    assert low.kind is MachineKind.HIRED


def test_a_truck_carries_less_the_further_out() -> None:
    # 29 CFR 1910.178, appendix A, A-5: by the load moment. On open ground its front is 1200 + 200 +
    # 500 + 45 = 1945 mm from the middle of the beam: 600 / 1945 of its plate.
    truck = {**TRUCK, "load_centre": "600 mm", "rating": "400 kg"}
    found = first(beam(), truck)
    assert found.here_kg == pytest.approx(400 * 600 / 1945, rel=1e-3)
    (why,) = unfit(beam(), crew_of(**{**truck, "rating": "380 kg"}), OPEN_GROUND, "metric")
    # 380 x 600 / 1945 = 117.2 of 120 kg.
    assert "rated 2.8 kg too little so far out" in why
    (why,) = unfit(beam(), crew_of(**{**truck, "outreach": "1.9 m"}), OPEN_GROUND, "metric")
    assert "45 mm too short to reach out to it" in why


def test_a_hand_truck_wheels_what_is_short_and_stands_on_the_ground() -> None:
    # 40 kg, 300 mm deep, handles 1.2 m over the wheels: 40 x 150 / 1200 = 5 kg tilts it (moments).
    truck = {"kind": "two-wheel truck", "rating": "100 kg", "handle": "1.2 m"}
    pier = block("pier", (300, 300, 300), 40, at_mm=(0, 0, 100))
    found = first(item_of(pier), truck)
    assert (found.kind, found.people) == (MachineKind.TWO_WHEEL_TRUCK, 1)
    assert found.handle_n == pytest.approx(5 * 9.80665)
    for size_mm, low_mm in (((1600.0, 300.0, 300.0), 100.0), ((300.0, 300.0, 300.0), 200.0)):
        other = item_of(block("other", size_mm, 40, at_mm=(0, 0, low_mm)))
        assert first(other, truck).kind is MachineKind.HIRED
    assert first(item_of(pier), {**truck, "rating": "50 kg"}).kind is MachineKind.TWO_WHEEL_TRUCK
    heavy = item_of(block("pier", (300, 300, 300), 60, at_mm=(0, 0, 100)))
    assert first(heavy, {**truck, "rating": "50 kg"}).kind is MachineKind.HIRED


@pytest.mark.parametrize(
    ("mass_kg", "there", "kind", "people"),
    [
        (34.0, 2, MachineKind.TWO_WHEEL_TRUCK, 1),
        (36.0, 2, MachineKind.TWO_WHEEL_TRUCK, 2),
        (51.0, 2, MachineKind.TWO_WHEEL_TRUCK, 2),
        (36.0, 1, MachineKind.HIRED, 2),
        (52.5, 2, MachineKind.HIRED, 2),
    ],
)
def test_wheels_are_brought_for_what_two_can_push(
    mass_kg: float, there: int, kind: MachineKind, people: int
) -> None:
    # Women push 7 kg each to keep it moving, two together two thirds of their sum (HSE INDG143,
    # L23); 0.14 of the weight keeps it rolling (recovery practice), 15 kg of it the truck's own:
    # 7 / 0.14 - 15 = 35 kg for one, 9.33 / 0.14 - 15 = 51.7 kg for two.
    pier = item_of(block("pier", (300, 300, 300), mass_kg, at_mm=(0, 0, 100)))
    able = machines(pier, Crew.model_validate({"people": 2}))
    found = smallest_to_bring(pier, there, able, Lifter.WOMAN)
    assert (found.kind, found.people, found.at_hand) == (kind, people, False)
