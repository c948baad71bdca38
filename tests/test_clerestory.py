"""Two roofs that fall away from a strip of wall, against the framing square, code and geometry."""

from __future__ import annotations

import itertools
from math import atan, cos, hypot, sin, tan
from pathlib import Path

import pytest

from measuring import CUT_MM, INCH, box_of, of_kind
from pikepole_export.derive.inventory.areas import surfaces
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece
from pikepole_model.checks.fit import check
from pikepole_model.layout.bay import lay_beams
from pikepole_model.layout.roof import set_rafters
from pikepole_model.layout.walls import frame_wall
from pikepole_model.plan.beams import plan_beams
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.walls import plan_walls
from pikepole_model.reading.file import check_scene, load_scene
from pikepole_model.units import parse_length
from strategies import Table, scene_of
from test_rafters import PRINTED_IN, UNIT_LENGTHS
from test_saltbox import BARE, refused, top_edge

# PS 20, inches.
DEPTH_2X8, WIDTH_2X4, THICK = 7.25, 3.5, 1.5
OSB = 7 / 16


def table(falls: str = "back", rise: int = 4, **said: object) -> Table:
    """12 ft by 14 ft on a pad, its strip 5 ft in from the wall under the lower roof."""
    return {
        "title": "Clerestory",
        "building": {"length": "12 ft", "depth": "14 ft"},
        "foundation": {"kind": "pad", "edge_depth": "18 in"},
        "roof": {
            **{"slope": f"{rise}:12", "falls": falls, **BARE, "high_overhang": "0 in"},
            "clerestory": {"from_wall": "5 ft", "step": "3 ft", **said},
        },
    }


def clerestory(falls: str = "back", rise: int = 4, **said: object) -> RoofPlan:
    return RoofPlan(Datums(scene_of(table(falls, rise, **said))))


def rafter(roof: RoofPlan, which: str) -> Piece:
    pieces = [piece for piece in set_rafters(roof) if piece.kind == Kind.RAFTER]
    return next(piece for piece in pieces if piece.label == f"{which} rafter")


def strip_of(roof: RoofPlan) -> list[Piece]:
    return [piece for piece in frame_wall(plan_walls(roof)[-1]) if piece.group == "clerestory wall"]


@pytest.mark.parametrize(("upper", "lower"), [(4, 4), (2, 6), (6, 2)])
@pytest.mark.parametrize("falls", ["front", "back"])
def test_each_slope_by_the_framing_square(falls: str, upper: int, lower: int) -> None:
    # As many unit lengths as its run has feet: 9 ft from the strip's framing to the far wall; 5 ft
    # less the strip's sheathing to the near one.
    roof = clerestory(falls, upper, slope=f"{lower}:12")
    for which, run_ft, rise in (("upper", 9.0, upper), ("lower", 5 - OSB / 12, lower)):
        high, low = top_edge(rafter(roof, which))
        along = hypot(*(high - low)) / INCH
        assert along == pytest.approx(run_ft * UNIT_LENGTHS[rise], abs=run_ft * PRINTED_IN)
        assert (low[0] > high[0]) == ((which == "upper") == (falls == "back"))


def test_the_strip_is_as_high_as_the_step_between_equal_slopes() -> None:
    # Where both slopes are equal, so are the heights of their rafters over what carries them, for
    # each has its whole width for a seat: plane geometry.
    roof = clerestory()
    boxes = [box_of(piece) for piece in strip_of(roof)]
    low, high = min(one.low[2] for one in boxes), max(one.high[2] for one in boxes)
    assert (high - low) / INCH == pytest.approx(36, abs=1e-4)
    # From the far plates' inner edge to the strip's outer one the seats rise as a line, 4 in 12.
    assert high - roof.plate_top_mm("back") == pytest.approx(
        (108 - WIDTH_2X4) / 3 * INCH, abs=CUT_MM
    )


