"""Sheets of a building: every part cut once, nothing on top of anything, cuts followed through.

What is checked is read from sheets.json and worked out anew from the parts, the saw and the
catalogue. There is no published plan for our own scenes: bounds are sums of areas.
"""

from __future__ import annotations

import dataclasses
from collections import Counter
from functools import cache
from itertools import combinations
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from conftest import FORMS, SCENES
from pikepole_export.derive.cutting.sheets import StockPlan, sheet_plans, sheet_price
from pikepole_model.build import build
from pikepole_model.part import Building
from pikepole_model.scene.buying import Per, Price
from pikepole_model.scene.schema import Scene
from planned import built, hurried, sheets_of
from strategies import forms

SLOW = (HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large)
NOISE_MM = 1e-2
MAY_TURN = {"header spacer", "beam spacer"}


@cache
def planned(name: str) -> tuple[Building, tuple[StockPlan, ...], dict[str, Any]]:
    building = hurried(built(name))
    return building, *sheets_of(building)


def assert_balanced(building: Building, written: dict[str, Any]) -> None:
    """Each part of a sheet once, its grain along its sheet's, clear of all others by a cut."""
    flat = {p.name: p for p in building.parts if p.stock in building.scene.catalogue.sheets}
    cut = [piece["part"] for sheet in written["sheets"] for piece in sheet["pieces"]]
    assert Counter(cut) == Counter(list(flat))
    kerf_mm = building.scene.cutting.kerf
    for sheet in written["sheets"]:
        stock = building.scene.sheet_stock(sheet["stock"])
        assert (sheet["width_mm"], sheet["length_mm"]) == (stock.width_mm, stock.length_mm)
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
            assert piece["x_mm"] + piece["width_mm"] <= stock.width_mm + NOISE_MM
            assert piece["y_mm"] + piece["length_mm"] <= stock.length_mm + NOISE_MM
        for a, b in combinations(sheet["pieces"], 2):
            clear = (
                max(a[at] - b[at] - b[side], b[at] - a[at] - a[side])
                for at, side in (("x_mm", "width_mm"), ("y_mm", "length_mm"))
            )
            assert max(clear) >= kerf_mm - NOISE_MM


def assert_followed(written: dict[str, Any]) -> None:
    """Cut by cut from edge to edge, the panels that come out are the pieces and the off-cuts."""
    kerf_mm = written["kerf_mm"]
    for sheet in written["sheets"]:
        panels = {1: (0.0, 0.0, sheet["width_mm"], sheet["length_mm"])}
        assert [cut["number"] for cut in sheet["cuts"]] == [*range(1, len(sheet["cuts"]) + 1)]
        for cut in sheet["cuts"]:
            x, y, width, length = panels.pop(cut["panel"])
            at, beyond = cut["at_mm"], cut["at_mm"] + kerf_mm
            if cut["divides"] == "width":
                panels[cut["first"]] = (x, y, at, length)
                rest = (x + beyond, y, width - beyond, length)
            else:
                panels[cut["first"]] = (x, y, width, at)
                rest = (x, y + beyond, width, length - beyond)
            if cut["second"] is not None:
                panels[cut["second"]] = rest
        out = {
            one["panel"]: (one["x_mm"], one["y_mm"], one["width_mm"], one["length_mm"])
            for one in (*sheet["pieces"], *sheet["offcuts"])
        }
        assert out.keys() == panels.keys()
        for number, panel in panels.items():
            assert out[number] == pytest.approx(panel, abs=NOISE_MM)


def assert_totals(building: Building, written: dict[str, Any]) -> None:
    for total in written["stocks"]:
        stock = building.scene.sheet_stock(total["stock"])
        sheets = [sheet for sheet in written["sheets"] if sheet["stock"] == total["stock"]]
        pieces = [piece for sheet in sheets for piece in sheet["pieces"]]
        area_mm2 = stock.width_mm * stock.length_mm
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
    assert_followed(written)
    assert_totals(building, written)


@settings(max_examples=4, deadline=None, suppress_health_check=SLOW)
@given(scene=forms())
def test_drawn_scenes_balance(scene: Scene) -> None:
    building = hurried(build(scene))
    _, written = sheets_of(building)
    assert_balanced(building, written)
    assert_followed(written)
    assert_totals(building, written)


def test_floor_of_eight_by_six_feet() -> None:
    """One sheet of 4 x 8 ft and two of 2 x 4 ft, which come out of one more sheet: two."""
    _, _, written = planned("plain")
    (floor,) = (total for total in written["stocks"] if total["stock"] == "23/32 plywood")
    assert (floor["pieces"], floor["sheets"], floor["proven"]) == (3, 2, True)
    (whole, parted) = (s for s in written["sheets"] if s["stock"] == "23/32 plywood")
    assert [piece["part"] for piece in whole["pieces"]] == ["floor sheet 1"]
    assert [piece["part"] for piece in parted["pieces"]] == ["floor sheet 2", "floor sheet 3"]


def test_door_skins_and_spacers_come_out_of_the_same_sheets() -> None:
    building, _, written = planned("honey-house")
    kinds = {part.name: part.kind.value for part in building.parts}
    sheets = [sheet for sheet in written["sheets"] if sheet["stock"] == "1/2 plywood"]
    found = [{kinds[piece["part"]] for piece in sheet["pieces"]} for sheet in sheets]
    assert any("door sheet" in some and some & MAY_TURN for some in found)


def test_panes_come_in_no_sheet() -> None:
    _, plans, written = planned("honey-house")
    assert "6 mm polycarbonate" not in {plan.stock.name for plan in plans}
    assert not any("pane" in p["part"] for sheet in written["sheets"] for p in sheet["pieces"])


@pytest.mark.parametrize(
    ("per", "price", "cost"),
    # A sheet of 4 x 8 ft has 32 ft2, 2.9729 m2.
    [("piece", 44.0, 44.0), ("ft2", 1.25, 40.0), ("m2", 10.0, 29.73)],
)
def test_price_of_a_sheet(per: Per, price: float, cost: float) -> None:
    building = hurried(built("plain"))
    prices = [Price(item="23/32 plywood", price=price, per=per)]
    scene = building.scene.model_copy(update={"price": prices})
    assert sheet_price(scene, scene.sheet_stock("23/32 plywood")) == pytest.approx(cost)
    floor = sheet_plans(dataclasses.replace(building, scene=scene))[0].plan
    assert floor.cost == pytest.approx(2 * cost)


def test_sheet_that_costs_nothing_is_still_counted() -> None:
    building = hurried(built("plain"))
    prices = [Price(item="23/32 plywood", price=0.0)]
    scene = building.scene.model_copy(update={"price": prices})
    floor = sheet_plans(dataclasses.replace(building, scene=scene))[0].plan
    assert len(floor.sheets) == 2
