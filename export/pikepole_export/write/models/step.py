"""STEP (ISO 10303-242): the building as an assembly, for any CAD program. Millimetres.

    step_bytes(assembly) -> bytes

The tree is building, stage, group, part. Each distinct shape is one product, "S012 2x4 stud", or
by its part's name where only one has it; each part is one instance of it under its own name. Some
programs number equal beginnings anew: what tells products apart comes first. A product has a
colour when all its parts share it; otherwise each instance has its own.

Goes to the CAD kernel's document directly: cadquery's Assembly names a shared product after the
part that happens to come first, and cannot pin what makes two exports differ.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from io import BytesIO
from typing import TYPE_CHECKING, Any

from pikepole_model.errors import OutputError
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Shape

if TYPE_CHECKING:
    from OCP.TDF import TDF_Label
    from OCP.TDocStd import TDocStd_Document
    from OCP.TopLoc import TopLoc_Location

    from pikepole_export.graphics.colours import Colour

# The kernel would write the clock. The same building gives the same bytes.
TIME_STAMP = "1970-01-01T00:00:00"

_COLOURED = "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION"
_STATEMENT = re.compile(r"#(\d+) = ([^;]*);")
_REFERENCE = re.compile(r"#(\d+)")
_NOT_ASCII = re.compile(r"[^\x20-\x7e]+")
_LINE_BREAK = re.compile(r"\n\s*")


@dataclass(frozen=True, slots=True)
class Instance:
    """A part where it is put up."""

    name: str
    stage: str
    group: str
    shape: Shape
    place: Placement
    colour: Colour


@dataclass(frozen=True, slots=True)
class Assembly:
    """A building in instances of its products, in plain values that a process can be handed.

    Attributes:
        title: What the building is called.
        products: Each distinct shape, and what it is called.
        instances: In order of building.
    """

    title: str
    products: dict[Shape, str]
    instances: tuple[Instance, ...]


def step_bytes(assembly: Assembly) -> bytes:
    """The building as one STEP file.

    Raises:
        OutputError: the kernel refused.
    """
    from OCP.IFSelect import IFSelect_ReturnStatus
    from OCP.Interface import Interface_Static
    from OCP.STEPCAFControl import STEPCAFControl_Writer
    from OCP.STEPControl import STEPControl_StepModelType

    document = _document(assembly)
    writer = STEPCAFControl_Writer()
    writer.SetNameMode(True)
    writer.SetColorMode(True)
    # Plane faces and round ones need no second curve in the face's own coordinates: a third less.
    Interface_Static.SetIVal_s("write.surfacecurve.mode", 0)
    Interface_Static.SetCVal_s("write.step.schema", "AP242DIS")
    if not writer.Transfer(document, STEPControl_StepModelType.STEPControl_AsIs):
        raise OutputError("the CAD kernel could not turn the building into STEP")
    _pin(writer.ChangeWriter().Model(), assembly.title)
    stream = BytesIO()
    if writer.WriteStream(stream) != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise OutputError("the CAD kernel could not write the building as STEP")
    return _settle_colours(stream.getvalue())


def _document(assembly: Assembly) -> TDocStd_Document:
    """The building as the kernel's assembly document."""
    from OCP.Quantity import Quantity_Color, Quantity_TypeOfColor
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDataStd import TDataStd_Name
    from OCP.TDocStd import TDocStd_Document
    from OCP.TopLoc import TopLoc_Location
    from OCP.XCAFDoc import XCAFDoc_ColorType, XCAFDoc_DocumentTool

    document = TDocStd_Document(TCollection_ExtendedString("XmlXCAF"))
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    shapes.SetAutoNaming_s(False)

    def name(label: TDF_Label, text: str) -> TDF_Label:
        TDataStd_Name.Set_s(label, TCollection_ExtendedString(_encoded(text)))
        return label

    def paint(label: TDF_Label, colour: Colour) -> None:
        rgb = Quantity_Color(*colour, Quantity_TypeOfColor.Quantity_TOC_sRGB)
        colours.SetColor(label, rgb, XCAFDoc_ColorType.XCAFDoc_ColorSurf)

    def branch(under: TDF_Label, text: str) -> TDF_Label:
        label = name(shapes.NewShape(), text)
        name(shapes.AddComponent(under, label, TopLoc_Location()), text)
        return label

    painted: dict[Shape, set[Colour]] = {}
    for instance in assembly.instances:
        painted.setdefault(instance.shape, set()).add(instance.colour)
    products: dict[Shape, TDF_Label] = {}
    for shape, text in assembly.products.items():
        label = products[shape] = name(shapes.AddShape(shape.solid.wrapped, False), text)
        if len(painted[shape]) == 1:
            paint(label, *painted[shape])

    root = name(shapes.NewShape(), assembly.title)
    stages: dict[str, TDF_Label] = {}
    groups: dict[tuple[str, str], TDF_Label] = {}
    for instance in assembly.instances:
        stage, group = instance.stage, (instance.stage, instance.group)
        if stage not in stages:
            stages[stage] = branch(root, stage)
        if group not in groups:
            groups[group] = branch(stages[stage], instance.group)
        place = _location(instance.place)
        label = shapes.AddComponent(groups[group], products[instance.shape], place)
        name(label, instance.name)
        if len(painted[instance.shape]) > 1:
            paint(label, instance.colour)
    shapes.UpdateAssemblies()
    return document


