"""A beam raised a ledge at a time, one end and then the other, between posts at its ends.

    ledge_heights_mm(from_mm, to_mm) -> heights of the ledges, and of the seat
    ledge_steps(first, second, platforms_mm) -> list[Options]

         |   |               |   |      Studs stand either side of the beam at each end, braced,
      ---+===+---------------+===+---   with a ledge nailed on every 2 ft. An end is lifted by one
         |   |               |   |      ledge while the other turns on its own, so that the beam
      ---+===+---------------+===+---   stays nearly level and half of its weight is lifted. The
         |   |               |   |      same serve along a wall.

Source: ledge posts with three ledges 2 ft apart, Fine Homebuilding 29 (1985).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pikepole_export.derive.lifting.hand_tasks import HandTask, Options, Rest
from pikepole_export.derive.lifting.hands import ZONE_TOPS_MM
from pikepole_export.derive.lifting.rests import standing
from pikepole_export.derive.lifting.statics import lever_post_n
from pikepole_model.units import FOOT_MM

# From one ledge to the next. Source: Fine Homebuilding 29 (1985).
LEDGE_MM = 2 * FOOT_MM

# What a lever post presses up at the end: common practice, no source.
LEVER_MM = 50.0


def ledge_heights_mm(from_mm: float, to_mm: float) -> tuple[float, ...]:
    """From where a beam lies, ledge by ledge, to its seat, mm."""
    ledges = int((to_mm - from_mm) / LEDGE_MM)
    heights = [from_mm + LEDGE_MM * number for number in range(ledges + 1)]
    return (*heights, to_mm) if to_mm - heights[-1] > LEVER_MM else (*heights[:-1], to_mm)


def ledge_steps(first: HandTask, second: HandTask, platforms_mm: Sequence[float]) -> list[Options]:
    """Both ends to every ledge in turn, and to their seats.

    Args:
        first: One end from where it lies to its seat, with the force that a ledge's rise takes.
        second: The other end.
        platforms_mm: What people can stand on, above the floor of either.
    """
    steps: list[Options] = []
    ways = [ledge_heights_mm(end.from_mm, end.to_mm) for end in (first, second)]
    for number in range(max(map(len, ways)) - 1):
        for end, way in zip((first, second), ways, strict=True):
            if number >= len(way) - 1:
                continue
            low, high = way[number], way[number + 1]
            if number < len(way) - 2:
                step = replace(end, from_mm=low, to_mm=high, onto=Rest.LEDGE)
                steps.append(standing(step, platforms_mm))
            else:
                seated = standing(replace(end, from_mm=low, to_mm=high), platforms_mm)
                steps.append([*seated, *_pressed(end, low, high, platforms_mm)])
    return steps


def _pressed(
    end: HandTask, low_mm: float, high_mm: float, platforms_mm: Sequence[float]
) -> Options:
    """An end onto a last ledge close under its seat, and pressed up there with a lever post.

    Its knee is half-way up, and is pushed straight between the knuckles and the shoulders.
    """
    ledge_mm, knee_mm = high_mm - LEVER_MM, high_mm / 2
    if ledge_mm <= low_mm or not ZONE_TOPS_MM[1] <= knee_mm <= ZONE_TOPS_MM[3]:
        return []
    push = replace(
        end,
        action=f"{end.action} the last bit with a lever post",
        force_n=lever_post_n(end.force_n, height_mm=ledge_mm, lift_mm=LEVER_MM),
        from_mm=knee_mm,
        to_mm=knee_mm,
        pushed=True,
    )
    onto = replace(end, from_mm=low_mm, to_mm=ledge_mm, onto=Rest.LEDGE)
    return [[*row, push] for row in standing(onto, platforms_mm)]
