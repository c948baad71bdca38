"""A metric scene is metric: what it takes where it does not say, and every word that is written."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from command import pikepole
from pikepole_model.building.fastenings import InRows, OnSheet, load_fastenings
from pikepole_model.building.quoted import in_millimetres
from pikepole_model.reading.file import check_scene
from pikepole_model.scene.quantity import Measure
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.types import Section
from pikepole_model.stock.catalogue import load_catalogue
from pikepole_model.stock.metric import metric_lengths, metric_names
from pikepole_model.units import parse_length

CLASSROOM = Path(__file__).parents[1] / "scenes" / "garden-classroom.toml"

# Inches, feet, pounds, gauges, pennies, inch names of stock, a rise in 12; the American yard. Load
# combinations, 0.6D, are no nails; the foot of a stud is no length.
NOT_METRIC = re.compile(
    r"""\d["″] | \d'(?!\w) | \binch | \b(?:ft[23]|yd3|gauge)\b
    | \d\ (?:in|ft|feet|foot|lbs?|lbf|psi|psf|ga|mil|gal|mph|yd)\b
    | (?<![\d.])\d+d\b | \bNo\.\ \d | \b[1246]x\d | (?<!\d)\d+(?:-\d+/\d+)?:12\b
    | \blumber | \bhardware\ store""",
    re.VERBOSE | re.IGNORECASE,
)
PRINTED = (".csv", ".svg", ".dxf", ".html")
# A drawing's scale; an off-cut's letter, which is no nail.
OTHERWISE = re.compile(r"(?:^|Scale |details )1:\d+|off-cut \d+[a-z]+\b")


def texts_of(folder: Path) -> Iterator[tuple[str, str]]:
    """Every text for people in the files of a folder, with the file's name."""
    for file in sorted(folder.rglob("*")):
        text = file.read_text(encoding="utf-8") if file.suffix in PRINTED else ""
        match file.suffix:
            case ".csv":
                found = [cell for row in csv.reader(text.splitlines()) for cell in row]
            case ".svg" | ".html":
                found = re.findall(r">([^<>]+)<", text)
            case ".dxf":
                # Group code 1 stands before what a text says.
                found = re.findall(r"\n *1\n(.+)\n", text)
            case _:
                found = []
        yield from ((file.name, one) for one in found)


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder with all that is written of the classroom and read, pictures and models apart."""
    folder = tmp_path_factory.mktemp("classroom") / "out"
    kinds = "tables,calculations,buy,cuts,drawings,plans,lifts"
    assert pikepole("build", CLASSROOM, "-o", folder, "--only", kinds).code == 0
    return folder


def test_all_that_is_written_of_a_metric_scene_is_metric(written: Path) -> None:
    texts = list(texts_of(written))
    kinds_read = {name.rpartition(".")[2] for name, _ in texts}
    assert kinds_read == {"csv", "svg", "dxf", "html"}
    assert len(texts) > 10_000
    wrong = {(name, text) for name, text in texts if NOT_METRIC.search(OTHERWISE.sub("", text))}
    assert not wrong


def test_a_european_builders_order_by_hand(written: Path) -> None:
    with (written / "buy.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))

    def ordered(*begins: str) -> list[float]:
        found = [row for row in rows if row["order"].startswith(begins)]
        return [float(row["quantity"]) for row in found]

    # Three girders of 6 m on blocks 1.5 m apart: five under each.
    assert ordered("precast pier block") == [15]
    # Joists 400 mm apart in 6 m are sixteen, each 3600 less two rims of 45: one from a 3.6 m board;
    # treads of the steps take one more, and 5 % spare is one.
    assert ordered("C24 45x145 x 3.6 m, european redwood") == [18]
    # 6.0 x 3.6 m of floor: three rows of 2.46 sheets each are 7.4, with off-cuts that fit eight.
    assert ordered("18 mm plywood 1220x2440 flooring") == [8]
    # Four footings of 300 mm, 675 mm high: 0.191 m3, 0.210 with 10 %; 20 lb (9.07 kg) of mix make
    # 0.15 ft3 (4.248 l), 25 kg so 11.7 l: 17.9 bags.
    assert ordered("concrete mix, 25 kg") == [18]
    # Four posts, two bolts each in base, cap and the beam in the cap; over two of them plies meet,
    # with two bolts in either length there, four more; through 95 mm and two legs of
    # 3 mm, with 32 mm for washers and nut 133 mm, up to 140.
    assert ordered("bolt M12 x 140 mm with nut and two washers, hot-dip galvanised") == [28]
    # Panels cover 1 m: 6.0 m and two rakes of 300 mm take seven, the lean-to of 6.0 m six.
    assert ordered("roof panel") == [7, 6]
    # Two thresholds, two screws in each jamb: eight, from a box of 100.
    assert ordered("wood screw 5 x 80 mm, hot-dip galvanised, box of 100") == [1]
    # What is bolted or screwed outdoors is coated.
    bare = [row["order"] for row in rows if re.match("bolt|coach|timber screw", row["order"])]
    assert bare
    assert all("hot-dip galvanised" in text for text in bare)


@pytest.mark.parametrize(
    "text",
    [
        '3-1/2"',
        "6' 2\"",
        "6 in at edges",
        "10 ft",
        "1.5 lb",
        "29 ga",
        "2-16d common",
        "No. 30 felt",
        "2x4",
        "bevel cut 3:12",
        "Lumber is No. 2",
    ],
)
def test_what_is_looked_for_is_found(text: str) -> None:
    assert NOT_METRIC.search(text)


@pytest.mark.parametrize("text", ["0.6D + 0.6Wm", "from the foot", "C24 45x95"])
def test_nothing_else_is(text: str) -> None:
    assert not NOT_METRIC.search(text)


def test_a_metric_row_stands_for_one_in_inches() -> None:
    catalogue = load_catalogue()
    tables = (catalogue.lumber, catalogue.species, catalogue.sheets, catalogue.rolls)
    tables = (*tables, catalogue.panels, catalogue.flats, catalogue.panes, catalogue.bars)
    for ours, metric in metric_names().items():
        assert any(ours in table and metric in table for table in tables), (ours, metric)
        if ours in catalogue.lumber:
            # The next size in use: 45 mm for 1-1/2 in, 95 mm for 3-1/2 in, 295 for 11-1/4 in.
            one, other = catalogue.lumber[ours], catalogue.lumber[metric]
            assert other.breadth_mm == pytest.approx(one.breadth_mm, abs=7.0)
            assert other.depth_mm == pytest.approx(one.depth_mm, abs=11.0)


def test_every_default_with_an_inch_in_its_name_has_a_metric_one() -> None:
    def tables(table: type[Section]) -> Iterator[type[Section]]:
        yield table
        for more in table.__subclasses__():
            yield from tables(more)

    defaults = {
        field.default
        for table in tables(Section)
        for field in table.model_fields.values()
        if isinstance(field.default, str)
    }
    catalogue = load_catalogue()
    rows = {*catalogue.lumber, *catalogue.sheets, *catalogue.rolls, *catalogue.panels}
    rows |= {*catalogue.flats, *catalogue.panes, *catalogue.bars, *catalogue.species}
    named = defaults & rows
    assert {"2x4", "No. 30 felt", "southern pine"} <= named
    assert named - metric_names().keys() == set(), "give it a row in data/metric.toml"


def scene(**tables: Any) -> Scene:
    """A small metric scene of which nothing is wrong."""
    table: dict[str, Any] = {
        "title": "Store",
        "units": "metric",
        "building": {"length": "3 m", "depth": "2.4 m"},
        "foundation": {"kind": "skids"},
        "floor": {},
        "roof": {"slope": "15 deg"},
        **tables,
    }
    found, problems = check_scene(table)
    assert not problems
    assert found is not None
    return found


def test_the_page_of_scenes_lists_them() -> None:
    page = (CLASSROOM.parent / "README.md").read_text(encoding="utf-8")
    listed = set(re.findall(r'^\| `"(.+?)"` \| `"(.+?)"` \|$', page, re.MULTILINE))
    assert listed == {*metric_names().items(), *metric_lengths().items()}


def test_what_is_asked_for_by_name_stays() -> None:
    read = scene(walls={"stud": "2x4"}, concrete={"bag": "80 lb"})
    assert read.walls.stud == "2x4"
    assert read.walls.header == "CLS 38x140"  # left out
    assert read.concrete.bag == pytest.approx(80 * 0.45359237)
    # Whole tables that are left out are metric too, and still count as left out.
    assert scene().walls.stud == "CLS 38x89"
    assert scene().concrete.bag == 25.0
    assert scene().lumber.species == "european whitewood"
    assert "walls" not in scene().model_fields_set
    assert scene().walls.model_fields_set == set()


def test_lengths_that_are_left_out_are_set_out_in_millimetres() -> None:
    read = scene()
    assert read.floor
    spacings = (read.walls.spacing, read.floor.spacing, read.roof.spacing)
    assert (*spacings, read.roof.lookout_spacing) == (400, 400, 400, 600)
    assert (read.roof.eave_overhang, read.walls.low_height) == (300, 2100)
    assert (read.cutting.kerf, read.cutting.end_trim) == (3, 12)
    # Sheets of 1200 x 2400 mm break on members 400 and 600 mm apart.
    for name in (read.walls.sheet, read.roof.sheet, read.floor.sheet):
        sheet = read.sheet_stock(str(name))
        assert (sheet.width_mm % 400, sheet.length_mm % 600) == (0, 0)
    # 6 in over the ground are 152 mm (IRC R317.1, item 5), so not 150.
    assert scene(cladding=[{"kind": "boards"}]).cladding[0].above_ground == 155
    # What is given stays.
    assert scene(walls={"spacing": "16 in"}).walls.spacing == 406.4


def test_every_length_by_default_is_a_whole_millimetre() -> None:
    def sections(found: Section) -> Iterator[Section]:
        yield found
        for value in dict(found).values():
            if isinstance(value, Section):
                yield from sections(value)

    for one in sections(scene(edges={}, roofing={}, cutting={})):
        for key, field in type(one).model_fields.items():
            value = getattr(one, key)
            if any(isinstance(m, Measure) and m.what == "length" for m in field.metadata):
                assert value == round(value), (key, value)


def test_a_length_stands_for_the_nearest_that_is_set_out() -> None:
    for ours, metric in metric_lengths().items():
        one, other = parse_length(ours), parse_length(metric)
        assert other == pytest.approx(one, rel=0.06), ours
        assert other == round(other)


def test_the_schedule_in_millimetres() -> None:
    inches, metric = load_fastenings().schedule, load_fastenings("metric").schedule
    assert [row.name for row in inches] == [row.name for row in metric]
    for row in metric:
        said = f"{row.fastener} {row.source}"
        assert not NOT_METRIC.search(said), said
    # 6 and 12 in are 152.4 and 304.8 mm, 16 in 406.4: never farther apart.
    sheet = next(row for row in metric if row.name == "wall sheet to frame")
    assert sheet.count == OnSheet(150.0, 300.0)
    plates = next(row for row in metric if row.name == "double top plate")
    assert plates.count == InRows(400.0, 1, None)
    sizes = load_fastenings().bought
    for ours, theirs in load_fastenings().metric_names.items():
        if (one := sizes[ours].nail_mm) and (other := sizes[theirs].nail_mm):
            # Wire sizes are apart by a third of a millimetre at most; lengths by the nearest sold.
            assert other[1] == pytest.approx(one[1], abs=0.35)
            assert ours == "cap nail" or other[0] == pytest.approx(one[0], abs=5.0)


def test_what_a_source_says_in_millimetres() -> None:
    # ASTM F1667: 16d common is 3-1/2 x 0.162 in, 88.9 x 4.11 mm; 8d 2-1/2 x 0.131 in.
    assert in_millimetres("row 10: 2-16d common at 16 in") == (
        "row 10: 2 nails 4.1 x 89 mm at 406 mm"
    )
    assert in_millimetres("4-8d common, toenail") == "4 nails 3.3 x 64 mm, toenail"
    assert in_millimetres("which is 7-1/4 in dressed") == "which is 184 mm dressed"
    assert in_millimetres("three in each") == "three in each"
