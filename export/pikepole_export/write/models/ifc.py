"""IFC4 (ISO 16739-1:2018): the building for programs that plan and check buildings. Millimetres.

    write_ifc(building, path) -> path

Project, site and building hold a storey, that an assembly for each group, and these the pieces
under their own names. Each distinct shape is written once in each of its colours, and every piece
places it. Beside a piece stand its material, its stock and length, its stage and what it weighs.
"""

from __future__ import annotations

import locale
import uuid
from collections.abc import Generator, Sequence
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.files.whole import put
from pikepole_export.graphics.colours import Look, part_look
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import OutputError
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Shape

# The library would write the clock. The same building gives the same bytes.
TIME_STAMP = "1970-01-01T00:00:00"
LONGEST = 255  # letters of an IfcLabel, ISO 16739-1

# What a piece is in the schema; all else is a proxy, of which only its name says what it is.
_CLASSES: dict[Family, str] = {
    Family.CONCRETE: "IfcFooting",
    Family.BOLTS: "IfcMechanicalFastener",
    Family.TIES: "IfcMechanicalFastener",
    Family.POST_METAL: "IfcMechanicalFastener",
    Family.ANGLES: "IfcMechanicalFastener",
    Family.POSTS: "IfcColumn",
    Family.BEAMS: "IfcBeam",
    Family.LEDGERS: "IfcBeam",
    Family.KNEE_BRACES: "IfcMember",
    Family.FLOOR_FRAME: "IfcMember",
    Family.WALL_FRAME: "IfcMember",
    Family.LOFT_FRAME: "IfcMember",
    Family.ROOF_FRAME: "IfcMember",
    Family.SHEETS: "IfcPlate",
    Family.PANELS: "IfcCovering",
    Family.SIDING: "IfcCovering",
    Family.UPRIGHTS: "IfcCovering",
    Family.BATTENS: "IfcCovering",
    Family.WINDOW_UNITS: "IfcWindow",
}


def write_ifc(building: Building, path: Path) -> Path:
    """Write the building as one IFC file.

    Args:
        building: What to write.
        path: The file, in a folder that is there.

    Returns:
        The path.

    Raises:
        OutputError: the library that writes it is not installed.
    """
    try:
        import ifcopenshell
    except ImportError as error:
        raise OutputError(
            "IFC needs one more library: pip install 'pikepole[ifc]' adds it"
        ) from error
    model: Any = ifcopenshell.file(schema="IFC4")
    _fill(model, building)
    name = model.header.file_name
    name.name, name.time_stamp = building.scene.title, TIME_STAMP
    name.preprocessor_version = name.originating_system = "pikepole"
    with _decimal_points():
        return put(path, model.to_string().encode("ascii"))


@contextmanager
def _decimal_points() -> Generator[None]:
    """Numbers with points, whatever a library has had the process go by: this one prints in C."""
    before = locale.setlocale(locale.LC_NUMERIC)
    locale.setlocale(locale.LC_NUMERIC, "C")
    try:
        yield
    finally:
        locale.setlocale(locale.LC_NUMERIC, before)


def _fill(model: Any, building: Building) -> None:
    """Everything, from the project down to the last piece."""
    title = building.scene.title
    root = partial(_rooted, model)
    context = model.create_entity(
        "IfcGeometricRepresentationContext", None, "Model", 3, 1e-5, _axes(model, Placement())
    )
    above = root(
        "IfcProject", title, RepresentationContexts=[context], UnitsInContext=_units(model)
    )
    place = None
    for kind, name in (
        ("IfcSite", "site"),
        ("IfcBuilding", title),
        ("IfcBuildingStorey", "building"),
    ):
        place = _local(model, Placement(), place)
        held = root(kind, name, ObjectPlacement=place, CompositionType="ELEMENT")
        root("IfcRelAggregates", f"{kind} in", RelatingObject=above, RelatedObjects=[held])
        above = held
    groups: dict[str, list[Part]] = {}
    for part in building.parts:
        groups.setdefault(part.group, []).append(part)
    shapes: dict[tuple[Shape, Look], Any] = {}
    styles = {look: _style(model, look) for look in dict.fromkeys(map(part_look, building.parts))}
    pieces: dict[str, Any] = {}
    assemblies: list[Any] = []
    for group, parts in groups.items():
        own = _local(model, Placement(), place)
        assembly = root(
            "IfcElementAssembly", group, ObjectPlacement=own, PredefinedType="NOTDEFINED"
        )
        for part in parts:
            look = part_look(part)
            seen = part.shape, look
            if seen not in shapes:
                shapes[seen] = _mapped(model, context, part.shape, styles[look])
            pieces[part.name] = _piece(model, part, own, context, shapes[seen])
            _describe(model, part, pieces[part.name])
        held = [pieces[part.name] for part in parts]
        root("IfcRelAggregates", f"{group} of", RelatingObject=assembly, RelatedObjects=held)
        assemblies.append(assembly)
    root(
        "IfcRelContainedInSpatialStructure",
        "groups",
        RelatedElements=assemblies,
        RelatingStructure=above,
    )
    _give_materials(model, building.parts, pieces)


