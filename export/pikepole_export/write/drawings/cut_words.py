"""What a pattern says: how each cut is set out and sawn, and what to mind.

    along(template, a, b, units) -> str          a length along the piece, as it is printed
    across(a, b, units) -> str                   one square to its edges
    feature_words(template, feature, units) -> list[str]
    notes(template, units) -> str

Places are rounded before they are subtracted, so that the lengths on a drawing add up.
"""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_export.derive.measures.features import ON_LINE_MM, Cut, Feature, Lies, Place
from pikepole_export.derive.measures.templates import Template, printed
from pikepole_export.write.drawings.square import setting, square_words, step_words
from pikepole_model.units import INCH_MM, Units, format_length

ENDS: dict[Lies, dict[Place, str]] = {
    "sloping": {"left end": "upper end", "right end": "lower end"},
    "upright": {"left end": "foot", "right end": "head"},
    "level": {"left end": "left end", "right end": "right end"},
    "ripped": {"left end": "left edge", "right end": "right edge"},
}

# A cut that is less off square is square.
SQUARE_DEG = 0.05
# Mitre saws turn no further off square: common practice, no source.
MITRE_DEG = 60.0
# How it is spelt where it is used.
MITRE_SAW: dict[Units, str] = {"imperial": "miter saw", "metric": "mitre saw"}

# A tongue that is thinner than dressed two-inch lumber is held to be thin: common practice, no
# source.
THIN_MM = 1.5 * INCH_MM

NO_OVERCUT = (
    "Stop the saw at a notch's inner corner and finish it with a handsaw or chisel: an overcut "
    "weakens what is left."
)
# Source: IRC R317.1.1, field treatment by AWPA M4.
FIELD_TREATMENT = "Brush preservative on every fresh cut of treated wood."


def along(template: Template, a: float, b: float, units: Units) -> str:
    """From one place along the drawing to another, mm, as it is printed.

    Args:
        template: The piece.
        a: From here, mm from its left end.
        b: To here.
        units: It is printed in.
    """
    return format_length(_place(template, b, units) - _place(template, a, units), units)


def across(a: float, b: float, units: Units) -> str:
    """From one height in the drawing to another, mm, as it is printed.

    Args:
        a: From here, mm over the piece's lower edge.
        b: To here.
        units: It is printed in.
    """
    return format_length(abs(printed(b, units) - printed(a, units)), units)


def _place(template: Template, u: float, units: Units) -> float:
    if template.lies == "ripped":
        # From the edge that is cut: that is what the saw's fence is set to.
        return -printed(template.length_mm - u, units)
    return printed(u - template.top_edge[0], units)


def cut_words(cut: Cut, units: Units) -> str:
    """What a cut is and how it is set out: "plumb cut 3:12, 14.0° off square"."""
    off = "square" if cut.off == "square" else "the edge"
    return f"{cut.name} {setting(cut, units)}, {cut.angle_deg:.1f}° off {off}"


def feature_name(template: Template, feature: Feature) -> str:
    """What a feature is called: "upper end", "head", "birdsmouth", "top edge"."""
    if feature.birdsmouth:
        return "birdsmouth"
    if feature.place.endswith("notch"):
        return "notch"
    if template.lies == "ripped":
        side = template.sides.left if feature.place == "left end" else template.sides.right
        return f"{side} edge" if side else "shaped edge"
    return ENDS[template.lies][feature.place]


def feature_words(template: Template, feature: Feature, units: Units) -> list[str]:
    """How a feature is set out and sawn, line by line.

    Args:
        template: The piece.
        feature: One end, notch or birdsmouth of it.
        units: The measures are printed in.
    """
    mouth = feature.birdsmouth
    if mouth:
        called = {"level cut": "seat", "plumb cut": "heel"}
        lines = [f"{called[cut.name]}: {cut_words(cut, units)}" for cut in feature.cuts]
        over, depth = (format_length(mm, units) for mm in (mouth.above_mm, mouth.depth_mm))
        return [*lines, f"plumb over the heel {over}", f"depth square to the edge {depth}"]
    lines = list(_notch_words(template, feature, units))
    for cut in feature.cuts:
        if cut.angle_deg >= SQUARE_DEG:
            lines += _sawn(template, feature, cut, units)
    return lines or list(dict.fromkeys(cut.name for cut in feature.cuts))


def _sawn(template: Template, feature: Feature, cut: Cut, units: Units) -> Iterator[str]:
    off_square = cut.angle_deg if cut.off == "square" else 90 - cut.angle_deg
    if template.lies == "ripped":
        # A saw tilts no further than 45 degrees.
        stood = " with the piece on edge" if off_square > 45.0 + SQUARE_DEG else ""
        tilt = 90 - off_square if stood else off_square
        yield f"bevel {setting(cut, units)}: rip{stood}, saw tilted {tilt:.1f}°"
        if feature.place == "right end" and template.sides.right == "top":
            yield "wide face on the uphill side"
        return
    if off_square <= MITRE_DEG and (cut.name == "level cut" or cut.off == "edge"):
        # Near 45 degrees the one is soon taken for the other.
        saw = MITRE_SAW[units]
        yield f"{cut.name} {setting(cut, units)}, {off_square:.1f}° off square on a {saw}"
        yield f"{90 - off_square:.1f}° off the edge"
    else:
        yield cut_words(cut, units)
    if template.seen_on == "narrow edge":
        yield f"or saw tilted {off_square:.1f}° with the piece flat on its wide face"
    if template.lies == "upright" and feature.place == "right end":
        yield "long point on the uphill side"


