"""Joist hangers: one wherever a joist's end hangs on another's side, every hole of it filled."""

from __future__ import annotations

import pytest

from pikepole_export.derive.buying.fasteners import Fastener, boxes, fasteners
from pikepole_export.derive.buying.schedule import fixed
from pikepole_model.build import build
from pikepole_model.building.fastenings import load_fastenings, read_fastenings
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.errors import CatalogueError
from pikepole_model.reading.file import check_scene
from planned import built

NAIL = "10d x 1-1/2 in hanger nail"
HUNG = ("joist hung on header", "header hung on joist")


def drained(y: str, joist: str = "2x8", finish: str = "hot-dip galvanised") -> Building:
    """A floor of 12 x 9 ft on three skids, with a drain 4 x 4 in that cuts the joist at 64 in.

    Joists stand 16 in on centre, so its neighbours are those at 48 and 80 in. A 4x6 on edge is
    3-1/2 in wide: the middle skid lies from 52-1/4 to 55-3/4 in.
    """
    scene, problems = check_scene(
        {
            "title": "Jam kitchen",
            "building": {"length": "12 ft", "depth": "9 ft"},
            "foundation": {"kind": "skids", "skid": "4x6", "count": 3},
            "floor": {
                "joist": joist,
                "spacing": "16 in",
                "blocking_rows": 0,
                "through": [
                    {"name": "drain", "x": "62 in", "y": y, "width": "4 in", "depth": "4 in"}
                ],
            },
            "fasteners": {"finish": finish},
            "roof": {"slope": "3:12"},
        }
    )
    assert problems == []
    assert scene
    return build(scene)


def hung(building: Building) -> list[Fastener]:
    return [row for row in fasteners(building) if row.joint in HUNG]


def test_headers_round_a_hole_hang_on_joists_and_joists_on_them() -> None:
    # Two headers from 48 to 80 in have an end each on both joists beside the hole; both parts of
    # the joist between end on a header, well clear of all skids.
    building = drained("24 in")
    assert len([p for p in building.parts if p.kind == Kind.FLOOR_HEADER]) == 2
    found = {(row.joint, row.fastener): row for row in hung(building)}
    hangers = {joint: found[joint, "joist hanger for 2x8"].pieces for joint in HUNG}
    assert hangers == {"joist hung on header": 2, "header hung on joist": 4}
    nails = {joint: found[joint, NAIL].pieces for joint in HUNG}
    holes = load_fastenings().holes_for(7.25 * 25.4)
    assert nails == {joint: holes * number for joint, number in hangers.items()}
    # They are nailed at no other rate as well.
    ends = [one for one in fixed(building) if one.row.name == "joist to rim"]
    assert all(other.kind == Kind.RIM for one in ends for other in one.others)


def test_what_lies_on_a_skid_does_not_hang() -> None:
    # The hole with its clearance ends a little short of the middle skid: the header behind it, from
    # there to 1-1/2 in on, lies on the skid, and so does the end of the joist behind that.
    building = drained("47-7/8 in")
    skids = [part for part in building.parts if part.kind == Kind.SKID]
    headers = [part for part in building.parts if part.kind == Kind.FLOOR_HEADER]
    on_skid = [h for h in headers if building.mates[h.name] & {skid.name for skid in skids}]
    assert (len(headers), len(on_skid)) == (2, 1)
    pieces = {row.joint: row.pieces for row in hung(building) if row.fastener != NAIL}
    assert pieces == {"joist hung on header": 1, "header hung on joist": 2}
    nailed = [
        one
        for one in fixed(building)
        if one.row.name == "joist to rim" and Kind.RIM not in {other.kind for other in one.others}
    ]
    # 3-16d end nails where the joint has something under it: the three ends left over.
    assert [one.pieces for one in nailed] == [3, 3, 3]


@pytest.mark.parametrize("finish", ["hot-dip galvanised", "stainless"])
def test_hangers_and_their_nails_have_one_coating(finish: str) -> None:
    # IRC R317.3.1: connectors and fasteners in treated wood alike; and of one metal.
    assert {row.finish for row in hung(drained("24 in", finish=finish))} == {finish}


def test_hangers_are_bought_singly_and_nails_by_the_box() -> None:
    building = drained("24 in", joist="2x6")
    bought = {box.fastener: box for box in boxes(hung(building), 10.0)}
    hanger = bought["joist hanger for 2x6"]
    assert (hanger.pieces, hanger.to_buy, hanger.boxes, hanger.box_pieces) == (6, 6, 6, 1)
    assert bought[NAIL].box_pieces > 1
    nails = [row for row in hung(building) if row.fastener == NAIL]
    assert sum(row.pieces for row in nails) == 6 * load_fastenings().holes_for(5.5 * 25.4)


def test_deeper_joists_have_hangers_with_more_holes() -> None:
    # Common practice, no source: what matters is that a reader is told to count them.
    holes = [load_fastenings().holes_for(depth * 25.4) for depth in (3.5, 5.5, 7.25, 9.25, 11.25)]
    assert holes == sorted(set(holes))
    assert all(number % 2 == 0 for number in holes)  # both flanges alike
    for row in hung(drained("24 in")):
        if row.fastener == NAIL:
            assert "read it off" in row.counted
            assert "AWC DCA 6" in row.source
            assert "from memory" in row.source


@pytest.mark.parametrize("name", ["honey-house", "canoe-store", "garden-classroom"])
def test_no_joist_is_cut_short_in_the_scenes(name: str) -> None:
    # Joists stand on skids or girders, rafters on plates, beams and ledgers, in seats.
    building = built(name)
    assert not any(part.kind == Kind.FLOOR_HEADER for part in building.parts)
    assert not hung(building)


def test_a_hanger_without_its_holes_is_refused() -> None:
    text = """
[[nail]]
source = "s"
boxes = ["1 lb"]
[nail.rows]
"tack" = ["1/2 in", "1 mm"]
[[counted]]
source = "s"
[counted.rows]
[families]
[[joint]]
name = "hung"
of = ["floor joist"]
to = ["floor header"]
hanger = true
fastener = "tack"
source = "s"
"""
    with pytest.raises(CatalogueError, match="holes"):
        read_fastenings(text)
    assert read_fastenings(text + '[hanger]\nsource = "s"\nholes = { "2 in" = 4 }').holes
