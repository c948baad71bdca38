"""Each wall as its user wants it: slats, let-in braces, half walls, open sides; floor boards."""

from __future__ import annotations

import math
import re
import tomllib
from pathlib import Path
from typing import Any, TypeAlias

import pytest
import shapely

from measuring import CUT_MM, INCH, box_of, depths, in_wall, of_group, of_kind
from mended import follow, ways
from pikepole_export.derive.buying.fasteners import fasteners
from pikepole_export.derive.inventory.areas import surfaces
from pikepole_model.build import build
from pikepole_model.building.kinds import CLADDING, Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import check
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.wall import WallPlan
from pikepole_model.plan.walls import plan_walls
from pikepole_model.reading.file import check_scene, load_scene
from strategies import scene_of

Table: TypeAlias = dict[str, Any]

ROOT = Path(__file__).parent.parent
README = ROOT / "scenes" / "README.md"
FORMS = ROOT / "tests" / "scenes" / "forms"

# Dressed sizes (PS 20): 1x4 is 3/4 x 3-1/2 in, 1x6 is 5-1/2 in wide, 2x4 is 1-1/2 x 3-1/2 in.
THICK, STUD, FOUR, SIX = 0.75 * INCH, 1.5 * INCH, 3.5 * INCH, 5.5 * INCH


def table(**walls: Any) -> Table:
    """A store of 10 x 6 ft, its front 8 ft high."""
    return {
        "title": "Each wall",
        "building": {"length": "10 ft", "depth": "6 ft"},
        "foundation": {"kind": "skids"},
        "floor": {},
        "walls": {"high_height": "8 ft", **walls},
        "roof": {"slope": "2:12"},
    }


DOOR = {
    "name": "door",
    "kind": "door",
    "wall": "front",
    "from_left": "3 ft 6 in",
    "width": "3 ft",
    "height": "6 ft 6 in",
    "steps": {"kind": "none"},
}
WINDOW = {
    "name": "window",
    "kind": "window",
    "wall": "front",
    "from_left": "4 ft",
    "width": "2 ft",
    "height": "2 ft",
    "sill": "3 ft",
}


def plan_of(building: Building, wall: str) -> WallPlan:
    plans = plan_walls(RoofPlan(Datums(building.scene)))
    return next(plan for plan in plans if plan.name == wall)


@pytest.fixture(scope="module")
def store() -> Building:
    return build(load_scene(FORMS / "kindling-store.toml"))


@pytest.fixture(scope="module")
def shed() -> Building:
    return build(load_scene(FORMS / "lambing-shed.toml"))


def test_shortest_scene_of_the_documents_is_clean(store: Building) -> None:
    section = README.read_text(encoding="utf-8").partition("\n## `[walls]`")[2]
    found = re.search(r"```toml\n(.*?)```", section, re.DOTALL)
    assert found
    building = build(scene_of(tomllib.loads(found[1])))
    assert [finding.text for finding in check(building)] == []
    assert [part.shape for part in building.parts] == [part.shape for part in store.parts]


def test_slats_stand_apart(store: Building) -> None:
    # 5-1/2 in boards 1 in apart from the floor up: feet at 0, 6-1/2, 13 in and so on. The back
    # wall's plates are 72 in up, where rafters seated on them pass out: 11 whole ones, the last
    # from 65 to 70-1/2 in, leave no room for a twelfth. They cover the ends of the side walls'.
    back = plan_of(store, "back")
    slats = [in_wall(back, part).bounds for part in of_group(store, "back wall slats")]
    assert [(v0, v1) for _, v0, _, v1 in sorted(slats, key=lambda b: b[1])] == [
        pytest.approx((6.5 * INCH * k, 6.5 * INCH * k + SIX), abs=CUT_MM) for k in range(11)
    ]
    for u0, _, u1, _ in slats:
        assert (u0, u1) == pytest.approx((-THICK, 120 * INCH + THICK), abs=CUT_MM)
    for wall in ("left", "right"):
        plan = plan_of(store, wall)
        for part in of_group(store, f"{wall} wall slats"):
            assert depths(plan, part) == pytest.approx((0.0, THICK), abs=CUT_MM)
            _, foot, _, top = in_wall(plan, part).bounds
            assert foot / (6.5 * INCH) == pytest.approx(round(foot / (6.5 * INCH)), abs=1e-6)
            assert top - foot <= SIX + CUT_MM


