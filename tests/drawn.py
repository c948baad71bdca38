"""Whole scenes drawn at random, over every table that a scene can have.

What is drawn is plausible, and often something does not fit: sizes are drawn without looking at
what they have to fit to.

drawn(seed) -> a scene's table
staged(seed, building) -> its [[stage]] tables
"""

from __future__ import annotations

from dice import Dice, Table, mm
from drawn_frame import frame, loft
from drawn_outside import outside
from drawn_variants import floored, stepped, varied
from pikepole_model.building.part import Building
from pikepole_model.building.sequence import SEQUENCE

OWN_BOARD, OWN_SHEET, OWN_SPECIES, OWN_PANE = "larch 20x140", "slab ply", "river gum", "old glass"
OWN_ROLL, OWN_PANEL, OWN_FLAT = "hemp paper", "box tin", "zinc strip"

GEAR: tuple[Table, ...] = (
    {"kind": "trestles", "height": "30 in"},
    {"kind": "platform", "height": "4 ft"},
    {"kind": "wall jack", "rating": "400 kg", "reach": "4 m"},
    {"kind": "chain hoist", "rating": "1 t", "reach": "3500 mm"},
    {"kind": "telehandler", "rating": "2.5 t", "reach": "6 m", "sling_angle": "45 deg"},
    {"kind": "jack", "rating": "5 t", "stroke": "6 in"},
    {"kind": "winch", "rating": "2000 lb", "parts": 2},
)

PRICES: tuple[Table, ...] = (
    {"item": "2x4", "price": 0.9, "per": "ft"},
    {"item": "2x4", "length": "8 ft", "price": 4.2},
    {"item": "2x6", "price": 6.5, "per": "m", "treated": True},
    {"item": "7/16 OSB", "price": 19},
    {"item": "gravel", "price": 48, "per": "yd3"},
    {"item": "concrete", "price": 7, "per": "piece"},
    {"item": "16d common nail", "price": 0, "per": "box"},
    {"item": "beeswax", "price": 11},
)


def drawn(seed: int) -> Table:
    """The scene of a number."""
    dice = Dice(seed)
    table: Table = {"title": f"Apiary {seed}", "units": dice.one("imperial", "metric")}
    table |= frame(dice)
    length_mm, depth_mm = (mm(table["building"][key]) for key in ("length", "depth"))
    table |= outside(dice, length_mm, depth_mm)
    table |= _work(dice, table)
    table |= dice.some(0.2, loft=lambda: loft(dice, length_mm, depth_mm))
    table = varied(Dice(f"variants of {seed}"), table)
    table = stepped(Dice(f"clerestories of {seed}"), table)
    table = floored(Dice(f"floors of {seed}"), table)
    table = strengthened(Dice(f"strength of {seed}"), table)
    table = supplied(Dice(f"yards of {seed}"), table)
    return measured(Dice(f"measures of {seed}"), table)


def supplied(dice: Dice, table: Table) -> Table:
    """A scene with something in the yard."""
    return table | dice.some(
        0.3,
        have=lambda: [
            {"item": "2x4", "length": dice.length(300, 2400), "count": dice.randint(1, 9)},
            {"item": "7/16 OSB", "width": dice.length(200, 1200), "count": dice.randint(1, 3)},
            {"item": "16d common nail"},
        ],
    )


def strengthened(dice: Dice, table: Table) -> Table:
    """A scene with more that carries."""
    ridge = table["roof"].get("ridge", {})
    on_pad = table.get("foundation", {}).get("kind") == "pad"
    if ridge.get("kind") == "beam" and on_pad == dice.happens(0.9):
        ridge |= dice.some(0.5, posts=lambda: _inner_posts(dice))
    for opening in table.get("opening", ()):
        opening |= dice.some(0.2, kings=lambda: dice.randint(2, 3))
    table |= dice.some(
        0.2,
        ties=lambda: {
            **table.get("ties", {}),
            **dice.some(
                0.6,
                rafter_rating=lambda: dice.one("450 lb", "200 kg"),
                floor_rating=lambda: dice.one("450 lb", "200 kg"),
                anchor_rating=lambda: dice.one("900 lb", "400 kg"),
                cap_rating=lambda: dice.one("700 lb", "300 kg"),
                base_rating=lambda: dice.one("800 lb", "350 kg"),
                hold_down_rating=lambda: dice.one("1500 lb", "600 kg"),
            ),
        },
    )
    return table


