"""What a scene could do without, and the fewest things of it to take out, found by trying.

things_of(scene, near) -> keys, tables and items of lists that may be left out
fewest(things, holds) -> those few of them that have to go
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from pikepole_model.errors import KeyPath, in_turn
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.types import Section

# An order of work is whole, or there is none.
_WHOLE = {("stage",)}

# What no building is without, or what all its numbers are read by.
_STAYS = {"title", "units", "building", "foundation", "floor", "walls", "posts", "roof"}


def things_of(scene: Scene, near: Iterable[KeyPath], *, keys: bool) -> list[KeyPath]:
    """What a scene gives and could do without, what costs least first.

    Args:
        scene: The scene.
        near: Keys that something is wrong with: what they are in comes first.
        keys: Whether keys may go too, so that they take their usual value; else whole tables.
    """
    found = list(_given(scene, ()))
    things = [path for path, is_table in found if keys and not is_table]
    # A building is added to: what stands last in its list is the likeliest to go.
    things += reversed([path for path, is_table in found if is_table])
    beside = in_turn(near)
    return [*(path for path in beside if path in things), *(p for p in things if p not in beside)]


def _given(table: Section, path: KeyPath) -> Iterator[tuple[KeyPath, bool]]:
    """What a table gives and could do without, and whether it is a table or an item of a list."""
    in_list = any(isinstance(step, int) for step in path)
    for name, field in type(table).model_fields.items():
        value, here = getattr(table, name), (*path, name)
        # Others call the scene's own stock by its names.
        if name not in table.model_fields_set or value is None or here == ("stock",):
            continue
        items = value if isinstance(value, tuple) else ()
        stays = field.is_required() or (not path and name in _STAYS)
        if isinstance(value, Section):
            if not stays:
                yield here, True
            yield from _given(value, here)
        elif here in _WHOLE:
            yield here, True
        elif items and all(isinstance(item, Section) for item in items):
            for k, item in enumerate(items):
                yield (*here, k), True
                yield from _given(item, (*here, k))
        # Of two ways to say where an item is it gives one, and one it has to give.
        elif not stays and not (in_list and field.get_default(call_default_factory=True) is None):
            yield here, False


def fewest(
    things: Sequence[KeyPath], holds: Callable[[Sequence[KeyPath]], bool]
) -> tuple[KeyPath, ...]:
    """The fewest things without which a scene holds; none where it never does.

    One goes, or else two, four and so on; then as many as can be are given back, half of them at a
    time, and so on down to one by one. One of 100 things is found in 20 tries or so.

    Args:
        things: What may go, the likeliest first.
        holds: Whether the scene holds without some of them, which come as they may be taken out one
            after another.
    """
    if not (things and holds(_in_order(things))):
        return ()
    out = list(things[:1])
    while not holds(_in_order(out)):
        out = list(things[: 2 * len(out)])
    back = len(out) // 2
    while back:
        for start in range(len(out) - back, -back, -back):
            less = [*out[: max(0, start)], *out[start + back :]]
            if less and holds(_in_order(less)):
                out = less
        back //= 2
    return _in_order(out)


def _in_order(paths: Iterable[KeyPath]) -> tuple[KeyPath, ...]:
    """From the last item of a list on, and what is in an item before that itself.

    So none that has yet to go has moved up by then.
    """
    alone = set(paths)
    alone -= {path for path in alone if any(path[:end] in alone for end in range(1, len(path)))}
    # Of two in one list the steps that differ are numbers, of others names.
    last_first = {path: tuple(s if isinstance(s, str) else -s for s in path) for path in alone}
    return tuple(sorted(alone, key=lambda path: last_first[path]))
