"""Scenes drawn at random: tables as a scene file holds them, with nothing wrong in them."""

from __future__ import annotations

from typing import Any, TypeAlias

from hypothesis import assume
from hypothesis import strategies as st

from pikepole_model.reading.file import check_scene
from pikepole_model.scene.schema import Scene

Table: TypeAlias = dict[str, Any]

# Dressed breadths and depths, mm: 1-1/2, 3-1/2, 5-1/2 and 7-1/2 in (PS 20), and what the metric
# names say.
STUDS = {"2x4": 88.9, "2x6": 139.7, "CLS 38x114": 114.0, "C16 45x95": 95.0}
RAFTERS = {"2x6": 38.1, "2x8": 38.1, "2x10": 38.1, "2x12": 38.1, "C16 47x170": 47.0}
PLIES = {"2x6": 38.1, "2x8": 38.1, "2x10": 38.1, "C16 47x195": 47.0}
POSTS = {"4x4": 88.9, "4x6": 139.7, "6x6": 139.7, "6x8": 190.5, "8x8": 190.5}
SKIDS = ("4x4", "4x6", "6x6", "6x8")
WALL_SHEETS = ("7/16 OSB", "15/32 plywood", "11 mm OSB/3 1250x2500")
FLOOR_SHEETS = ("23/32 plywood", "18 mm plywood 1220x2440")


