"""What changes in the pieces that are not cut yet, because what stands was measured.

changes(building) -> tuple[Change, ...]     in order of building; none where nothing was off
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

from pikepole_export.derive.measures.features import Birdsmouth, features, lies
from pikepole_export.derive.measures.templates import Laid, laid_out, printed
from pikepole_model.building.kind_rows import Drawn, Family
from pikepole_model.building.part import AsMeasured, Building, Part
from pikepole_model.building.remaining import done_stages
from pikepole_model.geometry.shape import Prism

Of: TypeAlias = Literal["length", "width", "place of heel", "length of seat", "piece"]

# What a seat is cut for.
_CARRIES = {Family.WALL_FRAME, Family.BEAMS, Family.LEDGERS, Family.POSTS}


@dataclass(frozen=True, slots=True)
class Change:
    """One measure of a piece that is another now.

    Attributes:
        part: Name of the piece.
        kind: What it is.
        stage: Number of the stage that it is cut for.
        stock: What it is cut from.
        of: Which measure; a "piece" is one more, or one less.
        bearing: What the seat sits on: "back wall"; "" for all else.
        planned_mm: As the scene alone has it; None where it is one more. The place of a heel is
            that of its plumb line along the top edge, from the upper end.
        as_measured_mm: As it is to be cut; None where it is one less.
    """

    part: str
    kind: str
    stage: int
    stock: str
    of: Of
    bearing: str
    planned_mm: float | None
    as_measured_mm: float | None

    @property
    def change_mm(self) -> float | None:
        """How much more it is now, to what is printed; None where there is only one."""
        if self.planned_mm is None or self.as_measured_mm is None:
            return None
        return self.as_measured_mm - self.planned_mm


def changes(building: Building) -> tuple[Change, ...]:
    """What is to be cut otherwise than planned, to the mark on a tape; what is done is cut."""
    measured, done = building.measured, done_stages(building)
    found = _changes(building, measured) if measured else ()
    return tuple(change for change in found if change.stage not in done)


def _changes(building: Building, measured: AsMeasured) -> Iterator[Change]:
    planned = {part.name: part for part in measured.planned}
    there = {part.name: part for part in building.parts}
    for part in building.parts:
        if part.name in measured.built:
            continue
        before = planned.get(part.name)
        if before is None:
            yield _one(part, "piece", "", None, part.length_mm)
        elif before.shape != part.shape:
            yield from _differ(building, there, before, part)
    for name, part in planned.items():
        if name not in there:
            yield _one(part, "piece", "", part.length_mm, None)


def _differ(
    building: Building, there: Mapping[str, Part], before: Part, part: Part
) -> Iterator[Change]:
    units = building.scene.units
    sizes: tuple[tuple[Of, float, float], ...] = (
        ("length", before.length_mm, part.length_mm),
        ("width", before.across_mm[1], part.across_mm[1]),
    )
    for of, old, new in sizes:
        if printed(old, units) != printed(new, units):
            yield _one(part, of, "", printed(old, units), printed(new, units))
    old_mouths, new_mouths = _mouths(before), _mouths(part)
    if len(old_mouths) != len(new_mouths):
        return
    for old, (new, y) in zip((mouth for mouth, _ in old_mouths), new_mouths, strict=True):
        bearing = _bearing(building, there, part, y)
        pairs: tuple[tuple[Of, float, float], ...] = (
            ("place of heel", old.mark_mm, new.mark_mm),
            ("length of seat", old.seat_mm, new.seat_mm),
        )
        for of, was, now in pairs:
            if printed(was, units) != printed(now, units):
                yield _one(part, of, bearing, printed(was, units), printed(now, units))


def _one(part: Part, of: Of, bearing: str, old: float | None, new: float | None) -> Change:
    return Change(part.name, part.kind.value, part.stage, part.stock, of, bearing, old, new)


def _mouths(part: Part) -> list[tuple[Birdsmouth, float]]:
    """A piece's birdsmouths from its upper end, each with the Y of its corner, mm."""
    body = part.shape.body
    if (
        part.kind.row.drawn is not Drawn.TEMPLATE
        or not isinstance(body, Prism)
        or not isinstance(body.outline, tuple)
    ):
        return []
    laid = laid_out(part)
    if laid.is_ripped or lies(laid.u) != "sloping":
        return []
    found = features(laid.outline, laid.u, laid.v)
    mouths = [feature.birdsmouth for feature in found if feature.birdsmouth]
    return [(mouth, _y(laid, mouth.corner)) for mouth in mouths]


def _y(laid: Laid, point: tuple[float, float]) -> float:
    """The Y of a point of a drawing in the building, mm."""

    def along(one: tuple[float, float]) -> float:
        return laid.u[1] * one[0] + laid.v[1] * one[1]

    return laid.part.bounds_mm[0][1] + along(point) - min(map(along, laid.outline))


def _bearing(building: Building, there: Mapping[str, Part], part: Part, y: float) -> str:
    """What a seat at a Y sits on, as its group is called."""
    mates = (there[name] for name in sorted(building.mates[part.name]) if name in there)
    bear = [one for one in mates if one.kind.family in _CARRIES]

    def off(one: Part) -> float:
        low, high = one.bounds_mm[0][1], one.bounds_mm[1][1]
        return max(low - y, y - high, 0.0) + abs((low + high) / 2 - y) * 1e-3

    return min(bear, key=off).group if bear else ""
