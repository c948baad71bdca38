"""What can be built but should not be: limits of the materials that no overlap would show."""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely

from pikepole_model.building.decks import DECKS, SQUARE, edge_of, has_edge_blocks
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, PanelRecord
from pikepole_model.checks.anchors import anchor_findings
from pikepole_model.checks.beams import beam_findings
from pikepole_model.checks.doors import door_findings
from pikepole_model.checks.enclosure import enclosure_findings
from pikepole_model.checks.floors import floor_findings
from pikepole_model.checks.fragile import fragile_findings
from pikepole_model.checks.near_ground import wood_findings
from pikepole_model.checks.openings import opening_findings
from pikepole_model.checks.panels import panel_findings
from pikepole_model.checks.rafters import birdsmouth_findings, lookout_findings, rolling_findings
from pikepole_model.checks.slide import slide_findings
from pikepole_model.checks.swing import swing_findings
from pikepole_model.checks.ties import tie_findings
from pikepole_model.errors import Finding, and_more, key_text, less, other, without
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.envelope import Boards
from pikepole_model.scene.foundation import LEAST_BELOW_GROUND_MM, Pad
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.types import ROUND
from pikepole_model.scene.walls import OpenWall
from pikepole_model.units import format_length

# Least rise in 12 of metal panels whose seams are lapped and not soldered, without sealant in the
# laps and with it. Source: IBC 1507.4.2, IRC R905.10.2.
LEAST_RISE = {False: 3.0, True: 0.5}

# Least rise in 12 of rafters that lean on each other over a ridge board. Source: IRC R802.4.4.
LEAST_ON_BOARD = 3.0

# Studs that let-in braces hold stand this far apart at most: 16 in. Source: IRC Table R602.10.4,
# method LIB (from memory).
MOST_BRACED_MM = 406.4

# One gets off a ladder on to a loft on hands and knees under 30 in, the least that an attic is
# entered under (IRC R807.1); that it is so over ladder and landing: common practice, no source.
LEAST_OFF_MM = 762.0

# Who gets off it kneels 1 ft behind the header at first: common practice, no source.
LANDING_MM = 304.8

# What is over a loft's floor, and higher than any roof, mm.
_OVERHEAD = (Kind.RAFTER, Kind.END_RAFTER, Kind.BEAM, Kind.TIE)
_OVER_ALL_MM = 100_000.0


def practice_findings(building: Building) -> tuple[Finding, ...]:
    """All that goes against common practice or a material's limits."""
    return (
        *_panels_too_low(building),
        *_board_too_low(building),
        *wood_findings(building),
        *_edge_too_shallow(building),
        *_open_joints_on_wrap(building),
        *_bright_in_treated(building),
        *_fascia_too_narrow(building),
        *_braces_too_far_on(building),
        *fragile_findings(building),
        *opening_findings(building),
        *beam_findings(building),
        *tie_findings(building),
        *anchor_findings(building),
        *birdsmouth_findings(building),
        *lookout_findings(building),
        *rolling_findings(building),
        *enclosure_findings(building),
        *door_findings(building),
        *swing_findings(building),
        *slide_findings(building),
        *floor_findings(building),
        *_bare_edges(building),
        *_bare_half_walls(building),
        *_nothing_to_hold(building),
        *_no_room_to_step_off(building),
        *panel_findings(building),
    )


def _braces_too_far_on(building: Building) -> Iterator[Finding]:
    """Studs farther apart than let-in braces are let into."""
    braces = tuple(part.name for part in building.parts if part.kind == Kind.LET_IN_BRACE)
    if braces and building.scene.walls.spacing > MOST_BRACED_MM + TOLERANCE_MM:
        most = format_length(MOST_BRACED_MM, building.scene.units, "down")
        text = "is wider than let-in braces hold (IRC Table R602.10.4, method LIB)"
        yield Finding("other", text, braces, key="walls.spacing", mend=f"give at most {most}")


def _bare_edges(building: Building) -> Iterator[Finding]:
    """Sheets of a floor or loft whose long edges give under a foot: square, and on no blocks."""
    scene = building.scene
    for kind, table in DECKS.items():
        sheets = [part for part in building.parts if part.kind is kind]
        if not sheets or edge_of(scene, kind) != SQUARE or has_edge_blocks(scene, kind):
            continue
        deep = max(part.bounds_mm[1][1] for part in sheets) - min(
            part.bounds_mm[0][1] for part in sheets
        )
        if deep > scene.sheet_stock(sheets[0].stock).width_mm + TOLERANCE_MM:
            text = (
                "leaves long edges of sheets between the joists on nothing: floors take "
                "tongue-and-groove, or blocks under square edges (IRC Table R503.2.1.1(1))"
            )
            names, key = tuple(part.name for part in sheets), f"{table}.edge_blocks"
            yield Finding("other", text, names, key=key, mend="give true")


