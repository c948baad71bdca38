"""Steps and ramps up to doors, counted and measured on the parts.

Figures are of IRC R311.7.5 (rise 7-3/4 in at most, tread 10 in at least), R311.7.1 (36 in wide),
R311.7.8 (a handrail from four rises on), R311.8.1 (a ramp 1 in 8 at most), ADA 2010 405.2 (1 in 12)
and AWC DCA 6 (5 in behind a notch, stringers 16 in apart): all from memory.
"""

from __future__ import annotations

import math
import tomllib
from collections import Counter
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from filled import store, table_of
from measuring import CUT_MM, INCH, box_of, corners, of_kind
from mended import follow, ways
from pikepole_export.derive.findings import findings
from pikepole_model.build import build, build_with_contacts
from pikepole_model.building.kinds import LEAF, Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.doors import door_findings
from pikepole_model.checks.fit import check
from pikepole_model.errors import Finding
from pikepole_model.reading.file import check_scene

PRESS_HOUSE = Path(__file__).parents[1] / "scenes" / "press-house.toml"
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
    # The ramp is 64 wide: (64 - 1-1/2) / 16 is more than 3 gaps, so 5 joists. The threshold lies
    # 1 mm of membrane over the floor, 3/4 in thick, and falls 1 in 8 from under the leaf, 3/4 +
    # 3/4 + 1/2 in, to its nose: 12.258 up; the ramp begins 1/4 in under that, 12.008. Its joists,
    # 1-1/2 / cos 7.125 lower, at 10.496, end 1-1/2 in high (10.496 - 1.5) x 8 = 71.97 out, 72.5
    # down the slope: 12.6 boards of 5-1/2 + 1/4, so 13. They lie on the ground from 71.97 + 12 -
    # 5-1/2 / sin 7.125 = 39.6 on. Its two leaves of 32 swing over a landing 36 in deep (IRC
    # R311.3): 7 boards on as many joists. A leg each at the wall and where the two joists meet,
    # one of two pieces: beside the joist, and under it.
    assert counted(honey_house, "hive doorway") == {
        Kind.RAMP_JOIST: 5 + 5,
        Kind.SUPPORT_LEG: 5 + 5,
        Kind.BEARING_LEG: 5 + 5,
        Kind.RAMP_BOARD: 7 + 13,
    }


@pytest.mark.parametrize("margin", ["4 in", "8 in", "14 in"])
@pytest.mark.parametrize("kind", ["ramp", "steps"])
def test_what_leads_up_passes_over_a_slab_that_reaches_out(margin: str, kind: str) -> None:
    # Boards of a ramp begin 1/4 in from the threshold's nose, the gap that wheels cross: ADA 2010
    # 302.3 allows 1/2 in (from memory); treads 1/2 in off the casing and 1/4 in behind the first,
    # so that no foot drops in. Joists lie under them 1/2 in clear over the slab, and legs stand
    # 1/2 in clear beside it.
    table = tomllib.loads(PRESS_HOUSE.read_text(encoding="utf-8"))
    table["foundation"]["margin"] = margin
    (doorway,) = (one for one in table["opening"] if "steps" in one)
    doorway["steps"] = {"kind": kind}
    scene, problems = check_scene(table)
    assert scene, problems
    press_house = build(scene)
    slab = box_of(*of_kind(press_house, Kind.SLAB))
    (threshold,) = of_kind(press_house, Kind.THRESHOLD)
    casing = max(box_of(part).high[0] for part in of_kind(press_house, Kind.CASING))
    joists = [box_of(p) for p in of_kind(press_house, Kind.RAMP_JOIST, Kind.STRINGER)]
    boards = of_kind(press_house, Kind.RAMP_BOARD, Kind.STEP_TREAD)
    start = min(box_of(part).low[0] for part in boards)
    if kind == "ramp":
        assert start == pytest.approx(box_of(threshold).high[0] + INCH / 4, abs=CUT_MM)
        assert min(one.low[0] for one in joists) == pytest.approx(start, abs=CUT_MM)
    else:
        assert start - casing == pytest.approx(3 / 4 * INCH, abs=CUT_MM)
    over = [one for one in joists if one.low[0] < slab.high[0]]
    assert min(one.low[2] for one in over) > slab.high[2] + INCH / 2 - CUT_MM
    legs = of_kind(press_house, Kind.SUPPORT_LEG, Kind.BEARING_LEG)
    edge = min(box_of(part).low[0] for part in legs)
    assert edge == pytest.approx(slab.high[0] + INCH / 2, abs=CUT_MM)
    assert check(press_house) == ()


