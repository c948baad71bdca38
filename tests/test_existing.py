"""Posts that stand already: the floor goes round them, and nothing else counts them."""

from __future__ import annotations

from typing import Any

import pytest
import shapely
from shapely import Polygon as Area

from measuring import CUT_MM, box_of, of_kind
from pikepole_export.derive.inventory.counts import counts
from pikepole_export.derive.inventory.parts import part_rows
from pikepole_export.derive.inventory.summary import summary
from pikepole_export.derive.inventory.weights import weights
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.fit import check
from pikepole_model.reading.file import check_scene
from strategies import Table, scene_of

# Room given all round: the program's own, as DEVELOPERS and the scene's README have it.
CLEAR_MM = 6.0


def room(*posts: Table, **tables: Any) -> Table:
    return {
        "title": "Room round posts",
        "units": "metric",
        "building": {"length": "4.1 m", "depth": "3.3 m"},
        "foundation": {"kind": "piers", "count": 2},
        "floor": {"spacing": "400 mm"},
        "walls": {"spacing": "400 mm", "low_height": "2.2 m"},
        "roof": {"slope": "10 deg"},
        "existing": list(posts),
        **tables,
    }


def post(name: str, x: int, y: int, wide: int = 90, deep: int = 120, high: int = 2000) -> Table:
    sizes = {"x": x, "y": y, "width": wide, "depth": deep, "height": high}
    return {"name": name, **{key: f"{value} mm" for key, value in sizes.items()}}


@pytest.fixture(
    scope="module",
    params=[
        [post("on a joist", 1150, 700)],
        [post("between joists", 1265, 1500, 80, 80)],
        [post("wide", 900, 900, 900, 200)],
        [post("left", 1150, 900), post("right", 1330, 950)],
        [post("front", 1150, 900), post("behind", 1160, 1060)],
        [post("between", 1250, 900, 60), post("beside", 1150, 930, 90)],
        [post("near the rim", 1950, 420), post("far", 3000, 2500)],
    ],
    ids=lambda posts: " and ".join(post["name"] for post in posts),
)
def kept(request: pytest.FixtureRequest) -> Building:
    return build(scene_of(room(*request.param)))


def plan(part: Part) -> Area:
    """A piece of the floor or a post from above, mm."""
    body = part.shape.body
    if part.kind == Kind.FLOOR_SHEET:
        loops = [
            [part.placement.point(u, v)[:2] for u, v in loop]  # type: ignore[union-attr]
            for loop in (body.outline, *body.holes)  # type: ignore[union-attr]
        ]
        return Area(loops[0], loops[1:])
    box = box_of(part)
    return shapely.box(*box.low[:2], *box.high[:2])


FLOOR = (Kind.RIM, Kind.JOIST, Kind.FLOOR_HEADER, Kind.FLOOR_BLOCK, Kind.FLOOR_SHEET)


def test_clean(kept: Building) -> None:
    assert [finding.text for finding in check(kept)] == []


def test_clear_all_round_and_no_more(kept: Building) -> None:
    sheets = shapely.union_all(
        [plan(p).buffer(1.6, join_style="mitre") for p in of_kind(kept, Kind.FLOOR_SHEET)]
    )
    whole = shapely.box(0, 0, kept.scene.building.length, kept.scene.building.depth)
    holes = whole.difference(sheets)
    cut = sum(
        (p.width + 2 * CLEAR_MM - 3.2) * (p.depth + 2 * CLEAR_MM - 3.2) for p in kept.scene.existing
    )
    for standing in of_kind(kept, Kind.EXISTING):
        for part in of_kind(kept, *FLOOR):
            assert plan(part).distance(plan(standing)) >= CLEAR_MM - CUT_MM, part.name
        nearest = min(
            plan(sheet).distance(plan(standing)) for sheet in of_kind(kept, Kind.FLOOR_SHEET)
        )
        assert nearest == pytest.approx(CLEAR_MM, abs=CUT_MM)
    # Slivers under 20 mm between two posts are waste.
    assert holes.area <= cut + 20.0 * 250.0 * (len(kept.scene.existing) - 1) + 1.0


def test_headers_carry_cut_joists(kept: Building) -> None:
    kinds = {part.name: part.kind for part in kept.parts}
    beside: dict[str, list[Kind]] = {}
    for joint in kept.joints:
        for one, other in ((joint.a, joint.b), (joint.b, joint.a)):
            beside.setdefault(one, []).append(kinds[other])
    depth = kept.scene.building.depth
    assert kept.scene.floor
    breadth = kept.scene.lumber_stock(kept.scene.floor.joist).breadth_mm
    for joist in of_kind(kept, Kind.JOIST):
        box = box_of(joist)
        ends = beside[joist.name]
        cuts = (box.low[1] > breadth + 1.0) + (box.high[1] < depth - breadth - 1.0)
        assert ends.count(Kind.FLOOR_HEADER) >= cuts, joist.name
    for header in of_kind(kept, Kind.FLOOR_HEADER):
        # Between two joists that run past it.
        box = box_of(header)
        for edge in (box.low[0], box.high[0]):
            past = [
                b
                for b in map(box_of, of_kind(kept, Kind.JOIST))
                if min(abs(b.low[0] - edge), abs(b.high[0] - edge)) < CUT_MM
                and b.low[1] <= box.low[1] + CUT_MM
                and b.high[1] >= box.high[1] - CUT_MM
            ]
            assert past, header.name


