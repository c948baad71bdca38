"""Lofts, against the code, plane geometry and counts by hand. Inches where it says so."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from math import ceil, hypot
from typing import Any

import pytest
import shapely
from shapely import Polygon as Area
from shapely import box

from measuring import INCH, box_of, from_the_end, of_group, of_kind
from mended import follow, ways
from pikepole_export.derive.buying.fasteners import fasteners
from pikepole_export.derive.inventory.parts import part_rows
from pikepole_export.derive.inventory.summary import summary
from pikepole_export.derive.inventory.weights import weights
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.fit import check
from pikepole_model.geometry.shape import Circle, Prism
from pikepole_model.reading.file import check_scene
from pikepole_model.reading.found import with_tried_mends
from pikepole_model.units import parse_load
from strategies import Table, scene_of
from test_saltbox import BARE
from whole import changes

# PS 20 and PS 1, inches.
THICK, DEPTH_2X6, DEPTH_2X8, DEPTH_2X10, WALL = 1.5, 5.5, 7.25, 9.25, 3.5
SHEET = 23 / 32


LINED = {"kind": "sheets", "lining": "1/2 plywood"}


def gable(loft: Table | None, **tables: Any) -> Table:
    """16 ft by 12 ft on a pad, 9 in 12 on a ridge beam, rafters 24 in apart, walls of 8 ft."""
    return {
        "title": "Smoker store",
        "building": {"length": "16 ft", "depth": "12 ft"},
        "foundation": {"kind": "pad", "edge_depth": "18 in"},
        "walls": {"low_height": "8 ft"},
        "roof": {"slope": "9:12", "spacing": "24 in", "ridge": {"kind": "beam"}},
        "loft": loft,
        **tables,
    }


def span_of(part: Part, axis: int) -> tuple[float, float]:
    """From and to of a part along an axis of the building, inches."""
    sides = box_of(part)
    return sides.low[axis] / INCH, sides.high[axis] / INCH


def sheets_of(building: Building) -> list[Part]:
    return of_kind(building, Kind.LOFT_SHEET)


def plan(part: Part) -> Area:
    """A piece of the loft from above, inches."""
    body = part.shape.body
    if part.kind == Kind.LOFT_SHEET and isinstance(body, Prism):
        hull, *holes = (
            [[x / INCH for x in part.placement.point(u, v)[:2]] for u, v in loop]
            for loop in (body.outline, *body.holes)
            if not isinstance(loop, Circle)
        )
        return Area(hull, holes)
    (x0, x1), (y0, y1) = span_of(part, 0), span_of(part, 1)
    return box(x0, y0, x1, y1)


def nails(building: Building, joint: str) -> int:
    """Fasteners of a joint in the loft's frame."""
    rows = [row for row in fasteners(building) if row.joint == joint and row.where == "loft frame"]
    return sum(row.pieces for row in rows)


def test_counted_by_hand(comb_store: Building) -> None:
    # 216 in long: rafters at 24, 48 ... 192 and the ends. A joist on the right of each of the 8,
    # from 24.75 on; one at either end of the floor, 3-1/2 to 212-1/2. The opening from 148 to 178
    # cuts that at 168.75 in two, those at 144.75 and 192.75 are doubled, the latter on its right,
    # for a rafter is on its left. Headers from 147.75 to 192.75, 45 in, under 4 ft: single. A short
    # joist under the opening's right side, from 178 on, which is 14.75 in from the next joist; its
    # left one is 1/4 in.
    counted = Counter(part.kind for part in comb_store.parts)
    assert counted[Kind.LOFT_JOIST] == 8 + 2 + 1 + 2 + 1
    assert counted[Kind.LOFT_HEADER] == 2
    assert counted[Kind.LOFT_BLOCK] == 0
    assert counted[Kind.LOFT_LEDGER] == 0
    starts = sorted(
        {round(span_of(part, 0)[0], 3) for part in of_kind(comb_store, Kind.LOFT_JOIST)}
    )
    beside = [24 * k + 0.75 for k in range(1, 9)]
    assert starts == pytest.approx(sorted([3.5, *beside, 146.25, 178.0, 194.25, 211.0]))
    for header in of_kind(comb_store, Kind.LOFT_HEADER):
        assert span_of(header, 0) == pytest.approx((147.75, 192.75))


