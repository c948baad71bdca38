"""What stands beside the views: what is laid out with a tape, and details cut through the model."""

from __future__ import annotations

import math
import re
from itertools import combinations, pairwise
from pathlib import Path

import numpy as np
import pytest
from shapely import LineString, Point, Polygon, box, unary_union
from shapely.geometry.base import BaseGeometry

from conftest import FORMS
from measuring import of_kind
from pikepole_export.derive.measures.edges_told import edge_words
from pikepole_export.derive.measures.layouts import layout_of, spot, wall_layout
from pikepole_export.graphics.lettering import font_of
from pikepole_export.write.pictures.details import cuts_of, detail
from pikepole_export.write.pictures.layouts import layout_plate
from pikepole_export.write.pictures.plate import Plate, Words
from pikepole_export.write.pictures.sheet import BESIDE, DETAIL_PX, SECOND_PX, WIDE_PX
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, PanelRecord, Stage
from pikepole_model.building.sequence import CLOSED_GAPS
from pikepole_model.reading.file import load_scene
from pikepole_model.units import format_length, parse_length
from planned import built

PRESS_HOUSE = Path(__file__).parents[1] / "scenes" / "press-house.toml"
INCH = 25.4
LENGTH = re.compile(r"(?:\d+' )?\d+(?:-\d+/\d+)?\"|\d+ mm")


def stage_of(building: Building, name: str) -> Stage:
    return next(stage for stage in building.stages if stage.name == name)


def layout(building: Building, name: str, size: tuple[int, int] = WIDE_PX) -> Plate:
    plate = layout_plate(building, stage_of(building, name), size)
    assert plate is not None
    return plate


def words(plate: Plate) -> list[str]:
    return [one["text"] for one in plate["words"]]


def box_of(one: Words) -> BaseGeometry:
    """What words take on a plate, px."""
    font = font_of(one["high"], one["bold"])
    (x, y), wide = one["at"], font.getlength(one["text"])
    if one["turned"]:
        top = y if one["anchor"][0] == "r" else y - wide
        return box(x - 15, top, x, top + wide)
    left = {"l": x, "m": x - wide / 2, "r": x - wide}[one["anchor"][0]]
    middle = y if one["anchor"][1] == "m" else y - 7
    return box(left, middle - 8, left + wide, middle + 8)


def test_no_words_run_into_others_or_off_the_plate(building: Building) -> None:
    no_words_run_into_others(building)


def test_nor_do_they_in_any_other_form(form: Building) -> None:
    no_words_run_into_others(form)


def no_words_run_into_others(building: Building) -> None:
    for stage in building.stages:
        sizes = (WIDE_PX, SECOND_PX, BESIDE[2][2:])
        layouts = [(layout_plate(building, stage, size), size) for size in sizes]
        cuts = [
            (detail(building, stage, c, DETAIL_PX), DETAIL_PX) for c in cuts_of(building, stage)
        ]
        for plate, size in (*layouts, *cuts):
            if plate is None:
                continue
            boxes = [(one["text"], box_of(one)) for one in plate["words"]]
            for text, own in boxes:
                assert own.within(box(0, 0, *size)), (stage.name, text)
            for (text, own), (other, its) in combinations(boxes, 2):
                assert own.intersection(its).area < 4, (stage.name, text, other)
            for area in plate["areas"]:
                assert Polygon(area["loops"][0]).within(box(0, 0, *size).buffer(0.1))


def test_a_floor_frame_has_its_sides_its_diagonals_and_every_joist(honey_house: Building) -> None:
    plate = layout(honey_house, "Floor frame")
    # 14 ft by 9 ft, as the scene has it: by Pythagoras both diagonals are 199.72 in, and on a tape
    # 199-3/4 in.
    assert round(math.hypot(168, 108) * 16) == 199.75 * 16
    assert "14' 0\" over all, both diagonals 16' 7-3/4\"" in words(plate)
    assert "9' 0\"" in words(plate)
    # Joists of 1-1/2 in stand at both ends and with their middles every 16 in from the left end;
    # one more beside the last carries the ends of the sheets.
    marks = [one["text"] for one in plate["words"] if one["turned"]]
    between = [format_length((16 * n - 0.75) * INCH, "imperial") for n in range(1, 11)]
    assert marks[-2:] == ["13' 10-1/2\"", "9' 0\""]
    assert marks[:11] == ['0"', *between]


