"""What keeps water out round an opening: membrane, tapes, and the flap of wrap over them.

Each is one piece folded as it is stuck on, its corners slit and mitred.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import RollRecord
from pikepole_model.building.piece import Piece, Source, profile
from pikepole_model.geometry.folded import Field, folded
from pikepole_model.geometry.placement import Placement, Vector
from pikepole_model.geometry.shape import DECIMALS, Shape
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.layout.wall_flashing import HEADS
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.membranes import JAMB_UP_MM, SHORT_MM, UP_MM, WRAP_LAYERS, Sealed
from pikepole_model.plan.sills import BEVEL_MM, Sill, lined_n
from pikepole_model.plan.windows_doors import FittedOpening
from pikepole_model.scene.windows_doors import UnitWindow
from pikepole_model.stock.materials import by_area_material
from pikepole_model.stock.sheet_metal import bent

# Back and front of a corner: u along the wall from the opening's left, v up from its foot, n out.
_Corner = tuple[Vector, Vector]

# Less turned down than this is left out: 1/4 in, common practice, no source.
LEAST_DOWN_MM = 6.35

# A membrane turns up behind a threshold, a sill or a bought window as high as a plank of 2 in is
# thick, and no higher; under a window by 1/2 in or not at all. One too narrow for that lies flat:
# common practice, no source.
MOST_DAM_MM = 38.1
LEAST_DAM_MM = 12.7

# A flap comes out from the wrap over the tapes within this of its upper edge, mm.
JOG_MM = 4.0


def seal(face: WallFace, fitted: FittedOpening, group: str) -> Iterator[Piece]:
    """All of it round one opening, in the order in which it goes on.

    Args:
        face: The wall.
        fitted: The opening.
        group: What it belongs to.
    """
    one = Sealed(face, fitted)
    if fitted.membrane:
        yield _membrane(one, fitted.membrane, group)
    if fitted.tape:
        for k, leg in enumerate(one.legs_mm):
            if leg:
                yield _jamb_tape(one, fitted.tape, group, leg, at_left=not k)
        if one.head_v[0] > fitted.framed.head:
            # What laps a flashing on the frame goes on after that.
            over = HEADS if one.head_foot > fitted.framed.head else group
            yield _head_tape(one, fitted.tape, over)
            yield from _flap(one, over)


def _membrane(one: Sealed, roll: str, group: str) -> Piece:
    """On the rough sill or the floor, up at jambs and back, and down over the wrap."""
    fitted, t = one.fitted, one.fitted.membrane_mm
    u0, v0, u1, v1 = fitted.framed.rough
    w, up = u1 - u0, min(UP_MM, (v1 - v0) / 2)
    front, down = one.turned_down
    wide = fitted.scene.catalogue.find_roll(roll).width_mm
    back, dam = _turned_up(one)
    if fitted.door:
        dam = max(dam, 4 * t)
        dam = dam if dam <= wide - (front - back) else 0.0
        down = max(0.0, min(down, wide - dam - (front - back)))
    else:
        dam = min(dam, wide - (front - back) - down)
        back, dam = (back, dam) if dam >= LEAST_DAM_MM else (one.wall_n, 0.0)
    down = down if down >= LEAST_DOWN_MM else 0.0
    fold = t if down else 0.0
    back = max(back, front - (wide - down - dam))
    behind = t if dam else 0.0
    corners: list[_Corner] = [
        ((0.0, up, back), (t, up, back + behind)),
        ((0.0, up, front), (t, up, front + fold)),
        ((0.0, 0.0, front), (t, t, front + fold)),
        ((0.0, 0.0, back), (t, t, back + behind)),
        ((w, 0.0, back), (w - t, t, back + behind)),
        ((w, 0.0, front), (w - t, t, front + fold)),
        ((w, up, front), (w - t, up, front + fold)),
        ((w, up, back), (w - t, up, back + behind)),
    ]
    fields: list[Field] = [(1, 2, 3, 0), (3, 2, 5, 4), (6, 7, 4, 5)]
    if down:
        foot = len(corners)
        if one.is_on_slab:  # over its edge, between the jambs
            corners += [
                ((0.0, -down, front), (t, -down, front + t)),
                ((w, -down, front), (w - t, -down, front + t)),
            ]
            fields.append((foot, 2, 5, foot + 1))
        else:
            left, right = (u - u0 for u in one.past_u)
            corners += [
                ((left, -down, front), (left, -down, front + t)),
                ((right, -down, front), (right, -down, front + t)),
            ]
            corners += [((u, 0.0, front), (u, t, front + t)) for u in (right, left)]
            fields.append((foot, foot + 3, 2, 5, foot + 2, foot + 1))
    if dam:  # between the jambs, and off what is turned up on the studs
        a = max(fitted.clear[0] - u0, fitted.lined[0] - u0, 2 * t)
        b = min(fitted.clear[2] - u0, fitted.lined[2] - u0, w - 2 * t)
        foot = len(corners)
        corners += [((u, 0.0, back), (u, t, back + t)) for u in (a, b)]
        corners += [((u, dam, back), (u, dam, back + t)) for u in (b, a)]
        fields[1] = (2, 5, 4, foot + 1, foot, 3)
        fields.append((foot, foot + 1, foot + 2, foot + 3))
    name = "threshold membrane" if fitted.door else "sill membrane"
    piece = _stuck(one, name, Kind.SILL_MEMBRANE, roll, group, corners, fields)
    return of_roll(piece, w + 2 * up)


def _turned_up(one: Sealed) -> tuple[float, float]:
    """Where a membrane turns up, mm from the sheathing, and how high it can, mm.

    Behind a threshold or a sill to its upper edge; behind a bought window where the wall is deep
    enough. What runs in under either runs out again: IRC R703.4.1 (from memory).
    """
    fitted, t = one.fitted, one.fitted.membrane_mm
    window = fitted.framed.opening.window
    if isinstance(window, UnitWindow):
        back = lined_n(one.face, fitted)[1] - window.thickness - t
        return back, MOST_DAM_MM if back > one.wall_n - TOLERANCE_MM else 0.0
    sill = Sill(one.face, fitted)
    bevel = BEVEL_MM if fitted.door else 0.0
    return sill.back_n - t, min(sill.top_v - fitted.framed.sill - bevel, MOST_DAM_MM)


def _jamb_tape(one: Sealed, roll: str, group: str, leg: float, *, at_left: bool) -> Piece:
    """Turned in on the stud, over the membrane's end, and on the wrap beside the opening."""
    fitted, t, under = one.fitted, one.fitted.tape_mm, one.fitted.membrane_mm
    u0, v0, u1, v1 = fitted.framed.rough
    w, high = u1 - u0, v1 - v0
    inwards = fitted.scene.catalogue.find_roll(roll).width_mm - leg
    inner, out = max(one.wall_n, -inwards), one.levels[1]
    down = 0.0 if one.is_on_slab else one.turned_down[1]
    low = SHORT_MM - down if down > 2 * SHORT_MM else under
    head_foot, head_top = one.head_foot - v0, one.head_v[0] - v0
    is_under = head_foot == high and head_top > high + JAMB_UP_MM
    top = high + JAMB_UP_MM if is_under else high - t

    def corner(u: float, v: float, n: float, *, on_face: bool = True) -> _Corner:
        a, b = (u, v, n), (under + t if u == under else u, v, n + t if on_face else n)
        return (a, b) if at_left else ((w - a[0], *a[1:]), (w - b[0], *b[1:]))

    corners = [
        corner(under, under, inner, on_face=False),
        corner(under, high - t, inner, on_face=False),
        corner(under, high - t, out),
        corner(under, under, out),
        corner(under, low, out),
        corner(-leg, low, out),
        corner(-leg, top, out),
        corner(under, top, out),
    ]
    fields = [(0, 1, 2, 3), _without_twins((5, 6, 7, 2, 3, 4), corners)]
    side = "left" if at_left else "right"
    piece = _stuck(one, f"{side} jamb tape", Kind.JAMB_TAPE, roll, group, corners, fields)
    return of_roll(piece, top - low)


