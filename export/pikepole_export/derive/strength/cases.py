"""A beam under every combination of its loads at once: what each load does alone, added up.

Beam                    a member with its wood, supports and loads
Beam.cases -> cases     peaks, reactions and deflection under loads that act together
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pikepole_export.derive.strength import nds
from pikepole_export.derive.strength.beam import (
    Analysis,
    Force,
    Sag,
    analyse_each,
    sags_of,
    within,
)
from pikepole_export.derive.strength.combinations import SNOWS, Combination, Load, acting
from pikepole_export.derive.strength.forces import Diagram, Extremes, Numbers, peaks_of
from pikepole_export.derive.strength.nds import Lumber
from pikepole_export.derive.strength.section import Section

VARIABLE = (Load.LIVE, Load.ROOF_LIVE, *SNOWS)


@dataclass(frozen=True, slots=True)
class Support:
    """What bears a beam in one place.

    Attributes:
        at_mm: Its middle, from the beam's first end.
        length_mm: How much of the beam's length lies on it.
        name: Of the part that bears it.
        from_end_mm: From the bearing to the beam's nearer end; 0 at the end.
        notch_mm: How deep the beam is cut away over it, square to it.
    """

    at_mm: float
    length_mm: float
    name: str
    from_end_mm: float = 0.0
    notch_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Splice:
    """Where plies of a built-up beam are jointed, and how many go on there."""

    at_mm: float
    plies_left: int


@dataclass(frozen=True, slots=True)
class Sags:
    """How far it may go down, as so many parts of its span, by R301.7 of the IRC or a table.

    Attributes:
        live: Under live load, roof live load or snow; of twice its length where it hangs out.
        total: Under all; None where nothing is asked.
        clause: Where that stands.
    """

    live: float
    total: float | None
    clause: str


FLOOR = Sags(360, 240, "IBC Table 1604.3, floor members; IRC Table R301.7")
RAFTERS = Sags(180, 120, "IBC Table 1604.3, roof members without a ceiling; IRC Table R301.7")


@dataclass(frozen=True)
class Beam:
    """A beam as it is reckoned.

    Attributes:
        name: The worst of its like.
        lumber: Its wood and section.
        length_mm: From end to end, along it.
        supports: Rising; two at least.
        loads: What lies on it square to it, N, by what brings it.
        sags: How far it may go down.
        unbraced_mm: How far apart its upper edge is held.
        unbraced_below_mm: And its lower edge, where that is pressed.
        hinges_mm: Where all its plies are jointed.
        splices: Where some are.
    """

    name: str
    lumber: Lumber
    length_mm: float
    supports: tuple[Support, ...]
    loads: Mapping[Load, Sequence[Force]]
    sags: Sags
    unbraced_mm: float = 0.0
    unbraced_below_mm: float = 0.0
    hinges_mm: tuple[float, ...] = ()
    splices: tuple[Splice, ...] = ()

    @property
    def section(self) -> Section:
        """As it is bent."""
        return self.lumber.section

    @cached_property
    def alone(self) -> dict[Load, Analysis]:
        """It under each load by itself."""
        there = {
            load: forces
            for load, forces in self.loads.items()
            if any(one.force_n for one in forces)
        }
        return dict(zip(there, self._analysed(there.values()), strict=True))

    def _analysed(self, sets: Iterable[Sequence[Force]]) -> list[Analysis]:
        stiffness = nds.modulus(self.lumber).value_n_mm2 * self.section.inertia_mm4
        return analyse_each(
            list(sets),
            length_mm=self.length_mm,
            supports_mm=[one.at_mm for one in self.supports],
            stiffness_n_mm2=stiffness,
            hinges_mm=self.hinges_mm,
        )

    @cached_property
    def live_ways(self) -> tuple[Analysis, ...]:
        """It under live load on all spans, and where there are several on every other one.

        What hangs out less than its depth is no span. Source: ASCE 7-16 4.3.3, partial loading.
        """
        if Load.LIVE not in self.alone:
            return ()
        everywhere = self.alone[Load.LIVE]
        bounds = [0.0, *everywhere.supports_mm, self.length_mm]
        spans = [
            (low, high) for low, high in pairwise(bounds) if high - low > self.section.depth_mm
        ]
        if len(spans) < 2:
            return (everywhere,)
        parts = [within(everywhere.loads, *span, end_mm=self.length_mm) for span in spans]
        halves = ([one for part in parts[first::2] for one in part] for first in (0, 1))
        return (everywhere, *self._analysed(half for half in halves if half))

    @cached_property
    def spots_mm(self) -> Numbers:
        """Where anything begins, ends or stands, supports' depths and splices, rising."""
        depth = self.section.depth_mm
        held = np.array([one.at_mm for one in self.supports])
        every = [one.forces.places_mm for one in (*self.alone.values(), *self.live_ways)]
        also = [held - depth, held + depth, [one.at_mm for one in self.splices]]
        spots = np.unique(np.concatenate([*every, *also]))
        return spots[(spots >= 0) & (spots <= self.length_mm)]

    @cached_property
    def clear(self) -> NDArray[np.intp]:
        """Which of them are no nearer to a support than its depth."""
        held = np.array([one.at_mm for one in self.supports])
        away = np.abs(self.spots_mm[:, None] - held).min(axis=1)
        return np.flatnonzero(away >= self.section.depth_mm - 1e-6)

    @cached_property
    def cases(self) -> tuple[list[Case], list[Case]]:
        """It under loads that act together, in every way that live load may lie.

        Under all combinations, and under each load that varies alone.
        """
        variable = (Combination(((load, 1.0),), "") for load in VARIABLE if load in self.alone)
        together = [(one, parts) for one in self.combinations for parts in self._ways_of(one)]
        alone = [(one, parts) for one in variable for parts in self._ways_of(one)]
        found = cases_of([*together, *alone], self.spots_mm)
        return found[: len(together)], found[len(together) :]

    def _ways_of(self, combination: Combination) -> Iterator[list[tuple[float, Analysis]]]:
        fixed = [(f, self.alone[load]) for load, f in combination.shares if load is not Load.LIVE]
        live = [f for load, f in combination.shares if load is Load.LIVE]
        if not live:
            yield fixed
        for way in self.live_ways if live else ():
            yield [*fixed, (live[0], way)]

    @property
    def combinations(self) -> tuple[Combination, ...]:
        """All that are to be looked at."""
        return acting(frozenset(self.alone))


