"""The open bays, measured on the parts."""

from __future__ import annotations

import itertools
from math import radians, tan

import pytest

from measuring import CUT_MM, INCH, Box, box_of, of_group, of_kind
from pikepole_export.derive.buying.fasteners import fasteners
from pikepole_export.derive.buying.schedule import fixed
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from planned import built


def centre_x(part: Part) -> float:
    box = box_of(part)
    return (box.low[0] + box.high[0]) / 2


def test_posts(building: Building) -> None:
    # Evenly from the store to the bay's end; the last flush with it; outer faces in line with the
    # walls' outer faces, so that the beam runs straight on.
    scene = building.scene
    for bay in scene.bay:
        stock = scene.lumber_stock(bay.post)
        posts = [p for p in of_group(building, f"{bay.side} bay posts") if p.kind == Kind.POST]
        count = bay.posts or 1
        assert len(posts) == 2 * count
        far = -bay.reach if bay.side == "left" else scene.building.length + bay.reach
        near = 0.0 if bay.side == "left" else scene.building.length
        for front in (True, False):
            line = [p for p in posts if (box_of(p).low[1] < scene.building.depth / 2) == front]
            marks = sorted(abs(centre_x(p) - near) for p in line)
            steps = [bay.reach * (k + 1) / count for k in range(count)]
            steps[-1] -= stock.breadth_mm / 2
            assert marks == pytest.approx(steps, abs=CUT_MM)
            faces = [box_of(p) for p in line]
            outer = {round(b.low[1] if front else b.high[1], 3) for b in faces}
            assert outer == {0.0 if front else round(scene.building.depth, 3)}
        ends = [x for p in posts for x in (box_of(p).low[0], box_of(p).high[0])]
        assert min(abs(x - far) for x in ends) < CUT_MM


def test_posts_stand_on_footings(building: Building) -> None:
    # Every post 1 in over its concrete in a base that is cast in; the concrete as deep under the
    # ground and as high over it as the scene says.
    for bay in building.scene.bay:
        footings = [p for p in building.parts if p.name.startswith(f"{bay.side} bay footing")]
        posts = [p for p in of_group(building, f"{bay.side} bay posts") if p.kind == Kind.POST]
        assert len(footings) == len(posts)
        for footing in footings:
            box = box_of(footing)
            assert box.low[2] == pytest.approx(-bay.footing.depth, abs=CUT_MM)
            assert box.high[2] == pytest.approx(bay.footing.above_ground, abs=CUT_MM)
        for post in posts:
            box = box_of(post)
            assert box.low[2] == pytest.approx(bay.footing.above_ground + INCH, abs=CUT_MM)
            assert post.material.treated
            under = [
                f
                for f in footings
                if abs(centre_x(f) - centre_x(post)) < 0.05
                and box_of(f).low[1] < box.low[1]
                and box.high[1] < box_of(f).high[1]
            ]
            assert len(under) == 1


def beam_boxes(building: Building, name: str) -> list[Box]:
    kinds = (Kind.BEAM, Kind.BEAM_SPACER)
    return [box_of(part) for part in of_group(building, f"{name} beam") if part.kind in kinds]


def test_beams(building: Building) -> None:
    # On the plates and the posts, from one end of the roof to the other, as thick as its plies and
    # spacers, flush with the walls' outer faces.
    scene = building.scene
    if not scene.bay:
        assert not of_kind(building, Kind.BEAM)
        return
    beam = scene.beam
    assert beam
    ply = scene.lumber_stock(beam.ply)
    spacer = scene.sheet_stock(beam.spacer).thickness_mm if beam.spacer else 0.0
    thick = beam.plies * ply.breadth_mm + (beam.plies - 1) * spacer
    bays = {bay.side: bay.reach for bay in scene.bay}
    ends = (-bays.get("left", 0.0), scene.building.length + bays.get("right", 0.0))
    for name in ("front", "back"):
        boxes = beam_boxes(building, name)
        assert (min(b.low[0] for b in boxes), max(b.high[0] for b in boxes)) == pytest.approx(ends)
        low, high = min(b.low[1] for b in boxes), max(b.high[1] for b in boxes)
        face = 0.0 if name == "front" else scene.building.depth - thick
        assert (low, high) == pytest.approx((face, face + thick), abs=CUT_MM)
        plates = [p for p in of_group(building, f"{name} wall") if p.kind == Kind.TOP_PLATE]
        assert {round(b.low[2], 3) for b in boxes} == {
            round(max(box_of(p).high[2] for p in plates), 3)
        }
        assert {round(b.high[2] - b.low[2], 3) for b in boxes} == {round(ply.depth_mm, 3)}