def _bare_half_walls(building: Building) -> Iterator[Finding]:
    """Half walls without a cap: rain goes in behind what covers them.

    Source: IRC R703.1.1, water is kept from behind what covers a wall (from memory); that a cap
        does it there is common practice, no source.
    """
    walls = building.scene.walls
    for wall in ROUND:
        kind = walls.kind_of(wall)
        if isinstance(kind, OpenWall) or kind.height is None or kind.cap:
            continue
        names = tuple(
            part.name
            for part in building.parts
            if part.kind is Kind.TOP_PLATE and part.label.startswith(f"{wall} wall cap plate")
        )
        text = "leaves the top of the half wall open to rain, and it gets in there (IRC R703.1.1)"
        yield Finding("other", text, names, key=f"walls.{wall}.cap", mend="give true")


def _nothing_to_hold(building: Building) -> Iterator[Finding]:
    """A ladder that ends at the loft's floor, with nothing to hold on to where one steps off it."""
    loft = building.scene.loft
    ladder = loft.opening.ladder if loft and loft.opening else None
    if ladder and not any(part.kind is Kind.GRAB_RAIL for part in building.parts):
        rails = tuple(part.name for part in building.parts if part.kind is Kind.LADDER_RAIL)
        text = (
            "leaves nothing to hold on to where one steps off the ladder (29 CFR 1910.23(d)(4), of "
            "fixed ladders)"
        )
        low = ladder.grab is not None
        key = "loft.opening.y" if low else "loft.opening.ladder.grab"
        mend = "set the opening where the roof is higher" if low else 'give "2x4"'
        yield Finding("other", text, rails, key=key, mend=mend)


def _no_room_to_step_off(building: Building) -> Iterator[Finding]:
    """A ladder that comes up where the roof, or a beam, is too low to get off it on to the loft."""
    loft = building.scene.loft
    ladder = loft.opening.ladder if loft and loft.opening else None
    rails = [part for part in building.parts if part.kind is Kind.LADDER_RAIL]
    treads = [part for part in building.parts if part.kind is Kind.LADDER_TREAD]
    if not ladder or not rails or not treads:
        return
    (_, y0, _), (_, y1, top) = rails[0].bounds_mm
    landing = (y0 - LANDING_MM, y0) if ladder.edge == "front" else (y1, y1 + LANDING_MM)
    (_, back, _), (_, front, tread) = max(treads, key=lambda part: part.bounds_mm[1][2]).bounds_mm
    room = min(_room_over(building, top, landing), _room_over(building, tread, (back, front)))
    if room >= LEAST_OFF_MM - TOLERANCE_MM:
        return
    units, opening = building.scene.units, ("loft", "opening")
    text = (
        f"leaves {format_length(room, units)} of height where one gets off the ladder, over its "
        f"top tread or the floor behind the header: {format_length(LEAST_OFF_MM, units)} is the "
        "least on hands and knees"
    )
    path = (*opening, "ladder", "edge")
    tries = (other(*path), other(*opening, "y"), less("loft", "height"), without(*path[:-1]))
    names = tuple(part.name for part in rails)
    yield Finding("other", text, names, key=key_text(path), tries=tries)


def _room_over(building: Building, floor: float, y: tuple[float, float]) -> float:
    """Least height of rafters, beams and ties over a stretch of Y, mm."""
    column = shapely.box(y[0], floor, y[1], _OVER_ALL_MM)
    lows = [
        over.bounds[1]
        for part in building.parts
        if part.kind in _OVERHEAD and part.bounds_mm[1][2] > floor
        for over in (shapely.MultiPoint(part.vertices_mm[:, 1:]).convex_hull.intersection(column),)
        if not over.is_empty
    ]
    return min(lows, default=math.inf) - floor


