"""What is drawn of a building at once: a layer for each stage, and what stands when it is moved.

layers_of(building) -> {layer: its parts}      in order of building
standing_layers(building, stage) -> layers     what stands before a stage, where that is worked on
"""

from __future__ import annotations

from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind, of
from pikepole_model.building.part import Building, Part

# What covers a roof; and all that a roof is, which is left out where it hides what is looked at.
ROOF_COVER = of(Family.UNDERLAYMENT, Family.PANELS) | {Kind.ROOF_SHEET}
ROOF = ROOF_COVER | of(Family.ROOF_FRAME, Family.EDGE_BOARDS, Family.SOFFITS, Family.ROOF_METAL)


def layers_of(building: Building) -> dict[str, tuple[Part, ...]]:
    """Each layer by its name: "stage0" for the first stage, "before9-1" for what stands already.

    Of the latter there are some only where the work goes on in another place than before, one for
    each stage that they were put up in: of two that are drawn at once the lines of the one behind
    would show through a thin one before it.
    """
    found: dict[str, tuple[Part, ...]] = {}
    for place, stage in enumerate(building.stages):
        found |= _before(building, place)
        found[f"stage{place}"] = stage.parts
    return found


def standing_layers(building: Building, stage: int) -> tuple[str, ...]:
    """Names of the layers that stand before a stage, by its number."""
    found: list[str] = []
    for place, one in enumerate(building.stages):
        if one.number > stage:
            break
        if one.number in building.elsewhere:
            found = list(_before(building, place))
        if one.number < stage:
            found.append(f"stage{place}")
    return tuple(found)


def _before(building: Building, place: int) -> dict[str, tuple[Part, ...]]:
    """The layers of what stands already where a stage goes on elsewhere, in order of building."""
    parts = building.elsewhere.get(building.stages[place].number, ())
    return {
        f"before{place}-{number}": tuple(part for part in parts if part.stage == number)
        for number in sorted({part.stage for part in parts})
    }
