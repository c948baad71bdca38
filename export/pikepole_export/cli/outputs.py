"""All that `pikepole build` writes, in the order in which two processor cores are done soonest."""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass, replace
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING, assert_never

from pikepole_export.cli.lifting import (
    card_among_stages,
    plan_lifts,
    plan_move,
    start_lift_cards,
    tables_of_lifts,
)
from pikepole_export.cli.planning import (
    PLAN_STEPS,
    CutPlans,
    Drawings,
    list_fasteners,
    list_to_buy,
    plan_cuts,
    plan_tables,
    write_drawings,
)
from pikepole_export.cli.words import SCALE, Output
from pikepole_export.cli.work import Step
from pikepole_export.cli.writing import Attempts, writing
from pikepole_export.derive.buying.fasteners import Fastener, boxes
from pikepole_export.derive.findings import findings
from pikepole_export.derive.inventory.areas import surfaces
from pikepole_export.derive.inventory.counts import counts
from pikepole_export.derive.inventory.parts import PartRow, part_rows
from pikepole_export.derive.inventory.summary import Summary, summary
from pikepole_export.derive.inventory.weights import Weights, weights
from pikepole_export.derive.strength.plan import Strength
from pikepole_export.derive.strengths import every_strength
from pikepole_export.files.folder import Placed
from pikepole_export.files.whole import put
from pikepole_export.graphics.child import Pictures
from pikepole_export.write.models.assembly import assembly_of
from pikepole_export.write.models.gltf import write_glb
from pikepole_export.write.models.ifc import write_ifc
from pikepole_export.write.models.solids import Solids
from pikepole_export.write.models.stl import write_stl
from pikepole_export.write.models.threemf import write_3mf
from pikepole_export.write.pictures.stages import drawers, start_pictures
from pikepole_export.write.pictures.strength import start_strength
from pikepole_export.write.tables.building import (
    areas_table,
    boxes_table,
    counts_table,
    fasteners_table,
    parts_table,
    weights_table,
    write_summary,
)
from pikepole_export.write.tables.csv_json import Table, write_table
from pikepole_export.write.tables.strength import checks_table
from pikepole_model.building.contact import Contact
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import every_shape
from pikepole_model.errors import Finding
from pikepole_model.units import Units

if TYPE_CHECKING:
    from pikepole_export.cli.book import Known
    from pikepole_export.derive.buying.order import BuyList
    from pikepole_export.derive.lifting.lift import Lift
    from pikepole_export.derive.lifting.plan import LiftPlan

_STEPS = 4  # and one for each output
_NO_PLAN = "buying list, cut plan and drawings of boards and sheets"
_LIFTED = {Output.LIFTS, Output.SPREADSHEET, Output.PAGE, Output.CARDS, Output.HANDBOOK}
_PLANNED = {
    *(Output.BUY, Output.CUTS, Output.SPREADSHEET),
    *(Output.DRAWINGS, Output.PAGE, Output.HANDBOOK),
}
_IN_BOOK = {Output.PICTURES, Output.CARDS}
# What other processes are at: there is time meanwhile.
_WAITED_FOR = {Output.STEP, Output.PICTURES, Output.CARDS, Output.HANDBOOK}
_CHECKED = {Output.TABLES, Output.CALCULATIONS, Output.HANDBOOK}


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
    planned = PLAN_STEPS if _PLANNED & set(outputs) else 0
    return _STEPS + len(outputs) + planned + (Output.HANDBOOK in outputs)


@dataclass(frozen=True, slots=True)
class Begun:
    """Processes that load while there is no building yet.

    Attributes:
        solids: Makes them.
        pictures: Draw the stages; None where no picture is asked for, or where they cannot begin.
    """

    solids: Solids
    pictures: Pictures | None


@contextmanager
def begun(outputs: Sequence[Output], *, large: bool = False) -> Generator[Begun]:
    """What a build needs beside it, for as long as it takes.

    Args:
        outputs: What is asked for.
        large: Whether pictures are drawn to print.
    """
    with ExitStack() as block:
        solids = block.enter_context(Solids())
        pictures = None
        if _is_drawn(Output.PICTURES, outputs):
            with suppress(OSError):
                pictures = block.enter_context(_drawers(outputs, large=large))
        yield Begun(solids, pictures)


