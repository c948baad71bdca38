"""Roofs that break at a knee, against the framing square, the code and plane geometry."""

from __future__ import annotations

import itertools
from collections import Counter
from math import atan, cos, hypot, radians, sin, tan

import pytest
from shapely import Polygon as Area
from shapely import box

from measuring import CUT_MM, INCH, box_of, from_the_end, of_group, of_kind
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.fit import check
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.slope import Slope
from pikepole_model.reading.file import check_scene
from roofs import span
from strategies import Table, scene_of
from test_rafters import PRINTED_IN, UNIT_LENGTHS
from test_saltbox import BARE, common, plumb_cut, refused, top_edge
from whole import changes

# PS 20, inches.
DEPTH_2X10 = 9.25


def gambrel(knee: Table | None = None, *, ridge: Table | None = None, **roof: str) -> Table:
    """12 ft deep on a pad, its knees 2 ft 6 in from the walls, without overhangs."""
    return {
        "title": "Gambrel",
        "building": {"length": "8 ft", "depth": "12 ft"},
        "foundation": {"kind": "pad", "edge_depth": "18 in"},
        "roof": {
            "slope": "5:12",
            "rafter": "2x10",
            **BARE,
            **roof,
            "ridge": ridge or {"kind": "beam"},
            "knee": {"slope": "12:12", "from_wall": "2 ft 6 in", **(knee or {})},
        },
    }


def of_side(building: Building, side: str, *kinds: Kind) -> list[Part]:
    return [part for part in of_kind(building, *kinds) if part.name.startswith(f"{side} ")]


def slopes(building: Building) -> dict[str, Slope]:
    return {one.prefix.strip(): one for one in RoofPlan(Datums(building.scene)).slopes}


@pytest.mark.parametrize(("lower", "upper"), [(12, 5), (16, 4), (10, 2), (18, 6)])
def test_each_slope_by_the_framing_square(lower: int, upper: int) -> None:
    # As many unit lengths as its run has feet: 2 ft 6 in to the knee, 3 ft 6 in on to the ridge.
    scene = scene_of(gambrel({"slope": f"{lower}:12"}, slope=f"{upper}:12", rafter="2x12"))
    for side in ("front", "back"):
        for name, run_ft, rise in (("lower", 2.5, lower), ("upper", 3.5, upper)):
            high, low = top_edge(common(scene, f"{side} {name}"))
            along = hypot(*(high - low)) / INCH
            assert along == pytest.approx(run_ft * UNIT_LENGTHS[rise], abs=run_ft * PRINTED_IN)


def test_heights() -> None:
    # From the plate up: the rafter's height over it, d / cos - s tan with the 3-1/2 in seat of a
    # 2x4 or a quarter of 9-1/4 in along the slope, 2.3125 / sin 45 = 3.270 in; then 30 in at 12 in
    # 12 to the knee and 42 in at 5 in 12 to the ridge. Plane geometry, IRC R802.7.1.
    building = build(scene_of(gambrel()))
    assert check(building) == ()
    plates = max(box_of(part).high[2] for part in of_group(building, "front wall"))
    seat = DEPTH_2X10 / 4 / sin(radians(45))
    over = DEPTH_2X10 / cos(radians(45)) - seat
    for side in ("front", "back"):
        lower = max(box_of(p).high[2] for p in of_side(building, f"{side} lower", Kind.RAFTER))
        upper = max(box_of(p).high[2] for p in of_side(building, f"{side} upper", Kind.RAFTER))
        assert (lower - plates) / INCH == pytest.approx(over + 30, abs=1e-4)
        assert (upper - plates) / INCH == pytest.approx(over + 30 + 42 * 5 / 12, abs=1e-4)


def test_rafters_meet_in_a_cut_that_halves_their_angle(cider_barn: Building) -> None:
    # The cut runs in from the knee at right angles to the line that halves the angle of the slopes,
    # down to the purlin: plane geometry.
    for side in ("front", "back"):
        lower, upper = (
            from_the_end(of_side(cider_barn, f"{side} {name}", Kind.RAFTER)[4])
            for name in ("lower", "upper")
        )
        purlin = max(box_of(part).high[2] for part in of_group(cider_barn, f"{side} purlin beam"))
        y0, z0, y1, z1 = lower.intersection(upper.buffer(CUT_MM)).bounds
        assert (z0, z1) == pytest.approx((purlin, lower.bounds[3]), abs=0.01)
        mean = (atan(14 / 12) + atan(5 / 12)) / 2
        assert (y1 - y0) / (z1 - z0) == pytest.approx(tan(mean), rel=1e-3)