def test_nails_of_slats_braces_and_floor_boards(store: Building) -> None:
    rows = fasteners(store)

    def pieces(joint: str, where: str) -> int:
        return sum(row.pieces for row in rows if row.joint == joint and row.where == where)

    # Studs 16 in apart in 10 ft: at both ends and at 16, 32 to 112 in, 9. Two nails in each of the
    # 11 slats at each (IBC Table 2304.10.1, two in boards up to 1x6 at each bearing).
    assert pieces("slat to stud", "back wall slats") == 2 * 11 * 9
    # At 55 degrees a brace reaches 53 in along the wall: over the end stud and three on centre, a
    # bottom and a top plate; two of them, two nails at each (IRC Table R602.10.4, method LIB).
    assert pieces("let-in brace to studs and plates", "back wall") == 2 * 2 * (4 + 2)
    # 5 ft take 11 boards of 5-1/2 in with gaps of 1/4 in; 9 joists as the studs; two nails.
    assert pieces("floor board to joist", "floor deck") == 2 * 11 * 9


def test_braces_by_hand(store: Building) -> None:
    # From the floor to 1/4 in under the upper plate: 72 - 1-1/2 - 1/4 in. At 45 and 50 degrees two
    # would meet in 10 ft: 2 (70-1/4 / tan 50 + 3-1/2 / sin 50) = 127 in. At 55 they do not.
    high = 70.25
    back = [p for p in of_kind(store, Kind.LET_IN_BRACE) if p.name.startswith("back")]
    slope = math.radians(55)
    assert len(back) == 2
    for brace in back:
        long_mm = (high / math.sin(slope) + 3.5 / math.tan(slope)) * INCH
        assert brace.length_mm == pytest.approx(long_mm, abs=CUT_MM)
        assert depths(plan_of(store, "back"), brace) == pytest.approx((-THICK, 0.0), abs=CUT_MM)


def test_studs_are_notched_for_braces() -> None:
    # A notch takes what the brace covers of the stud's face, 3/4 in deep: at most a quarter of
    # the stud (IRC R602.6). Where it crosses one whole, its height is the brace's width over the
    # cosine of its slope.
    plain = build(scene_of(table(front={"kind": "braces", "brace": "none"})))
    braced = build(scene_of(table(front={"kind": "braces"})))
    assert not of_kind(plain, Kind.LET_IN_BRACE)
    plan, braces = plan_of(braced, "front"), of_kind(braced, Kind.LET_IN_BRACE)
    area = shapely.union_all([in_wall(plan, one) for one in braces])
    whole = {part.name: part for part in of_group(plain, "front wall")}
    lost: list[float] = []
    for stud in of_group(braced, "front wall"):
        if stud.kind == Kind.STUD:
            face = in_wall(plan, whole[stud.name])
            lost.append(whole[stud.name].volume_mm3 - stud.volume_mm3)
            covered = area.intersection(face).area
            assert lost[-1] == pytest.approx(covered * THICK, rel=1e-6, abs=1.0)
    assert THICK <= FOUR / 4
    height = FOUR / math.sqrt(1 - braces[0].placement.u[2] ** 2)
    assert max(lost) == pytest.approx(STUD * height * THICK, rel=1e-6)


@pytest.mark.parametrize("place", ["2 ft", "6 ft 6 in", "11 ft"])
def test_braces_keep_clear_of_openings_at_45_to_60_degrees(place: str) -> None:
    # IRC Table R602.10.4, method LIB.
    scene = {
        **table(front={"kind": "braces"}),
        "building": {"length": "16 ft", "depth": "6 ft"},
        "opening": [{**DOOR, "from_left": place}],
    }
    building = build(scene_of(scene))
    assert [finding.text for finding in check(building)] == []
    braces = of_kind(building, Kind.LET_IN_BRACE)
    assert braces
    plan = plan_of(building, "front")
    u0, v0, u1, v1 = plan.openings[0].rough
    for brace in braces:
        rise = math.degrees(math.asin(abs(brace.placement.u[2])))
        assert 45 - 1e-6 <= rise <= 60 + 1e-6
        assert in_wall(plan, brace).intersection(shapely.box(u0, v0, u1, v1)).area < 1.0


