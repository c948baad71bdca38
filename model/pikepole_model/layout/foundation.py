"""What carries the store: skids, piers or a concrete pad, on compacted gravel.

A building that is moved has two: what it is built on, and what it comes to stand on.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import (
    Piece,
    Source,
    anchor_steel,
    block,
    bulk,
    let_in,
    profile,
    timber,
)
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Circle, Frustum, Polygon, Prism, Shape, rectangle
from pikepole_model.layout.anchoring import drilled
from pikepole_model.plan.anchor_bolts import over_plate_mm
from pikepole_model.plan.bearers import bearer_runs, drilled_anchors
from pikepole_model.plan.bottom_plate import bolts_inwards_mm, bottom_plates
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.wall import WallPlan
from pikepole_model.scene.foundation import Pad, Piers, Skids

GROUP = "foundation"
# What is built elsewhere and moved: what it stands on there, and the skids or girders on that.
FIRST, BEARERS = "first foundation", "skids and girders"
EXISTING = "existing"


def lay_bearers(datums: Datums, bearers: Skids | Piers) -> list[Piece]:
    """Treated skids or girders along the building, where they come to lie in the end.

    What is moved has them in a group of their own: they come along, and what is under them stays.
    """
    scene, stock = datums.scene, datums.scene.lumber_stock(bearers.bearer)
    source, length = timber(scene, bearers.bearer, treated=True), datums.length_mm
    low, high = datums.bearer_mm - stock.depth_mm, datums.bearer_mm
    group = GROUP if scene.built_on is scene.foundation else BEARERS
    pieces: list[Piece] = []
    for front, (left, right) in bearer_runs(datums, bearers):
        far = front + stock.breadth_mm
        if isinstance(bearers, Skids):
            outline = _sled((left, right), stock.depth_mm, bearers.toe, length)
            # Seen from the front, n comes towards the viewer: start at the runner's far face.
            place = Placement((0.0, far, low), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
            pieces.append(
                profile("skid", Kind.SKID, group, source, outline, place, stock.breadth_mm)
            )
        else:
            corners = (left, front, low), (right, far, high)
            pieces.append(block("girder", Kind.GIRDER, group, source, *corners, "x"))
    return pieces


def lay_supports(datums: Datums, bearers: Skids | Piers, group: str) -> list[Piece]:
    """What bearers lie on, on the ground: a gravel bed flush with it, or precast blocks."""
    if isinstance(bearers, Skids):
        return [_bed(datums, group, bearers.gravel_margin, -bearers.gravel, 0.0)]
    half = datums.scene.lumber_stock(bearers.bearer).breadth_mm / 2
    return [
        piece
        for front in datums.bearer_fronts_mm(bearers)
        for x in datums.pier_x_mm(bearers)
        for piece in _pier(datums, bearers, group, x, front + half)
    ]


def _pier(datums: Datums, piers: Piers, group: str, x: float, y: float) -> Iterator[Piece]:
    wide, top = piers.block_bottom, piers.block_top
    out = wide / 2 + piers.gravel_margin
    yield block(
        "pier gravel",
        Kind.GRAVEL,
        group,
        bulk(datums.scene, "gravel"),
        (x - out, y - out, -piers.gravel),
        (x + out, y + out, 0.0),
        "x",
    )
    edge, far = (wide - top) / 2, (wide + top) / 2
    yield Piece(
        "pier block",
        Kind.PIER,
        group,
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
            EXISTING,
            Source("existing", scene.wood(treated=False)),
            (post.x, post.y, post.foot),
            (post.x + post.width, post.y + post.depth, post.height),
            "z",
        )
        for post in scene.existing
    ]


def _bed(datums: Datums, group: str, margin: float, low: float, high: float) -> Piece:
    return block(
        "gravel bed",
        Kind.GRAVEL,
        group,
        bulk(datums.scene, "gravel"),
        (-margin, -margin, low),
        (datums.length_mm + margin, datums.depth_mm + margin, high),
        "x",
    )


def _sled(run: tuple[float, float], height: float, toe: float, length: float) -> Polygon:
    """A runner seen from the front, its lower corner cut back at the building's two ends."""
    left, right = run
    toe = min(toe, height / 2)
    outline = [(left, 0.0), (right, 0.0), (right, height), (left, height)]
    if toe and right == length:
        outline[1:2] = [(right - toe, 0.0), (right, toe)]
    if toe and left == 0.0:
        outline[0:1] = [(left, toe), (left + toe, 0.0)]
    return tuple(outline)


