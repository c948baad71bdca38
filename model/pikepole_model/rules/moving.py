"""What must hold for the move of a building: a stage that there is, and gear that reaches."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import assert_never

from pikepole_model.building.sequence import steps_of
from pikepole_model.errors import KeyPath, Problem, either, leave_out, other, without
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.rules.ruler import Ruler
from pikepole_model.scene.crew import Jack
from pikepole_model.scene.foundation import Pad, Piers, Skids
from pikepole_model.scene.moving import (
    LONGEST_FORK_MM,
    STEEPEST_DEG,
    CarryingBeams,
    Move,
    Ramp,
    Trailer,
)
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.catalogue import nearest_names

FLOOR_FRAME = "floor frame"

# What lengthens a fork is at most one and a half times as long as it. Source: ANSI B56.1-2005,
# 7.39.1, written for fork extensions; here by analogy for beams on them.
MOST_OF_FORK = 1.5

# Room past what rolls on it at each end of a pipe: 6 in, common practice, no source.
PIPE_PAST_MM = 152.4

# Pipes under the building at once. Source: US Navy, Steelworker (NAVEDTRA 14251), four to six.
LEAST_UNDER = 4

# Where no length will do: from an end, where it is shorter, or built where it stays.
_ELSEWHERE = (other("move", "side"), without("move"))


def move_problems(scene: Scene, move: Move) -> Iterator[Problem]:
    """What is wrong with a move of what a scene builds."""
    yield from _stage_problems(scene, move)
    yield from _left_over(move)
    foundation = scene.bearers
    if foundation is None:
        return
    ruler = Ruler(scene.units)
    yield from _beam_problems(scene, move, ruler)
    match move.way:
        case "forks":
            yield from _fork_problems(scene, foundation, move, ruler)
        case "rollers":
            yield from _roller_problems(scene, foundation, move, ruler)
        case "jacks":
            pass
        case "trailer":
            yield from _trailer_problems(scene, foundation, move, ruler)
        case _:
            assert_never(move.way)
    yield from _jack_problems(scene, move, ruler)


def _stage_problems(scene: Scene, move: Move) -> Iterator[Problem]:
    steps = steps_of(scene)
    stages = [step.name for step in steps]
    if scene.floor_pad:
        yield Problem.at(
            ("move",),
            "moves a store whose walls are framed on its pad",
            either(
                leave_out(("move",)), 'add the table [move.built_on] of kind "skids" or "piers"'
            ),
        )
    if move.built_on:
        yield from _onto_pad(scene, move, move.built_on.kind)
    framed = next((place for place, step in enumerate(steps) if FLOOR_FRAME in step.groups), 0)
    if move.after in stages[:framed]:
        yield Problem.at(
            ("move", "after"),
            "comes before the floor frame, when nothing stands that could be moved",
            f'give "{stages[framed]}"',
        )
    if move.after not in stages:
        yield Problem.at(
            ("move", "after"),
            "the work has no such stage",
            f"give {nearest_names(move.after, stages)}",
        )


def _onto_pad(scene: Scene, move: Move, kind: str) -> Iterator[Problem]:
    """A pad, a way to it, and work in an order that goes with it."""
    pad, ruler = scene.foundation, Ruler(scene.units)
    if not isinstance(pad, Pad):
        yield Problem.at(
            ("move", "built_on"),
            f"is {kind} that it is moved off, and foundation is no pad that it is moved onto",
            leave_out(("move", "built_on")),
        )
        return
    if move.way == "jacks":
        yield Problem.at(
            ("move", "way"),
            "takes it up and down where it stands, and the pad is elsewhere",
            "",
            other("move", "way"),
            without("move", "built_on"),
        )
    if move.ramp and move.ramp.height < pad.above_ground - TOLERANCE_MM:
        yield Problem.at(
            ("move", "ramp", "height"),
            f"ends under the pad, which stands {ruler.at(pad.above_ground)} out of the ground",
            f"give {ruler.at_least(pad.above_ground)}",
        )
    names = [step.name for step in steps_of(scene)]
    before = names[: names.index(move.after) + 1] if move.after in names else []
    for k, stage in enumerate(scene.stage):
        if "anchors" in stage.groups and stage.name in before:
            yield Problem.at(
                ("stage", k, "groups"),
                f'drills the anchors before it is moved, after "{move.after}"',
                f'put "anchors" into a stage after "{move.after}"',
            )


def _left_over(move: Move) -> Iterator[Problem]:
    """Tables of another way than the one that it is moved by."""
    for key, given, way in (
        ("pipes", move.pipes, "rollers"),
        ("trailer", move.trailer, "trailer"),
        ("pull", move.pull, "rollers"),
        ("ramp", move.ramp, "rollers"),
    ):
        if given is not None and move.way != way:
            yield Problem.at(
                ("move", key),
                f"goes with {way}, and the building is moved on {move.way}",
                f'leave out move.{key}, or give move.way "{way}"',
            )
    if move.beams and move.way in ("jacks", "trailer"):
        yield Problem.at(
            ("move", "beams"),
            f"goes with forks or rollers, and the building is moved on {move.way}",
            "leave out move.beams",
        )


def _across_mm(scene: Scene, move: Move) -> tuple[float, float]:
    """The building along the side that is worked from, and away from it, mm."""
    store = scene.building
    from_end = move.side in ("left", "right")
    return (store.depth, store.length) if from_end else (store.length, store.depth)


def _furthest_mm(scene: Scene, foundation: Skids | Piers, move: Move) -> float:
    """To the far face of the last member that has to bear, from the floor's edge, mm.

    From front or back that is the last skid or girder, from an end the last joist.
    """
    _, deep = _across_mm(scene, move)
    return deep if move.side in ("left", "right") else deep - foundation.inset


def _spread_problems(
    scene: Scene, move: Move, what: str, wide_mm: float, ruler: Ruler
) -> Iterator[Problem]:
    """Forks or beams that would not be under the building."""
    across, _ = _across_mm(scene, move)
    if move.fork_spacing + wide_mm > across + TOLERANCE_MM:
        yield Problem.at(
            ("move", "fork_spacing"),
            f"sets the {what} {ruler.at(move.fork_spacing)} apart, and the building's "
            f"{move.side} is {ruler.at(across)} long",
            f"give {ruler.at_most(across - wide_mm)}",
        )


def _fork_problems(
    scene: Scene, foundation: Skids | Piers, move: Move, ruler: Ruler
) -> Iterator[Problem]:
    yield from _spread_problems(scene, move, "forks", move.fork_width, ruler)
    needed = _furthest_mm(scene, foundation, move)
    if move.beams is None and move.fork < needed - TOLERANCE_MM:
        yield _with_mends(
            ("move", "fork"),
            f"ends before the last member of the floor, {ruler.at(needed)} in from the {move.side}",
            f"give {ruler.at_least(needed)}" if needed <= LONGEST_FORK_MM else "",
            f"give move.beams.length {ruler.at_least(needed)}"
            if needed <= MOST_OF_FORK * LONGEST_FORK_MM
            else "",
        )
    most = MOST_OF_FORK * move.fork
    if move.beams and move.beams.length > most + TOLERANCE_MM:
        fork = move.beams.length / MOST_OF_FORK
        yield _with_mends(
            ("move", "beams", "length"),
            f"is more than {MOST_OF_FORK:g} times the forks, {ruler.at(move.fork)} long "
            "(ANSI B56.1, of fork extensions)",
            f"give {ruler.at_most(most)}" if most >= needed else "",
            f"give move.fork {ruler.at_least(fork)}" if fork <= LONGEST_FORK_MM else "",
        )


def _with_mends(path: KeyPath, wrong: str, *mends: str) -> Problem:
    """What is wrong with the forks: where none is long enough, come from an end, or build there."""
    return Problem.at(path, wrong, either(*mends), *(() if any(mends) else _ELSEWHERE))


def _beam_problems(scene: Scene, move: Move, ruler: Ruler) -> Iterator[Problem]:
    """Carrying beams that end too soon, or that no board gives."""
    beams, foundation = move.beams, scene.bearers
    if beams is None or foundation is None or move.way not in ("forks", "rollers"):
        return
    needed = _furthest_mm(scene, foundation, move)
    if beams.length < needed - TOLERANCE_MM:
        yield Problem.at(
            ("move", "beams", "length"),
            f"ends before the last member of the floor, {ruler.at(needed)} in from the {move.side}",
            f"give {ruler.at_least(needed)}",
        )
    stock = scene.lumber_stock(beams.section)
    enough = stock.longest_mm >= needed
    yield from ruler.too_long(
        ("move", "beams", "length"),
        beams.length,
        stock,
        # Where the section has none that is long enough, it has to be another one, or another side.
        *(() if enough else (other("move", "beams", "section"), *_ELSEWHERE)),
        mend=f"give {ruler.at_most(stock.longest_mm)}" if enough else "",
    )


def _roller_problems(
    scene: Scene, foundation: Skids | Piers, move: Move, ruler: Ruler
) -> Iterator[Problem]:
    across, deep = _across_mm(scene, move)
    if move.beams is None and move.side in ("front", "back"):
        yield Problem.at(
            ("move", "side"),
            "draws it square to its bearers, which do not roll so",
            f'give move.beams.length {ruler.at_least(deep - foundation.inset)}, or give "left"',
        )
    if move.beams:
        yield from _spread_problems(scene, move, "beams", _broad_mm(scene, move.beams), ruler)
    if move.ramp:
        yield from _ramp_problems(scene, move.ramp, ruler)
    pipes = move.pipes
    if pipes is None:
        return
    if pipes.count - pipes.ahead < LEAST_UNDER:
        yield Problem.at(
            ("move", "pipes", "count"),
            f"leaves {pipes.count - pipes.ahead} under the building, with {pipes.ahead} ahead",
            f"give at least {pipes.ahead + LEAST_UNDER}",
        )
    spread = move.fork_spacing + _broad_mm(scene, move.beams) if move.beams else across
    if pipes.length < spread + 2 * PIPE_PAST_MM - TOLERANCE_MM:
        yield Problem.at(
            ("move", "pipes", "length"),
            f"does not reach past what rolls on it, {ruler.at(spread)} from out to out",
            f"give {ruler.at_least(spread + 2 * PIPE_PAST_MM)}",
        )


def _ramp_problems(scene: Scene, ramp: Ramp, ruler: Ruler) -> Iterator[Problem]:
    """A ramp that is too steep, or of planks that no board gives."""
    stock = scene.lumber_stock(ramp.plank)
    if ramp.slope_deg > STEEPEST_DEG + 1e-9:
        needed = ramp.height / math.sin(math.radians(STEEPEST_DEG))
        yield Problem.at(
            ("move", "ramp", "length"),
            f"is steeper than {STEEPEST_DEG:g} deg, {ruler.at(ramp.height)} up",
            f"give {ruler.at_least(needed)}" if needed <= stock.longest_mm else "",
            other("move", "ramp", "height"),
            without("move", "ramp"),
        )
    yield from ruler.too_long(
        ("move", "ramp", "length"),
        ramp.length,
        stock,
        without("move", "ramp"),
        mend=f"give {ruler.at_most(stock.longest_mm)}",
    )


def _broad_mm(scene: Scene, beams: CarryingBeams) -> float:
    return scene.lumber_stock(beams.section).breadth_mm


def _trailer_problems(
    scene: Scene, foundation: Skids | Piers, move: Move, ruler: Ruler
) -> Iterator[Problem]:
    trailer = move.trailer
    if trailer is None:
        add = "add the table [move.trailer]"
        yield Problem.at(("move", "trailer"), "is missing", add, other("move", "way"))
        return
    # The outermost bearers, out to out, have to lie on the deck.
    spread = scene.building.depth - 2 * foundation.inset
    yield from _deck_problems(move, trailer, spread, ruler)
    if not 0 < trailer.axle < trailer.deck_length + TOLERANCE_MM:
        yield Problem.at(
            ("move", "trailer", "axle"),
            f"is not under the deck, which is {ruler.at(trailer.deck_length)} long",
            f"give {ruler.at_most(trailer.deck_length)}",
        )


def _deck_problems(
    move: Move, trailer: Trailer, spread_mm: float, ruler: Ruler
) -> Iterator[Problem]:
    from_end = move.side in ("left", "right")
    key, deck = (
        ("deck_width", trailer.deck_width) if from_end else ("deck_length", trailer.deck_length)
    )
    if deck < spread_mm - TOLERANCE_MM:
        yield Problem.at(
            ("move", "trailer", key),
            f"is less than the bearers from out to out, {ruler.at(spread_mm)}",
            f"give {ruler.at_least(spread_mm)}",
        )


def _jack_problems(scene: Scene, move: Move, ruler: Ruler) -> Iterator[Problem]:
    """Jacks that there are none of, or that would stand past each other."""
    if move.way == "jacks" and not any(isinstance(one, Jack) for one in scene.crew.gear):
        yield Problem.at(
            ("move", "way"),
            "moves it on jacks, and the crew has none",
            'add the table [[crew.gear]] of kind "jack"',
            other("move", "way"),
        )
    most = scene.building.length / 2
    if move.jack_inset is not None and move.jack_inset >= most:
        yield Problem.at(
            ("move", "jack_inset"),
            f"is not less than half of the bearers, {ruler.at(scene.building.length)} long",
            f"give {ruler.at_most(scene.building.length / 4)}",
        )
