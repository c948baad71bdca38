"""What carries the store: skids, piers or a concrete pad, on compacted gravel."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import (
    Piece,
    Source,
    block,
    bolt_steel,
    bulk,
    let_in,
    profile,
    timber,
)
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Circle, Frustum, Prism, Shape, rectangle
from pikepole_model.geometry.spacing import anywhere, joints_of, splice
from pikepole_model.plan.anchor_bolts import over_plate_mm
from pikepole_model.plan.bottom_plate import bolts_inwards_mm, bottom_plates
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.wall import WallPlan
from pikepole_model.scene.schema import Pad, Piers, Skids
from pikepole_model.stock.rows import Lumber

GROUP = "foundation"

# Slope of a thickened edge's inner side: 45 degrees, common practice, no source.
EDGE_SLOPE = 1.0


def lay_skids(datums: Datums, skids: Skids) -> list[Piece]:
    """A gravel bed flush with the ground and treated runners along the building on it."""
    stock = datums.scene.lumber_stock(skids.skid)
    source = timber(datums.scene, skids.skid, treated=True)
    length = datums.length_mm
    # The bed carries a runner anywhere, so only the neighbours' joints decide where it breaks.
    return [
        _bed(datums, skids.gravel_margin, -skids.gravel, 0.0),
        *(
            _skid(source, run, front, stock.breadth_mm, stock.depth_mm, skids.toe, length)
            for front, run in _rows(datums, skids, stock, anywhere(0.0, length))
        ),
    ]


def _rows(
    datums: Datums, bearers: Skids | Piers, stock: Lumber, supports: list[float]
) -> Iterator[tuple[float, tuple[float, float]]]:
    """Front face, and from and to, of each length of the skids or girders, row by row."""
    room = datums.depth_mm - 2 * bearers.inset - stock.breadth_mm
    earlier: list[float] = []
    for k in range(bearers.count):
        runs = splice(0.0, datums.length_mm, stock.longest_mm, supports, earlier)
        earlier = joints_of(runs)
        for run in runs:
            yield bearers.inset + room * k / (bearers.count - 1), run


def set_piers(datums: Datums, piers: Piers) -> list[Piece]:
    """Precast blocks, each on its own gravel, and treated girders along the building on them."""
    scene = datums.scene
    stock = scene.lumber_stock(piers.girder)
    source = timber(scene, piers.girder, treated=True)
    centres = datums.pier_x_mm(piers)
    pieces: list[Piece] = []
    fronts: set[float] = set()
    for front, (left, right) in _rows(datums, piers, stock, centres):
        if front not in fronts:
            fronts.add(front)
            y = front + stock.breadth_mm / 2
            pieces += [piece for x in centres for piece in _pier(datums, piers, x, y)]
        low, high = piers.block_height, datums.bearer_mm
        y0, y1 = front, front + stock.breadth_mm
        corners = (left, y0, low), (right, y1, high)
        pieces.append(block("girder", Kind.GIRDER, GROUP, source, *corners, "x"))
    return pieces


def _pier(datums: Datums, piers: Piers, x: float, y: float) -> Iterator[Piece]:
    wide, top = piers.block_bottom, piers.block_top
    out = wide / 2 + piers.gravel_margin
    yield block(
        "pier gravel",
        Kind.GRAVEL,
        GROUP,
        bulk(datums.scene, "gravel"),
        (x - out, y - out, -piers.gravel),
        (x + out, y + out, 0.0),
        "x",
    )
    edge, far = (wide - top) / 2, (wide + top) / 2
    yield Piece(
        "pier block",
        Kind.PIER,
        GROUP,
        bulk(datums.scene, "concrete", "precast pier block"),
        Shape(Frustum((0.0, 0.0, wide, wide), (edge, edge, far, far), piers.block_height)),
        Placement((x - wide / 2, y - wide / 2, 0.0)),
    )


def stand_existing(datums: Datums) -> list[Piece]:
    """What stands there already: drawn, built round, not counted or bought."""
    scene = datums.scene
    return [
        block(
            post.name,
            Kind.EXISTING,
            "existing",
            Source("existing", scene.wood(treated=False)),
            (post.x, post.y, 0.0),
            (post.x + post.width, post.y + post.depth, post.height),
            "z",
        )
        for post in scene.existing
    ]


def _bed(datums: Datums, margin: float, low: float, high: float) -> Piece:
    return block(
        "gravel bed",
        Kind.GRAVEL,
        GROUP,
        bulk(datums.scene, "gravel"),
        (-margin, -margin, low),
        (datums.length_mm + margin, datums.depth_mm + margin, high),
        "x",
    )


def _skid(
    source: Source,
    run: tuple[float, float],
    front: float,
    breadth: float,
    height: float,
    toe: float,
    length: float,
) -> Piece:
    """A runner seen from the front, its lower corner cut back at the building's two ends."""
    left, right = run
    toe = min(toe, height / 2)
    outline = [(left, 0.0), (right, 0.0), (right, height), (left, height)]
    if toe and right == length:
        outline[1:2] = [(right - toe, 0.0), (right, toe)]
    if toe and left == 0.0:
        outline[0:1] = [(left, toe), (left + toe, 0.0)]
    # Seen from the front, n comes towards the viewer: start at the runner's far face.
    place = Placement((0.0, front + breadth, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    return profile("skid", Kind.SKID, GROUP, source, tuple(outline), place, breadth)


def cast_pad(datums: Datums, pad: Pad, plans: tuple[WallPlan, ...]) -> list[Piece]:
    """A concrete pad on gravel, with the bolts cast in that hold the walls' bottom plates.

    Their washers and nuts go on with the walls.

    Args:
        datums: Heights and widths of the building.
        pad: What the scene says of the pad.
        plans: The walls that it carries.
    """
    bolts = [
        _bolt(datums, pad, *plan.place.point(u, 0.0, -bolts_inwards_mm(datums))[:2])
        for plan in plans
        for plate in bottom_plates(plan)
        for u in plate.bolts
    ]
    slab = _slab(datums, pad)
    for bolt in bolts:
        slab = let_in(slab, bolt)
    return [*_gravel(datums, pad), slab, *bolts]


def _hollow(datums: Datums, pad: Pad) -> Frustum | None:
    """What a thickened edge stands round, from its underside up to the slab's."""
    rise = pad.deep_mm - pad.thickness
    if rise <= 0:
        return None
    low, high = pad.edge_width, pad.edge_width + rise / EDGE_SLOPE
    length, depth = datums.length_mm, datums.depth_mm
    return Frustum(
        (low, low, length - low, depth - low), (high, high, length - high, depth - high), rise
    )


def _slab(datums: Datums, pad: Pad) -> Piece:
    deep = pad.deep_mm
    place = Placement((0.0, 0.0, pad.above_ground - deep))
    body = Prism(rectangle(0.0, 0.0, datums.length_mm, datums.depth_mm), deep)
    hollow = _hollow(datums, pad)
    cuts = ((hollow, Placement()),) if hollow else ()
    return Piece("slab", Kind.SLAB, GROUP, bulk(datums.scene, "concrete"), Shape(body, cuts), place)


def _gravel(datums: Datums, pad: Pad) -> Iterator[Piece]:
    under = pad.above_ground - pad.deep_mm
    yield _bed(datums, pad.gravel_margin, under - pad.gravel, under)
    hollow = _hollow(datums, pad)
    if hollow:
        yield Piece(
            "gravel inside the edge",
            Kind.GRAVEL,
            GROUP,
            bulk(datums.scene, "gravel"),
            Shape(hollow),
            Placement((0.0, 0.0, under)),
        )


def _bolt(datums: Datums, pad: Pad, x: float, y: float) -> Piece:
    """A bolt cast in, long enough for plate, washer and nut."""
    slab_top, low = pad.above_ground, pad.above_ground - pad.bolt_embedment
    return profile(
        "anchor bolt",
        Kind.ANCHOR_BOLT,
        GROUP,
        bolt_steel(datums.scene, pad),
        Circle(0.0, 0.0, pad.bolt_diameter / 2),
        Placement((x, y, low)),
        slab_top + datums.breadth_mm + over_plate_mm(pad.bolt_diameter) - low,
        length_along="n",
    )
