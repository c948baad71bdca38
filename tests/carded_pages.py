"""Every card of the examples as it is laid out, worked out once for all tests."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from pikepole_export.derive.lifting.cautions import cautions_of
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.plan import LiftPlan, lift_plan
from pikepole_export.write.cards.files import carded
from pikepole_export.write.cards.page import Page, page_layout
from pikepole_export.write.cards.scene import CardScene, card_scene
from pikepole_export.write.cards.texts import text_layout
from pikepole_export.write.cards.words import card_words
from pikepole_model.build import build
from pikepole_model.building.part import Building
from pikepole_model.reading.file import load_scene

SCENES = Path(__file__).parents[1] / "scenes"
NAMES = ("honey-house", "canoe-store", "garden-classroom")


@cache
def built(name: str) -> tuple[Building, LiftPlan]:
    building = build(load_scene(SCENES / f"{name}.toml"))
    return building, lift_plan(building)


@cache
def pages(name: str) -> tuple[tuple[Lift, CardScene, Page], ...]:
    building, plan = built(name)
    found: list[tuple[Lift, CardScene, Page]] = []
    for lift in carded(plan):
        scene = card_scene(building, plan, lift)
        layout = text_layout(card_words(building, lift, cautions_of(lift, building.scene.units)))
        found.append((lift, scene, page_layout(scene, layout)))
    return tuple(found)
