"""What holds the building together where wind lifts it; [ties]."""

from __future__ import annotations

from typing import Literal

from pikepole_model.scene.types import Section


class Ties(Section):
    """Steel beside the nails; [ties]."""

    rafters: Literal["each", "none"] = "each"  # bent steel at every bearing of every rafter
    # Across pairs of rafters that lean on a ridge board.
    ridge: Literal["straps", "none"] = "straps"
    # Down to studs and floor frame where no sheets run over the joints.
    walls: Literal["straps", "none"] = "straps"
    # Bars in the ground beside skids and girders.
    ground: Literal["anchors", "none"] = "anchors"
