"""What lies on the ground in a bay meets what the store stands on."""

from __future__ import annotations

import pytest

from filled import store
from measuring import CUT_MM, INCH, box_of, of_group, of_kind
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import check

PAD = {"kind": "pad", "above_ground": "6 in", "edge_depth": "18 in"}


def with_ground(kind: str, side: str = "front", **tables: object) -> Building:
    bay = {"side": side, "reach": "6 ft", "ground": {"kind": kind}}
    return store(bay=[bay], **{"foundation": PAD, **tables})


@pytest.mark.parametrize(("side", "axis", "sign"), [("front", 1, -1), ("right", 0, 1)])
@pytest.mark.parametrize(("kind", "gap"), [("slab", 0.5), ("gravel", 0.0)])
def test_it_runs_on_to_the_pad(kind: str, gap: float, side: str, axis: int, sign: int) -> None:
    # A slab stops a joint filler of 1/2 in short of the pad (common practice), gravel at it: the
    # pad's own gravel lies under its edge, 12 in and more down.
    building = with_ground(kind, side, floor=None)
    edge = 192 * INCH if sign > 0 else 0.0
    for part in of_group(building, "bay ground"):
        box = box_of(part)
        near = box.low[axis] if sign > 0 else box.high[axis]
        assert sign * (near - edge) == pytest.approx(gap * INCH, abs=CUT_MM)
    assert not [one for one in check(building) if one.kind == "overlap"]


def test_siding_ends_2_in_over_it() -> None:
    # A slab 2 in over the ground (its default) beside a pad of 6 in: 4 in under the sheets.
    building = with_ground("slab", floor=None)
    (slab,) = (part for part in of_kind(building, Kind.SLAB) if "bay" in part.name)
    sheets = min(box_of(part).low[2] for part in of_kind(building, Kind.WALL_SHEET))
    assert sheets - box_of(slab).high[2] >= 2 * INCH


def test_beside_skids_it_leaves_their_gravel_free() -> None:
    # 12 in of gravel round the frame: rain that runs down the walls splashes on that.
    building = with_ground("slab", foundation={"kind": "skids"})
    for part in of_group(building, "bay ground"):
        assert box_of(part).high[1] == pytest.approx(-12 * INCH, abs=CUT_MM)
