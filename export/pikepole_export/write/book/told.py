"""What other outputs know of a building, for its book.

Told(...)        all of it; what could not be made is left out
labels           by which one place of the book leads to another
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from pikepole_export.derive.buying.fasteners import Fastener
from pikepole_export.derive.buying.order import BuyList
from pikepole_export.derive.inventory.summary import Summary
from pikepole_export.derive.lifting.plan import LiftPlan
from pikepole_export.derive.moving.plan import MovePlan
from pikepole_export.derive.strength.plan import Strength
from pikepole_model.errors import Finding

BUYING, CALENDAR, CAUTIONS = "buying", "calendar", "cautions"
MOVE, SHEETS = "move", "sheets"


@dataclass(frozen=True, slots=True)
class Told:
    """What other outputs know of a building.

    Attributes:
        general: What goes for every mass in it, for what is bought, and at the saw.
        summary: The building in a few numbers.
        plan: How it is lifted.
        move: How it is moved, where its scene asks for that.
        buying: What is bought for it.
        strength: How its members compare with the rules.
        fasteners: What holds it.
        findings: What the checks found.
        marks: For each piece by its name the drawing that it is cut by, and what that calls it.
        patterns: For each shaped piece by its name the drawing that it is marked by, and what
            that calls it.
        ripped_mm: To which width a board is ripped for a piece, by the piece's name, mm.
        pictures: Of each stage by its number, as paths from the folder.
        finished: Likewise of the finished building.
        cards: The lift cards, by the number of the lift.
        move_card: The card of the move.
        sheets: Plans, elevations and sections.
        framed: The sheets on which pieces are numbered, by their names, each with the stages that
            build what it shows.
        drawings: All other drawings, in order.
    """

    general: tuple[str, str, str]
    summary: Summary | None = None
    plan: LiftPlan | None = None
    move: MovePlan | None = None
    buying: BuyList | None = None
    strength: Strength | None = None
    fasteners: tuple[Fastener, ...] = ()
    findings: tuple[Finding, ...] = ()
    marks: Mapping[str, tuple[str, str]] = field(default_factory=dict[str, tuple[str, str]])
    patterns: Mapping[str, tuple[str, str]] = field(default_factory=dict[str, tuple[str, str]])
    ripped_mm: Mapping[str, float] = field(default_factory=dict[str, float])
    pictures: Mapping[int, Sequence[str]] = field(default_factory=dict[int, Sequence[str]])
    finished: Sequence[str] = ()
    cards: Mapping[int, str] = field(default_factory=dict[int, str])
    move_card: Sequence[str] = ()
    sheets: Sequence[Path] = ()
    framed: Mapping[str, Sequence[int]] = field(default_factory=dict[str, Sequence[int]])
    drawings: Sequence[Path] = ()

    def leads(self, stem: str) -> tuple[str, ...]:
        """The label of a drawing by its name; none where it was not made."""
        there = any(one.stem == stem for one in (*self.sheets, *self.drawings))
        return (drawing_label(stem),) if there else ()

    def card_of(self, lift: int) -> tuple[str, ...]:
        """The label of a lift's card; none where it has none."""
        return (lift_label(lift),) if lift in self.cards else ()


def stage_label(number: int) -> str:
    """Where the chapter of a stage begins."""
    return f"stage-{number}"


def pieces_label(number: int) -> str:
    """Where the pieces of a stage are listed."""
    return f"pieces-{number}"


def lift_label(number: int) -> str:
    """Where a lift's card is."""
    return f"lift-{number}"


def drawing_label(stem: str) -> str:
    """Where a drawing is, by its name."""
    return f"drawing-{stem}"
