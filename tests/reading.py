"""A drawing as its file says it is, read by an XML parser; and what is asked of every one."""

from __future__ import annotations

import re
from importlib.util import find_spec
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import shapely
from PIL import ImageFont
from shapely import Polygon, affinity

from pikepole_model.units import Units

SVG = "{http://www.w3.org/2000/svg}"
# ISO 216 A4, and the North American letter of 8-1/2 x 11 in (ANSI/ASME Y14.1), mm.
PAPERS: dict[Units, set[tuple[float, float]]] = {
    "metric": {(297.0, 210.0), (210.0, 297.0)},
    "imperial": {(279.4, 215.9), (215.9, 279.4)},
}
# Coordinates are written to a thousandth of a millimetre.
WRITTEN_MM = 1.5e-3

Points = list[tuple[float, float]]


class Read:
    """A drawing as its file says it is."""

    def __init__(self, data: bytes | ElementTree.Element) -> None:
        self.root = ElementTree.fromstring(data) if isinstance(data, bytes) else data
        every = list(self.root.iter(f"{SVG}text"))
        self.ink = [text for text in every if text.get("class") != "halo"]
        self.halos = [text for text in every if text.get("class") == "halo"]
        self.texts = [text.text or "" for text in self.ink]

    @property
    def size(self) -> tuple[float, float]:
        sides = [self.root.attrib[side] for side in ("width", "height")]
        assert all(side.endswith("mm") for side in sides)
        width, height = (float(side.removesuffix("mm")) for side in sides)
        # One unit of the drawing is one millimetre on paper.
        box = [float(number) for number in self.root.attrib["viewBox"].split()]
        assert box == [0, 0, width, height]
        return width, height

    def shapes(self, style: str, tag: str = "polygon") -> list[Points]:
        return [
            [tuple(float(n) for n in pair.split(",")) for pair in shape.attrib["points"].split()]  # type: ignore[misc]
            for shape in self.root.iter(f"{SVG}{tag}")
            if shape.attrib["class"] == style
        ]

    @property
    def page(self) -> str:
        """What a browser is told of the paper."""
        return "".join(style.text or "" for style in self.root.iter(f"{SVG}style"))

    @property
    def cells(self) -> dict[str, Read]:
        """The drawings that share the page, by their names."""
        return {group[0].text or "": Read(group) for group in self.root.iter(f"{SVG}g")}

    @property
    def scale(self) -> int:
        scales = [re.fullmatch(r"(?:Scale )?1:(\d+)\b.*", text) for text in self.texts]
        (found,) = filter(None, scales)
        return int(found[1])

    def boxes(self) -> list[tuple[str, Polygon]]:
        """The box round the ink of each line of lettering, by the typeface's own file."""
        found: list[tuple[str, Polygon]] = []
        for text in self.ink:
            words, size = text.text or "", float(text.attrib["font-size"])
            bold = text.attrib.get("font-weight") == "bold"
            left, top, right, bottom = (n * size / 100 for n in _ink(words, bold))
            x, y = float(text.attrib["x"]), float(text.attrib["y"])
            width = float(text.attrib["textLength"])
            x -= {"start": 0.0, "middle": width / 2, "end": width}[text.attrib["text-anchor"]]
            box = shapely.box(x + left, y + top, x + right, y + bottom)
            turn = re.findall(r"-?[\d.]+", text.attrib.get("transform", ""))
            if turn:
                angle, u, v = (float(n) for n in turn)
                box = affinity.rotate(box, angle, origin=(u, v))
            found.append((words, box))
        return found


def _ink(words: str, bold: bool) -> tuple[float, float, float, float]:
    spec = find_spec("matplotlib")
    assert spec
    assert spec.origin
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    path = Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf" / name
    left, top, right, bottom = ImageFont.truetype(path, 100).getbbox(words, anchor="ls")
    return left, top, right, bottom


def check_sheet(read: Read, units: Units) -> None:
    """Right paper, everything on it, no lettering over other lettering, nothing over the ink."""
    assert read.size in PAPERS[units]
    width, height = read.size
    # CSS Paged Media: the page box is the sheet, so that nothing is scaled to a margin.
    assert read.page == f"@page {{ size: {width:g}mm {height:g}mm; margin: 0 }}"
    paper = shapely.box(8, 8, width - 8, height - 8)
    boxes = read.boxes()
    for words, box in boxes:
        assert paper.contains(box), f"{words} runs off the sheet"
    for (one, a), (other, b) in combinations(boxes, 2):
        assert not a.intersects(b), f"{one} over {other}"
    # What comes later is painted over what came before: SVG 2, chapter 3, rendering model.
    every = list(read.root.iter(f"{SVG}text"))
    assert every[::2] == read.halos
    assert every[1::2] == read.ink
    assert [text.text for text in read.halos] == [text.text for text in read.ink]
    assert not any("stroke" in text.attrib for text in read.ink)


def extent(points: Points) -> tuple[float, float]:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return max(xs) - min(xs), max(ys) - min(ys)
