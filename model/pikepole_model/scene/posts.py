"""What stands on posts with footings of their own: open bays, and buildings without walls."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import Field

from pikepole_model.scene.quantity import Measure
from pikepole_model.scene.types import (
    Height,
    Heights,
    Layer,
    Length,
    LumberName,
    Offset,
    Section,
    Side,
    Slope,
)
from pikepole_model.stock.metric import usual
from pikepole_model.units import Units

# Posts along a beam stand at most this far apart where the scene does not say: 8 ft, common
# practice, no source. What a beam can really span depends on its load.
POSTS_APART_MM = 2438.4


class FootingUnder(Section):
    """What a post stands on under a slab; [roof.ridge.posts.footing]."""

    diameter: Annotated[float, Measure("length", 100.0, 2_000.0)] = 304.8
    depth: Annotated[float, Measure("length", 100.0, 3_000.0)] = 609.6  # below finished ground


class Footing(FootingUnder):
    """What a post stands on; [bay.footing], [posts.footing]."""

    above_ground: Annotated[float, Measure("length", 0.0, 1_000.0)] = 76.2


class KneeBrace(Section):
    """Braces from the posts up to their beam, at 45 degrees; [bay.brace], [posts.brace]."""

    fixed: Literal["nailed", "bolted"] = "nailed"  # between post and beam, or on their faces
    section: LumberName | None = None  # "4x4" nailed, "2x6" bolted
    leg: Length = 457.2  # from the corner of post and beam to the brace's far edge, either way

    def stock_in(self, units: Units) -> str:
        """Its section, given or usual in the units of the scene."""
        return self.section or usual("4x4" if self.fixed == "nailed" else "2x6", units)


class Ground(Section):
    """What lies on the ground inside the posts; [bay.ground], [posts.ground]."""

    kind: Literal["gravel", "slab"]
    gravel: Layer = 101.6  # under a slab too
    thickness: Layer = 101.6  # of a slab
    above_ground: Offset = 50.8  # top of a slab


class Carrying(Section):
    """Posts, and how a beam sits on them."""

    post: LumberName = "6x6"
    seat: Literal["notch", "cap"] = "notch"
    brace: KneeBrace | None = None


class InnerPosts(Carrying):
    """Posts in a store that its ridge beam rests on, on its slab; [roof.ridge.posts]."""

    count: Annotated[int, Field(ge=1, le=12)] = 1  # as far from each other as from the end walls
    footing: FootingUnder = FootingUnder()


class OnPosts(Carrying):
    """Posts out in the open, and what lies on the ground under their roof."""

    # From the middle of one post to the next, from the left or from the store; the last bay takes
    # what is left.
    widths: Annotated[tuple[Side, ...], Field(strict=False, max_length=39)] = ()
    footing: Footing = Footing()
    ground: Ground | None = None


class Bay(OnPosts):
    """A roofed open bay beside the store; [[bay]]."""

    side: Literal["left", "right", "front", "back"]
    reach: Side  # out from the store's framing to the outer face of the last rafter or the beam
    posts: Annotated[int, Field(ge=1, le=40)] | None = None  # or every
    every: Side | None = None  # from post to post at most, on centre
    # What only a lean-to has, at the front or the back.
    roof: Literal["runs on", "ledger"] = "runs on"
    slope: Slope | None = None  # of a roof on a ledger
    ledger: LumberName = "2x8"
    ledger_height: Height | None = None  # top of floor to top of the ledger


class Posts(OnPosts, Heights):
    """What stands in place of the walls, ground to underside of the beam high; [posts]."""

    every: Side = POSTS_APART_MM  # from post to post at most, on centre
    # From the front's outer face to the middle of each row of inner posts, with a beam on it.
    rows: Annotated[tuple[Length, ...], Field(strict=False, max_length=4)] = ()


OnFootings: TypeAlias = OnPosts | InnerPosts