def _inner_posts(dice: Dice) -> Table:
    return dice.some(
        0.6,
        count=lambda: dice.randint(1, 3),
        post=lambda: dice.one("4x6", "6x8", "8x8"),
        seat=lambda: dice.one("notch", "cap"),
        footing=lambda: {"diameter": dice.length(250, 700), "depth": dice.length(300, 1200)},
        brace=lambda: {"fixed": dice.one("nailed", "bolted")},
    )


def measured(dice: Dice, table: Table) -> Table:
    """A scene of what stands already, most often near the plan."""
    depth_mm = mm(table["building"]["depth"])

    def read(most_mm: int) -> str:
        return f"{depth_mm + dice.randint(-most_mm, most_mm)} mm"

    def one() -> Table:
        span = {"what": dice.one("span", "span", "diagonals"), "left": read(20)}
        after = {"after": dice.choice(SEQUENCE[2:]).name}
        return {**after, **span, **dice.some(0.3, right=lambda: read(dice.one(10, 10, 200)))}

    table |= dice.some(0.15, measured=lambda: [one() for _ in range(dice.randint(1, 2))])
    return table


def _work(dice: Dice, table: Table) -> Table:
    """The tables of timber, order, crew and buying."""
    on_pad = table["foundation"]["kind"] == "pad"
    made = dice.some(
        0.15,
        currency=lambda: dice.one("NZD", "EUR"),
        lumber=lambda: dice.some(
            0.6,
            species=lambda: dice.one("hem-fir", "red pine"),
            treated_species=lambda: dice.one("hem-fir", "mixed southern pine"),
        ),
        moisture=lambda: dice.some(
            0.6,
            untreated=lambda: {"low": 8, "likely": 12, "high": 16.5},
            treated=lambda: {"low": 19, "likely": 40, "high": 90},
        ),
        ties=lambda: dice.some(
            0.5,
            rafters=lambda: dice.one("each", "none"),
            ridge=lambda: dice.one("straps", "none"),
            walls=lambda: dice.one("straps", "none"),
            ground=lambda: dice.one("anchors", "none"),
        ),
        fasteners=lambda: {"finish": dice.one("stainless", "bright", "hot-dip galvanised")},
        crew=lambda: _crew(dice),
        cutting=lambda: dice.some(
            0.5,
            longest=lambda: dice.length(2400, 6000),
            kerf=lambda: dice.length(2, 6),
            end_trim=lambda: dice.length(0, 50),
            mix=lambda: dice.happens(0.5),
            worth=lambda: dice.randint(0, 5),
        ),
        spare=lambda: dice.some(
            0.5, percent=lambda: dice.randint(0, 20), studs=lambda: dice.randint(0, 3)
        ),
        price=lambda: [dict(price) for price in PRICES if dice.happens(0.5)],
        paint=lambda: dice.some(
            0.5,
            coats=lambda: dice.randint(1, 3),
            primer_coats=lambda: dice.randint(0, 2),
            spread=lambda: dice.one("9 m2/l", "400 ft2/gal"),
            waste=lambda: dice.randint(0, 20),
        ),
        concrete=lambda: _concrete(dice, slab=on_pad),
        site=lambda: dice.some(
            0.5,
            ground_snow=lambda: dice.one("0 psf", "55 psf", "2 kN/m2"),
            roof_exposure=lambda: dice.one("full", "sheltered"),
            heated=lambda: True,
            wind=lambda: dice.one("95 mph", "150 km/h"),
            terrain=lambda: dice.one("B", "D"),
            risk=lambda: "I",
            floor_live=lambda: dice.one("50 psf", "2.5 kN/m2"),
            soil=lambda: dice.one("2000 psf", "150 kN/m2"),
            frost=lambda: dice.length(0, 1200),
            north=lambda: dice.one("left", "front", "0 deg", "217.5 deg"),
            lot=lambda: {"left": dice.length(0, 9000), "back": dice.length(0, 9000)},
            setback=lambda: {"left": dice.length(0, 3000)},
        ),
        waste=lambda: dice.some(
            0.5,
            rolls=lambda: dice.randint(0, 20),
            runs=lambda: dice.randint(0, 20),
            fasteners=lambda: dice.randint(0, 20),
            gravel=lambda: dice.randint(0, 20),
        ),
    )
    if dice.happens(0.15) and not on_pad:
        made["move"] = _move(dice)
    if dice.happens(0.15):
        made["stock"] = _stock(table)
    return made


