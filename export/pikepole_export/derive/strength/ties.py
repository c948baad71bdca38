"""The checks of rafter ties: what rafters on a ridge board pull them with.

tie_checks(paths, woods) -> checks
"""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_export.derive.strength import nds
from pikepole_export.derive.strength.check import Check, Measured, Number, Rule
from pikepole_export.derive.strength.combinations import acting
from pikepole_export.derive.strength.frame import Member
from pikepole_export.derive.strength.members import Found, Woods
from pikepole_export.derive.strength.paths import Loads, Paths
from pikepole_export.derive.strength.section import Section
from pikepole_model.building.kinds import Kind


def tie_checks(paths: Paths, woods: Woods) -> Iterator[Found]:
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
        yield Found(part.label or part.name, part.name, max(checks, key=lambda one: one.ratio))


def _pull(paths: Paths, name: str, at: tuple[float, float, float]) -> Iterator[Loads]:
    """What it would be pulled with if both its rafters were as this one.

    More where it is raised. Source: IRC Table R802.5.2, note.
    """
    rafter = paths.members.by_part.get(name)
    if rafter is None or rafter.name not in paths.thrust:
        return
    lever = 1 - _raised(paths, rafter, at)
    if lever > 0:
        yield {load: force / lever for load, force in paths.thrust[rafter.name].items()}


def _raised(paths: Paths, rafter: Member, at: tuple[float, float, float]) -> float:
    """How far up from foot to ridge the tie is, as a share."""
    held = paths.held(rafter)
    ridge = next(one for one in held if one.part.kind is Kind.RIDGE_BOARD)
    foot = max(held, key=lambda one: abs(one.at_mm - ridge.at_mm))
    share = (rafter.at(at) - foot.at_mm) / (ridge.at_mm - foot.at_mm)
    return max(0.0, share)
