"""Strips under a rake: one drawing, and a table of what differs."""

from __future__ import annotations

from collections.abc import Sequence

from pikepole_export.derive.measures.families import flat_families
from pikepole_export.derive.measures.outlines import Outline
from pikepole_export.write.drawings.cells import arranged, shared_page
from pikepole_export.write.drawings.outlines import foot_words, outline_item
from pikepole_model.units import FOOT_MM, INCH_MM
from reading import Read, check_sheet

WIDE_IN = 16.0


def strip(number: int, low_in: float, *, rises: float = 4.0) -> Outline:
    """A strip 16 in wide, its top 3 in 12 (4 in over its width): low at the left edge."""
    left, right = (low_in, low_in + rises) if rises > 0 else (low_in - rises, low_in)
    corners = ((0.0, 0.0), (WIDE_IN, 0.0), (WIDE_IN, right), (0.0, left))
    return Outline(
        kind="siding strip",
        names=(f"siding strip {number}",),
        stock="19/32 plywood",
        material="plywood",
        seen="from outside",
        up="up",
        corners=tuple((u * INCH_MM, v * INCH_MM) for u, v in corners),
        along="y",
    )


def strips(lows_in: Sequence[float], rises: float = 4.0) -> list[tuple[str, Outline]]:
    found = enumerate(lows_in, start=1)
    return [(f"strip-{k}", strip(k, low_in, rises=rises)) for k, low_in in found]


def test_what_differs_in_its_marks_alone_is_one_family() -> None:
    (family,) = flat_families(strips((10, 14, 18, 22, 26)))
    assert list(family) == [f"strip-{k}" for k in range(1, 6)]


def test_the_other_hand_and_another_slope_are_no_family() -> None:
    rising, falling = strips((10, 14, 18, 22, 26)), strips((10, 14, 18, 22, 26), -4.0)
    both = [*rising, *((f"{name}-b", one) for name, one in falling)]
    assert [len(own) for own in flat_families(both)] == [5, 5]
    steeper = ("steep", strip(9, 12.0, rises=8.0))
    assert [len(own) for own in flat_families([*rising, steeper])] == [5, 1]


def test_few_are_drawn_each_for_itself() -> None:
    assert [len(own) for own in flat_families(strips((10, 14, 18, 22)))] == [1] * 4


def test_a_family_is_one_drawing_with_a_table() -> None:
    (family,) = flat_families(strips((8, 12, 16, 20, 24)))
    item = outline_item(family, "imperial")
    (places,) = arranged([item], "imperial")
    read = Read(
        shared_page(places, "Flat pieces", foot_words(family.values()), "imperial").to_bytes()
    )
    check_sheet(read, "imperial")
    assert item.name == "strip-1-and-4-more"
    assert "Make 5" in read.texts
    # The width is one for all; a is the slope's letter, so b and c are its ends, and the blank's
    # height is c.
    assert "blank 1' 4\" x c" in read.texts
    assert read.texts.count("b") == read.texts.count("c") == 2
    rows: dict[str, list[str]] = {}
    for text in sorted(read.ink, key=lambda text: float(text.attrib["x"])):
        rows.setdefault(text.attrib["y"], []).append(text.text or "")
    assert ["strip-1", "1", '8"', "1' 0\"", "siding strip 1"] in rows.values()
    assert ["strip-5", "1", "2' 0\"", "2' 4\"", "siding strip 5"] in rows.values()
    # Drawn is the largest, true to its scale.
    (piece,) = read.shapes("piece")
    tall = max(y for _, y in piece) - min(y for _, y in piece)
    assert abs(tall * read.scale - (2 * FOOT_MM + 4 * INCH_MM)) < read.scale * 0.05
