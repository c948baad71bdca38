"""Every scene of the project, built once for all tests that look at it."""

from __future__ import annotations

import gc
from functools import cache
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages

import pytest
from hypothesis import is_hypothesis_test, settings

import pikepole_export
import pikepole_model
from draws import LONG, register
from once import forget, work_out_once
from pikepole_model.build import build
from pikepole_model.building.part import Building
from pikepole_model.reading.file import load_scene

register()
work_out_once()

# Buildings are kept for all tests: looking through them for cycles takes a fifth of the run.
gc.set_threshold(50_000, 10, 10)

# Begun first: one that takes minutes would keep one processor core busy alone at the end.
FIRST = (
    *("test_whole_buildings", "test_strength_mends", "test_book", "test_cli", "test_plans"),
    *("test_lift_plan", "test_page", "test_move_card", "test_cli_lift", "test_fuzzed_scenes"),
    *("test_moving", "test_kills", "test_measured", "test_same_bytes", "test_kinds"),
)


def pytest_configure(config: pytest.Config) -> None:
    """Properties are tried with the same few draws everywhere, or with many by `-m long`.

    Draws are also made from constants of the modules that are loaded, so that all are: else they
    would depend on which tests came before.
    """
    for package in (pikepole_model, pikepole_export):
        for module in walk_packages(package.__path__, f"{package.__name__}."):
            if not module.name.endswith("__main__"):
                import_module(module.name)
    settings.load_profile(LONG if config.option.markexpr == LONG else "plain")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What takes longest is begun first; every property belongs to the long run too."""
    items.sort(
        key=lambda item: FIRST.index(item.path.stem) if item.path.stem in FIRST else len(FIRST)
    )
    if settings.get_current_profile_name() == LONG:
        for item in items:
            if isinstance(item, pytest.Function) and is_hypothesis_test(item.obj):
                item.add_marker(LONG)


@pytest.fixture
def anew() -> None:
    """Lets everything be worked out again: for tests that hold a second time against the first."""
    forget()


_ROOT = Path(__file__).parents[1]
_TESTS = _ROOT / "tests" / "scenes"
# Monopitch roofs with bays at the ends, whose frame is measured stick by stick.
SCENES = {
    path.stem: path
    for path in (_ROOT / "scenes" / "honey-house.toml", *sorted(_TESTS.glob("*.toml")))
}
# Every other form.
FORMS = {
    path.stem: path
    for path in (
        _ROOT / "scenes" / "canoe-store.toml",
        _ROOT / "scenes" / "garden-classroom.toml",
        *sorted((_TESTS / "forms").glob("*.toml")),
    )
}


@cache
def _built(name: str) -> Building:
    return build(load_scene({**SCENES, **FORMS}[name]))


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


@pytest.fixture(params=list(FORMS))
def form(request: pytest.FixtureRequest) -> Building:
    """Each of the other forms of building in turn."""
    return _built(request.param)


@pytest.fixture(params=["drying-loft", "potting-lean-to", "rinsing-bay"])
def gable(request: pytest.FixtureRequest) -> Building:
    """Each gable: on a board with raised ties, on a board beside a ledger, on a beam."""
    return _built(request.param)


@pytest.fixture
def cart_shelter() -> Building:
    """All bays: 21 by 15 ft, a ridge, bolted braces, a slab."""
    return _built("cart-shelter")


@pytest.fixture
def dory_shelter() -> Building:
    """A tool room with two bays at its right, 7 and 19 by 14 ft, nailed braces, gravel."""
    return _built("dory-shelter")


@pytest.fixture
def drying_loft() -> Building:
    """A gable on a ridge board, with raised ties."""
    return _built("drying-loft")


@pytest.fixture
def rinsing_bay() -> Building:
    """A gable on a ridge beam that runs on over a bay; a door under the ridge; a pad."""
    return _built("rinsing-bay")


@pytest.fixture
def weaving_shed() -> Building:
    """A saltbox: a ridge beam before the middle, two slopes."""
    return _built("weaving-shed")


@pytest.fixture
def cider_barn() -> Building:
    """A gambrel: purlins under its knees, gussets, a ridge beam."""
    return _built("cider-barn")


@pytest.fixture
def comb_store() -> Building:
    """A gambrel with a loft on its plates, an opening in it and a ladder."""
    return _built("comb-store")


@pytest.fixture
def veil_loft() -> Building:
    """A gable on a ridge board, with a loft over one end whose joists tie the rafters."""
    return _built("veil-loft")


@pytest.fixture
def potting_lean_to() -> Building:
    """A lower roof on a ledger beside a gable, posts with caps."""
    return _built("potting-lean-to")


@pytest.fixture(params=["sun-porch", "wood-lean-to"])
def run_on(request: pytest.FixtureRequest) -> Building:
    """Lean-tos under rafters that run on, past the high and past the low wall."""
    return _built(request.param)


@pytest.fixture
def pergola_room() -> Building:
    """Piers, and two posts that stand already."""
    return _built("pergola-room")
