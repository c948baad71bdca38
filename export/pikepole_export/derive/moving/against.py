"""What speaks against the scene's own move, each with its key, its value and a mend.

fork_problems(...), jack_problems(...), pipe_problems(...), trailer_problems(...)
"""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_export.derive.buying.wording import in_words
from pikepole_export.derive.lifting.gear import MOST_CRIB_SLENDERNESS
from pikepole_export.derive.moving.asked import Asked, past_by
from pikepole_export.derive.moving.beams import CarryingBeam
from pikepole_export.derive.moving.carried import BY_SPAN, Carried
from pikepole_export.derive.moving.design_values import Stress
from pikepole_export.derive.moving.forks import OnForks, on_forks
from pikepole_export.derive.moving.jacks import OnJacks, jack_of
from pikepole_export.derive.moving.overstressed import (
    STEP_MM,
    beam_problems,
    crushed_problems,
    jacked_problems,
    lines_problems,
)
from pikepole_export.derive.moving.rollers import OnPipes, on_pipes, pipe_for_mm
from pikepole_export.derive.moving.trailer import TONGUE, TONGUE_LEAST, TONGUE_MOST, OnTrailer
from pikepole_export.derive.moving.truck import on_plate
from pikepole_model.errors import Problem, key_text
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.moving import (
    BROADEST_FORK_MM,
    LONGEST_FORK_MM,
    THICKEST_PIPE_MM,
    Move,
    Pipes,
    Trailer,
)
from pikepole_model.units import format_mass

SLIGHT = 1e-9


def fork_problems(asked: Asked, found: OnForks) -> Iterator[Problem]:
    """What speaks against the scene's forks and truck."""
    move, frame = asked.move, found.frame
    yield from _unsupported(
        asked,
        frame,
        ("move", "beams", "length") if move.beams else ("move", "fork"),
        move.beams.length if move.beams else move.fork,
    )
    yield from _tipping(asked, frame)
    yield from _in_the_way(asked, found)

    def at(spacing_mm: float) -> Carried:
        again = on_forks(asked.building, asked.moved, move, spacing_mm=spacing_mm)
        assert again is not None, "forks as long as before"
        return again.frame

    yield from lines_problems(asked, frame, at, asked.across_mm - move.fork_width)

    def again(move: Move) -> tuple[Carried, CarryingBeam] | None:
        other = on_forks(asked.building, asked.moved, move)
        return (other.frame, other.beam) if other and other.beam else None

    if found.beam is not None:
        yield from beam_problems(asked, found.beam, frame, again)
    else:
        yield from crushed_problems(
            asked,
            frame.members,
            ("move", "fork_width"),
            move.fork_width,
            lambda length_mm: length_mm,
            BROADEST_FORK_MM,
            f"add a carrying beam on each fork, {asked.least(frame.needed_mm)} long",
        )
    truck = found.truck
    if truck is not None and not truck.covers:
        plate = on_plate(found.lifts.standard_mm)
        needed = format_mass(found.lifts.rating_needed_kg, asked.units, "up")
        load_centre = in_words("load centre", asked.building.scene.english)
        yield Problem(
            "crew.gear",
            f"telehandler rated {format_mass(truck.rating_kg, asked.units, 'down')} at {plate}",
            f"comes to {format_mass(truck.most_kg, asked.units, 'down')} at the building's "
            f"{load_centre}, and it lifts {format_mass(found.lifts.mass_kg, asked.units, 'up')}",
            f"hire one rated at least {needed} at {plate}",
        )


def _hits(asked: Asked, found: OnForks) -> list[str]:
    """Bearers that run beside the forks, and lie where one of these goes in."""
    wide_mm = max(asked.move.fork_width, found.beam.breadth_mm if found.beam else 0.0)
    left_mm = asked.side.span_along(asked.moved.floor)[0]
    lines = [left_mm + at_mm for at_mm in (found.forks.left_mm, found.forks.right_mm)]
    beside = [part for part in asked.moved.bearers if not asked.side.runs_along(part)]
    spans = [(part.name, *asked.side.span_along([part])) for part in beside]
    return [
        name
        for name, low, high in spans
        if any(low < line + wide_mm / 2 and line - wide_mm / 2 < high for line in lines)
    ]


def _in_the_way(asked: Asked, found: OnForks) -> Iterator[Problem]:
    hits = _hits(asked, found)
    if not hits:
        return
    spacing = asked.move.fork_spacing

    def clears(spacing_mm: float) -> bool:
        again = on_forks(asked.building, asked.moved, asked.move, spacing_mm=spacing_mm)
        return again is not None and not _hits(asked, again)

    most_mm = asked.across_mm - asked.move.fork_width
    tried = [STEP_MM * number for number in range(8, int(most_mm / STEP_MM) + 1)]
    near = sorted(tried, key=lambda one: abs(one - spacing))
    clear = next((one for one in near if clears(one)), None)
    yield asked.at(
        ("move", "fork_spacing"),
        asked.length(spacing),
        f"puts a fork where {' and '.join(hits)} lies",
        "come from another side" if clear is None else f"give {asked.length(clear)}",
    )


