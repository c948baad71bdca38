"""Steps and ramps up to doors, on gravel beside what lies there: all of them treated."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import assert_never

from shapely import box

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, bulk, profile, timber
from pikepole_model.geometry.outline import cut_out
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Polygon, rectangle
from pikepole_model.plan.bay_ground import FILLER_MM, bay_grounds
from pikepole_model.plan.beams import BeamLine
from pikepole_model.plan.framed import Rect
from pikepole_model.plan.ramp import RampPlan
from pikepole_model.plan.steps import GAP_MM, MARGIN_MM, StepsPlan, under_leg
from pikepole_model.plan.way_ground import blocks_there, gravel_there, slab_there

GROUP = "steps"


def build_steps(
    plans: Iterable[StepsPlan | RampPlan], lines: Iterable[BeamLine]
) -> Iterator[Piece]:
    """The gravel under each, and then its timber, door by door.

    Args:
        plans: The steps and ramps.
        lines: Every beam with its posts, whose footings the gravel stays clear of.
    """
    beams, laid = tuple(lines), list[Rect]()
    for plan in plans:
        bed = plan.on_ground(plan.long_mm, MARGIN_MM)
        yield from _bed(plan, bed, [*laid, *_in_bays(plan, beams)])
        laid.append(bed)
        match plan:
            case StepsPlan():
                yield from _steps(plan)
            case RampPlan():
                yield from _ramp(plan)
                yield _foot(plan, on_slab=_is_on_slab(plan, beams))
            case _:
                assert_never(plan)


def _in_bays(plan: StepsPlan | RampPlan, lines: tuple[BeamLine, ...]) -> Iterator[Rect]:
    """The ground and the footings of the bays, from above, mm."""
    for ground in bay_grounds(plan.datums, lines):
        yield (*ground.low, *ground.high)
    for line in lines:
        for post in line.posts:
            yield line.footing_from_above(post, FILLER_MM)


def _bed(plan: StepsPlan | RampPlan, bed: Rect, taken: list[Rect]) -> Iterator[Piece]:
    """Gravel up to finished ground, and on up to a slab that they stand on."""
    deep, taken = plan.says.gravel, [*taken, *slab_there(plan.datums)]
    layers = [(-deep, 0.0, [*taken, *gravel_there(plan.datums, deep)])]
    if plan.stands_mm:
        layers.append((0.0, plan.stands_mm, [*taken, *blocks_there(plan.datums)]))
    for low, high, holes in layers:
        for outline, inner in cut_out(box(*bed), [box(*rect) for rect in holes]):
            yield profile(
                f"{plan.name} steps gravel",
                Kind.GRAVEL,
                GROUP,
                bulk(plan.datums.scene, "gravel"),
                outline,
                Placement((0.0, 0.0, low)),
                high - low,
                holes=inner,
            )


def _steps(plan: StepsPlan) -> Iterator[Piece]:
    """Stringers with their legs, and the boards of each tread."""
    thick = plan.datums.scene.lumber_stock(plan.stringer).breadth_mm
    members = plan.members_u(thick)
    for u in members:
        grain = math.pi - plan.fall_rad
        outline, stretch = plan.outline, (u, u + thick)
        yield _across(plan, Kind.STRINGER, plan.stringer, outline, stretch, grain_rad=grain)
    if plan.leg:
        start, top = plan.leg
        wide = plan.datums.scene.lumber_stock(plan.leg_stock).depth_mm
        legs = [rectangle(start, 0.0, start + wide, top)]
        yield from _legs(plan, plan.leg_stock, members, thick, legs, [plan.outline])
    if plan.landing:
        outline, legs = plan.landing
        wide = plan.datums.scene.lumber_stock(plan.joist_stock).breadth_mm
        for u in plan.members_u(wide):
            yield _across(
                plan, Kind.STRINGER, plan.joist_stock, outline, (u, u + wide), grain_rad=math.pi
            )
        yield from _legs(plan, plan.leg_stock, plan.members_u(wide), wide, legs, [outline])
    deep, step = plan.board.depth_mm, plan.board.depth_mm + GAP_MM
    for head, top, boards in plan.treads:
        for number in range(boards):
            start = head + number * step + GAP_MM
            section = rectangle(start, top - plan.board.breadth_mm, start + deep, top)
            yield _across(plan, Kind.STEP_TREAD, plan.says.board, section, plan.u)


def _ramp(plan: RampPlan) -> Iterator[Piece]:
    """Joists with their legs, and boards across them."""
    thick = plan.joist.breadth_mm
    members, level = plan.members_u(thick), 1 if plan.landing_boards else 0
    for u in members:
        for number, outline in enumerate(plan.joists):
            grain = math.pi - (0.0 if number < level else plan.fall_rad)
            stretch = (u, u + thick)
            yield _across(plan, Kind.RAMP_JOIST, plan.says.joist, outline, stretch, grain_rad=grain)
    half = plan.leg_mm / 2
    legs = [rectangle(h - half, 0.0, h + half, plan.leg_top(h)) for h in plan.legs_h]
    yield from _legs(plan, plan.says.joist, members, thick, legs, plan.joists)
    for start, end in plan.level_boards:
        section = rectangle(start, plan.head_z - plan.board.breadth_mm, end, plan.head_z)
        yield _across(plan, Kind.RAMP_BOARD, plan.says.board, section, plan.u)
    for start, end in plan.boards:
        section = rectangle(start, -plan.board.breadth_mm, end, 0.0)
        yield _across(
            plan,
            Kind.RAMP_BOARD,
            plan.says.board,
            section,
            plan.u,
            down=plan.fall_rad,
            at=plan.top_z(0.0),
        )


def _foot(plan: RampPlan, *, on_slab: bool) -> Piece:
    """What wheels roll up on to its boards: gravel, or concrete on a slab."""
    low = plan.stands_mm - plan.datums.floor_mm
    place, (left, right) = plan.face.place, plan.u
    return profile(
        f"{plan.name} ramp {'toe' if on_slab else 'gravel'}",
        Kind.RAMP_TOE if on_slab else Kind.GRAVEL,
        GROUP,
        bulk(plan.datums.scene, "concrete" if on_slab else "gravel"),
        plan.toe if on_slab else plan.apron,
        Placement(place.point(right, low, plan.out_mm), place.n, place.v),
        right - left,
        length_along="n",
    )


def _is_on_slab(plan: RampPlan, lines: tuple[BeamLine, ...]) -> bool:
    """Whether it ends on the slab of a bay."""
    x0, y0, x1, y1 = plan.on_ground(plan.long_mm)
    return any(
        ground.low[0] <= x0
        and x1 <= ground.high[0]
        and ground.low[1] <= y0
        and y1 <= ground.high[1]
        for ground in bay_grounds(plan.datums, lines)
        if ground.says.kind == "slab"
    )


def _legs(
    plan: StepsPlan | RampPlan,
    stock: str,
    members: list[float],
    thick: float,
    outlines: list[Polygon],
    carried: Sequence[Polygon],
) -> Iterator[Piece]:
    """Beside each stringer or joist, inside; and one under it, so that it does not hang on nails.

    Args:
        plan: The steps or the ramp.
        stock: What they are cut from.
        members: Left edge of each stringer or joist along the wall, mm.
        thick: How thick those are, mm.
        outlines: Of the legs beside one, in (h, z), mm.
        carried: Of the stringer, or of each length of the joist.
    """
    wide = plan.datums.scene.lumber_stock(stock).breadth_mm
    under = [short for leg in outlines if (short := under_leg(leg, carried))]
    for u in members:
        is_last = u == members[-1]
        beside = u - wide if is_last else u + thick
        below = u if is_last else u + thick - wide
        for kind, start, legs in (
            (Kind.SUPPORT_LEG, beside, outlines),
            (Kind.BEARING_LEG, below, under),
        ):
            for outline in legs:
                stretch = (start, start + wide)
                yield _across(plan, kind, stock, outline, stretch, grain_rad=math.pi / 2)


def _across(
    plan: StepsPlan | RampPlan,
    kind: Kind,
    stock: str,
    outline: Polygon,
    u: tuple[float, float],
    *,
    grain_rad: float | None = None,
    down: float = 0.0,
    at: float = 0.0,
) -> Piece:
    """A piece drawn in (h, z); without a grain there it is drawn by its end section.

    Args:
        plan: The steps or the ramp.
        kind: What it is.
        stock: What it is cut from.
        outline: Its outline, mm.
        u: From and to along the wall, mm.
        grain_rad: Direction of its length in that plane, from h towards z.
        down: How far the plane is turned down out of the level.
        at: Height that it is turned at, mm.
    """
    # h outwards and z up make the plane; what is extruded from it runs to the left.
    face, low = plan.face, plan.stands_mm - plan.datums.floor_mm + at
    out, up = face.place.n, face.place.v
    if down:
        (nx, ny, _), cos, sin = out, math.cos(down), math.sin(down)
        out, up = (nx * cos, ny * cos, -sin), (nx * sin, ny * sin, cos)
    return profile(
        f"{plan.name} {kind}",
        kind,
        GROUP,
        timber(plan.datums.scene, stock, treated=True),
        outline,
        Placement(face.place.point(u[1], low, plan.out_mm), out, up),
        u[1] - u[0],
        grain_rad=grain_rad or 0.0,
        length_along="n" if grain_rad is None else "u",
    )
