"""`pikepole lift` as a builder meets it."""

from __future__ import annotations

import json
import re
from math import inf
from pathlib import Path
from typing import Any

import pytest

import pikepole_export.derive.moving.plan as moving_module
from command import BAD_INPUT, DONE, FINDINGS, Answer, pikepole
from conftest import FORMS, SCENES
from pikepole_export.derive.lifting.validation import LiftError
from pikepole_export.files.folder import RECORD
from pikepole_model.building.part import Building

HONEY_HOUSE = SCENES["honey-house"]
BOAT_RACK = SCENES["boat-rack"]
TOOL_STORE = SCENES["tool-store"]
POUND_KG = 0.45359237  # international yard and pound agreement, 1959


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> tuple[Answer, Path]:
    """The plan of the honey house, and the folder that it is written to."""
    folder = tmp_path_factory.mktemp("lift") / "made" / "on the way"
    return pikepole("lift", HONEY_HOUSE, "-o", folder), folder


def _lifts(folder: Path) -> list[dict[str, Any]]:
    return json.loads((folder / "lifts.json").read_text(encoding="utf-8"))["lifts"]


# What is more than hands, in the order in which it is told.
ORDER = ("gear", "bring a platform", "bring a machine")
GEAR = set(ORDER)


def _in(whole: dict[str, Any], stage: dict[str, Any]) -> list[dict[str, Any]]:
    return [lift for lift in whole["lifts"] if lift["stage"] == stage["number"]]


def _scene(folder: Path, *changes: tuple[str, str]) -> Path:
    """The honey house with some words of its file changed."""
    text = HONEY_HOUSE.read_text(encoding="utf-8")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path = folder / "scene.toml"
    path.write_text(text, encoding="utf-8")
    return path


def _words(text: str) -> str:
    """Without the breaks of lines."""
    return " ".join(text.split())


def _row(out: str, number: int) -> str:
    """All that the list says of a lift, without the breaks of lines."""
    (row,) = re.findall(rf"^ *{number}  (\S.* lb  .*(?:\n {{7}} *\S.*)+)$", out, re.MULTILINE)
    return _words(row)


def _numbers(out: str) -> list[int]:
    """The lifts in the order in which they are listed."""
    return [int(number) for number in re.findall(r"^ {2,4}(\d+)  \S.* lb  ", out, re.MULTILINE)]


def test_every_lift_is_listed_in_order_of_building(plan: tuple[Answer, Path]) -> None:
    answer, folder = plan
    assert answer.code == DONE, answer.err
    lifts = _lifts(folder)
    assert _numbers(answer.out) == [lift["number"] for lift in lifts]
    for lift in lifts:
        assert str(lift["name"]) in answer.out
    assert answer.err == ""  # no progress bar where there is no terminal


def test_what_is_written_is_named(plan: tuple[Answer, Path]) -> None:
    answer, folder = plan
    files = {"lifts.csv", "lifts.json", "moves.csv", "moves.json", "lift-cautions.csv"}
    assert {path.name for path in folder.iterdir()} == {*files, "lifts", RECORD}
    for name in files:
        assert name in answer.out


def test_stages_are_marked_and_helper_days_told(plan: tuple[Answer, Path]) -> None:
    answer, folder = plan
    whole = json.loads((folder / "lifts.json").read_text(encoding="utf-8"))
    for stage in whole["stages"]:
        head = re.search(rf"^{stage['number']}\. {stage['name']}: (.*)$", answer.out, re.MULTILINE)
        assert head
        marks = head[1].split(" + ")
        if stage["helpers"]:
            more = "" if stage["helpers"] == 1 else "s"
            assert marks.pop() == f"{stage['helpers']} helper{more}"
        elif stage["help"] == "alone":
            assert marks.pop() == "alone"
        assert marks == sorted({lift["help"] for lift in _in(whole, stage)} & GEAR, key=ORDER.index)
        if stage["proposed_order"] != stage["lifts"]:
            told = _words(answer.out).split("so that others come the fewest times: ")[1:]
            count = len(stage["lifts"])
            orders = [list(map(int, re.findall(r"\d+", one)))[:count] for one in told]
            assert stage["proposed_order"] in orders
    assert f"Calendar: {whole['days']} days" in answer.out
    days = answer.out.partition("Calendar: ")[2]
    for stage in whole["calendar"]:
        last = "" if stage["last_day"] == stage["first_day"] else f" to {stage['last_day']}"
        head = f"{stage['number']}. {stage['name']} day {stage['first_day']}{last} "
        assert head in _words(days)
    assert f"day {whole['move_day']}: the move" in days
    whole_days, half = divmod(whole["helper_days"], 1)
    assert f"helpers for {whole_days:.0f}{'-1/2' if half else ''} day" in days
    assert f"Call others {len(whole['visits'])} times: " in days
    for visit in whole["visits"]:
        for number in visit["lifts"]:
            name = whole["lifts"][number - 1]["name"]
            assert f"{number} {name}" in _words(days.partition("Call others")[2])


