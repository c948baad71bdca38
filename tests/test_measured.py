"""A building that was measured while it was built: what is cut stays, what comes later fits it."""

from __future__ import annotations

import copy
import json
from collections import Counter
from math import hypot
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from command import BAD_INPUT, DONE, everything, pikepole
from draws import draws
from measuring import INCH, box_of, of_kind
from pikepole_export.derive.buying.order import buy_list
from pikepole_export.derive.cutting.cuts import cut_plans
from pikepole_export.derive.cutting.sheets import sheet_plans
from pikepole_export.derive.measures.as_measured import changes
from pikepole_export.derive.measures.templates import Template, templates
from pikepole_export.files.folder import RECORD
from pikepole_model.build import build, build_with_contacts
from pikepole_model.building.contact import find_contacts
from pikepole_model.building.kind_rows import Bought, Cut
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import check
from pikepole_model.reading.file import check_scene
from planned import boards_once, sheets_once
from roofs import FORMS
from strategies import scene_of
from whole import changes as mended_ways
from whole import floating, kept

MARK = INCH / 16

# 11 ft by 7 ft, 3:12 to the back, 2x4 walls, 7 ft high at the back: between the heels of its
# rafters, at the inner edge of the high plate and the outer edge of the low one, are 7 ft less
# 3-1/2 in, so that the high plate is 80.5 x 3 / 12 in higher, at 8 ft 8-1/8 in.
LENGTH, SPAN, PLATE, BACK, RISE = 132.0, 84.0, 3.5, 84.0, 20.125
FRONT = BACK + RISE
AFTER = "Wall sheathing"


def told(what: str, left: float, right: float | None = None, after: str = AFTER) -> dict[str, Any]:
    """What was measured, in inches."""
    ends = {"left": left} if right is None else {"left": left, "right": right}
    return {"after": after, "what": what, **{end: f"{size} in" for end, size in ends.items()}}


def table_of(form: str, *measured: dict[str, Any]) -> dict[str, Any]:
    return {"title": form, **copy.deepcopy(FORMS[form]), "measured": list(measured)}


def built(form: str, *measured: dict[str, Any]) -> Building:
    scene, problems = check_scene(table_of(form, *measured))
    assert scene is not None
    assert not problems, problems
    return build(scene)


def refusal(form: str, *measured: dict[str, Any]) -> tuple[str, str]:
    """Where the one thing is that is wrong, and all that is said of it; its mend mends it."""
    table = table_of(form, *measured)
    _, (problem,) = check_scene(table)
    ways = mended_ways(table, problem)
    assert ways, problem
    for way in ways:
        assert problem not in check_scene(way)[1], problem
    return problem.key, str(problem)


def pattern_of(building: Building, name: str) -> Template:
    return next(one for one in templates(building) if name in one.names)


def heels_mm(building: Building, name: str) -> list[float]:
    """Where the heels of a rafter are marked along its top edge, mm."""
    features = pattern_of(building, name).features
    return [one.birdsmouth.mark_mm for one in features if one.birdsmouth]


def middle_in(building: Building, name: str) -> float:
    (part,) = (part for part in building.parts if part.name == name)
    return (part.bounds_mm[0][0] + part.bounds_mm[1][0]) / 2 / INCH


def test_planned_as_worked_out_by_hand() -> None:
    upper, lower = heels_mm(built("monopitch"), "rafter 1")
    assert lower - upper == pytest.approx(hypot(SPAN - PLATE, RISE) * INCH, abs=1e-3)


@pytest.mark.parametrize(
    ("span", "front", "back"),
    [(83.5, FRONT, BACK), (84.0, FRONT + 0.25, BACK), (84.5, FRONT, BACK - 1), (83, FRONT - 1, 85)],
)
def test_rafters_by_the_square_of_both_sides(span: float, front: float, back: float) -> None:
    # Heel to heel by Pythagoras: the level distance between them is the span less a plate, the rise
    # is what one plate is higher than the other.
    measured = (told("span", span), told("front height", front), told("back height", back))
    building = built("monopitch", *measured)
    rafters = of_kind(building, Kind.RAFTER)
    assert len(rafters) == len(of_kind(built("monopitch"), Kind.RAFTER))
    for rafter in rafters:
        upper, lower = heels_mm(building, rafter.name)
        long = hypot(span - PLATE, front - back) * INCH
        assert lower - upper == pytest.approx(long, abs=1e-3)


