"""Drawings to work from: of shaped lumber, of flat pieces with cut-outs, of bent trims.

    shaped_pages(building) -> list[Page]
    write_templates(pages, folder) -> list[Path]     drawings/*.svg
    pattern_pages(pages, building) -> {"rafter 3": ("patterns-1", "rafter A")}

A birdsmouth has sheets of its own at full size as well.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from pikepole_export.derive.measures.bends import Bend
from pikepole_export.derive.measures.families import families, flat_families
from pikepole_export.derive.measures.outlines import Outline
from pikepole_export.derive.measures.templates import Template
from pikepole_export.files.whole import make_folder, put, slug
from pikepole_export.write.drawings.bent import OF_ALL_BENDS, bent_item
from pikepole_export.write.drawings.cells import Item, Place, packed, shared_page
from pikepole_export.write.drawings.details import details_of
from pikepole_export.write.drawings.outlines import foot_words, outline_item
from pikepole_export.write.drawings.pattern_names import named_shapes, pattern_names
from pikepole_export.write.drawings.patterns import pattern_items
from pikepole_export.write.drawings.tiles import tiles
from pikepole_export.write.drawings.title import ONE_PATTERN
from pikepole_model.building.laps import end_lap_mm
from pikepole_model.building.part import Building
from pikepole_model.units import Units

FOLDER = "drawings"


@dataclass(frozen=True, slots=True)
class Page:
    """A page of patterns.

    Attributes:
        stem: Its name.
        patterns: What is on it.
        draw: Makes the SVG file.
    """

    stem: str
    patterns: tuple[str, ...]
    draw: Callable[[], bytes]


def shaped_pages(building: Building) -> list[Page]:
    """Pages of every template, outline and profile of a building, small ones together on a page.

    Args:
        building: The building.

    Returns:
        In order of building; none where every piece is a box.
    """
    return list(_pages(building))


def write_templates(pages: Sequence[Page], folder: Path) -> list[Path]:
    """Write pages of patterns.

    Args:
        pages: What is on them.
        folder: Where its output goes; the drawings come into a folder inside.

    Raises:
        OutputError: a file could not be written whole.
    """
    files = {page.stem: page.draw() for page in pages}
    if not files:
        return []
    place = make_folder(folder / FOLDER)
    return [put(place / f"{stem}.svg", data) for stem, data in files.items()]


def pattern_pages(pages: Sequence[Page], building: Building) -> dict[str, tuple[str, str]]:
    """The page that each shaped piece is marked out by and its pattern on that, by its name."""
    stems = {name: page.stem for page in pages for name in page.patterns}
    return {part: (stems[name], name) for part, name in pattern_names(building).items()}


def _pages(building: Building) -> Iterator[Page]:
    """Patterns of sticks, birdsmouths at full size, then flat pieces, then bends."""
    units = building.scene.units
    shapes = list(named_shapes(building))
    sticks = [(name, one) for name, one in shapes if isinstance(one, Template)]
    items = {
        item: tuple(own)
        for family in families(sticks)
        for item, own in pattern_items(family, units)
    }
    yield from _shared(items, "Patterns", lambda _: ONE_PATTERN, units)
    for name, one in sticks:
        yield from _full_size(name, one, units)
    flat = {name: one for name, one in shapes if isinstance(one, Outline)}
    pieces = {outline_item(own, units): tuple(own) for own in flat_families(flat.items())}

    def flat_words(names: Sequence[str]) -> str:
        return foot_words([flat[name] for name in names])

    yield from _shared(pieces, "Flat pieces", flat_words, units)
    bent: dict[Item, tuple[str, ...]] = {}
    for name, one in ((name, one) for name, one in shapes if isinstance(one, Bend)):
        lap_mm = end_lap_mm(one.kind, building.scene.catalogue.find_flat(one.stock), units)
        bent[bent_item(one, name, lap_mm, units)] = (name,)
    yield from _shared(bent, "Bent metal", lambda _: OF_ALL_BENDS, units)


def _shared(
    items: Mapping[Item, tuple[str, ...]],
    heading: str,
    foot: Callable[[Sequence[str]], str],
    units: Units,
) -> Iterator[Page]:
    """Pages of cells; each item with the patterns that are on it."""
    pages = packed(items, units)
    for k, places in enumerate(pages, start=1):
        names = tuple(name for place in places for name in items[place.item])
        head = f"{heading}, page {k} of {len(pages)}"
        draw = partial(_cells, places, head, foot(names), units)
        yield Page(f"{slug(heading)}-{k}", names, draw)


def _cells(places: Sequence[Place], heading: str, foot: str, units: Units) -> bytes:
    return shared_page(places, heading, foot, units).to_bytes()


def _full_size(stem: str, template: Template, units: Units) -> Iterator[Page]:
    """The birdsmouths of a rafter, sheet by sheet."""
    for detail in details_of(template):
        if detail.features[0].birdsmouth:
            called = f"{stem}, birdsmouth {detail.letter}"
            for k, sheet in enumerate(tiles(template, detail, called, units), start=1):
                name = f"{stem}-birdsmouth-{detail.letter.lower()}-full-size-{k}"
                yield Page(name, (), partial(bytes, sheet))
