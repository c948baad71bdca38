"""What the book says of a building: what the other outputs of a build know of it.

told(building, known) -> Told
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from pikepole_export.cli import buy_words, cut_words
from pikepole_export.cli.words import CAUTION
from pikepole_export.write.book.told import Told
from pikepole_export.write.cards.files import MOVE, card_name
from pikepole_export.write.drawings.index import INDEX
from pikepole_export.write.plans.files import stages_of_sheets

if TYPE_CHECKING:
    from pikepole_export.cli.planning import CutPlans, Drawings
    from pikepole_export.derive.buying.fasteners import Fastener
    from pikepole_export.derive.buying.order import BuyList
    from pikepole_export.derive.inventory.summary import Summary
    from pikepole_export.derive.lifting.plan import LiftPlan
    from pikepole_export.derive.moving.plan import Moves
    from pikepole_export.derive.strength.plan import Strength
    from pikepole_model.building.part import Building
    from pikepole_model.errors import Finding


@dataclass(frozen=True, slots=True)
class Known:
    """What a build has come to; None or nothing of what could not be made.

    Attributes:
        summary: The building in a few numbers.
        plans: How its boards and sheets are cut.
        plan: How it is lifted.
        moves: How it is moved.
        buying: What is bought for it.
        strength: How its members compare with the rules.
        fasteners: What holds it.
        findings: What the checks found.
        drawings: To work from, of its pieces, boards and sheets.
        pictures: Of its stages.
        cards: Of its lifts.
        sheets: Plans, elevations and sections.
    """

    summary: Summary | None
    plans: CutPlans | None
    plan: LiftPlan | None
    moves: Moves | None
    buying: BuyList | None
    strength: Strength | None
    fasteners: Sequence[Fastener] | None
    findings: Sequence[Finding] | None
    drawings: Drawings
    pictures: Sequence[Path] = ()
    cards: Sequence[Path] = ()
    sheets: Sequence[Path] = ()


def told(building: Building, known: Known, folder: Path) -> Told:
    """All of it, by stages, lifts and the names of the pieces.

    Args:
        building: What it is about.
        known: What a build has come to.
        folder: In which the files are.
    """
    plans, plan = known.plans, known.plan
    cards = {path.name: path.relative_to(folder).as_posix() for path in known.cards}
    pictures = [path.relative_to(folder).as_posix() for path in known.pictures]
    stages = {stage.number: f"stages/{stage.number:02}-" for stage in building.stages}
    return Told(
        general=(CAUTION, buy_words.CAUTION, cut_words.AT_THE_SAW),
        summary=known.summary,
        plan=plan,
        move=known.moves.plan if known.moves else None,
        buying=known.buying,
        strength=known.strength,
        fasteners=tuple(known.fasteners or ()),
        findings=tuple(known.findings or ()),
        marks=known.drawings.marks,
        patterns=known.drawings.patterns,
        ripped_mm={
            name: mm
            for board in (plans.boards if plans else ())
            for name, mm in board.ripped_mm.items()
        },
        pictures={
            number: [one for one in pictures if one.startswith(begins)]
            for number, begins in stages.items()
        },
        finished=[one for one in pictures if not one.startswith(tuple(stages.values()))],
        cards={
            lift.number: cards[card_name(lift)]
            for lift in (plan.lifts if plan else ())
            if card_name(lift) in cards
        },
        move_card=[cards[MOVE]] if MOVE in cards else [],
        sheets=known.sheets,
        framed=stages_of_sheets(building),
        # The book has an index of its own.
        drawings=[one for one in known.drawings.files if not one.stem.startswith(INDEX)],
    )
