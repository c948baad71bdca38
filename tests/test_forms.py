"""Every form of building: what is built is true, whole and in order, drawn or written."""

from __future__ import annotations

import pytest
from hypothesis import given

from draws import draws
from measuring import of_kind
from pikepole_export.derive.inventory.counts import counts
from pikepole_export.derive.inventory.parts import part_rows
from pikepole_export.derive.inventory.weights import weights
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import check
from pikepole_model.checks.practice import practice_findings
from pikepole_model.scene.schema import Scene
from strategies import forms
from test_scenes import floating, longer_than_stock
from test_walls import check_level_joints, check_sheets, check_upright_joints


def test_form_is_clean(form: Building) -> None:
    assert [finding.text for finding in check(form)] == []


def test_nothing_floats_at_any_stage(form: Building) -> None:
    assert floating(form) == []


def test_nothing_is_larger_than_what_it_is_cut_from(form: Building) -> None:
    bought = [part for part in form.parts if part.kind != Kind.EXISTING]
    longer = longer_than_stock(form)
    assert [part.name for part in bought if part.name in longer] == []


def test_wall_sheets(form: Building) -> None:
    check_sheets(form)
    check_upright_joints(form)
    check_level_joints(form)


def check_masses(building: Building) -> None:
    rows = part_rows(building)
    found = weights(building, rows)
    # Volume times density of all that is built, by hand; what it is moved off is no part of it.
    built = [part for part in building.parts if part.kind != Kind.EXISTING]
    likely_kg, left_kg = (
        sum(part.volume_mm3 / 1e9 * part.material.density_kg_m3[1] for part in some)
        for some in (built, [part for part in built if part.group == "first foundation"])
    )
    assert found.building.mass.likely_kg == pytest.approx(likely_kg - left_kg, rel=1e-9)
    for masses in (
        [weight.mass for weight in found.kinds],
        [weight.mass for weight in found.groups],
        [weight.mass for _, weight in found.stages],
        [count.mass for count in counts(rows)],
    ):
        assert sum(mass.likely_kg for mass in masses) == pytest.approx(likely_kg, rel=1e-9)


def test_masses_add_up(form: Building) -> None:
    check_masses(form)


@draws(5)
@given(forms())
def test_any_form(scene: Scene) -> None:
    building = build(scene)
    # What good practice would not do is the scene's own choice, and has a mend.
    practice = practice_findings(building)
    assert all(one.key and one.mend for one in practice)
    assert not set(check(building)) - set(practice)
    assert floating(building) == []
    check_masses(building)
    assert len(of_kind(building, Kind.EXISTING)) == len(scene.existing)
