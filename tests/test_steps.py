"""Steps and ramps up to doors, counted and measured on the parts.

Figures are of IRC R311.7.5 (rise 7-3/4 in at most, tread 10 in at least), R311.7.1 (36 in wide),
R311.7.8 (a handrail from four rises on), R311.8.1 (a ramp 1 in 8 at most), ADA 2010 405.2 (1 in 12)
and AWC DCA 6 (5 in behind a notch, stringers 16 in apart): all from memory.
"""

from __future__ import annotations

import math
from collections import Counter
from typing import Any

import numpy as np
import pytest

from filled import store, table_of
from measuring import CUT_MM, INCH, box_of, corners, of_kind
from pikepole_export.derive.findings import findings
from pikepole_model.build import build, build_with_contacts
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.doors import door_findings
from pikepole_model.checks.fit import check
from pikepole_model.reading.file import check_scene

STEPS, RAMP, NONE = ({"kind": kind} for kind in ("steps", "ramp", "none"))


def door(**keys: object) -> dict[str, Any]:
    own: dict[str, Any] = {"name": "gate", "kind": "door", "wall": "front", "from_left": "5 ft"}
    return {**own, "width": "3 ft", "height": "6 ft 6 in", **keys}


def counted(building: Building, name: str) -> Counter[Kind]:
    return Counter(
        part.kind
        for part in building.parts
        if part.group == "steps" and part.name.startswith(name) and part.kind != Kind.GRAVEL
    )


def test_steps_and_ramp_of_the_honey_house(honey_house: Building) -> None:
    # The floor is 5-1/2 + 5-1/2 + 23/32 = 11.72 in up: two rises of 5.86, so one tread, of two 2x6
    # with 1/4 in before each: 11-1/2. The door is 34-1/2 wide, the steps 36: (36 - 1-1/2) / 16 is
    # more than 2 gaps, so 4 stringers.
    assert counted(honey_house, "person door") == {Kind.STRINGER: 4, Kind.STEP_TREAD: 2}
    # The ramp is 64 wide: (64 - 1-1/2) / 16 is more than 3 gaps, so 5 joists. It begins 1/2 in
    # down, 11.22 up; its joists 1-1/2 / cos 7.125 lower, at 9.707, end at 3 mm, (9.707 - 0.118) x
    # 8 = 76.7 out, 77.3 down the slope: 13.4 boards of 5-1/2 + 1/4, so 14. They lie on the ground
    # from 76.7 + 0.9 - 5-1/2 / sin 7.125 = 33.3 on: a leg each, at the head. A wedge falls from
    # 1-1/2 to 1/4 in 10 in, which one 2x12 gives.
    assert counted(honey_house, "hive doorway") == {
        Kind.RAMP_JOIST: 5,
        Kind.SUPPORT_LEG: 5,
        Kind.RAMP_BOARD: 14,
        Kind.RAMP_WEDGE: 1,
    }


def test_two_treads_over_piers() -> None:
    # Piers of 8 in and 4x6, 2x6 and 23/32: 19.72 in, three rises of 6.57, two treads of 2 boards.
    # 5 in and 6.57 x cos(6.57 : 11-1/2) = 5.7 are 10.7 deep: 2x12. 36 in wide: 4 stringers, each
    # with a leg under its head.
    building = store(door(steps=STEPS), foundation={"kind": "piers"})
    expected = {Kind.STRINGER: 4, Kind.SUPPORT_LEG: 4, Kind.STEP_TREAD: 4}
    assert counted(building, "gate") == expected
    assert {part.stock for part in of_kind(building, Kind.STRINGER)} == {"2x12"}
    assert check(building) == ()


