"""What must agree in the tables of the openings, whatever their sizes."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.errors import KeyPath, Problem, Try, leave_out, more, other, without
from pikepole_model.scene.openings import NO_HEADER, Opening
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.windows_doors import MadeDoor

# Where a mend for a window without its sill begins: 3 ft, common practice, no source.
USUAL_SILL_MM = 914.4


def opening_key_problems(scene: Scene) -> Iterator[Problem]:
    """What contradicts itself in the tables of the openings, whatever their sizes."""
    names: set[str] = set()
    for k, opening in enumerate(scene.opening):
        own = {one.name for one in opening.row()}
        if own & names:
            yield Problem.at(
                ("opening", k, "name"), "is used twice", f'give "{opening.name} again {k + 1}"'
            )
        names |= own
        yield from _contradictions(opening, ("opening", k))


def _contradictions(opening: Opening, path: KeyPath) -> Iterator[Problem]:
    """The keys of one table that contradict the others."""
    is_window = opening.kind == "window"
    sill, apart = (*path, "sill"), (*path, "apart")
    if not opening.places:
        here = (*path, "from_left")
        tries = (other(*path, "at"), Try(here, "more", 0.0))
        yield Problem.at(here, "is missing: the place of the opening in its wall", "", *tries)
    steps = opening.distances if opening.count > 1 else ()
    for first, *again in filter(None, (opening.places, steps)):
        for key in again:
            # What else is wrong was looked for by the first.
            out, wrong = (*path, key), f"stands beside {first}, and one of them is enough"
            yield Problem.at(out, wrong, leave_out(out), without(*path, first))
    if is_window and opening.sill is None:
        tries = (Try(sill, "more", USUAL_SILL_MM), Try(sill, "less", USUAL_SILL_MM))
        yield Problem.at(sill, "is missing: the height of a window over the floor", "", *tries)
    for key, stands, kind in (
        ("sill", not is_window and opening.sill is not None, "windows"),
        ("window", not is_window and opening.window is not None, "windows"),
        ("steps", is_window and opening.steps is not None, "doors"),
        ("door", is_window and opening.door is not None, "doors"),
    ):
        if stands:
            yield Problem.at((*path, key), f"belongs to {kind}", leave_out((*path, key)))
    if opening.count > 1 and not steps:
        wrong = "is missing: the distance between the rough openings of a row"
        yield Problem.at(apart, wrong, "", Try(apart, "more", 0.0))
    of_a_row = [*opening.distances, *(["one_header"] if opening.one_header else [])]
    for key in of_a_row if opening.count == 1 else ():
        wrong = "belongs to a row"
        yield Problem.at((*path, key), wrong, leave_out((*path, key)), more(*path, "count"))
    door, cut = opening.door, (*path, "door", "dutch")
    if isinstance(door, MadeDoor) and door.dutch is not None and door.cut_mm is None:
        what = "slides" if door.track else "is one of a pair"
        tries = (without(*path, "door", "track"), without(*path, "door", "leaves"))
        yield Problem.at(cut, f"cuts across a leaf that {what}", leave_out(cut), *tries)
    if opening.header == NO_HEADER and opening.jacks is not None:
        wrong = "have no header to carry: the kings hold the head"
        yield Problem.at((*path, "jacks"), wrong, leave_out((*path, "jacks")))
