"""Steel ties: where they stand, what they touch, their nails and their mass, by hand.

Where wind asks, rafters are tied to what they rest on (IRC R802.11). Straps under a ridge board are
1-1/4 in wide, of 20 ga steel, at most 4 ft apart, with three nails in each rafter, in the upper
third of the attic (IRC R802.4.6).
"""

from __future__ import annotations

import math
import tomllib
from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from conftest import FORMS, SCENES
from fodder import read, table
from measuring import box_of, of_group, of_kind
from mended import follow, ways
from once import forget
from pikepole_export.derive.buying.fasteners import fasteners
from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.lifting.items import items
from pikepole_model.build import build
from pikepole_model.building.joints import NAILED, fixing
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.load_path import ties_between
from pikepole_model.building.part import Building
from pikepole_model.checks.practice import practice_findings
from pikepole_model.layout.room import Room
from pikepole_model.layout.straps import spread
from pikepole_model.reading.file import check_scene, load_scene
from pikepole_model.units import FOOT_MM, INCH_MM
from strategies import scene_of

CUT_MM = 0.05
RAFTERS = (Kind.RAFTER, Kind.END_RAFTER)
RESTS = (Kind.BEAM, Kind.TOP_PLATE, Kind.LEDGER)
# Steel: 490 lb/ft3 (AISC Steel Construction Manual).
STEEL_KG_MM3 = 490 * 0.45359237 / (12 * INCH_MM) ** 3
# 18 ga and 20 ga galvanised steel: Manufacturers' Standard Gauge and the zinc on it.
GAUGE_18_MM, GAUGE_20_MM = 0.0516 * INCH_MM, 0.0396 * INCH_MM


def of(name: str) -> Building:
    return build(load_scene({**SCENES, **FORMS}[name]))


def nails(building: Building, joint: str) -> int:
    return sum(row.pieces for row in fasteners(building) if row.joint == joint)


@pytest.mark.parametrize(
    "name", ["lopsided", "canoe-store", "cider-barn", "bench-room", "wood-lean-to", "cart-shelter"]
)
def test_every_rafter_is_tied_once_to_all_that_it_rests_on(name: str) -> None:
    building = of(name)
    parts = {part.name: part for part in building.parts}
    seats = 0
    for rafter in of_kind(building, *RAFTERS):
        mates = [parts[mate] for mate in building.mates[rafter.name]]
        rests = {mate.group for mate in mates if mate.kind in RESTS}
        if rests & {"left wall", "right wall"}:
            # Along an end wall's plates it is nailed from eave to eave; not out at a lean-to.
            rests &= {"front lean-to beam", "back lean-to beam"}
        ties = [mate.name for mate in mates if mate.kind is Kind.TIE_DOWN]
        held = [{parts[name].group for name in building.mates[tie]} & rests for tie in ties]
        assert all(len(groups) == 1 for groups in held)
        assert set().union(*held) == rests, rafter.name
        seats += len(rests)
    # One for each: where two meet over a purlin, each has its own.
    assert len(of_kind(building, Kind.TIE_DOWN)) == seats


def test_a_monopitch_counted_by_hand() -> None:
    # 12 ft long: rafters 16 in apart at the ends, 16, 32 ... 128: 10. The outer two lie on the end
    # walls' plates; each other on the front and the back wall's.
    building = build(read())
    ties = of_kind(building, Kind.TIE_DOWN)
    assert len(ties) == 2 * (10 - 2)
    assert nails(building, "rafter tie-down to rafter") == 4 * len(ties)
    assert nails(building, "rafter tie-down to beam or plate") == 4 * len(ties)
    leg = 1.5 * INCH_MM
    for tie in ties:
        (x0, y0, z0), (x1, y1, z1) = tie.bounds_mm
        assert (x1 - x0, y1 - y0) == pytest.approx((leg, leg), abs=CUT_MM)
        # Both legs' middle line, less the corner that is counted twice.
        volume = GAUGE_18_MM * (2 * leg - GAUGE_18_MM) * (z1 - z0)
        assert part_mass(tie).likely_kg == pytest.approx(volume * STEEL_KG_MM3, rel=1e-3)
        # Down past both plates, and so far up that it has 2 in of the rafter.
        plate = max(
            box_of(p).high[2]
            for p in of_kind(building, Kind.TOP_PLATE)
            if p.name in building.mates[tie.name]
        )
        assert plate - z0 == pytest.approx(3 * INCH_MM, abs=CUT_MM)
        assert z1 - plate >= 2 * INCH_MM - CUT_MM


