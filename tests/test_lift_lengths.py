"""What of a built-up beam can be lifted as one: from where its plies end, worked by hand.

A ply carries past the joint of another by 24 in (609.6 mm), as joints of top plates are offset (IRC
2021 R602.3.2, from memory). An end lies on 1-1/2 in (38.1 mm) of wood (IRC 2021 R502.6, from
memory).
"""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lifted import block, lift_of
from pikepole_export.derive.lifting.cautions import cautions_of
from pikepole_export.derive.lifting.items import BuiltUp, Item, items
from pikepole_export.derive.lifting.lengths import LAP_MM, lengths_of
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Joint, Part, Stage
from pikepole_model.scene.schema import Scene

LONG_MM = 6000.0


def plies(*cuts: tuple[float, ...]) -> list[Part]:
    """Plies side by side, 6 m long, each cut at its own places; 2.4 m up, along Y."""
    found: list[Part] = []
    for row, places in enumerate(cuts):
        ends = [0.0, *places, LONG_MM]
        found += [
            block(
                f"beam ply {row}.{number}",
                (end - start, 184, 38),
                (end - start) / 300,
                kind=Kind.BEAM,
                at_mm=(38.0 * (row + 1), start, 2400),
            )
            for number, (start, end) in enumerate(pairwise(ends))
        ]
    return found


def names(parts: list[Part]) -> list[list[str]]:
    return [[part.name for part in length] for length in lengths_of(parts)]


def beams(parts: list[Part], *under: Part) -> list[Item]:
    """The beams of a building of these plies, nailed to each other, and of what they lie on."""
    every = (*under, *parts)
    joints = [
        Joint(a.name, b.name, "nailed", (0.0, 0.0, 0.0))
        for place, a in enumerate(every)
        for b in every[place + 1 :]
        if not (a in under and b in under)
    ]
    building = Building(
        Scene.model_construct(), every, tuple(joints), (Stage(1, "beams", tuple(every)),)
    )
    return [item for item in items(building) if item.kind is BuiltUp.BEAM]


def test_plies_that_all_end_at_one_place_are_two_lengths() -> None:
    assert names(plies((4000,), (4000,), (4000,))) == [
        ["beam ply 0.0", "beam ply 1.0", "beam ply 2.0"],
        ["beam ply 0.1", "beam ply 1.1", "beam ply 2.1"],
    ]


@pytest.mark.parametrize(("lap_mm", "count"), [(608, 2), (610, 1), (1500, 1)])
def test_a_ply_carries_past_the_joint_of_the_other_by_the_lap(lap_mm: float, count: int) -> None:
    # A joint at 3 m in one ply, in the other so much further on: it runs through there by that.
    assert len(lengths_of(plies((3000,), (3000 + lap_mm,)))) == count


def test_a_ply_that_runs_all_the_way_carries_the_rest() -> None:
    assert len(lengths_of(plies((), (2000, 4000), (2000, 4000)))) == 1


def test_a_sliver_at_the_end_is_no_length_of_its_own() -> None:
    # Past the joint the others run to the beam's own end, which is all that there is.
    assert len(lengths_of(plies((), (44,)))) == 1


def test_strips_between_the_plies_carry_nothing() -> None:
    strip = block("strip", (LONG_MM, 184, 12), 5, kind=Kind.BEAM_SPACER, at_mm=(88, 0, 2400))
    assert len(lengths_of([*plies((3000,), (3000,)), strip])) == 2


@given(st.lists(st.sets(st.integers(200, 5800), max_size=2), min_size=1, max_size=3))
def test_no_length_is_held_together_by_nothing(cuts: list[set[int]]) -> None:
    # At every section of every length, but for the laps at its joints, some ply runs through.
    parts = plies(*(tuple(sorted(row)) for row in cuts))
    lengths = lengths_of(parts)
    assert sorted(p.name for length in lengths for p in length) == sorted(p.name for p in parts)
    for length in lengths:
        spans = [(p.bounds_mm[0][1], p.bounds_mm[1][1]) for p in length]
        low, high = min(a for a, _ in spans), max(b for _, b in spans)
        for _, cut in spans:
            if low + LAP_MM + 2 < cut < high - LAP_MM - 2:
                assert any(a < cut - LAP_MM + 2 and b > cut + LAP_MM - 2 for a, b in spans)


def post(y_mm: float, wide_mm: float) -> Part:
    return block(
        "post", (2400, wide_mm, 89), 12, kind=Kind.STUD, slope_deg=90, at_mm=(0, y_mm + wide_mm, 0)
    )


def test_a_beam_in_two_lengths_is_two_lifts_that_meet_over_what_carries_both() -> None:
    # Both ends lie on half of 89 mm: 44.5.
    one, other = beams(plies((4000,), (4000,)), post(4000 - 44.5, 89))
    assert (one.name, other.name) == ("blocks length 1", "blocks length 2")
    assert one.whole.mass.high_kg == pytest.approx(2 * 4000 / 300)
    assert other.whole.mass.high_kg == pytest.approx(2 * 2000 / 300)
    for item in (one, other):
        (splice,) = item.splices
        assert splice.at_mm[1:] == pytest.approx((4000, 2400))
        assert (splice.on, splice.bearing_mm) == (("post",), pytest.approx(44.5))
        assert not splice.needs_prop
        assert any("on post, with 44 mm of bearing" in said for said in told(item))


@pytest.mark.parametrize("under", [(), (post(4000 - 30, 60),), (post(1000, 89),)])
def test_a_splice_over_nothing_or_too_little_is_propped(under: tuple[Part, ...]) -> None:
    # 30 mm of 60 is less than 1-1/2 in.
    for item in beams(plies((4000,), (4000,)), *under):
        (splice,) = item.splices
        assert splice.needs_prop
        # Half of each length comes down at its end (moments): 26.7 / 2 and 13.3 / 2 kg.
        half = item.whole.mass.high_kg / 2
        assert any(
            f"trestle under the splice, braced, for {half:.1f} kg" in said for said in told(item)
        )


def told(item: Item) -> tuple[str, ...]:
    return cautions_of(lift_of(item), "metric")


def test_a_beam_whose_joints_are_staggered_is_lifted_as_one() -> None:
    (beam,) = beams(plies((2000,), (4000,)))
    assert beam.splices == ()
    assert beam.name == "blocks"
