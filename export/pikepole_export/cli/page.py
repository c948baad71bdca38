"""What the page says of each piece beside what it is: its mark, its drawings, its lifts.

told(building, plans, plan, drawings) -> Told
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from pikepole_export.cli.part_words import SHORTLY
from pikepole_export.cli.words import CAUTION
from pikepole_export.derive.lifting.sentences import asked_text, done_text
from pikepole_export.write.cards.files import carded
from pikepole_export.write.drawings.cutting import cut_marks
from pikepole_export.write.drawings.shaped import pattern_pages
from pikepole_export.write.page.page import Told
from pikepole_model.units import Units

if TYPE_CHECKING:
    from pikepole_export.cli.planning import CutPlans
    from pikepole_export.derive.lifting.lift import Lift
    from pikepole_export.derive.lifting.plan import LiftPlan
    from pikepole_model.building.part import Building


def told(
    building: Building, plans: CutPlans | None, plan: LiftPlan | None, drawings: Sequence[Path]
) -> Told:
    """All of it, by the names of the pieces.

    Args:
        building: What is shown.
        plans: How its boards and sheets are cut; None where nobody knows.
        plan: How it is lifted; None where nobody knows.
        drawings: The drawings that were made.
    """
    marks = cut_marks(plans.boards, plans.sheets, building) if plans else {}
    there = {path.stem: path.read_bytes() for path in drawings}
    drawn: dict[str, list[str]] = defaultdict(list)
    for name, drawing in (
        *((name, stem) for name, (stem, _) in pattern_pages(building).items()),
        *((name, drawing) for name, (drawing, _) in marks.items()),
    ):
        if drawing in there:
            drawn[name].append(drawing)
    return Told(
        cautions=(CAUTION, *SHORTLY),
        marks={name: mark for name, (_, mark) in marks.items()},
        drawn=drawn,
        lifts=_lifts(plan, building.scene.units) if plan else {},
        drawings=there,
    )


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
