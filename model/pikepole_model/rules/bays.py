"""What must hold for the beams, and for the posts and footings under them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from pikepole_model.errors import KeyPath, Problem, either, leave_out, less, more, other, without
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.bay_ground import FILLER_MM
from pikepole_model.plan.beams import STEM_MM, BeamLine, plan_beams
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.wall import WallPlan
from pikepole_model.rules.knee_braces import brace_problems
from pikepole_model.rules.places import fewer_posts, more_posts, on_footings, on_posts, posts_of
from pikepole_model.rules.ridge import highest_tie_mm, on_a_board
from pikepole_model.rules.ruler import Ruler, walls_height
from pikepole_model.scene.posts import Bay, InnerPosts, OnFootings, OnPosts
from pikepole_model.scene.schema import BuiltUp, Clerestory, Knee, RidgeBeam

# What holds a beam to a post reaches up it by this much at least: two rows of bolts in a notched
# post's tongue, one in a cap's leg. Common practice, no source.
LEAST_TONGUE_HEIGHT_MM, LEAST_CAP_HEIGHT_MM = 63.5, 25.0

# A post with room for its base below and its cap above. Common practice, no source.
LEAST_POST_MM = 304.8

# A cap's legs close on a beam that is thinner than its post by this much at most.
LOOSEST_CAP_MM = 12.7

# Concrete under the stem of a post base.
LEAST_COVER_MM = 25.4

# Wood left beside a notch that a beam sits in: 1-1/2 in, common practice, no source. A 4x4 is not
# notched for a beam (AWC DCA 6, from memory).
LEAST_TONGUE_MM = 38.0

# A bay is at least this wide: as `widths` in the schema, 600 mm.
LEAST_BAY_MM = 600.0


def bay_problems(roof: RoofPlan, plans: tuple[WallPlan, ...], ruler: Ruler) -> Iterator[Problem]:
    """What is wrong with the beams, the posts and their footings.

    Args:
        roof: Its plan.
        plans: Of the walls.
        ruler: For lengths in the messages.
    """
    datums, scene = roof.datums, roof.datums.scene
    if plans and datums.beam and datums.bearing_mm > datums.wall_mm + TOLERANCE_MM:
        yield Problem.at(
            ("beam", "plies"),
            f"makes the beam {ruler.at(datums.bearing_mm)} thick, and the wall under it is "
            f"{ruler.at(datums.wall_mm)}",
            "",
            less("beam", "plies"),
            more("walls", "stud"),
            without("beam", "on_walls"),
        )
    sizes = (
        datums.length_mm,
        datums.depth_mm,
        scene.roof.slope,
        scene.walls.spacing,
        roof.plate_top_mm("front"),
        *(size for bay in scene.bay for size in (bay.reach, bay.every or 0.0)),
        *([scene.posts.every] if scene.posts else []),
        *(width for _, says in on_posts(scene) for width in says.widths),
        *(scene.posts.rows if scene.posts else ()),
        *(framed.u[0] + framed.u[1] for plan in plans for framed in plan.openings),
    )
    if not all(math.isfinite(size) for size in sizes):
        return
    crowded = list(_rows(roof, ruler))
    if crowded:
        yield from crowded
        return
    lines = plan_beams(roof, plans)
    narrow = [one for table, says in on_posts(scene) for one in _widths(table, says, lines, ruler)]
    if narrow:
        yield from narrow
        return
    # The front and the back beam are as long, and one line says it.
    yield from {
        problem.path: problem for line in lines for problem in _spans(line, plans, ruler)
    }.values()
    for table, says in on_posts(scene):
        yield from _ground(table, says, on_posts(scene), ruler)
    for table, says in on_footings(scene):
        carried = [line for line in lines if any(post.says is says for post in line.posts)]
        yield from _posts(table, says, carried, roof, ruler)
        yield from _footings(table, says, carried, roof, ruler)
        yield from brace_problems(table, says, carried, ruler)


def _ply(beam: BuiltUp) -> KeyPath:
    """The key that says what a beam is built up from."""
    match beam:
        case RidgeBeam():
            return ("roof", "ridge", "ply")
        case Knee():
            return ("roof", "knee", "ply")
        case Clerestory():
            return ("roof", "clerestory", "ply")
        case _:
            return ("beam", "ply")


def _spans(line: BeamLine, plans: tuple[WallPlan, ...], ruler: Ruler) -> Iterator[Problem]:
    """Every ply reaches from one place where plies may meet to the next."""
    scene = line.roof.datums.scene
    stock = scene.lumber_stock(line.beam.ply)
    first, last = line.x
    if last - first <= line.longest_mm + TOLERANCE_MM:
        return
    places = [first, *line.inner_joints, last]
    start, end = max(itertools.pairwise(places), key=lambda ends: ends[1] - ends[0])
    path, mend = _ply(line.beam), ""
    post = next((post for post in line.posts if start <= post.x <= end), None)
    if post:
        table = next(table for table, says in on_footings(scene) if says is post.says)
        tries = [more_posts(post.says, table, len(line.posts)), more(*table, "post")]
        tries += [less(*table, "reach")] if isinstance(post.says, Bay) else []
    elif path[0] == "roof":
        tries = [less("building", "length")]
        could_lean = not (scene.roof.knee or line.posts) and highest_tie_mm(line.roof) >= 0.0
        if isinstance(line.beam, RidgeBeam) and could_lean:
            mend = on_a_board(line.beam)
    else:
        under = {
            framed.table for plan in plans for framed in plan.openings if plan.name == line.name
        }
        tries = [less("opening", k, "width") for k in sorted(under)]
    yield from ruler.too_long(path, end - start, stock, *tries, more(*path), mend=mend)


def _rows(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    """Rows of inner posts clear of one another and of the other beams."""
    posts, ridge = roof.datums.scene.posts, roof.datums.scene.roof.ridge
    if not posts or not posts.rows:
        return
    if ridge and ridge.kind == "board":
        yield Problem.at(
            ("posts", "rows"),
            "stands where the ties of a ridge board run",
            either(leave_out(("posts", "rows")), 'give roof.ridge.kind "beam"'),
        )
        return
    taken = [0.0, roof.datums.depth_mm, *(member.y for member in roof.level_members)]
    for k, row in enumerate(posts.rows):
        others = sorted([*taken, *posts.rows[:k]])
        nearest = min(others, key=lambda y: abs(y - row))
        if 0.0 < row < roof.datums.depth_mm and abs(nearest - row) >= LEAST_BAY_MM:
            continue
        low, high = max(itertools.pairwise(others), key=lambda ends: ends[1] - ends[0])
        yield Problem.at(
            ("posts", "rows", k),
            f"is nearer than {ruler.at(LEAST_BAY_MM)} to the next beam, or past the back one",
            either(
                ruler.between(low + LEAST_BAY_MM, high - LEAST_BAY_MM),
                leave_out(("posts", "rows")),
            ),
        )


def _widths(
    table: KeyPath, says: OnPosts, lines: tuple[BeamLine, ...], ruler: Ruler
) -> Iterator[Problem]:
    """Bays that leave one more at the end."""
    carried = [line for line in lines if any(post.says is says for post in line.posts)]
    if not says.widths or not carried:
        return
    count, places = len(says.widths), [post.x for post in carried[0].posts if post.says is says]
    left_mm = places[-1] - places[-2]
    if isinstance(says, Bay) and says.side == "left":
        left_mm = -left_mm
    if left_mm < LEAST_BAY_MM - TOLERANCE_MM:
        most = says.widths[-1] - LEAST_BAY_MM + left_mm
        yield Problem.at(
            (*table, "widths", count - 1),
            f"leaves {ruler.at(max(0.0, left_mm))} for the last bay, and "
            f"{ruler.at(LEAST_BAY_MM)} is the least",
            either(
                f"give {ruler.at_most(most)}" if most >= LEAST_BAY_MM else "",
                leave_out((*table, "widths")),
            ),
        )


def _ground(
    table: KeyPath, says: OnPosts, others: list[tuple[KeyPath, OnPosts]], ruler: Ruler
) -> Iterator[Problem]:
    """A slab under the feet of all post bases, those of the next bay too, and in the ground."""
    ground = says.ground
    if not ground or ground.kind != "slab":
        return
    footings = min(other.footing.above_ground for _, other in others)
    most = min(footings, ground.thickness)
    if ground.above_ground > most + TOLERANCE_MM:
        wrong = "lifts the slab off the ground"
        if most < ground.thickness:
            wrong = f"lifts the slab over footings {ruler.at(most)} above ground"
        mend = f"give {ruler.at_most(most)}"
        yield Problem.at((*table, "ground", "above_ground"), wrong, mend)


def _posts(
    table: KeyPath, says: OnFootings, carried: list[BeamLine], roof: RoofPlan, ruler: Ruler
) -> Iterator[Problem]:
    """Posts that can take their beams, and that a post can be cut for."""
    scene = roof.datums.scene
    post = scene.lumber_stock(says.post)
    # The roof's ridge may lie on the posts beside the beams of its eaves.
    thickest = max(carried, key=lambda line: line.width_mm, default=None)
    widest = thickest.width_mm if thickest else 0.0
    beam = _ply(thickest.beam)[:-1] if thickest else ("beam",)
    if says.seat == "notch" and widest + LEAST_TONGUE_MM > post.depth_mm + TOLERANCE_MM:
        yield Problem.at(
            (*table, "post"),
            f"is too thin to be notched for a beam {ruler.at(widest)} thick: "
            f"{ruler.at(max(0.0, post.depth_mm - widest))} is left of it, and "
            f"{ruler.at(LEAST_TONGUE_MM)} is the least",
            "",
            more(*table, "post"),
            other(*table, "seat"),
            less(*beam, "plies"),
        )
    if says.seat == "cap" and not (
        widest - TOLERANCE_MM <= post.depth_mm <= widest + LOOSEST_CAP_MM + TOLERANCE_MM
    ):
        than = "thinner" if post.depth_mm < widest else "so much deeper"
        yield Problem.at(
            (*table, "post"),
            f"is {than} than the beam it carries, which is {ruler.at(widest)}, that a cap "
            "cannot hold it",
            "",
            other(*table, "post"),
            other(*table, "seat"),
            other(*beam, "plies"),
        )
    least = LEAST_TONGUE_HEIGHT_MM if says.seat == "notch" else LEAST_CAP_HEIGHT_MM
    sides = (post.depth_mm,) if says.seat == "notch" else (0.0, post.depth_mm)
    shallow = next((line for line in carried if line.up_the_beam_mm(*sides) < least), None)
    if shallow:
        yield Problem.at(
            (*table, "seat"),
            "leaves no room under the rafters to hold the beam to its post",
            "",
            more(*_ply(shallow.beam)),
            other(*table, "seat"),
            less("roof", "slope"),
        )
    tops = [
        line.low_mm + (line.up_the_beam_mm(post.depth_mm) if says.seat == "notch" else 0.0)
        for line in carried
    ]
    foot = _base_mm(says, carried)
    longest = max(tops, default=0.0) - foot
    yield from ruler.too_long(
        (*table, "post"),
        longest,
        post,
        less(*walls_height(scene)),
        other(*table, "post"),
    )
    for line in carried:
        if line.low_mm - foot < LEAST_POST_MM:
            yield Problem.at(
                (*table, "reach") if isinstance(says, Bay) else walls_height(scene),
                f"brings the {line.name} beam down to {ruler.at(line.low_mm)} above the ground",
                "",
                less(*table, "reach"),
                less(*table, "slope"),
                less("roof", "slope"),
                more(*walls_height(scene)),
            )


def _base_mm(says: OnFootings, carried: list[BeamLine]) -> float:
    """What the bases of posts stand on, mm above ground."""
    return next((one.base_mm for line in carried for one in line.posts if one.says is says), 0.0)


def _footings(
    table: KeyPath, says: OnFootings, carried: list[BeamLine], roof: RoofPlan, ruler: Ruler
) -> Iterator[Problem]:
    """Footings clear of the gravel under the store, and of each other."""
    datums = roof.datums
    scene, margin = datums.scene, datums.gravel_past_mm
    post, footing = scene.lumber_stock(says.post), says.footing
    centres = [
        (one.x, line.middle_y(one)) for line in carried for one in line.posts if one.says is says
    ]
    if isinstance(says, InnerPosts):
        yield from _clear_of_the_edge(table, says, centres, roof, ruler)
    for x, y in () if scene.posts or isinstance(says, InnerPosts) else centres:
        past = math.hypot(max(-x, 0.0, x - datums.length_mm), max(-y, 0.0, y - datums.depth_mm))
        if past - footing.diameter / 2 < margin:
            yield Problem.at(
                posts_of(says, table),
                "puts a footing into the gravel under the store, which reaches "
                f"{ruler.at(margin)} past it",
                "",
                fewer_posts(says, table),
                less("foundation", "gravel_margin"),
                less(*table, "footing", "diameter"),
                more(*table, "reach"),
            )
            break
    if math.hypot(post.breadth_mm, post.depth_mm) > footing.diameter + TOLERANCE_MM:
        yield Problem.at(
            (*table, "footing", "diameter"),
            "is narrower than its post from corner to corner",
            f"give {ruler.at_least(math.hypot(post.breadth_mm, post.depth_mm))}",
        )
    base = _base_mm(says, carried)
    if footing.depth + base < STEM_MM + LEAST_COVER_MM - TOLERANCE_MM:
        yield Problem.at(
            (*table, "footing", "depth"),
            f"is too shallow for the stem of the post base, {ruler.at(STEM_MM)} long",
            f"give {ruler.at_least(STEM_MM + LEAST_COVER_MM - base)}",
        )
    apart = [math.dist(a, b) for a, b in itertools.combinations(centres, 2)]
    nearest = min(apart, default=math.inf)
    on_ground = isinstance(says, OnPosts) and says.ground
    least = footing.diameter + (2 * FILLER_MM if on_ground else 0.0)
    if nearest < least - TOLERANCE_MM:
        wrong = "puts the footings into each other"
        if nearest >= footing.diameter:
            wrong = f"leaves {ruler.at(nearest)} from footing to footing, and with what lies "
            wrong += f"between them {ruler.at(least)} is the least"
        yield Problem.at(
            posts_of(says, table),
            wrong,
            "",
            fewer_posts(says, table),
            less(*table, "footing", "diameter"),
            more(*table, "reach"),
        )


def _clear_of_the_edge(
    table: KeyPath,
    says: InnerPosts,
    centres: list[tuple[float, float]],
    roof: RoofPlan,
    ruler: Ruler,
) -> Iterator[Problem]:
    """Footings under a slab, inside its thickened edge."""
    datums, pad = roof.datums, roof.datums.scene.floor_pad
    if not pad:
        return
    edge = pad.edge_in_mm - pad.margin
    length, depth = datums.length_mm, datums.depth_mm
    nearest = min((min(x, length - x, y, depth - y) for x, y in centres), default=math.inf)
    over = edge + says.footing.diameter / 2 - nearest
    if over > TOLERANCE_MM:
        yield Problem.at(
            (*table, "footing", "diameter"),
            f"reaches {ruler.at(over)} into the slab's thickened edge",
            "",
            less(*table, "footing", "diameter"),
            less(*table, "count"),
            less("foundation", "edge_width"),
        )
