"""Where the plies of beams meet: over what carries both ends, and not beside another such joint."""

from __future__ import annotations

import itertools
from bisect import bisect_left
from collections.abc import Iterator, Sequence

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import Finding, and_more, either
from pikepole_model.geometry.plies import LEAST_PLY_MM, staggered
from pikepole_model.geometry.spacing import STAGGER_MM, TOLERANCE_MM, evenly, parted
from pikepole_model.scene.schema import RidgeBeam
from pikepole_model.units import format_length

# An end bears on 1-1/2 in of wood (IRC R502.6).
LEAST_BEARING_MM = 38.1

# Pieces are cut this truly, mm.
_TRUE_MM = 0.1

# So many more posts are tried in a line before none is offered.
_MOST_MORE = 4

# The key that says what a beam is built up from, by its group; "beam.ply" of all others.
_PLY = {
    "ridge beam": "roof.ridge.ply",
    "clerestory beam": "roof.clerestory.ply",
    "front purlin beam": "roof.knee.ply",
    "back purlin beam": "roof.knee.ply",
}

_Row = list[tuple[float, Part, Part]]


def beam_findings(building: Building) -> Iterator[Finding]:
    """Joints of plies that too little carries, joints of neighbours in one place, and splinters.

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
    short: dict[str, list[Part]] = {}
    for group, plies in beams.items():
        if splinters := [ply for ply in plies if ply.length_mm < LEAST_PLY_MM - TOLERANCE_MM]:
            short[group] = splinters
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
    yield from _told(building, short, "are shorter than {lap}: splinters that carry nothing")


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
    start, end = ply.bounds_mm[0][0], ply.bounds_mm[1][0]
    for low, high in _under(ply, building, parts):
        if low - _TRUE_MM <= x <= high + _TRUE_MM:
            return min(high, end) - x if x - start < end - x else x - max(low, start)
    return 0.0


def _under(ply: Part, building: Building, parts: dict[str, Part]) -> list[tuple[float, float]]:
    """From and to along X of each stretch without a gap of what a ply lies on, mm."""
    low_z = ply.bounds_mm[0][2]
    stretches: list[tuple[float, float]] = []
    for low, high in sorted(
        (one.bounds_mm[0][0], one.bounds_mm[1][0])
        for one in (parts[name] for name in building.mates[ply.name])
        # A notched post or a cap reaches up beside the beam too.
        if one.kind in (Kind.POST, Kind.POST_CAP) or abs(one.bounds_mm[1][2] - low_z) < _TRUE_MM
    ):
        if stretches and low <= stretches[-1][1] + _TRUE_MM:
            low, before = stretches.pop()
            high = max(high, before)
        stretches.append((low, high))
    return stretches


def _told(building: Building, found: dict[str, list[Part]], text: str) -> Iterator[Finding]:
    """One finding for all beams that the same key says the section of."""
    scene = building.scene
    of_key: dict[str, list[str]] = {}
    for group in found:
        of_key.setdefault(_PLY.get(group, "beam.ply"), []).append(group)
    sizes = {"least": LEAST_BEARING_MM, "lap": STAGGER_MM}
    said = text.format(**{key: format_length(mm, scene.units) for key, mm in sizes.items()})
    for key, groups in of_key.items():
        names = tuple(dict.fromkeys(part.name for group in groups for part in found[group]))
        beams = [_Beam(building, group) for group in groups]
        mend = either(_longer(beams, building), *_more_posts(beams, building))
        yield Finding("other", f"({and_more(names)}) {said}", names, key=key, mend=mend)


class _Beam:
    """A beam as it is built: its ends, and where plies may meet, along X, mm."""

    def __init__(self, building: Building, group: str) -> None:
        parts = {part.name: part for part in building.parts}
        self.name = group
        plies = [part for part in building.parts if (part.kind, part.group) == (Kind.BEAM, group)]
        self.stock = plies[0].stock
        self.plies = len({round(ply.bounds_mm[0][1], 1) for ply in plies})
        self.low = min(ply.bounds_mm[0][0] for ply in plies)
        self.high = max(ply.bounds_mm[1][0] for ply in plies)
        posts = {
            mate
            for ply in plies
            for mate in building.mates[ply.name]
            if parts[mate].kind is Kind.POST
        }
        self.posts = sorted(parts[name].centre_mm[0] for name in posts)
        walls = {stretch for ply in plies for stretch in _under(ply, building, parts)}
        self.walls = [
            place
            for low, high in sorted(walls)
            for place in evenly(low + LEAST_BEARING_MM, high - LEAST_BEARING_MM, STAGGER_MM)
            if high - low >= 2 * LEAST_BEARING_MM - _TRUE_MM
            and not any(low < post < high for post in self.posts)
        ]

    def posts_within(self, low: float, high: float) -> list[float]:
        """The posts of a stretch of it, along X, mm."""
        return [x for x in self.posts if low < x < high]

    def is_good(self, longest: float, posts: Sequence[float]) -> bool:
        """Whether plies are within their stock, none a splinter, and neighbours' joints apart."""
        runs = staggered(self.low, self.high, longest, [*posts, *self.walls], self.plies)
        sizes = [end - start for run in runs for start, end in run]
        if min(sizes) < LEAST_PLY_MM - TOLERANCE_MM or max(sizes) > longest + TOLERANCE_MM:
            return False
        ends = [[end for _, end in run[:-1]] for run in runs]
        return all(
            abs(one - other) >= STAGGER_MM - TOLERANCE_MM
            for run, after in itertools.pairwise(ends)
            for one, other in itertools.product(run, after)
        )

    def needs_mm(self) -> float:
        """The least length of boards with which it is good on the posts that it has, mm."""
        places = sorted([self.low, *self.posts, *self.walls, self.high])
        apart = sorted(far - near for near, far in itertools.combinations(places, 2))
        # What is good with some boards is good with longer ones.
        return apart[bisect_left(apart, True, key=lambda mm: self.is_good(mm, self.posts))]