def test_a_ramp_meets_a_slab_over_the_gravel_beside_it() -> None:
    # A slab 12 in up and 8 in thick stands on gravel that reaches out 6 in past it, 4 in up: joists
    # lie over that, and no wheel drops in. Before a bare doorway nothing reaches out past the
    # sheathing of 7/16 in but what hangs on it: 1/2 in off that the ramp begins.
    pad = {"kind": "pad", "above_ground": "12 in", "thickness": "4 in", "edge_depth": "8 in"}
    table = table_of(door(steps=RAMP), foundation=pad)
    del table["floor"]
    scene, problems = check_scene(table)
    assert scene, problems
    building = build(scene)
    heads = [-box_of(part).high[1] for part in of_kind(building, Kind.RAMP_BOARD)]
    assert min(heads) < 3 * INCH
    gravel = [part for part in of_kind(building, Kind.GRAVEL) if part.group != "steps"]
    assert min(box_of(part).low[1] for part in gravel) == pytest.approx(-6 * INCH, abs=CUT_MM)
    assert not [one for one in check(building) if "steps" in one.key]


def test_a_landing_and_a_tread_over_piers() -> None:
    # Piers of 8 in and 4x6, 2x6 and 23/32: 19.72 in, three rises of 6.57. More than two rises ask
    # for a landing 36 in deep (IRC R311.3.2): 7 boards of 5-1/2 + 1/4 make 40-1/4. It lies on 4
    # joists of 2x6 with 2 legs each, of a piece beside it and one under it. The tread of 2 boards
    # before it lies on 4 stringers of 5.07.
    building = store(door(steps=STEPS), foundation={"kind": "piers"})
    legs = {Kind.SUPPORT_LEG: 8, Kind.BEARING_LEG: 8}
    assert counted(building, "gate") == {Kind.STRINGER: 4 + 4, **legs, Kind.STEP_TREAD: 7 + 2}
    assert {part.stock for part in of_kind(building, Kind.STRINGER)} == {"2x6"}
    assert check(building) == ()


@pytest.mark.parametrize(
    ("leaf", "boards"),
    [({"kind": "ledged"}, 7), ({"kind": "ledged", "track": {"to": "right"}}, 2), (None, 2)],
)
def test_a_landing_where_the_door_swings_over_the_steps(
    leaf: dict[str, Any] | None, boards: int
) -> None:
    # Two rises to 11.72 in: a landing 36 in deep and as wide as the door, but where the door does
    # not swing over them (IRC R311.3, R311.3.2). The threshold of 3/4 in lies 1 mm over the floor.
    keys = {"steps": STEPS} | ({"door": leaf, "trim": {"board": "1x4"}} if leaf else {})
    building = store(door(**keys))
    treads = [box_of(part) for part in of_kind(building, Kind.STEP_TREAD)]
    assert len(treads) == boards
    deep = max(one.high[1] for one in treads) - min(one.low[1] for one in treads)
    assert deep >= (36 if boards == 7 else 10) * INCH - CUT_MM
    up = 11.71875 + (0.75 + 1 / 25.4 if leaf else 0.0)
    assert {round(one.high[2] / INCH, 3) for one in treads} == {round(up / 2, 3)}
    assert check(building) == ()


