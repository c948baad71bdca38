"""What is said of a lift: of slings, of heights people may fall from, in figures cut the right way.

Heights: 6 ft (1828.8 mm) over what is below, 29 CFR 1926.501(b)(1). Slings: 30 deg from the level,
ASME B30.9.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from lifted import GRAVITY, block, item_of, lift_of
from pikepole_export.derive.lifting.cautions import (
    balance_angle_text,
    cautions_of,
    force_as_mass,
    stop_wind_text,
)
from pikepole_export.derive.lifting.falls import (
    RAIL_GIVE_MM,
    RAIL_MM,
    FallGuard,
    fall_protection,
    seats_mm,
)
from pikepole_export.derive.lifting.hand_tasks import assess_task
from pikepole_export.derive.lifting.hands import Lifter
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.machines import Machine, machines
from pikepole_export.derive.lifting.methods import Split, methods
from pikepole_export.derive.lifting.niosh import Duration
from pikepole_export.derive.lifting.plan import lift_plan
from pikepole_export.derive.lifting.rests import HandSetup
from pikepole_export.derive.lifting.techniques import Technique, task_steps
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.scene.crew import Crew

SIX_FEET_MM = 6 * 304.8
HANDS = HandSetup((750.0,), (), Lifter.MAN)


def said(lift: Lift) -> str:
    return " ".join(cautions_of(lift, "metric"))


def hoist(item: Item, legs: int) -> Machine:
    gear: dict[str, Any] = {
        "kind": "chain hoist",
        "rating": "500 kg",
        "reach": "9 m",
        "sling_legs": legs,
    }
    return machines(item, Crew.model_validate({"gear": [gear]}))[0]


def beam(low_mm: float = 2000.0, floor_mm: float = 0.0, handling: Handling = Handling.BEAM) -> Item:
    part = block("beam", (4000, 200, 90), 60, at_mm=(0, 0, low_mm))
    return item_of(part, floor_mm=floor_mm, handling=handling)


@pytest.mark.parametrize(("legs", "is_said"), [(1, False), (2, True), (3, True)])
def test_legs_are_not_to_be_flat_where_there_is_more_than_one(legs: int, is_said: bool) -> None:
    # A single leg hangs plumb (statics).
    lift = lift_of(beam(), machine=hoist(beam(), legs))
    assert ("flatter than 30 deg (ASME B30.9)" in said(lift)) is is_said


def test_what_hangs_level_is_told_from_what_stands_on_its_foot() -> None:
    level = said(lift_of(beam(), machine=hoist(beam(), 2)))
    assert "over the centre of gravity" in level
    assert "rolls its foot" not in level
    # It goes under the hook by hand: a chain that drags it in pulls the tripod over.
    assert "Bring it under the head by hand first, one end at a time" in level
    post = item_of(block("post", (2400, 90, 90), 60, slope_deg=90), handling=Handling.POST)
    (tilted,) = (method for method in lift_of(post).methods if method.tilt is not None)
    stands = said(lift_of(post, machine=hoist(post, 2), chosen=tilted))
    assert "over the centre of gravity" not in stands
    # Raised about an edge of its foot, it falls on by itself once its middle is over that:
    # atan(2400 / 90) = 87.85 deg (statics).
    assert "one rolls its foot in" in stands
    assert "tag line until the braces are on" in stands
    assert "Past 87 deg it falls on" in said(lift_of(post, chosen=tilted))


@pytest.mark.parametrize(("floor_mm", "is_high"), [(SIX_FEET_MM, True), (SIX_FEET_MM - 1, False)])
def test_people_on_a_high_floor_wear_a_harness(floor_mm: float, is_high: bool) -> None:
    lift = lift_of(beam(floor_mm + 600, floor_mm))
    found = fall_protection(lift, "imperial")
    assert (found is not None) is is_high
    assert ("harness and anchor" in said(lift)) is is_high
    if found:
        assert (found.guard, found.stands_mm) == (FallGuard.HARNESS, floor_mm)
        assert found.source == "29 CFR 1926.501(b)(1)"


@pytest.mark.parametrize(
    ("platform_mm", "rule"),
    [(1800.0, None), (SIX_FEET_MM, "501(b)(1)"), (3048.0, "501(b)(1)"), (3049.0, "451(g)(1)")],
)
def test_people_on_a_high_platform_have_rails(platform_mm: float, rule: str | None) -> None:
    # A scaffold asks for them above 10 ft (3048 mm), 29 CFR 1926.451(g)(1).
    setup = HandSetup((750.0,), (1500.0, platform_mm), Lifter.MAN)
    item = item_of(block("stick", (1400, 90, 38), 5, at_mm=(0, 0, platform_mm + 1000)))
    (rows,) = task_steps(Technique.CARRIED, item, setup, 750.0)
    row = next(row for row in rows if row[-1].floor_mm == platform_mm)
    assessments = tuple(assess_task(task, 1, Lifter.MAN, Duration.SHORT) for task in row)
    method = replace(methods(item, setup)[0], assessments=assessments)
    found = fall_protection(lift_of(item, methods=(), chosen=method), "imperial")
    if rule is None:
        assert found is None
    else:
        assert found
        assert (found.guard, found.source) == (FallGuard.RAILS, f"29 CFR 1926.{rule}")


def test_a_rail_is_42_in_high_give_or_take_3() -> None:
    # 29 CFR 1926.502(b)(1).
    assert (pytest.approx(42 * 25.4), pytest.approx(3 * 25.4)) == (RAIL_MM, RAIL_GIVE_MM)


@pytest.mark.parametrize(
    ("low_mm", "handling", "guard"),
    [
        # Who sets a beam stands some 1050 mm under it.
        (SIX_FEET_MM + 1050, Handling.BEAM, FallGuard.RAILS),
        (SIX_FEET_MM + 1049, Handling.BEAM, None),
        (SIX_FEET_MM, Handling.ROOF_SHEET, FallGuard.HARNESS),
        (SIX_FEET_MM - 1, Handling.ROOF_SHEET, None),
        # Nobody is up there: it is tilted up from its floor.
        (SIX_FEET_MM + 2000, Handling.WALL, None),
    ],
)
def test_who_sets_what_ends_high_is_kept_from_falling(
    low_mm: float, handling: Handling, guard: FallGuard | None
) -> None:
    item = beam(low_mm, handling=handling)
    chosen = methods(beam(low_mm), HANDS)[0]
    for machine in (None, hoist(beam(low_mm), 2)):
        found = fall_protection(
            lift_of(item, methods=(), chosen=chosen, machine=machine), "imperial"
        )
        assert (found and found.guard) == guard


@pytest.mark.parametrize(
    ("low_mm", "imperial_mm", "metric_mm"),
    [
        (1050 + 304, None, 300.0),
        (1050 + 5 * 304.8 + 100, 5 * 304.8, 1500.0),
        (1050 + 5 * 304.8 + 300, 5 * 304.8, 1800.0),
        (1050 + 2500, 8 * 304.8, 2400.0),
    ],
)
def test_who_sets_a_beam_stands_at_a_height_that_scaffolds_have(
    low_mm: float, imperial_mm: float | None, metric_mm: float
) -> None:
    # Some 1050 mm under it, or up to a step lower: of 1 ft or 300 mm, common practice, no source.
    lift = lift_of(
        beam(low_mm), methods=(), chosen=methods(beam(low_mm), HANDS)[0], machine=hoist(beam(), 2)
    )
    assert seats_mm(lift, "imperial") == (imperial_mm and pytest.approx(imperial_mm))
    assert seats_mm(lift, "metric") == pytest.approx(metric_mm)


@pytest.mark.parametrize("up_mm", [SIX_FEET_MM, SIX_FEET_MM - 1])
def test_who_takes_a_loft_sheet_from_above_is_tied(up_mm: float) -> None:
    part = block("sheet", (1200, 600, 18), 9, kind=Kind.LOFT_SHEET, flat=True, at_mm=(0, 0, up_mm))
    lift = lift_of(item_of(part, handling=Handling.LOFT_SHEET))
    found = fall_protection(lift, "imperial")
    assert (found and found.guard) == (FallGuard.HARNESS if up_mm == SIX_FEET_MM else None)
    assert "on planks over three joists, or on sheets that are nailed" in said(lift)
    # No roof is over it yet: it is left down in the wind as other sheets are.
    assert "(UK roof work, NFRC)" in said(lift)


def test_a_platform_to_bring_carries_four_times_the_load() -> None:
    # 29 CFR 1926.451(a)(1).
    assert "Bring a platform" not in said(lift_of(beam()))
    told = said(lift_of(beam(), platform_mm=900.0))
    assert "Bring a platform 900 mm high that carries the people and the load, four times" in told


def test_speeds_and_angles_are_cut_off_and_forces_are_masses() -> None:
    # One mile per hour is 0.44704 m/s; a whole number stays what it is.
    assert stop_wind_text(25.9 * 0.44704, "imperial") == "25 mph"
    assert stop_wind_text(25 * 0.44704, "imperial") == "25 mph"
    assert balance_angle_text(87.9) == "87 deg"
    assert balance_angle_text(45.0) == "45 deg"
    assert force_as_mass(25 * GRAVITY, "metric") == "25.0 kg"


def rigged(name: str) -> str:
    """What is said of a beam of 6 m and 60 kg, 1.8 m up, raised off trestles in some way."""
    part = block("beam", (6000, 200, 90), 60, at_mm=(0, 0, 1800))
    lift = lift_of(item_of(part, handling=Handling.BEAM))
    (method,) = (one for one in lift.methods if one.name == name)
    return said(lift_of(lift.item, chosen=method, people=method.hands))


def test_cribs_are_told_with_what_they_carry() -> None:
    # It ends at 1800 mm: a crib is a third as wide (FEMA, US&R), and 200 mm from the other; it
    # rises 1050 mm off trestles. A fifth of 6 m is 1.2 m. Pressed at an end 0.6 / 2.4 of 60 kg more
    # is on one crib, 75 kg, which a block of 38.1 mm thrusts along with 75 x 38.1 / 1200 = 2.4 kg
    # and sinks the other end by 2.4 / 1.2 of it, 76 mm (statics). 28 blocks go on each.
    told = rigged("rocked up on two cribs")
    for words in (
        "Two cribs, their middles 1200 mm apart",
        "never nearer than 800 mm",
        "each 600 mm wide or more",
        "56 blocks of 38 mm",
        "carries up to 75.0 kg",
        "thrust along it by 2.4 kg",
        "sinks 76 mm",
        "Stacks near the middle tip",
    ):
        assert words in told
    assert "ledge" not in told.lower()


def test_ledge_posts_are_told() -> None:
    # Ledges 2 ft apart: Fine Homebuilding 29 (1985).
    told = rigged("a ledge at a time")
    assert "a ledge nailed on every 610 mm" in told
    assert "crib" not in told


def test_a_wind_speed_is_told_with_whose_it_is() -> None:
    # Material handling, note to 29 CFR 1910.269(x), 30 mph: 48.28 km/h.
    stick = lift_of(item_of(block("stick", (1200, 90, 38), 5, at_mm=(0, 0, 1000))))
    assert "a mean wind of 48 km/h leave it down (29 CFR 1910.269(x))" in said(stick)
    # A beam of 6 m by 200 mm, drag 1.98, is more than a man's 20 kgf (HSE INDG143) holds at
    # sqrt(196.1 / (0.613 x 1.98 x 1.2)) = 11.6 m/s, 41.8 km/h.
    assert "a gust of 41 km/h is more than they can hold, HSE INDG143" in rigged(
        "a ledge at a time"
    )


def test_a_frame_that_is_longer_than_the_deck_is_told(honey_house: Building) -> None:
    # The deck is 9 ft deep, and the back wall of 2x4 (3-1/2 in) stands on it: 8 ft 8-1/2 in.
    walls = {lift.item.name: lift for lift in lift_plan(honey_house).lifts}
    for name, deck_mm, is_told in (
        ("back wall", 108 * 25.4, False),
        ("front wall", (108 - 3.5) * 25.4, True),
    ):
        lift = walls[name]
        assert lift.item.deck_mm == pytest.approx(deck_mm)
        tilted = next(one for one in lift.methods if one.split is Split.WHOLE and one.tilt)
        assert (tilted.load.size_mm[1] > deck_mm) is is_told
        told = " ".join(cautions_of(replace(lift, chosen=tilted), "imperial"))
        assert ("raise it before the wall across" in told) is is_told
