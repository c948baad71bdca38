"""Beams on any number of supports, with overhangs and hinges, by the stiffness method.

analyse(loads, ...) -> Analysis          reactions, shear, moment and deflection
analyse_each(sets, ...) -> analyses      the same of one beam under several sets of loads

Supports are rigid and hold both ways; shear deformation is left out. Source: direct stiffness
method for prismatic Euler-Bernoulli members, of any textbook of structural analysis; fixed-end
moments of a spread load by integrating those of a point load, P a b^2 / L^2.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from pikepole_export.derive.strength.forces import Extremes, Forces, Numbers, extremes

# So many places of a span are looked at for its greatest deflection, and a parabola is laid
# through the three about it.
_LOOKED_AT = 65
# Nearer than this two places are one, mm.
_SAME_MM = 1e-3


@dataclass(frozen=True, slots=True)
class Force:
    """A force spread evenly along a part of a beam; of no length, in one place.

    Attributes:
        from_mm: Where it begins, mm from the beam's left end.
        to_mm: Where it ends.
        force_n: In all, N, down above zero.
        by: What brings it, for whoever reads; empty where that is plain.
    """

    from_mm: float
    to_mm: float
    force_n: float
    by: str = ""

    def times(self, factor: float) -> Force:
        """So many times the force."""
        return Force(self.from_mm, self.to_mm, self.force_n * factor, self.by)


@dataclass(frozen=True, slots=True)
class Sag:
    """How far one span goes down, or an overhang's end.

    Attributes:
        from_mm: Its left end.
        to_mm: Its right end.
        overhangs: Whether one of them is free.
        deflection_mm: The greatest either way from the line between its supports, mm; at the end
            of an overhang from the level of its support.
        at_mm: Where.
    """

    from_mm: float
    to_mm: float
    overhangs: bool
    deflection_mm: float
    at_mm: float

    @property
    def length_mm(self) -> float:
        """Of the span."""
        return self.to_mm - self.from_mm


@dataclass(frozen=True)
class Analysis:
    """A beam under one set of loads.

    Attributes:
        loads: What it carries.
        supports_mm: Rising, mm from its left end.
        reactions_n: Of each, N, up above zero; below zero where it is drawn up off it.
        stiffness_n_mm2: E I, N mm2.
        knots: Ends, supports and hinges, rising, each with its deflection and its slopes left and
            right of it, mm and rad.
    """

    loads: tuple[Force, ...]
    supports_mm: tuple[float, ...]
    reactions_n: tuple[float, ...]
    stiffness_n_mm2: float
    knots: tuple[tuple[float, float, float, float], ...]

    @cached_property
    def forces(self) -> Forces:
        """Loads and reactions."""
        rows = [(one.from_mm, one.to_mm, one.force_n) for one in self.loads]
        pairs = zip(self.supports_mm, self.reactions_n, strict=True)
        ends = [(at, at, 0.0) for at, *_ in self.knots]
        return Forces([*rows, *((at, at, -force) for at, force in pairs), *ends])

    @cached_property
    def peaks(self) -> Extremes:
        """The greatest moments and shear."""
        return extremes(self.forces, size_n=float(np.abs(self.reactions_n).sum()))

    @cached_property
    def spans(self) -> tuple[tuple[float, float, bool], ...]:
        """Each span from the left, and whether it hangs out past the supports, mm."""
        bounds = [self.knots[0][0], *self.supports_mm, self.knots[-1][0]]
        last = len(bounds) - 2
        return tuple(
            (low, high, number in (0, last))
            for number, (low, high) in enumerate(pairwise(bounds))
            if high - low > 1e-6
        )

    @cached_property
    def looked_at_mm(self) -> Numbers:
        """(spans, so many) places of each span."""
        return np.array([np.linspace(low, high, _LOOKED_AT) for low, high, _ in self.spans])

    @cached_property
    def down_mm(self) -> Numbers:
        """How far it is down in those places, mm."""
        return self.deflection(self.looked_at_mm.ravel()).reshape(self.looked_at_mm.shape)

    @property
    def sags(self) -> tuple[Sag, ...]:
        """Each span and overhang, from the left."""
        return sags_of(self, self.down_mm[None])[0]

    def deflection(self, at_mm: Numbers) -> Numbers:
        """How far it is down in these places, mm: the loads left of each, integrated twice."""
        knots = np.array(self.knots)
        of = np.clip(np.searchsorted(knots[:, 0], at_mm, side="right") - 1, 0, len(knots) - 2)
        left, down, _, slope = knots[of].T
        along = at_mm - left
        shear, moment = self.forces.shear(knots[:, 0], after=True), self.forces.moment(knots[:, 0])
        bent = moment[of] * along**2 / 2 + shear[of] * along**3 / 6
        loads = np.array([(one.from_mm, one.to_mm, one.force_n) for one in self.loads])
        spread = loads[loads[:, 1] > loads[:, 0]]
        if len(spread):
            start, end = (np.maximum(spread[:, k] - left[:, None], 0.0) for k in (0, 1))
            per_mm = spread[:, 2] / (spread[:, 1] - spread[:, 0])
            past = _past(along, start) ** 4 - _past(along, end) ** 4
            bent -= (past * per_mm).sum(axis=1) / 24
        points = loads[loads[:, 1] <= loads[:, 0]]
        if len(points):
            # What stands left of the knot, or in it, is in the knot's shear already.
            start = points[:, 0] - left[:, None]
            past = np.where(start > 0, _past(along, start), 0.0)
            bent -= (past**3 * points[:, 2]).sum(axis=1) / 6
        return down + slope * along - bent / self.stiffness_n_mm2


def sags_of(beam: Analysis, down_mm: Numbers) -> list[tuple[Sag, ...]]:
    """Spans and overhangs of a beam under each of several sets of loads, from the left.

    Args:
        beam: Under any.
        down_mm: (sets, spans, places) how far each set brings it down where it is looked at.
    """
    sizes, places = np.abs(down_mm), beam.looked_at_mm
    most = sizes.argmax(axis=2)
    inner = np.clip(most, 1, _LOOKED_AT - 2)
    before, here, after = (
        np.take_along_axis(sizes, inner[..., None] + step, axis=2)[..., 0] for step in (-1, 0, 1)
    )
    bow = before - 2 * here + after
    shift = np.where(bow != 0, (before - after) / (2 * np.where(bow != 0, bow, 1.0)), 0.0)
    step_mm = places[:, 1] - places[:, 0]
    # A parabola through the greatest of a span and both beside it.
    peak, peak_at = here - (before - after) * shift / 4, inner * step_mm + places[:, 0]
    peak_at = peak_at + shift * step_mm
    found: list[tuple[Sag, ...]] = []
    for k in range(len(sizes)):
        row: list[Sag] = []
        for n, (low, high, overhangs) in enumerate(beam.spans):
            at = int(most[k, n])
            if overhangs:
                at = 0 if high == beam.supports_mm[0] else _LOOKED_AT - 1
            if overhangs or at in (0, _LOOKED_AT - 1):
                down, place = sizes[k, n, at], places[n, at]
            else:
                down, place = peak[k, n], peak_at[k, n]
            row.append(Sag(low, high, overhangs, float(down), float(place)))
        found.append(tuple(row))
    return found


def _past(along: Numbers, start: Numbers) -> Numbers:
    return np.maximum(along[:, None] - start, 0.0)


def analyse(
    loads: Sequence[Force],
    *,
    length_mm: float,
    supports_mm: Sequence[float],
    stiffness_n_mm2: float,
    hinges_mm: Sequence[float] = (),
) -> Analysis:
    """A beam under loads.

    Args:
        loads: All on the beam, at least one.
        length_mm: Of the beam.
        supports_mm: Rising, on the beam.
        stiffness_n_mm2: E I, N mm2, the same all along.
        hinges_mm: Where it is jointed and takes no moment; on a support or between two.

    Raises:
        ValueError: it is not held: one support alone, or a hinge too many.
    """
    (found,) = analyse_each(
        [loads],
        length_mm=length_mm,
        supports_mm=supports_mm,
        stiffness_n_mm2=stiffness_n_mm2,
        hinges_mm=hinges_mm,
    )
    return found


def analyse_each(
    sets: Sequence[Sequence[Force]],
    *,
    length_mm: float,
    supports_mm: Sequence[float],
    stiffness_n_mm2: float,
    hinges_mm: Sequence[float] = (),
) -> list[Analysis]:
    """The same of a beam under each of several sets of loads."""
    ends = (0.0, length_mm)
    supports_mm = [_on(at, ends) for at in supports_mm]
    hinges_mm = [_on(at, (*ends, *supports_mm)) for at in hinges_mm]
    knots = sorted({*ends, *supports_mm, *hinges_mm})
    places = {at: number for number, at in enumerate(knots)}
    held = {places[at] for at in supports_mm}
    jointed = {places[at] for at in hinges_mm}
    # Unknowns: each knot's deflection, its slope, and where it is jointed another right of it.
    which = [
        (3 * k, 3 * k + 1, 3 * k + 3, 3 * k + 4)
        if k not in jointed
        else (3 * k, 3 * k + 2, 3 * k + 3, 3 * k + 4)
        for k in range(len(knots) - 1)
    ]
    spans = list(pairwise(knots))
    elements = [stiffness_n_mm2 * _element(high - low) for low, high in spans]
    matrix = np.zeros((3 * len(knots),) * 2)
    for rows, element in zip(which, elements, strict=True):
        matrix[np.ix_(rows, rows)] += element
    inside = [[within(loads, *span, end_mm=length_mm) for span in spans] for loads in sets]
    pressed = [
        [_consistent(rows, *span) for rows, span in zip(own, spans, strict=True)] for own in inside
    ]
    force = np.zeros((3 * len(knots), len(sets)))
    for number, pushes in enumerate(pressed):
        for rows, push in zip(which, pushes, strict=True):
            force[list(rows), number] += push
    free = [
        row
        for row in range(3 * len(knots))
        if not (row % 3 == 0 and row // 3 in held)
        and not (row % 3 == 2 and (row // 3 not in jointed or row // 3 == len(knots) - 1))
    ]
    moved = np.zeros((3 * len(knots), len(sets)))
    try:
        moved[free] = np.linalg.solve(matrix[np.ix_(free, free)], force[free])
    except np.linalg.LinAlgError as error:
        raise ValueError("the beam is not held") from error
    found: list[Analysis] = []
    for number, loads in enumerate(sets):
        up = [0.0] * len(knots)
        for k, (low, high) in enumerate(spans):
            turned = elements[k] @ moved[list(which[k]), number] - pressed[number][k]
            left = 0.0 if k in jointed else float(turned[1])
            right = 0.0 if k + 1 in jointed else -float(turned[3])
            total = sum(one.force_n for one in inside[number][k])
            about = sum(
                one.force_n * (high - (one.from_mm + one.to_mm) / 2) for one in inside[number][k]
            )
            # Past its last support a beam is held by that alone.
            if k == 0 and k not in held:
                share = 0.0
            elif k + 1 == len(knots) - 1 and k + 1 not in held:
                share = total
            else:
                share = (about + right - left) / (high - low)
            up[k] += share
            up[k + 1] += total - share
        bent = moved[:, number].tolist()
        found.append(
            Analysis(
                tuple(loads),
                tuple(supports_mm),
                tuple(up[places[at]] for at in supports_mm),
                stiffness_n_mm2,
                tuple(
                    (at, bent[3 * k], bent[3 * k + 1], bent[3 * k + 1 + (k in jointed)])
                    for k, at in enumerate(knots)
                ),
            )
        )
    return found


def _on(at_mm: float, places_mm: Sequence[float]) -> float:
    """A place, or the one of some that it is but for rounding."""
    return next((place for place in places_mm if abs(at_mm - place) < _SAME_MM), at_mm)


def within(loads: Sequence[Force], low: float, high: float, *, end_mm: float = -1.0) -> list[Force]:
    """What of some loads lies between two places; right in the second only at a beam's end."""
    found: list[Force] = []
    for one in loads:
        if one.to_mm <= one.from_mm:
            if low <= one.from_mm < high or one.from_mm == high == end_mm:
                found.append(one)
            continue
        start, stop = max(one.from_mm, low), min(one.to_mm, high)
        if stop > start:
            share = (stop - start) / (one.to_mm - one.from_mm)
            found.append(Force(start, stop, one.force_n * share, one.by))
    return found


def _element(length: float) -> Numbers:
    """Stiffness of a length of beam for E I = 1, by deflection and slope of its two ends."""
    a, b, c = 12 / length**3, 6 / length**2, 2 / length
    return np.array(
        [[a, b, -a, b], [b, 2 * c, -b, c], [-a, -b, a, -b], [b, c, -b, 2 * c]], dtype=float
    )


def _consistent(loads: Sequence[Force], low: float, high: float) -> Numbers:
    """What loads between two knots do to these: the integral of load times each shape function."""
    length = high - low
    total = np.zeros(4)
    for one in loads:
        start, stop = one.from_mm - low, one.to_mm - low
        if stop > start:
            # Means of the powers of x over what it covers.
            x1, x2, x3 = (
                (stop ** (n + 1) - start ** (n + 1)) / ((n + 1) * (stop - start)) for n in (1, 2, 3)
            )
        else:
            x1, x2, x3 = start, start**2, start**3
        near = 3 * x2 / length**2 - 2 * x3 / length**3
        left = x1 - 2 * x2 / length + x3 / length**2
        right = x3 / length**2 - x2 / length
        total += one.force_n * np.array([1 - near, left, near, right])
    return total
