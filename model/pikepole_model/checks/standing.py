"""What was there before, and can no longer be taken away when the time for it comes."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind, of
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import Finding, and_more
from pikepole_model.geometry.spacing import TOLERANCE_MM

# What shuts a post in, and how near it then lies, mm.
_COVERS = {Kind.WALL_SHEET, Kind.LINING} | of(Family.WRAP, Family.SIDING, Family.UPRIGHTS)
_NEAR_MM = 25.0


def standing_findings(building: Building) -> Iterator[Finding]:
    """Posts that sheets or cladding shut in before they are taken out.

    Source: common practice, no source: a post is cut and drawn out of an open bay.
    """
    for k, one in enumerate(building.scene.existing, start=1):
        last = building.until.get(one.name)
        post = next((part for part in building.parts if part.name == one.name), None)
        if last is None or post is None:
            continue
        covers = [
            part
            for part in building.parts
            if part.kind in _COVERS and part.stage <= last and _lies_over(part, post)
        ]
        if covers:
            first = min(part.stage for part in covers)
            before = max(
                (stage for stage in building.stages if stage.number < first),
                key=lambda stage: stage.number,
            )
            names = tuple(part.name for part in covers)
            text = (
                f"is after {and_more(names)} shut it in: a post is cut and drawn out of an open bay"
            )
            yield Finding(
                "other", text, names, key=f"existing[{k}].until", mend=f'give "{before.name}"'
            )


def _lies_over(cover: Part, post: Part) -> bool:
    """Whether it lies on a face of a post that stands upright, and past both its sides there."""
    (low, high), (foot, top) = post.bounds_mm, cover.bounds_mm
    across = [
        k for k in (0, 1) if top[k] <= low[k] + TOLERANCE_MM or foot[k] >= high[k] - TOLERANCE_MM
    ]
    if len(across) != 1:
        return False
    k, along = across[0], 1 - across[0]
    is_flat = top[k] - foot[k] < 2 * _NEAR_MM
    near = is_flat and min(abs(top[k] - low[k]), abs(foot[k] - high[k])) < _NEAR_MM
    covered = foot[along] < high[along] - TOLERANCE_MM and top[along] > low[along] + TOLERANCE_MM
    return near and covered and foot[2] < high[2] and top[2] > low[2]
