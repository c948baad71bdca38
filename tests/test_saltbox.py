"""Gables with the ridge out of the middle, against the framing square and plane geometry."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from math import atan, cos, hypot, sin

import numpy as np
import pytest
from shapely import LineString, get_coordinates

from measuring import CUT_MM, INCH, box_of, corners, from_the_end, of_kind
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.building.piece import Piece
from pikepole_model.checks.fit import check
from pikepole_model.layout.roof import set_rafters
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.reading.file import check_scene
from pikepole_model.scene.schema import Scene
from strategies import Table, scene_of
from test_close_fits import store
from test_rafters import PRINTED_IN, UNIT_LENGTHS
from whole import changes

BARE = dict.fromkeys(("eave_overhang", "rake_overhang"), "0 in")


def saltbox(ridge: Table | None = None, *, walls: Table | None = None, **roof: str) -> Table:
    """12 ft deep on a pad, its ridge 5 ft from the front, without overhangs."""
    return {
        "title": "Saltbox",
        "building": {"length": "8 ft", "depth": "12 ft"},
        "foundation": {"kind": "pad", "edge_depth": "18 in"},
        "walls": walls or {},
        "roof": {
            "slope": "9:12",
            **BARE,
            **roof,
            "ridge": {"kind": "beam", "from_front": "5 ft", **(ridge or {})},
        },
    }


def common(scene: Scene, side: str) -> Piece:
    rafters = [p for p in set_rafters(RoofPlan(Datums(scene))) if p.kind == Kind.RAFTER]
    return next(piece for piece in rafters if piece.label == f"{side} rafter")


def plate_tops(building: Building) -> dict[str, float]:
    """Top of the front and the back wall's plates above their bottom plates, inches."""
    tops: dict[str, float] = {}
    for wall in ("front wall", "back wall"):
        boxes = [box_of(part) for part in building.parts if part.group == wall]
        high = max(box.high[2] for box in boxes)
        tops[wall] = (high - min(box.low[2] for box in boxes)) / INCH
    return tops


def top_edge(rafter: Part | Piece) -> tuple[np.ndarray, np.ndarray]:
    """The two ends of a rafter's top edge in (y, z), from the ridge down, mm."""
    points = corners(rafter)[:, 1:]
    high = points[points[:, 1].argmax()]
    low = max(points.round(3).tolist(), key=lambda p: (round(abs(p[0] - high[0]), 2), p[1]))
    return high, np.array(low)


@pytest.mark.parametrize(("front", "back"), [(9, 4), (12, 5), (6, 6), (4, 10)])
def test_each_slope_by_the_framing_square(front: int, back: int) -> None:
    # As many unit lengths as its run has feet: 5 ft before the ridge, 7 ft behind it.
    table = saltbox({"plies": 4}, slope=f"{front}:12", back_slope=f"{back}:12", rafter="2x10")
    scene = scene_of(table)
    for side, run_ft, rise in (("front", 5, front), ("back", 7, back)):
        high, low = top_edge(common(scene, side))
        along = hypot(*(high - low)) / INCH
        assert along == pytest.approx(run_ft * UNIT_LENGTHS[rise], abs=run_ft * PRINTED_IN)


def test_equal_slopes_lower_the_farther_wall() -> None:
    # 2 ft farther from the ridge at 6 in 12: 12 in lower. Plane geometry.
    building = build(scene_of(saltbox(slope="6:12", walls={"high_height": "8 ft"})))
    assert check(building) == ()
    tops = plate_tops(building)
    assert tops["front wall"] == pytest.approx(96.0, abs=1e-3)
    assert tops["back wall"] == pytest.approx(84.0, abs=1e-3)


def test_heights_of_unequal_slopes() -> None:
    # A 2x10's top edge lies d/cos - s tan over a plate on which its seat is s, here the whole
    # 3-1/2 in of a 2x4, which a quarter of 9-1/4 in allows: at 9 in 12 9.25 x 1.25 - 2.625 =
    # 8.9375 in, at 4 in 12 9.25 x 12.649 / 12 - 1.1667 = 8.5837 in. From the front plate up 5 ft
    # at 9 in 12: 45 in, and down 7 ft at 4 in 12: 28 in. Plane geometry.
    walls = {"high_height": "9 ft"}
    building = build(scene_of(saltbox(back_slope="4:12", walls=walls, rafter="2x10")))
    assert check(building) == ()
    front = 9.25 * 1.25 - 3.5 * 0.75
    back = 9.25 * hypot(12, 4) / 12 - 3.5 / 3
    tops = plate_tops(building)
    assert tops["back wall"] - tops["front wall"] == pytest.approx(front + 45 - 28 - back, abs=1e-3)
    assert tops["back wall"] == pytest.approx(108.0, abs=1e-3)


