"""Blocks between studs: nailed in while the wall lies on the floor, and raised with it."""

from __future__ import annotations

import pytest

from measuring import CUT_MM, INCH, of_kind
from pikepole_export.derive.lifting.items import items
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building

# Dressed 2 x 4 (PS 20).
AREA_MM2 = 1.5 * INCH * 3.5 * INCH


def test_blocks_go_up_with_the_frame(lopsided: Building) -> None:
    # The front wall's level sheet joint, lowered beside the door's head, has six blocks behind it,
    # between sticks 1-1/2 in thick: the end and 16 in, 16 in and the king at 27, the king at 67 and
    # 80, 80, 96 and 112, 112 and the end at 118-1/2 in.
    long_in = [13.75, 10.25, 12.25, 14.5, 14.5, 5.75]
    (stage,) = (one for one in lopsided.stages if one.name == "Front wall")
    blocks = [p for p in of_kind(lopsided, Kind.WALL_BLOCK) if p.stage == stage.number]
    lengths = sorted(round(part.length_mm / INCH, 3) for part in blocks)
    assert lengths == pytest.approx(sorted(long_in), abs=CUT_MM)
    volume = sum(long_in) * INCH * AREA_MM2
    assert sum(part.volume_mm3 for part in blocks) == pytest.approx(volume, rel=1e-6)
    (wall,) = (item for item in items(lopsided) if item.name == "front wall")
    raised = {part.name for part in wall.whole.parts}
    assert {part.name for part in blocks} <= raised
    without = [part for part in wall.whole.parts if part not in blocks]
    frame = sum(part.volume_mm3 / 1e9 * part.material.density_kg_m3[2] for part in without)
    wood = volume / 1e9 * blocks[0].material.density_kg_m3[2]
    assert wall.whole.mass.high_kg == pytest.approx(frame + wood)