def test_a_wall_has_the_edges_and_heights_of_its_openings(honey_house: Building) -> None:
    plate = layout(honey_house, "Front wall")
    # From the scene: a door of 2 ft 10-1/2 in by 6 ft 10-1/2 in 1 ft 2 in from the left, windows of
    # 2 ft by 2 ft 6 in over a sill of 4 ft at 8 ft 0-3/4 in and 10 ft 9-1/2 in.
    edges = [one["text"] for one in plate["words"] if one["bold"] and one["turned"]]
    assert edges == [
        "1' 2\"",
        "4' 0-1/2\"",
        "8' 0-3/4\"",
        "10' 0-3/4\"",
        "10' 9-1/2\"",
        "12' 9-1/2\"",
    ]
    for height in ("4' 0\"", "6' 6\"", "6' 10-1/2\""):
        assert height in words(plate)


def test_the_back_wall_is_seen_from_outside(honey_house: Building) -> None:
    # The scene has the window 5 ft 6 in from the left corner, as one stands behind the building.
    plate = layout(honey_house, "Back wall")
    edges = [one["text"] for one in plate["words"] if one["bold"] and one["turned"]]
    assert edges == ["5' 6\"", "8' 6\""]
    # Its plates are level: 14 ft by 7 ft, diagonals by Pythagoras 187.83 in.
    assert round(math.hypot(168, 84) * 16) == (187 + 13 / 16) * 16
    assert any("both diagonals 15' 7-13/16\"" in text for text in words(plate))
    # A raked wall has none.
    assert not any("diagonals" in text for text in words(layout(honey_house, "Left wall")))


def test_a_raked_wall_has_the_heights_of_both_ends_and_of_its_peak(building: Building) -> None:
    for stage in building.stages:
        if stage.name not in {"Left wall", "Right wall"}:
            continue
        said = words(layout(building, stage.name))
        plates = [part.vertices_mm for part in stage.parts if part.kind is Kind.TOP_PLATE]
        corners = np.concatenate(plates)
        foot = min(part.bounds_mm[0][2] for part in stage.parts)
        for end in (corners[:, 1].min(), corners[:, 1].max()):
            high = corners[abs(corners[:, 1] - end) < 1.0, 2].max() - foot
            assert format_length(high, building.scene.units) in said, stage.name
        peak = corners[:, 2].max() - foot
        assert format_length(peak, building.scene.units) in said, stage.name


@pytest.mark.parametrize(
    ("name", "differ"),
    # 16 in at 3:12 rise 4 in, at 6:12 8 in.
    [("press-house", '4"'), ("canoe-store", '8"')],
)
def test_studs_of_a_raked_wall_say_by_how_much_they_differ(name: str, differ: str) -> None:
    drawn = layout_of(built(name), stage_of(built(name), "Left wall"))
    assert drawn
    assert f"Studs 1' 4\" apart differ by {differ}." in drawn.note
    front = layout_of(built(name), stage_of(built(name), "Front wall"))
    assert front
    assert "differ" not in front.note


def test_a_wall_that_is_mostly_doorway_is_measured(honey_house: Building) -> None:
    plate = layout(honey_house, "Right wall")
    # From the scene: a doorway of 5 ft 4 in by 6 ft 8 in, 1 ft 10 in from the corner. The wall
    # stands between the front and the back one: its own end is 3-1/2 in from there, a 2x4's depth.
    edges = [one["text"] for one in plate["words"] if one["bold"] and one["turned"]]
    assert edges == ["1' 6-1/2\"", "6' 10-1/2\""]
    assert "6' 8\"" in words(plate)


