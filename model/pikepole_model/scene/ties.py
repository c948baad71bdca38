"""What holds the building together where wind lifts it; [ties]."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pikepole_model.scene.quantity import Measure
from pikepole_model.scene.types import Section

# What a piece of bought steel holds, by its maker; none is assumed.
Rating: TypeAlias = Annotated[float, Measure("mass", 10.0, 20_000.0)]


class Ties(Section):
    """Steel beside the nails; [ties]."""

    rafters: Literal["each", "none"] = "each"  # bent steel at every bearing of every rafter
    # Across pairs of rafters that lean on a ridge board.
    ridge: Literal["straps", "none"] = "straps"
    # Down to studs and floor frame where no sheets run over the joints.
    walls: Literal["straps", "none"] = "straps"
    # Bars in the ground beside skids and girders.
    ground: Literal["anchors", "none"] = "anchors"
    # Bent steel from joists to the skids or girders that they lie on.
    floor: Literal["each", "none"] = "each"
    rafter_rating: Rating | None = None  # of one tie at a rafter, against wind that lifts it
    floor_rating: Rating | None = None  # of one tie at a skid or girder, against wind that lifts it
    anchor_rating: Rating | None = None  # of one anchor of skids or girders, upwards and level
    cap_rating: Rating | None = None  # of one post cap, against wind that lifts the beam off it
    base_rating: Rating | None = None  # of one post base, against wind that lifts the post off it
    # Of one hold-down at an end of what braces a wall, upwards; neither drawn nor ordered.
    hold_down_rating: Rating | None = None