def test_each_rafter_is_cut_to_what_stands_under_it() -> None:
    # The span is 3/8 in less at the left end and 1/8 in more at the right, straight between.
    left, right = SPAN - 0.375, SPAN + 0.125
    building = built("monopitch", told("span", left, right))
    rafters = of_kind(building, Kind.RAFTER)
    for rafter in rafters:
        upper, lower = heels_mm(building, rafter.name)
        span = left + (right - left) * middle_in(building, rafter.name) / LENGTH
        assert lower - upper == pytest.approx(hypot(span - PLATE, RISE) * INCH, abs=MARK / 2)
    lengths = [rafter.length_mm for rafter in rafters]
    assert lengths == sorted(lengths)
    assert lengths[-1] - lengths[0] > 0.25 * INCH


def test_walls_that_are_alike_off_keep_the_pitch() -> None:
    form = "ridge board"
    planned = build(_scene(form))
    higher = (told(f"{side} height", BACK + 0.5) for side in ("front", "back"))
    building = built(form, *higher)
    for rafter in of_kind(building, Kind.RAFTER):
        assert heels_mm(building, rafter.name) == heels_mm(planned, rafter.name)
    assert not [one for one in changes(building) if one.kind == Kind.RAFTER.value]


def test_ridge_that_stands_higher_makes_rafters_steeper() -> None:
    # 12 ft by 9 ft, 6:12 on a ridge beam over a bay: planned, the rafters rise 27 in over the run
    # of 54 in to the ridge line. With the beam 3/4 in higher they rise 27.75 in: along the top edge
    # from the ridge line to over the wall's outer face hypot(54, 27.75).
    form, high = "ridge beam over an end bay", 0.75
    planned = build(_scene(form))
    top = max(part.bounds_mm[1][2] for part in planned.parts if part.group == "ridge beam")
    floor = min(part.bounds_mm[0][2] for part in of_kind(planned, Kind.BOTTOM_PLATE))
    over = (top - floor) / INCH
    building = built(form, told("ridge height", over + high, after="Beams and posts"))
    for side in ("front", "back"):
        (heel,) = heels_mm(building, f"{side} rafter 1")[-1:]
        assert heel == pytest.approx(hypot(54, 27 + high) * INCH, abs=MARK)
    now = max(part.bounds_mm[1][2] for part in building.parts if part.group == "ridge beam")
    assert now - top == pytest.approx(high * INCH, abs=1e-3)


def _scene(form: str) -> Any:
    scene, problems = check_scene(table_of(form))
    assert scene
    assert not problems
    return scene


@pytest.mark.parametrize("off", [0.0, 0.03])
def test_what_reads_as_planned_changes_nothing(off: float) -> None:
    # A mark of the tape is 1/16 in: 0.03 in is less than half of one.
    plain = built("monopitch")
    same = built(
        "monopitch",
        told("span", SPAN + off),
        told("front height", FRONT - off, FRONT),
        told("diagonals", hypot(LENGTH, SPAN), after="Floor deck"),
    )
    assert same.measured is None
    assert (same.parts, same.joints, same.stages) == (plain.parts, plain.joints, plain.stages)


def test_every_file_is_the_same_where_nothing_is_off(tmp_path: Path) -> None:
    for folder, measured in (("plain", []), ("same", [told("span", SPAN)])):
        scene = tmp_path / f"{folder}.toml"
        scene.write_text(kept(table_of("monopitch", *measured)), encoding="utf-8")
        assert pikepole("cut", scene, "-o", tmp_path / folder).code == DONE
    # The record of what was written tells the two scenes apart.
    plain, same = (everything(tmp_path / name) for name in ("plain", "same"))
    assert plain.pop(RECORD) != same.pop(RECORD)
    assert plain == same


OFF = (told("span", SPAN - 0.375), told("front height", FRONT + 0.25), told("back height", BACK))


def test_what_is_built_stays_as_it_is_cut() -> None:
    plain, building = built("monopitch"), built("monopitch", *OFF)
    last = next(stage.number for stage in building.stages if stage.name == AFTER)
    stays = {part.name: part for part in building.parts if part.stage <= last}
    assert building.measured
    assert building.measured.built == set(stays)
    for part in plain.parts:
        if part.stage <= last:
            assert stays.pop(part.name).shape == part.shape
    assert not stays
    assert {change.part for change in changes(building)}.isdisjoint(building.measured.built)
    assert len({building, built("monopitch", *OFF), plain}) == 2


