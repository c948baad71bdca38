"""Loads by what brings them, and how they act together.

COMBINATIONS            for allowable stress design
Combination.of(loads)   what of several loads acts in one
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cached_property, lru_cache
from typing import TypeAlias

from pikepole_export.derive.strength.nds import Duration


class Load(Enum):
    """What brings a load; the sign that people write for it."""

    DEAD = "D"
    LIVE = "L"
    ROOF_LIVE = "Lr"
    SNOW = "S"
    UNEVEN_SNOW = "Su"  # blown over a ridge one way, or drifted
    UNEVEN_BACK = "Sv"  # blown the other way
    WIND = "W"  # onto the roof or the wall
    UPLIFT = "Wu"  # off it
    LIFT = "Wm"  # off the roof as a whole: in no combination with members of their own


MEANS = {
    Load.DEAD: "dead load",
    Load.LIVE: "live load of floors",
    Load.ROOF_LIVE: "live load of roofs",
    Load.SNOW: "snow, even",
    Load.UNEVEN_SNOW: "snow blown over a ridge or drifted",
    Load.UNEVEN_BACK: "the same the other way",
    Load.WIND: "wind onto the roof or the wall",
    Load.UPLIFT: "wind off it, on each member by itself",
    Load.LIFT: "wind off the roof as a whole",
}

# What each allows for, by how long it stays. Source: NDS Table 2.3.2.
DURATIONS = {
    Load.DEAD: Duration.PERMANENT,
    Load.LIVE: Duration.OCCUPANCY,
    Load.ROOF_LIVE: Duration.ROOF_LIVE,
    Load.SNOW: Duration.SNOW,
    Load.UNEVEN_SNOW: Duration.SNOW,
    Load.UNEVEN_BACK: Duration.SNOW,
    Load.WIND: Duration.WIND,
    Load.UPLIFT: Duration.WIND,
    Load.LIFT: Duration.WIND,
}

SNOWS = (Load.SNOW, Load.UNEVEN_SNOW, Load.UNEVEN_BACK)

Shares: TypeAlias = tuple[tuple[Load, float], ...]


@dataclass(frozen=True)
class Combination:
    """Loads that act together, each with its factor.

    Attributes:
        shares: What acts, dead load first.
        clause: Where it comes from.
    """

    shares: Shares
    clause: str

    @property
    def name(self) -> str:
        """As it is written: "D + 0.75L + 0.75S"."""
        return " + ".join(
            f"{'' if factor == 1 else f'{factor:g}'}{load.value}" for load, factor in self.shares
        )

    @cached_property
    def duration(self) -> Duration:
        """That of its shortest load. Source: NDS 2.3.2.1."""
        return max((DURATIONS[load] for load, _ in self.shares), key=lambda one: one.value)

    def of(self, values: Mapping[Load, float]) -> float:
        """The sum of values, each with its factor; what is not given is none."""
        return sum(factor * values.get(load, 0.0) for load, factor in self.shares)


def _combinations() -> tuple[Combination, ...]:
    clause = "ASCE 7-16 2.4.1 ({})"
    roofs = (Load.ROOF_LIVE, *SNOWS)
    found = [
        Combination(((Load.DEAD, 1.0),), clause.format(1)),
        Combination(((Load.DEAD, 1.0), (Load.LIVE, 1.0)), clause.format(2)),
        *(Combination(((Load.DEAD, 1.0), (roof, 1.0)), clause.format(3)) for roof in roofs),
        *(
            Combination(((Load.DEAD, 1.0), (Load.LIVE, 0.75), (roof, 0.75)), clause.format(4))
            for roof in roofs
        ),
    ]
    for wind in (Load.WIND, Load.UPLIFT):
        found += [
            Combination(((Load.DEAD, 1.0), (wind, 0.6)), clause.format(5)),
            *(
                Combination(
                    ((Load.DEAD, 1.0), (Load.LIVE, 0.75), (wind, 0.45), (roof, 0.75)),
                    clause.format(6),
                )
                for roof in roofs
            ),
        ]
    found.append(Combination(((Load.DEAD, 0.6), (Load.UPLIFT, 0.6)), clause.format(7)))
    return tuple(found)


COMBINATIONS = _combinations()
UPLIFT = COMBINATIONS[-1]
# The same for the building as a whole.
LIFTED = Combination(((Load.DEAD, 0.6), (Load.LIFT, 0.6)), UPLIFT.clause)

# Wind along what weight does not hold.
WIND_ALONE = Combination(((Load.WIND, 0.6),), UPLIFT.clause)


@lru_cache
def acting(loads: frozenset[Load]) -> tuple[Combination, ...]:
    """The combinations that are to be looked at where only these loads are.

    Each without the loads that are not there, once; one with a load that lasts shorter than those
    that are left would allow too much.
    """
    found: dict[Shares, Combination] = {}
    for one in COMBINATIONS:
        shares = tuple((load, factor) for load, factor in one.shares if load in loads)
        if shares:
            found.setdefault(shares, Combination(shares, one.clause))
    return tuple(found.values())
