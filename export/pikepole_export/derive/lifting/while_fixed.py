"""How what is raised is held until its fixings are in.

while_fixed(lift, units) -> sentences
spreaders_text(spreaders, units) -> what keeps doorways from spreading
nails_text(count, units) -> "2-16d"
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import assert_never

from pikepole_export.derive.lifting.brace_places import SPREADER_NAILS, Spreader
from pikepole_export.derive.lifting.halves import LAP_MM, plates_sawn
from pikepole_export.derive.lifting.items import BuiltUp, Handling
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.methods import Split
from pikepole_model.building.kinds import Kind
from pikepole_model.units import Units, format_height, format_length, listed, plural

# What walls and posts are braced with, as it is bought.
_BRACE: Mapping[Units, str] = {"imperial": "2x4", "metric": "38 x 89 mm"}


def while_fixed(lift: Lift, units: Units) -> Iterator[str]:
    """How it is held until its fixings are in."""
    item = lift.item
    if item.kind is Kind.CARRYING_BEAM:
        yield "It goes on forks on the ground, brake set, or on wedged pipes: block it, strap it."
    match item.handling:
        case Handling.SHEET:
            if item.whole.is_on_edge:
                held = (
                    "one holds, one nails" if lift.people > 1 else "tack its top before letting go"
                )
                yield f"First nail a cleat or blocks to stand it on; {held}."
        case Handling.ROOF_SHEET:
            yield (
                "First nail stops at the eave for it to lie on; who nails its upper corners is on "
                "the roof, on a line."
            )
        case Handling.LOFT_SHEET:
            if lift.machine is None:
                yield (
                    "With its middle past the joist it lies there by itself. Who takes it from "
                    "above stands on planks over three joists, or on sheets that are nailed."
                )
        case Handling.UNIT:
            yield (
                "Stand it on blocks at its height; hinge pins or track hooks go in last."
                if item.kind is BuiltUp.DOOR_LEAF
                else "Stand it on its sill; one holds it until all its corners are fixed."
            )
        case Handling.WALL:
            is_framed = not lift.in_pieces
            deck_mm = math.inf if item.deck_mm is None else item.deck_mm
            if is_framed and lift.chosen.load.size_mm[1] > deck_mm:
                room = format_height(deck_mm, units)
                yield (
                    f"It is longer than the {room} of deck beside what stands: frame it with its "
                    "head out over the edge on trestles, or raise it before the wall across."
                )
            if lift.chosen.split is Split.HALVES:
                yield from _sawn(item.name, item.halves, units)
                yield (
                    "Nail the halves stud to stud; the upper plate laps "
                    f"{format_length(LAP_MM, units)}."
                )
            if not is_framed:
                yield "Studs are toe-nailed to the bottom plate, half from each side of them."
            if lift.spreaders:
                yield f"{spreaders_text(lift.spreaders, units)}."
            yield (
                f"Until it is sheathed: a diagonal {_BRACE[units]} across the studs, "
                f"{nails_text(2, units)} to a plate, 1 to a stud."
            )
        case Handling.BEAM:
            if item.kind is not BuiltUp.HEADER:
                yield (
                    "First a cleat at each seat, so that it cannot fall over; nail it down before "
                    "letting go."
                )
        case Handling.STICK | Handling.POST:
            pass
        case _:
            assert_never(item.handling)


def spreaders_text(spreaders: Sequence[Spreader], units: Units) -> str:
    """What keeps the doorways of a wall that is tilted up from spreading or closing."""
    long = listed([format_length(one.length_mm, units, "up") for one in spreaders])
    foot = "the doorway's foot" if len(spreaders) == 1 else "each doorway's foot"
    nailed = nails_text(SPREADER_NAILS, units)
    return (
        f"Before it is tilted, a {_BRACE[units]} {long} long across {foot}, over the studs on both "
        f"sides, {nailed} each end; off once the bottom plate is nailed down"
    )


def nails_text(count: int, units: Units) -> str:
    """The nails of braces: "2-16d", and by their size where nobody counts in pennies."""
    return f"{count}-16d" if units == "imperial" else f"{plural(count, 'nail')} 4.5 x 100 mm"


def _sawn(wall: str, halves: Sequence[Load], units: Units) -> Iterator[str]:
    """Plates that the cut list has in one piece, and the stud that only the halves have."""
    sawn: dict[tuple[str, ...], list[str]] = {}
    for name, lengths in plates_sawn(halves).items():
        into = tuple(format_length(mm, units) for mm in lengths)
        sawn.setdefault(into, []).append(name.removeprefix(f"{wall} "))
    if not sawn:
        return
    told = (f"{' and '.join(names)} into {' and '.join(into)}" for into, names in sawn.items())
    yield f"Saw over a stud: {', '.join(told)}."
    yield "Each half has a stud there: one more, from the spare."
