"""A window to turn the building in, take it apart by stages, and ask each piece what it is.

The roof, the siding and the ground can be left out, and the building cut open by an upright plane.
"""

from __future__ import annotations

import ctypes
import sys
from enum import Enum
from functools import partial
from typing import Any

import numpy as np

from pikepole_export.derive.inventory.described import described
from pikepole_export.graphics.camera import camera_axes
from pikepole_export.graphics.layers import layers_of, standing_layers
from pikepole_export.graphics.shown import PICKED, Hidden, ShownLayer, alike
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import OutputError
from pikepole_model.units import Units

WINDOW_PX = (1280, 860)
GROUND = (243, 243, 243)
GROUND_GRID_MM = 1000.0
GROUND_LOW_MM = 15.0  # drawn this much low, not to show on what lies flush with the ground
CUT_STEP = 0.05  # of the building, at a key
NEAREST = -2e7  # in steps of the depths that are told apart: nearer than all else
STILL_PX = 4  # a click that moves farther than this turns the building instead

NO_WINDOW = "no window can be opened"
INSTEAD = "run this on a desktop, or look at the pictures that `pikepole build` writes"

HELP = """Drag: turn
Wheel: nearer, farther
Shift and drag: move
Click a piece: what it is
Left, Right arrow: a stage back, on
R, S, G: without roof, siding, ground
C: cut open; Up, Down: move the cut
N: the next of the pieces looked for
Home: the first view again
Q: close"""


class Cut(Enum):
    """Which way an upright plane cuts the building open."""

    NONE = None
    ACROSS = 0
    ALONG = 1


def show(building: Building, part: str = "") -> None:
    """Open the window and wait until it is closed.

    Args:
        building: What is shown.
        part: What to look for in the names of the pieces; nothing where that is empty.

    Raises:
        OutputError: there is no display to open it on, or no piece has such a name.
    """
    require_display()
    viewer = Viewer(building)
    if part and not viewer.find(part):
        raise OutputError(f"no piece is called {part!r}; parts.csv of `pikepole build` lists all")
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


