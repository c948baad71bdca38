"""What a stage is nailed with is told beside its picture, off the list of fasteners.

Numbers of nails: IBC Table 2304.10.1 and IRC Table R602.3(1), from memory.
"""

from __future__ import annotations

import re
import tomllib
from importlib import resources
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageDraw

from blocks import joined, lumber
from pikepole_export.derive.buying.fasteners import fasteners
from pikepole_export.derive.buying.schedule import fixed
from pikepole_export.derive.buying.touching import JointType
from pikepole_export.derive.lifting.sawn import put_up
from pikepole_export.graphics.lettering import NO_BREAK
from pikepole_export.write.pictures.column import Column, fitting
from pikepole_export.write.pictures.nailing import ENOUGH, Nailing, nailing, nailing_plate
from pikepole_export.write.pictures.plate import Plate, blank, wide_px
from pikepole_export.write.pictures.render import plates_of
from pikepole_export.write.pictures.sheet import BESIDE, DETAIL_PX, DETAILED, MAIN, SECOND_PX, STRIP
from pikepole_model.build import build
from pikepole_model.building.fastenings import Each, load_fastenings, read_fastenings
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.errors import CatalogueError
from pikepole_model.reading.file import load_scene

Point = tuple[float, float, float]
PAIR = ("piece", "under")
SCENES = Path(__file__).parents[1] / "scenes"
# It stands beside a view, or beside or under views that are drawn smaller.
SIZES = (SECOND_PX, BESIDE[1][2:], DETAILED[1][2:], STRIP[2:])


def told(building: Building, name: str) -> Nailing:
    (stage,) = (one for one in building.stages if one.name == name)
    said = nailing(building, stage)
    assert said
    return said


def lines(said: Nailing) -> list[str]:
    """Each joint with the fastener that it stands below; those that share a line apart."""
    found: list[str] = []
    head = ""
    for line in said["lines"]:
        text = line["text"].replace(NO_BREAK, " ")
        if line["bold"]:
            head = text
        else:
            joints, how = text.split(": ")
            names = joints.split("; ")
            assert line["joints"] == len(names)
            found += [f"{head}; {name}: {how}" for name in names]
    return found


@pytest.mark.parametrize(
    ("stage", "line"),
    [
        # Item 22: joist to sill or girder, 3-8d common (2-1/2 x 0.131 in), toenail.
        (
            "Floor frame",
            "8d common nail 2-1/2 x 0.131 in, hot-dip galvanized; joist to bearer: 3 toe-nailed, "
            "2 one side, 1 the other",
        ),
        # Item 17: stud to plate, 2-16d common (3-1/2 x 0.162 in), end nail.
        ("Back wall", "16d common nail 3-1/2 x 0.162 in; stud to bottom plate: 2 end-nailed"),
        # Item 13: double top plate, 16d common at 16 in, face nail.
        (
            "Back wall",
            "16d common nail 3-1/2 x 0.162 in; double top plate: every 1' 4\", face-nailed",
        ),
        # Row 6: rafter to plate, 3-10d common (3 x 0.148 in), toenail; in the IRC two on one side
        # and one on the other.
        (
            "Rafters",
            "10d common nail 3 x 0.148 in; rafter to its bearing: 3 toe-nailed, "
            "2 one side, 1 the other",
        ),
        # IRC 2021, items 31 and 32: panels on roofs, 8d common 6 in at edges and 6 in between.
        (
            "Roof deck",
            '8d common nail 2-1/2 x 0.131 in; roof sheet to frame: every 6" at edges, 6" between',
        ),
        # Upright boards hold in the blocks behind the sheets alone: two at each bearing (IRC Table
        # R703.3(1)).
        (
            "Siding",
            "8d siding nail 2-1/2 x 0.106 in, hot-dip galvanized; upright board to wall, up its "
            "middle: 2 into each plate and block behind",
        ),
    ],
)
def test_joints_are_nailed_as_the_published_schedule_has_it(
    honey_house: Building, stage: str, line: str
) -> None:
    assert line in lines(told(honey_house, stage))


