"""Posts and beams that were there before in the lines of the walls: the frame goes round them."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from measuring import CUT_MM, box_of, of_group, of_kind
from mended import follow, ways
from pikepole_export.derive.buying.fasteners import fasteners
from pikepole_export.derive.inventory.counts import counts
from pikepole_export.derive.inventory.parts import part_rows
from pikepole_export.derive.inventory.summary import summary
from pikepole_export.derive.inventory.weights import weights
from pikepole_export.derive.lifting.items import items
from pikepole_export.derive.strength.descent import paths_of
from pikepole_export.graphics.colours import LOOKS, part_look
from pikepole_export.graphics.layers import layers_of, standing_layers
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.fit import check
from pikepole_model.reading.file import check_scene
from strategies import Table, scene_of

# Room given all round: the program's own, as DEVELOPERS and the scene's README have it.
CLEAR_MM = 6.0
STUD_MM = 38.1  # 2x4, dressed (PS 20)
LONG_MM, DEEP_MM = 4100.0, 3300.0
FRAMED = "Right wall"  # the last wall: no post is shut in yet


def room(*existing: Table, **tables: Any) -> Table:
    return {
        "title": "Room between posts",
        "units": "metric",
        "building": {"length": "4.1 m", "depth": "3.3 m"},
        "foundation": {"kind": "skids", "skid": "4x6", "count": 2, "inset": "150 mm"},
        "floor": {"joist": "2x6", "spacing": "400 mm"},
        "walls": {"stud": "2x4", "sheet": "7/16 OSB", "spacing": "400 mm", "low_height": "2.2 m"},
        # No rafter of it comes to stand against a post.
        "roof": {"slope": "10 deg", "spacing": "406 mm"},
        "existing": list(existing),
        **tables,
    }


def post(
    x: int,
    y: int,
    wide: int = 140,
    deep: int = 140,
    high: int = 2000,
    foot: int = 0,
    until: str = "",
) -> Table:
    sizes = {"x": x, "y": y, "width": wide, "depth": deep, "height": high, "foot": foot}
    made = {"name": f"at {x} {y}", **{key: f"{value} mm" for key, value in sizes.items()}}
    return {**made, "until": until} if until else made


CORNERS = [(0, 0), (3960, 0), (0, 3160), (3960, 3160)]
CASES: dict[str, list[Table]] = {
    "front": [post(1500, 0)],
    "corner": [post(0, 0)],
    "all corners and sides": [
        post(x, y) for x, y in [*CORNERS, (1900, 0), (1900, 3160), (0, 1500)]
    ],
    "thinner than the wall": [post(1500, 0, 140, 60)],
    "near the corner": [post(60, 0)],
    "side by side": [post(1500, 0), post(1680, 0)],
    "between the plates": [post(1500, 3160, high=2450)],
    "through the roof": [post(x, y, high=3500, until=FRAMED) for x, y in [*CORNERS, (1500, 0)]],
    "proud of the sheets": [post(1500, 3200, high=3400, until=FRAMED), post(3990, 3190)],
    "beam from front to back": [post(800, 0, 100, 3300, 2300, foot=2100)],
    "beam taken away": [post(800, 0, 100, 3300, 3300, foot=2300, until=FRAMED)],
}
CLAD: Table = {"wrap": {}, "cladding": [{"kind": "boards"}], "edges": {}}


@pytest.fixture(scope="module", params=list(CASES))
def framed(request: pytest.FixtureRequest) -> Building:
    return build(scene_of(room(*CASES[request.param])))


def test_clean_while_it_stands_and_when_it_is_gone(framed: Building) -> None:
    assert [finding.text for finding in check(framed)] == []


@pytest.mark.parametrize("kind", ["boards", "battens"])
def test_siding_goes_round_what_stands_out(kind: str) -> None:
    tables = {**CLAD, "cladding": [{"kind": kind}]}
    building = build(scene_of(room(post(1500, 3200), post(4000, 1200), **tables)))
    assert [finding.text for finding in check(building)] == []
    for standing in of_kind(building, Kind.EXISTING):
        hole = box_of(standing)
        for part in building.parts:
            if part.group.endswith(("cladding", "wrap", "sheathing")):
                box = box_of(part)
                # Nothing is left across it but what lies over its top.
                inside = all(box.low[k] < hole.low[k] and box.high[k] > hole.high[k] for k in (0,))
                if inside and box.high[1] > hole.low[1] and box.low[1] < hole.high[1]:
                    assert box.high[2] > hole.high[2], part.name


def bottoms(building: Building, axis: int, line: float) -> list[tuple[float, float]]:
    """From and to of the bottom plates in a wall's line, mm."""
    across = 1 - axis
    boxes = [box_of(part) for part in of_kind(building, Kind.BOTTOM_PLATE)]
    return sorted(
        (b.low[axis], b.high[axis]) for b in boxes if b.low[across] < line < b.high[across]
    )


