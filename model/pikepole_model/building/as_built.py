"""What is built, as it was cut and where it stands, among what is laid out for it."""

from __future__ import annotations

import itertools
import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias, TypeVar

from pikepole_model.building.part import Joint, Part
from pikepole_model.building.piece import Piece
from pikepole_model.geometry.placement import Vector
from pikepole_model.geometry.shape import bounds

Laid = TypeVar("Laid", Part, Piece)
# Group and label of a piece, and which of those it is: what it is in every layout of a scene.
Key: TypeAlias = tuple[str, str, int]


@dataclass(frozen=True, slots=True)
class AsBuilt:
    """One part of a building of which some stands.

    Attributes:
        key: Of it in every layout.
        part: As it is cut or to be cut.
        layout: Which layout it is cut to, from 0 for the one that was planned.
    """

    key: Key
    part: Part
    layout: int


def keyed(laid: Iterable[Laid]) -> dict[Key, Laid]:
    """A layout by the keys of its pieces."""
    count: Counter[tuple[str, str]] = Counter()
    found: dict[Key, Laid] = {}
    for piece in laid:
        of_its_sort = (piece.group, piece.label)
        count[of_its_sort] += 1
        found[(*of_its_sort, count[of_its_sort])] = piece
    return found


def along(
    middle: Mapping[Key, Part],
    others: Mapping[float, Mapping[Key, Piece]],
    length_mm: float,
    most_mm: float,
) -> dict[Key, Part]:
    """Each part as it is laid out for what stands where its own middle is.

    Boards beside each other may be divided otherwise a hair farther on: where a whole group is, it
    is as in the nearest layout that divides it as the middle of the building does.

    Args:
        middle: What is laid out for what stands in the middle of the building.
        others: The same elsewhere: from 0 at its left end to 1 at its right.
        length_mm: Of the building.
        most_mm: How far what stands is off at most, mm.
    """
    groups = _groups(middle)
    alike = {group: [0.5] for group in groups}
    for place, there in others.items():
        divided = _groups(there)
        for group, keys in groups.items():
            if divided.get(group) == keys and all(
                _apart_mm(there[key], middle[key]) <= most_mm for key in keys
            ):
                alike[group].append(place)
    found = dict(middle)
    for key, part in middle.items():
        place = _middle(part)[0] / length_mm
        nearest = min(alike[key[0]], key=lambda at: abs(at - place))
        if nearest in others:
            there = others[nearest][key]
            found[key] = replace(part, shape=there.shape, placement=there.placement)
    return found


def _groups(layout: Iterable[Key]) -> dict[str, set[Key]]:
    """The keys of each group."""
    groups: dict[str, set[Key]] = defaultdict(set)
    for key in layout:
        groups[key[0]].add(key)
    return groups


def as_built(
    built: Sequence[tuple[frozenset[str], Mapping[Key, Part]]],
    rest: Mapping[Key, Part],
    fits: Mapping[Key, Part],
    most_mm: float,
) -> Iterator[AsBuilt]:
    """All parts: those that are cut where they stand, the others as they are laid out now.

    Args:
        built: Groups that are built, with the layout that each was cut to, first what came first.
        rest: What the others are cut to.
        fits: The layout of a building that stands all along as this one does in its middle, in
            which everything fits.
        most_mm: How far what is built is off at most, mm.
    """
    cut_to = {group: k for k, (groups, _) in reversed([*enumerate(built)]) for group in groups}
    names: set[str] = set()
    for k, (_, layout) in enumerate(built):
        for key, cut in layout.items():
            if cut_to.get(key[0]) != k:
                continue
            names.add(cut.name)
            there = replace(cut, placement=fits[key].placement) if key in fits else cut
            # Of another number or division of pieces each stays where it was planned.
            matches = key in fits and _apart_mm(there, fits[key]) <= most_mm
            yield AsBuilt(key, there if matches else cut, k)
    for key, part in rest.items():
        if key[0] not in cut_to:
            name = next(one for one in _names(part) if one not in names)
            names.add(name)
            yield AsBuilt(key, replace(part, name=name), len(built))


def as_held(
    parts: Sequence[AsBuilt], layouts: Sequence[tuple[Mapping[Key, Part], Iterable[Joint]]]
) -> Iterator[Joint]:
    """How all parts are held: any two as they are where the later of them was laid out.

    Args:
        parts: All parts.
        layouts: Each layout that some are cut to, with its joints.
    """
    for k, joint, a, b in _joints(parts, layouts):
        if a and b and max(a.layout, b.layout) == k:
            yield replace(joint, a=a.part.name, b=b.part.name)


def left_alone(
    parts: Sequence[AsBuilt], layouts: Sequence[tuple[Mapping[Key, Part], Iterable[Joint]]]
) -> set[str]:
    """Parts held, where they were laid out, by something that is nowhere in what was built."""
    return {
        one.part.name
        for k, _, a, b in _joints(parts, layouts)
        if (one := a or b) and not (a and b) and one.layout == k
    }


def _joints(
    parts: Sequence[AsBuilt], layouts: Sequence[tuple[Mapping[Key, Part], Iterable[Joint]]]
) -> Iterator[tuple[int, Joint, AsBuilt | None, AsBuilt | None]]:
    """Every layout's number and joints, with what was built of the two parts of each."""
    for k, (layout, joints) in enumerate(layouts):
        there = {layout[one.key].name: one for one in parts if one.key in layout}
        for joint in joints:
            yield k, joint, there.get(joint.a), there.get(joint.b)


def _names(part: Part) -> Iterator[str]:
    yield part.name
    yield from (f"{part.label} {number}" for number in itertools.count(1))


def _apart_mm(one: Part | Piece, other: Part | Piece) -> float:
    """How far the boxes round two parts are apart at a corner, at most, mm."""
    return max(math.dist(a, b) for a, b in zip(_corners(one), _corners(other), strict=True))


def _corners(part: Part | Piece) -> list[Vector]:
    return [part.placement.point(*corner) for corner in bounds(part.shape.body)]


def _middle(part: Part) -> Vector:
    low, high = _corners(part)
    return ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2, (low[2] + high[2]) / 2)
