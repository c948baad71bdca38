"""Sheets of a building: every part cut once, nothing on top of anything, cuts followed through.

What is checked is read from sheets.json and worked out anew from the parts, the saw and the
catalogue. There is no published plan for our own scenes: bounds are sums of areas.
"""

from __future__ import annotations

import dataclasses
from collections import Counter
from functools import cache
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given

from conftest import FORMS, SCENES
from draws import draws
from pikepole_export.derive.buying.order import buy_list
from pikepole_export.derive.buying.purchase import Supplier
from pikepole_export.derive.cutting.cuts import cut_plans
from pikepole_export.derive.cutting.faults import CutPlanError
from pikepole_export.derive.cutting.sheets import StockPlan, sheet_plans, sheet_price
from pikepole_export.write.drawings.cutting import cut_pages, write_cut_drawings
from pikepole_model.build import build
from pikepole_model.building.decks import DECKS
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.reading.file import check_scene
from pikepole_model.scene.buying import Per, Price
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.rows import Sheet
from pikepole_model.units import MARK_MM
from planned import built, sheets_of
from strategies import forms

NOISE_MM = 1e-2
MAY_TURN = {"header spacer", "beam spacer", "pane"}


@cache
def planned(name: str) -> tuple[Building, tuple[StockPlan, ...], dict[str, Any]]:
    building = built(name)
    return building, *sheets_of(building)


def stock_of(building: Building, name: str) -> Sheet | None:
    """The sheet of this name, one that panes are cut from among them."""
    catalogue = building.scene.catalogue
    pane = catalogue.panes.get(name)
    return pane.sheet if pane else catalogue.sheets.get(name)


def face_of(stock: Sheet, edge: str) -> float:
    """How much of a sheet's width is cut up, mm.

    Of a nominal 4 by 8 ft with tongue and groove 47-1/2 in: common practice, no source.
    """
    if not edge:
        return stock.width_mm
    return 47.5 * 25.4 if stock.width_mm == 48 * 25.4 else stock.row_mm(tongued=True)


def kerf_of(building: Building, name: str) -> float:
    pane = building.scene.catalogue.panes.get(name)
    return 0.0 if pane and pane.scored else building.scene.cutting.kerf


def assert_balanced(building: Building, written: dict[str, Any]) -> None:
    """Each part of a sheet once, its grain along its sheet's, clear of all others by a cut."""
    flat = {p.name: p for p in building.parts if stock_of(building, p.stock)}
    cut = [piece["part"] for sheet in written["sheets"] for piece in sheet["pieces"]]
    assert Counter(cut) == Counter(list(flat))
    for sheet in written["sheets"]:
        kerf_mm = kerf_of(building, sheet["stock"])
        stock = stock_of(building, sheet["stock"])
        assert stock
        face_mm = face_of(stock, sheet["edge"])
        assert (sheet["width_mm"], sheet["length_mm"]) == (face_mm, stock.length_mm)
        for piece in sheet["pieces"]:
            part = flat[piece["part"]]
            assert part.stock == sheet["stock"]
            sides = sorted(part.shape.size_mm)
            assert sides[0] == pytest.approx(stock.thickness_mm, abs=NOISE_MM)
            length_mm = part.length_mm
            width_mm = sides[1] if length_mm == sides[2] else sides[2]
            lies = (width_mm, length_mm)
            if piece["turned"]:
                assert part.kind in MAY_TURN
                lies = (length_mm, width_mm)
            assert (piece["width_mm"], piece["length_mm"]) == pytest.approx(lies, abs=NOISE_MM)
            assert piece["x_mm"] >= 0
            assert piece["y_mm"] >= 0
            assert piece["x_mm"] + piece["width_mm"] <= face_mm + NOISE_MM
            assert piece["y_mm"] + piece["length_mm"] <= stock.length_mm + NOISE_MM
        for a, b in combinations(sheet["pieces"], 2):
            clear = (
                max(a[at] - b[at] - b[side], b[at] - a[at] - a[side])
                for at, side in (("x_mm", "width_mm"), ("y_mm", "length_mm"))
            )
            assert max(clear) >= kerf_mm - NOISE_MM
            # Of a sheet with tongue and groove no two floor sheets lie side by side: the second
            # would have lost the edge that meets the row before.
            if sheet["edge"] and {flat[one["part"]].kind for one in (a, b)} <= DECKS.keys():
                along = (a["y_mm"] - b["y_mm"] - b["length_mm"], b["y_mm"] - a["y_mm"])
                assert max(along[0], along[1] - a["length_mm"]) >= kerf_mm - NOISE_MM