def test_open_side_stands_on_posts() -> None:
    # 8 ft high less two plates of 1-1/2 in and a 2x6 of 5-1/2 in, as over openings up to 6 ft; 4x4
    # posts in a wall of 2x4, 8 ft apart at most (common practice, no source): three in 10 ft.
    building = build(scene_of(table(front={"kind": "open"})))
    assert [finding.text for finding in check(building)] == []
    posts = of_kind(building, Kind.WALL_POST)
    assert [post.stock for post in posts] == ["4x4"] * 3
    for post in posts:
        assert post.length_mm == pytest.approx((96 - 3 - 5.5) * INCH, abs=CUT_MM)
    plies = [part for part in of_group(building, "front wall") if part.kind == Kind.HEADER]
    assert [ply.length_mm for ply in plies] == pytest.approx([120 * INCH] * 2, abs=CUT_MM)
    kinds = {part.kind for part in of_group(building, "front wall")}
    assert kinds == {Kind.WALL_POST, Kind.HEADER, Kind.HEADER_SPACER, Kind.TOP_PLATE}
    assert not of_group(building, "front wall sheathing")


def test_what_rain_gets_at_on_a_floor_is_treated() -> None:
    # Posts of an open front are columns exposed to the weather (IRC R317.1.4); plates behind slats
    # lie on a floor that rain comes in on, use category UC3B (AWPA U1, both from memory). Studs
    # over them dry.
    open_ = build(load_scene(FORMS / "kindling-store.toml"))
    assert all(part.material.treated for part in of_kind(open_, Kind.WALL_POST))
    assert all(part.material.treated for part in of_kind(open_, Kind.BOTTOM_PLATE))
    assert not any(part.material.treated for part in of_kind(open_, Kind.STUD))
    # Behind sheets a plate on a floor stays dry.
    closed = build(load_scene(FORMS / "cider-barn.toml"))
    assert not any(part.material.treated for part in of_kind(closed, Kind.BOTTOM_PLATE))


def test_half_wall(shed: Building) -> None:
    # Four posts, and studs 3-1/2 ft high with a cap plate in each of the three gaps: two at the
    # ends of each, the others on centre. Slats of 5-1/2 in 2 in apart: feet at 0, 7-1/2 to
    # 37-1/2 in, the last ripped to 42 - 37-1/2 in.
    front = plan_of(shed, "front")
    frame = of_group(shed, "front wall")
    assert len([part for part in frame if part.kind == Kind.WALL_POST]) == 4
    caps = [part for part in frame if part.name.startswith("front wall cap plate")]
    assert [in_wall(front, cap).bounds[3] for cap in caps] == pytest.approx([42 * INCH] * 3)
    studs = [part for part in frame if part.kind == Kind.STUD]
    assert {round(stud.length_mm / INCH, 6) for stud in studs} == {42 - 3}
    slats = sorted(in_wall(front, part).bounds[1::2] for part in of_group(shed, "front wall slats"))
    tops = sorted({(round(low / INCH, 6), round(high / INCH, 6)) for low, high in slats})
    assert tops == [(7.5 * k, 7.5 * k + 5.5) for k in range(5)] + [(37.5, 42.0)]


def test_a_doorway_parts_a_half_wall() -> None:
    # Three posts of 3-1/2 in: 0 to 3-1/2, 58-1/4 to 61-3/4 and 116-1/2 to 120 in. A gap from 16 to
    # 40 in leaves three lengths, each with a stud at both ends, a cap and a bottom plate of its
    # own; nothing lies over the gap.
    half = {"kind": "slats", "height": "3 ft 6 in", "gap": "2 in", "posts": 3}
    gate = {**DOOR, "from_left": "16 in", "width": "24 in", "height": "3 ft 6 in"}
    building = build(scene_of({**table(front=half), "opening": [gate]}))
    front = plan_of(building, "front")
    frame = of_group(building, "front wall")
    caps = [part for part in frame if part.name.startswith("front wall cap plate")]
    ends = sorted(in_wall(front, cap).bounds[::2] for cap in caps)
    expected = [(3.5, 16.0), (40.0, 58.25), (61.75, 116.5)]
    assert ends == [pytest.approx([u * INCH for u in pair]) for pair in expected]
    plates = [part for part in frame if part.kind == Kind.BOTTOM_PLATE]
    assert sorted(in_wall(front, part).bounds[0] for part in plates) == pytest.approx(
        [pair[0] * INCH for pair in expected]
    )
    studs = [in_wall(front, part).bounds for part in frame if part.kind == Kind.STUD]
    for left, right in expected:
        own = [b for b in studs if left * INCH - 1 < b[0] and b[2] < right * INCH + 1]
        assert min(b[0] for b in own) == pytest.approx(left * INCH)
        assert max(b[2] for b in own) == pytest.approx(right * INCH)
    kinds = {part.kind for part in frame if part.name.startswith("door")}
    assert not kinds
    for part in of_group(building, "front wall slats"):
        left, _, right, _ = in_wall(front, part).bounds
        assert right <= 16 * INCH + CUT_MM or left >= 40 * INCH - CUT_MM
    assert check(building) == ()


