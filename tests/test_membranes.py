"""Membrane, tapes and wrap round windows and doors, measured layer by layer; sills and thresholds.

IRC R703.4: flashing is applied shingle-fashion, each layer over the one below it, and from the sill
on to the face of what drains the wall. ASTM E2112, wrap on before the window: sill, jambs over it,
head over them, and the flap of wrap over the head. Both from memory; sizes are common practice, no
source: 6 in up at the jambs, 2 in down, head tape 3 in past the opening, jamb tape 2 in.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from filled import INCH, ONE_BY, Table, door, face_of, in_face, named, problems_of, store, table_of
from filled import window as opening
from measuring import CUT_MM, of_kind
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.fit import check
from pikepole_model.plan.corners import BEHIND_MM

MEMBRANE, TAPE, WRAP, STEEL = 1.0, 0.3, 0.2, 0.0172 * INCH
WALL = 3.5 * INCH + 7 / 16 * INCH
UP, DOWN, PAST, LEG = 6 * INCH, 2 * INCH, 3 * INCH, 2 * INCH

CLAD: Table = {"wrap": {}, "cladding": [{"kind": "boards"}], "edges": {}}
BARE: Table = {"wrap": {}, "cladding": [{"kind": "battens"}]}
INSIDE: dict[str, Table] = {
    "light": opening(window={"kind": "fixed light"}, trim={}),
    "unit": opening(window={"kind": "unit", "mass_kg": 20.0}, trim={}, wall="back"),
    "vent": opening(window={"kind": "vent"}, wall="left", sill="30 in"),
    "gate": door(door={"kind": "ledged"}, trim={}),
    "pair": door(width="60 in", height="72 in", door={"kind": "framed", "leaves": 2}, wall="back"),
    "slider": door(door={"kind": "framed", "track": {}}, trim={}),
}


@pytest.fixture(scope="module", params=[(one, two) for one in INSIDE for two in ("clad", "bare")])
def built(request: pytest.FixtureRequest) -> tuple[Building, Table]:
    one, tables = request.param
    return store(INSIDE[one], **(CLAD if tables == "clad" else BARE)), INSIDE[one]


def only(building: Building, kind: Kind) -> Part:
    (part,) = of_kind(building, kind)
    return part


def lifted(building: Building, table: Table) -> float:
    """How far over a head its tape begins: over a flashing on a frame without casing, mm.

    Its flange rises 3/16 in and its dams 1/2 in over that, and tape stays clear by 1 mm: common
    practice, no source.
    """
    on_frame = building.scene.edges is not None and "trim" not in table
    return (3 / 16 + 1 / 2) * INCH + 1.0 if on_frame else 0.0


def inches(text: str) -> float:
    number, unit = text.split()
    return float(number) * (12 * INCH if unit == "ft" else INCH)


def test_each_layer_lies_over_the_one_before_it(built: tuple[Building, Table]) -> None:
    building, table = built
    face = face_of(building, table["wall"])
    assert check(building) == ()
    own = [p for p in of_kind(building, Kind.WRAP) if p.name.startswith(table["wall"])]
    wrap = max(in_face(face, part)[2][1] for part in own)
    sill, head, flap = (
        in_face(face, only(building, kind))
        for kind in (Kind.SILL_MEMBRANE, Kind.HEAD_TAPE, Kind.WRAP_FLAP)
    )
    jambs = [in_face(face, part) for part in of_kind(building, Kind.JAMB_TAPE)]
    assert len(jambs) == 2
    rough, up = face.openings[0].head, lifted(building, table)
    first = sill[2][1] - MEMBRANE
    assert first >= wrap - CUT_MM
    for jamb in jambs:
        assert jamb[2][1] == pytest.approx(sill[2][1] + TAPE, abs=CUT_MM)
        # It ends 1/2 in over the membrane's lower edge, and goes up 1 in behind the head tape, or
        # to a flashing on the frame.
        assert jamb[1][0] == pytest.approx(sill[1][0] + INCH / 2, abs=CUT_MM)
        assert jamb[1][1] == pytest.approx(rough - TAPE if up else rough + INCH, abs=CUT_MM)
    assert head[2][1] == pytest.approx(sill[2][1] + 2 * TAPE, abs=CUT_MM)
    assert flap[2][1] == pytest.approx(head[2][1] + WRAP, abs=CUT_MM)
    assert flap[2][1] <= BEHIND_MM
    # It comes out from where the wrap lies over it.
    assert flap[2][0] <= wrap
    # The flap hangs from over the tape's edge down to the rough head, as wide as the tape.
    assert flap[1][0] == pytest.approx(rough + up, abs=CUT_MM)
    assert flap[1][1] > head[1][1]
    assert flap[0] == pytest.approx(head[0], abs=CUT_MM)


def test_it_reaches_past_the_opening_and_over_the_wrap(built: tuple[Building, Table]) -> None:
    building, table = built
    face = face_of(building, table["wall"])
    u0, v0, u1, v1 = face.openings[0].rough
    sill, head = (
        in_face(face, only(building, kind)) for kind in (Kind.SILL_MEMBRANE, Kind.HEAD_TAPE)
    )
    assert sill[0] == pytest.approx((u0 - PAST, u1 + PAST), abs=CUT_MM)
    assert sill[1] == pytest.approx((v0 - DOWN, v0 + UP), abs=CUT_MM)
    assert head[0] == pytest.approx((u0 - PAST, u1 + PAST), abs=CUT_MM)
    up = lifted(building, table)
    foot = v1 + up if up else v1 - TAPE
    assert head[1] == pytest.approx((foot, v1 + up + 2 * INCH), abs=CUT_MM)
    left, right = sorted(in_face(face, part)[0] for part in of_kind(building, Kind.JAMB_TAPE))
    assert left == pytest.approx((u0 - LEG, u0 + MEMBRANE + TAPE), abs=CUT_MM)
    assert right == pytest.approx((u1 - MEMBRANE - TAPE, u1 + LEG), abs=CUT_MM)


def test_a_sill_membrane_by_closed_form() -> None:
    building = store(INSIDE["light"], **CLAD)
    # Over the flashings' two thicknesses and four of wrap; bends mitred, so that at x from its back
    # the fields at the jambs and behind the sill are x lower, the one on the sill 2 x narrower. It
    # turns up 1-1/2 in behind the sill, between jambs of 3/4 in.
    out = 2 * STEEL + 4 * WRAP
    deep, wide = WALL + out, 30 * INCH
    between = wide - 2 * (MEMBRANE + TAPE + ONE_BY)

    def area(x: float) -> float:
        behind = (1.5 * INCH - x) * between
        return behind + (2 * (UP - x) + wide - 2 * x) * deep + (wide + 2 * PAST) * (DOWN + x)

    # Simpson's rule is exact for what is square in x.
    volume = (area(0.0) + 4 * area(MEMBRANE / 2) + area(MEMBRANE)) * MEMBRANE / 6
    part = only(building, Kind.SILL_MEMBRANE)
    assert part.volume_mm3 == pytest.approx(volume, rel=1e-9)


@pytest.mark.parametrize(
    ("stud", "thick_in", "turns_up"),
    # A unit as thick as its wall, cladding and all, leaves no room for it.
    [("2x4", 3.25, True), ("2x6", 5.25, True), ("2x8", 6.5, True), ("2x4", 5.5, False)],
)
def test_a_membrane_turns_up_behind_a_bought_window(
    stud: str, thick_in: float, turns_up: bool
) -> None:
    # IRC R703.4.1 (from memory): pan flashing is sealed or sloped to drain water outward.
    unit = {"kind": "unit", "mass_kg": 20.0, "thickness": f"{thick_in} in"}
    building = store(opening(window=unit, trim={}), walls={"stud": stud}, **CLAD)
    assert check(building) == ()
    face, pan = face_of(building, "front"), only(building, Kind.SILL_MEMBRANE)
    back = in_face(face, only(building, Kind.WINDOW_UNIT))[2][0]
    points = pan.vertices_mm - np.array(face.place.origin)
    n, u, v = (points @ np.array(axis) for axis in (face.place.n, face.place.u, face.place.v))
    inside = (np.abs(u - 51 * INCH) < 15 * INCH - 1.2) & (v > 36 * INCH + 2 * MEMBRANE)
    assert inside.any() == turns_up
    if not turns_up:
        return
    # Of 9 in 2 hang down, and some lie under the unit and back from its face, which is flush with
    # boards, to the wrap. What is left turns up, 1-1/2 in at most.
    out = 2 * STEEL + 4 * WRAP - (BEHIND_MM + ONE_BY)
    most = (9 - 2 - thick_in) * INCH - out - MEMBRANE
    assert max(v[inside]) == pytest.approx(36 * INCH + min(1.5 * INCH, most), abs=CUT_MM)
    assert {round(float(one), 3) for one in n[inside]} == {
        round(back - MEMBRANE, 3),
        round(back, 3),
    }


@pytest.mark.parametrize("name", ["vent", "pair"])
def test_a_frame_without_casing_has_a_flashing_over_its_head(name: str) -> None:
    # IRC R703.4 (from memory): flashing at the heads of openings, each layer over the one below.
    building = store(INSIDE[name], **CLAD)
    assert check(building) == ()
    face = face_of(building, INSIDE[name]["wall"])
    u0, _, u1, v1 = face.openings[0].rough
    flashing, tape, flap = (
        in_face(face, only(building, kind))
        for kind in (Kind.HEAD_FLASHING, Kind.HEAD_TAPE, Kind.WRAP_FLAP)
    )
    heads = [p for p in of_kind(building, Kind.FRAME_BOARD) if "head" in p.name]
    (board,) = (in_face(face, part) for part in heads)
    # 1/2 in past the opening at both ends, 2 in up the sheathing; the drip leg 3/8 in down, 1/4 in
    # before the frame's face: common practice, no source.
    assert flashing[0] == pytest.approx((u0 - INCH / 2, u1 + INCH / 2), abs=CUT_MM)
    assert flashing[1] == pytest.approx((v1 - 3 / 8 * INCH, v1 + 2 * INCH), abs=CUT_MM)
    assert flashing[2] == pytest.approx((0.0, board[2][1] + INCH / 4 + STEEL), abs=CUT_MM)
    # Tape and wrap lie over the upper edge of its leg, and hang down over an inch of it.
    for over in (tape, flap):
        assert over[1][1] > flashing[1][1] + INCH / 2
        assert over[1][0] < flashing[1][1] - INCH
    assert len(of_kind(building, Kind.END_DAM)) == 2


def test_what_is_bought_is_as_long_as_each_piece_is_laid() -> None:
    from pikepole_export.derive.buying.coverings import coverings

    building = store(INSIDE["light"], INSIDE["pair"], **CLAD)
    rows = {row.item: row.net for row in coverings(building)}
    # A roll of 75 ft. Membrane: 30 and 60 in of opening and 6 in up at each end.
    assert rows["flashing membrane 9 in"] == pytest.approx((30 + 60 + 4 * 6) / 900)
    # Tape at the jambs from 1-1/2 in under the sill to 1 in over the head, 36 in, or of a door
    # without casing, 72 in, to the tape under its head; over the heads 3 in past both sides.
    jambs, heads = 2 * (36 + 2.5) + 2 * (72 + 1.5 - TAPE / INCH), 30 + 60 + 4 * 3
    assert rows["flashing tape 4 in"] == pytest.approx((jambs + heads) / 900)


def test_wrap_that_is_cut_for_a_flap_is_bought_once() -> None:
    from pikepole_export.derive.buying.coverings import coverings

    whole, cut = store(**CLAD), store(INSIDE["light"], **CLAD)
    nets = [
        next(row.net for row in coverings(one) if row.item == "house wrap 9 ft")
        for one in (whole, cut)
    ]
    assert nets[0] == pytest.approx(nets[1])


@pytest.mark.parametrize("apart", ["3 in", "5 in", "12 in"])
def test_tapes_of_a_row_share_what_stands_between(apart: str) -> None:
    row = opening(
        width="24 in",
        header="none",
        count=3,
        apart=apart,
        window={"kind": "fixed light"},
        trim={},
    )
    building = store(row, **CLAD, beam={"on_walls": True})
    assert check(building) == ()
    face = face_of(building, "front")
    heads = sorted(in_face(face, part)[0] for part in of_kind(building, Kind.HEAD_TAPE))
    # 3 in past each where there is room, else half of what is between, 1 mm clear.
    past = min(PAST, inches(apart) / 2 - 1.0)
    assert heads[1][0] == pytest.approx(face.openings[1].u[0] - past, abs=CUT_MM)


def test_a_window_without_membrane_and_tape() -> None:
    none: dict[str, Any] = {"kind": "fixed light", "membrane": "none", "tape": "none"}
    building = store(opening(window=none, trim={}), **CLAD)
    kinds = (Kind.SILL_MEMBRANE, Kind.JAMB_TAPE, Kind.HEAD_TAPE, Kind.WRAP_FLAP)
    assert not of_kind(building, *kinds)
    # IRC R703.4: openings are flashed.
    assert [finding.key for finding in check(building)] == [
        "opening[1].window.membrane",
        "opening[1].window.tape",
    ]
    # On bare sheets that nothing covers there is nothing to flash to.
    assert check(store(opening(window=none, trim={}))) == ()


def test_sills_slope_outward_and_drip() -> None:
    building = store(INSIDE["light"], **CLAD)
    face = face_of(building, "front")
    (sill,) = [p for p in of_kind(building, Kind.FRAME_BOARD) if "sill" in p.name]
    (u0, u1), (low, top), (back, nose) = in_face(face, sill)
    clad = BEHIND_MM + ONE_BY
    # From the membrane up the wall's inner face to 3/4 in past casing of 3/4 in; 1-1/2 in thick at
    # its back.
    assert back == pytest.approx(MEMBRANE - WALL, abs=CUT_MM)
    assert nose == pytest.approx(clad + ONE_BY + 0.75 * INCH, abs=CUT_MM)
    assert (low, top) == pytest.approx((36 * INCH + MEMBRANE, low + 1.5 * INCH), abs=CUT_MM)
    # Its section: 1 in 8 down from there, less a kerf of 1/8 x 3/16 in.
    deep = nose - back
    section = deep * 1.5 * INCH - deep * deep / 8 / 2 - INCH / 8 * 3 / 16 * INCH
    assert sill.volume_mm3 == pytest.approx(section * (u1 - u0), rel=1e-6)
    # The casing under it ends under its nose, which passes it by 3/4 in.
    under = [in_face(face, p) for p in named(building, "window sill casing", Kind.CASING)]
    assert [rect[1][1] for rect in under] == pytest.approx([low], abs=CUT_MM)


def test_stops_and_their_feet_follow_the_sill() -> None:
    building = store(INSIDE["light"], **CLAD)
    assert check(building) == ()
    stops = [p for p in of_kind(building, Kind.GLAZING_STOP) if p.shape.volume_mm3]
    assert len(stops) == 8
    # Along the sill: 3/4 in thick plumb, 1-1/2 in deep, falling 1 in 8.
    feet = sorted(stops, key=lambda p: in_face(face_of(building, "front"), p)[1])[:2]
    for foot in feet:
        v = in_face(face_of(building, "front"), foot)[1]
        assert v[1] - v[0] == pytest.approx(ONE_BY + 1.5 * INCH / 8, abs=CUT_MM)


@pytest.mark.parametrize("kind", ["ledged", "framed"])
def test_a_threshold_lies_on_its_membrane_under_the_leaf(kind: str) -> None:
    building = store(door(door={"kind": kind}, trim={}), **CLAD)
    face = face_of(building, "front")
    threshold, pan = only(building, Kind.THRESHOLD), only(building, Kind.SILL_MEMBRANE)
    (u0, u1), (low, top), (back, nose) = in_face(face, threshold)
    frame = [in_face(face, p)[0] for p in named(building, "gate frame jamb", Kind.FRAME_BOARD)]
    assert (u0, u1) == pytest.approx((min(frame)[1], max(frame)[0]), abs=CUT_MM)
    assert (low, top) == pytest.approx((MEMBRANE, MEMBRANE + ONE_BY), abs=CUT_MM)
    # 3/4 in past the casing, and a 1x8 is wide enough to reach the membrane behind it, at the
    # inner face of studs of 3-1/2 in and sheets of 7/16 in.
    assert nose == pytest.approx(BEHIND_MM + 3 * ONE_BY, abs=CUT_MM)
    assert back == pytest.approx(MEMBRANE - (3.5 + 7 / 16) * INCH, abs=CUT_MM)
    assert threshold.material.treated
    # The membrane turns up behind it, to its bevel of 1/4 in.
    points = pan.vertices_mm
    n = (points - np.array(face.place.origin)) @ np.array(face.place.n)
    v = (points - np.array(face.place.origin)) @ np.array(face.place.v)
    behind = v[np.abs(n - (back - MEMBRANE)) < CUT_MM]
    assert sorted({round(float(one), 3) for one in behind if one < UP - 1.0})[-1] == pytest.approx(
        MEMBRANE + ONE_BY - 0.25 * INCH, abs=1e-3
    )
    # The leaf 1/4 in over it, which falls from under the leaf's inner face.
    leaf = [p for p in building.parts if p.group == "gate" and p.kind != Kind.HINGE]
    assert min(in_face(face, p)[1][0] for p in leaf) == pytest.approx(top + INCH / 4, abs=CUT_MM)
    inner = min(in_face(face, p)[2][0] for p in leaf)
    run = nose - inner
    section = (nose - back) * ONE_BY - run * run / 8 / 2 - (INCH / 4) ** 2 / 2
    section -= INCH / 8 * 3 / 16 * INCH
    assert threshold.volume_mm3 == pytest.approx(section * (u1 - u0), rel=1e-6)


def test_on_a_slab_the_membrane_turns_down_over_its_edge() -> None:
    pad = {"kind": "pad", "above_ground": "8 in", "edge_depth": "20 in"}
    gate = door(door={"kind": "ledged"}, trim={})
    building = store(gate, **CLAD, foundation=pad, floor=None)
    assert check(building) == ()
    pan = in_face(face_of(building, "front"), only(building, Kind.SILL_MEMBRANE))
    assert pan[1][0] == pytest.approx(-DOWN, abs=CUT_MM)
    assert pan[2][1] == pytest.approx(MEMBRANE - 7 / 16 * INCH, abs=CUT_MM)
    assert len(of_kind(building, Kind.THRESHOLD)) == 1


def test_in_a_bare_wall_it_turns_down_over_the_sheets_where_no_casing_lies() -> None:
    # Flashing goes on to the face of what drains the wall (IRC R703.4, from memory): sheets that
    # are not covered yet are that face.
    vent = INSIDE["vent"]
    bare, cased = store(vent), store(vent | {"trim": {}})
    for building in (bare, cased):
        assert check(building) == ()
    sill = 30 * INCH
    u, v, n = in_face(face_of(bare, "left"), only(bare, Kind.SILL_MEMBRANE))
    assert v == pytest.approx((sill - DOWN, sill + UP), abs=CUT_MM)
    assert u[1] - u[0] == pytest.approx(inches(vent["width"]) + 2 * PAST, abs=CUT_MM)
    assert n[1] == pytest.approx(MEMBRANE, abs=CUT_MM)
    _, v, n = in_face(face_of(cased, "left"), only(cased, Kind.SILL_MEMBRANE))
    assert v[0] == pytest.approx(sill, abs=CUT_MM)
    assert n[1] == pytest.approx(0.0, abs=CUT_MM)


def test_without_a_threshold_the_leaf_clears_the_floor() -> None:
    building = store(door(door={"kind": "ledged", "threshold": "none"}, trim={}), **CLAD)
    assert [finding.key for finding in check(building)] == ["opening[1].door.threshold"]
    assert not of_kind(building, Kind.THRESHOLD, Kind.SILL_MEMBRANE)
    leaf = [in_face(face_of(building, "front"), p) for p in of_kind(building, Kind.DOOR_SHEET)]
    assert leaf[0][1][0] == pytest.approx(INCH / 2, abs=CUT_MM)


def test_layers_too_thick_for_their_room_are_refused() -> None:
    thick = {"name": "heavy", "uses": ["flashing membrane"], "width": "9 in", "length": "50 ft"}
    thick |= {"lap": "4 in", "end_lap": "4 in", "mass_g_m2": 2000, "thickness": "2 mm"}
    table = table_of(
        opening(window={"kind": "fixed light", "membrane": "heavy"}, trim={}),
        **CLAD,
        stock={"roll": [thick]},
    )
    assert [key for key, _ in problems_of(table)] == ["opening[1].window.membrane"]