def _longer(beams: list[_Beam], building: Building) -> str:
    """The mend by the shortest longer boards that are long enough for all of some beams."""
    scene = building.scene
    boards = scene.catalogue_of_all.find_lumber(beams[0].stock).lengths_mm
    longest = scene.lumber_stock(beams[0].stock).longest_mm
    needed = max(longest + 2 * TOLERANCE_MM, *(beam.needs_mm() for beam in beams))
    needed += 2 * scene.cutting.end_trim
    enough = [mm for mm in boards if mm >= needed - TOLERANCE_MM]
    if enough:
        return f"give cutting.longest at least {format_length(enough[0], scene.units, 'up')}"
    least = format_length(needed, scene.units, "up")
    return f"give a section of [[stock.lumber]] that comes at least {least} long"


def _more_posts(beams: list[_Beam], building: Building) -> Iterator[str]:
    """The mend by the fewest more posts with which all of some beams are good, if any are."""
    scene = building.scene
    longest = scene.lumber_stock(beams[0].stock).longest_mm
    posts, count = scene.posts, len(beams[0].posts)
    if posts and not posts.widths:
        first, last = beams[0].posts[0], beams[0].posts[-1]
        for gaps in range(count, count + _MOST_MORE):
            places = evenly(first, last, (last - first) / gaps)
            if all(beam.is_good(longest, places) for beam in beams):
                every = format_length((last - first) / gaps, scene.units, "up")
                yield f"give posts.every at most {every}"
                break
    ridge = scene.roof.ridge
    if isinstance(ridge, RidgeBeam) and {beam.name for beam in beams} == {"ridge beam"}:
        yield from _inside(beams[0], ridge, longest, building)
    for k, bay in enumerate(scene.bay, start=1):
        wall = scene.building.length if bay.side == "right" else 0.0
        out = [x for x in beams[0].posts if (x > wall if bay.side == "right" else x < wall)]
        if bay.side not in ("left", "right") or bay.widths or not out:
            continue
        end = beams[0].high if bay.side == "right" else beams[0].low
        for more in range(len(out) + 1, len(out) + 1 + _MOST_MORE):
            between = parted(wall, end, more)[1:-1]
            rest = [x for x in beams[0].posts if x not in out[:-1]]
            if all(beam.is_good(longest, [*rest, *between]) for beam in beams):
                also = f", and leave out bay[{k}].every" if bay.every else ""
                yield f"give bay[{k}].posts {more}{also}"
                break


def _inside(beam: _Beam, ridge: RidgeBeam, longest: float, building: Building) -> Iterator[str]:
    """The mend by the fewest posts inside the store under a ridge, where it can have some."""
    scene = building.scene
    now = ridge.posts.count if ridge.posts else 0
    inside = beam.posts_within(0.0, scene.building.length)
    if not scene.floor_pad or scene.loft or (now and not inside):
        return
    rest = [x for x in beam.posts if x not in inside]
    half = scene.lumber_stock(scene.walls.stud).depth_mm / 2
    for count in range(now + 1, now + 1 + _MOST_MORE):
        places = parted(half, scene.building.length - half, count + 1)[1:-1]
        if beam.is_good(longest, [*rest, *places]):
            yield f"give roof.ridge.posts.count {count}"
            return
