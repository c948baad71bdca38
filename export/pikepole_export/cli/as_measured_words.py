"""What `pikepole cut` says of a building that was measured: how it stands, what changes for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, assert_never

from pikepole_export.cli.words import plural, wrapped
from pikepole_export.derive.cutting.marks import together
from pikepole_export.derive.measures.as_measured import Change, changes
from pikepole_model.units import Units, format_length

if TYPE_CHECKING:
    from pikepole_model.building.part import Building
    from pikepole_model.scene.measured import Ends, What


def as_measured(building: Building) -> list[str]:
    """How the building stands, and what is cut otherwise for it; nothing where nothing was told."""
    scene, units = building.scene, building.scene.units
    lines: list[str] = []
    if building.measured:
        stands = (
            words
            for what, ends in building.measured.off_mm.items()
            if any(ends)
            for words in [_off(what, ends, units)]
        )
        after = " and ".join(dict.fromkeys(one.after for one in scene.measured))
        text = f"As measured after {after}: {'; '.join(stands)}. What is built stays."
        lines += ["", *wrapped(text)]
    of_part: dict[str, list[Change]] = {}
    for change in changes(building):
        of_part.setdefault(change.part, []).append(change)
    seated = {change.kind for changes in of_part.values() for change in changes if change.bearing}
    lines += _one_by_one([own for own in of_part.values() if own[0].kind in seated], units)
    lines += _by_kind([own for own in of_part.values() if own[0].kind not in seated], units)
    for one in scene.measured:
        shear = one.shear_mm(scene.building.length) if one.what == "diagonals" else 0.0
        if format_length(abs(shear), units) != format_length(0.0, units):
            text = (
                f"Out of square: the back stands {format_length(abs(shear), units)} to the "
                f"{'right' if shear > 0 else 'left'} of the front. Set the first roof sheet and "
                "the first panel square to the eave and let the ends of the roof run off by that."
            )
            lines += ["", *wrapped(text)]
    return lines


def _off(what: What, ends: Ends, units: Units) -> str:
    """How one thing is off: "front height 1/4" more at the left end, as planned at the right"."""
    left, right = (_more(off, units) for off in ends)
    if left == right:
        return f"{what} {left}"
    return f"{what} {left} at the left end, {right} at the right"


def _more(off_mm: float, units: Units, more: str = "more", less: str = "less") -> str:
    if not off_mm:
        return "as planned"
    return f"{format_length(abs(off_mm), units)} {more if off_mm > 0 else less}"


def _one_by_one(pieces: Sequence[Sequence[Change]], units: Units) -> Iterator[str]:
    """What carries or is carried: every change at every bearing, alike pieces together."""
    alike: dict[str, list[str]] = {}
    for own in pieces:
        alike.setdefault("; ".join(_words(one, units) for one in own), []).append(own[0].part)
    for words, names in alike.items():
        yield from wrapped(f"{', '.join(together(names))}: {words}.", "      ", "  ")


def _words(change: Change, units: Units) -> str:
    old, new = change.planned_mm, change.as_measured_mm
    if new is None:
        return "not needed"
    now = format_length(new, units)
    if old is None:
        return f"one more, {now} long"
    match change.of:
        case "length":
            return f"{_more(new - old, units, 'longer', 'shorter')}, {now}"
        case "width":
            return f"{_more(new - old, units, 'wider', 'narrower')}, {now}"
        case "place of heel":
            moved = _more(new - old, units, "further down", "further up")
            return f"heel on the {change.bearing} {moved}, {now} from the upper end"
        case "length of seat":
            longer = _more(new - old, units, "longer", "shorter")
            return f"seat on the {change.bearing} {longer}, {now}"
        case "piece":
            return f"{now} long"
        case _:
            assert_never(change.of)


def _by_kind(pieces: Sequence[Sequence[Change]], units: Units) -> Iterator[str]:
    """All else: how many of each kind, and how much at most."""
    of_kind: dict[str, list[Sequence[Change]]] = {}
    for own in pieces:
        of_kind.setdefault(own[0].kind, []).append(own)
    for kind, several in of_kind.items():
        by_mm = [one.change_mm for own in several for one in own if one.change_mm is not None]
        most = f", by up to {format_length(max(map(abs, by_mm)), units)}" if by_mm else ""
        yield from wrapped(f"{plural(len(several), kind)}{most}.", "      ", "  ")
