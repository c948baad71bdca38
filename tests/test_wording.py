"""How things are asked for at a counter: size, grade, treatment, pack, in the scene's own words.

Use categories: AWPA U1; plywood classes: PS 1; nails: ASTM F1667; all from memory. Which lengths
and packs are sold is common practice, no source.
"""

from __future__ import annotations

import pytest

from fodder import read
from pikepole_export.derive.buying.order import BuyList
from pikepole_export.derive.buying.wording import (
    asked_for,
    count_text,
    in_words,
    lumber_text,
    short_length,
    sold_length,
    sold_size,
)
from pikepole_model.building.fastenings import load_fastenings
from pikepole_model.units import FOOT_MM, INCH_MM, Units
from planned import built
from test_buy_list import shipped


@pytest.mark.parametrize(
    ("length_mm", "units", "text"),
    [
        (16 * FOOT_MM, "imperial", "16 ft"),
        (92.625 * INCH_MM, "imperial", "92-5/8 in"),
        (104.625 * INCH_MM, "imperial", "104-5/8 in"),
        (4800.0, "metric", "4.8 m"),
    ],
)
def test_a_stock_length(length_mm: float, units: Units, text: str) -> None:
    assert sold_length(length_mm, units) == text


def test_sizes_of_sheets_rolls_and_bolts() -> None:
    assert sold_size((4 * FOOT_MM, 8 * FOOT_MM), "imperial") == "4 x 8 ft"
    assert sold_size((9 * INCH_MM, 75 * FOOT_MM), "imperial") == "9 in x 75 ft"
    assert sold_size((1220.0, 2440.0), "metric") == "1220 x 2440 mm"
    assert sold_size((225.0, 20_000.0), "metric") == "225 mm x 20 m"
    # 3 ft x 72 ft, in a metric scene to the centimetre: 0.914 and 21.946 m.
    assert sold_size((3 * FOOT_MM, 72 * FOOT_MM), "metric") == "914 mm x 21.95 m"
    assert sold_length(20 * FOOT_MM, "metric") == "6.1 m"
    assert sold_size((1500.0, 50_000.0), "metric") == "1.5 m x 50 m"
    assert short_length(14 * INCH_MM, "imperial") == "14 in"
    assert short_length(120.0, "metric") == "120 mm"


def test_a_board_by_grade_and_treatment() -> None:
    scene = read(lumber={"grade": "No. 1", "treated_grade": "No. 2"})
    two, one = scene.lumber_stock("2x4"), scene.lumber_stock("1x6")
    stud = lumber_text(scene, two, 92.625 * INCH_MM, treated=False)
    assert stud == "2x4 x 92-5/8 in stud, spruce-pine-fir No. 1"
    low = lumber_text(scene, two, 8 * FOOT_MM, treated=True, is_near_ground=True)
    assert low == "2x4 x 8 ft, southern pine No. 2, treated, ground contact (UC4A)"
    board = lumber_text(scene, one, 8 * FOOT_MM, treated=True)
    assert board == ("1x6 x 8 ft, southern pine, No. 2 common board, treated, above ground (UC3B)")


def test_boards_go_by_their_own_grade_and_not_by_the_frames() -> None:
    # PS 20 (from memory): boards are thinner than 2 in nominal and graded by their looks; WWPA
    # (from memory): No. 2 common, D select.
    frame = {"species": "hem-fir", "grade": "No. 1"}

    def told(section: str, *, treated: bool = False) -> str:
        scene = read(lumber=frame)
        return lumber_text(scene, scene.lumber_stock(section), 8 * FOOT_MM, treated=treated)

    assert told("1x6") == "1x6 x 8 ft, No. 2 common board"
    assert told("rough 1x8") == "rough 1x8 x 8 ft, rough-sawn board"
    frame |= {"board_species": "eastern white pine", "board_grade": "D select"}
    assert told("1x6") == "1x6 x 8 ft, eastern white pine, D select"
    assert told("2x4") == "2x4 x 8 ft, hem-fir No. 1"
    # The yard has its boards treated in the species that it has treated lumber in.
    treated = told("1x6", treated=True)
    assert treated == "1x6 x 8 ft, southern pine, D select, treated, above ground (UC3B)"


def test_metric_boards_go_by_their_own_grade() -> None:
    def told(section: str, **keys: str) -> str:
        scene = read(units="metric", lumber=keys)
        return lumber_text(scene, scene.lumber_stock(section), 4800.0, treated=False)

    assert told("planed 20x145") == "planed 20x145 x 4.8 m, square-edged board"
    assert told("CLS 38x89").startswith("CLS 38x89 x 4.8 m, european whitewood, C16")
    own = {"board_species": "european redwood", "board_grade": "clear"}
    assert told("sawn 22x150", **own) == "sawn 22x150 x 4.8 m, european redwood, clear"


