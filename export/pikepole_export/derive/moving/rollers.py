"""A building on rollers behind a winch: what it takes to draw it up the side, and to hold it there.

on_rollers(building, mass_kg, move) -> OnRollers
on_pipes(building, moved, move, pipes) -> OnPipes      the frame and its runners on pipes
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pikepole_export.derive.lifting.gear import pull
from pikepole_export.derive.lifting.statics import weight_n
from pikepole_export.derive.moving.beams import CarryingBeam, beams_on_supports, broad_mm
from pikepole_export.derive.moving.carried import ON_JACKS, Carried, carried, lying_along
from pikepole_export.derive.moving.structure import SIDES, MovedStructure
from pikepole_model.building.part import Building
from pikepole_model.scene.crew import Winch
from pikepole_model.scene.moving import Move, Pipes
from pikepole_model.units import INCH_MM, STANDARD_GRAVITY_M_S2

# Soft ground, a tilted roller or the first jerk: pulls for the friction that the scene gives and
# for as many times that. Source: common practice, no source.
FRICTION_TIMES = (1.0, 1.5, 2.0)

# How deep wood is dented at its value square to the grain, 0.04 in. Source: NDS 4.2.6.
DENT_MM = 0.04 * INCH_MM

# What each further sheave takes of the pull. Source: common practice, no source.
SHEAVE_LOSS = 0.1


@dataclass(frozen=True, slots=True)
class WinchPull:
    """A pull up the way at one friction.

    Attributes:
        friction: Of the rollers, as a share of what presses on the way.
        force_n: At the building, N.
        line_n: In the line at the winch, N.
        rating_needed_kg: The mass whose weight that is, kg.
        winch_covers: Whether the scene's winch is rated for that; None where it has none.
    """

    friction: float
    force_n: float
    line_n: float
    rating_needed_kg: float
    winch_covers: bool | None


@dataclass(frozen=True, slots=True)
class OnRollers:
    """The building on rollers behind a winch, at the high mass.

    Attributes:
        mass_kg: Of what is drawn.
        rise_deg: Of the way, or of the ramp on it, whichever is steeper.
        parts: Of line.
        efficiency: Of all the blocks together.
        winch_rating_kg: Of the scene's winch; None where it has none.
        pulls: Up the side, by rising friction.
        holding_n: At the building, to hold it on the way or let it down; friction not counted on.
        holding_line_n: In the line then, N.
        holding_rating_kg: The mass whose weight that is, kg.
    """

    mass_kg: float
    rise_deg: float
    parts: int
    efficiency: float
    winch_rating_kg: float | None
    pulls: tuple[WinchPull, ...]
    holding_n: float
    holding_line_n: float
    holding_rating_kg: float

    @property
    def winch_kg(self) -> float:
        """What the winch has to be rated for: the hardest of the pulls."""
        return max(one.rating_needed_kg for one in self.pulls)

    @property
    def strap_kg(self) -> float:
        """What the strap round the frame has to hold then, as the mass whose weight it is."""
        return max(one.force_n for one in self.pulls) / STANDARD_GRAVITY_M_S2

    @property
    def anchor_kg(self) -> float:
        """What the anchor has to hold then: every part of the line."""
        return self.parts * self.winch_kg


@dataclass(frozen=True, slots=True)
class OnPipes:
    """The building on pipes, where only the outermost two of those under it bear.

    Attributes:
        under: How many lie under it at once.
        ahead: How many lie ready in front of it.
        spacing_mm: From pipe to pipe; the outermost lie so far in from the ends of what rolls.
        pipe_kg: The most on one pipe, high mass, jerks in it.
        rating_kg: What one may carry.
        frame: The floor frame on its runners, or on the pipes where its bearers roll.
        beam: One of the runners; None where the bearers roll.
    """

    under: int
    ahead: int
    spacing_mm: float
    pipe_kg: float
    rating_kg: float
    frame: Carried
    beam: CarryingBeam | None


def on_pipe_mm(diameter_mm: float) -> float:
    """How much of a runner's length lies on a pipe that dents it as deep as its value allows, mm.

    The chord of a circle that far up.
    """
    return 2 * math.sqrt(DENT_MM * (diameter_mm - DENT_MM))


def pipe_for_mm(length_mm: float) -> float:
    """The diameter of a pipe that so much lies on, mm."""
    return (length_mm / 2) ** 2 / DENT_MM + DENT_MM


def on_pipes(building: Building, moved: MovedStructure, move: Move, pipes: Pipes) -> OnPipes:
    """Put a building on its pipes, and its runners where it has some.

    Args:
        building: For its wood.
        moved: What is moved.
        move: Which way it is drawn.
        pipes: How many there are.
    """
    side, under = SIDES[move.side], pipes.count - pipes.ahead
    along, _ = side.place(moved.centre_mm)
    low, high = side.span_into(moved.bearers)
    beams = move.beams
    length_mm = beams.length if beams else high - low
    spacing_mm = length_mm / under
    supports = low + spacing_mm, low + length_mm - spacing_mm
    beam = None
    if beams:
        lines = along - move.fork_spacing / 2, along + move.fork_spacing / 2
        frame = carried(
            building,
            moved,
            side,
            lines_mm=lines,
            begins_mm=low,
            reach_mm=beams.length,
            tips_mm=beams.length - spacing_mm,
            bearing_mm=broad_mm(building, beams),
            impact=ON_JACKS,
        )
        left = side.span_along(moved.floor)[0]
        at = lines[0] - left, lines[1] - left
        beam = beams_on_supports(
            building,
            beams,
            frame,
            at_mm=at,
            begins_mm=low,
            supports_mm=supports,
            bearing_mm=on_pipe_mm(pipes.diameter),
        )
    else:
        sign = side.into_sign
        left, right = sorted(sign * one for one in supports)
        frame = lying_along(
            building,
            moved,
            SIDES["front"],
            moved.bearers,
            supports_mm=(left, right),
            bearing_mm=on_pipe_mm(pipes.diameter),
            impact=ON_JACKS,
        )
    mass_kg = moved.mass.high_kg + (2 * beam.mass.high_kg if beam else 0.0)
    return OnPipes(
        under=under,
        ahead=pipes.ahead,
        spacing_mm=spacing_mm,
        # Where it rocks over a pipe, that one has all of it.
        pipe_kg=mass_kg * ON_JACKS.factor,
        rating_kg=pipes.rating,
        frame=frame,
        beam=beam,
    )


def on_rollers(building: Building, mass_kg: float, move: Move) -> OnRollers:
    """Draw a building along a side, and hold it there.

    Without a winch in the scene the line is single.

    Args:
        building: Whose scene says which winch there is.
        mass_kg: Of what is moved, the high mass, kg.
        move: The rise of the side, and the friction of the rollers.

    Raises:
        LiftError: the mass is below zero.
    """
    found = winch_of(building)
    winch = found[1] if found else None
    parts = winch.parts if winch else 1
    efficiency = _efficiency(parts)
    weight = weight_n(mass_kg)
    pulls: list[WinchPull] = []
    for times in FRICTION_TIMES:
        friction = move.friction * times
        drawn = pull(
            weight,
            slope_deg=move.steepest_deg,
            friction=friction,
            parts=parts,
            efficiency=efficiency,
        )
        asks_kg = drawn.line_n / STANDARD_GRAVITY_M_S2
        covers = asks_kg <= winch.rating if winch else None
        pulls.append(WinchPull(friction, drawn.force_n, drawn.line_n, asks_kg, covers))
    # Rollers hold nothing by themselves.
    held = pull(weight, slope_deg=-move.steepest_deg, friction=0.0, parts=parts)
    return OnRollers(
        mass_kg=mass_kg,
        rise_deg=move.steepest_deg,
        parts=parts,
        efficiency=efficiency,
        winch_rating_kg=winch.rating if winch else None,
        pulls=tuple(pulls),
        holding_n=abs(held.force_n),
        holding_line_n=held.line_n,
        holding_rating_kg=held.line_n / STANDARD_GRAVITY_M_S2,
    )


def winch_of(building: Building) -> tuple[int, Winch] | None:
    """The crew's winch of the greatest pull and its place among the gear; None without one."""
    winches = [
        (place, one) for place, one in enumerate(building.scene.crew.gear) if isinstance(one, Winch)
    ]
    return max(
        winches,
        key=lambda row: row[1].rating * row[1].parts * _efficiency(row[1].parts),
        default=None,
    )


def _efficiency(parts: int) -> float:
    return 1 / (1 + SHEAVE_LOSS * (parts - 1))