def test_openings_under_a_beam_are_measured_as_any_other() -> None:
    building = build(load_scene(FORMS["garden-classroom"]))
    plate = layout(building, "Front wall")
    # From the scene: four windows of 800 by 800 mm, 200 mm apart, the first 710 mm from the corner;
    # sills at 1 m, so their heads at 1.8 m.
    edges = [one["text"] for one in plate["words"] if one["bold"] and one["turned"]]
    starts = [710 + 1000 * n for n in range(4)]
    assert edges == [f"{at} mm" for start in starts for at in (start, start + 800)]
    assert {"1000 mm", "1800 mm"} <= set(words(plate))


def test_the_line_of_each_number_begins_at_a_piece(building: Building) -> None:
    each_line_begins_at_a_piece(building)


def test_so_does_that_of_a_gable_or_a_wall_that_falls_to_its_right(form: Building) -> None:
    each_line_begins_at_a_piece(form)


def each_line_begins_at_a_piece(building: Building) -> None:
    for stage in building.stages:
        drawn = layout_of(building, stage)
        if drawn is None:
            continue
        # Or at the line that a tape starts at.
        lines = [LineString(line) for line in drawn.lines]
        shown = unary_union([*(Polygon(outline) for outline, _ in drawn.areas), *lines])
        for mark in drawn.beside:
            assert shown.distance(Point(mark.reach, mark.at)) < 1.0, (stage.name, mark)


def test_a_corner_is_named_after_where_it_is() -> None:
    # From the scene: boards on the right wall alone, over posts of an open front.
    building = build(load_scene(FORMS["log-store"]))
    stage = stage_of(building, "Siding")
    (cut,) = cuts_of(building, stage)
    assert cut.title == "Front right corner from above"
    # 60 mm inside the outer faces of its boards: on a post of 3-1/2 in or its cover.
    assert 12 * 12 * INCH - 3.5 * INCH < cut.at_mm[0] < 12 * 12 * INCH
    assert cut.at_mm[1] < 3.5 * INCH


def test_a_wall_that_is_parted_by_what_stands_there_is_measured_in_one() -> None:
    # From the scene: posts of 3-1/2 in at both ends of a back wall of 15 ft 4 in and at 7 ft 8 in
    # from its left, which is its right as one stands behind it; 6 mm is left beside each.
    building = build(load_scene(FORMS["press-house"]))
    drawn = layout_of(building, stage_of(building, "Back wall"))
    assert drawn
    left, _, right, _ = drawn.box
    length, post, clear = 184 * INCH, 3.5 * INCH, 6.0
    assert right - left == pytest.approx(length - 2 * (post + clear))
    plates = [outline for outline, part in drawn.areas if part.kind is Kind.BOTTOM_PLATE]
    ends = sorted(edge - left for one in plates for edge in (one[:, 0].min(), one[:, 0].max()))
    gap = (length - post - clear) - (92 * INCH + post + clear)
    assert ends == pytest.approx([0.0, gap, gap + post + 2 * clear, right - left])


def test_the_tape_of_every_wall_starts_at_the_end_of_its_bottom_plate() -> None:
    building = build(load_scene(PRESS_HOUSE))
    walls = [stage for stage in building.stages if stage.name.endswith(" wall")]
    assert len(walls) == 4
    for stage in walls:
        drawn = layout_of(building, stage)
        assert drawn
        plates = [one for one, part in drawn.areas if part.kind is Kind.BOTTOM_PLATE]
        assert drawn.zero[0] == min(one[:, 0].min() for one in plates)
        assert words(layout(building, stage.name)).count('0"') == 1
        assert "From the bottom plate's left end" in drawn.note
    # From the scene: posts of 3-1/2 in stand at both ends of a front wall of 15 ft 4 in, with 6 mm
    # beside each. Top plates lie over them, and both diagonals are taken over the bottom plate.
    front = layout_of(building, stage_of(building, "Front wall"))
    assert front
    past = 3.5 * INCH + 6.0
    assert f"Its top plates begin {format_length(past, 'imperial')} further left." in front.note
    high = front.box[3] - front.box[1]
    diagonal = format_length(math.hypot(184 * INCH - 2 * past, high), "imperial")
    assert any(
        f"both diagonals {diagonal}" in text for text in words(layout(building, "Front wall"))
    )