def touching(building: Building, kinds: tuple[Kind, ...], axis: int, at: float) -> list[Part]:
    """Pieces with a face at a place along an axis, mm."""
    return [
        part
        for part in of_kind(building, *kinds)
        if min(abs(box_of(part).low[axis] - at), abs(box_of(part).high[axis] - at)) < CUT_MM
    ]


def test_a_stud_each_side_and_plates_cut_between() -> None:
    # A stud at both sides, and plates that end there: common practice, no source.
    building = build(scene_of(room(post(1500, 0, high=2000))))
    low, high = 1500 - CLEAR_MM, 1640 + CLEAR_MM
    assert bottoms(building, 0, 10.0) == [
        (0.0, pytest.approx(low)),
        (pytest.approx(high), LONG_MM),
    ]
    for edge, side in ((low, 1), (high, 0)):
        studs = touching(building, (Kind.STUD,), 0, edge)
        studs = [one for one in studs if box_of(one).low[1] < 10.0]
        ends = [(box_of(one).low[0], box_of(one).high[0])[side] for one in studs]
        assert ends == [pytest.approx(edge)]
    # It ends under the plates, which lie over it from stud to stud.
    over = [
        box_of(part)
        for part in of_kind(building, Kind.TOP_PLATE)
        if box_of(part).low[1] < 10.0 and box_of(part).low[0] < low and box_of(part).high[0] > high
    ]
    assert len(over) == 2
    # The rim ends on a joist at each side, and a header lies behind the post.
    for edge in (low, high):
        assert len(touching(building, (Kind.RIM,), 0, edge)) == 1
        assert len(touching(building, (Kind.JOIST,), 0, edge)) == 1
    (header,) = of_kind(building, Kind.FLOOR_HEADER) or of_kind(building, Kind.FLOOR_BLOCK)[-1:]
    assert box_of(header).low[1] == pytest.approx(140 + CLEAR_MM)


def test_plates_are_cut_for_what_reaches_between_them() -> None:
    building = build(scene_of(room(post(1500, 3160, high=2450))))
    wall = [
        box_of(part)
        for part in of_kind(building, Kind.TOP_PLATE)
        if part.group == "back wall" and box_of(part).high[0] - box_of(part).low[0] > 1.0
    ]
    low, high = 1500 - CLEAR_MM, 1640 + CLEAR_MM
    assert sum(abs(box.high[0] - low) < CUT_MM for box in wall) == 2
    assert sum(abs(box.low[0] - high) < CUT_MM for box in wall) == 2


