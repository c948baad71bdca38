"""Lean-tos under rafters that run on, and on a ledger: measured on the solids."""

from __future__ import annotations

import math
import tomllib
from math import cos, radians, sin

import pytest
import shapely

from conftest import FORMS
from measuring import (
    CUT_MM,
    INCH,
    Box,
    box_of,
    cuts_of,
    from_the_end,
    gaps,
    of_group,
    of_kind,
    side_edges,
)
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.reading.file import check_scene
from strategies import Table
from test_gable import loft


def together(parts: list[Part]) -> Box:
    """The box round some parts, mm."""
    boxes = [box_of(part) for part in parts]
    x, y, z = (min(box.low[axis] for box in boxes) for axis in range(3))
    u, v, w = (max(box.high[axis] for box in boxes) for axis in range(3))
    return Box((x, y, z), (u, v, w))


def bearings(building: Building) -> list[Box]:
    """What carries a rafter that runs on: the beams."""
    groups = sorted({part.group for part in of_kind(building, Kind.BEAM)})
    return [together(of_group(building, group)) for group in groups]


def test_one_straight_rafter_over_three_bearings(run_on: Building) -> None:
    scene = run_on.scene
    slope, depth = radians(scene.roof.slope), scene.lumber_stock(scene.roof.rafter).depth_mm
    carried = bearings(run_on)
    assert len(carried) == 3
    for rafter in of_kind(run_on, Kind.RAFTER):
        made = cuts_of(rafter, slope)
        # Level seats of 1-1/2 in and more (IRC R802.6), notched a quarter at most (IRC R802.7.1),
        # each with a plumb heel of s tan.
        assert len(made.level) == 3, rafter.name
        for seat in made.level:
            assert seat >= 1.5 * INCH - CUT_MM
            assert seat * sin(slope) <= depth / 4 + CUT_MM
        heels = sorted(seat * math.tan(slope) for seat in made.level)
        assert list(made.plumb[:3]) == pytest.approx(heels, abs=CUT_MM)
        # One straight stick: its top edge as long as its whole level reach over cos.
        box = box_of(rafter)
        assert made.along[-1] == pytest.approx((box.high[1] - box.low[1]) / cos(slope), abs=CUT_MM)
        # Each seat lies on one beam's top, within it.
        level = [(a, b) for a, b in side_edges(rafter) if abs(a[1] - b[1]) < CUT_MM]
        for a, b in level:
            on = [
                beam
                for beam in carried
                if abs(beam.high[2] - a[1]) < CUT_MM
                and beam.low[1] - CUT_MM <= min(a[0], b[0])
                and max(a[0], b[0]) <= beam.high[1] + CUT_MM
            ]
            assert len(on) == 1, rafter.name


def test_reach_and_overhang(run_on: Building) -> None:
    # The far beam's outer face stands the bay's reach out from the store's framing, and the tails
    # reach the overhang past it.
    scene = run_on.scene
    bay = next(bay for bay in scene.bay if bay.side in ("front", "back"))
    beam = together(of_group(run_on, f"{bay.side} lean-to beam"))
    tails = together(of_kind(run_on, Kind.RAFTER))
    if bay.side == "front":
        assert beam.low[1] == pytest.approx(-bay.reach, abs=CUT_MM)
        assert tails.low[1] == pytest.approx(-bay.reach - scene.roof.high_overhang, abs=CUT_MM)
    else:
        out = scene.building.depth + bay.reach
        assert beam.high[1] == pytest.approx(out, abs=CUT_MM)
        assert tails.high[1] == pytest.approx(out + scene.roof.eave_overhang, abs=CUT_MM)