def test_floor_that_was_measured_gets_walls_cut_to_it() -> None:
    # The floor frame is 1/2 in deeper than planned: side walls, between the other two, as well.
    deep = told("span", SPAN + 0.5, after="Floor deck")
    building, plain = built("monopitch", deep), built("monopitch")

    def plates(building: Building) -> dict[str, float]:
        return {
            part.name: part.length_mm / INCH
            for part in building.parts
            if part.kind == Kind.BOTTOM_PLATE
        }

    for name, long in plates(plain).items():
        more = 0.5 if name.startswith(("left", "right")) else 0.0
        assert plates(building)[name] == pytest.approx(long + more)
    # Measured again over their tops, that is what the rafters are cut to; also where that is as
    # planned.
    trued = built("monopitch", deep, told("span", SPAN))
    assert plates(trued) == plates(building)
    assert heels_mm(trued, "rafter 1") == heels_mm(plain, "rafter 1")
    again = built("monopitch", deep, told("span", SPAN + 0.25))
    assert plates(again) == plates(building)
    upper, lower = heels_mm(again, "rafter 1")
    assert lower - upper == pytest.approx(hypot(SPAN + 0.25 - PLATE, RISE) * INCH, abs=1e-3)


def test_walls_hang_on_no_sheet_that_was_never_laid() -> None:
    # Two sheets lie across 8 ft; across 15 mm more the plan would have a strip behind them, under
    # the back wall. It was never laid: the plate lies on what is there.
    table = {
        "title": "Swarm store",
        "units": "metric",
        "building": {"length": "5 ft 9 in", "depth": "8 ft"},
        "foundation": {"kind": "piers"},
        "floor": {"sheet": "23/32 plywood", "edge": "square"},
        "roof": {"slope": "25 deg"},
        "measured": [{"after": "Floor deck", "what": "span", "left": "2453.4 mm"}],
    }
    building = build(scene_of(table))
    rows = {round(box_of(part).low[1]) for part in of_kind(building, Kind.FLOOR_SHEET)}
    assert len(rows) == 2
    assert not floating(building)


def test_change_at_each_bearing() -> None:
    # 1/2 in less of span. From the upper end, 14 in out, to the inner edge of the high plate and on
    # to the outer edge of the low one: 17.5 in and 80.5 in level at 3:12, so 98 x 12.369 / 12, or
    # 101.02 in, 101 in on a tape. Now the slope is 20.125 in 80: 97.5 x hypot(80, 20.125) / 80, or
    # 100.54 in, 100-9/16 in on a tape.
    building = built("monopitch", told("span", SPAN - 0.5))
    of = {(one.of, one.bearing): one for one in changes(building) if one.part == "rafter 1"}
    heel = of["place of heel", "back wall"]
    assert heel.planned_mm == pytest.approx(101 * INCH)
    assert heel.as_measured_mm == pytest.approx((100 + 9 / 16) * INCH)
    assert of["length", ""].change_mm == pytest.approx(-0.5 * INCH, abs=MARK + 1e-6)
    assert ("place of heel", "front wall") not in of
    assert heel.stage == next(part.stage for part in building.parts if part.name == "rafter 1")


def test_seats_lie_on_the_plates_as_they_stand() -> None:
    building = built("monopitch", *OFF)
    parts = building.parts
    plates = [k for k, part in enumerate(parts) if part.kind == Kind.TOP_PLATE]
    level = {k for k in plates if parts[k].group in ("front wall", "back wall")}
    seated: Counter[str] = Counter()
    for contact in find_contacts(parts):
        pair = {contact.a, contact.b}
        one = next((parts[k] for k in pair if parts[k].kind == Kind.RAFTER), None)
        if one and pair & level:
            assert contact.penetration_mm < 0.1
            assert contact.gap_mm < 0.1
            seated[one.name] += 1
    assert set(seated.values()) == {2}
    assert len(seated) == len(of_kind(building, Kind.RAFTER))


offs = st.tuples(*(st.integers(-16, 16),) * 3, st.integers(-8, 8))