def test_an_upper_top_plate_that_laps_a_corner_is_told() -> None:
    # Walls of 2x4s: the upper plate ties the corner, 3-1/2 in past the lower one or short of it.
    building = build(load_scene(FORMS["log-store"]))
    for name, way in (("Left wall", "left"), ("Back wall", "right")):
        drawn = layout_of(building, stage_of(building, name))
        assert drawn
        assert f'Its upper top plate begins 3-1/2" further {way}.' in drawn.note


def test_what_closes_gaps_has_no_drawing() -> None:
    building = build(load_scene(PRESS_HOUSE))
    closing = [part for part in building.parts if part.group == CLOSED_GAPS]
    # Gaps as narrow as posts of 3-1/2 in are closed by studs, under plates in one over them.
    assert {part.kind for part in closing} == {Kind.STUD, Kind.TOP_PLATE}
    assert wall_layout(closing, building.parts) is None
    # Nor is what parts a wall an opening of it: the front wall has a window alone.
    wall = [part for part in building.parts if part.group == "front wall"]
    drawn = wall_layout(wall, building.parts)
    assert drawn
    assert len(drawn.crossed) == 1


@pytest.mark.parametrize(
    ("name", "kind"), [("canoe-store", Kind.ANCHOR_BOLT), ("press-house", Kind.DRILLED_ANCHOR)]
)
def test_each_anchor_is_set_out_from_the_lines_of_the_walls(name: str, kind: Kind) -> None:
    # Cast in wet concrete, or drilled before the building comes: both distances from the outer
    # faces of the walls' frame, the slab's own edge from there, and the slab's diagonals.
    building = build(load_scene(FORMS[name]))
    (slab,) = [part for part in building.finished.parts if part.name == "slab"]
    walls = [p for p in building.finished.parts if p.kind is Kind.BOTTOM_PLATE]
    corner = np.min([part.bounds_mm[0] for part in walls], axis=0)
    said = words(layout(building, "Foundation"))
    for anchor in of_kind(building.finished, kind):
        for axis, at in enumerate(spot(anchor)):
            assert format_length(at - corner[axis], building.scene.units) in said, anchor.name
    edge = slab.bounds_mm[0][0] - corner[0]
    assert edge == pytest.approx(0.0, abs=1e-6) or format_length(edge, "imperial") in said
    assert any("both diagonals" in text for text in said)


def test_slabs_beside_each_other_have_diagonals_each() -> None:
    # Pad of 14 ft by 8 ft, and the bay's before it, of as much less 1/2 in for the joint. Forms are
    # square where both diagonals are equal, by Pythagoras; each slab has its own.
    building = build(load_scene(FORMS["wash-bay"]))
    said = words(layout(building, "Foundation"))
    for name, deep in (("slab", 96.0), ("front bay slab", 95.5)):
        diagonal = format_length(math.hypot(168.0, deep) * INCH, "imperial")
        assert f"{name}: both diagonals {diagonal}" in " ".join(said)
    assert any("of a slab to its near edge" in one for one in said)
    # The bay's front is 8 ft outside the pad's, where the walls stand.
    assert f"-{format_length(96.0 * INCH, 'imperial')}" in said


@pytest.mark.parametrize(
    ("name", "stage", "line", "first"),
    [
        # Joists lie inside the end walls' studs, 3-1/2 in deep.
        ("seed-barn", "Loft frame", ((0.0, 0.0), (0.0, 144 * INCH)), '3-1/2"'),
        # From the scene: girders of 95 mm stand 130 mm in.
        ("garden-classroom", "Foundation", ((0.0, 0.0), (6000.0, 0.0)), "178 mm"),
        # From the scene: skids lie 5 in in.
        ("press-house", "First foundation", ((0.0, 0.0), (184 * INCH, 0.0)), '5"'),
    ],
)
def test_every_plan_starts_at_the_lines_of_the_walls(
    name: str, stage: str, line: tuple[tuple[float, float], ...], first: str
) -> None:
    building = build(load_scene(PRESS_HOUSE.with_name(f"{name}.toml")))
    drawn = layout_of(building, stage_of(building, stage))
    assert drawn
    assert np.allclose(drawn.lines, [line])
    assert "walls' frame (dashed)" in drawn.note
    said = words(layout(building, stage))
    # After that at the line, in the order that they are written in.
    marks = [text for text in said if LENGTH.fullmatch(text)]
    zero = '0"' if building.scene.units == "imperial" else "0 mm"
    assert abs(marks.index(first) - marks.index(zero)) == 1
    dashed = [stroke for stroke in layout(building, stage)["strokes"] if stroke["dashed"]]
    assert len(dashed) == 3  # with both diagonals