def test_bearing_on_the_purlins(cider_barn: Building) -> None:
    # Every rafter has 1-1/2 in (38 mm) of level seat on its purlin (IRC R802.6), and is notched a
    # quarter of its depth at most there (IRC R802.7.1).
    depths = {Kind.RAFTER: DEPTH_2X10, Kind.END_RAFTER: 7.25}
    for side, way in (("front", 1), ("back", -1)):
        beam = [box_of(part) for part in of_group(cider_barn, f"{side} purlin beam")]
        top = max(one.high[2] for one in beam)
        edges = min(one.low[1] for one in beam), max(one.high[1] for one in beam)
        assert edges[1] - edges[0] == pytest.approx(3 * INCH, abs=CUT_MM)
        for name, rise in (("lower", 14 / 12), ("upper", 5 / 12)):
            for rafter in of_side(cider_barn, f"{side} {name}", *depths):
                outline = list(from_the_end(rafter).exterior.coords)
                seats = [
                    sorted((a[0], b[0]))
                    for a, b in itertools.pairwise(outline)
                    if abs(a[1] - top) < CUT_MM and abs(b[1] - top) < CUT_MM
                ]
                assert len(seats) == 1, rafter.name
                y0, y1 = seats[0]
                assert y1 - y0 >= 38.0 - CUT_MM, rafter.name
                assert edges[0] - CUT_MM <= y0
                assert y1 <= edges[1] + CUT_MM
                # What is left between the seat's lower end and the top edge, square to that.
                peak_y, peak_z = max(outline, key=lambda point: point[1])
                low_end = min(y0 * way, y1 * way) * way
                over = peak_z + rise * (low_end - peak_y) * way - top
                left = over * cos(atan(rise)) / INCH
                assert left >= 0.75 * depths[rafter.kind] - 1e-4, rafter.name
                assert left < depths[rafter.kind], rafter.name


def test_purlins_stand_on_posts_in_the_end_walls(cider_barn: Building) -> None:
    # On the bottom plate, up to the purlin's underside: no gap in the path of its load.
    for side, wall in itertools.product(("front", "back"), ("left", "right")):
        posts = [
            part
            for part in of_kind(cider_barn, Kind.POST_STUD)
            if part.name.startswith(f"{wall} wall {side} purlin post stud")
        ]
        beam = of_group(cider_barn, f"{side} purlin beam")
        assert len(posts) == 2
        for post in posts:
            assert box_of(post).high[2] == pytest.approx(
                min(box_of(ply).low[2] for ply in beam), abs=CUT_MM
            )
            assert box_of(post).high[2] - box_of(post).low[2] > 84 * INCH


def test_gussets_hold_every_pair(cider_barn: Building) -> None:
    # "Directly opposite each other with a gusset plate as a tie": IRC R802.4.2, here at the knees.
    named = {part.name: part for part in cider_barn.parts}
    held: dict[str, list[str]] = {}
    for joint in cider_barn.joints:
        for one, other in ((joint.a, joint.b), (joint.b, joint.a)):
            if named[one].kind == Kind.GUSSET and named[other].kind != Kind.RAFTER_BLOCK:
                assert joint.fixing == "nailed"
                held.setdefault(one, []).append(other)
    pairs = Counter(tuple(sorted(rafters)) for rafters in held.values())
    rafters = of_kind(cider_barn, Kind.RAFTER, Kind.END_RAFTER)
    assert len(pairs) == len(held) == len(rafters) / 2
    for pair in pairs:
        assert [name.split()[1] for name in pair] == ["lower", "upper"]
        assert len({name.split()[0] for name in pair}) == 1
    for gusset in of_kind(cider_barn, Kind.GUSSET):
        both = [from_the_end(named[name]).buffer(CUT_MM) for name in held[gusset.name]]
        whole = both[0].union(both[1])
        assert from_the_end(gusset).difference(whole).area < 1.0, gusset.name
        # 12 in along each rafter: common practice, no source.
        laps = [from_the_end(gusset).intersection(one).area / INCH**2 for one in both]
        assert min(laps) > 12 * DEPTH_2X10 * 0.6


