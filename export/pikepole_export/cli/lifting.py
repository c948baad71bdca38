"""The plan of lifts and moves in a build, its tables and its cards.

What lifts need is imported only where they are asked for: a tenth of a second.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pikepole_export.derive.lifting.plan import LiftPlan
    from pikepole_export.derive.moving.plan import Moves
    from pikepole_export.graphics.child import Pictures
    from pikepole_export.write.tables.csv_json import Table
    from pikepole_model.building.part import Building


def plan_lifts(building: Building) -> LiftPlan:
    """How each piece gets to its place."""
    from pikepole_export.derive.lifting.plan import lift_plan

    return lift_plan(building)


def plan_move(building: Building) -> Moves:
    """When the building can be moved, and how the scene's own move goes."""
    from pikepole_export.derive.moving.plan import plan_moves

    return plan_moves(building)


def start_lift_cards(
    building: Building, plan: LiftPlan, moves: Moves | None, after: Pictures | None
) -> Pictures:
    """Begin to draw a card of each lift of a plan, and of the scene's own move.

    Args:
        building: What is built.
        plan: Of its lifts.
        moves: Of it; None where that could not be planned.
        after: Pictures that are drawn first.
    """
    from pikepole_export.derive.lifting.cautions import cautions_of
    from pikepole_export.write.cards.files import start_cards

    units, moved = building.scene.units, moves.plan if moves else None
    return start_cards(building, plan, moved, lambda lift: cautions_of(lift, units), after)


def card_among_stages(cards: Sequence[Path], moves: Moves | None, folder: Path) -> Sequence[Path]:
    """Put the card of the move after the picture of the stage that it follows."""
    from pikepole_export.write.cards.files import among_stages

    return among_stages(cards, moves.plan, folder) if moves and moves.plan else ()


def tables_of_lifts(
    building: Building, plan: LiftPlan | None, moves: Moves | None
) -> Sequence[Table]:
    """Every lift, every load of it, and the moves; none without a plan."""
    from pikepole_export.write.tables.lifting import lift_tables, moves_table

    if plan is None:
        return ()
    units = building.scene.units
    words = building.scene.english
    moved = [moves_table(moves, plan.cautions, units, words)] if moves else []
    return [*lift_tables(plan, units), *moved]
