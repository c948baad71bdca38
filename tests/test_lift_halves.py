"""Walls as frames: in two halves, blocked up first, on jacks; masses and moments by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from draws import draws
from lifted import GRAVITY, block
from pikepole_export.cli.cut_words import boards_list
from pikepole_export.cli.planning import plan_cuts
from pikepole_export.derive.lifting.halves import halves_of, plates_sawn
from pikepole_export.derive.lifting.hand_lift import Grade
from pikepole_export.derive.lifting.hand_tasks import Rest
from pikepole_export.derive.lifting.items import Handling, items
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.machine_kinds import MachineKind
from pikepole_export.derive.lifting.mends import A_LITTLE
from pikepole_export.derive.lifting.methods import Split
from pikepole_export.derive.lifting.plan import lift_plan
from pikepole_export.derive.lifting.while_fixed import while_fixed
from pikepole_export.write.cards.files import carded
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Joint, Part, Stage
from pikepole_model.geometry.shape import Circle, Prism, Shape
from pikepole_model.scene.crew import Crew
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.catalogue import load_catalogue
from pikepole_model.units import format_length

TRESTLES: dict[str, Any] = {"kind": "trestles", "height": "762 mm"}
STEP: dict[str, Any] = {"kind": "platform", "height": "1 m"}  # for the upper plate
JACKS: dict[str, Any] = {"kind": "wall jack", "rating": "400 kg", "reach": "3 m", "count": 2}
STUD_KG, PLATE_KG_M = 4.0, 2.0


def frame(
    long_mm: float = 4000.0,
    studs: tuple[float, ...] = (0, 1000, 2000, 3000, 3962),
    times: float = 1.0,
) -> Any:
    """Plates of 2 kg to the metre and studs of 4 kg, or so many times that, 2.4 m high, along Y."""
    size, plate_kg = (long_mm, 89, 38), PLATE_KG_M * long_mm / 1000 * times
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
            STUD_KG * times,
            kind=Kind.STUD,
            group="wall",
            at_mm=(0, y + 38, 38),
            slope_deg=90,
        )
        for number, y in enumerate(studs, start=1)
    ]
    return plates, uprights


def building_of(times: float = 1.0, **crew: Any) -> Building:
    plates, uprights = frame(times=times)
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


@pytest.mark.parametrize(
    ("bolts", "cut"),
    [
        # The third stud, at 2019 mm, is nearest to where it balances.
        ((), 2019),
        ((200, 3800), None),
        # One bolt beside it leaves the other end without; on both sides they hold both.
        ((200, 1850, 3800), None),
        ((200, 1850, 2200, 3800), 2019),
        # 12 in is 304.8 mm, and 7 diameters of 12.7 mm are 88.9: one too far, one too near.
        ((200, 1714, 2200, 3800), None),
        ((200, 1850, 2107, 3800), None),
        ((200, 1715, 2108, 3800), 2019),
        # Only the second stud, at 1019 mm, has a bolt on both sides.
        ((200, 800, 1200, 3800), 1019),
    ],
)
def test_a_plate_is_sawn_only_between_bolts(bolts: tuple[float, ...], cut: float | None) -> None:
    """Each end has a bolt at most 12 in and at least 7 diameters away: IRC R403.1.6."""
    plates, uprights = frame()
    body = plates[0].shape.body
    assert isinstance(body, Prism)
    holes = tuple(Circle(place, 44.5, (12.7 + 1.5875) / 2) for place in bolts)
    bottom = replace(plates[0], shape=Shape(replace(body, holes=holes)))
    found = halves_of("wall", [bottom, plates[1], *uprights], (0.0, 1.0, 0.0))
    assert (found is None) == (cut is None)
    if found and cut:
        assert plates_sawn(found)["plate"] == pytest.approx((cut, 4000 - cut))


def test_the_upper_plate_goes_up_after_both_halves() -> None:
    found = items(building_of())
    (wall,) = (item for item in found if item.handling is Handling.WALL)
    assert [load.name for load in wall.halves] == ["wall half 1", "wall half 2"]
    assert [item.name for item in found if item.inside_of == wall.name] == ["upper"]


def test_a_wall_in_halves_says_where_its_plates_are_sawn(honey_house: Building) -> None:
    # The cut list has the left wall's bottom plate in one piece, 108 in less two walls of 3-1/2 in:
    # the halves' lengths make that up.
    (lift,) = (one for one in lift_plan(honey_house).lifts if one.item.name == "left wall")
    assert lift.in_halves
    (plate,) = (part for part in honey_house.parts if part.name == "left wall bottom plate")
    cut = [
        part.length_mm
        for half in lift.item.halves
        for part in half.parts
        if part.name.startswith(plate.name)
    ]
    assert sum(cut) == pytest.approx(plate.length_mm)
    said = " ".join(while_fixed(lift, "imperial"))
    a, b = (format_length(mm, "imperial") for mm in cut)
    assert f"Saw over a stud: bottom plate into {a} and {b}" in said
    assert "from the spare" in said


def test_the_cut_list_says_where_plates_are_sawn_and_why(honey_house: Building) -> None:
    plans = plan_cuts(honey_house, lambda _: None).boards
    text = " ".join(" ".join(line.split()) for line in boards_list(plans, honey_house))
    (lift,) = (one for one in lift_plan(honey_house).lifts if one.item.name == "left wall")
    for name, lengths in plates_sawn(lift.item.halves).items():
        into = " and ".join(format_length(mm, "imperial") for mm in lengths)
        assert f"saw it over a stud into {into}" in text.split(name)[1]
    assert "its wall goes up in halves" in text


def test_a_plate_that_ends_on_the_stud_is_not_sawn() -> None:
    # Two lengths meet at the far face of the third stud, 2038 mm: they part there, and neither half
    # takes a stud more: 2 plates x 2 kg x 2.038 m + 3 studs, and 2 x 2 x 1.962 + 2.
    _, uprights = frame()
    plates = [
        block(
            f"plate {side} {height}",
            (long_mm, 89, 38),
            PLATE_KG_M * long_mm / 1000,
            at_mm=(89, start_mm, height),
            flat=True,
        )
        for height in (0.0, 2362.0)
        for side, start_mm, long_mm in (("near", 0.0, 2038.0), ("far", 2038.0, 1962.0))
    ]
    found = halves_of("wall", [*plates, *uprights], (0.0, 1.0, 0.0))
    assert found
    assert plates_sawn(found) == {}
    one, other = found
    assert one.mass.high_kg == pytest.approx(4 * 2.038 + 3 * STUD_KG)
    assert other.mass.high_kg == pytest.approx(4 * 1.962 + 2 * STUD_KG)


def test_a_wall_is_blocked_up_before_hands_take_it() -> None:
    # The top edge takes half of it by moments; one end of that a quarter; a lever of five to one.
    wall = wall_of(building_of())
    method = next(m for m in wall.methods if m.tilt is not None)
    first, second = method.assessments[:2]
    assert first.task.pushed
    weight_n = wall.item.whole.weight_n
    top_n = weight_n * (wall.item.whole.centre_mm[2]) / 2438
    assert first.task.force_n == pytest.approx(top_n / 2 / 5, rel=0.02)
    assert second.task.from_mm == 300
    assert weight_n == pytest.approx((3 * 8 + 5 * 4) * GRAVITY)


def test_a_heavier_wall_goes_onto_trestles_one_end_after_the_other() -> None:
    # From blocks at 300 mm HSE gives a man 15 kg, the mean of two zones (INDG143, Figure 1), three
    # half of their sum: 22.5 kg. The top edge takes half of 53 kg and more, one end half of that.
    wall = wall_of(building_of(1.2, helpers=2, guideline="men", gear=[TRESTLES, STEP]))
    assert (wall.chosen.split, wall.people) == (Split.WHOLE, 3)
    lever, end, lifted, *_ = (one.task for one in wall.chosen.assessments)
    load = wall.item.whole
    edge_n = load.weight_n * load.centre_mm[2] / 2438
    assert edge_n / GRAVITY > 22.5
    assert (end.from_mm, end.to_mm, end.onto) == (300, 762, Rest.TRESTLES)
    assert end.force_n == pytest.approx(edge_n / 2)
    assert lever.force_n == pytest.approx(end.force_n / 5)
    assert lifted.from_mm == 762


def test_the_heavier_a_wall_the_further_it_is_taken_apart() -> None:
    order = [Split.WHOLE, Split.LIGHTENED, Split.HALVES, Split.PIECES]
    crew = {"people": 1, "helpers": 2, "guideline": "men", "gear": [TRESTLES, STEP, JACKS]}
    seen: list[Split] = []
    for tenths in range(10, 60, 2):
        wall = wall_of(building_of(tenths / 10, **crew))
        by_jacks = wall.machine is not None
        assert not (by_jacks and any(m.people for m in wall.methods if m.tilt))
        seen.append(Split.PIECES if by_jacks else wall.chosen.split)
    places = [order.index(split) for split in seen]
    assert places == sorted(places)
    assert set(seen) == set(order)


def test_a_wall_a_little_too_heavy_is_tilted_up_all_the_same() -> None:
    # A tenth over the guideline is a board left off; stick by stick only beyond.
    crew = {"people": 1, "helpers": 2, "guideline": "men", "gear": [TRESTLES, STEP]}
    seen: set[str] = set()
    for tenths in range(20, 60, 2):
        wall = wall_of(building_of(tenths / 10, **crew))
        used = min(method.hardest.used for method in wall.methods if method.tilt)
        in_pieces = wall.chosen.split is Split.PIECES
        assert in_pieces == (used > A_LITTLE)
        if not in_pieces:
            assert wall.is_above == (used > 1)
            assert bool(wall.mends) == wall.is_above
            assert wall.others[-1].chosen.split is Split.PIECES
        seen.add("in pieces" if in_pieces else "above" if wall.is_above else "within")
    assert seen == {"within", "above", "in pieces"}


def test_each_half_has_braces_of_its_own() -> None:
    # 4 m whole has 3, both ends and 8 ft apart at the most; a half of it 2, on its own length.
    crew: dict[str, Any] = {"people": 2, "helpers": 1, "guideline": "men", "gear": [TRESTLES, STEP]}
    for times, split, count in ((0.8, Split.WHOLE, 3), (2.0, Split.HALVES, 2)):
        wall = wall_of(building_of(times, **crew))
        assert (wall.chosen.split, wall.in_halves) == (split, split is Split.HALVES)
        assert wall.bracing
        assert wall.bracing.braces == count
        frames = wall.item.halves if wall.in_halves else (wall.item.whole,)
        assert wall.bracing.count == count * len(frames)
        # On studs of its own.
        for frame_ in frames:
            lows, highs = zip(*(part.bounds_mm for part in frame_.parts), strict=True)
            low, high = min(one[1] for one in lows), max(one[1] for one in highs)
            own = [one for one in wall.bracing.places if low < one.upper_mm[1] < high]
            assert len(own) >= count
            assert all(one.on == "stud" for one in own)


def test_jacks_at_hand_raise_what_hands_do_not_and_are_on_its_card() -> None:
    # Whole or parted it is too heavy for two; stick by stick it takes nobody else.
    building = building_of(4.0, people=2, helpers=0, gear=[JACKS, TRESTLES, STEP])
    wall = wall_of(building)
    assert wall.machine
    assert wall.machine.kind is MachineKind.WALL_JACK
    assert (wall.people, wall.chosen.split, wall.grade > Grade.WITHIN) == (2, Split.WHOLE, True)
    assert wall in carded(lift_plan(building))
    # Its upper plate of 32 kg takes two as well.
    assert wall.others == ()


def test_one_whom_nobody_helps_puts_a_wall_up_piece_by_piece() -> None:
    # One holds it, another braces it: two at the least, whatever it weighs.
    wall = wall_of(building_of(0.5, people=1, helpers=0, gear=[JACKS, TRESTLES, STEP]))
    assert (wall.chosen.split, wall.machine, wall.people) == (Split.PIECES, None, 1)
    (other,) = wall.others
    assert (other.chosen.name, other.people) == ("tilted up", 2)


def test_other_ways_take_fewer_people_each() -> None:
    wall = wall_of(building_of(1.2, helpers=2, guideline="men", gear=[TRESTLES, STEP]))
    asked = [wall.people, *(way.people for way in wall.others)]
    assert asked == sorted(set(asked), reverse=True)
    assert asked[-1] == 1


@draws(12)
@given(st.floats(0.5, 8), st.integers(1, 3), st.integers(0, 3), st.sampled_from(["women", "men"]))
def test_a_wall_that_goes_up_in_half_lengths_asks_for_no_machine(
    times: float, people: int, helpers: int, guideline: str
) -> None:
    wall = wall_of(
        building_of(
            times, people=people, helpers=helpers, guideline=guideline, gear=[TRESTLES, STEP]
        )
    )
    halves = next(one for one in wall.methods if one.split is Split.HALVES)
    if (halves.people or 9) <= people + helpers:
        assert wall.machine is None
        assert wall.grade is Grade.WITHIN
        assert wall.chosen.tilt
