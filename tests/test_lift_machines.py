"""What a machine has to hold, and how high it has to reach, by statics written out."""

from __future__ import annotations

from typing import Any

import pytest

from lifted import block, thing_of
from pikepole_export.derive.lifting.machines import Machine, machines
from pikepole_export.derive.lifting.things import Handling, Thing
from pikepole_model.scene.crew import Crew


def first(thing: Thing, **gear: Any) -> Machine:
    """What lifts it first where the crew has one piece of gear."""
    return machines(thing, Crew.model_validate({"gear": [gear]}))[0]


def uneven(**words: Any) -> Thing:
    """2 m of 60 kg and 1 m of 60 kg end to end.

    Its middle is (60 x 1 + 60 x 2.5) / 120 = 1.75 m from the lighter end of its 3 m.
    """
    near = block("skid", (2000, 140, 90), 60, at_mm=(0, 0, 400))
    far = block("skid 2", (1000, 140, 90), 60, at_mm=(0, 2000, 400))
    return thing_of(near, far, **words)


def test_a_jack_is_rated_for_the_heavier_end() -> None:
    # Moments about the lighter end: 120 kg x 1.75 / 3 = 70 kg at the other. Half would be 60.
    jack = {"kind": "jack", "stroke": "100 mm"}
    found = first(uneven(), rating="71 kg", **jack)
    assert found.kind == "jack"
    assert found.needed_kg == pytest.approx(70)
    assert first(uneven(), rating="69 kg", **jack).kind == "lifting machine"


@pytest.mark.parametrize(("reach", "does"), [("2.71 m", True), ("2.69 m", False)])
def test_a_hoist_reaches_over_the_choker_on_what_stands(reach: str, does: bool) -> None:
    # A post of 2.4 m hangs plumb from a choker round its head, which takes 300 mm up to the hook:
    # common practice, no source.
    post = block("post", (2400, 90, 90), 100, slope_deg=90)
    stands = thing_of(post, handling=Handling.POST)
    found = first(stands, kind="chain hoist", rating="200 kg", reach=reach)
    assert (found.kind == "chain hoist") is does
    assert found.reach_mm == pytest.approx(2700)
    assert found.sling
    # One leg, plumb: all of the weight (statics).
    assert (found.sling.legs, found.sling.angle_deg) == (1, 90)
    assert found.sling.tension_n == pytest.approx(100 * 9.80665)


def test_a_single_leg_holds_a_beam_by_a_choker_too() -> None:
    beam = thing_of(block("beam", (4000, 200, 90), 100, at_mm=(0, 0, 2000)), handling=Handling.BEAM)
    found = first(beam, kind="chain hoist", rating="200 kg", reach="6 m", sling_legs=1)
    assert found.reach_mm == pytest.approx(2200 + 300)