@pytest.mark.parametrize("falls", ["back", "front"])
def test_two_heights_make_the_slope_behind_the_ridge(falls: str) -> None:
    # Rise and fall of the top edges from plate to plate: 45 in up over 5 ft at 9 in 12, then down
    # over 7 ft by what is left; the seats of 3-1/2 in as above. Solved for the slope by its tangent
    # t: 84 t + 9.25 sqrt(1 + t^2) - 3.5 t = 45 + 8.9375 + (front - back).
    walls = {"low_height": "7 ft", "high_height": "8 ft"}
    building = build(scene_of(saltbox(walls=walls, falls=falls, rafter="2x10")))
    assert check(building) == ()
    tops = plate_tops(building)
    low, high = ("back wall", "front wall") if falls == "back" else ("front wall", "back wall")
    assert tops[high] == pytest.approx(96.0, abs=1e-3)
    assert tops[low] == pytest.approx(84.0, abs=1e-3)
    drop = 12.0 if falls == "back" else -12.0
    high_end, low_end = top_edge(
        next(p for p in of_kind(building, Kind.RAFTER) if "back" in p.name)
    )
    t = abs((high_end - low_end)[1] / (high_end - low_end)[0])
    assert 84 * t + 9.25 * hypot(1, t) - 3.5 * t == pytest.approx(45 + 8.9375 + drop, abs=1e-3)


def test_rafters_meet_in_a_cut_that_halves_their_angle(weaving_shed: Building) -> None:
    # Over a beam both are cut alike: the ends of the pair have both corners in common.
    slopes = atan(9 / 12), atan(6 / 12)
    pair = [
        next(p for p in of_kind(weaving_shed, Kind.RAFTER) if p.name.startswith(side))
        for side in ("front", "back")
    ]
    shared = from_the_end(pair[0]).intersection(from_the_end(pair[1]).buffer(CUT_MM))
    ends = get_coordinates(shared)
    top, foot = ends[ends[:, 1].argmax()], ends[ends[:, 1].argmin()]
    # A 2x8 halved so is 7-1/4 / cos((a + b) / 2) across: plane geometry.
    across = 7.25 * INCH / cos(sum(slopes) / 2)
    assert hypot(*(top - foot)) == pytest.approx(across, abs=0.01)
    lean = math.atan2(top[0] - foot[0], top[1] - foot[1])
    assert lean == pytest.approx((slopes[1] - slopes[0]) / 2, abs=1e-4)


def test_bearing_on_the_ridge_beam(weaving_shed: Building) -> None:
    # Level seats of at least 1-1/2 in (IRC R802.6), notched a quarter at most (IRC R802.7.1).
    beam = [box_of(p) for p in weaving_shed.parts if p.group == "ridge beam"]
    top = max(box.high[2] for box in beam)
    span = min(box.low[1] for box in beam), max(box.high[1] for box in beam)
    rafters = of_kind(weaving_shed, Kind.RAFTER, Kind.END_RAFTER)
    assert {rafter.name.split()[0] for rafter in rafters} == {"front", "back"}
    for rafter in rafters:
        slope = atan((9 if rafter.name.startswith("front") else 6) / 12)
        depth = weaving_shed.scene.lumber_stock(rafter.stock).depth_mm
        seats = [
            (a, b)
            for a, b in itertools.pairwise(from_the_end(rafter).exterior.coords)
            if abs(a[1] - top) < CUT_MM and abs(b[1] - top) < CUT_MM
        ]
        assert len(seats) == 1, rafter.name
        y = sorted((seats[0][0][0], seats[0][1][0]))
        assert y[1] - y[0] >= 1.5 * INCH - CUT_MM, rafter.name
        assert (y[1] - y[0]) * sin(slope) <= depth / 4 + CUT_MM
        assert span[0] - CUT_MM <= y[0]
        assert y[1] <= span[1] + CUT_MM


def test_counted_by_hand(weaving_shed: Building) -> None:
    # 14 ft long, rafters 16 in apart from the left end: 16, 32 ... 144 stand as they are, 160 comes
    # in to 155-1/4, 12 in clear of the end, for lookouts reach in as far as they stand out. 10
    # pairs of rafters, 2 of end rafters, 2 of fly rafters; blocks in the 11 gaps of each slope,
    # over the wall and over the beam.
    counted = Counter(
        (part.name.split()[0], part.kind)
        for part in of_kind(
            weaving_shed, Kind.RAFTER, Kind.END_RAFTER, Kind.FLY_RAFTER, Kind.RAFTER_BLOCK
        )
    )
    for side in ("front", "back"):
        assert counted[side, Kind.RAFTER] == 10
        assert counted[side, Kind.END_RAFTER] == counted[side, Kind.FLY_RAFTER] == 2
        assert counted[side, Kind.RAFTER_BLOCK] == 22


