"""What is bought singly and drawn nowhere is told beside the picture of the stage that takes it."""

from __future__ import annotations

from pathlib import Path

import pytest

from pikepole_export.derive.buying.purchase import Supplier
from pikepole_export.derive.buying.supplies import supplies
from pikepole_export.derive.strength.check import Rule
from pikepole_export.derive.strength.held_down import held_down
from pikepole_export.derive.strength.plan import strength_of
from pikepole_export.write.pictures.captions import captions
from pikepole_export.write.pictures.undrawn import undrawn
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.reading.file import load_scene
from pikepole_model.units import format_length

SCENES = Path(__file__).parents[1] / "scenes"


def built(name: str) -> Building:
    return build(load_scene(SCENES / f"{name}.toml"))


def told(building: Building, name: str) -> list[str]:
    (stage,) = (one for one in building.stages if one.name == name)
    return undrawn(building)[stage.number]


def test_hangers_are_told_where_the_loft_is_framed() -> None:
    # From the scene: an opening 30 in wide, its headers one at the front and one at the back, each
    # hung at both its ends; between them and the joists beside it two joists are cut, at both
    # headers; and a short joist hangs on both under either side of the opening.
    lines = told(built("seed-barn"), "Loft frame")
    assert lines == [
        "8 x joist hanger for 2x8, joist hung on header",
        "4 x joist hanger for 2x8, header hung on joist",
    ]


def test_what_lies_in_a_slab_is_told_with_it() -> None:
    # 20 by 12 ft: forms all round it, 64 ft, and 240 ft2 of retarder under it.
    lines = told(built("canoe-store"), "Foundation")
    assert "form boards, slab, 64 ft" in lines
    assert "vapor retarder, 6 mil, slab, 240 ft2" in lines
    # 3 in from its sides, sheets of 5 by 10 ft and laps of 8 in (ACI 318, from memory): 11-1/2 ft
    # take 3 rows, as 2 are 9 ft 4 in wide; a row of 19-1/2 ft takes 2 and a little, 19 ft 4 in
    # being 2, and what 3 rows lack comes from one more.
    assert "7 x 6x6 W1.4 mesh, slab" in lines


def test_form_tubes_are_told_by_whole_ones() -> None:
    # Footings 675 mm high in a bay: a tube of 1 m gives one, and nobody joins what is left of two.
    building = built("garden-classroom")
    heights = [part.length_mm for part in building.parts if part.kind is Kind.FOOTING]
    assert heights == pytest.approx([675.0] * 4)
    (stage,) = {part.stage for part in building.parts if part.kind is Kind.FOOTING}
    assert "4 x form tube 300 mm x 1 m, footings" in undrawn(building)[stage]


@pytest.mark.parametrize(
    ("name", "stage", "rated", "rods"),
    [
        # What the scenes ask for: on a slab the rods go in with the concrete, elsewhere they wait.
        ("canoe-store", "Foundation", "2400 lb", True),
        ("honey-house", "Wall sheathing", "700 lb", False),
        ("garden-classroom", "Wall sheathing", "300 kg", False),
    ],
)
def test_hold_downs_that_are_counted_on_are_told(
    name: str, stage: str, rated: str, rods: bool
) -> None:
    begins = "rods for hold-downs" if rods else "hold-downs"
    (line,) = (line for line in told(built(name), stage) if line.startswith(begins))
    sheathing = [one for one in told(built(name), "Wall sheathing") if one.startswith("hold-downs")]
    assert len(sheathing) == 1
    assert ("on their rods" in sheathing[0]) is rods
    assert f"rated {rated} or more" in line


def test_hold_downs_are_told_where_the_checks_count_on_them() -> None:
    # The worst of both ends of the canoe store's right wall, as the checks of strength have it.
    building = built("canoe-store")
    (line,) = (line for line in told(building, "Foundation") if line.startswith("rods"))
    over = [
        one.piece
        for one in strength_of(building).checks
        if one.rule is Rule.WALL_END and one.key == "ties.hold_down_rating"
    ]
    (place,) = (part.centre_mm[1] for part in building.fitted.parts if part.name in over)
    assert line.endswith("from the front")
    assert "right wall" in line
    assert format_length(place, "imperial") in line.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize("name", ["garden-classroom", "honey-house", "press-house", "seed-barn"])
def test_hold_downs_stand_beside_what_goes_all_the_way_up(name: str) -> None:
    # No jack ends under a header between the hold-down and the plates: common practice, no source.
    building = built(name)
    held = held_down(building)
    assert held
    plates = {
        part.name
        for part in building.fitted.parts
        if part.kind in (Kind.BOTTOM_PLATE, Kind.TOP_PLATE)
    }
    for beside in held.values():
        for part in beside:
            # It stands between both plates.
            assert len(plates & building.fitted.mates[part.name]) >= 2


@pytest.mark.parametrize(
    ("name", "stage", "line"),
    [
        ("honey-house", "Ground anchors", "no anchors at skid 2: "),
        ("garden-classroom", "Floor frame", "no anchors at girder 2: "),
    ],
)
def test_why_a_middle_skid_has_no_anchors_is_told(name: str, stage: str, line: str) -> None:
    # Joists go on over the middle one, and have ties at all three: common practice, no source.
    building = built(name)
    found = [text for text in told(building, stage) if text.startswith(line)]
    assert found == [f"{line}the joists over it are held at the outer two"]
    middle, outer = line.split(" at ")[1][:-2], line.split(" at ")[1][:-3]
    for bearer in (middle, f"{outer}1", f"{outer}3"):
        kinds = {part.kind for part in building.parts if part.name in building.mates[bearer]}
        assert Kind.FLOOR_TIE in kinds
        anchored = kinds & {Kind.GROUND_ANCHOR, Kind.ANCHOR_BLOCK}
        assert bool(anchored) == (bearer != middle)


