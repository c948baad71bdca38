"""What must hold for posts that stand already: they stand inside the store, clear of its frame."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from pikepole_model.errors import Problem, leave_out, more, other
from pikepole_model.geometry.spacing import TOLERANCE_MM, overlap
from pikepole_model.plan.datums import CLEAR_OF_MM
from pikepole_model.plan.loft import loft_plan
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.ties import tie_low_mm
from pikepole_model.rules.ruler import Ruler, walls_height
from pikepole_model.scene.schema import Existing, Pad

# The lowest post that a scene may have, mm.
LEAST_POST_MM = 600.0


def existing_problems(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    """What is wrong with the posts that stand already."""
    scene = roof.datums.scene
    for k, post in enumerate(scene.existing):
        if isinstance(scene.foundation, Pad):
            yield Problem.at(
                ("existing", k, "name"),
                "would be cast into the pad",
                leave_out(("existing", k)),
            )
            continue
        yield from _clear_of_walls(roof, k, post, ruler)
        room = _room_above(roof, post)
        if post.height > room + TOLERANCE_MM:
            yield Problem.at(
                ("existing", k, "height"),
                "reaches up into the roof or the loft",
                f"give {ruler.at_most(room)}" if room >= LEAST_POST_MM else "",
                more(*walls_height(scene)),
            )
    for (_, one), (k, after) in itertools.combinations(enumerate(scene.existing), 2):
        if (
            one.x < after.x + after.width
            and after.x < one.x + one.width
            and one.y < after.y + after.depth
            and after.y < one.y + one.depth
        ):
            yield Problem.at(
                ("existing", k, "x"),
                f'stands in "{one.name}"',
                "",
                other("existing", k, "x"),
                other("existing", k, "y"),
            )


def _clear_of_walls(roof: RoofPlan, k: int, post: Existing, ruler: Ruler) -> Iterator[Problem]:
    datums = roof.datums
    edge = datums.wall_mm + CLEAR_OF_MM
    for side, start, size, whole, walls in (
        ("x", post.x, post.width, datums.length_mm, "left and right"),
        ("y", post.y, post.depth, datums.depth_mm, "front and back"),
    ):
        most = whole - size - edge
        if start < edge - TOLERANCE_MM or start > most + TOLERANCE_MM:
            yield Problem.at(
                ("existing", k, side),
                f"does not stand clear between the {walls} walls",
                "",
                other("existing", k, side),
                more("building", "length" if side == "x" else "depth"),
            )


def _room_above(roof: RoofPlan, post: Existing) -> float:
    """How high a post may reach above ground, mm."""
    room = min(roof.lowest_rafter_mm(y) for y in (post.y, post.y + post.depth))
    room = min([room, *(member.low_mm for member in roof.level_members)])
    if roof.ridge_board:
        room = min(room, tie_low_mm(roof))
    loft = loft_plan(roof)
    if loft and overlap((post.x, post.x + post.width), loft.x):
        room = min(room, loft.lowest_mm)
    return room - CLEAR_OF_MM
