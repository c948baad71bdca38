"""What a person writes about the roof's edges and its covering."""

from __future__ import annotations

from typing import Literal

from pikepole_model.scene.types import (
    FlatNameOrNone,
    LumberNameOrNone,
    Overhang,
    PanelNameOrNone,
    RollNameOrNone,
    Section,
    SheetNameOrNone,
)


class Edges(Section):
    """The boards and the bent metal along the roof's edges; [edges]."""

    fascia: LumberNameOrNone = "1x8"  # across the rafters' ends
    barge: LumberNameOrNone = "1x8"  # up the outside of the fly rafters
    soffit: SheetNameOrNone = None  # under the tails
    metal: FlatNameOrNone = "flat steel 29 ga"  # drip edge, rake trim, ridge or peak cap


class Roofing(Section):
    """What lies on the roof sheets; [roofing]."""

    underlayment: RollNameOrNone = "No. 30 felt"
    panel: PanelNameOrNone = "ribbed steel 9 in 29 ga"
    start: Literal["left", "right"] = "left"  # the end of the roof where the first panel is set
    overhang: Overhang = 38.1  # of the panels past the drip edge, along the slope
    sealed: bool = False  # sealant in the panels' side laps
