"""What nothing but nails holds down where the scene asks for ties."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import Finding, and_more

_RESTS = (Kind.BEAM, Kind.TOP_PLATE, Kind.LEDGER)
_ALONG = ("left wall", "right wall")


def tie_findings(building: Building) -> Iterator[Finding]:
    """Rafters that no steel ties to something that they rest on, for want of room beside it.

    Not those that are nailed along an end wall's plates (IRC R802.11: ties where the wind asks).
    """
    if building.scene.ties.rafters == "none":
        return
    parts = {part.name: part for part in building.parts}
    mates: dict[str, list[Part]] = {}
    for joint in building.joints:
        for one, other in ((joint.a, joint.b), (joint.b, joint.a)):
            if other in parts:
                mates.setdefault(one, []).append(parts[other])
    loose: list[str] = []
    for part in building.parts:
        if part.kind not in (Kind.RAFTER, Kind.END_RAFTER):
            continue
        beside = mates.get(part.name, [])
        rests = {_rest(one) for one in beside if one.kind in _RESTS}
        ties = [one.name for one in beside if one.kind is Kind.TIE_DOWN]
        tied = {_rest(one) for tie in ties for one in mates[tie] if one.kind in _RESTS}
        if rests.isdisjoint(_ALONG) and not rests <= tied:
            loose.append(part.name)
    if loose:
        text = f"leaves {and_more(tuple(loose))} untied: something is in the way beside each seat"
        mend = 'give "none", and tie them as your code asks (IRC R802.11)'
        yield Finding("other", text, tuple(loose), key="ties.rafters", mend=mend)


def _rest(part: Part) -> str:
    """What a part belongs to: a wall's plates are its own wherever they are nailed on last."""
    along = (wall for wall in _ALONG if part.label.startswith(wall))
    return next(along, part.group)
