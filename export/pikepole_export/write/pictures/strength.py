"""The frame, each piece in the shade of its highest ratio: `strength.png`.

    with start_strength(building, strength) as picture:
        ...
        names = picture.finish(folder)

Drawn by a child process, as the pictures of the stages are. Shades go from light to dark, one hue,
so that they are told apart in grey and by those who are colour-blind; what is over its rule is
nearly black. Pieces that are not looked at are white, and what covers the frame is left out.
"""

from __future__ import annotations

import json
import math

import numpy as np

from pikepole_export.derive.strength.plan import Strength
from pikepole_export.derive.strength.words import says
from pikepole_export.graphics.camera import camera_axes
from pikepole_export.graphics.child import Pictures
from pikepole_export.graphics.colours import Colour
from pikepole_export.graphics.meshes import merge
from pikepole_export.graphics.page import WIDTH_PX
from pikepole_export.graphics.shading import END, SIDE, TOP, as_bytes, shade
from pikepole_export.write.pictures.sheet import COLUMN_PX, fit
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind, of
from pikepole_model.building.part import Building, Part

CHILD = "pikepole_export.write.pictures.strength_render"
FILE = "strength.png"
HIGH_PX = 960
SIZE = (WIDTH_PX - COLUMN_PX, HIGH_PX)

# Up to which ratio each shade goes, sRGB; L* goes down in steps of about 16.
SHADES: tuple[tuple[float, Colour], ...] = (
    (0.25, (0.96, 0.88, 0.62)),
    (0.50, (0.91, 0.68, 0.32)),
    (0.75, (0.80, 0.45, 0.13)),
    (1.00, (0.55, 0.25, 0.06)),
    (math.inf, (0.17, 0.04, 0.14)),
)
SHADE_NAMES = ("up to 0.25", "up to 0.50", "up to 0.75", "up to 1.00", "over its rule")
NOT_LOOKED_AT: Colour = (1.0, 1.0, 1.0)
# Faces keep so much of their shade whichever way they look.
_EVEN = 0.75
_WORST = 6  # so many are numbered
_FRAME = of(
    *(Family.FLOOR_FRAME, Family.WALL_FRAME, Family.LOFT_FRAME, Family.ROOF_FRAME, Family.BEAMS),
    *(Family.LEDGERS, Family.POSTS, Family.POST_METAL, Family.CONCRETE),
) - {Kind.BEAM_SPACER, Kind.SLAB}


def shade_of(ratio: float | None) -> Colour:
    """What a piece is drawn in; None for one that is not looked at."""
    if ratio is None:
        return NOT_LOOKED_AT
    return next(colour for most, colour in SHADES if ratio <= most * (1 + 1e-6))


def start_strength(
    building: Building, strength: Strength, after: Pictures | None = None
) -> Pictures:
    """Begin to draw in a child process, and return at once.

    Args:
        building: What to draw.
        strength: What was found of it.
        after: Pictures that are drawn first: two at once take twice the memory.
    """
    picture = Pictures(CHILD, "", (WIDTH_PX, HIGH_PX), after=after)
    try:
        _write_job(building, strength, picture)
        picture.hand(FILE)
        picture.complete()
    except BaseException:
        picture.close()
        raise
    return picture


def _write_job(building: Building, strength: Strength, picture: Pictures) -> None:
    parts = [part for part in building.finished.parts if part.kind in _FRAME]
    merged, axes = merge(parts), camera_axes(building)
    sheet = fit(merged.vertices, axes, 0, SIZE)
    end, side = np.sign(axes[2, :2])
    lit = shade(merged.normals, np.array([END * end, SIDE * side, TOP]))
    colours = np.array([shade_of(strength.ratios.get(part.name)) for part in parts])
    faces = colours[merged.owners] * (_EVEN + (1 - _EVEN) * lit)[:, None]
    np.savez(
        picture.job / "arrays.npz",
        allow_pickle=False,
        points=merged.vertices.astype(np.float32),
        triangles=merged.triangles,
        colours=as_bytes(faces),
        lines=merged.vertices[merged.edges].reshape(-1, 3).astype(np.float32),
        axes=axes,
        shift=np.array(sheet.shift),
        scale=np.array(sheet.scale),
    )
    by_name = {part.name: part for part in parts}
    marks: list[dict[str, object]] = []
    for check in strength.checks:
        if not check.is_worked:
            continue
        part = piece_of(by_name, strength, check.piece or check.member)
        if part is None or any(mark["member"] == check.member for mark in marks):
            continue
        x, y, _ = sheet.place(np.array([part.centre_mm]))[0]
        ratio = says(check) if check.is_over else f"{check.ratio:.2f}"
        text = f"{check.member}: {check.rule.value}, {ratio}"
        marks.append({"member": check.member, "at": (float(x), float(y)), "text": text})
        if len(marks) == _WORST:
            break
    words = {
        "page": (WIDTH_PX, HIGH_PX),
        "view": SIZE,
        "title": building.scene.title,
        "says": "What loads ask of each piece, as a share of what its worst rule allows",
        "shades": [
            *(
                [as_bytes(np.array(colour)).tolist(), name]
                for (_, colour), name in zip(SHADES, SHADE_NAMES, strict=True)
            ),
            [as_bytes(np.array(NOT_LOOKED_AT)).tolist(), "not looked at"],
        ],
        "marks": marks,
    }
    (picture.job / "words.json").write_text(json.dumps(words), encoding="utf-8")


def piece_of(by_name: dict[str, Part], strength: Strength, member: str) -> Part | None:
    """The piece that a member's mark points to; the first ply of a built-up one."""
    if member in by_name:
        return by_name[member]
    plies = (name for name in strength.ratios if name.startswith(f"{member} "))
    return by_name.get(next(plies, ""))
