"""The pieces of a stage in one line each: "12 floor joists, 2x6, 8' 9", every 16""."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pikepole_export.derive.buying.wording import rating_text
from pikepole_export.derive.cutting.cuts import RIPPED_MM
from pikepole_export.derive.inventory.described import box_words, round_words
from pikepole_export.derive.measures.projection import projection, way_of
from pikepole_export.graphics.lettering import NO_BREAK
from pikepole_model.building.decks import edge_of
from pikepole_model.building.kind_rows import Bought, Counted, Family, Handled
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part
from pikepole_model.scene.foundation import Pad
from pikepole_model.scene.schema import Scene
from pikepole_model.units import INCH_MM, MARK_MM, Units, format_length, plural

# Pieces stand in a row where at least two gaps between them are alike and no other is, or half of
# all: of a frame, which is laid out from one end, two are enough, of anything else so many.
LEAST_ALIKE = 3
# They lie side by side, and nobody spaces them out, where they are nearer than so many breadths.
APART = 2.0
FRAMED = {Family.FLOOR_FRAME, Family.WALL_FRAME, Family.LOFT_FRAME, Family.ROOF_FRAME}
SPACED = FRAMED | {Family.BOLTS, Family.ANGLES, Family.POSTS, Family.BATTENS, Family.SLATS}
# What covers less of its box, seen from its end, has a sloped edge.
SQUARE = 0.999
# A shorter edge, or one nearer to square, is no bevel.
BEVEL_MM, LEAST_BEVEL_DEG = 5.0, 0.5
# They stand where openings and beams are, which nobody spaces out.
AT_OTHERS = {Kind.KING, Kind.JACK, Kind.CRIPPLE, Kind.POST_STUD}
_BY_COUNT = {
    Bought.BOLT,
    Bought.CONNECTOR,
    Bought.IRON,
    Bought.FITTING,
    Bought.ROLL,
    Bought.ROLL_PIECES,
    Bought.NOT,
}


@dataclass(frozen=True, slots=True)
class Line:
    """Pieces of one kind and one stock, as they come or ripped alike.

    Attributes:
        text: In words.
        parts: The pieces.
    """

    text: str
    parts: tuple[Part, ...]


# So many sizes that pieces of one kind are ripped to are told beside a picture.
MOST_RIPPED = 2


def piece_lines(parts: Sequence[Part], scene: Scene) -> Iterator[Line]:
    """A line for each kind and stock, in order of building.

    Args:
        parts: Of a stage.
        scene: Whose units and ratings they are told by.
    """
    units = scene.units
    found: dict[tuple[str, str, float], list[Part]] = defaultdict(list)
    for part in parts:
        # A bed is told with how thick it is.
        thick_mm = _high_mm(part) if part.kind is Kind.GRAVEL else 0.0
        found[part.kind, part.stock, thick_mm].append(part)
    for alike in found.values():
        if alike[0].kind.row.counted is Counted.NOT:
            yield from _there(alike, units)
            continue
        for ripped, own in _by_rip(alike, units):
            told = (
                _counted(own) + ripped,
                _sizes(own, units),
                _spacing(own, units),
                _as_bought(own, scene),
                rating_text(own, scene),
            )
            yield Line(", ".join(filter(None, told)), tuple(own))


def _as_bought(parts: Sequence[Part], scene: Scene) -> str:
    """How thick beds and the building's own slab are, how high that is, how deep footings go.

    And of a floor's sheets what long edges they have.
    """
    units, pad, kind = scene.units, scene.foundation, parts[0].kind
    if edge := edge_of(scene, kind):
        return f"{edge} edges"
    if kind is Kind.UNDERLAYMENT:
        laps = (_tape(mm, units) for mm in _laps_mm(parts))
        return f"each course {' and '.join(laps)} over the one below" if parts[1:] else ""
    if kind is Kind.GRAVEL:
        return f"{_tape(_high_mm(parts[0]), units)} thick"
    if kind is Kind.FOOTING:
        deep = sorted({round(-part.bounds_mm[0][2], 3) for part in parts})
        told = f"{' and '.join(_tape(mm, units) for mm in deep)} of it in the ground"
        return told if deep[0] > 0 else ""
    if kind is not Kind.SLAB or parts[0].group != "foundation" or not isinstance(pad, Pad):
        return ""
    thick, edge, wide, over = (
        _tape(mm, units) for mm in (pad.thickness, pad.deep_mm, pad.edge_width, pad.above_ground)
    )
    at_edge = f", {edge} at its edge and {wide} wide there" if edge != thick else ""
    return f"{thick} thick{at_edge}, its top {over} over the ground"


def _high_mm(part: Part) -> float:
    low, high = part.bounds_mm
    return round(high[2] - low[2], 3)


def _laps_mm(parts: Sequence[Part]) -> list[float]:
    """How far courses as wide as their roll lie over the next ones below them, the least first."""
    wide_mm = max(part.across_mm[1] for part in parts)
    slopes: dict[str, set[tuple[float, float]]] = defaultdict(set)
    for part in parts:
        if part.across_mm[1] == wide_mm:
            _, y, z = part.centre_mm
            slopes[part.label].add((round(z, 3), round(y, 3)))
    steps = (math.dist(*two) for places in slopes.values() for two in pairwise(sorted(places)))
    return sorted({round(wide_mm - step, 1) for step in steps})


def _there(parts: Sequence[Part], units: Units) -> Iterator[Line]:
    """What is there already, a line for each size."""
    found: dict[str, list[Part]] = defaultdict(list)
    for part in parts:
        found[box_words(units, part).replace(" ", NO_BREAK)].append(part)
    for size, own in found.items():
        yield Line(f"{plural(len(own), 'piece')} there already, {size}", tuple(own))


def _by_rip(parts: Sequence[Part], units: Units) -> Iterator[tuple[str, list[Part]]]:
    """Pieces as they come and those ripped out of their stock apart, each with words for it.

    Where they are ripped to more than two sizes, to fit, these are left to the cut list.
    """
    found: dict[str, list[Part]] = defaultdict(list)
    for part in parts:
        found[_ripped(part, units)].append(part)
    told = 1 <= len(found.keys() - {""}) <= MOST_RIPPED
    yield from found.items() if told else [("", list(parts))]


def _ripped(part: Part, units: Units) -> str:
    """What a piece of lumber is ripped to, all along and square; nothing of any other."""
    if part.section_mm is None:
        return ""
    (thin, wide), (thick, deep) = part.across_mm, sorted(part.section_mm)
    told = [
        *([_tape(wide, units)] if wide < deep - RIPPED_MM else []),
        *([f"{_tape(thin, units)} thick"] if thin < thick - RIPPED_MM else []),
    ]
    # Seen from its end a piece with a sloped edge or face is no rectangle; nor is a board that is
    # bought with a profile.
    if _end_on(part).area < SQUARE * thin * wide:
        return "" if part.kind is Kind.SIDING else _bevelled(part)
    if not told:
        return ""
    return f" ripped to {' and '.join(told)}"


def _bevelled(part: Part) -> str:
    """How far off square its edges are sawn all along; of any other shape where that is drawn."""
    angles: dict[str, None] = {}
    for outline in shapely.get_parts(_end_on(part)):
        corners = shapely.get_coordinates(shapely.get_exterior_ring(outline))
        for across, along in np.abs(np.diff(corners, axis=0)).tolist():
            off_deg = math.degrees(math.atan2(min(across, along), max(across, along)))
            if math.hypot(across, along) > BEVEL_MM and off_deg > LEAST_BEVEL_DEG:
                angles[f"{off_deg:.1f}°"] = None
    if not angles:
        return ", shaped: see its drawing"
    return f", bevelled {' and '.join(sorted(angles))}"


def _end_on(part: Part) -> BaseGeometry:
    """What is seen of a piece from its end."""
    along_n = part.shape.length_mm == part.shape.size_mm[2]
    across = part.placement.u if along_n else part.placement.n
    return projection(part, across, part.placement.v)


def _counted(parts: Sequence[Part]) -> str:
    """How many of what, and of which stock where its name does not say so."""
    kind, stock = str(parts[0].kind), parts[0].stock
    rolled = parts[0].kind.row.handled is Handled.ROLL
    count = f"{plural(len(parts), 'piece')} of {kind}" if rolled else plural(len(parts), kind)
    told = "" if stock in kind else " ".join(stock.replace(kind, " ").split()).lstrip(", ")
    return f"{count}, {told}" if told else count


def _sizes(parts: Sequence[Part], units: Units) -> str:
    """Its length, or its width and length; from the least to the most where there are several."""
    row = parts[0].kind.row
    if row.bought in _BY_COUNT:
        return ""
    rounded = dict.fromkeys(round_words(part, units) for part in parts)
    if all(rounded):
        return "; ".join(rounded).replace(" ", NO_BREAK).replace(f",{NO_BREAK}", ", ")
    by_length = row.counted is Counted.LENGTH
    sizes = {
        (part.length_mm,) if by_length else (part.across_mm[1], part.length_mm): None
        for part in parts
    }
    texts = list(dict.fromkeys(_times(size, units) for size in sorted(sizes, key=np.prod)))
    match texts:
        case [one]:
            return one
        case [one, other]:
            return f"{one} and {other}"
        case _ if by_length:
            return f"{texts[0]} to {texts[-1]}"
        case _:
            return f"up to {texts[-1]}"


def _times(size_mm: tuple[float, ...], units: Units) -> str:
    return f"{NO_BREAK}x{NO_BREAK}".join(_tape(mm, units) for mm in size_mm)


def _tape(length_mm: float, units: Units) -> str:
    return format_length(length_mm, units).replace(" ", NO_BREAK)


def _spacing(parts: Sequence[Part], units: Units) -> str:
    """How far it is from one to the next, where most of them stand in a row so."""
    kind = parts[0].kind
    if kind.family not in SPACED or kind in AT_OTHERS:
        return ""
    gaps: Counter[float] = Counter()
    # What stands in another wall is in another row.
    for group in dict.fromkeys(part.group for part in parts):
        for axis in (0, 1):
            # Those that lie across this axis, one after the other along it.
            own = [p for p in parts if p.group == group and abs(way_of(p)[axis]) < 0.01]
            breadth_mm = min((part.across_mm[0] for part in own), default=0.0)
            places = sorted({round(_middle(part, axis), 3) for part in own})
            steps = (round(b - a, 1) for a, b in pairwise(places))
            gaps.update(step for step in steps if step > APART * breadth_mm)
    gap_mm, count = max(gaps.items(), key=lambda one: one[1], default=(0.0, 0))
    least = 2 if kind.family in FRAMED or count == gaps.total() else LEAST_ALIKE
    in_a_row = count >= max(least, gaps.total() / 2)
    # Blocks fill the gaps between others: they are shorter than their own.
    is_block = kind.family in FRAMED and max(p.length_mm for p in parts) < gap_mm
    if not in_a_row or is_block:
        return ""
    inches = round(gap_mm / INCH_MM)
    whole = units == "imperial" and abs(inches * INCH_MM - gap_mm) < MARK_MM[units] / 2
    return f'every{NO_BREAK}{inches}"' if whole else f"every {_tape(gap_mm, units)}"


def _middle(part: Part, axis: int) -> float:
    low, high = part.bounds_mm
    return (low[axis] + high[axis]) / 2
