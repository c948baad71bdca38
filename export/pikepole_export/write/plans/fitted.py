"""What is fitted into openings and stands before them: frames, doors, steps and ramps."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from pikepole_export.derive.measures.openings import RoughOpening, floor_top_mm, openings_of
from pikepole_export.derive.measures.projection import way_of
from pikepole_export.derive.views.side import Side
from pikepole_export.write.plans.elevations import box_of
from pikepole_export.write.plans.numbers import areas_seen
from pikepole_export.write.plans.seen import Seen, SeenSheet
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind, of
from pikepole_model.building.part import Building, LeafRecord, Part
from pikepole_model.units import Units, format_length

FRAME = {Kind.FRAME_BOARD, Kind.THRESHOLD}
IN_FRAME = of(Family.STOPS, Family.PANES) - {Kind.DOOR_STOP}
LEAF = of(Family.LEAF_FACE, Family.LEAF_FRAME, Family.HINGES, Family.LEAF_HARDWARE, Family.HANGERS)
LEAF_FRAME = of(Family.LEAF_FRAME) - {Kind.ASTRAGAL}
TRACK = {Kind.TRACK, Kind.TRACK_BOARD, Kind.TRACK_SPACER, Kind.TRACK_STOP, Kind.GUIDE}
STEPS = of(Family.STEPS)
RUNS = {Kind.STRINGER, Kind.RAMP_JOIST}
SHIM_MM = 6.0  # round a frame: of nearer edges that of the hole is told
UPRIGHT = 0.99  # the cosine of what stands or lies level


def fitted(building: Building) -> Iterator[SeenSheet]:
    """A sheet for the frames, the doors and the steps, where there are any.

    Args:
        building: As it stands in the end.
    """
    openings, units = openings_of(building), building.scene.units
    own = {one.name: list[Part]() for one in openings}
    for part in building.parts:
        names = [name for name in own if part.name.startswith(f"{name} ")]
        if names:
            own[max(names, key=len)].append(part)
    for file, name, views, notes in (
        (
            "frames",
            "Frames, from outside",
            _frames(openings, own, units),
            "holes are rough, measured in the framing",
        ),
        ("doors", "Doors", _doors(openings, own), ""),
        ("steps", "Steps and ramps", _steps(building, openings, own), ""),
    ):
        if found := tuple(views):
            yield SeenSheet(file, name, found, (notes,) if notes else ())


def _frames(
    openings: Sequence[RoughOpening], own: dict[str, list[Part]], units: Units
) -> Iterator[Seen]:
    """Those that are alike once."""
    alike: dict[object, list[RoughOpening]] = {}
    for one in openings:
        parts = [part for part in own[one.name] if part.kind in FRAME | IN_FRAME]
        if any(part.kind in FRAME for part in parts):
            pieces = frozenset((part.name.removeprefix(one.name), id(part.shape)) for part in parts)
            size = (round(one.width_mm), round(one.height_mm), round(one.z[0]))
            alike.setdefault((pieces, size), []).append(one)
    for some in alike.values():
        one = some[0]
        parts = [part for part in own[one.name] if part.kind in FRAME | IN_FRAME]
        heading = ", ".join(other.name for other in some)
        if one.z[0] > one.floor_mm:
            heading += f": hole {format_length(one.z[0] - one.floor_mm, units)} over the floor"
        boards = [part for part in parts if part.kind in FRAME]
        level, upright = (
            [mark for mark in marks if min(abs(mark - end) for end in ends) > SHIM_MM]
            for marks, ends in zip(_edges(boards, one.side), (one.seen, one.z), strict=True)
        )
        yield Seen(heading, one.side, parts, one.name, (*one.seen, *level), (*one.z, *upright))


def _doors(openings: Sequence[RoughOpening], own: dict[str, list[Part]]) -> Iterator[Seen]:
    """Each leaf from the side that shows more of it, and the track of a sliding one."""
    for one in openings:
        leaves: dict[str, list[Part]] = {}
        for part in own[one.name]:
            if isinstance(part.record, LeafRecord) and part.kind in LEAF:
                leaves.setdefault(part.record.leaf, []).append(part)
        for leaf, parts in leaves.items():
            frame = [part for part in parts if part.kind in LEAF_FRAME]
            if not frame:
                continue
            outside = one.side
            inside = Side((-outside.towards[0], -outside.towards[1], 0.0))
            sides = {"outside": outside, "inside": inside}
            where = max(
                sides,
                key=lambda where: sum(
                    area.area
                    for part, area in areas_seen(parts, sides[where])
                    if part.kind in LEAF_FRAME
                ),
            )
            level, upright = _edges(frame, sides[where])
            box = box_of(
                [part for part in parts if part.kind.family is Family.LEAF_FACE] or frame,
                sides[where],
            )
            yield Seen(
                f"{leaf}, from {where}",
                sides[where],
                parts,
                leaf,
                (box[0], box[2], *level),
                (box[1], box[3], *upright),
            )
        track = [part for part in own[one.name] if part.kind in TRACK]
        if track:
            boards = [part for part in track if part.kind is Kind.TRACK_BOARD] or track
            box = box_of(boards, one.side)
            yield Seen(
                f"{one.name}, its track over the floor and the hole, from outside",
                one.side,
                track,
                one.name,
                (*one.seen, box[0], box[2], *_middles(track, one.side)),
                (*one.z, box[1], box[3]),
            )


def _steps(
    building: Building, openings: Sequence[RoughOpening], own: dict[str, list[Part]]
) -> Iterator[Seen]:
    """Steps and ramps from their side, with each rise and going, and from before them."""
    floor = floor_top_mm(building)
    for one in openings:
        parts = [part for part in own[one.name] if part.kind in STEPS]
        if not parts:
            continue
        beside = Side(one.side.right)
        treads = [box_of([part], beside) for part in parts if part.kind is Kind.STEP_TREAD]
        legs = [box_of([part], beside) for part in parts if part.kind is Kind.SUPPORT_LEG]
        whole = box_of(parts, beside)
        sills = [part for part in own[one.name] if treads and part.kind is Kind.THRESHOLD]
        what, top = ("threshold", box_of(sills, beside)[3]) if sills else ("floor", floor)
        yield Seen(
            f"{one.name}, from the side: the ground below, the {what} on top",
            beside,
            parts,
            one.name,
            (whole[0], whole[2], *_ends(treads), *_ends(legs)),
            (0.0, *(box[3] for box in treads), *([] if treads else [whole[3]]), top),
        )
        runs = [box_of([part], one.side) for part in parts if part.kind in RUNS]
        yield Seen(
            f"{one.name}, from before it, with its hole",
            one.side,
            parts,
            one.name,
            (*one.seen, *_ends(runs)),
        )


def _middles(track: Iterable[Part], side: Side) -> Iterator[float]:
    """Of what keeps a track off its board: a bolt goes through each."""
    for part in track:
        if part.kind is Kind.TRACK_SPACER:
            box = box_of([part], side)
            yield (box[0] + box[2]) / 2


def _ends(boxes: Iterable[tuple[float, float, float, float]]) -> list[float]:
    return [end for box in boxes for end in (box[0], box[2])]


def _edges(parts: Iterable[Part], side: Side) -> tuple[list[float], list[float]]:
    """Both edges of what stands, along its foot, and of what lies level, up its side."""
    level: list[float] = []
    upright: list[float] = []
    for part in parts:
        box, stands = box_of([part], side), abs(way_of(part)[2])
        if stands > UPRIGHT:
            level += [box[0], box[2]]
        elif stands < 1 - UPRIGHT:
            upright += [box[1], box[3]]
    return level, upright
