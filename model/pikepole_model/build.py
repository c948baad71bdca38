"""Scene in, building out: the one way in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache, partial

from pikepole_model.building.as_built import (
    AsBuilt,
    Key,
    along,
    as_built,
    as_held,
    keyed,
    left_alone,
)
from pikepole_model.building.contact import Contact, find_contacts
from pikepole_model.building.joints import find_joints
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.naming import Steps, named, numbered_steps, refused, stage_of
from pikepole_model.building.part import AsMeasured, Building, Joint, Part, Stage
from pikepole_model.building.piece import Piece
from pikepole_model.building.sequence import done_by
from pikepole_model.building.weighing import calibrated
from pikepole_model.errors import SceneError
from pikepole_model.layout.anchoring import anchor_bearers
from pikepole_model.layout.battens import hang_battens
from pikepole_model.layout.bay import hang_ledgers, lay_beams, set_footings, stand_posts
from pikepole_model.layout.bay_ground import lay_ground
from pikepole_model.layout.blocks import block_rafters
from pikepole_model.layout.boards import lay_boards
from pikepole_model.layout.cladding import board_corners, board_joints, fur_out
from pikepole_model.layout.doors import hang_doors
from pikepole_model.layout.eave_boards import close_eaves
from pikepole_model.layout.edges import board_edges
from pikepole_model.layout.flashing import bend_edges
from pikepole_model.layout.floor import close_rims, deck_floor, frame_floor
from pikepole_model.layout.floor_ties import tie_floor
from pikepole_model.layout.foundation import (
    EXISTING,
    FIRST,
    cast_pad,
    lay_bearers,
    lay_supports,
    stand_existing,
)
from pikepole_model.layout.foundation import GROUP as FOUNDATION
from pikepole_model.layout.gap_jambs import line_gaps
from pikepole_model.layout.ground_anchors import anchor_in_ground
from pikepole_model.layout.knee_braces import fit_braces
from pikepole_model.layout.loft import deck_loft, frame_loft, make_ladder
from pikepole_model.layout.moving import GROUP as FOR_THE_MOVE
from pikepole_model.layout.moving import lay_out_move
from pikepole_model.layout.roof import deck_roof, extend_rakes, set_rafters
from pikepole_model.layout.roofing import panel_roof
from pikepole_model.layout.room import Room
from pikepole_model.layout.sheathing import close_sheets, line_wall, sheathe_wall
from pikepole_model.layout.slats import girt_wall, slat_wall
from pikepole_model.layout.steps import build_steps
from pikepole_model.layout.tie_downs import tie
from pikepole_model.layout.trims import case_openings
from pikepole_model.layout.underlayment import lay_underlayment
from pikepole_model.layout.wall_caps import cap_walls
from pikepole_model.layout.wall_flashing import flash_feet, flash_heads, flash_joints
from pikepole_model.layout.walls import close_wall, frame_wall
from pikepole_model.layout.windows import set_windows
from pikepole_model.layout.wrap import wrap_ledgers, wrap_walls
from pikepole_model.plan.as_measured import Stand, stands
from pikepole_model.plan.beams import plan_beams
from pikepole_model.plan.cladding import CladdingPlan
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.faces import wall_faces
from pikepole_model.plan.ladder import ladder_plan
from pikepole_model.plan.loft import loft_plan
from pikepole_model.plan.ramp import plan_ways_up
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.wall import WallPlan
from pikepole_model.plan.walls import plan_walls
from pikepole_model.scene.foundation import Pad
from pikepole_model.scene.schema import Scene

MOST_PARTS = 20_000

# The tables that walls, what covers them and what is fitted into them are laid out from.
_OF_WALLS = ("walls", "existing", "cladding", "opening")

# What does not come along when the building is moved off what it was built on.
LEFT = (FIRST, EXISTING)


def build(scene: Scene) -> Building:
    """Lay out every piece of a scene, in the order of the work.

    Args:
        scene: A checked scene.

    Returns:
        The building. Solids are made on first use.

    Raises:
        SceneError: the scene would make more than MOST_PARTS parts, its stages leave out a group of
            pieces or name one twice, or what was weighed is not there or weighs what it cannot; or
            a piece cannot be laid out or made.
    """
    return build_with_contacts(scene)[0]


def build_with_contacts(scene: Scene) -> tuple[Building, tuple[Contact, ...]]:
    """The same, with what touches what: a check of the building need not find it again."""
    planned, contacts = _as_planned(scene)
    known = stands(scene)
    return _as_measured(planned, known) if known else (planned, contacts)


def walls_alone(scene: Scene) -> Building:
    """A scene's walls and what covers them, unjoined: for a look at how these are divided."""
    pieces = [piece for _, piece in _lay_out(scene, _OF_WALLS)]
    return Building(scene, tuple(named(pieces, defaultdict(int))), (), ())