def build_files(
    building: Building,
    contacts: tuple[Contact, ...],
    folder: Path,
    outputs: Sequence[Output],
    step: Step,
    beside: Begun,
    *,
    large: bool = False,
    scale: float = SCALE,
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
        beside: What makes the solids and draws the stages; where pictures are None, they begin now.
        large: Whether pictures are drawn to print.
        scale: Of a model to print, how many times as large the building is.

    Raises:
        OutputError: what was prepared could not be put in its place; the folder is as it was.
    """
    scene, units = building.scene, building.scene.units
    with ExitStack() as at_end:
        staging = at_end.enter_context(writing(folder, scene))
        here = staging.path
        drawn: dict[Output, Pictures] = {}
        attempt = Attempts(staging)

        def draw(output: Output, start: Callable[[], Pictures], *, also: bool = False) -> None:
            if also or _is_drawn(output, outputs):
                started = attempt(output.called, start)
                if started:
                    drawn[output] = at_end.enter_context(started)

        @cache
        def planned() -> LiftPlan | None:
            return attempt("lift plan and cards", lambda: plan_lifts(building))

        def lifts() -> Iterable[Lift]:
            plan = planned()
            return plan.lifts if plan else ()

        def stages() -> Pictures:
            return start_pictures(
                building, lifts, beside.pictures or _drawers(outputs, large=large)
            )

        assembly = assembly_of(building.finished) if Output.STEP in outputs else None
        beside.solids.make(every_shape(building), assembly)
        draw(Output.PICTURES, stages)
        step("Planning the lifts")
        plan = moves = None
        shows_move = scene.move is not None and Output.PICTURES in outputs
        if shows_move or _LIFTED & set(outputs):
            plan = planned()
        if plan:
            before = drawn.get(Output.PICTURES)
            moves = attempt("plan of the move", lambda: plan_move(building))
            # Among the pictures of the stages there is the card of the move.
            carded = plan if _is_drawn(Output.CARDS, outputs) else replace(plan, lifts=())
            cards = partial(start_lift_cards, building, carded, moves, before)
            draw(Output.CARDS, cards, also=shows_move)
        plans, buying = None, None
        if _PLANNED & set(outputs):
            plans = attempt(_NO_PLAN, lambda: plan_cuts(building, step))
        if plans:
            buying = attempt(Output.BUY.called, lambda: list_to_buy(building, plans, plan))

        @cache
        def found() -> tuple[Finding, ...] | None:
            step("Checking every piece")
            return attempt("checks", lambda: findings(building, contacts, beside.solids.wrong()))

        @cache
        def rows() -> tuple[PartRow, ...]:
            return part_rows(building)

        @cache
        def totals() -> Weights:
            return weights(building, rows())

        @cache
        def held() -> tuple[Fastener, ...]:
            return list_fasteners(building)

        @cache
        def short() -> Summary | None:
            checked = found()
            if checked is None:
                return None
            return attempt("summary", lambda: summary(building, rows(), totals(), checked))

        strength = None
        if _CHECKED & set(outputs):
            strength = attempt("checks of strength", lambda: every_strength(building))
        if strength:
            before = drawn.get(Output.CARDS) or drawn.get(Output.PICTURES)
            draw(Output.CALCULATIONS, lambda: start_strength(building, strength, before))

        @cache
        def drawings() -> Drawings:
            made = attempt(Output.DRAWINGS.called, lambda: write_drawings(building, plans, here))
            return made or Drawings()

        @cache
        def sheets() -> Sequence[Path]:
            # The book and the page take no DXF.
            write = partial(_write_plans, building, here, dxf=Output.PLANS in outputs)
            return attempt(Output.PLANS.called, write) or ()

        def svg_sheets() -> tuple[Path, ...]:
            return tuple(path for path in sheets() if path.suffix == ".svg")

        @cache
        def pictures(output: Output) -> Sequence[Path]:
            drawing = drawn.get(output)
            return attempt(output.called, lambda: _finished(drawing, here)) or ()

        def known() -> Known:
            from pikepole_export.cli.book import Known

            return Known(
                *(short(), plans, plan, moves, buying, strength),
                attempt("fasteners", held),
                *(found(), drawings()),
                *(pictures(Output.PICTURES), pictures(Output.CARDS), svg_sheets()),
            )

        @cache
        def tables(output: Output) -> tuple[Table, ...]:
            made = (attempt(called, make) for called, make in makers.get(output, {}).items())
            return tuple(table for some in made for table in some or ())

        makers: dict[Output, dict[str, Callable[[], Sequence[Table]]]] = {
            Output.TABLES: {
                "parts": lambda: [parts_table(rows(), units, scene.english)],
                "counts": lambda: [counts_table(counts(rows()), units)],
                "weights": lambda: [weights_table(totals(), units, scene.english)],
                "areas": lambda: [areas_table(surfaces(building), units)],
                "fasteners": lambda: [fasteners_table(held(), scene)],
                "boxes": lambda: [boxes_table(boxes(held(), scene.waste.fasteners), scene)],
                "checks of strength": lambda: [checks_table(strength, units)] if strength else (),
            },
            Output.BUY: {
                Output.BUY.called: lambda: _buy_tables(building, buying),
            },
            Output.CUTS: {
                Output.CUTS.called: lambda: plan_tables(plans, building) if plans else (),
            },
            Output.LIFTS: {
                Output.LIFTS.called: lambda: tables_of_lifts(building, plan, moves),
            },
        }

        def write(output: Output) -> Iterable[Path]:
            match output:
                case Output.TABLES:
                    each = (
                        attempt(one.name, partial(write_table, one, here)) for one in tables(output)
                    )
                    return [path for paths in each for path in paths or ()]
                case Output.CALCULATIONS:
                    return _calculations(building, strength, drawn.get(output), attempt, here)
                case Output.BUY | Output.CUTS | Output.LIFTS:
                    return [path for one in tables(output) for path in write_table(one, here)]
                case Output.SPREADSHEET:
                    every = [one for output in makers for one in tables(output)]
                    return (_write_spreadsheet(every, units, here),) if every else ()
                case Output.DRAWINGS:
                    return drawings().files
                case Output.PLANS:
                    return sheets()
                case Output.STEP:
                    return (put(here / "building.step", beside.solids.step()),)
                case Output.STL:
                    return (write_stl(building.finished, here / "building.stl"),)
                case Output.GLB:
                    return (write_glb(building.finished, here / "building.glb"),)
                case Output.THREE_MF:
                    return (write_3mf(building.finished, scale, here / "building.3mf"),)
                case Output.IFC:
                    return (write_ifc(building.finished, here / "building.ifc"),)
                case Output.PAGE:
                    fixed = attempt("fasteners", held) or ()
                    told = (plan, fixed, drawings(), svg_sheets())
                    return (_write_page(building, *told, here),)
                case Output.PICTURES:
                    cards = pictures(Output.CARDS) if shows_move else ()
                    return [*pictures(output), *card_among_stages(cards, moves, here)]
                case Output.CARDS:
                    return pictures(output)
                case Output.HANDBOOK:
                    return (_put_book(book, here),) if book else ()
                case _:
                    assert_never(output)

        book = None
        if Output.HANDBOOK in outputs:
            step("Drawing what the book shows")
            # It is set while other files are written. Not waited for when all else is given up.
            setter = ThreadPoolExecutor(1)
            at_end.callback(setter.shutdown, wait=False, cancel_futures=True)
            book = attempt(
                Output.HANDBOOK.called, lambda: setter.submit(_book(building, known(), here))
            )
        for output in outputs:
            if output in _WAITED_FOR:
                found()
            step(f"Writing the {output.called}")
            staging.add(output, attempt(output.called, partial(write, output)) or ())
        step("Writing the summary")
        in_short = short()
        if in_short:
            file = attempt("summary", lambda: write_summary(in_short, staging.files, here))
            staging.add("summary", [file] if file else ())
        placed = staging.put_in_place()
    missing = tuple(attempt.missing)
    return Built(in_short, found() or (), placed, missing, plans, buying, strength)


def _is_drawn(output: Output, outputs: Sequence[Output]) -> bool:
    return output in outputs or (output in _IN_BOOK and Output.HANDBOOK in outputs)


def _drawers(outputs: Sequence[Output], *, large: bool) -> Pictures:
    # Two where little else is done.
    return drawers(large=large, children=1 if _PLANNED & set(outputs) else 2)


def _buy_tables(building: Building, buying: BuyList | None) -> Sequence[Table]:
    from pikepole_export.write.tables.buying import buy_table

    return [buy_table(buying, building)] if buying else ()


def _write_spreadsheet(tables: Sequence[Table], units: Units, folder: Path) -> Path:
    from pikepole_export.write.tables.spreadsheet import write_spreadsheet

    return write_spreadsheet(tables, units, folder)


def _write_plans(building: Building, folder: Path, *, dxf: bool) -> list[Path]:
    from pikepole_export.write.plans.files import write_plans

    return write_plans(building, folder, dxf=dxf)


def _write_page(
    building: Building,
    plan: LiftPlan | None,
    held: Sequence[Fastener],
    drawings: Drawings,
    sheets: Sequence[Path],
    folder: Path,
) -> Path:
    from pikepole_export.cli.page import told
    from pikepole_export.write.page.page import write_page

    return write_page(building, told(building, plan, held, drawings, sheets), folder)


def _calculations(
    building: Building,
    strength: Strength | None,
    picture: Pictures | None,
    attempt: Attempts,
    folder: Path,
) -> list[Path]:
    """The sheets, and the picture of the frame; each without the other where that fails."""
    from pikepole_export.write.tables.calculations import write_calculations

    if strength is None:
        return []
    called = Output.CALCULATIONS.called
    page = attempt(called, lambda: [write_calculations(building, strength, folder)])
    return [*(page or ()), *(attempt("picture", lambda: _finished(picture, folder)) or ())]


def _book(building: Building, known: Known, folder: Path) -> Callable[[], bytes]:
    from pikepole_export.cli.book import told
    from pikepole_export.write.book.book import book_of

    return book_of(building, told(building, known, folder), folder)


def _put_book(book: Future[bytes], folder: Path) -> Path:
    from pikepole_export.write.book.book import NAME

    return put(folder / NAME, book.result())


def _finished(drawing: Pictures | None, folder: Path) -> list[Path]:
    """Put pictures in place when they are drawn; none where drawing could not even begin."""
    return [folder / name for name in drawing.finish(folder)] if drawing else []
