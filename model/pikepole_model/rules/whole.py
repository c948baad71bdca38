"""What must agree inside a scene, and what must fit: checked before anything is laid out.

Every rule is a comparison that an unknown length (not-a-number) never finds wrong, so that a scene
with a few lengths missing can still be checked for everything else.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from functools import cache, partial

from pikepole_model.errors import (
    Problem,
    Try,
    either,
    leave_out,
    less,
    more,
    other,
    without,
)
from pikepole_model.geometry.spacing import CLEAR_OF_MM, TOLERANCE_MM
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.faces import WallFace, wall_faces
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.wall import WallPlan
from pikepole_model.plan.walls import plan_walls
from pikepole_model.rules.bays import bay_problems
from pikepole_model.rules.buying import buying_problems
from pikepole_model.rules.cladding import cladding_problems
from pikepole_model.rules.clerestory import clerestory_key_problems
from pikepole_model.rules.crew import crew_problems
from pikepole_model.rules.decks import deck_problems
from pikepole_model.rules.existing import existing_problems
from pikepole_model.rules.foundation import foundation_problems
from pikepole_model.rules.knee import knee_key_problems
from pikepole_model.rules.loft import loft_key_problems, loft_problems
from pikepole_model.rules.measured import measured_problems
from pikepole_model.rules.moving import move_problems
from pikepole_model.rules.opening_keys import opening_key_problems
from pikepole_model.rules.openings import bolt_problems, opening_problems
from pikepole_model.rules.ridge import ridge_key_problems
from pikepole_model.rules.roof import roof_problems
from pikepole_model.rules.ruler import Ruler, walls_height
from pikepole_model.rules.site import site_problems
from pikepole_model.rules.steps import steps_problems
from pikepole_model.rules.turns import Rule, Turns
from pikepole_model.rules.walls import wall_key_problems, wall_problems
from pikepole_model.rules.windows_doors import door_name_problems, fitted_opening_problems
from pikepole_model.rules.yard import yard_problems
from pikepole_model.scene.posts import Bay
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.catalogue import load_catalogue

# A wall lower than this between its plates is a kerb. Assumed: nobody frames one.
LEAST_STUD_MM = 152.4


def key_problems(scene: Scene) -> Iterator[Problem]:
    """What contradicts itself in a scene, whatever its sizes."""
    yield from _own_names(scene)
    yield from _on_posts(scene)
    if scene.foundation is None and not scene.posts:
        mend = "add the table [foundation], or [posts] for a roof on posts without walls"
        yield Problem.at(("foundation",), "is missing", mend)
    elif scene.bearers and not (scene.floor or scene.posts):
        mend = f"{scene.bearers.kind} carry a deck floor: add the table [floor]"
        yield Problem.at(("floor",), "is missing", mend)
    # What is moved off a pad has its own line in the report.
    if scene.floor_pad and scene.floor is not None and scene.move is None:
        yield Problem.at(
            ("floor",), "cannot lie on a pad, which is a floor itself", leave_out(("floor",))
        )
    if scene.beam and not scene.bay and not scene.posts and not scene.beam.on_walls:
        yield Problem.at(
            ("beam",),
            "has no bay to carry",
            either(leave_out(("beam",)), "give beam.on_walls true"),
        )
    yield from ridge_key_problems(scene)
    yield from knee_key_problems(scene)
    yield from clerestory_key_problems(scene)
    yield from loft_key_problems(scene)
    yield from opening_key_problems(scene)
    yield from door_name_problems(scene)
    yield from wall_key_problems(scene)
    sides: set[str] = set()
    for k, bay in enumerate(scene.bay):
        if bay.side in sides:
            yield Problem.at(
                ("bay", k, "side"),
                "has a bay already",
                leave_out(("bay", k)),
                other("bay", k, "side"),
            )
        sides.add(bay.side)
        yield from _bay_keys(k, bay, scene.walls.low_height or scene.walls.high_height)
    if scene.floor:
        things: set[str] = set()
        for k, thing in enumerate(scene.floor.through):
            if thing.name in things:
                yield Problem.at(
                    ("floor", "through", k, "name"),
                    "is used twice",
                    f'give "{thing.name} {k + 1}"',
                )
            things.add(thing.name)
    posts: set[str] = set()
    for k, post in enumerate(scene.existing):
        if post.name in posts:
            yield Problem.at(
                ("existing", k, "name"), "is used twice", f'give "{post.name} {k + 1}"'
            )
        posts.add(post.name)
    yield from crew_problems(scene)
    yield from site_problems(scene)
    if scene.move:
        yield from move_problems(scene, scene.move)


def _on_posts(scene: Scene) -> Iterator[Problem]:
    """A building on posts has no store, and nothing of one."""
    if not scene.posts:
        return
    if scene.posts.widths and "every" in scene.posts.model_fields_set:
        wrong, out = "stands beside widths, and one is enough", leave_out(("posts", "every"))
        yield Problem.at(("posts", "every"), wrong, out, without("posts", "widths"))
    for table in (
        "foundation",
        "floor",
        "walls",
        "opening",
        "existing",
        "loft",
        "wrap",
        "cladding",
        "move",
    ):
        if table in scene.model_fields_set and getattr(scene, table):
            yield Problem.at(
                (table,),
                "belongs to a store, and this roof stands on posts alone",
                either(leave_out((table,)), leave_out(("posts",))),
            )
    if scene.beam and scene.beam.on_walls:
        yield Problem.at(
            ("beam", "on_walls"), "has no walls to lie on", leave_out(("beam", "on_walls"))
        )
    for k, bay in enumerate(scene.bay):
        if bay.side in ("left", "right"):
            yield Problem.at(
                ("bay", k, "side"),
                "is where the posts go on: building.length says how far",
                leave_out(("bay", k)),
            )
        elif bay.roof == "ledger":
            yield Problem.at(("bay", k, "roof"), "has no wall to hang on", 'give "runs on"')


def _bay_keys(k: int, bay: Bay, walls_mm: float | None) -> Iterator[Problem]:
    given = [key for key in ("posts", "every") if getattr(bay, key) is not None]
    given += ["widths"] if bay.widths else []
    if given[1:]:
        wrong = f"stands beside {given[0]}, and one is enough"
        out = leave_out(("bay", k, given[1]))
        yield Problem.at(("bay", k, given[1]), wrong, out, without("bay", k, given[0]))
    on_ledger = bay.roof == "ledger"
    if on_ledger and bay.side in ("left", "right"):
        yield Problem.at(
            ("bay", k, "roof"),
            "goes with the front or the back",
            'give "runs on"',
            other("bay", k, "side"),
        )
    elif on_ledger and bay.ledger_height is None:
        yield Problem.at(
            ("bay", k, "ledger_height"),
            "is missing",
            "",
            Try(("bay", k, "ledger_height"), "less", walls_mm),
        )
    for key in () if on_ledger else ("slope", "ledger_height"):
        if getattr(bay, key) is not None:
            yield Problem.at(
                ("bay", k, key),
                "belongs to a roof on a ledger",
                leave_out(("bay", k, key)),
            )


def _own_names(scene: Scene) -> Iterator[Problem]:
    catalogue = load_catalogue()
    taken = {
        "lumber": catalogue.lumber,
        "sheet": catalogue.sheets,
        "species": catalogue.species,
        "roll": catalogue.rolls,
        "panel": catalogue.panels,
        "flat": catalogue.flats,
        "pane": catalogue.panes,
        "window": catalogue.windows,
        "mesh": catalogue.meshes,
        "bar": catalogue.bars,
    }
    for kind, rows in scene.stock.tables.items():
        there = taken[kind]
        own: dict[str, int] = {}
        for k, row in enumerate(rows):
            path = ("stock", kind, k, "name")
            if row.name in there:
                yield Problem.at(path, "is in the catalogue already", f'give "own {row.name}"')
            elif row.name in own:
                first = f"stock.{kind}[{own[row.name] + 1}]"
                yield Problem.at(
                    path,
                    f"is in this scene twice, first at {first}",
                    f'give "{row.name} {k + 1}", or {leave_out(path[:-1])}',
                )
            own.setdefault(row.name, k)


def size_problems(datums: Datums, turns: Turns) -> Iterator[Problem]:
    """What is too long, too wide or too high for what it goes into or is cut from."""
    fits = True
    for problem in _sizes(datums, turns):
        fits = False
        yield problem
    roof, ruler = RoofPlan(datums), Ruler(datums.scene.units)
    yield from measured_problems(roof, ruler, partial(_sizes, turns=turns) if fits else None)


def _sizes(datums: Datums, turns: Turns) -> Iterator[Problem]:
    scene, roof = datums.scene, RoofPlan(datums)
    ruler = Ruler(scene.units)
    plans = plan_walls(roof)
    of_roof = cache(lambda: [*roof_problems(roof, ruler)])
    rules: dict[str, Rule] = {
        "spacings": lambda: _spacings(datums, ruler),
        "foundation": lambda: foundation_problems(datums, ruler),
        "decks": lambda: deck_problems(scene),
    }
    if scene.foundation:
        rules["floor"] = lambda: _floor(datums, ruler)
    if plans:
        rules["wall heights"] = lambda: _wall_heights(datums, plans, ruler)
    rules |= {f"{plan.name} wall": partial(_wall, plan, ruler) for plan in plans}
    rules |= {
        "cladding": lambda: _cladding(scene, plans, of_roof, ruler),
        "bays": lambda: _bays(roof, plans, ruler),
        "roof": of_roof,
        "loft": lambda: loft_problems(roof, plans, ruler),
        "existing": lambda: existing_problems(roof, plans, ruler),
        "buying": lambda: buying_problems(scene),
        "yard": lambda: yard_problems(scene),
    }
    return turns.ask(rules)


def _wall(plan: WallPlan, ruler: Ruler) -> Iterator[Problem]:
    """A wall and its openings; how these are fitted out once they go into it."""
    yield from wall_problems(plan, ruler)
    found = list(opening_problems(plan, ruler))
    yield from found or bolt_problems(plan, ruler)
    yield from [] if found else fitted_opening_problems(WallFace(plan), ruler)


def _cladding(
    scene: Scene,
    plans: tuple[WallPlan, ...],
    of_roof: Callable[[], list[Problem]],
    ruler: Ruler,
) -> Iterable[Problem]:
    if scene.roof.clerestory:
        # A strip of wall over a lower roof is nowhere before that roof is known and fits.
        lines = (v for plan in plans for point in plan.top_line for v in point)
        if not all(map(math.isfinite, lines)) or of_roof():
            return ()
    return cladding_problems(scene, wall_faces(plans), ruler)


def _bays(roof: RoofPlan, plans: tuple[WallPlan, ...], ruler: Ruler) -> Iterable[Problem]:
    """Bays, and the ways up into the building once these are right."""
    return [*bay_problems(roof, plans, ruler)] or steps_problems(roof, plans, ruler)


def _spacings(datums: Datums, ruler: Ruler) -> Iterator[Problem]:
    scene = datums.scene
    start, end = datums.roof_ends_mm
    # The end members would be all there is; or a sheet could not reach from one to the next.
    shorter = min(datums.length_mm, datums.depth_mm)
    walls, roof, floor = scene.walls, scene.roof, scene.floor
    wall_sheet, roof_sheet = scene.sheet_stock(walls.sheet), scene.sheet_stock(roof.sheet)
    rules = [("roof", "the roof", roof.spacing, end - start, roof_sheet.length_mm / 2)]
    if not scene.posts:
        rules.insert(0, ("walls", "the wall", walls.spacing, shorter, wall_sheet.width_mm))
    if floor:
        most = datums.deck_longest_mm / 2
        rules.append(("floor", "the floor", floor.spacing, datums.length_mm, most))
    for table, what, spacing, room, most in rules:
        if spacing > room + TOLERANCE_MM:
            yield Problem.at(
                (table, "spacing"),
                f"is wider than {what}, which is {ruler.at(room)}",
                f"give {ruler.at_most(room)}",
            )
        elif spacing > most + TOLERANCE_MM:
            yield Problem.at(
                (table, "spacing"),
                "is so wide that the sheets could not break on members",
                f"give {ruler.at_most(most)}",
            )


def _floor(datums: Datums, ruler: Ruler) -> Iterator[Problem]:
    """Joists that reach from rim to rim, and room for what stands up through the floor."""
    scene = datums.scene
    if scene.floor is None:
        return
    joist = scene.lumber_stock(scene.floor.joist)
    yield from ruler.too_long(
        ("floor", "joist"),
        datums.depth_mm - 2 * joist.breadth_mm,
        joist,
        less("building", "depth"),
        more("floor", "joist"),
    )
    # The rims and the end joists stay whole.
    edge = joist.breadth_mm + CLEAR_OF_MM
    for k, thing in enumerate(scene.floor.through):
        for side, start, size, whole in (
            ("x", thing.x, thing.width, datums.length_mm),
            ("y", thing.y, thing.depth, datums.depth_mm),
        ):
            most = whole - size - edge
            if start < edge - TOLERANCE_MM or start > most + TOLERANCE_MM:
                yield Problem.at(
                    ("floor", "through", k, side),
                    f"runs it into the edge of the floor, which is {ruler.at(whole)}",
                    "",
                    other("floor", "through", k, side),
                    less("floor", "through", k, "width" if side == "x" else "depth"),
                )


def _wall_heights(datums: Datums, plans: tuple[WallPlan, ...], ruler: Ruler) -> Iterator[Problem]:
    scene = datums.scene
    walls, stud = scene.walls, scene.lumber_stock(scene.walls.stud)
    path = walls_height(scene)
    given = walls.low_height if walls.high_height is None else walls.high_height
    assert given is not None, "walls without a height"
    heads = {
        (plan.name, u): plan.stud_head(u)
        for plan in plans
        if not plan.foot_mm  # a clerestory's strip is as high as its step makes it
        for u in (*plan.framed, *(corner for corner, _ in plan.top_line[1:-1]))
    }
    (lowest, _), least = min(heads.items(), key=lambda item: item[1])
    most = max(heads.values())
    foot = datums.breadth_mm
    short = LEAST_STUD_MM - (least - foot)
    if short > TOLERANCE_MM:
        yield Problem.at(
            path,
            f"leaves the {lowest} wall too low to frame at its lower end",
            f"give {ruler.at_least(given + short)}",
            less("roof", "slope"),
        )
    yield from ruler.too_long(
        path,
        most - foot,
        stud,
        less(*path),
        less("roof", "slope"),
    )
