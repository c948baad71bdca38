"""What fills and covers the frame, drawn at random: openings, cladding, wrap and roofing."""

from __future__ import annotations

from dice import Dice, Table, mm

WALLS = ["front", "back", "left", "right"]
BOARDS = ("1x6", "1x8", "1x10")


def openings(dice: Dice, length_mm: float, depth_mm: float) -> list[Table]:
    return [_opening(dice, k + 1, length_mm, depth_mm) for k in range(dice.randint(0, 3))]


def _opening(dice: Dice, number: int, length_mm: float, depth_mm: float) -> Table:
    wall = dice.choice(WALLS)
    wall_mm = length_mm if wall in ("front", "back") else depth_mm
    is_door = dice.happens(0.4)
    width = dice.length(500, 1900) if is_door else dice.length(300, 1500)
    room_mm = max(wall_mm - 200 - mm(width), 210.0)
    opening: Table = {
        "name": f"{'gate' if is_door else 'light'} {number}",
        "kind": "door" if is_door else "window",
        "wall": wall,
        **_place(dice, room_mm),
        "width": width,
        "height": dice.length(1600, 2100) if is_door else dice.length(300, 1200),
    }
    if not is_door:
        opening["sill"] = dice.length(100, 1300)
    opening |= dice.some(
        0.2,
        header=lambda: dice.one("2x4", "2x6", "2x8", "none"),
        jacks=lambda: dice.randint(1, 2),
    )
    if dice.happens(0.15):
        row: Table = dice.one(
            {"apart": dice.one("1-1/2 in", dice.length(50, 300))},
            {"every": dice.length(mm(width) + 50, mm(width) + 400)},
        )
        opening |= {"count": dice.randint(2, 3), **row}
        if dice.happens(0.4):
            opening["one_header"] = True
    if dice.happens(0.7):
        opening["door" if is_door else "window"] = _door(dice) if is_door else _window(dice)
    if dice.happens(0.4):
        opening["trim"] = dice.some(
            0.3, board=lambda: dice.one("1x3", "1x4", "1x6"), between=lambda: dice.one("1x8", "1x6")
        )
    return opening


def _place(dice: Dice, room_mm: float) -> Table:
    """One of the ways to say where an opening is, or two of them."""
    left, right = ({key: dice.length(150, room_mm)} for key in ("from_left", "from_right"))
    middle: Table = {"at": "middle"}
    return dice.one(left, left, left, right, right, middle, middle, {**left, **middle})


def _window(dice: Dice) -> Table:
    common = dice.some(
        0.3, membrane=lambda: dice.one("none", "flashing membrane 6 in", "flashing membrane 9 in")
    )
    if dice.happens(0.15):
        slats = dice.some(
            0.3,
            slat=lambda: dice.one("1x3", "1x4", "2x4"),
            mesh=lambda: dice.one("vent mesh 24 in", "vent mesh 48 in"),
        )
        return {"kind": "vent", **common, **slats}
    if dice.happens(0.5):
        weighed: Table = dice.one({"mass_kg": 12.5}, {"glazing": "double glazed"})
        return {
            "kind": "unit",
            **weighed,
            **common,
            **dice.some(
                0.3,
                thickness=lambda: dice.length(40, 130),
                clearance=lambda: dice.length(5, 20),
            ),
        }
    return {
        "kind": "fixed light",
        **common,
        **dice.some(
            0.3,
            pane=lambda: dice.one("4 mm glass", "4 mm polycarbonate", "1/4 in glass"),
            clearance=lambda: dice.length(1, 6),
            frame=lambda: dice.one("1x6", "1x8"),
            stop=lambda: dice.one("1x2", "1x3", "2x2"),
        ),
    }


def _door(dice: Dice) -> Table:
    door = dice.some(
        0.3,
        frame=lambda: dice.one("1x6", "1x8"),
        stop=lambda: dice.one("1x2", "1x3"),
        sheet=lambda: dice.one("1/2 plywood", "15/32 plywood", "12 mm plywood 1220x2440"),
        hinges=lambda: dice.one("left", "right"),
    )
    if dice.happens(0.25):
        door["track"] = dice.some(
            0.4,
            to=lambda: dice.one("left", "right"),
            lap=lambda: dice.length(15, 120),
            board=lambda: dice.one("2x4", "2x6", "2x8"),
        )
    if dice.happens(0.25):
        door["leaves"] = 2
    elif dice.happens(0.15):
        door["dutch"] = dice.length(700, 1500)
    if dice.happens(0.5):
        ledged = dice.some(
            0.4,
            boards=lambda: dice.choice(BOARDS),
            ledge=lambda: dice.one("1x6", "1x4"),
            brace=lambda: dice.happens(0.5),
        )
        return {"kind": "ledged", **door, **ledged}
    return {"kind": "framed", **door, **dice.some(0.3, stile=lambda: dice.one("1x4", "1x6"))}