def lengths(least_mm: int, most_mm: int) -> st.SearchStrategy[str]:
    """A length as a person writes it: whole millimetres, or inches to the eighth."""
    in_mm = st.integers(least_mm, most_mm).map("{} mm".format)
    eighths = st.integers(-(-least_mm * 10 // 254) * 8, most_mm * 10 // 254 * 8)
    return in_mm | eighths.map(lambda n: f"{n // 8}-{n % 8}/8 in" if n >= 8 else f"{n}/8 in")


def overhangs(most_mm: int) -> st.SearchStrategy[str]:
    """None at all, or enough to be clear of any cladding."""
    return st.just("0 in") | lengths(120, most_mm)


spacings = st.sampled_from(["12 in", "16 in", "19.2 in", "24 in", "400 mm", "600 mm"]) | lengths(
    300, 610
)
slopes = st.integers(1, 12).map("{}:12".format) | st.integers(5, 45).map("{} deg".format)


@st.composite
def foundations(draw: st.DrawFn, kind: str) -> Table:
    if kind == "pad":
        above = draw(st.integers(0, 200))
        deep = above + draw(st.integers(305, 350))
        return {
            "kind": "pad",
            "thickness": draw(lengths(90, 150)),
            "above_ground": f"{above} mm",
            "edge_depth": f"{deep} mm",
            "edge_width": draw(lengths(150, 350)),
            "bolt_diameter": draw(st.sampled_from(["1/2 in", "5/8 in", "12 mm"])),
            "bolt_embedment": draw(lengths(100, deep - 60)),
            "bolt_spacing": draw(lengths(400, 1828)),
        }
    if kind == "piers":
        bottom, margin = draw(st.integers(250, 400)), draw(st.integers(0, 100))
        return {
            "kind": "piers",
            "girder": draw(st.sampled_from(SKIDS)),
            "count": draw(st.integers(2, 4)),
            "inset": draw(lengths(0, 200)),
            "spacing": draw(lengths(bottom + 2 * margin + 1, 2000)),
            "block_height": draw(lengths(50, 400)),
            "block_top": draw(lengths(141, bottom)),
            "block_bottom": f"{bottom} mm",
            "gravel": draw(lengths(30, 200)),
            "gravel_margin": f"{margin} mm",
        }
    return {
        "kind": "skids",
        "skid": draw(st.sampled_from(SKIDS)),
        "count": draw(st.integers(2, 5)),
        "inset": draw(lengths(0, 200)),
        "toe": draw(lengths(0, 44)),
    }


@st.composite
def floors(draw: st.DrawFn) -> Table:
    floor: Table = {
        "joist": draw(st.sampled_from(["2x4", "2x6", "2x8", "C16 47x145"])),
        "spacing": draw(spacings),
        "blocking_rows": draw(st.integers(0, 2)),
        "sheet": draw(st.sampled_from(FLOOR_SHEETS)),
    }
    if draw(st.booleans()):
        floor["through"] = [
            {
                "name": "pipe",
                "x": draw(lengths(200, 900)),
                "y": draw(lengths(200, 900)),
                "width": draw(lengths(40, 200)),
                "depth": draw(lengths(40, 200)),
            }
        ]
    return floor


@st.composite
def beams(draw: st.DrawFn, wall_mm: float, rafter_mm: float) -> Table:
    """A beam that the wall is thick enough for, and the rafters' blocks can stand on."""
    fitting = [
        {"ply": ply, "plies": plies, "spacer": spacer}
        for ply, breadth_mm in PLIES.items()
        for plies in (1, 2, 3)
        for spacer, gap_mm in (("1/2 plywood", 12.7), ("none", 0.0))
        if rafter_mm <= plies * breadth_mm + (plies - 1) * gap_mm <= wall_mm
    ]
    assume(fitting)
    return draw(st.sampled_from(fitting))


@st.composite
def bays(draw: st.DrawFn, end: str, beam: Table) -> Table:
    gap_mm = 12.7 if beam["spacer"] != "none" else 0.0
    thick_mm = beam["plies"] * (PLIES[beam["ply"]] + gap_mm) - gap_mm
    caps = [post for post, depth_mm in POSTS.items() if abs(depth_mm - thick_mm) < 0.5]
    notched = [post for post, depth_mm in POSTS.items() if depth_mm >= thick_mm + 38.1]
    seat = draw(st.sampled_from([*(["cap"] if caps else []), *(["notch"] if notched else [])]))
    posts, diameter_mm = draw(st.integers(1, 3)), draw(st.integers(250, 400))
    # The first footing clears the gravel, the others clear one another.
    return {
        "side": end,
        "reach": draw(lengths(posts * (diameter_mm + 400), posts * (diameter_mm + 400) + 3000)),
        "posts": posts,
        "post": draw(st.sampled_from(caps if seat == "cap" else notched)),
        "seat": seat,
        "footing": {
            "diameter": f"{diameter_mm} mm",
            "depth": draw(lengths(300, 900)),
            "above_ground": draw(lengths(0, 150)),
        },
    }


@st.composite
def lean_tos(draw: st.DrawFn, side: str, beam: Table) -> Table:
    """A bay along the front or the back: its posts stand along the building."""
    bay = draw(bays(side, beam))
    del bay["posts"]
    bay["reach"] = draw(lengths(900, 3000))
    if draw(st.booleans()):
        bay["posts"] = draw(st.integers(2, 5))
    bay["roof"] = draw(st.sampled_from(["runs on", "ledger"]))
    if bay["roof"] == "ledger":
        bay["ledger_height"] = draw(lengths(1600, 3000))
        bay["ledger"] = draw(st.sampled_from(["2x8", "2x10"]))
        if draw(st.booleans()):
            bay["slope"] = draw(st.integers(1, 6).map("{}:12".format))
    return bay


@st.composite
def ridges(draw: st.DrawFn) -> Table:
    place: Table = {}
    if draw(st.booleans()):
        place["from_front"] = draw(lengths(300, 1800))
    if draw(st.booleans()):
        return {
            **place,
            "kind": "board",
            "board": draw(st.sampled_from(["1x10", "1x12", "2x10", "2x12"])),
            "tie": draw(st.sampled_from(["2x4", "2x6"])),
            "tie_height": draw(lengths(0, 300)),
        }
    ply = draw(st.sampled_from(["2x8", "2x10", "2x12"]))
    return {**place, "kind": "beam", "ply": ply, "plies": draw(st.integers(2, 4))}


@st.composite
def knees(draw: st.DrawFn) -> Table:
    return {
        "slope": f"{draw(st.integers(6, 18))}:12",
        "from_wall": draw(lengths(200, 1000)),
        "gusset": draw(st.sampled_from(["none", "1/2 plywood"])),
    }


@st.composite
def standing_posts(draw: st.DrawFn, name: str, longest_mm: int) -> Table:
    return {
        "name": name,
        "x": draw(lengths(50, longest_mm)),
        "y": draw(lengths(50, 3500)),
        "width": draw(lengths(40, 250)),
        "depth": draw(lengths(40, 250)),
        "height": draw(lengths(700, 3000)),
    }


@st.composite
def openings(draw: st.DrawFn, name: str, longest_mm: int) -> Table:
    opening: Table = {
        "name": name,
        "kind": draw(st.sampled_from(["door", "window"])),
        "wall": draw(st.sampled_from(["front", "back", "left", "right"])),
        "from_left": draw(lengths(120, longest_mm)),
        "width": draw(lengths(250, 2400)),
    }
    if opening["kind"] == "window":
        opening["sill"] = draw(lengths(77, 1300))
        opening["height"] = draw(lengths(200, 1200))
    else:
        opening["height"] = draw(lengths(1500, 2100))
    if draw(st.booleans()):
        opening["header"] = draw(st.sampled_from(["2x4", "2x6", "2x8"]))
    if draw(st.booleans()):
        opening["jacks"] = draw(st.integers(1, 2))
    return opening


@st.composite
def roofs(draw: st.DrawFn) -> Table:
    tail = draw(st.sampled_from(["plumb", "square"]))
    return {
        "slope": draw(slopes),
        "falls": draw(st.sampled_from(["back", "front"])),
        "rafter": draw(st.sampled_from(list(RAFTERS))),
        "spacing": draw(spacings),
        # A square cut leans in under the eave: the heel needs an overhang as wide as it leans.
        "eave_overhang": draw(lengths(210, 600) if tail == "square" else overhangs(600)),
        "high_overhang": draw(overhangs(600)),
        "rake_overhang": draw(overhangs(600)),
        "lookout_spacing": draw(lengths(300, 800)),
        "tail": tail,
    }


@st.composite
def tables(draw: st.DrawFn, *, forms: bool = False) -> Table:
    """A scene as its file holds it, with nothing that the program finds wrong.

    Openings are drawn anywhere and kept where they fit, so that some stand as close to a corner,
    to one another or to the plates as is allowed; so are posts that stand there already.

    Args:
        draw: Hypothesis's.
        forms: Whether gables, lean-tos, piers, beams without a bay, roof edges and posts that stand
            already are among them.
    """
    kinds = ["skids", "skids", "pad"]
    if forms:
        kinds += ["piers", "piers"]
    kind = draw(st.sampled_from(kinds))
    stud = draw(st.sampled_from(list(STUDS)))
    longest_mm = draw(st.sampled_from([3000, 5000, 8000]))
    table: Table = {
        "title": "Drawn at random",
        "units": draw(st.sampled_from(["imperial", "metric"])),
        "building": {
            "length": draw(lengths(1200, longest_mm)),
            "depth": draw(lengths(1200, 3600)),
        },
        "foundation": draw(foundations(str(kind))),
        "walls": {
            "stud": stud,
            "spacing": draw(spacings),
            draw(st.sampled_from(["low_height", "high_height"])): draw(lengths(1900, 3300)),
            "sheet": draw(st.sampled_from(WALL_SHEETS)),
        },
        "roof": draw(roofs()),
    }
    if kind != "pad":
        table["floor"] = draw(floors())
    rafter_mm = RAFTERS[table["roof"]["rafter"]]
    ends = draw(st.sampled_from([(), (), ("left",), ("right",), ("left", "right")]))
    sides: tuple[str, ...] = ()
    if forms:
        sides = draw(st.sampled_from([(), (), ("front",), ("back",), ("front", "back")]))
    if ends or sides:
        beam = draw(beams(STUDS[stud], rafter_mm))
        table["beam"] = beam
        table["bay"] = [draw(bays(end, beam)) for end in ends]
        table["bay"] += [draw(lean_tos(side, beam)) for side in sides]
    if forms:
        if draw(st.booleans()):
            table["roof"]["ridge"] = draw(ridges())
            if draw(st.booleans()):
                table["roof"]["back_slope"] = draw(slopes)
            if draw(st.booleans()):
                kneed = {**table["roof"], "rafter": "2x10", "knee": draw(knees())}
                # Most are too steep over it for what is drawn here.
                if not check_scene({**table, "roof": kneed})[1]:
                    table["roof"] = kneed
        if draw(st.booleans()):
            boards: list[Table] = [{}, {"fascia": "none"}, {"barge": "none"}]
            metal: list[Table] = [{}, {"metal": "none"}]
            table["edges"] = draw(st.sampled_from(boards)) | draw(st.sampled_from(metal))
        if draw(st.booleans()):
            table["beam"] = {**table.get("beam", draw(beams(STUDS[stud], rafter_mm)))}
            table["beam"]["on_walls"] = True
    assume(not check_scene(table)[1])
    for items, most, item in (
        ("opening", 6, openings),
        ("existing", 3 if forms else 0, standing_posts),
    ):
        fitting: list[Table] = []
        for number in range(draw(st.integers(0, most))):
            one = draw(item(f"{items} {'abcdef'[number]}", longest_mm))
            if not check_scene({**table, items: [*fitting, one]})[1]:
                fitting.append(one)
        if fitting:
            table[items] = fitting
    return table


def scene_of(table: Table) -> Scene:
    """The checked scene of a table.

    Raises:
        AssertionError: something is wrong with it.
    """
    scene, problems = check_scene(table)
    assert scene is not None
    assert not problems, problems
    return scene


def scenes() -> st.SearchStrategy[Scene]:
    """A checked scene: a store under a monopitch roof, with or without bays at its ends."""
    return tables().map(scene_of)


def forms() -> st.SearchStrategy[Scene]:
    """A checked scene of any form of building."""
    return tables(forms=True).map(scene_of)
