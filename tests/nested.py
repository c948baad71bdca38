"""Pieces to nest, of our own and published, and plans followed at the saw."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from pikepole_export.derive.cutting.nesting import CutSheet, SheetPiece, SheetPlan, StockSheet

PLY = StockSheet("plywood", 1220, 2440)

# OR-Library, gcut1: sheet 250 x 250, each piece worth its area, none may be turned.
# Beasley, Journal of the Operational Research Society 36 (1985).
GCUT1 = (
    *((167, 184), (114, 118), (167, 152), (83, 140), (70, 86)),
    *((143, 166), (120, 160), (66, 148), (87, 141), (69, 165)),
)


def pieces_of(
    name: str, width_mm: float, length_mm: float, count: int, may_turn: bool = False
) -> list[SheetPiece]:
    return [SheetPiece(f"{name} {n + 1}", width_mm, length_mm, may_turn) for n in range(count)]


def assert_followed_at_the_saw(
    plan: SheetPlan, pieces: Sequence[SheetPiece], kerf: float, slack: float = 0.0
) -> None:
    """Makes every cut in its order, and finds every piece once, and every off-cut, as a panel."""
    placed = [placed for sheet in plan.sheets for placed in sheet.placed]
    assert sorted(one.piece.name for one in placed) == sorted(piece.name for piece in pieces)
    for sheet in plan.sheets:
        panels = saw(sheet, kerf)
        assert sheet.placed
        for one in (*sheet.placed, *sheet.offcuts):
            got = panels.pop(one.panel)
            assert got == pytest.approx(
                (one.x_mm, one.y_mm, one.width_mm, one.length_mm), abs=1e-6 + slack
            )
        assert not panels
        for one in sheet.placed:
            sides = one.piece.width_mm, one.piece.length_mm
            lies = (one.width_mm, one.length_mm)
            assert lies == pytest.approx(sides[::-1] if one.turned else sides, abs=1e-6 + slack)
            assert one.piece.may_turn or not one.turned
    assert plan.bound <= (plan.bought_mm2 if plan.cost is None else plan.cost)


def saw(sheet: CutSheet, kerf: float) -> dict[int, tuple[float, float, float, float]]:
    """Panels left when all cuts are made: number to x, y, width, length."""
    panels: dict[int, tuple[float, float, float, float]] = {}

    def add(number: int, x: float, y: float, width: float, length: float) -> None:
        """A panel, shaved before it is cut further."""
        for shaving in sheet.shavings:
            if shaving.panel == number:
                side = width if shaving.divides == "width" else length
                assert 0 < shaving.off_mm <= kerf
                assert side == pytest.approx(shaving.at_mm + shaving.off_mm, abs=1e-6)
                if shaving.divides == "width":
                    width = shaving.at_mm
                else:
                    length = shaving.at_mm
        panels[number] = x, y, width, length

    add(1, 0.0, 0.0, sheet.stock.width_mm, sheet.stock.length_mm)
    for number, cut in enumerate(sheet.cuts, start=1):
        assert cut.number == number
        x, y, width, length = panels.pop(cut.panel)
        side = width if cut.divides == "width" else length
        rest = side - cut.at_mm - kerf
        assert 0 < cut.at_mm < side
        assert rest >= -1e-6  # the blade has its full width to take
        assert (rest > 1e-6) == (cut.second is not None)
        assert cut.first not in panels
        far = cut.at_mm + kerf
        if cut.divides == "width":
            add(cut.first, x, y, cut.at_mm, length)
            if cut.second:
                add(cut.second, x + far, y, rest, length)
        else:
            add(cut.first, x, y, width, cut.at_mm)
            if cut.second:
                add(cut.second, x, y + far, width, rest)
    return panels