def test_footings_in_one_line_have_no_diagonals(honey_house: Building) -> None:
    # One in each wall line at the end of the bay, cast when the building stands there.
    building = honey_house
    (stage,) = (one for one in building.stages if one.name == "Bay footings")
    layout = layout_of(building, stage)
    assert layout
    assert layout.squares == ()
    plate = layout_plate(building, stage, (600, 400))
    assert plate
    words = [one["text"] for one in plate["words"]]
    assert not any("over all" in text or "diagonals" in text for text in words)


def test_a_loft_joist_lies_beside_its_rafter_on_the_tape() -> None:
    building = build(load_scene(PRESS_HOUSE.with_name("seed-barn.toml")))
    rafters, joists = (
        [one["text"] for one in layout(building, name)["words"] if one["turned"]]
        for name in ("Rafters", "Loft frame")
    )
    # Every 16 in, rafters of 1-1/2 in with a joist on their right.
    for n in range(1, 10):
        assert format_length((16 * n - 0.75) * INCH, "imperial") in rafters
        assert format_length((16 * n + 0.75) * INCH, "imperial") in joists


def test_what_stands_before_the_walls_has_a_minus() -> None:
    building = build(load_scene(FORMS["sun-porch"]))
    drawn = layout_of(building, stage_of(building, "Rafters"))
    assert drawn
    # From the scene: a bay of 6 ft on the left.
    assert drawn.below[0].at == pytest.approx(-72 * INCH)
    assert "-6' 0\"" in words(layout(building, "Rafters"))
    assert "minus is outwards" in drawn.note


def test_every_number_on_a_layout_is_measured_on_the_parts(building: Building) -> None:
    every_number_is_measured(building)


def test_so_it_is_in_any_other_form(form: Building) -> None:
    every_number_is_measured(form)


def every_number_is_measured(building: Building) -> None:
    units, size = building.scene.units, building.scene.building
    for stage in building.stages:
        plate = layout_plate(building, stage, WIDE_PX)
        if plate is None:
            continue
        drawn = layout_of(building, stage)
        assert drawn
        # Anchors are measured along what they hold, from the middle of what sticks out.
        shown = (*stage.parts, *(part for _, part in drawn.areas))
        parts = list({part.name: part for part in shown}.values())
        points = np.concatenate([part.vertices_mm for part in parts])
        corners = [part.vertices_mm for part in parts]
        tops = [one[one[:, 2] > one[:, 2].max() - 1.0] for one in corners]
        # Every distance along an axis between two places where pieces begin, end or have a middle.
        measured: set[str] = set()
        for axis in range(3):
            places = np.unique(
                np.round(
                    [
                        0.0,  # the lines of the walls' frame, as the scene has it
                        (size.length, size.depth, 0.0)[axis],
                        *points[:, axis],
                        *(part.centre_mm[axis] for part in parts),
                        *((top[:, axis].min() + top[:, axis].max()) / 2 for top in tops),
                    ],
                    3,
                )
            )
            # Half way between two marks of a tape, a length is read as either.
            measured |= {
                format_length(float(mm) + off_mm, units)
                for mm in np.unique(np.round(np.abs(places[:, None] - places), 3))
                for off_mm in (-0.001, 0.001)
            }
        middles = {
            format_length(abs(sum(b[axis] for b in p.bounds_mm) / 2 - q), units)
            for p in parts
            for axis in range(2)
            for q in (points[:, axis].min(), *(o.bounds_mm[0][axis] for o in parts))
        }
        for text in words(plate):
            for number in LENGTH.findall(text.split("both diagonals")[0]):
                assert number in measured | middles, (stage.name, text)