def test_what_is_carried_is_told_stage_by_stage(plan: tuple[Answer, Path]) -> None:
    answer, folder = plan
    whole = json.loads((folder / "lifts.json").read_text(encoding="utf-8"))
    told = answer.out.partition("Carried from the truck")[2].partition("Calendar: ")[0]
    for row in whole["carrying"]:
        assert re.search(rf"^  {row['stage']}\. {row['name']} .* {row['loads']} load", told, re.M)
        assert row["loads"] == sum(one["loads"] for one in row["carried"])
        assert row["mass_kg"] == pytest.approx(sum(one["mass_kg"] for one in row["carried"]))
    beyond = _words(told.partition("Above the guideline in every way")[2])
    carried = [one for row in whole["carrying"] for one in row["carried"]]
    above = {one["what"] for one in carried if one["people"] is None}
    assert above
    assert {one["what"] for one in carried if one["what"] in beyond} == above


def test_cautions_head_the_plan(plan: tuple[Answer, Path]) -> None:
    answer, folder = plan
    whole = json.loads((folder / "lifts.json").read_text(encoding="utf-8"))
    before, _, _ = answer.out.partition("1. Foundation")
    for caution in whole["cautions"]:
        assert caution in _words(before)


def test_plan_ends_with_the_move_that_the_scene_has(plan: tuple[Answer, Path]) -> None:
    answer, folder = plan
    moves = json.loads((folder / "moves.json").read_text(encoding="utf-8"))
    _, _, told = answer.out.partition("Moving the building, after each stage")
    for row in moves["table"]:
        line = next(line for line in told.splitlines() if f"{row['stage']}. {row['name']}" in line)
        # To a tenth below 100 lb and to a whole above.
        shown = [int(number) for number in re.findall(r"(\d+) lb", line)]
        assert shown[0] == pytest.approx(row["mass_kg"]["high"] / POUND_KG, abs=1.001)
        assert shown[1] == pytest.approx(row["rating_needed_kg"] / POUND_KG, abs=1.001)
    for first in moves["plan"]["first"]:
        assert first["text"] in _words(told)
    assert "data plate decides" in _words(told)


def test_a_scene_without_a_move_has_no_moves_on_the_terminal() -> None:
    answer = pikepole("lift", BOAT_RACK)
    assert answer.code == DONE, answer.err
    assert "Moving the building" not in answer.out


def test_a_move_on_forks_is_told_without_rollers(plan: tuple[Answer, Path]) -> None:
    _, _, told = plan[0].out.partition("The scene moves it")
    assert "The forks go in at the front" in told
    assert "Fork extensions" in told
    assert "On rollers" not in told
    assert "2 carrying beams, 4x8, 9' 6\" long, one on each fork" in _words(told)
    assert "the lever rule" in _words(told)


def test_a_rating_is_told_at_both_usual_load_centres(plan: tuple[Answer, Path]) -> None:
    # The same load moment: a rating at 500 mm is 609.6 / 500 of one at 24 in.
    _, _, told = plan[0].out.partition("Moving the building, after each stage")
    rows = re.findall(r"^  \d+\. .* lb .* (\d+) lb +(\d+) lb$", told, re.MULTILINE)
    assert rows
    for at_24_in, at_500_mm in rows:
        assert int(at_500_mm) == pytest.approx(int(at_24_in) * 609.6 / 500, abs=1.3)


