"""Which boards of lumber to buy for a building, and what is cut from each.

    cut_plans(building) -> tuple[SectionPlan, ...]     in order of first use

Boards of one section and material are planned together. A piece is as long as the stock that it is
cut from, long point to long point, and comes out of one board: where a run is longer than any
board, the model has parted it over its supports already. What is narrower than its stock is cut to
length here like any other piece, and then ripped.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from pikepole_export.derive.cutting.few_lengths import few_lengths
from pikepole_export.derive.cutting.lengths import CutPiece, LengthPlan, Saw, StockLength
from pikepole_export.derive.cutting.offered import (
    apart,
    as_they_come,
    joined,
    offers,
    plan_boards,
    priced_alike,
)
from pikepole_model.building.kind_rows import Cut
from pikepole_model.building.part import Building, Part
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
    """

    section: Lumber
    material: str
    treated: bool
    ripped_mm: Mapping[str, float]
    plan: LengthPlan

    @property
    def pieces(self) -> int:
        """How many pieces are cut."""
        return sum(len(board.pieces) for board in self.plan.boards)

    @property
    def used_mm(self) -> float:
        """Length of all the pieces, mm."""
        return math.fsum(piece.length_mm for board in self.plan.boards for piece in board.pieces)

    @property
    def bought(self) -> tuple[tuple[StockLength, int], ...]:
        """How many boards of each length to buy, the shortest first."""
        counted: dict[StockLength, int] = {}
        for board in self.plan.boards:
            counted[board.stock] = counted.get(board.stock, 0) + 1
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
    scene = building.scene
    alike: dict[tuple[str, str], list[Part]] = {}
    for part in building.handled:
        if part.kind.row.cut is Cut.BOARD:
            alike.setdefault((part.stock, part.material.name), []).append(part)
    return tuple(_section_plan(scene, parts, prove) for parts in alike.values())


def _section_plan(scene: Scene, parts: Sequence[Part], prove: bool) -> SectionPlan:
    section = scene.lumber_stock(parts[0].stock)
    trim_mm = scene.cutting.end_trim
    saw = Saw(scene.cutting.kerf, trim_mm, trim_mm, MARK_MM[scene.units])
    whole = as_they_come(scene, section, parts)
    groups = [*apart(section, [part for part in parts if part not in whole])]
    offered = [offers(scene, section, some) for some in groups]
    if whole:
        groups, offered = [*groups, [*whole]], [*offered, tuple(dict.fromkeys(whole.values()))]
    jobs = [
        ([CutPiece(part.name, part.length_mm, part.stage) for part in some], own)
        for some, own in zip(groups, priced_alike(offered), strict=True)
    ]
    cut = jobs[:-1] if whole else jobs
    kept = few_lengths(cut, saw, scene.cutting.worth / 100)
    kept |= {one.stock for _, own in jobs[len(cut) :] for one in own}
    plan = joined(
        plan_boards(
            pieces,
            [one for one in own if one.stock in kept],
            saw,
            mix=scene.cutting.mix,
            prove=prove,
        )
        for pieces, own in jobs
    )
    material = parts[0].material
    return SectionPlan(
        section, material.name, material.treated, dict(_ripped(parts, section)), plan
    )


def _ripped(parts: Iterable[Part], section: Lumber) -> Iterable[tuple[str, float]]:
    for part in parts:
        _, width_mm = part.across_mm
        if width_mm < section.depth_mm - RIPPED_MM:
            yield part.name, width_mm
