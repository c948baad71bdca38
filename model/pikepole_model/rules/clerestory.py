"""What must hold for a clerestory: what it goes with, and room for its strip of wall."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pikepole_model.errors import Problem, either, leave_out, less, more, other, without
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.roof_cover import RoofCover
from pikepole_model.plan.seats import LEAST_BEARING_MM
from pikepole_model.rules.ruler import Ruler
from pikepole_model.scene.schema import Clerestory, Scene

_KEY = ("roof", "clerestory")

# A strip lower than this between its plates has no room for a light. Assumed.
LEAST_STRIP_MM = 152.4

# A slope shorter than this has no room for what lies over both its ends: 2 ft. Assumed.
LEAST_ALONG_MM = 609.6


def clerestory_key_problems(scene: Scene) -> Iterator[Problem]:
    """What does not go with a clerestory, and what asks for one that is not there."""
    clerestory = scene.roof.clerestory
    for k, opening in enumerate(scene.opening):
        path = ("opening", k, "wall")
        if opening.wall == "clerestory" and not clerestory:
            wrong = "is a wall that only a roof with [roof.clerestory] has"
            yield Problem.at(path, wrong, "", other(*path))
        elif opening.wall == "clerestory" and opening.kind == "door":
            yield Problem.at(path, "is up on a beam, where no door can be", "", other(*path))
    if not clerestory:
        return
    beside = [
        (("roof", "ridge"), scene.roof.ridge, "a ridge"),
        (("posts",), scene.posts, "posts in place of walls"),
        (("loft",), scene.loft, "a loft"),
        *((("bay", k), bay, "a bay") for k, bay in enumerate(scene.bay)),
        (("beam",), scene.beam and not scene.bay and not scene.posts, "beams on the walls"),
    ]
    for path, there, what in beside:
        if there:
            yield Problem.at(
                _KEY,
                f"is not built with {what}",
                either(leave_out(path), leave_out(_KEY)),
            )


def clerestory_problems(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    """What has no room at a clerestory, and what would not rest on enough."""
    clerestory = roof.datums.scene.roof.clerestory
    if not clerestory or not roof.section.strip:
        return
    found = [*_beam(roof, clerestory, ruler), *_place(roof, clerestory, ruler)]
    yield from found or _step(roof, clerestory, ruler)


def _beam(roof: RoofPlan, clerestory: Clerestory, ruler: Ruler) -> Iterator[Problem]:
    """The lower roof's rafters rest on what the beam stands out past the strip and its sheets."""
    strip = roof.section.strip
    assert strip
    if strip.shoulder_mm < LEAST_BEARING_MM - TOLERANCE_MM:
        yield Problem.at(
            (*_KEY, "plies"),
            f"makes the beam {ruler.at(strip.beam_mm)} thick, and under the strip of wall and its "
            f"sheets it takes {ruler.at(strip.beam_mm - strip.shoulder_mm + LEAST_BEARING_MM)}, "
            f"for {ruler.at(LEAST_BEARING_MM)} under the lower rafters (IRC R802.6)",
            "",
            more(*_KEY, "plies"),
            other(*_KEY, "spacer"),
            other(*_KEY, "ply"),
            less("walls", "stud"),
        )


def _place(roof: RoofPlan, clerestory: Clerestory, ruler: Ruler) -> Iterator[Problem]:
    """Beam and posts clear of the walls, and two slopes long enough to cover."""
    strip, datums = roof.section.strip, roof.datums
    assert strip
    lower, upper = (LEAST_ALONG_MM * math.cos(p.slope_rad) for p in (strip.lower, strip.upper))
    clear = datums.wall_mm + datums.breadth_mm
    out = strip.beam_mm - strip.width_mm
    least = max(clear + out, lower + out)
    most = datums.depth_mm - max(clear + strip.width_mm, upper)
    if not least - TOLERANCE_MM <= clerestory.from_wall <= most + TOLERANCE_MM:
        if math.isnan(clerestory.from_wall + least + most):
            return
        yield Problem.at(
            (*_KEY, "from_wall"),
            "leaves one of its roofs too short, or brings the beam or the posts under it into a "
            "wall",
            ruler.between(least, most),
            *(less(*_KEY, "from_wall"), more(*_KEY, "from_wall"), more("building", "depth")),
            without(*_KEY),
        )


def _step(roof: RoofPlan, clerestory: Clerestory, ruler: Ruler) -> Iterator[Problem]:
    """A strip high enough to frame, and to let the lower roof pass under the upper one."""
    beam, strip, scene = roof.strip_beam, roof.section.strip, roof.datums.scene
    assert beam
    assert strip
    studs = beam.up_to_mm - beam.top_mm - 3 * roof.datums.breadth_mm
    upper, lower = (
        next(slope for slope in roof.slopes if slope.falls == plane.falls)
        for plane in (strip.upper, strip.lower)
    )
    room = RoofCover(roof, upper).room_over_mm(RoofCover(roof, lower))
    short = max(LEAST_STRIP_MM - studs, -room)
    if short > TOLERANCE_MM:
        yield Problem.at(
            (*_KEY, "step"),
            "leaves no room for a strip of wall between the lower roof and what hangs from the "
            "upper one",
            f"give {ruler.at_least(clerestory.step + short)}",
            less("roof", "high_overhang"),
        )
    stud = scene.lumber_stock(scene.walls.stud)
    yield from ruler.too_long((*_KEY, "step"), studs, stud, less(*_KEY, "step"))
    over, sheet = scene.roof.high_overhang, roof.datums.proud_mm("clerestory")
    if 0 < over < sheet - TOLERANCE_MM:
        yield Problem.at(
            ("roof", "high_overhang"),
            f"ends the rafters in the clerestory's sheets, {ruler.at(sheet)} thick",
            either(f"give {ruler.at_least(sheet)}", 'give "0 in"'),
        )
