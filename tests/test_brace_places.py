"""Braces are told by the studs they are nailed to; doorways of tilted walls have a board across.

Full studs, clear of the ends, 2400 mm apart at the most where studs allow it; a board over a jack
and a king at either side of a doorway: common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from lifted import block, item_of
from pikepole_export.derive.lifting.brace_places import Tape, largest_share, spreaders
from pikepole_export.derive.lifting.brace_stock import brace_stock
from pikepole_export.derive.lifting.bracing import Bracing, braces
from pikepole_export.derive.lifting.cautions import braces_text
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.loads import load_of
from pikepole_export.derive.lifting.plan import lift_plan
from pikepole_export.write.pictures.raising import raising
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part

FULL = {Kind.STUD, Kind.CORNER_STUD, Kind.POST_STUD, Kind.KING, Kind.WALL_POST}
WIDE_MM = 900.0


def upright(at_mm: float, kind: Kind, high_mm: float = 2324.0) -> Part:
    """A stud 38 mm thick, from there along the wall."""
    return block(
        f"{kind.value} {at_mm:g}",
        (high_mm, 38, 89),
        4.0,
        kind=kind,
        group="wall",
        at_mm=(0, at_mm + 38, 38),
        slope_deg=90,
    )


def plate(start_mm: float, end_mm: float, z_mm: float, kind: Kind) -> Part:
    long_mm = end_mm - start_mm
    at_mm = (89.0, start_mm, z_mm)
    size = (long_mm, 89.0, 38.0)
    name = f"{kind.value} {start_mm:g}"
    return block(name, size, long_mm / 500, kind=kind, group="wall", at_mm=at_mm, flat=True)


def wall_with_a_doorway(long_mm: float = 4800.0) -> Item:
    """Along Y, its doorway in the middle, studs every 600 mm where there is none."""
    left, right = (long_mm - WIDE_MM) / 2, (long_mm + WIDE_MM) / 2
    sides = [
        upright(left - 38, Kind.JACK, 2000),
        upright(left - 76, Kind.KING),
        upright(right, Kind.JACK, 2000),
        upright(right + 38, Kind.KING),
    ]
    marks = [float(at) for at in range(0, int(long_mm), 600)]
    studs = [upright(at, Kind.STUD) for at in marks if at + 38 < left - 76 or right + 76 < at]
    studs.append(upright(long_mm - 38, Kind.STUD))
    plates = [
        plate(0, left, 0, Kind.BOTTOM_PLATE),
        plate(right, long_mm, 0, Kind.BOTTOM_PLATE),
        plate(0, long_mm, 2362, Kind.TOP_PLATE),
    ]
    parts = [*plates, *sides, *studs]
    whole = load_of("wall", parts, ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0)))
    return replace(item_of(parts[0], handling=Handling.WALL), name="wall", whole=whole)


def held(item: Item, tape: Tape | None = None) -> Bracing:
    found = braces(item, {}, on_frame=True, tape=tape)
    assert found
    return found


def test_no_brace_is_in_a_doorway() -> None:
    # Evenly three would be at 150, 2400 and 4650: the second in the middle of the doorway.
    item = wall_with_a_doorway()
    edges = {round(part.bounds_mm[0][1], 3) for part in item.whole.parts if part.kind in FULL}
    for place in held(item).places:
        assert round(place.tape_mm, 3) in edges
        assert not 1950 - 38 < place.tape_mm < 2850
        assert 150 <= place.tape_mm <= 4650


def test_braces_are_told_as_the_tape_has_their_studs() -> None:
    # From the other side the tape runs the other way: left edges are right ones then.
    item = wall_with_a_doorway()
    there = held(item, Tape((0.0, 1.0, 0.0), 0.0, (item.whole,)))
    back = held(item, Tape((0.0, -1.0, 0.0), -4800.0, (item.whole,)))
    mirrored = [pytest.approx(4800 - 38 - place.tape_mm) for place in there.places]
    assert [place.tape_mm for place in reversed(back.places)] == mirrored
    said = braces_text(there, "metric")
    for place in there.places:
        assert f"{place.tape_mm:.0f} mm" in said


def test_one_that_holds_more_of_the_wall_takes_more() -> None:
    # Statics: halfway to its neighbours and out to the end. 1000 + 1000 of 6000.
    assert largest_share([1000, 3000, 5000], 6000) == pytest.approx(2000 / 6000)
    # 1200 out to the end, half of 2400 to the next: 2400 of 4800.
    assert largest_share([1200, 3600], 4800) == pytest.approx(1 / 2)
    assert largest_share([600, 3600], 4800) == pytest.approx(2700 / 4800)


def test_a_board_lies_over_jack_and_king_at_both_sides() -> None:
    item = wall_with_a_doorway()
    (board,) = spreaders(Tape((0.0, 1.0, 0.0), 0.0, (item.whole,)))
    assert board.wide_mm == pytest.approx(WIDE_MM)
    assert board.tape_mm == pytest.approx(1950)
    # Each is 1-1/2 in thick.
    assert board.length_mm == pytest.approx(WIDE_MM + 4 * 38.1)


def walls(building: Building) -> list[Lift]:
    found = lift_plan(building).lifts
    return [lift for lift in found if lift.item.handling is Handling.WALL]


def test_every_brace_of_a_building_is_nailed_to_a_full_stud(
    honey_house: Building, weaving_shed: Building
) -> None:
    for building in (honey_house, weaving_shed):
        for lift in walls(building):
            assert lift.bracing
            for place in lift.bracing.places:
                x, y, z = place.upper_mm
                on = [
                    part
                    for part in lift.item.whole.parts
                    if part.kind in FULL
                    and part.bounds_mm[0][0] - 1 <= x <= part.bounds_mm[1][0] + 1
                    and part.bounds_mm[0][1] - 1 <= y <= part.bounds_mm[1][1] + 1
                    and part.bounds_mm[1][2] > z
                ]
                assert on, (lift.item.name, place)


def test_boards_across_doorways_are_told_counted_and_used_again(honey_house: Building) -> None:
    lifts = walls(honey_house)
    with_board = {lift.item.name: lift for lift in lifts if lift.spreaders}
    assert set(with_board) == {"right wall"}  # the front wall's doorway goes up piece by piece
    (board,) = with_board["right wall"].spreaders
    heads = {block["head"] for block in raising(with_board["right wall"], honey_house)}
    assert "Doorway" in heads
    uses = [use for one in brace_stock(lifts) for use in one.uses if "doorway" in use.holds]
    assert [use.length_mm for use in uses] == [board.length_mm]
    # It comes off in the stage that puts it on.
    assert uses[0].from_stage == uses[0].to_stage == with_board["right wall"].item.stage
