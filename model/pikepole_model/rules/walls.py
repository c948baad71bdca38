"""What must hold for each wall's own table: room for posts, header and braces; what goes on it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from pikepole_model.errors import (
    KeyPath,
    Problem,
    Try,
    either,
    key_text,
    leave_out,
    less,
    more,
    other,
    without,
)
from pikepole_model.geometry.spacing import TOLERANCE_MM, overlap
from pikepole_model.plan.braces import brace_stock, let_in_braces
from pikepole_model.plan.framed import Framed, within
from pikepole_model.plan.open_wall import OpenPart
from pikepole_model.plan.wall import WallPlan
from pikepole_model.plan.walls import WALLS
from pikepole_model.rules.cladding import without_wall
from pikepole_model.rules.headers import Spanned, header_problems
from pikepole_model.rules.places import elsewhere, place_of
from pikepole_model.rules.ruler import Ruler
from pikepole_model.scene.openings import Opening
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.types import Wall
from pikepole_model.scene.walls import BracedWall, OpenWall, SheetedWall, SlattedWall, WallKind

# A notch takes at most this much of the depth of a stud that carries. Source: IRC R602.6, item 1.
LEAST_LEFT = 0.75

# What a let-in brace leaves of a girt between the studs, 1/2 in. Common practice, no source.
LEAST_BEHIND_MM = 12.7

# What is open of a wall is at least as high as this, 1 ft: less is no opening. Assumed.
LEAST_OPEN_MM = 304.8


def wall_key_problems(scene: Scene) -> Iterator[Problem]:
    """What contradicts itself between the walls and what goes into and on them."""
    kinds: dict[Wall, WallKind] = {wall: scene.walls.kind_of(wall) for wall in WALLS}
    half = {w for w, k in kinds.items() if not isinstance(k, OpenWall) and k.height is not None}
    for k, opening in enumerate(scene.opening):
        path: KeyPath = ("opening", k, "wall")
        if isinstance(scene.walls.kind_of(opening.wall), OpenWall):
            out = leave_out(("walls", opening.wall))
            yield Problem.at(path, "is open: nothing holds an opening there", out, other(*path))
        elif opening.wall in half:
            yield from _in_half_wall(k, opening)
    for k, bay in enumerate(scene.bay):
        if bay.roof == "ledger" and not (
            isinstance(kinds[bay.side], SheetedWall) and bay.side not in half
        ):
            yield Problem.at(
                ("bay", k, "roof"),
                "hangs on a ledger, which needs a whole wall with sheets behind it",
                either('give "runs on"', leave_out(("walls", bay.side))),
            )
    yield from _covers(scene, kinds)


def _in_half_wall(k: int, opening: Opening) -> Iterator[Problem]:
    """A half wall has gaps to go through, and nothing over them that a frame could hang on."""
    path: KeyPath = ("opening", k)
    whole = leave_out(("walls", opening.wall, "height"))
    if opening.kind == "window":
        wrong = "is a half wall, open above it, where a window has no head"
        yield Problem.at((*path, "wall"), wrong, whole, other(*path, "wall"))
        return
    for key in ("door", "trim", "header"):
        if getattr(opening, key) is not None:
            wrong = "needs a head, and a half wall is open above its gap"
            yield Problem.at((*path, key), wrong, either(leave_out((*path, key)), whole))


def _covers(scene: Scene, kinds: dict[Wall, WallKind]) -> Iterator[Problem]:
    """Wrap and cladding where there is nothing for them to lie on."""
    closed = [wall for wall, kind in kinds.items() if isinstance(kind, SheetedWall | BracedWall)]
    tables: list[KeyPath] = [("cladding", k) for k in range(len(scene.cladding))]
    for path in [] if closed else [("wrap",)] * (scene.wrap is not None) + tables:
        wrong = "has no wall to cover: all are open or slatted"
        yield Problem.at(path, wrong, leave_out(path))
    for k, table in enumerate(scene.cladding if closed else ()):
        path: KeyPath = ("cladding", k, "walls")
        for wall in table.walls:
            mend = either(without_wall(table, wall, k), leave_out(("walls", wall)))
            if wall not in closed and "walls" in table.model_fields_set:
                what = "open" if isinstance(kinds[wall], OpenWall) else "slatted"
                yield Problem.at(path, f"covers the {wall} wall, which is {what}", mend)


def wall_problems(plan: WallPlan, ruler: Ruler) -> Iterator[Problem]:
    """What of one wall has no room: the posts and the header of its open part, its braces."""
    if plan.open_part:
        yield from _open_part(plan, plan.open_part, ruler)
    if isinstance(plan.kind, SlattedWall) and plan.kind.girts:
        yield from _girts(plan, plan.kind, ruler)
    if not plan.open_part and (stock := brace_stock(plan)):
        path: KeyPath = ("walls", plan.name, "brace")
        deep = (1 - LEAST_LEFT) * plan.datums.wall_mm
        known = math.isfinite(plan.length_mm + sum(v for _, v in plan.top_line))
        if stock.breadth_mm > deep + TOLERANCE_MM:
            yield Problem.at(
                path,
                f"takes more of the studs than a quarter of their depth, {ruler.at(deep)} "
                "(IRC R602.6)",
                'give "none"',
                less(*path),
            )
        elif known and not let_in_braces(plan):
            tables = dict.fromkeys(framed.table for framed in plan.openings)
            beside = " beside its openings" if tables else ""
            yield Problem.at(
                path,
                f"finds no room in the {plan.name} wall at 45 to 60 degrees{beside}",
                'give "none"',
                *(other("opening", k, "from_left") for k in tables),
                more("building", "length" if plan.runs_through else "depth"),
            )


def _girts(plan: WallPlan, kind: SlattedWall, ruler: Ruler) -> Iterator[Problem]:
    """Girts that lie one on the other, or stand out of the wall that they are in."""
    path: KeyPath = ("walls", plan.name)
    stock, room = plan.datums.scene.lumber_stock(kind.girt), plan.datums.wall_mm
    if kind.girts == "between" and stock.breadth_mm > room + TOLERANCE_MM:
        yield Problem.at(
            (*path, "girt"), f"is thicker than the wall, {ruler.at(room)}", "", less(*path, "girt")
        )
    elif kind.girts == "between" and (brace := brace_stock(plan)):
        least = brace.breadth_mm + LEAST_BEHIND_MM
        if stock.breadth_mm < least - TOLERANCE_MM:
            yield Problem.at(
                (*path, "girt"),
                f"leaves less than {ruler.at(LEAST_BEHIND_MM)} of it behind the let-in brace that "
                f"crosses it, {ruler.at(brace.breadth_mm)} thick",
                f'give {key_text((*path, "brace"))} "none"',
                more(*path, "girt"),
            )
    if kind.girt_spacing < 2 * stock.depth_mm - TOLERANCE_MM:
        yield Problem.at(
            (*path, "girt_spacing"),
            f"is less than twice the width of a girt, {ruler.at(stock.depth_mm)}",
            f"give {ruler.at_least(2 * stock.depth_mm)}",
            less(*path, "girt"),
        )


def gap_problems(plan: WallPlan, part: OpenPart, ruler: Ruler) -> Iterator[Problem]:
    """What is wrong with the gaps through a half wall: each as high as it, and clear of posts."""
    least = 2 * plan.datums.breadth_mm
    # A window there has its own line in the report.
    gaps = [one for one in reversed(plan.openings) if one.opening.kind == "door"]
    for framed in {one.table: one for one in gaps}.values():
        path: KeyPath = ("opening", framed.table)
        if framed.opening.height < part.from_mm - TOLERANCE_MM:
            yield Problem.at(
                (*path, "height"),
                f"is less than the half wall, which is {ruler.at(part.from_mm)} high, and nothing "
                "lies over a gap in it",
                f"give {ruler.at_least(part.from_mm)}",
            )
        row = [one.u for one in plan.openings if one.table == framed.table]
        others = [one.u for one in plan.openings if one.table != framed.table]
        inside = (part.posts[0][1], part.posts[-1][0])
        in_posts = any(overlap(u, post) for u in row for post in part.posts)
        if in_posts or any(overlap(u, one) for u in row for one in others):
            what = "a post" if in_posts else "another gap"
            yield _elsewhere(plan, framed, f"meets {what} of the {plan.name} wall")
        elif not all(within(u, inside) for u in row):
            yield _elsewhere(plan, framed, f"is past the end post of the {plan.name} wall")
        elif any(TOLERANCE_MM < room < least - TOLERANCE_MM for room in _rooms(part)):
            beside = f"leaves less than two studs, {ruler.at(least)}, of half wall beside it"
            yield _elsewhere(plan, framed, beside)


def _rooms(part: OpenPart) -> list[float]:
    """What is left between the posts and gaps of a half wall, mm."""
    stops = sorted((*part.posts, *part.gaps))
    return [right[0] - left[1] for left, right in itertools.pairwise(stops)]


def _elsewhere(plan: WallPlan, framed: Framed, wrong: str) -> Problem:
    """A gap that finds no room where it is."""
    path: KeyPath = ("opening", framed.table)
    left = next(one.left for one in plan.openings if one.table == framed.table)
    return Problem.at(
        place_of(framed.opening, framed.table),
        wrong,
        "",
        *elsewhere(framed.opening, framed.table, left),
        less(*path, "width"),
        less("walls", plan.name, "posts"),
        other(*path, "wall"),
    )


def _open_part(plan: WallPlan, part: OpenPart, ruler: Ruler) -> Iterator[Problem]:
    scene, path = plan.datums.scene, ("walls", plan.name)
    post, header = scene.lumber_stock(part.post), scene.lumber_stock(part.header)
    is_open = isinstance(plan.kind, OpenWall)
    if plan.pockets:
        yield Problem.at(
            (*path, "kind" if is_open else "height"),
            f"leaves nothing under the {plan.pockets[0].name} to stand on",
            leave_out(path if is_open else (*path, "height")),
        )
    across = part.across[1] - part.across[0]
    if across > plan.datums.wall_mm + TOLERANCE_MM:
        yield Problem.at(
            (*path, "post"),
            f"is thicker than the wall, which is {ruler.at(plan.datums.wall_mm)}",
            leave_out((*path, "post")),
            less(*path, "post"),
        )
    ends = [plan.stud_head(u) for u in plan.framed]
    slope = max(rake.plumb(1.0) for rake in plan.rakes)
    yield from ruler.too_long(
        (*path, "post"), max(ends) - slope * part.header_mm, post, other(*path, "post")
    )
    room = min(ends) - slope * part.header_mm
    if not is_open and room - part.from_mm < LEAST_OPEN_MM - TOLERANCE_MM:
        yield Problem.at(
            (*path, "height"),
            f"leaves less than {ruler.at(LEAST_OPEN_MM)} open under the header, which is "
            f"{ruler.at(room)} over the floor",
            either(
                f"give {ruler.at_most(room - LEAST_OPEN_MM)}" if room > 2 * LEAST_OPEN_MM else "",
                leave_out((*path, "height")),
            ),
        )
    elif room < LEAST_OPEN_MM - TOLERANCE_MM:
        yield Problem.at(
            (*path, "header"),
            f"leaves less than {ruler.at(LEAST_OPEN_MM)} open under it",
            "",
            less(*path, "header"),
            more("walls", "low_height"),
        )
    clear = part.posts[1][0] - part.posts[0][1]
    apart = clear + part.posts[0][1] - part.posts[0][0]
    if clear < LEAST_OPEN_MM - TOLERANCE_MM:
        yield Problem.at(
            (*path, "posts"),
            f"stand less than {ruler.at(LEAST_OPEN_MM)} apart",
            "",
            less(*path, "posts"),
            without(*path, "posts"),
        )
    elif apart > header.longest_mm / 2:
        yield Problem.at(
            (*path, "posts"),
            f"stand {ruler.at(apart)} apart, and the longest {header.name} is "
            f"{ruler.at(header.longest_mm)}: its lengths could not lie over two of them",
            "",
            more(*path, "posts"),
            without(*path, "posts"),
        )
    else:
        more_posts = Try((*path, "posts"), "more", len(part.posts))
        spanned = Spanned(part.header, clear, plan.kind.header, path, "posts", more_posts)
        yield from header_problems(plan, spanned, ruler)
