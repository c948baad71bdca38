"""HSE's guideline figures, and a lift by hand against them and the NIOSH equation.

HSE L23 is: Manual handling, guidance on the Manual Handling Operations Regulations 1992. HSE
INDG143 is: Manual handling at work, a brief guide.
"""

from __future__ import annotations

from math import inf, nan
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pikepole_export.derive.lifting.hand_lift import Guideline, HandLift, assess_hand_lift
from pikepole_export.derive.lifting.hands import (
    CLOSE_REACH_MM,
    Band,
    Lifter,
    Zone,
    guideline_kg,
    pair_band,
    push_guideline,
    team_factor,
    zones,
)
from pikepole_export.derive.lifting.niosh import Coupling, Duration
from pikepole_export.derive.lifting.validation import LiftError

# Hands in the middle of each zone, from the ground up, mm: well clear of any boundary.
MIDDLES_MM = (100.0, 500.0, 900.0, 1200.0, 1600.0)
# A sheet edge or a stick under the arm, and a load held out in front, mm.
NEAR_BODY_MM, OUT_MM = 250.0, 600.0


# HSE INDG143, Figure 1, and the same in L23. From above the shoulder down
# to below the middle of the lower leg. The 25 and 5 kg for men are quoted in print as well.
@pytest.mark.parametrize(
    ("lifter", "reach_mm", "expected_kg"),
    [
        (Lifter.MAN, NEAR_BODY_MM, (10, 20, 25, 20, 10)),
        (Lifter.MAN, OUT_MM, (5, 10, 15, 10, 5)),
        (Lifter.WOMAN, NEAR_BODY_MM, (7, 13, 16, 13, 7)),
        (Lifter.WOMAN, OUT_MM, (3, 7, 10, 7, 3)),
    ],
)
def test_guideline_figures(lifter: Lifter, reach_mm: float, expected_kg: tuple[float, ...]) -> None:
    downwards = reversed(MIDDLES_MM)
    got = tuple(guideline_kg(lifter, hand, hand, reach_mm) for hand in downwards)
    assert got == expected_kg


# HSE INDG143: where the hands enter more than one zone, the smallest figure counts.
@pytest.mark.parametrize(
    ("from_mm", "to_mm", "expected_kg"),
    [
        (900, 1200, 20),  # waist to chest
        (1200, 900, 20),  # and down again
        (100, 900, 10),  # floor to waist
        (500, 1600, 10),  # knee to over the head
        (500, 1200, 20),  # through the best zone, between two that are alike
    ],
)
def test_least_zone_on_the_way(from_mm: float, to_mm: float, expected_kg: float) -> None:
    assert guideline_kg(Lifter.MAN, from_mm, to_mm, NEAR_BODY_MM) == expected_kg


# HSE L23, appendix 3, and INDG143: close to a boundary an in-between figure may be taken. Neither
# prints a formula; half-way between the two is the mean: (20 + 25) / 2, (20 + 10) / 2 and
# (16 + 13) / 2. Knuckle height is 75 cm in NIOSH 94-110; the others are common practice, no source.
@pytest.mark.parametrize(
    ("lifter", "height_mm", "expected_kg"),
    [
        (Lifter.MAN, 750, 22.5),
        (Lifter.MAN, 1050, 22.5),
        (Lifter.MAN, 1400, 15),
        (Lifter.MAN, 300, 15),
        (Lifter.WOMAN, 1050, 14.5),
    ],
)
def test_on_a_boundary_the_figure_is_half_way(
    lifter: Lifter, height_mm: float, expected_kg: float
) -> None:
    assert guideline_kg(lifter, height_mm, height_mm, NEAR_BODY_MM) == pytest.approx(expected_kg)


def test_both_rules_of_the_figure_hold_together() -> None:
    # HSE L23, appendix 3, men, close. A lift from between floor and knuckle (20) through the best
    # zone (25) to between elbow and shoulder (20) is for 20 kg, one that ends above the shoulder
    # for 10; one that begins on the boundary is for the mean, or less where it goes to less.
    assert guideline_kg(Lifter.MAN, 500, 1200, NEAR_BODY_MM) == 20
    assert guideline_kg(Lifter.MAN, 500, 1600, NEAR_BODY_MM) == 10
    assert guideline_kg(Lifter.MAN, 750, 950, NEAR_BODY_MM) == pytest.approx(22.5)
    assert guideline_kg(Lifter.MAN, 750, 1200, NEAR_BODY_MM) == 20


