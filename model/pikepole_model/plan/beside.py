"""Where ties and joists stand beside the rafters they are nailed to."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from pikepole_model.geometry.spacing import TOLERANCE_MM, overlap

Stretch = tuple[float, float]


def starts_beside(
    pairs: Iterable[float],
    half_mm: float,
    thick_mm: float,
    taken: Sequence[Stretch],
    shut: Iterable[float] = (),
) -> dict[float, float | None]:
    """Left face of what stands beside each pair of rafters, by the pair's centre; None: no room.

    On the right of each pair, or else on its left.

    Args:
        pairs: Centres of the pairs, mm, those first that have the least choice.
        half_mm: Half the thickness of a rafter.
        thick_mm: Of what stands beside it.
        taken: From and to of all else there, the rafters among it, mm.
        shut: Faces of rafters that nothing may stand at, mm.
    """
    starts: dict[float, float | None] = {}
    stands = list(taken)
    closed = tuple(shut)
    for centre in pairs:
        sides = {centre + half_mm: centre + half_mm, centre - half_mm: centre - half_mm - thick_mm}
        free = [
            start
            for face, start in sides.items()
            if all(abs(face - one) > TOLERANCE_MM for one in closed)
            and not any(overlap((start, start + thick_mm), one) for one in stands)
        ]
        starts[centre] = free[0] if free else None
        stands += [(start, start + thick_mm) for start in free[:1]]
    return dict(sorted(starts.items()))
