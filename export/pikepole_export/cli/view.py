"""`pikepole view`: a window to turn the building in."""

from __future__ import annotations

from typing import Annotated

import typer

from pikepole_export.cli.work import SceneFile, lay_out, read, steps


def view_command(
    scene: SceneFile,
    part: Annotated[
        str,
        typer.Option("--part", metavar="NAME", help="Light the pieces with this in their names."),
    ] = "",
) -> None:
    """Turn the building round in a window, stage by stage.

    Click a piece to see what it is and what it weighs; keys leave out the roof, the siding or the
    ground, and cut the building open. Where there is no screen to open a window
    on, look at the pictures that `pikepole build` makes.
    """
    checked = read(scene)
    from pikepole_export.view import require_display, show

    require_display()
    with steps(2) as step:
        building, _ = lay_out(scene, checked, step)
        step("Opening the window")
    show(building, part)
