"""What must hold for what was measured: it is there, near the plan, and the rest fits it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from pikepole_model.building.sequence import steps_of
from pikepole_model.errors import KeyPath, Problem, any_of, either, key_text, leave_out
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.as_measured import planned_mm, stands
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.rules.ruler import Ruler
from pikepole_model.scene.measured import Measured, What
from pikepole_model.scene.schema import RidgeBeam, Scene
from pikepole_model.stock.catalogue import nearest_names

# What is farther off was measured wrong or is another building: a plate was left out or put on
# twice, or a tape was read from another face. The thickness of a plate, common practice, no source.
FARTHEST_MM = 38.1
# What is more twisted or out of square than this is planed, shimmed or pulled square before a roof
# goes on it. Common practice, no source.
MOST_TWIST_MM = 12.7


def measured_problems(
    roof: RoofPlan, ruler: Ruler, problems_of: Callable[[Datums], Iterator[Problem]] | None
) -> Iterator[Problem]:
    """What is wrong with what was measured.

    Args:
        roof: As planned.
        ruler: Gives lengths in the scene's units.
        problems_of: What does not fit in a scene; None where this one does not fit as planned.
    """
    scene = roof.datums.scene
    found = [
        problem
        for number, one in enumerate(scene.measured)
        for problem in (
            *_stage(scene, number, one),
            *_twice(scene, number, one),
            *_value(roof, number, one, ruler),
        )
    ]
    if scene.measured and scene.move and scene.move.built_on:
        found.append(
            Problem.at(
                ("measured",),
                "is not worked out for a building that is moved off what it is built on",
                either(leave_out(("measured",)), leave_out(("move", "built_on"))),
            )
        )
    yield from found
    if problems_of and not found:
        yield from _fits(roof, ruler, problems_of)


def _stage(scene: Scene, number: int, one: Measured) -> Iterator[Problem]:
    """A stage of the work, in which what was measured stands."""
    steps, path = steps_of(scene), ("measured", number, "after")
    names = [step.name for step in steps]
    if one.after not in names:
        yield Problem.at(
            path, "the work has no such stage", f"give {nearest_names(one.after, names)}"
        )
        return
    groups = _stands_as(scene, one.what)
    first = next((k for k, step in enumerate(steps) if groups & set(step.groups)), 0)
    if names.index(one.after) < first:
        yield Problem.at(
            path,
            f"comes before what the {one.what} is measured on is there",
            f'give "{names[first]}"',
        )


def _stands_as(scene: Scene, what: What) -> set[str]:
    """The groups of pieces of which one has to stand before something can be measured."""
    match what:
        case "front height" | "back height":
            return {"posts"} if scene.posts else {f"{what.split()[0]} wall"}
        case "ridge height":
            on_beam = isinstance(scene.roof.ridge, RidgeBeam)
            return {"ridge beam" if on_beam else "rafters"} if scene.roof.ridge else set()
        case "span" | "diagonals":
            return {"posts"} if scene.posts else {"floor frame", "foundation"}


def _twice(scene: Scene, number: int, one: Measured) -> Iterator[Problem]:
    for k, other in enumerate(scene.measured[:number]):
        if (other.after, other.what) == (one.after, one.what):
            yield Problem.at(
                ("measured", number, "what"),
                f'was measured after "{one.after}" already, in measured[{k + 1}]',
                either(leave_out(("measured", number)), leave_out(("measured", k))),
            )
            return


def _value(roof: RoofPlan, number: int, one: Measured, ruler: Ruler) -> Iterator[Problem]:
    """Something that is there, near what is planned and not too twisted."""
    planned, path = planned_mm(roof, one.what), ("measured", number)
    if planned is None:
        there: tuple[What, ...] = ("span", "front height", "back height", "diagonals")
        yield Problem.at((*path, "what"), "is nothing that this roof has", f"give {any_of(there)}")
    elif one.what == "diagonals":
        yield from _diagonals(roof.datums.scene, number, one, ruler)
    else:
        low, high = planned - FARTHEST_MM, planned + FARTHEST_MM
        left, right = one.at_ends
        ends = (("left", left),) if one.right is None else (("left", left), ("right", right))
        far = [
            (end, told) for end, told in ends if abs(told - planned) > FARTHEST_MM + TOLERANCE_MM
        ]
        for end, told in far:
            yield Problem.at(
                (*path, end),
                f"is {ruler.at(abs(told - planned))} {'over' if told > planned else 'under'} the "
                f"{ruler.at(planned)} that are planned, farther than anybody builds: measure again",
                ruler.between(low, high),
            )
        if not far and abs(left - right) > MOST_TWIST_MM + TOLERANCE_MM:
            yield Problem.at(
                (*path, "right"),
                f"is {ruler.at(abs(left - right))} off what it is at the left end, too much of a "
                "twist for a roof: plane the high end or shim the low one, and measure again",
                ruler.between(left - MOST_TWIST_MM, left + MOST_TWIST_MM),
            )


def _diagonals(scene: Scene, number: int, one: Measured, ruler: Ruler) -> Iterator[Problem]:
    """Two diagonals of this building, and of one that is square enough to go on with."""
    path, (left, right) = ("measured", number), one.at_ends
    shear = abs(one.shear_mm(scene.building.length))
    depth = scene.building.depth
    spans = (sum(other.at_ends) / 2 for other in scene.measured if other.what == "span")
    # One that is wrong itself says nothing.
    span = next((told for told in spans if abs(told - depth) <= FARTHEST_MM), depth)
    # Of a parallelogram the squares of both diagonals add up to those of all four sides.
    length, mean = math.hypot(scene.building.length, span), math.hypot(left, right) / math.sqrt(2)
    if abs(mean - length) > FARTHEST_MM:
        yield Problem.at(
            (*path, "left"),
            f"is no diagonal of {ruler.at(scene.building.length)} by {ruler.at(span)}: measure "
            "both again from corner to corner",
            _both(path, length, ruler),
        )
    elif shear > MOST_TWIST_MM + TOLERANCE_MM:
        yield Problem.at(
            (*path, "left" if left > right else "right"),
            f"shows it {ruler.at(shear)} out of square from front to back: pull the longer "
            "diagonal in and brace it",
            _both(path, mean, ruler),
        )


def _both(path: KeyPath, length_mm: float, ruler: Ruler) -> str:
    """The mend that has it the same at both ends."""
    ends = (key_text((*path, end)) for end in ("left", "right"))
    return ", and ".join(f"give {end} {ruler.at(length_mm)}" for end in ends)


def _fits(
    roof: RoofPlan, ruler: Ruler, problems_of: Callable[[Datums], Iterator[Problem]]
) -> Iterator[Problem]:
    """The rest of the building fits what stands."""
    scene = roof.datums.scene
    for stand in stands(scene):
        for place in (0.0, 1.0) if stand.twist_mm else (0.5,):
            problem = next(problems_of(Datums(stand.at(place))), None)
            if problem:
                off_mm, number, planned = max(_off(roof))
                yield Problem.at(
                    ("measured", number, "left"),
                    f"is up to {ruler.at(off_mm)} off the {ruler.at(planned)} that are planned, "
                    f"and what comes next does not fit: {problem.key} {problem.wrong}",
                    _both(("measured", number), planned, ruler),
                )
                return


def _off(roof: RoofPlan) -> Iterator[tuple[float, int, float]]:
    """How far off the plan each thing is at most, its number, and what is planned, mm."""
    for number, one in enumerate(roof.datums.scene.measured):
        planned = planned_mm(roof, one.what)
        if planned is not None and one.what != "diagonals":
            yield max(abs(told - planned) for told in one.at_ends), number, planned
