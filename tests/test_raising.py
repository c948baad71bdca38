"""What pages say of the heaviest lift: who raises it, where plates are sawn, how it is braced.

Four 8d toe-nails for two 16d through the plate at the foot of a stud: IRC 2021 Table R602.3(1) item
17 (from memory). Eight 16d on each side of where one of two top plates ends: item 14 of the same
table (from memory). Plates sawn where others end already: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from filled import store
from pikepole_export.derive.buying.fasteners import Fastener, fasteners
from pikepole_export.derive.buying.put_up import STUD_ON_PLATE
from pikepole_export.derive.buying.supplies import supplies
from pikepole_export.derive.lifting.halves import halves_of, plates_sawn
from pikepole_export.derive.lifting.items import Handling
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.methods import Split
from pikepole_export.derive.lifting.plan import lift_plan
from pikepole_export.derive.lifting.sawn import put_up
from pikepole_export.derive.lifting.wall_ways import in_place_walls
from pikepole_export.derive.lifting.while_fixed import while_fixed
from pikepole_export.write.pictures.block import Block
from pikepole_export.write.pictures.nailing import nailing
from pikepole_export.write.pictures.raising import raising
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.reading.file import load_scene
from pikepole_model.units import parse_length
from test_lift_halves import block, frame

SCENES = Path(__file__).parents[1] / "scenes"


def walls(building: Building) -> dict[str, Lift]:
    found = lift_plan(building).lifts
    return {lift.item.name: lift for lift in found if lift.item.handling is Handling.WALL}


def told(lift: Lift, building: Building) -> dict[str, Block]:
    return {block["head"]: block for block in raising(lift, building)}


@cache
def _of_scene(name: str) -> Building:
    return build(load_scene(SCENES / f"{name}.toml"))


@pytest.fixture
def press_house() -> Building:
    """Built inside an arbour whose posts stand in the way until its walls are up."""
    return _of_scene("press-house")


@pytest.fixture(scope="module")
def alone() -> Building:
    """Walls that nobody tilts up whole by himself."""
    return store(crew={"people": 1, "helpers": 0})


def test_studs_of_a_wall_put_up_piece_by_piece_are_toe_nailed(alone: Building) -> None:
    there = [lift for lift in walls(alone).values() if lift.chosen.split is Split.PIECES]
    assert there
    for lift in there:
        (stage,) = (one for one in alone.stages if one.number == lift.item.stage)
        said = nailing(alone, stage)
        assert said
        lines = [line["text"] for line in said["lines"]]
        (line,) = (one for one in lines if STUD_ON_PLATE in one)
        assert line.endswith("4 toe-nailed, 2 each side")
        nails = [text for text in lines[: lines.index(line)] if "nail " in text and ":" not in text]
        assert nails[-1].startswith("8d common nail")
        assert "Studs are toe-nailed" in " ".join(while_fixed(lift, "imperial"))


def test_their_nails_are_bought_four_for_two(alone: Building) -> None:
    names = {name for name, lift in walls(alone).items() if lift.chosen.split is Split.PIECES}
    assert names == in_place_walls(alone)
    through, driven = fasteners(alone), fasteners(alone, put_up(alone))

    def pieces(rows: Sequence[Fastener], nail: str, *, at_feet: bool) -> int:
        own = (row for row in rows if (row.joint == STUD_ON_PLATE) == at_feet)
        return sum(row.pieces for row in own if row.fastener == nail)

    large, small = "16d common nail", "8d common nail"
    ends = pieces(through, large, at_feet=True)
    assert ends
    assert pieces(driven, large, at_feet=True) == 0
    assert pieces(driven, small, at_feet=True) == 2 * ends
    # What is bought is what is driven: none of them twice.
    for nail in (large, small):
        bought = [one for one in supplies(alone, put_up(alone)) if one.item == nail]
        used = sum(sum(one.use.values()) for one in bought)
        assert used == sum(pieces(driven, nail, at_feet=at_feet) for at_feet in (True, False))


def test_a_wall_that_is_tilted_up_has_no_toe_nails(honey_house: Building) -> None:
    tilted = {
        name for name, one in walls(honey_house).items() if one.chosen.split is not Split.PIECES
    }
    assert tilted
    for row in fasteners(honey_house, put_up(honey_house)):
        if row.joint == STUD_ON_PLATE and row.where in tilted:
            assert (row.fastener, row.pieces) == ("16d common nail", 2 * row.joints)


@pytest.mark.parametrize("name", ["honey-house", "press-house"])
def test_sawn_top_plates_have_the_nails_of_a_splice(name: str) -> None:
    building = _of_scene(name)
    sawn = put_up(building).sawn
    wanted = [
        part
        for part in building.parts
        if part.name in sawn and part.kind is Kind.TOP_PLATE and "upper" not in part.name
    ]
    assert wanted
    whole = {(row.joint, row.where): row.pieces for row in fasteners(building)}
    rows = {(row.joint, row.where): row for row in fasteners(building, put_up(building))}
    for plate in wanted:
        key = "top plate splice", plate.group
        assert key not in whole
        assert (rows[key].pieces, rows[key].stage) == (8 + 8, plate.stage)
        assert "item 14" in rows[key].source
        (stage,) = (one for one in building.stages if one.number == plate.stage)
        said = nailing(building, stage)
        assert said
        texts = [line["text"] for line in said["lines"]]
        assert any("top plate splice: 8 face-nailed on each side" in text for text in texts)


def test_an_upper_plate_over_the_gap_of_an_old_post_is_nailed_on_both_sides(
    press_house: Building,
) -> None:
    rows = fasteners(press_house)
    (lap,) = (row for row in rows if row.joint == "top plate splice")
    (closed,) = (one.number for one in press_house.stages if one.name == "Gaps closed")
    assert (lap.where, lap.stage, lap.pieces) == ("back wall", closed, 8 + 8)


def test_studs_put_in_below_two_plates_that_are_on_are_toe_nailed(press_house: Building) -> None:
    (closed,) = (one for one in press_house.stages if one.name == "Gaps closed")
    studs = [part for part in closed.parts if part.kind is Kind.STUD]
    # Both of the front wall's plates are on; the back wall's upper one comes with these studs.
    front = sum(part.name.startswith("front wall") for part in studs)
    back = sum(part.name.startswith("back wall") for part in studs)
    assert front
    assert front + back == len(studs)
    rows = [
        row
        for row in fasteners(press_house)
        if row.joint.startswith("stud to top plate") and row.stage == closed.number
    ]
    covered = "stud to top plate that is covered"
    assert {(row.joint, row.fastener, row.brief, row.pieces) for row in rows} == {
        (covered, "8d common nail", "4 toe-nailed, 2 each side", 4 * front),
        ("stud to top plate", "16d common nail", "2 end-nailed", 2 * back),
    }


def test_plates_are_sawn_where_a_tape_from_the_left_end_finds_it(honey_house: Building) -> None:
    # From outside, the back wall's left end is the building's right one: there X is greatest.
    lift = walls(honey_house)["back wall"]
    assert lift.in_halves
    (plate,) = (part for part in honey_house.parts if part.name == "back wall bottom plate")
    half = next(
        part
        for load in lift.item.halves
        for part in load.parts
        if part.name.startswith(plate.name) and part.bounds_mm[1][0] > plate.bounds_mm[1][0] - 1
    )
    (said,) = (line for line in told(lift, honey_house)["Heaviest lift"]["plain"] if "sawn" in line)
    where = said.partition("sawn ")[2].partition(" along the plate")[0]
    assert parse_length(where.replace("\N{NO-BREAK SPACE}", " ")) == pytest.approx(
        half.length_mm, abs=0.8
    )


def test_braces_are_told_with_the_wall(honey_house: Building) -> None:
    lift = walls(honey_house)["front wall"]
    assert lift.bracing
    (said,) = told(lift, honey_house)["Braces"]["plain"]
    assert f"{lift.bracing.braces} braces, 2x4" in said
    assert lift.braced_until
    assert said.endswith(f"off after stage {lift.braced_until.number}")


def test_a_wall_parts_where_plates_end_already_if_that_is_near() -> None:
    # 4 m; it balances nearly at the middle stud, 2019 mm. Both plates end over a stud 0.5 m from
    # there, within 15 % of the length; they are sawn over the middle one where they end farther
    # off.
    def parted_at(ends_mm: float) -> tuple[float, dict[str, Any]]:
        _, uprights = frame(studs=(0, 1000, 1500, 2000, 3000, 3962))
        plates = [
            block(
                f"plate {side} {height}",
                (long_mm, 89, 38),
                long_mm / 500,
                at_mm=(89, start_mm, height),
                flat=True,
            )
            for height in (0.0, 2362.0)
            for side, start_mm, long_mm in (
                ("near", 0.0, ends_mm),
                ("far", ends_mm, 4000 - ends_mm),
            )
        ]
        found = halves_of("wall", [*plates, *uprights], (0.0, 1.0, 0.0))
        assert found
        sawn: dict[str, Any] = plates_sawn(found)
        near = np.concatenate([part.vertices_mm for part in found[0].parts if "plate" in part.name])
        return float(near[:, 1].max()), sawn

    assert parted_at(1519.0) == (pytest.approx(1519.0), {})
    cut_mm, sawn = parted_at(1019.0)
    assert cut_mm == pytest.approx(2019.0)
    assert len(sawn) == 2
