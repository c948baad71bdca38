"""Is the model true: do its pieces fit, stand on something, and add up?

A finding never stops the work. It names the pieces and the place, so that a person can look.
"""

from __future__ import annotations

import heapq
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping

from pikepole_model.building.contact import TOUCH_MM, Contact, find_contacts
from pikepole_model.building.joints import DRIVEN_IN, fixing
from pikepole_model.building.kind_rows import Handled
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.keys import key_of, tables_of
from pikepole_model.checks.practice import practice_findings
from pikepole_model.checks.sound import wrong_with
from pikepole_model.checks.standing import standing_findings
from pikepole_model.errors import Finding, and_more, without
from pikepole_model.geometry.placement import Vector
from pikepole_model.geometry.shape import Shape
from pikepole_model.units import Units, format_length

# Two pieces overlap when one is deeper than this in the other, mm ...
DEEPEST_MM = 0.1
# ... or they share more than this, mm3, however thin it is.
LARGEST_MM3 = 100.0
# A piece whose lowest point is at most this high stands on the ground, mm.
GROUND_MM = TOUCH_MM
# What no key of a scene is to blame for.
FAULT = "a fault of the program, not of the scene"


def check(
    building: Building,
    contacts: tuple[Contact, ...] | None = None,
    wrong: Mapping[Shape, tuple[str, ...]] | None = None,
) -> tuple[Finding, ...]:
    """All that is not true of a building: stages, shapes, overlaps, loose parts, common practice.

    The order of the parts decides the order within each, so the same building gives the same
    findings in the same order.

    Args:
        building: What to look at.
        contacts: What touches what in it as it stands in the end, where that is known already; of
            one that was measured, in the one in which everything fits.
        wrong: What is wrong with each of `every_shape`, where that is known already.

    Returns:
        The findings; none where all is true.
    """
    as_cut, building = building, building.fitted
    if wrong is None:
        wrong = {shape: wrong_with(shape) for shape in every_shape(as_cut)}
    before = building.before
    return (
        *_staging(as_cut),
        *_shapes(as_cut, wrong),
        *_misfits(as_cut),
        *(_standing(before, wrong, None) if before else ()),
        *_standing(building.finished if before else building, wrong, contacts, before),
        *practice_findings(building.finished),
        *standing_findings(building.built),
    )


def every_shape(building: Building) -> tuple[Shape, ...]:
    """The shapes that are looked at: of a building as it is cut, and as everything in it fits."""
    return tuple({**building.shapes, **building.fitted.shapes})


def _standing(
    building: Building,
    wrong: Mapping[Shape, tuple[str, ...]],
    contacts: tuple[Contact, ...] | None,
    before: Building | None = None,
) -> Iterator[Finding]:
    """What is in each other's way, or loose, of what stands in one place."""
    yield from _overlaps(building, wrong, contacts)
    yield from _loose(building, wrong, before)
    if building.taken:
        yield from _loose(building.finished, wrong, before)


def _staging(building: Building) -> Iterator[Finding]:
    names = Counter(part.name for part in building.parts)
    for name, count in names.items():
        if count > 1:
            yield Finding("other", f"{count} parts are called that", (name,))
    numbers = Counter(stage.number for stage in building.stages)
    for number, count in numbers.items():
        if count > 1:
            yield Finding("other", f"{count} stages have the number {number}", ())
    added: dict[str, list[int]] = defaultdict(list)
    for stage in building.stages:
        for part in stage.parts:
            added[part.name].append(stage.number)
    for part in building.parts:
        if added[part.name] != [part.stage] and names[part.name] == 1:
            where = " and ".join(map(str, added[part.name])) or "none"
            text = f"says stage {part.stage}, and is added by stage {where}"
            yield Finding("other", text, (part.name,))
    for name, stages in added.items():
        if name not in names:
            text = f"stage {min(stages)} adds it, and it is not among the building's parts"
            yield Finding("other", text, (name,))
    staged = Counter(part.shape for stage in building.stages for part in stage.parts)
    if staged != Counter(part.shape for part in building.parts):
        yield Finding("other", "the stages' volumes do not add up to the building's", ())


def _shapes(building: Building, wrong: Mapping[Shape, tuple[str, ...]]) -> Iterator[Finding]:
    for shape in building.shapes:
        for clause in wrong[shape]:
            names = tuple(part.name for part in building.parts if part.shape == shape)
            yield Finding("other", clause, names)


def _misfits(building: Building) -> Iterator[Finding]:
    """What is to be cut to something else than fits what stands.

    A roof that is twisted differs from the one of planes in which everything fits, by no more than
    was measured.
    """
    measured = building.measured
    for part in building.parts if measured else ():
        assert measured
        off_mm = measured.misfit_mm(part)
        if off_mm > measured.most_mm + DEEPEST_MM:
            text = f"is {off_mm:.2f} mm off what fits, and {measured.most_mm:.2f} mm were measured"
            yield Finding("other", text, (part.name,), part.centre_mm, "measured", FAULT)


def _overlaps(
    building: Building,
    wrong: Mapping[Shape, tuple[str, ...]],
    contacts: tuple[Contact, ...] | None,
) -> Iterator[Finding]:
    parts = [part for part in building.parts if not wrong[part.shape]]
    if contacts is None or len(parts) < len(building.parts):
        contacts = find_contacts(parts)
    of_cause: dict[frozenset[tuple[str, str]], list[Contact]] = defaultdict(list)
    for contact in contacts:
        one, other = parts[contact.a], parts[contact.b]
        if _apart_in_time(building, one, other) or fixing(one.kind, other.kind) == DRIVEN_IN:
            continue
        if contact.penetration_mm > DEEPEST_MM or contact.common_volume_mm3 > LARGEST_MM3:
            pair = frozenset((part.group, key_of(part.kind)) for part in (one, other))
            of_cause[pair].append(contact)
    for together in of_cause.values():
        yield _overlap([(parts[c.a], parts[c.b], c) for c in together], building.scene.units)


