"""Every scene of the project, built once for all tests that look at it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from pikepole_model.build import build
from pikepole_model.part import Building
from pikepole_model.scene_file import load_scene

_ROOT = Path(__file__).parents[1]
SCENES = {
    path.stem: path
    for folder in (_ROOT / "scenes", _ROOT / "tests" / "scenes")
    for path in sorted(folder.glob("*.toml"))
}


@cache
def _built(name: str) -> Building:
    return build(load_scene(SCENES[name]))


@pytest.fixture(params=list(SCENES))
def building(request: pytest.FixtureRequest) -> Building:
    """Each scene's building in turn."""
    return _built(request.param)


@pytest.fixture
def honey_house() -> Building:
    """Skids, five openings, one bay, beams."""
    return _built("honey-house")


@pytest.fixture
def tool_store() -> Building:
    """A pad, no bay, plates that lap the corners, square tails."""
    return _built("tool-store")


@pytest.fixture
def boat_rack() -> Building:
    """Metric, a bay at each end, caps and notches, three plies."""
    return _built("boat-rack")


@pytest.fixture
def lopsided() -> Building:
    """Unequal sizes throughout; small enough to count by hand."""
    return _built("lopsided")