def test_cover_follows_each_wall(shed: Building) -> None:
    # No wrap and no siding on slats; on a half wall to its top, 4 ft; on bare studs against these.
    for kinds in ((Kind.WRAP,), tuple(CLADDING - {Kind.CORNER_BOARD})):
        covered = {part.group.split()[0] for part in of_kind(shed, *kinds)}
        assert covered == {"back", "left", "right"}
    right = plan_of(shed, "right")
    # The corner boards that close the back wall's end beside it go on to the eave.
    for part in of_group(shed, "right wall cladding"):
        if part.kind != Kind.CORNER_BOARD or in_wall(right, part).bounds[0] < 48 * INCH:
            assert in_wall(right, part).bounds[3] <= 48 * INCH + CUT_MM
    back = plan_of(shed, "back")
    siding = [p for p in of_group(shed, "back wall cladding") if p.kind == Kind.SIDING]
    # Flashings, wrap and membranes take 4 mm; boards are 3/4 in thick.
    for board in siding:
        assert depths(back, board) == pytest.approx((4.0, 4.0 + THICK), abs=CUT_MM)
    assert not of_group(shed, "back wall sheathing")


def test_lining_covers_the_room(shed: Building) -> None:
    # Half wall at the right, 4 ft high and 108 - 2 x 3-1/2 in from front to back wall, clear of
    # the posts' faces: on their inner side it runs past them.
    (area,) = (s for s in surfaces(shed) if s.name == "right wall" and s.side == "inside")
    # Joints of 1/8 in (APA) on the studs at 48 and 96 in.
    gaps = 2 * 48 / 8
    assert area.area_mm2 / INCH**2 == pytest.approx(101 * 48 - gaps)
    for wall in ("left", "right"):
        plan = plan_of(shed, wall)
        lining = [p for p in of_group(shed, f"{wall} wall lining") if p.kind == Kind.LINING]
        for sheet in lining:
            assert depths(plan, sheet) == pytest.approx((-FOUR - 0.5 * INCH, -FOUR), abs=CUT_MM)


def test_floor_of_boards(store: Building) -> None:
    # 60 in: ten whole boards would end at 57-1/4 in and leave 2-1/2 in; nine, and two that share
    # what is left: (60 - 9 x 5-3/4 - 1/4) / 2 = 4 in.
    boards = sorted(box_of(part).low[1] for part in of_kind(store, Kind.FLOOR_BOARD))
    feet = [*(5.75 * k for k in range(10)), 56.0]
    assert [y / INCH for y in boards] == pytest.approx(feet)
    widths = [box_of(p).high[1] - box_of(p).low[1] for p in of_kind(store, Kind.FLOOR_BOARD)]
    assert sorted(w / INCH for w in widths) == pytest.approx([4.0] * 2 + [5.5] * 9)


def test_bare_joists_double_under_side_walls() -> None:
    scene = table(front={"kind": "open"})
    sheeted = build(scene_of(scene))
    bare = build(scene_of({**scene, "floor": {"sheet": "none"}}))
    assert [finding.text for finding in check(bare)] == []
    assert not of_kind(bare, Kind.FLOOR_SHEET, Kind.FLOOR_BOARD)
    joists = [len(of_kind(one, Kind.JOIST)) for one in (sheeted, bare)]
    assert joists[1] == joists[0] + 2


def test_wide_studs_under_braces_are_told() -> None:
    # IRC Table R602.10.4, method LIB, from memory: studs 16 in apart at most.
    building = build(scene_of(table(left={"kind": "braces"}, spacing="24 in")))
    (found,) = [one for one in check(building) if one.key == "walls.spacing"]
    assert found.mend == "give at most 1' 4\""


