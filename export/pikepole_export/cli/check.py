"""`pikepole check`: is the model true?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pikepole_export.cli.words import (
    ExitCode,
    findings_list,
    looked_at,
    plural,
    say,
    wrapped,
)
from pikepole_export.cli.work import SceneFile, lay_out, read, steps
from pikepole_model.errors import OutputError
from pikepole_model.units import Units

if TYPE_CHECKING:
    from pikepole_model.building.part import Building


def check_command(
    scene: SceneFile,
    mend: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Write the scene with the least changes that bring members within their rules.",
        ),
    ] = None,
) -> None:
    """Look for pieces that overlap, hang loose or cannot be made, and prices of nothing.

    Writes no files but that of --mend. Ends with exit code 0 when it found no fault in the layout,
    1 when it found one, 2 when the scene file is wrong. Apart from that it lists what the scene
    leaves to the weather, and how members compare with published rules of strength, the worst
    first; that changes no exit code, as it hangs on loads that may be taken for granted.
    """
    if mend and mend.exists():
        raise OutputError(f"{mend}: is there already; give --mend another name")
    checked = read(scene)
    from pikepole_export.cli.strength_words import strength_in_short, strength_list
    from pikepole_export.derive.findings import findings
    from pikepole_export.derive.strengths import every_strength
    from pikepole_export.write.models.solids import Solids
    from pikepole_model.checks.fit import every_shape

    with Solids() as solids, steps(3) as step:
        building, contacts = lay_out(scene, checked, step)
        solids.make(every_shape(building))
        step("Reckoning its strength")
        reckoned = every_strength(building)
        strength = strength_list(reckoned, building.scene.units)
        if mend:
            strength += ["", *_mended(scene, mend, building.scene.units)]
        step("Checking every piece")
        found = findings(building, contacts, solids.wrong())
    count = plural(len(found), "finding") if found else "no fault found"
    head = f"{building.scene.title}: {count} in the layout of {looked_at(building)}."
    say([*wrapped(head), *wrapped(f"Strength: {strength_in_short(reckoned, 'below')}.")])
    say(["", *findings_list(found)] if found else [])
    say(["", *_bare_list(building), *strength])
    if found:
        raise typer.Exit(ExitCode.FINDINGS)


def _bare_list(building: Building) -> list[str]:
    """What is left to the weather, if anything is."""
    from pikepole_model.checks.bare import left_bare

    lines = [
        line
        for bare in left_bare(building)
        for line in wrapped(
            f"{bare.where.capitalize()} have no {bare.layer} ({bare.source}): {bare.mend}.",
            indent="    ",
            first="  - ",
        )
    ]
    return ["Left to the weather, apart from the findings:", *lines, ""] if lines else []


def _mended(scene: Path, file: Path, units: Units) -> list[str]:
    """What was mended in a scene, which is written where anything was."""
    from pikepole_export.cli.mend_words import mend_list
    from pikepole_export.derive.strength.mending import mended
    from pikepole_export.files.whole import put

    found = mended(scene.read_text(encoding="utf-8-sig"))
    if found.mends:
        put(file, found.text.encode())
    return mend_list(found, file, units)
