"""Each thing that must be true of a model, broken on purpose and found."""

from __future__ import annotations

from dataclasses import replace

import cadquery as cq
import numpy as np
import pytest
from pydantic import BaseModel

from pikepole_model.building.contact import find_contacts
from pikepole_model.building.joints import find_joints
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Joint, Part, Stage
from pikepole_model.checks.fit import check
from pikepole_model.checks.keys import key_of
from pikepole_model.checks.sound import watertight, wrong_with
from pikepole_model.errors import Finding
from pikepole_model.geometry.mesh import Mesh
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Frustum, Prism, Shape, rectangle
from pikepole_model.reading.words import models_in
from pikepole_model.scene.schema import Scene
from samples import BOLT, FOOTING, PLATE, RAFTER, SHEET, SPRUCE, STUD, sample_building


def joined(building: Building) -> Building:
    """The building with the joints its contacts make."""
    return replace(building, joints=find_joints(building.parts, find_contacts(building.parts)))


def built(*parts: Part) -> Building:
    """Parts as a building of one stage."""
    stage = Stage(1, "All", parts)
    return joined(replace(sample_building(), parts=parts, stages=(stage,)))


def with_part(building: Building, name: str, new: Part) -> Building:
    """The building with one part swapped for another, its joints as they were."""

    def swap(parts: tuple[Part, ...]) -> tuple[Part, ...]:
        return tuple(new if part.name == name else part for part in parts)

    stages = tuple(replace(stage, parts=swap(stage.parts)) for stage in building.stages)
    return replace(building, parts=swap(building.parts), stages=stages)


def block(name: str, x: float, y: float, z: float, dx: float, dy: float, dz: float) -> Part:
    shape = Shape(Prism(rectangle(0, 0, dx, dy), dz))
    return Part(name, Kind.STUD, "frame", 1, "2x4", SPRUCE, None, shape, Placement((x, y, z)))


def moved(part: Part, dx: float, dy: float, dz: float) -> Part:
    x, y, z = part.placement.origin
    return replace(part, placement=replace(part.placement, origin=(x + dx, y + dy, z + dz)))


def named(building: Building, name: str) -> Part:
    return next(part for part in building.parts if part.name == name)


def kinds(findings: tuple[Finding, ...]) -> list[str]:
    return [finding.kind for finding in findings]


def test_the_sample_is_true() -> None:
    assert check(joined(sample_building())) == ()
    assert check(joined(sample_building(repeat=3))) == ()


# Overlaps --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("deep", "side", "found"),
    [
        (0.05, 30.0, False),  # 0.05 mm x 30 x 30 = 45 mm3
        (0.2, 10.0, True),  # deep, though only 20 mm3
        (0.05, 50.0, True),  # shallow, but 125 mm3
        (0.0999, 10.0, False),
        (0.1001, 10.0, True),
        (0.0, 2000.0, False),
    ],
)
def test_what_counts_as_an_overlap(deep: float, side: float, found: bool) -> None:
    building = built(
        block("lower", 0, 0, 0, 2000, 2000, 100),
        block("upper", 500, 300, 100 - deep, side, side, 40),
    )
    findings = check(building)
    assert kinds(findings) == ["overlap"] * found
    if found:
        assert findings[0].parts == ("lower", "upper")
        middle = (500 + side / 2, 300 + side / 2, 100 - deep / 2)
        assert findings[0].at_mm == pytest.approx(middle, abs=1e-6)


def test_an_overlap_names_both_parts_and_the_place() -> None:
    building = joined(sample_building())
    stud = named(building, "back wall stud 2")
    (found,) = check(with_part(building, stud.name, moved(stud, 0, 0, -2)))
    # 2 mm into the bottom plate over the whole foot of 38.1 x 88.9, from 334.15 down.
    assert found.kind == "overlap"
    assert found.parts == ("back wall bottom plate", "back wall stud 2")
    assert found.at_mm == pytest.approx((600, 755.55, 333.15), abs=1e-3)
    assert "back wall bottom plate and back wall stud 2 overlap" in found.text
    assert "2.00 mm deep, 6774 mm3" in found.text
    assert "at x 600.0, y 755." in found.text
    assert "1' 11-5/8\"" in found.text  # 600 mm is 23.62 in


def test_a_metric_scene_gives_the_place_in_millimetres_alone() -> None:
    building = joined(sample_building("metric"))
    stud = named(building, "back wall stud 2")
    (found,) = check(with_part(building, stud.name, moved(stud, 0, 0, -2)))
    assert found.text.endswith(" mm")


