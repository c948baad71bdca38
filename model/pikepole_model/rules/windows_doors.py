"""What must hold for windows, doors and trims: that they fit the openings and the walls."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from shapely import box

from pikepole_model.building.sequence import SEQUENCE
from pikepole_model.errors import (
    KeyPath,
    Problem,
    Try,
    either,
    key_text,
    less,
    more,
    other,
    without,
)
from pikepole_model.geometry.spacing import TOLERANCE_MM, overlap
from pikepole_model.layout.joinery import (
    LEAST_AIR_MM,
    SLAT_GAP_MM,
    light_n,
    mesh_rect,
    mesh_roll,
    slat_feet_v,
    slat_reach_mm,
)
from pikepole_model.layout.leaf import Leaf
from pikepole_model.plan.clad_face import clad_at_mm
from pikepole_model.plan.faces import WallFace, bare_leg, clear_of_roofs
from pikepole_model.plan.framed import Rect
from pikepole_model.plan.sills import frame_stock, lined_n
from pikepole_model.plan.windows_doors import (
    HINGE_MM,
    WHEEL_RADIUS_MM,
    CasedRun,
    Casing,
    FittedOpening,
    between,
    cased_runs,
    fitted_openings,
    past_hinges,
)
from pikepole_model.rules.membranes import membrane_problems
from pikepole_model.rules.places import elsewhere, place_of, step_of
from pikepole_model.rules.ruler import Ruler, walls_height
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.windows_doors import (
    Door,
    FixedLight,
    LedgedDoor,
    SteelDoor,
    Track,
    UnitWindow,
    Vent,
)

# A pane or bought window smaller than this on a side is none: assumed.
LEAST_LIGHT_MM = 50.0

# The least that a scene may have round a bought window, and of a leaf past its opening, mm.
LEAST_CLEARANCE_MM, LEAST_LAP_MM = 3.0, 12.0

# A leaf takes ledges or rails when it is at least this many of their widths wide: assumed.
LEAST_LEAF = 3

# Bought leaves are no narrower than 12 in: common practice, no source.
LEAST_STEEL_LEAF_MM = 304.8


def door_name_problems(scene: Scene) -> Iterator[Problem]:
    """A door's name is a group's name too: it must be its own."""
    taken = {group for step in SEQUENCE for group in step.groups}
    for k, opening in enumerate(scene.opening):
        if opening.door and any(one.name in taken for one in opening.row()):
            yield Problem.at(
                ("opening", k, "name"),
                "is what a group of other parts is called",
                f'give "{opening.name} door": its parts are weighed under it',
            )


def fitted_opening_problems(face: WallFace, ruler: Ruler) -> Iterator[Problem]:
    """What is wrong with the windows, doors and trims of one wall.

    Assumes that the openings themselves fit; what ails a whole row is said once. Nothing is said of
    a wall whose own sizes could not be read.
    """
    yield from dict.fromkeys(_faults(face, ruler))


def _faults(face: WallFace, ruler: Ruler) -> Iterator[Problem]:
    plan, datums = face.plan, face.plan.datums
    heights = [*(top for _, top in plan.top_line), face.foot_mm, datums.beam_depth_mm]
    heights += [
        size
        for bay in datums.scene.bay
        for size in (bay.reach, bay.slope, bay.ledger_height)
        if size
    ]
    if not math.isfinite(sum((plan.length_mm, datums.scene.roof.slope, *heights))):
        return
    for fitted in fitted_openings(face.plan):
        path: KeyPath = ("opening", fitted.framed.table)
        if not math.isfinite(sum(fitted.framed.rough)):
            continue
        yield from _frame(face, fitted, path, ruler)
        window, door = fitted.framed.opening.window, fitted.door
        if isinstance(window, Vent):
            yield from _vent(face, fitted, window, path, ruler)
        elif window:
            yield from _window(face, fitted, window, (*path, "window"), ruler)
        if door:
            yield from _leaves(fitted, door, path, ruler)
        if fitted.track:
            yield from _track(face, fitted, fitted.track, path, ruler)
    for run in cased_runs(face.plan):
        yield from _casing(face, run, ruler)
    yield from membrane_problems(face, ruler)
    yield from _apart(face, ruler)


def _frame(face: WallFace, fitted: FittedOpening, path: KeyPath, ruler: Ruler) -> Iterator[Problem]:
    """Frame boards are ripped to the wall's depth: they must be that wide."""
    stock = frame_stock(face, fitted)
    if not stock:
        return
    inner, outer = lined_n(face, fitted)
    wide = fitted.scene.lumber_stock(stock).depth_mm
    if wide < outer - inner - TOLERANCE_MM:
        yield Problem.at(
            (*path, "door" if fitted.door else "window", "frame"),
            f"is {ruler.at(wide)} wide, and the wall with its sheets and cladding is "
            f"{ruler.at(outer - inner)} thick there",
            "",
            more(*path, "door" if fitted.door else "window", "frame"),
        )