def test_a_filler_where_less_than_a_stud_is_left() -> None:
    # 40 mm between two posts, less the room at both: 28 mm, one stud ripped to that.
    building = build(scene_of(room(post(1500, 0), post(1680, 0))))
    fillers = [
        part
        for part in of_kind(building, Kind.STUD)
        if box_of(part).high[0] - box_of(part).low[0] < STUD_MM - 1.0 and box_of(part).low[1] < 10.0
    ]
    (filler,) = fillers
    assert box_of(filler).low[0] == pytest.approx(1640 + CLEAR_MM)
    assert box_of(filler).high[0] == pytest.approx(1680 - CLEAR_MM)
    # A plate of that length would split at its nails: it stands on the floor, 5-1/2 + 5-1/2 in and
    # a sheet of 18 mm up.
    assert box_of(filler).low[2] == pytest.approx(11 * 25.4 + 18)


@pytest.mark.parametrize("between", [40, 52, 80, 89])
def test_no_plate_and_no_rim_is_a_stub(between: int) -> None:
    # As long as two studs are wide at least: what is shorter splits at its nails (common practice).
    # A joist that such a rim would have closed runs on to the face.
    building = build(scene_of(room(post(1450, 0), post(1590 + between, 0))))
    assert [finding.text for finding in check(building)] == []
    lying = of_kind(building, Kind.BOTTOM_PLATE, Kind.RIM)
    assert all(part.length_mm >= 2 * STUD_MM - 1e-6 for part in lying)
    inner = (1590 + CLEAR_MM - 1.0, 1590 + between - CLEAR_MM + 1.0)
    joists = [
        box_of(part)
        for part in of_kind(building, Kind.JOIST)
        if inner[0] < box_of(part).low[0] and box_of(part).high[0] < inner[1]
    ]
    if between - 2 * CLEAR_MM < 2 * STUD_MM:
        assert all(box.low[1] == pytest.approx(0.0) for box in joists)


def test_bottom_plate_runs_on_under_a_beam() -> None:
    building = build(scene_of(room(*CASES["beam from front to back"])))
    assert bottoms(building, 0, 10.0) == [(0.0, LONG_MM)]
    for edge in (800 - CLEAR_MM, 900 + CLEAR_MM):
        studs = touching(building, (Kind.STUD,), 0, edge)
        assert {box_of(one).low[1] < DEEP_MM / 2 for one in studs} == {True, False}


def hung(*existing: Table, sides: tuple[str, ...]) -> Table:
    return {
        **room(*existing),
        "floor": {"joist": "2x6", "spacing": "400 mm", "ledgers": list(sides)},
    }


def test_a_floor_hangs_on_what_is_there() -> None:
    # Three posts 140 mm wide before the front: lag screws 10 in apart, one at each end at least
    # (IRC Table R507.9.1.3(1), from memory): two in each. Joists 400 mm apart on 4100: at 0, 400
    # ... 4000 and the end, 12, each in a hanger at the front (IRC R502.6).
    posts = [post(x, -140) for x in (300, 2000, 3700)]
    building = build(scene_of(hung(*posts, sides=("front",))))
    assert [finding.text for finding in check(building)] == []
    assert len(of_kind(building, Kind.JOIST)) == 12
    (ledger,) = of_kind(building, Kind.FLOOR_LEDGER)
    held = [one for one in building.joints if ledger.name in (one.a, one.b)]
    assert sum(one.fixing == "bolted" for one in held) == 3
    pieces: Counter[str] = Counter()
    for row in fasteners(building):
        pieces[row.fastener] += row.pieces
    # 12 x 130 mm in millimetres, the nearest to 1/2 x 5 in (common practice, no source).
    assert pieces["coach screw 12 x 130 mm with washer"] == 3 * 2
    assert pieces["joist hanger for 2x6"] == 12


def test_a_floor_hangs_on_a_beam() -> None:
    # 4100 mm along it: 17 spaces of at most 254 mm, 18 lag screws.
    beam = post(-200, 3300, 4500, 90, 600, foot=200)
    building = build(scene_of(hung(beam, sides=("back",))))
    assert [finding.text for finding in check(building)] == []
    screws = [
        row.pieces for row in fasteners(building) if row.fastener.startswith("coach screw 12")
    ]
    assert screws == [18]
    # What is there is wider than what is built, and does not count.
    rows = part_rows(building)
    found = summary(building, rows, weights(building, rows), ())
    assert found.size_mm[0] == pytest.approx(LONG_MM + 2 * 304.8, abs=25.0)  # with its rakes


