"""Gables as a carpenter looks at them: rafters, ridge, ties, end walls, deck, on the solids."""

from __future__ import annotations

import itertools
import math
from math import cos, radians, tan

import pytest
import shapely

from measuring import CUT_MM, GAP_MM, INCH, box_of, corners, cuts_of, from_the_end, of_kind
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.building.piece import Piece
from pikepole_model.checks.fit import check
from pikepole_model.checks.practice import practice_findings
from pikepole_model.layout.roof import set_rafters
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.reading.file import check_scene
from pikepole_model.scene.schema import RidgeBeam, Scene
from strategies import Table, scene_of

RAFTERS = (Kind.RAFTER, Kind.END_RAFTER)


def loft(slope: str, depth: str, ridge: Table, **roof: str) -> Table:
    """A gable without overhangs on a pad, so that no joist limits its span."""
    bare = dict.fromkeys(("eave_overhang", "rake_overhang"), "0 in")
    return {
        "title": "Loft",
        "building": {"length": "8 ft", "depth": depth},
        "foundation": {"kind": "pad", "edge_depth": "18 in"},
        "roof": {"slope": slope, "rafter": "2x8", **bare, **roof, "ridge": ridge},
    }


def common(scene: Scene, slope: str) -> Piece:
    rafters = [p for p in set_rafters(RoofPlan(Datums(scene))) if p.kind == Kind.RAFTER]
    return next(piece for piece in rafters if piece.label == f"{slope} rafter")


def on_slope(building: Building, slope: str, *kinds: Kind) -> list[Part]:
    return [part for part in of_kind(building, *kinds) if part.name.startswith(f"{slope} ")]


def main(building: Building, *kinds: Kind) -> list[Part]:
    """The parts of the gable's own two slopes."""
    return [part for part in of_kind(building, *kinds) if "lean-to" not in part.name]


@pytest.mark.parametrize("slope", ["front", "back"])
@pytest.mark.parametrize(
    ("rise", "span", "inches", "within"),
    [
        # US Navy, NAVEDTRA Builder training manual, figure 2-17: 7 in rise, 16 ft span, run 8 ft:
        # 8 x 13.89 = 111.12, 9 ft 3-1/8 in.
        ("7:12", "16 ft", 111.125, 1 / 16),
        # Ira S. Griffith, Carpentry, p. 21: quarter pitch over 25 ft: 12.5 x 13.42 = 167.75 in.
        ("6:12", "25 ft", 167.75, 12.5 * 0.005),
    ],
)
def test_handbook_lengths(slope: str, rise: str, span: str, inches: float, within: float) -> None:
    # To the middle of a ridge that the rafters meet over: the theoretical length.
    scene = scene_of(loft(rise, span, {"kind": "beam"}))
    top = cuts_of(common(scene, slope), radians(scene.roof.slope)).along[-1]
    assert top / INCH == pytest.approx(inches, abs=within)


def test_shortened_by_half_the_ridge_board() -> None:
    # Against a board of 3/4 in (PS 20) a rafter is shorter by half of that, level: 3/8 in times
    # 13.89 / 12 along its edge. Carpenters' rule of shortening; plane geometry.
    full, short = (
        cuts_of(common(scene, "front"), radians(scene.roof.slope)).along[-1]
        for scene in (
            scene_of(loft("7:12", "16 ft", {"kind": "beam"})),
            scene_of(loft("7:12", "16 ft", {"kind": "board"})),
        )
    )
    assert (full - short) / INCH == pytest.approx(0.375 * math.hypot(12, 7) / 12, abs=1e-4)


def test_slopes_mirror_each_other(gable: Building) -> None:
    deep = gable.scene.building.depth
    kinds = (*RAFTERS, Kind.FLY_RAFTER)

    def places(slope: str, *, turned: bool) -> list[list[tuple[float, ...]]]:
        found: list[list[tuple[float, ...]]] = []
        for part in on_slope(gable, slope, *kinds):
            points = corners(part).copy()
            if turned:
                points[:, 1] = deep - points[:, 1]
            found.append(sorted(tuple(point) for point in (points.round(3) + 0.0).tolist()))
        return sorted(found)

    front, back = places("front", turned=False), places("back", turned=True)
    lean_to = sum("lean-to" in part.name for part in of_kind(gable, *kinds))
    assert len(back) - lean_to == len(front) > 0
    assert all(p in back for p in front)


