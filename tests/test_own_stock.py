"""A scene's own rows of stock, in each table there is, and rows that stand for a sort of thing."""

from __future__ import annotations

from math import hypot
from typing import Any

import pytest

from measuring import INCH, of_kind
from mended import follow, ways
from pikepole_export.derive.buying.schedule import panel_screws, screw_rows
from pikepole_export.derive.findings import findings
from pikepole_export.derive.inventory.mass import part_mass
from pikepole_model.build import build
from pikepole_model.building.contact import find_contacts
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.reading.file import check_scene
from test_buy_list import listed
from test_scene_mends import on_pad, plain

OWN: dict[str, dict[str, Any]] = {
    "lumber": {"breadth": "1 in", "depth": "6 in", "lengths": ["12 ft"]},
    "sheet": {
        "thickness": "10 mm",
        "width": "1200 mm",
        "length": "2400 mm",
        "density_kg_m3": 600,
    },
    "species": {"specific_gravity": 0.45},
    "roll": {
        "uses": ["house wrap", "roof underlayment"],
        "width": "5 ft",
        "length": "100 ft",
        "lap": "6 in",
        "end_lap": "6 in",
        "mass_g_m2": 90,
    },
    "panel": {
        "cover": "30 in",
        "pitch": "10 in",
        "rib_height": "1 in",
        "rib_top": "1 in",
        "rib_bottom": "2 in",
        "thickness": "0.7 mm",
        "mass_kg_m2": 1.89,
    },
    "flat": {"thickness": "0.7 mm", "mass_kg_m2": 1.89, "length": "8 ft", "lap": "2 in"},
    "pane": {"thickness": "4 mm", "density_kg_m3": 2500},
    "window": {"mass_kg_m2": 20},
    "mesh": {"square": "200 mm", "wire": "5 mm", "width": "2 m", "length": "3 m"},
    "bar": {"diameter": "8 mm", "length": "6 m"},
}


def own_name(kind: str) -> str:
    return f"own {kind}"


def used() -> dict[str, Any]:
    """A store on a pad that uses a row of its own wherever a scene names stock."""
    one = {"kind": "window", "wall": "back", "width": "2 ft", "height": "2 ft", "sill": "3 ft"}
    unit = {"kind": "unit", "glazing": own_name("window")}
    light = {"kind": "fixed light", "pane": own_name("pane")}
    doorway = {"name": "doorway", "kind": "door", "wall": "front", "at": "middle"}
    return on_pad(
        "12 ft",
        stock={kind: [{"name": own_name(kind), **row}] for kind, row in OWN.items()},
        lumber={"species": own_name("species")},
        walls={"sheet": own_name("sheet")},
        wrap={"roll": own_name("roll")},
        roofing={"underlayment": own_name("roll"), "panel": own_name("panel"), "sealed": True},
        edges={"metal": own_name("flat"), "barge": own_name("lumber")},
        concrete={"mesh": own_name("mesh"), "edge_bars": 1, "edge_bar": own_name("bar")},
    ) | {
        "opening": [
            {"name": "bought", "from_left": "1 ft", "window": unit, **one},
            {"name": "made", "from_right": "1 ft", "window": light, **one},
            {**doorway, "width": "30 in", "height": "5 ft"},
        ]
    }


def built(table: dict[str, Any]) -> Building:
    scene, problems = check_scene(table)
    assert not problems
    assert scene
    building = build(scene)
    assert not findings(building, find_contacts(building.parts))
    return building


def test_every_table_is_open_to_rows_of_the_scene() -> None:
    building = built(used())
    assert set(building.scene.stock.tables) == set(OWN)
    stocks = {part.stock for part in building.parts}
    for kind in ("lumber", "sheet", "roll", "panel", "flat", "pane"):
        assert own_name(kind) in stocks, kind
    (window,) = of_kind(building, Kind.WINDOW_UNIT)
    # 24 x 24 in less 1/4 in all round.
    area_m2 = (23.5 * INCH / 1000) ** 2
    assert part_mass(window).likely_kg == pytest.approx(20 * area_m2, rel=0.01)


def test_what_is_ordered_goes_by_rows_of_the_scene() -> None:
    _, order = listed(built(used()).scene)
    told = {(one.item, one.made_of) for one in order.purchases}
    for kind in OWN:
        assert any(own_name(kind) in one for one in told), kind