def test_what_closes_the_gaps() -> None:
    # A post of 140 mm with 6 mm room at both sides leaves 152: a bottom plate and two studs in the
    # front wall, what of its lower top plate it cut, and a piece of rim. Its upper plate runs on
    # over the gap from corner to corner, 88.9 in from each: joints of both in one place hold
    # nothing (IRC R602.3.2: 24 in apart).
    posts = [post(1500, 0, high=3500, until=FRAMED)]
    building = build(scene_of(room(*posts)))
    closing = of_group(building, "closed gaps")
    assert Counter(part.kind for part in closing) == {
        Kind.BOTTOM_PLATE: 1,
        Kind.STUD: 2,
        Kind.TOP_PLATE: 2,
        Kind.RIM: 1,
    }
    assert not [p for p in of_group(building, "front wall") if "upper" in p.name]
    for part in closing:
        if "upper" in part.name:
            assert part.length_mm == pytest.approx(LONG_MM - 2 * 88.9)
        elif part.kind is not Kind.STUD:
            assert part.length_mm == pytest.approx(140 + 2 * CLEAR_MM)
    stage = next(one for one in building.stages if one.name == "Gaps closed")
    names = [one.name for one in building.stages]
    assert names.index("Gaps closed") == names.index(FRAMED) + 1
    assert {part.name for part in stage.parts} == {part.name for part in closing}
    # Stick by stick: nobody tilts that up.
    lifted = [item for item in items(building) if item.stage == stage.number]
    assert all(len(item.whole.parts) == 1 for item in lifted)


@pytest.mark.parametrize(("x", "wide"), [(1500, 102), (0, 96)])
def test_nothing_is_cut_to_a_narrow_gap(x: int, wide: float) -> None:
    # A post of 90 mm with 6 mm room leaves 102 mm between two studs, or 96 at a corner: plates and
    # rims so short would split (common practice, no source). Studs fill it, one of them ripped to
    # what two leave, up to the upper plate and down past the floor, on the skid or to the joists'
    # undersides: no hole is left in the rim.
    building = build(scene_of(room(post(x, 0, 90, 90, 3500, until=FRAMED))))
    closing = of_group(building, "closed gaps")
    assert Counter(p.kind for p in closing if "front" in p.name) == {
        Kind.STUD: 3,
        Kind.TOP_PLATE: 1,
    }
    assert not [part for part in closing if part.kind is Kind.RIM]
    assert [finding.text for finding in check(building)] == []
    filling = sorted(box_of(p).low[0] for p in closing if p.kind is Kind.STUD)
    thick = [box_of(p).high[0] - box_of(p).low[0] for p in closing if p.kind is Kind.STUD]
    assert filling[0] == pytest.approx(max(0, x - 6))
    assert sorted(thick) == pytest.approx([wide - 2 * 38.1, 38.1, 38.1])
    (upper,) = (p for p in closing if "upper" in p.name)
    for part in closing:
        if part.kind is Kind.STUD:
            assert box_of(part).high[2] == pytest.approx(box_of(upper).low[2], abs=0.01)
            rim = box_of(of_kind(building, Kind.RIM)[0])
            assert box_of(part).low[2] == pytest.approx(rim.low[2], abs=0.01)
            # Down there it is as wet as the rims beside it (IRC R317.1, from memory).
            assert part.material.treated


