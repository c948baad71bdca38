"""What can be built of a roof's frame but should not be: deep birdsmouths and short lookouts."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import Finding, and_more
from pikepole_model.geometry.shape import Prism
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.schema import RidgeBoard
from pikepole_model.units import format_length

# A notch takes a sixth of a rafter's depth at most, and a quarter at its end (IRC R802.7.1); under
# a tail of up to 24 in more, as long as 3-1/2 in are left (IRC R802.7.1.1).
DEEPEST_NOTCH = 1 / 6
DEEPEST_END_NOTCH = 1 / 4
LONGEST_TAIL_MM = 609.6
LEAST_LEFT_MM = 88.9

# A rafter deeper than this for its thickness is kept upright where it rests.
DEEPEST_FREE = 9.25 / 1.5

# Pieces are cut this truly, mm.
_TRUE_MM = 0.1


@dataclass(frozen=True, slots=True)
class _Birdsmouth:
    """Where a rafter is cut to sit on something level.

    Attributes:
        rafter: The rafter.
        slope_rad: From the level.
        depth_mm: Of the rafter.
        cut_mm: Depth of the notch, square to it.
        width_mm: Level width of what it sits on.
        past_mm: How far the rafter runs on past it, level; infinite to another bearing.
        key: The key that says so; "" where it runs on to another bearing.
    """

    rafter: Part
    slope_rad: float
    depth_mm: float
    cut_mm: float
    width_mm: float
    past_mm: float
    key: str

    @property
    def is_end(self) -> bool:
        """Whether it is in an end rafter."""
        return self.rafter.kind == Kind.END_RAFTER

    @property
    def breadth_mm(self) -> float:
        """Thickness of the rafter."""
        return min(self.rafter.across_mm)

    @property
    def is_long(self) -> bool:
        """Whether the rafter runs on farther than a tail may under which more is cut."""
        return self.past_mm > LONGEST_TAIL_MM + TOLERANCE_MM

    @property
    def leaves_enough(self) -> bool:
        """Whether as much of the rafter is left as a tail needs where more is cut."""
        return self.depth_mm - self.cut_mm >= LEAST_LEFT_MM - TOLERANCE_MM

    @property
    def is_long_tail(self) -> bool:
        """Whether a shorter tail would do."""
        return self.key != "" and self.leaves_enough

    @property
    def is_too_deep(self) -> bool:
        """Whether it takes more than the code allows; it is at an end that is nearer than deep."""
        if self.past_mm < self.depth_mm or self.cut_mm <= self.depth_mm * DEEPEST_NOTCH + _TRUE_MM:
            return False
        return self.is_long or not self.leaves_enough


def birdsmouth_findings(building: Building) -> Iterator[Finding]:
    """Rafters that are cut too deep where they run on past what they sit on.

    An end rafter on a wall is carried by that all along; there only its tails are looked at.
    """
    scene = building.scene
    on_walls = {
        end.name
        for end, plate in _joined(building, Kind.END_RAFTER, Kind.TOP_PLATE)
        if plate.group in ("left wall", "right wall")
    }
    found: dict[str, list[_Birdsmouth]] = {}
    for part in building.parts:
        if part.kind not in (Kind.RAFTER, Kind.END_RAFTER) or not part.section_mm:
            continue
        on_wall = part.name in on_walls
        for one in _birdsmouths(building, part):
            if one.is_too_deep and (one.key or not on_wall):
                said = "roof.end_rafter" if one.is_end and scene.roof.end_rafter else "roof.rafter"
                found.setdefault(one.key if one.is_long_tail else said, []).append(one)
    for key, cuts in found.items():
        rafters = tuple(dict.fromkeys(one.rafter.name for one in cuts))
        worst = max(cuts, key=lambda one: (_least_mm(one), one.is_end, one.past_mm))
        cut, sixth, depth, left, tail = (
            format_length(length, scene.units)
            for length in (
                worst.cut_mm,
                worst.depth_mm * DEEPEST_NOTCH,
                worst.depth_mm,
                LEAST_LEFT_MM,
                LONGEST_TAIL_MM,
            )
        )
        most = f"a sixth of {depth}, {sixth}, is the most"
        if worst.is_long_tail:
            text = (
                f"is more than {tail}, and over so long a tail {most} that is cut out of a rafter; "
                f"{and_more(rafters)}: {cut} deep (IRC R802.7.1.1)"
            )
            given = scene.roof.high_overhang if "high" in key else scene.roof.eave_overhang
            longest = given - worst.past_mm + LONGEST_TAIL_MM
            mend = f"give at most {format_length(longest, scene.units, 'down')}"
            yield Finding("other", text, rafters, key=key, mend=mend)
            continue
        where, clause = "where it runs on to another bearing", "IRC R802.7.1"
        if worst.key:
            where, clause = f"under its tail, with less than {left} left", "IRC R802.7.1.1"
        text = f"({and_more(rafters)}) is cut {cut} deep {where}, and {most} there ({clause})"
        yield Finding("other", text, rafters, key=key, mend=_deeper(building, worst))


def lookout_findings(building: Building) -> Iterator[Finding]:
    """Lookouts that stand out farther past their end rafter than they reach in to the next one.

    Nails in their inner ends are all that holds these down. Common practice, no source.
    """
    units = building.scene.units
    short: dict[str, float] = {}
    fly = {out.name: rafter for out, rafter in _joined(building, Kind.LOOKOUT, Kind.FLY_RAFTER)}
    for part, end_rafter in _joined(building, Kind.LOOKOUT, Kind.END_RAFTER):
        if part.name not in fly:
            continue
        (start, *_), (end, *_) = part.bounds_mm
        (left, *_), (right, *_) = end_rafter.bounds_mm
        is_left = fly[part.name].bounds_mm[0][0] < left
        inwards = end - left if is_left else right - start
        if inwards < building.scene.roof.rake_overhang - TOLERANCE_MM:
            short[part.name] = inwards
    if short:
        least = min(short.values())
        inside, most = (format_length(least, units), format_length(least, units, "down"))
        text = (
            f"is more than {and_more(tuple(short))} reaches in: {inside} from the outer face of "
            "the end rafter to the next one, where the nails in its end are all that holds it down"
        )
        key = "roof.rake_overhang"
        yield Finding("other", text, tuple(short), key=key, mend=f"give at most {most}")


def rolling_findings(building: Building) -> Iterator[Finding]:
    """Rafters that nothing keeps from rolling over where an eave is left open.

    Source: IRC R802.8: lateral support at bearings where a member is deeper than five times its
        thickness, nominal; 2x10 is as deep, dressed 9-1/4 by 1-1/2 in (PS 20). A tie nailed to the
        side of a rafter adds to its thickness.
    """
    deep = [
        part
        for part in building.parts
        if part.kind == Kind.RAFTER and part.section_mm and _depth_share(part) > DEEPEST_FREE
    ]
    if not deep or building.scene.roof.eave != "open":
        return
    if isinstance(building.scene.roof.ridge, RidgeBoard):
        deep = [part for part in deep if _depth_share(part) > 2 * DEEPEST_FREE]
    if not deep:
        return
    rafters = tuple(part.name for part in deep)
    text = (
        f'is "open", and nothing keeps rafters of {deep[0].stock} from rolling over where they '
        "rest: deeper than five times their thickness they are blocked there (IRC R802.8)"
    )
    yield Finding("other", text, rafters, key="roof.eave", mend='give "blocks" or "vents"')


def _depth_share(rafter: Part) -> float:
    """Depth of a rafter over its thickness, a hair less: 2x10 is no deeper than 2x10."""
    assert rafter.section_mm
    return (rafter.section_mm[1] - TOLERANCE_MM) / rafter.section_mm[0]


def _joined(building: Building, one: Kind, other: Kind) -> Iterator[tuple[Part, Part]]:
    """The parts of two kinds that are joined to each other."""
    named = {part.name: part for part in building.parts if part.kind in (one, other)}
    for joint in building.joints:
        if joint.a in named and joint.b in named:
            pair = named[joint.a], named[joint.b]
            if (pair[0].kind, pair[1].kind) == (one, other):
                yield pair
            elif (pair[1].kind, pair[0].kind) == (one, other):
                yield pair[1], pair[0]


def _carries(kind: Kind) -> bool:
    return kind == Kind.TOP_PLATE or kind.family in (Family.BEAMS, Family.LEDGERS)


def _birdsmouths(building: Building, rafter: Part) -> list[_Birdsmouth]:
    """The birdsmouths of a rafter down its slope: each a level seat with something under it."""
    body = rafter.shape.body
    assert isinstance(body, Prism)
    assert isinstance(body.outline, tuple)
    assert rafter.section_mm
    corners = [rafter.placement.point(u, v, 0.0)[1:] for u, v in body.outline]
    edges = list(zip(corners, [*corners[1:], corners[0]], strict=True))
    # The top edge is the one up the slope that nothing is cut out of.
    _, along_y, along_z = rafter.placement.u
    up = [
        edge
        for edge in edges
        if abs((edge[1][0] - edge[0][0]) * along_z - (edge[1][1] - edge[0][1]) * along_y) < _TRUE_MM
    ]
    (y0, z0), (y1, z1) = max(up, key=lambda edge: math.dist(*edge))
    fall = (z1 - z0) / (y1 - y0)
    down = -1 if fall > 0 else 1
    upper, lower = sorted((down * y0, down * y1))
    (left_x, *_), (right_x, *_) = rafter.bounds_mm
    carriers = [part for part in building.parts if _carries(part.kind)]
    seats: list[tuple[float, float, float, float]] = []
    for (ya, za), (yb, zb) in edges:
        if abs(za - zb) > _TRUE_MM:
            continue
        under = [
            (low, high)
            for low, high in (part.bounds_mm for part in carriers)
            if abs(high[2] - za) < _TRUE_MM
            and min(high[0], right_x) > max(low[0], left_x)
            and min(high[1], max(ya, yb)) > max(low[1], min(ya, yb)) - _TRUE_MM
        ]
        if under:
            width = max(high[1] for _, high in under) - min(low[1] for low, _ in under)
            start = min(down * y for low, high in under for y in (low[1], high[1]))
            heel = max(down * ya, down * yb)
            seats.append((start, heel, za, width))
    cuts: list[_Birdsmouth] = []
    for number, (start, heel, top, width) in enumerate(sorted(seats)):
        ends: list[tuple[float, str]] = []
        if number == 0:
            ends.append((start - upper, "roof.high_overhang"))
        if number == len(seats) - 1:
            ends.append((lower - heel, "roof.eave_overhang"))
        past, key = min(ends, default=(math.inf, ""))
        slope_rad, depth = math.atan(abs(fall)), rafter.section_mm[1]
        left = (z0 + fall * (down * heel - y0) - top) * math.cos(slope_rad)
        cuts.append(_Birdsmouth(rafter, slope_rad, depth, depth - left, width, past, key))
    return cuts


def _least_mm(cut: _Birdsmouth) -> float:
    """Depth from which on rafters are deep enough for the widest seat there, mm."""
    least = cut.width_mm * math.sin(cut.slope_rad) / DEEPEST_NOTCH
    return least if cut.is_long else min(least, LEAST_LEFT_MM / (1 - DEEPEST_END_NOTCH))


def _deeper(building: Building, cut: _Birdsmouth) -> str:
    """The mend of rafters that are cut too deep: the shallowest section that is deep enough.

    End rafters under lookouts are shallower than the others: where the scene does not say what
    they are cut from, deeper ones come with those.
    """
    scene, least = building.scene, _least_mm(cut)
    as_thick = sorted(
        (
            stock
            for stock in scene.catalogue.lumber.values()
            if abs(stock.breadth_mm - cut.breadth_mm) < TOLERANCE_MM
        ),
        key=lambda stock: stock.depth_mm,
    )
    lower = 0.0
    if cut.is_end and scene.roof.rake_overhang and not scene.roof.end_rafter:
        lower = scene.lumber_stock(scene.roof.lookout).breadth_mm
    for stock in as_thick:
        at_end = stock.depth_mm - lower
        if lower:
            fits = [one.depth_mm for one in as_thick if one.depth_mm < at_end + TOLERANCE_MM]
            at_end = max(fits, default=at_end)
        if at_end > least - TOLERANCE_MM:
            return f'give "{stock.name}"'
    mend = f"give a section at least {format_length(least + lower, scene.units, 'up')} deep"
    flat = math.asin(cut.depth_mm / least * math.sin(cut.slope_rad))
    if scene.units == "imperial":
        most, unit = math.floor(12 * math.tan(flat)), ":12"
    else:
        most, unit = math.floor(math.degrees(flat)), " deg"
    return f'{mend}, or roof.slope at most "{most}{unit}"' if most else mend
