"""A window that nobody sees: what every program of a child process draws its pictures in."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[Any]
Pixels: TypeAlias = NDArray[np.uint32]  # red, green, blue and one unused byte in each
Depths: TypeAlias = NDArray[np.float32]
Ink: TypeAlias = tuple[int, int, int]
Box: TypeAlias = tuple[slice, slice]  # rows from the top, columns

FINE = 2  # pixels drawn to a pixel shown, each way
LINE_PX = 2.6  # at the fine size
# Lines are drawn this much nearer to the camera than the faces they bound, so that they stay whole;
# less than any sheet is thick, so that none shows through.
LINE_LIFT_MM = 8.0


def reached(points: Array, width: int, height: int) -> Box:
    """The rows and columns of a fine picture that points reach, with the lines round them.

    Args:
        points: (n, 2) or more float, px of the picture as it is shown, from its lower left.
        width: Of the fine picture.
        height: The same.
    """
    if not len(points):
        return slice(0, 0), slice(0, 0)
    size = (width, height)
    low = np.clip(np.floor(points[:, :2].min(axis=0) * FINE).astype(int) - 4, 0, size)
    high = np.clip(np.ceil(points[:, :2].max(axis=0) * FINE).astype(int) + 4, 0, size)
    return slice(height - high[1], height - low[1]), slice(low[0], high[0])


class HiddenWindow:
    """Shows some of its actors at a time, and gives the pixels and how far away each of them is.

    Args:
        size: Width and height of a picture, px; it is drawn FINE times as large.
        background: Where nothing is.

    Attributes:
        plotter: Of pyvista.
    """

    def __init__(self, size: tuple[int, int], background: Ink) -> None:
        # Without a display server: the same pictures on a desk, over ssh and in a container.
        if sys.platform == "linux":
            os.environ.setdefault("VTK_DEFAULT_OPENGL_WINDOW", "vtkEGLRenderWindow")
        import pyvista as pv

        self.width, self.height = (pixels * FINE for pixels in size)
        self._box: Box = (slice(0, self.height), slice(0, self.width))
        # Any: what pyvista wraps to refuse positional arguments has no usable type.
        self.plotter: Any = pv.Plotter(
            off_screen=True, window_size=[self.width, self.height], lighting="none"
        )
        self.plotter.background_color = [part / 255 for part in background]
        self.plotter.ren_win.SetMultiSamples(0)  # the fine size smooths edges; depths stay unmixed
        self.plotter.ren_win.SwapBuffersOff()  # nobody looks at the window
        self.plotter.show(auto_close=False)

    def solid(
        self, points: Array, triangles: Array, colours: Array, lines: Array, ink: Ink | Array
    ) -> list[Any]:
        """Faces and lines, not shown yet.

        Args:
            points: (n, 3) float.
            triangles: (m, 3) int, rows of points.
            colours: (m, 3) uint8 for flat faces, or (n, 3) for a rounded surface.
            lines: (2k, 3) float: ends of the lines.
            ink: Of the lines; or (k, 3) uint8, of each line.
        """
        import pyvista as pv

        if not len(triangles):
            return []
        faces = pv.PolyData.from_regular_faces(points, triangles)
        data = faces.cell_data if len(colours) == len(triangles) else faces.point_data
        data["colours"] = colours
        # `culling` skips what faces away: half the work, and nothing is open to look into.
        data.active_scalars_name = "colours"
        actors = [self._add(faces, culling="back")]
        if len(lines):
            ends = pv.line_segments_from_points(lines)
            if isinstance(ink, tuple):
                actors.append(self._add(ends, color=ink, line_width=LINE_PX))
            else:
                ends.cell_data["colours"] = ink
                ends.active_scalars_name = "colours"
                actors.append(self._add(ends, line_width=LINE_PX))
        return actors

    def plane(self, height: float, side: float, colour: Ink) -> list[Any]:
        """A level square round the origin, not shown yet.

        Args:
            height: Over the origin.
            side: Of the square.
            colour: Red, green, blue.
        """
        import pyvista as pv

        square = pv.Plane(center=(0.0, 0.0, height), i_size=side, j_size=side)
        return [self._add(square, color=colour)]

    def _add(self, mesh: Any, **look: Any) -> Any:
        # Not `add_mesh`, which asks five times as long what else could be wanted. Colours that are
        # bytes are shown as they are.
        import pyvista as pv

        actor = pv.Actor(
            mapper=pv.DataSetMapper(dataset=mesh), prop=pv.Property(lighting=False, **look)
        )
        actor.visibility = False
        self.plotter.renderer.AddActor(actor)
        return actor

    def remove(self, actors: Sequence[Any]) -> None:
        """Actors that are not shown again."""
        for actor in actors:
            self.plotter.renderer.RemoveActor(actor)

    def look(
        self,
        axes: Array,
        scale: float,
        shift: Array | Sequence[float],
        height: float,
        depths: tuple[float, float],
        box: Box,
    ) -> None:
        """Look from far away, so that a point falls where the page expects it.

        What is drawn from now on fills a part of the picture alone, and the rest costs nothing.

        Args:
            axes: (3, 3) float: directions of the building that run right, up and to the camera.
            scale: Pixels of the page to the mm.
            shift: Where the building's origin falls, px from the picture's lower left.
            height: Of the whole picture, px.
            depths: The nearest and the farthest that is drawn, mm from the origin to the camera.
            box: The part: rows and columns of the fine picture, from its upper left.
        """
        rows, columns = self._box = box
        if _is_empty(box):
            return
        self.plotter.renderer.SetViewport(
            columns.start / self.width,
            1 - rows.stop / self.height,
            columns.stop / self.width,
            1 - rows.start / self.height,
        )
        (near, far), towards = depths, axes[2]
        centre = np.array([columns.start + columns.stop, rows.start + rows.stop]) / (2 * FINE)
        centre[1] = height - centre[1]
        middle = (centre - shift) / scale @ axes[:2]
        camera = self.plotter.camera
        camera.parallel_projection = True
        camera.focal_point = middle + towards * far
        camera.position = middle + towards * near
        camera.up = axes[1]
        camera.parallel_scale = (rows.stop - rows.start) / (2 * FINE) / scale
        camera.clipping_range = (0.0, near - far)

    def drawn(self, actors: Sequence[Any]) -> tuple[Pixels, Depths]:
        """Some of the actors, in the part of the picture that is looked at.

        Args:
            actors: What is shown; all others are not.

        Returns:
            (h, w) colours, and (h, w) depths from 0 to 1, which is where nothing is.
        """
        import pyvista as pv
        from vtkmodules.vtkCommonCore import vtkFloatArray, vtkUnsignedCharArray

        rows, columns = self._box
        shape = (rows.stop - rows.start, columns.stop - columns.start)
        if _is_empty(self._box):
            return np.empty(shape, np.uint32), np.empty(shape, np.float32)
        for actor in actors:
            actor.visibility = True
        window = self.plotter.ren_win
        window.Render()
        for actor in actors:
            actor.visibility = False
        # Counted from the bottom, both ends included.
        span = (
            columns.start,
            self.height - rows.stop,
            columns.stop - 1,
            self.height - rows.start - 1,
        )
        pixels, distances = vtkUnsignedCharArray(), vtkFloatArray()
        window.GetRGBACharPixelData(*span, 0, pixels)
        window.GetZbufferData(*span, distances)
        colour = pv.convert_array(pixels).view(np.uint32).reshape(shape)[::-1]
        return colour, pv.convert_array(distances).reshape(shape)[::-1]


def _is_empty(box: Box) -> bool:
    return any(side.stop <= side.start for side in box)
