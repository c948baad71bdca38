"""What people read of a building's strength: the calculations, and the picture of the frame."""

from __future__ import annotations

import itertools
import re
from html import unescape
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from conftest import SCENES
from pikepole_export.cli.strength_words import strength_list
from pikepole_export.derive.strength.check import Rule
from pikepole_export.derive.strength.plan import Strength, strength_of
from pikepole_export.derive.strength.words import clause_text, says
from pikepole_export.graphics.colours import Colour
from pikepole_export.write.pictures.strength import (
    HIGH_PX,
    NOT_LOOKED_AT,
    SHADES,
    piece_of,
    shade_of,
    start_strength,
)
from pikepole_export.write.tables.calculations import write_calculations
from pikepole_model.build import build
from pikepole_model.building.part import Building
from pikepole_model.reading.file import load_scene

# Two shades a reader tells apart in grey differ by so much in lightness at least: common practice,
# no source.
APART = 10.0


@pytest.fixture(scope="module")
def found() -> tuple[Building, Strength]:
    building = build(load_scene(SCENES["plain"]))
    return building, strength_of(building)


def text_of(page: str) -> str:
    body = page.split("<body>")[1]
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", body)))


def test_every_check_is_worked_out(found: tuple[Building, Strength], tmp_path: Path) -> None:
    building, strength = found
    page = write_calculations(building, strength, tmp_path).read_text(encoding="utf-8")
    text = text_of(page)
    for check in strength.checks:
        assert check.formula in text
        assert f"By {clause_text(check)}" in text
        assert says(check) in text
        for factor in check.value.factors if check.value else ():
            assert factor.symbol in text
            assert factor.value == 1 or factor.clause in text
    for sentence in (*(one.told for one in strength.assumed), *strength.left_out):
        assert sentence in text
    for load in strength.loads:
        assert load.name in text
        assert load.formula in text
    # Whole: each tag that opens closes again.
    for tag in ("table", "tr", "td", "section", "div", "p", "ul"):
        assert len(re.findall(rf"<{tag}[ >]", page)) == page.count(f"</{tag}>"), tag
    assert not re.search(r"\b(safe|ok)\b", text, re.IGNORECASE)


def test_the_keys_of_a_scene_are_told_to_who_writes_it_alone(tmp_path: Path) -> None:
    building = build(load_scene(SCENES["boat-rack"]))
    strength = strength_of(building)
    said = " ".join(" ".join(strength_list(strength, "metric")).split())
    page = text_of(write_calculations(building, strength, tmp_path).read_text(encoding="utf-8"))
    for key in ("site.heated", "lumber.grade", "ties.anchor_rating", "ties.base_rating"):
        assert key in said
        assert key not in page
    assert "give " not in page
    assert "The building is not heated, assumed; confirm." in page
    assert "Lumber is No. 2, assumed; confirm by its stamp." in page


def test_snow_on_the_sheet(found: tuple[Building, Strength], tmp_path: Path) -> None:
    # ASCE 7-16 7.3: 0.7 x 1.0 x 1.2 x 1.0 x 30 psf = 25.2 psf.
    page = write_calculations(*found, tmp_path).read_text(encoding="utf-8")
    assert "snow on a flat roof 25.2 psf pf = 0.7 Ce Ct Is pg" in text_of(page)
    assert "Ce 1.00, Ct 1.20, Is 1.00, pg 30.0 psf" in text_of(page)


def lightness(colour: Colour) -> float:
    """L* of CIE 1976, from sRGB (IEC 61966-2-1)."""
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in colour]
    y = float(np.dot(linear, (0.2126, 0.7152, 0.0722)))
    return 116 * y ** (1 / 3) - 16


def test_shades_are_told_apart_in_grey() -> None:
    steps = [lightness(colour) for colour in (NOT_LOOKED_AT, *(one for _, one in SHADES))]
    assert all(a - b > APART for a, b in itertools.pairwise(steps))
    assert shade_of(None) == NOT_LOOKED_AT
    assert [shade_of(ratio) for ratio in (0.2, 0.4, 0.7, 1.0, 1.01)] == [c for _, c in SHADES]


def test_the_picture_shows_the_frame_in_its_shades(
    found: tuple[Building, Strength], tmp_path: Path
) -> None:
    with start_strength(*found) as picture:
        (name,) = picture.finish(tmp_path)
    with Image.open(tmp_path / name) as image:
        assert image.size[1] == HIGH_PX
        pixels = np.asarray(image.convert("RGB"), dtype=float)[:, : image.size[0] // 2]
    # Brown faces: red well over blue; a good share of the half that the frame is in.
    brown = pixels[..., 0] - pixels[..., 2] > 60
    assert 0.02 < brown.mean() < 0.6


def test_a_moment_is_worked_out_from_the_sheet_alone(
    found: tuple[Building, Strength], tmp_path: Path
) -> None:
    # A joist of the shed on two skids: reaction and moment by statics of what its sheet says is on
    # it, each load times the factor of the combination.
    building, strength = found
    check = next(
        one
        for one in strength.checks
        if one.sort == "floor joist" and one.rule is Rule.BENDING and one.combination
    )
    basis = check.basis
    assert basis
    assert check.combination
    assert check.at_mm is not None
    (first, _), (second, _) = basis.supports
    rows = [
        (one.from_mm, one.to_mm, factor * one.force_n)
        for load, factor in check.combination.shares
        for one in basis.loads[load]
    ]
    about_second = sum(force * (second - (low + high) / 2) for low, high, force in rows)
    reaction = about_second / (second - first)
    at = check.at_mm
    moment = reaction * max(0.0, at - first)
    for low, high, force in rows:
        if low < at:
            end = min(at, high)
            share = (end - low) / (high - low) if high > low else 1.0
            moment -= force * share * (at - (low + end) / 2)
    # Wherever it is worst: over a support or between.
    assert abs(moment) == pytest.approx(
        next(one.value for one in check.numbers if one.symbol == "M"), rel=1e-6
    )
    page = write_calculations(building, strength, tmp_path).read_text(encoding="utf-8")
    text = text_of(page)
    for name in dict.fromkeys(name for _, name in basis.supports):
        assert f"on {name}" in text
    assert "D: dead load" in text


def test_the_hardest_worked_are_named_on_the_picture() -> None:
    # A header of two plies is marked at one of them.
    building = build(load_scene(SCENES["honey-house"]))
    strength = strength_of(building)
    by_name = {part.name: part for part in building.finished.parts}
    for check in strength.checks:
        if check.is_worked and "header" in check.member:
            part = piece_of(by_name, strength, check.member)
            assert part is not None
            assert part.name.startswith(check.member)
