"""building.3mf, read back by trimesh."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh

from command import BAD_INPUT, NOT_MADE, pikepole
from conftest import SCENES
from pikepole_export.cli.build import chosen
from pikepole_export.cli.words import Output
from pikepole_export.write.models.threemf import write_3mf
from pikepole_model.building.part import Building
from samples import HIGH_MM, SILL_Z, VOLUME_MM3, expected_volume_mm3, sample_building

PLACES_MM = 1e-3  # coordinates have four decimals


def read(building: Building, scale: float, folder: Path) -> trimesh.Scene:
    path = write_3mf(building, scale, folder / "building.3mf")
    return trimesh.load_scene(path, process=False)


def placed(scene: trimesh.Scene) -> dict[str, trimesh.Trimesh]:
    """Every object where it stands on the plate, by its name."""
    found: dict[str, trimesh.Trimesh] = {}
    for node in scene.graph.nodes_geometry:
        matrix, name = scene.graph[node]
        found[str(name)] = scene.geometry[name].copy().apply_transform(matrix)
    return found


@pytest.mark.parametrize("scale", [24.0, 32.0])
def test_what_is_printed_has_the_size_and_volume_of_the_building(
    scale: float, tmp_path: Path
) -> None:
    building = sample_building()
    objects = placed(read(building, scale, tmp_path))
    # By hand: footings and anchor bolts are in the ground; the sill is the foundation's only piece.
    assert len(objects) == 4
    foundation, floor = objects["1 Foundation, building"], objects["2 Floor, building"]
    rest, alone = (objects[f"3 Back wall and rafter, {half}"] for half in ("building", "roof"))
    sill = VOLUME_MM3["sill"] / scale**3
    assert foundation.volume == pytest.approx(sill, rel=0.02)  # round holes
    names = [part.name for part in building.parts if part.stage == 2]
    assert floor.volume == pytest.approx(sum(map(expected_volume_mm3, names)) / scale**3, rel=1e-3)
    # The rafter is the roof: it stands on the plate by itself, 10 mm beside the rest.
    rafter = VOLUME_MM3["rafter"] / scale**3
    assert alone.volume == pytest.approx(rafter, rel=1e-3)
    assert alone.bounds[0] == pytest.approx([1200 / scale + 10, 0, 0], abs=PLACES_MM)
    assert foundation.bounds[0] == pytest.approx([0, 0, 0], abs=PLACES_MM)
    top = next(part for part in building.parts if part.name == "back wall top plate")
    assert rest.bounds[1][2] == pytest.approx((top.bounds_mm[1][2] - SILL_Z) / scale, abs=PLACES_MM)
    assert alone.bounds[1][2] < (HIGH_MM[2] - SILL_Z) / scale


def test_every_piece_is_a_closed_shell(tmp_path: Path) -> None:
    building = sample_building()
    shells = [
        shell
        for mesh in read(building, 24.0, tmp_path).geometry.values()
        for shell in mesh.split(only_watertight=False)
    ]
    assert len(shells) == 17 - 4  # two footings and two bolts are left out
    assert all(shell.is_watertight and shell.volume > 0 for shell in shells)


def test_what_is_thinner_than_a_layer_is_left_out(honey_house: Building, tmp_path: Path) -> None:
    scene = read(honey_house.finished, 24.0, tmp_path)
    stages = {name.split(" ", 1)[1].split(",")[0] for name in scene.geometry}
    # Felt, wrap and sheet metal, all under 1.5 mm, have stages of their own; 7/16 in is 0.46 mm.
    assert {"Wall sheathing", "Roof deck", "Rafters", "Siding"} <= stages
    assert stages.isdisjoint(
        {"Roof underlayment", "House wrap", "Roof panels", "Roof trim", "Base flashing"}
    )
    low, high = scene.bounds
    assert low == pytest.approx([0, 0, 0], abs=PLACES_MM)
    points = np.concatenate([part.vertices_mm for part in honey_house.finished.parts])
    assert high[2] < np.ptp(points[:, 2]) / 24


def test_same_building_same_bytes(tmp_path: Path) -> None:
    first = write_3mf(sample_building(), 24.0, tmp_path / "a.3mf").read_bytes()
    assert write_3mf(sample_building(), 24.0, tmp_path / "b.3mf").read_bytes() == first


def test_it_is_only_written_where_it_is_named() -> None:
    assert Output.THREE_MF not in chosen(())
    assert chosen(["3mf"]) == (Output.THREE_MF,)
    # What the book has too, and what no program of a builder reads.
    asked_for = {"drawings", "plans", "cards", "calculations", "3mf", "ifc"}
    assert set(chosen(())) == set(Output) - asked_for


@pytest.mark.parametrize("scale", ["0", "1:0", "24:1", "half", "1:1000", "-24"])
def test_a_scale_that_is_none_is_refused(scale: str, tmp_path: Path) -> None:
    answer = pikepole(
        "build", SCENES["plain"], "-o", tmp_path / "out", "--only", "3mf", f"--scale={scale}"
    )
    assert answer.code == BAD_INPUT
    assert 'write it as "1:24"' in " ".join(answer.err.split())
    assert not (tmp_path / "out").exists()


def test_a_model_too_small_to_print_is_not_made(tmp_path: Path) -> None:
    answer = pikepole("build", SCENES["plain"], "-o", tmp_path, "--only", "3mf", "--scale", "1:999")
    assert answer.code == NOT_MADE
    assert "every piece is thinner than 0.2 mm" in " ".join(answer.err.split())
