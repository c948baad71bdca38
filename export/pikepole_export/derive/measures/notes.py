"""What to know before a stage, with what its pieces ask for.

notes_of(building, stage) -> str
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part, Stage
from pikepole_model.checks.doors import RAILED_RISES

# A steeper ramp has a handrail. Source: IRC R311.8.3, for houses (from memory).
RAILED_RAMP = 1 / 12
SAME = 1e-6


def notes_of(building: Building, stage: Stage) -> str:
    """The sentences of a stage, and which of its steps and ramps ask for a handrail.

    Args:
        building: That it belongs to.
        stage: The stage.
    """
    return " ".join(filter(None, (*_rails(building, stage), stage.notes)))


def _rails(building: Building, stage: Stage) -> Iterator[str]:
    """None is laid out: each door whose way up asks for one."""
    for opening in building.scene.opening:
        for one in opening.row():
            own = [part for part in stage.parts if part.label.startswith(f"{one.name} ")]
            treads = [part for part in own if part.kind is Kind.STEP_TREAD]
            rises = 1 + len({round(part.bounds_mm[1][2]) for part in treads})
            if rises >= RAILED_RISES:
                yield _rail(one.name, f"{rises} rises", "IRC R311.7.8")
            slope = _steepest([part for part in own if part.kind is Kind.RAMP_BOARD])
            if slope > RAILED_RAMP + SAME:
                yield _rail(one.name, f"a ramp of 1 in {1 / slope:.3g}", "IRC R311.8.3")


def _steepest(boards: Sequence[Part]) -> float:
    """How a ramp rises from one of its boards to the next; a landing before a door is level."""
    middles = sorted((x + y, z) for x, y, z in (part.centre_mm for part in boards))
    return max(
        (abs(up - low) / (far - near) for (near, low), (far, up) in pairwise(middles)), default=0.0
    )


def _rail(name: str, why: str, source: str) -> str:
    return f"Way up to the {name}: {why}, so a handrail ({source}), which is not laid out."