def _panels_too_low(building: Building) -> Iterator[Finding]:
    """Slopes that fall less than their panels' seams allow; one for each key that says how much."""
    scene = building.scene
    sealed = scene.roofing is not None and scene.roofing.sealed
    least = LEAST_RISE[sealed]
    records = (part.record for part in building.parts)
    slopes = {one.slope: one.slope_rad for one in records if isinstance(one, PanelRecord)}
    found: dict[str, Finding] = {}
    for name, slope_rad in slopes.items():
        rise = 12 * math.tan(slope_rad)
        if rise >= least - 1e-6:
            continue
        key = _slope_key(scene, slope_rad)
        laps = "with sealed laps" if sealed else "whose laps are not sealed"
        falls, need = _rise_text(scene, rise), _least_text(scene, least)
        text = f"makes the {name} fall {falls}, and panels {laps} need {need} (IBC 1507.4.2)"
        mend = _steeper(scene, key, least)
        if not sealed and rise >= LEAST_RISE[True] - 1e-6:
            mend += ", or roofing.sealed = true"
        found.setdefault(key, Finding("other", text, (), key=key, mend=mend))
    yield from found.values()


def _board_too_low(building: Building) -> Iterator[Finding]:
    """Rafters on a ridge board that rise so little that a beam has to carry the ridge."""
    scene, parts = building.scene, {part.name: part for part in building.parts}
    found: dict[str, Finding] = {}
    for joint in building.joints:
        for board, rafter in ((joint.a, joint.b), (joint.b, joint.a)):
            if board not in parts or parts[board].kind is not Kind.RIDGE_BOARD:
                continue
            if rafter not in parts or parts[rafter].kind not in (Kind.RAFTER, Kind.END_RAFTER):
                continue
            x, y, z = parts[rafter].placement.u
            slope_rad = math.atan2(abs(z), math.hypot(x, y))
            rise = 12 * math.tan(slope_rad)
            if rise >= LEAST_ON_BOARD - 1e-6:
                continue
            key = _slope_key(scene, slope_rad)
            need = _least_text(scene, LEAST_ON_BOARD)
            text = (
                f"makes rafters on a ridge board rise {_rise_text(scene, rise)}: less than {need} "
                "takes a beam at the ridge (IRC R802.4.4)"
            )
            mend = _steeper(scene, key, LEAST_ON_BOARD)
            found.setdefault(key, Finding("other", text, (), key=key, mend=mend))
    yield from found.values()


def _rise_text(scene: Scene, rise: float) -> str:
    """A rise in 12 as the scene's people read it: "2.5 in 12", "11.8 deg"."""
    if scene.units == "imperial":
        return f"{rise:.3g} in 12"
    return f"{math.degrees(math.atan2(rise, 12)):.3g} deg"


def _least_text(scene: Scene, rise: float) -> str:
    """The same of a least one, no less than it is."""
    if scene.units == "imperial":
        return f"{rise:g} in 12"
    return f"{math.ceil(10 * math.degrees(math.atan2(rise, 12))) / 10:g} deg"


def _steeper(scene: Scene, key: str, rise: float) -> str:
    """The mend that gives a slope its least."""
    given = f"{rise:g}:12" if scene.units == "imperial" else _least_text(scene, rise)
    if key.endswith("high_height"):
        return f'give heights between which the slope behind the ridge is at least "{given}"'
    return f'give at least "{given}"'


def _slope_key(scene: Scene, slope_rad: float) -> str:
    """The key that says that something is so steep."""
    said = {"roof.slope": scene.roof.slope, "roof.back_slope": scene.roof.back_slope}
    if clerestory := scene.roof.clerestory:
        said["roof.clerestory.slope"] = clerestory.slope
    said |= {f"bay[{k}].slope": bay.slope for k, bay in enumerate(scene.bay, start=1)}
    for key, slope in said.items():
        if slope is not None and math.isclose(math.radians(slope), slope_rad):
            return key
    # Behind a ridge a slope may follow from the heights of the walls.
    return f"{'posts' if scene.posts else 'walls'}.high_height"


def _edge_too_shallow(building: Building) -> Iterator[Finding]:
    """A pad whose edge, which is its footing, does not go as far into the ground as footings must.

    Where frost goes deeper the local rules say so; the scene does not.
    """
    slabs = [part for part in building.parts if part.kind == Kind.SLAB]
    if not slabs:
        return
    scene = building.scene
    pad = scene.foundation
    if not isinstance(pad, Pad) or pad.deep_mm > pad.least_deep_mm - TOLERANCE_MM:
        return
    # Slabs in open bays are laid on the ground.
    slab = min(slabs, key=lambda part: part.bounds_mm[0][2])
    below = format_length(max(-slab.bounds_mm[0][2], 0.0), scene.units)
    least = format_length(LEAST_BELOW_GROUND_MM, scene.units, "up")
    text = f"ends {below} below the ground, and {least} is the least for a footing (IRC R403.1.4)"
    mend = f"give at least {format_length(pad.least_deep_mm, scene.units, 'up')}"
    yield Finding("other", text, (slab.name,), key="foundation.edge_depth", mend=mend)


