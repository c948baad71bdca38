"""Every form of building, each by a scene: what is built is true, whole and in order."""

from __future__ import annotations

from pathlib import Path

import pytest

from pikepole_model.build import build
from pikepole_model.fit import check
from pikepole_model.scene_file import load_scene

FORMS = sorted((Path(__file__).parent / "scenes" / "forms").glob("*.toml"))


@pytest.mark.parametrize("path", FORMS, ids=lambda path: path.stem)
def test_form_is_clean(path: Path) -> None:
    building = build(load_scene(path))
    assert [finding.text for finding in check(building)] == []