def test_straps_under_a_ridge_board() -> None:
    building = of("drying-loft")
    straps = of_kind(building, Kind.RIDGE_STRAP)
    rafters = {part.name: part for part in of_kind(building, Kind.RAFTER)}
    assert nails(building, "ridge strap to rafter") == 2 * 3 * len(straps)
    board, *_ = of_kind(building, Kind.RIDGE_BOARD)
    plates = max(
        box_of(part).high[2]
        for part in of_kind(building, Kind.TOP_PLATE)
        if part.group in ("front wall", "back wall")
    )
    peak = box_of(board).high[2]
    for strap in straps:
        assert len(building.mates[strap.name] & rafters.keys()) == 2
        (x0, _, z0), (x1, _, z1) = strap.bounds_mm
        assert (x1 - x0, z1 - z0) == pytest.approx((GAUGE_20_MM, 1.25 * INCH_MM), abs=1e-3)
        assert z0 >= peak - (peak - plates) / 3
    across = sorted({round(part.centre_mm[0], 1) for part in rafters.values()})
    strapped = sorted(strap.centre_mm[0] for strap in straps)
    # From the first pair that does not lie on an end wall to the last, one face or the other.
    assert abs(strapped[0] - across[0]) < 1.5 * INCH_MM
    assert abs(strapped[-1] - across[-1]) < 1.5 * INCH_MM
    assert all(b - a <= 4 * FOOT_MM + 2 * INCH_MM for a, b in pairwise(strapped))


@given(st.lists(st.integers(0, 60), min_size=2, max_size=12, unique=True).map(sorted))
def test_straps_are_as_few_as_their_distance_allows(places: list[int]) -> None:
    chosen = spread([float(place) for place in places], 16.0)
    assert (chosen[0], chosen[-1]) == (places[0], places[-1])
    for a, b in pairwise(chosen):
        between = [place for place in places if a < place < b]
        assert b - a <= 16 or not between
    # With one less between any two, these lie too far apart.
    for a, _, c in zip(chosen, chosen[1:], chosen[2:], strict=False):
        assert c - a > 16


def test_a_beam_is_strapped_to_the_studs_under_it() -> None:
    building = of("honey-house")
    kinds = {part.name: part.kind for part in building.parts}
    straps = of_kind(building, Kind.STRAP)
    assert {part.label for part in straps} == {"front wall strap", "back wall strap"}
    for strap in straps:
        held = {kinds[name] for name in building.mates[strap.name]}
        assert Kind.BEAM in held
        assert held & {Kind.STUD, Kind.KING}
    # The way down from a rafter goes over its tie to a ply of the beam, and from that over a strap.
    tied = ties_between(building)
    beam = {other for one, other in tied if kinds[one] is Kind.BEAM or kinds[other] is Kind.BEAM}
    assert any(kinds[name] in RAFTERS for name in beam)
    for (one, other), steel in tied.items():
        assert all({one, other} <= building.mates[part.name] for part in steel)


def test_posts_of_an_open_side_are_strapped_to_header_and_rim() -> None:
    building = of("kindling-store")
    kinds = {part.name: part.kind for part in building.parts}
    posts = {part.name for part in of_kind(building, Kind.WALL_POST) if part.group == "front wall"}
    held: dict[str, set[Kind]] = {name: set() for name in posts}
    for strap in of_kind(building, Kind.STRAP):
        for post in building.mates[strap.name] & posts:
            held[post] |= {kinds[name] for name in building.mates[strap.name]}
    # The outer posts always; those between where they are more than 4 ft apart.
    assert sum({Kind.HEADER, Kind.RIM} <= kinds for kinds in held.values()) >= 2


