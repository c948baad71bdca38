"""The deck floor, measured on the parts."""

from __future__ import annotations

import itertools
from collections import defaultdict

import pytest
import shapely
from hypothesis import given

from conftest import FORMS
from draws import draws
from measuring import CUT_MM, GAP_MM, INCH, box_of, gaps, of_kind
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.building.piece import Piece
from pikepole_model.layout.floor import deck_floor, frame_floor
from pikepole_model.plan.datums import Datums
from pikepole_model.reading.file import load_scene
from pikepole_model.scene.schema import RidgeBeam, Scene
from strategies import scenes


def spans(pieces: list[Piece], kind: Kind, axis: int) -> list[tuple[float, float]]:
    boxes = [box_of(piece) for piece in pieces if piece.kind == kind]
    return sorted((box.low[axis], box.high[axis]) for box in boxes)


@draws(8)
@given(scenes())
def test_any_floor(scene: Scene) -> None:
    if scene.floor is None:
        return
    datums = Datums(scene)
    frame, deck = frame_floor(datums, scene.floor), deck_floor(datums, scene.floor)
    length, deep = scene.building.length, scene.building.depth
    joists = sorted(set(spans(frame, Kind.JOIST, 0)))
    # On centre from the left end, first and last flush (common practice, no source).
    if isinstance(scene.roof.ridge, RidgeBeam):
        # Double under side walls whose posts carry a beam (IRC R502.4).
        assert joists[1][0] == pytest.approx(joists[0][1], abs=CUT_MM)
        assert joists[-2][1] == pytest.approx(joists[-1][0], abs=CUT_MM)
        joists = [joists[0], *joists[2:-2], joists[-1]]
    centres = [(a + b) / 2 for a, b in joists]
    assert (joists[0][0], joists[-1][1]) == pytest.approx((0.0, length), abs=CUT_MM)
    breadth = scene.lumber_stock(scene.floor.joist).breadth_mm
    *between, last = gaps(centres)
    assert max(between, default=0.0) <= scene.floor.spacing + CUT_MM
    # A joist that the last one would touch is left out.
    assert last < scene.floor.spacing + breadth
    for centre in centres[1:-1]:
        marks = centre / scene.floor.spacing
        assert marks == pytest.approx(round(marks), abs=1e-6)
    # Joists fit between the rims, and stop on a header 6 mm and its own thickness clear of what
    # stands in their way.
    for piece in frame:
        if piece.kind != Kind.JOIST:
            continue
        x, reach = spans([piece], Kind.JOIST, 0)[0], spans([piece], Kind.JOIST, 1)[0]
        stops = {breadth, deep - breadth}
        for thing in scene.floor.through:
            if thing.x - 6 < x[1] and thing.x + thing.width + 6 > x[0]:
                stops |= {thing.y - 6 - breadth, thing.y + thing.depth + 6 + breadth}
        assert all(min(abs(end - stop) for stop in stops) < CUT_MM for end in reach)
    # Blocks between the joists, one a gap in each row, but where something stands or the gap is
    # under 3-1/2 in (common practice, no source); those behind the joints of rims besides.
    clear = [(a[1], b[0]) for a, b in itertools.pairwise(joists)]
    clear = [gap for gap in clear if gap[1] - gap[0] >= 3.5 * INCH]
    behind = check_rims(frame, breadth, deep)
    rows = [piece for piece in frame if not any(piece is block for block in behind)]
    blocks = spans(rows, Kind.FLOOR_BLOCK, 0)
    expected = sorted(clear * scene.floor.blocking_rows)
    if not scene.floor.through:
        assert blocks == [pytest.approx(gap, abs=CUT_MM) for gap in expected]
    assert len(blocks) >= len(expected) - 3 * scene.floor.blocking_rows
    # No rim longer than its stock; the front one's joints at least 24 in from the back one's.
    longest = scene.lumber_stock(scene.floor.joist).longest_mm
    assert all(b - a <= longest + CUT_MM for a, b in spans(frame, Kind.RIM, 0))
    check_deck(scene, deck, joists)


def check_rims(frame: list[Piece], breadth: float, deep: float) -> list[Piece]:
    """The blocks behind rims' joints; each length lies on as much of one as nails need.

    A 10d nail, 0.148 in, stands 15 diameters in from either end: NDS Commentary Table C12.1.6.6,
    from memory.
    """
    found: list[Piece] = []
    rims = [piece for piece in frame if piece.kind == Kind.RIM]
    for one, other in itertools.permutations(rims, 2):
        a, b = box_of(one), box_of(other)
        if a.low[1] != b.low[1] or abs(a.high[0] - b.low[0]) > CUT_MM:
            continue
        joint, back = b.low[0], breadth if a.low[1] == 0 else deep - 2 * breadth
        blocks = [
            piece
            for piece in frame
            if piece.kind == Kind.FLOOR_BLOCK and abs(box_of(piece).low[1] - back) < CUT_MM
        ]
        (block,) = [p for p in blocks if box_of(p).low[0] < joint < box_of(p).high[0]]
        ends = box_of(block).low[0], box_of(block).high[0]
        assert min(joint - ends[0], ends[1] - joint) >= 2 * 15 * 0.148 * INCH
        found.append(block)
    return found


