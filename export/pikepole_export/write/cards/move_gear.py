"""What carries a building on its move, at its true size and place: forks, pipes, a trailer, jacks.

carriers(site, up_mm) -> Carriers           by the way that the scene has
jacking(site) -> solids                    jacks and cribs under its outer bearers
corners(site, up_mm) -> (4, 3) float       where the jacks bear
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import assert_never

import numpy as np

from pikepole_export.derive.moving.jacks import AXES
from pikepole_export.derive.moving.ramp import PROP_MM
from pikepole_export.derive.moving.trailer import deck_edges_mm
from pikepole_export.graphics.colours import Colour
from pikepole_export.write.cards.crew import PIECE
from pikepole_export.write.cards.gear import BRACES, GEAR, crib
from pikepole_export.write.cards.marks import Mark, Symbol
from pikepole_export.write.cards.move_site import MoveSite, level
from pikepole_export.write.cards.solids import UP, Solid, bar
from pikepole_model.geometry.placement import Points
from pikepole_model.scene.moving import PIPE_MM, PLANK_MM, Ramp

STEEL: Colour = (0.36, 0.43, 0.50)

# Sizes of a drawing: only what carries the building is at its own.
CARRIAGE_MM = 110.0
MAST_MM = 2100.0
BODY_MM = 2000.0
WHEEL_MM = 700.0
PLANK_BROAD_MM = 240.0
WINCH_MM = 350.0
WINCH_OFF_MM = 2500.0
PIPES = 4  # where the scene has none
JACK_MM = 90.0
DECK_MM = 120.0
BESIDE_JACK_MM = 150.0
STRAP_MM = 50.0  # broad


def corners(site: MoveSite, up_mm: float) -> Points:
    """(4, 3) float: where the jacks bear, in the order in which it is raised."""
    ordered = sorted(site.moved.bearers, key=lambda part: AXES.span_into([part]))
    outer = (ordered[0], ordered[-1])
    start, end = AXES.span_along(outer)
    inset = site.plan.on_jacks.inset_mm
    middles = [sum(AXES.span_into([part])) / 2 for part in outer]
    return np.array(
        [
            level(AXES, along, into) + UP * (site.moved.underside_mm + up_mm)
            for along in (start + inset, end - inset)
            for into in middles
        ]
    )


def jacking(site: MoveSite) -> Iterator[Solid]:
    """A jack under each corner, and a crib beside it, further in."""
    jacks, ground = site.plan.on_jacks, site.moved.underside_mm
    along = level(AXES, 1.0, 0.0)
    tops = corners(site, site.jacked_mm)
    middle = tops.mean(axis=0)
    layers = jacks.cribs.layers if jacks.cribs else 2
    for top in tops:
        yield bar(top * [1, 1, 0] + UP * ground, top, JACK_MM, STEEL)
        inwards = along if float((middle - top) @ along) > 0 else -along
        beside = top + inwards * (jacks.crib_mm / 2 + BESIDE_JACK_MM)
        yield from crib(beside, along, jacks.crib_mm, ground, jacks.rise_mm / layers)


@dataclass(frozen=True, slots=True)
class Carriers:
    """What carries a building.

    Attributes:
        solids: Forks and their truck, pipes and their winch, a trailer.
        straps: That hold it on them.
        marks: The line of the winch.
    """

    solids: tuple[Solid, ...] = ()
    straps: tuple[Solid, ...] = ()
    marks: tuple[Mark, ...] = ()


def carriers(site: MoveSite, up_mm: float) -> Carriers:
    """What carries it, and its straps or its line.

    Args:
        site: Whose way it is.
        up_mm: How high over the ground what carries it is: forks that are raised.
    """
    match site.plan.way:
        case "forks":
            return _on_forks(site, up_mm)
        case "rollers":
            return _on_rollers(site)
        case "trailer":
            return _on_trailer(site)
        case "jacks":
            return Carriers()
        case _:
            assert_never(site.plan.way)


def _sled(site: MoveSite, start: Points, end: Points, size: tuple[float, float]) -> Solid:
    """A bar, (breadth, depth), between the middles of its ends' undersides."""
    broad, deep = size
    up = UP * deep / 2
    return bar(start + up, end + up, deep, STEEL, broad / deep)


def fork_lines(site: MoveSite) -> tuple[float, float]:
    """Middles of forks or runners along the side, mm."""
    forks = site.plan.on_forks
    if site.plan.way == "forks" and forks is not None:
        left = site.side.span_along(site.moved.floor)[0]
        return left + forks.forks.left_mm, left + forks.forks.right_mm
    centre, half = site.side.place(site.moved.centre_mm)[0], site.move.fork_spacing / 2
    return centre - half, centre + half


