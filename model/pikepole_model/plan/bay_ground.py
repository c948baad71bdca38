"""What lies on the ground inside the posts: how far each piece of it reaches."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.beams import BeamLine
from pikepole_model.plan.datums import Datums
from pikepole_model.scene.foundation import Pad
from pikepole_model.scene.posts import Bay, Ground

# A slab stays clear of what stands in it, with joint filler between, so that each may settle:
# 1/2 in, common practice, no source.
FILLER_MM = 12.7

# It stays this clear of the walls' framing, down which sheets, flashing and cladding hang: 4 in,
# assumed.
OFF_WALLS_MM = 101.6

# Siding and sheathing end this far over slabs that rain falls on, 2 in. Source: IRC R317.1, item 5
# (from memory).
OVER_SLAB_MM = 50.8


@dataclass(frozen=True, slots=True)
class BayGround:
    """The gravel or the slab of one bay, or of all that stands on posts.

    Attributes:
        name: What the names of its pieces begin with.
        says: What the scene says of it.
        low: Its corner of least X and Y, mm.
        high: Its corner of greatest X and Y, mm.
    """

    name: str
    says: Ground
    low: tuple[float, float]
    high: tuple[float, float]


def bay_grounds(datums: Datums, lines: Iterable[BeamLine]) -> Iterator[BayGround]:
    """Each from the outer faces of the posts in to the store's pad, or to where its gravel ends."""
    scene = datums.scene
    length, depth = datums.length_mm, datums.depth_mm
    if scene.posts and scene.posts.ground:
        (x0, x1) = datums.roof_ends_mm
        yield BayGround("bay", scene.posts.ground, (x0, 0.0), (x1, depth))
    for bay in scene.bay:
        if not bay.ground:
            continue
        margin = _off_store_mm(datums, bay.ground)
        if bay.side in ("left", "right"):
            x, y = _beside(bay, length, margin), (0.0, depth)
        else:
            line = next(line for line in lines if any(post.says is bay for post in line.posts))
            x, y = line.x, _beside(bay, depth, margin)
        yield BayGround(f"{bay.side} bay", bay.ground, (x[0], y[0]), (x[1], y[1]))


def _off_store_mm(datums: Datums, says: Ground) -> float:
    """How far out from the walls' framing it stops, mm.

    Over the gravel round a pad it runs on to the pad, where what hangs down the walls is 2 in over
    it, as over any slab that rain falls on (IRC R317.1, item 5).
    """
    pad = datums.scene.foundation
    is_slab = says.kind == "slab"
    top = says.above_ground if is_slab else 0.0
    low = top - says.gravel - (says.thickness if is_slab else 0.0)
    hangs = datums.bearer_mm if datums.scene.floor else datums.floor_mm
    is_under = top <= hangs - OVER_SLAB_MM + TOLERANCE_MM
    if isinstance(pad, Pad) and is_under and low >= pad.above_ground - pad.deep_mm - TOLERANCE_MM:
        return pad.margin + (FILLER_MM if is_slab else 0.0)
    return max(datums.gravel_past_mm, OFF_WALLS_MM)


def _beside(bay: Bay, far: float, margin: float) -> tuple[float, float]:
    """From and to of a bay along the axis that it reaches out on, mm."""
    if bay.side in ("left", "front"):
        return -bay.reach, -margin
    return far + margin, far + bay.reach