@pytest.mark.parametrize("steps", [STEPS, RAMP, {**RAMP, "slope": "1:12"}])
def test_what_stands_free_of_the_ground_bears_on_its_legs(steps: dict[str, Any]) -> None:
    # Joists bear on 1-1/2 in of wood (IRC R502.6, R507.6.1, from memory), here on the whole width
    # of each leg, and do not hang on the nails of the piece beside it.
    building = store(door(steps=steps), foundation={"kind": "piers"})
    parts = {part.name: part for part in building.parts}
    legs, short = of_kind(building, Kind.SUPPORT_LEG), of_kind(building, Kind.BEARING_LEG)
    assert len(short) == len(legs) > 0
    for leg in short:
        held = [joint for joint in building.joints if leg.name in (joint.a, joint.b)]
        others = {parts[one.b if one.a == leg.name else one.a].kind for one in held}
        assert {Kind.SUPPORT_LEG, Kind.GRAVEL} < others
        assert others & {Kind.STRINGER, Kind.RAMP_JOIST}
        beside = [one for one in legs if box_of(one).high[1] == box_of(leg).high[1]]
        assert box_of(leg).high[2] < box_of(beside[0]).high[2]


def test_stringer_by_its_volume() -> None:
    # 8 in blocks under 4x6, 2x12 and 23/32 are 25.47 in: rises r of 6.37 in four, runs of 11-1/2,
    # the first from a landing 3 r up. Under treads 1-1/2 thick the saw leaves two boxes, less a
    # triangle under the edge of an 11-1/4 board.
    building = store(door(steps=STEPS), foundation={"kind": "piers"}, floor={"joist": "2x12"})
    r, run = (8 + 5.5 + 11.25 + 23 / 32) / 4, 11.5
    low = 3 * r - 1.5 - 11.25 / math.cos(math.atan2(r, run))
    area = run * (2 * r - 1.5) + run * (r - 1.5) - low**2 / (r / run) / 2
    flight = [part for part in of_kind(building, Kind.STRINGER) if part.stock == "2x12"]
    assert len(flight) == 4
    for part in flight:
        # Its corners, 40-1/4 in out, are rounded in the program.
        assert part.volume_mm3 == pytest.approx(area * 1.5 * INCH**3, rel=1e-8)
        assert part.material.treated
        # No deeper than its board; the board's upper edge is over its ends.
        assert sorted(part.shape.size_mm)[1] <= 11.25 * INCH + CUT_MM
    # Four rises ask for a handrail.
    assert [one.key for one in check(building)] == ["opening[1].steps.kind"]


def treads(building: Building, name: str) -> dict[float, list[Part]]:
    of_height: dict[float, list[Part]] = {}
    for part in of_kind(building, Kind.STEP_TREAD):
        if part.name.startswith(name):
            of_height.setdefault(round(box_of(part).high[2], 3), []).append(part)
    return of_height


def test_rises_and_treads_of_every_form(form: Building) -> None:
    """Up to the threshold where there is one (IRC R311.3.1, from memory)."""
    floors = [box_of(part).high[2] for part in of_kind(form, Kind.FLOOR_SHEET)]
    decks = [box_of(part).high[2] for part in of_kind(form, Kind.FLOOR_BOARD)]
    pad = [box_of(part).high[2] for part in of_kind(form, Kind.SLAB)]
    for opening in form.scene.opening:
        if opening.steps is None or opening.steps.kind != "steps":
            continue
        own = treads(form, opening.name)
        thresholds = [
            box_of(part).high[2]
            for part in of_kind(form, Kind.THRESHOLD)
            if part.name.startswith(opening.name)
        ]
        heights = [0.0, *sorted(own), max([*floors, *pad, *decks, *thresholds])]
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
    # The upper edge of each board lies on one line: from 1/2 in under the floor at the wall, where
    # no threshold is.
    tops = np.array([max(corners(part), key=lambda at: at[2]) for part in boards])
    fall = np.polyfit(tops[:, 1], tops[:, 2], 1)
    assert fall[0] == pytest.approx(1 / run, rel=1e-6)
    assert tops[:, 2].max() == pytest.approx((5.5 + 5.5 + 23 / 32 - 0.5) * INCH, abs=CUT_MM)
    # Its joists end 1-1/2 in high, under boards 1-1/2 in thick; gravel goes on as steeply.
    for joist in of_kind(building, Kind.RAMP_JOIST):
        foot = [at for at in corners(joist) if at[1] < box_of(joist).low[1] + 1.0]
        assert max(at[2] for at in foot) == pytest.approx(1.5 * INCH, abs=CUT_MM)
    (apron,) = [part for part in of_kind(building, Kind.GRAVEL) if "ramp" in part.name]
    high = (1.5 + 1.5 / math.cos(math.atan(1 / run))) * INCH
    assert box_of(apron).high[2] == pytest.approx(high, abs=CUT_MM)
    assert apron.volume_mm3 == pytest.approx(high**2 * run / 2 * 48 * INCH, rel=1e-6)
    assert check(building) == ()


