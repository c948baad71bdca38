"""The move of the whole building as it is said on a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import assert_never

from pikepole_export.cli.words import wrapped
from pikepole_export.derive.buying.wording import in_words
from pikepole_export.derive.inventory.mass import Mass
from pikepole_export.derive.lifting.cautions import force_as_mass
from pikepole_export.derive.moving.beams import BEAMS, CarryingBeam
from pikepole_export.derive.moving.bending import MemberBending
from pikepole_export.derive.moving.carried import Carried
from pikepole_export.derive.moving.design_values import SOURCE, Stress, Stressed
from pikepole_export.derive.moving.forks import OnForks
from pikepole_export.derive.moving.jacks import OnJacks
from pikepole_export.derive.moving.plan import MovePlan, MoveRow, Moves
from pikepole_export.derive.moving.preparations import Preparation
from pikepole_export.derive.moving.ramp import OnRamp
from pikepole_export.derive.moving.rollers import OnPipes, OnRollers
from pikepole_export.derive.moving.tipping import AGAINST_TIPPING, LEAST_TILT
from pikepole_export.derive.moving.trailer import OnTrailer
from pikepole_export.derive.moving.truck import EXTENSIONS, on_plate, other_standard_mm
from pikepole_export.derive.moving.way_there import clear
from pikepole_model.building.part import Building
from pikepole_model.scene.moving import Way
from pikepole_model.units import (
    Units,
    format_height,
    format_length,
    format_mass,
    format_number,
)

_ON: Mapping[Way, str] = {
    "forks": "forks",
    "rollers": "rollers",
    "jacks": "jacks",
    "trailer": "a trailer",
}

_NAME = 30  # columns of a stage's name; longer ones push the rest on


def moves_table(building: Building, moves: Moves) -> list[str]:
    """After which stage the building can be moved, and what to do first."""
    units = building.scene.units
    lines = ["", "Moving the building, after each stage", ""]
    if not moves.table:
        return [*lines[:2], *wrapped("On a slab: it is not moved.", first="  ")]
    standards = moves.table[0].standard_mm, other_standard_mm(moves.table[0].standard_mm)
    first, second = (f"at {on_plate(standard_mm)}" for standard_mm in standards)
    lines += [
        f"  {'':{_NAME}} {'':>10}  {'':>11}  {'rated':>9}  {'or':>9}",
        f"  {'stage':{_NAME}} {'may weigh':>10}  {'load centre':>11}  {first:>9}  {second:>9}",
    ]
    for why_not, rows in groupby(moves.table, key=lambda row: row.why_not):
        same = list(rows)
        lines += [_move(row, standards, units) for row in same]
        if why_not:
            when = _when(same, is_to_the_end=same[-1] is moves.table[-1])
            text = f"cannot be moved {when}: {'; '.join(why_not)}"
            lines += wrapped(text, indent="       ", first="     ")
    row = moves.table[0]
    beams = ", with the carrying beams" if row.lifted_kg > row.mass.high_kg else ""
    text = (
        f"The truck has to be rated for the most that it may weigh{beams}. Both columns mean the "
        f"same truck: go by the one whose load centre is on its plate, {on_plate(standards[0])} or "
        f"{on_plate(standards[1])} from the fork face."
    )
    lines += ["", *wrapped(text)]
    lines += [] if moves.plan is None else _plan(moves.plan, units)
    return [in_words(line, building.scene.english) for line in lines]


def _when(rows: Sequence[MoveRow], *, is_to_the_end: bool) -> str:
    """After which stages, one after the other: "once stage 9 is built", "after stages 3 to 5"."""
    first, last = rows[0].stage, rows[-1].stage
    if is_to_the_end:
        return f"once stage {first} is built"
    return f"after stage {first}" if first == last else f"after stages {first} to {last}"


def _plan(plan: MovePlan, units: Units) -> list[str]:
    """The scene's own move: what speaks against it, what to do first, how it goes."""
    lines = ["", *wrapped(f"The scene moves it after {plan.row.name}, on {_ON[plan.way]}.")]
    if plan.problems:
        lines += ["", "It cannot be moved so:"]
        for problem in plan.problems:
            lines += wrapped(f"{problem}.", indent="    ", first="  ")
    lines += ["", *_said(_whole(plan, units))]
    lines += ["", "First:", *_numbered(plan.first)]
    lines += ["", "Up:", *_said(_on_jacks(plan.on_jacks, units)), *_numbered(plan.conduct.raising)]
    carried = list(_carried(plan, units))
    if carried:
        lines += ["", f"On {_ON[plan.way]}:", *_said(carried)]
    if plan.conduct.there:
        lines += ["", "The way there:", *_numbered(plan.conduct.there)]
    lines += ["", "Down:", *_numbered(plan.conduct.down)]
    return [*lines, "", *wrapped(_sources(plan))]