def test_beams_follow_the_slope(building: Building) -> None:
    # One beam is higher than the other by the roof's slope over the level distance between like
    # points of the two bearings.
    scene = building.scene
    if not scene.bay:
        return
    tops, inner = {}, {}
    for name in ("front", "back"):
        boxes = beam_boxes(building, name)
        tops[name] = boxes[0].high[2]
        inner[name] = min(box.low[1] for box in boxes)
    rise = tan(radians(scene.roof.slope)) * (inner["back"] - inner["front"])
    if scene.roof.falls == "front":
        rise = -rise
    assert tops["front"] - tops["back"] == pytest.approx(rise, abs=CUT_MM)


def test_plies_meet_over_supports(building: Building) -> None:
    # No ply longer than its stock; each joint over a post or a full stud, and at least 24 in from
    # the next ply's where there is a choice (common practice, no source).
    scene = building.scene
    standing = (Kind.POST, Kind.STUD, Kind.KING)
    for name in ("front", "back"):
        plies = [p for p in of_group(building, f"{name} beam") if p.kind == Kind.BEAM]
        spacers = [p for p in of_group(building, f"{name} beam") if p.kind == Kind.BEAM_SPACER]
        if not plies:
            continue
        y = box_of(plies[0]).low[1]
        supports = [
            box
            for box in map(box_of, of_kind(building, *standing))
            if box.low[1] < y + 200.0 and box.high[1] > y - 200.0
        ]
        rows: dict[float, list[float]] = {}
        for part in (*plies, *spacers):
            longest = (
                scene.lumber_stock(part.stock).longest_mm
                if part.kind == Kind.BEAM
                else scene.sheet_stock(part.stock).length_mm
            )
            box = box_of(part)
            assert box.high[0] - box.low[0] <= longest + CUT_MM, part.name
            if part.kind == Kind.BEAM:
                rows.setdefault(round(box.low[1], 3), []).append(box.low[0])
        joints = [sorted(starts)[1:] for _, starts in sorted(rows.items())]
        for joint in itertools.chain(*joints):
            assert any(box.low[0] < joint < box.high[0] for box in supports), joint
        for a, b in itertools.pairwise(joints):
            assert all(abs(p - q) >= 24 * INCH - CUT_MM for p, q in itertools.product(a, b))


@pytest.mark.parametrize("name", ["garden-classroom", "boat-rack", "dory-shelter"])
def test_plies_that_meet_in_a_cap_are_bolted_in_it(name: str) -> None:
    """Either has two bolts of 1/2 in, 7 times as far from its end and 3/4 in from the steel's.

    Sources: NDS Table 12.5.1A, tension parallel to the grain of softwood, and AISC 360 Table J3.4,
    both from memory; two to each length as in a beam that goes on: common practice, no source.
    """
    building = built(name)
    caps = [part for part in building.parts if part.kind is Kind.POST_CAP]
    bolts = {one.part.name: one.pieces for one in fixed(building) if one.part.kind is Kind.POST_CAP}
    told = {row.how for row in fasteners(building) if row.joint == "beam in post cap"}
    assert told
    assert all(how.startswith("2 to each length at each place") for how in told)
    least, joined = (7 * 0.5 + 0.75) * 25.4, 0
    for cap in caps:
        low, high = cap.bounds_mm
        plies = [
            part.bounds_mm
            for part in building.parts
            if part.kind is Kind.BEAM and part.name in building.mates[cap.name]
        ]
        ends = [a[0] for a, _ in plies for _, b in plies if abs(a[0] - b[0]) < 0.1]
        for end in ends:
            assert low[0] + least - 0.1 < end < high[0] - least + 0.1, cap.name
        assert bolts[cap.name] == (4 if ends else 2)
        joined += bool(ends)
    assert 0 < joined < len(caps)
