"""Every number that a lift card prints is one of its record, rounded for people."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from card_numbers import numbers_of, printed, unrecorded
from carded_pages import NAMES, built, pages
from pikepole_export.derive.lifting.cautions import balance_angle_text, stop_wind_text
from pikepole_export.write.cards.files import card_name
from pikepole_export.write.cards.words import force, height
from pikepole_export.write.tables.csv_json import write_table
from pikepole_export.write.tables.lifting import lift_tables


def test_numbers_for_people() -> None:
    # 100 N / 9.80665 m/s2 = 10.197 kg = 22.48 lb; 1300 mm = 51.2 in.
    assert force(100.0, "imperial").replace("\u00a0", " ") == "22.5 lb"
    assert force(100.0, "metric").replace("\u00a0", " ") == "10.2 kg"
    assert height(1300.0, "imperial").replace("\u00a0", " ") == "4' 3\""
    assert height(1014.0, "metric").replace("\u00a0", " ") == "1010 mm"
    # Limits go down: 5.3 m/s = 11.86 mph = 19.08 km/h, and 86.64 deg.
    assert stop_wind_text(5.3, "imperial") == "11 mph"
    assert stop_wind_text(5.54, "metric") == "19 km/h"
    assert stop_wind_text(23 * 0.44704, "imperial") == "23 mph"
    assert balance_angle_text(86.64) == "86 deg"


@pytest.mark.parametrize("name", NAMES)
def test_every_number_on_a_card_is_in_its_record(name: str, tmp_path: Path) -> None:
    building, plan = built(name)
    for table in lift_tables(plan, building.scene.units):
        write_table(table, tmp_path)
    written = json.loads((tmp_path / "lifts.json").read_text(encoding="utf-8"))
    records = {record["number"]: record for record in written["lifts"]}
    mass_unit = "lb" if building.scene.units == "imperial" else "kg"
    for lift, _, page in pages(name):
        record = records[lift.number]
        kept = numbers_of(record)
        text = " ".join(one.text for one in page.texts).replace("\u00a0", " ")
        # What has to come off is rounded up.
        text = re.sub(r"[\d.]+ (lb|kg) lighter", "", text)
        # Names hold numbers that count pieces, and so does that of a standard.
        names = [
            record["name"],
            *(method["load"]["name"] for method in record["ways"]),
            "ASME B30.9",
            "HSE INDG143",
            "NAVEDTRA 14251",
            "29 CFR 1910.269(x)",
            "29 CFR 1926.501(b)(1)",
            "2x4",
            "16d",
            "38 x 89 mm",
            "38 x 89 x",
            "4.5 x 100 mm",
            "29 CFR 1926.451(g)(1)",
        ]
        for word in sorted(names, key=len, reverse=True):
            text = re.sub(re.escape(word), "", text, flags=re.IGNORECASE)
        seen = printed(text, mass_unit)
        assert len(seen) > 8
        lost = unrecorded(seen, kept)
        assert not lost, f"{card_name(lift)}: {lost} is in no row of its record"


def test_a_number_that_is_no_record_is_found_out() -> None:
    # The pattern above reads what cards print: none of it is skipped or taken for another unit.
    text = 'of 33.0 lb, 6\' 2-1/2", 7-1/4", 3/4", 12 mph, 86 deg, 2650 mm, 1.83 m, 10 ft, 3 people'
    values = [(unit, value) for _, unit, value, _ in printed(text, "lb")]
    assert values == [
        ("lb", 33.0),
        ("in", 74.5),
        ("in", 7.25),
        ("in", 0.75),
        ("mph", 12.0),
        ("deg", 86.0),
        ("mm", 2650.0),
        ("m", 1.83),
        ("ft", 10.0),
        ("", 3.0),
    ]
    assert numbers_of({"a_mm": {"low": 1, "high": [2, 3]}, "b": True, "people": 4}) == [
        ("a_mm", 1.0),
        ("a_mm", 2.0),
        ("a_mm", 3.0),
        ("people", 4.0),
    ]