def _as_planned(scene: Scene) -> tuple[Building, tuple[Contact, ...]]:
    laid = _at_most(_lay_out(scene), MOST_PARTS, scene)
    pieces = [piece for _, piece in laid]
    steps = numbered_steps(pieces, scene)
    every = (*named(pieces, stage_of(steps)), *_temporary(scene, steps))
    handled = calibrated(every, scene)
    parts, temporary = handled[: len(pieces)], handled[len(pieces) :]
    tables = {piece.group: table for table, piece in reversed(laid)}
    _make_solids(handled, {FOR_THE_MOVE: "move", **tables}, scene)
    try:
        return _joined(scene, parts, steps, temporary)
    except ValueError as error:
        raise _not_made(scene, "building", "what touches cannot be found", error) from error


def _as_measured(planned: Building, known: Sequence[Stand]) -> tuple[Building, tuple[Contact, ...]]:
    """A building of which some stands, and what touches what in the one in which all fits."""
    scene, last = planned.scene, known[-1]
    built: list[tuple[frozenset[str], dict[Key, Part]]] = []
    rest, (fitted, contacts) = keyed(planned.parts), (planned, ())
    held = [(rest, planned.joints)]
    for stand in known:
        built.append((stand.built, rest))
        fitted, contacts = _as_planned(stand.at(0.5))
        elsewhere = {
            place: keyed(piece for _, piece in _lay_out(stand.at(place))) for place in stand.places
        }
        length = scene.building.length
        rest = along(keyed(fitted.parts), elsewhere, length, stand.most_mm)
        held.append((rest, fitted.joints))
    fits = keyed(fitted.parts)
    mixed = list(as_built(built, rest, fits, last.most_mm))
    steps = numbered_steps([one.part for one in mixed], scene)
    number = stage_of(steps)
    parts = tuple(replace(one.part, stage=number[one.part.group]) for one in mixed)
    _make_solids(parts, dict.fromkeys(number, "measured"), scene)
    measured = AsMeasured(
        planned.parts,
        frozenset(one.part.name for one in mixed if one.layout < len(known)),
        fitted,
        {one.part.name: fits[one.key] for one in mixed if one.layout == len(known)},
        last.off_mm,
        last.most_mm,
    )
    return Building(
        scene,
        parts,
        _held_as_built(parts, mixed, held),
        _stages(parts, steps),
        planned.temporary,
        taken=_taken(scene, parts, steps),
        measured=measured,
    ), contacts


def _held_as_built(
    parts: tuple[Part, ...],
    mixed: Sequence[AsBuilt],
    held: Sequence[tuple[Mapping[Key, Part], Iterable[Joint]]],
) -> tuple[Joint, ...]:
    """How parts are held: what lost something that was never built, by what it touches as well."""
    joints = tuple(as_held(mixed, held))
    alone = left_alone(mixed, held)
    if not alone:
        return joints
    told = {frozenset((one.a, one.b)) for one in joints}
    touching = (
        one
        for one in find_joints(parts, find_contacts(parts))
        if not alone.isdisjoint((one.a, one.b)) and frozenset((one.a, one.b)) not in told
    )
    return (*joints, *touching)


def _joined(
    scene: Scene, parts: tuple[Part, ...], steps: Steps, temporary: tuple[Part, ...]
) -> tuple[Building, tuple[Contact, ...]]:
    """The building of its parts: where they are moved, as they stand before and after that."""
    taken = _taken(scene, parts, steps)
    if scene.move is None or scene.move.built_on is None:
        contacts = find_contacts(parts)
        joints, stages = find_joints(parts, contacts), _stages(parts, steps)
        return Building(scene, parts, joints, stages, temporary, taken=taken), contacts
    last = _number_of(scene, scene.move.after, steps) or 0
    left = {part.name for part in parts if part.group in LEFT}
    there = tuple(
        part if part.name in left else part.raised(Datums(scene).raised_mm)
        for part in parts
        if part.name in left or (part.stage <= last and not part.kind.row.stays)
    )
    brought = {part.name: part for part in there}
    _see_one_place(scene, parts, steps, frozenset(brought))
    remains = tuple(part for part in parts if part.name not in left)
    contacts = find_contacts(remains)
    joints = find_joints(there, find_contacts(there))
    to_left = tuple(one for one in joints if not left.isdisjoint((one.a, one.b)))
    before = Building(scene, there, joints, _stages(there, steps), temporary, taken=taken)
    as_put_up = tuple(brought.get(part.name, part) for part in parts)
    return Building(
        scene,
        parts,
        (*find_joints(remains, contacts), *to_left),
        _stages(as_put_up, steps),
        temporary,
        before,
        taken,
    ), contacts