def test_a_rafter_let_down_and_a_bolt_without_a_hole() -> None:
    building = joined(sample_building())
    rafter = named(building, "rafter 1")
    (found,) = check(with_part(building, rafter.name, moved(rafter, 0, 0, -0.3)))
    assert found.parts == ("back wall top plate", "rafter 1")
    footing = named(building, "footing 1")
    whole = replace(footing, shape=Shape(Prism(rectangle(0, 0, 300, 250), 300.0)))
    (found,) = check(with_part(building, footing.name, whole))
    assert found.parts == ("footing 1", "anchor bolt 1")


def test_findings_keep_their_order() -> None:
    building = joined(sample_building(repeat=3))
    studs = [part.name for part in building.parts if part.kind is Kind.STUD]
    assert len(studs) == 9
    for name in (studs[7], studs[1], studs[4]):
        building = with_part(building, name, moved(named(building, name), 0, 0, -2))
    first, again = check(building), check(building, find_contacts(building.parts))
    assert first == again
    # One stage after another put the same studs into the same plates: one cause, one finding.
    (found,) = first
    assert [name for name in found.parts if name in studs] == [studs[1], studs[4], studs[7]]
    assert "3 pairs" in found.text


def test_overlaps_of_one_cause_are_one_finding() -> None:
    # A beam let 5 mm into the first of ten rafters, 1 mm further into each of the others; and a
    # board let into another beam, which has nothing to do with those.
    rafters = [
        replace(
            block(f"rafter {k + 1}", 100.0 * k, 0, 85 - k, 38, 300, 100),
            kind=Kind.RAFTER,
            group="rafters",
        )
        for k in range(10)
    ]
    beam = replace(block("beam", -50, 0, 0, 1200, 90, 90), kind=Kind.BEAM, group="front beam")
    other = block("back beam", -50, 900, 0, 1200, 90, 90)
    other = replace(other, kind=Kind.BEAM, group="back beam")
    board = replace(block("barge", 0, 980, 0, 900, 19, 90), kind=Kind.BARGE, group="roof edges")
    found = [f for f in check(built(beam, *rafters, other, board)) if f.kind == "overlap"]
    assert len(found) == 2
    of_rafters = next(f for f in found if "beam" in f.parts)
    assert of_rafters.parts == ("beam", *(rafter.name for rafter in rafters))
    assert "10 pairs" in of_rafters.text
    assert "up to 14.00 mm deep; first beam and rafter 1 overlap: 5.00 mm deep" in of_rafters.text
    assert of_rafters.key == "beam and roof"
    assert str(of_rafters).startswith("beam and roof: 10 pairs")
    assert str(of_rafters).endswith(f"; {of_rafters.mend}")


@pytest.mark.parametrize("kind", Kind)
def test_every_kind_hangs_on_a_table_of_the_scene(kind: Kind) -> None:
    tables: list[type[BaseModel]] = [Scene]
    for key in key_of(kind).split("."):
        fields = [table.model_fields[key] for table in tables if key in table.model_fields]
        assert fields, key
        tables = [inner for field in fields for inner in models_in(field.annotation)]


# Loose parts -----------------------------------------------------------------------------------


@pytest.mark.parametrize(("gap", "loose"), [(0.0, False), (3.9, False), (4.1, True)])
def test_a_part_more_than_four_millimetres_off_is_loose(gap: float, loose: bool) -> None:
    building = built(block("post", 0, 0, 0, 90, 90, 500), block("top", 0, 0, 500 + gap, 90, 90, 40))
    findings = check(building)
    assert kinds(findings) == ["loose"] * loose
    assert all(finding.parts == ("top",) for finding in findings)


@pytest.mark.parametrize(("low", "loose"), [(-200.0, False), (4.0, False), (4.1, True)])
def test_the_ground_reaches_four_millimetres_up(low: float, loose: bool) -> None:
    assert kinds(check(built(block("skid", 0, 0, low, 900, 90, 300)))) == ["loose"] * loose


def test_parts_that_hold_only_each_other_are_all_loose() -> None:
    hanging = [block(f"piece {i}", 100.0 * i, 0, 700, 100, 90, 40) for i in range(3)]
    findings = check(built(block("post", 0, 500, 0, 90, 90, 700), *hanging))
    (finding,) = findings
    assert finding.parts == ("piece 0", "piece 1", "piece 2")
    assert finding.at_mm == pytest.approx((50, 45, 720))