def test_headers_over_4_ft_are_doubled() -> None:
    # IRC R502.10. Joists at 24.75, 48.75 ... : 4 ft 4 in cut those at 72.75 and 96.75, and doubles
    # at 50.25 and 122.25 leave 51.75 to 120.75, 69 in.
    opening = {"x": "60 in", "y": "4 ft", "width": "52 in", "depth": "3 ft"}
    building = build(scene_of(gable({"opening": opening})))
    assert check(building) == ()
    headers = of_kind(building, Kind.LOFT_HEADER)
    assert len(headers) == 4
    for header in headers:
        assert span_of(header, 0) == pytest.approx((51.75, 120.75))


def test_joists_lie_on_the_plates_from_face_to_face(comb_store: Building) -> None:
    plates = max(span_of(part, 2)[1] for part in of_group(comb_store, "front wall"))
    for joist in of_kind(comb_store, Kind.LOFT_JOIST):
        low, high = span_of(joist, 2)
        assert (low, high) == pytest.approx((plates, plates + DEPTH_2X8))
    whole = [span_of(part, 1) for part in of_kind(comb_store, Kind.LOFT_JOIST)]
    assert sum(y == pytest.approx((0, 156)) for y in whole) == 11


def test_sheets_end_where_the_rafters_come_down() -> None:
    # The undersides of 2x8s at 9 in 12 leave the plates where their seat ends, which is a quarter
    # of 7-1/4 in over the sine of the slope, 3 in 5 (IRC R802.7.1): at the top of the sheets they
    # are so much farther in; less 1/8 in of room. Along the building from wall to wall.
    roof = {"slope": "9:12", "spacing": "24 in", "ridge": {"kind": "beam"}, **BARE}
    building = build(scene_of(gable({}, roof=roof)))
    edge = DEPTH_2X8 / 4 / (3 / 5) + (DEPTH_2X6 + SHEET) / (9 / 12) + 1 / 8
    floor = box(WALL, edge, 192 - WALL, 144 - edge)
    # With half of the 1/8 in between them all round each.
    spread = [plan(part).buffer(1 / 16, join_style="mitre") for part in sheets_of(building)]
    whole = shapely.union_all(spread)
    assert whole.symmetric_difference(floor.buffer(1 / 16, join_style="mitre")).area < 0.1


def test_nothing_lies_over_the_opening(comb_store: Building) -> None:
    hole = box(148, 72, 178, 126)
    frame = of_kind(comb_store, Kind.LOFT_JOIST, Kind.LOFT_HEADER, Kind.LOFT_BLOCK)
    for part in [*sheets_of(comb_store), *frame]:
        assert plan(part).intersection(hole).area < 0.01, part.name
    # And all round it the sheets come up to its edges.
    ring = hole.buffer(0.5).difference(hole)
    assert shapely.union_all([plan(part) for part in sheets_of(comb_store)]).intersection(
        ring
    ).area == pytest.approx(ring.area, rel=0.05)


def test_ladder_by_the_framing_square(comb_store: Building) -> None:
    # 4 in 1. From the floor to the top of the loft's sheets in equal rises of 12 in at most; the
    # rails' edges lie hypot(1, 4) / 4 of their height along, between level cuts, less the plumb cut
    # against the header from its foot up.
    treads = sorted(span_of(part, 2)[1] for part in of_kind(comb_store, Kind.LADDER_TREAD))
    floor = max(span_of(part, 2)[1] for part in of_kind(comb_store, Kind.FLOOR_SHEET))
    top = max(span_of(part, 2)[1] for part in of_kind(comb_store, Kind.LOFT_SHEET))
    assert top - floor == pytest.approx(96 + DEPTH_2X8 + SHEET)
    rises = ceil((top - floor) / 12)
    assert len(treads) == rises - 1
    for low, high in pairwise([floor, *treads, top]):
        assert high - low == pytest.approx((top - floor) / rises)
    for rail in of_kind(comb_store, Kind.LADDER_RAIL):
        assert span_of(rail, 2) == pytest.approx((floor, top))
        outline = list(from_the_end(rail).exterior.coords)
        steps = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(outline)]
        dy, dz = max(steps, key=lambda step: hypot(*step))
        assert abs(dz / dy) == pytest.approx(4, rel=1e-6)
        assert hypot(dy, dz) / INCH == pytest.approx((top - floor) * hypot(1, 4) / 4, rel=1e-6)
        # The head is against the header before the opening.
        assert span_of(rail, 1)[0] == pytest.approx(72)
    widths = [span_of(part, 0) for part in of_kind(comb_store, Kind.LADDER_TREAD)]
    assert all(width == pytest.approx((155.0, 171.0)) for width in widths)


