"""A fault of a library, while a building is laid out or made, is one message with its place."""

from __future__ import annotations

from pathlib import Path
from typing import NoReturn

import pytest

import pikepole_model.build as build_module
import pikepole_model.geometry.shape as shape_module
from command import BAD_INPUT, NOT_MADE, pikepole
from once import forget
from pikepole_model.building.kinds import Kind
from pikepole_model.errors import LayoutError, Problem, SceneError
from pikepole_model.geometry.shape import Shape
from pikepole_model.reading.file import load_scene

SCENE = Path(__file__).parents[1] / "scenes" / "honey-house.toml"

# What the CAD kernel, the outlines and the arithmetic raise.
FAULTS = {
    "division by zero": ZeroDivisionError("division by zero"),
    "Null TopoDS_Shape object": ValueError("Null TopoDS_Shape\nobject"),
    "KeyError": KeyError(),
}

# A step of the layout, and the table that it reads.
STEPS = [
    ("frame_floor", "floor"),
    ("frame_wall", "walls"),
    ("set_rafters", "roof"),
    ("lay_beams", "beam"),
    ("panel_roof", "roofing"),
    ("set_windows", "opening"),
    ("RoofPlan", "building"),
]


def told() -> Problem:
    """The one thing that building the scene says."""
    with pytest.raises(SceneError) as refused:
        build_module.build_with_contacts(load_scene(SCENE))
    (problem,) = refused.value.problems
    return problem


@pytest.mark.usefixtures("anew")
@pytest.mark.parametrize("says", FAULTS)
@pytest.mark.parametrize(("step", "table"), STEPS)
def test_a_fault_of_the_layout_names_its_table(
    monkeypatch: pytest.MonkeyPatch, step: str, table: str, says: str
) -> None:
    def fail(*_: object) -> NoReturn:
        raise FAULTS[says]

    monkeypatch.setattr(build_module, step, fail)
    problem = told()
    assert problem.key == table
    assert f"({says})" in problem.wrong
    assert f"change {table}" in problem.mend


@pytest.mark.parametrize(
    ("kind", "table"),
    [(Kind.RAFTER, "roof"), (Kind.JOIST, "floor"), (Kind.CRIPPLE, "opening[2]")],
)
def test_a_piece_that_cannot_be_made_is_named(
    monkeypatch: pytest.MonkeyPatch, kind: Kind, table: str
) -> None:
    parts = build_module.build(load_scene(SCENE)).parts
    broken = next(part for part in parts if part.kind is kind)
    forget()
    meshed = Shape.mesh.func

    def fail(shape: Shape) -> object:
        if shape == broken.shape:
            raise RuntimeError("BRep_API: command not done")
        return meshed(shape)

    monkeypatch.setattr(Shape, "mesh", property(fail))
    problem = told()
    first = next(part.name for part in parts if part.shape == broken.shape)
    assert problem.wrong == f"{first} cannot be made (BRep_API: command not done)"
    assert problem.key == table


def test_a_solid_that_cannot_be_measured_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    parts = build_module.build(load_scene(SCENE)).parts
    part = parts[0]

    def fail(_: object) -> NoReturn:
        raise RuntimeError("gp_Dir() - input vector has zero norm")

    monkeypatch.setattr(shape_module, "_area_within", fail)
    part.shape.__dict__.pop("_volume_and_centre", None)
    with pytest.raises(LayoutError) as refused:
        part.volume_mm3  # noqa: B018  # pyright: ignore[reportUnusedExpression]
    assert str(refused.value).startswith(f"{part.name}, of {part.stock} in {part.group}, cannot")
    assert "zero norm" in str(refused.value)


@pytest.mark.usefixtures("anew")
@pytest.mark.parametrize("command", ["check", "lift", "cut", "buy"])
def test_a_fault_is_no_traceback(monkeypatch: pytest.MonkeyPatch, command: str) -> None:
    def fail(*_: object) -> NoReturn:
        raise RuntimeError("Standard_NoSuchObject")

    monkeypatch.setattr(build_module, "set_rafters", fail)
    answer = pikepole(command, SCENE)
    assert answer.code == BAD_INPUT
    assert answer.out == ""
    assert "Traceback" not in answer.err
    assert "roof\n" in answer.err
    assert "Standard_NoSuchObject" in answer.err


@pytest.mark.usefixtures("anew")
def test_a_piece_that_cannot_be_measured_ends_the_command(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(_: object) -> NoReturn:
        raise RuntimeError("gp_Dir() - input vector has zero norm")

    monkeypatch.setattr(Shape, "volume_mm3", property(fail))
    answer = pikepole("lift", SCENE)
    assert answer.code == NOT_MADE
    assert "cannot be made" in answer.err
    assert "Traceback" not in answer.err
