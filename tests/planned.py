"""Cut plans of a building, planned once for all tests, and read back from files.

refuse_to_plan(monkeypatch) -> no board is long enough from here on
boards_once(building), sheets_once(building) -> what `cut_plans` and `sheet_plans` find
"""

from __future__ import annotations

import json
import tempfile
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any, Protocol, TypeVar

import pytest

from conftest import FORMS, SCENES
from pikepole_export.derive.cutting import offered
from pikepole_export.derive.cutting.cuts import SectionPlan, cut_plans
from pikepole_export.derive.cutting.lengths import CutPiece, Saw, StockLength, plan_lengths
from pikepole_export.derive.cutting.sheets import StockPlan, sheet_plans
from pikepole_export.write.tables.csv_json import write_table
from pikepole_export.write.tables.cutting import cuts_table
from pikepole_export.write.tables.sheets import sheets_table
from pikepole_model.build import build
from pikepole_model.building.part import Building
from pikepole_model.reading.file import load_scene

Plans = TypeVar("Plans", covariant=True)


class _Planner(Protocol[Plans]):
    def __call__(self, building: Building, *, prove: bool = False) -> Plans: ...


def _once(plan: _Planner[Plans]) -> _Planner[Plans]:
    """A planner that looks at equal buildings once: at its scene, and at all it reads of parts."""
    made: dict[object, Plans] = {}

    def planned(building: Building, *, prove: bool = False) -> Plans:
        parts = (
            (
                part.name,
                part.stage,
                part.kind,
                part.stock,
                part.material,
                part.section_mm,
                part.shape.size_mm,
            )
            for part in building.parts
        )
        key = prove, building.scene.model_dump_json(), *parts
        if key not in made:
            made[key] = plan(building, prove=prove)
        return made[key]

    return planned


boards_once = _once(cut_plans)
sheets_once = _once(sheet_plans)


@cache
def built(name: str) -> Building:
    """The building of a scene of the project."""
    return build(load_scene({**SCENES, **FORMS}[name]))


def cuts_of(building: Building) -> tuple[tuple[SectionPlan, ...], dict[str, Any]]:
    """The plans of its boards, and cuts.json."""
    plans = boards_once(building)
    with tempfile.TemporaryDirectory() as folder:
        _, path = write_table(cuts_table(plans, building), Path(folder))
        return plans, json.loads(path.read_text(encoding="utf-8"))


def sheets_of(building: Building) -> tuple[tuple[StockPlan, ...], dict[str, Any]]:
    """The plans of its sheets, and sheets.json."""
    plans = sheets_once(building)
    with tempfile.TemporaryDirectory() as folder:
        _, path = write_table(sheets_table(plans, building), Path(folder))
        return plans, json.loads(path.read_text(encoding="utf-8"))


def refuse_to_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    """Lets no board be long enough: no scene does, since pieces are laid out to fit boards."""

    def refuse(pieces: Sequence[CutPiece], _: Sequence[StockLength], saw: Saw, **how: bool) -> None:
        plan_lengths(pieces, [StockLength("short", pieces[0].length_mm - 1)], saw, **how)

    monkeypatch.setattr(offered, "plan_lengths", refuse)
