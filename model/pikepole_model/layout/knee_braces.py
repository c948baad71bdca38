"""Knee braces between posts and beams."""

from __future__ import annotations

import math
from collections.abc import Iterable

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, profile, timber
from pikepole_model.geometry.placement import Placement
from pikepole_model.plan.beams import BeamLine
from pikepole_model.plan.knee_braces import braces_of


def fit_braces(lines: Iterable[BeamLine]) -> list[Piece]:
    """The knee braces of every line, bevelled at both ends."""
    return [
        profile(
            f"{brace.post.name} knee brace",
            Kind.BOLTED_BRACE if brace.is_bolted else Kind.KNEE_BRACE,
            "knee braces",
            timber(line.roof.datums.scene, brace.stock.name),
            brace.outline,
            # Drawn from the front, so that n comes towards the viewer from the far face.
            Placement((0.0, brace.y[1], 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)),
            brace.stock.breadth_mm,
            grain_rad=brace.towards * math.pi / 4,
        )
        for line in lines
        for brace in braces_of(line)
    ]
