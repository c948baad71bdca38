"""Walls and their sheets as a carpenter looks at them, measured on the parts."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import pytest
import shapely
from hypothesis import given
from shapely import Point
from shapely import Polygon as Area

from clad import clad, table_of
from draws import draws
from measuring import CUT_MM, GAP_MM, INCH, box_of, depths, in_wall, of_group, of_kind
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.fit import check
from pikepole_model.layout.walls import frame_wall
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.wall import WallPlan
from pikepole_model.plan.walls import plan_walls
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.walls import SheetedWall
from strategies import scene_of, scenes

FRAMING = (
    Kind.BOTTOM_PLATE,
    Kind.TOP_PLATE,
    Kind.STUD,
    Kind.CORNER_STUD,
    Kind.KING,
    Kind.JACK,
    Kind.CRIPPLE,
    Kind.POST_STUD,
    Kind.WALL_POST,
    Kind.HEADER,
    Kind.HEADER_SPACER,
    Kind.HEAD_PLATE,
    Kind.HEADER_PACKING,
    Kind.SILL,
    Kind.WALL_BLOCK,
    Kind.NAILING_BLOCK,
    Kind.GIRT,
)

# A sheet's edge needs wood to nail to: 3/8 in from the edge to the nail (panel nailing practice).
LANDING_MM = 9.0


def plans(building: Building) -> tuple[WallPlan, ...]:
    return plan_walls(RoofPlan(Datums(building.scene)))


def spans(plan: WallPlan, parts: list[Part]) -> list[tuple[float, float]]:
    """From and to along a wall, mm, in order."""
    edges = [in_wall(plan, part).bounds for part in parts]
    return sorted((u0, u1) for u0, _, u1, _ in edges)


def sheets_of(building: Building, plan: WallPlan) -> list[Part]:
    return [
        part
        for part in of_group(building, f"{plan.name} wall sheathing")
        if part.kind == Kind.WALL_SHEET
    ]


def studs_of(building: Building, plan: WallPlan, *kinds: Kind) -> list[Part]:
    return [part for part in of_group(building, f"{plan.name} wall") if part.kind in kinds]


def outline(plan: WallPlan, sheet: Part) -> Area:
    """A sheet with its openings in the wall's plane, mm."""
    body, place = sheet.shape.body, sheet.placement
    loops = []
    for loop in (body.outline, *body.holes):  # type: ignore[union-attr]
        points = [place.point(u, v) for u, v in loop]  # type: ignore[union-attr]
        origin = plan.place.origin
        loops.append(
            [
                (
                    sum((p - o) * e for p, o, e in zip(point, origin, plan.place.u, strict=True)),
                    point[2] - origin[2],
                )
                for point in points
            ]
        )
    return Area(loops[0], loops[1:])


def test_studs_on_centre(building: Building) -> None:
    # The tape hooks on the store's left end, along the side walls on its front, as for joists and
    # rafters; what it marks is the centre of a stud (common practice, no source). Studs that stand
    # at a mark stand exactly at it, and no gap is wider than the spacing except across an opening.
    for plan in plans(building):
        spacing = building.scene.walls.spacing
        studs = spans(plan, studs_of(building, plan, Kind.STUD))
        start, end = plan.framed
        assert studs[0][0] == pytest.approx(start, abs=CUT_MM)
        assert studs[-1][1] == pytest.approx(end, abs=CUT_MM)
        for u0, u1 in studs[1:-1]:
            from_corner = (u0 + u1) / 2
            if plan.name in ("back", "left"):
                from_corner = plan.length_mm - from_corner
            marks = from_corner / spacing
            assert marks == pytest.approx(round(marks), abs=1e-6), plan.name
        standing = spans(plan, studs_of(building, plan, Kind.STUD, Kind.KING))
        centres = [(u0 + u1) / 2 for u0, u1 in standing]
        openings = [o.from_left for o in building.scene.opening if o.wall == plan.name]
        for a, b in itertools.pairwise(centres):
            # A king that takes a layout stud's place stands up to a stud's thickness off the mark.
            breadth = building.scene.lumber_stock(building.scene.walls.stud).breadth_mm
            if not any(left and a < left < b for left in openings):
                assert b - a <= spacing + breadth + CUT_MM
                kings = [sum(span) / 2 for span in spans(plan, studs_of(building, plan, Kind.KING))]
                if a not in kings and b not in kings:
                    assert b - a <= spacing + CUT_MM


