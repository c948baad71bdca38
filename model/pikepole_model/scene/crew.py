"""What a person writes about who builds and with what gear."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal, TypeAlias

from pydantic import BeforeValidator, Field, model_validator

from pikepole_model.scene.quantity import Measure, refuse
from pikepole_model.scene.types import Layer, Name, Section
from pikepole_model.units import FOOT_MM, Units

Rating: TypeAlias = Annotated[float, Measure("mass", 50.0, 50_000.0)]
Reach: TypeAlias = Annotated[float, Measure("length", 300.0, 30_000.0)]  # above the ground


class Trestles(Section):
    """What pieces lie on before they are lifted; [[crew.gear]] of kind "trestles"."""

    kind: Literal["trestles"]
    height: Annotated[float, Measure("length", 300.0, 1_200.0)]


class Platform(Section):
    """A step-up or a scaffold; [[crew.gear]] of kind "platform"."""

    kind: Literal["platform"]
    height: Annotated[float, Measure("length", 150.0, 4_000.0)]  # of the floor one stands on


class WallJack(Section):
    """Winds or pushes a framed wall up by its top; [[crew.gear]] of kind "wall jack"."""

    kind: Literal["wall jack"]
    rating: Rating  # of each
    count: Annotated[int, Field(ge=1, le=8)] = 2
    reach: Reach


class Slung(Section):
    """What gear with a hook has in common."""

    sling_legs: Annotated[int, Field(ge=1, le=4)] = 2
    # Of the legs from the horizontal. Source of the least: ASME B30.9, 30 degrees.
    sling_angle: Annotated[float, Measure("slope", 30.0, 85.0)] = 60.0


class ChainHoist(Slung):
    """Hung from a tripod, a gin or a structure; [[crew.gear]] of kind "chain hoist"."""

    kind: Literal["chain hoist"]
    rating: Rating
    reach: Reach  # hook above the ground, pulled right up


class Telehandler(Slung):
    """A truck with forks on a boom, hired with its driver; [[crew.gear]] of kind "telehandler"."""

    kind: Literal["telehandler"]
    rating: Rating
    # Most ratings in the trade are given at 24 in from the fork's face; common practice, no source.
    load_centre: Annotated[float, Measure("length", 300.0, 1_500.0)] = 609.6
    reach: Reach
    # From its front wheels to the middle of what it holds: common practice, no source.
    outreach: Annotated[float, Measure("length", 600.0, 20_000.0)] = 3_000.0


class MaterialLift(Section):
    """Winds a load straight up on forks, on a base with legs; of kind "material lift"."""

    kind: Literal["material lift"]
    rating: Rating  # of each
    count: Annotated[int, Field(ge=1, le=4)] = 1
    reach: Reach  # of its forks


class TwoWheelTruck(Section):
    """Two wheels, a toe plate and handles; [[crew.gear]] of kind "two-wheel truck"."""

    kind: Literal["two-wheel truck"]
    rating: Rating
    handle: Annotated[float, Measure("length", 600.0, 1_800.0)] = 1_100.0  # over its wheels


class Jack(Section):
    """Lifts an end step by step onto cribbing; [[crew.gear]] of kind "jack"."""

    kind: Literal["jack"]
    rating: Rating
    stroke: Annotated[float, Measure("length", 25.0, 1_000.0)]  # what one setting lifts
    layer: Layer = 88.9  # of cribbing: a 4x4 as dressed


class Winch(Section):
    """Pulls along the ground; [[crew.gear]] of kind "winch"."""

    kind: Literal["winch"]
    rating: Rating  # pull at the drum, as the mass whose weight it is
    parts: Annotated[int, Field(ge=1, le=8)] = 1  # of line, that share the pull


Gear: TypeAlias = Annotated[
    Trestles
    | Platform
    | WallJack
    | ChainHoist
    | Telehandler
    | MaterialLift
    | TwoWheelTruck
    | Jack
    | Winch,
    Field(discriminator="kind"),
]


def _somebody(value: object) -> object:
    if value == 0 and not isinstance(value, bool):
        refuse("is a crew of nobody: you count too", "give at least 1 and at most 8")
    return value


class Crew(Section):
    """Who is there and what is at hand; [crew]."""

    people: Annotated[int, BeforeValidator(_somebody), Field(ge=1, le=8)] = 1
    helpers: Annotated[int, Field(ge=0, le=8)] = 2  # who can be called
    guideline: Literal["women", "men"] = "women"  # the women's figures are the more cautious
    # Of blocks or a sawhorse that a load rests on upon a platform, near the knuckles of whoever
    # stands there. Common practice, no source.
    platform_rest: Annotated[float, Measure("length", 100.0, 1_000.0)] = 609.6
    minutes_per_lift: Annotated[float, Field(ge=1, le=120)] = 10.0  # at the least
    hours_per_day: Annotated[float, Field(ge=1, le=16)] = 6.0
    gear: Annotated[tuple[Gear, ...], Field(strict=False)] = ()


# From the truck to the pile where a scene does not say: common practice, no source.
WALK_MM: Mapping[Units, float] = {"imperial": 30 * FOOT_MM, "metric": 9000.0}


class Delivery(Section):
    """How what arrives is brought from the truck to the pile; [delivery]."""

    # Without: what is usual, WALK_MM.
    distance: Annotated[float, Measure("length", 0.0, 1_000_000.0)] | None = None
    way: Literal["hand", "two-wheel truck", "wheelbarrow"] = "hand"
    # Of the hands when they put it down.
    pile_height: Annotated[float, Measure("length", 0.0, 1_500.0)] = 406.4

    def walk_mm(self, units: Units) -> float:
        """From the truck to the pile, mm.

        Args:
            units: The scene's, in which a distance that it does not give is round.
        """
        return WALK_MM[units] if self.distance is None else self.distance


class Rate(Section):
    """What some work takes this crew; [[rate]]."""

    work: Name  # a row of data/labour.toml
    # Hours of one person, for one of what the row is counted by.
    low: Annotated[float, Field(ge=0, le=500)]
    high: Annotated[float, Field(ge=0, le=500)]

    @model_validator(mode="after")
    def _in_order(self) -> Rate:
        if self.low > self.high:
            refuse("is out of order", f"give low at most {self.high:g}, or more for high")
        return self
