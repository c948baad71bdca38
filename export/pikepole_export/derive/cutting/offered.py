"""The lengths that boards are offered in, and plans from them.

    offers(scene, section, parts) -> tuple[Offer, ...]
    plan_boards(pieces, offers, saw, prove=False) -> LengthPlan

What yards stock is offered, and more only where a piece needs it. A pre-cut stud comes square: its
ends are not trimmed, and it gives studs alone. No board is filled to less than a sixteenth of an
inch, but by one piece that is as long as it is: no two boards are that equal. Skids, girders,
posts, beams and ridge boards that are as long as a board are put in as it comes: common practice,
no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from pikepole_export.derive.cutting.lengths import (
    Board,
    CutPiece,
    LengthPlan,
    Saw,
    StockLength,
    cut_board,
    plan_lengths,
)
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.buying import CENTS, find_price
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.rows import Lumber
from pikepole_model.units import INCH_MM

STUDS = (Kind.STUD, Kind.CORNER_STUD, Kind.KING, Kind.JACK, Kind.CRIPPLE, Kind.POST_STUD)
AS_THEY_COME = {
    *(Kind.SKID, Kind.GIRDER, Kind.POST),
    *(Kind.BEAM, Kind.CARRYING_BEAM, Kind.RIDGE_BOARD),
}
LEAST_REST_MM = INCH_MM / 16
MOST = 0.75  # of a pre-cut stud


@dataclass(frozen=True, slots=True)
class Offer:
    """A length that a section can be bought in.

    Attributes:
        stock: The board, with its price if all that are offered have one.
        is_square: Whether its ends are not trimmed: a pre-cut stud, or what is put in as it comes.
    """

    stock: StockLength
    is_square: bool = False


def offers(scene: Scene, section: Lumber, parts: Sequence[Part]) -> tuple[Offer, ...]:
    """What some parts of one section and material may be cut from, shortest first.

    Args:
        scene: For its prices.
        section: Of the parts.
        parts: Those that are cut from it; pre-cut studs are offered where all of them are studs.
    """
    treated = parts[0].material.treated
    lengths_mm = _stocked_mm(section, [part.length_mm for part in parts])
    studs_mm = section.studs_mm if all(map(is_stud, parts)) else ()
    found = sorted([*((mm, False) for mm in lengths_mm), *((mm, True) for mm in studs_mm)])
    return tuple(_offer(scene, section, mm, treated, is_square) for mm, is_square in found)


def as_they_come(scene: Scene, section: Lumber, parts: Sequence[Part]) -> dict[str, Offer]:
    """Names of parts of one section and material that are boards as they come, with the board.

    Args:
        scene: For its prices.
        section: Of the parts.
        parts: All that are made of it.
    """
    return {
        part.name: _offer(scene, section, mm, part.material.treated, True)
        for part in parts
        for mm in section.lengths_mm
        if part.kind in AS_THEY_COME and abs(mm - part.length_mm) < TOLERANCE_MM
    }


def _offer(scene: Scene, section: Lumber, mm: float, treated: bool, is_square: bool) -> Offer:
    price = board_price(scene, section, mm, treated=treated)
    return Offer(StockLength(f"{section.name} {mm:g} mm", mm, price), is_square)


def apart(section: Lumber, parts: Sequence[Part]) -> Iterator[Sequence[Part]]:
    """Parts of one section and material by what they may be cut from.

    Studs that take most of a pre-cut one are first, then all others: what a shorter one leaves of
    it gives no block and no plate.
    """
    studs = [part for part in parts if is_stud(part) and _takes_most(part, section.studs_mm)]
    others = [part for part in parts if part not in studs]
    yield from (some for some in (studs, others) if some)


def _takes_most(part: Part, studs_mm: Iterable[float]) -> bool:
    return any(MOST * mm < part.length_mm < mm + TOLERANCE_MM for mm in studs_mm)


def priced_alike(offered: Iterable[Sequence[Offer]]) -> list[tuple[Offer, ...]]:
    """The same offers, all without a price where one of them has none."""
    some = [tuple(own) for own in offered]
    if all(one.stock.price is not None for own in some for one in own):
        return some
    return [
        tuple(replace(one, stock=replace(one.stock, price=None)) for one in own) for own in some
    ]


def board_price(scene: Scene, section: Lumber, length_mm: float, *, treated: bool) -> float | None:
    """What a board costs by the prices of the scene, in whole cents; None without one.

    Args:
        scene: For its prices.
        section: Of the board.
        length_mm: Of the board.
        treated: Whether it is.
    """
    price = find_price(scene.price, section.name, length_mm=length_mm, treated=treated)
    if price is None:
        return None
    volume_mm3 = section.breadth_mm * section.depth_mm * length_mm
    return round(price.cost({"pieces": 1, "length": length_mm, "volume": volume_mm3}), CENTS)


def plan_boards(
    pieces: Sequence[CutPiece],
    offers: Sequence[Offer],
    saw: Saw,
    *,
    mix: bool = False,
    prove: bool = False,
    bounded: bool = True,
) -> LengthPlan:
    """A plan from what is offered: a piece as long as a board that is not trimmed takes one.

    Args:
        pieces: What to cut.
        offers: What it can be cut from.
        saw: Kerf and trims.
        mix: Whether a board is cut up at once, for whatever stage.
        prove: Whether to go on, for a better plan or the proof that there is none.
        bounded: Whether a bound is looked for; there may be none without.

    Raises:
        CutPlanError: Something in the input is wrong.
        SolverError: The solver gave no answer.
    """
    saws = {one.stock: _square(saw) if one.is_square else saw for one in offers}
    whole = {piece: stock for piece in pieces if (stock := _as_it_is(piece, saws))}
    told = told_lengths(offers, saw)
    real = {planned: one.stock for planned, one in zip(told, offers, strict=True)}
    rest = [one for one in pieces if one not in whole]
    plan = joined(())
    if rest:
        plan = plan_lengths(rest, told, saw, mix=mix, prove=prove, bounded=bounded)
    planned = [(real[board.stock], board.uses) for board in plan.boards]
    boards = [*((stock, ((piece,),)) for piece, stock in whole.items()), *planned]
    costs = [stock.length_mm if stock.price is None else stock.price for stock in whole.values()]
    priced = all(one.stock.price is not None for one in offers)
    return LengthPlan(
        in_order(cut_board(stock, some, saws[stock]) for stock, some in boards),
        math.fsum(stock.price or 0.0 for stock, _ in boards) if priced else None,
        math.fsum(stock.length_mm for stock, _ in boards),
        plan.bound + math.fsum(costs),
    )


def told_lengths(offers: Sequence[Offer], saw: Saw) -> list[StockLength]:
    """What is offered as a planner is told it, who trims all boards alike and knows no least rest.

    Without prices a board costs its length.
    """
    return [
        replace(
            one.stock,
            length_mm=one.stock.length_mm
            + saw.trims_mm
            - max(LEAST_REST_MM, 0.0 if one.is_square else saw.trims_mm),
            price=one.stock.length_mm if one.stock.price is None else one.stock.price,
        )
        for one in offers
    ]


def whole_lengths(offers: Iterable[Offer], saw: Saw) -> list[StockLength]:
    """What is offered as a bound is told it, each once: no least rest is kept.

    Args:
        offers: Which.
        saw: Its trims, which what is square is told over its length.
    """
    return [
        replace(
            one.stock,
            length_mm=one.stock.length_mm + (saw.trims_mm if one.is_square else 0.0),
            price=one.stock.length_mm if one.stock.price is None else one.stock.price,
        )
        for one in dict.fromkeys(offers)
    ]


def joined(plans: Iterable[LengthPlan]) -> LengthPlan:
    """Plans of one section and material as one."""
    some = [*plans]
    costs = [one.cost for one in some]
    return LengthPlan(
        in_order(board for one in some for board in one.boards),
        None if None in costs else math.fsum(cost or 0.0 for cost in costs),
        math.fsum(one.bought_mm for one in some),
        math.fsum(one.bound for one in some),
    )


def in_order(boards: Iterable[Board]) -> tuple[Board, ...]:
    """Boards as stages open them, then by length."""

    def order(board: Board) -> tuple[int, float]:
        return min(piece.stage for piece in board.uses[0]), board.stock.length_mm

    return tuple(sorted(boards, key=order))


def is_stud(part: Part) -> bool:
    """Whether a pre-cut stud may give a part: that is for studs alone, and untreated."""
    return part.kind in STUDS and not part.material.treated


def _stocked_mm(section: Lumber, pieces_mm: Iterable[float]) -> list[float]:
    """What yards stock of any board, and of what is longer the shortest that each piece needs."""
    trims_mm = 2 * section.trim_mm
    needed = (mm + trims_mm - TOLERANCE_MM for mm in pieces_mm)
    longer = {min(mm for mm in section.lengths_mm if mm >= piece_mm) for piece_mm in needed}
    return sorted(longer | {mm for mm in section.lengths_mm if mm <= section.common_mm})


def _square(saw: Saw) -> Saw:
    return replace(saw, first_trim_mm=0.0, last_trim_mm=0.0)


def _as_it_is(piece: CutPiece, saws: dict[StockLength, Saw]) -> StockLength | None:
    """The board that a piece is as long as; None where all are trimmed, or none fits so."""
    for stock, saw in saws.items():
        over_mm = stock.length_mm - saw.trims_mm - piece.length_mm
        if saw.trims_mm < LEAST_REST_MM and -TOLERANCE_MM <= over_mm < LEAST_REST_MM:
            return stock
    return None