def test_round_every_opening(building: Building) -> None:
    # Kings run to the plates, jacks carry the header, the rough opening is as wide and high as the
    # scene asks (common practice, no source).
    scene = building.scene
    for opening in scene.opening:
        plan = next(plan for plan in plans(building) if plan.name == opening.wall)
        named = [part for part in building.parts if part.name.startswith(opening.name)]
        assert opening.from_left
        u0, u1 = opening.from_left, opening.from_left + opening.width
        foot = opening.sill or 0.0
        head = foot + opening.height
        breadth = scene.lumber_stock(scene.walls.stud).breadth_mm
        jacks = [part for part in named if part.kind == Kind.JACK]
        kings = [part for part in named if part.kind == Kind.KING]
        # Two jacks a side over 6 ft (common practice, no source).
        each = opening.jacks or (2 if opening.width > 72 * INCH else 1)
        assert (len(jacks), len(kings)) == (2 * each, 2 * opening.kings)
        inner = spans(plan, jacks)
        assert inner[each - 1][1] == pytest.approx(u0, abs=CUT_MM)
        assert inner[each][0] == pytest.approx(u1, abs=CUT_MM)
        for jack in jacks:
            assert in_wall(plan, jack).bounds[3] == pytest.approx(head, abs=CUT_MM)
        left, right = spans(plan, kings)[opening.kings - 1 : opening.kings + 1]
        assert left[1] == pytest.approx(u0 - each * breadth, abs=CUT_MM)
        assert right[0] == pytest.approx(u1 + each * breadth, abs=CUT_MM)
        header = [part for part in named if part.kind in (Kind.HEADER, Kind.HEADER_SPACER)]
        for ply in header:
            low_u, low_v, high_u, _ = in_wall(plan, ply).bounds
            assert (low_u, low_v) == pytest.approx((left[1], head), abs=CUT_MM)
            assert high_u == pytest.approx(right[0], abs=CUT_MM)
        sills = [part for part in named if part.kind == Kind.SILL]
        if opening.kind == "window":
            assert [in_wall(plan, sill).bounds for sill in sills] == [
                pytest.approx((u0, foot - breadth, u1, foot), abs=CUT_MM)
            ]
        else:
            assert not sills
            plates = spans(plan, studs_of(building, plan, Kind.BOTTOM_PLATE))
            assert all(p1 <= u0 + CUT_MM or p0 >= u1 - CUT_MM for p0, p1 in plates)
        # Nothing of the frame stands in the opening.
        hole = shapely.box(u0, foot, u1, head).buffer(-1.0)
        for part in of_group(building, plan.group):
            assert not in_wall(plan, part).intersects(hole), part.name
        for sheet in sheets_of(building, plan):
            assert not outline(plan, sheet).intersects(hole), sheet.name


def test_header_fills_the_wall(lopsided: Building) -> None:
    # 1-1/2 + 1/2 + 1-1/2 = 3-1/2 in: two plies and a 1/2 in spacer make a 2x4 wall's thickness.
    plan = next(plan for plan in plans(lopsided) if plan.name == "front")
    layers = sorted(
        depths(plan, part)
        for part in of_group(lopsided, "front wall")
        if part.kind in (Kind.HEADER, Kind.HEADER_SPACER)
    )
    assert layers == [
        pytest.approx((-3.5 * INCH, -2.0 * INCH), abs=CUT_MM),
        pytest.approx((-2.0 * INCH, -1.5 * INCH), abs=CUT_MM),
        pytest.approx((-1.5 * INCH, 0.0), abs=CUT_MM),
    ]


