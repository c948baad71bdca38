"""The braces of a whole building: when each comes off, and what is bought for all of them.

    off_after(building, item) -> Stage          the stage after which they come off
    brace_stock(lifts) -> tuple[BraceBoard, ...]
    braces_bought(building, lifts) -> Iterator[Purchase]

Braces that have come off are used again, so that the most that stand at one time are bought.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from pikepole_export.derive.buying.purchase import Purchase, Supplier
from pikepole_export.derive.buying.wording import lumber_text
from pikepole_export.derive.lifting.brace_places import SPREADER_NAILS
from pikepole_export.derive.lifting.bracing import BRACE_GRADE, BRACE_STOCK, NAIL
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.nails_bought import nails_bought
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Stage
from pikepole_model.building.remaining import done_stages
from pikepole_model.building.sequence import HELD_DOWN, IN_PLACE, done_by
from pikepole_model.units import format_length, plural

_SHEATHING = " sheathing"
_STRIP = "clerestory wall"
WHERE = "temporary braces, used again"


@dataclass(frozen=True, slots=True)
class BraceUse:
    """A brace in one place.

    Attributes:
        holds: Name of the wall or post.
        length_mm: Of the brace.
        nails: At each of its ends.
        from_stage: Number of the stage that puts it up.
        to_stage: Number of the stage after which it comes off.
    """

    holds: str
    length_mm: float
    nails: int
    from_stage: int
    to_stage: int


@dataclass(frozen=True, slots=True)
class BraceBoard:
    """A board, and what it braces one after the other.

    Attributes:
        uses: In the order of the work.
    """

    uses: tuple[BraceUse, ...]

    @property
    def length_mm(self) -> float:
        """The longest brace that it is."""
        return max(use.length_mm for use in self.uses)

    def is_free(self, use: BraceUse) -> bool:
        """Whether it braces nothing else meanwhile: what comes off after a stage is free then."""
        return all(
            use.from_stage > one.to_stage or use.to_stage < one.from_stage for one in self.uses
        )


def off_after(building: Building, item: Item) -> Stage:
    """The stage after which the braces of a wall or a post come off.

    A sheathed wall's when the walls are all sheathed and a loft between them is decked, any other's
    when the roof is: sheets, or rafters where it has none. What is moved keeps them until it is
    held down there. Common practice, no source.
    """
    group = item.whole.parts[0].group
    stages = {stage.number: stage for stage in building.stages}
    sheathed = {
        part.group: part.stage for part in building.parts if part.group.endswith(_SHEATHING)
    }
    if group + _SHEATHING in sheathed:
        in_time = [
            stage for name, stage in sheathed.items() if group == _STRIP or _STRIP not in name
        ]
    else:
        roof = (Kind.ROOF_SHEET, Kind.RAFTER)
        in_time = [part.stage for part in building.parts if part.kind in roof]
    if item.handling is Handling.WALL:
        in_time += [part.stage for part in building.parts if part.kind is Kind.LOFT_SHEET]
    last = max([item.stage, *in_time])
    if building.scene.move:
        names = {stage.name: stage.number for stage in building.stages}
        moved = names.get(done_by(building.scene, building.scene.move.after, [*names]) or "", 0)
        held = max(moved, *(names.get(step.name, 0) for step in (HELD_DOWN, IN_PLACE)))
        last = max(last, held) if item.stage <= moved else last
    return stages[last]


def brace_stock(lifts: Iterable[Lift]) -> tuple[BraceBoard, ...]:
    """The fewest boards for all braces, each used again once it is free; the longest first."""
    boards: list[BraceBoard] = []
    uses = [use for lift in lifts for use in _uses(lift)]
    # The longest first: every board is long enough for what it is used for again.
    for use in sorted(uses, key=lambda one: (-one.length_mm, one.from_stage)):
        free = next((k for k, board in enumerate(boards) if board.is_free(use)), None)
        if free is None:
            boards.append(BraceBoard((use,)))
        else:
            again = sorted((*boards[free].uses, use), key=lambda one: one.from_stage)
            boards[free] = BraceBoard(tuple(again))
    return tuple(boards)


def _uses(lift: Lift) -> Iterator[BraceUse]:
    bracing, until = lift.bracing, lift.braced_until
    if bracing is None or until is None:
        return
    name, stage = lift.item.name, lift.item.stage
    for _ in range(bracing.count * lift.item.times):
        yield BraceUse(name, bracing.length_mm, bracing.nails, stage, until.number)
    for one in lift.spreaders:
        yield BraceUse(f"{name}'s doorway", one.length_mm, SPREADER_NAILS, stage, stage)


def braces_bought(building: Building, lifts: Iterable[Lift]) -> Iterator[Purchase]:
    """The boards for braces by the length they are bought in, and the nails for them."""
    scene, done = building.scene, done_stages(building)
    # What an earlier stage took is there already, and its nails are driven.
    every = brace_stock(lifts)
    boards = [one for one in every if done.isdisjoint(use.from_stage for use in one.uses)]
    nailed = [use for board in every for use in board.uses if use.from_stage not in done]
    stock = scene.lumber_stock(BRACE_STOCK[scene.units])
    by_length: dict[float, list[BraceBoard]] = {}
    for board in boards:
        long = [one for one in stock.lengths_mm if one >= board.length_mm]
        by_length.setdefault(min(long, default=stock.longest_mm), []).append(board)
    for length_mm, some in sorted(by_length.items()):
        uses = [use for board in some for use in board.uses]
        yield Purchase(
            Supplier.LUMBER,
            stock.name,
            scene.wood(treated=False).name,
            WHERE,
            (length_mm,),
            "piece",
            len(some),
            0.0,
            _how(building, uses),
            {
                "pieces": len(some),
                "length": len(some) * length_mm,
                "volume": len(some) * length_mm * stock.breadth_mm * stock.depth_mm,
            },
            _by_stage((use.from_stage, use.length_mm) for use in uses),
            asked=lumber_text(scene, stock, length_mm, treated=False, grade=BRACE_GRADE),
        )
    if nailed:
        # None is driven twice.
        nails = _by_stage((use.from_stage, 2.0 * use.nails) for use in nailed)
        where = WHERE.partition(",")[0]
        yield nails_bought(building, NAIL[scene.units], nails, where, "at both ends")


def _how(building: Building, uses: list[BraceUse]) -> str:
    names = {stage.number: stage.name for stage in building.stages}
    stages = sorted({use.from_stage for use in uses})
    standing = {at: sum(one.from_stage <= at <= one.to_stage for one in uses) for at in stages}
    most = max(standing, key=lambda at: standing[at])
    off = "; ".join(
        f"of {', '.join(dict.fromkeys(one.holds for one in uses if one.to_stage == last))} off "
        f"after stage {last}, {names[last]}"
        for last in sorted({one.to_stage for one in uses})
    )
    longest = format_length(max(one.length_mm for one in uses), building.scene.units, "up")
    return (
        f"up to {longest} each, {plural(len(uses), 'brace')}; {standing[most]} stand at one time, "
        f"in stage {most}, {names[most]}; {off}"
    )


def _by_stage(amounts: Iterable[tuple[int, float]]) -> dict[int, float]:
    use: dict[int, float] = {}
    for stage, amount in amounts:
        use[stage] = use.get(stage, 0.0) + amount
    return use
