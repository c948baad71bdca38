"""A chapter for each stage: all that is needed to work through it, in the order of the work.

stage_chapter(building, stage, told) -> Chapter
move_chapter(told) -> Chapter
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence

from pikepole_export.derive.buying.fasteners import Fastener
from pikepole_export.derive.buying.wording import in_words
from pikepole_export.derive.lifting.carrying import Carried
from pikepole_export.derive.lifting.cautions import bracing_text, cautions_of
from pikepole_export.derive.lifting.labour import hours_text
from pikepole_export.derive.lifting.left_out import why_text
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.plan import LiftPlan
from pikepole_export.derive.lifting.schedule import visit_text, when_text
from pikepole_export.derive.lifting.sentences import asked_text, done_text
from pikepole_export.derive.measures.notes import notes_of
from pikepole_export.derive.moving.plan import MovePlan
from pikepole_export.derive.moving.preparations import Preparation
from pikepole_export.graphics.page import WIDTH_MM
from pikepole_export.write.book.blocks import (
    TICK,
    Block,
    Cell,
    Chapter,
    Column,
    Head,
    Pairs,
    Picture,
    Plate,
    Points,
    Table,
    Words,
)
from pikepole_export.write.book.names import listed, sided
from pikepole_export.write.book.pieces import pieces_table
from pikepole_export.write.book.told import (
    BUYING,
    CAUTIONS,
    MOVE,
    SHEETS,
    Told,
    lift_label,
    pieces_label,
    stage_label,
)
from pikepole_model.building.kind_rows import Cut, Family
from pikepole_model.building.part import Building, Stage
from pikepole_model.scene.buying import Words as English
from pikepole_model.scene.schema import Scene
from pikepole_model.units import Units, format_mass, headcount, plural

CARD = 0.89  # of the width of a page: two stand one over the other
_FASTENERS = (
    Column(""),
    Column("Pieces", right=True),
    Column("Fastener", wraps=True),
    Column("Joint", wraps=True),
    Column("Where", wraps=True),
    Column("Counted", wraps=True),
)
_LIFTS = (
    Column(""),
    Column("Lift", right=True),
    Column("What", wraps=True),
    Column("May weigh", right=True),
    Column("Asks for", wraps=True),
    Column("How, and what to take care of", wraps=True),
)
# What stands or falls by being square, level and plumb.
_SET_OUT = {
    *(Family.CONCRETE, Family.POSTS, Family.BEAMS, Family.FLOOR_FRAME),
    *(Family.WALL_FRAME, Family.LOFT_FRAME, Family.ROOF_FRAME),
}


def stage_chapter(building: Building, stage: Stage, told: Told) -> Chapter:
    """All there is to know of a stage.

    Args:
        building: It is a stage of.
        stage: Any.
        told: What is known of it beside its pieces.
    """
    units: Units = building.scene.units
    parts = building.handled_in(stage)
    lifts = _lifts_of(stage, told.plan)
    blocks: list[Block] = [Points(tuple(_first(building, stage, told)))]
    blocks += [Plate(file, WIDTH_MM) for file in told.pictures.get(stage.number, ())]
    if told.plan:
        blocks += [Head("People, gear and hours"), Pairs(tuple(_work(stage, told.plan, units)))]
    # Here and not at the end: there they would often have a page to themselves.
    blocks += [
        Head("To tick"),
        Points(tuple(_to_tick(stage, told, lifts)), boxes=True, signed=True),
        Head("Pieces to lay out", pieces_label(stage.number)),
        pieces_table(parts, told, units),
    ]
    blocks += _fasteners(stage, told, building.scene.english)
    blocks += _lifts(lifts, told, building.scene)
    for lift in lifts:
        if lift.number in told.cards:
            card = told.cards[lift.number]
            blocks.append(Picture(card, CARD, lift_label(lift.number)))
    title = f"{stage.number}  {stage.name}"
    return Chapter(title, stage_label(stage.number), tuple(blocks))


def _lifts_of(stage: Stage, plan: LiftPlan | None) -> list[Lift]:
    """The lifts of a stage in the order that is proposed."""
    if plan is None:
        return []
    lifts = {lift.number: lift for lift in plan.lifts}
    return [lifts[number] for number in plan.calendar.order.get(stage.number, ())]


def _work(stage: Stage, plan: LiftPlan, units: Units) -> Iterator[tuple[Cell, Cell]]:
    """Who, when, how long, with what, and what is carried there."""
    days, names = plan.calendar, {lift.number: lift.item.name for lift in plan.lifts}
    for own in days.stages:
        if own.number == stage.number:
            if hours := hours_text(own.hours):
                yield Cell("Hours"), Cell(f"{hours} of one person's work, fixing included")
            yield Cell("Days"), Cell(f"{when_text(own)} of {days.days}".capitalize())
    for asked in plan.stages:
        if asked.number == stage.number:
            yield Cell("Asks for"), Cell(f"{asked.mark}; {headcount(asked.people)} at the most")
    for out in plan.left_out:
        if out.stage == stage.number:
            yield Cell("Lifts"), Cell(f"none is planned: {why_text(out.why, units)}")
            for roll in out.rolls:
                yield Cell("Full roll"), Cell(f"{roll.name}, {format_mass(roll.mass_kg, units)}")
    for visit in days.visits:
        if stage.number in visit.stages:
            yield Cell("Others come"), Cell(visit_text(visit, names))
    for row in plan.carried:
        if row.stage == stage.number:
            told = "; ".join(_carried(one, units) for one in row.carried)
            mass, loads = format_mass(row.mass_kg, units), plural(row.loads, "load")
            total = f"{mass} in {loads}, {hours_text(row.hours)} of one person's time"
            yield Cell("Carry there"), Cell(f"{told}. In all {total}")


def _carried(row: Carried, units: Units) -> str:
    count = "" if row.pieces is None else f"{row.pieces} x "
    who = "no way within a guideline" if row.people is None else headcount(row.people)
    heaviest = format_mass(row.heaviest_kg, units)
    return f"{count}{row.what}: {plural(row.loads, 'load')} of up to {heaviest}, {who}, {row.way}"


def _fasteners(stage: Stage, told: Told, english: English) -> Iterator[Block]:
    counts: Counter[str] = Counter()
    alike: dict[tuple[str, str, str], list[Fastener]] = defaultdict(list)
    for one in told.fasteners:
        if one.stage == stage.number:
            name = in_words(", ".join(filter(None, (one.fastener, one.finish))), english)
            counts[name] += one.pieces
            alike[name, one.joint, one.how].append(one)
    if not alike:
        return
    yield Head("Fasteners")
    if len(counts) < len(alike):
        in_all = "; ".join(f"{count:,} x {name}" for name, count in counts.items())
        yield Words(f"Together, without waste: {in_all}.")
    rows = (
        (
            TICK,
            Cell(f"{sum(one.pieces for one in own):,}"),
            Cell(name, bold=True),
            Cell(joint),
            Cell("; ".join(sided(listed(one.where for one in own)))),
            Cell(how),
        )
        for (name, joint, how), own in alike.items()
    )
    yield Table(_FASTENERS, tuple(rows))


def _lifts(lifts: Sequence[Lift], told: Told, scene: Scene) -> Iterator[Block]:
    if not lifts:
        return
    units: Units = scene.units

    def cautions(lift: Lift) -> list[str]:
        return [in_words(one, scene.english) for one in cautions_of(lift, units)]

    yield Head("Lifts, in the order that is proposed")
    told_here = [cautions(lift) for lift in lifts if not told.card_of(lift.number)]
    # What goes for all of them is said once; a card says all of its own.
    first, *rest = told_here or [[]]
    shared = [one for one in first if rest and all(one in other for other in rest)]
    if shared:
        without = " that has no card" if len(told_here) < len(lifts) else ""
        yield Words(f"With each of them{without}: {' '.join(shared)}")
    rows: list[tuple[Cell, ...]] = []
    said: dict[tuple[str, ...], int] = {}
    for lift in lifts:
        own = tuple(one for one in cautions(lift) if one not in shared)
        if own in said:
            own = (f"Take care as with lift {said[own]}.",)
        elif own and not told.card_of(lift.number):
            said[own] = lift.number
        rows.append(_lift(lift, told, units, own))
    yield Table(_LIFTS, tuple(rows))


def _lift(lift: Lift, told: Told, units: Units, care: Sequence[str]) -> tuple[Cell, ...]:
    item, pages = lift.item, told.card_of(lift.number)
    done, verdict = done_text(lift, units), lift.verdict(units)
    # The load beside the guideline is not said twice.
    short, _, load = verdict.partition(": ")
    mended = verdict.partition("; ")[2] if lift.is_above else ""
    if mended:
        said = f"{done}; {mended}."
    else:
        said = f"{done}. {_begun(short if load and load in done else verdict)}."
    said = f"{said} Its card: p." if pages else " ".join((said, *_held(lift, units), *care))
    name = f"{item.times} x {item.name}" if item.times > 1 else item.name
    return (
        TICK,
        Cell(str(lift.number)),
        Cell(name, bold=True),
        Cell(format_mass(item.whole.mass.high_kg, units)),
        Cell(asked_text(lift, units)),
        Cell(_begun(said), pages=pages),
    )


def _held(lift: Lift, units: Units) -> Iterator[str]:
    """What holds it before anybody lets go."""
    if lift.bracing:
        held = bracing_text(lift.bracing, lift.braced_until, units)
        yield f"Before letting go: {held}"


def _begun(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def _first(building: Building, stage: Stage, told: Told) -> Iterator[Cell]:
    """What to know before it begins, and where to look."""
    if notes := notes_of(building, stage):
        yield Cell(notes, bold=True)
    yield Cell("What goes for every stage and every lift: page", pages=(CAUTIONS,))
    if told.sheets:
        yield Cell("Plans and sections with their measures: page", pages=(SHEETS,))
    for sheet, stages in told.framed.items():
        if stage.number in stages and (pages := told.leads(sheet)):
            yield Cell(f"Each piece with its number, {sheet.replace('-', ' ')}: page", pages=pages)


def _to_tick(stage: Stage, told: Told, lifts: Sequence[Lift]) -> Iterator[Cell]:
    if told.buying and any(stage.number == one.stages[0] for one in told.buying.purchases):
        yield Cell("What is bought for this stage is there: page", pages=(BUYING,))
    if any(part.kind.row.cut is not Cut.NOT for part in stage.parts):
        yield Cell("Every piece is cut, marked with its name and laid out")
    if any(one.stage == stage.number for one in told.fasteners):
        yield Cell("The fasteners are there, with the coating that the list says")
    if lifts:
        yield Cell("Who is called has come, and knows who gives the word")
    if any(part.kind.family in _SET_OUT for part in stage.parts):
        yield Cell("Square, level and plumb, measured before the last nail")
    yield Cell("It looks like the picture, from the front and from behind")
    if told.move and told.move.row.stage == stage.number:
        yield Cell("Every brace stays on: it is moved next, page", pages=(MOVE,))
    else:
        yield from _braces_off(stage.number, told)


def _braces_off(stage: int, told: Told) -> Iterator[Cell]:
    for lift in told.plan.lifts if told.plan else ():
        if lift.braced_until and lift.braced_until.number == stage:
            name = f"lift {lift.number}, {lift.item.name}"
            yield Cell(f"All of it is fixed; only now the braces of {name} come off")


def move_chapter(move: MovePlan, told: Told, units: Units) -> Chapter:
    """The move of the whole building.

    Args:
        move: As it is planned.
        told: Its card.
        units: Of the scene.
    """
    blocks: list[Block] = []
    mass = move.row.mass
    low, likely, high = (
        format_mass(kg, units) for kg in (mass.low_kg, mass.likely_kg, mass.high_kg)
    )
    blocks.append(
        Words(f"After {move.row.name}. It weighs {low} dry, {likely} likely, {high} wet.")
    )
    if move.problems:
        against = tuple(Cell(f"{one}.") for one in move.problems)
        blocks += [Head("It cannot be moved so"), Points(against)]
    for head, steps in (
        ("First", move.first),
        ("Up", move.conduct.raising),
        ("The way there", move.conduct.there),
    ):
        if steps:
            blocks += [Head(head), _steps(steps)]
    done = (
        *(Cell(step.text) for step in move.conduct.down),
        Cell("It stands where it stays, level, and is tied"),
        *_braces_off(move.row.stage, told),
    )
    blocks += [Head("Down"), Points(done, boxes=True, signed=True)]
    blocks += [Picture(card) for card in told.move_card]
    return Chapter("The move", MOVE, tuple(blocks))


def _steps(steps: Iterable[Preparation]) -> Points:
    return Points(tuple(Cell(step.text) for step in steps), boxes=True)
