"""A window to turn the building in, take it apart by stages, and ask each piece what it is."""

from __future__ import annotations

import ctypes
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from pikepole_export.derive.inventory.described import described
from pikepole_export.graphics.camera import camera_axes
from pikepole_export.graphics.colours import part_colour
from pikepole_export.graphics.layers import layers_of, standing_layers
from pikepole_export.graphics.meshes import merge
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import OutputError
from pikepole_model.units import Units

if TYPE_CHECKING:
    import pyvista as pv

WINDOW_PX = (1280, 860)
INK = (30, 28, 26)
PICKED = (235, 92, 20)
GROUND_GRID_MM = 1000.0
GROUND_LOW_MM = 15.0  # drawn this much low, not to show on what lies flush with the ground
STILL_PX = 4  # a click that moves farther than this turns the building instead

NO_WINDOW = "no window can be opened"
INSTEAD = "run this on a desktop, or look at the pictures that `pikepole build` writes"

HELP = """Drag: turn
Wheel: nearer, farther
Shift and drag: move
Click a piece: what it is
Left, Right arrow: a stage back, on
Home: the first view again
Q: close"""


def show(building: Building) -> None:
    """Open the window and wait until it is closed.

    Raises:
        OutputError: there is no display to open it on.
    """
    require_display()
    viewer = Viewer(building)
    if (
        sys.platform == "linux"
        and viewer.plotter.ren_win.GetClassName() != "vtkXOpenGLRenderWindow"
    ):
        raise OutputError(f"{NO_WINDOW}: the display here cannot show solids; {INSTEAD}")
    viewer.plotter.show(title=f"{building.scene.title}: pikepole")


def require_display() -> None:
    """Raise OutputError where a window cannot be opened; VTK would end the process instead."""
    if sys.platform != "linux":
        return
    try:
        x11 = ctypes.CDLL("libX11.so.6")
    except OSError:
        raise OutputError(
            f"{NO_WINDOW}: libX11 is missing; "
            "on Debian or Ubuntu: sudo apt-get install libx11-6 libgl1"
        ) from None
    x11.XOpenDisplay.restype = ctypes.c_void_p
    x11.XCloseDisplay.argtypes = [ctypes.c_void_p]
    display = x11.XOpenDisplay(None)
    if not display:
        raise OutputError(f"{NO_WINDOW}: there is no display here; {INSTEAD}")
    x11.XCloseDisplay(display)


def describe(part: Part, units: Units) -> str:
    """What a piece is, for people: name, kind, section, length, mass, a line each."""
    return "\n".join((part.name, *(": ".join(row) for row in described(part, units))))


class _Layer:
    """Parts that are shown together, as they are in the window."""

    def __init__(self, plotter: Any, parts: Sequence[Part]) -> None:
        import pyvista as pv

        self.parts = parts
        merged = merge(parts)
        self.owners = merged.owners
        colours = np.array([part_colour(part) for part in parts]).reshape(-1, 3)
        self._true = np.round(colours[merged.owners] * 255).astype(np.uint8)
        self.actors: list[pv.Actor] = []
        self._faces = pv.PolyData()
        if not len(merged.triangles):
            return
        self._faces = pv.PolyData.from_regular_faces(merged.vertices, merged.triangles)
        self._faces.cell_data["colours"] = self._true.copy()
        faces = plotter.add_mesh(
            self._faces, scalars="colours", rgb=True, ambient=0.35, diffuse=0.75, reset_camera=False
        )
        # Faces are set back a little, so that the lines on them stay whole.
        faces.mapper.resolve = "polygon_offset"
        self.actors.append(faces)
        if len(merged.edges):
            lines = pv.line_segments_from_points(merged.vertices[merged.edges.ravel()])
            self.actors.append(
                plotter.add_mesh(
                    lines,
                    color=INK,
                    line_width=1.2,
                    lighting=False,
                    pickable=False,
                    reset_camera=False,
                )
            )

    def paint(self, part: Part | None) -> None:
        """Every piece in its own colour, but one, if it is among these."""
        if not self.actors:
            return
        colours = self._true.copy()
        if part in self.parts:
            colours[self.owners == self.parts.index(part)] = PICKED
        self._faces.cell_data["colours"] = colours

    def part_at(self, actor: object, triangle: int) -> Part | None:
        """The part whose triangle this is, if what was hit is this layer."""
        hit = bool(self.actors) and actor is self.actors[0]
        return self.parts[int(self.owners[triangle])] if hit else None


