"""The lopsided hut counted piece by piece, as a carpenter would on paper. Inches throughout.

10 ft long, 6 ft deep, one bay of 3 ft on the left; roof 2 in 12 down to the back. On centre means
from the building's left end, or from its front along the side walls: a first piece flush, then 16,
32 ... to the centre of the others, a last piece flush (common practice, no source).

    foundation   gravel bed 1, skids 3; bay: 2 posts, on 2 footings in 2 post bases
    floor        joists at 0, 16, 32, 48, 64, 80, 96, 112 and the end: 9; a block in each of the 8
                 gaps; front and back rim: 2
    floor deck   rows 48 and 24 deep. First row 96 + 24 (96 is a joist): 2 sheets. Second row
                 starts with a half: 48 (a joist) + 72: 2 sheets
    front wall   on centre 16 ... 112: 7. The door from 30 to 64 with jacks and kings is 27 to 67:
                 32, 48 and 64 go. 4 left and 2 ends: 6 studs; 2 corner studs; 2 kings, 2 jacks;
                 cripples over the door at 32 and 48, none at 64, 3/4 in beside the king: 2; header
                 of 2 plies and 1 spacer (the wall is 3-1/2: 1-1/2 + 1/2 + 1-1/2); plate in 2
                 lengths either side of the door; 2 top plates
    back wall    7 and 2 ends: 9 studs; 2 corner studs; 1 plate; 2 top plates
    left wall    between the others, 3-1/2 to 68-1/2: on centre 16, 32, 48, 64 and 2 ends: 6 studs;
                 1 plate; 2 top plates
    right wall   same, and a window from 20 to 44, with jacks and kings 17 to 47: 32 goes. 3 and 2
                 ends: 5 studs; 2 kings, 2 jacks; 1 cripple over the header at 32; under the sill
                 2 ends and 32: 3; header 2 + 1; 1 sill; 1 plate; 2 top plates
    beams        156 long, 2 plies of one length and a spacer of sheet 96 long at most, 2 lengths;
                 twice: 4 plies, 4 spacers
    rafters      roof from -36 to 120, 24 apart: -36, -12, 12, 36, 60, 84, 108, end, and one over
                 the left wall: 9, of them 2 end rafters; a block in 8 gaps over 2 bearings: 16
    rakes        2 fly rafters; lookouts along (72 + 10 + 6) x 12.166/12 = 89.2 of slope, not over
                 24 apart, the first and last near the ends: 84 in 4 gaps: 5; both ends: 10; over
                 the right wall, where the roof ends, a block in each of the 4 gaps between them
    ties         rafters less those over the left and the right wall's plates, 7, on 2 bearings: 14
                 tie-downs. Straps from the beams down to studs beside which no rafter is tied, the
                 first and the last, and 48 apart at most between: in front of 16, 27.75 (a king),
                 66.25 (the other) ... 112: 16, 27.75 (66.25 is 50.25 from 16), 66.25 (112 less
                 27.75 is 84.25) and 112 (45.75 from 66.25): 4; behind of 8 and 24 ... 104, as seen
                 from its own left end: 8, 56 and 104: 3
                 At each skid its first joist, 48, 96 and its last are no more than 48 apart: 4
                 floor ties on each
    anchors      12 from the ends of the outer skids, 96 from each other: 2 beside each: 4
    roof deck    rows 48 and 41.2 deep, 172 long, from the right end at 128. Rafters lie 8.75, 20,
                 44, 68, 92, 116, 127.25, 140, 163.25 from there. First row 92 + 80: 2 sheets;
                 second starts with a half: 44 + 96 + 32: 3 sheets

The floor is 5-1/2 + 5-1/2 + 23/32 = 11.72 over the ground. Wall sheets start 6 over the ground (IRC
R317.1), 5.72 under the floor, so the level joint is 96 - 5.72 = 90.28 over it. The beams are
5-1/2 high on plates at 84 (back) and 84 + (72 - 3.5)/6 = 95.42 (front):

    front        to 95.42: two courses, 3 columns (48, 96, 120): 6 sheets
    back         to 84: one course, 3 columns: 3 sheets
    left         from 88.9 at the back to 100.9: two courses, 2 columns (48, 72): 4 sheets
    right        from 89.2 to 101.2: two courses, 2 columns: 4 sheets

Blocks 3-1/2 high behind the level joint, nailed in with the studs. It lies so low that 12 in are
left over it, in front beside the door, in the end walls under all stud heads:

    front        end, 16, king and king, 80, 96, 112, end: 6 gaps
    left, right  4 gaps in each are wide enough for a block
"""

