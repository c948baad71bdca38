"""A key in the wrong table is answered with its own, a wrong word with those that may stand."""

from __future__ import annotations

import re
from typing import Any

import pytest
from pydantic import ValidationError

from pikepole_model.reading.words import SceneTable, choices, place_of, problem_of, tables
from pikepole_model.scene.schema import Scene

EVERY_KEY = sorted({key for table in tables() for key in table.model.model_fields})


def inside(table: SceneTable, keys: dict[str, Any]) -> dict[str, Any]:
    """A scene's table in which only this one stands, with these keys."""
    if table.kinds:
        keys = {"kind": table.kinds[0], **keys}
    at: Any = keys
    steps = table.name.split(".") if table.name else []
    for end in range(len(steps), 0, -1):
        one = next(each for each in tables() if each.name == ".".join(steps[:end]))
        parents = [each for each in tables() if each.name == ".".join(steps[: end - 1])]
        owner = next(each for each in parents if steps[end - 1] in each.model.model_fields)
        at = {steps[end - 1]: [at] if one.header.startswith("[[") else at}
        if owner.kinds:
            at["kind"] = owner.kinds[0]
    return at


def answers(
    table: SceneTable, keys: dict[str, Any], error_type: str = "extra_forbidden"
) -> dict[str, str]:
    """What is said of each key of one table for which the validator has this error."""
    with pytest.raises(ValidationError) as refused:
        Scene.model_validate(inside(table, keys))
    said: dict[str, str] = {}
    for error in refused.value.errors(include_url=False):
        if error["type"] != error_type:
            continue
        place = place_of(error["loc"])
        problem = problem_of(dict(error), place)
        said[str(place.path[-1])] = f"{problem.wrong}; {problem.mend}"
    return said


@pytest.mark.parametrize("table", tables(), ids=lambda table: table.header + str(table.kinds))
def test_a_key_in_the_wrong_table_is_told_where_it_belongs(table: SceneTable) -> None:
    foreign = [key for key in EVERY_KEY if key not in table.model.model_fields]
    said = answers(table, dict.fromkeys(foreign, "1 ft"))
    for key in foreign:
        owners = [one for one in tables() if key in one.model.model_fields]
        kinds = [kind for one in owners if one.name == table.name for kind in one.kinds]
        if kinds:
            assert "belongs to kind" in said[key]
            assert all(f'"{kind}"' in said[key] for kind in kinds), said[key]
        else:
            top = next((one.header for one in tables() if one.name == key), tables()[0].header)
            headers = {one.header if one.name else top for one in owners}
            named = sum(header in said[key] for header in headers)
            assert named == len(headers) or named >= 10, (key, said[key])
        assert "leave out" in said[key]


WORDS = [
    pytest.param(table, key, choices(field.annotation), id=f"{table.header}{key}")
    for table in tables()
    for key, field in table.model.model_fields.items()
    if choices(field.annotation) and key != "kind"
]


@pytest.mark.parametrize(("table", "key", "words"), WORDS)
def test_a_wrong_word_is_told_what_may_stand(
    table: SceneTable, key: str, words: tuple[str, ...]
) -> None:
    listed = "tuple" in str(table.model.model_fields[key].annotation)
    said = answers(table, {key: ["wrong"] if listed else "wrong"}, "literal_error")
    answer = said["0"] if "0" in said else said[key]
    assert set(re.findall(r'"(.+?)"', answer)) == set(words)


@pytest.mark.parametrize("name", sorted({table.name for table in tables() if table.kinds}))
def test_a_wrong_kind_is_told_which_there_are(name: str) -> None:
    kinds = [one for one in tables() if one.name == name]
    wrong = SceneTable(name, kinds[0].header, kinds[0].model, ("wrong",))
    said = " ".join(answers(wrong, {}, "union_tag_invalid").values())
    assert {kind for one in kinds for kind in one.kinds} <= set(re.findall(r'"(.+?)"', said))


# What a person may well write in the wrong place.
@pytest.mark.parametrize(
    ("table", "key", "says"),
    [
        (
            "[building]",
            "slope",
            "it belongs in [opening.steps], [[bay]], [loft.opening.ladder], [roof], "
            "[roof.knee] or [roof.clerestory]",
        ),
        ("the file above its tables", "stud", "it belongs in [walls]"),
        ("[walls]", "tail", "it belongs in [roof]"),
        ("[roof]", "fascia", "it belongs in [edges]"),
        ("[[bay]]", "diameter", "it belongs in [bay.footing]"),
        ("[walls]", "edges", "it belongs in a table of its own, [edges]"),
        ("[roof]", "units", "it belongs in the file above its tables"),
    ],
)
def test_where_a_key_belongs(table: str, key: str, says: str) -> None:
    where = next(one for one in tables() if one.header == table)
    assert says in answers(where, {key: "1 ft"})[key]


def test_a_key_of_another_kind() -> None:
    pad = next(one for one in tables() if one.kinds == ("pad",))
    assert answers(pad, {"skid": "4x6"})["skid"].startswith('belongs to kind "skids"')