def test_labels_of_rafters_skip_as_many_each_time() -> None:
    building = build(load_scene(FORMS["canoe-store"]))
    drawn = layout_of(building, stage_of(building, "Rafters"))
    assert drawn
    # All have a label beside two other views. Where there is still less room not every one has,
    # and the drawing says so.
    every = words(layout(building, "Rafters", BESIDE[2][2:]))
    assert {format_length(mark.at, "imperial") for mark in drawn.below} <= set(every)
    assert not any("one in" in text for text in every)
    said = words(layout(building, "Rafters", BESIDE[1][2:]))
    told = [n for n, mark in enumerate(drawn.below) if format_length(mark.at, "imperial") in said]
    steps = [after - before for before, after in pairwise(told)]
    assert steps[0] > 1
    assert f"at one in {steps[0]}." in " ".join(said)
    # The last is nearer to the one before it than 16 in, and has its own whichever comes before.
    assert set(steps[:-1]) == {steps[0]}
    assert steps[-1] <= steps[0]
    assert told[-1] == len(drawn.below) - 1


def test_each_anchor_is_a_dot_and_told_at_its_own_end() -> None:
    building = build(load_scene(FORMS["canoe-store"]))
    plate = layout(building, "Foundation")
    drawn = layout_of(building, stage_of(building, "Foundation"))
    assert drawn
    bolts = [spot(part) for part in of_kind(building, Kind.ANCHOR_BOLT)]
    dots = [area["loops"][0] for area in plate["areas"] if not area["edge"]]
    assert len(dots) == len(bolts)
    number = [part.kind for _, part in drawn.areas].index(Kind.SLAB)
    slab = Polygon(plate["areas"][number]["loops"][0])
    assert all(Polygon(dot).centroid.within(slab) for dot in dots)
    left, _, right, _ = slab.bounds
    # Of the bolts in the left wall those that are level with none in another.
    middle = 10 * 12 * INCH
    low = {y for x, y in bolts if x < middle}
    alone = {y for y in low if not any(abs(y - b) < 1.0 and a > middle for a, b in bolts)}
    assert alone
    by_words = {one["text"]: one["at"][0] for one in plate["words"] if not one["turned"]}
    for y in alone:
        assert by_words[format_length(y, "imperial")] < left, y
    for x, y in bolts:
        if x > middle:
            assert by_words[format_length(y, "imperial")] > right, y


def test_a_detail_is_at_one_to_five(honey_house: Building) -> None:
    stage = stage_of(honey_house, "Windows and door frames")
    (cut,) = cuts_of(honey_house, stage)
    plate = detail(honey_house, stage, cut, DETAIL_PX)
    # The rough sill is a 2x4 on the flat: 1-1/2 by 3-1/2 in. A page printed 10 in wide has 160 px
    # to the inch, 32 to an inch of the building.
    sizes = {
        tuple(np.round(np.ptp(np.array(area["loops"][0]), axis=0)).astype(int).tolist())
        for area in plate["areas"]
    }
    assert (112, 48) in sizes
    # Its layers from the sheathing out, as the scene has them.
    told = " ".join(words(plate))
    for layer in (
        "rough sill, 2x4",
        "wall sheet, 7/16 OSB",
        "frame board, 2x8",
        "glazing stop, 1x2",
    ):
        assert layer in told
    bold = " ".join(one["text"] for one in plate["words"] if one["bold"])
    assert "frame board" in bold
    assert "rough sill" not in bold


def test_a_birdsmouth_is_cut_through_the_middle_of_its_rafter(honey_house: Building) -> None:
    stage = stage_of(honey_house, "Rafters")
    cut = cuts_of(honey_house, stage)[0]
    rafters = [part for part in stage.parts if part.kind is Kind.RAFTER]
    x = cut.at_mm[0]
    (own,) = [p for p in rafters if p.bounds_mm[0][0] < x < p.bounds_mm[1][0]]
    assert x == pytest.approx(own.centre_mm[0], abs=0.2)
    # The scene has the rafters' low ends at the back, on a beam of two 2x8.
    assert "beam" in cut.title
    assert cut.at_mm[1] > 8 * 12 * INCH


