"""A floor of a few sticks: where it balances, and what holds it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from blocks import joined, lumber
from pikepole_export.derive.moving.plan import plan_moves
from pikepole_export.derive.moving.preparations import preparations
from pikepole_export.derive.moving.structure import moved_after
from pikepole_model.building.kinds import Kind
from pikepole_model.scene.moving import Move

# Two skids of 4 m that begin half a metre right of the origin, 100 broad and 200 deep.
SKIDS = (
    lumber("skid 1", Kind.SKID, (500, 0, 100), (4500, 100, 300)),
    lumber("skid 2", Kind.SKID, (500, 1900, 100), (4500, 2000, 300)),
)
OFF = "its centre of gravity is not over the floor"


@pytest.mark.parametrize(
    ("low", "high", "is_off"),
    [
        # As much again in the middle of the floor.
        ((500, 1000, 300), (4500, 1100, 500), False),
        # Four times a skid's 0.08 m3 so far out to the front that all balances there: the skids'
        # middle is 1000 in, (2 x 1000 - 4 x 1000) / 6 < 0; and to the right of 4500:
        # (2 x 2500 + 4 x 6500) / 6 = 5167.
        ((500, -1200, 300), (4500, -800, 500), True),
        ((4500, 900, 300), (8500, 1100, 700), True),
        # The same to the left and the back.
        ((-3500, 900, 300), (500, 1100, 700), True),
        ((500, 2800, 300), (4500, 3200, 500), True),
    ],
)
def test_what_hangs_out_draws_the_balance_off_the_floor(
    low: tuple[float, float, float], high: tuple[float, float, float], is_off: bool
) -> None:
    (row,) = plan_moves(joined((*SKIDS, lumber("rack", Kind.LOOKOUT, low, high)), [])).table
    assert (OFF in row.why_not) is is_off


@pytest.mark.parametrize(
    ("side", "load_centre_mm"),
    [("front", 800), ("back", 1200), ("left", 2200), ("right", 1800)],
)
def test_forks_reach_the_balance_from_the_side_that_they_come_in_at(
    side: str, load_centre_mm: float
) -> None:
    # The skids balance at (2500, 1000), 0.16 m3 of them; a block of 0.08 m3 at (3100, 400) draws
    # that to (2700, 800) in a floor from (500, 0) to (4500, 2000) (moments).
    block = lumber("block", Kind.LOOKOUT, (2600, 200, 300), (3600, 600, 500))
    building = joined((*SKIDS, block), [])
    move = Move.model_validate({"side": side, "after": "Blocks", "way": "rollers"})
    scene = building.scene.model_copy(update={"move": move})
    (row,) = plan_moves(replace(building, scene=scene)).table
    assert row.centre_of_gravity_mm[:2] == pytest.approx((2700, 800))
    assert row.load_centre_mm == pytest.approx(load_centre_mm)


@pytest.mark.parametrize("pair", [("post", "beam"), ("beam", "post")])
def test_a_post_that_stays_ties_what_also_hangs_on_the_floor(pair: tuple[str, str]) -> None:
    parts = (
        *SKIDS,
        lumber("footing", Kind.FOOTING, (5000, 0, 0), (5300, 300, 290), group="footings"),
        lumber("post", Kind.POST, (5100, 100, 290), (5190, 190, 2400), group="posts"),
        lumber("beam", Kind.BEAM, (500, 100, 2400), (5300, 190, 2600), group="front beam"),
    )
    building = joined(parts, [("footing", "post"), pair, ("skid 1", "beam")])
    (row,) = plan_moves(building).table
    (tie,) = row.ties
    assert (tie.kind, tie.holders, tie.held, tie.joints) == ("post", ("post",), ("front beam",), 1)
    # They stay.
    assert {part.name for part in moved_after(building, building.stages[0]).staying} == {
        "footing",
        "post",
    }


def test_room_for_forks_under_skids_is_as_high_as_these_are() -> None:
    building = joined(SKIDS, [])
    moved = moved_after(building, building.stages[0])
    move = Move(after="stage 1")
    asked = preparations(building, moved, move, (3000, 609.6))
    (room,) = (one for one in asked if "room to draw them out" in one.text)
    assert (room.size_mm, room.count) == (pytest.approx(200), 2)
    assert "2 skids, 200 mm high" in room.text
