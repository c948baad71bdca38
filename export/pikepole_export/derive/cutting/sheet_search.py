"""The search for the fewest sheets that give all the pieces.

    fewest_sheets(rectangles, to_prove=False) -> the sheets, and how many any plan has at least

First plans of strips and quick ones, and a bound from the area of the pieces or from their sides,
which mostly meet. Among plans of equally many sheets that of strips is the least work.
Where they do not, the integer programme chooses among all sheets filled on the way. For a proof the
search goes on as that for boards does, with the best layouts of a sheet as its patterns.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from pikepole_export.derive.cutting.bars import sheets_by_bars
from pikepole_export.derive.cutting.guillotine import Grid, best_layout, every_layout
from pikepole_export.derive.cutting.patterns import Counts, Pattern
from pikepole_export.derive.cutting.placing import tries
from pikepole_export.derive.cutting.programmes import (
    FEW_NODES,
    choose,
    generate,
    prove,
)
from pikepole_export.derive.cutting.rectangles import Layout, Rectangles
from pikepole_export.derive.cutting.strips import strip_plan

TRIES = 24
TRIES_TO_PROVE = 240
MOST_CELLS = 120_000  # of a grid on which layouts are looked for


def fewest_sheets(
    rectangles: Rectangles, kerf: int = 0, *, to_prove: bool = False
) -> tuple[list[Layout], int]:
    """Layouts that hold all the pieces, some perhaps too often, and the fewest there can be.

    Args:
        rectangles: What is to be cut; each piece fits a sheet.
        kerf: Steps: strips of widths that differ by no more are one.
        to_prove: Whether to go on until the bound meets the plan, or the work gets too much.

    Raises:
        SolverError: The solver gave no answer.
    """
    job = rectangles.by_area
    pieces_area = sum(n * area for n, area in zip(job.demands, job.sizes, strict=True))
    least = -(-pieces_area // job.rooms[0])
    best = strip_plan(rectangles, kerf)
    if len(best) == least:
        return best, least
    known = {Pattern(0, rectangles.counts(layout)): layout for layout in best}
    for number, (plan, seen) in enumerate(tries(rectangles, TRIES_TO_PROVE if to_prove else TRIES)):
        if len(plan) < len(best):
            best = plan
        for layout in seen:
            known.setdefault(Pattern(0, rectangles.counts(layout)), layout)
        if number == 0 and len(best) > least:
            least = max(least, ceil(sheets_by_bars(rectangles)))
        if len(best) == least:
            return best, least
    chosen, _ = choose(job, list(known), least, FEW_NODES, 0.5 / least)
    if chosen and len(chosen) < len(best):
        best = [known[pattern] for pattern in chosen]
    if to_prove and len(best) > least:
        return _proven(rectangles, best, least, known)
    return best, least


def _proven(
    rectangles: Rectangles, best: list[Layout], least: int, known: dict[Pattern, Layout]
) -> tuple[list[Layout], int]:
    """The plan and the bound after the search over all layouts; as they were if these are too many.

    Args:
        rectangles: What is to be cut.
        best: The plan so far.
        least: The bound so far.
        known: Layouts that hold the pieces of a pattern; gets more.
    """
    grid = Grid.of(rectangles)
    if grid.cells > MOST_CELLS:
        return best, least
    job = rectangles.by_area

    def richest(values: Sequence[int]) -> tuple[list[Pattern], Counts]:
        worth, layout = best_layout(rectangles, values, grid)
        pattern = Pattern(0, rectangles.counts(layout))
        known.setdefault(pattern, layout)
        return [pattern], (int(worth[-1, -1]),)

    for layout in best:
        known.setdefault(Pattern(0, rectangles.counts(layout)), layout)
    bound = generate(job, dict.fromkeys(known), richest)

    def every(leasts: Sequence[int], limit: int) -> list[Pattern] | None:
        listed = every_layout(rectangles, grid, bound.values, leasts[0])
        if listed is None or len(listed) > limit:
            return None
        found = {Pattern(0, counts): layout for counts, layout in listed}
        known.update(found)
        return list(found)

    plan = [Pattern(0, rectangles.counts(layout)) for layout in best]
    plan, proven = prove(job, plan, bound, every)
    return [known[pattern] for pattern in plan], max(least, proven)
