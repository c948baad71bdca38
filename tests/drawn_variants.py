"""What fewer buildings have, drawn at random: posts alone, braces, slats, open walls, steel doors.

With dice of its own: what a scene without any of it is does not change with what is added here.
"""

from __future__ import annotations

from dice import Dice, Table, mm

SIDES = ("front", "back", "left", "right")

# What belongs to a store, and not to a roof on posts.
OF_A_STORE = (
    *("foundation", "floor", "walls", "opening", "existing", "wrap", "cladding", "move"),
    *("bay", "beam", "loft"),
)


def varied(dice: Dice, table: Table) -> Table:
    """The scene, here and there of another kind."""
    if dice.happens(0.06):
        return _on_posts(dice, table)
    for side in SIDES:
        if dice.happens(0.06):
            table.setdefault("walls", {})[side] = _wall(dice)
    if "floor" in table and dice.happens(0.08):
        table["floor"] |= dice.one(
            {"board": dice.one("2x4", "2x6", "5/4x6"), "gap": dice.length(3, 12)}, {"sheet": "none"}
        )
    for bay in table.get("bay", ()):
        bay |= _posts(dice, mm(table["building"]["length"]))
        if "widths" in bay and dice.happens(0.9):
            bay.pop("posts", None)
            bay.pop("every", None)
    for opening in table.get("opening", ()):
        if "door" in opening and dice.happens(0.1):
            opening["door"] = _bought(dice, opening["door"])
        for inside in ("door", "window"):
            if inside in opening and dice.happens(0.15):
                opening[inside] |= _sealed(dice, inside)
    return table


def stepped(dice: Dice, table: Table) -> Table:
    """The scene, here and there with a clerestory, and without what that does not go with."""
    if "posts" in table or not dice.happens(0.06):
        return table
    depth_mm = mm(table["building"]["depth"])
    left = ("bay", "loft", "beam")
    table = {key: value for key, value in table.items() if key not in left or dice.happens(0.05)}
    roof = ("ridge", "knee", "back_slope")
    table["roof"] = {k: value for k, value in table["roof"].items() if k not in roof}
    table["roof"]["clerestory"] = {
        "from_wall": dice.length(0.2 * depth_mm, 0.7 * depth_mm),
        "step": dice.length(400, 1500),
        **dice.some(
            0.4,
            ply=lambda: dice.one("2x8", "2x10", "2x12"),
            plies=lambda: dice.randint(2, 4),
            spacer=lambda: dice.one("1/2 plywood", "none"),
            slope=lambda: f"{dice.randint(1, 12)}:12",
        ),
    }
    for opening in table.get("opening", ()):
        if dice.happens(0.5):
            opening["wall"] = "clerestory"
    return table


def floored(dice: Dice, table: Table) -> Table:
    """The scene with what leads up to its doors, and the edges of its floor's sheets."""
    for opening in table.get("opening", ()):
        if opening["kind"] == "door" and dice.happens(0.6):
            opening["steps"] = _steps(dice)
    if "floor" in table and dice.happens(0.2):
        table["floor"] |= {"edge": "square", "edge_blocks": dice.happens(0.8)}
    return table


def _steps(dice: Dice) -> Table:
    kind = dice.one("steps", "ramp", "none")
    common = dice.some(
        0.0 if kind == "none" else 0.3,
        width=lambda: dice.length(700, 2400),
        board=lambda: dice.one("2x4", "2x6", "2x8"),
        gravel=lambda: dice.length(50, 300),
    )
    match kind:
        case "steps":
            own = dice.some(
                0.3,
                rise=lambda: dice.length(120, 190),
                stringer=lambda: dice.one("2x10", "2x12"),
            )
        case "ramp":
            own = dice.some(
                0.3,
                slope=lambda: dice.one("1:8", "1:12", "10 deg"),
                joist=lambda: dice.one("2x4", "2x6", "2x8"),
            )
        case _:
            own = {}
    return {"kind": kind, **common, **own}


