"""A card for every lift that is more than one person's, and one for the move of the building.

They are drawn by a child process, as the stage pictures are, and for the same reason:

    with open_cards() as drawing:
        ...
        begin_cards(drawing, building, plan, moved, cautions)
        ...
        names = drawing.finish(folder)
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pikepole_export.derive.lifting.items import Handling
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.plan import LiftPlan
from pikepole_export.derive.moving.plan import MovePlan
from pikepole_export.files.whole import slug
from pikepole_export.graphics.child import Pictures
from pikepole_export.graphics.page import WIDTH_PX
from pikepole_export.write.cards.move_scene import move_scene
from pikepole_export.write.cards.move_words import move_words
from pikepole_export.write.cards.page import page_layout
from pikepole_export.write.cards.scene import CardScene, card_scene, stage_solid
from pikepole_export.write.cards.solids import Solid
from pikepole_export.write.cards.texts import HEADER_PX, HEIGHT_PX, PANEL_PX, text_layout
from pikepole_export.write.cards.words import CardWords, card_words
from pikepole_model.building.part import Building

CHILD = "pikepole_export.write.cards.render"
MOVE = "move.png"


@dataclass(frozen=True, slots=True)
class Card:
    """What is on a card.

    Attributes:
        name: Of its file.
        scene: What its pictures show.
        words: What is written on it.
    """

    name: str
    scene: CardScene
    words: CardWords


def open_cards(children: int = 1, after: Pictures | None = None) -> Pictures:
    """What cards are drawn with: it loads while they are being planned.

    Args:
        children: How many processes share the cards.
        after: Pictures that are drawn first; None to load at once.
    """
    return Pictures(CHILD, "lifts", (WIDTH_PX, HEIGHT_PX), children=children, after=after)


def start_cards(
    building: Building,
    plan: LiftPlan,
    moved: MovePlan | None,
    cautions: Callable[[Lift], Sequence[str]],
    after: Pictures | None = None,
) -> Pictures:
    """Open and begin in one, and return at once."""
    drawing = open_cards(after=after)
    try:
        begin_cards(drawing, building, plan, moved, cautions)
    except BaseException:
        drawing.close()
        raise
    return drawing


def begin_cards(
    drawing: Pictures,
    building: Building,
    plan: LiftPlan,
    moved: MovePlan | None,
    cautions: Callable[[Lift], Sequence[str]],
) -> None:
    """Begin to draw a card for every lift that has one, and for the move, and return at once.

    Args:
        drawing: What `open_cards` gave.
        building: What is built.
        plan: Its lift plan.
        moved: The move that its scene asks for, if it does.
        cautions: What to take care of at a lift beside what is on every card, a sentence or so
            each.
    """
    cards = [
        Card(
            card_name(lift),
            card_scene(building, plan, lift),
            card_words(building, lift, cautions(lift)),
        )
        for lift in carded(plan)
    ]
    if moved is not None:
        cards.append(Card(MOVE, move_scene(building, moved), move_words(building, moved)))
    _write_job(building, cards, drawing.job)
    drawing.begin([card.name for card in cards])


def carded(plan: LiftPlan) -> list[Lift]:
    """The lifts that have a card: walls, beams and posts, and all that one person does not do."""
    always = (Handling.WALL, Handling.BEAM, Handling.POST)
    return [
        lift
        for lift in plan.lifts
        if lift.people > 1
        or lift.machine is not None
        or (lift.item.handling in always and not lift.item.inside_of)
    ]


def card_name(lift: Lift) -> str:
    """A card's file name: its number, and the item's name in lower case, hyphens, ASCII."""
    return f"{lift.number:02}-{slug(lift.item.name)}.png"


def _write_job(building: Building, cards: Sequence[Card], job: Path) -> None:
    """Put what the child needs into the job's folder: `arrays.npz` and `words.json`."""
    arrays: dict[str, NDArray[Any]] = {
        "size": np.array([PANEL_PX, HEIGHT_PX - HEADER_PX]),
    }
    pages: list[dict[str, Any]] = []
    stages = 0
    for number, card in enumerate(cards):
        scene = card.scene
        page = page_layout(scene, text_layout(card.words))
        name = f"card{number}"
        arrays |= _layer(f"{name}_stands", scene.stands)
        for step, panel in enumerate(scene.panels):
            arrays |= _layer(f"{name}_{step}_around", panel.around)
            arrays |= _layer(f"{name}_{step}_before", panel.before)
            arrays |= _layer(f"{name}_{step}_after", panel.after)
        arrays[f"{name}_axes"] = scene.axes
        arrays[f"{name}_light"] = scene.light
        arrays[f"{name}_stages"] = np.array(scene.stages)
        stages = max(stages, scene.stages)
        words = {**page.plain, "size": [WIDTH_PX, HEIGHT_PX]}
        pages.append({"file": card.name, "page": words})
    for number, stage in enumerate(building.stages[:stages]):
        arrays |= _layer(f"stage{number}", stage_solid(stage.parts))
    np.savez(job / "arrays.npz", allow_pickle=False, **arrays)
    (job / "words.json").write_text(json.dumps(pages), encoding="utf-8")


def _layer(name: str, solid: Solid) -> dict[str, NDArray[Any]]:
    return {
        f"{name}_points": solid.points.astype(np.float32),
        f"{name}_triangles": solid.triangles,
        f"{name}_colours": solid.colours.astype(np.float32),
        f"{name}_lines": solid.lines.astype(np.float32),
    }
