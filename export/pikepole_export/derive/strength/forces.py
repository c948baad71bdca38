"""Forces along a beam: shear and moment anywhere, and their peaks.

Forces(rows)             what stands and spreads along a beam, supports among it
extremes(forces, ...)    the greatest moments and shear between the places where anything changes
peaks_of(diagram, ...)   the same under each of several sets of loads
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]

# Under this share of all forces times all length a moment is none.
SLIGHT = 1e-12


@dataclass(frozen=True, slots=True)
class Extremes:
    """The greatest moments and shear of a beam.

    Attributes:
        sagging_n_mm: The greatest moment that stretches the underside, N mm; 0 where none does.
        sagging_at_mm: Where.
        hogging_n_mm: The greatest that stretches the top, as a positive number.
        hogging_at_mm: Where.
        shear_n: The greatest shear either side, N.
        shear_at_mm: Where.
    """

    sagging_n_mm: float
    sagging_at_mm: float
    hogging_n_mm: float
    hogging_at_mm: float
    shear_n: float
    shear_at_mm: float


class Forces:
    """Shear and moment of what stands left of a place, N and N mm."""

    __slots__ = ("_force", "_from", "_spread", "_to")

    def __init__(self, rows: Iterable[tuple[float, float, float]]) -> None:
        """Take forces along a beam.

        Args:
            rows: Each from a place to a place, mm, with its sum, N, down above zero; of no length
                in one place. At least one.
        """
        self._from, self._to, self._force = np.array([*rows], dtype=float).T
        self._spread = self._to - self._from

    @property
    def places_mm(self) -> Numbers:
        """Where anything begins, ends or stands, rising, each once."""
        return np.unique(np.concatenate([self._from, self._to]))

    def shear(self, at_mm: Numbers, *, after: bool) -> Numbers:
        """N, after what stands in the place itself or before it."""
        at = at_mm[:, None]
        reached = at >= self._from if after else at > self._from
        spread = np.where(self._spread > 0, self._spread, 1.0)
        part = np.clip((at - self._from) / spread, 0, 1)
        share = np.where(self._spread > 0, part, 1.0) * reached
        return -(share * self._force).sum(axis=1)

    def moment(self, at_mm: Numbers) -> Numbers:
        """N mm, below zero where the top is stretched."""
        at = at_mm[:, None]
        covered = np.clip(at - self._from, 0, self._spread)
        spread = np.where(self._spread > 0, self._spread, 1.0)
        force = self._force * np.where(self._spread > 0, covered / spread, at >= self._from)
        return -(force * (at - self._from - covered / 2)).sum(axis=1)


@dataclass(frozen=True, slots=True)
class Diagram:
    """Shear and moment of a beam under each of several sets of loads, in the same n places.

    Attributes:
        places_mm: (n,) rising: at least wherever something of any set begins, ends or stands.
        after: (sets, n) shear right of each, N.
        before: (sets, n) shear left of each.
        moment: (sets, n), N mm.
    """

    places_mm: Numbers
    after: Numbers
    before: Numbers
    moment: Numbers


def extremes(forces: Forces, *, size_n: float) -> Extremes:
    """Peaks of moment and shear, exactly.

    Args:
        forces: In equilibrium.
        size_n: What the supports carry, as positive numbers, N: what rounding is held against.
    """
    places = forces.places_mm
    after, before = (forces.shear(places, after=side)[None] for side in (True, False))
    diagram = Diagram(places, after, before, forces.moment(places)[None])
    return peaks_of(diagram, np.array([size_n]))[0]


def peaks_of(diagram: Diagram, sizes_n: Numbers) -> list[Extremes]:
    """The same under each set of loads.

    Between two places where something begins, ends or stands, the shear is a straight line and the
    moment a parabola, whose peak is where the shear is zero. Source: beam formulas of any textbook
    of statics.

    Args:
        diagram: In equilibrium.
        sizes_n: (sets,) what the supports carry, as positive numbers, N: what rounding is held
            against.
    """
    places = diagram.places_mm
    low, high = places[:-1], places[1:]
    after, before = diagram.after[:, :-1], diagram.before[:, 1:]
    crossing = after * before < 0
    falls = np.where(crossing, after - before, 1.0)
    along = np.where(crossing, (high - low) * after / falls, 0.0)
    # Each place and what turns right of it, in order, so that the first of equals is leftmost.
    turning = np.repeat(places[None], len(after), axis=0).repeat(2, axis=1)[:, :-1]
    turning[:, 1::2] += along
    moments = diagram.moment.repeat(2, axis=1)[:, :-1]
    moments[:, 1::2] += after * along / 2
    # Of forces that cancel, the last digits of the float are no moment.
    moments[np.abs(moments) < SLIGHT * sizes_n[:, None] * np.ptp(places)] = 0.0
    shears = np.abs(np.stack([after, before], axis=2).reshape(len(after), -1))
    shear_at = np.stack([low, high], axis=1).ravel()
    found: list[Extremes] = []
    rows = zip(
        moments, turning, moments.argmax(axis=1), moments.argmin(axis=1), shears, strict=True
    )
    for moment, at, sagging, hogging, shear in rows:
        steepest = int(shear.argmax())
        found.append(
            Extremes(
                max(0.0, float(moment[sagging])),
                float(at[sagging]),
                max(0.0, -float(moment[hogging])),
                float(at[hogging]),
                float(shear[steepest]),
                float(shear_at[steepest]),
            )
        )
    return found
