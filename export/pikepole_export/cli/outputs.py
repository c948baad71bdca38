"""All that `pikepole build` writes, in the order in which two processor cores are done soonest."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from pikepole_export.cli.earlier import renewed
from pikepole_export.cli.planning import (
    PLAN_STEPS,
    CutPlans,
    list_to_buy,
    plan_cuts,
    write_drawings,
    write_plans,
)
from pikepole_export.cli.words import Output
from pikepole_export.cli.work import Step
from pikepole_export.derive.buying.fasteners import boxes, fasteners
from pikepole_export.derive.findings import findings
from pikepole_export.derive.inventory.areas import surfaces
from pikepole_export.derive.inventory.counts import counts
from pikepole_export.derive.inventory.parts import part_rows
from pikepole_export.derive.inventory.summary import Summary, summary
from pikepole_export.derive.inventory.weights import weights
from pikepole_export.graphics.child import Pictures
from pikepole_export.write.models.gltf import write_glb
from pikepole_export.write.models.step import write_step
from pikepole_export.write.models.stl import write_stl
from pikepole_export.write.pictures.stages import start_pictures
from pikepole_export.write.tables.building import (
    write_areas,
    write_boxes,
    write_counts,
    write_fasteners,
    write_parts,
    write_summary,
    write_weights,
)
from pikepole_model.building.contact import Contact
from pikepole_model.building.part import Building
from pikepole_model.errors import Finding, PikepoleError

if TYPE_CHECKING:
    from pikepole_export.derive.buying.order import BuyList
    from pikepole_export.derive.lifting.plan import LiftPlan

_STEPS = 4  # and one for each output
_NO_PLAN = "no buying list, no cut plan and no drawing of a board or a sheet was made"
_NO_LIST = "no buying list was made"
_LIFTED = {Output.LIFTS, Output.CARDS}
_PLANNED = {Output.BUY, Output.CUTS, Output.DRAWINGS}


@dataclass(frozen=True, slots=True)
class Built:
    """What a build came to.

    Attributes:
        summary: The building in a few numbers.
        findings: What the checks found.
        files: What was written, as paths from the folder, summary.json last.
        missing: For each output that could not be made, why.
        plans: How boards and sheets are cut; None where nobody asked or a piece cannot be cut.
        buying: What to buy by these plans; None without them.
    """

    summary: Summary
    findings: tuple[Finding, ...]
    files: tuple[str, ...]
    missing: tuple[str, ...]
    plans: CutPlans | None
    buying: BuyList | None


def step_count(outputs: Sequence[Output]) -> int:
    """How many steps there are to a build."""
    return _STEPS + len(outputs) + (PLAN_STEPS if _PLANNED & set(outputs) else 0)


def build_files(
    building: Building,
    contacts: tuple[Contact, ...],
    folder: Path,
    outputs: Sequence[Output],
    step: Step,
) -> Built:
    """Check a building and write what is asked for; summary.json last.

    The pictures are drawn by another process while the rest is planned and written, and so come
    last. When one output cannot be made, the others still are.

    Args:
        building: What to write.
        contacts: What touches what in it.
        folder: Where to, a folder that is there.
        outputs: What is asked for, in order of writing.
        step: Told what is about to be done, `step_count` times.

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
        plan = _plan(building) if _LIFTED & set(outputs) else None
        if plan:
            before = drawn.get(Output.PICTURES)
            draw(Output.CARDS, lambda: _start_cards(building, plan, before))
        plans, buying = None, None
        if _PLANNED & set(outputs):
            try:
                plans = plan_cuts(building, step)
                buying = list_to_buy(building, plans)
            except PikepoleError as error:
                missing.append(f"{_NO_LIST if plans else _NO_PLAN}: {_in_one_line(error)}")
        step("Checking every piece")
        found = findings(building, contacts)
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
            Output.BUY: lambda: _write_buy(building, buying, folder) if buying else (),
            Output.CUTS: lambda: write_plans(plans, building.scene, folder) if plans else (),
            Output.DRAWINGS: lambda: write_drawings(building, plans, folder),
            Output.LIFTS: lambda: _write_lifts(building, plan, folder) if plan else (),
            Output.STEP: lambda: (write_step(building, folder / "building.step"),),
            Output.STL: lambda: (write_stl(building, folder / "building.stl"),),
            Output.GLB: lambda: (write_glb(building, folder / "building.glb"),),
            Output.PICTURES: lambda: _put(drawn.get(Output.PICTURES), "stages", folder),
            Output.CARDS: lambda: _put(drawn.get(Output.CARDS), "lifts", folder),
        }
        for output in outputs:
            step(f"Writing the {output.called}")
            try:
                files += [path.relative_to(folder).as_posix() for path in write[output]()]
            except PikepoleError as error:
                missing.append(_in_one_line(error))
    step("Writing the summary")
    short = summary(building, rows, totals, found)
    files.append(write_summary(short, files, folder).name)
    return Built(short, found, tuple(files), tuple(missing), plans, buying)


# What lifts need is imported only where they are asked for: a tenth of a second.


def _plan(building: Building) -> LiftPlan:
    from pikepole_export.derive.lifting.plan import lift_plan

    return lift_plan(building)


def _start_cards(building: Building, plan: LiftPlan, after: Pictures | None) -> Pictures:
    from pikepole_export.derive.lifting.cautions import cautions_of
    from pikepole_export.write.cards.files import start_cards

    units = building.scene.units
    return start_cards(building, plan, lambda lift: cautions_of(lift, units), after)


def _write_lifts(building: Building, plan: LiftPlan, folder: Path) -> list[Path]:
    from pikepole_export.derive.moving.plan import plan_moves
    from pikepole_export.write.tables.lifting import write_lifts, write_moves

    scene = building.scene
    return [
        *write_lifts(plan, scene.units, folder),
        *write_moves(plan_moves(building), scene.crew, scene.units, folder),
    ]


def _write_buy(building: Building, buying: BuyList, folder: Path) -> Iterable[Path]:
    from pikepole_export.write.tables.buying import write_buy

    return write_buy(buying, building, folder)


def _put(drawing: Pictures | None, inside: str, folder: Path) -> list[Path]:
    """Put pictures in place when they are drawn; none where drawing could not even begin."""
    if drawing is None:
        return []
    return renewed([folder / name for name in drawing.finish(folder)], inside, folder)


def _in_one_line(error: PikepoleError) -> str:
    return ". ".join(str(error).splitlines())