def test_wide_header() -> None:
    # A header of 8 ft and 2 jacks a side, 102 in: plies in one piece, the spacer from 96 in sheets.
    table = {
        "title": "Wide door",
        "building": {"length": "14 ft", "depth": "7 ft"},
        "foundation": {"kind": "skids"},
        "floor": {},
        "walls": {"high_height": "9 ft"},
        "roof": {"slope": "2:12"},
        "opening": [
            {
                "name": "gate",
                "kind": "door",
                "wall": "front",
                "from_left": "3 ft",
                "width": "8 ft",
                "height": "6 ft",
            }
        ],
    }
    parts = frame_wall(plan_walls(RoofPlan(Datums(scene_of(table))))[0])
    long = {
        kind: sorted(piece.shape.length_mm / INCH for piece in parts if piece.kind == kind)
        for kind in (Kind.HEADER, Kind.HEADER_SPACER)
    }
    assert long[Kind.HEADER] == pytest.approx([102, 102])
    assert long[Kind.HEADER_SPACER] == pytest.approx([6, 96])


def test_corners_can_be_nailed(building: Building) -> None:
    # The front and back walls run through; the end stud of a side wall needs wood of theirs behind
    # it over its full breadth, and the inside corner needs nailing that shows past it.
    running = [plan for plan in plans(building) if plan.runs_through]
    for plan in plans(building):
        if plan.runs_through:
            continue
        # No gap and no overlap: the butting wall fills what the running walls leave between them.
        reaches = [
            (box.low[1], box.high[1])
            for run in running
            for box in map(box_of, studs_of(building, run, Kind.STUD))
        ]
        middle = (min(reaches)[0] + max(reaches)[1]) / 2
        near = max(back for _, back in reaches if back < middle)
        far = min(front for front, _ in reaches if front > middle)
        plates = [box_of(part) for part in studs_of(building, plan, Kind.BOTTOM_PLATE)]
        assert min(box.low[1] for box in plates) == pytest.approx(near, abs=CUT_MM)
        assert max(box.high[1] for box in plates) == pytest.approx(far, abs=CUT_MM)
    for plan in plans(building):
        if not plan.runs_through:
            continue
        thick = Datums(building.scene).wall_mm
        wood = [
            in_wall(plan, part).bounds
            for part in studs_of(building, plan, Kind.CORNER_STUD, Kind.STUD)
            if depths(plan, part)[0] < CUT_MM - thick
        ]
        for near, far in ((0.0, thick), (plan.length_mm - thick, plan.length_mm)):
            # A stud's thickness or more to nail the butting wall to, and some that shows past it.
            inside = sum(max(0.0, min(far, b[2]) - max(near, b[0])) for b in wood)
            assert inside >= 1.5 * INCH - CUT_MM, plan.name
            past = far if near == 0.0 else near
            shows = [
                (b[2] - past) if near == 0.0 else (past - b[0])
                for b in wood
                if b[0] < past + (30.0 if near == 0.0 else 0.0)
                and b[2] > past - (0.0 if near == 0.0 else 30.0)
            ]
            assert max(shows) >= 25.0, plan.name


def test_double_top_plates(building: Building) -> None:
    # Two plates over every stud; end joints of the two at least 24 in apart, and over a stud.
    # Source: IRC R602.3.2.
    for plan in plans(building):
        layers: list[list[tuple[float, float]]] = []
        for name in ("lower", "upper"):
            layers.append(
                spans(
                    plan,
                    [
                        part
                        for part in of_group(building, plan.group)
                        if part.name.startswith(f"{plan.name} wall {name} top plate")
                    ],
                )
            )
        joints = [[run[1] for run in runs[:-1]] for runs in layers]
        for a, b in itertools.product(*joints):
            assert abs(a - b) >= 24 * INCH - CUT_MM
        for runs in layers:
            for left, right in itertools.pairwise(runs):
                assert left[1] == pytest.approx(right[0], abs=CUT_MM)
        studs = spans(plan, studs_of(building, plan, Kind.STUD, Kind.KING))
        for joint in itertools.chain(*joints):
            assert any(u0 < joint < u1 for u0, u1 in studs), f"{plan.name} joint at {joint}"


