"""Buildings moved whole: sums and moments written out, against what the plan says."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import cos, radians, sin
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pikepole_export.derive.inventory.mass import Mass, part_mass
from pikepole_export.derive.lifting.validation import LiftError
from pikepole_export.derive.moving.forks import OnForks
from pikepole_export.derive.moving.plan import MovePlan, MoveRow, plan_moves
from pikepole_export.derive.moving.structure import MovedStructure, first_stage, moved_after
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Joint, Part, Stage
from pikepole_model.geometry.placement import Placement, Vector
from pikepole_model.geometry.shape import Prism, Shape, rectangle
from pikepole_model.reading.file import load_scene
from pikepole_model.scene.crew import Crew, Telehandler, Winch
from pikepole_model.scene.moving import Move
from pikepole_model.stock.materials import Material

INCH_MM, FOOT_MM = 25.4, 304.8
POUND_KG = 0.45359237
GRAVITY = 9.80665  # 3rd CGPM, 1901

SCENES = Path(__file__).parent / "scenes"
# 1000 kg/m3 whatever the weather: a thousand mm3 weigh a gram.
WATER = Material("water", (1000.0, 1000.0, 1000.0), "round number for the tests")


def moved_by(building: Building, crew: Crew | None = None, **words: Any) -> Building:
    """The same building, with a move in its scene: forks 4 ft apart and 7 ft long at the front."""
    words = {"after": "Wall sheathing", "fork": "7 ft", **words}
    update: dict[str, Any] = {"move": Move.model_validate(words), "crew": crew or Crew()}
    return replace(building, scene=building.scene.model_copy(update=update))


def telehandler(**words: str) -> Telehandler:
    return Telehandler.model_validate({"kind": "telehandler", "reach": "5 m", **words})


def plan_of(building: Building, crew: Crew | None = None, **words: Any) -> MovePlan:
    plan = plan_moves(moved_by(building, crew, **words)).plan
    assert plan
    return plan


def forks_of(plan: MovePlan) -> OnForks:
    assert plan.on_forks
    return plan.on_forks


def row_after(building: Building, name: str) -> MoveRow:
    return next(row for row in plan_moves(building).table if row.name == name)


def stick(name: str, kind: Kind, low: Vector, high: Vector, material: Material = WATER) -> Part:
    """A plain block between two corners, its length along X."""
    x, y, z = (b - a for a, b in zip(low, high, strict=True))
    shape = Shape(Prism(rectangle(0, 0, x, y), z))
    return Part(name, kind, "floor frame", 1, "block", material, None, shape, Placement(low))


def raft(*extra: Part, length_mm: float = 4000) -> MovedStructure:
    """Two skids 100 mm broad and 200 deep, 2000 mm apart outside, and what lies on them."""
    skids = tuple(
        stick(f"skid {number}", Kind.SKID, (0, y, 0), (length_mm, y + 100, 200))
        for number, y in ((1, 0.0), (2, 1900.0))
    )
    parts = (*skids, *extra)
    masses = [part_mass(part) for part in parts]
    mass = Mass(*(sum(m[k] for m in map(_three, masses)) for k in range(3)))
    weights = [m.likely_kg for m in masses]
    centre = np.average([part.centre_mm for part in parts], axis=0, weights=weights)
    stage = Stage(1, "Raft", parts)
    place = (float(centre[0]), float(centre[1]), float(centre[2]))
    return MovedStructure(stage, parts, skids, (), mass, place, (length_mm, 2000, 200), ())


def _three(mass: Mass) -> tuple[float, float, float]:
    return mass.low_kg, mass.likely_kg, mass.high_kg


@cache
def plain() -> Building:
    """The least building: skids, a floor, four walls, a roof without overhangs."""
    return build(load_scene(SCENES / "plain.toml"))


# What goes and what stays


def test_what_goes_weighs_what_its_parts_weigh(building: Building) -> None:
    stays = {Kind.GRAVEL, Kind.FOOTING, Kind.POST_BASE, Kind.SLAB, Kind.ANCHOR_BOLT}
    for row in plan_moves(building).table:
        # Anchors in the ground are driven once it is there.
        standing = [
            part
            for part in building.parts
            if part.stage <= row.stage and part.group != "ground anchors"
        ]
        moved = moved_after(building, building.stages[row.stage - 1])
        assert not {part.kind for part in moved.parts} & stays
        assert {part.name for part in (*moved.parts, *moved.staying)} == {
            part.name for part in standing
        }
        # The centre of a whole is the mass-weighted mean of its parts' centres.
        masses = [part_mass(part) for part in moved.parts]
        likely = np.array([mass.likely_kg for mass in masses])
        centres = np.array([part.centre_mm for part in moved.parts])
        mean = (centres * likely[:, None]).sum(axis=0) / likely.sum()
        assert row.centre_of_gravity_mm == pytest.approx(mean)
        assert row.mass.likely_kg == pytest.approx(likely.sum())
        assert row.mass.high_kg == pytest.approx(sum(mass.high_kg for mass in masses))


def test_the_plain_floor_frame_by_hand() -> None:
    # 8 x 6 ft: two 4x6 skids and two 2x6 rims 96 in long, seven 2x6 joists at 16 in that end
    # between the rims (72 - 3 in), six blocks between those. Dressed 3-1/2 x 5-1/2 and
    # 1-1/2 x 5-1/2 in (PS 20). Toes of 1-1/2 x 1-1/2 in, cut at 45 degrees off 4 skid ends.
    first = first_stage(plain())
    assert first
    assert first.name == "Floor frame"
    moved = moved_after(plain(), first)
    skids = 2 * 3.5 * 5.5 * 96 - 4 * 3.5 * 1.5 * 1.5 / 2
    sticks = 1.5 * 5.5 * (2 * 96 + 7 * 69)
    # Between joists on centre; the end joists lie inside the ends, half a breadth off centre.
    blocks = 1.5 * 5.5 * (96 - 7 * 1.5)
    volume_mm3 = (skids + sticks + blocks) * INCH_MM**3
    wood = [part for part in moved.parts if part.kind is not Kind.FLOOR_TIE]
    assert sum(part.volume_mm3 for part in wood) == pytest.approx(volume_mm3)
    # Ties at the ends of both skids and 4 ft between them at most.
    assert len(moved.parts) - len(wood) == 2 * 3
    assert moved.size_mm == pytest.approx((8 * FOOT_MM, 6 * FOOT_MM, 11 * INCH_MM))
    # All of one material: the frame is its own mirror image front to back but for the blocks.
    assert moved.centre_mm[1] == pytest.approx(3 * FOOT_MM, abs=1.5 * INCH_MM)


def test_a_slab_leaves_nothing_to_move(tool_store: Building) -> None:
    assert first_stage(tool_store) is None
    assert plan_moves(tool_store).table == ()
    with pytest.raises(LiftError, match="no floor frame stands"):
        plan_moves(moved_by(tool_store))


def test_a_stage_too_early_or_unknown_is_refused() -> None:
    with pytest.raises(LiftError, match="no stage of the work"):
        plan_moves(moved_by(plain(), after="Painting"))
    with pytest.raises(LiftError, match="no floor frame stands"):
        moved_after(plain(), Stage(0, "Nothing yet", ()))


def test_no_move_no_plan() -> None:
    found = plan_moves(plain())
    assert found.plan is None
    assert [row.name for row in found.table][:2] == ["Floor frame", "Floor deck"]
    # Nobody said how long the forks are, so that nothing is held against these.
    assert all(row.feasible and row.fork_mm is None for row in found.table)


def test_posts_on_footings_tie_the_store_down(honey_house: Building) -> None:
    longer = moved_by(honey_house)
    before, after = (row_after(longer, name) for name in ("Wall sheathing", "Rafters"))
    assert before.ties == ()
    assert before.feasible
    (tie,) = after.ties
    assert (tie.kind, tie.held) == ("post", ("front beam", "back beam"))
    assert tie.holders == ("right bay post 1", "right bay post 2")
    # Each post is bolted to two plies and the spacer between them.
    assert tie.joints == 2 * 3
    assert not after.feasible
    assert after.why_not == ("2 posts in the ground hold front beam, back beam",)
    stage = honey_house.stages[after.stage - 1]
    moved = moved_after(honey_house, stage)
    assert {"right bay post 1", "right bay post base 2"} <= {part.name for part in moved.staying}
    assert {"front beam", "rafters"} <= {part.group for part in moved.parts}


def test_what_hangs_on_posts_alone_stays() -> None:
    # Two posts on footings with a beam on both, beside a raft that touches neither.
    x = (0.0, 500.0)
    raft_parts = raft().parts
    posts = [
        stick(f"post {k}", Kind.POST, (5000 + d, 0, 0), (5090 + d, 90, 2000))
        for k, d in enumerate(x, 1)
    ]
    held = [  # the cap on a post is a plate under its beam
        stick(f"{kind.value} {k}", kind, (5000 + d, 0, low), (5090 + d, 90, high))
        for k, d in enumerate(x, 1)
        for kind, low, high in ((Kind.FOOTING, -300, 0), (Kind.POST_CAP, 2000, 2003))
    ]
    beam = stick("beam", Kind.BEAM, (5000, 0, 2003), (5590, 90, 2203))
    at = (0.0, 0.0, 0.0)
    joints = [Joint(f"footing {k}", f"post {k}", "bears on", at) for k in (1, 2)]
    joints += [Joint(f"post {k}", f"post cap {k}", "nailed", at) for k in (1, 2)]
    joints += [Joint(f"post cap {k}", "beam", "bolted", at) for k in (1, 2)]
    parts = (*raft_parts, *posts, *held, beam)
    stage = Stage(1, "Raft and porch", parts)
    building = replace(plain(), parts=parts, joints=tuple(joints), stages=(stage,))
    moved = moved_after(building, stage)
    assert moved.parts == raft_parts
    assert moved.ties == ()
    # Fixed to the raft as well, the beam goes along, and has to be undone from both posts.
    tied = replace(building, joints=(*joints, Joint("beam", "skid 1", "nailed", at)))
    moved = moved_after(tied, stage)
    assert [part.name for part in moved.parts] == ["skid 1", "skid 2", "beam"]
    assert [(tie.holders, tie.joints) for tie in moved.ties] == [(("post 1", "post 2"), 2)]


def test_what_stands_through_the_floor_is_in_the_way(pergola_room: Building) -> None:
    plan = plan_of(pergola_room, fork="2 m")
    assert "old post left, old post right in its way" in plan.row.why_not
    assert any(one.names == ("old post left", "old post right") for one in plan.first)


# Forks and rating


def test_the_rule_s_load_moment_on_a_building() -> None:
    # 29 CFR 1910.178, appendix A, A-5: 3,000 lb at 24 in allow 2,400 lb at 30 in: the rating over
    # the mass is the load centre over 24 in.
    truck = telehandler(rating="3000 lb", load_centre="24 in")
    plan = plan_of(plain(), Crew(gear=(truck,)))
    by_figures = forks_of(plan).truck
    assert by_figures
    # The front wall's sheets stand 7/16 in out of the floor, whose middle is 3 ft in.
    load_centre_in = plan.row.load_centre_mm / INCH_MM
    assert load_centre_in == pytest.approx(36 + 7 / 16, abs=1.5)
    assert by_figures.most_kg / POUND_KG == pytest.approx(3000 * 24 / load_centre_in)
    mass_lb = plan.row.mass.high_kg / POUND_KG
    assert plan.row.rating_needed_kg / POUND_KG == pytest.approx(mass_lb * load_centre_in / 24)
    assert by_figures.left_over_kg == pytest.approx(by_figures.most_kg - plan.row.mass.high_kg)
    assert by_figures.covers is (plan.row.rating_needed_kg <= 3000 * POUND_KG)
    assert "data plate decides" in forks_of(plan).forks.plate


def test_a_truck_too_small_is_said() -> None:
    truck = telehandler(rating="300 kg", load_centre="500 mm")
    plan = plan_of(plain(), Crew(gear=(truck,)))
    by_figures = forks_of(plan).truck
    assert by_figures
    assert not by_figures.covers
    assert not plan.row.feasible
    assert any("telehandler is rated" in why for why in plan.row.why_not)


def test_the_high_mass_decides() -> None:
    plan = plan_of(plain())
    row = plan.row
    assert row.mass.low_kg < row.mass.likely_kg < row.mass.high_kg
    assert row.load_moment_kg_mm == pytest.approx(row.mass.high_kg * row.load_centre_mm)
    # Plates in inches are for 24 in, those in millimetres for 500.
    assert row.rating_needed_kg == pytest.approx(row.load_moment_kg_mm / (24 * INCH_MM))
    assert row.rating_at_kg(500) == pytest.approx(row.load_moment_kg_mm / 500)
    hut = plain()
    in_metric = replace(hut, scene=hut.scene.model_copy(update={"units": "metric"}))
    metric = plan_of(in_metric).row
    assert metric.rating_needed_kg == pytest.approx(row.load_moment_kg_mm / 500)


def test_forks_stand_about_the_centre_of_gravity() -> None:
    for side in ("front", "back", "left", "right"):
        plan = plan_of(plain(), side=side, fork="8 ft")
        found = forks_of(plan)
        x, y, _ = plan.row.centre_of_gravity_mm
        # From the left end, as seen from outside that side.
        left_end = {"front": x, "back": 8 * FOOT_MM - x, "left": 6 * FOOT_MM - y, "right": y}
        middle = (found.forks.left_mm + found.forks.right_mm) / 2
        assert middle == pytest.approx(left_end[side])
        assert found.forks.offset_mm == pytest.approx(0, abs=1e-6)
        face = {"front": y, "back": 6 * FOOT_MM - y, "left": x, "right": 8 * FOOT_MM - x}
        assert plan.row.load_centre_mm == pytest.approx(face[side] + 7 / 16 * INCH_MM)
        assert found.keeps_off_mm == pytest.approx(7 / 16 * INCH_MM)
        assert found.past_centre_mm == pytest.approx(8 * FOOT_MM - plan.row.load_centre_mm)


def test_forks_go_under_skids_that_lie_across_them_or_in_between() -> None:
    # Skids run along the front: forks from the front cross them, from the left they run beside.
    across, beside = (
        " ".join(first.text for first in plan_of(plain(), side=side, fork="8 ft").first)
        for side in ("front", "left")
    )
    assert "The forks go under the" in across
    assert "go in between the" in beside


def test_forks_wider_apart_than_the_floor_are_refused() -> None:
    with pytest.raises(LiftError, match=r"spread_mm.*set the forks closer"):
        plan_moves(moved_by(plain(), fork_spacing="8 ft 1/16 in"))


def test_forks_too_short_are_no_plan() -> None:
    plan = plan_of(plain(), fork="900 mm")
    assert plan.on_forks is None
    assert any("do not reach past its center of gravity" in why for why in plan.row.why_not)
    assert any(
        problem.key == "move.fork" and "give move.fork at least 6'" in problem.mend
        for problem in plan.problems
    )
    assert plan.on_rollers.pulls


# Rollers


def test_pull_by_slope_and_friction() -> None:
    winch = Winch.model_validate({"kind": "winch", "rating": "1000 kg", "parts": 2})
    plan = plan_of(plain(), Crew(gear=(winch,)), way="rollers", rise="15 deg", friction=0.1)
    weight = plan.row.mass.high_kg * GRAVITY
    rolled = plan.on_rollers
    assert plan.on_forks is None
    assert rolled.rise_deg == 15
    # W (sin 15 + mu cos 15), two parts of line with one sheave that takes a tenth.
    for pull, friction in zip(rolled.pulls, (0.1, 0.15, 0.2), strict=True):
        force = weight * (sin(radians(15)) + friction * cos(radians(15)))
        assert pull.friction == pytest.approx(friction)
        assert pull.force_n == pytest.approx(force)
        assert pull.line_n == pytest.approx(force / 2 * 1.1)
        assert pull.rating_needed_kg == pytest.approx(pull.line_n / GRAVITY)
        assert pull.winch_covers is (pull.rating_needed_kg <= 1000)
    # Let down, rollers hold nothing: W sin 15.
    assert rolled.holding_n == pytest.approx(weight * sin(radians(15)))
    assert rolled.holding_line_n == pytest.approx(weight * sin(radians(15)) / 2)


def test_no_winch_no_verdict_on_it() -> None:
    rolled = plan_of(plain(), way="rollers").on_rollers
    assert rolled.winch_rating_kg is None
    assert rolled.parts == 1
    assert {pull.winch_covers for pull in rolled.pulls} == {None}
    assert rolled.holding_n == 0  # on the level


# Jacks


def test_what_no_jack_stands_under_is_cribbed_too(honey_house: Building) -> None:
    # From the scene: three skids, of which the middle one has no jack under its ends.
    plan = plan_of(honey_house, after="Floor deck", way="jacks")
    (one,) = (one for one in plan.conduct.raising if one.names == ("skid 2",))
    assert one.text.startswith("No jack stands under skid 2")
    assert "crib under both its ends" in one.text
    assert one.short == "Cribs under both ends of skid 2 too: no jack stands there."


# What to do first


def test_only_what_the_building_has_is_prepared(honey_house: Building) -> None:
    def told(after: str) -> str:
        return " ".join(one.text for one in plan_of(honey_house, after=after).first)

    frame, walls, done = (told(name) for name in ("Floor frame", "Wall sheathing", "Doors"))
    assert "wall" not in frame
    assert "Empty it" not in frame
    assert "Take off its floor" not in frame
    # Under no roof nothing is kept, and no wires lead there.
    for bare in (told("Floor deck"), walls):
        assert "Take off its floor" in bare
        assert "Empty it" not in bare
        assert "wires" not in bare
    assert "Empty it" in done
    assert "wires" in done
    assert "Take off its floor" not in done
    assert "3 members" in frame
    # 5 ft 4 in is wide, the person door is not; no rafters yet; nothing to undo.
    assert "hive doorway, 5' 4\" wide" in walls
    assert "person door" not in walls
    assert "wall tops" in walls
    assert "post" not in walls
    assert "pane" not in walls
    assert "wall tops" not in done
    assert "2 posts in the ground" in done
    assert "4 panes" in done
    assert "door leaves shut" in done
    assert "person door" in done
    assert "right bay's roof" in done


def test_bare_walls_are_braced_and_sheeted_ones_not(honey_house: Building) -> None:
    bare = [one for one in plan_of(honey_house, after="Front wall").first if "sheets" in one.text]
    assert [one.names for one in bare] == [("front wall", "back wall")]
    assert not any("no sheets" in one.text for one in plan_of(honey_house).first)


def test_runners_are_asked_for_where_skids_lie_across() -> None:
    for side, asked in (("front", True), ("left", False)):
        plan = plan_of(plain(), way="rollers", side=side)
        assert any("runners along the way" in one.text for one in plan.first) is asked


def test_every_number_in_a_sentence_is_a_field(honey_house: Building) -> None:
    for one in plan_of(honey_house, after="Doors").first:
        digits = any(letter.isdigit() for letter in one.text)
        fields = (one.count, one.size_mm, one.mass_kg)
        assert not digits or any(field is not None for field in fields)
        assert "safe" not in one.text.lower()