Panel = tuple[float, float, float, float]  # x, y, width, length


def followed(sheet: dict[str, Any], kerf_mm: float, mark_mm: float) -> dict[int, Panel]:
    """The panels that are left when a sheet is cut up, by their numbers."""
    panels: dict[int, Panel] = {}

    def add(number: int, x: float, y: float, width: float, length: float) -> None:
        """A panel, shaved before it is cut further."""
        sides = {"width": width, "length": length}
        for one in sheet["shavings"]:
            if one["panel"] == number:
                assert mark_mm / 2 - NOISE_MM <= one["off_mm"] <= kerf_mm + mark_mm / 2 + NOISE_MM
                off_mm = sides[one["divides"]] - one["at_mm"]
                assert one["off_mm"] == pytest.approx(off_mm, abs=NOISE_MM)
                sides[one["divides"]] = one["at_mm"]
        panels[number] = (x, y, sides["width"], sides["length"])

    add(1, 0.0, 0.0, sheet["width_mm"], sheet["length_mm"])
    assert [cut["number"] for cut in sheet["cuts"]] == [*range(1, len(sheet["cuts"]) + 1)]
    for cut in sheet["cuts"]:
        x, y, width, length = panels.pop(cut["panel"])
        at, beyond = cut["at_mm"], cut["at_mm"] + kerf_mm
        side = width if cut["divides"] == "width" else length
        assert beyond <= side + NOISE_MM  # the blade has its full width to take
        if cut["divides"] == "width":
            add(cut["first"], x, y, at, length)
            rest = (x + beyond, y, width - beyond, length)
        else:
            add(cut["first"], x, y, width, at)
            rest = (x, y + beyond, width, length - beyond)
        if cut["second"] is not None:
            add(cut["second"], *rest)
    return panels


def assert_followed(written: dict[str, Any], mark_mm: float) -> None:
    """Cut by cut from edge to edge, the panels that come out are the pieces and the off-cuts.

    A panel may be larger than its piece by less than half a mark: that is not cut off.
    """
    kerfs = {stock["stock"]: stock["kerf_mm"] for stock in written["stocks"]}
    for sheet in written["sheets"]:
        panels = followed(sheet, kerfs[sheet["stock"]], mark_mm)
        out = {
            one["panel"]: (one["x_mm"], one["y_mm"], one["width_mm"], one["length_mm"])
            for one in (*sheet["pieces"], *sheet["offcuts"])
        }
        assert out.keys() == panels.keys()
        for number, panel in panels.items():
            assert out[number][:2] == pytest.approx(panel[:2], abs=NOISE_MM)
            for got, side in zip(out[number][2:], panel[2:], strict=True):
                assert -NOISE_MM <= side - got <= mark_mm / 2 + NOISE_MM


def assert_totals(building: Building, written: dict[str, Any]) -> None:
    for total in written["stocks"]:
        stock = stock_of(building, total["stock"])
        assert stock
        assert total["kerf_mm"] == pytest.approx(kerf_of(building, stock.name))
        sheets = [
            sheet
            for sheet in written["sheets"]
            if (sheet["stock"], sheet["edge"]) == (total["stock"], total["edge"])
        ]
        pieces = [piece for sheet in sheets for piece in sheet["pieces"]]
        area_mm2 = face_of(stock, total["edge"]) * stock.length_mm
        assert (total["sheets"], total["pieces"]) == (len(sheets), len(pieces))
        assert total["bought_mm2"] == pytest.approx(len(sheets) * area_mm2)
        used_mm2 = sum(piece["width_mm"] * piece["length_mm"] for piece in pieces)
        assert total["used_mm2"] == pytest.approx(used_mm2, rel=1e-4)
        if total["cost"] is None:
            value, bound = len(sheets) * area_mm2, total["bound_mm2"]
            assert bound >= used_mm2 * (1 - 1e-6)  # no plan buys less than it uses
        else:
            value, bound = total["cost"], total["bound_cost"]
        assert bound <= value * (1 + 1e-9)
        assert total["gap_percent"] == pytest.approx(100 * (value / bound - 1), abs=0.01)
        if total["proven"]:
            assert total["gap_percent"] == 0


