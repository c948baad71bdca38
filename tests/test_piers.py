"""Blocks on gravel under girders, measured on the solids."""

from __future__ import annotations

import pytest

from measuring import CUT_MM, box_of, gaps, of_kind
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import check
from pikepole_model.reading.file import check_scene
from pikepole_model.scene.foundation import Piers
from strategies import Table, scene_of


def hall(**piers: str | int) -> Table:
    """Longer than any girder comes, so that each is spliced."""
    return {
        "title": "Long hall",
        "building": {"length": "31 ft", "depth": "9 ft"},
        "foundation": {"kind": "piers", "count": 2, **piers},
        "floor": {},
        "roof": {"slope": "2:12"},
        "cutting": {"longest": "24 ft"},
    }


@pytest.fixture(scope="module")
def long_hall() -> Building:
    return build(scene_of(hall(spacing="5 ft 4 in")))


@pytest.fixture(params=["pergola-room", "long hall"])
def on_piers(
    request: pytest.FixtureRequest, pergola_room: Building, long_hall: Building
) -> Building:
    """One from a scene, and one with spliced girders."""
    return pergola_room if request.param == "pergola-room" else long_hall


def piers_of(building: Building) -> Piers:
    piers = building.scene.foundation
    assert isinstance(piers, Piers)
    return piers


def test_clean(on_piers: Building) -> None:
    assert check(on_piers) == ()


def test_volume_of_a_block(on_piers: Building) -> None:
    # Prismatoid: h / 6 (A1 + 4 Am + A2), the section half-way up being as wide as both sides'
    # mean. Plane geometry.
    piers = piers_of(on_piers)
    low, high = piers.block_bottom, piers.block_top
    volume = piers.block_height / 6 * (low**2 + 4 * ((low + high) / 2) ** 2 + high**2)
    for block in of_kind(on_piers, Kind.PIER):
        assert block.volume_mm3 == pytest.approx(volume, rel=1e-9)


def test_each_block_on_its_own_gravel(on_piers: Building) -> None:
    piers = piers_of(on_piers)
    beds = [box_of(bed) for bed in of_kind(on_piers, Kind.GRAVEL) if bed.group == "foundation"]
    blocks = [box_of(block) for block in of_kind(on_piers, Kind.PIER)]
    assert len(beds) == len(blocks)
    for block in blocks:
        under = [
            bed
            for bed in beds
            if all(
                bed.low[axis] == pytest.approx(block.low[axis] - piers.gravel_margin, abs=CUT_MM)
                and bed.high[axis]
                == pytest.approx(block.high[axis] + piers.gravel_margin, abs=CUT_MM)
                for axis in (0, 1)
            )
        ]
        assert len(under) == 1
        # Flush with the ground, as deep as asked for.
        assert under[0].high[2] == pytest.approx(0.0, abs=CUT_MM)
        assert under[0].low[2] == pytest.approx(-piers.gravel, abs=CUT_MM)
        assert block.low[2] == pytest.approx(0.0, abs=CUT_MM)


def test_rows(on_piers: Building) -> None:
    # In each row even, at most as far apart as asked for, the outer ones within the floor; both
    # girder ends carried.
    piers, length = piers_of(on_piers), on_piers.scene.building.length
    rows: dict[float, list[float]] = {}
    for block in of_kind(on_piers, Kind.PIER):
        box = box_of(block)
        rows.setdefault(round((box.low[1] + box.high[1]) / 2, 2), []).append(
            (box.low[0] + box.high[0]) / 2
        )
    assert len(rows) == piers.count
    for row in rows.values():
        assert max(gaps(row)) <= piers.spacing + CUT_MM
        assert max(gaps(row)) - min(gaps(row)) < CUT_MM
        # No more blocks than the spacing asks for: with one fewer it would be exceeded.
        assert (max(row) - min(row)) / max(1, len(row) - 2) > piers.spacing or len(row) == 2
        assert min(row) - piers.block_bottom / 2 == pytest.approx(0.0, abs=CUT_MM)
        assert max(row) + piers.block_bottom / 2 == pytest.approx(length, abs=CUT_MM)
    outer = sorted(rows)
    breadth = on_piers.scene.lumber_stock(piers.girder).breadth_mm
    deep = on_piers.scene.building.depth
    assert outer[0] == pytest.approx(piers.inset + breadth / 2, abs=0.01)
    assert outer[-1] == pytest.approx(deep - piers.inset - breadth / 2, abs=0.01)


def test_girders_bear_on_blocks(on_piers: Building) -> None:
    # Every joint of a girder lies over a block, both ends on it, and girders lie on the blocks'
    # tops; the joists lie on the girders.
    piers, length = piers_of(on_piers), on_piers.scene.building.length
    girders = of_kind(on_piers, Kind.GIRDER)
    blocks = [box_of(block) for block in of_kind(on_piers, Kind.PIER)]
    floor = {round(box_of(p).low[2], 3) for p in of_kind(on_piers, Kind.JOIST, Kind.RIM)}
    joints: list[tuple[float, float]] = []
    for girder in girders:
        box = box_of(girder)
        assert box.low[2] == pytest.approx(piers.block_height, abs=CUT_MM)
        assert {round(box.high[2], 3)} == floor
        joints += [(x, box.low[1]) for x in (box.low[0], box.high[0]) if 1.0 < x < length - 1.0]
        under = [b for b in blocks if b.low[1] < box.low[1] + 1 and b.high[1] > box.high[1] - 1]
        on = [b for b in under if b.high[0] > box.low[0] + 1 and b.low[0] < box.high[0] - 1]
        assert len(on) >= 2
    for x, y in joints:
        near = [b for b in blocks if b.low[1] < y + 1 < b.high[1]]
        assert any(abs((b.low[0] + b.high[0]) / 2 - x) < 1.0 for b in near), f"joint at {x}"
    kinds = {part.name: part.kind for part in on_piers.parts}
    bears = [
        joint
        for joint in on_piers.joints
        if {kinds[joint.a], kinds[joint.b]} == {Kind.PIER, Kind.GIRDER}
    ]
    assert {joint.fixing for joint in bears} == {"bears on"}
    assert len(bears) == len(blocks) + len(joints) // 2


def test_the_hall_is_spliced(long_hall: Building) -> None:
    assert len(of_kind(long_hall, Kind.GIRDER)) == 4


@pytest.mark.parametrize(
    ("piers", "key"),
    [
        ({}, None),
        ({"block_top": "3 in"}, "foundation.block_top"),
        ({"block_top": "13 in"}, "foundation.block_top"),
        ({"spacing": "19 in"}, "foundation.gravel_margin"),
        # 31 ft less a block's 12 in in gaps of 20-1/2 in at most: 18 of 20 in exactly fit the
        # 20 in of a block with its gravel; of 20-1/4 in at most too, and 19 of 18.95 in do not.
        ({"spacing": "20-1/2 in"}, None),
        ({"spacing": "20 in"}, None),
        ({"gravel_margin": "4-1/4 in", "spacing": "20-1/2 in"}, "foundation.gravel_margin"),
        ({"count": 7}, "foundation.gravel_margin"),
        ({"count": 20, "girder": "6x6", "block_top": "6 in"}, "foundation.count"),
    ],
)
def test_what_does_not_fit_is_refused(piers: dict[str, str | int], key: str | None) -> None:
    keys = [problem.key for problem in check_scene(hall(**piers))[1]]
    assert keys[:1] == ([key] if key else [])