def _rooted(model: Any, kind: str, name: str, **more: Any) -> Any:
    """An entity with a name, and an identity that is the same in every file of the building."""
    from ifcopenshell.guid import compress

    identity = compress(uuid.uuid5(uuid.NAMESPACE_OID, f"{kind} {name}").hex)
    return model.create_entity(kind, GlobalId=identity, Name=name[:LONGEST], **more)


def _units(model: Any) -> Any:
    """Millimetres, square and cubic metres, kilograms, radians."""
    si = [
        ("LENGTHUNIT", "MILLI", "METRE"),
        ("AREAUNIT", None, "SQUARE_METRE"),
        ("VOLUMEUNIT", None, "CUBIC_METRE"),
        ("MASSUNIT", "KILO", "GRAM"),
        ("PLANEANGLEUNIT", None, "RADIAN"),
    ]
    made = [
        model.create_entity("IfcSIUnit", UnitType=of, Prefix=prefix, Name=name)
        for of, prefix, name in si
    ]
    return model.create_entity("IfcUnitAssignment", made)


def _axes(model: Any, place: Placement) -> Any:
    origin, along, up = (
        model.create_entity(kind, [float(number) for number in numbers])
        for kind, numbers in (
            ("IfcCartesianPoint", place.origin),
            ("IfcDirection", place.u),
            ("IfcDirection", place.n),
        )
    )
    return model.create_entity("IfcAxis2Placement3D", origin, up, along)


def _local(model: Any, place: Placement, within: Any) -> Any:
    return model.create_entity("IfcLocalPlacement", within, _axes(model, place))


def _style(model: Any, look: Look) -> Any:
    """A colour, with how much is seen through it."""
    colour = model.create_entity("IfcColourRgb", None, *look.colour)
    shading = model.create_entity("IfcSurfaceStyleShading", colour, 1.0 - look.alpha)
    return model.create_entity("IfcSurfaceStyle", look.name, "BOTH", [shading])


def _mapped(model: Any, context: Any, shape: Shape, style: Any) -> Any:
    """A distinct shape, its surface in triangles of one colour, to be placed many times."""
    mesh = shape.mesh
    points = model.create_entity("IfcCartesianPointList3D", mesh.vertices.tolist())
    faces = (np.asarray(mesh.triangles) + 1).tolist()
    surface = model.create_entity(
        "IfcTriangulatedFaceSet", Coordinates=points, Closed=True, CoordIndex=faces
    )
    model.create_entity("IfcStyledItem", surface, [style])
    drawn = model.create_entity(
        "IfcShapeRepresentation", context, "Body", "Tessellation", [surface]
    )
    return model.create_entity("IfcRepresentationMap", _axes(model, Placement()), drawn)


def _piece(model: Any, part: Part, within: Any, context: Any, shape: Any) -> Any:
    """One piece, its shape where it is."""
    origin = model.create_entity("IfcCartesianPoint", [0.0, 0.0, 0.0])
    as_it_is = model.create_entity("IfcCartesianTransformationOperator3D", LocalOrigin=origin)
    item = model.create_entity("IfcMappedItem", shape, as_it_is)
    body = model.create_entity(
        "IfcShapeRepresentation", context, "Body", "MappedRepresentation", [item]
    )
    kind = "IfcSlab" if part.kind is Kind.SLAB else _CLASSES.get(part.kind.family)
    return _rooted(
        model,
        kind or "IfcBuildingElementProxy",
        part.name,
        ObjectType=part.kind.value,
        ObjectPlacement=_local(model, part.placement, within),
        Representation=model.create_entity("IfcProductDefinitionShape", None, None, [body]),
    )


def _describe(model: Any, part: Part, piece: Any) -> None:
    """What else is known of a piece, as a set of properties."""
    mass = part_mass(part)
    values: Sequence[tuple[str, str, str | float | int]] = (
        ("Stock", "IfcLabel", part.stock[:LONGEST]),
        ("Length", "IfcPositiveLengthMeasure", part.length_mm),
        ("Stage", "IfcInteger", part.stage),
        ("MassLow", "IfcMassMeasure", mass.low_kg),
        ("MassLikely", "IfcMassMeasure", mass.likely_kg),
        ("MassHigh", "IfcMassMeasure", mass.high_kg),
    )
    made = [
        model.create_entity(
            "IfcPropertySingleValue", name, None, model.create_entity(kind, value), None
        )
        for name, kind, value in values
    ]
    known = _rooted(model, "IfcPropertySet", part.name, HasProperties=made)
    known.Name = "Piece"
    _rooted(
        model,
        "IfcRelDefinesByProperties",
        part.name,
        RelatedObjects=[piece],
        RelatingPropertyDefinition=known,
    )


def _give_materials(model: Any, parts: Sequence[Part], pieces: dict[str, Any]) -> None:
    """Each material once, with the pieces that are of it."""
    made_of: dict[str, list[Any]] = {}
    for part in parts:
        made_of.setdefault(part.material.name, []).append(pieces[part.name])
    for name, own in made_of.items():
        material = model.create_entity("IfcMaterial", name[:LONGEST])
        _rooted(
            model,
            "IfcRelAssociatesMaterial",
            name,
            RelatedObjects=own,
            RelatingMaterial=material,
        )