def test_volumes_by_hand(weaving_shed: Building) -> None:
    # A fly rafter is a parallelogram on the level from the ridge's middle to its tail, 2x6, its
    # mitre as much longer above as it is shorter below: 5-1/2 / cos high, 1-1/2 thick (PS 20). The
    # mitre leans by t for each inch of depth; its triangle is t d^2 / cos / 2 more or less.
    slopes = {"front": (9 / 12, 52.0 + 12), "back": (6 / 12, 92.0 + 12)}
    plumb = {side: hypot(1, rise) for side, (rise, _) in slopes.items()}
    lean = (plumb["front"] - plumb["back"]) / (9 / 12 + 6 / 12)
    for side, (_, run) in slopes.items():
        more = lean if side == "front" else -lean
        area = (run + more * 5.5 / 2) * 5.5 * plumb[side]
        flies = [p for p in of_kind(weaving_shed, Kind.FLY_RAFTER) if p.name.startswith(side)]
        for fly in flies:
            assert fly.volume_mm3 / INCH**3 == pytest.approx(area * 1.5, rel=1e-6)
        # Sheets over fascia and barge boards of 3/4 in, less the gaps between them: 1/8 in square
        # edges (APA), of which no row has more than two and no slope more than three.
        sheets = [p for p in of_kind(weaving_shed, Kind.ROOF_SHEET) if p.name.startswith(side)]
        long, wide = 168 + 2 * (12 + 0.75), (run + 0.75) * plumb[side]
        covered = sum(p.volume_mm3 for p in sheets) / INCH**3 / (7 / 16)
        assert long * wide - (3 * long + 6 * wide) / 8 <= covered <= long * wide


def plumb_cut(parts: list[Part], y: float) -> list[tuple[float, float]]:
    """From and to of what parts take of a plumb line at a Y, mm above ground."""
    line = LineString([(y, 0.0), (y, 10_000.0)])
    found = [from_the_end(part).intersection(line) for part in parts]
    return [(one.bounds[1], one.bounds[3]) for one in found if not one.is_empty]


def test_end_walls_rake_along_both_slopes(weaving_shed: Building) -> None:
    # Raking plates lie under the end rafters all along: where they are not cut for the beam, their
    # tops are the end rafters' undersides. Measured 1 ft and 3 ft to each side of the ridge.
    ridge = 52 * INCH
    for wall, x in (("left", 0.0), ("right", 168 * INCH)):
        plates = [
            p for p in weaving_shed.parts if p.name.startswith(f"{wall} wall upper top plate")
        ]
        ends = [
            p
            for p in of_kind(weaving_shed, Kind.END_RAFTER)
            if min(abs(box_of(p).low[0] - x), abs(box_of(p).high[0] - x)) < CUT_MM
        ]
        assert len(plates) >= 2
        assert len(ends) == 2
        for y in (ridge - 36 * INCH, ridge - 12 * INCH, ridge + 12 * INCH, ridge + 36 * INCH):
            (plate,), (rafter,) = plumb_cut(plates, y), plumb_cut(ends, y)
            assert plate[1] == pytest.approx(rafter[0], abs=0.01)


def refused(table: Table) -> dict[str, str]:
    return {problem.key: problem.mend for problem in check_scene(table)[1]}


@pytest.mark.parametrize(
    ("key", "table"),
    [
        ("roof.ridge.from_front", saltbox({"from_front": "4 in"})),
        ("roof.ridge.from_front", saltbox({"from_front": "11 ft 9 in"})),
        (
            "roof.back_slope",
            saltbox(back_slope="4:12", walls={"low_height": "7 ft", "high_height": "8 ft"}),
        ),
        ("walls.high_height", saltbox(walls={"low_height": "8 ft", "high_height": "7 ft"})),
        # 5 ft at 9 in 12 is not 45 in more than 4 ft 6 in.
        (
            "walls.low_height",
            saltbox(walls={"low_height": "4 ft", "high_height": "12 ft"}, falls="front"),
        ),
        # Rafters of 7-1/4 in rise 5 in, and the board hangs 9-1/4 in down from their tops: no tie
        # of 3-1/2 in goes under it.
        (
            "roof.ridge.tie",
            saltbox({"kind": "board", "board": "2x10"}, slope="1:12", rafter="2x8"),
        ),
        # 6.4 in over a low wall whose third of the rise is less.
        (
            "roof.ridge.tie_height",
            saltbox({"kind": "board", "board": "1x12", "from_front": "3 ft"}),
        ),
    ],
)
def test_what_does_not_fit_is_refused_and_mended(key: str, table: Table) -> None:
    (problem,) = check_scene(table)[1]
    assert problem.key == key
    mended = changes(table, problem)
    assert mended
    for one in mended:
        assert not check_scene(one)[1], problem.mend


