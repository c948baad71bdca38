"""One row of the lift plan: what is raised, how, and what that asks for.

ends(item, load, rest_height_mm) -> Ends      how high its ends are before it is raised, and after
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from typing import assert_never

from pikepole_export.derive.lifting.brace_places import Spreader
from pikepole_export.derive.lifting.bracing import Bracing
from pikepole_export.derive.lifting.hand_lift import Grade
from pikepole_export.derive.lifting.items import Item
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.machines import Machine
from pikepole_export.derive.lifting.mends import Mend, mend_text
from pikepole_export.derive.lifting.methods import Method, Split
from pikepole_export.derive.lifting.rests import BEARERS_MM
from pikepole_export.derive.lifting.wind import WindLimit
from pikepole_model.building.part import Stage
from pikepole_model.units import Units, format_length, format_mass, headcount


class Help(IntEnum):
    """What a lift asks for beyond the crew's own hands; a stage asks for the most of its lifts."""

    ALONE = 0
    HELPER = 1
    GEAR = 2
    PLATFORM = 3
    HIRE = 4

    @property
    def label(self) -> str:
        """In a table: "alone", "helper", "gear", "bring a platform", "bring a machine"."""
        return ("alone", "helper", "gear", "bring a platform", "bring a machine")[self]


@dataclass(frozen=True)
class Lift:
    """One act of raising, and how it is to be done.

    Attributes:
        number: In the order that is proposed, from 1.
        stage_name: Of the stage that it is part of.
        item: What is raised.
        methods: Every method by hand that was looked at.
        chosen: The one the plan takes; the one that came nearest where it takes a machine.
        help: What it asks for.
        grade: How the chosen method stands to the guidelines; where a machine lifts, why.
        mends: Where that is above them: what brings it within.
        people: How many of the crew and its helpers lift, or guide what a machine lifts.
        crew: How many are there without helpers.
        machine: What lifts it instead of hands, at hand or to be brought; None by hand.
        unfit: Why gear at hand does not lift it; empty where hands do.
        platform_mm: Height of a platform that has to be brought for it; None otherwise.
        step_mm: Of a lower one that has to come with that, on the way up; None where none has.
        wind: When to put it down in wind.
        bracing: What holds it once it stands; None where it is no wall and no post. A post has one
            brace each way that it can fall.
        braced_until: The stage after which that comes off; None where there is none.
        others: A wall raised in other ways, each for fewer people than those before; where it goes
            up piece by piece, what would raise its frame.
    """

    number: int
    stage_name: str
    item: Item
    methods: tuple[Method, ...]
    chosen: Method
    help: Help
    grade: Grade
    mends: tuple[Mend, ...]
    people: int
    crew: int
    machine: Machine | None
    unfit: tuple[str, ...]
    platform_mm: float | None
    step_mm: float | None
    wind: WindLimit
    bracing: Bracing | None
    braced_until: Stage | None = None
    others: tuple[Lift, ...] = ()

    @property
    def in_pieces(self) -> bool:
        """Whether what is framed goes up piece by piece."""
        return self.machine is None and self.chosen.split is Split.PIECES

    @property
    def spreaders(self) -> tuple[Spreader, ...]:
        """Boards across the doorways of a wall that is tilted up."""
        return self.bracing.spreaders if self.bracing and not self.in_pieces else ()

    @property
    def in_halves(self) -> bool:
        """Whether it goes up in two half lengths, each braced by itself."""
        return self.machine is None and self.chosen.split is Split.HALVES

    @property
    def methods_considered(self) -> tuple[Method, ...]:
        """Every method by hand, with the one from a higher platform than is at hand last.

        The chosen one is among them; where a machine lifts, it is the one that came nearest.
        """
        return self.methods if self.chosen in self.methods else (*self.methods, self.chosen)

    @property
    def rest_height_mm(self) -> float:
        """Height over the floor on which it waits; a machine takes it off its bearers."""
        return BEARERS_MM if self.machine else self.chosen.rest_height_mm

    @property
    def loads(self) -> int:
        """How many go up one after the other, for each of the equal ones."""
        return 1 if self.machine else self.chosen.loads

    @property
    def helpers(self) -> int:
        """How many of those who lift are called for it."""
        return max(0, self.people - self.crew)

    @property
    def people_short(self) -> int:
        """How many a machine takes beyond those who are there: hired with it."""
        return max(0, self.machine.people - self.people) if self.machine else 0

    @property
    def is_above(self) -> bool:
        """Whether people lift it although a guideline is passed."""
        return self.machine is None and self.grade is not Grade.WITHIN

    def verdict(self, units: Units) -> str:
        """One line: within the guideline for so many, above it by so much, or not by hand."""
        who = headcount(self.people)
        match self.grade:
            case Grade.WITHIN:
                higher = ""
                if self.platform_mm is not None:
                    high = format_length(self.platform_mm, units)
                    higher = f" on a platform {high} high"
                load, limit = self._load_and_limit(units)
                return f"within the guideline for {who}{higher}: {load}, guideline {limit}"
            case Grade.ABOVE:
                instead = self._by_machine() or self.mended(units)
                return f"{self.passed(units)}; {instead}"
            case Grade.NOT_BY_HAND:
                return f"not by hand: {self.passed(units)}; {self._by_machine()}"
            case _:
                assert_never(self.grade)

    def headline(self, units: Units) -> str:
        """The verdict for a place where it is said below who does what at the machine."""
        if self.machine is None or self.grade is Grade.WITHIN:
            return self.verdict(units)
        beyond = "not by hand; " if self.grade is Grade.NOT_BY_HAND else ""
        return f"{beyond}use {self.machine.phrase}; {self.passed(units)}"

    def _by_machine(self) -> str:
        if self.machine is None:
            return ""
        driver = ", its driver with it" if self.machine.has_driver else ""
        who = self.machine.worked_by(self.people)
        return f"use {self.machine.phrase}{driver}; {who}"

    def passed(self, units: Units) -> str:
        """How far the chosen method passes its guideline: "19.8 kg, guideline 19.5 kg"."""
        hardest = self.chosen.hardest
        who = headcount(hardest.people)
        if hardest.used <= 1:
            why = "one holds it, one braces it" if self.item.handling.stands_up else "it sags"
            return f"above the guideline for {who}: it takes two, {why}"
        if hardest.guideline_kg <= 0:
            return (
                f"above the guideline for {who}: the hands are higher than {hardest.source} rates"
            )
        load, limit = self._load_and_limit(units)
        return f"above the guideline for {who}: {load}, guideline {limit}"

    def _load_and_limit(self, units: Units) -> tuple[str, str]:
        """What its hardest step takes, and what the guideline gives those who do it."""
        hardest = self.chosen.hardest
        limit = format_mass(hardest.guideline_kg, units, "down")
        return format_mass(hardest.task.mass_kg, units), limit

    def mended(self, units: Units) -> str:
        """What brings it within: "within it with 3 people, or 0.3 kg lighter"."""
        return f"within it {', or '.join(mend_text(mend, units) for mend in self.mends)}"


@dataclass(frozen=True, slots=True)
class Ends:
    """Heights of a load's two ends above the ground, mm.

    Of what lies, they are those of its underside; of what stands up, its foot and its head.

    Attributes:
        start_mm: Where it waits: on trestles or bearers, a framed wall on the floor.
        end_mm: In its place.
    """

    start_mm: tuple[float, float]
    end_mm: tuple[float, float]


def ends(item: Item, load: Load, rest_height_mm: float) -> Ends:
    """The ends of an item, or of one of the loads that it is taken apart into.

    Args:
        item: What it is.
        load: All of it, or one of its loads.
        rest_height_mm: Height over the floor on which it waits.
    """
    is_frame = item.is_frame(load)
    waits_mm = item.floor_mm + (0.0 if is_frame else rest_height_mm)
    if is_frame or load.is_upright:
        return Ends((waits_mm, waits_mm), (load.low_mm, load.top_mm))
    _, width, thickness = load.size_mm
    # The lowest corner of an end face under its middle.
    half = (abs(load.box.v[2]) * width + abs(load.box.n[2]) * thickness) / 2
    first, last = (end[2] - half for end in load.ends_mm)
    return Ends((waits_mm, waits_mm), (first, last))