def test_what_carries_comes_first(honey_house: Building) -> None:
    said = told(honey_house, "Back wall")
    assert said["head"] == "Nailing"
    joints = [line.split("; ")[1].split(":")[0] for line in lines(said)]
    # Six that carry stay where there is no room for those that hold blocks and cripple studs.
    carry = {
        *("bottom plate to floor", "stud to bottom plate", "stud to top plate"),
        *("header on jack stud", "built-up header", "double top plate"),
    }
    assert carry < set(joints)
    few, count = fitting(said, lambda told: sum(not bold for _, bold in told) <= said["enough"] + 1)
    assert count == said["enough"]
    texts = " ".join(words for words, _ in few)
    assert all(joint in texts for joint in carry)
    assert "cripple stud to header" not in texts
    counted = sum(len(words.split("; ")) for words, bold in few[:-1] if not bold)
    assert few[-1] == (f"and {len(joints) - counted} more, in fasteners.csv", False)


def test_what_holds_most_of_a_stage_comes_before_what_it_adds_besides() -> None:
    # Rafters are most of it; few sheets fill the gables between the end ones and their plates.
    building = build(load_scene(SCENES / "canoe-store.toml"))
    joints = [line.split("; ")[1].split(":")[0] for line in lines(told(building, "Rafters"))]
    assert joints[:2] == ["rafter to its bearing", "rafter tie-down to rafter"]
    assert "wall sheet to frame" in joints[2:]


def test_what_a_sliding_door_hangs_from_comes_before_its_boards(honey_house: Building) -> None:
    assert "track board to wall" in lines(told(honey_house, "Doors"))[0]


def test_boards_of_two_widths_are_told_apart() -> None:
    # IRC Table R703.3(1): one nail at each bearing up to 6 in wide, two from 8 in on (7-1/4).
    building = build(load_scene(SCENES / "canoe-store.toml"))
    wide, narrow = (line for line in lines(told(building, "Siding")) if "siding to studs" in line)
    assert wide.endswith('every 1\' 4", 2 rows, 7" wide and over, face-nailed')
    assert narrow.endswith('every 1\' 4", under 7" wide, face-nailed')


def test_what_is_screwed_on_is_not_called_nailed(honey_house: Building) -> None:
    assert told(honey_house, "Roof panels")["head"] == "Fastening"


def test_nails_into_treated_wood_say_what_they_are_coated_with(honey_house: Building) -> None:
    # IRC R317.3. The scene's floor frame is treated, its walls are not: sheets are nailed to both.
    (line,) = lines(told(honey_house, "Wall sheathing"))
    assert "hot-dip galvanized in treated wood" in line
    (plate,) = (line for line in lines(told(honey_house, "Back wall")) if "to floor" in line)
    assert plate.endswith(", hot-dip galvanized")


@pytest.mark.parametrize("form", ["canoe-store", "garden-classroom", "honey-house", "seed-barn"])
def test_nothing_is_told_that_is_not_bought_for_the_stage(form: str) -> None:
    building = build(load_scene(SCENES / f"{form}.toml"))
    bought = load_fastenings(building.scene.units).bought
    for stage in building.stages:
        rows = [row for row in fasteners(building, put_up(building)) if row.stage == stage.number]
        boxed = {row.joint for row in rows if row.sort in bought and bought[row.sort].size}
        said = nailing(building, stage)
        joints = {line.split("; ")[1].split(": ")[0] for line in lines(said)} if said else set()
        assert joints <= {row.joint for row in rows}
        assert len(joints) >= min(ENOUGH, len(boxed)) or not said
        assert bool(said) >= bool(boxed)


def test_how_nails_are_driven_is_what_the_source_says() -> None:
    text = resources.files("pikepole_model").joinpath("data", "fasteners.toml").read_text("utf-8")
    ways = {"toe": "toenail", "end": "end nail", "face": "face nail"}
    given = [row for row in tomllib.loads(text)["joint"] if "driven" in row]
    assert len(given) > 30
    for row in given:
        if not row["source"].startswith("as stud to plate"):
            assert ways[row["driven"]] in row["source"], row["name"]
            others = {word for way, word in ways.items() if way != row["driven"]}
            assert not any(word in row["source"] for word in others), row["name"]


def test_a_way_to_drive_nails_that_is_none_is_refused() -> None:
    text = resources.files("pikepole_model").joinpath("data", "fasteners.toml").read_text("utf-8")
    wrong = text.replace('driven = "toe"', 'driven = "slant"', 1)
    with pytest.raises(CatalogueError, match='driven is "toe", "end" or "face"'):
        read_fastenings(wrong)


