"""A scene's own order of work: renamed, merged, split, and its mistakes told once each."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from conftest import FORMS, SCENES
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import check
from pikepole_model.errors import SceneError
from pikepole_model.reading.file import check_scene, load_scene
from strategies import Table, scene_of

LOFT: Table = tomllib.loads(FORMS["drying-loft"].read_text("utf-8"))

WALLS = ("back wall", "front wall", "left wall", "right wall")
SHEETS = tuple(f"{wall} sheathing" for wall in WALLS)

# The usual order of this building's groups, each in a stage of its own.
USUAL = (
    "foundation",
    "floor frame",
    "ground anchors",
    "floor deck",
    *WALLS,
    *SHEETS,
    "rafters",
    "rake overhangs",
    "roof deck",
    "steps",
)


def staged(*stages: tuple[str, ...], **first: str) -> Table:
    """The loft with stages of its own, each called by its first group; more keys for the first."""
    tables: list[dict[str, Any]] = [
        {"name": groups[0].title(), "groups": list(groups)} for groups in stages
    ]
    tables[0] |= first
    return {**LOFT, "stage": tables}


def one_each(*groups: str) -> Table:
    return staged(*((group,) for group in groups))


def loft(table: Table) -> Building:
    return build(scene_of(table))


def steps(building: Building) -> list[tuple[int, str, set[str]]]:
    return [(s.number, s.name, {part.group for part in s.parts}) for s in building.stages]


def problem_of(table: Table) -> tuple[str, str]:
    """Key and text of the one thing that is wrong."""
    with pytest.raises(SceneError) as refused:
        build(scene_of(table))
    (problem,) = refused.value.problems
    return problem.key, f"{problem.value} {problem.wrong}: {problem.mend}"


def test_usual_order_split_by_group() -> None:
    building = loft(one_each(*USUAL))
    assert [(n, groups) for n, _, groups in steps(building)] == [
        (n, {group}) for n, group in enumerate(USUAL, start=1)
    ]
    assert check(building) == ()


@pytest.mark.parametrize("path", [SCENES["honey-house"], FORMS["press-house"]])
def test_footings_of_a_bay_are_set_out_from_walls_that_were_moved_there(path: Path) -> None:
    # Walls do not come to stand to the inch, and posts stand in line with them: common practice, no
    # source.
    building = build(load_scene(path))
    move = building.scene.move
    assert move
    stages = {stage.name: stage for stage in building.stages}
    footings = stages["Bay footings"]
    assert {part.kind for part in footings.parts} >= {Kind.FOOTING, Kind.POST_BASE}
    assert stages[move.after].number < footings.number < stages["Beams and posts"].number
    assert "from the walls" in footings.notes
    assert "Concrete cures" in footings.notes
    before = (part for n, one in stages.items() if n != footings.name for part in one.parts)
    assert not [part for part in before if part.group == "bay footings"]


def test_what_is_built_beside_its_place_says_so_with_its_foundation() -> None:
    # From their scenes: the one stays on its skids, the other has a slab there.
    said = {
        path.stem: next(s.notes for s in build(load_scene(path)).stages if s.name == "Foundation")
        for path in (SCENES["honey-house"], FORMS["press-house"], FORMS["canoe-store"])
    }
    assert 'moved onto it when "Wall sheathing" is done' in said["honey-house"]
    assert "at the place that the building is moved to" in said["press-house"]
    assert "moved" not in said["canoe-store"]


def test_who_drives_anchors_asks_what_lies_buried() -> None:
    # From their scenes: one stays where it is built, one is moved before it is anchored, one stands
    # on a slab.
    for path, stages in (
        (FORMS["garden-classroom"], ["Floor frame"]),
        (SCENES["honey-house"], ["Ground anchors"]),
        (FORMS["canoe-store"], []),
    ):
        asks = [one for one in build(load_scene(path)).stages if "buried" in one.notes]
        assert [one.name for one in asks] == stages
        for one in asks:
            assert any(part.kind is Kind.GROUND_ANCHOR for part in one.parts)


@pytest.mark.parametrize(
    ("form", "stage", "told", "not_told"),
    [
        # From their scenes: skids on gravel; a slab.
        ("potting-shed", "Foundation", (), ("oncrete",)),
        ("rope-loft", "Foundation", ("Concrete cures",), ()),
        # Beams on walls alone; a ledger and posts.
        ("potting-shed", "Beams and posts", (), ("post", "ledger")),
        ("potting-lean-to", "Beams and posts", ("Brace each post", "Behind a ledger"), ()),
        # No soffits; soffits.
        ("rope-loft", "Roof edges", (), ("Soffits",)),
        ("swing-shelter", "Roof edges", ("Soffits",), ()),
        # Unsealed panels, sealed ones, both with closures; what comes over their ribs.
        ("rope-loft", "Roof panels", ("under each panel",), ("Sealant",)),
        ("garden-classroom", "Roof panels", ("under each panel", "Sealant in"), ()),
        ("garden-classroom", "Roof trim", ("between ribs and each cap",), ("under each",)),
        # Doors alone; windows with panes.
        ("oar-store", "Windows and door frames", (), ("pane",)),
        ("garden-classroom", "Windows and door frames", ("two blocks",), ()),
        # Half a loft without a way up; half a loft with a ladder in an opening.
        ("veil-loft", "Loft deck", ("open edge",), ("opening",)),
        ("wax-loft", "Loft deck", ("open edge", "Cover the opening"), ()),
    ],
)
def test_notes_speak_of_what_a_stage_puts_up(
    form: str, stage: str, told: tuple[str, ...], not_told: tuple[str, ...]
) -> None:
    (one,) = [one for one in build(load_scene(FORMS[form])).stages if one.name == stage]
    assert all(text in one.notes for text in told)
    assert not any(text in one.notes for text in not_told)


def test_what_lies_over_a_loft_is_set_from_its_deck() -> None:
    # Common practice, no source: nobody sets a purlin 13 ft up over a floor that is yet to come.
    names = [stage.name for stage in build(load_scene(FORMS["comb-store"])).stages]
    order = ["Wall sheathing", "Loft frame", "Loft deck", "Loft ladder", "Ridge and purlins"]
    assert names[names.index("Wall sheathing") :][: len(order)] == order
    assert "Ridge and purlins" not in [
        s.name for s in build(load_scene(FORMS["cider-barn"])).stages
    ]


def test_a_stage_is_called_by_what_it_adds_where_no_underlayment_comes() -> None:
    # Both scenes have edges with drip edges; one has roofing over its underlayment, the other none.
    for name, called in (("oar-store", "Roof underlayment"), ("log-store", "Drip edges")):
        building = build(load_scene(FORMS[name]))
        (stage,) = {p.stage for p in building.parts if p.kind is Kind.DRIP_EDGE}
        assert building.stages[stage - 1].name == called


def test_merged_and_renamed() -> None:
    table = staged(
        ("foundation", "floor frame", "ground anchors", "floor deck"),
        WALLS,
        SHEETS,
        ("rafters", "rake overhangs", "roof deck", "steps"),
        name="Platform",
        notes="Level first.",
    )
    building = loft(table)
    assert building.stages[0].name == "Platform"
    assert building.stages[0].notes == "Level first."
    assert [groups for _, _, groups in steps(building)] == [
        {"foundation", "floor frame", "ground anchors", "floor deck"},
        set(WALLS),
        set(SHEETS),
        {"rafters", "rake overhangs", "roof deck", "steps"},
    ]
    assert check(building) == ()


def test_reordered() -> None:
    # Each wall sheathed as soon as it stands, the right one first.
    order = [name for wall in reversed(WALLS) for name in (wall, f"{wall} sheathing")]
    building = loft(one_each(*USUAL[:4], *order, *USUAL[-4:]))
    assert [groups for _, _, groups in steps(building)][4:12] == [{name} for name in order]
    assert check(building) == ()


def test_order_changes_no_piece() -> None:
    def pieces(building: Building) -> set[tuple[str, object, object]]:
        return {(part.name, part.shape, part.placement) for part in building.parts}

    assert pieces(loft(one_each(*USUAL))) == pieces(loft(LOFT))


@pytest.mark.parametrize(
    ("stages", "key", "says"),
    [
        (
            [(*USUAL, "widow's walk")],
            "stage[1].groups",
            "widow's walk is no group here",
        ),
        (
            [("foundation",), (*USUAL[1:-2], "roof dekc", "steps")],
            "stage[2].groups",
            'did you mean "roof deck"?',
        ),
        ([(*USUAL[:-2], "steps")], "stage", "leaves out 'roof deck'"),
        ([USUAL, ("roof deck",)], "stage", "puts 'roof deck' into 2 stages"),
        ([(*USUAL, "roof deck")], "stage", "puts 'roof deck' into 2 stages"),
    ],
    ids=["unknown", "misspelt", "left out", "in two stages", "twice in one"],
)
def test_mistakes(stages: list[tuple[str, ...]], key: str, says: str) -> None:
    found, text = problem_of(staged(*stages))
    assert found == key
    assert says in text


@pytest.mark.parametrize(
    ("stage", "key"),
    [
        ({"name": "All"}, "stage[1].groups"),
        ({"name": "All", "groups": []}, "stage[1].groups"),
        ({"groups": list(USUAL)}, "stage[1].name"),
        ({"name": "All", "groups": list(USUAL), "crew": 2}, "stage[1].crew"),
    ],
)
def test_badly_written(stage: Table, key: str) -> None:
    problems = check_scene({**LOFT, "stage": [stage]})[1]
    assert [problem.key for problem in problems] == [key]


WHAT = re.compile(
    r'(?:goes|go) up in stage (?P<stage>\d+), "(?P<name>[^"]+)", and what holds (?:it|them) comes '
    r'only in stage (?P<holder>\d+), "(?P<holding>[^"]+)"'
)


@pytest.mark.parametrize(
    ("early", "before", "holding"),
    [
        ("roof deck", "rafters", {"Rafters", "Rake Overhangs"}),
        ("floor deck", "floor frame", {"Floor Frame"}),
        ("rafters", "back wall", {"Back Wall", "Front Wall", "Left Wall", "Right Wall"}),
        ("floor frame", "foundation", {"Foundation"}),
    ],
)
def test_too_early(early: str, before: str, holding: set[str]) -> None:
    order = [group for group in USUAL if group != early]
    order.insert(order.index(before), early)
    building = loft(one_each(*order))
    findings = check(building)
    found = [WHAT.match(finding.text) for finding in findings]
    assert found
    stage_of = {part.name: part.stage for part in building.parts}
    named = {stage.number: stage.name for stage in building.stages}
    group_of = {part.name: part.group for part in building.parts}
    seen: set[str] = set()
    for finding, match in zip(findings, found, strict=True):
        assert match
        assert {group_of[name] for name in finding.parts} == {early}
        assert {stage_of[name] for name in finding.parts} == {int(match["stage"])}
        assert match["name"] == named[int(match["stage"])] == early.title()
        assert match["holding"] == named[int(match["holder"])]
        seen.add(match["holding"])
    assert seen <= holding
    # In the stage of what holds it, it is held.
    for finding, match in zip(findings, found, strict=True):
        assert match
        after = f'stage {match["holder"]}, "{match["holding"]}"'
        assert finding.mend.startswith(f'in [[stage]], put the group "{early}" into {after}')
    # All of what goes up too early is named where nothing of it can stand.
    parts = {name for name, group in group_of.items() if group == early}
    if early != "rafters":
        assert {name for finding in findings for name in finding.parts} == parts
    # What waits for the same stage is told together.
    assert len({match["holder"] for match in found if match}) == len(found)