@pytest.mark.parametrize("name", [*SCENES, *FORMS])
def test_every_sheet_part_is_cut_once_and_fits(name: str) -> None:
    building, _, written = planned(name)
    assert_balanced(building, written)
    assert_followed(written, MARK_MM[building.scene.units])
    assert_totals(building, written)


@draws(2)
@given(scene=forms())
def test_drawn_scenes_balance(scene: Scene) -> None:
    building = build(scene)
    _, written = sheets_of(building)
    assert_balanced(building, written)
    assert_followed(written, MARK_MM[building.scene.units])
    assert_totals(building, written)


def test_floor_of_eight_by_six_feet() -> None:
    """One sheet of 47-1/2 x 96 in and two of 24-1/2 x 48, out of one more, end to end: two."""
    _, _, written = planned("plain")
    (floor,) = (total for total in written["stocks"] if total["stock"] == "23/32 treated plywood")
    assert (floor["pieces"], floor["sheets"], floor["proven"]) == (3, 2, True)
    sheets = [sheet for sheet in written["sheets"] if sheet["stock"] == "23/32 treated plywood"]
    cut = sorted(sorted(piece["part"] for piece in sheet["pieces"]) for sheet in sheets)
    assert cut == [["floor sheet 1"], ["floor sheet 2", "floor sheet 3"]]


def test_door_skins_and_spacers_come_out_of_the_same_sheets() -> None:
    building, _, written = planned("honey-house")
    kinds = {part.name: part.kind.value for part in building.parts}
    sheets = [sheet for sheet in written["sheets"] if sheet["stock"] == "1/2 plywood"]
    found = [{kinds[piece["part"]] for piece in sheet["pieces"]} for sheet in sheets]
    assert any("door sheet" in some and some & MAY_TURN for some in found)


def glazed(**pane: object) -> tuple[Building, dict[str, Any]]:
    """A shed of 10 x 8 ft with two panes, as [[stock.pane]] has them.

    Rough openings of 25 x 37 in, less 3/4 in of frame and 1/8 in of clearance at each side: not
    quite 23-1/4 in wide, for tape lies on the jambs, and less than 35-1/4 in high over a sill.
    """
    window = {
        "kind": "window",
        "width": "25 in",
        "height": "37 in",
        "sill": "3 ft",
        "window": {
            "kind": "fixed light",
            "pane": "my pane",
            "clearance": "1/8 in",
            "membrane": "none",
        },
    }
    scene, problems = check_scene(
        {
            "title": "Potting shed",
            "building": {"length": "10 ft", "depth": "8 ft"},
            "foundation": {"kind": "skids"},
            "floor": {},
            "stock": {"pane": [{"name": "my pane", "thickness": "4 mm", **pane}]},
            "opening": [
                {**window, "name": "left window", "wall": "front", "from_left": "1 ft"},
                {**window, "name": "right window", "wall": "front", "from_left": "6 ft"},
            ],
            "roof": {"slope": "3:12"},
        }
    )
    assert problems == []
    assert scene
    building = build(scene)
    _, written = sheets_of(building)
    assert_balanced(building, written)
    assert_followed(written, MARK_MM[building.scene.units])
    assert_totals(building, written)
    return building, written


def test_panes_of_the_honey_house_come_out_of_one_sheet() -> None:
    """Three rows of 28.21, 34.17 and 28.21 in with two kerfs, 90.84 of 96 in: one sheet.

    Panes are rough openings less 1-1/2 in of frame, 1/4 in of clearance and 1 mm of membrane at
    each jamb and the sill. In one row lie two of 22.17 in and a kerf, 44.47 of 48 in.
    """
    _, _, written = planned("honey-house")
    (total,) = (one for one in written["stocks"] if one["stock"] == "6 mm polycarbonate")
    assert (total["pieces"], total["sheets"], total["proven"]) == (4, 1, True)
    (sheet,) = (one for one in written["sheets"] if one["stock"] == "6 mm polycarbonate")
    panes = ["apiary window", "bench window", "extractor window", "garden window"]
    assert sorted(p["part"] for p in sheet["pieces"]) == [f"{name} pane" for name in panes]


