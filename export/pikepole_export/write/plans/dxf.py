"""A sheet as DXF: lines at true size in the model, dimensions that read it, a page to print.

    dxf_bytes(sheet) -> the file

Inches where the scene is in feet and inches, millimetres elsewhere. Source of the form: the DXF
reference of AC1024 (R2010), which ezdxf writes and audits.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import TYPE_CHECKING, assert_never

import shapely

from pikepole_export.write.drawings.svg import Anchor, Point, Style
from pikepole_export.write.plans.sheet import (
    Hatch,
    Hatching,
    Layer,
    Measure,
    PlanSheet,
    Ring,
    Stroke,
    Words,
)
from pikepole_model.units import INCH_MM

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

# In hundredths of a millimetre, from those that DXF knows.
_WEIGHTS: dict[Style, int] = {"wide": 50, "cut": 35, "piece": 35, "dashed": 25}
_LINES: dict[Style, str] = {"dashed": "DASHED", "chain": "CENTER"}
# Of the program's own patterns, and how they lean, deg.
_PATTERNS: dict[Hatching, tuple[str, float]] = {
    "wood": ("ANSI31", 0.0),
    "concrete": ("ANSI37", 0.0),
    "ground": ("ANSI31", 90.0),
}
_COLOURS: dict[Layer, int] = {
    Layer.SHEET: 7,
    Layer.VISIBLE: 7,
    Layer.CUT: 1,
    Layer.HATCH: 8,
    Layer.HIDDEN: 8,
    Layer.OPENINGS: 5,
    Layer.GROUND: 3,
    Layer.DIMENSIONS: 4,
    Layer.NOTES: 7,
}
CAPITALS = 0.73  # how high capitals are in lettering of a size, as a CAD program measures it
STYLE = "pikepole"


def dxf_bytes(sheet: PlanSheet) -> bytes:
    """The sheet as a file; the same bytes every time."""
    from ezdxf._options import options
    from ezdxf.filemanagement import new
    from ezdxf.units import IN, MM

    options.write_fixed_meta_data_for_testing = True  # else the clock and new numbers go in
    imperial = sheet.units == "imperial"
    drawing = new("R2010", setup=["linetypes"], units=IN if imperial else MM)
    return _filled(drawing, sheet, 1 / INCH_MM if imperial else 1.0)


def _filled(drawing: Drawing, sheet: PlanSheet, unit: float) -> bytes:
    """A drawing with the marks of a sheet; `unit` is how many of its units a mm has."""
    scale = sheet.scale * unit  # from mm of paper to units of the model
    height = sheet.size[1]

    def at(point: Point) -> Point:
        return point[0] * scale, (height - point[1]) * scale

    for layer in Layer:
        drawing.layers.add(layer.value, color=_COLOURS[layer])
    drawing.styles.add(STYLE, font="DejaVuSans.ttf")
    drawing.header["$LTSCALE"] = scale
    _dimension_style(drawing, sheet, scale)
    space = drawing.modelspace()
    for mark in sheet.marks:
        match mark:
            case Stroke():
                _stroke(space, mark, [at(point) for point in mark.points])
            case Ring():
                look = {"layer": mark.layer.value}
                space.add_circle(at(mark.centre), mark.radius * scale, dxfattribs=look)
            case Words():
                _words(space, mark, at(mark.at), mark.size * CAPITALS * scale)
            case Measure():
                base = at((mark.a[0], mark.line) if mark.level else (mark.line, mark.a[1]))
                space.add_linear_dim(
                    base=base,
                    p1=at(mark.a),
                    p2=at(mark.b),
                    angle=0.0 if mark.level else 90.0,
                    text=_plain(mark.words),
                    dimstyle=STYLE,
                    dxfattribs={"layer": Layer.DIMENSIONS.value},
                ).render()
            case Hatch():
                _hatch(space, mark, at, scale)
            case _:
                assert_never(mark)
    _page(drawing, sheet, scale)
    # The library has the classes that a file needs in a set, in any order.
    classes = drawing.classes
    classes.add_required_classes(drawing.dxfversion)
    classes.classes = dict(sorted(classes.classes.items()))
    stream = io.StringIO()
    drawing.write(stream)
    return stream.getvalue().encode("utf-8")


def _stroke(space: Modelspace, mark: Stroke, points: list[Point]) -> None:
    look = {
        "layer": mark.layer.value,
        "lineweight": _WEIGHTS.get(mark.style, 18),
        "linetype": _LINES.get(mark.style, "BYLAYER"),
    }
    if len(points) == 2 and not mark.closed:
        space.add_line(*points, dxfattribs=look)
    else:
        space.add_lwpolyline(points, close=mark.closed, dxfattribs=look)


def _words(space: Modelspace, mark: Words, at: Point, height: float) -> None:
    from ezdxf.enums import TextEntityAlignment

    aligned: dict[Anchor, TextEntityAlignment] = {
        "start": TextEntityAlignment.LEFT,
        "middle": TextEntityAlignment.CENTER,
        "end": TextEntityAlignment.RIGHT,
    }
    look = {"layer": mark.layer.value, "style": STYLE, "rotation": -mark.angle_deg}
    text = space.add_text(_plain(mark.words), height=height, dxfattribs=look)
    text.set_placement(at, align=aligned[mark.anchor])


def _plain(words: str) -> str:
    """Words that a CAD program shows as they are: no line ends in them, and no codes."""
    return " ".join(words.replace("%%", "% %").replace("^", "^ ").split())


def _hatch(space: Modelspace, mark: Hatch, at: Callable[[Point], Point], scale: float) -> None:
    hatch = space.add_hatch(dxfattribs={"layer": Layer.HATCH.value})
    if mark.fine:
        hatch.set_solid_fill(color=8)
    else:
        name, angle = _PATTERNS[mark.hatching]
        hatch.set_pattern_fill(name, scale=scale * 0.35, angle=angle)
    rings = (mark.area.exterior, *mark.area.interiors)
    for number, ring in enumerate(rings):
        points = [at((x, y)) for x, y in shapely.get_coordinates(ring)[:-1].tolist()]
        hatch.paths.add_polyline_path(points, is_closed=True, flags=1 if not number else 16)


def _dimension_style(drawing: Drawing, sheet: PlanSheet, scale: float) -> None:
    style = drawing.dimstyles.duplicate_entry("Standard", STYLE)
    size = next((mark.size for mark in sheet.marks if isinstance(mark, Measure)), 2.4)
    style.dxf.dimtxsty = STYLE
    style.dxf.dimtxt = size * CAPITALS * scale
    style.dxf.dimgap = 0.6 * scale
    style.dxf.dimexo = style.dxf.dimexe = 1.2 * scale
    style.dxf.dimtad = 1  # over the line
    style.dxf.dimtsz = 0.8 * scale  # strokes for arrows
    style.dxf.dimasz = 0.8 * scale
    style.dxf.dimscale = 1.0


def _page(drawing: Drawing, sheet: PlanSheet, scale: float) -> None:
    """A page of the paper's size that shows all of the model at the sheet's scale."""
    layout = drawing.paperspace("Layout1")
    width, height = sheet.size
    layout.page_setup(size=(width, height), margins=(0, 0, 0, 0), units="mm")
    layout.add_viewport(
        center=(width / 2, height / 2),
        size=(width, height),
        view_center_point=(width / 2 * scale, height / 2 * scale),
        view_height=height * scale,
    )
    drawing.set_modelspace_vport(
        height=height * scale, center=(width / 2 * scale, height / 2 * scale)
    )
