from __future__ import annotations

import json
import os
import shutil
import struct
import subprocess
from dataclasses import replace
from itertools import product
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from pikepole_export.derive.inventory.parts import part_rows
from pikepole_export.graphics.colours import part_look
from pikepole_export.write.models.gltf import write_glb
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Stage
from samples import HIGH_MM, LOOKS, LOW_MM, expected_volume_mm3, sample_building

# GLB holds 32-bit floats: 2**-24 of a metre or so.
FLOAT_32_M = 1e-6
# A round bolt or hole is meshed to 0.1 mm.
ROUND, FLAT = 0.02, 1e-5

VALIDATE = """
const fs = require("fs");
const validator = require(process.argv[1]);
validator.validateBytes(new Uint8Array(fs.readFileSync(process.argv[2])))
  .then((report) => console.log(JSON.stringify(report.issues)))
  .catch((error) => { console.error(error); process.exit(1); });
"""


@pytest.fixture(scope="module")
def building() -> Building:
    return sample_building()


@pytest.fixture(scope="module")
def path(building: Building, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_glb(building, tmp_path_factory.mktemp("glb") / "building.glb")


@pytest.fixture(scope="module")
def tree(path: Path) -> dict[str, Any]:
    """The JSON chunk. glTF 2.0, GLB file format: magic, version, length; then chunks."""
    data = path.read_bytes()
    magic, version, length, chunk, kind = struct.unpack_from("<4sII I4s", data)
    assert (magic, version, length, kind) == (b"glTF", 2, len(data), b"JSON")
    return json.loads(data[20 : 20 + chunk])


def metres_y_up(x: float, y: float, z: float) -> list[float]:
    return [x / 1000, z / 1000, -y / 1000]


def test_khronos_validator_finds_nothing(path: Path) -> None:
    module = os.environ.get("PIKEPOLE_GLTF_VALIDATOR", "gltf-validator")
    node = shutil.which("node")
    missing = node is None or (
        subprocess.run(
            [node, "-e", "require.resolve(process.argv[1])", module], capture_output=True
        ).returncode
        != 0
    )
    if missing:
        reason = (
            "needs node and the npm package gltf-validator; "
            "PIKEPOLE_GLTF_VALIDATOR may name the package's folder"
        )
        if os.environ.get("CI"):
            pytest.fail(reason)
        pytest.skip(reason)
    assert node is not None
    report = subprocess.run(
        [node, "-e", VALIDATE, module, str(path)], check=True, capture_output=True, encoding="utf-8"
    )
    issues = json.loads(report.stdout)
    assert issues["messages"] == []
    assert (issues["numErrors"], issues["numWarnings"]) == (0, 0)


def test_nodes_are_building_stages_and_parts(building: Building, tree: dict[str, Any]) -> None:
    nodes = tree["nodes"]

    def children(node: dict[str, Any]) -> list[dict[str, Any]]:
        return [nodes[index] for index in node.get("children", [])]

    assert tree["scenes"][tree["scene"]]["name"] == "Hive stand"
    root, *cameras = tree["scenes"][tree["scene"]]["nodes"]
    assert [nodes[camera]["name"] for camera in cameras] == ["front", "behind"]
    stages = children(nodes[root])
    assert [stage["name"] for stage in stages] == [
        "1 Foundation",
        "2 Floor",
        "3 Back wall and rafter",
    ]
    for stage, node in zip(building.stages, stages, strict=True):
        groups = children(node)
        named = [group["extras"]["group"] for group in groups]
        assert named == list(dict.fromkeys(part.group for part in stage.parts))
        for group, name in zip(groups, named, strict=True):
            assert group["name"].endswith(name)
            own = [part.name for part in stage.parts if part.group == name]
            assert [child["name"] for child in children(group)] == own
    # The foundation's one group, the floor's frame and sheets, the back wall and the rafter's.
    assert len(nodes) == 1 + 3 + (1 + 2 + 2) + 17 + len(cameras)


def test_extras_agree_with_the_part_rows(building: Building, tree: dict[str, Any]) -> None:
    nodes = {node["name"]: node for node in tree["nodes"]}
    stocks = {part.name: part.stock for part in building.parts}
    for row in part_rows(building):
        assert nodes[row.name]["extras"] == {
            "kind": row.kind,
            "group": row.group,
            "stock": stocks[row.name],
            "shape": row.shape,
            "material": row.material,
            "section_mm": list(row.section_mm) if row.section_mm else None,
            "length_mm": pytest.approx(row.length_mm, abs=1e-6),
            "mass_kg": pytest.approx(row.mass.likely_kg, abs=1e-6),
            "stage": row.stage,
        }


def test_one_mesh_for_each_shape_in_each_look(building: Building, tree: dict[str, Any]) -> None:
    assert len(tree["meshes"]) == LOOKS
    assert all(len(mesh["primitives"]) == 1 for mesh in tree["meshes"])
    used: dict[int, set[tuple[object, str]]] = {}
    nodes = {node["name"]: node for node in tree["nodes"]}
    for part in building.parts:
        look = (building.shapes[part.shape], part_look(part).name)
        used.setdefault(nodes[part.name]["mesh"], set()).add(look)
    assert len(used) == LOOKS
    assert all(len(looks) == 1 for looks in used.values())


def test_materials_are_in_linear_light(tree: dict[str, Any]) -> None:
    materials = {material["name"]: material for material in tree["materials"]}
    assert set(materials) == {"lumber", "treated lumber", "plywood", "concrete", "steel"}
    # Lumber is (0.92, 0.82, 0.63) in sRGB. IEC 61966-2-1: over 0.04045, linear is
    # ((c + 0.055) / 1.055)**2.4; 0.92 -> 0.8276, 0.82 -> 0.6383, 0.63 -> 0.3547.
    pbr = materials["lumber"]["pbrMetallicRoughness"]
    assert pbr["baseColorFactor"] == pytest.approx([0.8276, 0.6383, 0.3547, 1.0], abs=1e-4)
    # glTF 2.0, 5.22: fully metallic, a surface has no diffuse colour, and is black where there is
    # nothing that it could mirror.
    for material in materials.values():
        assert material["pbrMetallicRoughness"]["metallicFactor"] == 0.0


def test_its_cameras_see_all_of_it_and_tell_thin_layers_apart(tree: dict[str, Any]) -> None:
    low, high = metres_y_up(*LOW_MM), metres_y_up(*HIGH_MM)
    corners = np.array([*product(*zip(low, high, strict=True))])
    (camera,) = tree["cameras"]
    view = camera["perspective"]
    near, far = view["znear"], view["zfar"]
    for node in (node for node in tree["nodes"] if "camera" in node):
        # glTF 2.0, 3.5.3: column by column; 3.10.2: it looks along its own -Z, with +Y up.
        matrix = np.array(node["matrix"]).reshape(4, 4).T
        assert np.linalg.det(matrix[:3, :3]) == pytest.approx(1.0)
        assert matrix[1, 1] > 0.0
        x, y, z = (np.linalg.inv(matrix) @ np.c_[corners, np.ones(8)].T)[:3]
        assert (near <= -z + FLOAT_32_M).all()
        assert (-z <= far + FLOAT_32_M).all()
        # In a square picture.
        widest = np.tan(view["yfov"] / 2) * -z
        assert (np.abs(x) < widest).all()
        assert (np.abs(y) < widest).all()
    # glTF 2.0, 3.10.3.1 puts depth z into a buffer as far (z - near) / (z (far - near)), which
    # grows by far near / (z^2 (far - near)) for a metre of z: one step of 24 bits at the far plane
    # stays far below the least thickness of a roll or a flashing, 0.2 mm.
    step_m = 2**-24 * far * (far - near) / near
    assert step_m < 0.2e-3 / 20


def test_panes_are_seen_through(honey_house: Building, tmp_path: Path) -> None:
    pane = next(part for part in honey_house.parts if part.kind is Kind.PANE)
    alone = replace(honey_house, parts=(pane,), joints=(), stages=(Stage(1, "Pane", (pane,)),))
    data = write_glb(alone, tmp_path / "pane.glb").read_bytes()
    (length,) = struct.unpack_from("<I", data, 12)
    (material,) = json.loads(data[20 : 20 + length])["materials"]
    # glTF 2.0, 3.9.4: without alphaMode, alpha is ignored.
    assert material["alphaMode"] == "BLEND"
    assert 0.0 < material["pbrMetallicRoughness"]["baseColorFactor"][3] < 0.5


def test_trimesh_reads_every_part_where_it_is(building: Building, path: Path) -> None:
    scene = trimesh.load_scene(path, process=False)
    assert len(scene.graph.nodes_geometry) == 17
    for part, row in zip(building.parts, part_rows(building), strict=True):
        matrix, name = scene.graph[part.name]
        mesh = scene.geometry[name].copy()
        mesh.merge_vertices(merge_norm=True)
        mesh.apply_transform(matrix)
        assert mesh.is_watertight, part.name
        is_round = part.kind in ("anchor bolt", "footing", "bottom plate")
        # m3 from mm3; a mirrored part would come out negative.
        assert mesh.volume == pytest.approx(
            expected_volume_mm3(part.name) / 1e9, rel=ROUND if is_round else FLAT
        ), part.name
        centre = metres_y_up(*row.centre_of_gravity_mm)
        np.testing.assert_allclose(mesh.center_mass, centre, atol=2e-5)


def test_bounding_box_in_metres(path: Path) -> None:
    bounds = trimesh.load_scene(path).bounds
    corners = np.array([metres_y_up(*LOW_MM), metres_y_up(*HIGH_MM)])
    expected = [corners.min(axis=0), corners.max(axis=0)]
    np.testing.assert_allclose(bounds, expected, atol=FLOAT_32_M)


def test_every_facet_is_flat(path: Path) -> None:
    scene = trimesh.load_scene(path, process=False)
    for mesh in scene.geometry.values():
        corners = mesh.vertices[mesh.faces]
        across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        across /= np.linalg.norm(across, axis=1, keepdims=True)
        for corner in range(3):
            normals = mesh.vertex_normals[mesh.faces[:, corner]]
            np.testing.assert_allclose(normals, across, atol=1e-3)


def test_file_grows_with_shapes_and_not_with_parts(path: Path, tmp_path: Path) -> None:
    ten = write_glb(sample_building(repeat=10), tmp_path / "ten.glb")
    assert ten.stat().st_size < 2 * path.stat().st_size