def test_an_own_panel_is_laid_and_weighed_by_its_sizes() -> None:
    # Barge boards of 1 in make the roof of 144 in 146 in long: four panels of 30 in leave 26 in and
    # the half of a rib, so there are five.
    panels = of_kind(built(used()), Kind.PANEL)
    assert len(panels) == 5
    # A rib takes 1 in over its top and two legs 1 in high that lean 1/2 in. A whole panel has four,
    # the first over the last one of the panel before it, and three flats of 10 in less the 2 in of
    # a rib's foot.
    girth = (3 * (10 - 2) + 4 * (1 + 2 * hypot(1, 0.5))) * INCH
    whole = panels[1]
    expected = girth * whole.length_mm / 1e6 * 1.89
    assert part_mass(whole).likely_kg == pytest.approx(expected, rel=0.005)


def test_every_third_corrugation_is_screwed() -> None:
    # 12 ft and two 3/4 in barge boards are 145-1/2 in: six panels of nine corrugations in 24 in
    # leave 1-1/2 in, which is none. The first of each and every third between: three.
    table = on_pad("12 ft", roofing={"panel": "corrugated steel 29 ga", "sealed": True}, edges={})
    panels = of_kind(built(table), Kind.PANEL)
    assert len(panels) == 6
    rows = len(screw_rows(panels[0].length_mm))
    assert panel_screws(panels[1]) == 3 * (2 * 2 + rows - 2)


@pytest.mark.parametrize("panel", ["ribbed steel 200 mm 0.5 mm", "corrugated bitumen 62 mm"])
def test_other_profiles_lie_clean_on_a_gable(panel: str) -> None:
    ridge = {"kind": "board"}
    roof = {"slope": "5:12", "rake_overhang": "1 ft", "eave_overhang": "1 ft", "ridge": ridge}
    roofing = {"panel": panel, "underlayment": "synthetic underlayment 42 in"}
    assert of_kind(built(plain(roof=roof, roofing=roofing, edges={})), Kind.PANEL)


SWAPPED: dict[str, dict[str, Any]] = {
    "sheet": {"width": "3 m"},
    "roll": {"lap": "30 in", "width": "20 in"},
    "panel": {"rib_bottom": "11 in"},
    "flat": {"lap": "1 m", "length": "30 in"},
    "pane": {"width": "3 m", "length": "2 m"},
    "mesh": {"wire": "300 mm"},
    "bar": {"length": "7 mm"},
}


@pytest.mark.parametrize("kind", SWAPPED)
def test_sizes_out_of_order_are_refused_at_their_table(kind: str) -> None:
    row = {"name": own_name(kind), **OWN[kind], **SWAPPED[kind]}
    (problem,) = check_scene(plain(stock={kind: [row]}))[1]
    assert problem.key == f"stock.{kind}[1]"
    assert problem.mend


@pytest.mark.parametrize(
    ("sizes", "mend"),
    [({"cover": "32 in"}, "762 mm"), ({"rib_height": "2 mm"}, "three times the thickness")],
)
def test_a_panel_whose_sheets_could_not_lap_is_refused(sizes: dict[str, str], mend: str) -> None:
    row = {"name": "tin", **OWN["panel"], **sizes}
    (problem,) = check_scene(plain(stock={"panel": [row]}))[1]
    assert mend in problem.mend


TAKEN = {
    "roll": "No. 30 felt",
    "panel": "ribbed steel 9 in 29 ga",
    "flat": "flat steel 29 ga",
    "window": "double glazed",
    "mesh": "A142 mesh",
    "bar": "No. 4 bar",
}


@pytest.mark.parametrize("kind", TAKEN)
def test_a_name_that_is_taken_is_refused_with_another(kind: str) -> None:
    scene = plain(stock={kind: [{"name": TAKEN[kind], **OWN[kind]}]})
    (problem,) = check_scene(scene)[1]
    key = f"stock.{kind}[1].name"
    assert problem.key == key
    ((where, value),) = ways(problem.mend, key)
    assert not check_scene(follow(scene, where, value))[1]


def test_a_roll_serves_as_what_it_says_only() -> None:
    row = {"name": "paper", **OWN["roll"], "uses": ["house wrap"]}
    scene = plain(stock={"roll": [row]}, wrap={"roll": "paper"}, roofing={"underlayment": "paper"})
    (problem,) = check_scene(scene)[1]
    assert problem.key == "roofing.underlayment"
    assert "or add the table [[stock.roll]]" in problem.mend
