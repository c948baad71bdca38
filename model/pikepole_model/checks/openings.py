"""Windows and doors that let water into the wall: what the scene leaves out round them."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.building.part import Building
from pikepole_model.errors import Finding
from pikepole_model.stock.metric import usual


def opening_findings(building: Building) -> Iterator[Finding]:
    """Openings without membrane, tape or threshold, in walls that something covers.

    Source: IRC R703.4: openings are flashed, so that no water gets into the wall or behind what
        drains it (from memory). A threshold: common practice, no source.
    """
    scene = building.scene
    groups = {part.group for part in building.parts}
    for k, opening in enumerate(scene.opening, start=1):
        inside = opening.door or opening.window
        covers = (f"{opening.wall} wall {what}" for what in ("wrap", "cladding"))
        if not inside or groups.isdisjoint(covers):
            continue
        table = f"opening[{k}].{'door' if opening.door else 'window'}"
        if opening.door and not opening.door.threshold:
            text = (
                "leaves the edges of floor and wall bare under the leaf, where rain runs in "
                "(common practice, no source)"
            )
            mend = f'give "{usual("1x6", scene.units)}"'
            yield Finding("other", text, (), key=f"{table}.threshold", mend=mend)
        elif not inside.membrane:
            text = "lets what runs in at the sill into the wall (IRC R703.4)"
            mend = f'give "{usual("flashing membrane 9 in", scene.units)}"'
            yield Finding("other", text, (), key=f"{table}.membrane", mend=mend)
        if not inside.tape:
            text = "lets what runs down behind the cladding in at jambs and head (IRC R703.4)"
            mend = f'give "{usual("flashing tape 4 in", scene.units)}"'
            yield Finding("other", text, (), key=f"{table}.tape", mend=mend)
