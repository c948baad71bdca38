"""Pieces that a hand would break: what covers walls, where too little is left of it.

fragile_findings(building) -> one for each place of the scene that they follow from
"""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import Finding, Try, and_more, key_text, more, other
from pikepole_model.geometry.fragile import Narrow, face_of, narrowest
from pikepole_model.geometry.least import BATTEN, BOARD, SHEET, SLAT, Least, of_width
from pikepole_model.geometry.placement import Placement, Vector
from pikepole_model.geometry.shape import Prism, Shape
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.envelope import Battens
from pikepole_model.units import format_length

LEAST = {
    Kind.WALL_SHEET: SHEET,
    Kind.LINING: SHEET,
    Kind.STRIP: SHEET,
    Kind.UPRIGHT_BOARD: BOARD,
    Kind.SIDING: BOARD,
    Kind.EAVE_BOARD: BOARD,
    Kind.BATTEN: BATTEN,
    Kind.BATTEN_STRIP: BATTEN,
    Kind.WALL_SLAT: SLAT,
    Kind.UPRIGHT_SLAT: SLAT,
}


@dataclass(frozen=True, slots=True)
class _Fragile:
    part: Part
    measure: float
    least: float
    is_short: bool
    at: Vector


@dataclass(frozen=True, slots=True)
class _Rough:
    """A rough opening: place of its table, from and to along the wall, and up from the floor.

    Casing lies round it, so wide.
    """

    table: int
    u: tuple[float, float]
    sill: float
    head: float
    casing: float


@dataclass(frozen=True, slots=True)
class _Wall:
    """A wall as it is seen from outside: its name, its frame and its openings."""

    name: str
    place: Placement
    openings: tuple[_Rough, ...]


def fragile_findings(building: Building) -> Iterator[Finding]:
    """What is too narrow or too short of what covers the walls; what casing lies over is held."""
    found = list(_fragile(building))
    if not found:
        return
    scene = building.scene
    places: dict[tuple[Try, ...], list[_Fragile]] = defaultdict(list)
    for one in found:
        wall = _wall_of(building, one.part)
        if not _in_row(wall, one):
            places[_tries(building, wall, one)].append(one)
    for tries, ones in places.items():
        worst = min(ones, key=lambda one: one.measure / one.least)
        names = tuple(dict.fromkeys(one.part.name for one in ones))
        size = format_length(worst.measure, scene.units)
        least = format_length(worst.least, scene.units)
        what = "long" if worst.is_short else "wide"
        x, y, z = (format_length(c, scene.units) for c in worst.at)
        text = (
            f"leaves {and_more(names)} {size} {what}, at x {x}, y {y}, z {z}: under {least} it "
            "breaks in the hand or splits at its nails (common practice)"
        )
        yield Finding("other", text, names, key=key_text(tries[0].path), tries=tries)


def _fragile(building: Building) -> Iterator[_Fragile]:
    casings = [part.bounds_mm for part in building.parts if part.kind is Kind.CASING]
    narrow: dict[tuple[Kind, Shape], Narrow | None] = {}
    for part in building.parts:
        if part.kind not in LEAST:
            continue
        least = _least(part)
        # Under a rake the last length is as short as it comes.
        if part.shape.is_box and part.length_mm < least.length - TOLERANCE_MM:
            low, high = part.bounds_mm
            if not any(_covers(casing, (low, high)) for casing in casings):
                middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2, (low[2] + high[2]) / 2)
                yield _Fragile(part, part.length_mm, least.length, True, middle)
            continue
        kept = (part.kind, part.shape)
        if kept not in narrow:
            face = face_of(part.shape)
            # What a rake leaves over a level joint tapers to nothing wherever the joint is.
            wedge = face is not None and len(face.exterior.coords) == 4
            narrow[kept] = None if face is None or wedge else narrowest(face, least.width)
        if one := narrow[kept]:
            yield _Fragile(part, one.width, least.width, False, _in_building(part, one))


def _least(part: Part) -> Least:
    least = LEAST[part.kind]
    return of_width(least, part.section_mm[1]) if part.section_mm else least


def _covers(casing: tuple[Vector, Vector], piece: tuple[Vector, Vector]) -> bool:
    """Whether casing lies over a piece: along the wall and up it, seen from outside."""
    (low, high), (foot, top) = casing, piece
    inside = [low[k] - 1.0 < foot[k] and top[k] < high[k] + 1.0 for k in range(3)]
    near = [low[k] - 1.0 < top[k] and foot[k] < high[k] + 1.0 for k in range(3)]
    return inside[2] and sum(inside) >= 2 and all(near)