def test_grab_rails_over_the_head_of_the_ladder(comb_store: Building) -> None:
    # 42 in over the loft's floor (29 CFR 1910.23(d)(4), from memory): 2x4s at both sides of the
    # opening, 148 to 178 in along it, on the header at its front, 72 in.
    grabs = of_kind(comb_store, Kind.GRAB_RAIL)
    top = max(span_of(part, 2)[1] for part in of_kind(comb_store, Kind.LOFT_SHEET))
    joists = min(span_of(part, 2)[0] for part in of_kind(comb_store, Kind.LOFT_JOIST))
    assert [span_of(part, 0) for part in grabs] == [
        pytest.approx((148.0, 149.5)),
        pytest.approx((176.5, 178.0)),
    ]
    for grab in grabs:
        assert span_of(grab, 1) == pytest.approx((72.0, 75.5))
        assert span_of(grab, 2) == pytest.approx((joists, top + 42))
        assert any("loft header" in name for name in touching(comb_store, grab.name))


def test_grab_rails_end_under_a_low_roof() -> None:
    # 1 in plumb under rafters of 9 in 12 at the opening's back, 80 in: 1 in x cos square to them.
    building = build(scene_of(gable({"opening": {**WAY_UP, "y": "32 in", "ladder": {}}})))
    grabs, rafters = of_kind(building, Kind.GRAB_RAIL), of_kind(building, Kind.RAFTER)
    top = max(span_of(part, 2)[1] for part in of_kind(building, Kind.LOFT_SHEET))
    assert len(grabs) == 2
    for grab in grabs:
        high = span_of(grab, 2)[1]
        assert 30 < high - top < 42
        corner = shapely.Point(80.0 * INCH, high * INCH)
        under = min(from_the_end(rafter).distance(corner) for rafter in rafters)
        assert under == pytest.approx(12 / hypot(12, 9) * INCH, abs=0.1)


def touching(building: Building, name: str) -> set[str]:
    return {
        other
        for joint in building.joints
        if name in (joint.a, joint.b)
        for other in (joint.a, joint.b)
        if other != name
    }


def test_joists_tie_the_rafters(veil_loft: Building) -> None:
    # IRC R802.5.2: beside every pair of rafters that leans on a board a joist or a tie, nailed to
    # both feet. Twelve pairs between the end ones, 400 mm apart; the floor reaches from 2500 mm to
    # the far wall, so that the last 6 have joists and the others ties.
    named = {part.name: part for part in veil_loft.parts}
    pairs: dict[float, list[str]] = {}
    for part in of_kind(veil_loft, Kind.RAFTER):
        box = box_of(part)
        pairs.setdefault(round((box.low[0] + box.high[0]) / 2), []).append(part.name)
    assert len(pairs) == 12
    for x, rafters in pairs.items():
        assert len(rafters) == 2
        held = touching(veil_loft, rafters[0]) & touching(veil_loft, rafters[1])
        kinds = {named[name].kind for name in held} & {Kind.TIE, Kind.LOFT_JOIST}
        assert kinds == {Kind.LOFT_JOIST if x > 2500 else Kind.TIE}
    # 3-16d common at each foot: IBC Table 2304.10.1, row 3.
    assert nails(veil_loft, "tie to rafter") == 3 * 2 * 6


def test_a_loft_over_all_leaves_no_ties() -> None:
    ridge = {"kind": "board"}
    roof = {"slope": "9:12", "spacing": "24 in", "rafter": "2x8", "ridge": ridge}
    building = build(scene_of(gable({}, roof=roof)))
    assert check(building) == ()
    assert of_kind(building, Kind.TIE) == []