def test_volumes_by_hand() -> None:
    # Without lookouts end rafters are as deep as the others. The mitre leans in by m for each inch
    # of depth, and down by w; the purlin's top lies where 1-1/2 in (38 mm) of the upper rafter rest
    # on it, and reaches as far out past the mitre.
    building = build(scene_of(gambrel()))
    low, high, d = atan(1.0), atan(5 / 12), DEPTH_2X10
    half, mean = (low - high) / 2, (low + high) / 2
    m, w = sin(mean) / cos(half), cos(mean) / cos(half)
    seat = 38.0 / INCH
    under = (d / sin(high) - seat) / (1 / tan(high) + m / w)
    outer = under * m / w - seat
    # Inches in from the knee and up: the upper rafter from knee to ridge, the lower to its heel.
    upper = Area(
        [(0, 0), (m * d, -w * d), (42, 42 * tan(high) - d / cos(high)), (42, 42 * tan(high))]
    )
    wall = d / 4 / sin(low)
    heel = -30 - d / cos(low) + wall  # of a seat at the plates' top
    lower = Area([(0, 0), (-30, -30), (-30, -30 - d / cos(low)), (m * d, -w * d)])
    lower = lower.difference(box(-30, -99, -30 + 3.5, heel))
    purlin = box(outer, -99, outer + 3, -under)
    ridge = upper.difference(box(42 - 2.25, -99, 42, 42 * tan(high) - d / cos(high)))
    for side in ("front", "back"):
        for name, area in (
            ("upper", ridge.difference(purlin)),
            ("lower", lower.difference(purlin)),
        ):
            for rafter in of_side(building, f"{side} {name}", Kind.RAFTER, Kind.END_RAFTER):
                volume = rafter.volume_mm3 / INCH**3
                assert volume == pytest.approx(area.area * 1.5, rel=1e-4), rafter.name
    # A gusset of 1/2 in: 12 in along both top edges, square cuts at its ends.
    gusset = Area(
        [
            (12 * cos(high), 12 * sin(high)),
            (0, 0),
            (-12 * cos(low), -12 * sin(low)),
            (-12 * cos(low) + d * sin(low), -12 * sin(low) - d * cos(low)),
            (m * d, -w * d),
            (12 * cos(high) + d * sin(high), 12 * sin(high) - d * cos(high)),
        ]
    ).difference(purlin)
    thick = building.scene.sheet_stock("1/2 plywood").thickness_mm / INCH
    for part in of_kind(building, Kind.GUSSET):
        assert part.volume_mm3 / INCH**3 == pytest.approx(gusset.area * thick, rel=1e-4)


def test_counted_by_hand(cider_barn: Building) -> None:
    # 16 ft long, rafters at 16, 32 ... 176 in: 11 pairs a side and 2 of end rafters, 2 fly rafters
    # on each of 4 slopes; blocks in 12 gaps over the wall, the purlin and the ridge; a gusset on
    # each of 13 pairs a side; purlins of 2 plies, 16 ft in one length.
    counted = Counter(part.kind for part in cider_barn.parts)
    assert counted[Kind.RAFTER] == 4 * 11
    assert counted[Kind.END_RAFTER] == counted[Kind.FLY_RAFTER] == 4 * 2
    assert counted[Kind.RAFTER_BLOCK] == 2 * 3 * 12
    assert counted[Kind.GUSSET] == 2 * 13
    assert sum("purlin beam ply" in part.name for part in cider_barn.parts) == 2 * 2
    # Flashing 18 ft 1-1/2 in long, over barge boards of 3/4 in: 2 lengths of 10 ft a side.
    assert counted[Kind.KNEE_FLASHING] == 2 * 2


def test_end_walls_rake_along_all_planes(cider_barn: Building) -> None:
    # Where beams do not cut them, the plates' tops are the end rafters' undersides.
    deep = 144 * INCH
    for wall, x in (("left", 0.0), ("right", 192 * INCH)):
        plates = [p for p in cider_barn.parts if p.name.startswith(f"{wall} wall upper top plate")]
        ends = [
            p
            for p in of_kind(cider_barn, Kind.END_RAFTER)
            if min(abs(box_of(p).low[0] - x), abs(box_of(p).high[0] - x)) < CUT_MM
        ]
        assert (len(plates), len(ends)) == (4, 4)
        for inches in (12, 24, 48, 60):
            for y in (inches * INCH, deep - inches * INCH):
                (plate,), (rafter,) = plumb_cut(plates, y), plumb_cut(ends, y)
                assert plate[1] == pytest.approx(rafter[0], abs=0.01)


