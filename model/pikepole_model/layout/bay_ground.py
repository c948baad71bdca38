"""What lies on the ground inside the posts: gravel, or a slab on gravel."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import replace
from typing import Literal

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, block, bulk, let_in
from pikepole_model.geometry.shape import Circle, Prism, Shape, rectangle
from pikepole_model.plan.bay_ground import FILLER_MM, BayGround, bay_grounds
from pikepole_model.plan.beams import BeamLine
from pikepole_model.plan.datums import Datums
from pikepole_model.scene.schema import Scene

GROUP = "bay ground"


def lay_ground(datums: Datums, lines: tuple[BeamLine, ...], footings: list[Piece]) -> list[Piece]:
    """What was cast under the posts, and the gravel and the slabs of all bays round it.

    Args:
        datums: Of the building.
        lines: Every beam with its posts.
        footings: What was cast under the posts.
    """
    concrete = [piece for piece in footings if piece.kind == Kind.FOOTING]
    layers = [
        _round(layer, ground, concrete)
        for ground in bay_grounds(datums, lines)
        for layer in _layers(datums.scene, ground)
    ]
    return [*footings, *layers]


def _layers(scene: Scene, ground: BayGround) -> list[Piece]:
    """Gravel flush with the ground, or under the slab."""
    says, layers = ground.says, list[Piece]()
    top = 0.0
    if says.kind == "slab":
        top = says.above_ground - says.thickness
        layers = [_layer(scene, ground, Kind.SLAB, "concrete", top, says.above_ground)]
    return [_layer(scene, ground, Kind.GRAVEL, "gravel", top - says.gravel, top), *layers]


def _layer(
    scene: Scene,
    ground: BayGround,
    kind: Kind,
    of: Literal["concrete", "gravel"],
    low: float,
    high: float,
) -> Piece:
    return block(
        f"{ground.name} {kind}",
        kind,
        GROUP,
        bulk(scene, of),
        (*ground.low, low),
        (*ground.high, high),
        "x",
    )


def _round(layer: Piece, ground: BayGround, footings: Iterable[Piece]) -> Piece:
    """A layer clear of the footings that stand in it, and of the slivers they leave of a corner."""
    for footing in footings:
        body = footing.shape.body
        assert isinstance(body, Prism)
        assert isinstance(body.outline, Circle)
        hole = replace(body.outline, radius=body.outline.radius + FILLER_MM)
        centre, radius = footing.placement.point(hole.u, hole.v), hole.radius
        cut = replace(footing, shape=Shape(replace(body, outline=hole)))
        inside = (
            low - radius < at < high + radius
            for low, at, high in zip(ground.low, centre, ground.high, strict=False)
        )
        if not all(inside):
            continue
        layer = let_in(layer, cut)
        for corner in itertools.product(*zip(ground.low, ground.high, strict=True)):
            out = [end - at for end, at in zip(corner, centre, strict=False)]
            if max(map(abs, out)) < radius < math.hypot(*out):
                (u0, u1), (v0, v1) = (
                    sorted((at, at + 2 * by)) for at, by in zip((hole.u, hole.v), out, strict=True)
                )
                square = Prism(rectangle(u0, v0, u1, v1), body.thickness)
                layer = let_in(layer, replace(footing, shape=Shape(square)))
    return layer
