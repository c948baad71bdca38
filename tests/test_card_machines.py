"""What a card shows of a lift by machine: nothing stands on the piece, nobody under it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.machine_kinds import MachineKind
from pikepole_export.derive.lifting.plan import LiftPlan, lift_plan
from pikepole_export.derive.lifting.poses import footprint_of, hoisted_pose, truck_pose
from pikepole_export.write.cards.marks import Symbol
from pikepole_export.write.cards.scene import Panel, card_scene
from pikepole_export.write.cards.solids import platform
from pikepole_model.build import build
from pikepole_model.building.part import Building
from pikepole_model.reading.file import load_scene
from pikepole_model.scene.crew import Crew

SCENES = Path(__file__).parents[1] / "scenes"
UP = np.array([0.0, 0.0, 1.0])


@pytest.fixture(scope="module", params=["honey-house", "canoe-store", "garden-classroom"])
def planned(request: pytest.FixtureRequest) -> tuple[Building, LiftPlan]:
    building = build(load_scene(SCENES / f"{request.param}.toml"))
    return building, lift_plan(building)


def by_truck(plan: LiftPlan) -> list[Lift]:
    return [
        lift for lift in plan.lifts if lift.machine and lift.machine.approach and lift.machine.sling
    ]


def drawn(planned: tuple[Building, LiftPlan], lift: Lift) -> Panel:
    (panel,) = card_scene(*planned, lift).panels
    return panel


def test_a_truck_stops_behind_the_piece_and_nobody_is_between_it_and_the_wall(
    planned: tuple[Building, LiftPlan],
) -> None:
    for lift in by_truck(planned[1]):
        assert lift.machine
        assert lift.machine.approach
        way = np.array([*lift.machine.approach.way, 0.0])
        scene = drawn(planned, lift)
        waits, placed = (points @ way for points in scene.loads[:2])
        front = float(np.array(lift.item.whole.centre_mm) @ way) + lift.machine.approach.out_mm
        assert waits.max() <= front + 1.0, lift.item.name
        # It waits level, outside its place.
        assert waits.min() > placed.max()
        assert np.ptp(scene.loads[0][:, 2]) < 1.01 * max(lift.item.whole.size_mm[1:])
        # One guides, the others set it: none of them under the piece that hangs.
        low, high = scene.loads[1].min(axis=0), scene.loads[1].max(axis=0)
        assert len(scene.people) == lift.machine.people
        for x, y, _ in scene.people:
            assert not (low[0] < x < high[0] and low[1] < y < high[1]), lift.item.name


def test_a_post_to_be_hoisted_lies_with_its_head_under_the_hook(
    planned: tuple[Building, LiftPlan],
) -> None:
    posts = [lift for lift in planned[1].lifts if lift.item.handling.value == "post"]
    for lift in posts:
        load = lift.item.whole
        footprint = footprint_of(planned[0], planned[0].parts)
        pose = hoisted_pose(load, footprint, 100.0)
        points = load.vertices_mm
        ends = points[:, 2] > load.top_mm - 1.0, points[:, 2] < load.low_mm + 1.0
        head, foot = (pose.apply(points[rows]).mean(axis=0) for rows in ends)
        # Within half its own thickness, and its foot a post's length away.
        assert np.linalg.norm((head - load.centre_mm)[:2]) < load.size_mm[2]
        assert np.linalg.norm((foot - head)[:2]) > 0.8 * load.size_mm[0]


@pytest.mark.parametrize("way", [(1.0, 0.0), (0.0, -1.0)])
def test_what_waits_for_a_truck_lies_across_its_way_clear_of_what_stands(
    planned: tuple[Building, LiftPlan], way: tuple[float, float]
) -> None:
    building, plan = planned
    footprint = footprint_of(building, building.parts)
    corners = footprint.low_mm, footprint.high_mm
    edge = max(float(corner @ np.array(way)) for corner in corners)
    for lift in plan.lifts[:3]:
        points = truck_pose(lift.item.whole, footprint, way, 750.0).apply(
            lift.item.whole.vertices_mm
        )
        # 1200 mm to walk round it: common practice, no source.
        assert (points[:, :2] @ way).min() == pytest.approx(edge + 1200)
        assert points[:, 2].min() == pytest.approx(750)


def test_guard_rails_are_42_in_high_round_three_sides_of_a_platform() -> None:
    # 29 CFR 1926.502(b)(1): 42 in, give or take 3; a middle rail half-way (b)(2).
    middle, along = np.array([0.0, 0.0, 2000.0]), np.array([1.0, 0.0, 0.0])
    faced = np.array([0.0, 1.0, 0.0])
    bare = platform(middle, along, 2000.0, 0.0, (0.5, 0.5, 0.5))
    railed = platform(middle, along, 2000.0, 0.0, (0.5, 0.5, 0.5), faced)
    rails = railed.points[len(bare.points) :]
    over = float(rails[:, 2].max() - 2000.0)
    assert 39 * 25.4 <= over <= 45 * 25.4
    level = rails[(rails[:, 2] > 2400) & (rails[:, 2] < 2700)]
    assert len(level)
    # Open to where they work: nothing between the posts at that edge.
    at_edge = rails[rails[:, 1] > 300.0]
    assert (np.abs(at_edge[:, 0]) > 900).all()
    # Nothing under the floor.
    assert rails[:, 2].min() >= 2000.0 - 1.0


def test_material_lifts_stand_under_both_ends_and_those_who_set_it_at_them() -> None:
    building = build(load_scene(SCENES / "honey-house.toml"))
    lifts = {"kind": "material lift", "rating": "300 kg", "reach": "4 m", "count": 2}
    crew = Crew.model_validate({"people": 4, "helpers": 0, "gear": [lifts]})
    scene = building.scene.model_copy(update={"crew": crew})
    building = replace(building, scene=scene)
    plan = lift_plan(building)
    by_lifts = [
        lift
        for lift in plan.lifts
        if lift.machine and lift.machine.kind is MachineKind.MATERIAL_LIFT
    ]
    assert by_lifts
    for lift in by_lifts:
        assert lift.machine
        (shown,) = card_scene(building, plan, lift).panels
        assert len(shown.people) == lift.machine.people
        ups = [mark for mark in shown.marks if mark.symbol is Symbol.LIFT]
        assert len(ups) == lift.machine.count
        for mark in ups:
            assert mark.at[2] == pytest.approx(lift.item.whole.low_mm)


def test_a_hand_truck_is_drawn_where_its_load_waits() -> None:
    building = build(load_scene(SCENES / "garden-classroom.toml"))
    plan = lift_plan(building)
    (pier,) = (
        lift
        for lift in plan.lifts
        if lift.machine and lift.machine.kind is MachineKind.TWO_WHEEL_TRUCK
    )
    (shown,) = card_scene(building, plan, pier).panels
    assert len(shown.people) == 1
    (up,) = (mark for mark in shown.marks if mark.symbol is Symbol.LIFT)
    low, high = shown.loads[0].min(axis=0), shown.loads[0].max(axis=0)
    assert (low[:2] < up.at[:2]).all()
    assert (up.at[:2] < high[:2]).all()
