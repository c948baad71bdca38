"""Stages that are said to be done out of their order, or that the building has none of."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.building.kind_rows import Family
from pikepole_model.building.part import Building
from pikepole_model.building.remaining import done_stages, stage_number
from pikepole_model.errors import Finding, key_text


def done_findings(building: Building) -> Iterator[Finding]:
    """Numbers of no stage, and stages done before one that they are fixed to or stand on."""
    last = building.stages[-1].number
    said = building.scene.done
    told = [(key_text(("done", "stages", k)), name) for k, name in enumerate(said.stages)]
    for key, name in (("done.up_to", said.up_to), *told):
        if name.isdecimal() and stage_number(building, name) is None:
            yield Finding(
                "other", f"there is no stage {name}", (), key=key, mend=f"give 1 to {last}"
            )
    done = done_stages(building)
    if not done:
        return
    parts = {part.name: part for part in building.parts}
    names = {stage.number: f'"{stage.name}"' for stage in building.stages}
    missing: dict[int, set[int]] = {}
    for joint in building.joints:
        first, then = sorted((parts[joint.a], parts[joint.b]), key=lambda part: part.stage)
        is_there = first.stage in done or first.kind.family is Family.EXISTING
        if then.stage in done and not is_there:
            missing.setdefault(then.stage, set()).add(first.stage)
    for number, before in sorted(missing.items()):
        first = ", ".join(names[one] for one in sorted(before))
        yield Finding(
            "other",
            f"{names[number]} is done before what it goes on, {first}",
            (),
            key="done.stages",
            mend=f"give {first} too, or leave out {names[number]}",
        )
