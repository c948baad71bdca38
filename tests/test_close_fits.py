"""Small stores in which one piece came into another's place: each is clean."""

from __future__ import annotations

from typing import Any

import pytest

from pikepole_export.derive.buying.fasteners import fasteners
from pikepole_export.derive.moving.plan import plan_moves
from pikepole_model.build import build
from strategies import scene_of
from whole import laid_out

ON_SKIDS: dict[str, Any] = {"foundation": {"kind": "skids"}, "floor": {}}

STEEL: dict[str, Any] = {"kind": "steel", "mass_kg": 35, "thickness": "40 mm", "frame": "1x8"}

GLAZED: dict[str, Any] = {"kind": "unit", "glazing": "double glazed"}

FRAMED_SLIDING: dict[str, Any] = {"kind": "framed", "track": {"lap": "1 in"}}


def store(length: str, depth: str, slope: str, **tables: Any) -> dict[str, Any]:
    """A bee store of which little more is said."""
    under = {} if "foundation" in tables else ON_SKIDS
    roof = {"slope": slope, **tables.pop("roof", {})}
    size = {"length": length, "depth": depth}
    return {"title": "Swarm store", "building": size, **under, **tables, "roof": roof}


def opening(kind: str, wall: str, from_left: str, width: str, **keys: Any) -> dict[str, Any]:
    """A door or a window."""
    sizes = {"height": "6 ft"} if kind == "door" else {"height": "2 ft", "sill": "3 ft"}
    place = {"wall": wall, "from_left": from_left, "width": width}
    return {"name": f"{wall} {kind}", "kind": kind, **place, **sizes, **keys}