@given(form=st.sampled_from(["monopitch", "ridge board", "saltbox"]), off=offs)
@draws(4)
def test_all_fits_what_stands(form: str, off: tuple[int, int, int, int]) -> None:
    # Up to an inch, in sixteenths, and up to half an inch more of it at one end.
    plain = check_scene(table_of(form))[0]
    assert plain
    depth = plain.building.depth / INCH
    span, front, back, twist = (value / 16 for value in off)
    heights = {"monopitch": (FRONT, BACK), "ridge board": (BACK, BACK)}.get(form)
    measured = [told("span", depth + span, depth + span + twist)]
    if heights:
        measured.append(told("front height", heights[0] + front))
        measured.append(told("back height", heights[1] + back))
    scene, problems = check_scene(table_of(form, *measured))
    if problems:
        # A seat that would be cut too deep on a slope that became steeper.
        assert all(problem.key.startswith("measured") for problem in problems), problems
        return
    assert scene
    building, contacts = build_with_contacts(scene)
    assert not check(building, contacts)
    if building.measured:
        most = building.measured.most_mm
        assert all(building.measured.misfit_mm(part) <= most + 0.1 for part in building.parts)
        of_one_end = not twist and all(
            building.measured.misfit_mm(part) == 0.0 for part in building.parts
        )
        assert twist or of_one_end


@pytest.mark.parametrize("form", ["monopitch", "ridge board", "gambrel"])
def test_every_part_is_bought_and_cut_once(form: str) -> None:
    depth = 12 * {"monopitch": 7, "ridge board": 10, "gambrel": 12}[form]
    building = built(form, told("span", depth - 0.25, depth + 0.125))
    boards, sheets = boards_once(building), sheets_once(building)
    bought = [name for row in buy_list(building, boards, sheets).purchases for name in row.parts]
    own = [one.name for one in building.parts if one.kind.row.bought is not Bought.CUT_OUT]
    assert Counter(bought) == Counter(own)
    cut = [piece.name for plan in boards for board in plan.plan.boards for piece in board.pieces]
    assert Counter(cut) == Counter(part.name for part in building.parts if part.section_mm)


def whole_of(**tables: Any) -> Building:
    """The lean-to with more said of the yard, of what is done and of what was measured."""
    scene, problems = check_scene(
        {"title": "Lean-to", **copy.deepcopy(FORMS["monopitch"]), **tables}
    )
    assert scene is not None
    assert not problems, problems
    return build(scene)


lying = st.lists(
    st.fixed_dictionaries(
        {
            "item": st.sampled_from(["2x4", "2x6", "2x8"]),
            "length": st.sampled_from(["3 ft", "8 ft", "12 ft"]),
            "count": st.integers(1, 6),
        }
    ),
    max_size=3,
)
sheets_lying = st.lists(
    st.fixed_dictionaries(
        {
            "item": st.sampled_from(["7/16 OSB", "23/32 plywood"]),
            "width": st.sampled_from(["2 ft", "4 ft"]),
            "length": st.sampled_from(["5 ft", "8 ft"]),
            "count": st.integers(1, 3),
        }
    ),
    max_size=2,
)


@given(
    lying,
    sheets_lying,
    st.integers(1, 12),
    st.tuples(*(st.integers(-8, 8),) * 3),
    st.sampled_from(["Floor deck", AFTER, "Rafters"]),
)
@draws(3)
def test_what_lies_there_what_is_done_and_what_was_measured_go_together(
    boards_there: list[dict[str, Any]],
    sheets_there: list[dict[str, Any]],
    until: int,
    off: tuple[int, int, int],
    after: str,
) -> None:
    span, twist, back = (value / 16 for value in off)
    measured = [told("span", SPAN + span, SPAN + span + twist, after=after)]
    if after == AFTER:
        measured.append(told("back height", BACK + back))
    only_measured = whole_of(measured=measured)
    last = only_measured.stages[min(until, len(only_measured.stages) - 1) - 1]
    done = {"up_to": last.name}
    building = whole_of(measured=measured, done=done, have=[*boards_there, *sheets_there])
    # The building is what it is measured to be, whatever of it is done and lies there.
    shapes = {part.name: part.shape for part in building.parts}
    assert shapes == {part.name: part.shape for part in only_measured.parts}
    left = {part.name for part in building.parts if part.stage > last.number}
    # Nothing of what is done is to be cut anew; of the rest all that would be without it.
    anew = [change for change in changes(only_measured) if change.part in left]
    assert [change for change in changes(building) if change.planned_mm is not None] == [
        change for change in anew if change.planned_mm is not None
    ]
    assert {change.part for change in changes(building) if change.as_measured_mm} <= left
    boards, sheets = cut_plans(building), sheet_plans(building)
    bought = [name for row in buy_list(building, boards, sheets).purchases for name in row.parts]
    own = [
        part.name
        for part in building.parts
        if part.name in left and part.kind.row.bought is not Bought.CUT_OUT
    ]
    assert Counter(bought) == Counter(own)
    cut = [piece.name for plan in boards for board in plan.plan.boards for piece in board.pieces]
    assert Counter(cut) == Counter(
        part.name for part in building.parts if part.name in left and part.section_mm
    )
    flat = [one.piece.name for plan in sheets for sheet in plan.plan.sheets for one in sheet.placed]
    assert Counter(flat) == Counter(
        part.name for part in building.parts if part.name in left and part.kind.row.cut is Cut.SHEET
    )


