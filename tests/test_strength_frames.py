"""Beams against a frame library for general use, PyNite, by reactions, moments and deflection.

It too takes shear to deform nothing.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from Pynite import FEModel3D

from pikepole_export.derive.strength.beam import Analysis, Force, analyse

E, I = 9652.7, 4.1e7  # N/mm2, mm4  # noqa: E741
SMALL = 1e-6  # as a share of the largest of its kind


def in_library(loads: list[Force], length_mm: float, supports_mm: tuple[float, ...]) -> Any:
    """The same beam, a member of it between every two places where anything is."""
    model = FEModel3D()
    ends = {at for one in loads for at in (one.from_mm, one.to_mm)}
    places = sorted({0.0, length_mm, *supports_mm, *ends})
    for at in places:
        model.add_node(f"{at:g}", at, 0, 0)
    model.add_material("wood", E, E / 16, 0.3, 0.0)
    model.add_section("beam", 1e4, I, I, I)
    for low, high in pairwise(places):
        model.add_member(f"{low:g}", f"{low:g}", f"{high:g}", "wood", "beam")
    for number, at in enumerate(supports_mm):
        first = number == 0
        model.def_support(f"{at:g}", first, True, True, first, False, False)
    for one in loads:
        if one.to_mm == one.from_mm:
            model.add_node_load(f"{one.from_mm:g}", "FY", -one.force_n)
            continue
        even = -one.force_n / (one.to_mm - one.from_mm)
        for low, _ in pairwise([at for at in places if one.from_mm <= at <= one.to_mm]):
            model.add_member_dist_load(f"{low:g}", "Fy", even, even)
    model.analyze(check_statics=False)
    return model


BEAMS = {
    "two supports, both ends hang out": (
        [Force(0, 5000, 9000), Force(1700, 1700, 2500)],
        5000.0,
        (600.0, 3900.0),
    ),
    "three supports, one end hangs out": (
        [Force(0, 5300, 12700), Force(6000, 6000, 900)],
        6000.0,
        (0.0, 2000.0, 5300.0),
    ),
    "three supports, load on one span": (
        [Force(2600, 7000, 8800)],
        7000.0,
        (0.0, 2600.0, 7000.0),
    ),
    "four supports, drawn up and pressed": (
        [Force(0, 9000, -5000), Force(3100, 8000, 7000), Force(4444, 4444, 3000)],
        9000.0,
        (300.0, 2900.0, 6100.0, 8700.0),
    ),
    "five supports": (
        [Force(0, 10000, 24000), Force(1000, 3000, 4000), Force(9500, 9500, 700)],
        10000.0,
        (0.0, 2100.0, 4900.0, 7300.0, 9600.0),
    ),
}


@pytest.mark.parametrize("name", BEAMS)
def test_beams_of_a_frame_library(name: str) -> None:
    loads, length, supports = BEAMS[name]
    model = in_library(loads, length, supports)
    found: Analysis = analyse(loads, length_mm=length, supports_mm=supports, stiffness_n_mm2=E * I)
    size = sum(abs(one.force_n) for one in loads)
    theirs = [model.nodes[f"{at:g}"].RxnFY["Combo 1"] for at in supports]
    assert found.reactions_n == pytest.approx(theirs, abs=SMALL * size)
    members = list(model.members.values())
    # Theirs stretches the underside below zero.
    sagging = max(-float(one.min_moment("Mz")) for one in members)
    hogging = max(float(one.max_moment("Mz")) for one in members)
    assert found.peaks.sagging_n_mm == pytest.approx(max(0, sagging), abs=SMALL * size * length)
    assert found.peaks.hogging_n_mm == pytest.approx(max(0, hogging), abs=SMALL * size * length)
    shears = [abs(float(one.shear("Fy", 0.0))) for one in members]
    shears += [abs(float(one.shear("Fy", one.L()))) for one in members]
    assert found.peaks.shear_n == pytest.approx(max(shears), abs=SMALL * size)
    middles = [(float(one.i_node.X) + float(one.j_node.X)) / 2 for one in members]
    down = [-float(one.deflection("dy", one.L() / 2)) for one in members]
    places = [float(node.X) for node in model.nodes.values()]
    down += [-float(node.DY["Combo 1"]) for node in model.nodes.values()]
    ours = found.deflection(np.array([*middles, *places])).tolist()
    assert ours == pytest.approx(down, abs=SMALL * size * length**3 / (E * I))
