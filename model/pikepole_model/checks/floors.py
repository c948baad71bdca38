"""How far floor joists hang out past the last skid or girder under them."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.errors import Finding, and_more, key_text, less, more
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.units import format_length

_BEARERS = (Kind.SKID, Kind.GIRDER)


def floor_findings(building: Building) -> Iterator[Finding]:
    """Joists that hang out past what they lie on by more than they are deep.

    What is cut round something that stands there, and hung on headers, has its neighbours' length.

    Source: IRC R502.3.3: no farther than their nominal depth; table R502.3.3(1) has more for deep
        joists that carry a wall and a roof alone, and is not looked up.
    """
    scene = building.scene
    if not scene.floor or not scene.bearers:
        return
    parts = {part.name: part for part in building.parts}
    past: dict[str, float] = {}
    for joist in building.parts:
        if joist.kind is not Kind.JOIST:
            continue
        mates = [parts[name] for name in building.mates[joist.name]]
        under = [mate.bounds_mm for mate in mates if mate.kind in _BEARERS]
        if not under:
            continue
        first, last = min(low[1] for low, _ in under), max(high[1] for _, high in under)
        for rim in mates:
            if rim.kind is Kind.RIM:
                low, high = rim.bounds_mm
                out = max(first - low[1], high[1] - last)
                past[joist.name] = max(out, past.get(joist.name, 0.0))
    most = scene.lumber_stock(scene.floor.joist).nominal_mm
    names = tuple(name for name, out in past.items() if out > most + TOLERANCE_MM)
    if names:
        path = ("move", "built_on") if scene.move and scene.move.built_on else ("foundation",)
        out, deep = (format_length(mm, scene.units) for mm in (max(past.values()), most))
        text = (
            f"lets joists hang {out} out past the outer bearer ({and_more(names)}), and their "
            f"nominal depth, {deep}, is the most (IRC R502.3.3)"
        )
        tries = (less(*path, "inset"), more("floor", "joist"))
        key, mend = key_text((*path, "inset")), f"give at most {format_length(most, scene.units)}"
        yield Finding("other", text, names, key=key, mend=mend, tries=tries)