def test_rafters_meet_at_the_ridge(gable: Building) -> None:
    # On a beam both plumb cuts meet in the middle; on a board they leave its 3/4 in (PS 20).
    scene, middle = gable.scene, gable.scene.building.depth / 2
    apart = 0.0 if isinstance(scene.roof.ridge, RidgeBeam) else 0.75 * INCH
    peaks: list[float] = []
    for part in main(gable, *RAFTERS):
        box = box_of(part)
        inner = box.high[1] if part.name.startswith("front") else box.low[1]
        assert abs(inner - middle) == pytest.approx(apart / 2, abs=CUT_MM)
        if part.kind == Kind.RAFTER:
            peaks.append(box.high[2])
    assert max(peaks) - min(peaks) < CUT_MM
    for board in of_kind(gable, Kind.RIDGE_BOARD):
        # Its top level with the rafters' edges, and as deep as their cut ends at least:
        # IRC R802.3.
        assert box_of(board).high[2] == pytest.approx(peaks[0], abs=CUT_MM)
        cut = scene.lumber_stock(scene.roof.rafter).depth_mm / cos(radians(scene.roof.slope))
        assert box_of(board).low[2] <= peaks[0] - cut + CUT_MM


def test_ridge_board_too_shallow_for_the_cut() -> None:
    # A 2x8's plumb cut is 7-1/4 sqrt(1 + (r/12)^2): 9.06 in at 9 in 12, under a 1x10's 9-1/4 in
    # (PS 20), and 9.44 in at 10 in 12. IRC R802.3.
    for rise, keys in ((9, []), (10, ["roof.ridge.board"])):
        table = loft(f"{rise}:12", "10 ft", {"kind": "board", "board": "1x10"})
        assert [problem.key for problem in check_scene(table)[1]] == keys


def test_bearing_on_the_ridge_beam(rinsing_bay: Building) -> None:
    # Level seats of at least 1-1/2 in (IRC R802.6), notched a quarter at most (IRC R802.7.1).
    scene = rinsing_bay.scene
    slope = radians(scene.roof.slope)
    beam = [p for p in of_kind(rinsing_bay, Kind.BEAM) if p.group == "ridge beam"]
    top = max(box_of(ply).high[2] for ply in beam)
    low_y, high_y = min(box_of(p).low[1] for p in beam), max(box_of(p).high[1] for p in beam)
    for rafter in of_kind(rinsing_bay, *RAFTERS):
        depth = scene.lumber_stock(rafter.stock).depth_mm
        outline = from_the_end(rafter).exterior.coords
        seats = [
            (a, b)
            for a, b in itertools.pairwise(outline)
            if abs(a[1] - b[1]) < CUT_MM and abs(a[1] - top) < CUT_MM
        ]
        assert len(seats) == 1, rafter.name
        (a, b) = seats[0]
        assert low_y - CUT_MM <= min(a[0], b[0])
        assert max(a[0], b[0]) <= high_y + CUT_MM
        assert abs(a[0] - b[0]) >= 1.5 * INCH - CUT_MM
        assert abs(a[0] - b[0]) * math.sin(slope) <= depth / 4 + CUT_MM


def test_ties(gable: Building) -> None:
    # Nailed to the side of both rafters of every pair, their underside in the lower third of the
    # rise from plates to ridge: IRC R802.5.2.
    scene = gable.scene
    ties = of_kind(gable, Kind.TIE)
    fronts = on_slope(gable, "front", Kind.RAFTER)
    if isinstance(scene.roof.ridge, RidgeBeam):
        assert not ties
        return
    assert len(ties) == len(fronts) > 0
    nailed = {frozenset((joint.a, joint.b)) for joint in gable.joints if joint.fixing == "nailed"}
    plates = max(
        box_of(p).high[2]
        for p in of_kind(gable, Kind.TOP_PLATE)
        if p.group in ("front wall", "back wall")
    )
    peak = max(box_of(part).high[2] for part in fronts)
    for tie in ties:
        held = [
            rafter
            for rafter in main(gable, Kind.RAFTER)
            if frozenset((tie.name, rafter.name)) in nailed
        ]
        assert [rafter.name.split()[0] for rafter in held] == ["front", "back"], tie.name
        for rafter in held:
            lap = from_the_end(tie).intersection(from_the_end(rafter)).area
            # Room for a nailed lap: a square as wide as a 2x4.
            assert lap >= (3.5 * INCH) ** 2, tie.name
        assert box_of(tie).low[2] - plates <= (peak - plates) / 3
        assert box_of(tie).low[1] >= -CUT_MM
        assert box_of(tie).high[1] <= scene.building.depth + CUT_MM


