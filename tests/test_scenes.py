"""Whole buildings: clean, standing at every stage, alike when turned round or mirrored."""

from __future__ import annotations

import copy
from collections import Counter, defaultdict

import pytest
from hypothesis import given

from draws import draws
from measuring import CUT_MM, box_of, of_kind
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.fit import check
from pikepole_model.checks.practice import practice_findings
from pikepole_model.scene.schema import Scene
from strategies import Table, scene_of, scenes

# Dressed sizes, inches: PS 20, American Softwood Lumber Standard; 6x8 and 8x8 dressed green, NDS
# Supplement Table 1B (from memory).
DRESSED_IN = {
    "2x4": (1.5, 3.5),
    "2x6": (1.5, 5.5),
    "2x8": (1.5, 7.25),
    "2x10": (1.5, 9.25),
    "4x6": (3.5, 5.5),
    "6x6": (5.5, 5.5),
    "6x8": (5.5, 7.5),
}


def test_clean(building: Building) -> None:
    assert check(building) == ()


def floating(building: Building) -> list[str]:
    """Parts that hang on nothing that stands when their stage is done."""
    stage = {part.name: part.stage for part in building.parts}
    neighbours: dict[str, list[str]] = defaultdict(list)
    for joint in building.joints:
        neighbours[joint.a].append(joint.b)
        neighbours[joint.b].append(joint.a)
    # What was there before stands by itself, or on what nobody wrote down.
    grounded = {
        part.name
        for part in building.parts
        if box_of(part).low[2] <= 0.0 or part.kind == Kind.EXISTING
    }
    found: list[str] = []
    for number in sorted(set(stage.values())):
        held = {name for name in grounded if stage[name] <= number}
        waiting = list(held)
        while waiting:
            for name in neighbours[waiting.pop()]:
                if name not in held and stage[name] <= number:
                    held.add(name)
                    waiting.append(name)
        found += [
            f"{name} in stage {number}"
            for name, s in stage.items()
            if s == number and name not in held
        ]
    return found


def test_nothing_floats_at_any_stage(building: Building) -> None:
    assert floating(building) == []


def test_dressed_sizes(building: Building) -> None:
    # A piece of lumber is as thick as its stock, and no wider; ripped and notched ones are less.
    ripped = (
        Kind.RAFTER_BLOCK,
        Kind.LOOKOUT_BLOCK,
        Kind.WALL_BLOCK,
        Kind.NAILING_BLOCK,  # cut to the plates' slope where they come down to it
        Kind.WALL_CAP,
        Kind.FRAME_BOARD,
        Kind.STRINGER,
        Kind.RAMP_BOARD,
    )
    for part in building.parts:
        if part.stock not in DRESSED_IN:
            continue
        breadth, depth = (inches * 25.4 for inches in DRESSED_IN[part.stock])
        sizes = sorted(part.shape.size_mm)
        assert min(abs(size - breadth) for size in sizes) < CUT_MM, part.name
        if part.kind not in ripped:
            assert min(abs(size - depth) for size in sizes) < CUT_MM, part.name
        assert part.section_mm == pytest.approx((breadth, depth))


def longer_than_stock(building: Building, spare_mm: float = CUT_MM) -> list[str]:
    scene = building.scene
    found: list[str] = []
    for part in building.parts:
        if part.section_mm:
            stock = scene.lumber_stock(part.stock)
            # What lies on the ground, a ridge board, and a beam's ply where no joint may lie is put
            # in as it comes, untrimmed.
            whole = part.kind in (Kind.SKID, Kind.GIRDER, Kind.RIDGE_BOARD, Kind.BEAM)
            longest = stock.longest_whole_mm(part.length_mm) if whole else stock.longest_mm
            if part.length_mm > longest + spare_mm:
                found.append(part.name)
        elif part.stock in scene.catalogue.sheets:
            stock = scene.sheet_stock(part.stock)
            thick, width, length = sorted(part.shape.size_mm)
            if (
                length > stock.length_mm + spare_mm
                or width > stock.width_mm + spare_mm
                or abs(thick - stock.thickness_mm) > CUT_MM
            ):
                found.append(part.name)
    return found


def test_nothing_is_larger_than_what_it_is_cut_from(building: Building) -> None:
    assert longer_than_stock(building) == []


@draws(5)
@given(scenes())
def test_any_scene(scene: Scene) -> None:
    building = build(scene)
    # What good practice would not do is the scene's own choice, and has a mend.
    practice = practice_findings(building)
    assert all(one.key and one.mend for one in practice)
    assert not set(check(building)) - set(practice)
    assert floating(building) == []
    assert longer_than_stock(building) == []
    by_stage = sum(part.volume_mm3 for stage in building.stages for part in stage.parts)
    by_kind = sum(part.volume_mm3 for kind in Kind for part in of_kind(building, kind))
    assert by_stage == pytest.approx(by_kind, rel=1e-12)
    assert len({part.name for part in building.parts}) == len(building.parts)


