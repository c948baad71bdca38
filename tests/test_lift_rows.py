"""One row of the lift plan: the heights of a load's ends, and where it balances, by geometry."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin, sqrt

import pytest

from lifted import GRAVITY, block, item_of, lift_of
from pikepole_export.derive.lifting.hands import Lifter
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.lift import ends
from pikepole_export.derive.lifting.methods import effort, methods
from pikepole_export.derive.lifting.plan import lift_plan
from pikepole_export.derive.lifting.records import lift_record
from pikepole_export.derive.lifting.rests import BEARERS_MM, HandSetup
from pikepole_export.derive.lifting.wind import Attitude
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part, Stage
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Prism, Shape, rectangle
from pikepole_model.scene.crew import Crew
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.catalogue import load_catalogue
from samples import SPRUCE

TRESTLES_MM = 750.0


def alone(part: Part, crew: Crew) -> Building:
    """A part and who raises it."""
    scene = Scene.model_construct(
        title="Blocks", units="metric", crew=crew, catalogue=load_catalogue()
    )
    return Building(scene, (part,), (), (Stage(1, "stage 1", (part,)),))


@pytest.mark.parametrize("flat", [False, True])
def test_the_ends_of_a_slope_are_its_lower_corners(flat: bool) -> None:
    # 3 m at 30 deg from 2.4 m up: the one end's lowest corner is there, the other's 3 sin 30 over.
    part = block("rafter", (3000, 184, 38), 9, slope_deg=30, at_mm=(0, 0, 2400), flat=flat)
    item = item_of(part, floor_mm=100.0)
    found = ends(item, item.whole, TRESTLES_MM)
    assert sorted(found.end_mm) == pytest.approx([2400, 2400 + 3000 * sin(radians(30))])
    assert found.start_mm == (100 + TRESTLES_MM, 100 + TRESTLES_MM)


def test_the_ends_of_what_is_rolled_about_its_length_are_its_lowest_edge() -> None:
    # 200 by 100, turned 30 deg about its level length: its corner lies lowest.
    a = radians(30)
    shape = Shape(Prism(rectangle(0, 0, 3000, 200), 100))
    place = Placement((0, 0, 1000), (1.0, 0.0, 0.0), (0.0, cos(a), sin(a)))
    part = Part("purlin", Kind.RAFTER, "roof", 1, "purlin", SPRUCE, None, shape, place)
    item = item_of(part)
    assert item.whole.low_mm == pytest.approx(1000)
    assert ends(item, item.whole, TRESTLES_MM).end_mm == pytest.approx((1000, 1000))


def test_what_stands_has_a_foot_and_a_head() -> None:
    post = item_of(
        block("post", (2400, 90, 90), 10, slope_deg=90, at_mm=(0, 0, 150)), handling=Handling.POST
    )
    found = ends(post, post.whole, TRESTLES_MM)
    assert found.end_mm == pytest.approx((150, 2550))
    assert found.start_mm == (TRESTLES_MM, TRESTLES_MM)


def test_a_frame_waits_on_the_floor_and_its_pieces_do_not() -> None:
    frame = item_of(
        block("plate", (3000, 90, 40), 8, at_mm=(0, 0, 300)),
        block("stud", (2400, 90, 40), 6, slope_deg=90, at_mm=(0, 500, 340)),
        handling=Handling.WALL,
        pieces=True,
        floor_mm=300.0,
    )
    whole = ends(frame, frame.whole, TRESTLES_MM)
    assert whole.start_mm == (300, 300)
    assert whole.end_mm == pytest.approx((300, 2740))
    plate = ends(frame, frame.pieces[0], TRESTLES_MM)
    assert plate.start_mm == (300 + TRESTLES_MM, 300 + TRESTLES_MM)
    assert plate.end_mm == pytest.approx((300, 300))


def record(item: Item) -> dict[str, object]:
    return lift_record(lift_of(item), HandSetup((TRESTLES_MM,), (), Lifter.MAN), "metric")


def test_a_record_says_where_along_it_a_load_balances() -> None:
    # (60 x 1 + 60 x 2.5) / 120 = 1.75 m from the end of the longer piece (moments).
    near = block("skid", (2000, 140, 90), 60, at_mm=(0, 0, 400))
    far = block("skid 2", (1000, 140, 90), 60, at_mm=(0, 2000, 400))
    assert record(item_of(near, far))["centre_from_first_end_mm"] == pytest.approx(1750)


@pytest.mark.parametrize(("length_mm", "people", "team"), [(2400, 1, 1.0), (3200, 2, 2 / 3)])
def test_a_sheet_is_put_down_when_its_people_cannot_hold_it(
    length_mm: float, people: int, team: float
) -> None:
    # A man starts or stops a load with 20 kgf (HSE INDG143), two with 2/3 of their sum (HSE L23,
    # paragraph 120). More than 3 m take two: common practice, no source. Face to the wind a plate
    # is pushed by 0.613 V2 x 1.2 x area (ASCE 7; White, Fluid Mechanics, table 7.3, from memory).
    # Edge to the wind it stops at 23 mph: UK roof work (NFRC), of wall sheets by analogy.
    crew = Crew(people=2, helpers=0, gear=(), guideline="men")
    part = block("sheet", (length_mm, 1200, 12), 10, kind=Kind.WALL_SHEET)
    sheet = replace(part, stock="1/2 OSB")
    (lift,) = lift_plan(alone(sheet, crew)).lifts
    assert lift.people == people
    held_n = 20 * GRAVITY * people * team
    gust_m_s = sqrt(held_n / (0.613 * 1.2 * length_mm / 1000 * 1.2))
    assert lift.wind.face_gust_m_s == pytest.approx(gust_m_s)
    assert lift.wind.attitude is Attitude.EDGE_ON
    assert lift.wind.stop_m_s == pytest.approx(23 * 0.44704)


def test_a_beam_cannot_be_turned_out_of_the_wind() -> None:
    # 6 m of 240 mm, a long plate: 1.98 (Aeronautical Engineer's Data Book, figure 5.13). Two men
    # hold 2/3 x 2 x 20 kgf (as above): sqrt(261.5 / (0.613 x 1.98 x 1.44)) = 12.2 m/s in a gust,
    # a mean of 23/35 of that (NFRC, as quoted).
    crew = Crew(people=2, helpers=0, gear=(), guideline="men")
    beam = block("beam", (6000, 240, 45), 24, kind=Kind.BEAM, at_mm=(0, 0, 1100))
    (lift,) = lift_plan(alone(beam, crew)).lifts
    held_n = lift.people * {1: 1, 2: 2 / 3}[lift.people] * 20 * GRAVITY
    gust_m_s = sqrt(held_n / (0.613 * 1.98 * 1.44))
    assert lift.wind.attitude is Attitude.FACE_ON
    assert lift.wind.stop_m_s == pytest.approx(gust_m_s * 23 / 35)


def test_of_platforms_that_would_do_the_lowest_is_brought() -> None:
    # 20 kg to 3.2 m: two men cannot from lower down by the guideline, and one cannot from there.
    crew = Crew(people=2, helpers=0, gear=(), guideline="men")
    beam = block("beam", (4000, 200, 90), 20, kind=Kind.BEAM, at_mm=(0, 0, 3200))
    (lift,) = lift_plan(alone(beam, crew)).lifts
    assert (lift.people, lift.step_mm) == (2, None)
    assert lift.platform_mm

    def fewest(platforms_mm: tuple[float, ...]) -> int | None:
        setup = HandSetup((BEARERS_MM,), platforms_mm, Lifter.MAN)
        return min(methods(lift.item, setup), key=effort).people

    # In steps of 300 mm.
    assert fewest((lift.platform_mm,)) == 2
    assert all(fewest((mm,)) != 2 for mm in range(300, int(lift.platform_mm), 300))