def test_plates_longer_than_any_board_are_spliced_apart() -> None:
    # 30 ft out of 16 ft boards. IRC R602.3.2 (from memory): end joints of the two plates at least
    # 24 in apart. On studs 24 in apart the longest first piece of both would end on one stud.
    table = {
        "title": "Long",
        "building": {"length": "30 ft", "depth": "8 ft"},
        "foundation": {"kind": "skids"},
        "floor": {},
        "walls": {"high_height": "9 ft", "spacing": "24 in"},
        "roof": {"slope": "2:12"},
        "cutting": {"longest": "16 ft"},
    }
    front = plan_walls(RoofPlan(Datums(scene_of(table))))[0]
    layers: dict[float, list[tuple[float, float]]] = {}
    for piece in frame_wall(front):
        if piece.kind == Kind.TOP_PLATE:
            box = box_of(piece)
            layers.setdefault(round(box.low[2]), []).append((box.low[0], box.high[0]))
    lower, upper = (sorted(runs) for _, runs in sorted(layers.items()))
    for runs in (lower, upper):
        assert len(runs) > 1
        assert all(x1 - x0 <= 16 * 12 * INCH + CUT_MM for x0, x1 in runs)
        assert all(b == pytest.approx(a) for (_, a), (b, _) in itertools.pairwise(runs))
    for (_, a), (_, b) in itertools.product(lower[:-1], upper[:-1]):
        assert abs(a - b) >= 24 * INCH - CUT_MM


def test_upper_plates_lap_the_corners(tool_store: Building) -> None:
    # Without beams the upper plate of one wall runs over the lower plate of the other (IRC
    # R602.3.2): the side walls' uppers to the outer faces, the others' stop short.
    for plan in plans(tool_store):
        upper = spans(
            plan,
            [
                part
                for part in of_group(tool_store, plan.group)
                if part.kind == Kind.TOP_PLATE and "upper" in part.name
            ],
        )
        stop = 3.5 * INCH if plan.runs_through else 0.0
        assert upper[0][0] == pytest.approx(stop, abs=CUT_MM)
        assert upper[-1][1] == pytest.approx(plan.length_mm - stop, abs=CUT_MM)


def check_sheets(building: Building) -> None:
    stock = building.scene.sheet_stock(building.scene.walls.sheet)
    for plan in plans(building):
        sheets = [outline(plan, sheet) for sheet in sheets_of(building, plan)]
        if not isinstance(plan.kind, SheetedWall):
            assert not sheets
            continue
        for sheet in sheets:
            u0, v0, u1, v1 = sheet.bounds
            assert u1 - u0 <= stock.width_mm + CUT_MM
            assert v1 - v0 <= stock.length_mm + CUT_MM
        for a, b in itertools.combinations(sheets, 2):
            # 1/8 in between sheets (APA builder tip), and none over another.
            assert a.distance(b) >= GAP_MM - CUT_MM
        together = shapely.union_all([sheet.buffer(GAP_MM / 2 + 0.1) for sheet in sheets])
        for part in studs_of(building, plan, Kind.STUD, Kind.KING):
            middle = in_wall(plan, part).centroid
            assert together.covers(middle), f"{part.name} is not sheeted over"


def backing(building: Building, plan: WallPlan) -> Area:
    """What a sheet can be nailed to at the outer face of a wall, in its plane."""
    behind = [
        in_wall(plan, part)
        for part in of_kind(building, *FRAMING, Kind.RIM, Kind.JOIST, Kind.BEAM)
        if abs(depths(plan, part)[1]) < 0.5
    ]
    return shapely.union_all([area.buffer(0.05) for area in behind])  # type: ignore[return-value]