def test_a_sheet_held_by_nothing_but_another_sheet_is_loose() -> None:
    sheets = [
        replace(block(f"sheet {i}", 903.0 * i, 0, 100, 900, 900, 12), kind=Kind.FLOOR_SHEET)
        for i in range(2)
    ]
    joist = replace(block("joist", 100, 0, 0, 38, 900, 100), kind=Kind.JOIST)
    findings = check(built(joist, *sheets))
    assert [finding.parts for finding in findings] == [("sheet 1",)]


def test_a_lowered_end_counts_where_a_piece_slopes() -> None:
    # The low end of a leaning board is on the ground although its middle is not.
    board = block("board", 0, 0, 0, 1000, 90, 20)
    leaning = replace(board, placement=Placement((0, 0, 12), (0.6, 0, 0.8), (0, 1, 0)))
    # Its lower face starts at z = 12, the upper at 12 + 20 x 0.6.
    assert kinds(check(built(leaning))) == ["loose"]
    assert kinds(check(built(moved(leaning, 0, 0, -8.5)))) == []


def test_a_joint_with_a_part_that_is_not_there() -> None:
    building = joined(sample_building())
    ghost = Joint("rafter 1", "rafter 9", "nailed", (1.0, 2.0, 3.0))
    (found,) = check(replace(building, joints=(*building.joints, ghost)))
    assert found.kind == "other"
    assert "rafter 9" in found.text


# Solids and meshes -----------------------------------------------------------------------------


def spoiled(shape: Shape, **made: object) -> Shape:
    """A new copy of a shape whose solid or mesh is another than its recipe makes."""
    copy = Shape(shape.body, shape.cuts)
    copy.__dict__.update(made)
    return copy


@pytest.mark.parametrize("shape", [FOOTING, BOLT, PLATE, RAFTER, SHEET, STUD])
def test_sound_shapes_have_no_faults(shape: Shape) -> None:
    assert wrong_with(shape) == ()
    assert wrong_with(Shape(Frustum((0, 0, 500, 400), (40, 0, 450, 350), 200))) == ()


def test_an_outline_that_crosses_itself() -> None:
    bow_tie = Shape(Prism(((0, 0), (400, 89), (400, 0), (0, 120)), 38))
    assert "meets itself" in " ".join(wrong_with(bow_tie))
    # A notch whose point just reaches the far side, and two holes that run into each other.
    pinched = Shape(Prism(((0, 0), (400, 0), (400, 100), (200, 0), (0, 100)), 38))
    assert "meets itself" in " ".join(wrong_with(pinched))
    holes = rectangle(50, 50, 150, 80), rectangle(100, 60, 300, 90)
    assert wrong_with(Shape(Prism(rectangle(0, 0, 400, 100), 38, holes)))


def test_a_hole_that_runs_out_of_its_outline() -> None:
    hole = rectangle(350, 50, 450, 80)
    assert wrong_with(Shape(Prism(rectangle(0, 0, 400, 100), 38, (hole,))))


@pytest.mark.parametrize(
    "outline", [((0.0, 0.0), (100.0, 0.0)), ((0.0, 0.0), (50.0, 0.0), (100.0, 0.0))]
)
def test_an_outline_that_encloses_nothing(outline: tuple[tuple[float, float], ...]) -> None:
    assert wrong_with(Shape(Prism(outline, 38)))


def test_two_bodies_in_one_shape() -> None:
    two = cq.Compound.makeCompound(
        [cq.Solid.makeBox(9, 9, 9), cq.Solid.makeBox(9, 9, 9, cq.Vector(50, 0, 0))]
    )
    assert "2 solids" in " ".join(wrong_with(spoiled(PLATE, solid=two)))
    saw = (Prism(rectangle(0, -10, 5, 110), 60), Placement((200, 0, -10)))
    (clause,) = wrong_with(Shape(Prism(rectangle(0, 0, 400, 100), 40), (saw,)))
    assert "2 bodies" in clause


def test_an_open_shell() -> None:
    box = cq.Solid.makeBox(10, 20, 30)
    solid = cq.Solid.makeSolid(cq.Shell.makeShell(box.Faces()[:5]))
    assert "is not closed" in " ".join(wrong_with(spoiled(PLATE, solid=solid)))


