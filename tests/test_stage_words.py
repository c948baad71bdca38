"""What pages say of steps, bevels and concrete: which steps, how far off square, one figure.

A handrail from four rises on (IRC R311.7.8) and on a ramp over 1 in 12 (IRC R311.8.3), for houses,
both from memory. Joints of the two
top plates are 24 in apart (IRC R602.3.2, from memory). Ready-mix is ordered by the quarter yard:
common practice, no source.
"""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from filled import store
from pikepole_export.derive.buying.purchase import Supplier
from pikepole_export.derive.buying.supplies import supplies
from pikepole_export.derive.measures.notes import notes_of
from pikepole_export.write.pictures.captions import PieceLine, captions
from pikepole_export.write.pictures.column import lines_kept
from pikepole_export.write.pictures.pieces import piece_lines
from pikepole_export.write.plans.framing import framing
from pikepole_export.write.plans.sheet import Words
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from planned import built
from test_ground import on_pad
from test_steps import door


def notes(**way: Any) -> str:
    building = store(door(steps=way), foundation={"kind": "piers"}, floor={"joist": "2x12"})
    (stage,) = (one for one in building.stages if one.name == "Steps and ramps")
    return notes_of(building, stage)


def test_steps_that_ask_for_a_handrail_are_named() -> None:
    # 25-1/2 in up in four rises; a ramp of 1 in 8 to the same door, and one of 1 in 12.
    assert "gate: 4 rises, so a handrail (IRC R311.7.8)" in notes(kind="steps")
    assert "gate: a ramp of 1 in 8, so a handrail (IRC R311.8.3)" in notes(kind="ramp", slope="1:8")
    assert "handrail" not in notes(kind="ramp", slope="1:12")


def test_few_steps_ask_for_none(honey_house: Building) -> None:
    (stage,) = (one for one in honey_house.stages if one.name == "Steps and ramps")
    said = notes_of(honey_house, stage)
    # Its person door has two treads, three rises.
    assert "hive doorway" in said
    assert "person door" not in said


def test_a_bevel_is_told_in_degrees(honey_house: Building) -> None:
    # A roof of 3 in 12.
    slope = f"{math.degrees(math.atan2(3, 12)):.1f}°"
    lines = [
        line for stage in honey_house.stages for line in piece_lines(stage.parts, honey_house.scene)
    ]
    blocks = [line.text for line in lines if line.parts[0].kind is Kind.RAFTER_BLOCK]
    assert blocks
    assert all(f", bevelled {slope}" in text for text in blocks)


def test_concrete_on_a_page_is_what_the_buy_list_orders() -> None:
    # A slab 20 by 12 ft, 4 in thick, its edges deeper: more than a yard, so ready-mix.
    building = on_pad()
    (mix,) = (
        one
        for one in supplies(building)
        if one.supplier is Supplier.GROUND and one.made_of == "ready-mix"
    )
    assert mix.quantity * 4 == pytest.approx(round(mix.quantity * 4))
    pages = [
        line
        for page in captions(building, {})
        for block in page["blocks"]
        for line in block["plain"]
        if "concrete" in line and "order" in line
    ]
    assert pages == [f"order concrete {mix.quantity:g} yd3"]


def test_what_weighs_least_is_left_out_where_there_is_no_room() -> None:
    # Four lines of 1, 2, 1 and 1 rows; in four rows one has to say how many are left out.
    rows, ranks = [1, 2, 1, 1], [2, 0, 3, 1]
    assert lines_kept(rows, ranks, 5) == [0, 1, 2, 3]
    assert lines_kept(rows, ranks, 4) == [1, 3]
    assert lines_kept(rows, ranks, 1) == []


def test_the_heaviest_kind_of_a_stage_stays_the_longest(honey_house: Building) -> None:
    (wall,) = (one for one in captions(honey_house, {}) if one["name"].endswith("Right wall"))
    ranked = sorted(wall["pieces"], key=lambda line: line["rank"])
    assert len({line["rank"] for line in ranked}) == len(ranked)

    # Framing is all of one wood, plywood a little heavier: by volume the order is the same.
    def volume(line: PieceLine) -> float:
        return sum(honey_house.parts[number].volume_mm3 for number in line["parts"])

    assert volume(ranked[0]) == max(map(volume, wall["pieces"]))
    assert volume(ranked[-1]) == min(map(volume, wall["pieces"]))


def test_a_walls_sheet_tells_where_its_top_plates_meet() -> None:
    # Along the front the tape runs with X, from the building's left end.
    building = built("garden-classroom")
    plates = [
        part
        for part in building.finished.parts
        if part.kind is Kind.TOP_PLATE and part.group == "front wall"
    ]
    (sheet,) = (one for one in framing(building) if one.name == "front-wall-framing")
    words = (mark.words for mark in sheet.marks if isinstance(mark, Words))
    said = " ".join(words).replace("\u00a0", " ")
    joints: dict[str, float] = {}
    for row in ("lower", "upper"):
        own = sorted(part.bounds_mm[1][0] for part in plates if row in part.name)
        assert len(own) == 2
        told = re.search(rf"{row} top plate 0 mm to (\d+) mm, (\d+) mm to (\d+) mm", said)
        assert told
        first, second, last = map(float, told.groups())
        assert first == second == pytest.approx(own[0], abs=0.5)
        assert last == pytest.approx(own[1], abs=0.5)
        joints[row] = first
    assert abs(joints["lower"] - joints["upper"]) >= 24 * 25.4
