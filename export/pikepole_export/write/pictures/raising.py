"""How the heaviest lift of a stage goes up: who and what raises it, and what holds it then.

raising(lift, building) -> the blocks beside the picture
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pikepole_export.derive.lifting.cautions import braces_text, feet_text
from pikepole_export.derive.lifting.halves import plates_sawn
from pikepole_export.derive.lifting.hand_tasks import MOST_PEOPLE
from pikepole_export.derive.lifting.items import Handling
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.methods import Split
from pikepole_export.derive.lifting.while_fixed import spreaders_text
from pikepole_export.derive.measures.layouts import seen_from_outside
from pikepole_export.graphics.lettering import feet_kept
from pikepole_export.write.pictures.block import Block, mass_text
from pikepole_model.building.part import Building
from pikepole_model.units import format_length, headcount


def raising(lift: Lift, building: Building) -> Iterator[Block]:
    """The heaviest that goes up at once, and its braces. Lifts are planned by what it weighs wet.

    Args:
        lift: That of the stage.
        building: That it belongs to.
    """
    load, same, units = lift.chosen.load, lift.item.times, building.scene.units
    wet, likely = mass_text(load.mass.high_kg, units), mass_text(load.mass.likely_kg, units)
    yield {
        "head": "Heaviest lift",
        "bold": [wet if wet == likely else f"up to {wet}"],
        "plain": [
            f"{load.name}, one of {same}" if same > 1 else load.name,
            *([f"likely {likely}"] if wet != likely else []),
            _hands(lift),
            *(_wall_goes_up(lift, building) if lift.item.handling is Handling.WALL else ()),
        ],
    }
    if lift.spreaders:
        told = feet_kept(spreaders_text(lift.spreaders, units))
        yield {"head": "Doorway", "bold": [], "plain": [f"{told[:1].lower()}{told[1:]}"]}
    if lift.bracing:
        off = f"off after stage {lift.braced_until.number}" if lift.braced_until else ""
        told = feet_kept(f"{braces_text(lift.bracing, units)}{feet_text(lift.bracing)}")
        yield {"head": "Braces", "bold": [], "plain": ["; ".join(filter(None, (told, off)))]}


def _hands(lift: Lift) -> str:
    """Who raises it, and with what."""
    if lift.machine is not None:
        return f"with {lift.machine.phrase}; {lift.machine.worked_by(lift.people)}"
    above = ", above the guideline for them" if lift.is_above else ""
    return f"{headcount(lift.people)}: {lift.chosen.technique.doing}{above}"


def _wall_goes_up(lift: Lift, building: Building) -> Iterator[str]:
    """As what a wall goes up, and why not as a whole."""
    scene = building.scene
    if lift.machine is not None:
        yield "whole wall"
        return
    match lift.chosen.split:
        case Split.HALVES:
            yield from _sawn(lift, building)
        case Split.PIECES:
            crew = scene.crew.people + scene.crew.helpers
            whole = mass_text(lift.item.whole.mass.high_kg, scene.units)
            most = ", the most that guidelines rate" if crew > MOST_PEOPLE else ""
            yield (
                f"piece by piece: whole it is up to {whole}, too heavy to tilt up for "
                f"{headcount(min(crew, MOST_PEOPLE))}{most}"
            )
        case Split.LIGHTENED:
            yield "tilted up"  # its name says without what
        case _:
            yield "whole wall"


def _sawn(lift: Lift, building: Building) -> Iterator[str]:
    """Where its plates are sawn, from the end where a tape starts, and what goes on them then."""
    right, _ = seen_from_outside(lift.item.whole.parts, building.parts)
    halves = sorted(lift.item.halves, key=lambda half: float(np.array(half.centre_mm) @ right))
    sawn = plates_sawn(halves)
    at: dict[str, list[str]] = {}
    for name, (left_mm, _) in sawn.items():
        where = feet_kept(format_length(left_mm, building.scene.units))
        at.setdefault(where, []).append(name.removeprefix(f"{lift.item.name} "))
    told = [
        f"{' and '.join(names)} sawn {where} along the plate from the left end"
        for where, names in at.items()
    ]
    yield ": ".join(("the wall goes up in 2 halves", *filter(None, [", ".join(told)])))
    if sawn:
        yield "at the cut a stud in each half: one more than is listed"
        yield "the upper plate last, in one length over the cut"