def _on_forks(site: MoveSite, up_mm: float) -> Carriers:
    move, face = site.move, site.into[0]
    lines = fork_lines(site)
    found: list[Solid] = []
    for line in lines:
        start, end = (site.at(line, into, up_mm) for into in (face, face + move.fork))
        found.append(_sled(site, start, end, (move.fork_width, move.fork_thickness)))
        found.append(bar(start, start + UP * (500.0 + move.fork_thickness), CARRIAGE_MM, STEEL))
        if move.beams:
            beam = site.at(line, face, up_mm + move.fork_thickness)
            found.append(_beam(site, beam))
    found += _truck(site, lines, up_mm)
    return Carriers(tuple(found), _strapped_back(site, lines, up_mm))


def _beam(site: MoveSite, start: Points) -> Solid:
    """A carrying beam on edge, from the middle of its end's underside."""
    beams = site.move.beams
    assert beams
    stock = site.building.scene.lumber_stock(beams.section)
    up = UP * stock.depth_mm / 2
    end = start + site.side_way(0.0, beams.length)
    ratio = stock.breadth_mm / stock.depth_mm
    return bar(start + up, end + up, stock.depth_mm, BRACES, ratio)


def _truck(site: MoveSite, lines: tuple[float, float], up_mm: float) -> Iterator[Solid]:
    """Carriage, mast, body and wheels of the truck, as it is drawn."""
    face, middle = site.into[0] - CARRIAGE_MM / 2, sum(lines) / 2
    left, right = lines[0] - CARRIAGE_MM, lines[1] + CARRIAGE_MM
    for over in (150.0, 480.0):
        yield bar(
            site.at(left, face, up_mm + over),
            site.at(right, face, up_mm + over),
            CARRIAGE_MM,
            STEEL,
        )
    for off in (-350.0, 350.0):
        foot = site.at(middle + off, face - 150.0, 120.0)
        yield bar(foot, foot + UP * MAST_MM, CARRIAGE_MM, GEAR)
    body = face - 350.0
    yield bar(
        site.at(middle, body, 700.0), site.at(middle, body - BODY_MM, 700.0), 700.0, GEAR, 1.6
    )
    for into in (body - 350.0, body - BODY_MM + 350.0):
        for off in (-620.0, 620.0):
            wheel = site.at(middle + off, into, WHEEL_MM / 2)
            half = site.side_way(110.0, 0.0)
            yield bar(wheel - half, wheel + half, WHEEL_MM, STEEL)


def _strapped_back(site: MoveSite, lines: tuple[float, float], up_mm: float) -> tuple[Solid, ...]:
    """Two straps from the carriage round the floor frame."""
    left, right = site.along
    near, far = site.into
    low = site.moved.underside_mm + site.gear_mm + up_mm
    found: list[Solid] = []
    for over in (STRAP_MM / 2, 2.5 * STRAP_MM):
        ring = [(lines[0], site.into[0]), (left, near), (left, far), (right, far), (right, near)]
        ring.append((lines[1], site.into[0]))
        spots = [site.at(along, into, low + over) for along, into in ring]
        found += [bar(a, b, STRAP_MM, PIECE) for a, b in pairwise(spots)]
    return tuple(found)


def _on_rollers(site: MoveSite) -> Carriers:
    move, on_pipes = site.move, site.plan.on_pipes
    near, far = site.side.span_into(site.moved.bearers)
    runs = move.beams.length if move.beams else far - near
    under, ahead = (on_pipes.under, on_pipes.ahead) if on_pipes else (PIPES, 0)
    spacing = runs / under
    lines = _roll_on(site)
    thick = move.pipes.diameter if move.pipes else PIPE_MM
    long = move.pipes.length if move.pipes else lines[1] - lines[0] + 2 * PLANK_BROAD_MM
    middle = sum(lines) / 2
    found: list[Solid] = []
    for line in lines:
        start, end = near - (ahead + 1) * spacing, near + runs + spacing / 2
        up = UP * PLANK_MM / 2
        found.append(
            bar(
                site.at(line, start, 0.0) + up,
                site.at(line, end, 0.0) + up,
                PLANK_MM,
                BRACES,
                PLANK_BROAD_MM / PLANK_MM,
            )
        )
        if move.beams:
            found.append(_beam(site, site.at(line, near, move.lies_at_mm)))
    for number in range(-ahead, under):
        into, half = near + spacing * (number + 0.5), long / 2
        ends = [site.at(middle + half * s, into, PLANK_MM + thick / 2) for s in (-1, 1)]
        found.append(bar(ends[0], ends[1], thick, STEEL))
    ends_mm = near - (ahead + 1) * spacing
    if move.ramp:
        run = math.sqrt(max(move.ramp.length**2 - move.ramp.height**2, 0.0))
        found += _ramp(site, lines, move.ramp, ends_mm, run)
        ends_mm -= run
    winch = site.at(middle, ends_mm - WINCH_OFF_MM, WINCH_MM / 2)
    half = site.side_way(WINCH_MM, 0.0)
    found.append(bar(winch - half, winch + half, WINCH_MM, STEEL))
    low = site.moved.underside_mm + site.gear_mm + STRAP_MM
    strap = [site.at(line, near, low) for line in lines]
    joint = site.at(middle, near - 600.0, low)
    marks = [Mark(Symbol.SLING, end, joint) for end in strap]
    return Carriers(tuple(found), marks=(*marks, Mark(Symbol.SLING, joint, winch)))


