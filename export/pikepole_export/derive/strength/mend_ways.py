"""Which keys of a scene make a member that is over its rule stronger, step by step.

ways_for(building, check) -> ways       each a row of changes to one key, the smallest first
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pikepole_export.derive.strength.check import Check, Rule
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import KeyPath
from pikepole_model.scene.foundation import Piers, Skids
from pikepole_model.scene.posts import Bay, OnPosts
from pikepole_model.scene.schema import BuiltUp, RidgeBeam, Scene
from pikepole_model.units import INCH_MM, Units

# Distances that framing is set out by, the wide ones first.
_APART: dict[Units, tuple[float, ...]] = {
    "imperial": tuple(inches * INCH_MM for inches in (24, 16, 12, 8)),
    "metric": (600.0, 400.0, 300.0, 200.0),
}
_STEP_MM: dict[Units, float] = {"imperial": 2 * INCH_MM, "metric": 50.0}
_STEPS, _MORE = 8, 3  # sizes, and pieces, that are tried


@dataclass(frozen=True, slots=True)
class Change:
    """A value at a key, as TOML has it."""

    path: KeyPath
    value: str


def ways_for(building: Building, check: Check) -> list[list[Change]]:
    """What may be tried for a member; none for what nothing in a scene makes stronger."""
    part = _piece(building, check.member)
    if part is None:
        return []
    return [way for way in _Ways(building.scene, part, check.rule).all() if way]


def _piece(building: Building, member: str) -> Part | None:
    """The piece that a check is named after: by its name, or of what has it for its own."""
    parts = building.finished.parts
    named = (part for part in parts if member in (part.name, part.label, part.group))
    return next(named, None)


@dataclass(frozen=True)
class _Ways:
    scene: Scene
    part: Part
    rule: Rule

    def all(self) -> Iterator[list[Change]]:
        scene, part = self.scene, self.part
        match part.kind:
            case Kind.BEAM:
                yield from self.beam()
            case Kind.POST_STUD:
                # As many studs as the beam over them is thick.
                for table, beam in self.beams:
                    yield self.count((*table, "plies"), beam.plies, 4)
            case Kind.RAFTER:
                yield self.deeper(("roof", "rafter"), scene.roof.rafter)
                yield self.closer(("roof", "spacing"), scene.roof.spacing)
            case Kind.END_RAFTER:
                yield self.deeper(("roof", "end_rafter"), part.stock)
            case Kind.FLY_RAFTER:
                yield self.deeper(("roof", "fly_rafter"), part.stock)
            case Kind.LOOKOUT:
                yield self.closer(("roof", "lookout_spacing"), scene.roof.lookout_spacing)
            case Kind.JOIST if scene.floor:
                yield self.deeper(("floor", "joist"), scene.floor.joist)
                yield self.closer(("floor", "spacing"), scene.floor.spacing)
            case Kind.LOFT_JOIST if scene.loft:
                yield self.deeper(("loft", "joist"), scene.loft.joist)
                yield self.closer(("loft", "spacing"), _loft_spacing(scene))
            case Kind.STUD | Kind.CORNER_STUD:
                yield self.closer(("walls", "spacing"), scene.walls.spacing)
                yield self.deeper(("walls", "stud"), scene.walls.stud)
            case Kind.HEADER | Kind.KING | Kind.JACK:
                yield from self.opening()
            case Kind.POST:
                yield from self.post()
            case Kind.PIER | Kind.SKID | Kind.GIRDER:
                yield from self.foundation()
            case _:
                return

    @property
    def beams(self) -> list[tuple[KeyPath, BuiltUp]]:
        """Every beam that the scene speaks of, by its table."""
        roof = self.scene.roof
        ridge = roof.ridge if isinstance(roof.ridge, RidgeBeam) else None
        found: list[tuple[KeyPath, BuiltUp | None]] = [
            (("beam",), self.scene.beam),
            (("roof", "ridge"), ridge),
            (("roof", "knee"), roof.knee),
            (("roof", "clerestory"), roof.clerestory),
        ]
        return [(table, beam) for table, beam in found if beam]

    def beam(self) -> Iterator[list[Change]]:
        """Of those with such plies; which of them it is comes out when they are tried."""
        for table, beam in self.beams:
            if beam.ply == self.part.stock:
                yield self.count((*table, "plies"), beam.plies, 4)
                yield self.deeper((*table, "ply"), beam.ply)
        for number, bay in enumerate(self.scene.bay):
            yield self.count(("bay", number, "posts"), bay.posts or 1, 40)

    def opening(self) -> Iterator[list[Change]]:
        for number, one in enumerate(self.scene.opening):
            names = (one.name, *(each.name for each in one.row()))
            if not any(self.part.name.startswith(f"{name} ") for name in names):
                continue
            path = ("opening", number)
            if self.part.kind is Kind.KING or self.rule is Rule.KINGS:
                yield self.count((*path, "kings"), one.kings, 4)
            elif self.part.kind is Kind.HEADER:
                yield self.deeper((*path, "header"), self.part.stock)
            if self.rule in (Rule.BEARING, Rule.COMPRESSION, Rule.BEARING_LENGTH):
                yield self.count((*path, "jacks"), one.jacks or 1, 4)

    def post(self) -> Iterator[list[Change]]:
        """Of all that stand on such posts."""
        places: list[tuple[KeyPath, OnPosts]] = [
            (("bay", number), bay) for number, bay in enumerate(self.scene.bay)
        ]
        if self.scene.posts:
            places.append((("posts",), self.scene.posts))
        for table, says in places:
            if says.post != self.part.stock:
                continue
            if self.rule in (Rule.SOIL, Rule.UPLIFT):
                yield self.wider((*table, "footing", "diameter"), says.footing.diameter)
            if self.rule in (Rule.DEPTH, Rule.UPLIFT):
                yield self.wider((*table, "footing", "depth"), says.footing.depth)
            if self.rule not in (Rule.SOIL, Rule.UPLIFT, Rule.DEPTH):
                yield self.thicker((*table, "post"), says.post)
            if isinstance(says, Bay):
                yield self.count((*table, "posts"), says.posts or 1, 40)

    def foundation(self) -> Iterator[list[Change]]:
        match self.scene.foundation:
            case Skids() as skids:
                yield self.thicker(("foundation", "skid"), skids.skid)
                yield self.count(("foundation", "count"), skids.count, 6)
            case Piers() as piers:
                yield self.wider(("foundation", "block_bottom"), piers.block_bottom)
                yield self.closer(("foundation", "spacing"), piers.spacing)
                if self.part.kind is Kind.GIRDER:
                    yield self.deeper(("foundation", "girder"), piers.girder)
            case _:
                return

    def deeper(self, path: KeyPath, now: str) -> list[Change]:
        """Sections as thick as it is, deeper ones."""
        own = self.scene.lumber_stock(now)
        return self._sections(path, now, (own.breadth_mm, own.breadth_mm), own.depth_mm)

    def thicker(self, path: KeyPath, now: str) -> list[Change]:
        """Sections that are no smaller either way."""
        own = self.scene.lumber_stock(now)
        return self._sections(path, now, (own.breadth_mm, math.inf), own.depth_mm - 1)

    def _sections(
        self, path: KeyPath, now: str, breadths: tuple[float, float], depth: float
    ) -> list[Change]:
        sort = now.rpartition(" ")[0]
        found = [
            (row.breadth_mm * row.depth_mm, name)
            for name, row in self.scene.catalogue.lumber.items()
            if name.rpartition(" ")[0] == sort
            and breadths[0] - 0.1 <= row.breadth_mm <= breadths[1] + 0.1
            and row.depth_mm > depth + 0.1
            and name != now
        ]
        return [Change(path, f'"{name}"') for _, name in sorted(found)[:_STEPS]]

    def count(self, path: KeyPath, now: int, most: int) -> list[Change]:
        """More of it."""
        return [Change(path, str(n)) for n in range(now + 1, min(most, now + _MORE) + 1)]

    def closer(self, path: KeyPath, now_mm: float) -> list[Change]:
        """Nearer to one another."""
        units = self.scene.units
        return [Change(path, _length(mm, units)) for mm in _APART[units] if mm < now_mm - 1]

    def wider(self, path: KeyPath, now_mm: float) -> list[Change]:
        """Larger, step by step."""
        units = self.scene.units
        step = _STEP_MM[units]
        return [
            Change(path, _length((math.floor(now_mm / step + 1e-6) + k) * step, units))
            for k in range(1, _STEPS + 1)
        ]


def _loft_spacing(scene: Scene) -> float:
    """Of the loft's joists, mm: those on plates stand beside the rafters."""
    return (scene.loft.spacing if scene.loft else None) or scene.roof.spacing


def _length(mm: float, units: Units) -> str:
    return f'"{mm / INCH_MM:g} in"' if units == "imperial" else f'"{mm:g} mm"'