def test_ledgers_by_hand() -> None:
    # At 7 ft over a pad, over the left 8 ft: joists on centre at 16 ... 80 in, the first and the
    # last at the edges, 3-1/2 and 94-1/2 in. Between the walls, 137 in. Two ledgers of 92-1/2 in;
    # a block in each of the 6 gaps, twice.
    building = build(scene_of(gable({"height": "7 ft", "reach": "8 ft"})))
    assert check(building) == ()
    joists = of_kind(building, Kind.LOFT_JOIST)
    starts = [span_of(joist, 0)[0] for joist in joists]
    assert starts == pytest.approx([3.5, *(16 * k - 0.75 for k in range(1, 6)), 94.5])
    top = 6.0  # of the pad, over the ground
    for joist in joists:
        assert span_of(joist, 1) == pytest.approx((3.5, 140.5))
        assert span_of(joist, 2) == pytest.approx((top + 84, top + 84 + DEPTH_2X6))
    ledgers = of_kind(building, Kind.LOFT_LEDGER)
    assert len(ledgers) == 2
    for ledger in ledgers:
        assert span_of(ledger, 0) == pytest.approx((3.5, 96))
        assert span_of(ledger, 2) == pytest.approx((top + 84 - WALL, top + 84))
    assert len(of_kind(building, Kind.LOFT_BLOCK)) == 2 * 6
    # 3-8d common, toenail, at each end of a joist: IRC 2021 Table R602.3(1) item 22.
    assert nails(building, "loft joist to ledger") == 3 * 2 * 7


# Under 9:12 rafters the sheets reach from wall to wall, 144 - 2 x 3.5 - 2/8 in deep: rows of 48 in
# meet 48-1/8 and 96-1/4 in from the front ones' edge, 3-5/8 in from the framing.
ROWS = [51.75, 99.875]
SQUARE = {"height": "7 ft", "reach": "8 ft", "spacing": "16 in", "edge": "square"}
UP = {"x": "30 in", "y": "40 in", "width": "36 in", "depth": "30 in"}


def rows(building: Building) -> dict[float, list[tuple[float, float]]]:
    """From and to of blocks along the building, by how far their middle is from the front, in."""
    found: dict[float, list[tuple[float, float]]] = {}
    for part in of_kind(building, Kind.LOFT_BLOCK):
        y0, y1 = span_of(part, 1)
        found.setdefault(round((y0 + y1) / 2, 3), []).append(span_of(part, 0))
    return {y: sorted(found[y]) for y in sorted(found)}


def test_square_edges_lie_on_blocks() -> None:
    # IRC Table R503.2.1.1(1), note on edges (from memory). Joists at the wall, 16 ... 80 and at
    # 96 in, 7 of them: 6 gaps, of 14-1/2 in but at the ends.
    building = build(scene_of(gable(SQUARE)))
    assert check(building) == ()
    told = rows(building)
    assert all(len(told[y]) == 6 for y in ROWS)
    assert told[ROWS[0]][1] == pytest.approx((16.75, 31.25))
    assert nails(building, "loft block to joist") == 4 * sum(map(len, told.values()))
    # Tongue and groove takes none: blocks on the ledgers alone.
    tongued = build(scene_of(gable({**SQUARE, "edge": "tongue-and-groove"})))
    assert not set(rows(tongued)) & set(ROWS)


def test_blocks_under_edges_stop_at_the_opening() -> None:
    # It cuts the joists at 32, 48 and 64 in, from 30 to 66 in. Between the doubled joists at 16 and
    # 80 in stand blocks under its sides; the first row of edges crosses it.
    building = build(scene_of(gable({**SQUARE, "opening": UP})))
    assert check(building) == ()
    told = rows(building)
    assert len(told[ROWS[1]]) == 6
    # From the doubled joists, 18.25 and 77.75 in, to the blocks under the opening's sides.
    first, *beside, last = told[ROWS[0]]
    assert beside == [pytest.approx((18.25, 28.5)), pytest.approx((67.5, 77.75))]
    assert first[1] < 16
    assert last[0] > 80


def test_bare_edges_of_a_loft_are_found() -> None:
    building = build(scene_of(gable({**SQUARE, "edge_blocks": False})))
    (found,) = check(building)
    assert (found.key, found.mend) == ("loft.edge_blocks", "give true")


def test_between_walls_of_two_heights() -> None:
    # A monopitch of 6 in 12 over 12 ft: on the low wall's plates beside the rafters, on a ledger at
    # the high one.
    roof = {"slope": "6:12", "spacing": "24 in"}
    building = build(scene_of(gable({}, roof=roof)))
    assert check(building) == ()
    (ledger,) = of_kind(building, Kind.LOFT_LEDGER)
    back = max(span_of(part, 2)[1] for part in of_group(building, "back wall"))
    assert ledger.name == "front loft ledger"
    assert span_of(ledger, 2)[1] == pytest.approx(back)
    for joist in of_kind(building, Kind.LOFT_JOIST):
        assert span_of(joist, 1) == pytest.approx((3.5, 144.0))


