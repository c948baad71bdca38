"""All that `pikepole build` writes, in the order in which two processor cores are done soonest."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from contextlib import ExitStack, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from pikepole_export.cli.words import Output
from pikepole_export.cli.work import Step
from pikepole_export.derive.areas import surfaces
from pikepole_export.derive.counts import counts
from pikepole_export.derive.fasteners import boxes, fasteners
from pikepole_export.derive.lifting.asked import LiftError
from pikepole_export.derive.parts import part_rows
from pikepole_export.derive.summary import Summary, summary
from pikepole_export.derive.weights import weights
from pikepole_export.write._child import Pictures
from pikepole_export.write.gltf import write_glb
from pikepole_export.write.pictures import start_pictures
from pikepole_export.write.step import write_step
from pikepole_export.write.stl import write_stl
from pikepole_export.write.tables import (
    write_areas,
    write_boxes,
    write_counts,
    write_fasteners,
    write_parts,
    write_summary,
    write_weights,
)
from pikepole_model.contact import Contact
from pikepole_model.errors import Finding, OutputError
from pikepole_model.fit import check
from pikepole_model.part import Building

if TYPE_CHECKING:
    from pikepole_export.derive.lifting.plan import LiftPlan

BUILD_STEPS = 4  # and one for each output


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


def build_files(
    building: Building,
    contacts: tuple[Contact, ...],
    folder: Path,
    outputs: Sequence[Output],
    step: Step,
) -> Built:
    """Check a building and write what is asked for; summary.json last.

    The pictures are drawn by another process while the rest is written, and so come last. When one
    output cannot be made, the others still are.

    Args:
        building: What to write.
        contacts: What touches what in it.
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
        drawn: dict[Output, Pictures] = {}

        def draw(output: Output, start: Callable[[], Pictures]) -> None:
            if output in outputs:
                try:
                    drawn[output] = at_end.enter_context(start())
                except OSError as error:
                    missing.append(f"no picture was written: {error}")

        draw(Output.PICTURES, lambda: start_pictures(building))
        step("Planning the lifts")
        plan = _plan(building) if {Output.LIFTS, Output.CARDS} & set(outputs) else None
        if plan:
            draw(Output.CARDS, lambda: _start_cards(building, plan))
        step("Checking every piece")
        findings = check(building, contacts)
        step("Counting and weighing")
        rows = part_rows(building)
        totals = weights(building, rows)
        held = fasteners(building) if Output.TABLES in outputs else ()

        write: dict[Output, Callable[[], Iterable[Path]]] = {
            Output.TABLES: lambda: (
                *write_parts(rows, units, folder),
                *write_counts(counts(rows), units, folder),
                *write_weights(totals, units, folder),
                *write_areas(surfaces(building), units, folder),
                *write_fasteners(held, units, folder),
                *write_boxes(boxes(held, building.scene.waste.fasteners), units, folder),
            ),
            Output.LIFTS: lambda: _write_lifts(building, plan, folder) if plan else (),
            Output.STEP: lambda: (write_step(building, folder / "building.step"),),
            Output.STL: lambda: (write_stl(building, folder / "building.stl"),),
            Output.GLB: lambda: (write_glb(building, folder / "building.glb"),),
            Output.PICTURES: lambda: _renewed(drawn.get(Output.PICTURES), "stages", folder),
            Output.CARDS: lambda: _renewed(drawn.get(Output.CARDS), "lifts", folder),
        }
        for output in outputs:
            step(f"Writing the {output.called}")
            try:
                files += [path.relative_to(folder).as_posix() for path in write[output]()]
            except (OutputError, LiftError) as error:
                missing.append(str(error))
    step("Writing the summary")
    short = summary(building, rows, totals, findings)
    files.append(write_summary(short, files, folder).name)
    return Built(short, findings, tuple(files), tuple(missing))


# What lifts need is imported only where they are asked for: a tenth of a second.


def _plan(building: Building) -> LiftPlan:
    from pikepole_export.derive.lifting.plan import lift_plan

    return lift_plan(building)


def _start_cards(building: Building, plan: LiftPlan) -> Pictures:
    from pikepole_export.derive.lifting.cautions import cautions_of
    from pikepole_export.write.cards import start_cards

    units = building.scene.units
    return start_cards(building, plan, lambda lift: cautions_of(lift, units))


def _write_lifts(building: Building, plan: LiftPlan, folder: Path) -> list[Path]:
    from pikepole_export.derive.lifting.moving import moving
    from pikepole_export.write.lift_tables import write_lifts, write_moves

    scene = building.scene
    return [
        *write_lifts(plan, scene.units, folder),
        *write_moves(moving(building), scene.crew, scene.units, folder),
    ]


def _renewed(drawing: Pictures | None, inside: str, folder: Path) -> list[Path]:
    """Put pictures in place, and take away those of an earlier build that are no more.

    Only what an earlier build says it wrote is taken away.
    """
    if drawing is None:
        return []
    pictures = [folder / name for name in drawing.finish(folder)]
    for earlier in _earlier(inside, folder):
        if earlier not in pictures:
            with suppress(OSError):  # what cannot be taken away does no harm
                earlier.unlink()
    return pictures


def _earlier(inside: str, folder: Path) -> list[Path]:
    """The pictures in one folder that summary.json lists; none where there is none to be read."""
    try:
        files = json.loads((folder / "summary.json").read_bytes())["files"]
        names = [Path(file).name for file in files if Path(file).parent == Path(inside)]
    except (OSError, ValueError, KeyError, TypeError):
        return []
    return [folder / inside / name for name in names if name.endswith(".png")]