def test_own_sections_go_by_the_grade_they_are_reckoned_with() -> None:
    def own(name: str, breadth: str, depth: str) -> dict[str, object]:
        return {"name": name, "breadth": breadth, "depth": depth, "lengths": ["28 ft"]}

    mill = [own("mill 2x12", "1-1/2 in", "11-1/4 in"), own("fence board", "5/8 in", "5-1/2 in")]
    scene = read(stock={"lumber": mill}, lumber={"grade": "No. 1"})
    beam, fence = (
        lumber_text(scene, scene.lumber_stock(name), 28 * FOOT_MM, treated=False)
        for name in ("mill 2x12", "fence board")
    )
    assert beam == "mill 2x12 x 28 ft, spruce-pine-fir No. 1"
    assert fence == "fence board x 28 ft, board"


def asked(buying: BuyList, item: str) -> list[str]:
    return [asked_for(one, "imperial") for one in buying.purchases if one.item == item]


def test_the_honey_houses_list_can_be_read_at_a_counter() -> None:
    _, buying = shipped("honey-house")
    # Skids lie on the ground, joists 5-1/2 in over it; thresholds are on the floor, over 6 in up.
    assert all("ground contact" in text for text in asked(buying, "4x6"))
    treated = [text for text in asked(buying, "2x6") if "treated" in text]
    assert treated
    assert all("ground contact" in text for text in treated)
    (threshold,) = (text for text in asked(buying, "1x8") if "treated" in text)
    assert "above ground" in threshold
    # Siding is in the weather, sheathing is covered.
    assert asked(buying, "19/32 plywood") == [
        "19/32 in plywood siding, 4 x 8 ft, Exterior, square edge"
    ]
    assert asked(buying, "7/16 OSB") == ["7/16 in OSB sheathing, 4 x 8 ft, Exposure 1, square edge"]
    # The floor lies 11 in up: AWPA U1 UC3B, above ground; sheets that dried on it would shrink.
    assert asked(buying, "23/32 treated plywood") == [
        "23/32 in plywood floor sheathing, 4 x 8 ft, Exposure 1, tongue-and-groove, "
        "treated, above ground (UC3B), dried again"
    ]
    counts = {one.item: count_text(one) for one in buying.purchases}
    assert counts["No. 30 felt"].endswith(" rolls")
    assert counts["7/16 OSB"].endswith(" sheets")
    assert counts["concrete mix, 60 lb bag"].endswith(" bags")


def test_a_pads_list_leaves_nothing_to_ask_back() -> None:
    _, buying = shipped("canoe-store")
    (gravel,) = asked(buying, "gravel")
    assert gravel.startswith("gravel, clean, 3/4 in, ")
    # IRC R402.2 (from memory): 2500 psi at the least.
    assert asked(buying, "concrete") == ["concrete, ready-mix, 2500 psi or more"]
    # Packers fill what the units leave of the holes; their sides to a sixteenth.
    (packer,) = asked(buying, "packer")
    assert packer.startswith('packer, 3/16" x 1-1/2" x ')
    glazed, other = asked(buying, "window unit")
    assert glazed.endswith(" high over its frame, double glazed; say how it opens")
    assert other.endswith(" high over its frame; say its glazing and how it opens")
    # What is not ordered is told in the same words: American ones.
    told = " ".join(f"{one.item} {one.where} {one.how}" for one in buying.not_ordered)
    assert "color and coating of the steel" in told
    assert "colour" not in told


def test_ready_mix_is_asked_for_as_the_scene_says() -> None:
    scene = read(concrete={"mix": "3500 psi, air-entrained"})
    assert scene.concrete.mix == "3500 psi, air-entrained"


def test_a_larger_box_where_as_many_smaller_ones_would_be() -> None:
    nail = load_fastenings().bought["8d siding nail"]
    small, large = nail.packs
    assert nail.pack_for(4 * small.pieces) == small
    assert nail.pack_for(4 * small.pieces + 1) == large
    # One more than fits a large box: six small ones hold it, two large ones would be ten.
    assert nail.pack_for(large.pieces + 1) == small
    # More small ones than two large ones hold are no order: eleven are three large ones.
    assert nail.pack_for(11 * small.pieces) == large
    # ASTM F1667: 2-1/2 in of 0.106 in wire; 490 lb/ft3.
    each_lb = 3.14159265 / 4 * 0.106**2 * 2.5 * 490 / 1728
    assert (small.pieces, large.pieces) == (int(1 / each_lb), int(5 / each_lb))


def test_one_countrys_words_in_one_scene() -> None:
    assert read().english == "American"
    assert read(units="metric").english == "British"
    assert read(words="British").english == "British"
    text = "hardware store: hot-dip galvanised"
    assert in_words(text, "American") == "hardware store: hot-dip galvanized"
    assert in_words(text, "British") == "ironmonger: hot-dip galvanised"
    assert in_words("lumber yard", "British") == "timber merchant"


@pytest.mark.parametrize("name", ["honey-house", "garden-classroom"])
def test_no_order_breaks_off_or_repeats_itself(name: str) -> None:
    _, buying = shipped(name)
    units = built(name).scene.units
    for one in buying.purchases:
        text = asked_for(one, units)
        assert text == text.strip(" ,;")
        told = text.split(", ")
        assert len(told) == len(set(told)), text