def _numbered(what: Sequence[Preparation]) -> list[str]:
    return [
        line
        for number, one in enumerate(what, start=1)
        for line in wrapped(one.text, indent="     ", first=f"  {number}. ")
    ]


def _said(texts: Iterator[str] | Sequence[str]) -> list[str]:
    return [line for text in texts for line in wrapped(text, indent="  ", first="  ")]


def _whole(plan: MovePlan, units: Units) -> Iterator[str]:
    """What it weighs and how large it is on the way."""
    wide, high = (clear(mm, units) for mm in (plan.conduct.wide_mm, plan.conduct.high_mm))
    dry, likely, wet = (
        format_mass(kg, units)
        for kg in (plan.row.mass.low_kg, plan.row.mass.likely_kg, plan.row.mass.high_kg)
    )
    yield (
        f"It weighs {dry} dry, {likely} likely, {wet} wet. On the way it is {wide} wide and {high} "
        "high."
    )


def _range(mass: Mass, units: Units) -> str:
    """A mass low, likely and high, its unit said once: "523/567/659 lb"."""
    low, likely, high = (
        format_mass(one, units) for one in (mass.low_kg, mass.likely_kg, mass.high_kg)
    )
    return f"{low.split()[0]}/{likely.split()[0]}/{high}"


def _carried(plan: MovePlan, units: Units) -> Iterator[str]:
    """What it is carried by, in figures."""
    match plan.way:
        case "forks":
            if plan.on_forks is not None:
                yield from _on_forks(plan.on_forks, units)
        case "rollers":
            if plan.on_pipes is not None:
                yield from _on_pipes(plan.on_pipes, units)
            if plan.on_ramp is not None:
                yield _on_ramp(plan.on_ramp, units)
            yield _winch(plan.on_rollers, units)
        case "trailer":
            if plan.on_trailer is not None:
                yield from _on_trailer(plan.on_trailer, units)
        case "jacks":
            pass
        case _:
            assert_never(plan.way)


def _on_jacks(jacks: OnJacks, units: Units) -> Iterator[str]:
    if jacks.rise_mm <= 0:
        return
    corners = ", ".join(f"{one.name} {_range(one.mass, units)}" for one in jacks.corners)
    end = format_mass(jacks.end_kg, units, "up")
    rated = "you have no jack"
    if jacks.rating_kg is not None:
        rated = f"your jack is rated {format_mass(jacks.rating_kg, units, 'down')}"
    yield (
        f"On each corner, dry/likely/wet: {corners}. If it rocks, one jack has its whole end on "
        f"it, up to {end}; {rated}."
    )
    yield from _stressed(jacks.members, units)


