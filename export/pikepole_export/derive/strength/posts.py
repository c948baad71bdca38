"""What wind draws up on posts: beams off their tops, and posts off their bases.

post_checks(paths, woods, joints) -> checks

A beam in a notch is held by the bolts through the post's tongue, by the NDS; caps and bases are
bought, and count by the rating that the scene gives them.
"""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.strength import dowels
from pikepole_export.derive.strength.check import Check, Measured, Number
from pikepole_export.derive.strength.combinations import UPLIFT, Load
from pikepole_export.derive.strength.fixings import WIND, Joints, bought, drawn_up, lifted, yielding
from pikepole_export.derive.strength.frame import Member
from pikepole_export.derive.strength.members import Found, Woods
from pikepole_export.derive.strength.paths import Paths
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part
from pikepole_model.units import INCH_MM, STANDARD_GRAVITY_M_S2

# By whom a bought piece of steel is rated.
_BY_MAKER = "by its maker; none is assumed"


def post_checks(paths: Paths, woods: Woods, joints: Joints) -> Iterator[Found]:
    """Every beam on posts, every cap and every base."""
    for beam in paths.members.of(Kind.BEAM):
        for check in _on_posts(paths, woods, joints, beam):
            yield Found(beam.name, beam.name, check)
        for check in _in_caps(paths, beam):
            yield Found(f"{beam.name} in its caps", beam.name, check)
    for part in paths.members.parts.values():
        if part.kind is Kind.POST:
            for check in _on_base(paths, part):
                yield Found(f"{part.label or part.name} on its base", part.name, check)


def _on_posts(paths: Paths, woods: Woods, joints: Joints, beam: Member) -> Iterator[Check]:
    """A beam on posts that are notched for it, by the bolts through their tongues."""
    for held, loads in lifted(paths, beam):
        posts = [part for part in held.bearing.parts if part.kind is Kind.POST]
        bolts = [one for one in joints.between(posts, beam.parts) if bought(one).bolt_mm]
        if not bolts:
            continue
        bolt = dowels.bolt(bought(bolts[0]).bolt_mm or 0.0)
        post, count = posts[0], sum(one.pieces for one in bolts)
        wide_mm = sum(
            {round(part.centre_mm[1]): min(part.across_mm) for part in beam.parts}.values()
        )
        tongue_mm = max(max(post.across_mm) - wide_mm, INCH_MM / 2)
        plies_mm = beam.section.breadth_mm * beam.section.plies
        side = dowels.wood(woods.gravity(beam.first), bolt, thick_mm=plies_mm, across=True)
        main = dowels.wood(woods.gravity(post), bolt, thick_mm=tongue_mm)
        z, of_bolt = yielding(bolt, side=side, main=main)
        yield drawn_up(
            beam.name,
            loads,
            UPLIFT,
            count * z * WIND * dowels.WET,
            numbers=(
                Number("n", count, Measured.COUNT),
                *of_bolt,
            ),
            clause="NDS 12.3.1, Table 11.3.3",
            limit=f"bolts through the post's tongue, n Z x CD {WIND:g} x CM {dowels.WET:g}",
            at_mm=held.at_mm,
            place=f"on {post.name}",
        )


def _in_caps(paths: Paths, beam: Member) -> Iterator[Check]:
    rating_kg = paths.members.building.scene.ties.cap_rating
    for held, loads in lifted(paths, beam):
        caps = [part for part in held.bearing.parts if part.kind is Kind.POST_CAP]
        if caps:
            yield drawn_up(
                beam.name,
                loads,
                UPLIFT,
                len(caps) * (rating_kg or 0.0) * STANDARD_GRAVITY_M_S2,
                numbers=(),
                clause="ASCE 7-16 C2.4.1",
                limit=f"rating of the cap, {_BY_MAKER}",
                key="ties.cap_rating",
                rated=("ties.cap_rating", len(caps)),
                at_mm=held.at_mm,
                place=f"in {caps[0].name}",
            )


def _on_base(paths: Paths, post: Part) -> Iterator[Check]:
    bases = [part for part in paths.members.mates(post) if part.kind is Kind.POST_BASE]
    loads = paths.carried(post)
    own = part_mass(post).likely_kg * STANDARD_GRAVITY_M_S2
    loads = {**loads, Load.DEAD: loads.get(Load.DEAD, 0.0) + own}
    if bases and UPLIFT.of(loads) < 0:
        rating_kg = paths.members.building.scene.ties.base_rating
        yield drawn_up(
            post.name,
            loads,
            UPLIFT,
            (rating_kg or 0.0) * STANDARD_GRAVITY_M_S2,
            numbers=(),
            clause="ASCE 7-16 C2.4.1",
            limit=f"rating of the base, {_BY_MAKER}",
            key="ties.base_rating",
            rated=("ties.base_rating", 1),
            place=f"off {bases[0].name}",
        )