def test_files_and_words(tmp_path: Path) -> None:
    scene = tmp_path / "scene.toml"
    measured = (told("span", SPAN - 0.5), told("diagonals", 156.75, 156.0))
    scene.write_text(kept(table_of("monopitch", *measured)), encoding="utf-8")
    answer = pikepole("cut", scene, "-o", tmp_path / "out", columns=200)
    assert answer.code == DONE, answer.err
    said = " ".join(answer.out.split())
    assert 'As measured after Wall sheathing: span 1/2" less. What is built stays.' in said
    assert """heel on the back wall 7/16" further up, 8' 4-9/16" from the upper end""" in said
    # (156.75 - 156.0) x (156.75 + 156.0) / (4 x 132) is 0.44 in.
    assert 'Out of square: the back stands 7/16" to the right of the front.' in said
    rows = json.loads((tmp_path / "out" / "as_measured.json").read_text("utf-8"))
    heel = next(row for row in rows if row["bearing"] == "back wall")
    assert heel["change_mm"] == pytest.approx(-7 * MARK)
    lines = (tmp_path / "out" / "as_measured.csv").read_text("utf-8").splitlines()
    assert len(lines) == len(rows) + 1


@pytest.mark.parametrize(
    ("measured", "place", "said"),
    [
        ([told("span", SPAN - 6)], "measured[1].left", "farther than anybody builds"),
        ([told("front height", FRONT, FRONT + 6)], "measured[1].right", "farther than anybody"),
        ([told("span", SPAN, SPAN + 0.75)], "measured[1].right", "plane the high end or shim"),
        ([told("span", SPAN), told("span", SPAN + 1)], "measured[2].what", "in measured[1]"),
        ([told("span", SPAN, after="Lunch")], "measured[1].after", "no such stage"),
        (
            [told("back height", BACK, after="Floor deck")],
            "measured[1].after",
            'give "Back wall"',
        ),
        ([told("ridge height", 130)], "measured[1].what", "nothing that this roof has"),
        ([told("diagonals", 158, 155)], "measured[1].left", "out of square"),
        ([told("diagonals", 170, 170)], "measured[1].left", "is no diagonal of"),
    ],
)
def test_what_no_building_has_is_refused(
    measured: list[dict[str, Any]], place: str, said: str
) -> None:
    where, text = refusal("monopitch", *measured)
    assert where == place
    assert said in text


def test_a_length_below_zero_is_refused() -> None:
    _, (problem,) = check_scene(table_of("monopitch", told("span", -3)))
    assert problem.key == "measured[1].left"
    assert "is negative; give at least" in str(problem)


def test_a_building_that_is_moved_onto_a_pad_is_refused(tmp_path: Path) -> None:
    answer = pikepole("check", _moved(tmp_path))
    assert answer.code == BAD_INPUT
    assert "measured" in answer.err
    assert "leave out measured" in answer.err


def _moved(folder: Path) -> Path:
    text = (Path(__file__).parents[1] / "scenes" / "press-house.toml").read_text("utf-8")
    file = folder / "moved.toml"
    more = kept({"measured": [told("diagonals", 200, after="Siding")]})
    file.write_text(f"{text}\n{more}", encoding="utf-8")
    return file
