"""A scene file into a Scene, or one report with everything that is wrong with it."""

from __future__ import annotations

import copy
import re
import tomllib
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeAlias, get_args
from warnings import catch_warnings

from pydantic import ValidationError

from pikepole_model.errors import KeyPath, Problem, SceneError, key_text
from pikepole_model.plan.datums import Datums
from pikepole_model.reading.mends import with_mends
from pikepole_model.reading.words import Place, place_of, problem_of, value_text
from pikepole_model.rules.turns import Turns
from pikepole_model.rules.whole import key_problems, size_problems
from pikepole_model.scene.quantity import StockKind, Unknown
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.catalogue import load_catalogue
from pikepole_model.stock.rows import RollUse
from pikepole_model.units import Units, format_length

Table: TypeAlias = dict[str, Any]

LARGEST_BYTES = 1_000_000  # a scene with every line explained has a hundredth of it
DEEPEST = 20  # tables in tables; a scene has four
# TOML 1.0.0, Integer: what 64 bits can hold is to be accepted.
LARGEST_INTEGER = 2**63

_WHERE_IN_TOML = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)$")

# What is checked for fit depends on nothing in these.
_WITHOUT_SIZES = (
    *(
        "units",
        "currency",
        "moisture",
        "weighed",
        "measured",
        "lumber",
        "crew",
        "delivery",
        "rate",
        "move",
    ),
    "site",
    *("cutting", "price", "paint", "concrete", "waste"),
)

# One bad item of these says nothing about the others. What stands in for it keeps the others'
# numbers and fits everywhere, because no comparison finds an unknown length wrong. First the key
# that holds its name.
_STAND_INS: dict[KeyPath, tuple[str, Table]] = {
    ("opening",): (
        "name",
        {
            "kind": "window",
            "wall": "front",
            **dict.fromkeys(("from_left", "width", "height", "sill"), Unknown.MEASURE),
        },
    ),
    ("floor", "through"): ("name", dict.fromkeys(("x", "y", "width", "depth"), Unknown.MEASURE)),
    ("price",): ("item", {"price": 0}),
}


def load_scene(path: Path) -> Scene:
    """Read and check a scene file.

    Args:
        path: A TOML file in UTF-8.

    Returns:
        The scene, with nothing found wrong in it.

    Raises:
        SceneError: the file cannot be read, or something in it is wrong; carries every problem.
    """
    scene, problems = check_scene(_table(path, _text(path)))
    if scene is None or problems:
        raise SceneError(str(path), tuple(problems))
    return scene


def check_scene(table: Table) -> tuple[Scene | None, list[Problem]]:
    """The scene of a table, and all that is wrong with it.

    What is wrong but stands alone is set aside, so that the rest is still checked and one report
    has everything.

    Args:
        table: What a scene file holds.

    Returns:
        The scene as far as it can be checked, None where it cannot; and the problems. The scene is
        fit for use only when there are none.
    """
    context = {"names": _names(table), "units": _units(table)}
    problems: list[Problem] = []
    try:
        scene = Scene.model_validate(table, context=context)
    except ValidationError as found:
        errors = [(error, place_of(error["loc"])) for error in found.errors(include_url=False)]
        problems += [problem_of(dict(error), place) for error, place in errors]
        table = copy.deepcopy(table)
        alone = [_set_aside(table, place, error["type"]) for error, place in errors]
        if not all(alone):
            return None, problems
        try:
            scene = Scene.model_validate(table, context=context)
        except ValidationError:  # what is set aside is no length of a list
            return None, problems
    found = list(_as_far_as_known(scene) if problems else unfit(scene))
    if found:
        turns = Turns()
        found = with_mends(found, table, scene, lambda tried: _unfit_after(tried, context, turns))
    return scene, [*problems, *(_with_value(problem, table, scene) for problem in found)]


def unfit(scene: Scene, turns: Turns | None = None) -> Iterator[Problem]:
    """What does not go together in a scene, looked for as it is asked for.

    Args:
        scene: The scene.
        turns: Which rule is asked first; as they stand without.
    """
    stock_fits = True
    for problem in key_problems(scene):
        stock_fits = stock_fits and problem.path[0] != "stock"
        yield problem
    if stock_fits:
        yield from size_problems(Datums(scene), turns or Turns())


def _as_far_as_known(scene: Scene) -> Iterator[Problem]:
    """The same where values were set aside: the sizes they leave unknown stop no report.

    What cannot be looked at without them is looked at once they are right.
    """
    with suppress(Exception), catch_warnings(action="ignore", category=RuntimeWarning):
        yield from unfit(scene)


def _unfit_after(table: Table, context: dict[str, Any], turns: Turns) -> Iterator[Problem] | None:
    """The same for a table that was changed; None where it can no longer be read."""
    try:
        return unfit(Scene.model_validate(table, context=context), turns)
    except ValidationError:
        return None


def _refusal(path: Path, wrong: str, mend: str, *, key: str = "", value: str = "") -> SceneError:
    return SceneError(str(path), (Problem(key, value, wrong, mend),))


def _text(path: Path) -> str:
    if path.is_dir():
        raise _refusal(path, "this is a folder", "name a scene file inside it")
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        raise _refusal(path, "there is no such file", "check the name and the folder") from None
    except OSError as error:
        reason = (error.strerror or "unknown reason").lower()
        raise _refusal(path, f"cannot be read ({reason})", "check the file") from None
    if len(data) > LARGEST_BYTES:
        raise _refusal(
            path,
            f"this file is larger than {LARGEST_BYTES:,} bytes",
            "name a scene file, which is some kilobytes of text",
        )
    try:
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise _refusal(
            path,
            "this file is not UTF-8 text",
            "save it as UTF-8 in your editor",
            key=f"line {line}",
            value=f"byte 0x{data[error.start]:02x}",
        ) from None