def upright_joints(sheets: list[Area]) -> Iterator[tuple[float, float, float]]:
    """(u, from, to) of each edge along an upright joint, mm."""
    for sheet in sheets:
        for a, b in itertools.pairwise(sheet.exterior.coords):
            if abs(a[0] - b[0]) < CUT_MM and abs(a[1] - b[1]) > 1.0:
                yield a[0], min(a[1], b[1]), max(a[1], b[1])


def backed_up(wood: Area, u: float, v: float) -> bool:
    """Whether wood stands behind a place, or the gap in it there is no higher than an inch.

    No stick shorter than that is cut, such as a cripple under a sill just over the plate.
    """
    if wood.covers(Point(u, v)):
        return True
    line = shapely.LineString([(u, v - 2 * INCH), (u, v + 2 * INCH)]).difference(wood)
    gap = [part for part in shapely.get_parts(line) if part.distance(Point(u, v)) < CUT_MM]
    return sum(part.length for part in gap) < INCH


def check_upright_joints(building: Building) -> None:
    for plan in plans(building):
        wood = backing(building, plan)
        sheets = [outline(plan, sheet) for sheet in sheets_of(building, plan)]
        for u, low, high in upright_joints(sheets):
            others = [s for s in sheets if s.distance(Point(u, (low + high) / 2)) < GAP_MM + 0.1]
            if len(others) < 2:
                continue  # a corner or an opening, not a joint
            # Concrete or deck edge lies behind what hangs below the plate.
            low = max(low, Datums(building.scene).breadth_mm)
            for v in range(int(low) + 5, int(high) - 5, 40):
                assert backed_up(wood, u, v), f"{plan.name} joint at {u:.1f}, {v}"


def test_sheets(building: Building) -> None:
    check_sheets(building)


@pytest.mark.parametrize(
    ("spacing", "middles_in"),
    [
        # From 96 in to 132 in is open, the jacks' and kings' faces 1-1/2 in past it. A cripple on
        # centre at 96 in would stand 3/4 in beside the king; no sheet meets on it.
        ("16 in", [112, 128]),
        # Every 24 in the sheets' span to the next would grow to 26-1/4 in (IRC Table R602.3(3): at
        # most 24 in, from memory).
        ("24 in", [96, 120]),
    ],
)
def test_no_cripple_where_no_nailer_goes_in(spacing: str, middles_in: list[int]) -> None:
    door = {"name": "way in", "kind": "door", "wall": "front", "from_left": "8 ft"}
    table = table_of(
        building={"length": "14 ft", "depth": "8 ft"},
        walls={"low_height": "8 ft", "spacing": spacing},
        opening=[door | {"width": "3 ft", "height": "6 ft"}],
    )
    building = build(scene_of(table))
    cripples = spans(plans(building)[0], of_kind(building, Kind.CRIPPLE))
    middles = sorted(sum(u) / 2 for u in cripples)
    assert middles == pytest.approx([inches * INCH for inches in middles_in])


def test_upright_joints_are_backed(building: Building) -> None:
    check_upright_joints(building)


@draws(4)
@given(scenes())
def test_sheets_of_any_wall(scene: Scene) -> None:
    building = build(scene)
    check_sheets(building)
    check_upright_joints(building)


@pytest.mark.parametrize(("sill", "height"), [(77, 200), (760, 900)])
def test_joints_past_a_window_at_the_plates(sill: int, height: int) -> None:
    # The window takes all but the ends of a wall wider than a sheet. Its sill stands less than an
    # inch over the bottom plate, or its header (2x6, 5-1/2 in) that far under the top plates: no
    # cripple is cut there, yet a joint can be nailed all the way up where one stands on its other
    # side. Vertical joints of panels lie over framing: IRC R602.10.10 (from memory).
    table = {
        "title": "Paddle store",
        "building": {"length": "1660 mm", "depth": "1300 mm"},
        "foundation": {"kind": "skids"},
        "floor": {},
        "walls": {"spacing": "12 in", "low_height": "1900 mm"},
        "roof": {"slope": "1:12"},
        "opening": [
            {
                "name": "slot",
                "kind": "window",
                "wall": "back",
                "from_left": "234 mm",
                "width": "1220 mm",
                "sill": f"{sill} mm",
                "height": f"{height} mm",
                "header": "2x6",
            }
        ],
    }
    building = build(scene_of(table))
    plan = next(plan for plan in plans(building) if plan.name == "back")
    cripples = [in_wall(plan, part).centroid.y for part in studs_of(building, plan, Kind.CRIPPLE)]
    assert cripples, "they stand over the window or under it"
    assert min(cripples) > sill + height or max(cripples) < sill, "and not on both sides"
    assert len(sheets_of(building, plan)) > 1
    check_sheets(building)
    check_upright_joints(building)