def test_anchors_along_the_outer_skids() -> None:
    # 12 in from both ends and at most 8 ft apart: 20 ft takes 18 ft in 3 gaps.
    whole = {"longest": "24 ft"}
    building = build(read(building={"length": "20 ft", "depth": "8 ft"}, cutting=whole))
    anchors = of_kind(building, Kind.GROUND_ANCHOR)
    assert len(anchors) == 2 * (3 + 1)
    front, _, back = sorted(of_kind(building, Kind.SKID), key=lambda skid: skid.centre_mm[1])
    for anchor in anchors:
        low, high = anchor.bounds_mm
        assert low[2] == pytest.approx(-30 * INCH_MM)
        # Flat on the outer face of the skid that it is screwed to.
        skid, face = (front, high[1]) if low[1] < 0 else (back, low[1])
        assert skid.name in building.mates[anchor.name]
        assert face == pytest.approx(box_of(skid).low[1] if skid is front else box_of(skid).high[1])
        # 2 in by 1/4 in, 34 in long.
        volume = 2 * 0.25 * 34 * INCH_MM**3
        assert part_mass(anchor).likely_kg == pytest.approx(volume * STEEL_KG_MM3, rel=1e-3)
    assert nails(building, "ground anchor to skid or girder") == 2 * len(anchors)


def test_anchors_of_a_moved_building_stand_clear_of_its_walls() -> None:
    # Of the honey house, driven once its walls are sheeted: 7/16 in of sheets, and half the head of
    # a sledge of 3 in, 1-1/2 in, from them to the bar's middle. Common practice, no source.
    building = of("honey-house")
    anchors, blocks = of_kind(building, Kind.GROUND_ANCHOR), of_kind(building, Kind.ANCHOR_BLOCK)
    sheets = of_group(building, "front wall sheathing") + of_group(building, "back wall sheathing")
    assert len(anchors) == len(blocks) == 2 * 3  # 168 in, 12 in from its ends: 144 in 2 gaps
    faces = [edge for one in sheets for edge in (one.bounds_mm[0][1], one.bounds_mm[1][1])]
    for anchor, wood in zip(anchors, blocks, strict=True):
        assert max(one.stage for one in sheets) < anchor.stage
        assert min(faces) - anchor.centre_mm[1] > 1.5 * INCH_MM or (
            anchor.centre_mm[1] - max(faces) > 1.5 * INCH_MM
        )
        # Screwed to a 4x4 a foot long, and that to the skid.
        assert building.mates[anchor.name] >= {wood.name}
        assert {name for name in building.mates[wood.name] if name.startswith("skid")}
        assert wood.length_mm == pytest.approx(12 * INCH_MM)
    assert nails(building, "anchor block to skid or girder") == 4 * 6
    assert nails(building, "ground anchor to anchor block") == 2 * 6


def test_an_anchor_that_no_sledge_gets_at_is_told() -> None:
    # Skids 6 in in: no block of 5-1/2 in, which a lag screw holds, reaches out from under the wall.
    scene = tomllib.loads(FORMS["wood-lean-to"].read_text(encoding="utf-8"))
    scene["foundation"]["inset"] = "6 in"
    found = {one.key: one for one in practice_findings(build(scene_of(scene)))}["ties.ground"]
    assert "no sledge" in found.text
    for key, value in ways(found.mend, found.key):
        mended = build(scene_of(follow(scene, key, value)))
        assert "ties.ground" not in {one.key for one in practice_findings(mended)}


def test_what_a_pad_carries_is_bolted_down_and_not_anchored_in_the_ground() -> None:
    assert not of_kind(of("canoe-store"), Kind.GROUND_ANCHOR)


