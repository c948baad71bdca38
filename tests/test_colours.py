from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from pikepole_export.graphics.colours import SHEATHED, STEPS, Look, part_colour, part_look
from pikepole_model.building.kinds import Kind
from pikepole_model.scene.own_stock import OwnSheet
from pikepole_model.stock.catalogue import load_catalogue
from pikepole_model.stock.materials import sheet_material
from samples import sample_building


def lightness(look: Look) -> float:
    # CIE 1976 L* of the luminance of a colour with the Rec. 709 primaries (CIE 15, ITU-R BT.709):
    # Y = 0.2126 R + 0.7152 G + 0.0722 B in linear light, L* = 116 Y^(1/3) - 16 for Y > 0.008856.
    red, green, blue = look.linear
    return 116 * (0.2126 * red + 0.7152 * green + 0.0722 * blue) ** (1 / 3) - 16


def test_looks_stay_apart_in_grey() -> None:
    # Common practice, no source: a step of 8 in L* is told apart without a key.
    for steps in (STEPS, SHEATHED):
        light = [lightness(look) for look in steps]
        assert all(a - b > 8 for a, b in pairwise(light))


@pytest.mark.parametrize(
    ("value", "linear"),
    # IEC 61966-2-1: the ends, either side of the break, and half, 0.2140.
    [(0.0, 0.0), (0.04, 0.04 / 12.92), (0.05, 0.003936), (0.5, 0.214041), (1.0, 1.0)],
)
def test_linear_light(value: float, linear: float) -> None:
    assert Look("", (value, value, value), 1.0).linear == pytest.approx((linear,) * 3, abs=1e-6)


def test_a_part_looks_like_what_it_is_made_of() -> None:
    looks = {part.name: part_look(part).name for part in sample_building().parts}
    assert looks["footing 1"] == "concrete"
    assert looks["anchor bolt 2"] == "steel"
    assert looks["front rim"] == "treated lumber"
    assert looks["back wall bottom plate"] == "treated lumber"
    assert looks["back wall top plate"] == "lumber"
    assert looks["floor sheet 1"] == "plywood"
    assert all(part_colour(part) == part_look(part).colour for part in sample_building().parts)


@pytest.mark.parametrize(
    ("name", "kind", "look"),
    [
        ("7/16 OSB", Kind.WALL_SHEET, "OSB"),
        ("19/32 plywood", Kind.WALL_SHEET, "plywood"),
        ("18 mm OSB/3 1250x2500", Kind.ROOF_SHEET, "OSB"),
        ("18 mm plywood 1220x2440", Kind.ROOF_SHEET, "plywood"),
        # What stays in sight has its own look, whatever it is made of.
        ("19/32 plywood", Kind.STRIP, "siding sheet"),
    ],
)
def test_a_sheet_looks_like_what_it_is_made_of(name: str, kind: Kind, look: str) -> None:
    made = sheet_material(load_catalogue().find_sheet(name), (10.0, 10.0, 10.0))
    sheet = next(part for part in sample_building().parts if part.kind is Kind.FLOOR_SHEET)
    assert part_look(replace(sheet, kind=kind, material=made)).name == look


def test_a_sheet_of_ones_own_says_what_it_is_made_of() -> None:
    own = {"name": "own", "thickness": "12 mm", "width": "1.2 m", "length": "2.4 m"}
    own |= {"density_kg_m3": 700}
    sheets = [OwnSheet.model_validate(own | more).row() for more in ({}, {"made": "OSB"})]
    assert [sheet.made for sheet in sheets] == ["other", "OSB"]
