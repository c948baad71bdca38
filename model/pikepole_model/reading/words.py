"""What the validator found, in a builder's words."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from types import UnionType
from typing import Any, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from pikepole_model.errors import KeyPath, Problem, any_of, key_text, leave_out, one_of
from pikepole_model.scene.quantity import Measure, Measured, StockName
from pikepole_model.scene.schema import Roof, Scene
from pikepole_model.stock.catalogue import MOST_NAMED, close_names

_LONGEST_VALUE = 60

# Roofs that people ask for and that are not built, and what is.
_NOT_BUILT = ("hip", "valley", "dormer", "mansard")
_BUILT = (
    "is not built: a roof is a monopitch, a gable, a saltbox, a gambrel, or two monopitches with a "
    "clerestory between them"
)

# What a missing measure could be: the first whose size (mm, degrees, kg) is allowed.
_EXAMPLES: dict[Measured, dict[str, float]] = {
    "length": {
        '"9 ft" or "2700 mm"': 2743.2,
        '"2 ft 6 in" or "750 mm"': 762.0,
        '"4 in" or "100 mm"': 101.6,
    },
    "slope": {'"3:12"': 14.04},
    "mass": {'"1000 lb" or "450 kg"': 453.59},
}


@dataclass(frozen=True, slots=True)
class Place:
    """Where in a scene file something stands.

    Attributes:
        path: Keys and positions in the file's tables.
        table: The section that the last key belongs to.
        field: What is known of the last key; None where there is no such key.
    """

    path: KeyPath
    table: type[BaseModel]
    field: FieldInfo | None

    @property
    def key(self) -> str:
        """The key path for people, items counted from 1: `opening[2].width`."""
        return key_text(self.path)

    @property
    def measure(self) -> Measure | None:
        """How the key's length, slope or mass is read, where it holds one."""
        return next((mark for mark in self._marks() if isinstance(mark, Measure)), None)

    @property
    def stock(self) -> StockName | None:
        """Which names the key takes, where it takes any."""
        return next((mark for mark in self._marks() if isinstance(mark, StockName)), None)

    @property
    def choices(self) -> tuple[str, ...]:
        """The texts the key takes, where it takes only some."""
        return choices(self.field.annotation) if self.field else ()

    def _marks(self) -> list[object]:
        return marks(self.field) if self.field else []


def place_of(location: KeyPath) -> Place:
    """The place that the validator's location means.

    It names the kind of a table that comes in several kinds as one more step, which is in no file.
    """
    table: type[BaseModel] = Scene
    field: FieldInfo | None = None
    path: list[str | int] = []
    inside: list[type[BaseModel]] = [Scene]
    for step in location:
        if len(inside) > 1 and isinstance(step, str):
            inside = [model for model in inside if step in choices(model.model_fields["kind"])]
            continue
        path.append(step)
        if isinstance(step, str) and inside:
            table = inside[0]
            field = table.model_fields.get(step)
            inside = models_in(field.annotation) if field else []
    return Place(tuple(path), table, field)


