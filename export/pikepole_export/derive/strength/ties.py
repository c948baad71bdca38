"""The checks of rafter ties: what rafters on a ridge board pull them with, and their nails.

tie_checks(paths, woods, joints) -> checks
"""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_export.derive.strength import dowels, nds
from pikepole_export.derive.strength.check import Check, Measured, Number, Rule
from pikepole_export.derive.strength.combinations import acting
from pikepole_export.derive.strength.fixings import Joints, bought, yielding
from pikepole_export.derive.strength.frame import Member
from pikepole_export.derive.strength.members import Found, Woods
from pikepole_export.derive.strength.paths import Loads, Paths
from pikepole_export.derive.strength.section import Section
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part


def tie_checks(paths: Paths, woods: Woods, joints: Joints) -> Iterator[Found]:
    """Every check of every tie."""
    for part in paths.members.parts.values():
        if part.kind is not Kind.TIE or part.section_mm is None:
            continue
        low, high = sorted(part.section_mm)
        lumber = woods.lumber(part, Section(low, high))
        pulls = [
            pull
            for joint in paths.members.joints.get(part.name, ())
            for pull in _pull(paths, joint.b if joint.a == part.name else joint.a, joint.at_mm)
        ]
        if lumber is None or not pulls:
            continue
        # Where one side carries more, both together pull with the mean of what each would alone.
        loads = {load for pull in pulls for load in pull}
        pull = {load: sum(one.get(load, 0.0) for one in pulls) / len(pulls) for load in loads}
        area_mm2 = lumber.section.area_mm2
        checks = [
            Check(
                member=part.name,
                rule=Rule.TENSION,
                combination=combination,
                demand=max(0.0, combination.of(pull)) / area_mm2,
                capacity=nds.tension(lumber, combination.duration).value_n_mm2,
                measured=Measured.STRESS,
                formula="ft = T / A",
                numbers=(
                    Number("T", max(0.0, combination.of(pull)), Measured.FORCE),
                    Number("A", area_mm2, Measured.AREA),
                ),
                clause="NDS 3.8.1; statics of a pair of rafters",
                value=nds.tension(lumber, combination.duration),
            )
            for combination in acting(frozenset(pull))
        ]
        label = part.label or part.name
        yield Found(label, part.name, max(checks, key=lambda one: one.ratio))
        for check in _heels(paths, woods, joints, part, pull):
            yield Found(label, part.name, check)


def _heels(paths: Paths, woods: Woods, joints: Joints, tie: Part, pull: Loads) -> Iterator[Check]:
    """By the nails in each of its rafters, side by side with it."""
    for rafter in paths.members.mates(tie):
        own = paths.members.by_part.get(rafter.name)
        if own is None or own.name not in paths.thrust:
            continue
        held_n, count, of_one = 0.0, 0, ()
        for one in joints.between([tie], [rafter]):
            nail_mm = bought(one).nail_mm
            if nail_mm:
                z, of_one = _face_nail(woods, tie, rafter, nail_mm)
                held_n += one.pieces * z
                count += one.pieces
        wet = dowels.WET if tie.material.treated or rafter.material.treated else 1.0
        checks = [
            Check(
                member=tie.name,
                rule=Rule.JOINT,
                combination=combination,
                demand=max(0.0, combination.of(pull)),
                capacity=held_n * combination.duration.value * wet,
                measured=Measured.FORCE,
                formula="T",
                numbers=(
                    *(
                        Number(f"{load.value}, of T", pull.get(load, 0.0), Measured.FORCE)
                        for load, _ in combination.shares
                    ),
                    Number("n", count, Measured.COUNT),
                    *of_one,
                ),
                clause="IRC R802.5.2; NDS 12.3.1",
                limit=f"nails, n Z x CD {combination.duration.value:g} x CM {wet:g}",
                place=f"at {rafter.name}",
            )
            for combination in acting(frozenset(pull))
        ]
        yield max(checks, key=lambda one: one.ratio)


def _face_nail(
    woods: Woods, side: Part, main: Part, nail_mm: tuple[float, float]
) -> tuple[float, tuple[Number, ...]]:
    """Z of one nail through the face of a board into another beside it, N, and why."""
    length_mm, diameter_mm = nail_mm
    nail, through_mm = dowels.nail(diameter_mm), min(side.across_mm)
    deep_mm = min(length_mm - through_mm, min(main.across_mm))
    return yielding(
        nail,
        side=dowels.wood(woods.gravity(side), nail, thick_mm=through_mm),
        main=dowels.wood(woods.gravity(main), nail, thick_mm=deep_mm),
    )


def _pull(paths: Paths, name: str, at: tuple[float, float, float]) -> Iterator[Loads]:
    """What it would be pulled with if both its rafters were as this one."""
    rafter = paths.members.by_part.get(name)
    if rafter is None or rafter.name not in paths.thrust:
        return
    raised = _raised(paths, rafter, at)
    if raised < 1:
        more = times_as_hard(raised)
        yield {load: more * force for load, force in paths.thrust[rafter.name].items()}


def times_as_hard(raised: float) -> float:
    """How many times as hard a tie is pulled that is raised. Source: IRC Table R802.5.2, note.

    Args:
        raised: From the plates towards the ridge, as a share of that height.
    """
    return 1 / (1 - raised)


def _raised(paths: Paths, rafter: Member, at: tuple[float, float, float]) -> float:
    """How far up from foot to ridge the tie is, as a share."""
    held = paths.held(rafter)
    ridge = next(one for one in held if one.part.kind is Kind.RIDGE_BOARD)
    foot = max(held, key=lambda one: abs(one.at_mm - ridge.at_mm))
    share = (rafter.at(at) - foot.at_mm) / (ridge.at_mm - foot.at_mm)
    return max(0.0, share)
