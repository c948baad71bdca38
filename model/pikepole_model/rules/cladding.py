"""What must hold for wall cladding: room on its wall, boards that cover what they should."""

from __future__ import annotations

import json
from collections.abc import Iterator

from pikepole_model.errors import KeyPath, Problem, either, leave_out, less, more, other, without
from pikepole_model.geometry.outline import LEAST_PIECE_MM
from pikepole_model.geometry.spacing import SHEET_GAP_MM, TOLERANCE_MM, overlap
from pikepole_model.plan.cladding import CladdingPlan
from pikepole_model.plan.faces import CLEAR_OF_RAFTERS_MM, WallFace
from pikepole_model.plan.facings import batten_size, strip_mm, tables_on, u_of, v_of
from pikepole_model.rules.ruler import Ruler
from pikepole_model.scene.envelope import Battens, Boards
from pikepole_model.scene.schema import Scene

# A batten lies on the board at each side of its gap by at least 1/2 in: common practice, no source.
LEAST_COVER_MM = 12.7

# A corner board is nailed to the frame beside the corner: 3/4 in, common practice, no source.
LEAST_NAILED_MM = 19.05


def cladding_problems(scene: Scene, faces: tuple[WallFace, ...], ruler: Ruler) -> Iterator[Problem]:
    """What is wrong with a scene's cladding.

    Args:
        scene: What was written.
        faces: Of the walls.
        ruler: For lengths in the messages.
    """
    for k, table in enumerate(scene.cladding):
        path: KeyPath = ("cladding", k)
        if isinstance(table, Battens):
            yield from _battens(scene, table, path, ruler)
        else:
            yield from _boards(scene, table, path, ruler)
        if table.corner:
            corner = scene.lumber_stock(table.corner)
            if corner.depth_mm - corner.breadth_mm < 2 * LEAST_PIECE_MM:
                yield Problem.at(
                    (*path, "corner"),
                    "leaves nothing of the board that the other one laps",
                    "",
                    more(*path, "corner"),
                )
        for face in faces:
            if table in tables_on(scene, face):
                yield from _room(face, table, path, ruler)
    yield from _claimed_twice(scene, faces)
    plan = CladdingPlan(scene, faces)
    yield from _off_the_frame(plan, ruler)
    yield from _parted(plan, ruler)
    yield from _under_the_rake(plan, ruler)


def _battens(scene: Scene, table: Battens, path: KeyPath, ruler: Ruler) -> Iterator[Problem]:
    wide = batten_size(scene, table).width
    ripped = table.batten_sheet is not None
    narrower, wider = (
        (more(*path, "batten_strips"), less(*path, "batten_strips"))
        if ripped
        else (less(*path, "batten"), more(*path, "batten"))
    )
    if wide < table.gap + 2 * LEAST_COVER_MM - TOLERANCE_MM:
        yield Problem.at(
            wider.path,
            f"makes battens {ruler.at(max(wide, 0.0))} wide, which must cover a gap of "
            f"{ruler.at(table.gap)} and {ruler.at(LEAST_COVER_MM)} of the board at each side",
            "",
            wider,
            less(*path, "gap"),
        )
    if not table.sheet:
        return
    strip = strip_mm(scene, table, scene.sheet_stock(table.sheet), table.strips)
    if strip < wide:
        yield Problem.at(
            (*path, "strips"),
            f"makes them {ruler.at(max(strip, 0.0))} wide, less than the battens",
            "",
            less(*path, "strips"),
            narrower,
        )


def _boards(scene: Scene, table: Boards, path: KeyPath, ruler: Ruler) -> Iterator[Problem]:
    stock = scene.lumber_stock(table.board)
    width = stock.depth_mm
    if table.planed is not None and table.planed > stock.breadth_mm + TOLERANCE_MM:
        yield Problem.at(
            (*path, "planed"),
            f"is more than the board is thick, {ruler.at(stock.breadth_mm)}",
            either(f"give {ruler.at_most(stock.breadth_mm)}", leave_out((*path, "planed"))),
        )
    if table.profile == "shiplap" and table.lap > width / 4 + TOLERANCE_MM:
        yield Problem.at(
            (*path, "lap"),
            f"takes more than half of a board {ruler.at(width)} wide for its two rabbets",
            f"give {ruler.at_most(width / 4)}",
        )


def _room(
    face: WallFace, table: Battens | Boards, path: KeyPath, ruler: Ruler
) -> Iterator[Problem]:
    wall, (start, end) = face.plan, u_of(table, face)
    if table.from_left > wall.length_mm - LEAST_PIECE_MM + TOLERANCE_MM:
        yield Problem.at(
            (*path, "from_left"),
            f"is past the end of the {wall.name} wall, which is {ruler.at(wall.length_mm)} long",
            f"give {ruler.at_most(wall.length_mm - LEAST_PIECE_MM)}",
        )
    elif end - start < LEAST_PIECE_MM:
        yield Problem.at((*path, "width"), "is too narrow for a board", "", more(*path, "width"))
    highest = max(height for _, height in wall.top_line)
    if table.above is not None and table.above > highest - LEAST_PIECE_MM + TOLERANCE_MM:
        yield Problem.at(
            (*path, "above"),
            f"is over the {wall.name} wall, which is {ruler.at(highest)} high",
            f"give {ruler.at_most(highest - LEAST_PIECE_MM)}",
        )
    low, high = v_of(table, face)
    if high < low + LEAST_PIECE_MM - TOLERANCE_MM:
        yield Problem.at(
            (*path, "below"),
            f"is less than a board over its foot, which is {ruler.at(low)} over the floor",
            f"give {ruler.at_least(low + LEAST_PIECE_MM)}" if table.below is not None else "",
            less(*path, "above_ground"),
            less(*path, "above"),
        )