def test_zones_passed_and_close_by() -> None:
    # Close is 50 mm: chosen here, HSE prints no width.
    assert zones(750, 800) == (Zone.UP_TO_KNUCKLE, Zone.UP_TO_ELBOW)
    assert zones(799, 900) == (Zone.UP_TO_KNUCKLE, Zone.UP_TO_ELBOW)
    assert zones(801, 900) == (Zone.UP_TO_ELBOW,)
    assert zones(1200, 1360) == (Zone.UP_TO_SHOULDER, Zone.ABOVE_SHOULDER)
    assert zones(-200, 3000) == tuple(Zone)


def test_arms_length_begins_beyond_the_forearm() -> None:
    # HSE L23, figure, men, best zone: 25 kg close, 15 at arm's length. About an adult's elbow to
    # fist, 35 cm: common practice, no source.
    reaches_mm = (CLOSE_REACH_MM - 60, CLOSE_REACH_MM, CLOSE_REACH_MM + 60)
    got = [guideline_kg(Lifter.MAN, 900, 900, reach_mm) for reach_mm in reaches_mm]
    assert got == pytest.approx([25, 20, 15])


@given(st.sampled_from(Lifter), st.floats(0, 2000), st.floats(0, 700), st.floats(0, 1))
def test_a_millimetre_never_decides(
    lifter: Lifter, height_mm: float, reach_mm: float, off_mm: float
) -> None:
    # The steepest is from 20 to 10 kg in 100 mm: 0.1 kg in a millimetre, up and out.
    here = guideline_kg(lifter, height_mm, height_mm, reach_mm)
    higher = guideline_kg(lifter, height_mm + off_mm, height_mm + off_mm, reach_mm)
    further = guideline_kg(lifter, height_mm, height_mm, reach_mm + off_mm)
    assert abs(higher - here) <= 0.1 * off_mm + 1e-9
    assert abs(further - here) <= 0.1 * off_mm + 1e-9


@given(st.sampled_from(Lifter), st.floats(0, 2000), st.floats(0, 300), st.floats(0, 700))
def test_the_figure_rises_to_the_waist_and_falls_above_it(
    lifter: Lifter, height_mm: float, more_mm: float, reach_mm: float
) -> None:
    # INDG143, Figure 1: the greatest figures are those between knuckle and elbow.
    low, high = (guideline_kg(lifter, at, at, reach_mm) for at in (height_mm, height_mm + more_mm))
    if height_mm + more_mm <= 1000:
        assert low <= high + 1e-9
    if height_mm >= 800:
        assert low >= high - 1e-9


@given(st.sampled_from(Lifter), st.floats(750, 1050), st.floats(750, 1050), st.floats(1051, 1750))
def test_a_higher_rest_between_knuckle_and_elbow_is_never_worse(
    lifter: Lifter, rest_mm: float, other_mm: float, to_mm: float
) -> None:
    low, high = sorted((rest_mm, other_mm))
    assert guideline_kg(lifter, low, to_mm, 250) <= guideline_kg(lifter, high, to_mm, 250) + 1e-9


# HSE L23, paragraph 120: two people two thirds of the sum, three people half. Worked: two thirds
# of 2 x 25 and of 2 x 16, half of 3 x 25.
@pytest.mark.parametrize(
    ("one_kg", "people", "expected_kg"),
    [(25, 1, 25.0), (25, 2, 33.3), (16, 2, 21.3), (25, 3, 37.5)],
)
def test_teams(one_kg: float, people: int, expected_kg: float) -> None:
    assert round(float(team_factor(people)) * people * one_kg, 1) == expected_kg


# HSE L23, paragraph 120, has no figure for four, and more are unlikely to work successfully.
@pytest.mark.parametrize("people", [4, 5, 40])
def test_larger_teams_are_not_rated(people: int) -> None:
    with pytest.raises(LiftError, match=r"gives no figure for.* plan with gear"):
        team_factor(people)


@pytest.mark.parametrize("people", [0, -1, 1.5, 2.0, nan, True, "2", None])
def test_refuses_people_that_are_none(people: Any) -> None:
    with pytest.raises(LiftError, match=f"people = {people}: is not a whole number from 1 up"):
        team_factor(people)