def problem_of(error: dict[str, Any], place: Place) -> Problem:
    """One of the validator's errors as a problem that says how to mend it."""
    kind: str = error["type"]
    value = value_text(error["input"])
    key = place.key
    limits: dict[str, Any] = error.get("ctx", {})
    match kind:
        case "refused":
            return Problem(key, value, limits["wrong"], limits["mend"])
        case "missing":
            return Problem(key, "", "is missing", _how_to_add(place))
        case "extra_forbidden":
            return Problem(key, value, *_unknown_key(place))
        case "union_tag_not_found" | "union_tag_invalid":
            kinds = [
                name
                for model in models_in(place.field.annotation if place.field else None)
                for name in choices(model.model_fields["kind"])
            ]
            value = value_text(limits["tag"]) if "tag" in limits else ""
            wrong = "is not one of the kinds there are" if value else "is missing"
            wrong = _BUILT if limits.get("tag") in _NOT_BUILT else wrong
            return Problem(f"{key}.kind", value, wrong, f"give {any_of(kinds)}")
        case "literal_error":
            return Problem(key, value, "is not one of the choices", f"give {any_of(place.choices)}")
        case "string_type":
            return Problem(key, value, "is not text", "write a name in quotes")
        case "string_too_short":
            return Problem(key, value, "is empty", "write a name between the quotes")
        case "string_too_long":
            return Problem(key, value, "is too long", f"use at most {limits['max_length']} letters")
        case "string_pattern_mismatch":
            return Problem(key, value, "has more than one line", "write it on one line")
        case "bool_type":
            return Problem(
                key, value, "is neither true nor false", "write true or false, no quotes"
            )
        case "tuple_type" | "too_short":
            return Problem(key, value, *_not_a_list(place))
        case "model_type" | "model_attributes_type" | "dict_type":
            header = f"[[{_list_key(place)}]]" if isinstance(place.path[-1], int) else f"[{key}]"
            return Problem(key, value, "is not a table", f"write it as a table, headed {header}")
        case _:
            return Problem(key, value, *_bad_number(kind, error["input"], place))


def value_text(value: object) -> str:
    """A value as it would stand in the file, shortened."""
    match value:
        case bool():
            return "true" if value else "false"
        case dict():
            return "a table"
        case list() | tuple():
            return "a list"
        case str():
            text = json.dumps(value, ensure_ascii=False)
        case _:
            text = str(value)
    return text if len(text) <= _LONGEST_VALUE else text[: _LONGEST_VALUE - 3] + "..."


def models_in(annotation: object) -> list[type[BaseModel]]:
    """The sections that a type is made of: itself, its items, or its alternatives."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    models: list[type[BaseModel]] = []
    for inner in get_args(annotation):
        models += models_in(inner)
    return models


@dataclass(frozen=True, slots=True)
class SceneTable:
    """A table that a scene file may have.

    Attributes:
        name: Its keys with points between, without positions; "" for the file itself.
        header: As it is written, `[[opening]]`; in words for the file itself.
        model: Its keys.
        kinds: Its own kind, where it comes in several.
    """

    name: str
    header: str
    model: type[BaseModel]
    kinds: tuple[str, ...]


@cache
def tables() -> tuple[SceneTable, ...]:
    """Every table there is, each kind by itself."""
    return (SceneTable("", "the file above its tables", Scene, ()), *_tables_in(Scene, ""))


def _tables_in(model: type[BaseModel], above: str) -> Iterator[SceneTable]:
    for key, field in model.model_fields.items():
        models = models_in(field.annotation)
        name = f"{above}.{key}" if above else key
        header = f"[[{name}]]" if _is_list(field.annotation) else f"[{name}]"
        for one in models:
            kinds = choices(one.model_fields["kind"]) if len(models) > 1 else ()
            yield SceneTable(name, header, one, kinds)
            yield from _tables_in(one, name)


def _is_list(annotation: object) -> bool:
    return get_origin(annotation) is tuple or any(map(_is_list, get_args(annotation)))


def choices(annotation: object) -> tuple[str, ...]:
    """The texts that a type allows, where it is a choice of some or none, or a list of such."""
    inner = annotation.annotation if isinstance(annotation, FieldInfo) else annotation
    if get_origin(inner) in (Union, UnionType) and len(get_args(inner)) == 2:
        inner = get_args(inner)[0]  # a choice or None
    if get_origin(inner) is tuple:
        inner = get_args(inner)[0]  # a list of choices
    return tuple(text for text in get_args(inner) if isinstance(text, str))


def marks(field: FieldInfo) -> list[object]:
    """All that is attached to a field's type, at any depth: ranges, measures, stock names."""

    def inside(annotation: object) -> list[object]:
        found: list[object] = [*getattr(annotation, "__metadata__", ())]
        for inner in get_args(annotation):
            found += inside(inner)
        return found

    flat: list[object] = []
    for mark in [*field.metadata, *inside(field.annotation)]:
        flat += mark.metadata if isinstance(mark, FieldInfo) else [mark]
    return flat


