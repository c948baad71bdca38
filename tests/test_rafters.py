"""Rafters against the framing square and plane geometry, measured on the solids."""

from __future__ import annotations

import math

import pytest
from hypothesis import given

from draws import draws
from measuring import CUT_MM, INCH, Cuts, box_of, cuts_of, of_kind, side_edges
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.building.piece import Piece
from pikepole_model.layout.roof import set_rafters
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.rows import Lumber
from strategies import Table, scene_of, scenes

# The first line of a framing square: inches of common rafter to a foot of run, by inches of rise.
# Source: the table stamped on the square (printed to 1/100 in).
UNIT_LENGTHS = {
    2: 12.17,
    4: 12.65,
    5: 13.00,
    6: 13.42,
    7: 13.89,
    9: 15.00,
    10: 15.62,
    12: 16.97,
    13: 17.69,
    16: 20.00,
    18: 21.63,
}
PRINTED_IN = 0.005  # to each foot of run: half of the last printed digit


def shed(slope: str, depth: str, **roof: str) -> Scene:
    """A store with nothing but what carries its rafters."""
    return scene_of(shed_table(slope, depth, **roof))


def shed_table(slope: str, depth: str, **roof: str) -> Table:
    bare = dict.fromkeys(("eave_overhang", "high_overhang", "rake_overhang"), "0 in")
    return {
        "title": "Shed",
        "building": {"length": "7 ft", "depth": depth},
        "foundation": {"kind": "skids"},
        "floor": {},
        "roof": {"slope": slope, "rafter": "2x8", **bare, **roof},
    }


def common_rafter(scene: Scene) -> Piece:
    return next(
        piece for piece in set_rafters(RoofPlan(Datums(scene))) if piece.kind == Kind.RAFTER
    )


def cuts(scene: Scene) -> Cuts:
    return cuts_of(common_rafter(scene), math.radians(scene.roof.slope))


@pytest.mark.parametrize("rise", UNIT_LENGTHS)
@pytest.mark.parametrize("run_ft", [4, 9])
def test_framing_square(rise: int, run_ft: int) -> None:
    # A rafter without overhangs is as many unit lengths long as its run has feet.
    top = cuts(shed(f"{rise}:12", f"{run_ft} ft")).along[-1]
    assert top / INCH == pytest.approx(run_ft * UNIT_LENGTHS[rise], abs=run_ft * PRINTED_IN)


def test_navy_example() -> None:
    # 7 in rise, run 8 ft: 8 x 13.89 = 111.12, 111-1/8 in, 9 ft 3-1/8 in.
    # Source: US Navy, NAVEDTRA Builder training manual, figure 2-17.
    top = cuts(shed("7:12", "8 ft")).along[-1]
    assert top / INCH == pytest.approx(111.125, abs=1 / 16)


def test_griffith_example() -> None:
    # Quarter pitch (6 in 12) over a 25 ft span: run 12 ft 6 in, 12.5 x 13.42 = 167.75 in.
    # Source: Ira S. Griffith, Carpentry, p. 21.
    top = cuts(shed("6:12", "12 ft 6 in")).along[-1]
    assert top / INCH == pytest.approx(167.75, abs=12.5 * PRINTED_IN)


def test_army_example() -> None:
    # Half pitch (12 in 12), run 12 ft: 12 x sqrt(288) = 203.65 in. The US Army carpentry course
    # EN0069 prints 16 ft 11-6/12 in = 203.5 in, which is 2/12 in short: a misprint.
    top = cuts(shed("12:12", "12 ft")).along[-1]
    assert top / INCH == pytest.approx(12 * math.sqrt(288), abs=CUT_MM)


def test_monopitch_with_overhangs() -> None:
    # 3 in 12, 10 ft in plan and 1 ft over at each end: 12 x 12.369 in = 12 ft 4-7/16 in along the
    # edge; a plumb-cut 2x8 needs d tan = 7.25 x 0.25 = 1.81 in more of stock. Plane geometry.
    scene = shed("3:12", "10 ft", eave_overhang="1 ft", high_overhang="1 ft")
    top = cuts(scene).along[-1]
    assert top / INCH == pytest.approx(12 * math.sqrt(144 + 9), abs=1e-4)
    assert top / INCH == pytest.approx(148 + 7 / 16, abs=1 / 32)
    length = common_rafter(scene).shape.length_mm
    assert (length - top) / INCH == pytest.approx(7.25 * 0.25, abs=1e-4)


def test_square_tail_needs_no_more_stock() -> None:
    scene = shed("3:12", "10 ft", eave_overhang="1 ft", high_overhang="1 ft", tail="square")
    assert common_rafter(scene).shape.length_mm == pytest.approx(
        12 * math.sqrt(153) * INCH, abs=CUT_MM
    )
    assert cuts(scene).square == pytest.approx([7.25 * INCH] * 2, abs=CUT_MM)