def too_short(asked: Asked) -> Iterator[Problem]:
    """Forks that do not reach past its centre of gravity."""
    move, english = asked.move, asked.building.scene.english
    face = asked.side.span_into(asked.moved.parts)[0]
    needed_mm = asked.side.span_into(asked.moved.crossing(asked.side))[1] - face
    mend = f"give move.fork {asked.least(needed_mm)}"
    if needed_mm > LONGEST_FORK_MM:
        mend = f"give move.fork and [move.beams] that reach {asked.length(needed_mm)}"
    yield asked.at(
        ("move", "fork"),
        asked.length(move.fork),
        in_words("does not reach past its centre of gravity: it would tip off", english),
        mend,
    )


def _unsupported(
    asked: Asked, frame: Carried, key: tuple[str, ...], value_mm: float
) -> Iterator[Problem]:
    if not frame.unsupported and not frame.members:
        wrong = "finds no member of the floor that runs through across both lines"
        yield asked.at(key, asked.length(value_mm), wrong, "come from another side")
    if not frame.unsupported:
        return
    names = ", ".join(frame.unsupported)
    needed = asked.least(frame.needed_mm)
    mends = [f"give {key_text(key)} {needed}"] if value_mm < frame.needed_mm else []
    if key == ("move", "fork"):
        mends = mends if frame.needed_mm <= LONGEST_FORK_MM else []
        mends.append(f"give move.beams.length {needed}")
    yield asked.at(
        key,
        asked.length(value_mm),
        f"leaves {names} with nothing under {'it' if len(frame.unsupported) == 1 else 'them'}",
        ", or ".join(mends) or "come from another side",
    )


def _tipping(asked: Asked, frame: Carried) -> Iterator[Problem]:
    """Margins that are less than is asked for, on the sides that a figure mends and on others."""
    move, margins = asked.move, frame.margins
    for way, margin in margins.each:
        short = margins.asked_mm - margin.least_mm
        if short <= 0:
            continue
        where, value = ("move", "side"), f'"{move.side}"'
        mend = "come from another side"
        if margin is margins.far and move.way == "forks":
            where, value = ("move", "fork"), asked.length(move.fork)
            mend = _longer(asked, frame, short) or mend
        elif margin in (margins.left, margins.right) and move.way in ("forks", "rollers"):
            where, value = ("move", "fork_spacing"), asked.length(move.fork_spacing)
            # Where the building balances near its end, the lines are off the middle already.
            if abs(margin.likely_mm - move.fork_spacing / 2) < TOLERANCE_MM:
                mend = f"give {asked.least(move.fork_spacing + 2 * short)}"
        yield asked.at(
            where,
            value,
            f"{_balances(asked, margin.least_mm, way)}, and "
            f"{asked.length(margins.asked_mm)} inside is the least that is asked for",
            mend,
        )


def _balances(asked: Asked, margin_mm: float, where: str) -> str:
    off, side = asked.length(abs(margin_mm)), "inside" if margin_mm >= 0 else "outside"
    return f"leaves it to balance {off} {side} what bears {where}"


def _longer(asked: Asked, frame: Carried, short_mm: float) -> str | None:
    """Forks that are long enough not to tip off, where any are."""
    move = asked.move
    if move.beams:
        return f"give {asked.least(move.fork + short_mm)}"
    into = asked.side.span_into(asked.moved.parts)[0]
    centre_mm = max(asked.side.place(one)[1] for one in asked.moved.centres_mm) - into
    needed_mm = frame.needed_for_mm(centre_mm)
    return None if needed_mm is None else f"give {asked.least(needed_mm)}"


def jack_problems(asked: Asked, found: OnJacks) -> Iterator[Problem]:
    """What speaks against jacking it, where it has to be jacked."""
    if found.rise_mm <= 0:
        return
    units, crib = asked.units, asked.move.crib
    if found.rise_mm > MOST_CRIB_SLENDERNESS * crib:
        yield asked.at(
            ("move", "crib"),
            asked.length(crib),
            f"is a crib that goes up to {MOST_CRIB_SLENDERNESS:g} times its width, and the "
            f"building goes up {asked.length(found.rise_mm)}",
            f"give {asked.least(found.rise_mm / MOST_CRIB_SLENDERNESS)}",
        )
    row = jack_of(asked.building)
    if row is not None:
        place, jack = row
        gear = ("crew", "gear", place)
        if jack.rating < found.end_kg:
            yield asked.at(
                (*gear, "rating"),
                format_mass(jack.rating, units, "down"),
                f"is less than the heavier end weighs, {format_mass(found.end_kg, units, 'up')}, "
                "and one jack may get all of that where the building rocks",
                f"give at least {format_mass(found.end_kg, units, 'up')}",
            )
        if jack.stroke < jack.layer:
            yield asked.at(
                (*gear, "stroke"),
                asked.length(jack.stroke),
                f"makes no room for a layer of cribbing, {asked.length(jack.layer)}",
                f"give {asked.least(jack.layer)}",
            )
    yield from jacked_problems(asked, found)


