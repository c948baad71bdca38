from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import pytest
import trimesh

from pikepole_export.write.models.stl import write_stl
from samples import HIGH_MM, LOW_MM, expected_volume_mm3, sample_building

# STL holds 32-bit floats: 2**-24 of a coordinate of a metre or so.
FLOAT_32_MM = 1e-4
# A round bolt or hole is meshed to 0.1 mm.
ROUND = 0.02
FLAT = 1e-5


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_stl(sample_building(), tmp_path_factory.mktemp("stl") / "building.stl")


def test_layout_of_a_binary_stl(path: Path) -> None:
    # 3D Systems' StereoLithography Interface Specification, 1989: an 80 byte header,
    # the number of facets as a 32-bit little-endian integer, 50 bytes for each.
    data = path.read_bytes()
    (facets,) = struct.unpack_from("<I", data, 80)
    assert len(data) == 84 + 50 * facets
    assert not data.startswith(b"solid")


def test_one_closed_body_for_each_part(path: Path) -> None:
    building = sample_building()
    data = path.read_bytes()
    start = 84
    for part in building.parts:
        # The parts' facets follow each other: each run of them is that part's own closed surface.
        size = 50 * len(part.shape.mesh.triangles)
        head = data[:80] + struct.pack("<I", size // 50)
        body = trimesh.load_mesh(
            trimesh.util.wrap_as_stream(head + data[start : start + size]), file_type="stl"
        )
        start += size
        assert isinstance(body, trimesh.Trimesh)
        assert body.is_watertight, part.name
        assert body.is_winding_consistent, part.name
        is_round = part.kind in ("anchor bolt", "footing", "bottom plate")
        assert body.volume == pytest.approx(
            expected_volume_mm3(part.name), rel=ROUND if is_round else FLAT
        ), part.name
    assert start == len(data)


def test_bounding_box_in_millimetres(path: Path) -> None:
    mesh = trimesh.load_mesh(path)
    np.testing.assert_allclose(mesh.bounds, [LOW_MM, HIGH_MM], atol=FLOAT_32_MM)


def test_normals_are_those_of_the_corners(path: Path) -> None:
    data = np.frombuffer(path.read_bytes()[84:], dtype=np.uint8).reshape(-1, 50)
    numbers = data[:, :48].copy().view("<f4").reshape(-1, 4, 3).astype(float)
    normal, a, b, c = np.moveaxis(numbers, 1, 0)
    across = np.cross(b - a, c - a)
    across /= np.linalg.norm(across, axis=1, keepdims=True)
    np.testing.assert_allclose(normal, across, atol=1e-3)
    assert not data[:, 48:].any()
