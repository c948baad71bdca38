"""What is bent, sheared or crushed past its value on a move, each with a mend that is tried.

lines_problems(...), beam_problems(...), jacked_problems(...), crushed_problems(...)
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from pikepole_export.derive.moving.asked import Asked, past_by
from pikepole_export.derive.moving.beams import CarryingBeam
from pikepole_export.derive.moving.bending import MemberBending
from pikepole_export.derive.moving.carried import BY_SPAN, Carried, least_that_bears, past_value
from pikepole_export.derive.moving.design_values import Stress
from pikepole_export.derive.moving.jacks import OnJacks, jack_of, on_jacks
from pikepole_model.errors import Problem
from pikepole_model.scene.moving import Move
from pikepole_model.units import INCH_MM

STEP_MM = 1 * INCH_MM


def lines_problems(
    asked: Asked, frame: Carried, at: Callable[[float], Carried], most_mm: float
) -> Iterator[Problem]:
    """Members that are bent or sheared past their value over two lines that may be further apart.

    Args:
        asked: Whose move.
        frame: On its lines.
        at: The same with these at another spacing, mm.
        most_mm: The widest that they can be.
    """
    past = frame.past(*BY_SPAN)
    if not past:
        return
    spacing = asked.move.fork_spacing
    enough = least_that_bears(at, from_mm=spacing, to_mm=most_mm, step_mm=STEP_MM)
    if frame.unsupported:
        mend = f"add a carrying beam on each fork, {asked.least(frame.needed_mm)} long"
    elif enough is not None:
        mend = f"give {asked.least(enough)}"
    else:
        mend = "move it after an earlier stage, or come from another side"
    yield asked.at(
        ("move", "fork_spacing"), asked.length(spacing), _member(asked, past, *BY_SPAN), mend
    )


def _member(asked: Asked, past: Sequence[MemberBending], *stresses: Stress) -> str:
    return past_by(past[0].name, past[0], asked.units, *stresses)


def beam_problems(
    asked: Asked,
    beam: CarryingBeam,
    frame: Carried,
    again: Callable[[Move], tuple[Carried, CarryingBeam] | None],
) -> Iterator[Problem]:
    """Carrying beams past their value, or what they crush, and the lightest section that does.

    Args:
        asked: Whose move.
        beam: One of the two.
        frame: What lies on them.
        again: The same with another move.
    """
    crushed = frame.past(Stress.BEARING)
    if beam.past_value:
        wrong = past_by("the carrying beams", beam, asked.units, *beam.past_value)
    elif crushed:
        wrong = _member(asked, crushed, Stress.BEARING)
    else:
        return
    lumber = asked.building.scene.catalogue.lumber.values()
    long = [one for one in lumber if one.longest_mm >= beam.length_mm]

    def bears(section: str) -> bool:
        assert asked.move.beams, "beams that are too weak"
        beams = asked.move.beams.model_copy(update={"section": section})
        found = again(asked.move.model_copy(update={"beams": beams}))
        if found is None or found[1].value is None:
            return False
        return not found[1].past_value and not found[0].past(Stress.BEARING)

    by_size = sorted(long, key=lambda one: (one.breadth_mm * one.depth_mm, one.depth_mm))
    lightest = next((one.name for one in by_size if bears(one.name)), None)
    yield asked.at(
        ("move", "beams", "section"),
        f'"{beam.section}"',
        wrong,
        f'give "{lightest}"' if lightest else "give longer forks",
    )


def crushed_problems(
    asked: Asked,
    members: Sequence[MemberBending],
    key: tuple[str | int, ...],
    value_mm: float,
    needed_mm: Callable[[float], float],
    most_mm: float,
    otherwise: str,
) -> Iterator[Problem]:
    """Members that are crushed past their value on what is too narrow.

    Args:
        asked: Whose move.
        members: All that bear.
        key: Of what is too narrow.
        value_mm: As the scene has it.
        needed_mm: What that has to be for a length that lies on it, mm.
        most_mm: The most that may be given.
        otherwise: The mend where it would have to be more.
    """
    past = past_value(members, Stress.BEARING)
    if not past:
        return
    worst = past[0]
    enough = needed_mm(worst.bearing_mm * worst.share_of_value(Stress.BEARING))
    yield asked.at(
        key,
        asked.length(value_mm),
        _member(asked, past, Stress.BEARING),
        f"give {asked.least(enough)}" if enough <= most_mm else otherwise,
    )


def jacked_problems(asked: Asked, found: OnJacks) -> Iterator[Problem]:
    """Bearers and joists that are bent or sheared past their value on the jacks, or crushed."""
    past = found.past(*BY_SPAN)
    if past:
        half = asked.building.scene.building.length / 2
        insets = [STEP_MM * number for number in range(int((half - STEP_MM) / STEP_MM))]
        better = next(
            (
                inset
                for inset in sorted(insets, key=lambda one: abs(one - found.inset_mm))
                if not on_jacks(asked.building, asked.moved, asked.move, inset_mm=inset).past(
                    *BY_SPAN
                )
            ),
            None,
        )
        mend = "bring more jacks, one pair under each bearer, and have the lift looked at"
        if better is not None:
            more = better > found.inset_mm
            mend = f"give {asked.least(better) if more else asked.most(better)}"
        yield asked.at(
            ("move", "jack_inset"),
            asked.length(found.inset_mm),
            _member(asked, past, *BY_SPAN),
            mend,
        )
    row = jack_of(asked.building)
    if row is not None:
        place, jack = row
        yield from crushed_problems(
            asked,
            found.frame.members,
            ("crew", "gear", place, "layer"),
            jack.layer,
            lambda length_mm: length_mm,
            jack.stroke,
            "bring more jacks, one pair under each bearer, and have the lift looked at",
        )