# HSE INDG143: to start or stop 20 kgf for men and 15 for women, to keep moving 10 and 7. One
# kilogram-force is 9.80665 N exactly (3rd CGPM, 1901).
@pytest.mark.parametrize(
    ("lifter", "start_n", "keep_n"),
    [(Lifter.MAN, 196.133, 98.0665), (Lifter.WOMAN, 147.09975, 68.64655)],
)
def test_pushing(lifter: Lifter, start_n: float, keep_n: float) -> None:
    push = push_guideline(lifter)
    assert (push.start_n, push.keep_n) == pytest.approx((start_n, keep_n))


# HSE Manual handling assessment charts, team of two: green below 35 kg, amber to 50, red to 85.
@pytest.mark.parametrize(
    ("mass_kg", "band"),
    [
        (0, Band.GREEN),
        (34.9, Band.GREEN),
        (35, Band.AMBER),
        (49.9, Band.AMBER),
        (50, Band.RED),
        (84.9, Band.RED),
        (85.1, Band.PURPLE),
        (400, Band.PURPLE),
    ],
)
def test_bands_for_two(mass_kg: float, band: Band) -> None:
    assert pair_band(mass_kg) == band


def lift(mass_kg: float, people: int = 1, **changes: Any) -> HandLift:
    """A stick from knee height to the chest, close, well held."""
    asked: dict[str, Any] = {
        "from_mm": 500.0,
        "to_mm": 1200.0,
        "reach_mm": 300.0,
        "coupling": Coupling.GOOD,
        "lifter": Lifter.MAN,
    }
    return assess_hand_lift(mass_kg, people=people, **(asked | changes))


# NIOSH 94-110 written out: 23 x 25/30 x (1 - 0.003 |V - 75|) x (0.82 + 4.5/70), V 50 and 120 cm.
ORIGIN_KG = 23 * (25 / 30) * (1 - 0.003 * 25) * (0.82 + 4.5 / 70)
DESTINATION_KG = 23 * (25 / 30) * (1 - 0.003 * 45) * (0.82 + 4.5 / 70)


def test_both_methods_stand_beside_each_other() -> None:
    row = lift(18.0)
    assert row.niosh.origin.rwl == pytest.approx(ORIGIN_KG)
    assert row.niosh.destination.rwl == row.niosh_kg == pytest.approx(DESTINATION_KG)
    assert row.lifting_index == pytest.approx(18 / DESTINATION_KG)
    # HSE L23, figure, men, knuckle to mid lower leg and elbow to shoulder, close.
    assert row.hse_kg == row.hse_one_kg == 20
    assert (row.governing, row.guideline_kg) == (Guideline.NIOSH, row.niosh_kg)
    assert not row.within
    assert lift(14.0).within


def test_hse_governs_where_it_gives_less() -> None:
    # HSE L23, figure, women: 13 kg in both zones. NIOSH gives 14.7 kg.
    row = lift(13.5, lifter=Lifter.WOMAN)
    assert (row.governing, row.guideline_kg) == (Guideline.HSE, 13)
    assert row.lifting_index < 1
    assert not row.within
    assert lift(13.0, lifter=Lifter.WOMAN).within


def test_more_cautious_column_unless_told() -> None:
    row = assess_hand_lift(
        1, from_mm=900, to_mm=900, reach_mm=250, people=1, coupling=Coupling.GOOD
    )
    # HSE L23, figure, women, best zone, close.
    assert row.hse_kg == 16


def test_team_factor_is_taken_from_both() -> None:
    row = lift(21.0, people=2)
    # HSE L23, paragraph 120: two thirds of the sum.
    assert row.hse_kg == pytest.approx(2 / 3 * 2 * 20)
    assert row.niosh_kg == pytest.approx(2 / 3 * 2 * DESTINATION_KG)
    assert row.share_kg == 10.5
    # NIOSH is about one person: the index is that of the share alone.
    assert row.lifting_index == pytest.approx(10.5 / DESTINATION_KG)
    assert not row.within
    assert row.band == Band.GREEN
    assert lift(21.0, people=3).within


