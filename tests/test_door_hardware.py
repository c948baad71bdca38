"""Latches, pulls and bolts: which leaf has which, where, and what of them is bought.

Common practice, no source, in all: a latch 36 in over the floor, a pull over it, bolts at head and
foot of the leaf of a pair that stands, one that holds the halves of a dutch door together.
"""

from __future__ import annotations

from collections import Counter

import pytest

from filled import INCH, ONE_BY, Table, door, face_of, in_face, store
from measuring import of_kind
from pikepole_export.derive.buying.door_sets import door_sets
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import LeafRecord
from pikepole_model.checks.fit import check
from pikepole_model.units import format_length

HARDWARE = (Kind.LATCH, Kind.PULL, Kind.DOOR_BOLT)
CLAD: Table = {"wrap": {}, "cladding": [{"kind": "battens"}], "edges": {}}
LEDGED: Table = {"kind": "ledged"}
FRAMED: Table = {"kind": "framed", "leaves": 2}
STEEL: Table = {"kind": "steel", "mass_kg": 40.0, "leaves": 2}

# Latches, pulls, bolts.
DOORS: dict[str, tuple[Table, tuple[int, int, int]]] = {
    "single": (door(door=LEDGED, trim={}), (1, 1, 0)),
    "bare": (door(door={**LEDGED, "hinges": "right"}), (1, 1, 0)),
    "pair": (door(width="60 in", door=FRAMED, trim={}), (1, 1, 2)),
    "ledged pair": (door(width="60 in", door={**LEDGED, "leaves": 2}, trim={}), (1, 1, 2)),
    "steel pair": (door(width="60 in", door=STEEL, trim={}), (1, 1, 2)),
    "dutch": (door(door={**LEDGED, "dutch": "42 in"}, trim={}), (2, 2, 1)),
    "slider": (door(door={"kind": "framed", "track": {}}, trim={}), (1, 1, 0)),
    "sliding pair": (
        door(width="48 in", from_left="6 ft", door={**FRAMED, "track": {}}, trim={}),
        (2, 2, 0),
    ),
}


@pytest.mark.parametrize("name", DOORS)
@pytest.mark.parametrize("tables", [CLAD, {}], ids=["clad", "bare"])
def test_each_door_has_its_set(name: str, tables: Table) -> None:
    opening, expected = DOORS[name]
    building = store(opening, **tables)
    assert check(building) == ()
    counted = Counter(part.kind for part in of_kind(building, *HARDWARE))
    assert tuple(counted[kind] for kind in HARDWARE) == expected
    assert all(part.group == "gate" for part in of_kind(building, *HARDWARE))


@pytest.mark.parametrize("name", ["pair", "ledged pair", "steel pair"])
def test_bolts_are_on_the_leaf_that_stands_at_head_and_foot_inside(name: str) -> None:
    building = store(DOORS[name][0], **CLAD)
    face = face_of(building, "front")
    bolts = sorted(of_kind(building, Kind.DOOR_BOLT), key=lambda part: in_face(face, part)[1])
    # The astragal is on the left leaf, over the right one, which so opens last.
    assert {part.record for part in bolts} == {LeafRecord("gate right leaf")}
    leaf = [p for p in building.parts if p.record == LeafRecord("gate right leaf")]
    foot = min(in_face(face, part)[1][0] for part in leaf)
    low, high = (in_face(face, part) for part in bolts)
    assert low[1][0] == pytest.approx(foot)
    head = 78 * INCH - 0.3 - 2 * ONE_BY
    assert high[1][1] == pytest.approx(head - INCH / 8)
    # Within 2 in of where the leaves meet, and on the inside.
    meet = min(in_face(face, part)[0][0] for part in leaf if part.kind not in HARDWARE)
    out = max(in_face(face, part)[2][1] for part in leaf if part.kind not in HARDWARE)
    for u, _, n in (low, high):
        assert meet < u[0] < u[1] < meet + 2 * INCH
        assert n[1] < out


def test_latch_and_pull_are_where_a_hand_finds_them() -> None:
    for side in ("left", "right"):
        building = store(door(door={**LEDGED, "hinges": side}, trim={}), **CLAD)
        face = face_of(building, "front")
        hinges = [in_face(face, part)[0] for part in of_kind(building, Kind.HINGE)]
        (latch,), (pull,) = (
            [in_face(face, part) for part in of_kind(building, kind)]
            for kind in (Kind.LATCH, Kind.PULL)
        )
        assert sum(latch[1]) / 2 == pytest.approx(36 * INCH)
        assert pull[1][0] == pytest.approx(latch[1][1] + INCH)
        # On the edge that opens, away from the hinges.
        assert all((latch[0][0] > u[1]) == (side == "left") for u in hinges)
    # Two halves: each its latch, clear of the astragal between them.
    building = store(DOORS["dutch"][0], **CLAD)
    face = face_of(building, "front")
    (astragal,) = [in_face(face, part)[1] for part in of_kind(building, Kind.ASTRAGAL)]
    for part in of_kind(building, Kind.LATCH, Kind.PULL):
        v = in_face(face, part)[1]
        assert v[1] <= astragal[0] or v[0] >= astragal[1]


def test_hardware_is_bought_as_a_set_for_each_door() -> None:
    """A pair of leaves: six hinges, a latch, a pull, two bolts.

    A flat T-hinge goes by its strap: 8 in, or a third of a leaf that is narrower than 24 in.
    """
    wide = (60 * INCH - 2 * (1.3 + ONE_BY) - INCH / 4 - 3 / 16 * INCH) / 2
    hinge = min(8 * INCH, wide / 3)
    building = store(DOORS["pair"][0], **CLAD)
    (row,) = door_sets(building)
    assert (row.item, row.made_of, row.ordered, row.pack) == ("door hardware", "gate", 1, "set")
    said = row.asked.removeprefix("hardware for the gate: ").split(", ")
    assert sorted(said) == sorted(
        [
            f"6 T-hinges {format_length(hinge, 'imperial')}",
            '1 latch 3"',
            "1 strike",
            '1 pull 6"',
            '2 bolts 5"',
            "2 keepers",
        ]
    )
    assert row.how.startswith("gate left leaf, ")
    assert "; gate right leaf, " in row.how
    hung = of_kind(building, *HARDWARE, Kind.HINGE)
    assert set(row.parts) == {part.name for part in hung}


def test_a_track_is_in_the_set_of_its_door() -> None:
    first, second = DOORS["slider"][0], {**DOORS["single"][0], "name": "gate house"}
    building = store(first, {**second, "wall": "back", "height": "72 in"}, **CLAD)
    sets = {row.made_of: row for row in door_sets(building)}
    assert set(sets) == {"gate", "gate house"}
    assert "1 track " in sets["gate"].asked
    assert "1 floor guide" in sets["gate"].asked
    assert "track" not in sets["gate house"].asked
    assert "hinges" in sets["gate house"].asked