def test_what_speaks_against_a_move_is_told_by_every_command(tmp_path: Path) -> None:
    # Closer together the skids hang further out past the beams on the forks, and bend too far.
    scene = _scene(tmp_path, ('fork_spacing = "5 ft 6 in" ', 'fork_spacing = "4 ft" '))
    said = pikepole("lift", scene)
    assert said.code == DONE
    _, _, told = said.out.partition("The scene moves it")
    found = "move.fork_spacing = 4' 0\": lets skid 1 be bent past the value of the wood"
    assert f"It cannot be moved so: {found}" in _words(told)
    assert told.index("cannot be moved so") < told.index("First:")
    checked = pikepole("check", scene)
    assert checked.code == FINDINGS
    assert found.replace(" = 4' 0\":", ": 4' 0\"") in _words(checked.out)
    # The mend works.
    mend = re.search(r"give at least (\d+)' (\d+)\"", _words(checked.out))
    assert mend
    wider = f'fork_spacing = "{mend[1]} ft {mend[2]} in" '
    assert pikepole("check", _scene(tmp_path, ('fork_spacing = "5 ft 6 in" ', wider))).code == DONE


def test_forks_that_end_before_a_skid_are_refused(tmp_path: Path) -> None:
    whole = HONEY_HOUSE.read_text(encoding="utf-8")
    begin, end = whole.index("[move.beams]"), whole.index("[cutting]")
    path = tmp_path / "short.toml"
    for fork in ("4 ft 5 in", "6 ft", "8 ft 11 in"):
        text = (whole[:begin] + whole[end:]).replace('fork = "7 ft" ', f'fork = "{fork}" ')
        path.write_text(text, encoding="utf-8")
        for command in ("check", "lift"):
            answer = pikepole(command, path)
            assert answer.code == BAD_INPUT
            assert f'move.fork = "{fork}"' in _words(answer.err)
            assert "give at least 9' 0\"" in _words(answer.err)


def test_what_a_crew_of_one_cannot_do_is_told_first(tmp_path: Path) -> None:
    scene = _scene(tmp_path, ("helpers = 2 ", "helpers = 0 "))
    said = pikepole("lift", scene).out
    head, _, body = said.partition("! ")
    assert "What this crew cannot do with what it has:" in head
    assert "bring a lifting machine with its driver:" in _words(head)
    assert "person door" in head
    assert "Call others" not in body
    assert "A machine comes for " in body
    assert "2 people to guide" not in _words(body)


def test_why_the_hoist_is_not_used_is_told(tmp_path: Path) -> None:
    scene = _scene(tmp_path, ("helpers = 2 ", "helpers = 0 "))
    said = _words(pikepole("lift", scene, "--part", "right bay post 1").out)
    assert "Not used the chain hoist at hand is work for 3 people" in said


def test_what_is_not_planned_is_told(plan: tuple[Answer, Path]) -> None:
    _, _, told = plan[0].out.partition("No lift is planned for these:")
    assert "House wrap: all of it comes off a roll" in _words(told)
    assert "under 6.6 lb (ISO 11228-1)" in _words(told)  # 3 kg


def test_a_wall_tells_how_else_fewer_people_raise_it(plan: tuple[Answer, Path]) -> None:
    lifts = [lift for lift in _lifts(plan[1]) if lift["kind"] == "wall"]
    for lift in lifts:
        if not lift["way"].endswith("tilted up"):
            assert lift["way"].startswith("piece by piece")
            heavy = "too heavy to tilt up, whole or in halves, even for 3 people"
            assert (heavy in _row(plan[0].out, lift["number"])) is (not lift["other_ways"])
            continue
        (pieces,) = (way for way in lift["ways"] if way["name"].startswith("piece by piece"))
        *_, last = lift["other_ways"]
        assert (last["people"], last["name"]) == (1, pieces["name"])
        hours = f"{pieces['loads'] / 6:.1f}"  # ten minutes each
        said = f"or alone: raise {pieces['loads']} pieces one by one, about {hours} h in all"
        assert said in _row(plan[0].out, lift["number"])


def test_heaviest_first(plan: tuple[Answer, Path]) -> None:
    answer = pikepole("lift", HONEY_HOUSE, "--by", "weight")
    assert answer.code == DONE, answer.err
    masses = {lift["number"]: lift["mass_kg"]["high"] for lift in _lifts(plan[1])}
    listed = _numbers(answer.out)
    assert sorted(listed) == sorted(masses)
    in_order = [masses[number] for number in listed]
    assert in_order == sorted(in_order, reverse=True)


