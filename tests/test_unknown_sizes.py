"""A size that cannot be read stops no report: what hangs on it is looked at once it is right."""

from __future__ import annotations

from pathlib import Path

import pytest

from command import BAD_INPUT, pikepole
from conftest import FORMS


@pytest.mark.parametrize(
    ("form", "changes", "keys"),
    [
        # Posts of an open wall are counted from its length.
        ("log-store", [('length = "12 ft"', 'length = "8 parsecs"')], ["building.length"]),
        # Walls have no outline, which the geometry library warns of.
        (
            "lambing-shed",
            [('length = "14 ft"', ""), ('slope = "3:12"', 'length = "14 ft"')],
            ["building.length", "roof.slope", "roof.length"],
        ),
        # A list has no place for one unknown length.
        ("cart-shelter", [("widths = [", "widths = 7 # [")], ["posts.widths"]),
    ],
)
def test_what_is_wrong_is_told_whatever_hangs_on_it(
    form: str, changes: list[tuple[str, str]], keys: list[str], tmp_path: Path
) -> None:
    text = FORMS[form].read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    scene = tmp_path / "scene.toml"
    scene.write_text(text, encoding="utf-8")
    answer = pikepole("check", scene)
    assert answer.code == BAD_INPUT
    assert answer.err.startswith(f"{scene}: ")
    told = [problem.split()[0] for problem in answer.err.split("\n\n")[1:]]
    assert told == keys
