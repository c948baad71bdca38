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
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pikepole_export.derive.lifting.items import Handling
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.plan import LiftPlan
from pikepole_export.derive.moving.plan import MovePlan
from pikepole_export.files.whole import make_folder, put, slug
from pikepole_export.graphics.child import Pictures
from pikepole_export.graphics.layers import layers_of
from pikepole_export.graphics.page import WIDTH_PX
from pikepole_export.write.cards.move_scene import move_scene
from pikepole_export.write.cards.move_words import move_words
from pikepole_export.write.cards.page import page_layout
from pikepole_export.write.cards.scene import CardScene, card_scene, stage_solid
from pikepole_export.write.cards.sizes import HEIGHT_PX
from pikepole_export.write.cards.solids import Solid
from pikepole_export.write.cards.texts import text_layout
from pikepole_export.write.cards.words import CardWords, card_words
from pikepole_model.building.part import Building

CHILD = "pikepole_export.write.cards.render"
MOVE = "move.png"


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
    job = _Job(building, drawing)
    for lift in carded(plan):
        words = card_words(building, lift, cautions(lift))
        job.hand(card_name(lift), card_scene(building, plan, lift), words)
    if moved is not None:
        job.hand(MOVE, move_scene(building, moved), move_words(building, moved))
    drawing.complete()


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


def among_stages(cards: Sequence[Path], plan: MovePlan, folder: Path) -> list[Path]:
    """Put the card of the move after the picture of the stage that it follows.

    Args:
        cards: Those that were drawn.
        plan: Of the move.
        folder: Where `stages` is.
    """
    file = f"{plan.row.stage:02}b-{MOVE}"  # between the pictures 08-... and 09-...
    return [
        put(make_folder(folder / "stages") / file, card.read_bytes())
        for card in cards
        if card.name == MOVE
    ]


class _Job:
    """Puts what the children need into the job's folder, a card at a time.

    A card's arrays and words have its name, with `.npz` and `.json`; what its pictures have in
    common, a stage at a time, is in `stage0.npz` and so on.
    """

    def __init__(self, building: Building, drawing: Pictures) -> None:
        self._layers = layers_of(building)
        self._written: set[str] = set()
        self._drawing = drawing

    def hand(self, name: str, scene: CardScene, words: CardWords) -> None:
        """Have a card drawn.

        Args:
            name: Of its file.
            scene: What its pictures show.
            words: What is written on it.
        """
        page = page_layout(scene, text_layout(words))
        arrays = _layer("stands", scene.stands)
        for step, panel in enumerate(scene.panels):
            arrays |= _layer(f"{step}_around", panel.around)
            arrays |= _layer(f"{step}_before", panel.before)
            arrays |= _layer(f"{step}_after", panel.after)
        arrays |= {"axes": scene.axes, "light": scene.light}
        self._save(name, arrays)
        for layer in scene.stages:
            if layer not in self._written:
                self._save(layer, _layer("stage", stage_solid(self._layers[layer])))
                self._written.add(layer)
        text = json.dumps({**page.plain, "stages": scene.stages})
        (self._drawing.job / f"{name}.json").write_text(text, encoding="utf-8")
        self._drawing.hand(name)

    def _save(self, name: str, arrays: dict[str, NDArray[Any]]) -> None:
        np.savez(self._drawing.job / f"{name}.npz", allow_pickle=False, **arrays)


def _layer(name: str, solid: Solid) -> dict[str, NDArray[Any]]:
    return {
        f"{name}_points": solid.points.astype(np.float32),
        f"{name}_triangles": solid.triangles,
        f"{name}_colours": solid.colours.astype(np.float32),
        f"{name}_lines": solid.lines.astype(np.float32),
    }