REFUSED = {
    "door in an open wall": (
        {**table(front={"kind": "open"}), "opening": [DOOR]},
        "opening[1].wall",
        '"front"',
    ),
    "window in a half wall": (
        {**table(front={"kind": "sheets", "height": "2 ft"}), "opening": [WINDOW]},
        "opening[1].wall",
        '"front"',
    ),
    "gap lower than its half wall": (
        {
            **table(front={"kind": "slats", "height": "4 ft", "posts": 3}),
            "opening": [{**DOOR, "from_left": "1 ft", "height": "3 ft"}],
        },
        "opening[1].height",
        '"3 ft"',
    ),
    "gap where a post stands": (
        {**table(front={"kind": "slats", "height": "4 ft", "posts": 3}), "opening": [DOOR]},
        "opening[1].from_left",
        '"3 ft 6 in"',
    ),
    "gap with a lath of half wall beside it": (
        {
            **table(front={"kind": "slats", "height": "4 ft", "posts": 3}),
            "opening": [{**DOOR, "from_left": "5 in"}],
        },
        "opening[1].from_left",
        '"5 in"',
    ),
    "leaf in a half wall": (
        {
            **table(front={"kind": "slats", "height": "4 ft", "posts": 3}),
            "opening": [{**DOOR, "from_left": "1 ft", "door": {"kind": "ledged"}}],
        },
        "opening[1].door",
        None,
    ),
    "slats without air": (table(front={"kind": "slats", "gap": "0 in"}), "walls.front.gap", None),
    "slats that overlap": (table(front={"kind": "slats", "gap": "-1 in"}), "walls.front.gap", None),
    "brace beside a wide opening": (
        {
            **table(front={"kind": "braces"}),
            "opening": [{**DOOR, "from_left": "2 ft", "width": "6 ft"}],
        },
        "walls.front.brace",
        None,
    ),
    "brace that takes half the stud": (
        table(front={"kind": "slats", "brace": "2x4"}),
        "walls.front.brace",
        '"2x4"',
    ),
    "posts too far apart for the header": (
        table(front={"kind": "open", "posts": 2, "header": "2x6"}),
        "walls.front.header",
        '"2x6"',
    ),
    "half wall up to the header": (
        table(front={"kind": "sheets", "height": "7 ft"}),
        "walls.front.height",
        '"7 ft"',
    ),
    "post thicker than the wall": (
        table(front={"kind": "open", "post": "6x6"}),
        "walls.front.post",
        '"6x6"',
    ),
    "posts that touch": (table(front={"kind": "open", "posts": 30}), "walls.front.posts", "30"),
    "ridge over an open wall": (
        {
            **table(left={"kind": "open"}),
            "roof": {"slope": "6:12", "ridge": {"kind": "beam"}},
        },
        "walls.left.kind",
        '"open"',
    ),
    "ledger on slats": (
        {
            **table(front={"kind": "slats"}),
            "bay": [{"side": "front", "reach": "5 ft", "roof": "ledger", "ledger_height": "7 ft"}],
        },
        "bay[1].roof",
        '"ledger"',
    ),
    "siding on slats": (
        {
            **table(front={"kind": "slats"}),
            "cladding": [{"kind": "boards", "walls": ["front", "left"]}],
        },
        "cladding[1].walls",
        None,
    ),
    "girts that lie one on the other": (
        table(front={"kind": "slats", "girts": "over", "girt_spacing": "6 in"}),
        "walls.front.girt_spacing",
        None,
    ),
    "girts thicker than the wall": (
        table(front={"kind": "slats", "girts": "between", "girt": "6x6"}),
        "walls.front.girt",
        None,
    ),
    "wrap on nothing": (
        {**table(**{w: {"kind": "slats"} for w in ("front", "back", "left", "right")}), "wrap": {}},
        "wrap",
        None,
    ),
    "floor of sheets and boards": (
        {**table(), "floor": {"sheet": "23/32 plywood", "board": "2x6"}},
        "floor",
        None,
    ),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_cannot_be_is_told_with_mends_that_work(case: str) -> None:
    scene, key, value = REFUSED[case]
    _, problems = check_scene(scene)
    assert [problem.key for problem in problems] == [key]
    (problem,) = problems
    if value:
        assert problem.value == value
    found = ways(problem.mend, problem.key)
    assert found
    for mended, new in found:
        _, left = check_scene(follow(scene, mended, new))
        assert problem.wrong not in [one.wrong for one in left], (mended, new)