def _taken(scene: Scene, parts: tuple[Part, ...], steps: Steps) -> tuple[tuple[str, int], ...]:
    """What was there already and is taken away, with the last stage in which it is there."""
    there = [part.name for part in parts if part.group == EXISTING]
    return tuple(
        (name, number)
        for name, one in zip(there, scene.existing, strict=True)
        if one.until and (number := _number_of(scene, one.until, steps)) is not None
    )


def _see_one_place(
    scene: Scene, parts: tuple[Part, ...], steps: Steps, there: frozenset[str]
) -> None:
    """See that nobody works in two places in one stage."""
    for number, step in steps:
        groups = {part.group: part.name in there for part in parts if part.stage == number}
        stays = [group for group, is_there in groups.items() if not is_there]
        if stays and any(groups.values()):
            raise refused(
                scene,
                "stage",
                f'"{step.name}"',
                f'is worked on where the building is built, and "{stays[0]}" where it stays',
                f'put "{stays[0]}" into a stage of its own',
            )


def _stages(parts: tuple[Part, ...], steps: Steps) -> tuple[Stage, ...]:
    """The steps that some parts have something in."""
    stages = (
        Stage(number, step.name, own, step.told({part.kind for part in own}))
        for number, step in steps
        if (own := tuple(part for part in parts if part.stage == number))
    )
    return tuple(stages)


def _lay_out(scene: Scene, tables: Container[str] | None = None) -> Iterator[tuple[str, Piece]]:
    """Every piece, or those of some tables: each with the table that its step reads most."""
    laid: list[Piece] = []
    for table, lay_out in _steps_of_layout(scene, laid):
        if tables is not None and table not in tables:
            continue
        try:
            pieces = list(lay_out())
        except Exception as error:  # of whatever library: the scene's table is what can be told
            raise _not_made(scene, table, "its pieces cannot be laid out", error) from error
        laid += pieces
        yield from ((table, piece) for piece in pieces)


def _steps_of_layout(
    scene: Scene, laid: Sequence[Piece]
) -> Iterator[tuple[str, Callable[[], Iterable[Piece]]]]:
    """The steps, and the tables of the scene; what they have laid out so far is in `laid`."""
    try:
        datums = Datums(scene)
        roof = RoofPlan(datums)
        plans = plan_walls(roof)
        beams = plan_beams(roof, plans)
        cladding = CladdingPlan(scene, wall_faces(plans))
        loft = loft_plan(roof)
        ladder = ladder_plan(loft) if loft else None
    except Exception as error:
        raise _not_made(scene, "building", "it cannot be planned", error) from error
    footings = cache(lambda: set_footings(beams))
    yield "existing", lambda: stand_existing(datums)
    pad, bearers = scene.foundation, scene.bearers
    if bearers:
        on_pad = isinstance(pad, Pad)
        where, group = ("move", FIRST) if on_pad else ("foundation", FOUNDATION)
        yield where, lambda: lay_supports(datums, bearers, group)
        yield where, lambda: lay_bearers(datums, bearers)
    if isinstance(pad, Pad):
        yield "foundation", lambda: cast_pad(datums, pad, plans, footings())
        if bearers:
            yield "foundation", lambda: anchor_bearers(datums, bearers, pad)
    on_posts = "posts" if scene.posts else "bay"
    yield on_posts, lambda: lay_ground(datums, beams, footings())
    if floor := scene.floor:
        yield "floor", lambda: frame_floor(datums, floor)
        yield "existing", lambda: close_rims(datums, floor)
        yield "floor", lambda: deck_floor(datums, floor)
    for plan in plans:
        yield "walls", partial(frame_wall, plan)
    for plan in plans:
        yield "walls", partial(sheathe_wall, plan)
        yield "existing", partial(close_wall, plan)
        yield "existing", partial(close_sheets, plan)
    for plan in plans:
        yield "walls", partial(girt_wall, plan)
        yield "walls", partial(slat_wall, plan)
    yield on_posts, lambda: stand_posts(beams)
    wrap = scene.wrap
    if wrap:
        yield "wrap", lambda: wrap_ledgers(cladding, wrap)
    yield "bay", lambda: hang_ledgers(roof, plans)
    yield "beam", lambda: lay_beams(beams)
    yield on_posts, lambda: fit_braces(beams)
    if loft:
        yield "loft", lambda: frame_loft(loft, plans)
        yield "loft", lambda: deck_loft(loft)
    if ladder:
        yield "loft.opening.ladder", lambda: make_ladder(ladder)
    yield "roof", lambda: set_rafters(roof)
    yield "roof", lambda: block_rafters(roof)
    yield "roof", lambda: extend_rakes(roof)
    yield "edges", lambda: board_edges(roof)
    yield "roof", lambda: deck_roof(roof)
    yield "edges", lambda: bend_edges(roof)
    yield "roofing", lambda: lay_underlayment(roof)
    yield "roofing", lambda: panel_roof(roof)
    yield from _on_walls(cladding, plans, laid)
    if plans:
        ways_up = plan_ways_up(cladding.faces, beams)
        yield "opening", lambda: build_steps(ways_up, beams)
    # Small steel goes where all else leaves it room.
    room = _room_beside(laid)
    yield "ties", lambda: tie(roof, plans, beams, room())
    yield "ties", lambda: tie_floor(datums, laid, room())
    yield "ties", lambda: anchor_in_ground(datums, cladding.out_mm, room())