from __future__ import annotations

from collections import Counter

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building

BY_HAND = {
    Kind.GRAVEL: 1,
    Kind.SKID: 3,
    Kind.FOOTING: 2,
    Kind.POST_BASE: 2,
    Kind.POST: 2,
    Kind.RIM: 2,
    Kind.JOIST: 9,
    Kind.FLOOR_BLOCK: 8,
    Kind.FLOOR_SHEET: 2 + 2,
    Kind.BOTTOM_PLATE: 2 + 1 + 1 + 1,
    Kind.TOP_PLATE: 4 * 2,
    Kind.STUD: 6 + 9 + 6 + 5,
    Kind.CORNER_STUD: 2 + 2,
    Kind.KING: 2 + 2,
    Kind.JACK: 2 + 2,
    Kind.CRIPPLE: 2 + 1 + 3,
    Kind.HEADER: 2 + 2,
    Kind.HEADER_SPACER: 1 + 1,
    Kind.SILL: 1,
    Kind.WALL_SHEET: 6 + 3 + 4 + 4,
    # Level joints lie where at least 12 in of sheet is over them: under all stud heads of the end
    # walls, 4 bays of which are wide enough for a block, and beside the door's head in front.
    Kind.WALL_BLOCK: 6 + 4 + 4,
    Kind.BEAM: 2 * 2,
    Kind.BEAM_SPACER: 2 * 2,
    Kind.RAFTER: 7,
    Kind.END_RAFTER: 2,
    Kind.RAFTER_BLOCK: 16,
    Kind.FLY_RAFTER: 2,
    Kind.LOOKOUT: 10,
    Kind.LOOKOUT_BLOCK: 4,
    Kind.ROOF_SHEET: 2 + 3,
    Kind.TIE_DOWN: 7 * 2,
    Kind.STRAP: 4 + 3,
    Kind.FLOOR_TIE: 3 * 4,
    Kind.GROUND_ANCHOR: 2 * 2,
}


def test_kinds(lopsided: Building) -> None:
    assert Counter(part.kind for part in lopsided.parts) == BY_HAND


def test_walls(lopsided: Building) -> None:
    sticks = Counter(
        part.group
        for part in lopsided.parts
        if part.group in ("front wall", "back wall", "left wall", "right wall")
    )
    assert sticks == {
        "front wall": 6 + 2 + 2 + 2 + 2 + 3 + 2 + 2 + 6,
        "back wall": 9 + 2 + 1 + 2,
        "left wall": 6 + 1 + 2 + 4,
        "right wall": 5 + 2 + 2 + 1 + 3 + 3 + 1 + 1 + 2 + 4,
    }


def test_stages(lopsided: Building) -> None:
    assert [(stage.name, len(stage.parts)) for stage in lopsided.stages] == [
        ("Foundation", 1 + 3 + 2 + 2),
        ("Floor frame", 2 + 9 + 8 + 4 + 12),
        ("Floor deck", 4),
        ("Back wall", 14),
        ("Front wall", 21 + 6),
        ("Left wall", 9 + 4),
        ("Right wall", 20 + 4),
        ("Wall sheathing", 17),
        ("Beams and posts", 2 + 4 + 4),
        ("Rafters", 9 + 16 + 14 + 7),
        ("Rake overhangs", 2 + 10 + 4),
        ("Roof deck", 5),
    ]
