"""Posts inside a store that its ridge beam rests on, measured on the solids."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from measuring import CUT_MM, INCH, box_of, of_kind
from pikepole_export.derive.findings import findings
from pikepole_model.build import build, build_with_contacts
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.reading.file import check_scene, load_scene
from strategies import scene_of

FORM = Path(__file__).parent / "scenes" / "forms" / "oar-store.toml"


@pytest.fixture(scope="module")
def oar_store() -> Building:
    return build(load_scene(FORM))


def ridge_on(**posts: Any) -> dict[str, Any]:
    """A bee house on a pad, 24 ft long, with some posts under its ridge."""
    doorway = {"name": "doorway", "kind": "door", "wall": "front", "from_left": "2 ft"}
    return {
        "title": "Ridge",
        "building": {"length": "24 ft", "depth": "14 ft"},
        "foundation": {"kind": "pad"},
        "walls": {},
        "opening": [{**doorway, "width": "3 ft", "height": "6 ft"}],
        "roof": {"slope": "5:12", "ridge": {"kind": "beam", "posts": {"post": "6x8", **posts}}},
    }


def test_posts_part_the_ridge_evenly(oar_store: Building) -> None:
    # Between the middles of two end walls of 3-1/2 in: 288 - 3-1/2 in 3 parts, from 1-3/4 in on.
    middles = sorted(part.centre_mm[0] / INCH for part in of_kind(oar_store, Kind.POST))
    step = (288 - 3.5) / 3
    assert middles == pytest.approx([1.75 + step, 1.75 + 2 * step], abs=0.01)


def test_posts_stand_in_bases_on_the_slab(oar_store: Building) -> None:
    # The slab's top is 6 in over the ground and it is 4 in thick; a base holds a post 1 in up.
    for post in of_kind(oar_store, Kind.POST):
        assert box_of(post).low[2] == pytest.approx(7 * INCH, abs=CUT_MM)
        under = {name for mate in oar_store.mates[post.name] for name in oar_store.mates[mate]}
        assert {"slab", post.name.replace("post", "footing")} <= under
    for footing in of_kind(oar_store, Kind.FOOTING):
        box = box_of(footing)
        assert (box.low[2], box.high[2]) == pytest.approx((-30 * INCH, 2 * INCH), abs=CUT_MM)
        assert box.high[0] - box.low[0] == pytest.approx(24 * INCH, abs=1.0)


def test_posts_carry_the_beam(oar_store: Building) -> None:
    (low,) = {round(box_of(ply).low[2], 3) for ply in of_kind(oar_store, Kind.BEAM)}
    for post in of_kind(oar_store, Kind.POST):
        carried = [name for name in oar_store.mates[post.name] if "ridge beam ply" in name]
        assert carried
        # It is notched: its tongue goes up beside the beam.
        assert box_of(post).high[2] > low + INCH


def test_a_ridge_of_one_post_too_few_names_how_many() -> None:
    found = [one for one in told(ridge_on()) if one.key == "roof.ridge.ply"]
    assert [one.mend.endswith("or give roof.ridge.posts.count 2") for one in found] == [True]
    assert told(ridge_on(count=2)) == []


def told(table: dict[str, Any]) -> list[Any]:
    building, contacts = build_with_contacts(scene_of(table))
    return list(findings(building, contacts))


@pytest.mark.parametrize(
    ("change", "wrong", "mend"),
    [
        ({"foundation": {"kind": "skids"}, "floor": {}}, "joists bend", "leave out"),
        ({"loft": {"height": "8 ft"}, "walls": {"low_height": "10 ft"}}, "loft", "leave out"),
    ],
)
def test_posts_that_have_no_place_are_refused(
    change: dict[str, Any], wrong: str, mend: str
) -> None:
    _, problems = check_scene({**ridge_on(count=2), **change})
    (problem,) = [one for one in problems if one.key == "roof.ridge.posts"]
    assert wrong in problem.wrong
    assert mend in problem.mend


def test_a_footing_in_the_thickened_edge_is_refused() -> None:
    # 14 ft deep: 84 in from the middle to a side. The edge goes 18 in down and is 12 in wide at
    # its foot, 12 + 18 - 4 = 26 in at the slab's underside, and a footing may reach 58 in.
    assert check_scene(ridge_on(count=2, footing={"diameter": "115 in"}))[0] is not None
    _, (problem,) = check_scene(ridge_on(count=2, footing={"diameter": "117 in"}))
    assert problem.key == "roof.ridge.posts.footing.diameter"
    assert problem.mend