def test_stringer_by_its_volume() -> None:
    # 6x8 skids, 2x12 and 23/32 are 19.47 in: rises r of 6.49, runs of 11-1/2. Under treads 1-1/2
    # thick the saw leaves two boxes, less a triangle under the edge of an 11-1/4 board.
    building = store(
        door(steps=STEPS), foundation={"kind": "skids", "skid": "6x8"}, floor={"joist": "2x12"}
    )
    r, run = (7.5 + 11.25 + 23 / 32) / 3, 11.5
    low = 3 * r - 1.5 - 11.25 / math.cos(math.atan2(r, run))
    area = run * (2 * r - 1.5) + run * (r - 1.5) - low**2 / (r / run) / 2
    for part in of_kind(building, Kind.STRINGER):
        assert part.volume_mm3 == pytest.approx(area * 1.5 * INCH**3, rel=1e-9)
        assert part.material.treated
        # No deeper than its board; the board's upper edge is over its ends.
        assert sorted(part.shape.size_mm)[1] <= 11.25 * INCH + CUT_MM
    assert check(building) == ()


def treads(building: Building, name: str) -> dict[float, list[Part]]:
    of_height: dict[float, list[Part]] = {}
    for part in of_kind(building, Kind.STEP_TREAD):
        if part.name.startswith(name):
            of_height.setdefault(round(box_of(part).high[2], 3), []).append(part)
    return of_height


def test_rises_and_treads_of_every_form(form: Building) -> None:
    floors = [box_of(part).high[2] for part in of_kind(form, Kind.FLOOR_SHEET)]
    decks = [box_of(part).high[2] for part in of_kind(form, Kind.FLOOR_BOARD)]
    pad = [box_of(part).high[2] for part in of_kind(form, Kind.SLAB)]
    for opening in form.scene.opening:
        if opening.steps is None or opening.steps.kind != "steps":
            continue
        own = treads(form, opening.name)
        heights = [0.0, *sorted(own), max([*floors, *pad, *decks])]
        rises = np.diff(heights)
        assert rises.max() <= 7.75 * INCH + CUT_MM
        assert rises.max() - rises.min() < 0.01
        for boards in own.values():
            reach = [box_of(part) for part in boards]
            axis = 1 if opening.wall in ("front", "back") else 0
            deep = max(box.high[axis] for box in reach) - min(box.low[axis] for box in reach)
            assert deep >= 10 * INCH
            wide = {box.high[1 - axis] - box.low[1 - axis] for box in reach}
            assert min(wide) >= 36 * INCH - CUT_MM


@pytest.mark.parametrize(("slope", "run"), [("1:8", 8), ("1:12", 12)])
def test_ramp_falls_as_it_is_told(slope: str, run: int) -> None:
    building = store(door(steps={**RAMP, "slope": slope}, width="4 ft"))
    boards = of_kind(building, Kind.RAMP_BOARD)
    # The upper edge of each board lies on one line: from 1/2 in under the floor at the wall.
    tops = np.array([max(corners(part), key=lambda at: at[2]) for part in boards])
    fall = np.polyfit(tops[:, 1], tops[:, 2], 1)
    assert fall[0] == pytest.approx(1 / run, rel=1e-6)
    assert tops[:, 2].max() == pytest.approx((5.5 + 5.5 + 23 / 32 - 0.5) * INCH, abs=CUT_MM)
    # The wedges go on from 1-1/2 in down to 1/4 in: over 10 and over 15 in, which takes two 2x12.
    wedges = of_kind(building, Kind.RAMP_WEDGE)
    assert len(wedges) == {8: 1, 12: 2}[run]
    low, high = (pick(box_of(w) for w in wedges) for pick in (_front, _back))
    assert high - low == pytest.approx(1.25 * run * INCH, abs=CUT_MM)
    assert check(building) == ()


def _front(boxes: Any) -> float:
    return min(box.low[1] for box in boxes)


def _back(boxes: Any) -> float:
    return max(box.high[1] for box in boxes)


def test_long_ramp_is_spliced_over_legs() -> None:
    # 1 in 12 from 19.72 - 1/2 in: 17.7 x 12 is some 212 in, over the 192 in of the longest 2x6.
    building = store(
        door(steps={**RAMP, "slope": "1:12"}),
        foundation={"kind": "piers"},
        cutting={"longest": "14 ft"},
    )
    joists, legs = of_kind(building, Kind.RAMP_JOIST), of_kind(building, Kind.SUPPORT_LEG)
    assert len(joists) == 2 * 4
    assert max(part.length_mm for part in joists) <= 168 * INCH
    ends = {round(box_of(part).high[1], 3) for part in joists if box_of(part).low[1] < -3000}
    middles = {round((box_of(leg).low[1] + box_of(leg).high[1]) / 2, 3) for leg in legs}
    assert ends <= middles
    assert check(building) == ()