def test_deck_breaks_at_the_knee(cider_barn: Building) -> None:
    # Each slope's sheets start or end at the line in which the rafters' top edges meet: 30 in and
    # 42 in of run, and the lower ones reach on over a foot of tail and 3/4 in of fascia.
    for side in ("front", "back"):
        for name, run in (("lower", 30 + 12 + 0.75), ("upper", 42)):
            slope = slopes(cider_barn)[f"{side} {name}"]
            sheets = of_side(cider_barn, f"{side} {name}", Kind.ROOF_SHEET)
            down = [span(part, slope, 1) for part in sheets]
            assert min(start for start, _ in down) == pytest.approx(0.0, abs=0.01)
            along = run * INCH / cos(slope.slope_rad)
            assert max(end for _, end in down) == pytest.approx(along, abs=0.01)


def test_metal_over_the_knee_sheds_water(cider_barn: Building) -> None:
    # It lies on the upper slope's sheets under the underlayment, as a drip edge does, at least 2 in
    # up (IRC R905.2.8.5), and over the lower panels' ribs; the upper panels end out past its bend.
    for side in ("front", "back"):
        upper, lower = (slopes(cider_barn)[f"{side} {name}"] for name in ("upper", "lower"))
        knee = 42 * INCH / cos(upper.slope_rad)
        sheets = of_side(cider_barn, f"{side} upper", Kind.ROOF_SHEET)
        felt = of_side(cider_barn, f"{side} upper", Kind.UNDERLAYMENT)
        over = of_side(cider_barn, f"{side} upper", Kind.PANEL)
        ribs = of_side(cider_barn, f"{side} lower", Kind.PANEL)
        for metal in of_kind(cider_barn, Kind.KNEE_FLASHING):
            if not metal.name.startswith(side):
                continue
            start, bend = span(metal, upper, 1)
            assert start <= knee - 2 * INCH
            assert span(metal, upper, 2)[1] >= span(sheets[0], upper, 2)[1] - CUT_MM
            assert span(metal, upper, 2)[1] <= min(span(p, upper, 2)[0] for p in felt) + 1.0
            assert max(span(p, upper, 1)[1] for p in over) > knee
            # Down on the ribs of the lower panels, past where those begin.
            assert span(metal, lower, 2)[1] >= max(span(p, lower, 2)[1] for p in ribs) - CUT_MM
            assert span(metal, lower, 1)[1] >= min(span(p, lower, 1)[0] for p in ribs) + 5 * INCH
            assert bend > knee


def test_rake_trims_lap_at_the_knee(cider_barn: Building) -> None:
    # No end grain shows between them: those over it lie outside those under it, their legs 2 in on
    # at their feet; and the flashing lies 2 in over the upper ends of these: common practice, no
    # source.
    for side in ("front", "back"):
        lower = slopes(cider_barn)[f"{side} lower"]
        over = of_side(cider_barn, f"{side} upper", Kind.RAKE_TRIM)
        under = of_side(cider_barn, f"{side} lower", Kind.RAKE_TRIM)
        metal = [p for p in of_kind(cider_barn, Kind.KNEE_FLASHING) if p.name.startswith(side)]
        assert len(over) == len(under) == 2
        start = max(span(p, lower, 1)[0] for p in under)
        for part in over:
            assert span(part, lower, 1)[1] - start >= 2 * INCH
        assert min(span(p, lower, 1)[1] for p in metal) - start >= 2 * INCH
        outer, inner = ([span(p, lower, 0) for p in trims] for trims in (over, under))
        assert min(x for x, _ in outer) < min(x for x, _ in inner)
        assert max(x for _, x in outer) > max(x for _, x in inner)