@pytest.mark.parametrize(
    ("of", "low", "high", "to", "brief"),
    [
        # IRC Table R602.3(1) item 6: two of a rafter's three on one side and one on the other.
        (
            *(Kind.RAFTER, (600, -900, 89), (638, 900, 229), Kind.TOP_PLATE),
            "3 toe-nailed, 2 one side, 1 the other",
        ),
        # Items 11 and 22 do not tell the sides: as many from both, common practice, no source.
        (
            *(Kind.JOIST, (600, -900, 89), (638, 900, 229), Kind.SKID),
            "3 toe-nailed, 2 one side, 1 the other",
        ),
        (Kind.JACK, (0, 0, -2000), (38, 89, 0), Kind.HEADER, "4 toe-nailed, 2 each side"),
        # IBC Table 2304.10.1 row 1: three at each of the two ends of a block.
        (
            *(Kind.FLOOR_BLOCK, (400, 0, 89), (800, 38, 229), Kind.SKID),
            "3 toe-nailed at each end, 2 one side, 1 the other",
        ),
    ],
)
def test_toe_nails_are_told_by_side(
    of: Kind, low: Point, high: Point, to: Kind, brief: str
) -> None:
    under = lumber("under", to, (0, 0, 0), (1200, 89, 89), group="under")
    (row,) = fasteners(joined([under, lumber("piece", of, low, high, group="piece")], [PAIR]))
    assert row.brief == brief
    # The list tells them as the page does.
    assert brief.endswith(row.driven)
    assert row.how.endswith(row.driven)


def test_no_joint_goes_by_the_row_for_all_other_wood(building: Building) -> None:
    held_by_rows_of_their_own(building)


def test_nor_does_one_of_any_other_form(form: Building) -> None:
    held_by_rows_of_their_own(form)


def held_by_rows_of_their_own(building: Building) -> None:
    general = {"other wood", "side by side"}
    found = {(one.row.name, one.part.name) for one in fixed(building) if one.row.name in general}
    assert not found


@pytest.mark.parametrize(
    ("of", "to", "way", "name", "each"),
    [
        # All common practice, no source: as many as hold a rafter to a ridge, a block to a stud,
        # top plates to each other at corners.
        (Kind.FLY_RAFTER, Kind.FLY_RAFTER, JointType.ASKEW, "fly rafters at their peak", 2),
        (Kind.NAILING_BLOCK, Kind.TOP_PLATE, JointType.ASKEW, "block to a raked plate", 2),
        (Kind.TOP_PLATE, Kind.RIDGE_BOARD, JointType.ASKEW, "ridge board on raked plates", 2),
        (Kind.HEADER, Kind.TOP_PLATE, JointType.ASKEW, "header to the wall across", 2),
    ],
)
def test_what_meets_at_a_raked_wall_has_rows_of_its_own(
    of: Kind, to: Kind, way: JointType, name: str, each: int
) -> None:
    row = next(row for row in load_fastenings().schedule if row.fits(of, to, way))
    assert (row.name, row.count) == (name, Each(each))
    assert row.source.startswith("common practice, no source")


def test_nails_that_are_not_as_many_at_each_end_are_refused() -> None:
    text = resources.files("pikepole_model").joinpath("data", "fasteners.toml").read_text("utf-8")
    wrong = text.replace("each = 6\nends = 2", "each = 5\nends = 2", 1)
    with pytest.raises(CatalogueError, match="each is 5: give as many at each of 2 ends"):
        read_fastenings(wrong)


def test_where_there_is_little_room_whole_joints_are_left_out_and_counted() -> None:
    said: Nailing = {
        "head": "Nailing",
        "lines": [
            {"text": "16d", "bold": True, "joints": 0, "rank": -1},
            {"text": "one", "bold": False, "joints": 1, "rank": 0},
            {"text": "four", "bold": False, "joints": 1, "rank": 3},
            {"text": "8d", "bold": True, "joints": 0, "rank": -1},
            {"text": "two; three", "bold": False, "joints": 2, "rank": 1},
        ],
        "enough": 2,
    }

    def fitted(room: int) -> list[str]:
        return [words for words, _ in fitting(said, lambda lines: len(lines) <= room)[0]]

    # What decides least goes first.
    assert fitted(5) == ["16d", "one", "four", "8d", "two; three"]
    said["lines"][2]["joints"] = 2
    said["lines"].insert(3, {"text": "five", "bold": False, "joints": 1, "rank": 4})
    assert fitted(5) == ["16d", "one", "8d", "two; three", "and 3 more, in fasteners.csv"]
    # No fastener is named with nothing below it.
    for room in (3, 4):
        assert fitted(room) == ["16d", "one", "and 5 more, in fasteners.csv"]
    assert fitted(2) == []


