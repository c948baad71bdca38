"""A floor of a few sticks on two forks: which of them bear, and where it balances."""

from __future__ import annotations

import pytest

from blocks import joined, lumber
from pikepole_export.derive.moving.floor_bending import FrameBending, frame_bending
from pikepole_export.derive.moving.plan import plan_moves
from pikepole_export.derive.moving.structure import SIDES, moved_after
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part

# Two skids of 4 m that begin half a metre right of the origin, 100 broad and 200 deep.
SKIDS = (
    lumber("skid 1", Kind.SKID, (500, 0, 100), (4500, 100, 300)),
    lumber("skid 2", Kind.SKID, (500, 1900, 100), (4500, 2000, 300)),
)
OFF = "its centre of gravity is not over the floor"


def on_forks(*more: Part, face_mm: float = 0.0, fork_mm: float = 2500.0) -> FrameBending:
    """On forks 800 and 3200 from the left end of the skids."""
    building = joined((*SKIDS, *more), [])
    moved = moved_after(building, building.stages[0])
    return frame_bending(
        moved, SIDES["front"], left_mm=800, right_mm=3200, face_mm=face_mm, fork_mm=fork_mm
    )


@pytest.mark.parametrize(
    ("kind", "start", "end", "bears"),
    [
        (Kind.RIM, 500, 4500, True),
        # It ends at the end joists: 38 mm short at each end.
        (Kind.JOIST, 538, 4462, True),
        # Over both forks, but two thirds of the floor long: it hangs on what runs through.
        (Kind.JOIST, 1200, 3800, False),
        # Long, but it ends before a fork, at the right or at the left.
        (Kind.GIRDER, 500, 3600, False),
        (Kind.GIRDER, 1400, 4500, False),
        # In pieces, or between joists.
        (Kind.FLOOR_BLOCK, 500, 4500, False),
        (Kind.FLOOR_HEADER, 500, 4500, False),
    ],
)
def test_what_runs_through_over_both_forks_bears(
    kind: Kind, start: float, end: float, bears: bool
) -> None:
    # 50 broad and 100 deep, b d^3 a sixteenth of a skid's: 16, 16 and 1 parts of 33.
    member = lumber("member", kind, (start, 900, 100), (end, 950, 200))
    shares = {one.name: one.share for one in on_forks(member).members}
    of_33 = {"skid 1": 16 / 33, "skid 2": 16 / 33, "member": 1 / 33}
    assert shares == pytest.approx(of_33 if bears else {"skid 1": 0.5, "skid 2": 0.5})


def test_a_member_bends_as_its_section_asks() -> None:
    # M / (b d^2 / 6) at its share of the greater moment.
    member = lumber("member", Kind.RIM, (500, 900, 100), (4500, 950, 200))
    found = on_forks(member)
    one = found.members[-1]
    worst = max(found.bending.sagging_n_mm, found.bending.hogging_n_mm) / 33
    assert (one.breadth_mm, one.depth_mm) == pytest.approx((50, 100))
    assert one.stress_n_mm2 == pytest.approx(worst / (50 * 100**2 / 6))
    assert one.sagging_n_mm == pytest.approx(found.bending.sagging_n_mm / 33)
    assert one.hogging_n_mm == pytest.approx(found.bending.hogging_n_mm / 33)


def test_only_what_lies_over_the_forks_length_bears() -> None:
    # Forks from 1000 to 2500 into the building, then from 0 to 1500.
    assert [one.name for one in on_forks(face_mm=1000, fork_mm=1500).members] == ["skid 2"]
    assert [one.name for one in on_forks(fork_mm=1500).members] == ["skid 1"]


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
