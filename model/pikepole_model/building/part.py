"""The nouns of a building: parts, joints, stages. Plain frozen values, no behaviour to hide."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, TypeAlias, TypeVar

from pikepole_model.building.kinds import Kind
from pikepole_model.errors import LayoutError
from pikepole_model.geometry.placement import Placement, Points, Vector
from pikepole_model.geometry.shape import Shape
from pikepole_model.stock.materials import Material

if TYPE_CHECKING:
    from pikepole_model.scene.measured import Ends, What
    from pikepole_model.scene.schema import Scene

Measured = TypeVar("Measured")


@dataclass(frozen=True, slots=True)
class PanelRecord:
    """What a roof panel was laid to.

    Attributes:
        slope: Name of the slope it lies on: "back roof".
        slope_rad: From the level.
        ribs_mm: Middles of its whole ribs that are screwed down, from the end of the roof where the
            first panel is set; without the one that the next panel's first rib lies over.
        laps: Whether its first rib lies over the last one of the panel before it.
    """

    slope: str
    slope_rad: float
    ribs_mm: tuple[float, ...]
    laps: bool


@dataclass(frozen=True, slots=True)
class LeafRecord:
    """The door leaf that a piece is in, or that hangs from it: "store door", "gate left leaf"."""

    leaf: str


@dataclass(frozen=True, slots=True)
class RollRecord:
    """How long the piece of a roll is that it is folded from, mm."""

    length_mm: float


# What was decided where a piece was laid out and its shape does not show.
Record: TypeAlias = PanelRecord | LeafRecord | RollRecord


@dataclass(frozen=True)
class Part:
    """One physical piece.

    Attributes:
        name: Unique and readable: "front wall stud 5".
        kind: What it is.
        group: What it is raised or counted with: "front wall", "floor frame".
        stage: Number of the stage that adds it, from 1.
        stock: Catalogue name of what it is cut from: "2x4".
        material: What it weighs.
        section_mm: Dressed section (breadth, depth) of lumber, mm; None for anything else.
        shape: Its geometry, shared with every equal piece.
        placement: Where it is.
        record: What else was decided of it, where anything was.
        label: Its name without the number that tells it from others of its sort.
    """

    name: str
    kind: Kind
    group: str
    stage: int
    stock: str
    material: Material
    section_mm: tuple[float, float] | None
    shape: Shape
    placement: Placement
    record: Record | None = None
    label: str = ""

    @property
    def length_mm(self) -> float:
        """Length of stock it is cut from, mm."""
        return self.shape.length_mm

    @property
    def across_mm(self) -> tuple[float, float]:
        """Thickness and width of the box it is cut from, mm: its sides beside its length."""
        sides = list(self.shape.size_mm)
        sides.remove(self.length_mm)
        return min(sides), max(sides)

    @cached_property
    def volume_mm3(self) -> float:
        """Volume of its solid, mm3; LayoutError with its name where it cannot be made."""
        return self._measured(lambda shape: shape.volume_mm3)

    @cached_property
    def centre_mm(self) -> Vector:
        """Centre of its solid in the building's frame, mm; LayoutError likewise."""
        return self.placement.point(*self._measured(lambda shape: shape.centroid_mm))

    def _measured(self, measure: Callable[[Shape], Measured]) -> Measured:
        try:
            return measure(self.shape)
        except Exception as error:  # the kernel's own errors share no narrower class
            raise LayoutError(
                f"{self.name}, of {self.stock} in {self.group}, cannot be made "
                f"({' '.join(str(error).split()) or type(error).__name__}); change what the scene "
                "says of it"
            ) from error

    def raised(self, up_mm: float) -> Part:
        """The same, so much higher."""
        x, y, z = self.placement.origin
        return replace(self, placement=replace(self.placement, origin=(x, y, z + up_mm)))

    @cached_property
    def vertices_mm(self) -> Points:
        """(n, 3) float: its mesh's vertices in the building's frame, mm."""
        return self.placement.apply(self.shape.mesh.vertices)

    @cached_property
    def bounds_mm(self) -> tuple[Vector, Vector]:
        """Lowest and highest corner of the upright box round it, building frame, mm."""
        (a, b, c), (d, e, f) = (
            self.vertices_mm.min(axis=0).tolist(),
            self.vertices_mm.max(axis=0).tolist(),
        )
        return (a, b, c), (d, e, f)


@dataclass(frozen=True, slots=True)
class Joint:
    """Two parts that touch, and how they are held together.

    Attributes:
        a: Name of the part that was placed first.
        b: Name of the other part.
        fixing: How they are held: "nailed", "bears on", "bolted", "cast in".
        at_mm: Middle of where they touch, mm, building frame.
    """

    a: str
    b: str
    fixing: str
    at_mm: Vector


@dataclass(frozen=True, slots=True)
class Stage:
    """A step of the work.

    Attributes:
        number: From 1, in order of building.
        name: "Front wall".
        parts: The parts it adds.
        notes: What to know before starting it.
    """

    number: int
    name: str
    parts: tuple[Part, ...]
    notes: str = ""


