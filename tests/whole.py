"""Whole scenes tried: refused with mends that work, or laid out clean, or built and read back.

laid_out(table) -> what is wrong with how a scene is refused or laid out, and the scene as mended
built(table, folder) -> what is wrong with what is written of it
kept(table) -> the scene as a file, to keep it
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from command import DONE, FINDINGS, pikepole
from dice import Table
from mended import follow, ways
from pikepole_export.derive.buying.prices import price_findings
from pikepole_export.derive.findings import findings
from pikepole_export.derive.moving.plan import move_findings
from pikepole_export.derive.strength.plan import strength_of
from pikepole_export.files.folder import RECORD
from pikepole_model.build import build_with_contacts
from pikepole_model.building.kind_rows import Bought
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks import practice
from pikepole_model.checks.entry import entry_findings
from pikepole_model.checks.fit import check
from pikepole_model.errors import Finding, Problem
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.reading.file import check_scene
from pikepole_model.reading.found import UNTIL, with_tried_mends
from pikepole_model.scene.schema import Scene
from test_forms import check_masses
from test_scenes import floating, longer_than_stock

# A person who has followed so many mends has lost patience.
MOST_MENDS = 25

# What findings say whose mends are tried, but for a missing door: most that are drawn have none.
TRIED = ("it breaks in the hand", "out past the outer bearer", "stands open at a right angle")

# How a report is told that says only where to look.
NO_VALUE = "a mend without a value"


def followed(table: Table) -> tuple[Table, Scene | None, list[str]]:
    """The scene with its mends followed until nothing is wrong, and what is wrong with the mends.

    Where a mend says nothing that can be followed, what it is about is taken out.
    """
    wrong: list[str] = []
    seen: list[Table] = []
    mended: Problem | None = None
    alike = 0
    while True:
        scene, problems = check_scene(table)
        if not problems:
            return table, scene, wrong
        # Where an item of a list is left out, the next with the same wrong comes in its place.
        if mended in problems and _alike(problems, mended) >= alike:
            wrong.append(f"a mend that does not mend: {mended}")
        seen.append(table)
        # Some are put right by the others' mends, and say so.
        mends = ((problem, told) for problem in problems if (told := changes(table, problem)))
        problem, told = next(mends, (problems[0], []))
        untried = [way for way in told if way not in seen]
        if not told:
            wrong.append(f"{NO_VALUE}: {problem}")
        elif not untried:
            wrong.append(f"mends that go round in a circle: {problem}")
        # Now the first way, now the last.
        following = untried[len(seen) % len(untried)] if untried else taken_out(table, problem)
        if len(seen) > MOST_MENDS:
            wrong.append(f"no end of mends: {problem}")
        if following is None or len(seen) > MOST_MENDS:
            return table, None, wrong
        mended = problem if untried else None
        alike = _alike(problems, problem)
        table = following


def _alike(problems: Iterable[Problem], one: Problem) -> int:
    """How many say the same of whatever item of a list."""
    said = [re.sub(r"\[\d+\]", "", str(problem)) for problem in (*problems, one)]
    return said.count(said[-1]) - 1


def changes(table: Table, problem: Problem) -> list[Table]:
    """The scene put right in each way that a mend names; none where it names no value."""
    changed: list[Table] = []
    for way in re.split(r", or (?=give|leave)", problem.mend.rpartition(UNTIL)[2]):
        made = [table]
        for step in re.split(r", and (?=give|leave)", way):
            try:
                values = ways(step, problem.key)
            except (AssertionError, json.JSONDecodeError):
                return []
            made = [follow(each, key, value) for each in made for key, value in values]
        changed += made
    return changed


def taken_out(table: Table, problem: Problem) -> Table | None:
    """The scene without the key that a problem is about, or the table of a list that it is in.

    None where the scene does not give it.
    """
    item = re.match(r".+?\[\d+\]", problem.key)
    try:
        return follow(table, item[0] if item else problem.key, None)
    except (KeyError, IndexError):
        return None


def settled(table: Table, found: Iterable[Finding]) -> Iterator[str]:
    """What is wrong with the tried mends of findings, followed until nothing is left to mend."""
    while tried := [
        one for one in found if one.is_fault or any(said in one.text for said in TRIED)
    ]:
        told = ((one, changes(table, Problem(one.key, "", one.text, one.mend))) for one in tried)
        one, ways = next(((one, ways) for one, ways in told if ways), (tried[0], []))
        if not ways:
            yield f"{NO_VALUE}: {one}"
            return
        table = ways[-1]
        scene, problems = check_scene(table)
        if problems or not scene:
            yield f"a mend that is refused: {one}: {problems}"
            return
        rest = {each.key for each in found} - {one.key}
        building, contacts = build_with_contacts(scene)
        found = (*check(building, contacts), *entry_findings(building.fitted))
        found = with_tried_mends(found, building)
        if not {each.key for each in found} <= rest:
            yield f"a mend that does not mend: {one}: {[*map(str, found)]}"
            return


def laid_out(table: Table) -> tuple[Table, Building | None, list[str]]:
    """The scene as mended, its building, and all that is wrong with either."""
    table, scene, wrong = followed(table)
    if scene is None:
        return table, None, wrong
    try:
        building, contacts = build_with_contacts(scene)
        found = findings(building, contacts)
        wrong += _not_clean(building, found)
        wrong += settled(table, found)
        # What is over a rule is no fault of the program; that it cannot be reckoned is.
        strength_of(building)
    except Exception as error:  # whatever it is, the other scenes are tried too
        return table, None, [*wrong, f"{type(error).__name__}: {error}"]
    return table, building, wrong


def _not_clean(building: Building, found: Iterable[Finding]) -> Iterator[str]:
    # What is the user's to choose: a flat roof's panels, bright nails, a price, a truck. They mend
    # it, or leave it.
    chosen = {
        (one.text, one.parts)
        for one in (
            *practice.practice_findings(building.fitted.finished),
            *entry_findings(building.fitted),
            *price_findings(building),
            *move_findings(building),
        )
    }
    for one in found:
        if (one.text, one.parts) not in chosen:
            yield one.text
        elif not (one.key and one.mend):
            yield f"no mend: {one.text}"
    yield from (f"{part} floats" for part in floating(building))
    standing = {part.name for part in building.parts if part.kind == Kind.EXISTING}
    for name in longer_than_stock(building, TOLERANCE_MM):
        if name not in standing:
            yield f"{name} is larger than its stock"
    check_masses(building)


def built(table: Table, folder: Path) -> Iterator[str]:
    """What is wrong with all that the command writes of a scene without pictures."""
    scene = folder / "scene.toml"
    scene.write_text(kept(table), encoding="utf-8")
    out = folder / "out"
    outputs = "tables,buy,cuts,drawings,lifts,step,stl,glb"
    answer = pikepole("build", scene, "-o", out, "--only", outputs)
    if answer.code not in (DONE, FINDINGS):
        yield f"exit code {answer.code}: {answer.err}"
        return
    record = json.loads((out / RECORD).read_text("utf-8"))["files"]
    told = {name for files in record.values() for name in files} | {RECORD}
    there = {path.relative_to(out).as_posix() for path in out.rglob("*") if path.is_file()}
    if told != there:
        yield f"written.json and the folder differ: {sorted(told ^ there)}"
    for path in sorted([*out.glob("*.csv"), *out.glob("*.json")]):
        if strange := re.search(r"\b(nan|inf|infinity)\b", path.read_text("utf-8"), re.IGNORECASE):
            yield f"{path.name} has {strange[0]}"
    beams = [f"{Kind.CARRYING_BEAM} {k}" for k in (1, 2) if "beams" in table.get("move", {})]
    yield from _not_once(out, beams)


def _not_once(out: Path, beams: list[str]) -> Iterator[str]:
    """Parts and a move's beams that are not bought once, or not cut once where they are cut."""

    def read(name: str) -> Any:
        return json.loads((out / f"{name}.json").read_text("utf-8"))

    parts = [part for part in read("parts") if part["kind"] != Kind.EXISTING]
    bought = [name for row in read("buy")["purchases"] for name in row["parts"]]
    # What is cut out of a piece beside it is bought in that.
    own = [one["name"] for one in parts if Kind(one["kind"]).row.bought is not Bought.CUT_OUT]
    if Counter(bought) != Counter([*beams, *own]):
        yield "parts.json and buy.json differ"
    boards = [piece["part"] for board in read("cuts")["boards"] for piece in board["pieces"]]
    if Counter(boards) != Counter([*beams, *(p["name"] for p in parts if p["section_mm"])]):
        yield "parts.json and cuts.json differ"
    sheets = read("sheets")
    stocks = {stock["stock"] for stock in sheets["stocks"]}
    cut = [piece["part"] for sheet in sheets["sheets"] for piece in sheet["pieces"]]
    rows = [row for row in read("buy")["purchases"] if row["item"] in stocks]
    if Counter(cut) != Counter(name for row in rows for name in row["parts"]):
        yield "buy.json and sheets.json differ"


def kept(table: Table) -> str:
    """The scene as TOML; what is in a table of a table stands in braces."""
    lines: list[str] = []
    for key, value in table.items():
        if isinstance(value, dict):
            lines += [f"\n[{key}]", *_lines(value)]
        elif isinstance(value, list):
            lines += [line for item in value for line in (f"\n[[{key}]]", *_lines(item))]
        else:
            lines.insert(0, f"{key} = {_value(value)}")
    return "\n".join([*lines, ""])


def _lines(table: Table) -> list[str]:
    return [f"{key} = {_value(value)}" for key, value in table.items()]


def _value(value: Any) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(_lines(value)) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(_value, value)) + "]"
    return json.dumps(value, ensure_ascii=False)