@pytest.mark.parametrize("columns", [80, 200])
def test_a_page_fits_its_columns(columns: int) -> None:
    answer = pikepole("lift", HONEY_HOUSE, columns=columns)
    assert answer.code == DONE, answer.err
    assert max(map(len, answer.out.splitlines())) <= min(columns, 100)


@pytest.mark.parametrize(
    "name", ["front beam", "FRONT BEAM", "front wall", "garden window header", "person door"]
)
def test_a_lift_of_its_own_is_told_whole(name: str, plan: tuple[Answer, Path]) -> None:
    answer = pikepole("lift", HONEY_HOUSE, "--part", name)
    assert answer.code == DONE, answer.err
    said = _words(answer.out)
    (lift,) = (lift for lift in _lifts(plan[1]) if lift["name"] == name.lower())
    assert str(lift["verdict"]) in said
    masses = lift["mass_kg"]
    low, likely, high = (f"{masses[one] / POUND_KG:.1f}" for one in ("low", "likely", "high"))
    if masses["low"] > 100 * POUND_KG:
        low, likely, high = (f"{masses[one] / POUND_KG:.0f}" for one in ("low", "likely", "high"))
    assert f"{likely} lb likely (" in said
    assert f"({low} lb to {high} lb)" in said
    for way in lift["ways"]:
        assert f"{way['doing']}: " in said
        # All that is done in the way that is taken; of the others what speaks against them.
        uses = [inf if task["used"] is None else task["used"] for task in way["holds"]]
        for task, used in zip(way["holds"], uses, strict=True):
            if way["chosen"] or (used == max(uses) and uses.count(used) == 1):
                assert str(task["what"]) in said
    for caution in lift["cautions"]:
        assert caution in said
    assert "at its likely weight: " in said
    assert said.count("wet wood is heavier") == 1
    assert said.count("<- the plan") == 1


def test_a_ply_is_told_by_itself_and_what_it_is_part_of(honey_house: Building) -> None:
    answer = pikepole("lift", HONEY_HOUSE, "--part", "front beam ply 2")
    assert answer.code == DONE, answer.err
    said = _words(answer.out)
    part = next(one for one in honey_house.parts if one.name == "front beam ply 2")
    # Volume times density, mm3 and kg/m3.
    likely_kg = part.volume_mm3 * 1e-9 * part.material.density_kg_m3[1]
    assert f"Weighs {likely_kg / POUND_KG:.1f} lb likely" in said
    assert "It is a piece of front beam, lift" in said
    assert "for this piece alone" in said


def test_why_a_machine_where_dry_timber_would_not_ask_for_one() -> None:
    said = _words(pikepole("lift", SCENES["lopsided"], "--part", "skid 1").out)
    assert "bring a lifting machine with its driver" in said
    (planned,) = re.findall(r"Planned with (.+?), the most that it may weigh", said)
    (likely, high) = re.findall(
        r"at its likely weight: (.+?); at the (.+?) planned for: too heavy for 3 people, so a "
        r"machine",
        said,
    )[0]
    assert (likely, high) == ("2 people", planned)


def test_what_is_above_the_guideline_is_told_first_with_both_numbers() -> None:
    said = _words(pikepole("lift", FORMS["cart-shelter"]).out)
    head, _, body = said.partition("! ")
    (told,) = re.findall(r"Above the guideline, and what brings it within: (.*)", head)
    found = re.findall(
        r"(\d+) (front|back) beam, carry it onto a [^:]+: above the guideline for 3 people: "
        r"([\d.]+) lb, guideline ([\d.]+) lb; within it off trestles [^,]+, or if the piece is "
        r"[\d.]+ lb lighter",
        told,
    )
    assert [name for _, name, *_ in found] == ["front", "back"]
    for number, name, load, guideline in found:
        assert float(guideline) < float(load) < 1.1 * float(guideline) + 0.1
        assert f"{number} {name} beam" in body
        assert f"{load} lb, above the guideline of {guideline} lb" in body


