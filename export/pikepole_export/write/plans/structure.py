"""What carries, in words: lumber, foundation, walls and their bracing, headers, roof, ties, nails.

A sheet without a drawing, for whoever looks the others over.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from pikepole_export.derive.buying.fasteners import fasteners
from pikepole_export.derive.lifting.sawn import put_up
from pikepole_export.derive.measures.layouts import BEDS, POINTS
from pikepole_export.derive.measures.openings import RoughOpening, openings_of
from pikepole_export.derive.strength.walls import braced_lengths
from pikepole_export.write.drawings.drafting import MARGIN_MM
from pikepole_export.write.drawings.svg import wrapped
from pikepole_export.write.drawings.title import BLOCK_MM
from pikepole_export.write.plans.dimensions import TEXT_MM
from pikepole_export.write.plans.sections import depths
from pikepole_export.write.plans.sheet import Layer, PlanSheet, word_sheet
from pikepole_export.write.plans.words import (
    block_words,
    height_words,
    member_words,
    roof_words,
)
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.panels import braced_lines
from pikepole_model.units import format_length

COLUMNS = 3
LINE_MM = 3.6
GAP_MM = 5.0  # between columns
NEAR_MM = 300.0  # from the face of a wall to what is in it
# The schedule that nails of a frame are counted by.
SCHEDULE = "IBC Table 2304.10.1"


def structure(building: Building) -> PlanSheet:
    """The sheet: in columns, as far as they reach."""
    notes = [
        "sizes, spacings and counts of the model, for whoever looks it over",
        "what is asked of each member, and by which rule, stands with the checks of strength",
    ]
    sheet = word_sheet(building, "structure", "Structure", notes)
    width = (sheet.size[0] - 2 * MARGIN_MM - (COLUMNS + 1) * GAP_MM) / COLUMNS
    top, bottom = MARGIN_MM + 6.0, sheet.size[1] - MARGIN_MM - BLOCK_MM - 3.0
    room = int((bottom - top) / LINE_MM) + 1
    lines: list[tuple[str, bool]] = []
    for heading, rows in _chapters(building):
        own = [line for row in rows for line in wrapped(row, TEXT_MM, width)]
        if own:
            # A heading does not stand at the foot of a column, nor a blank line at its head.
            lines += [("", False)] * (1 if len(lines) % room else 0)
            lines += [("", False)] * (
                room - len(lines) % room if len(lines) % room > room - 2 else 0
            )
            lines += [(heading, True), *((line, False) for line in own)]
    most = COLUMNS * room
    if len(lines) > most:
        lines = [*lines[: most - 1], ("and more: see the stages of the handbook", False)]
    with sheet.on(Layer.NOTES):
        for number, (words, bold) in enumerate(lines):
            column, row = divmod(number, room)
            at = (MARGIN_MM + GAP_MM + column * (width + GAP_MM), top + row * LINE_MM)
            if words:
                sheet.text(words, at, TEXT_MM, bold=bold)
    return sheet


def _chapters(building: Building) -> Iterator[tuple[str, Iterable[str]]]:
    """Headings with what there is to say under them."""
    scene, parts, units = building.scene, building.parts, building.scene.units
    lumber = scene.lumber

    def grade(stamped: str, *, treated: bool) -> str:
        """The strength classes of what is cut, or what the scene says."""
        cut = {one.stock for one in building.handled if one.material.treated is treated}
        classes = sorted({scene.catalogue.strength_of(stock) for stock in cut} - {""})
        return " and ".join(classes) or stamped

    yield (
        "Lumber" if scene.english == "American" else "Timber",
        (
            f"{lumber.species}, {grade(lumber.grade, treated=False)}",
            f"treated: {lumber.treated_species}, {grade(lumber.treated_grade, treated=True)}",
        ),
    )

    def members(*families: Family) -> Iterator[str]:
        for kind in _kinds(parts, *families):
            yield member_words(parts, kind, units)

    yield (
        "Foundation",
        (
            *(block_words(parts, kind, units) for kind in _cast(parts)),
            *(height_words(name, z, units) for z, name in depths(parts)),
            *_counted(parts, Family.BOLTS, Family.ANGLES, Family.POST_METAL),
        ),
    )
    yield "Floor", (*members(Family.FLOOR_FRAME), *_sheets(parts, Kind.FLOOR_SHEET))
    yield "Loft", (*members(Family.LOFT_FRAME), *_sheets(parts, Kind.LOFT_SHEET))
    yield "Walls", (*members(Family.WALL_FRAME), *_sheets(parts, Kind.WALL_SHEET))
    yield "Bracing: sheathed from floor to plates (the least that counts)", _braced(building)
    yield "Headers", _headers(building)
    yield (
        "Roof",
        (
            *roof_words(parts, units),
            *members(Family.ROOF_FRAME, Family.BEAMS, Family.POSTS, Family.KNEE_BRACES),
            *_sheets(parts, Kind.ROOF_SHEET, Kind.PANEL),
        ),
    )
    yield "Ties and anchors", _counted(parts, Family.TIES)
    yield f"Nails, by {SCHEDULE}", _nails(building)


def _kinds(parts: Sequence[Part], *families: Family) -> list[Kind]:
    return list(dict.fromkeys(part.kind for part in parts if part.kind.family in families))


def _cast(parts: Sequence[Part]) -> list[Kind]:
    """What is cast or spread, of which only the size is said."""
    found = dict.fromkeys(part.kind for part in parts)
    return [
        kind for kind in found if kind in POINTS | BEDS and kind.family is not Family.POST_METAL
    ]


def _sheets(parts: Sequence[Part], *kinds: Kind) -> Iterator[str]:
    for kind in kinds:
        stocks = dict.fromkeys(part.stock for part in parts if part.kind is kind)
        if stocks:
            yield f"{kind.value} {' and '.join(stocks)}"


def _counted(parts: Sequence[Part], *families: Family) -> Iterator[str]:
    """Small steel, by kind and size."""
    found = Counter((part.kind, part.stock) for part in parts if part.kind.family in families)
    for (kind, stock), count in found.items():
        name = stock if kind.value in stock else f"{kind.value}, {stock}"
        yield f"{count} x {name}"


def _braced(building: Building) -> Iterator[str]:
    """For each sheeted wall what openings leave of it, with the least length of each.

    And how much of it counts, beside what the table asks for.
    """
    units = building.scene.units
    lengths = braced_lengths(building)
    for line, openings in braced_lines(building):
        pieces = ", ".join(
            f"{format_length(long, units)} ({format_length(least, units, 'up')})"
            for long, least in line.panels(openings)
        )
        yield f"{line.group}, {format_length(line.long_mm, units)}: {pieces}"
        if line.group in lengths:
            asked, there = lengths[line.group]
            yield (
                f"together {format_length(there, units, 'down')} that counts, "
                f"{format_length(asked, units, 'up')} asked for by IRC R602.10.3"
            )
    for wall in building.scene.walls.braced_elsewhere:
        yield f"{wall} wall: braced otherwise, as the scene says"


def _headers(building: Building) -> Iterator[str]:
    """Over each opening the plies of its header, or that it is under the beam."""
    units = building.scene.units
    for one in openings_of(building):
        plies = Counter(part.stock for part in _plies_over(one, building.parts))
        stocks = " and ".join(f"{count} x {stock}" for stock, count in plies.items())
        wide = format_length(one.width_mm, units)
        yield f"{one.mark} {one.name}, {wide}: {stocks or 'under the beam'}"


def _plies_over(opening: RoughOpening, parts: Sequence[Part]) -> list[Part]:
    """Those that reach over an opening from end to end, the lowest of them."""
    axis = 0 if opening.wall in ("front", "back") else 1
    over = [
        part
        for part in parts
        if part.kind is Kind.HEADER
        and part.bounds_mm[0][axis] < opening.along[0] + 1.0
        and part.bounds_mm[1][axis] > opening.along[1] - 1.0
        and part.bounds_mm[0][2] > opening.z[1] - 1.0
        and abs(part.centre_mm[1 - axis] - opening.face_mm) < NEAR_MM
    ]
    lowest = min((part.bounds_mm[0][2] for part in over), default=0.0)
    return [part for part in over if part.bounds_mm[0][2] < lowest + 1.0]


def _nails(building: Building) -> Iterator[str]:
    """The schedule as it is kept to: each joint once."""
    rows = dict.fromkeys(
        (one.joint, one.fastener, one.how)
        for one in fasteners(building, put_up(building))
        if SCHEDULE in one.source
    )
    for joint, own in itertools.groupby(rows, key=lambda row: row[0]):
        yield f"{joint}: {'; '.join(f'{nail}, {how}' for _, nail, how in own)}"