def _window(
    face: WallFace,
    fitted: FittedOpening,
    window: UnitWindow | FixedLight,
    path: KeyPath,
    ruler: Ruler,
) -> Iterator[Problem]:
    u0, v0, u1, v1 = fitted.clear
    light = min(u1 - u0, v1 - v0) - 2 * window.clearance
    if isinstance(window, FixedLight):
        light -= 2 * (fitted.scene.lumber_stock(window.stop).breadth_mm - window.clearance)
        (_, outer), (inner, _) = light_n(face, fitted, window)
        depth = outer - lined_n(face, fitted)[0]
        if outer - inner > depth + TOLERANCE_MM:
            yield Problem.at(
                (*path, "stop"),
                f"makes pane and stops {ruler.at(outer - inner)} thick, and the wall is "
                f"{ruler.at(depth)} thick there",
                "",
                less(*path, "stop"),
                more("walls", "stud"),
            )
    elif (lined := fitted.membrane_mm + fitted.tape_mm) >= window.clearance:
        yield Problem.at(
            (*path, "clearance"),
            f"leaves no room for membrane and tape, {ruler.at(lined)} thick",
            either(
                f"give {ruler.at_least(max(LEAST_CLEARANCE_MM, lined + 0.1))}",
                f'give {key_text((*path, "membrane"))} "none"',
            ),
        )
    if light < LEAST_LIGHT_MM:
        opening = path[:-1]
        wide = u1 - u0 <= v1 - v0
        bigger = more(*opening, "width" if wide else "height")
        yield Problem.at(
            path, "does not fit into its opening", "", bigger, less(*path, "clearance")
        )


def _vent(
    face: WallFace, fitted: FittedOpening, vent: Vent, path: KeyPath, ruler: Ruler
) -> Iterator[Problem]:
    """Slats that the wall is deep enough for, two at least, and mesh that covers them."""
    u0, v0, u1, v1 = fitted.clear
    inner, outer = lined_n(face, fitted)
    stock, key = fitted.scene.lumber_stock(vent.slat), (*path, "window", "slat")
    reach = slat_reach_mm(stock)
    left, low, right, high = mesh_rect(fitted)
    wide = mesh_roll(fitted, vent).width_mm
    side = "width" if right - left < high - low else "height"
    if min(right - left, high - low) > wide + TOLERANCE_MM:
        yield Problem.at(
            (*path, "window", "mesh"),
            f"is {ruler.at(wide)} wide, and the vent with what laps on its frame is "
            f"{ruler.at(right - left)} by {ruler.at(high - low)}",
            "",
            more(*path, "window", "mesh"),
            less(*path, side),
        )
    if reach > outer - inner + TOLERANCE_MM:
        yield Problem.at(
            key,
            f"takes {ruler.at(reach)} of the wall at 45 degrees, and it is "
            f"{ruler.at(outer - inner)} thick there",
            "",
            less(*key),
            more("walls", "stud"),
        )
    room = v1 - v0 - 2 * SLAT_GAP_MM - reach
    if min(room, u1 - u0) < reach:
        yield Problem.at(
            (*path, "window"),
            f"has no room for two slats, which are {ruler.at(reach)} high at 45 degrees",
            "",
            more(*path, "height" if room < reach else "width"),
            less(*key),
        )
        return
    first, second, *_ = slat_feet_v(fitted, stock)
    if (second - first) / math.sqrt(2) - stock.breadth_mm < LEAST_AIR_MM:
        yield Problem.at(
            key,
            f"leaves less than {ruler.at(LEAST_AIR_MM)} for air between two slats that shed water",
            "",
            *(less(*key), other(*path, "height")),
        )


