"""The keys that place a thing, as the person wrote them: which one is wrong, which may mend it."""

from __future__ import annotations

from pikepole_model.errors import KeyPath, Try, less, more, other, without
from pikepole_model.scene.openings import Opening
from pikepole_model.scene.schema import Bay


def place_of(opening: Opening, table: int) -> KeyPath:
    """The key that says where an opening or its row is."""
    return ("opening", table, next(iter(opening.places), "from_left"))


def elsewhere(opening: Opening, table: int, left_mm: float) -> tuple[Try, ...]:
    """Another place for an opening or its row, now so far from the left corner, mm.

    What stands in the middle has no other place by the same key.
    """
    place = place_of(opening, table)
    if opening.at is None:
        return (other(*place),)
    return without(*place), Try(("opening", table, "from_left"), "other", left_mm)


def step_of(opening: Opening, table: int) -> KeyPath:
    """The key that says how far the row of an opening is spaced."""
    return ("opening", table, next(iter(opening.steps), "apart"))


def posts_of(bay: Bay, k: int) -> KeyPath:
    """The key that says how many posts a bay has."""
    return ("bay", k, "posts" if bay.every is None else "every")


def fewer_posts(bay: Bay, k: int) -> Try:
    """Fewer posts in a bay."""
    return less(*posts_of(bay, k)) if bay.every is None else more(*posts_of(bay, k))


def more_posts(bay: Bay, k: int, now: int) -> Try:
    """More posts in a bay that has so many in a line now."""
    if bay.every is None:
        return Try(posts_of(bay, k), "more", now)
    return less(*posts_of(bay, k))
