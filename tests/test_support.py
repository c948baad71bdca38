"""What goes up before what holds it, found anew by a flood from the ground at every stage."""

from __future__ import annotations

import dataclasses
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from conftest import FORMS
from draws import draws
from measuring import box_of
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part, Stage
from pikepole_model.checks.fit import check
from pikepole_model.reading.file import load_scene
from test_scenes import floating

EARLY = re.compile(r"(?:goes|go) up in stage (?P<stage>\d+),")


def restaged(building: Building, order: list[str]) -> Building:
    """The same pieces, their groups put up one by one in another order."""
    number = {group: k for k, group in enumerate(order, start=1)}
    parts = tuple(dataclasses.replace(part, stage=number[part.group]) for part in building.parts)

    def stage(group: str, k: int) -> Stage:
        return Stage(k, group, tuple(part for part in parts if part.stage == k))

    stages = tuple(stage(group, k) for group, k in number.items())
    return dataclasses.replace(building, parts=parts, stages=stages)


def told(building: Building) -> list[str]:
    """The parts that the checks find too early, with their stages."""
    found = ((finding, EARLY.match(finding.text)) for finding in check(building))
    return sorted(
        f"{name} in stage {match['stage']}"
        for finding, match in found
        if match
        for name in finding.parts
    )


SMALL = build(load_scene(FORMS["wood-lean-to"]))
GROUPS = list(dict.fromkeys(part.group for part in SMALL.parts))


@draws(3)
@given(st.permutations(GROUPS))
def test_any_order(order: list[str]) -> None:
    # What floats when its stage is done is what the checks name, part for part.
    building = restaged(SMALL, order)
    assert told(building) == sorted(floating(building))


def test_order_of_laying_out_is_clean() -> None:
    assert told(restaged(SMALL, GROUPS)) == []


@pytest.mark.parametrize(
    "kinds",
    [
        {Kind.JOIST, Kind.RIM},
        {Kind.POST},
        {Kind.BEAM, Kind.BEAM_SPACER},
        {Kind.RAFTER, Kind.END_RAFTER},
        {Kind.SKID, Kind.FOOTING, Kind.POST_BASE, Kind.GRAVEL},
    ],
    ids=lambda kinds: min(kinds),
)
def test_what_is_taken_away_leaves_loose_parts(kinds: set[Kind]) -> None:
    # Without the pieces that carry others, the checks name what is left in the air.
    left = tuple(part for part in SMALL.parts if part.kind not in kinds)
    names = {part.name for part in left}
    building = dataclasses.replace(
        SMALL,
        parts=left,
        joints=tuple(j for j in SMALL.joints if j.a in names and j.b in names),
        stages=tuple(
            dataclasses.replace(s, parts=tuple(p for p in s.parts if p.name in names))
            for s in SMALL.stages
        ),
    )
    last = max(part.stage for part in left)
    at_last = dataclasses.replace(
        building, parts=tuple(dataclasses.replace(part, stage=last) for part in left)
    )
    loose = {name for one in check(building) if one.kind == "loose" for name in one.parts}
    assert loose == {name.removesuffix(f" in stage {last}") for name in floating(at_last)}
    # Nothing stands without what is in the ground, but blocks screwed to anchors driven into it.
    if Kind.GRAVEL in kinds:
        held = {part.name for part in left if part.kind is Kind.ANCHOR_BLOCK}
        assert loose == {part.name for part in left if box_of(part).low[2] > 1.0} - held


def late(part: Part, stage: int) -> Part:
    return dataclasses.replace(part, stage=stage)


def test_one_late_stick_is_no_support() -> None:
    # A far post put up last: its beam stands on the other posts, and nothing is said of it.
    last = max(part.stage for part in SMALL.parts)
    post = next(part for part in SMALL.parts if part.kind == Kind.POST)
    parts = tuple(late(part, last) if part is post else part for part in SMALL.parts)
    stages = tuple(
        dataclasses.replace(s, parts=tuple(p for p in parts if p.stage == s.number))
        for s in SMALL.stages
    )
    building = dataclasses.replace(SMALL, parts=parts, stages=stages)
    assert told(building) == sorted(floating(building))
