"""Linear and integer programmes, which HiGHS solves.

    Programme(least) -> one without columns yet, with a row for each number that must be reached
    Programme.solved() -> Answer      in fractions of columns
    Programme.whole(gap, nodes) -> Answer     in whole numbers of them

A programme is solved again and again while columns and rows come to it: each time the solver goes
on from where it ended.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf
from typing import Any

import numpy as np

from pikepole_export.files.quiet import quiet
from pikepole_model.errors import PikepoleError


class SolverError(PikepoleError, RuntimeError):
    """The solver gave no answer where there is one."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What a programme comes to.

    Attributes:
        cost: The least, or the least found.
        amounts: How much of each column; none where nothing was found.
        prices: By how much the cost rises for one more in each row; none of whole numbers.
        bound: No amounts cost less; infinite where nothing reaches what it must.
    """

    cost: float
    amounts: Sequence[float]
    prices: Sequence[float]
    bound: float


class Programme:
    """Amounts of columns, 0 or more, that cost least and reach in each row what it must.

    Args:
        least: What each row must come to at least.
    """

    def __init__(self, least: Sequence[float]) -> None:
        import highspy

        with quiet():  # it says who made it
            self._highs: Any = highspy.Highs()
        self._kinds: Any = highspy
        self._states: Any = highspy.HighsModelStatus
        # One thread, so that the same programme has the same answer everywhere.
        for option, value in (("output_flag", False), ("threads", 1), ("parallel", "off")):
            self._highs.setOptionValue(option, value)
        self._costs: list[float] = []
        self.add_rows(np.zeros((len(least), 0)), least)

    def add_rows(self, rows: np.ndarray, least: Sequence[float]) -> None:
        """More that must be reached.

        Args:
            rows: What one of each column counts in them, (rows, columns).
            least: What each must come to at least.
        """
        starts, places, counts = _sparse(rows)
        most = np.full(len(least), inf)
        self._highs.addRows(
            len(least), np.array(least, float), most, len(counts), starts, places, counts
        )

    def add_columns(self, costs: Sequence[float], columns: np.ndarray, most: float = inf) -> None:
        """More to choose from.

        Args:
            costs: What one of each costs.
            columns: What one of each counts in every row, (columns, rows).
            most: How much of each there is.
        """
        starts, places, counts = _sparse(columns)
        none, all_there_is = np.zeros(len(costs)), np.full(len(costs), most)
        self._highs.addCols(
            len(costs),
            np.array(costs, float),
            none,
            all_there_is,
            len(counts),
            starts,
            places,
            counts,
        )
        self._costs += costs

    def allow(self, columns: Sequence[bool]) -> None:
        """Leaves out all columns but these, until others are allowed."""
        most = np.where(columns, inf, 0.0)
        places = np.arange(len(most), dtype=np.int32)
        self._highs.changeColsBounds(len(most), places, np.zeros(len(most)), most)

    def solved(self) -> Answer:
        """The least cost, with parts of columns allowed.

        Raises:
            SolverError: The solver gave no answer.
        """
        state = self._run()
        if state == self._states.kUnknown:  # it lost itself on the way from where it ended
            self._highs.clearSolver()
            state = self._run()
        if state == self._states.kInfeasible:
            return Answer(inf, (), (), inf)
        if state != self._states.kOptimal:
            raise SolverError(f"the solver gave no bound: {self._highs.modelStatusToString(state)}")
        found = self._highs.getSolution()
        cost = self._highs.getInfo().objective_function_value
        return Answer(cost, found.col_value, found.row_dual, cost)

    def whole(self, *, gap: float, nodes: int) -> Answer:
        """The least cost in whole numbers of columns, as far as it is found.

        Args:
            gap: Share of the cost that is not looked for.
            nodes: Of the search tree, where it ends.
        """
        number = len(self._costs)
        kinds = np.array([self._kinds.HighsVarType.kInteger] * number)
        self._highs.changeColsIntegrality(number, np.arange(number, dtype=np.int32), kinds)
        self._highs.setOptionValue("mip_rel_gap", gap)
        self._highs.setOptionValue("mip_max_nodes", nodes)
        state = self._run()
        if state == self._states.kInfeasible:
            return Answer(inf, (), (), inf)
        told = self._highs.getInfo()
        if told.primal_solution_status != self._kinds.SolutionStatus.kSolutionStatusFeasible:
            return Answer(inf, (), (), told.mip_dual_bound)
        found = self._highs.getSolution().col_value
        return Answer(told.objective_function_value, found, (), told.mip_dual_bound)

    def _run(self) -> Any:
        self._highs.run()
        return self._highs.getModelStatus()


def _sparse(lines: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Where each line begins among all counts that are not 0, the places of these, and they."""
    filled = lines != 0
    ends = np.cumsum(np.count_nonzero(filled, axis=1))
    starts = np.concatenate([[0], ends[:-1]]) if len(lines) else np.zeros(0)
    _, places = np.nonzero(filled)
    return starts.astype(np.int32), places.astype(np.int32), lines[filled].astype(float)
