"""`pikepole build`: everything that can be known from a scene, as files in a folder."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pikepole_export.cli.words import (
    CAUTION,
    SCALE,
    ExitCode,
    Output,
    findings_list,
    looked_at,
    mass_text,
    plural,
    say,
    table,
    wrapped,
)
from pikepole_export.cli.work import SceneFile, lay_out, read, steps
from pikepole_export.cli.writing import folder_option, set_aside_list, tell_missing
from pikepole_model.units import Units, format_whole, in_units, unit_symbol

if TYPE_CHECKING:
    from pikepole_export.cli.outputs import Built
    from pikepole_export.derive.inventory.summary import LoftLoad
    from pikepole_model.building.part import Building


_ALL = ", ".join(Output)
_BESIDE = ", ".join(output for output in Output if output.is_asked_for)
# What a build is opened by, each with what it is for.
_OPENED = {
    "handbook.pdf": "Print first",
    "building.html": "Open on a phone",
    "lists.xlsx": "Order from",
}


def _scale(text: str) -> float:
    """A scale as it is written on a drawing: "1:24" is 24."""
    number = text.strip().removeprefix("1:")
    if not re.fullmatch(r"\d{1,3}", number) or not int(number):
        raise typer.BadParameter('write it as "1:24", from 1:1 to 1:999')
    return float(number)


def build_command(
    scene: SceneFile,
    folder: Annotated[
        Path,
        folder_option("Folder to write into."),
    ],
    only: Annotated[
        list[str] | None,
        typer.Option(
            "--only",
            metavar="KINDS",
            help=f"Only these, with commas between: {_ALL}. {_BESIDE} are only written where they "
            "are named; summary.json always is.",
        ),
    ] = None,
    large: Annotated[
        bool,
        typer.Option("--large", help="Draw the pictures with twice the pixels, to print."),
    ] = False,
    scale: Annotated[
        float | None,
        typer.Option(
            "--scale",
            metavar="1:N",
            parser=_scale,
            help="Of the model to print, `--only 3mf`: 1:32; 1:24 where nothing is said.",
        ),
    ] = None,
) -> None:
    """List, weigh and draw every piece, plan how to buy, cut and lift it, and write files to share.

    What an earlier build wrote there is replaced, all at once and at the end; what you put there
    yourself stays. The command ends with exit code 0 when all is done, 1
    when the checks found something (everything is written all the same), 2 when the scene file or
    the folder is wrong, and 3 when something could not be made.
    """
    outputs = chosen(only or ())
    checked = read(scene)
    from pikepole_export.cli.outputs import begun, build_files, step_count

    with (
        begun(outputs, large=large) as beside,
        steps(step_count(outputs)) as step,
    ):
        building, contacts = lay_out(scene, checked, step)
        built = build_files(
            *(building, contacts, folder, outputs, step, beside),
            large=large,
            scale=scale or SCALE,
        )
    say(_told(building, built, folder))
    tell_missing(built.missing)
    if built.findings:
        raise typer.Exit(ExitCode.FINDINGS)


def chosen(only: Iterable[str]) -> tuple[Output, ...]:
    """The kinds of output that are named, in order of writing; where none is, the usual ones.

    Args:
        only: Names, several in one text with commas between.

    Raises:
        typer.BadParameter: there is no such kind; lists those there are.
    """
    names = [name.strip() for text in only for name in text.split(",")]
    for name in names:
        if name not in set(Output):
            raise typer.BadParameter(f"there is no {name!r}; choose from {_ALL}")
    return tuple(
        output for output in Output if (output in names if names else not output.is_asked_for)
    )


def _told(building: Building, built: Built, folder: Path) -> list[str]:
    """What the user is told when all is done."""
    title, files = building.scene.title, f"{len(built.placed.files)} in {folder}"
    first = [*_to_open(built.placed.files, folder), ("Files", files)]
    aside = set_aside_list(built.placed, folder)
    short, units = built.summary, building.scene.units
    if short is None:
        return [title, *table(first), *findings_list(built.findings), "", *aside]
    heaviest = f"{short.heaviest_part}, {mass_text(short.heaviest_mass, units)}"
    count = plural(len(built.findings), "finding") if built.findings else "no fault found"
    rows = [
        *first,
        ("Parts", f"{short.parts:,}, {short.shapes:,} of them different"),
        ("Total mass", mass_text(short.mass, units)),
        ("Of it in place", f"{mass_text(short.made_in_place, units)}: gravel and cast concrete"),
        ("Heaviest single piece", heaviest),
        *([("Loft", _loft(short.loft, units))] if short.loft else []),
        *_buying(built),
        ("Layout", f"{count} in {looked_at(building)}"),
        *_strength(built),
    ]
    found_list = findings_list(built.findings)
    told = (*(f"Weighed: {text}." for text in short.weighed), CAUTION)
    cautions = [line for text in told for line in wrapped(text)]
    return [title, *table(rows), *found_list, "", *aside, *cautions]


def _to_open(files: Sequence[str], folder: Path) -> list[tuple[str, str]]:
    """What to look at first, of what was written."""
    return [(why, str(folder / name)) for name, why in _OPENED.items() if name in files]


def _loft(loft: LoftLoad, units: Units) -> str:
    """What a loft is to carry."""
    load = f"{in_units(loft.live_load_kn_m2, 'load', units):.3g} {unit_symbol('load', units)}"
    floor = format_whole(loft.floor_mm2, "area", units)
    return f"to carry {load} on {floor}, as the scene has it"


def _strength(built: Built) -> list[tuple[str, str]]:
    """How its members compare with the rules; nothing where nobody asked for tables."""
    if built.strength is None:
        return []
    from pikepole_export.cli.strength_words import strength_in_short

    return [("Strength", strength_in_short(built.strength, "checks.csv"))]


def _buying(built: Built) -> list[tuple[str, str]]:
    """What is to be bought, and how much of it is left over; nothing where nobody asked."""
    if built.plans is None or built.buying is None:
        return []
    from pikepole_export.cli import buy_words, cut_words

    return [
        *buy_words.in_short(built.buying),
        *cut_words.in_short(built.plans.boards, built.plans.sheets),
    ]
