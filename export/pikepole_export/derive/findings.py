"""All that is found in a building.

findings(building, contacts, wrong) -> tuple[Finding, ...]
"""

from __future__ import annotations

from collections.abc import Mapping

from pikepole_export.derive.buying.anchor_bolts import bolt_findings, plate_bolts
from pikepole_export.derive.buying.prices import price_findings
from pikepole_export.derive.moving.plan import move_findings
from pikepole_model.building.contact import Contact
from pikepole_model.building.part import Building
from pikepole_model.checks.done import done_findings
from pikepole_model.checks.entry import entry_findings
from pikepole_model.checks.fit import check
from pikepole_model.errors import Finding
from pikepole_model.geometry.shape import Shape
from pikepole_model.reading.found import with_tried_mends


def findings(
    building: Building,
    contacts: tuple[Contact, ...],
    wrong: Mapping[Shape, tuple[str, ...]] | None = None,
) -> tuple[Finding, ...]:
    """What does not fit or hold, what good practice would not do, prices of nothing, and so on.

    Args:
        building: What to look at.
        contacts: What touches what in it.
        wrong: What is wrong with each of its shapes, where that is known already.
    """
    found = (*check(building, contacts, wrong), *entry_findings(building.fitted.finished))
    return (
        *with_tried_mends(found, building),
        *bolt_findings(plate_bolts(building.fitted), building.scene.units),
        *price_findings(building),
        *done_findings(building),
        *move_findings(building),
    )