def check_deck(scene: Scene, deck: list[Piece], joists: list[tuple[float, float]]) -> None:
    assert scene.floor
    assert scene.floor.sheet
    stock = scene.sheet_stock(scene.floor.sheet)
    boxes = [box_of(piece) for piece in deck]
    rows: dict[int, list[tuple[float, float]]] = defaultdict(list)
    for box in boxes:
        assert box.high[0] - box.low[0] <= stock.length_mm + CUT_MM
        assert box.high[1] - box.low[1] <= stock.width_mm + CUT_MM
        rows[round(box.low[1])].append((box.low[0], box.high[0]))
    if scene.floor.through:
        return
    joints: list[list[float]] = []
    for key in sorted(rows):
        row = sorted(rows[key])
        joints.append([])
        for left, right in itertools.pairwise(row):
            # 1/8 in between ends (APA builder tip), both on one joist.
            assert right[0] - left[1] == pytest.approx(GAP_MM, abs=CUT_MM)
            assert any(a < left[1] and right[0] < b for a, b in joists)
            joints[-1].append((left[1] + right[0]) / 2)
    for a, b in itertools.pairwise(joints):
        # Rows are staggered: no joint over another (common practice, no source).
        assert all(abs(p - q) > 6 * INCH for p, q in itertools.product(a, b))


def test_hole_for_the_drain(boat_rack: Building) -> None:
    # 110 x 110 at 1100, 700, with 6 mm to move all round: 122 x 122 of one sheet is missing.
    length, deep = 3700.0, 2900.0
    floor = boat_rack.scene.floor
    assert floor
    sheets = of_kind(boat_rack, Kind.FLOOR_SHEET)
    area = sum(part.volume_mm3 for part in sheets) / 18
    boxes = [box_of(part) for part in sheets]
    whole = sum((b.high[0] - b.low[0]) * (b.high[1] - b.low[1]) for b in boxes)
    assert whole - area == pytest.approx(122**2, rel=1e-6)
    assert max(b.high[0] for b in boxes) == pytest.approx(length)
    assert max(b.high[1] for b in boxes) == pytest.approx(deep)
    hole = shapely.box(1094, 694, 1216, 816)
    cut = [b for b in boxes if shapely.box(*b.low[:2], *b.high[:2]).covers(hole)]
    assert len(cut) == 1


def test_floor_stands_on_skids(building: Building) -> None:
    skids = of_kind(building, Kind.SKID)
    if not skids:
        return
    top = box_of(skids[0]).high[2]
    for part in of_kind(building, Kind.RIM, Kind.JOIST, Kind.FLOOR_BLOCK):
        assert box_of(part).low[2] == pytest.approx(top, abs=CUT_MM)
    # Every joist bears at least 1-1/2 in on wood: IRC R502.6.
    across = [(box_of(part).low[1], box_of(part).high[1]) for part in skids]
    for joist in of_kind(building, Kind.JOIST):
        box = box_of(joist)
        bears = [min(b, box.high[1]) - max(a, box.low[1]) for a, b in across]
        # One that is cut round something hangs on a header there.
        cut = any(
            abs(box.low[1] - header.high[1]) < CUT_MM or abs(box.high[1] - header.low[1]) < CUT_MM
            for header in map(box_of, of_kind(building, Kind.FLOOR_HEADER))
        )
        assert sum(width >= 1.5 * INCH - CUT_MM for width in bears) + cut >= 2


@pytest.mark.parametrize(("name", "double"), [("weaving-shed", True), ("drying-loft", False)])
def test_joists_are_double_under_a_wall_that_carries_a_beam(name: str, double: bool) -> None:
    # IRC R502.4: joists under a bearing wall. A ridge beam's posts stand in the side walls of the
    # one; the other has a ridge board, which those do not carry.
    building = build(load_scene(FORMS[name]))
    boxes = [box_of(part) for part in of_kind(building, Kind.JOIST)]
    joists = sorted((box.low[0], box.high[0]) for box in boxes)
    assert (joists[1][0] - joists[0][1] < CUT_MM) is double
    assert (joists[-1][0] - joists[-2][1] < CUT_MM) is double