def test_lining_is_cut_round_its_edge() -> None:
    # In front it leaves out ledger, joists and sheets, 1/8 in more all round, from the left wall's
    # lining at 4 in to the last joist's face at 96 in; but for the 1/8 in between its own sheets.
    walls = {"low_height": "8 ft", **dict.fromkeys(("front", "left"), LINED)}
    area: list[float] = []
    for loft in ({"height": "7 ft", "reach": "8 ft"}, None):
        table = gable(loft, walls=walls)
        building = build(scene_of({key: value for key, value in table.items() if value}))
        assert check(building) == ()
        lining = [p for p in of_kind(building, Kind.LINING) if p.name.startswith("front")]
        area.append(sum(part.volume_mm3 for part in lining) / INCH**3 / 0.5)
    high = WALL + DEPTH_2X6 + SHEET + 2 / 8
    assert area[1] - area[0] == pytest.approx((96 + 1 / 8 - 4) * high, rel=0.01)


def test_its_load_is_told(comb_store: Building) -> None:
    rows = part_rows(comb_store)
    told = summary(comb_store, rows, weights(comb_store, rows), ()).loft
    assert told
    assert told.live_load_kn_m2 == parse_load("40 psf")
    sheets = of_kind(comb_store, Kind.LOFT_SHEET)
    assert told.floor_mm2 == pytest.approx(
        sum(part.volume_mm3 for part in sheets) / (SHEET * INCH), rel=1e-9
    )


@pytest.mark.parametrize(
    ("slope", "load", "least"),
    # IRC Table R301.5: 20 psf where an attic is more than 42 in high over its joists, 10 psf where
    # it is no more. 12 ft deep, 2x8 rafters: at 9 in 12 some 49 in, at 8 in 12 some 41 in.
    [
        ("9:12", "19 psf", "20 psf"),
        ("9:12", "20 psf", None),
        ("8:12", "9 psf", "10 psf"),
        ("8:12", "10 psf", None),
    ],
)
def test_a_load_under_the_codes_is_refused(slope: str, load: str, least: str | None) -> None:
    roof = {"slope": slope, "spacing": "24 in", "ridge": {"kind": "beam"}}
    problems = check_scene(gable({"live_load": load}, roof=roof))[1]
    assert [(one.key, one.mend) for one in problems] == (
        [("loft.live_load", f"give at least {least}")] if least else []
    )


TIED = {"slope": "9:12", "spacing": "24 in", "rafter": "2x6", "ridge": {"kind": "board"}}
WAY_UP = {"x": "5 ft", "y": "4 ft", "width": "30 in", "depth": "4 ft"}


def test_nothing_to_hold_on_to_is_told() -> None:
    for grab, keys in (("none", ["loft.opening.ladder.grab"]), ("2x4", [])):
        way_up = {**WAY_UP, "y": "32 in", "ladder": {"grab": grab}}
        building = build(scene_of(gable({"opening": way_up})))
        assert [finding.key for finding in check(building)] == keys


@pytest.mark.parametrize(("y", "found"), [("32-3/4 in", 0), ("33-1/4 in", 1), ("4 ft", 1)])
def test_a_ladder_is_got_off_where_the_roof_is_high(y: str, found: int) -> None:
    # 30 in, as over the access to an attic (IRC R807.1), measured under the rafters 12 in behind
    # the header at the opening's back.
    table = gable({"opening": {**WAY_UP, "y": y, "ladder": {}}})
    building = build(scene_of(table))
    far = max(span_of(part, 1)[1] for part in of_kind(building, Kind.LADDER_RAIL)) + 12
    top = max(span_of(part, 2)[1] for part in of_kind(building, Kind.LOFT_SHEET))
    plumb = shapely.LineString([(far * INCH, top * INCH), (far * INCH, 2 * top * INCH)])
    rafters = shapely.union_all([from_the_end(part) for part in of_kind(building, Kind.RAFTER)])
    assert (plumb.intersection(rafters).bounds[1] < (top + 30) * INCH) == bool(found)
    told = with_tried_mends(check(building), building)
    assert [one.key for one in told] == ["loft.opening.ladder.edge"] * found
    for one in told:
        assert one.mend
        for key, value in ways(one.mend, one.key):
            assert check(build(scene_of(follow(table, key, value)))) == ()


DOOR = {"name": "door", "kind": "door", "wall": "front", "from_left": "2 ft", "width": "32 in"}