def _location(place: Placement) -> TopLoc_Location:
    from OCP.gp import gp_Trsf
    from OCP.TopLoc import TopLoc_Location

    turn = gp_Trsf()
    turn.SetValues(*(float(number) for number in place.matrix[:3].ravel()))
    return TopLoc_Location(turn)


def _encoded(text: str) -> str:
    r"""Text with every letter outside ASCII as STEP writes it; the kernel would write UTF-8.

    Source: ISO 10303-21, string encoding: \X2\ and four hexadecimal digits for each letter,
    \X4\ and eight where four are too few, then \X0\.
    """

    def directive(found: re.Match[str]) -> str:
        letters = found[0]
        few = max(letters) <= "\uffff"
        digits = letters.encode("utf-16-be" if few else "utf-32-be").hex().upper()
        return f"\\X{2 if few else 4}\\{digits}\\X0\\"

    return _NOT_ASCII.sub(directive, text)


def _pin(model: Any, title: str) -> None:
    """Fix the header, and all that the kernel would do differently from one export to the next."""
    from OCP.APIHeaderSection import APIHeaderSection_MakeHeader
    from OCP.StepRepr import StepRepr_NextAssemblyUsageOccurrence
    from OCP.TCollection import TCollection_HAsciiString

    text: Callable[[str], TCollection_HAsciiString] = TCollection_HAsciiString
    header = APIHeaderSection_MakeHeader(model)
    header.SetName(text(_encoded(title)))
    header.SetTimeStamp(text(TIME_STAMP))
    header.SetAuthorValue(1, text(""))
    header.SetOrganizationValue(1, text(""))
    header.SetPreprocessorVersion(text("pikepole"))
    header.SetOriginatingSystem(text("pikepole"))
    header.SetAuthorisation(text(""))
    header.SetDescriptionValue(1, text("Timber building, one product for each distinct shape"))

    number = 0
    for index in range(1, model.NbEntities() + 1):
        entity = model.Value(index)
        if isinstance(entity, StepRepr_NextAssemblyUsageOccurrence):
            number += 1  # the kernel goes on counting from one export to the next
            entity.SetId(text(str(number)))


def _settle_colours(data: bytes) -> bytes:
    """Bring the colours at the end of a STEP file into one order, equal statements written once.

    The kernel writes them in the order of where they lie in memory. All else stays as it is.
    """
    text = data.decode("ascii")
    start = text.rindex("#", 0, text.index(f" = {_COLOURED}("))
    end = text.index("ENDSEC;", start)
    statements = {
        int(number): _LINE_BREAK.sub("", words)
        for number, words in _STATEMENT.findall(text, start, end)
    }

    @cache
    def in_full(number: int) -> str:
        """A statement with all that it leads to written out: the same however it is numbered."""
        if number not in statements:
            return f"#{number}"
        return _REFERENCE.sub(lambda found: in_full(int(found[1])), statements[number])

    lines: list[str] = []
    numbers: dict[str, str] = {}
    first = min(statements)

    def canonical(number: int) -> str:
        """Write a statement after those it leads to; returns the number it has now."""
        if number not in statements:
            return f"#{number}"
        words = _REFERENCE.sub(lambda found: canonical(int(found[1])), statements[number])
        if words not in numbers:
            numbers[words] = f"#{first + len(lines)}"
            lines.append(f"{numbers[words]} = {words};\n")
        return numbers[words]

    for number in sorted(statements, key=in_full):
        canonical(number)
    return (text[:start] + "".join(lines) + text[end:]).encode("ascii")
