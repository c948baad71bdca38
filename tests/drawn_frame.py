"""What stands and carries, drawn at random: foundation, floor, walls, roof, bays and beams."""

from __future__ import annotations

from dice import Dice, Table, mm

SECTIONS = ("2x4", "2x6", "2x8", "2x10", "2x12", "C24 47x145", "C16 47x170", "CLS 38x140")
SHEETS = (
    "7/16 OSB",
    "15/32 plywood",
    "1/2 OSB",
    "11 mm OSB/3 1250x2500",
    "12 mm plywood 1220x2440",
)
SPACINGS = ("12 in", "16 in", "16 in", "19.2 in", "24 in", "400 mm", "600 mm")


def store(dice: Dice) -> Table:
    """4 to 14 ft each way; one in twelve is large."""
    most = dice.one(12_000, *[4_300] * 11)
    return {
        "length": dice.length(1200, most),
        "depth": dice.length(1200, min(most, 7_000)),
    }


def foundation(dice: Dice) -> Table:
    kind = dice.one("skids", "skids", "piers", "piers", "pad", "pad")
    share = dice.one(0.0, 0.0, 0.3, 0.6)  # nothing said but the kind, often
    gravel = {
        "gravel": lambda: dice.length(50, 300),
        "gravel_margin": lambda: dice.length(0, 400),
    }
    match kind:
        case "skids":
            keys = dice.some(
                share,
                skid=lambda: dice.one("4x4", "4x6", "6x6", "6x8"),
                count=lambda: dice.randint(2, 4),
                inset=lambda: dice.length(0, 200),
                toe=lambda: dice.length(0, 60),
                **gravel,
            )
        case "piers":
            keys = dice.some(
                share,
                girder=lambda: dice.one("4x4", "4x6", "6x6", "4x8"),
                count=lambda: dice.randint(2, 4),
                inset=lambda: dice.length(0, 200),
                spacing=lambda: dice.length(500, 2400),
                block_height=lambda: dice.length(50, 400),
                block_top=lambda: dice.length(140, 300),
                block_bottom=lambda: dice.length(200, 400),
                gravel=lambda: dice.length(30, 200),
                gravel_margin=lambda: dice.length(0, 150),
            )
        case _:
            keys = dice.some(
                share,
                thickness=lambda: dice.length(80, 200),
                above_ground=lambda: dice.length(0, 300),
                edge_depth=lambda: dice.length(100, 450),
                edge_width=lambda: dice.length(150, 400),
                bolt_diameter=lambda: dice.one("1/2 in", "5/8 in", "16 mm"),
                bolt_embedment=lambda: dice.length(178, 300),
                bolt_spacing=lambda: dice.length(400, 1830),
                **gravel,
            )
    return {"kind": kind, **keys}


def floor(dice: Dice, length_mm: float, depth_mm: float) -> Table:
    table = dice.some(
        0.3,
        joist=lambda: dice.one("2x4", "2x6", "2x8", "C24 47x145"),
        spacing=lambda: dice.choice(SPACINGS),
        treated=lambda: dice.happens(0.5),
        blocking_rows=lambda: dice.randint(0, 3),
        sheet=lambda: dice.one("23/32 plywood", "23/32 OSB", "18 mm plywood 1220x2440"),
    )
    if dice.happens(0.2):
        table["through"] = [
            {
                "name": f"pipe {k + 1}",
                "x": dice.length(50, length_mm),
                "y": dice.length(50, depth_mm),
                "width": dice.length(20, 200),
                "depth": dice.length(20, 200),
            }
            for k in range(dice.randint(1, 2))
        ]
    return table


