"""Walls as frames: in two halves, blocked up first, on jacks; masses and moments by hand."""

from __future__ import annotations

from typing import Any

import pytest

from lifted import GRAVITY, block
from pikepole_export.derive.lifting.halves import halves_of
from pikepole_export.derive.lifting.items import Handling, items
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.machine_kinds import MachineKind
from pikepole_export.derive.lifting.plan import lift_plan
from pikepole_export.write.cards.files import carded
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Joint, Part, Stage
from pikepole_model.scene.crew import Crew
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.catalogue import load_catalogue

JACKS: dict[str, Any] = {"kind": "wall jack", "rating": "400 kg", "reach": "3 m", "count": 2}
STUD_KG, PLATE_KG_M = 4.0, 2.0


def frame(long_mm: float = 4000.0, studs: tuple[float, ...] = (0, 1000, 2000, 3000, 3962)) -> Any:
    """Plates of 2 kg to the metre and studs of 4 kg, 2.4 m high, along Y."""
    size, plate_kg = (long_mm, 89, 38), PLATE_KG_M * long_mm / 1000
    plates = [
        block(
            name,
            size,
            plate_kg,
            kind=kind,
            group="wall",
            at_mm=(89, 0, z),
            flat=True,
        )
        for name, kind, z in (
            ("plate", Kind.BOTTOM_PLATE, 0),
            ("top", Kind.TOP_PLATE, 2362),
            ("upper", Kind.TOP_PLATE, 2400),
        )
    ]
    uprights = [
        block(
            f"stud {number}",
            (2324, 38, 89),
            STUD_KG,
            kind=Kind.STUD,
            group="wall",
            at_mm=(89, y + 38, 38),
            slope_deg=90,
        )
        for number, y in enumerate(studs, start=1)
    ]
    return plates, uprights


def building_of(**crew: Any) -> Building:
    plates, uprights = frame()
    parts: tuple[Part, ...] = (*plates, *uprights)
    joints = [
        Joint(plate.name, s.name, "nailed", (0.0, 0.0, 0.0))
        for plate in plates[:2]
        for s in uprights
    ]
    joints.append(Joint("top", "upper", "nailed", (0.0, 0.0, 0.0)))
    scene = Scene.model_construct(
        title="Wall", units="metric", crew=Crew.model_validate(crew), catalogue=load_catalogue()
    )
    return Building(scene, parts, tuple(joints), (Stage(1, "wall", parts),))


def wall_of(building: Building) -> Lift:
    (wall,) = (one for one in lift_plan(building).lifts if one.item.handling is Handling.WALL)
    return wall


def test_both_halves_have_the_stud_at_the_joint_and_half_of_the_plates() -> None:
    # Cut over the middle of the third stud, at 2019 mm: 2 plates x 2 kg x 2.019 m + 3 studs, and 2
    # x 2 x 1.981 + 3, the one at the joint in both.
    plates, uprights = frame()
    found = halves_of("wall", [*plates[:2], *uprights], (0.0, 1.0, 0.0))
    assert found
    one, other = found
    assert one.mass.high_kg == pytest.approx(4 * 2.019 + 3 * STUD_KG)
    assert other.mass.high_kg == pytest.approx(4 * 1.981 + 3 * STUD_KG)
    assert one.size_mm[0] == pytest.approx(2038)
    assert other.vertices_mm[:, 1].max() == pytest.approx(4000)
    names = [{part.name for part in half.parts} for half in found]
    assert all("stud 3" in half for half in names)
    assert "plate half 1" in names[0]
    assert "plate half 2" in names[1]


@pytest.mark.parametrize(
    ("long_mm", "studs"), [(2400, (0, 1000, 2362)), (4000, (0, 300, 3500, 3962)), (4000, ())]
)
def test_a_short_wall_and_one_without_a_stud_inside_are_not_parted(
    long_mm: float, studs: tuple[float, ...]
) -> None:
    # No longer than a sheet; no full stud 24 in clear of both ends.
    plates, uprights = frame(long_mm, studs)
    assert halves_of("wall", [*plates[:2], *uprights], (0.0, 1.0, 0.0)) is None


def test_the_upper_plate_goes_up_after_both_halves() -> None:
    (wall,) = (item for item in items(building_of()) if item.handling is Handling.WALL)
    assert [load.name for load in wall.halves] == ["wall half 1", "wall half 2", "upper"]


def test_a_wall_is_blocked_up_before_hands_take_it() -> None:
    # The top edge takes half of it by moments; one end of that a quarter; a lever of five to one.
    (wall,) = (
        lift for lift in lift_plan(building_of()).lifts if lift.item.handling is Handling.WALL
    )
    method = next(m for m in wall.methods if m.tilt is not None)
    first, second = method.assessments[:2]
    assert first.task.pushed
    weight_n = wall.item.whole.weight_n
    top_n = weight_n * (wall.item.whole.centre_mm[2]) / 2438
    assert first.task.force_n == pytest.approx(top_n / 2 / 5, rel=0.02)
    assert second.task.from_mm == 300
    assert weight_n == pytest.approx((3 * 8 + 5 * 4) * GRAVITY)


def test_jacks_at_hand_are_offered_before_a_wall_in_sticks_and_are_on_its_card() -> None:
    # Stick by stick it takes nobody else; two with the jacks stand it up whole.
    step = {"kind": "platform", "height": "1 m"}
    building = building_of(people=2, helpers=0, gear=[JACKS, step])
    wall = wall_of(building)
    assert wall.loads > 1
    assert wall.jacks
    assert wall.jacks.kind is MachineKind.WALL_JACK
    whole = wall.as_frame
    assert whole
    assert (whole.machine, whole.people) == (wall.jacks, 2)
    assert whole in carded(lift_plan(building))


def test_jacks_that_the_crew_cannot_work_alone_are_not_offered() -> None:
    assert wall_of(building_of(people=1, helpers=2, gear=[JACKS])).jacks is None