@pytest.mark.parametrize(
    ("wide", "leaf", "boards"),
    [
        # 36 in (IRC R311.3), in boards of 5-1/2 + 1/4: 6.3.
        ("3 ft", {"kind": "ledged"}, 7),
        # As deep as the leaf, 48 in: 8.3. Of a pair, each is 24 in.
        ("4 ft", {"kind": "ledged"}, 9),
        ("4 ft", {"kind": "ledged", "leaves": 2}, 7),
        # What slides, and what has no leaf, swings over nothing.
        ("3 ft", {"kind": "ledged", "track": {"to": "right"}}, 0),
        ("3 ft", None, 0),
    ],
)
def test_a_ramp_begins_with_a_landing_under_the_leaf(
    wide: str, leaf: dict[str, Any] | None, boards: int
) -> None:
    keys = {"steps": RAMP, "width": wide}
    keys |= {"door": leaf, "trim": {"board": "1x4"}} if leaf else {}
    building = store(door(**keys))
    boxes = [box_of(part) for part in of_kind(building, Kind.RAMP_BOARD)]
    level = [one for one in boxes if one.high[2] - one.low[2] < 1.5 * INCH + CUT_MM]
    assert len(level) == boards
    assert len({round(one.high[2], 2) for one in level}) == (1 if boards else 0)
    # It lies as far out as the slope begins, and its joists meet beside legs.
    sloping = [one for one in boxes if one not in level]
    assert max(one.high[1] for one in sloping) < min([one.low[1] for one in level], default=0.0)
    joists = of_kind(building, Kind.RAMP_JOIST)
    assert len({round(box_of(part).high[1], 1) for part in joists}) == (2 if boards else 1)
    assert check(building) == ()
    # No leaf, and no iron on it or under it, runs nearer over the boards than 3/8 in: common
    # practice, no source.
    low = [box_of(part).low[2] for part in of_kind(building, *LEAF, Kind.HINGE, Kind.GUIDE)]
    assert min(low, default=math.inf) >= max(one.high[2] for one in boxes) + 3 / 8 * INCH


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


@pytest.mark.parametrize(
    ("leaf", "up", "what"),
    [
        (False, "7-3/4 in", None),
        (False, "7-7/8 in", "the floor at"),
        (True, "6-15/16 in", None),
        (True, "7 in", "the threshold of"),
    ],
)
def test_the_highest_step_to_a_slab(up: str, what: str | None, *, leaf: bool) -> None:
    # Up to the top of the threshold, 3/4 in and 1 mm over it, where there is one (IRC R311.3.1).
    pad = {"kind": "pad", "above_ground": up}
    keys = {"door": {"kind": "ledged"}, "trim": {"board": "1x4"}} if leaf else {}
    table = table_of(door(**keys), foundation=pad)
    del table["floor"]
    scene, problems = check_scene(table)
    assert scene
    assert not problems
    told = [one.text for one in door_findings(build(scene))]
    assert len(told) == (what is not None)
    assert all(f'{what} "gate"' in text for text in told)