def _apart_in_time(building: Building, one: Part, other: Part) -> bool:
    """Whether one of two was there before and is taken away before the other comes."""
    taken = building.until
    return other.stage > taken.get(one.name, other.stage) or one.stage > taken.get(
        other.name, one.stage
    )


def _overlap(pairs: list[tuple[Part, Part, Contact]], units: Units) -> Finding:
    """Pieces of two groups that the same keys of the scene place, in one another's way."""
    a, b, contact = pairs[0]
    deep, large = contact.penetration_mm, contact.common_volume_mm3
    text = (
        f"{a.name} and {b.name} overlap: {deep:.2f} mm deep, {large:.0f} mm3, at "
        f"{_place(contact.at_mm, units)}"
    )
    if len(pairs) > 1:
        groups = " and ".join(dict.fromkeys((a.group, b.group)))
        deepest = max(c.penetration_mm for _, _, c in pairs)
        text = (
            f"{len(pairs)} pairs of pieces ({groups}) overlap, up to {deepest:.2f} mm deep; "
            f"first {text}"
        )
    keys = tuple(dict.fromkeys((key_of(a.kind), key_of(b.kind))))
    tries = tuple(map(without, tables_of(a.kind, b.kind)))
    return Finding(
        "overlap",
        text,
        tuple(dict.fromkeys(part.name for a, b, _ in pairs for part in (a, b))),
        contact.at_mm,
        " and ".join(keys),
        FAULT,
        tries,
    )


def _loose(
    building: Building, wrong: Mapping[Shape, tuple[str, ...]], before: Building | None
) -> Iterator[Finding]:
    neighbours: dict[str, list[str]] = {part.name: [] for part in building.parts}
    for joint in building.joints:
        unknown = [name for name in (joint.a, joint.b) if name not in neighbours]
        if unknown:
            text = f"a joint holds it to {joint.b}: there is no part {unknown[0]}"
            yield Finding("other", text, (joint.a, joint.b), joint.at_mm)
        else:
            neighbours[joint.a].append(joint.b)
            neighbours[joint.b].append(joint.a)
    # A part that cannot be made has a finding already; what it would carry needs no second one.
    grounded = [
        part
        for part in building.parts
        if wrong[part.shape]
        or part.kind.row.handled is Handled.THERE
        or float(part.vertices_mm[:, 2].min()) <= GROUND_MM
    ]
    held = _held_from(building, [part.name for part in grounded], neighbours)
    steps = {stage.number: stage.name for stage in building.stages}
    # What is brought here has to be held once it is there, after the last stage of where it was.
    brought = {part.name for part in before.parts} if before else set[str]()
    there = before.stages[-1].number if before else 0

    loose: dict[tuple[str, str], list[Part]] = defaultdict(list)
    early: dict[tuple[str, int, int], list[Part]] = defaultdict(list)
    for part in building.parts:
        if part.name not in held:
            loose[part.group, key_of(part.kind)].append(part)
        elif held[part.name] > (there if part.name in brought else part.stage):
            early[part.group, part.stage, held[part.name]].append(part)
    for (group, stage, holding), parts in early.items():
        go, them = ("go", "them") if parts[1:] else ("goes", "it")
        after = f'stage {holding}, "{steps.get(holding, "")}"'
        text = (
            f'{go} up in stage {stage}, "{steps.get(stage, "")}", and what holds {them} comes only '
            f"in {after}; {_middle(parts[0], building.scene.units)}"
        )
        names = tuple(part.name for part in parts)
        mend = f'in [[stage]], put the group "{group}" into {after}, or a later one'
        yield Finding("other", text, names, parts[0].centre_mm, mend=mend)
    for (_, key), parts in loose.items():
        yield _loose_together(parts, key, building.scene.units)


def _loose_together(parts: list[Part], key: str, units: Units) -> Finding:
    """Pieces of a group that the same key of the scene places, and that nothing holds."""
    first, *_ = parts
    names = tuple(part.name for part in parts)
    are, them = ("are", "them") if names[1:] else ("is", "it")
    text = (
        f"{and_more(names)} {are} loose: nothing that holds or carries {them} reaches the ground; "
        f"{_middle(first, units)}"
    )
    tries = tuple(map(without, tables_of(first.kind)))
    return Finding("loose", text, names, first.centre_mm, key, FAULT, tries)


def _middle(part: Part, units: Units) -> str:
    return f"its middle is at {_place(part.centre_mm, units)}"


def _held_from(
    building: Building, grounded: list[str], neighbours: dict[str, list[str]]
) -> dict[str, int]:
    """The first stage in which each part is held by what stands by then; no entry where never."""
    stage_of = {part.name: part.stage for part in building.parts}
    held: dict[str, int] = {}
    waiting = [(stage_of[name], name) for name in grounded]
    heapq.heapify(waiting)
    while waiting:
        stage, name = heapq.heappop(waiting)
        if name in held:
            continue
        held[name] = stage
        for other in neighbours[name]:
            if other not in held:
                heapq.heappush(waiting, (max(stage, stage_of[other]), other))
    return held


def _place(at_mm: Vector, units: Units) -> str:
    x, y, z = (round(value, 1) + 0.0 for value in at_mm)  # no "-0.0"
    text = f"x {x:.1f}, y {y:.1f}, z {z:.1f} mm"
    if units == "metric":
        return text
    return text + " ({}, {}, {})".format(*(format_length(value, units) for value in at_mm))
