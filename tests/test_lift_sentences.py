"""Sentences of the lift plan, as they are said."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from measuring import INCH
from pikepole_export.derive.lifting.sentences import gear_text


@pytest.mark.parametrize(("feet", "article"), [(4, "a"), (8, "an"), (11, "an"), (12, "a")])
def test_a_platform_by_its_height(feet: int, article: str) -> None:
    lift: Any = SimpleNamespace(machine=None, step_mm=None, platform_mm=feet * 12 * INCH)
    assert gear_text(lift, "imperial") == f"{article} {feet} ft platform"