def test_uneven_shares() -> None:
    row = lift(20.0, people=2, largest_share=0.7)
    assert row.share_kg == pytest.approx(14)
    assert row.lifting_index == pytest.approx(14 / DESTINATION_KG)
    # The one with 0.7 of the load may have two thirds of what they could lift alone.
    assert row.hse_kg == pytest.approx(2 / 3 * 20 / 0.7)
    assert row.niosh_kg == pytest.approx(2 / 3 * DESTINATION_KG / 0.7)
    assert lift(20.0, people=2, largest_share=0.5).niosh_kg == pytest.approx(
        2 / 3 * 2 * DESTINATION_KG
    )


# NIOSH 94-110: hands at most 175 cm up and 63 cm out; nothing is rated beyond. HSE's figure still
# has one.
@pytest.mark.parametrize("changes", [{"to_mm": 1751.0}, {"reach_mm": 631.0}, {"from_mm": -1.0}])
def test_beyond_niosh_is_beyond_hand_lifting(changes: dict[str, Any]) -> None:
    row = lift(0.5, **changes)
    assert row.niosh_kg == 0
    assert row.hse_kg > 0
    assert row.lifting_index == inf
    assert row.governing == Guideline.NIOSH
    assert not row.within


def test_floor_level_is_rated() -> None:
    # NIOSH 94-110, Table 2: VM is 0.78 with the hands at the floor, not zero.
    assert lift(0.5, from_mm=0.0).niosh.origin.vertical == pytest.approx(0.775)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("reach_mm", -1.0),
        ("from_mm", nan),
        ("to_mm", inf),
        ("largest_share", 1.1),
        ("largest_share", 0.4),
        ("people", 0),
    ],
)
def test_refuses_nonsense(key: str, value: float) -> None:
    asked: dict[str, Any] = {"people": 2} | {key: value}
    with pytest.raises(LiftError) as caught:
        lift(10.0, **asked)
    assert caught.value.problem.key == key
    assert caught.value.problem.mend


@pytest.mark.parametrize("mass_kg", [-1.0, nan, inf])
def test_refuses_a_mass_that_is_none(mass_kg: float) -> None:
    with pytest.raises(LiftError, match="mass_kg"):
        lift(mass_kg)


HEIGHTS_MM = st.floats(-100, 2000)
REACHES_MM = st.floats(0, 700)
WAYS = st.fixed_dictionaries(
    {
        "from_mm": HEIGHTS_MM,
        "to_mm": HEIGHTS_MM,
        "reach_mm": REACHES_MM,
        "coupling": st.sampled_from(Coupling),
        "lifter": st.sampled_from(Lifter),
        "duration": st.sampled_from(Duration),
    }
)


@given(WAYS, st.floats(0, 300), st.floats(0, 300), st.sampled_from([1, 2, 3]))
def test_more_mass_is_never_within_when_less_is_not(
    way: dict[str, Any], mass_kg: float, more_kg: float, people: int
) -> None:
    light, heavy = (lift(kg, people, **way) for kg in (mass_kg, mass_kg + more_kg))
    assert heavy.lifting_index >= light.lifting_index
    assert heavy.guideline_kg == light.guideline_kg
    assert light.within or not heavy.within


@given(WAYS)
def test_more_people_never_lower_the_guideline(way: dict[str, Any]) -> None:
    one, two, three = (lift(10, people, **way) for people in (1, 2, 3))
    assert one.hse_kg <= two.hse_kg <= three.hse_kg
    assert one.niosh_kg <= two.niosh_kg <= three.niosh_kg
    # HSE L23, paragraph 120: nor does a team do what its people could do one by one.
    assert three.hse_kg < 3 * one.hse_kg


@given(WAYS, st.floats(0, 700))
def test_more_reach_never_raises_the_guideline(way: dict[str, Any], more_mm: float) -> None:
    further = way | {"reach_mm": way["reach_mm"] + more_mm}
    assert lift(10, **further).guideline_kg <= lift(10, **way).guideline_kg


@given(WAYS, HEIGHTS_MM)
def test_a_way_through_more_zones_never_raises_the_hse_figure(
    way: dict[str, Any], other_mm: float
) -> None:
    lowest = min(way["from_mm"], way["to_mm"], other_mm)
    highest = max(way["from_mm"], way["to_mm"], other_mm)
    longer = way | {"from_mm": lowest, "to_mm": highest}
    assert lift(10, **longer).hse_kg <= lift(10, **way).hse_kg