def _table(path: Path, text: str) -> Table:
    lines = text.split("\n")
    for number, line in enumerate(lines, start=1):
        # The reader of TOML takes seconds and gigabytes for a name of thousands of steps.
        if not line.startswith("#") and line.partition("=")[0].count(".") > DEEPEST:
            raise _too_deep(path, f"line {number}", "keys with dots")
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _not_toml(path, text, str(error)) from None
    except RecursionError:
        deepest = max(lines, key=lambda line: line.count("[") + line.count("{"))
        raise _too_deep(path, f"line {lines.index(deepest) + 1}", "brackets") from None
    except ValueError:  # of the interpreter: more digits than it reads
        longest = max(lines, key=len)
        raise _too_large(path, f"line {lines.index(longest) + 1}") from None
    if not table:
        raise _refusal(path, "this file is empty", "start from a copy of a scene in scenes/")
    _check_values(path, table)
    return table


def _check_values(path: Path, table: Table) -> None:
    """Refuse what no key takes and what is too deep or too large to be looked at further."""
    left: list[tuple[KeyPath, object]] = [((), table)]
    while left:
        where, value = left.pop()
        if len(where) > DEEPEST:
            raise _too_deep(path, key_text(where[:4]), "brackets")
        match value:
            case dict():
                left += [((*where, key), inner) for key, inner in value.items()]
            case list():
                left += [((*where, number), inner) for number, inner in enumerate(value)]
            case int() if abs(value) > LARGEST_INTEGER:
                raise _too_large(path, key_text(where))
            case _:
                pass


def _too_deep(path: Path, key: str, what: str) -> SceneError:
    mend = f"a scene has at most four tables in each other; check the {what}"
    return _refusal(path, f"{what} are nested too deeply", mend, key=key)


def _too_large(path: Path, key: str) -> SceneError:
    return _refusal(path, "a number has too many digits", "give at most 18 digits", key=key)


def _not_toml(path: Path, text: str, message: str) -> SceneError:
    lines = text.split("\n")
    where = _WHERE_IN_TOML.search(message)
    if where and where[1]:
        line, column = int(where[1]), int(where[2])
    else:
        line, column = len(lines), len(lines[-1]) + 1
    said = _WHERE_IN_TOML.sub("", message)
    return _refusal(
        path,
        f"this is not TOML ({said[:1].lower()}{said[1:]})",
        "check quotes, brackets and equals signs there; inside quotes write in for inches",
        key=f"line {line}, column {column}",
        value=lines[line - 1].strip()[:60],
    )


def _names(table: Table) -> dict[StockKind, list[str]]:
    """All names of stock that the scene can use: the catalogue's and its own."""
    catalogue = load_catalogue()
    names: dict[StockKind, list[str]] = {
        "lumber": list(catalogue.lumber),
        "sheet": list(catalogue.sheets),
        "species": list(catalogue.species),
        **{use: catalogue.rolls_for(use) for use in get_args(RollUse)},
        "panel": list(catalogue.panels),
        "flat": list(catalogue.flats),
        "pane": list(catalogue.panes),
        "window": list(catalogue.windows),
        "mesh": list(catalogue.meshes),
        "bar": list(catalogue.bars),
    }
    stock = table.get("stock")
    for kind, known in names.items():
        use = kind in get_args(RollUse)
        rows = stock.get("roll" if use else kind) if isinstance(stock, dict) else None
        for row in rows if isinstance(rows, list) else ():
            if not isinstance(row, dict) or not isinstance(row.get("name"), str):
                continue
            if not use or (isinstance(row.get("uses"), list) and kind in row["uses"]):
                known.append(row["name"].strip())
    return names


def _units(table: Table) -> Units:
    return "metric" if table.get("units") == "metric" else "imperial"


def _with_value(problem: Problem, table: Table, scene: Scene) -> Problem:
    """A problem with the value as it was written, or the default where nothing was."""
    written: Any = table
    standing: Any = scene
    for step in problem.path:
        if isinstance(step, int):
            written, standing = written[step], standing[step]
        else:
            written = written.get(step) if isinstance(written, dict) else None
            standing = getattr(standing, step)
    if written is not None:
        value = value_text(written)
    elif isinstance(standing, float):
        value = f"{format_length(standing, scene.units)} by default"
    else:
        value = f"{value_text(standing)} by default" if standing is not None else ""
    return replace(problem, value=value)


def _set_aside(table: Table, place: Place, error: str) -> bool:
    """Take what is wrong out of the table; False where the rest cannot be judged without it."""
    path = place.path
    for items, (name, stand_in) in _STAND_INS.items():
        depth = len(items)
        if path[:depth] == items and len(path) > depth:
            _put(table, path[: depth + 1], {name: f"? {path[depth]}", **stand_in})
            return True
    if path == ("title",):
        table["title"] = "?"
    elif path[0] in _WITHOUT_SIZES:
        table.pop(str(path[0]), None)
    elif path[0] == "stock" and error != "extra_forbidden":
        return False
    elif error == "extra_forbidden" or (place.stock and place.stock.kind == "sheet"):
        _put(table, path, None)
    elif place.measure and isinstance(path[-1], str):
        _put(table, path, Unknown.MEASURE)
    else:
        return False
    return True


def _put(table: Any, path: KeyPath, value: object) -> None:
    """Set what stands at a path, or delete it for None."""
    for step in path[:-1]:
        table = table[step]
    if value is not None:
        table[path[-1]] = value
    else:
        table.pop(path[-1], None)