def _room_beside(laid: Sequence[Piece]) -> Callable[[], Room]:
    """The room that is taken once all is laid out: gravel gives way to what is driven in."""
    return cache(lambda: Room([one for one in laid if one.kind.family is not Family.GRAVEL]))


def _on_walls(
    cladding: CladdingPlan, plans: tuple[WallPlan, ...], laid: Sequence[Piece]
) -> Iterator[tuple[str, Callable[[], Iterable[Piece]]]]:
    """What lies on the walls, and what fills their openings."""
    scene, wrap = cladding.scene, cladding.scene.wrap
    if not plans:
        return
    if wrap or scene.cladding:
        yield "cladding", lambda: fur_out(cladding)
    yield "edges", lambda: flash_feet(cladding)
    yield "edges", lambda: flash_heads(cladding)
    if wrap:
        yield "wrap", lambda: wrap_walls(cladding, wrap)
    yield "edges", lambda: flash_joints(cladding)
    yield "cladding", lambda: hang_battens(cladding)
    yield "cladding", lambda: lay_boards(cladding)
    yield "cladding", lambda: board_corners(cladding)
    yield "cladding", lambda: board_joints(cladding)
    yield "cladding", lambda: close_eaves(cladding)
    for plan in plans:
        yield "walls", partial(line_wall, plan)
    for lay_out in (set_windows, case_openings, line_gaps, hang_doors):
        for face in cladding.faces:
            yield "opening", partial(lay_out, face)
    yield "walls", lambda: cap_walls(cladding.faces, laid)


def _not_made(scene: Scene, table: str, wrong: str, error: Exception) -> SceneError:
    """A fault of the program, told by the part of the scene that most likely sets it off."""
    if isinstance(error, SceneError):
        return error
    reason = " ".join(str(error).split()) or type(error).__name__
    mend = (
        f"change {table} step by step from a scene that builds, to find the value that does this; "
        "report it as a fault of the program"
    )
    return refused(scene, table, "", f"{wrong} ({reason})", mend)


def _make_solids(parts: tuple[Part, ...], table_of: dict[str, str], scene: Scene) -> None:
    """Make every shape's solid and mesh, once; say which piece it was where one cannot be."""
    for part in parts:
        try:
            part.shape.mesh  # noqa: B018  # made on first use, and kept
        except Exception as error:
            called = [k for k, one in enumerate(scene.opening, 1) if one.name in part.name]
            table = f"opening[{called[0]}]" if called else table_of[part.group]
            raise _not_made(scene, table, f"{part.name} cannot be made", error) from error


def _at_most(laid: Iterable[tuple[str, Piece]], most: int, scene: Scene) -> list[tuple[str, Piece]]:
    kept: list[tuple[str, Piece]] = []
    for one in laid:
        kept.append(one)
        if len(kept) > most:
            raise refused(
                scene,
                "building",
                "",
                f"this scene makes more than {most:,} parts",
                "make the building smaller or set its members farther apart",
            )
    return kept


def _temporary(scene: Scene, steps: Steps) -> Iterator[Part]:
    """What the building is moved by, in the stage after which it is moved."""
    move = scene.move
    if move is None:
        return
    number = _number_of(scene, move.after, steps)
    if number is not None:
        pieces = lay_out_move(Datums(scene), move)
        yield from named(pieces, {FOR_THE_MOVE: number})


def _number_of(scene: Scene, after: str, steps: Steps) -> int | None:
    """The number of the last stage up to the one of a name that has something to put up."""
    done = done_by(scene, after, [step.name for _, step in steps])
    return next((number for number, step in steps if step.name == done), None)
