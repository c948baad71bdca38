"""What there is to paint and prime, against areas worked out from the building's sizes."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from clad import (
    DEPTH_MM,
    FOOT,
    INCH,
    LENGTH_MM,
    ONE_BY,
    SHEET_MM,
    WRAP_MM,
    clad,
    on_wall,
    spans,
    window,
)
from pikepole_export.derive.inventory.areas import Surface, surfaces
from pikepole_export.write.tables.building import areas_table
from pikepole_export.write.tables.csv_json import write_table
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.units import Units

# Studs of 3-1/2 in (PS 20).
STUD = 3.5 * INCH


def between_tails_mm2(building: Building) -> float:
    """What is seen of the boards that close the front wall between the tails."""
    boards = [spans(part, "front") for part in on_wall(building, "front", Kind.EAVE_BOARD)]
    return sum((u1 - u0) * (v1 - v0) for (u0, u1), (v0, v1), _ in boards)


def named(building: Building) -> dict[str, Surface]:
    return {f"{surface.name} {surface.side}": surface for surface in surfaces(building)}


def test_a_bare_wall_is_its_sheets_less_its_openings() -> None:
    """Front: length by 7 ft to the plates' top at most, less 3 by 2 ft and the sheets' gaps."""
    plain = named(clad())
    opened = named(clad(opening=[window("front", "4 ft", "3 ft", "2 ft")]))
    taken = plain["front wall outside"].area_mm2 - opened["front wall outside"].area_mm2
    # The window's width has at most one sheet joint in it, of 1/8 in, which was open before.
    assert 0 <= 3 * FOOT * 2 * FOOT - taken <= INCH / 8 * 2 * FOOT + 1.0
    front = plain["front wall outside"]
    assert front.of == "wall sheet"
    assert front.area_mm2 == pytest.approx(LENGTH_MM * 7 * FOOT, rel=0.015)
    assert front.primer_area_mm2 == front.area_mm2


def test_inside_a_wall_ends_at_its_neighbours_framing() -> None:
    """Front: 12 ft less two stud depths; left: 8 ft less two."""
    plain = named(clad())
    for wall, length in (("front", LENGTH_MM), ("left", DEPTH_MM)):
        outside, inside = (plain[f"{wall} wall {side}"].area_mm2 for side in ("outside", "inside"))
        assert inside / outside == pytest.approx((length - 2 * STUD) / length, rel=0.005)


def test_a_clad_wall_is_seen_corner_to_corner() -> None:
    """Corner board to corner board, less the open joints' depth of nothing: tongues show there."""
    building = clad({"kind": "boards"}, opening=[window("front", "4 ft", "3 ft", "2 ft")])
    front = named(building)["front wall outside"]
    boards = on_wall(building, "front", Kind.SIDING)
    corners = on_wall(building, "front", Kind.CORNER_BOARD)
    high = spans(corners[0], "front")[1]
    wide = LENGTH_MM + 2 * (SHEET_MM + WRAP_MM + ONE_BY)
    gaps = 2 * INCH / 8 * (high[1] - high[0])  # beside the corner boards
    seen = wide * (high[1] - high[0]) - 3 * FOOT * 2 * FOOT - gaps
    assert front.area_mm2 == pytest.approx(seen + between_tails_mm2(building), rel=1e-3)
    assert front.of == "siding board, corner board, eave board"
    # Every face of a board is primed: twice its face at least.
    assert front.primer_area_mm2 > 2 * front.area_mm2
    assert boards


def test_primer_covers_every_face_of_a_board() -> None:
    """Square-edged boards on one wall: 2 (b h + h l + b l) each, worked out from their sizes."""
    table = {"kind": "boards", "profile": "square", "walls": ["front"], "corner": "none"}
    building = clad(table)
    total = 0.0
    for part in on_wall(building, "front", Kind.SIDING, Kind.EAVE_BOARD):
        (u0, u1), (v0, v1), (n0, n1) = spans(part, "front")
        length, height, thick = u1 - u0, v1 - v0, n1 - n0
        total += 2 * (length * height + height * thick + length * thick)
    assert named(building)["front wall outside"].primer_area_mm2 == pytest.approx(total, rel=1e-9)