def on_the_grid(**roof: str) -> Table:
    """A hut whose sizes are whole numbers of its spacings: laid out alike from either end."""
    return {
        "title": "Turned round",
        "building": {"length": "128 in", "depth": "80 in"},
        "foundation": {"kind": "skids", "inset": "1 in"},
        "floor": {"joist": "2x6"},
        "walls": {"low_height": "7 ft"},
        "bay": [{"side": "left", "reach": "48 in"}],
        "roof": {"slope": "3:12", "rafter": "2x8", "high_overhang": "5 in", **roof},
        "opening": [
            opening("door", "front", 26, 34, 72),
            opening("window", "front", 80, 20, 20, 48),
            opening("back window", "back", 20, 30, 20, 45),
            opening("side window", "right", 21, 25, 20, 44),
        ],
    }


def opening(
    name: str, wall: str, from_left: int, width: int, height: int, sill: int | None = None
) -> Table:
    made: Table = {
        "name": name,
        "kind": "window" if sill else "door",
        "wall": wall,
        "from_left": f"{from_left} in",
        "width": f"{width} in",
        "height": f"{height} in",
    }
    return made | ({"sill": f"{sill} in"} if sill else {})


def turned(table: Table) -> Table:
    """The same hut seen from behind: front is back, left is right."""
    table = copy.deepcopy(table)
    other = {"front": "back", "back": "front", "left": "right", "right": "left"}
    table["roof"]["falls"] = other[table["roof"].get("falls", "back")]
    for bay in table["bay"]:
        bay["side"] = other[bay["side"]]
    for made in table["opening"]:
        made["wall"] = other[made["wall"]]
    return table


def mirrored(table: Table) -> Table:
    """The hut in a mirror that stands at its end: left is right, front stays front."""
    table = copy.deepcopy(table)
    for bay in table["bay"]:
        bay["side"] = {"left": "right", "right": "left"}[bay["side"]]
    length = {"front": 128, "back": 128, "left": 80, "right": 80}
    for made in table["opening"]:
        from_left, width = (int(made[key].split()[0]) for key in ("from_left", "width"))
        made["from_left"] = f"{length[made['wall']] - from_left - width} in"
        made["wall"] = {"left": "right", "right": "left"}.get(made["wall"], made["wall"])
    return table


def pieces(parts: list[Part]) -> Counter[tuple[Kind, str, float]]:
    return Counter((part.kind, part.stock, round(part.volume_mm3, 2)) for part in parts)


@pytest.mark.parametrize("falls", ["back", "front"])
def test_turned_round(falls: str) -> None:
    # Turned by half a turn, everything stands where it stood; roof decks are laid out from their
    # own left ends, so they turn with the hut. The sheets of floor and walls, the blocks and what
    # lies between the beams' plies are laid from the building's left end whichever way the roof
    # falls; of the walls' sheets only the plane matters then. A tie of the middle joist or skid is
    # on its left or front face.
    table = on_the_grid(falls=falls)
    one, other = build(scene_of(table)), build(scene_of(turned(table)))
    walls = (Kind.WALL_SHEET, Kind.WALL_BLOCK)

    def turning(building: Building) -> list[Part]:
        return [part for part in building.parts if part.kind not in walls]

    assert pieces(turning(one)) == pieces(turning(other))
    length, deep = 128 * 25.4, 80 * 25.4
    stay = (Kind.FLOOR_SHEET, Kind.FLOOR_BLOCK, Kind.FLOOR_TIE, Kind.BEAM_SPACER, *walls)

    def places(building: Building, turn: bool) -> Counter[tuple[Kind, float, float, float]]:
        found: Counter[tuple[Kind, float, float, float]] = Counter()
        for part in building.parts:
            if part.kind not in stay:
                x, y, z = part.centre_mm
                if turn:
                    x, y = length - x, deep - y
                # Off the halves, so that round-off cannot tip one hut's numbers the other way.
                x, y, z = (round(value + 0.00123, 2) + 0.0 for value in (x, y, z))
                found[part.kind, x, y, z] += 1
        return found

    assert places(one, False) == places(other, True)


def test_mirrored() -> None:
    # In a mirror every stick has its like. Sheets and what lies behind their joints are laid from
    # the left in both huts, so only their plane matters: they are left out.
    table = on_the_grid()
    one, other = build(scene_of(table)), build(scene_of(mirrored(table)))
    sheets = (Kind.FLOOR_SHEET, Kind.WALL_SHEET, Kind.ROOF_SHEET)

    def sticks(building: Building) -> list[Part]:
        return [part for part in building.parts if part.kind not in sheets]

    assert pieces(sticks(one)) == pieces(sticks(other))
