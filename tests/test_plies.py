"""Plies of built-up beams: where they meet, worked by hand and tried against every other layout.

An end lies on 1-1/2 in of wood (IRC R502.6), beams are spliced over posts alone (IRC R507.5.2), and
joints of layers that carry each other lie 24 in apart (IRC R602.3.2, for top plates; for plies
common practice, no source).
"""

from __future__ import annotations

import itertools
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import pikepole_model.plan.beams as beams
from fodder import table
from mended import follow, ways
from once import forget
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.practice import practice_findings
from pikepole_model.errors import Finding
from pikepole_model.geometry.plies import staggered
from pikepole_model.reading.file import check_scene
from pikepole_model.units import FOOT_MM
from strategies import scene_of

LAP_FT = 2.0


def feet(start: float, end: float, longest: float, places: list[float], plies: int) -> list[object]:
    runs = staggered(
        start * FOOT_MM, end * FOOT_MM, longest * FOOT_MM, [x * FOOT_MM for x in places], plies
    )
    return [[(round(a / FOOT_MM, 6), round(b / FOOT_MM, 6)) for a, b in run] for run in runs]


def test_a_beam_within_its_stock_has_whole_plies() -> None:
    assert feet(0, 20, 20, [8, 12], 3) == [[(0, 20)]] * 3


@pytest.mark.parametrize(
    ("end", "longest", "places", "ends"),
    [
        # One joint each, over the two posts that stand within reach of both ends.
        (30, 20, [10, 20], [[20], [10]]),
        # The one over the middle post, so the next over those beside it.
        (40, 20, [10, 20, 30], [[20], [10, 30]]),
        # A support 1-3/4 in from the end, as the plates of an end wall, is no place for a joint:
        # what is left would be a splinter.
        (28, 24, [1.75 / 12, 20, 24], [[24], [20]]),
        # 18 ft would leave a ply of 2 ft, which hangs on by its laps alone: 4 ft and 6 ft are left.
        (20, 19, [12, 14, 16, 18], [[16], [14]]),
        # One post: nothing but to meet there.
        (24, 16, [12], [[12], [12]]),
    ],
)
def test_joints_by_hand(
    end: float, longest: float, places: list[float], ends: list[list[float]]
) -> None:
    found = feet(0, end, longest, places, 3)
    assert found == [list(itertools.pairwise([0, *each, end])) for each in (*ends, ends[0])]


def barn(length: str) -> dict[str, Any]:
    """The seed barn at another length, with the boards that yards stock."""
    path = Path(__file__).parents[1] / "scenes" / "seed-barn.toml"
    scene = tomllib.loads(path.read_text(encoding="utf-8"))
    scene["building"]["length"] = length
    scene.pop("cutting", None)
    return scene


def test_a_ridge_as_long_as_a_board_is_one_board() -> None:
    # 20 ft over end walls alone: boards of 20 ft go in as they come, untrimmed.
    building = build(scene_of(barn("20 ft")))
    plies = [part for part in building.parts if part.group == "ridge beam"]
    assert [round(ply.length_mm / FOOT_MM, 6) for ply in plies] == [20.0] * 3
    assert not [one for one in practice_findings(building) if "splinter" in one.text]


def test_a_ridge_longer_than_a_board_is_refused() -> None:
    # 20 ft 6 in over end walls alone, of boards of 20 ft: joints find no place but over the plates,
    # 1-3/4 in from an end, where a splinter is left. 22 ft to order takes it whole.
    scene = barn("20 ft 6 in")
    _, problems = check_scene(scene)
    assert {one.key for one in problems} == {"roof.ridge.ply", "roof.knee.ply"}
    for one in problems:
        offered = ways(one.mend, one.key)
        assert offered == [
            ("cutting.longest", "22' 0\""),
            ("building.length", "20' 0\""),
        ]
        for way in offered:
            mended = build(scene_of(follow(scene, *way)))
            assert not any("splinter" in each.text for each in practice_findings(mended))


