"""The keys that place a thing, as the person wrote them: which one is wrong, which may mend it."""

from __future__ import annotations

from pikepole_model.errors import KeyPath, Try, less, more, other, without
from pikepole_model.scene.openings import Opening
from pikepole_model.scene.posts import Bay, OnPosts
from pikepole_model.scene.schema import Scene


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
    return ("opening", table, next(iter(opening.distances), "apart"))


def on_posts(scene: Scene) -> list[tuple[KeyPath, OnPosts]]:
    """What stands on posts, each with the key of its table."""
    bays: list[tuple[KeyPath, OnPosts]] = [(("bay", k), bay) for k, bay in enumerate(scene.bay)]
    return [*bays, (("posts",), scene.posts)] if scene.posts else bays


def posts_of(says: OnPosts, table: KeyPath) -> KeyPath:
    """The key that says how many posts there are, or how far apart."""
    if says.widths:
        return (*table, "widths")
    counted = isinstance(says, Bay) and (says.posts is not None or says.every is None)
    return (*table, "posts" if counted else "every")


def fewer_posts(says: OnPosts, table: KeyPath) -> Try:
    """Fewer posts; without widths, as many as usual."""
    key = posts_of(says, table)
    if says.widths:
        return without(*key)
    return less(*key) if key[-1] == "posts" else more(*key)


def more_posts(says: OnPosts, table: KeyPath, now: int) -> Try:
    """More posts where a line has so many now; without widths, as many as usual."""
    key = posts_of(says, table)
    if says.widths:
        return without(*key)
    return Try(key, "more", now) if key[-1] == "posts" else less(*key)