def test_the_deck_is_carried_before_and_behind_a_post(kept: Building) -> None:
    # Along the hole's front and back edge, from joist to joist: common practice, no source.
    frame = shapely.union_all(
        [
            plan(part).buffer(CUT_MM)
            for part in of_kind(kept, Kind.RIM, Kind.JOIST, Kind.FLOOR_HEADER, Kind.FLOOR_BLOCK)
        ]
    )
    decks = shapely.union_all([plan(part) for part in of_kind(kept, Kind.FLOOR_SHEET)])
    for standing in of_kind(kept, Kind.EXISTING):
        x0, y0, x1, y1 = plan(standing).bounds
        for y in (y0 - CLEAR_MM - 1.0, y1 + CLEAR_MM + 1.0):
            edge = shapely.LineString([(x0, y), (x1, y)]).intersection(decks)
            # Two posts side by side are framed round as one; there is no deck between their fronts.
            if len(kept.scene.existing) == 1:
                assert edge.length > 0.0
                assert frame.covers(edge)


def test_a_joist_that_is_not_in_the_way_stays_whole(kept: Building) -> None:
    assert kept.scene.floor
    breadth = kept.scene.lumber_stock(kept.scene.floor.joist).breadth_mm
    whole = kept.scene.building.depth - 2 * breadth
    lines: dict[float, list[Part]] = {}
    for joist in of_kind(kept, Kind.JOIST):
        lines.setdefault(round(box_of(joist).low[0], 2), []).append(joist)
    low = min(p.x for p in kept.scene.existing) - CLEAR_MM
    high = max(p.x + p.width for p in kept.scene.existing) + CLEAR_MM
    for x, pieces in lines.items():
        if x + breadth <= low or x >= high:
            assert [p.length_mm for p in pieces] == [pytest.approx(whole, abs=CUT_MM)]


def test_counted_and_weighed_nowhere(pergola_room: Building) -> None:
    rows = part_rows(pergola_room)
    standing = [row for row in rows if row.kind == Kind.EXISTING]
    assert {row.name for row in standing} == {"old post left", "old post right"}
    assert all(row.mass.high_kg == 0.0 < row.volume_mm3 for row in standing)
    assert Kind.EXISTING not in {count.kind for count in counts(rows)}
    found = weights(pergola_room, rows)
    assert Kind.EXISTING not in {weight.name for weight in found.kinds}
    assert "existing" not in {weight.name for weight in found.groups}
    assert found.building.parts == len(rows) - len(standing)
    whole = summary(pergola_room, rows, found, ())
    first = whole.stages[0]
    assert (first.name, first.parts) == ("Standing already", 2)
    assert first.mass.likely_kg == first.running_mass.likely_kg == 0.0
    assert whole.stages[-1].running_mass.likely_kg == pytest.approx(whole.mass.likely_kg)
    assert whole.stages[-1].centre_of_gravity_mm == pytest.approx(whole.centre_of_gravity_mm)
    # The centre is that of what is built, worked out without the posts.
    built = [row for row in rows if row.kind != Kind.EXISTING]
    x = sum(row.mass.likely_kg * row.centre_of_gravity_mm[0] for row in built)
    assert whole.centre_of_gravity_mm[0] == pytest.approx(x / whole.mass.likely_kg)


def test_a_building_without_the_posts_weighs_what_was_cut_more(pergola_room: Building) -> None:
    # Taking the posts out closes the holes and the cut joists: nothing else changes.
    scene = pergola_room.scene.model_copy(update={"existing": ()})
    plain = build(scene)
    changed = (*FLOOR, Kind.EXISTING)

    def others(building: Building) -> list[tuple[str, float]]:
        return [(p.name, p.volume_mm3) for p in building.parts if p.kind not in changed]

    assert others(plain) == others(pergola_room)


def test_joints_hold_nothing_to_them(kept: Building) -> None:
    names = {part.name for part in of_kind(kept, Kind.EXISTING)}
    assert not [joint for joint in kept.joints if names & {joint.a, joint.b}]


@pytest.mark.parametrize(
    ("posts", "tables", "key"),
    [
        ([post("in the left wall and its sheets", 0, 900)], {}, None),
        ([post("in the left wall's studs", 60, 900)], {}, None),
        ([post("just clear", 95, 900)], {}, None),
        ([post("a little in the left wall", 88, 900)], {}, None),
        ([post("in the right wall", 3920, 900)], {}, None),
        ([post("past the floor", 4300, 900)], {}, None),
        ([post("on the back girder", 900, 3100)], {}, "existing[1].y"),
        ([post("through the roof", 900, 900, high=3600)], {}, "existing[1].height"),
        ([post("a", 900, 900), post("b", 950, 950)], {}, "existing[2].x"),
        ([post("a", 900, 900), post("a", 1500, 900)], {}, "existing[2].name"),
        (
            [post("in concrete", 900, 900)],
            {"foundation": {"kind": "pad", "edge_depth": "300 mm"}, "floor": None},
            "existing[1].name",
        ),
    ],
)
def test_where_no_post_can_be_kept(posts: list[Table], tables: Table, key: str | None) -> None:
    table = {k: v for k, v in room(*posts, **tables).items() if v is not None}
    # What stands in a wall may stand on its girder too: one key, two reasons.
    keys = {problem.key for problem in check_scene(table)[1]}
    assert keys == ({key} if key else set())


def test_under_a_tie() -> None:
    # Up to a rafter tie less the room, and no higher.
    ridge = {"slope": "30 deg", "ridge": {"kind": "board"}}
    table = room(post("under", 900, 900, high=2000), roof=ridge)
    (tie,) = {round(box_of(p).low[2], 6) for p in of_kind(build(scene_of(table)), Kind.TIE)}
    for height, keys in ((tie - CLEAR_MM - 1, []), (tie - CLEAR_MM + 1, ["existing[1].height"])):
        table["existing"][0]["height"] = f"{height:.1f} mm"
        assert [problem.key for problem in check_scene(table)[1]] == keys