def _head_tape(one: Sealed, roll: str, group: str) -> Piece:
    """Turned in under the header, and up on the wall over the ends of the jamb tapes.

    Over a flashing on the frame itself it lies flat, over the edge of its leg.
    """
    fitted, t = one.fitted, one.fitted.tape_mm
    u0, v0, u1, v1 = fitted.framed.rough
    high, top, out = v1 - v0, one.head_v[0] - v0, one.levels[2]
    left, right = (u - u0 for u in one.past_u)
    side = fitted.membrane_mm + t
    a, b = side, u1 - u0 - side
    inwards = fitted.scene.catalogue.find_roll(roll).width_mm - (top - high)
    inner = max(one.wall_n, -inwards)
    corners: list[_Corner] = [
        ((a, high, inner), (a, high - t, inner)),
        ((b, high, inner), (b, high - t, inner)),
        ((b, high, out), (b, high - t, out + t)),
        ((a, high, out), (a, high - t, out + t)),
        ((left, high, out), (left, high - t, out + t)),
        ((left, top, out), (left, top, out + t)),
        ((right, top, out), (right, top, out + t)),
        ((right, high, out), (right, high - t, out + t)),
    ]
    fields: list[Field] = [(0, 1, 2, 3), (5, 4, 3, 2, 7, 6)]
    if one.head_foot > v1:
        foot = one.head_foot - v0
        flat = ((left, foot), (left, top), (right, top), (right, foot))
        corners = [((u, v, out), (u, v, out + t)) for u, v in flat]
        fields = [(1, 0, 3, 2)]
    piece = _stuck(one, "head tape", Kind.HEAD_TAPE, roll, group, corners, fields)
    return of_roll(piece, right - left)