def _on_forks(on_forks: OnForks, units: Units) -> Iterator[str]:
    forks = on_forks.forks
    left, right, past = (
        format_height(mm, units) for mm in (forks.left_mm, forks.right_mm, on_forks.past_centre_mm)
    )
    yield (
        f"The forks go in at the {on_forks.side}, {left} and {right} from its left end as seen "
        f"from there. The left one carries {forks.left_share:.0%} and the right one "
        f"{forks.right_share:.0%}; their tips reach {past} past the centre of gravity."
    )
    if on_forks.beam is not None:
        yield _beams(on_forks.beam, "on each fork", units)
    yield from _frame(on_forks.frame, units)
    if on_forks.truck is not None:
        truck = on_forks.truck
        over = "more" if truck.covers else "less"
        yield (
            f"The truck's rating of {format_mass(truck.rating_kg, units, 'down')} comes to "
            f"{format_mass(truck.most_kg, units, 'down')} at this load centre, "
            f"{format_mass(abs(truck.left_over_kg), units, 'down')} {over} than what it lifts."
        )
    yield EXTENSIONS
    yield forks.plate


def _beams(beam: CarryingBeam, where: str, units: Units) -> str:
    says = (
        f"{BEAMS} carrying beams, {beam.section}, {format_length(beam.length_mm, units)} long, one "
        f"{where}: each weighs up to {format_mass(beam.mass.high_kg, units, 'up')}, and has a lift "
        "of its own."
    )
    if beam.value is None:
        return f"{says} No reference value is known here for their wood."
    texts = (f"{stress.value} {_beside(beam, stress, units)}" for stress in Stress)
    return f"{says} With jerks, of the reference values for their wood: {', '.join(texts)}."


def _frame(frame: Carried, units: Units) -> Iterator[str]:
    """What each member carries, how it is bent, and how far it may lean."""
    members = frame.members
    if members and len(members) <= 6:
        carries = ", ".join(f"{one.name} {_range(one.carries, units)}" for one in members)
        yield f"It lies on these, dry/likely/wet: {carries}."
    yield from _stressed(members, units)
    margins = frame.margins
    inside = ", ".join(
        f"{format_height(margin.least_mm, units)} {where} "
        f"(tips at {margins.tips_at_deg(margin):.0f} deg)"
        for where, margin in margins.each
    )
    asked = format_height(margins.asked_mm, units)
    yield (
        f"Wet or dry, it balances inside what it lies on by {inside}; at least {asked} is asked "
        "for every way."
    )


def _stressed(members: Sequence[MemberBending], units: Units) -> Iterator[str]:
    """The worst of them all, stress by stress, each beside its reference value."""
    if not members:
        return
    if any(one.value is None for one in members):
        yield "No reference value is known here for the frame's wood: have it looked at."
        return
    texts: list[str] = []
    for stress in Stress:
        worst = max(members, key=lambda one: one.share_of_value(stress))
        on = ""
        if stress is Stress.BEARING:
            on = f" on {format_length(worst.bearing_mm, units)} of its length"
        texts.append(f"{stress.value}{on}, {worst.name}, {_beside(worst, stress, units)}")
    yield (
        f"Stressed most, the load taken {members[0].impact:g} times for jerks, of the reference "
        f"value for the wood: {'; '.join(texts)}."
    )


def _beside(one: Stressed, stress: Stress, units: Units) -> str:
    """A stress and its value, the unit said once: "933 of 1000 psi"."""
    assert one.value, "no value to be beside"
    at, most = (
        format_number(n_mm2, "stress", units)
        for n_mm2 in (one.jerked_n_mm2(stress), one.value.of(stress))
    )
    return f"{at.split()[0]} of {most}"


def _sources(plan: MovePlan) -> str:
    """Where the figures of stresses and tipping come from."""
    frames = [plan.on_jacks.frame]
    frames += [on.frame for on in (plan.on_forks, plan.on_pipes, plan.on_trailer) if on is not None]
    impacts = {frame.impact.factor: frame.impact.source for frame in frames}
    factors = "; ".join(f"{factor:g} is the {source}" for factor, source in impacts.items())
    return (
        f"Stresses: {SOURCE}. Crushed is a limit of dents, not of strength (NDS 4.2.6). Jerks: "
        f"{factors}. What each member carries goes by the lever rule, "
        "with every bearer in touch: look that it is. Tipping: the centre of gravity has to stay "
        f"over what it lies on when all leans by {LEAST_TILT:.0%}, or by {AGAINST_TIPPING:g} times "
        "the slope of the way; no rule is written for this."
    )


