"""scenes/README.md says what the schema says: every key, its range and its default."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from pydantic import BaseModel
from pydantic.fields import FieldInfo

from pikepole_model.reading.words import Place, limits_of, marks, models_in
from pikepole_model.scene import (
    buying,
    crew,
    envelope,
    foundation,
    loft,
    measured,
    moving,
    openings,
    own_stock,
    posts,
    schema,
    site,
    steps,
    ties,
    timber,
    walls,
    windows_doors,
    work,
)
from pikepole_model.units import (
    parse_bearing,
    parse_length,
    parse_load,
    parse_mass,
    parse_slope,
    parse_speed,
    parse_spread,
    parse_volume,
)

README = Path(__file__).parent.parent / "scenes" / "README.md"

SECTIONS: dict[str, type[BaseModel]] = {
    "The file itself": schema.Scene,
    "`[building]`": schema.Store,
    "`[lumber]`": timber.Timber,
    "`[moisture]`": timber.Moisture,
    "`[moisture.untreated]`, `[moisture.treated]`": timber.Range,
    "`[[weighed]]`": timber.Weighed,
    "`[[measured]]`": measured.Measured,
    "`[fasteners]`": timber.Fasteners,
    '`[foundation]` of kind "skids"': foundation.Skids,
    '`[foundation]` of kind "piers"': foundation.Piers,
    '`[foundation]` of kind "pad"': foundation.Pad,
    "`[floor]`": schema.Floor,
    "`[[floor.through]]`": schema.Through,
    "`[walls]`": schema.Walls,
    '`[walls.front]` of kind "sheets"': walls.SheetedWall,
    '`[walls.front]` of kind "braces"': walls.BracedWall,
    '`[walls.front]` of kind "slats"': walls.SlattedWall,
    '`[walls.front]` of kind "open"': walls.OpenWall,
    "`[posts]`": posts.Posts,
    "`[[opening]]`": openings.Opening,
    '`[opening.window]` of kind "unit"': windows_doors.UnitWindow,
    '`[opening.window]` of kind "fixed light"': windows_doors.FixedLight,
    '`[opening.window]` of kind "vent"': windows_doors.Vent,
    '`[opening.door]` of kind "ledged"': windows_doors.LedgedDoor,
    '`[opening.door]` of kind "framed"': windows_doors.FramedDoor,
    '`[opening.door]` of kind "steel"': windows_doors.SteelDoor,
    "`[opening.door.track]`": windows_doors.Track,
    "`[opening.trim]`": windows_doors.Trim,
    '`[opening.steps]` of kind "steps"': steps.Steps,
    '`[opening.steps]` of kind "ramp"': steps.Ramp,
    '`[opening.steps]` of kind "none"': steps.NoSteps,
    "`[[existing]]`": work.Existing,
    "`[[bay]]`": posts.Bay,
    "`[bay.footing]`, `[posts.footing]`": posts.Footing,
    "`[bay.brace]`, `[posts.brace]`": posts.KneeBrace,
    "`[bay.ground]`, `[posts.ground]`": posts.Ground,
    "`[ties]`": ties.Ties,
    "`[beam]`": schema.Beam,
    "`[roof]`": schema.Roof,
    '`[roof.ridge]` of kind "beam"': schema.RidgeBeam,
    "`[roof.ridge.posts]`": posts.InnerPosts,
    "`[roof.ridge.posts.footing]`": posts.FootingUnder,
    '`[roof.ridge]` of kind "board"': schema.RidgeBoard,
    "`[roof.knee]`": schema.Knee,
    "`[roof.clerestory]`": schema.Clerestory,
    "`[loft]`": loft.Loft,
    "`[loft.opening]`": loft.LoftOpening,
    "`[loft.opening.ladder]`": loft.Ladder,
    "`[edges]`": schema.Edges,
    "`[roofing]`": schema.Roofing,
    "`[wrap]`": envelope.Wrap,
    '`[[cladding]]` of kind "battens"': envelope.Battens,
    '`[[cladding]]` of kind "boards"': envelope.Boards,
    "`[site]`": site.Site,
    "`[site.lot]`, `[site.setback]`": site.Distances,
    "`[[stage]]`": work.Stage,
    "`[crew]`": crew.Crew,
    '`[[crew.gear]]` of kind "trestles"': crew.Trestles,
    '`[[crew.gear]]` of kind "platform"': crew.Platform,
    '`[[crew.gear]]` of kind "wall jack"': crew.WallJack,
    '`[[crew.gear]]` of kind "chain hoist"': crew.ChainHoist,
    '`[[crew.gear]]` of kind "telehandler"': crew.Telehandler,
    '`[[crew.gear]]` of kind "material lift"': crew.MaterialLift,
    '`[[crew.gear]]` of kind "two-wheel truck"': crew.TwoWheelTruck,
    '`[[crew.gear]]` of kind "jack"': crew.Jack,
    '`[[crew.gear]]` of kind "winch"': crew.Winch,
    "`[delivery]`": crew.Delivery,
    "`[[rate]]`": crew.Rate,
    "`[move]`": moving.Move,
    "`[move.beams]`": moving.CarryingBeams,
    "`[move.pipes]`": moving.Pipes,
    "`[move.pull]`": moving.Pull,
    "`[move.ramp]`": moving.Ramp,
    "`[move.trailer]`": moving.Trailer,
    "`[cutting]`": buying.Cutting,
    "`[[price]]`": buying.Price,
    "`[paint]`": buying.Paint,
    "`[concrete]`": buying.Concrete,
    "`[concrete.bars]`": buying.Bars,
    "`[waste]`": buying.Waste,
    "`[spare]`": buying.Spare,
    "`[[spare.of]]`": buying.SpareOf,
    "`[[have]]`": work.Have,
    "`[done]`": work.Done,
    "`[stock]`": own_stock.Stock,
    "`[[stock.lumber]]`": own_stock.OwnLumber,
    "`[[stock.sheet]]`": own_stock.OwnSheet,
    "`[[stock.species]]`": own_stock.OwnSpecies,
    "`[[stock.roll]]`": own_stock.OwnRoll,
    "`[[stock.panel]]`": own_stock.OwnPanel,
    "`[[stock.flat]]`": own_stock.OwnFlat,
    "`[[stock.pane]]`": own_stock.OwnPane,
    "`[[stock.window]]`": own_stock.OwnWindow,
    "`[[stock.mesh]]`": own_stock.OwnMesh,
    "`[[stock.bar]]`": own_stock.OwnBar,
}

PARSE = {
    "length": parse_length,
    "slope": parse_slope,
    "mass": parse_mass,
    "volume": parse_volume,
    "spread": parse_spread,
    "load": parse_load,
    "speed": parse_speed,
    "bearing": parse_bearing,
}


def tables() -> dict[str, dict[str, list[str]]]:
    """Rows by heading and key: what it is, value, range, default."""
    found: dict[str, dict[str, list[str]]] = {}
    for part in README.read_text(encoding="utf-8").split("\n## ")[1:]:
        heading, _, body = part.partition("\n")
        rows = re.findall(r"^\| `(\w+)` \|(.*)\|$", body, re.MULTILINE)
        if rows:
            assert len(dict(rows)) == len(rows), f"{heading} has a key twice"
            found[heading] = {key: [cell.strip() for cell in row.split("|")] for key, row in rows}
    return found


FIELDS = [
    pytest.param(heading, key, field, id=f"{model.__name__}.{key}")
    for heading, model in SECTIONS.items()
    for key, field in model.model_fields.items()
]


def all_models(model: type[BaseModel]) -> set[type[BaseModel]]:
    inner = {m for field in model.model_fields.values() for m in models_in(field.annotation)}
    return {model}.union(*(all_models(m) for m in inner))


def test_every_section_of_the_schema_has_its_table_and_no_more() -> None:
    assert set(tables()) == set(SECTIONS)
    assert set(SECTIONS.values()) == all_models(schema.Scene)


@pytest.mark.parametrize("heading", SECTIONS)
def test_every_key_is_there_and_none_too_many(heading: str) -> None:
    assert list(tables()[heading]) == list(SECTIONS[heading].model_fields)


@pytest.mark.parametrize(("heading", "key", "field"), FIELDS)
def test_ranges_are_the_schemas(heading: str, key: str, field: FieldInfo) -> None:
    what, value, limits, _ = tables()[heading][key]
    assert what
    place = Place((key,), SECTIONS[heading], field)
    if place.measure:
        assert value in (place.measure.what, f"list of {place.measure.what}s")
        parse = PARSE[place.measure.what]
        low, high = limits.split(" to ")
        assert (parse(low), parse(high)) == (place.measure.low, place.measure.high)
    elif place.choices:
        assert tuple(re.findall(r'"([\w. -]+)"', limits)) == place.choices
    elif numbers := limits_of(field):
        low, high = limits.split(" to ")
        assert (float(low), float(high)) == numbers
        assert value == ("whole number" if "int" in str(field.annotation) else "number")
    elif place.stock:
        names = {
            "lumber": "section",
            "sheet": "sheet",
            "species": "species",
            "house wrap": "house wrap",
            "roof underlayment": "roof underlayment",
            "flashing membrane": "flashing membrane",
            "vent screen": "vent screen",
            "vent mesh": "vent mesh",
            "flashing tape": "flashing tape",
            "panel": "panel",
            "flat": "flat steel",
            "pane": "pane",
            "window": "window",
            "mesh": "mesh",
            "bar": "bar",
        }
        assert value == f"name of a {names[place.stock.kind]}"
        assert not limits
    elif field.annotation is str:
        longest = next(mark for mark in marks(field) if hasattr(mark, "max_length"))
        assert limits == f"1 to {longest.max_length} letters"  # type: ignore[attr-defined]
    else:
        assert value in ("table", "tables", "true or false", "list of texts")
        assert not limits


@pytest.mark.parametrize(("heading", "key", "field"), FIELDS)
def test_defaults_are_the_schemas(heading: str, key: str, field: FieldInfo) -> None:
    written = tables()[heading][key][3]
    if field.is_required():
        assert written == "required"
    elif field.default is None or field.default == ():
        assert re.fullmatch(r"\(.+\)", written)
    elif isinstance(field.default, BaseModel):
        assert written == "(as below)"
    elif measure := Place((key,), SECTIONS[heading], field).measure:
        assert PARSE[measure.what](json.loads(written)) == field.default
    else:
        default = json.loads(written)
        assert (tuple(default) if isinstance(default, list) else default) == field.default


def test_the_measures_of_the_introduction_read() -> None:
    intro = README.read_text(encoding="utf-8").split("\n## ")[0]
    measures = re.search(
        r"\*\*Lengths\*\*(.*?)\*\*Slopes\*\*(.*?)\*\*Masses\*\*(.*?)"
        r"\*\*Volumes\*\*(.*?)\*\*Spread rates\*\*(.*?)\*\*Loads\*\*(.*?)"
        r"\*\*Speeds\*\*(.*?)\*\*Bearings\*\*(.*?)\. A bare",
        intro,
        re.DOTALL,
    )
    assert measures
    for said, parse, count in zip(
        measures.groups(), PARSE.values(), (7, 2, 3, 4, 2, 3, 3, 2), strict=True
    ):
        found = re.findall(r'`(?:\'\'\'|")(.+?)(?:\'\'\'|")`', said)
        assert len(found) == count
        assert all(parse(text) > 0 for text in found)