def test_a_batten_hides_the_board_behind_it() -> None:
    """Board and batten without corner boards: one rectangle is seen, and boards over it."""
    building = clad({"kind": "battens", "corner": "none"})
    front = named(building)["front wall outside"]
    edges = [spans(p, "front") for p in on_wall(building, "front", Kind.UPRIGHT_BOARD)]
    wide = max(e[0][1] for e in edges) - min(e[0][0] for e in edges)
    high = edges[0][1][1] - edges[0][1][0]
    assert front.area_mm2 == pytest.approx(wide * high + between_tails_mm2(building), rel=1e-9)


def test_the_floor_is_the_room_between_the_walls() -> None:
    """On skids: 12 by 8 ft less the studs all round, less the gaps between the floor sheets."""
    building = clad(foundation={"kind": "skids"}, floor={})
    floor = named(building)["floor inside"]
    room = (LENGTH_MM - 2 * STUD) * (DEPTH_MM - 2 * STUD)
    assert floor.area_mm2 == pytest.approx(room, rel=0.005)
    assert "floor inside" not in named(clad())


@pytest.mark.parametrize(
    ("units", "unit", "unit_mm2"), [("imperial", "ft2", FOOT**2), ("metric", "m2", 1e6)]
)
def test_the_table_read_back(units: Units, unit: str, unit_mm2: float, tmp_path: Path) -> None:
    # Front: sheets from the pad up to the plates' top of 7 ft, 12 ft long less two joints of 1/8 in
    # (the gap that is stamped on sheathing), less a window of 3 x 2 ft that has no joint in it.
    # Less a notch for each tail, with 3 mm of room: rafters are cut down over the whole plate and
    # so cross the sheets' outer face 3:12 of plate and sheet below the plates' top. They are
    # 1-1/2 in thick, every 16 in: 8 between the two at the ends, which have room at one side; two
    # lie over the joints.
    deep_mm = (STUD + SHEET_MM) * 3 / 12 + 3
    wide_mm = 8 * (1.5 * INCH + 6) + 2 * (1.5 * INCH + 3) - 2 * INCH / 8
    front_mm2 = 7 * FOOT * (12 * FOOT - 2 * INCH / 8) - 3 * FOOT * 2 * FOOT - deep_mm * wide_mm
    building = clad(opening=[window("front", "4 ft 6 in", "3 ft", "2 ft")])
    people, programs = write_table(areas_table(surfaces(building), units), tmp_path)
    rows = json.loads(programs.read_text(encoding="utf-8"))
    assert [(row["name"], row["side"]) for row in rows] == [
        (f"{wall} wall", side)
        for side in ("outside", "inside")
        for wall in ("front", "back", "left", "right")
    ]
    assert list(rows[0]) == ["name", "side", "of", "area_mm2", "primer_area_mm2"]
    assert rows[0]["of"] == "wall sheet"
    assert rows[0]["area_mm2"] == rows[0]["primer_area_mm2"]
    assert rows[0]["area_mm2"] == pytest.approx(front_mm2, rel=1e-6)
    with people.open(encoding="utf-8", newline="") as file:
        lines = list(csv.DictReader(file, strict=True))
    heads = ["name", "side", "of", f"area ({unit})", f"primer area ({unit})"]
    assert [list(line) for line in lines] == [heads] * 8
    assert (lines[0]["name"], lines[0]["side"], lines[0]["of"]) == (
        "front wall",
        "outside",
        "wall sheet",
    )
    assert float(lines[0][f"area ({unit})"]) == pytest.approx(front_mm2 / unit_mm2, abs=0.005001)
    assert lines[0][f"primer area ({unit})"] == lines[0][f"area ({unit})"]


def test_primer_and_paint_differ_in_the_table(tmp_path: Path) -> None:
    """A wall of square-edged boards with their backs and edges: well over twice what is seen."""
    table = {"kind": "boards", "profile": "square", "walls": ["front"], "corner": "none"}
    _, programs = write_table(areas_table(surfaces(clad(table)), "metric"), tmp_path)
    front = json.loads(programs.read_text(encoding="utf-8"))[0]
    assert front["of"] == "siding board, eave board"
    assert 2 * front["area_mm2"] < front["primer_area_mm2"] < 3 * front["area_mm2"]
