"""How near the ground wood may come that is not treated: IRC R317.1 (from memory)."""

from __future__ import annotations

import pytest

from measuring import of_kind
from mended import follow, ways
from pikepole_export.derive.buying.fasteners import fasteners
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.near_ground import wood_findings
from strategies import Table, scene_of

INCH = 25.4

SKIDS: Table = {
    "title": "Skep store",
    "building": {"length": "8 ft", "depth": "6 ft"},
    "foundation": {"kind": "skids"},
    "floor": {},
    "walls": {"low_height": "7 ft"},
    "roof": {"slope": "3:12"},
}
PAD: Table = {
    **{key: value for key, value in SKIDS.items() if key != "floor"},
    "foundation": {"kind": "pad", "above_ground": "4 in", "edge_depth": "16 in"},
}


def foot_of_sheets(building: Building) -> float:
    """In inches over the ground."""
    sheets = of_kind(building, Kind.WALL_SHEET)
    return min(float(part.bounds_mm[0][2]) for part in sheets) / INCH


@pytest.mark.parametrize(
    ("skid", "foot"),
    [
        # On 5-1/2 in of skid the rim starts under 6 in, and the sheets do not.
        ("4x6", 6.0),
        # On 7-1/4 in they reach down to its underside.
        ("4x8", 7.25),
    ],
)
def test_sheets_end_6_in_over_the_ground_or_at_the_rims_underside(skid: str, foot: float) -> None:
    building = build(scene_of({**SKIDS, "foundation": {"kind": "skids", "skid": skid}}))
    assert foot_of_sheets(building) == pytest.approx(foot)
    assert not list(wood_findings(building))


@pytest.mark.parametrize(
    ("table", "key", "foot", "mend"),
    [
        # Sheets stand on the pad as the plates do: 4 in up, and 6 is the least.
        (PAD, "foundation.above_ground", 4.0, 'give at least 6"'),
        # Skids of 3-1/2 in and rims of 3-1/2: lapped 3 in for two rows of nails, they end 4 in up.
        # Of 4 in breadth the next section that is 2 in deeper is the 4x6.
        (
            {
                **SKIDS,
                "foundation": {"kind": "skids", "skid": "4x4", "toe": "0 in"},
                "floor": {"joist": "2x4"},
            },
            "foundation.skid",
            4.0,
            'give "4x6"',
        ),
        # Blocks of 1 in, girders of 3-1/2 in, rims of 5-1/2, less the 3 in of lap: 7, so 6; the
        # same with rims of 3-1/2: 5 in.
        (
            {
                **SKIDS,
                "foundation": {"kind": "piers", "girder": "4x4", "block_height": "1 in"},
                "floor": {"joist": "2x4"},
            },
            "foundation.block_height",
            5.0,
            'give at least 2"',
        ),
    ],
)
def test_walls_too_near_the_ground_are_a_finding(
    table: Table, key: str, foot: float, mend: str
) -> None:
    building = build(scene_of(table))
    assert foot_of_sheets(building) == pytest.approx(foot)
    (finding,) = wood_findings(building)
    assert "R317.1" in finding.text
    assert (finding.key, finding.mend) == (key, mend)
    for where, value in ways(finding.mend, finding.key):
        assert not list(wood_findings(build(scene_of(follow(table, where, value)))))


def test_joists_that_are_not_treated_lie_18_in_up() -> None:
    plain = {**SKIDS, "floor": {"treated": False}}
    (finding,) = wood_findings(build(scene_of(plain)))
    assert finding.key == "floor.treated"
    assert finding.mend == "give true"
    assert "R317.1" in finding.text
    high = {**plain, "foundation": {"kind": "piers", "block_height": "12.5 in"}}
    # 12-1/2 and a girder of 5-1/2: 18 in.
    assert not list(wood_findings(build(scene_of(high))))


@pytest.mark.parametrize(
    ("girder", "sheet"),
    # Blocks of 6-1/4 in, girders and joists of 5-1/2 each are 17-1/4 in under the sheets, as the
    # joists are under 18 in; on girders of 7-1/4 they lie 19 in up.
    [("4x6", "23/32 treated plywood"), ("4x8", "23/32 plywood")],
)
def test_floor_sheets_under_18_in_are_treated(girder: str, sheet: str) -> None:
    """IRC R317.1, item 1: the bottom of a wood structural floor; fasteners in them: R317.3."""
    piers = {"kind": "piers", "block_height": "6.25 in", "girder": girder}
    building = build(scene_of({**SKIDS, "foundation": piers}))
    sheets = of_kind(building, Kind.FLOOR_SHEET)
    assert {part.stock for part in sheets} == {sheet}
    assert {part.material.treated for part in sheets} == {"treated" in sheet}
    assert not list(wood_findings(building))
    nails = [row for row in fasteners(building) if row.joint == "floor sheet to frame"]
    assert nails
    assert all(row.finish == "hot-dip galvanised" for row in nails)


def test_osb_near_the_ground_is_a_finding() -> None:
    # AWPA U1, commodity specification F (from memory), has plywood and no OSB.
    table = {**SKIDS, "floor": {"sheet": "23/32 OSB"}}
    (finding,) = wood_findings(build(scene_of(table)))
    assert "R317.1" in finding.text
    assert (finding.key, finding.mend) == ("floor.sheet", 'give "23/32 treated plywood"')
    for where, value in ways(finding.mend, finding.key):
        assert not list(wood_findings(build(scene_of(follow(table, where, value)))))