def walls(dice: Dice) -> Table:
    heights: Table = {dice.one("low_height", "low_height", "high_height"): dice.length(1800, 3000)}
    if dice.happens(0.1):
        heights |= {"low_height": dice.length(1800, 2400), "high_height": dice.length(2100, 3000)}
    return {
        **(heights if dice.happens(0.7) else {}),
        **dice.some(
            0.3,
            stud=lambda: dice.one("2x4", "2x4", "2x6", "CLS 38x114", "C16 45x95"),
            spacing=lambda: dice.choice(SPACINGS),
            header=lambda: dice.one("2x4", "2x6", "2x8"),
            header_spacer=lambda: dice.one("1/2 plywood", "7/16 OSB"),
            sheet=lambda: dice.choice(SHEETS),
        ),
    }


def slope(dice: Dice, most: int = 12) -> str:
    return dice.one(f"{dice.randint(1, most)}:12", f"{dice.randint(5, 4 * most)} deg")


def roof(dice: Dice) -> Table:
    table: Table = {"slope": slope(dice)}
    if dice.happens(0.4):
        table["ridge"] = _ridge(dice)
        table |= dice.some(0.25, back_slope=lambda: slope(dice))
        table |= dice.some(0.2, knee=lambda: _knee(dice))
    overhang = dice.one(lambda: dice.length(0, 700), lambda: "0 in")
    return {
        **table,
        **dice.some(
            0.35,
            falls=lambda: dice.one("front", "back"),
            rafter=lambda: dice.choice(SECTIONS),
            spacing=lambda: dice.choice(SPACINGS),
            end_rafter=lambda: dice.one("2x4", "2x6", "2x8"),
            fly_rafter=lambda: dice.one("2x4", "2x6"),
            lookout=lambda: dice.one("2x4", "2x3", "2x6"),
            lookout_spacing=lambda: dice.length(300, 900),
            eave_overhang=overhang,
            high_overhang=overhang,
            rake_overhang=overhang,
            tail=lambda: dice.one("plumb", "square"),
            eave=lambda: dice.one("blocks", "vents", "open"),
            sheet=lambda: dice.choice(SHEETS),
        ),
    }


def _ridge(dice: Dice) -> Table:
    place = dice.some(0.3, from_front=lambda: dice.length(300, 3000))
    if dice.happens(0.5):
        return {
            "kind": "board",
            **place,
            **dice.some(
                0.4,
                board=lambda: dice.one("1x8", "1x10", "1x12", "2x10", "2x12"),
                tie=lambda: dice.one("2x4", "2x6"),
                tie_height=lambda: dice.length(0, 600),
            ),
        }
    return {
        "kind": "beam",
        **place,
        **dice.some(
            0.4,
            ply=lambda: dice.one("2x8", "2x10", "2x12"),
            plies=lambda: dice.randint(1, 4),
            spacer=lambda: dice.one("1/2 plywood", "none"),
        ),
    }


def _knee(dice: Dice) -> Table:
    return {
        "slope": dice.one(f"{dice.randint(6, 20)}:12", f"{dice.randint(30, 60)} deg"),
        "from_wall": dice.length(200, 1500),
        **dice.some(
            0.4,
            ply=lambda: dice.one("2x6", "2x8", "2x10"),
            plies=lambda: dice.randint(1, 3),
            gusset=lambda: dice.one("none", "7/16 OSB", "23/32 plywood"),
        ),
    }


def bays(dice: Dice) -> list[Table]:
    sides = dice.any_of(["left", "right", "front", "back"])[: dice.randint(1, 3)]
    return [_bay(dice, side) for side in sides]


def _bay(dice: Dice, side: str) -> Table:
    bay: Table = {
        "side": side,
        "reach": dice.length(1000, 3700),
        **dice.some(
            0.4,
            posts=lambda: dice.randint(1, 3),
            post=lambda: dice.one("4x4", "4x6", "6x6", "6x8"),
            seat=lambda: dice.one("notch", "cap"),
            footing=lambda: dice.some(
                0.5,
                diameter=lambda: dice.length(200, 450),
                depth=lambda: dice.length(200, 1200),
                above_ground=lambda: dice.length(0, 150),
            ),
        ),
    }
    if dice.happens(0.2):
        bay["every"] = dice.length(900, 2500)
        if dice.happens(0.8):
            bay.pop("posts", None)
    if side in ("front", "back") and dice.happens(0.5):
        bay |= {"roof": "ledger", "ledger_height": dice.length(1500, 2700)}
        bay |= dice.some(
            0.5,
            slope=lambda: slope(dice, 6),
            ledger=lambda: dice.one("2x6", "2x8", "2x10", "C24 47x145"),
        )
    return bay