def check_level_joints(building: Building) -> None:
    # Where a second course starts, blocks stand behind the joint, or the plates do. A gap of less
    # than 3-1/2 in between uprights is left: so short a block splits (common practice, no source).
    for plan in plans(building):
        wood = backing(building, plan).buffer(3.5 * INCH / 2)
        sheets = [outline(plan, sheet) for sheet in sheets_of(building, plan)]
        for sheet in sheets:
            for a, b in itertools.pairwise(sheet.exterior.coords):
                if abs(a[1] - b[1]) > CUT_MM or abs(a[0] - b[0]) < 60.0:
                    continue
                middle = Point((a[0] + b[0]) / 2, a[1])
                near = [s for s in sheets if s.distance(middle) < GAP_MM + 0.1]
                if len(near) < 2:
                    continue
                low, high = sorted((a[0], b[0]))
                for u in range(int(low) + 30, int(high) - 30, 40):
                    if a[1] - 3.5 * INCH / 2 < plan.stud_head(u) < a[1] + 0.75 * INCH:
                        continue  # the plate all but covers the joint
                    assert wood.covers(Point(u, a[1])), f"{plan.name} joint at {u}, {a[1]:.1f}"


def test_level_joints_are_backed(building: Building) -> None:
    check_level_joints(building)


def test_wall_names_its_faces(lopsided: Building) -> None:
    # Left and right as seen from outside: the front wall's door stands 30 in from the left end of
    # the building, the right wall's window 20 in from its front.
    door = [p for p in lopsided.parts if p.name.startswith("door jack")]
    window = [p for p in lopsided.parts if p.name.startswith("window jack")]
    assert max(box_of(p).high[0] for p in door[:1]) == pytest.approx(30 * INCH, abs=CUT_MM)
    assert min(box_of(p).high[1] for p in window) == pytest.approx(20 * INCH, abs=CUT_MM)


@pytest.mark.parametrize(
    ("height", "left_in", "pieces", "thick_in"),
    [
        ("74 in", 1.5, 1, 3.5),
        ("73-1/2 in", 2.0, 2, 1.5),
        ("72-1/2 in", 3.0, 0, None),
        ("66 in", 9.5, 0, None),
    ],
)
def test_little_room_over_a_header_is_packed_solid(
    height: str, left_in: float, pieces: int, thick_in: float | None
) -> None:
    # A wall 7 ft high over the slab leaves 81 in under its plates, a 2 x 6 header takes 5-1/2 in of
    # them. What is left is filled with plates laid flat where they fit, or on edge in both faces,
    # where cripple studs would be under 3 in: common practice, no source.
    door = {"name": "way in", "kind": "door", "wall": "front", "from_left": "4 ft"}
    size = {"width": "3 ft", "height": height, "header": "2x6"}
    opening = {**door, **size, "steps": {"kind": "none"}}
    building = clad(opening=[opening])
    packing = of_kind(building, Kind.HEADER_PACKING)
    assert len(packing) == pieces
    assert bool(of_kind(building, Kind.CRIPPLE)) == (pieces == 0)
    for part in packing:
        size = [b - a for a, b in zip(box_of(part).low, box_of(part).high, strict=True)]
        # Over a jack of 1-1/2 in on each side.
        assert size == pytest.approx(
            [39 * INCH, (thick_in or 0) * INCH, left_in * INCH], abs=CUT_MM
        )
    assert check(building) == ()
