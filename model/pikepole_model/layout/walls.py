"""Wall framing: plates, studs, and the sticks round every opening."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import shapely
from shapely import Polygon as Area
from shapely import box
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, Source, anchor_steel, profile, timber
from pikepole_model.building.sequence import CLOSED_GAPS
from pikepole_model.geometry.outline import ring
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Circle, rectangle
from pikepole_model.geometry.spacing import (
    LEAST_STICK_MM,
    STAGGER_MM,
    TOLERANCE_MM,
    joints_of,
    overlap,
    splice,
)
from pikepole_model.layout.braces import brace_frame
from pikepole_model.layout.wall_blocks import block_wall
from pikepole_model.layout.wall_headers import over_opening, over_posts, studs_of
from pikepole_model.plan.anchor_bolts import (
    DRILLED_OVER_MM,
    NUT_WIDTHS,
    WASHER_THICKNESS_MM,
    washer_mm,
)
from pikepole_model.plan.bottom_plate import bolts_inwards_mm, bottom_plates
from pikepole_model.plan.framed import Framed, Rake, Upright
from pikepole_model.plan.standing import (
    closed_gaps,
    end_studs,
    filling,
    goes_through,
    is_narrow,
)
from pikepole_model.plan.wall import WallPlan
from pikepole_model.scene.walls import SlattedWall

# Further than any wall is high, mm.
PAST_MM = 100_000.0


def frame_wall(plan: WallPlan) -> list[Piece]:
    """Every stick of one wall, nailed together: bottom plate, uprights, openings, top plates."""
    return brace_frame(
        plan,
        [
            *_bottom_plates(plan),
            *(_upright(plan, upright) for upright in plan.uprights),
            *(piece for framed in plan.openings for piece in _opening(plan, framed)),
            *over_posts(plan),
            *_top_plates(plan),
            *block_wall(plan),
            *_nuts(plan),
        ],
    )


def close_wall(plan: WallPlan) -> list[Piece]:
    """What closes a wall where something was taken away from its studs: plates, and studs between.

    Each stands against the stud that was beside it, and so has something to be nailed to. A narrow
    gap is filled with studs alone.
    """
    across, foot = (-plan.datums.wall_mm, 0.0), (plan.foot_mm + plan.datums.breadth_mm, None)
    label, breadth = f"{plan.group} stud", plan.datums.breadth_mm
    closed = closed_gaps(plan.datums, plan.framed, plan.parted_by)
    narrow = [u for u in closed if is_narrow(u, breadth)]
    wide = [u for u in closed if u not in narrow]
    filled = shapely.union_all([box(u[0], -PAST_MM, u[1], PAST_MM) for u in narrow])
    pieces = [
        *(
            _bottom_plate(plan, u, ())
            for u in wide
            if not any(overlap(u, plate.u) for plate in bottom_plates(plan))
        ),
        *(
            _upright(plan, Upright(Kind.STUD, label, u, foot, across))
            for u in end_studs(wide, breadth)
        ),
        *(_upright(plan, stud) for gap in narrow for stud in _filling(plan, gap)),
        *(
            _top_plate(plan, name, rake, part)
            for name, rake, band in _plate_bands(plan)
            for part in _sticks(
                band.difference(_parting(plan).difference(_closed(plan)))
                if name == "upper" and _is_capped_late(plan)
                else band.intersection(_parting(plan))
                .intersection(_closed(plan))
                .difference(filled)
            )
        ),
    ]
    return [replace(piece, group=CLOSED_GAPS) for piece in pieces]


def _filling(plan: WallPlan, gap: tuple[float, float]) -> Iterator[Upright]:
    """The studs side by side of a narrow gap, up to the plate that passes over it.

    They go down into the floor frame where what stood there went through it, onto the skid or
    girder under it or level with the joists that they are nailed to: no hole is left in the rim.
    """
    datums = plan.datums
    foot, bearer = plan.foot_mm, -datums.deck_mm - datums.joist_mm
    if any(overlap(gap, plate.u) for plate in bottom_plates(plan)):
        foot += datums.breadth_mm
    elif goes_through(plan.parted_by, gap, bearer, datums.wall_mm):
        floor = datums.scene.floor
        dry = datums.least_over_ground_mm - datums.floor_mm
        foot = min(foot, bearer if floor and floor.treated else max(bearer, dry))
    parted = _parting(plan).intersects(box(gap[0] + 1.0, 0.0, gap[1] - 1.0, 1.0))
    over = -datums.breadth_mm if parted else 0.0
    for u in filling(gap, datums.breadth_mm):
        yield Upright(
            Kind.STUD,
            f"{plan.group} stud",
            u,
            (foot, None),
            (-datums.wall_mm, 0.0),
            datums.scene.walls.stud,
            over,
        )


def _closed(plan: WallPlan) -> BaseGeometry:
    """Where something in its line is taken away before the roof comes, in (u, v)."""
    closed = closed_gaps(plan.datums, plan.framed, plan.parted_by)
    return shapely.union_all([box(u[0], -PAST_MM, u[1], PAST_MM) for u in closed])


def _is_capped_late(plan: WallPlan) -> bool:
    """Whether its upper plate waits until what parts the lower one is gone, to run over the gap.

    Joints of both in one place hold nothing together under rafters: they lie 24 in apart (IRC
    R602.3.2).
    """
    return _parting(plan).intersection(_closed(plan)).area > 0.0


def _parting(plan: WallPlan) -> BaseGeometry:
    """Where the plates are cut for what reaches up between them, in (u, v)."""
    there = [one.u for one in plan.parted_by if one.v[1] > plan.lowest_head(*one.u)]
    return shapely.union_all([box(u[0], -PAST_MM, u[1], PAST_MM) for u in there])


def _stock_of(plan: WallPlan, upright: Upright) -> Source:
    """What an upright of a section of its own is of: treated in the weather, or on concrete.

    Down in the floor's frame it is treated as that is. Source: IRC R317.1.4, columns exposed to the
        weather; R317.1, what stands on concrete (from memory).
    """
    scene = plan.datums.scene
    is_low = upright.v[0] < plan.foot_mm - TOLERANCE_MM
    is_treated = (
        upright.kind is Kind.WALL_POST or scene.floor is None or (is_low and scene.floor.treated)
    )
    return timber(scene, upright.stock, treated=is_treated) if upright.stock else studs_of(plan)


def _bottom_plates(plan: WallPlan) -> list[Piece]:
    """The bottom plate, cut out at doorways, treated on concrete and where rain comes in on it.

    Drawn in plan, u along the wall and v inwards. Through slats rain gets at it and at the floor
    that it lies on: above ground, exposed, slow to dry, use category UC3B (AWPA U1, from memory).
    """
    return [_bottom_plate(plan, plate.u, plate.bolts) for plate in bottom_plates(plan)]


def _bottom_plate(plan: WallPlan, u: tuple[float, float], bolts: Sequence[float]) -> Piece:
    datums, scene, n = plan.datums, plan.datums.scene, plan.place.n
    is_wet = scene.floor is None or isinstance(plan.kind, SlattedWall)
    inwards = Placement(plan.place.point(0.0, plan.foot_mm), plan.place.u, (-n[0], -n[1], -n[2]))
    radius = 0.0
    if bolts and scene.floor_pad:
        radius = (scene.floor_pad.bolt_diameter + DRILLED_OVER_MM) / 2
    return profile(
        f"{plan.group} bottom plate",
        Kind.BOTTOM_PLATE,
        plan.group,
        timber(scene, scene.walls.stud, treated=not plan.foot_mm and is_wet),
        rectangle(u[0], 0.0, u[1], datums.wall_mm),
        inwards,
        datums.breadth_mm,
        holes=[Circle(place, bolts_inwards_mm(datums), radius) for place in bolts],
    )


def _nuts(plan: WallPlan) -> Iterator[Piece]:
    """A washer and a nut on each anchor bolt, put on once the wall stands over them."""
    scene, datums = plan.datums.scene, plan.datums
    pad = scene.floor_pad
    if pad is None:
        return
    steel, bolt = anchor_steel(scene, pad, "anchor bolt"), pad.bolt_diameter
    half, corner = washer_mm(datums.wall_mm) / 2, NUT_WIDTHS * bolt / math.sqrt(3)
    hexagon = tuple(
        (corner * math.cos(math.pi / 3 * k), corner * math.sin(math.pi / 3 * k)) for k in range(6)
    )
    square, drilled = rectangle(-half, -half, half, half), (bolt + DRILLED_OVER_MM) / 2
    plate, nut = datums.breadth_mm, datums.breadth_mm + WASHER_THICKNESS_MM
    for u in (u for plate in bottom_plates(plan) for u in plate.bolts):
        for kind, outline, v, thick, radius in (
            (Kind.WASHER, square, plate, WASHER_THICKNESS_MM, drilled),
            (Kind.NUT, hexagon, nut, bolt, bolt / 2),
        ):
            yield profile(
                str(kind),
                kind,
                plan.group,
                steel,
                outline,
                Placement(plan.place.point(u, v, -bolts_inwards_mm(datums))),
                thick,
                holes=[Circle(0.0, 0.0, radius)],
            )


def _upright(plan: WallPlan, upright: Upright) -> Piece:
    (u0, u1), (foot, head) = upright.u, upright.v
    heads = plan.head_line(u0, u1, upright.under_mm)
    if head is not None:
        heads = [(u0, head), (u1, head)]
    return profile(
        upright.label,
        upright.kind,
        plan.group,
        _stock_of(plan, upright),
        ((u0, foot), (u1, foot), *reversed(heads)),
        plan.place.at_depth(upright.n[0]),
        upright.n[1] - upright.n[0],
        grain_rad=math.pi / 2,
    )


def _opening(plan: WallPlan, framed: Framed) -> Iterator[Piece]:
    datums = plan.datums
    if framed.is_first:
        yield from over_opening(plan, framed)
    if framed.sill:
        yield profile(
            f"{framed.opening.name} rough sill",
            Kind.SILL,
            plan.group,
            studs_of(plan),
            rectangle(framed.u[0], framed.sill - datums.breadth_mm, framed.u[1], framed.sill),
            plan.place.at_depth(-datums.wall_mm),
            datums.wall_mm,
        )


def _top_plates(plan: WallPlan) -> Iterator[Piece]:
    """Both top plates, cut between what stands in the wall."""
    for name, rake, band in _plate_bands(plan):
        if name == "upper" and _is_capped_late(plan):
            continue
        for part in _sticks(band.difference(_parting(plan))):
            yield _top_plate(plan, name, rake, part)


def _plate_bands(plan: WallPlan) -> Iterator[tuple[str, Rake, BaseGeometry]]:
    """Each length of the double top plate, in (u, v), as if nothing stood in the wall.

    The upper laps the corners where it can, joints staggered. At a raked corner the side wall's
    upper plate runs out over the other wall's lower plate with a level seat cut in its underside.
    """
    datums, breadth = plan.datums, plan.datums.breadth_mm
    # No side wall's plate comes to the strip of wall between two roofs.
    laps = plan.roof.plates_lap and plan.name != "clerestory"
    corner = datums.wall_mm
    start, end = plan.framed
    upper = (start, end)
    if laps:
        upper = (corner, end - corner) if plan.runs_through else (0.0, plan.length_mm)
    corners = [
        _corner_plates(plan, 0.0, corner),
        _corner_plates(plan, plan.length_mm - corner, plan.length_mm),
    ]
    studs = plan.full_height_centres()
    stock = datums.scene.lumber_stock(datums.scene.walls.stud)
    # What runs level takes the plates' peak, and leaves no film of it.
    ridge = shapely.union_all(
        [box(p.u[0], p.seat, p.u[1], p.top + TOLERANCE_MM) for p in plan.pockets]
    )
    closed = closed_gaps(datums, plan.framed, plan.parted_by)
    closed_ends = [u for gap in closed for u in gap]
    below: list[float] = []
    for name, lower, reach in (("lower", True, plan.framed), ("upper", False, upper)):
        for rake in plan.rakes:
            u0, u1 = max(reach[0], rake.start[0]), min(reach[1], rake.end[0])
            # Cut plumb at its ends, it is longer from corner to corner.
            beyond = breadth * abs(math.sin(rake.rad))
            longest = stock.longest_of_mm((u1 - u0 + beyond) / math.cos(rake.rad))
            reached = longest * math.cos(rake.rad) - beyond
            # A length too short to lap a joint of the other plate by as much ties nothing there.
            runs = splice(u0, u1, reached, studs, below, least=STAGGER_MM)
            below = [*joints_of(runs), *closed_ends] if lower else below
            for run in runs:
                top = [(u, rake.at(u) - lower * rake.plumb(breadth)) for u in run]
                foot = [(u, v - rake.plumb(breadth)) for u, v in reversed(top)]
                band = Area([*top, *foot]).difference(ridge)
                if laps and not plan.runs_through and not lower:
                    band = band.difference(shapely.union_all(corners))
                yield name, rake, band


def _sticks(band: BaseGeometry) -> Iterator[BaseGeometry]:
    """What is left of a plate: beside a ridge a scrap of the peak is let go."""
    for part in sorted(shapely.get_parts(band), key=lambda part: part.bounds):
        if isinstance(part, Area) and part.bounds[2] - part.bounds[0] >= LEAST_STICK_MM:
            yield part


def _top_plate(plan: WallPlan, name: str, rake: Rake, area: BaseGeometry) -> Piece:
    return profile(
        f"{plan.group} {name} top plate",
        Kind.TOP_PLATE,
        plan.group,
        studs_of(plan),
        ring(area),
        plan.place.at_depth(-plan.datums.wall_mm),
        plan.datums.wall_mm,
        grain_rad=rake.rad,
    )


def _corner_plates(plan: WallPlan, u0: float, u1: float) -> Area:
    """What stands in a corner under the lapping plate: the other wall up to its lower plate."""
    datums = plan.datums
    outer = 0.0 if u0 == 0.0 else plan.length_mm
    top = plan.roof.plate_top_near_mm(plan.place.point(outer, 0.0)[1]) - datums.floor_mm
    return box(u0, 0.0, u1, top - datums.breadth_mm)
