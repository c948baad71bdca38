"""How long it takes to plan boards, and how near to the least the plan is.

    python tests/bench/cut.py [JOBS] [--prove]

Draws jobs with a fixed seed: 300 pieces of 20, 30 or 40 lengths between 1 and 18 ft in sixteenths
of an inch, 8 to 24 ft stock, a kerf of 1/8 in, with prices and without; and one four times as
large.
Leave the machine alone meanwhile: what else runs on it is measured too.
"""

from __future__ import annotations

import random
import sys
import time

from rich.console import Console
from rich.table import Table

from pikepole_export.derive.cutting.lengths import CutPiece, Saw, StockLength, plan_lengths

FOOT_MM = 304.8
SIXTEENTH_MM = 25.4 / 16
SAW = Saw(kerf_mm=3.175)


def job(
    seed: int, pieces: int, distinct: int, priced: bool
) -> tuple[list[CutPiece], list[StockLength]]:
    """Pieces of so many lengths, each at least once, and stock from 8 to 24 ft."""
    luck = random.Random(seed)
    sizes = luck.sample(range(192, 18 * 192), distinct)
    drawn = sizes + luck.choices(sizes, k=pieces - distinct)
    stocks: list[StockLength] = []
    for feet in range(8, 25, 2):
        # Long boards cost more by the foot, and no price list is smooth.
        price = round(feet * (0.85 + 0.012 * (feet - 8) + luck.uniform(-0.05, 0.1)), 2)
        stocks.append(StockLength(f"{feet} ft", feet * FOOT_MM, price if priced else None))
    return [CutPiece(f"piece {n}", s * SIXTEENTH_MM) for n, s in enumerate(drawn)], stocks


def main() -> None:
    """Prints a row for each job."""
    prove = "--prove" in sys.argv
    jobs = next((int(word) for word in sys.argv[1:] if word.isdigit()), 4)
    table = Table("pieces", "lengths", "prices", "seconds", "processor s", "boards", "gap")
    cases = [(300, distinct, seed) for distinct in (20, 30, 40) for seed in range(jobs)]
    for pieces, distinct, seed in [*cases, (1200, 100, 0)]:
        for priced in (False, True):
            wall, busy = time.perf_counter(), time.process_time()
            plan = plan_lengths(*job(seed, pieces, distinct, priced), SAW, prove=prove)
            wall, busy = time.perf_counter() - wall, time.process_time() - busy
            table.add_row(
                *map(str, (pieces, distinct, "yes" if priced else "no")),
                *(f"{wall:.2f}", f"{busy:.2f}", str(len(plan.boards))),
                f"{plan.gap:.2e}",
            )
    Console().print(table)


if __name__ == "__main__":
    main()