@dataclass(frozen=True, slots=True)
class Case:
    """A beam under loads that act together.

    Attributes:
        combination: They.
        peaks: The greatest moments and shear.
        reactions_n: Of each support, N, up above zero.
        sags: Each span and overhang, from the left.
        shears_n: Of each place that was asked for, the greater shear either side of it, N.
        moments_n_mm: And the moment there.
    """

    combination: Combination
    peaks: Extremes
    reactions_n: tuple[float, ...]
    sags: tuple[Sag, ...]
    shears_n: Numbers
    moments_n_mm: Numbers


def cases_of(
    ways: Sequence[tuple[Combination, Sequence[tuple[float, Analysis]]]], spots_mm: Numbers
) -> list[Case]:
    """Each of some sums of a beam's analyses: they add up.

    Args:
        ways: Of each, what it is and what it is the sum of, each so many times; of one beam.
        spots_mm: (n,) rising, each once: where shear and moment are asked for; all places where
            anything of any analysis begins, ends or stands are among them.
    """
    alone = list({id(one): one for _, parts in ways for _, one in parts}.values())
    column = {id(one): number for number, one in enumerate(alone)}
    factors = np.zeros((len(ways), len(alone)))
    for row, (_, parts) in enumerate(ways):
        for factor, one in parts:
            factors[row, column[id(one)]] += factor
    after, before, moment = (
        factors @ np.array(rows)
        for rows in (
            [one.forces.shear(spots_mm, after=True) for one in alone],
            [one.forces.shear(spots_mm, after=False) for one in alone],
            [one.forces.moment(spots_mm) for one in alone],
        )
    )
    reactions = factors @ np.array([one.reactions_n for one in alone])
    down = np.tensordot(factors, np.array([one.down_mm for one in alone]), axes=1)
    peaks = peaks_of(Diagram(spots_mm, after, before, moment), np.abs(reactions).sum(axis=1))
    shears = np.maximum(np.abs(after), np.abs(before))
    rows = zip(
        ways, peaks, reactions.tolist(), sags_of(alone[0], down), shears, moment, strict=True
    )
    return [
        Case(combination, peak, tuple(reaction), sags, shear, bent)
        for (combination, _), peak, reaction, sags, shear, bent in rows
    ]
