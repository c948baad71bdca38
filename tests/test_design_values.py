"""Reference values of graded lumber as the NDS Supplement prints them, 2015 to 2024.

Hem-fir No. 2 and Fb, Ft and Fv of DF-L No. 1 are as published examples have them; the others from
memory, Fb and E of 2 in lumber proved by the span tables (`test_span_tables`).
"""

from __future__ import annotations

import pytest

from measuring import INCH
from pikepole_model.stock.design_values import Wood, load_design_values
from pikepole_model.units import PSI_N_MM2

# Section, in; species: grade and Fb, Ft, Fv, Fc-perp, Fc, psi, E and Emin, million psi. Tables 4A,
# 4B (southern pine, by depth) and 4D (thick; 6x10 is of the beams, 6x6 of the posts).
ROWS = """
1.5 7.25 douglas fir-larch: Select Structural 1500 1000 180 625 1700 1.9 0.69
1.5 7.25 douglas fir-larch: No. 1 1000 675 180 625 1500 1.7 0.62
1.5 7.25 douglas fir-larch: No. 2 900 575 180 625 1350 1.6 0.58
1.5 7.25 douglas fir-larch: No. 3 525 325 180 625 775 1.4 0.51
1.5 5.5 douglas fir-larch: Stud 700 450 180 625 850 1.4 0.51
1.5 7.25 hem-fir: Select Structural 1400 925 150 405 1500 1.6 0.58
1.5 7.25 hem-fir: No. 1 975 625 150 405 1350 1.5 0.55
1.5 7.25 hem-fir: No. 2 850 525 150 405 1300 1.3 0.47
1.5 7.25 hem-fir: No. 3 500 300 150 405 725 1.2 0.44
1.5 7.25 spruce-pine-fir: Select Structural 1250 700 135 425 1400 1.5 0.55
1.5 7.25 spruce-pine-fir: No. 1 875 450 135 425 1150 1.4 0.51
1.5 7.25 spruce-pine-fir: No. 2 875 450 135 425 1150 1.4 0.51
1.5 7.25 spruce-pine-fir: No. 3 500 250 135 425 650 1.2 0.44
1.5 3.5 southern pine: Select Structural 2350 1650 175 565 1900 1.8 0.66
1.5 5.5 southern pine: Select Structural 2100 1450 175 565 1800 1.8 0.66
1.5 7.25 southern pine: Select Structural 1950 1350 175 565 1700 1.8 0.66
1.5 9.25 southern pine: Select Structural 1700 1150 175 565 1650 1.8 0.66
1.5 11.25 southern pine: Select Structural 1600 1100 175 565 1650 1.8 0.66
1.5 3.5 southern pine: No. 1 1500 1000 175 565 1650 1.6 0.58
1.5 5.5 southern pine: No. 1 1350 875 175 565 1550 1.6 0.58
1.5 7.25 southern pine: No. 1 1250 800 175 565 1500 1.6 0.58
1.5 9.25 southern pine: No. 1 1050 700 175 565 1450 1.6 0.58
1.5 11.25 southern pine: No. 1 1000 650 175 565 1400 1.6 0.58
1.5 3.5 southern pine: No. 2 1100 675 175 565 1450 1.4 0.51
1.5 5.5 southern pine: No. 2 1000 600 175 565 1400 1.4 0.51
1.5 7.25 southern pine: No. 2 925 550 175 565 1350 1.4 0.51
1.5 9.25 southern pine: No. 2 800 475 175 565 1300 1.4 0.51
1.5 11.25 southern pine: No. 2 750 450 175 565 1250 1.4 0.51
5.5 9.5 douglas fir-larch: Select Structural 1600 950 170 625 1100 1.6 0.58
5.5 9.5 douglas fir-larch: No. 1 1350 675 170 625 925 1.6 0.58
5.5 9.5 douglas fir-larch: No. 2 875 425 170 625 600 1.3 0.47
5.5 5.5 douglas fir-larch: Select Structural 1500 1000 170 625 1150 1.6 0.58
5.5 5.5 douglas fir-larch: No. 1 1200 825 170 625 1000 1.6 0.58
5.5 5.5 douglas fir-larch: No. 2 750 475 170 625 700 1.3 0.47
5.5 9.5 hem-fir: No. 2 675 350 140 405 500 1.1 0.40
5.5 5.5 hem-fir: No. 2 575 375 140 405 575 1.1 0.40
5.5 5.5 southern pine: Select Structural 1500 1000 165 375 950 1.5 0.55
5.5 5.5 southern pine: No. 1 1350 900 165 375 825 1.5 0.55
5.5 5.5 southern pine: No. 2 850 550 165 375 525 1.2 0.44
"""
FIELDS = (
    *("bending_n_mm2", "tension_n_mm2", "shear_n_mm2", "bearing_n_mm2", "compression_n_mm2"),
    *("modulus_n_mm2", "least_modulus_n_mm2"),
)


def found(breadth_in: float, depth_in: float, species: str, grade: str) -> Wood:
    wood = load_design_values().find(
        species, grade, breadth_mm=breadth_in * INCH, depth_mm=depth_in * INCH
    )
    assert wood
    return wood


@pytest.mark.parametrize("row", ROWS.strip().splitlines())
def test_reference_values_as_they_are_printed(row: str) -> None:
    where, _, rest = row.partition(": ")
    breadth, depth, species = where.split(maxsplit=2)
    *grade, fb, ft, fv, across, fc, modulus, least = rest.split()
    wood = found(float(breadth), float(depth), species, " ".join(grade))
    psi = [*map(float, (fb, ft, fv, across, fc)), float(modulus) * 1e6, float(least) * 1e6]
    assert [getattr(wood, field) / PSI_N_MM2 for field in FIELDS] == pytest.approx(psi)


def test_what_is_known_of_thick_spruce() -> None:
    # Table 4D, posts and timbers: Fb, Fc and E.
    for grade, fb, fc, modulus in (
        *(
            ("Select Structural", 1050, 800, 1.3),
            ("No. 1", 850, 700, 1.3),
            ("No. 2", 500, 500, 1.0),
        ),
    ):
        wood = found(5.5, 5.5, "spruce-pine-fir", grade)
        values = (wood.bending_n_mm2, wood.compression_n_mm2, wood.modulus_n_mm2 / 1e6)
        assert [one / PSI_N_MM2 for one in values] == pytest.approx([fb, fc, modulus])
        assert wood.shear_n_mm2 / PSI_N_MM2 == pytest.approx(125)
        assert wood.bearing_n_mm2 / PSI_N_MM2 == pytest.approx(425)
