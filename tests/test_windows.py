"""Windows measured on the parts: panes, frames, clearances, rows, and openings under a beam."""

from __future__ import annotations

import re
from collections import Counter
from typing import Any

import numpy as np
import pytest

from clad import WRAP_MM
from filled import (
    FOUR,
    INCH,
    ONE_BY,
    Table,
    face_of,
    in_face,
    mass_kg,
    named,
    problems_of,
    store,
    table_of,
    window,
)
from measuring import CUT_MM, corners, of_kind
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import check
from pikepole_model.reading.file import check_scene

FIXED: dict[str, Any] = {"kind": "fixed light"}

# The frame boards stand a membrane's 1 mm and a tape's 0.3 mm in from the studs, the tape under the
# header and the membrane off the rough sill.
MEMBRANE, TAPE = 1.0, 0.3
CLEAR_U = 30 * INCH - 2 * (MEMBRANE + TAPE + ONE_BY)

# 2x4 studs and 7/16 in sheets.
WALL = 3.5 * INCH + 7 / 16 * INCH


def pane_v(pane_mm: float) -> tuple[float, float]:
    """Foot and head of a pane over a sill 1-1/2 in thick at the wall's inner face.

    The sill falls 1 in 8 outward from the membrane behind it; the pane stands 1/8 in over it at its
    own inner face, which is a stop of 1-1/2 in and its own thickness in from the sheathing's.
    """
    fall = (WALL - MEMBRANE - 1.5 * INCH - pane_mm) / 8
    return (
        36 * INCH + MEMBRANE + 1.5 * INCH - fall + INCH / 8,
        72 * INCH - TAPE - ONE_BY - INCH / 8,
    )


@pytest.fixture(scope="module")
def light() -> Building:
    return store(window(window=FIXED, trim={}))


def test_a_fixed_light_by_its_pieces(light: Building) -> None:
    # Lining: head, sill, two jambs; four stops before the pane and four behind; four casings.
    kinds = Counter(part.kind for part in light.parts if part.group in ("windows", "trims"))
    assert kinds == {
        Kind.SILL_MEMBRANE: 1,
        Kind.FRAME_BOARD: 4,
        Kind.GLAZING_STOP: 8,
        Kind.PANE: 1,
        Kind.CASING: 4,
    }
    assert not check(light)


def test_the_pane_is_the_clear_opening_less_its_clearances(light: Building) -> None:
    (pane,) = of_kind(light, Kind.PANE)
    # 1/8 in all round: common practice, no source.
    low, top = pane_v(6.0)
    wide, high = CLEAR_U - INCH / 4, top - low
    assert sorted(pane.shape.size_mm) == pytest.approx([6.0, wide, high], abs=CUT_MM)
    # Polycarbonate: 1.2 kg/m2 for each mm, as makers of sheet print it.
    assert mass_kg([pane]) == pytest.approx(wide * high * 6.0 * 1200e-9, rel=1e-6)


def test_a_glass_pane_has_the_density_of_glass() -> None:
    (pane,) = of_kind(store(window(window={**FIXED, "pane": "4 mm glass"})), Kind.PANE)
    # 2500 kg/m3, EN 572-1.
    low, top = pane_v(4.0)
    expected = (CLEAR_U - INCH / 4) * (top - low) * 4.0 * 2500e-9
    assert mass_kg([pane]) == pytest.approx(expected, rel=1e-6)


def test_the_pane_stands_clear_of_the_frame_and_between_the_stops(light: Building) -> None:
    face = face_of(light, "front")
    (pane,) = of_kind(light, Kind.PANE)
    u, v, n = in_face(face, pane)
    frame = [in_face(face, part) for part in of_kind(light, Kind.FRAME_BOARD)]
    left, right = sorted(f for f in frame if f[0][1] - f[0][0] < 2 * ONE_BY)
    head = max((f for f in frame if f[0][1] - f[0][0] > 2 * ONE_BY), key=lambda f: f[1])
    gaps = [u[0] - left[0][1], right[0][0] - u[1], head[1][0] - v[1]]
    assert gaps == pytest.approx([INCH / 8] * 3, abs=CUT_MM)
    assert v == pytest.approx(pane_v(6.0), abs=CUT_MM)
    inner = [in_face(face, part)[2] for part in named(light, "window inner", Kind.GLAZING_STOP)]
    outer = [in_face(face, part)[2] for part in named(light, "window outer", Kind.GLAZING_STOP)]
    assert [end for _, end in inner] == pytest.approx([n[0]] * 4, abs=CUT_MM)
    assert [start for start, _ in outer] == pytest.approx([n[1]] * 4, abs=CUT_MM)


