"""What lies on the ground in a bay meets what the store stands on."""

from __future__ import annotations

import math

import pytest

from conftest import FORMS
from filled import store
from measuring import CUT_MM, INCH, box_of, of_group, of_kind
from pikepole_export.derive.buying.amounts import Thing
from pikepole_export.derive.buying.concrete import pours
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import check
from pikepole_model.reading.file import load_scene

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


def test_a_ramp_on_it_ends_in_concrete() -> None:
    # On a slab gravel would roll away under wheels (common practice, no source). Its joists end
    # 1-1/2 in high under a board of 1-1/2 in, square to 1 in 8; from there concrete falls on to a
    # lip of 1/4 in (ADA 2010 303.2). The door is 48 in wide.
    building = build(load_scene(FORMS["wash-bay"]))
    (toe,) = of_kind(building, Kind.RAMP_TOE)
    high = 1.5 + 1.5 * math.hypot(1, 8) / 8
    area = (high + 0.25) / 2 * (high - 0.25) * 8
    assert toe.volume_mm3 == pytest.approx(area * 48 * INCH**3, rel=1e-6)
    assert toe.material.name == "concrete"
    (slab,) = (part for part in of_kind(building, Kind.SLAB) if "bay" in part.name)
    assert box_of(toe).low[2] == pytest.approx(box_of(slab).high[2])
    assert not [part for part in of_group(building, "steps") if part.kind is Kind.GRAVEL]
    # It is ordered: what its stage pours, in bags.
    stage = next(one for one in building.stages if toe in one.parts)
    (pour,) = (one for one in pours(building, 36.3, 1e9, 0.0) if one.where == stage.name)
    assert pour.parts == (toe,)
    assert pour.thing is Thing.BAGGED_MIX
