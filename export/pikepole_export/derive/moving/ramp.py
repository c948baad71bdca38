"""The planks of a ramp under a building that is drawn up it.

on_ramp(building, mass_kg, ramp) -> OnRamp
ramp_problems(asked, found, ramp)
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pikepole_export.derive.lifting.statics import weight_n
from pikepole_export.derive.moving.asked import Asked, past_by
from pikepole_export.derive.moving.carried import ON_JACKS, section_value
from pikepole_export.derive.moving.design_values import Stressed, WoodValues, shear_stress_n_mm2
from pikepole_model.building.part import Building
from pikepole_model.errors import Problem
from pikepole_model.scene.moving import MOST_PLANKS, Ramp
from pikepole_model.units import INCH_MM

ROWS = 2

# How broad a prop is: a 4x4 as dressed.
PROP_MM = 3.5 * INCH_MM

STEP_MM, LEAST_SPAN_MM = 1 * INCH_MM, 12 * INCH_MM


@dataclass(frozen=True, slots=True)
class OnRamp(Stressed):
    """A row of the ramp's planks with half of the building on it in one place.

    Attributes:
        slope_deg: How steep it is.
        span_mm: From prop to prop, or from end to end.
        pieces: Planks in all.
        stress_n_mm2: Bending stress at rest, the load in the middle of a span: P s / 4.
        shear_n_mm2: Shear stress at rest, the load beside a prop.
        bearing_n_mm2: What presses on a plank there.
        impact: Factor on them for jerks.
        value: What its wood is reckoned to bear; None where no value is known.
    """

    slope_deg: float
    span_mm: float
    pieces: int
    stress_n_mm2: float
    shear_n_mm2: float
    bearing_n_mm2: float
    impact: float
    value: WoodValues | None


def on_ramp(building: Building, mass_kg: float, ramp: Ramp) -> OnRamp:
    """Put a building on its ramp, where it rocks over its head or foot: all of it on one pipe.

    Each row has half of that, and its planks share it. Lying flat adds nothing to their value.

    Args:
        building: For its wood.
        mass_kg: Of what is drawn up.
        ramp: As the scene has it.
    """
    stock = building.scene.lumber_stock(ramp.plank)
    broad, thick = ramp.planks * stock.depth_mm, stock.breadth_mm
    load_n = weight_n(mass_kg) / ROWS
    return OnRamp(
        slope_deg=ramp.slope_deg,
        span_mm=ramp.span_mm,
        pieces=ROWS * ramp.planks,
        stress_n_mm2=load_n * ramp.span_mm / 4 / (broad * thick**2 / 6),
        shear_n_mm2=shear_stress_n_mm2(load_n, breadth_mm=broad, depth_mm=thick),
        bearing_n_mm2=load_n / (broad * PROP_MM),
        impact=ON_JACKS.factor,
        value=section_value(
            building, thick, stock.depth_mm, treated=ramp.treated, stock=ramp.plank
        ),
    )


def ramp_problems(asked: Asked, found: OnRamp, ramp: Ramp, *, rolls_kg: float) -> Iterator[Problem]:
    """Planks that are past their value, and the props, or the further planks, with which not.

    Args:
        asked: Whose move.
        found: The ramp as it is.
        ramp: As the scene has it.
        rolls_kg: What is drawn up it.
    """
    if not found.past_value:
        return

    def bears(**update: float) -> bool:
        return not on_ramp(asked.building, rolls_kg, ramp.model_copy(update=update)).past_value

    steps = int((found.span_mm - LEAST_SPAN_MM) / STEP_MM)
    spans = [LEAST_SPAN_MM + STEP_MM * step for step in range(max(0, steps), -1, -1)]
    span = next((one for one in spans if bears(props=one)), None)
    more = range(ramp.planks + 1, MOST_PLANKS + 1)
    planks = next((one for one in more if bears(planks=one)), None)
    mend = "give a thicker move.ramp.plank"
    if span is not None:
        mend = f"give {asked.most(span)}"
    elif planks is not None:
        mend = f"give move.ramp.planks {planks}"
    yield asked.at(
        ("move", "ramp", "props"),
        asked.length(found.span_mm),
        past_by("a row of planks", found, asked.units, *found.past_value),
        mend,
    )