class Viewer:
    """The window's contents and what can be done with them.

    Attributes:
        plotter: The pyvista window.
        standing: How many stages are shown.
        picked: The piece that was clicked on, if any.
    """

    def __init__(self, building: Building, *, off_screen: bool = False) -> None:
        import pyvista as pv

        self._building = building
        self._units: Units = building.scene.units
        self._axes = camera_axes(building)
        # Any: what pyvista wraps to refuse positional arguments has no usable type.
        self.plotter: Any = pv.Plotter(window_size=list(WINDOW_PX), off_screen=off_screen)
        plotter = self.plotter
        plotter.background_color = "white"
        plotter.enable_anti_aliasing("msaa", multi_samples=4)
        self._stages = building.stages
        self._layers = {name: _Layer(plotter, parts) for name, parts in layers_of(building).items()}
        points = np.concatenate([part.vertices_mm for part in building.parts])
        self._bounds = np.column_stack([points.min(axis=0), points.max(axis=0)]).ravel()
        self._ground()
        self.picked: Part | None = None
        self.standing = len(self._stages)
        self._piece_text = plotter.add_text(" ", position="upper_left")
        plotter.add_text(HELP, position="upper_right", font_size=9, color="dimgray")
        self.slider = plotter.add_slider_widget(
            self._slid,
            (1, max(len(self._stages), 2)),
            value=self.standing,
            title=" ",
            pointa=(0.25, 0.07),
            pointb=(0.75, 0.07),
            color="dimgray",
            title_color="black",
            fmt=" ",
            interaction_event="always",
            title_height=0.026,
            slider_width=0.02,
            tube_width=0.004,
        )
        plotter.enable_terrain_style(mouse_wheel_zooms=True, shift_pans=True)
        self._press = (0, 0)
        plotter.iren.add_observer("LeftButtonPressEvent", self._pressed)
        plotter.iren.add_observer("LeftButtonReleaseEvent", self._released)
        plotter.add_key_event("Left", lambda: self.stand(self.standing - 1))
        plotter.add_key_event("Right", lambda: self.stand(self.standing + 1))
        plotter.add_key_event("Home", self.reset)
        self.stand(self.standing)
        self.reset()

    def stand(self, number: int) -> None:
        """Show what stands after a stage, by its place in the order of work, from 1."""
        self.standing = min(max(number, 1), len(self._stages))
        stage = self._stages[self.standing - 1]
        shown = {*standing_layers(self._building, stage.number), f"stage{self.standing - 1}"}
        for name, layer in self._layers.items():
            for actor in layer.actors:
                actor.visibility = name in shown
        slider = self.slider.GetRepresentation()
        slider.SetValue(self.standing)
        slider.SetTitleText(f"Stage {stage.number} of {len(self._stages)}: {stage.name}")
        if self.picked is not None and not any(
            self.picked in self._layers[name].parts for name in shown
        ):
            self.select(None)
        self.plotter.render()

    def select(self, part: Part | None) -> None:
        """Say what a piece is and show which one; None for no piece."""
        self.picked = part
        for layer in self._layers.values():
            layer.paint(part)
        self.plotter.remove_actor(self._piece_text, render=False)
        text = describe(part, self._units) if part is not None else ""
        self._piece_text = self.plotter.add_text(
            text, position="upper_left", font_size=11, color="black", render=False
        )
        self.plotter.render()

    def pick(self, x_px: int, y_px: int) -> None:
        """Select the piece in sight at a point of the window, from its lower left corner."""
        from vtkmodules.vtkRenderingCore import vtkCellPicker

        picker = vtkCellPicker()
        picker.SetTolerance(0.0)
        picker.Pick(x_px, y_px, 0, self.plotter.renderer)
        actor, triangle = picker.GetActor(), picker.GetCellId()
        found = (layer.part_at(actor, triangle) for layer in self._layers.values())
        self.select(next((part for part in found if part is not None), None))

    def reset(self) -> None:
        """The first view again."""
        self.plotter.camera.view_angle = 20.0
        self.plotter.view_vector(self._axes[2], viewup=(0.0, 0.0, 1.0), render=False)
        self.plotter.reset_camera(bounds=self._bounds, render=False)
        self.plotter.camera.zoom(1.1)
        self.plotter.camera.SetWindowCenter(0.0, -0.06)  # clear of the slider
        self.plotter.render()

    def _slid(self, value: float) -> None:
        if round(value) != self.standing:
            self.stand(round(value))

    def _pressed(self, *_: Any) -> None:
        self._press = self.plotter.iren.get_event_position()

    def _released(self, *_: Any) -> None:
        x, y = self.plotter.iren.get_event_position()
        if max(abs(x - self._press[0]), abs(y - self._press[1])) <= STILL_PX:
            self.pick(x, y)

    def _ground(self) -> None:
        """Lines a metre apart on the finished ground, open to what is below."""
        import pyvista as pv

        step, x0, x1, y0, y1 = GROUND_GRID_MM, *self._bounds[:4]
        xs = np.arange(np.floor(x0 / step) - 1, np.ceil(x1 / step) + 2) * step
        ys = np.arange(np.floor(y0 / step) - 1, np.ceil(y1 / step) + 2) * step
        ends = [(x, y, -GROUND_LOW_MM) for x in xs for y in (ys[0], ys[-1])]
        ends += [(x, y, -GROUND_LOW_MM) for y in ys for x in (xs[0], xs[-1])]
        self.plotter.add_mesh(
            pv.line_segments_from_points(np.array(ends)),
            color="gainsboro",
            line_width=1,
            lighting=False,
            pickable=False,
            reset_camera=False,
        )
