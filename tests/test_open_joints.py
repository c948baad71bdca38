"""Boards with open joints: not straight on house wrap, which neither sun nor rain may reach."""

from __future__ import annotations

from typing import Any

import pytest

from clad import clad
from pikepole_model.checks.practice import practice_findings

SQUARE = {"kind": "boards", "board": "1x8", "profile": "square"}


@pytest.mark.parametrize(
    ("boards", "tables", "found"),
    [
        # Level siding laps (IRC R703.5.3, from memory); 1/8 in stays open between square edges.
        (SQUARE, {"wrap": {}}, True),
        ({**SQUARE, "walls": ["left"]}, {"wrap": {}}, True),
        ({**SQUARE, "profile": "shiplap"}, {"wrap": {}}, False),
        ({**SQUARE, "reveal": "0 in"}, {"wrap": {}}, False),
        (SQUARE, {}, False),
    ],
)
def test_square_edges_apart_on_wrap(
    boards: dict[str, Any], tables: dict[str, Any], found: bool
) -> None:
    said = [one for one in practice_findings(clad(boards, **tables)) if "wrap" in one.text]
    assert bool(said) == found
    for one in said:
        assert (one.key, one.mend) == ("cladding[1].profile", 'give "shiplap"')
        assert "1/8" in one.text
        assert all("siding board" in name for name in one.parts)