def check_posts(building: Building) -> None:
    # Along the beam, its ends carried, at most 8 ft apart (common practice, no source); each on
    # its own base and footing, its middle over the footing's.
    side = next(bay.side for bay in building.scene.bay if bay.side in ("front", "back"))
    posts = [p for p in of_kind(building, Kind.POST) if p.group == f"{side} bay posts"]
    beam = together([p for p in of_kind(building, Kind.BEAM) if f"{side} lean-to" in p.group])
    spans = sorted((box_of(p).low[0], box_of(p).high[0]) for p in posts)
    assert spans[0][0] == pytest.approx(beam.low[0], abs=CUT_MM)
    assert spans[-1][1] == pytest.approx(beam.high[0], abs=CUT_MM)
    between = gaps((a + b) / 2 for a, b in spans)
    assert max(between) <= 96 * INCH + CUT_MM
    assert max(between) - min(between) < CUT_MM
    footings, bases = of_kind(building, Kind.FOOTING), of_kind(building, Kind.POST_BASE)
    for post in posts:
        under = box_of(post)
        middle = [(under.low[axis] + under.high[axis]) / 2 for axis in (0, 1)]
        for kind, parts in (("footing", footings), ("base", bases)):
            on = [
                part
                for part in parts
                if all(
                    abs((box_of(part).low[axis] + box_of(part).high[axis]) / 2 - middle[axis])
                    < CUT_MM
                    for axis in (0, 1)
                )
            ]
            assert len(on) == 1, f"{post.name} has {len(on)} {kind}"


def test_posts_of_rafters_that_run_on(run_on: Building) -> None:
    check_posts(run_on)


def test_posts_of_a_lower_roof(potting_lean_to: Building) -> None:
    check_posts(potting_lean_to)


def test_ledger(potting_lean_to: Building) -> None:
    scene = potting_lean_to.scene
    (bay,) = scene.bay
    ledger = together(of_kind(potting_lean_to, Kind.LEDGER))
    # Against the sheathing's outer face, as high as asked for over the floor.
    sheet = scene.sheet_stock(scene.walls.sheet).thickness_mm
    assert ledger.low[1] == pytest.approx(scene.building.depth + sheet, abs=CUT_MM)
    floor = max(box_of(p).high[2] for p in of_kind(potting_lean_to, Kind.FLOOR_SHEET))
    assert bay.ledger_height is not None
    assert ledger.high[2] == pytest.approx(floor + bay.ledger_height, abs=CUT_MM)
    # Nails or bolts go through the sheathing into studs, one at least every stud spacing: the
    # sheets touch ledger and studs, and every stud stands behind the whole of the ledger's depth.
    studs = [
        box_of(p)
        for p in of_group(potting_lean_to, "back wall")
        if p.kind in (Kind.STUD, Kind.KING)
        and box_of(p).high[1] > scene.building.depth - CUT_MM
        and box_of(p).low[2] <= ledger.low[2]
        and box_of(p).high[2] >= ledger.high[2] - CUT_MM
    ]
    assert studs
    assert max(gaps((s.low[0] + s.high[0]) / 2 for s in studs)) <= (
        scene.walls.spacing + 1.5 * INCH
    )
    names = {p.name for p in of_kind(potting_lean_to, Kind.LEDGER)}
    kinds = {p.name: p.kind for p in potting_lean_to.parts}
    held = {
        kinds[joint.b if joint.a in names else joint.a]
        for joint in potting_lean_to.joints
        if names & {joint.a, joint.b}
    }
    assert Kind.WALL_SHEET in held
    assert Kind.RAFTER in held


def test_rafters_on_the_ledger(potting_lean_to: Building) -> None:
    scene = potting_lean_to.scene
    (bay,) = scene.bay
    assert bay.slope is not None
    slope, depth = radians(bay.slope), scene.lumber_stock(scene.roof.rafter).depth_mm
    ledger = together(of_kind(potting_lean_to, Kind.LEDGER))
    beam = together([p for p in of_kind(potting_lean_to, Kind.BEAM) if "lean-to" in p.group])
    rafters = [
        p
        for p in of_kind(potting_lean_to, Kind.RAFTER, Kind.END_RAFTER)
        if p.name.startswith("back lean-to")
    ]
    assert len(rafters) >= 2
    for rafter in rafters:
        # An upper seat that takes the ledger's whole breadth runs to the plumb cut at the wall.
        seats = sorted(
            (tuple(sorted((float(a[0]), float(b[0])))), float(a[1]))
            for a, b in side_edges(rafter)
            if abs(a[1] - b[1]) < CUT_MM
        )
        assert [z for _, z in seats] == pytest.approx([ledger.high[2], beam.high[2]], abs=CUT_MM)
        for ((y0, y1), _), carrier in zip(seats, (ledger, beam), strict=True):
            assert carrier.low[1] - CUT_MM <= y0
            assert y1 <= carrier.high[1] + CUT_MM
            assert y1 - y0 >= 1.5 * INCH - CUT_MM
            assert (y1 - y0) * sin(slope) <= depth / 4 + CUT_MM