class Viewer:
    """The window's contents and what can be done with them.

    Attributes:
        plotter: The pyvista window.
        standing: How many stages are shown.
        picked: The piece that was clicked on or found, if any.
        hidden: What is left out.
        cut: How the building is cut open.
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
        self._layers = {
            name: [ShownLayer(plotter, own) for own in alike(parts)]
            for name, parts in layers_of(building).items()
        }
        points = np.concatenate([part.vertices_mm for part in building.parts])
        self._bounds = np.column_stack([points.min(axis=0), points.max(axis=0)]).ravel()
        self._ground_actors = self._ground()
        self.picked: Part | None = None
        self.hidden: set[Hidden] = set()
        self.cut = Cut.NONE
        self._cut_share = 0.5
        self._found: list[Part] = []
        self._lit: Any = None
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
        for one in Hidden:
            plotter.add_key_event(one.value, partial(self.hide, one))
        plotter.add_key_event("c", self.cut_open)
        plotter.add_key_event("Up", partial(self.move_cut, CUT_STEP))
        plotter.add_key_event("Down", partial(self.move_cut, -CUT_STEP))
        plotter.add_key_event("n", self.next_found)
        self.stand(self.standing)
        self.reset()

    def stand(self, number: int) -> None:
        """Show what stands after a stage, by its place in the order of work, from 1."""
        self.standing = min(max(number, 1), len(self._stages))
        stage = self._stages[self.standing - 1]
        names = {*standing_layers(self._building, stage.number), f"stage{self.standing - 1}"}
        left_out = frozenset[Kind]().union(*(one.kinds for one in self.hidden))
        shown = [
            layer
            for name in names
            for layer in self._layers[name]
            if left_out.isdisjoint(part.kind for part in layer.parts)
        ]
        kinds = frozenset(part.kind for layer in shown for part in layer.parts)
        for layer in (layer for layers in self._layers.values() for layer in layers):
            layer.show(kinds, shown=layer in shown)
        for actor in self._ground_actors:
            actor.visibility = Hidden.GROUND not in self.hidden
        slider = self.slider.GetRepresentation()
        slider.SetValue(self.standing)
        slider.SetTitleText(f"Stage {stage.number} of {len(self._stages)}: {stage.name}")
        if self.picked is not None and not any(self.picked in layer.parts for layer in shown):
            self.select(None)
        self.plotter.render()

    def select(self, part: Part | None) -> None:
        """Say what a piece is and show which one; None for no piece."""
        self.picked = part
        for layers in self._layers.values():
            for layer in layers:
                layer.paint(part)
        self._light(part)
        self.plotter.remove_actor(self._piece_text, render=False)
        text = describe(part, self._units) if part is not None else ""
        self._piece_text = self.plotter.add_text(
            text, position="upper_left", font_size=11, color="black", render=False
        )
        self.plotter.render()

    def _light(self, part: Part | None) -> None:
        """Draw the edges of a piece over all that hides it."""
        import pyvista as pv

        self.plotter.remove_actor(self._lit, render=False)
        self._lit = None
        if part is None:
            return
        lines = pv.line_segments_from_points(part.vertices_mm[part.shape.mesh.edges.ravel()])
        self._lit = self.plotter.add_mesh(
            lines, color=PICKED, line_width=3, lighting=False, pickable=False, reset_camera=False
        )
        mapper = self._lit.mapper
        mapper.SetResolveCoincidentTopologyToPolygonOffset()
        mapper.SetRelativeCoincidentTopologyLineOffsetParameters(0.0, NEAREST)

    def pick(self, x_px: int, y_px: int) -> None:
        """Select the piece in sight at a point of the window, from its lower left corner."""
        from vtkmodules.vtkRenderingCore import vtkCellPicker

        picker = vtkCellPicker()
        picker.SetTolerance(0.0)
        picker.Pick(x_px, y_px, 0, self.plotter.renderer)
        actor, triangle = picker.GetActor(), picker.GetCellId()
        found = (
            layer.part_at(actor, triangle) for layers in self._layers.values() for layer in layers
        )
        self.select(next((part for part in found if part is not None), None))

    def hide(self, what: Hidden) -> None:
        """Leave something out, or show it again."""
        self.hidden ^= {what}
        self.stand(self.standing)

    def find(self, words: str) -> bool:
        """Light the first piece whose name has some words in it, at the stage that adds it.

        Args:
            words: Part of a name, small or capital letters.

        Returns:
            Whether there is one; the others follow at a key.
        """
        self._found = [
            part for part in self._building.parts if words.casefold() in part.name.casefold()
        ]
        self.next_found()
        return bool(self._found)

    def next_found(self) -> None:
        """Light the next of the pieces that were looked for."""
        if not self._found:
            return
        part = self._found[0]
        self._found = [*self._found[1:], part]
        numbers = [stage.number for stage in self._stages]
        self.stand(numbers.index(part.stage) + 1)
        self.select(part)

    def cut_open(self) -> None:
        """Cut the building open across, then along, then not."""
        ways = list(Cut)
        self.cut = ways[(ways.index(self.cut) + 1) % len(ways)]
        self._set_cut()

    def move_cut(self, share: float) -> None:
        """Move the cut by a share of the building."""
        self._cut_share = min(max(self._cut_share + share, 0.0), 1.0)
        self._set_cut()

    def _set_cut(self) -> None:
        """Leave out all that lies on the eye's side of the plane."""
        from vtkmodules.vtkCommonDataModel import vtkPlane

        plane = vtkPlane()
        if self.cut.value is not None:
            axis = self.cut.value
            low, high = self._bounds[2 * axis : 2 * axis + 2]
            point, normal = [0.0, 0.0, 0.0], [0.0, 0.0, 0.0]
            point[axis] = low + self._cut_share * (high - low)
            normal[axis] = -float(np.sign(self._axes[2][axis]))
            plane.SetOrigin(*point)
            plane.SetNormal(*normal)
        for actor in (a for layers in self._layers.values() for one in layers for a in one.actors):
            actor.mapper.RemoveAllClippingPlanes()
            if self.cut.value is not None:
                actor.mapper.AddClippingPlane(plane)
        self.plotter.render()

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

    def _ground(self) -> list[Any]:
        """The finished ground, and lines a metre apart on it."""
        import pyvista as pv

        step, x0, x1, y0, y1 = GROUND_GRID_MM, *self._bounds[:4]
        xs = np.arange(np.floor(x0 / step) - 1, np.ceil(x1 / step) + 2) * step
        ys = np.arange(np.floor(y0 / step) - 1, np.ceil(y1 / step) + 2) * step
        low = -GROUND_LOW_MM
        ends = [(x, y, low) for x in xs for y in (ys[0], ys[-1])]
        ends += [(x, y, low) for y in ys for x in (xs[0], xs[-1])]
        corners = np.array([(x, y, low) for x in (xs[0], xs[-1]) for y in (ys[0], ys[-1])])
        surface = pv.PolyData.from_regular_faces(corners, np.array([[0, 2, 3], [0, 3, 1]]))
        looks = {"lighting": False, "pickable": False, "reset_camera": False}
        ground = self.plotter.add_mesh(surface, color=GROUND, **looks)
        ground.mapper.resolve = "polygon_offset"
        lines = pv.line_segments_from_points(np.array(ends))
        return [
            ground,
            self.plotter.add_mesh(lines, color="gainsboro", line_width=1, **looks),
        ]
