"""How long bolts are, by the thickness of what they go through.

1-1/4 in (31.75 mm) more for washers, nut and thread, up to a whole 1/2 in or 10 mm: common
practice, no source.
"""

from __future__ import annotations

from typing import Literal

import pytest

from blocks import AXES, joined, lumber
from pikepole_export.derive.buying.bolts import Bolt, bolt_for
from pikepole_export.derive.buying.schedule import fixed
from pikepole_model.building.joints import BOLTED
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.placement import Placement, Vector
from pikepole_model.geometry.shape import Prism, Shape
from samples import SPRUCE


def bolts(building: Building) -> dict[str, tuple[float, float]]:
    """What each goes through and how long it is, by the row of the schedule."""
    found = {one.row.name: bolt_for(one, building) for one in fixed(building) if one.pieces}
    return {name: (bolt.through_mm, bolt.length_mm) for name, bolt in found.items()}


def base(at: Vector, *, turned: bool = False) -> Part:
    """A post base: a floor and two legs 6 mm thick, 152 over all and 80 broad."""
    channel = ((0, 0), (152, 0), (152, 60), (146, 60), (146, 6), (6, 6), (6, 60), (0, 60))
    # n is u x Z: against Y, or along X when it is turned.
    u = AXES[1] if turned else AXES[0]
    x, y, z = at
    start = (x, y, z) if turned else (x, y + 80, z)
    shape = Shape(Prism(channel, 80))
    place = Placement(start, u, AXES[2])
    return Part("base", Kind.POST_BASE, "posts", 1, "base", SPRUCE, None, shape, place)


@pytest.mark.parametrize("turned", [False, True])
def test_a_bolt_goes_through_both_legs_and_the_post(turned: bool) -> None:
    # A post of 140 by 140 stands between the legs, and out over their breadth of 80 mm.
    metal = base((1000, 2000, 0), turned=turned)
    x, y = (970, 2006) if turned else (1006, 1970)
    post = lumber("post", Kind.POST, (x, y, 6), (x + 140, y + 140, 2400), group="posts")
    found = bolts(joined((metal, post), [("base", "post")], BOLTED))
    # 152 + 31.75 = 183.75.
    assert found == {"post to its metal": pytest.approx((152, 190))}


def turned(at: Vector, along_y: bool) -> Vector:
    """The same place where what ran along X runs along Y."""
    x, y, z = at
    return (y, x, z) if along_y else at


def notched(at: Vector, along_y: bool) -> Part:
    """A post of 140 by 140 with a notch 76 deep and 200 high in the side of its head."""
    outline = ((0, 0), (2200, 0), (2200, 76), (2400, 76), (2400, 140), (0, 140))
    shape = Shape(Prism(outline, 140))
    # Z x Y looks against X, Z x X along Y.
    x, y, z = at
    start, v = ((y, x, z), AXES[0]) if along_y else ((x + 140, y, z), AXES[1])
    place = Placement(start, AXES[2], v)
    return Part("post", Kind.POST, "posts", 1, "6x6", SPRUCE, (140, 140), shape, place)


@pytest.mark.parametrize("along_y", [False, True])
@pytest.mark.parametrize(
    ("out_mm", "ply_mm", "units", "through_mm", "length_mm"),
    [
        # Flush with the post: its 140, and 31.75: 171.75.
        (0, 38, "metric", 140, 180.0),
        # 12 mm before it: 152.
        (12, 38, "metric", 152, 190.0),
        # 12 mm behind its face: 64 of beam and 64 of post.
        (-12, 32, "metric", 128, 160.0),
        # 171.75 mm is 6.76 in.
        (0, 38, "imperial", 140, 7 * 25.4),
    ],
)
def test_a_bolt_goes_through_the_beam_and_what_is_left_of_its_post(
    out_mm: float,
    ply_mm: float,
    units: Literal["imperial", "metric"],
    through_mm: float,
    length_mm: float,
    along_y: bool,
) -> None:
    def ply(name: str, low: Vector, high: Vector, group: str = "front beam") -> Part:
        return lumber(name, Kind.BEAM, turned(low, along_y), turned(high, along_y), group=group)

    # Two plies in the notch, which run on past it; a beam of another group that ends at the post's
    # side and sits higher is not bolted by these.
    y = 500 - out_mm
    middle, end = y + ply_mm, y + 2 * ply_mm
    parts = (
        notched((1000, 500, 0), along_y),
        ply("ply 1", (0, y, 2200), (3000, middle, 2400)),
        ply("ply 2", (0, middle, 2200), (3000, end, 2400)),
        ply("side", (1020, 640, 2250), (1058, 4000, 2400), "left beam"),
        # On along the same beam, not on this post.
        ply("ply 3", (3000, 300, 2100), (6000, 338, 2300)),
    )
    pairs = [("post", other) for other in ("ply 1", "ply 2", "side")]
    found = bolts(joined(parts, pairs, BOLTED, units))
    assert found == {"beam to post": pytest.approx((through_mm, length_mm))}


def test_inches_are_told_in_halves_even_over_a_foot() -> None:
    assert Bolt(140, 7 * 25.4).length_text("imperial") == "7 in"
    assert Bolt(140, 7.5 * 25.4).length_text("imperial") == "7-1/2 in"
    assert Bolt(300, 13.5 * 25.4).length_text("imperial") == "13-1/2 in"
    assert Bolt(140, 180.0).length_text("metric") == "180 mm"