def _ramp(
    site: MoveSite, lines: tuple[float, float], ramp: Ramp, foot_mm: float, run_mm: float
) -> Iterator[Solid]:
    """Its planks in two rows, and their props."""
    stock = site.building.scene.lumber_stock(ramp.plank)
    thick, broad = stock.breadth_mm, stock.depth_mm * ramp.planks
    props = max(math.ceil(ramp.length / ramp.span_mm - 1e-9), 1)
    for line in lines:
        foot = site.at(line, foot_mm, thick / 2)
        head = site.at(line, foot_mm - run_mm, ramp.height - thick / 2)
        yield bar(foot, head, thick, BRACES, broad / thick)
        for number in range(1, props + 1):
            under = foot + (head - foot) * number / props - UP * thick / 2
            yield bar(under * [1, 1, 0], under, PROP_MM, BRACES)


def ramp_foot(site: MoveSite) -> Points:
    """(3,) float: where its ramp begins, on the right."""
    on_pipes, (near, far) = site.plan.on_pipes, site.side.span_into(site.moved.bearers)
    runs = site.move.beams.length if site.move.beams else far - near
    ahead, under = (on_pipes.ahead, on_pipes.under) if on_pipes else (0, PIPES)
    return site.at(_roll_on(site)[1], near - (ahead + 1) * runs / under, 0.0)


def _roll_on(site: MoveSite) -> tuple[float, float]:
    """Middles of what rolls: runners, or the outer bearers."""
    if site.move.beams:
        return fork_lines(site)
    spans = sorted(site.side.span_along([part]) for part in site.moved.bearers)
    return sum(spans[0]) / 2, sum(spans[-1]) / 2


def _on_trailer(site: MoveSite) -> Carriers:
    trailer, on = site.move.trailer, site.plan.on_trailer
    assert trailer
    assert on
    front = site.into[0] - on.begins_mm
    along = site.side.place(site.moved.centre_mm)[0]
    edges = deck_edges_mm(site.moved, site.move, trailer, along)
    middle, top = sum(edges) / 2, trailer.deck_height
    thick = min(DECK_MM, top)
    level_mm = top - thick / 2
    found = [
        bar(
            site.at(middle, front, level_mm),
            site.at(middle, front + trailer.deck_length, level_mm),
            thick,
            STEEL,
            trailer.deck_width / thick,
        ),
        bar(
            site.at(middle, front - trailer.hitch, level_mm),
            site.at(middle, front, level_mm),
            thick,
            STEEL,
        ),
    ]
    rear = site.at(middle, front + trailer.deck_length - site.move.crib / 2, top - thick)
    found += crib(rear, site.side_way(0.0, 1.0), site.move.crib, 0.0)
    wheel = min(WHEEL_MM, 1.6 * top)
    for into in (trailer.axle - wheel * 0.55, trailer.axle + wheel * 0.55):
        for edge, out in zip(edges, (-1, 1), strict=True):
            at = site.at(edge + out * 130.0, front + into, wheel / 2)
            half = site.side_way(100.0, 0.0)
            found.append(bar(at - half, at + half, wheel, GEAR))
    deck = front, front + trailer.deck_length
    return Carriers(tuple(found), _strapped_down(site, edges, deck))


def _strapped_down(
    site: MoveSite, edges: tuple[float, float], deck: tuple[float, float]
) -> tuple[Solid, ...]:
    """Four straps, from the edges of the deck up over the floor frame's."""
    near, far = site.side.span_into(site.moved.floor)
    near, far = max(near, deck[0]), min(far, deck[1])
    low = site.moved.underside_mm + site.gear_mm
    high = max(part.bounds_mm[1][2] for part in site.moved.floor) + site.gear_mm
    ends = site.side.span_along(site.moved.floor)
    found: list[Solid] = []
    for share in (0.2, 0.8):
        into = near + (far - near) * share
        for edge, end in zip(edges, ends, strict=True):
            found.append(bar(site.at(edge, into, low), site.at(end, into, high), STRAP_MM, PIECE))
    return tuple(found)
