"""The keys that place a thing, as the person wrote them: which one is wrong, which may mend it."""

from __future__ import annotations

from pikepole_model.errors import KeyPath, Try, less, more, other, without
from pikepole_model.scene.openings import Opening
from pikepole_model.scene.posts import Bay, InnerPosts, OnFootings, OnPosts
from pikepole_model.scene.schema import RidgeBeam, Scene


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


def on_footings(scene: Scene) -> list[tuple[KeyPath, OnFootings]]:
    """The same, and the posts inside the store."""
    outside: list[tuple[KeyPath, OnFootings]] = [*on_posts(scene)]
    ridge = scene.roof.ridge
    if isinstance(ridge, RidgeBeam) and ridge.posts:
        return [*outside, (("roof", "ridge", "posts"), ridge.posts)]
    return outside


def posts_of(says: OnFootings, table: KeyPath) -> KeyPath:
    """The key that says how many posts there are, or how far apart."""
    if isinstance(says, InnerPosts):
        return (*table, "count")
    if says.widths:
        return (*table, "widths")
    counted = isinstance(says, Bay) and (says.posts is not None or says.every is None)
    return (*table, "posts" if counted else "every")


def fewer_posts(says: OnFootings, table: KeyPath) -> Try:
    """Fewer posts; without widths, as many as usual."""
    key = posts_of(says, table)
    if key[-1] == "widths":
        return without(*key)
    return more(*key) if key[-1] == "every" else less(*key)


def more_posts(says: OnFootings, table: KeyPath, now: int) -> Try:
    """More posts where a line has so many now; without widths, as many as usual."""
    key = posts_of(says, table)
    if key[-1] == "widths":
        return without(*key)
    return less(*key) if key[-1] == "every" else Try(key, "more", now)