def _open_joints_on_wrap(building: Building) -> Iterator[Finding]:
    """Boards with open joints on house wrap: sun rots it there, and rain gets in.

    Source: IRC R703.5.3, level siding laps by 1 in, or 1/2 in where it is rabbeted, unless its
        maker says otherwise (from memory); behind open joints, furring over a membrane that bears
        the sun: common practice.
    """
    scene = building.scene
    for k, table in enumerate(scene.cladding, start=1):
        if not isinstance(table, Boards) or table.profile != "square" or table.reveal <= 0.0:
            continue
        groups = {f"{wall} wall cladding" for wall in table.walls}
        wrapped = {part.group for part in building.parts if part.kind is Kind.WRAP}
        boards = tuple(
            part.name
            for part in building.parts
            if part.kind is Kind.SIDING
            and part.group in groups
            and part.group.replace("cladding", "wrap") in wrapped
        )
        if boards:
            reveal = format_length(table.reveal, scene.units)
            text = (
                f'is "square": joints of {reveal} let sun and rain through {and_more(boards)} to '
                "the house wrap (IRC R703.5.3)"
            )
            mend = 'give "shiplap"'
            yield Finding("other", text, boards, key=f"cladding[{k}].profile", mend=mend)


def _bright_in_treated(building: Building) -> Iterator[Finding]:
    """Fasteners without a coating, asked for where the preservative eats them.

    Source: IRC R317.3.1, IBC 2304.9.5.1: hot-dip galvanised to ASTM A153, stainless, silicon
        bronze or copper; connectors galvanised to ASTM A653 G185 where their maker says nothing.
    """
    if building.scene.fasteners.finish != "bright":
        return
    treated = tuple(part.name for part in building.parts if part.material.treated)
    if treated:
        text = (
            f'is "bright", and treated timber ({and_more(treated)}) needs fasteners hot-dip '
            "galvanised (ASTM A153; connectors ASTM A653 G185) or stainless (IRC R317.3)"
        )
        mend = 'give "hot-dip galvanised" or "stainless"'
        yield Finding("other", text, treated, key="fasteners.finish", mend=mend)


def _fascia_too_narrow(building: Building) -> Iterator[Finding]:
    """A fascia that leaves the feet of the tails bare: end grain takes up water.

    As wide as the rafters are deep is enough: what a plumb cut is longer by is cut off level, but
    under a soffit, whose edge it covers too where a board is wide enough. Common practice, no
    source.
    """
    boards = tuple(part.name for part in building.parts if part.kind == Kind.FASCIA)
    if not boards:
        return
    scene, roof = building.scene, building.scene.roof
    fascia, rafter = scene.fascia, scene.lumber_stock(roof.rafter)
    tails = roof.eave_overhang + (0.0 if roof.ridge else roof.high_overhang)
    if not fascia or not tails or fascia.depth_mm > scene.tails_mm - TOLERANCE_MM:
        return
    wide, deep, bare = (
        format_length(length, scene.units)
        for length in (fascia.depth_mm, scene.tails_mm, scene.tails_mm - fascia.depth_mm)
    )
    enough = [
        stock
        for stock in scene.catalogue.lumber.values()
        if abs(stock.breadth_mm - fascia.breadth_mm) < TOLERANCE_MM
        and stock.depth_mm > scene.tails_mm - TOLERANCE_MM
    ]
    if not enough and fascia.depth_mm > rafter.depth_mm - TOLERANCE_MM:
        return
    what = (
        "the tails with the soffit are" if scene.tails_mm > rafter.depth_mm else "the rafters are"
    )
    mend = f"give a section at least {deep} wide"
    if enough:
        mend = f'give "{min(enough, key=lambda stock: stock.depth_mm).name}"'
    text = (
        f"is {wide} wide, and {what} {deep} deep: {bare} of each tail's end stays bare to the rain"
    )
    yield Finding("other", text, boards, key="edges.fascia", mend=mend)
