"""What the page says of each piece beside what it is: its mark, its drawings, its lifts.

told(building, plan, held, drawings, sheets) -> Told
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from pikepole_export.cli.part_words import SHORTLY
from pikepole_export.cli.words import CAUTION
from pikepole_export.derive.buying.wording import in_words
from pikepole_export.derive.lifting.sentences import asked_text, done_text
from pikepole_export.write.book.setting import title_of
from pikepole_export.write.cards.files import carded
from pikepole_export.write.page.page import Told
from pikepole_export.write.pictures.pieces import piece_lines
from pikepole_export.write.plans.files import stages_of_sheets
from pikepole_model.units import Units

if TYPE_CHECKING:
    from pikepole_export.cli.planning import Drawings
    from pikepole_export.derive.buying.fasteners import Fastener
    from pikepole_export.derive.lifting.lift import Lift
    from pikepole_export.derive.lifting.plan import LiftPlan
    from pikepole_model.building.part import Building
    from pikepole_model.scene.buying import Words


def told(
    building: Building,
    plan: LiftPlan | None,
    held: Sequence[Fastener],
    drawings: Drawings,
    sheets: Sequence[Path],
) -> Told:
    """All of it, by the names of the pieces.

    Args:
        building: What is shown.
        plan: How it is lifted; None where nobody knows.
        held: What holds it.
        drawings: To work from, those that were made.
        sheets: Its plans, elevations and sections.
    """
    files, marks = (*drawings.files, *sheets), drawings.marks
    job = building.scene.title
    # "Boards, page 7 of 17", without what is on it.
    called = {path.stem: title_of(path, job).split(":")[0] for path in files}
    drawn: dict[str, list[str]] = defaultdict(list)
    for name, stem in (
        *((name, stem) for name, (stem, _) in drawings.patterns.items()),
        *((name, stem) for name, (stem, _) in marks.items()),
    ):
        if stem in called:
            drawn[name].append(called[stem])
    shown = stages_of_sheets(building)
    return Told(
        cautions=(CAUTION, *SHORTLY),
        marks={name: mark for name, (_, mark) in marks.items()},
        drawn=drawn,
        lifts=_lifts(plan, building.scene.units) if plan else {},
        drawings={called[path.stem]: path.read_bytes() for path in files},
        pieces={
            stage.number: [line.text for line in piece_lines(stage.parts, building.scene)]
            for stage in building.stages
        },
        held=_held(held, building.scene.english),
        sheets={
            stage.number: [
                called[file]
                for file, own in shown.items()
                if stage.number in own and file in called
            ]
            for stage in building.stages
        },
        plans=[called[path.stem] for path in sheets if path.stem not in shown],
    )


def _held(fasteners: Sequence[Fastener], words: Words) -> dict[int, list[str]]:
    """A line for each kind of joint, by stages."""
    counts: dict[int, Counter[str]] = defaultdict(Counter)
    for one in fasteners:
        name = ", ".join(filter(None, (one.fastener, one.finish)))
        said = f"{in_words(name, words)}: {one.joint}, {one.how}"
        counts[one.stage][said] += one.pieces
    return {
        stage: [f"{count:,} x {said}" for said, count in own.items()]
        for stage, own in counts.items()
    }


def _lifts(plan: LiftPlan, units: Units) -> Mapping[str, list[str]]:
    """What is said of each lift, by the names of all that is lifted in it."""
    cards = {lift.number for lift in carded(plan)}
    found: dict[str, list[str]] = defaultdict(list)
    for lift in plan.lifts:
        text = _lift(lift, lift.number in cards, units)
        for name in dict.fromkeys(
            (*lift.item.same, *(part.name for part in lift.item.whole.parts))
        ):
            found[name].append(text)
    return found


def _lift(lift: Lift, has_card: bool, units: Units) -> str:
    item, asked = lift.item, asked_text(lift, units)
    alike = f" and {item.times - 1} alike" if item.times > 1 else ""
    what = f"{lift.number}, {item.name}{alike}. {asked[0].upper()}{asked[1:]}"
    said = f"{what}: {done_text(lift, units)}."
    return f"{said} Its card is in the handbook." if has_card else said
