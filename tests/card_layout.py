"""What is asked of the layout of every card: nothing runs off it, nothing lies on anything else."""

from __future__ import annotations

from dataclasses import astuple
from itertools import combinations, product

import pytest
import shapely

from pikepole_export.graphics.page import WIDTH_PX
from pikepole_export.write.cards.labels import Box
from pikepole_export.write.cards.marks import Symbol
from pikepole_export.write.cards.page import Page
from pikepole_export.write.cards.sizes import HEIGHT_PX

ARROWS = {symbol.value for symbol in (Symbol.LIFT, Symbol.PUSH, Symbol.WEIGHT)}


def inside(box: Box) -> bool:
    return box.within(Box(0, 0, WIDTH_PX, HEIGHT_PX))


def words_have_room(page: Page, card: str, *, least_px: int) -> None:
    """Every line is on the card, large enough, and on no other."""
    for text in page.texts:
        assert inside(text.box), f"{card}: {text.text}"
        assert text.size >= least_px, f"{card}: {text.text}"
    # A tall letter of one line may come within a pixel of the line above it.
    for a, b in combinations(page.texts, 2):
        covered = a.box.grown(-2.0).overlap(b.box.grown(-2.0))
        assert covered == 0, f"{card}: {a.text!r} and {b.text!r}"


def labels_have_room(page: Page, card: str) -> None:
    """Every label lies in its picture and on no other label."""
    for panel in page.panels:
        boxes = [box for box, _, _ in panel.labels]
        assert boxes
        for box in boxes:
            assert box.within(panel.view), card
        for a, b in combinations(boxes, 2):
            assert a.overlap(b) == 0, card


def labels_keep_off_arrows(page: Page, card: str) -> None:
    """No label lies on an arrow, from its foot to its point."""
    for panel in page.panels:
        arrows = [shapely.LineString(spots) for act, spots in panel.marks if act in ARROWS]
        boxes = [shapely.box(*astuple(box)) for box, _, _ in panel.labels]
        assert not any(box.intersects(arrow) for box, arrow in product(boxes, arrows)), card


def marks_are_in_the_picture(page: Page, card: str) -> None:
    """Every mark is in its picture, and no picture on another."""
    for panel in page.panels:
        view = panel.view
        assert view.within(page.view), card
        for symbol, spots in panel.marks:
            for x, y in spots:
                assert view.left <= x <= view.right, f"{card}: {symbol}"
                assert view.top <= y <= view.bottom, f"{card}: {symbol}"
    for a, b in combinations(page.panels, 2):
        assert a.view.overlap(b.view) == pytest.approx(0.0), card
