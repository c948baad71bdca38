"""What kinds of machine there are, and who works with one.

team_of(item, kind, count) -> Team
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from pikepole_export.derive.lifting.grips import END_FIRST_MM
from pikepole_export.derive.lifting.items import Item


class MachineKind(StrEnum):
    """What lifts instead of hands."""

    CHAIN_HOIST = "chain hoist"
    WALL_JACK = "wall jack"
    TELEHANDLER = "telehandler"
    MATERIAL_LIFT = "material lift"
    TWO_WHEEL_TRUCK = "two-wheel truck"
    JACK = "jack"
    HIRED = "lifting machine"  # to be found yet: whatever can

    @property
    def has_forks(self) -> bool:
        """Whether it carries on forks what a sling would harm."""
        match self:
            case MachineKind.TELEHANDLER | MachineKind.HIRED:
                return True
            case (
                MachineKind.CHAIN_HOIST
                | MachineKind.WALL_JACK
                | MachineKind.MATERIAL_LIFT
                | MachineKind.TWO_WHEEL_TRUCK
                | MachineKind.JACK
            ):
                return False


@dataclass(frozen=True, slots=True)
class MachineTeam:
    """Who of the crew works with a machine; the driver it is hired with is not one of them.

    Attributes:
        at_gear: At its chain, crank or handle.
        guiding: At the tag line; or giving signs to a driver, and doing nothing else.
        at_seats: Where the piece is set: at its ends, at the foot of a post; with a driver at the
            tag line too, until it is there.
    """

    at_gear: int
    guiding: int
    at_seats: int

    @property
    def people(self) -> int:
        """All of them."""
        return self.at_gear + self.guiding + self.at_seats

    def phrase(self, kind: MachineKind) -> str:
        """In a list: "1 on the chain hoist, 1 on the tag line, 2 at its ends"."""
        guiding = "signalling the driver" if kind.has_forks else "on the tag line"
        at_gear = f"on the {kind}{'s' if self.at_gear > 1 else ''}"
        if kind is MachineKind.TWO_WHEEL_TRUCK:  # of which there is one: one pushes, one pulls
            at_gear = f"at the {kind}"
        each = (
            (self.at_gear, at_gear),
            (self.guiding, guiding),
            (self.at_seats, "at its ends" if self.at_seats > 1 else "where it lands"),
        )
        return ", ".join(f"{count} {where}" for count, where in each if count)


def team_of(item: Item, kind: MachineKind, count: int) -> MachineTeam:
    """Who works with a machine: common practice, no source.

    Args:
        item: What is lifted: what is long is set at both its ends.
        kind: What lifts it.
        count: How many of them.
    """
    is_long = item.is_slim and item.whole.size_mm[0] >= END_FIRST_MM
    seats = 2 if is_long else 1
    match kind:
        case MachineKind.CHAIN_HOIST:
            return MachineTeam(1, 1, seats)
        case MachineKind.TELEHANDLER | MachineKind.HIRED:
            return MachineTeam(0, 1, seats)
        case MachineKind.WALL_JACK:
            return MachineTeam(count, 0, 0)
        case MachineKind.MATERIAL_LIFT:
            return MachineTeam(count, 0, seats)
        case MachineKind.TWO_WHEEL_TRUCK | MachineKind.JACK:
            return MachineTeam(1, 0, 0)
