"""What speaks against a move, and that its mends do: the dangerous cases, and keys that cannot go.

Weights are those of the model; what bears, what is refused and why is worked out by hand.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from fodder import read, refused, table
from mended import follow, ways
from pikepole_export.derive.moving.design_values import Stress
from pikepole_export.derive.moving.plan import MovePlan, move_findings, plan_moves
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.errors import Problem
from pikepole_model.reading.file import check_scene
from pikepole_model.scene.crew import Crew, Jack, Telehandler, Winch
from pikepole_model.scene.moving import Move
from pikepole_model.units import parse_length, parse_mass

IN = 25.4
LEAST = re.compile(r"^give (?:[\w.]+ )?at (?:least|most) (\S+'? ?\S*\"|\d+ lb)")
PIPES = {"count": 8, "diameter": "2 in", "length": "12 ft", "rating": "4000 lb"}
TRAILER = {
    "deck_length": "16 ft",
    "deck_width": "7 ft",
    "deck_height": "2 ft",
    "hitch": "4 ft",
    "axle": "9 ft",
    "rating": "7000 lb",
    "tongue_rating": "700 lb",
}


WINCH = Winch.model_validate({"kind": "winch", "rating": "4000 lb"})
# Moved on pipes, with a strap and an anchor that hold.
ROLLED: dict[str, Any] = {
    "way": "rollers",
    "side": "left",
    "pipes": PIPES,
    "pull": {"strap": "4000 lb", "anchor": "4000 lb"},
}


def rolled(building: Building, **words: Any) -> MovePlan:
    """Its plan on pipes behind a winch."""
    return plan_of(building, (WINCH,), **{**ROLLED, **words})


def plan_of(building: Building, gear: tuple[Any, ...] | None = None, **words: Any) -> MovePlan:
    """Its plan by another move, after its walls are sheeted; with the gear where some is given."""
    move = Move.model_validate({"after": "Wall sheathing", **words})
    crew = building.scene.crew if gear is None else Crew(gear=gear)
    scene = building.scene.model_copy(update={"move": move, "crew": crew})
    plan = plan_moves(replace(building, scene=scene)).plan
    assert plan
    return plan


def keys(plan: MovePlan) -> list[str]:
    return [problem.key for problem in plan.problems]


def at(plan: MovePlan, key: str) -> Problem:
    return next(problem for problem in plan.problems if problem.key == key)


def figure(problem: Problem) -> str:
    found = LEAST.match(problem.mend)
    assert found, problem.mend
    return found[1].replace("'", " ft").replace('"', " in")


# The honey house: 14 x 9 ft on skids whose middles are 1-3/4, 54 and 106-1/4 in from its front.


def test_the_scene_that_ships_bears_on_all_its_skids(honey_house: Building) -> None:
    plan = plan_moves(honey_house).plan
    assert plan
    assert plan.problems == ()
    assert plan.on_forks
    frame = plan.on_forks.frame
    assert frame.unsupported == ()
    assert [one.name for one in frame.members] == ["skid 1", "skid 2", "skid 3"]
    assert frame.past(*Stress) == ()
    assert all(margin.least_mm > frame.margins.asked_mm for _, margin in frame.margins.each)
    # 7 ft of fork from a face that 7/16 in of sheathing keeps off: tips at 83-9/16 in, before
    # skid 3 begins at 104-1/2; beams of 9 ft 6 in reach to 113-9/16, past its far face at 108.
    assert plan.on_forks.beam
    assert not plan.on_forks.beam.past_value


def test_forks_of_six_feet_leave_the_back_skid_and_all_but_tip(honey_house: Building) -> None:
    # They end at 71-9/16 in: skids 1 and 2 bear. It balances about 3 in before skid 2's middle,
    # which then has (50.8 - 1.75) / 52.25 = 94 % of it. Moments, with what stays in the ground out.
    plan = plan_of(honey_house, fork="6 ft", fork_spacing="5 ft")
    assert plan.on_forks
    frame = plan.on_forks.frame
    assert frame.unsupported == ("skid 3",)
    balance_in = plan.row.centre_of_gravity_mm[1] / IN
    stays = (Kind.GRAVEL, Kind.FOOTING, Kind.POST_BASE)
    moved = [part for part in honey_house.parts if part.stage <= 8 and part.kind not in stays]
    weights = [part.volume_mm3 * part.material.density_kg_m3[1] for part in moved]
    by_moments = sum(w * part.centre_mm[1] for w, part in zip(weights, moved, strict=True))
    assert balance_in == pytest.approx(by_moments / sum(weights) / IN, abs=0.1)
    assert frame.margins.far.likely_mm / IN == pytest.approx(54 - balance_in)
    share = frame.members[1].carries.likely_kg / plan.row.mass.likely_kg
    # The sloping end walls are reckoned as even from front to back, and weigh more in front.
    assert share == pytest.approx((balance_in - 1.75) / 52.25, abs=0.005)
    assert "skid 3 with nothing under it" in at(plan, "move.fork").wrong
    tips = [one for one in plan.problems if "at the far side" in one.wrong]
    assert [one.key for one in tips] == ["move.fork"]


def test_skids_are_bent_by_what_lies_on_them(honey_house: Building) -> None:
    # Each by its own share: skid 2 has 93 % of the weight, so about twice the bending stress of an
    # equal share, over southern pine's 1,000 psi (NDS Supplement Table 4B) before any jerk.
    plan = plan_of(honey_house, fork="6 ft", fork_spacing="5 ft")
    assert plan.on_forks
    first, second = plan.on_forks.frame.members
    assert second.value
    assert second.stress_n_mm2 > second.value.bending.value_n_mm2
    assert second.stress_n_mm2 > 5 * first.stress_n_mm2
    problem = at(plan, "move.fork_spacing")
    assert problem.wrong.startswith("lets skid 2 be bent past the value of the wood")
    assert problem.mend.startswith("add a carrying beam on each fork, at least 9' 0-7/16\"")


def test_forks_that_reach_one_skid_are_not_taken_without_a_word(honey_house: Building) -> None:
    # 4 ft 5 in end at 52-9/16 in: only the front skid lies on them.
    plan = plan_of(honey_house, fork="4 ft 5 in")
    assert "skid 2, skid 3 with nothing under them" in at(plan, "move.fork").wrong
    assert move_findings(
        replace(
            honey_house,
            scene=honey_house.scene.model_copy(
                update={
                    "move": Move.model_validate({"after": "Wall sheathing", "fork": "4 ft 5 in"})
                }
            ),
        )
    )


def test_a_move_that_cannot_be_planned_is_a_finding_too(honey_house: Building) -> None:
    move = Move.model_validate({"after": "Painting", "fork": "9 ft 6 in"})
    scene = honey_house.scene.model_copy(update={"move": move})
    (found,) = move_findings(replace(honey_house, scene=scene))
    assert (found.key, found.mend) == ("move.after", "take the name of one")


# Mends that do


def test_what_is_told_to_give_does(honey_house: Building) -> None:
    short = plan_of(honey_house, fork="6 ft", fork_spacing="6 ft")
    mended = plan_of(honey_house, fork=figure(at(short, "move.fork")), fork_spacing="6 ft")
    assert mended.problems == ()
    narrow = plan_of(honey_house, fork="9 ft 6 in", fork_spacing="4 ft")
    assert keys(narrow) == ["move.fork_spacing"]
    wide = figure(at(narrow, "move.fork_spacing"))
    assert plan_of(honey_house, fork="9 ft 6 in", fork_spacing=wide).problems == ()
    # Not an inch more than it takes.
    less = f"{parse_length(wide) / IN - 1} in"
    assert keys(plan_of(honey_house, fork="9 ft 6 in", fork_spacing=less)) == ["move.fork_spacing"]


def test_beams_that_bend_too_far_are_told_which_do_not(honey_house: Building) -> None:
    forks: dict[str, Any] = {"fork": "6 ft 4 in", "fork_spacing": "6 ft"}
    plan = plan_of(honey_house, **forks, beams={"section": "2x4", "length": "9 ft 6 in"})
    problem = at(plan, "move.beams.section")
    found = re.search('give "(.+?)"', problem.mend)
    assert found
    better = plan_of(honey_house, **forks, beams={"section": found[1], "length": "9 ft 6 in"})
    assert better.problems == ()


def test_a_truck_that_is_too_light_is_told_what_it_takes(honey_house: Building) -> None:
    def truck(rating: str) -> Telehandler:
        words = {"kind": "telehandler", "rating": rating, "reach": "18 ft"}
        return Telehandler.model_validate(words)

    forks: dict[str, Any] = {"fork": "9 ft 6 in", "fork_spacing": "6 ft"}
    plan = plan_of(honey_house, (truck("3000 lb"),), **forks)
    problem = at(plan, "crew.gear")
    needed = re.search(r"at least (\d+ lb) at 24 in", problem.mend)
    assert needed
    # 29 CFR 1910.178, appendix A: mass times load centre over 24 in.
    asks = plan.row.mass.high_kg * plan.row.load_centre_mm / (24 * IN)
    assert parse_mass(needed[1]) == pytest.approx(asks, rel=1e-3)
    assert "crew.gear" not in keys(plan_of(honey_house, (truck(needed[1]),), **forks))


def test_jacks_and_cribs_that_do_not_do(honey_house: Building) -> None:
    def jack(**words: str) -> Jack:
        sizes = {"rating": "4000 lb", "stroke": "5 in", **words}
        return Jack.model_validate({"kind": "jack", **sizes})

    high = plan_of(honey_house, way="jacks", height="6 ft 4 in")
    # A crib goes up to three times its width (FEMA US&R): 76 in by 24.
    assert figure(at(high, "move.crib")) == "2 ft 1-3/8 in"
    light = plan_of(honey_house, (jack(rating="1000 lb"),), way="jacks")
    problem = at(light, "crew.gear[1].rating")
    ends = [sum(one.mass.high_kg for one in light.on_jacks.corners[k : k + 2]) for k in (0, 2)]
    assert parse_mass(figure(problem)) == pytest.approx(max(ends), rel=1e-3)
    assert keys(plan_of(honey_house, (jack(rating=figure(problem)),), way="jacks")) == []
    short = plan_of(honey_house, (jack(stroke="3 in"),), way="jacks")
    assert figure(at(short, "crew.gear[1].stroke")) == "3-1/2 in"
    out = plan_of(honey_house, way="jacks", jack_inset="2 in")
    inset = figure(at(out, "move.jack_inset"))
    assert keys(plan_of(honey_house, way="jacks", jack_inset=inset)) == []


def test_forks_from_an_end_go_in_between_the_skids(honey_house: Building) -> None:
    # From the left the skids run beside the forks. It balances at 50.6 in from the front, 57.4 from
    # the left end of that side; forks 104 in apart would be under the outer skids' 3-1/2 in, whose
    # middles are 1-3/4 and 106-1/4 in: the left one is set at the end of the floor.
    words: dict[str, Any] = {
        "side": "left",
        "fork": "9 ft 10 in",
        "beams": {"section": "4x12", "length": "14 ft 2 in"},
    }
    plan = plan_of(honey_house, fork_spacing="104 in", **words)
    found = [one for one in plan.problems if "puts a fork where" in one.wrong]
    assert [one.key for one in found] == ["move.fork_spacing"]
    assert "skid" in found[0].wrong
    spacing = found[0].mend.removeprefix("give ").replace("'", " ft").replace('"', " in")
    again = plan_of(honey_house, fork_spacing=spacing, **words)
    assert not [one for one in again.problems if "puts a fork where" in one.wrong]


def test_pipes_and_trailers_that_do_not_do(honey_house: Building) -> None:
    weak = rolled(honey_house, pipes={**PIPES, "rating": "1000 lb"})
    rating = figure(at(weak, "move.pipes.rating"))
    pipes = {**PIPES, "rating": rating}
    assert keys(rolled(honey_house, pipes=pipes)) == []
    assert plan_of(honey_house, way="trailer", trailer=TRAILER).problems == ()
    for key, less in (("rating", "1000 lb"), ("tongue_rating", "150 lb")):
        plan = plan_of(honey_house, way="trailer", trailer={**TRAILER, key: less})
        assert keys(plan) == [f"move.trailer.{key}"]
        mended = {**TRAILER, key: figure(plan.problems[0])}
        assert plan_of(honey_house, way="trailer", trailer=mended).problems == ()
    # Axles so far forward that the building would hang out in front of the deck.
    ahead = plan_of(honey_house, way="trailer", trailer={**TRAILER, "axle": "4 ft"})
    axle = figure(at(ahead, "move.trailer.axle"))
    assert plan_of(honey_house, way="trailer", trailer={**TRAILER, "axle": axle}).problems == ()


# What the keys alone tell: a store of 12 x 8 ft on three skids


@pytest.mark.parametrize(
    ("move", "key", "mend"),
    [
        (
            {"fork": "8 ft", "beams": {"section": "4x9", "length": "8 ft"}},
            "move.beams.section",
            'give "4x8"',
        ),
        ({"fork": "7 ft"}, "move.fork", "give at least 8' 0\""),
        # From an end the last joist: no fork of a scene is 12 ft long.
        (
            {"fork": "9 ft", "side": "left"},
            "move.fork",
            "give move.beams.length at least 12'",
        ),
        (
            {"fork": "6 ft", "beams": {"section": "4x8", "length": "7 ft"}},
            "move.beams.length",
            "give at least 8' 0\"",
        ),
        # ANSI B56.1, of fork extensions: at most 1.5 times the fork.
        (
            {"fork": "5 ft", "beams": {"section": "4x8", "length": "8 ft"}},
            "move.beams.length",
            "give move.fork at least 5' 4\"",
        ),
        (
            {"way": "rollers"},
            "move.side",
            "give move.beams.length at least 8' 0\"",
        ),
        (
            {"way": "rollers", "side": "left", "pipes": {**PIPES, "count": 5}},
            "move.pipes.count",
            "give at least 6",
        ),
        (
            # 8 ft of skids from out to out, and 6 in past them at each end.
            {"way": "rollers", "side": "left", "pipes": {**PIPES, "length": "8 ft"}},
            "move.pipes.length",
            "give at least 9' 0\"",
        ),
        ({"way": "trailer"}, "move.trailer", "add the table [move.trailer]"),
        (
            {"way": "trailer", "trailer": {**TRAILER, "deck_length": "7 ft", "axle": "5 ft"}},
            "move.trailer.deck_length",
            "give at least 8' 0\"",
        ),
        (
            {"way": "trailer", "side": "left", "trailer": TRAILER},
            "move.trailer.deck_width",
            "give at least 8' 0\"",
        ),
        (
            {"way": "trailer", "trailer": {**TRAILER, "axle": "17 ft"}},
            "move.trailer.axle",
            "give at most 16' 0\"",
        ),
        ({"fork": "8 ft", "pipes": PIPES}, "move.pipes", "leave out move.pipes"),
        ({"fork": "8 ft", "pull": ROLLED["pull"]}, "move.pull", "leave out move.pull"),
        # 1 ft up at 15 deg: 12 / sin 15 deg = 46.4 in.
        (
            {**ROLLED, "ramp": {"height": "1 ft", "length": "3 ft", "plank": "4x12"}},
            "move.ramp.length",
            "give at least 3' 10-3/8\"",
        ),
        ({"way": "jacks"}, "move.way", 'add the table [[crew.gear]] of kind "jack"'),
        ({"fork": "8 ft", "jack_inset": "6 ft"}, "move.jack_inset", "give at most 3' 0\""),
    ],
)
def test_what_the_keys_alone_tell_is_refused(move: dict[str, Any], key: str, mend: str) -> None:
    problem = refused(move={"after": "Wall sheathing", **move})
    assert problem.key == key
    assert problem.mend.startswith(mend)
    # Each way that it names mends that.
    for where, value in ways(problem.mend, key):
        _, left = check_scene(follow(table(move={"after": "Wall sheathing", **move}), where, value))
        assert problem.wrong not in [one.wrong for one in left]


@pytest.mark.parametrize("key", ["rating", "count", "length", "diameter"])
def test_pipes_without_a_size_or_a_rating_are_refused(key: str) -> None:
    pipes = {name: value for name, value in PIPES.items() if name != key}
    move = {"after": "Wall sheathing", "way": "rollers", "side": "left", "pipes": pipes}
    problem = refused(move=move)
    assert (problem.key, problem.wrong) == (f"move.pipes.{key}", "is missing")


def test_moves_that_reach_are_read() -> None:
    for move in (
        {"fork": "8 ft"},
        {"fork": "6 ft", "beams": {"section": "4x8", "length": "8 ft 6 in"}},
        {"way": "rollers", "side": "left", "pipes": PIPES},
        {**ROLLED, "ramp": {"height": "1 ft", "length": "4 ft", "plank": "4x12"}},
        {"way": "rollers", "beams": {"section": "4x8", "length": "9 ft"}, "pipes": PIPES},
        {"way": "trailer", "trailer": TRAILER},
    ):
        assert read(move={"after": "Wall sheathing", **move}).move