def _crew(dice: Dice) -> Table:
    gear = [dict(one) for one in GEAR if dice.happens(0.3)]
    return {
        **dice.some(
            0.5,
            people=lambda: dice.randint(1, 4),
            helpers=lambda: dice.randint(0, 4),
            guideline=lambda: dice.one("women", "men"),
            minutes_per_lift=lambda: dice.randint(2, 30),
            hours_per_day=lambda: dice.randint(3, 9),
        ),
        **({"gear": gear} if gear else {}),
    }


def _concrete(dice: Dice, *, slab: bool) -> Table:
    bought = dice.some(
        0.5,
        bag=lambda: dice.one("60 lb", "25 kg"),
        waste=lambda: dice.randint(0, 20),
        ready_mix_from=lambda: dice.one("0.5 m3", "2 yd3"),
    )
    steel = dice.some(
        0.5,
        mesh=lambda: dice.one("6x6 W1.4 mesh", "A142 mesh"),
        bars=lambda: dice.some(0.5, bar=lambda: "10 mm bar", spacing=lambda: "300 mm"),
        edge_bars=lambda: dice.randint(1, 3),
        vapour_retarder=lambda: dice.happens(0.5),
        curing=lambda: "200 ft2/gal",
    )
    return {**bought, **(steel if slab else {})}


def staged(seed: int, building: Building) -> list[Table]:
    """An order of work of a building's own: the usual steps, some of them taken together."""
    dice = Dice(seed)
    stages: list[Table] = []
    for step in building.stages:
        groups = list(dict.fromkeys(part.group for part in step.parts))
        if stages and dice.happens(0.4):
            stages[-1]["groups"] += groups
        else:
            stages.append({"name": step.name, "groups": groups})
    return stages


def _move(dice: Dice) -> Table:
    way = dice.one(
        dice.some(0.5, fork_spacing=lambda: dice.length(800, 2500), fork=lambda: "5 ft"),
        {"way": "rollers", **dice.some(0.5, friction=lambda: 0.15)},
    )
    return {
        "after": dice.choice(SEQUENCE[2:]).name,
        **way,
        **dice.some(
            0.5, side=lambda: dice.one("front", "back", "left", "right"), rise=lambda: "3 deg"
        ),
    }


def _stock(table: Table) -> Table:
    """What the catalogue lacks, put in where it goes."""
    for cladding in table.get("cladding", ()):
        if "sheet" not in cladding:
            cladding["board"] = OWN_BOARD
    for opening in table.get("opening", ()):
        if opening.get("window", {}).get("kind") == "fixed light":
            opening["window"]["pane"] = OWN_PANE
    table.setdefault("walls", {})["sheet"] = OWN_SHEET
    table.setdefault("lumber", {})["species"] = OWN_SPECIES
    if "wrap" in table:
        table["wrap"]["roll"] = OWN_ROLL
    if "roofing" in table:
        table["roofing"]["panel"] = OWN_PANEL
    if "edges" in table:
        table["edges"]["metal"] = OWN_FLAT
    size = {"width": "1200 mm", "length": "2400 mm"}
    board = {"name": OWN_BOARD, "breadth": "20 mm", "depth": "140 mm"}
    pane = {"name": OWN_PANE, "thickness": "5 mm", "density_kg_m3": 2450}
    laps = {"lap": "100 mm", "end_lap": "150 mm"}
    roll = {"uses": ["house wrap"], "width": "1200 mm", "length": "40 m", "mass_g_m2": 150, **laps}
    rib = {"rib_height": "20 mm", "rib_top": "30 mm", "rib_bottom": "60 mm"}
    thin = {"thickness": "0.6 mm", "mass_kg_m2": 4.2}
    return {
        "roll": [{"name": OWN_ROLL, **roll}],
        "panel": [{"name": OWN_PANEL, "cover": "720 mm", "pitch": "180 mm", **rib, **thin}],
        "flat": [{"name": OWN_FLAT, "length": "2 m", "lap": "60 mm", **thin}],
        "lumber": [{**board, "lengths": ["3 m", "4200 mm"]}],
        "sheet": [
            {"name": OWN_SHEET, "thickness": "10 mm", "density_kg_m3": 620, "made": "OSB", **size}
        ],
        "species": [{"name": OWN_SPECIES, "specific_gravity": 0.62}],
        "pane": [pane],
    }
