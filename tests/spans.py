"""The longest span of a beam by the rules of the published span tables, and these tables as text.

The model of the tables: a simple span under an even load; strength under all of it, deflection
under live load or snow alone; nothing for the weight of the member beyond the dead load; rounded to
the nearest inch, halves up. Source: AWC, Span Tables for Joists and Rafters, 1993, introduction,
but for the rounding, which is found from the tables.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from measuring import INCH
from pikepole_export.derive.strength.beam import Force
from pikepole_export.derive.strength.beam_checks import beam_checks
from pikepole_export.derive.strength.cases import Beam, Sags, Support
from pikepole_export.derive.strength.check import Rule
from pikepole_export.derive.strength.combinations import Load
from pikepole_export.derive.strength.nds import Lumber
from pikepole_export.derive.strength.section import Section
from pikepole_model.stock.catalogue import load_catalogue
from pikepole_model.stock.design_values import Wood, load_design_values
from pikepole_model.units import POUND_FORCE_N, PSI_N_MM2

SPECIES = {
    "DF-L": "douglas fir-larch",
    "HF": "hem-fir",
    "NS": "northern species",
    "SP": "southern pine",
    "SPF": "spruce-pine-fir",
    "WC": "western cedars",
}
GRADES = {"SS": "Select Structural", "#1": "No. 1", "#2": "No. 2", "#3": "No. 3"}
PSF = POUND_FORCE_N / (12 * INCH) ** 2
# The power of the span that each grows with.
GROWS = {Rule.BENDING: 2, Rule.LIVE_SAG: 3}


@dataclass(frozen=True)
class Table:
    """What a table is reckoned for.

    Attributes:
        live: What brings the live load.
        live_psf: So much of it.
        dead_psf: Dead load.
        parts: Its deflection as so many parts of the span.
        wet: Whether in wet service.
        incised: Whether of incised wood.
        most_in: No span is longer.
    """

    live: Load
    live_psf: float
    dead_psf: float
    parts: float
    wet: bool = False
    incised: bool = False
    most_in: float = math.inf


def wood_of(species: str, grade: str, size: str, older: tuple[float, ...] = ()) -> Wood:
    """Reference values of a section; with another Fb and E, psi, as an older edition has them."""
    lumber = load_catalogue().find_lumber(size)
    found = load_design_values().find(
        SPECIES[species], GRADES[grade], breadth_mm=lumber.breadth_mm, depth_mm=lumber.depth_mm
    )
    assert found
    for field, psi in zip(("bending_n_mm2", "modulus_n_mm2"), older, strict=False):
        found = replace(found, **{field: psi * PSI_N_MM2})
    return found


def section_of(size: str, plies: int = 1) -> Section:
    lumber = load_catalogue().find_lumber(size)
    return Section(lumber.breadth_mm, lumber.depth_mm, plies)


def simple_span(lumber: Lumber, table: Table, spacing_in: float, span_mm: float) -> Beam:
    """A joist or rafter between two supports."""

    def even(psf: float) -> list[Force]:
        return [Force(0, span_mm, psf * PSF * spacing_in * INCH * span_mm)]

    return Beam(
        name="joist",
        lumber=lumber,
        length_mm=span_mm,
        supports=(Support(0, 0, "plate"), Support(span_mm, 0, "plate")),
        loads={Load.DEAD: even(table.dead_psf), table.live: even(table.live_psf)},
        sags=Sags(table.parts, None, ""),
    )


def longest_in(wood: Wood, size: str, spacing_in: float, table: Table, plies: int = 0) -> float:
    """The span at which it is just within the table's rules, in; plies for a header."""
    lumber = Lumber(
        wood,
        section_of(size, plies or 1),
        wet=table.wet,
        incised=table.incised,
        repetitive=plies not in (1, 2),
    )
    tried = 3000.0
    checks = beam_checks(simple_span(lumber, table, spacing_in, tried))
    spans = [
        tried / check.ratio ** (1 / GROWS[check.rule]) for check in checks if check.rule in GROWS
    ]
    found = min(spans)
    again = beam_checks(simple_span(lumber, table, spacing_in, found))
    assert math.isclose(max(one.ratio for one in again if one.rule in GROWS), 1, rel_tol=1e-9)
    return min(found / INCH, table.most_in)


def longest_overhang_in(wood: Wood, size: str, span_in: float, table: Table) -> float:
    """How far a joist may hang out past a span: a quarter of that, and as 220 lb bend its end.

    By L / 180 of the overhang under 220 lb at its end. Source: AWC DCA 6 Table 2, notes.
    """
    lumber = Lumber(wood, section_of(size), wet=table.wet, incised=table.incised)
    span_mm, load_n = span_in * INCH, 220 * POUND_FORCE_N
    low_mm, high_mm = INCH, span_mm
    while high_mm - low_mm > 1e-6:
        out_mm = (low_mm + high_mm) / 2
        end_mm = span_mm + out_mm
        joist = Beam(
            name="joist",
            lumber=lumber,
            length_mm=end_mm,
            supports=(Support(0, 0, "ledger"), Support(span_mm, 0, "beam")),
            loads={Load.LIVE: [Force(end_mm, end_mm, load_n)]},
            # Of an overhang twice its length counts, as the codes have it.
            sags=Sags(2 * 180, None, ""),
        )
        sag = next(
            one
            for one in beam_checks(joist)
            if one.rule is Rule.LIVE_SAG and one.place == "overhang"
        )
        low_mm, high_mm = (low_mm, out_mm) if sag.is_over else (out_mm, high_mm)
    return low_mm / INCH


def printed(inches: float) -> str:
    """As the tables print a span: to the nearest inch, halves up."""
    feet, rest = divmod(math.floor(inches + 0.5 + 1e-6), 12)
    return f"{feet}-{rest}"