def test_where_no_tie_holds_the_walls_a_beam_carries_the_ridge() -> None:
    # A board's own keys go with it: a beam has none of them.
    own = {"board": "2x12", "tie": "2x4", "tie_height": "20 in"}
    table = saltbox(
        {"kind": "board", "from_front": "10 ft", **own}, slope="3:12", back_slope="1:12"
    )
    problem = next(one for one in check_scene(table)[1] if one.key == "roof.ridge.tie_height")
    (mended,) = changes(table, problem)
    assert mended["roof"]["ridge"] == {"kind": "beam", "from_front": "10 ft"}
    assert not check_scene(mended)[1]


@pytest.mark.parametrize(("high", "is_offered"), [({}, True), ({"high_height": "10 ft"}, False)])
def test_a_board_takes_a_beams_place_only_where_ties_hold(
    high: dict[str, str], is_offered: bool
) -> None:
    # A beam of 30 ft is longer than a 2x10 comes. In the middle of 12 ft a ridge at 6:12 is 3 ft
    # over walls of 7 ft, where a tie may lie a third up (IRC R802.5.2): over one of 10 ft it lies
    # at the ridge.
    table = store("30 ft", "12 ft", "6:12", walls={"low_height": "7 ft", **high})
    table["roof"]["ridge"] = {"kind": "beam"}
    (problem,) = check_scene(table)[1]
    assert problem.key == "roof.ridge.ply"
    assert ('give roof.ridge.kind "board"' in problem.mend) == is_offered


def test_two_slopes_want_a_ridge() -> None:
    heights = {"low_height": "7 ft", "high_height": "8 ft"}
    for table, key in (
        (saltbox(slope="1:12", back_slope="4:12"), "roof.back_slope"),
        (saltbox(slope="1:12", walls=heights), "walls"),
    ):
        del table["roof"]["ridge"]
        assert set(refused(table)) == {key}


def test_a_tie_spans_from_the_higher_wall() -> None:
    # Level over the front plates, 6 in of which the back wall lacks, and in the lower third of the
    # rise over the back plates: IRC R802.5.2.
    table = saltbox({"kind": "board", "from_front": "5 ft 6 in", "tie": "2x4"}, slope="6:12")
    building = build(scene_of(table))
    assert check(building) == ()
    tops = plate_tops(building)
    assert tops["front wall"] - tops["back wall"] == pytest.approx(6.0, abs=1e-3)
    front = max(box_of(p).high[2] for p in building.parts if p.group == "front wall")
    back = max(box_of(p).high[2] for p in building.parts if p.group == "back wall")
    peak = max(box_of(p).high[2] for p in of_kind(building, Kind.RAFTER))
    ties, fronts = of_kind(building, Kind.TIE), of_kind(building, Kind.RAFTER)
    assert len(ties) == len(fronts) / 2 > 0
    nailed = {frozenset((joint.a, joint.b)) for joint in building.joints}
    for tie in ties:
        assert box_of(tie).low[2] == pytest.approx(front, abs=CUT_MM)
        assert box_of(tie).low[2] - back <= (peak - back) / 3
        held = {p.name.split()[0] for p in fronts if frozenset((p.name, tie.name)) in nailed}
        assert held == {"front", "back"}


@pytest.mark.parametrize(
    ("table", "key"),
    [
        (saltbox(back_slope="2:12"), "roof.back_slope"),
        # 45 in up to the ridge from a wall 30 in lower: 15 in down over 7 ft.
        (
            saltbox(walls={"low_height": "7 ft", "high_height": "9 ft 6 in"}, falls="front"),
            "walls.high_height",
        ),
    ],
)
def test_panels_on_a_flat_slope_are_told_by_its_key(table: Table, key: str) -> None:
    # Lapped panels without sealant need 3 in 12 (IBC 1507.4.2).
    table["roofing"] = {}
    findings = check(build(scene_of(table)))
    assert [one.key for one in findings] == [key]
