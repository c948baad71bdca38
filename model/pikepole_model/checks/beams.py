"""Where the plies of beams meet: over what carries both ends, and not beside another such joint."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from typing import Any

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import Finding, KeyPath, and_more, either, key_text
from pikepole_model.geometry.plies import LEAST_PLY_MM
from pikepole_model.geometry.spacing import STAGGER_MM, TOLERANCE_MM
from pikepole_model.plan.beams import BeamLine, plan_beams, ply_key
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.seats import LEAST_BEARING_MM
from pikepole_model.plan.walls import plan_walls
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.catalogue import load_catalogue
from pikepole_model.units import format_length, parse_length

# Pieces are cut this truly, mm.
_TRUE_MM = 0.1

# So many more posts are tried in a line before none is offered.
_MOST_MORE = 4

_Row = list[tuple[float, Part, Part]]


def beam_findings(building: Building) -> Iterator[Finding]:
    """Joints of plies that too little carries, and joints of neighbours in one place.

    Source: an end bears on 1-1/2 in of wood (IRC R502.6); beams are spliced over posts alone (IRC
        R507.5.2); a layer runs 24 in past the joint of the next (IRC R602.3.2, top plates; for
        plies common practice, no source).
    """
    parts = {part.name: part for part in building.parts}
    beams: dict[str, list[Part]] = {}
    for part in building.parts:
        if part.kind == Kind.BEAM:
            beams.setdefault(part.group, []).append(part)
    off: dict[str, list[Part]] = {}
    beside: dict[str, list[Part]] = {}
    for group, plies in beams.items():
        rows = _joints(plies)
        for x, *ends in itertools.chain(*rows):
            least = min(_bears_mm(one, x, building, parts) for one in ends)
            if least < LEAST_BEARING_MM - _TRUE_MM:
                off.setdefault(group, []).extend(ends)
        for row, after in itertools.pairwise(rows):
            for (x, *ends), (other_x, *others) in itertools.product(row, after):
                if abs(x - other_x) < STAGGER_MM - TOLERANCE_MM - _TRUE_MM:
                    beside.setdefault(group, []).extend((*ends, *others))
    yield from _told(
        building,
        off,
        "meet where less than {least} under an end carries it (IRC R502.6, R507.5.2)",
    )
    yield from _told(
        building,
        beside,
        "meet in one place, and no ply runs {lap} past the joints there (IRC R602.3.2, taken for "
        "plies too)",
    )


def _joints(plies: list[Part]) -> list[_Row]:
    """Where the lengths of each ply meet, ply by ply across the beam: X and the two pieces."""
    rows: dict[float, list[Part]] = {}
    for ply in plies:
        rows.setdefault(round(ply.bounds_mm[0][1], 1), []).append(ply)
    return [
        [
            (one.bounds_mm[1][0], one, other)
            for one, other in itertools.pairwise(sorted(row, key=lambda ply: ply.bounds_mm[0][0]))
        ]
        for _, row in sorted(rows.items())
    ]


def _bears_mm(ply: Part, x: float, building: Building, parts: dict[str, Part]) -> float:
    """How much of a length, from its end at x on, lies on what is under it without a gap, mm."""
    low_z = ply.bounds_mm[0][2]
    under = sorted(
        (one.bounds_mm[0][0], one.bounds_mm[1][0])
        for one in (parts[name] for name in building.mates[ply.name])
        # A notched post or a cap reaches up beside the beam too.
        if one.kind in (Kind.POST, Kind.POST_CAP) or abs(one.bounds_mm[1][2] - low_z) < _TRUE_MM
    )
    start, end = ply.bounds_mm[0][0], ply.bounds_mm[1][0]
    if x - start < end - x:
        reached = x
        for low, high in under:
            if low <= reached + _TRUE_MM:
                reached = max(reached, min(high, end))
    else:
        reached = x
        for low, high in reversed(under):
            if high >= reached - _TRUE_MM:
                reached = min(reached, max(low, start))
    return abs(reached - x)


def _told(building: Building, found: dict[str, list[Part]], text: str) -> Iterator[Finding]:
    """One finding for all beams that the same key says the section of."""
    if not found:
        return
    scene = building.scene
    of_key: dict[KeyPath, list[BeamLine]] = {}
    for line in _lines(scene):
        if f"{line.name} beam" in found:
            of_key.setdefault(ply_key(line.beam), []).append(line)
    sizes = {"least": LEAST_BEARING_MM, "lap": STAGGER_MM}
    said = text.format(**{key: format_length(mm, scene.units) for key, mm in sizes.items()})
    for key, lines in of_key.items():
        names = tuple(part.name for line in lines for part in found[f"{line.name} beam"])
        names = tuple(dict.fromkeys(names))
        mend = either(_longer(lines, scene), *_more_posts(lines, scene))
        yield Finding("other", f"({and_more(names)}) {said}", names, key=key_text(key), mend=mend)


def _lines(scene: Scene) -> tuple[BeamLine, ...]:
    roof = RoofPlan(Datums(scene))
    return plan_beams(roof, plan_walls(roof))


def _is_good(line: BeamLine, longest: float) -> bool:
    """Whether a beam's plies are within their stock, none a splinter, and their joints apart."""
    plies = line.plies(longest)
    sizes = [end - start for ply in plies for start, end in ply]
    if min(sizes) < LEAST_PLY_MM - TOLERANCE_MM or max(sizes) > longest + TOLERANCE_MM:
        return False
    ends = [[end for _, end in ply[:-1]] for ply in plies]
    return all(
        abs(one - other) >= STAGGER_MM - TOLERANCE_MM
        for ply, after in itertools.pairwise(ends)
        for one, other in itertools.product(ply, after)
    )