@pytest.mark.parametrize(
    ("name", "key", "kind"),
    [
        ("honey-house", "rafters", Kind.TIE_DOWN),
        ("honey-house", "walls", Kind.STRAP),
        ("honey-house", "ground", Kind.GROUND_ANCHOR),
        ("honey-house", "floor", Kind.FLOOR_TIE),
        ("drying-loft", "ridge", Kind.RIDGE_STRAP),
    ],
)
def test_each_can_be_left_out(name: str, key: str, kind: Kind) -> None:
    scene = load_scene({**SCENES, **FORMS}[name])
    without = scene.model_copy(update={"ties": scene.ties.model_copy(update={key: "none"})})
    there, left = (
        Counter(p.kind for p in build(scene).parts),
        Counter(p.kind for p in build(without).parts),
    )
    # The anchors of a moved building with the blocks that they are screwed to.
    kinds = (kind, Kind.ANCHOR_BLOCK) if kind is Kind.GROUND_ANCHOR else (kind,)
    gone = there - left
    assert gone == {one: there[one] for one in kinds}
    assert not left - there


def test_a_tie_is_no_lift_of_its_own_and_is_bought_with_its_nails() -> None:
    building = of("honey-house")
    steel = {part.name for part in building.parts if part.kind.family is Family.TIES}
    assert steel
    assert not steel & {name for item in items(building) for name in item.same}
    bought = Counter(
        {row.fastener: row.pieces for row in fasteners(building) if "tie-down" in row.fastener}
    )
    assert sum(bought.values()) == len(of_kind(building, Kind.TIE_DOWN))


@pytest.mark.usefixtures("anew")
def test_a_rafter_without_room_for_a_tie_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    def nowhere(*_: object) -> bool:
        return False

    monkeypatch.setattr(Room, "is_free", nowhere)
    scene = table()
    checked, _ = check_scene(scene)
    assert checked
    (told,) = practice_findings(build(checked))
    assert told.key == "ties.rafters"
    assert len(told.parts) == 10 - 2
    ((key, value),) = ways(told.mend.partition(",")[0], told.key)
    checked, problems = check_scene(follow(scene, key, value))
    assert checked
    assert not problems
    forget()
    assert not practice_findings(build(checked))


@pytest.mark.parametrize("name", ["honey-house", "garden-classroom", "press-house", "lopsided"])
def test_every_skid_and_girder_is_tied_to_the_joists_over_it(name: str) -> None:
    # A load path without a break from the roof to the ground: IRC R301.1. Ties at both ends, and
    # from joist to joist at most 4 ft apart: common practice, no source.
    building = of(name)
    parts = {part.name: part for part in building.parts}
    ties = of_kind(building, Kind.FLOOR_TIE)
    for tie in ties:
        # Both legs lie on wood: one on a joist, one on what carries it.
        mates = sorted(parts[mate].kind for mate in building.mates[tie.name])
        assert mates in ([Kind.JOIST, Kind.SKID], [Kind.JOIST, Kind.GIRDER]), tie.name
        assert fixing(tie.kind, parts[min(building.mates[tie.name])].kind) == NAILED
    for bearer in of_kind(building, Kind.SKID, Kind.GIRDER):
        low, high = (corner[0] for corner in bearer.bounds_mm)
        own = sorted(t.centre_mm[0] for t in ties if bearer.name in building.mates[t.name])
        assert own[0] - low < 6 * INCH_MM
        assert high - own[-1] < 6 * INCH_MM
        assert all(b - a <= 4 * FOOT_MM + 4 * INCH_MM for a, b in pairwise(own))
    assert nails(building, "floor tie to joist, skid or girder") == 2 * 4 * len(ties)


def test_steeper_rafters_have_longer_ties() -> None:
    # A 12 in 12 rafter rises 1-1/2 in over the leg's width, and 2 in of it are lapped.
    building = build(read(roof={"slope": "12:12", "ridge": {"kind": "beam"}}))
    high = [
        part.bounds_mm[1][2] - part.bounds_mm[0][2] for part in of_kind(building, Kind.TIE_DOWN)
    ]
    assert min(high) >= 5 * INCH_MM - CUT_MM
    assert max(high) >= 3 * INCH_MM + 1.5 * INCH_MM + 2 * INCH_MM - CUT_MM
    assert not math.isclose(min(high), max(high))
