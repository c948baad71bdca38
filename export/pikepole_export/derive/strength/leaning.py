"""Bays, and buildings on posts, that nothing counted on keeps from leaning.

leaning_words(building) -> {what their posts belong to: lines}

It is told where their posts are put up: what holds them afterwards is not in the model.
"""

from __future__ import annotations

from collections import defaultdict

from pikepole_export.derive.strength.check import Check
from pikepole_export.derive.strength.descent import paths_of
from pikepole_export.derive.strength.side_sway import side_sway_checks
from pikepole_model.building.part import Building

TOO_LITTLE = "its roof's sheets count for less than the wind on it"
WANTED = (
    "settle first with a licensed engineer what holds it that way: not drawn; keep the posts' "
    "braces until then"
)


def leaning_words(building: Building) -> dict[str, list[str]]:
    """Of each such bay: which way and why, and what it wants."""
    if not (building.scene.bay or building.scene.posts):
        return {}  # where loads go need not be worked out
    told: dict[str, list[str]] = defaultdict(list)
    for found in side_sway_checks(paths_of(building.fitted)):
        if found.check.is_over:
            posts = "posts" if found.member == "posts" else f"{found.member} posts"
            told[posts].append(f"{found.member}: may lean {found.check.place}: {_why(found.check)}")
    return {posts: [*lines, WANTED] for posts, lines in told.items()}


def _why(check: Check) -> str:
    return TOO_LITTLE if check.capacity > 0 else check.limit
