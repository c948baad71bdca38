"""What a person writes about how the building is brought to its place."""

from __future__ import annotations

import math
from typing import Annotated, Literal, TypeAlias, assert_never

from pydantic import Field

from pikepole_model.scene.crew import Rating
from pikepole_model.scene.foundation import Piers, Skids
from pikepole_model.scene.quantity import Measure
from pikepole_model.scene.types import LumberName, Name, Section, Wall

MOST_PLANKS = 6
STEEPEST_DEG = 15.0
LONGEST_FORK_MM, BROADEST_FORK_MM, THICKEST_PIPE_MM = 3_000.0, 400.0, 300.0

ForkLength: TypeAlias = Annotated[float, Measure("length", 600.0, LONGEST_FORK_MM)]
BeamLength: TypeAlias = Annotated[float, Measure("length", 600.0, 12_000.0)]
Reach: TypeAlias = Annotated[float, Measure("length", 600.0, 20_000.0)]

Way: TypeAlias = Literal["forks", "rollers", "jacks", "trailer"]


class CarryingBeams(Section):
    """Two beams that lie on the forks, or as runners on pipes, under the frame; [move.beams]."""

    section: LumberName  # on edge
    length: BeamLength  # from the fork face, or from the side that is pulled at
    treated: bool = False


class Pipes(Section):
    """Steel pipes to roll it on, over planks; [move.pipes]."""

    count: Annotated[int, Field(ge=3, le=60)]
    ahead: Annotated[int, Field(ge=1, le=20)] = 2  # of them, laid before the others roll out
    diameter: Annotated[float, Measure("length", 25.0, THICKEST_PIPE_MM)]  # outside
    length: Reach
    rating: Rating  # what one may carry


class Trailer(Section):
    """A trailer that is backed under it; [move.trailer]."""

    deck_length: Reach
    deck_width: Annotated[float, Measure("length", 600.0, 5_000.0)]
    deck_height: Annotated[float, Measure("length", 50.0, 2_000.0)]  # of its top over the ground
    hitch: Annotated[float, Measure("length", 300.0, 6_000.0)]  # to the deck's front end
    axle: Reach  # deck's front end to the middle of the axles
    rating: Rating  # what may lie on it
    tongue_rating: Rating


# The plank under pipes, and the pipes where the scene has none. Common practice, no source.
PLANK_MM, PIPE_MM = 38.1, 76.2


class Pull(Section):
    """What the winch draws by and is held by; [move.pull]."""

    strap: Rating  # round the frame, with its hooks and shackles: the least of their tags
    anchor: Rating  # what the winch is tied to is known to hold, as the mass whose weight it is


class Ramp(Section):
    """Planks in two rows that it is drawn up, onto a slab or a deck; [move.ramp]."""

    height: Annotated[float, Measure("length", 25.0, 2_000.0)]  # of what it leads up to
    length: BeamLength  # along the planks
    plank: LumberName  # laid flat
    planks: Annotated[int, Field(ge=1, le=MOST_PLANKS)] = 2  # side by side in each row
    # From prop to prop; none between its ends where it is left out.
    props: Annotated[float, Measure("length", 250.0, 12_000.0)] | None = None
    treated: bool = False

    @property
    def span_mm(self) -> float:
        """From prop to prop, or from end to end."""
        return min(self.props or self.length, self.length)

    @property
    def slope_deg(self) -> float:
        """How steep it is; 90 where it is too short to reach."""
        return math.degrees(math.asin(min(1.0, self.height / self.length)))


class Move(Section):
    """How what stands at some stage is brought to its place; [move]."""

    after: Name  # stage
    # What it is built on, and left there; its skids or girders come along. On nothing but what it
    # comes to stand on without.
    built_on: Annotated[Skids | Piers, Field(discriminator="kind")] | None = None
    way: Way = "forks"
    side: Wall = "front"  # where forks, winch or trailer are
    fork_spacing: Annotated[float, Measure("length", 200.0, 10_000.0)] = 1219.2  # on centre
    fork: ForkLength = 1219.2
    # Cautious for small trucks: common practice, no source.
    fork_width: Annotated[float, Measure("length", 50.0, BROADEST_FORK_MM)] = 101.6
    fork_thickness: Annotated[float, Measure("length", 20.0, 150.0)] = 63.5
    beams: CarryingBeams | None = None
    pipes: Pipes | None = None
    trailer: Trailer | None = None
    pull: Pull | None = None
    ramp: Ramp | None = None
    # A fifth of a bearer's length where it is left out.
    jack_inset: Annotated[float, Measure("length", 0.0, 5_000.0)] | None = None
    crib: Annotated[float, Measure("length", 200.0, 2_000.0)] = 609.6  # width of a crib
    height: Annotated[float, Measure("length", 25.0, 2_000.0)] = 304.8  # by jacks alone
    rise: Annotated[float, Measure("slope", 0.0, STEEPEST_DEG)] = 0.0  # of the ground on the way
    # Of rollers on planks: common practice, no source.
    friction: Annotated[float, Field(ge=0.01, le=1.0)] = 0.1

    @property
    def steepest_deg(self) -> float:
        """Of the way and of the ramp on it, deg."""
        return max(self.rise, self.ramp.slope_deg if self.ramp else 0.0)

    @property
    def lies_at_mm(self) -> float:
        """How high the top of forks on the ground, of pipes on planks or of a deck is; jacks 0."""
        match self.way:
            case "jacks":
                return 0.0
            case "forks":
                return self.fork_thickness
            case "rollers":
                return PLANK_MM + (self.pipes.diameter if self.pipes else PIPE_MM)
            case "trailer":
                return self.trailer.deck_height if self.trailer else 0.0
            case _:
                assert_never(self.way)
