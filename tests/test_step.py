from __future__ import annotations

import re
from collections.abc import Generator, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from pikepole_export.derive.inventory.parts import part_rows
from pikepole_export.write.models.assembly import product_names
from pikepole_model.building.part import Building
from samples import HIGH_MM, LOW_MM, SHAPES, expected_volume_mm3, sample_building, write_step

# Solids come back exactly but for the digits that STEP writes.
EXACT = 1e-9
# gmsh widens every box by this much.
BOX_MM = 1e-6


@pytest.fixture(scope="module")
def building() -> Building:
    return sample_building()


@pytest.fixture(scope="module")
def path(building: Building, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_step(building, tmp_path_factory.mktemp("step") / "building.step")


@pytest.fixture(scope="module")
def text(path: Path) -> str:
    return re.sub(r"\n\s*", "", path.read_text(encoding="ascii"))


@contextmanager
def gmsh_model(path: Path) -> Generator[Any]:
    """The file in another program's model."""
    import gmsh

    gmsh.initialize(interruptible=False)
    try:
        gmsh.option.set_number("General.Terminal", 0)
        gmsh.option.set_number("Geometry.OCCImportLabels", 1)
        gmsh.model.occ.import_shapes(str(path))
        gmsh.model.occ.synchronize()
        yield gmsh.model
    finally:
        gmsh.finalize()


@pytest.fixture
def read_back(path: Path) -> Iterator[Any]:
    with gmsh_model(path) as model:
        yield model


def test_gmsh_reads_every_part_where_it_is(building: Building, read_back: Any) -> None:
    names = product_names(building)
    rows = {row.name: row for row in part_rows(building)}
    found: set[str] = set()
    for dimension, tag in read_back.get_entities(3):
        label = read_back.get_entity_name(dimension, tag)
        part = next(
            part
            for part in building.parts
            if label.endswith(f"/{part.group}/{part.name}/{names[part.shape]}")
        )
        stage = building.stages[part.stage - 1]
        assert f"/Hive stand/{stage.number} {stage.name}/" in label
        volume_mm3 = read_back.occ.get_mass(dimension, tag)
        assert volume_mm3 == pytest.approx(expected_volume_mm3(part.name), rel=EXACT)
        centre_mm = read_back.occ.get_center_of_mass(dimension, tag)
        assert centre_mm == pytest.approx(rows[part.name].centre_of_gravity_mm, abs=1e-6)
        found.add(part.name)
    assert found == set(rows)
    assert len(read_back.get_entities(3)) == 17


def test_gmsh_reads_the_bounding_box_in_millimetres(read_back: Any) -> None:
    box = read_back.get_bounding_box(-1, -1)
    assert box == pytest.approx((*LOW_MM, *HIGH_MM), abs=BOX_MM)


def test_one_product_for_each_shape_and_one_instance_for_each_part(
    building: Building, text: str
) -> None:
    products = re.findall(r"= PRODUCT\('([^']*)'", text)
    instances = re.findall(r"NEXT_ASSEMBLY_USAGE_OCCURRENCE\('(\d+)','([^']*)'", text)
    # The building, its three stages, and the five groups in them are assemblies.
    stages = ["1 Foundation", "2 Floor", "3 Back wall and rafter"]
    groups = ["foundation", "floor frame", "floor sheets", "back wall", "roof"]
    assert sorted(products) == sorted(
        ["Hive stand", *stages, *groups, *product_names(building).values()]
    )
    assert len(products) == 1 + 3 + 5 + SHAPES
    names = [part.name for part in building.parts]
    assert sorted(name for _, name in instances) == sorted([*stages, *groups, *names])
    assert [int(number) for number, _ in instances] == list(range(1, 17 + 3 + 5 + 1))
    assert text.count("MANIFOLD_SOLID_BREP(") == SHAPES


def test_products_have_readable_names(building: Building) -> None:
    names = list(product_names(building).values())
    assert names == [
        "S001 footing",
        "S002 1/2 anchor bolt",  # the stock says what kind it is
        "sill",  # one alone goes by its own name
        "S004 2x6 rim joist",
        "S005 2x6 floor joist",
        "floor sheet 1",
        "S007 2x4",  # a bottom plate and a top plate
        "S008 2x4 stud",
        "rafter 1",
    ]


def test_parts_have_their_colours(building: Building, path: Path) -> None:
    from OCP.Quantity import Quantity_Color, Quantity_TypeOfColor
    from OCP.STEPCAFControl import STEPCAFControl_Reader
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDataStd import TDataStd_Name
    from OCP.TDF import TDF_Label, TDF_LabelSequence
    from OCP.TDocStd import TDocStd_Document
    from OCP.XCAFDoc import XCAFDoc_ColorType, XCAFDoc_DocumentTool

    from pikepole_export.graphics.colours import part_colour

    document = TDocStd_Document(TCollection_ExtendedString("XmlXCAF"))
    reader = STEPCAFControl_Reader()
    reader.SetColorMode(True)
    reader.SetNameMode(True)
    reader.ReadFile(str(path))
    reader.Transfer(document)
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    found: dict[str, tuple[float, ...]] = {}

    def walk(label: Any) -> None:
        product = TDF_Label()
        if not shapes.GetReferredShape_s(label, product):
            product = label
        colour = Quantity_Color()
        for holder in (label, product):
            if colours.GetColor_s(holder, XCAFDoc_ColorType.XCAFDoc_ColorSurf, colour):
                name = TDataStd_Name()
                assert label.FindAttribute(TDataStd_Name.GetID_s(), name)
                found[name.Get().ToExtString()] = colour.Values(
                    Quantity_TypeOfColor.Quantity_TOC_sRGB
                )
                break
        children = TDF_LabelSequence()
        shapes.GetComponents_s(product, children)
        for index in range(1, children.Length() + 1):
            walk(children.Value(index))

    free = TDF_LabelSequence()
    shapes.GetFreeShapes(free)
    for index in range(1, free.Length() + 1):
        walk(free.Value(index))

    assert found.keys() == {part.name for part in building.parts}
    for part in building.parts:
        # Written as 32-bit floats and brought from sRGB to linear light and back.
        assert found[part.name] == pytest.approx(part_colour(part), abs=1e-5), part.name
    # The same shape in two materials has two colours.
    assert found["back wall bottom plate"] != found["back wall top plate"]


def test_header_names_the_program_and_no_person(text: str) -> None:
    # ISO 10303-21, FILE_NAME: name, time stamp, author, organization, preprocessor version,
    # originating system, authorization.
    assert (
        "FILE_NAME('Hive stand','1970-01-01T00:00:00',(''),(''),'pikepole','pikepole','')" in text
    )
    # ISO 10303-242, the schema's name in the exchange file.
    assert "FILE_SCHEMA(('AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF" in text


def test_file_grows_with_shapes_and_not_with_parts(path: Path, tmp_path: Path) -> None:
    # An instance takes a placement and a few lines; a shape takes all its faces and edges.
    ten = write_step(sample_building(repeat=10), tmp_path / "ten.step")
    assert ten.stat().st_size < 4 * path.stat().st_size
    assert ten.read_bytes().count(b"= MANIFOLD_SOLID_BREP(") == SHAPES


def test_names_may_hold_any_letter(tmp_path: Path) -> None:
    building = sample_building()
    scene = building.scene.model_copy(update={"title": "Bienenhaus für Čeněk"})
    part = replace(building.parts[0], name="Tür, 3' breit 🚪")
    stage = replace(building.stages[0], name=" ".join(["Gründung"] * 12), parts=(part,))
    only = replace(building, scene=scene, parts=(part,), stages=(stage,))
    path = write_step(only, tmp_path / "a.step")
    # ISO 10303-21: an apostrophe is written twice, letters outside ASCII as \X2\ and
    # four hexadecimal digits each, or \X4\ and eight; U+00FC is u umlaut, U+1F6AA a door.
    text = re.sub(r"\n\s*", "", path.read_text(encoding="ascii"))
    assert r"T\X2\00FC\X0\r, 3'' breit \X4\0001F6AA\X0\'" in text
    assert r"FILE_NAME('Bienenhaus f\X2\00FC\X0\r \X2\010C\X0\en\X2\011B\X0\k'" in text
    with gmsh_model(path) as model:
        (entity,) = model.get_entities(3)
        label = model.get_entity_name(*entity)
    assert label.startswith(f"Shapes/Bienenhaus für Čeněk/1 {stage.name}/")
    assert "/Tür, 3' breit 🚪/" in label