FITTING = {
    # A strip with plumb ends up a rake of 8:12, from sheets of 8 ft.
    "rake strip": store("13 ft", "7 ft", "8:12", wrap={}),
    # Where cladding starts higher than the floor, casing stands before the flashing at its foot.
    "casing at a foot": store(
        "7 ft",
        "11 ft 6 in",
        "10 deg",
        walls={"low_height": "2900 mm"},
        opening=[opening("door", "left", "18 in", "3 ft", trim={})],
        edges={},
        cladding=[{"kind": "boards", "above_ground": "16 in"}],
    ),
    # Casing lies on a bare wall where the next window's sill membrane turns down over its face.
    "membrane beside a casing": store(
        "24 ft",
        "5 ft",
        "7:12",
        foundation={"kind": "pad"},
        opening=[
            opening("door", "front", "10 ft", "3 ft 7 in", height="5 ft 9 in", trim={}),
            opening("window", "front", "14 ft 1-1/8 in", "3 ft", window=GLAZED),
        ],
    ),
    # A soffit under a steep roof comes down on the wall where a casing's flashing would lie.
    "flashing under a soffit": store(
        "12 ft 11 in",
        "7 ft 5 in",
        "31 deg",
        units="metric",
        foundation={"kind": "pad"},
        walls={"low_height": "6 ft 3 in"},
        roof={"falls": "front", "rake_overhang": "0 in"},
        opening=[
            opening("window", "front", "2 ft", "2 ft", height="509 mm", sill="1180 mm", trim={}),
            opening("door", "back", "3 ft", "3 ft"),
        ],
        edges={"soffit": "15/32 plywood"},
    ),
    # Deep end walls' raked plates leave a wedge over the corner that leads nowhere.
    "wedge at a corner": store(
        "9 ft 6 in",
        "10 ft 10 in",
        "9 deg",
        foundation={"kind": "piers"},
        floor={},
        walls={"stud": "2x6"},
        roof={"rafter": "2x12"},
        opening=[opening("door", "front", "3 ft", "3 ft")],
    ),
    # Plates of 63 mm are narrower than the washer of 3 in that others have.
    "washers on narrow plates": store(
        "7 ft 6 in",
        "9 ft",
        "4:12",
        units="metric",
        foundation={"kind": "pad"},
        walls={"stud": "CLS 38x63"},
        opening=[opening("door", "front", "2 ft", "3 ft")],
    ),
    # Two narrow boards end each wall, with battens wider than they are.
    "narrow boards": store(
        "11 ft 9-3/8 in",
        "12 ft 11 in",
        "14 deg",
        cladding=[{"kind": "battens", "board": "1x6", "batten": "1x4"}],
    ),
    # A ridge of 3-1/2 in on a post of one stud of 45 mm: the next stud stands in its way.
    "ridge in a wall": store(
        "4 ft 10 in",
        "13 ft",
        "7:12",
        walls={"stud": "C16 45x95"},
        roof={"ridge": {"kind": "beam", "plies": 2}},
    ),
    # A corner board of 5-1/2 in and a casing as wide, 8 in from the corner.
    "casing at a corner": store(
        "4 ft",
        "1622 mm",
        "3:12",
        foundation={"kind": "pad", "edge_width": "8 in"},
        opening=[opening("window", "left", "8 in", "2 ft", trim={"board": "1x6"})],
        cladding=[{"kind": "battens", "corner": "1x6"}],
    ),
    # A track that runs on to the corner.
    "track at a corner": store(
        "7 ft",
        "6 ft",
        "2:12",
        opening=[
            opening("door", "front", "8 in", "3 ft")
            | {"door": {"kind": "framed", "track": {"lap": "1 in"}}}
        ],
        cladding=[{"kind": "battens"}],
    ),
    # 0.4 mm less between a header and the plates than studs laid flat are thick.
    "packing a hair too high": store(
        "14 ft",
        "4276 mm",
        "6 deg",
        opening=[opening("door", "back", "3 ft", "1500 mm", height="1880 mm")],
    ),
    # Barge boards hang lower than tails of 46 degrees, and a flashing's leg ends under them.
    "leg under barge boards": store(
        "8 ft",
        "8 ft",
        "46 deg",
        bay=[
            {"side": "front", "reach": "5 ft", "slope": "6 deg"}
            | {"roof": "ledger", "ledger_height": "5 ft 11 in"}
        ],
        edges={},
        roof={"ridge": {"kind": "board", "board": "1x12"}}
        | {"eave_overhang": "0 in", "rake_overhang": "0 in"},
    ),
    # A flashing's leg ends just under the rafters of the roof above: it is not nailed to them.
    "leg under rafters": store(
        "4 ft",
        "14 ft",
        "6:12",
        roof={"falls": "back", "eave_overhang": "1 in"},
        bay=[
            {"side": "back", "reach": "9 ft", "slope": "2:12"}
            | {"roof": "ledger", "ledger_height": "1800 mm"}
        ],
        edges={},
    ),
    # A flashing that runs on to a doorway without casing, where a hinge lies on the wall.
    "hinge at a foot": store(
        "7 ft",
        "6 ft",
        "2:12",
        foundation={"kind": "pad"},
        opening=[opening("door", "front", "18 in", "3 ft", door={"kind": "framed"})],
        edges={},
        cladding=[{"kind": "battens", "above_ground": "8 in"}],
    ),
    # A bought window not as high as two packers.
    "packers in a low window": store(
        "7 ft",
        "6 ft",
        "2:12",
        opening=[
            opening("window", "front", "18 in", "16 in", height="95 mm")
            | {"window": {**GLAZED, "clearance": "3/8 in"}}
        ],
    ),
    # A beam 12 mm longer than the sheets of its spacer.
    "sliver of a spacer": store(
        "2450 mm", "6 ft", "2:12", walls={"stud": "2x6"}, beam={"on_walls": True}
    ),
    # Anchor bolts fill their holes in the slab, facet on facet, whatever the kernel makes of it.
    "bolt in its hole": store(
        "12 ft",
        "2580 mm",
        "12 deg",
        foundation={"kind": "pad", "above_ground": "8 mm", "edge_depth": "313 mm"}
        | {"bolt_diameter": "5/8 in", "bolt_embedment": "286 mm"},
        opening=[opening("door", "left", "470 mm", "1690 mm", height="1790 mm")],
    ),
    # Over a casing that comes up to the plates, under a beam, a flashing finds no sheathing.
    "casing under a beam": store(
        "11 ft",
        "8 ft",
        "2:12",
        walls={"low_height": "7 ft"},
        beam={"on_walls": True},
        opening=[
            opening("window", "back", "4 ft", "3 ft", height="29.5 in", sill="4 ft 2 in")
            | {"header": "none", "trim": {"board": "1x6"}}
            | {"window": {"kind": "fixed light", "frame": "1x8", "stop": "1x2"}}
        ],
        edges={"fascia": "none"},
    ),
    # A sheet's top is 32 mm under the peak of a ridge beam that comes out through the wall.
    "scrap on a ridge": store(
        "12 ft",
        "14 ft",
        "11:12",
        foundation={"kind": "piers"},
        floor={"joist": "2x6"},
        walls={"high_height": "9 ft 4 in", "sheet": "15/32 plywood"},
        roof={"ridge": {"kind": "beam"}, "lookout": "2x4"},
    ),
    # A ridge of 5-1/2 in over a window, on a post of 4-1/2 in: the next stud runs into its side.
    "ridge over a window": store(
        "8 ft",
        "7 ft 6 in",
        "3:12",
        walls={"low_height": "7 ft 2 in"},
        roof={"ridge": {"kind": "beam", "ply": "2x10", "spacer": "1/2 plywood"}},
        opening=[opening("window", "left", "10 in", "1400 mm", jacks=2)],
    ),
    # A plate of 38 mm cut plumb at 37 degrees is 23 mm longer than it is laid out level.
    "plumb cuts on a plate": store(
        "8 ft",
        "16 ft 8 in",
        "37 deg",
        walls={"stud": "CLS 38x114"},
        opening=[opening("window", "left", "4525 mm", "1 ft")],
        cutting={"longest": "24 ft"},
    ),
    # A ledger 1 in over a casing, where a flashing's leg would have come up 2 in.
    "casing under a ledger": store(
        "8 ft",
        "6 ft",
        "2:12",
        opening=[opening("door", "front", "1 ft", "4 ft", height="5 ft 11 in", trim={})],
        bay=[{"side": "front", "reach": "9 ft", "roof": "ledger", "ledger_height": "2100 mm"}],
        edges={},
        cladding=[{"kind": "boards"}],
    ),
    # A bare wall, at the end of which the next wall's corner board lies, and boards planed thinner
    # than that.
    **{
        f"track on {wall}": store(
            "9 ft",
            "12 ft",
            "5:12",
            opening=[
                opening("door", "left", "5 ft 7 in", "3 ft")
                | {"door": {"kind": "framed", "track": {"to": "right", "lap": "1 in"}}}
            ],
            cladding=[{"walls": ["front"], "kind": "battens", "corner": "1x6"}, *beside],
        )
        for wall, beside in {
            "a bare wall": [],
            "planed boards": [{"walls": ["left"], "kind": "boards", "planed": "1/2 in"}],
        }.items()
    },
    # Each leaf of 3 ft 2 in slides 3 ft 2 in: the tracks of a row meet.
    "tracks end to end": store(
        "20 ft",
        "8 ft",
        "2:12",
        opening=[
            opening("door", "front", "2 ft", "3 ft", count=2, every="6 ft 4 in")
            | {"door": {"kind": "ledged", "track": {"lap": "1 in"}}}
        ],
    ),
    # Casing on slats or bare studs, round a doorway without a frame.
    **{
        f"casing on {kind}": store(
            "12 ft",
            "8 ft",
            "2:12",
            walls={"front": {"kind": kind, "brace": "none"}},
            opening=[
                opening("door", "front", "1 ft", "3 ft", trim={}),
                opening("door", "front", "5 ft", "3 ft", name="sliding door")
                | {"door": {"kind": "ledged", "track": {}}},
            ],
        )
        for kind in ("slats", "braces")
    },
    # A footing through both sides of a gravel bed, just short of its corner.
    "corner of a gravel bed": store(
        "13 ft",
        "7 ft",
        "1:12",
        foundation={"kind": "skids", "gravel_margin": "11 in"},
        floor={},
        walls={"low_height": "9 ft"},
        bay=[
            {"side": "left", "reach": "1300 mm", "posts": 3, "post": "6x8", "footing": {}}
            | {"ground": {"kind": "gravel"}}
        ],
    ),
    # Skids half an inch longer than the longest board.
    "stub of a skid": store("12 ft 1/2 in", "6 ft", "2:12", cutting={"longest": "13 ft"}),
    # A board lower than the bottom plate of a wall without sheets lies on the joists alone.
    "siding on bare joists": store(
        "10 ft",
        "8 ft",
        "2:12",
        floor={"joist": "2x10"},
        foundation={"kind": "piers"},
        walls={"left": {"kind": "braces"}, "front": {"kind": "braces"}},
        cladding=[{"kind": "boards"}],
    ),
    # Three plies of 1-1/2 in are 0.3 mm thicker than a wall of 114 mm with studs in its corners.
    "header of an open wall": store(
        "3300 mm", "8 ft", "2:12", walls={"stud": "CLS 38x114", "back": {"kind": "open"}}
    ),
    # The membrane under a window without casing laps the leg of the flashing below it, on sheets
    # that no wrap covers.
    "window over a lower roof's flashing": store(
        "2200 mm",
        "1300 mm",
        "11 deg",
        walls={"high_height": "2760 mm"},
        roof={
            "lookout_spacing": "1 ft",
            "tail": "square",
            "clerestory": {"from_wall": "662 mm", "step": "4 ft 10 in", "spacer": "none"},
        },
        opening=[
            opening("window", "clerestory", "904 mm", "393 mm", height="1 ft", sill="1746 mm")
            | {"window": {"kind": "fixed light"}}
        ],
        edges={"fascia": "none"},
    ),
    # A joist a few millimetres before the last: only one of them has room for its tie to a skid.
    "ties of joists side by side": store(
        "2500 mm",
        "5 ft",
        "12:12",
        floor={
            "spacing": "600 mm",
            "through": [
                {"name": "pipe", "x": "2000 mm", "y": "1194 mm", "width": "197 mm"}
                | {"depth": "200 mm"}
            ],
        },
        roof={"eave_overhang": "0 in", "rake_overhang": "0 in", "eave": "open"},
    ),
    # Wrap behind a ledger goes up to a soffit that is less than a flashing's leg over it.
    "wrap up to a soffit": store(
        "10 ft",
        "10 ft",
        "32 deg",
        foundation={"kind": "pad"},
        walls={"low_height": "8 ft"},
        roof={"ridge": {"kind": "beam"}, "eave_overhang": "2 ft"},
        bay=[
            {"side": "front", "reach": "8 ft", "ledger": "2x10"}
            | {"roof": "ledger", "ledger_height": "7 ft"}
        ],
        edges={"soffit": "7/16 OSB", "metal": "none"},
        wrap={},
    ),
    # The first row that boards are nailed to comes where the bottom plate lies, or bolts stand up.
    **{
        f"row at the foot, on {kind}": store(
            "8 ft",
            "8 ft",
            "2:12",
            **under,
            walls={"sheet": "11 mm OSB/3 1250x2500"},
            cladding=[{"kind": "battens", "above_ground": above}],
        )
        for kind, above, under in (
            ("skids", "12 in", ON_SKIDS),
            ("pad", "6 in", {"foundation": {"kind": "pad"}}),
        )
    },
    # A row of nailing blocks reaches into the rough sill over it.
    "row under a sill": store(
        "8 ft",
        "8 ft",
        "2:12",
        walls={"sheet": "11 mm OSB/3 1250x2500"},
        opening=[opening("window", "front", "2 ft", "3 ft", sill="22 in")],
        cladding=[{"kind": "battens"}],
    ),
    # A tie takes the upper part of a block beside it right up to the sheets.
    "tie beside a block": store(
        "2392 mm",
        "14 ft",
        "6:12",
        walls={"low_height": "7 ft", "high_height": "7 ft 2-7/8 in", "spacing": "12 in"},
        roof={"ridge": {"kind": "board", "tie_height": "100 mm"}, "spacing": "775 mm"}
        | {"rafter": "2x8", "end_rafter": "2x6", "lookout": "2x6", "rake_overhang": "2 ft"}
        | {"falls": "front"},
    ),
    # A threshold 5-1/2 in thick on a membrane of 6 in.
    "membrane under a high threshold": store(
        "8 ft",
        "8 ft",
        "2:12",
        opening=[
            opening("door", "front", "18 in", "3 ft")
            | {"door": {"kind": "framed", "membrane": "flashing membrane 6 in", "threshold": "6x6"}}
            | {"steps": {"kind": "none"}}
        ],
        wrap={},
    ),
    # Casing reaches over a thicker cladding than the door's frame stands in.
    "casing over two claddings": store(
        "8 ft",
        "8 ft",
        "2:12",
        opening=[opening("door", "front", "2 ft", "2 ft", door={"kind": "ledged"}, trim={})],
        wrap={},
        cladding=[
            {"walls": ["front"], "kind": "battens", "width": "4 ft 1-1/2 in"}
            | {"sheet": "19/32 plywood"},
            {"walls": ["front"], "kind": "battens", "from_left": "4 ft 1-1/2 in"},
        ],
    ),
    # Plates that lap at the corners under slopes this low; none laps a clerestory's.
    "plates of a clerestory": store(
        "2268 mm",
        "1700 mm",
        "2:12",
        walls={"low_height": "2100 mm", "spacing": "600 mm"},
        roof={"clerestory": {"from_wall": "3 ft 7-1/4 in", "step": "2 ft"}},
    ),
    # A flashing between two claddings comes to a window that has no casing.
    "flashing at bare tape": store(
        "9 ft",
        "9 ft",
        "2:12",
        opening=[opening("window", "back", "3 ft", "2 ft") | {"window": GLAZED}],
        edges={},
        wrap={},
        cladding=[
            {"kind": "battens", "below": "4 ft"},
            {"kind": "battens", "above": "4 ft"},
        ],
    ),
    # Steps on a lean-to's slab come down where a block stands.
    "steps beside a block": store(
        "16 ft",
        "9 ft",
        "2:12",
        foundation={"kind": "piers", "inset": "3 in"},
        floor={},
        opening=[opening("door", "front", "12 ft", "3 ft", steps={"kind": "steps"})],
        bay=[{"side": "front", "reach": "6 ft", "ground": {"kind": "slab"}}],
    ),
    # A joint of level boards falls on the edge of a window that the course is notched for.
    "joint at a notch": store(
        "11 ft",
        "1600 mm",
        "3:12",
        walls={"spacing": "24 in"},
        opening=[opening("window", "front", "6 ft", "2 ft", height="2 ft 7/8 in", sill="4 ft")],
        cladding=[{"kind": "boards"}],
        cutting={"longest": "9 ft"},
    ),
    # A tie of 5-1/2 in leaves 5/32 in under the top of a block, and a vent of 1 in over that.
    "screen over a tie": store(
        "6 ft",
        "13 ft",
        "18 deg",
        walls={"stud": "CLS 38x114"},
        roof={"ridge": {"kind": "board"}, "eave": "vents", "tail": "square"},
    ),
    # Blocks as thick as the beam under them, where rafters end: screens lie on their inner faces.
    "screen under a flush eave": store(
        "6 ft",
        "6 ft",
        "10:12",
        roof={"high_overhang": "0 in", "eave": "vents"},
        beam={"plies": 1, "ply": "2x8", "spacer": "none", "on_walls": True},
        edges={},
    ),
    # The head of a window lies level with a joint: its tape and flap reach out past the jambs'.
    "joint level with a head": store(
        "9 ft",
        "9 ft",
        "2:12",
        wrap={},
        edges={},
        opening=[
            opening("window", "back", "3 ft", "2 ft", height="20 in", sill="28 in")
            | {"window": {"kind": "fixed light"}}
        ],
        cladding=[{"kind": "boards", "below": "4 ft"}, {"kind": "boards", "above": "4 ft"}],
    ),
    # A flashing over a track or a casing passes through the corner board, over or beside boards.
    **{
        f"flashing through a corner board, {kind} on {wall}": store(
            "7 ft",
            "6 ft",
            "3:12",
            opening=[opening(fitted, wall, "8 in", width, **keys)],
            edges={},
            cladding=[{"kind": kind, "corner": "1x6"}],
        )
        for kind, wall, fitted, width, keys in (
            ("battens", "left", "window", "2 ft", {"trim": {"board": "1x6"}}),
            ("boards", "left", "window", "2 ft", {"trim": {"board": "1x6"}}),
            ("boards", "front", "door", "3 ft", {"door": FRAMED_SLIDING}),
        )
    },
    # Casing of 2-1/2 in and a flashing over it leave head tape no room to go up over jamb tape.
    "jamb tape under a low flashing": store(
        "8 ft",
        "8 ft",
        "3:12",
        opening=[
            opening("window", "back", "3 ft", "2 ft", trim={"board": "1x3"}) | {"window": GLAZED}
        ],
        edges={},
        cladding=[{"kind": "battens"}],
    ),
    # From a stud 24 in on, a sheet of 1200 mm reaches the middle of the last stud: a joint there
    # would leave a strip of half a stud.
    "sheets up to the last stud": store(
        "6 ft",
        "6 ft",
        "3:12",
        walls={"spacing": "24 in", "stud": "C16 45x95", "sheet": "11 mm OSB/3 1200x2400"},
    ),
    # Casing holds what there is of boards between two windows of a row: boards need not be set out
    # by that, and no other place leaves them 1-1/4 in beside the row.
    "boards round a row": store(
        "12 ft",
        "8 ft",
        "3:12",
        opening=[
            opening("window", "back", "16 in", "26 in", count=4, apart="1-1/2 in", trim={})
            | {"one_header": True}
        ],
        cladding=[{"kind": "battens", "walls": ["back"], "board": "1x6"}],
    ),
    # 5 mm nearer to each other, boards of an end wall would be begun 30 mm farther on.
    "boards of a twisted wall": store(
        "4 ft 1-1/2 in",
        "4010 mm",
        "10:12",
        foundation={"kind": "piers"},
        floor={},
        roof={"ridge": {"kind": "beam"}},
        opening=[
            {"name": "gate", "kind": "door", "wall": "left", "at": "middle"}
            | {"width": "5 ft 5 in", "height": "2000 mm"}
            | {"door": {"kind": "ledged", "track": {}, "leaves": 2}}
        ],
        edges={},
        cladding=[{"kind": "battens", "corner": "1x6"}],
        measured=[
            {"after": "Head flashing", "what": "span", "left": "4001 mm", "right": "4011 mm"}
        ],
    ),
    # A joist of the loft stands less than an inch beside a rafter: no block fits there, and no
    # screen would have anything to lie on.
    "vents beside a loft": store(
        "7 ft",
        "12 ft",
        "6:12",
        foundation={"kind": "pad"},
        walls={"low_height": "8 ft"},
        roof={"eave": "vents", "rafter": "2x6"},
        bay=[{"side": "left", "reach": "3500 mm"}],
        loft={},
    ),
    # Two courses of 8 ft that a rake fills nearly: the joint between them has little way down.
    "two courses up a rake": store(
        "4 ft 5 in",
        "13 ft 6 in",
        "8:12",
        foundation={"kind": "pad"},
        walls={"low_height": "7 ft"},
    ),
    # A door without casing, and cladding that ends just under its sill: flashing and membrane.
    "membrane at a foot": store(
        "10 ft",
        "12 ft 6 in",
        "4:12",
        opening=[opening("door", "back", "4 ft", "2 ft", door=STEEL)],
        edges={},
        cladding=[{"kind": "battens", "above_ground": "11 in"}],
    ),
    # A ridge beam as long as a board is one: no post carries a joint of its plies.
    "ridge of whole boards": store("20 ft", "10 ft", "8:12", roof={"ridge": {"kind": "beam"}}),
    # Rafters 5-1/2 in deep at 27 and 54 degrees: their undersides meet 1-1/4 in before the board.
    "ridge far back": store(
        "7 ft",
        "3074 mm",
        "27 deg",
        foundation={"kind": "pad"},
        walls={"low_height": "2400 mm", "high_height": "2400 mm"},
        roof={"ridge": {"kind": "board", "from_front": "2275 mm", "board": "1x12"}}
        | {"rafter": "2x6", "eave": "vents", "rake_overhang": "0 in"},
    ),
    # A tie beside the pair of rafters just outside an end wall, where the front wall's corner board
    # stands out from bare sheets.
    "tie beside a corner board": store(
        "14 ft",
        "5 ft 11 in",
        "8:12",
        units="metric",
        foundation={"kind": "pad"},
        walls={"sheet": "15/32 plywood"},
        roof={"ridge": {"kind": "board"}},
        bay=[{"side": "left", "reach": "8 ft 1-3/4 in"}],
        beam={"plies": 1},
        cladding=[{"kind": "boards", "walls": ["front"]}],
    ),
    # Rails to hold on to end under the ridge beam, which is 32-11/16 in over the loft's joists.
    "grab rails under a beam": store(
        "12 ft",
        "12 ft",
        "2:12",
        walls={"low_height": "9 ft 6 in"},
        roof={"ridge": {"kind": "beam"}},
        loft={
            "height": "6 ft 6 in",
            "opening": {"x": "6 ft", "y": "3 ft", "width": "3 ft", "depth": "40 in"}
            | {"ladder": {}},
        },
    ),
    # The same under rafter ties, of which one crosses the left rail.
    "grab rails under a tie": store(
        "14 ft",
        "12 ft",
        "10:12",
        walls={"low_height": "9 ft 3 in"},
        roof={"ridge": {"kind": "board", "tie_height": "0 in"}, "rafter": "2x6"},
        loft={
            "height": "6 ft 3 in",
            "opening": {"x": "4 ft", "y": "4 ft", "width": "3 ft", "depth": "40 in"}
            | {"ladder": {}},
        },
    ),
    # On bare studs the plates end beside the ridge beam, lower than the gable by half its width.
    "tip over a ridge beam": store(
        "8 ft",
        "10 ft",
        "12:12",
        walls={"low_height": "7 ft", "right": {"kind": "braces"}},
        roof={"ridge": {"kind": "beam"}},
        cladding=[{"kind": "boards"}],
    ),
    # Membrane reaches 3 in past a window without casing and 2 in down, where claddings meet.
    "membrane at a joint": store(
        "8 ft",
        "9 ft",
        "2:12",
        foundation={"kind": "pad"},
        opening=[
            opening("window", "right", "4 ft", "1 ft", sill="640 mm")
            | {"window": {"kind": "fixed light"}}
        ],
        edges={},
        cladding=[{"kind": "boards", "below": "2 ft"}, {"kind": "boards", "above": "2 ft"}],
    ),
    # Between joists of 8x8 at 16 in is no room for blocks behind joints of the rims.
    "rims of thick joists": store(
        "35 ft",
        "19 ft",
        "6:12",
        foundation={"kind": "piers"},
        floor={"joist": "8x8"},
        roof={"ridge": {"kind": "board"}},
    ),
    # Without tape the membrane that turns up behind a unit is as wide as what turns up on studs.
    "membrane without tape": store(
        "11 ft",
        "11 ft",
        "8:12",
        opening=[
            opening("window", "front", "4 ft 6 in", "2 ft", height="2 ft")
            | {"window": {"kind": "unit", "glazing": "double glazed", "tape": "none"}}
        ],
    ),
    # A sliding pair 38 in high: straps come down 6 in to where pulls would be.
    "pulls under hangers": store(
        "9 ft",
        "14 ft",
        "2:12",
        opening=[
            opening("door", "left", "5 ft", "4 ft", height="3 ft 2 in")
            | {"door": {"kind": "framed", "track": {}, "leaves": 2}}
        ],
    ),
    # The dam of a flashing on boards of 20 mm, where strips of 15 mm stand over it with a batten.
    "dam under a batten": store(
        "14 ft",
        "9 ft",
        "10:12",
        opening=[
            opening("window", "front", "1533.6 mm", "1200 mm", height="1 ft", sill="545 mm")
            | {"trim": {}}
        ],
        edges={},
        cladding=[
            {"kind": "boards", "below": "2 ft 2 in"},
            {"kind": "battens", "above": "2 ft 2 in", "sheet": "19/32 plywood", "strips": 6},
        ],
    ),
    # A sliding door without casing on a low pad, and cladding that ends 4 in over its floor: its
    # tapes run down past the flashing at that foot.
    "tapes at a foot": store(
        "12 ft",
        "9 ft",
        "4:12",
        foundation={"kind": "pad", "above_ground": "2 in", "edge_depth": "14 in"},
        opening=[
            opening("door", "front", "5 ft", "30 in")
            | {"door": {"kind": "steel", "mass_kg": 35, "track": {}}}
        ],
        edges={},
        cladding=[{"kind": "battens"}],
    ),
    # Slats on one wall, boards on the others: a casing lies on what covers its own wall.
    "casing on slats": store(
        "9 ft",
        "7 ft",
        "6:12",
        walls={"back": {"kind": "slats"}},
        opening=[
            opening("window", "back", "5 ft", "1 ft")
            | {"window": {"kind": "unit", "mass_kg": 12}, "trim": {}}
        ],
        wrap={},
        cladding=[{"kind": "boards"}],
    ),
    # Blocks under a slope of 15:12 reach under its sheets at their lower faces, and at their upper
    # ones, where the screens of the vents lie, only where they are ripped from more.
    "screens of a steep slope": store(
        "6 ft",
        "2816 mm",
        "1:12",
        walls={"low_height": "6 ft"},
        beam={"on_walls": True},
        roof={"eave": "vents", "rafter": "C16 47x170", "falls": "back", "back_slope": "2:12"}
        | {"ridge": {"kind": "beam", "from_front": "8 ft", "plies": 4}}
        | {"knee": {"slope": "15:12", "from_wall": "15-1/8 in"}},
    ),
    # Blocks on a beam of one ply, and screens on their outer faces, before the wall's plates.
    "screens on a narrow beam": store(
        "8 ft",
        "6 ft",
        "3:12",
        walls={"high_height": "8 ft"},
        roof={"eave": "vents"},
        beam={"plies": 1, "on_walls": True},
    ),
    # Over a half wall the corner board that closes the next wall's edges ends under barge boards.
    "corner boards over a half wall": store(
        "6 ft",
        "5 ft",
        "12:12",
        walls={"low_height": "8 ft", "right": {"kind": "braces", "height": "3 ft"}},
        roof={"rake_overhang": "0 in"},
        edges={},
        cladding=[{"kind": "boards", "corner": "1x6"}],
    ),
    # A fascia across square tails of 45 degrees leans back before the wall, where boards between
    # the tails would be.
    "eave behind a fascia": store(
        "9 ft",
        "8 ft",
        "12:12",
        roof={"falls": "front", "tail": "square", "eave_overhang": "5-5/8 in"},
        edges={"fascia": "1x8"},
        cladding=[{"kind": "boards", "walls": ["front"]}],
    ),
    # Over a half wall of slats nothing covers the corner that a lower roof's flashing and the wrap
    # behind its ledger run out to.
    "flashing beside a half wall": store(
        "12 ft",
        "10 ft",
        "3:12",
        walls={"high_height": "13 ft", "left": {"kind": "slats", "height": "3 ft"}},
        roof={"falls": "back"},
        bay=[{"side": "front", "reach": "6 ft", "roof": "ledger", "ledger_height": "8 ft"}],
        edges={},
        wrap={},
        cladding=[{"kind": "battens", "walls": ["front"]}],
    ),
    # Strips of 8 ft begin anew over a lower roof: their next joint was in its flashing's leg.
    "strips over a lower roof": store(
        "9 ft",
        "7 ft",
        "7:12",
        walls={"low_height": "2900 mm"},
        bay=[
            {"side": "front", "reach": "8 ft", "slope": "3:12"}
            | {"roof": "ledger", "ledger_height": "2096 mm"}
        ],
        edges={},
        wrap={},
        cladding=[
            {"kind": "battens", "sheet": "19/32 plywood", "strips": 2, "above_ground": "10 in"}
        ],
    ),
    # Plates and end rafter share an edge all along the rake, and their cuts are united.
    "a rake whose cuts share an edge": store(
        "2050 mm",
        "8 ft 10 in",
        "3:12",
        units="metric",
        walls={"low_height": "7 ft", "stud": "2x4"},
        roof={"rafter": "2x4"},
        bay=[{"side": "left", "reach": "8 ft 11-3/4 in"}],
    ),
    # One cladding ends on another behind that leg, which is flashing enough there.
    "claddings that meet at a leg": store(
        "9 ft",
        "7 ft",
        "7:12",
        walls={"low_height": "2900 mm"},
        bay=[
            {"side": "front", "reach": "8 ft", "slope": "3:12"}
            | {"roof": "ledger", "ledger_height": "2096 mm"}
        ],
        edges={},
        wrap={},
        cladding=[{"kind": "boards", "below": "2400 mm"}, {"kind": "boards", "above": "2400 mm"}],
    ),
    # Panels fall from over a half wall, which is high, to lower than its cap.
    "cap under a steep roof": store(
        "5 ft 6 in",
        "7 ft",
        "36 deg",
        walls={"high_height": "9 ft 4 in", "front": {"kind": "sheets", "height": "50 in"}},
        edges={},
        roofing={},
    ),
    # Cladding that ends lower than a sliding door's head: the track's board lies as far out as the
    # casing on it, and so does its flashing.
    "track over low cladding": store(
        "12 ft",
        "12 ft",
        "2:12",
        opening=[
            opening("door", "left", "4 ft 8 in", "3 ft 6 in", trim={})
            | {"door": {"kind": "framed", "track": {}}}
        ],
        edges={},
        cladding=[{"kind": "boards", "below": "3 ft"}],
    ),
    # Thin strips end under thicker boards behind a track: the board there lies on those.
    "track over two claddings": store(
        "12 ft",
        "12 ft",
        "2:12",
        walls={"low_height": "9 ft"},
        opening=[
            opening("door", "left", "5 ft", "3 ft 6 in", trim={})
            | {"door": {"kind": "framed", "track": {}, "leaves": 2}}
        ],
        edges={},
        cladding=[
            {"kind": "battens", "below": "6 ft", "sheet": "19/32 plywood", "strips": 3},
            {"kind": "boards", "above": "6 ft"},
        ],
    ),
}


