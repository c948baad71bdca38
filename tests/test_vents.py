"""Vents of sloping slats, counted by hand and measured on the parts."""

from __future__ import annotations

from itertools import pairwise
from math import sqrt
from typing import Any

import numpy as np
import pytest

from filled import store, table_of, window
from measuring import CUT_MM, INCH, box_of, of_kind
from mended import follow, ways
from pikepole_export.derive.buying.fasteners import fasteners
from pikepole_export.derive.inventory.mass import part_mass
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import check
from pikepole_model.reading.file import check_scene

VENT: dict[str, Any] = {"kind": "vent", "membrane": "none", "tape": "none"}
# A 1x4 is 3/4 by 3-1/2 in (PS 20); at 45 degrees it reaches so far across and up, in.
REACH = (3.5 + 0.75) / sqrt(2)
DOWN = 3.5 / sqrt(2)


@pytest.fixture(scope="module", params=["front", "left"])
def vent(request: pytest.FixtureRequest) -> Building:
    return store(window(wall=request.param, window=VENT, height="20 in", trim={}))


def test_slats_fill_the_frame_and_lap(vent: Building) -> None:
    # 20 in less a 3/4 in board at the head and a sill of 1-1/2 in are 17-3/4 in. The lowest slat is
    # 1/4 in over the sill, the highest as far under the head, so that 17-1/4 - 3.005 = 14.245 in
    # are shared by gaps of at most 2.475 in, at which the foot of a slat is as low as the upper
    # edge of the next.
    slats = sorted(of_kind(vent, Kind.SLAT), key=lambda part: box_of(part).low[2])
    assert len(slats) == 7
    boxes = [box_of(part) for part in slats]
    heights = [box.high[2] - box.low[2] for box in boxes]
    assert heights == pytest.approx([REACH * INCH] * 7, abs=CUT_MM)
    feet = [box.low[2] for box in boxes]
    steps = [b - a for a, b in pairwise(feet)]
    assert steps == pytest.approx([(17.25 - REACH) / 6 * INCH] * 6, abs=CUT_MM)
    assert max(steps) < DOWN * INCH
    # From jamb to jamb: 30 in less two boards of 3/4 in.
    assert {round(part.length_mm / INCH, 6) for part in slats} == {28.5}


def test_slats_shed_water_outwards(vent: Building) -> None:
    (slat, *_) = of_kind(vent, Kind.SLAT)
    points = slat.vertices_mm
    along_x, along_y, _ = np.ptp(points, axis=0)
    # Of the front wall the outside lies at smaller y, of the left wall at smaller x.
    across = 1 if along_x > along_y else 0
    outermost = points[np.argmin(points[:, across])]
    assert outermost[2] < points[:, 2].mean()


def test_nothing_is_found_and_each_slat_takes_two_nails_at_each_end(vent: Building) -> None:
    assert not check(vent)
    (row,) = [row for row in fasteners(vent) if row.joint == "vent slat to frame"]
    assert row.pieces == 7 * 2 * 2
    (one, *_) = of_kind(vent, Kind.SLAT)
    # 3/4 x 3-1/2 x 28-1/2 in of spruce-pine-fir, G 0.42, at 15 % (NDS Supplement 3.1.3).
    density = 62.4 * 0.42 / (1 + 0.009 * 0.42 * 15) * 1.15
    pounds = 0.75 * 3.5 * 28.5 / 1728 * density
    assert part_mass(one).likely_kg == pytest.approx(pounds * 0.45359237, rel=0.005)


def test_mesh_on_the_frame_keeps_bees_and_mice_out(vent: Building) -> None:
    # IRC R806.1: openings for air are covered with mesh of 1/16 to 1/4 in. 30 x 20 in are open
    # between studs: 28-1/2 x 17-3/4 in between the boards, and 1/2 in on each of them (common
    # practice, no source). Its shorter side goes across a roll of 24 in, of 0.72 kg/m2.
    (mesh,) = of_kind(vent, Kind.VENT_MESH)
    assert mesh.length_mm / INCH == pytest.approx(29.5)
    assert mesh.stock == "vent mesh 24 in"
    assert part_mass(mesh).likely_kg == pytest.approx(29.5 * 18.75 * INCH**2 * 0.72e-6)
    # Behind the slats and against the studs' inner faces, on all four boards.
    boards = [
        joint
        for joint in vent.joints
        if mesh.name in (joint.a, joint.b) and joint.fixing == "stapled"
    ]
    assert len(boards) == 4
    (row,) = [row for row in fasteners(vent) if row.joint == "vent mesh to frame"]
    assert row.pieces > 0


@pytest.mark.parametrize(("high", "stock"), [("24 in", 24), ("30 in", 36), ("40 in", 36)])
def test_mesh_comes_off_the_narrowest_roll_that_covers_the_vent(high: str, stock: int) -> None:
    # 24 - 2-1/4 + 1 in are 22-3/4 in, 30 in makes 28-3/4; of 40 in high the width counts, 29-1/2.
    (mesh,) = of_kind(store(window(window=VENT, height=high)), Kind.VENT_MESH)
    assert mesh.stock == f"vent mesh {stock} in"


@pytest.mark.parametrize(
    ("keys", "key"),
    [
        ({"window": VENT, "height": "6 in"}, "window"),
        ({"window": {**VENT, "slat": "1x6"}}, "window.slat"),
        ({"window": {**VENT, "mesh": "vent mesh 24 in"}, "height": "30 in"}, "window.mesh"),
        ({"window": VENT, "width": "54 in", "height": "54 in", "sill": "2 ft"}, "window.mesh"),
        # 8 - 1/2 - 3.535 in in two steps: 1.40 in square to slats 1-1/2 in thick.
        ({"window": {**VENT, "slat": "2x4"}, "height": "10-1/4 in"}, "window.slat"),
    ],
)
def test_slats_that_do_not_go_in_are_refused_with_a_mend(keys: dict[str, Any], key: str) -> None:
    table = table_of(window(**keys))
    problems = check_scene(table)[1]
    assert [problem.key for problem in problems] == [f"opening[1].{key}"]
    found = ways(problems[0].mend, problems[0].key)
    assert found
    for where, value in found:
        assert not check_scene(follow(table, where, value))[1], (where, value)
