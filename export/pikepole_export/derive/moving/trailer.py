"""The building on a trailer: where it lies, and what tongue and axles have of it.

on_trailer(building, moved, move) -> OnTrailer
"""

from __future__ import annotations

from dataclasses import dataclass

from pikepole_export.derive.inventory.mass import Mass
from pikepole_export.derive.moving.carried import ON_ROAD, Carried, carried, lying_along
from pikepole_export.derive.moving.structure import SIDES, MovedStructure
from pikepole_model.building.part import Building
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.moving import Move, Trailer
from pikepole_model.units import INCH_MM

# Share of the load on the tongue: less sways, more lifts the towing car's front wheels. Common
# practice, no source.
TONGUE_LEAST, TONGUE, TONGUE_MOST = 0.10, 0.12, 0.15

# Steel at the edge of a deck that what lies across it presses on: own assumption, no source.
DECK_EDGE_MM = 2 * INCH_MM


@dataclass(frozen=True, slots=True)
class OnTrailer:
    """The building on a deck, its near side towards the hitch.

    Attributes:
        begins_mm: From the front end of the deck to the near side of the building; below zero
            where that stands out in front.
        behind_mm: How far it stands out past the rear end of the deck; 0 where it does not.
        centre_mm: From the front end of the deck to its centre of gravity.
        tongue_share: Share of its weight on the tongue.
        tongue: That weight.
        axles: What the axles have of it.
        rating_kg: What may lie on the trailer.
        tongue_rating_kg: What its tongue and hitch may carry.
        frame: The floor frame on the deck.
    """

    begins_mm: float
    behind_mm: float
    centre_mm: float
    tongue_share: float
    tongue: Mass
    axles: Mass
    rating_kg: float
    tongue_rating_kg: float
    frame: Carried


def tongue_share(trailer: Trailer, centre_mm: float) -> float:
    """Share of a load on the tongue: moments about the axles.

    Args:
        trailer: Its sizes.
        centre_mm: Of the load, from the front end of the deck.
    """
    return (trailer.axle - centre_mm) / (trailer.hitch + trailer.axle)


def on_trailer(
    building: Building, moved: MovedStructure, move: Move, trailer: Trailer
) -> OnTrailer:
    """Put a building on a trailer so that its tongue has its usual share, as near as the deck lets.

    Args:
        building: For its wood.
        moved: What is moved.
        move: Which side is towards the hitch.
        trailer: Its sizes and ratings.
    """
    side = SIDES[move.side]
    along, into = side.place(moved.centre_mm)
    near, far = side.span_into(moved.parts)
    first, last = side.span_into(moved.bearers)
    # Where the building's frame has the front end of the deck, at the usual share and at the
    # ends of what is usual.
    usual, ahead, back = (
        into - trailer.axle + share * (trailer.hitch + trailer.axle)
        for share in (TONGUE, TONGUE_MOST, TONGUE_LEAST)
    )
    low, high = max(last - trailer.deck_length, back), min(first, ahead)
    deck_mm = min(max(usual, low), high) if low <= high else usual
    share = tongue_share(trailer, into - deck_mm)
    edges = deck_edges_mm(moved, move, trailer, along)
    mass = moved.mass
    return OnTrailer(
        begins_mm=near - deck_mm,
        behind_mm=max(0.0, far - deck_mm - trailer.deck_length),
        centre_mm=into - deck_mm,
        tongue_share=share,
        tongue=mass.times(share),
        axles=mass.times(1 - share),
        rating_kg=trailer.rating,
        tongue_rating_kg=trailer.tongue_rating,
        frame=_frame(building, moved, move, edges, deck_mm, trailer),
    )


def deck_edges_mm(
    moved: MovedStructure, move: Move, trailer: Trailer, along_mm: float
) -> tuple[float, float]:
    """Both edges of the deck, about the balance, or as near as bearers that lie along it let."""
    left, right = SIDES[move.side].span_along(moved.bearers)
    half = trailer.deck_width / 2
    if right - left <= trailer.deck_width:
        along_mm = min(max(along_mm, right - half), left + half)
    return along_mm - half, along_mm + half


def _frame(
    building: Building,
    moved: MovedStructure,
    move: Move,
    edges_mm: tuple[float, float],
    deck_mm: float,
    trailer: Trailer,
) -> Carried:
    side = SIDES[move.side]
    if all(side.runs_along(part) for part in moved.bearers):
        left, right = side.span_along(moved.floor)
        return carried(
            building,
            moved,
            side,
            lines_mm=(max(left, edges_mm[0]), min(right, edges_mm[1])),
            begins_mm=deck_mm,
            reach_mm=trailer.deck_length,
            tips_mm=trailer.deck_length,
            bearing_mm=DECK_EDGE_MM,
            impact=ON_ROAD,
        )
    # The bearers lie along the deck: what is over it bears from where it begins to where it ends.
    front = SIDES["front"]
    ends = sorted((_at(move, deck_mm), _at(move, deck_mm + trailer.deck_length)))
    low, high = front.span_along(moved.bearers)
    bearing = [
        part
        for part in moved.bearers
        if edges_mm[0] - TOLERANCE_MM <= side.span_along([part])[0]
        and side.span_along([part])[1] <= edges_mm[1] + TOLERANCE_MM
    ]
    return lying_along(
        building,
        moved,
        front,
        bearing,
        supports_mm=(max(low, ends[0]), min(high, ends[1])),
        bearing_mm=DECK_EDGE_MM,
        impact=ON_ROAD,
    )


def _at(move: Move, into_mm: float) -> float:
    """A place away from the side, as an X of the building's frame."""
    return SIDES[move.side].into_sign * into_mm
