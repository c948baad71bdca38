"""A lift card for every lift that is more than one person's: a picture with what it asks for.

They are drawn by a child process, as the stage pictures are, and for the same reason:

    with start_cards(building, plan, cautions) as cards:
        ...
        names = cards.finish(folder)
"""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pikepole_export.derive.lifting.items import Handling
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.plan import LiftPlan
from pikepole_export.files.whole import slug
from pikepole_export.graphics.child import Pictures
from pikepole_export.graphics.page import WIDTH_PX
from pikepole_export.write.cards.page import page_layout
from pikepole_export.write.cards.scene import card_scene, stage_solid
from pikepole_export.write.cards.solids import Solid
from pikepole_export.write.cards.texts import HEADER_PX, HEIGHT_PX, PANEL_PX, text_layout
from pikepole_export.write.cards.words import card_words
from pikepole_model.building.part import Building

CHILD = "pikepole_export.write.cards.render"


def write_cards(
    building: Building, plan: LiftPlan, folder: Path, cautions: Callable[[Lift], Sequence[str]]
) -> list[Path]:
    """Draw a card for every lift that has one into `folder`/lifts.

    Args:
        building: What is built.
        plan: Its lift plan.
        folder: Made if need be.
        cautions: What to take care of at a lift beside what is on every card, a sentence or so
            each.

    Returns:
        The files, in the order of the plan.

    Raises:
        OutputError: the cards could not be drawn; none was left behind.
    """
    with start_cards(building, plan, cautions) as cards:
        return [folder / name for name in cards.finish(folder)]


def start_cards(
    building: Building,
    plan: LiftPlan,
    cautions: Callable[[Lift], Sequence[str]],
    after: Pictures | None = None,
) -> Pictures:
    """Begin to draw in a child process and return at once.

    Args:
        building: What is built.
        plan: Its lift plan.
        cautions: As for `write_cards`.
        after: Pictures that are drawn first; None to begin at once.
    """
    job = Path(tempfile.mkdtemp(prefix="pikepole-"))
    try:
        lifts = carded(plan)
        _write_job(building, plan, lifts, cautions, job)
        names = [card_name(lift) for lift in lifts]
        return Pictures(job, CHILD, names, "lifts", (WIDTH_PX, HEIGHT_PX), after)
    except BaseException:
        shutil.rmtree(job, ignore_errors=True)
        raise


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


def _write_job(
    building: Building,
    plan: LiftPlan,
    lifts: Sequence[Lift],
    cautions: Callable[[Lift], Sequence[str]],
    job: Path,
) -> None:
    """Put what the child needs into the job's folder: `arrays.npz` and `words.json`."""
    arrays: dict[str, NDArray[Any]] = {
        "size": np.array([PANEL_PX, HEIGHT_PX - HEADER_PX]),
    }
    cards: list[dict[str, Any]] = []
    stages = 0
    for number, lift in enumerate(lifts):
        scene = card_scene(building, plan, lift)
        page = page_layout(scene, text_layout(card_words(building, lift, cautions(lift))))
        name = f"card{number}"
        arrays |= _layer(f"{name}_stands", scene.stands)
        for step, panel in enumerate(scene.panels):
            arrays |= _layer(f"{name}_{step}_before", panel.before)
            arrays |= _layer(f"{name}_{step}_after", panel.after)
        arrays[f"{name}_axes"] = scene.axes
        arrays[f"{name}_light"] = scene.light
        arrays[f"{name}_stages"] = np.array(scene.stages)
        stages = max(stages, scene.stages)
        words = {**page.plain, "size": [WIDTH_PX, HEIGHT_PX]}
        cards.append({"file": card_name(lift), "page": words})
    for number, stage in enumerate(building.stages[:stages]):
        arrays |= _layer(f"stage{number}", stage_solid(stage.parts))
    np.savez(job / "arrays.npz", allow_pickle=False, **arrays)
    (job / "words.json").write_text(json.dumps(cards), encoding="utf-8")


def _layer(name: str, solid: Solid) -> dict[str, NDArray[Any]]:
    return {
        f"{name}_points": solid.points.astype(np.float32),
        f"{name}_triangles": solid.triangles,
        f"{name}_colours": solid.colours.astype(np.float32),
        f"{name}_lines": solid.lines.astype(np.float32),
    }