def test_longer_boards_that_are_offered_are_longer() -> None:
    # One layer runs over both bays, 19 ft 8 in, and 1-1/2 in on to the room's plate at the least:
    # a board of 20 ft would do, but studs leave it no place for a joint there.
    path = Path(__file__).parent / "scenes" / "forms" / "dory-shelter.toml"
    scene = tomllib.loads(path.read_text(encoding="utf-8"))
    (bay,) = scene["bay"]
    bay["reach"] = "19 ft 8 in"
    found = [one for one in practice_findings(build(scene_of(scene))) if "ply" in one.key]
    assert [one.key for one in found] == ["beam.ply"]
    (way,) = ways(found[0].mend, found[0].key)[:1]
    mended = build(scene_of(follow(scene, *way)))
    assert not [one for one in practice_findings(mended) if "ply" in one.key]


@given(
    st.lists(st.integers(1, 29), min_size=1, max_size=6, unique=True).map(sorted),
    st.integers(8, 24),
)
def test_no_layout_that_fits_is_missed(places: list[int], longest: int) -> None:
    """Every way to cut two neighbours, tried one by one."""
    end = 30

    def fits(joints: tuple[int, ...]) -> bool:
        return all(LAP_FT <= b - a <= longest for a, b in itertools.pairwise((0, *joints, end)))

    every = [
        joints
        for count in range(len(places) + 1)
        for joints in itertools.combinations(places, count)
        if fits(joints)
    ]
    apart = [
        len(one) + len(other)
        for one, other in itertools.product(every, every)
        if all(abs(a - b) >= LAP_FT for a, b in itertools.product(one, other))
    ]
    one, other, third = (
        [round(b / FOOT_MM, 6) for _, b in run[:-1]]
        for run in staggered(
            0, end * FOOT_MM, longest * FOOT_MM, [x * FOOT_MM for x in places], plies=3
        )
    )
    assert third == one
    assert {*one, *other} <= set(places)
    assert not every or fits(tuple(map(int, one)))
    if apart:
        assert fits(tuple(map(int, other)))
        assert all(abs(a - b) >= LAP_FT for a, b in itertools.product(one, other))
        assert len(one) + len(other) == min(apart)


def carport(**more: object) -> dict[str, object]:
    """24 ft long on posts 12 ft apart, with no board longer than from one post to the next."""
    scene = table(
        building={"length": "24 ft", "depth": "12 ft"},
        posts={"low_height": "8 ft", "every": "12 ft"},
        cutting={"longest": "16 ft", "end_trim": "0 in"},
        **more,
    )
    return {key: value for key, value in scene.items() if key not in ("foundation", "floor")}


def laid(scene: dict[str, object]) -> Building:
    read, problems = check_scene(scene)
    assert read, problems
    return build(read)


def about_plies(building: Building) -> list[Finding]:
    return [one for one in practice_findings(building) if one.key.endswith("ply")]


def test_neighbours_that_meet_over_one_post_are_told_with_mends_that_work() -> None:
    scene = carport()
    (told,) = about_plies(laid(scene))
    assert told.key == "beam.ply"
    assert "R602.3.2" in told.text
    mends = ways(told.mend, told.key)
    # Boards from end to end; or posts 8 ft apart, over two of which 16 ft boards reach.
    assert {key for key, _ in mends} == {"cutting.longest", "posts.every"}
    for key, value in mends:
        assert not about_plies(laid(follow(scene, key, value)))


def test_single_plies_have_no_neighbours() -> None:
    building = laid(carport(beam={"ply": "4x8", "plies": 1}))
    assert sum(part.kind == Kind.BEAM for part in building.parts) == 4
    assert not about_plies(building)


@pytest.mark.usefixtures("anew")
def test_an_end_on_too_little_wood_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    scene = table(
        building={"length": "20 ft", "depth": "8 ft"},
        bay=[{"side": "right", "reach": "8 ft", "posts": 1}],
        cutting={"longest": "20 ft", "end_trim": "0 in"},
    )
    building = laid(scene)
    assert not about_plies(building)
    # No ply ends on the corner stud, whose middle is 3/4 in from the end of the plates.
    ends = {part.bounds_mm[1][0] for part in building.parts if part.kind == Kind.BEAM}
    assert not any(19.9 * FOOT_MM < x < 20 * FOOT_MM for x in ends)
    forget()
    monkeypatch.setattr(beams, "LEAST_BEARING_MM", 0.0)
    (told,) = about_plies(laid(scene))
    assert "R502.6" in told.text
