"""All that `pikepole build` writes, in the order in which two processor cores are done soonest."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING, assert_never

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
from pikepole_export.cli.writing import Attempts, writing
from pikepole_export.derive.buying.fasteners import Fastener, boxes, fasteners
from pikepole_export.derive.findings import findings
from pikepole_export.derive.inventory.areas import surfaces
from pikepole_export.derive.inventory.counts import counts
from pikepole_export.derive.inventory.parts import PartRow, part_rows
from pikepole_export.derive.inventory.summary import Summary, summary
from pikepole_export.derive.inventory.weights import Weights, weights
from pikepole_export.derive.strength.plan import Strength, strength_of
from pikepole_export.files.folder import Placed
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
from pikepole_export.write.tables.strength import write_checks
from pikepole_model.building.contact import Contact
from pikepole_model.building.part import Building
from pikepole_model.errors import Finding

if TYPE_CHECKING:
    from pikepole_export.derive.buying.order import BuyList
    from pikepole_export.derive.lifting.plan import LiftPlan
    from pikepole_export.derive.moving.plan import Moves

_STEPS = 3  # and one for each output
_NO_PLAN = "buying list, cut plan and drawings of boards and sheets"
_LIFTED = {Output.LIFTS, Output.CARDS}
_PLANNED = {Output.BUY, Output.CUTS, Output.DRAWINGS}


@dataclass(frozen=True, slots=True)
class Built:
    """What a build came to.

    Attributes:
        summary: The building in a few numbers; None where it could not be made.
        findings: What the checks found; none where they could not be made.
        placed: What was written, summary.json last, and what was set aside.
        missing: For each output that could not be made, why.
        plans: How boards and sheets are cut; None where nobody asked or a piece cannot be cut.
        buying: What to buy by these plans; None without them.
        strength: How its members compare with the rules; None where nobody asked for tables.
    """

    summary: Summary | None
    findings: tuple[Finding, ...]
    placed: Placed
    missing: tuple[str, ...]
    plans: CutPlans | None
    buying: BuyList | None
    strength: Strength | None


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

    All is prepared beside the folder and put in its place at the end. The pictures are drawn by
    another process while the rest is planned and written, and so come last. When one output cannot
    be made, the summary among them, the others still are.

    Args:
        building: What to write.
        contacts: What touches what in it.
        folder: Where to; made if need be.
        outputs: What is asked for, in order of writing.
        step: Told what is about to be done, `step_count` times.

    Raises:
        OutputError: what was prepared could not be put in its place; the folder is as it was.
    """
    scene, units = building.scene, building.scene.units
    with ExitStack() as at_end:
        staging = at_end.enter_context(writing(folder, scene))
        here = staging.path
        drawn: dict[Output, Pictures] = {}
        attempt = Attempts(staging)

        def draw(output: Output, start: Callable[[], Pictures]) -> None:
            if output in outputs:
                started = attempt(output.called, start)
                if started:
                    drawn[output] = at_end.enter_context(started)

        draw(Output.PICTURES, lambda: start_pictures(building))
        step("Planning the lifts")
        plan = moves = None
        if _LIFTED & set(outputs):
            plan = attempt("lift plan and cards", lambda: _plan(building))
        if plan:
            before = drawn.get(Output.PICTURES)
            moves = attempt("plan of the move", lambda: _moves(building))
            draw(Output.CARDS, lambda: _start_cards(building, plan, moves, before))
        plans, buying = None, None
        if _PLANNED & set(outputs):
            plans = attempt(_NO_PLAN, lambda: plan_cuts(building, step))
        if plans:
            buying = attempt(Output.BUY.called, lambda: list_to_buy(building, plans))
        step("Checking every piece")
        found = attempt("checks", lambda: findings(building, contacts))

        @cache
        def rows() -> tuple[PartRow, ...]:
            return part_rows(building)

        @cache
        def totals() -> Weights:
            return weights(building, rows())

        @cache
        def held() -> tuple[Fastener, ...]:
            return fasteners(building)

        strength = None
        if Output.TABLES in outputs:
            strength = attempt("checks of strength", lambda: strength_of(building))

        tables: dict[str, Callable[[], Iterable[Path]]] = {
            "parts": lambda: write_parts(rows(), units, here),
            "counts": lambda: write_counts(counts(rows()), units, here),
            "weights": lambda: write_weights(totals(), units, here),
            "areas": lambda: write_areas(surfaces(building), units, here),
            "fasteners": lambda: write_fasteners(held(), units, here),
            "boxes": lambda: write_boxes(boxes(held(), scene.waste.fasteners), units, here),
            "checks.csv": lambda: write_checks(strength, units, here) if strength else (),
        }

        def write(output: Output) -> Iterable[Path]:
            match output:
                case Output.TABLES:
                    each = (attempt(called, table) for called, table in tables.items())
                    return [path for paths in each for path in paths or ()]
                case Output.BUY:
                    return _write_buy(building, buying, here) if buying else ()
                case Output.CUTS:
                    return write_plans(plans, scene, here) if plans else ()
                case Output.DRAWINGS:
                    return write_drawings(building, plans, here)
                case Output.LIFTS:
                    return _write_lifts(building, plan, moves, here) if plan else ()
                case Output.STEP:
                    return (write_step(building.finished, here / "building.step"),)
                case Output.STL:
                    return (write_stl(building.finished, here / "building.stl"),)
                case Output.GLB:
                    return (write_glb(building.finished, here / "building.glb"),)
                case Output.PICTURES | Output.CARDS:
                    return _finished(drawn.get(output), here)
                case _:
                    assert_never(output)

        for output in outputs:
            step(f"Writing the {output.called}")
            staging.add(output, attempt(output.called, partial(write, output)) or ())
        step("Writing the summary")
        short = None
        if found is not None:
            short = attempt("summary", lambda: summary(building, rows(), totals(), found))
        if short:
            file = attempt("summary", lambda: write_summary(short, staging.files, here))
            staging.add("summary", [file] if file else ())
        placed = staging.put_in_place()
    return Built(short, found or (), placed, tuple(attempt.missing), plans, buying, strength)


# What lifts need is imported only where they are asked for: a tenth of a second.


def _plan(building: Building) -> LiftPlan:
    from pikepole_export.derive.lifting.plan import lift_plan

    return lift_plan(building)


def _moves(building: Building) -> Moves:
    from pikepole_export.derive.moving.plan import plan_moves

    return plan_moves(building)


def _start_cards(
    building: Building, plan: LiftPlan, moves: Moves | None, after: Pictures | None
) -> Pictures:
    from pikepole_export.derive.lifting.cautions import cautions_of
    from pikepole_export.write.cards.files import start_cards

    units, moved = building.scene.units, moves.plan if moves else None
    return start_cards(building, plan, moved, lambda lift: cautions_of(lift, units), after)


def _write_lifts(
    building: Building, plan: LiftPlan, moves: Moves | None, folder: Path
) -> list[Path]:
    from pikepole_export.write.tables.lifting import write_lifts, write_moves

    scene = building.scene
    return [
        *write_lifts(plan, scene.units, folder),
        *(write_moves(moves, plan.cautions, scene.units, folder) if moves else ()),
    ]


def _write_buy(building: Building, buying: BuyList, folder: Path) -> Iterable[Path]:
    from pikepole_export.write.tables.buying import write_buy

    return write_buy(buying, building, folder)


def _finished(drawing: Pictures | None, folder: Path) -> list[Path]:
    """Put pictures in place when they are drawn; none where drawing could not even begin."""
    return [folder / name for name in drawing.finish(folder)] if drawing else []
