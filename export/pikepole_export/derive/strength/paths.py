"""What presses on each member and each upright of a frame, and what each passes on.

Paths(members, climate)     kept while loads find their way down (`descent`)
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.strength.beam import Force, analyse_each
from pikepole_export.derive.strength.climate import Climate
from pikepole_export.derive.strength.combinations import Load
from pikepole_export.derive.strength.frame import UPRIGHT, Member, Members
from pikepole_export.derive.strength.lever import shares_of
from pikepole_export.derive.strength.roofs import KN_M2, RAFTERS, roof_loads, strips
from pikepole_export.derive.strength.supports import POST_METAL, Held, Supports
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part
from pikepole_model.units import STANDARD_GRAVITY_M_S2

Loads = dict[Load, float]
# What a member weighs with its plies, on its own sheet.
ITSELF = "itself"
# Under this share, that of rounding, nothing is passed on.
NO_SHARE = 1e-12


@dataclass(frozen=True, slots=True)
class Push:
    """What presses on something in a place, plumb, N, down above zero.

    Attributes:
        point: Where, on the level.
        loads: How much, by what brings it.
        by: What presses there: a piece, or a beam.
    """

    point: tuple[float, float]
    loads: Mapping[Load, float]
    by: str

    def times(self, share: float) -> Push:
        """A share of it."""
        loads = {load: force * share for load, force in self.loads.items()}
        return Push(self.point, loads, self.by)


@dataclass
class Paths:
    """What presses where, put together from the top down.

    Attributes:
        members: Of the building.
        climate: Of its site.
        on_member: What was put on each member, by its name.
        on_part: What was put on each upright and post, by its name.
        on_wall: What was put on each wall's plates, by its group.
        lost: What bears on nothing that is known, with the reason.
        borne: What the supports of each member that is settled bear of each load, plumb, N.
        thrust: How hard each rafter that leans on a ridge board pushes level, N, by its name.
    """

    members: Members
    climate: Climate
    on_member: dict[str, list[Push]] = field(default_factory=lambda: defaultdict(list))
    on_part: dict[str, list[Push]] = field(default_factory=lambda: defaultdict(list))
    on_wall: dict[str, list[Push]] = field(default_factory=lambda: defaultdict(list))
    lost: dict[str, str] = field(default_factory=dict)
    borne: dict[str, dict[Load, tuple[float, ...]]] = field(default_factory=dict)
    thrust: dict[str, Loads] = field(default_factory=dict)

    @cached_property
    def supports(self) -> Supports:
        """Where its members are held."""
        return Supports(self.members)

    @cached_property
    def widths(self) -> dict[str, float]:
        """What each rafter and joist carries across it, mm."""
        rafters = strips(self.members.of(*RAFTERS))
        joists = strips(self.members.of(Kind.JOIST))
        return rafters | joists | strips(self.members.of(Kind.LOFT_JOIST))

    def held(self, member: Member) -> tuple[Held, ...]:
        """Its supports, rising."""
        return self.supports.by_member[member.name]

    def loads(self, member: Member) -> dict[Load, list[Force]]:
        """All on a member, square to it, N."""
        found: defaultdict[Load, list[Force]] = defaultdict(list)
        length = member.length_mm
        own = sum(part_mass(part).likely_kg for part in member.parts) * STANDARD_GRAVITY_M_S2
        found[Load.DEAD].append(Force(0, length, own / member.steepness, ITSELF))
        width = self.widths.get(member.name, 0.0)
        area = KN_M2 * width * length
        climate = self.climate
        if member.kind in RAFTERS:
            past = self._past_walls(member)
            on_roof = roof_loads(self.members, member, width, climate, past_mm=past)
            for load, forces in on_roof.items():
                found[load] += forces
        elif member.kind is Kind.JOIST:
            found[Load.DEAD].append(Force(0, length, climate.floor_dead * area, "floor"))
            found[Load.LIVE].append(Force(0, length, climate.site.floor_live * area, "floor"))
        elif member.kind is Kind.LOFT_JOIST:
            found[Load.DEAD].append(Force(0, length, climate.loft_dead * area, "loft"))
            found[Load.LIVE].append(Force(0, length, climate.loft_live * area, "loft"))
        for push in self.on_member[member.name]:
            at = min(max(member.at(push.point), 0.0), length)
            for load, force in push.loads.items():
                found[load].append(Force(at, at, force / member.steepness, push.by))
        return dict(found)

    def carried(self, part: Part) -> Loads:
        """What an upright or a post carries, N, without itself."""
        return summed(self.on_part[part.name])

    def standing_in(self, group: str) -> dict[Load, list[Force]]:
        """What the uprights of a wall carry, N, each by its name."""
        found: defaultdict[Load, list[Force]] = defaultdict(list)
        for part in self.members.parts.values():
            if part.group == group and part.kind in UPRIGHT:
                for load, force in self.carried(part).items():
                    found[load].append(Force(0, 0, force, part.name))
        return dict(found)

    def _past_walls(self, member: Member) -> list[tuple[float, float]]:
        """From where to where a rafter hangs out past its bearings; a fly rafter does all along."""
        held = self.held(member)
        if member.kind is Kind.FLY_RAFTER or not held:
            return [(0.0, member.length_mm)]
        first, last = held[0].bearing.from_mm, held[-1].bearing.to_mm
        ends = (0.0, first), (last, member.length_mm)
        return [(low, high) for low, high in ends if high > low + 1]

    def settle(self, member: Member) -> None:
        """Put what a member carries on what bears it."""
        held = self.held(member)
        if len(held) < 2:
            self.lost[member.name] = "it has no two bearings that are known"
            return
        pushes: list[Loads] = [{} for _ in held]
        self.borne[member.name] = self._reactions(member)
        for load, forces in self.borne[member.name].items():
            for push, force in zip(pushes, forces, strict=True):
                push[load] = force
        thrust = _lean(held, pushes)
        if thrust:
            # Moments about the foot: as much times the rise as the ridge had times the run.
            run_per_rise = 1 / math.tan(math.radians(member.slope_deg))
            self.thrust[member.name] = {
                load: force * run_per_rise for load, force in thrust.items()
            }
        for one, push in zip(held, pushes, strict=True):
            self._put(one, Push(member.point(one.at_mm), push, member.name))

    def stand(self, part: Part, push: Push) -> None:
        """Put it on an upright; where that stands on a header, on the header."""
        x, y, _ = part.centre_mm
        for other in self.members.mates(part):
            on_top = part.bounds_mm[0][2] > other.bounds_mm[1][2] - 5
            if other.kind is Kind.HEADER and on_top:
                header = self.members.by_part[other.name]
                self.on_member[header.name].append(Push((x, y), push.loads, part.name))
                return
        self.on_part[part.name].append(Push((x, y), push.loads, push.by))

    def stand_between(self, uprights: Mapping[float, Part], at_mm: float, push: Push) -> None:
        """Put it on the two uprights that it is between, by the lever rule.

        Args:
            uprights: By their places along a wall, mm.
            at_mm: Where it presses; past the last it is that one's.
            push: What presses.
        """
        places = sorted(uprights)
        at_mm = min(max(at_mm, places[0]), places[-1])
        for place, share in zip(places, shares_of(places, at_mm, at_mm), strict=True):
            if share > NO_SHARE:
                self.stand(uprights[place], push.times(share))

    def _reactions(self, member: Member) -> dict[Load, tuple[float, ...]]:
        """What each of its supports bears of each load, plumb, N."""
        loads = self.loads(member)
        # Reactions of a prismatic beam do not depend on its stiffness.
        found = analyse_each(
            list(loads.values()),
            length_mm=member.length_mm,
            supports_mm=[one.at_mm for one in self.held(member)],
            stiffness_n_mm2=1e9,
            hinges_mm=self.supports.hinges(member),
        )
        return {
            load: plumb(member, load, one.reactions_n)
            for load, one in zip(loads, found, strict=True)
        }

    def _put(self, held: Held, push: Push) -> None:
        part = held.part
        if part.kind not in UPRIGHT:
            for one in held.bearing.parts:
                below = self.members.by_part.get(one.name)
                if below is not None:
                    self.on_member[below.name].append(push)
                    return
        if part.kind in POST_METAL:
            part = next((one for one in self.members.mates(part) if one.kind is Kind.POST), part)
        beside = [one for one in held.bearing.parts if one.kind is part.kind]
        if part.kind is Kind.TOP_PLATE:
            self.on_wall[part.group].append(push)
        elif part.kind not in UPRIGHT:
            self.on_part[part.name].append(push)
        elif part not in beside:
            self.stand(part, push)
        else:
            for one in beside:
                self.stand(one, push.times(1 / len(beside)))


def summed(pushes: Iterable[Push]) -> Loads:
    """All of several together, N."""
    found: Loads = {}
    for push in pushes:
        for load, force in push.loads.items():
            found[load] = found.get(load, 0.0) + force
    return found


def plumb(member: Member, load: Load, square_n: Sequence[float]) -> tuple[float, ...]:
    """Reactions square to a member as they press plumb on what bears it, N.

    What weighs hangs plumb; wind goes square to the slope, of which the rest goes along.
    """
    wind = load in (Load.WIND, Load.UPLIFT, Load.LIFT)
    factor = 1 / member.steepness if wind else member.steepness
    return tuple(force * factor for force in square_n)


def _lean(held: Sequence[Held], pushes: list[Loads]) -> Loads:
    """Rafters against a ridge board hold each other up: each has all of itself at its foot.

    Two that lean on each other push level there alone. Source: statics of a pair of rafters under
    even loads on both.

    Returns:
        What a beam there would have borne; nothing where there is one, or no ridge.
    """
    leaned: Loads = {}
    for number, one in enumerate(held):
        if one.part.kind is Kind.RIDGE_BOARD:
            feet = [k for k in range(len(held)) if k != number]
            foot = min(feet, key=lambda k: abs(k - number))
            for load, force in pushes[number].items():
                pushes[foot][load] = pushes[foot].get(load, 0.0) + force
            leaned = pushes[number]
            pushes[number] = {}
    return leaned
