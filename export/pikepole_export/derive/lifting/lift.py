"""One row of the lift plan: what is raised, how, and what that asks for."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from pikepole_export.derive.lifting.bracing import Bracing
from pikepole_export.derive.lifting.machines import Machine
from pikepole_export.derive.lifting.things import Thing
from pikepole_export.derive.lifting.ways import BEARERS_MM, Way
from pikepole_export.derive.lifting.wind import SheetWind


class Help(IntEnum):
    """What a lift asks for beyond the crew's own hands; a stage asks for the most of its lifts."""

    ALONE = 0
    HELPER = 1
    GEAR = 2
    PLATFORM = 3
    HIRE = 4

    @property
    def called(self) -> str:
        """In a table: "alone", "helper", "gear", "bring a platform", "bring a machine"."""
        return ("alone", "helper", "gear", "bring a platform", "bring a machine")[self]


@dataclass(frozen=True)
class Lift:
    """One act of raising, and how it is to be done.

    Attributes:
        number: In order of building, from 1.
        stage_name: Of the stage that it is part of.
        thing: What is raised.
        ways: Every way by hand that was looked at.
        chosen: The one the plan takes; the one that came nearest where it takes a machine.
        help: What it asks for.
        people: How many of the crew and its helpers lift, or guide what a machine lifts.
        machine: What lifts it instead of hands, at hand or to be brought; None by hand.
        unfit: Why gear at hand does not lift it; empty where hands do.
        platform_mm: Height of a platform that has to be brought for it; None otherwise.
        step_mm: Of a lower one that has to come with that, on the way up; None where none has.
        wind: When to put it down in wind; None where it is no sheet and no wall.
        bracing: What holds it once it stands; None where it is no wall and no post. A post has one
            brace each way that it can fall.
    """

    number: int
    stage_name: str
    thing: Thing
    ways: tuple[Way, ...]
    chosen: Way
    help: Help
    people: int
    machine: Machine | None
    unfit: tuple[str, ...]
    platform_mm: float | None
    step_mm: float | None
    wind: SheetWind | None
    bracing: Bracing | None

    @property
    def lies_mm(self) -> float:
        """Height over the floor on which it waits; a machine takes it off its bearers."""
        return BEARERS_MM if self.machine else self.chosen.lies_mm

    @property
    def loads(self) -> int:
        """How many go up one after the other, for each of the equal ones."""
        return 1 if self.machine else self.chosen.loads

    @property
    def verdict(self) -> str:
        """One line: within the guideline for so many, or beyond hand lifting and what then."""
        who = "one person" if self.people == 1 else f"{self.people} people"
        if self.machine is not None:
            driver = ", its driver with it" if self.machine.has_driver else ""
            return f"beyond hand lifting: use {self.machine.called}{driver}; {who} to guide it"
        if self.platform_mm is not None:
            return f"within the guideline for {who}, from a higher platform than is at hand"
        return f"within the guideline for {who}"