def test_meshes_that_leak_or_are_turned_inside_out() -> None:
    mesh = STUD.mesh
    assert watertight(mesh)
    missing = replace(mesh, triangles=mesh.triangles[:-1])
    double = replace(mesh, triangles=np.concatenate([mesh.triangles, mesh.triangles[:1]]))
    flipped = replace(
        mesh, triangles=np.concatenate([mesh.triangles[:1, ::-1], mesh.triangles[1:]])
    )
    # The same skin twice: each edge has its counterpart, but two of each.
    twice = replace(mesh, triangles=np.concatenate([mesh.triangles, mesh.triangles]))
    empty = Mesh(mesh.vertices, mesh.triangles[:0])
    for bad in (missing, double, flipped, twice, empty):
        assert not watertight(bad)
        assert any("watertight" in clause for clause in wrong_with(spoiled(STUD, mesh=bad)))
    inside_out = replace(mesh, triangles=mesh.triangles[:, ::-1])
    assert watertight(inside_out)
    assert any("volume" in clause for clause in wrong_with(spoiled(STUD, mesh=inside_out)))


@pytest.mark.parametrize(("grown", "found"), [(0.00005, False), (0.0002, True)])
def test_a_flat_mesh_may_miss_a_hundredth_of_a_percent(grown: float, found: bool) -> None:
    mesh = replace(STUD.mesh, vertices=STUD.mesh.vertices * (1 + grown, 1, 1))
    assert bool(wrong_with(spoiled(STUD, mesh=mesh))) == found


def test_a_bolt_that_is_too_thin_is_found() -> None:
    thin = replace(BOLT.mesh, vertices=BOLT.mesh.vertices * (6.34 / 6.35, 6.34 / 6.35, 1))
    assert any("volume" in clause for clause in wrong_with(spoiled(BOLT, mesh=thin)))


def test_a_bad_shape_is_named_by_its_parts_and_stops_nothing_else() -> None:
    building = joined(sample_building())
    bad = Shape(Prism(((0, 0), (400, 89), (400, 0), (0, 120)), 38))
    for number in (1, 3):
        stud = named(building, f"back wall stud {number}")
        building = with_part(building, stud.name, replace(stud, shape=bad))
    stud = named(building, "back wall stud 2")
    findings = check(with_part(building, stud.name, moved(stud, 0, 0, -2)))
    assert {f.parts for f in findings if f.kind == "other"} == {
        ("back wall stud 1", "back wall stud 3")
    }
    assert str(findings[0]).startswith("back wall stud 1 and 1 more: ")
    assert [f.parts for f in findings if f.kind == "overlap"] == [
        ("back wall bottom plate", "back wall stud 2")
    ]


# Names and stages ------------------------------------------------------------------------------


def test_two_parts_of_one_name() -> None:
    building = joined(sample_building())
    stud = named(building, "back wall stud 3")
    findings = check(with_part(building, stud.name, replace(stud, name="back wall stud 2")))
    assert any(
        f.kind == "other" and str(f) == "back wall stud 2: 2 parts are called that"
        for f in findings
    )


def test_a_part_in_no_stage_in_two_or_in_another() -> None:
    building = joined(sample_building())
    one, two, three = building.stages
    stud = named(building, "back wall stud 3")
    left_out = replace(three, parts=tuple(part for part in three.parts if part is not stud))
    for stages, words in (
        ((one, two, left_out), "says stage 3, and is added by stage none"),
        ((one, replace(two, parts=(*two.parts, stud)), three), "added by stage 2 and 3"),
        ((one, replace(two, parts=(*two.parts, stud)), left_out), "added by stage 2"),
    ):
        findings = check(replace(building, stages=stages))
        assert set(kinds(findings)) == {"other"}
        assert words in findings[0].text
        assert findings[0].parts == ("back wall stud 3",)


def test_a_stage_that_adds_something_else() -> None:
    building = joined(sample_building())
    one, two, three = building.stages
    stranger = block("stranger", 0, 0, 0, 10, 10, 10)
    findings = check(
        replace(building, stages=(replace(one, parts=(*one.parts, stranger)), two, three))
    )
    assert any(str(found).startswith("stranger: stage 1 adds it") for found in findings)
    # Same name, another size: only the sum of the volumes tells.
    longer = replace(named(building, "back wall stud 3"), shape=RAFTER)
    parts = tuple(longer if part.name == longer.name else part for part in three.parts)
    (found,) = check(replace(building, stages=(one, two, replace(three, parts=parts))))
    assert "volumes do not add up" in found.text


def test_two_stages_of_one_number() -> None:
    building = joined(sample_building())
    one, two, three = building.stages
    findings = check(replace(building, stages=(one, replace(two, number=1), three)))
    assert any("2 stages have the number 1" in finding.text for finding in findings)