def test_what_has_to_be_brought_without_a_driver_is_told_with_its_days(tmp_path: Path) -> None:
    answer = pikepole("lift", FORMS["canoe-store"], "-o", tmp_path / "out")
    whole = json.loads((tmp_path / "out" / "lifts.json").read_text(encoding="utf-8"))
    told = _words(answer.out.partition("Calendar: ")[2])
    days = {stage["number"]: stage for stage in whole["calendar"]}
    brought = [
        lift
        for lift in whole["lifts"]
        if lift["help"] == "bring a machine" and not lift["machine"]["has_driver"]
    ]
    assert brought
    for lift in brought:
        stage = days[lift["stage"]]
        machine, (first, last) = lift["machine"]["kind"], (stage["first_day"], stage["last_day"])
        _, found, lifts = told.partition(f"a {machine}: day {first} to {last} for ")
        assert found
        # All that it is brought for on these days, up to the next machine.
        assert f"{lift['number']} {lift['name']}" in lifts.partition(": day ")[0]


def test_one_of_many_alike_is_told_as_such() -> None:
    said = _words(pikepole("lift", HONEY_HOUSE, "--part", "rafter 4").out)
    assert said.startswith("rafter 4: rafter")
    assert re.search(r"It is one of the \d+ of lift \d+, rafter 1", said)


def test_a_group_lists_its_lifts() -> None:
    answer = pikepole("lift", HONEY_HOUSE, "--part", "rafters")
    assert answer.code == DONE, answer.err
    assert "ask for one by its name" in answer.out
    assert "rafter 1" in answer.out


def test_what_nobody_lifts_is_told_so() -> None:
    answer = pikepole("lift", HONEY_HOUSE, "--part", "gravel bed")
    assert answer.code == DONE, answer.err
    assert "Nobody lifts it" in answer.out


def test_a_wrong_name_brings_the_nearest() -> None:
    answer = pikepole("lift", HONEY_HOUSE, "--part", "frnt beem")
    assert answer.code == BAD_INPUT
    assert answer.out == ""
    assert '"front beam"' in answer.err


def test_a_wrong_name_writes_nothing(tmp_path: Path) -> None:
    answer = pikepole("lift", HONEY_HOUSE, "--part", "frnt beem", "-o", tmp_path / "out")
    assert answer.code == BAD_INPUT
    assert not (tmp_path / "out").exists()


def test_a_file_where_the_folder_should_be_is_an_error(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("mine", encoding="utf-8")
    answer = pikepole("lift", BOAT_RACK, "-o", tmp_path / "out")
    assert answer.code == BAD_INPUT
    assert "out is a file" in _words(answer.err)


def test_a_move_that_cannot_be_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_: Building) -> None:
        raise LiftError("move.after", "Roof", "is no stage of the work", "take the name of one")

    monkeypatch.setattr(moving_module, "plan_moves", refuse)
    answer = pikepole("lift", HONEY_HOUSE)
    assert answer.code == BAD_INPUT
    assert "move.after = Roof" in answer.err
    assert "Traceback" not in answer.err


@pytest.mark.parametrize(
    ("scene", "words"),
    [
        (HONEY_HOUSE, ("--part", "front beam")),
        (HONEY_HOUSE, ()),
        (BOAT_RACK, ("--by", "weight")),
        (TOOL_STORE, ()),
        (FORMS["canoe-store"], ()),
        (FORMS["garden-classroom"], ()),
    ],
    ids=["part", "honey house", "metric", "slab", "canoe store", "garden classroom"],
)
def test_no_lift_is_called_safe(scene: Path, words: tuple[str, ...]) -> None:
    answer = pikepole("lift", scene, *words)
    assert answer.code == DONE, answer.err
    assert not re.search(r"\b(safe|safely|ok|okay)\b", answer.out, re.IGNORECASE)


def test_metric_scenes_are_told_in_metric_units() -> None:
    answer = pikepole("lift", BOAT_RACK)
    assert " kg" in answer.out
    assert " lb" not in answer.out
    # Speeds and forces too; a rule's own words keep the units that they were published in.
    part = pikepole("lift", BOAT_RACK, "--part", "back wall").out
    assert " km/h" in part
    assert not re.search(r"\d (lb|lbf|in|ft)\b|2x4|16d", part)
