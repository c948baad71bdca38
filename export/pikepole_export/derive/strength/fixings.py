"""What fixes one piece of a frame to another, and what of wind it is to hold there.

Joints(building)                    fastenings and bent steel, by the names of two pieces
yielding(dowel, side=, main=)       Z, and every number that it comes from
sheet_nail(one, wood, gravity)      what a nail of a sheet in a frame holds, pushed aside in wind
lifted(paths, member) -> places     where a member is drawn up, with what
drawn_up(...) -> Check              that beside what holds it
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from pikepole_export.derive.buying.schedule import Fixed, fixed
from pikepole_export.derive.strength import dowels
from pikepole_export.derive.strength.check import Check, Measured, Number, Rating, Rule
from pikepole_export.derive.strength.combinations import LIFTED, UPLIFT, Combination, Load
from pikepole_export.derive.strength.frame import Member
from pikepole_export.derive.strength.nds import Duration
from pikepole_export.derive.strength.paths import Loads, Paths
from pikepole_export.derive.strength.supports import Held
from pikepole_model.building.fastenings import Bought, load_fastenings
from pikepole_model.building.load_path import ties_between
from pikepole_model.building.part import Building, Part
from pikepole_model.units import PSI_N_MM2

WIND = Duration.WIND.value
# Dowel bearing of structural panels. Source: NDS Table 12.3.3B, OSB and plywood of G 0.50; plywood
# of unknown species has less, 3350 psi.
_PANEL_N_MM2 = 4650 * PSI_N_MM2


@dataclass(frozen=True)
class Joints:
    """The fastenings of a building, found by the names of the two pieces.

    Attributes:
        building: Whose.
    """

    building: Building

    @cached_property
    def _rows(self) -> dict[str, list[Fixed]]:
        found: defaultdict[str, list[Fixed]] = defaultdict(list)
        for one in fixed(self.building):
            for part in (one.part, *one.others):
                found[part.name].append(one)
        return dict(found)

    @cached_property
    def _ties(self) -> dict[tuple[str, str], list[Part]]:
        return ties_between(self.building)

    def of(self, parts: Iterable[Part]) -> list[Fixed]:
        """All that is fixed to some pieces, or they to it, each once."""
        rows = (row for part in parts for row in self._rows.get(part.name, ()))
        return list({id(row): row for row in rows if row.row.fastener}.values())

    def between(self, one: Sequence[Part], other: Iterable[Part]) -> Iterator[Fixed]:
        """What fixes some pieces to some others, each once."""
        these, those = {part.name for part in one}, {part.name for part in other}
        for row in self.of(one):
            fixed_to = {beside.name for beside in row.others}
            if (row.part.name in these and fixed_to & those) or (
                row.part.name in those and fixed_to & these
            ):
                yield row

    def ties(self, one: Part, other: Part) -> list[Part]:
        """The bent steel between two."""
        pairs = ((one.name, other.name), (other.name, one.name))
        return [tie for pair in pairs for tie in self._ties.get(pair, ())]


def bought(one: Fixed) -> Bought:
    """What it is fixed with."""
    assert one.row.fastener
    return load_fastenings().bought[one.row.fastener]


def yielding(
    dowel: dowels.Dowel, *, side: dowels.Bed, main: dowels.Bed
) -> tuple[float, tuple[Number, ...]]:
    """Z of one dowel in single shear, N, with its mode of yield and what it comes from."""
    z, mode = dowels.least(dowel, side=side, main=main)
    numbers = (
        Number(f"Z, mode {mode}", z, Measured.FORCE),
        Number("its D", dowel.diameter_mm, Measured.LENGTH),
        Number("ls", side.thick_mm, Measured.LENGTH),
        Number("Fes", side.bears_n_mm2, Measured.STRESS),
        Number("lm", main.thick_mm, Measured.LENGTH),
        Number("Fem", main.bears_n_mm2, Measured.STRESS),
        Number("Fyb", dowel.yields_n_mm2, Measured.STRESS),
        Number("Rd", dowels.reduction(dowel, mode, side=side, main=main), Measured.NUMBER),
    )
    return z, numbers


def sheet_nail(one: Fixed, wood: Part, gravity: float) -> tuple[float, tuple[Number, ...]]:
    """What one nail through a sheet holds in a frame, pushed aside in wind, N, and why.

    Args:
        one: A sheet that is nailed.
        wood: A piece of the frame.
        gravity: Of that.
    """
    size = bought(one).nail_mm
    if not size:
        return 0.0, ()
    nail, panel_mm = dowels.nail(size[1]), min(one.part.across_mm)
    side = dowels.Bed(_PANEL_N_MM2, panel_mm)
    deep_mm = min(size[0] - panel_mm, min(wood.across_mm))
    main = dowels.wood(gravity, nail, thick_mm=deep_mm)
    z, numbers = yielding(nail, side=side, main=main)
    wet = dowels.WET if wood.material.treated else 1.0
    return z * WIND * wet, (*numbers, Number("CM", wet, Measured.NUMBER))


def lifted(paths: Paths, member: Member) -> Iterator[tuple[Held, Loads]]:
    """Each place where a member is drawn up, with what dead load and wind bring there, N, plumb."""
    borne = paths.borne.get(member.name, {})
    for number, one in enumerate(paths.held(member)):
        loads = {load: row[number] for load, row in borne.items()}
        if UPLIFT.of(loads) < 0:
            yield one, loads


def drawn_up(
    member: str,
    loads: Loads,
    combination: Combination,
    capacity: float,
    *,
    numbers: tuple[Number, ...],
    clause: str,
    limit: str,
    key: str = "",
    rated: tuple[str, int] | None = None,
    at_mm: float | None = None,
    place: str = "",
) -> Check:
    """What draws at a joint beside what is allowed for it; loads plumb, N.

    Args:
        member: What is drawn up.
        loads: At the joint.
        combination: Of them.
        capacity: What is allowed.
        numbers: That go into that.
        clause: Where it stands.
        limit: How it comes about.
        key: Of the scene, that says so.
        rated: The key that gives the rating of steel there, and of how many pieces.
        at_mm: Where along the member.
        place: The same in words.
    """
    wind = Load.LIFT if combination is LIFTED else Load.UPLIFT
    drawn_n = -combination.of(loads)
    return Check(
        member=member,
        rule=Rule.UPLIFT,
        combination=combination,
        demand=drawn_n,
        capacity=capacity,
        measured=Measured.FORCE,
        formula=f"0.6 {wind.value} - 0.6 D",
        numbers=(
            Number(wind.value, -loads.get(wind, 0.0), Measured.FORCE),
            Number("D", loads.get(Load.DEAD, 0.0), Measured.FORCE),
            *numbers,
        ),
        clause=clause,
        limit=limit,
        key=key,
        rating=Rating(rated[0], drawn_n / rated[1]) if rated and rated[1] else None,
        at_mm=at_mm,
        place=place,
    )
