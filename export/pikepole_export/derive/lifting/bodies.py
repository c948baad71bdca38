"""Pieces that hang together: the plies of a beam, what makes a door leaf.

named_bodies(mates, parts, what) -> (name, parts) of each
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from pikepole_model.building.part import LeafRecord, Part


def named_bodies(
    mates: dict[str, set[str]], parts: Sequence[Part], what: str
) -> Iterable[tuple[str, list[Part]]]:
    """Pieces sorted into bodies by their joints, each named as a leaf is or after its first."""
    for body in _bodies(mates, parts):
        first, record = body[0].name, body[0].record
        if isinstance(record, LeafRecord):
            name = record.leaf
        else:
            kind = body[0].kind.value
            name = f"{first.split(f' {kind}')[0]} {what}" if len(body) > 1 else first
        yield name, body


def _bodies(mates: dict[str, set[str]], parts: Sequence[Part]) -> list[list[Part]]:
    """Pieces that hang together through joints among themselves, in order of their first."""
    left = dict.fromkeys(part.name for part in parts)
    bodies: list[list[Part]] = []
    while left:
        body, ahead = set[str](), [next(iter(left))]
        while ahead:
            name = ahead.pop()
            if name in left:
                del left[name]
                body.add(name)
                ahead += mates[name]
        bodies.append([part for part in parts if part.name in body])
    return bodies