def _leaves(fitted: FittedOpening, door: Door, path: KeyPath, ruler: Ruler) -> Iterator[Problem]:
    """Room for what each leaf is made of: of a dutch door in the smaller of its halves."""
    scene = fitted.scene
    rect = min(fitted.leaves, key=lambda rect: rect[3] - rect[1])
    leaf = Leaf("", scene, door, rect, 0.0, "left", (0.0, 0.0))
    wide, high = rect[2] - rect[0], rect[3] - rect[1]
    stick = leaf.stick_mm[1]
    key: KeyPath = (*path, "door")
    if isinstance(door, SteelDoor):
        if min(wide, high) < LEAST_STEEL_LEAF_MM:
            wrong = f"has a leaf of {ruler.at(wide)} by {ruler.at(max(high, 0.0))}, and nobody "
            wrong += f"makes one narrower than {ruler.at(LEAST_STEEL_LEAF_MM)}"
            tries = more(*path, "width"), more(*path, "height"), less(*key, "leaves")
            yield Problem.at(key, wrong, "", *tries)
        elif leaf.between_mm < HINGE_MM[1] and not door.track:
            wrong = f"has a leaf {ruler.at(high)} high, too low for {len(leaf.cross_v)} hinges"
            yield Problem.at(key, wrong, "", more(*path, "height"))
        return
    if wide < LEAST_LEAF * stick or leaf.between_mm < stick:
        yield Problem.at(
            key,
            f"has a leaf of {ruler.at(wide)} by {ruler.at(max(high, 0.0))}, too small for "
            f"{len(leaf.cross_v)} pieces of {leaf.stick}",
            "",
            *([other(*key, "dutch"), without(*key, "dutch")] if door.cut_mm is not None else []),
            more(*path, "width"),
            more(*path, "height"),
            less(*key, "ledge" if isinstance(door, LedgedDoor) else "stile"),
            less(*key, "leaves"),
        )
        return
    high = max(v1 - v0 for _, v0, _, v1 in fitted.leaves)
    for stock in (leaf.boards, leaf.stick):
        if stock:
            longer = less(*path, "width" if wide > high else "height")
            yield from ruler.too_long(key, max(wide, high), scene.lumber_stock(stock), longer)
    if leaf.boards:
        return
    sheet = scene.sheet_stock(door.sheet)
    if high > sheet.length_mm + TOLERANCE_MM:
        yield Problem.at(
            (*key, "sheet"),
            f"is {ruler.at(sheet.length_mm)} long, and the leaf {ruler.at(high)} high",
            "",
            less(*path, "height"),
            more(*key, "sheet"),
        )
    if isinstance(door, LedgedDoor) and len(leaf.sheets_u) > 1:
        yield Problem.at(
            (*key, "sheet"),
            f"is {ruler.at(sheet.width_mm)} wide, and the leaf {ruler.at(wide)}: its joint would "
            "have nothing behind it",
            "",
            less(*path, "width"),
            more(*key, "leaves"),
            more(*key, "sheet"),
        )


def _track(
    face: WallFace, fitted: FittedOpening, track: Track, path: KeyPath, ruler: Ruler
) -> Iterator[Problem]:
    key: KeyPath = (*path, "door", "track")
    slides, (start, end) = fitted.slides, face.u
    u0, u1 = slides[0].track_u[0], slides[-1].track_u[1]
    if u0 < start - TOLERANCE_MM or u1 > end + TOLERANCE_MM:
        yield Problem.at(
            key,
            f"is {ruler.at(u1 - u0)} long, twice what slides on it, and runs past the end of the "
            f"{face.plan.name} wall, which is {ruler.at(end - start)} long",
            "",
            other(*key, "to"),
            *_elsewhere(face, fitted.framed.table),
            less(*path, "width"),
            less(*path, "count"),
        )
        return
    _, low, _, board_top = slides[0].board
    if fitted.rail_v[1] > board_top + TOLERANCE_MM:
        room = track.lap + board_top - fitted.rail_v[1]
        yield Problem.at(
            (*key, "lap"),
            "lifts the track over its board",
            f"give {ruler.at_most(room)}" if room >= LEAST_LAP_MM else "",
            more(*key, "board"),
        )
    wheels = fitted.rail_v[1] + 2 * WHEEL_RADIUS_MM
    out = clad_at_mm(face, fitted) + fitted.track_out_mm
    before = (u0, low, u1, max(board_top, wheels))
    yield from _under_the_roof(face, before, out, key, fitted.framed.table, ruler)