def wide_face_words(long: str, short: str) -> list[str]:
    """How a raked stick is marked square on its wide faces instead of across its narrow edge.

    Args:
        long: Along its long edge.
        short: Along its short edge.
    """
    return [
        f"square line at {long} on the face with the long point",
        f"square line at {short} on the other face, dashed",
        "join their ends across the narrow edges",
    ]


def _notch_words(template: Template, feature: Feature, units: Units) -> Iterator[str]:
    for notch in feature.notches:
        lower = notch.side == "lower"
        corner = notch.depth_mm if lower else template.depth_mm - notch.depth_mm
        depth = across(0.0 if lower else template.depth_mm, corner, units)
        out = -1 if feature.place == "left end" else 1
        end = notch.shoulder_mm + out * notch.length_mm
        long = along(template, min(notch.shoulder_mm, end), max(notch.shoulder_mm, end), units)
        side = template.sides.lower if lower else template.sides.upper
        if template.lies == "ripped":
            yield f"rabbet {long} x {depth}" + (f" in the {side} face" if side else "")
            continue
        yield f"notch {depth} deep x {long} long, leaves {tongue(template, feature, units)}"
        if side:
            yield f"cut into the {side} edge"


def tongue(template: Template, feature: Feature, units: Units) -> str:
    """What the notches of a feature leave between them and the edges, as it is printed.

    Args:
        template: The piece.
        feature: Its notches.
        units: It is printed in.
    """
    low, high = _left(template, feature)
    return across(low, high, units)


def _left(template: Template, feature: Feature) -> tuple[float, float]:
    lower = [notch.depth_mm for notch in feature.notches if notch.side == "lower"]
    upper = [notch.depth_mm for notch in feature.notches if notch.side == "upper"]
    return max(lower, default=0.0), template.depth_mm - max(upper, default=0.0)


def marked_edge(template: Template) -> str:
    """What the edge that is drawn on top, and marked along, is called."""
    if template.sides.upper == "top" and template.seen_on != "narrow edge":
        return "the top edge"
    (a, b), (c, d) = template.top_edge, template.lower_edge
    return "the long edge" if b - a > d - c else "one edge"


def notes(template: Template, units: Units, *, alone: bool) -> str:
    """What is said once of the whole piece.

    Args:
        template: The piece.
        units: Of its measures.
        alone: Whether its own lengths are said.
    """
    return " ".join(_notes(template, units, alone))


def _notes(template: Template, units: Units, alone: bool) -> Iterator[str]:
    ends, up = ENDS[template.lies], template.sides.upper
    deep = across(0.0, template.depth_mm, units)
    if template.lies == "ripped":
        wide = along(template, 0.0, template.length_mm, units)
        whole = _is_whole(template, template.length_mm)
        yield f"{wide} wide," if whole else f"Rip to {wide},"
        yield f"{deep} thick." + (f" The {up} face is drawn on top." if up else "")
    else:
        which = "one" if template.seen_on == "face" else "the"
        whole = template.seen_on != "wide face" or _is_whole(template, template.depth_mm)
        size = f"{deep} wide" if whole else f"ripped to {deep}"
        yield f"Seen on {which} {template.seen_on}, {size}."
    plain = [ends[feature.place] for feature in template.features if feature.is_plain]
    if plain and template.lies != "ripped":
        yield f"Square: {' and '.join(plain)}."
    (a, b), (c, d) = template.top_edge, template.lower_edge
    notched = any(feature.notches for feature in template.features)
    raked = marked_edge(template) == "the long edge" and template.lies != "ripped"
    if alone and raked and not notched:
        long, short = along(template, a, b, units), along(template, c, d, units)
        yield f"{long} along the long edge, {short} along the short edge."
    if any(feature.birdsmouth for feature in template.features):
        yield "A birdsmouth is measured to the plumb line of its heel, dash and dot."
    yield from square_words(template, units)
    if alone:
        yield from step_words(template, units)
    if notched and template.lies != "ripped":
        yield NO_OVERCUT
        for words in dict.fromkeys(_thin(template, units)):
            yield f"The {words} that is left is thin and may split: choose straight grain."
    if template.treated:
        yield FIELD_TREATMENT


def _is_whole(template: Template, wide_mm: float) -> bool:
    """Whether a piece is as wide as its lumber comes, to less than a saw's kerf."""
    return wide_mm > max(template.section_mm) - INCH_MM / 32


def _thin(template: Template, units: Units) -> Iterator[str]:
    for feature in template.features:
        low, high = _left(template, feature)
        if feature.notches and high - low < THIN_MM - ON_LINE_MM:
            yield tongue(template, feature, units)
