"""Temporary braces as they are bought: as many as stand at one time, and used again.

Places of braces (both ends, 2400 mm between two at most), their slope of 45 deg and height of two
thirds, and when they come off: common practice, no source. Two 16d common nails at least at each
end, each of which holds 120 lb (NDS 2018, table 12N).
"""

from __future__ import annotations

from collections import Counter
from functools import cache
from typing import Any

import pytest

from filled import store
from pikepole_export.derive.buying.order import buy_list
from pikepole_export.derive.buying.purchase import Purchase
from pikepole_export.derive.cutting.cuts import cut_plans
from pikepole_export.derive.cutting.sheets import sheet_plans
from pikepole_export.derive.lifting.brace_stock import BraceUse, brace_stock, braces_bought
from pikepole_export.derive.lifting.cautions import bracing_text
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.plan import LiftPlan, lift_plan
from pikepole_export.derive.lifting.records import lift_records
from pikepole_model.building.part import Building

BAY = {"side": "right", "reach": "6 ft"}


@cache
def planned(kind: str) -> tuple[Building, LiftPlan]:
    tables: dict[str, Any] = {"crew": {"people": 4, "helpers": 4}}
    if kind == "bay":
        tables["bay"] = [BAY]
    if kind == "bare":
        walls = ("front", "back", "left", "right")
        tables["walls"] = {wall: {"kind": "braces"} for wall in walls}
    building = store(**tables)
    return building, lift_plan(building)


def braced(kind: str) -> dict[str, Lift]:
    return {lift.item.name: lift for lift in planned(kind)[1].lifts if lift.bracing}


def bought(kind: str) -> list[Purchase]:
    building, plan = planned(kind)
    return list(braces_bought(building, plan.lifts))


def uses(kind: str) -> list[BraceUse]:
    return [use for board in brace_stock(planned(kind)[1].lifts) for use in board.uses]


def stage_of(kind: str, name: str) -> int:
    return next(stage.number for stage in planned(kind)[0].stages if stage.name == name)


def test_as_many_are_bought_as_stand_at_one_time() -> None:
    # 16 by 10 ft: walls 4877 and, with plates that lap the corners, 3048 mm long, or two halves of
    # that; each braced at both ends, and between where these are more than 2400 mm apart: whole 4
    # and 3 braces, in halves two times 3 and 2. All stand until the walls are sheathed.
    count = Counter(use.holds for use in uses("plain"))
    for name, lift in braced("plain").items():
        long = name in ("front wall", "back wall")
        assert count[name] == ((2 * (3 if long else 2)) if lift.in_halves else (4 if long else 3))
    assert set(count) == {"front wall", "back wall", "left wall", "right wall"}
    *boards, _ = bought("plain")
    assert sum(row.ordered for row in boards) == sum(count.values())
    assert {use.to_stage for use in uses("plain")} == {stage_of("plain", "Wall sheathing")}


def test_braces_of_the_walls_hold_the_posts_then() -> None:
    # The two posts of a bay take 2 braces each, which stand when those of the walls are off: the
    # boards of the walls are enough for 4 places more.
    found = uses("bay")
    posts = [use for use in found if "post" in use.holds]
    assert len(posts) == 4
    *boards, nails = bought("bay")
    assert sum(row.ordered for row in boards) == len(found) - 4
    assert {use.from_stage for use in posts} == {stage_of("bay", "Beams and posts")}
    assert {use.to_stage for use in posts} == {stage_of("bay", "Roof deck")}
    # Every place takes its nails at both ends.
    lifts = braced("bay").values()
    assert all(lift.bracing and lift.bracing.nails >= 2 for lift in lifts)
    pieces = sum(2 * use.nails for use in found)
    assert nails.item == "16d common nail"
    assert nails.how.startswith(f"{pieces:,} and ")


def test_bare_walls_are_braced_until_the_roof_is_sheeted() -> None:
    assert {use.to_stage for use in uses("bare")} == {stage_of("bare", "Roof deck")}


@pytest.mark.parametrize("kind", ["plain", "bay", "bare"])
def test_no_board_is_in_two_places_or_too_short(kind: str) -> None:
    for board in brace_stock(planned(kind)[1].lifts):
        for before, after in zip(board.uses, board.uses[1:], strict=False):
            assert before.to_stage < after.from_stage
        assert board.length_mm == max(use.length_mm for use in board.uses)
    for row in bought(kind)[:-1]:
        # As long as the longest of them at least, in a length that 2x4 comes in.
        assert row.item == "2x4"
        (length_mm,) = row.size_mm
        assert length_mm >= min(use.length_mm for use in uses(kind))
        assert row.in_building == 0


def test_lift_plan_and_buy_list_say_when_they_come_off() -> None:
    building, plan = planned("bay")
    number = stage_of("bay", "Wall sheathing")
    front = braced("bay")["front wall"]
    assert front.bracing
    told = bracing_text(front.bracing, front.braced_until, "imperial")
    assert told.endswith(f"; off after stage {number}")
    rows = bought("bay")
    assert any(f"off after stage {number}, Wall sheathing" in row.how for row in rows)
    buying = buy_list(building, cut_plans(building), sheet_plans(building), rows)
    assert {row.how for row in rows} <= {row.how for row in buying.purchases}
    record = lift_records(plan, "imperial")
    off = {lift["name"]: lift["braces_off_after_stage"] for lift in record["lifts"]}
    assert off["front wall"] == number


def test_what_is_moved_keeps_its_braces_until_then(honey_house: Building) -> None:
    # It is moved after stage "Wall sheathing", with the braces of its walls.
    assert honey_house.scene.move
    moved = next(one for one in honey_house.stages if one.name == honey_house.scene.move.after)
    lifts = [lift for lift in lift_plan(honey_house).lifts if lift.bracing]
    walls = [lift for lift in lifts if lift.item.name.endswith("wall")]
    assert len(walls) == 4
    # They come off last, when it is held down there: common practice, no source.
    anchored = next(one for one in honey_house.stages if one.name == "Ground anchors")
    assert anchored.number > moved.number
    assert {lift.braced_until and lift.braced_until.number for lift in walls} == {anchored.number}