def test_both_roofs_rest_on_enough_wood() -> None:
    # At least 1-1/2 in of level seat (IRC R802.6): the upper rafters on the strip's plates, the
    # lower ones on what four plies stand out past studs and sheathing, 6 - 3-1/2 - 7/16 in.
    roof = clerestory()
    lower, upper = roof.slopes
    assert upper.bearings[0].seat_mm / INCH == pytest.approx(WIDTH_2X4)
    assert lower.bearings[0].seat_mm / INCH == pytest.approx(4 * THICK - WIDTH_2X4 - OSB)
    beam = [box_of(piece) for piece in lay_beams(plan_beams(roof, plan_walls(roof)))]
    strip = [box_of(piece) for piece in strip_of(roof)]
    top = max(one.high[2] for one in beam)
    assert top == pytest.approx(min(one.low[2] for one in strip), abs=CUT_MM)
    assert max(one.high[1] for one in beam) == pytest.approx(
        max(one.high[1] for one in strip), abs=CUT_MM
    )


def test_a_steeper_lower_roof_stands_higher_over_its_beam() -> None:
    # Plumb from the beam up to the lower roof at the sheathing: d / cos + (width - seat) tan, with
    # a quarter of 7-1/4 in along the slope for a seat where that is less (IRC R802.7.1).
    roof = clerestory(slope="12:12")
    lower, upper = atan(1), atan(4 / 12)
    shoulder = 4 * THICK - WIDTH_2X4 - OSB
    seat = min(shoulder, DEPTH_2X8 / 4 / sin(lower))
    over_beam = DEPTH_2X8 / cos(lower) + (shoulder - seat) * tan(lower)
    over_strip = DEPTH_2X8 / cos(upper)
    boxes = [box_of(piece) for piece in strip_of(roof)]
    high = max(one.high[2] for one in boxes) - min(one.low[2] for one in boxes)
    assert high / INCH == pytest.approx(36 - over_strip + over_beam, abs=1e-4)


@pytest.mark.parametrize("falls", ["front", "back"])
def test_the_end_walls_step_up_at_the_strip(falls: str) -> None:
    # Under the two roofs the end wall rises to lines 36 in apart, plumb, over the strip's framing:
    # the lower roof starts 7/16 in before it.
    roof = clerestory(falls)
    for plan in plan_walls(roof)[2:4]:
        us = [u for u, _ in plan.top_line]
        assert us == sorted(us)
        (u, one), (same, other) = plan.top_line[1:3]
        assert u == same
        near_left = (plan.name == "left") == (falls == "front")
        assert (u if near_left else plan.length_mm - u) == pytest.approx(60 * INCH)
        assert abs(one - other) / INCH == pytest.approx(36 - OSB / 3, abs=1e-6)
        # The beam is let in from end to end, with studs side by side under it, and the strip on it.
        pocket = plan.pockets[0]
        assert pocket.u[1] - pocket.u[0] == pytest.approx(4 * THICK * INCH)
        assert len(pocket.post) == 4


def test_studs_of_the_strip() -> None:
    # 12 ft at 16 in on centre: 10 studs, end studs among them, and a corner stud at each end.
    pieces = strip_of(clerestory())
    assert sum(piece.kind == Kind.STUD for piece in pieces) == 10
    assert sum(piece.kind == Kind.TOP_PLATE for piece in pieces) == 2


@pytest.mark.parametrize(
    ("more", "mend"),
    [
        ({"loft": {}}, "leave out loft, or leave out roof.clerestory"),
        ({"bay": [{"side": "left", "reach": "6 ft"}]}, "leave out bay[1]"),
        ({"beam": {"on_walls": True}}, "leave out beam"),
    ],
)
def test_what_it_is_not_built_with(more: Table, mend: str) -> None:
    assert refused({**table(), **more})["roof.clerestory"].startswith(mend)
    ridged = table()
    ridged["roof"]["ridge"] = {"kind": "beam"}
    assert refused(ridged)["roof.clerestory"].startswith("leave out roof.ridge")


def test_its_sizes_are_refused_with_ones_that_fit() -> None:
    # Three plies are 4-1/2 in thick, which leaves 9/16 in before 3-1/2 in of stud and 7/16 in of
    # sheet, and 1-1/2 in is the least (IRC R802.6).
    (mend,) = refused(table(plies=3)).values()
    assert mend.startswith("give 4, or ")
    # 2 ft of the lower slope, level, with 2-1/2 in of beam before the strip: no source, assumed.
    least = refused(table(from_wall="1 ft"))["roof.clerestory.from_wall"]
    assert least.startswith("give at least 2' 1")
    # Two plates and the one under the studs are 4-1/2 in; 6 in of stud between. Assumed.
    (mend,) = refused(table(step="9 in")).values()
    assert mend == 'give at least 10-1/2"'