def test_four_rises_want_a_rail_and_steep_ramps_are_found() -> None:
    high = {"kind": "piers", "block_height": "13 in"}  # 24.7 in: four rises
    (found,) = door_findings(store(door(steps=STEPS), foundation=high))
    assert "R311.7.8" in found.text
    (found,) = door_findings(store(door(steps={**RAMP, "slope": "1:6"})))
    assert (found.key, found.mend) == ("opening[1].steps.slope", 'give at most "1:8"')


@pytest.mark.parametrize(("wide", "found"), [("3 ft", 0), ("35 in", 1)])
def test_what_leads_up_to_a_door_is_as_wide_as_it(wide: str, found: int) -> None:
    # IRC R311.3: a landing no narrower than the door.
    told = list(door_findings(store(door(steps={**STEPS, "width": wide}))))
    assert [(one.key, one.mend) for one in told] == [
        ("opening[1].steps.width", "give at least 3' 0\"")
    ] * found


@pytest.mark.parametrize(
    ("changed", "key"),
    [
        ({"opening": [door(kind="window", sill="2 ft", height="2 ft", steps=STEPS)]}, "steps"),
        (
            {
                "opening": [door(steps={**STEPS, "rise": "120 mm", "stringer": "2x6"})],
                "foundation": {"kind": "piers"},
            },
            "stringer",
        ),
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


@pytest.mark.parametrize("place", [{"from_left": "7 ft"}, {"from_left": None, "at": "middle"}])
def test_a_ramp_that_meets_a_post_is_kept_before_a_door_beside_it(place: dict[str, Any]) -> None:
    # Three posts before a wall of 16 ft: the middle one stands before the door, and beside it are
    # 8 ft less half a footing.
    keys = {key: value for key, value in door(steps=RAMP, **place).items() if value}
    bay = {"side": "front", "reach": "6 ft", "posts": 3}
    table = table_of() | {"opening": [keys], "bay": [bay]}
    _, problems = check_scene(table)
    assert {one.key for one in problems} == {"opening[1].steps"}
    (mend,) = {one.mend for one in problems}
    for way in mend.split(", and "):
        for key, value in ways(way, "opening[1].steps"):
            table = follow(table, key, value)
    scene, problems = check_scene(table)
    assert scene
    assert not problems
    assert scene.opening[0].steps


def test_a_building_that_is_moved_leaves_its_steps(honey_house: Building) -> None:
    # They come last, and stand before the store where it stays.
    number = {part.stage for part in honey_house.parts if part.group == "steps"}
    assert number == {max(stage.number for stage in honey_house.stages)}


def test_a_threshold_lies_on_more_than_half_of_its_board() -> None:
    # Out past the slab under the studs are 7/16 in of sheathing, 4 mm that tape and flashings take,
    # boards and casing of 3/4 in each, and 3/4 in of nose: of a 1x6 2.65 in lie on the slab. Common
    # practice, no source.
    gate = {"name": "gate", "kind": "door", "wall": "front", "at": "middle", "width": "36 in"}
    gate |= {"height": "78 in", "trim": {}}
    narrow = table_of(
        gate | {"door": {"kind": "ledged", "threshold": "1x6"}},
        foundation={"kind": "pad"},
        cladding=[{"kind": "boards", "board": "1x6"}],
    )
    del narrow["floor"]
    (found,) = on_thresholds(narrow)
    assert 'of which 2-5/8" lies on the floor' in found.text
    (((key, value),),) = (ways(found.mend, found.key),)
    assert not on_thresholds(follow(narrow, key, value))
    usual = {**narrow, "opening": [gate | {"door": {"kind": "ledged"}}]}
    assert not on_thresholds(usual)


def on_thresholds(given: dict[str, Any]) -> list[Finding]:
    scene, problems = check_scene(given)
    assert scene, problems
    found = findings(*build_with_contacts(scene))
    return [one for one in found if one.key.endswith(".threshold")]