def test_birdsmouth() -> None:
    # 4 in 12, a 3-1/2 in seat, a 2x6: heel s r/12 = 1.167 in, depth square to the rafter
    # s sin = 1.107 in (a quarter of 5-1/2 is 1.375), height above the plate d/cos - s tan = 4.631.
    # Plane geometry.
    scene = shed("4:12", "8 ft", rafter="2x6")
    made = cuts(scene)
    assert [s / INCH for s in made.level] == pytest.approx([3.5, 3.5], abs=1e-4)
    heels, ends = made.plumb[:2], made.plumb[2:]
    # At the low wall's outer face, without an overhang, the heel takes the end off: what is left
    # of the plumb cut there is the height above the plate; the high wall's end keeps d/cos.
    assert heels[0] / INCH == pytest.approx(1.167, abs=0.0005)
    assert [heels[1] / INCH, ends[0] / INCH] == pytest.approx([4.631, 5.5 / 0.94868], abs=0.0005)


def test_birdsmouth_under_a_tail() -> None:
    scene = shed("4:12", "8 ft", rafter="2x6", eave_overhang="9 in", high_overhang="5 in")
    made = cuts(scene)
    assert [s / INCH for s in made.level] == pytest.approx([3.5, 3.5], abs=1e-4)
    assert [p / INCH for p in made.plumb] == pytest.approx(
        [1.167, 1.167, 5.5 / 0.94868, 5.5 / 0.94868], abs=0.0005
    )


def test_seat_where_a_quarter_notch_decides() -> None:
    # 12 in 12 and a 2x8: the seat is as wide as a quarter notch gives, 1.8125 / sin 45 = 2.563 in.
    # Source for the quarter: IRC R802.7.1.
    made = cuts(shed("12:12", "8 ft"))
    assert [s / INCH for s in made.level] == pytest.approx([1.8125 * math.sqrt(2)] * 2, abs=1e-4)


# Largest notch at a member's end, a quarter of its depth, inches: IRC R802.7.1.
END_NOTCH_IN = {"2x6": 1.375, "2x8": 1.8125, "2x10": 2.3125, "2x12": 2.8125}


def deepest_notch(stock: Lumber) -> float:
    return END_NOTCH_IN.get(stock.name, stock.depth_mm / INCH / 4) * INCH


def seats(scene: Scene, rafter: Piece) -> list[float]:
    """Its level edges over the walls; a tail may be cut off level outside of them."""
    over = (-CUT_MM, scene.building.depth + CUT_MM)
    return [
        abs(float(b[0] - a[0]))
        for a, b in side_edges(rafter)
        if abs(a[1] - b[1]) < CUT_MM and all(over[0] < y < over[1] for y in (a[0], b[0]))
    ]


def check_seats(building_scene: Scene, rafters: list[Piece]) -> None:
    slope = math.radians(building_scene.roof.slope)
    for rafter in rafters:
        stock = building_scene.lumber_stock(rafter.source.stock)
        for seat in seats(building_scene, rafter):
            assert seat * math.sin(slope) <= deepest_notch(stock) + CUT_MM, rafter.label
            # Bearing on wood of at least 1-1/2 in: IRC R802.6.
            assert seat >= 1.5 * INCH - CUT_MM, rafter.label


@draws(8)
@given(scenes())
def test_notches_and_bearings_of_any_roof(scene: Scene) -> None:
    made = {
        piece.shape: piece
        for piece in set_rafters(RoofPlan(Datums(scene)))
        if piece.kind in (Kind.RAFTER, Kind.END_RAFTER)
    }
    check_seats(scene, list(made.values()))


def test_seats_lie_on_what_carries_them(building: Building) -> None:
    # Both seats of a common rafter lie on the beams, or on the plates of the front and back wall.
    scene = building.scene
    kind = Kind.BEAM if scene.bay else Kind.TOP_PLATE
    names = ("front beam", "back beam") if scene.bay else ("front wall", "back wall")
    tops = {
        max(box_of(part).high[2] for part in of_kind(building, kind) if part.group == name)
        for name in names
    }
    for rafter in of_kind(building, Kind.RAFTER):
        seats = {float(a[1]) for a, b in side_edges(rafter) if abs(a[1] - b[1]) < CUT_MM}
        assert sorted(seats) == pytest.approx(sorted(tops), abs=CUT_MM)


@pytest.mark.parametrize(("reach", "second"), [("3600 mm", 464.0), ("3574 mm", 83.6)])
def test_a_rafter_with_no_room_beside_one_on_a_wall_is_left_out(reach: str, second: float) -> None:
    # The tape hooks on the bay's end: 9 times 406.4 mm on from 3600 mm is 57.6, and the rafter on
    # the end wall has its middle at 19.05: 0.45 mm are between them. From 3574 mm on it is 26.45
    # mm, and a hand's room is 1 in, common practice, no source.
    table = shed_table("6:12", "12 ft", rafter="2x6")
    scene = scene_of({**table, "bay": [{"side": "left", "reach": reach}]})
    rafters = of_kind(build(scene), Kind.RAFTER)
    middles = sorted(sum(part.bounds_mm[k][0] for k in (0, 1)) / 2 for part in rafters)
    over = [x for x in middles if x > 0.0]
    assert over[:2] == pytest.approx([19.05, second], abs=CUT_MM)
