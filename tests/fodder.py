"""A plain fodder store, 12 x 8 ft, for tests of what one more table of a scene says."""

from __future__ import annotations

from typing import Any

from pikepole_model.errors import Problem
from pikepole_model.reading.file import check_scene
from pikepole_model.scene.schema import Scene


def table(**more: Any) -> dict[str, Any]:
    """The store with more tables."""
    return {
        "title": "Fodder store",
        "building": {"length": "12 ft", "depth": "8 ft"},
        "foundation": {"kind": "skids"},
        "floor": {},
        "roof": {"slope": "2:12"},
        **more,
    }


def read(**more: Any) -> Scene:
    """The store as a scene without problems."""
    scene, problems = check_scene(table(**more))
    assert not problems
    assert scene
    return scene


def refused(**more: Any) -> Problem:
    """The one problem of a scene, which says all there is to say about it."""
    _, problems = check_scene(table(**more))
    assert len(problems) == 1, problems
    return problems[0]
