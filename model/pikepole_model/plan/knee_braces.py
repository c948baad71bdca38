"""Knee braces: where each one runs from its post up to the beam, at 45 degrees."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pikepole_model.geometry.shape import Polygon
from pikepole_model.plan.beams import BeamLine, Post
from pikepole_model.scene.posts import KneeBrace
from pikepole_model.stock.rows import Lumber


@dataclass(frozen=True)
class Brace:
    """One knee brace, seen from the front: x along the building, z up.

        -----+--------------------
             |beam
        --+--+------/---/---------
          |  |     /   /      |
          |  |    /   /       |leg
          |  |   /   /        |
          |  |  /   /
          |post/   /

    A nailed one ends in a bevel on the post's side and one on the beam's underside. A bolted one
    lies on the outer faces of both and goes on, with the same bevels, to the middle of the post
    and up the beam.

    Attributes:
        line: The beam that it braces.
        post: The post that it stands on.
        says: What the scene says of it.
        towards: +1 where it leans to the right, -1 where it leans to the left.
        room_mm: From the post's side to the next post's or the store's, mm.
    """

    line: BeamLine
    post: Post
    says: KneeBrace
    towards: int
    room_mm: float

    @property
    def stock(self) -> Lumber:
        """What it is cut from."""
        scene = self.line.roof.datums.scene
        return scene.lumber_stock(self.says.stock_in(scene.units))

    @property
    def is_bolted(self) -> bool:
        """Whether it lies on the faces of post and beam."""
        return self.says.fixed == "bolted"

    @property
    def across_mm(self) -> float:
        """What a cut at 45 degrees is long, mm."""
        return math.sqrt(2) * self.stock.depth_mm

    @property
    def onto_mm(self) -> tuple[float, float]:
        """How far it goes on over the post's face, and up the beam's, mm."""
        if not self.is_bolted:
            return 0.0, 0.0
        thick, line = self.stock.breadth_mm, self.line
        return self._half_post_mm, line.up_the_beam_mm(-thick, under_mm=line.soffit_mm)

    @property
    def out_mm(self) -> float:
        """How far from the post's side it reaches, mm."""
        return self.says.leg + self.onto_mm[1]

    @property
    def foot_mm(self) -> float:
        """Its lowest corner above ground, mm."""
        return self.line.low_mm - self.says.leg - self.onto_mm[0]

    @property
    def outline(self) -> Polygon:
        """Its corners in x and z of the building, mm."""
        leg, low, (over, up) = self.says.leg, self.line.low_mm, self.onto_mm
        inner = leg - self.across_mm
        corners = (
            (-over, -leg - over),
            (leg + up, up),
            (inner + up, up),
            (-over, -inner - over),
        )
        side = self.post.x + self.towards * self._half_post_mm
        return tuple((side + self.towards * x, low + z) for x, z in corners)

    @property
    def y(self) -> tuple[float, float]:
        """Its two faces, mm: outside of post and beam, or in the middle under the beam."""
        thick = self.stock.breadth_mm
        near = -thick if self.is_bolted else max(0.0, (self.line.width_mm - thick) / 2)
        return self.line.span(near, near + thick)

    @property
    def _half_post_mm(self) -> float:
        return self.line.roof.datums.scene.lumber_stock(self.post.says.post).breadth_mm / 2


def braces_of(line: BeamLine) -> Iterator[Brace]:
    """The braces of one line, from the left, on both sides of a post where the beam goes on."""
    scene = line.roof.datums.scene
    stud = line.roof.datums.breadth_mm / 2
    taken = sorted(
        [
            *((x, stud) for x in line.on_walls),
            *((post.x, scene.lumber_stock(post.says.post).breadth_mm / 2) for post in line.posts),
        ]
    )
    for post in sorted(line.posts, key=lambda post: post.x):
        if not post.says.brace:
            continue
        half = scene.lumber_stock(post.says.post).breadth_mm / 2
        for towards in (-1, 1):
            rooms = [
                towards * (x - post.x) - half - other
                for x, other in taken
                if towards * (x - post.x) > half
            ]
            if rooms:
                yield Brace(line, post, post.says.brace, towards, min(rooms))