def _in_building(part: Part, one: Narrow) -> Vector:
    body, (a, b) = part.shape.body, one.at
    is_section = isinstance(body, Prism) and body.length_along == "n"
    return part.placement.point(b, 0.0, a) if is_section else part.placement.point(a, b)


def _in_row(wall: _Wall, one: _Fragile) -> bool:
    """Whether it is between openings of a row, which stand as near as the scene says.

    What lies there is nailed to the jacks all along before the openings are cut out, or is held by
    the casing over it.
    """
    u, v = _on_wall(wall, one.at)
    beside = [rough for rough in wall.openings if rough.sill <= v <= rough.head]
    return any(
        a.table == b.table and a.u[1] <= u <= b.u[0] and b.u[0] - a.u[1] < max(one.least, a.casing)
        for a, b in itertools.pairwise(beside)
    )


def _tries(building: Building, plan: _Wall, one: _Fragile) -> tuple[Try, ...]:
    """The keys that a piece follows from, the likeliest first."""
    scene = building.scene
    u, v = _on_wall(plan, one.at)
    tries: list[Try] = []
    if beside := _beside(plan, u, v):
        opening = scene.opening[beside.table]
        place = "from_left" if opening.from_right is None else "from_right"
        keys = ("sill", "height") if opening.sill else ("height",)
        by = (place, "width") if beside.sill <= v <= beside.head else keys
        left = beside.u[0] if opening.at else None
        tries += [
            Try(("opening", beside.table, key), "other", left if key == place else None)
            for key in by
        ]
    if one.part.kind not in (Kind.WALL_SHEET, Kind.LINING):
        tries += [
            other("cladding", k, "above_ground")
            for k, table in enumerate(scene.cladding)
            if plan.name in table.walls and table.above is None
        ]
    if one.part.kind in (Kind.UPRIGHT_BOARD, Kind.STRIP, Kind.BATTEN, Kind.BATTEN_STRIP):
        tries += [
            other("cladding", k, key)
            for k, table in enumerate(scene.cladding)
            if plan.name in table.walls and isinstance(table, Battens)
            for key in ("gap", "batten", "board")
        ]
    if one.part.kind in (Kind.WALL_SLAT, Kind.UPRIGHT_SLAT):
        tries += [other("walls", plan.name, key) for key in ("gap", "height", "board")]
    height = "high_height" if scene.walls.low_height is None else "low_height"
    # A strip is as high as what it lies on is left bare.
    match one.part.group.split():
        case ["rafters"]:
            tries.insert(0, other("roof", "rafter"))
        case [_, "beam"]:
            tries.insert(0, more("beam", "ply"))
        case _:
            pass
    return (*tries, other("walls", height))


def _on_wall(plan: _Wall, at: Vector) -> tuple[float, float]:
    place = plan.place
    off = [a - b for a, b in zip(at, place.origin, strict=True)]
    u, v = (sum(a * b for a, b in zip(off, axis, strict=True)) for axis in (place.u, place.v))
    return u, v


def _beside(plan: _Wall, u: float, v: float) -> _Rough | None:
    """The opening that a place lies beside, over or under; None where none is near."""

    def away(rough: _Rough) -> float:
        across = max(rough.u[0] - u, u - rough.u[1], 0.0)
        return across + max(rough.sill - v, v - rough.head, 0.0) - rough.casing

    nearest = min(plan.openings, key=away, default=None)
    return nearest if nearest and away(nearest) <= SHEET.width else None


def _wall_of(building: Building, part: Part) -> _Wall:
    """The wall that a piece is on, its floor read off the bottom plates."""
    scene, name = building.scene, part.group.split()[0]
    length, depth = scene.building.length, scene.building.depth
    plates = [one for one in building.parts if one.kind is Kind.BOTTOM_PLATE]
    floor = min((one.bounds_mm[0][2] for one in plates), default=0.0)
    x, y, ux, uy = {
        "right": (length, 0.0, 0.0, 1.0),
        "back": (length, depth, -1.0, 0.0),
        "left": (0.0, depth, 0.0, -1.0),
    }.get(name, (0.0, 0.0, 1.0, 0.0))
    place = Placement((x, y, floor), (ux, uy, 0.0), (0.0, 0.0, 1.0))
    across = length if ux else depth
    rough = [
        _Rough(
            table,
            (left, left + one.width),
            one.sill or 0.0,
            (one.sill or 0.0) + one.height,
            scene.lumber_stock(one.trim.board).depth_mm if one.trim else 0.0,
        )
        for table, one in enumerate(scene.opening)
        if one.wall == name
        for left in one.lefts_mm(across)
    ]
    return _Wall(name, place, tuple(rough))
