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
    if place[-1] != "at":
        return (other(*place),)
    return without(*place), Try(("opening", table, "from_left"), "other", left_mm)


def step_of(opening: Opening, table: int) -> KeyPath:
    """The key that says how far the row of an opening is spaced."""
    return ("opening", table, next(iter(opening.steps), "apart"))


def posts_of(bay: Bay, k: int) -> KeyPath:
    """The key that says how many posts a bay has."""
    return ("bay", k, "every" if bay.posts is None and bay.every is not None else "posts")


def fewer_posts(bay: Bay, k: int) -> Try:
    """Fewer posts in a bay."""
    key = posts_of(bay, k)
    return less(*key) if key[-1] == "posts" else more(*key)


def more_posts(bay: Bay, k: int, now: int) -> Try:
    """More posts in a bay that has so many in a line now."""
    key = posts_of(bay, k)
    return Try(key, "more", now) if key[-1] == "posts" else less(*key)