@pytest.mark.parametrize("name", FITTING)
def test_what_fits_is_laid_out_clean(name: str) -> None:
    table, building, wrong = laid_out(FITTING[name])
    assert building
    assert wrong == []
    assert table == FITTING[name]
    assert fasteners(building)


@pytest.mark.parametrize("roofing", [None, {"panel": "none"}])
def test_flashing_on_bare_sheets_is_nailed(roofing: dict[str, Any] | None) -> None:
    bay = {"side": "back", "reach": "6 ft", "roof": "ledger", "ledger_height": "6 ft 6 in"}
    table = store("14 ft", "7 ft", "2:12", walls={"low_height": "8 ft"}, bay=[bay], edges={})
    table["roof"] |= {"falls": "front", "rake_overhang": "0 in"}
    _, building, wrong = laid_out(table | ({"roofing": roofing} if roofing else {}))
    assert wrong == []
    assert building
    nailed = [row for row in fasteners(building) if row.joint == "flashing to roof sheet"]
    assert [row.fastener for row in nailed] == ["1-1/4 in roofing nail"]


@pytest.mark.parametrize("step", ["Base flashing", "Roof underlayment"])
def test_a_step_with_nothing_to_do_can_come_before_a_move(step: str) -> None:
    # Without metal there is no base flashing, and without panels no underlayment.
    table = store("8 ft", "6 ft", "2:12", move={"after": step, "fork": "6 ft"})
    moves = plan_moves(build(scene_of(table)))
    assert moves.plan


def test_a_store_is_moved_after_its_drip_edges() -> None:
    tables = {"edges": {}, "roofing": {"underlayment": "none"}}
    table = store("8 ft", "6 ft", "4:12", **tables, move={"after": "Drip edges", "fork": "6 ft"})
    moved = build(scene_of(table))
    names = [stage.name for stage in moved.stages]
    assert names[names.index("Drip edges") + 1] == "Ground anchors"
    assert plan_moves(moved).plan