@pytest.mark.parametrize(
    ("key", "wrong", "table"),
    [
        # A monopitch: the seat is 3-1/2 in, and so far from the high wall something 24 in wide
        # begins: (144 - 3.5 - 24 - 3.5) / 4 less joists of 5-1/2 in are 22-3/4 in.
        ("roof.slope", "1' 10-3/4\"", gable({}, roof={"slope": "3:12", "spacing": "24 in"})),
        ("loft.height", "plates", gable({"height": "8 ft 6 in"})),
        (
            "loft.height",
            '"door"',
            gable({"height": "6 ft"}, opening=[{**DOOR, "height": "6 ft 8 in"}]),
        ),
        (
            "opening[1].height",
            '"door"',
            gable({}, opening=[{**DOOR, "wall": "left", "from_left": "20 in", "height": "97 in"}]),
        ),
        ("loft.spacing", "ledgers", gable({"spacing": "16 in"})),
        ("loft.end", "reach", gable({"end": "right"})),
        ("loft.reach", "past the wall", gable({"reach": "20 ft"})),
        ("loft.reach", "1' 10-1/2\"", gable({"reach": "2 ft 2 in"})),
        ("loft.ledger", "R502.6", gable({"height": "6 ft", "ledger": "1x4"})),
        ("loft.opening.width", "R807.1", gable({"opening": {**WAY_UP, "width": "20 in"}})),
        ("loft.opening.width", "wider", gable({"opening": {**WAY_UP, "width": "16 ft"}})),
        ("loft.opening.x", "edge", gable({"opening": {**WAY_UP, "x": "14 ft"}})),
        ("loft.opening.y", "edge", gable({"opening": {**WAY_UP, "y": "1 in"}})),
        ("loft.opening.width", "R802.5.2", gable({"opening": WAY_UP}, roof=TIED)),
        (
            "loft.opening.ladder.width",
            "3' 0\"",  # 30 in, two rails and two grab rails of 1-1/2 in
            gable({"opening": {**WAY_UP, "ladder": {"width": "30 in"}}}),
        ),
        (
            "loft.opening.depth",
            "behind",
            gable({"opening": {**WAY_UP, "depth": "22 in", "ladder": {}}}),
        ),
        (
            "loft.opening.ladder.slope",
            "front wall",
            gable({"opening": {**WAY_UP, "y": "2 ft", "ladder": {"slope": "50 deg"}}}),
        ),
        (
            "loft.ledger",
            "open front wall",
            gable({"height": "7 ft"}, walls={"low_height": "8 ft", "front": {"kind": "open"}}),
        ),
        (
            "loft.opening.ladder",
            "bare joists",
            gable(
                {"opening": {**WAY_UP, "ladder": {}}},
                foundation={"kind": "skids"},
                floor={"sheet": "none"},
            ),
        ),
        # Ties on the plates, and a loft 12 in under them.
        (
            "loft.height",
            "ties",
            gable({"height": "7 ft"}, roof=TIED),
        ),
    ],
)
def test_refused_with_mends_that_work(key: str, wrong: str, table: Table) -> None:
    found = [problem for problem in check_scene(table)[1] if problem.key == key]
    assert [wrong in problem.wrong for problem in found] == [True], check_scene(table)[1]
    mended = changes(table, found[0])
    assert mended
    for way in mended:
        assert [str(problem) for problem in check_scene(way)[1]] == []


def test_a_length_that_cannot_be_read_is_told_alone() -> None:
    for broken in ({"height": "7"}, {"reach": "half"}, {"opening": {**WAY_UP, "x": "there"}}):
        problems = check_scene(gable(broken))[1]
        assert len(problems) == 1
        assert "cannot be read" in problems[0].wrong


@pytest.mark.parametrize(
    "tables",
    [
        # Knees 3 ft in from walls 6 ft 6 in apart.
        {
            "building": {"length": "8 ft", "depth": "6 ft 6 in"},
            "roof": {"slope": "8 deg", "ridge": {"kind": "beam"}}
            | {"knee": {"slope": "9:12", "from_wall": "3 ft"}},
        },
        # Down to the ground 9 ft in from a wall of 8 ft.
        {"walls": {"high_height": "8 ft"}, "roof": {"slope": "45 deg"}},
    ],
)
def test_under_a_roof_that_cannot_be_built_it_is_refused(tables: Table) -> None:
    assert check_scene(gable({}, **tables))[1]