def _flap(one: Sealed, group: str) -> Iterator[Piece]:
    """What was cut and lifted of the wrap, down again over the head tape from the wrap over it."""
    scene, face = one.fitted.scene, one.face
    if not scene.wrap:
        return
    roll = scene.roll_stock(scene.wrap.roll)
    t, (left, right), top = roll.thickness_mm, one.past_u, one.head_v[1]
    out, wrap = one.levels[3] + t, one.levels[0] - WRAP_LAYERS * t
    line = ((out, one.head_foot), (out, top - JOG_MM), (wrap + t, top))
    yield profile(
        f"{one.fitted.framed.opening.name} {Kind.WRAP_FLAP}",
        Kind.WRAP_FLAP,
        group,
        Source(scene.wrap.roll, scene.roll_material(scene.wrap.roll)),
        bent(line, t),
        Placement(face.place.point(right, 0.0), face.place.n, face.place.v),
        right - left,
        length_along="n",
    )


def _without_twins(field: Field, corners: Sequence[_Corner]) -> Field:
    """A field less one of two corners in one place: the earlier stays, where others fold on."""
    kept: list[int] = []
    for k in field:
        if kept and corners[k][0] == corners[kept[-1]][0]:
            kept[-1] = min(kept[-1], k)
        else:
            kept.append(k)
    return tuple(kept)


def _stuck(
    one: Sealed,
    what: str,
    kind: Kind,
    roll: str,
    group: str,
    corners: Sequence[_Corner],
    fields: Sequence[Field],
) -> Piece:
    fitted, face = one.fitted, one.face
    u0, v0, _, _ = fitted.framed.rough
    body = folded([(_rounded(back), _rounded(front)) for back, front in corners], fields)
    return Piece(
        f"{fitted.framed.opening.name} {what}",
        kind,
        group,
        Source(roll, by_area_material(fitted.scene.catalogue.find_roll(roll))),
        Shape(body),
        Placement(face.place.point(u0, v0, 0.0), face.place.u, face.place.v),
    )


def _rounded(point: Vector) -> Vector:
    u, v, n = (round(value, DECIMALS) + 0.0 for value in point)
    return u, v, n


def of_roll(piece: Piece, length_mm: float) -> Piece:
    """A piece that takes so much of its roll."""
    return replace(piece, record=RollRecord(length_mm))
