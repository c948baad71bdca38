"""Where bent metal comes between a wall's sheathing and its cladding, in the wall's plane.

Each flashing has a leg on the sheathing, with the wrap lapping over it, a flange that slopes out
over casing, bare frame, track board or the cladding's foot, and a drip leg down:

        | |  cladding          | |  cladding
       ||_|_                  ||_|
       |____|  over casing    |___ |  at its foot
"""

from __future__ import annotations

from pikepole_model.scene.schema import Scene
from pikepole_model.stock.rows import Flat
from pikepole_model.stock.sheet_metal import PLIES

# Common practice, no source: 2 in up behind the cladding, which ends 1/4 in over the flange; the
# drip leg stands 1/4 in clear of what is under it and hangs 3/8 in down.
UP_MM = 50.8
OPEN_MM = 6.35
CLEAR_MM = 6.35
DRIP_MM = 9.525

# A flange rises 3/16 in from its edge to the sheathing, so little that the cladding stays clear of
# it: common practice, no source.
RISE_MM = 4.7625

# Jamb tape reaches 2 in past an opening at most: common practice, no source.
JAMB_TAPE_MM = 50.8

# The cladding is notched this wide for a dam: 1/8 in. Common practice, no source.
NOTCH_MM = 3.175

# Less of a run than this at the cladding's foot is left to the casing or the corner boards, mm.
LEAST_RUN_MM = 100.0


def flat_of(scene: Scene) -> Flat | None:
    """What flashings are bent from, where the scene has any."""
    name = scene.edges.metal if scene.edges else None
    return scene.catalogue.find_flat(name) if name else None


def legs_mm(scene: Scene) -> float:
    """Thickness of the flashings' legs on the sheathing, where two lengths lap; 0 without any."""
    flat = flat_of(scene)
    return PLIES * flat.thickness_mm if flat else 0.0
