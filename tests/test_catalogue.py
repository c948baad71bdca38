"""The catalogue against the published tables."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from pikepole_model.errors import CatalogueError
from pikepole_model.scene.timber import Moisture
from pikepole_model.stock.catalogue import load_catalogue
from pikepole_model.stock.materials import bulk_material, sheet_material, wood, wood_density_kg_m3
from pikepole_model.stock.rows import Lumber, Sheet, Species

# 1 lb = 0.45359237 kg, 1 ft = 0.3048 m, exactly.
LB_FT3 = 0.45359237 / 0.3048**3
PSF = 0.45359237 / 0.3048**2

# Printed weights have one decimal.
PRINTED_LB_FT3 = 0.05

# AF&PA/AWC Wood Structural Design Data, 1992 revisions, "Properties of Structural Lumber": weight
# in lb/ft3. The moisture, 15 %, is not on the page; it is the one that fits all of them.
PRINTED_WEIGHTS = {
    "aspen": 26.6,
    "balsam fir": 24.6,
    "beech-birch-hickory": 46.5,
    "coast sitka spruce": 26.6,
    "cottonwood": 27.9,
    "douglas fir-larch": 33.6,
    "douglas fir-larch (north)": 33.0,
    "douglas fir-south": 31.1,
    "eastern hemlock-tamarack (north)": 31.7,
    "eastern white pine": 24.6,
    "hem-fir": 29.2,
    "hem-fir (north)": 31.1,
    "mixed oak": 44.7,
    "mixed southern pine": 34.2,
    "northern species": 24.0,
    "northern white cedar": 21.4,
    "red pine": 29.8,
    "redwood, close grain": 29.8,
    "redwood, open grain": 25.3,
    "southern pine": 36.7,
    "spruce-pine-fir": 28.5,
    "spruce-pine-fir (south)": 24.6,
    "western cedars": 24.6,
}


# kg/m3 at 12 %, as European timber handbooks print them (from memory).
PRINTED_KG_M3 = {"european redwood": 510, "european whitewood": 470}


def test_species_are_the_published_ones() -> None:
    assert set(load_catalogue().species) == set(PRINTED_WEIGHTS) | set(PRINTED_KG_M3)


@pytest.mark.parametrize("name", PRINTED_KG_M3)
def test_european_softwood_weighs_what_is_printed(name: str) -> None:
    species = load_catalogue().find_species(name)
    density = wood_density_kg_m3(species.specific_gravity, 12.0)
    assert density == pytest.approx(PRINTED_KG_M3[name], rel=0.01)  # gravity has two places


@pytest.mark.parametrize("name", PRINTED_WEIGHTS)
def test_lumber_weighs_what_is_printed(name: str) -> None:
    species = load_catalogue().find_species(name)
    weight = wood_density_kg_m3(species.specific_gravity, 15.0) / LB_FT3
    assert weight == pytest.approx(PRINTED_WEIGHTS[name], abs=PRINTED_LB_FT3 + 1e-9)


# NDS Supplement 3.1.3 worked by hand to two decimals: 62.4 x G / (1 + 0.009 G MC) x (1 + MC/100).
@pytest.mark.parametrize(
    ("name", "moisture", "lb_ft3"),
    [
        ("spruce-pine-fir", 12.0, 28.08),
        ("spruce-pine-fir", 19.0, 29.10),
        ("southern pine", 12.0, 36.28),
        ("southern pine", 19.0, 37.33),
    ],
)
def test_lumber_weighs_more_when_wetter(name: str, moisture: float, lb_ft3: float) -> None:
    species = load_catalogue().find_species(name)
    weight = wood_density_kg_m3(species.specific_gravity, moisture) / LB_FT3
    assert weight == pytest.approx(lb_ft3, abs=0.005 + 1e-9)


def test_wood_stops_swelling_at_fibre_saturation() -> None:
    # USDA Wood Handbook ch. 4: cell walls are full at about 30 %. Above it the volume
    # stays, so the density grows by the water alone: in proportion to 1 + MC.
    full, soaked = wood_density_kg_m3(0.55, 30.0), wood_density_kg_m3(0.55, 90.0)
    assert soaked / full == pytest.approx(1.90 / 1.30)


# Treated southern pine, pounds, as published, by breadth and depth in inches and length in feet.
# The trade's charts and texts, no standard. Common: an engineering chart of pounds a foot (4x4,
# 2x10, 2x12), consumer texts for the others. Just treated: a weights chart of longleaf pine, 2022.
@pytest.mark.parametrize(
    ("inches", "feet", "common"),
    [
        ((3.5, 3.5), 1, 4.8),
        ((1.5, 9.25), 1, 5.5),
        ((1.5, 11.25), 1, 6.6),
        ((1.5, 3.5), 8, 17.0),
        ((1.5, 5.5), 12, 38.0),
        ((1.5, 5.5), 12, 40.0),
    ],
)
def test_treated_lumber_likely_weighs_what_common_charts_say(
    inches: tuple[float, float], feet: float, common: float
) -> None:
    _, likely, _ = treated_pounds(inches, feet)
    assert likely == pytest.approx(common, rel=CHARTS)


@pytest.mark.parametrize(
    ("inches", "feet", "fresh"),
    [((1.5, 9.25), 1, 7.03), ((1.5, 11.25), 1, 8.54), ((5.5, 5.5), 10, 153.0)],
)
def test_treated_lumber_at_most_weighs_what_it_does_just_treated(
    inches: tuple[float, float], feet: float, fresh: float
) -> None:
    _, _, high = treated_pounds(inches, feet)
    assert high == pytest.approx(fresh, rel=0.005)


def test_treated_lumber_dried_is_within_the_default_moisture() -> None:
    # The same chart, dried: a 6x6 10 ft long, 87 lb.
    low, likely, _ = treated_pounds((5.5, 5.5), 10)
    assert low < 87 < likely


def test_the_wettest_treated_lumber_has_its_pores_full() -> None:
    # USDA Wood Handbook ch. 4, equation 4-3: 100 (1.54 - G) / (1.54 G), G of wood at its wettest.
    g = 0.55 / (1 + 0.009 * 0.55 * 30)
    assert Moisture().treated.high == pytest.approx(100 * (1.54 - g) / (1.54 * g), abs=0.5)


# Charts differ by so much for one section: 38 or 40 lb.
CHARTS = 0.05


def treated_pounds(inches: tuple[float, float], feet: float) -> tuple[float, float, float]:
    species = load_catalogue().find_species("southern pine")
    material = wood(species, Moisture().treated.percent, treated=True)
    assert material.name == "southern pine, treated"
    volume_m3 = math.prod(inches) * 12 * feet * 0.0254**3
    low, likely, high = (volume_m3 * density / 0.45359237 for density in material.density_kg_m3)
    return low, likely, high


# APA panel weight table, psf; 3/8, 5/8, 23/32 and 3/4 from memory.
@pytest.mark.parametrize(
    ("name", "inches", "psf"),
    [
        ("7/16 OSB", 7 / 16, 1.4),
        ("15/32 plywood", 15 / 32, 1.4),
        ("15/32 OSB", 15 / 32, 1.5),
        ("1/2 plywood", 1 / 2, 1.5),
        ("1/2 OSB", 1 / 2, 1.7),
        ("19/32 plywood", 19 / 32, 1.8),
        ("19/32 OSB", 19 / 32, 2.0),
        ("3/8 plywood", 3 / 8, 1.1),
        ("3/8 OSB", 3 / 8, 1.2),
        ("5/8 plywood", 5 / 8, 1.9),
        ("5/8 OSB", 5 / 8, 2.2),
        ("3/4 plywood", 3 / 4, 2.3),
        ("3/4 OSB", 3 / 4, 2.6),
        ("23/32 plywood", 23 / 32, 2.2),
        ("23/32 OSB", 23 / 32, 2.5),
    ],
)
def test_sheets_weigh_what_is_printed(name: str, inches: float, psf: float) -> None:
    sheet = load_catalogue().find_sheet(name)
    assert sheet.thickness_mm == pytest.approx(inches * 25.4)
    # 4 ft by 8 ft (PS 1 / PS 2).
    assert (sheet.width_mm, sheet.length_mm) == pytest.approx((1219.2, 2438.4))
    dry, _, wet = sheet_material(sheet, (10.0, 10.0, 21.0)).density_kg_m3
    assert dry * sheet.thickness_mm / 1000 / PSF == pytest.approx(psf)
    # Assumed: printed at 10 % moisture. A tenth more water on 1.10 of wood and water.
    assert wet / dry == pytest.approx(1.21 / 1.10)


def test_metric_sheets_weigh_what_the_eurocode_says() -> None:
    # EN 1991-1-1:2002 Table A.3 (from memory): softwood plywood 5.0, OSB 7.0 kN/m3; g 9.80665 m/s2.
    catalogue = load_catalogue()
    plywood = catalogue.find_sheet("18 mm plywood 1220x2440")
    board = catalogue.find_sheet("11 mm OSB/3 1250x2500")
    assert plywood.density_kg_m3 == pytest.approx(5000 / 9.80665)
    assert board.density_kg_m3 == pytest.approx(7000 / 9.80665)
    assert (plywood.thickness_mm, plywood.width_mm, plywood.length_mm) == (18.0, 1220.0, 2440.0)
    assert (board.thickness_mm, board.width_mm, board.length_mm) == (11.0, 1250.0, 2500.0)


# PS 20 board and dimension tables; NDS Supplement Tables 1A and 1B. Inches.
DRESSED = {
    **{
        f"1x{k}": (0.75, w)
        for k, w in {2: 1.5, 3: 2.5, 4: 3.5, 6: 5.5, 8: 7.25, 10: 9.25, 12: 11.25}.items()
    },
    **{f"2x{k}": (1.5, w) for k, w in {4: 3.5, 6: 5.5, 8: 7.25, 10: 9.25, 12: 11.25}.items()},
    **{f"4x{k}": (3.5, w) for k, w in {4: 3.5, 6: 5.5, 8: 7.25, 10: 9.25}.items()},
    "6x6": (5.5, 5.5),
    # Dressed green (from memory); dry-surfaced tables print 7-1/4 for the 8 in face.
    "6x8": (5.5, 7.5),
    "8x8": (7.5, 7.5),
}


@pytest.mark.parametrize("name", DRESSED)
def test_lumber_is_at_dressed_size(name: str) -> None:
    section = load_catalogue().find_lumber(name)
    assert (section.breadth_mm / 25.4, section.depth_mm / 25.4) == pytest.approx(DRESSED[name])


def test_dressed_sizes_round_to_the_printed_millimetres() -> None:
    # Lumber tables print 38, 89, 140, 184, 235 and 286 mm.
    catalogue = load_catalogue()
    depths = [catalogue.find_lumber(f"2x{k}").depth_mm for k in (4, 6, 8, 10, 12)]
    assert [round(depth) for depth in depths] == [89, 140, 184, 235, 286]
    assert round(catalogue.find_lumber("2x4").breadth_mm) == 38


@pytest.mark.parametrize(
    ("name", "size_mm"),
    # BS EN 336 UK National Annex (from memory).
    [("CLS 38x63", (38, 63)), ("CLS 38x285", (38, 285)), ("C24 47x145", (47, 145))],
)
def test_metric_sections(name: str, size_mm: tuple[float, float]) -> None:
    section = load_catalogue().find_lumber(name)
    assert (section.breadth_mm, section.depth_mm) == size_mm
    assert (section.lengths_mm[0], section.longest_mm) == (2400.0, 6000.0)


def test_the_longest_dimension_lumber_is_24_ft() -> None:
    # 8 to 24 ft in 2 ft steps, pre-cut studs 92-5/8 in: common practice, no source.
    section = load_catalogue().find_lumber("2x4")
    assert section.longest_mm == pytest.approx(24 * 304.8)
    assert section.lengths_mm[:2] == pytest.approx((8 * 304.8, 10 * 304.8))
    assert section.studs_mm[0] == pytest.approx(92.625 * 25.4)


@pytest.mark.parametrize(
    ("longest_mm", "longest_ft", "run_ft"), [(None, 20, 16), (24 * 304.8, 24, 24), (3000.0, 8, 8)]
)
def test_yards_stock_16_ft_and_20_ft_of_what_has_to_be_whole(
    longest_mm: float | None, longest_ft: int, run_ft: int
) -> None:
    # Common practice, no source; a scene that says its own longest gets that.
    section = load_catalogue().find_lumber("2x4").as_bought(longest_mm, 12.7)
    assert section.longest_mm == pytest.approx(longest_ft * 304.8 - 25.4)
    assert section.longest_of_mm(40 * 304.8) == pytest.approx(run_ft * 304.8 - 25.4)
    # A run as long as a common board is one piece where a longer board gives it.
    whole = run_ft < longest_ft
    assert section.longest_of_mm(run_ft * 304.8) == pytest.approx(
        run_ft * 304.8 - (0.0 if whole else 25.4)
    )


def test_bulk_materials() -> None:
    catalogue = load_catalogue()
    low, _, high = bulk_material(catalogue.find_bulk("concrete")).density_kg_m3
    # HUD Residential Structural Design Guide, 2nd ed.: 145 to 150 lb/ft3.
    assert (low / LB_FT3, high / LB_FT3) == pytest.approx((145, 150))
    # Same guide: gravel, dry, 105 lb/ft3.
    assert catalogue.find_bulk("gravel").density_kg_m3[1] / LB_FT3 == pytest.approx(105)
    # Steel 7850 kg/m3 (ASTM A6), 490 lb/ft3 in the AISC manual: the same to 1 kg/m3.
    assert catalogue.find_bulk("steel").density_kg_m3[1] == pytest.approx(7850, abs=1)


def test_every_row_has_a_source_and_its_own_name() -> None:
    catalogue = load_catalogue()
    for rows in (catalogue.lumber, catalogue.sheets, catalogue.species, catalogue.bulk):
        assert rows
        for name, row in rows.items():
            assert row.name == name
            assert len(row.source) > 5


def test_a_miss_gives_the_nearest_names() -> None:
    catalogue = load_catalogue()
    with pytest.raises(CatalogueError, match='"2 x 4"; the nearest are "2x4"'):
        catalogue.find_lumber("2 x 4")
    with pytest.raises(CatalogueError, match='"7/16 OSB"'):
        catalogue.find_sheet("7/16 osb")
    with pytest.raises(CatalogueError, match='"southern pine"'):
        catalogue.find_species("Southern Pine")
    with pytest.raises(CatalogueError, match='"concrete"'):
        catalogue.find_bulk("zzz")


LARCH = Species("larch", 0.53, "a test")
BATTEN = Lumber("batten", 25.0, 50.0, (2400.0, 4800.0), "a test")
BOARD = Sheet("board", 12.0, 600.0, 2400.0, 700.0, "a test")


def test_own_rows_join_the_catalogue_and_leave_it_as_it_was() -> None:
    extended = load_catalogue().extended(lumber=(BATTEN,), sheets=(BOARD,), species=(LARCH,))
    assert extended.find_lumber("batten").longest_mm == 4800.0
    assert extended.find_sheet("board") is BOARD
    assert extended.find_species("larch") is LARCH
    assert extended.find_lumber("2x4") is load_catalogue().find_lumber("2x4")
    assert "batten" not in load_catalogue().lumber


@pytest.mark.parametrize(
    "row",
    [
        replace(BATTEN, name="2x4"),
        replace(BATTEN, name=" "),
        replace(BATTEN, source=""),
        replace(BATTEN, breadth_mm=0.0),
        replace(BATTEN, breadth_mm=60.0),
        replace(BATTEN, depth_mm=float("nan")),
        replace(BATTEN, lengths_mm=()),
        replace(BATTEN, lengths_mm=(4800.0, 2400.0)),
        replace(BATTEN, lengths_mm=(-1.0, 2400.0)),
    ],
)
def test_a_bad_row_is_refused(row: Lumber) -> None:
    with pytest.raises(CatalogueError):
        load_catalogue().extended(lumber=(row,))


def test_a_bad_sheet_or_species_is_refused() -> None:
    with pytest.raises(CatalogueError):
        load_catalogue().extended(sheets=(replace(BOARD, density_kg_m3=0.0),))
    with pytest.raises(CatalogueError):
        load_catalogue().extended(sheets=(replace(BOARD, width_mm=3000.0),))
    with pytest.raises(CatalogueError):
        load_catalogue().extended(species=(replace(LARCH, specific_gravity=1.6),))


# Cross-section of a wire in 0.01 in2, which the name of a wire gives: ASTM A1064, Table 1.
@pytest.mark.parametrize(("name", "area"), [("W1.4", 1.4), ("W2.1", 2.1), ("W2.9", 2.9)])
def test_wires_are_as_thick_as_their_name_says(name: str, area: float) -> None:
    mesh = load_catalogue().find_mesh(f"6x6 {name} mesh")
    assert 100 * math.pi / 4 * (mesh.wire_mm / 25.4) ** 2 == pytest.approx(area, rel=0.01)
    assert mesh.square_mm == pytest.approx(6 * 25.4)


# Steel in one direction, mm2 per metre, which the name of a fabric gives: BS 4483:2005, Table A.1.
@pytest.mark.parametrize(("name", "area"), [("A142 mesh", 142), ("A193 mesh", 193)])
def test_fabrics_have_as_much_steel_as_their_name_says(name: str, area: int) -> None:
    mesh = load_catalogue().find_mesh(name)
    wires = 1000 / mesh.square_mm
    # The name is rounded up from 141.4 and 192.4.
    assert wires * math.pi / 4 * mesh.wire_mm**2 == pytest.approx(area, abs=0.7)


# ASTM A615, Table 1: the number of a bar is its diameter in eighths of an inch.
@pytest.mark.parametrize("number", [3, 4, 5])
def test_bars_are_eighths_of_an_inch(number: int) -> None:
    bar = load_catalogue().find_bar(f"No. {number} bar")
    assert bar.diameter_mm == pytest.approx(number / 8 * 25.4)