def _longer(lines: list[BeamLine], scene: Scene) -> str:
    """The mend by the shortest boards that are long enough for all of some beams."""
    needed = 0.0
    for line in lines:
        places = sorted([*line.x, *line.joints])
        apart = sorted(far - near for near, far in itertools.combinations(places, 2))
        needed = max(needed, next(length for length in apart if _is_good(line, length)))
    boards = scene.stock.added_to(load_catalogue()).find_lumber(lines[0].beam.ply).lengths_mm
    enough = [mm for mm in boards if mm - 2 * scene.cutting.end_trim >= needed - TOLERANCE_MM]
    if enough:
        return f"give cutting.longest at least {format_length(enough[0], scene.units, 'up')}"
    least = format_length(needed + 2 * scene.cutting.end_trim, scene.units, "up")
    return f"give a section of [[stock.lumber]] that comes at least {least} long"


def _more_posts(lines: list[BeamLine], scene: Scene) -> Iterator[str]:
    """The mend by the fewest more posts with which all of some beams are good, if any are."""
    names = {line.name for line in lines}
    for k, bay in enumerate(scene.bay):
        out = [post.x for line in lines for post in line.posts if post.says is bay]
        if not out or bay.widths:
            continue
        count = len(set(out))
        for more in range(count + 1, count + 1 + _MOST_MORE):
            told = bay.model_copy(update={"posts": more, "every": None})
            if _are_good(scene, names, bay=(*scene.bay[:k], told, *scene.bay[k + 1 :])):
                also = f", and leave out bay[{k + 1}].every" if bay.every else ""
                yield f"give bay[{k + 1}].posts {more}{also}"
                break
    posts = scene.posts
    if posts and not posts.widths:
        first, *_, last = lines[0].supports
        count = len(lines[0].supports)
        for gaps in range(count, count + _MOST_MORE):
            every = format_length((last - first) / gaps, scene.units, "up")
            told = posts.model_copy(update={"every": parse_length(every)})
            if _are_good(scene, names, posts=told):
                yield f"give posts.every at most {every}"
                break


def _are_good(scene: Scene, names: set[str], **told: Any) -> bool:
    """Whether all of some beams are good where a scene says something else of its posts."""
    said = {name: getattr(scene, name) for name in Scene.model_fields}
    return all(
        _is_good(line, scene.lumber_stock(line.beam.ply).longest_mm)
        for line in _lines(Scene.model_construct(**{**said, **told}))
        if line.name in names
    )