def _off_the_frame(plan: CladdingPlan, ruler: Ruler) -> Iterator[Problem]:
    """Corner boards that end before the frame's corner, as what covers the side wall is thick."""
    for corner in plan.corners if plan.faces else ():
        table = corner.front or corner.beside
        if corner.boards is None or table is None or corner.is_step:
            continue
        if corner.boards.lapped_mm < 2 * LEAST_PIECE_MM:
            continue  # refused already
        outer, inner = corner.board_u(corner.through)
        if inner > TOLERANCE_MM - LEAST_NAILED_MM:
            k, side = plan.scene.cladding.index(table), corner.side.plan.name
            yield Problem.at(
                ("cladding", k, "corner"),
                f"covers the {side} wall's edge and laps the corner of the frame by less than "
                f"{ruler.at(LEAST_NAILED_MM)}",
                f"give a board at least {ruler.at_least(outer + LEAST_NAILED_MM)} wide",
                more("cladding", k, "corner"),
                without("walls", side, "girts"),
                less("walls", side, "girt"),
            )
            return


def _parted(plan: CladdingPlan, ruler: Ruler) -> Iterator[Problem]:
    """Joint boards too near to corner boards, or to one another, for cladding between them."""
    least = LEAST_PIECE_MM + 2 * SHEET_GAP_MM
    for face in plan.faces:
        joints = [area.bounds for _, area in plan.joints(face)]
        others = list(joints)
        for corner in plan.corners:
            if corner.boards and face in (corner.through, corner.side):
                u = sorted(corner.past(face, out) for out in corner.board_u(face))
                others.append((u[0], corner.v[0], u[1], corner.v[1]))
        for u0, v0, u1, v1 in joints:
            rooms = [
                max(u0, a) - min(u1, b)
                for a, low, b, high in others
                if (a, low, b, high) != (u0, v0, u1, v1) and overlap((v0, v1), (low, high))
            ]
            if min(rooms, default=least) > least - TOLERANCE_MM:
                continue
            k = next(
                k
                for k, table in enumerate(plan.scene.cladding)
                if face.plan.faces in table.walls
                and abs(table.from_left - (u0 + u1) / 2) < TOLERANCE_MM
            )
            yield Problem.at(
                ("cladding", k, "from_left"),
                f"puts the board between two claddings of the {face.plan.name} wall within "
                f"{ruler.at(least)} of another upright board",
                "",
                other("cladding", k, "from_left"),
                without("cladding", k, "from_left"),
            )


def _under_the_rake(plan: CladdingPlan, ruler: Ruler) -> Iterator[Problem]:
    """Fly rafters that hang out past the cladding of the end walls."""
    roof = plan.scene.roof
    for face in plan.faces:
        fly = roof.fly_rafter or face.roof.slopes[0].end_rafter
        past = face.sheet_mm + plan.out_mm + CLEAR_OF_RAFTERS_MM
        least = past + plan.scene.lumber_stock(fly).breadth_mm
        bare = face.plan.runs_through or face.plan.datums.bay_at(face.plan.name)
        clad = plan.tables(face) or plan.corner_boards(face)
        if not bare and clad and 0 < roof.rake_overhang < least - TOLERANCE_MM:
            yield Problem.at(
                ("roof", "rake_overhang"),
                f"brings the fly rafter into the cladding of the {face.plan.name} wall",
                either(f"give {ruler.at_least(least)}", 'give "0 in"'),
            )
            return


def without_wall(table: Battens | Boards, name: str, k: int) -> str:
    """The mend for a table that covers a wall too many."""
    left = [wall for wall in table.walls if wall != name]
    return f"give {json.dumps(left)}" if left else leave_out(("cladding", k))


def _claimed_twice(scene: Scene, faces: tuple[WallFace, ...]) -> Iterator[Problem]:
    """Two tables that both cover a place."""
    for k, table in enumerate(scene.cladding):
        for j, before in enumerate(scene.cladding[:k]):
            for face in faces:
                on_it = tables_on(scene, face)
                if table not in on_it or before not in on_it:
                    continue
                ours, theirs = u_of(table, face), u_of(before, face)
                up, down = v_of(table, face), v_of(before, face)
                if overlap(ours, theirs) and overlap(up, down):
                    yield Problem.at(
                        ("cladding", k, "walls"),
                        f"covers a part of the {face.plan.name} wall that cladding[{j + 1}] "
                        "covers too",
                        without_wall(table, face.plan.name, k),
                    )
                    break
