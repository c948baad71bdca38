"""What is printed of boards and sheets: it adds up, and what it says can be cut.

Expected values are sums of sixteenths and millimetres written out, kerfs among them.
"""

from __future__ import annotations

import pytest

from nested import saw
from pikepole_export.derive.cutting.lengths import Board, CutPiece, StockLength
from pikepole_export.derive.cutting.marks import (
    board_marks,
    place_words,
    sheet_marks,
    sides_words,
    sliver_mm,
)
from pikepole_export.derive.cutting.nesting import CutSheet, SheetPiece, StockSheet, plan_sheets
from pikepole_export.derive.cutting.saw_order import Offcut, Placed, SawCut
from pikepole_model.units import INCH_MM, MARK_MM

KERF = INCH_MM / 8
MARK = MARK_MM["imperial"]


def cut(*pieces: tuple[float, float], sheet: tuple[float, float] = (48, 96)) -> CutSheet:
    """The one sheet that pieces come out of, all in inches."""
    stock = StockSheet("plywood", sheet[0] * INCH_MM, sheet[1] * INCH_MM)
    asked = [
        SheetPiece(f"piece {k}", width * INCH_MM, length * INCH_MM)
        for k, (width, length) in enumerate(pieces)
    ]
    (found,) = plan_sheets(asked, stock, KERF, mark_mm=MARK).sheets
    return found


def printed(sheet: CutSheet) -> list[str]:
    marks = sheet_marks(sheet, KERF, "imperial")
    return sorted(sides_words(*sides_mm, "imperial") for sides_mm in marks.pieces_mm)


def test_three_thirds_of_a_sheet_are_printed_so_that_they_fit_it() -> None:
    # 48 less two kerfs of 1/8 leaves 47-3/4: thirds of 15.9167, nearest 15-15/16. Three of those
    # and the kerfs are 48-1/16; three of 15-7/8 are 47-7/8.
    sheet = cut(*[(47.75 / 3, 96)] * 3)
    assert printed(sheet) == ["1' 3-7/8\" x 8' 0\""] * 3
    marks = sheet_marks(sheet, KERF, "imperial")
    assert marks.cuts_mm == pytest.approx((15.875 * INCH_MM,) * 2)
    assert len(sheet.cuts) == 2


def test_what_fits_is_printed_to_the_nearest_mark_and_halves_up() -> None:
    # 20-9/32 lies between 20-1/4 and 20-5/16.
    assert printed(cut((20 + 9 / 32, 50))) == ["1' 8-5/16\" x 4' 2\""]


def test_a_cut_stands_where_the_pieces_before_it_end() -> None:
    # Two columns of strips: 10.03 prints as 10, so the second cut across is measured after it.
    sheet = cut((48, 30.03), (48, 40.03))
    marks = sheet_marks(sheet, KERF, "imperial")
    ends = {round(mm / INCH_MM, 4) for mm in marks.cuts_mm}
    assert ends == {30.0, 40.0}


def test_a_panel_wider_than_its_piece_is_cut_as_wide_as_it_is_planned() -> None:
    # 10.1 in is 10 and 1.6 sixteenths, so 10-1/8; its piece is 10 in.
    stock = StockSheet("plywood", 48 * INCH_MM, 96 * INCH_MM)
    piece = SheetPiece("strip", 10 * INCH_MM, 96 * INCH_MM)
    (at, behind) = 10.1 * INCH_MM, (48 - 10.1 - 1 / 8) * INCH_MM
    sheet = CutSheet(
        stock,
        (SawCut(1, 1, "width", at, 2, 3),),
        (Placed(piece, 2, 0.0, 0.0, at, stock.length_mm, turned=False),),
        (Offcut(3, at + KERF, 0.0, behind, stock.length_mm),),
    )
    assert sheet_marks(sheet, KERF, "imperial").cuts_mm == pytest.approx((10.125 * INCH_MM,))


def test_what_no_tape_shows_is_not_cut_off() -> None:
    # Half a sixteenth is 1/32: a sheet wider by 1/40 goes as it is.
    sheet = cut((48 - 1 / 40, 96))
    assert sheet.cuts == ()
    assert sheet.shavings == ()
    assert sheet.offcuts == ()


@pytest.mark.parametrize("off_in", [1 / 16, 1 / 8])
def test_no_more_than_the_blade_is_shaved(off_in: float) -> None:
    # A blade of 1/8 in has no wood on its far side to run in.
    sheet = cut((48, 96 - off_in))
    assert sheet.cuts == ()
    (shaving,) = sheet.shavings
    assert (shaving.panel, shaving.divides) == (1, "length")
    assert shaving.at_mm / INCH_MM == pytest.approx(96 - off_in)
    assert shaving.off_mm / INCH_MM == pytest.approx(off_in)
    # So is what the tape cannot tell from that: it reads to a sixteenth.
    sheet = cut((48, 96 - 1 / 8 - 1 / 33))
    assert (len(sheet.cuts), len(sheet.shavings)) == (0, 1)
    # A sixteenth more is cut off.
    sheet = cut((48, 96 - 3 / 16))
    assert (len(sheet.cuts), sheet.shavings) == (1, ())


def test_shaved_panels_come_out_as_their_pieces() -> None:
    sheet = cut((47.9375, 30), (47.9375, 40))
    panels = saw(sheet, KERF)
    assert sheet.shavings
    for one in sheet.placed:
        assert panels[one.panel][2:] == pytest.approx((one.width_mm, one.length_mm), abs=1e-3)


def test_marks_on_a_board_are_sums_of_what_is_printed() -> None:
    # 10.03 prints as 10 each time: 10, 20-1/8, 30-1/4; of the true lengths the last were 30-5/16.
    marks = board_marks([10.03 * INCH_MM] * 3, 0.0, KERF, "imperial")
    assert [mm / INCH_MM for mm in marks] == pytest.approx([10, 20.125, 30.25])
    # After a trim, in whole millimetres.
    metric = board_marks([500.4, 300.4], 10.0, 3.0, "metric")
    assert list(metric) == pytest.approx([510, 813])


@pytest.mark.parametrize(
    ("rest_mm", "trim_mm", "sliver"), [(0, 0, 0), (2, 0, 2), (3, 0, 0), (9, 0, 0), (2, 10, 0)]
)
def test_a_sliver_is_thinner_than_the_blade(rest_mm: float, trim_mm: float, sliver: float) -> None:
    # Two pieces and the 3 mm between them, and behind the second what is left.
    dust = min(3.0, rest_mm)
    stock = StockLength("2x4", 2000.0 + 3.0 + rest_mm + trim_mm)
    pieces = (CutPiece("a", 1000.0), CutPiece("b", 1000.0))
    board = Board(stock, (pieces,), 2, 3.0 + dust, trim_mm, rest_mm - dust)
    assert sliver_mm(board, 3.0) == sliver


def test_a_cut_says_which_edge_it_is_measured_from() -> None:
    assert place_words("length", 28.6875 * INCH_MM, "imperial") == (
        "across, 2' 4-11/16\" from left edge"
    )
    assert place_words("width", 405.0, "metric") == "along, 405 mm from lower edge"