@pytest.mark.parametrize(
    ("ridge", "roof", "length", "key"),
    [
        ({"tie_height": "3 ft"}, {}, "10 ft", "roof.ridge.tie_height"),
        ({"tie": "2x12", "tie_height": "8 in"}, {"slope": "3:12"}, "10 ft", "roof.ridge.tie"),
        ({}, {"spacing": "24 in"}, "25 in", "roof.spacing"),
        # 3 in leave room for a tie between two rafters, and the one that would be nearer to one
        # moved in from the end wall is left out; 2-3/4 in do not.
        ({}, {"spacing": "2-3/4 in"}, "10 ft", "roof.spacing"),
    ],
)
def test_ties_that_do_not_fit_are_refused(
    ridge: Table, roof: dict[str, str], length: str, key: str
) -> None:
    table = loft(roof.pop("slope", "6:12"), "10 ft", {"kind": "board", **ridge}, **roof)
    table["building"]["length"] = length
    keys = [problem.key for problem in check_scene(table)[1]]
    assert key in keys
    assert all(k.startswith(("roof", "walls", "foundation")) for k in keys)


def test_no_tie_in_an_end_wall_under_a_roof_that_runs_on() -> None:
    # The rafters on such a wall are held by its own plates; a tie would stand in its studs.
    table = loft("6:12", "10 ft", {"kind": "board", "tie": "2x4", "tie_height": "8 in"})
    table["bay"] = [{"side": "left", "reach": "6 ft"}, {"side": "right", "reach": "7 ft"}]
    building = build(scene_of(table))
    wall, length = 3.5 * INCH, building.scene.building.length
    ties = [box_of(tie) for tie in of_kind(building, Kind.TIE)]
    # Two pairs on the walls have none; the end pairs over the bays, which no wall holds, have one.
    assert len(ties) == len(on_slope(building, "front", *RAFTERS)) - 2
    assert check(building) == ()
    for tie in ties:
        for start, end in ((-1.0, wall), (length - wall, length + 1.0)):
            assert tie.high[0] <= start + CUT_MM or tie.low[0] >= end - CUT_MM


@pytest.mark.parametrize("kind", ["battens", "boards"])
@pytest.mark.parametrize("reach", [83, 84])
def test_ties_clear_what_covers_an_end_wall(kind: str, reach: int) -> None:
    # Pairs stand 16 in apart from the bay's end: the fifth one's right face is 83 - 80 - 3/4 in
    # (84: 3-1/4 in) out of the wall, and between it and the sheets a 2x4 (1-1/2 in, PS 20) would
    # have room, but not over boards of 3/4 in, with battens or corner boards of 3/4 in on them.
    table = loft("6:12", "10 ft", {"kind": "board", "tie": "2x4"}, spacing="16 in")
    table["bay"] = [{"side": "left", "reach": f"{reach} in"}]
    table["cladding"] = [{"kind": kind}]
    building = build(scene_of(table))
    assert check(building) == ()
    # So it is nailed to the pair's left face.
    face = -(reach - 80 + 0.75) * INCH
    before = [box_of(t).high[0] for t in of_kind(building, Kind.TIE) if box_of(t).high[0] < CUT_MM]
    assert max(before) == pytest.approx(face, abs=CUT_MM)


@pytest.mark.parametrize("rake", ["0 in", "10 in"])
def test_the_end_pair_over_a_bay_has_a_tie_on_its_inside(rake: str) -> None:
    # Ties hold the feet of every pair that no wall holds: IRC R802.5.2.
    table = loft("6:12", "10 ft", {"kind": "board", "tie": "2x4"}, rake_overhang=rake)
    table["bay"] = [{"side": "left", "reach": "6 ft"}]
    building = build(scene_of(table))
    assert check(building) == ()
    tie = min(of_kind(building, Kind.TIE), key=lambda part: box_of(part).low[0])
    nailed = {frozenset((joint.a, joint.b)) for joint in building.joints}
    ends = [p for p in of_kind(building, Kind.END_RAFTER) if box_of(p).low[0] < -5 * 12 * INCH]
    assert len(ends) == 2
    for rafter in ends:
        assert frozenset((tie.name, rafter.name)) in nailed
        assert box_of(tie).low[0] == pytest.approx(box_of(rafter).high[0], abs=CUT_MM)
        # Lookouts over the end rafters pass over the tie as well.
        lap = from_the_end(tie).intersection(from_the_end(rafter)).area
        assert lap >= (3.5 * INCH) ** 2
        assert from_the_end(tie).bounds[3] <= from_the_end(rafter).bounds[3]


