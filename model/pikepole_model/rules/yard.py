"""What must hold for stock at hand and stages that are done: sizes that there are, stages too."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.building.sequence import steps_of
from pikepole_model.errors import KeyPath, Problem, either, key_text, leave_out, one_of
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.rules.ruler import Ruler
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.work import Have
from pikepole_model.stock.catalogue import nearest_names
from pikepole_model.stock.rows import Lumber, Sheet


def yard_problems(scene: Scene) -> Iterator[Problem]:
    """What is wrong with what a scene says is there already."""
    ruler = Ruler(scene.units)
    for k, one in enumerate(scene.have):
        path: KeyPath = ("have", k)
        section = scene.catalogue_of_all.lumber.get(one.item)
        sheet = scene.catalogue.sheet_named(one.item)
        if section:
            yield from _board(path, one, section, ruler)
        elif sheet:
            yield from _sheet(path, one, sheet, ruler)
        else:
            yield from _neither(path, one, scene)
        if (section or sheet) and one.count != int(one.count):
            yield Problem.at(
                (*path, "count"),
                "is no whole number",
                f"give {max(1, int(one.count))}",
            )
    yield from _stages(scene)


def _board(path: KeyPath, one: Have, section: Lumber, ruler: Ruler) -> Iterator[Problem]:
    longest_mm = max((*section.lengths_mm, *section.studs_mm))
    if one.length is None:
        lengths = one_of(ruler.at(mm) for mm in section.lengths_mm)
        yield Problem.at((*path, "length"), "is missing, of a board", f"give {lengths}")
    elif one.length > longest_mm + TOLERANCE_MM:
        yield Problem.at(
            (*path, "length"),
            f"is longer than any {section.name}",
            f"give {ruler.at_most(longest_mm)}",
        )
    if one.width is not None:
        yield Problem.at(
            (*path, "width"),
            f"goes with a sheet, and {section.name} is a section of lumber",
            leave_out((*path, "width")),
        )


def _sheet(path: KeyPath, one: Have, sheet: Sheet, ruler: Ruler) -> Iterator[Problem]:
    sides = (("width", one.width, sheet.width_mm), ("length", one.length, sheet.length_mm))
    for key, side_mm, most_mm in sides:
        if side_mm is not None and side_mm > most_mm + TOLERANCE_MM:
            yield Problem.at(
                (*path, key),
                f"is more than a {sheet.name} has; its length is the way its grain runs",
                f"give {ruler.at_most(most_mm)}",
            )
    if one.treated:
        yield _no_board(path, "treated", one)


def _neither(path: KeyPath, one: Have, scene: Scene) -> Iterator[Problem]:
    """What is neither board nor sheet has no size to give: it goes by its name."""
    given = {
        "length": one.length is not None,
        "width": one.width is not None,
        "treated": one.treated,
    }
    for key in given:
        if given[key]:
            yield _no_board(path, key, one, nearest_names(one.item, scene.catalogue.lumber))


def _no_board(path: KeyPath, key: str, one: Have, names: str = "") -> Problem:
    wrong = f'goes with a board or a sheet, and "{one.item}" is neither'
    if key == "treated":
        wrong = f'goes with a board, and "{one.item}" is none'
    item = f"give {key_text((*path, 'item'))} {names}" if names else ""
    return Problem.at((*path, key), wrong, either(leave_out((*path, key)), item))


def _stages(scene: Scene) -> Iterator[Problem]:
    """Names of stages that there are; numbers are looked at in the building."""
    names = [step.name for step in steps_of(scene)]
    told: list[tuple[KeyPath, str]] = [
        (("done", "stages", k), name) for k, name in enumerate(scene.done.stages)
    ]
    if scene.done.up_to:
        told.append((("done", "up_to"), scene.done.up_to))
    for path, name in told:
        if name not in names and not name.isdecimal():
            yield Problem.at(
                path, "the work has no such stage", f"give {nearest_names(name, names)}"
            )
