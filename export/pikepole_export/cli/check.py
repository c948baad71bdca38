"""`pikepole check`: is the model true?"""

from __future__ import annotations

import typer

from pikepole_export.cli.words import (
    ExitCode,
    findings_list,
    looked_at,
    plural,
    say,
    strength_looked_at,
    wrapped,
)
from pikepole_export.cli.work import LAY_OUT_STEPS, SceneFile, lay_out, read, steps


def check_command(scene: SceneFile) -> None:
    """Look for pieces that overlap, hang loose or cannot be made, and prices of nothing.

    Writes no files. Ends with exit code 0 when it found nothing, 1 when it found something, 2 when
    the scene file is wrong. It looks at shapes and places: whether the building is strong enough
    is not looked at, but for the floor frame and what carries it on a move.
    """
    checked = read(scene)
    from pikepole_export.derive.findings import findings

    with steps(LAY_OUT_STEPS + 1) as step:
        building, contacts = lay_out(scene, checked, step)
        step("Checking every piece")
        found = findings(building, contacts)
    if not found:
        say(
            wrapped(
                f"{building.scene.title}: nothing found. Looked at {looked_at(building)} for "
                "overlaps, loose pieces and broken shapes; "
                f"{strength_looked_at(building)}."
            )
        )
        return
    head = plural(len(found), "finding")
    say([f"{building.scene.title}: {head} in {looked_at(building)}.", "", *findings_list(found)])
    raise typer.Exit(ExitCode.FINDINGS)