def test_raked_plates(gable: Building) -> None:
    # Double up both slopes; the two sides meet in a plumb mitre in the middle, or on the ridge.
    scene = gable.scene
    middle, slope = scene.building.depth / 2, radians(scene.roof.slope)
    for wall in ("left", "right"):
        for layer in ("lower", "upper"):
            plates = [
                part for part in gable.parts if part.name.startswith(f"{wall} wall {layer} top")
            ]
            sides = {
                side: [p for p in plates if (box_of(p).low[1] < middle - 1.0) == (side == "front")]
                for side in ("front", "back")
            }
            assert all(sides.values())
            ends = (
                max(box_of(p).high[1] for p in sides["front"]),
                min(box_of(p).low[1] for p in sides["back"]),
            )
            ridge = [
                box_of(p)
                for p in gable.parts
                if p.group == "ridge beam" or p.kind == Kind.RIDGE_BOARD
            ]
            high = max(box_of(p).high[2] for p in plates)
            if min(box.low[2] for box in ridge) >= high - CUT_MM:
                assert ends == pytest.approx((middle, middle), abs=CUT_MM)
            else:
                assert ends[0] <= middle + CUT_MM
                assert ends[1] >= middle - CUT_MM
            for part in plates:
                # A plate is 1-1/2 in thick, square to its slope (PS 20).
                thick = sorted(part.shape.size_mm)[0]
                assert thick == pytest.approx(1.5 * INCH, abs=CUT_MM), part.name
                area = from_the_end(part)
                assert area.length > 0
    for layer_pair in ("left", "right"):
        lower, upper = (
            shapely.union_all(
                [
                    from_the_end(part).buffer(CUT_MM)
                    for part in gable.parts
                    if part.name.startswith(f"{layer_pair} wall {layer} top")
                ]
            )
            for layer in ("lower", "upper")
        )
        plumb = 1.5 * INCH / cos(slope)
        for y in (300.0, middle - 200.0, middle + 200.0, 2 * middle - 300.0):
            line = shapely.LineString([(y, 0.0), (y, 20_000.0)])
            for layer in (lower, upper):
                assert layer.intersection(line).length == pytest.approx(plumb, abs=0.01)
            both = shapely.union(lower, upper).intersection(line)
            assert both.length == pytest.approx(2 * plumb, abs=0.01)


def test_posts_under_the_ridge(gable: Building) -> None:
    # On the bottom plate or on a header, up to the beam or to the plates: no gap in the path of
    # the ridge's load.
    posts = of_kind(gable, Kind.POST_STUD)
    assert {post.group for post in posts} == {"left wall", "right wall"}
    on_beam = isinstance(gable.scene.roof.ridge, RidgeBeam)
    named = {part.name: part for part in gable.parts}
    kind_of = {name: part.kind for name, part in named.items()}
    for post in posts:
        box = box_of(post)
        under, over = set[Kind](), set[Kind]()
        for joint in gable.joints:
            if post.name in (joint.a, joint.b):
                other = joint.b if joint.a == post.name else joint.a
                if abs(joint.at_mm[2] - box.low[2]) < 1.0:
                    under.add(kind_of[other])
                if box_of(named[other]).high[2] > box.high[2] + 1.0:
                    over.add(kind_of[other])
        assert under & {Kind.BOTTOM_PLATE, Kind.HEADER}, post.name
        assert over & {Kind.BEAM if on_beam else Kind.TOP_PLATE}, post.name


def test_door_beside_the_ridge_post_is_refused() -> None:
    # A king where the post stands; and a header so high that no post fits between it and the beam.
    table = loft("6:12", "10 ft", {"kind": "beam", "ply": "2x12"})
    door = {"name": "door", "kind": "door", "wall": "left"}
    for from_left, width, height, keys in (
        ("1 ft 4 in", "3 ft", "6 ft", []),
        ("3 ft 6 in", "3 ft", "6 ft", []),
        ("2 ft", "3 ft", "6 ft", ["opening[1].from_left"]),
        ("5 ft", "3 ft", "6 ft", ["opening[1].from_left"]),
        ("4 ft 6 in", "1 ft", "8 ft", ["opening[1].height"]),
    ):
        table["opening"] = [{**door, "from_left": from_left, "width": width, "height": height}]
        assert [problem.key for problem in check_scene(table)[1]] == keys, (from_left, height)