def test_the_frame_is_as_deep_as_the_wall_with_its_cladding() -> None:
    # Boards of 3/4 in lie 4 mm off the sheathing, over metal, wrap and tape.
    building = store(window(window=FIXED), cladding=[{"kind": "boards"}])
    face = face_of(building, "front")
    boards = [p for p in of_kind(building, Kind.FRAME_BOARD) if "sill" not in p.name]
    assert len(boards) == 3
    for part in boards:
        n = in_face(face, part)[2]
        assert n == pytest.approx((-WALL, WRAP_MM + ONE_BY), abs=CUT_MM)
    assert not check(building)


def test_the_membrane_lies_on_the_rough_sill_and_turns_up(light: Building) -> None:
    (membrane,) = of_kind(light, Kind.SILL_MEMBRANE)
    _, v, n = in_face(face_of(light, "front"), membrane)
    assert v == pytest.approx((36 * INCH, 42 * INCH), abs=CUT_MM)
    assert n == pytest.approx((-WALL, 0.0), abs=CUT_MM)

    # Its bends are mitred: at x from its back the sill, with 6 in up each jamb, is 4 x shorter and
    # x less deep, what is up 1-1/2 in behind the frame sill x lower. Simpson is exact.
    def area(x: float) -> float:
        behind = (1.5 * INCH - x) * CLEAR_U
        return (30 * INCH + 12 * INCH - 4 * x) * (WALL - x) + behind

    volume = (area(0.0) + 4 * area(MEMBRANE / 2) + area(MEMBRANE)) * MEMBRANE / 6
    assert membrane.volume_mm3 == pytest.approx(volume, rel=1e-6)
    none = store(window(window={**FIXED, "membrane": "none"}))
    assert not of_kind(none, Kind.SILL_MEMBRANE)
    assert not check(none)


def test_a_bought_window_weighs_what_the_scene_says() -> None:
    building = store(window(window={"kind": "unit", "mass_kg": 23.5}, trim={}))
    (unit,) = of_kind(building, Kind.WINDOW_UNIT)
    assert mass_kg([unit]) == pytest.approx(23.5, rel=1e-9)
    assert not check(building)


def test_a_bought_window_weighed_by_its_area() -> None:
    building = store(window(window={"kind": "unit", "glazing": "double glazed"}))
    (unit,) = of_kind(building, Kind.WINDOW_UNIT)
    face = face_of(building, "front")
    u, v, _ = in_face(face, unit)
    # 1/4 in to the rough opening all round: common practice, no source.
    assert u == pytest.approx((36.25 * INCH, 65.75 * INCH), abs=CUT_MM)
    assert v == pytest.approx((36.25 * INCH, 71.75 * INCH), abs=CUT_MM)
    # Two panes of 3.6 mm at 2500 kg/m3 are 18 kg/m2, and the frame half as much again: 27 kg/m2.
    assert mass_kg([unit]) == pytest.approx(29.5 * 35.5 * INCH**2 * 1e-6 * 27, rel=1e-6)
    assert len(of_kind(building, Kind.PACKER)) == 6
    assert not check(building)