def pipe_problems(asked: Asked, found: OnPipes, pipes: Pipes) -> Iterator[Problem]:
    """What speaks against the scene's pipes."""
    move, units = asked.move, asked.units
    if found.pipe_kg > found.rating_kg:
        yield asked.at(
            ("move", "pipes", "rating"),
            format_mass(found.rating_kg, units, "down"),
            f"is less than one pipe may get where the building rocks over it, "
            f"{format_mass(found.pipe_kg, units, 'up')}",
            f"give at least {format_mass(found.pipe_kg, units, 'up')}",
        )
    if move.beams:
        yield from _unsupported(asked, found.frame, ("move", "beams", "length"), move.beams.length)

        def at(spacing_mm: float) -> Carried:
            wider = move.model_copy(update={"fork_spacing": spacing_mm})
            return on_pipes(asked.building, asked.moved, wider, pipes).frame

        yield from lines_problems(asked, found.frame, at, asked.across_mm)
    else:
        past = found.frame.past(*BY_SPAN)
        if past:
            yield asked.at(
                ("move", "pipes", "count"),
                str(pipes.count),
                past_by(f"{past[0].name}, on two of them,", past[0], units, *BY_SPAN),
                "move it after an earlier stage, or lay runners under the bearers",
            )
        yield from crushed_problems(
            asked,
            found.frame.members,
            ("move", "pipes", "diameter"),
            pipes.diameter,
            pipe_for_mm,
            THICKEST_PIPE_MM,
            "move it after an earlier stage",
        )
    yield from _tipping(asked, found.frame)

    def again(move: Move) -> tuple[Carried, CarryingBeam] | None:
        other = on_pipes(asked.building, asked.moved, move, pipes)
        return (other.frame, other.beam) if other.beam else None

    if found.beam is not None:
        yield from beam_problems(asked, found.beam, found.frame, again)


def _off_deck(asked: Asked, found: OnTrailer, trailer: Trailer) -> Iterator[Problem]:
    """Bearers that the deck does not get under while the tongue has its usual share."""
    unsupported = found.frame.unsupported
    if not unsupported:
        return
    first, last = asked.side.span_into(asked.moved.bearers)
    balance = asked.side.place(asked.moved.centre_mm)[1]
    # The axles have to be so far back that the balance lies over them with the usual share on the
    # tongue while the first bearer lies on the front end of the deck, and no further than the last
    # one on its rear end asks for.
    least, most = (
        (over_mm + TONGUE * trailer.hitch) / (1 - TONGUE)
        for over_mm in (balance - first, trailer.deck_length - (last - balance))
    )
    too_near = trailer.axle < least
    yield asked.at(
        ("move", "trailer", "axle"),
        asked.length(trailer.axle),
        f"leaves {', '.join(unsupported)} off the deck with {TONGUE:.0%} of the building on the "
        "tongue",
        f"give {asked.least(least) if too_near else asked.most(most)}",
    )


def trailer_problems(asked: Asked, found: OnTrailer, trailer: Trailer) -> Iterator[Problem]:
    """What speaks against the scene's trailer."""
    units, frame = asked.units, found.frame
    high = asked.moved.mass.high_kg
    for key, rating, load_kg, what in (
        ("rating", trailer.rating, high, "the building"),
        ("tongue_rating", trailer.tongue_rating, found.tongue.high_kg, "what the tongue gets"),
    ):
        if rating < load_kg:
            yield asked.at(
                ("move", "trailer", key),
                format_mass(rating, units, "down"),
                f"is less than {what}, {format_mass(load_kg, units, 'up')}",
                f"give at least {format_mass(load_kg, units, 'up')}",
            )
    if not TONGUE_LEAST - SLIGHT <= found.tongue_share <= TONGUE_MOST + SLIGHT:
        yield asked.at(
            ("move", "trailer", "axle"),
            asked.length(trailer.axle),
            f"leaves {found.tongue_share:.0%} of the building on the tongue, and "
            f"{TONGUE_LEAST:.0%} to {TONGUE_MOST:.0%} is usual",
            f"give {asked.least((found.centre_mm + TONGUE * trailer.hitch) / (1 - TONGUE))}",
        )
    yield from _off_deck(asked, found, trailer)
    yield from _tipping(asked, frame)
    past = frame.past(*Stress)
    if past:
        yield asked.at(
            ("move", "trailer", "deck_width"),
            asked.length(trailer.deck_width),
            past_by(past[0].name, past[0], units, *past[0].past_value),
            "lay beams across the deck under the bearers, or take a wider one",
        )