@dataclass(frozen=True)
class AsMeasured:
    """What is known of a building that was measured while it was built.

    Attributes:
        planned: Every part as the scene alone has it.
        built: Names of the parts that are cut and stay.
        fitted: The building that stands all along as this one does in its middle, in which
            everything fits: what is built too.
        fits: For each part that is not built, by its name, the one in its place there.
        off_mm: How much more than planned each thing is that was measured.
        most_mm: How far what is built is off at most, where all that adds up.
    """

    planned: tuple[Part, ...]
    built: frozenset[str]
    fitted: Building
    fits: Mapping[str, Part] = field(hash=False)
    off_mm: Mapping[What, Ends] = field(hash=False)
    most_mm: float

    def misfit_mm(self, part: Part) -> float:
        """How far a part that is not built is off the one that fits, mm."""
        fits = self.fits.get(part.name, part)
        if fits.shape == part.shape and fits.placement == part.placement:
            return 0.0
        pairs = zip(part.bounds_mm, fits.bounds_mm, strict=True)
        return max(abs(a - b) for pair in pairs for a, b in zip(*pair, strict=True))


@dataclass(frozen=True)
class Building:
    """All there is to know about a building. Every number and picture is read from here.

    Attributes:
        scene: What it was laid out from.
        parts: What it is made of, in order of building.
        joints: Where these touch.
        stages: The steps of the work, each with its parts where they are put up.
        temporary: What is bought and lifted to move it, and is no part of it; each with the stage
            after which it is used.
        before: It where it stands until it is moved, on what it is built on, with the stages that
            are worked on there; None where it is built where it stays. What is left there is among
            all the parts; what comes along is among them as it stands in the end.
        taken: Names of what was there already and is taken away, with the number of the last stage
            in which it is there.
        measured: What is known of what stands, where it was measured and is not as planned.
    """

    scene: Scene
    parts: tuple[Part, ...]
    joints: tuple[Joint, ...]
    stages: tuple[Stage, ...]
    temporary: tuple[Part, ...] = ()
    before: Building | None = None
    taken: tuple[tuple[str, int], ...] = ()
    measured: AsMeasured | None = None

    @cached_property
    def until(self) -> dict[str, int]:
        """The last stage in which each is there that is taken away, by its name."""
        return dict(self.taken)

    @property
    def built(self) -> Building:
        """It as it stands where it is built, until it is moved or in the end."""
        return self.before or self

    @cached_property
    def finished(self) -> Building:
        """It as it stands in the end, without what is left behind or taken away."""
        if not self.left:
            return self
        parts = tuple(part for part in self.parts if part.name not in self.left)
        of_stage = {
            stage: tuple(part for part in parts if part.stage == stage.number)
            for stage in self.stages
        }
        return replace(
            self,
            parts=parts,
            joints=tuple(one for one in self.joints if self.left.isdisjoint((one.a, one.b))),
            stages=tuple(replace(stage, parts=own) for stage, own in of_stage.items() if own),
            before=None,
            taken=(),
        )

    @property
    def fitted(self) -> Building:
        """It with every part as it would be cut to fit what stands, those that are built too."""
        return self.measured.fitted if self.measured else self

    @cached_property
    def left(self) -> frozenset[str]:
        """Names of what is left where it was built, or taken away."""
        there = self.before.parts if self.before else ()
        return frozenset(part.name for part in there if part.kind.row.stays) | set(self.until)

    def at(self, stage: int) -> Building:
        """It as it stands where a stage is worked on, by the stage's number."""
        if self.before and any(one.number == stage for one in self.before.stages):
            return self.before
        return self.finished

    def stands(self, stage: int) -> tuple[Part, ...]:
        """What stands where a stage is worked on, before that, by the stage's number."""
        here, before = self.at(stage), self.before
        parts = tuple(part for part in self.left_by(stage, here.parts) if part.stage < stage)
        if before is None or here is before or stage > before.stages[-1].number:
            return parts
        brought = {part.name for part in before.parts}
        return tuple(part for part in parts if part.name not in brought)

    def left_by(self, stage: int, parts: tuple[Part, ...]) -> tuple[Part, ...]:
        """Parts less what is taken away before a stage."""
        return tuple(part for part in parts if self.until.get(part.name, stage) >= stage)

    @cached_property
    def elsewhere(self) -> dict[int, tuple[Part, ...]]:
        """What stands when a stage begins, by its number.

        Only where the work goes on in another place, or without something that was there before.
        """
        pairs = itertools.pairwise(stage.number for stage in self.stages)
        return {
            after: self.stands(after)
            for first, after in pairs
            if self.at(first) is not self.at(after)
            or any(first <= last < after for last in self.until.values())
        }

    @property
    def handled(self) -> tuple[Part, ...]:
        """All that is bought and lifted."""
        return (*self.parts, *self.temporary)

    def handled_in(self, stage: Stage) -> tuple[Part, ...]:
        """What of it belongs to a stage."""
        return (*stage.parts, *(part for part in self.temporary if part.stage == stage.number))

    @cached_property
    def mates(self) -> dict[str, set[str]]:
        """For each part's name the names of all that it is joined to: none, if it is temporary."""
        mates: dict[str, set[str]] = {part.name: set() for part in self.handled}
        for joint in self.joints:
            mates[joint.a].add(joint.b)
            mates[joint.b].add(joint.a)
        return mates

    @cached_property
    def shapes(self) -> dict[Shape, str]:
        """Each distinct shape with its id ("S001"), in order of first use."""
        distinct = dict.fromkeys(part.shape for part in (*self.finished.parts, *self.parts))
        return {shape: f"S{number:03}" for number, shape in enumerate(distinct, start=1)}
