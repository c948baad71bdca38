"""What is drawn on the card of a move: the building at each step, and what carries it.

move_scene(building, plan) -> CardScene
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import assert_never

import numpy as np

from pikepole_export.derive.moving.plan import MovePlan
from pikepole_export.derive.moving.preparations import (
    Step,
    panes,
)
from pikepole_export.write.cards.crew import PEOPLE, PIECE, SHADOW, SHADOW_MM
from pikepole_export.write.cards.marks import Mark, Symbol
from pikepole_export.write.cards.move_braces import bracing
from pikepole_export.write.cards.move_gear import (
    Carriers,
    carriers,
    corners,
    fork_lines,
    jacking,
    ramp_foot,
)
from pikepole_export.write.cards.move_site import MoveSite, move_site
from pikepole_export.write.cards.move_words import (
    clearance,
    corner_load,
    lifted,
    long,
)
from pikepole_export.write.cards.scene import NOTHING, CardScene, Panel, looked_at
from pikepole_export.write.cards.solids import (
    UP,
    Solid,
    bar,
    disc,
    joined,
    person,
    pieces,
    raised,
)
from pikepole_export.write.cards.words import mass
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.placement import Points

KEY = "Pale: the building.  Grey: what carries it.  Orange: to put on, or to take off."
ASIDE_DEG = 55.0  # from square on to the side that it goes by: what carries it is seen sideways

GATE_MM = 1500.0  # height of a gate's posts, as they are drawn
POST_MM = 90.0
GATE_OFF_MM = 900.0
SPOTTER_OFF_MM = 1500.0
SIGNAL_MM = 1500.0  # height of the spotter's hands
TIE_MM = 60.0
TIE_OFF_MM = 450.0
ANCHORS, GROUND_ANCHORS = "anchors", "ground anchors"  # groups of what holds it down


@dataclass(slots=True)
class _Shown:
    """What one picture shows, as it is put together."""

    around: Solid
    carrying: list[Solid] = field(default_factory=list[Solid])
    added: list[Solid] = field(default_factory=list[Solid])
    marks: list[Mark] = field(default_factory=list[Mark])
    feet: list[Points] = field(default_factory=list[Points])


def move_scene(building: Building, plan: MovePlan) -> CardScene:
    """What the card of a move shows, a picture for each of its steps.

    Args:
        building: Its scene has a move.
        plan: Of that.
    """
    site = move_site(building, plan)
    outward, aside = site.side_way(0.0, -1.0), site.side_way(1.0, 0.0)
    axes, light = looked_at(outward, aside, ASIDE_DEG)
    shown = [_shown(site, step) for step in plan.steps]
    return CardScene(
        stages=(),
        stands=NOTHING,
        panels=tuple(_panel(number, one) for number, one in enumerate(shown, start=1)),
        axes=axes,
        light=light,
        key=KEY,
    )


def _panel(number: int, shown: _Shown) -> Panel:
    carrying = joined(shown.carrying)
    drawn = joined([carrying, *shown.added])
    return Panel(
        head=(str(number),),
        before=NOTHING,
        after=drawn,
        marks=tuple(shown.marks),
        people=np.array(shown.feet).reshape(-1, 3),
        # What is put on or taken off lies on the building, and counts twice.
        loads=tuple(
            one.points for one in (shown.around, carrying, *shown.added) if len(one.points)
        ),
        seen=np.concatenate([shown.around.points, drawn.points]),
        around=shown.around,
    )


def _shown(site: MoveSite, step: Step) -> _Shown:
    match step:
        case Step.FIRST:
            return _first(site)
        case Step.UP:
            return _up(site)
        case Step.ON:
            return _on(site)
        case Step.WAY:
            return _way(site)
        case Step.DOWN:
            return _down(site)
        case Step.TIED:
            return _tied(site)
        case _:
            assert_never(step)


def _first(site: MoveSite) -> _Shown:
    """Braces to put on, orange; glass and posts to take off."""
    shown = _Shown(site.standing(0.0))
    parts = {part.name: part for part in site.moved.staying}
    shown.added, shown.marks = bracing(site)
    glass = panes(site.moved)
    undone = [parts[name] for tie in site.plan.row.ties for name in tie.holders]
    for off, said in ((glass, "take out or board over"), (undone, "undo")):
        if off:
            shown.added.append(_orange(off))
            shown.marks.append(Mark(Symbol.NOTE, np.array(off[0].centre_mm), None, (said,)))
    return shown


def _orange(parts: Sequence[Part]) -> Solid:
    return pieces(parts, np.tile(PIECE, (len(parts), 1)))


def _up(site: MoveSite) -> _Shown:
    """On jacks and cribs, what each corner has beside it."""
    jacks = site.plan.on_jacks
    shown = _Shown(site.standing(site.jacked_mm))
    if not jacks.rise_mm:
        shown.marks.append(Mark(Symbol.NOTE, corners(site, 0.0)[-1], None, ("no jacking",)))
        return shown
    shown.carrying += jacking(site)
    for number, (at, corner) in enumerate(
        zip(corners(site, site.jacked_mm), jacks.corners, strict=True), start=1
    ):
        said = (f"{number}: {corner_load(corner.mass, site.units)}",)
        shown.marks.append(Mark(Symbol.LIFT, at, UP, said))
    shown.marks.append(_rise(site, "up"))
    return shown


def _rise(site: MoveSite, way: str) -> Mark:
    """How far it stands over where it lay, at its far right corner."""
    floor = site.moved.floor
    right, far = site.side.span_along(floor)[1], site.side.span_into(floor)[1]
    at = site.at(right, far, site.moved.underside_mm)
    said = (f"{way} {long(site.jacked_mm, site.units)}",)
    return Mark(Symbol.SIZE, at, at + UP * site.jacked_mm, said)


def _on(site: MoveSite) -> _Shown:
    """On what carries it, which stands on the ground."""
    shown = _Shown(site.carried(site.gear_mm))
    found = _carry(site, shown, 0.0)
    shown.marks += _balance(site, site.gear_mm)
    shown.marks += _told(site, found)
    return shown


def _carry(site: MoveSite, shown: _Shown, up_mm: float) -> Carriers:
    found = carriers(site, up_mm)
    shown.carrying += found.solids
    shown.added += found.straps
    shown.marks += found.marks
    return found


def _told(site: MoveSite, found: Carriers) -> Iterator[Mark]:
    """What its straps are, how its pipes lie, what winch and tongue have."""
    floor, up_mm = site.side.span_into(site.moved.floor), site.moved.underside_mm + site.gear_mm
    match site.plan.way:
        case "forks":
            at = site.at(site.along[1], floor[1], up_mm)
            yield Mark(Symbol.NOTE, at, None, ("two straps, low",))
        case "trailer":
            trailer, on = site.move.trailer, site.plan.on_trailer
            assert trailer
            assert on
            strap = floor[0] + (floor[1] - floor[0]) * 0.8
            right = site.side.span_along(site.moved.floor)[1]
            yield Mark(Symbol.NOTE, site.at(right, strap, up_mm), None, ("four straps",))
            hitch = site.into[0] - on.begins_mm - trailer.hitch
            middle = sum(site.along) / 2
            said = (f"tongue {mass(on.tongue.high_kg, site.units)}",)
            yield Mark(Symbol.NOTE, site.at(middle, hitch, trailer.deck_height), None, said)
        case "rollers":
            winch = found.marks[-1].to
            assert winch is not None
            rated = mass(site.plan.on_rollers.winch_kg, site.units, "up")
            yield Mark(Symbol.NOTE, winch, None, (f"winch {rated}",))
            if site.plan.on_pipes is not None:
                apart = long(site.plan.on_pipes.spacing_mm, site.units)
                at = site.at(site.along[1], floor[1], 0.0)
                yield Mark(Symbol.NOTE, at, None, (f"pipes {apart} apart",))
        case "jacks":
            return
        case _:
            assert_never(site.plan.way)


def _balance(site: MoveSite, up_mm: float) -> Iterator[Mark]:
    """Its centre of gravity, what it weighs, and for forks how far that is from their face."""
    centre = np.array(site.plan.row.centre_of_gravity_mm) + UP * up_mm
    yield Mark(Symbol.CENTRE, centre)
    yield Mark(Symbol.WEIGHT, centre, -UP, (lifted(site.plan, site.units),))
    if site.plan.on_forks is not None and site.plan.way == "forks":
        face, far = site.into[0], site.into[0] + site.plan.on_forks.lifts.load_centre_mm
        right = site.along[1]
        start, end = (site.at(right, into, float(centre[2])) for into in (face, far))
        said = (f"{long(site.plan.on_forks.lifts.load_centre_mm, site.units)} to face",)
        yield Mark(Symbol.SIZE, start, end, said)
        forks = site.plan.on_forks.forks
        ends = " and ".join(long(mm, site.units) for mm in (forks.left_mm, forks.right_mm))
        at = site.at(fork_lines(site)[1], face, up_mm)
        yield Mark(Symbol.NOTE, at, None, ("forks from left end:", ends))


def _way(site: MoveSite) -> _Shown:
    """As it is carried: how wide and high it is, the gate, who stands where."""
    does, units = site.plan.conduct, site.units
    shown = _Shown(site.carried(does.up_mm))
    _carry(site, shown, does.carry_mm)
    (left, right), (near, far) = site.along, site.into
    top = site.top_mm + does.up_mm
    ahead = _ahead(site)
    middle, half = (left + right) / 2, does.gate_mm / 2
    posts = [site.at(middle + half * sign, ahead, 0.0) for sign in (-1, 1)]
    shown.added += [bar(post, post + UP * GATE_MM, POST_MM, PIECE) for post in posts]
    shown.marks += [
        Mark(
            Symbol.SIZE,
            posts[0] + UP * GATE_MM,
            posts[1] + UP * GATE_MM,
            (f"gate {clearance(does.gate_mm, units)}",),
        ),
        Mark(
            Symbol.SIZE,
            site.at(left, near, top),
            site.at(right, near, top),
            (f"wide {clearance(does.wide_mm, units)}",),
        ),
        Mark(
            Symbol.SIZE,
            site.at(right, far, 0.0),
            site.at(right, far, does.high_mm),
            (
                f"high {clearance(does.high_mm, units)},",
                f"wires {clearance(does.from_wires_mm, units)} off",
            ),
        ),
    ]
    if does.carry_mm:
        at = site.at(fork_lines(site)[1], near + site.move.fork, 0.0)
        said = (f"forks {long(does.carry_mm, units)} up",)
        shown.marks.append(Mark(Symbol.SIZE, at, at + UP * does.carry_mm, said))
    if does.carry_mm == 0.0 and site.plan.on_ramp is not None:
        at, said = ramp_foot(site), f"ramp {site.plan.on_ramp.slope_deg:.1f} deg"
        shown.marks.append(Mark(Symbol.NOTE, at, None, (said,)))
    _spotter(site, shown, ahead)
    return shown


def _ahead(site: MoveSite) -> float:
    """Where the way goes on: before a truck, towards a winch or a hitch."""
    near, far = site.into
    match site.plan.way:
        case "forks" | "jacks":
            return far + GATE_OFF_MM
        case "rollers":
            return near - GATE_OFF_MM
        case "trailer":
            hitch = site.move.trailer.hitch if site.move.trailer else 0.0
            return near - hitch - GATE_OFF_MM
        case _:
            assert_never(site.plan.way)


def _spotter(site: MoveSite, shown: _Shown, into_mm: float) -> None:
    """In sight of who drives, beside the way."""
    feet = site.at(site.along[1] + SPOTTER_OFF_MM, into_mm, 0.0)
    way = site.side_way(0.0, -1.0 if into_mm > site.into[0] else 1.0)
    shown.added += [
        disc(feet, SHADOW_MM, SHADOW),
        person(feet, feet + way * 350.0 + UP * SIGNAL_MM, PEOPLE),
    ]
    shown.feet.append(feet)
    shown.marks.append(Mark(Symbol.NOTE, feet + UP * SIGNAL_MM, None, ("spotter",)))


def _down(site: MoveSite) -> _Shown:
    """Over its bed, on four cribs, and which way it goes."""
    shown = _Shown(site.set_down(site.jacked_mm))
    if site.jacked_mm:
        shown.carrying += [raised(one, site.rests_mm) for one in jacking(site)]
        shown.marks.append(_rise(site, "down"))
    up = UP * (site.rests_mm + site.moved.size_mm[2] / 2)  # so that the arrows end in the picture
    for number, at in enumerate(corners(site, site.jacked_mm)):
        said = ("evenly, level",) if number == 2 else ()
        shown.marks.append(Mark(Symbol.PUSH, at + up, -UP, said))
    footings = [part for part in site.bed if part.kind is Kind.FOOTING]
    if footings:
        shown.added.append(_orange(footings))
        at = np.array(footings[0].centre_mm) * [1, 1, 0] + UP * footings[0].bounds_mm[1][2]
        shown.marks.append(Mark(Symbol.NOTE, at, None, ("no wheel here",)))
    return shown


def _tied(site: MoveSite) -> _Shown:
    """On its bed, held down by its anchors, or else tied at its four corners."""
    shown = _Shown(site.set_down(0.0))
    for group, said in (
        (ANCHORS, ("angles, and anchors", "drilled in")),
        (GROUND_ANCHORS, ("ground anchors",)),
    ):
        anchors = [part for part in site.building.parts if part.group == group]
        if anchors:
            shown.added.append(_orange(anchors))
            shown.marks.append(Mark(Symbol.NOTE, np.array(anchors[0].centre_mm), None, said))
            return shown
    (left, right), (near, far) = (
        site.side.span_along(site.moved.floor),
        site.side.span_into(site.moved.floor),
    )
    floor = max(part.bounds_mm[1][2] for part in site.moved.floor)
    girders = any(part.kind is Kind.GIRDER for part in site.moved.floor)
    off = 0.0 if girders else TIE_OFF_MM
    for along, out in ((left, -1), (right, 1)):
        for into in (near, far):
            top = site.at(along, into, floor)
            foot = site.at(along + out * (off + TIE_MM), into, 0.0)
            shown.added += [
                bar(foot, top, TIE_MM / 2, PIECE),
                bar(foot - UP * 1, foot + UP * 80, 150.0, PIECE),
            ]
    said = "tie to the piers" if girders else "ground anchor"
    shown.marks.append(
        Mark(Symbol.NOTE, site.at(right + off, near, 40.0), None, (said, "at each corner"))
    )
    return shown