@pytest.mark.parametrize("filled", [{"kind": "unit", "mass_kg": 20}, None], ids=["unit", "bare"])
def test_the_foot_of_a_casing_under_no_sill_sheds_water(filled: Table | None) -> None:
    # Its upper edge falls 1 in 4 outward, 3/16 in over 3/4 in: common practice, no source. Two
    # windows 5 in apart share the casing between them, and each has a foot between the uprights.
    two = {"width": "24 in", "header": "none", "count": 2, "apart": "5 in", "trim": {}}
    building = store(
        window(**two, **({"window": filled} if filled else {})), beam={"on_walls": True}
    )
    assert not check(building)
    face = face_of(building, "front")
    casing = [part for part in of_kind(building, Kind.CASING) if "sill" not in part.name]
    uprights = [u for u, v, _ in (in_face(face, p) for p in casing) if v[1] - v[0] > u[1] - u[0]]
    feet = [part for part in of_kind(building, Kind.CASING) if "sill" in part.name]
    assert len(uprights) == 3
    assert len(feet) == 2
    # It ends at the foot of what is bought, whose rail and weeps stay open.
    stood = {in_face(face, part)[1][0] for part in of_kind(building, Kind.WINDOW_UNIT)}
    assert all(in_face(face, part)[1][1] == pytest.approx(min(stood)) for part in feet if stood)
    for part in feet:
        u, v, n = in_face(face, part)
        assert sum(abs(u[0] - side[1]) < CUT_MM for side in uprights) == 1
        assert sum(abs(u[1] - side[0]) < CUT_MM for side in uprights) == 1
        points = corners(part) - np.array(face.place.origin)
        outer = points[points @ np.array(face.place.n) > n[1] - CUT_MM] @ np.array(face.place.v)
        assert v[1] - max(outer) == pytest.approx(3 / 16 * INCH, abs=CUT_MM)
        area = FOUR * ONE_BY - 3 / 16 * INCH * ONE_BY / 2
        assert part.volume_mm3 == pytest.approx(area * (u[1] - u[0]), rel=1e-6)


@pytest.fixture(scope="module")
def row() -> Building:
    return store(
        window(
            name="bench window",
            width="24 in",
            header="none",
            count=3,
            apart="5 in",
            window=FIXED,
            trim={},
        ),
        beam={"on_walls": True},
    )


def test_a_row_is_named_and_spaced(row: Building) -> None:
    face = face_of(row, "front")
    assert [f.opening.name for f in face.openings] == [f"bench window {k}" for k in (1, 2, 3)]
    # 3 ft, then 24 in of opening and 5 in between each.
    starts = [f.u[0] / INCH for f in face.openings]
    assert starts == pytest.approx([36, 65, 94])
    assert len(of_kind(row, Kind.PANE)) == 3
    assert not check(row)


def test_a_row_shares_its_casing(row: Building) -> None:
    face = face_of(row, "front")
    middles = sorted(
        in_face(face, part)[0] for part in named(row, "bench window middle", Kind.CASING)
    )
    # From clear opening to clear opening: 5 in of wall, two frame boards, membrane and tape.
    more = MEMBRANE + TAPE + ONE_BY
    expected = [(60 * INCH - more, 65 * INCH + more), (89 * INCH - more, 94 * INCH + more)]
    assert [end for u in middles for end in u] == pytest.approx(
        [end for u in expected for end in u], abs=CUT_MM
    )
    whats = Counter(
        part.name.removeprefix("bench window ").split()[0]
        for part in row.parts
        if part.kind == Kind.CASING
    )
    assert whats == {"side": 2, "middle": 2, "head": 1, "sill": 1}


def test_under_a_beam_kings_hold_a_flat_head(row: Building) -> None:
    # One stud flat over each, between its kings; no header and no jack.
    assert not of_kind(row, Kind.HEADER, Kind.JACK)
    kings = sorted(in_face(face_of(row, "front"), king)[0] for king in of_kind(row, Kind.KING))
    assert len(kings) == 6
    heads = of_kind(row, Kind.HEAD_PLATE)
    assert [sorted(head.shape.size_mm) for head in heads] == [
        pytest.approx([1.5 * INCH, 3.5 * INCH, 24 * INCH], abs=CUT_MM)
    ] * 3
    for head, left, right in zip(heads, kings[::2], kings[1::2], strict=True):
        u, v, _ = in_face(face_of(row, "front"), head)
        assert u == pytest.approx((left[1], right[0]), abs=CUT_MM)
        assert v == pytest.approx((72 * INCH, 73.5 * INCH), abs=CUT_MM)
    above = [
        part
        for part in of_kind(row, Kind.CRIPPLE)
        if in_face(face_of(row, "front"), part)[1][0] > 73 * INCH
    ]
    assert len(above) >= 3


