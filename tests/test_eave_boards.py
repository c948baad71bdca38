"""What closes a clad wall between the tails of its rafters, measured on the parts."""

from __future__ import annotations

import pytest
import shapely

from clad import (
    FOOT,
    INCH,
    LENGTH_MM,
    ONE_BY,
    SHEET_MM,
    WRAP_MM,
    Table,
    clad,
    face_of,
    on_wall,
    spans,
)
from measuring import CUT_MM, of_kind
from pikepole_export.derive.buying.schedule import fixed
from pikepole_model.build import build
from pikepole_model.building.kinds import CLADDING, Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import check
from strategies import scene_of

BOARDS: Table = {"kind": "boards"}
# Rafters are 1-1/2 in thick (PS 20).
RAFTER = 1.5 * INCH


def barn(slope: str, cladding: Table = BOARDS) -> Building:
    """A gable of some slope, clad all round, its tails open."""
    return build(
        scene_of(
            {
                "title": "Steep store",
                "building": {"length": "12 ft", "depth": "8 ft"},
                "foundation": {"kind": "skids"},
                "floor": {},
                "walls": {"low_height": "7 ft"},
                "roof": {"slope": slope, "rafter": "2x10", "ridge": {"kind": "beam"}},
                "wrap": {},
                "cladding": [cladding],
            }
        )
    )


def test_sheets_are_covered_up_to_the_plates_between_the_tails() -> None:
    # Walls have a covering over their sheets and what keeps water off behind it (IRC R703.1.1,
    # R703.2, from memory). Rafters every 16 in along 12 ft: 8 between those at the ends.
    building = clad(BOARDS, wrap={})
    assert [finding.text for finding in check(building)] == []
    boards = on_wall(building, "front", Kind.EAVE_BOARD)
    assert len(boards) == 9
    tops = {round(spans(board, "front")[1][1], 3) for board in boards}
    assert max(tops) - 8 * INCH == pytest.approx(7 * FOOT, abs=CUT_MM)
    # 3 mm beside each tail, and as thick as the siding, over the wrap.
    for board in boards[1:-1]:
        (u0, u1), _, (n0, n1) = spans(board, "front")
        assert u1 - u0 == pytest.approx(16 * INCH - RAFTER - 6, abs=CUT_MM)
        assert n1 - n0 == pytest.approx(ONE_BY, abs=CUT_MM)
        assert n0 == pytest.approx(SHEET_MM + WRAP_MM, abs=CUT_MM)


def test_so_are_the_plates_of_bare_studs() -> None:
    # The same holds where cladding lies on the studs themselves (IRC R703.1.1, from memory): the
    # store's 7 ft are up to its plates' top, over a slab of 8 in.
    building = clad(BOARDS, walls={"low_height": "7 ft", "front": {"kind": "braces"}})
    assert [finding.text for finding in check(building)] == []
    boards = on_wall(building, "front", Kind.EAVE_BOARD)
    assert len(boards) == 9
    tops = {round(spans(board, "front")[1][1], 3) for board in boards}
    assert max(tops) - 8 * INCH == pytest.approx(7 * FOOT, abs=CUT_MM)
    siding = max(spans(part, "front")[1][1] for part in on_wall(building, "front", Kind.SIDING))
    feet = {round(spans(board, "front")[1][0], 3) for board in boards}
    assert min(feet) == pytest.approx(siding, abs=3.2)


@pytest.mark.parametrize("slope", ["4:12", "8:12", "14:12", "20:12"])
def test_nothing_of_the_sheets_is_left_bare_at_any_slope(slope: str) -> None:
    building = barn(slope)
    assert [finding.text for finding in check(building)] == []
    tails = [part.bounds_mm for part in of_kind(building, Kind.RAFTER, Kind.END_RAFTER)]
    for wall in ("front", "back"):
        sheets = [p for p in of_kind(building, Kind.WALL_SHEET) if p.group.startswith(wall)]
        clothes = on_wall(building, wall, *CLADDING)
        covered = shapely.union_all([face_of(part, wall).buffer(3.5) for part in clothes])
        bare = shapely.union_all([face_of(s, wall) for s in sheets]).difference(covered)
        # Behind a tail nothing is to be seen of them.
        for (x0, _, _), (x1, _, _) in tails:
            left, right = (x0, x1) if wall == "front" else (LENGTH_MM - x1, LENGTH_MM - x0)
            bare = bare.difference(shapely.box(left - 3.5, 0.0, right + 3.5, 4000.0))
        # But for the room of 3 mm, as level boards have between them.
        assert bare.buffer(-3.5).area < 1.0, (wall, bare.bounds)


def test_a_soffit_closes_them_in_their_place() -> None:
    building = clad(BOARDS, edges={"soffit": "1/2 plywood"})
    assert not of_kind(building, Kind.EAVE_BOARD)


def test_a_wall_clad_with_strips_of_a_sheet_goes_on_with_them() -> None:
    building = barn("14:12", {"kind": "battens", "sheet": "5/8 plywood", "strips": 4})
    assert [finding.text for finding in check(building)] == []
    assert not of_kind(building, Kind.EAVE_BOARD)
    strips = [spans(part, "front") for part in on_wall(building, "front", Kind.STRIP)]
    # Rafters every 16 in along 12 ft: 8 between those at the ends. Lower than half a foot.
    assert len([1 for _, (low, high), _ in strips if high - low < FOOT / 2]) == 9


def test_each_is_nailed_at_both_ends_to_the_plates() -> None:
    # IRC Table R703.3(1): one at each bearing up to 6 in wide (from memory).
    building = barn("8:12")
    nailed = [one for one in fixed(building) if one.part.kind is Kind.EAVE_BOARD]
    boards = of_kind(building, Kind.EAVE_BOARD)
    assert {one.part.name for one in nailed} == {part.name for part in boards}
    assert all(one.pieces >= 2 for one in nailed)
