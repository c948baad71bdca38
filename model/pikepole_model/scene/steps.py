"""What a person writes about the way up to a door: steps, a ramp, or neither."""

from __future__ import annotations

import math
from typing import Annotated, Literal, TypeAlias

from pydantic import Field

from pikepole_model.scene.quantity import Measure
from pikepole_model.scene.types import Layer, LumberName, Section

# The highest that one may step up, and to a door without steps: 7-3/4 in; the narrowest flight: 36
# in. Source: IRC R311.7.5.1, R311.3.2, R311.7.1, for houses (from memory).
MOST_RISE_MM = 196.85
LEAST_WIDE_MM = 914.4

# The steepest ramp, 1 in 8; 1 in 12 where a wheelchair goes up it. Source: IRC R311.8.1, ADA 2010
# 405.2 (from memory).
STEEPEST_DEG = math.degrees(math.atan(1 / 8))


class WayUp(Section):
    """What steps and a ramp both have."""

    # None: as wide as the rough opening, and at least LEAST_WIDE_MM.
    width: Annotated[float, Measure("length", 300.0, 5_000.0)] | None = None
    board: LumberName = "2x6"  # of the treads, or across the ramp; laid flat
    gravel: Layer = 101.6  # thickness of the bed under it


class Steps(WayUp):
    """Treads on cut stringers; [opening.steps] of kind "steps"."""

    kind: Literal["steps"]
    rise: Annotated[float, Measure("length", 100.0, MOST_RISE_MM)] = MOST_RISE_MM  # at most
    stringer: LumberName | None = None  # None: the narrowest that leaves enough behind its notches


class Ramp(WayUp):
    """Boards across sloping joists; [opening.steps] of kind "ramp"."""

    kind: Literal["ramp"]
    slope: Annotated[float, Measure("slope", 1.0, 20.0)] = STEEPEST_DEG
    joist: LumberName = "2x6"


class NoSteps(Section):
    """Something else leads up to the door; [opening.steps] of kind "none"."""

    kind: Literal["none"]


StepsKind: TypeAlias = Annotated[Steps | Ramp | NoSteps, Field(discriminator="kind")]
