"""Which boards of lumber to buy for a building, and what is cut from each.

    cut_plans(building) -> tuple[SectionPlan, ...]     in order of first use

Boards of one section and material are planned together: pre-cut studs first, where they are
offered, and what boards for studs leave is cut up before others are opened. A piece is as long as
the stock that it is cut from, long point to long point, and comes out of one board: where a run is
longer than any board, the model has parted it over its supports already. What is narrower than its
stock is cut to length here like any other piece, and then ripped.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from pikepole_export.derive.cutting.at_hand import (
    boards_at_hand,
    cheapest,
    filled,
    taken,
    unused,
    without,
)
from pikepole_export.derive.cutting.few_lengths import few_lengths
from pikepole_export.derive.cutting.lengths import (
    CutPiece,
    LengthPlan,
    Saw,
    StockLength,
    least_spent,
)
from pikepole_export.derive.cutting.offered import (
    Offer,
    apart,
    as_they_come,
    is_stud,
    joined,
    offers,
    plan_boards,
    priced_alike,
    whole_lengths,
)
from pikepole_export.derive.cutting.rests import rests_filled
from pikepole_model.building.kind_rows import Cut
from pikepole_model.building.part import Building, Part
from pikepole_model.building.remaining import done_stages
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.rows import Lumber
from pikepole_model.units import MARK_MM

# Less than this is taken off by no saw: a metric and an inch section that go by one width.
RIPPED_MM = 0.5


@dataclass(frozen=True, slots=True)
class SectionPlan:
    """The boards of one section and material.

    Attributes:
        section: The section, as it is in the catalogue.
        material: "spruce-pine-fir", "southern pine, treated".
        treated: Whether it is treated lumber.
        ripped_mm: The width that a piece is ripped to, by its name, mm; of ripped pieces only.
        plan: Boards and pieces, and how good the plan is.
        sawn_mm: The two lengths that a plate is sawn into on the deck, by its name, mm; only of
            those whose wall goes up in halves.
    """

    section: Lumber
    material: str
    treated: bool
    ripped_mm: Mapping[str, float]
    plan: LengthPlan
    sawn_mm: Mapping[str, tuple[float, float]] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def pieces(self) -> int:
        """How many pieces are cut."""
        return sum(len(board.pieces) for board in self.plan.boards)

    @property
    def used_mm(self) -> float:
        """Length of all the pieces, mm."""
        return math.fsum(piece.length_mm for board in self.plan.boards for piece in board.pieces)

    @property
    def cut_up_mm(self) -> float:
        """Length of all the boards, those at hand too, mm."""
        return math.fsum(board.stock.length_mm for board in self.plan.boards)

    @property
    def bought(self) -> tuple[tuple[StockLength, int], ...]:
        """How many boards of each length to buy, the shortest first."""
        return self._counted(is_own=False)

    @property
    def at_hand(self) -> tuple[tuple[StockLength, int], ...]:
        """How many boards of each length come from the yard, the shortest first."""
        return self._counted(is_own=True)

    def _counted(self, *, is_own: bool) -> tuple[tuple[StockLength, int], ...]:
        counted = Counter(board.stock for board in self.plan.boards if board.stock.is_own == is_own)
        return tuple(sorted(counted.items(), key=lambda one: one[0].length_mm))


def cut_plans(building: Building, *, prove: bool = False) -> tuple[SectionPlan, ...]:
    """A plan for each section and material, cheapest where every length of it has a price.

    Args:
        building: What is cut.
        prove: Whether to go on, for better plans or the proof that there are none.

    Raises:
        CutPlanError: A piece is longer than any board, trimmed as the scene asks, or thinner than
            the saw blade; names the piece.
        SolverError: The solver gave no answer.
    """
    scene, done = building.scene, done_stages(building)
    alike: dict[tuple[str, str], list[Part]] = {}
    for part in building.handled:
        if part.kind.row.cut is Cut.BOARD:
            alike.setdefault((part.stock, part.material.name), []).append(part)
    found = (_section_plan(scene, parts, done, prove) for parts in alike.values())
    return tuple(plan for plan in found if plan)


def _section_plan(
    scene: Scene, parts: Sequence[Part], done: frozenset[int], prove: bool
) -> SectionPlan | None:
    """A plan for what of some parts is not done; None where all of it is."""
    left = [part for part in parts if part.stage not in done]
    if not left:
        return None
    section, material = scene.lumber_stock(left[0].stock), left[0].material
    shortest_mm = min(part.length_mm for part in left)
    lying = boards_at_hand(scene, section, treated=material.treated)
    own = [one for one in lying if one.length_mm >= shortest_mm]
    plan = _planned(scene, section, left, prove)
    if own or len(left) < len(parts):
        plan = _with_own(scene, section, plan, own, (parts, left), prove)
    ripped = dict(_ripped(left, section))
    return SectionPlan(section, material.name, material.treated, ripped, plan)


def _with_own(
    scene: Scene,
    section: Lumber,
    plain: LengthPlan,
    own: Sequence[StockLength],
    both: tuple[Sequence[Part], Sequence[Part]],
    prove: bool,
) -> LengthPlan:
    """The cheapest of the plans that use what is at hand, and of that of the whole building.

    Args:
        scene: For its saw.
        section: What is planned.
        plain: The plan of what is left to be cut, without what is at hand.
        own: The boards at hand.
        both: All parts of the section, and those that are left to be cut.
        prove: Whether to go on for the proof.
    """
    parts, left = both
    saw, mix = _saw(scene), scene.cutting.mix
    plans = [plain]
    if len(left) < len(parts):
        whole = _planned(scene, section, parts, prove)
        if (whole.cost is None) == (plain.cost is None):
            plans.append(without(whole, _pieces(left), saw.kerf_mm))
    comes = as_they_come(scene, section, left)
    groups = [*apart(section, [part for part in left if part.name not in comes])]
    for order in (groups, groups[::-1])[: len(groups) if own else 0]:
        some: list[LengthPlan] = []
        names = {*comes}
        lying = [*own]
        for group in order:
            one, rest = filled(_pieces(group), lying, saw, mix=mix)
            lying = unused(one, lying)
            names |= {piece.name for piece in rest}
            some.append(one)
        if rest := [part for part in left if part.name in names]:
            some.append(_planned(scene, section, rest, prove))
        plan = joined(some)
        plans.append(replace(plan, cost=None if plain.cost is None else plan.cost))
    offered = [one.stock for some in _jobs(scene, section, left) for one in some.offers]
    return cheapest(
        [taken(plan, unused(plan, own), saw.kerf_mm) for plan in plans], plain.bound, own, offered
    )


@dataclass(frozen=True, slots=True)
class _Job:
    """Pieces, what they may be cut from, and whether each is such a board as it comes."""

    pieces: Sequence[CutPiece]
    offers: tuple[Offer, ...]
    comes: bool


def _planned(scene: Scene, section: Lumber, parts: Sequence[Part], prove: bool) -> LengthPlan:
    """A plan of boards that are bought."""
    jobs, saw = _jobs(scene, section, parts), _saw(scene)
    cut = [(job.pieces, job.offers) for job in jobs if not job.comes]
    kept = few_lengths(cut, saw, scene.cutting.worth / 100, mix=scene.cutting.mix)
    kept |= {one.stock for job in jobs if job.comes for one in job.offers}
    mix, plan, came = scene.cutting.mix, joined(()), 0.0
    square = {one.stock for job in jobs for one in job.offers if one.is_square}
    for job in jobs:
        pieces = job.pieces
        if not job.comes:
            plan, pieces = rests_filled(plan, pieces, saw, but=square, mix=mix)
        if not pieces:
            continue
        offered = [one for one in job.offers if one.stock in kept]
        by_itself = job.comes or len(cut) < 2
        own = plan_boards(pieces, offered, saw, mix=mix, prove=prove, bounded=by_itself)
        plan, came = joined((plan, own)), came + own.bound * job.comes
    if len(cut) < 2:
        return plan
    # What each sort takes by itself is no bound: one may be cut from what another leaves.
    offered = [one for _, own in cut for one in own if one.stock in kept]
    studs = {part.name for part in parts if is_stud(part)}
    every = [piece for some, _ in cut for piece in some]
    least = came + least_spent(
        [piece for piece in every if piece.name in studs],
        [piece for piece in every if piece.name not in studs],
        whole_lengths((one for one in offered if not one.is_square), saw),
        whole_lengths((one for one in offered if one.is_square), saw),
        saw,
    )
    return replace(plan, bound=min(least, plan.bought_mm if plan.cost is None else plan.cost))


def _jobs(scene: Scene, section: Lumber, parts: Sequence[Part]) -> list[_Job]:
    whole = as_they_come(scene, section, parts)
    groups = [*apart(section, [part for part in parts if part.name not in whole])]
    offered = [offers(scene, section, some) for some in groups]
    if whole:
        groups.append([part for part in parts if part.name in whole])
        offered.append(tuple(dict.fromkeys(whole.values())))
    return [
        _Job(_pieces(some), own, some[0].name in whole)
        for some, own in zip(groups, priced_alike(offered), strict=True)
    ]


def _pieces(parts: Iterable[Part]) -> list[CutPiece]:
    return [CutPiece(part.name, part.length_mm, part.stage) for part in parts]


def _saw(scene: Scene) -> Saw:
    trim_mm = scene.cutting.end_trim
    return Saw(scene.cutting.kerf, trim_mm, trim_mm, MARK_MM[scene.units])


def _ripped(parts: Iterable[Part], section: Lumber) -> Iterable[tuple[str, float]]:
    for part in parts:
        _, width_mm = part.across_mm
        if width_mm < section.depth_mm - RIPPED_MM:
            yield part.name, width_mm
