"""Whether the end of a cut joist hangs or bears: 1-1/2 in of wood under it, IRC R502.6."""

from __future__ import annotations

import pytest

from blocks import joined, lumber
from pikepole_export.derive.buying.schedule import fixed
from pikepole_model.building.joints import BEARS_ON
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Joint, Part
from pikepole_model.geometry.placement import Vector

LEAST_MM = 1.5 * 25.4


def turned(at: Vector, *, along_x: bool, from_end: bool) -> Vector:
    """A place of the drawing below, along X or seen from the other end."""
    along, across, z = at
    along = 5000 - along if from_end else along
    return (along, across, z) if along_x else (across, along, z)


def floor(
    under: tuple[Vector, Vector], *, along_x: bool = False, from_end: bool = False
) -> Building:
    """A joist whose end is on a header, 1000 along, and a skid that touches it from below.

    header        joist
    +----+--------------------
    |    |        300..338 across, 200 up
    +----+--------------------
    """

    def piece(name: str, kind: Kind, low: Vector, high: Vector) -> Part:
        (u, v, w), (x, y, z) = (
            turned(at, along_x=along_x, from_end=from_end) for at in (low, high)
        )
        lowest = min(u, x), min(v, y), min(w, z)
        return lumber(name, kind, lowest, (max(u, x), max(v, y), max(w, z)))

    parts = (
        piece("skid", Kind.SKID, *under),
        piece("header", Kind.FLOOR_HEADER, (962, 0, 200), (1000, 700, 340)),
        piece("joist", Kind.JOIST, (1000, 300, 200), (4000, 338, 340)),
        # Far behind, under the joist's other end.
        piece("girder", Kind.GIRDER, (3900, 0, 60), (3990, 800, 200)),
    )
    building = joined(parts, [("header", "joist")])
    bears = tuple(Joint(name, "joist", BEARS_ON, (0.0, 0.0, 0.0)) for name in ("skid", "girder"))
    return Building(building.scene, parts, (*building.joints, *bears), building.stages)


def is_hung(building: Building) -> bool:
    (row,) = {one.row.name for one in fixed(building) if len(one.joints) == 1}
    return {"joist hung on header": True, "joist to rim": False}[row]


@pytest.mark.parametrize("along_x", [False, True])
@pytest.mark.parametrize("from_end", [False, True])
@pytest.mark.parametrize(
    ("low", "high", "hangs"),
    [
        # A skid 90 broad under header and joist; 1-1/2 in of it under the joist, and a little less.
        ((950, 0, 60), (1000 + LEAST_MM, 800, 200), False),
        ((948, 0, 60), (1000 + LEAST_MM - 1, 800, 200), True),
        # It begins at the joist's end, or a little behind.
        ((1000, 0, 60), (1090, 800, 200), False),
        ((1001, 0, 60), (1091, 800, 200), True),
        # It ends beside the joist: at its one side, or at its other.
        ((950, 0, 60), (1090, 300, 200), True),
        ((950, 338, 60), (1090, 900, 200), True),
        ((950, 0, 60), (1090, 301, 200), False),
        # It is lower by a millimetre.
        ((950, 0, 60), (1090, 800, 199), True),
    ],
)
def test_an_end_bears_on_what_is_under_it(
    low: Vector, high: Vector, hangs: bool, along_x: bool, from_end: bool
) -> None:
    assert is_hung(floor((low, high), along_x=along_x, from_end=from_end)) is hangs