@pytest.mark.parametrize("size", SIZES)
def test_beside_the_views_it_stays_within_its_frame(
    honey_house: Building, size: tuple[int, int]
) -> None:
    for stage in honey_house.stages:
        if said := nailing(honey_house, stage):
            plate = nailing_plate(said, size)
            assert len(plate["words"]) > 2
            assert all(word["at"][1] < size[1] for word in plate["words"])
            ends = [
                word["at"][0] + wide_px(word["text"], word["bold"], word["high"])
                for word in plate["words"]
            ]
            assert max(ends) < size[0]


@pytest.mark.parametrize("form", ["canoe-store", "press-house", "seed-barn"])
@pytest.mark.parametrize("size", SIZES)
def test_all_that_carries_has_room_on_the_fullest_pages(form: str, size: tuple[int, int]) -> None:
    building = build(load_scene(SCENES / f"{form}.toml"))
    for stage in building.stages:
        said = nailing(building, stage)
        if said is None:
            continue
        told = " ".join(word["text"] for word in nailing_plate(said, size)["words"])
        for row in fasteners(building, put_up(building)):
            if row.stage == stage.number and row.carries and row.joint in str(said["lines"]):
                assert row.joint in told, (stage.name, row.joint)


def test_metric_nails_are_called_by_their_size() -> None:
    metric = build(load_scene(SCENES / "garden-classroom.toml"))
    (line,) = (one for one in lines(told(metric, "Floor frame")) if "joist to bearer" in one)
    assert re.match(r"round wire nail 3\.35 x 65 mm, .*; joist to bearer: 3 toe-nailed, 2", line)


def placed(
    said: Nailing, *, pieces: int, views: int, details: int = 0, laid_out: bool = True
) -> tuple[list[Plate], Plate | None]:
    """What stands beside and under the views of a page with so many lines of pieces."""
    draw = ImageDraw.Draw(Image.new("RGB", (1600, 1200)))
    column = Column(draw, (MAIN[2], 0, 1600 - MAIN[2], 1200), 1)
    lines = [
        {"text": f"{number} studs", "parts": [number], "rank": number} for number in range(pieces)
    ]
    words = {"over": "Store", "name": "Wall", "notes": "", "under": "Grid"}
    column.caption({**words, "pieces": lines, "blocks": []}, frozenset(range(pieces)))
    nailed = [nailing_plate(said, size) for size in SIZES]
    layout = [blank(size) for size in ((1120, 460), (560, 460), (448, 460))] * laid_out
    page: dict[str, Any] = {"nailing": said, "nailed": nailed, "layout": layout}
    page["details"] = [blank(DETAIL_PX)] * details
    plates, under, _ = plates_of(page, views, column, MAIN[3])
    return plates, under


def test_where_the_words_are_many_it_stands_beside_or_under_the_views(
    honey_house: Building,
) -> None:
    said = told(honey_house, "Back wall")

    def sizes(pieces: int, views: int, details: int = 0) -> list[tuple[int, int]]:
        plates, under = placed(said, pieces=pieces, views=views, details=details)
        return [one["size"] for one in (*plates, *([under] if under else []))]

    # A few words: in the column, and the layout keeps its room.
    assert sizes(3, 0) == [(1120, 460)]
    assert sizes(3, 1) == [(560, 460)]
    # Too many for it.
    assert sizes(34, 0) == [(560, 460), SECOND_PX]
    assert sizes(34, 1) == [BESIDE[1][2:], (448, 460)]
    assert sizes(34, 2) == [(448, 460), STRIP[2:]]
    # A detail that has no room in any case leaves it that which there is.
    assert sizes(34, 1, 1)[:2] == [BESIDE[1][2:], (448, 460)]


def test_where_nothing_is_laid_out_views_are_drawn_smaller_for_it(honey_house: Building) -> None:
    said = told(honey_house, "Back wall")

    def sizes(views: int, details: int) -> list[tuple[int, int]]:
        plates, under = placed(said, pieces=34, views=views, details=details, laid_out=False)
        assert under is None
        return [one["size"] for one in plates]

    assert sizes(1, 0) == [SECOND_PX]
    assert sizes(2, 0) == [BESIDE[1][2:]]
    # A view, the words and a detail have all the room that there is beside the column.
    assert sizes(1, 1) == [DETAILED[1][2:], DETAIL_PX]
    assert sum(DETAILED[place][2] for place in range(3)) == MAIN[2]
