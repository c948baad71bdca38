"""`pikepole build`: everything that can be known from a scene, as files in a folder."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from pikepole_export.cli.words import (
    CAUTION,
    ExitCode,
    complain,
    findings_list,
    looked_at,
    mass_text,
    plural,
    refuse,
    say,
    table,
    wrapped,
)
from pikepole_export.cli.work import LAY_OUT_STEPS, SceneFile, Step, lay_out, steps
from pikepole_export.derive.counts import counts
from pikepole_export.derive.parts import part_rows
from pikepole_export.derive.summary import Summary, summary
from pikepole_export.derive.weights import weights
from pikepole_export.files import make_folder
from pikepole_export.write.gltf import write_glb
from pikepole_export.write.pictures import Pictures, start_pictures
from pikepole_export.write.step import write_step
from pikepole_export.write.stl import write_stl
from pikepole_export.write.tables import write_counts, write_parts, write_summary, write_weights
from pikepole_model.errors import Finding, OutputError
from pikepole_model.fit import check
from pikepole_model.part import Building
from pikepole_model.scene_file import load_scene


class Output(StrEnum):
    """Kinds of output that can be asked for, in the order they are written."""

    TABLES = "tables"
    STEP = "step"
    STL = "stl"
    GLB = "glb"
    PICTURES = "pictures"


_CALLED = {
    Output.TABLES: "tables",
    Output.STEP: "STEP file",
    Output.STL: "STL file",
    Output.GLB: "GLB file",
    Output.PICTURES: "pictures",
}
_ALL = ", ".join(Output)

BUILD_STEPS = 3  # and one for each output


@dataclass(frozen=True, slots=True)
class Built:
    """What a build came to.

    Attributes:
        summary: The building in a few numbers.
        findings: What the checks found.
        files: What was written, as paths from the folder, summary.json last.
        missing: For each output that could not be made, why.
    """

    summary: Summary
    findings: tuple[Finding, ...]
    files: tuple[str, ...]
    missing: tuple[str, ...]


def build_command(
    scene: SceneFile,
    folder: Annotated[
        Path,
        typer.Option("-o", "--output", metavar="DIR", help="Folder to write into."),
    ],
    only: Annotated[
        list[str] | None,
        typer.Option(
            "--only",
            metavar="KINDS",
            help=f"Only these, with commas between: {_ALL}. summary.json is always written.",
        ),
    ] = None,
) -> None:
    """List, weigh and draw every piece, and write files to share.

    Files that are there already are replaced. The command ends with exit code 0 when all is done, 1
    when the checks found something (everything is written all the same), 2 when the scene file or
    the folder is wrong, and 3 when something could not be made.
    """
    outputs = chosen(only or ())
    checked = load_scene(scene)
    with steps(LAY_OUT_STEPS + BUILD_STEPS + len(outputs)) as step:
        building = lay_out(scene, checked, step)
        try:
            make_folder(folder)
        except OutputError as error:
            refuse(error)
            raise typer.Exit(ExitCode.BAD_INPUT) from None
        built = build_files(building, folder, outputs, step)
    say(_told(building, built, folder))
    for why in built.missing:
        complain(["", *wrapped(f"{why}. Everything else is written and complete.")])
    if built.missing:
        raise typer.Exit(ExitCode.NOT_MADE)
    if built.findings:
        raise typer.Exit(ExitCode.FINDINGS)


def chosen(only: Iterable[str]) -> tuple[Output, ...]:
    """The kinds of output that are named, in order of writing; all where none is.

    Args:
        only: Names, several in one text with commas between.

    Raises:
        typer.BadParameter: there is no such kind; lists those there are.
    """
    names = [name.strip() for text in only for name in text.split(",")]
    for name in names:
        if name not in set(Output):
            raise typer.BadParameter(f"there is no {name!r}; choose from {_ALL}")
    return tuple(output for output in Output if output in names or not names)


def build_files(building: Building, folder: Path, outputs: Sequence[Output], step: Step) -> Built:
    """Check a building and write what is asked for; summary.json last.

    The pictures are drawn by another process while the rest is written, and so come last. When one
    output cannot be made, the others still are.

    Args:
        building: What to write.
        folder: Where to, a folder that is there.
        outputs: What is asked for, in order of writing.
        step: Told what is about to be done, BUILD_STEPS times and once for each output.

    Raises:
        OutputError: not even the summary could be written.
    """
    units = building.scene.units
    files: list[str] = []
    missing: list[str] = []
    with ExitStack() as at_end:
        drawing = at_end.enter_context(start_pictures(building)) if _drawn(outputs) else None
        step("Checking every piece")
        findings = check(building)
        step("Counting and weighing")
        rows = part_rows(building)
        totals = weights(building, rows)

        write: dict[Output, Callable[[], Iterable[Path]]] = {
            Output.TABLES: lambda: (
                *write_parts(rows, units, folder),
                *write_counts(counts(rows), units, folder),
                *write_weights(totals, units, folder),
            ),
            Output.STEP: lambda: (write_step(building, folder / "building.step"),),
            Output.STL: lambda: (write_stl(building, folder / "building.stl"),),
            Output.GLB: lambda: (write_glb(building, folder / "building.glb"),),
            Output.PICTURES: lambda: _renew_pictures(drawing, folder) if drawing else (),
        }
        for output in outputs:
            step(f"Writing the {_CALLED[output]}")
            try:
                files += [path.relative_to(folder).as_posix() for path in write[output]()]
            except OutputError as error:
                missing.append(str(error))
    step("Writing the summary")
    short = summary(building, rows, totals, findings)
    files.append(write_summary(short, files, folder).name)
    return Built(short, findings, tuple(files), tuple(missing))


def _drawn(outputs: Sequence[Output]) -> bool:
    return Output.PICTURES in outputs


def _renew_pictures(drawing: Pictures, folder: Path) -> list[Path]:
    """Put the pictures in place, and take away those of stages that are no more.

    Only what an earlier build says it wrote is taken away.
    """
    pictures = [folder / name for name in drawing.finish(folder)]
    for earlier in _earlier_pictures(folder):
        if earlier not in pictures:
            earlier.unlink(missing_ok=True)
    return pictures


def _earlier_pictures(folder: Path) -> list[Path]:
    """The stage pictures that summary.json lists; none where there is none that can be read."""
    try:
        files = json.loads((folder / "summary.json").read_bytes())["files"]
        names = [Path(file).name for file in files if Path(file).parent == Path("stages")]
    except (OSError, ValueError, KeyError, TypeError):
        return []
    return [folder / "stages" / name for name in names]


def _told(building: Building, built: Built, folder: Path) -> list[str]:
    """What the user is told when all is done."""
    short, units = built.summary, building.scene.units
    heaviest = f"{short.heaviest_part}, {mass_text(short.heaviest_mass, units)}"
    found = plural(len(built.findings), "finding") if built.findings else "nothing found"
    rows = [
        ("Files", f"{len(built.files)} in {folder}"),
        ("Parts", f"{short.parts:,}, {short.shapes:,} of them different"),
        ("Total mass", mass_text(short.mass, units)),
        ("Heaviest piece", heaviest),
        ("Checks", f"{found} in {looked_at(building)}"),
    ]
    return [short.title, *table(rows), *findings_list(built.findings), "", *wrapped(CAUTION)]
