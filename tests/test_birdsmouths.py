"""How deep rafters are cut where they run on, and how far lookouts reach in: what is found."""

from __future__ import annotations

from typing import Any

import pytest

from pikepole_model.build import build
from pikepole_model.checks.practice import practice_findings
from pikepole_model.errors import Finding
from strategies import scene_of

Table = dict[str, Any]

SHORT = {"length": "6 ft", "depth": "8 ft"}
TAILS = {"eave_overhang": "0 in", "high_overhang": "0 in", "rake_overhang": "0 in"}


def store(**roof: Any) -> Table:
    return {
        "title": "Turnip store",
        "building": {"length": "12 ft", "depth": "8 ft"},
        "foundation": {"kind": "skids"},
        "floor": {},
        "roof": {**TAILS, **roof},
    }


def porch(**roof: Any) -> Table:
    """Rafters that run on from the back wall over the beam of a lean-to."""
    walls = {"low_height": "10 ft"}
    return store(**roof) | {"walls": walls, "bay": [{"side": "back", "reach": "5 ft"}]}


def found(table: Table) -> list[Finding]:
    return list(practice_findings(build(scene_of(table))))


# A seat as wide as a beam of two 2x and 1/2 in between, or as 2x4 plates, 3-1/2 in, is 3-1/2 sin
# deep, and no deeper than a quarter of the rafter: 1.57 in at 6:12, 0.85 in at 3:12. A sixth of
# 2x4, 2x6, 2x8, 2x12 (3-1/2, 5-1/2, 7-1/4, 11-1/4 in, PS 20) is 0.58, 0.92, 1.21, 1.88 in.
@pytest.mark.parametrize(
    ("table", "key", "text", "mend", "mended"),
    [
        # IRC R802.7.1: a sixth, where a rafter runs on to the next bearing.
        (porch(slope="6:12"), "roof.rafter", '1-9/16" deep', 'give "2x12"', {"rafter": "2x12"}),
        (porch(slope="6:12", rafter="2x12"), "", "", "", {}),
        (porch(slope="3:12"), "", "", "", {}),
        # 3-1/2 sin 45 is a sixth of 14.85 in; of 7-1/4 in at 20.2 degrees, which is 4.4 in 12.
        (
            porch(slope="12:12"),
            "roof.rafter",
            '1-13/16" deep',
            'give a section at least 1\' 2-7/8" deep, or roof.slope at most "4:12"',
            {"slope": "4:12"},
        ),
        # IRC R802.7.1: a quarter at the end of a rafter; R802.7.1.1: more than a sixth past that
        # only under a tail of 24 in at most, and with 3-1/2 in left.
        (store(slope="6:12"), "", "", "", {}),
        (store(slope="6:12", eave_overhang="24 in"), "", "", "", {}),
        (
            store(slope="6:12", eave_overhang="30 in"),
            "roof.eave_overhang",
            '1-9/16" deep',
            "give at most 2' 0\"",
            {"eave_overhang": "2 ft"},
        ),
        (
            store(slope="6:12", high_overhang="25 in"),
            "roof.high_overhang",
            '1-9/16" deep',
            "give at most 2' 0\"",
            {"high_overhang": "2 ft"},
        ),
        (store(slope="3:12", eave_overhang="30 in"), "", "", "", {}),
        # A quarter of 3-1/2 in leaves 2.63 in; of 5-1/2 in, 4.13 in.
        (store(slope="6:12", rafter="2x4"), "", "", "", {}),
        (
            store(slope="6:12", rafter="2x4", eave_overhang="8 in"),
            "roof.rafter",
            '7/8" deep',
            'give "2x6"',
            {"rafter": "2x6"},
        ),
        # A gable's rafters end over its ridge beam, and run on over the walls.
        (
            store(slope="6:12", eave_overhang="30 in", ridge={"kind": "beam"}),
            "roof.eave_overhang",
            '1-9/16" deep',
            "give at most 2' 0\"",
            {"eave_overhang": "2 ft"},
        ),
    ],
)
def test_birdsmouths_that_are_too_deep(
    table: Table, key: str, text: str, mend: str, mended: Table
) -> None:
    findings = found(table)
    assert [(one.key, one.mend) for one in findings] == ([(key, mend)] if key else [])
    if key:
        assert text in findings[0].text
        assert findings[0].parts
        assert not found(table | {"roof": table["roof"] | mended})


# Under lookouts of 1-1/2 in the end rafters of a 2x6 are at most 4 in deep (PS 20). At 8:12 they
# have no less than 1-1/2 in of bearing (IRC R802.6), 1-1/2 sin 33.7 = 0.83 in deep, and no more
# than a quarter, 1 in: more than a sixth, 0.67 in, with less than 3-1/2 in left. Those of a 2x8 are
# of 2x6, and keep 4 in or more. Common rafters, 5-1/2 in, keep 4 in too.
@pytest.mark.parametrize("overhang", ["12 in", "0 in"])
def test_end_rafters_are_looked_at(overhang: str) -> None:
    roof = {"slope": "8:12", "rake_overhang": "12 in", "eave_overhang": overhang}
    roof |= {"ridge": {"kind": "beam"}}
    shallow = found(store(**roof, rafter="2x6"))
    # Without a tail it is cut at its end, where a quarter may be (IRC R802.7.1).
    assert [(one.key, one.mend) for one in shallow] == [("roof.rafter", 'give "2x8"')] * (
        overhang != "0 in"
    )
    assert all("end rafter" in name for one in shallow for name in one.parts)
    assert not found(store(**roof, rafter="2x8"))


def test_lookouts_reach_in_as_far_as_they_stand_out() -> None:
    # 72 in long, 40 in out at both ends: a rafter 40 in in from the right end leaves 72 - 40 - 1.5
    # in from the left one. Common practice, no source: as far in as out.
    (finding,) = found(store(slope="3:12", rake_overhang="40 in") | {"building": SHORT})
    assert finding.key == "roof.rake_overhang"
    assert finding.mend == "give at most 2' 6-1/2\""
    assert all("lookout" in name for name in finding.parts)
    assert not found(store(slope="3:12", rake_overhang="30.5 in") | {"building": SHORT})