@pytest.mark.parametrize(("x", "wall"), [(0, "left"), (3960, "right")])
def test_joints_of_both_plates_lie_24_in_apart_under_a_rake(x: int, wall: str) -> None:
    # As under rafters (IRC R602.3.2): an end wall's upper plate waits too until the gap is closed.
    building = build(scene_of(room(post(x, 1500, high=3500, until=FRAMED))))
    assert not [p for p in of_group(building, f"{wall} wall") if "upper" in p.name]
    (upper,) = (p for p in of_group(building, "closed gaps") if "upper" in p.name)
    lower = [p for p in building.parts if f"{wall} wall lower top plate" in p.name]
    assert len(lower) == 3
    over = box_of(upper)
    ends = {y for part in lower for y in (box_of(part).low[1], box_of(part).high[1])}
    joints = [y for y in ends if over.low[1] + 90 < y < over.high[1] - 90]
    assert len({round(y) for y in joints}) == 2
    for y in joints:
        assert min(y - over.low[1], over.high[1] - y) >= 24 * 25.4


def test_loads_on_a_wall_that_is_closed_last_go_down_its_own_studs() -> None:
    # Rafters every 406 mm press on the front wall's upper plate, 4100 - 2 x 88.9 long: what of them
    # is over the gap of 152 has its studs, the rest has the wall's.
    building = build(scene_of(room(post(1500, 0, high=3500, until=FRAMED))))
    paths = paths_of(building)
    assert set(paths.on_wall) >= {"front wall", "back wall"}
    assert "closed gaps" not in paths.on_wall
    assert not paths.lost
    carry = [
        part
        for part in paths.members.parts.values()
        if part.group == "front wall" and part.kind is Kind.STUD and paths.on_part.get(part.name)
    ]
    assert len(carry) > 4100 / 406


def test_what_is_taken_away_is_drawn_until_then_and_not_counted() -> None:
    building = build(scene_of(room(post(1500, 0, high=3500, until=FRAMED), post(0, 0))))
    layers = layers_of(building)

    def there(name: str) -> set[str]:
        number = next(one.number for one in building.stages if one.name == name)
        shown = standing_layers(building, number)
        return {p.name for layer in shown for p in layers[layer] if p.kind is Kind.EXISTING}

    assert there(FRAMED) == {"at 1500 0", "at 0 0"}
    assert there("Gaps closed") == there("Rafters") == {"at 0 0"}
    assert [p.name for p in of_kind(building.finished, Kind.EXISTING)] == ["at 0 0"]
    assert Kind.EXISTING not in {count.kind for count in counts(part_rows(building))}
    (look,) = {part_look(part) for part in of_kind(building, Kind.EXISTING)}
    assert look in LOOKS
    assert look not in {part_look(p) for p in building.parts if p.kind is not Kind.EXISTING}


DOOR = {"name": "door", "kind": "door", "wall": "front", "from_left": "1.2 m"}
REFUSED: dict[str, tuple[Table, str]] = {
    "door": (
        room(post(1500, 0), opening=[{**DOOR, "width": "900 mm", "height": "1.9 m"}]),
        "existing[1].x",
    ),
    "no bearing": (room(post(0, 0, wide=4100)), "existing[1].width"),
    "along": (room(post(500, 0, 2000, 100, 2300, foot=2000)), "existing[1].foot"),
    "stage": (room(post(1500, 0, until="Sunday")), "existing[1].until"),
    "roof": (room(post(1500, 0, high=3500)), "existing[1].height"),
    "corner through the roof": (room(post(0, 0, high=3500)), "existing[1].height"),
    "no ledger": (hung(post(300, -150), sides=("front",)), "floor.ledgers"),
    "upside down": (room(post(1500, 900, high=1000, foot=1200)), "existing[1].foot"),
    "skid": (room(post(1500, 150)), "existing[1].y"),
}


@pytest.mark.parametrize("name", list(REFUSED))
def test_what_is_refused_is_mended(name: str) -> None:
    scene, key = REFUSED[name]
    problems = check_scene(scene)[1]
    assert [problem.key for problem in problems] == [key]
    found = ways(problems[0].mend, key)
    assert found
    for where, value in found:
        assert check_scene(follow(scene, where, value))[1] == []