def _on_posts(dice: Dice, table: Table) -> Table:
    """The roof of a store on posts alone, a little larger."""
    length, depth = (
        dice.length(mm(table["building"][key]), 2 * mm(table["building"][key]))
        for key in ("length", "depth")
    )
    heights = dice.some(
        0.5, **{dice.one("low_height", "high_height"): lambda: dice.length(2100, 3300)}
    )
    rows = dice.some(0.2, rows=lambda: [dice.length(900, mm(depth))])
    posts = (
        heights
        | rows
        | _posts(dice, mm(length))
        | dice.some(
            0.3, post=lambda: dice.one("4x4", "6x6", "6x8"), seat=lambda: dice.one("notch", "cap")
        )
    )
    if "widths" not in posts and dice.happens(0.4):
        posts["every"] = dice.length(1500, 3600)
    kept = {key: value for key, value in table.items() if key not in OF_A_STORE}
    return {**kept, "building": {"length": length, "depth": depth}, "posts": posts}


def _posts(dice: Dice, along_mm: float) -> Table:
    """How posts stand apart, how they are braced, and what lies between them."""
    return dice.some(
        0.2,
        widths=lambda: [dice.length(900, max(along_mm, 1000.0)) for _ in range(dice.randint(1, 2))],
        brace=lambda: dice.some(
            0.4,
            fixed=lambda: dice.one("nailed", "bolted"),
            section=lambda: dice.one("2x4", "2x6", "4x4"),
            leg=lambda: dice.length(300, 900),
        ),
        ground=lambda: {
            "kind": dice.one("gravel", "slab"),
            **dice.some(
                0.4,
                gravel=lambda: dice.length(50, 200),
                thickness=lambda: dice.length(80, 150),
                above_ground=lambda: dice.length(0, 100),
            ),
        },
    )


def _wall(dice: Dice) -> Table:
    lined = dice.some(0.2, lining=lambda: "1/2 plywood", height=lambda: dice.length(600, 1500))
    carried = dice.some(
        0.2,
        header=lambda: dice.one("2x6", "2x8", "2x10"),
        posts=lambda: dice.randint(2, 4),
        post=lambda: dice.one("4x4", "2x4"),
    )
    brace = dice.some(0.3, brace=lambda: dice.one("1x4", "none"))
    match dice.one("sheets", "braces", "slats", "open"):
        case "sheets":
            return {"kind": "sheets", **lined}
        case "braces":
            return {"kind": "braces", **lined, **brace}
        case "slats":
            slats = dice.some(
                0.3, board=lambda: dice.one("1x4", "1x6"), gap=lambda: dice.length(6, 60)
            )
            slats |= dice.some(
                0.4,
                girts=lambda: dice.one("between", "over"),
                girt=lambda: dice.one("2x4", "1x4", "2x6"),
                girt_spacing=lambda: dice.length(200, 900),
            )
            return {"kind": "slats", **lined, **brace, **slats}
        case _:
            return {"kind": "open", **carried}


def _sealed(dice: Dice, inside: str) -> Table:
    """What keeps water out round a window or a door."""
    threshold = {"threshold": lambda: dice.one("none", "2x6", "5/4x6")} if inside == "door" else {}
    return dice.some(
        0.5,
        tape=lambda: dice.one("none", "flashing tape 6 in"),
        membrane=lambda: dice.one("none", "flashing membrane 6 in"),
        **threshold,
    )


def _bought(dice: Dice, made: Table) -> Table:
    """A door of steel with what any door may have."""
    kept = {key: made[key] for key in ("frame", "stop", "leaves", "hinges", "track") if key in made}
    return {
        "kind": "steel",
        "mass_kg": dice.one(35, 48.5),
        **kept,
        **dice.some(0.3, thickness=lambda: dice.length(35, 50)),
    }
