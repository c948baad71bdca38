"""Prices, the saw, paint, concrete and waste of a scene: read, and refused where wrong."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from fodder import read, refused, table
from pikepole_model.errors import Problem
from pikepole_model.reading.file import check_scene, load_scene
from pikepole_model.scene.buying import (
    MIX_YIELD_MM3_PER_KG,
    PER,
    Concrete,
    Cutting,
    Paint,
    Price,
    Waste,
    find_price,
)

SCENES = Path(__file__).parents[1] / "scenes"

# 1 lb = 0.45359237 kg, 1 in = 25.4 mm, 1 yd = 3 ft = 914.4 mm exactly (yard and pound agreement,
# 1959); 1 US gallon = 231 cubic inches.
LB, IN, FT3 = 0.45359237, 25.4, 304.8**3


def priced(*rows: dict[str, Any]) -> dict[str, Any]:
    return {"price": list(rows)}


# --- what is read ---


def test_a_scene_that_says_nothing_of_buying() -> None:
    scene = read()
    assert (scene.currency, scene.price, scene.paint) == ("", (), None)
    assert scene.cutting == Cutting(kerf="1/8 in", end_trim="1/2 in")  # type: ignore[arg-type]
    assert scene.concrete == Concrete(bag="80 lb", waste=10, ready_mix_from="1 yd3")  # type: ignore[arg-type]
    assert scene.waste == Waste(rolls=10, runs=10, fasteners=5, gravel=10)
    # Written out: 1/8 of 25.4 mm, 80 of 0.45359237 kg, 27 of 304.8^3 mm3.
    assert scene.cutting.kerf == 3.175
    assert scene.concrete.bag == pytest.approx(36.2873896)
    assert scene.concrete.ready_mix_from == pytest.approx(27 * FT3)


def test_a_scene_that_says_all() -> None:
    scene = read(
        currency="EUR",
        cutting={"kerf": "2.4 mm", "end_trim": "10 mm"},
        paint={"coats": 3, "primer_coats": 0, "spread": "9 m2/l", "waste": 5},
        concrete={"bag": "25 kg", "waste": 8.5, "ready_mix_from": "2.5 m3"},
        waste={"rolls": 3, "runs": 4, "fasteners": 0, "gravel": 100},
    )
    assert scene.currency == "EUR"
    assert (scene.cutting.kerf, scene.cutting.end_trim) == (2.4, 10)
    paint = scene.paint
    assert paint
    assert (paint.coats, paint.primer_coats, paint.spread, paint.waste) == (3, 0, 9, 5)
    concrete = scene.concrete
    assert (concrete.bag, concrete.waste, concrete.ready_mix_from) == (25, 8.5, 2.5e9)
    waste = scene.waste
    assert (waste.rolls, waste.runs, waste.fasteners, waste.gravel) == (3, 4, 0, 100)


def test_paint_of_which_nothing_is_told() -> None:
    paint = read(paint={}).paint
    assert isinstance(paint, Paint)
    assert (paint.coats, paint.primer_coats, paint.waste) == (2, 1, 10)
    # 350 ft2 of 0.09290304 m2 from 231 in3 of 0.016387064 l.
    assert paint.spread == pytest.approx(350 * 0.09290304 / (231 * 0.016387064))


# Yields that bags are sold by and bags to the cubic yard: common practice, no source.
@pytest.mark.parametrize(
    ("bag", "yield_ft3", "to_the_yard"),
    [
        ("40 lb", 0.30, 90),
        ("50 lb", 0.375, 72),
        ("60 lb", 0.45, 60),
        ("80 lb", 0.60, 45),
        ("90 lb", 0.675, 40),
    ],
)
def test_what_a_bag_of_concrete_makes(bag: str, yield_ft3: float, to_the_yard: int) -> None:
    made_mm3 = read(concrete={"bag": bag}).concrete.bag * MIX_YIELD_MM3_PER_KG
    assert made_mm3 == pytest.approx(yield_ft3 * FT3)
    assert 914.4**3 / made_mm3 == pytest.approx(to_the_yard)


def test_prices_as_written() -> None:
    prices = read(
        **priced(
            {"item": "2x4", "length": "8 ft", "price": 4},
            {"item": "2x4", "price": 0.55, "per": "ft"},
            {"item": "2x4", "treated": True, "price": 0.8, "per": "ft"},
            {"item": "brass hook", "price": 0, "per": "box"},
        )
    ).price
    assert [(price.item, price.length, price.treated) for price in prices] == [
        ("2x4", pytest.approx(96 * IN), False),
        ("2x4", None, False),
        ("2x4", None, True),
        ("brass hook", None, False),
    ]
    assert [(price.price, price.per) for price in prices] == [
        *((4, None), (0.55, "ft"), (0.8, "ft"), (0, "box")),
    ]


# What one unit is in pieces, boxes, mm, mm2, mm3 and kg: yard and pound agreement, 1959; US gallon.
UNITS = {
    "piece": ("pieces", 1),
    "box": ("boxes", 1),
    "ft": ("length", 304.8),
    "m": ("length", 1000),
    "ft2": ("area", 304.8**2),
    "m2": ("area", 1e6),
    "yd3": ("volume", 914.4**3),
    "m3": ("volume", 1e9),
    "gal": ("volume", 231 * 25.4**3),
    "l": ("volume", 1e6),
    "lb": ("mass", LB),
    "kg": ("mass", 1),
    "t": ("mass", 1000),
}


@pytest.mark.parametrize("per", PER)
def test_what_a_price_is_for(per: Any) -> None:
    amount, size = UNITS[per]
    counted, rate = Price(item="sand", price=12.5, per=per).rate
    assert counted == amount
    assert rate * size == pytest.approx(12.5)


def test_the_price_of_a_length_goes_before_that_of_any() -> None:
    prices = read(
        **priced(
            {"item": "2x4", "price": 1, "per": "ft"},
            {"item": "2x4", "length": "2438 mm", "price": 2},
            {"item": "2x6", "treated": True, "price": 3, "per": "m"},
            {"item": "7/16 OSB", "price": 4},
        )
    ).price

    def found(item: str, length_mm: float | None = None, *, treated: bool = False) -> float | None:
        price = find_price(prices, item, length_mm=length_mm, treated=treated)
        return price.price if price else None

    # 8 ft is 2438.4 mm, 10 ft is 3048 mm.
    assert found("2x4", 2438.4) == 2
    assert found("2x4", 3048) == 1
    assert found("2x4", 2438.4, treated=True) is None
    assert found("2x6", 3048) is None
    assert found("2x6", 3048, treated=True) == 3
    assert found("7/16 OSB") == 4
    assert found("1/2 plywood") is None


def test_a_price_of_one_length_holds_for_no_other() -> None:
    prices = read(**priced({"item": "2x4", "length": "8 ft", "price": 4})).price
    assert find_price(prices, "2x4", length_mm=3048) is None
    assert find_price(prices, "2x4") is None


def test_prices_for_own_stock_of_one_length() -> None:
    own = {"name": "larch 45x95", "breadth": "45 mm", "depth": "95 mm", "lengths": ["3.9 m"]}
    scene = read(stock={"lumber": [own]}, **priced({"item": "larch 45x95", "price": 9}))
    assert find_price(scene.price, "larch 45x95", length_mm=3900) == scene.price[0]


@pytest.mark.parametrize(
    ("item", "per"),
    [
        ("2x4", "m3"),
        ("7/16 OSB", "piece"),
        ("7/16 OSB", "ft2"),
        ("No. 15 felt", "piece"),
        ("No. 15 felt", "m2"),
        ("ribbed steel 9 in 29 ga", "ft"),
        ("flat steel 29 ga", "m2"),
        ("6 mm polycarbonate", "ft2"),
        ("double glazed", "piece"),
        ("concrete", "yd3"),
        ("gravel", "t"),
        ("steel", "kg"),
        ("16d common nail", "box"),
        ("paint", "gal"),
    ],
)
def test_units_that_things_are_sold_by(item: str, per: str) -> None:
    assert read(**priced({"item": item, "price": 5, "per": per})).price[0].per == per


def test_the_honey_house_has_a_price_list() -> None:
    scene = load_scene(SCENES / "honey-house.toml")
    assert scene.currency
    assert scene.paint
    items = {price.item for price in scene.price}
    assert {"2x4", "2x6", "2x8", "4x6", "6x6", "7/16 OSB", "post base for 6x6"} <= items
    stud = find_price(scene.price, "2x4", length_mm=92.625 * IN)
    assert stud
    assert stud.per is None  # a board, as the list counts it


# --- what is refused ---


@pytest.mark.parametrize(
    ("name", "key", "value", "wrong", "mend"),
    [
        ("cutting", "kerf", "0 in", "is zero", 'give at least 1/16" and at most 3/8"'),
        ("cutting", "kerf", "11 mm", "is too large", 'give at least 1/16" and at most 3/8"'),
        (
            "cutting",
            "kerf",
            0.125,
            "has no unit",
            'write it with its unit, such as "0.125 in" or "0.125 mm"',
        ),
        ("cutting", "end_trim", "-1 mm", "is negative", 'give at least 0" and at most 3-7/8"'),
        ("cutting", "end_trim", "101 mm", "is too large", 'give at least 0" and at most 3-7/8"'),
        (
            "cutting",
            "blade",
            "10 in",
            "is no key of [cutting]",
            "leave out cutting.blade; the keys are longest",
        ),
        ("paint", "coats", 0, "is zero", "give at least 1 and at most 5"),
        ("paint", "coats", 1.5, "is not a whole number", "give at least 1 and at most 5"),
        ("paint", "primer_coats", 4, "is too large", "give at least 0 and at most 3"),
        (
            "paint",
            "spread",
            350,
            "has no unit",
            'write it with its unit, such as "350 ft2/gal" or "350 m2/l"',
        ),
        (
            "paint",
            "spread",
            "350 ft2",
            "cannot be read as a spread",
            'write a spread rate with its unit, such as "350 ft2/gal" or "9 m2/l"',
        ),
        # 1 m2/l is 40.7458 ft2/gal: a limit that is printed is itself allowed.
        (
            "paint",
            "spread",
            "40 ft2/gal",
            "is too small",
            "give at least 40.8 ft2/gal and at most 1018 ft2/gal",
        ),
        ("paint", "waste", -1, "is negative", "give at least 0 and at most 100"),
        ("concrete", "bag", "200 lb", "is too large", "give at least 11.1 lb and at most 110 lb"),
        ("concrete", "bag", 80, "has no unit", 'write it with its unit, such as "80 lb" or'),
        ("concrete", "waste", 101, "is too large", "give at least 0 and at most 100"),
        # 0.1 m3 is 3.5315 ft3 and 100 m3 is 3531.47 ft3.
        (
            "concrete",
            "ready_mix_from",
            "0 yd3",
            "is zero",
            "give at least 3.6 ft3 and at most 3531 ft3",
        ),
        (
            "concrete",
            "ready_mix_from",
            "1 yd",
            "cannot be read as a volume",
            'write a volume with its unit, such as "1 yd3" or "0.75 m3"',
        ),
        ("waste", "rolls", -5, "is negative", "give at least 0 and at most 100"),
        ("waste", "gravel", "10 %", "is not a number", "give at least 0 and at most 100, without"),
        (
            "waste",
            "roll",
            10,
            "is no key of [waste]; it belongs in [wrap] or [stock]",
            "the nearest there is: rolls",
        ),
    ],
)
def test_what_is_wrong_with_saw_paint_concrete_and_waste(
    name: str, key: str, value: object, wrong: str, mend: str
) -> None:
    problem = refused(**{name: {key: value}})
    assert (problem.key, problem.wrong) == (f"{name}.{key}", wrong)
    assert problem.mend.startswith(mend)


def test_limits_are_in_the_scenes_units() -> None:
    spread = refused(units="metric", paint={"spread": "30 m2/l"})
    assert spread.mend == "give at least 1.0 m2/l and at most 25.0 m2/l"
    volume = refused(units="metric", concrete={"ready_mix_from": "90 l"})
    assert volume.mend == "give at least 0.1 m3 and at most 100 m3"


def test_a_currency_that_is_too_long() -> None:
    assert refused(currency="pounds sterling") == Problem(
        "currency", '"pounds sterling"', "is too long", "use at most 8 letters"
    )


def test_trims_that_leave_nothing_of_a_board() -> None:
    own = {"name": "peg stock", "breadth": "1 in", "depth": "1 in", "lengths": ["6 in", "3 ft"]}
    assert refused(cutting={"end_trim": "3 in"}, stock={"lumber": [own]}) == Problem(
        "cutting.end_trim",
        '"3 in"',
        'at both ends leaves nothing of the shortest peg stock, which is 6"',
        'give at most 2-15/16"',
    )
    assert read(cutting={"end_trim": "2-15/16 in"}, stock={"lumber": [own]})


@pytest.mark.parametrize(
    ("row", "key", "value", "wrong", "mend"),
    [
        (
            {"item": "2x4", "length": "8 ft", "price": -4.5},
            "price",
            "-4.5",
            "is negative",
            'give what "2x4" costs, 0 or more',
        ),
        ({"price": -1}, "item", "", "is missing", "add it"),
        ({"item": "2x4"}, "price", "", "is missing", "add it"),
        ({"item": "", "price": 1}, "item", '""', "is empty", "write a name between the quotes"),
        (
            {"item": "nails", "price": "4.50"},
            "price",
            '"4.50"',
            "is not a number",
            "give at least 0 and at most 999999, without quotes",
        ),
        (
            {"item": "nails", "price": float("inf")},
            "price",
            "inf",
            "is not a number that can be used",
            "give at least 0 and at most 999999",
        ),
        (
            {"item": "nails", "price": 1, "each": "box"},
            "each",
            '"box"',
            "is no key of [price[1]]",
            "leave out price[1].each; the keys are item, length, treated, price, per",
        ),
        (
            {"item": "nails", "price": 1, "per": "keg"},
            "per",
            '"keg"',
            "is not one of the choices",
            'give "piece", "box", "ft", "m", "ft2", "m2", "yd3", "m3", "gal", "l", "lb", "kg" '
            'or "t"',
        ),
        (
            {"item": "2x4", "length": 8, "price": 4},
            "length",
            "8",
            "has no unit",
            'write it with its unit, such as "8 in" or "8 mm"',
        ),
        (
            {"item": "1x4", "length": "7 ft", "price": 4},
            "length",
            '"7 ft"',
            "is no length that 1x4 comes in",
            """give 8' 0", 10' 0", 12' 0", 14' 0" or 16' 0\"""",
        ),
        (
            {"item": "1x4", "price": 4},
            "length",
            "",
            "is missing, and 1x4 comes in more than one",
            """give 8' 0", 10' 0", 12' 0", 14' 0" or 16' 0", or give price[1].per "ft" or "m\"""",
        ),
        (
            {"item": "2x4", "price": 4, "per": "lb"},
            "per",
            '"lb"',
            "is not how a section is sold",
            'give "ft", "m", "yd3" or "m3"',  # by the piece its length would be missing
        ),
        (
            {"item": "ribbed steel 9 in 29 ga", "price": 4},
            "per",
            "",
            "is missing for a panel",
            'give "ft", "m", "ft2" or "m2"',
        ),
        (
            {"item": "gravel", "price": 40, "per": "box"},
            "per",
            '"box"',
            "is not how a bulk material is sold",
            'give "yd3", "m3", "lb", "kg" or "t"',
        ),
        (
            {"item": "No. 15 felt", "price": 40, "per": "ft"},
            "per",
            '"ft"',
            "is not how a roll is sold",
            'give "piece", "ft2" or "m2"',
        ),
    ],
)
def test_a_price_that_is_wrong(
    row: dict[str, Any], key: str, value: str, wrong: str, mend: str
) -> None:
    _, problems = check_scene(table(**priced(row)))
    assert Problem(f"price[1].{key}", value, wrong, mend) in problems


@pytest.mark.parametrize(
    ("key", "value", "shown"), [("length", "8 ft", '"8 ft"'), ("treated", True, "true")]
)
def test_length_and_treatment_of_what_is_no_lumber(key: str, value: object, shown: str) -> None:
    problem = refused(**priced({"item": "2x44", "price": 4, key: value}))
    assert (problem.key, problem.value) == (f"price[1].{key}", shown)
    assert problem.wrong == 'goes with a section of lumber, and "2x44" is none'
    assert problem.mend.startswith(f"leave out price[1].{key}")
    # A treated 2x4 is sold in more lengths than one: the price would want one, too.
    assert ('give price[1].item "2x4"' in problem.mend) == (key == "length")


@pytest.mark.parametrize(
    ("first", "second", "mend"),
    [
        ({"item": "7/16 OSB"}, {"item": "7/16 OSB", "per": "ft2"}, "leave out price[3]"),
        ({"item": "brass hook"}, {"item": " brass hook "}, "leave out price[3]"),
        (
            {"item": "2x4", "length": "8 ft"},
            {"item": "2x4", "length": "96 in"},
            "leave out price[3]",
        ),
        (
            {"item": "2x4", "per": "ft"},
            {"item": "2x4", "per": "m"},
            "leave out price[3]",
        ),
    ],
)
def test_two_prices_for_one_thing(first: dict[str, Any], second: dict[str, Any], mend: str) -> None:
    between = {"item": "tin funnel", "price": 2}
    problem = refused(**priced({**first, "price": 1}, between, {**second, "price": 3}))
    assert problem.key == "price[3].item"
    assert (problem.wrong, problem.mend) == ("has a price already, in price[1]", mend)


def test_prices_that_are_no_list() -> None:
    assert refused(price=3) == Problem(
        "price", "3", "is not a list of tables", "write each one headed [[price]]"
    )


def test_all_that_is_wrong_is_in_one_report_with_the_rest() -> None:
    _, problems = check_scene(
        table(
            cutting={"kerf": "3 in"},
            paint={"coats": 9},
            concrete={"bag": "1 t"},
            waste={"runs": 200},
            walls={"spacing": "9 ft"},  # wider than the wall: seen only once all has been read
            **priced(
                {"item": "2x4", "price": -1},
                {"item": "brass hook", "price": 1},
                {"item": "2x6", "price": "dear", "length": "long"},
                {"item": "brass hook", "price": 2},
            ),
        )
    )
    assert sorted(problem.key for problem in problems) == [
        "concrete.bag",
        "cutting.kerf",
        "paint.coats",
        "price[1].price",
        "price[3].length",
        "price[3].price",
        "price[4].item",
        "walls.spacing",
        "waste.runs",
    ]
