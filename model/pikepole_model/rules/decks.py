"""What must hold for what is said of the sheets or boards of a floor, and of a loft's sheets."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.building.decks import DECKS, TONGUED, deck_of, edge_of
from pikepole_model.errors import Problem, leave_out, other
from pikepole_model.scene.schema import Scene


def deck_problems(scene: Scene) -> Iterator[Problem]:
    """Keys that would make nothing, and edges that the sheets do not come with."""
    if scene.floor and "gap" in scene.floor.model_fields_set and not scene.floor.board:
        path = ("floor", "gap")
        yield Problem.at(path, "is between boards, and the floor has none", leave_out(path))
    for kind, table in DECKS.items():
        deck, edge = deck_of(scene, kind), edge_of(scene, kind)
        given = deck.model_fields_set if deck else frozenset[str]()
        path = (table, "edge")
        if edge is None:
            for key in ("edge", "edge_blocks"):
                if key in given:
                    text = "is of sheets, and the floor has none"
                    yield Problem.at((table, key), text, leave_out((table, key)))
        elif deck and "edge" in given and deck.edge != edge:
            yield Problem.at(
                path,
                f'is asked of "{deck.sheet}", which comes with square edges only',
                "",
                *(other(*path), other(table, "sheet")),
            )
        elif edge == TONGUED and "edge_blocks" in given:
            path = (table, "edge_blocks")
            text = "belongs to square edges, and these hold each other by tongue and groove"
            yield Problem.at(path, text, leave_out(path))
