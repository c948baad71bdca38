"""STL: the building as triangles, for printing a model of it. Binary, millimetres.

    write_stl(building, path) -> path

One closed body for each part, in order of building. STL has no names, colours or units: say
"millimetres" to a program that asks.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

from pikepole_export.files.whole import put
from pikepole_export.graphics.meshes import merge
from pikepole_model.building.part import Building

# 80 bytes that must not start with "solid", which would make it look like text.
HEADER = b"pikepole: timber building, binary STL, millimetres".ljust(80)
FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])


def write_stl(building: Building, path: Path) -> Path:
    """Write the building as one STL file.

    Args:
        building: What to write.
        path: The file, in a folder that is there.

    Returns:
        The path.

    Raises:
        OutputError: the file did not come out whole.
    """
    merged = merge(building.parts)
    facets = np.zeros(len(merged.triangles), FACET)
    facets["normal"] = merged.normals
    facets["corners"] = merged.vertices[merged.triangles]
    return put(path, HEADER + np.uint32(len(facets)).astype("<u4").tobytes() + facets.tobytes())
