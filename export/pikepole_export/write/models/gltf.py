"""GLB (glTF 2.0, binary): the building for viewers and web pages. Metres, +Y up.

    write_glb(building, path) -> path

The building's X stays X, its Z becomes Y, and its Y, front to back, becomes -Z: still right-handed,
and the front faces the viewer. Under the building's node there is one for each stage, under that
one for each group ("2.1 floor frame") and under that one for each part, by name, with `extras`:
kind, group, stock, shape (its id), material, section_mm, length_mm, mass_kg (likely) and stage.
There is one mesh for each distinct shape in each look it comes in, with flat faces.

Wrap, underlayment and flashing lie on each other as they are built, some 0.3 mm apart. Where a
viewer looks through planes far before and behind the building, its depth buffer takes them for one
and they flicker. glTF has no offset for that, so there are two cameras, "front" and "behind", whose
planes close in on the building.
"""

from __future__ import annotations

import math
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.files.whole import put
from pikepole_export.graphics.camera import camera_axes, camera_axes_behind
from pikepole_export.graphics.colours import LOOKS, Look, part_look
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.placement import Placement, Points
from pikepole_model.geometry.shape import Shape

if TYPE_CHECKING:
    import trimesh
    from trimesh.visual.material import PBRMaterial

METRES_PER_MM = 1e-3
ROOT = "building"  # trimesh tells nodes apart by name: no stage and no part is called so
VIEW_RAD = math.radians(30.0)  # from the lower to the upper edge of what a camera sees
# What a slice of the binary part is for, in OpenGL's numbers (glTF 2.0, bufferView.target).
ARRAY_BUFFER, ELEMENT_ARRAY_BUFFER = 34962, 34963
# (x, y, z) -> (x, z, -y)
Y_UP = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]])


def write_glb(building: Building, path: Path) -> Path:
    """Write the building as one GLB file.

    Args:
        building: What to write.
        path: The file, in a folder that is there.

    Returns:
        The path.

    Raises:
        OutputError: the file did not come out whole.
    """
    from trimesh.exchange.gltf import export_glb

    finish = partial(_finish, building=building)
    data = export_glb(_scene(building), include_normals=True, tree_postprocessor=finish)
    return put(path, data)


def _scene(building: Building) -> trimesh.Scene:
    """Building, stages and parts as a scene graph."""
    import trimesh
    from trimesh.visual.material import PBRMaterial

    materials = {look: PBRMaterial(name=look.name) for look in LOOKS}
    scene = trimesh.Scene()
    graph = scene.graph
    graph.update(ROOT)
    for stage in building.stages:
        step = f"{stage.number} {stage.name}"
        graph.update(step, ROOT, metadata={"stage": stage.number})
        groups = {
            group: f"{stage.number}.{place} {group}"
            for place, group in enumerate(dict.fromkeys(part.group for part in stage.parts), 1)
        }
        for group, node in groups.items():
            graph.update(node, step, metadata={"group": group})
        for part in stage.parts:
            look = part_look(part)
            mesh = f"{building.shapes[part.shape]} {look.name}"
            if mesh not in scene.geometry:
                scene.geometry[mesh] = _mesh(part.shape, materials[look])
            graph.update(
                part.name,
                groups[part.group],
                matrix=_matrix(part.placement),
                geometry=mesh,
                metadata=_extras(part, building.shapes[part.shape]),
            )
    return scene


def _mesh(shape: Shape, material: PBRMaterial) -> trimesh.Trimesh:
    """A shape with three vertices of its own for each facet, so that every facet is shaded flat."""
    import trimesh
    from trimesh.visual import TextureVisuals

    corners = _turned(shape.mesh.vertices)[shape.mesh.triangles] * METRES_PER_MM
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normals /= np.linalg.norm(normals, axis=1, keepdims=True)
    return trimesh.Trimesh(
        vertices=corners.reshape(-1, 3),
        faces=np.arange(3 * len(corners)).reshape(-1, 3),
        vertex_normals=np.repeat(normals, 3, axis=0),
        visual=TextureVisuals(material=material),
        process=False,
    )


def _matrix(place: Placement) -> Points:
    """A placement between frames that are both in metres and +Y up: (4, 4) float."""
    matrix = np.eye(4)
    matrix[:3, :3] = Y_UP @ place.matrix[:3, :3] @ Y_UP.T
    matrix[:3, 3] = Y_UP @ np.array(place.origin) * METRES_PER_MM
    return matrix + 0.0  # no minus zero


def _turned(points: Points) -> Points:
    return points @ Y_UP.T


def _extras(part: Part, shape: str) -> dict[str, Any]:
    return {
        "kind": part.kind.value,
        "group": part.group,
        "stock": part.stock,
        "shape": shape,
        "material": part.material.name,
        "section_mm": part.section_mm and list(part.section_mm),
        "length_mm": round(part.length_mm, 6),
        "mass_kg": round(part_mass(part).likely_kg, 6),
        "stage": part.stage,
    }


def _finish(tree: dict[str, Any], building: Building) -> None:
    """Add what trimesh leaves out, and the materials, which it would round to 1/255."""
    tree["asset"]["generator"] = "pikepole"
    tree["scenes"][0]["name"] = building.scene.title
    _place_cameras(tree, building)
    looks: dict[str, Look] = {look.name: look for look in LOOKS}
    for material in tree["materials"]:
        look = looks[material["name"]]
        material["pbrMetallicRoughness"] = {
            "baseColorFactor": [round(value, 6) for value in (*look.linear, look.alpha)],
            "metallicFactor": 0.0,
            "roughnessFactor": look.roughness,
        }
        if look.alpha < 1.0:
            material["alphaMode"] = "BLEND"
    views = [accessor["bufferView"] for accessor in tree["accessors"]]
    for mesh in tree["meshes"]:
        for primitive in mesh["primitives"]:
            tree["bufferViews"][views[primitive["indices"]]]["target"] = ELEMENT_ARRAY_BUFFER
            for attribute in primitive["attributes"].values():
                tree["bufferViews"][views[attribute]]["target"] = ARRAY_BUFFER


def _place_cameras(tree: dict[str, Any], building: Building) -> None:
    """Two cameras round the ball that the building fits in: it touches both planes of each.

    Source: glTF 2.0, 3.10: a camera looks along its own -Z, with +Y up.
    """
    low = np.min([part.bounds_mm[0] for part in building.parts], axis=0) * METRES_PER_MM
    high = np.max([part.bounds_mm[1] for part in building.parts], axis=0) * METRES_PER_MM
    radius = float(np.linalg.norm(high - low)) / 2
    away = radius / math.sin(VIEW_RAD / 2)
    perspective = {"yfov": VIEW_RAD, "znear": away - radius, "zfar": away + radius}
    tree["cameras"] = [{"type": "perspective", "perspective": perspective}]
    for name, axes in (("front", camera_axes(building)), ("behind", camera_axes_behind(building))):
        matrix = np.eye(4)
        matrix[:3, :3] = Y_UP @ axes.T
        matrix[:3, 3] = Y_UP @ ((low + high) / 2 + away * axes[2])
        tree["scenes"][0]["nodes"].append(len(tree["nodes"]))
        tree["nodes"].append({"name": name, "camera": 0, "matrix": matrix.T.ravel().tolist()})
