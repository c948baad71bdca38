"""Posts that knee braces hold upright: wind along their beams, in the braces and in the posts.

sways_of(paths) -> {post: Sway}                 what each post with braces takes
brace_checks(paths, woods, joints) -> checks    braces pushed, and pulled at their ends

Posts are taken as hinged at foot and beam and to share the wind on their roof evenly, whatever else
holds it. Source: equilibrium of a post, any textbook of statics.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from pikepole_export.derive.strength import dowels, nds, wind
from pikepole_export.derive.strength.bays import BRACES
from pikepole_export.derive.strength.check import Check, Measured, Number, Rule
from pikepole_export.derive.strength.column import least_modulus, slenderness
from pikepole_export.derive.strength.combinations import WIND_ALONE
from pikepole_export.derive.strength.fixings import Joints, bought, yielding
from pikepole_export.derive.strength.frame import Member
from pikepole_export.derive.strength.members import Found, Woods
from pikepole_export.derive.strength.nds import Duration
from pikepole_export.derive.strength.paths import Paths
from pikepole_export.derive.strength.roofs import KN_M2, RAFTERS, is_free
from pikepole_export.derive.strength.section import Section
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part

_COS = math.cos(math.radians(45))  # of a brace, which stands at that


@dataclass(frozen=True, slots=True)
class Sway:
    """A post under wind along its beam.

    Attributes:
        post: It.
        braces: Those that run up from it.
        area_mm2: Of its roof, seen along the beam.
        posts: With braces, that share the wind on that.
        pressure: kN/m2.
        high_mm: From its foot to the beam.
        below_mm: From its foot to where the braces meet it.
    """

    post: Part
    braces: tuple[Part, ...]
    area_mm2: float
    posts: int
    pressure: float
    high_mm: float
    below_mm: float

    @property
    def push_n(self) -> float:
        """V, at its top."""
        return self.pressure * KN_M2 * self.area_mm2 / self.posts

    @property
    def moment_n_mm(self) -> float:
        """In the post, where the braces meet it."""
        return self.push_n * self.below_mm

    @property
    def brace_n(self) -> float:
        """Along each of its braces, one pushed and one pulled where there are two."""
        above_mm = self.high_mm - self.below_mm
        return self.push_n * self.high_mm / above_mm / _COS / len(self.braces)


def sways_of(paths: Paths) -> dict[str, Sway]:
    """Each post with braces, by its name."""
    members = paths.members
    bays: defaultdict[str, list[Part]] = defaultdict(list)
    for part in members.parts.values():
        if part.kind in BRACES:
            # A building on posts sways as one, each bay by itself.
            bays["" if members.building.scene.posts else part.label].append(part)
    found: dict[str, Sway] = {}
    for braces in bays.values():
        standing: defaultdict[str, list[Part]] = defaultdict(list)
        beams: dict[str, Member] = {}
        for brace in braces:
            for mate in members.mates(brace):
                if mate.kind is Kind.POST:
                    standing[mate.name].append(brace)
                elif mate.kind is Kind.BEAM:
                    beams[brace.name] = members.by_part[mate.name]
        area_mm2 = _seen_mm2(paths, list(beams.values()))
        for name, own in standing.items():
            post, beam = members.parts[name], beams.get(own[0].name)
            if beam is not None:
                foot_mm = post.bounds_mm[0][2]
                high_mm = min(one.bounds_mm[0][2] for one in beam.wooden) - foot_mm
                below_mm = min(_meets_mm(brace, post) for brace in own) - foot_mm
                found[name] = Sway(
                    post,
                    tuple(own),
                    area_mm2,
                    len(standing),
                    wind.wall_push(paths.climate.open_q),
                    high_mm,
                    below_mm,
                )
    return found


def _seen_mm2(paths: Paths, beams: Sequence[Member]) -> float:
    """Of beams and the free roof on them, seen along the beams."""
    names = {beam.name for beam in beams}
    roof = [
        rafter
        for rafter in paths.members.of(*RAFTERS)
        if is_free(paths.members, rafter)
        and any(
            paths.members.by_part[part.name].name in names
            for one in paths.supports.bearings[rafter.name]
            for part in one.parts
            if part.name in paths.members.by_part
        )
    ]
    parts = [part for member in (*beams, *roof) for part in member.wooden]
    points = np.concatenate([part.vertices_mm for part in parts])
    return float(shapely.MultiPoint(points[:, [1, 2]]).convex_hull.area)


def _meets_mm(brace: Part, post: Part) -> float:
    """How high the middle line of a brace meets that of its post, mm."""
    (x, _, z), (at, _, _) = brace.centre_mm, post.centre_mm
    return z - abs(x - at)


def brace_checks(paths: Paths, woods: Woods, joints: Joints) -> Iterator[Found]:
    """Every brace, pushed or pulled by wind along its beam."""
    for sway in sways_of(paths).values():
        shared = (
            Number("V", sway.push_n, Measured.FORCE),
            Number("wall pressure", sway.pressure, Measured.LOAD),
            Number("its area", sway.area_mm2, Measured.FACE),
            Number("posts", sway.posts, Measured.COUNT),
            Number("h, foot to beam", sway.high_mm, Measured.LENGTH),
            Number("a, brace to beam", sway.high_mm - sway.below_mm, Measured.LENGTH),
            Number("its braces", len(sway.braces), Measured.COUNT),
        )
        for brace in sway.braces:
            label = brace.label or brace.name
            pushed = _pushed(woods, brace, sway, shared)
            if pushed is not None:
                yield Found(label, brace.name, pushed)
            yield Found(label, brace.name, _joint(woods, joints, brace, sway, shared))


def _pushed(woods: Woods, brace: Part, sway: Sway, shared: tuple[Number, ...]) -> Check | None:
    low, high = sorted(brace.section_mm or (0.0, 0.0))
    section = Section(low, high)
    lumber = woods.lumber(brace, section)
    if lumber is None:
        return None
    slender = slenderness(section, unbraced_mm=(brace.length_mm, brace.length_mm))
    may = nds.compression(lumber, Duration.WIND, slenderness=slender)
    force = Number("P", 0.6 * sway.brace_n, Measured.FORCE)
    area = Number("A", section.area_mm2, Measured.AREA)
    return Check(
        member=brace.name,
        rule=Rule.COMPRESSION,
        combination=WIND_ALONE,
        demand=force.value / area.value,
        capacity=may.value_n_mm2,
        measured=Measured.STRESS,
        formula="fc = P / A, P = 0.6 V h / (a cos 45 x its braces)",
        numbers=(force, area, least_modulus(lumber, Duration.WIND), *shared),
        clause="NDS 3.6.3, 3.7.1; ASCE 7-16 27.1.5, as on a wall",
        value=may,
    )


def _joint(
    woods: Woods, joints: Joints, brace: Part, sway: Sway, shared: tuple[Number, ...]
) -> Check:
    """By what fixes it to its post; it pulls as hard as it pushes."""
    held_n, pieces, of_one, names = 0.0, 0, (), dict[str, None]()
    wet = dowels.WET if sway.post.material.treated or brace.material.treated else 1.0
    for one in joints.between([brace], [sway.post]):
        nail, bolt_mm = bought(one).nail_mm, bought(one).bolt_mm
        if nail:
            dowel, limit = dowels.nail(nail[1]), f"toe-nails, Ctn {dowels.TOE_LATERAL:g}"
            depths, factor = dowels.toe_beds_mm(nail[0]), dowels.TOE_LATERAL
        elif bolt_mm:
            dowel, limit, factor = dowels.bolt(bolt_mm), "bolts in single shear", 1.0
            depths = min(brace.across_mm), min(sway.post.across_mm)
        else:
            continue
        # Across the grain of the post, which it meets at 45 degrees: the less of both.
        side = dowels.wood(woods.gravity(brace), dowel, thick_mm=depths[0])
        main = dowels.wood(woods.gravity(sway.post), dowel, thick_mm=depths[1], across=True)
        z, of_one = yielding(dowel, side=side, main=main)
        held_n += one.pieces * z * factor
        pieces += one.pieces
        names[limit] = None
    cd = Duration.WIND.value
    return Check(
        member=brace.name,
        rule=Rule.JOINT,
        combination=WIND_ALONE,
        demand=0.6 * sway.brace_n,
        capacity=held_n * cd * wet,
        measured=Measured.FORCE,
        formula="0.6 V h / (a cos 45 x its braces)",
        numbers=(
            *shared,
            Number("n", pieces, Measured.COUNT),
            *of_one,
            Number("n Z", held_n, Measured.FORCE),
        ),
        clause="NDS 12.3.1, 12.5.4, Table 11.3.3",
        limit=f"n Z, {' and '.join(names) or 'nothing'}, x CD {cd:g} x CM {wet:g}",
        place=f"at {sway.post.name}",
    )