def test_lower_roof_clears_the_eave(potting_lean_to: Building) -> None:
    # Its sheets lie under the lowest corner of the main roof's tails wherever both are.
    lower = together(
        [p for p in of_kind(potting_lean_to, Kind.ROOF_SHEET) if p.name.startswith("back lean-to")]
    )
    tails = [p for p in of_kind(potting_lean_to, Kind.RAFTER) if p.name.startswith("back rafter")]
    assert tails
    for rafter in tails:
        outline = from_the_end(rafter)
        over = outline.intersection(shapely.box(lower.low[1], 0.0, 1e5, 1e5))
        assert over.bounds[1] > lower.high[2]


def ledger_scene(**keys: str) -> Table:
    table = loft("6:12", "10 ft", {"kind": "board"}, eave_overhang="1 ft")
    table["walls"] = {"low_height": "10 ft"}
    table["bay"] = [
        {
            "side": "back",
            "reach": "6 ft",
            "roof": "ledger",
            "slope": "2:12",
            "ledger_height": "8 ft 6 in",
            **keys,
        }
    ]
    return table


DOOR = {
    "name": "door",
    "kind": "door",
    "wall": "back",
    "from_left": "2 ft",
    "width": "3 ft",
    "height": "6 ft 8 in",
}


@pytest.mark.parametrize(
    ("keys", "opening", "key", "says"),
    [
        ({}, {}, None, ""),
        ({"ledger_height": "11 ft"}, {}, "bay[1].ledger_height", "plates"),
        ({"ledger_height": "9 ft 8 in"}, {}, "bay[1].ledger_height", "tails"),
        ({"slope": "12:12", "reach": "11 ft"}, {}, "bay[1].reach", "down to"),
        ({}, {**DOOR}, None, ""),
        ({}, {**DOOR, "height": "8 ft"}, "bay[1].ledger_height", "across"),
        (
            {"slope": "6:12", "ledger_height": "7 ft 10 in"},
            {**DOOR, "width": "5 ft"},
            "bay[1].ledger_height",
            "opens under",
        ),
        ({"side": "left"}, {}, "bay[1].roof", "front or the back"),
        ({"roof": "runs on"}, {}, "bay[1].slope", "ledger"),
    ],
)
def test_ledgers_that_are_refused(
    keys: dict[str, str], opening: dict[str, str], key: str | None, says: str
) -> None:
    table = ledger_scene(**keys)
    if opening:
        table["opening"] = [opening]
    problems = {problem.key: problem.wrong for problem in check_scene(table)[1]}
    if key is None:
        assert problems == {}
    else:
        assert says in problems[key]


def test_steep_lower_roof_is_refused() -> None:
    # A 2x4 notched a quarter, 7/8 in, at 10 in 12: 0.875 / sin 39.8 = 1.37 in of seat, under the
    # 1-1/2 in of IRC R802.6; at 6 in 12: 1.96 in.
    for slope, refused in (("6:12", False), ("10:12", True)):
        table = ledger_scene(slope=slope, reach="4 ft", ledger_height="9 ft")
        table["roof"] |= {"rafter": "2x4", "slope": "4:12"}
        keys = [problem.key for problem in check_scene(table)[1]]
        assert ("bay[1].slope" in keys) == refused, keys


def test_every_form_is_looked_at() -> None:
    # The scenes that this file's fixtures name are those that have a lean-to.
    with_one = {
        path.stem
        for path in FORMS.values()
        if any(
            bay["side"] in ("front", "back")
            for bay in tomllib.loads(path.read_text("utf-8")).get("bay", ())
        )
    }
    clad = {"garden-classroom", "potting-shed", "swing-shelter", "wash-bay"}  # looked at by others
    assert with_one - clad == {"sun-porch", "wood-lean-to", "potting-lean-to"}