def test_gravel_is_laid_beside_what_is_there() -> None:
    # The bed of the skids ends 12 in out. The steps begin 1/2 in off the sheathing of 7/16 and
    # what hangs on it, end 11-1/2 further out, and their gravel 4 in on: wide 36 + 8 in.
    building = store(door(steps=STEPS))
    (bed,) = [part for part in of_kind(building, Kind.GRAVEL) if part.group == "steps"]
    out = -min(box_of(part).low[1] for part in of_kind(building, Kind.STRINGER))
    deep = out + 4 * INCH - 12 * INCH
    assert bed.volume_mm3 == pytest.approx(44 * INCH * deep * 4 * INCH, rel=1e-9)


def test_a_door_that_nothing_leads_up_to_is_found() -> None:
    building = store(door())
    (found,) = door_findings(building)
    assert found.key == "opening[1].steps.kind"
    assert '11-3/4" up' in found.text
    assert "R311.3.2" in found.text
    assert found.mend == 'give "steps" or "ramp"'
    for steps in (STEPS, RAMP, NONE):
        building, contacts = build_with_contacts(store(door(steps=steps)).scene)
        assert findings(building, contacts) == ()


@pytest.mark.parametrize(("up", "found"), [("7-3/4 in", 0), ("7-7/8 in", 1)])
def test_the_highest_step_to_a_slab(up: str, found: int) -> None:
    pad = {"kind": "pad", "above_ground": up}
    table = table_of(door(), foundation=pad)
    del table["floor"]
    scene, problems = check_scene(table)
    assert scene
    assert not problems
    assert len(list(door_findings(build(scene)))) == found


def test_four_rises_want_a_rail_and_steep_ramps_are_found() -> None:
    high = {"kind": "piers", "block_height": "13 in"}  # 24.7 in: four rises
    (found,) = door_findings(store(door(steps=STEPS), foundation=high))
    assert "R311.7.8" in found.text
    (found,) = door_findings(store(door(steps={**RAMP, "slope": "1:6"})))
    assert (found.key, found.mend) == ("opening[1].steps.slope", 'give at most "1:8"')


@pytest.mark.parametrize(
    ("changed", "key"),
    [
        ({"opening": [door(kind="window", sill="2 ft", height="2 ft", steps=STEPS)]}, "steps"),
        ({"opening": [door(steps={**STEPS, "rise": "120 mm", "stringer": "2x6"})]}, "stringer"),
        (
            {
                "opening": [door(steps={**STEPS, "width": "4.9 m"})],
                "cutting": {"longest": "14 ft"},
            },
            "board",
        ),
        (
            {
                "opening": [
                    door(steps={**STEPS, "width": "5 ft"}),
                    door(name="hatch", from_left="8 ft 6 in", steps=RAMP),
                ]
            },
            "steps",
        ),
        (
            {
                "opening": [door(steps=STEPS)],
                "existing": [
                    {
                        "name": "old tree",
                        "x": "6 ft",
                        "y": "-8 in",
                        "width": "4 in",
                        "depth": "4 in",
                        "height": "3 ft",
                    }
                ],
            },
            "steps",
        ),
    ],
)
def test_what_cannot_be_built_is_refused_with_a_mend(changed: dict[str, Any], key: str) -> None:
    _, problems = check_scene(table_of() | changed)
    (problem,) = problems
    assert problem.key.split(".")[-1] == key
    assert problem.mend


def test_a_building_that_is_moved_leaves_its_steps(honey_house: Building) -> None:
    # They come last, and stand before the store where it stays.
    number = {part.stage for part in honey_house.parts if part.group == "steps"}
    assert number == {max(stage.number for stage in honey_house.stages)}
