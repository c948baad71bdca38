"""What the scale says of a piece goes for its delivery, checked against densities by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from draws import draws
from fodder import read, refused
from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.inventory.parts import part_rows
from pikepole_export.derive.inventory.weights import weights
from pikepole_export.derive.lifting.cautions import cautions_of
from pikepole_export.derive.lifting.plan import lift_plan
from pikepole_export.view import describe
from pikepole_export.write.pictures.captions import captions
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.building.weighing import calibrated, weighed_texts
from pikepole_model.errors import Problem, SceneError
from pikepole_model.stock.catalogue import load_catalogue
from pikepole_model.stock.materials import (
    panel_moisture_percent,
    sheet_material,
    wood_density_kg_m3,
    wood_moisture_percent,
)

LB = 0.45359237
PLAIN = build(read())


def weighed(*tables: dict[str, Any], **more: Any) -> Building:
    """The fodder store with pieces on the scale; only what they weigh is other than before."""
    scene = read(weighed=list(tables), **more)
    plain = PLAIN if not more else build(read(**more))
    parts = calibrated(plain.parts, scene)
    stages = tuple(
        replace(stage, parts=tuple(part for part in parts if part.stage == stage.number))
        for stage in plain.stages
    )
    return Building(scene, parts, plain.joints, stages)


def problem(*tables: dict[str, Any], **more: Any) -> Problem:
    with pytest.raises(SceneError) as found:
        weighed(*tables, **more)
    (one,) = found.value.problems
    return one


def of(building: Building, kind: Kind) -> Part:
    return next(part for part in building.parts if part.kind == kind)


@pytest.mark.parametrize("specific_gravity", [0.31, 0.42, 0.55, 0.68])
@pytest.mark.parametrize("moisture", [0.0, 12.0, 19.0, 30.0, 60.0, 144.0])
def test_moisture_is_read_back_from_the_density(specific_gravity: float, moisture: float) -> None:
    density = wood_density_kg_m3(specific_gravity, moisture)
    assert wood_moisture_percent(specific_gravity, density) == pytest.approx(moisture, abs=1e-9)


def test_the_moisture_of_a_sheet_is_read_back() -> None:
    sheet = load_catalogue().find_sheet("7/16 OSB")
    for density, moisture in zip(
        sheet_material(sheet, (8.0, 12.0, 30.0)).density_kg_m3, (8.0, 12.0, 30.0), strict=True
    ):
        assert panel_moisture_percent(sheet, density) == pytest.approx(moisture)


def test_a_treated_board_of_38_pounds_and_a_half_is_at_88_percent() -> None:
    # Treated southern pine at 56 lb/ft3, as common charts have it: a 2x6 of 12 ft has 0.6875 ft3
    # and weighs 38.5 lb. By NDS Supplement 3.1.3: 56 / (62.4 x 0.55 / (1 + 0.009 x 0.55 x 30)) - 1.
    building = weighed({"section": "2x6", "length": "12 ft", "treated": True, "mass": "38.5 lb"})
    joist = of(building, Kind.JOIST)
    low, likely, high = joist.material.density_kg_m3
    assert likely == pytest.approx(56 * LB / 0.3048**3)
    # A tenth up and down: USDA Wood Handbook ch. 5, from memory.
    assert (low / likely, high / likely) == pytest.approx((0.9, 1.1))
    (text,) = weighed_texts(building)
    percent = 100 * (56 / (62.4 * 0.55 / (1 + 0.009 * 0.55 * 30)) - 1)
    assert f"{percent:.0f} % moisture" in text
    assert "38.5 lb" in text


def test_what_is_of_another_delivery_stays_as_it_was() -> None:
    building = weighed({"section": "2x6", "length": "12 ft", "treated": True, "mass": "38.5 lb"})
    for part, before in zip(building.parts, PLAIN.parts, strict=True):
        same = part.stock == "2x6" and part.material.treated
        assert (part.material == before.material) != same
        assert part.material.told == before.material.name + (", weighed" if same else "")


def test_a_piece_by_its_name_weighs_what_the_scale_says() -> None:
    rafter = of(PLAIN, Kind.RAFTER)
    mass_kg = part_mass(rafter).likely_kg * 1.02
    building = weighed({"part": rafter.name, "mass": f"{mass_kg:.6f} kg"})
    assert part_mass(of(building, Kind.RAFTER)).likely_kg == pytest.approx(mass_kg)


def test_two_readings_of_one_delivery_count_together() -> None:
    board = {"section": "2x6", "length": "10 ft", "treated": True}
    building = weighed({**board, "mass": "30 lb"}, {**board, "mass": "36 lb"})
    low, likely, high = of(building, Kind.JOIST).material.density_kg_m3
    assert (low / likely, high / likely) == pytest.approx((0.9 * 30 / 33, 1.1 * 36 / 33))


@draws(40)
@given(st.sampled_from([part.name for part in PLAIN.parts if part.section_mm]), st.floats(0, 1))
def test_a_calibrated_mass_lies_within_the_former_range(name: str, share: float) -> None:
    before = {part.name: part_mass(part) for part in PLAIN.parts}
    one = before[name]
    mass_kg = one.low_kg + share * (one.high_kg - one.low_kg)
    building = weighed({"part": name, "mass": f"{mass_kg:.9f} kg"})
    for part in building.parts:
        mass, former = part_mass(part), before[part.name]
        assert former.low_kg <= mass.low_kg * (1 + 1e-12)
        assert mass.low_kg <= mass.likely_kg * (1 + 1e-12)
        assert mass.likely_kg <= mass.high_kg * (1 + 1e-12)
        assert mass.high_kg <= former.high_kg * (1 + 1e-12)


def test_what_was_weighed_is_said_where_masses_are() -> None:
    building = weighed({"section": "2x6", "length": "12 ft", "treated": True, "mass": "38.5 lb"})
    (text,) = weighed_texts(building)
    plan = lift_plan(building)
    assert plan.cautions[0] == f"Weighed: {text}."
    for lift in plan.lifts:
        goes_by_it = any(part.material.weighed for part in lift.item.whole.parts)
        assert (f"Weighed: {text}." in cautions_of(lift, "imperial")) == goes_by_it
    joist = of(building, Kind.JOIST)
    (row,) = (row for row in part_rows(building) if row.name == joist.name)
    assert row.material == "southern pine, treated, weighed"
    rows = part_rows(building)
    told = {weight.name: weight for weight in weights(building, rows).kinds}
    for kind in {part.kind for part in building.parts}:
        by_it = [part for part in building.parts if part.kind == kind and part.material.weighed]
        weight = told[kind]
        assert (weight.parts_weighed, weight.weighed) == (len(by_it), text if by_it else "")
    assert "southern pine, treated, weighed" in describe(joist, "imperial")
    under = [caption["under"] for caption in captions(building, {})]
    assert under[-1].endswith("; some of it weighed")
    assert "weighed" not in under[0]
    assert not any("weighed" in caption["under"] for caption in captions(PLAIN, {}))


# --- what is refused ---


def test_a_piece_that_is_not_there_is_answered_with_the_nearest() -> None:
    name = of(PLAIN, Kind.RAFTER).name
    one = problem({"part": name.replace("r", "R"), "mass": "20 lb"})
    assert (one.key, one.wrong) == ("weighed[1].part", "there is no such piece")
    assert f'"{name}"' in one.mend


def test_a_section_that_nothing_is_cut_from_is_answered_with_the_nearest() -> None:
    one = problem({"section": "4x6", "length": "8 ft", "mass": "20 lb"})
    assert (one.key, one.value) == ("weighed[1].section", '"4x6"')
    assert '"4x6, treated"' in one.mend


def test_gravel_tells_nothing_of_moisture() -> None:
    one = problem({"part": of(PLAIN, Kind.GRAVEL).name, "mass": "20 lb"})
    assert one.key == "weighed[1].part"
    assert "no wood" in one.wrong


@pytest.mark.parametrize(
    ("units", "mass", "low", "high"),
    # A 2x4 of 8 ft has 0.2917 ft3; spruce-pine-fir at 12 and 19 %: 28.08 and 29.10 lb/ft3 (NDS
    # Supplement 3.1.3), so 8.19 to 8.487 lb, 3.715 to 3.850 kg, the last a hair under.
    [("imperial", "11 lb", "8.2 lb", "8.5 lb"), ("metric", "5 kg", "3.7 kg", "3.8 kg")],
)
def test_a_reading_that_no_moisture_explains_is_refused_with_the_range(
    units: str, mass: str, low: str, high: str
) -> None:
    # A metric scene is framed in metric sections of European wood where it does not say.
    said = {"walls": {"stud": "2x4"}, "lumber": {"species": "spruce-pine-fir"}}
    one = problem({"section": "2x4", "length": "8 ft", "mass": mass}, units=units, **said)
    assert one.key == "weighed[1].mass"
    assert one.value in (mass, f"{float(mass.split()[0]):.1f} {mass.split()[1]}")
    assert f"{low} to {high}" in one.wrong
    assert "12 to 19 %" in one.wrong
    assert "moisture.untreated a high of " in one.mend


def test_the_mend_does() -> None:
    one = problem({"section": "2x4", "length": "8 ft", "mass": "11 lb"})
    percent = int(one.mend.rpartition(" ")[2])
    moisture = {"untreated": {"low": 12, "likely": 15, "high": percent}}
    weighed({"section": "2x4", "length": "8 ft", "mass": "11 lb"}, moisture=moisture)


@pytest.mark.parametrize(
    "keys",
    [
        {},
        {"section": "2x4"},
        {"length": "8 ft"},
        {"part": "rafter 1", "section": "2x4"},
        {"part": "rafter 1", "treated": True},
    ],
)
def test_which_piece_it_is_has_to_be_said_once(keys: dict[str, Any]) -> None:
    one = refused(weighed=[{**keys, "mass": "20 lb"}])
    assert (one.key, one.wrong) == ("weighed[1]", "does not say which piece it is")
