"""Upright slats on girts, over the studs and between them, and blocks behind upright boards."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any, TypeAlias

import pytest

from measuring import CUT_MM, INCH, depths, in_wall, of_group, of_kind
from pikepole_export.derive.buying.fasteners import fasteners
from pikepole_export.derive.lifting.items import Handling, items
from pikepole_model.build import build
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import check
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.wall import WallPlan
from pikepole_model.plan.walls import plan_walls
from pikepole_model.reading.file import load_scene
from strategies import scene_of

Table: TypeAlias = dict[str, Any]

# Dressed sizes (PS 20): 2x4 is 1-1/2 x 3-1/2 in, 1x6 is 3/4 x 5-1/2 in. Sheets are 7/16 in.
STUD, FOUR, ONE_BY, SIX, SHEET = (inches * INCH for inches in (1.5, 3.5, 0.75, 5.5, 7 / 16))

# Upright boards are nailed at most 24 in apart. Source: IRC R703.5.1 (from memory); WWPA, Natural
# Wood Siding.
MOST_APART_MM = 24 * INCH

# A nail stands 3/8 in from an edge at least: so much wood takes one. Common practice, no source.
NAILED_MM = 3 / 8 * INCH


def store(front: Table, **tables: Any) -> Building:
    """10 x 6 ft, its front 8 ft high, where rafters do not come down before it."""
    walls: Table = {"high_height": "8 ft", "front": front, **tables.pop("walls", {})}
    table: Table = {
        "title": "Kiln store",
        "building": {"length": "10 ft", "depth": "6 ft"},
        "foundation": {"kind": "skids"},
        "floor": {},
        "walls": walls,
        "roof": {"slope": "2:12"},
        **tables,
    }
    return build(scene_of(table))


def plan_of(building: Building, wall: str) -> WallPlan:
    plans = plan_walls(RoofPlan(Datums(building.scene)))
    return next(plan for plan in plans if plan.name == wall)


def nails(building: Building, joint: str, where: str) -> int:
    rows = fasteners(building)
    return sum(row.pieces for row in rows if row.joint == joint and row.where == where)


def test_girts_over_studs_by_hand() -> None:
    # 96 in high, girts 3-1/2 in wide: middles from 1-3/4 to 94-1/4 in, four gaps of 23-1/8 in. A
    # front wall's run out over the side walls' sheets: 120 + 2 x 7/16 in, each in one length.
    building = store({"kind": "slats", "girts": "over"})
    assert check(building) == ()
    plan, girts = plan_of(building, "front"), of_group(building, "front wall girts")
    feet = sorted(in_wall(plan, girt).bounds[1] for girt in girts)
    assert feet == pytest.approx([23.125 * INCH * k for k in range(5)], abs=CUT_MM)
    for girt in girts:
        assert girt.kind == Kind.GIRT
        assert girt.length_mm == pytest.approx(120 * INCH + 2 * SHEET, abs=CUT_MM)
        assert depths(plan, girt) == pytest.approx((0.0, STUD), abs=CUT_MM)
    # Slats of 5-1/2 in 1 in apart over the same: 18 whole ones and one of 120-7/8 - 18 x 6-1/2 in.
    slats = of_group(building, "front wall slats")
    widths = sorted(in_wall(plan, s).bounds[2] - in_wall(plan, s).bounds[0] for s in slats)
    assert widths == pytest.approx([3.875 * INCH, *[SIX] * 18], abs=CUT_MM)
    for slat in slats:
        assert slat.length_mm == pytest.approx(96 * INCH, abs=CUT_MM)
        assert depths(plan, slat) == pytest.approx((STUD, STUD + ONE_BY), abs=CUT_MM)
    # Studs at both ends and at 16, 32 to 112 in: 9. Two nails at each of 5 girts; two in each slat.
    assert nails(building, "girt to stud or post", "front wall girts") == 2 * 5 * 9
    assert nails(building, "slat to girt or plate", "front wall slats") == 2 * 5 * 19


def test_girts_over_studs_stop_at_an_opening() -> None:
    # From 36 to 60 in up: of the rows at 0, 23-1/8, 46-1/4, 69-3/8 and 92-1/2 in the third is cut
    # in two, and one girt takes the ends of the slats over the window, one those under it.
    window = {
        "name": "hatch",
        "kind": "window",
        "wall": "front",
        "from_left": "48 in",
        "width": "24 in",
        "height": "24 in",
        "sill": "36 in",
    }
    building = store({"kind": "slats", "girts": "over"}, opening=[window])
    assert check(building) == ()
    plan = plan_of(building, "front")
    boxes = sorted(in_wall(plan, girt).bounds for girt in of_group(building, "front wall girts"))
    inner = [[round(x / INCH, 4) for x in bounds] for bounds in boxes if bounds[0] > 0]
    assert inner == [[48, 32.5, 72, 36], [48, 60, 72, 63.5], [72, 46.25, 120.4375, 49.75]]
    assert len(boxes) == 4 + 2 + 2


def test_girts_between_studs_are_framed_and_lifted_with_them() -> None:
    # From the bottom plate's middle, 3/4 in, to the lower top plate's, 93-3/4 in: four gaps of
    # 23-1/4 in, three rows in the 8 gaps between 9 studs, flush with their outer face.
    building = store({"kind": "slats", "girts": "between", "brace": "none"})
    assert check(building) == ()
    plan, girts = plan_of(building, "front"), of_kind(building, Kind.GIRT)
    middles = sorted({round(in_wall(plan, girt).centroid.y / INCH, 4) for girt in girts})
    assert middles == [24, 47.25, 70.5]
    assert len(girts) == 3 * 8
    for girt in girts:
        assert girt.group == "front wall"
        assert depths(plan, girt) == pytest.approx((-STUD, 0.0), abs=CUT_MM)
    assert nails(building, "girt to stud or post", "front wall") == 2 * 2 * len(girts)
    (wall,) = (item for item in items(building) if item.name == "front wall")
    assert wall.handling is Handling.WALL
    assert {girt.name for girt in girts} <= {part.name for part in wall.whole.parts}


@pytest.mark.parametrize(
    ("walls", "front", "rows"),
    [
        ({}, {"kind": "braces", "brace": "none"}, 3),
        ({"sheet": "3/8 OSB"}, {"kind": "sheets"}, 3),
        ({"sheet": "7/16 OSB"}, {"kind": "sheets"}, 3),
    ],
)
def test_upright_boards_have_blocks_behind_sheets_too(
    walls: Table, front: Table, rows: int
) -> None:
    # As girts between studs: 3 rows, at most 24 in apart (IRC R703.5.1, from memory; WWPA, Natural
    # Wood Siding), behind sheets as on bare studs.
    cladding = [{"kind": "battens", "walls": ["front"]}]
    building = store(front, walls=walls, cladding=cladding)
    assert check(building) == ()
    blocks = of_kind(building, Kind.NAILING_BLOCK)
    assert len(blocks) == rows * 8
    assert {block.group for block in blocks} <= {"front wall"}
    if rows:
        (wall,) = (item for item in items(building) if item.name == "front wall")
        assert {block.name for block in blocks} <= {part.name for part in wall.whole.parts}


def nailed_apart(building: Building, wall: str) -> list[float]:
    """The greatest distance between what each upright slat or board is nailed to, mm."""
    plan = plan_of(building, wall)
    boards = [
        part
        for part in of_kind(building, Kind.UPRIGHT_SLAT, Kind.UPRIGHT_BOARD, Kind.STRIP)
        if part.group.startswith(f"{wall} wall")
    ]
    over = of_group(building, f"{wall} wall girts")
    upright = (Kind.STUD, Kind.KING, Kind.JACK, Kind.CRIPPLE, Kind.WALL_POST)
    frame = over or [
        part
        for part in building.parts
        if part.kind.family is Family.WALL_FRAME and abs(depths(plan, part)[1]) < CUT_MM
    ]
    rows = [(in_wall(plan, part), part.kind in upright) for part in frame]
    apart: list[float] = []
    for board in boards:
        area = in_wall(plan, board)
        nailed = [(v, v) for v in (area.bounds[1], area.bounds[3])]
        for row, is_upright in rows:
            u0, v0, u1, v1 = row.intersection(area).bounds or (0.0, 0.0, 0.0, 0.0)
            if u1 - u0 >= NAILED_MM:
                middle = (v0 + v1) / 2
                nailed.append((v0, v1) if is_upright else (middle, middle))
        gaps, reach = [0.0], -math.inf
        for low, high in sorted(nailed):
            gaps.append(low - reach if reach > -math.inf else 0.0)
            reach = max(reach, high)
        apart.append(max(gaps))
    return apart


@pytest.mark.parametrize("wall", ["back", "left", "right"])
def test_every_upright_board_is_nailed_24_in_apart(wall: str) -> None:
    building = build(load_scene(Path(__file__).parent / "scenes/forms/log-store.toml"))
    assert check(building) == ()
    apart = nailed_apart(building, wall)
    assert len(apart) > 8
    assert max(apart) <= MOST_APART_MM + 1.0


@pytest.mark.parametrize("girts", ["over", "between"])
def test_girts_under_two_slopes(girts: str) -> None:
    # Up both rakes of a gable wall and along its eaves, on a half wall with posts through it.
    slats = {"kind": "slats", "girts": girts, "brace": "none"}
    building = store(
        slats,
        walls={"left": slats, "back": {**slats, "height": "40 in"}},
        roof={"slope": "6:12", "ridge": {"kind": "beam"}},
    )
    assert check(building) == ()
    for wall in ("front", "left"):
        assert max(nailed_apart(building, wall)) <= MOST_APART_MM + 1.0