def beam(dice: Dice, *, has_bay: bool) -> Table | None:
    """None where nothing is said of one."""
    if not dice.happens(0.5 if has_bay else 0.15):
        return None
    return {
        **dice.some(
            0.5,
            ply=lambda: dice.one("2x6", "2x8", "2x10", "C16 47x195"),
            plies=lambda: dice.randint(1, 3),
            spacer=lambda: dice.one("1/2 plywood", "none"),
        ),
        **({"on_walls": True} if not has_bay or dice.happens(0.3) else {}),
    }


def existing(dice: Dice, length_mm: float, depth_mm: float) -> list[Table]:
    return [
        {
            "name": f"old post {k + 1}",
            "x": dice.length(100, length_mm - 100),
            "y": dice.length(100, depth_mm - 100),
            "width": dice.length(40, 200),
            "depth": dice.length(40, 200),
            "height": dice.length(700, 3000),
        }
        for k in range(dice.randint(1, 2))
    ]


def loft(dice: Dice, length_mm: float, depth_mm: float) -> Table:
    table = dice.some(
        0.4,
        height=lambda: dice.length(1500, 2600),
        joist=lambda: dice.one("2x4", "2x6", "2x8", "C24 47x145"),
        ledger=lambda: dice.one("2x4", "2x6", "1x4", "C16 45x95"),
        sheet=lambda: dice.one("23/32 plywood", "15/32 plywood", "18 mm plywood 1220x2440"),
        edge=lambda: dice.one("tongue-and-groove", "square"),
        edge_blocks=lambda: dice.happens(0.8),
        live_load=lambda: dice.one("10 psf", "40 psf", "1.5 kN/m2"),
        reach=lambda: dice.length(700, length_mm),
    )
    table |= dice.some(
        0.4, end=lambda: dice.one("left", "right"), spacing=lambda: dice.choice(SPACINGS)
    )
    if dice.happens(0.5):
        table["opening"] = {
            "x": dice.length(50, length_mm),
            "y": dice.length(50, depth_mm),
            "width": dice.length(500, 1500),
            "depth": dice.length(500, 1500),
            **dice.some(0.5, ladder=lambda: _ladder(dice)),
        }
    return table


def _ladder(dice: Dice) -> Table:
    return dice.some(
        0.3,
        edge=lambda: dice.one("front", "back"),
        slope=lambda: dice.one("55 deg", "3:1", "5:1"),
        width=lambda: dice.length(300, 600),
        rise=lambda: dice.length(210, 340),
        rail=lambda: dice.one("2x4", "2x6"),
        tread=lambda: dice.one("2x4", "2x6", "1x4"),
        cleat=lambda: dice.one("1x2", "2x2"),
    )


def frame(dice: Dice) -> Table:
    """The tables of all that carries."""
    building = store(dice)
    length_mm, depth_mm = mm(building["length"]), mm(building["depth"])
    table: Table = {"building": building, "foundation": foundation(dice)}
    if table["foundation"]["kind"] != "pad":
        table["floor"] = floor(dice, length_mm, depth_mm)
        if dice.happens(0.1):
            table["existing"] = existing(dice, length_mm, depth_mm)
    if dice.happens(0.8):
        table["walls"] = walls(dice)
    table["roof"] = roof(dice)
    if dice.happens(0.35):
        table["bay"] = bays(dice)
    made = beam(dice, has_bay="bay" in table)
    return table if made is None else {**table, "beam": made}