def claddings(dice: Dice, length_mm: float) -> list[Table]:
    """One table for all walls, two that share them by wall, or two that part them."""
    first, second = _facing(dice), _facing(dice)
    match dice.randint(0, 4):
        case 0 | 1:
            return [first]
        case 2:
            walls = dice.any_of(WALLS)
            others = [wall for wall in WALLS if wall not in walls]
            return [{"walls": walls, **first}, *([{"walls": others, **second}] if others else [])]
        case 3:
            height = dice.length(600, 1500)
            return [{"below": height, **first}, {"above": height, **second}]
        case _:
            parted = dice.length(400, max(length_mm - 400, 800))
            left = {"walls": ["front"], "width": parted, **first}
            return [left, {"walls": ["front"], "from_left": parted, **second}]


def _facing(dice: Dice) -> Table:
    common = dice.some(
        0.25,
        corner=lambda: dice.one("1x4", "1x3", "1x6", "none"),
        above_ground=lambda: dice.length(160, 400),
    )
    if dice.happens(0.5):
        profile: Table = dice.one(
            {}, {"profile": "square"}, {"lap": "1/2 in"}, {"planed": "7/8 in", "board": "rough 1x8"}
        )
        return {
            "kind": "boards",
            **common,
            **profile,
            **dice.some(
                0.3, board=lambda: dice.choice(BOARDS), reveal=lambda: dice.one("0 in", "1/4 in")
            ),
        }
    ripped: Table = dice.one({}, {}, {"sheet": "19/32 plywood", "strips": dice.randint(2, 6)})
    board: Table = {} if ripped else dice.some(0.3, board=lambda: dice.choice(BOARDS))
    return {
        "kind": "battens",
        **common,
        **ripped,
        **board,
        **_battens(dice),
        **dice.some(
            0.3,
            gap=lambda: dice.length(6, 25),
            start=lambda: dice.one("left", "right", "centre"),
        ),
    }


def _battens(dice: Dice) -> Table:
    if dice.happens(0.7):
        return dice.some(0.3, batten=lambda: dice.one("1x2", "1x3", "1x4"))
    sheet = {"batten_sheet": dice.one("5/8 plywood", "18 mm plywood 1220x2440")}
    return {**sheet, **dice.some(0.5, batten_strips=lambda: dice.randint(10, 22))}


def edges(dice: Dice) -> Table:
    return dice.some(
        0.35,
        fascia=lambda: dice.one("1x6", "1x8", "1x10", "none"),
        barge=lambda: dice.one("1x6", "1x8", "2x6", "none"),
        soffit=lambda: dice.one("15/32 plywood", "7/16 OSB"),
        metal=lambda: dice.one("flat steel 29 ga", "none"),
    )


def roofing(dice: Dice) -> Table:
    return dice.some(
        0.35,
        underlayment=lambda: dice.one("No. 15 felt", "synthetic underlayment 1.5 m", "none"),
        panel=lambda: dice.one(
            *("ribbed steel 12 in 29 ga", "ribbed steel 200 mm 0.5 mm", "none"),
            *("corrugated steel 29 ga", "corrugated bitumen 62 mm"),
        ),
        start=lambda: dice.one("left", "right"),
        overhang=lambda: dice.length(0, 60),
        sealed=lambda: dice.happens(0.6),
        closures=lambda: dice.happens(0.6),
    )


def wrap(dice: Dice) -> Table:
    return dice.some(
        0.5, roll=lambda: dice.one("house wrap 3 ft", "house wrap 1.5 m", "No. 15 felt")
    )


def outside(dice: Dice, length_mm: float, depth_mm: float) -> Table:
    """The tables of all that is in and on the frame."""
    made = openings(dice, length_mm, depth_mm)
    return {
        **({"opening": made} if made else {}),
        **dice.some(
            0.5,
            edges=lambda: edges(dice),
            roofing=lambda: roofing(dice),
            wrap=lambda: wrap(dice),
            cladding=lambda: claddings(dice, length_mm),
        ),
    }