def _casing(face: WallFace, run: CasedRun, ruler: Ruler) -> Iterator[Problem]:
    table = run.openings[0].framed.table
    path: KeyPath = ("opening", table)
    if not math.isfinite(sum(run.outer)):
        return
    scene = run.openings[0].scene
    stock, middle = (scene.lumber_stock(name) for name in (run.trim.board, run.between))
    if run.trim.between and len(run.openings) == 1:
        yield Problem.at(
            (*path, "trim", "between"),
            "covers nothing: the opening stands alone",
            "",
            without(*path, "trim", "between"),
        )
    for gap in between(run)[:1]:
        if gap > middle.depth_mm + TOLERANCE_MM:
            yield Problem.at(
                (*path, "trim", "between"),
                f"is {ruler.at(middle.depth_mm)} wide, and {ruler.at(gap)} are to be covered "
                "between two of the row",
                "",
                more(*path, "trim", "between"),
                other(*step_of(scene.opening[table], table)),
            )
    out = clad_at_mm(face, run.openings[0]) + stock.breadth_mm
    yield from _under_the_roof(face, run.outer, out, (*path, "trim"), table, ruler)
    alone = len(run.openings) == 1
    for what, _, (u0, v0, u1, v1) in run.boards:
        across = what in (Casing.HEAD, Casing.SILL)
        if alone or not across:
            long = u1 - u0 if across else v1 - v0
            shorter = less(*path, "width" if across else "height")
            yield from ruler.too_long((*path, "trim"), long, stock, shorter)


def _under_the_roof(
    face: WallFace, rect: Rect, out: float, path: KeyPath, table: int, ruler: Ruler
) -> Iterator[Problem]:
    """What stands out from the wall stays on it, clear of the roofs before it."""
    clear = clear_of_roofs(face, out).difference(bare_leg(face))
    higher = ("roof", "clerestory", "step") if face.foot_mm > 0 else None
    if not clear.buffer(TOLERANCE_MM).covers(box(*rect)):
        yield Problem.at(
            path,
            f"reaches up to {ruler.at(rect[3])} above the floor and "
            f"{ruler.at(rect[2] - rect[0])} along the {face.plan.name} wall, off its face or into "
            "a roof before it",
            "",
            less(*path[:2], "height"),
            *_elsewhere(face, table),
            other(*path[:2], "sill") if higher else less(*path[:2], "sill"),
            more(*(higher or walls_height(face.plan.datums.scene))),
        )


def _elsewhere(face: WallFace, table: int) -> tuple[Try, ...]:
    """Another place in a wall for an opening or its row."""
    opening = face.plan.datums.scene.opening[table]
    return elsewhere(opening, table, opening.lefts_mm(face.plan.length_mm)[0])


def _apart(face: WallFace, ruler: Ruler) -> Iterator[Problem]:
    """Casings and tracks' boards clear of one another and of other openings with their hinges."""
    taken: list[tuple[int, Rect]] = []
    for fitted in fitted_openings(face.plan):
        key = fitted.framed.table
        taken += [(key, one.board) for one in fitted.slides]
        taken.append((key, past_hinges(fitted) or fitted.framed.rough))
    taken += [(run.openings[0].framed.table, run.outer) for run in cased_runs(face.plan)]
    yield from _apart_in_a_row(fitted_openings(face.plan), ruler)
    told: set[tuple[int, int]] = set()
    for k, (one, a) in enumerate(taken):
        for other_one, b in taken[:k]:
            pair = (min(one, other_one), max(one, other_one))
            if one == other_one or pair in told:
                continue
            if overlap((a[0], a[2]), (b[0], b[2])) and overlap((a[1], a[3]), (b[1], b[3])):
                told.add(pair)
                scene, last = face.plan.datums.scene, max(one, other_one)
                yield Problem.at(
                    place_of(scene.opening[last], last),
                    "brings its trim, hinges or track into those of "
                    f'"{scene.opening[pair[0]].name}" in the {face.plan.name} wall',
                    "",
                    *_elsewhere(face, last),
                    less("opening", last, "trim", "board"),
                    less("opening", min(one, other_one), "trim", "board"),
                )


def _apart_in_a_row(openings: tuple[FittedOpening, ...], ruler: Ruler) -> Iterator[Problem]:
    """Tracks of a row clear of one another: each runs on past its opening by a leaf."""
    for one, after in itertools.pairwise(openings):
        if one.framed.table != after.framed.table or not one.track:
            continue
        near = one.slides[-1].track_u[1] - after.slides[0].track_u[0]
        if near > TOLERANCE_MM:
            opening = one.framed.opening
            yield Problem.at(
                step_of(opening, one.framed.table),
                "brings the track of one into that of the next",
                f"give {ruler.at_least((opening.apart or opening.every or 0.0) + near)}",
            )
            return
