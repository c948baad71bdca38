"""What is bought, said as it is asked for at a counter: size, grade, treatment, pack.

    lumber_text(scene, section, length_mm, ...) -> str      "2x4 x 92-5/8 in stud, ..."
    sheet_text(scene, sheet, cut) -> str                    "7/16 in OSB sheathing, 4 x 8 ft, ..."
    is_near_ground(parts) -> bool                           which treatment they need
    sold_length(length_mm, units), sold_size(size_mm, units), short_length(length_mm, units)
    count_text(purchase), asked_for(purchase, units)
    in_words(text, scene)                                   in the scene's own English

Treatment: AWPA U1, use categories UC3B and UC4A, the latter for what is within 6 in of the ground;
EN 335, use classes 3 and 4; all from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from fractions import Fraction

from pikepole_export.derive.buying.amounts import pack_text
from pikepole_export.derive.buying.purchase import Purchase, size_text
from pikepole_model.building.decks import DECKS, TONGUED, edge_of
from pikepole_model.building.fastenings import Pack
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import CLADDING, LEAF, SLATS, Kind
from pikepole_model.building.part import Part
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.buying import Words
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.materials import BOARD
from pikepole_model.stock.rows import Lumber, Sheet
from pikepole_model.units import FOOT_MM, INCH_MM, Units, format_mass

NEAR_GROUND_MM = 6 * INCH_MM
_OUTSIDE = CLADDING | SLATS | LEAF | {Kind.SOFFIT}
_SHEATHING = {Kind.WALL_SHEET, Kind.ROOF_SHEET}

_TREATED: dict[Units, tuple[str, str]] = {
    "imperial": ("treated, above ground (UC3B)", "treated, ground contact (UC4A)"),
    "metric": ("treated to use class 3, above ground", "treated to use class 4, ground contact"),
}

# What of the program's own words is said otherwise; a longer one before its parts.
_AMERICAN = {
    "galvanised": "galvanized",
    "vapour": "vapor",
    "centre": "center",
    "colour": "color",
    "grey": "gray",
}
_BRITISH = {
    "hardware store": "ironmonger",
    "lumber yard": "timber merchant",
    "lumber": "timber",
}


def lumber_text(
    scene: Scene,
    section: Lumber,
    length_mm: float,
    *,
    treated: bool,
    is_near_ground: bool = False,
    grade: str = "",
) -> str:
    """A board as it is asked for.

    Args:
        scene: For its woods, grades and units.
        section: Of the board.
        length_mm: Of the board.
        treated: Whether it is.
        is_near_ground: Whether any of its section lies within 6 in of the ground.
        grade: Of lumber graded for strength; the scene's where none is given.
    """
    woods = scene.lumber
    is_stud = any(abs(length_mm - stud_mm) < TOLERANCE_MM for stud_mm in section.studs_mm)
    noun = " stud" if is_stud else ""
    told = [f"{section.name} x {sold_length(length_mm, scene.units)}{noun}"]
    species = scene.species(treated, section.name).name
    if section.is_board:
        named = treated or woods.board_species
        told += [species if named else "", woods.board_grade or section.grade or BOARD]
    elif section.is_stamped:
        told.append(f"{species} {grade or (woods.treated_grade if treated else woods.grade)}")
    else:
        told += [species, section.grade]
    if treated:
        told.append(_TREATED[scene.units][is_near_ground])
    return ", ".join(text for text in told if text)


def rating_text(parts: Sequence[Part], scene: Scene) -> str:
    """What its maker must rate it for at least, as strength counts on it; empty where it does not.

    Args:
        parts: Of one fastener.
        scene: That has the ratings.
    """
    ties = scene.ties
    ratings = {
        Kind.GROUND_ANCHOR: (ties.anchor_rating, "in your soil"),
        Kind.DRILLED_ANCHOR: (ties.anchor_rating, "in your concrete"),
        Kind.TIE_DOWN: (ties.rafter_rating, "against uplift"),
        Kind.FLOOR_TIE: (ties.floor_rating, "against uplift"),
        Kind.POST_CAP: (ties.cap_rating, "against uplift"),
        Kind.POST_BASE: (ties.base_rating, "against uplift"),
    }
    for rating_kg, where in (ratings[part.kind] for part in parts if part.kind in ratings):
        if rating_kg is not None:
            return f"rated {format_mass(rating_kg, scene.units)} or more {where}"
    return ""


def is_near_ground(parts: Iterable[Part]) -> bool:
    """Whether any of some parts is in the ground or within 6 in of it."""
    return any(part.bounds_mm[0][2] < NEAR_GROUND_MM for part in parts)


def edge_asked(scene: Scene, cut: Sequence[Part]) -> str:
    """What the long edges of sheets are where that is asked for: of those that make a floor."""
    edges = {edge for part in cut if (edge := edge_of(scene, part.kind))}
    return TONGUED if TONGUED in edges else next(iter(edges), "")


def sheet_text(scene: Scene, sheet: Sheet, cut: Sequence[Part]) -> str:
    """A sheet as it is asked for, by what is cut from it."""
    kinds = {part.kind for part in cut}
    outside = bool(kinds & _OUTSIDE)
    is_siding = any(part.kind.family in (Family.UPRIGHTS, Family.SIDING) for part in cut)
    name = re.sub(r"^(\d+/\d+) ", r"\1 in ", sheet.name)
    if sheet.treated:
        name = name.replace("treated ", "")
    size = sold_size((sheet.width_mm, sheet.length_mm), scene.units)
    edge = "square edge" if edge_asked(scene, cut) != TONGUED else TONGUED
    use = ""
    if is_siding:
        use = " siding"
    elif kinds & _SHEATHING:
        use = " sheathing"
    elif kinds & DECKS.keys():
        use = " floor sheathing" if scene.units == "imperial" else " flooring"
    told = [
        f"{name}{use}",
        "" if re.search(r"\d+x\d+", sheet.name) else size,
        sheet.bond[outside],
        edge if sheet.bond[0] else "",
        f"{_TREATED[scene.units][is_near_ground(cut)]}, dried again" if sheet.treated else "",
    ]
    return ", ".join(text for text in told if text)


def sold_length(length_mm: float, units: Units) -> str:
    """A stock length: "16 ft", "92-5/8 in", "4.8 m", of inch stock "6.1 m"."""
    if units == "metric":
        return f"{length_mm:.0f} mm" if length_mm < 1000 else f"{round(length_mm / 1000, 2):g} m"
    feet = length_mm / FOOT_MM
    if abs(feet - round(feet)) < 1e-4:
        return f"{round(feet)} ft"
    sixteenths = round(length_mm / INCH_MM * 16)
    inches, rest = divmod(sixteenths, 16)
    return f"{inches}{f'-{Fraction(rest, 16)}' if rest else ''} in"


def box_text(name: str, size: str, finish: str, pack: Pack, units: Units) -> str:
    """Fasteners as they are asked for, "16d common nail, 3-1/2 x 0.162 in, bright, 5 lb box"."""
    box = f"box of {pack.pieces:,}" if pack.pieces > 1 else ""
    if pack.mass_kg is not None:
        box = f"{pack_text(pack.mass_kg, units)} box"
    return ", ".join(text for text in (name, size, finish, box) if text)


def short_length(length_mm: float, units: Units) -> str:
    """A length in inches even beyond a foot, or in mm."""
    if units == "metric":
        return f"{length_mm:.0f} mm"
    return f"{length_mm / INCH_MM:g} in"


def sold_size(size_mm: Sequence[float], units: Units) -> str:
    """A width and a length of a sheet or a roll: "4 x 8 ft", "9 in x 75 ft", "1220 x 2440 mm"."""
    if units == "metric":
        if max(size_mm) <= 5_000:
            return " x ".join(f"{size:.0f}" for size in size_mm) + " mm"
        return " x ".join(
            f"{size:.0f} mm" if size < 1_000 else sold_length(size, units) for size in size_mm
        )
    texts = [sold_length(size, units) for size in size_mm]
    if all(text.endswith(" ft") for text in texts):
        return " x ".join(text.removesuffix(" ft") for text in texts) + " ft"
    return " x ".join(texts)


def count_text(purchase: Purchase) -> str:
    """How much is ordered: "40 pcs", "2 boxes", "24.46 ft"."""
    if purchase.unit not in ("piece", "box"):
        return f"{purchase.quantity:,.2f}".removesuffix(".00") + f" {purchase.unit}"
    noun = purchase.pack or ("box" if purchase.unit == "box" else "pc")
    count = round(purchase.quantity)
    return f"{count:,} {noun}{'' if count == 1 else 'es' if noun.endswith('x') else 's'}"


def asked_for(purchase: Purchase, units: Units) -> str:
    """What is ordered, without how much of it."""
    if purchase.asked and purchase.unit == "gal" and "pieces" in purchase.sold_by:
        return purchase.asked + _cans_text(purchase.sold_by["pieces"])
    if purchase.asked:
        return purchase.asked
    told = (purchase.item, size_text(purchase, units), purchase.made_of)
    return ", ".join(dict.fromkeys(text for text in told if text))


def _cans_text(cans: float) -> str:
    """Quarts as the cans that they come in."""
    gallons, quarts = divmod(round(cans), 4)
    told = [f"{gallons} x 1 gal"] * bool(gallons) + [f"{quarts} x 1 qt"] * bool(quarts)
    return f": {', '.join(told)}"


def in_words(text: str, words: Words) -> str:
    """A text in the English of one country."""
    for ours, theirs in (_AMERICAN if words == "American" else _BRITISH).items():
        text = text.replace(ours, theirs)
    return text
