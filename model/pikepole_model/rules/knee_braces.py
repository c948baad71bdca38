"""What must go together in knee braces, the posts they stand on and the beams they hold."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.errors import KeyPath, Problem, less, more, other, without
from pikepole_model.geometry.spacing import CLEAR_OF_MM, TOLERANCE_MM
from pikepole_model.plan.beams import BeamLine
from pikepole_model.plan.knee_braces import Brace, braces_of
from pikepole_model.rules.places import fewer_posts
from pikepole_model.rules.ruler import Ruler, walls_height
from pikepole_model.scene.posts import InnerPosts, KneeBrace, OnFootings

# The foot of a brace stays this high over what people walk on: 5 ft, common practice, no source.
LEAST_FOOT_MM = 1524.0

# Bevels leave this much between them, and stay this far from the legs of a post cap: 4 in, common
# practice, no source.
LEAST_INNER_MM = 101.6

# A bolt has this much wood of the beam to hold: 3 in, common practice, no source.
LEAST_UP_MM = 76.2

# Sheets and cladding take this much of a bay beside the store: 4 in, assumed.
ON_WALLS_MM = 101.6


def brace_problems(
    table: KeyPath, says: OnFootings, carried: list[BeamLine], ruler: Ruler
) -> Iterator[Problem]:
    """Knee braces over heads, within their bays, and with something to hold at either end.

    Args:
        table: Key of what stands on posts.
        says: What the scene says of it.
        carried: The beams that its posts carry.
        ruler: For lengths in the messages.
    """
    if says.brace is None:
        return
    path = (*table, "brace")
    braces = [brace for line in carried for brace in braces_of(line) if brace.post.says is says]
    if not braces:
        yield Problem.at(path, "has no beam that goes on from its post", "", without(*path))
        return
    yield from _low(path, says, braces, ruler)
    yield from _leg(path, says.brace, table, says, braces, ruler)
    flat = [brace for brace in braces if brace.is_bolted and brace.onto_mm[1] < LEAST_UP_MM]
    if flat:
        yield Problem.at(
            (*path, "fixed"),
            f"leaves the brace {ruler.at(flat[0].onto_mm[1])} of the {flat[0].line.name} beam to "
            f"be bolted to, under the rafters, and {ruler.at(LEAST_UP_MM)} is the least",
            "",
            other(*path, "fixed"),
            less("roof", "slope"),
        )


def _low(path: KeyPath, says: OnFootings, braces: list[Brace], ruler: Ruler) -> Iterator[Problem]:
    """Feet over the heads of those who walk by."""
    lowest = min(brace.foot_mm for brace in braces) - _underfoot_mm(says, braces[0])
    if lowest < LEAST_FOOT_MM - TOLERANCE_MM:
        yield Problem.at(
            (*path, "leg"),
            f"brings the foot of a brace down to {ruler.at(lowest)} over the ground, and "
            f"{ruler.at(LEAST_FOOT_MM)} is the least",
            "",
            less(*path, "leg"),
            more(*walls_height(braces[0].line.roof.datums.scene)),
        )


def _underfoot_mm(says: OnFootings, brace: Brace) -> float:
    """What people walk on there, mm above ground: a slab, or the ground."""
    if isinstance(says, InnerPosts):
        return brace.post.base_mm
    return says.ground.above_ground if says.ground and says.ground.kind == "slab" else 0.0


def _leg(
    path: KeyPath,
    brace: KneeBrace,
    table: KeyPath,
    says: OnFootings,
    braces: list[Brace],
    ruler: Ruler,
) -> Iterator[Problem]:
    """Long enough for its two bevels, and short enough for its bay."""
    least = braces[0].across_mm + LEAST_INNER_MM
    if brace.leg < least - TOLERANCE_MM:
        yield Problem.at(
            (*path, "leg"),
            f"is too short for the bevels of a {braces[0].stock.name}",
            f"give {ruler.at_least(least)}",
            less(*path, "section"),
        )
    for one in braces:
        # Across a bay between two braced posts the next brace comes the other way.
        meets = any(
            other.line is one.line
            and other.towards == -one.towards
            and one.towards * (other.post.x - one.post.x) > 0
            and abs(other.room_mm - one.room_mm) < TOLERANCE_MM
            for other in braces
        )
        most = (one.room_mm / 2 if meets else one.room_mm - ON_WALLS_MM) - CLEAR_OF_MM
        if one.out_mm > most:
            yield Problem.at(
                (*path, "leg"),
                f"brings a brace {ruler.at(one.out_mm)} out into a bay that has room for "
                f"{ruler.at(most)}",
                "",
                less(*path, "leg"),
                fewer_posts(says, table),
                without(*path),
            )
            return