def test_an_opening_up_to_the_plates_has_no_head() -> None:
    # Walls of 7 ft on the low side: 84 in less two plates of 1-1/2 in is 81 in, 36 in up.
    opening = window(wall="back", header="none", height="45 in", window=FIXED)
    building = store(opening, beam={"on_walls": True})
    assert not of_kind(building, Kind.HEAD_PLATE, Kind.HEADER, Kind.JACK)
    assert not check(building)


SHED = {"beam": {"on_walls": True}}
REFUSED = {
    "no header without a beam": (window(header="none"), {}, "header"),
    "no header in a side wall": (window(header="none", wall="left"), SHED, "header"),
    "jacks without a header": (window(header="none", jacks=1), SHED, "jacks"),
    "head just under the plates": (
        window(header="none", wall="back", height="44.5 in"),
        SHED,
        "height",
    ),
    "a row that is not spaced": (window(count=2), {}, "apart"),
    "a distance without a row": (window(apart="6 in"), {}, "apart"),
    "no room for kings and jacks": (window(count=3, apart="5 in"), {}, "apart"),
    "a row past the corner": (window(count=6, apart="6 in"), {}, "width"),
    "a row too far right": (window(count=3, apart="6 in", from_left="86 in"), {}, "from_left"),
    "a unit without a mass": (window(window={"kind": "unit"}), {}, "window"),
    "a unit with two masses": (
        window(window={"kind": "unit", "mass_kg": 9.0, "glazing": "double glazed"}),
        {},
        "window",
    ),
    "an unknown pane": (window(window={**FIXED, "pane": "7 mm glass"}), {}, "window.pane"),
    "a frame too narrow for the wall": (
        window(window={**FIXED, "frame": "1x3"}),
        {},
        "window.frame",
    ),
    "stops too wide for the wall": (window(window={**FIXED, "stop": "1x4"}), {}, "window.stop"),
    "no light left": (window(width="5 in", window=FIXED), {}, "window"),
    "a door in a window": (window(door={"kind": "framed"}), {}, "door"),
}


@pytest.mark.parametrize("what", REFUSED)
def test_refused_once_and_by_its_key(what: str) -> None:
    opening, tables, key = REFUSED[what]
    assert [key for key, _ in problems_of(table_of(opening, **tables))] == [f"opening[1].{key}"]


def test_windows_side_by_side_with_casings_of_their_own() -> None:
    building = store(window(count=2, apart="9 in", window=FIXED, trim={}))
    assert len(of_kind(building, Kind.CASING)) == 8
    assert not check(building)


@pytest.mark.parametrize("wall", ["left", "right"])
@pytest.mark.parametrize("depth", [8, 12, 14])
def test_a_cased_window_beside_a_roof_that_comes_down_to_the_floor(wall: str, depth: int) -> None:
    # A side wall 8 ft high at its high end is 8 ft less depth times rise high at its low one. The
    # window is in the high half: seen from outside, the right one of the left wall.
    for rise in range(1, 13):
        low = 8 * 12 - depth * rise
        far = depth * 12 - 10 - 16
        one = window(wall=wall, width="16 in", height="12 in", sill="20 in", trim={})
        one["from_left"] = f"{far if wall == 'left' else 10} in"
        table = table_of(one, building={"length": "16 ft", "depth": f"{depth} ft"})
        table |= {"walls": {"high_height": "8 ft"}, "roof": {"slope": f"{rise}:12"}}
        found = {problem.key: problem for problem in check_scene(table)[1]}
        if low <= 0:
            least = re.search(r"at least (.+?)(,| or |$)", found["walls.high_height"].mend)
            assert least
            table["walls"] = {"high_height": least[1]}
            found = {problem.key: problem for problem in check_scene(table)[1]}
            assert "walls.high_height" not in found, rise
        elif low >= 24:
            assert found == {}, rise