@pytest.mark.parametrize(
    ("key", "table"),
    [
        ("roof.ridge.kind", gambrel(ridge={"kind": "board"}, rafter="2x8")),
        ("roof.ridge.kind", gambrel(ridge={"kind": "board", "board": "2x12", "tie": "2x4"})),
        ("roof.knee.slope", gambrel({"slope": "5:12"})),
        ("roof.knee.slope", gambrel({"slope": "6:12"})),
        # The purlin's post would stand in the wall; the slope over the knee would be 3 in long.
        ("roof.knee.from_wall", gambrel({"from_wall": "4 in"})),
        ("roof.knee.from_wall", gambrel({"from_wall": "5 ft 9 in"})),
        ("roof.knee.from_wall", gambrel({"from_wall": "9 ft"})),
        ("roof.knee.plies", gambrel({"plies": 1})),
        # 38 mm of both slopes' rafters on it would notch the steep 2x8 over a quarter.
        ("roof.rafter", gambrel({"slope": "18:12"}, rafter="2x8")),
        ("roof.spacing", gambrel(spacing="2 in")),
    ],
)
def test_what_does_not_fit_is_refused_and_mended(key: str, table: Table) -> None:
    problem = next(one for one in check_scene(table)[1] if one.key == key)
    mended = changes(table, problem)
    assert mended
    for one in mended:
        assert not check_scene(one)[1], problem.mend


def test_a_knee_wants_a_ridge() -> None:
    table = gambrel()
    del table["roof"]["ridge"]
    assert refused(table) == {"roof.knee": "leave out roof.knee"}


def test_roofs_that_are_not_built_are_refused_by_name() -> None:
    table = gambrel()
    table["roof"]["hip"] = True
    (problem,) = check_scene(table)[1]
    assert (problem.key, problem.mend) == ("roof.hip", "leave out roof.hip")
    assert "a monopitch, a gable, a saltbox, a gambrel" in problem.wrong
    table = gambrel(ridge={"kind": "hip"})
    (problem,) = (one for one in check_scene(table)[1] if one.key == "roof.ridge.kind")
    assert problem.mend == 'give "beam" or "board"'
    assert "a monopitch, a gable, a saltbox, a gambrel" in problem.wrong


def test_blocks_on_a_purlin_stay_under_their_slope() -> None:
    # Under a nearly flat slope of 2x4 the purlin lies out past the knee, where the roof is steeper.
    table = gambrel({"slope": "32 deg", "from_wall": "3 ft 8 in"}, slope="0.5:12", rafter="2x4")
    building = build(scene_of(table))
    assert check(building) == ()
    slope = slopes(building)["back upper"]
    purlin = max(box_of(part).high[1] for part in of_group(building, "back purlin beam"))
    assert purlin > slope.y_of(slope.lower.h) + CUT_MM


def test_lookouts_run_into_the_pair_in_the_middle_over_its_gusset() -> None:
    # 4 ft long, 24 in on centre: three pairs, and lookouts at both sides of the middle one.
    table = gambrel(spacing="24 in", rake_overhang="12 in") | {
        "building": {"length": "4 ft", "depth": "12 ft"},
        "foundation": {"kind": "pad", "edge_width": "8 in"},
    }
    building = build(scene_of(table))
    assert check(building) == ()
    assert len({round(box_of(part).low[0]) for part in of_kind(building, Kind.GUSSET)}) == 3


def test_without_gussets_or_metal() -> None:
    table = gambrel({"gusset": "none"}) | {"roofing": {}, "edges": {"metal": "none"}}
    building = build(scene_of(table))
    assert check(building) == ()
    counted = Counter(part.kind for part in building.parts)
    assert counted[Kind.GUSSET] == counted[Kind.KNEE_FLASHING] == 0
    # A strip of underlayment over the ridge and over each knee in the metal's place.
    assert counted[Kind.RIDGE_STRIP] == 3


@pytest.mark.parametrize(
    ("rafter", "over", "under", "fits"),
    [
        ("2x8", 4, 15, False),
        ("2x10", 6, 18, True),
        ("2x10", 7, 18, False),
        ("2x10", 7, 15, True),
        ("2x12", 9, 18, True),
    ],
)
def test_rafters_that_a_knee_does_not_notch_too_deep(
    rafter: str, over: int, under: int, *, fits: bool
) -> None:
    # IRC R802.7.1: a quarter of the depth. End rafters lie under lookouts of 1-1/2 in: what is left
    # of a 2x10 is 7-3/4 in, and that is what is told of it.
    table = gambrel(
        {"slope": f"{under}:12"}, slope=f"{over}:12", rafter=rafter, rake_overhang="1 ft"
    )
    _, problems = check_scene(table)
    told = [one.wrong for one in problems if "over the purlins" in one.wrong]
    assert bool(told) != fits
    if told and rafter == "2x10":
        assert told[0].startswith('makes end rafters, 7-3/4" deep under their lookouts, that are')
        assert 'a quarter of 7-3/4" is the most' in told[0]
