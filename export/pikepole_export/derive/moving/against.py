"""What speaks against the scene's own move, each with its key, its value and a mend.

fork_problems(...), jack_problems(...), pipe_problems(...), trailer_problems(...)
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from pikepole_export.derive.lifting.gear import MOST_CRIB_SLENDERNESS
from pikepole_export.derive.moving.asked import Asked, bent_past
from pikepole_export.derive.moving.beams import CarryingBeam
from pikepole_export.derive.moving.carried import Carried, least_that_bears
from pikepole_export.derive.moving.forks import OnForks, on_forks
from pikepole_export.derive.moving.jacks import OnJacks, jack_of, on_jacks
from pikepole_export.derive.moving.rollers import OnPipes, on_pipes
from pikepole_export.derive.moving.trailer import TONGUE, TONGUE_LEAST, TONGUE_MOST, OnTrailer
from pikepole_export.derive.moving.truck import on_plate
from pikepole_model.errors import Problem, key_text
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.moving import LONGEST_FORK_MM, Move, Pipes, Trailer
from pikepole_model.units import INCH_MM, format_mass

STEP_MM = 1 * INCH_MM
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

    yield from _wider(asked, frame, at, asked.across_mm - move.fork_width)

    def beam(move: Move) -> CarryingBeam | None:
        again = on_forks(asked.building, asked.moved, move)
        return again and again.beam

    if found.beam is not None:
        yield from _beam_bent(asked, found.beam, beam)
    truck = found.truck
    if truck is not None and not truck.covers:
        plate = on_plate(found.lifts.standard_mm)
        needed = format_mass(found.lifts.rating_needed_kg, asked.units, "up")
        yield Problem(
            "crew.gear",
            f"telehandler rated {format_mass(truck.rating_kg, asked.units, 'down')} at {plate}",
            f"comes to {format_mass(truck.most_kg, asked.units, 'down')} at the building's load "
            f"centre, and it lifts {format_mass(found.lifts.mass_kg, asked.units, 'up')}",
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
    move = asked.move
    face = asked.side.span_into(asked.moved.parts)[0]
    needed_mm = asked.side.span_into(asked.moved.crossing(asked.side))[1] - face
    mend = f"give move.fork {asked.least(needed_mm)}"
    if needed_mm > LONGEST_FORK_MM:
        mend = f"give move.fork and [move.beams] that reach {asked.length(needed_mm)}"
    yield asked.at(
        ("move", "fork"),
        asked.length(move.fork),
        "does not reach past its centre of gravity: it would tip off",
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


def _wider(
    asked: Asked, frame: Carried, at: Callable[[float], Carried], most_mm: float
) -> Iterator[Problem]:
    """Members that are bent past their value over two lines, and how far apart these had to be."""
    if not frame.past_value:
        return
    spacing = asked.move.fork_spacing
    enough = least_that_bears(at, from_mm=spacing, to_mm=most_mm, step_mm=STEP_MM)
    worst = frame.past_value[0]
    if frame.unsupported:
        mend = f"add a carrying beam on each fork, {asked.least(frame.needed_mm)} long"
    elif enough is not None:
        mend = f"give {asked.least(enough)}"
    else:
        mend = "move it after an earlier stage, or come from another side"
    yield asked.at(
        ("move", "fork_spacing"),
        asked.length(spacing),
        f"lets the floor frame be bent past its value: {worst.name}, "
        f"{bent_past(worst, asked.units)}",
        mend,
    )


def _beam_bent(
    asked: Asked, beam: CarryingBeam, again: Callable[[Move], CarryingBeam | None]
) -> Iterator[Problem]:
    """Carrying beams that are bent past their value, and the lightest section that is not."""
    if not beam.past_value:
        return
    lumber = asked.building.scene.catalogue.lumber.values()
    long = [one for one in lumber if one.longest_mm >= beam.length_mm]

    def bears(section: str) -> bool:
        assert asked.move.beams, "beams that are bent"
        beams = asked.move.beams.model_copy(update={"section": section})
        found = again(asked.move.model_copy(update={"beams": beams}))
        return found is not None and found.value is not None and not found.past_value

    by_size = sorted(long, key=lambda one: (one.breadth_mm * one.depth_mm, one.depth_mm))
    lightest = next((one.name for one in by_size if bears(one.name)), None)
    yield asked.at(
        ("move", "beams", "section"),
        f'"{beam.section}"',
        f"lets the carrying beams be bent past their value: {bent_past(beam, asked.units)}",
        f'give "{lightest}"' if lightest else "give longer forks",
    )


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
    yield from _jacked_bent(asked, found)


def _jacked_bent(asked: Asked, found: OnJacks) -> Iterator[Problem]:
    if not found.past_value:
        return
    half = asked.building.scene.building.length / 2
    insets = [STEP_MM * number for number in range(int((half - STEP_MM) / STEP_MM))]
    better = next(
        (
            inset
            for inset in sorted(insets, key=lambda one: abs(one - found.inset_mm))
            if not on_jacks(asked.building, asked.moved, asked.move, inset_mm=inset).past_value
        ),
        None,
    )
    mend = "bring more jacks, one pair under each bearer, and have the lift looked at"
    if better is not None:
        more = better > found.inset_mm
        mend = f"give {asked.least(better) if more else asked.most(better)}"
    worst = found.past_value[0]
    yield asked.at(
        ("move", "jack_inset"),
        asked.length(found.inset_mm),
        f"lets the floor frame be bent past its value on the jacks: {worst.name}, "
        f"{bent_past(worst, asked.units)}",
        mend,
    )


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

        yield from _wider(asked, found.frame, at, asked.across_mm)
    elif found.frame.past_value:
        worst = found.frame.past_value[0]
        yield asked.at(
            ("move", "pipes", "count"),
            str(pipes.count),
            f"lets the floor frame be bent past its value on two of them: {worst.name}, "
            f"{bent_past(worst, units)}",
            "move it after an earlier stage, or lay runners under the bearers",
        )
    yield from _tipping(asked, found.frame)
    if found.beam is not None:
        yield from _beam_bent(
            asked, found.beam, lambda move: on_pipes(asked.building, asked.moved, move, pipes).beam
        )


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
    if frame.past_value:
        worst = frame.past_value[0]
        yield asked.at(
            ("move", "trailer", "deck_width"),
            asked.length(trailer.deck_width),
            f"lets the floor frame be bent past its value: {worst.name}, {bent_past(worst, units)}",
            "lay beams across the deck under the bearers, or take a wider one",
        )