@pytest.mark.parametrize(("cut", "sheets"), [("scored", 1), ("sawn", 2)])
def test_scored_panes_lose_nothing(cut: str, sheets: int) -> None:
    # Two panes 23-1/4 in wide side by side: a sheet of just 46-1/2 in has no room for a saw cut.
    _, written = glazed(density_kg_m3=2500, width="35-1/4 in", length="46-1/2 in", cut=cut)
    (total,) = (one for one in written["stocks"] if one["stock"] == "my pane")
    assert (total["pieces"], total["sheets"]) == (2, sheets)


def test_panes_without_a_sheet_are_cut_to_size() -> None:
    building, written = glazed(density_kg_m3=2500)
    assert "my pane" not in {one["stock"] for one in written["stocks"]}
    bought = buy_list(building, cut_plans(building), sheet_plans(building)).purchases
    (panes,) = (one for one in bought if one.made_of == "my pane")
    assert (panes.supplier, panes.ordered) == (Supplier.GLAZING, 2)
    assert "cut to size" in panes.how
    assert panes.size_mm == pytest.approx(_pane_mm(building))


def test_sheets_for_panes_are_bought_from_the_glazier() -> None:
    building, _ = glazed(density_kg_m3=2500, width="4 ft", length="6 ft", cut="scored")
    bought = buy_list(building, cut_plans(building), sheet_plans(building)).purchases
    (sheet,) = (one for one in bought if one.item == "my pane")
    assert (sheet.supplier, sheet.ordered) == (Supplier.GLAZING, 1)
    assert sheet.size_mm == pytest.approx((4 * 304.8, 6 * 304.8))
    wide, high = _pane_mm(building)
    assert sheet.used == pytest.approx(2 * wide * high / (48 * 72 * 25.4**2))


def _pane_mm(building: Building) -> tuple[float, float]:
    """Width and height of the panes, of one size, mm."""
    ((_, wide, high),) = {
        tuple(sorted(part.shape.size_mm)) for part in building.parts if part.kind is Kind.PANE
    }
    return wide, high


def test_scored_sheets_are_drawn_without_a_saw(tmp_path: Path) -> None:
    building, _ = glazed(density_kg_m3=2500, width="4 ft", length="6 ft", cut="scored")
    pages = cut_pages((), sheet_plans(building), building)
    write_cut_drawings(pages, building.scene, tmp_path)
    # After those of plywood and OSB.
    pages = (path.read_text(encoding="utf-8") for path in (tmp_path / "drawings").iterdir())
    (svg,) = (page for page in pages if "my pane" in page)
    assert "Score and snap" in svg
    assert "no kerf" in svg
    assert "Grain" not in svg
    assert "left window pane" in svg


def test_a_pane_larger_than_its_sheet_is_named() -> None:
    with pytest.raises(CutPlanError, match="left window pane"):
        glazed(density_kg_m3=1200, width="20 in", length="8 ft")


@pytest.mark.parametrize(
    ("per", "price", "cost"),
    # A sheet of 4 x 8 ft has 32 ft2, 2.9729 m2.
    [("piece", 44.0, 44.0), ("ft2", 1.25, 40.0), ("m2", 10.0, 29.73)],
)
def test_price_of_a_sheet(per: Per, price: float, cost: float) -> None:
    building = built("plain")
    prices = [Price(item="23/32 treated plywood", price=price, per=per)]
    scene = building.scene.model_copy(update={"price": prices})
    assert sheet_price(scene, scene.sheet_stock("23/32 treated plywood")) == pytest.approx(cost)
    floor = sheet_plans(dataclasses.replace(building, scene=scene))[0].plan
    assert floor.cost == pytest.approx(2 * cost)


def test_sheet_that_costs_nothing_is_still_counted() -> None:
    building = built("plain")
    prices = [Price(item="23/32 treated plywood", price=0.0)]
    scene = building.scene.model_copy(update={"price": prices})
    floor = sheet_plans(dataclasses.replace(building, scene=scene))[0].plan
    assert len(floor.sheets) == 2