def window(wall: str, sill: str) -> Table:
    return {
        **{"name": "light", "kind": "window", "wall": wall, "at": "middle", "sill": sill},
        **{"width": "2 ft", "height": "1 ft", "header": "2x4"},
    }


def test_lights_stay_in_the_strip() -> None:
    # The lower rafters' undersides rise 4 in 12 from the front plates' inner edge, 7 ft over the
    # floor, to the strip's sheathing; on them are 7-1/4 in of rafter and 7/16 in of sheet, square
    # to the slope: plane geometry. A mend is rounded up to 1/16 in.
    over_roof = 84 + (60 - OSB - WIDTH_2X4) / 3 + (DEPTH_2X8 + OSB) / cos(atan(1 / 3))
    (mend,) = refused({**table(), "opening": [window("clerestory", "9 ft")]}).values()
    told = parse_length(mend.removeprefix("give at least ")) / INCH
    assert over_roof <= told <= over_roof + 1 / 16
    bare = table()
    del bare["roof"]["clerestory"]
    assert "opening[1].wall" in refused({**bare, "opening": [window("clerestory", "9 ft 6 in")]})
    door = {**window("clerestory", "9 ft 6 in"), "kind": "door"}
    del door["sill"]
    assert "opening[1].wall" in refused({**table(), "opening": [door]})
    assert check_scene({**table(), "opening": [window("clerestory", "9 ft 6 in")]})[1] == []


@pytest.mark.parametrize("falls", ["front", "back"])
@pytest.mark.parametrize("cladding", ["boards", "battens"])
def test_everything_on_it_is_clear_of_the_rest(falls: str, cladding: str) -> None:
    clad = table(falls, slope="3:12")
    clad["roof"] |= {"high_overhang": "10 in", "rake_overhang": "1 ft", "eave_overhang": "9 in"}
    clad |= {"edges": {}, "roofing": {}, "wrap": {}, "cladding": [{"kind": cladding}]}
    building = build(scene_of(clad))
    assert check(building) == ()
    # What is painted of the strip is its cladding, as far as it stands over the lower roof: less
    # than its 12 ft by 3 ft with a corner board's thickness at each end.
    (strip,) = (s for s in surfaces(building) if (s.name, s.side) == ("clerestory wall", "outside"))
    assert 0.5 < strip.area_mm2 / (144 * 36 * INCH**2) < 1.0


def test_a_stud_stands_under_the_end_of_the_upper_plates() -> None:
    # Side by side with the post under the beam, up to the plates that end at the strip.
    for plan in plan_walls(clerestory())[2:4]:
        left, right = plan.pockets[0].taken_u
        beside = right if plan.name == "right" else left
        studs = [one for one in plan.uprights if one.kind == Kind.STUD and beside in one.u]
        assert [one.v[1] for one in studs] == [None]


def test_metal_runs_along_the_whole_top_edge_of_the_lower_roof() -> None:
    """Up the strip and, past its ends, down over the ends of what overhangs: common practice."""
    form = Path(__file__).parent / "scenes" / "forms" / "bench-room.toml"
    building = build(load_scene(form))
    up = [box_of(part) for part in of_kind(building, Kind.WALL_FLASHING)]
    down = [box_of(p) for p in of_kind(building, Kind.PEAK_CAP) if p.name.startswith("lower")]
    # Rakes of 12 in with barge boards of 3/4 in past 14 ft; the strip's sheets end 7/16 in past it.
    # Lengths of metal over ribs lap 6 in: trade practice, no source.
    runs = sorted((box.low[0] / INCH, box.high[0] / INCH) for box in (*up, *down))
    assert runs[0][0] == pytest.approx(-12.75)
    assert runs[-1][1] == pytest.approx(168 + 12.75)
    assert [end - start for (_, end), (start, _) in itertools.pairwise(runs)] == (
        pytest.approx([6.0] * 3)
    )
    # The 1x8 barge boards and 2x8 rafters at the edges are cut plumb: 7-1/4 in at 3 in 12.
    barge = min(box_of(part).high[2] for part in of_kind(building, Kind.BARGE))
    foot = barge - 7.25 * hypot(12, 3) / 12 * INCH
    for box in down:
        assert box.low[2] == pytest.approx(foot, abs=CUT_MM)
    assert check(building) == ()