def test_control_joints_are_told_where_the_slab_is_cast() -> None:
    # 20 by 12 ft and 4 in thick: 30 times that is 10 ft, and panels as square as can be are 6 ft 8
    # in by 6 ft; a quarter deep (NRMCA CIP 6; ACI 302.1R). A bolt of 1/2 in stands 6' 5-3/4" from
    # the left, and 6 diameters past it are 3/4 in past the third (ACI 318-19 17.9.2, from memory).
    (line,) = (line for line in told(built("canoe-store"), "Foundation") if "control" in line)
    assert line.replace("\N{NO-BREAK SPACE}", " ").startswith(
        "control joints, 1\" deep, 6' 8-3/4\" and 13' 4\" from the slab's left edge, 6' 0\" from"
    )


def test_closure_strips_are_told_once_on_the_page_that_puts_them_on() -> None:
    # A strip under each panel's lower end and one over its upper end, under the cap there.
    building = built("honey-house")
    told = {
        caption["name"].split("  ")[-1]: [
            text
            for text in (caption["notes"], *(t for b in caption["blocks"] for t in b["plain"]))
            if "closure" in text.lower()
        ]
        for caption in captions(building, {})
    }
    panels = sum(part.kind is Kind.PANEL for part in building.parts)
    (under,), (over,) = told.pop("Roof panels"), told.pop("Roof trim")
    assert under.startswith(f"{panels} x closure strip under")
    assert over.startswith(f"{panels} x closure strip over")
    assert not any(told.values())


def said(building: Building, name: str) -> list[str]:
    """The lines of a stage's pieces."""
    (caption,) = (one for one in captions(building, {}) if one["name"].endswith(name))
    return [line["text"].replace("\u00a0", " ") for line in caption["pieces"]]


def test_a_slab_is_told_as_it_is_poured() -> None:
    # From the scene: 4 in, its edge 20 in and 12 in wide, 8 in above the ground; a footing 30 in
    # deep under ground.
    lines = said(built("canoe-store"), "Foundation")
    (slab,) = (line for line in lines if " slab" in line)
    assert slab.endswith(
        '4" thick, 1\' 8" at its edge and 1\' 0" wide there, its top 8" over the ground'
    )
    (footing,) = (line for line in lines if " footings" in line)
    assert footing.endswith("2' 6\" of it in the ground")


def test_concrete_and_gravel_are_told_as_a_yard_sells_them() -> None:
    # A slab of 240 ft2 and 4 in, and a trapezoid under its edge, 16 in deep, 12 in wide at the
    # bottom and 28 at the top, about 56 ft long where its middle runs: 80 + 56 x 2.22 ft3; three
    # round footings of 14 in, 33 in high, 8.8 ft3. 27 ft3 are a cubic yard; a part is added for
    # what is spilt, and it comes by the quarter (common practice, no source).
    building = built("canoe-store")
    (caption,) = (one for one in captions(building, {}) if one["name"].endswith("Foundation"))
    lines = [line for block in caption["blocks"] for line in block["plain"] if "yd3" in line]
    (words,) = (line for line in lines if "concrete" in line)
    told = float(words.removeprefix("order concrete ").removesuffix(" yd3"))
    taken = (80 + 56 * 2.22 + 8.8) / 27 * (1 + building.scene.concrete.waste / 100)
    assert 0.95 * taken <= told < 1.05 * taken + 0.25
    assert told * 4 == round(told * 4)
    assert any(line.startswith("order gravel ") for line in lines)


def test_steel_is_told_with_the_rating_that_is_counted_on() -> None:
    anchors, *_ = said(built("honey-house"), "Ground anchors")
    assert anchors.endswith("rated 800 lb or more in your soil")


def test_what_is_taken_out_and_what_is_cast_elsewhere_say_so() -> None:
    standing, _, foundation, *_ = built("press-house").stages
    assert standing.notes == 'Build round it; it comes out when "Right wall" is done.'
    assert "at the place that the building is moved to" in foundation.notes
    assert built("garden-classroom").stages[0].notes == "Kept as it is; built round."


def test_bolts_are_told_and_nails_are_not() -> None:
    # Two posts, two bolts through each into its base and into the beam on it.
    lines = [one for one in told(built("honey-house"), "Beams and posts") if "bolt" in one]
    assert [line.split(" with ")[0] for line in lines] == ["4 x bolt 1/2 in x 7 in"] * 2
    assert not any("nail" in line for line in lines)


@pytest.mark.parametrize(
    "name", ["canoe-store", "garden-classroom", "honey-house", "press-house", "seed-barn"]
)
def test_no_metal_is_bought_singly_and_told_nowhere(name: str) -> None:
    building = built(name)
    said = {
        line.replace("\u00a0", " ")
        for caption in captions(building, {})
        for block in caption["blocks"]
        if block["head"] == "Not drawn"
        for line in block["plain"]
    }
    bought = [
        one.item
        for one in supplies(building)
        if one.supplier is Supplier.IRONMONGER and one.unit == "piece" and not one.parts
    ]
    metal = [item for item in bought if "cartridge" not in item and "chalk" not in item]
    assert metal
    assert [item for item in metal if not any(item in line for line in said)] == []