def _on_pipes(pipes: OnPipes, units: Units) -> Iterator[str]:
    yield (
        f"{pipes.under} pipes under it, {format_height(pipes.spacing_mm, units)} apart. If it "
        f"rocks over one, that pipe carries {format_mass(pipes.pipe_kg, units, 'up')}; it is rated "
        f"{format_mass(pipes.rating_kg, units, 'down')}."
    )
    if pipes.beam is not None:
        yield _beams(pipes.beam, "on each side as a runner", units)
    yield from _frame(pipes.frame, units)


def _on_trailer(trailer: OnTrailer, units: Units) -> Iterator[str]:
    front = "behind" if trailer.begins_mm >= 0 else "in front of"
    begins = format_height(abs(trailer.begins_mm), units)
    past = ""
    if trailer.behind_mm > 0:
        past = f", and it stands out {format_height(trailer.behind_mm, units)} at the rear"
    low, high = (format_mass(one, units) for one in (trailer.tongue.low_kg, trailer.tongue.high_kg))
    axles = format_mass(trailer.axles.high_kg, units)
    yield (
        f"Its near side lies {begins} {front} the front end of the deck{past}. The tongue gets "
        f"{trailer.tongue_share:.0%}, {low} to {high}, and the axles up to {axles}, beside the "
        "trailer's own weight."
    )
    yield from _frame(trailer.frame, units)


def _move(row: MoveRow, standards: Sequence[float], units: Units) -> str:
    ratings = (format_mass(row.rating_at_kg(standard_mm), units, "up") for standard_mm in standards)
    first, second = ratings
    return (
        f"  {f'{row.stage}. {row.name}':{_NAME}} "
        f"{format_mass(row.mass.high_kg, units):>10}  "
        f"{format_height(row.load_centre_mm, units):>11}  {first:>9}  {second:>9}"
    )


def _winch(rollers: OnRollers, units: Units) -> str:
    pulls = ", ".join(
        f"{force_as_mass(one.line_n, units)} at friction {one.friction:.2f}"
        for one in rollers.pulls
    )
    way = f"Up {rollers.rise_deg:.1f} deg" if rollers.rise_deg >= 0.05 else "On the level"
    text = f"{way} the line has to pull {pulls}"
    if rollers.holding_line_n > 0:
        text += f"; to hold it back, {force_as_mass(rollers.holding_line_n, units)}"
    winch, strap, anchor = (
        format_mass(mass_kg, units, "up")
        for mass_kg in (rollers.winch_kg, rollers.strap_kg, rollers.anchor_kg)
    )
    rated = "you have none"
    if rollers.winch_rating_kg is not None:
        rated = f"yours is rated {format_mass(rollers.winch_rating_kg, units, 'down')}"
    return (
        f"{text}. The hardest pull asks for a winch rated {winch} ({rated}), a strap for {strap} "
        f"and an anchor for {anchor}."
    )


def _on_ramp(ramp: OnRamp, units: Units) -> str:
    says = (
        f"Up a ramp of {ramp.pieces} planks in two rows, {ramp.slope_deg:.1f} deg, propped every "
        f"{format_length(ramp.span_mm, units, 'down')}."
    )
    if ramp.value is None:
        return f"{says} No reference value is known here for their wood."
    texts = (f"{stress.value} {_beside(ramp, stress, units)}" for stress in Stress)
    return (
        f"{says} Where the building rocks over its end, with jerks, beside their reference values: "
        f"{', '.join(texts)}."
    )