def test_sheet_metal_is_heavier_than_a_leader_and_hides_no_layer(honey_house: Building) -> None:
    stage = stage_of(honey_house, "Roof panels")
    (cut,) = (one for one in cuts_of(honey_house, stage) if one.title == "Eave")
    plate = detail(honey_house, stage, cut, DETAIL_PX)
    edges = [area["edge"] for area in plate["areas"]]
    # Metal first, then every layer over it with its own edge, then metal again between them. ISO
    # 128-2 (from memory): a wide line is twice as wide as a narrow one.
    first = edges.index(1.0)
    last = len(edges) - edges[::-1].index(1.0)
    assert first > 0
    assert min(edges[:first]) >= 4 * max(one["wide"] for one in plate["strokes"])
    assert min(edges[last:]) >= 2 * max(one["wide"] for one in plate["strokes"])
    shapes = [area["loops"] for area in plate["areas"]]
    assert shapes[:first] == shapes[last:]
    assert all(metal in shapes[first:last] for metal in shapes[last:])


def test_an_eave_shows_how_far_the_panels_reach_past_the_whole_fascia(
    honey_house: Building,
) -> None:
    stage = stage_of(honey_house, "Roof panels")
    (cut,) = (one for one in cuts_of(honey_house, stage) if one.title == "Eave")
    plate = detail(honey_house, stage, cut, DETAIL_PX)
    outlines = [np.array(area["loops"][0]) for area in plate["areas"]]
    # 1600 pixels are 10 in wide; it is drawn at 1:5.
    px_per_in = 160 / 5
    sizes = [np.ptp(outline, axis=0) / px_per_in for outline in outlines]
    # A 1x8, planed to 3/4 by 7-1/4 in (PS 20), is there from top to bottom.
    boards = [
        outline
        for outline, (wide, high) in zip(outlines, sizes, strict=True)
        if wide == pytest.approx(0.75, abs=0.05) and 7.0 < high < 7.3
    ]
    (fascia,) = boards
    # Nothing is cut off where the names begin: the panel's end has room round it.
    reach = max(outline[:, 0].max() for outline in outlines)
    assert reach < DETAIL_PX[0] - 22 - 210 - 5
    (told,) = [line for line in edge_words(honey_house, stage) if "past the fascia" in line]
    past = parse_length(told.partition("reach ")[2].partition(" past")[0])
    # To the upper edge of the ribs, whose ends are square to a slope of 3 in 12; between ribs the
    # end is so much nearer.
    rib_mm = max(min(part.shape.size_mm) for part in stage.parts if part.kind is Kind.PANEL)
    nearer = rib_mm * math.sin(math.atan2(3, 12))
    drawn = (reach - fascia[:, 0].max()) / px_per_in * INCH
    assert drawn == pytest.approx(past, abs=1.0) or drawn == pytest.approx(past - nearer, abs=1.0)


def test_a_roof_against_a_wall_is_cut_between_ribs_down_to_its_ledger() -> None:
    building = build(load_scene(FORMS["garden-classroom"]))
    stage = stage_of(building, "Roof trim")
    (cut,) = (one for one in cuts_of(building, stage) if one.title == "Roof against the wall")
    # Ribs from the roof's left end on, off which the plane keeps, inside a rafter.
    panels = [part for part in of_kind(building, Kind.PANEL) if "lean-to" in part.name]
    start = min(part.bounds_mm[0][0] for part in panels)
    ribs = [
        start + mm
        for part in panels
        if isinstance(part.record, PanelRecord)
        for mm in part.record.ribs_mm
    ]
    x = float(cut.at_mm[0])
    rafters = [part for part in of_kind(building, Kind.RAFTER) if "lean-to" in part.name]
    (own,) = (part for part in rafters if part.bounds_mm[0][0] < x < part.bounds_mm[1][0])
    middle = own.centre_mm[0]
    assert min(abs(x - rib) for rib in ribs) > min(abs(middle - rib) for rib in ribs) + 10.0
    # What sheds water and what carries, all named.
    told = " ".join(words(detail(building, stage, cut, DETAIL_PX)))
    for layer in ("wall flashing", "ledger wrap", "wall sheet", "rafter", "ledger, C24 45x195"):
        assert layer in told
