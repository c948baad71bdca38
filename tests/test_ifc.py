"""building.ifc, held against the schema's own rules and read back by its library."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import ifcopenshell
import ifcopenshell.util.element
import ifcopenshell.util.placement
import ifcopenshell.validate
import numpy as np
import pytest

from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.graphics.colours import part_look
from pikepole_export.write.models.ifc import write_ifc
from pikepole_model.building.part import Building
from samples import HIGH_MM, LOW_MM, SHAPES, sample_building

# The library leaves the file of its rules open.
pytestmark = pytest.mark.filterwarnings(
    "ignore:Exception ignored in.*IFC4.py:pytest.PytestUnraisableExceptionWarning"
)


@pytest.fixture(scope="module")
def building() -> Building:
    return sample_building()


@pytest.fixture(scope="module")
def model(building: Building, tmp_path_factory: pytest.TempPathFactory) -> Any:
    return ifcopenshell.open(write_ifc(building, tmp_path_factory.mktemp("ifc") / "building.ifc"))


def complaints(path: Path) -> list[str]:
    """What breaks the schema of ISO 16739-1: types, cardinalities, and its WHERE rules."""
    logger = ifcopenshell.validate.json_logger()
    ifcopenshell.validate.validate(str(path), logger, express_rules=True)
    return [str(one) for one in logger.statements]


def test_a_whole_house_keeps_every_rule_of_the_schema(
    honey_house: Building, tmp_path: Path
) -> None:
    path = write_ifc(honey_house.finished, tmp_path / "building.ifc")
    assert complaints(path) == []
    read = ifcopenshell.open(path)
    assert read.schema == "IFC4"
    there = {one.Name for one in read.by_type("IfcElement")}
    assert {part.name for part in honey_house.finished.parts} <= there


def test_a_file_that_breaks_a_rule_is_told(tmp_path: Path) -> None:
    # IfcMember, rule CorrectPredefinedType: one that a user defines says which in ObjectType.
    path = write_ifc(sample_building(), tmp_path / "building.ifc")
    broken: Any = ifcopenshell.open(path)
    broken.by_type("IfcMember")[0].PredefinedType = "USERDEFINED"
    broken.by_type("IfcMember")[0].ObjectType = None
    broken.write(str(path))
    assert complaints(path)


def test_every_piece_is_where_it_is_built(building: Building, model: Any) -> None:
    low, high = np.full(3, np.inf), np.full(3, -np.inf)
    parts = {part.name: part for part in building.parts}
    pieces = [one for one in model.by_type("IfcElement") if one.Name in parts]
    assert len(pieces) == len(parts)
    for piece in pieces:
        (body,) = piece.Representation.Representations
        (item,) = body.Items
        surface = item.MappingSource.MappedRepresentation.Items[0]
        points = np.array(surface.Coordinates.CoordList)
        place = ifcopenshell.util.placement.get_local_placement(piece.ObjectPlacement)
        there = points @ place[:3, :3].T + place[:3, 3]
        bounds = parts[piece.Name].bounds_mm
        assert there.min(axis=0) == pytest.approx(bounds[0], abs=1e-6)
        low, high = np.minimum(low, there.min(axis=0)), np.maximum(high, there.max(axis=0))
    assert low == pytest.approx(LOW_MM)
    assert high == pytest.approx(HIGH_MM)
    # Each shape once, and once more where another piece of it has another colour.
    drawn = {(part.shape, part_look(part)) for part in building.parts}
    assert len(model.by_type("IfcRepresentationMap")) == len(drawn) >= SHAPES


def test_pieces_know_their_group_material_and_mass(building: Building, model: Any) -> None:
    for part in building.parts:
        (piece,) = (one for one in model.by_type("IfcElement") if one.Name == part.name)
        group: Any = ifcopenshell.util.element.get_aggregate(piece)
        material: Any = ifcopenshell.util.element.get_material(piece)
        assert (group.Name, material.Name) == (part.group, part.material.name)
        known = ifcopenshell.util.element.get_psets(piece)["Piece"]
        assert known["Stage"] == part.stage
        assert known["Length"] == pytest.approx(part.length_mm)
        assert known["MassLikely"] == pytest.approx(part_mass(part).likely_kg)


def test_a_piece_has_the_colour_that_it_has_in_pictures(
    honey_house: Building, tmp_path: Path
) -> None:
    path = write_ifc(honey_house.finished, tmp_path / "building.ifc")
    model: Any = ifcopenshell.open(path)
    styled = {item.Item.id(): item.Styles[0] for item in model.by_type("IfcStyledItem")}
    pieces = {one.Name: one for one in model.by_type("IfcElement")}
    names = set[str]()
    for part in honey_house.finished.parts:
        (item,) = pieces[part.name].Representation.Representations[0].Items
        style = styled[item.MappingSource.MappedRepresentation.Items[0].id()]
        (shading,) = style.Styles
        shown, look = shading.SurfaceColour, part_look(part)
        assert (shown.Red, shown.Green, shown.Blue) == pytest.approx(look.colour), part.name
        assert shading.Transparency == pytest.approx(1.0 - look.alpha), part.name
        names.add(style.Name)
    assert {"lumber", "treated lumber", "pane", "galvanised steel"} <= names


def test_the_same_building_gives_the_same_bytes(tmp_path: Path) -> None:
    first, second = (write_ifc(sample_building(), tmp_path / f"{n}.ifc") for n in (1, 2))
    assert first.read_bytes() == second.read_bytes()


def test_names_may_hold_anything(tmp_path: Path) -> None:
    building = sample_building()
    title = "<b>Bienenhaus</b> f\u00fcr '=1+1'\n" + "x" * 10_000
    scene = building.scene.model_copy(update={"title": title})
    part = replace(building.parts[0], name="T\u00fcr, 3' breit \U0001f6aa")
    path = write_ifc(replace(building, scene=scene, parts=(part,)), tmp_path / "building.ifc")
    assert complaints(path) == []
    read: Any = ifcopenshell.open(path)
    assert part.name in {one.Name for one in read.by_type("IfcElement")}
    assert read.by_type("IfcProject")[0].Name == title[:255]