def cast_pad(
    datums: Datums, pad: Pad, plans: tuple[WallPlan, ...], footings: Iterable[Piece]
) -> list[Piece]:
    """A concrete pad on gravel, with the bolts cast in that hold the walls' bottom plates.

    Their washers and nuts go on with the walls. Where a building is moved onto it, it has the holes
    that are drilled then.

    Args:
        datums: Heights and widths of the building.
        pad: What the scene says of the pad.
        plans: The walls that it carries.
        footings: What is cast under posts, with what is cast into it.
    """
    bolts = [
        _bolt(datums, pad, *plan.place.point(u, 0.0, -bolts_inwards_mm(datums))[:2])
        for plan in plans
        for plate in bottom_plates(plan)
        for u in plate.bolts
    ]
    bearers, slab = datums.scene.bearers, _slab(datums, pad)
    places = drilled_anchors(datums, bearers, pad) if bearers else []
    under = [one for one in footings if one.group == "footings"]
    bases = [one for one in under if one.kind is Kind.POST_BASE]
    for bolt in (*bolts, *(drilled(datums, pad, place) for place in places), *bases):
        slab = let_in(slab, bolt)
    gravel = list(_gravel(datums, pad))
    for footing in (one for one in under if one.kind is Kind.FOOTING):
        gravel = [let_in(layer, footing) for layer in gravel]
    return [*gravel, slab, *bolts]


def _hollow(datums: Datums, pad: Pad) -> Frustum | None:
    """What a thickened edge stands round, from its underside up to the slab's."""
    rise = pad.deep_mm - pad.thickness
    if rise <= 0:
        return None
    low, high = pad.edge_width, pad.edge_in_mm
    length, depth = _size_mm(datums, pad)
    return Frustum(
        (low, low, length - low, depth - low), (high, high, length - high, depth - high), rise
    )


def _size_mm(datums: Datums, pad: Pad) -> tuple[float, float]:
    """Length and depth of the pad."""
    return datums.length_mm + 2 * pad.margin, datums.depth_mm + 2 * pad.margin


def _slab(datums: Datums, pad: Pad) -> Piece:
    deep = pad.deep_mm
    place = Placement((-pad.margin, -pad.margin, pad.above_ground - deep))
    body = Prism(rectangle(0.0, 0.0, *_size_mm(datums, pad)), deep)
    hollow = _hollow(datums, pad)
    cuts = ((hollow, Placement()),) if hollow else ()
    return Piece("slab", Kind.SLAB, GROUP, bulk(datums.scene, "concrete"), Shape(body, cuts), place)


def _gravel(datums: Datums, pad: Pad) -> Iterator[Piece]:
    under = pad.above_ground - pad.deep_mm
    yield _bed(datums, GROUP, pad.margin + pad.gravel_margin, under - pad.gravel, under)
    hollow = _hollow(datums, pad)
    if hollow:
        yield Piece(
            "gravel inside the edge",
            Kind.GRAVEL,
            GROUP,
            bulk(datums.scene, "gravel"),
            Shape(hollow),
            Placement((-pad.margin, -pad.margin, under)),
        )


def _bolt(datums: Datums, pad: Pad, x: float, y: float) -> Piece:
    """A bolt cast in, long enough for plate, washer and nut."""
    slab_top, low = pad.above_ground, pad.above_ground - pad.bolt_embedment
    return profile(
        "anchor bolt",
        Kind.ANCHOR_BOLT,
        GROUP,
        anchor_steel(datums.scene, pad, "anchor bolt"),
        Circle(0.0, 0.0, pad.bolt_diameter / 2),
        Placement((x, y, low)),
        slab_top + datums.breadth_mm + over_plate_mm(pad.bolt_diameter) - low,
        length_along="n",
    )
