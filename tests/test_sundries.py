"""What is small and easily forgotten: preservative, sealant, shims, paint of the woodwork.

Spread rates, beads and shims to an opening: common practice, no source; figures are worked by hand.
"""

from __future__ import annotations

import math

import pytest

from clad import clad
from filled import Table, door, store
from pikepole_export.derive.buying.amounts import Amount, Thing
from pikepole_export.derive.buying.paint import WOODWORK, paints
from pikepole_export.derive.buying.sundries import choices, sundries
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.units import INCH_MM
from planned import built

QUART_MM3 = 231 * INCH_MM**3 / 4


def of(building: Building, thing: Thing) -> list[Amount]:
    return [one for one in sundries(building, 0.1) if one.thing is thing]


def test_preservative_for_both_ends_and_all_edges_of_treated_pieces() -> None:
    """A floor of 8 by 6 ft: 2 skids, 2 rims, 7 joists, 6 blocks and 3 sheets, all treated.

    Ends: 2 x (2 x 3-1/2 x 5-1/2 + 15 x 1-1/2 x 5-1/2) in2 = 324.5 in2. Edges: one sheet of 47-1/2
    by 96 in, and two of 24-1/2 in that are 95-7/8 in together, 23/32 in thick: 414.5 in2. Two coats
    on 0.4768 m2 at 3.7 m2 a litre are 0.2577 l, of a quart of 0.946 l: one can.
    """
    (can,) = of(built("plain"), Thing.PRESERVATIVE)
    ends_m2 = 2 * (2 * 3.5 * 5.5 + 15 * 1.5 * 5.5) * INCH_MM**2 / 1e6
    edges_m2 = 2 * (47.5 + 96 + 2 * 24.5 + 95.875) * 23 / 32 * INCH_MM**2 / 1e6
    assert can.net == pytest.approx((ends_m2 + edges_m2) * 2 / 3.7 * 1e6 / QUART_MM3)
    assert can.buy == 1


def test_a_bead_round_each_pane_and_along_each_flashing() -> None:
    building = built("honey-house")
    panes = [part for part in building.parts if part.kind is Kind.PANE]
    heads = [part for part in building.parts if part.kind is Kind.HEAD_FLASHING]
    assert len(panes) == 4
    (amount,) = of(building, Thing.SEALANT)
    run_mm = sum(part.length_mm for part in heads)
    for pane in panes:
        low, high = pane.bounds_mm
        sides = sorted(b - a for a, b in zip(low, high, strict=True))
        run_mm += 2 * (sides[1] + sides[2])
    # Two beads across each lap of the peak cap, 24 ft 1-1/2 in long of 10 ft lengths that lap 6 in,
    # of which three cover 29 ft: two laps. Trade practice, no source.
    caps = [part for part in building.parts if part.kind is Kind.PEAK_CAP]
    assert len(caps) == 3
    steel_mm = building.scene.catalogue.find_flat("flat steel 29 ga").thickness_mm
    run_mm += 2 * 2 * caps[0].volume_mm3 / steel_mm / caps[0].length_mm
    # 300 ml in a bead 1/4 in thick: 300,000 / (pi / 4 x 6.35^2) mm = 9.473 m.
    assert amount.net == pytest.approx(run_mm / 9473, rel=1e-3)
    assert amount.net is not None
    assert amount.buy == math.ceil(1.1 * amount.net)


def test_a_bundle_of_shims_for_each_three_openings() -> None:
    # 6 openings with frames, 12 each: 72 of 42.
    (shims,) = of(built("honey-house"), Thing.SHIMS)
    assert (shims.net, shims.buy) == (pytest.approx(72 / 42), 2)
    assert not of(built("plain"), Thing.SHIMS)


def test_woodwork_is_painted_on_what_is_seen() -> None:
    building = built("honey-house")
    wood = [one for one in paints(building) if one.where == WOODWORK]
    assert [one.item for one in wood] == ["primer", "paint"]
    parts = wood[1].parts
    kinds = {part.kind for part in parts}
    assert {Kind.FASCIA, Kind.BARGE, Kind.CASING, Kind.DOOR_BOARD} <= kinds
    fascia_mm2 = sum(part.length_mm * 7.25 * INCH_MM for part in parts if part.kind is Kind.FASCIA)
    doors_mm2 = 2 * sum(
        part.length_mm * part.across_mm[1] for part in parts if part.kind is Kind.DOOR_BOARD
    )
    # Two coats at 8.6 m2 a litre.
    assert wood[1].net is not None
    assert wood[1].net > (fascia_mm2 + doors_mm2) * 2 / 8.6
    assert wood[0].net is not None
    assert wood[0].net > wood[1].net / 2


def test_bought_leaves_are_not_painted() -> None:
    steel: Table = {"kind": "steel", "mass_kg": 40.0}
    building = store(door(door=steel))
    parts = [part for one in paints(building) if one.where == WOODWORK for part in one.parts]
    assert not any(part.kind is Kind.STEEL_LEAF for part in parts)


def test_what_is_left_to_choose_is_told() -> None:
    told = {one.item for one in choices(built("honey-house"))}
    assert {"locks", "gutters"} <= told
    assert "paint or stain" not in told  # the scene has [paint]
    assert "paint or stain" in {one.item for one in choices(built("plain"))}
    assert all(one.buy is None and one.net is None for one in choices(built("plain")))


@pytest.mark.parametrize(
    ("y", "until", "named"),
    [
        ("-60 mm", "", True),  # in the front wall and out through its siding
        ("-60 mm", "Front wall", False),  # taken out before
        ("1200 mm", "", False),  # inside
        ("-400 mm", "", False),  # before the wall
    ],
)
def test_the_room_round_a_post_in_siding_is_closed(y: str, until: str, named: bool) -> None:
    # Common practice, no source: a joint between siding and what comes through it is sealed.
    post = {"name": "old post", "x": "1.5 m", "y": y, "width": "140 mm", "depth": "140 mm"}
    post |= {"height": "2 m"} | ({"until": until} if until else {})
    skids = {"kind": "skids", "skid": "4x6", "count": 2, "inset": "1 ft"}
    building = clad({"kind": "battens"}, foundation=skids, floor={}, existing=[post])
    told = {one.item: one for one in choices(building)}
    assert ("sealant over backer rod" in told) is named
    if named:
        assert [part.name for part in told["sealant over backer rod"].parts] == ["old post"]


def test_small_things_of_a_hut_without_doors_are_few() -> None:
    found = [one.thing for one in sundries(built("plain"), 0.1)]
    assert found == [Thing.PRESERVATIVE, Thing.CHALK]