def test_blocks_between_rafters(gable: Building) -> None:
    # One between each two rafters over each plate, and over each side of a ridge beam, flush up to
    # the deck at its lower edge.
    for slope in ("front", "back"):
        centres = sorted(
            (box_of(p).low[0], box_of(p).high[0])
            for p in on_slope(gable, slope, *RAFTERS)
            if "lean-to" not in p.name
        )
        blocks = [
            box_of(p) for p in on_slope(gable, slope, Kind.RAFTER_BLOCK) if "lean-to" not in p.name
        ]
        lines = 2 if isinstance(gable.scene.roof.ridge, RidgeBeam) else 1
        gaps = [(a[1], b[0]) for a, b in itertools.pairwise(centres) if b[0] - a[1] >= INCH]
        for left, right in gaps:
            between = [b for b in blocks if left - CUT_MM <= b.low[0] <= right]
            assert len(between) == lines
            # A tie takes its own thickness.
            for box in between:
                assert box.high[0] - box.low[0] >= right - left - 2 * 1.5 * INCH - CUT_MM


def test_deck_covers_both_slopes(gable: Building) -> None:
    scene = gable.scene
    slope, middle = radians(scene.roof.slope), scene.building.depth / 2
    xs = [box_of(p) for p in main(gable, *RAFTERS, Kind.FLY_RAFTER)]
    left, right = min(b.low[0] for b in xs), max(b.high[0] for b in xs)
    for side, way in (("front", -1.0), ("back", 1.0)):
        sheets = [p for p in on_slope(gable, side, Kind.ROOF_SHEET) if "lean-to" not in p.name]
        outlines = []
        for sheet in sheets:
            points = corners(sheet)
            # The lower face: down the slope from the ridge line, measured along it.
            along = (points[:, 1] - middle) * way * cos(slope) - points[:, 2] * math.sin(slope)
            outlines.append(
                shapely.MultiPoint(list(zip(points[:, 0], along, strict=True))).convex_hull
            )
        for a, b in itertools.combinations(outlines, 2):
            assert a.distance(b) >= GAP_MM - CUT_MM
        covered = shapely.union_all(
            [area.buffer(GAP_MM / 2 + 0.01, join_style="mitre") for area in outlines]
        )
        whole = shapely.box(left, covered.bounds[1] + 2.0, right, covered.bounds[3] - 2.0)
        assert covered.buffer(0.01).covers(whole), side
        run = middle + scene.roof.eave_overhang
        # From the board's or the beam's middle to the tails: as long as the slope.
        short = 0.0 if isinstance(scene.roof.ridge, RidgeBeam) else 0.375 * INCH
        sloped = (run - short) / cos(slope)
        assert covered.bounds[3] - covered.bounds[1] == pytest.approx(
            sloped + 2 * (GAP_MM / 2 + 0.01), abs=0.1
        )


def test_no_strip_of_deck_at_the_ridge() -> None:
    # 3 in 12 over a run of 3 ft 10.6 in: 1,220 mm of slope, a hair more than a 4 ft sheet. The row
    # before is ripped, so that no strip under 6 in is left (common practice, no source).
    table = loft("3:12", "1895 mm", {"kind": "beam", "plies": 2}, eave_overhang="236 mm")
    building = build(scene_of(table))
    assert check(building) == ()
    for sheet in of_kind(building, Kind.ROOF_SHEET):
        assert sorted(sheet.shape.size_mm)[1] >= 6 * INCH - GAP_MM, sheet.name


def test_lookouts_on_both_slopes(gable: Building) -> None:
    # Flat, over the end rafters, in the roof's plane; as many at each of the four rakes.
    lookouts = main(gable, Kind.LOOKOUT)
    middle = gable.scene.building.depth / 2
    tan_slope = tan(radians(gable.scene.roof.slope))
    peak = max(box_of(p).high[2] for p in main(gable, Kind.RAFTER))
    counted: dict[tuple[bool, bool], int] = {}
    length = gable.scene.building.length
    for part in lookouts:
        box = box_of(part)
        front, left = part.name.startswith("front"), box.low[0] < length / 2
        counted[front, left] = counted.get((front, left), 0) + 1
        for point in corners(part):
            roof = peak - tan_slope * abs(point[1] - middle)
            assert point[2] <= roof + 0.75 * INCH, part.name
    assert len(counted) == 4
    assert len(set(counted.values())) == 1


def test_a_ridge_board_asks_for_a_slope() -> None:
    # IRC R802.4.4: where the roof is less than 3 in 12 the ridge is a beam.
    def found(slope: str, ridge: Table) -> list[str]:
        building = build(scene_of(loft(slope, "14 ft", ridge)))
        return [str(one) for one in practice_findings(building) if "R802.4.4" in one.text]

    board = {"kind": "board", "tie": "2x4", "tie_height": "1 in"}
    (told,) = found("2.9:12", board)
    assert "roof.slope" in told
    assert 'give at least "3:12"' in told
    assert not found("3:12", board)
    assert not found("2:12", {"kind": "beam"})
