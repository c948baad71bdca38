"""What is carried from the truck to the pile, and in how many loads.

    carrying(building) -> tuple[StageCarrying, ...]     stages with something to carry, in order

Boards, metal and other pieces are carried as they are cut in the end, without offcuts, those of one
stock in bundles; sheets, rolls and bags whole. What the truck pours, and fasteners, mesh, bars,
forms and paint, are left out. Every mass is the high one.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import assert_never

from pikepole_export.derive.buying.amounts import Amount, Thing, whole
from pikepole_export.derive.buying.supplies import ordered
from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.lifting.hands import (
    TEAM,
    Lifter,
    guideline_kg,
    lifter_of,
    team_factor,
)
from pikepole_export.derive.lifting.labour import Hours
from pikepole_export.derive.lifting.rolling import CART_KG, rolled_kg
from pikepole_model.building.kind_rows import Cut, Handled
from pikepole_model.building.part import Building, Part, Stage
from pikepole_model.scene.crew import Crew, Delivery

# Walking speed in scope of ISO 11228-1:2021, clause 1, m/s: slow and fast.
WALK_M_S = (0.5, 1.0)
# To take a load up and set it down, minutes, at the least and at the most; and the floor of a
# truck, mm. Common practice, no source.
TAKE_UP_MIN = (0.5, 1.0)
TRUCK_MM = 900.0
# A load is held against the body. The figures hold so for about 10 m without a rest, and for
# pushing over about 20 m. Source: HSE INDG143.
REACH_MM = 250.0
TWO_WHEELS = "two-wheel truck"
REST_M = {"hand": 10.0, TWO_WHEELS: 20.0, "wheelbarrow": 20.0}
# The share of the load that hands carry, and how high they hold it, mm; and the longest thing that
# goes on wheels, mm. Common practice, no source.
HANDLES_SHARE = {TWO_WHEELS: 0.0, "wheelbarrow": 1 / 3}
HANDLES_MM = 800.0
LONGEST_MM = {TWO_WHEELS: 2440.0, "wheelbarrow": 1500.0}
# One pushes, or one pushes and one pulls; a barrow has room for one.
AT_WHEELS = {TWO_WHEELS: (1, 2), "wheelbarrow": (1,)}
# What hands have of a load: all of it, or one end while the other lies on the ground.
BY_ENDS = "end by end"
_BY_HAND = {"hand": 1.0, BY_ENDS: 0.5}


@dataclass(frozen=True, slots=True)
class Carried:
    """Loads of one sort of thing that as many people carry in the same way.

    Attributes:
        what: "2x4", "7/16 OSB", "gravel".
        pieces: How many; None for what is loose.
        mass_kg: All together, kg.
        way: "hand", "two-wheel truck", "wheelbarrow" or "end by end".
        people: How many carry a load; None where it is above the guideline in every way.
        loads: How many, one walk each.
        heaviest_kg: The heaviest of them, kg.
        limit_kg: What the guideline gives so many people, or the most that it gives any, kg.
    """

    what: str
    pieces: int | None
    mass_kg: float
    way: str
    people: int | None
    loads: int
    heaviest_kg: float
    limit_kg: float


@dataclass(frozen=True, slots=True)
class StageCarrying:
    """What a stage has carried.

    Attributes:
        stage: Its number.
        name: Its name.
        carried: Row by row.
        hours: What it takes one person after the other, in hours of one person.
        elapsed_h: Hours that go by at the most, the crew carrying together.
    """

    stage: int
    name: str
    carried: tuple[Carried, ...]
    hours: Hours
    elapsed_h: float

    @property
    def mass_kg(self) -> float:
        """All together, kg."""
        return sum(row.mass_kg for row in self.carried)

    @property
    def loads(self) -> int:
        """How many walks."""
        return sum(row.loads for row in self.carried)


@dataclass(frozen=True, slots=True)
class _Thing:
    """Things of one sort that arrive for a stage.

    Attributes:
        what: What they are.
        masses_kg: Of each, kg.
        length_mm: Of the longest, mm.
        loose: Whether they are one heap that can be parted anyhow.
    """

    what: str
    masses_kg: tuple[float, ...]
    length_mm: float
    loose: bool = False


def carrying(building: Building) -> tuple[StageCarrying, ...]:
    """What is carried for each stage, from the truck to the pile."""
    scene = building.scene
    longest_mm = LONGEST_MM.get(scene.delivery.way, math.inf)
    whole_ones: dict[int, list[_Thing]] = defaultdict(list)
    # Nothing is ordered by amounts where all is pieces.
    by_amount = (Handled.ROLL, Handled.IN_PLACE)
    has_some = any(part.kind.row.handled in by_amount for part in building.parts)
    for amount in ordered(building) if has_some else ():
        thing = _supplied(building, amount)
        if thing is not None:
            whole_ones[min(part.stage for part in amount.parts)].append(thing)
    for number, thing in _sheets(building):
        whole_ones[number].append(thing)
    found: list[StageCarrying] = []
    for stage in building.stages:
        things = (*whole_ones[stage.number], *_pieces(building.handled_in(stage), longest_mm))
        rows = tuple(row for thing in things for row in _carried(thing, scene.delivery, scene.crew))
        if rows:
            found.append(_stage(stage, rows, scene.delivery.walk_mm(scene.units), scene.crew))
    return tuple(found)


def trip_hours(distance_mm: float) -> Hours:
    """There and back, taken up and set down: at the least and at the most."""
    slow, fast = (2 * distance_mm / 1000 / speed / 3600 for speed in WALK_M_S)
    least, most = TAKE_UP_MIN
    return Hours(fast + least / 60, slow + most / 60)


def limit_kg(way: str, people: int, delivery: Delivery, lifter: Lifter) -> float:
    """The heaviest load that the guideline gives so many people, kg.

    Off the truck onto the pile by hand, through all zones in between, all of it or one end at a
    time; on wheels one pushes, and carries a share of it by the handles.

    Args:
        way: "hand", "two-wheel truck", "wheelbarrow" or "end by end".
        people: 1 to 3.
        delivery: How high the pile is.
        lifter: Whose column counts.
    """
    if way in _BY_HAND:
        one_kg = guideline_kg(lifter, TRUCK_MM, delivery.pile_height, REACH_MM)
        return one_kg * people * float(team_factor(people)) / _BY_HAND[way]
    pushed_kg = rolled_kg(people, lifter)
    share = HANDLES_SHARE[way]
    held_kg = guideline_kg(lifter, HANDLES_MM, HANDLES_MM, REACH_MM)
    return min(pushed_kg, held_kg / share - CART_KG) if share else pushed_kg


def _stage(stage: Stage, rows: tuple[Carried, ...], walk_mm: float, crew: Crew) -> StageCarrying:
    trip = trip_hours(walk_mm)
    people = [(row, row.people or max(TEAM)) for row in rows]
    hours = trip * sum(row.loads * count for row, count in people)
    elapsed = sum(row.loads * trip.high * count / max(count, crew.people) for row, count in people)
    return StageCarrying(stage.number, stage.name, rows, hours, elapsed)


def _supplied(building: Building, amount: Amount) -> _Thing | None:
    """What comes by rolls, bags or loose; None for what nobody carries, or is not counted."""
    scene, buy = building.scene, amount.buy or 0.0
    match amount.thing:
        case Thing.ROLL:
            roll = scene.catalogue.find_roll(amount.item)
            each_kg = roll.mass_kg_m2 * roll.width_mm * roll.length_mm / 1e6
            return _Thing(amount.item, (each_kg,) * math.ceil(buy), roll.width_mm)
        case Thing.BAGGED_MIX:
            return _Thing(amount.item, (scene.concrete.bag,) * math.ceil(buy), 0.0)
        case Thing.GRAVEL:
            mass_kg = buy / 1e9 * amount.parts[0].material.density_kg_m3[2]
            return _Thing(amount.item, (mass_kg,), 0.0, loose=True)
        case (
            Thing.EXCAVATION
            | Thing.SOIL
            | Thing.FORM_BOARDS
            | Thing.FORM_TUBE
            | Thing.READY_MIX
            | Thing.VAPOUR_RETARDER
            | Thing.MESH
            | Thing.CURING_COMPOUND
            | Thing.BAR
            | Thing.CONTROL_JOINT
            | Thing.SEAM_TAPE
            | Thing.SEALANT
            | Thing.ADHESIVE
            | Thing.CLOSURE
            | Thing.SHIMS
            | Thing.CHALK
            | Thing.PRESERVATIVE
            | Thing.PRIMER
            | Thing.PAINT
            | Thing.CHOICE
        ):
            return None
        case _:
            assert_never(amount.thing)


def _pieces(parts: Sequence[Part], longest_mm: float) -> Iterator[_Thing]:
    """Boards, metal, windows and blocks, by their stock; those over a length by themselves."""
    alike: dict[tuple[str, bool], list[Part]] = defaultdict(list)
    for part in parts:
        match part.kind.row.handled:
            case (
                Handled.STICK
                | Handled.POST
                | Handled.SHEET
                | Handled.ROOFING
                | Handled.LOFT_DECK
                | Handled.UNIT
            ):
                if part.kind.row.cut is not Cut.SHEET:
                    what = f"{part.stock}, treated" if part.material.treated else part.stock
                    alike[what, part.length_mm > longest_mm].append(part)
            case Handled.ROLL | Handled.IN_PLACE | Handled.THERE:
                pass
            case _:
                assert_never(part.kind.row.handled)
    for (what, _), same in alike.items():
        masses = tuple(part_mass(part).high_kg for part in same)
        yield _Thing(what, masses, max(part.length_mm for part in same))


def _sheets(building: Building) -> Iterator[tuple[int, _Thing]]:
    """Whole sheets with the stage that begins them, as many as their area takes so far."""
    used: dict[str, float] = defaultdict(float)
    for stage in building.stages:
        alike: dict[str, list[Part]] = defaultdict(list)
        for part in stage.parts:
            if part.kind.row.cut is Cut.SHEET:
                alike[part.stock].append(part)
        for stock, parts in alike.items():
            sheet = building.scene.sheet_stock(stock)
            face_mm2 = sheet.length_mm * sheet.width_mm
            before = used[stock]
            used[stock] += sum(p.length_mm * p.across_mm[1] for p in parts) / face_mm2
            count = whole(used[stock]) - whole(before)
            density_kg_m3 = max(part.material.density_kg_m3[2] for part in parts)
            mass_kg = face_mm2 * sheet.thickness_mm / 1e9 * density_kg_m3
            if count:
                yield stage.number, _Thing(stock, (mass_kg,) * count, sheet.length_mm)


def _carried(thing: _Thing, delivery: Delivery, crew: Crew) -> Iterator[Carried]:
    """In loads as heavy as the guideline gives, with as few people as that takes.

    What the scene's way will not do for goes by hand, then on wheels, then one end at a time.
    """
    lifter = lifter_of(crew)
    if thing.loose:
        (mass_kg,) = thing.masses_kg
        way = "wheelbarrow" if delivery.way == "hand" else delivery.way
        most_kg = limit_kg(way, 1, delivery, lifter)
        loads = math.ceil(mass_kg / most_kg)
        yield Carried(thing.what, None, mass_kg, way, 1, loads, min(mass_kg, most_kg), most_kg)
        return
    left = sorted(thing.masses_kg, reverse=True)
    most_kg = 0.0
    # A bag or a block has no ends.
    last = BY_ENDS if thing.length_mm > LONGEST_MM[TWO_WHEELS] else TWO_WHEELS
    for way in dict.fromkeys((delivery.way, "hand", last)):
        if thing.length_mm > LONGEST_MM.get(way, math.inf):
            continue
        for people in AT_WHEELS.get(way, tuple(TEAM)):
            most_kg = limit_kg(way, people, delivery, lifter)
            fit = [mass_kg for mass_kg in left if mass_kg <= most_kg]
            left = [mass_kg for mass_kg in left if mass_kg > most_kg]
            if fit:
                # Only one thing is walked end by end at a time.
                loads = [[kg] for kg in fit] if way == BY_ENDS else _bundles(fit, most_kg)
                heaviest = max(map(sum, loads))
                yield Carried(
                    thing.what, len(fit), sum(fit), way, people, len(loads), heaviest, most_kg
                )
    if left:
        yield Carried(thing.what, len(left), sum(left), last, None, len(left), left[0], most_kg)


def _bundles(masses_kg: Sequence[float], most_kg: float) -> list[list[float]]:
    """Loads of at most so much: each thing, the heaviest first, into the first that has room."""
    loads: list[list[float]] = []
    for mass_kg in masses_kg:
        load = next((one for one in loads if sum(one) + mass_kg <= most_kg), None)
        if load is None:
            loads.append([mass_kg])
        else:
            load.append(mass_kg)
    return loads
