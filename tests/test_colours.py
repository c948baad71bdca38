from __future__ import annotations

from itertools import pairwise

import pytest

from pikepole_export.graphics.colours import STEPS, Look, part_colour, part_look
from samples import sample_building


def lightness(look: Look) -> float:
    # CIE 1976 L* of the luminance of a colour with the Rec. 709 primaries (CIE 15, ITU-R BT.709):
    # Y = 0.2126 R + 0.7152 G + 0.0722 B in linear light, L* = 116 Y^(1/3) - 16 for Y > 0.008856.
    red, green, blue = look.linear
    return 116 * (0.2126 * red + 0.7152 * green + 0.0722 * blue) ** (1 / 3) - 16


def test_looks_stay_apart_in_grey() -> None:
    # Common practice, no source: a step of 8 in L* is told apart without a key.
    light = [lightness(look) for look in STEPS]
    assert all(a - b > 8 for a, b in pairwise(light))


@pytest.mark.parametrize(
    ("value", "linear"),
    # IEC 61966-2-1: the ends, either side of the break, and half, 0.2140.
    [(0.0, 0.0), (0.04, 0.04 / 12.92), (0.05, 0.003936), (0.5, 0.214041), (1.0, 1.0)],
)
def test_linear_light(value: float, linear: float) -> None:
    assert Look("", (value, value, value), 1.0).linear == pytest.approx((linear,) * 3, abs=1e-6)


def test_a_part_looks_like_what_it_is_made_of() -> None:
    looks = {part.name: part_look(part).name for part in sample_building().parts}
    assert looks["footing 1"] == "concrete"
    assert looks["anchor bolt 2"] == "steel"
    assert looks["front rim"] == "treated lumber"
    assert looks["back wall bottom plate"] == "treated lumber"
    assert looks["back wall top plate"] == "lumber"
    assert looks["floor sheet 1"] == "sheet"
    assert all(part_colour(part) == part_look(part).colour for part in sample_building().parts)
