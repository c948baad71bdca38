"""What people push on wheels: a two-wheel truck or a wheelbarrow, over grass or packed earth.

rolled_kg(people, lifter) -> kg
"""

from __future__ import annotations

from pikepole_export.derive.lifting.hands import Lifter, push_guideline, team_factor
from pikepole_model.units import STANDARD_GRAVITY_M_S2

# To keep it rolling on dry grass or packed earth, as a share of its weight: recovery practice (in
# the line of Army FM 20-22).
ROLLING = 0.14
# Its own mass, kg: common practice, no source.
CART_KG = 15.0


def rolled_kg(people: int, lifter: Lifter) -> float:
    """The heaviest load that the guideline for pushing gives so many people, kg.

    The part of the sum that a team has stands for lifting; here for pushing and pulling too.
    """
    pushed_n = push_guideline(lifter).keep_n * people * float(team_factor(people))
    return pushed_n / STANDARD_GRAVITY_M_S2 / ROLLING - CART_KG