def limits_of(field: FieldInfo) -> tuple[float, float] | None:
    """The smallest and largest number that a field without a unit takes."""
    found = marks(field)
    low = next((mark.ge for mark in found if hasattr(mark, "ge")), None)  # type: ignore[attr-defined]
    high = next((mark.le for mark in found if hasattr(mark, "le")), None)  # type: ignore[attr-defined]
    return None if low is None or high is None else (low, high)


def _list_key(place: Place) -> str:
    return key_text(tuple(step for step in place.path if isinstance(step, str)))


def _unknown_key(place: Place) -> tuple[str, str]:
    key, known, out = str(place.path[-1]), place.table.model_fields, leave_out(place.path)
    here = ".".join(step for step in place.path[:-1] if isinstance(step, str))
    if place.table is Roof and key.removesuffix("s") in _NOT_BUILT:
        return _BUILT, out
    where = "a scene" if place.table is Scene else f"[{key_text(place.path[:-1])}]"
    having = [table for table in tables() if key in table.model.model_fields]
    # Rows of stock have keys of every sort, and are the last that a person would mean; a table
    # inside the one it was written in is the first.
    having.sort(
        key=lambda table: (
            table.name.startswith("stock"),
            not table.name.startswith(f"{here}."),
        )
    )
    if kinds := [kind for table in having if table.name == here for kind in table.kinds]:
        return f"belongs to kind {any_of(kinds)}", out
    # A table of the file itself is written by its own header.
    own = next((f"a table of its own, {one.header}" for one in tables() if one.name == key), None)
    if headers := list(dict.fromkeys((not table.name and own) or table.header for table in having)):
        shown = headers if len(headers) <= MOST_NAMED else [*headers[:MOST_NAMED], "others"]
        where = f"{where}; it belongs in {one_of(shown)}"
    if nearest := close_names(key, known):
        return f"is no key of {where}", f"the nearest there is: {', '.join(nearest)}, or {out}"
    keys = "" if headers else f"; the keys are {', '.join(known)}"
    return f"is no key of {where}", f"{out}{keys}"


def _how_to_add(place: Place) -> str:
    if place.measure:
        low, high = place.measure.low, place.measure.high
        examples = _EXAMPLES[place.measure.what].items()
        allowed = [text for text, size in examples if low <= size <= high]
        return f"add it, such as {place.path[-1]} = {allowed[0]}"
    if place.choices:
        return f"give {any_of(place.choices)}"
    if place.stock and place.stock.kind == "lumber":
        return f'add it, such as {place.path[-1]} = "4x6"'
    if place.field and models_in(place.field.annotation):
        return f"add the table [{place.key}]"
    return "add it"


def _not_a_list(place: Place) -> tuple[str, str]:
    if place.field and models_in(place.field.annotation):
        return "is not a list of tables", f"write each one headed [[{_list_key(place)}]]"
    if place.choices:
        return (
            "is not a list of names",
            f"write it as a list, such as {json.dumps(place.choices[:2])}",
        )
    return "is not a list of lengths", 'write it as a list, such as ["8 ft", "10 ft"]'


def _bad_number(kind: str, value: object, place: Place) -> tuple[str, str]:
    """What is wrong with a count, share or density, and what is allowed."""
    limits = limits_of(place.field) if place.field else None
    counted = kind.startswith("int")
    what = "a whole number" if counted else "a number"
    mend = f"give at least {limits[0]:g} and at most {limits[1]:g}" if limits else f"give {what}"
    if isinstance(value, bool) or not isinstance(value, int | float):
        return f"is not {what}", f"{mend}, without quotes"
    if isinstance(value, float) and not math.isfinite(value):
        return f"is not {what} that can be used", mend
    if kind.startswith("int"):
        return f"is not {what}", mend
    if value < 0:
        return "is negative", mend
    if value == 0:
        return "is zero", mend
    return ("is too small" if kind.startswith("greater") else "is too large"), mend
