"""What must agree inside a scene, and what must fit: checked before anything is laid out.

Every rule is a comparison that an unknown length (not-a-number) never finds wrong, so that a scene
with a few lengths missing can still be checked for everything else.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from pikepole_model.catalogue import load_catalogue
from pikepole_model.faults import Fault, Ruler
from pikepole_model.levels import LEAST_BEARING_MM, Levels
from pikepole_model.opening_rules import opening_faults
from pikepole_model.scene import Pad, Scene, Skids
from pikepole_model.spacing import CLOSE_MM
from pikepole_model.wall_plan import WallPlan, plan_walls

# A wall lower than this between its plates is a kerb. Assumed: nobody frames one.
LEAST_STUD_MM = 152.4

# Concrete left under the foot of an anchor bolt: 1 in, common practice, no source.
LEAST_COVER_MM = 25.4

# Wood left beside a notch that a beam sits in: 1 in, common practice, no source.
LEAST_TONGUE_MM = 25.4


def disagreements(scene: Scene) -> Iterator[Fault]:
    """What contradicts itself in a scene, whatever its sizes."""
    yield from _own_names(scene)
    if isinstance(scene.foundation, Skids) and scene.floor is None:
        yield Fault(("floor",), "is missing", "skids carry a deck floor: add the table [floor]")
    if isinstance(scene.foundation, Pad) and scene.floor is not None:
        yield Fault(("floor",), "cannot lie on a pad", "take [floor] out: the pad is the floor")
    if scene.beam and not scene.bay:
        yield Fault(("beam",), "has no bay to carry", "take [beam] out, or add a [[bay]]")
    names: set[str] = set()
    for k, opening in enumerate(scene.opening):
        if opening.name in names:
            yield Fault(("opening", k, "name"), "is used twice", "give each opening its own name")
        names.add(opening.name)
        if opening.kind == "window" and opening.sill is None:
            yield Fault(
                ("opening", k, "sill"),
                "is missing",
                'a window needs the height of its sill over the floor, such as sill = "3 ft"',
            )
        if opening.kind == "door" and opening.sill is not None:
            yield Fault(("opening", k, "sill"), "belongs to windows", "take it out of this door")
    ends: set[str] = set()
    for k, bay in enumerate(scene.bay):
        if bay.end in ends:
            yield Fault(("bay", k, "end"), "has a bay already", "put this bay at the other end")
        ends.add(bay.end)
    if scene.floor:
        things: set[str] = set()
        for k, thing in enumerate(scene.floor.through):
            if thing.name in things:
                yield Fault(("floor", "through", k, "name"), "is used twice", "give it another")
            things.add(thing.name)


def _own_names(scene: Scene) -> Iterator[Fault]:
    catalogue, stock = load_catalogue(), scene.stock
    for kind, rows, there in (
        ("lumber", stock.lumber, catalogue.lumber),
        ("sheet", stock.sheet, catalogue.sheets),
        ("species", stock.species, catalogue.species),
    ):
        known = set(there)
        for k, row in enumerate(rows):
            if row.name in known:
                yield Fault(
                    ("stock", kind, k, "name"),
                    "is in the catalogue already",
                    "give your own stock another name",
                )
            known.add(row.name)


def misfits(levels: Levels) -> Iterator[Fault]:
    """What is too long, too wide or too high for what it goes into or is cut from."""
    scene = levels.scene
    ruler = Ruler(scene.units)
    plans = plan_walls(levels)
    yield from _spacings(levels, ruler)
    if isinstance(scene.foundation, Pad):
        yield from _pad(levels, scene.foundation, ruler)
    else:
        yield from _skids_and_floor(levels, scene.foundation, ruler)
    yield from _wall_heights(levels, plans, ruler)
    for plan in plans:
        yield from opening_faults(plan, ruler)
    yield from _bays(levels, ruler)
    yield from _roof(levels, ruler)


def _spacings(levels: Levels, ruler: Ruler) -> Iterator[Fault]:
    scene = levels.scene
    start, end = levels.roof_ends_mm
    shorter = min(levels.length_mm, levels.depth_mm)
    rules = [("walls", "the wall", scene.walls.spacing, shorter)]
    rules.append(("roof", "the roof", scene.roof.spacing, end - start))
    if scene.floor:
        rules.append(("floor", "the floor", scene.floor.spacing, levels.length_mm))
    for table, what, spacing, room in rules:
        if spacing > room:
            yield Fault(
                (table, "spacing"),
                f"is wider than {what}, which is {ruler.at(room)}",
                f"give {ruler.at_most(room)}",
            )


def _pad(levels: Levels, pad: Pad, ruler: Ruler) -> Iterator[Fault]:
    deep = pad.edge_depth or pad.thickness
    if deep < pad.thickness:
        yield Fault(
            ("foundation", "edge_depth"),
            f"is less than the pad's thickness, {ruler.at(pad.thickness)}",
            "it is measured from the top of the pad: give more, or leave it out",
        )
    elif pad.bolt_embedment + LEAST_COVER_MM > deep:
        yield Fault(
            ("foundation", "bolt_embedment"),
            f"comes out under the pad, which is {ruler.at(deep)} deep at its edge",
            f"give {ruler.at_most(deep - LEAST_COVER_MM)}, or an edge_depth of "
            f"{ruler.at_least(pad.bolt_embedment + LEAST_COVER_MM)}",
        )
    inner = pad.edge_width + deep - pad.thickness
    shorter = min(levels.length_mm, levels.depth_mm)
    if pad.edge_depth and 2 * inner >= shorter:
        yield Fault(
            ("foundation", "edge_width"),
            "leaves nothing between the thickened edges",
            f"give less than {ruler.at(shorter / 2 - deep + pad.thickness)}",
        )


def _skids_and_floor(levels: Levels, skids: Skids, ruler: Ruler) -> Iterator[Fault]:
    scene = levels.scene
    skid = scene.lumber_stock(skids.skid)
    room = levels.depth_mm - 2 * skids.inset
    if skids.count * skid.breadth_mm > room:
        yield Fault(
            ("foundation", "count"),
            f"is more skids than fit side by side in {ruler.at(room)}",
            "give fewer, or a smaller inset",
        )
    if skids.toe > skid.depth_mm / 2:
        yield Fault(
            ("foundation", "toe"),
            f"is more than half the skid, which is {ruler.at(skid.depth_mm)} high",
            f"give {ruler.at_most(skid.depth_mm / 2)}",
        )
    if scene.floor is None:
        return
    joist = scene.lumber_stock(scene.floor.joist)
    yield from ruler.too_long(
        ("floor", "joist"),
        levels.depth_mm - 2 * joist.breadth_mm,
        joist,
        "make building.depth less, or take a section that comes longer",
    )
    for k, thing in enumerate(scene.floor.through):
        for side, start, size, whole in (
            ("x", thing.x, thing.width, levels.length_mm),
            ("y", thing.y, thing.depth, levels.depth_mm),
        ):
            if start + size > whole:
                yield Fault(
                    ("floor", "through", k, side),
                    f"puts it over the edge of the floor, which is {ruler.at(whole)}",
                    f"give {ruler.at_most(whole - size)}"
                    if whole > size
                    else "make it smaller than the floor",
                )


def _wall_heights(levels: Levels, plans: tuple[WallPlan, ...], ruler: Ruler) -> Iterator[Fault]:
    scene = levels.scene
    walls, stud = scene.walls, scene.lumber_stock(scene.walls.stud)
    name = "low_height" if walls.high_height is None else "high_height"
    given = walls.low_height if walls.high_height is None else walls.high_height
    assert given is not None, "walls without a height"
    heads = {(plan.name, u): plan.stud_head(u) for plan in plans for u in plan.framed}
    (lowest, _), least = min(heads.items(), key=lambda item: item[1])
    most = max(heads.values())
    foot = levels.breadth_mm
    short = LEAST_STUD_MM - (least - foot)
    if short > CLOSE_MM:
        yield Fault(
            ("walls", name),
            f"leaves the {lowest} wall too low to frame at its lower end",
            f"give {ruler.at_least(given + short)}, or a gentler roof.slope",
        )
    excess = most - foot - stud.longest_mm
    yield from ruler.too_long(
        ("walls", name),
        most - foot,
        stud,
        f"give {ruler.at_most(given - excess)}, or a gentler roof.slope",
    )


def _bays(levels: Levels, ruler: Ruler) -> Iterator[Fault]:
    scene, beam = levels.scene, levels.beam
    if beam is None:
        return
    ply = scene.lumber_stock(beam.ply)
    if levels.bearing_mm > levels.wall_mm + CLOSE_MM:
        yield Fault(
            ("beam", "plies"),
            f"makes the beam {ruler.at(levels.bearing_mm)} thick, and the wall under it is "
            f"{ruler.at(levels.wall_mm)}",
            "give fewer plies, a thinner spacer or a deeper stud",
        )
    for k, bay in enumerate(scene.bay):
        yield from _footings(levels, k, ruler)
        post = scene.lumber_stock(bay.post)
        yield from ruler.too_long(
            ("beam", "ply"),
            # From the middle of the wall's last stud, or of a post, to the middle of the next.
            bay.length / bay.posts + levels.breadth_mm / 2,
            ply,
            f"give the {bay.end} bay more posts or less length: plies meet over posts only",
        )
        if bay.posts * post.depth_mm >= bay.length:
            yield Fault(
                ("bay", k, "posts"), "is more than fit in the bay's length", "give fewer posts"
            )
        if bay.seat == "notch" and levels.bearing_mm + LEAST_TONGUE_MM > post.depth_mm:
            yield Fault(
                ("bay", k, "post"),
                f"is too thin to be notched for a beam {ruler.at(levels.bearing_mm)} thick",
                'take a thicker post, a thinner beam, or seat = "cap"',
            )
        if bay.seat == "cap" and levels.bearing_mm > post.depth_mm + CLOSE_MM:
            yield Fault(
                ("bay", k, "post"),
                f"is thinner than the beam it carries, which is {ruler.at(levels.bearing_mm)}",
                "take a thicker post or a thinner beam",
            )
        top = levels.high_bearing_mm - (0.0 if bay.seat == "notch" else ply.depth_mm)
        yield from ruler.too_long(
            ("bay", k, "post"),
            top - bay.footing.above_ground,
            post,
            "make the walls lower, or take a section that comes longer",
        )


def _footings(levels: Levels, k: int, ruler: Ruler) -> Iterator[Fault]:
    """Footings clear of the gravel under the store, and of each other."""
    scene, bay = levels.scene, levels.scene.bay[k]
    margin = scene.foundation.gravel_margin
    first = bay.length / bay.posts
    if bay.posts == 1:
        # The last post stands inside the bay's end.
        first -= scene.lumber_stock(bay.post).breadth_mm / 2
    if first - bay.footing.diameter / 2 < margin:
        yield Fault(
            ("bay", k, "posts"),
            f"puts a footing into the gravel under the store, which reaches {ruler.at(margin)} "
            "past it",
            "give fewer posts, a longer bay, a narrower footing or a smaller "
            "foundation.gravel_margin",
        )
    apart = bay.length / bay.posts - scene.lumber_stock(bay.post).breadth_mm / 2
    if bay.posts > 1 and apart < bay.footing.diameter:
        yield Fault(
            ("bay", k, "posts"),
            "puts the footings into each other",
            "give fewer posts, a longer bay or a narrower footing",
        )


def _roof(levels: Levels, ruler: Ruler) -> Iterator[Fault]:
    scene, roof = levels.scene, levels.scene.roof
    if levels.seat_mm < LEAST_BEARING_MM - CLOSE_MM:
        yield Fault(
            ("roof", "rafter"),
            f"rests on {ruler.at(levels.seat_mm)} of wood where a quarter of it is notched, and "
            f"{ruler.at(LEAST_BEARING_MM)} is the least (IRC R802.6)",
            "take a deeper rafter, a gentler slope or wider bearings",
        )
    elif levels.end_rafter is None and math.isfinite(levels.slope_rad):
        yield Fault(
            ("roof", "rafter"),
            "is so shallow that no section fits under the lookouts at the roof's ends",
            'take a deeper rafter, or rake_overhang = "0 in"',
        )
    if roof.end_rafter:
        yield from _end_rafter(levels, ruler)
    ends = levels.end_rafter or roof.rafter
    level = levels.depth_mm + roof.high_overhang + roof.eave_overhang
    for key, name in (
        ("rafter", roof.rafter),
        ("end_rafter", ends),
        ("fly_rafter", roof.fly_rafter or ends),
    ):
        stock = scene.lumber_stock(name)
        sloped = level / math.cos(levels.slope_rad)
        if roof.tail == "plumb":
            # A plumb cut's long point lies beyond its short one.
            sloped += stock.depth_mm * math.tan(levels.slope_rad)
        too_long = list(
            ruler.too_long(
                ("roof", key),
                sloped,
                stock,
                "make building.depth or the overhangs less, or take a section that comes longer",
            )
        )
        if too_long:
            # The others are as long, and one line says it.
            yield from too_long
            return


def _end_rafter(levels: Levels, ruler: Ruler) -> Iterator[Fault]:
    seat = levels.end_seat_mm(levels.end_rafter_mm)
    if seat < LEAST_BEARING_MM - CLOSE_MM:
        yield Fault(
            ("roof", "end_rafter"),
            "is too shallow to reach the wall from under the lookouts",
            "take a deeper section, or leave it out and have it chosen",
        )
    elif seat > levels.widest_seat_mm(levels.end_rafter_mm) + CLOSE_MM:
        yield Fault(
            ("roof", "end_rafter"),
            f"is too deep to lie under the lookouts on {ruler.at(levels.bearing_mm)} of bearing",
            "take a shallower section, or leave it out and have it chosen",
        )
